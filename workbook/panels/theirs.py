"""The client's own timber on every page: the boards, the lot as a whole, whether it suits."""

from __future__ import annotations

from html import escape

import ipywidgets as w

from studio_lib.brief.reclaimed import LOCAL
from studio_lib.shop.cautions import of_reclaimed
from studio_lib.stock.reading import fault_words, next_mark, read_faults
from workbook import parts, show
from workbook.desk import Desk
from workbook.panels import yard

NOT_KNOWN = "not known yet"
EXAMPLE = {"mm": "nail hole 120-160 x 40-60; end split 0-60 x 0-140", "in": "nail hole 4 3/4-6 1/4 x 1 5/8-2 3/8; end split 0-2 3/8 x 0-5 1/2"}
WIDE = {"mark": 70, "many": 62, "length": 86, "timber": 200, "faults": 330}
"""Width of each column. [px]"""


def boards(desk: Desk, here: str) -> w.Widget:
    """The client's boards, to be changed where they stand, and a line to add to them; ``here`` the page, 'brief' or 'boards'."""

    def build():
        rows = [(i, b) for i, b in enumerate(desk.commission.boards.offered) if b.source == "client"]
        return [_heads(), *(_row(desk, i, b) for i, b in rows)] if rows else []

    def key(c):
        return tuple((i, b.ref, b.state) for i, b in enumerate(c.boards.offered) if b.source == "client"), _timbers(desk)

    other = parts.link("boards" if here == "brief" else "brief")
    return w.VBox([
        parts.rebuilt(desk, build, key),
        parts.live(desk, lambda: _said(desk)),
        _new(desk),
        w.HTML(show.page(f'<div class="quiet">The same boards stand on {other}; changed there or here is one thing. They cost nothing. Size as they lie, not as planed; '
                         "where they differ, the least, or a line for each kind. "
                         "A fault is its name, from-to along the board, from-to across it; 'nail hole may show' or 'small knot may show' is one that any part may hold.</div>")),
        parts.refusal(desk, "boards.offered", within=False),
    ])


def _timbers(desk: Desk) -> tuple[str, ...]:
    return tuple(s.name for s in desk.library.species)


def _timber_options(desk: Desk) -> list[tuple[str, str]]:
    return [(NOT_KNOWN, ""), *((n, n) for n in _timbers(desk))]


def _heads() -> w.Widget:
    unit = parts.length_unit()
    heads = (("Mark", "mark"), ("Boards", "many"), (f"Long, {unit}", "length"), (f"Wide, {unit}", "length"), (f"Thick, {unit}", "length"), ("Timber", "timber"),
             (f"Faults, {unit}", "faults"))
    return w.HBox([w.HTML(show.page(f'<span class="quiet">{words}</span>'), layout=w.Layout(width=f"{WIDE[name] + (8 if name == 'mark' else 4)}px"))
                   for words, name in heads])


def _row(desk: Desk, i: int, board) -> w.Widget:
    path = f"boards.offered.{i}"

    def field(name: str, box: w.Widget, read, write) -> parts.Field:
        return parts.Field(desk, f"{path}.{name}", box, read, write)

    def box(kind: str, says: str) -> w.Text:
        return w.Text(continuous_update=False, tooltip=f"{says} of {board.ref}", layout=w.Layout(width=f"{WIDE[kind]}px"))

    def length(name: str, says: str) -> parts.Field:
        at = parts.at(f"{path}.{name}")
        return field(name, box("length", says), lambda c: parts.length_here(at(c)), parts.read_length_here)

    at_timber = parts.at(f"{path}.timber")
    timber = w.Dropdown(options=_named(desk, board.timber), tooltip=f"Timber of {board.ref}", layout=w.Layout(width=f"{WIDE['timber']}px"))
    many = w.BoundedIntText(min=1, max=999, tooltip=f"Number of boards like {board.ref}", layout=w.Layout(width=f"{WIDE['many']}px"))
    faults = box("faults", "Faults")
    faults.placeholder = "clear"
    return w.HBox([
        w.HTML(f"<b>{escape(board.ref)}</b>", layout=w.Layout(width=f"{WIDE['mark'] + 8}px")),
        field("count", many, lambda c: parts.at(f"{path}.count")(c) or 1, int),
        length("length_mm", "Length"), length("width_mm", "Width"), length("thickness_mm", "Thickness"),
        field("timber", timber, at_timber, lambda v: v),
        field("faults", faults, lambda c: fault_words(parts.at(f"{path}.faults")(c), show.shown(), exact=True), lambda v: read_faults(v, show.shown())),
        parts.button(desk, "Take away", lambda: _take_away(desk, i)),
    ], layout=w.Layout(align_items="flex-start", flex_flow="row wrap"))


def _named(desk: Desk, own: str) -> list[tuple[str, str]]:
    options = _timber_options(desk)
    return options if own in {v for _, v in options} else [*options, (own, own)]


def _take_away(desk: Desk, i: int) -> None:
    rows = yard.plain(desk, "offered")
    desk.change("boards.offered", rows[:i] + rows[i + 1:])


def share(desk: Desk) -> str:
    """What of the piece their boards make, what is bought, what goes back."""
    d = desk.derived
    said = d.share_words() or (d.cover_words if desk.commission.items and not desk.commission.theirs else "")
    return f"<p><b>{escape(said[0].upper() + said[1:].rstrip('.'))}.</b></p>" if said else ""


def _said(desk: Desk) -> str:
    """What of the piece they make, and how large a part they give."""
    reach = desk.derived.reach_words
    return share(desk) + (f'<p class="quiet">{escape(show.words(reach))}</p>' if reach else "")


def _new(desk: Desk) -> w.Widget:
    """A line to add boards of the client's."""
    lot = desk.commission.brief.their_timber
    many = w.BoundedIntText(description="Boards", value=1, min=1, max=999, layout=w.Layout(width="160px"))
    length = parts.length_box("Length", 2000.0)
    wide, thick = parts.length_box("Width", lot.width_mm or 150.0), parts.length_box("Thick", lot.thickness_mm or 27.0)
    timber = w.Dropdown(description="Timber", options=_timber_options(desk), value=_as_before(desk), layout=w.Layout(width="290px"))
    faults = w.Text(description="Faults", placeholder=EXAMPLE[parts.length_unit()], layout=w.Layout(width="420px"))

    def add():
        taken = [b.ref for b in desk.commission.boards.offered]
        row = {
            "ref": next_mark("C0", taken), "timber": timber.value, "length_mm": parts.mm_of(length), "width_mm": parts.mm_of(wide),
            "thickness_mm": parts.mm_of(thick), "count": many.value, "price": "0", "source": "client", "faults": read_faults(faults.value, show.shown()),
        }
        if desk.change("boards.offered", [*yard.plain(desk, "offered"), row]):
            many.value, faults.value = 1, ""

    wrap = w.Layout(flex_flow="row wrap")
    return w.VBox([
        w.HBox([many, length, wide, thick, timber], layout=wrap),
        w.HBox([faults, parts.button(desk, "Add boards of theirs", lambda: yard.said(desk, "boards.offered", add), "They are marked C1, C2, ... on both pages")], layout=wrap),
    ])


def _as_before(desk: Desk) -> str:
    """The timber of the board of theirs entered last, else the one chosen where it is on file."""
    last = next((b.timber for b in reversed(desk.commission.theirs)), desk.commission.timber.species or "")
    return last if last in _timbers(desk) else ""


def lot(desk: Desk) -> w.Widget:
    """All that the brief knows of timber the client brings."""

    def about(c) -> bool:
        return c.brief.brings_timber and not c.theirs

    def may_go():
        if not desk.commission.theirs and "brief.brings_timber" in desk.refused:
            desk.refused = {k: v for k, v in desk.refused.items() if k != "brief.brings_timber"}

    parts.watched(desk, ["commission"], may_go)

    return w.VBox([
        parts.tick(desk, "brief.brings_timber", "The client brings timber", "all of it, or some and you buy the rest"),
        boards_where_brought(desk, "brief"),
        _only(desk, about, lambda: w.VBox([
            parts.optional_number(desk, "brief.their_timber.thickness_mm", "Not counted yet: thickness, about", "mm", "thick boards dry for years"),
            parts.optional_number(desk, "brief.their_timber.width_mm", "and width, about", "mm"),
        ])),
        _only(desk, lambda c: c.brief.brings_timber, lambda: w.VBox([
            parts.choice(desk, "brief.their_timber.been", "What it was before", [
                ("not said yet", ""), ("never used: sawn for this, or left over", "never used"), ("used indoors: floor, beams, furniture", "used indoors"),
                ("used outdoors: fence, deck, barn", "used outdoors"), ("pallets or crates", "pallets or crates")]),
            parts.text(desk, "brief.their_timber.story", "Where it stood, how long it has lain"),
            parts.choice(desk, "brief.their_timber.metal", "Nails or metal in it", [
                ("not looked for yet", ""), ("yes, some", "found"), ("none: looked for with a detector", "none found")]),
            parts.tick(desk, "brief.their_timber.marks_may_show", "Old nail holes and small sound knots may show",
                       "wanted as they are: any part may hold them; one kept out is called 'keep out'"),
            parts.choice(desk, "brief.their_timber.coat", "Paint or preservative", [
                ("not known", ""), ("bare, never had any", "bare"), ("old paint or varnish", "paint or varnish"), ("treated with preservative", "preservative")]),
            parts.optional_number(desk, "brief.their_timber.moisture_pct", "The meter says", "%", "the wettest board; above its making moisture it shrinks in the piece"),
            parts.day(desk, "brief.their_timber.measured_on", "Measured on"),
        ])),
        parts.live(desk, lambda: minded(desk)),
    ])


def boards_where_brought(desk: Desk, here: str) -> w.Widget:
    """``boards`` while the client brings timber."""
    return _only(desk, lambda c: c.brief.brings_timber, lambda: boards(desk, here))


def _only(desk: Desk, holds, build) -> w.Widget:
    """Shown only where ``holds(commission)``."""
    return parts.rebuilt(desk, lambda: [build()] if holds(desk.commission) else [], lambda c: bool(holds(c)))


def minded(desk: Desk) -> str:
    """What is found on their timber, and the usual cautions with old boards."""
    d = desk.derived
    if not desk.commission.brief.brings_timber:
        return ""
    said = show.findings(d.their_findings, all_of_them=True) if d.their_findings else ""
    if not desk.commission.brief.their_timber.is_reclaimed:
        return said
    usual = "".join(f'<li>{escape(c.text)} <span class="quiet">{escape(c.source)}</span></li>' for c in of_reclaimed())
    return f'{said}<div class="caution">With old boards:<ul>{usual}</ul>{escape(LOCAL)}</div>'


def judged(desk: Desk) -> w.Widget:
    """Timber that the client brings, first on the Timber page: whether it suits, why, what may be done; chosen by one press."""

    def build():
        c = desk.commission
        if not c.brief.brings_timber:
            return []
        rows = [parts.heading("The client's own timber")]
        for name in desk.derived.their_species:
            take = parts.button(desk, f"Make it of the client's {name}", lambda name=name: desk.change("timber.species", name))
            chosen = c.timber.species == name
            rows += [parts.live(desk, lambda name=name: _judgement(desk, name)), *([] if chosen else [take])]
        return [*rows, parts.live(desk, lambda: _unnamed(desk))]

    return parts.rebuilt(desk, build, lambda c: (c.brief.brings_timber, tuple(b.timber for b in c.theirs), c.timber.species))


def _judgement(desk: Desk, name: str) -> str:
    d = desk.derived
    found = next((b for b in d.brought if b.species == name), None)
    if found is None:
        return ""
    mark = {"stands": "stands", "will not do": "fails"}.get(found.verdict.value, "again")
    rank = next((c for c in d.choices if c.species == name), None)
    points = f" It has {rank.score} points of 100 in the list below." if rank and not rank.ruled_out else " In the list below it is ruled out." if rank else ""
    theirs = [b for b in desk.commission.theirs if b.timber == name]
    what = ", ".join(f"{b.count or 1} of {parts.length_here(b.length_mm)} x {parts.length_here(b.width_mm)} x {parts.length_here(b.thickness_mm)}" for b in theirs)
    rows = [(escape(t.what.capitalize()), show.verdict(t.verdict), escape(show.words(t.says))) for t in found.topics]
    may = "".join(f"<li>{escape(show.words(x))}</li>" for x in found.may_do)
    chosen = " <b>It is chosen.</b>" if desk.commission.timber.species == name else ""
    return (
        f'<p class="{mark}">{escape(found.headline(d.hardest.place))}</p><p>Boards: {escape(what)} {parts.length_unit()}.{escape(points)}{chosen}</p>'
        + show.table(("Asked", "So", "Why"), rows)
        + (f"<p>What may be done:</p><ul>{may}</ul>" if may else "")
    )


def _unnamed(desk: Desk) -> str:
    d = desk.derived
    if not desk.commission.theirs:
        return f'<p class="open">The client brings timber and no board of it is entered yet: enter what is known on {parts.link("brief")}, under \'Their own timber\'.</p>'
    if not d.their_unnamed:
        return ""
    taken = f"They are taken as {d.species.name} meanwhile." if d.species else "Choose a timber below to take them as, or name it."
    return (f'<p class="open">{d.their_unnamed} boards of theirs are of a timber nobody has named yet. {escape(taken)} Plane a corner, look at the end grain with a lens, '
            f'and name it on {parts.link("brief")} or {parts.link("boards")}: until then strength, movement and how it lasts are not known.</p>')
