"""As slender as it dares: the least timber in chosen sizes that still keeps a reserve in every check.

From the sizes in hand each chosen size is taken down, the one that saves most first, for as
long as every strength, sag, sway and tipping check keeps its reserve; then back up where it
does not. The answers for falling reserves make the curve a maker picks from.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace

from studio_lib.finding import Finding, Verdict
from studio_lib.forms import SizeRefused, form
from studio_lib.forms.form import Surroundings
from studio_lib.piece import Piece
from studio_lib.solids import volume_mm3
from studio_lib.structure.whole import whole_findings

RESERVES = (0.5, 0.4, 0.3, 0.2, 0.1, 0.0)
"""Part of each capacity left unused: the points of the curve."""
STEP_MM = 2.0
"""Sizes are taken in steps that a planer is set to; common practice, no source."""
LEAST_MM = 12.0


@dataclass(frozen=True)
class Point:
    """One answer: sizes that keep a reserve, what they take, and what decides."""

    reserve: float
    sizes: dict[str, float]
    timber_m3: float
    seen_m2: float
    """Faces and edges of the members that show, length by width and thickness: how heavy it looks."""
    decides: str
    """The check that has least to spare, in words."""
    utilisation: float


@dataclass(frozen=True)
class Asked:
    """The piece to be made lighter, and where it is to stand."""

    form: str
    brief: object
    around: Surroundings
    sizes: dict[str, float]
    """Every size as it stands, settled."""
    joints: dict[str, dict[str, float]]
    adjustments: tuple
    woods: dict
    place: str
    use: str
    loads: dict[str, float] = field(default_factory=dict)
    """The maker's own loads, by name."""


def may_be_slimmed(form_name: str) -> list[tuple[str, str]]:
    """Sizes of a form that are sections of members: (name, words)."""
    return [
        (s.name, s.label) for s in form(form_name).sizes
        if s.unit == "mm" and s.name.endswith("_mm") and any(w in s.name for w in ("thickness", "leg_mm", "apron_width", "bearer_width", "rail_width", "stile", "side_", "post"))
        and not any(w in s.name for w in ("gap", "height", "overhang", "setback"))
    ]


def slender(
    asked: Asked, names: list[str], *, reserves=RESERVES, progress: Callable[[float], None] | None = None,
    stop: Callable[[], bool] = lambda: False,
) -> list[Point]:
    """Points of the curve from much reserve to little; fewer when stopped, none where nothing stands.

    Parameters
    ----------
    names : sizes that may be made smaller; the others stay as they are

    Raises
    ------
    ValueError
        For no names, or a name the form does not have.
    """
    limits = {s.name: s for s in form(asked.form).sizes}
    for name in names:
        if name not in limits:
            raise ValueError(f"A {asked.form} has no size {name!r}. It has: {', '.join(limits)}.")
    if not names:
        raise ValueError("Choose at least one size that may be made smaller.")
    known: dict[tuple, tuple[float, str, Piece] | None] = {}

    def tried(sizes: dict[str, float]):
        key = tuple(sizes[n] for n in names)
        if key not in known:
            known[key] = _judged(asked, sizes)
        return known[key]

    points: list[Point] = []
    sizes = dict(asked.sizes)
    for number, reserve in enumerate(sorted(reserves, reverse=True)):
        if stop():
            break
        sizes = _taken_down(sizes, names, limits, reserve, tried, stop) or sizes
        got = tried(sizes)
        if got is not None and got[0] <= 1 - reserve + 1e-9:
            worst, words, piece = got
            points.append(
                Point(reserve, {n: sizes[n] for n in names}, timber_m3(piece), seen_m2(piece), words, worst)
            )
        if progress:
            progress((number + 1) / len(reserves))
    return points


def _taken_down(sizes, names, limits, reserve, tried, stop) -> dict[str, float] | None:
    """The least timber that keeps the reserve, one step of one size at a time; None where the start does not keep it."""
    got = tried(sizes)
    if got is None or got[0] > 1 - reserve + 1e-9:
        return None
    now, bulk = dict(sizes), timber_m3(got[2])
    while not stop():
        best = None
        for name in names:
            value = now[name] - STEP_MM
            if value < max(limits[name].low, LEAST_MM):
                continue
            trial = {**now, name: value}
            got = tried(trial)
            if got is None or got[0] > 1 - reserve + 1e-9:
                continue
            saved = bulk - timber_m3(got[2])
            if best is None or saved > best[0]:
                best = (saved, trial)
        if best is None or best[0] <= 0:
            return now
        bulk -= best[0]
        now = best[1]
    return now


def _judged(asked: Asked, sizes) -> tuple[float, str, Piece] | None:
    """The greatest utilisation of a piece at these sizes and the check it comes from; None where it cannot be made."""
    try:
        piece = form(asked.form).lay_out("piece", "A", sizes, asked.around, asked.joints, asked.adjustments)
        found = checks(piece, asked.woods, asked.place, asked.use, asked.loads)
    except (SizeRefused, ValueError):
        return None
    if any(f.utilisation is None and f.verdict in (Verdict.FAILS, Verdict.OPEN) for f in found):
        return None
    worst = max((f for f in found if f.utilisation is not None), key=lambda f: f.utilisation, default=None)
    return None if worst is None else (worst.utilisation, f"{worst.subject}: {worst.what}", piece)


def checks(piece: Piece, woods: dict, place: str, use: str, loads: dict[str, float] | None = None) -> list[Finding]:
    """Strength, sag, sway and tipping, and the rules of joints that have to do with strength."""
    found = whole_findings(piece, woods, place, use, loads)
    for joint in piece.joints:
        for f in joint.findings(piece):
            if f.what in ("timber left beyond the mortise",) and not f.stands:
                found.append(replace(f, demand=None, capacity=None, verdict=Verdict.FAILS))
    return found


def timber_m3(piece: Piece) -> float:
    """Timber in the finished piece. [m3]"""
    return sum(volume_mm3(piece.shape(m.ref)) for m in piece.members) * 1e-9


def seen_m2(piece: Piece) -> float:
    """How heavy a piece looks: one face and one edge of every member that shows. [m2]"""
    return sum(m.length_mm * (m.width_mm + m.thickness_mm) for m in piece.members if m.rank == "show") * 1e-6
