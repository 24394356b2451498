"""The document of one commission: what was asked, chosen, measured and noted. Inputs only.

Everything else (members, checks, layouts, prices, papers) is derived from it by
``studio_lib.derive``. A commission is valid by construction: a bad value raises
``pydantic.ValidationError``, which ``refusals`` turns into sentences by field.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import date, datetime
from decimal import Decimal
from typing import TYPE_CHECKING, Annotated, Literal

from pydantic import (
    BaseModel, ConfigDict, Discriminator, Field, Tag, ValidationError, field_validator, model_validator,
)

if TYPE_CHECKING:
    from studio_lib.showing import Shown

FORMAT = 1
"""Raised when a stored document needs changing to be read by this version."""

Place = Literal["indoors, heated", "indoors, unheated", "outdoors, under cover", "outdoors, in the weather"]
Use = Literal["household", "public"]
Finish = Literal["left bare", "oil", "hard-wax oil", "soap", "wax", "water-borne lacquer", "varnish", "shellac", "stain", "paint"]
"""What a client asks for; the family on file is chosen with the timber."""
Sawing = Literal["flat", "quarter", "mixed"]
Rank = Literal["show", "plain", "hidden"]

FIXED = "fixed to building"
"""Of ``brief.refusals.triggers``: the one answer to whether a piece is fixed to the wall."""

Money = Annotated[Decimal, Field(ge=0, max_digits=12, decimal_places=2)]
SignedMoney = Annotated[Decimal, Field(max_digits=12, decimal_places=2)]
"""An amount that may also be given back."""
Price = Annotated[Decimal, Field(gt=0, max_digits=12, decimal_places=2)]
"""What one costs: never 0, for what has no price is left empty and is not free."""
Percent = Annotated[float, Field(ge=0, le=100)]


class Part(BaseModel):
    """Base of every part of the document: unknown fields are refused, values never change in place."""

    model_config = ConfigDict(extra="forbid", frozen=True, allow_inf_nan=False)


def _each_once(names, says: str) -> None:
    """Raise ValueError where a name stands more than once; ``says`` has {} where those names go."""
    names = list(names)
    twice = sorted({n for n in names if names.count(n) > 1})
    if twice:
        raise ValueError(says.format(", ".join(twice)))


class Opening(Part):
    """One opening on the way in, measured clear. Which sizes it has depends on its kind."""

    kind: Literal["door", "gate, open above", "corridor turn", "stair", "lift", "ceiling"] = "door"
    name: str
    width_mm: float | None = None
    height_mm: float | None = None
    first_width_mm: float | None = None
    second_width_mm: float | None = None
    headroom_mm: float | None = None
    turn: Literal["none", "quarter", "half"] | None = None
    landing_depth_mm: float | None = None
    landing_width_mm: float | None = None
    door_width_mm: float | None = None
    door_height_mm: float | None = None
    car_width_mm: float | None = None
    car_depth_mm: float | None = None
    car_height_mm: float | None = None
    may_carry_kg: float | None = None

    @model_validator(mode="after")
    def _can_be(self):
        self.measured()
        return self

    def measured(self):
        """The opening as ``studio_lib.access`` takes it. Raises ValueError for one that cannot be."""
        from studio_lib.access import opening_from_plain

        return opening_from_plain(self.model_dump())


class TheirTimber(Part):
    """Timber that the client brings, as a lot; board by board it is among ``BoardChoices.offered``, source 'client'."""

    moisture_pct: float | None = Field(None, ge=4, le=150)
    measured_on: date | None = None
    thickness_mm: float | None = Field(None, gt=0, le=300)
    """About, while no board of it is entered; empty once there is one, for then the boards say it."""
    width_mm: float | None = Field(None, gt=0, le=1_500)
    """As ``thickness_mm``."""
    story: str = ""
    """Where it stood, how long it has lain."""
    been: Literal["", "never used", "used indoors", "used outdoors", "pallets or crates"] = ""
    """What it was before; empty while not known."""
    metal: Literal["", "none found", "found"] = ""
    """Nails, screws or wire in it; empty until somebody looked with a detector."""
    coat: Literal["", "bare", "paint or varnish", "preservative"] = ""
    """What was ever put on it or into it; empty while not known."""
    marks_may_show: bool = False
    """Old nail holes and small sound knots are wanted where they show."""

    @property
    def is_reclaimed(self) -> bool:
        """Whether it served before."""
        return self.been not in ("", "never used")


class Wants(Part):
    """What the client wishes for, each from 0 (no matter) to 2 (matters much)."""

    tone: Literal["any", "light", "mid", "dark", "red", "dark red", "warm", "golden", "brown"] = "any"
    """How light or dark, or of which hue."""
    may_go_grey: bool = True
    small_movement: int = Field(1, ge=0, le=2)
    light_weight: int = Field(1, ge=0, le=2)
    hard_surface: int = Field(1, ge=0, le=2)
    easy_to_work: int = Field(1, ge=0, le=2)
    no_tannin_run: int = Field(0, ge=0, le=2)
    keeps_colour: int = Field(0, ge=0, le=2)
    """Indoors, in the light of years."""
    liked: tuple[Annotated[str, Field(min_length=1, max_length=80)], ...] = Field((), max_length=12)
    """Names of timbers that the client likes."""
    unwanted: tuple[Annotated[str, Field(min_length=1, max_length=80)], ...] = Field((), max_length=40)
    """Names of timbers that the client does not want."""
    no_tropical: bool = False
    local: bool = False
    """Timber grown in the country where the job is, or in its part of the world."""
    none_listed: bool = False
    """None that CITES lists or the IUCN Red List calls threatened."""

    @model_validator(mode="after")
    def _not_both(self):
        both = [n for n in self.unwanted if n in self.liked]
        if both:
            raise ValueError(f"{', '.join(both)} is liked and not wanted at once; take it out of one of the two")
        return self


class SeasonAir(Part):
    """Mean air of one season, over some weeks; empty while not known."""

    temperature_c: float | None = Field(None, ge=-40, le=50)
    humidity_pct: float | None = Field(None, ge=5, le=95)

    @property
    def known(self) -> bool:
        return self.temperature_c is not None and self.humidity_pct is not None

    @property
    def begun(self) -> bool:
        """One of the two is known and the other is not."""
        return not self.known and (self.temperature_c is not None or self.humidity_pct is not None)


class OwnClimate(Part):
    """The air of the place entered by hand; used instead of the climate on file once summer and winter are known.

    Where only heated rooms were measured, they stand beside the outdoor air of the climate on file.
    """

    summer: SeasonAir = SeasonAir()
    winter: SeasonAir = SeasonAir()
    spring: SeasonAir = SeasonAir()
    autumn: SeasonAir = SeasonAir()
    heated_summer: SeasonAir = SeasonAir()
    """In the heated rooms, where someone measured."""
    heated_winter: SeasonAir = SeasonAir()

    @property
    def seasons(self) -> dict[str, SeasonAir]:
        return {name: getattr(self, name) for name in type(self).model_fields}

    @property
    def rooms_alone(self) -> bool:
        """Only heated rooms were measured."""
        outdoors = (self.summer, self.winter, self.spring, self.autumn)
        return (self.heated_summer.known or self.heated_winter.known) and not any(a.known or a.begun for a in outdoors)

    @property
    def complete(self) -> bool:
        return (self.summer.known and self.winter.known) or self.rooms_alone

    @property
    def begun(self) -> bool:
        return any(a.known or a.begun for a in self.seasons.values())

    @property
    def missing(self) -> tuple[str, ...]:
        """What is wanted before all that was entered can be used: 'winter humidity'."""
        out = []
        for name, air in self.seasons.items():
            if self.begun and (air.begun or (name in ("summer", "winter") and not air.known and not self.rooms_alone)):
                words = name.replace("heated_", "heated rooms, ")
                out += [f"{words} temperature"] if air.temperature_c is None else []
                out += [f"{words} humidity"] if air.humidity_pct is None else []
        return tuple(out)

    @model_validator(mode="after")
    def _summer_is_the_warmer(self):
        warm, cold = self.summer.temperature_c, self.winter.temperature_c
        if warm is not None and cold is not None and warm < cold:
            raise ValueError(
                f"summer at {warm:g} °C is colder than winter at {cold:g}; turn them round, or mend the winter first"
            )
        return self

    def air(self, climate: str):
        """The climate as ``studio_lib.timber`` takes it, outdoors as the one on file where only rooms were measured; None while not complete."""
        from studio_lib.timber import Air, climates
        from studio_lib.timber import OwnClimate as Entered

        if not self.complete:
            return None

        def known(*names):
            found = ((n.removeprefix("heated_"), getattr(self, n)) for n in names)
            return tuple(Air(n, a.temperature_c, a.humidity_pct) for n, a in found if a.known)

        rooms = known("heated_winter", "heated_summer")
        if not self.rooms_alone:
            return Entered(known("winter", "summer", "spring", "autumn"), rooms)
        outdoors = next(c.outdoors for c in climates() if c.name == climate)
        called = dict(zip(("winter", "summer"), (a.season for a in outdoors)))  # where rain makes the seasons they have other names
        return Entered(outdoors, tuple(replace(a, season=called[a.season]) for a in rooms))


Length = Annotated[float | None, Field(gt=0, le=10_000)]
"""A size of a wish, empty while nobody has said it. [mm]"""
Gap = Annotated[float | None, Field(ge=0, le=5_000)]


class AnyWish(Part):
    """Rough sizes of something in the wish that wind, a child or the wood's movement decides."""

    name: str = Field(min_length=1, max_length=60)


class ScreenWish(AnyWish):
    """A screen or other tall thing that stands free."""

    kind: Literal["free-standing screen"] = "free-standing screen"
    height_mm: Length = None
    width_mm: Length = None
    solid_pct: Annotated[float | None, Field(gt=0, le=100)] = None
    weight_kg: Annotated[float | None, Field(gt=0, le=2_000)] = None
    """With what weighs its feet down."""
    foot_mm: Length = None
    """From its middle to the edge it would tip over."""
    held_down: bool = False
    """Fixed to ground or wall."""


class CaseWish(AnyWish):
    """A bookcase, cabinet, wardrobe or chest of drawers."""

    kind: Literal["tall case"] = "tall case"
    height_mm: Length = None
    width_mm: Length = None
    depth_mm: Length = None
    weight_kg: Annotated[float | None, Field(gt=0, le=2_000)] = None
    """Empty."""
    drawers_or_doors: bool = True
    opens_mm: Annotated[float | None, Field(ge=0, le=2_000)] = None
    """How far a drawer or door stands out beyond the front feet."""
    fixed_to_wall: bool = False


class InsideWish(AnyWish):
    """Something with a lid, drawer or door that a child could climb into."""

    kind: Literal["lid, drawer or door"] = "lid, drawer or door"
    length_mm: Length = None
    width_mm: Length = None
    height_mm: Length = None
    """Inside, all three."""
    air_holes_mm2: float = Field(0.0, ge=0, le=1e6)
    opens_from_inside_n: Annotated[float | None, Field(ge=0, le=2_000)] = None
    """None: it locks or latches."""
    lid: Literal["no lid", "stays where let go", "falls by itself"] = "falls by itself"


class RigidWish(AnyWish):
    """Solid wood held fast across its grain."""

    kind: Literal["held across the grain"] = "held across the grain"
    width_mm: Length = None
    slack_mm: float = Field(0.0, ge=0, le=200)
    """What its fixings let it move in all; 0 glued or screwed fast."""


class ShelfWish(AnyWish):
    """A board on two supports under a load."""

    kind: Literal["long shelf"] = "long shelf"
    span_mm: Length = None
    depth_mm: Length = None
    thickness_mm: Annotated[float | None, Field(gt=0, le=300)] = None
    load_kg_m: Annotated[float | None, Field(gt=0, le=500)] = None


class _Gapped(AnyWish):
    gap_least_mm: Gap = None
    gap_greatest_mm: Gap = None

    @model_validator(mode="after")
    def _least_is_least(self):
        least, greatest = self.gap_least_mm, self.gap_greatest_mm
        if least is not None and greatest is not None and least > greatest:
            raise ValueError(f"the gap is {least:g} mm at the least and {greatest:g} mm at the most; turn them round")
        return self


class GapsWish(_Gapped):
    """Gaps, openings and level rails that stay as they are."""

    kind: Literal["gaps, openings, rails"] = "gaps, openings, rails"
    opening_width_mm: Gap = None
    opening_height_mm: Gap = None
    rails_mm: tuple[Annotated[float, Field(gt=0, le=5_000)], ...] = ()
    """Heights of level rails and ledges above the floor."""


class MovingWish(_Gapped):
    """Parts that move towards each other: hinged, folding, sliding."""

    kind: Literal["moving parts"] = "moving parts"


Wish = Annotated[
    ScreenWish | CaseWish | InsideWish | RigidWish | ShelfWish | GapsWish | MovingWish, Field(discriminator="kind")
]


class Point(Part):
    """One thing the client asked for, and how it is answered."""

    words: str = Field(min_length=1, max_length=240)
    answer: Literal["", "in it", "in part", "not in it", "noted"] = ""
    """Whether this offer holds it; empty while not settled."""
    note: str = Field("", max_length=240)
    """In the maker's words, printed beside it."""


GROWN_FROM_YEARS = 12.0
"""From this age on nobody is taken to climb on furniture as a child does; a judgement of ours."""


class Brief(Part):
    """What the client said, and what was seen on the spot."""

    asked: str = ""
    """In the client's words."""
    weighed: str = ""
    """The same as they stood when the maker had taken from them what there was to take."""
    points: tuple[Point, ...] = Field((), max_length=40)
    """The same point by point, each answered on the quote."""
    answer: str = Field("", max_length=2_000)
    """The maker's own words to the client, printed in the quote under what is offered."""
    decides: str = ""
    """Who decides, and who else must like it."""
    people: int = Field(6, ge=1, le=40)
    share_women: float = Field(0.5, ge=0, le=1)
    children: bool = False
    child_ages: tuple[Annotated[float, Field(ge=0, le=17)], ...] = ()
    children_alone: bool | None = None
    """It is for children and nobody else; None while not asked. Only then is it sized to them."""
    wheelchair: bool = False
    wheelchair_at: Literal["", "end", "side"] = ""
    """Where it pulls up: at one end of a table, at the middle of one long side; empty is anywhere along it."""
    wheelchair_knees_mm: float | None = Field(None, ge=500, le=900)
    """Height that knees and the arms of the chair ask for, where the client says; None is that of the standard."""
    frail: bool = False
    large: bool = False
    """Someone is very broad or heavy; older books mean very tall by it too."""
    tallest_person_mm: float | None = Field(None, ge=1_300, le=2_100)
    """Stature of the tallest grown person who uses it, where it matters."""
    heaviest_kg: float | None = Field(None, ge=30, le=300)
    """Weight of the heaviest person who sits on it, where it matters."""
    use: Use = "household"
    place: Place = "indoors, heated"
    climate: str = "temperate inland"
    own_climate: OwnClimate = OwnClimate()
    wind: Literal["", "sheltered", "open", "exposed"] = ""
    wind_m_s: Annotated[float | None, Field(ge=5, le=90)] = None
    """Gusts known for the place; used before the word."""
    wishes: tuple[Wish, ...] | None = None
    """What wind, a child or movement decides in the wish; None while not asked."""
    years_wanted: int = Field(20, ge=1, le=200)
    """As it begins, a figure to reckon with that nobody has asked for; see ``years_asked``."""
    wetted: bool = False
    """Now and then: indoors it is splashed, or walls and floor sweat; under cover rain blows in."""
    by_the_sea: bool | None = None
    sun_side: str = ""
    ground: Literal["", "paving", "tiles over a membrane", "gravel", "grass", "deck", "floor", "heated floor", "springing floor", "carpet"] = ""
    under_feet: Literal["", "plates", "left to the client"] = ""
    """On gravel or grass: what the maker lays under the feet; empty is slabs, as proposed."""
    heating_below: bool | None = None
    carries: str = ""
    """Books, plants, people leaning, hot pans."""
    tallest_mm: Annotated[float | None, Field(ge=50, le=2_000)] = None
    """The tallest book or thing that is to stand on a shelf."""
    deepest_mm: Annotated[float | None, Field(ge=20, le=1_000)] = None
    """The deepest of them, from front to back."""
    thick_mm: Annotated[float | None, Field(gt=0, le=1_000)] = None
    """How thick each of them is, standing side by side."""
    how_many: Annotated[int | None, Field(ge=1, le=100_000)] = None
    """How many of them are to go in."""
    beside_a_drop: bool | None = None
    drop_mm: float = Field(0.0, ge=0, le=100_000)
    people_below: bool | None = None
    """Whether people pass or stay below that drop."""
    nothing_drilled: bool = False
    """No hole may be made where it stands: in facade, walls, floor or railing."""
    railing_mm: Annotated[float | None, Field(ge=500, le=1_500)] = None
    """A railing that it may be clamped to: its top rail above the floor."""
    railing_low_mm: Annotated[float | None, Field(ge=20, le=1_000)] = None
    """Its lower rail, or the foot of its posts, above the floor."""
    railing_climbed: bool | None = None
    """Whether it has level bars that a child climbs."""
    needs_leave: tuple[str, ...] | None = None
    """What gives others a say, of ``studio_lib.brief.refusals.triggers``; None while not asked."""
    leave_given: tuple[str, ...] = ()
    may_forbid: str = ""
    heft: Literal["", "light", "chunky"] = ""
    metal: Literal["", "may be seen", "no screws to be seen", "none to be seen", "none at all"] = ""
    """Screws, bolts and hinges; empty while not asked."""
    care_done: Literal["", "none", "once a year", "when it shows"] = ""
    sheen: Literal["", "matt", "satin", "gloss"] = ""
    """How the finish is to shine; empty for no wish."""
    little_smell: bool = False
    """Someone sleeps beside it, or bears smells badly."""
    allergies: tuple[str, ...] = Field((), max_length=12)
    """What someone there is allergic to, of ``studio_lib.finishing.allergens``; timbers are among ``wants.unwanted``."""
    brings_timber: bool = False
    their_timber: TheirTimber = TheirTimber()
    queue_weeks: float = Field(0.0, ge=0, le=200)
    """Until the maker can begin."""
    wants: Wants = Wants()
    space_length_mm: float | None = Field(None, gt=0, le=100_000)
    space_width_mm: float | None = Field(None, gt=0, le=100_000)
    most_length_mm: float | None = Field(None, gt=0, le=100_000)
    """The piece itself is to be no longer than this; the room is ``space_length_mm``."""
    most_width_mm: float | None = Field(None, gt=0, le=100_000)
    """No deeper, from front to back."""
    most_height_mm: float | None = Field(None, gt=0, le=100_000)
    skirting_high_mm: float | None = Field(None, ge=0, le=400)
    """Height of the skirting board where the piece stands at a wall; 0 for none."""
    skirting_deep_mm: float | None = Field(None, ge=0, le=80)
    """How far it stands off the wall."""
    out_of_plumb_mm: float | None = Field(None, ge=0, le=200)
    """How far the walls lean over 2 m of height."""
    floor_falls_mm: float | None = Field(None, ge=0, le=200)
    """How far the floor or the ground falls over 2 m."""
    fall_met: Literal["", "level slabs under the feet", "longer legs on the low side"] = ""
    """How a piece that stands free is brought level on it; empty while the maker has not chosen."""
    openings: tuple[Opening, ...] = ()
    finish: Finish = "oil"
    paint_colour: str = Field("", max_length=80)
    """In words or by the number of the paint's maker; counts where the finish is paint."""
    budget: Money | None = None
    wanted_by: date | None = Field(None, ge=date(2000, 1, 1), le=date(2199, 12, 31))

    @property
    def years_asked(self) -> bool:
        """Whether the client is known to have said for how many years: the figure is not the one a brief begins with."""
        return self.years_wanted != Brief.model_fields["years_wanted"].default

    @property
    def sized_to_children(self) -> bool:
        """Whether its sizes are made for children: it is for them alone, and their ages are known."""
        return bool(self.children_alone and self.ages_sized)

    @property
    def ages_sized(self) -> tuple[float, ...]:
        """Ages for which body sizes are on file; smaller children are kept safe, nothing is sized to them."""
        return tuple(age for age in self.child_ages if age >= 2)

    @property
    def no_metal(self) -> str:
        """'no screws to be seen', 'none to be seen' or 'none at all' where that is wished; empty where metal may be seen or nobody asked."""
        return "" if self.metal == "may be seen" else self.metal

    @property
    def fixed_to_building(self) -> bool:
        """Whether it is to be fixed to the wall, wherever in the brief that was said."""
        wished = any(isinstance(w, CaseWish) and w.fixed_to_wall for w in self.wishes or ())
        return wished or FIXED in (self.needs_leave or ())

    @property
    def near_children(self) -> bool:
        """Whether children come near it that climb and put fingers in gaps: they use it, or it stands in public."""
        if self.child_ages:
            return min(self.child_ages) < GROWN_FROM_YEARS or self.use == "public"
        return self.children or bool(self.children_alone) or self.use == "public"

    @property
    def limits_mm(self) -> tuple[float | None, float | None, float | None]:
        """No longer, deeper, higher than this, by the room and by what was asked; None where nothing limits it. [mm]"""
        def least(*said):
            return min((x for x in said if x is not None), default=None)

        return (least(self.most_length_mm, self.space_length_mm), least(self.most_width_mm, self.space_width_mm), self.most_height_mm)

    @property
    def climate_words(self) -> str:
        """The climate it is reckoned with: one on file, or the air entered for the place."""
        own = self.own_climate
        if not own.complete:
            return self.climate
        each = (
            f"{n.replace('_', ', ')} {a.temperature_c:g} °C {a.humidity_pct:g} %"
            for n, a in own.seasons.items() if a.known
        )
        return f"{self.climate + ', ' if own.rooms_alone else ''}own air: " + "; ".join(each)

    @field_validator("climate")
    @classmethod
    def _climate_is_on_file(cls, name):
        from studio_lib.timber import climates

        on_file = [c.name for c in climates()]
        if name.strip().casefold() not in on_file:
            raise ValueError(f"choose one of {', '.join(on_file)}; or enter the air of the place by hand")
        return name.strip().casefold()

    @field_validator("needs_leave", "leave_given")
    @classmethod
    def _leave_is_on_file(cls, words):
        from studio_lib.brief.refusals import triggers

        unknown = [word for word in words or () if word not in triggers()]
        if unknown:
            raise ValueError(f"{', '.join(map(repr, unknown))} is not on file; give any of {', '.join(triggers())}")
        return words

    @field_validator("allergies")
    @classmethod
    def _allergens_are_on_file(cls, names):
        from studio_lib.finishing import allergens

        unknown = [name for name in names if name not in allergens()]
        if unknown:
            raise ValueError(f"{', '.join(map(repr, unknown))} is not on file; give any of {', '.join(allergens())}; timbers go under 'Timbers not wanted'")
        return names

    @field_validator("wishes")
    @classmethod
    def _wishes_differ(cls, wishes):
        _each_once((w.name for w in wishes or ()), "two wishes are both called {}; give each its own name")
        return wishes


class LifeDetails(Part):
    """How the piece is made to stand outdoors."""

    drained: bool = True
    end_grain_sealed: bool = False
    off_the_ground: bool = True
    traps_water: bool = False
    roofed: bool = False


class MoistureReading(Part):
    """One reading of the meter, as it showed."""

    day: date
    board: str = Field(min_length=1, max_length=20)
    depth_mm: float = Field(ge=0, le=200)
    percent: float = Field(ge=4, le=60)
    temperature_c: float = Field(20.0, ge=-10, le=50)
    instrument_species: str = ""
    kind: Literal["pin", "pinless"] = "pin"


class TimberWeights(Part):
    """How much each thing matters in the choice, 0 not at all to 10 most; set by maker and client together."""

    life: float = Field(6, ge=0, le=10)
    movement: float = Field(3, ge=0, le=10)
    weight: float = Field(1, ge=0, le=10)
    look: float = Field(2, ge=0, le=10)
    workability: float = Field(2, ge=0, le=10)
    price: float = Field(0, ge=0, le=10)
    availability: float = Field(0, ge=0, le=10)
    provenance: float = Field(2, ge=0, le=10)
    hardness: float = Field(4, ge=0, le=10)


class TimberOrigin(Part):
    """What the papers say of where the timber comes from; empty where not known."""

    origin: Literal["bought", "recycled", "own or urban tree"] = "bought"
    harvest_country: str = ""
    harvest_region: str = ""
    supplier_name: str = ""
    invoice_number: str = ""
    claim_text: str = ""
    """Certification claim, letter for letter as on the invoice."""
    supplier_certificate: str = ""
    supplier_checked_on: date | None = None
    maker_certificate: str = ""
    evidence_of_legality: str = ""
    market: Literal["", "EU", "Australia", "USA"] = ""
    """Where the piece is first sold."""


class TriedDetail(Part):
    """One way of letting wood move, tried with sizes of the maker's own."""

    detail: str
    """One of ``studio_lib.timber.try_out.DETAILS``, by name."""
    where: str = Field("", max_length=60)
    """On what: 'table top'."""
    size_mm: float = Field(gt=0, le=5_000)
    """Across the grain, of what moves."""
    ring_angle_deg: float | None = Field(None, ge=0, le=90)
    """Of this very part; None takes that of the boards."""
    figures: dict[str, float] = Field(default_factory=dict)
    """What the detail asks for; those left out begin at its usual figures."""

    @model_validator(mode="after")
    def _can_be(self):
        from studio_lib.timber.try_out import detail

        try:
            known = detail(self.detail)
        except KeyError as error:
            raise ValueError(error.args[0]) from None
        object.__setattr__(self, "figures", known.figures(self.figures))
        known.refuse(self.size_mm, self.figures)
        return self


class DrawnRings(Part):
    """One growth ring as it was marked on the end of a board, in three points from the middle of that end."""

    width_mm: float = Field(200, ge=10, le=1_500)
    thickness_mm: float = Field(30, ge=5, le=300)
    points: tuple[tuple[float, float], ...] = Field(min_length=3, max_length=3)
    """(x along the width, y along the thickness), each on the board. [mm]"""

    @model_validator(mode="after")
    def _can_be(self):
        self.heart()
        return self

    def heart(self):
        """Where the heart lay, as ``studio_lib.timber.rings`` takes it. Raises ValueError for points of no ring."""
        from studio_lib.timber.rings import heart_of_ring

        return heart_of_ring(self.points, self.width_mm, self.thickness_mm)


Fixings = Literal["", "stainless steel", "stainless steel 316 (A4)", "brass or bronze", "zinc-plated steel", "bare steel"]


class TimberChoice(Part):
    """The timber the piece is made of."""

    species: str | None = None
    glue: str = ""
    """Family of ``studio_lib.finishing.adhesives``; empty while not chosen."""
    finish_family: str = ""
    """Family of ``studio_lib.finishing.finishes``; empty while not chosen."""
    fixings_metal: Fixings = ""
    """Of screws, bolts and plates; empty while not chosen: ``Derived.metal`` proposes it then."""
    steel_wool: bool = False
    """Whether surfaces are rubbed down with it."""
    ring_angle_deg: float | None = Field(None, ge=0, le=90)
    """Between rings and face, measured on the boards; goes before ``rings`` and ``sawing``."""
    rings: DrawnRings | None = None
    """Drawn on the end grain; goes before ``sawing``."""
    tried: tuple[TriedDetail, ...] = Field((), max_length=20)
    """Details that let wood move, as the maker tries them."""
    meter_correction_pct: float | None = Field(None, ge=-10, le=10)
    """Points to add to what the moisture meter shows in this timber, by the meter's own table; None: not known."""
    weights: TimberWeights = TimberWeights()
    compared: tuple[str, ...] = Field((), max_length=3)
    """Other timbers held against the chosen one on this very piece."""
    details: LifeDetails = LifeDetails()
    readings: tuple[MoistureReading, ...] = ()
    origin: TimberOrigin = TimberOrigin()
    sawing: Sawing = "mixed"
    making_moisture_pct: float | None = Field(None, ge=4, le=25)
    """Measured or agreed; None takes the middle of what the place will do."""
    stand_ins: tuple[str, ...] = ()
    """Missing figures for which the maker accepted the conservative stand-in."""

    @model_validator(mode="after")
    def _families_are_on_file(self):
        from studio_lib.finishing import adhesives, finishes

        for name, on_file in (("glue", adhesives()), ("finish_family", finishes())):
            given = getattr(self, name)
            families = [one.family for one in on_file]
            if given and given not in families:
                raise ValueError(f"{name} is {given!r}; give one of {'; '.join(families)}, or leave it empty")
        return self


class Change(Part):
    """One departure from the form. References stay good when sizes of the form change."""

    off: bool = False
    """Laid aside for the time being, and kept."""


Millimetres = Annotated[float, Field(ge=-10_000, le=10_000)]
Shift = tuple[Millimetres, Millimetres, Millimetres]
Direction = Literal["x", "y", "z", "-x", "-y", "-z"]
Timbered = Annotated[float, Field(ge=3, le=6_000)]
Ref = Annotated[str, Field(pattern=r"^([A-Z]{1,4}-)?[A-Z]{1,2}[0-9]{1,3}$")]


class Adjustment(Change):
    """A member's own width, thickness, length, arris, name, timber, rank, or the boards glued into its width."""

    kind: Literal["alter"] = "alter"
    member: str
    """Reference, 'A-S3'."""
    field: Literal["width_mm", "thickness_mm", "length_mm", "arris_mm", "name", "rank", "timber", "boards"]
    value: float | str

    @model_validator(mode="after")
    def _fits_its_field(self):
        if self.field in ("name", "rank", "timber"):
            if not isinstance(self.value, str) or not self.value.strip():
                raise ValueError(f"{self.field} takes words, not {self.value!r}")
            if self.field == "rank" and self.value not in ("show", "plain", "hidden"):
                raise ValueError(f"rank is {self.value!r}; give show, plain or hidden")
        elif self.field == "boards":
            if not isinstance(self.value, int | float) or self.value not in range(1, 13):
                raise ValueError(f"boards is {self.value!r}; give a whole number, 1 to 12")
        else:
            low, high = {"arris_mm": (0.0, 600), "length_mm": (10.0, 6_000)}.get(self.field, (5.0, 600))
            if not isinstance(self.value, int | float) or not low <= self.value <= high:
                raise ValueError(f"{self.field} is {self.value!r}; give {low:.0f} to {high} mm")
        return self


class Moved(Change):
    """A member shifted in the piece, and turned about its own middle."""

    kind: Literal["move"] = "move"
    member: str
    by_mm: Shift = (0.0, 0.0, 0.0)
    turn_deg: float = Field(0.0, ge=-180, le=180)
    about: Literal["length", "width", "thickness"] = "thickness"


class Copied(Change):
    """A second member like another, with the joints the other has where they can be made."""

    kind: Literal["copy"] = "copy"
    member: str
    ref: Ref
    name: str = ""
    by_mm: Shift = (0.0, 0.0, 0.0)
    with_joints: bool = True


class Removed(Change):
    """A member taken out, and its joints with it."""

    kind: Literal["remove"] = "remove"
    member: str


class ByCorner(Part):
    """Square to the piece, by the least x, y and z of the block it fills."""

    kind: Literal["corner"] = "corner"
    at_mm: Shift
    along: Direction = "x"
    across: Direction = "y"


class Against(Part):
    """Touching one side of another member; aligned on the free axes, the middle where nothing is said."""

    kind: Literal["against"] = "against"
    other: str
    side: Literal["left", "right", "front", "behind", "below", "above"]
    along: Direction = "x"
    across: Direction = "y"
    align: dict[Literal["x", "y", "z"], Literal["low", "middle", "high"]] = Field(default_factory=dict)
    shift_mm: Shift = (0.0, 0.0, 0.0)


class Spanning(Part):
    """Filling the gap between two members, as a rail does; its length follows theirs."""

    kind: Literal["between"] = "between"
    one: str
    two: str
    upright: bool = True
    align: dict[Literal["x", "y", "z"], Literal["low", "middle", "high"]] = Field(default_factory=dict)
    shift_mm: Shift = (0.0, 0.0, 0.0)


class Added(Change):
    """A member that no form gave."""

    kind: Literal["add"] = "add"
    ref: Ref
    name: str = Field(min_length=1, max_length=60)
    role: str = Field("member", min_length=1, max_length=40)
    timber: str = ""
    length_mm: Timbered = 500.0
    """Between two members it is what the gap is."""
    width_mm: Timbered
    thickness_mm: Timbered
    arris_mm: float = Field(0.0, ge=0, le=60)
    rank: Rank = "show"
    place: Annotated[ByCorner | Against | Spanning, Field(discriminator="kind")]


class Shaped(Change):
    """A bevel, taper, arch, row of holes or end cut worked on a member."""

    kind: Literal["shape"] = "shape"
    member: str
    shaping: str
    figures: dict[str, float | str] = Field(default_factory=dict)


class Joined(Change):
    """A joint of the maker's own between two members."""

    kind: Literal["join"] = "join"
    joint: str
    first: str
    second: str
    family: str = Field("", max_length=80)


class Unjoined(Change):
    """The joint between two members left out."""

    kind: Literal["unjoin"] = "unjoin"
    first: str
    second: str


class Swapped(Change):
    """Another kind of joint for all of a family."""

    kind: Literal["swap"] = "swap"
    family: str
    joint: str


def _change_kind(value) -> str:
    """A change written before there were kinds is one that alters a member."""
    return value.get("kind", "alter") if isinstance(value, dict) else value.kind


CHANGES = (Adjustment, Moved, Copied, Removed, Added, Shaped, Joined, Unjoined, Swapped)
AnyChange = Annotated[
    Annotated[Adjustment, Tag("alter")] | Annotated[Moved, Tag("move")] | Annotated[Copied, Tag("copy")]
    | Annotated[Removed, Tag("remove")] | Annotated[Added, Tag("add")] | Annotated[Shaped, Tag("shape")]
    | Annotated[Joined, Tag("join")] | Annotated[Unjoined, Tag("unjoin")] | Annotated[Swapped, Tag("swap")],
    Discriminator(_change_kind),
]


class Item(Part):
    """One piece of furniture in the commission."""

    name: str = Field(min_length=1, max_length=80)
    form: str
    count: int = Field(1, ge=1, le=200)
    table: Literal["", "eaten at", "low", "written at"] = ""
    """Of a table: whether people eat at it, someone writes at it, or nobody sits; empty: by its height. Nothing for other pieces."""
    place: Literal["", Place] = ""
    """Where this piece stands, where that is elsewhere than the brief says; empty: as the brief says."""
    stands: Literal["", "at the table", "by itself", "at a wall"] = ""
    """Of a seat: at the table of the commission, or not; empty: at it where there is one to eat at. A case may stand at a wall."""
    sizes: dict[str, float] = Field(default_factory=dict)
    """Only the sizes the maker set; the form proposes the rest from the brief."""
    joints: dict[str, dict[str, float]] = Field(default_factory=dict)
    """Sizes the maker set, by joint family: {'long apron into leg': {'thickness_mm': 12}}."""
    adjustments: tuple[AnyChange, ...] = Field((), max_length=2_000)
    """Departures from the form, in the order they are made."""
    loads: dict[str, float] = Field(default_factory=dict)
    """Only the loads the maker set, by name (``structure.loads.NAMES``); the use of the piece gives the rest. [N], [N/m2]"""
    leans_back: bool = False
    """Someone leans back on two legs of it and rocks."""
    on_shelves: dict[str, str] = Field(default_factory=dict, max_length=100)
    """What stands on a shelf, by its reference, one of ``structure.loads.goods``; the rest carry what ``loads`` says."""

    @field_validator("on_shelves")
    @classmethod
    def _goods_are_known(cls, on_shelves):
        from studio_lib.structure.loads import goods

        for ref, kept in on_shelves.items():
            if kept not in goods():
                raise ValueError(f"what stands on shelf {ref} is {kept!r}; give one of: {', '.join(goods())}")
        return on_shelves

    @field_validator("loads")
    @classmethod
    def _loads_can_be(cls, loads):
        from studio_lib.structure.loads import LIMITS, NAMES

        for name, value in loads.items():
            if name not in NAMES:
                raise ValueError(f"there is no load {name!r}; there are: {', '.join(NAMES)}")
            low, high = LIMITS[name]
            if not low <= value <= high:
                words, _, unit = NAMES[name].rpartition(", ")
                raise ValueError(f"{words.lower()} is {value:g} {unit}; give {low:g} to {high:g} {unit}: more is no load of furniture")
        return loads


class BoardFault(Part):
    """A knot, split or edge of sapwood, as a rectangle on a board."""

    x0_mm: float = Field(ge=0)
    x1_mm: float
    y0_mm: float = Field(ge=0)
    y1_mm: float
    severity: int = Field(ge=0, le=3)
    """See ``stock.boards.Fault``."""
    name: str = "knot"
    face: Literal["both", "front", "back"] = "both"
    """Right through, or on one face only."""

    @model_validator(mode="after")
    def _has_extent(self):
        if self.x1_mm <= self.x0_mm or self.y1_mm <= self.y0_mm:
            raise ValueError(
                f"fault {self.name!r} runs from {self.x0_mm:g} to {self.x1_mm:g} mm along and "
                f"{self.y0_mm:g} to {self.y1_mm:g} mm across; each second figure must be the larger"
            )
        return self


class OfferedBoard(Part):
    """A board the yard or the rack offers, or that the client brings."""

    ref: str = Field(min_length=1, max_length=20)
    timber: str
    """Empty for a client's board that nobody can name yet: it is taken as the timber chosen."""
    length_mm: float = Field(gt=0, le=15_000)
    width_mm: float = Field(gt=0, le=1_500)
    thickness_mm: float = Field(gt=0, le=300)
    price: Money
    count: int | None = Field(1, ge=1)
    """None: as many as wanted."""
    faults: tuple[BoardFault, ...] = ()
    source: Literal["yard", "rack", "client"] = "yard"
    """Who has it; the client's own costs nothing and is asked for nowhere."""
    width_end_mm: float | None = Field(None, gt=0, le=1_500)
    """Width at the right end of a board that tapers; ``width_mm`` is then at the left end."""
    grain: tuple[Literal["straight", "quarter-sawn"], ...] = ()
    """What was seen of its grain."""
    grade: str = Field("", max_length=40)
    yard: str = Field("", max_length=60)
    state: Literal["seen", "taken", "put back"] = "seen"
    """What became of it at the yard."""
    picture: str = Field("", max_length=120)
    """Name of a picture kept with the commission."""

    @model_validator(mode="after")
    def _faults_lie_on_it(self):
        widest = max(self.width_mm, self.width_end_mm or 0.0)
        for f in self.faults:
            if f.x1_mm > self.length_mm or f.y1_mm > widest:
                raise ValueError(
                    f"board {self.ref}: fault {f.name!r} reaches {f.x1_mm:g} x {f.y1_mm:g} mm, "
                    f"off a board of {self.length_mm:g} x {widest:g} mm"
                )
        return self


class StockSize(Part):
    """A section a yard sells in some lengths, as many as wanted."""

    name: str = Field(min_length=1, max_length=14)
    timber: str
    width_mm: float = Field(gt=0, le=1_500)
    thickness_mm: float = Field(gt=0, le=300)
    least_length_mm: float = Field(gt=0, le=15_000)
    longest_mm: float = Field(gt=0, le=15_000)
    step_mm: float | None = Field(300.0, ge=50, le=5_000)
    """None: random lengths; only the least can be counted on."""
    price: Money
    per: Literal["metre", "cubic metre", "board foot"] = "metre"
    yard: str = Field("", max_length=60)
    grade: str = Field("", max_length=40)
    yield_pct: float = Field(100.0, ge=10, le=100)
    """Share of what is bought that is sound enough, by its grade."""
    grain: tuple[Literal["straight", "quarter-sawn"], ...] = ()

    @model_validator(mode="after")
    def _lengths_can_be(self):
        if self.longest_mm < self.least_length_mm:
            raise ValueError(
                f"stock {self.name}: lengths from {self.least_length_mm:g} to {self.longest_mm:g} mm; the second must not be the less"
            )
        if self.step_mm and (self.longest_mm - self.least_length_mm) / self.step_mm > 60:
            raise ValueError(f"stock {self.name}: more than 60 lengths; make the step larger than {self.step_mm:g} mm")
        return self


class Yard(Part):
    """Who sells boards, and what it takes to get them here."""

    name: str = Field(min_length=1, max_length=60)
    minimum_order: Money = Decimal(0)
    delivery: Money = Decimal(0)


class PieceMark(Part):
    """What one line of the cutting list asks for beside its sizes."""

    ref: str
    spares: int = Field(0, ge=0, le=50)
    match: Literal["", "same board", "consecutive", "book-matched"] = ""
    set: str = Field("", max_length=20)
    """Lines of one set match each other; empty: the line matches within itself."""
    shown: Literal["both", "one"] = "both"
    """Faces of a show piece that are seen."""
    face: str = Field("", max_length=40)
    """Face mark: which face, which edge."""
    grain: tuple[Literal["straight", "quarter-sawn"], ...] = ()
    to_fit: bool | None = None
    """Cut to fit its place; None: as its kind has it."""


class KeptPlace(Part):
    """A choice that stays: so many of a line from one board."""

    piece: str
    board: str
    count: int = Field(1, ge=1, le=500)


class BoardChoices(Part):
    """Machine settings, the boards seen, and the layout the maker settled on."""

    kerf_mm: float = Field(4.0, ge=0, le=12)
    resaw_kerf_mm: float | None = Field(3.0, ge=0, le=12)
    """None: boards are not resawn in thickness."""
    dressing_mm: float = Field(5.0, ge=0, le=20)
    """Taken off the thickness by both faces together."""
    edging_mm: float = Field(5.0, ge=0, le=30)
    docking_mm: float = Field(20.0, ge=0, le=200)
    end_trim_mm: float = Field(25.0, ge=0, le=300)
    priced_on: date | None = None
    """When the yard's prices were asked."""
    offered: tuple[OfferedBoard, ...] = ()
    stock: tuple[StockSize, ...] = ()
    yards: tuple[Yard, ...] = ()
    marks: tuple[PieceMark, ...] = ()
    places: tuple[KeptPlace, ...] = ()
    first_cut: Literal["either", "crosscut", "rip"] = "either"
    moisture_asked_pct: float | None = Field(None, ge=4, le=40)
    """Asked of the yard; None: what the piece is made at."""
    kept_layout: dict | None = None
    """A layout the maker kept; used while it still fits the pieces and the boards."""

    @model_validator(mode="after")
    def _marks_are_not_stock(self):
        names = {s.name for s in self.stock}
        for b in self.offered:
            if b.ref.endswith(" m") and b.ref.rpartition(" ")[0].rpartition(" ")[0] in names:
                raise ValueError(f"board {b.ref}: that is what a length of the stock size is called; give the board another mark")
        return self

    @field_validator("stock", "yards")
    @classmethod
    def _names_differ(cls, rows):
        _each_once((r.name for r in rows), "the name {} stands twice; give each its own")
        return rows

    @field_validator("marks")
    @classmethod
    def _marked_once(cls, marks):
        _each_once((m.ref for m in marks), "{} is marked twice; keep one of the marks")
        for name in {m.set for m in marks if m.set}:
            ways = sorted({m.match for m in marks if m.set == name})
            if len(ways) > 1 or "" in ways:
                raise ValueError(f"lines of set {name!r} ask for {' and '.join(w or 'no match' for w in ways)}; all of a set must match in one way")
        return marks

    @field_validator("offered")
    @classmethod
    def _refs_differ(cls, boards):
        _each_once((b.ref for b in boards), "two boards share the reference {}; give each its own")
        return boards


class OwnPrice(Part):
    """What the maker really pays for glue, finish, abrasives, screws or hardware; goes before the starting price."""

    item: str = Field(min_length=2, max_length=60)
    """As the costing names it, or how those names begin: 'oil', 'butt hinge'."""
    price: Price
    on: date | None = None


class BoughtIn(Part):
    """Work or goods bought for this job: glass, turning, upholstery, metalwork."""

    what: str = Field(min_length=2, max_length=80)
    price: Price | None = None
    """None: not priced yet, which keeps the quote from being firm."""
    on: date | None = None
    currency: str = Field("", pattern=r"^([A-Z]{3})?$")
    """Empty: that of the rates."""


class ExtraWork(Part):
    """Work that makers forget, taken into this costing."""

    operation: str
    """One that ``costing/operations.csv`` offers."""
    count: float = Field(1.0, ge=0, le=500)
    """0 leaves out what is counted by itself."""


class StagePayment(Part):
    """One payment and what it falls due on."""

    share: float = Field(gt=0, le=1)
    event: str = Field(min_length=3, max_length=80)
    """'with the order', 'when the frame stands dry', 'before delivery'."""


OF_AN_HOUR = ("drawings_per_year", "overheads_per_year", "weeks_per_year", "hours_per_week", "billable_share")
"""Rates that make the price of an hour."""


class Rates(Part):
    """What an hour and a litre cost, and what the business must earn. Prices net of tax."""

    currency: str = Field("EUR", pattern=r"^[A-Z]{3}$")
    start_rate: float | None = Field(None, gt=0, le=100_000)
    """What one EUR of the workbook's starting prices is in this currency; None: as ``studio_lib.costing.exchange`` has it."""
    drawings_per_year: Money = Decimal("36000")
    """What the maker takes out to live on."""
    overheads_per_year: Money = Decimal("14000")
    weeks_per_year: float = Field(46, gt=0, le=52)
    hours_per_week: float = Field(40, gt=0, le=80)
    billable_share: float = Field(0.60, gt=0, le=1)
    profit_margin: float = Field(0.10, ge=0, lt=1)
    """Share of the net price, not a markup."""
    mine: bool = False
    """The maker looked at what an hour must bring and says that it is theirs."""
    own_hour: Money | None = Field(None, gt=0)
    """What an hour brings, as the maker says it; None: reckoned from a year."""
    pace: float = Field(1.0, ge=0.3, le=3)
    """The maker's time over the workbook's starting times, for work that no finished job of theirs tells of."""
    quoted_at: Literal[50, 80, 90] = 80
    """The percentile of the hours that the quote is made at."""
    materials_markup: float = Field(0.20, ge=0, le=3)
    bought_in_markup: float = Field(0.10, ge=0, le=3)
    country: str = Field("", max_length=40)
    """Whose tax it is, of ``studio_lib.costing.tax``; empty: the tax set by hand."""
    tax_name: str = "VAT"
    tax_rate: float = Field(0.20, ge=0, le=0.5)
    tax_inclusive: bool = False
    """Lines of the quote are printed with tax in them."""
    round_to: Literal["0.01", "0.05", "1", "5", "10"] = "1"
    """Lines of the quote are rounded to this."""
    learning_rate: float = Field(0.95, ge=0.7, le=1)
    """Share of time that remains each time a large batch doubles; 1 for no gain."""
    design_hours: float = Field(4.0, ge=0, le=500)
    """Drawing, checking and meetings for this job, where they are not counted."""
    design_counted: bool = True
    """They are counted from the piece and the meetings."""
    meetings: int = Field(2, ge=0, le=40)
    with_any_job: float = Field(1.0, ge=0, le=1)
    """Of the hours that come with any job however small, the share that this one pays for: the rest goes with another job, or is given."""
    delivery_km: float = Field(0.0, ge=0, le=5_000)
    delivery_per_km: Money = Decimal("0.60")
    delivery_speed_kmh: float = Field(50.0, ge=5, le=130)
    delivery_people: int | None = Field(None, ge=1, le=20)
    """The maker counted in; None: as the heaviest thing carried asks."""
    helper_per_hour: Money = Decimal("20.00")
    van_carries_kg: float = Field(600.0, gt=0, le=40_000)
    hired_van: Money = Decimal("95.00")
    """For a day, where the load is over what the maker's own carries."""
    prices: tuple[OwnPrice, ...] = Field((), max_length=200)
    bought_in: tuple[BoughtIn, ...] = Field((), max_length=50)
    extra_work: tuple[ExtraWork, ...] = Field((), max_length=60)
    price_age_days: int = Field(60, ge=1, le=730)
    """A price older than this is warned of."""
    deposit_share: float = Field(0.4, ge=0, le=1)
    stages: tuple[StagePayment, ...] = Field((), max_length=8)
    """Empty: the share above with the order, the rest before delivery."""
    valid_days: int = Field(30, ge=1, le=365)
    pay_to: str = Field("", max_length=600)
    """How to pay, as invoices print it: bank and account, a line each."""
    pay_days: int = Field(14, ge=0, le=120)
    terms: str = Field("", max_length=6_000)
    """The maker's own terms, a line each; they follow the workbook's."""

    @property
    def are_a_start(self) -> bool:
        """Nobody has set what an hour must bring yet, nor said that what it begins at is theirs."""
        from studio_lib.costing.exchange import STARTING_AMOUNTS, starting_amount

        def begins(name):
            now, first = getattr(self, name), type(self).model_fields[name].default
            return now == first or name in STARTING_AMOUNTS and now == starting_amount(name, self.currency)

        return not self.mine and self.own_hour is None and all(map(begins, OF_AN_HOUR))

    @property
    def tax_is_a_start(self) -> bool:
        """Nobody has named the country, nor set the tax, nor said that the rates are theirs."""
        return not self.mine and not self.country and all(
            getattr(self, n) == type(self).model_fields[n].default for n in ("tax_name", "tax_rate")
        )

    @property
    def delivery_is_a_start(self) -> bool:
        """The way to the client stands where every job begins; it is a job's own, so it is nobody's to have said in advance."""
        return self.delivery_km == type(self).model_fields["delivery_km"].default

    @field_validator("extra_work")
    @classmethod
    def _is_on_file(cls, rows):
        from studio_lib.costing.operations import standard_times

        unknown = [r.operation for r in rows if r.operation not in standard_times()]
        if unknown:
            raise ValueError(f"{', '.join(map(repr, unknown))} is no operation on file; take one of the list offered")
        return rows

    @field_validator("stages")
    @classmethod
    def _make_the_whole(cls, rows):
        total = sum(r.share for r in rows)
        if rows and abs(total - 1) > 1e-6:
            raise ValueError(f"the payments make {100 * total:g} % together; they must make 100 %")
        return rows

    @model_validator(mode="after")
    def _one_currency(self):
        other = [b.what for b in self.bought_in if b.currency and b.currency != self.currency]
        if other:
            raise ValueError(
                f"{', '.join(other)} is not priced in {self.currency}, and two currencies cannot be added; "
                f"give its price in {self.currency}"
            )
        return self


class Acceptance(Part):
    """A stop that someone answers for, knowing what it says. By role, never by name."""

    key: str = Field(min_length=1)
    role: str = Field(min_length=2, max_length=60)
    on: date
    reason: str = Field(min_length=3, max_length=400)
    """The maker's own note on why; stays in the book."""
    condition: str = Field("", max_length=400)
    """Told to the client among the terms; empty for nothing."""
    utilisation: float | None = None
    """How far over it was when it was accepted; worse than that, it holds again."""
    figure: str = Field("", max_length=60)
    """What the check came to when it was accepted, in words: '60 N'."""

    @model_validator(mode="before")
    @classmethod
    def _one_field_served_both(cls, given):
        """In books written before there was a condition, the reason was told to the client; it goes on being told."""
        if isinstance(given, dict) and "condition" not in given and "figure" not in given and "reason" in given:
            return {**given, "condition": given["reason"]}
        return given


class Option(Part):
    """One way to make the commission, kept beside the one in hand."""

    name: str = Field(min_length=1, max_length=40)
    timber: TimberChoice
    items: tuple[Item, ...]
    to_client: bool = True
    """Shown on the client's page and in the quote, as long as another is in hand."""


MOST_OPTIONS = 4


class HourEntry(Part):
    """Time really spent, by operation, so that the next quote knows better."""

    day: date
    operation: str
    minutes: float = Field(gt=0, le=24 * 60)
    note: str = ""
    mistake: bool = False
    """Spent on putting something right; it counts like any other time."""
    key: str = Field("", max_length=60)
    """Set where it came from the bench sheet, so that no entry is brought in twice."""


class Timer(Part):
    """A clock that runs for one operation."""

    operation: str = Field(min_length=1, max_length=80)
    started: datetime


class Estimate(Part):
    """What was reckoned when the price went out, kept to be held against what came."""

    day: date
    revision: int = Field(ge=0)
    hours: tuple[float, float, float, float]
    """P10, P50, P80, P90 of the whole job. [h]"""
    design_hours: float = Field(0.0, ge=0)
    operations: dict[str, tuple[float, float]] = Field(default_factory=dict)
    """Standard and likely hours by operation. [h]"""
    finished_m3: float = Field(0.0, ge=0)
    bought_m3: float = Field(0.0, ge=0)
    net: Money = Decimal("0.00")


class Issued(Part):
    """One paper about money that went out: its number, and its figures as they were."""

    kind: Literal["quote", "variation", "deposit", "stage", "invoice"]
    number: str = Field(min_length=1, max_length=40)
    day: date
    revision: int = Field(ge=0)
    currency: str = Field(pattern=r"^[A-Z]{3}$")
    net: SignedMoney
    tax: SignedMoney
    gross: SignedMoney
    says: tuple[str, ...] = ()
    days: int = 0
    """What a variation adds to the programme."""
    agreed: date | None = None
    """Accepted by the client (quote, variation) or paid (the others)."""


class Afterwards(Part):
    """What was learnt when the job was done."""

    bought_m3: float | None = Field(None, gt=0, le=100)
    """Timber really bought for it. [m3]"""
    lessons: str = Field("", max_length=4_000)


class BusyRange(Part):
    """Days on which another job has the workshop, the first and the last included."""

    first: date
    last: date
    what: str = ""

    @model_validator(mode="after")
    def _in_order(self):
        if self.last < self.first:
            raise ValueError(
                f"the other job runs from {self.first.isoformat()} to {self.last.isoformat()}; "
                "its last day must not come before its first"
            )
        return self


class StepDone(Part):
    """One step of the calendar that is finished, and on which day."""

    step: str = Field(min_length=1, max_length=40)
    """Key of ``studio_lib.shop.calendar``: 'joints', 'glue 2'."""
    on: date


class Clamps(Part):
    """Clamps in the workshop that reach alike."""

    count: int = Field(ge=1, le=200)
    reach_mm: float = Field(ge=50, le=6_000)


LogKind = Literal["glue-up", "finish", "sample", "inspection", "snag"]


class LogEntry(Part):
    """One thing noted at the bench: a glue-up, a coat, a sample shown, an inspection, a snag."""

    kind: LogKind
    day: date
    who: str = Field(min_length=2, max_length=60)
    """By role: 'the maker', 'the client'."""
    what: str = Field(min_length=2, max_length=400)
    family: str = ""
    """Glue or finish, by its family on file."""
    temperature_c: float | None = Field(None, ge=-10, le=50)
    closed_on: date | None = None
    """A sample signed off, a snag put right, an inspection passed; None while open. Glue-ups and coats need none."""

    @model_validator(mode="after")
    def _closes_after_it_opens(self):
        if self.closed_on and self.closed_on < self.day:
            raise ValueError(
                f"noted on {self.day.isoformat()} and closed on {self.closed_on.isoformat()}; give a day of closing "
                "that is not before it was noted"
            )
        return self


class Shop(Part):
    """When the maker works on this, what else is in hand, and what was noted at the bench."""

    start: date | None = Field(None, ge=date(2000, 1, 1), le=date(2199, 12, 31))
    """First day of this job; None: today and the weeks until its turn."""
    weekdays: tuple[Annotated[int, Field(ge=0, le=6)], ...] = Field((0, 1, 2, 3, 4), min_length=1, max_length=7)
    """Days worked, 0 Monday to 6 Sunday."""
    hours_a_day: float | None = Field(None, gt=0, le=16)
    """At the bench for this job; None spreads the paid hours of the rates over the days worked."""
    holidays: tuple[date, ...] = ()
    """Days off beside the public holidays of the country of the rates."""
    works_holidays: bool = False
    """Public holidays are worked like other days."""
    other_jobs: tuple[BusyRange, ...] = ()
    boards_in: date | None = None
    """Day the boards came into the workshop's air."""
    clamps: tuple[Clamps, ...] = ()
    """None said: glue-ups are not judged by them."""
    done: tuple[StepDone, ...] = ()
    log: tuple[LogEntry, ...] = ()

    @field_validator("weekdays")
    @classmethod
    def _each_day_once(cls, days):
        return tuple(sorted(set(days)))


class Handover(Part):
    """What the papers of handing over say."""

    handed_over: date | None = None
    """None: reckoned from the safe date of the calendar."""
    warranty_years: int = Field(2, ge=0, le=50)
    warranty: str = Field("", max_length=4_000)
    """The maker's own wording; empty takes the neutral one."""
    wall: Literal["", "stands free", "brick or concrete", "hollow block", "stud and board", "solid timber"] = ""
    """What it is fixed to, as seen on the spot."""


class SavedView(Part):
    """A way of looking at the commission that the maker kept: where the eye stands, what is open, how old."""

    name: str = Field(min_length=1, max_length=60)
    eye_from: tuple[float, float, float] | None = None
    """Where the eye stands: metres, x to the right, y up, z to the front. None for the first view of all."""
    eye_at: tuple[float, float, float] | None = None
    """The point it looks at, in the same axes. [m]"""
    apart: float = Field(0.0, ge=0, le=1)
    opened: float = Field(0.0, ge=0, le=1)
    """How far its doors, drawers and lids stand open."""
    years: float = Field(0.0, ge=0, le=10)
    cut: Literal["", "length", "width", "height"] = ""
    """Which way a section is cut; empty for none."""
    cut_at: float = Field(0.5, ge=0, le=1)
    light: str = ""
    """Where it stands, by ``look.scenes.LIGHTS``; empty as the brief has it."""
    care: str = ""
    """How it is kept, by ``look.scenes.CARE``; empty as the brief has it."""


MOST_VIEWS = 24


class Drawings(Part):
    """How the drawings for the workshop are laid down, and what the maker says on them."""

    sheet: Literal["A3", "A4"] = "A3"
    projection: Literal["first angle", "third angle"] = "first angle"
    note: str = Field("", max_length=400)
    """Stands on every sheet."""
    cut_to_fit: str = Field("", max_length=400)
    """References of members that are cut to fit in the work: 'A-D1, A-D2'."""


OF_ONE_JOB = ("design_hours", "design_counted", "meetings", "with_any_job", "delivery_km", "delivery_people", "bought_in", "extra_work")
"""Rates that belong to one job and do not pass to the next."""
OF_THE_WORKSHOP = ("kerf_mm", "resaw_kerf_mm", "dressing_mm", "edging_mm", "docking_mm", "end_trim_mm", "stock", "yards",
                   "first_cut")
"""Choices about boards that stay from one job to the next; prices are asked anew."""


class Showing(Part):
    """How lengths, money and days are shown to the maker and the client; nothing inside changes with it."""

    lengths: Literal["mm", "in"] = "mm"
    finest: Literal[8, 16, 32, 64] = 32
    """Parts that an inch is divided into at most."""
    locale: str = Field("", max_length=12)
    """Whose way of writing money and days, 'en_US'; empty: as the record keeps them."""

    @field_validator("locale")
    @classmethod
    def _is_known(cls, code):
        from studio_lib.showing import known_locale

        if not known_locale(code):
            raise ValueError(f"{code!r} is no place on file; give language and country, such as en_GB, or leave it empty")
        return code


class Commission(Part):
    """One commission, whole: inputs only, JSON in and out."""

    format: Literal[1] = FORMAT
    ref: str = Field(pattern=r"^[A-Z0-9][A-Z0-9-]{1,19}$")
    title: str = Field(min_length=1, max_length=120)
    client: str = ""
    """By role: 'the village library'."""
    brief: Brief = Brief()
    timber: TimberChoice = TimberChoice()
    items: tuple[Item, ...] = ()
    boards: BoardChoices = BoardChoices()
    rates: Rates = Rates()
    hours: tuple[HourEntry, ...] = ()
    timers: tuple[Timer, ...] = Field((), max_length=12)
    """Clocks that are running; they go on while the workbook is shut."""
    estimate: Estimate | None = None
    issued: tuple[Issued, ...] = ()
    """Quotes, variations and invoices, in the order they went out."""
    afterwards: Afterwards = Afterwards()
    shop: Shop = Shop()
    handover: Handover = Handover()
    drawings: Drawings = Drawings()
    showing: Showing = Showing()
    finished: bool = False
    """All its hours are written down, so that later quotes may learn from them."""
    accepted: tuple[Acceptance, ...] = ()
    """Stops that were answered for."""
    options: tuple[Option, ...] = Field((), max_length=MOST_OPTIONS)
    chosen: str = ""
    """Name of the option that ``timber`` and ``items`` hold at present; empty while there is only one way."""
    notes: str = ""
    views: tuple[SavedView, ...] = Field((), max_length=MOST_VIEWS)
    """Views kept on the Look page."""

    @model_validator(mode="after")
    def _their_timber_is_said_once(self):
        """Where boards of the client's are entered, they say that there are some, how thick and how wide.

        Books written before the brief and the list of boards were one may hold both.
        """
        b = self.brief
        if self.theirs and (not b.brings_timber or b.their_timber.thickness_mm or b.their_timber.width_mm):
            lot = b.their_timber.model_copy(update={"thickness_mm": None, "width_mm": None})
            object.__setattr__(self, "brief", b.model_copy(update={"brings_timber": True, "their_timber": lot}))
        return self

    @field_validator("views")
    @classmethod
    def _views_differ(cls, views):
        _each_once((v.name for v in views), "two views are both called {}; give each its own name")
        return views

    @field_validator("options")
    @classmethod
    def _options_differ(cls, options):
        _each_once((o.name for o in options), "two options are both called {}; give each its own name")
        return options

    @field_validator("items")
    @classmethod
    def _names_differ(cls, items):
        _each_once((i.name for i in items), "two pieces are both called {}; give each its own name")
        return items

    @property
    def theirs(self) -> tuple[OfferedBoard, ...]:
        """Boards that the client brings."""
        return tuple(b for b in self.boards.offered if b.source == "client")

    @property
    def shown(self) -> Shown:
        """How lengths, money and days are shown, with the currency of the rates."""
        from studio_lib.showing import Shown

        return Shown(self.showing.lengths, self.showing.finest, self.showing.locale, self.rates.currency)

    def next_one(self, ref: str, title: str) -> Commission:
        """A new commission in the same workshop: its rates, machines, yards, clamps and papers; nothing of this job."""
        return Commission(
            ref=ref, title=title, showing=self.showing,
            rates=self.rates.model_copy(update={name: Rates.model_fields[name].default for name in OF_ONE_JOB}),
            boards=BoardChoices(**{name: getattr(self.boards, name) for name in OF_THE_WORKSHOP}),
            shop=Shop(weekdays=self.shop.weekdays, hours_a_day=self.shop.hours_a_day, holidays=self.shop.holidays,
                      works_holidays=self.shop.works_holidays, clamps=self.shop.clamps),
            drawings=self.drawings.model_copy(update={"note": "", "cut_to_fit": ""}),
        )

    def changed(self, path: str, value) -> Commission:
        """The commission with one field set anew and everything checked again.

        Besides what the document itself refuses, an hour must cost something and a day has 24 (ValueError).

        ``path`` names the field with dots and numbers: 'brief.people',
        'items.0.sizes.length_mm'. In ``sizes``, ``joints``, ``loads`` and ``on_shelves`` a value of None takes the
        maker's own figure away again. Raises ValidationError (see ``refusals``) and
        KeyError for a path that does not exist; the present document is left as it was.
        """
        if path == "brief.brings_timber" and not value and self.theirs:
            raise ValueError(
                f"{len(self.theirs)} {'line' if len(self.theirs) == 1 else 'lines'} of the client's own boards "
                f"({', '.join(b.ref for b in self.theirs[:4])}{' and more' if self.theirs[4:] else ''}) are entered, so some is brought. "
                "Take them away first, here or on the Boards page."
            )
        plain = self.model_dump(mode="json")
        steps = path.split(".")
        _set(plain, steps, value, path)
        _one_finish(plain, path, value)
        after = Commission.model_validate(plain)
        _refuse_what_cannot_be_meant(steps[0], after)
        return after

    def fixed_to_wall(self, yes: bool) -> Commission:
        """The commission with the one answer to whether it is fixed to the wall, wherever in the brief it was said."""
        b = self.brief
        leave = [t for t in b.needs_leave or () if t != FIXED] + [FIXED] * yes
        wishes = [w.model_dump(mode="json") | ({"fixed_to_wall": False} if isinstance(w, CaseWish) else {}) for w in b.wishes or ()]
        plain = b.model_dump(mode="json") | {"needs_leave": leave if yes or b.needs_leave is not None else None}
        return self.changed("brief", plain | ({"wishes": wishes} if wishes else {}))

    def with_option(self, name: str) -> Commission:
        """What is in hand kept as an option of that name, over one of the same name."""
        shown = next((o.to_client for o in self.options if o.name == name), True)
        kept = Option(name=name, timber=self.timber, items=self.items, to_client=shown)
        others = [o for o in self.options if o.name != name]
        plain = self.model_dump(mode="json")
        plain["options"] = [o.model_dump(mode="json") for o in (*others, kept)]
        plain["chosen"] = name
        return Commission.model_validate(plain)

    def choosing(self, name: str) -> Commission:
        """Another option taken in hand; the present one is kept under its name first.

        Raises KeyError, naming those kept, for an unknown option.
        """
        now = self.with_option(self.chosen) if self.chosen else self
        found = next((o for o in now.options if o.name == name), None)
        if found is None:
            raise KeyError(f"There is no option {name!r}. Kept: {', '.join(o.name for o in self.options) or 'none'}.")
        plain = now.model_dump(mode="json")
        plain["timber"] = found.timber.model_dump(mode="json")
        plain["items"] = [i.model_dump(mode="json") for i in found.items]
        plain["chosen"] = name
        return Commission.model_validate(plain)


def _one_finish(plain: dict, path: str, value) -> None:
    """One finish on every page: a family chosen with the timber is what the brief says, another kind in the brief leaves it open again."""
    from studio_lib.finishing.finish import finishes, kind_asked

    family = plain["timber"]["finish_family"]
    if not family or family not in {f.family for f in finishes()}:
        return
    if path == "timber.finish_family":
        plain["brief"]["finish"] = kind_asked(family)
    elif path == "brief.finish" and kind_asked(family) != value:
        plain["timber"]["finish_family"] = ""


def _refuse_what_cannot_be_meant(part: str, document: Commission) -> None:
    """Refuse, when it is entered, what an older book may hold all the same."""
    r = document.rates
    if part == "rates" and not r.drawings_per_year + r.overheads_per_year:
        raise ValueError("Living and overheads are both 0, so an hour would be free. Give what you live on in a year.")
    if part == "hours":
        days: dict[date, float] = {}
        for row in document.hours:
            days[row.day] = days.get(row.day, 0.0) + row.minutes / 60
        long = [f"{day.isoformat()} has {h:.1f} hours" for day, h in days.items() if h > 24]
        if long:
            raise ValueError(f"{', '.join(long)} written down; a day has 24. Give the time to the days it was spent on.")


def _set(plain, steps: list[str], value, path: str) -> None:
    at = plain
    for i, step in enumerate(steps[:-1]):
        if isinstance(at, list):
            at = at[_index(at, step, path)]
        elif step in at:
            at = at[step]
        elif _is_free(steps[: i]):
            at = at.setdefault(step, {})
        else:
            raise KeyError(f"A commission has no field {path!r}: {step!r} is unknown there.")
    last = steps[-1]
    if isinstance(at, list):
        at[_index(at, last, path)] = value
    elif value is None and _is_free(steps[:-1]):
        at.pop(last, None)
    elif last in at or _is_free(steps[:-1]):
        at[last] = value
    else:
        raise KeyError(f"A commission has no field {path!r}: {last!r} is unknown there.")


def _index(rows: list, step: str, path: str) -> int:
    if not step.isdigit() or int(step) >= len(rows):
        raise KeyError(f"{path!r}: there is no number {step} among {len(rows)}.")
    return int(step)


def _is_free(steps: list[str]) -> bool:
    """Inside 'sizes', 'joints', 'loads' and 'on_shelves' any name is allowed here; the form and the loads check it."""
    return len(steps) >= 3 and steps[0] == "items" and steps[2] in ("sizes", "joints", "loads", "on_shelves")


_IN_WORDS = {
    "greater_than_equal": "give {ge:g} or more",
    "greater_than": "give more than {gt:g}",
    "less_than_equal": "give {le:g} or less",
    "less_than": "give less than {lt:g}",
    "float_parsing": "give a number",
    "int_parsing": "give a whole number",
    "int_from_float": "give a whole number",
    "decimal_parsing": "give an amount of money, such as 1250.00",
    "decimal_type": "give an amount of money, such as 1250.00",
    "string_pattern_mismatch": "give it as it is asked for: a currency is three letters, such as EUR",
    "decimal_max_places": "give no more than two decimals",
    "finite_number": "give a number",
    "missing": "this is needed",
    "string_too_short": "give at least {min_length} letters",
    "string_too_long": "give {max_length} letters at most",
    "literal_error": "give one of {expected}",
    "too_long": "there can be {max_length} at most",
    "too_short": "give at least {min_length}",
    "date_from_datetime_parsing": "give a day as year, month and day, such as 2027-03-26",
    "date_parsing": "give a day as year, month and day, such as 2027-03-26",
    "extra_forbidden": "this version of the workbook does not know this field",
}
"""What is allowed, in a maker's words, by the kind of refusal."""


UNITS = {
    "_kmh": "km/h",
    "_kg_m": "kg a metre", "_m_s": "m/s", "_mm2": "mm2", "_mm": "mm", "_pct": "%", "_km": "km", "_kg": "kg",
    "_c": "°C", "_n": "N",
}
"""Unit at the end of a field's name, and as it is printed; the longer first."""


def refusals(error: ValidationError) -> dict[str, str]:
    """What a failed validation says to a person: {field path: sentence}."""
    said = {}
    for e in error.errors():
        path = ".".join(str(step) for step in e["loc"])
        given = e.get("input")
        plain = f"{given:g}" if isinstance(given, float) else repr(given)
        shown = f" is {plain}" if isinstance(given, int | float | str | bool) and given != "" else ""
        words = _IN_WORDS.get(e["type"])
        limits = e.get("ctx", {})
        if isinstance(limits.get("ge", limits.get("le")), str | date):  # pydantic gives the limit of a day as text
            words = {"greater_than_equal": "give a day from {ge} on", "less_than_equal": "give a day up to {le}"}[e["type"]]
        words = words.format(**limits) if words else e["msg"].removeprefix("Value error, ").removesuffix(".")
        said[path] = f"{_plain(path)}{shown}; {words}." if shown else f"{_plain(path)}: {words}."
    return said


def _plain(path: str) -> str:
    """A field path in words: 'brief.space_length_mm' -> 'Space length, mm'."""
    last = next((s for s in reversed(path.split(".")) if not s.isdigit()), path)
    for suffix, unit in UNITS.items():
        if last.endswith(suffix):
            return f"{last.removesuffix(suffix).replace('_', ' ').capitalize()}, {unit},"
    return last.replace("_", " ").capitalize()
