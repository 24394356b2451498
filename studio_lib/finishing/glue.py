"""Which adhesive families suit a timber, a place and a joint. Generic families, never products."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from studio_lib.finding import WORST_FIRST, Finding, Verdict
from studio_lib.finishing.allergies import against
from studio_lib.finishing.tables import records, rows
from studio_lib.timber.durability import use_class
from studio_lib.timber.species import Species

WHAT, STAGE = "adhesive", "joints"
USE_CLASSES = ("1", "2", "3.1", "3.2", "4")
NEAR_COLD_K = 3.0
RULE = "exterior class against use class (EN 204, EN 301 against EN 335); gap, timber and warmth against the family's limits"
FRESH_CUT = "cut or plane the faces the same day; moderate, even pressure"
SOLVENT = "wipe with a solvent that dries fast just before gluing (gloves, fresh air, no flame), then glue at once"
TEST_PIECE = "glue and break a test piece of this very timber first"
DATA_SHEET = "the product's own data sheet goes before this table"


@dataclass(frozen=True)
class Adhesive:
    """One adhesive family: its row of ``adhesives.csv``."""

    family: str
    kind: str
    exterior_class: str
    use_class_to: str
    """Highest use class of EN 335 it serves."""
    open_min_low: float
    open_min_high: float
    clamp_min_low: float
    clamp_min_high: float
    full_strength_h: float
    least_temperature_c: float
    """Of air, wood and glue. [°C]"""
    most_gap_mm: float
    least_moisture_pct: float
    most_moisture_pct: float
    spread_low_g_m2: float
    spread_high_g_m2: float
    difficult_wood: str
    """'good', 'fair' or 'poor' on oily and very dense timber."""
    creeps: str
    softens_c: float
    notes: str
    cautions: str
    source: str
    read_on: str


@dataclass(frozen=True)
class GlueChoice:
    """One family judged for the joint in hand."""

    adhesive: Adhesive
    finding: Finding
    reasons: tuple[str, ...]
    """Why it does, does not, or wants another look."""
    preparation: tuple[str, ...]
    cautions: tuple[str, ...]

    @property
    def verdict(self) -> Verdict:
        return self.finding.verdict


@cache
def adhesives() -> tuple[Adhesive, ...]:
    """Every adhesive family on file."""
    return records("adhesives", Adhesive)


@cache
def _oily() -> frozenset[str]:
    return frozenset(row["name"] for row in rows("oily_timbers"))


def is_oily(species: Species) -> bool:
    """Whether a timber is on file as oily or greasy."""
    return species.name in _oily()


def glues_for(
    species: Species,
    place: str,
    joint_gap_mm: float,
    workshop_c: float | None = None,
    water_lies: bool = False,
    wetted: bool = False,
    allergies: tuple[str, ...] = (),
) -> list[GlueChoice]:
    """Every adhesive family judged for a timber, a place and a fit, those that stand first.

    Parameters
    ----------
    species : Species
    place : str
        One of ``timber.PLACES``.
    joint_gap_mm : float
        Widest gap in the joint as fitted, on one side. [mm]
    workshop_c : float or None
        Coldest it gets until the clamps come off; None when not known. [°C]
    water_lies : bool
        Whether water can stay in the joint: use class 3.2 rather than 3.1 in the weather, 2 indoors.
    wetted : bool
        Now and then: splashed indoors (use class 2), rain blows in under cover (use class 3.1).
    allergies : tuple of str
        What someone there is allergic to, of ``allergies.allergens()``.

    Returns
    -------
    list of GlueChoice

    Raises
    ------
    ValueError
        For an unknown place, a gap outside 0 to 5 mm.

    Notes
    -----
    Times and temperatures are ranges over the family, mostly from memory: the data sheet of the glue in
    hand goes before them. No glue carries a joint that its wood tears apart: movement first.

    References
    ----------
    .. [1] EN 204:2016 classes D1 to D4; EN 301 types; FPL-GTR-190 ch. 10.
    """
    if not 0 <= joint_gap_mm <= 5:
        raise ValueError(f"joint_gap_mm is {joint_gap_mm}; 0 to 5, one side of the joint.")
    wanted = use_class(place, wetted or place == "indoors, unheated" or (water_lies and place.startswith("indoors")))  # damp air now and then asks for D2 (EN 204)
    if wanted == "3":
        wanted = "3.2" if water_lies else "3.1"
    found = [_judged(a, species, wanted, joint_gap_mm, workshop_c, allergies) for a in adhesives()]
    best_first = tuple(reversed(WORST_FIRST))
    return sorted(found, key=lambda c: (best_first.index(c.verdict), len(c.reasons)))


def _judged(a: Adhesive, species: Species, wanted: str, gap_mm: float, workshop_c: float | None, allergies: tuple[str, ...] = ()) -> GlueChoice:
    fails, again, mends = against(a.family, allergies)
    if USE_CLASSES.index(a.use_class_to) < USE_CLASSES.index(wanted):
        fails.append(f"{a.exterior_class}: serves to use class {a.use_class_to}, {wanted} asked for")
        mends.append("take a family of a higher exterior class")
    if gap_mm > a.most_gap_mm:
        fails.append(f"a gap of {gap_mm:g} mm; it bears {a.most_gap_mm:g} mm")
        mends.append(f"fit the joint to {a.most_gap_mm:g} mm or closer")
    if workshop_c is not None and workshop_c < a.least_temperature_c:
        fails.append(f"{workshop_c:g} °C; it wants {a.least_temperature_c:g} or more until the clamps come off")
        mends.append("warm wood, glue and room, or wait")
    elif workshop_c is not None and workshop_c < a.least_temperature_c + NEAR_COLD_K:
        again.append(f"{workshop_c:g} °C is close to its least, {a.least_temperature_c:g}")
        mends.append("keep wood, glue and room some degrees warmer until the clamps come off")
    hard = is_oily(species) or species.gluing == "difficult"
    if hard and a.difficult_wood != "good":
        again.append(f"{'oily' if is_oily(species) else 'dense'} timber that bonds with difficulty")
        mends.append(TEST_PIECE)
    if species.gluing is None:
        again.append("how this timber glues is not on file")
        mends.append(TEST_PIECE)
    if a.kind == "epoxy" and wanted not in ("1", "2"):
        again.append("its durability on wet wood is doubted and hangs on the product")
        mends.append("take a product tested for it, keep water out of the joint, and lock the joint mechanically too")
    if a.kind == "pva" and wanted == a.use_class_to == "3.1":
        again.append("a soaked PVA line has little strength (0.6 to 2.6 MPa in tests): coat the joint, drain it, lock it")
        mends.append("polyurethane or resorcinol, or a joint that holds without glue")
    if a.kind == "cyanoacrylate":
        again.append("for small repairs, not for joints")
        mends.append("take another family for a joint")
    verdict = Verdict.FAILS if fails else Verdict.LOOK_AGAIN if again else Verdict.STANDS
    reasons = tuple(fails + again) or (f"{a.exterior_class}, in use class {wanted}",)
    preparation = [DATA_SHEET, f"wood at {a.least_moisture_pct:g} to {a.most_moisture_pct:g} %, {a.least_temperature_c:g} °C or warmer"]
    if hard:
        preparation.append(FRESH_CUT)
        if is_oily(species):
            preparation.append(SOLVENT)
        preparation.append(TEST_PIECE)
    cautions = [a.cautions] if a.cautions else []
    if a.creeps == "yes":
        cautions.append("creeps under a standing load: not for bent laminations or joints always in tension")
    cautions.append(f"softens from about {a.softens_c:g} °C: mind hot pots, radiators, dark wood in the sun")
    finding = Finding(
        f"{a.family} on {species.name}", WHAT, verdict, f"{a.family}: {'; '.join(reasons)}.", gap_mm, a.most_gap_mm, "mm",
        RULE, a.source, "" if verdict is Verdict.STANDS else "; ".join(dict.fromkeys(mends)), STAGE,
    )
    return GlueChoice(a, finding, reasons, tuple(preparation), tuple(cautions))
