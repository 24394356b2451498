"""From the brief alone, before any form: rough sizes of a wish in, the refusal with its arithmetic out."""

import pytest
from pydantic import ValidationError

from studio_lib.brief.refusals import wind_speed_m_s
from studio_lib.brief.wishes import KINDS, wish_words
from studio_lib.commission import Commission, refusals
from studio_lib.derive import derive
from studio_lib.finding import Verdict


def wished(*wishes, **answers):
    """What a commission without any piece derives."""
    document = Commission(ref="W1", title="a wish")
    for path, value in answers.items():
        document = document.changed("brief." + path, value)
    return derive(document.changed("brief.wishes", list(wishes)))


def of(d, what):
    return next(f for f in d.brief_findings if f.what == what)


SCREEN = {"kind": "free-standing screen", "name": "screen", "height_mm": 1800, "width_mm": 1200, "solid_pct": 100, "weight_kg": 40,
          "foot_mm": 250}
CASE = {"kind": "tall case", "name": "chest of drawers", "height_mm": 1100, "width_mm": 900, "depth_mm": 450, "weight_kg": 45,
        "opens_mm": 400}
CHEST = {"kind": "lid, drawer or door", "name": "chest", "length_mm": 1000, "width_mm": 450, "height_mm": 420}
SHELF = {"kind": "long shelf", "name": "shelf", "span_mm": 1600, "depth_mm": 300, "thickness_mm": 22, "load_kg_m": 37}
SLAB = {"kind": "held across the grain", "name": "slab", "width_mm": 1000}
GAPS = {"kind": "gaps, openings, rails", "name": "slats"}
LID = {"kind": "moving parts", "name": "lid", "gap_least_mm": 0, "gap_greatest_mm": 12}


# By hand: q = 0.613 x 20^2 = 245.2 Pa (sizing: 245 Pa at 20 m/s); x 1.45 x 2.16 m2 = 768 N at 0.9 m is
# 691 N m, times 1.5 is 1037; 40 kg on 250 mm hold 392.4 N x 0.25 m = 98.1 N m.
def test_a_screen_in_the_wind_is_refused_with_its_moments():
    d = wished(SCREEN, place="outdoors, in the weather", wind_m_s=20)
    wind = of(d, "wind")
    assert wind.verdict is Verdict.FAILS and wind.stage == "brief" and "anchors sized by an engineer" in wind.mend
    assert wind.demand == pytest.approx(1037, abs=1) and wind.capacity == pytest.approx(98.1, abs=0.05)
    assert any(s.holds and s.finding.what == "wind" for s in d.stops) and "firm price" in d.held


def test_the_wind_is_asked_for_and_a_word_or_a_speed_answers():
    from studio_lib.questions import open_questions

    d = wished(SCREEN, place="outdoors, in the weather")
    assert of(d, "wind").verdict is Verdict.OPEN
    assert any("wind blow" in q.asks for q in open_questions(d.commission))
    for path, value in (("brief.wind", "exposed"), ("brief.wind_m_s", 30)):
        answered = d.commission.changed(path, value)
        assert of(derive(answered), "wind").verdict is Verdict.FAILS
        assert not any("wind blow" in q.asks for q in open_questions(answered))
    assert "Beaufort" in of(derive(d.commission.changed("brief.wind", "open")), "wind").source
    assert wind_speed_m_s("sheltered") < wind_speed_m_s("open") < wind_speed_m_s("exposed")
    with pytest.raises(ValueError, match="sheltered, open, exposed"):
        wind_speed_m_s("a hurricane")


# 150 N at 1200 mm, 1.5 to spare, is 270 N m over the edge; 40 kg x 9.81 x 0.25 m hold 98 N m.
def test_a_screen_indoors_is_pulled_over_and_a_wide_foot_mends_it():
    lean = of(wished(SCREEN), "pulled over")
    assert lean.verdict is Verdict.FAILS and "wind" not in {f.what for f in wished(SCREEN).brief_findings}
    assert all(f.stands for f in wished(SCREEN | {"foot_mm": 800}).brief_findings)
    assert len(wished(SCREEN, children=True).brief_findings) == 2


def test_a_screen_held_down_waits_for_leave_in_writing():
    held = SCREEN | {"held_down": True}
    d = wished(held, place="outdoors, in the weather", wind="open")
    assert "engineer" in of(d, "leave of others").says and d.held
    assert derive(d.commission.changed("brief.leave_given", ["stands in the wind"])).held == ()


# 267 N (60 lb, ASTM F2057-23) x 400 mm = 106.8 N m over the front feet; 45 kg x 9.81 x 225 mm = 99.3 N m.
def test_a_chest_of_drawers_must_be_anchored_and_tips_under_a_child():
    d = wished(CASE, children=True)
    climbed, anchor = of(d, "climbed on a drawer"), of(d, "anchor")
    assert (climbed.demand, climbed.capacity) == (pytest.approx(106.8), pytest.approx(99.3, abs=0.05))
    assert anchor.verdict is Verdict.FAILS and "handover note" in anchor.mend
    assert {s.finding.what for s in d.stops} >= {"anchor", "climbed on a drawer"}
    fixed = wished(CASE | {"fixed_to_wall": True}, leave_given=["fixed to building"])
    assert fixed.held == () and all(f.stands for f in fixed.brief_findings)


# 1.0 x 0.45 x 0.42 m is 189 dm3, over the 31 dm3 (1.1 cubic feet) of ASTM F834.
def test_a_nursery_chest_shuts_a_child_in_until_it_breathes_opens_and_stays_up():
    d = wished(CHEST, children=True)
    assert of(d, "shut in").demand == pytest.approx(189) and d.held
    mended = CHEST | {"air_holes_mm2": 1414, "opens_from_inside_n": 40, "lid": "stays where let go"}
    assert wished(mended, children=True).held == ()


# Wood Handbook table 13-5 coefficients through the service range of the place: a metre of oak moves far over 5 mm.
def test_a_slab_held_fast_says_in_which_timber_it_was_reckoned():
    d = wished(SLAB)
    slab = of(d, "held rigidly")
    assert slab.verdict is Verdict.FAILS and slab.demand > 5 and "since no timber is chosen" in slab.says
    chosen = derive(d.commission.changed("timber.species", "Black locust"))
    assert "Black locust" in of(chosen, "held rigidly").says and "since no timber" not in of(chosen, "held rigidly").says
    assert wished(SLAB | {"slack_mm": slab.demand + 1}).held == ()


# 5 W L^3 / 384 E I goes by the fourth power of the span at a steady load a metre; creep 1.6 indoors and 3.0 in
# the weather (EN 1995-1-1 table 3.2).
def test_a_long_shelf_sags_by_the_fourth_power_and_more_in_the_weather():
    long, short = of(wished(SHELF), "sag"), of(wished(SHELF | {"span_mm": 800}), "sag")
    assert long.demand / short.demand == pytest.approx(16)
    outdoors = of(wished(SHELF, place="outdoors, in the weather"), "sag")
    assert outdoors.demand / long.demand == pytest.approx(3.0 / 1.6)
    assert long.verdict is Verdict.FAILS and "thick instead of 22" in long.mend and not wished(SHELF).held


def test_gaps_openings_and_rails_each_meet_their_refusal():
    d = wished(
        GAPS | {"gap_least_mm": 9, "gap_greatest_mm": 12, "opening_width_mm": 150, "opening_height_mm": 500, "rails_mm": [200, 450]},
        children=True, beside_a_drop=True, drop_mm=3000,
    )
    assert {s.finding.what for s in d.stops} == {"fingers", "heads", "climbable rails"}
    grown = derive(d.commission.changed("brief.children", False))
    assert grown.held == () and {f.verdict for f in grown.brief_findings} == {Verdict.LOOK_AGAIN}
    unasked = wished(GAPS | {"rails_mm": [200]})
    assert of(unasked, "climbable rails").verdict is Verdict.OPEN


def test_parts_that_close_go_by_the_band_of_their_place():
    between = LID | {"gap_least_mm": 19, "gap_greatest_mm": 24}
    assert of(wished(LID), "fingers, moving").verdict is Verdict.FAILS and wished(LID).held
    assert not of(wished(between), "fingers, moving").stands, "8 to 25 mm indoors"
    assert of(wished(between, place="outdoors, under cover"), "fingers, moving").stands, "7 to 18 mm outdoors, EN 581-1"


@pytest.mark.parametrize("kind", KINDS)
def test_a_wish_without_sizes_asks_for_them_and_stops_nothing(kind):
    d = wished({"kind": kind, "name": "it"}, place="outdoors, in the weather")
    assert d.brief_findings and all(f.verdict is Verdict.OPEN and f.mend for f in d.brief_findings) and not d.stops
    assert wish_words(d.commission.brief.wishes[0]).startswith(f"it ({kind})")


def test_every_field_of_a_wish_is_asked_for():
    for part, _, asks in KINDS.values():
        assert {a.field for a in asks} == set(part.model_fields) - {"kind", "name"}


def test_a_timber_without_figures_is_an_open_question_not_a_fault():
    from studio_lib.timber import all_species

    for species in all_species():
        d = derive(wished(SLAB, SHELF).commission.changed("timber.species", species.name))
        assert {f.what for f in d.brief_findings} <= {"held rigidly", "sag", "cannot be told"}


@pytest.mark.parametrize(
    ("wish", "words"),
    [
        (SCREEN | {"solid_pct": 140}, "Solid, %, is 140; give 100 or less."),
        (SCREEN | {"weight_kg": -5}, "Weight, kg, is -5; give more than 0."),
        (SHELF | {"load_kg_m": "many books"}, "Load, kg a metre, is 'many books'; give a number."),
        (LID | {"gap_least_mm": 40}, "40 mm at the least and 12 mm at the most; turn them round"),
        ({"kind": "trapdoor", "name": "x"}, "free-standing screen"),
        (SHELF | {"name": ""}, "at least 1 letters"),
        (CHEST | {"lid": "flies off"}, "'stays where let go'"),
    ],
)
def test_a_wish_that_cannot_be_is_refused_in_words(wish, words):
    with pytest.raises(ValidationError) as error:
        Commission(ref="W1", title="a wish").changed("brief.wishes", [wish])
    assert words in " ".join(refusals(error.value).values())


def test_two_wishes_of_one_name_are_refused_since_a_stop_is_answered_by_name():
    with pytest.raises(ValidationError, match="each its own name"):
        wished(SHELF, SHELF)


# ------------------------------------------------------------------ one answer, one stop


TALL = {"kind": "tall case", "name": "bookcase", "height_mm": 2300, "width_mm": 900, "depth_mm": 280, "weight_kg": 60, "drawers_or_doors": False}


def stopped(document):
    return [s.key for s in derive(document).stops if s.holds]


def test_a_piece_takes_the_word_from_the_wish_it_is_made_for():
    """The wish stops it while there is no piece; the piece stops it once there is, and nothing stops it twice."""
    wish = wished(TALL).commission
    assert stopped(wish) == ["anchor: bookcase", "pulled over: bookcase"]
    made = wish.changed("items", [{"name": "bookcase", "form": "bookcase", "sizes": {"wall": 0}}])
    assert stopped(made) == ["anchor: bookcase: bookcase", "pulled over: bookcase: bookcase"]
    assert stopped(made.changed("items.0.sizes.wall", 1)) == []
    # A second wish of the kind is still only a wish.
    two = made.changed("brief.wishes", [TALL, {**TALL, "name": "cabinet"}]).changed("items.0.sizes.wall", 1)
    assert stopped(two) == ["anchor: cabinet", "pulled over: cabinet"]


def test_whose_leave_it_waits_for_is_said_once():
    wish = wished({**TALL, "fixed_to_wall": True}, needs_leave=["fixed to building"]).commission
    assert len(stopped(wish)) == 1
    screens = wish.changed("brief.wishes", []).changed("items", [{"name": n, "form": "framed screen", "sizes": {"stands": 1}} for n in ("a", "b")])
    assert len([s for s in stopped(screens) if "fixed to building" in s]) == 1
    assert stopped(screens.changed("brief.leave_given", ["fixed to building"])) == []


def test_the_answer_given_once_is_taken_back_once():
    yes = wished({**TALL, "fixed_to_wall": True}).commission
    assert yes.brief.fixed_to_building
    no = yes.fixed_to_wall(False)
    assert not no.brief.fixed_to_building and no.brief.needs_leave is None
    again = no.fixed_to_wall(True)
    assert again.brief.fixed_to_building and again.brief.needs_leave == ("fixed to building",)
    assert again.fixed_to_wall(False).brief.needs_leave == ()


# ------------------------------------------------------------------ sag told once


def test_the_sag_of_a_shelf_is_one_answer_with_both_sums_in_it():
    document = Commission(ref="W2", title="shelves").changed("brief.carries", "books").changed(
        "items", [{"name": "bookcase", "form": "bookcase"}]).changed("timber.species", "European oak")
    told = [f for f in derive(document).findings if f.what in ("sag", "sag, shelf")]
    assert len(told) == 1 and "its ends only resting; as its joints hold them" in told[0].says
    # The frame carries what the shelf carries: 195 kg a m2 of books, for 65 as the standard has it.
    assert derive(document).loads(0)["books"].force_n == pytest.approx(9.81 * 55 / 0.268, abs=1)
    heavier = derive(document.changed("items.0.loads.books", 15000))
    told = [f for f in heavier.findings if f.what.startswith("sag, shelf")]
    assert len(told) == 1 and "under the load on Sizes" in told[0].says and "sag" not in {f.what for f in heavier.findings}
