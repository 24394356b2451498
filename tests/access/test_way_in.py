"""The piece through each kind of opening, what to make come apart, and who carries it."""

import re

import pytest

from studio_lib.access import (
    Box,
    Ceiling,
    CorridorTurn,
    Door,
    Gate,
    Handling,
    Lift,
    Stair,
    carry,
    not_measured,
    opening_from_plain,
    way_in,
)
from studio_lib.access.apart import splits_of, taken_apart
from studio_lib.access.carry import carriers, one_may_lift_kg, team_may_lift_kg
from studio_lib.commission import Item
from studio_lib.demo import demo
from studio_lib.derive import derive
from studio_lib.finding import Verdict

TABLE = Box("table", 2010, 920, 740, 62)
BARE = Handling(0, 0)


def one(box, opening, handling=Handling()):
    (found,) = way_in((box,), (opening,), handling)
    return found


def test_a_table_on_its_side_passes_a_door_and_sticks_in_a_narrow_one():
    # 740 x 920 through 820 x 2040: upright 740 < 820, the trade's own example.
    assert one(TABLE, Door("front", 820, 2040), BARE).verdict is Verdict.STANDS
    stuck = one(TABLE, Door("flat", 710, 1981))
    assert stuck.verdict is Verdict.FAILS
    # 710 less 20 mm for hands on each side is 670; 740 does not pass.
    assert "740 x 920" in stuck.says and "670" in stuck.says
    assert (stuck.demand, stuck.unit) == (740, "mm") and stuck.capacity == pytest.approx(670, abs=1)
    assert "height" in stuck.mend


def test_packing_and_hands_count():
    tight = Box("chest", 1000, 760, 600)
    door = Door("door", 640, 2000)
    assert one(tight, door).verdict is Verdict.STANDS
    assert one(tight, door, Handling(10, 20)).verdict is Verdict.FAILS


def test_a_sheet_too_high_for_a_door_goes_through_tilted_and_is_to_be_tried():
    found = one(Box("panel", 2400, 40, 2110), Door("door", 820, 2040), BARE)
    assert found.verdict is Verdict.LOOK_AGAIN and "tilted" in found.says and found.mend


def test_a_long_board_turns_a_corner_only_up_to_its_length():
    hall = CorridorTurn("hall", 900, 900, 2400)
    low = CorridorTurn("crawl", 900, 900, 460)
    assert one(Box("board", 2500, 20, 450), hall, BARE).verdict is Verdict.STANDS
    # Lying 450 wide with no height to raise or stand it: 1646 mm at most.
    stuck = one(Box("top", 1700, 450, 450), low, BARE)
    assert stuck.verdict is Verdict.FAILS
    assert re.search(r"its length in parts of up to 164[56] mm of 1700 mm", stuck.mend)
    assert one(Box("top", 1640, 450, 450), low, BARE).verdict is Verdict.STANDS


def test_one_end_raised_gets_a_pole_round():
    hall = CorridorTurn("hall", 900, 900, 2400)
    found = one(Box("pole", 3200, 60, 60), hall)
    assert found.verdict is Verdict.LOOK_AGAIN and "one end raised" in found.says


def test_a_square_thing_goes_round_without_being_turned():
    # 860 square in halls of 900: no way to turn it (2 (900 sqrt 2 - 860) = 826), no need to.
    found = one(Box("cube", 860, 860, 860), CorridorTurn("hall", 900, 900, 1000), BARE)
    assert found.verdict is Verdict.STANDS and "without being turned" in found.says


def test_a_stair_that_turns_back_asks_for_the_landing_and_stops_a_table():
    stair = Stair("stair", 850, 2000, "half", 900, 1850)
    stuck = one(TABLE, stair)
    assert stuck.verdict is Verdict.FAILS and stuck.says.startswith("landing")
    assert "length" in stuck.mend and "height" in stuck.mend
    top, legs = Box("top", 2010, 920, 60), Box("frame, flat", 1700, 740, 90)
    assert all(f.verdict is not Verdict.FAILS for f in way_in((top, legs), (stair,)))


def test_a_landing_too_short_to_turn_back_on_still_lets_a_board_turn_once():
    board = Box("board", 2700, 20, 300)
    # Halls of 610 and 1460 mm take (610^(2/3) + 1460^(2/3))^(3/2) = 2834 mm of thin board.
    assert one(board, Stair("once", 650, 2000, "quarter", 1500)).verdict is not Verdict.FAILS
    # Raised to 1960 mm it still takes the root of 2700^2 - 1960^2, 1857 mm, of 1260.
    back = one(board, Stair("back", 650, 2000, "half", 1500, 1300))
    assert back.verdict is Verdict.FAILS and "1260" in back.says


def test_a_stair_that_is_only_just_wide_enough_is_to_be_surveyed():
    box = Box("chest", 1000, 700, 600)
    assert one(box, Stair("wide stair", 900, 2000)).verdict is Verdict.STANDS
    tight = one(box, Stair("narrow stair", 700, 2000))
    assert tight.verdict is Verdict.LOOK_AGAIN and "surveyed" in tight.mend


def test_a_lift_by_its_door_its_car_its_diagonal_and_its_plate():
    lift = Lift("lift", 800, 2000, 1100, 1400, 2200, 630)
    assert one(TABLE, lift).verdict is Verdict.STANDS
    leaning = one(Box("board", 2500, 40, 300), lift)
    # The car's side is 1360 by 2200 clear: its diagonal is 2586 mm.
    assert leaning.verdict is Verdict.LOOK_AGAIN and "leant" in leaning.says
    assert one(Box("beam", 2600, 100, 300), lift).verdict is Verdict.FAILS
    heavy = one(Box("safe", 700, 700, 700, 600), lift)
    assert heavy.verdict is Verdict.FAILS and "630 kg" in heavy.says


def test_standing_a_wardrobe_up():
    # Square root of 2300^2 + 600^2 is 2377: not under 2350, under 2400.
    wardrobe = Box("wardrobe", 1200, 600, 2300)
    assert one(wardrobe, Ceiling("bedroom", 2400)).verdict is Verdict.STANDS
    low = one(wardrobe, Ceiling("attic", 2350))
    assert low.verdict is Verdict.FAILS and "2377" in low.says and "height" in low.mend
    assert one(TABLE, Ceiling("attic", 2000)).verdict is Verdict.STANDS


def test_every_box_meets_every_opening():
    found = way_in((TABLE, Box("stool", 450, 340, 430)), (Door("a", 900, 2000), Ceiling("b", 2400)))
    assert [(f.subject, f.what) for f in found] == [
        ("table", "way in: a"), ("stool", "way in: a"), ("table", "way in: b"), ("stool", "way in: b"),
    ]
    assert way_in((TABLE,), ()) == ()


def test_parts_shorter_than_the_mend_says_do_pass():
    for opening in (Door("d", 700, 1000), CorridorTurn("c", 700, 800, 760), Stair("s", 760, 1900, "quarter", 800)):
        box = Box("case", 2400, 900, 720)
        found = one(box, opening)
        assert found.verdict is Verdict.FAILS
        side = next(s for s in ("length", "width", "height") if getattr(box, f"{s}_mm") == found.demand)
        cut = Box(**{**{f"{s}_mm": getattr(box, f"{s}_mm") for s in ("length", "width", "height")},
                     "name": "part", f"{side}_mm": found.capacity})
        assert one(cut, opening).verdict is not Verdict.FAILS


# A table 2000 x 920 x 745 mm on a landing of 850 by 900 mm: 745 mm wide in 810 into 860 mm clear turns 871 mm at the
# most (810^(2/3) + 860^(2/3))^(3/2) less what its width takes; the top alone, 25 mm thick, is carried on edge.
TURNS = Stair("stair", 850, 2000, "quarter", 900)
WHOLE = Box("table", 2000, 920, 745, 50)
TOP, FRAME = Box("top", 2000, 920, 25, 30), Box("frame", 1870, 800, 720, 20)


def apart(opening, *parts, splits=()):
    (found,) = way_in((WHOLE,), (opening,), apart={"table": parts}, splits=splits)
    return found


def test_a_table_that_passes_with_its_top_off_is_to_be_carried_in_apart():
    assert one(WHOLE, TURNS).verdict is Verdict.FAILS
    found = apart(TURNS, FRAME, TOP)
    assert found.verdict is Verdict.LOOK_AGAIN and found.mend.startswith("Carry it in taken apart and put it together there.")
    assert found.says.endswith("it goes in with the top off: top 2000 x 920 x 25 mm, frame 1870 x 800 x 720 mm")


def test_more_than_one_kind_of_part_is_listed_and_counted():
    found = apart(Door("door", 760, 2000), Box("frame", 1870, 700, 720), TOP, *[Box("shelf", 500, 700, 25)] * 2)
    assert "it goes in taken apart: top 2000 x 920 x 25 mm, 2 shelves 500 x 700 x 25 mm, frame 1870" in found.says
    assert found.verdict is Verdict.LOOK_AGAIN


def test_a_part_that_sticks_even_so_is_named_and_no_table_is_cut():
    found = apart(Door("hatch", 700, 2000), FRAME, TOP)
    assert found.verdict is Verdict.FAILS and "taken apart, the frame (1870 x 800 x 720 mm) does not pass even so" in found.says
    assert "in parts of" not in found.mend and "legs bolted on" in found.mend and "window" in found.mend
    alone = apart(Door("hatch", 700, 2000))
    assert alone.verdict is Verdict.FAILS and "in parts of" not in alone.mend


def test_a_form_that_may_be_made_in_parts_is_told_along_which_sizes():
    assert splits_of("table") == () and "length" in splits_of("bench")
    found = apart(Stair("stair", 850, 2000, "half", 900, 1850), FRAME, Box("top", 4000, 1500, 25), splits=("length",))
    assert found.verdict is Verdict.FAILS
    assert "its length in parts of up to" in found.mend and "its width" not in found.mend and "its height" not in found.mend


def test_the_lift_carries_each_part_by_itself():
    lift = Lift("lift", may_carry_kg=120)
    assert apart(lift).verdict is Verdict.FAILS, "50 kg and a person of 80 kg"
    assert apart(lift, FRAME, TOP).verdict is Verdict.LOOK_AGAIN


def laid_out(form, place="indoors, heated"):
    c = demo().changed("brief.place", place).changed("items", [Item(name="it", form=form).model_dump(mode="json")])
    return derive(c).made[0].piece


def test_what_comes_off_is_named_plainly_and_holds_the_whole_weight():
    for form, names in (("table", {"frame", "top"}), ("bench", {"frame", "seat"}), ("cabinet", {"case", "top", "door"}), ("chest", {"case", "lid"})):
        piece = laid_out(form)
        parts = taken_apart(piece, tuple(piece.by_ref), 50.0)
        assert {p.name for p in parts} == names, form
        assert sum(p.weight_kg for p in parts) == pytest.approx(50.0), form
        for part in parts:
            assert all(a <= b + 0.1 for a, b in zip(part.sides_mm, piece.overall_mm)), form


def test_the_trestles_of_a_table_are_not_called_its_top():
    from studio_lib.commission import Brief
    from studio_lib.forms import make

    piece = make("table", Brief(), timber="oak", base=1, top=1)
    parts = taken_apart(piece, tuple(piece.by_ref))
    assert sorted(p.name for p in parts) == ["frame of two trestles", "top"]
    frame, top = sorted(parts, key=lambda p: p.name)
    assert top.sides_mm[2] == pytest.approx(piece.member("A-W1").thickness_mm) and frame.sides_mm[2] > 600


def test_a_piece_of_one_glued_whole_does_not_come_apart():
    piece = laid_out("framed screen")
    assert taken_apart(piece, tuple(piece.by_ref)) == ()


def test_the_commission_tells_that_its_table_goes_in_with_the_top_off():
    c = demo().changed("brief.place", "indoors, heated").changed("items", [Item(name="table", form="table").model_dump(mode="json")])
    plain = {"kind": "stair", "name": "stair", "width_mm": 850, "headroom_mm": 2000, "turn": "quarter", "landing_depth_mm": 900}
    found = [f for f in derive(c.changed("brief.openings", [plain])).size_findings if f.what == "way in: stair"]
    assert [f.verdict for f in found] == [Verdict.LOOK_AGAIN] and "with the top off" in found[0].says


# ---------------------------------------------------------------- measures not known yet


def test_a_measure_not_taken_refuses_nothing_and_is_asked_for():
    half = Stair("stair", 850, None, "half")
    assert half.missing == ("headroom", "landing depth", "landing width")
    found = not_measured(half)
    assert found.verdict is Verdict.OPEN and "not known yet: headroom, landing depth, landing width" in found.says
    assert found.mend.startswith("Measure the headroom, landing depth and landing width")
    assert Stair("stair", 850, 2000).missing == () and not_measured(Stair("stair", 850, 2000)) is None
    assert Lift("lift", 800, 2000, 1100, 1400, 2200).missing == ()


def test_what_is_given_is_checked_with_the_rest_out_of_the_way():
    assert one(TABLE, Door("door", 700)).verdict is Verdict.FAILS
    assert one(TABLE, Door("door", 800)).verdict is Verdict.STANDS
    car = Lift("lift", car_width_mm=1100, car_depth_mm=1400)
    assert one(TABLE, car).verdict is Verdict.STANDS
    assert one(Box("board", 2500, 1200, 1450), car).verdict is Verdict.FAILS
    assert one(WHOLE, Stair("stair", 900, 2200, "quarter")).says.startswith("flight: ")


def test_of_an_opening_with_no_measure_nothing_is_judged():
    for kind in ("door", "gate, open above", "corridor turn", "stair", "lift", "ceiling"):
        opening = opening_from_plain({"kind": kind, "name": kind})
        assert way_in((TABLE,), (opening,)) == () and not_measured(opening) is not None


@pytest.mark.parametrize("kind", ["door", "corridor turn", "stair", "lift", "ceiling"])
def test_no_stand_in_figure_is_ever_told(kind):
    from dataclasses import fields, replace
    from itertools import product

    kinds = {"door": Door("o", 800, 2000), "corridor turn": CorridorTurn("o", 700, 900, 2100), "ceiling": Ceiling("o", 700),
             "stair": Stair("o", 800, 2000, "half", 700, 1500), "lift": Lift("o", 800, 2000, 1100, 1400, 2200)}
    whole = kinds[kind]
    names = [f.name for f in fields(whole) if f.name.endswith("_mm") and getattr(whole, f.name) is not None]
    for kept in product((True, False), repeat=len(names)):
        opening = replace(whole, **{n: None for n, k in zip(names, kept) if not k})
        for box in (TABLE, Box("case", 1200, 760, 2300), Box("pole", 3000, 60, 60)):
            for found in way_in((box,), (opening,)):
                assert not re.search(r"9{4}|\d{6}|1e\+|None", found.says + found.mend), found
                if found.verdict is Verdict.FAILS:
                    assert one(box, whole).verdict is Verdict.FAILS, "a measure more never lets it through"


def test_a_gate_open_above_asks_for_its_width_and_no_height():
    gate = opening_from_plain({"kind": "gate, open above", "name": "garden gate", "width_mm": 900})
    assert gate == Gate("garden gate", 900) and gate.missing == () and not_measured(gate) is None
    tall = Box("case", 1200, 800, 3500)  # through any height, where a door of 2000 mm would stop it
    assert one(tall, gate).verdict is Verdict.STANDS and one(tall, Door("door", 900, 2000)).says != one(tall, gate).says
    assert one(Box("crate", 1200, 861, 900), gate).verdict is Verdict.FAILS  # 900 less 2 x 20 mm for hands is 860
    assert one(Box("crate", 1200, 860, 900), gate).verdict is Verdict.STANDS
    with pytest.raises(ValueError, match="has no height_mm"):
        opening_from_plain({"kind": "gate, open above", "name": "g", "width_mm": 900, "height_mm": 2000})


def test_openings_from_a_plain_document():
    assert opening_from_plain({"name": "door", "width_mm": 800, "height_mm": 2000}) == Door("door", 800, 2000)
    plain = {"kind": "stair", "name": "up", "width_mm": 850, "headroom_mm": 2000, "turn": "quarter",
             "landing_depth_mm": 900, "landing_width_mm": None}
    assert opening_from_plain(plain) == Stair("up", 850, 2000, "quarter", 900)


@pytest.mark.parametrize(
    ("plain", "words"),
    [
        ({"name": "d", "width_mm": 3, "height_mm": 2000}, "d: width is 3 mm; give 300 to 10000"),
        ({"name": "d", "width_mm": "wide", "height_mm": 2000}, "'wide'; give a number of mm"),
        ({"name": " ", "width_mm": 800, "height_mm": 2000}, "needs a name"),
        ({"kind": "hole", "name": "x"}, "no kind of opening 'hole'"),
        ({"name": "d", "wide": 800}, "has no wide"),
        ({"width_mm": 800}, "needs a name"),
        ({"kind": "stair", "name": "s", "width_mm": 800, "headroom_mm": 2000, "turn": "spiral"}, "turn is 'spiral'"),
        ({"kind": "ceiling", "name": "c", "height_mm": float("nan")}, "height is nan"),
    ],
)
def test_an_opening_that_cannot_be_gets_a_sentence(plain, words):
    with pytest.raises(ValueError, match=words):
        opening_from_plain(plain)


def test_a_box_that_cannot_be_gets_a_sentence():
    with pytest.raises(ValueError, match="table: width is -1 mm"):
        Box("table", 2000, -1, 700)
    with pytest.raises(ValueError, match="weight is 0 kg"):
        Box("table", 2000, 900, 700, 0)
    with pytest.raises(ValueError, match="Packing is 500 mm"):
        Handling(500)


# HSE filter (INDG143) close to the body at elbow height: 25 kg men, 16 kg women. HSE L23 (2004) paragraph 120: two
# lift two thirds of the sum, three a half: 33 and 21 kg, 37.5 and 24 kg; teams of more than four seldom work.
def test_who_carries_what():
    assert (one_may_lift_kg("men", "elbow"), one_may_lift_kg("women", "elbow")) == (25, 16)
    assert one_may_lift_kg("women", "above shoulder") == 7
    assert team_may_lift_kg(2, "men", "elbow") == pytest.approx(33.3, abs=0.05)
    assert team_may_lift_kg(2, "women", "elbow") == pytest.approx(21.3, abs=0.05)
    assert team_may_lift_kg(3, "men", "elbow") == 37.5
    with pytest.raises(ValueError, match="1 to 4"):
        team_may_lift_kg(5, "men", "elbow")
    assert carry("stool", 7, "women").says.startswith("7 kg: 1 person")
    assert carry("bench", 30, "men").verdict is Verdict.STANDS
    assert carry("bench", 30, "women").verdict is Verdict.LOOK_AGAIN
    assert carry("bench", 30, "men", "lower leg").verdict is Verdict.LOOK_AGAIN
    assert "2 people" in carry("rail", 8, "men", longest_mm=2600).says


# The filter tells when to look more closely; it forbids nothing.
@pytest.mark.parametrize(("kg", "words"), [
    (36, "2 or 3 people"), (51, "2 or 3 people to carry it, about 26 or 17 kg each"), (70, "3 or 4 people"), (95, "4 people"), (200, "lift by hand"),
])
def test_over_the_filter_it_is_looked_at_again_and_never_refused(kg, words):
    found = carry("case", kg, "men")
    assert found.verdict is Verdict.LOOK_AGAIN and words in found.says and found.mend


def test_one_more_pair_of_hands_never_carries_less():
    fewest = [carriers(kg)[0] for kg in range(1, 300)]
    assert fewest == sorted(fewest) and fewest[-1] == 4 and all(few <= easy <= 4 for few, easy in map(carriers, range(1, 300)))


def test_carrying_nonsense():
    with pytest.raises(ValueError, match="weight is -3 kg"):
        carry("x", -3, "men")
    with pytest.raises(ValueError, match="'men' or 'women'"):
        carry("x", 3, "robots")
    with pytest.raises(ValueError, match="knuckle"):
        carry("x", 3, "men", "hat")
