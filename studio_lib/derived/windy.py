"""A screen fixed in the wind: sections proposed so that they hold in the gust of its place, tried in the frame of the whole piece."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from math import ceil

from studio_lib.commission import Brief, Item
from studio_lib.derived.arrows import KEEP, piece_of, sizes_of, structure_of
from studio_lib.finding import Finding, Verdict
from studio_lib.forms import Proposal, SizeRefused, Surroundings, form
from studio_lib.forms.stronger import COUNTS, SECTIONS, stronger

TRIES = 8
"""So often sections are taken up before it is said that none holds."""
STEP_MM = 50.0
"""Widths and heights of screens are rounded up to this where sections are sought."""
TRIED = "tried in the frame of the whole piece; wind by ASCE 7-16 29.3"


def wind_n(form_name: str, sizes: dict[str, float], brief: Brief) -> float:
    """What a gust blows on one screen that is fixed outdoors; 0 for other pieces and while the wind is not known. [N]"""
    from studio_lib.brief.refusals import wind_force_n, wind_speed_m_s
    from studio_lib.brief.wishes import FORCE_FACTOR

    made = form(form_name)
    share, speed = made.solid_share(sizes), wind_speed_m_s(brief.wind, brief.wind_m_s)
    if share is None or speed is None or not brief.place.startswith("outdoors") or not made.fixed(sizes):
        return 0.0
    return round(wind_force_n(sizes["length_mm"], sizes["height_mm"], min(max(share, 0.01), 1.0), speed, FORCE_FACTOR), 6)


def blown_on(form_name: str, sizes: dict[str, float], brief: Brief) -> bool:
    """Whether a gust loads the frame of a screen: it is fixed outdoors, to the floor, to the ceiling or at both its ends."""
    from studio_lib.structure.fixings import BOTH, RAILING, UNDER_CEILING
    from studio_lib.structure.railing import CLAMPED

    held = form(form_name).fixed(sizes) if form_name in SECTIONS else ""
    return bool(held) and (held in (BOTH, RAILING, CLAMPED, *UNDER_CEILING) or "floor" in held) and wind_n(form_name, sizes, brief) > 0


@lru_cache(maxsize=KEEP)
def raised_of(
    item_json: str, brief_json: str, around: Surroundings, letter: str, woods: tuple, own: tuple, setting, brief: Brief,
) -> tuple[tuple[tuple[str, float], ...], bool]:
    """Sizes to take up so that a screen holds in the wind, and whether it does; none where it holds as proposed.

    ``setting`` is as the piece stands but for what it is fixed by and what blows on it, which follow from its sizes.
    """
    item, raised = Item.model_validate_json(item_json), {}
    made = form(item.form)
    free = {n for n in SECTIONS[item.form].names if n not in item.sizes}
    for _ in range(TRIES):
        try:
            sizes, failing = _too_weak(item, item_json, brief_json, raised, around, letter, woods, own, setting, brief)
        except (SizeRefused, ValueError):
            break
        if not failing:
            return tuple(raised.items()), True
        more = stronger(made, sizes, free, failing, bool(raised))
        if more is None:
            break
        raised |= more
    return (), False


def _too_weak(
    item: Item, item_json: str, brief_json: str, raised: dict[str, float], around: Surroundings, letter: str, woods: tuple, own: tuple,
    setting, brief: Brief,
) -> tuple[dict[str, float], list[Finding]]:
    """Sizes of a screen with some taken up, and its checks of strength that will not do. Raises SizeRefused or ValueError."""
    sizes, _ = sizes_of(item.model_copy(update={"sizes": {**item.sizes, **raised}}).model_dump_json(), brief_json, around)
    piece = piece_of(item_json, tuple(sizes.items()), around, letter)
    here = replace(setting, fixed=form(item.form).fixed(sizes), wind_n=wind_n(item.form, sizes, brief))
    found = structure_of(piece, woods, brief.place, brief.use, own, here).findings
    return sizes, [f for f in found if f.verdict is Verdict.FAILS and f.utilisation is not None]


def _rounded_up(item: Item) -> Item:
    """A screen a little wider and higher, as far as its form goes."""
    most = {s.name: s.high for s in form(item.form).sizes if s.name in form(item.form).overall}
    larger = {n: min(STEP_MM * ceil(v / STEP_MM - 1e-6), most[n]) if n in most else v for n, v in item.sizes.items()}
    return item.model_copy(update={"sizes": larger})


class Windy:
    """That part of ``studio_lib.derive.Derived``."""

    def _held_in_wind(self, item: Item, item_json: str, brief: Brief, brief_json: str, around: Surroundings, letter: str, sizes, proposals):
        """Sizes and proposals of a screen with its sections taken up for the wind, and whether it holds then; as they are for other pieces."""
        if self.species is None or not blown_on(item.form, sizes, brief):
            return sizes, proposals, True
        piece = piece_of(item_json, tuple(sizes.items()), around, letter)
        setting = replace(self._setting_of(item, sizes, brief, piece), fixed="", wind_n=0.0)
        rest = (around, letter, tuple(self.woods_of(piece).items()), tuple(sorted(self._loads_of_screen(item).items())), setting, brief)
        # A slider moves in small steps: what holds a little larger is kept for all of them, and tried on the piece itself.
        raised, holds = raised_of(_rounded_up(item).model_dump_json(), brief_json, *rest)
        if not holds or not self._holds_raised(item, item_json, brief_json, raised, *rest):
            raised, holds = raised_of(item_json, brief_json, *rest)
        if raised:
            sizes, _ = sizes_of(item.model_copy(update={"sizes": {**item.sizes, **dict(raised)}}).model_dump_json(), brief_json, around)
            proposals = {**proposals, **{n: _thicker(n, v, proposals[n], brief) for n, v in raised}}
        for name in set(item.sizes) & set(SECTIONS[item.form].names):
            without = item.model_copy(update={"sizes": {n: v for n, v in item.sizes.items() if n != name}})
            there = dict(raised_of(_rounded_up(without).model_dump_json(), brief_json, *rest)[0])
            if name in there:
                proposals = {**proposals, name: _thicker(name, there[name], proposals[name], brief)}
        return sizes, proposals, holds

    def _holds_raised(self, item: Item, item_json: str, brief_json: str, raised, *rest) -> bool:
        """Whether a screen holds with sections taken up."""
        try:
            return not _too_weak(item, item_json, brief_json, dict(raised), *rest)[1]
        except (SizeRefused, ValueError):
            return False

    def _loads_of_screen(self, item: Item) -> dict[str, float]:
        """The maker's own loads on a screen."""
        from studio_lib.structure.loads import names_of

        known = names_of("screen", self.commission.brief.use, self.children)
        return {n: v for n, v in item.loads.items() if n in known}


def _thicker(name: str, value: float, usual: Proposal, brief: Brief) -> Proposal:
    """A section taken up, and why."""
    how = "more" if name in COUNTS else "wider" if "width" in name or "gap" in name else "thicker"
    unit = "" if how == "more" else " mm"
    return Proposal(value, f"{how} than the usual {usual.value:g}{unit}, to hold in {gust_words(brief)}", TRIED)


def sections_set(item: Item) -> list[str]:
    """Sections of a screen that the maker set, in words."""
    words = {s.name: s for s in form(item.form).sizes}
    return [f"{words[n].label.lower()} {words[n].words(item.sizes[n])}" for n in SECTIONS[item.form].names if n in item.sizes]


def gust_words(brief: Brief) -> str:
    """'a gust of 33 m/s'."""
    from studio_lib.brief.refusals import wind_speed_m_s

    return f"a gust of {wind_speed_m_s(brief.wind, brief.wind_m_s):g} m/s"


def none_holds(piece_name: str, brief: Brief, own: list[str], fixed: str = "") -> Finding:
    """That no sections left to be proposed hold in the wind. ``own``: sections the maker set, in words; ``fixed``: what it is fixed to."""
    from studio_lib.structure.fixings import BOTH, RAILING
    from studio_lib.structure.railing import CLAMPED

    held = ("on more uprights, so that each leaf is narrower" if fixed == CLAMPED else
            "in leaves on uprights that are clamped to a railing, where one is" if fixed in (BOTH, RAILING) else "held at both its ends")
    kept = f" with {', '.join(own)} as set" if own else ""
    return Finding(
        piece_name, "sections for the wind", Verdict.FAILS,
        f"no thickness or width of its parts that this form allows holds it in {gust_words(brief)}{kept}, as wide, high and fixed as it is",
        rule="sections are proposed that hold in the gust of the place", source=TRIED, stage="sizes",
        mend=("Let the sizes you set be as proposed; else lower" if own else "Lower") + f", narrower, more open, {held}, or of a stronger timber.",
    )
