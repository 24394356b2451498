"""Moisture content of wood: what the air asks for, and what a place brings in a year."""

from __future__ import annotations

import math
from dataclasses import dataclass, fields
from functools import cache

from studio_lib.timber.tables import rows

PLACES = (
    "indoors, heated",
    "indoors, unheated",
    "outdoors, under cover",
    "outdoors, in the weather",
)

# The rows and columns of the handbook's table 4-2: 30 to 270 degF, 5 to 95 %.
TABLE_C = (-1.12, 132.23)
TABLE_HUMIDITY_PCT = (5.0, 95.0)
COLDEST_ROW_C = -1.1

# Rooms: judgement. They stand a little above outdoors, heated ones never below 21 °C;
# the same water in warmer air is a lower humidity.
ROOM_OVER_OUTDOORS_K = 2.0
HEATED_ROOM_C = 21.0
# Measured at 20 °C and 37 %, six European woods stand at 7.0 to 8.9 % where the
# equation gives 7.3 (suppliers' data sheets): woods differ by about one point.
SPECIES_DIFFER_PCT = 1.0
DRY_AIR_BELOW_PCT = 60.0
# What people, cooking and plants add to the air of a room that nobody measured: 2.7 hPa of
# vapour at 0 °C outdoors, less as it is warmer and windows open, none from 20 °C on (the line
# between humidity classes 1 and 2 of ISO 13788, from memory).
LIVED_IN_HPA, WINDOWS_OPEN_C = 2.7, 20.0
# How far boards of one batch may lie from the mean and still count as ready.
MAKING_TOLERANCE_PCT = 2.0

EMC_SOURCE = "FPL-GTR-282 Eq. 4-5"


@dataclass(frozen=True)
class Climate:
    """Mean air of a warm and a cold month outdoors, and of heated rooms in winter."""

    name: str
    summer_c: float
    summer_humidity_pct: float
    winter_c: float
    winter_humidity_pct: float
    heated_winter_humidity_pct: float
    source: str

    @property
    def is_dry(self) -> bool:
        """Air under 60 % humidity all year: rain is rare and gone within hours."""
        return max(self.summer_humidity_pct, self.winter_humidity_pct) < DRY_AIR_BELOW_PCT

    @property
    def words(self) -> str:
        """As a sentence takes it up: 'In a mountain climate'."""
        return f"In a {self.name} climate"

    @property
    def outdoors(self) -> tuple[Air, ...]:
        """Outdoor air, winter first."""
        cold, warm = self._names
        return (
            Air(cold, self.winter_c, self.winter_humidity_pct),
            Air(warm, self.summer_c, self.summer_humidity_pct),
        )

    @property
    def _names(self) -> tuple[str, str]:
        """Where rain makes the seasons and not warmth, the row's 'summer' is the rainy one."""
        rains = self.summer_c == self.winter_c and self.summer_humidity_pct > self.winter_humidity_pct
        return ("dry season", "rainy season") if rains else ("winter", "summer")

    @property
    def heated_rooms(self) -> tuple[Air, ...]:
        """Air of heated rooms; what is not on file follows from outdoors."""
        room_c = max(self.summer_c + ROOM_OVER_OUTDOORS_K, HEATED_ROOM_C)
        return (
            Air(self._names[0], HEATED_ROOM_C, self.heated_winter_humidity_pct),
            Air(self._names[1], *_warmed(self.summer_c, self.summer_humidity_pct, room_c)),
        )

    @property
    def reckoned(self) -> tuple[str, ...]:
        """Seasons whose heated rooms nobody measured; none for a climate on file."""
        return ()


@dataclass(frozen=True)
class Air:
    """Mean air of one season."""

    season: str
    temperature_c: float
    humidity_pct: float


@dataclass(frozen=True)
class OwnClimate:
    """The air of one place as someone entered it, instead of a ``Climate`` on file."""

    outdoors: tuple[Air, ...]
    """At least a warm and a cold season."""
    measured_rooms: tuple[Air, ...] = ()
    """Heated rooms, for those seasons that were measured."""
    source: str = "entered by hand for this place"

    words = "In the air entered for this place"

    @property
    def is_dry(self) -> bool:
        """Air under 60 % humidity all year: rain is rare and gone within hours."""
        return max(a.humidity_pct for a in self.outdoors) < DRY_AIR_BELOW_PCT

    @property
    def reckoned(self) -> tuple[str, ...]:
        """Seasons whose heated rooms nobody measured."""
        measured = {a.season for a in self.measured_rooms}
        return tuple(a.season for a in self.outdoors if a.season not in measured)

    @property
    def heated_rooms(self) -> tuple[Air, ...]:
        """Air of heated rooms: as measured, else outdoor air warmed, with what living in them adds."""
        measured = {a.season: a for a in self.measured_rooms}
        return tuple(measured.get(a.season) or lived_in(a) for a in self.outdoors)


def lived_in(outdoors: Air) -> Air:
    """Air of a heated room that people live in, from the air outdoors. Estimate, see ``LIVED_IN_HPA``."""
    room_c = max(outdoors.temperature_c + ROOM_OVER_OUTDOORS_K, HEATED_ROOM_C)
    _, pct = _warmed(outdoors.temperature_c, outdoors.humidity_pct, room_c)
    added = LIVED_IN_HPA * min(1.0, max(0.0, 1 - outdoors.temperature_c / WINDOWS_OPEN_C))
    return Air(outdoors.season, room_c, pct + 100 * added / _saturation_hpa(room_c))


@dataclass(frozen=True)
class MoistureRange:
    """Moisture content a piece will see, and what to make it at. [%]"""

    low_pct: float
    high_pct: float
    making_pct: float
    tolerance_pct: float
    """How far off ``making_pct`` the boards may be."""
    reason: str
    source: str
    dry_season: str = "dry season"
    wet_season: str = "wet season"


@cache
def climates() -> tuple[Climate, ...]:
    """The climates on file: kinds of climate, not places; a site's own air is better."""
    return tuple(
        Climate(**{
            f.name: float(row[f.name]) if f.type == "float" else row[f.name]
            for f in fields(Climate)
        })
        for row in rows("climates")
    )


def climate(name: str) -> Climate:
    """One climate by its name on file.

    Raises
    ------
    KeyError
        When none has that name, with the names on file.
    """
    for one in climates():
        if one.name == name.strip().casefold():
            return one
    raise KeyError(
        f"No climate {name!r} on file. On file: {', '.join(c.name for c in climates())}."
    )


def equilibrium_moisture_pct(temperature_c: float, humidity_pct: float) -> float:
    """Moisture content at which wood neither takes nor gives water in such air.

    Parameters
    ----------
    temperature_c : float
        Air temperature, -1.1 to 132 (the handbook's table ends there). [°C]
    humidity_pct : float
        Relative humidity, 5 to 95. [%]

    Returns
    -------
    float
        Moisture content by dry mass. [%]

    Raises
    ------
    ValueError
        Outside those ranges.

    Notes
    -----
    A mean over woods: single species stand about one point above or below.

    Examples
    --------
    >>> round(equilibrium_moisture_pct(21.1, 65), 1)
    12.0

    References
    ----------
    .. [1] Forest Products Laboratory, Wood Handbook, FPL-GTR-282, 2021, ch. 4,
       eq. 4-5 (metric constants) and table 4-2.
    """
    low, high = TABLE_C
    if not low <= temperature_c <= high:
        raise ValueError(
            f"temperature_c is {temperature_c}; table 4-2 runs from -1.1 to 132 °C. "
            f"For colder air use its coldest row, {COLDEST_ROW_C}."
        )
    low, high = TABLE_HUMIDITY_PCT
    if not low <= humidity_pct <= high:
        raise ValueError(
            f"humidity_pct is {humidity_pct}; table 4-2 runs from 5 to 95 %. "
            "Give the mean over some weeks, in percent."
        )
    t = temperature_c
    w = 349 + 1.29 * t + 0.0135 * t**2
    k = 0.805 + 0.000736 * t - 0.00000273 * t**2
    k1 = 6.27 - 0.00938 * t - 0.000303 * t**2
    k2 = 1.91 + 0.0407 * t - 0.000293 * t**2
    kh = k * humidity_pct / 100
    first = k1 * kh
    second = k1 * k2 * kh**2
    return 1800 / w * (kh / (1 - kh) + (first + 2 * second) / (1 + first + second))


def service_range(place: str, climate: Climate | OwnClimate) -> MoistureRange:
    """Lowest and highest moisture content that a piece meets there, and what to make it at.

    Parameters
    ----------
    place : str
        One of ``PLACES``.
    climate : Climate or OwnClimate
        From ``climates()``, or the site's own figures.

    Returns
    -------
    MoistureRange
        Half percents, the range taken outwards. [%]

    Raises
    ------
    ValueError
        For a place not in ``PLACES``, or humidity outside 5 to 95 %.

    Notes
    -----
    Air gives the equilibrium of its warm and its cold month, one point added at either
    end because woods differ. Rain wets boards beyond what air can: in the weather the
    range is widened to that of common practice. Boards are made at the middle of what
    the air asks for, since rain passes.

    References
    ----------
    .. [1] FPL-GTR-282, 2021, eq. 4-5.
    .. [2] W. T. Simpson, FPL-RN-0268, 1998: that outdoor air gives a wood's moisture
       content month by month, and that air warmed indoors lowers it.
    """
    if place not in PLACES:
        raise ValueError(f"place is {place!r}; allowed: {'; '.join(PLACES)}.")
    # Below the table's coldest row the equation is not backed; the row errs to the moist.
    air = tuple(Air(a.season, max(a.temperature_c, COLDEST_ROW_C), a.humidity_pct) for a in climate.outdoors)
    where = "outdoor air"
    if place == "indoors, heated":
        where, air = "heated rooms", climate.heated_rooms
    elif place == "indoors, unheated":
        where = "unheated rooms"
        air = tuple(
            Air(a.season, *_warmed(a.temperature_c, a.humidity_pct, a.temperature_c + ROOM_OVER_OUTDOORS_K)) for a in air
        )
    brought = [equilibrium_moisture_pct(a.temperature_c, _in_table(a.humidity_pct)) for a in air]
    low, high = min(brought) - SPECIES_DIFFER_PCT, max(brought) + SPECIES_DIFFER_PCT
    making = round(low + high) / 2
    each = ", ".join(
        f"{a.season} ({a.temperature_c:.0f} °C, {a.humidity_pct:.0f} %){'' if i else ' brings wood'} to {pct:.1f} %"
        for i, (a, pct) in enumerate(zip(air, brought))
    )
    reason = (
        f"{climate.words}, {where}: {each}; one point more at either end, since woods differ: {low:.1f} to {high:.1f} %."
    )
    if place == "indoors, heated" and climate.reckoned:
        reason += (
            f" No room measured in {' and '.join(climate.reckoned)}: outdoor air warmed to the room, with what living "
            "there adds, is an estimate (ISO 13788 humidity classes, from memory)."
        )
    frost = [a.temperature_c for a in climate.outdoors if a.temperature_c < COLDEST_ROW_C]
    if frost and place != "indoors, heated":
        reason += (
            f" Frost of {min(frost):g} °C is reckoned as {COLDEST_ROW_C}, where the "
            "handbook's table ends."
        )
    sources = [EMC_SOURCE, f"climate: {climate.source}"]
    for row in _practice(place, climate):
        seen = f"{row['low_pct']} to {row['high_pct']} %"
        if row["use"] == "wetting":
            low = min(low, float(row["low_pct"]))
            high = max(high, float(row["high_pct"]))
            reason += (
                f" Rain and sun work beyond the air: {seen} ({row['label_in_source']}). "
                "Made at the middle of what the air asks for, because rain passes."
            )
            sources.append(f"wetting: {row['source']}")
        else:
            reason += f" To compare: {row['label_in_source']} {seen} ({row['source']})."
    # Outwards, from the tenths that the reason prints: a range drawn in would hide movement.
    low, high = math.floor(2 * round(low, 1)) / 2, math.ceil(2 * round(high, 1)) / 2
    return MoistureRange(
        low, high, making, MAKING_TOLERANCE_PCT,
        f"{reason} Taken out to half percents: {low:g} to {high:g} %.", "; ".join(sources),
        dry_season=air[brought.index(min(brought))].season,
        wet_season=air[brought.index(max(brought))].season,
    )


def _in_table(humidity_pct: float) -> float:
    """Reckoned air at the edge of the table: warming a desert's air leaves it by a hair."""
    low, high = TABLE_HUMIDITY_PCT
    return min(max(humidity_pct, low), high)


def _practice(place: str, climate: Climate | OwnClimate):
    air = ("any", "dry" if climate.is_dry else "moist")
    return [r for r in rows("service_moisture") if r["place"] == place and r["air"] in air]


def _warmed(from_c: float, humidity_pct: float, to_c: float) -> tuple[float, float]:
    """Air warmed without adding water (Magnus form, WMO No. 8, from memory)."""
    return to_c, humidity_pct * _saturation_hpa(from_c) / _saturation_hpa(to_c)


def _saturation_hpa(temperature_c: float) -> float:
    return 6.112 * math.exp(17.62 * temperature_c / (243.12 + temperature_c))
