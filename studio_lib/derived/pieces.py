"""Pieces: settled sizes, members, weights, gaps."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from studio_lib.brief.said import writes_asked
from studio_lib.commission import Brief, Item
from studio_lib.derived.arrows import key, piece_of, sizes_of
from studio_lib.derived.names import letter
from studio_lib.forms import Proposal, form
from studio_lib.forms.beside import OWN_PLACE, SEATS, Table, brief_at, brief_here, is_low, is_table, slides_in, table_of, written_at
from studio_lib.forms.family import Taken, take_sections
from studio_lib.piece import Piece
from studio_lib.structure.loads import serves


@dataclass(frozen=True)
class Made:
    """One piece of the commission with all that belongs to it."""

    item: Item
    sizes: dict[str, float]
    proposals: Mapping[str, Proposal]
    piece: Piece
    brief: Brief
    """As it is for this piece: on a bench at a table sit as many as go between its legs."""
    at_table: bool = False
    """A seat that stands at the table of the commission that is eaten at."""
    holds_in_wind: bool = True
    """False of a screen whose form has no sections that hold in the gust of its place."""

    @property
    def elsewhere(self) -> str:
        """Its place where that is not the brief's; ''."""
        return self.brief.place if getattr(self.brief, "elsewhere", False) else ""

    @property
    def table(self) -> str:
        """'eaten at', 'written at' or 'low' of a table as it stands; '' of what is no table."""
        if not is_table(self.item.form):
            return ""
        if self.item.form == "table" and written_at(self.brief):
            return "written at"
        return "low" if is_low(self.brief, self.sizes.get("height_mm", math.inf)) else "eaten at"

    @property
    def at_wall(self) -> bool:
        """Whether it stands with its back at a wall: as the maker says, fixed to one, or between walls."""
        return self.item.stands == "at a wall" or bool(
            self.item.form not in SEATS and not self.table
            and (form(self.item.form).at_wall(self.sizes) or self.sizes.get("stands") or form(self.item.form).between(self.sizes)))


class Pieces:
    """That part of ``studio_lib.derive.Derived``."""

    @cached_property
    def made(self) -> tuple[Made, ...]:
        """Every piece of the commission, laid out. Raises SizeRefused for a size that cannot be."""
        brief = self.commission.brief
        out, first = [], self._first_table
        table = self._sat_at
        tables = self.commission.items[first].count if first is not None else 1
        benched = sum(item.count for item in self.commission.items if item.form == "bench" and self._goes_to_table(item))
        for i, item in enumerate(self.commission.items):
            item_json, at, own = key(item), table if self._goes_to_table(item) else None, self.brief_for(item)
            around = self.there(item).around
            if i == first:
                own = self._brief_of_table
            elif is_table(item.form):
                own = self._brief_of(item)
            elif item.form == "bench":
                people, under = brief.people, bool(at) and slides_in(item.form, brief.asked, item.sizes)
                if at and benched > 1:
                    people = math.ceil(people * tables / benched)  # so many sit at each table
                if under:
                    people = at.side_by_side(people)
                if people < brief.people or item.count > 1:
                    own = brief_here(own, people=people, shared_out=bool(at) and benched > 1, ordered=item.count)
            elif item.count > 1 and serves(item.form) == "screen":
                own = brief_here(own, ordered=item.count)
            sizes, proposals = sizes_of(item_json, key(own), around, at)
            sizes, proposals = self._as_theirs_hold(item, item_json, own, around, i, at, sizes, proposals)
            sizes, proposals, holds = self._held_in_wind(item, item_json, own, key(own), around, letter(i), sizes, proposals)
            out.append(
                Made(item, sizes, proposals, piece_of(item_json, tuple(sizes.items()), around, letter(i)), own, at is not None, holds)
            )
        return tuple(out)

    def followed(self, before: Pieces, path: str) -> str:
        """Which counts and choices of a piece are others than ``before``, only because the size at ``path`` is another: a sentence; '' for none.

        They follow what is proposed; a figure of the maker's own never changes by itself.
        """
        steps = path.split(".")
        if steps[0] != "items" or steps[2:3] != ["sizes"] or len(steps) != 4:
            return ""
        index = int(steps[1])
        if max(index, 0) >= min(len(before.made), len(self.made)) or before.made[index].item.form != self.made[index].item.form:
            return ""
        was, now = before.made[index], self.made[index]
        made = form(now.item.form)
        idle = {*made.unused(was.sizes), *made.unused(now.sizes), *was.item.sizes, *now.item.sizes, steps[3]}
        said = [
            f"{s.label}: {s.words(now.sizes[s.name])} instead of {s.words(was.sizes[s.name])}" for s in made.sizes
            if s.whole and s.name not in idle and now.sizes[s.name] != was.sizes[s.name]
        ]
        return f"This changed with it. {'; '.join(said)}. Set {'it' if len(said) == 1 else 'one'} yourself and it stays." if said else ""

    def brief_for(self, item: Item) -> Brief:
        """The brief as one piece sees it: by where it stands (``forms.beside.brief_at``), and without what the client says of other pieces alone."""
        from studio_lib.brief.heard_pieces import words_for

        brief, items = brief_at(self.commission.brief, item.place), self.commission.items
        if len(items) < 2 or not brief.asked:
            return brief
        asked = words_for(brief.asked, tuple((i.form, i.name) for i in items), next(k for k, i in enumerate(items) if i is item))
        return brief if asked == brief.asked else brief.model_copy(update={"asked": asked})

    def there(self, item: Item):
        """What follows of timber, moisture and season where one piece stands: this itself where it stands as the brief says."""
        return self._elsewhere.get(item.place, self)

    @cached_property
    def _elsewhere(self) -> dict:
        """For each place but the brief's where a piece stands, what follows of the pieces there."""
        c = self.commission
        return {
            place: type(self)(c.model_copy(update={
                "brief": brief_at(c.brief, place), "items": tuple(i for i in c.items if i.place == place),
            }), self.known)
            for place in dict.fromkeys(i.place for i in c.items if i.place not in ("", c.brief.place))
        }

    @cached_property
    def standing(self) -> tuple:
        """What follows in each place where a piece stands, the hardest on timber first; the brief's own while there is no piece."""
        from studio_lib.timber.moisture import PLACES

        c = self.commission
        own = (self,) if not c.items or any(i.place not in self._elsewhere for i in c.items) else ()
        return tuple(sorted((*own, *self._elsewhere.values()), key=lambda d: -list(PLACES).index(d.commission.brief.place)))

    @property
    def places(self) -> tuple[str, ...]:
        """Where the pieces stand, the place that is hardest on timber first."""
        return tuple(d.commission.brief.place for d in self.standing)

    @property
    def places_words(self) -> str:
        """'outdoors, in the weather'; by piece where they stand in several places."""
        if len(self.standing) == 1:
            return self.places[0]
        named = [(", ".join(i.name for i in self.commission.items if self.there(i) is d), d.commission.brief.place) for d in self.standing]
        return "; ".join(f"{names} {place}" for names, place in named)

    @property
    def hardest(self) -> Brief:
        """The brief as the piece sees it that stands where timber has it hardest: it decides timber, glue and finish."""
        return self.standing[0].commission.brief

    @property
    def _first_table(self) -> int | None:
        """The first table among the items that is eaten at, else written at, where there is one and a seat to stand at it."""
        items = self.commission.items
        sat_at = [i for i, item in enumerate(items) if is_table(item.form) and not self._is_low(item)]
        at = min(sat_at, key=lambda i: items[i].table == "written at", default=None)
        return at if any(map(self._goes_to_table, items)) else None

    def _goes_to_table(self, item: Item) -> bool:
        """Whether a piece is a seat that stands at a table, where there is one to eat at; a table elsewhere is none to it."""
        own = self.commission.brief.place
        tables = {t.place or own for t in self.commission.items if is_table(t.form)}
        return item.form in SEATS and item.stands not in OWN_PLACE and (not tables or (item.place or own) in tables)

    def _brief_of(self, item: Item) -> Brief:
        """The brief as a table sees it of which the maker, or else the client in their words, said whether people eat or write at it."""
        brief = self.brief_for(item)
        said = item.table or ("written at" if item.form == "table" and writes_asked(brief) else "")
        return brief_here(brief, table=said) if said else brief

    def _is_low(self, item: Item) -> bool:
        """Whether a table is low, before it is laid out: by what is said of it, by its height, or by the height allowed."""
        most = self.commission.brief.most_height_mm
        return is_low(self._brief_of(item), item.sizes.get("height_mm", math.inf if most is None else most))

    @cached_property
    def _brief_of_table(self) -> Brief:
        """The brief as the first table sees it: whether all sit on benches along its sides."""
        table = self.commission.items[self._first_table]
        brief, seats = self._brief_of(table), list(filter(self._goes_to_table, self.commission.items))
        if sum(item.count for item in seats) < 2 or any(item.form != "bench" for item in seats):
            return brief
        under = all(slides_in(item.form, brief.asked, item.sizes) for item in seats)
        return brief_here(brief, benches="under" if under else "before", table=table.table)

    @cached_property
    def _sat_at(self) -> Table | None:
        """The first table as its seats know it; None where there is none, or no seat."""
        at = self._first_table
        if at is None:
            return None
        item, around = key(self.commission.items[at]), self.there(self.commission.items[at]).around
        sizes, _ = sizes_of(item, key(self._brief_of_table), around, None)
        return table_of(piece_of(item, tuple(sizes.items()), around, letter(at)))

    def sections_from(self, index: int, source: int) -> Taken:
        """What one piece takes from another of the commission, to look like it: sections of legs, rails, slats. IndexError for none."""
        one, other = self.made[index], self.made[source]
        return take_sections(other.item, other.sizes, one.item, one.sizes, one.brief, self.there(one.item).around, self._sat_at if one.at_table else None, letter(index))

    @property
    def pieces(self) -> tuple[Piece, ...]:
        """Every piece that has a member; a freehand one just begun has none yet."""
        return tuple(m.piece for m in self.made if m.piece.members)

    @property
    def piece(self) -> Piece:
        """The first piece; the only one in most commissions."""
        if not self.pieces:
            raise LookupError("This commission has no piece yet. Add one on the Brief page.")
        return self.pieces[0]

    @property
    def counted(self) -> tuple[tuple[Piece, int], ...]:
        return tuple((m.piece, m.item.count) for m in self.made if m.piece.members)

    @cached_property
    def weights_kg(self) -> dict[str, float]:
        """Weight of each piece by name, its timber and what is set low to steady it; empty while no species is chosen. [kg]"""
        from studio_lib.solids import volume_mm3

        if self.species is None:
            return {}
        weights = {}
        for m in self.made:
            p = m.piece
            if not p.members:
                continue
            woods = self.woods_of(p)
            weights[p.name] = form(m.item.form).steadied_kg(m.sizes) + sum(volume_mm3(p.shape(x.ref)) * 1e-9 * woods[x.timber].density_kg_m3 for x in p.members)
        return weights

    @cached_property
    def slat_gaps(self) -> dict[str, tuple[float, float, float]]:
        """Gap between slats at the wettest, when made and at the driest, by piece. [mm]

        Empty while no timber is chosen, or where nobody has published how it moves.
        """
        if self.species is None or self.movement_unknown:
            return {}
        gaps = {}
        for m in self.made:
            slatted = form(m.item.form).slats(m.sizes)
            if slatted is None:
                continue
            width, gap, _ = slatted
            there = self.there(m.item)
            gaps[m.piece.name] = (
                gap - there.movement_mm(width, there.moisture.high_pct),
                gap,
                gap - there.movement_mm(width, there.moisture.low_pct),
            )
        return gaps

    @cached_property
    def movement_unknown(self) -> str:
        """Why the timber's movement cannot be reckoned; empty when it can."""
        try:
            for pct in (self.moisture.low_pct, self.moisture.high_pct):
                self.movement_mm(100.0, pct)
        except ValueError as error:
            return str(error)
        return ""
