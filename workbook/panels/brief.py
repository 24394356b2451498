"""The brief: the questions of the trade, what they rule out, a ballpark, options."""

from __future__ import annotations

import base64
from dataclasses import fields
from datetime import date
from html import escape
from typing import get_args

import ipywidgets as w
from pydantic import ValidationError

from studio_lib.access import KINDS
from studio_lib.brief.refusals import WINDS_M_S, triggers
from studio_lib.brief.wishes import KINDS as WISHES
from studio_lib.brief.wishes import judged_on
from studio_lib.commission import FIXED, Finish, Item, refusals
from studio_lib.costing.price import shop_rate
from studio_lib.derived.set_up import LEFT, LOOSE
from studio_lib.finishing import allergens
from studio_lib.forms import FORMS, STEP, begun
from studio_lib.forms.beside import SEATS, is_table
from studio_lib.forms.sloping import LEGS, SLABS
from studio_lib.jobbook import BadBook
from studio_lib.look.paint import shown_words
from studio_lib.papers import brief_sheet
from studio_lib.questions import next_few, open_questions, sat_on, seats_someone, taken_for_now
from studio_lib.structure.loads import serves
from studio_lib.timber import PLACES, climates
from workbook import parts, show
from workbook.desk import Desk
from workbook.panels import heard, points, stops, theirs
from workbook.panels.price import QUOTED_AT, country, currency, money_locales


UNDER = {
    "items": "The piece", "brief.asked": "The piece", "brief.decides": "The piece",
    **dict.fromkeys(("people", "children", "child_ages", "wheelchair", "frail", "large", "use", "children_alone"), "Who uses it"),
    **dict.fromkeys(("place", "climate", "by_the_sea", "sun_side", "ground", "wind", "heating_below", "carries", "beside_a_drop"),
                    "Where it stands"),
    "wishes": "What the wish would mean",
    **dict.fromkeys(("wants.tone", "heft", "metal", "wants.may_go_grey", "finish", "sheen", "little_smell", "care_done"), "Looks and care"),
    **dict.fromkeys(("space_length_mm", "openings"), "Room and way in"),
    **dict.fromkeys(("needs_leave", "may_forbid", "wanted_by", "budget"), "Leave, time and money"),
    **dict.fromkeys(("brings_timber", "their_timber.moisture_pct", "their_timber.thickness_mm", "their_timber.been"), "Their own timber"),
}
"""Under which title of the page a question is answered, by its field."""


def under(key: str) -> str:
    """The title under which a question is answered."""
    return UNDER.get(key) or UNDER[key.removeprefix("brief.")]


def panel(desk: Desk) -> w.Widget:
    groups = parts.folded(
        ("The piece", the_piece(desk)), ("Point by point", points.panel(desk)), ("Who uses it", who(desk)), ("Where it stands", where(desk)),
        ("What the wish would mean", wishes(desk)), ("Looks and care", looks(desk)), ("Room and way in", room(desk)),
        ("Leave, time and money", leave(desk)), ("Their own timber", theirs.lot(desk)),
        ("Notes and pictures", notes(desk)), opened=0,
    )
    return w.VBox([
        parts.live(desk, lambda: ask_next(desk)), parts.live(desk, lambda: reckoned_as(desk)),
        lead_to(desk, groups),
        groups,
        parts.live(desk, lambda: in_the_way(desk)),
        stops.panel(desk),
        parts.live(desk, lambda: ballpark(desk)),
        options(desk),
        sheet(desk),
        parts.live(desk, lambda: questions(desk)),
    ])


# ---------------------------------------------------------------- what to ask, and what came of it


def lead_to(desk: Desk, groups: w.Accordion) -> w.Widget:
    """A button that opens the fold where the next questions are answered."""

    def build():
        titles = [groups.get_title(i) for i in range(len(groups.children))]
        wanted = list(dict.fromkeys(under(q.key) for q in next_few(desk.commission)))
        return [w.HBox([
            parts.button(desk, f"Answer under '{title}'", lambda t=title: groups.set_trait("selected_index", titles.index(t)))
            for title in wanted
        ], layout=w.Layout(flex_flow="row wrap"))]

    return parts.rebuilt(desk, build, lambda c: tuple(under(q.key) for q in next_few(c)))


def ask_next(desk: Desk) -> str:
    """The next few questions, each with its reason."""
    few = next_few(desk.commission)
    if not few:
        return '<h2>Ask next</h2><p class="stands">Every question of the brief is answered. What stands in the way, if anything, is told below.</p>'
    rows = [(escape(q.asks), f'<span class="quiet">{escape(q.why)}</span>', escape(q.blocks)) for q in few]
    left = len(open_questions(desk.commission)) - len(few)
    more = f'<div class="quiet">{left} more after these; all of them are at the foot of this page.</div>' if left > 0 else ""
    now = "; ".join(taken_for_now(desk.commission))
    begun = f'<p class="quiet">Taken for now, change what is not so: {escape(now)}.</p>' if now else ""
    return "<h2>Ask next</h2>" + show.table(("Question", "Why", "It holds up"), rows) + more + begun


def reckoned_as(desk: Desk) -> str:
    """In which country's tax and money the job is reckoned, and whose writing its papers carry."""
    r, locale = desk.commission.rates, desk.commission.showing.locale
    where = f"as in {r.country}" if r.country else "no country is chosen yet"
    written = next((words for words, code in money_locales() if code == locale), locale)
    return (f'<p class="quiet">Country and money: {escape(where)}; money in {escape(r.currency)}, {escape(r.tax_name or "tax")} of {100 * r.tax_rate:g} %; '
            f"money and dates written {escape(written)}. Change it here under 'Leave, time and money', or on the {parts.link('book')} page: it is one and the same.</p>")


def questions(desk: Desk) -> str:
    """Everything still open, folded away."""
    still = open_questions(desk.commission)
    rows = [(escape(q.asks), escape(q.blocks), f"here, under '{under(q.key)}'" if q.key else parts.link(q.page)) for q in still]
    return f"<details><summary>Everything still open ({len(rows)})</summary>{show.table(('Question', 'It holds up', 'Where'), rows)}</details>"


def in_the_way(desk: Desk) -> str:
    """What the brief rules out or asks for, the date among it."""
    d = desk.derived
    found = list(d.as_answered((*d.brief_findings, *d.ways_findings)))
    try:
        when = d.date_finding(date.today())
        found += [when] if when else []
    except ValueError as error:
        return f'<h2>What stands in the way</h2><p class="fails">{escape(str(error))}</p>' + show.findings(found)
    return "<h2>What stands in the way</h2>" + show.findings(found) + show.every_check(found)


def ballpark(desk: Desk) -> str:
    """A first price and time, before anything is drawn."""
    park = desk.derived.ballpark
    if park is None:
        return "<h2>Ballpark</h2><p>Add a piece to have one.</p>"
    low, likely, high = park.gross
    reckoned = "; ".join(desk.derived.reckoned)
    r = desk.commission.rates
    yours = ""
    if r.are_a_start or r.tax_is_a_start:
        yours = f" Set yours on the {parts.link('book')} page, under 'Your country, your money, your hour'."
        reckoned += f". An hour at {shop_rate(r):.2f} {r.currency} and {r.tax_name} of {100 * r.tax_rate:g} % are a start, not yours"
    bench = " to ".join(f"{h:.0f}" for h in park.at_the_bench) if park.at_the_bench else ""
    alone = f" ({bench} of them at the bench; drawing, meetings, fetching boards, packing and papers are the rest)" if bench else ""
    ways = "".join(f"<li>{escape(c.way)}: {escape(c.how)} saves about {c.saves:.0f} {escape(park.currency)}</li>" for c in park.cheaper)
    return (
        f"<h2>Ballpark, tax included: {low:.0f} to {high:.0f} {escape(park.currency)}, {likely:.0f} {escape(park.currency)} likely</h2>"
        f'<p class="quiet">It reckons: {escape(reckoned)}.{yours}</p>'
        f"<p>{park.hours[0]:.0f} to {park.hours[2]:.0f} hours, {park.hours[1]:.0f} likely{alone}. It would be quoted at about "
        f"<b>{park.gross_safe:.0f} {escape(park.currency)}</b>, at {QUOTED_AT[park.safe_at]}. {escape(park.basis)}.</p>"
        + show.bar(park.drivers) + f"<p>What would make it cheaper:</p><ol>{ways}</ol>"
        f'<div class="quiet">{escape("; ".join(park.sources))}</div>'
    )


def options(desk: Desk) -> w.Widget:
    """Up to four ways to make it, side by side."""
    name = w.Text(placeholder="its name, such as 'in chestnut'", layout=w.Layout(width="260px"))

    def keep():
        called = name.value.strip()
        if not called:
            desk.refused = {**desk.refused, "options": "Give the option a name first, such as 'in chestnut'."}
            return
        try:
            document = desk.commission.with_option(called)
        except ValidationError as error:
            desk.refused = {**desk.refused, "options": " ".join(refusals(error).values())}
            return
        desk.refused = {k: v for k, v in desk.refused.items() if k != "options"}
        desk.put(document, f"kept as option {called}")
        name.value = ""

    def build():
        c = desk.commission
        return [
            w.HBox([
                w.HTML(f"<b>{escape(o.name)}</b>{' (in hand, with whatever changed since)' if o.name == c.chosen else ''}&nbsp;"),
                *([] if o.name == c.chosen else [
                    parts.tick(desk, f"options.{i}.to_client", "The client sees it"),
                    parts.button(desk, "Take in hand", lambda o=o: desk.put(desk.commission.choosing(o.name), f"option {o.name} in hand")),
                    parts.button(desk, "Let go", lambda i=i: remove(desk, "options", i)),
                ]),
            ], layout=w.Layout(align_items="center"))
            for i, o in enumerate(c.options)
        ]

    def compared() -> str:
        rows = desk.derived.compared()
        if not rows:
            return '<p class="quiet">Keep two or more options to see them side by side.</p>'
        return show.table(("", *rows[0].cells), [(escape(r.label), *map(escape, r.cells)) for r in rows[1:]])

    return w.VBox([
        parts.heading("Options"),
        parts.rebuilt(desk, build, lambda c: (tuple(o.name for o in c.options), c.chosen)),
        w.HBox([name, parts.button(desk, "Keep what is in hand as an option", keep)]), parts.refusal(desk, "options"),
        parts.live(desk, compared),
    ])


# ---------------------------------------------------------------- the questions, a group at a time


def the_piece(desk: Desk) -> w.Widget:
    return w.VBox([
        parts.text(desk, "title", "Commission"),
        parts.text(desk, "client", "Client, by role", "the village library; a family of five"),
        parts.long_text(desk, "brief.asked", "In the client's words", "as they said or wrote it; what it says of pieces, people, place, sizes, day and money is then offered here", rows=6),
        heard.panel(desk),
        pieces(desk),
        parts.text(desk, "brief.decides", "Who decides"),
    ])


def who(desk: Desk) -> w.Widget:
    return w.VBox([
        only(desk, lambda c: seats_someone(c),
             parts.whole(desk, "brief.people", "People at once", "at each table, where there are several; sets length and places of what is sat on or at")),
        parts.percent(desk, "brief.share_women", "Women among them", "body sizes differ; 50 if you do not know"),
        parts.choice(desk, "brief.use", "Use", ["household", "public"], "public use is loaded harder"),
        parts.tick(desk, "brief.children", "Children use it, or visit", "gaps and rails that hurt them are refused"),
        parts.numbers(desk, "brief.child_ages", "Their ages", "a child of 4 sits 200 mm lower than you: 4, 7.5; under 2 only kept safe"),
        parts.yes_no(desk, "brief.children_alone", "For children alone", "only then is it sized to them; else to grown people, and you are told how the children fare"),
        parts.tick(desk, "brief.wheelchair", "A wheelchair pulls up to it", "685 mm clear under it, or what is said below"),
        only(desk, lambda c: c.brief.wheelchair,
             parts.choice(desk, "brief.wheelchair_at", "It pulls up", [
                 ("anywhere along it: the whole piece is made for it", ""), ("at one end of a table, which is opened", "end"),
                 ("at one long side of a table", "side"),
             ], "room for knees is measured there; the rest of a table stays as high as the others sit", 420),
             parts.optional_number(desk, "brief.wheelchair_knees_mm", "Knees and arms of the chair ask for", "mm",
                                   "as the client says, floor to the top of the arms with a little over; 685 mm by the standard where nobody says")),
        parts.tick(desk, "brief.frail", "Someone finds it hard to rise or reach", "a higher seat, a lower shelf"),
        parts.tick(desk, "brief.large", "Someone is very broad or heavy", "widths are then made for 99 of 100"),
        parts.optional_number(desk, "brief.tallest_person_mm", "Tallest person", "mm", "only where someone is tall: seat, back and room for knees then follow; 1920 mm is very tall"),
        only(desk, sat_on, parts.optional_number(
            desk, "brief.heaviest_kg", "Heaviest person", "kg", "over 110 kg the loads of seats follow it; no seat gets wider for it")),
    ])


def where(desk: Desk) -> w.Widget:
    return w.VBox([
        parts.choice(desk, "brief.place", "Place", list(PLACES), "decides which timbers last and how much they move"),
        only(desk, lambda c: c.brief.place != "outdoors, in the weather", parts.tick(
            desk, "brief.wetted", "Rain or damp reaches it",
            "rain blows in under the roof: use class 3.1, not 2; indoors walls sweat, or it is hosed; not for spilt drinks")),
        parts.choice(desk, "brief.climate", "Climate", [c.name for c in climates()], "decides the moisture of the timber over the year"),
        own_climate(desk),
        only(
            desk, _outdoors,
            parts.choice(desk, "brief.wind", "Wind there",
                         [("not asked yet", ""), *((show.words(f"{WIND_WORDS[n]}, gusts of {v:g} m/s"), n) for n, v in WINDS_M_S.items())],
                         "a screen is a sail", 620),
            parts.optional_number(desk, "brief.wind_m_s", "Gusts, where known", "m/s", f"taken before the word above; also as {'33 m a second' if show.shown().inches else '120 km/h, 75 mph'} or 65 knots"),
            parts.yes_no(desk, "brief.by_the_sea", "Near the sea", "salt eats screws and hinges"),
        ),
        parts.text(desk, "brief.sun_side", "Sun and shade", "sun greys and checks; shade grows mould"),
        parts.choice(desk, "brief.ground", "Stands on", [("not asked yet", ""), "paving", "tiles over a membrane", "gravel", "grass", "deck", "floor", ("a floor with heating in it", "heated floor"), ("a floor that springs", "springing floor"), "carpet"],
                     "wet feet rot first; gravel and carpet give; a membrane takes no holes, nor does a floor with pipes or cables in it"),
        only(desk, lambda c: c.brief.ground in LOOSE, parts.choice(desk, "brief.under_feet", "Under its feet", [
            ("slabs of concrete or stone, bedded by you (proposed)", ""),
            ("steel plates, galvanised or stainless, screwed on by you", "plates"), ("nothing of yours: the client sees to it", LEFT),
        ], "counted, priced and told on the quote; the bearing stands on Sizes", 660)),
        parts.yes_no(desk, "brief.heating_below", "Heated floor, radiator or stove near"),
        parts.text(desk, "brief.carries", "It carries", "books, plants, people leaning, hot pans"),
        parts.optional_number(desk, "brief.tallest_mm", "Tallest thing on a shelf", "mm", "openings are proposed from it; 330 mm for large books"),
        only(desk, lambda c: any(serves(i.form) == "shelf" for i in c.items),
             parts.optional_number(desk, "brief.deepest_mm", "Deepest of them", "mm", "front to back: the depth of a cabinet is proposed from it"),
             parts.optional_number(desk, "brief.thick_mm", "Each is thick", "mm", "records about 4 mm, standing side by side"),
             parts.optional_number(desk, "brief.how_many", "How many of them", "", "counted on Sizes against the room there is")),
        parts.yes_no(desk, "brief.beside_a_drop", "Beside a drop, stair or window", "a rail is a ladder to a child"),
        parts.number(desk, "brief.drop_mm", "How deep the drop is", "mm"),
        only(desk, _has_screen, parts.yes_no(desk, "brief.people_below", "People pass below", "what comes loose falls on them")),
        parts.tick(desk, "brief.nothing_drilled", "Nothing may be drilled there: not the facade, walls, floor or railing"),
        only(desk, _has_screen,
             parts.optional_number(desk, "brief.railing_mm", "Railing to clamp to, its top rail above the floor", "mm", "500 to 1500 mm, from the floor the screen stands on"),
             parts.optional_number(desk, "brief.railing_low_mm", "Its lower rail or foot above the floor", "mm", "20 to 1000 mm: where the lower clamps go"),
             parts.yes_no(desk, "brief.railing_climbed", "Railing with level bars", "a ladder to a child")),
        parts.whole(desk, "brief.years_wanted", "Years it should last", "20 is reckoned with until the client says; papers name no number of years then"),
    ])


def _has_screen(c) -> bool:
    return any(serves(i.form) == "screen" for i in c.items)


def _outdoors(c) -> bool:
    return c.brief.place.startswith("outdoors")


def only(desk: Desk, when, *fields: w.Widget) -> w.Widget:
    """Fields that are there only while ``when(commission)`` holds; what they held is kept."""
    box = w.VBox(fields)

    def react():
        box.layout.display = "" if when(desk.commission) else "none"

    parts.watched(desk, ["commission"], react)
    return box


WIND_WORDS = {"sheltered": "sheltered: a court, among houses", "open": "open ground", "exposed": "exposed: a roof, a hill, the shore"}
SEASONS = (
    ("Outdoors, summer", "summer"), ("Outdoors, winter", "winter"), ("Outdoors, spring", "spring"),
    ("Outdoors, autumn", "autumn"), ("Heated room, summer", "heated_summer"), ("Heated room, winter", "heated_winter"),
)


def own_climate(desk: Desk) -> w.Widget:
    """The air of the place entered by hand, and what whatever is in force does to timber."""
    rows = [
        w.HBox([
            parts.optional_number(desk, f"brief.own_climate.{name}.temperature_c", words, "°C"),
            parts.optional_number(desk, f"brief.own_climate.{name}.humidity_pct", "and humidity", "%"),
        ], layout=w.Layout(flex_flow="row wrap"))
        for words, name in SEASONS
    ]

    def in_force() -> str:
        b, m = desk.commission.brief, desk.derived.moisture
        lacks = f" Still wanted: {', '.join(b.own_climate.missing)}." if b.own_climate.missing else ""
        return (
            f'<div style="margin-left:{parts.LABEL}">Timber there: {m.low_pct:g} to {m.high_pct:g} % over the year, made at {m.making_pct:g} %'
            f" ({escape('your own figures' if b.own_climate.complete else b.climate)}).{escape(lacks)}"
            f"<details><summary>How that comes about</summary>{escape(m.reason)}<br>"
            f'<span class="quiet">{escape(m.source)}</span></details></div>'
        )

    fold = parts.folded(("The air of the place entered by hand, instead of that climate", w.VBox([
        w.HTML(show.page('<div class="quiet">Means over some weeks. Outdoors, summer and winter at least; or heated rooms alone, where someone measured: '
                         "outdoors then stays as in that climate.</div>")),
        *rows,
        parts.button(desk, "Clear these figures", lambda: desk.change("brief.own_climate", {})),
    ])))
    return w.VBox([fold, parts.live(desk, in_force)])


# ---------------------------------------------------------------- what the wish would mean


def wishes(desk: Desk) -> w.Widget:
    """Things in the wish that wind, a child or movement decides: rough sizes in, findings out."""

    def build():
        rows = desk.commission.brief.wishes
        if rows is None:
            return [w.HTML(show.page('<p class="quiet">Not asked yet. Add what the wish holds, or say that it holds none of these.</p>'))]
        if not rows:
            return [w.HTML(show.page("<p>None of these is in the wish.</p>"))]
        return [one_wish(desk, i, wish) for i, wish in enumerate(rows)]

    kind = w.Dropdown(
        options=[("choose what there is in it", ""), *((f"{name}: {fear}", name) for name, (_, fear, _) in WISHES.items())],
        description="In the wish there is", style=parts.STYLE, layout=w.Layout(width="720px"),
    )
    name = w.Text(placeholder="its name: roof screen", layout=w.Layout(width="200px"))

    def add():
        if not kind.value:
            desk.refused = {**desk.refused, "brief.wishes": "Choose first what there is in the wish, or say 'None of these'."}
            return
        present = [x.model_dump(mode="json") for x in desk.commission.brief.wishes or ()]
        if desk.change("brief.wishes", [*present, {"kind": kind.value, "name": name.value.strip() or kind.value}]):
            name.value, kind.value = "", ""

    def none():
        if desk.commission.brief.wishes:
            desk.refused = {**desk.refused, "brief.wishes": "There are some in it; take those away first."}
        else:
            desk.change("brief.wishes", [])

    def judged() -> str:
        return ("" if not desk.commission.items else f'<div class="quiet">The pieces you have are judged themselves, on the {parts.link("sizes")} '
                "page: here is room for what is only thought of yet.</div>")

    return w.VBox([
        parts.live(desk, judged),
        parts.rebuilt(desk, build, lambda c: None if c.brief.wishes is None else tuple(x.kind for x in c.brief.wishes) or "none"),
        w.HBox([kind, name, parts.button(desk, "Add it", add), parts.button(desk, "None of these", none)], layout=w.Layout(flex_flow="row wrap")),
        parts.refusal(desk, "brief.wishes", within=False),
    ])


def one_wish(desk: Desk, i: int, wish) -> w.Widget:
    """Rough sizes of one wish and what they mean."""
    part, fear, asks = WISHES[wish.kind]
    path = f"brief.wishes.{i}"

    def field(ask):
        kept = part.model_fields[ask.field]
        at = f"{path}.{ask.field}"
        if ask.field == "fixed_to_wall":
            return fixed(desk, ask.label)
        if isinstance(kept.default, bool):
            return parts.tick(desk, at, ask.label, ask.note)
        if isinstance(kept.default, str):
            return parts.choice(desk, at, ask.label, list(kept.annotation.__args__), ask.note)
        if isinstance(kept.default, tuple):
            return parts.lengths(desk, at, ask.label, ask.note)
        if kept.default is not None:
            return parts.number(desk, at, ask.label, ask.unit, ask.note)
        box = parts.optional_number(desk, at, ask.label, ask.unit, ask.note)
        box.widget.placeholder = ask.empty
        return box

    def means() -> str:
        rows = desk.commission.brief.wishes or ()
        if i >= len(rows):
            return ""
        taken_up = judged_on(rows, desk.commission.items).get(rows[i].name)
        if taken_up:
            return (f'<div style="margin-left:{parts.LABEL}">Now that there is a piece, the {escape(taken_up)} itself is judged, on the '
                    f"{parts.link('sizes')} page; these rough sizes stop nothing any more.</div>")
        found = desk.derived.findings_of_wish(rows[i])
        return show.findings(found) + show.every_check(found)

    away = parts.button(desk, "Take away", lambda: remove(desk, "brief.wishes", i))
    away.layout.margin = "2px 0 0 20px"
    return w.VBox([
        w.HBox([parts.text(desk, f"{path}.name", wish.kind.capitalize(), f"to be feared: {fear}", 420), away], layout=w.Layout(flex_flow="row wrap")),
        *map(field, asks), parts.live(desk, means),
    ], layout=w.Layout(border_left="3px solid #c9b891", padding="0 0 4px 8px", margin="0 0 12px 0"))


def fixed(desk: Desk, label: str) -> w.Widget:
    """The one answer to whether it is fixed to the wall, wherever it is asked."""
    box = w.Checkbox(description=label, indent=False, layout=w.Layout(width="auto", margin=f"0 12px 0 {parts.LABEL}"))

    def react():
        box.value = desk.commission.brief.fixed_to_building

    def ticked(change):
        if change.new != desk.commission.brief.fixed_to_building:
            fix(desk, change.new)

    parts.watched(desk, ["commission"], react)
    box.observe(ticked, "value")
    note = parts.quiet("one answer for all pages: also under 'Leave, time and money', and proposed on Sizes")
    return w.HBox([box, note], layout=w.Layout(flex_flow="row wrap", align_items="center"))


def fix(desk: Desk, yes: bool) -> None:
    """Say in the brief that it is fixed to the wall, or that it is not."""
    desk.put(desk.commission.fixed_to_wall(yes), "fixed to the wall" if yes else "not fixed to the wall")


def looks(desk: Desk) -> w.Widget:
    return w.VBox([
        parts.choice(desk, "brief.wants.tone", "Colour of the wood", ["any", "light", "mid", "dark", "red", "dark red", ("warm: red-brown to golden", "warm"), ("golden, as honey", "golden"), "brown"]),
        parts.choice(desk, "brief.heft", "Light or chunky", [("not asked yet", ""), "light", "chunky"]),
        parts.choice(desk, "brief.metal", "Screws, bolts and hinges", [
            ("not asked yet", ""), "may be seen", ("no screws to be seen; hinges may", "no screws to be seen"), ("none to be seen", "none to be seen"),
            ("no metal at all", "none at all"),
        ], "the Joints page finds what shows; the quote promises only what holds"),
        liked(desk),
        named(desk, "brief.wants.unwanted", "Timbers not wanted", "one or several; they stand last on the Timber page, with the reason"),
        parts.tick(desk, "brief.wants.local", "Timber from around here", "what grows in your country's part of the world then leads on the Timber page"),
        parts.tick(desk, "brief.wants.no_tropical", "No tropical timber"),
        parts.tick(desk, "brief.wants.none_listed", "None that is listed or endangered", "by CITES or the IUCN Red List, as far as on file: check on the day of buying"),
        only(desk, _outdoors, parts.tick(desk, "brief.wants.may_go_grey", "It may go grey")),
        parts.choice(desk, "brief.finish", "Finish", list(get_args(Finish)), "the product family is chosen on the Timber page, which says what suits"),
        only(desk, lambda c: c.brief.finish == "paint", parts.text(desk, "brief.paint_colour", "Colour", "in words or by the maker's own number; white is shown until a picture can"), painted(desk)),
        parts.choice(desk, "brief.sheen", "How it is to shine", [("no wish", ""), "matt", "satin", "gloss"], "the Timber page says which finishes dry so"),
        parts.tick(desk, "brief.little_smell", "Little smell", "someone sleeps beside it, or bears smells badly"),
        chosen_of(desk, "brief.allergies", "Someone is allergic to", allergens(), "finish, glue, metal and timber are looked through for it on the Timber page; timbers themselves go above"),
        parts.choice(desk, "brief.care_done", "Care that will be given", [("not asked yet", ""), "none", "once a year", "when it shows"],
                     "a finish is only as good as its next coat"),
        parts.how_much(desk, "brief.wants.small_movement", "Moves little"),
        parts.how_much(desk, "brief.wants.light_weight", "Light to carry"),
        parts.how_much(desk, "brief.wants.hard_surface", "Hard surface"),
        parts.how_much(desk, "brief.wants.easy_to_work", "Easy to work and glue"),
        only(desk, lambda c: not _outdoors(c), parts.how_much(desk, "brief.wants.keeps_colour", "Keeps its colour")),
        only(desk, _outdoors, parts.how_much(desk, "brief.wants.no_tannin_run", "Does not stain paving")),
    ])


def painted(desk: Desk) -> w.Widget:
    """What the pictures show for the colour that is written."""
    return parts.live(desk, lambda: f'<div class="quiet" style="margin-left:{parts.LABEL}">{escape(shown_words(desk.derived.paint_colour))}</div>')


def liked(desk: Desk) -> w.Widget:
    """Timbers that the client likes."""
    def said() -> str:
        words = "; ".join(f"'{word}', taken as {name}" for name, word in desk.derived.timbers_asked.items())
        return f'<div class="quiet" style="margin-left:{parts.LABEL}">In the client\'s words: {escape(words)}. It counts as liked; choose another above where they mean another.</div>' if words else ""

    return w.VBox([
        named(desk, "brief.wants.liked", "Timbers they like", "one or several; first on the Timber page where they last"), parts.live(desk, said),
    ])


def named(desk: Desk, path: str, label: str, note: str) -> w.Widget:
    """A list of timbers, of those on file and the maker's own."""
    return chosen_of(desk, path, label, (s.name for s in desk.library.species), note)


def chosen_of(desk: Desk, path: str, label: str, on_file, note: str) -> w.Widget:
    """A list of what is on file, chosen one after the other."""
    several = w.Dropdown(options=["choose one", *on_file], description=label,
                         style=parts.STYLE, layout=w.Layout(width="470px"))

    def add(change):
        if change.new != "choose one":
            toggle(desk, path, change.new, True)
            several.value = "choose one"

    def build():
        return [
            w.HBox([w.HTML(f"<b>{escape(name)}</b>&nbsp;"),
                    parts.button(desk, "Take away", lambda name=name: toggle(desk, path, name, False))],
                   layout=w.Layout(align_items="center", margin=f"0 0 0 {parts.LABEL}"))
            for name in parts.at(path)(desk.commission)
        ]

    several.observe(add, "value")
    return w.VBox([
        w.HBox([several, parts.quiet(note)], layout=w.Layout(flex_flow="row wrap", align_items="center")),
        parts.rebuilt(desk, build, parts.at(path)), parts.refusal(desk, path),
    ])


OVER_2_M = {"mm": ("2 m", "", "20 mm in a metre is 40"), "in": ("2 m (6 ft 7 in)", "; 1/2 in over 6 ft is 9/16", "1/8 in each foot is 13/16")}
"""Over what an uneven wall or floor is measured, and what other measurements come to over it, on a page in mm or in inches."""


def room(desk: Desk) -> w.Widget:
    over, plumb, falls = OVER_2_M[parts.length_unit()]
    return w.VBox([
        parts.optional_number(desk, "brief.space_length_mm", "Room, length", "mm"),
        parts.optional_number(desk, "brief.space_width_mm", "Room, width", "mm"),
        parts.optional_number(desk, "brief.most_length_mm", "The piece no longer than", "mm", "what it is to be at the most, not the room"),
        parts.optional_number(desk, "brief.most_width_mm", "The piece no deeper than", "mm", "from front to back; a table's width"),
        parts.optional_number(desk, "brief.most_height_mm", "The piece no higher than", "mm"),
        parts.optional_number(desk, "brief.skirting_high_mm", "Skirting board, height", "mm", "where it stands at a wall; 0 for none"),
        parts.optional_number(desk, "brief.skirting_deep_mm", "Skirting board, depth", "mm", "off the wall, at its thickest"),
        parts.optional_number(desk, "brief.out_of_plumb_mm", f"Walls out of plumb, over {over}", "mm", f"the worst of them, by a plumb line{plumb}"),
        parts.optional_number(desk, "brief.floor_falls_mm", f"Floor or ground falls, over {over}", "mm", f"by a level on a straight edge; {falls}"),
        only(desk, lambda c: bool(c.brief.floor_falls_mm), parts.choice(
            desk, "brief.fall_met", "A free piece is levelled by", [("not settled yet", ""), SLABS, LEGS], "said on Sizes and on the installation note")),
        openings(desk),
    ])


def leave(desk: Desk) -> w.Widget:
    return w.VBox([
        country(desk), currency(desk), parts.choice(desk, "showing.locale", "Money and dates as in", money_locales()),
        others_say(desk),
        parts.text(desk, "brief.may_forbid", "Who could forbid it", "landlord, neighbours, building rules"),
        parts.money(desk, "brief.budget", "Budget, tax included"),
        parts.day(desk, "brief.wanted_by", "Wanted by"),
        parts.number(desk, "brief.queue_weeks", "Weeks until you can begin"),
    ])


def notes(desk: Desk) -> w.Widget:
    """Free notes, and pictures kept in the book: small ones on the page, the full one when asked for."""
    upload = w.FileUpload(accept="image/*,.pdf", multiple=True, description="Add pictures")
    about = w.Text(placeholder="what they show", layout=w.Layout(width="320px"))
    shown, full, told = w.VBox(), w.VBox(), w.HTML()

    def keep(_change=None):
        try:
            for file in upload.value:
                desk.book.attach(desk.commission.ref, file["name"], file["type"], bytes(file["content"]), about.value.strip())
        except (ValueError, BadBook) as error:
            told.value = show.page(f'<p class="fails">{escape(str(error))}</p>')
            return
        told.value = ""
        upload.value = ()
        about.value = ""
        fill()

    def close():
        full.children = ()

    def open_full(kept):
        content = desk.book.attached(desk.commission.ref, kept.number)
        if kept.is_picture:
            seen = w.Image(value=content, format=kept.media_type.split("/")[1], layout=w.Layout(max_width="100%", object_fit="contain"))
        else:
            data = f"data:{kept.media_type or 'application/octet-stream'};base64,{base64.b64encode(content).decode()}"
            seen = w.HTML(show.page(f'<a href="{escape(data)}" download="{escape(kept.name)}">Save {escape(kept.name)}</a>'))
        full.children = (w.HBox([parts.heading(kept.name), parts.button(desk, "Close it", close)], layout=w.Layout(align_items="center")), seen)

    def take_away(kept):
        desk.book.detach(desk.commission.ref, kept.number)
        close()
        fill()

    def row(kept):
        picture = parts.thumbnail(desk, kept)
        sure = parts.button(desk, "Take it away for good", lambda: take_away(kept))
        sure.layout.display = "none"
        first = parts.button(desk, "Take away", lambda: setattr(sure.layout, "display", ""))
        return w.HBox([
            w.HTML(picture, layout=w.Layout(width="140px")),
            w.HTML(show.page(f'{escape(kept.name)}<br>{escape(kept.note)}<br><span class="quiet">added {kept.added_at[:10]}</span>'), layout=w.Layout(width="280px")),
            parts.button(desk, "Open", lambda: open_full(kept)), first, sure,
        ], layout=w.Layout(align_items="center", margin="2px 0"))

    def fill():
        found = desk.book.attachments(desk.commission.ref)
        shown.children = tuple(map(row, found)) or (w.HTML(show.page('<p class="quiet">No pictures yet.</p>')),)

    upload.observe(keep, "value")
    fill()
    return w.VBox([parts.long_text(desk, "notes", "Notes", rows=5), w.HBox([about, upload]), told, shown, full])


def sheet(desk: Desk) -> w.Widget:
    """The brief sheet for the client to confirm, which needs no piece yet."""
    said = w.HTML()

    def make():
        c, revision = desk.commission, desk.revision
        content = brief_sheet(c, revision=revision, maker=desk.book.maker, known=desk.known)
        folder = desk.book.folder / "papers" / c.ref
        folder.mkdir(parents=True, exist_ok=True)
        (folder / "brief.pdf").write_bytes(content)
        desk.book.keep_paper(c.ref, revision, "brief.pdf", content)
        said.value = show.page(f"<p>Written to {escape(str(folder / 'brief.pdf'))}.</p>")

    return w.VBox([
        parts.heading("The brief on one page"),
        parts.button(desk, "Write the brief sheet", make, "What was heard, what is open, what must be answered; for the client to confirm"),
        said,
    ])


# ---------------------------------------------------------------- lists


ALSO = {
    "table": "dining, kitchen, desk, with drawers", "cabinet": "cupboard, sideboard", "bookcase": "shelves, over a cupboard, in an alcove", "hung case": "wall shelves, wall cupboard", "chest": "blanket box, lidded",
    STEP: "to stand on", "framed screen": "slatted", "strung screen": "slats on cables", "freehand": "anything else, member by member",
}
"""Other words a maker looks for, beside the form's own name."""
ADDED = tuple(x for name in FORMS for x in ((name, STEP) if name == "stool" else (name,)))


def pieces(desk: Desk) -> w.Widget:
    """The pieces of the commission: name, form, how many; add and take away."""

    def build():
        return [
            w.HBox([
                parts.text(desk, f"items.{i}.name", f"Piece {i + 1}", item.form, 420),
                parts.whole(desk, f"items.{i}.count", "How many"),
                parts.button(desk, "Take away", lambda i=i: remove(desk, "items", i)),
                *placed(desk, i, item),
            ], layout=w.Layout(flex_flow="row wrap"))
            for i, item in enumerate(desk.commission.items)
        ]

    form = w.Dropdown(options=[(f"{name} ({ALSO[name]})" if name in ALSO else name, name) for name in ADDED], description="Add a piece", style=parts.STYLE, layout=w.Layout(width="380px"))
    name = w.Text(placeholder="its name", layout=w.Layout(width="200px"))

    def add():
        called = name.value.strip() or form.value
        items = [i.model_dump(mode="json") for i in desk.commission.items]
        if desk.change("items", [*items, begun(form.value, called).model_dump(mode="json")]):
            name.value = ""

    return w.VBox([
        parts.rebuilt(desk, build, lambda c: tuple(i.form for i in c.items)),
        w.HBox([form, name, parts.button(desk, "Add it", add)]),
        parts.refusal(desk, "items"),
    ])


def placed(desk: Desk, i: int, item: Item) -> list[w.Widget]:
    """Whether a table is eaten at, written at or low; where each piece stands, once there are several of them."""
    several = len(desk.commission.items) > 1
    elsewhere = [parts.choice(desk, f"items.{i}.place", "Its place", [("as 'Where it stands' says", ""), *PLACES],
                              "another than the brief's: wind, ground, drop and room said there then do not count for it")] if several else []
    return [*_beside(desk, i, item), *elsewhere]


def _beside(desk: Desk, i: int, item: Item) -> list[w.Widget]:
    if is_table(item.form):
        return [parts.choice(desk, f"items.{i}.table", "At it", [
            ("as they say; else people eat, unless it is made low", ""), ("people eat, however high it is", "eaten at"),
            *[("someone writes or works at it", "written at")] * (item.form == "table" or item.table == "written at"), ("nobody sits: low, beside a bed or in a hall", "low"),
        ], "decides its height, and whether knees, chairs and benches are asked for", 620)]
    if len(desk.commission.items) < 2 or serves(item.form) == "screen":
        return []
    if item.form in SEATS and not item.sizes.get("made_to"):
        return [parts.choice(desk, f"items.{i}.stands", "It stands", [
            ("at the table, where there is one to eat at", ""), "at the table", "by itself", ("by itself, its back to a wall", "at a wall"),
        ], "at a table it takes its height and length from it", 560)]
    return [parts.choice(desk, f"items.{i}.stands", "It stands", [("as its sizes say", ""), ("with its back to a wall", "at a wall")], "in pictures")]


def size_words(field: str) -> tuple[str, str]:
    """Words and unit of an opening's size: 'headroom_mm' -> ('Headroom', 'mm')."""
    unit = "mm" if field.endswith("_mm") else "kg" if field.endswith("_kg") else ""
    return field.removesuffix("_mm").removesuffix("_kg").replace("_", " ").capitalize(), unit


def one_opening(desk: Desk, i: int, opening, opened: bool = False) -> w.Widget:
    """An opening in words; its sizes to change when asked for, and at once when it is new."""
    path = f"brief.openings.{i}"

    def told() -> str:
        rows = desk.commission.brief.openings
        if i >= len(rows):
            return ""
        sizes = []
        for field, value in rows[i].model_dump(exclude={"kind", "name"}).items():
            words, unit = size_words(field)
            if value is not None:
                sizes.append(f"{words.lower()} {value:g} {unit}" if isinstance(value, float) else f"{words.lower()} {value}")
        return f"{escape(rows[i].name)}, {rows[i].kind}: {escape(', '.join(sizes) or 'no sizes yet')}"

    def field(name):
        words, unit = size_words(name)
        if name == "turn":
            return parts.choice(desk, f"{path}.turn", words, ["none", "quarter", "half"])
        return parts.optional_number(desk, f"{path}.{name}", words, unit)

    box = w.VBox(layout=w.Layout(margin="0 0 8px 0"))
    ears = parts.Ears()

    def change():
        with ears:
            box.children = () if box.children else (
                parts.text(desk, f"{path}.name", "Its name", px=420),
                *(field(f.name) for f in fields(KINDS[opening.kind]) if f.name != "name"),
            )

    if opened:
        change()
    return w.VBox([
        w.HBox([
            parts.button(desk, "Take away", lambda: remove(desk, "brief.openings", i)), parts.button(desk, "Change", change), parts.live(desk, told),
        ], layout=w.Layout(align_items="center")),
        box,
    ])


def openings(desk: Desk) -> w.Widget:
    """Doors, turns, stairs, lifts and ceilings on the way in."""

    just_added: set[int] = set()

    def build():
        opened = just_added.copy()
        just_added.clear()
        return [one_opening(desk, i, o, i in opened) for i, o in enumerate(desk.commission.brief.openings)]

    kind = w.Dropdown(options=list(KINDS), description="Add a way in", style=parts.STYLE, layout=w.Layout(width="380px"))
    name = w.Text(placeholder="its name: front door", layout=w.Layout(width="200px"))

    def add():
        present = [o.model_dump(mode="json") for o in desk.commission.brief.openings]
        just_added.add(len(present))
        if desk.change("brief.openings", [*present, {"kind": kind.value, "name": name.value.strip() or kind.value}]):
            name.value = ""

    return w.VBox([
        parts.rebuilt(desk, build, lambda c: tuple(o.kind for o in c.brief.openings)),
        w.HBox([kind, name, parts.button(desk, "Add it", add), parts.quiet("its sizes are asked for as soon as it is added")],
               layout=w.Layout(flex_flow="row wrap", align_items="center")),
        parts.refusal(desk, "brief.openings", within=False),
    ])


def others_say(desk: Desk) -> w.Widget:
    """What gives an owner, an engineer or a licensed trade a say; and whether they gave leave in writing."""

    def build():
        none = parts.button(desk, "None of these", lambda: desk.put(
            desk.commission.fixed_to_wall(False).changed("brief.needs_leave", []), "nobody else has a say"))
        asked = desk.commission.brief.needs_leave
        said = "" if asked is None else '<span class="stands">Answered: none of these.</span>' if not asked else ""
        rows = [w.HBox([none, w.HTML(show.page(said))])]
        for trigger, words in triggers().items():
            b = desk.commission.brief
            needs = w.Checkbox(value=b.fixed_to_building if trigger == FIXED else trigger in (b.needs_leave or ()), description=words, indent=False,
                               layout=w.Layout(width="470px"))
            given = w.Checkbox(value=trigger in desk.commission.brief.leave_given, description="leave given in writing", indent=False)
            needs.observe(lambda c, t=trigger: fix(desk, c.new) if t == FIXED else toggle(desk, "brief.needs_leave", t, c.new), "value")
            given.observe(lambda c, t=trigger: toggle(desk, "brief.leave_given", t, c.new), "value")
            rows.append(w.HBox([needs, given] if needs.value or given.value else [needs]))
        return rows

    return parts.rebuilt(desk, build, lambda c: (c.brief.needs_leave, c.brief.leave_given, c.brief.fixed_to_building))


def toggle(desk: Desk, path: str, one: str, yes: bool) -> None:
    """Put one word into a list of the document, or take it out."""
    present = [t for t in (parts.at(path)(desk.commission) or ()) if t != one]
    desk.change(path, [*present, one] if yes else present)


def remove(desk: Desk, path: str, index: int) -> None:
    """Take one row out of a list of the document."""
    rows = [r.model_dump(mode="json") for r in parts.at(path)(desk.commission)]
    desk.change(path, rows[:index] + rows[index + 1 :])
