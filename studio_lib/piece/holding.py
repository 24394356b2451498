"""What a joint holds: pull, push, sliding and turning, each at the mechanism that gives way first.

Design values for one member in twenty and a short load: the strengths that come in are lowered
already, and nothing here adds to them. Where mechanics of a joint was found in no test, the lower
of what stands to reason is taken and ``evidence`` says so.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache

Vec = tuple[float, float, float]

TESTED = (
    "tests of tenons bound it from above: red and white oak, BioResources 11(3):7162; ours stays under half of their "
    "lower tolerance limit"
)
MECHANICS = "mechanics of its parts at lower values; no published test of this joint was found"
FASTENER = "published fastener rules for structural timber; furniture sizes lie below what they were tested for"
HARDWARE = "screws as usually supplied are assumed; the maker of the fitting has the last word"
END_GRAIN_SHARE = 0.2
"""Of the timber's shear strength, for glue on end grain; a judgement of ours, no test of a housing was found."""
TENSION_SHARE = 0.6
"""Tension along the grain over bending: EN 384:2016 5.3, from memory."""
BLUNT_TWIST = 0.208
"""Torsion of a square section, T = 0.208 a b^2 tau for the longer side a: the least of all rectangles. Roark, from memory."""
DOWEL_MPA = 3.0
"""Lowest published mean of pull over glued surface: plain dowels, humid, BioResources 13(3):5179 and 15(1):1665."""
DOWEL_SHARE = 0.5
"""From a mean to a design value: yield at 55 % and cycles at two thirds of the ultimate, BioResources as in the tests."""
SPLIT_BENT = 1.64
"""Bending over even tension across the grain, (2 (m + 1))^(1/m) by Weibull with m = 5, the exponent of EN 1995-1-1 eq. 6.50."""
STEEL_MPA = 500.0
"""Tensile strength of wood screws, from memory."""
BOLT_MPA = 400.0
"""Tensile strength of a bolt of class 4.6: ISO 898-1, from memory."""
STEEL_GAMMA = 1.25
PIN_SHARE = 0.5
DENTING = ("crushing", "sinking in", "the grain under", "bedding in", "cutting into", "the floor of")
"""Words of the mechanisms that press timber in across its grain: it gives and hardens, and does not part."""
HINGE_SCREWS = 3
"""Screws in one leaf of a hinge; common practice, no source."""
HINGE_SCREW_MM = (3.5, 20.0)
"""Diameter and length of a hinge's screw; common practice, no source."""
KEEP = 512
"""Answers kept of each rule: joints are alike, and most of them stay as they are while a size of the piece changes."""


@dataclass(frozen=True)
class Strengths:
    """Design strengths of the timber of one member, short load, at its place's moisture. [MPa], [kg/m3]"""

    bending: float
    shear: float
    crushing: float
    """Compression across the grain."""
    end: float
    """Compression along the grain."""
    splitting: float
    """Tension across the grain."""
    density_kg_m3: float
    hardwood: bool = True
    factor: float = 0.69
    """From a characteristic to a design value: k_mod / gamma_M."""
    screw_factor: float = 1.6
    """On the allowable pull of a screw, which is for ten years: NDS table 2.3.2, 1.6 for ten minutes; 0.7 of it when wet."""


@dataclass(frozen=True)
class Way:
    """The most a joint takes in one way, and what gives way."""

    most: float
    """[N], or [N mm] for turning."""
    by: str
    breaks: float = math.inf
    """Where something breaks, if what gives way first only dents."""

    @property
    def dents(self) -> bool:
        """Whether what gives way first is pressed in and works loose rather than breaks."""
        return _dents(self.by)


@lru_cache(maxsize=256)
def _dents(by: str) -> bool:
    return any(word in by for word in DENTING)


@dataclass(frozen=True)
class Holds:
    """What a joint takes, in its own axes; a way left None is not held, or was not judged."""

    out: Vec
    """Unit vector in piece axes: how the first member leaves the second."""
    wide: Vec
    """Unit vector square to it along the longer side of what is joined."""
    pull: Way | None = None
    push: Way | None = None
    slide_wide: Way | None = None
    slide_thin: Way | None = None
    turn: Way | None = None
    """In the plane of ``out`` and ``wide``."""
    turn_thin: Way | None = None
    """About ``wide``."""
    twist: Way | None = None
    """About ``out``."""
    evidence: str = MECHANICS

    def part(self, share: float) -> Holds:
        """What one of several equal parts of the joint takes."""
        if share == 1:
            return self
        names = ("pull", "push", "slide_wide", "slide_thin", "turn", "turn_thin", "twist")
        return replace(self, **{n: Way(w.most * share, w.by, w.breaks * share) for n in names if (w := getattr(self, n)) is not None})


def least(*ways: tuple[float, str]) -> Way:
    """The mechanism that gives way first."""
    most, by = min(ways, key=lambda way: max(way[0], 0.0))
    return Way(max(most, 0.0), by, min((m for m, how in ways if not _dents(how)), default=math.inf))


def glue_turn_n_mm(shear_mpa: float, long_mm: float, wide_mm: float, faces: float) -> float:
    """Moment in their plane at which the corner of glued rectangles reaches the shear strength. [N mm]

    Elastic: tau J / r with the polar second moment a b (a^2 + b^2) / 12 and the corner at hypot(a, b) / 2.
    """
    corner = math.hypot(long_mm, wide_mm) / 2
    polar = long_mm * wide_mm * (long_mm**2 + wide_mm**2) / 12
    return faces * shear_mpa * polar / max(corner, 1e-9)


def twist_n_mm(shear_mpa: float, a_mm: float, b_mm: float) -> float:
    """Torsion at which a rectangular tongue shears, on the low side for any shape. [N mm]"""
    a, b = max(a_mm, b_mm), min(a_mm, b_mm)
    return BLUNT_TWIST * a * b * b * shear_mpa


def shear_n(shear_mpa: float, a_mm: float, b_mm: float) -> float:
    """Load at which a short tongue is cut off: the mean stress, as the block test that gives the strength takes it. [N]

    ASTM D143, by which the Wood Handbook's shear strengths are found, divides load by area.
    """
    return shear_mpa * a_mm * b_mm


def bears_over_mm(length_mm: float) -> float:
    """Length that helps to bear across the grain, 30 mm more on the one side where the grain runs on: EN 1995-1-1 6.1.5. [mm]"""
    return length_mm + min(30.0, length_mm)


def notch_factor(depth_mm: float, left_mm: float, reach_mm: float = 0.0, slope: float = 0.0, k_n: float = 5.0) -> float:
    """What a notch on the loaded side leaves of the shear strength: EN 1995-1-1 6.5.2, eq. 6.62.

    ``depth_mm`` of the member, ``left_mm`` at the notch, ``reach_mm`` from the support to the notch's
    corner, ``slope`` of its side (run over rise); ``k_n`` 5 for solid timber, 4.5 for LVL.
    """
    a = left_mm / depth_mm
    if a >= 1 - 1e-9:
        return 1.0
    root = math.sqrt(depth_mm)
    top = k_n * (1 + 1.1 * slope**1.5 / root)
    return min(1.0, top / (root * (math.sqrt(a * (1 - a)) + 0.8 * reach_mm / depth_mm * math.sqrt(1 / a - a * a))))


# ------------------------------------------------------------------ fasteners


def gravity(density_kg_m3: float) -> float:
    """Specific gravity, ovendry weight on volume at 12 %, from the density at 12 %: Wood Handbook Eq. 4-1."""
    return density_kg_m3 / 1120.0


def screw_pull_n(specific_gravity: float, diameter_mm: float, thread_mm: float) -> float:
    """Allowable pull of a wood screw from side grain, ten years, dry: NDS 12.2-2, 2850 G^2 D lb an inch. [N]"""
    return 19.65 * specific_gravity**2 * diameter_mm * thread_mm


def lag_pull_n(specific_gravity: float, diameter_mm: float, thread_mm: float) -> float:
    """Allowable pull of a lag screw from side grain, ten years, dry: NDS 12.2-1, 1800 G^1.5 D^0.75 lb an inch. [N]"""
    per_inch = 1800 * specific_gravity**1.5 * (diameter_mm / 25.4) ** 0.75
    return per_inch * 4.44822 * thread_mm / 25.4


def nail_pull_n(specific_gravity: float, diameter_mm: float, deep_mm: float) -> float:
    """Allowable pull of a plain nail from side grain, ten years, dry: NDS 12.2-3, 1380 G^2.5 D lb an inch. [N]"""
    return 1380 * specific_gravity**2.5 * (diameter_mm / 25.4) * 4.44822 * deep_mm / 25.4


def bearing_mpa(density_kg_m3: float, diameter_mm: float) -> float:
    """Characteristic embedment of a predrilled fastener, 0.082 (1 - 0.01 d) rho: EN 1995-1-1 eq. 8.16, 8.32. [MPa]"""
    return 0.082 * (1 - 0.01 * diameter_mm) * density_kg_m3


def across_factor(diameter_mm: float, hardwood: bool) -> float:
    """How much less a fastener beds in across the grain, k_90: EN 1995-1-1 eq. 8.33."""
    return (0.90 if hardwood else 1.35) + 0.015 * diameter_mm


def yield_n_mm(strength_mpa: float, diameter_mm: float) -> float:
    """Yield moment of a round fastener, 0.3 f_u d^2.6: EN 1995-1-1 eq. 8.14, 8.30. [N mm]"""
    return 0.3 * strength_mpa * diameter_mm**2.6


def lateral_n(t1_mm: float, t2_mm: float, f1_mpa: float, f2_mpa: float, diameter_mm: float, yield_: float) -> float:
    """Characteristic lateral load of one fastener in single shear, timber to timber, no rope effect. [N]

    EN 1995-1-1 eq. 8.6 (a) to (f); ``t1_mm``, ``f1_mpa`` on the head's side, ``t2_mm``, ``f2_mpa`` where the point is.
    """
    d, b, r = diameter_mm, f2_mpa / f1_mpa, t2_mm / t1_mm
    base = f1_mpa * t1_mm * d
    return min(
        base, f2_mpa * t2_mm * d,
        base / (1 + b) * (math.sqrt(b + 2 * b * b * (1 + r + r * r) + b**3 * r * r) - b * (1 + r)),
        1.05 * base / (2 + b) * (math.sqrt(2 * b * (1 + b) + 4 * b * (2 + b) * yield_ / (f1_mpa * d * t1_mm**2)) - b),
        1.05 * f1_mpa * t2_mm * d / (1 + 2 * b)
        * (math.sqrt(2 * b * b * (1 + b) + 4 * b * (1 + 2 * b) * yield_ / (f1_mpa * d * t2_mm**2)) - b),
        1.15 * math.sqrt(2 * b / (1 + b)) * math.sqrt(2 * yield_ * f1_mpa * d),
    )


def acting(count: float, apart_d: float) -> float:
    """Fasteners that act of a row loaded along the grain, n^k_ef: EN 1995-1-1 8.3.1.1 and table 8.1.

    ``apart_d`` is their distance in diameters, predrilled; 7, 10 and 14 are tabled, 4 needs predrilling.
    """
    points = ((4.0, 0.5), (7.0, 0.7), (10.0, 0.85), (14.0, 1.0))
    if apart_d <= points[0][0]:
        return count ** points[0][1]
    for (a0, k0), (a1, k1) in zip(points, points[1:]):
        if apart_d <= a1:
            return count ** (k0 + (k1 - k0) * (apart_d - a0) / (a1 - a0))
    return count


def low_density(density_kg_m3: float) -> float:
    """The density nineteen pieces in twenty have, scatter 10 %: Wood Handbook table 5-6, from memory. [kg/m3]"""
    return density_kg_m3 * (1 - 1.645 * 0.10)


def screw_side_n(near: Strengths, far: Strengths, diameter_mm: float, near_mm: float, far_mm: float, end_grain: bool = False) -> float:
    """Design load across one wood screw, predrilled, the lower of along and across the grain. [N]

    The effective diameter is 1.1 times the root of the thread, two thirds of the shank: EN 1995-1-1 8.7.1.
    In end grain a third is taken (8.3.1.2 for nails).
    """
    d = 1.1 * 2 / 3 * diameter_mm
    f = [bearing_mpa(low_density(s.density_kg_m3), d) for s in (near, far)]
    value = lateral_n(near_mm, far_mm, f[0], f[1], d, yield_n_mm(STEEL_MPA, d)) * min(near.factor, far.factor)
    return value / 3 if end_grain else value


def screw_out_n(far: Strengths, diameter_mm: float, thread_mm: float, end_grain: bool = False) -> float:
    """Design pull of one wood screw; nothing is counted on in end grain: NDS 12.2.2. [N]"""
    if end_grain:
        return 0.0
    return screw_pull_n(gravity(far.density_kg_m3), diameter_mm, thread_mm) * far.screw_factor


@lru_cache(maxsize=KEEP)
def screws_hold(out: Vec, wide: Vec, near: Strengths, far: Strengths, count: float, diameter_mm: float, near_mm: float,
                thread_mm: float, *, end_grain: bool = False, slotted: bool = False, evidence: str = FASTENER) -> Holds:
    """What a row of wood screws holds; in slots it does not hold across, and only the close one counts."""
    pull = least((count * screw_out_n(far, diameter_mm, thread_mm, end_grain), "the threads pulling out"))
    side = screw_side_n(near, far, diameter_mm, near_mm, thread_mm, end_grain)
    slide = least(((1 if slotted else count) * side, "the screws bending and bedding in"))
    return Holds(out, wide, pull, None, slide, slide, evidence=evidence)


def hinge_side_n(far: Strengths) -> float:
    """Design load across one screw of a hinge: thin steel on timber, EN 1995-1-1 eq. 8.9 (a), the lower of the two. [N]"""
    d = 1.1 * 2 / 3 * HINGE_SCREW_MM[0]
    bed = bearing_mpa(low_density(far.density_kg_m3), d)
    moment = yield_n_mm(STEEL_MPA, d)
    return min(0.4 * bed * HINGE_SCREW_MM[1] * d, 1.15 * math.sqrt(2 * moment * bed * d)) * far.factor


def hinges_hold(out: Vec, along: Vec, second: Strengths, hinges: float) -> Holds:
    """What hinges hold by the screws of one leaf each."""
    screws = HINGE_SCREWS * hinges
    pull = Way(screws * screw_out_n(second, *HINGE_SCREW_MM), "the hinge's screws pulling out")
    side = Way(screws * hinge_side_n(second), "the hinge's screws bedding in")
    aslant = sum(a * b for a, b in zip(out, along))
    out = unit(tuple(o - aslant * a for o, a in zip(out, along)))
    return Holds(out, along, pull, None, side, side, evidence=HARDWARE)


# ------------------------------------------------------------------ glue and shoulders


@dataclass(frozen=True)
class Tongue:
    """A tongue of ``first`` between walls of ``second``: a tenon, a bridle, a let-in end. [mm]"""

    wide: float
    thin: float
    deep: float
    faces: float = 2.0
    """Cheeks that are glued, long grain."""
    below: float = 0.0
    """Timber of ``first`` cut away beside it on its wider side, the larger of the two shoulders."""
    face: tuple[float, float] = (0.0, 0.0)
    """Size of the end of ``first`` that bears on ``second`` by its shoulders: along wide and along thin; 0 without."""
    count: float = 1.0
    name: str = "tongue"
    """What the trade calls it."""


@lru_cache(maxsize=KEEP)
def tongue_holds(out: Vec, wide: Vec, t: Tongue, first: Strengths, second: Strengths, *, glued: float = 1.0,
                 evidence: str = MECHANICS) -> Holds:
    """What a tongue holds. Moment in its plane leaves the shoulders' help out, as the tests it was held against allow.

    ``glued`` lowers the glue: 1 for long grain, less for end grain, 0 for none.
    """
    glue = min(first.shear, second.shear) * glued
    tension = t.count * t.wide * t.thin * TENSION_SHARE * first.bending
    pull = least((t.count * t.faces * t.wide * t.deep * glue, "the glued cheeks"), (tension, f"the {t.name} tearing"))
    bears = max(t.face[0] * t.face[1] - t.count * t.wide * t.thin, 0.0) or t.count * t.wide * t.thin
    push = least((bears * second.crushing, f"the grain under the shoulder, {bears:.0f} mm2"))
    left = notch_factor(t.wide + t.below, t.wide) if t.below else 1.0
    down = least(
        (t.count * left * shear_n(first.shear, t.wide, t.thin), f"the {t.name} shearing" + (" from its notch" if left < 1 else "")),
        (t.count * bears_over_mm(t.deep) * t.thin * first.crushing, f"the grain crushing under the {t.name}"),
    )
    aside = least((t.count * shear_n(first.shear, t.wide, t.thin), f"the {t.name} shearing"),
                  (t.count * t.deep * t.wide * min(first.crushing, second.crushing), f"the grain crushing beside the {t.name}"))
    turn = least(
        (t.count * first.bending * t.thin * t.wide**2 / 6, f"the {t.name} at its shoulder"),
        (t.count * glue_turn_n_mm(glue, t.deep, t.wide, t.faces) if glued else math.inf, "the glued cheeks"),
    )
    # What holds a tongue flat in its walls: it beds in along its depth, and its cheeks are glued.
    walls = t.count * t.wide * t.deep * (min(first.crushing, second.crushing) * t.deep / 4 + t.faces / 2 * glue * t.thin)
    thin_bend = min(t.count * first.bending * t.wide * t.thin**2 / 6, walls)
    by_shoulder = _couple(pull.most, (t.face[1] - t.thin) / 2, t.face[0], second.crushing, t.thin)
    turn_thin = Way(max(thin_bend, by_shoulder), f"the {t.name} bending flat" if thin_bend >= by_shoulder else f"{t.name} and shoulder as a couple")
    by_twist = t.count * twist_n_mm(first.shear, t.wide, t.thin)
    beds = _beds(t.face[0], t.face[1], t.deep, t.thin, t.wide, min(first.crushing, second.crushing)) * t.count
    twist = Way(by_twist, f"the {t.name} twisting off") if by_twist <= beds or not beds else Way(beds, f"the {t.name} bedding into its walls")
    return Holds(out, wide, pull, push, down, aside, turn, turn_thin, twist, evidence)


def _couple(pull: float, shoulder: float, length: float, crushing: float, thin: float) -> float:
    """Moment of a pull in the tongue against the shoulder beside it, its edge crushed in a strip. [N mm]"""
    if shoulder <= 0 or length <= 0 or crushing <= 0:
        return 0.0
    strip = pull / (crushing * length)
    if strip > shoulder:  # the whole shoulder crushes before the glue is spent
        pull, strip = crushing * length * shoulder, shoulder
    return pull * (thin / 2 + shoulder - strip / 2)


def _beds(face_wide: float, face_thin: float, deep: float, thin: float, wide: float, crushing: float) -> float:
    """Twist that a tongue's cheeks pass to the walls by bedding in along its width, f d w^2 / 6 x 2 / 2. [N mm]"""
    return crushing * deep * wide**2 / 6


def lap_holds(out: Vec, wide: Vec, long_mm: float, wide_mm: float, thick_mm: float, first: Strengths, second: Strengths,
              *, seat_mm: float = 0.0, evidence: str = MECHANICS) -> Holds:
    """A halved end glued on one face: ``long_mm`` along the first member, ``wide_mm`` across it, its lap ``thick_mm`` thick."""
    glue, area = min(first.shear, second.shear), long_mm * wide_mm
    lift = min(first.splitting, second.splitting)
    pull = least((area * glue, "the glued lap"), (wide_mm * thick_mm * TENSION_SHARE * first.bending, "the lap tearing"))
    bears = max(seat_mm, thick_mm) * wide_mm
    return Holds(
        out, wide, pull, Way(bears * second.crushing + area * glue, "lap and shoulder together"),
        least((area * glue, "the glued lap"), (shear_n(first.shear, wide_mm, thick_mm), "the lap shearing")),
        least((area * lift, "the glued lap lifting off"), (shear_n(first.shear, wide_mm, thick_mm), "the lap shearing")),
        least((glue_turn_n_mm(glue, long_mm, wide_mm, 1.0), "the glued lap"),
              (first.bending * thick_mm * wide_mm**2 / 6, "the lap breaking at its shoulder")),
        least((first.bending * wide_mm * thick_mm**2 / 6, "the lap bending flat"), (lift * wide_mm * long_mm**2 / 6, "the glued lap lifting off")),
        least((twist_n_mm(first.shear, wide_mm, thick_mm), "the lap twisting off"), (lift * long_mm * wide_mm**2 / 6, "the glued lap lifting off")),
        evidence,
    )


def face_holds(out: Vec, wide: Vec, long_mm: float, thin_mm: float, first: Strengths, second: Strengths, *,
               evidence: str = MECHANICS) -> Holds:
    """Two long-grain faces glued flat: ``out`` square to them, ``long_mm`` along ``wide``. As good as the timber across its grain."""
    glue, lift, area = min(first.shear, second.shear), min(first.splitting, second.splitting), long_mm * thin_mm
    press = min(first.crushing, second.crushing)
    return Holds(
        out, wide, Way(area * lift, "the timber splitting beside the glue"), Way(area * press, "the grain crushing"),
        Way(area * glue, "the glued face"), Way(area * glue, "the glued face"),
        Way(SPLIT_BENT * lift * thin_mm * long_mm**2 / 6, "the timber splitting beside the glue"),
        Way(SPLIT_BENT * lift * long_mm * thin_mm**2 / 6, "the timber splitting beside the glue"),
        Way(glue_turn_n_mm(glue, long_mm, thin_mm, 1.0), "the glued face"), evidence,
    )


def dowel_pull_n(diameter_mm: float, deep_mm: float, factor: float) -> float:
    """Design pull of one glued dowel by its shallower end. [N]"""
    return DOWEL_MPA * DOWEL_SHARE * math.pi * diameter_mm * deep_mm * factor / 0.69


def dowels_hold(out: Vec, wide: Vec, places_mm: tuple[float, ...], width_mm: float, thick_mm: float, diameter_mm: float,
                end_mm: float, face_mm: float, first: Strengths, second: Strengths, pull_one: float | None = None,
                by: str = "the dowels drawing out", evidence: str = MECHANICS) -> Holds:
    """Pins across the width of an end at ``places_mm`` from one edge: each draws, the far edge bears. [mm], [N]"""
    one = dowel_pull_n(diameter_mm, min(end_mm, face_mm), first.factor) if pull_one is None else pull_one
    n, last = len(places_mm), max(width_mm, 1.0)
    # A wooden pin presses into its hole at half of what a steel one may (EN 1995-1-1 8.32, the half a judgement of ours),
    # over half its depth, and is cut across its grain at twice the shear along it.
    beds = [PIN_SHARE * bearing_mpa(low_density(s.density_kg_m3), diameter_mm) / across_factor(diameter_mm, s.hardwood) * s.factor
            for s in (first, second)]
    slide = least((n * math.pi * diameter_mm**2 / 4 * 2 * first.shear, "the pins shearing"),
                  (n * diameter_mm * min(end_mm * beds[0], face_mm * beds[1]) / 2, "the pins bedding in"))
    side = slide.most / n
    arms = [max(min(p, width_mm), 0.0) for p in places_mm]
    back = [last - a for a in arms]
    turn = min(one * sum(a * a for a in arm) / max(max(arm), 1e-9) * 0.9 for arm in (arms, back))
    middle = sum(places_mm) / max(n, 1)
    lever = sum(abs(p - middle) for p in places_mm) if n > 1 else diameter_mm / 3
    bears = Way(width_mm * thick_mm * second.crushing, "the grain under the end")
    return Holds(
        out, wide, Way(n * one, by), bears, slide, slide, Way(turn, by), Way(0.9 * n * one * thick_mm / 2, by),
        Way(side * lever, "the pins bedding in"), evidence,
    )


def unit(v: Vec) -> Vec:
    """A direction of length one."""
    size = math.sqrt(sum(c * c for c in v))
    return tuple(c / size for c in v)


def back(v: Vec) -> Vec:
    """The opposite direction."""
    return tuple(-c + 0.0 for c in v)
