"""Cautions stand at the step they belong to; logs are held against the tables."""

from datetime import date

import pytest

from studio_lib.commission import LogEntry
from studio_lib.costing.operations import standard_times
from studio_lib.demo import demo
from studio_lib.derive import derive
from studio_lib.finding import Verdict
from studio_lib.shop import cautions_for, log_findings, still_open
from studio_lib.timber import timber


def keys(*args, **kwargs):
    return [c.key for c in cautions_for(*args, **kwargs)]


def test_a_saw_has_its_guard_and_a_brush_has_its_rags():
    assert "guards" in keys("rough dock") and "oily rags" not in keys("rough dock")
    assert "oily rags" in keys("brush or wipe on finish") and "guards" not in keys("brush or wipe on finish")
    assert "oily rags" not in keys("brush or wipe on finish", oil=False)
    assert keys("tension cable") == ["tensioned cable"]


def test_the_dust_named_is_that_of_the_timber():
    said = {c.key: c.text for c in cautions_for("sand", timber("Black locust"))}
    assert "Black locust: irritant" in said["dust of the timber"]
    bare = next(s for s in ("Norway spruce", "Scots pine", "European ash", "Poplar") if _no_dust(s))
    assert "dust of the timber" not in keys("sand", timber(bare)) and "dust" in keys("sand", timber(bare))


def _no_dust(name):
    try:
        return not timber(name).dust_caution
    except KeyError:
        return False


def test_weight_epoxy_short_parts_and_long_sanding_each_have_their_threshold():
    # HSE manual handling filter: 25 kg close to the body at elbow height for men.
    assert "lifting" not in keys("lift", kg=25) and "lifting" in keys("lift", kg=25.5)
    assert "epoxy" in keys("glue up", glue="epoxy, two-part") and "epoxy" not in keys("glue up", glue="PVA, D3")
    assert "short parts" in keys("rough dock", shortest_mm=299)
    assert "short parts" not in keys("rough dock", shortest_mm=300)
    assert "vibration" in keys("sand", hours=1.5) and "vibration" not in keys("sand", hours=0.9)
    with pytest.raises(ValueError, match="above 0"):
        cautions_for("lift", kg=0)


def test_every_operation_at_a_machine_has_cautions():
    for name, time in standard_times().items():
        if time.stage in ("machining", "finish"):
            assert keys(name), name


def test_the_demo_has_no_rags_and_an_oiled_one_has():
    def told(c):
        d = derive(c)
        return {x.key for step in d.work_steps for x in d.cautions_of(step)}

    assert "oily rags" not in told(demo()) and "lifting" in told(demo())
    assert "oily rags" in told(demo().changed("brief.finish", "oil"))


def entry(kind, day, **more):
    return LogEntry(kind=kind, day=date(2027, 2, day), who="the maker", what="noted", **more)


def test_a_cold_glue_up_is_found():
    # Adhesive table: one-part polyurethane from 5 °C.
    cold, warm = (entry("glue-up", 3, family="polyurethane, one-part", temperature_c=t) for t in (4, 5))
    assert [f.verdict for f in log_findings([cold])] == [Verdict.FAILS]
    assert [f.verdict for f in log_findings([warm])] == [Verdict.STANDS]


def test_a_coat_too_soon_and_one_before_the_sample_was_signed():
    oil = "exterior oil (pigmented)"
    twice = [entry("finish", 3, family=oil), entry("finish", 3, family=oil)]
    assert [f.what for f in log_findings(twice)] == ["time between coats"]
    assert log_findings([entry("finish", 3, family=oil), entry("finish", 4, family=oil)]) == ()
    assert [f.what for f in log_findings([entry("sample", 1), entry("finish", 3)])] == ["sample signed off"]
    assert log_findings([entry("sample", 1, closed_on=date(2027, 2, 2)), entry("finish", 3)]) == ()


def test_open_until_closed():
    snag, done = entry("snag", 5), entry("snag", 4, closed_on=date(2027, 2, 6))
    assert still_open([snag, done, entry("glue-up", 1)]) == (snag,)


def test_lifting_is_cautioned_by_the_heaviest_thing_carried_not_by_the_whole():
    from studio_lib.commission import Brief, Commission, Item

    d = derive(Commission(
        ref="2026-001", title="shelves", brief=Brief(carries="books"),
        items=(Item(name="bookcase", form="bookcase", sizes={"height_mm": 2300, "cases": 1}),),
    ).changed("timber.species", "European oak"))
    said = {x.text for step in d.work_steps for x in d.cautions_of(step) if x.key == "lifting"}
    heaviest = max(kg for *_, kg in d.carried)
    assert said and all(text.startswith(f"{heaviest:.0f} kg: 2 or 3 people") for text in said) and heaviest < 0.65 * d.weights_kg["bookcase"]
