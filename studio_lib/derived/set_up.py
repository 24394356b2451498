"""What is done and fitted where a piece is set up: who fixes it to the wall, and with what."""

from __future__ import annotations

from studio_lib.forms.beside import SEATS, is_table

LOW_MM = 600.0
"""Pieces up to this height are not fixed unless they must be; judgement."""
FIXINGS_AT_TOP = 2
"""Fixings at the top of each piece that is fixed to a wall; common practice, no source."""
WALL_FIXING = "wall fixing"


class SetUp:
    """That part of ``studio_lib.derive.Derived``."""

    def to_wall(self, index: int) -> bool:
        """Whether a piece is fixed to the wall: as its sizes say; else what is taller than ``LOW_MM``, where the brief says so or a wall was named for it.

        No screen: that says by itself what holds it. A table or a seat only where a wall was named for it.
        """
        from studio_lib.structure.loads import serves

        m = self.made[index]
        if serves(m.item.form) == "screen":
            return False
        if m.sizes.get("wall"):
            return True
        wished = m.brief.fixed_to_building and "wall" not in m.sizes and not is_table(m.item.form) and m.item.form not in SEATS
        return m.piece.overall_mm[2] > LOW_MM and (wished or self.commission.handover.wall not in ("", "stands free"))

    @property
    def at_the_wall(self) -> tuple:
        """The pieces that are fixed to the wall, as they are made."""
        return tuple(m for i, m in enumerate(self.made) if self.to_wall(i))

    @property
    def wall_fixings(self) -> int:
        """Pieces that the maker fixes to the wall, as far as that may be drilled, unless the maker says otherwise."""
        return sum(m.item.count for m in self.at_the_wall if not m.brief.nothing_drilled)

    @property
    def maker_fixes(self) -> float:
        """How many pieces the maker fixes to the wall in this price: 0 where the client sees to it."""
        from studio_lib.costing.operations import FIX_TO_WALL

        return dict(self.extra_work).get(FIX_TO_WALL, 0.0)

    def who_fixes(self, made) -> str:
        """Who fixes a piece of ``at_the_wall``, a sentence for the installation note."""
        if made.brief.nothing_drilled:
            return "How it is held, and by whom, is agreed before the day."
        return "The maker fixes it: it is in the price." if self.maker_fixes else "It is not in the price: the client has it fixed before it is used."

    @property
    def fitted_there(self) -> tuple[tuple[str, float], ...]:
        """(what, how many) of what is fitted where it stands and is priced with the job."""
        fixed = FIXINGS_AT_TOP * self.maker_fixes
        return ((f"{WALL_FIXING}, screw and plug for its wall", fixed),) if fixed else ()
