"""Choosing a timber: what the client wants, against every timber on file."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from functools import cache

from studio_lib.finding import Finding, Verdict
from studio_lib.timber import stain
from studio_lib.timber.ageing import kept_mark, kept_words
from studio_lib.timber.colour import lab_from_hex
from studio_lib.timber.durability import TREATED, WEATHER, fit_for_place, gets_wet, life_mark, wants_treatment
from studio_lib.timber.provenance import Unwanted, protected, why_unwanted
from studio_lib.timber.sold import grown_around, grows_in, seldom_sold
from studio_lib.timber.species import Species, all_species
from studio_lib.timber.tables import rows
from studio_lib.timber.wear import WEAR_WEIGHT, Wear

LOOKS = ("any", "light", "mid", "dark", "red", "dark red", "warm", "golden", "brown")
"""What may be asked for: a tone of the table, or a hue of ``HUES``."""
LOOK_WEIGHT = 2
FIT_WEIGHT = 2
LEVEL_MARK = {
    "easy": 1.0, "moderate": 0.5, "difficult": 0.0,
    "none": 1.0, "some": 0.5, "strong": 0.0,
}
# Tones beside the one asked for; red timbers pass for mid or dark.
TONE_MARK = {
    "light": {"light": 1.0, "mid": 0.5},
    "mid": {"mid": 1.0, "light": 0.5, "dark": 0.5, "red": 0.5},
    "dark": {"dark": 1.0, "red": 0.75, "mid": 0.5},
}
HUES = {
    "red": ((0.0, 54.0), (20.0, 55.0)),
    "dark red": ((0.0, 50.0), (0.0, 37.0)),
    "warm": ((44.0, 68.0), (35.0, 60.0)),
    "golden": ((68.0, 84.0), (55.0, 72.0)),
    "brown": ((60.0, 75.0), (25.0, 54.0)),
}
"""Hue angle and lightness (L*) of the colour indoors that a hue asked for takes in, as the colours on file lie: judgement of ours. [degrees, 0 to 100]"""
HUE_FADES_DEG, LIGHTNESS_FADES = 24.0, 30.0
"""So far outside nothing is left of the mark; judgement of ours."""
KEEP_WEIGHT = 1.5
"""For each step that it matters that a timber keeps its colour; judgement of ours."""
GOOD_FROM, POOR_BELOW = 0.67, 0.34


def tone_mark(species: Species, asked: str) -> float:
    """How well a timber's colour meets a tone or a hue asked for: 1 as asked, 0 far from it.

    A tone goes by the tone on file; a hue by hue angle and lightness (CIE 15:2004) of its colour after years indoors.
    """
    if asked not in HUES:
        return TONE_MARK.get(asked, {}).get(species.tone, 0.0)
    lightness, a, b = lab_from_hex(species.colour_indoors_hex)
    hues, lights = HUES[asked]
    off = _outside(math.degrees(math.atan2(b, a)), *hues) / HUE_FADES_DEG + _outside(lightness, *lights) / LIGHTNESS_FADES
    return max(1.0 - off, 0.0)


def as_asked(species: Species, asked: str) -> bool:
    """Whether a timber is of the tone or hue asked for, and no mere neighbour of it."""
    return asked in ("any", species.tone) or asked in HUES and tone_mark(species, asked) >= GOOD_FROM


def _outside(value: float, low: float, high: float) -> float:
    return max(low - value, value - high, 0.0)


@dataclass(frozen=True)
class Wants:
    """What the client cares about: 0 not at all, 1 somewhat, 2 much."""

    light_or_dark: str
    """One of ``LOOKS``."""
    may_go_grey: bool
    low_movement: int
    low_weight: int
    hard_surface: int
    easy_to_work: int
    low_tannin: int
    keep_colour: int = 0
    """In the light of years, indoors."""

    def __post_init__(self):
        if self.light_or_dark not in LOOKS:
            raise ValueError(
                f"light_or_dark is {self.light_or_dark!r}; allowed: {', '.join(LOOKS)}."
            )
        for field in fields(self):
            value = getattr(self, field.name)
            if field.type == "int" and value not in (0, 1, 2):
                raise ValueError(
                    f"{field.name} is {value!r}; 0 not at all, 1 somewhat, 2 much."
                )


PAINT_WEIGHT, PRICE_WEIGHT = 3, 5
PAINT_MARK = {"I": 1.0, "II": 0.5, "III": 0.0}
"""How well paint lies and lasts on a timber: paintability of the Wood Handbook, I the best."""
KNOTS = "knots and resin bleed through paint: seal each with shellac before the primer (common practice, no source)"


SOLID_ALONE = "All is reckoned in solid timber here: MDF and plywood, often taken for painted or inexpensive work, are not on file"
"""Said where the client's words or the finish would let sheet material serve."""


@dataclass(frozen=True)
class Plain:
    """What a plain piece asks of a timber: that it takes paint, that it costs little."""

    painted: bool = False
    per_m3: Mapping[str, float] | None = None
    """Price a cubic metre by name, where it need not be costly; None where price is left to the yard."""

    def marks(self, species: Species):
        """Weight, mark and words of each."""
        found = next((row["class"] for row in rows("paintability") if row["name"] == species.name), None)
        yield PAINT_WEIGHT * self.painted, PAINT_MARK.get(found, 0.5), f"under paint: class {found} of I to III, Wood Handbook table 16-1"
        price = (self.per_m3 or {}).get(species.name)
        if price is not None:
            known = sorted(self.per_m3.values())
            mark = 1 - known.index(price) / max(len(known) - 1, 1)
            yield PRICE_WEIGHT, mark, f"{'cheap' if mark >= 0.5 else 'dear'} beside the others on file, at starting prices or your own"


@dataclass(frozen=True)
class Choice:
    """One timber weighed against the wants."""

    species: str
    fit: Finding
    score: int
    """0 to 100; 0 when ruled out."""
    reasons: tuple[str, ...]
    """In words: '+' speaks for it, '-' against, '!' to know before buying."""
    liked: bool = False
    """The client asked for it."""
    too_soft: bool = False
    """Softer than the use asks; stands after the harder ones."""
    treated: bool = False
    """Nothing calls it durable enough there untreated; stands after those that are."""
    unwanted: str = ""
    """Why the client does not want it; stands after all that are wanted."""
    grows: str = ""
    """The region of the country where it grows; '' where it comes from elsewhere, or no country is known."""
    far: bool = False
    """Timber from around there is wished, and it does not grow there; stands after what does."""
    seldom: str = ""
    """Why it is hard to buy there; stands after what yards hold."""
    protected: str = ""
    """On which list of protected or threatened trees it is; stands after those on none, unless the client likes it."""

    @property
    def ruled_out(self) -> bool:
        return self.fit.verdict is Verdict.FAILS


def rank(
    brief_wants: Wants, place: str, years: float, public: bool, wear: Wear = Wear(), liked: tuple[str, ...] = (),
    wetted: bool = False, unwanted: Unwanted = Unwanted(), market: str = "", country: str = "", local: bool = False, plain: Plain = Plain(),
) -> list[Choice]:
    """Every timber on file: those liked that last, then the best for the brief, those not wanted, those ruled out last.

    Parameters
    ----------
    brief_wants : Wants
    place : str
        One of ``PLACES``.
    years : float
        Life wanted. [years]
    public : bool
        Whether the piece serves the public.
    wear : Wear
        What seat or top must bear; from ``wear_of``.
    liked : tuple of str
        Names of timbers that the client likes.
    wetted : bool
        Now and then: indoors splashed, or walls sweat; under cover rain blows in.
    unwanted : Unwanted
        What the client does not want.
    market : str
        Of ``sold.MARKETS``, where it is bought; '' where that is not known.
    country : str
        Where it is bought; '' where that is not known.
    local : bool
        Whether the client wishes timber grown there: what grows elsewhere then stands after it, as does what yards there seldom hold.
    plain : Plain
        Whether it is painted, and need not be costly.

    Returns
    -------
    list of Choice
        Of those as good in all else, what CITES or the Red List has stands last.

    Raises
    ------
    ValueError
        As ``fit_for_place``.

    Notes
    -----
    How the score comes about (ours; common practice, no source). Each want gives a
    timber a mark from 0 to 1, its place among all timbers on file: 1 for the one that
    moves least (weighs least, is hardest), 0 for the last. Easy to work is the mean of
    the mark for low weight and that for gluing (easy 1, moderate a half, difficult 0).
    Tannin: none 1, some a half, strong 0; where it gets wet some is a quarter, and what must not stain counts 4. Tone: as asked 1, the neighbour a half (red
    for dark three quarters); a hue by ``tone_mark``. Durability by ``durability.life_mark``, at weight 2; where
    timber gets wet, what nothing on file calls durable enough untreated stands after the
    rest (``durability.wants_treatment``). The score is the mean of the marks, weighted by
    how much each is wanted (tone at 2), times 100. A figure not on file marks 0 and says
    so. Where there is a seat or top, hardness counts 4 at least, 6 where the public or
    children use it, and its mark runs from 0 at 3000 N to 1 at 5000 N; in that hard use
    timbers under 4200 N stand after the harder ones, whatever their points.

    Under paint the tone does not count, and paintability counts 3; where the piece need not be costly the price a cubic
    metre counts 5: 1 for the cheapest on file, 0 for the dearest.

    Greying moves no mark, since every timber greys in the weather; it is said in words.
    Price does too where nobody asks for a plain piece: it is the timber yard's to name.
    """
    choices = [
        _told(
            _weigh(species, brief_wants, place, years, public, wear, species.name in liked, wetted, plain),
            why_unwanted(species, unwanted), protected(species), seldom_sold(species.name, market), country, local,
        )
        for species in all_species()
    ]
    return sorted(choices, key=lambda c: (
        c.ruled_out, bool(c.unwanted), not c.liked, c.treated, c.too_soft, bool(c.seldom), c.far, bool(c.protected), -c.score, c.species.casefold()
    ))


def _told(choice: Choice, why: str, listed: str, seldom: str, country: str, local: bool) -> Choice:
    """The choice with why the client does not want it, first among its reasons; where it grows, and that it is hard to buy, after the fit."""
    choice = replace(choice, grows=grown_around(choice.species, country))
    if local and country and not choice.ruled_out:
        where = f"+ grows around there: {choice.grows}" if choice.grows else f"- not from around there: it grows in {', '.join(grows_in(choice.species))}"
        choice = replace(choice, far=not choice.grows, reasons=(choice.reasons[0], where, *choice.reasons[1:]))
    if listed and not (choice.ruled_out or choice.liked or why):
        choice = replace(choice, protected=listed, reasons=(choice.reasons[0], f"- after those on no list of threatened trees, unless the client asks for it: {listed}", *choice.reasons[1:]))
    if seldom and not choice.ruled_out:
        choice = replace(choice, seldom=seldom, reasons=(choice.reasons[0], f"- {seldom}", *choice.reasons[1:]))
    return replace(choice, unwanted=why, reasons=(f"- not wanted: {why}", *choice.reasons)) if why else choice


def said_of_liked(choices, liked) -> list[tuple[str, bool]]:
    """What is said first of the timbers the client likes, each with whether it can be used."""
    by_name = {c.species: c for c in choices}
    said = []
    for name in liked:
        c = by_name.get(name)
        if c is None:
            said.append((f"{name}, liked by the client, is not among the timbers ranked here.", False))
        elif c.ruled_out:
            said.append((f"{name}, liked by the client, cannot be used here. {c.fit.says} {c.fit.mend}", False))
        elif c.unwanted:
            said.append((f"{name} is liked by the client and not wanted at once: {c.unwanted}. Ask which holds.", False))
        else:
            contra = [r[2:] for r in c.reasons if r.startswith("- ")]
            told = f" To know: {'; '.join(r.rstrip('.') for r in contra)}." if contra else ""
            said.append((f"{name}, liked by the client, can be used here: {c.score} points of 100.{told}", True))
    return said


STRENGTH = {"moe_gpa": "stiffness", "mor_mpa": "bending strength", "shear_mpa": "shear strength"}
"""Figures that every check of strength asks for, in words."""


def _weigh(species: Species, wants: Wants, place, years, public, wear: Wear, liked: bool, wetted: bool, plain: Plain = Plain()) -> Choice:
    fit = fit_for_place(species, place, years, public, wetted)
    if fit.verdict is Verdict.FAILS:
        return Choice(species.name, fit, 0, (f"- ruled out: {fit.says}",), liked)
    marks = [(FIT_WEIGHT, life_mark(species, place, fit, wetted))]
    reasons = [f"{'+' if fit.stands else '-'} {fit.says}"]
    treated = wants_treatment(species, place, fit, wetted)
    if treated:
        reasons.append(f"- {TREATED}" if species.durability_en350 else "- nothing on file calls it durable enough there: listed after what is")
    if wear.level:
        mark = wear.mark(species.hardness_n)
        marks.append((max(wants.hard_surface, WEAR_WEIGHT[wear.level]), mark))
        reasons.append(f"{'+' if mark >= 0.4 and not wear.too_soft(species) else '-'} {wear.says(species)}")
        wants = replace(wants, hard_surface=0)
    if plain.painted:
        wants = replace(wants, light_or_dark="any", keep_colour=0)
    if place.startswith("outdoors"):
        wants = replace(wants, keep_colour=0)  # there all timber greys
    middling = True
    for weight, mark, words in (*_marks(species, wants, gets_wet(place, wetted)), *plain.marks(species)):
        if not weight:
            continue
        marks.append((weight, mark))
        if mark >= GOOD_FROM:
            reasons.append(f"+ {words}")
        elif mark < POOR_BELOW:
            reasons.append(f"- {words}")
        else:
            continue
        middling = False
    if wants.low_tannin >= stain.FORBIDS and stain.bleeds(species, place, wetted):
        minus = f"- {stain.said(species)}"
        reasons.remove(minus)
        reasons.insert(1, minus)  # what is forbidden stands before the rest
    if middling and len(marks) > 1:
        reasons.append("+ middling in all else that was asked for")
    if plain.painted and species.group == "softwood":
        reasons.append(f"! {KNOTS}")
    if place == WEATHER and not wants.may_go_grey:
        reasons.append("- goes grey in the weather, as all timber does, unless kept oiled")
    unknown = [words for field, words in STRENGTH.items() if getattr(species, field) is None]
    if unknown:
        reasons.append(f"? nobody published its {' or '.join(unknown)}: whether it holds stays open until you accept a cautious stand-in")
    if species.legality_note:
        reasons.append(f"! {species.legality_note}")
    if species.dust_caution:
        reasons.append(f"! dust: {species.dust_caution}")
    score = sum(w * m for w, m in marks) / sum(w for w, _ in marks)
    return Choice(species.name, fit, round(100 * score), tuple(reasons), liked, wear.too_soft(species), treated)


def _marks(species: Species, wants: Wants, wet: bool):
    """Weight, mark and words of each want."""
    swing, light, hard = (
        _place_among(species.name, what) for what in ("swing", "weight", "hardness")
    )
    gluing = LEVEL_MARK.get(species.gluing, 0.0)
    yield (
        0 if wants.light_or_dark == "any" else LOOK_WEIGHT,
        tone_mark(species, wants.light_or_dark),
        f"{species.tone} in tone, {wants.light_or_dark} asked for",
    )
    yield wants.low_movement, swing, _said(
        swing_pct(species), "moves {:.1f} % across the grain from wet to ovendry", "movement"
    )
    yield wants.low_weight, light, f"to carry: {species.density_12pct_kg_m3:.0f} kg/m3"
    yield wants.hard_surface, hard, _said(
        species.hardness_n, "hardness {:.0f} N (Janka)", "hardness"
    )
    yield (
        wants.easy_to_work, (light + gluing) / 2,
        f"to work: {species.density_12pct_kg_m3:.0f} kg/m3, gluing {species.gluing}",
    )
    yield KEEP_WEIGHT * wants.keep_colour, kept_mark(species), kept_words(species)
    if wet:
        yield stain.WEIGHT[wants.low_tannin], stain.MARK[species.tannin], stain.said(species)
        return
    yield wants.low_tannin, LEVEL_MARK[species.tannin], (
        f"tannin stain: {species.tannin} (from memory)"
    )


def _said(value, words, what) -> str:
    return f"{what} not on file" if value is None else words.format(value)


def swing_pct(species: Species) -> float | None:
    """Tangential swing from wet to ovendry: 30 points of the coefficient, or as measured."""
    if species.shrink_basis == "saturated to ovendry":
        return species.shrink_tangential_pct
    if species.movement_tangential_per_pct is None:
        return None
    return 30 * 100 * species.movement_tangential_per_pct


@cache
def _places_among() -> dict[str, dict[str, float]]:
    least_first = {
        "swing": swing_pct,
        "weight": lambda s: s.density_12pct_kg_m3,
        "hardness": lambda s: None if s.hardness_n is None else -s.hardness_n,
    }
    return {what: _spread(measure) for what, measure in least_first.items()}


def _spread(measure) -> dict[str, float]:
    """Marks by name: 1 for the least of all, 0 for the most, equal figures alike."""
    values = {s.name: measure(s) for s in all_species()}
    known = sorted(v for v in values.values() if v is not None)
    last = len(known) - 1
    return {
        name: 0.0 if value is None else 1 - known.index(value) / last
        for name, value in values.items()
    }


def _place_among(name: str, what: str) -> float:
    return _places_among()[what][name]
