"""The lists of the papers say what there is: as many joints as there are, screws in a table, more than one in the plural, twins as twins."""

from datetime import date

import pytest

from studio_lib.commission import Brief, Commission, Item
from studio_lib.derive import derive
from studio_lib.drawings.general import not_alike_words
from studio_lib.handover import delivery_note
from studio_lib.handover.delivery import stands_on_feet
from studio_lib.papers.account import _counted
from studio_lib.papers.write import _fixings, _joints, _screws
from studio_lib.piece.used import bought_words


def job(form, count=1, **sizes):
    c = Commission(ref="C1", title="x", brief=Brief(place="indoors, heated"), items=(Item(name="piece", form=form, count=count, sizes=sizes),))
    return derive(c.changed("timber.species", "European oak"))


@pytest.mark.parametrize("form", ["stool", "chest", "framed screen"])
def test_joints_to_set_out_are_those_of_every_piece_ordered(form):
    one, three = job(form), job(form, 3)
    assert sum(int(r["count"]) for r in _joints(one)) == len(one.piece.joints)
    assert sum(int(r["count"]) for r in _joints(three)) == 3 * len(one.piece.joints)


def test_a_family_set_out_in_two_ways_says_which_members_are_which():
    rows = [r for r in _joints(job("cabinet")) if r["name"].endswith("side rail into stile")]
    assert len(rows) > 1 and len({r["which"] for r in rows}) == len(rows) and all(r["which"] for r in rows)


def test_every_screw_in_a_row_is_in_the_table():
    d = job("slatted table", 2)
    rows = _screws(d)
    assert sum(int(r["count"]) for r in rows) == 2 * sum(f.count for f in d.piece.fixings) > 0
    assert all(r["metal"] == d.piece.metal and float(r["pilot"]) < float(r["clearance"]) for r in rows)


@pytest.mark.parametrize(("count", "unit", "name", "words"), [
    (8, "piece", "wood screw, brass or bronze, 4 x 40 mm", "8 wood screws, brass or bronze, 4 x 40 mm"), (1, "piece", "lid stay, holds at any angle", "1 lid stay, holds at any angle"),
    (2, "piece", "catch that keeps a door shut, ball or magnet", "2 catches that keep a door shut, ball or magnet"),
    (3, "piece", "connecting bolt and nut, M6 x 140", "3 connecting bolts and nuts, M6 x 140"), (4, "piece", "end fitting for 4 mm cable, fixed", "4 end fittings for 4 mm cable, fixed"),
    (2.4, "m", "cable, stainless 316", "2.4 m cable, stainless 316"),
])
def test_what_is_bought_is_counted_as_one_says_it(count, unit, name, words):
    assert bought_words(count, unit, name) == words


def test_what_is_to_have_at_hand_is_in_the_plural():
    assert "2 lid stays" in _fixings(job("chest", width_mm=1200.0)) and "wood screws" in _fixings(job("chest"))


@pytest.mark.parametrize(("number", "unit", "words"), [
    (10, "board", "10 boards"), (1, "board", "1 board"), (26.1, "m2 a grit", "26.1 m2 a grit"), (2, "test piece", "2 test pieces"), (101, "each", "101"), (30.3, "metre", "30.3 metres"),
])
def test_units_of_the_costing_sheet_follow_their_number(number, unit, words):
    assert _counted(number, f"{number:g}", unit) == words


def test_members_of_one_size_that_are_twins_are_called_so():
    d = job("chest")
    said = not_alike_words((d.piece, r.refs) for r in d.cutting_list)
    assert "are mirror images" in said and "handed" not in said and "as A-" not in said


@pytest.mark.parametrize(("form", "feet"), [("table", True), ("stool", True), ("cabinet", False), ("bookcase", False), ("chest", False)])
def test_what_stands_on_a_plinth_has_corners_and_no_feet(form, feet):
    d = job(form)
    assert stands_on_feet(d.piece) == feet and (("foot" in delivery_note(d).level) == feet)


def test_no_column_of_the_angles_is_squeezed():
    """A long figure once took all the width, and the column after it one letter a line."""
    from io import BytesIO

    from pypdf import PdfReader

    from studio_lib.papers.handing_over import setting_out_pdf
    from studio_lib.papers.write import _about

    for form, sizes in (("bench", {}), ("stool", {})):
        d = job(form, **sizes)
        pages = PdfReader(BytesIO(setting_out_pdf(d, _about(d, 1, date(2026, 11, 26))))).pages
        page = next(t for p in pages if "Angles, heights" in (t := p.extract_text()) and "Pieces" in t)
        assert "Pieces, and the way each leans" in page, form


def test_marks_of_a_member_with_many_joints_go_on_in_the_next_column():
    """Twenty-one dovetails once ran through the foot of the page, one line over the other."""
    from io import BytesIO

    from pypdf import PdfReader

    from studio_lib.papers.handing_over import setting_out_pdf
    from studio_lib.papers.write import _about

    asked = Brief(place="indoors, heated", asked="A sideboard with two drawers and doors under them, 1.4 m long")
    c = Commission(ref="C1", title="x", brief=asked, items=(Item(name="sideboard", form="cabinet", sizes={"drawer_rows": 1}),))
    d = derive(c.changed("timber.species", "European oak"))
    assert max(j.tails for j in d.piece.joints if j.kind == "through dovetail") > 16
    low = {}
    for page in PdfReader(BytesIO(setting_out_pdf(d, _about(d, 1, date(2026, 11, 26))))).pages:
        def seen(text, cm, tm, font, size):
            if text.strip():
                low.setdefault(round(tm[5] * cm[3] + cm[5]), []).append(text)
        page.extract_text(visitor_text=seen)
    foot = [" ".join(words) for y, words in low.items() if 0 < y < 36]
    assert foot and not any("dovetail" in words or "drawer" in words for words in foot), foot
