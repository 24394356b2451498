"""What forms of frames share: laying a member in a leaf, and refusing in words what no timber can be made to."""

from __future__ import annotations

from collections.abc import Callable

from studio_lib.brief.refusals import leave_of_others, pulled_over, tipped_by_wind, wind_speed_m_s
from studio_lib.brief.wishes import FORCE_FACTOR
from studio_lib.commission import Brief
from studio_lib.finding import Finding, Verdict
from studio_lib.forms.form import SizeRefused
from studio_lib.piece import Piece
from studio_lib.structure.loads import G

ASSUMED_KG_M3 = 700.0
"""Weight of a middling hardwood, while no timber is chosen."""


def refused_as(field: str, changes) -> Callable:
    """A wrapper of joints' own refusals: ValueError becomes SizeRefused of a size, or of the maker's changes."""
    def wrap(make, *args, **more):
        try:
            return make(*args, **more)
        except SizeRefused:
            raise
        except ValueError as error:
            raise SizeRefused("adjustments" if any(not c.off for c in changes) else field, str(error)) from None
    return wrap


def weight_n(piece: Piece) -> float:
    """Weight of the members' blocks, by the timber's density or a middling hardwood's. [N]"""
    from studio_lib.timber import timber

    total = 0.0
    for m in piece.members:
        try:
            density = timber(m.timber).density_12pct_kg_m3
        except KeyError:
            density = ASSUMED_KG_M3
        total += m.length_mm * m.width_mm * m.thickness_mm * 1e-9 * density * G
    return total


def standing_findings(
    piece: Piece, brief: Brief, height_mm: float, width_mm: float, solid_share: float, foot_mm: float, fixed: bool, overhead: bool = False
) -> list[Finding]:
    """Wind, a lean and a child's pull on a screen that stands free; whose leave is needed where it is fixed.

    ``foot_mm``: from its middle to the edge it would tip over.
    """
    outdoors = brief.place.startswith("outdoors")
    children = brief.near_children
    if fixed:
        triggers = ["fixed to building"] + (["stands in the wind"] if outdoors else []) + (["hangs overhead"] if overhead else [])
        return leave_of_others(piece.name, tuple(triggers), brief.leave_given)
    weight = weight_n(piece)
    found = [pulled_over(piece.name, weight, foot_mm, height_mm, p) for p in ("a lean", *(["a child's pull"] if children else []))]
    if not outdoors:
        return found
    speed = wind_speed_m_s(brief.wind, brief.wind_m_s)
    if speed is None:
        return [*found, Finding(piece.name, "wind", Verdict.OPEN, "how hard the wind blows there is not known yet",
                                mend="Say it under 'Where it stands'.", stage="sizes")]
    wind = tipped_by_wind(piece.name, width_mm, height_mm, min(max(solid_share, 0.01), 1.0), weight, foot_mm, speed, FORCE_FACTOR)
    found.append(wind)
    if wind.verdict is Verdict.FAILS:
        found += leave_of_others(piece.name, ("stands in the wind",), brief.leave_given)
    return found


def climbing(piece: Piece, brief: Brief, heights_mm: tuple[float, ...]) -> list[Finding]:
    """A word of caution where level slats make a ladder that children can reach; beside a drop the piece's own check speaks."""
    children = brief.near_children
    low, high = 150.0, 760.0
    steps = [h for h in heights_mm if low <= h <= high]
    if not children or len(steps) < 2 or brief.beside_a_drop:
        return []
    return [Finding(
        piece.name, "a ladder of slats", Verdict.LOOK_AGAIN, f"{len(steps)} level edges from {low:.0f} to {high:.0f} mm above the floor",
        rule="level slats within a child's reach are climbed", source="common practice, no source",
        mend="Turn the slats upright, or fix the screen so that a climbing child cannot pull it over.", stage="sizes",
    )]


