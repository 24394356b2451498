"""The pages in the job book's folder: laid once, renewed with the workbook, never at the maker's cost."""

from __future__ import annotations

import hashlib
import json
from datetime import date
from pathlib import Path

from workbook.launch.environment import ROOT

SHIPPED = ROOT / "notebooks"
FIRST = "00_book.ipynb"
LAID = ".laid.json"
"""What was laid: of each page the fingerprint of the shipped page and of the cells it was laid with."""


def lay(folder: Path, today: date, shipped: Path = SHIPPED) -> list[str]:
    """Lay the pages into a folder; returns a sentence for each page of the maker's that was set aside.

    A page is renewed only when the shipped one changed since it was laid. Cells that the
    maker changed are then kept under another name.
    """
    folder.mkdir(parents=True, exist_ok=True)
    notes, laid = folder / LAID, _read_notes(folder / LAID)
    told, before = [], dict(laid)
    for source in sorted(shipped.glob("[0-9][0-9]_*.ipynb")):
        fresh = _fresh(source)
        marks = {"shipped": _fingerprint(fresh), "cells": _cells_print(fresh)}
        here = folder / source.name
        known = laid.get(source.name, {})
        if here.exists():
            if known.get("shipped") == marks["shipped"]:
                continue
            present = _cells_print(_read(here))
            if present not in (known.get("cells"), marks["cells"]):
                aside = _free_name(here, today)
                here.rename(aside)
                told.append(f"{here.name} is new in this version; yours is kept as {aside.name}.")
        _write(here, json.dumps(fresh, indent=1, ensure_ascii=False) + "\n")
        laid[source.name] = marks
    if laid != before:
        _write(notes, json.dumps(laid, indent=1))
    return told


def _fresh(source: Path) -> dict:
    """A shipped page as it is laid: no results in it but what to do if it stays empty, to be run when it is opened."""
    page = json.loads(source.read_text("utf-8"))
    for cell in page["cells"]:
        if cell["cell_type"] == "code":
            kept = [o for o in cell["outputs"] if "text/markdown" in o.get("data", {})]
            cell |= {"outputs": kept, "execution_count": None}
    page["metadata"]["design_workbook"] = {"run_on_open": True}
    return page


def _read(path: Path) -> dict:
    try:
        return json.loads(path.read_text("utf-8"))
    except ValueError:
        # A damaged page: like no page that was ever laid, so it is set aside.
        return {}


def _read_notes(path: Path) -> dict:
    notes = _read(path) if path.is_file() else {}
    return notes if isinstance(notes, dict) else {}


def _cells_print(page: dict) -> str:
    """What a maker can change in a page: kind and text of its cells, not their results."""
    try:
        cells = [(c["cell_type"], "".join(c["source"])) for c in page["cells"]]
    except (KeyError, TypeError):
        return "not a page"
    return _fingerprint(cells)


def _fingerprint(what) -> str:
    return hashlib.sha256(json.dumps(what, sort_keys=True).encode()).hexdigest()


def _free_name(path: Path, today: date) -> Path:
    stem = f"{path.stem} (yours, {today.isoformat()}"
    names = (path.with_name(f"{stem}{more}).ipynb") for more in ("", *(f", {n}" for n in range(2, 1000))))
    return next(name for name in names if not name.exists())


def _write(path: Path, text: str) -> None:
    part = path.with_name(path.name + ".part")
    part.write_text(text, "utf-8")
    part.replace(path)
