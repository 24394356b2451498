"""Days: the calendar, the date wanted, and cautions at each step."""

from __future__ import annotations

import math
from datetime import date, timedelta
from functools import cached_property

from studio_lib.derived.names import marked
from studio_lib.finding import Finding


class Days:
    """That part of ``studio_lib.derive.Derived``."""

    def date_finding(self, today: date) -> Finding | None:
        """Whether queue, timber, work, glue and finish fit before the date wanted; None while no date is."""
        from studio_lib.brief.refusals import DRAGS, date_met

        wanted = self.commission.brief.wanted_by
        if wanted is None or self.ballpark is None:
            return None
        from_price = "hours of the price, on the days of the calendar"
        return date_met(today, wanted, self.days_from_order(today), from_price if self._hours_known else DRAGS)

    @property
    def _hours_known(self) -> bool:
        return bool(self.offered) and not self.layout.missing

    def days_from_order(self, ordered: date) -> tuple[tuple[str, float, float], ...]:
        """What is waited for and done from an order of that day to delivery: (what, least, most). [days]

        Where the hours are priced, the work takes what the calendar gives it: days off, holidays and other jobs with it.
        """
        from studio_lib.brief.refusals import days_needed
        from studio_lib.costing.operations import glue_stages

        b, rates = self.commission.brief, self.commission.rates
        likely = float(self.price.hours_at(50)) if self._hours_known else self.ballpark.hours[1]
        rows = list(days_needed(
            (self._begun(ordered) - ordered).days, self.timber_days, likely, rates.hours_per_week * rates.billable_share,
            sum(n * glue_stages(p) for p, n in self.counted), b.finish, False,
            float(self.price.hours_at(80)) if self._hours_known else None,
        ))
        if not self._hours_known:
            return tuple(rows)
        try:
            made = self._planned(ordered)
        except ValueError:
            return tuple(rows)  # no day of the calendar is free for it
        at = next(i for i, row in enumerate(rows) if "hours at" in row[0])
        least, most = (
            max((finish - ordered).days - sum(row[k] for row in rows) + rows[at][k], 0.0)
            for k, finish in ((1, made.finish_likely), (2, made.finish_safe))
        )
        rows[at] = (rows[at][0], least, max(least, most))
        return tuple(rows)

    @cached_property
    def last_day_to_order(self) -> date | None:
        """The last day on which an order can still be safely ready by the date wanted; None where there is none."""
        wanted = self.commission.brief.wanted_by
        if wanted is None:
            return None

        def in_time(days_before: int) -> bool:
            day = wanted - timedelta(days=days_before)
            try:
                safe = self._planned(day).finish_safe if self._hours_known else None
            except ValueError:
                safe = None  # no day of the calendar is free for it
            return (safe or day + timedelta(days=math.ceil(sum(row[2] for row in self.days_from_order(day))))) <= wanted

        soonest = math.ceil(sum(row[2] for row in self.days_from_order(wanted)))
        return next((wanted - timedelta(days=n) for n in range(max(soonest - 60, 0), soonest + 400) if in_time(n)), None)

    @property
    def finish_family(self):
        """The row of the finish table it is made with: the one chosen with the timber, else what the brief's finish stands for here."""
        from studio_lib.finishing import family_for, finishes

        family = self.commission.timber.finish_family or family_for(self.commission.brief.finish, self.hardest.place)
        return next(f for f in finishes() if f.family == family)

    @property
    def finish_words(self) -> str:
        """What goes on it and how often, in a few words: 'oiled, three coats', or the family chosen, with its coats; of paint its colour too."""
        from studio_lib.costing.operations import COATS
        from studio_lib.finishing.finish import SPOKEN
        from studio_lib.piece.used import counted

        asked, chosen = self.commission.brief.finish, self.commission.timber.finish_family
        coats = COATS[asked]
        if not coats:
            return "no finish"
        return ", ".join(filter(None, (chosen or SPOKEN.get(asked, asked), self.paint_colour, counted(coats, "coat"))))

    @property
    def paint_colour(self) -> str:
        """The colour it is painted in, in the maker's words; '' where none is said, or it is not painted."""
        b = self.commission.brief
        return b.paint_colour.strip() if b.finish == "paint" else ""

    @property
    def work_days(self):
        """Days and hours that the maker gives this job."""
        from studio_lib.shop.calendar import Days

        shop, rates = self.commission.shop, self.commission.rates
        paid = rates.hours_per_week * rates.billable_share / len(shop.weekdays)
        return Days(
            shop.hours_a_day or paid, shop.weekdays, frozenset(shop.holidays),
            tuple((j.first, j.last) for j in shop.other_jobs), self.holidays_of,
        )

    @property
    def holidays_of(self) -> str | None:
        """Code of the country whose public holidays are off; '' while none is chosen, None where the maker works on them."""
        from studio_lib.costing.tax import taxes

        there = taxes().get(self.commission.rates.country)
        return None if self.commission.shop.works_holidays else there.code if there else ""

    @cached_property
    def work_steps(self):
        """What is done and waited for, in order. Raises ValueError while there is no work."""
        from studio_lib.costing.operations import COATS, glue_stages
        from studio_lib.shop.calendar import waits, work_steps

        p, finish, family = self.price, self.commission.brief.finish, self.finish_family
        return work_steps(
            [(r.work.time.operation, r.work.time.stage, r.hours.median) for r in p.labour], float(p.design_hours),
            float(p.hours_at(50)), float(p.hours_at(80)), sum(n * glue_stages(x) for x, n in self.counted),
            COATS[finish], (family.recoat_h_low or 0.0, family.recoat_h_high or 0.0), waits()[finish],
        )

    def plan(self, today: date | None = None):
        """The job's calendar, likely and safe; steps not done are not before ``today`` where it is given.

        Begins on the maker's first day, else as if it were ordered today. Raises ValueError while there is no work, no
        day free for it, or neither a first day nor ``today``.
        """
        if not self.made:
            raise ValueError("There is no piece yet, so there is no work to put on a calendar. Add one on the Brief page.")
        start = self.commission.shop.start or (today and self._begun(today))
        if start is None:
            raise ValueError("This job has no first day yet; set it on the Workshop page.")
        return self._from(start, today)

    @property
    def timber_days(self) -> float:
        """To buy the boards and have them in the workshop; 0 where the client's own make all of it. [days]"""
        from studio_lib.brief.refusals import TIMBER_DAYS

        known = self.species is not None and self.cutting_list and self.their_share is not None
        return 0.0 if known and self.their_share.used and self.their_share.bought_m3 < 0.0005 else TIMBER_DAYS

    def _begun(self, ordered: date) -> date:
        """First day of work on an order: the maker's own unless it is gone by, else once it is its turn and boards are in."""
        own = self.commission.shop.start
        return own if own and own >= ordered else ordered + timedelta(days=max(7 * self.commission.brief.queue_weeks, self.timber_days))

    def _planned(self, ordered: date):
        start = self._begun(ordered)
        if start not in self._plans:
            self._plans[start] = self._from(start, None)
        return self._plans[start]

    @cached_property
    def _plans(self) -> dict:
        return {}

    def _from(self, start: date, today: date | None):
        from studio_lib.shop.calendar import plan

        shop = self.commission.shop
        return plan(
            self.work_steps, start, self.work_days, today=today, done={s.step: s.on for s in shop.done},
            boards_in=shop.boards_in,
        )

    @property
    def glue(self):
        """The family of glue it is glued with: the one chosen, else the first that suits timber and place; None while none does."""
        chosen = next((g.adhesive for g in self.glues if g.adhesive.family == self.commission.timber.glue), None)
        return chosen or next((g.adhesive for g in self.glues if g.finding.stands), None)

    def cautions_of(self, step):
        """What to watch at one step of the calendar, each caution once."""
        from studio_lib.costing.operations import standard_times
        from studio_lib.finishing import oily_rags
        from studio_lib.shop.cautions import cautions_for

        stages = {name: t.stage for name, t in standard_times().items()}
        _, _, size_mm, kg = max(self.carried, key=lambda c: c[3] or 0.0)
        found = {}
        for operation in step.operations:
            for caution in cautions_for(
                operation, self.species, kg=kg, longest_mm=max(size_mm),
                shortest_mm=min((r.overall_length_mm for r in self.cutting_list), default=None), hours=step.hours[0],
                glue=self.glue.family if self.glue else "", glue_caution=self.glue.cautions if self.glue else "",
                oil=oily_rags(self.finish_family), stage=stages.get(operation, ""),
                reclaimed=self.commission.brief.brings_timber and self.commission.brief.their_timber.is_reclaimed,
            ):
                found.setdefault(caution.key, caution)
        return tuple(found.values())

    @cached_property
    def workshop_findings(self) -> tuple[Finding, ...]:
        """Whether the clamps in the workshop do for each glue-up."""
        from studio_lib.piece.order import order_of_work
        from studio_lib.shop.clamps import clamp_findings

        owned = tuple((c.count, c.reach_mm) for c in self.commission.shop.clamps)
        return tuple(f for p in self.pieces for f in marked(p, clamp_findings(p, order_of_work(p), owned)))

    @property
    def stored_co2_kg(self) -> float | None:
        """Carbon dioxide bound in the finished timber; None while none is chosen. [kg]"""
        from studio_lib.timber.carbon import stored_co2_kg

        if self.species is None:
            return None
        return stored_co2_kg(sum(r.volume_m3 for r in self.cutting_list), self.wood.density_kg_m3, 12.0)
