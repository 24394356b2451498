"""Timber species: the figures on file, where each comes from, and what is missing.

The figures stand in ``species.csv``, one row a species. A blank there stays ``None``
here: nothing is filled in unasked. Strength values are means of small clear pieces
at about 12 % moisture content, not design values.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from functools import cache

from studio_lib.timber.tables import rows

DUST_ALWAYS = (
    "All wood dust harms the lungs, hardwood dust is a carcinogen (IARC Monographs 100C, "
    "group 1): extract at the machine, wear a fitted mask, keep to the local limit."
)

SOURCE_GROUP = {
    "density_12pct_kg_m3": "density",
    "shrink_radial_pct": "shrinkage",
    "shrink_tangential_pct": "shrinkage",
    "movement_radial_per_pct": "movement",
    "movement_tangential_per_pct": "movement",
    "moe_gpa": "strength",
    "mor_mpa": "strength",
    "compression_parallel_mpa": "strength",
    "compression_perpendicular_mpa": "strength",
    "shear_mpa": "strength",
    "hardness_n": "hardness",
    "durability_en350": "en350",
    "durability_as5604_above_ground": "as5604",
    "durability_as5604_in_ground": "as5604",
    "durability_usda": "usda",
    "gluing": "gluing",
    "legality_note": "legality",
}
FROM_MEMORY = "from memory"

# The side to err on: what is carried is taken low, what moves is taken high.
DESCRIBED = ("tone", "figure", "colour_new_hex", "colour_indoors_hex", "colour_weathered_hex", "tannin", "dust_caution", "notes")
"""Fields that describe a timber; no publication is named for any of them."""
MOVEMENT = "movement_tangential_per_pct"
"""Accepted as a stand-in it brings movement along the rays with it."""
FIGURES = {
    "movement_radial_per_pct": "movement along the rays", MOVEMENT: "movement across the grain", "moe_gpa": "modulus of elasticity", "mor_mpa": "modulus of rupture",
    "shear_mpa": "shear strength", "compression_parallel_mpa": "strength in compression along the grain", "compression_perpendicular_mpa": "strength in compression across the grain",
    "hardness_n": "hardness", "density_12pct_kg_m3": "density",
}
"""Figures in words."""
WAYS_OUT = "Take the cautious stand-in on the Timber page, enter a figure and its source under 'Timbers and prices of your own' there, or choose another timber."
STAND_IN_SIDE = {
    "moe_gpa": min,
    "mor_mpa": min,
    "compression_parallel_mpa": min,
    "compression_perpendicular_mpa": min,
    "shear_mpa": min,
    "hardness_n": min,
    "movement_radial_per_pct": max,
    "movement_tangential_per_pct": max,
}


class FigureMissing(ValueError):
    """A sum asked for a figure that is not on file for that timber."""


@dataclass(frozen=True)
class Species:
    """One timber: its row of ``species.csv``. ``None`` means not on file."""

    name: str
    botanical_name: str
    label_in_source: str
    group: str
    """'softwood' or 'hardwood'."""
    density_12pct_kg_m3: float
    shrink_radial_pct: float | None
    shrink_tangential_pct: float | None
    shrink_basis: str
    """From which state to which: figures of different basis do not compare."""
    movement_radial_per_pct: float | None
    """Change of width per 1 % moisture content, as a fraction of the width."""
    movement_tangential_per_pct: float | None
    movement_basis: str
    moe_gpa: float | None
    mor_mpa: float | None
    compression_parallel_mpa: float | None
    compression_perpendicular_mpa: float | None
    shear_mpa: float | None
    hardness_n: float | None
    """Side hardness by the Janka ball. [N]"""
    durability_en350: str | None
    """Class of the heartwood, 1 (best) to 5, or a range such as '2-4'."""
    durability_as5604_above_ground: str | None
    durability_as5604_in_ground: str | None
    durability_usda: str | None
    gluing: str | None
    """'easy', 'moderate' or 'difficult'."""
    tannin: str
    """'none', 'some' or 'strong'."""
    dust_caution: str
    """Beyond ``DUST_ALWAYS``; empty when nothing particular is on file."""
    legality_note: str
    tone: str
    """'light', 'mid', 'dark' or 'red'."""
    figure: str
    colour_new_hex: str
    colour_indoors_hex: str
    """After years of light indoors."""
    colour_weathered_hex: str
    notes: str
    source: str
    from_memory: tuple[str, ...]
    """Fields that no publication was seen for."""
    read_on: str

    def needs(self, *wanted: str) -> tuple[float, ...]:
        """The named figures, in the order asked.

        Raises
        ------
        FigureMissing
            When one of them is not on file, naming it and the ways out.
        """
        missing = [field for field in wanted if getattr(self, field) is None]
        if missing:
            raise FigureMissing(
                f"{self.name} has no {', '.join(FIGURES.get(field, field) for field in missing)} on file. {WAYS_OUT}"
            )
        return tuple(getattr(self, field) for field in wanted)

    def source_of(self, field: str) -> str:
        """Where one field of this row comes from: the publication, or 'from memory'.

        Fields that describe (tone, colours, notes) are from memory throughout.

        Raises
        ------
        KeyError
            When the row holds no such field, or holds nothing in it.
        """
        if field in self.from_memory or (field in DESCRIBED and getattr(self, field)):
            return FROM_MEMORY
        by_group = dict(part.split(": ", 1) for part in self.source.split(" | "))
        group = SOURCE_GROUP.get(field)
        if group not in by_group or getattr(self, field) is None:
            raise KeyError(
                f"No source on file for {field!r} of {self.name}. Groups with a source: "
                f"{', '.join(by_group)}."
            )
        return by_group[group]


def _species(row: dict[str, str]) -> Species:
    values: dict[str, object] = dict(row)
    for field in fields(Species):
        text = row[field.name]
        if "float" in field.type:
            values[field.name] = float(text) if text else None
        elif "None" in field.type:
            values[field.name] = text or None
    values["from_memory"] = tuple(row["from_memory"].split(";"))
    return Species(**values)


@cache
def all_species() -> tuple[Species, ...]:
    """Every timber on file, by name."""
    return tuple(_species(row) for row in rows("species"))


@cache
def _by_name() -> dict[str, Species]:
    return {s.name.casefold(): s for s in all_species()}


def timber(name: str) -> Species:
    """One timber by its name on file; capitals do not matter, spelling does.

    Raises
    ------
    KeyError
        When no timber has that name, with the names on file. Nothing is guessed:
        'oak' may be any of four timbers.

    Examples
    --------
    >>> timber("white ash").movement_tangential_per_pct
    0.00274

    References
    ----------
    .. [1] Forest Products Laboratory, Wood Handbook, FPL-GTR-190, 2010, table 13-5.
    """
    try:
        return _by_name()[name.strip().casefold()]
    except KeyError:
        raise KeyError(
            f"No timber {name!r} on file. On file: "
            f"{', '.join(s.name for s in all_species())}."
        ) from None


def stand_in(species: Species, field: str) -> tuple[float, str]:
    """A cautious figure from like timbers for one that is missing, and its reason.

    Of the timbers of the same group (softwood or hardwood) within 10 % of the density,
    the lowest strength or the highest movement; when none of those has the figure, the
    lowest strength among the three nearest lighter timbers. A rule of our own, no
    source. The caller takes it knowingly and carries the reason along.

    Raises
    ------
    ValueError
        When the field has no cautious side (density, durability, looks), is on file
        already, or no like timber has it.
    """
    if field not in STAND_IN_SIDE:
        raise ValueError(
            f"No stand-in for {field!r}. Possible for: {', '.join(STAND_IN_SIDE)}."
        )
    if getattr(species, field) is not None:
        raise ValueError(
            f"{species.name} has {field} on file: {getattr(species, field)}. Use that."
        )
    side = STAND_IN_SIDE[field]
    density = species.density_12pct_kg_m3
    known = [
        s for s in all_species()
        if s.group == species.group and getattr(s, field) is not None
    ]
    alike = [s for s in known if abs(s.density_12pct_kg_m3 - density) <= 0.1 * density]
    who = f"{len(alike)} {species.group}s within 10 % of its density"
    if not alike and side is min:
        lighter = [s for s in known if s.density_12pct_kg_m3 < density]
        alike = sorted(lighter, key=lambda s: -s.density_12pct_kg_m3)[:3]
        who = f"the three nearest lighter {species.group}s"
    if not alike:
        raise ValueError(
            f"No {species.group} near {species.name} in density has {field} on file. "
            "Find a sourced figure, or choose another timber."
        )
    chosen = side(alike, key=lambda s: getattr(s, field))
    value = getattr(chosen, field)
    end = "lowest" if side is min else "highest"
    return value, (
        f"stand-in: {FIGURES[field]} of {species.name} is not on file; {value:g} is that of "
        f"{chosen.name}, the {end} of {who}"
    )


@cache
def with_movement(species: Species) -> Species:
    """A timber with the movement of the liveliest of those like it where its own is not on file; see ``stand_in``. Raises ValueError as that does."""
    both = ("movement_radial_per_pct", MOVEMENT)
    taken = {field: stand_in(species, field) for field in both if getattr(species, field) is None}
    if not taken:
        return species
    said = "; ".join(why for _, why in taken.values()).replace("|", "/")
    by_group = dict(part.split(": ", 1) for part in species.source.split(" | "))
    by_group[SOURCE_GROUP[MOVEMENT]] = said
    return replace(species, movement_basis="handbook coefficient", source=" | ".join(f"{g}: {words}" for g, words in by_group.items()), **{f: v for f, (v, _) in taken.items()})


def species_table():
    """Every timber on file as a pandas DataFrame, for pages to show."""
    # pandas takes longer to import than everything else here together.
    import pandas as pd

    return pd.DataFrame(
        [{f.name: getattr(s, f.name) for f in fields(Species)} for s in all_species()]
    ).set_index("name")
