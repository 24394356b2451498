"""A case hung on a wall: any sizes are sound or refused in words; what is proposed suits the brief."""

import pytest
from hypothesis import given, settings, strategies as st

from studio_lib.commission import Brief, Opening
from studio_lib.finding import Verdict
from studio_lib.forms import FORMS, Surroundings, begun, make, settled
from tests.forms import any_sizes

NAME = "hung case"


def sizes(asked="", **chosen):
    brief = {k: chosen.pop(k) for k in list(chosen) if k in Brief.model_fields}
    return settled(FORMS[NAME], Brief(asked=asked, **brief), Surroundings("oak", 0.017), chosen)


def fits(asked="", **chosen):
    brief = Brief(asked=asked, **{k: chosen.pop(k) for k in list(chosen) if k in Brief.model_fields})
    values = settled(FORMS[NAME], brief, Surroundings("oak", 0.017), chosen)
    return {f.what: f for f in FORMS[NAME].fit(make(NAME, brief, timber="oak", **chosen), values, brief)}


@settings(max_examples=200, deadline=None)
@given(any_sizes.briefs(), any_sizes.sizes_of(NAME))
def test_any_sizes_are_sound_or_refused_in_words(brief, chosen):
    any_sizes.refused_or_sound(NAME, brief, chosen)


@settings(max_examples=12, deadline=None)
@given(st.sampled_from([0, 1, 2]), st.floats(450, 1500), st.floats(450, 1200))
def test_usual_ones_agree_with_the_exact_kernel(doors, width, height):
    assert any_sizes.refused_or_sound(NAME, Brief(), {"doors": doors, "width_mm": round(width), "height_mm": round(height)}, exact=True)


def test_as_proposed_every_check_of_its_joints_stands():
    from studio_lib.piece.checks import mortises_apart

    for width in range(300, 1800, 60):
        for chosen in ({}, {"doors": 1.0, "width_mm": 480.0}, {"doors": 2.0}, {"above_mm": 80.0}, {"bottom": 0.0, "shelf_count": 0.0, "height_mm": 180.0}, {"back": 1.0}):
            piece = make(NAME, Brief(), timber="oak", swell_fraction=0.017, **{"width_mm": float(width), **chosen} if chosen.get("doors") != 2 or width > 420 else chosen)
            assert [f.says for f in mortises_apart(piece) if f.verdict is Verdict.FAILS] == []


def test_boards_doors_and_height_follow_the_clients_words():
    assert (sizes("Two shelves over the bath.")["shelf_count"], sizes("Four wall shelves.")["shelf_count"]) == (0, 2)
    one = sizes("A shelf over the desk.")
    assert (one["bottom"], one["shelf_count"], one["doors"]) == (0, 0, 0)
    shut = sizes("A wall cupboard for plates.")
    assert (shut["doors"], shut["back"]) == (2, 1) and shut["hung_mm"] == 1350, "450 mm over a worktop of 900 mm"
    assert sizes("Shelves hung 1.2 m above the floor.")["hung_mm"] == 1200
    assert [begun(NAME, name).sizes for name in ("wall cupboard", "spice rack", "over the bath")] == [{"doors": 2.0}, {"doors": 0.0}, {}]


def test_it_hangs_within_reach_and_under_the_ceiling():
    tall = sizes("Shelves on the wall.", height_mm=1000.0)
    assert tall["hung_mm"] + 1000 <= sizes()["hung_mm"] + sizes()["height_mm"] + 100
    assert fits(height_mm=1000.0, hung_mm=1400.0)["reach of its highest board"].verdict is Verdict.LOOK_AGAIN
    low = (Opening(kind="ceiling", name="ceiling", height_mm=2000.0),)
    assert sizes(openings=low, height_mm=900.0)["hung_mm"] + 900 <= 2000
    assert fits(openings=low, height_mm=900.0, hung_mm=1200.0)["under the ceiling"].verdict is Verdict.FAILS


def test_what_stands_on_its_shelves_must_go_in():
    assert fits(tallest_mm=300.0, height_mm=300.0)["room for what stands on the shelves"].verdict is Verdict.FAILS
    assert sizes("Wall shelves for books 300 mm tall.")["height_mm"] > 2 * 300


def test_over_a_worktop_it_hangs_by_the_worktops_height_and_one_reaches_less_far():
    asked = "Over the worktop (it is 92 cm high and 60 deep) a cupboard that hangs on the wall, two doors."
    assert sizes(asked)["hung_mm"] == 1370, "920 and 450"
    plain, across = fits("A wall cupboard.")["reach of its highest board"], fits(asked)["reach of its highest board"]
    # By hand: an arm of 555 mm, 280 mm ahead (600 less 320), reaches the root of 555^2 - 280^2 = 479 mm up: 76 mm less.
    assert plain.capacity - across.capacity == 76 and "76 mm less across the worktop, 600 mm deep" in across.says


def test_what_hangs_is_drawn_over_what_stands_below_it():
    from studio_lib.commission import Brief, Commission, Item
    from studio_lib.derive import derive
    from studio_lib.look.arranged import arranged

    def over(stand: Item, *hung: Item):
        c = Commission(ref="H1", title="over", items=(stand, *hung), brief=Brief(place="indoors, heated", people=1, asked="A desk."))
        d = derive(c.changed("timber.species", "European oak"))
        return d, arranged(d.made)

    desk, shelf = Item(name="desk", form="table", sizes={"length_mm": 1400, "width_mm": 650}), Item(name="shelf", form="hung case", count=2, sizes={"width_mm": 600})
    d, (under, left, right) = over(desk, shelf)
    assert (left.offset_mm[0] + right.offset_mm[0]) / 2 == pytest.approx(under.offset_mm[0])
    assert right.offset_mm[0] - left.offset_mm[0] >= 600
    # One wall behind all of it.
    backs = [max(m.piece_box.hi[1] for m in s.piece.members) + s.offset_mm[1] for s in (under, left, right)]
    assert max(backs) - min(backs) < 1e-6
    high = over(Item(name="cupboard", form="bookcase", sizes={"height_mm": 2000, "width_mm": 800}), shelf)[1]
    assert high[1].offset_mm[0] > high[0].offset_mm[0] + 400, "beside what stands higher than it hangs"


def test_shelves_one_above_the_other_hang_over_the_same_bench():
    from studio_lib.commission import Brief, Commission, Item
    from studio_lib.derive import derive
    from studio_lib.look.arranged import arranged

    low, up = (Item(name=n, form="hung case", sizes={"width_mm": 900, "height_mm": 200, "hung_mm": z}) for n, z in (("low shelf", 1300), ("high shelf", 1700)))
    c = Commission(ref="H2", title="hall", items=(Item(name="bench", form="bench", sizes={"length_mm": 1500}), low, up), brief=Brief(place="indoors, heated"))
    bench, one, other = arranged(derive(c.changed("timber.species", "European oak")).made)
    assert one.offset_mm[0] == other.offset_mm[0] == pytest.approx(bench.offset_mm[0])


# ------------------------------------------------------------------ uprights between the ends


def test_a_long_one_is_proposed_with_an_upright_and_a_short_one_or_a_single_board_without():
    books = {"asked": "Wall shelves for books."}
    assert [sizes(**books, width_mm=float(w))["uprights"] for w in (600, 1000, 1800)] == [0, 0, 1]
    assert sizes("A shelf over the desk.", width_mm=1800.0)["uprights"] == 0
    long = sizes(**books, width_mm=1800.0)
    assert long["shelf_mm"] < sizes(**books, width_mm=1800.0, uprights=0)["shelf_mm"] and fits(**books, width_mm=1800.0)["sag"].verdict is not Verdict.FAILS


@pytest.mark.parametrize("chosen", [{}, {"uprights": 2, "above_mm": 60.0}, {"bottom": 0.0, "shelf_count": 1}, {"doors": 2, "back": 1, "height_mm": 700.0}],
                         ids=["one", "two, under sides that go on", "no bottom", "behind doors"])
def test_with_uprights_it_is_sound_and_carries_in_the_frame_of_the_whole(chosen):
    from studio_lib.commission import Commission, Item
    from studio_lib.derive import derive
    from studio_lib.piece.order import order_of_work
    from tests.forms.invariants import all_of

    values = {"width_mm": 1500.0, "uprights": 1, **chosen}
    c = Commission(ref="H-1", title="shelves", brief=Brief(place="indoors, heated", carries="books"), items=(Item(name="shelves", form=NAME, sizes=values),))
    d = derive(c.changed("timber.species", "European oak"))
    piece = d.pieces[0]
    assert all_of(piece, exact=True) == [] and order_of_work(piece).locked == ()
    assert [f.says for f in d.findings if f.verdict is Verdict.FAILS] == []
    # It hangs from the top: no part of it is lower than the sides.
    assert piece.member("A-C1").piece_box.lo[2] == piece.member("A-L1").piece_box.lo[2] and piece.member("A-C1").piece_box.hi[2] == piece.member("A-T1").piece_box.lo[2]
