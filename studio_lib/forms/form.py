"""What every form is: a few sizes with limits and reasons, and a way to lay out the piece."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from studio_lib.commission import AnyChange, Brief
from studio_lib.finding import Finding
from studio_lib.forms.beside import Table, at_table, slides_in
from studio_lib.people import Mix
from studio_lib.people.proposals import Proposed
from studio_lib.people.users import Users
from studio_lib.piece import Piece
from studio_lib.structure.loads import Load
from studio_lib.units import mm


class SizeRefused(ValueError):
    """A size the form cannot build; ``field`` is the size's name, the text is for the maker."""

    def __init__(self, field: str, says: str):
        super().__init__(says)
        self.field = field


@dataclass(frozen=True)
class Size:
    """One size of a form: its name in the document, its words on the page, what is allowed."""

    name: str
    label: str
    low: float
    high: float
    unit: str = "mm"
    group: str = "overall"
    whole: bool = False
    """A count, not a length."""
    choices: tuple[str, ...] = ()
    """Words for an option that is no length; its value is the place in this list, from 0."""
    given: bool = False
    """What the client or the place gives, or what the piece is for: nothing that is suggested changes it (``derived.given``)."""

    def words(self, value: float) -> str:
        """A value as a maker reads it: '450 mm', 'with a back'."""
        if self.choices and 0 <= value < len(self.choices):
            return self.choices[int(value)]
        return f"{value:g}{self.unit and ' ' + self.unit}"


def choice(name: str, label: str, choices: tuple[str, ...], group: str = "overall", given: bool = False) -> Size:
    """An option of a form that is no length: a whole number with a word for each value."""
    return Size(name, label, 0, len(choices) - 1, "", group, True, choices, given)


@dataclass(frozen=True)
class Proposal:
    """A size to begin with, and on whose word."""

    value: float
    why: str
    source: str


@dataclass(frozen=True)
class BoardsOfTheirs:
    """What the client's own boards give, planed: the thickness that at least half of them by volume make, and those boards' width. [mm]"""

    sawn_mm: float
    """As they lie."""
    thick_mm: float
    wide_mm: float


SUPPORTS = ("middle_frames", "bearer_count", "middle_rail")
"""Names of how many frames, bearers and rails carry a top or a seat between its ends."""
STOUTER_BY = "sections by the third root of strengths in bending; a starting point of ours"
USUAL_MPA = 85.0
"""Sections are proposed for timbers that bear so much in bending, as black cherry does (FPL-GTR-190 table 5-3a); softer ones have stouter ones."""


@dataclass(frozen=True)
class Surroundings:
    """What a form must know beyond the brief: the timber and how it will move."""

    timber: str
    swell_fraction: float = 0.0
    """Growth of a slat's width from making to wettest, as a part of its width."""
    dressing_mm: float = 5.0
    """What sawn timber is thicker than dressed, for planing; as the cutting list takes it. [mm]"""
    theirs: BoardsOfTheirs | None = None
    """The client's boards where the piece is to be made of them: proposals keep to what they give."""
    metal: str = "stainless steel"
    """Of screws, bolts and plates."""
    bends_mpa: float = USUAL_MPA
    """Modulus of rupture of the timber. [MPa]"""

    @property
    def stouter(self) -> float:
        """How many times as thick and wide a section of this timber is as one of the usual hardwoods that bears as much; 1 for those themselves.

        A section bears in bending by its width and the square of its thickness: by the third power of a size that both are taken up by.
        """
        return max((USUAL_MPA / self.bends_mpa) ** (1 / 3), 1.0)

    def sawn(self, thickness_mm: float) -> str:
        """Why a thickness: what sawn timber it can be dressed from."""
        return f"dressed from {mm(round(thickness_mm) + self.dressing_mm)} mm sawn or thicker"


BRIEF, BRIEF_AT_MOST = "brief", "brief, at the most"
"""Sources of proposals: what the client or the place gives, and as much as they leave room for."""


class Form:
    """A starting point. One file a form; see ``slatted`` for a worked one."""

    name: str
    sizes: tuple[Size, ...]
    says: str = ""
    """What it is, in one line for the list of forms."""
    called: tuple[str, str] = ("long", "wide")
    """How its two sizes on the floor are said of it: a table is long and wide, what one stands or sits before is deep."""
    stouter_in_soft: tuple[str, ...] = ()
    """Sections that are proposed stouter in a timber that bears less than the usual hardwoods."""
    least_in_soft: Mapping[str, float] = {}
    """What some of those are at the least then. [mm]"""
    follows_boards = True
    """Whether thicknesses proposed keep to what the client's own boards give; a screen's are what holds it."""
    overall: tuple[str, str, str] = ("length_mm", "width_mm", "height_mm")
    """The sizes that make its length, depth and height."""

    def propose(self, brief: Brief, around: Surroundings, chosen: dict[str, float]) -> dict[str, Proposal]:
        """A value for every size; those that hang on others take the maker's own where ``chosen``."""
        raise NotImplementedError

    def kept_within(self, limits_mm: tuple[float | None, float | None, float | None], sizes: dict[str, float]) -> dict[str, float]:
        """Sizes to take in so that the whole stays within a length, depth and height, of those proposed. [mm]"""
        return {
            name: limit for name, limit in zip(self.overall, limits_mm) if name and limit is not None and name in sizes
        }

    def without_doors(self, sizes: dict[str, float]) -> dict[str, float]:
        """Sizes that leave its doors out, the rest as it stands; {} where it has none."""
        return {"doors": 0.0} if sizes.get("doors") else {}

    def lay_out(
        self, name: str, letter: str, sizes: dict[str, float], around: Surroundings,
        joints: dict[str, dict[str, float]] | None = None, adjustments: tuple[AnyChange, ...] = (),
    ) -> Piece:
        """The piece at these sizes, with the maker's changes made on it (``changes.assembled``)."""
        raise NotImplementedError

    def fit(self, piece: Piece, sizes: dict[str, float], brief: Brief) -> list[Finding]:
        """Findings on people and place."""
        return []

    def fit_under(self, piece: Piece, sizes: dict[str, float], brief: Brief, loads: dict[str, Load]) -> list[Finding]:
        """``fit`` with the loads set for the piece, by name; a form whose own checks use one of them overrides it."""
        return self.fit(piece, sizes, brief)

    def fit_weighed(self, piece: Piece, sizes: dict[str, float], brief: Brief, loads: dict[str, Load], kg: float | None) -> list[Finding]:
        """``fit_under`` with the weight of the piece as its solids have it; a form whose checks name its weight overrides it. [kg]"""
        return self.fit_under(piece, sizes, brief, loads)

    def stands_on(self, piece: Piece, sizes: dict[str, float], brief: Brief) -> dict[str, str]:
        """What the brief has stand on single shelves, of ``structure.loads.goods``, by reference; the maker's own word goes before it."""
        return {}

    def on_site(self, sizes: dict[str, float], brief: Brief) -> list[str]:
        """What is fitted to walls and floor where it stands, a sentence each, for whoever sets it up."""
        return []

    def carried(self, piece: Piece) -> dict[str, tuple[str, ...]]:
        """What is carried in as one: references by name. A form made in several cases says which."""
        return {"": tuple(piece.by_ref)}

    def packed_mm(self, sizes: dict[str, float]) -> tuple[float, float, float] | None:
        """Length, depth and height of what is carried in where that is not how it stands; None where it is. [mm]"""
        return None

    def steadied_kg(self, sizes: dict[str, float]) -> float:
        """Weight set low so that it does not tip, carried in with it. [kg]"""
        return 0.0

    def hung(self, sizes: dict[str, float]) -> int:
        """Screws to the wall in the hanging rail of what hangs; 0 for what stands on the floor."""
        return 0

    def at_wall(self, sizes: dict[str, float]) -> bool:
        """Whether it is fixed to a wall by its own sizes."""
        return bool(sizes.get("wall"))

    def fixed(self, sizes: dict[str, float]) -> str:
        """What a screen is fixed to: 'to the floor', 'to a wall at one end', both; 'not named' where that is not said; '' where it stands free."""
        return ""

    def clamps(self, sizes: dict[str, float]):
        """How a screen is clamped to a railing (``clamped.Clamps``); None where it is not."""
        return None

    def solid_share(self, sizes: dict[str, float]) -> float | None:
        """Part of a screen's face that is timber, which the wind blows on; None for what is no screen."""
        return None

    def unclimbed(self, piece: Piece, sizes: dict[str, float], brief: Brief) -> str:
        """What would leave a child no foothold on it beside a drop, in this form, a sentence; '' for the usual words."""
        return ""

    def unused(self, sizes: dict[str, float]) -> tuple[str, ...]:
        """Names of the sizes that mean nothing for the way it is built."""
        return ()

    def needs(self, sizes: dict[str, float], brief: Brief) -> tuple[str, ...]:
        """Counts of what holds it up or fills it, and choices the place asks for: to save money no count goes below what is
        proposed, and no such choice is changed."""
        return ("bearer_count",) if "bearer_count" in sizes else ()

    def set_by_place(self, sizes: dict[str, float]) -> tuple[str, ...]:
        """Sizes that follow from the place it is fitted into: changed, it would gape or not go in (``derived.given``)."""
        return ()

    def between(self, sizes: dict[str, float]) -> bool:
        """Whether it stands between walls on its left and right, which keep it from swaying sideways."""
        return False

    def parts_by(self, sizes: dict[str, float]) -> str:
        """What on the Sizes page makes it come apart; '' where nothing does, or where it already does."""
        return ""

    def holes(self, sizes: dict[str, float]) -> list[tuple[str, float, float]]:
        """Openings bounded all round: (where, width, height). [mm]"""
        return []

    def suits(self, sizes: dict[str, float], users: Users) -> dict[str, Proposed]:
        """Whose body decides a size and what share it suits as it stands, by size name."""
        return {}

    def off_wall_mm(self, sizes: dict[str, float]) -> float:
        """How far its back stands off the wall behind it, for what opens or swings there; 0 where it may touch. [mm]"""
        return 0.0

    def slats(self, sizes: dict[str, float]) -> tuple[float, float, float] | None:
        """Width of a slat, the gap beside it when made, its thickness; None where there are no slats. [mm]"""
        return None


def as_given(form: Form, sizes: dict[str, float]) -> dict[str, float]:
    """Of a maker's own sizes those that the client or the place gives, which stay where all others are put back as proposed."""
    return {s.name: sizes[s.name] for s in form.sizes if s.given and s.name in sizes}


def users_of(brief: Brief) -> Users:
    """Who uses the piece, as sizes are proposed for: adults, unless the brief says that it is for children alone.

    Raises ValueError for ages beyond the tables.
    """
    grown = 0 if brief.sized_to_children else max(brief.people - len(brief.child_ages), 1)
    return Users(
        grown, Mix(brief.share_women), brief.ages_sized, brief.frail, brief.large, brief.wheelchair, at_once=brief.people,
        tallest_mm=brief.tallest_person_mm if grown else None,
        heaviest_kg=brief.heaviest_kg,
        clothes="outdoors" if brief.place.startswith("outdoors") else "indoors",
        wheelchair_at=brief.wheelchair_at, wheelchair_knees_mm=brief.wheelchair_knees_mm,
    )


def proposed(
    form: Form, brief: Brief, around: Surroundings, chosen: dict[str, float], table: Table | None = None, only: str = "",
) -> dict[str, Proposal]:
    """What a form proposes, in whole millimetres and within what the brief allows, as far as the form can be made so small.

    What hangs on a size that had to be taken in is proposed for the smaller one. A seat takes its height and length from
    the ``table`` of the same commission that it stands at. ``only`` names the one size that is asked for.
    """
    free = _proposed(form, brief, around, chosen, only if table is None else "")
    if table is None or "height_mm" not in free or chosen.get("made_to"):
        return free
    known = {s.name: s for s in form.sizes}
    wanted = at_table(form.name, table, users_of(brief), free["height_mm"].value, slides_in(form.name, brief.asked, chosen))
    said = {
        n: Proposal(value, why, source) for n, (value, why, source) in wanted.items()
        if n not in chosen and known[n].low <= value <= known[n].high
    }
    if not said:
        return free
    return {**_proposed(form, brief, around, {**chosen, **{n: p.value for n, p in said.items()}}), **said}


class Beside(Mapping):
    """What is proposed for every size; beside one that the maker set, what is proposed in its place, all else being as the maker has it.

    Of the maker's own it is worked out when it is asked for: a slider that is moved asks for none.
    """

    def __init__(self, form: Form, brief: Brief, around: Surroundings, own: dict[str, float], table: Table | None, ready: dict[str, Proposal]):
        self._asks, self._own, self._ready = (form, brief, around), own, ready
        self._table, self._known = table, {n: p for n, p in ready.items() if n not in own}

    def __getitem__(self, name: str) -> Proposal:
        if name not in self._known and name in self._ready:
            rest = {k: v for k, v in self._own.items() if k != name}
            self._known[name] = proposed(*self._asks, rest, self._table, only=name)[name]
        return self._known[name]

    def __iter__(self):
        return iter(self._ready)

    def __len__(self) -> int:
        return len(self._ready)


def _proposed(form: Form, brief: Brief, around: Surroundings, chosen: dict[str, float], only: str = "") -> dict[str, Proposal]:
    known = {s.name: s for s in form.sizes}
    limits, taken = brief.limits_mm, {}
    first = usual = form.propose(brief, around, chosen)
    stouter = _stouter(form, around, chosen, first)
    if stouter:
        # As many supports as the usual sections have: stouter ones are for the timber, not to reach further.
        kept = {n: first[n].value for n in SUPPORTS if n in first and n not in chosen}
        chosen = {**chosen, **kept, **{n: p.value for n, p in stouter.items()}}
        first = usual = {**form.propose(brief, around, chosen), **{n: first[n] for n in kept}, **stouter}
    thinner = _as_thick_as_theirs(form, around, chosen, first)
    if thinner:
        chosen = {**chosen, **{n: p.value for n, p in thinner.items()}}
        first = usual = {**form.propose(brief, around, chosen), **thinner}
    if any(x is not None for x in limits):
        values = {n: chosen.get(n, p.value) for n, p in first.items()}
        for name, value in form.kept_within(limits, values).items():
            if name not in chosen and value < values[name]:
                taken[name] = max(_even(known[name], value, math.floor), known[name].low)
        if taken:
            first = {**form.propose(brief, around, {**chosen, **taken}), **thinner}
    return {
        n: Proposal(taken[n], f"as much as the brief allows; otherwise {mm(usual[n].value)} mm: {usual[n].why}", BRIEF_AT_MOST)
        if n in taken else p if n in thinner else _evened(p, known[n]) for n, p in first.items() if not only or n == only
    }


def _stouter(form: Form, around: Surroundings, chosen: dict[str, float], first: dict[str, Proposal]) -> dict[str, Proposal]:
    """Sections taken up for a soft timber, by size; none where the maker set the legs, which all others are fitted to."""
    if around.stouter <= 1.0 or "leg_mm" in chosen:
        return {}
    return {
        s.name: Proposal(more, f"{mm(more - usual)} mm more than in a hardwood: {around.timber} bears {100 * around.bends_mpa / USUAL_MPA:.0f} % of what cherry does; {first[s.name].why}", STOUTER_BY)
        for s in form.sizes if s.name in form.stouter_in_soft and s.name in first and s.name not in chosen
        and (more := min(max(2.0 * math.ceil(around.stouter * (usual := first[s.name].value) / 2 - 1e-6), form.least_in_soft.get(s.name, 0.0)), s.high)) > usual > 0
    }


def _as_thick_as_theirs(form: Form, around: Surroundings, chosen: dict[str, float], first: dict[str, Proposal]) -> dict[str, Proposal]:
    """Thicknesses taken in to what the client's boards give, by size; not those so much thicker that no board of theirs is meant for them."""
    if around.theirs is None or not form.follows_boards:
        return {}
    most, sawn = around.theirs.thick_mm, around.theirs.sawn_mm
    return {
        s.name: Proposal(most, f"dressed from the client's own boards, {mm(sawn)} mm as they lie; otherwise {mm(first[s.name].value)} mm: {first[s.name].why}",
                         "their boards, as entered")
        for s in form.sizes
        if "hickness" in s.label and s.name in first and s.name not in chosen and max(s.low, LEAST_OF_USUAL * first[s.name].value) <= most < first[s.name].value
    }


LEAST_OF_USUAL = 0.6
"""A part that is usually thicker than their boards give by more than this is not made of them; judgement of ours."""

HALVES = ("gap", "clear", "arris", "cable", "spacer")
"""Words in the names of sizes that half a millimetre matters to."""


def _evened(p: Proposal, size: Size) -> Proposal:
    value = _even(size, p.value)
    return p if value == p.value else Proposal(value, p.why, p.source)


def _even(size: Size, value: float, way=round) -> float:
    """A proposal in whole millimetres, or halves where they matter."""
    if size.unit != "mm":
        return value
    step = 0.5 if any(word in size.name for word in HALVES) else 1.0
    even = way(round(value / step, 6)) * step
    return float(even) if size.low <= even <= size.high else value


def settled(
    form: Form, brief: Brief, around: Surroundings, chosen: dict[str, float], table: Table | None = None,
) -> dict[str, float]:
    """Every size of the form: the maker's where set, else the form's proposal.

    Raises SizeRefused for a name the form does not have and for a value outside its limits.
    """
    return settled_beside(form, brief, around, chosen, table)[0]


def settled_beside(
    form: Form, brief: Brief, around: Surroundings, chosen: dict[str, float], table: Table | None = None,
) -> tuple[dict[str, float], Beside]:
    """``settled``, and what is proposed beside it. Raises SizeRefused as that does."""
    known = {s.name: s for s in form.sizes}
    for name in chosen:
        if name not in known:
            raise SizeRefused(
                name, f"A {form.name} has no size {name!r}. It has: {', '.join(known)}."
            )
    # Before anything is proposed: proposals divide by counts and widths the maker set.
    own = {name: _within(known[name], value) for name, value in chosen.items()}
    ready = proposed(form, brief, around, own, table)
    values = {n: own[n] if n in own else _within(known[n], p.value) for n, p in ready.items()}
    return values, Beside(form, brief, around, own, table, ready)


def _within(size: Size, value: float) -> float:
    if size.choices and value not in range(len(size.choices)):
        raise SizeRefused(
            size.name,
            f"{size.label} is {value:g}; give "
            + ", ".join(f"{k} for {words}" for k, words in enumerate(size.choices)) + ".",
        )
    if not size.low <= value <= size.high:
        raise SizeRefused(
            size.name,
            f"{size.label} is {value:g}{size.unit and ' ' + size.unit}; give {size.low:g} to "
            f"{size.high:g}{size.unit and ' ' + size.unit}.",
        )
    if size.whole and value != int(value):
        raise SizeRefused(size.name, f"{size.label} is {value:g}; give a whole number.")
    return int(value) if size.whole else float(value)
