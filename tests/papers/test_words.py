"""The sentences on the papers: dates that agree with the checks, words that suit the place."""

from datetime import date, timedelta

import pytest

from studio_lib.costing.billing import before_it_goes
from studio_lib.demo import demo
from studio_lib.derive import derive
from studio_lib.handover import delivery_note
from studio_lib.papers import words
from studio_lib.shop.calendar import plan

DAY = date(2026, 11, 25)
HEATED = "indoors, heated"


def queued(weeks):
    return demo().changed("brief.queue_weeks", weeks).changed("shop.start", None)


# By hand, oil indoors, 30 weeks of queue: 210 days + 7 to 21 at rest in the workshop + 2 to 7
# after rough cutting + the hours at 24 a week + a night of glue for each stage + 3 to 5 for oil. Weekends that fall into
# a wait cost the work nothing, and a day begun is a whole one: a week either way.
def test_the_quote_reckons_queue_rest_glue_and_finish():
    d = derive(queued(30).changed("brief.finish", "oil").changed("shop.start", None).changed("shop.other_jobs", ()).changed("shop.holidays", ()))
    nights = 6  # four for the table's frame, its ends first, and two for the stool
    least = 210 + 7 + 2 + 7 * float(d.price.hours_at(50)) / 24 + nights + 3
    most = 210 + 21 + 7 + 7 * float(d.price.hours_at(80)) / 24 + nights + 5
    likely, safe = words.weeks(d, DAY)
    assert abs(7 * likely - least) <= 10 and abs(7 * safe - most) <= 10
    assert words.when(d, DAY).startswith(f"{likely} to {safe} weeks from your order to delivery")
    assert "30 weeks until its turn" in words.when(d, DAY)


def test_the_quote_and_the_workshops_calendar_name_the_same_days():
    for c in (demo(), demo().changed("shop.start", None)):
        d = derive(c)
        made, rows = d.plan(DAY), d.days_from_order(DAY)
        assert sum(r[1] for r in rows) == (made.finish_likely - DAY).days
        assert sum(r[2] for r in rows) == (made.finish_safe - DAY).days


def test_other_jobs_in_hand_put_the_last_day_to_order_off():
    free = derive(demo().changed("shop.start", None).changed("shop.other_jobs", ()))
    away = derive(free.commission.changed("shop.other_jobs", [{"first": "2027-03-15", "last": "2027-04-09", "what": "a stair"}]))
    assert away.last_day_to_order < free.last_day_to_order
    said = words.order_soon(derive(demo().changed("shop.start", "2027-04-26")), DAY)
    assert "No order is safely ready by the date wanted" in said and "Workshop" in said


def test_a_date_the_check_rules_out_is_not_promised():
    d = derive(queued(30))
    assert not d.date_finding(DAY).stands
    said = words.when(d, DAY)
    assert "1 May 2027" in said and "cannot be met" in said and "last day to order" not in said


def test_the_last_day_to_order_leaves_the_safe_time():
    d = derive(demo())
    latest = d.last_day_to_order
    # A week to buy the boards, then the steps on the days worked.
    for later, met in ((0, True), (1, False)):
        begun = latest + timedelta(days=later + 7)
        assert (plan(d.work_steps, begun, d.work_days).finish_safe <= date(2027, 5, 1)) == met
    assert f"The last day to order for that is {words.date_words(latest)}" in words.when(d, DAY)
    assert "last day to order" not in words.when(d, latest + timedelta(days=1))
    assert "only if nothing is delayed" in words.when(d, latest + timedelta(days=1))


@pytest.mark.parametrize("place", [HEATED, "indoors, unheated"])
def test_indoor_papers_speak_of_rooms_not_of_weather(place):
    d = derive(demo().changed("brief.place", place).changed("timber.species", "European oak")
               .changed("timber.making_moisture_pct", None).changed("brief.ground", ""))
    assert d.species.tannin != "none"
    said = " ".join([*words.may_differ(d), *words.paragraphs(d), *(text for _, text in words.heard(d)), *words.EXCLUDED])
    for outdoors in ("weather", "paving", "brown water", "grey outdoors", "wind"):
        assert outdoors not in said, outdoors
    assert ("heating season" in said) == (place == HEATED) and "damp season" in said


def test_outdoor_papers_warn_of_run_off():
    said = " ".join(words.may_differ(derive(demo().changed("timber.species", "European oak"))))
    assert "brown water" in said and "weather" in said


def test_a_stain_the_client_forbade_is_told_before_the_quote_goes_and_the_quote_refers_to_it():
    asked = demo().changed("timber.species", "European oak").changed("brief.wants.no_tannin_run", 2)
    told = [s for s in before_it_goes(derive(asked), "A joiner", DAY) if s.startswith("What the client forbade")]
    assert len(told) == 1 and "brown" in told[0].lower() and "pads or trays" in told[0]
    assert "You asked that nothing be stained" in " ".join(words.may_differ(derive(asked)))
    calm = derive(asked.changed("brief.wants.no_tannin_run", 1))
    assert not any("forbade" in s for s in before_it_goes(calm, "A joiner", DAY))
    assert "You asked that nothing" not in " ".join(words.may_differ(calm))


@pytest.mark.parametrize(("timber", "place", "years", "said"), [
    # EN 350 guide lives: class 1-2 at least 15; AS 5604 class 2 above ground 15 to 40, exposed.
    ("Iroko", "outdoors, under cover", 30, "at least 15; nobody has published more for such a place"),
    ("Iroko", "outdoors, in the weather", 10, "resists decay at least 15."),
    ("Jarrah", "outdoors, in the weather", 30, "lasts 15 to 40 where it stands, so they may be reached and are no promise"),
    ("Jarrah", "outdoors, in the weather", 50, "lasts 40 at the most where it stands"),
])
def test_the_quote_says_once_how_long_it_is_to_last_and_on_what_conditions(timber, place, years, said):
    c = demo().changed("timber.species", timber).changed("brief.place", place).changed("brief.years_wanted", years)
    c = c.changed("timber.details", {"drained": True, "end_grain_sealed": True, "off_the_ground": True, "traps_water": False, "roofed": False})
    told = [line for line in words.may_differ(derive(c)) if line.startswith(f"You asked for {years} years")]
    assert len(told) == 1 and said in told[0] and "heartwood" in told[0] and "once a year" in told[0]


def test_what_is_included_is_what_is_priced():
    d = derive(demo())
    assert "delivery, 36 km there and back, and setting in place" in words.included(d)
    assert "care sheet" not in " ".join(words.included(d))


def several():
    """Wood that rots, legs broken into by two tenons, and a door too small."""
    return (
        demo().changed("timber.species", "European beech").changed("items.0.joints.apron into leg.length_mm", 55)
        .changed("brief.openings", [{"kind": "door", "name": "side door", "width_mm": 700, "height_mm": 900}])
    )


def test_the_client_is_not_asked_about_joints():
    d = derive(several())
    assert any(s.finding.stage == "joints" for s in d.stops)
    said = words.in_the_way(d, DAY)
    assert any("durability" in line for line in said)
    assert not any("mortise" in line for line in said)


def test_each_matter_is_asked_once_and_not_when_answered():
    d = derive(demo().changed("brief.needs_leave", ["rented room", "fixed to building"]).changed("brief.leave_given", []))
    said = words.in_the_way(d, DAY)
    assert sum("fixed to building" in line for line in said) == 1 == sum("rented room" in line for line in said)
    stop = next(s for s in d.stops if "fixed to building" in s.key)
    answered = d.commission.changed("accepted", [
        {"key": stop.key, "role": "client", "on": "2026-11-25", "reason": "asked and waiting"}])
    assert not any("fixed to building" in line for line in words.in_the_way(derive(answered), DAY))


def test_one_stop_is_told_whole_and_several_are_told_in_short():
    one = words.held(derive(demo().changed("brief.use", "household").changed("timber.species", "European beech")))
    assert one.startswith("NOT TO BE MADE until this is answered: ") and one.endswith(".")
    many = words.held(derive(several()))
    n = int(many.removeprefix("NOT TO BE MADE until these ").split()[0])
    assert n == len({(s.finding.piece, s.finding.subject, s.finding.what) for s in derive(several()).stops if s.holds}) >= 3
    assert " First: " in many and "mortises" not in many.split(" Then: ")[0]
    assert " Then: " in many and many.endswith(".") and ".." not in many
    assert len(many) < 600
    assert words.not_firm(derive(several())).endswith(". This is not a firm price.")


def test_a_last_day_to_order_that_is_near_is_said_before_the_quote_goes_and_beside_its_validity():
    d = derive(demo())
    last, holds = d.last_day_to_order, d.commission.rates.valid_days
    near, far = last - timedelta(days=4), last - timedelta(days=holds)
    said = before_it_goes(d, "A joiner", near)
    assert any(f"is {words.date_words(last)}, in 4 days" in s and "the price holds until" in s for s in said)
    assert f"Only when ordered by {words.date_words(last)} is it ready by 1 May 2027" in words.terms(d, near)[0]
    # With time enough nothing is said, nor while no day is wanted.
    assert not any("last day to order" in s for s in before_it_goes(d, "A joiner", far))
    assert "Only when" not in words.terms(d, far)[0]
    free = derive(demo().changed("brief.wanted_by", None))
    assert not any("order" in s for s in before_it_goes(free, "A joiner", near)) and "Only when" not in words.terms(free, near)[0]
    # A day too late it is no longer promised, and nothing bounds the price by a day gone by; what the brief says is said.
    late, much_later = last + timedelta(days=1), last + timedelta(days=45)
    told = " ".join(before_it_goes(d, "A joiner", late))
    assert "It is ready by 1 May 2027 if all goes well and not safely" in told and d.date_finding(late).says in told
    assert any("too late to promise 1 May 2027" in s for s in before_it_goes(d, "A joiner", much_later))
    assert "Only when" not in words.terms(d, late)[0]


def test_within_two_weeks_it_is_said_even_where_the_price_holds_shorter():
    d = derive(demo().changed("rates.valid_days", 7))
    last = d.last_day_to_order
    said = words.order_soon(d, last - timedelta(days=14))
    assert "in 14 days" in said and "price holds" not in said
    assert words.order_soon(d, last - timedelta(days=15)) == ""


def test_delivery_at_the_start_is_said_before_the_quote_goes():
    def told(km):
        return any("Delivery is reckoned at 0 km" in s for s in before_it_goes(derive(demo().changed("rates.delivery_km", km)), "A joiner", DAY))

    assert told(0) and not told(12)


def test_years_that_hang_on_care_say_so_where_none_will_be_given():
    base = demo().changed("brief.years_wanted", 40)
    assert "end grain sealed again" in words.lasts(derive(base))[0] and "count on less" not in words.lasts(derive(base))[0]
    uncared = words.lasts(derive(base.changed("brief.care_done", "none")))[0]
    assert "wood that is looked after" in uncared and uncared.endswith("no care will be given, so count on less, and I promise no number.")


@pytest.mark.parametrize("care", ["", "none"])
@pytest.mark.parametrize("timber", ["Iroko", "Jarrah"])
def test_years_that_nobody_asked_for_are_promised_nowhere(timber, care):
    c = demo().changed("timber.species", timber).changed("brief.years_wanted", 20).changed("brief.care_done", care)
    said = words.lasts(derive(c))
    assert len(said) == 1 and said[0].startswith("How long it lasts: by published figures") and "20" not in said[0] and "Made to last" not in said[0]
    assert dict(words.heard(derive(c)))["To last"] == "20 years, taken until you say for how many"
    assert dict(words.heard(derive(c.changed("brief.years_wanted", 30))))["To last"] == "30 years"


def test_sales_tax_that_the_buyer_owes_is_said_to_be_left_out():
    c = demo().changed("rates.tax_name", "sales tax").changed("rates.tax_rate", 0)
    assert "Sales tax is not included." in words.terms(derive(c), DAY)


def test_a_wide_top_is_said_to_come_and_go_and_slats_are_not_said_twice():
    from studio_lib.commission import Item

    top = demo().changed("brief.place", "indoors, heated").changed("items", [Item(name="table", form="table", sizes={"width_mm": 762.0}).model_dump(mode="json")])
    (said,) = words.comes_and_goes(derive(top))
    d = derive(top)
    by = d.movement_mm(762.0, d.moisture.high_pct) - d.movement_mm(762.0, d.moisture.low_pct)
    assert f"the top of the table, 762 mm across its grain, by about {by:.0f} mm" in said and said in words.may_differ(d)
    assert words.comes_and_goes(derive(demo())) == [], "its slats lie apart, and their gaps are told"


def cased(**brief):
    from studio_lib.commission import Commission, Item

    c = Commission(ref="C9", title="Bookcase", items=(Item(name="bookcase", form="bookcase"), Item(name="stool", form="stool")))
    c = c.changed("timber.species", "European ash")
    for name, value in brief.items():
        c = c.changed(f"brief.{name}", value)
    return c


def test_what_the_maker_fixes_to_the_wall_is_in_the_price_and_among_what_is_included():
    """The installation note, what is included and the sum agree; the stool is not fixed."""
    from studio_lib.costing.operations import FIX_TO_WALL

    c = cased()
    left = c.changed("rates.extra_work", [{"operation": FIX_TO_WALL, "count": 0}])
    d, other = derive(c), derive(left)
    assert "fixing the bookcase to the wall, with the fixings" in words.included(d)
    assert not any("fixing" in line and "bookcase" in line for line in words.excluded(d)) and "fixing down or anchoring anything else" in words.excluded(d)
    assert d.price.gross > other.price.gross
    assert [(line.what, line.quantity) for line in d.price.materials if "wall fixing" in line.what] == [("wall fixing, screw and plug for its wall", 2)]
    assert "The maker fixes it: it is in the price." in dict(delivery_note(d).fixing)["bookcase"]
    assert "fixing the bookcase to the wall: you have it done before it is used, as the installation note says" in words.excluded(other)
    assert not any("to the wall" in line for line in words.included(other)) and not any("wall fixing" in line.what for line in other.price.materials)
    assert "the client has it fixed before it is used" in dict(delivery_note(other).fixing)["bookcase"]


def test_where_nothing_may_be_drilled_no_fixing_is_priced():
    free = derive(cased(nothing_drilled=True))
    assert not any("to the wall" in line for line in words.included(free)) and not free.work_proposed
    d = derive(cased(nothing_drilled=True).changed("items.0.sizes.wall", 1))
    assert not any("to the wall" in line for line in words.included(d)) and not d.work_proposed
    assert any("nothing may be drilled there" in line for line in words.excluded(d))


def test_who_fixes_a_screen_is_said_alike_on_the_quote_and_the_installation_note():
    from studio_lib.commission import Commission, Item
    from studio_lib.costing.operations import FIX_SCREEN

    c = Commission(ref="C9", title="Screen", items=(Item(name="screen", form="framed screen", sizes={"stands": 4}),)).changed("timber.species", "European oak")
    own, left, bought = derive(c), derive(c.changed("rates.extra_work", [{"operation": FIX_SCREEN, "count": 0}])), derive(c.changed("rates.bought_in", [{"what": "wall fixings", "price": 50}]))
    assert any(line.startswith("fixing the screen to a wall at one end") for line in words.included(own)) and "The maker fixes it" in dict(delivery_note(own).fixing)["screen"]
    assert not any("fixings for the screen" in line for line in words.excluded(own)) and own.to_settle == [] and own.price.net > left.price.net
    assert any(line.what.startswith("screen fixing") and line.quantity == 3 for line in own.price.materials)
    assert any("fixings for the screen" in line for line in words.excluded(left)) and "the client has it done" in dict(delivery_note(left).fixing)["screen"]
    assert not any("screen fixing" in line.what for line in (*left.price.materials, *bought.price.materials))
    assert "wall fixings" in words.included(bought) and not any("fixings for the screen" in line for line in words.excluded(bought))
    assert "in the price" in dict(delivery_note(bought).fixing)["screen"] and "the client has it done" not in dict(delivery_note(bought).fixing)["screen"]


def test_delivery_that_is_not_in_the_price_is_said():
    c = demo()
    assert any("delivery" in line for line in words.included(derive(c))) and not any("delivery" in line for line in words.excluded(derive(c)))
    fetched = derive(c.changed("rates.delivery_km", 0))
    assert not any("delivery" in line for line in words.included(fetched)) and any("fetched from the workshop" in line for line in words.excluded(fetched))
