"""The maker's own timbers, figures, prices and notes, laid over the table without touching it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, fields, replace
from datetime import date
from decimal import Decimal, InvalidOperation
from functools import cache, cached_property
from types import MappingProxyType

from studio_lib.timber.species import SOURCE_GROUP, Species, all_species

OWN = "maker's own"
AVAILABLE = ("in the rack", "at the yard", "to order", "hard to get")
LOOKS = ("tone", "figure", "colour_new_hex", "colour_indoors_hex", "colour_weathered_hex", "tannin")
NEW_NEEDS = ("name", "botanical_name", "group", "density_12pct_kg_m3", "source")
OWN_KEYS = ("like", "price_per_m3", "price_on", "available", "note")
KEEPS = ("label_in_source", "from_memory")
# Bands to catch a slipped decimal or unit: a little wider than any timber on file. Common practice, no source.
BANDS = {
    "density_12pct_kg_m3": (80, 1400), "shrink_radial_pct": (0.3, 10), "shrink_tangential_pct": (0.5, 16),
    "movement_radial_per_pct": (0.0003, 0.005), "movement_tangential_per_pct": (0.0005, 0.006),
    "moe_gpa": (2, 30), "mor_mpa": (15, 250), "compression_parallel_mpa": (10, 130),
    "compression_perpendicular_mpa": (0.5, 30), "shear_mpa": (2, 30), "hardness_n": (300, 25000),
}
WORDS = {
    "group": ("softwood", "hardwood"), "gluing": ("easy", "moderate", "difficult"), "tannin": ("none", "some", "strong"),
    "tone": ("light", "mid", "dark", "red"),
    "figure": ("softwood, bold rings", "softwood, faint rings", "ring-porous", "diffuse-porous", "banded, no clear rings"),
    "shrink_basis": ("green to ovendry", "green to 12 %, before reconditioning", "saturated to ovendry", "not stated"),
    "movement_basis": ("handbook coefficient", "worked from shrinkage", "unit shrinkage", "differential swelling"),
}
CLASSES = {"durability_en350": 5, "durability_as5604_above_ground": 4, "durability_as5604_in_ground": 4}


@dataclass(frozen=True)
class BoardPrice:
    """What the maker was asked for sawn boards."""

    per_m3: Decimal
    on: date


@dataclass(frozen=True)
class Library:
    """Every timber the maker may use: those on file, their own figures laid over, and their own."""

    species: tuple[Species, ...]
    own: frozenset[str]
    """Names of timbers that the maker added or changed."""
    prices: Mapping[str, BoardPrice]
    available: Mapping[str, str]
    notes: Mapping[str, str]

    @cached_property
    def _by_name(self) -> dict[str, Species]:
        return {one.name.casefold(): one for one in reversed(self.species)}

    def timber(self, name: str) -> Species:
        """One timber by name; capitals do not matter, spelling does. KeyError with the names on file."""
        found = self._by_name.get(name.strip().casefold())
        if found is None:
            raise KeyError(f"No timber {name!r} on file. On file: {', '.join(s.name for s in self.species)}.")
        return found


@cache
def on_file() -> Library:
    """The timbers as shipped, nothing of the maker's own laid over them."""
    return own_species()


def own_species(rows: Iterable[Mapping[str, object]] = ()) -> Library:
    """The table with the maker's rows laid over it; the table itself stays as shipped.

    Parameters
    ----------
    rows : iterable of dict
        Plain values. A ``name`` on file: what the row gives replaces what is on file, for this maker.
        A new name: ``botanical_name``, ``group``, ``density_12pct_kg_m3`` and ``source`` (whose word)
        are needed; looks (tone, figure, colours, tannin) are needed too, or ``like``, the name of a
        timber whose looks it shares. Strength and movement are never taken from another timber.
        With either: ``price_per_m3`` with ``price_on`` (a date or '2026-11-25'), ``available``
        ('in the rack', 'at the yard', 'to order', 'hard to get') and ``note``.

    Returns
    -------
    Library

    Raises
    ------
    ValueError
        Naming the row, the field, what was given, what is allowed.

    Examples
    --------
    >>> library = own_species([{"name": "European oak", "price_per_m3": "2150", "price_on": "2026-11-02"}])
    >>> library.prices["European oak"].per_m3
    Decimal('2150')
    """
    found = {s.name.casefold(): s for s in all_species()}
    own, prices, available, notes = set(), {}, {}, {}
    seen: set[str] = set()
    for number, row in enumerate(rows, 1):
        name = str(row.get("name", "")).strip()
        if not name:
            raise ValueError(f"Row {number} has no name; give the timber's name.")
        key = name.casefold()
        if key in seen:
            raise ValueError(f"{name} stands twice in your rows; put both in one.")
        seen.add(key)
        _known_keys(name, row)
        shipped = found.get(key)
        figures = {k: v for k, v in row.items() if k not in (*OWN_KEYS, "name") and v not in (None, "")}
        if shipped is None:
            found[key] = _new(name, row, figures, found)
        elif figures:
            found[key] = _over(shipped, figures)
        called = found[key].name
        if shipped is None or figures:
            own.add(called)
        if row.get("price_per_m3") not in (None, ""):
            prices[called] = _price(name, row)
        if row.get("available") not in (None, ""):
            if row["available"] not in AVAILABLE:
                raise ValueError(f"{name}: available is {row['available']!r}; allowed: {', '.join(AVAILABLE)}.")
            available[called] = str(row["available"])
        if row.get("note"):
            notes[called] = str(row["note"])
    ordered = tuple(sorted(found.values(), key=lambda s: s.name.casefold()))
    return Library(
        ordered, frozenset(own), MappingProxyType(prices), MappingProxyType(available), MappingProxyType(notes)
    )


CALLED = {
    "botanical_name": "botanical name", "group": "hardwood or softwood", "density_12pct_kg_m3": "density at 12 %, kg/m3", "source": "on whose word", "like": "looks like",
    "shrink_tangential_pct": "shrinks flat-sawn, %", "shrink_radial_pct": "shrinks quarter-sawn, %", "shrink_basis": "shrinkage measured", "mor_mpa": "modulus of rupture, MPa",
    "moe_gpa": "modulus of elasticity, GPa", "shear_mpa": "shear strength, MPa", "hardness_n": "hardness (Janka), N", "durability_en350": "durability class EN 350",
    "price_per_m3": "price a m3", "price_on": "price of", "note": "note", "available": "to be had",
}
"""What a maker reads for the names of fields in rows of their own."""


_FIELD = re.compile("|".join(key for key in CALLED if "_" in key))


def in_words(text: str) -> str:
    """A message about such a row with its fields as a maker reads them."""
    return _FIELD.sub(lambda at: f"'{CALLED[at[0]]}'", text)


def row_words(row: Mapping[str, object]) -> str:
    """A row of a maker's own in words: 'Farm oak: density at 12 %, kg/m3 700; looks like European oak'."""
    said = "; ".join(f"{CALLED.get(k, k)} {v}" for k, v in row.items() if k != "name" and v not in (None, ""))
    return f"{row['name']}: {said}" if said else str(row["name"])


def _known_keys(name: str, row: Mapping[str, object]) -> None:
    allowed = {f.name for f in fields(Species)} - set(KEEPS) | set(OWN_KEYS)
    unknown = sorted(set(row) - allowed)
    if unknown:
        raise ValueError(f"{name}: no such field: {', '.join(unknown)}. Fields: {', '.join(sorted(allowed))}.")


def _new(name: str, row, figures, found) -> Species:
    missing = [field for field in NEW_NEEDS if field != "name" and field not in figures]
    if missing:
        raise ValueError(f"{name} is not on file; for a new timber also give {', '.join(missing)}.")
    looks: dict[str, object] = {}
    if row.get("like"):
        model = found.get(str(row["like"]).strip().casefold())
        if model is None:
            raise ValueError(f"{name}: like is {row['like']!r}, which is not on file. Give the full name of a timber on file.")
        looks = {field: getattr(model, field) for field in LOOKS}
    lacking = [field for field in LOOKS if field not in figures and field not in looks]
    if lacking:
        raise ValueError(f"{name}: give {', '.join(lacking)}, or 'like': the name of a timber it looks like.")
    source = _source_words(name, figures.pop("source"))
    values = {f.name: None if "None" in f.type else "" for f in fields(Species)}
    values.update(looks)
    values.update({field: _checked(name, field, value) for field, value in figures.items()})
    values.update(
        name=name, label_in_source=name, from_memory=(),
        source=" | ".join(f"{group}: {OWN}, {source}" for group in dict.fromkeys(SOURCE_GROUP.values())),
    )
    made = Species(**values)
    _consistent(made)
    return made


def _over(shipped: Species, figures) -> Species:
    changed = dict(figures)
    if "source" not in changed:
        raise ValueError(f"{shipped.name}: you change {', '.join(changed)}; give source too, on whose word.")
    source = _source_words(shipped.name, changed.pop("source"))
    values = {field: _checked(shipped.name, field, value) for field, value in changed.items()}
    by_group = dict(part.split(": ", 1) for part in shipped.source.split(" | "))
    for field in values:
        group = SOURCE_GROUP.get(field)
        if group:
            before = f"{by_group[group]}; " if group in by_group else ""
            by_group[group] = f"{before}{field}: {OWN}, {source}"
    made = replace(
        shipped, **values, source=" | ".join(f"{group}: {words}" for group, words in by_group.items()),
        from_memory=tuple(f for f in shipped.from_memory if f not in values),
    )
    _consistent(made)
    return made


def _source_words(name: str, source: object) -> str:
    words = str(source).strip()
    if not words or "|" in words:
        raise ValueError(f"{name}: source is {source!r}; say in words where the figures come from, without the sign |.")
    return words


def _checked(name: str, field: str, value: object):
    if field in BANDS:
        try:
            number = float(value)
        except (TypeError, ValueError):
            raise ValueError(f"{name}: {field} is {value!r}; a number.") from None
        low, high = BANDS[field]
        if not low <= number <= high:
            raise ValueError(f"{name}: {field} is {number:g}; {low:g} to {high:g}. Mind the unit in the field's name.")
        return number
    text = str(value).strip()
    if field in WORDS and text not in WORDS[field]:
        raise ValueError(f"{name}: {field} is {text!r}; allowed: {'; '.join(WORDS[field])}.")
    if field in CLASSES and not (re.fullmatch(r"\d(-\d)?", text) and all(1 <= int(c) <= CLASSES[field] for c in text[::2])):
        raise ValueError(f"{name}: {field} is {text!r}; a class from 1 to {CLASSES[field]}, or a range such as 2-3.")
    if field.startswith("colour_") and not re.fullmatch("#[0-9a-fA-F]{6}", text):
        raise ValueError(f"{name}: {field} is {text!r}; # and six hexadecimal digits.")
    return text


def _consistent(s: Species) -> None:
    for what, unit in (("shrink", "pct"), ("movement", "per_pct")):
        radial, tangential = getattr(s, f"{what}_radial_{unit}"), getattr(s, f"{what}_tangential_{unit}")
        if radial is not None and tangential is not None and radial > tangential:
            raise ValueError(f"{s.name}: {what} radial {radial:g} is above tangential {tangential:g}; are they swapped?")
        if (radial is not None or tangential is not None) and not getattr(s, f"{what}_basis"):
            raise ValueError(f"{s.name}: give {what}_basis too, one of: {'; '.join(WORDS[f'{what}_basis'])}.")


def _price(name: str, row) -> BoardPrice:
    try:
        per_m3 = Decimal(str(row["price_per_m3"]))
    except InvalidOperation:
        raise ValueError(f"{name}: price_per_m3 is {row['price_per_m3']!r}; a number, per cubic metre.") from None
    if not per_m3 > 0:
        raise ValueError(f"{name}: price_per_m3 is {per_m3}; above 0.")
    on = row.get("price_on")
    try:
        on = on if isinstance(on, date) else date.fromisoformat(str(on))
    except ValueError:
        raise ValueError(f"{name}: price_on is {on!r}; the day of the price, such as 2026-11-25.") from None
    return BoardPrice(per_m3, on)
