"""The care sheet: written for this piece, this timber, this place and this finish."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from math import dist
from pathlib import Path

from studio_lib.brief.said import mopped_asked
from studio_lib.derive import Derived
from studio_lib.finishing.finish import PLACE_NEEDS
from studio_lib.forms import form
from studio_lib.handover.delivery import on_hard_floor, stands_on_feet
from studio_lib.handover.lifting import by_piece, held_by, made_for, pinches
from studio_lib.piece.called import the
from studio_lib.timber.carbon import CARBON_SOURCE, carbon_says
from studio_lib.timber.colour import lab_from_hex
from studio_lib.units import mm

MOMENTS = (0.0, 0.25, 0.5, 1.0, 2.0, 3.0, 5.0, 10.0)
"""Years of which the pictures are chosen."""
PARTS_OF_CHANGE = (0.4, 0.85)
"""A picture of the new piece, one each where so much of its change of colour is done, and one of the last moment."""
SECTIONS = ("first", "year", "never", "normal", "fault")
RIGHTS = "Your rights under the law of your country are not touched by any of this."
BARE = "left bare, without any finish"


@dataclass(frozen=True)
class Line:
    """One piece of advice, and on whose word."""

    text: str
    source: str


@dataclass(frozen=True)
class CareSheet:
    """What the client is told when the piece is handed over."""

    made_of: str
    first: tuple[Line, ...]
    year: tuple[Line, ...]
    never: tuple[Line, ...]
    normal: tuple[Line, ...]
    fault: tuple[Line, ...]
    ageing: tuple[tuple[float, str], ...]
    """Years, and what it looks like then."""
    provenance: tuple[str, ...]
    carbon: str
    warranty: str
    sources: tuple[str, ...]


@cache
def _rows() -> tuple[dict[str, str], ...]:
    with Path(__file__).with_name("care.csv").open(newline="", encoding="utf-8") as file:
        return tuple(csv.DictReader(file))


def care_sheet(d: Derived) -> CareSheet:
    """The care sheet of a commission.

    An unfinished piece is told of no oil or wax; an indoor piece of no weather. Raises LookupError while no timber
    is chosen.
    """
    if d.species is None:
        raise LookupError(
            "No timber is chosen yet, so there is nothing to say of its care. Choose one on the Timber page."
        )
    brief, needs = d.commission.brief, {}
    for there in d.standing:
        needs.setdefault(PLACE_NEEDS[there.commission.brief.place], []).extend(i.name for i in d.commission.items if d.there(i) is there)
    holds = {
        "": True, "near heat": bool(brief.heating_below), "away from heat": not brief.heating_below, "tannin": d.species.tannin != "none", "gaps": bool(d.slat_gaps),
        "clamped": any(form(m.item.form).clamps(m.sizes) for m in d.made),
        "on slabs": bool(d.under_feet),
        "hard floor": any(on_hard_floor(m) for m in d.made),
        "mopped": mopped_asked(brief) and any(m.brief.place.startswith("indoors") and stands_on_feet(m.piece) for m in d.made),
        "doors by children": "door" in pinches(d),
        "lids by children": "lid" in pinches(d),
        "fixed": d.commission.handover.wall not in ("", "stands free") or bool(d.at_the_wall),
    }
    words = {"cure_days": d.finish_family.cure_days, "smell_days": d.finish_family.smell_days, "again": _again(d), "gaps": _gaps(d), "lift": f"{by_piece(d, _lift)} {by_piece(d, made_for)}"}

    def of_which(place: str) -> str:
        """'Step stool: ' where a line is for the place of some pieces only."""
        names = [name for need, here in needs.items() if _among(need, place) for name in here]
        return f"{', '.join(names)}: ".capitalize() if len(names) < sum(map(len, needs.values())) else ""

    def lines(section: str) -> tuple[Line, ...]:
        return tuple(
            Line(of_which(row["place"]) + row["text"].format(**words), row["source"])
            for row in _rows()
            if row["section"] == section and _among(brief.finish, row["finish"]) and any(_among(n, row["place"]) for n in needs)
            and holds[row["when"]]
        )

    told = {section: lines(section) for section in SECTIONS}
    if brief.allergies:
        told["never"] += (Line(f"Nothing put on it later that holds {' or '.join(brief.allergies)}, which someone here is allergic to: read the data sheet of any oil, wax or polish first.", "your brief"),)
    return CareSheet(
        made_of=f"{d.species.name} ({d.species.botanical_name}), {BARE if brief.finish == 'left bare' else d.finish_words}; {d.places_words}.",
        **told,
        ageing=tuple((years, _looks(d, years)) for years in moments(d)),
        provenance=tuple(s.text for s in d.sayings.may),
        carbon=carbon_says(d.stored_co2_kg),
        warranty=warranty(d),
        sources=tuple(dict.fromkeys(
            s.strip() for section in SECTIONS for x in told[section] for s in [*x.source.split("; "), CARBON_SOURCE]
        )),
    )


def moments(d: Derived) -> tuple[float, ...]:
    """Years at which the piece is shown, so that each picture differs from the one before. [years]"""
    from studio_lib.look.scenes import appearances

    def lab(years: float):
        return lab_from_hex(next(iter(appearances(d, years).values())).base_hex)

    new, old = lab(MOMENTS[0]), lab(MOMENTS[-1])
    whole = dist(new, old) or 1.0
    between = []
    for part in PARTS_OF_CHANGE:
        later = [y for y in MOMENTS[1:-1] if y not in between]
        between.append(next((y for y in later if dist(new, lab(y)) / whole >= part), later[-1]))
    return (MOMENTS[0], *sorted(between), MOMENTS[-1])


def when_words(years: float) -> str:
    """'New', 'After 3 months', 'After 1 year'."""
    if years == 0:
        return "New"
    if years < 1:
        return f"After {12 * years:.0f} months"
    return f"After {years:g} {'year' if years == 1 else 'years'}"


def warranty(d: Derived) -> str:
    """The maker's own wording, else the neutral one; the law's rights stand beside it either way."""
    h = d.commission.handover
    years = "1 year" if h.warranty_years == 1 else f"{h.warranty_years} years"
    if not h.warranty.strip():
        if h.warranty_years == 0:
            return RIGHTS
        return Path(__file__).with_name("warranty.txt").read_text("utf-8").strip().format(years=years)
    own = h.warranty.strip()
    return own if "rights under the law" in own else f"{own} {RIGHTS}"


def again_after(d: Derived) -> tuple[float, float] | None:
    """Before the finish wants doing again in this place, on flat faces; None where none is on file. [years]"""
    return next(c.again_years for c in d.finishes if c.finish == d.finish_family)


def _again(d: Derived) -> str:
    years = again_after(d)
    if years is None:
        return "few years"
    low, high = years
    return f"{12 * low:.0f} to {12 * high:.0f} months" if low < 1 else f"{low:g} to {high:g} years"


def _gaps(d: Derived) -> str:
    stand = [
        f"on {the(name)} between {mm(max(wet, 0.0))} and {mm(dry)} mm" for name, (wet, _, dry) in d.slat_gaps.items()
    ]
    return "The gaps between slats change with the seasons: they stand " + ", ".join(stand) + "."


def _lift(made) -> str:
    return f"do not drag it; lift it {held_by(made)}."


def _looks(d: Derived, years: float) -> str:
    from studio_lib.look.scenes import appearances

    says = next(iter(appearances(d, years).values())).says
    says = says.replace(" Colours are a guess; the wood will have its own.", "")  # said once, under the pictures
    worn = years >= 5 and d.hardest.place == "outdoors, in the weather"
    return says + (" Edges have softened." if worn else "")


def _among(value: str, allowed: str) -> bool:
    return allowed == "any" or value in allowed.split("|")
