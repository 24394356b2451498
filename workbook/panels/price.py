"""Price: hours counted from the model, materials from the layout, a range, the quote, what it teaches."""

from __future__ import annotations

from datetime import date
from html import escape

import ipywidgets as w
from pydantic import ValidationError

from studio_lib.commission import refusals
from studio_lib.costing import drivers
from studio_lib.costing.budget import kept_beside, within_budget
from studio_lib.costing.calibration import calibration
from studio_lib.costing.cheaper import cheaper, no_timber_tried, price_breaks
from studio_lib.costing.examples import EXAMPLES
from studio_lib.costing.exchange import in_money, told
from studio_lib.costing.operations import FILLED, FITTED, FIX_SCREEN, FIX_TO_WALL, OLD_BOARDS, forgotten
from studio_lib.costing.price import priced_items
from studio_lib.costing.settings import rates_from
from studio_lib.costing.tax import CHECK, in_country, said_of_currency, taxes
from studio_lib.derived.fixings import BOUGHT_MOST
from studio_lib.look import scenes
from studio_lib.papers import words
from studio_lib.showing import english_in, places, volume_unit
from studio_lib.units import mm
from workbook import parts, pointing, show
from workbook.desk import Desk
from workbook.panels import points, price_account, price_hours, stops, theirs
from workbook.view3d import View3D


def panel(desk: Desk) -> w.Widget:
    return w.VBox(
        [
            parts.live(desk, lambda: outcome(desk)),
            stops.panel(desk),
            parts.long_text(desk, "brief.answer", "Your words in the quote", "under what is offered; empty, a price over the budget is explained in ours"),
            parts.folded(("Point by point: what of the client's wish is in this price", points.panel(desk))),
            price_account.panel(desk),
            parts.heading("What it is reckoned with"),
            parts.folded(
                ("What your hour must bring", hour(desk)),
                ("This job", job(desk)),
                ("Work often forgotten", extra(desk)),
                ("Bought in for this job", bought_in(desk)),
                ("Your own prices", own_prices(desk)),
                ("Tax, rounding, payments, terms", terms(desk)),
            ),
            parts.heading("What drives it"),
            parts.folded(
                ("By stage, decision, member and joint", driven(desk)),
                ("What would make it cheaper", cheaper_ways(desk)),
                ("Within the budget", to_budget(desk)),
                ("Made in numbers", parts.live(desk, lambda: breaks(desk))),
            ),
            parts.live(desk, lambda: costing(desk)),
            parts.heading("Time at the bench"),
            price_hours.time_entry(desk),
            parts.heading("When it is done"),
            price_hours.afterwards(desk),
            parts.folded(
                ("How well past ranges held", parts.live(desk, lambda: price_hours.held(desk))),
                ("Published examples, done again", w.HTML(show.page(examples()))),
            ),
        ]
    )


def hour(desk: Desk) -> w.Widget:
    def take_over():
        last = next((e.ref for e in desk.book.commissions() if e.ref != desk.commission.ref), None)
        if last is None:
            raise ValueError("There is no other commission in the book to take them from.")
        desk.change("rates", rates_from(desk.book.open(last)[0].rates, desk.commission.rates))

    return w.VBox(
        [
            parts.money(desk, "rates.own_hour", "My hour is", "as you know it; empty to reckon it from a year, below"),
            parts.money(desk, "rates.drawings_per_year", "You live on, a year"),
            parts.money(desk, "rates.overheads_per_year", "Overheads, a year", "rent, machines, insurance, van"),
            parts.number(desk, "rates.weeks_per_year", "Weeks worked"),
            parts.number(desk, "rates.hours_per_week", "Hours a week"),
            parts.percent(
                desk,
                "rates.billable_share",
                "Of them, a client pays for",
                "60 is usual; the rest is quotes, buying, sweeping",
            ),
            parts.tick(desk, "rates.mine", "These are mine", "tick it when what stands here is right as it is"),
            parts.refusal(desk, "rates", within=False),
            parts.button(
                desk,
                "Take rates and terms from the job worked on last",
                take_over,
                "What belongs to this job alone stays",
            ),
        ]
    )


def job(desk: Desk) -> w.Widget:
    return w.VBox(
        [
            parts.tick(desk, "rates.design_counted", "Drawing and meetings counted from the piece", "the workbook draws: what is counted is settling and looking over"),
            parts.number(desk, "rates.design_hours", "Drawing and meetings", "hours", "taken where they are not counted"),
            parts.whole(desk, "rates.meetings", "Meetings", "where they are counted"),
            parts.percent(
                desk, "rates.with_any_job", "Of what comes with any job, counted",
                "drawing, meetings, fetching boards, packing, papers; 100 is all of it, 0 where it goes along with another job",
            ),
            parts.percent(desk, "rates.materials_markup", "On top of materials"),
            parts.percent(desk, "rates.profit_margin", "Profit, of the price"),
            parts.choice(desk, "rates.quoted_at", "Quoted at", [(f"{words_} (P{q})", q) for q, words_ in QUOTED_AT.items()], "hours; what the price is to cover"),
            parts.percent(
                desk, "rates.pace", "My time, of the starting hours", "100 as the workbook begins; counts where no finished job of yours tells",
            ),
            parts.live(
                desk,
                lambda: '<p class="quiet" style="margin:0 0 0 218px">'
                f"= {float(desk.derived.price.markup) * 100:.2f} % on top of cost.</p>",
            ),
            parts.percent(
                desk,
                "rates.learning_rate",
                "When a batch doubles",
                "of the time is left for each; large batches only, 100 for no gain",
            ),
            parts.number(desk, "rates.delivery_km", "Delivery, there and back", "km"),
            parts.money_a_km(desk, "rates.delivery_per_km", "costs"),
            parts.number(desk, "rates.delivery_speed_kmh", "On the road", "km/h"),
            parts.Field(
                desk,
                "rates.delivery_people",
                w.Text(
                    description="People, you counted in",
                    style=parts.STYLE,
                    layout=w.Layout(width="330px"),
                    continuous_update=False,
                    placeholder="by weight",
                ),
                lambda c: "" if c.rates.delivery_people is None else str(c.rates.delivery_people),
                lambda v: int(parts.as_number(v)) if v.strip() else None,
            ),
            parts.money(desk, "rates.helper_per_hour", "A helper's hour"),
            parts.number(desk, "rates.van_carries_kg", "Your own vehicle carries", "kg"),
            parts.money(desk, "rates.hired_van", "A hired van, a day"),
        ]
    )


def country(desk: Desk) -> w.Widget:
    """The country: its tax, and its money while nothing else was chosen."""
    def now():
        return desk.commission.rates.country if desk.commission.rates.country in taxes() else ""

    box = w.Dropdown(options=["", *taxes()], value=now(), description="Country", style=parts.STYLE, layout=w.Layout(width="330px"))
    note = w.HTML()

    def choose(change):
        if change.new and change.new != desk.commission.rates.country:
            was = english_in(desk.commission.rates.country)
            desk.put(in_country(desk.commission, change.new, english_in(change.new), was), f"reckoned as in {change.new}")

    def tell():
        box.value = now()
        t = taxes().get(now())
        told = f'<p class="quiet">{escape(t.note + "; " if t.note else "")}source: {escape(t.source)}. {CHECK}</p>' if t else ""
        note.value = show.page(told)

    box.observe(choose, "value")
    parts.watched(desk, ["commission"], tell)
    return w.VBox([box, note])


def money_locales() -> list[tuple[str, str]]:
    """Ways of writing money and days, to choose from."""
    return [("as the record keeps them: 2026-11-25, 1250.00 EUR", ""), *places()]


def currency(desk: Desk) -> w.Widget:
    """The job's money, and what one EUR of the workbook's starting prices is in it."""
    def take(letters):
        before = desk.commission.rates.model_dump(mode="json")
        if desk.change("rates.currency", letters):
            desk.change("rates", in_money(before, letters))

    box = w.Text(description="Currency", style=parts.STYLE, layout=w.Layout(width="330px"), continuous_update=False)
    letters = parts.Field(
        desk, "rates.currency", box, lambda c: c.rates.currency,
        note="of this job; three letters, such as EUR: the workbook's starts come along at a round rate, what you gave stays as it stands",
        change=take,
    )
    rate = parts.optional_number(desk, "rates.start_rate", "1 EUR is worth", "", "in the money of this job, to count the prices that the workbook begins with; empty for the round rate on file")
    told_ = w.HTML()

    def tell():
        how = told(desk.commission.rates)
        told_.value = show.page(f'<p class="quiet" style="margin:0 0 0 218px">What the workbook begins with was set in EUR and is counted {escape(how)}.</p>' if how else "")

    parts.watched(desk, ["commission"], tell)
    return w.VBox([letters, rate, told_])


def own_money(desk: Desk) -> w.Widget:
    """What every price begins with: country, money, an hour; for the job in hand, and those begun after it."""
    return w.VBox([
        parts.live(desk, lambda: in_hand(desk)), country(desk), currency(desk),
        parts.text(desk, "rates.tax_name", "Tax is called", "as your quotes print it", 330), parts.percent(desk, "rates.tax_rate", "Tax"),
        parts.money(desk, "rates.own_hour", "My hour is", "as you know it; empty to reckon it from a year, on the Price page"),
        parts.percent(desk, "rates.pace", "My time, of the starting hours", "100 as the workbook begins; counts where no finished job of yours tells"),
        w.HTML(show.page('<div class="quiet">More on the Price page.</div>')),
    ])


def in_hand(desk: Desk) -> str:
    """Which job the figures beneath are of."""
    return (f"<p>For the job in hand: <b>{escape(desk.commission.title)}</b>, {escape(desk.ref)}. Jobs begun after it start with the same; "
            "those in the book keep theirs.</p>")


def terms(desk: Desk) -> w.Widget:
    def stage_rows():
        rows = [
            w.HBox(
                [
                    parts.percent(desk, f"rates.stages.{i}.share", "Share"),
                    parts.text(desk, f"rates.stages.{i}.event", "falls due", "", 420),
                ],
                layout=w.Layout(flex_flow="row wrap"),
            )
            for i in range(len(desk.commission.rates.stages))
        ]
        if rows:
            return [*rows, parts.button(desk, "Back to two payments", lambda: desk.change("rates.stages", []))]
        return [
            parts.percent(desk, "rates.deposit_share", "Paid with the order"),
            parts.button(
                desk,
                "In three payments, 40, 40, 20",
                lambda: desk.change(
                    "rates.stages",
                    [
                        {"share": 0.4, "event": "with the order"},
                        {"share": 0.4, "event": "when the frame stands dry"},
                        {"share": 0.2, "event": "before delivery"},
                    ],
                ),
                "Shares must make 100 % together, so set them as a whole",
            ),
        ]

    return w.VBox(
        [
            country(desk),
            currency(desk),
            parts.text(desk, "rates.tax_name", "Tax is called", "", 330),
            parts.percent(desk, "rates.tax_rate", "Tax"),
            parts.tick(desk, "rates.tax_inclusive", "The quote's lines are printed with tax in them"),
            parts.choice(
                desk,
                "rates.round_to",
                "Lines rounded to",
                [("a cent", "0.01"), ("five cents", "0.05"), ("one", "1"), ("five", "5"), ("ten", "10")],
            ),
            parts.rebuilt(desk, stage_rows, lambda c: len(c.rates.stages)),
            parts.refusal(desk, "rates.stages"),
            parts.whole(desk, "rates.valid_days", "Price holds, days"),
            parts.whole(desk, "rates.price_age_days", "Warn of prices older than, days"),
            parts.whole(desk, "rates.pay_days", "Invoices are due after, days"),
            parts.long_text(desk, "rates.pay_to", "How to pay", "bank and account, as invoices print it"),
            parts.long_text(
                desk, "rates.terms", "Your own terms", "a line each; they follow the workbook's on the quote", rows=4
            ),
        ]
    )


COUNTED_FOR = {
    FITTED: "what is fitted to walls", FIX_TO_WALL: "what is fixed to a wall", FIX_SCREEN: "what holds the screens", FILLED: "the screw heads that would show",
    OLD_BOARDS: "the boards of the client that are cut",
}
"""What work that is proposed goes by, as it stands beside its tick."""


def extra(desk: Desk) -> w.Widget:
    """Work that makers forget, to be taken into this costing or left; ticked to begin with where the job has it anyhow."""

    def one(t):
        proposed = desk.derived.work_proposed
        begun = {**desk.derived.work_to_begin_with, **proposed}
        now = dict(desk.derived.extra_work)
        count = w.FloatText(value=now.get(t.operation, begun.get(t.operation, 1.0)), layout=w.Layout(width="70px"))
        tick = w.Checkbox(
            value=t.operation in now, description=t.operation, indent=False, layout=w.Layout(width="250px")
        )

        def told(_change):
            rows = [e.model_dump(mode="json") for e in desk.commission.rates.extra_work if e.operation != t.operation]
            left_out = [{"operation": t.operation, "count": 0}] if t.operation in proposed else []
            desk.change(
                "rates.extra_work", [*rows, *([{"operation": t.operation, "count": count.value}] if tick.value else left_out)]
            )

        tick.observe(told, "value")
        count.observe(lambda c: told(c) if tick.value else None, "value")
        start = f"{t.set_up_min:g} min and " if t.set_up_min else ""
        why = w.HTML(
            show.page(
                f'<span class="quiet">times; {start}{t.unit_min:g} min a {escape(t.unit)}: {escape(t.offered)}'
                + (f"; counted by itself, for {COUNTED_FOR.get(t.operation, 'the feet of this piece')}" if t.operation in proposed else "") + "</span>"
            )
        )
        return w.HBox([tick, count, why], layout=w.Layout(align_items="center", flex_flow="row wrap"))

    rows = parts.rebuilt(desk, lambda: [one(t) for t in forgotten()], lambda c: (*desk.derived.work_proposed.items(), *desk.derived.work_to_begin_with.items()))
    return w.VBox([rows, parts.refusal(desk, "rates.extra_work")])


def bought_in(desk: Desk) -> w.Widget:
    def rows():
        return [
            w.HBox(
                [
                    parts.text(desk, f"rates.bought_in.{i}.what", "What", "", 420),
                    parts.money(desk, f"rates.bought_in.{i}.price", "Price"),
                    parts.text(desk, f"rates.bought_in.{i}.currency", "Priced in", "empty: as the job", 300),
                    parts.day(desk, f"rates.bought_in.{i}.on", "Priced on"),
                    parts.button(desk, "Take out", lambda i=i: out(i)),
                ],
                layout=w.Layout(flex_flow="row wrap"),
            )
            for i in range(len(desk.commission.rates.bought_in))
        ]

    def plain():
        return [b.model_dump(mode="json") for b in desk.commission.rates.bought_in]

    def take_in(what):
        old = desk.derived.outdated_uprights
        desk.change("rates.bought_in", [*(row for i, row in enumerate(plain()) if i not in old), {"what": what[:BOUGHT_MOST]}])

    def waiting():
        return [
            w.HBox([w.HTML(show.page(f"<p>Waits for your price: {escape(what)}.</p>")),
                    parts.button(desk, "Take it in", lambda what=what: take_in(what))],
                   layout=w.Layout(flex_flow="row wrap"))
            for what in desk.derived.bought_in_waiting
        ]

    def out(i):
        kept = plain()
        desk.change("rates.bought_in", kept[:i] + kept[i + 1 :])

    return w.VBox(
        [
            w.HTML(
                show.page(
                    '<p class="quiet">Glass, turning, metalwork, upholstery. What has no price yet is not free: '
                    "it keeps the quote from being firm.</p>"
                )
            ),
            parts.rebuilt(desk, rows, lambda c: len(c.rates.bought_in)),
            parts.rebuilt(desk, waiting, lambda c: (c.items, c.brief, c.rates.bought_in)),
            parts.button(
                desk, "Add one", lambda: desk.change("rates.bought_in", [*plain(), {"what": "what is bought in"}])
            ),
            parts.percent(desk, "rates.bought_in_markup", "On top of what is bought in"),
            parts.refusal(desk, "rates.bought_in", within=False),
        ]
    )


def own_prices(desk: Desk) -> w.Widget:
    item = w.Combobox(
        options=priced_items(),
        placeholder="oil, glue, butt hinge ...",
        description="For",
        style=parts.STYLE,
        layout=w.Layout(width="420px"),
    )
    price = w.Text(description="Price", layout=w.Layout(width="200px"))
    on = w.DatePicker(value=date.today(), description="On")

    def plain():
        return [p.model_dump(mode="json") for p in desk.commission.rates.prices]

    def add():
        rows = [p for p in plain() if p["item"] != item.value]
        if desk.change(
            "rates.prices",
            [
                *rows,
                {"item": item.value, "price": parts.as_money(price.value), "on": on.value and on.value.isoformat()},
            ],
        ):
            item.value = price.value = ""

    def rows():
        return [
            w.HBox(
                [
                    w.HTML(
                        show.page(
                            f"{escape(p.item)}: {p.price} {escape(desk.commission.rates.currency)}"
                            + (f", {p.on.isoformat()}" if p.on else "")
                        ),
                        layout=w.Layout(width="380px"),
                    ),
                    parts.button(
                        desk, "Take out", lambda i=i: desk.change("rates.prices", plain()[:i] + plain()[i + 1 :])
                    ),
                ]
            )
            for i, p in enumerate(desk.commission.rates.prices)
        ]

    return w.VBox(
        [
            w.HTML(
                show.page(
                    '<p class="quiet">Finish, glue, abrasives, screws and hardware begin at starting prices of '
                    "ours. Give what you really pay, and the day you were told.</p>"
                )
            ),
            parts.rebuilt(desk, rows, lambda c: c.rates.prices),
            w.HBox(
                [item, price, on, parts.button(desk, "Keep this price", add)], layout=w.Layout(flex_flow="row wrap")
            ),
            parts.refusal(desk, "rates.prices"),
        ]
    )


QUOTED_AT = {
    80: "the hours that 8 jobs in 10 come in under", 50: "the likely hours, so that every second job takes longer",
    90: "the hours that 9 jobs in 10 come in under",
}


def outcome(desk: Desk) -> str:
    """What to quote, how sure it is, and what it is made of."""
    p = desk.derived.price
    c = escape(p.currency)
    tax = escape(words.tax_words(p))
    ends = (
        [
            ("<b>to pay</b>", f"<b>{p.gross:.2f}</b>"),
            (f"of it {tax}", f"{p.tax:.2f}"),
            ("without tax", f"{p.net:.2f}"),
        ]
        if p.tax_inclusive
        else [("before tax", f"{p.net:.2f}"), (tax, f"{p.tax:.2f}"), ("<b>to pay</b>", f"<b>{p.gross:.2f}</b>")]
    )
    if not p.tax_rate:
        ends = [("<b>to pay</b>, no tax charged", f"<b>{p.gross:.2f}</b>")]
    lines = show.table(("The quote", c), [*((escape(words.line_name(desk.derived, n)), f"{a:.2f}") for n, a in p.quoted), *ends], numbers=(1,), sums=(1,))
    ranges = show.table(
        ("If it goes", "Hours", f"Price before tax, {c}"),
        [
            (how, f"{p.hours_at(q):.1f}", f"{p.net_at(q):.0f}")
            for how, q in (
                ("very well (P10, 1 job in 10)", 10),
                ("as is likely (P50)", 50),
                ("so that 8 jobs in 10 come in under (P80)", 80),
                ("badly (P90, 1 job in 10 over)", 90),
            )
        ],
        numbers=(1, 2), sums=(2,),
    )
    budget = desk.commission.brief.budget
    not_firm = words.not_firm(desk.derived)
    said = f'<p class="fails">{escape(not_firm)}</p>' if not_firm else ""
    if any(s.holds for s in desk.derived.stops):
        said += "<p class='next'>Answer what stops it, or accept it knowingly, under Stops below.</p>"
    over = p.gross - budget if budget is not None else 0
    if budget is not None and (over > 0 or not not_firm):
        said += (
            f"<p class='{'fails' if over > 0 else 'stands'}'>Budget {budget} {c}: "
            f"{'over by' if over > 0 else 'room of'} {abs(over):.2f} {c}{' as it stands' if not_firm else ''}."
            f"{' See Within the budget, below.' if over > 0 else ''}</p>"
        )
    soon = words.order_soon(desk.derived, date.today())
    if soon:
        said += f'<p class="again">{escape(soon)}</p>'
    old = "".join(
        f'<p class="again">{escape(s)}</p>' for s in p.old_prices(date.today(), desk.commission.rates.price_age_days)
    )
    undated = prices_of_the_workbook(p)
    return (
        f"{not_yours(desk)}<h2>{'As it stands' if not_firm else 'To quote'}: {p.gross:.2f} {c}</h2>{said}{theirs.share(desk)}{by_volume(desk)}{old}{undated}"
        f'<div style="display:flex;gap:40px;flex-wrap:wrap;align-items:flex-start">{lines}{ranges}</div>'
        f"<h2>What makes the price, {c} before tax</h2>{show.bar(p.drivers)}"
        f"<p>{shares_told(p)}</p><p>{hours_told(p)}</p>"
        f'<p class="quiet">Quoted at {QUOTED_AT[p.quoted_at]} (P{p.quoted_at}). {escape(whose_word(desk))} Profit is '
        f"{float(p.margin) * 100:g} % of the price, which is "
        f"{float(p.markup) * 100:.2f} % on top of cost.</p>"
    )


def shares_told(p) -> str:
    """In one sentence how the price comes about, and in another how a small piece carries less of what comes with any job."""
    c, fixed = escape(p.currency), drivers.with_any_job(p)
    if not p.net:
        return ""
    parts_ = ", ".join(f"{percent} % {'is ' if what == 'making' else ''}{what}" for what, percent in drivers.in_percent(drivers.in_shares(p)))
    each = "; ".join(f"{what} {net:.0f}" + (f" ({hours:.1f} h)" if hours else "") for what, hours, net in fixed)
    less = (
        f" What comes with any job however small: {each}. Where this piece goes along with another job, put 'Of what comes with any job, counted' down, under 'This job'."
        if fixed else ""
    )
    return f"Of the {p.net:.0f} {c} before tax, {parts_}; profit and what cannot be foreseen are in each share.{less}"


def hours_told(p) -> str:
    """What the hours are made of, and that what cannot be foreseen is counted once."""
    kinds = ", ".join(f"{hours:.1f} of {kind}" for kind, hours in p.hours_by_kind)
    more = (f" The quote covers {p.hours_at(p.quoted_at):.1f} hours: the {p.unforeseen_hours:.1f} over them are the part for what cannot be foreseen, "
            "and stand in it once.") if p.unforeseen_hours else ""
    bench = f" A maker who guesses the hours at the bench is to hold that against {p.making.at(10):.0f} to {p.making.at(90):.0f} (P10 to P90)." if p.making.median else ""
    return f"{p.hours_at(50):.1f} hours are likely: {kinds}.{bench}{more}"


def prices_of_the_workbook(p) -> str:
    """How many lines stand at prices nobody has dated; their names fold out."""
    if not p.undated:
        return ""
    many = f"{len(p.undated)} {'line stands at a price' if len(p.undated) == 1 else 'lines stand at prices'} that nobody has dated"
    return (
        f'<details class="quiet"><summary>{many}; give yours under \'Your own prices\'.</summary>'
        f"<p>{escape(', '.join(p.undated))}.</p></details>"
    )


def not_yours(desk: Desk) -> str:
    """Said at the top until the maker has looked at what an hour must bring, and at the tax."""
    r = desk.commission.rates
    tax = (
        f'<p class="again"><b>The tax is a start, not yours</b>: {escape(r.tax_name)} of {100 * r.tax_rate:g} %. Choose your country, or '
        "give name and rate, under 'Tax, rounding, payments, terms'.</p>"
        if r.tax_is_a_start
        else ""
    )
    tax += "".join(f'<p class="again">{escape(s)}</p>' for s in said_of_currency(r, desk.derived.price.at_starting_prices))
    if not r.are_a_start:
        return tax
    return tax + (
        f'<p class="again"><b>These rates are a start, not yours</b>: {r.drawings_per_year:.0f} {escape(r.currency)} a year to live '
        f"on, {r.overheads_per_year:.0f} of overheads, {r.weeks_per_year:g} weeks of {r.hours_per_week:g} hours, "
        f"{100 * r.billable_share:.0f} % of them paid for. Check them under 'What your hour must bring'; change one, or tick "
        "that they are yours, and this goes away.</p>"
    )


def by_volume(desk: Desk) -> str:
    """What stands in the price for timber while no board is seen for it, and the range that this leaves."""
    d = desk.derived
    rough = d.rough_timber
    if not rough:
        return ""
    c = escape(d.price.currency)
    rows = "; ".join(f"{t.line.quantity:f} m3 of {escape(t.timber or 'timber')} at {t.price.amount:.0f} {c} a m3: {t.line.amount:.0f} {c}" for t in rough)
    low, _, high = d.ballpark.gross
    return (
        f"<p><b>Timber by volume{', for what no board holds yet' if d.offered else ' until boards are seen'}</b>: {rows}. With tax {low:.0f} to {high:.0f} {c}.</p>"
        f'<p class="quiet">{escape("; ".join(t.line.source for t in rough))}. Give its price a {volume_unit(show.shown())} on the Timber page, '
        "or boards on the Boards page.</p>"
    )


def whose_word(desk: Desk) -> str:
    """How many own jobs stand behind the hours, and how they kept to their ranges."""
    n = desk.derived.price.own_jobs
    if not n:
        return (
            "No finished job of yours stands behind the hours yet: they and their spread are our guess, until "
            "your own records replace it."
        )
    found = calibration(desk.known.records)
    kept = f" {found.under_p80} of {len(found.jobs)} ended under their own P80." if found.jobs else ""
    return f"{n} finished {'job' if n == 1 else 'jobs'} of yours stand behind the hours.{kept}"


def driven(desk: Desk) -> w.Widget:
    """The tables of what drives the price, beside the piece: a row touched lights its members."""
    view = View3D(height_px=300, show={"ground": scenes.ground(desk.derived)})

    def draw():
        if desk.derived.made:
            view.show_scene(scenes.scene(desk.derived), scenes.appearances(desk.derived))

    parts.watched(desk, ["commission"], draw)
    return w.VBox([view, pointing.live(desk, lambda: driving(desk), view)])


def driving(desk: Desk) -> str:
    """Four ways to cut the same price."""
    d, p = desk.derived, desk.derived.price
    tables = (
        ("Stage", drivers.by_stage(p)),
        ("Decision", drivers.by_decision(p)),
        ("Member", drivers.by_member(p, d.counted, d.cutting_list)),
        ("Joint", drivers.by_joint(p, d.counted)),
    )
    where = drivers.members_of(d.counted)
    return (
        f'<p class="quiet">Before tax, {escape(p.currency)}, at the hours it is quoted at; each table adds up to the '
        f"{p.net:.2f} {escape(p.currency)} of the quote.</p>"
        '<div style="display:flex;gap:36px;flex-wrap:wrap;align-items:flex-start">'
        + "".join(
            show.table((name, ""), [(escape(n), f"{v:.0f}") for n, v in rows], numbers=(1,), sums=(1,), refs=[where.get(n, ()) for n, _ in rows])
            for name, rows in tables
        )
        + "</div>"
    )


def breaks(desk: Desk) -> str:
    """The price of one when several are made together."""
    rows = [(str(b.count), f"{b.each:.0f}", f"{b.hours_each:.1f}") for b in price_breaks(desk.derived)]
    return (
        show.table(
            ("Made together", f"Each, before tax, {escape(desk.derived.price.currency)}", "Hours each, likely"),
            rows,
            numbers=(0, 1, 2), sums=(1,),
        )
        + '<p class="quiet">Of the whole commission. Set-ups, drawing and the journey are shared, large batches '
        "go quicker; timber at what one takes now.</p>"
    )


def cheaper_ways(desk: Desk) -> w.Widget:
    """Ten single changes, computed when asked for, with progress and a stop; each can be made."""
    found = w.VBox()

    def job():
        derived = desk.derived
        found.children = ()
        work.say("<p>Trying single changes: timber, sections, joints, sizes, number of parts, finish ...</p>")

        def run(progress, stopped):
            savings = cheaper(derived, progress, stopped)
            if stale(derived.commission):
                return
            found.children = [one(s, derived.commission) for s in savings]
            n = len(savings)
            words_ = (
                f"{n} single change{'' if n == 1 else 's'}, the greatest saving first. "
                if n
                else "Nothing that was tried saves anything. "
            )
            work.say(
                f"<p>{'Stopped. ' if stopped() else ''}{words_}Before and after are laid out alike, with "
                f"whole boards. {escape(no_timber_tried(derived))}</p>"
            )

        return run

    def one(s, of):
        def take():
            if desk.commission != of:
                raise ValueError("The commission has changed since these were reckoned. Look again first.")
            desk.put(s.document, s.says)

        tone = "fails" if s.worse else "stands"
        hours = f"{abs(s.hours):.1f} h {'less' if s.hours >= 0 else 'more'}"
        text = w.HTML(
            show.page(
                f"<b>{s.saves:.0f} {escape(of.rates.currency)}</b> less, {hours}: {escape(s.says)}"
                f'<div class="quiet">looks: {escape(s.look)}</div><div class="{tone}" '
                f'style="font-size:12.5px;font-weight:400">{escape(s.findings)}</div>'
            ),
            layout=w.Layout(width="760px", max_width="100%"),
        )
        return w.HBox(
            [text, parts.button(desk, "Make this change", take)],
            layout=w.Layout(flex_flow="row wrap", border_bottom="1px solid #e2d9c9"),
        )

    work = parts.Work(desk, "Look for savings", job)
    stale = out_of_date(desk, work, found)
    return w.VBox([work.row, work.said, found])


def priced_by(c) -> tuple:
    """What of a commission its price hangs on."""
    return c.brief, c.timber, c.items, c.boards, c.rates


def out_of_date(desk: Desk, work: parts.Work, found: w.Box):
    """Takes away what was found once the commission it was found for has changed, and says so.

    Returns a function: told for which commission something was found, it says whether that is out of date already.
    """
    of: list = []

    def look():
        if of and desk.commission.ref != of[0].ref:
            of.clear()
        elif of and priced_by(desk.commission) != priced_by(of[0]):
            found.children = ()
            work.say("<p>The commission has changed since this was reckoned. Press again to look anew.</p>")
            of.clear()

    def stale(commission) -> bool:
        of[:] = [commission]
        look()
        return not of

    parts.watched(desk, ["commission"], look)
    return stale


PLAINER = (
    '<p class="quiet">Each alone with the price it brings, on top of the changes above unless it says otherwise. Nothing is touched that their own words '
    "ask for, and no check is worse.</p>"
)


GIVEN_UP = '<p class="quiet">Their own words ask for these, so it is for the client to let go of them. Each by itself with the price it brings; no check is worse.</p>'


def to_budget(desk: Desk) -> w.Widget:
    """Changes put together until the price is within the budget, with progress and a stop; kept as an option beside."""
    found = w.VBox()

    def job():
        derived = desk.derived
        found.children = ()
        work.say("<p>Putting changes together, the largest saving first ...</p>")

        def run(progress, stopped):
            result = within_budget(derived, progress, stopped)
            if stale(derived.commission):
                return
            work.say(told(result))
            found.children = [
                *([keep(result, derived.commission)] if result.steps else []),
                *([w.HTML(show.page(f"<h2>Plainer, where the client agrees</h2>{PLAINER}"))] if result.plainer else []),
                *(plainer(result, p, derived.commission) for p in result.plainer),
                *([w.HTML(show.page(f"<h2>Only by giving up what was asked</h2>{GIVEN_UP}"))] if result.given_up else []),
                *(plainer(result, p, derived.commission) for p in result.given_up),
            ]

        return run

    def told(r) -> str:
        c = escape(r.currency)
        rows = [("as it stands", "", f"{r.before:.2f}"), *((escape(s.says), f"{s.saves:.2f}", f"{s.gross:.2f}") for s in r.steps)]
        table = show.table(("Change", f"Saves, {c}", f"Price with tax, {c}"), rows, numbers=(1, 2), sums=(1, 2)) if r.steps else ""
        then = "".join(f"<li>{escape(p)}</li>" for p in r.piece)
        return (
            f'<p class="{"stands" if r.reached else "fails"}">{escape(r.says)}</p>{table}'
            + (f"<p>It would then be:</p><ul>{then}</ul>" if r.steps else "")
            + f'<p class="quiet">The price as quoted. {escape(r.of_layout)} What the client or the place gives and what it is for stay, and so do doors, drawers, backs, heights, gaps you asked for and the finish; '
            "an overall size goes down by a tenth once; another timber is as light or dark.</p>"
        )

    def plainer(result, p, of):
        """One plainer way, its price, and what takes it: an option beside, or the finish in the brief."""
        enough = ', <span class="stands">within the budget</span>' if p.gross <= result.budget else ""
        look = "".join(f'<br><span class="quiet">{escape(x)}</span>' for x in (p.look, "" if p.on_top or not result.steps else "in place of the changes above, on the piece as it stands") if x)
        words = w.HTML(show.page(f"<b>{escape(p.says)}</b>: {p.gross:.2f} {escape(result.currency)}, {p.saves:.2f} less{enough}{look}"), layout=w.Layout(width="620px"))
        finish = p.document.brief.finish != of.brief.finish
        take = [parts.button(desk, "Take this finish", lambda: desk.change("brief.finish", p.document.brief.finish), "Where the client agrees: the finish of the whole commission")] if finish else []
        if not finish or p.document.items not in (of.items, result.document.items):
            take.append(keep(result, of, p))
        return w.HBox([words, *take], layout=w.Layout(align_items="center", flex_flow="row wrap"))

    def keep(result, of, with_it=None):
        def kept():
            if desk.commission != of:
                raise ValueError("The commission has changed since this was reckoned. Look again first.")
            try:
                document = kept_beside(of, result, with_it)
            except ValidationError as error:
                raise ValueError(" ".join(refusals(error).values())) from None
            if desk.put(document, "kept as option within the budget"):
                found.children = [w.HTML(show.page("<p>Kept beside the one in hand; compare them on the Brief page under Options.</p>"))]

        return parts.button(desk, "Keep it so as an option" if with_it else "Keep it as an option", kept, "The one in hand stays in hand")

    work = parts.Work(desk, "Bring it within the budget", job)
    stale = out_of_date(desk, work, found)
    return w.VBox([work.row, work.said, found])


def costing(desk: Desk) -> str:
    """Every line behind the price."""
    p = desk.derived.price
    hours = [
        (
            escape(r.work.item or "the whole job"),
            escape(r.work.time.operation),
            f"{mm(r.work.count)} x {escape(r.work.time.unit)}",
            *(f"{r.hours.at(q):.1f}" for q in (10, 50, 80, 90)),
            (
                f"{r.hours.records} own {'job' if r.hours.records == 1 else 'jobs'}"
                if r.hours.records
                else "no record yet"
            ),
        )
        for r in p.labour
    ]
    hours.append(
        (
            "the whole job",
            "drawing and meetings",
            f"{p.design_hours:.1f} x hour",
            *(f"{p.design.at(q):.1f}" for q in (10, 50, 80, 90)),
            whose_drawing(desk),
        )
    )
    hours.append(
        (
            "<b>the whole job</b>",
            "",
            "",
            *(f"<b>{p.hours_at(q):.1f}</b>" for q in (10, 50, 80, 90)),
            f"{p.own_jobs} own jobs" if p.own_jobs else "no record yet",
        )
    )
    materials = [
        (
            escape(line.what),
            f"{line.quantity:g}&nbsp;{escape(line.unit)}",  # never turned: the price beside it is for this unit
            f"{line.rate:.2f}" if line.rate is not None else '<span class="fails">no price</span>',
            f"{line.amount:.2f}",
            line.on.isoformat() if line.on else "",
            f'<span class="quiet">{escape(line.source)}</span>',
        )
        for line in (*p.materials, *p.bought_in, *p.delivery_lines)
    ]
    taken = dict(desk.derived.extra_work)
    return (
        f"<h2>Hours: {p.hours_at(50):.1f} likely, at {p.shop_rate} {escape(p.currency)} an hour</h2>"
        f"<details><summary>Each operation, and its range</summary>"
        + show.table(
            ("Piece", "Operation", "Count", "P10", "P50", "P80", "P90", "On whose word"), hours, numbers=(3, 4, 5, 6)
        )
        + '<p class="quiet">Likely hours of the operations do not add up to those of the whole: overruns are '
        "longer than savings, and one job's luck is in all of its operations.</p>"
        + f"</details><h2>Materials: {p.materials_cost} {escape(p.currency)} at cost</h2><details><summary>Each line</summary>"
        + show.table(("What", "Quantity", "Each", "Amount", "Priced on", "Source"), materials, numbers=(2, 3), sums=(2, 3))
        + "</details><p><b>Not forgotten?</b> "
        + escape("; ".join(t.operation for t in forgotten() if t.operation not in taken))
        + ". Take them in under 'Work often forgotten'."
        + (f" {escape('; '.join(desk.derived.to_settle))}: put what is bought for it under 'Bought in for this job'." if desk.derived.to_settle else "")
        + "</p>"
    )


def whose_drawing(desk: Desk) -> str:
    """On whose word the hours of drawing and meetings stand."""
    r, records = desk.commission.rates, desk.derived.price.design.records
    if records:
        return f"{records} own {'job' if records == 1 else 'jobs'}"
    if r.design_counted:
        return "counted from the piece"
    return "a start of ours" if r.design_hours == type(r).model_fields["design_hours"].default else "yours"


def examples() -> str:
    """Published examples beside what comes out here."""
    rows = [
        (
            escape(e.asks),
            f"{e.printed:f}",
            f"{e.comes_out:.{e.decimals}f}",
            show.yes(e.agrees),
            f'<span class="quiet">{escape(e.source)}</span>',
        )
        for e in EXAMPLES
    ]
    return show.table(("Published", "Printed", "Here", "Agrees", "Source"), rows, numbers=(1, 2))
