"""Work, materials and price."""

from __future__ import annotations

from dataclasses import replace
from functools import cached_property

from studio_lib.forms import form


class Money:
    """That part of ``studio_lib.derive.Derived``."""

    def _by_volume(self, lines) -> tuple:
        """Timber of [(timber, finished m3, cutting list's row)] by volume, a row a species; what is bought glued up in one of its own."""
        from studio_lib.costing.price import READY_SHARE, RoughTimber

        volumes: dict[tuple[str, bool], float] = {}
        thick: dict[tuple[str, bool], list[float]] = {}
        for timber, m3, row in lines:
            if m3 > 0:
                volumes[timber, row.ready] = volumes.get((timber, row.ready), 0.0) + m3
                thick.setdefault((timber, row.ready), []).append(row.thickness_mm)
        return tuple(
            RoughTimber(t, m3, READY_SHARE if ready else self.expected_yield(t).share, self._price_ready(t) if ready else self.price_per_m3(t),
                        tuple(dict.fromkeys(thick[t, ready])), ready)
            for (t, ready), m3 in volumes.items()
        )

    def _price_ready(self, timber: str):
        """A cubic metre of it bought glued up and planed."""
        from dataclasses import replace

        from studio_lib.costing.price import READY_TIMES

        sawn = self.price_per_m3(timber)
        return replace(sawn, amount=sawn.amount * READY_TIMES, source=f"{READY_TIMES} times sawn timber, a starting figure of ours, from memory; {sawn.source}")

    def price_per_m3(self, timber: str):
        """The maker's own price a cubic metre, else the mean of the boards offered, else a starting price of ours.

        While none is chosen, that of the timber proposed where the client likes it or asks for what is plain; else of any hardwood.
        """
        from studio_lib.brief.said import plain_asked
        from studio_lib.costing.price import PerM3, seen_per_m3, starting_per_m3

        if not timber and (self.liked or plain_asked(self.commission.brief)) and self.timber_proposed[0]:
            named = self.price_per_m3(self.timber_proposed[0])
            return replace(named, source=f"as for {self.timber_proposed[0]}, which would be proposed: {named.source}")
        own = self.library.prices.get(timber)
        if own is not None:
            return PerM3(own.per_m3, "your own price a cubic metre", own.on)
        try:
            group = self.library.timber(timber).group
        except KeyError:
            group = "hardwood"
        return seen_per_m3(timber, self.offered) or starting_per_m3(timber, group, self.commission.rates)

    @cached_property
    def rough_timber(self) -> tuple:
        """Timber by volume for what no board is seen for yet (``price.RoughTimber``); () once the boards do."""
        short = self.layout.missing
        return self._by_volume(
            (r.timber, r.volume_m3 * min(short.get(r.ref, 0) / (r.count * r.boards), 1.0), r)
            for r in self.cutting_list
        )

    @property
    def work_proposed(self) -> dict[str, float]:
        """Work often forgotten that this job has anyhow, by operation: old boards are drawn of their nails, gone over and brushed; what is
        fixed to a wall is fixed there, a screen to what holds it; what is fitted into an alcove is scribed to its walls; screw heads that are not to
        be seen are filled under paint; feet on gravel or grass get something under them."""
        from studio_lib.costing.operations import FILLED, FITTED, FIX_SCREEN, FIX_TO_WALL, OLD_BOARDS

        proposed = {OLD_BOARDS: self._old_boards, FIX_TO_WALL: self.wall_fixings, FIX_SCREEN: self.screen_fixings, FITTED: self._strips_scribed, FILLED: self.heads_filled, **self.to_be_laid}
        return {operation: float(count) for operation, count in proposed.items() if count}

    @property
    def work_to_begin_with(self) -> dict[str, float]:
        """How many of some work often forgotten this job has, should the maker take it in: by its faces and coats, its days, its pieces."""
        from studio_lib.costing.operations import COATS, surface_m2

        faces = sum(n * surface_m2(piece) for piece, n in self.counted)
        pieces = float(sum(n for _, n in self.counted))
        hours = sum(r.hours.median for r in self.price.labour if not r.work.time.offered)
        counts = {
            "raise the grain and sand again": round(faces, 1), "rub down between coats": round(faces * max(COATS[self.commission.brief.finish] - 1, 0), 1),
            "sharpen and set up": float(max(round(hours / self.work_days.hours_a_day), 1)), "touch up after assembly": pieces, "pack for the road": pieces,
        }
        return {operation: n for operation, n in counts.items() if n}

    @property
    def _strips_scribed(self) -> int:
        """Strips that are scribed to the walls of the place that a piece is fitted into."""
        return sum(m.item.count * sum(x.role == "fillet" for x in m.piece.members) for m in self.made if form(m.item.form).set_by_place(m.sizes))

    @property
    def _old_boards(self) -> int:
        """Boards of the client's that are drawn of their nails and brushed."""
        lot = self.commission.brief.their_timber
        if not self.commission.brief.brings_timber or not (lot.is_reclaimed or lot.metal == "found"):
            return 0
        share = self.their_share
        return share.used if share is not None and share.used else self.their_boards_likely

    @property
    def extra_work(self) -> tuple[tuple[str, float], ...]:
        """(operation, count) of work often forgotten that is counted: what the maker took in, and what is proposed unless the maker says otherwise."""
        own = {e.operation: e.count for e in self.commission.rates.extra_work}
        return tuple((o, n) for o, n in {**self.work_proposed, **own}.items() if n)

    def _counted_work(self, boards: int):
        from studio_lib.costing.operations import count_work

        r = self.commission.rates
        return count_work(
            self.counted, boards, self.commission.brief.finish, r.learning_rate,
            self.extra_work, r.with_any_job,
        )

    @cached_property
    def _consumables(self) -> list:
        from studio_lib.costing.price import consumable_lines, fitted_lines, with_own_prices

        lines = consumable_lines(self.counted, self.commission.brief.finish) + fitted_lines(self.fitted_there)
        return with_own_prices(lines, self.commission.rates)

    @cached_property
    def work(self):
        return self._counted_work(len(self.layout.boards_used) + sum(t.boards for t in self.rough_timber))

    @cached_property
    def materials(self):
        from studio_lib.costing.price import board_lines

        boards = board_lines(self.purchases, self.commission.boards.priced_on)
        return tuple(boards + [t.line for t in self.rough_timber] + self._consumables)

    @property
    def loaded_kg(self) -> float:
        """What is driven to the client, timber and what is laid under feet; no timber while none is chosen. [kg]"""
        return sum(self.weights_kg.get(m.piece.name, 0.0) * m.item.count for m in self.made) + self.laid_kg

    @property
    def carriers(self) -> int:
        """People who carry the heaviest part, the maker counted in."""
        from studio_lib.access.carry import carriers

        asked = self.commission.rates.delivery_people
        weighed = [(kg, max(size)) for *_, size, kg in self.carried if kg is not None]
        if asked or not weighed:
            return asked or 1
        return max(carriers(kg, longest_mm=long)[1] for kg, long in weighed)

    @cached_property
    def price(self):
        return self._priced(self.work, self.materials)

    @cached_property
    def rough_price(self):
        """The price with all timber by volume, whatever boards there are, but what the client's are likely to make; None while a
        piece cannot be laid out."""
        try:
            if len(self.pieces) < len(self.commission.items) or not self.pieces:
                return None
        except (ValueError, LookupError):
            return None
        rough = self._by_volume(
            (r.timber, r.volume_m3 - theirs if r.volume_m3 - theirs > 1e-9 else 0.0, r)
            for r, theirs in zip(self.cutting_list, self.covered_m3, strict=True)
        )
        work = self._counted_work(sum(t.boards for t in rough) + self.their_boards_likely)
        return self._priced(work, tuple([t.line for t in rough] + self._consumables))

    def _priced(self, work, materials):
        from studio_lib.costing.operations import design_hours
        from studio_lib.costing.price import delivery_lines, price

        volume = {m.piece.name: 0.0 for m in self.made}
        for row in self.cutting_list:
            volume[row.piece] += row.volume_m3
        total = sum(volume.values()) or 1.0
        rates = self.commission.rates
        return price(
            work, materials, rates, [(name, v / total) for name, v in volume.items()], self.known.estimator,
            delivery_lines(rates, self.loaded_kg, self.carriers) if rates.delivery_km else (),
            rates.with_any_job * (design_hours(self.counted, rates.meetings) if rates.design_counted else rates.design_hours),
            self.bought_in_waiting,
        )
