"""The whole set of drawings: sheets of each piece in one order, as SVG, and as DXF at true scale."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

from studio_lib.drawings.assembly import assembly_figures
from studio_lib.drawings.drawers import drawer_figures
from studio_lib.drawings.general import (
    arrangement,
    exploded,
    leaning,
    parts_table,
    section_figures,
    tilted,
)
from studio_lib.drawings.joints import distinct_joints, joint_figure
from studio_lib.drawings.members import ACROSS_MM, Alike, distinct, fitted_words, member_figure
from studio_lib.drawings.paper import ROW_MM, Block, Figure, Sheet, packed
from studio_lib.piece import Piece
from studio_lib.structure.hung import hangs_at_mm
from studio_lib.units import mm


@dataclass(frozen=True)
class Drawn:
    """A piece to be drawn."""

    piece: Piece
    rows: tuple
    """Its lines of the cutting list."""
    count: int
    """How many of it are made."""
    fitted: tuple[str, ...] = ()
    """References of members that the maker cuts to fit."""


@lru_cache(maxsize=16)
def sheets_of(drawn: Drawn, paper: str, projection: str) -> tuple[Sheet, ...]:
    """Every sheet of one piece: arrangement, taken apart, sections and joints, members.

    ``paper`` is 'A3' or 'A4'; ``projection`` 'first angle' or 'third angle'. Raises ValueError, in words, for a piece
    too large to be drawn.
    """
    piece, rows = drawn.piece, drawn.rows
    general = arrangement(piece, paper, projection)
    hangs = hangs_at_mm(piece)
    general.notes = (
        "Distances run from the left end, from the front and from the floor." if hangs is None else
        f"Distances run from the left end, from the front and from its lower edge, which hangs {mm(round(hangs))} mm above the floor.",
        *leaning(piece),
        *tilted(piece),
    )
    _, _, wide, high = general.room
    table = parts_table(piece, rows, drawn.count)
    table_w, table_h = table.size
    order = assembly_figures(piece, high)
    if table_w > wide * 0.55 or table_h > high:
        picture = packed([exploded(piece, rows, wide, high - 8)], paper, "taken apart")
        picture += packed([*_split(table, high), *order], paper, "members listed")
    else:
        picture = packed([exploded(piece, rows, wide - table_w - 8, high - 8), table, *order], paper, "taken apart")
    cut = section_figures(piece, wide, high - 18)
    joints = [joint_figure(piece, js, drawn.count, JOINT_MM[paper]) for js in distinct_joints(piece)]
    members = [_member(drawn, alike, wide, MEMBER_MM[paper]) for alike in distinct(piece, rows)]
    members = [part for f in members for part in _continued(f, high)]
    return (
        general,
        *picture,
        *packed([*general.elsewhere, *cut, *drawer_figures(piece, drawn.count, (JOINT_MM[paper][0], 1.25 * JOINT_MM[paper][1])), *joints], paper, "sections and joints"),
        *packed(members, paper, "members"),
    )


JOINT_MM = {"A3": (178.0, 80.0), "A4": (178.0, 50.0)}
MEMBER_MM = {"A3": 80.0, "A4": 40.0}
"""Paper that the pictures of a joint take, and a member's views over one another: two to a sheet of A4."""


def _member(drawn: Drawn, alike: Alike, wide: float, high: float) -> Figure:
    """A member's figure, over the whole sheet where that makes it so much larger that it can be read."""

    def at(room):
        return member_figure(drawn.piece, alike, drawn.count, fitted=_fitted(drawn, alike), wide=room, tall=high)

    narrow = at(min(ACROSS_MM, wide - 14))
    if narrow.scale < SMALL_SCALE or wide - 14 < 1.5 * ACROSS_MM:
        return narrow
    broad = at(wide - 14)
    return broad if broad.scale < narrow.scale else narrow


def _fitted(drawn: Drawn, alike: Alike) -> str:
    """Why one of members drawn together is cut to fit; empty where none is."""
    words = (fitted_words(drawn.piece, r, drawn.fitted) for r in alike.refs)
    return next((w for w in words if w), "")


SMALL_SCALE = 10
"""1 : 10 and less may not show a joint."""


def _continued(f: Figure, high: float) -> list[Figure]:
    """A figure whose table is longer than the sheet, with the rest of the table as a figure of its own."""
    over = f.size[1] - high
    if over <= 0 or len(f.table) < 3:
        return [f]
    kept = max(2, len(f.table) - int(over / ROW_MM) - 1 - 4 * len(f.notes))
    rest = Figure(f"{f.title}, continued", 1, table=[f.table[0], *f.table[kept:]], notes=f.notes, table_mm=f.table_mm)
    return [replace(f, table=f.table[:kept], notes=[]), *_split(rest, high)]


def _split(table: Figure, high: float) -> list[Figure]:
    """A long table as several of a sheet's height."""
    most = max(5, int((high - 22) / ROW_MM))
    head, rows = table.table[0], table.table[1:]
    parts = [rows[i : i + most] for i in range(0, len(rows), most)] or [[]]
    out = [replace(table, table=[head, *part], notes=[]) for part in parts]
    last = replace(out[-1], notes=table.notes)
    if last.size[1] <= high:
        return [*out[:-1], last]
    return [
        *out,
        Figure(f"{table.title.removesuffix(', continued')}, notes", 1, notes=table.notes, table_mm=table.table_mm),
    ]


@dataclass(frozen=True)
class DrawingSet:
    """All sheets of a commission, numbered through."""

    pieces: tuple[tuple[Drawn, Block, tuple[Sheet, ...]], ...]

    @property
    def sheets(self) -> tuple[tuple[Sheet, Block], ...]:
        """Each sheet with its title block."""
        return tuple((sheet, block) for _, block, sheets in self.pieces for sheet in sheets)

    @property
    def svgs(self) -> list[str]:
        """Each sheet at its full size."""
        return [sheet.svg(block, k, len(self.sheets)) for k, (sheet, block) in enumerate(self.sheets, 1)]

    def dxf(self) -> bytes:
        """Every figure at true scale with real dimensions, members unbroken."""
        from studio_lib.drawings.dxf import dxf_bytes

        rows: list[list[Figure]] = []
        for d, _, sheets in self.pieces:
            for kind in ("general arrangement", "taken apart", "sections and joints"):
                rows.append([f for sheet in sheets if sheet.kind == kind for f, *_ in sheet.figures if f.strokes])
            rows += [
                [member_figure(d.piece, a, d.count, broken=False, fitted=_fitted(d, a))]
                for a in distinct(d.piece, d.rows)
            ]
        return dxf_bytes(rows)


def drawing_set(drawn, blocks, paper: str = "A3", projection: str = "first angle") -> DrawingSet:
    """The drawings of several pieces with a title block for each.

    Parameters
    ----------
    drawn : sequence of Drawn
    blocks : sequence of Block
        One for each piece.
    paper : str
        'A3' or 'A4', lying down.
    projection : str
        'first angle' or 'third angle'.

    Raises
    ------
    ValueError
        In words, for a piece too large to be drawn, or a paper or projection that is not known.
    """
    if paper not in ("A3", "A4"):
        raise ValueError(f"Drawings on {paper!r} sheets are not made; give A3 or A4.")
    if projection not in ("first angle", "third angle"):
        raise ValueError(f"{projection!r} is no projection known here; give first angle or third angle.")
    return DrawingSet(tuple((d, block, sheets_of(d, paper, projection)) for d, block in zip(drawn, blocks)))
