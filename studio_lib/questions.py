"""What a commission still leaves open, and what each open question holds up."""

from __future__ import annotations

from dataclasses import dataclass

from studio_lib.brief import questions as trade
from studio_lib.commission import Commission


@dataclass(frozen=True)
class OpenQuestion:
    """A question to put to the client, or to oneself."""

    asks: str
    why: str
    blocks: str
    page: str
    key: str = ""
    """Field of the document that holds the answer."""


def open_questions(c: Commission) -> list[OpenQuestion]:
    """Unanswered questions that matter, in the order to ask them."""
    answers = trade.answers_of(c.model_dump(mode="json"))
    out = [OpenQuestion(q.asks, q.why, q.blocks, "brief", q.key) for q in trade.open_questions(answers)]

    def when(missing: bool, asks: str, why: str, blocks: str, page: str):
        if missing:
            out.append(OpenQuestion(asks, why, blocks, page))

    when(c.timber.species is None, "Which timber?", "it decides life, movement and weight",
         "movement, strength and price", "timber")
    when(not c.boards.offered and not c.boards.stock, "Which boards are there?", "price follows the boards really bought",
         "materials and price", "boards")
    when(bool(c.boards.offered) and c.boards.priced_on is None, "When were the boards priced?",
         "prices age", "how long the quote can hold", "boards")
    return out


def next_few(c: Commission) -> list[OpenQuestion]:
    """The next questions of the brief, few at a time."""
    answers = trade.answers_of(c.model_dump(mode="json"))
    return [OpenQuestion(q.asks, q.why, q.blocks, "brief", q.key) for q in trade.next_few(answers)]
