"""Every paper of a commission as a file."""

from __future__ import annotations

import re
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from datetime import date
from functools import cache
from pathlib import Path

from studio_lib.commission import Commission
from studio_lib.costing.price import fitted_lines, hardware_lines
from studio_lib.derive import Derived, derive
from studio_lib.drawings.boards import boards_svg
from studio_lib.drawings.general import not_alike_words, reach
from studio_lib.papers import words
from studio_lib.papers.boards import WHOSE_WORDS, ask_lines, board_size, cutting_rows, reserve_words, resaw_words, yard_page_html, yard_pdf
from studio_lib.papers.drawn import drawings_of, drawings_pdf
from studio_lib.papers.typeset import for_client, pages
from studio_lib.piece.screw import pilot_mm
from studio_lib.piece.used import bought_words
from studio_lib.questions import open_questions
from studio_lib.showing import column_as_shown, html_as_shown, thumb_as_shown
from studio_lib.stock.reading import SEVERITY_WORDS
from studio_lib.units import mm, size

BOARDS_MM = (269.0, 160.0)
"""Room for boards on an A4 page lying down. [mm]"""
PAPERS = (
    "commission.json", "brief.pdf", "cutting list and boards.pdf", "boards.svg", "at the yard.pdf", "at the yard.html", "piece.glb", "piece.step",
    "picture.png", "quote.pdf", "costing sheet.pdf", "costing.xlsx", "bench hours.html", "drawings.pdf", "drawings.dxf", "client page.html", "setting out.pdf", "rods.dxf", "workshop.pdf", "workshop calendar.ics",
    "care sheet.pdf", "care reminders.ics", "delivery and installation.pdf", "job folder.zip",
)
"""In the order they are made: pictures are drawn in processes of their own meanwhile."""


JOB_FOLDER = "job folder.zip"
"""Holds every other paper."""


def wanted(only=()) -> tuple[str, ...]:
    """Names of the papers that are written, in order: those of ``only``, else all. The job folder holds every other one and asks for all.

    Raises LookupError for a name that is none of ``PAPERS``.
    """
    unknown = [name for name in only if name not in PAPERS]
    if unknown:
        raise LookupError(f"There is no paper {', '.join(map(repr, unknown))}. Papers: {', '.join(PAPERS)}.")
    return tuple(name for name in PAPERS if not only or name in only or JOB_FOLDER in only)


def write(
    commission: Commission, folder: str | Path, *, only: tuple[str, ...] = (), revision: int = 1, maker: str = "",
    today: date | None = None, progress=None, known=None, attachments=(),
) -> list[Path]:
    """Write papers of a commission to a folder and return their paths: those of ``only``, by their names among ``PAPERS``, else all.

    One paper alone waits for nothing that the others need: the quote for a picture, a cutting list for none.
    ``known`` is what the maker's book adds (``derive.known_from``), so that papers and
    pages agree. ``maker`` is the sender's name and address, one line each. ``progress(name, done,
    of)`` is called as each paper is finished. ``attachments`` are the files kept with the
    commission (``Book.files``: names and bytes); they go into the job folder. Where no picture can be drawn on this
    machine the papers go without, and say so; without a timber there is no care sheet. Raises LookupError when the commission
    has no piece or no boards to price, and for a paper that is not among them.
    """
    names = wanted(only)
    d = derive(commission, known)
    if not d.pieces:
        raise LookupError(f"{commission.ref} has no piece yet, so there is nothing to put on paper.")
    day = today or date.today()
    folder = Path(folder)
    folder.mkdir(parents=True, exist_ok=True)
    written: list[Path] = []

    def kept_so_far():
        return [(path.name, path.read_bytes()) for path in written] + [(f"kept/{name}", content) for name, content in attachments]

    with ThreadPoolExecutor(max_workers=2) as pool:
        recipes = _recipes(d, names, pool, _sender(maker), _about(d, revision, day), day, kept_so_far)
        for done, name in enumerate(names, 1):
            content = recipes[name]()
            if content is not None:
                path = folder / name
                raw = content.encode() if isinstance(content, str) else content
                part = path.with_name(path.name + ".part")
                part.write_bytes(raw)
                part.replace(path)
                written.append(path)
            if progress:
                progress(name, done, len(names))
    return written


def _recipes(d: Derived, names, pool, sender: list[str], about: dict, day: date, kept_so_far) -> dict:
    """How each paper is made, by its name: called when it is its turn. Pictures that ``names`` need are begun at once, in ``pool``."""
    from studio_lib.costing.bench import bench_page_html
    from studio_lib.costing.sheets import costing_xlsx
    from studio_lib.drawings.rods import rods_dxf
    from studio_lib.handover import job_folder, reminders_ics
    from studio_lib.handover.care import moments
    from studio_lib.handover.reminders import counted_from
    from studio_lib.look import scenes
    from studio_lib.papers import handing_over
    from studio_lib.papers.account import costing_pdf
    from studio_lib.shop.calendar import calendar_ics
    from studio_lib.solids import step_bytes

    def begun(for_papers, draw, *given):
        return pool.submit(draw, d, *given) if set(for_papers) & set(names) else None

    c, chosen = d.commission, d.species is not None
    whole = begun(("picture.png", "quote.pdf"), scenes.picture)
    opened = begun(("quote.pdf",), scenes.opened_picture)
    aged = pool.submit(scenes.aged_pictures, d, moments(d)) if chosen and "care sheet.pdf" in names else None
    drawn = cache(lambda: drawings_of(d, about, sender))
    made = cache(lambda: d.plan(day))
    return {
        "commission.json": lambda: c.model_dump_json(indent=1),
        "brief.pdf": lambda: brief_pdf(d, about, sender, day),
        "cutting list and boards.pdf": lambda: cutting_pdf(d, about),
        "boards.svg": lambda: html_as_shown(boards_svg(d.layout, BOARDS_MM[0], {r.ref: r.name for r in d.cutting_list}), d.commission.shown),
        "at the yard.pdf": lambda: yard_pdf(d, about),
        "at the yard.html": lambda: yard_page_html(d),
        "piece.glb": lambda: scenes.glb_bytes(d),
        "piece.step": lambda: _dated(step_bytes(scenes.side_by_side(d)), day),
        "picture.png": lambda: whole.result()[0],
        "quote.pdf": lambda: quote_pdf(d, about, sender, day, *whole.result(), opened=opened.result().png),
        "costing sheet.pdf": lambda: costing_pdf(d, about, day),
        "costing.xlsx": lambda: costing_xlsx(d, day),
        "bench hours.html": lambda: bench_page_html(d),
        "drawings.pdf": lambda: drawings_pdf(drawn(), about["title"]),
        "drawings.dxf": lambda: drawn().dxf(),
        "client page.html": lambda: scenes.client_page_html(d),
        "setting out.pdf": lambda: handing_over.setting_out_pdf(d, about),
        "rods.dxf": lambda: rods_dxf(handing_over.full_rods(d)),
        "workshop.pdf": lambda: handing_over.workshop_pdf(d, about, made(), day),
        "workshop calendar.ics": lambda: calendar_ics(made(), c.ref, c.title, day),
        "care sheet.pdf": lambda: handing_over.care_pdf(d, about, sender, aged.result()) if chosen else None,
        "care reminders.ics": lambda: reminders_ics(d, counted_from(d, day), day) if chosen else None,
        "delivery and installation.pdf": lambda: handing_over.delivery_pdf(d, about, sender, made()),
        JOB_FOLDER: lambda: job_folder(c.ref, kept_so_far()),
    }


def brief_sheet(
    commission: Commission, *, revision: int = 1, maker: str = "", today: date | None = None, known=None
) -> bytes:
    """The brief sheet alone, which needs no piece yet. Arguments as ``write``; a PDF of one page."""
    d, day = derive(commission, known), today or date.today()
    return brief_pdf(d, _about(d, revision, day), _sender(maker), day)


def drawings(d: Derived, *, revision: int = 1, maker: str = "", today: date | None = None):
    """The drawing set alone, a ``studio_lib.drawings.whole.DrawingSet``. Arguments as ``write``.

    Raises ValueError, in words, for a piece too large to be drawn.
    """
    return drawings_of(d, _about(d, revision, today or date.today()), _sender(maker))


def _sender(maker: str) -> list[str]:
    return [line for line in maker.splitlines() if line.strip()] or ["The maker"]


def _about(d: Derived, revision: int, day: date) -> dict:
    """What every paper carries at its head and foot."""
    c = d.commission
    return {"ref": c.ref, "revision": revision, "title": c.title, "client": c.client or "the client",
            "date": words.date_words(day), "guidance": words.guidance(d), "held": words.held(d)}


BRIEF_PT = (10.0, 9.2, 8.4, 7.6, 7.0)
"""Sizes of letter tried, so that what was heard stays on one page. [pt]"""


def _dated(step: bytes, day: date) -> bytes:
    """A STEP file with the papers' day for the moment of export, so that the same piece gives the same bytes."""
    return re.sub(rb"'\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d'", f"'{day.isoformat()}T00:00:00'".encode(), step, count=1)


def brief_pdf(d: Derived, about: dict, sender: list[str], day: date) -> bytes:
    """One page for the client to confirm: what was heard, what is open, what is excluded."""
    data = about | {
        "maker": sender,
        "asked": d.commission.brief.asked,
        "heard": words.heard(d),
        "ballpark": words.ballpark_words(d),
        "in_the_way": words.in_the_way(d, day),
        "open": [f"{q.asks} It holds up {q.blocks}." for q in open_questions(d.commission)],
        "excluded": words.excluded(d),
        "options": [list(r.cells) if i == 0 else [r.label, *r.cells] for i, r in enumerate(d.compared())],
    }
    for pt in BRIEF_PT:
        sheet = for_client("brief", data | {"pt": pt}, {}, d.commission.shown)
        if pages(sheet) == 1:
            break
    return sheet


def issue_quote(
    commission: Commission, number: str, *, revision: int, maker: str = "", today: date | None = None, known=None
) -> bytes:
    """The quote alone, under its number. Arguments as ``write``; a PDF."""
    from studio_lib.look import scenes

    d, day = derive(commission, known), today or date.today()
    still, why_not = scenes.picture(d)
    return quote_pdf(d, _about(d, revision, day), _sender(maker), day, still, why_not, number, scenes.opened_picture(d).png)


def issue_account(paper, commission: Commission, *, maker: str = "", known=None) -> bytes:
    """A variation or an invoice, a ``commission.Issued``, as a PDF."""
    from studio_lib.papers.account import invoice_pdf, variation_pdf

    d = derive(commission, known)
    about = _about(d, paper.revision, paper.day)
    return (variation_pdf if paper.kind == "variation" else invoice_pdf)(d, about, _sender(maker), paper)


def quote_pdf(
    d: Derived, about: dict, sender: list[str], day: date, still: bytes | None, why_not: str, number: str = "",
    opened: bytes | None = None,
) -> bytes:
    """The quote as a client is handed it; ``number`` once it is issued; ``opened`` a picture of what opens."""
    p = d.price
    data = about | {
        "maker": sender,
        "not_firm": words.not_firm(d),
        "picture": "still.png" if still else None,
        "picture_open": "open.png" if still and opened else None,
        "picture_note": "As new. Colour on paper and screen is not the colour of the wood." + words.drawn_plain(d) if still
        else f"No picture: {why_not}",
        "paragraphs": words.paragraphs(d),
        "points": words.points(d),
        "lines": [(words.line_name(d, name), words.money_words(a, p.currency)) for name, a in p.quoted],
        "net": words.money_words(p.net, p.currency),
        "number": number,
        "inclusive": p.tax_inclusive,
        "taxed": bool(p.tax_rate),
        "tax_words": words.tax_words(p),
        "tax": words.money_words(p.tax, p.currency),
        "gross": words.money_words(p.gross, p.currency),
        "payments": words.payments(d),
        "options": words.options(d),
        "included": words.included(d),
        "excluded": words.excluded(d),
        "when": words.when(d, day),
        "may_differ": words.may_differ(d),
        "terms": words.terms(d, day),
    }
    return for_client("quote", data, ({"still.png": still} | ({"open.png": opened} if opened else {})) if still else {}, d.commission.shown)


def _handed(d: Derived) -> str:
    """Lines of the cutting list whose members are of one size but not worked alike, in words."""
    pieces = {p.name: p for p in d.pieces}
    lines = not_alike_words((pieces[r.piece], r.refs) for r in d.cutting_list)
    return f" Of one size but not worked alike, see the drawings: {lines}." if lines else ""


LENGTHS = ("overall", "shoulder", "width", "thickness", "sawn", "end1", "end2")
"""Columns of the cutting list that are lengths, without their unit."""
BORED = ("size", "clearance", "pilot", "head")
"""And of the list of screws."""


def cutting_pdf(d: Derived, about: dict) -> bytes:
    """Cutting list, joints, boards to buy and how the pieces lie on them."""
    layout, currency = d.layout, d.commission.rates.currency
    shown = d.commission.shown
    rows = [{k: column_as_shown(v, shown) if k in LENGTHS else v for k, v in r.items()} for r in cutting_rows(d)]
    timbers = list(dict.fromkeys(r.timber for r in d.cutting_list))
    volume = sum(r.volume_m3 for r in d.cutting_list)
    data = about | {
        "intro": f"Sizes in {'inches' if shown.inches else 'mm'}, length along the grain, tenons included. True at {d.making_moisture_pct:g} % "
        f"moisture. Timber: {d.species.name if d.species else 'open'}.{_handed(d)}",
        "rows": rows, "timbers": len(timbers) > 1,
        "totals": f"{sum(r.count for r in d.cutting_list)} pieces, {volume:.4f} m3 finished. Cut one spare of "
        "every tenoned piece for setting up. What is marked to fit is measured from its place, not from this list.",
        "cautions": [thumb_as_shown(c, shown) for c in words.cautions(d)],
        "joints": [j | {"figures": column_as_shown(j["figures"], shown)} for j in _joints(d)],
        "purchases": [
            {
                "ref": p.board.ref + ("" if p.board.is_bought else f" ({WHOSE_WORDS[p.board.source]})"), "count": str(p.count),
                "words": column_as_shown(board_size(p.board), shown)
                + ("; " + ", ".join(f.name for f in p.board.faults) if p.board.faults else ""),
                "each": words.money_words(p.board.price, currency), "cost": words.money_words(p.cost, currency),
            }
            for p in d.purchases
        ],
        "layout_words": layout_words(d),
        "asks": ask_lines(d), "reserve": reserve_words(d),
        "screws": [{k: column_as_shown(v, shown) if k in BORED else v for k, v in s.items()} for s in _screws(d)], "fixings": _fixings(d),
        "kerf_words": f"Kerf {mm(layout.kerf_mm)} mm, {mm(layout.end_trim_mm)} mm trimmed off each end. Red lines are cuts, numbered in the order they are made. " + resaw_words(d),
        "fault_words": SEVERITY_WORDS if any(b.faults for b in layout.boards) else "",
        "leftovers": "Worth keeping: " + ("; ".join(
            f"{o.board_ref} {size(o.length_mm, o.width_mm, o.thickness_mm)} mm" for o in layout.offcuts
        ) or "nothing") + ".",
    }
    pages = {name: html_as_shown(svg, shown) for name, svg in _board_pages(d).items()}
    data["boards_pages"] = list(pages)
    return for_client("cutting", data, pages, shown)


def layout_words(d: Derived) -> str:
    """Cost, number of boards, proof and yield of the layout in use."""
    layout, currency = d.layout, d.commission.rates.currency
    if not layout.boards_used:
        return "No boards laid out yet."
    kept = "The layout you kept" if d.layout_is_kept else "A first layout"
    missing = "".join(f" Missing: {n} of {ref}." for ref, n in layout.missing.items())
    proof = {"no proof": "how near this is to the cheapest is not known"}.get(
        layout.state, layout.state if layout.state == "proved cheapest" else f"{layout.state} of the cheapest possible"
    )
    if proof.startswith("within") and not d.layout_is_kept:
        proof = "not searched yet: a search on the Boards page finds a cheaper one, or tells how near this comes"
    return (
        f"{kept}: {len(layout.boards_used)} boards, {words.money_words(layout.cost, currency)}, {proof}. "
        f"{100 * layout.gross_yield:.0f} % of the timber bought is in sawn pieces, "
        f"{100 * layout.net_yield:.0f} % in finished ones.{missing}"
    )


def found_words(layout, currency: str) -> str:
    """What a search came to: boards bought, proof, and what finds no place and is bought by volume."""
    bought = f"{words.money_words(layout.cost, currency)} for boards" if layout.cost else "no board is paid for"
    missing = ", ".join(f"{n} of {ref}" for ref, n in layout.missing.items())
    return f"{bought}, {layout.state}." + (f" Still without a board, bought by volume: {missing}." if missing else "")


def _joints(d: Derived) -> list[dict]:
    """Joints that are set out alike on one line, as many as there are in all; by their members where a family has several lines."""
    out = []
    for p, n in d.counted:
        families: dict[tuple, list] = {}
        for j in p.joints:
            figures = "; ".join(f"{k} {v}" for k, v in j.setting_out(p).items())
            families.setdefault((j.family, j.kind, figures), []).append(j)
        lines = Counter(family for family, _, _ in families)
        for (family, kind, figures), joints in families.items():
            which = reach(tuple(dict.fromkeys(j.first for j in joints))) if lines[family] > 1 else ""
            out.append({"name": f"{p.name}: {family}", "which": which, "count": str(n * len(joints)), "figures": f"{kind}: {figures}"})
    return out


BRASS = ("Brass shears off in hard timber: cut each thread first with a steel screw of the same size, wax the brass one, and turn it in by hand "
         "(common practice, no source).")


def screwed(piece) -> bool:
    """Whether screws hold something of it."""
    return bool(piece.fixings) or any("screw" in h.name for j in piece.joints for h in j.hardware(piece))


def _screws(d: Derived) -> list[dict]:
    """Screws in rows, those bored and driven alike on one line."""
    kinds: dict[tuple, int] = {}
    for m in d.made:
        for f in m.piece.fixings:
            near, far = m.piece.member(f.near), m.piece.member(f.far)
            key = (m.piece.name, f.diameter_mm, f.length_mm, m.piece.metal, f.note, pilot_mm(far.timber, f.diameter_mm), near.piece_box.size[2], f.near)
            kinds[key] = kinds.get(key, 0) + f.count * m.item.count
    by: dict[tuple, list] = {}
    for (*what, deep, ref), n in kinds.items():
        by.setdefault((*what, round(max(deep - 30.0, 0.0))), []).append((ref, n))
    return [
        {
            "size": f"{dia:g} x {length:g}", "metal": metal, "count": str(sum(n for _, n in refs)), "into": f"{name}: {', '.join(r for r, _ in refs)}",
            "clearance": f"{dia + 0.5:g}", "pilot": f"{pilot:g}", "head": f"{let_in} deep, bit {2 * dia + 0.5:g}" if let_in else "even", "how": note,
        }
        for (name, dia, length, metal, note, pilot, let_in), refs in by.items()
    ]


def _fixings(d: Derived) -> str:
    """What is bought for the joints, to have at hand, and how screws of a soft metal are driven."""
    bought = [bought_words(line.quantity, line.unit, line.what) for line in (*hardware_lines(d.counted), *fitted_lines(d.fitted_there))]
    brass = any(m.piece.metal.startswith("brass") and screwed(m.piece) for m in d.made)
    return " ".join([f"To have at hand: {'; '.join(bought)}."] * bool(bought) + [BRASS] * brass)


def _board_pages(d: Derived) -> dict[str, str]:
    """The boards drawn to scale, as many on a page as it holds."""
    layout = d.layout
    if not layout.boards_used:
        return {}
    width, height = BOARDS_MM
    scale = (width - 2) / max(layout.board(ref).length_mm for ref, _ in layout.boards_used)
    pages: list[list] = [[]]
    used = 0.0
    for key in layout.boards_used:
        need = layout.board(key[0]).widest_mm * scale + 9.0
        if used + need > height and pages[-1]:
            pages.append([])
            used = 0.0
        pages[-1].append(key)
        used += need
    names = {r.ref: r.name for r in d.cutting_list}
    longest = max(layout.board(ref).length_mm for ref, _ in layout.boards_used)
    out = {}
    for i, keys in enumerate(pages, 1):
        part = replace(layout, placements=tuple(p for p in layout.placements if p.board in set(keys)))
        out[f"boards{i}.svg"] = boards_svg(part, width, names, longest)
    return out
