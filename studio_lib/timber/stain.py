"""Brown water: tannin and other extractives that rain washes out of a timber and onto what is under it."""

from __future__ import annotations

from studio_lib.finding import Finding, Verdict
from studio_lib.timber.durability import STAGE, gets_wet
from studio_lib.timber.species import Species

WHAT = "staining what is under it"
MARK = {"none": 1.0, "some": 0.25, "strong": 0.0}
"""In a ranking, where it gets wet, by the tannin on file: a little is enough to mark light stone. Judgement of ours."""
WEIGHT = {0: 0, 1: 1, 2: 4}
"""What 'does not stain' counts in a ranking where it gets wet, by how much it matters; judgement of ours."""
FORBIDS = 2
"""A wish of 'matters much' is taken as: it must not."""
KEEPS = (
    "one or more of these: let it weather and wash away from the site until the water runs clear; seal it and its end grain; set pads or "
    "trays under the feet"
)
"""Common practice, no source."""


def bleeds(species: Species, place: str, wetted: bool = False) -> bool:
    """Whether brown water is to be looked for: a timber with tannin where it gets wet.

    Raises
    ------
    ValueError
        For an unknown place.
    """
    return species.tannin != "none" and gets_wet(place, wetted)


def said(species: Species, of: str = "it") -> str:
    """What is said of a timber where it gets wet, beside the wish that it stains nothing."""
    if species.tannin == "none":
        return "no tannin that would stain what is under it (from memory)"
    return f"brown water from {of} can stain light stone, gravel and paving: tannin {species.tannin} (from memory)"


def stain_findings(species: Species, place: str, wetted: bool, matters: int, instead: tuple[str, ...] = ()) -> tuple[Finding, ...]:
    """Whether a timber keeps the wish that nothing is stained; () where it was not made, or where all stays dry.

    Parameters
    ----------
    species : Species
    place : str
        One of ``PLACES``.
    wetted : bool
        Now and then, as of ``fit_for_place``.
    matters : int
        0 not at all, 1 somewhat, 2 much: then it is forbidden, and judged.
    instead : tuple of str
        Names of timbers that would not.

    Raises
    ------
    ValueError
        For an unknown place.
    """
    if matters < FORBIDS or not gets_wet(place, wetted):
        return ()
    stains = bleeds(species, place, wetted)
    told = said(species, species.name)
    other = f": {', '.join(instead)}" if instead else ""
    return (Finding(
        species.name, WHAT, Verdict.LOOK_AGAIN if stains else Verdict.STANDS,
        f"{told[0].upper()}{told[1:]}" + ("; the client wants no stain." if stains else "."),
        rule="it must not stain what it stands on", source=f"tannin: {species.source_of('tannin')}; what keeps it off: common practice, no source",
        mend=f"{KEEPS[0].upper()}{KEEPS[1:]}. Agree with the client which, or take another timber{other}." if stains else "",
        stage=STAGE,
    ),)
