"""Every colour of words on the pages against what is behind it: WCAG 2.2, success criterion 1.4.3, 4.5 to 1 at least."""

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
LEAST = 4.5
BEHIND = {"page": "#ffffff", "lit row": "#fbe9c6", "row under the pointer": "#f6f0e3", "this page in the strip": "#f0e4cc"}


def luminance(colour: str) -> float:
    """Relative luminance, WCAG 2.2 definitions."""
    parts = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    r, g, b = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


def contrast(one: str, other: str) -> float:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_the_measure_itself():
    """WCAG's own ends: black on white is 21 to 1; #767676 on white is the lightest grey that passes (4.54)."""
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)
    assert contrast("#777777", "#ffffff") < 4.5


def colours_of_words():
    for path in sorted((ROOT / "workbook").rglob("*.py")):
        for found in re.findall(r"(?<![-\w])color:\s?(#[0-9a-f]{6})", path.read_text("utf-8")):
            yield f"{path.name} {found}", found


@pytest.mark.parametrize("colour", sorted({c for _, c in colours_of_words()}))
def test_words_can_be_read_on_the_page(colour):
    assert contrast(colour, BEHIND["page"]) >= LEAST


LOUD = ["#2b2722", "#2f6b3c", "#8a5a00", "#a3231b", "#5a4b9a"]
QUIET = "#6d655b"


@pytest.mark.parametrize(
    ("colour", "behind"), [*((c, b) for c in LOUD for b in BEHIND), *((QUIET, b) for b in BEHIND if "strip" not in b)]
)
def test_words_of_a_row_can_be_read_where_it_is_lit(colour, behind):
    assert contrast(colour, BEHIND[behind]) >= LEAST


def test_a_verdict_is_told_by_a_word_and_a_sign_and_not_by_colour_alone():
    from workbook.show import WORDS

    said = [words for _, words in WORDS.values()]
    assert len({w[0] for w in said}) == len({w[1:] for w in said}) == len(said)
