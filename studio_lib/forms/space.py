"""Whether a piece fits the space that the brief gives it, and is no larger than was asked."""

from __future__ import annotations

from studio_lib.commission import Brief
from studio_lib.finding import Finding, from_ratio

MOST = ("longer", "deeper", "higher")


def room_findings(
    name: str, long_mm: float, deep_mm: float, brief: Brief, labels: tuple[str, str] = ("length", "depth"), *, high_mm: float | None = None,
) -> list[Finding]:
    """One finding for each size that the brief limits; ``labels`` are what the first two sizes are called. [mm]"""
    found = [
        from_ratio(
            name, f"{label} in the space it has", size, space, "mm", rule="the piece fits the space given in the brief",
            source="brief", mend=f"Make it {space:.0f} mm, or measure the space again.", stage="sizes", look_again_from=1.0,
            says=_says(size, space, "in a space of"),
        )
        for label, size, space in zip(labels, (long_mm, deep_mm), (brief.space_length_mm, brief.space_width_mm)) if space is not None
    ]
    limits = (brief.most_length_mm, brief.most_width_mm, brief.most_height_mm)
    for label, size, most, words in zip((*labels, "height"), (long_mm, deep_mm, high_mm), limits, MOST):
        if most is not None and size is not None:
            found.append(from_ratio(
                name, f"{label}, at the most", size, most, "mm", rule=f"no {words} than {most:.0f} mm, as the brief asks", source="brief",
                mend=f"Take {size - most:.0f} mm off its {label}, or ask whether it may be {words}.", stage="sizes", look_again_from=1.0,
                says=_says(size, most, "where the brief allows"),
            ))
    return found


def within(value: float, *limits: float | None, least: float = 0.0) -> float:
    """A proposed size kept within what limits it, as far down as the form can be made. [mm]"""
    return max(min(value, *(x for x in limits if x is not None)) if any(x is not None for x in limits) else value, least)


def _says(size: float, most: float, how: str) -> str:
    over = size - most
    return f"{size:.0f} mm {how} {most:.0f} mm" + (f": {over:.0f} mm too much" if over > 0 else "")
