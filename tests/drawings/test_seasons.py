"""Slats through the year: what a gap loses, its slats gain; drawn to one scale."""

import re

import pytest

from studio_lib.drawings.seasons import SHOWN, cups_svg, slats_svg


def test_gaps_are_drawn_as_wide_as_they_are():
    svg = slats_svg(96.0, 7.0, 4.6, 7.7, 26.0)
    rects = [(float(x), float(w)) for x, w in re.findall(r'<rect x="([\d.]+)" y="[\d.]+" width="([\d.]+)"', svg)]
    assert len(rects) == 3 * SHOWN
    for row, gap in enumerate((4.6, 7.0, 7.7)):
        mine = rects[row * SHOWN : (row + 1) * SHOWN]
        for (x, w), (x2, _) in zip(mine, mine[1:]):
            assert x2 - x - w == pytest.approx(gap, abs=0.02)
        assert mine[0][1] + gap == pytest.approx(103.0, abs=0.02)
    assert "wettest: 4.6 mm" in svg and "driest: 7.7 mm" in svg


def test_a_board_cups_drawn_side_by_side_to_one_scale():
    square = ((-50.0, -10.0), (50.0, -10.0), (50.0, 10.0), (-50.0, 10.0))
    wider = tuple((1.02 * x, y) for x, y in square)
    svg = cups_svg([("Winter", square, square), ("Summer <wet>", square, wider)])
    drawn = [
        [tuple(map(float, p.split(","))) for p in points.split()]
        for points in re.findall(r'<polygon points="([^"]+)"', svg)
    ]
    widths = [max(x for x, _ in shape) - min(x for x, _ in shape) for shape in drawn]
    after, before, after_wet, before_wet = widths
    assert before == before_wet == after
    assert abs(after_wet / before_wet - 1.02) < 0.001
    assert "Summer &lt;wet&gt;" in svg
