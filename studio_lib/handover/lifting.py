"""By what a piece is lifted and carried, what it is not made for, and what of it closes on little fingers, by what it is."""

from __future__ import annotations

from studio_lib.piece.leaves import leaves
from studio_lib.structure.loads import serves

STANDS_ON = "It is made to be stood on by one person at a time, on level ground."
FREEHAND = "It is made as furniture, not to be climbed."
MADE_FOR = {
    "table": "It is made to be sat at and leaned on, not climbed.",
    "seat": "It is made to be sat on, not stood on or climbed.",
    "shelf": "Nobody climbs it or hangs on it.",
    "screen": "It is made to screen, not to be sat on, hung from or climbed.",
}
"""What a piece is for and what not, by what it serves as; common practice, no source."""


def held_by(made) -> str:
    """By what a piece (``derived.pieces.Made``) is lifted, to follow 'lift it' or 'carry it'."""
    use, roles = serves(made.item.form), " ".join(m.role for m in made.piece.members)
    opens = {leaf.kind for leaf in leaves(made.piece)}
    if use == "screen":
        hung = "cables" if any(j.kind == "cable and spacers" for j in made.piece.joints) else "slats"
        return f"upright, by its frame, not by the {hung}"
    if "lid" in opens:
        return f"from under its bottom edge with the lid tied shut, not by the lid{' or the plinth' if 'plinth' in roles else ''}"
    if use == "shelf":
        moving = [what for what in ("door", "drawer") if what in opens]
        emptied = f"emptied, {' and '.join(f'{what}s' for what in moving)} tied shut, " if moving else "emptied, "
        *first, last = ["its top", "a shelf", *(f"a {what}" for what in moving)]
        return f"{emptied}from under its bottom edge, not by {', '.join(first)} or {last}"
    by = "by the rails" if "rail" in roles or "apron" in roles else "by its frame, from below"
    over = [what for what, word in (("the arms", "arm"), ("the back", "back slat")) if word in roles]
    return f"{by}, not by {' or '.join(over) or 'the top'}"


def made_for(made) -> str:
    """What a piece is made to bear and what not, in a sentence."""
    if made.item.form == "freehand":
        return FREEHAND
    return STANDS_ON if made.sizes.get("made_to") else MADE_FOR[serves(made.item.form)]


def pinches(d) -> tuple[str, ...]:
    """What of a job closes on little fingers, of 'door' and 'lid', where children use it or come near it; () where none do."""
    if not d.children:
        return ()
    there = {leaf.kind for m in d.made for leaf in leaves(m.piece)}
    return tuple(name for name, kinds in (("door", {"door", "flap"}), ("lid", {"lid"})) if there & kinds)


def by_piece(d, says) -> str:
    """What ``says`` tells of each piece, in sentences: once where it is the same of all, else after the names of those it is of."""
    told: dict[str, list[str]] = {}
    for m in d.made:
        told.setdefault(says(m), []).append(m.piece.name)
    if len(told) < 2:
        said = next(iter(told), "")
        return said[:1].upper() + said[1:]
    return " ".join(f"{', '.join(names).capitalize()}: {words[:1].lower()}{words[1:]}" for words, names in told.items())
