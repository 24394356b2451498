"""Pieces of two or three members for trying one kind of joint."""

from __future__ import annotations

import math

from studio_lib.piece import Member, Piece, Placement
from studio_lib.piece.kinds import joined
from studio_lib.solids import volume_mm3
from studio_lib.solids.mesh import placed
from studio_lib.piece.bulk import bulk
from tests.forms import invariants

X, Y, Z = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)


def leg(ref="L1", x=0.0, y=0.0, height=500.0, size=60.0, **more) -> Member:
    """An upright, its low corner at (x, y, 0)."""
    return Member(ref, f"leg {ref}", "leg", "oak", height, size, size, Placement((x, y, 0.0), Z, X), **more)


def rail_x(ref="A1", x=60.0, y=20.0, z=400.0, length=300.0, width=80.0, thickness=24.0, **more) -> Member:
    """A rail along x standing on edge, its face towards the front."""
    return Member(ref, f"rail {ref}", "rail", "oak", length, width, thickness, Placement((x, y + thickness, z), X, Z),
        **more)


def rail_y(ref="A2", x=20.0, y=60.0, z=400.0, length=300.0, width=80.0, thickness=24.0, **more) -> Member:
    """A rail along y standing on edge."""
    return Member(ref, f"rail {ref}", "rail", "oak", length, width, thickness, Placement((x, y, z), Y, Z), **more)


def board(ref, x, y, length, width, thickness=25.0, along="x", z=500.0) -> Member:
    """A flat board by its low corner, its grain along x or y."""
    if along == "x":
        at = Placement((x, y, z), X, Y)
    else:
        at = Placement((x + width, y, z), Y, (-1.0, 0.0, 0.0))
    return Member(ref, f"board {ref}", "board", "oak", length, width, thickness, at)


def turned(member: Member, about: str, degrees: float, centre=(0.0, 0.0, 0.0)) -> Member:
    """A member turned about an axis of the piece through a point."""
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))
    i, j = {"x": (1, 2), "y": (2, 0), "z": (0, 1)}[about]

    def turn(v):
        out = list(v)
        out[i], out[j] = c * v[i] - s * v[j], s * v[i] + c * v[j]
        return tuple(out)

    p = member.placement
    origin = tuple(a + b for a, b in zip(turn(tuple(a - b for a, b in zip(p.origin, centre))), centre))
    from dataclasses import replace

    return replace(member, placement=Placement(origin, turn(p.along), turn(p.across)))


def pair(kind: str, first: Member, second: Member, **own) -> Piece:
    return piece([first, second], [joined(kind, first, second, "", {k: float(v) for k, v in own.items()})])


def piece(members, joints) -> Piece:
    return Piece("try", "freehand", tuple(members), tuple(joints))


def sound(made: Piece) -> list[str]:
    """Everything wrong with it, by both kernels; parts that claim timber included."""
    return invariants.all_of(made, exact=True) + parts_overlap(made)


def parts_overlap(made: Piece, but=()) -> list[str]:
    out = []
    for j in made.joints:
        for part in j.parts(made):
            if any(word in part.name for word in ("screw", *but)):
                continue
            for m in made.members:
                shared = (bulk(part.block) ^ placed(made, m.ref)).volume()
                if shared > 2.0:
                    out.append(f"{part.name} and {m.ref} share {shared:.1f} mm3")
    return out


def timber_mm3(made: Piece) -> float:
    return sum(volume_mm3(made.shape(m.ref)) for m in made.members)
