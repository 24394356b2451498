"""What stands on the way in, each kind with the sizes that matter for it. Clear sizes, in mm."""

from __future__ import annotations

from dataclasses import dataclass, fields

HIGHEST_MM = 10_000.0
LEAST_MM = {"width": 300.0, "height": 300.0, "depth": 300.0}
"""Less than this and no one follows the piece through it."""
TURNS = ("none", "quarter", "half")


@dataclass(frozen=True)
class Opening:
    """Base of the kinds of opening. Every size is clear: between stops, inside handrails."""

    name: str

    def __post_init__(self):
        if not isinstance(self.name, str) or not self.name.strip():
            raise ValueError("An opening needs a name, such as 'front door'.")
        for f in fields(self):
            value = getattr(self, f.name)
            if f.name.endswith("_mm") and value is not None:
                self._size(f.name, value)

    def _size(self, field: str, value) -> None:
        words = field.removesuffix("_mm").replace("_", " ")
        if isinstance(value, bool) or not isinstance(value, int | float):
            raise ValueError(f"{self.name}: {words} is {value!r}; give a number of mm.")
        low = LEAST_MM.get(words.split()[-1], 300.0)
        if not low <= value <= HIGHEST_MM:
            raise ValueError(
                f"{self.name}: {words} is {value:g} mm; give {low:g} to {HIGHEST_MM:g} mm, "
                "measured clear."
            )


@dataclass(frozen=True)
class Door(Opening):
    """A doorway, gate or window: clear of the open leaf, its handle and the stops."""

    width_mm: float
    height_mm: float


@dataclass(frozen=True)
class CorridorTurn(Opening):
    """A square corner from one corridor into another."""

    first_width_mm: float
    second_width_mm: float
    height_mm: float


@dataclass(frozen=True)
class Stair(Opening):
    """A flight, and the landing it turns on. ``turn``: 'none', 'quarter' or 'half'."""

    width_mm: float
    """Inside the handrails."""
    headroom_mm: float
    """Square to the slope, the least of top, bottom and landing."""
    turn: str = "none"
    landing_depth_mm: float | None = None
    landing_width_mm: float | None = None
    """Across both flights; wanted where the stair turns back on itself."""

    def __post_init__(self):
        super().__post_init__()
        if self.turn not in TURNS:
            raise ValueError(f"{self.name}: turn is {self.turn!r}; give one of {', '.join(TURNS)}.")
        if self.turn != "none" and self.landing_depth_mm is None:
            raise ValueError(f"{self.name}: it turns, so give the depth of the landing.")
        if self.turn == "half" and self.landing_width_mm is None:
            raise ValueError(f"{self.name}: it turns back, so give the width of the landing across both flights.")


@dataclass(frozen=True)
class Lift(Opening):
    """A lift: its door, its car, and what it may carry."""

    door_width_mm: float
    door_height_mm: float
    car_width_mm: float
    car_depth_mm: float
    """From the door to the back."""
    car_height_mm: float
    may_carry_kg: float | None = None

    def __post_init__(self):
        super().__post_init__()
        if self.may_carry_kg is not None and not 50 <= self.may_carry_kg <= 20_000:
            raise ValueError(
                f"{self.name}: it may carry {self.may_carry_kg:g} kg; give 50 to 20000 kg, from the "
                "plate in the car."
            )


@dataclass(frozen=True)
class Ceiling(Opening):
    """The lowest ceiling under which the piece is stood up."""

    height_mm: float


KINDS: dict[str, type[Opening]] = {
    "door": Door, "corridor turn": CorridorTurn, "stair": Stair, "lift": Lift, "ceiling": Ceiling,
}


def opening_from_plain(plain: dict) -> Opening:
    """An opening from a plain document: 'kind', 'name' and the sizes of that kind.

    Without a kind it is a door. Sizes left empty (None) take the kind's default. Raises
    ValueError, in a sentence for the maker, for an unknown kind or field, a missing size
    or one that cannot be.
    """
    plain = {k: v for k, v in plain.items() if v is not None}
    kind = plain.pop("kind", "door")
    if kind not in KINDS:
        raise ValueError(f"There is no kind of opening {kind!r}. Known: {', '.join(KINDS)}.")
    wanted = {f.name for f in fields(KINDS[kind])}
    unknown = sorted(set(plain) - wanted)
    if unknown:
        raise ValueError(f"A {kind} has no {', '.join(unknown)}. It has: {', '.join(sorted(wanted))}.")
    try:
        return KINDS[kind](**plain)
    except TypeError:
        missing = [
            f.name.removesuffix("_mm").replace("_", " ") for f in fields(KINDS[kind])
            if f.name not in plain and f.default.__class__.__name__ == "_MISSING_TYPE"
        ]
        raise ValueError(
            f"{plain.get('name', f'This {kind}')}: give its {', '.join(missing)} too."
        ) from None
