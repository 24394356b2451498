"""How a client's words are read: what one reading is, numbers and lengths in words, the clause that a word stands in."""

from __future__ import annotations

import csv
import re
from dataclasses import dataclass
from pathlib import Path

from studio_lib.brief.said import IN_MM


@dataclass(frozen=True)
class Heard:
    """One thing that the client's words say."""

    path: str
    """Field of the commission that would hold it; '' where it cannot be taken as the job stands."""
    value: object
    """What the field would hold, as plain JSON."""
    says: str
    words: str
    """Of the client's, that it was read from."""
    first: tuple[tuple[str, object], ...] = ()
    """(path, value) of what it says besides, to be held before it."""


NUMBERS = {w: n for n, w in enumerate((
    "one two three four five six seven eight nine ten eleven twelve "
    "thirteen fourteen fifteen sixteen seventeen eighteen nineteen twenty"
).split(), 1)}
N = "(" + "|".join(NUMBERS) + r"|\d{1,2})"
NO_COUNT = r"(?!\s*(?:[.,]\d|years?|weeks?|months?|days?|hours?|euros?|pounds?|dollars?|thousand|hundred|%|mm|cm|m\b|metres?|meters?|in\b|inch|ft|feet|foot|kg|children|kids|drawers?|doors?|shelves))"


def rows_of(name: str) -> list[dict[str, str]]:
    """The rows of a table beside this file."""
    with (Path(__file__).parent / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def number_said(said: str) -> int:
    """A count in figures or in words: 'six'. Raises ValueError for what is neither."""
    return NUMBERS.get(said.lower()) or int(said)


def words_before(text: str, at: int) -> str:
    """The last words before a place in the text."""
    return text[max(at - 80, 0):at]


def clause_at(text: str, at: int) -> str:
    """The words between two marks around a place in the text; a mark within a figure is none."""
    text, at = text[max(at - 200, 0):at + 200], min(at, 200)
    marks = [0, *(m.end() for m in re.finditer(r"(?<!\d)[.,;!?\n]|[.,;!?\n](?!\d)", text)), len(text)]
    start = max(m for m in marks if m <= at)
    return text[start:min(m for m in marks if m > start or m == len(text))]


LIKE_ANOTHER = re.compile(
    r"\b(?:as (?P<as>wide|long|deep|high|tall)(?: as(?= (?:the|our|my)\b)| again as)|the same (?P<same>width|length|depth|height) as|(?P<by>a (?:bit|little|touch)|slightly|just) (?P<more>higher|lower|taller) than)"
    r" (?:the |our |my |that of the )?(?P<what>(?:(?!and\b|or\b|but\b|with\b|for\b|is\b|which\b|that\b|plus\b)[\w-]+ ?){1,4})(?P<bit>\s*,?\s*(?:plus|and|or) (?:a|some) (?:bit|little|touch)(?: (?:more|higher|taller))?\b)?", re.IGNORECASE)
"""'As wide as the desk', 'the same height as the table', 'as high as the seat plus a bit': a measure that another thing has."""


def without_comparisons(text: str) -> str:
    """The words with blanks for what a measure is likened to, which is not spoken of itself."""
    return LIKE_ANOTHER.sub(lambda at: " " * len(at[0]), text)


UNIT = r"(mm|cm|m|metres?|meters?|inches|inch|in|feet|foot|ft)\b"
LEN = rf"(\d+(?:[.,]\d+)?)\s*{UNIT}"


def in_mm(figure: str, unit: str) -> float:
    """A figure with its unit, as a length. [mm]"""
    unit = unit.lower()
    return float(figure.replace(",", ".")) * IN_MM["m" if unit.startswith("met") else unit]
