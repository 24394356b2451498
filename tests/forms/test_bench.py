"""The bench over its whole range of sizes, and what its maker relies on."""

import math

import pytest

from studio_lib.commission import Brief, Commission, Item
from studio_lib.derive import derive
from studio_lib.forms import FORMS, SizeRefused, Surroundings, make, settled
from studio_lib.piece.checks import mortises_apart
from tests.forms import invariants

NAME = "bench"


def test_the_list_closes_along_and_across():
    piece = make(NAME, Brief(people=3), back=0, seat=0, timber="oak")
    long = sum(piece.member(r).length_mm for r in ("A-A1",)) + 2 * piece.member("A-L1").width_mm
    overhang = settled(FORMS[NAME], Brief(people=3), Surroundings("oak"), {"back": 0, "seat": 0})["overhang_end_mm"]
    assert long + 2 * overhang == pytest.approx(piece.overall_mm[0])
    slats = sorted((m.piece_box for m in piece.members if m.role == "slat"), key=lambda b: b.lo[1])
    gaps = [b.lo[1] - a.hi[1] for a, b in zip(slats, slats[1:])]
    assert max(gaps) == pytest.approx(min(gaps))
    assert sum(b.size[1] for b in slats) + sum(gaps) == pytest.approx(piece.overall_mm[1])


def test_the_back_leans_by_its_angle_and_the_arm_meets_it():
    piece = make(NAME, Brief(people=3), back=2, back_angle_deg=12, timber="oak")
    rail = piece.member("A-K1")
    assert math.degrees(math.atan2(rail.placement.across[1], rail.placement.across[2])) == pytest.approx(12)
    arm = piece.member("A-H1")
    assert [abs(s.edge_deg) for s in arm.shaping] == [pytest.approx(12)]
    post = piece.member("A-L3")
    assert post.width_mm == pytest.approx(post.shaping[0].leg_mm + 420 * math.tan(math.radians(12)))


def test_people_who_rise_with_difficulty_get_arms_and_a_higher_seat():
    chosen = settled(FORMS[NAME], Brief(frail=True), Surroundings("oak"), {})
    assert chosen["back"] == 2 and chosen["height_mm"] == 470.0


# ANSUR II by our own sums (sizing.md 1.5): three people with shoulders touching want 1566 mm, clothes left aside.
def test_length_for_three_sitters():
    chosen = settled(FORMS[NAME], Brief(people=3), Surroundings("oak"), {"back": 0})
    assert 1566 <= chosen["length_mm"] <= 1566 + 3 * 10 + 25


def test_arms_that_meet_a_back_rail_are_refused_with_the_nearest_that_works():
    with pytest.raises(SizeRefused, match="would break into each other. Give (\\d+) mm") as refused:
        make(NAME, Brief(people=3), back=2, fill=1, back_count=1, arm_height_mm=220, arm_thickness_mm=28, timber="oak")
    near = float(str(refused.value).split("Give ")[1].split(" ")[0])
    piece = make(NAME, Brief(people=3), back=2, fill=1, back_count=1, arm_height_mm=near, arm_thickness_mm=28, timber="oak")
    assert mortises_apart(piece) == [] and invariants.all_of(piece) == []


@pytest.mark.parametrize("count", [2, 5, 8, 11])
def test_a_solid_seat_is_held_however_narrow_its_boards(count):
    piece = make(NAME, Brief(people=3), back=0, seat=1, board_count=count, timber="oak")
    held = [j for j in piece.joints if j.kind == "slotted screws"]
    assert len({j.second for j in held}) >= 2 and len({j.first for j in held}) >= 2


def test_a_bench_made_longer_than_proposed_seats_those_it_has_room_for():
    def places(length_mm):
        c = Commission(ref="B-1", title="bench", brief=Brief(people=4, place="outdoors, in the weather"),
                       items=(Item(name="bench", form=NAME, sizes={"length_mm": length_mm}),))
        return next(f for f in derive(c).size_findings if f.what == "length for each sitter")

    assert " each for 2 " in places(1500.0).says
    # 2400 mm for four: 600 mm each.
    assert "600 mm each for 4" in places(2400.0).says and places(2400.0).stands
