"""Details of moving wood that a maker tries out by name, each with the sizes it asks for."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from studio_lib.timber import provisions as p
from studio_lib.timber.provisions import Provision, Swing


@dataclass(frozen=True)
class Ask:
    """One size that a detail asks for, and a figure to begin with."""

    name: str
    words: str
    begin: float


@dataclass(frozen=True)
class Detail:
    """One way of letting wood move, ready to be tried."""

    name: str
    across: str
    """What is as wide as the size given: 'panel', 'top', 'drawer front'."""
    begin_mm: float
    """A size across the grain to begin with. [mm]"""
    asks: tuple[Ask, ...]
    judge: Callable[[Swing, dict[str, float]], Provision]

    def figures(self, given: dict[str, float]) -> dict[str, float]:
        """All figures asked for, those not given as they begin. Raises ValueError for a name it does not ask for."""
        unknown = sorted(set(given) - {a.name for a in self.asks})
        if unknown:
            raise ValueError(
                f"A {self.name} asks for no {', '.join(unknown)}; it takes "
                f"{', '.join(a.name for a in self.asks) or 'no figures'}"
            )
        return {a.name: float(given.get(a.name, a.begin)) for a in self.asks}

    def refuse(self, size_mm: float, figures: dict[str, float]) -> None:
        """Raise ValueError, saying what is allowed, for sizes that no timber makes possible."""
        try:
            self.judge(Swing(size_mm, 0.0, 0.0, "", ""), figures)
        except ValueError as error:
            said = str(error)
            for ask in self.asks:
                said = said.replace(f"fixings_{ask.name}", ask.words).replace(ask.name, ask.words)
            raise ValueError(said) from None


DETAILS: tuple[Detail, ...] = (
    Detail("panel in a groove", "panel", 400, (
        Ask("groove_depth_mm", "Groove depth", 12), Ask("tongue_mm", "Panel enters", 8), Ask("least_hold_mm", "Least hold", 3),
    ), lambda s, a: p.panel_in_groove(s, a["groove_depth_mm"], a["tongue_mm"], a["least_hold_mm"], True)),
    Detail("breadboard end", "top", 800, (
        Ask("from_middle_mm", "Fixing from the middle", 350), Ask("slot_mm", "Slot", 16),
        Ask("fixing_mm", "Peg or screw", 8),
    ), lambda s, a: p.breadboard_end(s, (a["from_middle_mm"],), a["slot_mm"], a["fixing_mm"])),
    Detail("slotted fixing", "part from where it is held fast to the fixing", 300, (
        Ask("slot_mm", "Slot", 12), Ask("fixing_mm", "Screw", 5),
    ), lambda s, a: p.slotted_fixing(s, a["slot_mm"], a["fixing_mm"])),
    Detail("top on buttons", "top, from its middle to the buttons", 400, (
        Ask("groove_depth_mm", "Groove depth", 12), Ask("tongue_mm", "Button enters", 7), Ask("least_hold_mm", "Least hold", 3),
    ), lambda s, a: p.top_on_buttons(s, a["groove_depth_mm"], a["tongue_mm"], a["least_hold_mm"])),
    Detail("drawer or door in an opening", "front", 200, (
        Ask("opening_mm", "Opening", 203), Ask("least_gap_mm", "Least gap", 1), Ask("most_gap_mm", "Most gap", 5),
    ), lambda s, a: p.in_opening(s, a["opening_mm"], a["least_gap_mm"], a["most_gap_mm"])),
    Detail("slats strung on a cable", "slat, along the cable", 60, (
        Ask("slats", "Slats", 20), Ask("spacer_mm", "Spacer", 12), Ask("take_up_mm", "Slack taken up", 6), Ask("give_mm", "Give", 4),
    ), lambda s, a: p.strung_stack(s, int(a["slats"]), a["spacer_mm"], a["take_up_mm"], a["give_mm"])),
    Detail("glue across the grain", "glued part", 70, (), lambda s, a: p.cross_grain_glue(s)),
    Detail("wide tenon", "rail", 110, (
        Ask("glued_mm", "Glued width", 50), Ask("slack_mm", "Slack for the rest", 3),
    ), lambda s, a: p.wide_tenon(s, a["glued_mm"], a["slack_mm"])),
    Detail("pegged shoulder", "stile, from shoulder to peg", 25, (
        Ask("most_gap_mm", "Most gap", 0.3),
    ), lambda s, a: p.pegged_shoulder(s, a["most_gap_mm"])),
    Detail("mitre", "frame's members", 60, (
        Ask("corner_deg", "Corner, degrees", 90), Ask("most_gap_mm", "Most gap", 0.3),
    ), lambda s, a: p.mitre(s, a["corner_deg"], a["most_gap_mm"])),
)


def detail(name: str) -> Detail:
    """The detail of that name. Raises KeyError listing those on file."""
    for one in DETAILS:
        if one.name == name:
            return one
    raise KeyError(f"There is no detail {name!r}. On file: {', '.join(d.name for d in DETAILS)}.")
