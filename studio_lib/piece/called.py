"""A piece by its name in a sentence: 'The bench is', 'The shelves are'."""

from __future__ import annotations

import re

AFTER = re.compile(r",|\b(?:of|for|beside|by|in|on|at|with|without|under|over|above|below|between|before|behind|near|to|from|against|round|that|which)\b")
"""What follows these says more of the piece and does not name it: 'shelves beside the chimney', 'chest of drawers'."""
ONE_IN_S = re.compile(r"(?:ss|us|is|as)$")
"""Words for one thing that end in s: 'chess', 'canvas'."""
SEVERAL_NAMED = re.compile(r"\band (?:a|an|the|one|two|three|four|five|six|[0-9]+)\b")


def is_several(name: str) -> bool:
    """Whether a name is said in the plural.

    >>> [is_several(n) for n in ("alcove shelves beside the chimney", "chest of drawers", "set of shelves", "steps", "bench")]
    [True, False, False, True, False]
    """
    head = AFTER.split(name.strip().lower())[0].strip()
    if SEVERAL_NAMED.search(head):
        return True
    last = re.sub(r"[^a-z]+$", "", head).rpartition(" ")[2]
    return last.endswith("s") and not ONE_IN_S.search(last) and len(last) > 2


def said_of(name: str, one: str, several: str) -> str:
    """The word that agrees with a name, of two: 'is' or 'are'."""
    return several if is_several(name) else one


def the(name: str) -> str:
    """A piece by its name in the middle of a sentence.

    >>> the("bench"), the("Low shelf"), the("TV unit"), the("Mum's armchair")
    ('the bench', 'the low shelf', 'the TV unit', "Mum's armchair")
    """
    if re.match(r"[A-Z]\w*(?:'s|\u2019s) ", name):
        return name
    return f"the {name[:1].lower() + name[1:] if name[1:2].islower() else name}"
