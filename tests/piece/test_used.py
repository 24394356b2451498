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
    ("bookcase", {"back": 0}, ("four shelves", "a plinth")),
    ("bookcase", {"back": 0, "cases": 1, "doors": 2, "shelf_count": 3, "cupboard_shelves": 1},
     ("two doors on hinges", "three open shelves", "a shelf behind the doors", "a plinth")),
    ("bookcase", {"back": 0, "width_mm": 1800, "uprights": 1, "shelf_count": 3}, ("six shelves", "an upright between its ends", "a plinth")),
    ("bookcase", {"back": 0, "width_mm": 2000, "uprights": 2, "cases": 1, "shelf_count": 3}, ("six shelves", "two uprights between its ends", "a plinth")),
    ("framed screen", {"stands": 2}, ("two leaves that fold on hinges",)),
    ("table", {}, ()), ("bench", {"back": 2}, ("a back of slats", "two arms")),
])
def test_what_opens_slides_and_carries_is_named(form, sizes, says):
    assert of(form, **sizes) == says


def test_the_quote_names_the_lid_and_not_glue_lines_or_loose_panels():
    c = Commission(ref="H-1", title="chest", brief=Brief(people=2, place="indoors, heated")).changed("timber.species", "European oak")
    said = words.paragraphs(derive(c.changed("items", [{"name": "chest", "form": "chest"}])))[-1]
    assert "It has a lid on hinges and a plinth." in said and "joined with through dovetail and dowels" in said
    for glue_line in ("edge joint", "groove and panel", "glued on", "screws"):
        assert glue_line not in said


def test_stays_are_told_of_where_a_lid_swings_on_what_they_are_fitted_to():
    from studio_lib.piece.used import stays

    c = Commission(ref="H-2", title="chest", brief=Brief(people=2, place="indoors, heated")).changed("timber.species", "European oak")
    c = c.changed("items", [{"name": "chest", "form": "chest"}])
    d = derive(c)
    assert stays(d.piece) == 2 and "Its lid is held wherever it is let go, by two stays." in words.paragraphs(d)[-1]
    loose = derive(c.changed("items.0.sizes.stays", 0))
    assert stays(loose.piece) == 0 and "let go" not in words.paragraphs(loose)[-1]
    hinge = next(j for j in d.piece.joints if j.lets == "turn")
    off = derive(c.changed("items.0.adjustments", [{"kind": "unjoin", "first": hinge.first, "second": hinge.second}]))
    assert stays(off.piece) == 0 and "let go" not in words.paragraphs(off)[-1]
    fast = derive(c.changed("items.0.adjustments", [{"kind": "join", "joint": "screws", "first": hinge.first, "second": hinge.second}]))
    assert stays(fast.piece) == 0, "a lid screwed down beside its hinges does not swing, so nothing holds it open"
