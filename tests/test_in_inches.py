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
    ("560 kg/m3", "560 kg/m3"), ("12 to 15 kg a square metre", "12 to 15 kg a square metre"), ("490 N/m2", "490 N/m2"),
])
def test_weights_volumes_and_areas_go_with_inches(said, read):
    assert as_shown(said, US) == read and as_shown(said, PLAIN) == said


def test_a_weight_is_typed_in_pounds_where_a_field_takes_kilograms(tmp_path):
    from studio_lib.jobbook import open_book
    from workbook import parts
    from workbook.desk import Desk

    book = open_book(tmp_path)
    book.add(demo().changed("showing.lengths", "in"))
    desk = Desk(book)
    field = parts.optional_number(desk, "brief.heaviest_kg", "Heaviest person", "kg")
    field.widget.value = "240 lb"
    assert desk.commission.brief.heaviest_kg == 108.9
    field.widget.value = "110 kg"
    assert desk.commission.brief.heaviest_kg == 110 and desk.refused == {}
    book.close()
