"""The first hour: what is refused holds the papers, options stand side by side, pictures are kept."""

from datetime import date

import pytest
from pydantic import ValidationError
from pypdf import PdfReader

from studio_lib.brief.stops import figure_of
from studio_lib.commission import Brief, Commission, Item
from studio_lib.demo import demo
from studio_lib.derive import derive
from studio_lib.finding import Verdict
from studio_lib.jobbook import open_book
from studio_lib.papers import write


def rotten():
    """The demo in a timber that will not last out there."""
    return demo().changed("brief.use", "household").changed("timber.species", "European beech")


def test_a_timber_that_rots_stops_the_papers_until_someone_answers_for_it():
    d = derive(rotten())
    stop = next(s for s in d.stops if s.finding.what == "durability")
    assert stop.holds and "cutting list" in d.held
    accepted = rotten().changed("accepted", [
        {"key": stop.key, "role": "head librarian", "on": "2026-11-25", "reason": "a table for one summer"}])
    after = derive(accepted)
    assert after.held == ()
    assert "Accepted by the head librarian on 2026-11-25: a table for one summer" in after.stops[0].says


def test_an_acceptance_needs_a_role_and_a_reason():
    with pytest.raises(ValidationError):
        demo().changed("accepted", [{"key": "durability", "role": "", "on": "2026-11-25", "reason": ""}])


def leaning_screen(**more):
    return demo().changed("items", [{"name": "screen", "form": "framed screen", "sizes": {"length_mm": 1200, "height_mm": 1600, **more}}]).changed(
        "brief.place", "indoors, heated").changed("brief.use", "household")


def test_the_makers_note_stays_in_the_book_and_only_the_condition_goes_to_the_client():
    from studio_lib.papers.words import terms

    tips = next(s for s in derive(leaning_screen()).stops if s.finding.what == "pulled over")
    answered = {"key": tips.key, "role": "the maker", "on": "2026-11-25", "reason": "they are careful people",
                "utilisation": tips.finding.utilisation, "figure": figure_of(tips.finding)}

    def said(**more):
        d = derive(leaning_screen().changed("accepted", [answered | more]))
        return next(s for s in d.stops if s.key == tips.key).says, " ".join(terms(d, date(2026, 11, 25)))

    stop, printed = said(condition="nobody leans on the screen")
    assert f"Accepted at {figure_of(tips.finding)} by the maker on 2026-11-25: they are careful people" in stop and answered["figure"].endswith(" N") and "the the" not in stop
    assert "On this condition: nobody leans on the screen." in printed and "(screen)" not in printed and "careful" not in printed
    assert "On this condition" not in said(condition="")[1]


def test_an_acceptance_lasts_while_the_check_is_no_worse_and_says_why_it_ends():
    def stop(made, accepted=()):
        return next(s for s in derive(made.changed("accepted", list(accepted))).stops if s.finding.what == "pulled over")

    now = stop(leaning_screen())
    signed = [{"key": now.key, "role": "maker", "on": "2026-11-25", "reason": "known", "condition": "",
               "utilisation": now.finding.utilisation, "figure": figure_of(now.finding)}]
    heavier = stop(leaning_screen(frame_thickness_mm=44), signed)
    assert not heavier.holds and f"Accepted at {figure_of(now.finding)}" in heavier.says and heavier.finding.says != now.finding.says
    assert not stop(leaning_screen().changed("items.0.loads", {"push": 120}), signed).holds
    lighter = stop(leaning_screen(middle_bars=0, slat_thickness_mm=18), signed)
    assert lighter.holds and f"accepted at {figure_of(now.finding)} and is worse now" in lighter.says


def test_a_reason_of_an_older_book_goes_on_being_told_to_the_client():
    old = demo().changed("accepted", [{"key": "k", "role": "client", "on": "2026-11-25", "reason": "for one summer"}])
    assert old.accepted[0].condition == "for one summer"
    assert type(old).model_validate_json(old.model_dump_json()) == old


def test_an_accepted_stop_does_not_excuse_another():
    d = derive(rotten())
    first = d.stops[0]
    both = rotten().changed("accepted", [
        {"key": first.key, "role": "client", "on": "2026-11-25", "reason": "known"}
    ]).changed("items.0.joints.apron into leg.length_mm", 55)
    assert [s.key for s in derive(both).stops if s.holds] != [] and first.key not in [
        s.key for s in derive(both).stops if s.holds]


def test_papers_of_a_stopped_job_say_not_to_be_made(tmp_path, monkeypatch):
    from studio_lib.look import scenes
    from studio_lib.look.still import Picture

    monkeypatch.setattr(scenes, "_still", lambda *_: Picture(None, "not drawn in this test"))
    write(rotten(), tmp_path, today=date(2026, 11, 25))
    for name in ("quote.pdf", "cutting list and boards.pdf", "drawings.pdf"):
        assert "NOT TO BE MADE" in PdfReader(tmp_path / name).pages[0].extract_text(), name
    assert "not a firm price" in PdfReader(tmp_path / "quote.pdf").pages[0].extract_text()
    brief = PdfReader(tmp_path / "brief.pdf")
    assert len(brief.pages) == 1
    said = " ".join(brief.pages[0].extract_text().split())
    assert "What must be answered first" in said and "the head librarian" in said and "Not part of it" in said


def test_a_door_too_small_is_a_stop_with_what_to_make_come_apart():
    tight = demo().changed("brief.openings", [{"kind": "door", "name": "side door", "width_mm": 700, "height_mm": 900}])
    found = next(f for f in derive(tight).findings if f.what == "way in: side door" and not f.stands)
    assert found.verdict is Verdict.FAILS and "its legs bolted on" in found.mend
    assert any(s.holds for s in derive(tight).stops)


@pytest.mark.parametrize(
    ("opening", "words"),
    [
        ({"kind": "door", "name": "cat flap", "width_mm": 3, "height_mm": 3}, "give 300 to 10000 mm"),
        ({"kind": "lift", "name": "lift", "width_mm": 800}, "has no width"),
        ({"kind": "chimney", "name": "x"}, "door"),
    ],
)
def test_an_opening_that_cannot_be_is_refused(opening, words):
    with pytest.raises(ValidationError, match=words):
        demo().changed("brief.openings", [opening])


def test_a_stair_and_a_lift_are_worked_out():
    flat = demo().changed("brief.openings", [
        {"kind": "stair", "name": "stair", "width_mm": 850, "headroom_mm": 2000, "turn": "quarter", "landing_depth_mm": 850},
        {"kind": "lift", "name": "lift", "door_width_mm": 800, "door_height_mm": 2000, "car_width_mm": 1100,
         "car_depth_mm": 1400, "car_height_mm": 2200},
        {"kind": "corridor turn", "name": "turn", "first_width_mm": 1200, "second_width_mm": 1200, "height_mm": 2400},
    ])
    ways = [f for f in derive(flat).size_findings if f.what.startswith("way in")]
    assert len(ways) == 6
    assert {f.what for f in ways if not f.stands and f.piece == "terrace table"} == {"way in: stair"}
    assert all(f.stands for f in ways if f.piece == "terrace stool" and f.what != "way in: stair")


def test_children_make_gaps_a_stop_that_a_household_of_grown_people_has_not():
    wide = demo().changed("items.0.sizes.gap_mm", 12)
    assert any(s.finding.what == "fingers" for s in derive(wide).stops)
    grown = wide.changed("brief.use", "household")
    assert not any(s.finding.what == "fingers" for s in derive(grown).stops)


def test_the_stool_for_public_places_holds_no_childs_head():
    public = derive(demo())
    assert not [f for f in public.findings if f.what == "heads" and not f.stands]
    low = derive(demo().changed("items.1.sizes.lower_rail_height_mm", 110))
    assert any(s.finding.what == "heads" for s in low.stops)


def test_share_of_people_moves_with_the_size():
    before = derive(demo()).suits(1)["height_mm"].suits_share
    after = derive(demo().changed("items.1.sizes.height_mm", 400)).suits(1)["height_mm"].suits_share
    assert after > before + 0.2


def test_options_stand_side_by_side_and_each_comes_back_whole():
    first = demo().with_option("in locust")
    second = first.changed("timber.species", "Sweet chestnut").changed("items.1.count", 2).with_option("in chestnut")
    rows = derive(second).compared()
    assert rows[0].cells == ("in locust", "in chestnut") and any(r.differs for r in rows[1:])
    back = second.choosing("in locust")
    assert back.timber == first.timber and back.items == first.items and back.chosen == "in locust"
    assert back.choosing("in chestnut").items == second.items
    with pytest.raises(KeyError, match="in locust, in chestnut"):
        second.choosing("in gold")


def test_five_options_are_too_many():
    document = demo()
    for name in "abcd":
        document = document.with_option(name)
    with pytest.raises(ValidationError, match="at most 4"):
        document.with_option("e")


def test_what_is_in_hand_is_kept_when_another_option_is_taken_up():
    first = demo().with_option("a").changed("items.0.sizes.length_mm", 1900)
    second = first.with_option("b").changed("items.0.sizes.length_mm", 1800)
    assert second.choosing("a").choosing("b").items[0].sizes["length_mm"] == 1800


def test_pictures_are_kept_with_the_commission(tmp_path):
    book = open_book(tmp_path)
    book.add(demo())
    book.attach(demo().ref, "terrace.png", "image/png", b"\x89PNG bytes", "the terrace, noon")
    kept = open_book(tmp_path).attachments(demo().ref)[0]
    assert (kept.name, kept.note) == ("terrace.png", "the terrace, noon")
    assert open_book(tmp_path).attached(demo().ref, kept.number) == b"\x89PNG bytes"
    assert book.thumbnail(demo().ref, kept) == b"", "no picture in it, so nothing to show, and no fault"
    with pytest.raises(ValueError, match="20 MB is the most"):
        book.attach(demo().ref, "film.mov", "video/quicktime", bytes(20_000_001))


def test_a_past_date_and_a_meagre_budget_are_said():
    with pytest.raises(ValueError, match="days ago"):
        derive(demo().changed("brief.wanted_by", "2026-01-01")).date_finding(date(2026, 11, 25))
    short = derive(demo().changed("brief.budget", "900"))
    found = next(f for f in short.brief_findings if f.what == "enough money")
    assert found.verdict is Verdict.FAILS and "saves about" in found.mend


def test_wet_timber_of_the_clients_own_is_refused_with_what_it_will_shrink():
    wet = demo().changed("brief.brings_timber", True).changed(
        "brief.their_timber", {"moisture_pct": 55, "measured_on": "2026-11-20", "thickness_mm": 80, "width_mm": 200})
    found = next(f for f in derive(wet).brief_findings if f.what == "drying")
    assert found.verdict is Verdict.FAILS and "mm" in found.says


def test_a_stop_that_someone_answers_for_is_no_longer_told_as_failing():
    from studio_lib.standing import stages

    before = derive(rotten())
    key = next(s.key for s in before.stops if s.finding.what == "durability")
    after = derive(rotten().changed("accepted", [{"key": key, "role": "client", "on": "2026-11-25", "reason": "for one summer"}]))
    stood = [{s.stage: s for s in stages(d)}["timber"] for d in (before, after)]
    assert [s.says for s in stood] == ["2 will not do", "1 will not do"]  # how long it lasts out there is told still
    shown = next(f for f in after.findings_of(after.pieces[0], "timber") if f.what == "durability")
    assert shown.says.endswith("Accepted by the client on 2026-11-25: for one summer") and not shown.mend


def test_a_first_range_before_a_timber_is_chosen_follows_what_the_client_likes_or_how_plain_it_may_be():
    def likely(asked):
        c = Commission(ref="C1", title="shelves", brief=Brief(asked=asked), items=(Item(name="shelves", form="bookcase", sizes={"wide": 0.0}),))
        d = derive(c)
        return d.ballpark.gross[1], " ".join(d.ballpark.sources)

    plain, any_, walnut = (likely(words) for words in ("A bookcase, painted white, it need not be expensive.", "A bookcase.", "A bookcase in walnut."))
    assert plain[0] < any_[0] < walnut[0]
    assert "any hardwood" in any_[1] and "walnut, which would be proposed" in walnut[1]
