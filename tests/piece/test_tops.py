"""Breadboard ends, buttons and slotted screws: sound, and free to move as far as the timber will."""

import pytest

from studio_lib.piece import Member, Placement
from studio_lib.piece.checks import piece_findings
from studio_lib.piece.kinds import joined
from tests.piece.pairs import X, Y, Z, board, piece, sound
from tests.piece.test_mortise_tenon import Damp


def breadboarded(widths, **own):
    y, boards = 0.0, []
    for i, w in enumerate(widths, 1):
        boards.append(board(f"T{i}", 0.0, y, 700.0, w))
        y += w
    cleats = (board("E1", -80.0, 0.0, y, 80.0, along="y"), board("E2", 700.0, 0.0, y, 80.0, along="y"))
    joints = [joined("edge joint", a, b) for a, b in zip(boards, boards[1:])]
    joints += [joined("breadboard end", b, c, "", own) for c in cleats for b in boards]
    return piece([*boards, *cleats], joints)


def ends_of(made):
    return [j for j in made.joints if j.kind == "breadboard end"]


@pytest.mark.parametrize("widths", [[150.0] * 3, [120.0] * 4, [420.0], [130.0] * 7, [60.0] * 4, [90.0, 140.0, 110.0]])
def test_a_breadboard_end_is_sound_and_fixed_once(widths):
    made = breadboarded(widths)
    assert sound(made) == [] and [f for f in piece_findings(made) if not f.stands
        and f.what != "width of one board"] == []
    for cleat in ("E1", "E2"):
        fixed = [t for j in ends_of(made) if j.second == cleat for t in j.tenons(made.member(j.first),
                made.member(cleat)) if t[3]]
        assert len(fixed) == 1


# By hand: 450 mm of oak at 2 per cent; the outer tenon is 150 mm from the middle and moves 3 mm either way.
def test_travel_needed_against_travel_there():
    made = breadboarded([150.0] * 3)
    outer = ends_of(made)[0]
    growing = next(f for f in outer.moves(made, Damp()) if f.what == "travel when it grows")
    assert growing.demand == pytest.approx(3.0) and growing.capacity == pytest.approx((outer.slot_mm - 6) / 2)
    assert growing.stands
    tight = breadboarded([150.0] * 3, slot_mm=8.0)
    assert not next(f for f in ends_of(tight)[0].moves(tight, Damp()) if f.what == "travel when it grows").stands
    parting = [f for j in ends_of(made) for f in j.moves(made, Damp()) if f.what == "how far the edges part"]
    assert len(parting) == 2 and "4.5 mm proud" in parting[0].says


def on_rails(kind, thick=22.0, **own):
    top = [board(f"T{i}", -400.0, -300.0 + i * 150.0, 800.0, 150.0, z=400.0) for i in range(4)]
    long = Member("A1", "long apron", "apron", "oak", 600.0, 80.0, thick, Placement((-300.0, -220.0, 320.0), X, Z))
    short = Member("A3", "end apron", "apron", "oak", 400.0, 80.0, thick, Placement((300.0, -200.0, 320.0), Y, Z))
    joints = [joined("edge joint", a, b) for a, b in zip(top, top[1:])]
    joints += [joined(kind, top[0], long, "", own)] + [joined(kind, b, short, "", own) for b in top]
    return piece([*top, long, short], joints)


@pytest.mark.parametrize("kind", ["buttons", "slotted screws"])
def test_a_top_held_down_is_sound_and_counted(kind):
    made = on_rails(kind, thick=30.0)
    assert sound(made) == []
    held = [j for j in made.joints if j.kind == kind]
    assert sum(h.count for h in held[0].hardware(made) if "screw" in h.name) == 2
    assert all(f.stands for j in held for f in j.findings(made) + j.moves(made, Damp()))


def test_a_slot_too_short_in_a_thin_rail_is_found():
    made = on_rails("slotted screws")
    short = [f for j in made.joints if j.second == "A1" for f in j.moves(made, Damp())]
    assert short and all(not f.stands and "Lengthen the slot" in f.mend for f in short)


# By hand: the inner face of the long rail stands 220 mm from the middle of the top, so 4.4 mm at 2 per cent.
def test_a_button_on_a_long_rail_has_room_to_grow_and_hold_when_dry():
    made = on_rails("buttons")
    long = next(j for j in made.joints if j.second == "A1")
    grows, holds = long.moves(made, Damp())
    assert grows.what == "room to grow" and grows.demand == pytest.approx(4.4)
    assert grows.capacity == pytest.approx(long.groove_mm - long.tongue_mm) and holds.stands


@pytest.mark.parametrize(
    ("kind", "own", "words"),
    [
        ("buttons", {"groove_mm": 20.0}, "give 4 to 18 mm"), ("buttons", {"count": 0.0}, "a whole number from 1"),
        ("slotted screws", {"slot_mm": 30.0}, "does not fit the rail, 22 mm thick"),
        ("slotted screws", {"screw_mm": 12.0}, "give 3 to 8 mm"),
    ],
)
def test_fixings_that_no_rail_holds_are_refused(kind, own, words):
    with pytest.raises(ValueError, match=words):
        on_rails(kind, **own)


def test_a_rail_that_does_not_touch_the_top_is_refused():
    low = Member("A1", "rail", "apron", "oak", 600.0, 80.0, 22.0, Placement((-300.0, -220.0, 300.0), X, Z))
    with pytest.raises(ValueError, match="20 mm apart"):
        joined("buttons", board("T", -400.0, -300.0, 800.0, 150.0, z=400.0), low)


def test_a_button_stays_as_far_off_the_rail_as_its_tongue_off_the_bottom_of_the_slot():
    from studio_lib.commission import Brief
    from studio_lib.forms import make

    piece = make("table", Brief(), timber="oak", length_mm=1600, width_mm=900)
    for j in (j for j in piece.joints if j.kind == "buttons"):
        rail = piece.member(j.second).piece_box
        said = j.setting_out(piece)
        assert f"shoulder {j.groove_mm - j.tongue_mm:g} off the rail" in said["set"] and f"{j.groove_mm - j.tongue_mm:g} short of its bottom" in said["set"]
        for part in j.parts(piece):
            box = part.block.bounds
            inside = [min(box.hi[k], rail.hi[k]) - max(box.lo[k], rail.lo[k]) for k in range(3)]
            assert min(inside) == pytest.approx(j.tongue_mm, abs=1e-6)  # only its tongue is in the rail


def test_a_buttons_tongue_meets_the_rail_before_the_button_meets_the_top():
    """So its screw draws the top down: nothing is left over the tongue in its slot while some is over the button."""
    from studio_lib.commission import Brief
    from studio_lib.forms import make

    piece, seen = make("table", Brief(people=4), timber="oak"), 0
    under = min(m.piece_box.lo[2] for m in piece.members if m.role == "board")
    for j in (j for j in piece.joints if j.kind == "buttons"):
        rail = piece.member(j.second).placement
        over = {round(rail.to_piece_block(b).bounds.hi[2], 3) for b in j.cuts(piece)[j.second]}
        for part in j.parts(piece):
            heights = sorted({round(part.block.at.to_piece((x, y, 0.0))[2], 3) for x, y in part.block.outline})
            assert over == {heights[1]} and heights[2] < under
            seen += 1
    assert seen
