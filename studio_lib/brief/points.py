"""What the client asked for, point by point, and how the maker answers each."""

from __future__ import annotations

import re

from studio_lib.commission import Brief

MOST = 40
LONGEST = 240
_SENTENCES = re.compile(r"(?<=[.!?;:])\s+|\n+")
_LEADS = re.compile(r"^(?:and|but|also|then|afterwards)\s+", re.IGNORECASE)


def taken_apart(asked: str) -> tuple[str, ...]:
    """The client's words as single points, a sentence each; one that holds several may be answered in part."""
    found = (_LEADS.sub("", sentence.strip().rstrip(".;:,!?")) for sentence in _SENTENCES.split(asked))
    return tuple(words[:LONGEST] for words in found if words)[:MOST]


def with_points(brief: Brief) -> list[dict]:
    """The points of a brief as they stand, and those of the client's words that are not among them yet."""
    there = [p.model_dump(mode="json") for p in brief.points]
    known = {p.words.lower() for p in brief.points}
    new = [{"words": words} for words in taken_apart(brief.asked) if words.lower() not in known]
    return (there + new)[:MOST]


def unanswered(brief: Brief) -> tuple[str, ...]:
    """The points that no answer is given to yet."""
    return tuple(p.words for p in brief.points if not p.answer)


def answered(brief: Brief) -> list[tuple[str, str, str]]:
    """Each point that is answered: (the client's words, how, the maker's words)."""
    return [(p.words, p.answer, p.note) for p in brief.points if p.answer]
