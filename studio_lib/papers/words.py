"""The sentences on the papers, made from what was derived."""

from __future__ import annotations

import math
from datetime import date, timedelta
from decimal import Decimal

from studio_lib.derive import Derived
from studio_lib.units import mm

GUIDANCE = (
    "The checks behind this paper are guidance for the maker, not certification. Furniture standards "
    "(EN 581 outdoor, EN 12521 and EN 15372 tables, EN 16139 seating) certify by test."
)
FINISH_WORDS = {
    "left bare": "no finish; it will go silver grey outdoors",
    "oil": "oiled, three coats",
    "hard-wax oil": "hard-wax oil, two coats",
}


def money_words(amount: Decimal, currency: str) -> str:
    """An amount as a person reads it: €2,301.60."""
    from babel.numbers import format_currency

    return format_currency(amount, currency, locale="en_GB")


def date_words(day: date) -> str:
    """A day as a person reads it: 25 November 2026."""
    from babel.dates import format_date

    return format_date(day, "d MMMM yyyy", locale="en_GB")


def _these(d: Derived) -> list[str]:
    said = []
    for m in d.made:
        l, w, h = m.piece.overall_mm
        kg = d.weights_kg.get(m.piece.name)
        weight = f" and weighs about {kg:.0f} kg" if kg else ""
        each = f" There are {m.item.count} of them." if m.item.count > 1 else ""
        said.append(
            f"The {m.piece.name} is {mm(l)} mm long, {mm(w)} mm wide and {mm(h)} mm high{weight}.{each}"
        )
    return said


def paragraphs(d: Derived) -> list[str]:
    """What the client asked and what is offered."""
    c = d.commission
    out = []
    if c.brief.asked:
        out.append(f"You asked: \u201c{c.brief.asked}\u201d")
    species = d.species
    timber = f"{species.name} ({species.botanical_name})" if species else "a timber still to be chosen"
    out.append(
        f"I offer it in {timber}, solid throughout, with mortise and tenon joints, "
        f"{FINISH_WORDS[c.brief.finish]}. " + " ".join(_these(d))
    )
    return out


def held(d: Derived) -> str:
    """The band printed across papers while a stop holds; empty when none does."""
    holding = [s for s in d.stops if s.holds]
    if not holding:
        return ""
    more = f" (and {len(holding) - 1} more)" if len(holding) > 1 else ""
    return f"NOT TO BE MADE until this is answered: {holding[0].says}{more}"


def not_firm(d: Derived) -> str:
    """The band on a quote that must not be taken for an offer; empty when it is one."""
    band = held(d)
    if band:
        return f"{band} This is not a firm price."
    if not d.offered:
        return "This is not a firm price: no boards have been seen yet, and timber is not in it."
    if d.layout.missing:
        lost = ", ".join(f"{n} of {ref}" for ref, n in d.layout.missing.items())
        return f"This is not a firm price: the boards seen do not hold {lost}."
    return ""


def heard(d: Derived) -> list[tuple[str, str]]:
    """What was understood, question by question, as a client reads it."""
    c, b = d.commission, d.commission.brief
    yes_no = {True: "yes", False: "no", None: "not asked yet"}
    rows = [
        ("Piece", ", ".join(f"{i.count} {i.name}" for i in c.items)),
        ("Who decides", b.decides),
        ("Who uses it", f"{b.people} at once, {b.use}" + ("; children" if d.children else "")
         + ("; a wheelchair pulls up" if b.wheelchair else "") + ("; someone frail" if b.frail else "")),
        ("Where", f"{b.place}; {b.climate}" + (f"; {b.ground}" if b.ground else "") + (f"; {b.sun_side}" if b.sun_side else "")),
        ("Near the sea", yes_no[b.by_the_sea] if b.place.startswith("outdoors") else ""),
        ("It carries", b.carries),
        ("To last", f"{b.years_wanted} years"),
        ("Look", "; ".join(filter(None, [
            f"{b.wants.tone} wood" if b.wants.tone != "any" else "", b.heft, FINISH_WORDS[b.finish],
            "it may go grey" if b.wants.may_go_grey else "it should keep its colour",
        ]))),
        ("Care you will give", b.care_done),
        ("Room", f"{mm(b.space_length_mm)} x {mm(b.space_width_mm)} mm" if b.space_length_mm and b.space_width_mm else ""),
        ("Way in", ", ".join(f"{o.name} ({o.kind})" for o in b.openings)),
        ("Who could forbid it", b.may_forbid),
        ("Your own timber", b.their_timber.story or "yes" if b.brings_timber else ""),
        ("Budget", money_words(b.budget, c.rates.currency) + ", tax included" if b.budget is not None else ""),
        ("Wanted by", date_words(b.wanted_by) if b.wanted_by else ""),
    ]
    return [(name, text or "not said yet") for name, text in rows if text or name not in ("Near the sea", "Your own timber")]


def ballpark_words(d: Derived) -> str:
    """A first range, never one figure."""
    park = d.ballpark
    if park is None:
        return ""
    low, likely, high = park.gross
    ways = "; ".join(f"{c.way} ({c.how}) saves about {money_words(c.saves, park.currency)}" for c in park.cheaper)
    return (
        f"{money_words(low, park.currency)} to {money_words(high, park.currency)}, most likely about "
        f"{money_words(likely, park.currency)}, tax included. This is a first range from the brief, not an offer. "
        f"What would make it cheaper: {ways}."
    )


def in_the_way(d: Derived, day: date) -> list[str]:
    """What must be answered before it can be made."""
    said = [s.says for s in d.stops if s.holds]
    try:
        when_wanted = d.date_finding(day)
    except ValueError as error:
        return said + [str(error)]
    found = [f for f in (*d.brief_findings, when_wanted) if f is not None and not f.stands]
    return said + [f"{f.subject}, {f.what}: {f.says.rstrip('.')}. {f.mend}" for f in found]


def payment(d: Derived) -> str:
    """What is paid with the order and what before delivery; the two make the whole."""
    p, share = d.price, Decimal(str(d.commission.rates.deposit_share))
    first = (p.gross * share).quantize(Decimal("0.01"))
    return (
        f"{money_words(first, p.currency)} with the order, which pays for timber and drawing; "
        f"{money_words(p.gross - first, p.currency)} before delivery."
    )


def weeks(d: Derived) -> tuple[int, int]:
    """From order to delivery, likely and safe, in weeks: timber at rest, then the work."""
    r = d.commission.rates
    a_week = r.hours_per_week * r.billable_share
    return tuple(2 + math.ceil(float(d.price.hours_at(p)) / a_week) for p in (50, 80))


def when(d: Derived, day: date) -> str:
    """How long it takes from the order, and the last day to order for the date wanted."""
    likely, safe = weeks(d)
    text = (
        f"{likely} to {safe} weeks from your order: two weeks for the boards to settle in the workshop, "
        "then the making."
        if safe > likely
        else f"About {safe} weeks from your order: two weeks for the boards to settle in the workshop, "
        "then the making."
    )
    wanted = d.commission.brief.wanted_by
    if wanted:
        latest = wanted - timedelta(weeks=safe)
        text += f" You would like it by {date_words(wanted)}; "
        text += (
            f"an order by {date_words(latest)} allows for that." if latest >= day
            else "that date can no longer be promised."
        )
    return text


def may_differ(d: Derived) -> list[str]:
    """What a client should expect of wood, for this timber in this place."""
    out = [
        "Grain and colour differ from board to board; the picture shows the design, not the boards.",
    ]
    if d.species is not None:
        stand = [
            f"on the {name} the gaps stand between {mm(wet)} and {mm(dry)} mm"
            for name, (wet, _, dry) in d.slat_gaps.items()
        ]
        if stand:
            out.append(f"Slats swell and shrink with the weather: over a year {', '.join(stand)}.")
        if d.commission.brief.place.startswith("outdoors"):
            out.append(
                "Outdoors the surface goes grey within about a year and opens fine checks, first at the "
                "ends. That is the wood's own way and no fault; a joint that opens is, and I will mend it."
            )
        if d.species.tannin != "none":
            out.append(
                "In the first wet months brown water can run from the timber and mark light paving; "
                "it stops by itself."
            )
    return out


def terms(d: Derived, day: date) -> list[str]:
    """How long the price holds, how changes are made, what tolerance is meant."""
    r = d.commission.rates
    until = day + timedelta(days=r.valid_days)
    out = [f"This price holds until {date_words(until)}."]
    if d.commission.boards.priced_on:
        out[0] += f" The timber was priced on {date_words(d.commission.boards.priced_on)}."
    return out + [
        "A change to size, timber or joints is written down with its price and its days before it is made.",
        "Sizes are to within 2 mm when made; wood moves after that.",
        "Your rights under the law of your country are not touched by any of this.",
    ]


def included(d: Derived) -> list[str]:
    """What the price covers."""
    rates = d.commission.rates
    out = ["drawing, timber, making, and a care sheet"]
    if rates.delivery_km:
        out.append(f"delivery over {rates.delivery_km:g} km and setting in place")
    return out


EXCLUDED = (
    "work on the ground or walls it stands on",
    "fixing down, and anchors against wind or theft",
    "carrying over stairs that were not seen",
)

WORKSHOP_CAUTIONS = (
    "Guards, riving knife and push-stick at the saw; pieces shorter than 300 mm are machined long and cut after.",
    "Extraction on at every cut and when sanding; a mask to P3 with this dust; no dry sweeping. Local limits apply.",
)


def cautions(d: Derived) -> list[str]:
    """The cautions that belong to this timber and this finish."""
    out = list(WORKSHOP_CAUTIONS)
    if d.species is not None and d.species.dust_caution:
        out.append(
            f"Dust of {d.species.name}: {d.species.dust_caution}. Stop and see a doctor on rash or wheeze."
        )
    if d.commission.brief.finish != "left bare":
        out.append(
            "Oily rags catch fire by themselves: lay them out singly outdoors until hard, or soak them in "
            "water and close them in a metal tin."
        )
    heavy = [f"{n} {kg:.0f} kg" for n, kg in d.weights_kg.items() if kg > 25]
    if heavy:
        out.append(f"Heavy: {', '.join(heavy)}. Plan the lift and the people.")
    return out
