"""The delivery note (weight, people, route) and the installation note (standing, levelling, fixing to a wall)."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from studio_lib.access.way_in import CARRY_APART
from studio_lib.brief.refusals import CLIMBING_CHILD_N, anchor
from studio_lib.brief.said import mopped_asked
from studio_lib.derive import Derived
from studio_lib.derived.fixings import FIXING_WORDS
from studio_lib.finding import Verdict
from studio_lib.forms import form
from studio_lib.forms.clamped import CLAMPED
from studio_lib.forms.sloping import fall_words
from studio_lib.handover.lifting import by_piece, held_by
from studio_lib.piece.called import said_of
from studio_lib.piece.order import UPPER_ON_LOWER
from studio_lib.shop.calendar import Plan
from studio_lib.shop.logs import still_open
from studio_lib.structure.loads import serves
from studio_lib.structure.opened import FREE_IT_TIPS
from studio_lib.units import overall

WALLS = {
    "brick or concrete": "Plugs and screws into the brick itself, not into the joint or the plaster; test each by "
    "hand.",
    "hollow block": "Anchors made for hollow block, or resin in a sleeve: a plain plug turns in it.",
    "stud and board": "Screws into the studs. Board alone does not hold it: where no stud is, screw a batten across "
    "two studs first.",
    "solid timber": "Screws straight into the timber, at least 40 mm deep.",
}
"""What takes the load, by kind of wall; common practice, no source."""
OVERHEAD = (
    "Ceiling: screws into its joists, or anchors made to hold from above in concrete; plaster or board alone holds nothing, so where no joist runs over it a batten "
    "is screwed across two first. Plumb the top from the feet, mark it, and fix to the ceiling what the tops slide up and down in: ceilings come down a little under "
    "load, and must not stand on it. Two people, one of whom holds it until its last fixing is in."
)
"""Common practice, no source."""
HIDDEN = (
    "Look for cables and pipes before drilling. Whoever fixes it must be fit to judge the wall; local codes come first."
)
CLAMPING = (
    "Nothing is drilled, into the facade, the floor or the railing: if it does not hold without, stop and ask. Two people, one of whom holds the leaf until "
    "its last clamp is tight; not in wind. Keep whoever is below away while you work at the railing, and tie tools and every leaf to a line, made fast inside, "
    "before they are lifted over it. Look at the railing first, and do not clamp to one that is loose, rusted or cracked. Soft pads of rubber under every clamp, "
    "so that paint or zinc stays whole; first the uprights, plumb and clamped above and below, then the leaves on them. Leave a line of stainless wire from "
    "each leaf to the railing for good, as a safeguard against falling. Tighten all clamps again after a month and after every storm; take the leaves down where "
    "a greater storm is forecast than they are reckoned for. Local codes, the railing's owner and the engineer's word come first."
)
"""Common practice, no source."""
ON_RAILING = "It is held by its uprights: set them plumb, lay the leaves in line on them, and let the feet of the stiles hang free of wet ground or lie on soft pads."
UP_TO_THE_CEILING = (
    "It is held at its top: stand its feet over their pins or in their shoes, plumb both ways, pack under a foot until all stand, and keep the gap to the ceiling "
    "that its fixings slide in; a strip closes it."
)
HUNG_LEVEL = "It hangs: set its hanging rail to a level line, and pack behind a rail where the wall is hollow."
UNDRILLED = "Nothing may be drilled there, into walls, floor or facade."
NOT_INTO = {
    "heated floor": "Bore and screw nothing into the floor: pipes or cables of its heating lie in it.",
    "tiles over a membrane": "Drill nothing into the tiles: the membrane under them keeps the house dry.",
}
"""Floors that nothing goes into."""
LEVEL = {
    "": "Stand it where it will stay and press on opposite corners. Where it rocks, shim the short foot; "
    "do not trim a leg before the floor is known to be the fault.",
    "paving": "Choose slabs that do not rock. Turn it until it stands on all its feet, else pack the short foot with a "
    "pad that does not rot or hold water.",
    "tiles over a membrane": f"{NOT_INTO['tiles over a membrane']} Soft pads under every foot, that spread "
    "its weight over a tile and leave water a way through; where it rocks, pack the short foot under its pad.",
    "gravel": "Gravel gives, and narrow feet sink in it: what lies under one foot is level with what lies under the others, its top just over the "
    "gravel so that the feet dry. Feet in gravel stay wet, and it wanders: look again after a month.",
    "grass": "What lies under one foot is level with what lies under the others, its top just over the ground: wood on damp soil stays wet.",
    "deck": "Stand the feet on boards over a joist, with pads that let water run off.",
    "carpet": "Carpet gives: level it with its load on, and look again after a week. Lift it across, never push it: feet catch in "
    "the pile and a tall piece tips. Wide pads or cups under narrow feet.",
    "heated floor": f"{NOT_INTO['heated floor']} Felt or cork under each foot. Where it rocks, pack the short foot under its pad.",
    "springing floor": "Felt or cork under each foot. The floor springs: stand it over a joist or along a wall where it may be chosen, and where it rocks pack the short foot under its pad.",
    "floor": "Felt or cork under each foot. Where it rocks, pack the short foot under its pad.",
}
"""Common practice, no source."""


SET_ON = (
    "in two cases. Level the lower one, lift the upper onto it, backs in one plane, and screw it down through the lower's top from "
    "inside before anything stands on a shelf."
)
"""Common practice, no source."""


@dataclass(frozen=True)
class Carried:
    """One piece as it is carried."""

    name: str
    count: int
    size_mm: str
    weight_kg: float | None
    people: str


@dataclass(frozen=True)
class DeliveryNote:
    """What comes, who carries it, which way, how it is set up, and what is open."""

    carried: tuple[Carried, ...]
    route: tuple[tuple[str, str], ...]
    """(opening and piece, how it passes), or what was not measured."""
    level: str
    fixing: tuple[tuple[str, str], ...]
    """(piece, whether it is fixed to the wall and what the fixings must bear)."""
    wall: str
    """How that kind of wall takes a fixing; empty where nothing is fixed."""
    needs_fixing: bool
    clamped: bool
    """Whether any piece is clamped to a railing."""
    stands_by_itself: bool
    """Whether any piece stands on the floor, or is fixed otherwise."""
    held_up: bool
    """Whether the ceiling holds any piece."""
    open_points: tuple[str, ...]
    hold: str
    """By what it is carried."""
    goes_back: str
    """What of the client's own timber comes back with the piece; empty where they brought none."""
    hand_over_on: tuple[date, date] | None
    """Likely and safe day by the calendar; None while there is none."""


def delivery_note(d: Derived, made: Plan | None = None) -> DeliveryNote:
    """Everything the people who deliver and set up need; ``made`` is the job's calendar, where there is one."""
    lifts = {f.subject: f for f in d.size_findings if f.what == "lifting"}
    counts = {m.piece.name: m.item.count for m in d.made}
    ways = [f for f in d.size_findings if f.what.startswith("way in")]
    carried = tuple(
        Carried(
            name, counts[piece.name], overall(*mm), weight,
            _people(lifts[name].says) if name in lifts else "not known: no timber is chosen",
        )
        for piece, name, mm, weight in d.carried
    )
    route = tuple(
        (", ".join(dict.fromkeys((f.what.removeprefix("way in: "), f.subject))), f.says + (f". {f.mend}" if f.mend else "")) for f in ways
    ) or (("way in", "not measured: measure doors, turns and stairs before the day"),)
    judged = [(m.piece.name, *_fixing(d, m)) for m in d.made]
    set_on = [(m.piece.name, SET_ON) for m in d.made if any(j.family == UPPER_ON_LOWER for j in m.piece.joints)]
    apart = [
        (piece, f"taken apart for the {', '.join(dict.fromkeys(f.what.removeprefix('way in: ') for f in ways if f.subject == piece and _apart(f)))}. "
                "Keep its screws and buttons with their part, and put it together where it will stand.")
        for piece in dict.fromkeys(f.subject for f in ways if _apart(f))
    ]
    laid = [(m.piece.name, says) for m in d.made if (says := d.laid_under(m))]
    scribed = [(m.piece.name, says) for m in d.made for says in (*form(m.item.form).on_site(m.sizes, m.brief), *fall_words(m.item.form, m.piece, m.brief))]
    h = d.commission.handover
    on = (made.finish_likely, made.finish_safe) if made else None
    if h.handed_over:
        on = (h.handed_over, h.handed_over)
    return DeliveryNote(
        carried, route, _level(d), (*apart, *set_on, *laid, *scribed, *((name, words) for name, words, _, _ in judged)),
        _how_fixed(d, [m for m, (_, _, fixed, _) in zip(d.made, judged) if fixed]),
        any(must for _, _, _, must in judged),
        any(map(_on_railing, d.made)), not all(_on_railing(m) or _by_ceiling(m) for m in d.made), any(map(_by_ceiling, d.made)),
        tuple(f"{e.kind.capitalize()} of {e.day:%d %B %Y}, {e.who}: {e.what}".replace(" of 0", " of ")
              for e in still_open(d.commission.shop.log)),
        by_piece(d, lambda m: f"carry it {held_by(m)}."),
        d.their_share.goes_back() if d.their_share is not None and d.cutting_list else "",
        on,
    )


def _how_fixed(d: Derived, fixed) -> str:
    """How fixings go into what is there, and what is looked at before, for the pieces that are fixed; nothing of drilling where nothing may be drilled."""
    h = d.commission.handover
    clamped, drilled = ([m for m in fixed if _on_railing(m) == yes] for yes in (True, False))
    said = [CLAMPING] if clamped else []
    if drilled and all(m.brief.nothing_drilled for m in drilled):
        said.append(f"{UNDRILLED} Ask before the day how the {' and the '.join(m.piece.name for m in drilled)} {said_of(drilled[0].piece.name, 'is', 'are') if len(drilled) == 1 else 'are'} to be held.")
    elif drilled:
        said += [OVERHEAD] if any(map(_by_ceiling, drilled)) else []
        said.append(f"{h.wall.capitalize()}: {WALLS[h.wall]} {HIDDEN}" if h.wall in WALLS else HIDDEN)
    elif not clamped and any(m.brief.nothing_drilled for m in d.made):
        said.append(UNDRILLED)
    return " ".join(said)


def _on_railing(made) -> bool:
    return form(made.item.form).fixed(made.sizes) == CLAMPED


def _by_ceiling(made) -> bool:
    return "ceiling" in form(made.item.form).fixed(made.sizes)


def _level(d: Derived) -> str:
    """How what stands on the brief's ground is levelled; pieces that stand elsewhere stand on a floor, or on what is not known."""
    said = {}
    for m in d.made:
        own = m.brief.ground or ("floor" if m.brief.place.startswith("indoors") and m.item.place else "")
        how = LEVEL[own].replace(DRY_FEET, MOPPED) if stands_on_feet(m.piece) and mopped_asked(m.brief) else LEVEL[own]
        up = UP_TO_THE_CEILING + (f" {NOT_INTO[own]}" if own in NOT_INTO else "")
        said.setdefault(ON_RAILING if _on_railing(m) else HUNG_LEVEL if form(m.item.form).hung(m.sizes) else up if _by_ceiling(m) else _by_what_it_stands_on(how, m.piece), []).append(m.piece.name)
    if len(said) < 2:
        return next(iter(said), LEVEL[""])
    return " ".join(f"{', '.join(names).capitalize()}: {how}" for how, names in said.items())


HARD_FLOORS = ("floor", "heated floor", "springing floor")
"""Of ``Brief.ground``: what feet scratch."""
DRY_FEET = "Felt or cork under each foot."
MOPPED = "The floor is mopped: a glide of hard nylon under each foot, for felt stays wet, and its end grain sealed before."
"""What stands in ``LEVEL`` in place of ``DRY_FEET`` then; common practice, no source."""


def on_hard_floor(made) -> bool:
    """Whether a piece stands by its feet on a floor that they scratch."""
    return made.brief.ground in HARD_FLOORS and stands_on_feet(made.piece)


ON_FEET = ("leg", "foot", "feet", "post", "trestle", "upright", "stile")
"""Words in the roles of members that something stands on by feet."""
ON_ITS_BASE = (("do not trim a leg", "do not trim its base"), ("short foot", "low corner"), ("foot", "corner"), ("feet", "corners"))


def stands_on_feet(piece) -> bool:
    """Whether a piece stands on feet; else on a plinth, its base or its sides."""
    roles = " ".join(m.role for m in piece.members)
    return "plinth" not in roles and any(word in roles for word in ON_FEET) or not piece.members


def _by_what_it_stands_on(words: str, piece) -> str:
    """The same words for what stands on a plinth or on its sides, which has corners and no feet."""
    if stands_on_feet(piece):
        return words
    for feet, base in ON_ITS_BASE:
        words = words.replace(feet, base)
    return words


def _apart(found) -> bool:
    return found.mend.startswith(CARRY_APART)


def _people(lifting: str) -> str:
    """'2 or 3 people to carry it, ...' out of the finding's sentence."""
    return lifting.partition(": ")[2] or lifting


def _screen(d: Derived, made) -> tuple[str, bool, bool]:
    """As ``_fixing``, for a screen: it stands out into the room and says by itself what holds it."""
    says = d.fixing_of(d.made.index(made))
    if says:
        kind = " The kind of wall is not known yet." if "wall" in says and d.commission.handover.wall not in WALLS else ""
        who = " Its fixings are bought in, in the price." if d.bought(FIXING_WORDS) else " The maker fixes it: it is in the price." if (
            d.maker_fixes_screens and d.fixings_of_screen(made)) else " Its fixings and fitting them are not in the price: the client has it done before it is used."
        return f"MUST BE FIXED{says.removeprefix('fixed')}.{who}{kind}", True, True
    tips = next((f for f in d.size_findings if f.piece == made.piece.name and f.what == "pulled over" and not f.stands), None)
    return f"Take care, it stands free and a lean tips it: {tips.says}." if tips else "Stands free: it asks for no fixing.", False, False


def _hung(d: Derived, made) -> tuple[str, bool, bool]:
    """As ``_fixing``, for what hangs on the wall: what each of its screws must hold."""
    held = d.hanging_of(d.made.index(made))
    kind = "" if d.commission.handover.wall in WALLS else " The kind of wall is not known yet."
    return f"HANGS on the wall by the screws of its rails{f': {held}' if held else ''}. {d.who_fixes(made)}{kind}", True, True


def _fixing(d: Derived, made) -> tuple[str, bool, bool]:
    """What is said of fixing one piece to the wall; whether it is fixed; whether it must be."""
    if serves(made.item.form) == "screen":
        return _screen(d, made)
    if form(made.item.form).hung(made.sizes):
        return _hung(d, made)
    length, width, height = made.piece.overall_mm
    deep = min(length, width)
    wall, kg = d.commission.handover.wall, d.weights_kg.get(made.piece.name, 1.0)
    at_wall = d.to_wall(d.made.index(made))
    who = f" {d.who_fixes(made)}" if at_wall else ""
    # A case says by itself, with its doors and what goes in, whether it is to be fixed.
    found = next((f for f in d.size_findings if f.piece == made.piece.name and f.what == "anchor"), None) \
        or anchor(made.piece.name, height, deep, kg, 0.0, False, d.children, False)
    if made.piece.name in d.backed_by_wall:
        free = f"Stands {d.at_wall_words(made.piece.name)}: {FREE_IT_TIPS}. It asks for no fixing."
    elif made.piece.name in d.tips_if_leant_on:
        free = f"Take care: {FREE_IT_TIPS}. Say so when it is handed over, or stand its back against a wall."
    else:
        free = f"Stands free: {height:.0f} mm high and {deep:.0f} mm deep, it asks for no fixing."
    must = found.verdict is Verdict.FAILS or form(made.item.form).at_wall(made.sizes)
    if not must and not at_wall:
        return free, False, False
    load = (
        f"two fixings at the top, each good for {CLIMBING_CHILD_N:.0f} N outward (a child's pull, ASTM F2057-23 and "
        "F3096-23)"
    )
    kind = "" if wall in WALLS else " The kind of wall is not known yet."
    if not must:
        return f"Fixed to the wall: {load}.{who}{kind}", True, False
    return f"MUST BE FIXED to the wall ({found.says}): {load}.{who}{kind}", True, True
