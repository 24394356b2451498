"""One commission, two places: a screen on a balcony by the sea and a step stool indoors, each judged where it stands."""

from __future__ import annotations

from datetime import date

import pytest

from studio_lib.commission import Brief, Commission, Item
from studio_lib.derive import derive
from studio_lib.finding import Verdict
from studio_lib.handover.care import care_sheet
from studio_lib.handover.delivery import delivery_note
from studio_lib.handover.reminders import reminders
from studio_lib.look.arranged import seen_at
from studio_lib.look.scenes import appearances, scene, timber_words
from studio_lib.papers import brief_sheet

OUT, IN = "outdoors, in the weather", "indoors, heated"
BALCONY = dict(place=OUT, wind_m_s=33.0, by_the_sea=True, ground="tiles over a membrane", beside_a_drop=True, drop_mm=9000.0, wetted=False)
HOME = dict(asked="a slatted screen and a step stool for the basin", children=True, child_ages=(3.0, 6.0), people=2)
SCREEN = Item(name="balcony screen", form="framed screen", sizes={"length_mm": 2600.0, "height_mm": 1700.0, "stands": 6.0})
STOOL = Item(name="step stool", form="stool", sizes={"made_to": 1.0})


def job(*items, brief=BALCONY, timber="European oak", **more):
    c = Commission(ref="2026-001", title="balcony", brief=Brief(**HOME, **brief), items=items, **more)
    return c.changed("timber.species", timber) if timber else c


@pytest.fixture(scope="module")
def both():
    return derive(job(SCREEN, STOOL.model_copy(update={"place": IN})))


def said_of(d, name):
    """Everything found on one piece, in words: no references, which depend on what else there is."""
    return {(f.subject, f.what, f.verdict, f.says, f.mend) for f in (*d.size_findings, *d.joint_findings) if f.piece == name}


def test_each_piece_is_found_as_it_would_be_alone_in_its_own_place(both):
    """The stool beside the screen is the stool of a job indoors; the screen is the screen of a job on the balcony."""
    indoors = derive(job(STOOL, brief={"place": IN}))
    outdoors = derive(job(SCREEN))
    assert said_of(both, "step stool") == said_of(indoors, "step stool")
    assert said_of(both, "balcony screen") == said_of(outdoors, "balcony screen")
    assert both.made[1].sizes == indoors.made[0].sizes


def test_nothing_of_the_balcony_is_asked_of_the_stool(both):
    assert not [f for f in both.findings if f.piece == "step stool" and f.what in ("climbable rails", "wind", "leave of others")]
    assert [f for f in both.findings if f.piece == "balcony screen" and f.what == "climbable rails"]
    one = derive(job(SCREEN, STOOL))  # nobody said otherwise: both on the balcony
    assert [f for f in one.findings if f.piece == "step stool" and f.what == "climbable rails"]


def test_the_harder_place_decides_the_timber_and_each_is_judged_in_its_own(both):
    lasting = {f.subject: f for f in both.lasting_findings if f.what == "durability"}
    assert "use class 3" in lasting["European oak, balcony screen"].says and "use class 1" in lasting["European oak, step stool"].says
    assert both.hardest.place == OUT and both.places == (OUT, IN)
    alone = {c.species: c.ruled_out for c in derive(job(SCREEN)).choices}
    assert {c.species: c.ruled_out for c in both.choices} == alone
    apart = next(f for f in both.lasting_findings if f.what == "moisture of two places")
    assert apart.verdict is Verdict.LOOK_AGAIN and "balcony screen: 15.5 %" in apart.says and "step stool: 9 %" in apart.says


def test_only_the_place_that_a_piece_names_is_another_one():
    same = derive(job(SCREEN, STOOL.model_copy(update={"place": OUT})))
    assert said_of(same, "step stool") == said_of(derive(job(SCREEN, STOOL)), "step stool")
    old = STOOL.model_dump(mode="json")
    del old["place"]
    assert Item.model_validate(old) == STOOL


def test_a_stool_elsewhere_does_not_stand_at_the_table_outdoors():
    table = Item(name="table", form="table")
    near = derive(job(table, Item(name="stool", form="stool"), timber=""))
    far = derive(job(table, Item(name="stool", form="stool", place=IN), timber=""))
    assert near.made[1].at_table and not far.made[1].at_table


def test_each_ages_and_is_cared_for_where_it_stands(both):
    looks = appearances(both, 10.0)
    inside = appearances(derive(job(STOOL, brief={"place": IN})), 10.0)
    assert looks[seen_at("European oak", IN)] == inside["European oak"]
    assert looks["European oak"].grey_fraction > 0.1 > looks[seen_at("European oak", IN)].grey_fraction
    shown = {name: {m.timber for m in members} for name, members, _ in scene(both)}
    assert shown["step stool"] == {seen_at("European oak", IN)} and "European oak" in shown["balcony screen"]
    assert "The step stool stands indoors, heated: the picture puts it beside the balcony screen" in timber_words(both)
    assert "picture" not in timber_words(derive(job(SCREEN)))
    sheet = care_sheet(both)
    assert any(line.text.startswith("Step stool: ") for line in sheet.first) and any(line.text.startswith("Balcony screen: ") for line in sheet.year)
    assert "balcony screen outdoors, in the weather; step stool indoors, heated" in sheet.made_of
    note = delivery_note(both, None)
    assert "Drill nothing into the tiles" in note.level and "Step stool: Felt or cork" in note.level
    assert any(e.key.startswith("wash") for e in reminders(both, date(2026, 11, 26)))
    assert brief_sheet(both.commission).startswith(b"%PDF")


def test_wind_that_nobody_can_say_for_a_piece_outdoors_beside_an_indoor_brief_tells_where_to_say_it():
    d = derive(job(STOOL, SCREEN.model_copy(update={"place": OUT, "sizes": {**SCREEN.sizes, "stands": 0.0}}), brief={"place": IN}))
    wind = next(f for f in d.size_findings if f.what == "wind")
    assert wind.verdict is Verdict.OPEN and "Let the place of the brief be this one" in wind.mend


def test_hardness_is_said_of_the_piece_that_needs_it(both):
    assert both.wear.whose == "the step stool" and both.wear.what == "a step that children stand on"
    assert derive(job(STOOL)).wear.whose == "this"
