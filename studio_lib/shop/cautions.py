"""Machine and hazard cautions that belong to one operation, for the step where they matter.

They are the usual ones, no training: local rules and licensed practice come first.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from studio_lib.access.carry import carry, one_may_lift_kg
from studio_lib.timber.species import Species

SHORT_MM = 300.0
"""Parts shorter than this are not machined by themselves; common practice, no source."""
LONG_SANDING_H = 1.0
DEFERS = "The usual cautions only: local rules, the machine's own manual and training come first."


@dataclass(frozen=True)
class Caution:
    """One caution, and on whose word it is given."""

    key: str
    text: str
    source: str


@cache
def _rows() -> tuple[dict[str, str], ...]:
    with Path(__file__).with_name("cautions.csv").open(newline="", encoding="utf-8") as file:
        return tuple(csv.DictReader(file))


def cautions_for(
    operation: str, species: Species | None = None, *, kg: float | None = None, longest_mm: float = 0.0,
    shortest_mm: float | None = None, hours: float = 0.0, glue: str = "", glue_caution: str = "", oil: bool = True, stage: str = "",
    reclaimed: bool = False,
) -> tuple[Caution, ...]:
    """What to watch at one operation.

    Parameters
    ----------
    operation : str
        As in ``costing/operations.csv``; also 'tension cable', 'lift', 'wipe with solvent'. An operation that is not
        on file has no cautions here.
    species : Species or None
        For its dust.
    kg, longest_mm : float
        Of the heaviest piece that is lifted. [kg, mm]
    shortest_mm : float or None
        Shortest part that is machined; None warns of short parts anyway. [mm]
    hours : float
        Of this step. [h]
    glue, glue_caution : str
        Family on file, and its own caution.
    oil : bool
        Whether the finish is one whose rags heat by themselves.
    stage : str
        Of the operation, 'joints' or 'shaping': some cautions hold for a whole stage.
    reclaimed : bool
        Whether boards served before: nails, old paint, preservative.

    Raises
    ------
    ValueError
        For a weight that is not above 0.
    """
    heavy = kg is not None and kg > one_may_lift_kg("men", "elbow")
    if kg is not None and not kg > 0:
        raise ValueError(f"kg is {kg:g}; give the weight of what is lifted, above 0, or leave it out.")
    holds = {
        "": True,
        "short": shortest_mm is None or shortest_mm < SHORT_MM,
        "species": species is not None and bool(species.dust_caution),
        "long": hours > LONG_SANDING_H,
        "epoxy": "epoxy" in glue,
        "glue": bool(glue_caution) and "epoxy" not in glue,
        "oil": oil,
        "heavy": heavy,
        "reclaimed": reclaimed,
    }
    words = {
        "species": species.name if species else "", "dust": species.dust_caution if species else "", "hours": hours,
        "glue": f"{glue[:1].upper()}{glue[1:]}: {glue_caution}.", "kg": kg or 0.0,
        "carriers": carry("it", kg, "men", longest_mm=longest_mm).says.partition(": ")[2] if heavy else "",
    }
    return tuple(
        Caution(row["key"], row["text"].format(**words), row["source"])
        for row in _rows()
        if {operation, f"stage:{stage}"} & set(row["operations"].split("|")) and holds[row["when"]]
    )


def of_reclaimed() -> tuple[Caution, ...]:
    """What to watch with boards that served before, whatever is done to them."""
    return tuple(Caution(row["key"], row["text"], row["source"]) for row in _rows() if row["when"] == "reclaimed")
