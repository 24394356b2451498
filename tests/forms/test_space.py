"""Room round a table: chairs drawn back, and who gets past."""

import pytest

from studio_lib.commission import Brief, Commission, Item
from studio_lib.derive import derive
from studio_lib.finding import Verdict
from studio_lib.forms.space import around_table


def sides(space_mm, wide_mm=900.0):
    (found,) = around_table("table", 2000.0, wide_mm, Brief(space_width_mm=space_mm))
    return found


# 36 in (915 mm) from the table's edge to the wall behind a seated diner: guideline for planning kitchens, trade pages.
def test_915_mm_each_side_lets_someone_pass_behind():
    assert sides(900 + 2 * 915).verdict is Verdict.STANDS and "passes behind" in sides(900 + 2 * 915).says


@pytest.mark.parametrize(("space_mm", "verdict", "words"), [
    (900 + 1700, Verdict.STANDS, "to pass behind at the other side"), (900 + 1550, Verdict.LOOK_AGAIN, "nobody passes behind"),
    (900 + 1000, Verdict.LOOK_AGAIN, "at one side only"), (900 + 500, Verdict.LOOK_AGAIN, "no chair draws back"),
])
def test_the_narrower_the_space_the_less_goes(space_mm, verdict, words):
    found = sides(space_mm)
    assert found.verdict is verdict and words in found.says and bool(found.mend) is (verdict is Verdict.LOOK_AGAIN)


def test_a_table_made_as_narrow_as_is_advised_has_chairs_on_both_sides():
    tight = sides(2350.0)
    most = float(tight.mend.split("up to ")[1].split(" mm")[0])
    assert "a chair draws back" in sides(2350.0, most).says


def test_no_space_given_or_a_table_larger_than_it_says_nothing_here():
    assert around_table("table", 2000.0, 900.0, Brief()) == []
    assert around_table("table", 2000.0, 900.0, Brief(space_length_mm=1900.0)) == []


@pytest.mark.parametrize("kind", ["table", "slatted table"])
def test_a_table_is_proposed_no_longer_than_its_room_lets_a_chair_draw_back(kind):
    # 9 people: 25 in. (635 mm) a setting, four a side, and 29 in. for both ends, after Time-Saver Standards: 3280 mm.
    def length(**brief):
        c = Commission(ref="T-1", title="table", brief=Brief(people=9, place="indoors, heated", **brief), items=(Item(name="t", form=kind),))
        return derive(c)

    assert length().made[0].proposals["length_mm"].value == 3280
    kept = length(space_length_mm=3600.0, space_width_mm=3100.0)
    proposed = kept.made[0].proposals["length_mm"]
    assert proposed.value == 3600 - 750 and "would take 3280 mm" in proposed.why and "8 sit well" in proposed.why
    assert all(f.stands for f in kept.size_findings if f.what == "room at the ends")
    assert length(most_length_mm=2000.0).made[0].proposals["length_mm"].value == 2000


# ------------------------------------------------------------------ side by side on one wall

ROW = "width of the row in the space it has"


def rows(*items, **brief):
    c = Commission(ref="T-2", title="shelves", brief=Brief(place="indoors, heated", **brief), items=tuple(
        Item(name=name, form=kind, count=n, sizes={k: float(v) for k, v in sizes.items()}) for name, kind, n, sizes in items))
    return [f for f in derive(c).size_findings if f.what == ROW]


def test_wall_shelves_side_by_side_wider_than_the_room_are_told_of_with_a_width_that_does():
    three = ("shelf", "hung case", 3, {"width_mm": 800, "height_mm": 400, "hung_mm": 1400})
    (found,) = rows(three, space_length_mm=2300)
    # Three of 800 and two gaps of 25: 2450 mm.
    assert found.verdict is Verdict.LOOK_AGAIN and "2450 mm in a space of 2300 mm, 150 mm too much" in found.says
    each = float(found.mend.split("Make each ")[1].split(" mm")[0])
    (mended,) = rows((*three[:3], {**three[3], "width_mm": each}), space_length_mm=2300)
    assert mended.verdict is Verdict.STANDS and mended.mend == ""
    (wide,) = rows(three, space_length_mm=2450)
    assert wide.verdict is Verdict.STANDS
    assert rows(three) == [] and rows((*three[:2], 1, three[3]), space_length_mm=900) == []


def test_what_hangs_over_another_is_not_beside_it_and_pieces_of_two_names_are():
    low = ("long shelf", "hung case", 1, {"width_mm": 1200, "height_mm": 300, "hung_mm": 1000})
    over = ("short shelf", "hung case", 1, {"width_mm": 900, "height_mm": 300, "hung_mm": 1400})
    assert rows(low, over, space_length_mm=1500) == []
    (beside,) = rows(low, (*over[:3], {**over[3], "hung_mm": 1150}), space_length_mm=1500)
    assert beside.verdict is Verdict.LOOK_AGAIN and beside.subject == "long shelf, short shelf" and "1200 + 900 mm" in beside.says


def test_cases_ordered_twice_for_one_wall_count_and_those_of_two_alcoves_do_not():
    two = {"width_mm": 900, "height_mm": 2000}
    (found,) = rows(("bookcase", "bookcase", 2, {**two, "wall": 1}), space_length_mm=1700)
    assert found.verdict is Verdict.LOOK_AGAIN and "at another wall" in found.mend
    alcoves = {"place": 1, "width_mm": 860, **{f"width_{w}_mm": 900 for w in ("front_bottom", "front_top", "back_bottom", "back_top")}}
    assert rows(("shelves", "bookcase", 2, alcoves), space_length_mm=1700) == []
