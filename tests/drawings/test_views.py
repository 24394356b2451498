"""Views show the piece at its size; lines behind a surface are hidden, and never lie under visible ones."""

import math

import manifold3d
import pytest
from exact_views import visible as exactly
from sheets import NAMES, usual

from studio_lib.commission import Brief
from studio_lib.drawings.boards import boards_svg
from studio_lib.drawings.views import VIEWS, bodies, lines, section, solid_body, view
from studio_lib.forms import make

PIECES = {name: usual(name) for name in NAMES}


def timber(form, name):
    """The members' view alone: hinges, heads of screws and cables are drawn too, and an exact kernel's view has none."""
    return lines([b for b in bodies(PIECES[form]) if not b.part], *VIEWS[name], name)


def length(segments):
    return sum(math.dist(s[:2], s[2:]) for s in segments)


def block(x, y, z, at=(0.0, 0.0, 0.0)):
    return manifold3d.Manifold.cube((x, y, z)).translate(at)


def seen(*solids, name="front"):
    return lines([solid_body(str(k), s) for k, s in enumerate(solids)], *VIEWS[name])


@pytest.mark.parametrize("form", NAMES)
@pytest.mark.parametrize(("name", "across", "up"), [("front", 0, 2), ("left", 1, 2), ("plan", 0, 1)])
def test_a_view_is_as_large_as_the_piece(form, name, across, up):
    piece = PIECES[form]
    x0, y0, x1, y1 = timber(form, name).extent
    assert x1 - x0 == pytest.approx(piece.overall_mm[across], abs=0.01)
    assert y1 - y0 == pytest.approx(piece.overall_mm[up], abs=0.01)


# A general-purpose kernel's own hidden-line removal (Open CASCADE, HLRBRep_Algo). It draws arcs as their chords
# and one line more where a haunch is flush with its rail, hence the millimetres.
@pytest.mark.parametrize("form", NAMES)
@pytest.mark.parametrize("name", ["front", "left", "plan"])
def test_what_is_seen_agrees_with_an_exact_kernel(form, name):
    assert length(timber(form, name).visible) == pytest.approx(
        length(exactly(PIECES[form], name)), rel=1e-3, abs=30
    )


def test_a_block_alone_shows_its_outline_and_hides_nothing():
    v = seen(block(100, 50, 30))
    assert length(v.visible) == pytest.approx(2 * (100 + 30)) and v.hidden == ()


def test_a_block_behind_another_is_hidden_by_just_as_much_as_they_overlap():
    # 100 x 30 in front; behind it one of 40 x 60 that stands out 30 above: 60 of its sides and its foot are covered.
    v = seen(block(100, 10, 30), block(40, 10, 60, (20, 20, 0)))
    assert length(v.visible) == pytest.approx(2 * (100 + 30) + 40 + 2 * 30)
    assert length(v.hidden) == pytest.approx(2 * 30)  # its foot lies under the front one's


def test_a_blind_hole_shows_by_dashes_and_a_through_hole_in_plan_by_its_circle():
    drill = manifold3d.Manifold.cylinder(20.0, 5.0, circular_segments=48).translate((50, 25, 10.0))
    bored = block(100, 50, 30) - drill
    front, plan = seen(bored), seen(bored, name="plan")
    assert length(front.hidden) == pytest.approx(2 * 20 + 10)  # two sides and the bottom
    assert length(plan.visible) == pytest.approx(2 * (100 + 50) + math.pi * 10, rel=2e-3)


def test_a_round_has_an_outline_and_no_facets():
    drum = manifold3d.Manifold.cylinder(80.0, 15.0, circular_segments=96)
    v = seen(drum)
    assert length(v.visible) == pytest.approx(2 * 80 + 2 * 30, rel=1e-3)


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


def test_a_section_cuts_the_timber_that_is_there():
    piece = PIECES["slatted table"]
    at = 0.0
    v = section(piece, *VIEWS["left"], (at, 0.0, 0.0))
    cut = {c.ref: c for c in v.cuts}

    def area(loop):
        return abs(sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(loop, (*loop[1:], loop[0])))) / 2

    for m in piece.members:
        box = m.piece_box
        if m.role == "slat":  # cut square across in the middle, where no joint is
            assert cut[m.ref].end_grain
            assert sum(map(area, cut[m.ref].loops)) == pytest.approx(m.width_mm * m.thickness_mm, rel=1e-3)
        assert (m.ref in cut) == (box.lo[0] < at < box.hi[0])


def test_a_view_comes_out_the_same_twice():
    first = view(PIECES["slatted stool"], "plan")
    view.cache_clear()
    assert view(PIECES["slatted stool"], "plan") == first


def test_boards_are_drawn_to_one_scale_with_every_piece_and_fault():
    import re

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
