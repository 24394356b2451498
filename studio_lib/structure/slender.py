"""As slender as it dares: the least timber in chosen sizes that still keeps a reserve in every check.

From the sizes in hand each chosen size is taken down, the one that saves most first, for as long as every
strength, sag, sway and tipping check keeps its reserve. What a step will do is foretold from the steps before it, so that
only steps with a chance are tried. The answers for falling reserves make the curve a maker picks from.
"""

from __future__ import annotations

import gc
from collections.abc import Callable
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from math import inf, log

from studio_lib.forms import form
from studio_lib.piece import Piece
from studio_lib.structure.loads import serves
from studio_lib.structure.trial import Asked, Judged, checks, felt, judged, seen_m2, timber_m3

__all__ = ["Asked", "Point", "checks", "felt", "may_be_slimmed", "seen_m2", "slender", "timber_m3"]

RESERVES = (0.5, 0.4, 0.3, 0.2, 0.1, 0.0)
"""Part of each capacity left unused: the points of the curve."""
STEP_MM = 2.0
"""Sizes are taken in steps that a planer is set to; common practice, no source."""
STEPS_MM = (12.0, 6.0, STEP_MM)
FIRST_STEP_MM = 6.0
"""The first step of a size, before anything is known of what it does."""
DOUBT = 1.05
"""A last step foretold to go over by less than this is tried all the same, once nothing else is left."""
MORE_DOUBT = 1.3
"""The same where it is foretold from a longer step."""
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
    sawn_mm: dict[str, float | None] = field(default_factory=dict)
    """For each thickness, the sawn board it comes from; None where no board known is thick enough."""


def may_be_slimmed(form_name: str) -> list[tuple[str, str]]:
    """Sizes of a form that are sections of members: (name, words)."""
    return [(s.name, s.label) for s in form(form_name).sizes if s.unit == "mm" and (s.name in BOARDS or (
        any(w in s.name for w in SECTIONS) and not any(w in s.name for w in ("gap", "height", "overhang", "setback"))))]


def is_thickness(name: str) -> bool:
    """Whether a size is planed from the thickness of a board; the others are widths, which are ripped."""
    return "thickness" in name or name in BOARDS or name == "leg_mm"


def sawn_for(asked: Asked, thickness_mm: float) -> float | None:
    """The thinnest sawn board known that a thickness comes from; None where there is none. [mm]"""
    return min((s for s in asked.sawn_mm if s - asked.dressing_mm >= thickness_mm - 1e-9), default=None)


class _Tries:
    """Every set of sizes tried, and what each size was seen to do."""

    def __init__(self, asked: Asked, names: list[str]):
        self.asked, self.names = asked, names
        self.felt_most = inf
        self._known: dict[tuple, Judged | None] = {}
        self._pieces: dict[Piece, Judged | None] = {}
        self._slopes: dict[str, dict] = {}
        self._doubt: dict[str, float] = {}
        self.saves: dict[str, float] = dict.fromkeys(names, inf)
        """Timber saved by a millimetre of each size. [m3]"""
        self._low = {s.name: max(s.low, LEAST_MM) for s in form(asked.form).sizes}
        self._planed = sorted({s - asked.dressing_mm for s in asked.sawn_mm})

    def key(self, sizes) -> tuple:
        return tuple(sizes[n] for n in self.names)

    def known(self, sizes) -> bool:
        return self.key(sizes) in self._known

    def at(self, sizes) -> Judged | None:
        """The piece at these sizes; None where it cannot be made, or feels worse than when begun."""
        key = self.key(sizes)
        if key not in self._known:
            got = judged(self.asked, sizes, self._pieces)
            self._known[key] = got if got is not None and got.comfort <= self.felt_most + 1e-9 else None
        return self._known[key]

    def over(self, sizes) -> float:
        """The greatest utilisation of sizes tried; infinite where they cannot be."""
        got = self.at(sizes)
        return inf if got is None else got.worst

    def learn(self, name: str, before: dict, was: Judged, after: dict, got: Judged) -> None:
        """What one size did from one try to the next: powers of utilisation, and timber saved."""
        ratio = log(after[name] / before[name])
        self._slopes[name] = {k: log(max(got.used[k], 1e-9) / max(u, 1e-9)) / ratio for k, u in was.used.items() if k in got.used}
        self._doubt[name] = DOUBT if before[name] - after[name] <= STEP_MM else MORE_DOUBT
        self.saves[name] = (was.timber_m3 - got.timber_m3) / (before[name] - after[name])

    def foretold(self, now: dict, here: Judged, name: str, value: float) -> float | None:
        """The greatest utilisation to be expected when one size changes; None while nothing is known of it."""
        slopes = self._slopes.get(name)
        if slopes is None:
            return None
        ratio = value / now[name]
        return max(u * ratio ** slopes.get(k, 0.0) for k, u in here.used.items())

    def doubtful(self, name: str, told: float, most: float) -> bool:
        """Whether what was foretold of a last step is near enough to try it all the same."""
        return told <= most * self._doubt.get(name, MORE_DOUBT)

    def down(self, name: str, value: float, step: float) -> float | None:
        """The next value that far down; a thickness stops where it is all that a sawn board gives. None at the least."""
        low = self._low[name]
        lower = value - step
        if is_thickness(name):
            stops = [p for p in self._planed if lower < p < value - 1e-9]
            lower = max([lower, *stops]) if step == STEP_MM else lower
        return lower if lower >= low else None


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
    have = [s.name for s in form(asked.form).sizes]
    for name in names:
        if name not in have:
            raise ValueError(f"A {asked.form} has no size {name!r}. It has: {', '.join(have)}.")
    if not names:
        raise ValueError("Choose at least one size that may be made smaller.")
    with _uncollected():
        return _points(asked, names, reserves, progress, stop)


@contextmanager
def _uncollected():
    """Without the collector of cyclic garbage, which goes through all that Python holds some times a second while pieces are laid out anew."""
    was = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was:
            gc.enable()


def _points(asked: Asked, names: list[str], reserves, progress, stop) -> list[Point]:
    tries = _Tries(asked, names)
    begun = None if stop() else tries.at(asked.sizes)
    if begun is None:
        return []
    tries.felt_most = max(1.0, begun.comfort)
    points: list[Point] = []
    sizes = dict(asked.sizes)
    for number, reserve in enumerate(sorted(reserves, reverse=True)):
        if stop():
            break
        most = 1 - reserve + 1e-9
        if tries.over(sizes) <= most:
            sizes = _taken_down(sizes, most, tries, stop)
            points.append(_point(tries, reserve, sizes, most, stop, points[-1] if points else None))
        if progress:
            progress((number + 1) / len(reserves))
    return points


def nothing_off(asked: Asked) -> str:
    """Why nothing can be taken off a piece, in a sentence."""
    got = judged(asked, asked.sizes)
    if got is None:
        return "As it stands it cannot be judged or does not stand up: see what its checks say first."
    if got.worst > 1:
        return f"As it stands it does not do ({got.decides}, {100 * got.worst:.0f} % used), so nothing can be taken off. Mend that first."
    return "As it stands it keeps no reserve at all: nothing can be taken off."


def _taken_down(sizes: dict, most: float, tries: _Tries, stop) -> dict[str, float]:
    """The least timber that keeps within ``most``: the step that saves most first, long steps where they are foretold to hold."""
    now, here = dict(sizes), tries.at(sizes)
    while not stop():
        options, doubtful = [], []
        for name in tries.names:
            if tries.saves[name] <= 0:
                continue
            for step in STEPS_MM:
                value = tries.down(name, now[name], step)
                if value is None:
                    continue
                trial = {**now, name: value}
                told = tries.over(trial) if tries.known(trial) else tries.foretold(now, here, name, value)
                if told is None:
                    if step > FIRST_STEP_MM:
                        continue
                    told = 0.0
                option = (tries.saves[name] * (now[name] - value), name, trial)
                if told <= most:
                    options.append(option)
                    break
                if step == STEP_MM and not tries.known(trial) and tries.doubtful(name, told, most):
                    doubtful.append(option)
        if not options and not doubtful:
            break
        _, name, trial = max(options or doubtful, key=lambda o: o[0])
        got = tries.at(trial)
        if got is not None:
            tries.learn(name, now, here, trial, got)
            if got.worst <= most and got.timber_m3 < here.timber_m3:
                now, here = trial, got
    return now


def _point(tries: _Tries, reserve: float, sizes: dict, most: float, stop, before: Point | None) -> Point:
    """A point of the curve, with its under-edges bevelled and its legs tapered where that keeps the reserve too."""
    asked, got = tries.asked, tries.at(sizes)
    chosen = {n: sizes[n] for n in tries.names}
    if before is not None and before.sizes == chosen:
        return replace(before, reserve=reserve)
    shaped, reads = (), ""
    offered = [o for o in _lighter(got.piece) if not stop()]
    for some in (offered, *([o] for o in offered)) if len(offered) > 1 else (offered,):
        changes = tuple(c for more, _ in some for c in more)
        tried = judged(replace(asked, adjustments=(*asked.adjustments, *shaped, *changes)), sizes) if changes else None
        if tried is not None and tried.worst <= most and tried.comfort <= tries.felt_most + 1e-9:
            shaped, reads = (*shaped, *changes), "; ".join(filter(None, (reads, *(says for _, says in some))))
            got = tried
            if len(some) == len(offered):
                break
    return Point(
        reserve, chosen, got.timber_m3, seen_m2(got.piece), got.decides, got.worst, shaped, reads,
        {n: sawn_for(asked, v) for n, v in chosen.items() if is_thickness(n)} if asked.sawn_mm else {},
    )


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
        yield tuple(outer), f"bevelled under its long edges it reads as {LIP_MM:g} mm and works as {thick:g} mm"
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
        yield tuple(tapers), f"tapered on their inner faces its legs stand on {m.width_mm - tapers[0].figures['off_mm']:g} mm and work as {m.width_mm:g} mm"


def _dot(a, b) -> float:
    return sum(x * y for x, y in zip(a, b))
