"""How a timber's looks change over the years. An illustration throughout, and it says so.

Three anchors stand in ``species.csv`` for each timber (new, aged indoors, weathered); what
lies between is mixed in CIELAB, where equal steps look equal.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

from studio_lib.timber.colour import Lab, difference, hex_from_lab, lab_from_hex, mix_lab
from studio_lib.timber.species import Species

EXPOSURES = ("indoors", "under cover", "weather", "sun", "shade", "eaves", "driven rain")
"""'weather' is open ground in the sun, 'under cover' is under eaves; both old names stay."""
FINISHES = ("bare", "oiled", "oiled once", "film")
MOST_YEARS = 10.0
SHOWN_YEARS = (0, 1, 3, 5, 10)
"""Ages at which a timber is shown, wherever it is shown to a client."""

SOURCE = (
    "an illustration, not a measurement: anchors and pace from memory, mixed in CIELAB (CIE 15:2004, sRGB IEC 61966-2-1)"
)

PLAIN = {"weather": "sun", "under cover": "eaves"}
# Years in which two thirds of the change is done, and how far greying goes in the end: from memory.
# Oiled and film mean kept up; 'oiled once' is left alone and becomes bare.
GREYING = {
    ("sun", "bare"): (0.4, 1.0),
    ("sun", "oiled"): (2.5, 0.7),
    ("sun", "film"): (8.0, 0.3),
    ("shade", "bare"): (1.0, 0.9),
    ("shade", "oiled"): (3.5, 0.6),
    ("shade", "film"): (12.0, 0.2),
    ("eaves", "bare"): (2.0, 0.5),
    ("eaves", "oiled"): (5.0, 0.35),
    ("eaves", "film"): (15.0, 0.1),
    ("driven rain", "bare"): (1.2, 0.75),
    ("driven rain", "oiled"): (3.5, 0.5),
    ("driven rain", "film"): (12.0, 0.2),
}
OIL_WEARS_YEARS = {"indoors": 8.0, "sun": 0.8, "shade": 1.2, "eaves": 3.0, "driven rain": 1.6}
LIGHT_YEARS = 1.5
# Wetting out deepens a colour: darker, and more of its own hue. Film also yellows. From memory.
WET_OUT = {"bare": (1.0, 1.0), "oiled": (0.90, 1.08), "oiled once": (0.90, 1.08), "film": (0.92, 1.10)}
# Damp shade grows algae and mould: darker and greener than sun-bleached grey. From memory.
SHADE_SHIFT = (-7.0, -2.0, 3.0)

# Ring spacing and how much darker the late wood is, by the kind of figure.
FIGURES = {
    "softwood, bold rings": (3.0, 0.40),
    "softwood, faint rings": (2.0, 0.18),
    "ring-porous": (2.5, 0.30),
    "diffuse-porous": (2.5, 0.10),
    "banded, no clear rings": (6.0, 0.08),
}
PLANED_ROUGHNESS = {"bare": 0.55, "oiled": 0.40, "oiled once": 0.40, "film": 0.20}
WEATHERED_ROUGHNESS = 0.95


INDOORS = (
    "As it leaves the workshop.",
    "Light is turning it towards its aged colour.",
    "Its aged colour; light changes it little from here.",
)
OUTDOORS = (
    (0.9, "Silver grey all over, with fine checks in the surface."),
    (0.6, "Mostly grey; the sunny sides first."),
    (0.3, "Part grey, part its own colour."),
    (0.05, "The first grey shows."),
    (0.0, "In its own colour."),
)
"""What a client is told, from the share of grey down."""
SHARES = (
    (0.1, "a tenth"), (0.2, "a fifth"), (0.25, "a quarter"), (1 / 3, "a third"), (0.5, "half"), (2 / 3, "two thirds"),
    (0.75, "three quarters"), (0.9, "nine tenths"),
)


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
        'indoors'; outdoors 'sun', 'shade' (rained on, seldom sunlit), 'eaves' (no rain) or 'driven rain' (a roof under
        which rain blows in).
        'weather' means 'sun', 'under cover' means 'eaves'.
    finish : str
        'bare', 'oiled' and kept oiled, 'oiled once' and left, or 'film' (clear, kept up).

    Returns
    -------
    Appearance

    Raises
    ------
    ValueError
        For years outside 0 to 10, or an unknown exposure or finish.

    Notes
    -----
    Changes run out as they go: most of the grey within the first year in the sun, slower and
    greener in damp shade, blotchy and half way under eaves, slower under oil, slowest under a
    film while that is whole. Indoors a timber moves from its new colour to its own aged one.
    """
    if not 0 <= years <= MOST_YEARS:
        raise ValueError(f"years is {years}; 0 to {MOST_YEARS:.0f}.")
    if exposure not in EXPOSURES:
        raise ValueError(f"exposure is {exposure!r}; allowed: {', '.join(EXPOSURES)}.")
    if finish not in FINISHES:
        raise ValueError(f"finish is {finish!r}; allowed: {', '.join(FINISHES)}.")
    place = PLAIN.get(exposure, exposure)
    new, indoors, weathered = _anchors(species.colour_new_hex, species.colour_indoors_hex, species.colour_weathered_hex)
    toned = _done(years, LIGHT_YEARS)
    base = mix_lab(new, indoors, toned)
    worn = _done(years, OIL_WEARS_YEARS[place]) if finish == "oiled once" else 0.0
    if place == "indoors":
        grey = 0.0
        says = INDOORS[0] if years == 0 else INDOORS[1] if toned < 0.6 else INDOORS[2]
    else:
        grey = _grey(years, place, finish, worn)
        says = next(words for least, words in OUTDOORS if grey >= least)
        if place == "eaves" and grey > 0.05:
            says += " Under cover it goes in blotches."
        if place == "shade":
            weathered = tuple(w + s for w, s in zip(weathered, SHADE_SHIFT))
            if grey > 0.3:
                says += " In damp shade the grey is darker and green with algae; brush it off."
        if finish == "film" and place == "sun" and years >= 2:
            says += " Only while the film is kept whole: a clear film in the sun starts to let go after some two years."
    darker, deeper = WET_OUT[finish]
    base = mix_lab(_scaled(base, darker, deeper), base, worn)
    base = mix_lab(base, weathered, grey)
    ring_mm, contrast = FIGURES[species.figure]
    # Grey evens out the colour of the bands; their relief stays.
    contrast *= 1 - 0.5 * grey
    planed = PLANED_ROUGHNESS[finish] + (PLANED_ROUGHNESS["bare"] - PLANED_ROUGHNESS[finish]) * worn
    return Appearance(
        base_hex=hex_from_lab(base),
        late_hex=hex_from_lab(_scaled(base, 1 - contrast, 1 - contrast)),
        ring_mm=ring_mm,
        contrast=contrast,
        roughness=planed + (WEATHERED_ROUGHNESS - planed) * grey,
        grey_fraction=grey,
        says=f"{says} Colours are a guess; the wood will have its own.",
        source=SOURCE,
    )


KEEPS, TURNS = 8.0, 18.0
"""Colour difference, new to aged indoors, up to which a timber keeps its colour, and from which it is another; half of those on file change by
12 or more. Judgement of ours."""


def kept_mark(species: Species) -> float:
    """How well a timber keeps its colour in the light of a room, 0 to 1."""
    changed = difference(species.colour_new_hex, species.colour_indoors_hex)
    return min(max((TURNS - changed) / (TURNS - KEEPS), 0.0), 1.0)


def kept_words(species: Species) -> str:
    """Where the light of a room takes a timber's colour: 'in the light of years it turns darker and yellower, by 20 (2 is just seen)'."""
    new, aged = lab_from_hex(species.colour_new_hex), lab_from_hex(species.colour_indoors_hex)
    ways = ("paler" if aged[0] > new[0] else "darker", "redder" if aged[1] > new[1] else "less red", "yellower" if aged[2] > new[2] else "less yellow")
    by = [abs(q - p) for p, q in zip(new, aged)]
    seen = [way for way, much in zip(ways, by) if much >= max(0.4 * max(by), sorted(by)[1])]  # two at most
    return (f"in the light of years it turns {' and '.join(seen)}, by {difference(species.colour_new_hex, species.colour_indoors_hex):.0f}; "
            "2 is just seen (colours from memory)")


def greying(exposure: str, finish: str) -> str:
    """What becomes of a timber's colour there over ten years, to follow 'it': from the very shares that its pictures show.

    'goes silver grey within about a year', 'goes grey slowly and in blotches, ...'; '' indoors, where nothing greys.
    ``exposure`` and ``finish`` as ``appearance`` takes them; ValueError for others.
    """
    if exposure not in EXPOSURES or finish not in FINISHES:
        raise ValueError(f"exposure is {exposure!r} and finish {finish!r}; allowed: {', '.join(EXPOSURES)}; {', '.join(FINISHES)}.")
    place = PLAIN.get(exposure, exposure)
    if place == "indoors":
        return ""
    first, last = (
        _grey(y, place, finish, _done(y, OIL_WEARS_YEARS[place]) if finish == "oiled once" else 0.0) for y in (1.0, MOST_YEARS)
    )
    if first >= OUTDOORS[0][0]:
        return "goes silver grey within about a year"
    whole = "grey all over" if last >= OUTDOORS[0][0] else f"about {_share(last)} grey"
    how = " slowly and in blotches" if place == "eaves" else " slowly" if first < 0.5 else ""
    kept = {"oiled": " while it is kept oiled", "film": " while its film is kept whole"}.get(finish, "")
    if _share(first) == _share(last):
        return f"goes little grey{kept}: {whole} after ten years"
    return f"goes grey{how}{kept}: about {_share(first)} grey after one year, {whole} after ten"


def _share(fraction: float) -> str:
    return min(SHARES, key=lambda s: abs(s[0] - fraction))[1]


@lru_cache(maxsize=512)
def _anchors(*colours_hex: str) -> tuple[Lab, ...]:
    return tuple(lab_from_hex(c) for c in colours_hex)


def _grey(years: float, place: str, finish: str, worn: float) -> float:
    if finish != "oiled once":
        pace_years, furthest = GREYING[place, finish]
        return furthest * _done(years, pace_years)
    kept, bare = (_grey(years, place, f, 0.0) for f in ("oiled", "bare"))
    return kept + (bare - kept) * worn


def _done(years: float, pace_years: float) -> float:
    return 1 - math.exp(-years / pace_years)


def _scaled(lab: Lab, lightness: float, chroma: float) -> Lab:
    return lab[0] * lightness, lab[1] * chroma, lab[2] * chroma
