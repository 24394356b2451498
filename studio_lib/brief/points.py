"""What the client asked for, point by point, and how the maker answers each."""

from __future__ import annotations

import re

from collections.abc import Iterator

from studio_lib.brief.heard_pieces import names_a_piece
from studio_lib.brief.reading import NUMBERS
from studio_lib.commission import Brief

MOST = 40
LONGEST = 240
_SENTENCES = re.compile(r"(?<=[.!?;:])\s+|\n+")
_LEADS = re.compile(r"^(?:and|but|also|then|afterwards)\s+", re.IGNORECASE)


_A = rf"(?:an?|some|another|\d{{1,3}}|{'|'.join(NUMBERS)})"
_BY_IT = re.compile(rf",?\s+and\s+(?=(?:above|over|below|under|underneath|beside|next to|behind|in front of|between|opposite)\s+(?:it|them)\b(?:,[^,.;]{{1,40}},)?\s+{_A}\s)", re.IGNORECASE)
"""Before what stands or hangs by the first thing: 'and above it two shelves'."""
_AND_ANOTHER = re.compile(rf",\s+and\s+(?=(?:also\s+|then\s+)?{_A}\s+([^,.;()]+))", re.IGNORECASE)
_KNOWN_WITHIN = 12
"""Words of more letters than this that stand within a point there is are taken to be answered with it; shorter ones may be said of another thing."""
_FIRST_WORDS = 5
"""Among so many words after 'and a' another piece is named."""


def taken_apart(asked: str) -> tuple[str, ...]:
    """The client's words as single points: a sentence each, and each piece its own; one that holds several wishes may be answered in part.

    A longer one than fits is taken apart at a comma, else at a word with an ellipsis; no word is lost.
    """
    found = (_LEADS.sub("", words.strip().rstrip(".;:,!?")) for sentence in _SENTENCES.split(asked) for words in _by_piece(sentence))
    return tuple(words for whole in found for words in _that_fit(whole) if words)[:MOST]


def _by_piece(sentence: str) -> Iterator[str]:
    """A sentence by the pieces that it asks for: 'a desk, and above it two shelves' is two."""
    starts = [(at.start(), at.end()) for at in _BY_IT.finditer(sentence)]
    starts += [
        (at.start(), at.end()) for at in _AND_ANOTHER.finditer(sentence)
        if names_a_piece(" ".join(at[1].split()[:_FIRST_WORDS])) and names_a_piece(sentence[:at.start()])
    ]
    begin = 0
    for end, following in sorted(starts):
        yield sentence[begin:end]
        begin = following
    yield sentence[begin:]


def _that_fit(words: str) -> Iterator[str]:
    """Words in parts of ``LONGEST`` at the most."""
    while len(words) > LONGEST:
        room = words[:LONGEST - 1]
        commas = [at.start() for at in re.finditer(r",\s", room) if room.count("(", 0, at.start()) == room.count(")", 0, at.start())]
        if commas and commas[-1] > LONGEST / 3:
            yield room[:commas[-1]]
            words = _LEADS.sub("", words[commas[-1] + 1:].strip())
            continue
        end = room.rfind(" ", 0, LONGEST - 2)
        end = end if end > 0 else LONGEST - 3
        yield words[:end].rstrip() + "\u2026"
        words = "\u2026" + words[end:].lstrip()
    yield words


def with_points(brief: Brief) -> list[dict]:
    """The points of a brief as they stand, and those of the client's words that are not among them yet."""
    there = [p.model_dump(mode="json") for p in brief.points]
    known = {p.words.lower() for p in brief.points}
    new = [{"words": words} for words in taken_apart(brief.asked) if not any(words.lower() == said or len(words) > _KNOWN_WITHIN and words.lower() in said for said in known)]
    return (there + new)[:MOST]


def unanswered(brief: Brief) -> tuple[str, ...]:
    """The points that no answer is given to yet."""
    return tuple(p.words for p in brief.points if not p.answer)


def answered(brief: Brief) -> list[tuple[str, str, str]]:
    """Each point that is answered: (the client's words, how, the maker's words)."""
    return [(p.words, p.answer, p.note) for p in brief.points if p.answer]
