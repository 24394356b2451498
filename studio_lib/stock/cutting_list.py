"""The cutting list: equal members on one line, finished and sawn, tenons included."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace

from studio_lib.piece import Piece
from studio_lib.showing import inches
from studio_lib.stock.boards import Allowances, Match, Wanted
from studio_lib.units import MM_PER_INCH


NUMBERED = re.compile(r" \d+\b| of bay \d+\b")
"""What tells one of several apart in its name: 'drawer 2 of bay 3'."""
JOINTING_MM = 2.0
"""Planed off the edges of each board before it is glued to the next; common practice, no source."""


TO_FIT = ("door", "drawer", "panel", "back", "lid", "plinth")
"""Words in the name of a member that is fitted to its place; common practice, no source."""
CARCASE = ("drawer rail", "drawer runner", "drawer guide", "drawer kicker")
"""What drawers run on is the carcase that they are fitted to."""


@dataclass(frozen=True)
class Row:
    """One line of the cutting list. Sizes are length, width, thickness in mm."""

    ref: str
    """The first member's reference; stands for the line on boards and papers."""
    refs: tuple[str, ...]
    piece: str
    name: str
    count: int
    timber: str
    overall_length_mm: float
    shoulder_length_mm: float
    width_mm: float
    thickness_mm: float
    ends: str
    """What is worked on its ends, in words: 'tenon 39 + tenon 39'."""
    rank: str
    boards: int = 1
    """Boards glued edge to edge into the width of each."""
    hand: str = ""
    """'left' or 'right' for a member with a mirrored twin."""
    role: str = ""
    ready: bool = False
    """Bought glued up, planed to its thickness."""

    @property
    def fitted_by_kind(self) -> bool:
        """Doors, drawers, panels and backs are cut to the carcase as it came out, not to the list."""
        role = self.role.lower()
        return any(word in role for word in TO_FIT) and not any(word in role for word in CARCASE)

    @property
    def end_words(self) -> tuple[str, str]:
        """What is worked on each end."""
        first, _, second = self.ends.partition(" + ")
        return first, second or first

    @property
    def board_width_mm(self) -> float:
        """Width of one of the boards glued into it, dressed, with what jointing takes off its edges. [mm]"""
        return self.width_mm / self.boards + (JOINTING_MM if self.boards > 1 else 0.0)

    @property
    def volume_m3(self) -> float:
        """Finished volume of all on the line, as blocks before joints are cut."""
        return self.count * self.overall_length_mm * self.width_mm * self.thickness_mm * 1e-9

    def sawn_mm(self, allowances: Allowances) -> tuple[float, float, float]:
        """Size to saw to, before planing and docking; of one board where several are glued into the width."""
        return (
            self.overall_length_mm + allowances.length_mm,
            self.board_width_mm + allowances.width_mm,
            self.thickness_mm + (0.0 if self.ready else allowances.thickness_mm),
        )


def cutting_list(pieces) -> tuple[Row, ...]:
    """Rows for [(piece, how many of it)], in the order of the pieces, equal members together."""
    rows = []
    for piece, count in pieces:
        lines: dict[tuple, list] = {}
        for m in piece.members:
            key = (
                m.role, m.timber, round(piece.overall_length_mm(m.ref), 3), round(m.length_mm, 3),
                round(m.width_mm, 3), round(m.thickness_mm, 3), m.rank, _ends(piece, m.ref), m.shaping, m.hand, m.boards, m.ready,
            )
            lines.setdefault(key, []).append(m.ref)
        for (role, timber, overall, shoulder, w, t, rank, ends, _, hand, boards, ready), refs in lines.items():
            rows.append(
                Row(refs[0], tuple(refs), piece.name, _name(piece, role, refs), count * len(refs), timber,
                    overall, shoulder, w, t, ends, rank, boards, hand, role, ready)
            )
    return tuple(rows)


def _name(piece: Piece, role: str, refs) -> str:
    """The role, and which ones where that says more: 'apron, front and back'."""
    names = [piece.member(r).name for r in refs]
    tails = [n.removeprefix(f"{role}, ") for n in names if n.startswith(f"{role}, ")]
    if tails and len(tails) == len(refs) and len(tails) <= 2:
        return f"{role}, {' and '.join(tails)}"
    # 'left side, front stile' is a stile of the left side.
    word = role.rpartition(" ")[2]
    owners = list(dict.fromkeys(n.rpartition(", ")[0] for n in names if word in n.rpartition(", ")[2]))
    if tails or not all(owners) or not owners or any(word not in n.rpartition(", ")[2] for n in names):
        return role
    kinds = {NUMBERED.sub("", o) for o in owners}
    if len(owners) > 1 and len(kinds) == 1:
        return f"{role}, {len(owners)} {kinds.pop()}s"
    return f"{role}, {' and '.join(owners)}" if len(owners) <= 2 else role


def _ends(piece: Piece, ref: str) -> str:
    ends = piece.ends(ref)
    if not ends:
        return "square"
    return " + ".join(ends.get(e, "square") for e in ("start", "end"))


def wanted(rows, marks=None, dressing_mm: float = 0.0) -> tuple[Wanted, ...]:
    """The rows as the board layout wants them: finished sizes, tenons and spares included.

    What is bought glued up is planed already: ``dressing_mm``, which the layout adds to every thickness, is taken off it.

    ``marks`` gives what a line asks for beside its sizes, by reference: an object with
    ``spares``, ``shown``, ``grain``, ``match`` and ``set``.
    """
    out = []
    for r in rows:
        mark = (marks or {}).get(r.ref)
        asked = {} if mark is None else {"shown": mark.shown, "grain": mark.grain}
        spares = 0 if mark is None else mark.spares
        count = (r.count + spares) * r.boards
        if mark is not None and mark.match == "book-matched":
            count += count % 2
        out.append(Wanted(
            ref=r.ref, length_mm=r.overall_length_mm, width_mm=r.board_width_mm,
            thickness_mm=r.thickness_mm - dressing_mm if r.ready else r.thickness_mm, count=count, rank=r.rank, timber=r.timber, **asked,
        ))
    return tuple(out)


USUAL_MM = (20.0, 27.0, 32.0, 41.0, 52.0, 65.0, 80.0, 100.0)
"""Thicknesses that hardwood is sawn to: EN 1313-2, preferred sizes, from memory."""

QUARTERS = (4, 5, 6, 8, 10, 12, 16)
"""Rough thicknesses of North American hardwood, in quarters of an inch: NHLA rules, from memory."""


def quarter_words(thickness_mm: float) -> str:
    """'8/4 (2 in)' for a rough thickness sold in quarters of an inch; '' for any other."""
    quarters = next((q for q in QUARTERS if abs(q * MM_PER_INCH / 4 - thickness_mm) < 0.05), None)
    return f"{quarters}/4 ({inches(thickness_mm)} in)" if quarters else ""


@dataclass(frozen=True)
class Thickness:
    """What boards of one thickness are needed for, sawn."""

    thickness_mm: float
    """As yards saw it: the next of ``USUAL_MM``, or of ``QUARTERS``; what is needed itself where it is over the thickest."""
    least_mm: float
    """What the thickest of these pieces needs."""
    count: int
    longest_mm: float
    widest_mm: float


def thicknesses(pieces, allowances: Allowances, in_quarters: bool = False) -> tuple[Thickness, ...]:
    """Thicknesses to ask a yard for, the thinnest first, each with how many pieces and how large; in quarters of an inch on demand. [mm]"""
    sold_mm = tuple(q * MM_PER_INCH / 4 for q in QUARTERS) if in_quarters else USUAL_MM
    alike: dict[float, list[tuple[int, float, float, float]]] = {}
    for p in pieces:
        length, width, thick = p.rough_mm(allowances)
        least = round(thick, 1)
        alike.setdefault(next((t for t in sold_mm if t >= least), least), []).append((p.count, length, width, least))
    return tuple(
        Thickness(sold, max(t for *_, t in of), sum(n for n, *_ in of), max(length for _, length, *_ in of), max(width for _, _, width, _ in of))
        for sold, of in sorted(alike.items())
    )


def most_needed_mm(asked) -> float | None:
    """Of ``thicknesses`` the one that asks for the most timber; None where nothing is asked for. [mm]"""
    most = max(asked, key=lambda t: t.count * t.longest_mm * t.widest_mm, default=None)
    return None if most is None else most.thickness_mm


def turned(pieces, boards, allowances: Allowances) -> tuple[Wanted, ...]:
    """The pieces as they lie in these boards: one that is too thick for every board of its timber, but not when
    turned a quarter about its length, is turned; not where its sawing is asked for, nor where one face shows."""
    def holds(p: Wanted) -> bool:
        _, width, thickness = p.rough_mm(allowances)
        return any(b.thickness_mm >= thickness - 1e-6 and b.widest_mm >= width - 1e-6 for b in boards if b.timber == p.timber)

    def lying(p: Wanted) -> Wanted:
        if p.width_mm >= p.thickness_mm or p.grain or p.shown == "one" or holds(p):
            return p
        on_its_side = replace(p, width_mm=p.thickness_mm, thickness_mm=p.width_mm)
        return on_its_side if holds(on_its_side) else p

    return tuple(map(lying, pieces))


def matches(rows, marks) -> tuple[Match, ...]:
    """Sets of lines that must match, from their marks; a line that alone cannot match is left as it is."""
    sets: dict[tuple, list[str]] = {}
    by_ref = {r.ref: r for r in rows}
    for ref in by_ref:
        mark = marks.get(ref)
        if mark is not None and mark.match:
            sets.setdefault((mark.match, mark.set or f"\x1f{ref}"), []).append(ref)
    found = []
    for (kind, _), refs in sets.items():
        alike = len({by_ref[r].timber for r in refs}) == 1 and (
            kind != "consecutive" or len({by_ref[r].thickness_mm for r in refs}) == 1
        )
        found += [Match(kind, tuple(refs))] if alike else [Match(kind, (r,)) for r in refs]
    return tuple(found)
