"""The sentences on the papers, made from what was derived."""

from __future__ import annotations

import math
import re
from datetime import date, timedelta
from decimal import Decimal

from studio_lib.brief.points import answered, unanswered
from studio_lib.brief.reclaimed import METAL
from studio_lib.brief.stops import is_stop
from studio_lib.brief.wishes import wish_words
from studio_lib.commission import Commission
from studio_lib.costing.operations import FITTED
from studio_lib.derive import Derived
from studio_lib.derived.fixings import FIXING_WORDS
from studio_lib.derived.names import LEAVE
from studio_lib.finding import Finding, Verdict
from studio_lib.finishing import oily_rags
from studio_lib.finishing.allergies import promised
from studio_lib.forms import form
from studio_lib.forms.beside import is_round
from studio_lib.forms.clamped import RAILING_CARRIES, STEEL
from studio_lib.forms.under_ceiling import CEILING
from studio_lib.forms.walls import PLASTER
from studio_lib.look.scenes import greying_words
from studio_lib.piece.called import is_several, said_of, the
from studio_lib.piece.order import panels
from studio_lib.piece.used import counted, several, stays, used
from studio_lib.questions import seats_someone
from studio_lib.structure.hung import hangs_at_mm
from studio_lib.structure.loads import CERTIFIES, NOT_CHECKED, serves
from studio_lib.structure.opened import FREE_IT_TIPS
from studio_lib.showing import apart
from studio_lib.units import mm, overall, size

GUIDANCE = (
    "The checks behind this paper are guidance for the maker, not certification. Furniture standards "
    "(EN 581 outdoor, EN 12521 and EN 15372 tables, EN 16139 seating) certify by test."
)
"""For drawings, whose notes have little room."""


def guidance(d: Derived) -> str:
    """Once on each paper: what was reckoned and what was not, and by what a test house would certify these pieces."""
    kinds = dict.fromkeys(serves(item.form) for item in d.commission.items)
    standards = list(dict.fromkeys(CERTIFIES[k] for k in kinds if CERTIFIES[k]))
    if d.commission.brief.children_alone:
        standards.append("what is for children alone by EN 1729 in nurseries and schools, EN 17191 at home (from memory)")
    by = f" A test house certifies by {'; '.join(standards)}." if standards else ""
    return ("Guidance for the maker, not certification: strength, sag, sway, joints and standing were reckoned under the loads of its use; "
            f"not {NOT_CHECKED}.{by}")


def money_words(amount: Decimal, currency: str) -> str:
    """An amount as a person reads it: €2,301.60, DKK 2,301.60."""
    from babel.numbers import format_currency

    return apart(format_currency(amount, currency, locale="en_GB"))


def date_words(day: date) -> str:
    """A day as a person reads it: 25 November 2026."""
    from babel.dates import format_date

    return format_date(day, "d MMMM yyyy", locale="en_GB")


def _outdoors(d: Derived) -> bool:
    return any(place.startswith("outdoors") for place in d.places)


def _finish(d: Derived) -> str:
    greys = greying_words(d) if d.commission.brief.finish == "left bare" else ""
    return d.finish_words + (f"; it {greys}" if greys else "")


SINGULAR, PLURAL = ("is", "has", "weighs", "It", "Its"), ("are", "have", "weigh", "They", "Their")
"""Words that agree with the name of a piece, as ``piece.called`` tells them apart."""


def _these(d: Derived) -> list[str]:
    said = []
    for m in d.made:
        l, w, h = overall(*m.piece.overall_mm).split(" x ")
        along, across = form(m.item.form).called
        kg = d.weights_kg.get(m.piece.name)
        is_, has_, weighs, they, their = PLURAL if is_several(m.piece.name) else SINGULAR
        weight = f" and {weighs} about {kg:.0f} kg" if kg else ""
        each = f" There are {m.item.count} of them." if m.item.count > 1 else ""
        if m.item.count > 1 and serves(m.item.form) == "screen":
            each = f" There are {m.item.count} of them, joined edge to edge to {m.item.count * m.piece.overall_mm[0]:.0f} mm."
        has = in_a_row(used(m.piece))
        fitted = stays(m.piece)
        held = f" {their} lid is held wherever it is let go, by {counted(fitted, 'stay')}." if fitted else ""
        at = hangs_at_mm(m.piece)
        hung = f" {they} {'hang' if they == 'They' else 'hangs'} on the wall, {their.lower()} lower edge {mm(round(at))} mm above the floor; things stand {_stand_at(m.piece)} mm above it." if at is not None else ""
        size = f"{is_} round, {l} mm across" if is_round(m) else f"{is_} {l} mm {along}, {w} mm {across}"
        said.append(
            f"{begins(the(m.piece.name))} {size} and {h} mm high{weight}."
            f"{f' {they} {has_} {has}.' if has else ''}{held}{hung}{each}"
        )
    return said


def begins(words: str) -> str:
    """Words at the beginning of a sentence."""
    return words[:1].upper() + words[1:]


def _stand_at(piece) -> str:
    """Heights above the floor of what things stand on in a piece that hangs: '1420, 1745 and 2070'."""
    return in_a_row([f"{z:.0f}" for z in sorted({round(m.piece_box.hi[2]) for m in piece.members if m.role in ("shelf", "top")})])


SHORT_OF = {"stub tenon": "short tenons", "let in across": "bars let into the backs of its slats"}
"""Kinds of joint whose name is shop talk to a client."""


def line_name(d: Derived, name: str) -> str:
    """A line of the price as it is printed: 'Screen', or '2 screen leaves' where several are made."""
    count = next((m.item.count for m in d.made if m.piece.name == name), 1)
    return f"{count} {several(name)}" if count > 1 else name[0].upper() + name[1:]


LET_IN = ("let in whole", "in a groove, with spacers")
"""Kinds of joint by which slats go into a frame."""


def _joints(d: Derived) -> str:
    """The kinds of joint cut most, at most three: 'joined with mortise and tenon and cross halving, '.

    Left out: what is no joint to a client, boards glued face or edge alone, rows of screws, loose panels; hinges are named
    with what hangs on them.
    """
    kinds: dict[str, int] = {}
    for p in d.pieces:
        for j in p.joints:
            if not (j.unglued or j.lets == "turn" or (j.dry and j.lies == "row")) and any(p.cuts_of(j).values()):
                kinds[j.kind] = kinds.get(j.kind, 0) + 1
    most = sorted(kinds, key=lambda k: -kinds[k])[:3]
    let = "its slats let into the frame, " if most and set(LET_IN) & set(most) else ""
    most = [SHORT_OF.get(k, k) for k in most if k not in LET_IN]
    return f"joined with {in_a_row(most)}, {let}" if most else let


def in_a_row(things) -> str:
    """'a', 'a and b', 'a, b and c'; '' for none."""
    *first, last = things or ("",)
    return f"{', '.join(first)} and {last}" if first else last


def paragraphs(d: Derived) -> list[str]:
    """What the client asked and what is offered."""
    c = d.commission
    out = []
    if c.brief.asked and not answered(c.brief):
        out.append(f"You asked: \u201c{c.brief.asked}\u201d")
    species = d.species
    timber = f"{species.name} ({species.botanical_name})" if species else "a timber still to be chosen"
    out.append(
        f"I offer it in {timber}, solid throughout, {_joints(d)}{_finish(d)}. " + " ".join(_these(d))
        + (f" {d.metal_promise}" if d.metal_promise else "")
    )
    out += [promised(c.brief.allergies)] if c.brief.allergies else []
    return out + [p for p in [c.brief.answer or _over_budget(d)] if p]


ANSWERED = {"in it": "in this price", "in part": "in part", "not in it": "not in this price", "noted": "noted"}


def points(d: Derived) -> list[tuple[str, str]]:
    """What the client asked, point by point, with the maker's answer, those last that have none yet: nobody takes them for included."""
    brief = d.commission.brief
    said = [(asked, f"{ANSWERED[how]}{f': {note}' if note else ''}") for asked, how, note in answered(brief)]
    return said + [(asked, "not settled yet") for asked in unanswered(brief)]


def _over_budget(d: Derived) -> str:
    """A sentence on a price over what the client named; empty where it is not, or not known."""
    budget, p = d.commission.brief.budget, d.price
    if budget is None or p.gross <= budget:
        return ""
    work = dict(p.drivers).get("work", 0) + dict(p.drivers).get("for what cannot be foreseen", 0)
    return (
        f"You spoke of {money_words(budget, p.currency)}. Made in this way it comes to "
        f"{money_words(p.gross, p.currency)}; about {100 * work / p.net:.0f} % of it is work. "
        + ("Its place sets its size: ask me what it would cost with fewer shelves or without doors, or left for you to finish." if d.fitted
           else "Ask me what a smaller or plainer one would cost.")
    )


def held(d: Derived) -> str:
    """The band printed across papers while a stop holds; empty when none does."""
    holding = list({s.key: s for s in d.stops if s.holds}.values())
    if not holding:
        return ""
    # What a client can answer before what the maker must mend.
    first, *others = sorted(holding, key=lambda s: s.finding.stage == "joints")
    if not others:
        return f"NOT TO BE MADE until this is answered: {first.says}"
    subjects: dict[str, list[str]] = {}
    for s in others:
        subjects.setdefault(s.finding.what, []).append(s.finding.subject)
    then = "; ".join(
        f"{what} ({names[0]}" + (f" and {len(names) - 1} more)" if names[1:] else ")") for what, names in subjects.items()
    )
    return f"NOT TO BE MADE until these {len(holding)} are answered. First: {first.says} Then: {then}."


def not_firm(d: Derived) -> str:
    """The band on a quote that must not be taken for an offer; empty when it is one."""
    return lacks_to_be_firm(d)[0]


def lacks_to_be_firm(d: Derived) -> tuple[str, str, str]:
    """Why a price is not firm, the page that mends it, and where on it; ('', '', '') for one that is."""
    band = held(d)
    if band:
        return f"{band} This is not a firm price.", "brief", "Stops"
    if not d.offered:
        return "This is not a firm price: no boards have been seen yet; timber is in it by volume only.", "boards", "Boards seen"
    if d.layout.missing:
        lost = ", ".join(f"{n} of {ref}" for ref, n in d.layout.missing.items())
        return f"This is not a firm price: the boards seen do not hold {lost}.", "boards", "Boards seen"
    if not d.price.shop_rate:
        return "This is not a firm price: an hour is reckoned at 0. Give what you live on in a year.", "price", "What your hour must bring"
    if d.price.unpriced:
        first, *more = d.price.unpriced
        boards = any(line.rate is None and line.kind == "timber" for line in d.price.materials)
        says = (
            f"This is not a firm price: {first}{f' and {len(more)} more' if more else ''} "
            f"{'have' if more else 'has'} no price yet, and what has no price is not free."
        )
        return (says, "boards", "Boards seen") if boards else (says, "price", "Your own prices")
    return "", "", ""


UNSAID = (
    "What goes in", "Timber you like", "Timber you do not want", "Walls and floor", "Near the sea", "Your own timber", "Wind", "Allergies", "Rough sizes wished for",
)
"""Rows left out of what was heard when there is nothing to say; all others say that they are open."""


METAL_WORDS = {"": "", "may be seen": "metal may show", "no screws to be seen": "no screws to be seen, hinges may show", "none to be seen": "no metal to be seen", "none at all": "no metal in it at all"}


def _to_measure(opening) -> str:
    missing = opening.measured().missing
    return f"; still to be measured: {', '.join(missing)}" if missing else ""


def _placed(item) -> str:
    """What the maker said of a table, and of where a piece stands, after its name."""
    said = [*["not sat at"] * (item.table == "low"), *["to eat at"] * (item.table == "eaten at"), *["to write at"] * (item.table == "written at"), *[item.stands] * bool(item.stands), *[item.place] * bool(item.place)]
    return f" ({', '.join(said)})" if said else ""


def drawn_plain(d: Derived) -> str:
    """That the railing or the walls in a picture are not the client's own, a sentence with a space before it; '' where none are drawn."""
    parts = [part for p in d.pieces for part in p.held_on]
    walls, over = ((PLASTER in {part.material for part in parts if (part.name == CEILING) == ceiling}) for ceiling in (False, True))
    drawn = ["The railing and the steel uprights"] * any(part.material == STEEL for part in parts)
    alcove = any("alcove" in part.name for part in parts)
    drawn += ["The ceiling and the wall" if walls else "The ceiling"] if over else ["The walls of the alcove" if alcove else "The wall"] * walls
    return "".join(f" {what} {'is drawn plain, not as it is' if what in ('The ceiling', 'The wall') else 'are drawn plain, not as they are'}." for what in drawn)


def _wheelchair_words(b) -> str:
    """'; a wheelchair pulls up at one end, 700 mm high under it for knees and arms'."""
    where = {"end": " at one end", "side": " at one side"}.get(b.wheelchair_at, "")
    return f"; a wheelchair pulls up{where}" + (f", {mm(b.wheelchair_knees_mm)} mm clear for knees and arms" if b.wheelchair_knees_mm else "")


def heard(d: Derived) -> list[tuple[str, str]]:
    """What was understood, question by question, as a client reads it."""
    c, b = d.commission, d.commission.brief
    yes_no = {True: "yes", False: "no", None: "not asked yet"}
    most = ((b.most_length_mm, "no longer"), (b.most_width_mm, "no deeper"), (b.most_height_mm, "no higher"))
    rows = [
        ("Piece", ", ".join(f"{i.count} {i.name}{_placed(i)}" for i in c.items)),
        ("Who decides", b.decides),
        ("Who uses it", (f"{b.people} at once, " if seats_someone(c) else "") + b.use + ("; children alone" if b.children_alone else "; children" if d.children else "")
         + (_wheelchair_words(b) if b.wheelchair else "") + ("; someone frail" if b.frail else "") + ("; someone broad or heavy" if b.large else "")
         + (f"; the tallest {mm(b.tallest_person_mm)} mm" if b.tallest_person_mm else "")
         + (f"; the heaviest {b.heaviest_kg:g} kg" if b.heaviest_kg else "")),
        ("Where", f"{b.place}; {b.climate_words}" + (f"; {b.ground}" if b.ground else "") + ("; what lies under its feet is yours to see to" if d.under_feet and not d.maker_lays else "") + (f"; {b.sun_side}" if b.sun_side else "")
         + ("; nothing may be drilled there" if b.nothing_drilled else "")
         + (f"; a railing whose top rail is {mm(b.railing_mm)} mm above the floor" if b.railing_mm else "")),
        ("Near the sea", yes_no[b.by_the_sea] if _outdoors(d) else ""),
        ("Wind", "" if not _outdoors(d) else f"gusts of {b.wind_m_s:g} m/s" if b.wind_m_s else b.wind),
        ("It carries", b.carries),
        ("What goes in", ", ".join(filter(None, (
            f"{b.how_many} of them" if b.how_many else "", *(f"{mm(v)} mm {w}" for v, w in ((b.tallest_mm, "high"), (b.deepest_mm, "deep"), (b.thick_mm, "thick")) if v),
        )))),
        ("Rough sizes wished for", "; ".join(wish_words(w) for w in b.wishes or ())),
        ("To last", f"{b.years_wanted} years" + ("" if b.years_asked else ", taken until you say for how many")),
        ("Look", "; ".join(filter(None, [
            f"{b.wants.tone} wood" if b.wants.tone != "any" else "", b.heft, _finish(d), b.sheen, "with little smell" if b.little_smell else "",
            "it is to keep its colour" if b.wants.keeps_colour else "it may go grey" if b.wants.may_go_grey else "it should keep its colour",
            METAL_WORDS[b.metal],
        ]))),
        ("Timber you like", ", ".join((*b.wants.liked, *(f"{name}, as you said '{word}'" for name, word in d.timbers_asked.items()),
                                        *["from around here"] * d.local_wished))),
        ("Timber you do not want", ", ".join((*b.wants.unwanted, *["nothing tropical"] * b.wants.no_tropical,
                                             *["none that is listed or endangered"] * b.wants.none_listed))),
        ("Allergies", ", ".join(b.allergies)),
        ("Care you will give", b.care_done),
        ("Room", f"{mm(b.space_length_mm)} x {mm(b.space_width_mm)} mm" if b.space_length_mm and b.space_width_mm else ""),
        ("Walls and floor", "; ".join(filter(None, (
            f"skirting board {mm(b.skirting_high_mm)} x {mm(b.skirting_deep_mm)} mm" if b.skirting_high_mm and b.skirting_deep_mm else "",
            f"walls {mm(b.out_of_plumb_mm)} mm out of plumb over 2 m" if b.out_of_plumb_mm else "",
            f"floor or ground falls {mm(b.floor_falls_mm)} mm over 2 m" + (f", met by {b.fall_met}" if b.fall_met else "") if b.floor_falls_mm else "",
        )))),
        ("Size at the most", ", ".join(f"{words} than {mm(x)} mm" for x, words in most if x)),
        ("Way in", ", ".join(f"{o.name} ({o.kind}{_to_measure(o)})" for o in b.openings)),
        ("Who could forbid it", b.may_forbid),
        ("Your own timber", theirs_heard(c)),
        ("Budget", money_words(b.budget, c.rates.currency) + ", tax included" if b.budget is not None else ""),
        ("Wanted by", date_words(b.wanted_by) if b.wanted_by else ""),
    ]
    return [(name, text or "not said yet") for name, text in rows if text or name not in UNSAID]


COATS = {"bare": "nothing ever put on it", "paint or varnish": "old paint or varnish on it", "preservative": "treated with preservative"}
METALS_IN_IT = {"none found": "no metal found in it", "found": "nails or metal in it"}


def theirs_heard(c: Commission) -> str:
    """What the client said of the timber they bring; '' where they bring none."""
    b = c.brief
    if not b.brings_timber:
        return ""
    lot = b.their_timber
    boards = [f"{x.count or 1} {'board' if x.count == 1 else 'boards'} of {x.timber or 'a timber not known yet'}, about "
              f"{size(x.length_mm, x.width_mm, x.thickness_mm)} mm" for x in c.theirs]
    said = [*boards, lot.been, lot.story, METALS_IN_IT.get(lot.metal, ""), COATS.get(lot.coat, ""),
            f"{lot.moisture_pct:g} % by the meter" if lot.moisture_pct else ""]
    return "; ".join(x for x in said if x) or "yes"


def their_timber_words(d: Derived) -> str:
    """What the client's boards make, what is bought beside them, and that the rest is theirs; '' where they bring none."""
    share = d.their_share
    if share is None:
        return ""
    return d.share_words("your", "you") if share.used else f"None of your {share.boards} boards is used. {share.goes_back('you')}"


def ballpark_words(d: Derived) -> str:
    """A first range, never one figure."""
    park = d.ballpark
    if park is None:
        return ""
    low, _, high = park.gross
    ways = "; ".join(f"{c.way} ({c.how}) saves about {money_words(c.saves, park.currency)}" for c in park.cheaper)
    return (
        f"{money_words(low, park.currency)} to {money_words(high, park.currency)}; a quote would be about "
        f"{money_words(park.gross_safe, park.currency)}, tax included. This is a first range from the brief, not an offer. "
        f"What would make it cheaper: {ways}."
    )


def in_the_way(d: Derived, day: date) -> list[str]:
    """What the client must answer before it can be made; joints, and nails in old boards, are the maker's own matter."""
    said = [s.says for s in d.stops if s.holds and s.finding.stage != "joints"]
    try:
        when_wanted = d.date_finding(day)
    except ValueError as error:
        return said + [str(error)]
    found = [f for f in (*d.brief_findings, when_wanted) if f is not None and not f.stands and not is_stop(f) and f.what != METAL]
    return said + [f"{f.subject}, {f.what}: {f.says.rstrip('.')}. {f.mend}" for f in found]


def payments(d: Derived) -> list[tuple[str, str]]:
    """What is paid on which event; the amounts make the whole."""
    from studio_lib.costing.billing import payments as parts

    p = d.price
    due = parts(p.gross, d.commission.rates)
    return [(event[0].upper() + event[1:], money_words(amount, p.currency)) for event, amount in due]


def options(d: Derived) -> list[tuple[str, str]]:
    """Each other option that the client may see, with what it would cost more or less, tax included."""
    from studio_lib.derive import derive

    c, out = d.commission, []
    for o in c.options:
        if o.name == c.chosen or not o.to_client:
            continue
        called = o.name
        try:
            other = derive(c.choosing(o.name), d.known)
            called = _option_words(o, other.made)
            reason = not_firm(other)
            change = other.price.gross - d.price.gross
        except (ValueError, LookupError) as error:
            reason = str(error.args[0] if error.args else error)
        if reason:
            said = "I price it when you ask for it"
        elif change:
            said = money_words(abs(change), c.rates.currency) + (" more" if change > 0 else " less")
        else:
            said = "no difference"
        out.append((called, said))
    return out


def _option_words(o, made) -> str:
    """'shorter: terrace table 1800 x 920 x 740 mm in Black locust'."""
    pieces = ", ".join(
        (f"{m.item.count} " if m.item.count > 1 else "") + f"{m.item.name} {overall(*m.piece.overall_mm)} mm"
        for m in made if m.piece.members
    )
    return f"{o.name}: {pieces}" + (f" in {o.timber.species}" if o.timber.species else "")


def tax_words(p) -> str:
    """'VAT 20 %'."""
    return f"{p.tax_name} {p.tax_rate * 100:.1f} %".replace(".0 %", " %")


def _days_from_order(d: Derived, day: date) -> tuple[int, int]:
    _, least, most = zip(*d.days_from_order(day))
    return math.ceil(sum(least)), math.ceil(sum(most))


def weeks(d: Derived, day: date) -> tuple[int, int]:
    """From an order of that day to delivery, likely and safe: queue, boards, work, glue and finish. [weeks]"""
    likely, safe = _days_from_order(d, day)
    return math.ceil(likely / 7), math.ceil(safe / 7)


SOON_DAYS = 14
"""A last day to order that lies no further off is said before a quote goes out; judgement of ours."""


def _holds_until(d: Derived, day: date) -> date:
    return day + timedelta(days=d.commission.rates.valid_days)


def order_soon(d: Derived, day: date) -> str:
    """That a quote of that day must be answered soon, or too late already, for the date wanted; '' where there is time enough."""
    last, until = d.last_day_to_order, _holds_until(d, day)
    if d.commission.brief.wanted_by is None:
        return ""
    if last is None:
        return "No order is safely ready by the date wanted, as your calendar stands (Workshop): begin earlier, or agree a later day."
    if last >= until and last > day + timedelta(days=SOON_DAYS):
        return ""
    wanted = date_words(d.commission.brief.wanted_by)
    if last < day and (found := d.date_finding(day)) is not None and found.verdict is Verdict.LOOK_AGAIN:
        return (f"It is ready by {wanted} if all goes well and not safely: {found.says}. To promise it, the last day to order was {date_words(last)}. "
                f"{found.mend}")
    if last < day:
        return f"It is too late to promise {wanted}: the last day to order was {date_words(last)}. Agree a later day with the client."
    n = (last - day).days
    left = "today" if n == 0 else "tomorrow" if n == 1 else f"in {n} days"
    return (
        f"The last day to order, to have it by {wanted}, is {date_words(last)}, {left}"
        + (f", and the price holds until {date_words(until)}" if last < until else "")
        + ": tell the client, or agree a later day."
    )


def when(d: Derived, day: date) -> str:
    """How long it takes from the order, and the last day to order for the date wanted."""
    def span(*steps):
        least, most = (round(sum(s[i] for s in steps)) for i in (1, 2))
        return f"{least}" if least == most else f"{least} to {most}"

    before, air, rest, work, glue, finish = d.days_from_order(day)
    turn = round(before[1] / 7)
    to_buy = f"{span(before)} days to buy the boards" if d.timber_days else "no boards to buy"
    wait = f"{turn} weeks until its turn" if before[1] > d.timber_days and turn > 1 else to_buy
    likely, safe = weeks(d, day)
    text = (
        (f"{likely} to {safe}" if safe > likely else f"About {safe}")
        + f" weeks from your order to delivery: {wait}, {span(air, rest)} days for the boards to settle in the "
        f"workshop and to rest after rough cutting, {span(work)} days of making, {span(glue, finish)} days for glue"
        + (" and finish to dry." if finish[2] else " to dry.")
    )
    wanted = d.commission.brief.wanted_by
    if wanted:
        least, most = (timedelta(days=n) for n in _days_from_order(d, day))
        text += f" You would like it by {date_words(wanted)}"
        last = d.last_day_to_order
        if last is not None and day <= last:
            return text + f". The last day to order for that is {date_words(last)}."
        text += (
            ": that is met only if nothing is delayed, so I cannot promise it." if day + least <= wanted
            else ": that date cannot be met."
        )
        text += f" Ordered on {date_words(day)}, it is ready by {date_words(day + most)}."
    return text


SEASONS = {
    "indoors, heated": "Slats shrink in the heating season and swell in the damp season",
    "indoors, unheated": "Slats shrink in the dry season and swell in the damp season",
}


def may_differ(d: Derived) -> list[str]:
    """What a client should expect of wood, for this timber in this place."""
    out = [
        "Grain and colour differ from board to board; the picture shows the design, not the boards.",
    ]
    if d.commission.brief.brings_timber and d.commission.brief.their_timber.is_reclaimed:
        out.append("Your old boards keep their marks: nail holes, dark stains round them, colour of their years. One that turns out rotten or full of metal is "
                   "replaced by a bought one at its cost, after I have asked you.")
    if d.species is not None:
        stand = [
            f"on {the(name)} the gaps stand between {mm(wet)} and {mm(dry)} mm"
            for name, (wet, _, dry) in d.slat_gaps.items()
        ]
        if stand:
            season = SEASONS.get(d.hardest.place, "Slats swell and shrink with the weather")
            out.append(f"{season}: over a year {', '.join(stand)}.")
        out += comes_and_goes(d)
        if _outdoors(d):
            out.append(
                f"Outdoors the surface {greying_words(d)}. It opens fine checks, first at the ends. That is the "
                "wood's own way and no fault; a joint that opens is, and I will mend it."
            )
        if d.species.tannin != "none" and _outdoors(d):
            out.append(
                "In the first wet months brown water can run from the timber and mark light paving; "
                "it stops by itself."
                + (" You asked that nothing be stained: before the order we agree in writing how that is kept." if d.stain_findings else "")
            )
        out += lasts(d)
    return out


TELLS_FROM_MM = 2.0
"""A panel that moves less over a year is not spoken of; judgement of ours."""


def comes_and_goes(d: Derived) -> list[str]:
    """How much the widest boards glued to a panel move across their grain over the year, a sentence; [] where it is little or not known."""
    if d.movement_unknown:
        return []
    m, said = d.moisture, []
    for p in d.pieces:
        glued = [refs for refs in set(panels(p).values()) if len(refs) > 1]
        if not glued:
            continue
        widest = max(glued, key=lambda refs: (sum(p.member(r).width_mm for r in refs), refs))
        wide = sum(p.member(r).width_mm for r in widest)
        by = d.movement_mm(wide, m.high_pct) - d.movement_mm(wide, m.low_pct)
        if by >= TELLS_FROM_MM:
            said.append(f"the {re.sub(r',? board [0-9]+$', '', p.member(widest[0]).name)} of the {p.name}, {wide:.0f} mm across its grain, by about {by:.0f} mm")
    if not said:
        return []
    return [f"Wide boards come and go with the seasons: {in_a_row(said)}. It is made to let that happen. Reckoned with wood of {m.low_pct:g} to "
            f"{m.high_pct:g} % moisture over the year; drier air than that may open cracks."]


def lasts(d: Derived) -> list[str]:
    """One sentence on how long it lasts: the years where the client asked for some, what is published, and on what conditions.

    [] where nothing hangs on it. Where no care will be given the figures are told of as those of wood that is looked after,
    and nothing is promised.
    """
    b, life = d.commission.brief, d.life
    years, uncared = b.years_wanted, b.care_done == "none"
    if life is None:
        if b.wetted or not b.years_asked:
            return []
        return [f"You asked for {years} years: indoors and dry no timber rots, so they hang on wear, knocks and joints, which can be mended."]
    name, low, high = d.species.name, life.years_low, life.years_high
    by = "as far as is known, by a class of durability that is still to be confirmed," if "durability_en350" in d.species.from_memory else "by published figures"
    if low is None:
        known = f"no published figure gives the years of {name}, so I promise none"
    elif high is not None and years > high and b.years_asked:
        known = f"{by} {name} lasts {high:g} at the most where it stands"
    elif high is not None and not (b.years_asked and years <= low):
        known = f"{by} {name} lasts {low:g} to {high:g}{'' if b.years_asked else ' years'} where it stands"
        known += "" if uncared or not b.years_asked else ", so they may be reached and are no promise"
    elif b.years_asked and years <= low:
        known = f"{by} {name} resists decay at least {low:g}"
    else:
        least = f"{low:g}" + ("" if b.years_asked else " years")
        known = (f"{by} {name} resists decay at least {least}" if low else f"no published figure gives a least for {name}") + (
            "; nobody has published more for such a place, so I promise no number beyond that")
    known = known.replace(", so I promise no number beyond that", "") if uncared else known
    asked = f"You asked for {years} years: {known}." if b.years_asked else f"How long it lasts: {known}."
    kept = "kept so that water runs off it and its feet stand dry, looked at once a year and its end grain sealed again where it has opened"
    if not uncared:
        return [f"{asked} That is said of heartwood, {kept}."]
    return [f"{asked} That is said of heartwood that is looked after: {kept}. You told me that no care will be given, so count on less, and I promise no number."]


def terms(d: Derived, day: date) -> list[str]:
    """How long the price holds, how changes are made, what tolerance is meant."""
    r = d.commission.rates
    until, last = _holds_until(d, day), d.last_day_to_order
    out = [f"This price holds until {date_words(until)}."]
    if last is not None and day <= last < until:
        out[0] += (
            f" Only when ordered by {date_words(last)} is it ready by {date_words(d.commission.brief.wanted_by)}; ordered later, its day is "
            "agreed anew."
        )
    elif last is not None and until < last:
        out[0] += f" Ordered later, by {date_words(last)} at the latest to be ready in time, the price is looked at anew."
    if d.commission.boards.priced_on:
        out[0] += f" The timber was priced on {date_words(d.commission.boards.priced_on)}."
    if not d.price.tax_rate:
        # Where the law leaves it to the buyer, or to each state, the price says only that it is not in it.
        out.append("Sales tax is not included." if d.price.tax_name == "sales tax" else f"No {d.price.tax_name or 'tax'} is charged.")
    agreed = [f"On this condition{_of_what(d, s.finding)}: {s.accepted.condition.strip().rstrip('.')}." for s in d.stops if s.accepted and s.accepted.condition]
    agreed += [f"On this condition: {the(name)} {said_of(name, 'stands', 'stand')} {d.at_wall_words(name)}; {FREE_IT_TIPS}." for name in d.backed_by_wall]
    agreed += [f"Take care with {the(name)}: {FREE_IT_TIPS}. Stood with its back to a wall it does not." for name in d.tips_if_leant_on]
    agreed += [f"On this condition: {the(m.piece.name)} {said_of(m.piece.name, 'is', 'are')} {says.partition(':')[0]}; what each fixing must hold stands on the installation note."
               for i, m in enumerate(d.made) if (says := d.fixing_of(i)) and not (d.maker_fixes_screens and d.fixings_of_screen(m))]
    agreed += [] if d.maker_lays else [f"On this condition: before it is delivered there lie, level with one another, {words}." for words in d.laid_words]
    agreed += [f"On this condition: the railing may carry the {f.piece}, on the word of its owner and an engineer: {f.says}. Nothing is drilled into it."
               for f in d.size_findings if f.what == RAILING_CARRIES]
    return out + list(dict.fromkeys(agreed)) + [
        "A change to size, timber or joints is written down with its price and its days before it is made.",
        f"Sizes are to within {'1/16 in' if d.commission.shown.inches else '2 mm'} when made; wood moves after that.",
        *(line.strip() for line in r.terms.splitlines() if line.strip()),
        "Your rights under the law of your country are not touched by any of this.",
    ]


def _of_what(d: Derived, found: Finding) -> str:
    """What an accepted stop is about, as a client reads it: ', because it stands by a fire', ', for the bench' where there are several pieces."""
    if found.what == LEAVE:
        return f", because {found.says.partition(':')[0]}"
    return f", for the {found.piece}" if len(d.made) > 1 and found.piece else ""


def included(d: Derived) -> list[str]:
    """What the price covers."""
    rates = d.commission.rates
    out = ["drawing, timber and making" if d.their_share is None or not d.their_share.used else "drawing, making, and timber as far as it is not yours"]
    if FITTED in dict(d.extra_work):
        out.append("scribing to walls and ceiling where it stands")
    out += [f"your own timber: {words[0].lower()}{words[1:]}" for words in [their_timber_words(d)] if words]
    if rates.delivery_km:
        out.append(f"delivery, {rates.delivery_km:g} km there and back, and setting in place")
    if d.maker_fixes and d.at_the_wall:
        out.append(f"fixing {_the(m.piece.name for m in d.at_the_wall if not m.brief.nothing_drilled)} to the wall, with the fixings")
    if d.maker_fixes_screens:
        out += [f"fixing the {m.piece.name} {form(m.item.form).fixed(m.sizes)}, with {said_of(m.piece.name, 'its', 'their')} shoes and brackets" for m in d.made if d.fixings_of_screen(m)]
    if d.maker_lays:
        out += d.laid_words
    out += [b.what for b in rates.bought_in]
    return out


def _the(names) -> str:
    """'the bookcase and the cabinet'."""
    return in_a_row([the(name) for name in names])


EXCLUDED = (
    "work on the ground or walls it stands on",
    "fixing it down or anchoring it",
    "carrying over stairs that were not seen",
)


def excluded(d: Derived) -> list[str]:
    """What the price does not cover; a fixed screen's fixings by name, unless they were bought in, and what is fixed to the wall by others."""
    fixed = [(m.piece.name, form(m.item.form).fixed(m.sizes)) for m in d.made]
    own = {m.piece.name for m in d.made if d.maker_fixes_screens and d.fixings_of_screen(m)}
    uprights = {m.piece.name: words for i, m in enumerate(d.made) if (words := d.uprights_of(i))}
    laid = [] if d.maker_lays else [f"{words}, their tops level before the day: you see to them, for without them the feet sink and stay wet" for words in d.laid_words]
    ground, other, unseen = EXCLUDED
    stairs = [] if any(o.kind == "stair" for o in d.commission.brief.openings) else [unseen]
    ground = f"other {ground}" if d.maker_fixes or d.maker_fixes_screens or d.maker_lays else ground
    stairs += [] if d.commission.rates.delivery_km else ["delivery and carrying it to its place: it is fetched from the workshop, or we agree on it"]
    if not any(how for _, how in fixed) and not d.at_the_wall:
        return [ground, *laid, other, *stairs]
    out = [ground, *laid, *_left_at_walls(d)]
    if not d.bought(FIXING_WORDS):
        out += [f"{words} for the {name}, and clamping them to the railing: {said_of(name, 'its', 'their')} safe standing rests on them, see the terms" for name, words in uprights.items()]
        out += [f"fixings for the {name} and fitting them{'' if how == 'not named' else f' {how}'}: {said_of(name, 'its', 'their')} safe standing rests on them, see the terms"
                for name, how in fixed if how and name not in uprights and name not in own]
    if not all(how or m in d.at_the_wall for m, (_, how) in zip(d.made, fixed)):
        out.append("fixing down or anchoring anything else")
    return [*out, *stairs]


def _left_at_walls(d: Derived) -> list[str]:
    """What must be fixed to the wall and the maker does not fix in this price, and who sees to it."""
    undrilled = [m.piece.name for m in d.at_the_wall if m.brief.nothing_drilled]
    others = [] if d.maker_fixes else [m.piece.name for m in d.at_the_wall if not m.brief.nothing_drilled]
    out = [f"fixing {_the(others)} to the wall: you have it done before it is used, as the installation note says"] if others else []
    return out + ([f"holding {_the(undrilled)} at the wall: nothing may be drilled there, so how it is held is agreed before the order"] if undrilled else [])


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
    if oily_rags(d.finish_family):
        out.append(
            "Oily rags catch fire by themselves: lay them out singly outdoors until hard, or soak them in "
            "water and close them in a metal tin."
        )
    heavy = [f"{n} {kg:.0f} kg" for n, kg in d.weights_kg.items() if kg > 25]
    if heavy:
        out.append(f"Heavy: {', '.join(heavy)}. Plan the lift and the people.")
    return out
