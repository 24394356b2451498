"""Reading the stored jobs into pieces and boards."""

from __future__ import annotations

import json
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

from studio_lib.stock import Allowances, Board, Fault, Wanted

DATA = Path(__file__).parent / "data"
PUBLISHED = Path(__file__).resolve().parents[3] / "shared" / "reference" / "cutting"
RANK = {"A": "show", "B": "plain", "C": "hidden"}


@dataclass(frozen=True)
class Case:
    """One stored job: what to lay out, with which saw, and the row it came from."""

    name: str
    pieces: tuple[Wanted, ...]
    boards: tuple[Board, ...]
    kerf_mm: float
    saw: dict
    row: dict


def read_cases(path: Path) -> list[Case]:
    return [case_of(row) for row in json.loads(path.read_text())["cases"] if "boards" in row]


def case_of(row: dict) -> Case:
    allow = row["allow"]
    return Case(
        row["name"],
        tuple(
            Wanted(p["id"], p["L"], p["W"], p["T"], p["qty"], RANK[p["rank"]], "ash")
            for p in row["pieces"]
        ),
        tuple(
            Board(b["id"], "ash", b["L"], b["W"], b["T"], Decimal(b["price"]), b["qty"],
                  tuple(_fault(f) for f in b["faults"]))
            for b in row["boards"]
        ),
        row["kerf"],
        {
            "allowances": Allowances(allow["len"], allow["wid"], allow["thk"]),
            "end_trim_mm": row["end_trim"],
            "resaw_kerf_mm": row["resaw_kerf"],
        },
        row,
    )


def _fault(f) -> Fault:
    if isinstance(f, dict):
        f = [f["x0"], f["x1"], f["y0"], f["y1"], f["sev"]]
    return Fault(*f)
