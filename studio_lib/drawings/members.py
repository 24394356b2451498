"""One figure for each distinct member: three views, every joint from one datum, what is worked on it as a table."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from studio_lib.drawings.general import ROW_LEAST, reach
from studio_lib.drawings.paper import (
    LABEL_MM,
    SAME_MM,
    SCALES,
    SMALL_MM,
    Figure,
    Linear,
    Radius,
    Running,
    Words,
    places,
    text_mm,
)
from studio_lib.drawings.views import Body, View, _facets_of, lines, sharp_edged
from studio_lib.piece import Piece
from studio_lib.piece.handed import handed
from studio_lib.piece.model import Prism
from studio_lib.piece.outline import arc, area_mm2, sides
from studio_lib.piece.worked import Worked, worked
from studio_lib.solids.mesh import solid_of
from studio_lib.units import mm

FACE = ((0.0, 0.0, 1.0), (1.0, 0.0, 0.0))
UPPER = ((0.0, 1.0, 0.0), (1.0, 0.0, 0.0))
BACK = ((0.0, 0.0, -1.0), (1.0, 0.0, 0.0))
LOWER = ((0.0, -1.0, 0.0), (1.0, 0.0, 0.0))
START = ((-1.0, 0.0, 0.0), (0.0, 0.0, 1.0))
ACROSS_MM, HIGH_MM = 165.0, 80.0
"""Most paper that a member's length and its three views' height take."""
BETWEEN_MM = 7.0
"""Between two views of a member, on paper."""
KEEP_MM, BREAK_MM = 7.0, 3.0
"""Drawn beside a mark before a long plain stretch is left out, and the width of the break, on paper."""
LEAST_LEFT_OUT_MM = 40.0
LONG_MM = 40.0
FULL_SIZE_TO_MM = 160.0
"""Only members shorter than this are drawn at full size."""


@dataclass(frozen=True)
class Alike:
    """Members drawn once: those worked alike. Mirrored twins have a figure of their own, after it."""

    row: object
    """The line of the cutting list of the first."""
    refs: tuple[str, ...]
    twins: tuple[str, ...] = ()
    """Members that are its mirror images."""
    mirrored: tuple[str, ...] = ()
    """Members that it is the mirror image of."""
    how: str = ""
    """In what it is mirrored, in words."""


def distinct(piece: Piece, rows) -> list[Alike]:
    """Each distinct member once, with all that are worked like it; mirror images follow each other."""
    alike: dict[tuple, tuple[object, list[str]]] = {}
    for row in rows:
        for ref in row.refs:
            alike.setdefault((piece.shape(ref), piece.member(ref).role, row.timber, row.rank), (row, []))[1].append(ref)
    out: list[Alike] = []
    for row, refs in alike.values():
        for k, known in enumerate(out):
            same = (known.row.role, known.row.timber, known.row.rank) == (row.role, row.timber, row.rank)
            paired = known.twins or known.mirrored
            how = handed(piece, known.refs[0], refs[0]) if same and not paired else ""
            if how:
                out[k] = replace(known, twins=tuple(refs))
                out.insert(k + 1, Alike(row, tuple(refs), mirrored=known.refs, how=how))
                break
        else:
            out.append(Alike(row, tuple(refs)))
    return out


class _Breaks:
    """Long plain stretches of a member left out: a place along it to a place on the drawing, at full size."""

    def __init__(self, keeps: list[tuple[float, float]], gap: float):
        self.keeps, self.gap = keeps, gap
        self.shift, lost = [], keeps[0][0]
        for k, (a, _) in enumerate(keeps):
            if k:
                lost += a - keeps[k - 1][1] - gap
            self.shift.append(lost)

    def at(self, x: float) -> float:
        for (a, b), shift in zip(self.keeps, self.shift):
            if x <= b + 1e-6:
                return max(x, a) - shift if x >= a - 1e-6 else x - shift
        return x - self.shift[-1]

    def lines(self, segments):
        """Segments without what is left out."""
        for x0, y0, x1, y1 in segments:
            if abs(x1 - x0) < 1e-9:
                if any(a - 1e-6 <= x0 <= b + 1e-6 for a, b in self.keeps):
                    yield (self.at(x0), y0, self.at(x1), y1)
                continue
            for (a, b), shift in zip(self.keeps, self.shift):
                t0, t1 = sorted(((a - x0) / (x1 - x0), (b - x0) / (x1 - x0)))
                t0, t1 = max(t0, 0.0), min(t1, 1.0)
                if t1 - t0 > 1e-9:
                    yield (
                        x0 + t0 * (x1 - x0) - shift,
                        y0 + t0 * (y1 - y0),
                        x0 + t1 * (x1 - x0) - shift,
                        y0 + t1 * (y1 - y0),
                    )

    @property
    def length(self) -> float:
        return self.keeps[-1][1] - self.shift[-1]


def _keeps(marks: list[float], whole: tuple[float, float], keep: float, gap: float) -> list[tuple[float, float]]:
    """Stretches to draw: round each mark; what is left out between must be well longer than the break."""
    spans: list[list[float]] = []
    for x in marks:
        a, b = max(whole[0], x - keep), min(whole[1], x + keep)
        if spans and a - spans[-1][1] < max(2.5 * gap + keep, LEAST_LEFT_OUT_MM):
            spans[-1][1] = max(b, spans[-1][1])
        else:
            spans.append([a, b])
    return [(a, b) for a, b in spans]


def member_figure(
    piece: Piece,
    alike: Alike,
    pieces: int,
    broken: bool = True,
    fitted: str = "",
    wide: float = ACROSS_MM,
    tall: float = HIGH_MM,
) -> Figure:
    """Face, upper edge and start of a member with its joints.

    Parameters
    ----------
    alike : Alike
        The first of its members is drawn.
    pieces : int
        How many of the piece are made.
    broken : bool
        Whether long plain stretches may be left out.
    fitted : str
        Words where the member is cut to fit; empty where it is made to size.
    wide : float
        Paper for its length. [mm]
    tall : float
        Paper for its views one over the other. [mm]
    """
    ref = alike.refs[0]
    m = piece.member(ref)
    start, end = piece.tenons_mm(ref)
    whole = m.length_mm + start + end
    body = Body(ref, _facets_of(sharp_edged(piece).shape(ref)), np.eye(3), np.array([start, 0.0, 0.0]))
    things = worked(piece, ref)
    w, t = m.width_mm, m.thickness_mm
    # The side with the joints is the one to look at; where both have some the hidden lines tell.
    sides_worked = {k.side for k in things}
    from_back = "back" in sides_worked and "face" not in sides_worked
    from_lower = "lower edge" in sides_worked and "upper edge" not in sides_worked
    face = lines([body], *(BACK if from_back else FACE))
    if from_back:
        face = _level(face, w)
    upper = lines([body], *(LOWER if from_lower else UPPER))
    if from_lower:
        upper = _moved(upper, 0.0, -t)
    head = lines([body], *START)
    for least in (0, 1, 2):
        stops = _stops(piece, m, things, face, start, whole, least)
        if len(stops) * LABEL_MM < wide:
            break
    curved = places([*stops, *(v for s in (*face.visible, *upper.visible) for v in (s[0], s[2]))])
    low, high = min(curved[0], 0.0), max(curved[-1], whole)
    broken = broken and not any(s.kind in DRAWN_WHOLE for s in m.shaping)
    room = wide - 24 - t / 10
    scale, breaks, keeps = None, None, []
    for scale in SCALES[whole > FULL_SIZE_TO_MM :]:
        keep, gap = KEEP_MM * scale, BREAK_MM * scale
        keeps = _keeps(curved, (low, high), keep, gap) if broken else [(low, high)]
        breaks = _Breaks(keeps, gap)
        if (breaks.length + BETWEEN_MM * scale + t) / scale <= room and (w + t) / scale + BETWEEN_MM <= tall:
            break
    f = Figure(_title(piece, alike, pieces), scale)
    at = breaks.at
    down, right = -(BETWEEN_MM * scale), breaks.length + BETWEEN_MM * scale
    f.view(View("", tuple(breaks.lines(face.visible)), tuple(breaks.lines(face.hidden))))
    f.view(View("", tuple(breaks.lines(upper.visible)), tuple(breaks.lines(upper.hidden))), 0.0, down)
    f.view(head, right, 0.0, hidden=len(head.hidden) <= MOST_HIDDEN)
    for (_, b), (_a, _) in zip(keeps, keeps[1:]):
        for y0, y1 in ((0.0, w), (down - t, down)):
            for x in (at(b), at(b) + gap):
                f.strokes.append((_zigzag(x, y0, y1, scale), "BREAK"))
    f.box = (at(low), down - t, right + t, max(w, 0.0))
    label = "from the back, lower edge above" if from_back else "face"
    f.words += [
        Words(at(low), w, label, SMALL_MM, "start", 0.5, -1.2, clear=True),
        Words(at(low), down, "lower edge" if from_lower else "upper edge", SMALL_MM, "start", 0.5, -1.2, clear=True),
        Words(
            right + t / 2,
            w,
            "start",
            SMALL_MM,
            "middle",
            0.0,
            -1.2 if text_mm(label, SMALL_MM) < (right - at(low)) / scale - 8 else -4.4,
        ),
    ]
    _centre_lines(f, things, m, at, down, scale, from_back, from_lower)
    _face_marks(f, m, at(start), right, scale, from_back)
    f.dims.append(_RunningBroken("x", "below", f.box[1], 0.0, tuple(at(s) for s in stops), true=tuple(stops)))
    if start > SAME_MM or end > SAME_MM:
        f.dims.append(
            _LinearBroken(
                "x",
                "above",
                f.box[3],
                at(start),
                at(start + m.length_mm),
                0,
                f"{mm(m.length_mm)} between shoulders",
                true_mm=m.length_mm,
            )
        )
    f.dims += [Linear("x", "below", 0.0, right, right + t), Linear("y", "right", f.box[2], 0.0, w)]
    f.dims += _radii(m, start, from_back)
    f.table = _table(things)
    f.table_mm = wide + 12
    f.notes = _notes(piece, m, alike, whole, things, fitted)
    return f


TOGETHER = {
    "face and back changed over": "starts level and lower edges alike, what is worked from the face of the one is worked from the back of the other",
    "lower and upper edge changed over": "starts level and faces alike, what is worked from the upper edge of the one is worked from the lower edge of the other",
    "laid out from its other end": "faces and edges alike, what is so far from the start of the one is as far from the end of the other",
    "laid out from its other end, face and back, lower and upper edge changed over":
        "what is so far from the start, from the lower edge and from the face of the one is as far from the end, the upper edge and the back of the other",
}
"""How two mirror images lie beside each other, for each way of ``MIRRORS``."""


def _title(piece: Piece, alike: Alike, pieces: int) -> str:
    row, refs = alike.row, alike.refs
    m = piece.member(refs[0])
    name = row.name if refs == row.refs else m.name if len(refs) == 1 else m.role
    one_hand = len({piece.member(r).hand for r in refs}) == 1
    hand = f", {m.hand} hand" if one_hand and m.hand and m.hand not in name else ""
    image = f", {reach(alike.twins)} {'its' if len(refs) == 1 else 'their'} mirror image" if alike.twins else ""
    image = image or (f", mirror image of {reach(alike.mirrored)}" if alike.mirrored else "")
    return f"{reach(refs)} {name}{hand}, {pieces * len(refs)} off{image}"


LEAST_RADIUS_MM, MOST_RADII, BESIDE_AN_ARC = 8.0, 4, 0.5


def _radii(m, start: float, from_back: bool) -> list[Radius]:
    """Each radius that is worked on the face of a member, once, at a place of its arc that lies on the member."""
    found: dict[float, Radius] = {}
    for prism in (p for s in m.shaping if s.kind not in IN_THE_TABLE for p in (*s.within(m), *s.cuts(m))):
        inside = any(prism in s.within(m) for s in m.shaping)
        if not isinstance(prism, Prism) or abs(prism.at.through[2]) < 1 - 1e-9:
            continue
        turning = area_mm2(prism.outline) > 0
        for a, b, bulge in sides(prism.outline):
            if not bulge:
                continue
            u, v, r, first, sweep = arc(a, b, bulge)
            turns = first + sweep * np.linspace(0.1, 0.9, 33)
            spots = (prism.at.to_piece((u + r * math.cos(t), v + r * math.sin(t), 0.0)) for t in turns)
            spots = [q for q in spots if 0 < q[0] < m.length_mm and -SAME_MM < q[1] < m.width_mm + SAME_MM]
            if not spots or r < LEAST_RADIUS_MM:
                continue
            cx, cy, _ = prism.at.to_piece((u, v, 0.0))
            # Told from beside the arc where it turns so far: over a narrow board stand other words.
            beside = [q for q in spots if abs(q[1] - cy) < BESIDE_AN_ARC * r]
            x, y, _ = (beside or spots)[len(beside or spots) // 2]
            convex = (bulge > 0) == turning  # of the block: the timber kept lies in it, or what is cut away does
            if from_back:
                y, cy = m.width_mm - y, m.width_mm - cy
            found.setdefault(round(r, 1), Radius(x + start, y, cx + start, cy, convex == inside))
    return list(found.values()) if len(found) <= MOST_RADII else []


STATIONS = 12
STEPS_MM = (5, 10, 20, 25, 50, 100, 200, 250)


def _ordinates(piece: Piece, m, start: float) -> list[str]:
    """The curved edges of a member for a template: how far they lie from its lower edge, at even distances. [words]"""
    if not any(s.kind in CURVED for s in m.shaping):
        return []
    flat = solid_of(sharp_edged(piece).shape(m.ref)).slice(m.thickness_mm / 2)
    edges = np.concatenate([np.column_stack([lp, np.roll(lp, -1, 0)]) for lp in map(np.asarray, flat.to_polygons())])
    step = next((v for v in STEPS_MM if m.length_mm / v <= STATIONS), STEPS_MM[-1])
    whole_steps = range(math.ceil(start / step - 1e-9), int((start + m.length_mm) / step) + 1)
    places_ = [k * step - start for k in whole_steps]
    said = {"lower": [], "upper": []}
    for x in (0.01, *(p for p in places_ if 1 < p < m.length_mm - 1), m.length_mm - 0.01):
        over = edges[(edges[:, 0] <= x) != (edges[:, 2] <= x)]
        ys = over[:, 1] + (x - over[:, 0]) / (over[:, 2] - over[:, 0]) * (over[:, 3] - over[:, 1])
        if len(ys):
            for name, y in (("lower", float(ys.min())), ("upper", float(ys.max()))):
                said[name].append((x + start, y))
    out = []
    for name, rows in said.items():
        if len(rows) > 2 and max(y for _, y in rows) - min(y for _, y in rows) > SAME_MM:
            out.append(
                f"Template, {name} edge: from the datum end / from the lower edge: "
                + ", ".join(f"{mm(x)} / {mm(y)}" for x, y in rows)
                + "."
            )
    return out


@dataclass(frozen=True)
class _RunningBroken(Running):
    """Running distances on a drawing with stretches left out: ``true`` are the distances themselves."""

    true: tuple[float, ...] = ()

    def value_mm(self, stop: float) -> float:
        return self.true[min(range(len(self.stops)), key=lambda k: abs(self.stops[k] - stop))]


@dataclass(frozen=True)
class _LinearBroken(Linear):
    true_mm: float = 0.0

    @property
    def value_mm(self) -> float:
        return self.true_mm


def _zigzag(x: float, y0: float, y1: float, scale: float):
    """A break: a thin line with one kink, a little past the outline."""
    middle, s, past = (y0 + y1) / 2, 1.0 * scale, 1.0 * scale
    return (
        (x, y0 - past),
        (x, middle - s),
        (x - s, middle - s / 3),
        (x + s, middle + s / 3),
        (x, middle + s),
        (x, y1 + past),
    )


MOST_HIDDEN = 24
"""Hidden lines that the view of an end shows at most; with more of them it shows its outline."""


def _level(v: View, width: float) -> View:
    """A view from the back, brought level with the others; its lower edge is above."""

    def flip(rows):
        return tuple((a, b + width, c, d + width) for a, b, c, d in rows)

    return View(v.name, flip(v.visible), flip(v.hidden))


def _moved(v: View, dx: float, dy: float) -> View:
    def move(rows):
        return tuple((a + dx, b + dy, c + dx, d + dy) for a, b, c, d in rows)

    return View(v.name, move(v.visible), move(v.hidden))


def _stops(
    piece: Piece, m, things: list[Worked], face: View, start: float, whole: float, least: int = 0
) -> list[float]:
    """Distances drawn from the datum end: ends, shoulders, edges of what is worked, middles of round holes.

    ``least`` 1 leaves off the far edges of equal things where there are many, 2 all but the first and last of them: the
    table has them all.
    """
    # Of equal ones in a row the first two and the last are enough.
    things = [
        k
        for same in _alike(things)
        for k in (same if len(same) < ROW_LEAST or same[0].round_mm else (same[0], same[1], same[-1]))
    ]
    many: dict[tuple, list[Worked]] = {}
    for k in things if least else ():
        many.setdefault((k.what.partition(",")[0], k.side, round(k.to_mm - k.from_mm)), []).append(k)
    crowd = [same for same in many.values() if len(same) >= ROW_LEAST]
    if least == 2:
        left_out = {id(k) for same in crowd for k in same[1:-1]}
        things = [k for k in things if id(k) not in left_out]
    near_only = {id(k) for same in crowd for k in same} if least == 1 else set()
    stops = [0.0, start, start + m.length_mm, whole]
    cut = {c.end for c in m.shaping if c.kind == "end cut"}
    for k in things:
        at = _from_to(k)
        if k.side == "tenon" and cut:  # from a slanted shoulder: its corners are given, and where the tenon ends
            at = tuple(v for v in at if min(abs(v), abs(v - whole)) < SAME_MM)
        stops += at[:1] if id(k) in near_only else at
    if any(s.kind == "end cut" for s in m.shaping):
        edges = [(s[k], s[k + 1]) for s in face.visible for k in (0, 2)]
        stops += [
            x for x, y in edges if min(abs(y), abs(y - m.width_mm)) < SAME_MM and (x < whole / 3 or x > whole * 2 / 3)
        ]
    if any(s.kind not in (*IN_THE_TABLE, "end cut") for s in m.shaping):  # corners of what is shaped
        stops += [
            s[k] for s in face.visible for k in (0, 2) if abs(s[2] - s[0]) > LONG_MM
            and not any(t.mouth_mm and t.from_mm - SAME_MM <= s[k] <= t.to_mm + SAME_MM for t in things)
        ]
    return [s for s in places(round(s, 2) for s in stops) if -SAME_MM < s < whole + SAME_MM]


def _centre_lines(f: Figure, things, m, at, down: float, scale: float, from_back: bool, from_lower: bool) -> None:
    """A cross through each round hole on the view that looks into it."""
    drawn = set()
    for k in things:
        if k.middle_mm is None or k.side in ENDS:
            continue
        x, reach_ = at(k.middle_mm), k.round_mm / 2 + 1.2 * scale
        y, z = k.mouth_mm[1:] if k.mouth_mm else (sum(k.lower_mm) / 2, sum(k.face_mm) / 2)
        on_face = k.side in ("face", "back", "through the face") if k.mouth_mm or k.slot else abs((k.lower_mm[1] - k.lower_mm[0]) - k.round_mm) < 0.2
        cy = (m.width_mm - y if from_back else y) if on_face else down - z if from_lower else down - m.thickness_mm + z
        if (round(x, 2), round(cy, 2)) in drawn:
            continue
        drawn.add((round(x, 2), round(cy, 2)))
        f.strokes += [
            (((x - reach_, cy), (x + reach_, cy)), "CENTRE"),
            (((x, cy - reach_), (x, cy + reach_)), "CENTRE"),
        ]


def _face_marks(f: Figure, m, x: float, right: float, scale: float, from_back: bool) -> None:
    """Face mark and edge mark (common practice, no source): a loop that ends in the face edge, a V there."""
    s = min(1.6 * scale, m.width_mm / 5)
    x += 3.2 * s
    loop = [
        (x + s * 0.55 * math.sin(a) * (1 + a / 7), s * 1.4 - s * 0.9 * math.cos(a)) for a in np.linspace(-0.2, 5.4, 26)
    ]
    if not from_back:
        f.strokes.append((((x - 0.3 * s, 0.0), *((px, py) for px, py in loop)), "BREAK"))
    # The face edge is the lower one: it is seen in the end view, at its foot.
    f.strokes.append(
        (
            (
                (right + m.thickness_mm / 2 - 0.7 * s, -1.5 * s),
                (right + m.thickness_mm / 2, -0.15 * s),
                (right + m.thickness_mm / 2 + 0.7 * s, -1.5 * s),
            ),
            "BREAK",
        )
    )


def _alike(things: list[Worked]) -> list[list[Worked]]:
    """Round holes at one distance across together, and others that are equal and at one pitch, four or more."""
    merged: dict[tuple, list[Worked]] = {}
    for k in things:
        key = (
            k.what.partition(",")[0],
            k.side,
            tuple(round(v, 1) for v in k.lower_mm),
            tuple(round(v, 1) for v in k.face_mm),
            round(k.round_mm, 2),
            k.aslant,
        )
        if k.middle_mm is None or k.slot:
            key += (round(k.to_mm - k.from_mm, 1),)
        merged.setdefault(key, []).append(k)
    out = []
    for same in merged.values():
        steps = [b.from_mm - a.from_mm for a, b in zip(same, same[1:])]
        in_row = len(same) >= ROW_LEAST and max(steps) - min(steps) < 0.15
        out += [same] if in_row or same[0].round_mm and same[0].middle_mm is not None else [[k] for k in same]
    return sorted(out, key=lambda g: (g[0].from_mm, g[0].to_mm))


def _partner(k: Worked) -> str:
    """The reference of the member that something worked is for; '' for what is worked on this one alone."""
    return k.what.partition(", ")[2].partition(" ")[0]


def _table(things: list[Worked]) -> list[list[str]]:
    if not things:
        return []
    rows = [["From", "To", "What", "Worked from", "From lower edge", "From face", "Size, along x across"]]
    for same in _alike(things):
        k = same[0]
        middle = k.middle_mm is not None
        lower, face = _from_edges(k, middle)
        for run in _even(same, middle):
            rows.append([*_places(run, middle), _what(run), k.side, lower, face, _size(k)])
    return rows


def _places(run: list[Worked], middle: bool) -> tuple[str, str]:
    """From where to where things of one row are: the first, then so many steps of the pitch; or their middles."""
    (a, a_end), (b, b_end) = (_from_to(s) for s in (run[0], run[-1]))
    if len(run) == 1:
        return mm(a), "middle" if middle else mm(a_end)
    if len(run) == 2:
        return f"{mm(a)}, {mm(b)}", "middles" if middle else f"{mm(a_end)}, {mm(b_end)}"
    row = f"{mm(a)}, then {len(run) - 1} x {mm((b - a) / (len(run) - 1))}"
    return (row, f"to {mm(b)}, middles") if middle else (f"{row} to {mm(b)}", f"{mm(a_end)} to {mm(b_end)}")


def _what(run: list[Worked]) -> str:
    """'mortise and tenon, A-A1 apron, front'; '4 screws, A-S1 to A-S4' for several in a row."""
    if len(run) == 1:
        return run[0].what
    others = dict.fromkeys(o for o in map(_partner, run) if o)
    kind = run[0].what.partition(",")[0]
    each = "holes, " if run[0].round_mm else "slots, " if run[0].slot else "x "
    return f"{len(run)} {each}{kind}" + (f", {reach(tuple(others))}" if others else "")


def _from_to(k: Worked) -> tuple[float, float]:
    """The distances a thing is marked by: its two ends, or twice its middle where that is what is marked. [mm]"""
    middle = k.middle_mm
    return (k.from_mm, k.to_mm) if middle is None else (middle, middle)


def _even(same: list[Worked], middle: bool) -> list[list[Worked]]:
    """Things in a row parted into runs of one pitch, each of three or more; what is left over stands alone or in pairs."""
    at = [_from_to(s)[0] for s in same]
    runs: list[list[Worked]] = []
    k = 0
    while k < len(same):
        n = k + 1
        while n + 1 < len(same) and abs((at[n + 1] - at[n]) - (at[k + 1] - at[k])) < 0.15:
            n += 1
        if n < len(same) and n - k >= 2:
            runs.append(same[k : n + 1])
            k = n + 1
        else:
            runs.append([same[k]])
            k += 1
    out: list[list[Worked]] = []
    for run in runs:
        if middle and len(run) == 1 and out and len(out[-1]) == 1:
            out[-1] = out[-1] + run
        else:
            out.append(run)
    return out


def _from_edges(k: Worked, middle: bool) -> tuple[str, str]:
    """Where something lies across its member: a middle for what is marked by it, else its two sides; '-' along its way in."""
    if k.mouth_mm:
        _, y, z = k.mouth_mm
        on_edge = k.side.endswith("edge")
        return ("-" if on_edge and not k.sloping else mm(y)), mm(z) if on_edge or k.side in ENDS else "-"
    if k.round_mm or k.slot:
        said = ["-" if _into(k) == n else mm((a + b) / 2) for n, (a, b) in enumerate((k.lower_mm, k.face_mm))]
        return said[0], said[1]
    return tuple(f"{mm(a)} - {mm(b)}" for a, b in (k.lower_mm, k.face_mm))


ENDS = ("start", "end")


def _into(k: Worked) -> int:
    """Along which of width (0) and thickness (1) something is cut in; 2 along the length, -1 where no side is told."""
    if k.side.endswith("edge"):
        return 0
    return 1 if k.side in ("face", "back", "through the face") else 2 if k.side in (*ENDS, "tenon") else -1


def _size(k: Worked) -> str:
    """'39 long, 60 x 12' for a tenon; '60 x 12, 41 deep' for what is cut in; along x across x through for what is neither."""
    if k.aslant:
        return k.aslant
    sizes = (k.lower_mm[1] - k.lower_mm[0], k.face_mm[1] - k.face_mm[0], k.to_mm - k.from_mm)
    into = _into(k)
    if into < 0:
        return " x ".join(mm(v) for v in (sizes[2], *sizes[:2]))
    deep = "through" if k.side.startswith("through") else f"{mm(sizes[into])} deep"
    if k.round_mm:
        return f"Ø {mm(k.round_mm)}, {deep}"
    rest = [v for n, v in enumerate((sizes[2], *sizes[:2])) if n != (into + 1) % 3]
    if k.side == "tenon":
        return f"{mm(sizes[2])} long, {mm(rest[0])} x {mm(rest[1])}"
    return f"{mm(rest[0])} x {mm(rest[1])}{' slot' if k.slot else ''}, {deep}"


CURVED = ("arched edge", "curved edge", "round or oval outline")
DRAWN_WHOLE = (*CURVED, "cranked leg")
"""Shapings that a break would bend out of shape."""
IN_THE_TABLE = ("notch", "row of holes", "handle cut-out")
"""Shapings that the table tells whole."""
WAYS = (("left", "right"), ("front", "back"), ("floor", "top"))


def _way(v) -> str:
    """The side of the piece that a direction points to: 'left', 'floor'."""
    k = max(range(3), key=lambda i: abs(v[i]))
    return WAYS[k][v[k] > 0]


def _stands(m) -> str:
    """How a member stands in the piece: where its start, its face and its lower edge are."""
    p = m.placement
    away = tuple(-c for c in p.along)
    lower = tuple(-c for c in p.across)
    return f"start to the {_way(away)}, face to the {_way(p.through)}, lower edge to the {_way(lower)}"


def _notes(piece: Piece, m, alike: Alike, whole: float, things: list[Worked], fitted: str) -> list[str]:
    ref, refs = alike.refs[0], alike.refs
    start, end = piece.tenons_mm(ref)
    lengths = f"{mm(whole)} long over all" + (
        f", {mm(m.length_mm)} between shoulders" if start > SAME_MM or end > SAME_MM else ""
    )
    out = [
        f"{lengths}, {mm(m.width_mm)} wide, {mm(m.thickness_mm)} thick."
        + (f" Arrises {mm(m.arris_mm)} off, not drawn." if m.arris_mm > 0 else "")
    ]
    stand: dict[str, list[str]] = {}
    for r in refs:
        stand.setdefault(_stands(piece.member(r)), []).append(r)
    out += [f"{reach(tuple(rs))} in the piece: {words}." for words, rs in stand.items()]
    if alike.mirrored:
        out.append(
            f"Mirror image of {reach(alike.mirrored)}, figured by itself from its own start, lower edge and face. Mark the two "
            f"together: {TOGETHER[alike.how]}."
        )
    for s in m.shaping:
        if s.kind in IN_THE_TABLE:
            continue
        said = "; ".join(f"{k}: {v}" for k, v in s.setting_out(m).items())
        if said:
            out.append(
                f"{s.kind[0].upper()}{s.kind[1:]}: {said}." if s.kind not in said else f"{said[0].upper()}{said[1:]}."
            )
    if any(", then " in row[0] for row in _table(things)):
        out.append("Rows: from the first to the last divided evenly.")
    if any(k.mouth_mm for k in things):
        out.append(
            "What does not go in square is marked by the middle of its mouth; its depth is from there, along its own way in. "
            "Going in: degrees off square to the side it is worked from. Turned: degrees off the length, running from the start."
        )
    if any(k.side == "tenon" for k in things) and any(s.kind == "end cut" for s in m.shaping):
        out.append("A tenon on a slanted shoulder is measured along its middle, from the shoulder there.")
    along: dict[str, list[str]] = {}
    for k in things:
        if k.sloping:
            along.setdefault(k.sloping, []).append(_partner(k))
    sloping = [f"{reach(tuple(rs))}: {words}" for words, rs in along.items()]
    if sloping:
        out.append(
            "From lower edge: from that of the board it is sawn from, on which its straight part lies; "
            f"keep the board's edge until the mortises are marked. {'; '.join(sloping)}."
        )
    out += _ordinates(piece, m, start)
    if fitted:
        out.append(f"Cut to fit: {fitted}")
    return out


def fitted_words(piece: Piece, ref: str, own: tuple[str, ...]) -> str:
    """Why a member is cut to fit; empty where it is made to its size."""
    if ref in own:
        return "measure its place before cutting; the sizes here are what the model expects."
    m = piece.member(ref)
    for j in piece.joints:
        if j.first == ref and j.kind == "groove and panel":
            frame = f"{j.second} {piece.member(j.second).name}"
            return f"dry-assemble the frame ({frame} and its neighbours) and measure groove to groove before cutting."
    if m.role in ("drawer face", "drawer front", "drawer side", "drawer back") or (
        "door" in m.name and m.role != "pull"
    ):
        return "measure the opening in the finished carcase before cutting; keep the gaps drawn."
    return ""
