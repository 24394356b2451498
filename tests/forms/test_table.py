"""The table over its whole range of sizes, and what its maker relies on."""

import math

import pytest

from studio_lib.commission import Brief
from studio_lib.forms import SizeRefused, make

NAME = "table"


# Time-Saver Standards dining table lengths with 25 in. settings and one diner at each end: 54, 79, 104, 129 in.
@pytest.mark.parametrize(("people", "inches"), [(4, 54), (6, 79), (8, 104), (10, 129)])
def test_length_for_diners_after_the_published_table(people, inches):
    assert 0 <= make(NAME, Brief(people=people)).overall_mm[0] - inches * 25.4 < 10


def test_a_wheelchair_gets_its_knee_room():
    for base, role in ((0, "apron"), (1, "top bearer")):
        piece = make(NAME, Brief(wheelchair=True), base=base)
        assert min(m.piece_box.lo[2] for m in piece.members if m.role == role) >= 685


def test_boards_and_breadboard_ends_close_on_the_top():
    piece = make(NAME, Brief(), top=2, timber="oak")
    boards = [m for m in piece.members if m.role == "board"]
    cleats = [m for m in piece.members if m.role == "breadboard end"]
    assert boards[0].length_mm + sum(c.width_mm for c in cleats) == pytest.approx(piece.overall_mm[0])
    assert sum(b.width_mm for b in boards) == pytest.approx(piece.overall_mm[1]) == cleats[0].length_mm


# By hand: a round top of 1000 mm has pi / 4 square metres, whatever boards it is made of.
def test_a_round_top_has_the_area_of_its_circle():
    from studio_lib.solids import volume_mm3

    piece = make(NAME, Brief(), outline=1, length_mm=1000, width_mm=1000, base=1, held=1, timber="oak")
    bare = type(piece)(piece.name, piece.form, piece.members)
    volume = sum(volume_mm3(bare.shape(m.ref)) for m in bare.members if m.role == "board")
    assert volume == pytest.approx(math.pi / 4 * 1000**2 * bare.member("A-W1").thickness_mm, rel=1e-4)


def test_a_solid_top_is_held_on_every_rail():
    for held, kind in ((0, "buttons"), (1, "slotted screws")):
        piece = make(NAME, Brief(), top=1, held=held, timber="oak")
        on = {j.second for j in piece.joints if j.kind == kind}
        assert {"A-A1", "A-A2", "A-A3", "A-A4"} <= on


def test_slats_lie_on_something_they_can_be_screwed_to():
    with pytest.raises(SizeRefused, match="do not reach the frame") as refused:
        make(NAME, Brief(), top=0, overhang_side_mm=150)
    assert refused.value.field == "overhang_side_mm"
    piece = make(NAME, Brief(), top=0, timber="oak")
    assert {m.ref for m in piece.members if m.role == "slat"} == {f.far for f in piece.fixings}
