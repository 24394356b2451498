"""What a client sees and uses of a piece, named from the piece itself."""

import pytest

from studio_lib.commission import Brief, Commission
from studio_lib.derive import derive
from studio_lib.forms import make
from studio_lib.papers import words
from studio_lib.piece.used import used


def of(form, **sizes):
    return used(make(form, Brief(), timber="oak", swell_fraction=0.02, **sizes))


@pytest.mark.parametrize("form, sizes, says", [
    ("chest", {}, ("a lid on hinges", "a plinth")),
    ("chest", {"plinth_mm": 0.0}, ("a lid on hinges",)),
    ("cabinet", {"doors": 2, "drawer_rows": 0, "shelf_count": 2}, ("two doors on hinges", "two shelves", "a back of boards", "a plinth")),
    ("cabinet", {"doors": 1, "drawer_rows": 2, "drawers_across": 0, "shelf_count": 0},
     ("a door on hinges", "two drawers", "a back of boards", "a plinth")),
    ("bookcase", {"back": 0}, ("five shelves", "a plinth")),
    ("framed screen", {"stands": 2}, ("two leaves that fold on hinges",)),
    ("table", {}, ()),
])
def test_what_opens_slides_and_carries_is_named(form, sizes, says):
    assert of(form, **sizes) == says


def test_the_quote_names_the_lid_and_not_glue_lines_or_loose_panels():
    c = Commission(ref="H-1", title="chest", brief=Brief(people=2, place="indoors, heated")).changed("timber.species", "European oak")
    said = words.paragraphs(derive(c.changed("items", [{"name": "chest", "form": "chest"}])))[-1]
    assert "It has a lid on hinges and a plinth." in said and "joined with through dovetail and dowels" in said
    for glue_line in ("edge joint", "groove and panel", "glued on", "screws"):
        assert glue_line not in said
