"""A timber that the client brings: whether it suits the place and the use, why, and what may be done where it does not."""

from __future__ import annotations

from dataclasses import dataclass

from studio_lib.finding import Finding, Verdict, worst
from studio_lib.timber.choice import STRENGTH
from studio_lib.timber.durability import fit_for_place, use_class
from studio_lib.timber.movement import member_movement_mm
from studio_lib.timber.species import FigureMissing, Species
from studio_lib.timber.wear import Wear

DRY_ENOUGH_PCT = 2.0
"""How far from the making moisture boards may be; as in timber.moisture."""
ACROSS_MM = 100.0
"""Width that movement is told for."""

UNSEEN = "Only for parts that are not seen or not touched: backs, bottoms, drawer sides, bearers. The rest of another timber."
"""Common practice, no source."""
DRY_PARTS = (
    "Only for parts that stay dry, under a roof that rain does not blow under, with air all round and off the ground.",
    "Indoors only: make the piece for indoors, or make another piece of it.",
    "Where it can be treated, by a licensed firm and to the local code; never for what is eaten from, and it is never burnt.",
    "For fewer years, said in writing: parts that are bolted on can be changed when they go.",
)
"""What may be done with timber that rots where it would stand; common practice, no source."""
SOFT_PARTS = "A finish that is easily renewed, dents accepted in writing: no finish makes a soft timber hard."


@dataclass(frozen=True)
class Topic:
    """One thing asked of it."""

    what: str
    verdict: Verdict
    says: str


@dataclass(frozen=True)
class Brought:
    """One timber that the client brings, judged."""

    species: str
    topics: tuple[Topic, ...]
    may_do: tuple[str, ...]
    """What may be done where it does not suit as it is."""
    source: str

    @property
    def verdict(self) -> Verdict:
        return worst(self.topics)

    def headline(self, where: str) -> str:
        """Whether it suits, in a sentence; ``where``: 'indoors, heated'."""
        name = f"The client's {self.species}"
        bad = [t.what for t in self.topics if t.verdict is Verdict.FAILS]
        if bad:
            return f"{name} will not do here as it is ({where}): {_listed(bad)}. What may be done is said below."
        open_ones = [t.what for t in self.topics if t.verdict is Verdict.OPEN]
        careful = [t.what for t in self.topics if t.verdict is Verdict.LOOK_AGAIN]
        if not open_ones and not careful:
            return f"{name} suits this place ({where}) and this use."
        said = [f"look again at {_listed(careful)}"] * bool(careful) + [f"not known yet: {_listed(open_ones)}"] * bool(open_ones)
        return f"{name} can be used here ({where}); {'; '.join(said)}."


def _listed(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def brought(
    species: Species, place: str, years: float, public: bool, wetted: bool, wear: Wear, year, moisture_pct: float | None,
    drying: Finding | None = None, reclaimed: bool = False, unwanted: str = "", stand_ins: tuple[str, ...] = (),
    minded: tuple[Finding, ...] = (),
) -> Brought:
    """A client's timber judged for a place and a use, each thing asked of it by itself.

    ``year`` the place's range of moisture (``timber.moisture``), with what it is made at; ``moisture_pct`` what the meter says in it
    now, None while not measured [%]; ``drying`` the finding on that, where there is one; ``unwanted`` why the client does not want the
    timber; ``stand_ins`` the figures for which a cautious stand-in is accepted; ``minded`` what else is
    found on the lot and does not stand, as nails or old paint. Raises ValueError as ``fit_for_place``.
    """
    fit = fit_for_place(species, place, years, public, wetted)
    moisture = _moisture(year.making_pct, moisture_pct, drying)
    topics = [
        Topic("lasting", fit.verdict, f"use class {use_class(place, wetted)} of EN 335. {fit.says}"),
        _strength(species, reclaimed, stand_ins), _movement(species, year), moisture,
    ]
    may_do = [fit.mend] if fit.mend and fit.verdict is not Verdict.STANDS else []
    if fit.verdict is Verdict.FAILS:
        may_do += [*DRY_PARTS, UNSEEN]
    if wear.level:
        soft = wear.too_soft(species) or wear.mark(species.hardness_n) < 0.4
        topics.insert(1, Topic("hardness", Verdict.LOOK_AGAIN if soft else Verdict.STANDS, wear.says(species)))
        may_do += [UNSEEN, SOFT_PARTS] if soft else []
    if unwanted:
        topics.append(Topic("wanted", Verdict.LOOK_AGAIN, f"the client brings it and does not want it at once: {unwanted}. Ask which holds."))
    topics += [Topic(f.what, f.verdict, f.says) for f in minded]
    may_do += [f.mend for f in minded]
    if drying is not None and moisture.verdict in (Verdict.FAILS, Verdict.LOOK_AGAIN):
        may_do.insert(0, drying.mend)
    if any(t.what == "strength" and t.verdict is Verdict.OPEN for t in topics):
        may_do.append("Choose it and tick the cautious stand-in for its strength on this page.")
    return Brought(species.name, tuple(topics), tuple(dict.fromkeys(x for x in may_do if x)), fit.source or "durability by EN 350, EN 460, AS 5604 or the USDA list")


def _strength(species: Species, reclaimed: bool, stand_ins: tuple[str, ...]) -> Topic:
    told = [f"{words} {value:g} {unit}" for words, value, unit in (
        ("bending strength", species.mor_mpa, "MPa"), ("stiffness", species.moe_gpa, "GPa")) if value is not None]
    says = f"{', '.join(told)}, of clear sound timber" if told else "no figure on file"
    missing = [words for field, words in STRENGTH.items() if getattr(species, field) is None and field not in stand_ins]
    says += f"; nobody published its {' or '.join(missing)}: whether the piece holds waits for a stand-in" if missing else ""
    says += "; what old boards still hold nobody knows: look each over for rot, beetle, cracks and old holes" if reclaimed else ""
    if missing or reclaimed:
        return Topic("strength", Verdict.OPEN if missing else Verdict.LOOK_AGAIN, says)
    return Topic("strength", Verdict.STANDS, says)


def _movement(species: Species, year) -> Topic:
    try:
        mm = member_movement_mm(species, ACROSS_MM, "flat", year.low_pct, year.high_pct)
    except FigureMissing:
        return Topic("movement", Verdict.OPEN, "nobody published how it moves: joints cannot be given room for it")
    return Topic("movement", Verdict.STANDS, f"{abs(mm):.1f} mm in {ACROSS_MM:g} mm of width over the year here, flat-sawn; the joints give it room")


def _moisture(making_pct: float, moisture_pct: float | None, drying: Finding | None) -> Topic:
    if moisture_pct is None:
        return Topic("moisture", Verdict.OPEN, f"not measured; it is made at {making_pct:g} % here")
    over = moisture_pct - making_pct
    says = f"{moisture_pct:g} % now, {making_pct:g} % wanted here"
    if abs(over) <= DRY_ENOUGH_PCT:
        return Topic("moisture", Verdict.STANDS, f"{says}: dry enough")
    if over < 0:
        return Topic("moisture", Verdict.LOOK_AGAIN, f"{says}: drier than its place, it swells in the piece. Let it stand in the air of the place first")
    if drying is None:
        return Topic("moisture", Verdict.LOOK_AGAIN, f"{says}: it must dry first")
    return Topic("moisture", drying.verdict, f"{says}. {drying.says.partition('. ')[2] or drying.says}")
