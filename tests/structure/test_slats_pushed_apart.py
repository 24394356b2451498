"""Slats pushed apart by a child that wedges itself between them: a beam by hand, who it is asked for, what mends it, and which gap counts."""

from __future__ import annotations

import re

import pytest

from studio_lib.commission import Brief, Commission, Item
from studio_lib.derive import derive
from studio_lib.finding import Verdict

THIN = {"slat_width_mm": 19.0, "slat_thickness_mm": 32.0, "frame_thickness_mm": 40.0, "middle_bars": 0.0}


def screen(brief=(), **sizes):
    b = Brief(**{"place": "indoors, heated", "child_ages": (6, 9), **dict(brief)})
    item = Item(name="screen", form="framed screen", sizes={"length_mm": 1500.0, "height_mm": 2000.0, "stands": 3.0, **sizes})
    return derive(Commission(ref="2026-001", title="screen", brief=b, items=(item,)).changed("timber.species", "European oak"))


def told(d):
    return next((f for f in d.size_findings if f.what == "slats pushed apart"), None)


@pytest.mark.parametrize("sizes", [{}, {"slat_width_mm": 25.0}, {"way": 1.0, "slat_width_mm": 25.0}, {**THIN, "middle_bars": 2.0}])
def test_each_slat_bows_sideways_as_a_beam_does(sizes):
    """By hand: 147 N (33 lbf, 16 CFR 1513.4) in the middle of a beam on two supports, F L^3 / 48 E I with I = t b^3 / 12, of both slats beside the gap."""
    d = screen(**sizes)
    slats = [m for m in d.piece.members if m.role == "slat"]
    wood = d.woods_of(d.piece)[slats[0].timber]
    bows = [147.0 * m.length_mm**3 / (48 * wood.e_mpa * m.thickness_mm * m.width_mm**3 / 12) for m in slats[:2]]
    gap, opened = (float(x) for x in re.search(r"gap of (\d+) mm .* opens to (\d+) mm", told(d).says).groups())
    assert opened - gap == pytest.approx(sum(bows), abs=1.0)
    assert gap == pytest.approx(34.0, abs=2.0)  # as proposed, from edge to edge


def test_thin_slats_without_a_bar_let_a_body_through_and_are_a_stop():
    d = screen(**THIN)
    found = told(d)
    assert found.verdict is Verdict.FAILS and found.capacity == 89.0  # CPSC handbook B.2.5.1
    assert "slats pushed apart" in {s.finding.what for s in d.stops}
    wide = float(re.search(r"Make slats (\d+) mm wide", found.mend)[1])
    bars = {"a bar more": 1.0}.get(re.search(r"a bar more|\d+ bars", found.mend)[0]) or float(re.search(r"(\d+) bars", found.mend)[1])
    assert told(screen(**{**THIN, "slat_width_mm": wide})).stands and not told(screen(**{**THIN, "slat_width_mm": wide - 4})).stands
    assert told(screen(**{**THIN, "middle_bars": bars})).stands


def test_where_no_child_comes_nothing_is_asked():
    assert told(screen(brief={"child_ages": (), "children": False}, **THIN)) is None


def test_what_decides_names_a_slat_that_gives():
    d = screen()
    shares = {f.what: f.utilisation for f, _ in d.deciding(d.piece)}
    assert {"give of one slat", "slats pushed apart"} <= shares.keys()
