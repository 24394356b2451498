"""What is done and fitted where a piece is set up: who fixes it to floor, wall or ceiling and with what; what lies under its feet on loose ground."""

from __future__ import annotations

from functools import cached_property

from studio_lib.derived.fixings import FIXING_WORDS
from studio_lib.finding import Finding, Verdict
from studio_lib.forms import form
from studio_lib.forms.beside import SEATS, is_table
from studio_lib.structure.fixings import AT_WALL, BOTH, RAILING, UNDER_CEILING
from studio_lib.structure.ground import PLATE, SLAB, SOURCE, Underlay, carried_n, several_of, underlay, weight_n
from studio_lib.structure.loads import serves

LOW_MM = 600.0
"""Pieces up to this height are not fixed unless they must be; judgement."""
FIXINGS_AT_TOP = 2
"""Fixings at the top of each piece that is fixed to a wall; common practice, no source."""
WALL_FIXING, WALL_SCREW, SCREEN_FIXING = "wall fixing", "wall screw", "screen fixing"
LOOSE = ("gravel", "grass")
"""Ground on which something is laid under feet; judgement of ours."""
BEARS = "bearing on gravel"
HEAVY_KG = 5.0
"""A slab is said to weigh from so much on; judgement of ours. [kg]"""
LEFT = "left to the client"


class SetUp:
    """That part of ``studio_lib.derive.Derived``."""

    def to_wall(self, index: int) -> bool:
        """Whether a piece is fixed to the wall: as its sizes say; else what is taller than ``LOW_MM``, where the brief says so or a wall was named for it.

        No screen: that says by itself what holds it. A table or a seat only where a wall was named for it.
        """
        m = self.made[index]
        if serves(m.item.form) == "screen":
            return False
        if form(m.item.form).at_wall(m.sizes):
            return True
        wished = m.brief.fixed_to_building and "wall" not in m.sizes and not is_table(m.item.form) and m.item.form not in SEATS
        # Where something hangs, the wall that was named is what it hangs on.
        named = self.commission.handover.wall not in ("", "stands free") and not any(form(x.item.form).hung(x.sizes) for x in self.made)
        return m.piece.overall_mm[2] > LOW_MM and (wished or named)

    @property
    def at_the_wall(self) -> tuple:
        """The pieces that are fixed to the wall, as they are made."""
        return tuple(m for i, m in enumerate(self.made) if self.to_wall(i))

    @property
    def wall_fixings(self) -> int:
        """Pieces that the maker fixes to the wall, as far as that may be drilled, unless the maker says otherwise."""
        return sum(m.item.count for m in self.at_the_wall if not m.brief.nothing_drilled)

    @property
    def hung(self) -> int:
        """Pieces that hang on a wall and may be screwed there."""
        return sum(m.item.count for m in self.made if form(m.item.form).hung(m.sizes) and not m.brief.nothing_drilled)

    @property
    def _screws_hung(self) -> int:
        """Screws in the wall of all that hangs there, those of the lower rails with them."""
        from studio_lib.structure.hung import hung_at

        return sum(m.item.count * sum(m.piece.member(ref).role != "side" for ref, *_ in hung_at(m.piece, n))
                   for m in self.made if (n := form(m.item.form).hung(m.sizes)) and not m.brief.nothing_drilled)

    def fixings_of_screen(self, made) -> int:
        """Shoes, brackets and angles that hold a screen to floor, wall or ceiling; 0 where it stands free, is clamped, or nothing may be drilled."""
        fixed = form(made.item.form).fixed(made.sizes) if serves(made.item.form) == "screen" and not made.brief.nothing_drilled else ""
        uprights = made.item.count * sum(x.role in ("stile", "post") for x in made.piece.members)
        each = {RAILING: AT_WALL + 2, BOTH: 2 * AT_WALL}.get(fixed)
        if each is not None:
            return each
        wall = 0 if "wall" not in fixed else AT_WALL if fixed == "to a wall at one end" else 2
        # Under a ceiling a foot that is not screwed down is kept in a shoe as well.
        return wall + uprights * (("floor" in fixed) + ("ceiling" in fixed) + (fixed in UNDER_CEILING and "floor" not in fixed))

    @property
    def screen_fixings(self) -> int:
        """Fixings of screens that the maker fits, unless the maker says otherwise or has bought them in."""
        return 0 if self.bought(FIXING_WORDS) else sum(map(self.fixings_of_screen, self.made))

    @property
    def maker_fixes_screens(self) -> float:
        """How many fixings of screens the maker fits in this price: 0 where the client sees to it."""
        from studio_lib.costing.operations import FIX_SCREEN

        return dict(self.extra_work).get(FIX_SCREEN, 0.0)

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
        screws = self._screws_hung if self.maker_fixes else 0
        fixed = FIXINGS_AT_TOP * max(self.maker_fixes - self.hung, 0.0)
        walls = ((f"{WALL_FIXING}, screw and plug for its wall", fixed),) if fixed else ()
        walls += ((f"{WALL_SCREW}, coach screw with the plug for its wall", float(screws)),) if screws else ()
        held = ((f"{SCREEN_FIXING}, shoe or bracket with its screws", self.maker_fixes_screens),) if self.maker_fixes_screens else ()
        return walls + held + (tuple((u.what, float(n)) for u, n in self._by_size.values()) if self.maker_lays else ())

    @cached_property
    def under_feet(self) -> dict[str, Underlay]:
        """What lies under the feet of each piece that stands free on gravel or grass, by its name; nothing elsewhere."""
        out = {}
        for i, m in enumerate(self.made):
            if m.brief.ground in LOOSE and m.piece.members and not form(m.item.form).fixed(m.sizes):
                total = weight_n(self.weights_kg.get(m.piece.name)) + carried_n(serves(m.item.form), self.loads(i), m.piece)
                found = underlay(m.piece, PLATE if m.brief.under_feet == "plates" else SLAB, total)
                if found:
                    out[m.piece.name] = found
        return out

    @property
    def _by_size(self) -> dict[str, tuple[Underlay, int]]:
        """What lies under feet, each size once, and how many of it."""
        out: dict[str, tuple[Underlay, int]] = {}
        for m in self.made:
            if (u := self.under_feet.get(m.piece.name)) is not None:
                out[u.what] = (u, out.get(u.what, (u, 0))[1] + u.count * m.item.count)
        return out

    @property
    def to_be_laid(self) -> dict[str, int]:
        """Work of laying it, by operation: none where it is left to the client."""
        from studio_lib.costing.operations import BED_SLABS, SCREW_PLATES

        if self.commission.brief.under_feet == LEFT:
            return {}
        out = {BED_SLABS: 0, SCREW_PLATES: 0}
        for u, n in self._by_size.values():
            out[BED_SLABS if u.kind.bedded else SCREW_PLATES] += n
        return {operation: n for operation, n in out.items() if n}

    @property
    def maker_lays(self) -> bool:
        """Whether what lies under the feet is the maker's, in this price."""
        counted = dict(self.extra_work)
        return any(counted.get(operation) for operation in self.to_be_laid)

    @property
    def laid_kg(self) -> float:
        """What the slabs or plates weigh that the maker brings. [kg]"""
        return sum(u.kg * n for u, n in self._by_size.values()) if self.maker_lays else 0.0

    @property
    def laid_words(self) -> list[str]:
        """'6 slabs of concrete or stone, 300 x 300 x 40 mm, bedded under the feet of the bench', a line each size."""
        out = []
        for what, (u, n) in self._by_size.items():
            names = [f"the {m.piece.name}" for m in self.made if (own := self.under_feet.get(m.piece.name)) and own.what == what]
            out.append(f"{several_of(u, n)}, {'bedded' if u.kind.bedded else 'screwed'} under the feet of {' and '.join(names)}")
        return out

    def laid_under(self, made) -> str:
        """What lies under the feet of one piece and who lays it, a sentence for the installation note; '' where nothing is laid."""
        u = self.under_feet.get(made.piece.name)
        if u is None:
            return ""
        ground, one = made.brief.ground, u.count == 1
        each = " for each" if made.item.count > 1 else ""
        off = "Rake the gravel off" if ground == "gravel" else "Cut the turf out"
        if not u.kind.bedded:
            how = f"It is screwed onto {u.many}{each}, the end grain of the feet sealed first. Firm the {ground} under each and bring them level."
        elif one:
            how = f"All its feet stand on {u.many}{each}. {off}, firm what is under it, and bed the slab level, its top just over the {ground}."
        else:
            how = (f"Its feet stand on {u.many}{each}. {off}, firm what is under it, and bed each slab so that its top stands just over the {ground}, "
                   "all their tops level; the feet stand on their middles.")
        heavy = f" {'It' if one else 'One of them'} weighs {u.kg:.0f} kg." if u.kg >= HEAVY_KG else ""
        who = "The maker brings and lays them, in the price." if self.maker_lays else "Not in the price: the client has them laid before the day."
        return f"{how}{heavy} {who}"

    @property
    def ground_findings(self) -> tuple[Finding, ...]:
        """Whether each piece that stands on gravel sinks: its feet alone, and on what is laid under them."""
        out = []
        for m in self.made:
            u = self.under_feet.get(m.piece.name)
            if u is None or m.brief.ground != "gravel":
                continue
            bare = (f"its feet alone press {u.bare_kpa:.0f} kN/m2 on the narrowest of them, where loose gravel bears about {u.bare_bears_kpa:.0f}: "
                    + ("they sink" if u.bare_kpa > u.bare_bears_kpa else "they do not sink, but they stay wet"))
            laid = f"on {u.many}, it is {u.pressed_kpa:.0f} of {u.bears_kpa:.0f}"
            who = "" if self.maker_lays else "; the client has them laid before the day, as the quote says"
            out.append(Finding(
                m.piece.name, BEARS, Verdict.STANDS if u.holds else Verdict.LOOK_AGAIN, f"{bare}; {laid}{who}", u.pressed_kpa, u.bears_kpa, "kN/m2",
                "what lies under the feet is broad enough not to sink in loose gravel", f"{SOURCE}; the hardest pressed foot half over the mean, judgement of ours",
                "" if u.holds else "Choose slabs in place of plates under 'Where it stands' on the Brief page, or have firm ground made there.", "sizes", piece=m.piece.name,
            ))
        return tuple(out)
