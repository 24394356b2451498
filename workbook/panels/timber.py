"""The timber: what lasts in the place, ranked for the brief, and how it will move."""

from __future__ import annotations

from datetime import date
from html import escape

import ipywidgets as w

from studio_lib.drawings.details import detail_svg
from studio_lib.drawings.seasons import cups_svg, readings_svg
from studio_lib.finishing import METALS, adhesives, finishes, seen_and_smelt
from studio_lib.look.scenes import CARE, LIGHTS, care_of, light_of
from studio_lib.showing import field_shown, field_typed, field_unit, price_per_m3, volume_price, volume_unit
from studio_lib.timber import SHOWN_YEARS, FigureMissing, appearance, member_strength_mpa, stand_in
from studio_lib.timber.carbon import CARBON_SOURCE
from studio_lib.timber.choice import said_of_liked
from studio_lib.timber.on_piece import SAG_RULE
from studio_lib.timber.own import CALLED, WORDS, in_words, row_words
from studio_lib.timber.sold import grows_in
from studio_lib.timber.species import MOVEMENT
from studio_lib.timber.strength import DRIEST_PCT, STRENGTH_SOURCE
from studio_lib.timber.try_out import DETAILS, detail
from workbook import parts, show
from workbook.desk import Desk
from workbook.end_grain import EndGrain
from workbook.panels import theirs

STAND_INS = {"moe_gpa": "modulus of elasticity, GPa", "mor_mpa": "modulus of rupture, MPa", "shear_mpa": "shear strength, MPa", MOVEMENT: "movement across the grain, of the width for each 1 %"}


def panel(desk: Desk) -> w.Widget:
    return w.VBox([
        theirs.judged(desk),
        species(desk), proposed(desk),
        parts.choice(desk, "timber.sawing", "Sawing", [("mixed, as it comes", "mixed"), ("flat-sawn", "flat"), ("quarter-sawn", "quarter")],
                     "flat-sawn boards move most across their width"),
        parts.optional_number(desk, "timber.making_moisture_pct", "Moisture when made", "%", "measured; empty takes the place's own target"),
        stand_ins(desk),
        parts.live(desk, lambda: place(desk)),
        parts.live(desk, lambda: lasting(desk)),
        parts.tick(desk, "brief.wants.local", "Timber from around here", "the same as on the Brief: what grows in your country's part of the world leads"),
        parts.live(desk, lambda: fit_table(desk)),
        parts.folded(
            ("How it lasts: the details", details(desk)), ("Weigh timbers against each other", weights(desk)),
            ("Growth rings, and what a board does as it dries", rings(desk)),
            ("Details that let wood move", tried(desk)),
            ("Moisture of the boards", readings(desk)), ("Glue, finish and fixings", glue_finish_fixings(desk)),
            ("Where it comes from", origin(desk)), ("Timbers and prices of your own", own_timbers(desk)),
            ("Its figures, with their sources", parts.live(desk, lambda: chosen(desk))),
        ),
    ])


def species(desk: Desk) -> w.Widget:
    """The timbers on file and the maker's own, to choose from, what the client likes first."""

    def names():
        every = [s.name for s in desk.library.species]
        return tuple(dict.fromkeys([*(n for n in desk.derived.liked if n in every), *every]))

    def build():
        box = w.Dropdown(description="Timber", options=[("not chosen yet", ""), *((f"{n}, liked" if n in desk.derived.liked else n, n) for n in names())], style=parts.STYLE,
                         layout=w.Layout(width="470px"))
        return [parts.Field(desk, "timber.species", box, lambda c: c.timber.species or "", lambda v: v or None,
                            "ranked for the brief in the table below")]

    return parts.rebuilt(desk, build, lambda c: (names(), desk.derived.liked))


def proposed(desk: Desk) -> w.Widget:
    """The timber that is proposed, and why, beside the one chosen; a press takes it. What is liked and will not do says why."""

    def told() -> str:
        d, now = desk.derived, desk.commission.timber.species
        name, why = d.timber_proposed
        if not name:
            return ""
        solid = f'<p class="quiet" style="margin-left:{parts.LABEL}">{escape(d.solid_alone)}</p>' if d.solid_alone else ""
        liked = [n for n in d.liked if n != name]
        lost = [f'<br><span class="fails">{escape(words)}</span>' for words, can in said_of_liked(d.choices, liked) if not can]
        if now == name:
            said = f"<b>{escape(name)}</b> is what would be proposed: {escape(why)}."
        elif now in d.liked:
            said = f"{escape(now)} is liked by the client too. Proposed first: <b>{escape(name)}</b>, {escape(why)}."
        else:
            said = f"Proposed: <b>{escape(name)}</b>, {escape(why)}." + (f" Chosen is {escape(now)}." if now else "")
        return f'<p style="margin-left:{parts.LABEL}">{said}{"".join(lost)}</p>{solid}'

    def build():
        name, _ = desk.derived.timber_proposed
        if not name or name == desk.commission.timber.species:
            return []
        take = parts.button(desk, f"Take {name}", lambda: desk.change("timber.species", name))
        take.layout.margin = f"0 0 0 {parts.LABEL}"
        return [take]

    return w.VBox([parts.live(desk, told), parts.rebuilt(desk, build, lambda c: (desk.derived.timber_proposed[0], c.timber.species))])


def lasting(desk: Desk) -> str:
    """Whether it lasts there, in years with their conditions."""
    life = desk.derived.life
    said = show.findings(desk.derived.lasting_findings + desk.derived.unwanted_findings + desk.derived.stain_findings, all_of_them=True)
    if life is None:
        return f"<h2>Will it last</h2>{said}"
    helps = f"<p>What would help most: {escape(life.would_help)}</p>" if life.would_help else ""
    return (
        f"<h2>Will it last</h2>{said}<p>{escape(life.says)}</p>{helps}"
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

SAID_IN_BRIEF = {"stain": "Does not stain", "colour kept": "Keeps its colour"}
"""Criteria that count by what the brief says and have no weight of their own."""


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
        (escape(x.species) + (", liked" if x.species in desk.derived.liked else ""), f"{x.score:.0f}", escape(", ".join(f"{(CRITERIA | SAID_IN_BRIEF)[c].lower()} {p:.0f}" for c, p in sorted(x.gives.items(), key=lambda i: -i[1]) if p >= 0.5)))
        for x in found.ranked[:6]
    ]
    worn = desk.derived.wear
    wear = (
        f"This is {worn.what}: hardness is held against 3000 to 5000 N"
        + (", and timbers under 4200 N come after the others. " if worn.level == 2 else ". ")
    ) if worn.level else ""
    left = f'<div class="quiet">Not counted: {escape("; ".join(found.left_out))}</div>' if found.left_out else ""
    return (
        "<h2>Under these weights</h2>" + show.table(("Timber", "Of 100", "Points from"), rows, numbers=(1,))
        + f"<p>{escape(found.says)}</p>{left}"
        f'<div class="quiet">{escape(wear)}Weights to begin with are our judgement; set them together with the client. It knows '
        "nothing of knots, board sizes, or what your yard has.</div>"
    )


def on_piece(desk: Desk) -> str:
    """Timbers side by side on the piece in hand."""
    found = desk.derived.on_this_piece
    if not found:
        return ""
    rows = []
    for x in found:
        swatches = " ".join(
            f'<span title="after {years:g} years" style="display:inline-block;width:18px;height:18px;background:{a.base_hex}"></span>'
            for years, a in x.swatches
        )
        moves = f"-{abs(x.shrinks_mm):.1f} to +{x.grows_mm:.1f}" if x.shrinks_mm is not None and x.grows_mm is not None else "not known"
        rows.append((
            escape(x.species), f"{x.mass_kg:.0f}", f"{x.mass_equal_sag_kg:.0f}" if x.mass_equal_sag_kg else "not known", moves,
            f"{x.boards_price:.0f}" if x.boards_price is not None else "no price of yours", f"{x.stored_co2_kg:.0f}", swatches,
            f'<span class="quiet">{escape("; ".join(m for m in x.missing if not m.startswith("price:")))}</span>',
        ))
    years = ", ".join(f"{y:g}" for y, _ in found[0].swatches)
    head = ("On this piece", "As drawn, kg", "For equal sag, kg", "Widest moves, mm",
            f"Boards, {desk.commission.rates.currency}", "CO2 stored, kg", f"At {years} years", "Not known")
    return (
        show.table(head, rows, numbers=(1, 2, 4, 5)) + sections(found)
        + f'<div class="quiet">{escape(found[0].widest)} is the widest. CO2: {escape(CARBON_SOURCE)}, finished wood '
        f"only. Colours are an illustration.</div>"
    )


def sections(found) -> str:
    """Depth that each timber needs to sag no more than the first."""
    first = found[0]
    if not first.sections:
        return ""
    rows = [
        (escape(section.member) + (", its height" if section.on_edge else ", its thickness"), f"{section.drawn_mm:.0f}",
         *(f"{x.sections[i].needed_mm:.1f}" if x.sections[i].needed_mm is not None else "not known" for x in found[1:]))
        for i, section in enumerate(first.sections)
    ]
    head = (f"Needed for equal sag, {parts.length_unit()}", f"{first.species}, as drawn", *(x.species for x in found[1:]))
    rule = f'<div class="quiet">{escape(SAG_RULE)}. No check of strength.</div>'
    figures = tuple(range(1, len(head)))
    return show.table(head, rows, numbers=figures, lengths=figures) + rule


def rings(desk: Desk) -> w.Widget:
    """A growth ring drawn on the end grain: its angle serves every member, and the board cups as it stood."""
    wide, thick = (
        w.FloatText(description=words, value=value, style=parts.STYLE, layout=w.Layout(width="330px"),
                    continuous_update=False)
        for words, value in (("Width of that board, mm", 200.0), ("Thickness of that board, mm", 30.0))
    )
    pairs = w.Text(description="Three places, x y; x y; x y", placeholder="-80 -8; 0 8; 80 -8", style=parts.STYLE,
                   layout=w.Layout(width="440px"), continuous_update=False)
    end = EndGrain()
    following = [False]

    def tell(points):
        desk.change("timber.rings", {"width_mm": wide.value, "thickness_mm": thick.value, "points": points})

    def from_person(change):
        if following[0]:
            return
        end.width_mm, end.thickness_mm = wide.value, thick.value
        if change.owner is end:
            points = change.new
        elif change.owner is pairs:
            try:
                points = [[parts.as_number(n) for n in pair.split()] for pair in pairs.value.split(";") if pair.strip()]
            except ValueError as error:
                desk.refused = {**desk.refused, "timber.rings": str(error)}
                return
        else:
            points = end.points
        if points:
            tell(points)

    def from_document():
        drawn = desk.commission.timber.rings
        if "timber.rings" in desk.refused:
            return
        following[0] = True
        try:
            if drawn is None:
                end.points, end.heart, pairs.value = [], [], ""
                return
            heart, over = drawn.heart()
            wide.value, thick.value = drawn.width_mm, drawn.thickness_mm
            pairs.value = "; ".join(f"{x:g} {y:g}" for x, y in drawn.points)
            with end.hold_sync():
                end.width_mm, end.thickness_mm = drawn.width_mm, drawn.thickness_mm
                end.heart = [heart.aside_mm, heart.below_mm if over else -heart.below_mm]
                end.points = [list(p) for p in drawn.points]
        finally:
            following[0] = False

    for widget, name in ((wide, "value"), (thick, "value"), (pairs, "value"), (end, "points")):
        widget.observe(from_person, name)
    parts.watched(desk, ["commission", "refused"], from_document)
    return w.VBox([
        w.HTML(show.page(
            "<p>Click three places along one growth ring on the end of a board like yours; drag a mark to move it, "
            "click again to begin anew. Which face is up does not matter.</p>")),
        w.HBox([end, w.VBox([wide, thick, pairs, parts.refusal(desk, "timber.rings")])],
               layout=w.Layout(flex_flow="row wrap")),
        parts.button(desk, "Take the drawing away", lambda: desk.change("timber.rings", None)),
        parts.optional_number(desk, "timber.ring_angle_deg", "Rings to the face, degrees", "",
                              "0 flat-sawn, 45 rift, 90 quarter-sawn; if given it goes before drawing and sawing"),
        parts.live(desk, lambda: rings_say(desk)),
    ])


def rings_say(desk: Desk) -> str:
    """The angle that movement is reckoned with, and how the drawn board cups in either season."""
    d, t = desk.derived, desk.commission.timber
    if d.species is None:
        return "<p>Choose a timber to see how it moves.</p>"
    how = ("as given" if t.ring_angle_deg is not None else "as drawn") if d.ring_angle_deg is not None else ""
    said = (
        f"<p>Every member is reckoned with rings at {d.ring_angle_deg:.0f} degrees to the face, {how}.</p>" if how
        else f"<p>No ring drawn or measured: every member is reckoned by its sawing ({escape(t.sawing)}).</p>"
    )
    try:
        cups = d.drawn_board
    except ValueError as error:
        return said + f'<p class="open">{escape(str(error))}</p>'
    if cups is None:
        return said
    dry, wet = cups
    m = d.moisture
    return (
        said + cups_svg([
            (f"{capital(m.dry_season)}, driest, {m.low_pct:g} %", dry.before, dry.after),
            (f"{capital(m.wet_season)}, wettest, {m.high_pct:g} %", wet.before, wet.after),
        ])
        + f"<p>{escape(dry.says)}<br>{escape(wet.says)}</p>"
        f'<div class="quiet">Dashed as made, filled as it becomes, free to move; the heart lay below. '
        f"Source: {escape(dry.source)}</div>"
    )


def capital(name: str) -> str:
    return name[0].upper() + name[1:]


def tried(desk: Desk) -> w.Widget:
    """Details that let wood move, with the maker's sizes: kept, judged and drawn in both seasons."""
    which = w.Dropdown(options=[d.name for d in DETAILS], description="Detail", style=parts.STYLE, layout=w.Layout(width="470px"))
    where = w.Text(description="On what", placeholder="table top", style=parts.STYLE, layout=w.Layout(width="470px"))

    def rows():
        return [t.model_dump(mode="json") for t in desk.commission.timber.tried]

    def add():
        chosen = detail(which.value)
        new = {"detail": chosen.name, "where": where.value.strip(), "size_mm": chosen.begin_mm}
        if desk.change("timber.tried", [*rows(), new]):
            where.value = ""

    def build():
        return [one_tried(desk, i, rows) for i in range(len(desk.commission.timber.tried))]

    return w.VBox([
        which, where, parts.button(desk, "Try it", add), parts.refusal(desk, "timber.tried"),
        parts.rebuilt(desk, build, lambda c: tuple((t.detail, t.where) for t in c.timber.tried)),
    ])


def one_tried(desk: Desk, i: int, rows) -> w.Widget:
    """One detail: its sizes on the left, what is found and drawn on the right."""
    one = desk.commission.timber.tried[i]
    chosen = detail(one.detail)
    short = len(chosen.across) < 14

    def figure(name: str, words: str) -> parts.Field:
        if words.endswith(", mm"):
            box = w.Text(description=f"{words.removesuffix(', mm')}, {parts.length_unit()}", style=parts.STYLE, layout=w.Layout(width="330px"),
                         continuous_update=False)
            return parts.Field(desk, f"timber.tried.{i}.figures.{name}", box,
                               lambda c: parts.length_here(c.timber.tried[i].figures[name]), parts.read_length_here)
        box = w.FloatText(description=words, style=parts.STYLE, layout=w.Layout(width="330px"), continuous_update=False)
        return parts.Field(desk, f"timber.tried.{i}.figures.{name}", box, lambda c: c.timber.tried[i].figures[name])

    def take_away():
        desk.change("timber.tried", [row for n, row in enumerate(rows()) if n != i])

    angle = parts.optional_number(desk, f"timber.tried.{i}.ring_angle_deg", "Rings to the face, degrees")
    angle.widget.placeholder = "as the boards"
    fields = [
        parts.number(desk, f"timber.tried.{i}.size_mm", f"Width of the {chosen.across}" if short else "Across the grain", "mm"),
        *(figure(a.name, a.words if a.name in ("slats", "corner_deg") else f"{a.words}, mm") for a in chosen.asks),
        angle,
        parts.button(desk, "Take away", take_away),
    ]
    said = parts.live(desk, lambda: tried_says(desk, i))
    said.layout = w.Layout(flex="1 1 0", min_width="640px")
    title = f"{one.where}: {one.detail}" if one.where else one.detail
    note = "" if short else f'<div class="quiet">Across the grain: {escape(chosen.across)}</div>'
    return w.VBox([
        w.HTML(show.page(f"<h2>{escape(capital(title))}</h2>{note}")),
        w.HBox([w.VBox(fields, layout=w.Layout(flex="0 0 350px")), said],
               layout=w.Layout(flex_flow="row wrap")),
    ], layout=w.Layout(border_top="1px solid #e2d9c9", margin="6px 0 0 0"))


def tried_says(desk: Desk, i: int) -> str:
    """What is found on one detail, and how it stands in either season."""
    d, m = desk.derived, desk.derived.moisture
    if d.species is None:
        return "<p>Choose a timber first.</p>"
    if i >= len(d.tried):
        return ""
    one, provision, _ = d.tried[i]
    said = show.findings(d.tried_findings(i), all_of_them=True)
    if provision is None:
        return said
    drawn = detail_svg(
        one.detail, one.figures, provision.making, provision.dry, provision.wet,
        f"{capital(m.dry_season)}, driest, {m.low_pct:g} %", f"{capital(m.wet_season)}, wettest, {m.high_pct:g} %",
    )
    return (
        drawn + said + '<details><summary>How it moves, and on whose word</summary>'
        f'<div class="quiet">{escape(provision.says)}. {escape(provision.source)}</div></details>'
    )


def readings(desk: Desk) -> w.Widget:
    """Readings of the meter against the target, board by board."""
    board = w.Text(description="Board", placeholder="Y3", layout=w.Layout(width="180px"))
    percent = w.Text(description="Shown, %", layout=w.Layout(width="180px"))
    depth = parts.length_box("Depth", 8.0, layout=w.Layout(width="180px"))
    warm = w.FloatText(description=f"Wood, {field_unit('°C', show.shown())}", value=field_shown(18, "°C", show.shown()), layout=w.Layout(width="180px"))
    set_to = w.Text(description="Meter set to", placeholder="timber on its dial", layout=w.Layout(width="240px"))
    kind = w.Dropdown(description="Meter", options=["pin", "pinless"], layout=w.Layout(width="180px"))
    when = w.DatePicker(description="Day", value=date.today(), layout=w.Layout(width="240px"))

    def add():
        present = [r.model_dump(mode="json") for r in desk.commission.timber.readings]
        try:
            shown = parts.as_number(percent.value)
        except ValueError as error:
            desk.refused = {**desk.refused, "timber.readings": str(error)}
            return
        desk.change("timber.readings", [*present, {
            "day": (when.value or date.today()).isoformat(), "board": board.value.strip(), "depth_mm": parts.mm_of(depth),
            "percent": shown, "temperature_c": field_typed(warm.value, "°C", show.shown()), "instrument_species": set_to.value.strip(),
            "kind": kind.value,
        }])

    def take_last():
        present = [r.model_dump(mode="json") for r in desk.commission.timber.readings]
        desk.change("timber.readings", present[:-1])

    def each() -> str:
        """As read and as corrected, each with its spread and source."""
        found = desk.derived.read_and_corrected
        words = list(dict.fromkeys(part for _, c in found for part in c.source.split("; ")))
        rows = [
            (f'<span style="white-space:nowrap">{r.day.isoformat()}</span>', escape(r.board), f"{r.depth_mm:g}",
             f"{r.percent:g} \u2192 {c.percent:.1f}", f"\u00b1 {c.either_way_pct:.1f}",
             f'<span class="quiet">{escape(c.says.partition(": ")[2])}</span>',
             ", ".join(f"({words.index(part) + 1})" for part in c.source.split("; ")))
            for r, c in found
        ]
        head = ("Day", "Board", "mm deep", "Read \u2192 corrected, %", "Spread", "How", "Source")
        listed = "<br>".join(f"({n}) {escape(part)}" for n, part in enumerate(words, 1))
        return (
            f"<details><summary>Each reading, as read and as corrected ({len(rows)})</summary>"
            f'{show.table(head, rows, numbers=(2, 3, 4))}<div class="quiet">{listed}</div></details>'
        )

    def state() -> str:
        found = desk.derived.readiness
        if found is None:
            return '<p class="quiet">No reading yet. Read deep as well as near the face, and write the board down.</p>'
        rows = [
            (escape(b.board), f"{b.percent:.1f} \u00b1 {b.either_way_pct:.1f}", b.day.isoformat(), str(b.visits), show.yes(b.ready),
             escape(b.says.partition(": ")[2]))
            for b in found.boards
        ]
        seen = [(r.day, r.board, c.percent) for r, c in desk.derived.read_and_corrected]
        drawn = readings_svg(seen, desk.derived.making_moisture_pct, desk.derived.moisture.tolerance_pct)
        return (
            drawn + show.table(("Board", "%", "Last read", "Visits", "Ready", "Why"), rows, numbers=(1,))
            + f"<p>{escape(found.says)}</p>{each()}" + f'<div class="quiet">{escape(found.source)}</div>'
        )

    return w.VBox([
        w.HBox([board, percent, depth, warm, set_to, kind, when], layout=w.Layout(flex_flow="row wrap")),
        w.HBox([parts.button(desk, "Write down", add), parts.button(desk, "Take the last one away", take_last)]),
        parts.optional_number(desk, "timber.meter_correction_pct", "Meter's correction, points", "",
                              "from the meter's own table for this timber, or from a slip dried in an oven"),
        parts.refusal(desk, "timber.readings"), parts.live(desk, state),
    ])


def glue_finish_fixings(desk: Desk) -> w.Widget:
    """What is chosen, what speaks against it, and every family judged."""
    not_chosen = ("not chosen yet", "")
    return w.VBox([
        parts.choice(desk, "timber.glue", "Glue", [not_chosen, *(a.family for a in adhesives())]),
        parts.choice(desk, "timber.finish_family", "Finish", [not_chosen, *(f.family for f in finishes())]),
        parts.choice(desk, "timber.fixings_metal", "Screws, bolts, plates", [not_chosen, *METALS]),
        parts.tick(desk, "timber.steel_wool", "Rubbed down with steel wool"),
        parts.live(desk, lambda: chosen_together(desk)),
        parts.live(desk, lambda: glue_and_finish(desk)),
    ])


def chosen_together(desk: Desk) -> str:
    """Whether glue, finish and fixings suit, and may be put together."""
    t = desk.commission.timber
    borne = show.findings(desk.derived.allergy_findings, all_of_them=True)
    if desk.derived.species is None or not (t.glue or t.finish_family or t.fixings_metal or t.steel_wool):
        best = desk.derived.finish_of_brief
        said = desk.commission.brief.finish
        brief = f" The brief says {said}: of its kind {best.finish.family} suits best here." if best else f" The brief says {said}: none of its kind will do here."
        metal = f" Screws, bolts and plates: {desk.derived.metal_words}." if desk.derived.species else ""
        return (
            f'<p class="quiet">Choose a glue and a finish to see whether they suit timber, place and each other.'
            f"{escape(brief + metal) if desk.derived.species else ''}</p>{borne}"
        )
    found = desk.derived.finish_findings
    metal = "" if t.fixings_metal else f'<p class="quiet">Screws, bolts and plates: {escape(desk.derived.metal_words)}.</p>'
    if not found:
        return f"<p>Nothing on file speaks against it.</p>{metal}{borne}"
    return "<h2>What you chose, together</h2>" + show.findings(found, all_of_them=True) + metal + borne


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
    seen = [(family, *judged, escape(seen_and_smelt(c.finish)), caution) for c, (family, *judged, caution) in zip(d.finishes, rows(d.finishes, "finish"))]
    return (
        "<h2>Glue</h2>" + show.table(head, rows(d.glues, "adhesive"))
        + "<h2>Finish</h2>" + show.table((*head[:3], "Sheen, colour, smell", head[3]), seen)
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
            f"<h2>You may say</h2><ul>{may}</ul><h2>You may not say</h2><ul>{may_not}</ul>"
            + (f"<h2>Ask the supplier for</h2><ul>{ask}</ul>" if ask else "") + f'<div class="quiet">{escape(found.note)}</div>'
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
    price = w.Text(description=f"Price a {volume_unit(show.shown())}", placeholder="yours", style=parts.STYLE, layout=w.Layout(width="330px"))
    note = w.Text(description="Note", style=parts.STYLE, layout=w.Layout(width="560px"))
    new = {key: _own_field(desk, key) for key in NEW_TIMBER}
    said = w.HTML()

    def build():
        rows = desk.book.own_timbers
        return [
            w.HBox([
                parts.button(desk, "Take away", lambda i=i: desk.keep_own_timbers(rows[:i] + rows[i + 1 :])),
                w.HTML(escape(row_words(row))),
            ], layout=w.Layout(align_items="center"))
            for i, row in enumerate(rows)
        ]

    listed = w.VBox(build())

    def keep():
        row = {"name": name.value.strip()}
        if price.value.strip():
            try:
                per_m3 = price_per_m3(float(parts.as_money(price.value)), show.shown())
            except ValueError as error:
                said.value = show.page(f'<p class="fails">{escape(str(error))}</p>')
                return
            row |= {"price_per_m3": f"{per_m3:.2f}", "price_on": date.today().isoformat()}
        if note.value.strip():
            row["note"] = note.value.strip()
        row |= {key: read_figure(box.value.strip()) for key, box in new.items() if box.value and box.value.strip()}
        if {"shrink_tangential_pct", "shrink_radial_pct"} & row.keys():
            row["shrink_basis"] = FROM_WET
        try:
            desk.keep_own_timbers([r for r in desk.book.own_timbers if r["name"] != row["name"]] + [row])
        except ValueError as error:
            said.value = show.page(f'<p class="fails">{escape(in_words(str(error)))}</p>')
            return
        said.value = show.page(f"<p>Kept: {escape(row['name'])}.</p>")
        listed.children = tuple(build())

    boxes = list(new.values())
    return w.VBox([
        listed, name, price, note,
        parts.quiet("For a timber that is not on file, or figures of your own for one that is. Its looks are those of the timber it looks like; strength and movement are never taken from another."),
        *(w.HBox(boxes[k:k + 2]) for k in range(0, len(boxes), 2)), parts.button(desk, "Keep it", keep), said])


NEW_TIMBER = {
    "like": "a timber on file", "group": "", "botanical_name": "Prunus avium", "density_12pct_kg_m3": "600", "shrink_tangential_pct": "from wet to ovendry", "shrink_radial_pct": "from wet to ovendry",
    "mor_mpa": "", "moe_gpa": "", "shear_mpa": "", "hardness_n": "", "durability_en350": "1 to 5, or 2-3", "source": "weighed in my shop",
}
"""What may be said of a timber that is not on file, and an example of each."""
FROM_WET = "green to ovendry"


def _own_field(desk: Desk, key: str) -> w.Widget:
    """A field for one figure of a timber of the maker's own."""
    label, layout = CALLED[key][0].upper() + CALLED[key][1:], w.Layout(width="420px")
    if key == "like":
        return w.Combobox(options=[s.name for s in desk.library.species], description=label, placeholder=NEW_TIMBER[key], style=parts.STYLE, layout=layout, ensure_option=False)
    if key == "group":
        return w.Dropdown(options=[("not said", ""), *((g, g) for g in WORDS["group"])], description=label, style=parts.STYLE, layout=layout)
    return w.Text(description=label, placeholder=NEW_TIMBER[key], style=parts.STYLE, layout=layout)


def read_figure(text: str):
    """A figure where it is one, else the words."""
    try:
        return float(text)
    except ValueError:
        return text


def fit_table(desk: Desk) -> str:
    """Timbers that last in the place, best first; those ruled out folded under, with the reason."""
    choices = desk.derived.choices
    fit = [c for c in choices if not c.ruled_out and not c.unwanted]
    barred = [c for c in choices if not c.ruled_out and c.unwanted]
    out = [c for c in choices if c.ruled_out]
    own = desk.commission.timber.species
    theirs_are = desk.derived.their_species

    def named(c) -> str:
        return (f"<b>{escape(c.species)}</b>, liked" if c.liked else escape(c.species)) + (", <b>theirs</b>" if c.species in theirs_are else "")

    outside = desk.derived.hardest.place.startswith("outdoors")

    def tones(s):
        light, care = LIGHTS[light_of(desk.derived)], CARE[care_of(desk.derived)]
        return [appearance(s, years, light, care).base_hex for years in ((0, SHOWN_YEARS[-1]) if outside else (0,))]

    rows = []
    for c in fit[:12]:
        s = desk.library.timber(c.species)
        for_it, against = for_and_against(c)
        rows.append((
            named(c), c.score, show.verdict(c.fit.verdict), show.figure(f"{s.density_12pct_kg_m3:.0f}", "kg/m3")[0] if s.density_12pct_kg_m3 else "",
            per_m3(desk.derived.price_per_m3(c.species)), grows(desk, c),
            " ".join(f'<span style="display:inline-block;width:16px;height:16px;background:{colour}"></span>' for colour in tones(s)),
            f'<span class="quiet">{escape("; ".join(for_it))}</span>', f'<span class="quiet">{escape("; ".join(against))}</span>',
        ))
    lit = [i for i, c in enumerate(fit[:12]) if c.species == own]
    liked = "".join(
        f'<p class="{"stands" if can else "fails"}">{escape(words)}</p>'
        for words, can in said_of_liked(choices, desk.derived.liked) if can  # what cannot be used is told beside the choice, above
    )
    wear = desk.derived.wear
    how = f"{wear.whose[:1].upper()}{wear.whose[1:]} is {wear.what}, so hardness counts most. " if wear.level else ""
    head = ("Timber", "Points of 100", "Lasts", show.label("kg/m3"), f"{desk.commission.rates.currency} a {volume_unit(show.shown())}", "Grows", f"New, at {SHOWN_YEARS[-1]} years" if outside else "Tone", "For it", "Against it, and still open")
    rest = [(named(c), c.score, escape("; ".join(c.reasons[1:] if c.fit.stands else c.reasons))) for c in fit[12:]]
    treated = sum(c.treated for c in (*fit, *barred))
    unwanted = [(named(c), escape(c.unwanted)) for c in barred]
    told = "" if not unwanted else (
        f"<details><summary>The {len(unwanted)} that last and are not wanted, and why</summary>{show.table(('Timber', 'Why'), unwanted)}</details>")
    ruled = [(named(c), escape(c.fit.says)) for c in out]
    return (
        f"<h2>{len(fit) + len(barred)} timbers last {escape(desk.derived.hardest.place)}{', where rain blows in' if desk.derived.rained_on else ''}"
        + (f", {treated} of them only with treatment or on nobody's word" if treated else "") + f"; {len(out)} do not"
        + (f"; {len(barred)} are not wanted" if barred else "") + "</h2>" + liked + around_here(desk, fit)
        + f'<p class="quiet">{escape(how)}Points are our judgement, from figures on file and what the brief asks for; prices of timber are yours, of boards seen, or a start of ours, until you give what your yard asks. '
        "What the client likes stands first.</p>"
        + show.table(head, rows, numbers=(1, 3, 4), lit=lit)
        + f"<details><summary>The other {len(rest)} that last</summary>{show.table(('Timber', 'Points', 'Why'), rest, numbers=(1,))}</details>"
        + told + f"<details><summary>The {len(ruled)} ruled out, and why</summary>{show.table(('Timber', 'Why not'), ruled)}</details>"
    )


def for_and_against(c) -> tuple[list[str], list[str]]:
    """What speaks for a timber, and what speaks against it or is not known."""
    reasons = [r.rstrip(".") for r in (c.reasons[1:] if c.fit.stands else c.reasons)]
    return [r[2:] for r in reasons if r.startswith("+ ")], [r[2:] for r in reasons if not r.startswith("+ ")]


def grows(desk: Desk, c) -> str:
    """Where a timber grows, the region of the job's country marked; and whether yards there seldom hold it."""
    regions = [f"<b>{escape(r)}</b>" if r == c.grows else escape(r) for r in sorted(grows_in(c.species), key=lambda r: r != c.grows)]
    return ", ".join(regions) + (f'<br><span class="quiet">seldom sold in {escape(desk.derived.market)}</span>' if c.seldom else "")


def around_here(desk: Desk, fit) -> str:
    """What the client's wish for timber from around there comes to; '' while it is not wished."""
    d, country = desk.derived, desk.commission.rates.country
    if not d.local_wished:
        return ""
    said = "" if desk.commission.brief.wants.local else " in their own words"
    if not country:
        return (f'<p class="again">The client wishes timber from around there{said}: choose the country on the {parts.link("brief")} page, under \'Leave, time and money\', '
                "to see what grows in it.</p>")
    near = [c.species for c in fit if c.grows and not c.seldom]
    lead = f"{', '.join(near[:4])}{' and others' if near[4:] else ''} grow in its part of the world and lead" if near else "none that suits grows in its part of the world"
    return (f'<p class="{"stands" if near else "again"}">The client wishes timber from around there{said} ({escape(country)}): {escape(lead)}. '
            "Regions are from memory and wide; ask the sawmill where its logs were felled.</p>")


def per_m3(price) -> str:
    """A price of what timber is bought by, and whether it is only a start, told apart from one that is meant."""
    amount = volume_price(float(price.amount), show.shown())
    return (f"{amount:.2f}" if show.shown().inches else f"{amount:.0f}") + (f'<br><span class="quiet">{escape(price.start).replace("a start", "a&nbsp;start")}</span>' if price.start else "")


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
        rows.append((label, *show.figure(shown, unit), f'<span class="quiet">{escape(s.source_of(field))}</span>' if value is not None else ""))
    try:
        pct = max(desk.derived.making_moisture_pct, DRIEST_PCT)
        strong = member_strength_mpa(s, "mor_mpa", pct)
        rows.append((f"Modulus of rupture at {pct:g} %, as made", *show.figure(f"{strong:.0f}", "MPa"),
                     f'<span class="quiet">{escape(STRENGTH_SOURCE)}; small clear pieces, no design value</span>'))
    except FigureMissing:
        pass  # no green figure on file: nothing can be said beyond the 12 % above
    notes = "".join(
        f'<div class="caution">{escape(t)}</div>' for t in (
            f"Dust: {s.dust_caution}. Extraction and a P3 mask; local limits apply." if s.dust_caution else "",
            s.legality_note, s.notes,
        ) if t
    )
    return (
        f"<h2>{escape(s.name)} <i>{escape(s.botanical_name)}</i></h2>"
        + show.table(("Figure", "Value", "Unit", "Source"), rows, numbers=(1,)) + notes
    )


def place(desk: Desk) -> str:
    """Moisture over the year, and what it does to 100 mm of width."""
    d = desk.derived
    m = d.moisture
    text = (
        f"<h2>Moisture over the year: {m.low_pct:g} to {m.high_pct:g} %</h2><p>{escape(m.reason)}</p>"
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


def stand_ins(desk: Desk, waiting_only: bool = False) -> w.Widget:
    """Missing figures, each with a cautious stand-in the maker may accept; where ``waiting_only``, while strength waits for one."""

    def build():
        s = desk.derived.library.timber(desk.commission.timber.species) if desk.derived.species else None
        if s is None or (waiting_only and not (desk.derived.unpublished_findings or desk.derived.movement_unknown)):
            return []
        missing = [f for f in STAND_INS if getattr(s, f) is None]
        waits = desk.derived.unpublished_findings
        rows = [w.HTML(show.page("".join(f'<p class="open">{escape(f.says[0].upper() + f.says[1:])}.</p>' for f in waits)))] if waits else []
        for field in missing:
            value, why = stand_in(s, field)
            words, _, unit = STAND_INS[field].rpartition(", ")
            box = w.Checkbox(
                value=field in desk.commission.timber.stand_ins, indent=False, layout=w.Layout(width="auto"),
                description=f"Nobody published its {words}: use {show.words(f'{value:g} {unit}')}",
            )
            box.observe(lambda change, field=field: accept(desk, field, change.new), "value")
            whose = w.HTML(show.page(f'<span class="quiet">{escape(why.partition("; ")[2] or why)}</span>'))
            rows.append(w.HBox([box, whose],
                               layout=w.Layout(margin=f"0 0 0 {parts.LABEL}", flex_flow="row wrap")))
        return rows

    return parts.rebuilt(desk, build, lambda c: (c.timber.species, c.timber.stand_ins))


def accept(desk: Desk, field: str, yes: bool) -> None:
    present = [f for f in desk.commission.timber.stand_ins if f != field]
    desk.change("timber.stand_ins", [*present, field] if yes else present)
