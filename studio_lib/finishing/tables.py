"""Reads the fact tables (CSV) that lie beside this file, each once."""

from __future__ import annotations

import csv
from dataclasses import fields
from functools import cache
from pathlib import Path


@cache
def rows(table: str) -> tuple[dict[str, str], ...]:
    """Rows of one table, in file order, as text."""
    path = Path(__file__).with_name(f"{table}.csv")
    with path.open(encoding="utf-8", newline="") as file:
        return tuple(csv.DictReader(file))


def records(table: str, kind: type) -> tuple:
    """Rows of one table as frozen dataclasses: numbers as numbers, a blank as None where it may be."""
    return tuple(kind(**{f.name: _value(row[f.name], f.type) for f in fields(kind)}) for row in rows(table))


def _value(text: str, kind: str):
    if "None" in kind and not text:
        return None
    if kind.startswith("int"):
        return int(text)
    return float(text) if kind.startswith("float") else text
