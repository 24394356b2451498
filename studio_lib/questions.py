"""What a commission still leaves open, and what each open question holds up."""

from __future__ import annotations

from dataclasses import dataclass

from studio_lib.brief import questions as trade
from studio_lib.commission import Brief, Commission
from studio_lib.people.users import people_words


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
    out = [OpenQuestion(q.asks, q.why, q.blocks, "brief", q.key) for q in trade.open_questions(answers)
           if q.key != "brief.wishes" or not c.items]  # once there is a piece, it is judged itself

    def when(missing: bool, asks: str, why: str, blocks: str, page: str):
        if missing:
            out.append(OpenQuestion(asks, why, blocks, page))

    for opening in c.brief.openings:
        missing = opening.measured().missing
        if missing:
            out.append(OpenQuestion(f"What does the {opening.name.removeprefix('the ')} measure: {', '.join(missing)}? Measure it clear, inside stops and handrails.",
                                    "what is not measured is taken as not in the way", "whether it goes in whole", "brief", "brief.openings"))
    when(c.timber.species is None, "Which timber?", "it decides life, movement and weight",
         "movement, strength and price", "timber")
    when(not c.boards.offered and not c.boards.stock, "Which boards are there?", "price follows the boards really bought",
         "materials and price", "boards")
    when(bool(c.boards.offered) and c.boards.priced_on is None, "When were the boards priced?",
         "prices age", "how long the quote can hold", "boards")
    return out


def seats_someone(c: Commission) -> bool:
    """Whether so many people sit on it or at it at once; a case, a screen or a chest asks no number of people.

    Nor do stools alone: one sits on each, however many are ordered.
    """
    return any(word in item.form for item in c.items for word in ("bench", "table", "freehand"))


def sat_on(c: Commission) -> bool:
    """Whether someone sits on a piece of it, so that a weight matters."""
    return any(word in item.form for item in c.items for word in ("bench", "stool", "chest", "freehand"))


def taken_for_now(c: Commission) -> list[str]:
    """What the brief began with and nobody has changed; [] once most of it is the maker's own."""
    b, begun = c.brief, Brief()
    said = [
        (b.people == begun.people and seats_someone(c), f"{people_words(b.people)} at once"), (b.use == begun.use, f"{b.use} use"),
        (b.place == begun.place, b.place), (b.climate == begun.climate, f"a {b.climate} climate"),
    ]
    same = [words for unchanged, words in said if unchanged]
    return same if len(same) > 1 else []


def next_few(c: Commission) -> list[OpenQuestion]:
    """The next questions of the brief, few at a time."""
    answers = trade.answers_of(c.model_dump(mode="json"))
    return [OpenQuestion(q.asks, q.why, q.blocks, "brief", q.key) for q in trade.next_few(answers)]
