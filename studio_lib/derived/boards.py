"""Boards: the cutting list, the layout, what is bought."""

from __future__ import annotations

from dataclasses import replace
from functools import cached_property

from studio_lib.derived.arrows import allowances, cutting_list_of, layout_of, offered, theirs_first
from studio_lib.stock.boards import Allowances, Board, Layout


class Boards:
    """That part of ``studio_lib.derive.Derived``."""

    @property
    def cutting_list(self):
        return cutting_list_of(self.counted)

    @property
    def wanted(self):
        from studio_lib.stock.cutting_list import turned, wanted

        return turned(wanted(self.cutting_list, self.marks, self.allowances.thickness_mm), self.offered, self.allowances)

    @cached_property
    def marks(self) -> dict:
        """What lines of the cutting list ask for, by reference; marks of lines that are gone are left out."""
        refs = {r.ref for r in self.cutting_list}
        return {m.ref: m for m in self.commission.boards.marks if m.ref in refs}

    @cached_property
    def matches(self):
        from studio_lib.stock.cutting_list import matches

        return matches(self.cutting_list, self.marks)

    @cached_property
    def _pins(self) -> tuple[tuple, str]:
        """Choices that stay, and which of them cannot."""
        from studio_lib.stock.matching import standing_pins

        return standing_pins(self.wanted, self.offered, self.matches, self.commission.boards.places)

    @property
    def pins(self):
        return self._pins[0]

    @property
    def layout_asked(self) -> dict:
        """What ``lay_out`` is asked with beside pieces and boards."""
        c = self.commission.boards
        return {
            "kerf_mm": c.kerf_mm, "allowances": self.allowances, "end_trim_mm": c.end_trim_mm, "resaw_kerf_mm": c.resaw_kerf_mm,
            "matches": self.matches, "pins": self.pins + self._laid[2], "first_cut": c.first_cut,
        }

    @cached_property
    def _theirs_first(self):
        """Pieces that the client's boards can make come from them, before any board that is bought or has leftovers to give.

        The maker's own choices and pieces that must match others go before.
        """
        if not self.their_boards or all(b.source == "client" for b in self.offered):
            return ()
        c, own = self.commission.boards, {b.ref for b in self.their_boards}
        matched = {ref for m in self.matches for ref in m.refs}
        pinned: dict[str, int] = {}
        for p in self.pins:
            pinned[p.piece_ref] = pinned.get(p.piece_ref, 0) + (p.count if p.board_ref in own else 0)
        # Of a line that the maker has a choice for, only what is kept on their boards takes up room there.
        lines = tuple(
            replace(w, count=pinned.get(w.ref, w.count)) for w in self.wanted
            if w.ref not in matched and pinned.get(w.ref, w.count) and not pinned.get(w.ref, w.count) % w.leaves
        )
        return theirs_first(
            lines, self.their_boards, c.kerf_mm, c.resaw_kerf_mm, c.end_trim_mm, self.allowances,
            tuple(p for p in self.pins if p.board_ref in own), c.first_cut,
        )

    @cached_property
    def offered(self) -> tuple[Board, ...]:
        """What the layout may cut; a client's board that nobody can name stands for the timber chosen."""
        chosen = self.commission.timber.species or ""
        seen = (replace(b, timber=chosen) if b.source == "client" and not b.timber and chosen else b for b in offered(self.commission.boards))
        if not self.commission.brief.their_timber.marks_may_show:
            return tuple(seen)
        from studio_lib.stock.let_show import let_show

        return tuple(let_show(b) if b.source == "client" else b for b in seen)

    @property
    def allowances(self) -> Allowances:
        return allowances(self.commission.boards)

    @cached_property
    def _laid(self) -> tuple[Layout, str, tuple]:
        import json

        c = self.commission.boards
        kept = json.dumps(c.kept_layout) if c.kept_layout else ""
        return layout_of(
            self.wanted, self.offered, c.kerf_mm, c.resaw_kerf_mm, c.end_trim_mm, self.allowances, kept,
            self.matches, self.pins, c.first_cut, self._theirs_first,
        )

    @property
    def layout(self) -> Layout:
        """The layout the maker kept, while it fits; else a first one found at once."""
        return self._laid[0]

    @property
    def layout_is_kept(self) -> bool:
        return bool(self.commission.boards.kept_layout) and not self._laid[1]

    def expected_yield(self, timber: str, grade: str = ""):
        """Finished over bought to count on before there is a layout, from past jobs (``stock.yields.Learnt``)."""
        from studio_lib.stock.yields import expected

        return expected(self.known.yields, timber, grade)

    @cached_property
    def reserves(self):
        """Boards to add to those bought unseen, by grade."""
        from studio_lib.stock.buying import reserves

        shares = {s.name: s.yield_pct for s in self.commission.boards.stock}
        return reserves(self.purchases, lambda b: shares.get(b.ref.rpartition(" ")[0].rpartition(" ")[0]))

    @cached_property
    def phone_list(self):
        """What to ask the yards for."""
        from studio_lib.stock.buying import phone_list

        asked = self.commission.boards.moisture_asked_pct
        return phone_list(self.purchases, self.making_moisture_pct if asked is None else asked, self.reserves, self.commission.shown.inches)

    @property
    def layout_change(self) -> str:
        """What a change did to the kept layout: what still comes out where it did; '' while it holds."""
        from studio_lib.stock.reasons import what_changed

        kept = self.commission.boards.kept_layout
        return what_changed(Layout.from_plain(kept), self.layout) if kept and self._laid[1] else ""

    @property
    def purchases(self):
        from studio_lib.stock.buying import purchases

        return purchases(self.layout, self.offered)
