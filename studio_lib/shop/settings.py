"""Settings of saw, bevel and cutter for one piece: angles, heights and depths, each once, with the members it serves."""

from __future__ import annotations

from dataclasses import dataclass

from studio_lib.piece.shaping import EndCut
from studio_lib.piece.worked import GOING_IN
from studio_lib.shop.setting_out import SAME_MM, MemberRod


@dataclass(frozen=True)
class Angle:
    """One setting of saw or bevel and all that is cut at it."""

    what: str
    """'ends at mitre 7.96, tilt 6.00 degrees', 'taper, face'."""
    figures: str
    works: tuple[str, ...]
    """References, with the end and the way it leans where that matters."""
    count: int


@dataclass(frozen=True)
class Height:
    """One height or depth of a cutter. [mm]"""

    cut: str
    """'tenon cheek', 'tenon edge', or the joint whose trench, mortise or notch is cut."""
    mm: float
    works: tuple[tuple[str, int], ...]
    """(what, how many)"""

    @property
    def count(self) -> int:
        return sum(n for _, n in self.works)


def degrees(value: float, places: int = 2) -> str:
    """An angle without its sign and without a needless -0."""
    return f"{abs(value):.{places}f}"


def angles(pieces) -> tuple[Angle, ...]:
    """Every angle to be set, from the steepest saw cut down. ``pieces`` is [(piece, count)].

    Ends cut at one mitre and tilt share a setting whichever way they lean: the way is said with each.
    """
    ends: dict[tuple[str, str], list[str]] = {}
    others: dict[tuple[str, str], list[str]] = {}
    many: dict[tuple[str, str], int] = {}
    for piece, number in pieces:
        for m in piece.members:
            for s in m.shaping:
                if isinstance(s, EndCut):
                    mitre, tilt = s.saw_deg
                    if max(abs(mitre), abs(tilt)) < 0.005:
                        continue
                    key = (degrees(mitre), degrees(tilt))
                    ends.setdefault(key, []).append(f"{m.ref} {s.end} {_way(mitre, tilt)}")
                    many[key] = many.get(key, 0) + number
                else:
                    for what, figures in s.setting_out(m).items():
                        if "degrees" in figures:
                            others.setdefault((what, figures), []).append(m.ref)
                            many[what, figures] = many.get((what, figures), 0) + number
    out = []
    for key in sorted(ends, key=lambda k: (-float(k[0]), -float(k[1]))):
        mitre, tilt = key
        figures = f"fence {mitre} off square" + (f", blade tilted {tilt}" if float(tilt) else ", blade upright") + "; degrees"
        out.append(Angle("ends", figures, tuple(ends[key]), many[key]))
    out += [Angle(what, figures, tuple(refs), many[what, figures]) for (what, figures), refs in others.items()]
    return tuple(out)


def _way(mitre: float, tilt: float) -> str:
    """Which corner of an end stays longest, face up: the fence's side first."""
    side = "" if abs(mitre) < 0.005 else "lower edge long" if mitre > 0 else "upper edge long"
    under = "" if abs(tilt) < 0.005 else "back long" if tilt > 0 else "face long"
    return f"({', '.join(w for w in (side, under) if w)})"


def heights(pieces, rods: tuple[MemberRod, ...]) -> tuple[Height, ...]:
    """Heights for the cheeks and edges of tenons, and depths of everything cut in, from the least up.

    ``pieces`` is [(piece, count)]; ``rods`` are their member rods.
    """
    table: dict[str, dict[float, dict[str, int]]] = {}

    def add(cut: str, mm: float, what: str, count: int) -> None:
        if mm <= SAME_MM:
            return
        row = table.setdefault(cut, {})
        at = next((d for d in row if abs(d - mm) <= SAME_MM), round(mm, 2))
        works = row.setdefault(at, {})
        works[what] = works.get(what, 0) + count

    for piece, number in pieces:
        for m in piece.members:
            for block in piece.shape(m.ref).adds:
                box = block.bounds
                add("tenon cheek", box.lo[2], f"{m.role}, back", number)
                add("tenon cheek", m.thickness_mm - box.hi[2], f"{m.role}, face", number)
                add("tenon edge", box.lo[1], f"{m.role}, lower edge", number)
                add("tenon edge", m.width_mm - box.hi[1], f"{m.role}, upper edge", number)
    for rod in rods:
        for mark in rod.marks:
            if not mark.depth_mm or GOING_IN in mark.aslant:
                continue
            side = f"into the {mark.face}" if mark.into_end else mark.face
            if mark.diameter_mm:
                add(f"holes of {mark.diameter_mm:g}", mark.depth_mm, f"{rod.row.name}, {side}", rod.count)
            elif not mark.face.startswith("through"):
                add(mark.what.partition(",")[0], mark.depth_mm, f"{rod.row.name}, {side}", rod.count)
    return tuple(
        Height(cut, mm, tuple(table[cut][mm].items())) for cut in table for mm in sorted(table[cut])
    )
