"""Each page's closing summary: a few plain lines that a maker would read out."""

from __future__ import annotations

from studio_lib.derive import Derived
from studio_lib.finding import Finding, Verdict, worst_first
from studio_lib.questions import open_questions, seats_someone
from studio_lib.people.users import people_words
from studio_lib.units import mm, overall, size


def book(entries, in_hand: str) -> list[str]:
    """How many jobs there are in which state, and what waits on whom; entries as ``jobbook.Book.commissions`` gives them."""
    states = dict.fromkeys(e.state for e in entries)
    counted = ", ".join(f"{sum(e.state == s for e in entries)} {s}" for s in states)
    lines = [f"Commissions in the book: {len(entries)}{f' ({counted})' if counted else ''}."]
    for e in entries:
        if e.ref == in_hand:
            lines.append(f"In hand: {e.ref} {e.title}, {e.state}.")
    waiting = [e for e in entries if e.waits_for]
    lines += [f"{e.ref} waits on {e.waits_on or 'nobody named'}: {e.waits_for}." for e in waiting[:8]]
    return lines if len(waiting) <= 8 else [*lines, f"And {len(waiting) - 8} more wait."]


def brief(d: Derived) -> list[str]:
    """Who asks for what, where it stands, and what is still open."""
    c, b = d.commission, d.commission.brief
    room = (
        f"room {mm(b.space_length_mm)} x {mm(b.space_width_mm)} mm"
        if b.space_length_mm and b.space_width_mm else "room not measured"
    )
    lines = [
        f"{c.ref} {c.title}, for {c.client or 'a client without a name yet'}.",
        f"{', '.join(f'{i.count} {i.name}' for i in c.items) or 'No piece yet'}: {f'for {people_words(b.people)}, ' if seats_someone(c) else ''}"
        f"{b.use} use, {d.places_words}, {b.climate_words}; to last {b.years_wanted} years{'' if b.years_asked else ', taken for now'}; {room}.",
    ]
    if b.budget is not None:
        lines.append(f"Budget {b.budget} {c.rates.currency}" + (f", wanted by {b.wanted_by}." if b.wanted_by else "."))
    if d.ballpark is not None:
        low, likely, high = d.ballpark.gross
        lines.append(f"Ballpark {low:.0f} to {high:.0f} {d.ballpark.currency} with tax, {likely:.0f} {d.ballpark.currency} likely.")
    lines += [f"Stop: {s.says}" for s in d.stops if s.holds]
    questions = open_questions(c)
    lines += [f"Open: {q.asks} It holds up: {q.blocks}." for q in questions[:8]]
    if len(questions) > 8:
        lines.append(f"And {len(questions) - 8} more questions open.")
    found = d.as_answered((*d.brief_findings, *d.ways_findings))
    return [*lines, *(() if questions else ("No question is open.",)), *_found(found)]


def timber(d: Derived) -> list[str]:
    """What lasts there, what suits the brief, what was chosen."""
    out = sum(c.ruled_out for c in d.choices)
    m = d.standing[0].moisture
    lines = [
        f"{len(d.choices)} timbers looked at; {out} ruled out for {d.hardest.place}.",
        "Best for this brief: " + ", ".join(f"{c.species} {c.score}" for c in d.choices[:3]) + ".",
        f"The place works timber between {m.low_pct:g} and {m.high_pct:g} %; "
        f"made at {d.standing[0].making_moisture_pct:g} %.",
    ]
    if d.species is None:
        return lines + ["No timber chosen yet."]
    s = d.species
    lines.append(f"Chosen: {s.name}, {s.density_12pct_kg_m3:.0f} kg/m3. " + d.timber_findings[0].says)
    if d.life is not None:
        lines.append(d.life.says)
    lines.append(d.weighing.says)
    if d.readiness is not None:
        lines.append(d.readiness.says)
    glues = [g.adhesive.family for g in d.glues if g.finding.stands]
    if glues:
        lines.append(f"Glue that suits: {', '.join(glues[:3])}.")
    return lines + _found(d.as_answered(d.timber_findings))


def sizes(d: Derived) -> list[str]:
    """Sizes, weight and gaps of each piece, and what the checks say."""
    lines = []
    for m in d.made:
        weight = f", {d.weights_kg[m.piece.name]:.0f} kg" if d.weights_kg else ""
        lines.append(f"{m.piece.name}: {overall(*m.piece.overall_mm)} mm{weight}, {len(m.piece.members)} members.")
    if d.species is not None:
        for name, (wet, made, dry) in d.slat_gaps.items():
            lines.append(
                f"Gaps of the {name}: {wet:.1f} mm wettest, {made:.1f} mm made, {dry:.1f} mm driest."
            )
    return lines + _found(d.as_answered(d.size_findings))


def joints(d: Derived) -> list[str]:
    """Joints of each piece by kind, their strength, and what is short."""
    lines = []
    for p in d.pieces:
        kinds: dict[str, int] = {}
        for j in p.joints:
            kinds[j.kind] = kinds.get(j.kind, 0) + 1
        lines.append(f"{p.name}: " + ", ".join(f"{n} of {k}" for k, n in kinds.items()) + ".")
    said = set()
    for f in d.joint_findings:
        if f.what.startswith("strength") and (f.piece, f.subject) not in said:
            said.add((f.piece, f.subject))
            lines.append(f"{f.subject}: {f.says}.")
    return lines + _found(d.as_answered(d.joint_findings))


def look(d: Derived) -> list[str]:
    """Timber left in each piece once its joints are cut, and how it ages."""
    from studio_lib.look.scenes import STAGES, appearances
    from studio_lib.solids import volume_mm3

    lines = []
    for p in d.pieces:
        litres = sum(volume_mm3(p.shape(m.ref)) for m in p.members) * 1e-6
        lines.append(f"{p.name}: {len(p.members)} members, {len(p.joints)} joints cut, {litres:.2f} litres of timber.")
    for years in STAGES:
        timbers = {name: a for name, a in appearances(d, years).items() if a.ring_mm > 0}  # metals do not age here
        for name, a in timbers.items():
            grey = "its own colour" if a.grey_fraction < 0.01 else f"{100 * a.grey_fraction:.0f} % silver grey"
            lines.append(f"{in_years(years)}{f', {name}' if len(timbers) > 1 else ''}: {grey}.")
    lines.append("Colours are a guess, from memory; the wood will have its own.")
    return lines


def client(d: Derived) -> list[str]:
    """What a client is told: sizes, timber, what it may cost, for each way to make it."""
    from studio_lib.papers.presented import presented

    lines = []
    ways = presented(d)
    for p in ways:
        lines += [f"{p.name}:"] if len(ways) > 1 else []
        lines += [*p.sizes, p.timber, *([f"Price: {p.price}"] if p.price else [])]
    return lines


def sources(d: Derived) -> list[str]:
    """What is listed, and how well a thing may be known."""
    from studio_lib.sources import HOW_KNOWN, on_file

    return [
        f"Read off the code: tables, named figures, formulas and defaults of {', '.join(dict.fromkeys(e.part for e in on_file()))}.",
        f"How well a thing is known, from the best: {'; '.join(HOW_KNOWN)}.",
        "Where one thing has several sources, the weakest counts.",
        "The checks are guidance for a maker; a test house certifies, and local codes come first.",
    ]


def in_years(years: float) -> str:
    """'New', 'After 1 year', 'After 10 years'."""
    return "New" if years == 0 else f"After {years:g} {'year' if years == 1 else 'years'}"


def boards(d: Derived) -> list[str]:
    """What is cut, from which boards, at what cost and with what left over."""
    from studio_lib.papers.write import layout_words

    rows = d.cutting_list
    lines = [
        f"{sum(r.count for r in rows)} pieces on {len(rows)} lines, "
        f"{sum(r.volume_m3 for r in rows):.4f} m3 finished.",
        layout_words(d),
        *[d.share_words()] * (d.their_share is not None),
    ]
    longest = d.layout.offcuts[0] if d.layout.offcuts else None
    if longest:
        lines.append(
            f"Left over: {len(d.layout.offcuts)} worth keeping, the longest "
            f"{size(longest.length_mm, longest.width_mm, longest.thickness_mm)} mm."
        )
    return lines + _found(d.as_answered(d.board_findings))


def price(d: Derived) -> list[str]:
    """Hours, materials, the range, and what to quote."""
    from studio_lib.papers import words

    p = d.price
    c = p.currency
    lines = [
        f"Hours: {p.hours_at(50):.0f} likely, {p.hours_at(80):.0f} to be safe, at {p.shop_rate} {c} an hour.",
        f"Materials {p.materials_cost} {c} at cost.",
        f"Likely {p.net_at(50):.0f}, safe {p.net_at(80):.0f} {c} before tax; between {p.net_at(10):.0f} "
        f"and {p.net_at(90):.0f} in eight jobs of ten.",
        f"{'As it stands' if words.not_firm(d) else 'To quote'}: {p.net} + {p.tax_name} {p.tax} = {p.gross} {c}.",
    ]
    if words.not_firm(d):
        lines.append(words.not_firm(d))
    budget = d.commission.brief.budget
    if budget is not None:
        over = p.gross - budget
        lines.append(f"Budget {budget}: {'over by ' + str(over) if over > 0 else 'within it by ' + str(-over)} {c}.")
    return lines


def record(d: Derived) -> list[str]:
    """The commission in three lines."""
    c = d.commission
    counts = {v: sum(f.verdict is v for f in d.as_answered(d.findings)) for v in Verdict}
    return [
        f"{c.ref} {c.title}: {len(c.items)} pieces, {len(d.cutting_list)} lines to cut.",
        "Checks: " + ", ".join(f"{n} x {v.value}" for v, n in counts.items() if n) + ".",
        f"Price {d.price.gross} {d.price.currency} with {d.price.tax_name}.",
    ]


def workshop(d: Derived) -> list[str]:
    """When it is ready, what is open, and what goes with it when it is handed over."""
    from studio_lib.handover import care_sheet, reminders
    from studio_lib.papers.handing_over import plan_words
    from studio_lib.shop.logs import still_open

    try:
        made = d.plan()
    except ValueError as error:
        made, lines = None, [str(error)]
    else:
        work = [x for x in made.likely if not x.step.is_wait]
        nights = sum(x.step.key.startswith("glue") for x in work)
        lines = [
            plan_words(d, made),
            f"{len(work)} steps, {sum(x.step.hours[0] for x in work):.0f} hours of work, {nights} nights of glue.",
        ]
    lines += [f"Open: {e.kind} of {e.day.isoformat()}, {e.what.rstrip('.')} ({e.who})." for e in still_open(d.commission.shop.log)] or ["Nothing in the log is open."]
    if d.species is None:
        return [*lines, "No timber chosen yet, so no care sheet."]
    sheet = care_sheet(d)
    lines.append(f"Care: {sheet.made_of} {sheet.carbon}")
    if made:
        asked = reminders(d, d.commission.handover.handed_over or made.finish_safe)
        said = "; ".join(e.summary.removeprefix(f"{d.commission.title}: ") for e in asked)
        lines.append(f"Reminders for ten years: {said}.")
    return lines


def _found(findings: tuple[Finding, ...]) -> list[str]:
    standing = sum(f.stands for f in findings)
    lines = [f"{standing} of {len(findings)} checks stand." if findings else "Nothing to check yet."]
    said = set()
    for f in worst_first(findings):
        line = f"{f.verdict.value.capitalize()}: {f.subject}, {f.what}: {f.says.rstrip('.')}. {f.mend}".strip()
        if not f.stands and line not in said:
            said.add(line)
            lines.append(line)
    return lines
