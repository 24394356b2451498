"""What a client's words say already: read for the fields of the brief, offered, never taken by itself."""

from __future__ import annotations

from datetime import date

import pytest

from studio_lib.brief.heard import heard
from studio_lib.brief.said import sizes_asked
from studio_lib.commission import Brief, Commission, Item, Opening, Rates
from studio_lib.derive import derive

TODAY = date(2026, 11, 26)


def job(asked: str, items=(), currency="EUR", **brief) -> Commission:
    return Commission(ref="C26-009", title="a job", brief=Brief(asked=asked, **brief), items=tuple(items), rates=Rates(currency=currency))


def said(asked: str, currency="EUR", **brief) -> dict:
    return {h.path: h.value for h in heard(job(asked, currency=currency, **brief), TODAY)}


def forms(asked: str) -> list[tuple[str, str, int]]:
    return [(i["form"], i["name"], i["count"]) for h in heard(job(asked), TODAY) if h.path == "items" for i in h.value]


TABLE = ("An oak dining table for eight, with rounded corners, because our toddler runs into everything. It must go through a 78 cm door. "
         "We like it pale, not yellow. By Easter. About 3,500 euros.")


def test_a_whole_wish():
    found = said(TABLE)
    assert found["brief.people"] == 8 and found["brief.children"] is True and found["brief.wants.tone"] == "light"
    assert found["brief.openings"][0]["width_mm"] == 780 and found["brief.budget"] == "3500"
    assert forms(TABLE) == [("table", "dining table", 1)]


# Easter Sunday 2027 is 28 March: tables of Gregorian Easter, Meeus, Astronomical Algorithms, ch. 8, by python-dateutil.
@pytest.mark.parametrize(("words", "by"), [
    ("by Easter", "2027-03-27"), ("before Christmas", "2026-12-23"), ("for her birthday on 3 March", "2027-03-03"), ("by March 3rd, 2028", "2028-03-03"),
    ("by the middle of March", "2027-03-15"), ("before June", "2027-06-01"), ("end of February", "2027-02-28"), ("end of February 2028", "2028-02-29"),
    ("on 2027-04-01", "2027-04-01"), ("in December", "2026-12-31"), ("within six weeks", "2027-01-07"), ("it may go grey", None), ("on 31 June", None),
    ("it was made on 3 March 2020", None), ("either by June or by May", "2027-05-01"), ("by the end of next month", "2026-12-31"),
])
def test_the_day_it_is_wanted_by(words, by):
    assert said(f"A bench, {words}.").get("brief.wanted_by") == by


@pytest.mark.parametrize(("words", "currency", "budget"), [
    ("1,800 pounds would be my limit", "GBP", "1800"), ("about 3.500 euro", "EUR", "3500"), ("we have \u20ac 2 500", "EUR", "2500"), ("up to $2k", "USD", "2000"),
    ("not more than CHF 1'500.-", "CHF", "1500"), ("we paid 9000 euros for the kitchen, and could spend 1200 euros on this", "EUR", "1200"),
    ("1250.50 euros", "EUR", "1250"), ("seven and a half thousand euros for all of it", "EUR", "7500"), ("nine hundred pounds", "GBP", "900"), ("1,800 pounds would be my limit", "EUR", None), ("38 cm tall and 4 kg", "EUR", None), ("5 euros a week", "EUR", None),
])
def test_what_may_be_spent(words, currency, budget):
    assert said(f"Shelves. {words}.", currency).get("brief.budget") == budget


def test_money_of_another_country_is_told_but_not_taken():
    told = [h for h in heard(job("1,800 pounds would be my limit"), TODAY) if not h.path]
    assert len(told) == 1 and "EUR" in told[0].says and told[0].value is None


@pytest.mark.parametrize(("words", "people"), [
    ("a table for eight", 8), ("six of us, sometimes ten", 10), ("it seats 12", 12), ("a family of five", 5), ("a bench for three grown people", 3),
    ("for two to sit on", 2), ("a table for six weeks of summer", None), ("a table for 1,800 pounds", None), ("we have four children", None), ("with three drawers", None),
])
def test_how_many_people(words, people):
    assert said(f"We would like {words}.").get("brief.people") == people


@pytest.mark.parametrize(("words", "ages"), [
    ("our daughter, 9, and our son of twelve", [9, 12]), ("grandchildren, three and five, visit", [3, 5]), ("a two-year-old", [2]), ("kids aged 4, 7 and 11", [4, 7, 11]),
    ("our son is 1.90 m", None), ("children in 2 weeks", None),
])
def test_ages_of_children(words, ages):
    assert said(f"{words}.").get("brief.child_ages") == ages


@pytest.mark.parametrize(("words", "mm"), [
    ("My husband is 1.96 m", 1960), ("I am 196 cm tall", 1960), ("he is 6 ft 4", 1930), ("the bookcase is 1.96 m", None), ("she is 1.62 m", None), ("my height is 1.98 m", 1980),
])
def test_someone_tall(words, mm):
    assert said(f"{words}.").get("brief.tallest_person_mm") == mm


@pytest.mark.parametrize(("words", "path", "value"), [
    ("on our covered terrace", "brief.place", "outdoors, under cover"), ("out in the rain all year", "brief.place", "outdoors, in the weather"),
    ("nothing may be drilled", "brief.nothing_drilled", True), ("we may not drill into the facade", "brief.nothing_drilled", True),
    ("it blows with gusts of 120 km/h", "brief.wind_m_s", 33.3), ("gusts of 75 mph", "brief.wind_m_s", 33.5), ("should last 30 years", "brief.years_wanted", 30),
    ("the gas fire is next to it", "brief.heating_below", True), ("a skirting board 12 cm high", "brief.skirting_high_mm", 120), ("no smell please", "brief.little_smell", True),
    ("nothing shiny", "brief.sheen", "matt"), ("painted white", "brief.finish", "paint"), ("not painted", "brief.finish", None), ("no children", "brief.children", None),
    ("we don't want to oil it", "brief.care_done", "none"), ("we kept twelve oak boards", "brief.brings_timber", True), ("in the living room", "brief.place", None),
    ("on gravel", "brief.ground", "gravel"), ("nothing that needs oiling", "brief.finish", "left bare"), ("walnut or something dark", "brief.wants.tone", "dark"),
    ("the floor is heated, nothing may be screwed into it; the wall and the ceiling we may use", "brief.nothing_drilled", None), ("the floor is heated", "brief.heating_below", True), ("nothing that needs oiling", "brief.care_done", "none"),
    ("an open fire is near", "brief.needs_leave", ["gas or flame"]), ("no visible screws", "brief.metal", "no screws to be seen"), ("my father weighs about 130 kg", "brief.heaviest_kg", 130),
    ("it carries 120 kg of books", "brief.heaviest_kg", None),
])
def test_wishes_with_a_field(words, path, value):
    assert said(f"A bench. {words[0].upper()}{words[1:]}.").get(path) == value


@pytest.mark.parametrize(("asked", "found"), [
    ("A table for the terrace, out in the rain, and two stools to match.", [("slatted table", "table", 1), ("slatted stool", "stool", 2)]),
    ("A pair of stools to match our old table.", [("stool", "stool", 2)]), ("No screen please, a bench.", [("bench", "bench", 1)]),
    ("A chest of drawers.", [("cabinet", "chest of drawers", 1)]), ("A wooden screen for the hall.", [("framed screen", "screen", 1)]),
    ("A pale table lamp.", []), ("A cupboard with shelves over a cupboard.", [("bookcase", "shelves", 1)]), ("A low cupboard, books above, doors below.", [("bookcase", "cupboard", 1)]),
    ("A sideboard with drawers.", [("cabinet", "sideboard", 1)]), ("A bench by the table.", [("bench", "bench", 1)]), ("Something nice.", []), ("Library steps, a step stool.", [("stool", "library steps", 1)]),
])
def test_the_pieces_that_are_meant(asked, found):
    assert forms(asked) == found


def test_a_ceiling_in_feet_is_heard():
    assert said("Floor to ceiling, the ceiling is 8 feet, 5 feet wide.")["brief.openings"][0]["height_mm"] == 2438


def test_nothing_is_offered_that_a_field_holds():
    filled = job(TABLE, [Item(name="table", form="table")], people=6, children=True, openings=(Opening(kind="door", name="front door", width_mm=900),), budget="4000",
                 wanted_by=date(2027, 5, 1))
    assert {h.path for h in heard(filled, TODAY)} == {"brief.people", "brief.wants.tone"}
    eight = filled.changed("brief.people", 8).changed("brief.wants.tone", "light")
    assert heard(eight, TODAY) == ()


@pytest.mark.parametrize("asked", ["Library steps.", "A strung screen, slats on wires.", "A table and two stools for the garden."])
def test_a_piece_taken_is_not_offered_again(asked):
    c = job(asked)
    for _ in range(4):
        pieces = [h for h in heard(c, TODAY) if h.path == "items"]
        if not pieces:
            break
        c = c.changed("items", pieces[0].value)
    assert not pieces and len(c.items) == (2 if "stools" in asked else 1)


def test_nothing_is_offered_once_the_maker_has_done_with_the_words():
    done = job(TABLE).changed("brief.weighed", TABLE)
    assert heard(done, TODAY) == ()
    assert heard(done.changed("brief.asked", TABLE + " And a bench."), TODAY)


def test_sizes_said_of_the_one_piece_there_is():
    c = job("A table 2.2 m long and 95 wide, 74 cm high.", [Item(name="table", form="table")])
    sizes = derive(c).made[0].sizes
    found = {h.path: h.value for h in heard(c, TODAY, sizes)}
    assert found["items.0.sizes.length_mm"] == 2200 and found["items.0.sizes.width_mm"] == 950
    assert "items.0.sizes.length_mm" not in {h.path for h in heard(c, TODAY)}, "without its sizes nobody knows what would change"
    taken = c.changed("items.0.sizes.length_mm", 2200.0)
    assert "items.0.sizes.length_mm" not in {h.path for h in heard(taken, TODAY, derive(taken).made[0].sizes)}


@pytest.mark.parametrize(("words", "sizes"), [
    ("4 ft long and 18 in deep", {"long": 1219.2, "deep": 457.2}), ("110 by 60 cm", {"long": 1100, "deep": 600}), ("1.1 m x 60 cm, 42 cm high", {"long": 1100, "deep": 600, "high": 420}),
    ("40 x 35 x 55 cm", {"long": 400, "deep": 350, "high": 550}), ("by 3 March", {}), ("made from boards 20 x 150 mm", {}),
])
def test_sizes_in_a_clients_words(words, sizes):
    assert sizes_asked(Brief(asked=f"A chest, {words}.")) == pytest.approx(sizes)


def test_the_books_height_and_the_alcoves_width_are_no_sizes_of_the_piece():
    asked = "Shelves for the alcove, 1.12 m wide at the front, 36 cm deep. Big art books, up to 38 cm tall."
    c = job(asked, [Item(name="shelves", form="bookcase")])
    assert not [h for h in heard(c, TODAY, derive(c).made[0].sizes) if ".sizes." in h.path]
    free = job("A bookcase, 90 cm wide, for books up to 38 cm tall.", [Item(name="shelves", form="bookcase")])
    assert {h.path for h in heard(free, TODAY, derive(free).made[0].sizes)} <= {"items.0.sizes.width_mm"}


def test_whatever_is_offered_can_be_taken():
    c = job(TABLE)
    for _ in range(20):
        left = [h for h in heard(c, TODAY) if h.path]
        if not left:
            break
        c = c.changed(left[0].path, left[0].value)
    assert not left and c.brief.people == 8 and c.items[0].form == "table"


CHAIR = "A kitchen table for six. Grandfather comes in a wheelchair, his knees and the arms of the chair must go under at one end, 70 cm he says."


def test_where_a_wheelchair_pulls_up_and_how_high_its_arms_are():
    found = said(CHAIR)
    assert found["brief.wheelchair"] is True and found["brief.wheelchair_at"] == "end" and found["brief.wheelchair_knees_mm"] == 700
    side = said("a table; a wheelchair comes to it at one long side")
    assert side["brief.wheelchair_at"] == "side" and "brief.wheelchair_knees_mm" not in side


def test_an_end_and_knees_without_a_wheelchair_say_nothing_of_one():
    found = said("a table 70 cm high under which knees go, 65 cm, with a drawer at one end")
    assert not {"brief.wheelchair_at", "brief.wheelchair_knees_mm"} & set(found)
    assert not {"brief.wheelchair_at", "brief.wheelchair_knees_mm"} & set(said(CHAIR, wheelchair_at="side", wheelchair_knees_mm=720.0))
