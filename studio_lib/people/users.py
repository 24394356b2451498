"""Who uses the piece: adults and children together, and those who need more than the middle."""

from __future__ import annotations

from dataclasses import dataclass, replace

from studio_lib.people.body import SHOE_MM, Mix, of_one_person_mm, percentile_mm, share_below
from studio_lib.people.children import AGES, child_mm, stature_of_child_mm


ABOUT_AS_TALL = 0.1
"""Whoever is so much taller or shorter than the middle child of an age is not taken for that child; a judgement of ours."""


def people_words(count: int) -> str:
    """'1 person', '4 people'."""
    return "1 person" if count == 1 else f"{count} people"


@dataclass(frozen=True)
class Users:
    """The people a size must suit.

    Raises ValueError, in a sentence for the maker, for a negative or absurd count, no one
    at all, a child's age outside 2 to 17, or a shoe of no sensible height.
    """

    adults: int
    """Grown people; where there are any, sizes are made for them and children are only told of."""
    mix: Mix = Mix()
    child_ages: tuple[float, ...] = ()
    """Age of each child. [years]"""
    frail: bool = False
    """Some find it hard to rise or to reach."""
    large: bool = False
    """Some are larger than 99 of 100."""
    wheelchair: bool = False
    shoe_mm: float = SHOE_MM
    at_once: int | None = None
    """How many use it at the same time; None: all of them."""
    tallest_mm: float | None = None
    """Stature of the tallest grown person, where it is known; 1300 to 2100. [mm]"""
    heaviest_kg: float | None = None
    """Weight of the heaviest, where it is known. [kg]"""
    clothes: str = "indoors"
    """'indoors' or 'outdoors': what they wear there."""
    wheelchair_at: str = ""
    """Where the wheelchair pulls up to a table: 'end', 'side', or '' for anywhere along it."""
    wheelchair_knees_mm: float | None = None
    """Height that its arms and knees ask for, where the client says. [mm]"""

    def __post_init__(self):
        if not 0 <= self.adults <= 500 or self.adults != int(self.adults):
            raise ValueError(f"Adults: {self.adults:g} given; a whole number from 0 to 500.")
        if self.adults + len(self.child_ages) == 0:
            raise ValueError("No one uses the piece: give at least one adult or one child's age.")
        if not 0 <= self.shoe_mm <= 80:
            raise ValueError(f"Shoe is {self.shoe_mm:g} mm; give 0 (barefoot) to 80 mm.")
        for age in self.child_ages:
            child_mm("stature", age)
        self.tall_mm("back of knee height")

    @property
    def count(self) -> int:
        """How many use it at once."""
        return self.at_once or self.adults + len(self.child_ages)

    @property
    def decide(self) -> str:
        """Those for whom sizes are made, in words."""
        return "adults" if self.adults else "children"

    @property
    def upper_percent(self) -> float:
        """Which person a width or clearance is made for: the 95th of 100, or the 99th."""
        return 99.0 if self.large else 95.0

    def share_at_most(self, dimension: str, value_mm: float) -> float:
        """Share of those who decide whose dimension is at most ``value_mm``, 0 to 1.

        The survey was read to whole millimetres, so a size reaches half a millimetre beyond.
        """
        if self.adults:
            return share_below(dimension, value_mm + 0.5, self.mix)
        return sum(child_mm(dimension, age) <= value_mm for age in self.child_ages) / len(self.child_ages)

    @property
    def children(self) -> Users | None:
        """The children among them by themselves; None where there are none, or nobody else."""
        if not self.adults or not self.child_ages:
            return None
        return replace(self, adults=0, at_once=None)

    @property
    def ages(self) -> str:
        """'5 and 8'."""
        *first, last = (f"{age:g}" for age in sorted(set(self.child_ages)))
        return f"{', '.join(first)} and {last}" if first else last

    def percentile_mm(self, dimension: str, percent: float) -> float:
        """The size that ``percent`` of those who decide do not exceed. [mm]

        Grown people decide where there are any, since a child outgrows a size and they
        do not; among children alone it is the child nearest to that place in the row.
        """
        if self.adults:
            return percentile_mm(dimension, percent, self.mix)
        row = sorted(child_mm(dimension, age) for age in self.child_ages)
        return row[round((len(row) - 1) * percent / 100)]

    def tall_mm(self, dimension: str) -> float | None:
        """What a dimension of the tallest grown person is likely to be by their stature; None while it is not known. [mm]

        By the regressions of ``body.of_one_person_mm``, women's and men's in the share of the mix. Raises KeyError for a
        dimension that does not follow stature.
        """
        if self.tallest_mm is None or not self.adults:
            return None
        women, men = (of_one_person_mm(dimension, sex, self.tallest_mm)[0] for sex in ("female", "male"))
        return self.mix.women * women + (1 - self.mix.women) * men

    @property
    def wheelchair_along(self) -> bool:
        """Whether a wheelchair takes any place along a table, so that all of them are made for it."""
        return self.wheelchair and self.wheelchair_at == ""

    @property
    def alone(self) -> bool:
        """The tallest is the only one who uses it."""
        return self.tallest_mm is not None and self.adults == 1 and self.count == 1

    def grown_by(self, age_years: float) -> Users | None:
        """The one who uses it as tall as they may be at a later age; None where they are not known to be a child who grows.

        Taller by as much in a hundred as the middle child grows until then, of the share of girls of the mix.
        """
        if not self.alone or len(self.child_ages) != 1 or not self.child_ages[0] <= age_years <= AGES[1]:
            return None
        now, then = (stature_of_child_mm(age, self.mix.women) for age in (self.child_ages[0], age_years))
        if abs(self.tallest_mm / now - 1) > ABOUT_AS_TALL:
            return None
        return replace(self, tallest_mm=self.tallest_mm * then / now, child_ages=(age_years,))

    def upper(self, dimension: str) -> tuple[float, str]:
        """Whose body a clearance is made for, the tallest person where that is more: the size and who, in words. [mm]"""
        usual, tall = self.percentile_mm(dimension, self.upper_percent), self.tall_mm(dimension)
        if tall is not None and (tall > usual or self.alone):
            return tall, self.tallest
        return usual, self.who(dimension, usual)

    @property
    def tallest(self) -> str:
        return f"the tallest, of {self.tallest_mm:.0f} mm" if not self.alone else f"the one who uses it, of {self.tallest_mm:.0f} mm"

    def who(self, dimension: str, value_mm: float) -> str:
        """Whose body a size is, in words: where it stands among women and men, or which child's."""
        if not self.adults:
            age = min(self.child_ages, key=lambda a: abs(child_mm(dimension, a) - value_mm))
            return f"the child of {age:g}"
        groups = [
            f"{_in_100(share_below(dimension, value_mm, Mix(women)))} {words}"
            for women, words in ((1.0, "women"), (0.0, "men"))
            if self.mix.women != 1 - women
        ]
        return f"a body larger than {' and '.join(groups)}"


def _in_100(share: float) -> str:
    percent = round(100 * share)
    return {0: "no", 100: "all"}.get(percent, f"{percent} in 100")
