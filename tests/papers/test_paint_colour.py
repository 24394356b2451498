"""The colour of paint: written once on the brief, printed wherever the finish is named, and shown as far as plain words go."""

import pytest

from studio_lib.commission import Commission
from studio_lib.derive import derive
from studio_lib.handover.care import care_sheet
from studio_lib.look.paint import COLOURS, shown_as, shown_words
from studio_lib.look.scenes import appearances, timber_words
from studio_lib.papers import words
from studio_lib.papers.handing_over import step_note

SPRUCE = "Norway spruce (whitewood)"


def painted(colour, finish="paint"):
    c = Commission(ref="P-1", title="stool", client="a client").changed("timber.species", SPRUCE).changed("brief.finish", finish)
    c = c.changed("brief.paint_colour", colour) if colour else c
    return derive(c.changed("items", [{"name": "stool", "form": "stool"}]))


class Coat:
    key = "coat 1"


@pytest.fixture(scope="module")
def green():
    return painted("dark green, no. 14 of the card")


def test_the_colour_is_printed_wherever_the_finish_is_named(green):
    said = "painted, dark green, no. 14 of the card, "
    assert said in " ".join(words.paragraphs(green))
    assert said in dict(words.heard(green))["Look"]
    assert said in care_sheet(green).made_of
    assert said in timber_words(green)
    assert ", dark green, no. 14 of the card: " in step_note(green, Coat)


def test_it_is_on_the_quote_as_it_is_printed(green, tmp_path):
    from pypdf import PdfReader

    from studio_lib.papers import write

    path = next(p for p in write(green.commission, tmp_path) if p.name == "quote.pdf")
    assert "no. 14 of the card" in " ".join(" ".join(page.extract_text() for page in PdfReader(path).pages).split())


def test_under_another_finish_what_was_written_waits_unprinted():
    d = painted("dark green", finish="oil")
    assert d.commission.brief.paint_colour == "dark green" and d.finish_words.startswith("oiled, ")
    assert "green" not in " ".join(words.paragraphs(d)) and appearances(d)[SPRUCE].ring_mm > 0


def test_without_a_colour_the_words_are_as_they_were():
    d = painted("")
    assert d.finish_words == "painted, three coats" and appearances(d)[SPRUCE].base_hex == COLOURS["white"]
    assert appearances(d)[SPRUCE].says == "Painted. The colour is yours to choose; white is shown."


@pytest.mark.parametrize(("written", "shown"), [
    ("dark green", "dark green"), ("Deep blue", "dark blue"), ("gray", "grey"), ("dark gray", "dark grey"), ("broken white", "white"), ("black", "black"),
    ("dark red", "red"), ("A warm cream, matt", "cream"),
    # No plain word, several of them, or a word within another.
    ("No. 7031", ""), ("duck egg", ""), ("white with blue doors", ""), ("reddish", ""), ("", ""),
])
def test_plain_words_give_the_picture_its_colour_and_others_leave_it_white(written, shown):
    assert shown_as(written) == shown
    seen = appearances(painted(written))[SPRUCE]
    assert seen.base_hex == seen.late_hex == COLOURS[shown or "white"] and seen.ring_mm == 0
    assert (f"A plain {shown} is shown" if shown else "hite is shown") in seen.says and seen.says.endswith(shown_words(written))


def test_another_colour_is_a_change_that_the_client_is_told_of(green):
    from studio_lib.costing.billing import changes_since

    after = green.commission.changed("brief.paint_colour", "red")
    (change,) = changes_since(green.commission, after)
    assert "colour" in change and "dark green, no. 14 of the card" in change and "red" in change
