"""Screens that the ceiling holds: what its words ask for, equilibrium, levers by hand, the gap over it, and what the papers say."""

from __future__ import annotations

import re
from typing import get_args

import pytest

from studio_lib.commission import Brief, Commission, Item, Opening
from studio_lib.derive import derive
from studio_lib.finding import Verdict
from studio_lib.forms import form
from studio_lib.forms.frame_parts import NOT_BORED
from studio_lib.handover.delivery import LEVEL, delivery_note
from studio_lib.papers import words
from studio_lib.structure.fixings import UNDER_CEILING

ALONE, WITH_WALL, WITH_FLOOR = UNDER_CEILING
FORMS = ("framed screen", "strung screen")
ROOM = Opening(kind="ceiling", name="ceiling", height_mm=2500.0)


def screen(fixed=ALONE, kind="framed screen", brief=(), count=1, **sizes):
    ways = next(s.choices for s in form(kind).sizes if s.name == "stands")
    own = {"length_mm": 1500.0, **({"stands": float(ways.index(f"fixed {fixed}"))} if fixed else {}), **sizes}
    b = Brief(**{"place": "indoors, heated", "openings": (ROOM,), **dict(brief)})
    c = Commission(ref="2026-001", title="screen", brief=b, items=(Item(name="screen", form=kind, count=count, sizes=own),))
    return derive(c.changed("timber.species", "European oak"))


def told(d, what):
    return next(f for f in d.size_findings if f.what == what)


def number(before, text):
    return float(re.search(rf"{before} (\d+)", text)[1])


@pytest.mark.parametrize("kind", FORMS)
@pytest.mark.parametrize("fixed", UNDER_CEILING)
def test_it_holds_up_to_the_ceiling_without_being_drilled_where_it_may_not_be(kind, fixed):
    d = screen(fixed, kind, {"ground": "heated floor"})
    bad = {f.what for f in d.findings if f.verdict is Verdict.FAILS and f.stage in ("sizes", "joints")}
    assert bad == {"leave of others"} | ({"holes in the floor"} if fixed == WITH_FLOOR else set())
    assert d.piece.overall_mm[2] == pytest.approx(2490)


def test_a_lean_on_an_upright_is_shared_by_levers():
    """By hand: 150 N at 1200 mm on a stile of 2490 mm that rests at both ends, with 1.5 to spare: P a / l at the top, the rest at the foot."""
    d = screen()
    assert number("held with", told(d, "load on its fixing to the ceiling").says) == pytest.approx(1.5 * 150 * 1200 / 2490, abs=1)
    assert number("sliding with", told(d, "load on its fixing at the feet").says) == pytest.approx(1.5 * 150 * 1290 / 2490, abs=1)


def test_the_wind_is_shared_by_the_tops_and_the_feet():
    """Under a roof outdoors, even on its face: a quarter of the gust, with 1.5 to spare, at each of four corners; statics."""
    d = screen(brief={"place": "outdoors, under cover", "wind_m_s": 20.0})
    top, foot = (told(d, f"load on its fixing {at} in the wind").says for at in ("to the ceiling", "at the feet"))
    gust = number("in a gust of", top)
    across, level = number("held with", top), number("sliding with", foot)
    assert across + level == pytest.approx(1.5 * gust / 2, rel=0.03) and across == pytest.approx(level, rel=0.1)


def test_only_one_of_a_row_has_the_wall():
    assert "load on its fixing to the wall" in {f.what for f in screen(WITH_WALL).size_findings}
    row = screen(WITH_WALL, count=2)
    assert told(row, "load on its fixing to the ceiling").says == told(screen(ALONE), "load on its fixing to the ceiling").says


def test_the_gap_under_the_ceiling_is_asked_for_and_judged():
    assert told(screen(brief={"openings": ()}), "gap under the ceiling").verdict is Verdict.OPEN
    for high, verdict in ((2490.0, Verdict.STANDS), (2498.0, Verdict.FAILS), (2300.0, Verdict.LOOK_AGAIN)):
        found = told(screen(height_mm=high), "gap under the ceiling")
        assert found.verdict is verdict and (verdict is Verdict.STANDS or "2490 mm high" in found.mend)


@pytest.mark.parametrize("asked, fixed", [
    ("A screen of slats, floor to ceiling, between hall and kitchen.", WITH_FLOOR),
    ("A screen up to the ceiling. The floor is heated.", ALONE),
    ("A screen from floor to ceiling; nothing may be screwed into the floor.", ALONE),
    ("A screen; the floor is heated, nothing may be screwed into it; the wall on one side and the ceiling we may use.", WITH_WALL),
    ("A screen fixed to the ceiling or the wall.", WITH_WALL),
    ("A screen beside the door. The ceiling is 2.5 m.", ""),
    ("A screen. You may not touch the ceiling.", ""),
])
def test_the_client_s_words_say_what_holds_it(asked, fixed):
    d = screen("", brief={"asked": asked})
    assert form("framed screen").fixed(d.made[0].sizes) == fixed
    assert (d.made[0].proposals["stands"].why == "up to the ceiling, in the client's words") == bool(fixed)


def test_a_brief_that_fixes_it_to_nothing_or_forbids_holes_comes_before_words():
    for answer in ({"needs_leave": ()}, {"nothing_drilled": True}):
        assert screen("", brief={"asked": "floor to ceiling", **answer}).made[0].sizes["stands"] == 0


def test_a_floor_with_heating_in_it_is_not_bored():
    d = screen("to the floor", brief={"ground": "heated floor"})
    found = told(d, "holes in the floor")
    assert found.verdict is Verdict.FAILS and "heating" in found.says and f"'fixed {ALONE}'" in found.mend
    assert "floor" not in told(screen("", brief={"ground": "heated floor", "needs_leave": ("fixed to building",)}), "how it is fixed").mend


def test_the_papers_say_how_it_is_held():
    d = screen(WITH_WALL, brief={"ground": "heated floor"})
    note = delivery_note(d)
    fixing = dict(note.fixing)["screen"]
    assert fixing.startswith("MUST BE FIXED to the ceiling and a wall at one end") and "nothing goes into the floor" in fixing
    assert "joists" in note.wall and "nothing into the floor" in note.level
    assert "fixing the screen to the ceiling and a wall at one end, with its shoes and brackets" in words.included(d)
    assert d.screen_fixings == 2 + 2 + 2  # tops, shoes, and two at the wall
    assert words.drawn_plain(d) == " The ceiling and the wall are drawn plain, not as they are."
    assert {part.name for part in d.piece.held_on} == {"ceiling", "wall beside it"}


def test_every_ground_has_its_words():
    grounds = get_args(Brief.model_fields["ground"].annotation)
    assert set(grounds) == set(LEVEL) and set(NOT_BORED) < set(grounds)
    for ground in grounds:
        assert delivery_note(screen("to a wall at one end", brief={"ground": ground})).level


def test_a_screen_that_hides_the_shoes_goes_down_to_the_floor():
    hides = screen("", brief={"asked": "A screen, floor to ceiling, so that one sees light but not the shoes."})
    assert hides.made[0].sizes["below_mm"] == 15 and "no shoes are seen" in hides.made[0].proposals["below_mm"].why
    assert screen("", brief={"asked": "A screen, floor to ceiling, beside the shelf with the shoes."}).made[0].sizes["below_mm"] == 80
