"""Where a job stands, stage by stage, and where to go next."""

from studio_lib.demo import demo
from studio_lib.derive import derive
from studio_lib.finding import Verdict
from studio_lib.questions import open_questions
from studio_lib.standing import STAGES, left_open, next_step, stages


def by_stage(c):
    return {s.stage: s for s in stages(derive(c))}


def test_a_commission_just_begun_asks_for_its_piece():
    begun = demo().next_one("C26-002", "Hall bench")
    stood = by_stage(begun)
    assert list(stood) == list(STAGES)
    assert stood["brief"].verdict is Verdict.OPEN and "no piece" in stood["brief"].says
    assert next_step(derive(begun), "book")[0] == "brief"


def test_what_is_open_leads_the_way():
    c = demo().changed("timber.species", None)
    assert by_stage(c)["timber"].verdict is Verdict.OPEN
    assert next_step(derive(c), "sizes") == ("timber", "none chosen yet")
    assert next_step(derive(c), "timber")[0] != "timber"


def test_a_question_left_open_is_told_and_does_not_send_the_maker_back():
    c = demo().changed("brief.needs_leave", None)
    assert by_stage(c)["brief"].verdict is Verdict.OPEN
    assert [next_step(derive(c), s)[0] for s in ("brief", "sizes", "price")] == ["timber", "joints", "record"]
    assert [s.stage for s in left_open(derive(c), "sizes")] == ["brief"] and left_open(derive(c), "brief") == ()


def test_nothing_open_leads_on_in_order():
    d = derive(demo())
    assert not any(s.verdict in (Verdict.FAILS, Verdict.OPEN) for s in stages(d))
    assert [next_step(d, s)[0] for s in ("brief", "sizes", "price")] == ["timber", "joints", "record"]


def test_none_of_these_is_an_answer():
    c = demo().next_one("C26-002", "Hall bench")
    asked = {q.key for q in open_questions(c)}
    built = c.changed("items", [{"name": "bench", "form": "bench"}])
    assert "brief.wishes" not in {q.key for q in open_questions(built)}, "the piece is judged itself"
    assert {"brief.needs_leave", "brief.wishes"} <= asked
    after = {q.key for q in open_questions(c.changed("brief.needs_leave", []).changed("brief.wishes", []))}
    assert asked - after == {"brief.needs_leave", "brief.wishes"}


def test_the_next_commission_keeps_the_workshop_and_nothing_of_the_job():
    c = demo()
    for path, value in (("rates.drawings_per_year", "41000"), ("boards.kerf_mm", 3.2), ("showing.lengths", "in"), ("rates.design_hours", 20)):
        c = c.changed(path, value)
    after = c.next_one("C26-007", "Hall bench")
    assert str(after.rates.drawings_per_year) == "41000" and after.boards.kerf_mm == 3.2 and after.shown.inches
    assert after.shop.clamps == c.shop.clamps and after.boards.yards == c.boards.yards
    assert after.items == after.boards.offered == after.issued == after.hours == after.options == ()
    assert after.rates.design_hours != 20 and after.brief.budget is None and after.client == ""


def test_every_question_has_its_place_on_the_page():
    from studio_lib.brief.questions import QUESTIONS
    from workbook.panels.brief import under

    assert all(under(q.key) for q in QUESTIONS)


def test_a_figure_that_nobody_published_is_open_on_the_page_where_it_is_answered():
    c = demo().changed("brief.place", "indoors, heated").changed("timber.species", "European beech")
    answered = c.changed("timber.stand_ins", ["shear_mpa"])
    for made, waits in ((c, True), (answered, False)):
        assert (by_stage(made)["timber"].verdict is Verdict.OPEN) == waits
        assert any(f.what == "strength" and f.verdict is Verdict.OPEN for f in derive(made).size_findings) == waits
