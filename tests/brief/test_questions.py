"""Which questions are open, in what order, and a few at a time."""

import pytest

from studio_lib.brief.questions import QUESTIONS, answers_of, is_open, next_few, open_questions
from studio_lib.commission import Commission, Item


def keys(answers):
    return [q.key for q in open_questions(answers)]


def test_every_question_says_why_and_what_it_blocks_and_is_asked_once():
    assert len({q.key for q in QUESTIONS}) == len(QUESTIONS) >= 30
    assert all(q.asks.endswith("?") and q.why and q.blocks and q.group for q in QUESTIONS)
    groups = [q.group for q in QUESTIONS]
    assert [g for i, g in enumerate(groups) if g not in groups[:i]] == list(dict.fromkeys(groups))
    assert sum(a != b for a, b in zip(groups, groups[1:])) == len(set(groups)) - 1  # groups stay together


def test_no_and_nought_are_answers_and_blanks_are_not():
    assert [is_open(v) for v in (None, "", (), [], {}, False, 0, "no")] == [True] * 5 + [False] * 3
    assert "brief.children" in keys({}) and "brief.children" not in keys({"brief.children": False})


def test_questions_that_do_not_apply_are_not_asked():
    indoors = keys({"brief.place": "indoors, heated"})
    assert "brief.ground" not in indoors and "brief.heating_below" in indoors
    outdoors = keys({"brief.place": "outdoors, in the weather"})
    assert {"brief.ground", "brief.sun_side", "brief.by_the_sea", "brief.wants.may_go_grey"} <= set(outdoors)
    assert "brief.child_ages" in keys({"brief.children": True}) and "brief.child_ages" not in keys({"brief.children": False})
    assert "brief.their_timber.moisture_pct" in keys({"brief.brings_timber": True})
    screen = {"brief.place": "outdoors, under cover", "items": [{"form": "slatted screen"}]}
    assert "brief.wind" in keys(screen) and "brief.wind" not in keys(screen | {"items": [{"form": "stool"}]})


def test_a_few_at_a_time_from_one_group():
    first = next_few({}, 3)
    assert [q.key for q in first] == ["brief.asked", "items", "brief.decides"]
    answered = {q.key: "said" for q in QUESTIONS if q.group == "the piece"}
    assert {q.group for q in next_few(answered, 4)} == {"who uses it"}
    assert len(next_few(answered, 4)) == 4
    everything = {q.key: "said" for q in QUESTIONS} | {"items": [{"form": "x"}]}
    assert next_few(everything) == () and open_questions(everything) == ()
    with pytest.raises(ValueError, match="1 or more"):
        next_few({}, 0)


def test_answers_come_out_of_the_document():
    plain = {"title": "t", "brief": {"people": 6, "wants": {"tone": "any"}, "openings": []}, "items": [{"form": "x"}]}
    answers = answers_of(plain)
    assert answers["brief.people"] == 6 and answers["brief.wants.tone"] == "any"
    assert answers["items"] == [{"form": "x"}] and "brief.openings" in keys(answers)


def test_what_it_carries_is_asked_only_of_what_carries():
    def asked(*forms):
        items = tuple(Item(name=f"piece {n}", form=form) for n, form in enumerate(forms))
        return any(q.key == "brief.carries" for q in open_questions(answers_of(Commission(ref="2026-001", title="x", items=items).model_dump(mode="json"))))

    assert asked() and asked("bookcase") and asked("framed screen", "table")
    assert not asked("framed screen", "stool") and not asked("strung screen")
