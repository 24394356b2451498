"""The desk: accepted changes are saved, refused ones leave everything as it was."""

import pytest

from studio_lib.commission import Commission
from studio_lib.demo import demo
from studio_lib.jobbook import open_book
from workbook.desk import Desk


@pytest.fixture
def book(tmp_path):
    book = open_book(tmp_path)
    book.add(demo())
    yield book
    book.close()


@pytest.fixture
def desk(book):
    return Desk(book)


def test_a_change_is_saved_at_once_with_its_reason(desk, book):
    assert desk.change("brief.people", 8)
    again = open_book(book.folder)
    assert again.open(demo().ref)[0].brief.people == 8
    assert again.revisions(demo().ref)[0].reason == "Brief, people at once: 6 -> 8"


@pytest.mark.parametrize(
    ("path", "value", "words"),
    [
        ("brief.people", 0, "give 1 or more"),
        ("items.0.sizes.slat_count", 59, "Fewer slats"),
        ("items.0.joints.apron into leg.girth_mm", 5, "girth"),
        ("items.0.form", "slatted throne", "no form"),
        ("timber.species", "Unobtainium", "Unobtainium"),
    ],
)
def test_a_refusal_stands_beside_its_field_and_nothing_changes(desk, path, value, words):
    before = desk.commission
    assert not desk.change(path, value)
    assert words in desk.refused[path]
    assert desk.commission is before and desk.revision == 1


def test_a_good_value_clears_its_refusal(desk):
    desk.change("brief.people", 0)
    desk.change("brief.people", 5)
    assert desk.refused == {}


def test_one_figure_on_the_move_is_one_revision(desk, book):
    for length in range(1800, 1900, 10):
        desk.change("items.0.sizes.length_mm", length)
    assert desk.revision == 2
    assert book.open(demo().ref)[0].items[0].sizes["length_mm"] == 1890
    desk.change("items.0.sizes.width_mm", 900)
    assert desk.revision == 3


def test_two_pages_keep_both_changes(book):
    mine, theirs = Desk(book), Desk(book)
    theirs.change("brief.years_wanted", 30)
    assert mine.change("brief.people", 8)
    assert (mine.commission.brief.people, mine.commission.brief.years_wanted) == (8, 30)
    assert "Years" in mine.notice or "years" in mine.notice


def test_two_pages_on_one_field_are_told_not_overwritten(book):
    mine, theirs = Desk(book), Desk(book)
    theirs.change("brief.people", 10)
    assert not mine.change("brief.people", 8)
    assert "10" in mine.refused["brief.people"]
    assert book.open(demo().ref)[0].brief.people == 10
    assert mine.change("brief.people", 8), "said again, it is meant"


def test_going_back_is_a_new_revision(desk, book):
    desk.change("brief.people", 8)
    first, _ = book.open(demo().ref, 1)
    assert desk.put(first, "back to revision 1")
    assert desk.revision == 3 and desk.commission == demo()


# ---------------------------------------------------------------- undo, options, pages that follow


def test_undo_and_redo_on_any_page_and_after_a_restart(book):
    desk = Desk(book)
    desk.change("brief.people", 8)
    desk.change("notes", "x")
    desk.undo()
    assert desk.commission.notes == demo().notes and desk.commission.brief.people == 8
    again = Desk(open_book(book.folder))
    again.undo()
    assert again.commission == demo()
    again.redo()
    again.redo()
    assert (again.commission.brief.people, again.commission.notes) == (8, "x")


def test_undo_leaves_what_someone_answered_for(desk):
    answered = {"key": "a stop", "role": "the client", "on": "2026-11-25", "reason": "known and wanted"}
    desk.change("brief.people", 8)
    desk.change("accepted", [answered])
    desk.undo()
    desk.undo()
    assert desk.commission.brief.people == 6 and desk.commission.accepted[0].role == "the client"


def test_a_change_just_after_undo_is_a_revision_of_its_own(desk, book):
    desk.change("brief.people", 8)
    desk.undo()
    desk.change("brief.people", 9)
    assert desk.revision == 4 and book.open(demo().ref, 3)[0] == demo()


def test_an_earlier_revision_becomes_an_option(desk):
    first = desk.commission
    desk.change("items.0.sizes.length_mm", 1850)
    assert desk.branch(1, "as first drawn")
    assert desk.commission.options[0].items == first.items and desk.commission.items != first.items
    desk.put(desk.commission.choosing("as first drawn"), "taken in hand")
    assert desk.commission.items == first.items


def test_an_open_page_follows_to_the_commission_taken_up(book):
    book.add(Commission(ref="C2", title="Hall bench"))
    here, there = Desk(book, demo().ref), Desk(book, demo().ref)
    here.take_up("C2")
    there.look()
    assert (there.ref, there.commission.title, there.revision) == ("C2", "Hall bench", 1)


def test_an_open_page_follows_what_another_saved_and_says_it(book):
    here, there = Desk(book), Desk(book)
    there.refused = {"brief.people": "a figure half typed"}
    here.change("brief.years_wanted", 30)
    there.look()
    assert there.commission == here.commission and "30" in there.notice
    assert there.refused == {"brief.people": "a figure half typed"}
    before = there.commission
    there.look()
    assert there.commission is before


def test_the_panel_is_built_anew_for_the_commission_taken_up(book):
    from test_panels import words

    from workbook.page import Page

    book.add(Commission(ref="C2", title="Hall bench"))
    desk = Desk(book, demo().ref)
    for stage in ("record", "brief", "sizes"):
        panel = Page(stage, desk).panel()
        desk.take_up("C2")
        assert "Hall bench" in words(panel) and demo().title not in words(panel) and desk.notice == ""
        desk.take_up(demo().ref)
        assert demo().title in words(panel) and desk.notice == ""


def test_what_was_typed_for_one_job_never_lands_in_another(book):
    from test_panels import labelled

    from workbook.page import Page

    book.add(Commission(ref="C2", title="Hall bench"))
    desk = Desk(book, demo().ref)
    panel = Page("brief", desk).panel()
    box, button = labelled(panel, "People at once"), labelled(panel, "Write the brief sheet")
    desk.take_up("C2")
    box.value = 9
    button.click()
    assert desk.commission.brief.people == 6 and book.papers("C2") == [] and book.open(demo().ref)[0] == demo()


def test_a_clash_is_answered_field_by_field(book):
    mine, theirs = Desk(book), Desk(book)
    theirs.change("brief.people", 10)
    assert not mine.change("brief.people", 8)
    (clash,) = mine.clashes
    assert (clash.mine, clash.theirs) == ("8", "10")
    mine.settle(clash, True)
    assert mine.commission.brief.people == 8 and mine.clashes == () and mine.refused == {}


def test_a_whole_document_put_over_anothers_change_keeps_both(book):
    mine, theirs = Desk(book), Desk(book)
    theirs.change("notes", "theirs")
    assert mine.put(mine.commission.with_option("first idea"), "kept as an option")
    assert mine.commission.notes == "theirs" and mine.commission.options[0].name == "first idea"


def test_an_open_joints_page_follows_a_joint_swapped_on_another(book):
    from test_panels import words

    from workbook.page import Page

    here, there = Desk(book), Desk(book)
    panel = Page("joints", there).panel()
    swapped = {"kind": "swap", "family": "apron into leg", "joint": "dowels"}
    assert here.change("items.0.adjustments", [swapped]), here.refused
    there.look()
    assert there.revision == here.revision and there.notice.startswith("Changed on another page")
    assert "dowels" in words(panel)


def test_a_part_of_a_page_that_fails_neither_stops_the_others_nor_the_looking(book):
    import asyncio

    from workbook import parts

    here, there, heard = Desk(book), Desk(book), []

    def fails(_change):
        raise AttributeError("no such figure")

    parts.listen(there, fails, ["commission"])
    parts.listen(there, lambda change: heard.append(change.new), ["commission"])

    async def open_for_a_while():
        there.follow()
        here.change("brief.people", 5)
        await asyncio.sleep(1.5)
        here.change("brief.people", 7)
        await asyncio.sleep(1.5)

    asyncio.run(open_for_a_while())
    assert heard[-1] == there.commission == here.commission and there.commission.brief.people == 7


def test_a_tick_that_a_swapped_joint_cannot_take_is_refused_beside_it(desk):
    family = "lower rail into leg"
    swap = {"kind": "swap", "family": family, "joint": "through mortise and tenon"}
    assert desk.change("items", [{"name": "counter stool", "form": "stool", "adjustments": [swap]}])

    def kinds():
        return {j.kind for j in desk.derived.piece.joints if j.family == family}

    path = f"items.0.joints.{family}.wedges"
    assert not desk.change(path, 1.0)
    assert "aslant: wedges need a tenon square to the face" in desk.refused[path] and kinds() == {"through mortise and tenon"}
    assert desk.change("items.0.sizes.splay_deg", 0) and desk.change("items.0.sizes.rake_deg", 0) and desk.change(path, 1.0)
    assert kinds() == {"through mortise and tenon"} and all(j.wedges for j in desk.derived.piece.joints if j.family == family)
    assert desk.change("items.0.sizes.splay_deg", 5), "a size is not refused for it: the joint keeps its kind, and the tick is told of"
    assert kinds() == {"through mortise and tenon"} and any("left aside" in f.says for f in desk.derived.piece.findings)


def test_a_price_kept_on_one_page_is_reckoned_with_on_another(book):
    here, there = Desk(book), Desk(book)
    chosen = there.commission.timber.species
    before, heard = there.derived.rough_price.gross, []
    there.observe(lambda change: heard.append(1), "commission")
    here.keep_own_timbers([{"name": chosen, "price_per_m3": "9000", "price_on": "2026-11-20"}])
    there.look()
    assert there.derived.rough_price.gross > before and there.derived.rough_price.gross == here.derived.rough_price.gross
    assert len(heard) == 1
    there.look()
    assert len(heard) == 1, "nothing new was kept"


def test_shelves_that_follow_a_lower_case_are_told_of_beside_its_height_and_ones_own_are_kept(book):
    from test_panels import words

    from studio_lib.commission import Brief, Commission, Item
    from workbook.page import Page

    book.add(Commission(ref="S-1", title="books", brief=Brief(people=2), items=(Item(name="bookcase", form="bookcase", sizes={}),)))
    desk = Desk(book, "S-1")
    panel, path = Page("sizes", desk).panel(), "items.0.sizes.height_mm"
    before = desk.derived.made[0].sizes["shelf_count"]
    assert desk.change(path, 1200.0)
    now = desk.derived.made[0].sizes["shelf_count"]
    assert now < before and f"Shelves between bottom and top: {now} instead of {before}" in desk.followed[path]
    assert desk.followed[path] in words(panel)
    # On the move, what it was when the figure was taken in hand counts.
    assert desk.change(path, 900.0) and f"instead of {before}" in desk.followed[path]
    assert desk.change("items.0.sizes.depth_mm", 300.0) and desk.followed == {} and "instead of" not in words(panel)
    # Ones own is never dropped: the height is refused beside itself, with what would do.
    desk.change(path, 2000.0)
    desk.change("items.0.sizes.shelf_count", 4)
    assert not desk.change(path, 450.0) and desk.derived.made[0].sizes["shelf_count"] == 4
    assert "4 shelves in 450 mm of height" in desk.refused[path] and "530 mm of height or more" in desk.refused[path]
    assert "4 shelves in 450 mm" in words(panel)
    assert desk.change(path, 530.0)
    desk.undo()
    assert desk.followed == {}
