"""The stool over its whole range of sizes, and what its maker relies on."""

import math

import pytest

from studio_lib.commission import Brief, Commission, Item
from studio_lib.derive import derive
from studio_lib.forms import FORMS, Surroundings, make, settled

NAME = "stool"


# Closed form: a leg that leans S and R is longer than it is high by sqrt(1 + tan2 S + tan2 R).
def test_a_leaning_leg_is_as_long_as_the_closed_form_says():
    piece = make(NAME, Brief(), splay_deg=10, rake_deg=7, timber="oak")
    leg = piece.member("A-L1")
    top = min(m.piece_box.lo[2] for m in piece.members if m.role == "board")
    longer = math.sqrt(1 + math.tan(math.radians(10)) ** 2 + math.tan(math.radians(7)) ** 2)
    foot, head = (s.depth_mm(leg, leg.width_mm / 2, leg.thickness_mm / 2) for s in leg.shaping)
    assert leg.length_mm - foot - head == pytest.approx(top * longer, abs=1e-6)


def test_feet_stand_on_the_floor_and_heads_under_the_seat():
    from studio_lib.solids.mesh import placed

    piece = make(NAME, Brief(), splay_deg=11, rake_deg=9, timber="oak")
    top = min(m.piece_box.lo[2] for m in piece.members if m.role == "board")
    for code in ("L1", "L2", "L3", "L4"):
        box = placed(piece, f"A-{code}").bounding_box()
        assert box[2] == pytest.approx(0.0, abs=1e-5) and box[5] == pytest.approx(top, abs=1e-5)


def test_the_angles_for_the_saw_are_on_the_setting_out():
    piece = make(NAME, Brief(), splay_deg=10, rake_deg=8, timber="oak")
    leg, rail = piece.member("A-L1"), piece.member("A-A1")
    for member in (leg, rail):
        said = [v for s in member.shaping for v in s.setting_out(member).values()]
        assert len(said) == 2 and all("saw: mitre" in v for v in said)


def test_a_mirrored_leg_is_its_twin_s_mirror():
    from studio_lib.solids import volume_mm3

    piece = make(NAME, Brief(), splay_deg=10, rake_deg=8, timber="oak")
    left, right = piece.member("A-L1"), piece.member("A-L2")
    assert (left.hand, right.hand) == ("left", "right")
    assert volume_mm3(piece.shape("A-L1")) == pytest.approx(volume_mm3(piece.shape("A-L2")), rel=1e-6)


def test_children_get_no_gap_that_holds_a_head():
    brief = Brief(children=True)
    sizes = settled(FORMS[NAME], brief, Surroundings("oak"), {})
    for where, wide, high in FORMS[NAME].holes(sizes):
        assert not 89 <= min(wide, high) <= 229, (where, wide, high)


# EN 1022 by moments, by hand: at 450 mm the push of 20 N wants 15 mm of the 60: 45 mm past the feet is the most.
def test_a_seat_far_past_its_feet_is_found():
    piece = make(NAME, Brief(), splay_deg=0, rake_deg=0, height_mm=450, length_mm=500, overhang_end_mm=50, timber="oak")
    sizes = settled(FORMS[NAME], Brief(), Surroundings("oak"),
        dict(splay_deg=0, rake_deg=0, height_mm=450, length_mm=500, overhang_end_mm=50))
    side = next(f for f in FORMS[NAME].fit(piece, sizes, Brief()) if f.what == "tipping over its side")
    assert not side.stands and "45 mm" in side.mend


def test_the_makers_own_load_at_the_edge_reaches_the_forms_own_tipping():
    c = Commission(ref="S-1", title="stool", items=(Item(name="stool", form=NAME, loads={"edge": 900}),))
    own = next(f for f in derive(c).findings if f.what == "tipping over its side" and f.rule.startswith("900 N"))
    assert "your own figure" in own.source
    usual = next(f for f in derive(c.changed("items.0.loads", {})).findings if f.what == own.what and f.rule.startswith("600 N"))
    # The load down holds it within the edge, so what holds grows as the load does.
    assert own.capacity / usual.capacity == pytest.approx(900 / 600)


def at_counter(counter_mm, **sizes):
    brief = Brief(people=2, children=True)
    return derive(Commission(ref="S-2", title="stools", brief=brief, items=(Item(name="stool", form=NAME, sizes={"counter_mm": counter_mm, **sizes}),)))


# Planning guides (sizing.md, counter and bar heights): counters of 34 to 36 in. (865 to 915 mm) with seats of 24 to 27 in. (610 to 685 mm),
# bars of 40 to 42 in. (1015 to 1065 mm) with seats of 28 to 33 in. (710 to 840 mm).
@pytest.mark.parametrize("counter, low, high", [(865, 585, 685), (890, 610, 685), (915, 610, 685), (1015, 710, 840), (1065, 710, 840)])
def test_a_seat_at_a_counter_is_as_high_as_planning_guides_make_it(counter, low, high):
    d = at_counter(counter)
    seat = d.made[0].sizes["height_mm"]
    assert low <= seat <= high and 250 <= counter - seat <= 300
    assert next(f for f in d.size_findings if f.what == "seat to counter top").stands


# ANSUR II (2012): the middle man's and woman's leg to the back of the knee are 430 and 387 mm (sizing.md), barefoot.
def test_feet_find_the_rail_of_a_high_stool_and_are_judged_by_it():
    for sizes in ({"counter_mm": 920}, {"height_mm": 650}):
        sizes = {"counter_mm": 0, **sizes}
        d = at_counter(**sizes)
        made = d.made[0].sizes
        rail = next(m for m in d.piece.members if m.name == "lower rail, front")
        assert 387 + 25 <= made["height_mm"] - rail.piece_box.hi[2] <= 430 + 25
        says = d.suits(0)["height_mm"].says
        assert "on the foot rail" in says and "floor" not in says
    assert "on the floor" in at_counter(0).suits(0)["height_mm"].says


@pytest.mark.parametrize("shape", [0, 1])
@pytest.mark.parametrize("counter", [865, 920, 1065])
def test_a_counter_stool_has_no_opening_that_holds_a_head(counter, shape):
    d = at_counter(counter, shape=shape)
    assert [f.says for f in d.size_findings if f.what == "heads" and not f.stands] == []


def test_a_seat_too_near_its_counter_is_found_and_a_counter_as_low_as_a_table_refused():
    found = next(f for f in at_counter(920, height_mm=720).size_findings if f.what == "seat to counter top")
    assert not found.stands and found.mend == "A seat of 620 to 670 mm."
    with pytest.raises(ValueError, match="as low as a table; give 750 to 1120 mm, 0 for none"):
        make(NAME, Brief(), counter_mm=600)


def step(**sizes):
    items = (Item(name="step", form=NAME, sizes={"made_to": 1, **sizes}), Item(name="stool", form=NAME, sizes={"counter_mm": 920}))
    return derive(Commission(ref="S-7", title="stools", brief=Brief(people=2, child_ages=(3,)), items=items))


# ANSUR II (2012): a man's foot is 293 mm long at the 95th of 100 (sizing.md).
def test_a_step_for_a_child_is_sized_to_stand_on_and_the_seat_beside_it_to_sit_on():
    d = step()
    sizes = d.made[0].sizes
    assert 200 <= sizes["height_mm"] <= 300 and sizes["width_mm"] >= 293 and sizes["length_mm"] >= 350
    assert d.made[1].sizes["height_mm"] == 645, "the other piece of the job is a seat at its counter"
    assert d.suits(0) == {} and d.suits(1)
    found = {f.what: f for f in d.size_findings if f.piece == "step"}
    assert {"tipping over its side, stood on", "tipping over its front, stood on", "stood on"} <= set(found)
    assert all(found[what].stands for what in found if "stood on" in what or what == "heads")


# By hand: leaning out by 20/600 of the weight 950 mm over a tread of 230 mm asks for 39 mm; a foot 50 mm from the edge leaves 11 mm.
def test_a_tread_far_past_its_feet_tips_and_a_high_narrow_one_is_looked_at():
    far = {f.what: f for f in step(height_mm=230, splay_deg=0, rake_deg=0, overhang_end_mm=40).size_findings if f.piece == "step"}
    tips = far["tipping over its side, stood on"]
    assert not tips.stands and "at 11 mm or less" in tips.says
    high = {f.what: f for f in step(height_mm=420, width_mm=220).size_findings if f.piece == "step"}
    assert not high["stood on"].stands and "second step" in high["stood on"].mend


def test_a_step_stool_is_added_by_its_own_name_or_by_what_it_is_called():
    from studio_lib.forms import STEP, begun

    for form_name, called, step in ((STEP, "for the basin", True), ("stool", "Step for the basin", True), ("stool", "footstep stool", False),
                                    ("stool", "kitchen stool", False), ("bench", "step bench", False)):
        item = begun(form_name, called)
        assert (item.sizes == {"made_to": 1.0}) == step and item.name == called
        assert item.form == ("bench" if form_name == "bench" else "stool")


def at_a_counter(words: str, **brief):
    c = Commission(ref="C26-009", title="a job", brief=Brief(asked=words, **brief), items=(Item(name="stool", form=NAME),))
    return derive(c).made[0]


@pytest.mark.parametrize(("words", "counter"), [
    ("Three stools for our kitchen counter, it is 920 high.", 920), ("For the island, which is 36 in high.", 914.4), ("A stool for the worktop at 92 cm.", 920),
    ("A bar of 1,100 guests.", 0), ("Stools 65 cm high for the counter.", 0), ("The counter is 3.2 m long.", 0), ("For the bar (42 inches).", 1066.8), ("The counter is 600 high.", 0),
])
def test_the_counter_in_a_clients_words_is_proposed(words, counter):
    made = at_a_counter(words)
    assert made.sizes["counter_mm"] == pytest.approx(counter, abs=0.5), "to the whole mm"
    assert not counter or (counter - 300 <= made.sizes["height_mm"] <= counter - 250 and "client's words" in made.proposals["counter_mm"].why)


def test_a_counter_is_proposed_to_no_step_and_gives_way_to_the_makers_own():
    words = Brief(asked="A stool for the counter, it is 920 high.")
    assert settled(FORMS[NAME], words, Surroundings("oak"), {"made_to": 1})["counter_mm"] == 0
    assert settled(FORMS[NAME], words, Surroundings("oak"), {"counter_mm": 0.0})["height_mm"] < 500


# CPSC public playground handbook B.2.5.1: what opens to more than 89 mm opens to more than 229 mm.
@pytest.mark.parametrize("out", [250, 280, 300, 320, 350, 400, 450])
def test_a_stool_that_goes_under_the_counter_is_no_deeper_than_it_sticks_out_and_holds_no_head(out):
    made = at_a_counter(f"A stool for the counter, it is 920 high and sticks out {out}. They go right under.", children=True)
    deep = made.piece.overall_mm[1]
    assert deep <= max(out, 300) and "the counter, which sticks out" in made.proposals["width_mm"].why or out >= 400
    assert ("past it" in made.proposals["width_mm"].why) == (out < 300)
    assert not [h for h in FORMS[NAME].holes(made.sizes) if 89 <= min(h[1], h[2]) <= 229]


def test_a_stool_that_stays_out_is_as_deep_as_ever():
    typed = at_counter(920.0, under_mm=320.0).made[0]
    assert typed.sizes["width_mm"] <= 320 and "the counter, which sticks out 320 mm" in typed.proposals["width_mm"].why
    stays = at_a_counter("A stool for the counter, it is 920 high and sticks out 300.")
    assert stays.sizes["width_mm"] == at_a_counter("A stool for the counter, it is 920 high.").sizes["width_mm"] > 300
    short = at_a_counter("A stool for the counter, it is 920 high and sticks out 150. It goes under.")
    assert short.sizes["width_mm"] == stays.sizes["width_mm"] and "too little" in short.proposals["width_mm"].why
