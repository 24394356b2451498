"""Choosing: the unfit out, the rest in an order that can be explained."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from studio_lib.timber import PLACES, Wants, all_species, fit_for_place, rank, timber
from studio_lib.timber.choice import Plain, as_asked, said_of_liked, tone_mark
from studio_lib.timber.provenance import Unwanted
from studio_lib.timber.wear import wear_of

HEATED, _, _, WEATHER = PLACES
NOTHING = Wants("any", True, 0, 0, 0, 0, 0)


def placed(wants, place=HEATED):
    return {c.species: c for c in rank(wants, place, 15, True)}


def test_what_is_on_a_list_of_threatened_trees_comes_after_what_is_not_unless_it_is_asked_for():
    # Pericopsis elata is in CITES Appendix II: cites.org, appendices; on file with each timber.
    by = placed(NOTHING)
    order = [c.species for c in rank(NOTHING, HEATED, 15, False)]
    assert "CITES Appendix" in by["Afrormosia"].protected and by["European oak"].protected == ""
    assert order.index("Afrormosia") > order.index("European oak") and "no list of threatened trees" in by["Afrormosia"].reasons[1]
    asked = rank(NOTHING, HEATED, 15, False, liked=("Afrormosia",))
    assert asked[0].species == "Afrormosia" and asked[0].protected == ""


def test_every_timber_is_there_and_the_unfit_come_last_with_their_reason():
    choices = rank(NOTHING, WEATHER, 15, True)
    assert len(choices) == len(all_species())
    out = [c.ruled_out for c in choices]
    assert out == sorted(out) and any(out) and not all(out)
    scores = [(c.treated, bool(c.protected), -c.score) for c in choices if not c.ruled_out]
    assert scores == sorted(scores)
    beech = next(c for c in choices if c.species == "European beech")
    assert beech.score == 0 and "not durable enough" in beech.reasons[0]
    assert beech.fit == fit_for_place(timber("European beech"), WEATHER, 15, True)


@pytest.mark.parametrize(
    ("want", "better", "worse"),
    [
        # FPL-GTR-190 table 13-5: 0.00169 against 0.00431 per 1 %.
        ("low_movement", "Northern white cedar", "American beech"),
        # FPL-GTR-190 table 5-3a: specific gravity 0.31 against 0.72.
        ("low_weight", "Northern white cedar", "Mockernut hickory"),
        # FPL-GTR-190 table 5-3a: side hardness 8,800 against 1,400 N.
        ("hard_surface", "Mockernut hickory", "Northern white cedar"),
        # FPL-GTR-190 table 10-1: basswood bonds easily, teak with difficulty.
        ("easy_to_work", "American basswood", "Teak"),
        # From memory: sycamore does not stain, merbau runs.
        ("low_tannin", "American sycamore", "Kwila / merbau"),
    ],
)
def test_a_want_lifts_the_timber_that_has_it(want, better, worse):
    found = placed(replace(NOTHING, **{want: 2}))
    assert found[better].score > found[worse].score
    assert any(r.startswith("+") for r in found[better].reasons[1:])
    assert any(r.startswith("-") for r in found[worse].reasons[1:])


def test_a_score_worked_by_hand():
    # Indoors maple stands: 1 at weight 2. Tone light as asked: 1 at weight 2. Gluing
    # moderate and tannin none: tannin 1 at weight 1. Mean 1.
    found = placed(Wants("light", True, 0, 0, 0, 0, 1))
    assert found["Sugar maple (hard maple)"].score == 100
    # European oak: stands 1 x 2, mid beside light 0.5 x 2, tannin strong 0 x 1: 3 of 5.
    assert found["European oak"].score == 60
    # Merbau: stands 1 x 2, dark 0 x 2, tannin strong 0 x 1: 2 of 5.
    assert found["Kwila / merbau"].score == 40


def test_a_figure_not_on_file_counts_against_and_says_so():
    elm = placed(replace(NOTHING, hard_surface=2))["Rock elm"]
    assert elm.score == 50 and "- hardness not on file" in elm.reasons


def test_what_to_know_before_buying_is_said():
    found = placed(replace(NOTHING, may_go_grey=False), WEATHER)
    assert any("CITES" in r for r in found["Afrormosia"].reasons)
    assert any("alveolitis" in r for r in found["Western red cedar"].reasons)
    assert any("grey" in r for r in found["Teak"].reasons)
    assert not any("grey" in r for r in placed(NOTHING, WEATHER)["Teak"].reasons)


levels = st.integers(0, 2)


@given(st.builds(
    Wants, st.sampled_from(["any", "light", "mid", "dark"]), st.booleans(),
    levels, levels, levels, levels, levels,
))
def test_scores_stay_between_0_and_100(wants):
    assert all(0 <= c.score <= 100 for c in rank(wants, WEATHER, 15, False))


def test_wants_outside_their_scale_are_refused():
    with pytest.raises(ValueError, match="low_weight is 3; 0 not at all"):
        replace(NOTHING, low_weight=3)
    with pytest.raises(ValueError, match="light_or_dark is 'pale'; allowed: any, light"):
        replace(NOTHING, light_or_dark="pale")


HARD = wear_of({"bench"}, False, True)


def test_what_a_piece_must_bear_hangs_on_form_and_use():
    assert wear_of({"bookcase"}, True, True).level == 0
    assert wear_of({"slatted table", "bookcase"}, False, False).level == 1
    assert wear_of({"slatted table"}, True, False).level == 2
    assert HARD.level == 2 and HARD.what == "a seat that children climb on"


def test_soft_timbers_do_not_lead_for_a_bench_that_children_climb_on():
    wants = Wants("any", True, 1, 1, 1, 1, 0)
    before = rank(wants, PLACES[1], 20, False)
    after = rank(wants, PLACES[1], 20, False, HARD)
    assert timber(before[0].species).group == "softwood"
    first = [timber(c.species) for c in after[:20]]
    assert all(s.group == "hardwood" and s.hardness_n >= 4200 for s in first)
    # Once a softer one comes, no harder one follows.
    soft = [c.too_soft for c in after if not c.ruled_out]
    assert soft == sorted(soft) and any(soft)
    assert all(any("hardness" in r for r in c.reasons) for c in after)


def test_a_liked_timber_comes_first_where_it_lasts_and_else_is_told_of():
    wants = Wants("any", True, 1, 1, 1, 1, 0)
    inside = rank(wants, PLACES[1], 20, False, HARD, ("European oak", "Norway spruce (whitewood)"))
    assert [c.species for c in inside[:2]] == ["European oak", "Norway spruce (whitewood)"]
    assert all(c.liked for c in inside[:2]) and not any(c.liked for c in inside[2:])
    assert any(r.startswith("- ") and "too soft" in r for r in inside[1].reasons)
    (oak, can), (spruce, _) = said_of_liked(inside, ("European oak", "Norway spruce (whitewood)"))
    assert can and "can be used" in oak and "too soft" in spruce
    beech = rank(wants, WEATHER, 20, True, HARD, ("European beech",))
    assert beech[0].species != "European beech"
    ((said, can),) = said_of_liked(beech, ("European beech",))
    assert not can and "cannot be used here" in said and "not durable enough" in said


def test_every_row_says_why():
    for choice in rank(Wants("any", True, 1, 1, 1, 1, 0), HEATED, 20, False):
        assert len(choice.reasons) > 1, choice.species


def test_timbers_not_wanted_stand_after_all_that_are_with_their_reason():
    wants = Wants("any", True, 1, 1, 1, 1, 0)
    unwanted = Unwanted(("European walnut",), no_tropical=True)
    before, after = rank(wants, HEATED, 20, False, HARD), rank(wants, HEATED, 20, False, HARD, unwanted=unwanted)
    assert before[0].species in ("Iroko", "European walnut")
    flags = [bool(c.unwanted) for c in after if not c.ruled_out]
    assert flags == sorted(flags) and sum(flags) == 10
    iroko = next(c for c in after if c.species == "Iroko")
    assert iroko.reasons[0] == "- not wanted: no tropical timber is wanted and it grows in tropical Africa"
    assert iroko.score == next(c for c in before if c.species == "Iroko").score, "its points stay what they are"
    ((said, can),) = said_of_liked(rank(wants, HEATED, 20, False, HARD, ("Teak",), unwanted=unwanted), ("Teak",))
    assert not can and "liked by the client and not wanted at once" in said


@pytest.mark.parametrize("form", ["bookcase", "slatted table", "bench"])
def test_under_cover_outdoors_no_maker_is_led_to_beech_before_oak(form):
    wants = Wants("any", True, 1, 1, 1, 1, 0)
    found = rank(wants, PLACES[2], 20, False, wear_of({form}, False, False))
    at = {c.species: i for i, c in enumerate(found)}
    # EN 350: oak 2-4, chestnut 2, larch 3-4, robinia 1-2; beech, ash and maple 5, spruce 4. EN 335 use class 2.
    for lasts in ("European oak", "White oak (American)", "Sweet chestnut", "European larch", "Black locust"):
        for rots in ("European beech", "American beech", "European ash", "Sugar maple (hard maple)", "Norway spruce (whitewood)"):
            assert at[lasts] < at[rots], (lasts, rots)
    beech = found[at["European beech"]]
    assert beech.treated and any("treatment advisable" in r for r in beech.reasons) and not beech.ruled_out
    inside = {c.species: i for i, c in enumerate(rank(wants, HEATED, 20, False, wear_of({form}, False, False)))}
    assert inside["European beech"] < inside["European oak"], "indoors beech is as good as it is hard"


# From memory: the trade calls jarrah, sapele and mahogany red, walnut and iroko brown, ash and maple pale.
@pytest.mark.parametrize(("asked", "leads", "behind"), [
    ("dark red", "Jarrah", "Black walnut"), ("dark red", "Jarrah", "Black cherry"), ("dark red", "Sapele", "Afrormosia"), ("red", "Black cherry", "European walnut"),
    ("red", "American mahogany (bigleaf)", "European oak"), ("brown", "European walnut", "Jarrah"), ("golden", "European oak", "Sapele"), ("golden", "European oak", "American basswood"),
    ("warm", "Black cherry", "Sugar maple (hard maple)"), ("warm", "European larch", "White ash"),
])
def test_a_hue_asked_for_leads_timbers_of_that_hue(asked, leads, behind):
    found = placed(replace(NOTHING, light_or_dark=asked))
    assert found[leads].score > found[behind].score
    assert f"+ {timber(leads).tone} in tone, {asked} asked for" in found[leads].reasons


def test_a_hue_takes_in_no_timber_far_from_it():
    assert tone_mark(timber("European ash"), "dark red") == 0.0 and not as_asked(timber("Black walnut"), "red")
    assert as_asked(timber("Jarrah"), "dark red") and as_asked(timber("Jarrah"), "any") and not as_asked(timber("Jarrah"), "dark")


# D. Cirule and others, Wood discoloration patterns depending on the light source, Heritage Science 2022, doi 10.1186/s40494-022-00795-2, abstract:
# under the lamps of a room birch and oak keep their colour better than spruce and pine.
@pytest.mark.parametrize("keeps", ["Paper birch", "European oak"])
@pytest.mark.parametrize("turns", ["Norway spruce (whitewood)", "Scots pine (redwood)"])
def test_a_timber_that_keeps_its_colour_leads_where_that_is_wished(keeps, turns):
    found = placed(replace(NOTHING, keep_colour=2))
    assert found[keeps].score > found[turns].score
    assert any("in the light of years it turns darker and yellower" in r and r.startswith("-") for r in found[turns].reasons)


def test_colour_is_not_asked_for_outdoors_or_under_paint():
    assert [(c.species, c.score) for c in rank(replace(NOTHING, keep_colour=2), WEATHER, 15, False)] == [(c.species, c.score) for c in rank(NOTHING, WEATHER, 15, False)]
    painted = Plain(True, {})
    assert [c.score for c in rank(replace(NOTHING, keep_colour=2), HEATED, 15, False, plain=painted)] == [c.score for c in rank(NOTHING, HEATED, 15, False, plain=painted)]
