"""What stands on the way in, each kind with the sizes that matter for it. Clear sizes, in mm.

Any measure may be None, not known yet: ``missing`` names those, and a check takes them as not in the way.
"""

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

    @property
    def wanted(self) -> tuple[str, ...]:
        """Fields that must be known before all of it is checked."""
        return tuple(f.name for f in fields(self) if f.name.endswith("_mm"))

    @property
    def missing(self) -> tuple[str, ...]:
        """What is not measured yet, in words: ('landing depth',)."""
        return tuple(n.removesuffix("_mm").replace("_", " ") for n in self.wanted if getattr(self, n) is None)

    @property
    def anything_known(self) -> bool:
        """Whether anything is known that could be in the way."""
        return any(getattr(self, f.name) is not None for f in fields(self) if f.name.endswith(("_mm", "_kg")))

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
    """A doorway, window or gate with something over it: clear of the open leaf, its handle and the stops."""

    width_mm: float | None = None
    height_mm: float | None = None


@dataclass(frozen=True)
class Gate(Opening):
    """A gate with nothing over it: clear between its posts and the open leaf."""

    width_mm: float | None = None


@dataclass(frozen=True)
class CorridorTurn(Opening):
    """A square corner from one corridor into another."""

    first_width_mm: float | None = None
    second_width_mm: float | None = None
    height_mm: float | None = None


@dataclass(frozen=True)
class Stair(Opening):
    """A flight, and the landing it turns on. ``turn``: 'none', 'quarter' or 'half'."""

    width_mm: float | None = None
    """Inside the handrails."""
    headroom_mm: float | None = None
    """Square to the slope, the least of top, bottom and landing."""
    turn: str = "none"
    landing_depth_mm: float | None = None
    landing_width_mm: float | None = None
    """Across both flights; wanted where the stair turns back on itself."""

    def __post_init__(self):
        super().__post_init__()
        if self.turn not in TURNS:
            raise ValueError(f"{self.name}: turn is {self.turn!r}; give one of {', '.join(TURNS)}.")

    @property
    def wanted(self) -> tuple[str, ...]:
        landing = {"none": (), "quarter": ("landing_depth_mm",), "half": ("landing_depth_mm", "landing_width_mm")}
        return ("width_mm", "headroom_mm", *landing[self.turn])


@dataclass(frozen=True)
class Lift(Opening):
    """A lift: its door, its car, and what it may carry."""

    door_width_mm: float | None = None
    door_height_mm: float | None = None
    car_width_mm: float | None = None
    car_depth_mm: float | None = None
    """From the door to the back."""
    car_height_mm: float | None = None
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

    height_mm: float | None = None


KINDS: dict[str, type[Opening]] = {
    "door": Door, "gate, open above": Gate, "corridor turn": CorridorTurn, "stair": Stair, "lift": Lift, "ceiling": Ceiling,
}


def opening_from_plain(plain: dict) -> Opening:
    """An opening from a plain document: 'kind', 'name' and the sizes of that kind.

    Without a kind it is a door. Sizes left empty (None) are not known yet. Raises ValueError, in a sentence for the
    maker, for an unknown kind or field, or a size that cannot be.
    """
    plain = {k: v for k, v in plain.items() if v is not None}
    kind = plain.pop("kind", "door")
    if kind not in KINDS:
        raise ValueError(f"There is no kind of opening {kind!r}. Known: {', '.join(KINDS)}.")
    wanted = {f.name for f in fields(KINDS[kind])}
    unknown = sorted(set(plain) - wanted)
    if unknown:
        raise ValueError(f"A {kind} has no {', '.join(unknown)}. It has: {', '.join(sorted(wanted))}.")
    return KINDS[kind](**{"name": "", **plain})
