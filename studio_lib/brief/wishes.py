"""What a wish would mean before anything is drawn: rough sizes to the refusals they meet.

Forms that come to know the true sizes call the same functions of ``refusals`` with those, and from then on they alone
speak: see ``judged_on``.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from studio_lib.brief import refusals as r
from studio_lib.commission import AnyWish, CaseWish, GapsWish, InsideWish, MovingWish, RigidWish, ScreenWish, ShelfWish
from studio_lib.finding import Finding, Verdict
from studio_lib.structure.loads import G
from studio_lib.timber import Species, stand_in
from studio_lib.units import mm

ASSUMED = "European oak"
"""The timber that movement and sag are reckoned in until one is chosen."""
FORCE_FACTOR = 1.45
"""Solid wall as high as it is wide, standing on the ground: ASCE 7-16 fig. 29.3-1, from memory."""


@dataclass(frozen=True)
class Ask:
    """One rough size to ask for: its field, its words, its unit and what helps to answer."""

    field: str
    label: str
    unit: str = ""
    note: str = ""
    empty: str = "not known yet"
    """What an empty field means."""

    @property
    def plain(self) -> str:
        """The label within a sentence: 'foot from its middle'."""
        return (self.label[0].lower() + self.label[1:]).replace(", ", " ")


KINDS: dict[str, tuple[type[AnyWish], str, tuple[Ask, ...]]] = {
    "free-standing screen": (ScreenWish, "wind or a lean tips it", (
        Ask("height_mm", "Height", "mm"), Ask("width_mm", "Width", "mm"),
        Ask("solid_pct", "Solid, of its face", "%", "100 is a wall; slats with gaps as wide as they are 50"),
        Ask("weight_kg", "Weight", "kg", "with planter, slab or whatever holds its feet down"),
        Ask("foot_mm", "Foot, from its middle", "mm", "half the depth it stands on"),
        Ask("held_down", "Fixed to the ground or a wall"),
    )),
    "tall case": (CaseWish, "a lean or a child on a drawer tips it", (
        Ask("height_mm", "Height", "mm"), Ask("width_mm", "Width", "mm"), Ask("depth_mm", "Depth", "mm"),
        Ask("weight_kg", "Weight, empty", "kg", "20 mm of solid wood weighs 12 to 15 kg a square metre"),
        Ask("drawers_or_doors", "It has drawers or doors"),
        Ask("opens_mm", "They stand out by", "mm", "beyond the front feet, pulled right out or swung open"),
        Ask("fixed_to_wall", "Fixed to the wall"),
    )),
    "lid, drawer or door": (InsideWish, "a child can shut itself in", (
        Ask("length_mm", "Inside, length", "mm"), Ask("width_mm", "Inside, width", "mm"),
        Ask("height_mm", "Inside, height", "mm"),
        Ask("air_holes_mm2", "Air holes, in all", "mm2", "one of 30 mm across is 707"),
        Ask("opens_from_inside_n", "Opens from inside with", "N", "left empty it locks or latches; 45 N is 4.5 kg on a scale",
            "it locks"),
        Ask("lid", "Its lid"),
    )),
    "held across the grain": (RigidWish, "the wood moves and splits, or breaks what holds it", (
        Ask("width_mm", "Width across the grain", "mm"),
        Ask("slack_mm", "Its fixings give", "mm", "in all; 0 is glued or screwed fast"),
    )),
    "long shelf": (ShelfWish, "it sags, and goes on sagging", (
        Ask("span_mm", "Free span", "mm"), Ask("depth_mm", "Depth", "mm"), Ask("thickness_mm", "Thickness", "mm"),
        Ask("load_kg_m", "Load on a metre", "kg", "books 30 to 37, large and heavy ones up to 60"),
    )),
    "gaps, openings, rails": (GapsWish, "fingers, heads and climbing", (
        Ask("gap_least_mm", "Gaps, at the least", "mm"),
        Ask("gap_greatest_mm", "Gaps, at the most", "mm", "over the year, since wood moves"),
        Ask("opening_width_mm", "An opening, width", "mm", "closed all round"),
        Ask("opening_height_mm", "An opening, height", "mm"),
        Ask("rails_mm", "Level rails, heights", "mm", "above the floor: 150, 420"),
    )),
    "moving parts": (MovingWish, "fingers between parts that close", (
        Ask("gap_least_mm", "Gap, at the least", "mm", "of parts that slide or fold past each other, anywhere on their "
            "travel; a lid on its rim is a wish of its own"),
        Ask("gap_greatest_mm", "Gap, at the most", "mm"),
    )),
}
"""Each kind of wish: its part of the document, what is to be feared, and what to ask."""


MADE_AS = {
    "free-standing screen": ("framed screen", "strung screen"), "tall case": ("bookcase", "cabinet"),
    "lid, drawer or door": ("chest", "cabinet"), "long shelf": ("bookcase", "cabinet"),
}
"""Forms that know more of a wish than its rough sizes say."""


def judged_on(wishes, items) -> dict[str, str]:
    """Wishes that a piece of the commission has taken up, by name, with the piece's name: the first wish by the first such piece."""
    out = {}
    for kind, forms in MADE_AS.items():
        pieces = [i.name for i in items if i.form in forms]
        out |= dict(zip((w.name for w in wishes or () if w.kind == kind), pieces))
    return out


@dataclass(frozen=True)
class Site:
    """What the rest of the brief says that a wish hangs on."""

    place: str
    children: bool
    species: Species
    timber_chosen: bool
    sawing: str
    made_pct: float
    low_pct: float
    high_pct: float
    wind: str = ""
    wind_m_s: float | None = None
    beside_a_drop: bool | None = None
    drop_mm: float = 0.0
    leave_given: tuple[str, ...] = ()
    fixed: bool = False
    """The brief says that it is fixed to a building."""

    @property
    def outdoors(self) -> bool:
        return self.place.startswith("outdoors")


def wish_findings(wish: AnyWish, site: Site) -> list[Finding]:
    """What is to be said of one wish: each refusal it meets, or what is not known yet to tell."""
    check = {
        ScreenWish: _screen, CaseWish: _case, InsideWish: _inside, RigidWish: _rigid, ShelfWish: _shelf,
        GapsWish: _gaps, MovingWish: _moving,
    }[type(wish)]
    try:
        found = check(wish, site)
    except ValueError as error:
        mend = "Change the size, or choose a timber with published figures."
        found = [_open(wish, "cannot be told", str(error), mend)]
    return [replace(f, stage="brief") for f in found]


def wish_words(wish: AnyWish) -> str:
    """A wish and its rough sizes in one line, as a client reads it."""
    said = []
    for ask in KINDS[wish.kind][2]:
        value = getattr(wish, ask.field)
        if value is None or value == () or value is False:
            continue
        label = ask.plain
        if value is True:
            said.append(label)
        else:
            said.append(f"{label} {_shown(value)} {ask.unit}".strip())
    return f"{wish.name} ({wish.kind})" + (f": {', '.join(said)}" if said else "")


def _shown(value) -> str:
    if isinstance(value, tuple):
        return ", ".join(map(mm, value))
    return value if isinstance(value, str) else f"{value:g}"


def _open(wish: AnyWish, what: str, says: str, mend: str) -> Finding:
    return Finding(wish.name, what, Verdict.OPEN, says, mend=mend)


def _lacks(wish: AnyWish, what: str, *names: str) -> list[Finding]:
    """One open finding naming the sizes nobody has said yet; nothing when all are known."""
    labels = {a.field: a.plain for a in KINDS[wish.kind][2]}
    missing = [labels[n] for n in names if getattr(wish, n) is None]
    if not missing:
        return []
    return [_open(wish, what, f"{', '.join(missing)} not known yet", "Ask, or put in a guess and see what it means.")]


def _screen(wish: ScreenWish, site: Site) -> list[Finding]:
    if wish.held_down:
        return r.leave_of_others(wish.name, says_yes_first(wish, site.outdoors), site.leave_given)
    what = "wind" if site.outdoors else "pulled over"
    lacks = _lacks(wish, what, "height_mm", "width_mm", "solid_pct", "weight_kg", "foot_mm")
    if lacks:
        return lacks
    weight = G * wish.weight_kg
    found = [
        r.pulled_over(wish.name, weight, wish.foot_mm, wish.height_mm, pull) for pull in _pulls(site)
    ]
    if site.outdoors:
        speed = r.wind_speed_m_s(site.wind, site.wind_m_s)
        if speed is None:
            unknown = "how hard the wind blows there is not known yet"
            return [*found, _open(wish, "wind", unknown, "Say it under 'Where it stands'.")]
        wind = r.tipped_by_wind(
            wish.name, wish.width_mm, wish.height_mm, wish.solid_pct / 100, weight, wish.foot_mm, speed, FORCE_FACTOR
        )
        if site.wind_m_s is None:
            wind = replace(wind, source=f"{wind.source}; {speed:g} m/s for {site.wind!r}: {r.WIND_SOURCE}")
        found.append(wind)
    return found


def says_yes_first(wish: AnyWish, outdoors: bool) -> tuple[str, ...]:
    """What a wish asks the leave of others for, of ``refusals.triggers``."""
    if isinstance(wish, ScreenWish) and wish.held_down:
        return ("stands in the wind" if outdoors else "fixed to building",)
    return ("fixed to building",) if isinstance(wish, CaseWish) and wish.fixed_to_wall else ()


def _pulls(site: Site) -> tuple[str, ...]:
    return ("a lean", "a child's pull") if site.children else ("a lean",)


def _case(wish: CaseWish, site: Site) -> list[Finding]:
    lacks = _lacks(wish, "anchor", "height_mm", "width_mm", "depth_mm", "weight_kg")
    if lacks:
        return lacks
    inside = wish.height_mm * wish.width_mm * wish.depth_mm * 1e-6  # outside sizes: a little on the safe side
    found = [
        r.anchor(wish.name, wish.height_mm, wish.depth_mm, wish.weight_kg, inside, wish.drawers_or_doors, site.children,
                 site.fixed)
    ]
    if site.fixed:
        return found + r.leave_of_others(wish.name, ("fixed to building",), site.leave_given)
    weight, edge = G * wish.weight_kg, wish.depth_mm / 2
    found += [r.pulled_over(wish.name, weight, edge, wish.height_mm, pull) for pull in _pulls(site)]
    if wish.drawers_or_doors:
        lacks = _lacks(wish, "climbed on a drawer", "opens_mm")
        found += lacks or [r.climbed_on(wish.name, weight, edge, wish.opens_mm)]
    return found


def _inside(wish: InsideWish, site: Site) -> list[Finding]:
    lacks = _lacks(wish, "shut in", "length_mm", "width_mm", "height_mm")
    if lacks:
        return lacks
    stays = {"no lid": None, "stays where let go": True, "falls by itself": False}[wish.lid]
    sizes = (wish.length_mm, wish.width_mm, wish.height_mm)
    inside = sizes[0] * sizes[1] * sizes[2] * 1e-6
    return [r.shut_in(wish.name, inside, min(sizes), wish.air_holes_mm2, wish.opens_from_inside_n, stays)]


def _in_timber(found: Finding, site: Site) -> Finding:
    if site.timber_chosen:
        return found
    return replace(found, says=f"{found.says}. Reckoned in {site.species.name}, since no timber is chosen yet")


def _rigid(wish: RigidWish, site: Site) -> list[Finding]:
    lacks = _lacks(wish, "held rigidly", "width_mm")
    if lacks:
        return lacks
    return [_in_timber(
        r.held_rigidly(wish.name, site.species, wish.width_mm, site.sawing, site.made_pct, site.low_pct, site.high_pct,
                       wish.slack_mm),
        site,
    )]


def _shelf(wish: ShelfWish, site: Site) -> list[Finding]:
    lacks = _lacks(wish, "sag", "span_mm", "depth_mm", "thickness_mm", "load_kg_m")
    if lacks:
        return lacks
    moe, note = site.species.moe_gpa, ""
    if moe is None:
        moe, note = stand_in(site.species, "moe_gpa")
    load = G * wish.load_kg_m * wish.span_mm / 1000
    found = r.sagging(
        wish.name, wish.span_mm, wish.depth_mm, wish.thickness_mm, load, 1000 * moe, r.CREEP[site.place], r.SEEN_SAG
    )
    return [_in_timber(replace(found, source=f"{found.source}; {note}" if note else found.source), site)]


def _gaps(wish: GapsWish, site: Site) -> list[Finding]:
    found = []
    ends = [g for g in (wish.gap_least_mm, wish.gap_greatest_mm) if g is not None]
    if ends:
        found.append(r.fingers(wish.name, ends[0], ends[-1], site.children))
    if wish.opening_width_mm is not None and wish.opening_height_mm is not None:
        found.append(r.heads(wish.name, wish.opening_width_mm, wish.opening_height_mm, True, site.children))
    elif (wish.opening_width_mm, wish.opening_height_mm) != (None, None):
        found += _lacks(wish, "heads", "opening_width_mm", "opening_height_mm")
    if wish.rails_mm and site.beside_a_drop is None:
        unknown = "whether it stands by a drop is not known yet"
        found.append(_open(wish, "climbable rails", unknown, "Say it under 'Where it stands'."))
    elif wish.rails_mm:
        drop = site.drop_mm if site.beside_a_drop else 0.0
        found.append(r.climbable_rails(wish.name, wish.rails_mm, drop, site.children))
    return found or [_open(wish, "fingers and heads", "no gap, opening or rail said yet", "Put in what there is.")]


def _moving(wish: MovingWish, site: Site) -> list[Finding]:
    lacks = _lacks(wish, "fingers, moving", "gap_least_mm", "gap_greatest_mm")
    return lacks or [r.fingers_moving(wish.name, wish.gap_least_mm, wish.gap_greatest_mm, site.outdoors)]
