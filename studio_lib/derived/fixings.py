"""What holds a piece to house or floor, and what metal shows."""

from __future__ import annotations

import math
import re
from functools import cached_property

from studio_lib.derived.names import marked
from studio_lib.finding import Finding, Verdict
from studio_lib.forms import form
from studio_lib.forms.beside import SEATS
from studio_lib.piece import Piece

FIXING_WORDS, JOINING_WORDS, UPRIGHT_WORDS = ("fixing", "bracket", "shoe", "anchor", "upright"), ("join", "bolt", "tongue"), ("upright",)
"""By what words a screen's fixings, what joins its leaves, and the uprights it is clamped with are known among what is bought in."""

BOUGHT_MOST = 80
"""Letters of a line of what is bought in, at the most."""
UPRIGHTS_LINE = re.compile(r"\d+ steel uprights with clamps, ")

LEAF_BOLTS = 3
"""Connecting bolts in each joint of two leaves; a proposal of ours."""


class Fixings:
    """That part of ``studio_lib.derive.Derived``."""

    @property
    def metal(self) -> str:
        """Of the screws, bolts and plates of what stands here, of ``finishing.METALS``: the one chosen, else the one proposed."""
        return self.commission.timber.fixings_metal or self._metal_proposed[0]

    @property
    def metal_words(self) -> str:
        """What the metal is and on whose word, place by place where they differ."""
        if chosen := self.commission.timber.fixings_metal:
            return f"{chosen}, chosen here"
        said = {d.commission.brief.place: f"{d.metal}: {d._metal_proposed[1]}" for d in self.standing}
        return "; ".join(dict.fromkeys(f"{place}: {words}" if len(set(said.values())) > 1 else words for place, words in said.items()))

    @cached_property
    def _metal_proposed(self) -> tuple[str, str]:
        """The metal that place and timber ask for, and why; ``finishing/not_together.csv`` has what speaks against the others."""
        b = self.commission.brief
        acid = [s.name for s in self._timbers if s.tannin in ("some", "strong")]
        if b.by_the_sea:
            return "stainless steel 316 (A4)", "the common grade pits in salt air"
        if not b.place.startswith("indoors"):
            return "stainless steel", "plating is gone after some years of weather; brass or bronze will do as well"
        if acid:
            return "stainless steel", f"the acid of {', '.join(acid)} eats zinc and is stained by iron; brass or bronze will do as well"
        if self.species is None:
            return "stainless steel", "it suits every timber, and none is chosen yet"
        return "zinc-plated steel", f"dry, and in {self.species.name} there is no acid to eat it; brass or bronze where heads are seen"

    def seen_through(self, index: int) -> str:
        """How much of a screen's slats is open straight on, and from what angle they close; '' where there are none."""
        from studio_lib.structure.loads import serves

        m = self.made[index]
        slatted = form(m.item.form).slats(m.sizes)
        if not slatted or serves(m.item.form) != "screen":
            return ""
        wide, gap, thick = slatted
        side = "above or below" if m.sizes.get("way") == 1 else "the side"
        return (f"Straight on, {100 * gap / (gap + wide):.0f} % of its slats' field is open and shows what is behind; seen from {side} it closes from "
                f"{math.degrees(math.atan2(gap, thick)):.0f} degrees off straight. Thicker slats or closer ones close it sooner.")

    @property
    def to_settle(self) -> list[str]:
        """What holds and joins screens and is not among what is bought in yet, a line each."""
        out = []
        for i, m in enumerate(self.made):
            if clamped := self.uprights_of(i):
                if clamped in self.bought_in_waiting:
                    out.append(f"{clamped}, hot-dip galvanised or stainless, clamps with soft pads and screws to the {m.piece.name} with them: bought in; what each clamp must hold "
                               "is said on Sizes")
            elif (says := self.fixing_of(i)) and not self.bought(FIXING_WORDS) and not (self.maker_fixes_screens and self.fixings_of_screen(m)):
                out.append(f"fixings of the {m.piece.name}, {says}")
            if (says := self.joining_of(i)) and not self.bought(JOINING_WORDS):
                out.append(says)
        return out

    def bought(self, words: tuple[str, ...]) -> bool:
        """Whether something bought in for this job is called by one of such words."""
        return any(word in b.what.lower() for b in self.commission.rates.bought_in for word in words)

    def uprights_of(self, index: int) -> str:
        """'3 steel uprights with clamps' and their tube, as they are bought in for a screen clamped to a railing; '' for others."""
        m = self.made[index]
        clamps = form(m.item.form).clamps(m.sizes)
        return clamps.words(m.piece.overall_mm[2], m.item.count) if clamps else ""

    @property
    def bought_in_waiting(self) -> tuple[str, ...]:
        """What must be bought in for this job and has no line of the maker's yet: it waits for its price, and the quote with it."""
        wanted = [words for i, m in enumerate(self.made) if (words := self.uprights_of(i)) and not form(m.item.form).clamps(m.sizes).from_others]
        if not self.outdated_uprights:
            return () if self.bought(UPRIGHT_WORDS) else tuple(wanted)
        bought = {b.what for b in self.commission.rates.bought_in}
        return tuple(words for words in wanted if words[:BOUGHT_MOST] not in bought)

    @property
    def outdated_uprights(self) -> tuple[int, ...]:
        """Which lines of what is bought in name uprights in the words of ``uprights_of``, but as the screens were before; a line in the maker's
        own words is the maker's."""
        wanted = {words[:BOUGHT_MOST] for i in range(len(self.made)) if (words := self.uprights_of(i))}
        return tuple(i for i, b in enumerate(self.commission.rates.bought_in) if UPRIGHTS_LINE.match(b.what) and b.what not in wanted)

    def joining_of(self, index: int) -> str:
        """What joins several of a screen edge to edge, and how long they are together; '' where there is but one."""
        from studio_lib.piece.used import several
        from studio_lib.structure.loads import serves

        m = self.made[index]
        if m.item.count < 2 or serves(m.item.form) != "screen" or form(m.item.form).clamps(m.sizes):
            return ""
        uprights = [x for x in m.piece.members if x.role in ("stile", "post")]
        deep = 2 * max((x.width_mm for x in uprights), default=0.0)
        joints, each = m.item.count - 1, LEAF_BOLTS
        return (f"{m.item.count} {several(m.piece.name)} stand edge to edge, {m.item.count * m.piece.overall_mm[0]:.0f} mm together: what joins them is to be settled. "
                f"Proposed are {each} connecting bolts M6 of {m.piece.metal} through both stiles, {deep:.0f} mm of timber, at each of {joints} joint{'s' * (joints > 1)}, {each * joints} in all, "
                "near the top, near the foot and halfway, in holes of 7 mm; loose tongues keep them flush and hold nothing apart. Their price goes under 'Bought in'. A framed screen over the whole "
                "width, 'Leaves bolted together' on Sizes, has them counted and checked")

    def fixing_of(self, index: int) -> str:
        """How a screen is fixed and what each fixing must hold, a sentence for every paper; '' where it stands free or is no screen."""
        made = self.made[index]
        fixed = form(made.item.form).fixed(made.sizes)
        if not fixed:
            return ""
        loads = [f.says for f in self.size_findings if f.piece == made.piece.name and f.what.startswith("load on its fixing")]
        held = "fixed, to what is not named yet" if fixed == "not named" else f"fixed {fixed}"
        if (made.item.count > 1 or made.sizes.get("bolted", 1) > 1) and ("wall" in fixed or "between" in fixed):
            held += ", by the outer leaves only" if "between" in fixed else ", by the leaf that stands at it"
        return ": ".join(x for x in (held, "; ".join(loads)) if x)

    def hanging_of(self, index: int) -> str:
        """What hangs on the wall and what each of its screws must hold there; '' for what stands, or while no timber is chosen."""
        from studio_lib.structure.hung import ON_THE_WALL

        return next((f.says for f in self.size_findings if f.piece == self.made[index].piece.name and f.what == ON_THE_WALL), "")

    @property
    def backed_by_wall(self) -> tuple[str, ...]:
        """Names of the pieces that stand, their lid open and leant on, only because their back is against a wall."""
        from studio_lib.structure.opened import AT_WALL

        return tuple(f.piece for f in self.findings if f.only_where == AT_WALL)

    @property
    def tips_if_leant_on(self) -> tuple[str, ...]:
        """Names of the pieces that stand free and tip when someone leans on their open lid."""
        from studio_lib.structure.opened import OF_LIDS

        return tuple(f.piece for f in self.findings if f.what == OF_LIDS[0] and not f.stands)

    def at_wall_words(self, name: str) -> str:
        """How a piece of ``backed_by_wall`` stands: 'with its back to a wall, 22 mm off it'."""
        m = next(m for m in self.made if m.piece.name == name)
        off = form(m.item.form).off_wall_mm(m.sizes)
        return f"with its back to a wall, {off:.0f} mm off it" if off else "with its back against a wall"

    def held_by(self, piece: Piece, family: str):
        """What one joint of a family holds at design values; None while no timber is chosen or where nothing is on file."""
        from studio_lib.structure.strength import SERVICE_CLASS, strengths

        joint = next((j for j in piece.joints if j.family == family), None)
        if self.species is None or joint is None:
            return None
        woods = self.woods_of(piece)
        a, b = (woods[piece.member(r).timber] for r in (joint.first, joint.second))
        if a.missing() or b.missing():
            return None
        service = SERVICE_CLASS[next(m.brief.place for m in self.made if m.piece == piece)]
        return joint.holds(piece, strengths(a, service), strengths(b, service))

    def wall_behind(self, index: int) -> bool:
        """Whether nobody looks at a piece's back: it stands against a wall, as its sizes say or as cases with a back do."""
        made = self.made[index]
        stands = next((s for s in form(made.item.form).sizes if s.name == "stands"), None)
        if stands is not None and "back to a wall" in stands.choices:
            return bool(made.sizes.get("stands"))
        cased = made.item.form not in SEATS and any(m.role in ("back board", "back slat") for m in made.piece.members)
        return form(made.item.form).at_wall(made.sizes) or cased

    @cached_property
    def metal_findings(self) -> tuple[Finding, ...]:
        """Whether each piece keeps what the brief says of metal; () where it may be seen."""
        from studio_lib.piece.metal import metal_findings

        b, found = self.commission.brief, []
        for i, m in enumerate(self.made):
            if not b.no_metal:
                break
            ways = next((s.choices for s in form(m.item.form).sizes if s.name == "stands"), ())
            stands = ways[int(m.sizes["stands"])] if ways and "stands" in m.sizes else ""
            fixed = b.fixed_to_building or form(m.item.form).at_wall(m.sizes) or stands.startswith(("fixed", "clamped"))
            found += marked(m.piece, metal_findings(
                m.piece, b.no_metal, self._season_at(i), self.wall_behind(i), fixed, form(m.item.form).steadied_kg(m.sizes), b.finish == "paint",
            ))
        bought = [x.what for x in self.commission.rates.bought_in] if b.no_metal else []
        if bought:
            found.append(Finding(
                "bought in", "metal in what is bought in", Verdict.OPEN,
                f"{', '.join(bought)}: whether metal is in it, and shows, is not in the model",
                rule="what the brief says of metal", source="the price's bought-in work", stage="joints",
                mend="Ask the supplier, and tell the client before it is promised.",
            ))
        return tuple(found)

    def _season_at(self, index: int):
        """The year of one piece's place, where a timber is chosen whose movement is published; else None."""
        return None if self.species is None or self.movement_unknown else self.there(self.commission.items[index]).season

    def metal_kept(self, index: int, family: str):
        """How a family of joints of one piece keeps what the brief says of metal (``piece.metal.Kept``); None where it may show."""
        from studio_lib.piece.metal import kept

        return kept(self.made[index].piece, family, self.commission.brief.no_metal, self._season_at(index), self.wall_behind(index),
                    self.commission.brief.finish == "paint")

    @cached_property
    def heads_filled(self) -> int:
        """Screw heads that are sunk, filled and painted over, all pieces together, because none are to be seen; 0 where they may be, or nothing is painted."""
        from studio_lib.piece.metal import heads_filled

        b = self.commission.brief
        return sum(m.item.count * heads_filled(m.piece, b.no_metal, self.wall_behind(i)) for i, m in enumerate(self.made)) if b.finish == "paint" else 0

    def kinds_for(self, index: int, family: str) -> dict[str, bool]:
        """Kinds of joint that a family of one piece can become, and whether each is without metal (``piece.kinds.can_become``)."""
        from studio_lib.piece.kinds import can_become

        return can_become(self.made[index].piece, family, self._season_at(index))

    @cached_property
    def metal_promise(self) -> str:
        """What the papers may say of metal, in one sentence; empty unless every piece keeps what was asked."""
        found = self.metal_findings
        if not found or not all(f.stands for f in found):
            return ""
        if self.commission.brief.no_metal == "none at all":
            return "There is no metal in it."
        if self.commission.brief.no_metal == "no screws to be seen":
            return "No screws are to be seen: their heads are filled and painted over." if self.heads_filled else "No screws are to be seen."
        opens = any(j.lets == "turn" for p in self.pieces for j in p.joints)
        return "No metal is to be seen while it is shut." if opens else "No metal is to be seen."
