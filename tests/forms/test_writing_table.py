"""A table to write at, and tables for one or two: sizes, checks, and what a wheelchair's knee room gives up."""

import re

import pytest

from studio_lib.commission import Brief, Item
from studio_lib.demo import demo
from studio_lib.derive import derive
from studio_lib.finding import Verdict
from studio_lib.forms import FORMS, make
from studio_lib.people.proposals import writing_height
from studio_lib.people.users import Users


def job(table="written at", sizes=None, form="table", **brief):
    b = Brief(place="indoors, heated", **brief)
    return derive(demo().model_copy(update={"items": (Item(name="desk", form=form, table=table, sizes=sizes or {}),), "brief": b}))


def said(d):
    return {f.what: f for f in d.size_findings}


def under_mm(piece):
    return min(m.piece_box.lo[2] for m in piece.members if m.role in ("apron", "bearer", "drawer rail", "drawer runner", "drawer side", "drawer face"))


def test_it_is_proposed_for_the_hand_and_no_dining_rule_speaks():
    d = job(people=1)
    assert d.made[0].table == "written at"
    long, deep, high = d.piece.overall_mm
    # An office guide: 24 in. deep at the least, nothing past 30 in. is in reach.
    assert long > deep and 24 * 25.4 <= deep <= 30 * 25.4
    # Furniture handbooks and pages: tables to write at are 27 to 30 in. high.
    assert 27 * 25.4 <= high <= 30 * 25.4
    words = " ".join([*(f"{f.subject} {f.what} {f.says} {f.rule}" for f in d.size_findings), *(p.why for p in d.made[0].proposals.values())])
    assert "diner" not in words and "dining planning rule" not in words and "chairs at the sides" not in words
    assert said(d)["height to write at"].stands and said(d)["room under the apron"].stands


def test_without_a_drawer_the_frame_is_shallow_before_the_top_is_raised():
    desk, table = job(people=1).made[0], job("", people=1).made[0]
    assert desk.sizes["apron_width_mm"] < table.sizes["apron_width_mm"] and desk.piece.overall_mm[2] < table.piece.overall_mm[2]


@pytest.mark.parametrize("drawers", [0, 1, 2])
@pytest.mark.parametrize("tallest", [None, 1854.0, 2000.0])
def test_the_knee_room_told_is_that_under_the_model(drawers, tallest):
    d = job(people=1, tallest_person_mm=tallest, sizes={"drawers": drawers, "length_mm": 1500.0})
    found = next(f for f in d.size_findings if f.what.startswith("room under"))
    assert found.capacity == pytest.approx(under_mm(d.piece)) and found.stands
    assert f"{under_mm(d.piece):.0f} mm clear" in found.says
    assert ("rail under the drawers" in found.what) == bool(drawers)


def test_knees_that_do_not_go_under_are_told_of():
    d = job(people=1, sizes={"drawers": 1, "height_mm": 700.0})
    assert not said(d)["room under the rail under the drawers"].stands


# 2010 ADA Standards 306.3: 27 in. (685 mm) high.
@pytest.mark.parametrize("table", ["", "written at"])
@pytest.mark.parametrize("drawers", [0, 1])
def test_a_wheelchair_goes_under_and_what_that_costs_is_said(table, drawers):
    d = job(table, people=1, wheelchair=True, tallest_person_mm=1854.0, sizes={"drawers": drawers, "length_mm": 1524.0, "width_mm": 762.0})
    assert under_mm(d.piece) >= 685
    knee = said(d)["knee clearance"]
    assert knee.stands and f"{under_mm(d.piece):.0f} mm of room under it, 685 mm wanted" in knee.says
    # ADA 902.3: a top of 28 to 34 in.
    assert 28 * 25.4 <= d.piece.overall_mm[2] <= 34 * 25.4
    if table:
        over = d.piece.overall_mm[2] - writing_height(Users(1, tallest_mm=1854.0, wheelchair=True)).proposed
        high = said(d)["height to write at"]
        assert over > 0 and high.verdict is Verdict.LOOK_AGAIN and f"{over:.0f} mm too high to write at" in high.says
        assert ("Without drawers" in high.mend) == bool(drawers)
        if drawers:
            without = job(people=1, wheelchair=True, tallest_person_mm=1854.0, sizes={"length_mm": 1524.0, "width_mm": 762.0}).piece.overall_mm[2]
            assert f"{without:.0f} mm high" in high.mend


def test_a_frame_too_low_for_a_wheelchair_says_room_and_want_the_right_way_round():
    for form in ("table", "slatted table"):
        d = job("", form=form, people=4, wheelchair=True, sizes={"height_mm": 740.0})
        found = said(d)["knee clearance"]
        room, wanted = (float(part.split(" mm")[0]) for part in found.says.split(", "))
        assert not found.stands and room < wanted == 685 and "of room under it" in found.says


@pytest.mark.parametrize("people", range(1, 13))
@pytest.mark.parametrize("form", ["table", "slatted table"])
@pytest.mark.parametrize("table", ["", "low", "written at"])
def test_no_table_is_proposed_wider_than_long(people, form, table):
    d = job(table, form=form, people=people)
    assert d.piece.overall_mm[0] >= d.piece.overall_mm[1]
    assert not any(re.search(r"\b1 people", p.why) for p in d.made[0].proposals.values())


def test_one_sits_at_a_long_side_and_two_across():
    assert "1 person, at a long side" in job("", people=1).made[0].proposals["length_mm"].why
    assert "2 people, facing across it" in job("", people=2).made[0].proposals["length_mm"].why
    assert "3 people, 1 a side and one at each end" in job("", people=3).made[0].proposals["length_mm"].why
    assert make("table", Brief(people=2), length_mm=700).overall_mm[1] <= 760


def test_a_stool_goes_to_a_table_that_is_eaten_at_before_one_to_write_at():
    items = (Item(name="desk", form="table", table="written at"), Item(name="table", form="table"), Item(name="stool", form="stool", count=4))
    c = demo().model_copy(update={"items": items, "brief": Brief(people=4, place="indoors, heated")})
    d = derive(c)
    assert d.made[2].at_table and d._sat_at.name == "table"
    alone = derive(c.model_copy(update={"items": (items[0], items[2])}))
    assert alone.made[1].at_table and alone._sat_at.name == "desk"


def test_the_maker_says_so_on_the_brief(tmp_path):
    from studio_lib.commission import Commission
    from studio_lib.jobbook import open_book
    from studio_lib.papers.words import heard
    from tests.workbook.test_panels import Desk, Page, labelled

    book = open_book(tmp_path / "desk")
    book.add(Commission(ref="C9", title="A desk", brief=Brief(people=1), items=(Item(name="Desk", form="table"),)))
    desk = Desk(book)
    labelled(Page("brief", desk).panel(), "At it").value = "written at"
    assert desk.refused == {} and desk.derived.made[0].table == "written at"
    assert dict(heard(desk.derived))["Piece"] == "1 Desk (to write at)"


@pytest.mark.parametrize(("asked", "table"), [
    ("A writing table for a novelist", "written at"), ("a desk with one drawer", "written at"), ("A table to work at and to eat at", "written at"),
    ("A table for six, four drawers in the sideboard", "eaten at"),
])
def test_the_client_s_words_say_that_someone_writes_at_it_and_the_maker_s_answer_goes_before(asked, table):
    assert job("", asked=asked).made[0].table == table
    assert job("eaten at", asked=asked).made[0].table == "eaten at"


def test_sizes_that_mean_nothing_as_it_is_built_are_not_asked_for():
    unused = FORMS["table"].unused
    on_legs, on_trestles = unused(job().made[0].sizes), unused(job(sizes={"base": 1.0}, table="eaten at").made[0].sizes)
    assert {"gap_mm", "end_width_mm", "post_width_mm"} <= set(on_legs) and "apron_width_mm" not in on_legs
    assert {"apron_width_mm", "bearer_count"} <= set(on_trestles) and "post_width_mm" not in on_trestles
    # And they really mean nothing: another figure makes the same piece.
    for name, value in (("end_width_mm", 120.0), ("post_width_mm", 90.0), ("stretcher_width_mm", 80.0)):
        assert make("table", Brief(place="indoors, heated"), timber="oak", top=1.0, base=0.0, **{name: value}) == make(
            "table", Brief(place="indoors, heated"), timber="oak", top=1.0, base=0.0), name
