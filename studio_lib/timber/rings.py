"""Growth rings in the end grain of a sawn board: their angle across it, and how it cups.

The section is seen from its end, turned so that the pith (the heart of the tree) lies below:
the lower face is the heart face, the upper the bark face. Lengths run from the middle of the
section, x along the width, y along the thickness, up towards the bark.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from studio_lib.timber.movement import member_movement
from studio_lib.timber.species import Species

CUP_SOURCE = (
    "our own sum: radial and tangential change in polar coordinates about the pith, the model of P. H. Mitchell, "
    "Modeling the Cupping of Lumber, BioResources 11(3), 2016"
)
FLAT_BOW_MM = 0.05
"""Below this nobody can tell a cup from a flat board."""
STEPS = 24
FARTHEST_MM = 2000.0
STRAIGHT = "The three points lie in a line: the rings are all but straight. Give their angle to the face instead."
Point = tuple[float, float]


@dataclass(frozen=True)
class Pith:
    """Where the heart of the tree lies from the middle of a board's section. [mm]"""

    below_mm: float
    """From the middle of the thickness down to the pith, 0 or more."""
    aside_mm: float
    """From the middle of the width, either way; 0 right under it."""

    def __post_init__(self):
        if not 0 <= self.below_mm <= FARTHEST_MM:
            raise ValueError(f"below_mm is {self.below_mm}; 0 to 2000. Turn the board so that the pith lies below.")
        if not abs(self.aside_mm) <= FARTHEST_MM:
            raise ValueError(f"aside_mm is {self.aside_mm}; -2000 to 2000.")


@dataclass(frozen=True)
class Cup:
    """A board's section after it has dried or wetted, free to move."""

    bow_mm: float
    """Of the middle from the straight line between the edges. [mm]"""
    hollow_face: str
    """'bark', 'heart' or 'neither'."""
    radius_mm: float
    """Of the curve; infinite for a flat board. [mm]"""
    width_mm: float
    """Afterwards, straight from edge to edge. [mm]"""
    before: tuple[Point, ...]
    """Corners of the section as it was. [mm]"""
    after: tuple[Point, ...]
    """Its outline afterwards, closed, about the same middle. [mm]"""
    says: str
    source: str


def pith_from_arc(one: Point, two: Point, three: Point) -> Pith:
    """Where the pith lies, from three points marked along one growth ring of the end grain.

    Parameters
    ----------
    one, two, three : (x, y)
        From the middle of the section, y towards the bark. [mm]

    Returns
    -------
    Pith

    Raises
    ------
    ValueError
        When the points lie in a line (the pith is too far off to tell: use the ring angle), when
        two are the same, or when the pith comes out above: turn the board over.

    Examples
    --------
    Points of a circle of 100 about (0, -80):

    >>> pith_from_arc((-60, 0), (0, 20), (60, 0))
    Pith(below_mm=80.0, aside_mm=0.0)
    """
    x, y = _centre(one, two, three)
    if y > 0:
        raise ValueError(f"The rings curve about a point {y:.0f} mm above the middle; turn the board so that the pith lies below.")
    return Pith(-y + 0.0, x + 0.0)


def _centre(one: Point, two: Point, three: Point) -> Point:
    """Of the circle through three points. Raises ValueError where there is none. [mm]"""
    (ax, ay), (bx, by), (cx, cy) = one, two, three
    twice_area = 2 * (ax * (by - cy) + bx * (cy - ay) + cx * (ay - by))
    longest = max(math.dist(one, two), math.dist(two, three), math.dist(one, three))
    if min(math.dist(one, two), math.dist(two, three), math.dist(one, three)) == 0:
        raise ValueError("Two of the three points are the same; mark three places along one ring.")
    if abs(twice_area) < 0.01 * longest**2:
        raise ValueError(STRAIGHT)
    a2, b2, c2 = ax * ax + ay * ay, bx * bx + by * by, cx * cx + cy * cy
    return (
        (a2 * (by - cy) + b2 * (cy - ay) + c2 * (ay - by)) / twice_area,
        (a2 * (cx - bx) + b2 * (ax - cx) + c2 * (bx - ax)) / twice_area,
    )


def heart_of_ring(points: Sequence[Point], width_mm: float, thickness_mm: float) -> tuple[Pith, bool]:
    """The pith of a ring marked on a board's end, whichever way up the board lay.

    Parameters
    ----------
    points : three of (x, y)
        From the middle of the end, each on it. [mm]
    width_mm, thickness_mm : float
        Of that end. [mm]

    Returns
    -------
    (Pith, bool)
        And whether the board was turned over so that the pith lies below.

    Raises
    ------
    ValueError
        For another number of points, a point off the board, and as ``pith_from_arc``.

    Examples
    --------
    >>> heart_of_ring([(-60, 10), (0, -10), (60, 10)], 200, 30)
    (Pith(below_mm=90.0, aside_mm=0.0), True)
    """
    if len(points) != 3:
        raise ValueError(f"{len(points)} points are marked; three places along one ring are needed.")
    for n, (x, y) in enumerate(points, 1):
        if abs(x) > width_mm / 2 or abs(y) > thickness_mm / 2:
            raise ValueError(
                f"Point {n} at {x:g}, {y:g} mm lies off a board of {width_mm:g} x {thickness_mm:g} mm; "
                f"from the middle, {width_mm / 2:g} mm to either side and {thickness_mm / 2:g} up or down"
            )
    x, y = _centre(*points)
    if max(abs(x), abs(y)) > FARTHEST_MM:
        raise ValueError(STRAIGHT)
    return Pith(abs(y), x + 0.0), y > 0


def ring_angle_deg(pith: Pith, x_mm: float, y_mm: float) -> float:
    """Angle between the growth ring and the face at one point of the section: 0 flat, 90 quarter. [deg]"""
    return math.degrees(math.atan2(abs(x_mm - pith.aside_mm), abs(y_mm + pith.below_mm)))


def mean_ring_angle_deg(width_mm: float, pith: Pith) -> float:
    """The one ring angle that moves a board's width as its curved rings do. [deg]

    Notes
    -----
    The mean over the width, at the middle of the thickness, of the tangential part (cos2 of the
    angle): d / b times (atan(right / d) - atan(left / d)), d from the pith, b the width.
    """
    if not width_mm > 0:
        raise ValueError(f"width_mm is {width_mm}; a width above 0.")
    d = pith.below_mm
    if d == 0:
        return 90.0
    right, left = width_mm / 2 - pith.aside_mm, -width_mm / 2 - pith.aside_mm
    part = d / width_mm * (math.atan(right / d) - math.atan(left / d))
    return math.degrees(math.acos(math.sqrt(min(part, 1.0))))


def cup(
    species: Species, width_mm: float, thickness_mm: float, pith: Pith, from_pct: float, to_pct: float
) -> Cup:
    """How a sawn board cups when nothing holds it, from where its pith lay.

    Parameters
    ----------
    species : Species
    width_mm, thickness_mm : float
        At ``from_pct``, flat. [mm]
    pith : Pith
        Outside the section.
    from_pct, to_pct : float
        As ``member_movement``. [%]

    Returns
    -------
    Cup

    Raises
    ------
    FigureMissing, ValueError
        As ``member_movement``; ValueError for a board with the pith inside it.

    Notes
    -----
    A radial strain e_r and a tangential strain e_t take the point (r, phi) about the pith to
    (r (1 + e_r), phi (1 + e_t) / (1 + e_r)): lengths along and across the rings then have changed by
    just those strains, so no stress is left. For a narrow board straight above the pith the bow is
    about (b/2)2 (e_r - e_t) / d. Real boards are held by their thickness, by neighbours and battens,
    and dry from the faces in: this is the tendency, not a promise.

    Examples
    --------
    >>> from studio_lib.timber import timber
    >>> found = cup(timber("European beech"), 200, 25, Pith(100, 0), 12, 8)
    >>> found.hollow_face, round(found.bow_mm, 1)
    ('bark', 0.7)
    """
    for name, value in (("width_mm", width_mm), ("thickness_mm", thickness_mm)):
        if not value > 0:
            raise ValueError(f"{name} is {value}; above 0.")
    half_w, half_t = width_mm / 2, thickness_mm / 2
    if pith.below_mm <= half_t and abs(pith.aside_mm) <= half_w:
        raise ValueError(
            "The pith lies inside this board. It will split from the heart rather than cup; cut the heart out and "
            "reckon the two boards."
        )
    flat = member_movement(species, 1000.0, "flat", from_pct, to_pct)
    quarter = member_movement(species, 1000.0, "quarter", from_pct, to_pct)
    e_t, e_r = flat.mm / 1000, quarter.mm / 1000
    across = [-half_w + width_mm * i / STEPS for i in range(STEPS + 1)]

    def moved(x, y):
        return _turned(x, y, pith, e_r, e_t)

    mean_line = [moved(x, 0.0) for x in across]
    bow, chord = _bow(mean_line)
    hollow = "neither" if abs(bow) < FLAT_BOW_MM else "bark" if bow > 0 else "heart"
    radius = math.inf if hollow == "neither" else (chord**2 / 4 + bow**2) / (2 * abs(bow))
    upper = [moved(x, half_t) for x in across]
    lower = [moved(x, -half_t) for x in reversed(across)]
    way = "dries" if to_pct < from_pct else "grows damp"
    if hollow == "neither":
        says = f"Stays flat within {FLAT_BOW_MM} mm as it {way} from {from_pct:g} to {to_pct:g} %."
    else:
        says = (
            f"As it {way} from {from_pct:g} to {to_pct:g} % the {hollow} face goes hollow, {abs(bow):.1f} mm over "
            f"{chord:.0f} mm if nothing holds it."
        )
    corners = ((-half_w, -half_t), (half_w, -half_t), (half_w, half_t), (-half_w, half_t))
    return Cup(
        abs(bow), hollow, radius, chord, corners, tuple(upper + lower + upper[:1]), says,
        f"{CUP_SOURCE}; {flat.source}",
    )


def _turned(x: float, y: float, pith: Pith, e_r: float, e_t: float) -> Point:
    dx, dy = x - pith.aside_mm, y + pith.below_mm
    # Angles are taken from the ray through the middle of the section, so that the middle stays in place.
    middle = math.atan2(-pith.aside_mm, pith.below_mm)
    r = math.hypot(dx, dy) * (1 + e_r)
    phi = middle + (math.atan2(dx, dy) - middle) * (1 + e_t) / (1 + e_r)
    out = math.hypot(pith.aside_mm, pith.below_mm) * e_r
    return (
        r * math.sin(phi) + pith.aside_mm - out * math.sin(middle),
        r * math.cos(phi) - pith.below_mm - out * math.cos(middle),
    )


def _bow(line: list[Point]) -> tuple[float, float]:
    """Largest distance of a line from its chord, positive when its ends lie towards the bark; the chord. [mm]"""
    (x0, y0), (x1, y1) = line[0], line[-1]
    chord = math.hypot(x1 - x0, y1 - y0)
    off = [((x1 - x0) * (y0 - y) - (x0 - x) * (y1 - y0)) / chord for x, y in line]
    return max(off, key=abs), chord
