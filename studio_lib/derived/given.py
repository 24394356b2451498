"""What nothing that is suggested changes: what the client or the place gives, and what a piece is for.

Mends, savings, plainer ways and the search for a budget all ask here.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from studio_lib.brief.said import figures_asked
from studio_lib.commission import Brief
from studio_lib.forms import Size, form
from studio_lib.forms.form import BRIEF
from studio_lib.forms.frame_parts import BY_CEILING, NOT_NAMED, TO_RAILING, fixed_by, stands_proposed
from studio_lib.structure.loads import serves

if TYPE_CHECKING:
    from studio_lib.derive import Derived
    from studio_lib.derived.pieces import Made

WITHIN_MM = 3.0
"""A size so near a figure is that figure."""
AT_HEIGHT = ("seat", "table")
"""What people sit, stand, eat or work at."""
ANOTHER_PIECE = ("back", "doors", "drawers", "drawer_rows", "bays", "upper_mm")
"""Without these it is another piece: no mend takes them away altogether."""
ASKED_BY = {
    "drawers": "drawer", "drawer_rows": "drawer", "drawers_across": "drawer", "drawers_fill": "drawer", "doors": "door|cupboard", "pulls": "pull|knob|handle", "back": "back|arm|lean",
    "shelf_count": "shel|book|record", "upper_shelves": "shel|book|record", "outline": "round|oval", "top": "solid|breadboard|slat|closed top", "seat": "solid|slat|board",
    "shape": "round|oval", "lipping": "lipping|edge", "base": "leg|trestle", "fill": "slat|rail|upright", "courses": "panel|board", "lid_boards": "panel|board", "tails": "dovetail",
    "slat_ends": "let in|tenon", "cases": "two cases|one case", "lie": "edge|flat", "cables": "cable", "stopped": "housing",
    "uprights": "upright|divider|division|partition|bay|column",
}
"""Words of a client that ask for what a size gives, by the size; in their own words and the points of it."""
FINISH_WORDS = "oil|lacquer|varnish|paint|finish|wax|soap|stain|polish|bare"


def stays(made: Made, to_save: bool = False) -> set[str]:
    """Names of sizes that no suggestion changes.

    Those that a form marks (``Size.given``) or its place sets; those over all that the client gave a figure for; and, where the maker put
    nothing else in place of what is proposed, those that are proposed by the brief and the height at which people sit, stand or eat.
    ``to_save``: only money would be saved. Then such a height stays the maker's too, as does the depth of a seat, and so does whatever the
    client's words speak of.
    """
    of, out = form(made.item.form), set()
    whole, high = {n for n in of.overall if n}, "height_mm" if serves(of.name) in AT_HEIGHT else ""
    sat_in = of.overall[1] if serves(of.name) == "seat" else ""
    for s in of.sizes:
        if s.name not in made.sizes:
            continue
        proposed = made.proposals.get(s.name)
        own = s.name in made.item.sizes and proposed is not None and abs(made.sizes[s.name] - proposed.value) > (0 if s.whole else WITHIN_MM)
        by_brief = proposed is not None and proposed.source.partition(";")[0] == BRIEF and s.name != "stands"  # ways to stand: ``ruled_out``
        if (
            s.given or (s.name in whole and is_asked(made, s.name)) or (not own and (by_brief or s.name == high))
            or (to_save and (s.name in (high, sat_in) or ((s.whole or s.choices) and asked_for(made.brief, s.name))))
        ):
            out.add(s.name)
    return out | {*of.set_by_place(made.sizes)}


def is_asked(made: Made, name: str) -> bool:
    """Whether a size over all is one that the client gave a figure for, in words or in a wish."""
    figures = figures_asked(made.brief)
    for wish in made.brief.wishes or ():
        figures += [v for n, v in wish if n in ("length_mm", "width_mm", "depth_mm", "height_mm") and v]
    return any(abs(made.sizes[name] - v) <= WITHIN_MM for v in figures)


def asked_for(brief: Brief, name: str) -> bool:
    """Whether the client's own words speak of what a size gives, or of the finish ('finish')."""
    words = FINISH_WORDS if name == "finish" else ASKED_BY.get(_kind(name), "")
    text = " ".join((brief.asked, brief.carries, *(p.words for p in brief.points)))
    return bool(words) and re.search(rf"\b(?:{words})", text, re.IGNORECASE) is not None


def choice_stays(made: Made, size: Size) -> bool:
    """Whether something is there by a choice that no mend takes away: without it it is another piece, or the client's words ask for it."""
    there = not size.choices[int(made.sizes[size.name])].startswith(("no", "open"))
    return there and (_kind(size.name) in ANOTHER_PIECE or asked_for(made.brief, size.name))


def least_mended(made: Made, size: Size) -> float:
    """How far down a mend may take a size: of what the client's words ask for no fewer than are proposed, and nothing away altogether
    without which it is another piece."""
    now, proposed = made.sizes[size.name], made.proposals.get(size.name)
    if size.whole and asked_for(made.brief, size.name):
        return min(now, proposed.value) if proposed is not None and proposed.value else now
    if _kind(size.name) in ANOTHER_PIECE and now > 0:
        return 1.0 if size.whole else now
    return size.low


def _kind(name: str) -> str:
    """Of which kind a size is: 'drawers' of the drawers in the second bay."""
    return "drawers" if name.endswith("_drawers") else "shelf_count" if name.endswith("_shelves") else "doors" if name.endswith("_front") else name


def ruled_out(size: Size, brief: Brief) -> tuple[int, ...]:
    """Ways to stand that the brief forbids, has nothing for or decided otherwise: drilled where nothing may be, clamped where no railing is measured,
    free where it is to be fixed, by something else where it is to go up to the ceiling. Of other sizes none."""
    if size.name == "wall":
        return (1,) if brief.nothing_drilled else (0,) if brief.fixed_to_building else ()
    if size.name != "stands" or NOT_NAMED not in size.choices:
        return ()
    said = stands_proposed(brief, size.choices)
    wanted = size.choices[int(said.value)] if said.source == BRIEF else ""
    return tuple(n for n, words in enumerate(size.choices) if (
        (words.startswith("fixed") and brief.nothing_drilled) or (words == TO_RAILING and not brief.railing_mm)
        or (fixed_by(wanted) and not fixed_by(words)) or (wanted in BY_CEILING and words not in BY_CEILING)
    ))


def timber_stays(d: Derived, other: str) -> bool:
    """Whether another timber would be against the client: theirs is brought, or is one they like and the other is not."""
    return d.commission.brief.brings_timber or (d.commission.timber.species in d.liked and other not in d.liked)
