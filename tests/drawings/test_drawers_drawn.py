"""Gaps of drawers and doors on the drawings: what the solids leave open, figured in the section and said in words."""

import re

import pytest
from sheets import collisions, drawn

from studio_lib.commission import Brief
from studio_lib.drawings.drawers import drawer_figures, fits
from studio_lib.drawings.paper import Linear
from studio_lib.drawings.views import sharp_edged
from studio_lib.forms import make
from studio_lib.piece.worked import worked
from studio_lib.solids.mesh import placed
from studio_lib.units import mm

PIECES = [make("table", Brief(), timber="oak", drawers=1), make("cabinet", Brief(), timber="oak", drawer_rows=2)]


@pytest.mark.parametrize("piece", PIECES, ids=lambda p: p.form)
def test_a_gap_is_what_the_solids_leave_open(piece):
    """The mesh kernel's least distance between the drawer's own member and what it lies next to."""
    sharp, seen = sharp_edged(piece), 0
    for fit in fits(piece):
        for gaps, role in ((fit.box, "drawer side"), (fit.face, "drawer face")):
            own = [placed(sharp, r) for r in fit.refs if piece.member(r).role == role or not fit.box]
            for gap in gaps.values():
                if gap.wide_mm > 0.05:
                    assert min(s.min_gap(placed(sharp, gap.next), 300.0) for s in own) == pytest.approx(gap.wide_mm, abs=0.01)
                    seen += 1
    assert seen >= 6


@pytest.mark.parametrize("piece", PIECES, ids=lambda p: p.form)
def test_gaps_are_figures_in_the_section_and_the_same_in_words(piece):
    figures = drawer_figures(piece, 1)
    assert figures and sum(int(re.search(r"(\d+) off", f.title)[1]) for f in figures) == len(fits(piece))
    for f in figures:
        said = re.findall(r"([\d.]+) (left|right|over|under|behind)", f.notes[0])
        if "box" in f.notes[0]:
            assert {"left", "right", "over", "under", "behind"} <= {way for _, way in said}
        drawn_ = {mm(d.value_mm) for d in f.dims if isinstance(d, Linear)}
        assert drawn_ and drawn_ <= {value for value, _ in said}


@pytest.mark.parametrize("paper", ["A3", "A4"])
def test_they_stand_on_the_sheets_and_nothing_collides(paper):
    for piece in PIECES:
        made = drawn(piece, paper)
        assert any("in the opening: gaps" in f.title for s, _ in made.sheets for f, *_ in s.figures)
        assert all(collisions(s, b) == [] for s, b in made.sheets)


def test_doors_say_the_gap_that_the_maker_chose():
    """Two doors on the front of a case, 4 mm apart as asked."""
    piece = make("cabinet", Brief(), timber="oak", door_gap_mm=4.0)
    doors = [f for f in fits(piece) if not f.box]
    assert [f.name for f in doors] == ["left door", "right door"]
    assert doors[0].face["right"].wide_mm == doors[1].face["left"].wide_mm == pytest.approx(4.0)
    figure = next(f for f in drawer_figures(piece, 1) if "door" in f.title)
    assert "door 4 right (to A-E1)" in figure.notes[0] and "4" in {mm(d.value_mm) for d in figure.dims}


def test_a_drawer_stops_at_its_sides_and_its_bottom_may_swell_past_them():
    piece = PIECES[0]
    bottom = next(m.piece_box for m in piece.members if m.role == "drawer bottom")
    stops = [m for m in piece.members if m.role == "drawer stop"]
    assert stops and all(m.piece_box.hi[2] < bottom.lo[2] for m in stops)


def test_where_a_stop_is_glued_is_said_from_the_start_of_its_runner_with_the_tenon():
    """It ends at the runner's rear shoulder: so far from the start as the rear tenon begins on the runner's own sheet."""
    piece, seen = PIECES[0], 0
    for j in (j for j in piece.joints if piece.member(j.first).role == "drawer stop"):
        said = j.setting_out(piece)["from the start of the drawer runner"]
        tenon = max(k.from_mm for k in worked(piece, j.second) if k.side == "tenon")
        assert float(said.split(" to ")[1]) == pytest.approx(tenon)
        seen += 1
    assert seen == 2
