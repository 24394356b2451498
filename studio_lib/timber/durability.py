"""Durability: will the heartwood last where the piece will stand?

Three schemes sort timbers by how long their heartwood resists decay: EN 350 (classes 1
to 5), AS 5604 (classes 1 to 4, above and in ground) and a USDA list of three groups.
None is turned into another. Sapwood is never durable.
"""

from __future__ import annotations

from functools import cache

from studio_lib.finding import Finding, Verdict
from studio_lib.timber.moisture import PLACES
from studio_lib.timber.species import FROM_MEMORY, Species
from studio_lib.timber.tables import rows

WEATHER = "outdoors, in the weather"
UNDER_COVER = "outdoors, under cover"
WETTED_INDOORS = "indoors, wetted now and then"
"""A room where timber is splashed or walls sweat: use class 2, else class 1 indoors (EN 335)."""
RAINED_ON = "outdoors, under cover, rain blows in"
"""A roof open to one side: wetted now and then by driving rain, use class 3.1, else class 2 under cover (EN 335)."""
IN_THE_RAIN = (WEATHER, RAINED_ON)
WHAT = "durability"
STAGE = "timber"

# EN 460 says 'usually enough' without years; ten is ours: common practice, no source.
USUALLY_UP_TO_YEARS = 10

MEND = {
    WEATHER: "Choose a more durable timber, or move the piece under cover; treatment and care are matters of their own.",
    UNDER_COVER: "Choose a more durable timber, or keep its feet off the ground where air gets round it and it dries again.",
    RAINED_ON: "Choose a more durable timber, or keep the rain off it: a deeper roof, a screen on the weather side.",
    WETTED_INDOORS: "Choose a more durable timber, or keep it dry: air the room, wipe up what is spilt, stand it clear of "
    "the wall that sweats.",
}
USDA_GROUPS = (
    "slightly or nonresistant",
    "moderately resistant",
    "resistant or very resistant",
)


@cache
def _use_classes() -> dict[str, dict[str, str]]:
    return {row["place"]: row for row in rows("use_classes")}


@cache
def _above_ground_lives() -> dict[str, tuple[float, float]]:
    return {
        row["durability_class"]: (
            float(row["years_low"]), float(row["years_high"] or "inf")
        )
        for row in rows("durability_lives")
        if row["system"] == "AS 5604" and row["exposure"] == "above ground"
    }


def use_class(place: str, wetted: bool = False) -> str:
    """Use class of a place: '1', '2' or '3'.

    Indoors it is 1, heated or not, while the timber stays dry; 2 where it is ``wetted`` now and then. Under cover it is 2,
    and 3 where rain blows in (``wetted``).
    Legs standing in soil or in puddles are class 4, which no place here stands for:
    keep feet off the ground.

    Raises
    ------
    ValueError
        For a place not in ``PLACES``.

    References
    ----------
    .. [1] EN 335:2013, use classes 1, 2 and 3 (3.1 and 3.2 taken together).
    """
    if place not in PLACES:
        raise ValueError(f"place is {place!r}; allowed: {'; '.join(PLACES)}.")
    return _use_classes()[_situation(place, wetted)]["use_class"]


def _situation(place: str, wetted: bool) -> str:
    if not wetted or place == WEATHER:
        return place
    return RAINED_ON if place == UNDER_COVER else WETTED_INDOORS


def gets_wet(place: str, wetted: bool = False) -> bool:
    """Whether timber there is wetted: use class 2 or worse."""
    return use_class(place, wetted) != "1"


def class_span(durability_class: str) -> tuple[int, int]:
    """Best and worst end of a class as written: '2-4' is (2, 4), '3' is (3, 3)."""
    best, _, worst = durability_class.partition("-")
    return int(best), int(worst or best)


def fit_for_place(
    species: Species, place: str, years_wanted: float, public_use: bool, wetted: bool = False
) -> Finding:
    """Whether a timber's heartwood is durable enough where the piece will stand.

    Parameters
    ----------
    species : Species
    place : str
        One of ``PLACES``.
    years_wanted : float
        Life that the client expects. [years]
    public_use : bool
        Whether the piece serves the public, who cannot judge it.
    wetted : bool
        Now and then: indoors splashed, or walls and floor sweat; under cover rain blows in.

    Returns
    -------
    Finding
        Fails when ruled out, with the reason in ``says``; 'not known yet' when no
        scheme has the timber.

    Raises
    ------
    ValueError
        For an unknown place, or years not above 0.

    Notes
    -----
    Indoors and dry nothing rots: every timber stands, its class on file or not. Elsewhere
    EN 350 decides when on file; AS 5604 above-ground class when it is not; the USDA
    group when neither is. A range of classes is judged at its worst end, unless the use
    is private and the best end is enough by itself: then it is 'look again', because
    the boards may be picked. 'Usually enough' stands only in private use up to 10
    years. No class promises years; those of AS 5604 are typical lives of 35 mm square
    test pieces.

    References
    ----------
    .. [1] EN 335:2013; EN 350:2016; EN 460:1994 (its table from memory; replaced 2023).
    .. [2] AS 5604:2005, above-ground life.
    .. [3] USDA Forest Products Laboratory, FPL-0153, heartwood groups.
    """
    if place not in PLACES:
        raise ValueError(f"place is {place!r}; allowed: {'; '.join(PLACES)}.")
    if not years_wanted > 0:
        raise ValueError(f"years_wanted is {years_wanted}; a number of years above 0.")
    at = _situation(place, wetted)
    if use_class(place, wetted) == "1":
        return _dry(species, _use_classes()[at])
    if species.durability_en350:
        return _by_en350(species, at, years_wanted, public_use)
    if species.durability_as5604_above_ground:
        return _by_as5604(species, at, years_wanted, public_use)
    if species.durability_usda in USDA_GROUPS:
        return _by_usda(species, at)
    return Finding(
        species.name, WHAT, Verdict.OPEN,
        f"No durability class of {species.name} is on file.",
        mend="Find its class in EN 350, AS 5604 or the USDA list, or choose another timber.",
        stage=STAGE,
    )


FIT_MARK = {Verdict.STANDS: 1.0, Verdict.LOOK_AGAIN: 0.5, Verdict.OPEN: 0.25}
CELL_MARK = {"enough": 1.0, "usually": 0.5, "depends": 0.25}
"""What a ranking makes of EN 460's words for a durability class in a use class; judgement of ours."""
NOT_DURABLE = 5
"""EN 350 calls class 4 slightly durable and class 5 not durable; where EN 460 has one word for both, class 5 gets half the mark."""
TREATED = "EN 460 has treatment advisable for some uses there, so it is listed after those that last untreated"


def enough_by_class(species: Species, place: str, wetted: bool = False) -> bool:
    """Whether the class on file is durable enough there by itself, at its worst end and whatever the years.

    By EN 460's table for an EN 350 class; else, above ground, AS 5604 class 1 in the rain and 1 to 3 out of it.
    """
    at = _situation(place, wetted)
    if species.durability_en350:
        return _use_classes()[at][f"dc{class_span(species.durability_en350)[1]}"] == "enough"
    grade = species.durability_as5604_above_ground
    return bool(grade) and class_span(grade)[1] <= (1 if at in IN_THE_RAIN else 3)


def life_mark(species: Species, place: str, fit: Finding, wetted: bool = False) -> float:
    """How well a timber lasts in a place, for a ranking: 1 durable enough by itself, 0 ruled out.

    Where timber gets wet and an EN 350 class is on file, the mean of the marks of the best and the worst end of the class, by
    EN 460's word for each: enough 1, usually enough a half, depends a quarter, and half of that for class 5. So beech (5)
    marks a quarter under cover and oak (2-4) three quarters, though EN 460 has one word for classes 4 and 5 there. Else by the
    verdict of ``fit_for_place``: stands 1, look again a half, not known a quarter. Judgement of ours.
    """
    if fit.verdict is Verdict.FAILS:
        return 0.0
    if use_class(place, wetted) == "1" or not species.durability_en350:
        return FIT_MARK[fit.verdict]
    row = _use_classes()[_situation(place, wetted)]
    return sum(CELL_MARK[row[f"dc{c}"]] / (2 if c == NOT_DURABLE and row[f"dc{c}"] != "enough" else 1)
               for c in class_span(species.durability_en350)) / 2


def wants_treatment(species: Species, place: str, fit: Finding, wetted: bool = False) -> bool:
    """Whether a timber stands, in a ranking, after those that last there untreated: nothing on file calls any of it enough.

    Where timber gets wet: an EN 350 class whose very best end is not 'enough' in EN 460's table for the use class; without
    one, a verdict of another scheme that does not stand, or no class at all. Where ``fit`` stands (ten years or less in
    private use) nothing is asked.

    References
    ----------
    .. [1] EN 460:1994, table of durability classes by hazard class (from memory; replaced 2023): in class 2, durability classes
       4 and 5, and in class 3, class 3: 'normally sufficient, but for certain end uses treatment may be advisable'.
    .. [2] EN 335:2013, use class 2: under cover, where occasional wetting can occur.
    """
    if use_class(place, wetted) == "1" or fit.verdict in (Verdict.STANDS, Verdict.FAILS):
        return False
    if not species.durability_en350:
        return True
    row = _use_classes()[_situation(place, wetted)]
    return row[f"dc{class_span(species.durability_en350)[0]}"] != "enough"


def _dry(species: Species, row) -> Finding:
    """Timber under 20 % does not rot, whatever its class."""
    return Finding(
        species.name, WHAT, Verdict.STANDS, "Indoors and dry no timber rots (use class 1): any is durable enough.",
        rule=f"use class 1: {row['situation']}", source=row["source"], stage=STAGE,
    )


def _finding(species, verdict, says, rule, field, mend="", **numbers) -> Finding:
    own = species.source_of(field)
    if own == FROM_MEMORY and verdict is not Verdict.FAILS:
        says += " The class is from memory: look it up before ordering."
    return Finding(
        species.name, WHAT, verdict, says, rule=rule, source=f"class: {own}",
        mend="" if verdict is Verdict.STANDS else mend, stage=STAGE, **numbers,
    )


def _by_en350(species, place, years_wanted, public_use) -> Finding:
    row = _use_classes()[place]
    best, worst = class_span(species.durability_en350)
    said = f"EN 350 class {species.durability_en350} (heartwood), use class {row['use_class']}"
    rule = f"use class {row['use_class']}: {row['situation']} ({row['source']})"
    mend = MEND[place]
    enough = row[f"dc{worst}"]
    if enough == "enough":
        verdict, says = Verdict.STANDS, f"{said}: durable enough by itself."
    elif enough == "usually":
        if public_use or years_wanted > USUALLY_UP_TO_YEARS:
            verdict = Verdict.LOOK_AGAIN
            says = (
                f"{said}: usually enough, but {years_wanted:g} years"
                f"{' in public use' if public_use else ''} ask for more, or for "
                f"{'care that keeps it dry' if place == WETTED_INDOORS else 'careful detailing that sheds water'}."
            )
        else:
            verdict, says = Verdict.STANDS, f"{said}: usually enough for {years_wanted:g} years."
    elif row[f"dc{best}"] == "enough" and not public_use:
        verdict = Verdict.LOOK_AGAIN
        says = (
            f"{said}: the best boards would do, the worst would not. Only with boards whose "
            "class the supplier vouches for."
        )
        mend = f"Have the supplier vouch for class {best}, or choose a more durable timber."
    else:
        verdict = Verdict.FAILS
        at_worst = f"at its worst end, {worst}, " if worst != best else ""
        says = f"{said}: {at_worst}not durable enough out there without treatment."
    return _finding(species, verdict, says, rule, "durability_en350", mend)


def _by_as5604(species, place, years_wanted, public_use) -> Finding:
    grade = species.durability_as5604_above_ground
    said = f"AS 5604 above-ground class {grade} (heartwood)"
    rule = "AS 5604:2005, typical above-ground life of exposed 35 mm square heartwood"
    field = "durability_as5604_above_ground"
    if place not in IN_THE_RAIN:
        # The class is of exposed timber: under a roof only the lowest is in doubt.
        if grade == "4":
            return _finding(species, Verdict.LOOK_AGAIN, f"{said}: {_damp(place)} may reach it.", rule, field, MEND[place])
        return _finding(
            species, Verdict.STANDS, f"{said}: durable enough where rain does not reach.",
            rule, field,
        )
    low, high = _above_ground_lives()[grade]
    band = f"{low:g} years or more" if high == float("inf") else f"{low:g} to {high:g} years"
    says = f"{said}: {band} outdoors above ground, {years_wanted:g} wanted."
    if years_wanted <= low:
        verdict, capacity = Verdict.STANDS, low
    elif public_use and low == 0:
        verdict, capacity = Verdict.FAILS, low
    else:
        verdict = Verdict.LOOK_AGAIN if years_wanted <= high else Verdict.FAILS
        capacity = high
    return _finding(
        species, verdict, says, rule, field, MEND[place],
        demand=float(years_wanted), capacity=capacity, unit="years",
    )


def _by_usda(species, place) -> Finding:
    group = species.durability_usda
    said = f"USDA heartwood group '{group}'"
    rule = "USDA FPL-0153 heartwood groups; no years or use classes go with them"
    if place not in IN_THE_RAIN:
        if group == USDA_GROUPS[0]:
            verdict, says = Verdict.LOOK_AGAIN, f"{said}: {_damp(place)} may reach it."
        else:
            verdict, says = Verdict.STANDS, f"{said}: enough where rain does not reach."
    elif group == USDA_GROUPS[2]:
        verdict = Verdict.LOOK_AGAIN
        says = f"{said}: likely durable enough, but the group is wide. Find its class."
    else:
        verdict, says = Verdict.FAILS, f"{said}: not durable enough out in the weather."
    return _finding(species, verdict, says, rule, "durability_usda", MEND[place])


def _damp(place: str) -> str:
    return "wet now and then" if place == WETTED_INDOORS else "damp under cover"
