"""As slender as it dares: the least timber in chosen sizes that still keeps a reserve in every check.

From the sizes in hand each chosen size is taken down, the one that saves most first, for as
long as every strength, sag, sway and tipping check keeps its reserve; then back up where it
does not. The answers for falling reserves make the curve a maker picks from.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from math import inf

from studio_lib.finding import Finding, Verdict
from studio_lib.forms import SizeRefused, form
from studio_lib.forms.form import Surroundings
from studio_lib.piece import Piece
from studio_lib.solids import volume_mm3
from studio_lib.structure.loads import serves
from studio_lib.structure.whole import whole_findings

RESERVES = (0.5, 0.4, 0.3, 0.2, 0.1, 0.0)
"""Part of each capacity left unused: the points of the curve."""
STEP_MM = 2.0
"""Sizes are taken in steps that a planer is set to; common practice, no source."""
STEPS_MM = (12.0, 6.0, STEP_MM)
LIP_MM = 12.0
"""What a bevel leaves of an edge to be seen; a judgement of ours."""
BEVEL_RUN = 2.0
"""A bevel runs back this many times what it takes off the edge."""
CLEAR_MM = 20.0
"""A taper begins this far below the lowest rail."""
TAPER_SHARE = 0.3
"""Part of a leg's width that a taper takes off at the foot; a judgement of ours."""
LEAST_MM = 12.0
SECTIONS = ("thickness", "leg_mm", "apron_width", "bearer_width", "rail_width", "stile", "side_", "post")
"""Words in the names of sizes that are sections of members."""
BOARDS = ("shelf_mm", "side_mm", "lid_mm", "board_mm", "top_mm", "frame_mm")
"""Names of thicknesses of boards in cases."""


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
    shaped: tuple = ()
    """Bevels and tapers that go with it, as changes of the document."""
    reads: str = ""
    """What they do for the eye, in words."""


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
    return [(s.name, s.label) for s in form(form_name).sizes if s.unit == "mm" and (s.name in BOARDS or (
        any(w in s.name for w in SECTIONS) and not any(w in s.name for w in ("gap", "height", "overhang", "setback"))))]


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
    known: dict[tuple, tuple[float, str, Piece, float] | None] = {}

    def tried(sizes: dict[str, float]):
        key = tuple(sizes[n] for n in names)
        if key not in known:
            known[key] = _judged(asked, sizes, felt_most)
        return known[key]

    begun = _judged(asked, asked.sizes)
    felt_most = max(1.0, begun[3]) if begun else 1.0
    points: list[Point] = []
    sizes, last = dict(asked.sizes), {}
    for number, reserve in enumerate(sorted(reserves, reverse=True)):
        if stop():
            break
        most = 1 - reserve + 1e-9
        got = tried(sizes)
        if got is not None and got[0] <= most:
            sizes = _taken_down(sizes, names, limits, most, tried, last, stop)
            points.append(_point(asked, reserve, {n: sizes[n] for n in names}, tried(sizes), most, felt_most, stop))
        if progress:
            progress((number + 1) / len(reserves))
    return points


def _taken_down(sizes, names, limits, most: float, tried, last, stop) -> dict[str, float]:
    """The least timber that keeps within ``most``: the size that saves most first, long steps before short ones.

    ``last`` remembers how far over a step went: from there on it only gets worse, so it is not tried again
    until more is allowed; the shortest step is always tried.
    """
    now, bulk = dict(sizes), timber_m3(tried(sizes)[2])
    gains = {n: float("inf") for n in names}
    for step in STEPS_MM:
        open_ = set(names)
        while open_ and not stop():
            name = max(open_, key=lambda n: gains[n])
            value = now[name] - step
            if value < max(limits[name].low, LEAST_MM) or (step > STEPS_MM[-1] and last.get((name, step), 0.0) > most):
                open_.discard(name)
                continue
            trial = {**now, name: value}
            got = tried(trial)
            last[name, step] = got[0] if got else float("inf")
            if got is None or got[0] > most:
                open_.discard(name)
                continue
            saved = bulk - timber_m3(got[2])
            if saved <= 0:
                open_.discard(name)
                continue
            gains[name] = saved / step
            bulk -= saved
            now = trial
    return now


def _point(asked: Asked, reserve: float, sizes: dict[str, float], got, most: float, felt_most: float, stop) -> Point:
    """A point of the curve, with its under-edges bevelled and its legs tapered where that keeps the reserve too."""
    worst, words, piece, _ = got
    shaped, reads = (), ""
    for changes, says in _lighter(piece):
        if stop():
            break
        tried = _judged(replace(asked, adjustments=(*asked.adjustments, *shaped, *changes)), {**asked.sizes, **sizes}, felt_most)
        if tried is not None and tried[0] <= most:
            shaped, reads = (*shaped, *changes), f"{reads}; {says}" if reads else says
            worst, words, piece, _ = tried
    return Point(reserve, sizes, timber_m3(piece), seen_m2(piece), words, worst, shaped, reads)


def _lighter(piece: Piece):
    """Shapes that make it look lighter: a bevel under the outer edges of its top or seat, a taper on the inside of upright legs."""
    from studio_lib.commission import Shaped

    boards = [m for m in piece.members if m.rank == "show" and not any(s.kind == "chamfer" for s in m.shaping)
              and any(w in m.role for w in ("slat", "board", "top", "seat", "shelf")) and "back" not in m.role
              and abs(m.placement.through[2]) > 0.9 and m.thickness_mm >= LIP_MM + 4]
    outer = []
    front_alone = serves(piece.form) == "shelf"  # nobody sees the back of a case
    for level in dict.fromkeys(round(m.piece_box.centre[2]) for m in boards):
        way = boards[0].placement.across
        order = sorted((m for m in boards if round(m.piece_box.centre[2]) == level and abs(_dot(m.placement.across, way)) > 0.99),
                       key=lambda m: _dot(m.piece_box.centre, way))
        for m, side in ((order[0], -1.0), (order[-1], 1.0)) if order else ():
            if front_alone and side * way[1] > 0:
                continue
            edge = "upper" if side * _dot(m.placement.across, way) > 0 else "lower"
            under = "back" if m.placement.through[2] > 0 else "face"
            off = m.thickness_mm - LIP_MM
            outer.append(Shaped(member=m.ref, shaping="chamfer", figures={
                "arris": f"{under} {edge}", "along_mm": round(min(BEVEL_RUN * off, m.width_mm / 2), 1), "through_mm": off}))
    if outer:
        thick = boards[0].thickness_mm
        yield tuple(outer), f"bevelled under its long edges it reads as {LIP_MM:g} mm and works as {thick:g}"
    legs = [m for m in piece.members if m.role == "leg" and abs(m.placement.along[2]) > 0.99 and not m.shaping]
    tapers = []
    for m in legs:
        box = m.piece_box
        foot = "start" if m.placement.along[2] > 0 else "end"
        free = min((piece.member(r).piece_box.lo[2] for j in piece.joints if m.ref in (j.first, j.second)
                    for r in (j.first, j.second) if r != m.ref), default=box.lo[2]) - box.lo[2] - CLEAR_MM
        off = float(round(TAPER_SHARE * m.width_mm))
        if free < 100.0 or m.width_mm - off < LEAST_MM + 8:
            continue
        for axis, names in ((m.placement.across, ("upper", "lower")), (m.placement.through, ("face", "back"))):
            inward = -_dot(axis, (box.centre[0], box.centre[1], 0.0))
            tapers.append(Shaped(member=m.ref, shaping="taper", figures={
                "side": names[0] if inward > 0 else names[1], "towards": foot,
                "from_mm": round(free if foot == "start" else m.length_mm - free, 1), "off_mm": off}))
    if tapers and len(tapers) == 2 * len(legs):
        m = legs[0]
        yield tuple(tapers), f"tapered on their inner faces its legs stand on {m.width_mm - tapers[0].figures['off_mm']:g} mm and work as {m.width_mm:g}"


def _dot(a, b) -> float:
    return sum(x * y for x, y in zip(a, b))


def _judged(asked: Asked, sizes, felt_most: float = inf) -> tuple[float, str, Piece, float] | None:
    """The greatest utilisation of a piece at these sizes, the check it comes from, and how it feels; None where it cannot be made.

    ``felt_most`` is what bounce and the give of a screen may come to: they keep no reserve, and get no worse.
    """
    try:
        piece = form(asked.form).lay_out("piece", "A", sizes, asked.around, asked.joints, asked.adjustments)
        found = checks(piece, asked.woods, asked.place, asked.use, asked.loads)
        # A shelf that lies loose is no part of the frame; its form looks at its sag.
        found += [f for f in form(asked.form).fit(piece, sizes, asked.brief) if f.what.startswith("sag")]
    except (SizeRefused, ValueError):
        return None
    if any(f.utilisation is None and f.verdict in (Verdict.FAILS, Verdict.OPEN) for f in found):
        return None
    comfort = max((f.utilisation for f in found if felt(piece, f)), default=0.0)
    worst = max((f for f in found if f.utilisation is not None and not felt(piece, f)), key=lambda f: f.utilisation, default=None)
    if worst is None or comfort > felt_most + 1e-9:
        return None
    return worst.utilisation, f"{worst.subject}: {worst.what}", piece, comfort


def felt(piece: Piece, finding: Finding) -> bool:
    """Whether a check is a matter of feel alone."""
    return finding.what.startswith("bounce") or (finding.what.startswith("sway") and serves(piece.form) == "screen")


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
    """How heavy a piece looks: one face and one edge of every member that shows, a bevelled edge by its lip, a taper by its mean. [m2]"""
    return sum(m.length_mm * (_seen_mm(m, "width") + _seen_mm(m, "thickness")) for m in piece.members if m.rank == "show") * 1e-6


def _seen_mm(m, size: str) -> float:
    """Width or thickness of a member as it shows from its better side. [mm]"""
    whole, off = (m.width_mm, ("upper", "lower")) if size == "width" else (m.thickness_mm, ("face", "back"))
    for s in m.shaping:
        if s.kind == "chamfer" and size == "thickness":
            whole = min(whole, m.thickness_mm - s.through_mm)
        if s.kind == "taper" and s.side in off:
            run = s.from_mm if s.towards == "start" else m.length_mm - s.from_mm
            whole -= s.off_mm * run / m.length_mm / 2
    return whole
