"""The path through a commission: one readable function per arrow, each kept under what it depends on.

``derive(commission)`` returns a ``Derived``, whose attributes are worked out when first
asked for. Nothing here is stored as truth; two commissions that agree in a part share
what follows from it, so a moved slider works out only what it touches.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import cached_property, lru_cache

from studio_lib.commission import BoardChoices, Brief, Commission, Item
from studio_lib.finding import Finding, Verdict, from_ratio, worst_first
from studio_lib.forms import Proposal, Surroundings, form, proposed_beside, settled
from studio_lib.forms.beside import SEATS, Here, Table, brief_here, sat_at, slides_in, suits_with_seats, table_of
from studio_lib.forms.form import users_of
from studio_lib.forms.slatted import DRAIN_MM
from studio_lib.forms.space import around_table
from studio_lib.piece import Piece
from studio_lib.stock.boards import Allowances, Board, Fault, Layout
from studio_lib.units import size

SAWN_AT_DEG = {"flat": 0.0, "mixed": 0.0, "quarter": 90.0}
"""Ring angle where none was measured; boards of mixed sawing may be flat-sawn, which moves most. [deg]"""
LEAVE = "leave of others"
DINING_FROM_MM = 600.0
"""Under this height nobody draws a chair up to a table; judgement of ours."""
SHELF_SAG = "sag, shelf"
KEEP = 64
"""How many recent answers each arrow keeps."""


def _key(part) -> str:
    return part.model_dump_json()


# ------------------------------------------------------------------ timber


@lru_cache(maxsize=KEEP)
def moisture_of(place: str, climate):
    """Yearly range of moisture, and the moisture to make at; ``climate`` by name, or as entered for the place."""
    from studio_lib.timber import climate as climate_named
    from studio_lib.timber import service_range

    return service_range(place, climate_named(climate) if isinstance(climate, str) else climate)


@lru_cache(maxsize=KEEP)
def _choices(wants_json: str, place: str, years: int, public: bool, wear, wetted: bool):
    from studio_lib.commission import Wants
    from studio_lib.timber import Wants as TimberWants
    from studio_lib.timber import rank

    wants = Wants.model_validate_json(wants_json)
    return tuple(
        rank(
            TimberWants(
                light_or_dark=wants.tone, may_go_grey=wants.may_go_grey,
                low_movement=wants.small_movement, low_weight=wants.light_weight,
                hard_surface=wants.hard_surface, easy_to_work=wants.easy_to_work,
                low_tannin=wants.no_tannin_run,
            ),
            place, years, public, wear, wants.liked, wetted, unwanted_of(wants),
        )
    )


def unwanted_of(wants):
    """What the client does not want, as ``studio_lib.timber`` takes it."""
    from studio_lib.timber import Unwanted

    return Unwanted(wants.unwanted, wants.no_tropical, wants.none_listed)


# ------------------------------------------------------------------ piece


@lru_cache(maxsize=KEEP)
def _sizes(item_json: str, brief_json: str, around: Surroundings, table=None):
    item, brief = Item.model_validate_json(item_json), Here.model_validate_json(brief_json)
    chosen = form(item.form)
    return settled(chosen, brief, around, item.sizes, table), proposed_beside(chosen, brief, around, item.sizes, table)


@lru_cache(maxsize=KEEP)
def _piece(item_json: str, sizes: tuple[tuple[str, float], ...], around: Surroundings, letter: str) -> Piece:
    """Kept by its sizes, so that a stool whose height comes from a table is the same stool beside a longer one."""
    item = Item.model_validate_json(item_json)
    return form(item.form).lay_out(
        item.name, letter, dict(sizes), around, item.joints, item.adjustments
    )


@lru_cache(maxsize=KEEP)
def _piece_findings(piece: Piece) -> tuple[Finding, ...]:
    from studio_lib.piece.checks import piece_findings
    from studio_lib.piece.uncut import uncut_findings

    return tuple(uncut_findings(piece) + piece_findings(piece))


@lru_cache(maxsize=KEEP)
def _structure(piece: Piece, woods: tuple, place: str, use: str, own: tuple, setting):
    from studio_lib.structure.whole import analysed

    return analysed(piece, dict(woods), place, use, dict(own), setting)


@lru_cache(maxsize=KEEP)
def _cutting_list(items: tuple[tuple[Piece, int], ...]):
    from studio_lib.stock.cutting_list import cutting_list

    return cutting_list(items)


# ------------------------------------------------------------------ boards


def allowances(choices: BoardChoices) -> Allowances:
    """What the maker's machines need over the finished size."""
    return Allowances(choices.docking_mm, choices.edging_mm, choices.dressing_mm)


def offered(choices: BoardChoices) -> tuple[Board, ...]:
    """The boards of the document, as the layout takes them."""
    return tuple(
        Board(
            ref=b.ref, timber=b.timber, length_mm=b.length_mm, width_mm=b.width_mm,
            thickness_mm=b.thickness_mm, price=b.price, count=b.count, source=b.source,
            faults=tuple(
                Fault(f.x0_mm, f.x1_mm, f.y0_mm, f.y1_mm, f.severity, f.name, f.face) for f in b.faults
            ),
            width_end_mm=b.width_end_mm, grain=b.grain, grade=b.grade, yard=b.yard,
        )
        for b in choices.offered if b.state != "put back"
    ) + _stock_boards(choices.stock)


@lru_cache(maxsize=KEEP)
def _stock_boards(stock) -> tuple[Board, ...]:
    from studio_lib.stock.sizes import boards_of

    return tuple(b for s in stock for b in boards_of(s))


@lru_cache(maxsize=KEEP)
def _layout(wanted, boards, kerf, resaw, trim, allow: Allowances, kept_json: str, matches=(), pins=(), first_cut="either"):
    """The kept layout while it still fits, else a first layout; and why it was not used."""
    import json

    from studio_lib.stock import check_layout, lay_out

    refused, kept = "", None
    if kept_json:
        kept = Layout.from_plain(json.loads(kept_json))
        faults = check_layout(
            kept, wanted, boards, kerf, allowances=allow, end_trim_mm=trim, resaw_kerf_mm=resaw, matches=matches, pins=pins
        )
        if not faults:
            return kept, ""
        refused = faults[0]
    quick = lay_out(
        wanted, boards, kerf, 1.0, allowances=allow, end_trim_mm=trim, resaw_kerf_mm=resaw,
        effort="quick", matches=matches, pins=pins, first_cut=first_cut, kept=kept,
    )
    return quick, refused


# ------------------------------------------------------------------ the whole


@dataclass(frozen=True)
class Made:
    """One piece of the commission with all that belongs to it."""

    item: Item
    sizes: dict[str, float]
    proposals: dict[str, Proposal]
    piece: Piece
    brief: Brief
    """As it is for this piece: on a bench at a table sit as many as go between its legs."""


@dataclass(frozen=True)
class Known:
    """What the maker's book adds to a commission: hours of past jobs, and timbers of their own."""

    records: tuple = ()
    """Finished jobs, the earliest first, as ``studio_lib.costing.records.PastRecord``."""
    past_jobs: tuple = ()
    library: object = None
    """From ``studio_lib.timber.own_species``; None for the timbers on file."""
    yields: tuple = ()
    """What past jobs got out of their boards (``stock.yields.JobYield``)."""

    @cached_property
    def estimator(self):
        """What the finished jobs say of hours."""
        from studio_lib.costing.hours import learnt
        from studio_lib.costing.operations import standard_times

        return learnt([r.ratios for r in self.records], {o: t.log_sd for o, t in standard_times().items()})


FIXING_WORDS, JOINING_WORDS = ("fixing", "bracket", "shoe", "anchor"), ("join", "bolt", "tongue")
"""By what words a screen's fixings, and what joins its leaves, are known among what is bought in."""


def _side_by_side(made: Made, passes_mm: float) -> str:
    """How a screen too long for the way in is made in leaves that stand edge to edge. [mm]"""
    long, width = made.piece.overall_mm[0], form(made.item.form).sizes[0].label
    n = math.ceil(long / passes_mm)
    return (f"Make it in {n} leaves that join edge to edge (up to {passes_mm:.0f} mm passes): "
            f"set '{width}' on Sizes to {long / n:.0f} mm and 'How many' on Brief to "
            f"{n * made.item.count}; pictures, price and quote then take them as one row.")


class Seasonal:
    """The year of a commission's place, as it moves any member. See ``studio_lib.piece.Season``."""

    def __init__(self, derived: Derived):
        self._d = derived

    def swing(self, member, size_mm: float, across: str = "width"):
        """Shrinking and growing of a size of the member across its grain. Raises ValueError for unpublished movement."""
        from studio_lib.timber.provisions import swing

        angle = {"flat": 0.0, "mixed": 0.0, "quarter": 90.0}[self._d.commission.timber.sawing]
        return swing(self._d.library.timber(member.timber), size_mm, angle, across, self._d.making_range)


class Derived:
    """Everything that follows from one commission, worked out when asked for."""

    def __init__(self, commission: Commission, known: Known | None = None):
        self.commission = commission
        self.known = known or Known()

    # timber

    @cached_property
    def library(self):
        """The timbers on file with the maker's own laid over them."""
        from studio_lib.timber import own_species

        return own_species() if self.known.library is None else self.known.library

    @cached_property
    def species(self):
        """The chosen species, or None while it is open. Raises KeyError for one that is not on file."""
        name = self.commission.timber.species
        return self.library.timber(name) if name else None

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

        b = self.commission.brief
        clean = [c.species for c in self.choices if c.fit.stands and not (c.unwanted or c.too_soft)
                 and self.library.timber(c.species).tannin == "none"]
        return tuple(f for s in self._timbers for f in stain_findings(s, b.place, b.wetted, b.wants.no_tannin_run, tuple(clean[:3])))

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

        b, w = self.commission.brief, self.commission.timber.weights
        return weigh(
            self.library, Weights(**w.model_dump()), b.place, b.years_wanted, b.use == "public", b.wants.tone, self.barred,
            wear=self.wear, wetted=b.wetted, no_stain=b.wants.no_tannin_run,
        )

    @cached_property
    def on_this_piece(self):
        """The chosen timber and up to three others on this very piece; () while none is chosen."""
        from studio_lib.look.scenes import EXPOSURE
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
        finish = "bare" if c.brief.finish == "left bare" else "oiled"
        return compare_on_piece(
            self.library, names, members, self.making_range, angle, EXPOSURE[c.brief.place], finish,
            self.layout.net_yield or self.expected_yield(c.timber.species).share,
        )

    @property
    def rained_on(self) -> bool:
        """Under a roof, and rain blows in."""
        return self.commission.brief.place == "outdoors, under cover" and self.commission.brief.wetted

    @cached_property
    def life(self):
        """Years outdoors with their conditions; None indoors or while no timber is chosen."""
        from studio_lib.timber import Details, life_outdoors

        if self.species is None or not self.commission.brief.place.startswith("outdoors"):
            return None
        return life_outdoors(
            self.species, self.commission.brief.place, Details(**self.commission.timber.details.model_dump()),
            self.commission.brief.wetted,
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
        from studio_lib.finishing import glues_for

        if self.species is None:
            return ()
        b = self.commission.brief
        return tuple(glues_for(self.species, b.place, 0.15, None, self.commission.timber.details.traps_water, b.wetted))

    @cached_property
    def finishes(self):
        """Families of finish judged for this timber, this place and this wish, those that stand first."""
        from studio_lib.finishing import FinishWants, finishes_for

        if self.species is None:
            return ()
        b = self.commission.brief
        wants = FinishWants(
            look="any", food_contact=False, small_children=self.children, wet_glasses="table" in " ".join(i.form for i in self.commission.items),
            easy_repair=b.care_done != "none", years_between={"none": 10.0, "once a year": 1.0}.get(b.care_done, 0.0),
            lies_flat=not self.rained_on,
        )
        return tuple(finishes_for(self.species, b.place, wants, b.wetted))

    @property
    def finish_of_brief(self):
        """The family on file that best suits what the brief says of the finish, judged; None where none of its kind will do."""
        said = self.commission.brief.finish
        alike = [f for f in self.finishes if f.finish.family == said or f.finish.kind == {"left bare": "bare"}.get(said, said)]
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
        return moisture_of(b.place, b.own_climate.air() or b.climate)

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
        b = self.commission.brief
        return _choices(_key(b.wants), b.place, b.years_wanted, b.use == "public", self.wear, b.wetted)

    @property
    def wear(self):
        """What seats and tops asked for must bear."""
        from studio_lib.timber.wear import wear_of

        c = self.commission
        return wear_of({i.form for i in c.items}, c.brief.use == "public", self.children)

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
        from studio_lib.finishing import METALS, conflicts

        t, b = self.commission.timber, self.commission.brief
        if self.species is None:
            return ()
        found = [g.finding for g in self.glues if g.adhesive.family == t.glue]
        own = next((f for f in self.finishes if f.finish.family == t.finish_family), None)
        found += [own.finding] if own else []
        extras = (METALS.get(t.fixings_metal, ""), "steel wool" if t.steel_wool else "")
        families = [f for f in (t.glue, t.finish_family) if f]
        found += conflicts(families, self.species, b.place, [x for x in extras if x], bool(b.by_the_sea))
        as_priced = own is None or b.finish in (own.finish.family, own.finish.kind)
        if not as_priced:
            found.append(
                Finding("finish", "what is priced", Verdict.LOOK_AGAIN,
                        f"{t.finish_family} is chosen here, but price and hours count '{b.finish}'.",
                        rule="one finish on every page", source="this commission",
                        mend="Change the finish on the Brief page, or the family here.")
            )
        return tuple(replace(f, stage="timber") for f in found)

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

    @cached_property
    def around(self) -> Surroundings:
        unknown = self.movement_unknown
        swell = 0.0 if unknown else self.movement_mm(100.0, self.moisture.high_pct) / 100
        return Surroundings(self.commission.timber.species or "", round(max(swell, 0.0), 6), self.commission.boards.dressing_mm)

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
        m, b = self.made[index], self.commission.brief
        choices, timber = self.commission.boards, self.commission.timber.species
        return Asked(
            m.item.form, m.brief, self.around, m.sizes, dict(m.item.joints), m.item.adjustments, self.woods_of(m.piece), b.place, b.use,
            self._own_loads(index), tuple(sorted({o.thickness_mm for o in offered(choices) if o.timber == timber})), choices.dressing_mm,
            self._setting(index),
        )

    # pieces

    @cached_property
    def made(self) -> tuple[Made, ...]:
        """Every piece of the commission, laid out. Raises SizeRefused for a size that cannot be."""
        brief = self.commission.brief
        out, first = [], self._first_table
        table = self._sat_at
        benched = sum(item.count for item in self.commission.items if item.form == "bench")
        for i, item in enumerate(self.commission.items):
            item_json, at, own = _key(item), table if item.form in SEATS else None, brief
            if i == first:
                own = self._brief_of_table
            elif item.form == "bench":
                people, under = brief.people, bool(at) and slides_in(item.form, brief.asked, item.sizes)
                if at and benched > 1:
                    people = math.ceil(people / benched)
                if under:
                    people = at.side_by_side(people)
                if people < brief.people or item.count > 1:
                    own = brief_here(brief, people=people, shared_out=bool(at) and benched > 1, ordered=item.count)
            sizes, proposals = _sizes(item_json, _key(own), self.around, at)
            out.append(
                Made(item, sizes, proposals, _piece(item_json, tuple(sizes.items()), self.around, _letter(i)), own)
            )
        return tuple(out)

    @property
    def _first_table(self) -> int | None:
        """The first table among the items, where there is one and a seat to stand at it."""
        items = self.commission.items
        at = next((i for i, item in enumerate(items) if "table" in item.form), None)
        return at if any(item.form in SEATS for item in items) else None

    @cached_property
    def _brief_of_table(self) -> Brief:
        """The brief as the first table sees it: whether all sit on benches along its sides."""
        brief, seats = self.commission.brief, [item for item in self.commission.items if item.form in SEATS]
        if sum(item.count for item in seats) < 2 or any(item.form != "bench" for item in seats):
            return brief
        under = all(slides_in(item.form, brief.asked, item.sizes) for item in seats)
        return brief_here(brief, benches="under" if under else "before")

    @cached_property
    def _sat_at(self) -> Table | None:
        """The first table as its seats know it; None where there is none, or no seat."""
        at = self._first_table
        if at is None:
            return None
        item = _key(self.commission.items[at])
        sizes, _ = _sizes(item, _key(self._brief_of_table), self.around, None)
        return table_of(_piece(item, tuple(sizes.items()), self.around, _letter(at)))

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
            gaps[m.piece.name] = (
                gap - self.movement_mm(width, self.moisture.high_pct),
                gap,
                gap - self.movement_mm(width, self.moisture.low_pct),
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

    # people and place

    @cached_property
    def users(self):
        """Who uses it, as sizes are proposed for. Raises ValueError for no one at all."""
        return users_of(self.commission.brief)

    @property
    def children(self) -> bool:
        """Whether children come near it: they use it, or it stands in public."""
        return self.commission.brief.near_children

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
        wanted = [Wanted(kind_of(i.form, c.brief.place), i.count, c.brief.people) for i in c.items]
        if self.rough_price is not None:
            return counted_ballpark(self.rough_price, wanted, c.brief.brings_timber)
        return ballpark(
            wanted, c.brief.place, c.brief.use, c.rates, self.known.past_jobs, c.brief.brings_timber,
        )

    @property
    def reckoned(self) -> tuple[str, ...]:
        """Each piece as the ballpark reckons it, in a line; by the usual of its kind while it cannot be laid out."""
        from studio_lib.brief.ballpark import reckoned_words

        try:
            return tuple(
                reckoned_words(form(m.item.form), m.sizes, m.piece.overall_mm, m.item.count) if m.piece.members
                else f"{m.item.form} of the usual size" for m in self.made
            )
        except (ValueError, LookupError):
            return tuple(f"{i.form} of the usual size" for i in self.commission.items)

    def suits(self, index: int):
        """Whose body decides each size of a piece, and what share it suits as it stands, by size."""
        made = self.made[index]
        try:
            users = users_of(made.brief)
            if isinstance(made.brief, Here) and made.brief.ordered > 1 and not made.brief.shared_out:
                users = replace(users, at_once=math.ceil(users.count / made.brief.ordered))
            suits = form(made.item.form).suits(made.sizes, users)
            if index == self._first_table and self._sat_at:
                seat = next((m.sizes["height_mm"] for m in self.made if m.item.form in SEATS), None)
                suits = suits_with_seats(suits, self._sat_at, made.brief, users, seat)
            return suits
        except ValueError:
            return {}  # a size beyond anybody's body: the size's own checks speak of it

    # findings

    @cached_property
    def brief_findings(self) -> tuple[Finding, ...]:
        """What the first hour already rules out, or must be asked."""
        from studio_lib.brief.refusals import budget_short, drying, leave_of_others
        from studio_lib.brief.wishes import judged_on, says_yes_first

        b, found = self.commission.brief, []
        park = self.ballpark
        if park and b.budget:
            low, likely, _ = park.gross
            ways = "; ".join(f"{w.way}: {w.how} saves about {w.saves}" for w in park.cheaper)
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
        if b.own_climate.missing:
            meanwhile = "" if b.own_climate.complete else f"; reckoned as {b.climate} meanwhile"
            found.append(Finding("air of the place", "entered climate", Verdict.OPEN,
                                 f"{', '.join(b.own_climate.missing)} not entered yet{meanwhile}",
                                 mend="Fill it in under 'Where it stands', or clear your own figures."))
        theirs = b.their_timber
        if b.brings_timber and (theirs.moisture_pct is None or not theirs.thickness_mm or not theirs.measured_on):
            found.append(
                Finding("their timber", "drying", Verdict.OPEN, "moisture, thickness and the day of measuring are not all known",
                        mend="Measure it, and write down how thick it is and on which day.")
            )
        elif b.brings_timber and self.species:
            cut_on = max(b.wanted_by - timedelta(weeks=6), theirs.measured_on) if b.wanted_by else theirs.measured_on
            try:
                found.append(
                    drying(self.species, theirs.width_mm or 100.0, theirs.thickness_mm, self.commission.timber.sawing,
                           theirs.moisture_pct, self.making_moisture_pct, theirs.measured_on, cut_on)
                )
            except ValueError as error:
                found.append(Finding("their timber", "drying", Verdict.OPEN, str(error), stage="brief",
                                     mend="Measure it again, or choose a timber with published shrinkage."))
        return tuple(replace(f, stage="brief") for f in found)

    def findings_of_wish(self, wish) -> list[Finding]:
        """What one wish of the brief would mean, in this place and for these people."""
        from studio_lib.brief.wishes import ASSUMED, Site, wish_findings

        b, t, m = self.commission.brief, self.commission.timber, self.moisture
        return wish_findings(wish, Site(
            b.place, self.children, self.species or self.library.timber(ASSUMED), self.species is not None, t.sawing,
            self.making_moisture_pct, m.low_pct, m.high_pct, b.wind, b.wind_m_s, b.beside_a_drop, b.drop_mm,
            b.leave_given, b.fixed_to_building,
        ))

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
        from studio_lib.brief.refusals import TIMBER_DAYS, days_needed
        from studio_lib.costing.operations import glue_stages

        b, rates = self.commission.brief, self.commission.rates
        likely = float(self.price.hours_at(50)) if self._hours_known else self.ballpark.hours[1]
        rows = list(days_needed(
            (self._begun(ordered) - ordered).days, TIMBER_DAYS, likely, rates.hours_per_week * rates.billable_share,
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
            return day + timedelta(days=math.ceil(sum(row[2] for row in self.days_from_order(day)))) <= wanted

        soonest = math.ceil(sum(row[2] for row in self.days_from_order(wanted)))
        return next((wanted - timedelta(days=n) for n in range(max(soonest - 60, 0), soonest + 400) if in_time(n)), None)

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
        found = [*self.lasting_findings, *self.unwanted_findings, *self.stain_findings, *self.finish_findings, *self.unpublished_findings]
        for index in range(len(self.tried)):
            found += self.tried_findings(index)
        return tuple(found)

    @cached_property
    def unpublished_findings(self) -> tuple[Finding, ...]:
        """Figures for strength that nobody published of the chosen timber, until a stand-in is accepted."""
        if self.species is None:
            return ()
        fields = {"moe_gpa": "stiffness", "mor_mpa": "bending strength", "shear_mpa": "shear strength"}
        missing = [words for field, words in fields.items()
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
        from studio_lib.timber import fit_for_place

        b = self.commission.brief
        if self.species is None:
            return (
                Finding("timber", "choice", Verdict.OPEN, "no timber chosen yet", stage="timber",
                        mend="Choose one on the Timber page."),
            )
        found = [fit_for_place(self.species, b.place, b.years_wanted, b.use == "public", b.wetted)]
        if self.life is not None:
            from studio_lib.timber import Details, life_finding

            found.append(
                life_finding(
                    self.species, b.place, Details(**self.commission.timber.details.model_dump()), b.years_wanted, b.wetted
                )
            )
        return tuple(found)

    @cached_property
    def size_findings(self) -> tuple[Finding, ...]:
        found = []
        holds = {}
        for i, m in enumerate(self.made):
            fits, holds[m.piece] = self._one_sag(m, form(m.item.form).fit_under(m.piece, m.sizes, m.brief, self.loads(i)))
            found += _of(m.piece, fits)
            if "table" in m.item.form and m.piece.overall_mm[2] >= DINING_FROM_MM:
                found += _of(m.piece, around_table(m.piece.name, *m.piece.overall_mm[:2], m.brief))
            if self._sat_at and m.item.form in SEATS:
                found += _of(m.piece, sat_at(self._sat_at, m.piece.name, m.sizes["height_mm"], users_of(self.commission.brief)))
            found += _of(m.piece, self._children_and_gaps(m))
        found += self._movement_findings()
        found += self._way_in()
        for m in self.made:
            found += _of(m.piece, (f for f in m.piece.findings if f.stage == "sizes"))
        for p in self.pieces:
            found += _of(p, (f for f in holds[p] if f.stage == "sizes"))
        return tuple(found) + tuple(self._lifting())

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

        loads = loads_of(serves(self.commission.items[index].form), self.commission.brief.use, self._own_loads(index), self.children)
        return {n: replace(load, source=self._as_on_sizes(index, load.source)) if n == "books" else load for n, load in loads.items()}

    def _as_on_sizes(self, index: int, source: str) -> str:
        """On whose word a shelf's load stands: of the Sizes page, where the maker set none under Loads."""
        from studio_lib.structure.loads import names_of, serves

        item = self.commission.items[index]
        usual = names_of(serves(item.form), self.commission.brief.use).get("books")
        if usual is None or "books" in item.loads:
            return source
        return source.replace(f"the maker's own figure, for {usual.force_n:.0f} by", f"the load on shelves on Sizes, over {usual.force_n:.0f} by")

    def _own_loads(self, index: int) -> dict[str, float]:
        """The maker's loads that belong to what the piece is now, and what stands on single shelves."""
        from studio_lib.structure.loads import goods, named_on, names_of, serves

        item = self.commission.items[index]
        known = names_of(serves(item.form), self.commission.brief.use, self.children)
        own = {n: v for n, v in item.loads.items() if n in known}
        on_shelves = self._shelf_load_n_m2(index)
        if "books" in known and "books" not in own and on_shelves > known["books"].force_n:
            own["books"] = on_shelves
        if "books" in known:
            refs = {ref for ref, _ in self.shelves(index)}
            own |= {named_on(kept, ref): goods()[kept].force_n for ref, kept in item.on_shelves.items() if ref in refs}
        return own

    def shelves(self, index: int) -> list[tuple[str, str]]:
        """Shelves of one piece that things stand on, from the floor up: reference and name."""
        from studio_lib.structure.loads import serves

        if serves(self.commission.items[index].form) != "shelf":
            return []
        found = [m for m in self.made[index].piece.members if m.role == "shelf"]
        return [(m.ref, m.name) for m in sorted(found, key=lambda m: (round(m.piece_box.lo[2]), m.piece_box.lo[0]))]

    def _shelf_load_n_m2(self, index: int) -> float:
        """What stands on the shelves by the piece's own sizes; 0 where it has none. [N/m2]"""
        from studio_lib.structure.loads import G

        made = self.made[index]
        deep = max((x.width_mm for x in made.piece.members if x.role == "shelf"), default=0.0)
        return round(G * made.sizes.get("load_kg_m", 0.0) / (deep / 1000)) if deep else 0.0

    def analysis(self, piece: Piece):
        """The frame of one piece: findings and bent shapes. Raises LookupError while no timber is chosen."""
        if self.species is None:
            raise LookupError("Choose a timber first: without one nothing can be said of what holds.")
        b = self.commission.brief
        index = next((i for i, m in enumerate(self.made) if m.piece is piece or m.piece == piece), None)
        if index is None:
            raise LookupError(f"{piece.name} is no piece of this commission.")
        return _structure(piece, tuple(self.woods_of(piece).items()), b.place, b.use, tuple(sorted(self._own_loads(index).items())), self._setting(index))

    def _setting(self, index: int):
        """What the brief and the sizes say of where a piece stands, for how it stands with its doors open."""
        from studio_lib.structure.opened import Setting

        sizes = self.made[index].sizes
        return Setting(
            self.children, bool(sizes.get("wall")), bool(sizes["stays"]) if "stays" in sizes else None,
            backed=bool(sizes.get("stands")), between=form(self.made[index].item.form).between(sizes),
            carpet=self.commission.brief.ground == "carpet", fixed=form(self.made[index].item.form).fixed(sizes), in_row=self.made[index].item.count,
        )

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
            if (says := self.fixing_of(i)) and not self.bought(FIXING_WORDS):
                out.append(f"fixings of the {m.piece.name}, {says}")
            if (says := self.joining_of(i)) and not self.bought(JOINING_WORDS):
                out.append(says)
        return out

    def bought(self, words: tuple[str, ...]) -> bool:
        """Whether something bought in for this job is called by one of such words."""
        return any(word in b.what.lower() for b in self.commission.rates.bought_in for word in words)

    def joining_of(self, index: int) -> str:
        """What joins several of a screen edge to edge, and how long they are together; '' where there is but one."""
        from studio_lib.piece.used import several
        from studio_lib.structure.loads import serves

        m = self.made[index]
        if m.item.count < 2 or serves(m.item.form) != "screen":
            return ""
        return (f"{m.item.count} {several(m.piece.name)} stand edge to edge, {m.item.count * m.piece.overall_mm[0]:.0f} mm together: what joins them, "
                "connecting bolts through the stiles or loose tongues, is to be settled")

    def fixing_of(self, index: int) -> str:
        """How a screen is fixed and what each fixing must hold, a sentence for every paper; '' where it stands free or is no screen."""
        made = self.made[index]
        fixed = form(made.item.form).fixed(made.sizes)
        if not fixed:
            return ""
        loads = [f.says for f in self.size_findings if f.piece == made.piece.name and f.what.startswith("load on its fixing")]
        held = "fixed, to what is not named yet" if fixed == "not named" else f"fixed {fixed}"
        return ": ".join(x for x in (held, "; ".join(loads)) if x)

    @property
    def backed_by_wall(self) -> tuple[str, ...]:
        """Names of the pieces that stand, their lid open and leant on, only because their back is against a wall."""
        from studio_lib.structure.opened import AT_WALL

        return tuple(f.piece for f in self.findings if f.only_where == AT_WALL)

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
        service = SERVICE_CLASS[self.commission.brief.place]
        return joint.holds(piece, strengths(a, service), strengths(b, service))

    def deciding(self, piece: Piece) -> list[tuple]:
        """What uses most of what it has, the most first: (finding, bent shape); nothing while no timber is chosen.

        What bends has its shape; what only tips is told of, with None, where it does not stand.
        """
        if self.species is None:
            return []
        a, rests = self.analysis(piece), next((f for f in self.size_findings if f.piece == piece.name and f.what == "sag"), None)
        told = [
            replace(f, says=f"{f.says}, as its joints hold it; told under Sizes as {rests.demand:.1f} of {rests.capacity:.1f} mm, its ends only resting")
            if rests and f.what == SHELF_SAG else f for f in a.findings
        ]
        both = [(f, b) for f, b in zip(told, a.bent) if f.utilisation is not None and (b is not None or not f.stands)]
        return sorted(both, key=lambda fb: -fb[0].utilisation)

    def _holds(self, piece: Piece) -> tuple[Finding, ...]:
        """Strength and balance of one piece; while no timber is chosen only how it stands open, at a middling weight."""
        if self.species is not None:
            at = next(i for i, m in enumerate(self.made) if m.piece == piece)
            return tuple(replace(f, source=self._as_on_sizes(at, f.source)) for f in self.analysis(piece).findings)
        from studio_lib.forms.casework import MIDDLING
        from studio_lib.structure.opened import opened_findings
        from studio_lib.structure.strength import Wood

        index = next(i for i, m in enumerate(self.made) if m.piece == piece)
        middling = Wood("a middling timber", MIDDLING[0], MIDDLING[1], None, None)
        return tuple(opened_findings(piece, {m.timber: middling for m in piece.members}, self._setting(index)))

    def _movement_findings(self) -> list[Finding]:
        if self.movement_unknown:
            return [Finding("slats", "movement", Verdict.OPEN, self.movement_unknown, stage="sizes",
                            mend="Choose a timber with published movement.")]
        found = []
        for name, (wet, made, dry) in self.slat_gaps.items():
            found.append(
                from_ratio(
                    f"slats of {name}", "gap when wettest", DRAIN_MM, max(wet, 0.01), "mm",
                    rule=f"at least {DRAIN_MM:g} mm left to drain at {self.moisture.high_pct:g} % moisture",
                    source="Wood Handbook FPL-GTR-282 ch. 13; drain common practice, no source",
                    mend=f"Set the gap to {made + DRAIN_MM - wet:.1f} mm or more when made.",
                    stage="sizes", look_again_from=1.0,
                    says=f"{wet:.1f} mm at the wettest, {made:.1f} when made, {dry:.1f} at the driest",
                )
            )
            found[-1] = replace(found[-1], piece=name)
        return found

    def _children_and_gaps(self, m: Made) -> list[Finding]:
        from studio_lib.brief.refusals import climbable_rails, fingers, heads

        b, name = self.commission.brief, m.piece.name
        found, slatted = [], form(m.item.form).slats(m.sizes)
        if slatted:
            wet, _, dry = self.slat_gaps.get(name, (slatted[1],) * 3)
            if self.children or b.use == "public":
                found.append(fingers("gaps between slats", max(min(wet, dry), 0.0), max(wet, dry, 0.0), self.children))
        found += [heads(where, wide, high, True, self.children) for where, wide, high in form(m.item.form).holes(m.sizes)]
        if b.beside_a_drop:
            level = tuple(sorted({
                x.piece_box.hi[2] for x in m.piece.members if x.role in ("lower rail", "stretcher", "slat")
            }))
            found.append(climbable_rails(name, level, b.drop_mm, self.children))
        return found

    def _way_in(self) -> list[Finding]:
        from studio_lib.access import Box, not_measured, way_in
        from studio_lib.access.apart import STRIP_MM, splits_of, taken_apart
        from studio_lib.structure.loads import serves

        openings = tuple(o.measured() for o in self.commission.brief.openings)
        found = []
        for p, name, refs, box, weight in self._carried:
            if len(refs) == 1 and sorted(box)[1] <= STRIP_MM:
                continue
            made = next(m for m in self.made if m.piece is p)
            parts_by = form(made.item.form).parts_by(made.sizes)
            parts = {name: taken_apart(p, refs, weight)} if openings else {}
            for f in way_in((Box(name, *box, weight),), openings, apart=parts, splits=splits_of(made.item.form)):
                mend = f"{f.mend} {parts_by}".strip() if f.verdict is Verdict.FAILS else f.mend
                if serves(made.item.form) == "screen" and f.verdict is Verdict.FAILS and f.capacity and f.demand == box[0] \
                        and not form(made.item.form).packed_mm(made.sizes):
                    mend = f"{_side_by_side(made, f.capacity)} Or find another way in. {parts_by}".strip()
                found.append(replace(f, piece=p.name, mend=mend))
        return found + [f for o in openings if (f := not_measured(o)) is not None]

    @cached_property
    def carried(self) -> tuple[tuple[Piece, str, tuple[float, float, float], float | None], ...]:
        """What is carried in as one: the piece, its name, its size [mm] and its weight [kg], None while not known."""
        return tuple((p, name, size_mm, weight) for p, name, _, size_mm, weight in self._carried)

    @cached_property
    def _carried(self) -> tuple[tuple[Piece, str, tuple[str, ...], tuple[float, float, float], float | None], ...]:
        """The same with the references of the members of each."""
        from studio_lib.forms.changes import overall

        out = []
        for m in self.made:
            if not m.piece.members:
                continue
            groups = form(m.item.form).carried(m.piece)
            mass = self.weights_kg.get(m.piece.name)
            if len(groups) == 1:
                size = form(m.item.form).packed_mm(m.sizes) or m.piece.overall_mm
                out.append((m.piece, m.piece.name, tuple(m.piece.by_ref), size, mass))
                continue
            block = {r: x.length_mm * x.width_mm * x.thickness_mm for r, x in m.piece.by_ref.items()}
            for name, refs in groups.items():
                share = sum(block[r] for r in refs) / sum(block.values())
                size = overall([m.piece.member(r) for r in refs])
                out.append((m.piece, f"{m.piece.name}, {name}", refs, size, None if mass is None else mass * share))
        return tuple(out)

    def _lifting(self) -> list[Finding]:
        from studio_lib.access import carry

        return [
            replace(carry(name, weight, "men", longest_mm=max(size)), piece=p.name)
            for p, name, size, weight in self.carried if weight is not None
        ]

    @cached_property
    def season(self):
        """How each member moves over the year in its place, as joints ask for it."""
        return Seasonal(self)

    def _moves(self, piece: Piece) -> tuple[Finding, ...]:
        """Whether each joint lets the timber move; alike ones said once. Nothing while no timber is chosen."""
        if self.species is None or self.movement_unknown:
            return ()
        found = {}
        for joint in piece.joints:
            for f in joint.moves(piece, self.season):
                kept = found.setdefault((joint.family, f.what, f.verdict, f.says), f)
                if kept is not f:
                    found[joint.family, f.what, f.verdict, f.says] = replace(kept, refs=tuple(dict.fromkeys(kept.refs + f.refs)))
        return tuple(found.values())

    def wall_behind(self, index: int) -> bool:
        """Whether nobody looks at a piece's back: it stands against a wall, as its sizes say or as cases with a back do."""
        made = self.made[index]
        stands = next((s for s in form(made.item.form).sizes if s.name == "stands"), None)
        if stands is not None and "back to a wall" in stands.choices:
            return bool(made.sizes.get("stands"))
        cased = made.item.form not in SEATS and any(m.role in ("back board", "back slat") for m in made.piece.members)
        return bool(made.sizes.get("wall")) or cased

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
            fixed = b.fixed_to_building or bool(m.sizes.get("wall")) or stands.startswith("fixed")
            found += _of(m.piece, metal_findings(
                m.piece, b.no_metal, self._season_known, self.wall_behind(i), fixed, form(m.item.form).steadied_kg(m.sizes),
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

    @property
    def _season_known(self):
        """The year of the place, where a timber is chosen whose movement is published; else None."""
        return None if self.species is None or self.movement_unknown else self.season

    def metal_kept(self, index: int, family: str):
        """How a family of joints of one piece keeps what the brief says of metal (``piece.metal.Kept``); None where it may show."""
        from studio_lib.piece.metal import kept

        return kept(self.made[index].piece, family, self.commission.brief.no_metal, self._season_known, self.wall_behind(index))

    @cached_property
    def metal_promise(self) -> str:
        """What the papers may say of metal, in one sentence; empty unless every piece keeps what was asked."""
        found = self.metal_findings
        if not found or not all(f.stands for f in found):
            return ""
        if self.commission.brief.no_metal == "none at all":
            return "There is no metal in it."
        if self.commission.brief.no_metal == "no screws to be seen":
            return "No screws are to be seen."
        opens = any(j.lets == "turn" for p in self.pieces for j in p.joints)
        return "No metal is to be seen while it is shut." if opens else "No metal is to be seen."

    @cached_property
    def joint_findings(self) -> tuple[Finding, ...]:
        from studio_lib.piece.checks import glue_alone_findings
        from studio_lib.piece.order import order_findings, order_of_work

        found = []
        for p in self.pieces:
            found += _of(p, (f for f in _piece_findings(p) if f.stage != "sizes"))
            found += _of(p, glue_alone_findings(p, self.commission.brief.place))
            found += _of(p, self._moves(p))
            found += _of(p, order_findings(p, order_of_work(p), self.glue.open_min_high if self.glue else None))
            found += _of(p, (f for f in self._holds(p) if f.stage == "joints"))
        return (*found, *self.metal_findings)

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
            why = why_missing(self.layout.missing, self.wanted, self.offered, self.layout_asked)
            lost = "; ".join(
                f"{n} of {ref} (sawn {size(*sawn[ref])}" + (f": {why[ref]})" if why.get(ref) else ")")
                for ref, n in self.layout.missing.items()
            )
            found.append(
                Finding("boards", "enough timber", Verdict.FAILS, f"these boards do not hold {lost}",
                        stage="boards", rule="every piece on the cutting list has a place",
                        source="board layout",
                        mend="Ask the yard for another board, or change the pieces.")
            )
        if self._laid[1]:
            found.append(
                Finding("boards", "kept layout", Verdict.LOOK_AGAIN,
                        f"the layout you kept no longer fits: {self._laid[1]}", stage="boards",
                        rule="a kept layout holds while pieces and boards stay as they were",
                        source="layout checker", mend="Lay the pieces out anew and keep that.")
            )
        return tuple(found)

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
            (o.name, self if o.name == c.chosen else derive(c.choosing(o.name), self.known)) for o in c.options
        ])

    # boards

    @property
    def cutting_list(self):
        return _cutting_list(self.counted)

    @property
    def wanted(self):
        from studio_lib.stock.cutting_list import turned, wanted

        return turned(wanted(self.cutting_list, self.marks), self.offered, self.allowances)

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
            "matches": self.matches, "pins": self.pins, "first_cut": c.first_cut,
        }

    @cached_property
    def offered(self) -> tuple[Board, ...]:
        return offered(self.commission.boards)

    @property
    def allowances(self) -> Allowances:
        return allowances(self.commission.boards)

    @cached_property
    def _laid(self) -> tuple[Layout, str]:
        import json

        c = self.commission.boards
        kept = json.dumps(c.kept_layout) if c.kept_layout else ""
        return _layout(
            self.wanted, self.offered, c.kerf_mm, c.resaw_kerf_mm, c.end_trim_mm, self.allowances, kept,
            self.matches, self.pins, c.first_cut,
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
        return phone_list(self.purchases, self.making_moisture_pct if asked is None else asked, self.reserves)

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

    # price

    def _by_volume(self, lines) -> tuple:
        """Timber of [(timber, finished m3, thickness)] by volume, a row a species; () where the client brings it."""
        from studio_lib.costing.price import RoughTimber

        if self.commission.brief.brings_timber:
            return ()
        volumes: dict[str, float] = {}
        thick: dict[str, list[float]] = {}
        for timber, m3, thickness_mm in lines:
            if m3 > 0:
                volumes[timber] = volumes.get(timber, 0.0) + m3
                thick.setdefault(timber, []).append(thickness_mm)
        return tuple(
            RoughTimber(t, m3, self.expected_yield(t).share, self.price_per_m3(t), tuple(dict.fromkeys(thick[t])))
            for t, m3 in volumes.items()
        )

    def price_per_m3(self, timber: str):
        """The maker's own price a cubic metre, else the mean of the boards offered, else a starting price of ours."""
        from studio_lib.costing.price import PerM3, seen_per_m3, starting_per_m3

        own = self.library.prices.get(timber)
        if own is not None:
            return PerM3(own.per_m3, "your own price a cubic metre", own.on)
        try:
            group = self.library.timber(timber).group
        except KeyError:
            group = "hardwood"
        return seen_per_m3(timber, self.offered) or starting_per_m3(timber, group)

    @cached_property
    def rough_timber(self) -> tuple:
        """Timber by volume for what no board is seen for yet (``price.RoughTimber``); () once the boards do."""
        short = self.layout.missing
        return self._by_volume(
            (r.timber, r.volume_m3 * min(short.get(r.ref, 0) / (r.count * r.boards), 1.0), r.thickness_mm)
            for r in self.cutting_list
        )

    def _counted_work(self, boards: int):
        from studio_lib.costing.operations import count_work

        r = self.commission.rates
        return count_work(
            self.counted, boards, self.commission.brief.finish, r.learning_rate,
            [(e.operation, e.count) for e in r.extra_work],
        )

    def _consumables(self) -> list:
        from studio_lib.costing.price import consumable_lines, with_own_prices

        return with_own_prices(consumable_lines(self.counted, self.commission.brief.finish), self.commission.rates)

    @cached_property
    def work(self):
        return self._counted_work(len(self.layout.boards_used) + sum(t.boards for t in self.rough_timber))

    @cached_property
    def materials(self):
        from studio_lib.costing.price import board_lines

        boards = board_lines(self.purchases, self.commission.boards.priced_on)
        return tuple(boards + [t.line for t in self.rough_timber] + self._consumables())

    @property
    def loaded_kg(self) -> float:
        """What is driven to the client, timber only; 0 while no timber is chosen. [kg]"""
        return sum(self.weights_kg.get(m.piece.name, 0.0) * m.item.count for m in self.made)

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
        """The price with all timber by volume, whatever boards there are; None while a piece cannot be laid out."""
        try:
            if len(self.pieces) < len(self.commission.items) or not self.pieces:
                return None
        except (ValueError, LookupError):
            return None
        rough = self._by_volume((r.timber, r.volume_m3, r.thickness_mm) for r in self.cutting_list)
        work = self._counted_work(sum(t.boards for t in rough))
        return self._priced(work, tuple([t.line for t in rough] + self._consumables()))

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
            design_hours(self.counted, rates.meetings) if rates.design_counted else None,
        )

    # workshop

    @property
    def finish_family(self):
        """The row of the finish table that the brief's finish stands for in this place."""
        from studio_lib.finishing import finishes

        b = self.commission.brief
        oil = "exterior oil (pigmented)" if b.place == "outdoors, in the weather" else "danish oil (oil and varnish blend)"
        family = oil if b.finish == "oil" else b.finish
        return next(f for f in finishes() if f.family == family)

    @property
    def work_days(self):
        """Days and hours that the maker gives this job."""
        from studio_lib.shop.calendar import Days

        shop, rates = self.commission.shop, self.commission.rates
        paid = rates.hours_per_week * rates.billable_share / len(shop.weekdays)
        return Days(
            shop.hours_a_day or paid, shop.weekdays, frozenset(shop.holidays),
            tuple((j.first, j.last) for j in shop.other_jobs),
        )

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

    def _begun(self, ordered: date) -> date:
        """First day of work on an order: the maker's own unless it is gone by, else once it is its turn and boards are in."""
        from studio_lib.brief.refusals import TIMBER_DAYS

        own = self.commission.shop.start
        return own if own and own >= ordered else ordered + timedelta(days=max(7 * self.commission.brief.queue_weeks, TIMBER_DAYS))

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
        """The first family of glue that suits timber and place; None while none does."""
        return next((g.adhesive for g in self.glues if g.finding.stands), None)

    def cautions_of(self, step):
        """What to watch at one step of the calendar, each caution once."""
        from studio_lib.costing.operations import standard_times
        from studio_lib.shop.cautions import cautions_for

        stages = {name: t.stage for name, t in standard_times().items()}
        _, _, size_mm, kg = max(self.carried, key=lambda c: c[3] or 0.0)
        found = {}
        for operation in step.operations:
            for caution in cautions_for(
                operation, self.species, kg=kg, longest_mm=max(size_mm),
                shortest_mm=min((r.overall_length_mm for r in self.cutting_list), default=None), hours=step.hours[0],
                glue=self.glue.family if self.glue else "", glue_caution=self.glue.cautions if self.glue else "",
                oil=self.commission.brief.finish != "left bare", stage=stages.get(operation, ""),
            ):
                found.setdefault(caution.key, caution)
        return tuple(found.values())

    @cached_property
    def workshop_findings(self) -> tuple[Finding, ...]:
        """Whether the clamps in the workshop do for each glue-up."""
        from studio_lib.piece.order import order_of_work
        from studio_lib.shop.clamps import clamp_findings

        owned = tuple((c.count, c.reach_mm) for c in self.commission.shop.clamps)
        return tuple(f for p in self.pieces for f in _of(p, clamp_findings(p, order_of_work(p), owned)))

    @property
    def stored_co2_kg(self) -> float | None:
        """Carbon dioxide bound in the finished timber; None while none is chosen. [kg]"""
        from studio_lib.timber.carbon import stored_co2_kg

        if self.species is None:
            return None
        return stored_co2_kg(sum(r.volume_m3 for r in self.cutting_list), self.wood.density_kg_m3, 12.0)


def _of(piece: Piece, found):
    """Findings marked as this piece's."""
    return [replace(f, piece=piece.name) for f in found]


def _letter(i: int) -> str:
    """A for the first piece, B for the second; after Z the letters double."""
    return chr(ord("A") + i % 26) * (1 + i // 26)


def past_records(finished, library=None) -> tuple:
    """Finished commissions as records, the earliest first; derived only where no estimate was kept with them."""
    from studio_lib.costing.records import past_record

    rows = [past_record(past, lambda past=past: derive(past, Known(library=library)).work) for past in finished]
    return tuple(sorted(rows, key=lambda r: r.ended or date.min))


def past_ratios(finished, library=None) -> dict[str, list[float]]:
    """Actual over standard hours by operation, from finished commissions, the earliest first."""
    known: dict[str, list[float]] = {}
    for past in past_records(finished, library):
        for operation, ratio in past.ratios.items():
            known.setdefault(operation, []).append(ratio)
    return known


def past_jobs(finished, library=None) -> tuple:
    """Finished commissions of one kind of piece, as the ballpark takes them."""
    from studio_lib.brief.ballpark import PastJob
    from studio_lib.costing.records import hours_by_operation

    jobs = []
    for past in finished:
        hours = sum(hours_by_operation(past.hours).values())
        if len(past.items) == 1 and hours:
            item = past.items[0]
            net = past.estimate.net if past.estimate else derive(past, Known(library=library)).price.net
            jobs.append(PastJob(item.form, hours, net, item.count))
    return tuple(jobs)


def known_from(book, but: str = "") -> Known:
    """What a job book adds: finished jobs other than ``but``, and the maker's own timbers."""
    from studio_lib.timber import own_species

    library, finished = own_species(book.own_timbers), book.finished(but=but)
    return Known(past_records(finished, library), past_jobs(finished, library), library, past_yields(finished, library))


def past_yields(finished, library=None) -> tuple:
    """Yields by timber and grade of finished commissions that kept a layout."""
    from studio_lib.stock.yields import job_yields

    found = []
    for c in finished:
        if c.boards.kept_layout:
            found += job_yields(c.boards.kept_layout, derive(c, Known(library=library)).wanted)
    return tuple(found)


def derive(commission: Commission, known: Known | None = None) -> Derived:
    """Everything that follows from a commission, and from what the maker's book knows besides.

    Without ``known`` hours and ballpark begin from the starting tables and timbers are
    those on file; ``known_from(book)`` gives it.
    """
    return Derived(commission, known)
