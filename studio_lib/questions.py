"""What the brief still leaves open, and what each open question holds up."""

from __future__ import annotations

from dataclasses import dataclass

from studio_lib.commission import Commission


@dataclass(frozen=True)
class OpenQuestion:
    """A question to put to the client."""

    asks: str
    blocks: str
    page: str


def open_questions(c: Commission) -> list[OpenQuestion]:
    """Unanswered questions that matter, in the order to ask them."""
    b, out = c.brief, []

    def when(missing: bool, asks: str, blocks: str, page: str = "brief"):
        if missing:
            out.append(OpenQuestion(asks, blocks, page))

    when(not b.asked.strip(), "What does the client want, in their own words?", "the quote quotes it")
    when(not c.items, "What piece is it?", "everything after this page")
    when(b.space_length_mm is None or b.space_width_mm is None,
         "How much room does it have?", "whether the piece fits where it goes")
    when(not b.openings, "What is the narrowest opening on the way in?", "whether it can be delivered whole")
    when(b.budget is None, "What may it cost?", "how the price compares")
    when(b.wanted_by is None, "When is it wanted?", "the last day to order")
    when(c.timber.species is None, "Which timber?", "movement, strength and price", "timber")
    when(not c.boards.offered, "Which boards are there?", "materials and price", "boards")
    when(bool(c.boards.offered) and c.boards.priced_on is None, "When were the boards priced?",
         "how long the quote can hold", "boards")
    return out
