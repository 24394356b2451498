"""What is refused, what is only warned of, and the way forward each gives."""

from datetime import date, timedelta
from decimal import Decimal

import pytest

from studio_lib.brief import refusals as r
from studio_lib.brief.stops import HELD, Accepted, is_stop, key_of, papers_held, stops
from studio_lib.finding import Verdict
from studio_lib.timber import timber

TODAY = date(2026, 11, 25)
OAK = timber("European oak")


def test_wet_thick_boards_are_refused_with_the_day_they_would_be_dry():
    wet = r.drying(OAK, 250, 50, "mixed", 45, 12, TODAY, TODAY + timedelta(days=60))
    assert wet.verdict is Verdict.FAILS and is_stop(wet)
    # Two years by the old rule from 25 November 2026.
    assert "2028-11-2" in wet.mend and "kiln" in wet.mend
    assert "mm of 250 mm width" in wet.says


def test_time_turns_a_refusal_into_a_caution_and_then_into_nothing():
    verdicts = [
        r.drying(OAK, 250, 27, "mixed", 60, 16, TODAY, TODAY + timedelta(days=d)).verdict for d in (30, 150, 500)
    ]
    assert verdicts == [Verdict.FAILS, Verdict.LOOK_AGAIN, Verdict.STANDS]
    assert r.drying(OAK, 250, 27, "mixed", 13, 12, TODAY, TODAY).stands


def test_timber_that_rots_is_a_stop():
    found = r.rots(timber("European beech"), "outdoors, in the weather", 20, True)
    assert found.verdict is Verdict.FAILS and is_stop(found)


def test_a_top_screwed_fast_is_refused_and_buttons_mend_it():
    tight = r.held_rigidly("top", OAK, 900, "mixed", 10, 7, 13, 0)
    assert tight.verdict is Verdict.FAILS and is_stop(tight) and "buttons" in tight.mend
    assert r.held_rigidly("top", OAK, 900, "mixed", 10, 7, 13, tight.demand + 0.1).stands


def test_a_light_screen_blows_over_and_the_foot_it_asks_for_holds():
    def screen(foot):
        return r.tipped_by_wind("screen", 1200, 1800, 0.8, 400, foot, 20, 1.3)

    blown = screen(200)
    assert blown.verdict is Verdict.FAILS and is_stop(blown) and "engineer" in blown.mend
    need = float(blown.mend.split("foot of ")[1].split(" mm")[0])
    assert screen(need * 1.2).verdict is Verdict.STANDS and screen(need * 0.9).verdict is Verdict.FAILS


def test_an_open_screen_says_by_which_rule_it_was_reckoned():
    found = r.tipped_by_wind("screen", 1200, 1800, 0.5, 400, 200, 20, 1.3)
    assert "open frame" in found.rule and "from memory" in found.source


def test_a_lean_tips_a_light_screen_but_not_a_low_heavy_case():
    # 250 N on feet 720 mm out just holds 100 N at 1200 mm with 1.5 to spare: 250 x 720 = 1.5 x 100 x 1200.
    assert r.pulled_over("screen", 250, 715, 1800, "a child's pull").verdict is Verdict.FAILS
    assert r.pulled_over("screen", 250, 725, 1800, "a child's pull").verdict is Verdict.LOOK_AGAIN
    assert r.pulled_over("chest", 600, 250, 700, "a lean").verdict is Verdict.FAILS
    assert r.pulled_over("chest", 900, 250, 700, "a lean").verdict is Verdict.STANDS


# By hand: 100 N at 440 mm with 1.5 to spare turn it with 66 N m; 327 N x 0.211 m = 69, 287 N x 0.211 m = 60.6 hold it.
def test_what_would_keep_it_upright_is_never_there_already():
    low, short = (r.pulled_over("chest", n, 211, 440, "a child's pull", most_mm=220) for n in (327, 287))
    assert low.stands and low.mend == ""
    assert short.verdict is Verdict.LOOK_AGAIN and short.mend == "Add 3 kg low down."  # 66 / 0.211 - 287 = 25.8 N
    room = r.pulled_over("chest", 287, 211, 440, "a child's pull", most_mm=300)
    assert room.mend == "Set the feet 230 mm out from the middle, 211 mm now, or add 3 kg low down."
    barely = r.pulled_over("case", 250, 725, 1800, "a child's pull")
    assert barely.verdict is Verdict.LOOK_AGAIN and barely.mend.startswith("It stands, but barely") and "feet" not in barely.mend
    fails = r.pulled_over("case", 250, 600, 1800, "a child's pull")
    assert fails.verdict is Verdict.FAILS and "720 mm out from the middle, 600 mm now" in fails.mend and "wall" in fails.mend


def test_a_child_on_a_drawer():
    # 267 N x 300 mm = 80.1 N m against 300 N x 180 mm = 54 N m.
    tips = r.climbed_on("chest", 300, 180, 300)
    assert tips.verdict is Verdict.FAILS and is_stop(tips) and "wall" in tips.mend
    assert r.climbed_on("chest", 900, 180, 300).verdict is Verdict.STANDS


def test_anchors_by_slenderness_children_and_being_fixed():
    assert r.anchor("case", 2100, 300, 40, 0, False, False, False).verdict is Verdict.FAILS
    assert r.anchor("case", 2100, 300, 40, 0, False, False, True).stands
    assert r.anchor("case", 1200, 400, 10, 50, True, True, False).verdict is Verdict.FAILS
    assert r.anchor("case", 1200, 400, 10, 50, True, False, False).stands


def test_rails_beside_a_drop():
    climb = r.climbable_rails("bench", (200, 450, 800), 900, True)
    assert climb.verdict is Verdict.FAILS and is_stop(climb) and "200, 450 mm" in climb.says
    assert r.climbable_rails("bench", (200, 450), 900, False).verdict is Verdict.LOOK_AGAIN
    assert r.climbable_rails("bench", (200, 450), 300, True).stands
    assert r.climbable_rails("bench", (80, 860), 900, True).stands
    from_a_ledge = r.climbable_rails("screen", (80, 800), 900, True)  # 720 mm up from where a child stands on the lower one
    assert from_a_ledge.verdict is Verdict.LOOK_AGAIN and "from the ledge at 80 mm a step leads to 800 mm" in from_a_ledge.says


def test_gaps_are_judged_over_the_whole_year():
    assert r.fingers("slats", 5, 7.9, True).stands
    opens = r.fingers("slats", 5, 8.4, True)
    assert opens.verdict is Verdict.FAILS and is_stop(opens)
    assert r.fingers("slats", 5, 8.4, False).verdict is Verdict.LOOK_AGAIN
    assert r.fingers("slats", 5, 40, True).verdict is Verdict.FAILS


def test_a_child_shut_in():
    trap = r.shut_in("chest", 180, 400, 0, None, False)
    assert trap.verdict is Verdict.FAILS and is_stop(trap)
    assert all(w in trap.says for w in ("air holes", "opened from inside", "lid falls"))
    assert r.shut_in("chest", 180, 400, 1400, 30, True).stands
    assert r.shut_in("wardrobe", 180, 400, 1400, 60, None).verdict is Verdict.FAILS
    assert r.shut_in("drawer", 180, 120, 0, None, None).stands


def test_budgets_are_cautions_never_stops():
    far, near, enough = (r.budget_short(Decimal(b), Decimal(2000), Decimal(2600), "EUR") for b in (900, 2200, 3000))
    assert [f.verdict for f in (far, near, enough)] == [Verdict.FAILS, Verdict.LOOK_AGAIN, Verdict.STANDS]
    assert "35 %" in far.says and not is_stop(far)
    assert r.budget_short(Decimal(900), Decimal(2000), Decimal(2600), "EUR", "Make it a stool.").mend == "Make it a stool."


def test_a_date_counts_queue_air_glue_and_finish():
    def asked(days):
        return r.date_met(TODAY, TODAY + timedelta(days=days), r.days_needed(14, 7, 40, 30, 3, "oil", False))

    # Least: 14 queue + 7 air + 2 rest + 40/30 x 7 = 9.3 work + 3 glue + 3 oil = 38.3 days.
    assert asked(38).verdict is Verdict.FAILS and asked(39).verdict is Verdict.LOOK_AGAIN
    # Most: 14 + 21 + 7 + 14 + 3 + 5 = 64 days.
    assert asked(63).verdict is Verdict.LOOK_AGAIN and asked(64).verdict is Verdict.STANDS
    assert "2027-01-28" in asked(30).mend
    assert not is_stop(asked(30))


def test_leave_of_others():
    found = r.leave_of_others("bench", ("fixed to building", "public land"), ("public land",))
    assert [f.verdict for f in found] == [Verdict.FAILS, Verdict.STANDS]
    assert is_stop(found[0]) and "owner" in found[0].says
    assert r.leave_of_others("bench", ("rented room",))[0].verdict is Verdict.LOOK_AGAIN
    assert "electrics" in r.triggers()
    with pytest.raises(KeyError, match="fixed to building"):
        r.leave_of_others("bench", ("magic",))


def test_every_refusal_gives_arithmetic_source_and_a_way_forward():
    refused = [
        r.drying(OAK, 250, 50, "mixed", 45, 12, TODAY, TODAY), r.held_rigidly("top", OAK, 900, "mixed", 10, 7, 13, 0),
        r.tipped_by_wind("s", 1200, 1800, 0.8, 400, 100, 20, 1.3), r.pulled_over("s", 250, 100, 1800, "a lean"),
        r.climbed_on("c", 300, 180, 300), r.anchor("c", 2100, 300, 40, 0, False, False, False),
        r.climbable_rails("b", (200,), 900, True), r.fingers("s", 10, 10, True), r.heads("r", 120, 600, True, True),
        r.shut_in("c", 180, 400, 0, None, False), r.sagging("s", 1000, 250, 20, 300, 11000, 1.6, 384),
        r.budget_short(Decimal(900), Decimal(2000), Decimal(2600), "EUR"),
        r.date_met(TODAY, TODAY, r.days_needed(14, 7, 40, 30, 3, "oil", False)), *r.leave_of_others("b", tuple(r.triggers())),
    ]
    for f in refused:
        assert not f.stands and f.mend and f.source and f.rule and f.stage, f
    assert all(any(c.isdigit() for c in f.says) for f in refused if f.what != "leave of others")


@pytest.mark.parametrize(
    ("given", "words"),
    [
        (lambda: r.date_met(TODAY, TODAY - timedelta(days=24), r.days_needed(0, 0, 1, 30, 0, "oil", True)), "2026-11-01, which was 24 days ago"),
        (lambda: r.days_needed(0, 0, 1, 30, 0, "gold", True), "left bare, oil"),
        (lambda: r.drying(OAK, 250, 27, "mixed", 500, 12, TODAY, TODAY), "500 %; give 4 to 150"),
        (lambda: r.drying_days(-3, 40, 12), "Thickness is -3"),
        (lambda: r.fingers("s", 9, 5, True), "turn them round"),
        (lambda: r.fingers("s", -1, 5, True), "Least is -1"),
        (lambda: r.wind_force_n(1000, 1000, 1.4, 20, 1.3), "Solid share is 1.4"),
        (lambda: r.wind_force_n(1000, 1000, 1, 300, 1.3), "metres a second"),
        (lambda: r.pulled_over("s", 1, 1, 1, "an elephant"), "a lean"),
        (lambda: r.budget_short(Decimal(-5), Decimal(1), Decimal(2), "EUR"), "Budget is -5"),
        (lambda: r.rots(OAK, "on the moon", 5, False), "indoors, heated"),
        (lambda: r.sagging("s", 0, 1, 1, 1, 1, 1, 300), "Span is 0"),
        (lambda: r.sagging("s", 9, 1, 1, 1, 1, 0.2, 300), "Creep is 0.2"),
    ],
)
def test_nonsense_gets_a_sentence(given, words):
    with pytest.raises(ValueError, match=words):
        given()


# ------------------------------------------------------------------ stops


def _trap():
    return r.shut_in("chest", 180, 400, 0, 20, True)


def test_a_stop_holds_the_papers_until_someone_answers_for_it():
    trap = _trap()
    (stop,) = stops([trap, r.fingers("s", 5, 6, True)])
    assert stop.holds and papers_held([stop]) == HELD and "cutting list" in HELD
    signed = Accepted(key_of(trap), "head librarian", date(2026, 11, 30), "it stands open and holds cushions")
    (stop,) = stops([trap], [signed])
    assert not stop.holds and papers_held([stop]) == ()
    assert "head librarian on 2026-11-30" in stop.says and "cushions" in stop.says


def test_an_acceptance_covers_only_its_own_stop_and_goes_with_it():
    signed = Accepted(key_of(_trap()), "client", TODAY, "known")
    other = r.shut_in("wardrobe", 180, 400, 0, 20, None)
    found = stops([_trap(), other], [signed])
    assert [s.holds for s in found] == [True, False]
    assert stops([r.shut_in("chest", 180, 400, 1400, 20, True)], [signed]) == ()


def test_cautions_and_open_questions_never_stop():
    assert not is_stop(r.fingers("s", 5, 8.4, False))
    assert stops([r.budget_short(Decimal(1), Decimal(2000), Decimal(2600), "EUR")]) == ()


@pytest.mark.parametrize("missing", ["key", "role", "reason"])
def test_an_acceptance_wants_who_and_why(missing):
    given = dict(key="k", role="client", on=TODAY, reason="known") | {missing: " "}
    with pytest.raises(ValueError, match="To accept a stop"):
        Accepted(**given)
    with pytest.raises(ValueError, match="give a date"):
        Accepted("k", "client", "tomorrow", "known")


# By hand: 240 likely and 300 safe hours at 40 a week are 42 and 52.5 days of the calendar.
def test_hours_of_a_price_take_the_place_of_half_as_much_again():
    work = next(row for row in r.days_needed(0, 7, 240, 40, 2, "oil", True, 300) if "hours" in row[0])
    assert work == ("240 to 300 hours at 40 a week", pytest.approx(42), pytest.approx(52.5))
    with pytest.raises(ValueError, match="Safe hours are 200, under the 240 likely"):
        r.days_needed(0, 7, 240, 40, 2, "oil", True, 200)
