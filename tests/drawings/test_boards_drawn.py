"""The drawing of the boards: a piece's name is read beside a fault in it, not through it."""

import re

from studio_lib.demo import demo
from studio_lib.derive import derive
from studio_lib.drawings.boards import _clear_of_faults, boards_svg
from studio_lib.stock.boards import Fault


class Piece:
    x_mm, y_mm, length_mm, width_mm = 100.0, 0.0, 400.0, 50.0


def test_the_name_goes_where_no_fault_lies():
    def fault(x0, x1, y0=0.0, y1=60.0):
        return Fault(x0, x1, y0, y1, 1, "knot", "both")

    assert _clear_of_faults(Piece, ()) == (100, 500)
    assert _clear_of_faults(Piece, (fault(200, 240),)) == (240, 500)
    assert _clear_of_faults(Piece, (fault(380, 420), fault(90, 130))) == (130, 380)
    assert _clear_of_faults(Piece, (fault(200, 240, 50, 80), fault(0, 100), fault(500, 600))) == (100, 500)


def test_no_name_of_the_demo_is_written_on_a_fault():
    d = derive(demo())
    svg = boards_svg(d.layout, 269.0, {r.ref: r.name for r in d.cutting_list})
    faults = [tuple(map(float, m)) for m in re.findall(r'<rect x="([\d.]+)" y="([\d.]+)" width="([\d.]+)" height="([\d.]+)"[^>]*fill-opacity="0.55"', svg)]
    names = re.findall(r'<text x="([\d.]+)" y="([\d.]+)"[^>]*font-size="([\d.]+)"[^>]*>([AB]-[^<]+)</text>', svg)
    assert faults and names
    for x, y, size, words in names:
        half = 0.25 * float(size) * len(words)
        assert not any(a < float(x) + half and float(x) - half < a + w and b < float(y) - 0.5 < b + h for a, b, w, h in faults), words
