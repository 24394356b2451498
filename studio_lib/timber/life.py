"""How long heartwood may last where a piece stands and as it is detailed: a range, with its conditions."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import cache

from studio_lib.finding import Finding, Verdict
from studio_lib.timber.durability import STAGE, UNDER_COVER, WEATHER, class_span, enough_by_class, use_class
from studio_lib.timber.moisture import PLACES
from studio_lib.timber.species import FROM_MEMORY, Species
from studio_lib.timber.tables import rows

OUTDOORS = (UNDER_COVER, WEATHER)
IN_GROUND, ABOVE_GROUND = "in ground", "above ground"
BEST_BOARDS = "boards of the best class"
"""Beside the bands: the best class of a range, and the least years above ground of that class alone."""
# AS 5604 gives classes 1 and 2 lives of 40 and 25 years, above ground and in it. EN 350 has guide lives in ground
# only, so its upper end above ground is taken by that ratio: ours, no standard says so.
ABOVE_OVER_IN_GROUND = 40 / 25
NEEDED = {
    "1": "any class", "2": "EN 350 class 1 to 3, or 4 to 5 at some risk",
    "3.1": "EN 350 class 1 to 2, or 3 as a rule", "3.2": "EN 350 class 1 to 2, or 3 as a rule",
    "4": "EN 350 class 1, or 2 as a rule",
}
NEEDED_SOURCE = "EN 335:2013 use classes; EN 460:1994, its table from memory (replaced 2023)"
HELPS = {
    "drained": "let water run off and out: slope of 5 degrees, gaps, drain holes in every cup",
    "end_grain_sealed": "seal all end grain before assembly and again when cut: it drinks up to ten times faster",
    "off_the_ground": "stand the feet 10 to 20 mm up on pads, never in soil, in gravel or on damp lawn",
    "traps_water": "open the joints that hold water: through mortises, no laps lying flat, no upward blind mortise",
    "roofed": "bring it under a roof",
}
FAULTS = {
    "drained": "water stands on it", "end_grain_sealed": "open end grain drinks",
    "off_the_ground": "feet in ground or puddle", "traps_water": "joints hold water", "roofed": "rain reaches it",
}
WORST_FIRST = ("off_the_ground", "traps_water", "drained", "end_grain_sealed")
MORE = {True: "A more durable timber, or a place under cover.", False: "A more durable timber, or one that is treated."}
"""What is left to do once no detail helps, by whether a roof would."""
GOOD = {"drained": True, "end_grain_sealed": True, "off_the_ground": True, "traps_water": False, "roofed": True}
CONDITIONS = (
    "heartwood only: sapwood of any timber is EN 350 class 5 and lasts 0 to 5 years in the ground",
    "the classes' lives are of small test stakes; larger, ventilated parts last longer, a warm damp climate or termites shorten",
    "washed yearly, feet and end grain looked at and sealed again, fixings tightened",
    "decay only: wear, breakage, greying and loose joints come on their own",
)


@dataclass(frozen=True)
class Details:
    """How the piece is made to stand outdoors."""

    drained: bool
    """Water runs off and out everywhere."""
    end_grain_sealed: bool
    off_the_ground: bool
    """Feet on pads, dry between showers."""
    traps_water: bool
    """Joints or laps where water stays."""
    roofed: bool


@dataclass(frozen=True)
class Life:
    """Years before decay is likely to end it, with what they hang on."""

    years_low: float | None
    """None when no scheme on file gives years."""
    years_high: float | None
    """None when open above, or when no scheme gives years."""
    use_class: str
    class_needed: str
    class_had: str
    conditions: tuple[str, ...]
    shortens_most: str
    would_help: str
    """The one detail that helps most, with the range it would give; empty when none is left to better."""
    says: str
    source: str


def use_class_of(place: str, details: Details, wetted: bool = False) -> str:
    """Use class of a place with its details: '1', '2', '3.1' (dries fast), '3.2' (water lies) or '4' (ground).

    Under cover where rain blows in (``wetted``) it is 3.1 or 3.2, whatever the roof.

    Raises
    ------
    ValueError
        For a place not in ``PLACES``.

    References
    ----------
    .. [1] EN 335:2013, use classes 1 to 4.
    """
    if place not in PLACES:
        raise ValueError(f"place is {place!r}; allowed: {'; '.join(PLACES)}.")
    if place == "indoors, heated":
        return "1"
    if place in OUTDOORS and not details.off_the_ground:
        return "4"
    if use_class(place, wetted) != "3" or (place == WEATHER and details.roofed):
        return "2"
    dries = details.drained and details.end_grain_sealed and not details.traps_water
    return "3.1" if dries else "3.2"


def life_outdoors(species: Species, place: str, details: Details, wetted: bool = False) -> Life:
    """Range of years before decay is likely, its conditions, what shortens it most and what would help.

    Parameters
    ----------
    species : Species
    place : str
        One of ``PLACES``.
    details : Details
    wetted : bool
        Now and then; under cover rain blows in.

    Returns
    -------
    Life

    Raises
    ------
    ValueError
        For an unknown place.

    Notes
    -----
    AS 5604 gives years above ground and in ground; they are used when on file (and not merely from
    memory beside an EN 350 class), otherwise EN 350's guide lives in ground. No multiplier for a
    detail is invented; the published bands are placed: dries fast, the band above ground; water lies
    but is not held, from the lower end in ground to the lower end above (or the upper end in ground,
    if that is more); joints that hold water, or feet in the ground, the band in ground.
    Where EN 350 alone is on file, above ground runs from the in-ground lower end to 40/25 of its
    upper, AS 5604's own ratio. Under a roof and off the ground decay does not set the limit while the
    wood stays under 20 %: the lower end above ground is given as the least, open above; where rain blows in under the
    roof the bands are those of use class 3. A range of
    classes takes the worst for the low end, the best for the high. A USDA group gives no years.

    References
    ----------
    .. [1] AS 5604:2005 lives, above and in ground; EN 350 guide lives; EN 335:2013; EN 460:1994.
    """
    needed_in = use_class_of(place, details, wetted)
    had, band, source = _band(species)
    if band is None:
        return Life(
            None, None, needed_in, NEEDED[needed_in], had, CONDITIONS, "not known: no class with years is on file",
            "find the class in EN 350 or AS 5604, or choose another timber",
            f"{species.name}: {had}; that gives no years, so none are said.", f"{source}; {NEEDED_SOURCE}",
        )
    low, high = _placed(band, place, details, wetted)
    worst, mend, best = _most_helpful(band, place, details, wetted)
    shortens = FAULTS[worst] if worst else "nothing in the making" if math.isinf(high) and low else "the timber's own durability"
    would_help = f"{mend}: then {_years(*best)}" if worst else ""
    says = (
        f"{species.name} ({had}) in use class {needed_in}: {_years(low, high)} before decay is likely, on the "
        f"conditions beside. "
        + (f"Shortened most by this: {shortens}." if shortens != "nothing in the making"
           else f"Nothing in the making shortens it{_best_boards(band, low)}; nobody has published how much longer it lasts.")
    )
    if FROM_MEMORY in source:
        says += " The class is from memory: look it up before promising anything."
    return Life(
        low, None if math.isinf(high) else high, needed_in, NEEDED[needed_in], had, CONDITIONS, shortens, would_help,
        says, f"{source}; {NEEDED_SOURCE}",
    )


def life_finding(species: Species, place: str, details: Details, years_wanted: float, wetted: bool = False) -> Finding:
    """Whether the range of years holds what the client wants: at its low end, within it, or not at all.

    More years than the least, where no scheme on file sets a most and the class is enough there by itself, are looked at
    again with what can be said to the client: that is open, and no fault of the timber.

    Raises
    ------
    ValueError
        For years not above 0, and as ``life_outdoors``.
    """
    if not years_wanted > 0:
        raise ValueError(f"years_wanted is {years_wanted}; a number of years above 0.")
    life = life_outdoors(species, place, details, wetted)
    mend = life.would_help
    if life.years_low is None:
        verdict = Verdict.OPEN
    elif years_wanted <= life.years_low:
        verdict = Verdict.STANDS
    elif life.years_high is None and not life.would_help and enough_by_class(species, place, wetted):
        verdict = Verdict.LOOK_AGAIN  # not open: no answer of the maker's would ever close it
        best, least = _band(species)[1][BEST_BOARDS]
        mend = (
            f"Have the supplier vouch for class {best}: then at least {least:g} years are published." if life.years_low < years_wanted <= least
            else f"No fault of the timber, but {years_wanted:g} years stay open: say to the client at least {life.years_low:g}, and longer while it "
            "dries, as the quote does."
        )
    elif life.years_high is None or years_wanted <= life.years_high:
        verdict = Verdict.LOOK_AGAIN
    else:
        verdict = Verdict.FAILS
    known = life.years_low is not None
    return Finding(
        species.name, "life outdoors", verdict, life.says, float(years_wanted) if known else None,
        life.years_high or life.years_low, "years" if known else "", NEEDED_SOURCE, life.source,
        "" if verdict is Verdict.STANDS else mend or MORE[place == WEATHER and not details.roofed], STAGE,
    )


@cache
def _lives() -> dict[tuple[str, str, int], tuple[float, float]]:
    return {
        (r["system"], r["exposure"], int(r["durability_class"])): (float(r["years_low"]), float(r["years_high"] or "inf"))
        for r in rows("durability_lives")
    }


def _band(species: Species):
    """Words for the class had, bands in and above ground with the best class and its least (or None), and the source."""
    lives = _lives()
    by_memory = "durability_as5604_above_ground" in species.from_memory and species.durability_en350
    if species.durability_as5604_above_ground and not by_memory:
        above = class_span(species.durability_as5604_above_ground)
        had = f"AS 5604 class {species.durability_as5604_above_ground} above ground"
        # Without a class in ground the next worse is taken, as most timbers' two classes are one apart.
        ground = species.durability_as5604_in_ground
        under = class_span(ground) if ground else (min(above[0] + 1, 4), min(above[1] + 1, 4))
        had += f", {ground} in ground" if ground else ", in ground not on file, taken one worse"
        bands = {
            exposure: (lives["AS 5604", exposure, worst][0], lives["AS 5604", exposure, best][1])
            for exposure, (best, worst) in ((ABOVE_GROUND, above), (IN_GROUND, under))
        }
        bands[BEST_BOARDS] = (above[0], lives["AS 5604", ABOVE_GROUND, above[0]][0])
        return had, bands, f"AS 5604:2005 lives; class: {species.source_of('durability_as5604_above_ground')}"
    if species.durability_en350:
        best, worst = class_span(species.durability_en350)
        low, high = lives["EN 350", IN_GROUND, worst][0], lives["EN 350", IN_GROUND, best][1]
        bands = {IN_GROUND: (low, high), ABOVE_GROUND: (low, high * ABOVE_OVER_IN_GROUND),
                 BEST_BOARDS: (best, lives["EN 350", IN_GROUND, best][0])}
        return (
            f"EN 350 class {species.durability_en350}", bands,
            f"EN 350 guide lives in ground, above it by AS 5604's ratio (ours); class: {species.source_of('durability_en350')}",
        )
    if species.durability_usda:
        return f"USDA heartwood group '{species.durability_usda}'", None, "USDA FPL-0153, which gives no years"
    return "no durability class on file", None, "none on file"


def _placed(bands, place: str, details: Details, wetted: bool) -> tuple[float, float]:
    ground, above = bands[IN_GROUND], bands[ABOVE_GROUND]
    in_class = use_class_of(place, details, wetted)
    if in_class in ("1", "2"):
        return above[0], math.inf
    if in_class == "3.1":
        return above
    if in_class == "4" or details.traps_water:
        return ground
    return ground[0], max(above[0], ground[1])


def _most_helpful(bands, place: str, details: Details, wetted: bool):
    """The fault whose mending adds most, what to do, and the range that gives; None when nothing adds.

    Faults that each keep the wood wet hide one another: mending one adds nothing while the next stays.
    Then the worst is named and the range given is with all of them mended. A roof helps most of all and
    is named only when no detail of the making would add anything.
    """
    now = _placed(bands, place, details, wetted)
    faults = [name for name in WORST_FIRST if getattr(details, name) is not GOOD[name]]
    alone = {name: _placed(bands, place, replace(details, **{name: GOOD[name]}), wetted) for name in faults}
    helping = [name for name in faults if alone[name] > now]
    if helping:
        name = max(helping, key=lambda n: alone[n])
        return name, HELPS[name], alone[name]
    mended = _placed(bands, place, replace(details, **{name: GOOD[name] for name in faults}), wetted)
    if mended > now:
        return faults[0], "; ".join(HELPS[n] for n in faults), mended
    roofed = _placed(bands, place, replace(details, roofed=True), wetted)
    if place == WEATHER and not details.roofed and roofed > now:
        return "roofed", HELPS["roofed"], roofed
    return None, "", now


def _best_boards(bands, low: float) -> str:
    best, years = bands[BEST_BOARDS]
    return f", and where the supplier vouches for class {best} the least is {years:g}" if years > low else ""


def _years(low: float, high: float) -> str:
    if math.isinf(high):
        return f"at least {low:g} years" if low else "no table vouches for a least number of years, none sets a most"
    return f"{low:.0f} to {high:.0f} years"
