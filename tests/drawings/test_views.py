"""Views show the piece at its size; hidden lines never lie under visible ones; dimensions are true."""

import re

import pytest

from studio_lib.commission import Brief
from studio_lib.drawings.boards import boards_svg
from studio_lib.drawings.sheet import SCALES, three_view_svg
from studio_lib.drawings.views import view
from studio_lib.forms import FORMS, make

PIECES = {name: make(name, Brief(), name=name) for name in FORMS if name != "freehand"}


@pytest.mark.parametrize("form", PIECES)
@pytest.mark.parametrize(("name", "across", "up"), [("front", 0, 2), ("left", 1, 2), ("plan", 0, 1)])
def test_a_view_is_as_large_as_the_piece(form, name, across, up):
    piece = PIECES[form]
    x0, y0, x1, y1 = view(piece, name).extent
    assert x1 - x0 == pytest.approx(piece.overall_mm[across], abs=0.01)
    assert y1 - y0 == pytest.approx(piece.overall_mm[up], abs=0.01)


@pytest.mark.parametrize("name", ["front", "left", "plan"])
def test_no_hidden_line_runs_under_a_visible_one(name):
    v = view(PIECES["slatted table"], name)
    flat = [(s[1], min(s[0], s[2]), max(s[0], s[2])) for s in v.visible if abs(s[1] - s[3]) < 1e-6]
    for s in v.hidden:
        if abs(s[1] - s[3]) < 1e-6:
            a, b = sorted((s[0], s[2]))
            for y, c, d in flat:
                if abs(y - s[1]) < 1e-3:
                    assert min(b, d) - max(a, c) < 0.05


def test_tenons_show_as_hidden_lines():
    bare = make("slatted table", Brief(), middle_rail=0)
    assert len(view(PIECES["slatted table"], "plan").hidden) > len(view(bare, "plan").hidden) > 0


@pytest.mark.parametrize("form", PIECES)
def test_the_sheet_prints_the_sizes_at_a_standard_scale(form):
    piece = PIECES[form]
    svg, scale = three_view_svg(piece, 400, 245)
    assert scale in SCALES
    printed = re.findall(r">([\d.]+)</text>", svg)
    for size in piece.overall_mm:
        assert f"{round(size, 1):g}" in printed


def test_chains_add_up_to_the_overall_size():
    svg, _ = three_view_svg(PIECES["slatted table"], 400, 245)
    printed = [float(t) for t in re.findall(r">([\d.]+)</text>", svg)]
    assert printed.count(200) == 2 and printed.count(70) == 4 and 1470 in printed
    assert 2 * 200 + 2 * 70 + 1470 == 2010 in printed


def test_a_drawing_comes_out_the_same_twice():
    view.cache_clear()
    first, _ = three_view_svg(PIECES["slatted stool"], 400, 245)
    view.cache_clear()
    assert three_view_svg(PIECES["slatted stool"], 400, 245)[0] == first


def test_too_large_for_any_scale_is_said():
    with pytest.raises(ValueError, match="does not fit a sheet"):
        three_view_svg(PIECES["slatted table"], 60, 60)


def test_boards_are_drawn_to_one_scale_with_every_piece_and_fault():
    from studio_lib.demo import demo
    from studio_lib.derive import derive

    layout = derive(demo()).layout
    svg = boards_svg(layout, 280)
    faults = sum(len(layout.board(ref).faults) for ref, _ in layout.boards_used)
    assert svg.count("#d9bd8b") == len(layout.placements)
    assert svg.count('fill-opacity="0.55"') == faults
    widths = [float(m) for m in re.findall(r'width="([\d.]+)" height="[\d.]+" fill="#f4ecdd"', svg)]
    lengths = [layout.board(ref).length_mm for ref, _ in layout.boards_used]
    assert [w / l for w, l in zip(widths, lengths)] == pytest.approx([278 / max(lengths)] * len(lengths), abs=1e-5)


@pytest.mark.parametrize("form", [f for f in PIECES if f.startswith("slatted")])
def test_slats_laid_close_are_drawn_without_a_dimension_of_no_length(form):
    svg, _ = three_view_svg(make(form, Brief(), gap_mm=0, width_mm=500, slat_count=5), 400, 245)
    printed = re.findall(r">([\d.]+)</text>", svg)
    assert "0" not in printed and printed.count("100") == 2
