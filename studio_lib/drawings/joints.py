"""Joints at a larger scale: each kind once, cut open two ways and taken apart, with its figures."""

from __future__ import annotations

import math

import manifold3d
import numpy as np

from studio_lib.drawings.general import joint_place, reach
from studio_lib.drawings.paper import SMALL_MM, TEXT_MM, Figure, Linear, Words, text_mm
from studio_lib.drawings.views import VIEWS, lines, part_body, section, sharp_edged, solid_body
from studio_lib.piece import Piece
from studio_lib.piece.model import Joint, Vec
from studio_lib.piece.used import bought_words
from studio_lib.solids.mesh import placed

ENLARGED = (1, 2, 5, 10)
WIDE_MM, HIGH_MM = 178.0, 80.0
"""Room for the pictures of a joint on paper, side by side."""
ROUND_MM, LEAST_MM = 14.0, 26.0
MOST_MM, RUN_MM = 100.0, 42.0
"""Half of what is shown at most; of what runs on further, such as a groove, so much is shown. [mm]"""
"""Timber shown round a joint's cuts, and the least half-size of what is shown. [mm]"""
BETWEEN_MM = 15.0


PLACE = "from the start"
"""Figures that say where along a member a joint is, not how it is made: joints that differ in these alone are drawn once."""


def distinct_joints(piece: Piece) -> list[tuple[Joint, ...]]:
    """Joints of one family and the same figures together; the first of each is drawn."""
    found: dict[tuple, list[Joint]] = {}
    for j in piece.worked_by:
        figures = tuple((k, v) for k, v in j.setting_out(piece).items() if not k.startswith(PLACE))
        found.setdefault((j.family, j.kind, figures), []).append(j)
    return [tuple(js) for js in found.values()]


MEETINGS = 6


def _meetings(joints) -> str:
    """'A-A1, A-A2 into A-L2': which members meet in joints, those that go into one member together."""
    into: dict[str, list[str]] = {}
    for j in joints:
        into.setdefault(j.second, []).append(j.first)
    said: dict[tuple[str, ...], list[str]] = {}
    for second, firsts in into.items():
        said.setdefault(tuple(firsts), []).append(second)
    words = [f"{reach(firsts)} into {reach(seconds)}" for firsts, seconds in said.items()]
    return "; ".join(words[:MEETINGS]) + (f" and {len(words) - MEETINGS} more such" if len(words) > MEETINGS else "")


def _placed(piece: Piece, alike, key: str) -> str:
    """Where along their members joints alike are: once where it is the same for all, else each with its members."""
    at: dict[str, list[Joint]] = {}
    for j in alike:
        at.setdefault(j.setting_out(piece).get(key, ""), []).append(j)
    if len(at) == 1:
        return next(iter(at))
    said = [f"{where} ({_meetings(js)})" for where, js in at.items() if where]
    more = f", {len(said) - MEETINGS} more with the members" if len(said) > MEETINGS else ""
    return ", ".join(said[:MEETINGS]) + more


def _bounds(piece: Piece, j: Joint) -> tuple[np.ndarray, np.ndarray]:
    """Low and high corner of what the joint works, in piece axes. [mm]"""
    points = []
    for ref, blocks in (*j.adds(piece).items(), *j.cuts(piece).items()):
        m, (start, end) = piece.member(ref), piece.tenons_mm(ref)
        for b in blocks:
            lo = np.maximum(b.bounds.lo, (-start, 0, 0))
            hi = np.minimum(b.bounds.hi, (m.length_mm + end, m.width_mm, m.thickness_mm))
            if (hi > lo).all():
                points += [
                    m.placement.to_piece((x, y, z))
                    for x in (lo[0], hi[0])
                    for y in (lo[1], hi[1])
                    for z in (lo[2], hi[2])
                ]
    if not points:
        points = [joint_place(piece, j)]
    return np.min(points, axis=0), np.max(points, axis=0)


def joint_figure(
    piece: Piece, alike: tuple[Joint, ...], pieces: int, room: tuple[float, float] = (WIDE_MM, HIGH_MM)
) -> Figure:
    """A joint cut open square to its two other ways, and taken apart, with what is set out for it.

    ``alike`` are joints of the same figures, the first of them drawn; ``pieces`` is how many of the piece are made;
    ``room`` is width and height of the paper that its pictures may take. [mm]
    """
    j, count = alike[0], len(alike) * pieces
    sharp = sharp_edged(piece)
    first, second = piece.member(j.first), piece.member(j.second)
    way = np.asarray(j.entry(piece) or _towards(piece, j), float)
    way /= np.linalg.norm(way)
    low, high = _bounds(piece, j)
    middle = (low + high) / 2
    half = np.maximum((high - low) / 2 + ROUND_MM, LEAST_MM)
    half = np.where(half > MOST_MM, RUN_MM, half)
    keep = manifold3d.Manifold.cube(tuple(2 * half)).translate(tuple(middle - half))
    # Long rows of fixings and long grooves: a window round one of them, not the whole run.
    long = high - low > 2 * half
    if long.any():
        spot = np.asarray(_first_block(piece, j))
        middle = np.where(long, spot, middle)
        keep = manifold3d.Manifold.cube(tuple(2 * half)).translate(tuple(middle - half))
    plans = []
    for square in _frame(first, way):
        normal, right, seen_from = as_it_stands(square)
        v = section(piece, tuple(normal), tuple(right), tuple(middle), keep=keep, refs={j.first, j.second})
        if v.visible:
            plans.append((v, normal, right, f"cut, {seen_from}"))
    apart, apart_words = _apart(
        sharp,
        j,
        keep,
        way,
        float(np.abs((np.minimum(high, middle + half) - np.maximum(low, middle - half)) @ np.abs(way))) + 12,
    )
    drawn = [(v, words) for v, _, _, words in plans] + ([(apart, apart_words)] if apart and apart.visible else [])
    if not drawn:
        return Figure(f"{j.family}: {j.kind}", 1)
    sizes = [(v.extent[2] - v.extent[0], v.extent[3] - v.extent[1]) for v, _ in drawn]
    scale = next(
        (
            s
            for s in ENLARGED
            if sum(max(w / s, text_mm(words, SMALL_MM)) for (w, _), (_, words) in zip(sizes, drawn))
            + BETWEEN_MM * len(sizes)
            <= room[0]
            and max(h for _, h in sizes) / s <= room[1]
        ),
        ENLARGED[-1],
    )
    f = Figure(f"{j.family}: {j.kind}, {count} off", scale)
    x = 0.0
    for k, (v, words) in enumerate(drawn):
        x0, y0, x1, y1 = v.extent
        dx, dy = x - x0, -y0
        f.view(v, dx, dy, hidden=False)
        f.words.append(Words(x, y1 - y0, words, SMALL_MM, "start", 0.0, -1.4))
        if k < len(plans):
            _named(f, v, dx, dy, scale)
            _sized(f, piece, j, plans[k][1], plans[k][2], dx, dy, keep, v)
        x += max(x1 - x0, text_mm(words, SMALL_MM) * scale) + BETWEEN_MM * scale
    f.notes = [
        f"{j.first} {first.name} into {j.second} {second.name}, drawn as it stands in the piece. "
        + "; ".join(f"{k} {_placed(piece, alike, k) if k.startswith(PLACE) else v}" for k, v in j.setting_out(piece).items())
        + "."
    ]
    if len(alike) > 1:
        f.notes.append(f"The same, turned or handed to its place: {_meetings(alike[1:])}.")
    bought = [bought_words(h.count, h.unit, h.name) for h in j.hardware(piece)]
    if bought:
        f.notes[0] += f" Each: {'; '.join(bought)}."
    f.table_mm = room[0] + 7.0
    return f


STANDING = {
    0: ((-1.0, 0.0, 0.0), "from the left"),
    1: ((0.0, -1.0, 0.0), "from the front"),
    2: ((0.0, 0.0, 1.0), "from above"),
}
"""For the axis of the piece that a view looks along: the way to the eye, in words too, as in the arrangement."""


def as_it_stands(square: np.ndarray) -> tuple[np.ndarray, np.ndarray, str]:
    """The way to the eye and the way right for a view square to a plane, turned as the piece's own views are.

    ``square`` is a unit vector in piece axes, its sign of no account. Up on the paper is up in the piece, and to the
    back in a view from above.
    """
    axis = int(np.argmax(np.abs(square)))
    eye, words = STANDING[axis]
    normal = np.asarray(square, float) * (1.0 if square @ np.asarray(eye) > 0 else -1.0)
    right = np.cross((0.0, 1.0, 0.0) if axis == 2 else (0.0, 0.0, 1.0), normal)
    return normal, right / np.linalg.norm(right), words


def _towards(piece: Piece, j: Joint) -> Vec:
    a, b = piece.member(j.first).piece_box.centre, piece.member(j.second).piece_box.centre
    d = np.subtract(b, a)
    axis = int(np.argmax(np.abs(d)))
    return tuple(float(np.sign(d[axis])) if k == axis else 0.0 for k in range(3))


def _first_block(piece: Piece, j: Joint) -> Vec:
    for ref in (j.second, j.first):
        blocks = j.cuts(piece).get(ref, ())
        if blocks:
            m = piece.member(ref)
            lo, hi = (
                np.maximum(blocks[0].bounds.lo, 0),
                np.minimum(blocks[0].bounds.hi, (m.length_mm, m.width_mm, m.thickness_mm)),
            )
            long = (hi - lo) > 220
            return m.placement.to_piece(tuple(np.where(long, lo + 40, (lo + hi) / 2)))
    return joint_place(piece, j)


def _frame(first, way: np.ndarray) -> list[np.ndarray]:
    """Two directions square to the way in, as near to the first member's own as can be."""
    own = [np.asarray(v, float) for v in (first.placement.along, first.placement.across, first.placement.through)]
    own.sort(key=lambda v: -abs(float(v @ way)))
    a = own[1] - way * (own[1] @ way)
    a /= np.linalg.norm(a)
    return [a, np.cross(way, a)]


WAYS = (("left", "right"), ("front", "back"), ("below", "above"))


def _apart(sharp: Piece, j: Joint, keep, way: np.ndarray, step: float):
    """The two members near the joint, the first drawn out by ``step`` against its way in, and from where. [mm]"""
    things = []
    for ref, move in ((j.first, -way * step), (j.second, np.zeros(3))):
        solid = (placed(sharp, ref) ^ keep).translate(tuple(move))
        body = solid_body(ref, solid)
        if body:
            things.append(body)
    things += [part_body(j.first, p.block, tuple(-way * step / 2)) for p in j.parts(sharp) if _inside(p.block, keep)]
    if abs(np.asarray(VIEWS["pictorial"][0]) @ way) > 0.95:
        return None, ""
    # Look into the second member's worked side: from the side the first one left to.
    flip = np.array([-1.0 if way[0] > 0.5 else 1.0, 1.0 if way[1] < -0.5 else -1.0, -1.0 if way[2] > 0.5 else 1.0])
    towards = flip / math.sqrt(3)
    right = np.cross((0.0, 0.0, 1.0), towards)
    right /= np.linalg.norm(right)
    words = " ".join(WAYS[k][int(flip[k] > 0)] for k in (1, 0, 2))
    return (
        lines(things, tuple(towards), tuple(right), hidden=False) if things else None
    ), f"taken apart, from the {words}"


def _named(f: Figure, v, dx: float, dy: float, scale: float) -> None:
    """The reference of each member on its largest cut, where there is room."""
    largest: dict[str, tuple[float, float, float]] = {}
    for c in v.cuts:
        for loop in c.loops:
            xs, ys = zip(*loop)
            wide, high = (max(xs) - min(xs)) / scale, (max(ys) - min(ys)) / scale
            if wide > text_mm(c.ref) + 3 and high > 5 and wide * high > largest.get(c.ref, (0.0, 0.0, 0.0))[2]:
                largest[c.ref] = (*_within(loop), wide * high)
    placed: list[tuple[float, float, float]] = []
    for ref, (x, y, _) in largest.items():
        half = text_mm(ref) / 2 + 0.6
        if all(abs(x - u) / scale > half + other or abs(y - v) / scale > 3.2 for u, v, other in placed):
            f.words.append(Words(x + dx, y + dy, ref, dy=0.36 * TEXT_MM, clear=True))
            placed.append((x, y, half))


def _within(loop) -> tuple[float, float]:
    """A place well inside a loop: the middle of its widest level stretch at a few heights."""
    ys = [y for _, y in loop]
    best = (-1.0, 0.0, 0.0)
    for k in range(1, 8):
        level = min(ys) + (max(ys) - min(ys)) * k / 8 + 1e-6
        crossings = sorted(
            x0 + (x1 - x0) * (level - y0) / (y1 - y0)
            for (x0, y0), (x1, y1) in zip(loop, (*loop[1:], loop[0]))
            if (y0 <= level) != (y1 <= level)
        )
        for a, b in zip(crossings[::2], crossings[1::2]):
            best = max(best, (b - a - 1e-3 * abs(k - 4), (a + b) / 2, level))
    return best[1], best[2]


def _inside(block, keep) -> bool:
    box = np.asarray(keep.bounding_box()).reshape(2, 3)
    return bool(
        (np.asarray(block.bounds.lo) >= box[0] - 60).all() and (np.asarray(block.bounds.hi) <= box[1] + 60).all()
    )


def _sized(f: Figure, piece: Piece, j: Joint, normal, right, dx: float, dy: float, keep, v) -> None:
    """Sizes of what the joint adds or takes away, where the section shows it whole."""
    up = np.cross(normal, right)
    box = np.asarray(keep.bounding_box()).reshape(2, 3)
    blocks = [(piece.member(r), b) for r, bs in j.adds(piece).items() for b in bs] or [
        (piece.member(r), b) for r, bs in j.cuts(piece).items() for b in bs
    ][:1]
    if not blocks:
        return
    m, b = max(blocks, key=lambda mb: mb[1].volume_mm3)
    start, end = piece.tenons_mm(m.ref)
    lo = np.maximum(b.bounds.lo, (-start, 0, 0))
    hi = np.minimum(b.bounds.hi, (m.length_mm + end, m.width_mm, m.thickness_mm))
    if not (hi > lo).all():
        return
    corners = np.array(
        [m.placement.to_piece((x, y, z)) for x in (lo[0], hi[0]) for y in (lo[1], hi[1]) for z in (lo[2], hi[2])]
    )
    shown = np.array([(x, y, z) for x in box[:, 0] for y in box[:, 1] for z in box[:, 2]])
    x0, y0, x1, y1 = v.extent
    for axis, way, at, edge, side in (("x", right, dx, y0 + dy, "below"), ("y", up, dy, x0 + dx, "left")):
        reach_, window = corners @ way, shown @ way
        if any(s.kind == "end cut" for s in m.shaping) and abs(way @ np.asarray(m.placement.along)) > 0.5:
            continue  # its shoulder slopes: the block behind it is no length that is set out
        if not m.placement.square or reach_.min() < window.min() - 1 or reach_.max() > window.max() + 1:
            continue
        size = Linear(axis, side, edge, float(reach_.min()) + at, float(reach_.max()) + at)
        if axis == "y" or not any(d.axis == "x" and abs(d.value_mm - size.value_mm) < 0.05 for d in f.dims):
            f.dims.append(size)
