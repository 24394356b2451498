"""The client's own timber: how much of the piece it makes, whether it suits, whether it is dry, what to mind."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from functools import cached_property
from math import ceil, floor

from studio_lib.finding import Finding, Verdict
from studio_lib.units import mm, size


class Theirs:
    """That part of ``studio_lib.derive.Derived``."""

    @property
    def their_boards(self):
        """The client's boards as the layout takes them; one that nobody can name stands for the timber chosen."""
        return tuple(b for b in self.offered if b.source == "client")

    @cached_property
    def boards_of_theirs(self):
        """What their boards of the timber chosen give, planed (``forms.form.BoardsOfTheirs``); None where there are none.

        The thickness is one that at least half of them by volume make. While no timber is chosen it may become theirs.
        """
        from studio_lib.forms.form import BoardsOfTheirs

        chosen, a = self.commission.timber.species, self.allowances
        own = sorted((b for b in self.their_boards if not chosen or b.timber == chosen), key=lambda b: -b.thickness_mm)
        half, so_far, wide = sum((b.count or 1) * b.volume_mm3 for b in own) / 2, 0.0, 0.0
        for b in own:
            so_far, wide = so_far + (b.count or 1) * b.volume_mm3, max(wide, min(b.width_mm, b.end_mm) - a.width_mm)
            if so_far >= half:
                # Down to a hundredth, so that what is proposed comes out of the board for certain.
                thick = floor((b.thickness_mm - a.thickness_mm) * 100 + 1e-6) / 100
                return BoardsOfTheirs(b.thickness_mm, thick, wide) if thick > 0 else None
        return None

    def _as_theirs_hold(self, item, item_json, brief, around, index: int, at, sizes, proposals):
        """Sizes and proposals with what their boards give, or the usual ones where the piece holds only with those."""
        from studio_lib.derived.arrows import key, sizes_of

        if around.theirs is None or self.species is None:
            return sizes, proposals
        usual, usual_proposals = sizes_of(item_json, key(brief), replace(around, theirs=None), at)
        thinner = [n for n, v in sizes.items() if v < usual[n] and v == around.theirs.thick_mm]
        if not thinner or not self._fails_more(index, brief, around, sizes, usual):
            return sizes, proposals
        said = f"thicker than the client's boards give, which is {mm(around.theirs.thick_mm)} mm: it does not hold with that; "
        return usual, {n: replace(p, why=said + p.why) if n in thinner else p for n, p in usual_proposals.items()}

    def _fails_more(self, index: int, brief, around, sizes, usual) -> bool:
        """Whether a check of strength fails at some sizes that does not at the usual ones."""
        from studio_lib.derived.arrows import key, piece_of, structure_of
        from studio_lib.forms import form
        from studio_lib.derived.names import letter
        from studio_lib.structure.loads import loads_of, names_of, serves
        from studio_lib.structure.trial import key_of

        item, use = self.commission.items[index], self.commission.brief.use
        serving = serves(item.form)
        own = {n: v for n, v in item.loads.items() if n in names_of(serving, use, self.children)}

        def fails(values) -> set:
            piece = piece_of(key(item), tuple(values.items()), around, letter(index))
            setting = self._setting_of(item, values, brief, piece)
            found = structure_of(piece, tuple(self.woods_of(piece).items()), brief.place, brief.use, tuple(sorted(own.items())), setting).findings
            sags = form(item.form).fit_under(piece, values, brief, loads_of(serving, use, own, self.children))
            return {key_of(f) for f in (*found, *sags) if f.verdict in (Verdict.FAILS, Verdict.LOOK_AGAIN) and f.utilisation}

        return bool(fails(sizes) - fails(usual))

    @cached_property
    def their_share(self):
        """What of the piece the client's boards make in the layout (``stock.theirs.TheirShare``); None where there are none."""
        from studio_lib.stock.theirs import their_share

        return their_share(self.layout, self.offered, self.cutting_list, sum(t.bought_m3 for t in self.rough_timber))

    def share_words(self, whose: str = "the client's", to: str = "the client") -> str:
        """The same in words, with what goes back; '' while there are no boards of theirs or nothing to lay out."""
        if self.their_share is None or not self.cutting_list:
            return ""
        if self.species is None:
            return f"No timber is chosen yet, on the Timber page; {self.cover_words}."
        if not self.their_share.used:
            return f"{self.their_share.words(whose)} {self._why_none_is_used} {self.their_share.goes_back(to)}"
        return f"{self.their_share.words(whose)} {self.their_share.goes_back(to)}"

    @property
    def _why_none_is_used(self) -> str:
        """Why not one of their boards is cut, in a sentence."""
        own = dict.fromkeys(b.timber for b in self.their_boards)
        if self.species.name not in own:
            return f"They are of {' and '.join(own)}, the piece is of {self.species.name}."
        return "They are too thin, too narrow or too short for every part as it is drawn, or their faults are in the way."

    @cached_property
    def covered_m3(self) -> tuple[float, ...]:
        """Of each line of the cutting list what their boards are likely to make, by volume. [m3 finished]"""
        from studio_lib.stock.theirs import Needed, covered

        lines = [Needed(r.timber, r.volume_m3, r.sawn_mm(self.allowances)) for r in self.cutting_list]
        return covered(lines, self._boards_to_be, lambda t: self.expected_yield(t).share)

    @property
    def _boards_to_be(self):
        """Their boards; while no timber is chosen it may become theirs."""
        return self.their_boards if self.species else tuple(replace(b, timber="") for b in self.their_boards)

    @property
    def _most_of_theirs_mm(self) -> tuple[tuple[float, float, float], ...]:
        """Largest part that their boards give, planed and docked, of each size of board. [mm]"""
        a, trim = self.allowances, self.commission.boards.end_trim_mm
        return tuple(dict.fromkeys(
            (b.length_mm - 2 * trim - a.length_mm, b.widest_mm - a.width_mm, b.thickness_mm - a.thickness_mm) for b in self.their_boards
        ))

    @property
    def _too_large_for_theirs(self) -> list[tuple[str, tuple[float, float, float]]]:
        """Parts of their timber that no board of theirs gives: name, and size of one board of it. [mm]"""
        timbers = {b.timber for b in self._boards_to_be}
        return [
            (r.name.split(",")[0], asked) for r in self.cutting_list if r.timber in timbers
            for asked in [(r.overall_length_mm, r.board_width_mm, r.thickness_mm)]
            if not any(all(x <= y + 1e-6 for x, y in zip(asked, m)) for m in self._most_of_theirs_mm)
        ]

    @property
    def _why_not_more(self) -> str:
        """Why more of their boards would not make more of the piece, after a comma; '' where their volume is what ends it."""
        larger, most = self._too_large_for_theirs, self._most_of_theirs_mm
        if not larger:
            return ""
        names = dict.fromkeys(name for name, _ in larger)
        ways = []
        for i, how in enumerate(("long", "wide", "thick")):
            asked, gives = max(asked[i] for _, asked in larger), max(m[i] for m in most)
            if asked > gives + 1e-6:
                ways.append(f"up to {mm(asked)} mm {how} where they give {mm(gives)} mm")
        said = f": {' and '.join(ways)}" if ways else ""
        return f"; too large for any board of theirs, however many there are: {', '.join(names)}{said}"

    @property
    def their_boards_likely(self) -> int:
        """How many of their boards are likely to be cut, by volume."""
        count = sum(b.count or 1 for b in self.their_boards)
        if not any(self.covered_m3):
            return 0
        each = sum((b.count or 1) * b.volume_mm3 for b in self.their_boards) * 1e-9 / count
        return min(ceil(sum(self.covered_m3) / self.expected_yield(self.commission.timber.species or "").share / each), count)

    @property
    def cover_words(self) -> str:
        """How much of the timber is theirs, for a first range of the price; '' where they bring none."""
        if not self.commission.brief.brings_timber:
            return ""
        if not self.their_boards:
            return "how much of the piece their timber makes is not known until their boards are entered: all its timber is reckoned as bought meanwhile"
        need, have = sum(r.volume_m3 for r in self.cutting_list), sum(self.covered_m3)
        if not need:
            return "their timber is taken off by its volume"
        share = self.expected_yield(self.commission.timber.species or "").share
        sawn = sum((b.count or 1) * b.volume_mm3 for b in self.their_boards) * 1e-9
        usual = f"by volume, with the usual {100 * share:.0f} % of sawn timber in the piece"
        if have > 0.995 * need:
            return f"their {sawn:.3f} m3 is likely to do for all of the piece ({usual}), so no timber is bought"
        if have < 0.005 * need:
            return "their boards are too thin, too short or of another timber for any part of the piece as it is drawn, so all its timber is reckoned as bought"
        return f"their {sawn:.3f} m3 is likely to make {100 * have / need:.0f} % of the piece ({usual}) and costs nothing, the rest is reckoned as bought{self._why_not_more}"

    @property
    def reach_words(self) -> str:
        """How large a part their boards make, and which parts of the piece are larger; '' where they bring no boards."""
        if not self.their_boards:
            return ""
        most = self._most_of_theirs_mm
        said = f"Planed and docked, a board of theirs makes a part up to {', or '.join(size(*m) for m in most)} mm."
        larger = self._too_large_for_theirs
        if not larger:
            return said
        names = ", ".join(dict.fromkeys(name for name, _ in larger))
        if len(most) > 1:
            return f"{said} No board of theirs is large enough for: {names}. Make them smaller on the Sizes page, or buy for them."
        ways = [f"{mm(m)} mm {how}" for i, (m, how) in enumerate(zip(most[0], ("long", "wide", "thick"))) if any(asked[i] > m + 1e-6 for _, asked in larger)]
        return f"{said} Too large for that: {names}. Keep them to {' and '.join(ways)} on the Sizes page, or buy for them."

    @cached_property
    def _boards_that_wait(self):
        """Boards of theirs whose dryness matters: those cut in the layout, those thick enough for a piece that still lacks a board; all
        of them while nothing is drawn."""
        if not self.cutting_list:
            return self.their_boards
        cut = {ref for ref, _ in self.layout.boards_used}
        lacking = [w for w in self.wanted if w.ref in self.layout.missing]

        def needed(b) -> bool:
            return any(w.timber == b.timber and w.rough_mm(self.allowances)[2] <= b.thickness_mm for w in lacking)

        return tuple(b for b in self.their_boards if b.ref in cut or needed(b))

    @cached_property
    def their_moisture(self):
        """(%, day) of the meter in their timber: the wettest of the last readings of boards of theirs, else what the brief says; None for what is not known."""
        lot, marks = self.commission.brief.their_timber, {b.ref for b in self.commission.theirs}
        last = {}
        for reading, corrected in self.read_and_corrected:
            if reading.board in marks and (reading.board not in last or reading.day >= last[reading.board][1]):
                last[reading.board] = (round(corrected.percent, 1), reading.day)
        return max(last.values(), default=(lot.moisture_pct, lot.measured_on))

    @cached_property
    def drying_findings(self) -> tuple[Finding, ...]:
        """Whether their timber is dry by the day it is cut; only boards that are used, or still needed, hold a job up."""
        from studio_lib.brief.refusals import drying

        b = self.commission.brief
        if not b.brings_timber:
            return ()
        if self.their_boards and self.species is None and self.cutting_list:
            return (Finding("their timber", "drying", Verdict.OPEN, "no timber is chosen yet, so it is not known whether their boards are cut for this job and must be dry for it",
                            rule="timber is dry for its place before it is cut", source="common practice, no source", stage="brief",
                            mend="Choose the timber on the Timber page: theirs, where it suits."),)
        if self.their_boards and not self._boards_that_wait:
            return (Finding("their timber", "drying", Verdict.STANDS, "no board of theirs is cut for this job, so nothing waits for them to dry", stage="brief"),)
        thick = max((x.thickness_mm for x in self._boards_that_wait), default=b.their_timber.thickness_mm)
        wide = max((x.widest_mm for x in self._boards_that_wait), default=b.their_timber.width_mm) or 100.0
        pct, day = self.their_moisture
        missing = [words for words, value in (("moisture", pct), ("thickness", thick), ("the day of measuring", day)) if not value]
        if missing:
            one = len(missing) == 1
            return (Finding("their timber", "drying", Verdict.OPEN, f"{' and '.join(missing)} {'is' if one else 'are'} not known",
                            mend="Measure it, and write down how thick it is and on which day.", stage="brief"),)
        species = self.species or self._their_one_species
        if species is None:
            return ()
        begun = self.commission.shop.start or (day + timedelta(weeks=b.queue_weeks) if b.queue_weeks else None)
        cut_on = b.wanted_by - timedelta(weeks=6) if b.wanted_by else begun
        cut_on = cut_on and max(cut_on, day)
        try:
            return (drying(species, wide, thick, self.commission.timber.sawing, pct, self.making_moisture_pct, day, cut_on),)
        except ValueError as error:
            return (Finding("their timber", "drying", Verdict.OPEN, str(error), stage="brief",
                            mend="Measure it again, or choose a timber with published shrinkage."),)

    @property
    def their_species(self) -> tuple[str, ...]:
        """Timbers of their boards that are on file, each once."""
        known = {s.name for s in self.library.species}
        return tuple(n for n in dict.fromkeys(b.timber for b in self.commission.theirs) if n in known)

    @property
    def _their_one_species(self):
        return self.library.timber(self.their_species[0]) if len(self.their_species) == 1 else None

    @property
    def their_unnamed(self) -> int:
        """Boards of theirs of which nobody can say what they are."""
        return sum(b.count or 1 for b in self.commission.theirs if not b.timber)

    @cached_property
    def brought(self):
        """Each timber they bring, judged for this place and use (``timber.brought.Brought``)."""
        from studio_lib.timber.brought import brought

        b, there = self.commission.brief, self.hardest
        dry = next((f for f in self.drying_findings if f.what == "drying" and f.verdict is not Verdict.OPEN and f.demand is not None), None)
        return tuple(
            brought(self.library.timber(name), there.place, b.years_wanted, b.use == "public", there.wetted, self.wear, self.making_range,
                    self.their_moisture[0], dry, b.their_timber.is_reclaimed, self.barred.get(name, ""),
                    stand_ins=tuple(self.commission.timber.stand_ins) if self.commission.timber.species == name else (),
                    minded=tuple(f for f in self._reclaimed_findings if not f.stands))
            for name in self.their_species
        )

    @cached_property
    def _reclaimed_findings(self) -> tuple[Finding, ...]:
        """Metal in their timber, and what was put on it."""
        from studio_lib.brief.reclaimed import reclaimed_findings

        lot = self.commission.brief.their_timber
        eaten_at = any(m.table == "eaten at" for m in self.made)
        return tuple(reclaimed_findings(lot.been, lot.metal, lot.coat, eaten_at, self.children))

    @cached_property
    def their_findings(self) -> tuple[Finding, ...]:
        """All that is found on their timber: drying, metal, what was put on it, whether it has a name."""
        if not self.commission.brief.brings_timber:
            return ()
        found = [*self.drying_findings, *self._reclaimed_findings]
        if self.their_unnamed:
            taken = f"taken as {self.species.name} meanwhile" if self.species else "no timber is chosen that it could be taken as"
            found.append(Finding("their timber", "which timber it is", Verdict.OPEN, f"{self.their_unnamed} boards of theirs are of a timber nobody has named; {taken}",
                                 mend="Plane a corner, look at the end grain with a lens, and name it on the Brief or the Boards page.", stage="brief"))
        return tuple(found)
