"""Mortise and tenon in every make: it fits, it is sound in both kernels, it says what a maker marks."""

import math
from dataclasses import replace

import pytest

from studio_lib.finding import Verdict
from studio_lib.piece.checks import mortises_apart, shoulders_meet
from studio_lib.piece.kinds import KINDS, joined
from studio_lib.piece.shaping import EndCut
from studio_lib.solids import volume_mm3
from tests.piece.pairs import leg, pair, piece, rail_x, rail_y, sound, timber_mm3, turned

MAKES = [
    ("mortise and tenon", {}), ("mortise and tenon", {"pegs": 2}), ("mortise and tenon", {"bare_faced": 1, "pegs": 1}),
    ("through mortise and tenon", {}), ("through mortise and tenon", {"wedges": 1}),
    ("through mortise and tenon", {"wedges": 1, "pegs": 1}), ("double mortise and tenon", {}),
    ("double mortise and tenon", {"side_by_side": 1}), ("double mortise and tenon", {"pegs": 2}), ("loose tenon", {}),
]


@pytest.mark.parametrize(("kind", "own"), MAKES)
@pytest.mark.parametrize("z", [400.0, 420.0], ids=["below the top", "flush with the top"])
def test_each_make_is_sound(kind, own, z):
    made = pair(kind, rail_x(z=z), leg(), **own)
    assert sound(made) == []
    assert all(str(v) for v in made.joints[0].setting_out(made).values())
    assert [f for f in made.joints[0].findings(made) if f.verdict is Verdict.FAILS] == []


def splayed(kind, lean_x, lean_y, **own):
    """A level rail on the inner face of a leg that leans both ways, its end cut to the face."""
    post = turned(turned(leg(x=-60.0, y=-30.0), "y", -lean_x, (0, 0, 400.0)), "x", lean_y, (0, 0, 400.0))
    rail = rail_x(x=0.0, y=-12.0, z=360.0)
    n = post.placement.across
    cut = EndCut("start", math.degrees(math.atan(-n[2] / n[0])), math.degrees(math.atan(n[1] / n[0])))
    rail = replace(rail, shaping=(cut,))
    middle = rail.placement.to_piece((cut.depth_mm(rail, 40.0, 12.0), 40.0, 12.0))
    face = post.placement.to_piece((0.0, 60.0, 0.0))
    off = sum((a - b) * c for a, b, c in zip(face, middle, n)) / n[0]
    at = rail.placement
    rail = replace(rail, placement=replace(at, origin=(at.origin[0] + off, *at.origin[1:])))
    return pair(kind, rail, post, **own)


@pytest.mark.parametrize(("kind", "own"), [m for m in MAKES if "wedges" not in m[1]])
@pytest.mark.parametrize("lean", [(8.0, 0.0), (8.0, 6.0), (-12.0, 10.0)])
def test_a_splayed_leg_gets_an_angled_tenon_that_fits(kind, own, lean):
    made = splayed(kind, *lean, **own)
    assert sound(made) == [] and shoulders_meet(made) == []
    assert "degrees on the face" in made.joints[0].setting_out(made)["shoulder"]


def test_wedges_want_a_square_tenon():
    with pytest.raises(ValueError, match="aslant: wedges need"):
        splayed("through mortise and tenon", 8.0, 0.0, wedges=1)


def test_a_through_tenon_ends_flush_with_the_far_face_of_a_splayed_leg():
    made = splayed("through mortise and tenon", 8.0, 6.0)
    from studio_lib.solids.mesh import placed

    post = made.joints[0].second
    tip = placed(made, "A1")
    local = [made.member(post).placement.to_member(tuple(v)) for v in tip.to_mesh().vert_properties[:, :3]]
    assert min(p[1] for p in local) == pytest.approx(0.0, abs=0.01)


def corner(size=50.0, **own):
    post, a, b = leg(size=size), rail_x(x=size, y=6.0, z=420.0), rail_y(x=6.0, y=size, z=420.0)
    figures = {k: float(v) for k, v in own.items()}
    return piece([post, a, b], [joined("mortise and tenon", r, post, "", figures) for r in (a, b)])


def test_tenons_that_meet_break_into_each_other_unless_they_are_mitred():
    plain, mitred = corner(), corner(mitre=1)
    assert [f.verdict for f in mortises_apart(plain)] == [Verdict.FAILS]
    assert mortises_apart(mitred) == [] and sound(mitred) == []
    assert mitred.joints[0].length_mm > plain.joints[0].length_mm
    said = [f.says for f in mitred.joints[0].findings(mitred)]
    assert any("mitred to the tenon of rail A2, 1 mm between them" in s for s in said)


def test_a_mitre_without_a_neighbour_says_so():
    made = pair("mortise and tenon", rail_x(), leg(), mitre=1)
    assert "no mitred tenon meets it" in [f for f in made.joints[0].findings(made) if not f.stands][0].says


# By hand: a round peg of 8 mm through 24 mm of post and tenon puts back what it takes out.
def test_pegs_and_wedges_fill_what_was_cut_for_them():
    for own in ({"pegs": 1}, {"wedges": 1}):
        kind = "through mortise and tenon"
        plain, made = pair(kind, rail_x(), leg()), pair(kind, rail_x(), leg(), **own)
        parts = sum(p.block.volume_mm3 for p in made.joints[0].parts(made))
        assert timber_mm3(plain) - timber_mm3(made) == pytest.approx(parts, rel=0.02)


def test_a_stopped_mortise_is_two_mm_deeper_and_nothing_else_is_loose():
    made = pair("mortise and tenon", rail_x(), leg())
    j = made.joints[0]
    left = 60.0**2 * 500.0 - volume_mm3(made.shape("L1"))
    assert left == pytest.approx(j.thickness_mm * j.width_mm * (j.length_mm + 2.0))


def test_a_loose_tenon_adds_nothing_to_the_cutting_length():
    made = pair("loose tenon", rail_x(), leg())
    assert made.overall_length_mm("A1") == 300.0
    assert made.joints[0].hardware(made)[0].name.startswith("loose tenon, 8 x ")


@pytest.mark.parametrize(
    ("kind", "own", "words"),
    [
        ("mortise and tenon", {"pegs": 1.5}, "give 0 to 4, a whole number"),
        ("mortise and tenon", {"mitre": 2}, "give 0 to 1, a whole number"),
        ("double mortise and tenon", {"width_mm": 40}, "two tenons 40 mm wide do not fit"),
        ("double mortise and tenon", {"side_by_side": 1, "thickness_mm": 11}, "side by side do not fit"),
        ("through mortise and tenon", {"length_mm": 40}, "has no 'length_mm'"),
        ("loose tenon", {"thickness_mm": 30}, "give 3 to 22 mm"),
    ],
)
def test_what_no_timber_holds_is_refused(kind, own, words):
    with pytest.raises(ValueError, match=words):
        pair(kind, rail_x(), leg(), **own)


def test_every_kind_says_its_figures_in_words():
    for kind in KINDS.values():
        for name, words in kind.changeable.items():
            assert words[0].isupper() and "_" not in words, (kind.kind, name)
            assert hasattr(kind, name), (kind.kind, name)


class Damp:
    """Oak as it might be: 2 per cent either way across the grain."""

    def swing(self, member, size_mm, across="width"):
        from studio_lib.timber.provisions import Swing

        return Swing(size_mm, 0.02 * size_mm, 0.02 * size_mm, "made for this test", "made for this test")


def test_wide_glue_lines_and_pegged_shoulders_are_reckoned_over_the_year():
    wide = pair("double mortise and tenon", rail_x(width=160.0, z=300.0), leg())
    assert any("glued width" in f.subject and not f.stands for f in wide.joints[0].moves(wide, Damp()))
    pegged = pair("mortise and tenon", rail_x(), leg(), pegs=1)
    opening = next(f for f in pegged.joints[0].moves(pegged, Damp()) if f.what == "opening when driest")
    assert opening.demand == pytest.approx(0.02 * pegged.joints[0].peg_from_shoulder_mm)
    plain = pair("mortise and tenon", rail_x(), leg())
    assert plain.joints[0].moves(plain, Damp()) == []


def test_a_rail_that_ends_on_the_far_face_has_nothing_to_go_through():
    post = leg()
    near = rail_x()
    through = post.piece_box.size[0]
    start = abs(near.piece_box.lo[0] - post.piece_box.hi[0]) < 1
    far = replace(near, placement=replace(near.placement, origin=tuple(
        o + (-through if start else through) * float(k == 0) for k, o in enumerate(near.placement.origin))))
    with pytest.raises(ValueError, match="nothing is left for its tenon"):
        joined("through mortise and tenon", far, post)
