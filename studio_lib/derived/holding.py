"""What each piece holds: its loads, its strength and its balance."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import cache, cached_property

from studio_lib.derived.arrows import offered, structure_of
from studio_lib.derived.names import LEAVE, OF_ONE_SLAT, SHELF_SAG, marked
from studio_lib.derived.pieces import Made
from studio_lib.derived.set_up import LOOSE
from studio_lib.derived.windy import none_holds, sections_set, wind_n
from studio_lib.finding import Finding, Verdict
from studio_lib.forms import form
from studio_lib.forms.beside import DINING_FROM_MM, arms_at, sat_at
from studio_lib.forms.clamped import screwed_to_wall
from studio_lib.forms.form import users_of
from studio_lib.forms.sloping import fall_findings
from studio_lib.forms.space import around_table, in_rows, row_finding
from studio_lib.piece import Piece


PUSHED = "pushed at the top"
TIPPED = ("pulled over", "wind")
"""How the names of checks begin that a screen of no size yet cannot fail."""


def _to_be_asked(f: Finding) -> Finding:
    """That a screen tips at sizes nobody asked for: a question, not a stop."""
    if f.verdict is not Verdict.FAILS or not (f.what.startswith(TIPPED) or f.what == LEAVE and f.subject.endswith("stands in the wind")):
        return f
    return replace(f, verdict=Verdict.OPEN, says=f"how wide and high it is to be is not said yet; at the sizes taken meanwhile, {f.says}",
                   mend="Ask for width and height, and set them on Sizes.")


def _from_to(piece: Piece) -> tuple[float, float]:
    """Lowest and highest of a piece above the floor. [mm]"""
    boxes = [m.piece_box for m in piece.members]
    return min(b.lo[2] for b in boxes), max(b.hi[2] for b in boxes)


class Holding:
    """That part of ``studio_lib.derive.Derived``."""

    @cached_property
    def wood(self):
        """Figures for strength of the chosen timber, with any stand-in the maker accepted."""
        return self._wood_of(self.species)

    def _wood_of(self, s):
        from studio_lib.structure.strength import Wood
        from studio_lib.timber import stand_in

        accepted, taken = self.commission.timber.stand_ins, []

        def figure(field: str, factor: float):
            value = getattr(s, field)
            if value is None and field in accepted:
                value, why = stand_in(s, field)
                taken.append(why)
            return None if value is None else value * factor

        density = s.density_12pct_kg_m3 or stand_in(s, "density_12pct_kg_m3")[0]
        return Wood(
            s.name, density, figure("moe_gpa", 1000.0), figure("mor_mpa", 1.0), figure("shear_mpa", 1.0),
            s.compression_parallel_mpa, s.compression_perpendicular_mpa, s.group == "hardwood", tuple(taken),
        )

    def woods_of(self, piece: Piece) -> dict:
        """Figures for strength of every timber in a piece, by the name its members carry."""
        names = dict.fromkeys(m.timber for m in piece.members)
        return {n: self.wood if n == self.commission.timber.species else self._wood_of(self.library.timber(n)) for n in names}

    def to_be_slimmed(self, index: int):
        """One piece as ``structure.slender`` takes it. Raises LookupError while no timber is chosen."""
        from studio_lib.structure.slender import Asked

        if self.species is None:
            raise LookupError("Choose a timber first: without one nothing can be said of what holds.")
        m, b = self.made[index], self.made[index].brief
        choices, timber = self.commission.boards, self.commission.timber.species
        return Asked(
            m.item.form, m.brief, self.there(m.item).around, m.sizes, dict(m.item.joints), m.item.adjustments, self.woods_of(m.piece), b.place, b.use,
            self._own_loads(index), tuple(sorted({o.thickness_mm for o in offered(choices) if o.timber == timber})), choices.dressing_mm,
            self._setting(index),
        )

    @cached_property
    def size_findings(self) -> tuple[Finding, ...]:
        found = []
        holds = {}
        for i, m in enumerate(self.made):
            fits, holds[m.piece] = self._one_sag(m, form(m.item.form).fit_weighed(
                m.piece, m.sizes, m.brief, self.loads(i), self.weights_kg.get(m.piece.name)))
            found += marked(m.piece, map(_to_be_asked, fits) if self._no_size_asked(m) else fits)
            if m.table == "eaten at" and m.piece.overall_mm[2] >= DINING_FROM_MM:
                found += marked(m.piece, around_table(m.piece.name, *m.piece.overall_mm[:2], m.brief))
            if m.at_table and not m.sizes.get("made_to"):
                found += marked(m.piece, sat_at(self._sat_at, m.piece.name, m.sizes["height_mm"], users_of(self.commission.brief)))
                found += marked(m.piece, arms_at(self._sat_at, m.piece) if self._sat_at else [])
            found += marked(m.piece, fall_findings(m.item.form, m.piece, m.brief))
            if form(m.item.form).at_wall(m.sizes):
                found += marked(m.piece, screwed_to_wall(m.piece, m.brief))
            found += marked(m.piece, self._children_and_gaps(m))
            if not m.holds_in_wind:
                found += marked(m.piece, [none_holds(m.piece.name, m.brief, sections_set(m.item), form(m.item.form).fixed(m.sizes))])
        found += self._in_a_row()
        found += self.ground_findings
        found += self._movement_findings()
        found += self._way_in()
        for m in self.made:
            found += marked(m.piece, (f for f in m.piece.findings if f.stage == "sizes"))
        for m in (m for m in self.made if m.piece.members):
            found += marked(m.piece, (self._where_feet_catch(f, m.brief.ground) for f in holds[m.piece] if f.stage == "sizes"))
        return tuple(found) + tuple(self._lifting())

    def _in_a_row(self) -> list[Finding]:
        """Whether what hangs, or stands at a wall several times over, is side by side no wider than the space that the client named."""
        from studio_lib.structure.loads import serves

        found = []
        for m, hangs in ((m, bool(form(m.item.form).hung(m.sizes))) for m in self.made if m.piece.members):
            if hangs or m.item.count < 2 or not m.brief.space_length_mm or not m.at_wall or serves(m.item.form) != "shelf" or form(m.item.form).between(m.sizes):
                continue
            found += marked(m.piece, [row_finding([(m.piece.name, m.piece.overall_mm[0])] * m.item.count, m.brief.space_length_mm, False)])
        for place in dict.fromkeys(m.item.place for m in self.made):
            here = [m for m in self.made if m.item.place == place and m.piece.members and form(m.item.form).hung(m.sizes)]
            space = here[0].brief.space_length_mm if here else None
            hung = [(m.piece.name, m.piece.overall_mm[0], *_from_to(m.piece)) for m in here for _ in range(m.item.count)]
            found += [row_finding(row, space, True) for row in in_rows(hung) if space and len(row) > 1]
        return found

    def _no_size_asked(self, m: Made) -> bool:
        """Whether nobody said yet how wide or high a screen is to be."""
        from studio_lib.structure.loads import serves

        b = m.brief
        said = [b.most_length_mm, b.most_height_mm, b.space_length_mm]
        said += [x for w in b.wishes or () if w.kind == "free-standing screen" for x in (w.height_mm, w.width_mm)]
        return serves(m.item.form) == "screen" and not any(said) and not {"length_mm", "height_mm"} & set(m.item.sizes)

    @staticmethod
    def _where_feet_catch(f: Finding, ground: str) -> Finding:
        """A push at the top, on ground that feet do not slide on."""
        if f.what != PUSHED or ground not in LOOSE or " slides first:" not in f.says:
            return f
        return replace(f, says=f"{f.says}. That is on a firm floor: in {ground} its feet catch and it does not slide, it tips")

    def _one_sag(self, m: Made, found: list[Finding]) -> tuple[list[Finding], list[Finding]]:
        """What a form finds and what its frame does, the sag of a shelf told once.

        The form takes a shelf's ends as only resting and asks what an eye sees; the frame counts how joints hold them. The
        one that uses more is kept, and says what the other comes to.
        """
        holds = list(self._holds(m.piece)) if m.piece.members else []
        own = max((f for f in found if f.what == "sag"), key=lambda f: f.utilisation or 0.0, default=None)
        framed = next((f for f in holds if f.what == SHELF_SAG), None)
        if own is None or framed is None:
            return found, holds
        if own.utilisation >= framed.utilisation:
            says = f"{own.says}, its ends only resting; as its joints hold them {framed.demand:.1f} mm, by the frame of the whole piece"
            return [replace(f, says=says) if f is own else f for f in found], [f for f in holds if f is not framed]
        says = f"{framed.says}, as its joints hold it under the load set for it; {own.demand:.1f} mm under the load on Sizes, its ends only resting"
        return [f for f in found if f is not own], [replace(f, says=says) if f is framed else f for f in holds]

    def loads(self, index: int) -> dict:
        """Loads of one piece by name, the maker's own figures on top."""
        from studio_lib.structure.loads import loads_of, serves

        loads = loads_of(serves(self.commission.items[index].form), self.commission.brief.use, self._own_loads(index), self.children,
                         self.sitters(index))
        return {n: replace(load, source=self._as_on_sizes(index, load.source)) if n == "books" else load for n, load in loads.items()}

    def _as_on_sizes(self, index: int, source: str) -> str:
        """On whose word a shelf's load stands: of the Sizes page, where the maker set none under Loads."""
        from studio_lib.structure.loads import names_of, serves

        item = self.commission.items[index]
        usual = names_of(serves(item.form), self.commission.brief.use).get("books")
        if usual is None or "books" in item.loads:
            return source
        return source.replace(f"the maker's own figure, for {usual.force_n:.0f} N/m2 by", f"the load on shelves on Sizes, over {usual.force_n:.0f} N/m2 by")

    def sitters(self, index: int):
        """Who sits on one piece and how, and whether it has a back to lean against."""
        return self._sitters_of(self.commission.items[index], self.made[index].piece)

    def _sitters_of(self, item, piece: Piece):
        from studio_lib.structure.loads import Sitters

        backed = any("back" in m.role and ("slat" in m.role or "rail" in m.role) for m in piece.members)
        return Sitters(self.commission.brief.heaviest_kg, item.leans_back, backed)

    def _own_loads(self, index: int) -> dict[str, float]:
        """The maker's loads that belong to what the piece is now, and what stands on single shelves."""
        from studio_lib.structure.loads import goods, named_on, names_of, serves

        item = self.commission.items[index]
        known = names_of(serves(item.form), self.commission.brief.use, self.children, self.sitters(index))
        own = {n: v for n, v in item.loads.items() if n in known}
        on_shelves = self._shelf_load_n_m2(index)
        if "books" in known and "books" not in own and on_shelves > known["books"].force_n:
            own["books"] = on_shelves
        if "books" in known:
            refs = {ref for ref, _ in self.shelves(index)}
            own |= {named_on(kept, ref): goods()[kept].force_n for ref, kept in {**self.stands_on(index), **item.on_shelves}.items() if ref in refs}
        return own

    def stands_on(self, index: int) -> dict[str, str]:
        """What the brief has stand on single shelves of one piece, by reference."""
        m = self.made[index]
        return form(m.item.form).stands_on(m.piece, m.sizes, m.brief)

    def shelves(self, index: int) -> list[tuple[str, str]]:
        """Shelves of one piece that things stand on, from the floor up: reference and name."""
        from studio_lib.structure.loads import serves

        if serves(self.commission.items[index].form) != "shelf":
            return []
        found = [m for m in self.made[index].piece.members if m.role in ("shelf", "bottom")]
        return [(m.ref, m.name) for m in sorted(found, key=lambda m: (round(m.piece_box.lo[2]), m.piece_box.lo[0]))]

    def _shelf_load_n_m2(self, index: int) -> float:
        """What stands on the shelves by the piece's own sizes; 0 where it has none. [N/m2]"""
        from studio_lib.structure.loads import G

        made = self.made[index]
        deep = next((max(w) for role in ("shelf", "bottom") if (w := [x.width_mm for x in made.piece.members if x.role == role])), 0.0)
        return round(G * made.sizes.get("load_kg_m", 0.0) / (deep / 1000)) if deep else 0.0

    def analysis(self, piece: Piece):
        """The frame of one piece: findings and bent shapes. Raises LookupError while no timber is chosen."""
        if self.species is None:
            raise LookupError("Choose a timber first: without one nothing can be said of what holds.")
        index = next((i for i, m in enumerate(self.made) if m.piece is piece or m.piece == piece), None)
        if index is None:
            raise LookupError(f"{piece.name} is no piece of this commission.")
        b = self.made[index].brief
        return structure_of(piece, tuple(self.woods_of(piece).items()), b.place, b.use, tuple(sorted(self._own_loads(index).items())), self._setting(index))

    def _setting(self, index: int):
        """What the brief and the sizes say of where a piece stands, for how it stands with its doors open."""
        m = self.made[index]
        return self._setting_of(m.item, m.sizes, m.brief, m.piece)

    def _setting_of(self, item, sizes: dict[str, float], brief, piece: Piece):
        from studio_lib.structure.opened import Setting

        made = form(item.form)
        railing = made.clamps(sizes)
        return Setting(
            self.children, made.at_wall(sizes), bool(sizes["stays"]) if "stays" in sizes else None,
            backed=bool(sizes.get("stands")), between=made.between(sizes),
            carpet=brief.ground == "carpet", fixed=made.fixed(sizes), in_row=item.count, wind_n=wind_n(item.form, sizes, brief),
            clamps=(railing.top_mm, railing.low_mm, railing.goes_up) if railing else None,
            railing_mm=brief.railing_mm, floor_falls_mm=brief.floor_falls_mm or 0.0, hung=made.hung(sizes),
            wall=self.commission.handover.wall, sitters=self._sitters_of(item, piece),
        )

    def deciding(self, piece: Piece) -> list[tuple]:
        """What uses most of what it has, the most first: (finding, bent shape); nothing while no timber is chosen.

        What bends has its shape; what only tips is told of, with None, where it does not stand, and one slat by itself always.
        """
        if self.species is None:
            return []
        a, rests = self.analysis(piece), next((f for f in self.size_findings if f.piece == piece.name and f.what == "sag"), None)
        told = [
            replace(f, says=f"{f.says}, as its joints hold it; told under Sizes as {rests.demand:.1f} mm of {rests.capacity:.1f} mm, its ends only resting")
            if rests and f.what == SHELF_SAG else f for f in a.findings
        ]
        both = [(f, b) for f, b in zip(told, a.bent) if f.utilisation is not None and (b is not None or not f.stands or f.what in OF_ONE_SLAT)]
        return sorted(both, key=lambda fb: -fb[0].utilisation)

    @cached_property
    def _holds(self) -> Callable[[Piece], tuple[Finding, ...]]:
        """What ``_what_holds`` says of one piece, which is asked of its sizes and of its joints."""
        return cache(self._what_holds)

    def _what_holds(self, piece: Piece) -> tuple[Finding, ...]:
        """Strength and balance of one piece; while no timber is chosen only how it stands open, at a middling weight."""
        if self.species is not None:
            at = next(i for i, m in enumerate(self.made) if m.piece == piece)
            found = ((f, self._as_on_sizes(at, f.source)) for f in self.analysis(piece).findings)
            return tuple(f if f.source == source else replace(f, source=source) for f, source in found)
        from studio_lib.forms.casework import MIDDLING
        from studio_lib.structure.opened import opened_findings
        from studio_lib.structure.strength import Wood

        index = next(i for i, m in enumerate(self.made) if m.piece == piece)
        middling = Wood("a middling timber", MIDDLING[0], MIDDLING[1], None, None)
        return tuple(opened_findings(piece, {m.timber: middling for m in piece.members}, self._setting(index)))
