"""What a maker who works in inches reads: every length of a sentence turned, nothing said twice or left over."""

import re

import pytest

from studio_lib.access.openings import CorridorTurn
from studio_lib.access.way_in import _turn
from studio_lib.commission import Brief
from studio_lib.demo import demo
from studio_lib.derive import derive
from studio_lib.finding import Verdict
from studio_lib.forms.space import room_findings
from studio_lib.papers.boards import ask_lines, yard_page_html
from studio_lib.showing import PLAIN, Shown, as_shown, html_as_shown
from studio_lib.stock.boards import Allowances, Wanted
from studio_lib.stock.cutting_list import QUARTERS, quarter_words, thicknesses
from studio_lib.stock.reading import fault_words, read_boards, read_faults

US = Shown("in", 16)


@pytest.fixture(scope="module")
def d():
    return derive(demo().changed("showing.lengths", "in").changed("showing.finest", 16))


BARE = re.compile(
    r"(?:at least|at most|a third is|wanted,|of it is|the mortise leaves|grooves leave|when made,|driest;) \d+(?:\.\d+)?(?![\d/. ]*(?:in|N|%|kg|years?)\b)(?![\w/])"
    r"|\d+(?:\.\d+)? (?:when made|at the driest|usual|to pass|long and|wanted\b|or more so)"
)


def test_every_length_of_what_was_found_has_its_unit(d):
    said = [as_shown(t, US) for f in d.findings for t in (f.says, f.mend, f.rule)]
    bare = {t for t in said if (m := BARE.search(re.sub(r"(?:\d+ )?\d+(?:/\d+)? in\b", "_", t))) and "years" not in m[0]}
    assert not bare and not any(re.search(r"\d mm\b", t) for t in said)


def test_what_lies_how_round_a_turn_is_said_with_units():
    """A stool of 460 x 340 x 430 in a passage of 810 into 800: on its end what runs along is its height."""
    turn = CorridorTurn("hall", 810, 800, 2400)
    says = _turn((460.0, 340.0, 430.0), turn.first_width_mm, turn.second_width_mm, turn.height_mm, 0.0).says
    assert "on its end, its height of 430 mm along and its width of 340 mm across" in says and "810 mm into 800 mm" in says
    shown = as_shown(says, US)
    assert not re.search(r"\b(430|340|810|800)\b", shown) and "mm" not in shown


@pytest.mark.parametrize(("long_mm", "verdict"), [(2400.6, Verdict.STANDS), (2401.2, Verdict.STANDS), (2404.0, Verdict.FAILS)])
def test_a_mm_over_what_the_client_asks_for_stands(long_mm, verdict):
    (found,) = room_findings("table", long_mm, 800.0, Brief(most_length_mm=2400.3))
    assert found.verdict is verdict and ("too much" in found.says) is (verdict is Verdict.FAILS)
    assert " 0 in" not in as_shown(found.says + found.mend, US)


def test_a_measured_space_lets_no_mm_more_in():
    (found,) = room_findings("table", 1000.9, 800.0, Brief(space_length_mm=1000.0))
    assert found.verdict is Verdict.FAILS and "0.9 mm too much" in found.says


def test_thicknesses_are_asked_for_in_quarters():
    """Rough thicknesses of the NHLA rules, from memory: a board of 45 mm sawn (1.77 in) comes out of 8/4, 50.8 mm."""
    allow = Allowances(0.0, 0.0, 5.0)
    piece = [Wanted(ref="A", length_mm=500.0, width_mm=60.0, thickness_mm=40.0, count=2, rank="show", timber="European oak")]
    (inch,), (metric,) = thicknesses(piece, allow, in_quarters=True), thicknesses(piece, allow)
    assert inch.thickness_mm == pytest.approx(50.8) and metric.thickness_mm == 52.0
    assert quarter_words(inch.thickness_mm) == "8/4 (2 in)" and quarter_words(31.75) == "5/4 (1 1/4 in)" and quarter_words(52.0) == ""
    assert QUARTERS == (4, 5, 6, 8, 10, 12, 16)


@pytest.mark.parametrize("mm", [(1200.0, 1290.0, 0.0, 45.0), (1200.15, 1289.05, 0.0, 44.45)])
@pytest.mark.parametrize("shown", [PLAIN, US])
def test_faults_are_read_back_as_they_were_written(mm, shown):
    class Fault:
        name, face = "knot", "front"
        x0_mm, x1_mm, y0_mm, y1_mm = (round(v, 1) for v in mm) if shown is PLAIN else mm

    (back,) = read_faults(fault_words([Fault], shown, exact=True), shown)
    for k in ("x0_mm", "x1_mm", "y0_mm", "y1_mm"):
        assert back[k] == pytest.approx(getattr(Fault, k), abs=1e-6)
    assert back["face"] == "front"


def test_boards_typed_in_inches():
    (row,) = read_boards("Y1; 96 1/2 x 9 to 8 x 1 1/4 at 46.90 taken; knot front 47 1/4-50 3/4 x 0-1 3/4", US)
    assert (row["length_mm"], row["width_mm"], row["width_end_mm"], row["thickness_mm"]) == (2451.1, 228.6, 203.2, 31.75)
    assert row["faults"][0]["x0_mm"] == 1200.15 and row["price"] == "46.90" and row["state"] == "taken"


def test_the_yards_papers_are_in_inches(d):
    page = yard_page_html(d)
    assert '"inch": 16' in page and "knot 1200-1290" not in page and "Length, mm" not in page
    assert all("mm" not in as_shown(line["words"], US) for line in ask_lines(d))


def test_sizes_in_columns_are_turned_once(d, monkeypatch):
    """The cutting list's sawn sizes and the delivery note's, both under a heading with the unit."""
    from workbook import show
    from workbook.panels.boards import cutting_table

    class Desk:
        derived = d

    monkeypatch.setitem(show.__dict__, "_shown", [US])
    page = show.page(cutting_table(Desk))
    assert "28 7/8 x 2 15/16 x 2 15/16" in page and "734" not in page
    assert html_as_shown(page, US) == page

    from studio_lib.papers import handing_over

    given = {}
    monkeypatch.setattr(handing_over, "for_client", lambda name, data, pictures, shown: given.update(data) or b"")
    handing_over.delivery_pdf(d, {}, [], None)
    assert given["carried"][0]["size"] == "79 1/8 x 36 1/4 x 29 1/8"


def test_cautions_keep_round_figures(d):
    from datetime import date

    from studio_lib.papers.handing_over import workshop_rows

    said = " ".join(c for row in workshop_rows(d, d.plan(date(2026, 11, 26))) for c in row["cautions"])
    assert "push-stick for the last 12 in" in said and "11 13/16" not in said


@pytest.mark.parametrize(("said", "read"), [
    ("it is 787 mm high", "it is 31 in high"),  # 31 in is 787.4 mm; 30 31/32 would be 786.6
    ("686 mm of room for knees", "27 in of room for knees"),  # 27 in is 685.8 mm
    ("914 mm to pass", "36 in to pass"),
    ("a tenon 10 mm thick", "a tenon 3/8 in thick"),
    ("apron 73 -> 66 mm", "apron 2 7/8 -> 2 5/8 in"),
    ("787.0 mm", "31 in"),
])
def test_a_whole_length_is_read_as_the_plainest_fraction_it_was_rounded_from(said, read):
    assert as_shown(said, US) == read


@pytest.mark.parametrize("quarters", range(16, 400, 7))
def test_what_was_typed_in_inches_is_read_again_after_a_sentence_rounded_it(quarters):
    inch = quarters / 4
    whole, part = divmod(quarters, 4)
    typed = f"{whole}" + {0: "", 1: " 1/4", 2: " 1/2", 3: " 3/4"}[part]
    assert as_shown(f"{inch * 25.4:.0f} mm", US) == f"{typed} in"


# An avoirdupois pound is 0.45359237 kg (international yard and pound agreement, 1959); a board foot is 144 cubic inches
# (NIST Handbook 44, appendix B: measured 1 in x 1 ft x 1 ft); a square foot 0.09290304 m2 (NIST Special Publication 811).
@pytest.mark.parametrize(("said", "read"), [
    ("about 26 kg", "about 57 lb"), ("6.8 kg", "15 lb"), ("31 or 21 kg each", "68 or 46 lb each"), ("2.3596 m3", "1000 board feet"),
    ("at 2600 EUR a m3", "at 6.14 EUR a board foot"), ("3 coats on 3.8 m2", "3 coats on 41 sq ft"),
    ("books 30 to 37 kg a metre", "books 30 to 37 kg a metre"),
])
def test_weights_volumes_and_areas_go_with_inches(said, read):
    assert as_shown(said, US) == read and as_shown(said, PLAIN) == said


def test_a_weight_is_typed_in_pounds_where_a_field_takes_kilograms(tmp_path, monkeypatch):
    from studio_lib.jobbook import open_book
    from workbook import parts, show
    from workbook.desk import Desk

    book = open_book(tmp_path)
    book.add(demo().changed("showing.lengths", "in"))
    desk = Desk(book)
    monkeypatch.setattr(show, "_shown", [US])
    field = parts.optional_number(desk, "brief.heaviest_kg", "Heaviest person", "kg")
    field.widget.value = "240 lb"
    assert desk.commission.brief.heaviest_kg == 108.9
    field.widget.value = "110 kg"
    assert desk.commission.brief.heaviest_kg == 110 and desk.refused == {}
    assert field.widget.description == "Heaviest person, lb"
    field.widget.value = "250"
    assert desk.commission.brief.heaviest_kg == pytest.approx(250 * 0.45359237, abs=0.05)  # the pound: 0.45359237 kg
    book.close()


@pytest.mark.parametrize(("path", "unit", "typed", "held", "shown"), [
    # The mile of 1.609344 km, the Fahrenheit scale: NIST SP 811, appendix B.
    ("rates.delivery_km", "km", 60.0, 96.5606, 60.0), ("rates.delivery_speed_kmh", "km/h", 30.0, 48.2803, 30.0), ("rates.van_carries_kg", "kg", 1000.0, 453.5924, 1000.0),
    ("brief.own_climate.summer.temperature_c", "°C", "68", 20.0, "68"), ("brief.wind_m_s", "m/s", "75", 33.528, "75"),
    ("brief.wind_m_s", "m/s", "33 m/s", 33.0, "73.8"), ("brief.wind_m_s", "m/s", "120 km/h", 33.3, "74.5"),
])
def test_miles_pounds_and_fahrenheit_are_typed_where_inches_are(tmp_path, monkeypatch, path, unit, typed, held, shown):
    from studio_lib.jobbook import open_book
    from workbook import parts, show
    from workbook.desk import Desk

    book = open_book(tmp_path)
    book.add(demo().changed("showing.lengths", "in"))
    desk = Desk(book)
    monkeypatch.setattr(show, "_shown", [US])
    field = (parts.optional_number if isinstance(typed, str) else parts.number)(desk, path, "Field", unit)
    field.widget.value = typed
    assert parts.at(path)(desk.commission) == pytest.approx(held, abs=1e-3) and desk.refused == {}
    again = (parts.optional_number if isinstance(typed, str) else parts.number)(desk, path, "Field", unit)
    assert again.widget.value == shown
    book.close()


def test_a_mile_is_paid_for_where_inches_are_shown(tmp_path, monkeypatch):
    from decimal import Decimal

    from studio_lib.jobbook import open_book
    from workbook import parts, show
    from workbook.desk import Desk

    book = open_book(tmp_path)
    book.add(demo().changed("showing.lengths", "in"))
    desk = Desk(book)
    monkeypatch.setattr(show, "_shown", [US])
    field = parts.money_a_km(desk, "rates.delivery_per_km", "costs")
    assert field.widget.description == "A mile costs"
    field.widget.value = "1.00"
    assert desk.commission.rates.delivery_per_km == Decimal("0.62")  # a dollar a mile of 1.609344 km
    book.close()


# ---------------------------------------------------------------- every page

METRIC = re.compile(r"\d ?(?:mm2?|cm2|cm3|k?N|k?N m|N/m2|MPa|GPa|kg|kg/m[23]|km|km/h|m/s|°C|m|litres of timber|metres)(?![\w/])(?! a metre)")
MEANT = ("740 mm, 29 1/8 in", "oak 27 mm sawn", "2 m (6 ft 7 in)", "as mm from 700 to 1200", "0.03 kg")
"""How a length may be typed, what is over two metres inside, and quantities in the unit that they are priced by."""


def shown_of(panel):
    """All that a page shows: words, labels, choices; drawings, which are in mm, left aside."""
    from html import unescape

    for child in getattr(panel, "children", ()):
        yield from shown_of(child)
    values = [getattr(panel, name, "") for name in ("value", "description", "placeholder")] + list(getattr(panel, "_options_labels", ()))
    for value in values if type(panel).__name__ != "Dropdown" else values[1:]:
        if isinstance(value, str) and "Do not scale" not in value:
            yield unescape(re.sub(r"<[^>]*>", " ", re.sub(r"<style.*?</style>", "", value, flags=re.S)).replace("\N{NO-BREAK SPACE}", " "))


@pytest.fixture
def desk_of(tmp_path):
    from studio_lib.jobbook import open_book
    from workbook.desk import Desk

    book = open_book(tmp_path)

    def made(document):
        book.add(document.changed("showing.lengths", "in").changed("showing.finest", 16))
        return Desk(book)

    yield made
    book.close()


def test_no_page_of_a_job_in_inches_leaves_a_metric_unit(desk_of):
    from workbook.page import STAGES, Page

    desk = desk_of(demo().changed("brief.floor_falls_mm", 12.0).changed("brief.out_of_plumb_mm", 8.0))
    left = set()
    for stage in STAGES:
        for said in shown_of(Page(stage, desk).panel()):
            for m in METRIC.finditer(said):
                near = said[max(0, m.start() - 40):m.end() + 25]
                if not any(words in near for words in MEANT):
                    left.add((stage, near))
    assert not left


def labelled(panel, label):
    found = [one for one in _inside(panel) if getattr(one, "description", "") == label]
    assert found, label
    return found[0]


def _inside(panel):
    yield panel
    for child in getattr(panel, "children", ()):
        yield from _inside(child)


def test_a_load_is_typed_in_pounds_force(desk_of):
    from workbook.page import Page

    desk = desk_of(demo())
    panel = Page("sizes", desk).panel()
    box = labelled(panel, "Down on one place, lbf")
    assert box.value == 281.0  # 1250 N
    box.value = 300.0
    assert desk.commission.items[0].loads["down"] == pytest.approx(300 * 4.4482216152605) and box.value == 300.0
    box.value = 9000.0
    said = " ".join(shown_of(panel))
    assert "down on one place is 9000 lbf; give 0 to 4500 lbf" in said.lower() and desk.commission.items[0].loads["down"] == pytest.approx(1334.5, abs=0.1)


def test_what_an_uneven_floor_comes_to_over_two_metres():
    """2 m is 6.562 ft: 1/8 in a foot is 0.820 in over it, 13/16; half an inch in 6 ft is 0.547 in, 9/16."""
    from workbook.panels.brief import OVER_2_M

    over, plumb, falls = OVER_2_M["in"]
    assert as_shown("2 m", US) in over
    feet = 2000 / 304.8
    for words, said in ((plumb, 0.5 * feet / 6), (falls, feet / 8)):
        above, below = re.search(r"(\d+)/16$", words)[1], 16
        assert abs(int(above) / below - said) <= 1 / 32


def test_a_change_of_the_makers_own_is_said_in_inches(desk_of):
    from workbook.panels.changes import made_so_far

    desk = desk_of(demo().changed("items.0.adjustments", [{"kind": "alter", "member": "A-L1", "field": "width_mm", "value": 76.2}]))
    said = " ".join(text for row in made_so_far(desk, 0) for text in shown_of(row))
    assert "width 3 in" in said and "76.2" not in said


def test_boards_sold_in_lengths_are_named_in_feet_and_begun_with_the_thickness_needed_most(desk_of, monkeypatch):
    from studio_lib.papers.write import cutting_pdf
    from workbook.page import Page

    stock = {"timber": demo().timber.species, "width_mm": 203.2, "least_length_mm": 1828.8, "longest_mm": 3048.0, "step_mm": 304.8, "price": "12.00", "per": "metre"}
    job = demo().changed("boards.offered", []).changed("boards.stock", [stock | {"name": "W84", "thickness_mm": 50.8}, stock | {"name": "W124", "thickness_mm": 101.6}])
    desk = desk_of(job)
    panel = Page("boards", desk).panel()
    most = max(thicknesses(desk.derived.wanted, desk.derived.allowances, True), key=lambda t: t.count * t.longest_mm * t.widest_mm)
    thick = [one.value for one in _inside(panel) if getattr(one, "description", "") == "Thick, in"]
    assert len(thick) >= 2 and {float(sum(map(_of, t.split()))) for t in thick} == {most.thickness_mm / 25.4}
    said = " ".join(shown_of(panel))
    assert re.search(r"W\d+ \d+ ft", said) and not re.search(r"W\d+ [\d.]+ m\b", said)
    assert re.search(r'"name":\s*"W\d+ \d+ ft', yard_page_html(desk.derived))

    given = {}
    monkeypatch.setattr("studio_lib.papers.typeset.pdf", lambda name, data, pictures: given.update(data | {"pictures": pictures}) or b"")
    cutting_pdf(desk.derived, {})
    assert given["unit"] == "in" and given["intro"].startswith("Sizes in inches") and "28 7/8 x 2 15/16 x 2 15/16" in {r["sawn"] for r in given["rows"]}
    assert all("ft" in svg and " mm<" not in svg for svg in given["pictures"].values())


def _of(word: str) -> float:
    above, _, below = word.partition("/")
    return float(above) / float(below or 1)


def test_words_in_inches_beside_slats_have_room():
    """Set in 12 pixels, a letter of this fount is 0.6 of that wide at the most, on the whole."""
    from studio_lib.drawings.seasons import slats_svg

    svg = html_as_shown(slats_svg(88.9, 38.9, 30.2, 43.7, 19.0), Shown("in", 32))
    wide = float(re.search(r'width="(\d+)"', svg)[1])
    found = re.findall(r'<text x="([\d.]+)"[^>]*>([^<]+)<', svg)
    assert "when made: 1 17/32 in" in [words for _, words in found]
    assert all(float(x) + 0.6 * 12 * len(words) <= wide for x, words in found)
