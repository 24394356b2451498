"""What a child climbs beside a drop: rails, bars and slats of screens, and mends that their own form can make."""

from __future__ import annotations

import re

import pytest

from studio_lib.brief.refusals import FOOTHOLD_MM, footholds
from studio_lib.commission import Brief, Commission, Item
from studio_lib.derive import derive
from studio_lib.finding import Verdict
from studio_lib.forms.frame_parts import ledges


def screen(form="framed screen", **sizes):
    brief = Brief(place="outdoors, in the weather", beside_a_drop=True, drop_mm=9000, children=True, child_ages=(3.0, 6.0), wind_m_s=20.0)
    item = Item(name="screen", form=form, sizes={"length_mm": 2400.0, "height_mm": 1700.0, **sizes})
    return derive(Commission(ref="2026-001", title="screen", brief=brief, items=(item,)))


def climbed(d):
    return next(f for f in d.size_findings if f.what == "climbable rails")


def test_the_band_is_that_of_building_codes_and_is_measured_from_where_a_child_stands():
    """From the floor 150 to 760 mm: the band of building codes on guards, from memory. From a ledge under it as much again: ours."""
    assert FOOTHOLD_MM == (150, 760)
    assert footholds([149, 760.5]) == [760.5]  # 611 mm above the ledge that one stands on
    assert footholds([761]) == [] and footholds([150]) == [150] and footholds([760]) == [760]
    assert footholds([100, 861]) == [] and footholds([100, 860]) == [860]
    assert footholds([200, 900, 1700]) == [200, 900]


@pytest.mark.parametrize("height", [1000, 1200, 1500, 1650, 1700, 1800, 2100, 2400])
@pytest.mark.parametrize("stands", [0, 6])
def test_what_is_proposed_beside_a_drop_is_not_climbed(height, stands):
    d = screen(height_mm=float(height), stands=float(stands))
    assert climbed(d).stands, climbed(d).says
    assert footholds(ledges(d.piece)) == []


@pytest.mark.parametrize("own", [
    {"below_mm": 80.0}, {"middle_bars": 2.0}, {"middle_bars": 3.0, "below_mm": 120.0}, {"height_mm": 1650.0, "middle_bars": 1.0}, {"stands": 0.0, "below_mm": 80.0},
])
def test_a_rail_or_bar_that_is_a_foothold_is_told_of_and_the_mend_does_it(own):
    before = climbed(screen(**own))
    assert not before.stands
    mended = dict(own)
    for words, name in (("Bottom rail above the foot or floor' to", "below_mm"), ("Bars between' to", "middle_bars")):
        if found := re.search(rf"{words} (\d+)", before.mend):
            mended[name] = float(found[1])
    assert mended != own
    after = screen(**mended)
    assert climbed(after).stands, (mended, climbed(after).says)


def test_level_slats_fail_and_the_mend_is_one_that_the_form_has():
    framed, strung = climbed(screen(way=1.0)), climbed(screen("strung screen"))
    assert framed.verdict is strung.verdict is Verdict.FAILS
    assert "'Slats run'" in framed.mend and "upright" in framed.mend
    assert "framed screen with upright slats" in strung.mend and "Turn the slats upright" not in strung.mend
