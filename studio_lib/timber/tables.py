"""Reads the fact tables (CSV) that lie beside this file, each once."""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path


@cache
def rows(table: str) -> tuple[dict[str, str], ...]:
    """Rows of one table, in file order, as text."""
    path = Path(__file__).with_name(f"{table}.csv")
    with path.open(encoding="utf-8", newline="") as file:
        return tuple(csv.DictReader(file))
