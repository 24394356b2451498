"""Boards as a maker writes them down at the yard."""

from __future__ import annotations

import re

SEVERITY = {"small": 1, "pin": 1, "knot": 2, "sap": 2, "wane": 2, "split": 3, "check": 3, "rot": 3, "shake": 3}
"""How bad a fault is by the word that names it, when no figure is given."""

_ENTRY = re.compile(
    r"^\s*(?P<name>[^\d]*?)\s*(?P<x0>[\d.]+)\s*-\s*(?P<x1>[\d.]+)\s*(?:x|by|,|\s)\s*(?P<y0>[\d.]+)\s*-\s*(?P<y1>[\d.]+)\s*$"
)


def read_faults(text: str) -> list[dict]:
    """Faults from a line such as 'knot 1200-1290 x 0-45; end split 0-60 x 0-180'.

    Each is a name, from - to along the board, from - to across it, in mm. Raises
    ValueError saying which entry cannot be read and how to write it.
    """
    out = []
    for entry in filter(None, (e.strip() for e in text.split(";"))):
        found = _ENTRY.match(entry)
        if not found:
            raise ValueError(
                f"Cannot read the fault {entry!r}. Write it as: knot 1200-1290 x 0-45 "
                "(a name, from-to along, from-to across, in mm), faults parted by ;"
            )
        name = found["name"].strip() or "knot"
        severity = max((s for word, s in SEVERITY.items() if word in name.lower()), default=2)
        if any(small in name.lower() for small in ("pin", "small")) and severity < 3:
            severity = 1
        out.append({
            "x0_mm": float(found["x0"]), "x1_mm": float(found["x1"]), "y0_mm": float(found["y0"]),
            "y1_mm": float(found["y1"]), "severity": severity, "name": name,
        })
    return out
