"""The order of assembly on the drawings: every stage of the work in its order, every member once, and what takes no glue."""

import re

import pytest
from sheets import NAMES, drawn, usual

from studio_lib.drawings.assembly import assembly_figures, runs
from studio_lib.piece.order import order_of_work


def references(words, piece):
    """All references in words, runs written out in full."""
    out = []
    for first, last in re.findall(r"(A-[A-Z]+\d+)(?: to (A-[A-Z]+\d+))?", words):
        head = first.rstrip("0123456789")
        a, b = (int(r[len(head):]) for r in (first, last or first))
        out += [f"{head}{k}" for k in range(min(a, b), max(a, b) + 1)]
    return out


@pytest.mark.parametrize("name", NAMES)
def test_every_member_goes_in_once_and_stages_use_only_what_was_made_before(name):
    piece = usual(name)
    numbered = [n for f in assembly_figures(piece, 247.0) for n in f.notes if re.match(r"\d+\. ", n)]
    assert len(numbered) == len(order_of_work(piece).stages)
    named = [r for n in numbered for r in references(n, piece)]
    assert sorted(named) == sorted(m.ref for m in piece.members)
    made = [int(k) for n in numbered for k in re.findall(r"what (\d+) made", n)]
    assert sorted(made) == list(range(1, len(numbered)))  # each but the last is used once
    for k, n in enumerate(numbered, 1):
        assert all(int(v) < k for v in re.findall(r"what (\d+) made", n)) and n.endswith(("glued.", "dry."))


@pytest.mark.parametrize("name", ["bench", "table", "stool"])
def test_it_stands_on_the_sheet_of_the_piece_taken_apart(name):
    made = drawn(usual(name))
    sheet = next(s for s, _ in made.sheets if s.kind == "taken apart")
    assert {"Order of assembly", "Members"} <= {f.title for f, *_ in sheet.figures}


def test_references_that_count_down_are_one_run_too():
    assert runs(("A-K4", "A-U3", "A-U2", "A-U1", "A-K3")) == "A-K4, A-U3 to A-U1, A-K3"
    assert runs(("A1", "A2")) == "A1, A2" and runs(("A1", "A2", "A3", "A5")) == "A1 to A3, A5"
