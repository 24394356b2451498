"""The general arrangement of a piece: its views with sizes from one datum, sections, and the piece taken apart."""

from __future__ import annotations

import math
from functools import lru_cache

import numpy as np

from studio_lib.drawings.paper import (
    BALLOON_STEP_MM,
    HEAD_MM,
    LABEL_MM,
    SAME_MM,
    SCALES,
    TITLE_MM,
    Angle,
    Balloon,
    Figure,
    Linear,
    Running,
    Sheet,
    Words,
    balloon_columns,
    places,
    text_mm,
)
from studio_lib.drawings.views import (
    VIEWS,
    View,
    bodies,
    clear_places,
    lines,
    member_body,
    section,
    sharp_edged,
    view,
    within_loops,
)
from studio_lib.piece import Piece
from studio_lib.piece.apart import taken_apart
from studio_lib.piece.handed import not_alike
from studio_lib.piece.model import Box, Member
from studio_lib.piece.used import bought_words
from studio_lib.units import mm, size

ROW_LEAST = 4
"""So many equal members at one pitch are dimensioned as a row."""
LEANS = 1e-4
SEEN = {"front": (0, 1, 2, 1), "left": (1, -1, 2, 1), "right": (1, 1, 2, 1), "plan": (0, 1, 1, 1)}
"""Which of the piece's axes runs right on a view and which up, each with its sign."""
OVERALL = {"front": (0, 2), "left": (1,), "right": (1,), "plan": ()}
"""Axes whose overall size a view gives, so that each stands once on the sheet."""
PATHS_MOST = 40


@lru_cache(maxsize=4096)
def true_box(piece: Piece, m: Member) -> Box:
    """The least block square to the piece round a member, without its tenons where it stands square. [mm]"""
    if m.placement.square:
        return m.piece_box
    b = member_body(piece, m)
    points = b.facets.points @ b.turn.T + b.at
    return Box(tuple(points.min(0)), tuple(points.max(0)))


def runs_along(m: Member) -> int:
    """The axis of the piece that a member's grain is nearest to."""
    return max(range(3), key=lambda k: abs(m.placement.along[k]))


FEW = 5
"""Members of a role with fewer keep their distances where there is no room for all."""


def stops_of(
    piece: Piece, axis: int, runs: tuple[int, ...], least: int = 0
) -> tuple[list[float], list[tuple[str, int, float, float, float, float]]]:
    """Edges along an axis of the members whose grain runs along one of ``runs``, and rows of equal ones.

    A row is (role, how many, first edge, last edge, size, gap); of its members only the ends give edges. ``least`` 1
    gives near edges only, 2 also leaves off the inner members of roles that have many.
    """
    groups: dict[tuple, set] = {}
    sharp = sharp_edged(piece)
    for m in sharp.members:
        if runs_along(m) not in runs:
            continue
        box = true_box(sharp, m)
        low, high = round(box.lo[axis], 2), round(box.hi[axis], 2)
        groups.setdefault((m.role, round(high - low, 1)), set()).add((low, high))
    of_role: dict[str, int] = {}
    for (role, _), spans in groups.items():
        of_role[role] = of_role.get(role, 0) + len(spans)
    stops, rows = [], []
    for (role, wide), found in groups.items():
        spans = sorted(found)
        pitch = [b[0] - a[0] for a, b in zip(spans, spans[1:])]
        if len(spans) >= ROW_LEAST and max(pitch) - min(pitch) < 0.15:
            first, last = spans[0], spans[-1]
            rows.append((role, len(spans), first[0], last[1], wide, max(spans[1][0] - first[1], 0.0)))
            stops += [*first, *last]
        elif least and of_role[role] >= FEW:
            stops += [s[0] for s in (spans if least == 1 else (spans[0], spans[-1]))]
        else:
            stops += [v for s in spans for v in s]
    return stops, rows


def _stops_that_fit(piece: Piece, axis: int, runs: tuple[int, ...], room_mm: float):
    """Stops, rows, and what has to be said because some were left off for want of room. [mm on paper]"""
    for least, said in enumerate(
        (
            "",
            "to the near edge of each {}; their sizes are with the members",
            "for the first and last {}; the rest are on the setting-out rod",
        )
    ):
        stops, rows = stops_of(piece, axis, runs, least)
        if len(places(stops)) * LABEL_MM < room_mm:
            break
    if not said:
        return stops, rows, ""
    roles = dict.fromkeys(m.role for m in piece.members if runs_along(m) in runs)
    many = [r for r in roles if sum(m.role == r for m in piece.members) >= FEW]
    return (
        stops,
        rows,
        f"Distances {'across' if axis < 2 else 'up'} are given {said.format(' and '.join(many) or 'member')}.",
    )


def dimensioned(
    piece: Piece, name: str, figure: Figure, runs_across: tuple[int, ...], runs_up: tuple[int, ...]
) -> None:
    """Overall sizes above and to the right; edges from one datum below and to the left, rows of equal members once."""
    across, ax, up, ay = SEEN[name]
    x0, y0, x1, y1 = figure.extent
    sizes = overall_box(piece)
    for axis, sign, kind, runs, near, far in (
        (across, ax, "x", runs_across, "above", "below"),
        (up, ay, "y", runs_up, "right", "left"),
    ):
        low, high = sizes.lo[axis], sizes.hi[axis]
        stops, rows, said = _stops_that_fit(piece, axis, runs, (high - low) / figure.scale + 14)
        if said:
            figure.remarks.append(said)
        stops = places([low, high, *stops])
        edge = {"above": y1, "below": y0, "right": x1, "left": x0}
        row = 0
        for role, n, a, b, wide, gap in rows:
            total = "" if axis not in OVERALL[name] and b - a > high - low - SAME_MM else f" (= {mm(b - a)})"
            words = f"{n} {plural(role)} {mm(wide)}" + (f", {n - 1} gaps {mm(gap)}" if gap > SAME_MM else "") + total
            figure.dims.append(
                Linear(kind, near, edge[near], sign * a, sign * b, row, words, f"{n} at {mm(wide + gap)}{total}")
            )
            row += 1
        overall = axis in OVERALL[name] and not any(
            abs(a - low) < SAME_MM and abs(b - high) < SAME_MM for _, _, a, b, _, _ in rows
        )
        if overall:
            figure.dims.append(Linear(kind, near, edge[near], sign * low, sign * high, row))
        # From the left, from the front, from the floor; the far end is the overall size, printed once on the sheet.
        inner = [s for s in stops if s < high - SAME_MM]
        if len(inner) > 1:
            figure.dims.append(Running(kind, far, edge[far], sign * low, tuple(sign * s for s in inner)))


def plural(role: str) -> str:
    """'slat' -> 'slats', 'shelf' -> 'shelves'."""
    return role if role.endswith("s") else f"{role[:-1]}ves" if role.endswith("shelf") else f"{role}s"


def overall_box(piece: Piece) -> Box:
    """The block that the members fill. [mm]"""
    sharp = sharp_edged(piece)
    boxes = [true_box(sharp, m) for m in sharp.members]
    return Box(
        tuple(min(b.lo[k] for b in boxes) for k in range(3)), tuple(max(b.hi[k] for b in boxes) for k in range(3))
    )


def _figure(piece: Piece, name: str, title: str, scale: float) -> Figure:
    f = Figure(title, scale)
    f.view(view(piece, name))
    return f


def leaning(piece: Piece) -> list[str]:
    """Members that stand aslant, with the angles seen from the front and from the side. [words]"""
    said: dict[str, list[str]] = {}
    for m in piece.members:
        x, y, z = (abs(v) for v in m.placement.along)
        if runs_along(m) == 2 and math.hypot(x, y) > LEANS:
            splay, rake = math.degrees(math.atan2(x, z)), math.degrees(math.atan2(y, z))
            lean, sight = math.degrees(math.atan2(math.hypot(x, y), z)), math.degrees(math.atan2(y, x))
            seen = [
                f"{angle:.2f}° off upright seen from the {side}"
                for angle, side in ((splay, "front"), (rake, "side"))
                if angle > 0.01
            ]
            words = ", ".join(seen)
            if len(seen) == 2:
                words += (
                    f"; {lean:.2f}° in its own plane, which stands {sight:.2f}° from the front's line seen from above"
                )
            said.setdefault(f"{m.role}: {words}", []).append(m.ref)
        elif runs_along(m) != 2 and max(sorted((x, y, z))[:2]) > LEANS:
            tilt = math.degrees(math.atan2(z, math.hypot(x, y)))
            turned = math.degrees(math.atan2(min(x, y), max(x, y)))
            words = ", ".join(
                [f"{tilt:.2f}° off level"] * (tilt > 0.01)
                + [f"{turned:.2f}° off square seen from above"] * (turned > 0.01)
            )
            said.setdefault(f"{m.role}: {words}", []).append(m.ref)
    return [f"{reach(refs)} {words}." for words, refs in said.items()]


def tilted(piece: Piece) -> list[str]:
    """Members that run level but lie turned about their length, such as boards of a sloping back. [words]"""
    said: dict[str, list[str]] = {}
    for m in piece.members:
        a = m.placement.across
        if max(sorted(abs(v) for v in m.placement.along)[:2]) <= LEANS and max(sorted(abs(v) for v in a)[:2]) > LEANS:
            _, small, large = sorted(abs(v) for v in a)
            lean = math.degrees(math.atan2(small, large))
            said.setdefault(f"{m.role}: turned {lean:.2f}° about its length", []).append(m.ref)
    return [f"{reach(refs)} {words}." for words, refs in said.items()]


def cutting_places(piece: Piece, axis: int) -> float:
    """Where a plane square to an axis cuts most members, the nearest to the middle of such places. [mm]"""
    sharp = sharp_edged(piece)
    boxes = [true_box(sharp, m) for m in sharp.members]
    edges = places([v for b in boxes for v in (b.lo[axis], b.hi[axis])])
    low, high = edges[0], edges[-1]
    middle = (low + high) / 2

    # One laid open along its grain, with its joints, says more than one cut across.
    worth = [0.25 if runs_along(m) == axis else 1.0 for m in sharp.members]

    def cut(v):
        return sum(w for b, w in zip(boxes, worth) if b.lo[axis] + 0.5 < v < b.hi[axis] - 0.5)

    between = [(a + b) / 2 for a, b in zip(edges, edges[1:]) if b - a > 2]
    return max(between, key=lambda v: (cut(v), -abs(v - middle))) if between else middle


@lru_cache(maxsize=16)
def section_planes(piece: Piece) -> tuple[tuple[str, str, float], ...]:
    """(letter, axis of the front view it is marked on, place) of each section: across the length, and level. [mm]"""
    box = overall_box(piece)
    planes = (("A", "x", cutting_places(piece, 0), box.size[0]), ("B", "y", cutting_places(piece, 2), box.size[2]))
    return tuple((letter, axis, at) for letter, axis, at, long in planes if long > 60)


@lru_cache(maxsize=16)
def sections(piece: Piece) -> tuple[tuple[str, View], ...]:
    """(letter, view) of each section that the front view marks."""
    sight = {"x": VIEWS["left"], "y": VIEWS["plan"]}
    return tuple(
        (letter, section(piece, *sight[axis][:2], (at, 0.0, 0.0) if axis == "x" else (0.0, 0.0, at), letter))
        for letter, axis, at in section_planes(piece)
    )


def _plane_mark(f: Figure, axis: str, at: float, letter: str) -> None:
    """A section's plane on a view: a chain line, thick at its ends, with arrows' letters."""
    x0, y0, x1, y1 = f.extent
    k = f.scale
    for sign, edge in ((-1, y0 if axis == "x" else x0), (1, y1 if axis == "x" else x1)):
        a, b = edge + sign * 0.6 * k, edge + sign * 3.6 * k
        f.strokes.append((((at, a), (at, b)) if axis == "x" else ((a, at), (b, at)), "CUT"))
        if axis == "x":
            f.words.append(Words(at, b, letter, 3.0, "start", 0.8, 2.4 if sign < 0 else -0.2, True))
        else:
            f.words.append(Words(b, at, letter, 3.0, "middle", sign * 0.4, -1.0, True))
    f.strokes.append((((at, y0), (at, y1)) if axis == "x" else ((x0, at), (x1, at)), "PLANE"))


def arrangement(piece: Piece, paper: str, projection: str) -> Sheet:
    """Front, side and plan in their places, with a pictorial view, at the largest scale the sheet holds.

    A thin standing piece has no plan: its level section says more. Views that would make all of them much smaller are
    on a later sheet (``Sheet.elsewhere``). Raises ValueError where even 1 : 100 is too large.
    """
    side = "left" if projection == "first angle" else "right"
    box = overall_box(piece)
    flat = box.size[1] < THIN_MM and box.size[2] > 3 * box.size[1]
    tall = box.size[2] > 2 * box.size[1]
    named = [("front", "Front"), (side, f"From the {side}"), *([] if flat else [("plan", "Plan")])]
    # All views on one sheet; where that would be much smaller, or not at all, those that fit, the others later.
    best: tuple[float, Sheet] | None = None
    for count in (3, 2, 1):
        for scale in SCALES:
            if best and scale * (1.0 if tall and count == 2 else MUCH_SMALLER) > best[0]:
                break
            views = [_with_sizes(piece, name, title, scale) for name, title in named]
            if len(views) < count:
                break
            sheet = Sheet(paper, "general arrangement")
            if _laid(sheet, views[:count], projection == "first angle" or count < 3, piece):
                sheet.elsewhere, best = [_alone(piece, name, title, scale, sheet) for name, title in named[count:]], (scale, sheet)
                break
    if best:
        return best[1]
    sizes = " x ".join(f"{v:.0f}" for v in box.size)
    raise ValueError(
        f"{piece.name} is {sizes} mm and its views do not fit an {paper} sheet at 1 : {SCALES[-1]}. "
        "Draw it as two pieces" + (", or on A3." if paper == "A4" else ".")
    )


def _alone(piece: Piece, name: str, title: str, scale: float, sheet: Sheet) -> Figure:
    """A view for a later sheet, at the scale of the others or as much smaller as it must be to stand there."""
    *_, wide, high = sheet.room
    for smaller in SCALES[SCALES.index(scale):]:
        f = _with_sizes(piece, name, title, smaller)
        if f.size[0] <= wide and f.size[1] <= high:
            break
    return f


THIN_MM = 130.0
MUCH_SMALLER = 2.0
"""Views that are so much larger on a sheet of their own are put there."""
ROOM_MM = 4.0
"""Between two views beyond what their dimensions take, on paper."""


def _with_sizes(piece: Piece, name: str, title: str, scale: float) -> Figure:
    """A view with its dimensions and, on the front, where the sections are taken."""
    f = _figure(piece, name, title, scale)
    f.box = f.extent
    if name == "front":
        for letter, axis, at in section_planes(piece):
            _plane_mark(f, axis, at, letter)
    if name != "plan":
        f.dims += _leans(piece, name)
    dimensioned(
        piece, name, f, {"front": (2,), "plan": (1,)}.get(name, (2,)), {"front": (0,), "plan": (0,)}.get(name, (1,))
    )
    return f


MOST_LEANS = 3


def _leans(piece: Piece, name: str) -> list[Angle]:
    """Each lean off upright that shows in a view, at the outermost foot that has it."""
    across, sign, _, _ = SEEN[name]
    found: dict[float, Angle] = {}
    sharp = sharp_edged(piece)
    for m in sharp.members:
        way = m.placement.along
        up = 1.0 if way[2] > 0 else -1.0
        degrees = round(math.degrees(math.atan2(abs(way[across]), abs(way[2]))), 1)
        if runs_along(m) != 2 or degrees < 0.1:
            continue
        b = member_body(sharp, m)
        points = b.facets.points @ b.turn.T + b.at
        low = points[points[:, 2] < points[:, 2].min() + SAME_MM]
        to_right = sign * way[across] * up > 0
        xs = sign * low[:, across]
        here = Angle(float(xs.min() if to_right else xs.max()), float(low[:, 2].min()), degrees, to_right)
        known = found.get(degrees)
        if known is None or (here.y, here.x if to_right else -here.x) < (
            known.y,
            known.x if known.to_right else -known.x,
        ):
            found[degrees] = here
    return [found[k] for k in sorted(found)][:MOST_LEANS]


def _laid(sheet: Sheet, views: list[Figure], first: bool, piece: Piece) -> bool:
    """Put the views in their places on the sheet, aligned with each other; False where they do not fit."""
    left, top, wide, high = sheet.room
    k = views[0].scale
    pads = [(pl, pa + TITLE_MM, pr, pb) for pl, pa, pr, pb in (f.pads for f in views)]
    sizes = [((f.extent[2] - f.extent[0]) / k, (f.extent[3] - f.extent[1]) / k) for f in views]
    if len(views) == 1:
        ((pl, pa, pr, pb),), ((w, h),) = pads, sizes
        sheet.figures = [(views[0], left + pl, top + pa, True)]
        return pl + w + pr <= wide and pa + h + pb <= high
    (fl, fa, fr, fb), (el, ea, er, eb) = pads[:2]
    (fw, fh), (ew, eh) = sizes[:2]
    fr, er = (
        max(r, text_mm(f.heading, HEAD_MM, True) + 1 - l - w) for f, l, w, r in zip(views, (fl, el), (fw, ew), (fr, er))
    )
    start = fl
    # The plan stands under (first angle) or over (third angle) the front, end to end with it.
    if len(views) > 2:
        pl, pa, pr, pb = pads[2]
        pw, ph = sizes[2]
        shift = (views[2].extent[0] - views[0].extent[0]) / k
        start = max(fl, pl - shift)
        column = max(fw + fr, shift + pw + pr)
        plan_h = ROOM_MM + pa + ph + pb
    else:
        shift, column, plan_h, pa, ph, pb = 0.0, fw + fr, 0.0, 0.0, 0.0, 0.0
    over, tall, under = max(fa, ea), max(fh, eh), max(fb, eb)
    need_w, need_h = start + column + ROOM_MM + el + ew + er, over + tall + under + plan_h
    if need_w > wide or need_h > high:
        return False
    free_w, free_h = (wide - need_w) / 3, (high - need_h) / (3 if plan_h else 2)
    if not plan_h:  # the pictorial stands beside the two
        free_w = min(free_w, 12.0)
    x = left + start + free_w
    base = top + over + tall + free_h + (0.0 if first or not plan_h else plan_h + free_h)
    x_end = x + column + ROOM_MM + el + free_w
    sheet.figures = [(views[0], x, base - fh, True), (views[1], x_end, base - eh, True)]
    if plan_h:
        y = base + under + ROOM_MM + pa + free_h if first else top + pa + free_h
        sheet.figures.append((views[2], x + shift, y, True))
        px, py = x + column + ROOM_MM, (base + under + 2) if first else top
        room_w, room_h = left + wide - px, (top + high - py) if first else (base - tall - over - py)
    else:
        px, py = x_end + ew + er + 4, top
        room_w, room_h = left + wide - px, high
    picture = pictorial(piece, room_w, room_h)
    if picture:
        w, h = picture.size
        sheet.figures.append((picture, px + max(0.0, (room_w - w) / 2), py + max(0.0, (room_h - h) / 2), False))
    return True


LEAST_PICTURE = 50
"""A pictorial view smaller than 1 : 50 shows nothing."""


def pictorial(piece: Piece, wide: float, high: float) -> Figure | None:
    """The piece in isometric projection, as large as standard scales let it be in that room; None where none fits."""
    for scale in (s for s in SCALES if s <= LEAST_PICTURE):
        f = Figure("Isometric", scale)
        f.view(view(piece, "pictorial"), hidden=False)
        w, h = f.size
        if w <= wide and h <= high:
            return f
    return None


FLAT = 0.3
"""A section lower than this share of its width may take the whole width of a sheet."""


def section_figures(piece: Piece, wide: float, high: float) -> list[Figure]:
    """Each section at the largest standard scale that fits; long flat ones over the whole width, ``wide``. [mm]"""
    out = []
    for letter, v in sections(piece):
        x0, y0, x1, y1 = v.extent
        room = wide - 2 * BALLOONS_MM if (y1 - y0) < FLAT * (x1 - x0) else wide * 0.42
        scale = next((s for s in SCALES if (x1 - x0) / s <= room and (y1 - y0) / s <= high), SCALES[-1])
        f = Figure(f"{letter} - {letter}", scale)
        f.view(v)
        f.box = (x0, y0, x1, y1)
        _named_cuts(f, v)
        while f.size[1] > high + 14 and len(f.balloons) > 4:
            f.balloons = [b for k, b in enumerate(f.balloons) if k % 2 == 0]
        out.append(f)
    return out


def _named_cuts(f: Figure, v: View) -> None:
    """References of the timber that is cut, at the side of each piece of it, by balloons."""
    seen = set()
    for c in v.cuts:
        if c.ref in seen:
            continue
        seen.add(c.ref)
        f.balloons.append(Balloon(c.ref, *within_loops(c.loops, v.visible)[:2]))
    most = int((v.extent[3] - v.extent[1]) / f.scale / 8) * 2 + 4
    if len(f.balloons) > most:  # one of each pair of neighbours of a long row, its ends always
        keep = {round(k * (len(f.balloons) - 1) / max(most - 1, 1)) for k in range(most)}
        f.balloons = [b for k, b in enumerate(f.balloons) if k in keep]


BALLOONS_MM = 16.0
CLEAR_MM = 2.0
"""A mark this far from any line can be taken for no other member's, on paper."""
STEPS_MM = (160.0, 120.0, 80.0)
"""How far members are drawn apart, the first that the sheet holds at a fair scale."""
WIDER_MM, IN_SIGHT = (320.0, 500.0), 0.8
"""And further, at a smaller scale, where a broad top would hide more than a fifth of the lines; judgement of ours."""


def exploded(piece: Piece, rows, wide: float, high: float) -> Figure:
    """The piece taken apart along its joints' own ways in, each line of the cutting list with its reference.

    ``rows`` are the cutting list's lines of this piece.
    """
    towards, right = VIEWS["pictorial"]
    frame = np.column_stack([right, np.cross(towards, right)])
    room = high - TITLE_MM - 6
    # Seldom are the marks of more than six in ten lines on one side.
    columns = balloon_columns(math.ceil(0.6 * len(rows)), room)
    scale, _, v, shown, moves = in_sight(piece, rows, frame, wide - 2 * BALLOONS_MM - 2 * (columns - 1) * BALLOON_STEP_MM, room)
    f = Figure("Taken apart, isometric", scale)
    f.view(v, hidden=False)
    f.box, f.marks_mm = v.extent, room
    for row in rows:
        # The first that is clear enough; the line's own reference first of all.
        best = max(
            (r for r in row.refs if r in shown), key=lambda r: min(shown[r][2], CLEAR_MM * f.scale), default=None
        )
        if best:
            f.balloons.append(Balloon(best, *shown[best][:2]))
    if len(piece.joints) <= PATHS_MOST:
        for j in piece.joints:
            a, b = moves[j.first], moves[j.second]
            way = j.entry(piece)
            apart = np.subtract(b, a)
            if way is None or np.linalg.norm(apart) < 20 or np.dot(apart, way) < 0.99 * np.linalg.norm(apart):
                continue  # not drawn where the two could not be taken straight apart in the picture
            where = joint_place(piece, j)
            ends = [tuple(np.add(where, m) @ frame) for m in (a, b)]
            f.strokes.append((tuple((float(p[0]), float(p[1])) for p in ends), "PATH"))
    return f


def in_sight(piece: Piece, rows, frame, wide: float, high: float):
    """The piece taken apart so that it fits and most lines have a member in sight: scale, lines in sight, view, clear places, moves."""
    towards, right = VIEWS["pictorial"]
    best = None
    for steps in (STEPS_MM, *((step,) for step in WIDER_MM)):
        scale, moves = _fair_step(piece, frame, wide, high, steps)
        things = bodies(piece, moves)
        v = lines(things, towards, right, "taken apart", hidden=False)
        shown = clear_places(things, towards, right, v.visible)
        many = sum(any(r in shown for r in row.refs) for row in rows)
        if best is None or many > best[1]:
            best = scale, many, v, shown, moves
        if many >= IN_SIGHT * len(rows):
            break
    return best


def _fair_step(piece: Piece, frame, wide: float, high: float, steps: tuple[float, ...]):
    """The largest scale, and for it the widest step, at which the piece taken apart fits the room."""
    sharp = sharp_edged(piece)
    flat = {b.ref: (b.facets.points @ b.turn.T + b.at) @ frame for b in bodies(sharp) if not b.part}
    apart = [taken_apart(piece, step) for step in steps]
    for scale in SCALES:
        for moves in apart:
            points = np.concatenate([p + np.asarray(moves[ref]) @ frame for ref, p in flat.items()])
            if (np.ptp(points, axis=0) / scale <= (wide, high)).all():
                return scale, moves
    return SCALES[-1], apart[-1]


def joint_place(piece: Piece, joint) -> tuple[float, float, float]:
    """The middle of what a joint cuts from its second member, or adds to its first; else between the two. [mm]"""
    for ref, blocks in (
        (joint.second, joint.cuts(piece).get(joint.second, ())),
        (joint.first, joint.adds(piece).get(joint.first, ())),
        (joint.first, joint.cuts(piece).get(joint.first, ())),
    ):
        if blocks:
            los, his = zip(*((b.bounds.lo, b.bounds.hi) for b in blocks))
            member = piece.member(ref)
            tenons = piece.tenons_mm(ref)
            lo = [max(min(v[k] for v in los), (-tenons[0], 0.0, 0.0)[k]) for k in range(3)]
            hi = [
                min(max(v[k] for v in his), (member.length_mm + tenons[1], member.width_mm, member.thickness_mm)[k])
                for k in range(3)
            ]
            return piece.member(ref).placement.to_piece(tuple((a + b) / 2 for a, b in zip(lo, hi)))
    a, b = piece.member(joint.first).piece_box, piece.member(joint.second).piece_box
    return tuple((max(p, q) + min(r, s)) / 2 for p, q, r, s in zip(a.lo, b.lo, a.hi, b.hi))


LIST_MM = 118.0
"""Width that notes under the list of members may take, so that the picture beside it keeps its room. [mm]"""


def parts_table(piece: Piece, rows, per_piece: int) -> Figure:
    """The lines of the cutting list as a table beside the exploded view."""
    head = ["Ref.", "Member", "Off", "Length x width x thickness", "Timber"]
    f = Figure("Members", 1, table=[head], table_mm=LIST_MM)
    for r in rows:
        f.table.append(
            [reach(r.refs), r.name, str(len(r.refs)), size(r.overall_length_mm, r.width_mm, r.thickness_mm), r.timber]
        )
    bought: dict[tuple[str, str], float] = {}
    for j in piece.joints:
        for h in j.hardware(piece):
            bought[h.name, h.unit] = bought.get((h.name, h.unit), 0) + h.count
    f.notes = [
        "Lengths with tenons. Off: in one piece" + (f"; {per_piece} pieces to be made." if per_piece > 1 else ".")
    ]
    if mixed := not_alike_words((piece, r.refs) for r in rows):
        f.notes.append(f"Of one size but not worked alike: {mixed}.")
    screwed: dict[tuple[str, float, float, str, bool], int] = {}
    for screws in piece.fixings:
        key = (screws.family, screws.diameter_mm, screws.length_mm, screws.note, screws.row is not None)
        screwed[key] = screwed.get(key, 0) + screws.count
    f.notes += [
        f"Screws, {piece.metal}, {'holes drawn with the members' if drawn else 'not drawn'}: {n} of {diameter:g} x {length:g}, {family}"
        + (f", {note}." if note else ".")
        for (family, diameter, length, note, drawn), n in screwed.items()
    ]
    if bought:
        f.notes.append(
            "Bought: "
            + "; ".join(bought_words(n, unit, name) for (name, unit), n in bought.items())
            + "."
        )
    return f


def not_alike_words(lines) -> str:
    """Members of one size that are not worked alike, those of which the same is to be said together; ``lines`` are (piece, references)."""
    said: dict[str, list[str]] = {}
    for piece, refs in lines:
        if how := not_alike(piece, refs):
            said.setdefault(how, []).append(reach(refs))
    return "; ".join(f"{' and '.join(refs)} {how}" for how, refs in said.items())


def reach(refs) -> str:
    """'A1', 'A1, A2', 'A5 to A20', 'A-U1, A-H1 to A-H4': references of one line."""
    runs: list[list[str]] = []
    for ref in refs:
        head = ref.rstrip("0123456789")
        if runs and ref[len(head) :] and runs[-1][-1] == f"{head}{int(ref[len(head) :]) - 1}":
            runs[-1].append(ref)
        else:
            runs.append([ref])
    said = [", ".join(run) if len(run) < 3 else f"{run[0]} to {run[-1]}" for run in runs]
    return ", ".join(said) if len(said) < 5 else f"{', '.join(said[:3])} ... {said[-1]}"
