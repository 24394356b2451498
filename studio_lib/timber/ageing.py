"""How a timber's looks change over the years. A guess throughout, and it says so."""

from __future__ import annotations

import math
from dataclasses import dataclass

from studio_lib.timber.species import Species

EXPOSURES = ("indoors", "under cover", "weather")
FINISHES = ("bare", "oiled")
MOST_YEARS = 10.0

SOURCE = "from memory: a guess at looks, not a measurement"

# Years in which two thirds of the change is done, and how far greying goes in the end.
# Oiled means kept oiled; left alone it soon counts as bare.
GREYING = {
    ("weather", "bare"): (0.4, 1.0),
    ("weather", "oiled"): (2.5, 0.7),
    ("under cover", "bare"): (2.0, 0.5),
    ("under cover", "oiled"): (5.0, 0.35),
}
LIGHT_YEARS = 1.5
OIL_DARKENS = 0.88

# Ring spacing and how much darker the late wood is, by the kind of figure.
FIGURES = {
    "softwood, bold rings": (3.0, 0.40),
    "softwood, faint rings": (2.0, 0.18),
    "ring-porous": (2.5, 0.30),
    "diffuse-porous": (2.5, 0.10),
    "banded, no clear rings": (6.0, 0.08),
}
PLANED_ROUGHNESS = {"bare": 0.55, "oiled": 0.40}
WEATHERED_ROUGHNESS = 0.95


INDOORS = (
    "As it leaves the workshop.",
    "Light is turning it towards its aged colour.",
    "Its aged colour; light changes it little from here.",
)
OUTDOORS = (
    (0.9, "Silver grey all over, with fine checks in the surface."),
    (0.5, "Mostly grey; the sunny sides first."),
    (0.05, "The first grey shows."),
    (0.0, "In its own colour."),
)
"""What a client is told, from the share of grey down."""


@dataclass(frozen=True)
class Appearance:
    """What to show of a timber at one moment of its life."""

    base_hex: str
    """Early wood."""
    late_hex: str
    """Late wood: the darker bands."""
    ring_mm: float
    """Spacing of the bands. [mm]"""
    contrast: float
    """How much darker the bands are, 0 to 1."""
    roughness: float
    """0 mirror to 1 chalk."""
    grey_fraction: float
    """0 its own colour, 1 silver-grey all over."""
    says: str
    source: str


def appearance(species: Species, years: float, exposure: str, finish: str) -> Appearance:
    """A timber's likely looks after some years.

    Parameters
    ----------
    species : Species
    years : float
        0 to 10, fractions too. [years]
    exposure : str
        'indoors', 'under cover' or 'weather'.
    finish : str
        'bare', or 'oiled' and kept oiled.

    Returns
    -------
    Appearance

    Raises
    ------
    ValueError
        For years outside 0 to 10, or an unknown exposure or finish.

    Notes
    -----
    Changes run out as they go: most of the grey within the first year in the weather,
    blotchy and only half way under cover, slower under oil. Indoors a timber moves from
    its new colour to its own aged one. From memory throughout.
    """
    if not 0 <= years <= MOST_YEARS:
        raise ValueError(f"years is {years}; 0 to {MOST_YEARS:.0f}.")
    if exposure not in EXPOSURES:
        raise ValueError(f"exposure is {exposure!r}; allowed: {', '.join(EXPOSURES)}.")
    if finish not in FINISHES:
        raise ValueError(f"finish is {finish!r}; allowed: {', '.join(FINISHES)}.")
    toned = _done(years, LIGHT_YEARS)
    base = _mix(species.colour_new_hex, species.colour_indoors_hex, toned)
    if exposure == "indoors":
        grey = 0.0
        says = INDOORS[0] if years == 0 else INDOORS[1] if toned < 0.6 else INDOORS[2]
    else:
        pace_years, furthest = GREYING[exposure, finish]
        grey = furthest * _done(years, pace_years)
        blotchy = exposure == "under cover" and 0.05 < grey
        says = next(words for least, words in OUTDOORS if grey >= least)
        if blotchy:
            says += " Under cover it goes in blotches."
    if finish == "oiled":
        base = _shade(base, OIL_DARKENS)
    base = _mix(base, species.colour_weathered_hex, grey)
    ring_mm, contrast = FIGURES[species.figure]
    # Grey evens out the colour of the bands; their relief stays.
    contrast *= 1 - 0.5 * grey
    planed = PLANED_ROUGHNESS[finish]
    return Appearance(
        base_hex=base,
        late_hex=_shade(base, 1 - contrast),
        ring_mm=ring_mm,
        contrast=contrast,
        roughness=planed + (WEATHERED_ROUGHNESS - planed) * grey,
        grey_fraction=grey,
        says=f"{says} Colours are a guess; the wood will have its own.",
        source=SOURCE,
    )


def _done(years: float, pace_years: float) -> float:
    return 1 - math.exp(-years / pace_years)


def _channels(colour_hex: str) -> tuple[int, int, int]:
    return tuple(int(colour_hex[i : i + 2], 16) for i in (1, 3, 5))


def _hex(channels) -> str:
    return "#" + "".join(f"{round(c):02x}" for c in channels)


def _mix(from_hex: str, to_hex: str, part: float) -> str:
    pairs = zip(_channels(from_hex), _channels(to_hex))
    return _hex(a + (b - a) * part for a, b in pairs)


def _shade(colour_hex: str, factor: float) -> str:
    return _hex(c * factor for c in _channels(colour_hex))
