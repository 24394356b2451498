"""People and place: who uses it, and a first idea of the money."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cached_property

from studio_lib.forms import form
from studio_lib.forms.beside import Here, is_table, suits_with_seats, table_of
from studio_lib.forms.desk import desk_suits
from studio_lib.forms.form import users_of


class Place:
    """That part of ``studio_lib.derive.Derived``."""

    @cached_property
    def users(self):
        """Who uses it, as sizes are proposed for. Raises ValueError for no one at all."""
        return users_of(self.commission.brief)

    @property
    def children(self) -> bool:
        """Whether children come near it: they use it, or it stands in public."""
        return self.commission.brief.near_children

    @property
    def fitted(self) -> bool:
        """Whether every piece is fitted into a place that sets its size."""
        return bool(self.made) and all(form(m.item.form).set_by_place(m.sizes) for m in self.made)

    @cached_property
    def ballpark(self):
        """A first range of price and time; None while no piece is asked for.

        Counted from the pieces at their present sizes, timber by volume; from the starting table and past jobs while a
        piece cannot be laid out.
        """
        from studio_lib.brief.ballpark import Wanted, ballpark, counted_ballpark, kind_of

        c = self.commission
        if not c.items:
            return None
        wanted = [
            Wanted(kind_of(i.form, i.place or c.brief.place, is_table(i.form) and self._is_low(i)), i.count, c.brief.people) for i in c.items
        ]
        if c.brief.brings_timber and self.rough_price is not None and self._hours_known:
            # What is theirs and what is bought is on the list of boards.
            return counted_ballpark(self.price, wanted, f"as their boards lie: {self.share_words()}".rstrip(". ") if self.their_share else "", self.fitted)
        if self.rough_price is not None:
            return counted_ballpark(self.rough_price, wanted, self.cover_words, self.fitted)
        theirs_m3 = sum((b.count or 1) * b.volume_mm3 for b in self.their_boards) * 1e-9
        return ballpark(
            wanted, c.brief.place, c.brief.use, c.rates, self.known.past_jobs,
            theirs_m3 * float(self.price_per_m3(c.timber.species or "").amount), self.cover_words,
        )

    @property
    def reckoned(self) -> tuple[str, ...]:
        """Each piece as the ballpark reckons it, in a line; by the usual of its kind while it cannot be laid out."""
        from studio_lib.brief.ballpark import reckoned_words

        try:
            return tuple(
                reckoned_words(form(m.item.form), m.sizes, m.piece, m.item.count) if m.piece.members
                else f"{m.item.form} of the usual size" for m in self.made
            )
        except (ValueError, LookupError):
            return tuple(f"{i.form} of the usual size" for i in self.commission.items)

    def suits(self, index: int):
        """Whose body decides each size of a piece, and what share it suits as it stands, by size."""
        made = self.made[index]
        if made.table == "low":
            return {}  # nobody sits at it
        try:
            users = users_of(made.brief)
            if isinstance(made.brief, Here) and made.brief.ordered > 1 and not made.brief.shared_out:
                users = replace(users, at_once=math.ceil(users.count / made.brief.ordered))
            suits = form(made.item.form).suits(made.sizes, users)
            if made.table == "written at":
                at = table_of(made.piece)
                return desk_suits(suits, at.top_mm, at.under_mm, users)
            if index == self._first_table and self._sat_at:
                seat = next((m.sizes["height_mm"] for m in self.made if m.at_table), None)
                suits = suits_with_seats(suits, self._sat_at, made.brief, users, seat)
            return suits
        except ValueError:
            return {}  # a size beyond anybody's body: the size's own checks speak of it
