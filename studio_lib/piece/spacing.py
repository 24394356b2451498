"""Spacing as it is worked out on paper: equal gaps, graduated ones, ratios, leftovers, counts by chance.

Everything here closes: the parts given back add up to the overall that was given. Lengths in mm.
"""

from __future__ import annotations

import math
import random
from dataclasses import dataclass

GOLDEN = (1 + math.sqrt(5)) / 2
"""The golden ratio: the whole is to the larger part as the larger to the smaller; Euclid, Elements VI, def. 3."""
EXACT_MM = 1e-9


@dataclass(frozen=True)
class Row:
    """Slats in a row and the gaps about them, from one end to the other."""

    widths_mm: tuple[float, ...]
    gaps_mm: tuple[float, ...]
    """Before, between and after the slats (one more than slats), or between them alone (one fewer)."""

    @property
    def starts_mm(self) -> tuple[float, ...]:
        """Where each slat begins, from the one end: what is marked on the rod."""
        out, at = [], 0.0
        before = list(self.gaps_mm) if len(self.gaps_mm) > len(self.widths_mm) else [0.0, *self.gaps_mm]
        for gap, width in zip(before, self.widths_mm):
            at += gap
            out.append(at)
            at += width
        return tuple(out)

    @property
    def overall_mm(self) -> float:
        return sum(self.widths_mm) + sum(self.gaps_mm)


def shared(total_mm: float, parts: int, step_mm: float = 1.0) -> tuple[float, ...]:
    """A length shared among parts in whole steps, the odd steps spread evenly and the same from either end.

    What is less than a step goes to the middle part, or half to each of the two in the middle.
    One odd step over an even number of parts cannot lie alike from both ends.
    Raises ValueError for no parts, a step not above 0 or a total below 0.
    """
    if parts < 1:
        raise ValueError(f"{parts} parts: give 1 or more.")
    if not step_mm > 0:
        raise ValueError(f"The step is {step_mm:g} mm; give more than 0.")
    if not total_mm >= 0:
        raise ValueError(f"{total_mm:g} mm cannot be shared; give 0 or more.")
    steps = math.floor(total_mm / step_mm + EXACT_MM)
    each, odd = divmod(steps, parts)
    counts = [each] * parts
    for m in range(odd // 2):
        at = (2 * m + 1) * parts // (2 * odd)
        counts[at] += 1
        counts[parts - 1 - at] += 1
    if odd % 2:
        counts[parts // 2] += 1
    out = [c * step_mm for c in counts]
    rest = total_mm - steps * step_mm
    if abs(rest) > EXACT_MM:
        middle = [parts // 2] if parts % 2 else [parts // 2 - 1, parts // 2]
        for i in middle:
            out[i] += rest / len(middle)
    return tuple(out)


def equal_gaps(overall_mm: float, count: int, width_mm: float, ends: bool = True, step_mm: float = 1.0) -> Row:
    """Slats of one width at equal gaps in whole steps, what is over shared out.

    ``ends``: gaps before the first and after the last slat too. Raises ValueError, in words,
    where the slats do not fit, with the most that do.
    """
    return mixed(overall_mm, (width_mm,) * count, ends, step_mm)


def mixed(overall_mm: float, widths_mm: tuple[float, ...], ends: bool = True, step_mm: float = 1.0) -> Row:
    """Slats of any widths, in their order, at equal gaps in whole steps."""
    _checked(overall_mm, len(widths_mm), min(widths_mm, default=0.0))
    free = overall_mm - sum(widths_mm)
    gaps = len(widths_mm) + (1 if ends else -1)
    if free < -EXACT_MM or (gaps == 0 and abs(free) > EXACT_MM):
        wide = sum(widths_mm) / len(widths_mm)
        raise ValueError(
            f"{len(widths_mm)} slats take {sum(widths_mm):g} mm and there are {overall_mm:g} mm; "
            f"give {max(int(overall_mm / wide), 0)} or fewer, or narrower ones."
            if free < 0 else f"One slat of {widths_mm[0]:g} mm does not fill {overall_mm:g} mm without gaps at its ends."
        )
    return Row(tuple(widths_mm), shared(max(free, 0.0), gaps, step_mm) if gaps else ())


def slats_for_gap(overall_mm: float, width_mm: float, gap_mm: float, ends: bool = True) -> int:
    """How many slats bring the gap nearest to the one wanted; at least 1."""
    _checked(overall_mm, 1, width_mm)
    if not gap_mm >= 0:
        raise ValueError(f"The gap is {gap_mm:g} mm; give 0 or more.")
    about = (overall_mm - gap_mm if ends else overall_mm + gap_mm) / (width_mm + gap_mm)

    def off(n):
        gaps = n + (1 if ends else -1)
        free = overall_mm - n * width_mm
        return math.inf if free < 0 else abs(free / gaps - gap_mm) if gaps else free

    return min((n for n in (math.floor(about), math.floor(about) + 1) if n >= 1), key=off, default=1)


def graduated(total_mm: float, count: int, ratio: float, way: str = "geometric") -> tuple[float, ...]:
    """Parts that grow from first to last, adding up to the total.

    Parameters
    ----------
    ratio : float
        The last part over the first; 1 for equal parts, under 1 for parts that shrink.
    way : str
        'arithmetic': each part is longer than the one before by the same length; 'geometric': by
        the same factor.
    """
    _checked(total_mm, count, total_mm)
    if not ratio > 0:
        raise ValueError(f"The ratio of last to first is {ratio:g}; give more than 0.")
    if way not in ("arithmetic", "geometric"):
        raise ValueError(f"{way!r} is no way to grow; give 'arithmetic' or 'geometric'.")
    steps = [k / (count - 1) if count > 1 else 0.0 for k in range(count)]
    shares = [1 + s * (ratio - 1) if way == "arithmetic" else ratio**s for s in steps]
    return in_ratio(total_mm, tuple(shares))


def in_ratio(total_mm: float, shares: tuple[float, ...]) -> tuple[float, ...]:
    """A length divided in given ratios: (2, 3) gives two fifths and three fifths. Adds up to the total."""
    if not shares or not all(s > 0 for s in shares):
        raise ValueError(f"The ratios are {', '.join(f'{s:g}' for s in shares) or 'none'}; give one or more, each above 0.")
    if not total_mm > 0:
        raise ValueError(f"{total_mm:g} mm cannot be divided; give more than 0.")
    whole = math.fsum(shares)
    return tuple(total_mm * s / whole for s in shares)


def golden_cut(total_mm: float) -> tuple[float, float]:
    """The larger and the smaller part of a length in the golden ratio."""
    larger, smaller = in_ratio(total_mm, (GOLDEN, 1.0))
    return larger, smaller


def rounded_to(parts_mm: tuple[float, ...], step_mm: float = 1.0) -> tuple[float, ...]:
    """Parts in whole steps that still add up: those that lose most by rounding down get the steps over.

    What is less than a step in the total stays with the longest part.
    """
    if not step_mm > 0:
        raise ValueError(f"The step is {step_mm:g} mm; give more than 0.")
    total = math.fsum(parts_mm)
    floors = [math.floor(p / step_mm + EXACT_MM) for p in parts_mm]
    over = math.floor(total / step_mm + EXACT_MM) - sum(floors)
    by_loss = sorted(range(len(parts_mm)), key=lambda i: (floors[i] - parts_mm[i] / step_mm, i))
    for i in by_loss[:max(over, 0)]:
        floors[i] += 1
    out = [f * step_mm for f in floors]
    longest = max(range(len(out)), key=lambda i: out[i])
    out[longest] += total - math.fsum(out)
    return tuple(out)


def leftover(overall_mm: float, unit_mm: float, least_mm: float = 0.0) -> tuple[int, float]:
    """How many whole units fit, and the same leftover at either end, no less than ``least_mm``."""
    _checked(overall_mm, 1, unit_mm)
    if not least_mm >= 0 or 2 * least_mm > overall_mm:
        raise ValueError(f"{least_mm:g} mm at either end of {overall_mm:g} mm; give 0 to {overall_mm / 2:g} mm.")
    count = math.floor((overall_mm - 2 * least_mm) / unit_mm + EXACT_MM)
    return count, (overall_mm - count * unit_mm) / 2


def random_counts(places: int, least: int, most: int, seed: int, total: int | None = None) -> tuple[int, ...]:
    """A whole number for each place, by chance within limits; the same for the same seed, always.

    ``total``: what they add up to; None for whatever comes. Raises ValueError where the limits
    or the total cannot be kept.
    """
    if places < 0 or not 0 <= least <= most:
        raise ValueError(f"{places} places of {least} to {most}: give 0 or more places, and limits from 0 up, the lower first.")
    # ``random()`` alone is promised to give the same numbers in every later Python.
    draw = random.Random(int(seed)).random
    counts = [least + int(draw() * (most - least + 1)) for _ in range(places)]
    if total is None:
        return tuple(counts)
    if not places * least <= total <= places * most:
        raise ValueError(f"{places} places of {least} to {most} hold {places * least} to {places * most} in all, not {total}.")
    while sum(counts) != total:
        step = 1 if sum(counts) < total else -1
        open_ = [i for i, c in enumerate(counts) if least <= c + step <= most]
        counts[open_[int(draw() * len(open_))]] += step
    return tuple(counts)


def repeated(pattern: tuple[int, ...], places: int) -> tuple[int, ...]:
    """A pattern of numbers over so many places, begun again when it ends. Raises ValueError for an empty one."""
    if not pattern:
        raise ValueError("The pattern is empty; give one number or more.")
    return tuple(pattern[k % len(pattern)] for k in range(places))


def _checked(overall_mm: float, count: int, width_mm: float) -> None:
    if not overall_mm > 0:
        raise ValueError(f"The overall is {overall_mm:g} mm; give more than 0.")
    if count < 1:
        raise ValueError(f"{count} is no number of parts; give 1 or more.")
    if not width_mm > 0:
        raise ValueError(f"A width is {width_mm:g} mm; give more than 0.")
