"""Lengths, money and days as a person reads them."""

import re
from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio_lib.showing import (
    FINEST, Shown, as_shown, column_as_shown, data_as_shown, heading_as_shown, html_as_shown, inches, known_locale,
    length, places, read_length, thumb_as_shown,
)

US = Shown("in", 16, "en_US", "USD")
INCH = Shown("in", 32)
MM = Shown()

# Exact by definition: the international inch is 25.4 mm (NIST SP 811, B.8; also ISO 31-1 annex).
EXACT = [(25.4, "1"), (12.7, "1/2"), (6.35, "1/4"), (3.175, "1/8"), (1.5875, "1/16"), (19.05, "3/4"), (914.4, "36"),
         (0.0, "0"), (-6.35, "-1/4"), (57.15, "2 1/4"), (0.3, "0.012"), (2438.4, "96")]


@pytest.mark.parametrize(("value_mm", "words"), EXACT)
def test_inches_by_definition(value_mm, words):
    assert inches(value_mm) == words


@pytest.mark.parametrize(("nominal", "actual_mm"), [("3/4", 19), ("1 1/2", 38), ("3 1/2", 89), ("5 1/2", 140), ("7 1/4", 184)])
def test_softwood_lumber_sizes(nominal, actual_mm):
    """PS 20-20, American Softwood Lumber Standard, tables 3 to 5: dry sizes in inches and mm (rounded to whole mm)."""
    assert inches(actual_mm, 8) == nominal
    assert round(read_length(nominal, INCH)) == actual_mm


@given(st.floats(0, 6000), st.sampled_from(FINEST))
def test_a_length_shown_and_read_again_is_within_half_of_the_finest_part(value_mm, finest):
    shown = Shown("in", finest)
    again = read_length(length(value_mm, shown), shown)
    assert abs(again - value_mm) <= 25.4 / finest / 2 + 1e-4


@given(st.integers(0, 200), st.integers(1, 63))
def test_fractions_are_in_lowest_terms(whole, over):
    words = inches((whole + over / 64) * 25.4, 64)
    fraction = re.search(r"(\d+)/(\d+)", words)
    if fraction:
        assert Fraction(int(fraction[1]), int(fraction[2])).denominator == int(fraction[2])


@pytest.mark.parametrize(("typed", "shown", "value_mm"), [
    ("740", MM, 740), ("740 mm", US, 740), ("28 3/8", US, 720.725), ("28-3/8", US, 720.725), ('28 3/8"', MM, 720.725),
    ("28.375", US, 720.725), ("2 ft 4 1/2 in", MM, 723.9), ("2' 4\"", US, 711.2), ("74 cm", US, 740), ("1.2 m", MM, 1200),
    ("0,5", MM, 0.5), ("1 250", MM, 1250), ("6 ft", MM, 1828.8), ("-1/4", US, -6.35),
])
def test_what_a_person_types(typed, shown, value_mm):
    assert read_length(typed, shown) == pytest.approx(value_mm, abs=1e-4)


@pytest.mark.parametrize("typed", ["abc", "", "3/0", "1,250", "12 34/", "4 x 6", "--3", "1 mm 2"])
def test_what_is_no_length_is_said_with_an_example(typed):
    with pytest.raises(ValueError, match=r"give|Write"):
        read_length(typed, MM)


@pytest.mark.parametrize(("said", "shown"), [
    ("Gaps: 4.6 mm at the wettest, 7.0 mm when made", "Gaps: 3/16 in at the wettest, 1/4 in when made"),
    ("2010 x 920 x 740 mm, 62 kg", "79 1/8 x 36 1/4 x 29 1/8 in, 137 lb"),
    ("give 350 to 1150 mm", "give 13 3/4 to 45 1/4 in"),
    ("300, 450 and 600 mm", "11 13/16, 17 11/16 and 23 5/8 in"),
    ("734 x 75 x 75 mm", "28 7/8 x 2 15/16 x 2 15/16 in"),
    ("914 x 457 x 449 mm", "36 x 18 x 17 11/16 in"),
    ("36 x 18 x 12, as the maker wrote it", "36 x 18 x 12, as the maker wrote it"),
    ("feet stand between 4.8 and 4.9 mm out", "feet stand about 3/16 in out"),
    ("4.6 to 4.8 mm, between 4.6 and 7.7 mm", "3/16 in, between 3/16 and 5/16 in"),
    ("bearer 1, 2.1 mm into slat 2, 5 mm apart", "bearer 1, 5/64 in into slat 2, 3/16 in apart"),
    ("gaps of 30 to 4.8 mm", "gaps of 1 3/16 to 3/16 in"),
    ("10-12 mm", "3/8 to 1/2 in"),
    ("gusts of 28 m/s, 3 mm/m, 200 g/m2, 8 x mortise, M8, 4 m/s2", "gusts of 63 mph, 3 mm/m, 200 g/m2, 8 x mortise, M8, 4 m/s2"),
    ("summer (24 °C, 60 %), winter −5 to 3 °C", "summer (75 °F, 60 %), winter 23 to 37 °F"), ("193 km there and back", "120 miles there and back"), ("at 60 km/h", "at 37 mph"),
])
def test_a_sentence_in_inches(said, shown):
    assert as_shown(said, US) == shown


@given(st.lists(st.one_of(st.integers(0, 4000), st.floats(0, 3000).map(lambda v: round(v, 1)), st.integers(1, 99).map(lambda n: n * 25.4)),
                min_size=1, max_size=4), st.sampled_from([" x ", " to ", " and ", "-", " or "]), st.sampled_from(FINEST))
def test_what_is_shown_may_be_shown_again(sizes, between, finest):
    """Pages are put together from parts that were shown already; a length must not be turned twice."""
    once = Shown("in", finest)
    said = f"Of {between.join(f'{round(v, 4):g}' for v in sizes)} mm, 3 pieces"
    shown = as_shown(said, once)
    assert "mm" not in shown and as_shown(shown, once) == shown
    row = f"<td>{column_as_shown(between.join(f'{round(v, 4):g}' for v in sizes), once)}</td><td>{shown}</td>"
    assert html_as_shown(row, once) == row


@pytest.mark.parametrize(("cell", "shown"), [
    ("5 x 45 mm", "3/16 x 1 3/4 in"), ("30 mm of rail", "1 3/16 in of rail"), ("914 x 457 x 305", "36 x 18 x 12"),
    ("1 3/4 in", "1 3/4 in"), ("3 boards of 914.4 x 152.4 x 25.4", "3 boards of 36 x 6 x 1"), ("2 of 8 x 40, 7 degrees, 1 in 8, 280 N each", "2 of 5/16 x 1 9/16, 7 degrees, 1 in 8, 280 N each"),
])
def test_a_cell_of_lengths_that_names_its_unit(cell, shown):
    assert column_as_shown(cell, US) == shown


def test_a_rule_of_thumb_stays_round():
    said = "Push-stick for the last 300 mm, riving knife within 8 mm; from 300 to 600 mm"
    assert thumb_as_shown(said, US) == "Push-stick for the last 12 in, riving knife within 5/16 in; from 11 13/16 to 23 5/8 in"
    assert thumb_as_shown(said, MM) == said


def test_money_and_days_by_locale():
    euro = Shown("mm", 32, "de_DE", "EUR")
    assert as_shown("6182.40 EUR", euro) == "6.182,40 €"
    assert as_shown("4480 to 7620 EUR, 5650 likely", Shown("mm", 32, "en_IE", "EUR")) == "€4,480 to €7,620, 5650 likely"
    assert as_shown("£2,301.60 by 2026-11-25", Shown("mm", 32, "en_US", "GBP")) == "£2,301.60 by Nov 25, 2026"
    assert as_shown("25 November 2026; Mon 11 Jan", US) == "November 25, 2026; Mon Jan 11"
    assert as_shown("2026-13-41", US) == "2026-13-41"


def test_babel_agrees_on_every_place():
    """Amounts and days against babel's own (Unicode CLDR) for each locale offered."""
    from babel.dates import format_date
    from babel.numbers import format_currency

    for _, code in places()[::7]:
        shown = Shown("mm", 32, code, "EUR")
        expected = format_currency(Decimal("1234.50"), "EUR", locale=code).replace("\xa0", " ").replace("\u202f", " ")
        said = as_shown("1234.50 EUR", shown)
        # Babel leaves out the space that CLDR puts between letters and figures.
        assert said == expected or (said.startswith("EUR ") and said.replace("EUR ", "EUR") == expected)
        assert as_shown("2026-03-09", shown) == format_date(date(2026, 3, 9), "medium", locale=code)


def test_tags_styles_and_keys_are_left_alone():
    html = '<p style="width:40 mm" data-size="40 mm">40 mm</p><style>.a{margin:40 mm}</style>'
    assert html_as_shown(html, INCH) == html.replace(">40 mm<", ">1 9/16 in<")
    assert data_as_shown({"40 mm": ["40 mm", 40]}, INCH) == {"40 mm": ["1 9/16 in", 40]}
    assert column_as_shown("<b>40</b> + 20", INCH) == "<b>1 9/16</b> + 25/32"
    assert heading_as_shown("Width, mm", INCH) == "Width, in" and heading_as_shown("Width, mm", MM) == "Width, mm"


def test_as_kept_nothing_changes():
    said = "2010 x 920 x 740 mm for 6182.40 EUR by 2026-11-25"
    assert as_shown(said, MM) == said
    assert known_locale("en_US") and known_locale("") and not known_locale("xx_YY")


def test_a_person_is_as_tall_as_people_say_it():
    from studio_lib.showing import PLAIN, Shown, stature

    assert (stature(1700, PLAIN), stature(1700, Shown("in")), stature(1854, Shown("in")), stature(1829, Shown("in"))) == ("1.70 m", "5 ft 7 in", "6 ft 1 in", "6 ft")


def test_counts_in_a_cell_stay_counts_and_an_arrow_in_a_page_is_one():
    for cell, shown in (
        ("6 tails", "6 tails"), ("5 pins, 2 half pins", "5 pins, 2 half pins"), ("bored 8 for 2 bolts", "bored 5/16 for 2 bolts"),
        ("screws 4, each 4 x 30", "screws 4, each 3/16 x 1 3/16"), ("tails 5, 38.1 at the end", "tails 5, 1 1/2 at the end"),
    ):
        assert column_as_shown(cell, US) == shown
    assert html_as_shown("<td>plinth 88.9 -&gt; 76.2 mm</td>", US) == "<td>plinth 3 1/2 -&gt; 3 in</td>"


# Unicode CLDR, currency spacing: letters stand apart from the figures beside them, signs do not.
@pytest.mark.parametrize(("locale", "currency", "text", "shown"), [
    ("en_GB", "DKK", "to pay DKK 2,301.60", "to pay DKK 2,301.60"), ("en_GB", "DKK", "about 2300 to 2500 DKK", "about DKK 2,300 to DKK 2,500"),
    ("en_GB", "EUR", "about 2300 EUR", "about \u20ac2,300"), ("da_DK", "DKK", "to pay DKK 2,301.60", "to pay 2.301,60 kr."),
])
def test_a_currency_in_letters_stands_apart_from_its_figures(locale, currency, text, shown):
    assert as_shown(text, Shown(locale=locale, currency=currency)) == shown


def test_an_abbreviated_currency_ends_a_sentence_with_one_point():
    assert as_shown("It is over by 2300 DKK. Ask.", Shown(locale="da_DK", currency="DKK")) == "It is over by 2.300 kr. Ask."
