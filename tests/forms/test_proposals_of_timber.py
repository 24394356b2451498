"""Sections proposed for a timber softer than the usual hardwoods."""

from __future__ import annotations

import pytest

from studio_lib.commission import Brief, Commission, Item
from studio_lib.derive import derive
from studio_lib.finding import Verdict
from studio_lib.forms.form import Surroundings


def made(form: str, timber: str, place: str = "outdoors, in the weather", **sizes):
    c = Commission(ref="C1", title="A piece", items=(Item(name="piece", form=form, sizes=sizes),), brief=Brief(people=2, place=place))
    return derive(c.changed("timber.species", timber))


def weak(d) -> list[str]:
    return [f.subject for f in d.findings if f.verdict is Verdict.FAILS and f.what.startswith(("strength", "bending", "sag"))]


def test_a_section_of_the_soft_timber_bears_what_one_of_the_hard_does():
    # Black cherry 85, western red cedar 51.7 MPa: FPL-GTR-190 table 5-3a. b d^2 / 6 of a section taken up both ways.
    soft = Surroundings("Western red cedar", bends_mpa=51.7)
    assert 51.7 * (50 * soft.stouter) * (30 * soft.stouter) ** 2 == pytest.approx(85.0 * 50 * 30**2, rel=1e-9)
    assert Surroundings("European oak", bends_mpa=97.0).stouter == 1.0


@pytest.mark.parametrize("sizes", [{}, {"back": 2, "length_mm": 1400}, {"back": 2, "length_mm": 1800}, {"back": 1}])
def test_a_bench_of_cedar_as_proposed_holds(sizes):
    assert weak(made("bench", "Western red cedar", **sizes)) == []


@pytest.mark.parametrize("timber", ["Eastern white pine", "Norway spruce (whitewood)", "Yellow-poplar (tulipwood)"])
def test_a_table_of_soft_timber_as_proposed_holds(timber):
    assert weak(made("table", timber, "indoors, heated", length_mm=1600.0, width_mm=800.0)) == []


def test_it_says_why_and_a_hardwood_keeps_the_usual():
    cedar, oak = made("bench", "Western red cedar").made[0], made("bench", "European oak").made[0]
    assert oak.sizes["leg_mm"] == 60.0 and cedar.sizes["leg_mm"] > 66.0
    assert "12 mm more than in a hardwood: Western red cedar bears 61 % of what cherry does" in cedar.proposals["leg_mm"].why
    # As many frames and bearers: only the sections change.
    assert all(cedar.sizes[n] == oak.sizes[n] for n in ("middle_frames", "bearer_count"))


def test_the_makers_own_legs_stay_and_all_else_is_fitted_to_them():
    d, oak = made("bench", "Western red cedar", leg_mm=60.0), made("bench", "European oak")
    assert {n: v for n, v in d.made[0].sizes.items() if n != "gap_mm"} == {n: v for n, v in oak.made[0].sizes.items() if n != "gap_mm"}
    assert "more than in a hardwood" in d.made[0].proposals["leg_mm"].why
