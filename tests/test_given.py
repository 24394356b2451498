"""Nothing that is suggested changes what the client gave, what the place is like, or what a piece is for."""

from __future__ import annotations

import pytest

from studio_lib.commission import Brief, Commission, Item, ScreenWish
from studio_lib.costing.budget import within_budget
from studio_lib.costing.cheaper import cheaper, no_timber_tried, trials
from studio_lib.costing.plainer import giving_up, plainer_trials
from studio_lib.derive import derive
from studio_lib.derived import remedies as looking
from studio_lib.derived.given import ruled_out, stays
from studio_lib.derived.remedies import failing, remedies
from studio_lib.forms import FORMS
from studio_lib.forms.clamped import TO_RAILING
from studio_lib.forms.frame_parts import NOT_NAMED, fixed_by
from studio_lib.structure.mends import mends

FACTS = {
    "stool": {"made_to", "counter_mm", "under_mm"},
    "bench": {"sitting"},
    "bookcase": {
        "place", "load_kg_m", "skirting_high_mm", "skirting_deep_mm",
        "width_front_bottom_mm", "width_front_top_mm", "width_back_bottom_mm", "width_back_top_mm",
    },
    "cabinet": {"load_kg_m"}, "hung case": {"hung_mm", "load_kg_m"},
    "framed screen": {"railing_mm", "railing_low_mm", "uprights_from"},
    "strung screen": {"railing_mm", "railing_low_mm", "uprights_from", "counts", "seed", "pattern"},
}
"""What each form asks of the client and the place, of what a piece is for, and of a pattern chosen by eye; other forms ask nothing of the kind."""
OUT = {"place": "outdoors, in the weather", "wind_m_s": 33.0}
BRIEFS = {
    "stool at a counter": ("stool", {"counter_mm": 920, "leg_mm": 30, "rail_width_mm": 34}, {"child_ages": (5,), "children": True}),
    "step": ("stool", {"made_to": 1, "height_mm": 420, "overhang_end_mm": 90}, {}),
    "bench": ("bench", {"length_mm": 2400, "apron_width_mm": 40, "leg_mm": 35, "seat_thickness_mm": 14}, {}),
    "bench with a back": ("bench", {"back": 2, "back_slat_mm": 25, "back_count": 3, "leg_mm": 36}, {"children": True, "child_ages": (3,)}),
    "table": ("table", {"apron_width_mm": 190, "length_mm": 2400, "bearer_count": 0}, {"asked": "A table 240 cm long"}),
    "slatted table": ("slatted table", {"length_mm": 2200, "slat_thickness_mm": 14, "apron_width_mm": 180}, {}),
    "slatted stool": ("slatted stool", {"leg_mm": 25, "slat_thickness_mm": 12, "apron_width_mm": 46, "apron_thickness_mm": 15}, {}),
    "bookcase": ("bookcase", {"width_mm": 1200, "uprights": 0, "shelf_mm": 15, "load_kg_m": 60}, {"carries": "books"}),
    "bookcase in an alcove": ("bookcase", {"place": 1, "uprights": 0, "shelf_mm": 15, "load_kg_m": 60, "width_front_bottom_mm": 1240}, {}),
    "hung case": ("hung case", {"width_mm": 1400, "uprights": 0, "shelf_mm": 15, "load_kg_m": 60, "shelf_count": 2}, {"carries": "books"}),
    "cabinet": ("cabinet", {"wall": 0, "shelf_mm": 15, "load_kg_m": 90, "width_mm": 1500}, {"children": True}),
    "chest": ("chest", {"lid_mm": 40}, {"asked": "a chest 40 x 18 x 18 in"}),
    "framed screen": ("framed screen", {"height_mm": 1800, "stands": 0}, OUT),
    "screen on a railing": ("framed screen", {"stands": FORMS["framed screen"].sizes[3].choices.index(TO_RAILING), "height_mm": 1900, "upright_steel": 0, "gap_mm": 100}, OUT | {"railing_mm": 1050.0, "children": True}),
    "strung screen": ("strung screen", {"height_mm": 1800, "stands": 0}, OUT),
}


def commissioned(form, sizes, brief, count=1):
    item = Item(name="piece", form=form, count=count, sizes={k: float(v) for k, v in sizes.items()})
    return Commission(ref="2026-001", title="piece", brief=Brief(**brief), items=(item,)).changed("timber.species", "European oak")


def sizes_of(document):
    return derive(document).made[0].sizes


def tried_to_mend(d):
    """Every single size and choice that is tried to mend a check, and what the worst check is offered."""
    for knob in looking._knobs(d, 0, failing(d).values()):
        for path, value in looking._probes(knob):
            yield path, d.commission.changed(path, value)
    yield from _offered(d, [f for f, _ in d.deciding(d.pieces[0]) if not f.stands][:1])


def _offered(d, findings):
    for finding in findings:
        for mend in mends(d, 0, finding):
            yield mend.words, d.commission.changed(mend.path, mend.value)


def mended(d):
    """What every mend named leads to."""
    for remedy in remedies(d, 0).values():
        if remedy is not None:
            c = d.commission
            for path, value in remedy.changes:
                c = c.changed(path, value)
            yield remedy.words, c
    yield from _offered(d, [f for f, _ in d.deciding(d.pieces[0]) if not f.stands][:2])


def saved(d):
    for way in (trials, plainer_trials, giving_up):
        for trial in way(d):
            yield trial.says, trial.document


def test_what_a_form_asks_of_client_and_place_is_marked_and_nothing_else():
    assert {name: {s.name for s in form.sizes if s.given} for name, form in FORMS.items()} == {name: FACTS.get(name, set()) for name in FORMS}


@pytest.mark.parametrize("name", BRIEFS)
def test_no_mend_and_no_saving_touches_what_is_given(name):
    form, sizes, brief = BRIEFS[name]
    d = derive(commissioned(form, sizes, brief))
    made, given = d.made[0], FACTS.get(form, set())
    for says, document in (*tried_to_mend(d), *saved(d)):
        own = document.items[0].sizes
        assert not {n for n in given if own.get(n) != made.item.sizes.get(n)}, says
    assert failing(d), "a brief that asks for mends"


@pytest.mark.parametrize("name", BRIEFS)
def test_no_saving_lowers_what_people_sit_stand_or_eat_at(name):
    form, sizes, brief = BRIEFS[name]
    if not form.endswith(("stool", "bench", "table")):
        return
    d = derive(commissioned(form, sizes, brief))
    for says, document in saved(d):
        assert document.items[0].sizes.get("height_mm") == d.made[0].item.sizes.get("height_mm"), says


STORY = commissioned("stool", {"counter_mm": 920}, {
    "asked": "Three stools for a stone kitchen counter of 920 mm, no deeper than 300 mm.", "people": 3, "children": True, "child_ages": (5,), "budget": "2400",
    "most_width_mm": 300,
}, count=3)


def kept(document, before):
    after = sizes_of(document)
    return [after[n] for n in ("made_to", "counter_mm", "height_mm")] == [before[n] for n in ("made_to", "counter_mm", "height_mm")]


@pytest.mark.parametrize("more", [{}, {"width_mm": 300}, {"lower_rail_height_mm": 250}, {"rail_width_mm": 30, "rail_thickness_mm": 15, "leg_mm": 30}])
def test_a_stool_for_a_counter_stays_a_stool_for_that_counter(more):
    c = STORY.changed("items.0.sizes", {"counter_mm": 920.0, **{k: float(v) for k, v in more.items()}})
    d = derive(c)
    before = d.made[0].sizes
    assert before["height_mm"] == 645 and failing(d)
    told = dict(mended(d))
    assert told and all(kept(document, before) for document in told.values()), list(told)


def test_the_counter_stools_are_not_made_steps_to_keep_the_budget():
    d = derive(STORY)
    before = d.made[0].sizes
    found = within_budget(d)
    assert kept(found.document, before) and found.before > found.after
    assert all(kept(p.document, before) for p in (*found.plainer, *found.given_up))
    savings = cheaper(d)
    assert savings and all(kept(s.document, before) for s in savings)
    assert not any("made to" in s.says or "counter" in s.says for s in (*found.steps, *found.plainer, *savings))


def test_a_height_that_the_maker_set_against_the_proposal_may_be_mended_and_one_as_proposed_not():
    def may(**sizes):
        return "height_mm" not in stays(derive(commissioned("stool", {"counter_mm": 920, **sizes}, {})).made[0])

    assert [may(), may(height_mm=645), may(height_mm=730)] == [False, False, True]


def test_a_figure_that_the_client_gave_is_kept_by_the_budget_too():
    asked, free = (derive(commissioned("bookcase", {}, {"asked": words})) for words in ("A bookcase 100 cm wide, 180 cm high.", "A bookcase."))
    wide = commissioned("bookcase", {"width_mm": 1000, "height_mm": 1800}, {"asked": asked.commission.brief.asked})

    def tried(d):
        return {t.key for t in trials(d)} & {"0 width_mm", "0 height_mm", "0 depth_mm"}

    assert tried(derive(wide)) == {"0 depth_mm"} and tried(free) >= {"0 width_mm", "0 depth_mm"}


def test_where_the_brief_says_how_a_screen_is_held_only_such_ways_are_named():
    for name in ("framed screen", "strung screen"):
        size = next(s for s in FORMS[name].sizes if s.name == "stands")

        def left(**brief):
            return [w for n, w in enumerate(size.choices) if n not in ruled_out(size, Brief(**brief))]

        assert "on feet" in left() and NOT_NAMED in left() and TO_RAILING not in left()
        held = left(needs_leave=("fixed to building",))
        assert held and all(fixed_by(w) for w in held)
        wished = left(wishes=(ScreenWish(name="screen", held_down=True),))
        assert wished and "on feet" not in wished
        assert not any(w.startswith("fixed") for w in left(nothing_drilled=True))
        up = left(asked="A screen from floor to ceiling", place="indoors, heated")
        assert up and all("ceiling" in w for w in up)


def test_a_wall_that_may_not_be_drilled_mends_nothing_and_one_it_is_fixed_to_stays():
    sizes = {"wall": 0, "width_mm": 700}
    free, bound = (derive(commissioned("cabinet", sizes, {"children": True, "nothing_drilled": no})) for no in (False, True))
    named = [[m.path for f in d.analysis(d.pieces[0]).findings if f.what == "hung on a door" and not f.stands for m in mends(d, 0, f)] for d in (free, bound)]
    assert "items.0.sizes.wall" in named[0] and "items.0.sizes.wall" not in named[1]
    d = derive(commissioned("cabinet", {}, {}))
    assert d.made[0].sizes["wall"] and not any(t.key.startswith("0 wall") for t in trials(d))


def test_a_timber_that_the_client_likes_or_brings_is_not_left_for_another_to_save_or_to_mend():
    weak = {"length_mm": 2200, "slat_thickness_mm": 14}
    for brief in ({"wants": {"liked": ("European oak",)}}, {"brings_timber": True}):
        d = derive(commissioned("slatted table", weak, brief))
        assert not [t for t in trials(d) if t.lever == "timber"] and no_timber_tried(d)
        assert not looking._stronger_timbers(d)
    free = derive(commissioned("slatted table", weak, {}))
    assert [t for t in trials(free) if t.lever == "timber"] and not no_timber_tried(free) and looking._stronger_timbers(free)


def test_the_foot_rail_is_said_to_lie_where_feet_rest_and_nothing_of_the_counter():
    rail = derive(STORY).made[0].proposals["lower_rail_height_mm"]
    assert "under the seat, where feet rest" in rail.why and "counter" not in rail.source and "250 to 300" not in rail.source
    assert "ANSUR II" in rail.source


def test_no_seat_is_made_shallower_to_save_money():
    from studio_lib.derived.given import stays

    d = derive(Commission(ref="S1", title="bench", items=(Item(name="bench", form="bench"),), brief=Brief(heaviest_kg=113.0)).changed("timber.species", "European oak"))
    assert "depth_mm" in stays(d.made[0], to_save=True) and "depth_mm" not in stays(d.made[0])
