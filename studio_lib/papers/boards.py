"""The cutting list as makers use it, what to ask a yard for, and what goes along to the yard: words and figures."""

from __future__ import annotations

import json
from pathlib import Path

from studio_lib.derive import Derived
from studio_lib.drawings.general import reach
from studio_lib.papers import words
from studio_lib.papers.typeset import pages, pdf
from studio_lib.stock.boards import Board
from studio_lib.showing import as_shown, column_as_shown, data_as_shown
from studio_lib.stock.reading import SEVERITY_WORDS, fault_example, fault_words
from studio_lib.units import mm, size

PAGE = Path(__file__).with_name("templates") / "yard.html"
YARD_PT = (9.0, 8.2, 7.4, 6.6, 5.8)
"""Sizes of letter tried, so that the yard sheet stays on one page. [pt]"""
WHOSE_WORDS = {"rack": "rack", "client": "client's own"}
"""Where a board lies that is not bought."""
USE = {0: "may show", 1: "small", 2: "hidden parts only", 3: "nothing"}
"""What may be cut over a fault, by its severity."""


def glued_words(row) -> str:
    """'2 boards of ' before the sawn size of a member glued up from boards; that it is bought so."""
    if row.ready:
        return "bought glued up, "
    return f"{row.boards} boards of " if row.boards > 1 else ""


def cutting_rows(d: Derived) -> list[dict]:
    """The cutting list, one dict of words a line, for the page and for paper."""
    fitted = {r.strip() for r in d.commission.drawings.cut_to_fit.replace(";", ",").split(",") if r.strip()}
    on: dict[str, dict[str, None]] = {}
    for p in d.layout.placements:
        on.setdefault(p.piece_ref, {})[p.board_ref] = None
    rows = []
    for r in d.cutting_list:
        mark = d.marks.get(r.ref)
        to_fit = r.fitted_by_kind or bool(fitted & set(r.refs))
        if mark is not None and mark.to_fit is not None:
            to_fit = mark.to_fit
        first, second = r.end_words
        spares = mark.spares if mark else 0
        rows.append(
            {
                "ref": reach(r.refs),
                "name": f"{r.piece}: {r.name}",
                "hand": r.hand,
                "count": f"{r.count}" + (f" + {spares}" if spares else ""),
                "overall": mm(r.overall_length_mm),
                "shoulder": mm(r.shoulder_length_mm),
                "width": mm(r.width_mm),
                "thickness": mm(r.thickness_mm),
                "sawn": glued_words(r) + size(*r.sawn_mm(d.allowances)),
                "timber": r.timber,
                "wants": _wants(r, mark),
                "end1": first,
                "end2": second,
                "fit": "to fit" if to_fit else "",
                "boards": ", ".join(on.get(r.ref, ())) or "none yet",
                "refs": [f"{r.piece}/{ref}" for ref in r.refs],
            }
        )
    return rows


def _wants(row, mark) -> str:
    said = [row.rank]
    if mark is not None:
        if mark.shown == "one" and row.rank == "show":
            said[0] = "show, one face"
        said += [mark.face] if mark.face else []
        said += list(mark.grain)
        if mark.match:
            said.append(mark.match + (f" ({mark.set})" if mark.set else ""))
    return ", ".join(said)


def board_size(board: Board) -> str:
    """Length x width x thickness, both widths of a board that tapers."""
    across = mm(board.width_mm) + (f" to {mm(board.end_mm)}" if board.tapers else "")
    return f"{mm(board.length_mm)} x {across} x {mm(board.thickness_mm)}"


def resaw_words(d: Derived) -> str:
    """What is resawn in thickness, with the sum: '3 of A-S1, 15 mm sawn each, and 2 cuts of 3 mm take 51 of 52 mm'."""
    wanted = {w.ref: w for w in d.wanted}
    kerf, sums = d.commission.boards.resaw_kerf_mm or 0.0, {}
    for p in d.layout.placements:
        if p.layers > 1:
            thick, board = wanted[p.piece_ref].rough_mm(d.allowances)[2], d.layout.board(p.board_ref).thickness_mm
            cuts = p.layers - 1
            sums[
                f"{p.layers} of {p.piece_ref}, {mm(thick)} mm sawn each, and {cuts} cut{'s' if cuts > 1 else ''} of {mm(kerf)} mm "
                f"take {mm(p.layers * thick + cuts * kerf)} mm of {mm(board)} mm"
            ] = None
    return f"Resawn: {'; '.join(sums)}." if sums else ""


def ask_lines(d: Derived) -> list[dict]:
    """Sizes to ask the yards for; boards that were seen stand in the list of what to load."""
    currency = d.commission.rates.currency
    return [
        {
            "yard": line.yard,
            "count": str(line.count),
            "words": line.words,
            "cost": words.money_words(line.cost, currency),
            "volume": f"{line.volume_m3:.3f}",
        }
        for line in d.phone_list
        if not line.seen
    ]


def reserve_words(d: Derived) -> str:
    """What was added for faults not yet seen, and why."""
    return " ".join(
        f"{r.boards} more of {r.ref} for faults not yet seen: {r.yield_pct:g} % of it counts as clear ({r.why})."
        for r in d.reserves
    )


def yard_pdf(d: Derived, about: dict) -> bytes:
    """One page to take to the yard: what to ask for, boards to tick off, room for what is found."""
    used: dict[str, int] = {}
    gives: dict[str, dict[str, int]] = {}
    for ref, _ in d.layout.boards_used:
        used[ref] = used.get(ref, 0) + 1
    for p in d.layout.placements:
        held = gives.setdefault(p.board_ref, {})
        held[p.piece_ref] = held.get(p.piece_ref, 0) + p.layers
    currency, shown = d.commission.rates.currency, d.commission.shown
    rows = [
        {
            "ref": b.ref,
            "count": str(used[b.ref]),
            "size": column_as_shown(board_size(b), shown),
            "price": words.money_words(b.price, currency),
            "faults": fault_words(b.faults, shown) or ("sold by size, look it over" if b.asked else "clear"),
            "where": b.yard if b.is_bought else WHOSE_WORDS[b.source],
            "gives": ", ".join(f"{n} {ref}" for ref, n in gives[b.ref].items()),
        }
        for b in d.offered
        if b.ref in used
    ]
    spare = [
        f"{b.ref} {board_size(b)} mm, {words.money_words(b.price, currency)}"
        for b in d.offered
        if b.ref not in used and not b.asked and b.is_bought
    ]
    names = {r.ref: f"{r.piece}: {r.name}" if len(d.pieces) > 1 else r.name for r in d.cutting_list}
    pieces = [
        {
            "ref": w.ref,
            "name": names[w.ref],
            "count": str(w.count),
            "sawn": column_as_shown(size(*w.rough_mm(d.allowances)), shown),
            "rank": w.rank,
            "grain": " and ".join(w.grain),
        }
        for w in sorted(d.wanted, key=lambda w: (-w.thickness_mm, -w.length_mm))
    ]
    data = about | {
        "unit": shown.lengths,
        "asks": ask_lines(d),
        "reserve": reserve_words(d),
        "boards": rows,
        "spare": spare,
        "pieces": pieces,
        "missing": ", ".join(f"{n} of {ref}" for ref, n in d.layout.missing.items()),
        "timber": d.species.name if d.species else "open",
        "fault_words": SEVERITY_WORDS,
    }
    for pt in YARD_PT:
        sheet = pdf("yard", data_as_shown(data, shown) | {"pt": pt}, {})
        if pages(sheet) == 1:
            break
    return sheet


def yard_page_html(d: Derived) -> str:
    """A narrow page for a tablet or a telephone that needs no connection: tick off, enter, see what is covered.

    Holds the pieces, the boards and the saw's figures, and a first-fit layout of its own. What is
    found leaves it as text that the Boards page reads (``stock.reading.read_boards``).
    """
    c, saw = d.commission, d.layout_asked
    allow = saw["allowances"]
    layout: dict[str, list] = {}
    for p in d.layout.placements:
        layout.setdefault(f"{p.board_ref}\t{p.board_copy}", []).append(
            [p.piece_ref, p.layers, p.x_mm, p.y_mm, p.length_mm, p.width_mm]
        )
    used: dict[str, int] = {}
    for ref, _ in d.layout.boards_used:
        used[ref] = used.get(ref, 0) + 1
    data = {
        "title": c.title,
        "ref": c.ref,
        "currency": c.rates.currency,
        "inch": c.shown.finest if c.shown.inches else 0,
        "fault": fault_example(c.shown),
        "kerf": saw["kerf_mm"],
        "trim": saw["end_trim_mm"],
        "resaw": saw["resaw_kerf_mm"],
        "layout": layout,
        "matched": bool(saw["matches"]),
        "pieces": [
            {
                "ref": p.ref,
                "count": p.count,
                "l": p.rough_mm(allow)[0],
                "w": p.rough_mm(allow)[1],
                "t": p.rough_mm(allow)[2],
                "tolerates": p.tolerates,
                "timber": p.timber,
                "grain": list(p.grain),
                "on": p.only_on,
            }
            for p in d.wanted
        ],
        "boards": [
            {
                "ref": b.ref if n == 1 else f"{b.ref} ({n})",
                "name": as_shown(b.ref if n == 1 else f"{b.ref} ({n})", c.shown),
                "of": b.ref,
                "copy": n,
                "timber": b.timber,
                "l": b.length_mm,
                "w": b.width_mm,
                "e": b.end_mm,
                "t": b.thickness_mm,
                "price": f"{b.price:.2f}",
                "faults": fault_words(b.faults, c.shown),
                "exact": fault_words(b.faults, c.shown, exact=True),
                "levels": [[f.x0_mm, f.x1_mm, f.y0_mm, f.y1_mm, f.severity] for f in b.faults],
                "grain": list(b.grain),
                "yard": b.yard,
                "rack": "" if b.is_bought else WHOSE_WORDS[b.source],
                "used": n <= used.get(b.ref, 0),
                "sold": bool(b.asked),
            }
            for b in d.offered
            for n in range(1, max(used.get(b.ref, 0), 0 if b.asked else 1) + 1)
        ],
    }
    text = json.dumps(data).replace("</", "<\\/")
    return PAGE.read_text("utf-8").replace("FAULT_WORDS", SEVERITY_WORDS).replace("/*DATA*/null", text).replace("TITLE", words_only(c.title))


def words_only(text: str) -> str:
    """Words for the head of an HTML page."""
    from html import escape

    return escape(text)
