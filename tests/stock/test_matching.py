"""Pieces that belong together, choices that stay, tapers, faces, grain, and what is kept of an earlier layout."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

import pytest

from studio_lib.stock import Allowances, Board, Fault, Wanted, check_layout, lay_out
from studio_lib.stock.boards import Match, Pin

SAW = {"allowances": Allowances(20, 5, 5), "end_trim_mm": 20, "resaw_kerf_mm": 3.0}
PLANK = Board("B1", "ash", 2400, 200, 32, Decimal(40), 1)
THICK = Board("S", "ash", 3000, 200, 54, Decimal(90), None)


def sound(pieces, boards, matches=(), pins=(), effort="quick", **how):
    layout = lay_out(pieces, boards, 4, 10, effort=effort, matches=matches, pins=pins, **SAW, **how)
    assert check_layout(layout, pieces, boards, 4, matches=matches, pins=pins, **SAW) == []
    return layout


def made(layout, ref, board=None):
    return sum(p.layers for p in layout.placements if p.piece_ref == ref and board in (None, p.board_ref))


@pytest.mark.parametrize("effort", ["quick", "thorough"])
def test_a_set_comes_from_one_board_whatever_it_costs(effort):
    stave = Wanted("A", 900, 90, 25, 4, "show", "ash")
    # Each small plank gives two; only the large one gives all four.
    small = [replace(PLANK, ref=f"P{n}", length_mm=1100, price=Decimal(10)) for n in range(3)]
    large = replace(PLANK, ref="L", price=Decimal(60))
    assert sound([stave], [*small, large], effort=effort).cost == 20
    matched = sound([stave], [*small, large], [Match("same board", ("A",))], effort=effort)
    assert matched.boards_used == (("L", 1),) and not matched.missing
    # The bound is of the job without the match, so it may not claim more than that proves.
    assert matched.bound <= 20


def test_one_board_of_many_alike_is_still_one_board():
    stave = Wanted("A", 900, 90, 25, 4, "show", "ash")
    many = replace(PLANK, count=None)
    layout = sound([stave, Wanted("C", 1500, 150, 25, 2, "show", "ash")], [many], [Match("same board", ("A",))])
    assert len({p.board for p in layout.placements if p.piece_ref == "A"}) == 1
    assert not layout.missing and len(layout.boards_used) == 3


def test_a_set_that_no_board_holds_is_missing_and_never_split():
    stave = Wanted("A", 2000, 90, 25, 9, "show", "ash")
    layout = sound([stave], [replace(PLANK, count=None)], [Match("same board", ("A",))])
    assert layout.missing == {"A": 9} and layout.placements == ()


def test_drawer_fronts_lie_next_to_each_other():
    fronts = [Wanted(f"F{n}", 400, w, 20, 1, "show", "ash") for n, w in enumerate((100, 130, 160))]
    layout = sound(
        [*fronts, Wanted("X", 600, 60, 20, 4, "plain", "ash")],
        [PLANK, replace(PLANK, ref="B2")],
        [Match("consecutive", ("F0", "F1", "F2"))],
    )
    assert not layout.missing
    row = sorted((p for p in layout.placements if p.piece_ref.startswith("F")), key=lambda p: p.x_mm)
    assert len({p.board for p in row}) == 1
    # Rough fronts are 420 long; end to end with a kerf of 4 each begins 424 after the one before.
    assert [b.x_mm - a.x_mm for a, b in zip(row, row[1:])] == [424, 424]


def test_book_matched_leaves_come_from_one_place():
    door = Wanted("D", 500, 150, 20, 2, "show", "ash")
    # (54 + 3) / (25 + 3) = 2 leaves; a plank of 32 gives one.
    layout = sound([door], [PLANK, THICK], [Match("book-matched", ("D",))])
    assert [(p.board_ref, p.layers) for p in layout.placements] == [("S", 2)]
    assert sound([door], [PLANK, THICK]).boards_used == (("B1", 1),)
    with pytest.raises(ValueError, match="3 do not make sets of 2"):
        sound([replace(door, count=3)], [THICK], [Match("book-matched", ("D",))])


@pytest.mark.parametrize("effort", ["quick", "thorough"])
def test_a_pinned_choice_stays(effort):
    piece = Wanted("A", 500, 90, 25, 3, "show", "ash")
    dear = replace(PLANK, ref="DEAR", price=Decimal(400))
    assert sound([piece], [PLANK, dear], effort=effort).cost == 40
    layout = sound([piece], [PLANK, dear], pins=[Pin("A", "DEAR", 2)], effort=effort)
    assert made(layout, "A", "DEAR") >= 2 and made(layout, "A") == 3


@pytest.mark.parametrize(
    "matches, pins, says",
    [
        ([Match("same board", ("Z",))], [], "Z is to be same board, and is not on the cutting list"),
        ([Match("same board", ("A",)), Match("consecutive", ("A", "C"))], [], "A is in two sets"),
        ([Match("consecutive", ("A", "C"))], [], "differ in thickness"),
        ([], [Pin("A", "Q9")], "board Q9, which is not among the boards"),
        ([], [Pin("A", "B1", 5)], "5 of A are kept for boards; 4 are wanted"),
    ],
)
def test_what_cannot_match_or_stay_is_said(matches, pins, says):
    pieces = [Wanted("A", 500, 90, 25, 4, "show", "ash"), Wanted("C", 500, 90, 20, 1, "show", "ash")]
    with pytest.raises(ValueError, match=says):
        lay_out(pieces, [PLANK], 4, matches=matches, pins=pins, **SAW)


def test_nothing_is_cut_beyond_a_tapering_edge():
    # 200 wide at the left, 100 at the right of 2000: at 1000 it is 150, so a piece of rough 150 ends there.
    taper = Board("T", "ash", 2000, 200, 32, Decimal(10), 1, width_end_mm=100)
    assert taper.width_at(1000) == 150 and taper.volume_mm3 == 2000 * 150 * 32
    fits, not_so = Wanted("A", 855, 145, 25, 1, "show", "ash"), Wanted("A", 1100, 145, 25, 1, "show", "ash")
    assert not sound([fits], [taper]).missing
    assert sound([not_so], [taper]).missing == {"A": 1}
    layout = sound([Wanted("A", 400, 60, 25, 5, "show", "ash")], [taper])
    assert all(p.y_mm + p.width_mm <= taper.width_at(p.x_mm + p.length_mm) for p in layout.placements)
    assert all(o.y_mm + o.width_mm <= taper.width_at(o.x_mm + o.length_mm) + 1e-9 for o in layout.offcuts)


@pytest.mark.parametrize(
    "shown, face, thick, missing",
    [
        ("both", "back", 32, 1),
        ("one", "back", 32, 0),
        ("one", "front", 32, 0),
        ("one", "both", 32, 1),
        ("one", "back", 63, 1),
    ],
)
def test_a_fault_on_one_face_is_turned_away_unless_resawn(shown, face, thick, missing):
    # The piece covers the knot wherever it lies; of 63 thick two are resawn, (63 + 3) / (30 + 3), and how deep the knot goes nobody knows.
    board = Board("B", "ash", 1000, 100, thick, Decimal(9), 1, (Fault(480, 520, 40, 60, 2, "knot", face),))
    piece = Wanted("A", 900, 90, 25, 1, "show", "ash", shown=shown)
    wanted = [piece] if thick == 32 else [replace(piece, count=2)]
    layout = sound(wanted, [board])
    assert sum(layout.missing.values()) == missing * wanted[0].count


def test_grain_is_asked_of_the_board():
    slat = Wanted("A", 900, 60, 25, 2, "show", "ash", grain=("straight",))
    assert sound([slat], [PLANK]).missing == {"A": 2}
    straight = replace(PLANK, ref="G", price=Decimal(90), grain=("straight", "quarter-sawn"))
    assert sound([slat], [PLANK, straight]).boards_used == (("G", 1),)


@pytest.mark.parametrize("first_cut, kind", [("crosscut", "crosscut"), ("rip", "rip")])
def test_the_saw_begins_as_asked(first_cut, kind):
    # Four equal pieces in a square: either cut parts them.
    piece = Wanted("A", 480, 95, 32 - 5, 4, "show", "ash")
    board = Board("B", "ash", 1044, 204, 32, Decimal(9), 1)
    layout = lay_out([piece], [board], 4, effort="quick", first_cut=first_cut, **SAW)
    assert not layout.missing
    inner = [c for c in layout.cut_lines(("B", 1)) if c.x0_mm > 400 or c.y0_mm > 50]
    # After the trims at the ends, the first cut between pieces.
    between = [
        c for c in inner if (c.kind == "crosscut" and 500 < c.x0_mm < 600) or (c.kind == "rip" and 90 < c.y0_mm < 110)
    ]
    assert between[0].kind == kind


def test_cut_lines_never_cross_a_piece_and_count_up():
    piece = [Wanted("A", 480, 95, 27, 4, "show", "ash"), Wanted("C", 700, 60, 27, 3, "plain", "ash")]
    layout = sound(piece, [PLANK, replace(PLANK, ref="B2")])
    for key in layout.boards_used:
        lines = layout.cut_lines(key)
        assert [c.number for c in lines] == list(range(1, len(lines) + 1))
        for c in lines:
            for p in layout.on(key):
                apart_x = c.x1_mm <= p.x_mm + 1e-6 or c.x0_mm >= p.x_mm + p.length_mm - 1e-6
                assert apart_x or c.y1_mm <= p.y_mm + 1e-6 or c.y0_mm >= p.y_mm + p.width_mm - 1e-6


def test_a_changed_board_moves_only_what_it_must():
    pieces = [Wanted("A", 700, 90, 25, 12, "show", "ash")]
    boards = [replace(PLANK, ref=f"B{n}") for n in range(4)]
    before = sound(pieces, boards)
    assert not before.missing and {r for r, _ in before.boards_used} == {"B0", "B1"}
    spoilt = [replace(b, faults=(Fault(0, 1200, 0, 200, 3, "shake"),)) if b.ref == "B0" else b for b in boards]
    after = lay_out(pieces, spoilt, 4, effort="quick", kept=before, **SAW)
    assert check_layout(after, pieces, spoilt, 4, **SAW) == [] and not after.missing
    assert set(before.on(("B1", 1))) <= set(after.on(("B1", 1)))
