"""Timber: what is on file, what suits, what it does over the year, and what the readings say."""

from __future__ import annotations

from dataclasses import replace
from functools import cache, cached_property
from itertools import islice

from studio_lib.derived.arrows import choices_of, finishes_of, glues_of, key, moisture_of, unwanted_of
from studio_lib.derived.names import SAWN_AT_DEG
from studio_lib.finding import Finding, Verdict
from studio_lib.forms.form import USUAL_MPA, Surroundings
from studio_lib.timber.sold import market_of


class Seasonal:
    """The year of a commission's place, as it moves any member. See ``studio_lib.piece.Season``."""

    def __init__(self, derived):
        self._d = derived
        self._swing = cache(self._swing_of)  # many boards are of one width

    def swing(self, member, size_mm: float, across: str = "width"):
        """Shrinking and growing of a size of the member across its grain. Raises ValueError for unpublished movement."""
        return self._swing(member.timber, size_mm, across)

    def _swing_of(self, timber: str, size_mm: float, across: str):
        from studio_lib.timber.provisions import swing

        angle = SAWN_AT_DEG[self._d.commission.timber.sawing]
        return swing(self._d.moving(timber), size_mm, angle, across, self._d.making_range)


class Timbers:
    """That part of ``studio_lib.derive.Derived``."""

    @cached_property
    def library(self):
        """The timbers on file with the maker's own laid over them."""
        from studio_lib.timber.own import on_file

        return on_file() if self.known.library is None else self.known.library

    @cached_property
    def species(self):
        """The chosen species, its movement by a stand-in where the maker accepted one, or None while it is open. Raises KeyError for one that is not on file."""
        return self.moving(self.commission.timber.species) if self.commission.timber.species else None

    def moving(self, name: str):
        """A timber by name, with the movement of a stand-in where the maker accepted that. Raises KeyError for one that is not on file."""
        from studio_lib.timber.species import MOVEMENT, with_movement

        found = self.library.timber(name)
        return with_movement(found) if MOVEMENT in self.commission.timber.stand_ins and getattr(found, MOVEMENT) is None else found

    @property
    def market(self) -> str:
        """Where its timber is bought, of ``timber.sold.MARKETS``; '' while no country is chosen."""
        return market_of(self.commission.rates.country)

    @property
    def local_wished(self) -> bool:
        """Whether the client wishes timber from around where they are."""
        from studio_lib.brief.said import local_asked

        return local_asked(self.commission.brief)

    @cached_property
    def timbers_asked(self) -> dict[str, str]:
        """Timbers named in the client's own words and nowhere else in the brief: {timber on file: the word said}."""
        from studio_lib.brief.said import timbers_asked

        b = self.commission.brief
        return {name: word for name, word in timbers_asked(b, self.market).items() if name not in b.wants.liked}

    @cached_property
    def liked(self) -> tuple[str, ...]:
        """Timbers that the client likes: those of the brief's list, then those of their own words."""
        return (*self.commission.brief.wants.liked, *self.timbers_asked)

    @property
    def solid_alone(self) -> str:
        """That sheet materials are not on file, a sentence, where it is painted or need not be costly; '' otherwise."""
        from studio_lib.brief.said import plain_asked
        from studio_lib.timber.choice import SOLID_ALONE

        return f"{SOLID_ALONE}." if plain_asked(self.commission.brief) else ""

    @property
    def timber_proposed(self) -> tuple[str, str]:
        """The timber that is proposed, and why: what the client likes where it suits, else the first of the ranked; ('', '') where none suits."""
        fit = [c for c in self.choices if not c.ruled_out and not c.unwanted]
        if not fit:
            return "", ""
        best = fit[0]
        near = f"; it grows in {best.grows}" if best.grows and self.local_wished else ""
        if not best.liked:
            first = f"the best of what grows in {best.grows}, as was asked" if near else "the best here by what the brief asks for"
            return best.species, f"{first}, {best.score} points of 100"
        said = f", who said '{self.timbers_asked[best.species]}'" if best.species in self.timbers_asked else ""
        suits = "suits here" if best.fit.stands and not (best.treated or best.too_soft) else "can be used here, with what is said against it below"
        return best.species, f"liked by the client{said}, and it {suits}: {best.score} points of 100{near}"

    @cached_property
    def barred(self) -> dict[str, str]:
        """Timbers that the client does not want, by name, each with the reason; {} where nothing was said."""
        from studio_lib.timber import why_unwanted

        unwanted = unwanted_of(self.commission.brief.wants)
        return {s.name: why for s in self.library.species if (why := why_unwanted(s, unwanted))} if unwanted.anything else {}

    @cached_property
    def unwanted_findings(self) -> tuple[Finding, ...]:
        """Timbers in the piece that the client does not want, or of which nobody can say."""
        from studio_lib.timber import unwanted_findings

        unwanted = unwanted_of(self.commission.brief.wants)
        if not unwanted.anything:
            return ()
        return tuple(f for s in self._timbers for f in unwanted_findings(s, unwanted))

    @cached_property
    def stain_findings(self) -> tuple[Finding, ...]:
        """Timbers in the piece that stain what is under it where the client forbids that; those that do not as well."""
        from studio_lib.timber.stain import stain_findings

        b, there = self.commission.brief, self.hardest
        clean = (c.species for c in self.choices if c.fit.stands and not (c.unwanted or c.too_soft)
                 and self.library.timber(c.species).tannin == "none")
        first = tuple(islice(clean, 3))
        return tuple(f for s in self._timbers for f in stain_findings(s, there.place, there.wetted, b.wants.no_tannin_run, first))

    @property
    def _timbers(self):
        """Every timber on file that the piece is made of: the chosen one, and those of single members."""
        own = [a for i in self.commission.items for a in i.adjustments if not a.off]
        names = dict.fromkeys([
            self.commission.timber.species or "", *(a.value for a in own if a.kind == "alter" and a.field == "timber"),
            *(a.timber for a in own if a.kind == "add"),
        ])
        known = {s.name: s for s in self.library.species}
        return tuple(known[n] for n in names if n in known)

    @cached_property
    def weighing(self):
        """Timbers ranked under the weights of maker and client, and how fragile the first place is."""
        from studio_lib.timber import Weights, weigh

        b, w, there = self.commission.brief, self.commission.timber.weights, self.hardest
        return weigh(
            self.library, Weights(**w.model_dump()), there.place, b.years_wanted, b.use == "public", b.wants.tone, self.barred,
            wear=self.wear, wetted=there.wetted, no_stain=b.wants.no_tannin_run, keep_colour=b.wants.keeps_colour,
        )

    @cached_property
    def on_this_piece(self):
        """The chosen timber and up to three others on this very piece; () while none is chosen."""
        from studio_lib.look.scenes import EXPOSURE
        from studio_lib.finishing.finish import seen_as
        from studio_lib.timber import PlainMember, compare_on_piece

        c = self.commission
        names = [n for n in (c.timber.species, *c.timber.compared) if n]
        if c.timber.species is None or not self.made:
            return ()
        spans = {"slat", "apron", "bearer"}
        upright_mm = {(p.name, m.ref): m.piece_box.hi[2] - m.piece_box.lo[2] for p in self.pieces for m in p.members}
        members = [
            PlainMember(
                f"{r.piece}, {r.name}", r.count, r.overall_length_mm, r.width_mm, r.thickness_mm,
                r.shoulder_length_mm if r.name.split(",")[0] in spans else None,
                abs(upright_mm[r.piece, r.ref] - r.width_mm) < 0.5 < r.width_mm - r.thickness_mm,
            )
            for r in self.cutting_list
        ]
        angle = self.ring_angle_deg
        if angle is None:
            angle = SAWN_AT_DEG[c.timber.sawing]
        finish = seen_as(self.finish_family)
        return compare_on_piece(
            self.library, names, members, self.standing[0].making_range, angle, EXPOSURE[self.hardest.place], finish,
            self.layout.net_yield or self.expected_yield(c.timber.species).share,
        )

    @property
    def rained_on(self) -> bool:
        """Under a roof, and rain blows in."""
        return self.hardest.place == "outdoors, under cover" and self.hardest.wetted

    @cached_property
    def life(self):
        """Years outdoors with their conditions; None indoors or while no timber is chosen."""
        from studio_lib.timber import Details, life_outdoors

        if self.species is None or not self.hardest.place.startswith("outdoors"):
            return None
        return life_outdoors(
            self.species, self.hardest.place, Details(**self.commission.timber.details.model_dump()), self.hardest.wetted,
        )

    @cached_property
    def readiness(self):
        """Which boards are dry enough to make, from the readings; None while there is none."""
        from studio_lib.timber import ready

        rows = self.commission.timber.readings
        if not rows or self.species is None:
            return None
        return ready(
            self._readings, self.making_moisture_pct, self.moisture.tolerance_pct, self.species.name,
            self.commission.timber.meter_correction_pct,
        )

    @property
    def _readings(self):
        from studio_lib.timber import Reading

        return [
            Reading(r.day, r.board, r.depth_mm, r.percent, r.temperature_c, r.instrument_species, r.kind)
            for r in self.commission.timber.readings
        ]

    @cached_property
    def read_and_corrected(self):
        """Each reading with what it means, in the order written down; () while no timber is chosen."""
        from studio_lib.timber import corrected

        if self.species is None:
            return ()
        correction = self.commission.timber.meter_correction_pct
        return tuple((r, corrected(r, self.species.name, correction)) for r in self._readings)

    @cached_property
    def glues(self):
        """Families of glue judged for this timber in this place, those that stand first."""
        if self.species is None:
            return ()
        b = self.hardest
        return glues_of(self.species, b.place, 0.15, None, self.commission.timber.details.traps_water, b.wetted, self.commission.brief.allergies)

    @cached_property
    def finishes(self):
        """Families of finish judged for this timber, this place and this wish, those that stand first."""
        from studio_lib.finishing import FinishWants

        if self.species is None:
            return ()
        b = self.commission.brief
        wants = FinishWants(
            look="any", food_contact=False, small_children=self.children, wet_glasses="table" in " ".join(i.form for i in self.commission.items),
            easy_repair=b.care_done != "none", years_between={"none": 10.0, "once a year": 1.0}.get(b.care_done, 0.0),
            lies_flat=not self.rained_on, sheen=b.sheen, little_smell=b.little_smell, keeps_colour=bool(b.wants.keeps_colour), allergies=b.allergies,
        )
        return finishes_of(self.species, self.hardest.place, wants, self.hardest.wetted)

    @property
    def finish_of_brief(self):
        """The family on file that best suits what the brief says of the finish, judged; None where none of its kind will do."""
        from studio_lib.finishing import kind_asked

        said = self.commission.brief.finish
        alike = [f for f in self.finishes if kind_asked(f.finish.family) == said]
        return next((f for f in alike if f.verdict is not Verdict.FAILS), None)

    @cached_property
    def sayings(self):
        """What may and may not be said of where the timber comes from; None while none is chosen."""
        from studio_lib.timber import may_say

        if self.species is None:
            return None
        return may_say(self._provenance, self.species)

    @property
    def _provenance(self):
        from studio_lib.timber import Provenance

        o = self.commission.timber.origin.model_dump(exclude={"market"})
        return Provenance(self.species.name, self.species.botanical_name, **o)

    @cached_property
    def law_findings(self) -> tuple[Finding, ...]:
        """Records that the timber law of the market asks for; () while no market is named."""
        from studio_lib.timber import law_findings

        market = self.commission.timber.origin.market
        return law_findings(self._provenance, market) if market and self.species else ()

    @property
    def moisture(self):
        """What the place does to timber over a year."""
        b = self.commission.brief
        return moisture_of(b.place, b.own_climate.air(b.climate) or b.climate)

    @property
    def making_moisture_pct(self) -> float:
        """Measured or agreed moisture at making, else the place's own target. [%]"""
        own = self.commission.timber.making_moisture_pct
        return self.moisture.making_pct if own is None else own

    @property
    def making_range(self):
        """The place's year with the moisture really made at."""
        return replace(self.moisture, making_pct=self.making_moisture_pct)

    @property
    def choices(self):
        """Every species on file: ranked for the brief, or ruled out with the reason."""
        from studio_lib.brief.said import painted_asked, plain_asked
        from studio_lib.timber import all_species

        b, there = self.commission.brief, self.hardest
        prices = tuple((s.name, float(self.price_per_m3(s.name).amount)) for s in all_species()) if plain_asked(b) else ()
        return choices_of(
            key(b.wants.model_copy(update={"liked": self.liked})), there.place, b.years_wanted, b.use == "public", self.wear, there.wetted, self.market,
            self.commission.rates.country, self.local_wished, painted_asked(b), prices)

    @property
    def wear(self):
        """What seats and tops asked for must bear."""
        from studio_lib.timber.wear import wear_of_pieces

        c = self.commission
        return wear_of_pieces(((i.name, i.form, bool(i.sizes.get("made_to"))) for i in c.items), c.brief.use == "public", self.children)

    @cached_property
    def ring_angle_deg(self) -> float | None:
        """Between rings and face, as measured or as drawn on the end grain; None: by the sawing. [deg]"""
        from studio_lib.timber import mean_ring_angle_deg

        t = self.commission.timber
        if t.ring_angle_deg is not None or t.rings is None:
            return t.ring_angle_deg
        return mean_ring_angle_deg(t.rings.width_mm, t.rings.heart()[0])

    @cached_property
    def drawn_board(self):
        """What the drawn board does from making to the driest and the wettest: two ``Cup``; None while none is drawn.

        Raises ValueError (FigureMissing) where the timber's movement is not on file or the board holds the pith.
        """
        from studio_lib.timber import cup

        rings = self.commission.timber.rings
        if rings is None or self.species is None:
            return None
        heart, _ = rings.heart()
        return tuple(
            cup(self.species, rings.width_mm, rings.thickness_mm, heart, self.making_moisture_pct, to_pct)
            for to_pct in (self.moisture.low_pct, self.moisture.high_pct)
        )

    @cached_property
    def tried(self):
        """Each detail the maker tries with its ``Provision``, or None and why it cannot be judged.

        () while no timber is chosen.
        """
        from studio_lib.timber.provisions import swing
        from studio_lib.timber.try_out import detail

        if self.species is None:
            return ()
        of_boards = self.ring_angle_deg
        if of_boards is None:
            of_boards = SAWN_AT_DEG[self.commission.timber.sawing]
        out = []
        for one in self.commission.timber.tried:
            angle = of_boards if one.ring_angle_deg is None else one.ring_angle_deg
            try:
                moved = swing(self.species, one.size_mm, angle, "width", self.making_range)
                out.append((one, detail(one.detail).judge(moved, one.figures), ""))
            except ValueError as error:
                out.append((one, None, str(error)))
        return tuple(out)

    def tried_findings(self, index: int) -> tuple[Finding, ...]:
        """What is found on one detail the maker tries, by its number; () while no timber is chosen."""
        if self.species is None:
            return ()
        one, provision, why_not = self.tried[index]
        name = f"{one.where}, {one.detail}" if one.where else one.detail
        if provision is None:
            return (Finding(name, "movement", Verdict.OPEN, why_not, stage="timber",
                            mend="Choose a timber with published movement, or other sizes."),)
        return tuple(replace(f, subject=name, stage="timber") for f in provision.findings)

    @cached_property
    def finish_findings(self) -> tuple[Finding, ...]:
        """Whether the chosen glue, finish and fixings suit timber and place, and may be put together."""
        from studio_lib.finishing import METALS, conflicts, kind_asked

        t, b = self.commission.timber, self.commission.brief
        if self.species is None:
            return ()
        found = [g.finding for g in self.glues if g.adhesive.family == t.glue]
        own = next((f for f in self.finishes if f.finish == self.finish_family), None)
        # What the brief asks for is told of where it will not do; what was chosen here in any case.
        found += [own.finding] if own and (t.finish_family or own.verdict is Verdict.FAILS) else []
        families = [f for f in (t.glue, t.finish_family) if f]
        found += conflicts(families, self.species, self.hardest.place, ["steel wool"] * t.steel_wool, any(d.commission.brief.by_the_sea for d in self.standing))
        for d in self.standing:
            metal = [METALS[d.metal]] if METALS[d.metal] else []
            found += [f for f in conflicts((), self.species, d.commission.brief.place, metal, bool(d.commission.brief.by_the_sea)) if f not in found]
        if t.finish_family and b.finish != kind_asked(t.finish_family):
            found.append(
                Finding("finish", "what is priced", Verdict.LOOK_AGAIN,
                        f"{t.finish_family} is chosen here, but price and hours count '{b.finish}'.",
                        rule="one finish on every page", source="this commission",
                        mend="Change the finish on the Brief page, or the family here.")
            )
        return tuple(replace(f, stage="timber") for f in found)

    @property
    def allergy_findings(self) -> tuple[Finding, ...]:
        """What of finish, glue, timbers and metal holds what someone there is allergic to; () where nobody is."""
        from studio_lib.finishing import allergy_findings

        if not self.commission.brief.allergies or self.species is None:
            return ()
        used = {s.name: s.botanical_name.split()[0] for s in self._timbers}
        used |= {name: name for name in (self.finish_family.family, self.commission.timber.glue) if name}
        used |= {f"{d.metal} for screws, bolts and plates": d.metal for d in self.standing}
        bright = ("hinges",) if any(j.lets == "turn" for p in self.pieces for j in p.joints) else ()
        return allergy_findings(self.commission.brief.allergies, used, (*bright, *(x.what for x in self.commission.rates.bought_in)))

    def movement_mm(self, width_mm: float, to_pct: float) -> float:
        """Change of a width from making to another moisture; 0 while no species is chosen. [mm]

        By the ring angle measured or drawn on the end grain, else by the sawing.
        """
        from studio_lib.timber import member_movement_mm, movement_at_angle

        if self.species is None:
            return 0.0
        angle = self.ring_angle_deg
        if angle is not None:
            return movement_at_angle(self.species, width_mm, angle, "width", self.making_moisture_pct, to_pct).mm
        return member_movement_mm(
            self.species, width_mm, self.commission.timber.sawing, self.making_moisture_pct, to_pct
        )

    @property
    def _bends_mpa(self) -> float:
        """Modulus of rupture that sections are proposed for: of the timber chosen, of the usual hardwoods while none is or none is published. [MPa]"""
        return (self.species and self.species.mor_mpa) or USUAL_MPA

    @cached_property
    def around(self) -> Surroundings:
        unknown = self.movement_unknown
        swell = 0.0 if unknown else self.movement_mm(100.0, self.moisture.high_pct) / 100
        return Surroundings(self.commission.timber.species or "", round(max(swell, 0.0), 6), self.commission.boards.dressing_mm, self.boards_of_theirs, self.metal, self._bends_mpa)

    @cached_property
    def season(self):
        """How each member moves over the year in its place, as joints ask for it."""
        return Seasonal(self)
