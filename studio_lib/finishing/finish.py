"""Which finish families suit a timber, a place and a wish; how much to buy; what not to combine."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache

from studio_lib.finding import WORST_FIRST, Finding, Verdict
from studio_lib.finishing.allergies import against
from studio_lib.finishing.glue import DATA_SHEET, STAGE, adhesives, is_oily
from studio_lib.finishing.tables import records, rows
from studio_lib.timber.moisture import PLACES
from studio_lib.timber.species import Species

WHAT = "finish"
LOOKS = ("any", "bare", "in the wood", "film", "colour")
SHEENS = ("matt", "satin", "gloss")
FAINT_DAYS = 3
"""Who asks for little smell bears one that is gone within this; a judgement of ours. [days]"""
REACHES = {"indoors": 0, "cover": 1, "weather": 2}
PLACE_NEEDS = dict(zip(PLACES, ("indoors", "cover", "cover", "weather")))
# Horizontal tops and seats are the worst case: judgement.
FLAT_PART = 0.5
OILY_RAGS = (
    "oily rags heat by themselves, within an hour or up to three days: spread them out singly outdoors until hard, or soak "
    "in water in a lidded metal can; sanding dust and pads with wet oil too"
)
CHILDREN = "small children mouth furniture: take a product declared to EN 71-3 (or the local rule), fully cured"
EXTRAS = {
    "steel wool": "steel wool", "iron": "bare steel or iron", "zinc": "zinc-plated fixings",
    "stainless steel": "stainless fixings",
}
"""What else may be there, and how it is spoken of."""
ASKED = {
    "bare": "left bare", "soap": "soap", "wax": "wax", "oil": "oil", "repellent": "stain", "stain": "stain", "paint": "paint",
    "varnish": "varnish", "epoxy and varnish": "varnish", "water-borne film": "water-borne lacquer", "shellac": "shellac",
}
"""What a client asks for, ``commission.Finish``, by the kind of a family; hard-wax oil is asked for by its own name."""
FILMS = ("water-borne lacquer", "varnish", "shellac", "paint")
"""What lies on the timber and is mended by another coat."""
SPOKEN = {"oil": "oiled", "soap": "soaped", "wax": "waxed", "varnish": "varnished", "stain": "stained", "paint": "painted"}
"""How a piece is spoken of that has what was asked for; others by the finish's own name."""
SEEN = {
    "bare": "bare", "soap": "bare", "varnish": "film", "epoxy and varnish": "film", "water-borne film": "film", "shellac": "film", "paint": "film",
}
"""How a finish is seen and ages, ``timber.ageing.FINISHES``, by the kind of its family; others as oil. A judgement of ours."""
OUTDOORS = {"oil": "exterior oil (pigmented)", "varnish": "exterior varnish", "stain": "semitransparent stain", "paint": "exterior paint"}
INDOORS = OUTDOORS | {"oil": "danish oil (oil and varnish blend)", "varnish": "interior polyurethane varnish"}
"""The family that a kind stands for until one is chosen, in the weather and elsewhere; other kinds are families themselves."""
METALS = {
    "bare steel": "iron", "zinc-plated steel": "zinc", "stainless steel": "stainless steel",
    "stainless steel 316 (A4)": "", "brass or bronze": "",
}
"""Metals of fixings, each with its name among ``EXTRAS``; empty where nothing on file speaks against it."""
RULE = "place, wishes and timber against the family's limits; common practice where no source is named"


@dataclass(frozen=True)
class Finish:
    """One finish family: its row of ``finishes.csv``. Blank figures are None: not known or not for that place."""

    family: str
    kind: str
    look: str
    place_to: str
    """'indoors', 'cover' or 'weather': the harshest place it serves."""
    coverage_low_m2_l: float | None
    coverage_high_m2_l: float | None
    coats_low: int
    coats_high: int
    recoat_h_low: float | None
    recoat_h_high: float | None
    cure_days: float
    cover_years_low: float | None
    cover_years_high: float | None
    weather_years_low: float | None
    weather_years_high: float | None
    """Years before it wants doing again."""
    wet_glass: str
    food_contact: str
    """'yes', 'when cured', 'when dry' or 'no'."""
    repair: str
    difficult_wood: str
    sheen: str
    """Of ``SHEENS``, those it is sold in, with '; ' between."""
    tone: str
    """What it does to the timber's colour, in words."""
    smell_days: int
    """How long it is smelt in a room: about; 0 not at all. [days]"""
    upkeep: str
    cautions: str
    source: str
    read_on: str


@dataclass(frozen=True)
class FinishWants:
    """What the client wants of the finish."""

    look: str
    """'any', 'bare', 'in the wood', 'film' or 'colour'."""
    food_contact: bool
    small_children: bool
    wet_glasses: bool
    easy_repair: bool
    years_between: float
    """How long the client is willing to leave it alone; 0 for no wish. [years]"""
    lies_flat: bool
    """A top or a seat, where rain and sun work hardest."""
    sheen: str = ""
    """Of ``SHEENS``; empty for no wish."""
    little_smell: bool = False
    """Someone sleeps beside it, or bears smells badly."""
    keeps_colour: bool = False
    """The timber is to look as it does now."""
    allergies: tuple[str, ...] = ()
    """What someone there is allergic to, of ``allergies.allergens()``."""

    def __post_init__(self):
        if self.look not in LOOKS:
            raise ValueError(f"look is {self.look!r}; allowed: {', '.join(LOOKS)}.")
        if self.sheen not in ("", *SHEENS):
            raise ValueError(f"sheen is {self.sheen!r}; allowed: {', '.join(SHEENS)}, or empty for no wish.")
        if not 0 <= self.years_between <= 30:
            raise ValueError(f"years_between is {self.years_between}; 0 (no wish) to 30.")


@dataclass(frozen=True)
class FinishChoice:
    """One family judged for the wish in hand."""

    finish: Finish
    finding: Finding
    reasons: tuple[str, ...]
    cautions: tuple[str, ...]
    again_years: tuple[float, float] | None
    """Before it wants doing again, there; None indoors or when left bare."""

    @property
    def verdict(self) -> Verdict:
        return self.finding.verdict


@cache
def finishes() -> tuple[Finish, ...]:
    """Every finish family on file."""
    return records("finishes", Finish)


def finishes_for(species: Species, place: str, wants: FinishWants, wetted: bool = False) -> list[FinishChoice]:
    """Every finish family judged for a timber, a place and a wish, those that stand first.

    Parameters
    ----------
    species : Species
    place : str
        One of ``timber.PLACES``.
    wants : FinishWants
    wetted : bool
        Now and then; under cover, where rain blows in, what is asked of a finish is as in the weather.

    Returns
    -------
    list of FinishChoice

    Raises
    ------
    ValueError
        For an unknown place.
    """
    if place not in PLACES:
        raise ValueError(f"place is {place!r}; allowed: {'; '.join(PLACES)}.")
    found = [_judged(f, species, place, wants, wetted) for f in finishes()]
    best_first = tuple(reversed(WORST_FIRST))
    return sorted(found, key=lambda c: (best_first.index(c.verdict), len(c.reasons)))


def _judged(f: Finish, species: Species, place: str, wants: FinishWants, wetted: bool) -> FinishChoice:
    fails, again, mends = against(f.family, wants.allergies)
    needs = "weather" if wetted and PLACE_NEEDS[place] == "cover" else PLACE_NEEDS[place]
    if REACHES[f.place_to] < REACHES[needs]:
        fails.append({"indoors": "for dry rooms only", "cover": "not for open weather"}[f.place_to])
        mends.append("take an exterior family")
    if wants.look not in ("any", f.look):
        fails.append(f"looks '{f.look}', '{wants.look}' asked for")
        mends.append("another look, or another family")
    if wants.food_contact and f.food_contact == "no":
        fails.append("not for surfaces that food touches")
        mends.append("soap, shellac or a cured oil")
    if wants.wet_glasses and f.wet_glass != "good":
        (fails if f.wet_glass == "poor" and f.kind != "bare" else again).append(f"wet glasses: {f.wet_glass}")
        mends.append("coasters, or a finish that bears water")
    if wants.easy_repair and f.repair == "hard":
        again.append("repair means sanding off")
        mends.append("an oil")
    if is_oily(species) and f.difficult_wood == "poor":
        again.append("oily timber: a film dries badly and peels")
        mends.append("solvent wipe and a test piece, or an oil")
    if wants.sheen and wants.sheen not in f.sheen.split("; "):
        again.append(f"dries {f.sheen.replace('; ', ' or ')}, {wants.sheen} asked for")
        mends.append("another family, or rub the last coat back and show a sample")
    if wants.little_smell and f.smell_days > FAINT_DAYS:
        again.append(f"smells for about {f.smell_days} days, little smell asked for")
        mends.append("soap, shellac or a water-borne finish, or let it air in the workshop first")
    if wants.keeps_colour and "darkens" in f.tone:
        again.append(f"{f.tone}, and its colour is to stay")
        mends.append("soap or a water-borne finish, which stay pale, or show a sample first")
    years = _again_years(f, needs, wants.lies_flat)
    if years and wants.years_between > years[1]:
        again.append(f"wants doing again after {years[0]:g} to {years[1]:g} years, {wants.years_between:g} hoped for")
        mends.append("leave it bare and let it grey, or agree on more frequent care")
    verdict = Verdict.FAILS if fails else Verdict.LOOK_AGAIN if again else Verdict.STANDS
    reasons = tuple(fails + again) or (f.upkeep,)
    cautions = []
    if f.cautions:
        cautions.append(OILY_RAGS if f.cautions.startswith("oily rags") else f.cautions)
    if f.food_contact.startswith("when"):
        cautions.append(f"food only after {f.cure_days:g} days of cure; {DATA_SHEET}")
    if wants.small_children and f.kind not in ("bare", "soap"):
        cautions.append(CHILDREN)
    finding = Finding(
        f"{f.family} on {species.name}", WHAT, verdict, f"{f.family}: {'; '.join(reasons)}.",
        wants.years_between if years and wants.years_between else None, years[1] if years else None,
        "years" if years else "", RULE, f.source,
        "" if verdict is Verdict.STANDS else "; ".join(dict.fromkeys(mends)), STAGE,
    )
    return FinishChoice(f, finding, reasons, tuple(cautions), years)


def kind_asked(family: str) -> str:
    """What a client asks for when it is made with a family, of ``commission.Finish``. Raises KeyError for one not on file."""
    return family if family == "hard-wax oil" else ASKED[{f.family: f.kind for f in finishes()}[family]]


def family_for(asked: str, place: str) -> str:
    """The family on file that what a client asks for stands for in a place, until one is chosen."""
    return (OUTDOORS if place == "outdoors, in the weather" else INDOORS).get(asked, asked)


def seen_as(f: Finish) -> str:
    """How it is seen and ages, of ``timber.ageing.FINISHES``."""
    return SEEN.get(f.kind, "oiled")


def oily_rags(f: Finish) -> bool:
    """Whether its rags heat by themselves."""
    return f.cautions.startswith("oily rags")


def seen_and_smelt(f: Finish) -> str:
    """How a finish looks and smells, in a few words: for who must live with it."""
    smell = {0: "no smell", 1: "smell gone in a day"}.get(f.smell_days, f"smells for about {f.smell_days} days")
    return f"{f.sheen.replace('; ', ' or ')}; {f.tone}; {smell}"


def _again_years(f: Finish, needs: str, lies_flat: bool) -> tuple[float, float] | None:
    low, high = (
        (f.weather_years_low, f.weather_years_high) if needs == "weather" else
        (f.cover_years_low, f.cover_years_high) if needs == "cover" else (None, None)
    )
    if low is None or high is None:
        return None
    if needs == "weather" and lies_flat:
        return low * FLAT_PART, low
    return low, high


def litres_to_buy(finish: Finish, area_m2: float, spare: float) -> float | None:
    """Litres for all coats at the thriftiest coverage and most coats on file, with some spare.

    Parameters
    ----------
    finish : Finish
    area_m2 : float
        All surfaces, backs and undersides too. [m2]
    spare : float
        Fraction on top: 0.1 to 0.2 is common practice.

    Returns
    -------
    float or None
        [L]; None for a family without a coverage on file.

    Raises
    ------
    ValueError
        For an area not above 0, or a spare outside 0 to 1.

    Examples
    --------
    Decking oil, two coats at 12 m2 a litre on 6 m2, nothing spare:

    >>> oil = next(f for f in finishes() if f.family == "exterior oil (pigmented)")
    >>> litres_to_buy(oil, 6, 0)
    1.0
    """
    if not area_m2 > 0:
        raise ValueError(f"area_m2 is {area_m2}; above 0.")
    if not 0 <= spare <= 1:
        raise ValueError(f"spare is {spare}; a fraction from 0 to 1.")
    if finish.coverage_low_m2_l is None:
        return None
    return area_m2 * finish.coats_high / finish.coverage_low_m2_l * (1 + spare)


def conflicts(
    families: Iterable[str], species: Species | None = None, place: str | None = None, extras: Iterable[str] = (),
    salt_air: bool = False,
) -> tuple[Finding, ...]:
    """What among the families, the timber and the hardware must not be put together.

    Parameters
    ----------
    families : iterable of str
        Adhesive and finish families, by the names on file.
    species : Species or None
    place : str or None
        One of ``timber.PLACES``.
    extras : iterable of str
        Of ``EXTRAS``.
    salt_air : bool
        Whether it stands by the sea.

    Returns
    -------
    tuple of Finding
        Empty when nothing on file speaks against it.

    Raises
    ------
    ValueError
        For a family or an extra that is not on file.
    """
    on_file = {one.family: one.kind for one in (*adhesives(), *finishes())}
    present: dict[str, str] = {}
    for family in families:
        if family not in on_file:
            raise ValueError(f"No family {family!r} on file. On file: {', '.join(on_file)}.")
        for part in on_file[family].split(" and "):
            present[part] = family
        present[family] = family
    for extra in extras:
        if extra not in EXTRAS:
            raise ValueError(f"extras holds {extra!r}; allowed: {', '.join(EXTRAS)}.")
        present[extra] = EXTRAS[extra]
    if species is not None:
        for tag, holds in (
            ("tannin timber", species.tannin in ("some", "strong")), ("oily timber", is_oily(species)),
            ("pale timber", species.tone == "light"),
        ):
            if holds:
                present[tag] = species.name
    if place is not None and PLACE_NEEDS[place] == "weather":
        present["weather"] = "open weather"
    if salt_air:
        present["salt air"] = "salt air"
    return tuple(
        Finding(
            f"{present[row['first']]} with {present[row['second']]}", "what not to combine", Verdict.LOOK_AGAIN,
            f"{row['why'][0].upper()}{row['why'][1:]}.", rule="not together", source=row["source"],
            mend=row["instead"], stage=STAGE,
        )
        for row in rows("not_together")
        if row["first"] in present and row["second"] in present and present[row["first"]] != present[row["second"]]
    )
