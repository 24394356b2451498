"""The timber: what lasts in the place, ranked for the brief, and how it will move."""

from __future__ import annotations

from datetime import date
from html import escape

import ipywidgets as w

from studio_lib.drawings.seasons import readings_svg, section_svg, states_svg
from studio_lib.timber import Pith, cup, mean_ring_angle_deg, movement_at_angle, stand_in
from studio_lib.timber.provisions import swing
from studio_lib.timber.try_out import DETAILS, detail
from workbook import parts, show
from workbook.desk import Desk

STAND_INS = {"moe_gpa": "modulus of elasticity, GPa", "mor_mpa": "modulus of rupture, MPa", "shear_mpa": "shear strength, MPa"}


def panel(desk: Desk) -> w.Widget:
    return w.VBox([
        species(desk),
        parts.choice(desk, "timber.sawing", "Sawing", [("mixed, as it comes", "mixed"), ("flat-sawn", "flat"), ("quarter-sawn", "quarter")],
                     "flat-sawn boards move most across their width"),
        parts.optional_number(desk, "timber.making_moisture_pct", "Moisture when made", "%", "measured; empty takes the place's own target"),
        stand_ins(desk),
        parts.live(desk, lambda: place(desk)),
        parts.live(desk, lambda: lasting(desk)),
        parts.folded(
            ("How it lasts: the details", details(desk)), ("Weigh timbers against each other", weights(desk)),
            ("What a board does as it dries", a_board(desk)), ("Try a detail that lets wood move", a_detail(desk)),
            ("Moisture of the boards", readings(desk)), ("Glue and finish", parts.live(desk, lambda: glue_and_finish(desk))),
            ("Where it comes from", origin(desk)), ("Timbers and prices of your own", own_timbers(desk)),
            ("Its figures, with their sources", parts.live(desk, lambda: chosen(desk))),
        ),
        parts.live(desk, lambda: fit_table(desk)),
    ])


def species(desk: Desk) -> w.Widget:
    """The timbers on file and the maker's own, to choose from."""

    def names():
        return tuple(s.name for s in desk.library.species)

    def build():
        return [parts.choice(desk, "timber.species", "Timber", [("not chosen yet", None), *names()],
                             "ranked for the brief in the table below")]

    return parts.rebuilt(desk, build, lambda c: names())


def lasting(desk: Desk) -> str:
    """Whether it lasts there, in years with their conditions."""
    life = desk.derived.life
    said = show.findings(desk.derived.timber_findings, all_of_them=True)
    if life is None:
        return f"<h3>Will it last</h3>{said}"
    helps = f"<p>What would help most: {escape(life.would_help)}</p>" if life.would_help else ""
    return (
        f"<h3>Will it last</h3>{said}<p>{escape(life.says)}</p>{helps}"
        f'<div class="quiet">It hangs on: {escape("; ".join(life.conditions))}. {escape(life.source)}</div>'
    )


def details(desk: Desk) -> w.Widget:
    return w.VBox([
        parts.tick(desk, "timber.details.drained", "Water runs off and out everywhere"),
        parts.tick(desk, "timber.details.end_grain_sealed", "End grain is sealed"),
        parts.tick(desk, "timber.details.off_the_ground", "Feet stand on pads and dry between showers"),
        parts.tick(desk, "timber.details.traps_water", "There are joints or laps where water stays"),
        parts.tick(desk, "timber.details.roofed", "It stands under a roof"),
    ])


CRITERIA = {
    "life": "Lasts there", "movement": "Moves little", "weight": "Light to carry", "look": "Looks as asked",
    "workability": "Easy to work", "hardness": "Hard surface", "price": "Price, where you gave one",
    "availability": "At hand, where you said so", "provenance": "Lawful and known source",
}


def weights(desk: Desk) -> w.Widget:
    """Weights set together with the client; what each does, and how fragile the first place is."""
    sliders = []
    for name, label in CRITERIA.items():
        path = f"timber.weights.{name}"
        slide = w.FloatSlider(min=0, max=10, step=1, description=label, readout_format=".0f", style=parts.STYLE, layout=w.Layout(width="460px"))
        sliders.append(parts.Field(desk, path, slide, parts.at(path)))
    others = [s.name for s in desk.library.species]
    against = w.SelectMultiple(options=others, value=desk.commission.timber.compared, rows=7, layout=w.Layout(width="300px"))
    compare = parts.Field(desk, "timber.compared", against, lambda c: tuple(c.timber.compared), list,
                          "up to three others, held against the chosen one on this very piece (Ctrl-click)")
    return w.VBox([
        w.HBox([w.VBox(sliders), parts.live(desk, lambda: weighed(desk))], layout=w.Layout(flex_flow="row wrap")),
        compare, parts.live(desk, lambda: on_piece(desk)),
    ])


def weighed(desk: Desk) -> str:
    """First places under the weights, and what would topple them."""
    found = desk.derived.weighing
    rows = [
        (escape(x.species), f"{x.score:.0f}", escape(", ".join(f"{CRITERIA[c].lower()} {p:.0f}" for c, p in sorted(x.gives.items(), key=lambda i: -i[1]) if p >= 0.5)))
        for x in found.ranked[:6]
    ]
    left = f'<div class="quiet">Not counted: {escape("; ".join(found.left_out))}</div>' if found.left_out else ""
    return (
        "<h3>Under these weights</h3>" + show.table(("Timber", "Of 100", "Points from"), rows, numbers=(1,))
        + f"<p>{escape(found.says)}</p>{left}"
        '<div class="quiet">It knows nothing of knots, board sizes, or what your yard has.</div>'
    )


def on_piece(desk: Desk) -> str:
    """Timbers side by side on the piece in hand."""
    rows = []
    for x in desk.derived.on_this_piece:
        swatches = " ".join(
            f'<span title="after {years:g} years" style="display:inline-block;width:18px;height:18px;background:{a.base_hex}"></span>'
            for years, a in x.swatches
        )
        moves = f"-{abs(x.shrinks_mm):.1f} to +{x.grows_mm:.1f}" if x.shrinks_mm is not None and x.grows_mm is not None else "not known"
        rows.append((
            escape(x.species), f"{x.mass_kg:.0f}", f"{x.mass_equal_sag_kg:.0f}" if x.mass_equal_sag_kg else "not known", moves,
            f"{x.boards_price:.0f}" if x.boards_price is not None else "no price of yours", f"{x.stored_co2_kg:.0f}", swatches,
            f'<span class="quiet">{escape("; ".join(x.missing))}</span>',
        ))
    if not rows:
        return ""
    head = ("On this piece", "kg as drawn", "kg for equal sag", "Widest slat moves, mm", "Boards", "kg CO2 stored", "New to 10 years", "Not known")
    return show.table(head, rows, numbers=(1, 2, 4, 5))


def a_board(desk: Desk) -> w.Widget:
    """Movement and cupping of one board, from where the heart of the tree lay."""
    boxes = {
        name: w.FloatText(description=words, value=value, style=parts.STYLE, layout=w.Layout(width="330px"))
        for name, words, value in (
            ("width", "Width, mm", 200.0), ("thickness", "Thickness, mm", 30.0), ("below", "Heart below the middle, mm", 40.0),
            ("aside", "Heart aside of the middle, mm", 0.0), ("to", "Goes to, % moisture", 12.0),
        )
    }
    out = w.HTML()

    def draw(_change=None):
        d = desk.derived
        if d.species is None:
            out.value = show.page("<p>Choose a timber first.</p>")
            return
        v = {name: box.value for name, box in boxes.items()}
        try:
            pith = Pith(v["below"], v["aside"])
            found = cup(d.species, v["width"], v["thickness"], pith, d.making_moisture_pct, v["to"])
            angle = mean_ring_angle_deg(v["width"], pith)
            wide, thick = (
                movement_at_angle(d.species, size_mm, angle, across, d.making_moisture_pct, v["to"]).mm
                for size_mm, across in ((v["width"], "width"), (v["thickness"], "thickness"))
            )
        except ValueError as error:
            out.value = show.page(f'<p class="fails">{escape(str(error))}</p>')
            return
        out.value = show.page(
            f"<p>{escape(found.says)}</p><p>Rings stand at {angle:.0f} degrees to the face on average: the width changes by {wide:+.1f} mm, "
            f"the thickness by {thick:+.1f} mm.</p>" + section_svg(found.before, found.after, 2.0)
            + f'<div class="quiet">Dashed as it was made, filled as it becomes, free to move, the heart below. {escape(found.source)}</div>'
        )

    for box in boxes.values():
        box.observe(draw, "value")
    parts.watched(desk, ["commission"], draw)
    return w.HBox([w.VBox(list(boxes.values())), out], layout=w.Layout(flex_flow="row wrap"))


def a_detail(desk: Desk) -> w.Widget:
    """A panel, a breadboard end, a drawer and the like: does it have room over the year."""
    which = w.Dropdown(options=[d.name for d in DETAILS], description="Detail", style=parts.STYLE, layout=w.Layout(width="470px"))
    size_mm = w.FloatText(value=400.0, style=parts.STYLE, layout=w.Layout(width="330px"))
    angle = w.FloatText(value=0.0, description="Rings to the face, degrees", style=parts.STYLE, layout=w.Layout(width="330px"))
    asked, out = w.VBox(), w.HTML()

    def ask(_change=None):
        chosen = detail(which.value)
        size_mm.description = f"Width of the {chosen.across}, mm"
        boxes = [
            w.FloatText(value=a.begin, description=a.words if a.name in ("slats", "corner_deg") else f"{a.words}, mm",
                        style=parts.STYLE, layout=w.Layout(width="330px"))
            for a in chosen.asks
        ]
        for box in boxes:
            box.observe(draw, "value")
        asked.children = tuple(boxes)
        draw()

    def draw(_change=None):
        d, chosen = desk.derived, detail(which.value)
        if d.species is None:
            out.value = show.page("<p>Choose a timber first.</p>")
            return
        try:
            moved = swing(d.species, size_mm.value, angle.value, "width", d.moisture)
            found = chosen.judge(moved, {a.name: box.value for a, box in zip(chosen.asks, asked.children)})
        except ValueError as error:
            out.value = show.page(f'<p class="fails">{escape(str(error))}</p>')
            return
        out.value = show.page(
            f"<p>{escape(found.says)}</p>" + show.findings(found.findings, all_of_them=True)
            + states_svg(found.making, found.dry, found.wet) + f'<div class="quiet">{escape(moved.says)} {escape(found.source)}</div>'
        )

    which.observe(ask, "value")
    size_mm.observe(draw, "value")
    angle.observe(draw, "value")
    parts.watched(desk, ["commission"], ask)
    return w.HBox([w.VBox([which, size_mm, angle, asked]), out], layout=w.Layout(flex_flow="row wrap"))


def readings(desk: Desk) -> w.Widget:
    """Readings of the meter against the target, board by board."""
    board = w.Text(description="Board", placeholder="Y3", layout=w.Layout(width="180px"))
    percent = w.Text(description="Shown, %", layout=w.Layout(width="180px"))
    depth = w.FloatText(description="Depth, mm", value=8, layout=w.Layout(width="180px"))
    warm = w.FloatText(description="Wood, degC", value=18, layout=w.Layout(width="180px"))
    when = w.DatePicker(description="Day", value=date.today(), layout=w.Layout(width="240px"))

    def add():
        present = [r.model_dump(mode="json") for r in desk.commission.timber.readings]
        try:
            shown = parts.as_number(percent.value)
        except ValueError as error:
            desk.refused = {**desk.refused, "timber.readings": str(error)}
            return
        desk.change("timber.readings", [*present, {
            "day": (when.value or date.today()).isoformat(), "board": board.value.strip(), "depth_mm": depth.value,
            "percent": shown, "temperature_c": warm.value,
        }])

    def state() -> str:
        found = desk.derived.readiness
        if found is None:
            return '<p class="quiet">No reading yet. Read deep as well as near the face, and write the board down.</p>'
        rows = [
            (escape(b.board), f"{b.percent:.1f} \u00b1 {b.either_way_pct:.1f}", b.day.isoformat(), str(b.visits), show.yes(b.ready),
             escape(b.says.partition(": ")[2]))
            for b in found.boards
        ]
        seen = [(r.day, r.board, r.percent) for r in desk.commission.timber.readings]
        drawn = readings_svg(seen, desk.derived.making_moisture_pct, desk.derived.moisture.tolerance_pct)
        return drawn + show.table(("Board", "%", "Last read", "Visits", "Ready", "Why"), rows, numbers=(1,)) + f"<p>{escape(found.says)}</p>" + f'<div class="quiet">{escape(found.source)}</div>'

    return w.VBox([
        w.HBox([board, percent, depth, warm, when, parts.button(desk, "Write down", add)], layout=w.Layout(flex_flow="row wrap")),
        parts.refusal(desk, "timber.readings"), parts.live(desk, state),
    ])



def glue_and_finish(desk: Desk) -> str:
    """Families of glue and finish for this timber in this place."""
    d = desk.derived
    if d.species is None:
        return "<p>Choose a timber first.</p>"

    def rows(choices, name):
        return [
            (escape(getattr(c, name).family), show.verdict(c.verdict), escape("; ".join(c.reasons)),
             f'<span class="quiet">{escape("; ".join(c.cautions))}</span>')
            for c in choices
        ]

    head = ("Family", "For this", "Why", "Caution")
    return (
        "<h3>Glue</h3>" + show.table(head, rows(d.glues, "adhesive"))
        + "<h3>Finish</h3>" + show.table(head, rows(d.finishes, "finish"))
        + '<div class="caution">Oily rags catch fire by themselves: hang them out singly until hard, or soak them. Epoxy: gloves, '
        "and never sand it half cured. Local rules come first.</div>"
    )


def origin(desk: Desk) -> w.Widget:
    """What the papers say of the timber, and what may be said to the client."""

    def sayings() -> str:
        found = desk.derived.sayings
        if found is None:
            return "<p>Choose a timber first.</p>"
        may = "".join(f'<li>{escape(x.text)} <span class="quiet">{escape(x.why)}</span></li>' for x in found.may)
        may_not = "".join(f'<li>{escape(x.text)} <span class="quiet">{escape(x.why)}</span></li>' for x in found.may_not)
        ask = "".join(f"<li>{escape(x)}</li>" for x in found.ask)
        return (
            f"<h3>You may say</h3><ul>{may}</ul><h3>You may not say</h3><ul>{may_not}</ul>"
            + (f"<h3>Ask the supplier for</h3><ul>{ask}</ul>" if ask else "") + f'<div class="quiet">{escape(found.note)}</div>'
            + show.findings(desk.derived.law_findings, all_of_them=True)
        )

    return w.VBox([
        parts.choice(desk, "timber.origin.origin", "It is", ["bought", "recycled", "own or urban tree"]),
        parts.text(desk, "timber.origin.harvest_country", "Country it grew in", px=420),
        parts.text(desk, "timber.origin.harvest_region", "Region or forest", px=420),
        parts.text(desk, "timber.origin.supplier_name", "Supplier", px=420),
        parts.text(desk, "timber.origin.invoice_number", "Invoice", px=420),
        parts.text(desk, "timber.origin.claim_text", "Claim on the invoice", "letter for letter"),
        parts.text(desk, "timber.origin.supplier_certificate", "Supplier's certificate", px=420),
        parts.day(desk, "timber.origin.supplier_checked_on", "Found valid on"),
        parts.choice(desk, "timber.origin.market", "First sold in", [("not said", ""), "EU", "Australia", "USA"], "which law asks for records"),
        parts.live(desk, sayings),
    ])


def own_timbers(desk: Desk) -> w.Widget:
    """The maker's own timbers and prices; kept in the job book, never overwritten by an update."""
    name = w.Combobox(options=[s.name for s in desk.library.species], description="Timber", placeholder="on file, or a new name",
                      style=parts.STYLE, layout=w.Layout(width="470px"), ensure_option=False)
    price = w.Text(description="Price a m3", placeholder="yours", style=parts.STYLE, layout=w.Layout(width="330px"))
    note = w.Text(description="Note", style=parts.STYLE, layout=w.Layout(width="560px"))
    more = w.Textarea(
        description="For a new timber", rows=4, style=parts.STYLE, layout=w.Layout(width="640px"),
        placeholder="one figure a line:\nbotanical_name: Prunus avium\ngroup: hardwood\ndensity_12pct_kg_m3: 600\nsource: my own boards\nlike: Black cherry",
    )
    said = w.HTML()

    def build():
        rows = desk.book.own_timbers
        return [
            w.HBox([
                parts.button(desk, "Take away", lambda i=i: desk.keep_own_timbers(rows[:i] + rows[i + 1 :])),
                w.HTML(escape(", ".join(f"{k}: {v}" for k, v in row.items()))),
            ], layout=w.Layout(align_items="center"))
            for i, row in enumerate(rows)
        ]

    listed = w.VBox(build())

    def keep():
        row = {"name": name.value.strip()}
        if price.value.strip():
            row |= {"price_per_m3": price.value.strip().replace(",", "."), "price_on": date.today().isoformat()}
        if note.value.strip():
            row["note"] = note.value.strip()
        for line in more.value.splitlines():
            key, colon, value = line.partition(":")
            if colon and value.strip():
                row[key.strip()] = read_figure(value.strip())
        try:
            desk.keep_own_timbers([r for r in desk.book.own_timbers if r["name"] != row["name"]] + [row])
        except ValueError as error:
            said.value = show.page(f'<p class="fails">{escape(str(error))}</p>')
            return
        said.value = show.page(f"<p>Kept: {escape(row['name'])}.</p>")
        listed.children = tuple(build())

    return w.VBox([listed, name, price, note, more, parts.button(desk, "Keep it", keep), said])


def read_figure(text: str):
    """A figure where it is one, else the words."""
    try:
        return float(text)
    except ValueError:
        return text


def fit_table(desk: Desk) -> str:
    """Timbers that last in the place, best first; those ruled out folded under, with the reason."""
    choices = desk.derived.choices
    fit = [c for c in choices if not c.ruled_out]
    out = [c for c in choices if c.ruled_out]
    own = desk.commission.timber.species
    rows = []
    for c in fit[:12]:
        s = desk.library.timber(c.species)
        said = "; ".join(escape(r) for r in c.reasons if not r.startswith(("+ EN", "+ AS", "+ USDA")))
        rows.append((
            escape(c.species), c.score, show.verdict(c.fit.verdict), f"{s.density_12pct_kg_m3:.0f}" if s.density_12pct_kg_m3 else "",
            f'<span style="display:inline-block;width:16px;height:16px;background:{s.colour_new_hex}"></span> '
            f'<span style="display:inline-block;width:16px;height:16px;background:{s.colour_weathered_hex}"></span>',
            f'<span class="quiet">{said}</span>',
        ))
    lit = [i for i, c in enumerate(fit[:12]) if c.species == own]
    head = ("Timber", "Points of 100", "Lasts", "kg/m3", "New, grey", "For and against")
    rest = [(escape(c.species), c.score, escape(c.fit.says)) for c in fit[12:]]
    ruled = [(escape(c.species), escape(c.fit.says)) for c in out]
    return (
        f"<h3>{len(fit)} timbers last {escape(desk.commission.brief.place)}; {len(out)} do not</h3>"
        + show.table(head, rows, numbers=(1, 3), lit=lit)
        + f"<details><summary>The other {len(rest)} that last</summary>{show.table(('Timber', 'Points', 'Why'), rest, numbers=(1,))}</details>"
        + f"<details><summary>The {len(ruled)} ruled out, and why</summary>{show.table(('Timber', 'Why not'), ruled)}</details>"
    )


def chosen(desk: Desk) -> str:
    """Figures of the chosen timber, each with where it comes from."""
    s = desk.derived.species
    if s is None:
        return "<p>Choose a timber to see its figures.</p>"
    rows = []
    for field, label, unit in (
        ("density_12pct_kg_m3", "Density at 12 % moisture", "kg/m3"),
        ("movement_tangential_per_pct", "Movement, flat-sawn, for 1 % moisture", "of its width"),
        ("movement_radial_per_pct", "Movement, quarter-sawn, for 1 % moisture", "of its width"),
        ("moe_gpa", "Modulus of elasticity", "GPa"), ("mor_mpa", "Modulus of rupture", "MPa"),
        ("shear_mpa", "Shear strength", "MPa"), ("hardness_n", "Hardness (Janka)", "N"),
        ("durability_en350", "Durability class EN 350", ""), ("gluing", "Gluing", ""), ("tannin", "Tannin", ""),
    ):
        value = getattr(s, field)
        shown = "not published" if value is None else f"{value:g}" if isinstance(value, int | float) else escape(str(value))
        rows.append((label, shown, unit, f'<span class="quiet">{escape(s.source_of(field))}</span>' if value is not None else ""))
    notes = "".join(
        f'<div class="caution">{escape(t)}</div>' for t in (
            f"Dust: {s.dust_caution}. Extraction and a P3 mask; local limits apply." if s.dust_caution else "",
            s.legality_note, s.notes,
        ) if t
    )
    return (
        f"<h3>{escape(s.name)} <i>{escape(s.botanical_name)}</i></h3>"
        + show.table(("Figure", "Value", "", "Source"), rows, numbers=(1,)) + notes
        + show.findings(desk.derived.timber_findings, all_of_them=True)
    )


def place(desk: Desk) -> str:
    """Moisture over the year, and what it does to 100 mm of width."""
    d = desk.derived
    m = d.moisture
    text = (
        f"<h3>Moisture over the year: {m.low_pct:g} to {m.high_pct:g} %</h3><p>{escape(m.reason)}</p>"
        f'<p class="quiet">{escape(m.source)}</p>'
    )
    if d.species is None:
        return text
    if d.movement_unknown:
        return text + f'<p class="open">{escape(d.movement_unknown)}</p>'
    wet, dry = d.movement_mm(100.0, m.high_pct), d.movement_mm(100.0, m.low_pct)
    return text + (
        f"<p>Made at {d.making_moisture_pct:g} %, a board 100 mm wide grows {wet:.1f} mm by the wettest "
        f"time and shrinks {-dry:.1f} mm by the driest.</p>"
    )


def stand_ins(desk: Desk) -> w.Widget:
    """Missing figures, each with a cautious stand-in the maker may accept."""

    def build():
        s = desk.derived.species
        if s is None:
            return []
        missing = [f for f in STAND_INS if getattr(s, f) is None]
        rows = []
        for field in missing:
            value, why = stand_in(s, field)
            box = w.Checkbox(
                value=field in desk.commission.timber.stand_ins, indent=False, layout=w.Layout(width="auto"),
                description=f"No {STAND_INS[field]} published: use {value:g} ({why})",
            )
            box.observe(lambda change, field=field: accept(desk, field, change.new), "value")
            rows.append(box)
        return rows

    return parts.rebuilt(desk, build, lambda c: (c.timber.species, c.timber.stand_ins))


def accept(desk: Desk, field: str, yes: bool) -> None:
    present = [f for f in desk.commission.timber.stand_ins if f != field]
    desk.change("timber.stand_ins", [*present, field] if yes else present)
