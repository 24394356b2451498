"""The change named under 'What to do': made, the check stands, and what is said of other checks is so."""

from __future__ import annotations

import pytest

from studio_lib.commission import Brief, Commission, Item
from studio_lib.derive import derive
from studio_lib.derived.remedies import BADLY, LEAVE, failing, remedies
from studio_lib.forms.frame_parts import NOT_NAMED

OUTDOORS = {"place": "outdoors, in the weather", "wind_m_s": 33.0, "children": False}
CASES = {
    "screen on feet": ("framed screen", {"height_mm": 1800, "stands": 0}, OUTDOORS),
    "strung screen on feet": ("strung screen", {"height_mm": 1800, "stands": 0}, OUTDOORS),
    "screen at one wall": ("framed screen", {"height_mm": 1800, "stands": 4}, OUTDOORS),
    "thin frame in the wind": ("framed screen", {"height_mm": 1800, "length_mm": 1800, "stands": 3, "frame_thickness_mm": 36}, OUTDOORS),
    "bookcase that sags": ("bookcase", {"width_mm": 1200, "uprights": 0, "shelf_mm": 15, "load_kg_m": 60}, {}),
    "table low over knees": ("slatted table", {"length_mm": 1600, "apron_width_mm": 180, "height_mm": 700}, {}),
    "slats too thin": ("slatted table", {"length_mm": 2200, "slat_thickness_mm": 14}, {}),
    "stool of thin legs": ("stool", {"height_mm": 700, "leg_mm": 25, "rail_width_mm": 30, "rail_thickness_mm": 15}, {}),
}


def made(name):
    form, sizes, brief = CASES[name]
    item = Item(name="piece", form=form, sizes={k: float(v) for k, v in sizes.items()})
    return Commission(ref="2026-001", title="piece", brief=Brief(**brief), items=(item,)).changed("timber.species", "European oak")


def with_it(c, remedy):
    for path, value in remedy.changes:
        c = c.changed(path, value)
    return derive(c)


@pytest.mark.parametrize("name", CASES)
def test_what_is_said_to_mend_a_check_mends_it_and_what_it_breaks_is_said(name):
    c = made(name)
    d = derive(c)
    before = failing(d, BADLY)
    assert failing(d)
    found = remedies(d, 0)
    assert any(found.values())
    for key, remedy in found.items():
        if remedy is None:
            continue
        after = failing(with_it(c, remedy), BADLY)
        assert key not in after
        new = {f"{f.subject}: {f.what}" for k, f in after.items() if k not in before and f.what != LEAVE}
        assert new == set(remedy.breaks)
        for _, value in remedy.changes:
            assert f"{value:g}" in remedy.words or "set to" in remedy.words
        assert remedy.also == sum(k not in after for k in before) - 1


def test_of_several_mends_the_one_that_leaves_fewest_checks_failing_is_told():
    d = derive(made("thin frame in the wind"))
    told = set(r.words for r in remedies(d, 0).values())
    assert len(told) == 1 and told.pop().startswith("Frame thickness ")


def test_leaving_open_how_it_is_fixed_is_no_mend_and_leave_of_others_is_said():
    d = derive(made("screen on feet"))
    found = [r for r in remedies(d, 0).values() if r is not None]
    assert found
    for remedy in found:
        assert NOT_NAMED not in remedy.words.replace("fixed to a wall or floor and", "")
        after = with_it(d.commission, remedy)
        asked = {f.subject for f in after.size_findings if f.what == LEAVE} - {f.subject for f in d.size_findings if f.what == LEAVE}
        assert bool(asked) == ("Others must give leave" in remedy.words)


def test_the_change_is_the_least_of_its_kind():
    """Two steps of the planer less and the check fails again."""
    c = made("thin frame in the wind")
    (path, value), = next(iter(remedies(derive(c), 0).values())).changes
    assert failing(derive(c.changed(path, value - 4)))


def test_nothing_is_looked_for_where_all_stands_and_looking_can_be_stopped():
    sound = Commission(ref="2026-001", title="stool", brief=Brief(), items=(Item(name="stool", form="stool", sizes={}),)).changed("timber.species", "European oak")
    assert remedies(derive(sound), 0) == {}
    assert remedies(derive(made("bookcase that sags")), 0, stopped=lambda: True) == {}
