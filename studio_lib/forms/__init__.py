"""Forms: from a brief and a few sizes to a piece. One file a form; register it in FORMS."""

from __future__ import annotations

import re

from studio_lib.brief.hung_said import SHELF_WORDS
from studio_lib.commission import Brief, Item
from studio_lib.forms.bench import BENCH
from studio_lib.forms.cabinet import CABINET
from studio_lib.forms.chest import CHEST
from studio_lib.forms.form import Form, Proposal, Size, SizeRefused, Surroundings, proposed, settled, settled_beside
from studio_lib.forms.framed_screen import FRAMED_SCREEN
from studio_lib.forms.freehand import FREEHAND
from studio_lib.forms.hung_case import HUNG_CASE
from studio_lib.forms.shelves import SHELVES
from studio_lib.forms.slatted import STOOL, TABLE
from studio_lib.forms.stool import STOOL_WITH_LEAN
from studio_lib.forms.strung_screen import STRUNG_SCREEN
from studio_lib.forms.table import SOLID_TABLE
from studio_lib.piece import Piece

FORMS: dict[str, Form] = {
    f.name: f for f in (
        BENCH, SOLID_TABLE, STOOL_WITH_LEAN, TABLE, STOOL, SHELVES, HUNG_CASE, CABINET, CHEST, FRAMED_SCREEN, STRUNG_SCREEN,
        FREEHAND,
    )
}

__all__ = ["FORMS", "STEP", "Form", "Proposal", "Size", "SizeRefused", "Surroundings", "begun", "form", "make", "proposed", "settled", "settled_beside"]


STEP = "step stool"
"""Added by a name of its own: a stool made to be stood on."""


def begun(form_name: str, called: str) -> Item:
    """A piece as it is added to a commission: ``form_name`` of ``FORMS``, or ``STEP``. A stool called a step is made to be stood on; what
    hangs has doors or none as it is called."""
    step = form_name == STEP or form_name == "stool" and re.search(r"\bsteps?\b", called, re.IGNORECASE)
    if form_name == HUNG_CASE.name and (shut := re.search(r"cupboard|cabinet", called, re.IGNORECASE) is not None) != (SHELF_WORDS.search(called) is not None):
        return Item(name=called, form=form_name, sizes={"doors": 2.0 if shut else 0.0})
    return Item(name=called, form="stool" if step else form_name, sizes={"made_to": 1.0} if step else {})


def form(name: str) -> Form:
    """The form of that name. Raises KeyError listing those on file."""
    try:
        return FORMS[name]
    except KeyError:
        raise KeyError(f"There is no form {name!r}. On file: {', '.join(FORMS)}.") from None


def make(
    form_name: str,
    brief: Brief,
    *,
    timber: str = "",
    swell_fraction: float = 0.0,
    name: str | None = None,
    letter: str = "A",
    joints: dict[str, dict[str, float]] | None = None,
    adjustments=(),
    **sizes: float,
) -> Piece:
    """A piece from a form, a brief and any sizes the maker sets.

    Raises SizeRefused (a ValueError) naming the size, what was given and what is allowed.
    """
    chosen = form(form_name)
    around = Surroundings(timber, swell_fraction)
    values = settled(chosen, brief, around, sizes)
    return chosen.lay_out(
        name or form_name, letter, values, around, joints or {}, tuple(adjustments)
    )
