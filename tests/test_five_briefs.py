"""Five invented briefs, as an experienced maker would judge them: two go ahead, three are refused."""

from datetime import date

import pytest

from studio_lib.commission import Commission
from studio_lib.derive import derive
from studio_lib.finding import Verdict

TODAY = date(2026, 11, 25)


def brief(form, timber, **answers):
    document = Commission(ref="B1", title="a brief", client="a client").changed("timber.species", timber)
    for path, value in answers.items():
        document = document.changed("brief." + path.replace("__", "."), value)
    return document.changed("items", [{"name": "piece", "form": form}])


def said(d, what):
    return next(f for f in d.findings if f.what.startswith(what))


def test_a_terrace_table_for_a_family_of_eight_goes_ahead():
    """Oak's American cousin outdoors, household: usually enough with good detailing, so a caution and no stop."""
    d = derive(brief("slatted table", "White oak (American)", people=8, place="outdoors, in the weather", budget="7000"))
    assert d.held == () and d.piece.overall_mm[0] == pytest.approx(2650, abs=10)
    assert d.timber_findings[0].verdict is Verdict.LOOK_AGAIN
    low, likely, high = d.ballpark.gross
    assert low < likely < high and said(d, "enough money").stands


def test_reading_stools_for_a_childrens_library_are_made_small_and_safe():
    """Indoors a maple stool is sound; sized to children of 5 to 8 it is far lower than for grown people."""
    d = derive(brief("slatted stool", "Sugar maple (hard maple)", people=3, child_ages=[5, 6, 8], children_alone=True, use="public", place="indoors, heated"))
    assert {s.finding.subject for s in d.stops} == {"a brief: public use", "a brief: made for children"}, "someone who may must say so first"
    d = derive(d.commission.changed("brief.leave_given", ["public use", "made for children"]))
    assert d.held == ()
    seat = d.suits(0)["height_mm"]
    assert d.piece.overall_mm[2] == seat.proposed <= 330
    taller = derive(d.commission.changed("items.0.sizes.height_mm", 430))
    assert taller.suits(0)["height_mm"].suits_share < seat.suits_share


def test_a_beech_table_in_the_rain_is_refused():
    d = derive(brief("slatted table", "European beech", place="outdoors, in the weather", years_wanted=20))
    assert said(d, "durability").verdict is Verdict.FAILS and "firm price" in d.held
    assert said(d, "durability").mend


def test_a_whole_table_up_a_winding_stair_is_refused_with_what_must_come_apart():
    d = derive(brief("slatted table", "European ash", people=10, openings=[
        {"kind": "stair", "name": "stair to the fourth floor", "width_mm": 760, "headroom_mm": 1900, "turn": "quarter",
         "landing_depth_mm": 800}]))
    stuck = said(d, "way in")
    assert stuck.verdict is Verdict.FAILS and "come apart" in stuck.mend
    assert d.held


def test_the_clients_own_wet_oak_by_christmas_is_refused_in_millimetres_and_days():
    d = derive(brief("slatted table", "European oak", place="indoors, heated", brings_timber=True, wanted_by="2026-12-20",
                     their_timber={"moisture_pct": 40, "measured_on": "2026-11-20", "thickness_mm": 52, "width_mm": 180}))
    wet = said(d, "drying")
    assert wet.verdict is Verdict.FAILS and "mm" in wet.says and d.held
    assert d.date_finding(TODAY).verdict is Verdict.FAILS
