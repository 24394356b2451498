"""What is kept beside the documents: states, people, notes, invoices, rack, price lists; undo and redo; private data."""

from datetime import date
from itertools import pairwise

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from studio_lib.commission import Commission, OfferedBoard
from studio_lib.demo import REF, demo
from studio_lib.jobbook import Conflict, open_book
from studio_lib.jobbook.jobs import STATES, Contact, Invoice
from studio_lib.jobbook.packing import pack, packed_on, unpack
from studio_lib.jobbook.private import erase, given_out
from studio_lib.jobbook.shelves import PriceList, RackBoard

# ---------------------------------------------------------------- undo and redo


def test_undo_and_redo_go_on_after_a_restart(book, where):
    for n, people in enumerate((7, 8, 9), 1):
        book.save(demo().changed("brief.people", people), n, f"{people} now")
    assert book.undo(REF, 4) == 5 and book.undo(REF, 5) == 6
    again = open_book(where)
    assert again.open(REF)[0].brief.people == 7
    assert again.can_undo(REF) == ("7 now", "8 now")
    assert again.redo(REF, 6) == 7 and again.redo(REF, 7) == 8
    assert again.open(REF)[0].brief.people == 9
    with pytest.raises(ValueError, match="nothing to redo"):
        again.redo(REF, 8)


def test_a_new_change_after_undo_ends_redo_and_loses_nothing(book):
    book.save(demo().changed("brief.people", 7), 1, "seven")
    book.undo(REF, 2)
    assert book.save(demo().changed("brief.people", 9), 3, "nine") == 4
    with pytest.raises(ValueError, match="nothing to redo"):
        book.redo(REF, 4)
    assert book.undo(REF, 4) == 5 and book.open(REF)[0] == demo()
    assert book.redo(REF, 5) == 6 and book.open(REF)[0].brief.people == 9
    assert book.open(REF, 2)[0].brief.people == 7


def test_there_is_an_end_to_undo_and_another_page_is_heard(book):
    with pytest.raises(ValueError, match="how the commission began"):
        book.undo(REF, 1)
    book.save(demo().changed("brief.people", 7), 1, "seven")
    with pytest.raises(Conflict):
        book.undo(REF, 1)


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(moves=st.lists(st.sampled_from(["edit", "undo", "redo"]), max_size=25))
def test_undo_and_redo_are_those_of_any_editor(tmp_path_factory, moves):
    book = open_book(tmp_path_factory.mktemp("book"))
    book.add(Commission(ref="C1", title="t"))
    done, undone, number = ["" ], [], 1
    for n, move in enumerate(moves):
        if move == "edit":
            done, undone = [*done, f"n{n}"], []
            number = book.save(Commission(ref="C1", title="t", notes=f"n{n}"), number, f"n{n}")
        elif (move == "undo" and len(done) == 1) or (move == "redo" and not undone):
            with pytest.raises(ValueError, match="nothing to"):
                getattr(book, move)("C1", number)
        elif move == "undo":
            undone.append(done.pop())
            number = book.undo("C1", number)
        else:
            done.append(undone.pop())
            number = book.redo("C1", number)
        assert book.open("C1")[0].notes == done[-1]
    book.close()


@given(st.binary(max_size=40_000), st.binary(max_size=40_000), st.integers(0, 100))
def test_what_is_packed_comes_out_again(text, earlier, at):
    assert unpack(pack(text)) == text
    changed = earlier[:at] + text[:20] + earlier[at:]
    packed, on = packed_on(changed, earlier, 3)
    assert unpack(packed, earlier if on else b"") == changed
    if len(pack(changed)) > 4:
        with pytest.raises(ValueError, match="damaged|cut off"):
            unpack(packed[:-2], earlier if on else b"")


# ---------------------------------------------------------------- how a job stands


def test_a_job_goes_its_way_each_step_dated_and_back_only_with_a_reason(book):
    jobs = book.jobs
    for state, day in zip(STATES[1:5], (1, 5, 9, 20), strict=True):
        jobs.move(REF, state, date(2026, 12, day))
    assert [(s.state, s.day) for s in jobs.history(REF)][:4] == [
        ("delivered", "2026-12-20"), ("in the workshop", "2026-12-09"), ("accepted", "2026-12-05"), ("quoted", "2026-12-01"),
    ]
    with pytest.raises(ValueError, match="wants a reason"):
        jobs.move(REF, "in the workshop")
    jobs.move(REF, "in the workshop", reason="a drawer binds")
    assert jobs.stands(REF).reason == "a drawer binds"
    with pytest.raises(ValueError, match="give one of enquiry"):
        jobs.move(REF, "sold")
    with pytest.raises(KeyError, match="No commission"):
        jobs.move("C99-001", "quoted")


def test_the_list_says_what_waits_on_whom_and_leaves_out_what_is_over(book):
    book.jobs.move(REF, "quoted", date(2026, 12, 1), due=date(2026, 12, 20))
    (entry,) = book.commissions(in_hand=True)
    assert (entry.state, entry.waits_on, entry.due) == ("quoted", "the client", "2026-12-20")
    book.jobs.wait(REF, "the yard", "price for wide boards")
    assert book.commissions("wide boards")[0].waits_on == "the yard"
    assert book.jobs.stands(REF).day == "2026-12-01", "waiting otherwise is no new state"
    book.jobs.move(REF, "declined", reason="too dear")
    assert book.commissions(in_hand=True) == [] and len(book.commissions()) == 1


def test_notes_and_people_are_found_by_a_search(book):
    book.jobs.keep_contact(REF, Contact(name="Nomen Nescio", phone="000"))
    book.jobs.say(REF, "decision", "the top stays bare", "the client", date(2026, 12, 1))
    book.jobs.say("", "lesson", "order wide boards a month ahead")
    assert book.commissions("nescio") and book.commissions("stays bare") and not book.commissions("month ahead")
    assert [n.says for n in book.jobs.notes(REF)] == ["the top stays bare"]
    assert [n.ref for n in book.jobs.notes(kind="lesson")] == [""]
    with pytest.raises(ValueError, match="few words"):
        book.jobs.say(REF, "decision", " ")


def test_an_invoice_number_is_used_once_and_amounts_are_amounts(book):
    one = Invoice("26-01", "deposit", "2026-12-01", "1000.00", "200.00", "EUR", due_on="2026-12-15")
    book.jobs.invoice(REF, one)
    with pytest.raises(ValueError, match="used once"):
        book.jobs.invoice(REF, one)
    for net in ("much", "NaN", ""):
        with pytest.raises(ValueError, match="give an amount"):
            book.jobs.invoice(REF, Invoice("26-02", "final", "2026-12-01", net, "0", "EUR"))
    book.jobs.paid("26-01", date(2026, 12, 9))
    assert book.jobs.invoices(REF)[0].paid_on == "2026-12-09"


def test_the_rack_knows_where_each_board_came_from_and_went(book):
    board = OfferedBoard(ref="R-001", timber="European oak", length_mm=900, width_mm=140, thickness_mm=27, price="4.00")
    book.rack.add(RackBoard(board, "offcut", "2026-12-01", came_from=REF, place="over the bench"))
    assert book.rack.boards()[0].board.source == "rack" and book.rack.next_ref("offcut") == "O-001"
    with pytest.raises(ValueError, match="another reference"):
        book.rack.add(RackBoard(board, "board", "2026-12-02"))
    book.rack.take("R-001", "C26-009", date(2026, 12, 5))
    assert book.rack.boards() == [] and book.rack.boards(gone=True)[0].gone_to == "C26-009"
    with pytest.raises(KeyError, match="does not lie in the rack"):
        book.rack.take("R-001", "C26-010", date(2026, 12, 6))
    book.rack.put_back("R-001")
    assert [b.place for b in book.rack.boards()] == ["over the bench"]


def test_a_price_list_stands_beside_the_earlier_one(book):
    row = {"item": "oak 27 mm", "unit": "m3", "price": "1850.00"}
    book.prices.keep(PriceList("yard by the river", "2026-01-05", "EUR", (row,)))
    book.prices.keep(PriceList("yard by the river", "2026-11-05", "EUR", ({**row, "price": "1990.00"},)))
    assert [(p.day, p.rows[0]["price"]) for p in book.prices.lists()] == [("2026-11-05", "1990.00"), ("2026-01-05", "1850.00")]
    with pytest.raises(ValueError, match="another day"):
        book.prices.keep(PriceList("yard by the river", "2026-11-05", "EUR", (row,)))
    with pytest.raises(ValueError, match="Row 2 .* price is 'much'"):
        book.prices.keep(PriceList("x", "2026-11-06", "EUR", (row, {**row, "price": "much"})))


# ---------------------------------------------------------------- private data

WHO = Contact(name="Nomen Nescio", address="1 Nowhere Lane\nUtopia", phone="0000 111", email="nn@example.org")


def told(book):
    named = demo().changed("notes", "Nomen Nescio rang, back at nn@example.org").changed("brief.asked", "As nomen nescio says.")
    book.jobs.keep_contact(REF, WHO)
    book.save(named, 1, "Notes: Nomen Nescio rang")
    book.save(named.changed("brief.people", 9), 2, "nine")
    book.jobs.say(REF, "decision", "left bare, says Nomen Nescio")
    book.keep_paper(REF, 2, "letter.txt", b"Dear Nomen Nescio")
    book.keep_paper(REF, 2, "list.csv", b"leg,4")
    book.attach(REF, "a.png", "image/png", b"picture", "Nomen Nescio's room")
    return book


def test_all_that_is_kept_of_a_person_is_given_out(book):
    out = given_out(told(book), REF)
    assert out["contact"]["name"] == "Nomen Nescio"
    assert {(p["revision"], p["field"]) for p in out["named_in"]} == {(n, f) for n in (2, 3) for f in ("notes", "brief.asked")}


def test_a_person_is_erased_everywhere_and_the_figures_stay(book):
    told(book)
    before = [book.open(REF, n)[0] for n in (1, 2, 3)]
    found = erase(book, REF)
    assert (found.revisions, found.papers) == (2, 1)
    after = [book.open(REF, n)[0] for n in (1, 2, 3)]
    for old, new in zip(before, after, strict=True):
        assert (new.items, new.hours, new.rates, new.boards, new.brief.people) == (
            old.items, old.hours, old.rates, old.boards, old.brief.people)
    assert after[1].notes == "(erased) rang, back at (erased)" and after[1].brief.asked == "As (erased) says."
    assert book.jobs.contact(REF) == Contact() and given_out(book, REF, (WHO.name, WHO.email))["named_in"] == []
    assert "Nescio" not in repr(book.revisions(REF)) + repr(book.jobs.notes(REF)) + repr(book.attachments(REF))
    letter, sheet = (p[3] for p in reversed(book.papers(REF)))
    with pytest.raises(KeyError, match="erased on request"):
        book.paper(REF, letter)
    assert book.paper(REF, sheet) == b"leg,4"
    assert book.save(demo(), 3, "goes on") == 4


def test_nothing_of_the_person_is_left_in_any_file(file_book):
    from studio_lib.jobbook.backup import keep_a_copy

    told(file_book)
    keep_a_copy(file_book)
    erase(file_book, REF, files=(file_book.attachments(REF)[0].number,))
    file_book.close()
    files = [p for p in file_book.folder.rglob("*") if p.is_file()]
    assert len(files) >= 2
    for path in files:
        assert not any(word.encode() in path.read_bytes() for word in (WHO.name, "Nowhere Lane", WHO.email, WHO.phone)), path
    assert file_book.attachments(REF) == []


def test_a_word_that_is_also_a_timber_leaves_the_timber_alone(book):
    book.save(demo().changed("notes", "Black locust wants it so"), 1, "x")
    erase(book, REF, more=("Black locust",))
    now = book.open(REF)[0]
    assert now.timber.species == demo().timber.species == "Black locust" and now.notes == "(erased) wants it so"


def test_times_in_the_record_run_forward(book):
    told(book)
    assert all(a.saved_at >= b.saved_at for a, b in pairwise(book.revisions(REF)))


def test_leftovers_of_a_job_come_into_the_rack_once_and_what_it_cut_leaves(book):
    from studio_lib.stock import Board, Wanted, lay_out

    def in_rack(ref, length):
        return OfferedBoard(ref=ref, timber="ash", length_mm=length, width_mm=100, thickness_mm=27, price="0", source="rack")

    book.rack.add(RackBoard(in_rack("R1", 1000), "offcut", "2026-01-05"), RackBoard(in_rack("R3", 200), "offcut", "2026-01-05"))
    boards = [Board("R1", "ash", 1000, 100, 27, 0, 1, source="rack"), Board("Y1", "ash", 2000, 100, 27, 30, 1)]
    short = lay_out([Wanted("A", 2500, 100, 27, 1, "show", "ash")], boards, 4)
    with pytest.raises(ValueError, match="no place yet"):
        book.rack.keep_leftovers(short, REF, (), date(2026, 2, 1))
    # 950 of the rack's 1000 mm, 1500 of the yard's 2000: 496 mm are left of the yard's, a kerf of 4 off.
    layout = lay_out([Wanted("A", 950, 100, 27, 1, "show", "ash"), Wanted("B", 1500, 100, 27, 1, "show", "ash")], boards, 4)
    offered = (in_rack("R2", 300),)
    assert book.rack.keep_leftovers(layout, REF, offered, date(2026, 2, 1)) == (["R4"], ["R1"])
    lying = {b.ref: b for b in book.rack.boards()}
    assert set(lying) == {"R3", "R4"} and lying["R4"].board.length_mm == 496 and lying["R4"].came_from == REF
    assert [(b.ref, b.gone_to) for b in book.rack.boards(gone=True)] == [("R1", REF)]
    with pytest.raises(ValueError, match="on the rack already"):
        book.rack.keep_leftovers(layout, REF, offered, date(2026, 2, 2))
    assert {b.ref for b in book.rack.boards()} == {"R3", "R4"}
