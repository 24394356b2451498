"""Findings: every check of every page, in one list, and what keeps papers back."""

from __future__ import annotations

from dataclasses import replace
from functools import cached_property

from studio_lib.derived.arrows import findings_of_piece
from studio_lib.derived.names import LEAVE, marked
from studio_lib.derived.pieces import Made
from studio_lib.finding import Finding, Verdict, from_ratio, worst_first
from studio_lib.forms import form
from studio_lib.forms.drawers import set_in_moves
from studio_lib.forms.frame_parts import ledges
from studio_lib.forms.framing import DRAIN_MM
from studio_lib.piece import Piece
from studio_lib.piece.openings import closed_openings
from studio_lib.units import mm, size


OVERHEAD = "hangs overhead"


class Findings:
    """That part of ``studio_lib.derive.Derived``."""

    @cached_property
    def brief_findings(self) -> tuple[Finding, ...]:
        """What the first hour already rules out, or must be asked."""
        from studio_lib.brief.refusals import budget_short, leave_of_others
        from studio_lib.brief.wishes import judged_on, says_yes_first

        b, found = self.commission.brief, []
        if b.budget and (park := self.ballpark):
            low, likely, _ = park.gross
            ways = "; ".join(f"{w.way}: {w.how} saves about {w.saves} {park.currency}" for w in park.cheaper)
            ways = f"{ways}. What would reach it: the Price page looks for it, under 'Within the budget'."
            found.append(budget_short(b.budget, low, likely, park.currency, ways, park.gross_safe))
        own_use = ["public use"] * (b.use == "public") + ["made for children"] * bool(b.children_alone)
        taken_up = judged_on(b.wishes, self.commission.items)
        wished = [w for w in b.wishes or () if w.name not in taken_up]
        asked_for = [t for w in wished for t in says_yes_first(w, b.place.startswith("outdoors"))]
        asked_for += ["fixed to building"] if b.fixed_to_building else []
        found += leave_of_others(self.commission.title, tuple(dict.fromkeys((*(b.needs_leave or ()), *asked_for, *own_use))), b.leave_given)
        if b.children_alone is None and 0 < b.people <= len(b.child_ages):
            found.append(Finding("who uses it", "whether it is for children alone", Verdict.OPEN,
                                 f"{len(b.child_ages)} children and {b.people} people at once: whether it is for children alone is not said; "
                                 "sized to adults meanwhile", mend="Say yes or no under 'Who uses it'."))
        if b.children_alone and not b.ages_sized:
            found.append(Finding("who uses it", "ages of the children", Verdict.OPEN, "it is for children alone and their ages are not said; "
                                 "sized to adults meanwhile", mend="Say how old they are under 'Who uses it'."))
        for wish in wished:
            # Whose leave it waits for is said once, above.
            found += [f for f in self.findings_of_wish(wish) if f.what != LEAVE]
        found += self._drilled_or_dropped()
        if b.own_climate.missing:
            meanwhile = "" if b.own_climate.complete else f"; reckoned as {b.climate} meanwhile"
            found.append(Finding("air of the place", "entered climate", Verdict.OPEN,
                                 f"{', '.join(b.own_climate.missing)} not entered yet{meanwhile}",
                                 mend="Fill it in under 'Where it stands', or clear your own figures."))
        found += self.their_findings
        return tuple(replace(f, stage="brief") for f in found)

    def _drilled_or_dropped(self) -> list[Finding]:
        """What ways of standing are left where nothing may be drilled, and whether what falls from a height falls on people."""
        from studio_lib.brief.refusals import FALLS_FROM_MM
        from studio_lib.structure.loads import serves

        b, found = self.commission.brief, []
        screens = [i.name for i in self.commission.items if serves(i.form) == "screen"] or [w.name for w in b.wishes or () if w.kind == "free-standing screen"]
        if b.nothing_drilled and screens:
            found.append(Finding(
                "where it stands", "nothing may be drilled", Verdict.STANDS, f"the {' and the '.join(screens)} can stand 'on feet' with weight set low, as a framed screen 'in folding "
                "leaves', or be 'clamped to a railing' whose owner and an engineer allow it; every other answer at 'It stands' on Sizes is drilled in, and is proposed nowhere",
                rule="nothing is drilled where its owner forbids it", source="brief"))
        if screens and b.beside_a_drop and b.drop_mm >= FALLS_FROM_MM and OVERHEAD not in (b.needs_leave or ()) and b.people_below is not False:
            asked = b.people_below is None
            found.append(Finding(
                "where it stands", "things that fall", Verdict.OPEN if asked else Verdict.LOOK_AGAIN,
                f"it stands beside a drop of {b.drop_mm / 1000:g} m" + (", and whether people pass below is not said" if asked else ", and people pass below: what comes loose falls on them"),
                rule="what can fall on people is held twice, and its fixings are an engineer's", source="common practice, no source",
                mend="Say yes or no at 'People pass below', under 'Where it stands'." if asked else "Tick 'it hangs over people' under 'Leave, time and money': an engineer sizes its fixings then."))
        return found

    def findings_of_wish(self, wish) -> list[Finding]:
        """What one wish of the brief would mean, in this place and for these people."""
        from studio_lib.brief.wishes import ASSUMED, Site, wish_findings

        b, t, m = self.commission.brief, self.commission.timber, self.moisture
        return wish_findings(wish, Site(
            b.place, self.children, self.species or self.library.timber(ASSUMED), self.species is not None, t.sawing,
            self.making_moisture_pct, m.low_pct, m.high_pct, b.wind, b.wind_m_s, b.beside_a_drop, b.drop_mm,
            b.leave_given, b.fixed_to_building,
        ))

    @cached_property
    def stops(self):
        """Findings that keep the papers back until answered or knowingly accepted."""
        from studio_lib.brief.stops import Accepted, stops

        return stops(
            self.findings, [Accepted(a.key, a.role, a.on, a.reason, a.utilisation, a.condition, a.figure) for a in self.commission.accepted]
        )

    @property
    def held(self) -> tuple[str, ...]:
        """Papers to be marked 'not to be made', while any stop holds."""
        from studio_lib.brief.stops import papers_held

        return papers_held(self.stops)

    @cached_property
    def timber_findings(self) -> tuple[Finding, ...]:
        """Whether the timber lasts, whether what is put on it suits, and whether the details tried have room."""
        found = [*self.lasting_findings, *self.unwanted_findings, *self.stain_findings, *self.finish_findings, *self.allergy_findings, *self.unpublished_findings]
        for index in range(len(self.tried)):
            found += self.tried_findings(index)
        return tuple(found)

    @cached_property
    def unpublished_findings(self) -> tuple[Finding, ...]:
        """Figures for strength that nobody published of the chosen timber, until a stand-in is accepted."""
        if self.species is None:
            return ()
        from studio_lib.timber.choice import STRENGTH

        missing = [words for field, words in STRENGTH.items()
                   if getattr(self.species, field) is None and field not in self.commission.timber.stand_ins]
        if not missing:
            return ()
        return (Finding(
            self.species.name, "figures for strength", Verdict.OPEN, f"no published {' or '.join(missing)} on file: whether the piece holds waits for it",
            rule="what is not known is not judged", source="the library of timbers", stage="timber",
            mend="Tick the cautious stand-in on the Timber page, or choose another timber.",
        ),)

    @cached_property
    def lasting_findings(self) -> tuple[Finding, ...]:
        """Whether the timber lasts in its place."""
        if self.species is None:
            return (
                Finding("timber", "choice", Verdict.OPEN, "no timber chosen yet", stage="timber",
                        mend="Choose one on the Timber page."),
            )
        if len(self.standing) == 1:
            return tuple(self._lasting_at(self.hardest))
        found = []
        for there in self.standing:
            names = ", ".join(i.name for i in self.commission.items if self.there(i) is there)
            found += [replace(f, subject=f"{f.subject}, {names}") for f in self._lasting_at(there.commission.brief)]
        return (*found, *self._made_apart)

    def _lasting_at(self, brief) -> list[Finding]:
        """Whether the timber lasts in one place, by the brief as it is there."""
        from studio_lib.timber import Details, fit_for_place, life_finding

        found = [fit_for_place(self.species, brief.place, brief.years_wanted, brief.use == "public", brief.wetted)]
        if brief.place.startswith("outdoors"):
            details = Details(**self.commission.timber.details.model_dump())
            found.append(life_finding(self.species, brief.place, details, brief.years_wanted, brief.wetted))
        return found

    @property
    def _made_apart(self) -> tuple[Finding, ...]:
        """That pieces for different places are made at different moisture, where the maker gave no one figure for both."""
        own = self.commission.timber.making_moisture_pct
        at = {", ".join(i.name for i in self.commission.items if self.there(i) is there): there for there in self.standing}
        wanted = {names: there.moisture for names, there in at.items()}
        apart = max(m.making_pct for m in wanted.values()) - min(m.making_pct for m in wanted.values())
        gives = min(m.tolerance_pct for m in wanted.values())
        if apart <= gives:
            return ()
        each = "; ".join(f"{names}: {m.making_pct:g} % ({m.low_pct:g} to {m.high_pct:g} % over the year)" for names, m in wanted.items())
        return (Finding(
            "timber", "moisture of two places", Verdict.LOOK_AGAIN,
            f"made at {each}" + (f". One figure is given for all: {own:g} %" if own is not None else ""), apart, gives, "%",
            rule=f"each piece is made at the middle of what its own place does, within {gives:g} %", source="Wood Handbook FPL-GTR-282 ch. 13",
            mend="Lay the boards of each piece where the air is like that of its place, and measure them apart before they are cut.", stage="timber",
        ),)

    def _movement_findings(self) -> list[Finding]:
        if self.movement_unknown:
            return [Finding("slats", "movement", Verdict.OPEN, self.movement_unknown, stage="sizes",
                            mend="Choose a timber with published movement.")]
        found = []
        high = {m.piece.name: self.there(m.item).moisture.high_pct for m in self.made}
        for name, (wet, made, dry) in self.slat_gaps.items():
            found.append(
                from_ratio(
                    f"slats of {name}", "gap when wettest", DRAIN_MM, max(wet, 0.01), "mm",
                    rule=f"at least {DRAIN_MM:g} mm left to drain at {high[name]:g} % moisture",
                    source="Wood Handbook FPL-GTR-282 ch. 13; drain common practice, no source",
                    mend=f"Set the gap to {made + DRAIN_MM - wet:.1f} mm or more when made.",
                    stage="sizes", look_again_from=1.0,
                    says=f"{wet:.1f} mm at the wettest, {made:.1f} mm when made, {dry:.1f} mm at the driest",
                )
            )
            found[-1] = replace(found[-1], piece=name)
        return found

    def _children_and_gaps(self, m: Made) -> list[Finding]:
        from studio_lib.brief.refusals import climbable_rails, fingers, heads

        b, name = m.brief, m.piece.name
        found, slatted = [], form(m.item.form).slats(m.sizes)
        if slatted:
            wet, _, dry = self.slat_gaps.get(name, (slatted[1],) * 3)
            if self.children or b.use == "public":
                found.append(fingers("gaps between slats", max(min(wet, dry), 0.0), max(wet, dry, 0.0), self.children))
        found += [heads(where, wide, high, True, self.children) for where, wide, high in self._openings(m)]
        if b.beside_a_drop:
            found.append(climbable_rails(name, ledges(m.piece), b.drop_mm, self.children, form(m.item.form).unclimbed(m.piece, m.sizes, b)))
        return found

    def _openings(self, m: Made) -> list[tuple[str, float, float]]:
        """Openings closed all round: where, and the two sizes that count; as the form says, or measured from the members where the maker changed some of them."""
        if m.item.form != "freehand" and all(a.off for a in m.item.adjustments):
            return form(m.item.form).holes(m.sizes)
        return [(o.where, *o.counts_mm) for o in closed_openings(m.piece)]

    def _moves(self, piece: Piece, season) -> tuple[Finding, ...]:
        """Whether each joint lets the timber move in its place; alike ones said once. Nothing while no timber is chosen."""
        if self.species is None or self.movement_unknown:
            return ()
        found: dict[tuple, list[Finding]] = {}
        told = [("drawer in its opening", f) for f in set_in_moves(piece, season)]
        for family, f in [*((j.family, f) for j in piece.joints for f in j.moves(piece, season)), *told]:
            found.setdefault((family, f.what, f.verdict, f.says), []).append(f)
        return tuple(
            f if not more else replace(f, refs=tuple(dict.fromkeys(ref for one in (f, *more) for ref in one.refs))) for f, *more in found.values()
        )

    @cached_property
    def joint_findings(self) -> tuple[Finding, ...]:
        from studio_lib.piece.checks import glue_alone_findings
        from studio_lib.piece.order import order_findings, order_of_work

        found = []
        for m in (m for m in self.made if m.piece.members):
            p = m.piece
            found += marked(p, (f for f in findings_of_piece(p) if f.stage != "sizes"))
            found += marked(p, glue_alone_findings(p, m.brief.place))
            found += marked(p, self._moves(p, self.there(m.item).season))
            found += marked(p, order_findings(p, order_of_work(p), self.glue.open_min_high if self.glue else None))
            found += marked(p, (f for f in self._holds(p) if f.stage == "joints"))
        return (*found, *self.metal_findings)

    @property
    def glued_up_words(self) -> str:
        """What to ask for of boards that are bought glued up, thickness by thickness; '' where none are."""
        from studio_lib.stock.glued_up import glued_up, words

        return words(glued_up(self.cutting_list, self.allowances, self.commission.boards.end_trim_mm))

    @property
    def _glued_up_mend(self) -> str:
        """Where to enter boards that are bought glued up, while some of what has no place is; '' otherwise."""
        from studio_lib.stock.glued_up import glued_up, words

        lacking = [r for r in self.cutting_list if r.ready and r.ref in self.layout.missing]
        if not lacking:
            return ""
        asked = words(glued_up(lacking, self.allowances, self.commission.boards.end_trim_mm))
        others = " Ask for another board for the rest." if len(lacking) < len(self.layout.missing) else ""
        return f"Its wide boards are bought glued up: enter them on the Boards page, under 'Sizes a yard sells', with the width they come in: {asked}.{others}"

    @cached_property
    def board_findings(self) -> tuple[Finding, ...]:
        if not self.offered:
            return (Finding("boards", "offer", Verdict.OPEN, "no boards seen yet", stage="boards",
                            mend="Enter what the yard or the rack has on the Boards page."),)
        found = []
        if self.commission.boards.kerf_mm == 0:
            found.append(Finding("boards", "kerf", Verdict.LOOK_AGAIN, "the kerf is 0: every saw turns some timber to dust",
                                 stage="boards", rule="a kerf is measured, not left out", source="common practice, no source",
                                 mend="Saw into a scrap, measure the cut, and enter it under Saw and planer."))
        if self._pins[1]:
            found.append(Finding("boards", "kept choices", Verdict.LOOK_AGAIN, self._pins[1], stage="boards",
                                 rule="a choice holds while its piece and its board are there", source="board layout",
                                 mend="Let go of that choice, or bring the board back."))
        if self.layout.missing:
            from studio_lib.stock.reasons import why_missing

            sawn = {r.ref: r.sawn_mm(self.allowances) for r in self.cutting_list}
            why = why_missing(self.layout.missing, self.wanted, self.offered, self.layout_asked, {r.ref for r in self.cutting_list if r.ready})
            lost = "; ".join(
                f"{n} of {ref} (sawn {size(*sawn[ref])} mm" + (f": {why[ref]})" if why.get(ref) else ")")
                for ref, n in self.layout.missing.items()
            )
            theirs_alone = all(b.source == "client" for b in self.offered)
            found.append(
                Finding("boards", "enough timber", Verdict.OPEN if theirs_alone else Verdict.FAILS,
                        f"the client's boards do not hold {lost}; no board to buy for it is seen yet" if theirs_alone else f"these boards do not hold {lost}",
                        stage="boards", rule="every piece on the cutting list has a place",
                        source="board layout",
                        mend="Enter what the yard or the rack has for the rest; it is priced by volume meanwhile." if theirs_alone
                        else self._glued_up_mend or "Ask the yard for another board, or change the pieces.")
            )
        elif self.layout.placements:
            found.append(Finding("boards", "enough timber", Verdict.STANDS,
                                 f"each of the {len(self.layout.placements)} parts has its place on {len(self.layout.boards_used)} boards",
                                 stage="boards", rule="every piece on the cutting list has a place", source="board layout"))
        found += self._marks_found
        if self._laid[1]:
            found.append(
                Finding("boards", "kept layout", Verdict.LOOK_AGAIN,
                        f"the layout you kept no longer fits: {self._laid[1]}", stage="boards",
                        rule="a kept layout holds while pieces and boards stay as they were",
                        source="layout checker", mend="Lay the pieces out anew and keep that.")
            )
        return tuple(found)

    @property
    def _marks_found(self) -> list[Finding]:
        """Marks that are let show but lie where a joint or a glue line is likely to be."""
        from studio_lib.stock.let_show import END_MM, in_joints

        near = in_joints(self.layout, self.allowances)
        if not near:
            return []
        return [Finding("boards", "marks that may show", Verdict.LOOK_AGAIN,
                        "; ".join(f"{m.name} of {m.board} lies {'near an end' if m.end else 'at an edge'} of {m.piece}" for m in near)
                        + f": within {mm(END_MM)} mm of an end a joint is likely to be cut, and at an edge a glue line lies",
                        rule="a joint, a tenon and a glue line are cut in clear timber", source="common practice, no source", stage="boards",
                        mend="Turn that part end for end, or plane past it; where it would lie in the joint call it 'keep out' in its name, and no part takes it there.")]

    @cached_property
    def findings(self) -> tuple[Finding, ...]:
        """Everything found, the worst first; whose leave it waits for once, whoever asks for it."""
        said = {f.subject.rpartition(": ")[2] for f in self.brief_findings if f.what == LEAVE}
        return tuple(
            worst_first(
                self.brief_findings + self.timber_findings
                + tuple(f for f in self.size_findings if f.what != LEAVE or f.subject.rpartition(": ")[2] not in said)
                + self.joint_findings + self.board_findings
            )
        )

    def findings_of(self, piece: Piece, stage: str) -> tuple[Finding, ...]:
        """Findings of one stage that concern one piece or the whole commission."""
        pool = {"brief": self.brief_findings, "timber": self.timber_findings, "sizes": self.size_findings,
                "joints": self.joint_findings, "boards": self.board_findings}[stage]
        return self.as_answered(f for f in pool if f.piece in ("", piece.name))

    @property
    def ways_findings(self) -> tuple[Finding, ...]:
        """Whether each piece goes the way to its place: worked out with the sizes, told on Brief too."""
        return tuple(f for f in self.size_findings if f.what.startswith("way in"))

    def as_answered(self, found) -> tuple[Finding, ...]:
        """Findings as the pages show them: a stop that someone answers for is looked at again, and says who does."""
        answers = {s.finding: s.accepted.says for s in self.stops if s.accepted is not None}
        # Leave asked for on Brief is the same leave that a piece asks for on Sizes: one answer serves both.
        leave = {f.subject.rpartition(": ")[2]: says for f, says in answers.items() if f.what == LEAVE and f.stage == "brief"}

        def answer(f: Finding) -> str:
            waits = f.what == LEAVE and f.verdict is Verdict.FAILS
            return answers.get(f) or (leave.get(f.subject.rpartition(": ")[2], "") if waits else "")

        return tuple(
            replace(f, verdict=Verdict.LOOK_AGAIN, says=f"{f.says.rstrip('.')}. {says}", mend="") if (says := answer(f)) else f
            for f in found
        )

    def findings_of_family(self, piece: Piece, family: str) -> tuple[Finding, ...]:
        """Findings on the joints of one family of a piece."""
        pairs = {(j.first, j.second) for j in piece.joints if j.family == family}
        return tuple(
            f for f in self.findings_of(piece, "joints")
            if f.refs in pairs or f.subject == family
        )

    def findings_of_no_family(self, piece: Piece) -> tuple[Finding, ...]:
        """Findings on the Joints page that belong to no family of joints or screws: mortises that meet, the order of work."""
        told = {f for family in {j.family for j in (*piece.joints, *piece.fixings)} for f in self.findings_of_family(piece, family)}
        return tuple(f for f in self.findings_of(piece, "joints") if f not in told)

    def compared(self):
        """The commission's options side by side, the one in hand as it stands; () for fewer than two."""
        from studio_lib.brief.options import compare

        c = self.commission
        if len(c.options) < 2:
            return ()
        return compare([
            (o.name, self if o.name == c.chosen else type(self)(c.choosing(o.name), self.known)) for o in c.options
        ])
