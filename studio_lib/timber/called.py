"""Timbers that a client names in their own words: 'in oak', 'we like walnut'."""

from __future__ import annotations

import re
from functools import cache, lru_cache

from studio_lib.timber.species import all_species
from studio_lib.timber.tables import rows

REFUSED = re.compile(r"\b(?:no|not|never|without|nor|neither|hate|dislike|instead of|rather than|anything but|except|(?:allergic|allergy|reacts?|reaction|sensitive) (?:to|against))\s+(?:(?:both|any|all|all kinds of|either)\s+)?(?:[\w-]+\s+)?$", re.IGNORECASE)
OF_THINGS_THERE = re.compile(
    r"\b(?:our|their|my|his|her|existing|old|match|matches|matching|beside|next to|near|with the|under the|on the)\s+(?:[\w-]+\s+){0,2}$", re.IGNORECASE)
"""What stands before a timber that is not asked for: it is refused, or it is that of something there already."""
THINGS_THERE = re.compile(r"^[\s-]*(?:floor\w*|parquet|panelling|paneling|doors?|stairs?|beams?|trees?|hedges?|ply\w*|veneer\w*|oils?\b(?!ed)|dust|nuts?\b|coloured|colored)\b", re.IGNORECASE)
"""What stands after one that is not the piece's."""


NOT_ON_FILE = re.compile(r"\b(?:swiss|stone|arolla|cembran?|parana|pitch|mountain) pine\b|\bzirbe\b|\b(?:wych|european|english|field) elm\b|\bpear(?:wood)?\b|\bplum(?: ?wood)?\b", re.IGNORECASE)
"""Timbers that no row of the table stands for, whose names hold another's."""
BOARDS, UNDERFOOT = re.compile(r"\s+(?:boards?|planks?|slats?)\b", re.IGNORECASE), re.compile(r"\b(?:decks?|decking|floors?|terrace|porch|veranda|balcony)\b", re.IGNORECASE)
"""Boards of a timber are those one walks on where the sentence tells of a deck or a floor: 'a new deck, spotted gum boards'."""


def clause_round(text: str, at: int) -> str:
    """The sentence that a place in a text is in."""
    begins = max(text.rfind(mark, 0, at) for mark in ".;!?\n") + 1
    ends = [n for n in (text.find(mark, at) for mark in ".;!?\n") if n >= 0]
    return text[begins:min(ends, default=len(text))]


@cache
def _words() -> tuple[tuple[re.Pattern, str, dict[str, str]], ...]:
    """Every name that is looked for, the longest first: pattern, the word, and the timber by market."""
    named = {r["word"]: {k: v for k, v in r.items() if k not in ("word", "source")} for r in rows("called")}
    for s in all_species():
        plain = s.name.split(" (")[0].split(" / ")[0].casefold()
        named.setdefault(plain, {"": s.name})
    return tuple(
        (re.compile(rf"\b{re.escape(word)}\b", re.IGNORECASE), word, timbers) for word, timbers in sorted(named.items(), key=lambda r: -len(r[0]))
    )


@lru_cache(maxsize=64)
def timbers_called(text: str, market: str) -> dict[str, str]:
    """Timbers asked for in a client's words, in their order: {timber on file: the word said}.

    A word that several timbers answer to, as 'oak', is the one that the market's yards mean by it; Europe's where no market is
    known. Left out is one refused ('no oak') and one of what is there already ('our oak floor').
    """
    found: list[tuple[int, str, str]] = []
    left = NOT_ON_FILE.sub(lambda at: " " * len(at[0]), text)
    for pattern, word, timbers in _words():
        for at in pattern.finditer(left):
            before = text[:at.start()].rpartition(".")[2]
            if not (REFUSED.search(before) or OF_THINGS_THERE.search(before) or THINGS_THERE.match(text[at.end():]) or (BOARDS.match(text[at.end():]) and UNDERFOOT.search(clause_round(text, at.start())))):
                found.append((at.start(), timbers.get(market) or timbers.get("Europe") or timbers[""], word))
        left = pattern.sub(lambda at: " " * len(at[0]), left)
    return {name: word for _, name, word in sorted(found)}


def timbers_of_word(word: str) -> tuple[str, ...]:
    """Every timber on file that a word may stand for, in any market: 'walnut'. () where it is no timber's."""
    return next((tuple(dict.fromkeys(timbers.values())) for pattern, _, timbers in _words() if pattern.fullmatch(word)), ())


def words_for_timbers(text: str) -> list[str]:
    """Words in a text that timbers go by, whatever is said of them."""
    found = []
    for pattern, word, _ in _words():
        if pattern.search(text):
            found.append(word)
            text = pattern.sub(" ", text)
    return found
