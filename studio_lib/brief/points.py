"""What the client asked for, point by point, and how the maker answers each."""

from __future__ import annotations

import re

from studio_lib.commission import Brief

MOST = 40
LONGEST = 240
_SENTENCES = re.compile(r"(?<=[.!?;:])\s+|\n+")
_COMMAS = re.compile(r",\s+(?![^(]*\))")
"""Those between brackets part nothing."""
_LEADS = re.compile(r"^(?:and|but|also|then|afterwards)\s+", re.IGNORECASE)
WORDS_ALONE = 3
"""A part of a sentence with fewer words than this stays with what stands before it."""


def taken_apart(asked: str) -> tuple[str, ...]:
    """The client's words as single points: a sentence each, or what stands between its commas."""
    points: list[str] = []
    for sentence in _SENTENCES.split(asked):
        first = len(points)
        for part in _COMMAS.split(sentence.strip().rstrip(".;:,!?")):
            part = _LEADS.sub("", part.strip())
            if part and len(points) > first and len(part.split()) < WORDS_ALONE:
                points[-1] = f"{points[-1]}, {part}"
            elif part:
                points.append(part)
    return tuple(p[:LONGEST] for p in points[:MOST])


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
