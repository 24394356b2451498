"""What a client is handed, in inches and in the money and days of a place."""

import io
import re
from datetime import date

import pytest
from pypdf import PdfReader

from studio_lib.demo import demo
from studio_lib.papers.write import issue_quote


def text(document: bytes) -> str:
    return re.sub(r"\s+", " ", " ".join(page.extract_text() for page in PdfReader(io.BytesIO(document)).pages))


@pytest.fixture
def no_picture(monkeypatch):
    from studio_lib.look import scenes

    monkeypatch.setattr(scenes, "picture", lambda d, **_: (None, "not drawn in this test"))


def test_a_quote_in_inches_and_american_dates(no_picture):
    c = demo()
    for path, value in (("showing.lengths", "in"), ("showing.finest", 16), ("showing.locale", "en_US")):
        c = c.changed(path, value)
    said = text(issue_quote(c, "Q1", revision=1, today=date(2026, 11, 25)))
    assert "79 1/8 in long, 36 1/4 in wide and 29 1/8 in high" in said
    assert "November 25, 2026" in said and "25 November" not in said
    assert not re.search(r"\d mm\b", said)


@pytest.mark.parametrize("finest", [32, 64])
def test_a_client_reads_no_finer_than_sixteenths_of_an_inch(no_picture, finest):
    from studio_lib.derive import derive
    from studio_lib.look.scenes import client_page_html

    c = demo().changed("showing.lengths", "in").changed("showing.finest", finest).changed("items.0.sizes.width_mm", 913.0)  # 35 15/16 and some
    said = text(issue_quote(c, "Q1", revision=1, today=date(2026, 11, 25)))
    assert "35 15/16 in" in said and not re.search(r"\d/(32|64) in", said)
    assert re.search(r'"inch": ?16', client_page_html(derive(c)))


def test_a_quote_in_german_money(no_picture):
    said = text(issue_quote(demo().changed("showing.locale", "de_DE"), "Q1", revision=1, today=date(2026, 11, 25)))
    assert re.search(r"\d\.\d{3},\d\d €", said) and not re.search(r"€\d", said)
    assert "2010 mm long" in said


def test_a_place_nobody_knows_is_refused_in_words():
    with pytest.raises(ValueError, match="language and country"):
        demo().changed("showing.locale", "xx_YY")


def test_the_page_for_the_clients_phone_in_inches(no_picture):
    from studio_lib.derive import derive
    from studio_lib.look.scenes import client_page_html

    page = client_page_html(derive(demo().changed("showing.lengths", "in").changed("showing.finest", 16)))
    words = re.sub(r"<(script|style).*?</\1>", "", page, flags=re.S)
    assert "Sizes in inches" in words and "79 1/8 in long" in words and not re.search(r"\d mm\b", words)
    assert '"inch": 16' in page or '"inch":16' in page
