"""The workshop's calendar with its cautions and logs; the care sheet; delivery and installation."""

from __future__ import annotations

from datetime import date

from studio_lib.derive import Derived
from studio_lib.forms import form
from studio_lib.handover import care_sheet, delivery_note
from studio_lib.handover.delivery import stands_on_feet
from studio_lib.handover.care import SECTIONS, when_words
from studio_lib.handover.lifting import pinches
from studio_lib.papers.typeset import for_client, pdf
from studio_lib.papers.words import date_words
from studio_lib.shop.calendar import Dated, Plan, Step, today_says
from studio_lib.shop.cautions import DEFERS
from studio_lib.shop.logs import CLOSED_WORDS, CLOSES, material
from studio_lib.showing import column_as_shown, thumb_as_shown
from studio_lib.units import tenths


def short_date(day: date) -> str:
    """A day as it stands in a table: Mon 11 Jan."""
    from babel.dates import format_date

    return format_date(day, "EEE d MMM", locale="en_GB")


def log_date(day: date) -> str:
    """A day with its year, short: 18 Nov 2026."""
    from babel.dates import format_date

    return format_date(day, "d MMM yyyy", locale="en_GB")


def span(dated: Dated) -> str:
    """First and last day of a step: 'Mon 11 Jan to Wed 13 Jan'."""
    if dated.first == dated.last:
        return short_date(dated.first)
    return f"{short_date(dated.first)} to {short_date(dated.last)}"


def holidays_words(d: Derived, today: date) -> str:
    """Which public holidays are off by themselves, the next ones by name."""
    from studio_lib.shop.feasts import coming

    country, code = d.commission.rates.country, d.holidays_of
    if code is None:
        return "Public holidays are worked like other days."
    days = ", ".join(f"{name} ({log_date(day)})" for day, name in coming(code, today, 4))
    if not code:
        return f"Off until a country is chosen on the Price page: {days}."
    return f"Off as public holidays of {country}: {days} and so on. Those of a state or region alone are yours to give."


def plan_words(d: Derived, made: Plan) -> str:
    """Begin, likely and safe finish, and whether the day wanted is met."""
    days = d.work_days
    text = (
        f"From {date_words(made.start)}, {days.hours_a_day:.1f} hours a day on {len(days.weekdays)} days a week: ready "
        f"on {date_words(made.finish_likely)} if it goes as is likely, by {date_words(made.finish_safe)} to be safe "
        "(8 jobs in 10)."
    )
    wanted = d.commission.brief.wanted_by
    if wanted:
        ends = (made.finish_likely, made.finish_safe)
        state = (
            "in time even then" if ends[1] <= wanted
            else "in time only if nothing is delayed" if ends[0] <= wanted else "too late"
        )
        text += f" Wanted by {date_words(wanted)}: {state}."
    return text


def step_note(d: Derived, step: Step) -> str:
    """Figures that belong to a step: the glue's times, the finish's coverage."""
    if step.key.startswith("glue") and d.glue:
        g = d.glue
        return (
            f"{g.family[0].upper()}{g.family[1:]}: open {g.open_min_low:g} to {g.open_min_high:g} min, clamps "
            f"{g.clamp_min_low:g} to {g.clamp_min_high:g} min, full strength after {g.full_strength_h:g} h, not under "
            f"{g.least_temperature_c:g} \u00b0C. The product's own sheet goes before this."
        )
    f = d.finish_family
    if step.key.startswith("coat") and f.coverage_low_m2_l:
        low, high = f.coverage_low_m2_l, f.coverage_high_m2_l
        covers = f"{low:g} to {high:g}" if high != low else f"{low:g}"
        knotty = step.key in ("coat", "coat 1") and f.kind == "paint" and d.species is not None and d.species.group == "softwood"
        return ("Knots and resin first: seal each with shellac, so that it does not bleed through (common practice, no source). " if knotty else "") + (
            f"{f.family[0].upper()}{f.family[1:]}{f', {d.paint_colour}' if d.paint_colour else ''}: {covers} m2 a litre, {f.recoat_h_low:g} to {f.recoat_h_high:g} h "
            f"between coats, cured after {f.cure_days:g} days. The product's own sheet goes before this."
        )
    return ""


def workshop_rows(d: Derived, made: Plan) -> list[dict]:
    """Every step with its days, figures and cautions; a caution is spelt out where it first applies."""
    said: set[str] = set()
    rows, last_note = [], ""
    for likely, safe in zip(made.likely, made.safe):
        step = likely.step
        found = d.cautions_of(step)
        note = step_note(d, step)
        rows.append({
            "step": step.words, "wait": step.is_wait, "done": likely.done,
            "likely": span(likely), "safe": span(safe),
            "hours": f"{step.hours[0]:.1f}" if step.hours[0] else "",
            "then": "" if step.is_wait or not likely.free_on
            else f"then {step.waits_for} until {short_date(likely.free_on)}",
            "note": note if note != last_note else "",
            "look": step.look, "photograph": step.photograph,
            "cautions": [thumb_as_shown(c.text, d.commission.shown) for c in found if c.key not in said],
            "again": ", ".join(c.key for c in found if c.key in said),
        })
        said |= {c.key for c in found}
        last_note = note or last_note
    return rows


def _log_rows(d: Derived) -> list[dict]:
    return [
        {
            "day": log_date(e.day), "kind": e.kind, "who": e.who, "what": e.what,
            "more": material(e),
            "state": "" if e.kind not in CLOSES
            else f"{CLOSED_WORDS[e.kind]} {log_date(e.closed_on)}" if e.closed_on else "open",
        }
        for e in sorted(d.commission.shop.log, key=lambda e: e.day)
    ]


def workshop_pdf(d: Derived, about: dict, made: Plan, day: date) -> bytes:
    """Calendar, cautions at their step, and the logs, with lines to write on."""
    return for_client("workshop", about | {
        "says": plan_words(d, made), "today": today_says(made, day, d.work_days), "rows": workshop_rows(d, made),
        "defers": DEFERS, "log": _log_rows(d),
    }, {}, d.commission.shown)


def care_pdf(d: Derived, about: dict, sender: list[str], aged) -> bytes:
    """The care sheet as the client keeps it."""
    sheet = care_sheet(d)
    pictures = {f"age{i}.png": p.png for i, p in enumerate(aged) if p.png}
    why_not = next((p.why_not for p in aged if not p.png), "")
    return for_client("care", about | {
        "maker": sender, "made_of": sheet.made_of,
        "ageing": [
            {"when": when_words(years), "says": says, "picture": f"age{i}.png" if f"age{i}.png" in pictures else None}
            for i, (years, says) in enumerate(sheet.ageing)
        ],
        "why_not": why_not,
        **{name: [line.text for line in getattr(sheet, name)] for name in SECTIONS},
        "provenance": sheet.provenance, "carbon": sheet.carbon, "warranty": sheet.warranty, "sources": sheet.sources,
    }, pictures, d.commission.shown)


def delivery_pdf(d: Derived, about: dict, sender: list[str], made: Plan | None) -> bytes:
    """Delivery note to sign, and the note for who sets it up."""
    note = delivery_note(d, made)
    when = ""
    if note.hand_over_on:
        likely, safe = note.hand_over_on
        when = date_words(likely)
        if safe != likely:
            when = f"likely {when}, by {date_words(safe)} to be safe"
    return for_client("delivery", about | {
        "maker": sender, "when": when,
        "carried": [
            {"name": c.name, "count": str(c.count), "size": column_as_shown(c.size_mm, d.commission.shown), "people": c.people,
             "weight": f"{c.weight_kg:.0f} kg" if c.weight_kg else "not known"}
            for c in note.carried
        ],
        "route": note.route, "level": note.level, "fixing": note.fixing, "wall": note.wall,
        "needs_fixing": note.needs_fixing, "clamped": note.clamped, "stands_by_itself": note.stands_by_itself, "held_up": note.held_up,
        "open": note.open_points, "goes_back": note.goes_back, "hold": note.hold,
        "feet": all(stands_on_feet(p) for p in d.pieces), "leans": not all("stool" in m.item.form for m in d.made),
        "pinches": list(pinches(d)),
        "lids": any(j.holding_open for p in d.pieces for j in p.joints),
        "outdoors": any(place.startswith("outdoors") for place in d.places), "heat": bool(d.commission.brief.heating_below),
    }, {}, d.commission.shown)


def setting_out_pdf(d: Derived, about: dict) -> bytes:
    """Stop settings, marks along every member, and the full-size rods of every piece."""
    from studio_lib.drawings.rods import rod_pages
    from studio_lib.shop.setting_out import TEST_FIRST, member_rods, stops
    from studio_lib.shop.settings import angles, heights

    rods = member_rods(d.counted, d.cutting_list)
    settings = stops(rods)
    bevels = angles(d.counted)
    cuts = heights(d.counted, rods)
    pages = rod_pages(full_rods(d))
    machines = dict.fromkeys(s.machine for s in settings)
    return pdf("setting_out", {
        **about,
        "order": [order_rows(p, d.commission.brief.finish != "left bare") for p in d.pieces],
        "order_intro": "Worked out from the way the joints enter. Fit every stage dry before glue is opened. Clamps: a pair of "
        "cauls to each; lengths over the work with room for the heads. Finish beforehand what no brush will reach afterwards.",
        "intro": "Distances in mm from the member's start, its tenon on; that end stays against the stop throughout, both shoulders "
        "included. What is turned and holes into an end have no stop: see Marks. "
        + TEST_FIRST,
        "stops": [
            {"machine": machine, "rows": [
                {"at": f"{s.distance_mm:.1f}", "count": s.count, "what": "; ".join(f"{n} x {what}" for what, n in s.works)}
                for s in settings if s.machine == machine
            ]} for machine in machines
        ],
        "angles": [{"what": a.what, "figures": a.figures, "count": a.count, "works": "; ".join(a.works)} for a in bevels],
        "angles_intro": "Set the bevel from the figure, cut a test piece, and check it against the rod. Pieces lie face up, their start "
        "to the left; where a cut leans the other way turn the piece or the fence, not the figure.",
        "heights": [
            {"cut": cut, "rows": [
                {"mm": f"{h.mm:.1f}", "count": h.count, "what": "; ".join(f"{n} x {what}" for what, n in h.works)}
                for h in cuts if h.cut == cut
            ]} for cut in dict.fromkeys(h.cut for h in cuts)
        ],
        "on_site": [
            f"{m.piece.name}: {says}" if len(d.made) > 1 else says for m in d.made for says in form(m.item.form).on_site(m.sizes, m.brief)
        ],
        "clamps": [f"{f.subject}, {f.what}: {f.says}. {f.mend}" for f in d.workshop_findings if not f.stands],
        "cautions": [
            "Never set a stop with the blade or cutter turning. Short pieces are cut from a longer one or held in a jig, never by "
            "hand near a blade. " + DEFERS,
        ],
        "marks_intro": "One member of each kind that is worked alike; the others are marked from it, mirrored ones stand apart. The steps "
        "add up to the overall length: check the sum before cutting.",
        "members": [
            {
                "ref": ", ".join(r.refs[:4]) + (" ..." if len(r.refs) > 4 else ""), "name": r.row.name, "count": r.count,
                "hand": f", {r.hand} hand" if r.hand and r.hand not in r.row.name else "",
                "size": f"{r.row.overall_length_mm:.1f} x {r.row.width_mm:.1f} x {r.row.thickness_mm:.1f}",
                "marks": [
                    {"from": tenths(m.from_mm), "to": "" if m.to_mm == m.from_mm else tenths(m.to_mm), "what": (f"{m.diameter_mm:g} hole, " if m.diameter_mm else "") + m.what,
                     "face": m.face, "deep": f"{m.depth_mm:.1f}" if m.depth_mm else "",
                     "edge": "" if not m.face else _span(m.lower_mm),
                     "in": "" if not m.face else _span(m.in_mm),
                     "true": "; ".join(v for v in ("at the middle of its mouth" * (bool(m.aslant) and m.from_mm == m.to_mm), m.aslant, m.sloping) if v)}
                    for m in r.marks
                ],
                "steps": " + ".join(f"{v:.1f}" for v in r.printed_steps_mm) + f" = {sum(r.printed_steps_mm):.1f}",
            } for r in rods if r.marks
        ],
        "rods": [f"rod{i}.svg" for i in range(len(pages))],
    }, {f"rod{i}.svg": svg for i, svg in enumerate(pages)})


def _span(mm: tuple[float, float]) -> str:
    """'12.0 - 24.0', or '18.0' for a middle."""
    return tenths(mm[0]) if mm[0] == mm[1] else f"{tenths(mm[0])} - {tenths(mm[1])}"


def order_rows(piece, finished: bool = True) -> dict:
    """The stages of one piece for the paper; ``finished`` where it gets a finish."""
    from studio_lib.piece.order import finish_before, in_words, order_of_work, screwed_before
    from studio_lib.shop.clamps import clamps_wanted

    order = order_of_work(piece)
    return {
        "piece": piece.name,
        "rows": [
            {"n": "0", "what": "first, boards glued edge to edge: " + ", ".join(
                f"{r} of {piece.member(r).boards}" for r in order.wide), "joints": str(sum(piece.member(r).boards - 1 for r in order.wide)),
             "how": "glue", "clamps": "{1} of {2:.0f} mm on each".format(*clamps_wanted(piece, order)[0]), "minutes": ""}
        ] * bool(order.wide) + [
            {"n": str(n), "what": in_words(piece, order, n, 60), "joints": str(s.joints), "how": "glue" if s.glued else "no glue",
             "clamps": f"{s.clamps} of {s.clamp_mm:.0f} mm" if s.glued else "", "minutes": f"{s.minutes:.0f}" if s.glued else ""}
            for n, s in enumerate(order.stages, 1)
        ],
        "before": ", ".join(finish_before(piece)) if finished else "",
        "screws": "; ".join(f"{a} to {b} before {c} goes on" for a, b, c in screwed_before(piece)),
        "locked": [", ".join(piece.member(r).name for r in group) for group in order.locked],
    }


def full_rods(d: Derived) -> list:
    """Full-size rods of every piece: width, depth and height, each from one datum."""
    from studio_lib.shop.setting_out import rod

    return [
        (f"{p.name}: {axis} rod", rod(p, axis)) for p in d.pieces for axis in ("width", "depth", "height")
    ]
