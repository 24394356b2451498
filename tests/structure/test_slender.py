"""As slender as it dares: what it offers stands, nothing more can come off, and more reserve takes more timber."""

from dataclasses import replace

import pytest

from studio_lib.commission import Brief
from studio_lib.forms import Surroundings, form, settled
from studio_lib.structure.strength import Wood
from studio_lib.structure.slender import STEP_MM, Asked, checks, felt, may_be_slimmed, seen_m2, slender, timber_m3

WOOD = Wood("made for this test", 700.0, 12_000.0, 105.0, 12.0)
AROUND = Surroundings("oak")


def asked(name="slatted stool", **sizes) -> Asked:
    return Asked(name, Brief(), AROUND, settled(form(name), Brief(), AROUND, sizes), {}, (), {"oak": WOOD}, "indoors, heated", "household")


def worst(a: Asked, **sizes) -> float:
    piece = form(a.form).lay_out("piece", "A", {**a.sizes, **sizes}, AROUND, {}, ())
    return max(f.utilisation for f in checks(piece, a.woods, a.place, a.use) if f.utilisation is not None and not felt(piece, f))


def test_every_point_keeps_its_reserve_and_less_reserve_takes_less_timber():
    a = asked()
    points = slender(a, [n for n, _ in may_be_slimmed(a.form)])
    assert points
    for p in points:
        assert worst(a, **p.sizes) <= 1 - p.reserve + 1e-9
    timber = [p.timber_m3 for p in points]
    assert timber == sorted(timber, reverse=True) and [p.reserve for p in points] == sorted((p.reserve for p in points), reverse=True)


def test_nothing_more_comes_off():
    a, names = asked(), ["slat_thickness_mm", "bearer_thickness_mm"]
    point = slender(a, names, reserves=(0.0,))[0]
    for name in names:
        if point.sizes[name] - STEP_MM < 15:
            continue
        assert worst(a, **{**point.sizes, name: point.sizes[name] - STEP_MM}) > 0.9


def test_sizes_not_chosen_stay():
    a = asked()
    assert set(slender(a, ["leg_mm"], reserves=(0.0,))[0].sizes) == {"leg_mm"}


def test_a_stop_is_heard_and_a_strange_size_is_named():
    assert slender(asked(), ["leg_mm"], stop=lambda: True) == []
    with pytest.raises(ValueError, match="has no size 'girth_mm'. It has: length_mm"):
        slender(asked(), ["girth_mm"])
    with pytest.raises(ValueError, match="at least one size"):
        slender(asked(), [])


def test_bevels_and_tapers_read_lighter_keep_the_reserve_and_can_be_taken():
    a = asked("table")
    points = slender(a, ["leg_mm"], reserves=(0.0,))
    p = points[0]
    assert "reads as 12 mm and works as" in p.reads and "tapered on their inner faces" in p.reads
    bare = form(a.form).lay_out("piece", "A", {**a.sizes, **p.sizes}, AROUND, {}, ())
    shaped = form(a.form).lay_out("piece", "A", {**a.sizes, **p.sizes}, AROUND, {}, p.shaped)
    assert seen_m2(shaped) < seen_m2(bare) and timber_m3(shaped) < timber_m3(bare)
    assert max(f.utilisation for f in checks(shaped, a.woods, a.place, a.use) if f.utilisation is not None) <= 1 + 1e-9


def test_the_makers_loads_go_into_the_search():
    def least(loads):
        return slender(replace(asked("table"), loads=loads), ["leg_mm", "apron_width_mm"], reserves=(0.0,))[0].timber_m3

    assert least({"push": 800.0}) > least({"push": 200.0})


def test_thicknesses_stop_where_a_sawn_board_gives_them_and_say_which():
    """Boards of 27 and 34 mm lose 5 mm at the planer: 22 and 29 mm are all they give."""
    a = replace(asked("table"), sawn_mm=(27.0, 34.0), dressing_mm=5.0)
    for p in slender(a, ["top_thickness_mm"], reserves=(0.2, 0.0)):
        thick = p.sizes["top_thickness_mm"]
        assert p.sawn_mm["top_thickness_mm"] == (27.0 if thick <= 22 else 34.0 if thick <= 29 else None)


def test_the_same_question_has_the_same_answer():
    a, names = asked(), [n for n, _ in may_be_slimmed("slatted stool")]
    assert slender(a, names) == slender(a, names)


def test_the_curve_shows_every_point_and_the_piece_as_it_stands():
    from studio_lib.structure.curve import curve_svg

    points = slender(asked(), ["leg_mm", "apron_width_mm"])
    drawn = curve_svg(points, 0.012)
    assert drawn.count("<circle") == len(points) and "as it stands, 12.0 litres" in drawn
