"""Choosing with weights that maker and client set together, and how firmly the first place stands."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, fields
from decimal import Decimal

from studio_lib.finding import Finding, Verdict
from studio_lib.timber import stain
from studio_lib.timber.ageing import kept_mark, kept_words
from studio_lib.timber.choice import KEEP_WEIGHT, LEVEL_MARK, LOOKS, swing_pct, tone_mark
from studio_lib.timber.durability import TREATED, fit_for_place, gets_wet, life_mark, wants_treatment
from studio_lib.timber.own import Library
from studio_lib.timber.species import Species
from studio_lib.timber.wear import Wear

MOST_WEIGHT = 10.0
AVAILABLE_MARK = {"in the rack": 1.0, "at the yard": 0.75, "to order": 0.5, "hard to get": 0.0}
LISTED, NOTED = 0.0, 0.5
FRAGILE_BELOW = 0.5
"""A change of weight smaller than half a step is no more than a mood."""


@dataclass(frozen=True)
class Weights:
    """How much each matters, 0 not at all to 10 most."""

    life: float
    movement: float
    weight: float
    look: float
    workability: float
    price: float
    availability: float
    provenance: float
    hardness: float = 0.0
    """Of the surface: for tops and seats."""

    def __post_init__(self):
        for field in fields(self):
            value = getattr(self, field.name)
            if not 0 <= value <= MOST_WEIGHT:
                raise ValueError(f"{field.name} is {value}; 0 not at all to {MOST_WEIGHT:g} most.")
        if not any(getattr(self, field.name) for field in fields(self)):
            raise ValueError("All weights are 0; let at least one thing matter.")


STAIN = "stain"
"""Beside the weights set by hand: what the brief says of staining what is under the piece."""
NO_STAIN_WEIGHT = 3.0
"""For each step that it matters; judgement of ours."""
COLOUR = "colour kept"
"""Beside them too: what the brief says of keeping its colour indoors."""
CRITERIA = tuple(f.name for f in fields(Weights))


@dataclass(frozen=True)
class Weighed:
    """One timber under the weights."""

    species: str
    score: float
    """0 to 100."""
    marks: Mapping[str, float]
    """0 to 1 for each criterion that counts."""
    gives: Mapping[str, float]
    """Points of the score that each criterion gives; they add up to it."""
    words: Mapping[str, str]
    """What each mark rests on."""
    fit: Finding
    price_per_m3: Decimal | None
    """The maker's."""


@dataclass(frozen=True)
class Change:
    """A weight changed alone until the first place is lost."""

    criterion: str
    from_weight: float
    to_weight: float
    to_species: str
    """Who then leads."""

    @property
    def by(self) -> float:
        return abs(self.to_weight - self.from_weight)


@dataclass(frozen=True)
class Weighing:
    """Every timber: ranked, or ruled out with its reason."""

    ranked: tuple[Weighed, ...]
    ruled_out: tuple[tuple[str, str], ...]
    """Name and reason."""
    left_out: tuple[str, ...]
    """Criteria that could not be judged, with why."""
    swaps: tuple[Change, ...]
    """For each criterion that can do it alone, the change that brings the second level with the first."""
    lost: Change | None
    """The smallest single change by which any other timber comes level with the first."""
    says: str


def weigh(
    library: Library,
    weights: Weights,
    place: str,
    years: float,
    public: bool,
    tone: str,
    barred: Mapping[str, str] | None = None,
    wear: Wear = Wear(),
    wetted: bool = False,
    no_stain: int = 0,
    keep_colour: int = 0,
) -> Weighing:
    """Rank a library's timbers under given weights, and say how fragile the first place is.

    Parameters
    ----------
    library : Library
        From ``own_species``, with the maker's prices and stock.
    weights : Weights
    place : str
        One of ``PLACES``.
    years : float
        Life wanted. [years]
    public : bool
        Whether the piece serves the public.
    tone : str
        'light', 'mid', 'dark' or 'any' (then looks do not count).
    barred : dict or None
        Timbers that maker or client rule out, by name, with the reason.
    wear : Wear
        What seat or top must bear; from ``wear_of``.
    wetted : bool
        Now and then: indoors splashed, or walls sweat; under cover rain blows in.
    no_stain : int
        How much it matters that nothing under it is stained, 0 to 2; counts where timber gets wet.
    keep_colour : int
        How much it matters that it keeps its colour in the light of years, 0 to 2; counts indoors.

    Returns
    -------
    Weighing

    Raises
    ------
    ValueError
        For another tone, and as ``fit_for_place``.
    KeyError
        For a barred name that is not in the library.

    Notes
    -----
    Ruled out before any weighing: timbers that will not last there, and those barred. The marks are ours
    (common practice, no source), each 0 to 1. Life: ``durability.life_mark``; what wants treatment where it gets wet comes
    after the rest (``durability.wants_treatment``).
    Movement and weight: place among the timbers that are left, 1 for the least. Look: tone as asked 1,
    its neighbour a half, red for dark three quarters; a hue by ``choice.tone_mark``. Workability: mean of the mark for weight and that
    for gluing (easy 1, moderate a half, difficult 0). Hardness: place among the timbers left, 1 for the hardest;
    where there is a seat or top, 0 at 3000 N to 1 at 5000 N, and in hard use those under 4200 N come last. Price:
    place among those with a price of the
    maker's. Availability: in the rack 1, at the yard three quarters, to order a half, hard to get 0.
    Provenance: no note 1, a note a half, CITES-listed 0. What is not known marks 0 and says so; price
    or availability that the maker gave for no timber is left out. The score is the weighted mean, times 100.

    One weight moved alone from w to w - D / (a - b) brings two timbers level, D being the difference of
    their weighted sums and a, b their marks: that is exact, since both are divided by the same total.
    """
    if tone not in LOOKS:
        raise ValueError(f"tone is {tone!r}; allowed: {', '.join(LOOKS)}.")
    barred = {library.timber(name).name: reason for name, reason in (barred or {}).items()}
    left, out = [], []
    for species in library.species:
        fit = fit_for_place(species, place, years, public, wetted)
        if species.name in barred:
            out.append((species.name, barred[species.name]))
        elif fit.verdict is Verdict.FAILS:
            out.append((species.name, fit.says))
        else:
            left.append((species, fit))
    if not left:
        return Weighing((), tuple(out), (), (), None, f"Every timber is ruled out for {place}: none is left to weigh.")
    counted, left_out = _counted(library, weights, tone, [s for s, _ in left])
    if no_stain and gets_wet(place, wetted):
        counted[STAIN] = NO_STAIN_WEIGHT * no_stain
    if keep_colour and not place.startswith("outdoors"):
        counted[COLOUR] = KEEP_WEIGHT * keep_colour
    places = _places([s for s, _ in left], library)
    total = sum(counted.values())
    treated = {s.name for s, fit in left if wants_treatment(s, place, fit, wetted)}
    weighed = []
    for species, fit in left:
        marks, words = {}, {}
        for criterion in counted:
            marks[criterion], words[criterion] = _mark(criterion, species, fit, tone, library, places)
            if criterion == "life":
                marks[criterion] = life_mark(species, place, fit, wetted)
                words[criterion] += f" {TREATED}." if species.name in treated else ""
            if criterion == "hardness" and wear.level:
                marks[criterion], words[criterion] = wear.mark(species.hardness_n), wear.says(species)
        gives = {c: 100 * counted[c] * marks[c] / total for c in counted}
        price = library.prices.get(species.name)
        weighed.append(Weighed(species.name, sum(gives.values()), marks, gives, words, fit, price and price.per_m3))
    soft = {s.name for s, _ in left if wear.too_soft(s)}

    def rank_of(w):
        return w.species in treated, w.species in soft

    ranked = tuple(sorted(weighed, key=lambda w: (*rank_of(w), -w.score, w.species.casefold())))
    level = [w for w in ranked[1:] if rank_of(w) == rank_of(ranked[0])]
    swaps = tuple(_swaps(ranked[0], level[0], counted)) if level else ()
    rivals = [c for other in level for c in _swaps(ranked[0], other, counted)]
    lost = min(rivals, key=lambda c: c.by, default=None)
    return Weighing(ranked, tuple(out), tuple(left_out), swaps, lost, _says(ranked, lost))


def _counted(library, weights, tone, left):
    counted = {c: getattr(weights, c) for c in CRITERIA if getattr(weights, c)}
    left_out = []
    for criterion, known, why in (
        ("look", tone != "any", "any tone will do"),
        ("price", any(s.name in library.prices for s in left), "no price on file for any of these timbers"),
        ("availability", any(s.name in library.available for s in left), "nothing said on stock for any of these timbers"),
    ):
        if criterion in counted and not known:
            del counted[criterion]
            left_out.append(f"{criterion}: {why}")
    if not counted:
        raise ValueError(f"Nothing is left to weigh by ({'; '.join(left_out)}); let something else matter too.")
    return counted, left_out


def _places(left: list[Species], library: Library):
    """Marks by place among the timbers left, 1 for the least; None where the figure is not known."""
    prices = {name: price.per_m3 for name, price in library.prices.items()}
    return {
        "movement": _spread({s.name: swing_pct(s) for s in left}),
        "weight": _spread({s.name: s.density_12pct_kg_m3 for s in left}),
        "hardness": _spread({s.name: None if s.hardness_n is None else -s.hardness_n for s in left}),
        "price": _spread({s.name: prices.get(s.name) for s in left}),
    }


def _spread(values: dict[str, object]) -> dict[str, float | None]:
    known = sorted(v for v in values.values() if v is not None)
    last = max(len(known) - 1, 1)
    first = {}
    for index, value in enumerate(known):
        first.setdefault(value, index)
    return {name: None if value is None else 1 - first[value] / last for name, value in values.items()}


def _mark(criterion, species: Species, fit: Finding, tone, library: Library, places) -> tuple[float, str]:
    name = species.name
    if criterion == "life":
        return 0.0, fit.says
    if criterion == STAIN:
        return stain.MARK[species.tannin], stain.said(species)
    if criterion == COLOUR:
        return kept_mark(species), kept_words(species)
    if criterion == "look":
        return tone_mark(species, tone), f"{species.tone} in tone, {tone} asked for"
    if criterion == "workability":
        gluing = LEVEL_MARK.get(species.gluing, 0.0)
        return (places["weight"][name] + gluing) / 2, f"{species.density_12pct_kg_m3:.0f} kg/m3, gluing {species.gluing or 'not known'}"
    if criterion == "availability":
        stock = library.available.get(name)
        return AVAILABLE_MARK.get(stock, 0.0), stock or "nothing said on stock: counts as 0"
    if criterion == "provenance":
        note = species.legality_note
        listed = "CITES Appendix" in note
        return (LISTED if listed else NOTED if note else 1.0), note or "nothing on file against it"
    mark = places[criterion][name]
    if mark is None:
        return 0.0, f"{criterion} not on file: counts as 0"
    if criterion == "movement":
        return mark, f"{swing_pct(species):.1f} % across the grain from wet to ovendry"
    if criterion == "weight":
        return mark, f"{species.density_12pct_kg_m3:.0f} kg/m3"
    if criterion == "hardness":
        return mark, f"side hardness {species.hardness_n:.0f} N (Janka)"
    price = library.prices[name]
    return mark, f"{price.per_m3} a cubic metre on {price.on.isoformat()}"


def _swaps(first: Weighed, other: Weighed, counted: Mapping[str, float]):
    ahead = sum(w * (first.marks[c] - other.marks[c]) for c, w in counted.items())
    for criterion, weight in counted.items():
        apart = first.marks[criterion] - other.marks[criterion]
        if apart == 0:
            continue
        to = weight - ahead / apart
        if 0 <= to <= MOST_WEIGHT:
            yield Change(criterion, weight, to, other.species)


def _says(ranked, lost) -> str:
    first = ranked[0]
    if len(ranked) == 1:
        return f"{first.species} is the only one left."
    second = ranked[1]
    lead = f"{first.species} {first.score:.0f}, {second.species} {second.score:.0f} of 100"
    if lost is None:
        return f"{lead}: first whatever any one weight is set to."
    how = "fragile" if lost.by < FRAGILE_BELOW else "firm" if lost.by >= 4 * FRAGILE_BELOW else "fair"
    return (
        f"{lead}: the first place is {how}. {lost.criterion.capitalize()} at {lost.to_weight:.1f} instead of "
        f"{lost.from_weight:g} and {lost.to_species} comes level."
    )
