"""Whether a piece fits the space that the brief gives it."""

from __future__ import annotations

from studio_lib.commission import Brief
from studio_lib.finding import Finding, from_ratio


def room_findings(name: str, long_mm: float, deep_mm: float, brief: Brief, labels: tuple[str, str] = ("length", "depth")) -> list[Finding]:
    """One finding for each size that the brief limits; ``labels`` are what the two sizes are called. [mm]"""
    return [
        from_ratio(
            name, f"{label} in the space it has", size, space, "mm", rule="the piece fits the space given in the brief",
            source="brief", mend=f"Make it {space:.0f} mm, or measure the space again.", stage="sizes", look_again_from=1.0,
        )
        for label, size, space in zip(labels, (long_mm, deep_mm), (brief.space_length_mm, brief.space_width_mm)) if space is not None
    ]
