"""Boards as a maker writes them down at the yard."""

from __future__ import annotations

import re

from studio_lib.showing import PLAIN, Shown, exact_length, length, read_length

SEVERITY = {
    "small": 1, "pin": 1, "knot": 2, "sap": 2, "wane": 2, "gum": 2, "resin": 2, "pocket": 2, "bow": 2, "hidden": 2,
    "split": 3, "check": 3, "rot": 3, "shake": 3, "twist": 3, "useless": 3,
}
"""How bad a fault is by the words that name it: 0 small and let show, 1 small and sound, 2 hidden parts only, 3 not to be used.

Our judgement, no source. A bow is let into hidden parts, a twist into nothing; either is entered for the
stretch that it spoils.
"""

MAY_SHOW = "may show"
"""Said with a small sound mark that the client wants to see: any piece may hold it."""

SMALL = ("pin", "small", "hole")
"""Words of a fault that is small and sound: a nail hole is no knot, and weakens no more than a pin knot."""

SEVERITY_WORDS = (
    "A pin or small knot or an old nail hole may lie in plain pieces, one said to 'may show' in any, a knot, sap, wane, gum or resin pocket or bow in hidden ones only, "
    "a split, check, rot, shake or twist in none. How bad each is, is our judgement, no source."
)
"""The same in words, for a page or a sheet that shows faults."""

_FIGURE = r"(?:\d+ +\d+/\d+|\d+/\d+|[\d.]+)"
_ENTRY = re.compile(
    rf"^\s*(?P<name>[^\d]*?)\s*(?P<x0>{_FIGURE})\s*-\s*(?P<x1>{_FIGURE})\s*(?:x|by|,|\s)\s*(?P<y0>{_FIGURE})\s*-\s*(?P<y1>{_FIGURE})\s*$"
)


def next_mark(last: str, taken) -> str:
    """The mark after the last one given that nobody has: 'Y16' after 'Y15'; '' where it does not end in a number."""
    found = re.fullmatch(r"(.*?)(\d+)", last)
    if not found:
        return ""
    number = int(found[2]) + 1
    while f"{found[1]}{number}" in taken:
        number += 1
    return f"{found[1]}{number}"


def fault_example(shown: Shown = PLAIN) -> str:
    """One fault as it is written down, in the unit shown."""
    return "knot 47 1/4-50 3/4 x 0-1 3/4" if shown.inches else "knot 1200-1290 x 0-45"


def read_faults(text: str, shown: Shown = PLAIN) -> list[dict]:
    """Faults from a line such as 'knot 1200-1290 x 0-45; end split 0-60 x 0-180'.

    Each is a name, from - to along the board, from - to across it, in the unit shown. Raises
    ValueError saying which entry cannot be read and how to write it.
    """
    out = []
    for entry in filter(None, (e.strip() for e in text.split(";"))):
        found = _ENTRY.match(entry)
        if not found:
            raise ValueError(
                f"Cannot read the fault {entry!r}. Write it as: {fault_example(shown)} "
                f"(a name, from-to along, from-to across, in {shown.lengths}), faults parted by ;"
            )
        name = found["name"].strip() or "knot"
        severity = max((s for word, s in SEVERITY.items() if word in name.lower()), default=2)
        if any(small in name.lower() for small in SMALL) and severity < 3:
            severity = 1
        if MAY_SHOW in name.lower():
            if severity > 1:
                raise ValueError(
                    f"{name!r} cannot be let show: only a nail hole or a small or pin knot that is sound can, larger ones weaken the piece. "
                    f"Leave {MAY_SHOW!r} out, or write 'nail hole {MAY_SHOW}' or 'small knot {MAY_SHOW}'."
                )
            severity = 0
        face = next((f for f in ("front", "back") if re.search(rf"\b{f}\b", name, re.I)), "both")
        if face != "both":
            name = " ".join(w for w in name.split() if w.lower() != face) or "knot"
        out.append({
            **{f"{k}_mm": _figure(found[k], shown) for k in ("x0", "x1", "y0", "y1")}, "severity": severity, "name": name, "face": face,
        })
    return out


_NUMBER = r"(?:\d+ +\d+/\d+|\d+/\d+|\d+(?:[.,]\d+)?)"
_BOARD = re.compile(
    rf"^\s*(?P<ref>[^;]+?)\s*[; ]\s*(?P<l>{_NUMBER})\s*x\s*(?P<w>{_NUMBER})(?:\s*to\s*(?P<e>{_NUMBER}))?\s*x\s*(?P<t>{_NUMBER})"
    rf"(?:\s*at\s*(?P<price>{_NUMBER}))?(?:\s+(?P<state>taken|put back))?\s*(?:;(?P<faults>.*))?$", re.I,
)


def read_boards(text: str, shown: Shown = PLAIN) -> list[dict]:
    """Boards from lines such as 'Y1; 2450 x 230 to 205 x 32 at 46.90 taken; knot front 1200-1290 x 0-45'.

    Mark; length x width (to the width at the right end) x thickness in the unit shown; what it costs; what became
    of it; faults as ``read_faults`` has them. All from the cost on may be left out. Raises ValueError
    with the number of the line that cannot be read and how to write it.
    """
    out = []
    for number, line in enumerate(text.splitlines(), 1):
        if not line.strip():
            continue
        found = _BOARD.match(line)
        if not found:
            raise ValueError(
                f"Line {number}, {line.strip()!r}: cannot read the board. Write it as: "
                f"Y1; {'96 1/2 x 9 x 1 1/4' if shown.inches else '2450 x 230 x 32'} at 46.90; {fault_example(shown)}"
            )
        try:
            faults = read_faults(found["faults"] or "", shown)
        except ValueError as error:
            raise ValueError(f"Line {number}: {error}") from None
        row = {
            "ref": " ".join(found["ref"].split()), "length_mm": _figure(found["l"], shown), "width_mm": _figure(found["w"], shown),
            "thickness_mm": _figure(found["t"], shown), "width_end_mm": _figure(found["e"], shown) if found["e"] else None,
            "faults": faults,
        }
        if found["price"]:
            row["price"] = found["price"].replace(",", ".")
        if found["state"]:
            row["state"] = found["state"].lower()
        out.append(row)
    return out


def _figure(text: str, shown: Shown) -> float:
    """To a hundredth of a mm, so that a figure in decimals of an inch comes back as it went out."""
    return round(read_length(text, shown), 2) if shown.inches else float(text.replace(",", "."))


def fault_words(faults, shown: Shown = PLAIN, exact: bool = False) -> str:
    """Faults as they are written down, in the unit shown; ``exact``: so that ``read_faults`` reads the same back."""
    said = exact_length if exact or not shown.inches else length

    def to(a: float, b: float) -> str:
        return f"{said(a, shown)}-{said(b, shown)}"

    return "; ".join(
        f"{f.name or 'knot'}{'' if f.face == 'both' else f' {f.face}'} {to(f.x0_mm, f.x1_mm)} x {to(f.y0_mm, f.y1_mm)}" for f in faults
    )


def brought_home(offered: list[dict], found: list[dict], sold: dict[str, dict], timber: str) -> list[dict]:
    """Rows of boards on offer with what was found at the yard put in; new boards come last.

    ``offered`` are the document's boards as plain rows, ``found`` from ``read_boards``, ``sold`` the
    stock boards by reference: one taken becomes a board of its own, with a mark of its own.
    """
    rows = {row["ref"]: dict(row) for row in offered}
    for f in found:
        stock = sold.get(re.sub(r" \(\d+\)$", "", f["ref"]))
        if stock is not None:
            if f.get("state") == "put back":
                continue
            stem, n = f["ref"].split()[0], 1
            while f"{stem}-{n}" in rows:
                n += 1
            rows[f"{stem}-{n}"] = {**stock, **f, "ref": f"{stem}-{n}", "count": 1}
        elif f["ref"] in rows:
            rows[f["ref"]].update(f)
        else:
            rows[f["ref"]] = {"timber": timber, "price": "0", **f}
    return list(rows.values())
