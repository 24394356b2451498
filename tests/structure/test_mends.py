"""What would mend a check: each offered change makes it stand, and says what it does to the look and to the price."""

import pytest

from studio_lib.commission import Brief, Commission, Item, Swapped, TimberChoice
from studio_lib.demo import demo
from studio_lib.derive import derive
from studio_lib.finding import Verdict
from studio_lib.structure.mends import mends
from studio_lib.piece.dowel import DIAMETERS_MM
from studio_lib.structure.trial import key_of, seen_m2


def weak():
    return demo().changed("items.0.loads", {"push": 1500.0})


def failing(d):
    return next(f for f, _ in d.deciding(d.pieces[0]) if f.verdict is Verdict.FAILS)


def test_every_mend_mends_and_its_look_and_price_are_those_of_the_changed_piece():
    d = derive(weak())
    target = failing(d)
    offered = mends(d, 0, target)
    assert offered
    plain = derive(d.commission.changed("boards.kept_layout", None))
    for m in offered:
        after = derive(plain.commission.changed(m.path, m.value))
        its = next(f for f in after.analysis(after.pieces[0]).findings if key_of(f) == key_of(target))
        assert its.verdict is not Verdict.FAILS and abs(its.utilisation - m.used) < 1e-6
        assert abs(seen_m2(after.pieces[0]) - seen_m2(d.pieces[0]) - m.seen_m2) < 1e-9
        if m.dearer is not None:
            assert m.dearer == after.price.gross - plain.price.gross
    prices = [m.dearer for m in offered if m.dearer is not None and not m.breaks and m.boards]
    assert prices == sorted(prices)


def test_what_no_board_gives_is_said_and_not_called_cheaper():
    d = derive(demo().changed("items.0.sizes.slat_thickness_mm", 16.0).changed("items.0.loads", {"down": 2000.0}))
    for f, _ in d.deciding(d.pieces[0]):
        if f.verdict is Verdict.FAILS and f.what.startswith("sag"):
            thick = [m for m in mends(d, 0, f) if "slat_thickness" in m.path]
            assert thick and (thick[0].boards or thick[0].dearer is None)
            return
    raise AssertionError("slats of 16 mm sag under 2000 N")


def test_looking_can_be_stopped():
    d = derive(weak())
    assert mends(d, 0, failing(d), stopped=lambda: True) == []


def screen(push, **more):
    return Commission(ref="S-1", title="screen", brief=Brief(), timber=TimberChoice(species="European oak"), items=(Item(
        name="screen", form="framed screen", sizes={"length_mm": 1200, "height_mm": 1600}, loads={"push": push}, **more),))


@pytest.mark.parametrize("push", [41, 45, 150])
def test_no_figure_of_what_is_not_there_and_a_look_again_is_mended_in_earnest(push):
    """41 N leaves the feet's tenons over nine tenths used and not failing: what only stirs a figure there is no mend."""
    d = derive(screen(push))
    asked = [f for f, _ in d.deciding(d.pieces[0]) if not f.stands and f.subject == "stile into foot"]
    assert asked
    for f in asked:
        for m in mends(d, 0, f):
            assert not m.path.endswith(("peg_mm", "bare_faced", "mitre"))
            after = derive(d.commission.changed(m.path, m.value))
            its = next(g for g in after.analysis(after.pieces[0]).findings if key_of(g) == key_of(f))
            assert its.utilisation < f.utilisation and (its.stands or f.verdict is Verdict.FAILS and its.verdict is not Verdict.FAILS)


def test_what_a_mend_breaks_is_named_and_it_comes_last():
    d = derive(screen(150))
    tenon = next(f for f, _ in d.deciding(d.pieces[0]) if f.verdict is Verdict.FAILS and f.subject == "stile into foot")
    offered = mends(d, 0, tenon)
    thick = next(m for m in offered if m.path.endswith("thickness_mm") and ".joints." in m.path)
    assert "tenon thickness" in thick.breaks
    assert [bool(m.breaks) for m in offered] == sorted(bool(m.breaks) for m in offered)


def test_dowels_are_offered_as_they_are_sold_and_no_thicker_than_half_the_rail():
    on_dowels = screen(60, adjustments=(Swapped(family="stile into foot", joint="dowels"),))
    d = derive(on_dowels)
    for f, _ in d.deciding(d.pieces[0]):
        if not f.stands:
            for m in mends(d, 0, f):
                if m.path.endswith("diameter_mm"):
                    assert m.value in DIAMETERS_MM and m.value <= 18


def test_a_wall_that_holds_it_is_offered_though_as_much_turns_it():
    c = Commission(ref="C-3", title="cabinet", brief=Brief(children=True), timber=TimberChoice(species="European oak"),
                   items=(Item(name="cabinet", form="cabinet", sizes={"wall": 0}),))
    d = derive(c)
    hung = next(f for f in d.analysis(d.pieces[0]).findings if f.what == "hung on a door")
    assert hung.verdict is Verdict.FAILS
    assert ("items.0.sizes.wall", 1.0) in [(m.path, m.value) for m in mends(d, 0, hung)]
