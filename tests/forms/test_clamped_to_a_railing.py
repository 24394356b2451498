"""A screen on steel uprights clamped to a railing, as a maker meets it: sizes, checks, bought in, pictures, papers, and nothing drilled."""

from __future__ import annotations

import re

import numpy as np
import pytest

from studio_lib.commission import Brief, BoughtIn, Commission, Item
from studio_lib.derive import derive
from studio_lib.derived.remedies import remedies
from studio_lib.finding import Verdict
from studio_lib.forms import SizeRefused, form
from studio_lib.handover.delivery import delivery_note
from studio_lib.look.arranged import arranged
from studio_lib.papers import words

FORMS = ("framed screen", "strung screen")
BRIEF = dict(
    place="outdoors, in the weather", wind_m_s=33.0, ground="tiles over a membrane", children=True, beside_a_drop=True, drop_mm=20_000.0,
    nothing_drilled=True, railing_mm=1100.0, needs_leave=("fixed to building",),
)


def choices(kind):
    return next(s.choices for s in form(kind).sizes if s.name == "stands")


def screen(kind="framed screen", stands="clamped to a railing", timber="European oak", brief=(), count=1, **sizes):
    own = {"length_mm": 2400.0, "height_mm": 1700.0, **({"stands": float(choices(kind).index(stands))} if stands else {}), **sizes}
    c = Commission(ref="2026-001", title="balcony", brief=Brief(**BRIEF | dict(brief)), items=(Item(name="screen", form=kind, count=count, sizes=own),))
    return derive(c.changed("timber.species", timber))


def told(d, what):
    return next(f for f in d.findings if f.what == what)


def number(before, text):
    return float(re.search(rf"{before} (\d+\.?\d*)", text)[1])


@pytest.mark.parametrize("kind", FORMS)
def test_the_wish_stands_but_for_whose_leave_it_needs(kind):
    d = screen(kind)
    bad = [f for f in d.findings if f.verdict is Verdict.FAILS and f.what != "leave of others" and f.stage in ("sizes", "joints")]
    assert [f.what for f in bad] == ([] if kind == "framed screen" else ["climbable rails"])  # level slats are a ladder however they are held
    whose = {f.subject.split(": ")[-1] for f in d.findings if f.what == "leave of others" and not f.stands}
    assert {"fixed to building", "stands in the wind"} <= whose


def test_it_is_proposed_where_it_must_be_fixed_and_nothing_may_be_drilled():
    d = screen(stands="")
    assert d.made[0].sizes["stands"] == choices("framed screen").index("clamped to a railing")
    assert d.made[0].sizes["railing_mm"] == 1100.0 and d.made[0].proposals["railing_mm"].source == "brief"
    assert screen(stands="", brief={"nothing_drilled": False}).made[0].sizes["stands"] != d.made[0].sizes["stands"]


def test_leaves_side_by_side_stand_on_an_upright_at_every_joint_without_bolts():
    d = screen(uprights=4.0)
    piece = d.made[0].piece
    stiles = [m for m in piece.members if m.role == "stile"]
    assert len(stiles) == 6
    assert not any("bolt" in j.kind for j in piece.joints) and not any("leaf to leaf" in f.what for f in d.findings)
    tubes = [p.block for p in piece.held_on if p.name == "upright of the railing"]
    assert len(tubes) == 4
    held = []
    for b in tubes:  # each stands behind the stiles it holds, and touches no timber
        behind = [m for m in stiles if m.piece_box.lo[0] < b.hi[0] and b.lo[0] < m.piece_box.hi[0]]
        assert all(m.piece_box.hi[1] <= b.lo[1] + 1e-6 for m in behind)
        held.append(len(behind))
    assert held == [1, 2, 2, 1]
    assert {name for _, name, *_ in d.carried} == {f"screen, leaf {n}" for n in (1, 2, 3)}


def test_the_middle_upright_carries_half_of_both_leaves():
    d = screen()
    says = told(d, "load on its fixing to the railing").says
    gust = number("of", re.search(r"\d+ N of \d+ N", says)[0].replace("N of", "of"))
    middle, outer = number("beside it,", says), number("each outer one", says)
    assert middle == pytest.approx(gust / 2, abs=1) and outer == pytest.approx(gust / 4, abs=1)
    assert number("in all:", told(d, "wind on what holds it").says) == middle
    top, low = number("must hold", says), number("top rail and", says)
    assert top + low == pytest.approx(1.5 * middle, abs=1.5)  # equilibrium, 1.5 to spare
    assert top * 1100 + low * 120 == pytest.approx(1.5 * middle * 850, rel=2e-3)


def test_what_the_railing_must_carry_is_said_and_left_to_others():
    d = screen()
    f = told(d, "what the railing must carry")
    gust = number("in the gust", f.says)
    assert f.verdict is Verdict.LOOK_AGAIN and "600 mm of screen stand above it" in f.says and "EN 1991-1-1 table 6.12" in f.source
    assert number("turning moment of", f.says) == pytest.approx(gust * 0.85, rel=1e-3)  # N m, half way up 1.7 m
    yes = screen(brief={"leave_given": ("fixed to building", "stands in the wind")})
    assert told(yes, "what the railing must carry").stands


def test_fixings_to_the_uprights_take_the_whole_gust_of_each_leaf():
    """A leaf's own frame is checked held at its two stiles: more uprights, narrower leaves, less bending of its rails."""
    few, many = screen(uprights=2.0, rail_width_mm=70.0, frame_thickness_mm=40.0), screen(uprights=4.0, rail_width_mm=70.0, frame_thickness_mm=40.0)
    bent = [max(f.demand for f in d.findings if f.what == "bending, rail") for d in (few, many)]
    assert bent[1] < bent[0] / 3
    assert number("must hold", told(many, "load on its fixing to the uprights in the wind").says) < number(
        "must hold", told(few, "load on its fixing to the uprights in the wind").says)


def test_too_thin_a_tube_fails_and_the_mend_holds():
    hard = dict(brief={"wind_m_s": 55.0, "railing_mm": 700.0}, height_mm=2400.0, length_mm=1200.0)
    thin = screen(upright_steel=0.0, uprights=2.0, **hard)
    f = told(thin, "strength, steel uprights")
    assert f.verdict is Verdict.FAILS and "W = M / f" in f.says
    named = re.search(r"Take (\d+ x \d+ x \d+ mm)", f.mend)[1]
    tubes = next(s.choices for s in form("framed screen").sizes if s.name == "upright_steel")
    assert told(screen(upright_steel=float(tubes.index(named)), uprights=2.0, **hard), f.what).verdict is not Verdict.FAILS
    assert told(screen(uprights=2.0, **hard), f.what).verdict is not Verdict.FAILS  # as proposed


@pytest.mark.parametrize("kind", FORMS)
def test_clamps_too_near_each_other_are_refused_beside_their_field(kind):
    with pytest.raises(SizeRefused, match="lower clamps 1000 mm above the floor.*Give 900 mm or less") as refused:
        screen(kind, railing_low_mm=1000.0).made
    assert refused.value.field == "railing_low_mm"


def test_its_sizes_are_offered_only_where_it_is_clamped():
    for kind in FORMS:
        own = {s.name for s in form(kind).sizes if s.group == "railing"}
        assert own & set(form(kind).unused(screen(kind).made[0].sizes)) == set()
        assert own <= set(form(kind).unused(screen(kind, "on feet").made[0].sizes))


def test_uprights_are_bought_in_and_on_no_cutting_list():
    d = screen(uprights=3.0)
    assert not any("upright" in r.name for r in d.cutting_list)
    assert len(d.price.unpriced) == 1 and d.price.unpriced[0].startswith("3 steel uprights with clamps")
    assert any("3 steel uprights with clamps" in line for line in d.to_settle) and any("3 steel uprights" in line for line in words.excluded(d))
    bought = derive(d.commission.changed("rates.bought_in", [BoughtIn(what=d.bought_in_waiting[0][:80], price=420).model_dump(mode="json")]))
    assert bought.price.unpriced == () and bought.to_settle == [] and bought.price.net > 0
    assert screen(count=2, uprights=2.0).bought_in_waiting[0].startswith("3 steel uprights")


def test_pictures_have_uprights_and_railing_in_grey_and_they_stay_when_it_is_taken_apart():
    from studio_lib.look.scenes import METALS, appearances, scene
    from studio_lib.solids import meshes

    d = screen()
    (_, shown, _), = scene(d)
    steel = [m for m in shown if m.timber == "steel"]
    assert sum(m.name == "upright of the railing" for m in steel) == 3 and any("top rail of the railing" == m.name for m in steel)
    assert METALS["steel"] in vars(appearances(d)["steel"]).values()
    assert all(np.allclose(m.pull, 0.0) for m in steel) and any(np.any(m.pull) for m in shown)
    assert d.made[0].piece.overall_mm[0] == pytest.approx(2400.0)  # what it stands on is no part of its size
    assert not any(m.timber == "steel" for m in meshes(screen(stands="on feet").made[0].piece))


def test_the_gap_between_two_leaves_is_a_joint_and_no_wide_gap():
    piece = screen(uprights=3.0).made[0].piece
    first, second = (next(m for m in piece.members if m.name == n).piece_box for n in ("stile, right, leaf 1", "stile, left, leaf 2"))
    assert 4 <= second.lo[0] - first.hi[0] <= 8


# ------------------------------------------------------------------ nothing drilled

@pytest.mark.parametrize("kind", FORMS)
def test_ways_that_are_drilled_fail_at_once_and_name_those_that_are_not(kind):
    for stands in choices(kind):
        found = [f for f in screen(kind, stands).findings if f.what == "holes where none may be"]
        assert bool(found) == stands.startswith("fixed")
        assert all("clamped to a railing" in f.mend and "on feet" in f.mend for f in found)
    d = screen(kind)
    assert {"on feet", "clamped to a railing"} <= set(re.findall(r"'([^']+)'", told(d, "nothing may be drilled").says))
    assert not any(f.what == "nothing may be drilled" for f in screen(kind, brief={"nothing_drilled": False}).findings)


def test_no_mend_is_drilled_where_nothing_may_be(monkeypatch):
    """Held between a wall and the railing with rails too thin for it, the least change is tried: none that is drilled is among those told."""
    weak = dict(stands="fixed between a wall and a railing", frame_thickness_mm=26.0, slat_thickness_mm=18.0, rail_width_mm=50.0)
    found = remedies(screen(**weak), 0)
    said = {key[2]: r.words for key, r in found.items() if r}
    assert "'clamped to a railing'" in said["holes where none may be"]
    assert not any("'fixed" in w for w in said.values())
    monkeypatch.setattr("studio_lib.derived.remedies.BUDGET_S", 3.0)
    unmeasured = remedies(screen(**weak, brief={"railing_mm": None}), 0)
    assert not any("clamped" in r.words for r in unmeasured.values() if r)


def test_nothing_on_its_papers_speaks_of_drilling_or_walls():
    note = delivery_note(screen())
    text = " ".join([note.level, note.wall, *(w for _, w in note.fixing)])
    assert "short foot" not in text and "cables and pipes" not in text and "kind of wall" not in text
    assert "Nothing is drilled" in text and "Soft pads" in text and "Two people" in text and "not in wind" in text and "line" in text
    drilled = delivery_note(screen(stands="fixed to a wall at one end", brief={"nothing_drilled": False}))
    assert "before drilling" in drilled.wall
    forbidden = delivery_note(screen(stands="fixed to a wall at one end"))
    assert "drilling" not in forbidden.wall and "Nothing may be drilled there" in forbidden.wall


# ------------------------------------------------------------------ what falls, and who climbs

def test_people_below_a_drop_are_asked_after_and_lead_to_the_engineer():
    asked, yes, no = (screen(brief={"people_below": x}) for x in (None, True, False))
    assert told(asked, "things that fall").verdict is Verdict.OPEN
    assert told(yes, "things that fall").verdict is Verdict.LOOK_AGAIN and "it hangs over people" in told(yes, "things that fall").mend
    assert not any(f.what == "things that fall" for f in no.findings)
    ticked = screen(brief={"people_below": True, "needs_leave": ("fixed to building", "hangs overhead")})
    assert not any(f.what == "things that fall" for f in ticked.findings)
    assert any(f.subject.endswith("hangs overhead") and f.verdict is Verdict.FAILS for f in ticked.findings)
    assert not any(f.what == "things that fall" for f in screen(brief={"drop_mm": 400.0}).findings)


def test_the_railing_as_a_ladder_is_asked_where_children_come():
    verdicts = {x: told(screen(brief={"railing_climbed": x}), "the railing as a ladder").verdict for x in (None, True, False)}
    assert verdicts == {None: Verdict.OPEN, True: Verdict.LOOK_AGAIN, False: Verdict.STANDS}
    assert not any(f.what == "the railing as a ladder" for f in screen(brief={"children": False}).findings)


def test_no_footholds_are_told_in_words():
    says = told(screen(), "climbable rails").says
    assert "none mm" not in says and says.startswith("no foothold")


def test_one_held_at_both_ends_already_is_not_told_to_be():
    d = screen(stands="fixed between two walls or posts", timber="western red cedar", brief={"nothing_drilled": False, "wind_m_s": 60.0},
               height_mm=2600.0, length_mm=4800.0, gap_mm=4.0, slat_width_mm=150.0)
    f = told(d, "sections for the wind")
    assert "held at both its ends" not in f.mend and "uprights that are clamped to a railing" in f.mend


# ------------------------------------------------------------------ papers and savings

def test_the_quote_says_what_the_railing_must_carry_and_the_care_sheet_has_its_clamps_looked_at():
    from datetime import date

    from studio_lib.handover.care import care_sheet

    d = screen()
    said = [t for t in words.terms(d, date(2026, 11, 26)) if t.startswith("On this condition: the railing may carry the screen")]
    assert len(said) == 1 and "its owner and an engineer" in said[0] and "N in all" in said[0]
    lines = [line.text for section in vars(care_sheet(d)).values() if isinstance(section, tuple) for line in section if hasattr(line, "text")]
    assert sum("clamp on the railing" in t for t in lines) == 1
    assert not any("clamp on the railing" in t for t in words.terms(screen(stands="on feet"), date(2026, 11, 26)))


def test_no_saving_moves_the_railing_or_drills():
    from studio_lib.costing.cheaper import _of_sizes

    for stands in ("on feet", "clamped to a railing"):
        d = screen(stands=None, brief={"needs_leave": ("fixed to building",) if "clamped" in stands else ()})
        assert choices("framed screen")[d.made[0].sizes["stands"]] == stands  # proposed, so that savings may move it
        tried = [t.says for t in _of_sizes(d.commission, 0, d.made[0])]
        assert tried and not any("railing's" in t or "upright" in t.removeprefix("screen: slats run, upright") or "-> fixed" in t for t in tried)


def test_a_leaf_too_wide_for_the_way_in_gets_more_uprights():
    from studio_lib.commission import Opening

    d = screen(uprights=2.0)
    narrow = derive(d.commission.changed("brief.openings", [Opening(name="lift", kind="lift", door_width_mm=800.0, door_height_mm=2000.0, car_width_mm=1000.0, car_depth_mm=1100.0,
                                                                              car_height_mm=2100.0).model_dump(mode="json")]))
    fails = [f for f in narrow.size_findings if f.what.startswith("way in") and f.verdict is Verdict.FAILS]
    assert fails and all("steel uprights" in f.mend and "bolted" not in f.mend for f in fails)


def test_a_railing_nobody_measured_is_taken_for_now_and_asked():
    asked = told(screen(brief={"railing_mm": None}), "heights of the railing")
    assert asked.verdict is Verdict.OPEN and "top rail 1000 mm" in asked.says and "lower rail or foot 120 mm" in asked.says
    assert "top rail" not in told(screen(), "heights of the railing").says
    assert not any(f.what == "heights of the railing" for f in screen(brief={"railing_low_mm": 150.0}).findings)


def test_a_railing_that_was_measured_is_where_the_far_end_is_held():
    low, high = (told(screen(stands="fixed between a wall and a railing", brief={"nothing_drilled": False, "railing_mm": x}), "load on its fixings at the ends").says
                 for x in (900.0, 1200.0))
    assert "2 at the railing, 150 and 900 mm up" in low and "2 at the railing, 150 and 1200 mm up" in high


def test_leave_answers_for_the_railing_only_once_the_wind_is_known():
    both = {"leave_given": ("fixed to building", "stands in the wind")}
    assert not told(screen(brief=both | {"wind_m_s": None}), "what the railing must carry").stands
    indoors = screen(brief={"leave_given": ("fixed to building",), "place": "indoors, heated"})
    assert told(indoors, "what the railing must carry").stands and "wind" not in told(indoors, "what the railing must carry").says


def test_the_brief_sheet_repeats_what_was_heard_of_holes_and_railing():
    where = dict(words.heard(screen()))["Where"]
    assert "nothing may be drilled there" in where and "top rail is 1100 mm above the floor" in where
    assert "drilled" not in dict(words.heard(screen(brief={"nothing_drilled": False})))["Where"]
    assert "drawn plain" in words.drawn_plain(screen()) and words.drawn_plain(screen(stands="on feet")) == ""


def test_uprights_bought_for_another_count_wait_again_and_the_makers_own_words_do_not():
    d = screen(uprights=3.0)
    taken = d.commission.changed("rates.bought_in", [{"what": d.bought_in_waiting[0][:80], "price": 420}])
    more = derive(taken.changed("items.0.sizes.uprights", 4.0))
    assert more.outdated_uprights == (0,) and more.bought_in_waiting[0].startswith("4 steel uprights") and any(u.startswith("4 steel") for u in more.price.unpriced)
    own = derive(d.commission.changed("rates.bought_in", [{"what": "uprights from the smith", "price": 420}]).changed("items.0.sizes.uprights", 4.0))
    assert own.outdated_uprights == () and own.bought_in_waiting == ()


@pytest.mark.parametrize("kind", FORMS)
@pytest.mark.parametrize("own", [0.0, 1.0])
def test_screens_side_by_side_share_the_upright_between_them_or_have_each_their_own(kind, own):
    one, three = screen(kind), screen(kind, count=3, uprights_of_each=own)
    each = int(one.bought_in_waiting[0].split()[0])
    assert three.bought_in_waiting[0].startswith(f"{3 * each - (0 if own else 2)} steel uprights")
    drawn = {part.block.lo[0] + stood.offset_mm[0] for stood in arranged(three.made) for part in stood.piece.held_on if part.name == "upright of the railing"}
    assert len(drawn) == 3 * each - (0 if own else 2)


def test_an_upright_between_two_screens_carries_the_ends_of_both_and_is_proposed_for_it():
    """Statics: a lone leaf's upright carries half the gust; one between two such leaves carries half of either, as much as one leaf takes."""
    alone, row, apart = (screen(count=n, uprights=2.0, length_mm=1200.0, uprights_of_each=own) for n, own in ((1, 0.0), (2, 0.0), (2, 1.0)))
    bent = {name: next(f for f in d.size_findings if f.what == "strength, steel uprights") for name, d in (("alone", alone), ("row", row), ("apart", apart))}
    assert bent["apart"].demand == pytest.approx(bent["alone"].demand)
    moment = {name: number("with", f.says) for name, f in bent.items()}
    assert moment["row"] == pytest.approx(2 * moment["alone"], rel=0.01) and bent["row"].stands
    assert "one between neighbours" in told(row, "load on its fixing to the railing").says


def test_uprights_that_the_client_sees_to_keep_no_price_open_and_are_told_of_as_not_included():
    d = screen(uprights_from=1.0)
    assert d.bought_in_waiting == () and not d.to_settle and not any("upright" in what for what in d.price.unpriced)
    assert any("steel uprights" in line for line in words.excluded(d))
    assert any("upright" in what for what in screen().price.unpriced)
