"""Rows of screws laid by the forms: room for them, and the holes they want."""

import pytest

from studio_lib.finding import Verdict
from studio_lib.piece import Member, Piece, Placement, Screws
from studio_lib.piece.checks import piece_findings
from studio_lib.piece.screw import APART_D, EDGE_D, END_D


def crossing(slat_mm: float, rail_mm: float, count: int, diameter_mm: float = 5.0, length_mm: float = 50.0) -> Piece:
    """A slat lying across the middle of a rail, screwed from below."""
    rail = Member("A-R1", "rail", "rail", "European oak", 600.0, rail_mm, 30.0, Placement((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0)))
    slat = Member("A-S1", "slat", "slat", "European oak", 400.0, slat_mm, 30.0,
                  Placement((300.0 + slat_mm / 2, -200.0 + rail_mm / 2, 30.0), (0.0, 1.0, 0.0), (-1.0, 0.0, 0.0)))
    return Piece("p", "freehand", (rail, slat), (), (Screws("slat on rail", "A-R1", "A-S1", count, diameter_mm, length_mm),))


def said(piece):
    return next(f for f in piece_findings(piece) if f.what == "room for the screws")


# EN 1995-1-1 table 8.2, predrilled nails and screws, laterally loaded; printed so in a 2025 handbook of laminated veneer lumber,
# table 5.1: a1 = (4 + |cos a|) d, a3,c = 7 d, a4,c = 3 d.
def test_the_distances_are_those_of_the_table():
    assert (APART_D, END_D, EDGE_D) == (4 + 1, 7, 3)


# By hand: two 5 mm screws across a slat want 3 d + 5 d + 3 d = 55 mm of its width.
@pytest.mark.parametrize(("slat", "verdict"), [(56.0, Verdict.STANDS), (54.0, Verdict.LOOK_AGAIN)])
def test_two_screws_want_eleven_diameters_of_width(slat, verdict):
    assert said(crossing(slat, 40.0, 2)).verdict is verdict


# By hand: 3 d either side, 30 mm, across a rail of 28 mm.
def test_a_rail_too_narrow_for_its_screw_is_told_by_how_much():
    found = said(crossing(60.0, 28.0, 1))
    assert found.verdict is Verdict.LOOK_AGAIN and "2 mm too little between the edge of rail and the edge of rail" in found.says


def test_the_holes_are_named_and_too_little_thread_is():
    # Oak: 90 % of a root of two thirds of 5 mm.
    assert "bore 5.5 mm through rail, 3 mm into slat" in said(crossing(60.0, 40.0, 1)).says
    assert "of thread" in said(crossing(60.0, 40.0, 1, length_mm=32.0)).says
