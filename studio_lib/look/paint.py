"""The colour that a painted piece is shown in: a few plain words of English; what else is written is printed, and white is shown."""

from __future__ import annotations

import re

COLOURS = {
    "white": "#f1efe8", "cream": "#eee3c4", "grey": "#a5a8a8", "dark grey": "#55595b", "black": "#26282a", "blue": "#5b7fa6", "dark blue": "#2b3f5e",
    "green": "#7d9a78", "dark green": "#2f4a3a", "red": "#9c3b32", "yellow": "#e0bd5c",
}
"""Colours of ours; white is a broken white, so that its edges are seen."""
WHITE = "white"
_SAID = re.compile(r"\b(?:(dark|deep)[ -])?(white|cream|gr[ea]y|black|blue|green|red|yellow)\b", re.IGNORECASE)


def shown_as(words: str) -> str:
    """The name in ``COLOURS`` of the colour that is shown for a maker's words; '' where they name none, or several."""
    found = {_named(*match.groups()) for match in _SAID.finditer(words)}
    return found.pop() if len(found) == 1 else ""


def _named(dark: str | None, colour: str) -> str:
    colour = colour.lower().replace("gray", "grey")
    return f"dark {colour}" if dark and f"dark {colour}" in COLOURS else colour


def shown_words(words: str) -> str:
    """What a picture shows for a maker's words, a sentence."""
    shown = shown_as(words)
    if not words.strip():
        return "The colour is yours to choose; white is shown."
    return f"A plain {shown} is shown; the paint's own may differ." if shown else "White is shown: a picture knows plain words for a colour alone."
