"""Leaves drawn together by bolts right through their stiles; slats in one groove with spacers between them."""

from __future__ import annotations

import math

import pytest

from studio_lib.commission import Brief, Commission, Item
from studio_lib.derive import derive
from studio_lib.forms import make
from studio_lib.piece import Member, Placement
from studio_lib.piece.kinds import joined
from tests.piece.pairs import X, Z, pair, rail_x, sound, timber_mm3


def stile(ref, x, thick=40.0):
    return Member(ref, f"stile {ref}", "stile", "oak", 1800.0, 60.0, thick, Placement((x, 0.0, 0.0), Z, X))


def test_bolts_are_bored_through_both_and_take_what_bores_of_their_size_take():
    made = pair("connecting bolts", stile("P1", 0.0), stile("P2", 60.0))
    bolts, = made.joints
    assert (bolts.count, bolts.bolt_mm, bolts.end_mm) == (3, 6, 150) and sound(made) == []
    whole = 2 * 1800 * 60 * 40
    assert whole - timber_mm3(made) == pytest.approx(3 * math.pi / 4 * 7**2 * 120, rel=0.01)
    assert [h.name for h in bolts.hardware(made)] == ["connecting bolt and nut, stainless steel, M6 x 140", "washer, stainless steel, M6, 18 mm"]
    assert [h.count for h in bolts.hardware(made)] == [3, 6]
    assert [round(x) for x, *_ in bolts.points(made)] == [150, 900, 1650]
    assert {m.what for m in bolts.metal(made)} == {"bolt head", "nut"}


@pytest.mark.parametrize(("own", "words"), [
    ({"bolt_mm": 7}, "give 6, 8 or 10"), ({"count": 2.5}, "a whole number"), ({"end_mm": 5}, "give 18 to 900 mm"),
])
def test_bolts_that_cannot_be_are_refused_in_words(own, words):
    with pytest.raises(ValueError, match=words):
        joined("connecting bolts", stile("P1", 0.0), stile("P2", 60.0), "", own)


def test_what_does_not_lie_side_by_side_is_not_bolted():
    with pytest.raises(ValueError, match="do not lie side by side"):
        joined("connecting bolts", rail_x(), stile("P1", 0.0))
    with pytest.raises(ValueError, match="do not lie side by side"):
        joined("connecting bolts", stile("P1", 0.0), stile("P2", 80.0))


@pytest.mark.parametrize("way", [0, 1])
def test_slats_and_spacers_fill_one_groove_but_for_its_last_millimetre(way):
    """By hand: a groove as wide as the slats, 10 mm for them and 1 mm over, from end to end of what they stand in."""
    made = make("framed screen", Brief(), timber="oak", length_mm=900, height_mm=1200, slat_ends=2, way=way, middle_bars=0, slat_thickness_mm=18)
    assert sound(made) == []
    one = next(m for m in made.members if m.role == ("rail" if way == 0 else "stile"))
    here = [j for j in made.joints if j.kind == "in a groove, with spacers" and j.second == one.ref]
    long = 900 - 2 * 60 if way == 0 else 1200 - 60 - 80 - 2 * 70
    cut = sum(b.hi[0] - b.lo[0] for j in here for box in j.cuts(made)[one.ref] for b in [box.bounds])
    assert long <= cut <= long + 2 * 0.5 * len(here)  # each runs half a millimetre under its neighbours
    filled = sum(b - a for j in here for a, b in j.spacers_mm(made)) + sum(made.member(j.first).width_mm for j in here)
    assert filled == pytest.approx(long)
    assert all(j.depth_mm == 10 for j in here)


def test_one_groove_takes_fewer_hours_than_a_mortise_for_every_end():
    def hours(ends):
        item = Item(name="screen", form="framed screen", sizes={"length_mm": 2600.0, "height_mm": 1700.0, "slat_ends": float(ends)})
        d = derive(Commission(ref="2026-001", title="screen", brief=Brief(), items=(item,)).changed("timber.species", "European oak"))
        return d.ballpark.hours[1], {w.time.operation: w.count for w in d.work}

    mortised, _ = hours(1)
    grooved, counted = hours(2)
    assert grooved < mortised - 4
    slats, bays = 33, 2
    assert counted["cut and glue in a spacer"] == (slats + 1) * 2 * bays and "let an end in whole" not in counted
    assert counted["plough a groove"] == pytest.approx(2480 * 2 * bays / 1000)
