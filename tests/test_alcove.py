"""A bookcase in an alcove: what the walls beside it settle, and what nobody carries up a stair by itself."""

import pytest

from studio_lib.demo import demo
from studio_lib.derive import derive
from studio_lib.finding import Verdict
from studio_lib.forms import form

WALLS = [s.name for s in form("bookcase").sizes if s.group == "alcove"]


def in_an_alcove(**sizes):
    c = demo().changed("brief.place", "indoors, heated").changed("brief.use", "household").changed("timber.species", "European oak")
    c = c.changed("brief.most_length_mm", 1171.0).changed("brief.openings", [{"kind": "door", "name": "door", "width_mm": 740, "height_mm": 1980}])
    sizes = {"place": 1, **dict(zip(WALLS, (1184, 1171, 1184, 1171))), "height_mm": 2300, "wall": 0} | sizes
    return derive(c.changed("items", [{"name": "bookcase", "form": "bookcase", "sizes": sizes}]))


@pytest.fixture(scope="module")
def found():
    d = in_an_alcove(cases=1)
    return d, {f.what: f for f in d.size_findings}


def test_its_fillets_reach_the_walls_and_its_case_is_what_may_be_too_wide(found):
    d, said = found
    assert d.pieces[0].overall_mm[0] == pytest.approx(1184) and said["width, at the most"].verdict is Verdict.STANDS
    assert said["width, at the most"].demand == d.made[0].sizes["width_mm"] < 1171


def test_the_walls_beside_it_keep_it_from_swaying_sideways_only(found):
    _, said = found
    assert said["sway sideways"].verdict is Verdict.STANDS and said["sway sideways"].says.startswith("the walls of the alcove hold it")
    assert "alcove" not in said["sway from front to back"].says


def test_nobody_measures_a_stair_for_a_fillet(found):
    d, _ = found
    asked = {f.subject for f in d.size_findings if f.what.startswith("way in")}
    assert len(asked) == 2 and not any("fillet" in name for name in asked)


# ---------------------------------------------------------------- skirting, lean, fall


def at_a_skirting(more_brief=(), **sizes):
    """An alcove 1000 mm wide all over, with what the brief tells of its walls and floor."""
    c = demo().changed("brief.place", "indoors, heated").changed("brief.use", "household").changed("timber.species", "European oak")
    for name, value in dict(more_brief).items():
        c = c.changed(f"brief.{name}", value)
    sizes = {"place": 1, **dict.fromkeys(WALLS, 1000), "height_mm": 2000} | sizes
    return derive(c.changed("items", [{"name": "bookcase", "form": "bookcase", "sizes": sizes}]))


BOARD = {"skirting_high_mm": 120.0, "skirting_deep_mm": 18.0}


def said(d):
    return {f.what: f for f in d.size_findings}


def test_with_nothing_told_of_walls_and_floor_nothing_is_cut_and_nothing_more_is_asked():
    d = at_a_skirting()
    assert d.made[0].sizes["plinth_mm"] == 80 and d.made[0].sizes["skirting"] == 0
    assert not any("skirting" in w or "scribing" in w or "plumb" in w for w in said(d))
    assert not any(m.shaping for m in d.piece.members if m.role == "side")


def test_a_case_in_an_alcove_is_proposed_so_that_it_passes_its_skirting():
    from studio_lib.solids.mesh import placed

    d = at_a_skirting(BOARD)
    found = said(d)
    assert found["skirting behind it"].verdict is Verdict.STANDS and found["skirting beside it"].verdict is Verdict.STANDS
    # Nothing of it stands where the skirting is: behind it, and on either side, from wall to wall.
    import manifold3d

    back = d.piece.overall_mm[1] / 2
    behind = manifold3d.Manifold.cube((1000.0, 18.0, 120.0)).translate((-500.0, back - 18.0, 0.0))
    beside = [manifold3d.Manifold.cube((18.0, 2 * back, 120.0)).translate((x, -back, 0.0)) for x in (-500.0, 482.0)]
    for m in d.piece.members:
        for board in (behind, *beside):
            assert (placed(d.piece, m.ref) ^ board).volume() < 1.0, f"{m.name} stands in the skirting"
    # The fillets still come to the walls above it.
    left = placed(d.piece, next(m.ref for m in d.piece.members if m.name == "left fillet")).bounding_box()
    assert left[0] == pytest.approx(-500.0)


def test_a_lowest_shelf_below_the_skirting_is_refused_with_the_height_that_does():
    from studio_lib.forms import SizeRefused

    with pytest.raises(SizeRefused, match="120 mm high does not pass .* 139 mm above the floor or more, or let it stand clear"):
        at_a_skirting(BOARD, skirting=1, plinth_mm=80).made
    assert at_a_skirting(BOARD, skirting=1, plinth_mm=139).made


def test_standing_clear_it_comes_further_out_and_its_fixings_are_packed():
    d = at_a_skirting({**BOARD, "space_width_mm": 290.0}, skirting=0, depth_mm=280, width_mm=950)
    f = said(d)["skirting behind it"]
    assert f.verdict is Verdict.FAILS and f.demand == 298 and f.capacity == 290 and "272 mm deep" in f.mend
    roomy = at_a_skirting({**BOARD, "space_width_mm": 300.0}, skirting=0, depth_mm=280, width_mm=950)
    assert said(roomy)["skirting behind it"].stands and "packed out by 18 mm" in said(roomy)["skirting behind it"].says


def test_a_case_too_wide_to_go_down_between_the_skirtings_will_not_do_and_says_how_wide_it_may_be():
    # 980 mm in 1000 leaves 10 mm a side; a fillet keeps 4 of them, and 18 are wanted: 12 too few on each side.
    f = said(at_a_skirting(BOARD, width_mm=980))["skirting beside it"]
    assert f.verdict is Verdict.FAILS and "956 mm wide" in f.mend
    assert said(at_a_skirting(BOARD, width_mm=956))["skirting beside it"].stands


def test_a_fillet_has_at_least_the_lean_of_the_wall_to_lose():
    # 12 mm over 2 m is 12 mm over this case; fillets of 10 mm, 4 left of them, can lose 6.
    f = said(at_a_skirting({"out_of_plumb_mm": 12.0}, width_mm=980))["scribing to walls out of plumb"]
    assert f.verdict is Verdict.FAILS and (f.demand, f.capacity) == (12, 6) and "968 mm wide" in f.mend
    assert said(at_a_skirting({"out_of_plumb_mm": 12.0}))["scribing to walls out of plumb"].stands


def test_a_floor_that_falls_is_scribed_out_of_the_plinth():
    # 60 mm over 2 m is 28.8 mm over a case of 960; a lowest shelf at 50 mm leaves 25 to take.
    f = said(at_a_skirting({"floor_falls_mm": 60.0}, width_mm=960, plinth_mm=50))["scribing to a floor that falls"]
    assert f.verdict is Verdict.FAILS and f.demand == pytest.approx(28.8) and f.capacity == 25 and "54 mm above the floor" in f.mend
    assert said(at_a_skirting({"floor_falls_mm": 10.0}))["scribing to a floor that falls"].stands


def test_the_papers_name_what_is_scribed():
    from studio_lib.handover import delivery_note

    d = at_a_skirting({**BOARD, "out_of_plumb_mm": 6.0, "floor_falls_mm": 10.0})
    words = " ".join(w for _, w in delivery_note(d).fixing)
    assert "scribe it over its whole height, round the skirting (120 x 18 mm)" in words
    assert "cut out 125 x 23 mm" in words and "scribe sides and plinth" in words and "lean about 6 mm" in words


def test_the_ceiling_it_is_stood_up_under_is_asked_for_its_diagonal():
    # By Pythagoras 2000 high and 280 deep is 2020 from corner to corner.
    for height, stands in ((2015.0, False), (2030.0, True)):
        d = at_a_skirting({"openings": [{"kind": "ceiling", "name": "ceiling", "height_mm": height}]}, cases=0)
        f = next(f for f in d.size_findings if f.what == "way in: ceiling")
        assert f.stands is stands and "2020 mm from corner to corner" in f.says


@pytest.mark.parametrize("height", [1400, 2000, 2300])
@pytest.mark.parametrize("told", [{}, BOARD], ids=["plain", "skirting"])
def test_the_screws_of_a_fillet_keep_clear_of_the_trenches_of_shelves_and_of_the_skirting(height, told):
    from studio_lib.piece.checks import piece_findings

    d = at_a_skirting(told, height_mm=height)
    assert [f.says for f in piece_findings(d.piece) if not f.stands and "fillet" in f.says] == []
    screws = next(j for j in d.piece.joints if j.family == "fillet on side")
    assert screws.end_mm > told.get("skirting_high_mm", 0) and screws.count >= 3
