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


UNIT = r"(mm|cm|m|metres?|meters?|inches|inch|in|feet|foot|ft)\b"
LEN = rf"(\d+(?:[.,]\d+)?)\s*{UNIT}"


def in_mm(figure: str, unit: str) -> float:
    """A figure with its unit, as a length. [mm]"""
    unit = unit.lower()
    return float(figure.replace(",", ".")) * IN_MM["m" if unit.startswith("met") else unit]
