"""Two pieces to look like one family: the sections of one taken over by the other, those that both forms have."""

from __future__ import annotations

from dataclasses import dataclass

from studio_lib.commission import Brief, Commission, Item, Shaped
from studio_lib.forms import form
from studio_lib.forms.changes import unmade
from studio_lib.forms.form import Form, Size, Surroundings, settled
from studio_lib.piece import Member, Piece
from studio_lib.piece.shaping import SIDES, Taper

ALIKE: dict[str, tuple[str, ...]] = {
    "legs": ("leg_mm",),
    "slat or board thickness": ("slat_thickness_mm", "seat_thickness_mm", "top_thickness_mm"),
    "gap between slats": ("gap_mm",),
    "width of the rails under the top": ("apron_width_mm", "rail_width_mm"),
    "thickness of the rails under the top": ("apron_thickness_mm", "rail_thickness_mm"),
    "rails behind the leg's face": ("apron_setback_mm", "rail_setback_mm"),
    "bearer width": ("bearer_width_mm",),
    "bearer thickness": ("bearer_thickness_mm",),
    "lower rail width": ("lower_rail_width_mm",),
    "lower rail thickness": ("lower_rail_thickness_mm",),
    "splay of the legs": ("splay_deg",),
    "rake of the legs": ("rake_deg",),
    "arrises": ("arris_mm",),
    "thickness of the frames": ("frame_mm",),
    "width of the stiles": ("stile_mm",),
    "thickness of the panels": ("panel_mm",),
    "thickness of shelves": ("shelf_mm",),
    "thickness of the back boards": ("back_mm",),
}
"""Sections by what they are, with the names that forms have for them: one of each in any form."""
COUNTS = ("slat_count", "board_count")
"""How many slats or boards make a top; their width follows."""
SLAT_WIDTH = "slat width"
TAPER = Taper.kind
NEAR_MM = 0.05
"""A slat is as wide as another to this; judgement of ours."""


@dataclass(frozen=True)
class Taken:
    """What one piece takes from another."""

    sizes: dict[str, float]
    """Sizes to be set, by name; the rest of what the maker set stays."""
    told: tuple[str, ...]
    """What changes, a line each: 'legs: 64 -> 60 mm'."""
    refused: tuple[str, ...]
    """What the rules do not let it take, with their reason."""
    already: tuple[str, ...] = ()
    """What is alike as it is."""
    shaped: tuple[Shaped, ...] = ()
    """Tapers of legs, as changes of the maker's own."""

    @property
    def says(self) -> str:
        """All of it in sentences."""
        said = [f"Taken: {'; '.join(self.told)}." if self.told else "Nothing was taken."]
        said += [f"Not taken: {one}" for one in self.refused]
        return " ".join(said + ([f"Alike already: {', '.join(self.already)}."] if self.already else []))


def _named(made: Form, names: tuple[str, ...]) -> Size | None:
    return next((s for s in made.sizes if s.name in names), None)


def in_common(one: str, other: str) -> tuple[str, ...]:
    """Sections that two forms both have, in words."""
    a, b = form(one), form(other)
    return tuple(words for words, names in ALIKE.items() if _named(a, names) and _named(b, names))


def take_sections(
    source: Item, source_sizes: dict[str, float], item: Item, sizes: dict[str, float], brief: Brief, around: Surroundings, table=None, letter: str = "A",
) -> Taken:
    """The sections of ``source`` as ``item`` can take them.

    Parameters
    ----------
    source, source_sizes : the piece whose looks are taken, and its settled sizes. [mm]
    item, sizes : the piece that takes them, and its settled sizes as it is. [mm]
    brief, around, table, letter : as the piece that takes them is settled (``derived.pieces.Made.brief``)

    Every size that both forms have, by what it is, is set one after the other, as long as the piece can be laid out with it;
    what cannot be is tried again after the others, and then told with the reason. Slats come out as near to the width of
    the source's as a whole number of them allows.
    """
    mine, theirs = form(item.form), form(source.form)
    unused = (*mine.unused(sizes), *_idle(sizes)), (*theirs.unused(source_sizes), *_idle(source_sizes))
    wanted, words, already = {}, {}, []
    for said, names in ALIKE.items():
        own, other = _named(mine, names), _named(theirs, names)
        if own is None or other is None or own.name in unused[0] or other.name in unused[1]:
            continue
        if said == "gap between slats" and (mine.slats(sizes) is None or theirs.slats(source_sizes) is None):
            continue
        if source_sizes[other.name] == sizes[own.name]:
            already.append(said)
        wanted[own.name], words[own.name] = source_sizes[other.name], (said, own)
    set_now, refused = _as_far_as_it_goes(mine, item, brief, around, table, wanted)
    set_now = _slats_alike(mine, theirs, source_sizes, item, brief, around, table, set_now)
    after = settled(mine, brief, around, {**item.sizes, **set_now}, table)
    told = [f"{said}: {size.words(sizes[n])} -> {size.words(after[n])}" for n, (said, size) in words.items() if n in set_now and after[n] != sizes[n]]
    told += _told_of_slats(mine, theirs, sizes, after, source_sizes)
    not_taken = tuple(f"{words[n][0]} of {words[n][1].words(wanted[n])}: {says}" for n, says in refused.items())
    shaped, said, lost = _tapers(source, source_sizes, item.model_copy(update={"sizes": {**item.sizes, **set_now}}), after, around, letter)
    return Taken(set_now, (*told, *said), (*not_taken, *lost), tuple(already), shaped)


def taken_over(document: Commission, index: int, taken: Taken) -> Commission:
    """The commission with one piece's sections as taken from another: one change, taken back by one Undo."""
    item = document.items[index]
    whole = document.changed(f"items.{index}.sizes", {**item.sizes, **taken.sizes})
    if not taken.shaped:
        return whole
    return whole.changed(f"items.{index}.adjustments", [a.model_dump(mode="json") for a in (*item.adjustments, *taken.shaped)])


def _legs(made: Form, item: Item, sizes: dict[str, float], around: Surroundings) -> tuple[Piece, dict[str, Member]]:
    """A piece laid out, and its legs by their code: 'L1'."""
    piece = made.lay_out(item.name, "A", sizes, around, item.joints, item.adjustments)
    return piece, {m.ref.rpartition("-")[2]: m for m in piece.members if m.role == "leg"}


def _tapers(source: Item, source_sizes, item: Item, sizes, around: Surroundings, letter: str):
    """Tapers of the legs that the other piece can have on the same legs: (changes, what is told, what is not taken)."""
    tapers = [a for a in source.adjustments if a.kind == "shape" and a.shaping == TAPER and not a.off]
    if not tapers:
        return (), [], []
    theirs, mine = form(source.form), form(item.form)
    own = {(a.member.rpartition("-")[2], a.figures.get("side", "face")) for a in item.adjustments if a.kind == "shape" and a.shaping == TAPER}
    legs, ours = _legs(theirs, source, source_sizes, around)[1], _legs(mine, item, sizes, around)[1]
    taken, told, lost = [], [], []
    for a in tapers:
        code = a.member.rpartition("-")[2]
        if code not in legs:
            continue
        if code not in ours:
            lost.append(f"taper of leg {code}: {item.name} has no such leg.")
            continue
        side = _same_side(legs[code].placement, ours[code].placement, a.figures.get("side", "face"))
        if (code, side) in own:
            continue
        change = a.model_copy(update={"member": f"{letter}-{code}", "figures": {**a.figures, "side": side}})
        more = item.model_copy(update={"adjustments": (*item.adjustments, *taken, change)})
        why = _legs_say(mine, more, sizes, around)
        if why:
            lost.append(f"taper of leg {code}: {why}")
        else:
            taken.append(change)
            told.append(f"taper of the {ours[code].name}: {a.figures.get('off_mm', 10.0):g} mm off its {side} side towards its {a.figures.get('towards', 'start')}")
    return tuple(taken), told, lost


def _legs_say(made: Form, item: Item, sizes, around: Surroundings) -> str:
    """Why the last change of a piece cannot be made on it; '' where it can."""
    try:
        piece, _ = _legs(made, item, sizes, around)
    except ValueError as error:
        return str(error)
    last = f"change {len(item.adjustments)}"
    return next((f.says for f in unmade(piece) if f.subject == last), "")


def _same_side(theirs, mine, side: str) -> str:
    """The side of a member that looks where ``side`` of another one does."""
    def looks(p) -> dict[str, tuple[float, float, float]]:
        back, low = (tuple(-x for x in way) for way in (p.through, p.across))
        return dict(zip(SIDES, (p.through, back, p.across, low)))

    wanted = looks(theirs)[side]
    return max(SIDES, key=lambda s: sum(a * b for a, b in zip(looks(mine)[s], wanted)))


def _idle(sizes: dict[str, float]) -> tuple[str, ...]:
    """Sections of rails and bearers that are not there."""
    out = () if sizes.get("lower_rail_height_mm", 1) else ("lower_rail_width_mm", "lower_rail_thickness_mm")
    return out if sizes.get("bearer_count", 1) else (*out, "bearer_width_mm", "bearer_thickness_mm")


def _can_be(mine: Form, item: Item, brief: Brief, around: Surroundings, table, own: dict[str, float]) -> str:
    """Why the piece cannot be laid out with those sizes set; '' where it can."""
    try:
        sizes = settled(mine, brief, around, {**item.sizes, **own}, table)
        mine.lay_out(item.name, "A", sizes, around, item.joints, item.adjustments)
    except ValueError as error:
        return str(error)
    return ""


def _as_far_as_it_goes(mine, item, brief, around, table, wanted: dict[str, float]) -> tuple[dict[str, float], dict[str, str]]:
    """Sizes that can be set together, and why the rest cannot."""
    if not _can_be(mine, item, brief, around, table, wanted):
        return dict(wanted), {}
    kept: dict[str, float] = {}
    left, refused = dict(wanted), {}
    while left:
        refused = {name: why for name, value in left.items() if (why := _can_be(mine, item, brief, around, table, {**kept, name: value}))}
        fits = next((name for name in left if name not in refused), None)
        if fits is None:
            break
        kept[fits] = left.pop(fits)
    return kept, refused


def _slats_alike(mine, theirs, source_sizes, item, brief, around, table, set_now: dict[str, float]) -> dict[str, float]:
    """The same with as many slats as bring their width nearest to that of the source's; as it was where there are none."""
    theirs_now = theirs.slats(source_sizes)
    count = next((s for s in mine.sizes if s.name in COUNTS), None)
    if theirs_now is None or count is None:
        return set_now

    def width(own) -> float | None:
        try:
            slatted = mine.slats(settled(mine, brief, around, {**item.sizes, **own}, table))
        except ValueError:
            return None
        return slatted and slatted[0]

    now = width(set_now)
    if now is None or abs(now - theirs_now[0]) <= NEAR_MM:
        return set_now
    tried = [(abs(w - theirs_now[0]), n) for n in range(2, int(count.high) + 1) if (w := width({**set_now, count.name: n})) is not None]
    for _, n in sorted(tried)[:3]:
        own = {**set_now, count.name: float(n)}
        if not _can_be(mine, item, brief, around, table, own):
            return own
    return set_now


def _told_of_slats(mine, theirs, before, after, source_sizes) -> list[str]:
    was, now, other = mine.slats(before), mine.slats(after), theirs.slats(source_sizes)
    count = next((s.name for s in mine.sizes if s.name in COUNTS), None)
    if count is None or was is None or now is None or other is None or (abs(was[0] - now[0]) <= NEAR_MM and abs(was[1] - now[1]) <= NEAR_MM):
        return []
    return [f"{SLAT_WIDTH}: {was[0]:.1f} mm -> {now[0]:.1f} mm ({after[count]:.0f} of them; {other[0]:.1f} mm there)"]
