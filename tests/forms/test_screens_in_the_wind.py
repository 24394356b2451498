"""Sections proposed for a screen fixed in the wind hold in the gust of its place; where none does, that is said at once."""

from __future__ import annotations

from itertools import product

import pytest

from studio_lib.commission import Brief, Commission, Item
from studio_lib.derive import derive
from studio_lib.finding import Verdict
from studio_lib.forms import make
from studio_lib.forms.stronger import SECTIONS
from studio_lib.piece.checks import piece_findings

HELD = {"framed screen": (3, 5, 6, 7), "strung screen": (2, 4, 5, 6)}
"""To the floor, to the floor and a wall, between a wall and a railing, between two walls: places in the list of how it stands."""
TIMBERS = ("European oak", "European larch", "Douglas-fir (coast)")
NONE = "sections for the wind"


def screen(form, gust, timber="European oak", place="outdoors, in the weather", **sizes):
    brief = Brief(place=place, wind_m_s=gust, needs_leave=("fixed to building",), children=False)
    item = Item(name="screen", form=form, sizes={k: float(v) for k, v in sizes.items()})
    return derive(Commission(ref="2026-001", title="screen", brief=brief, items=(item,)).changed("timber.species", timber))


def too_weak(d):
    return {f"{f.subject}: {f.what}, {f.says}" for f in (*d.size_findings, *d.joint_findings)
            if f.verdict is Verdict.FAILS and f.what != "leave of others"}


@pytest.mark.parametrize("timber", TIMBERS)
@pytest.mark.parametrize("form", HELD)
def test_what_is_proposed_holds_in_the_gust_of_its_place(form, timber):
    bad = {}
    for stands, gust, high in product(HELD[form], (21, 28, 33, 40), (1200, 1800, 2200)):
        if found := too_weak(screen(form, gust, timber, height_mm=high, stands=stands)):
            bad[stands, gust, high] = found
    assert bad == {}


@pytest.mark.parametrize("form", HELD)
def test_wide_screens_are_proposed_to_hold_too(form):
    bad = {}
    for gust, high in product((25, 33, 45), (1200, 1800, 2400)):
        if found := too_weak(screen(form, gust, height_mm=high, length_mm=1800, stands=HELD[form][0])):
            bad[gust, high] = found
    assert bad == {}


@pytest.mark.parametrize("form", HELD)
def test_a_harder_gust_is_never_met_with_thinner_sections_and_says_why(form):
    own = SECTIONS[form]
    before = 0.0
    for gust in (15, 21, 28, 33, 40):
        m = screen(form, gust, height_mm=1800, length_mm=1800, stands=HELD[form][0]).made[0]
        assert m.sizes[own.frame] >= before
        before = m.sizes[own.frame]
    assert f"to hold in a gust of {gust} m/s" in m.proposals[own.frame].why
    assert m.proposals[own.frame].value == m.sizes[own.frame]
    usual = screen(form, None, height_mm=1800, length_mm=1800, stands=HELD[form][0]).made[0].sizes[own.frame]
    assert before > usual


@pytest.mark.parametrize("form", HELD)
def test_indoors_the_wind_thickens_nothing(form):
    inside = screen(form, 40, place="indoors, heated", height_mm=2000, stands=HELD[form][0]).made[0]
    calm = screen(form, None, place="indoors, heated", height_mm=2000, stands=HELD[form][0]).made[0]
    assert inside.sizes == calm.sizes


def test_a_thickness_of_the_makers_own_stands_and_what_would_be_proposed_is_told_beside_it():
    free = screen("framed screen", 33, height_mm=1800, length_mm=1800, stands=3).made[0]
    own = screen("framed screen", 33, height_mm=1800, length_mm=1800, stands=3, frame_thickness_mm=40).made[0]
    assert own.sizes["frame_thickness_mm"] == 40
    assert own.proposals["frame_thickness_mm"].value == free.sizes["frame_thickness_mm"] > 40


def test_where_no_section_holds_that_is_said_and_the_proposals_are_the_usual_ones():
    d = screen("framed screen", 60, height_mm=2600, length_mm=2400, stands=3)
    said = next(f for f in d.size_findings if f.what == NONE)
    assert said.verdict is Verdict.FAILS and "a gust of 60 m/s" in said.says
    calm = screen("framed screen", None, height_mm=2600, length_mm=2400, stands=3).made[0]
    assert d.made[0].sizes == calm.sizes


def test_the_same_document_gives_the_same_sizes_whatever_was_looked_at_before():
    first = screen("framed screen", 33, height_mm=2000, length_mm=1500, stands=3).made[0].sizes
    for high in (2400, 1200, 1990, 2010):
        _ = screen("framed screen", 33, height_mm=high, length_mm=1500, stands=3).made
    assert screen("framed screen", 33, height_mm=2000, length_mm=1500, stands=3).made[0].sizes == first


@pytest.mark.parametrize("gap", [20.0, 34.0, 50.0])
@pytest.mark.parametrize(("high", "wide", "slat"), [(1200.0, 1800.0, 30.0), (1500.0, 3000.0, 66.0), (1800.0, 3000.0, 40.0)])
def test_bolts_between_leaves_pass_between_level_slats(high, wide, slat, gap):
    piece = make("framed screen", Brief(place="outdoors, in the weather"), timber="oak", height_mm=high, length_mm=wide, way=1, stands=3, bolted=3,
                 slat_width_mm=slat, gap_mm=gap)
    assert any(j.kind == "connecting bolts" for j in piece.joints)
    assert [f.says for f in piece_findings(piece) if "break into each other" in f.says] == []
