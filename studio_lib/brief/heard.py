"""What the client's own words say already: pieces, people, money, a date, a door, and wishes that have a field.

Nothing of it is taken by itself. Each reading is offered with the words that it rests on, while its field is still as a new
brief has it; the maker takes it or leaves it.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from datetime import date
from functools import cache

from studio_lib.brief.heard_days import wanted_by_said
from studio_lib.brief.heard_money import money_said
from studio_lib.brief.heard_people import GROWN_SAID, ages_said, child_alone_said, heaviest_said, people_said, tallest_said, wheelchair_said
from studio_lib.brief.heard_pieces import not_made, pieces_said
from studio_lib.brief.heard_sizes import carried_said, distance_said, edges_said, floor_said, folds_said, like_others_said, limits_said, room_said, sizes_said, wall_said, ways_said, wind_said, years_said
from studio_lib.brief.reading import Heard, clause_at, rows_of, words_before
from studio_lib.brief.said import FLAME, REFUSED, far_away, flame_beside, local_words
from studio_lib.commission import Brief, Commission


def heard(c: Commission, today: date, sizes: Sequence[dict[str, float]] = ()) -> tuple[Heard, ...]:
    """Everything that the words of the brief say and no field holds yet, pieces first; nothing once the maker has done with them.

    Parameters
    ----------
    sizes : ({name: value}, ...)
        What each piece there is measures now, given or proposed; () leaves sizes aside. [mm]
    """
    if not c.brief.asked.strip() or c.brief.asked == c.brief.weighed:
        return ()
    ages, plain = list(ages_said(c)), list(_plain(c))
    wishes = [h for h in plain if not (ages and h.path == "brief.children")]
    outdoors = any(h.path == "brief.place" and str(h.value).startswith("outdoors") for h in plain) or c.brief.place.startswith("outdoors")
    own = tuple(sizes_said(c, sizes))
    return (*pieces_said(c, outdoors), *not_made(c), *_not_on_file(c), *people_said(c), *ages, *own, *folds_said(c, sizes), *carried_said(c, sizes), *room_said(c), *wishes, *_local(c), *_harmful(c), *_leave(c), *tallest_said(c), *child_alone_said(c), *wheelchair_said(c), *heaviest_said(c), *ways_said(c), *floor_said(c), *wall_said(c), *wind_said(c), *limits_said(c), *years_said(c), *distance_said(c), *edges_said(c, sizes), *wanted_by_said(c, today), *money_said(c),
            *like_others_said(c, sizes, own))


@cache
def _wishes() -> tuple[tuple[str, object, str, re.Pattern, bool], ...]:
    return tuple((r["path"], _plain_value(r["value"]), r["says"], re.compile(r["words"], re.IGNORECASE), bool(r["even_refused"]))
                 for r in rows_of("heard"))


def _plain_value(written: str) -> object:
    """Yes, a number, or words."""
    return True if written == "true" else int(written) if written.isdigit() else written


def _held(c: Commission, path: str):
    """What a field of the brief holds, and what it holds in a new one."""
    now, new = c.brief, Brief()
    for step in path.split(".")[1:]:
        now, new = getattr(now, step), getattr(new, step)
    return now, new


_MAY = re.compile(r"\b(?:may (?:be )?(?:use|fix|drill|screw)|can (?:use|fix|drill|screw))(?:d|ed)?\b", re.IGNORECASE)


def _partly(text: str) -> bool:
    """Whether something may be used or bored after all: then it is not all of the place that is barred."""
    return any(not REFUSED.search(words_before(text, at.start())) for at in _MAY.finditer(text))


_NO_AFTER = re.compile(r"\s*[:,]?\s*(?:no|none|not)\b(?=\s*(?:[.,;!?)]|$|but\b))", re.IGNORECASE)
"""What refuses the words before it: 'under-floor heating no, but a stove'."""

_THERE = re.compile(r"\b(?:(?:our|the|my|his|her|an|their) (?:old|existing|present|last|first)|walls?|curtains?|sofa|carpet|rug|kitchen (?:is|was)|(?:was|were))\b", re.IGNORECASE)
"""In a clause that speaks of what is there already, or was."""


def _plain(c: Commission) -> Iterator[Heard]:
    """What plain words say, of ``heard.csv``; of one field the first."""
    taken = set()
    for path, value, says, words, even_refused in _wishes():
        now, new = _held(c, path)
        if path in taken or now != new or (path == "brief.children" and c.brief.child_ages):
            continue
        for at in words.finditer(c.brief.asked):
            if any(told.start(1) <= at.start() < told.end(1) for told in _ALLERGIC.finditer(c.brief.asked)):
                continue  # what someone is allergic to is not asked for
            if path == "brief.nothing_drilled" and _partly(c.brief.asked):
                continue
            if path == "brief.children" and GROWN_SAID.match(c.brief.asked, at.end()):
                continue
            if _NO_AFTER.match(c.brief.asked, at.end()) or (path == "brief.heating_below" and far_away(c.brief.asked, at)):
                continue
            if path == "brief.wants.tone" and _THERE.search(clause_at(c.brief.asked, at.start())):
                continue
            if even_refused or not REFUSED.search(words_before(c.brief.asked, at.start())):
                taken.add(path)
                if value != now:
                    yield Heard(path, value, says, at[0])
                break


def _not_on_file(c: Commission) -> Iterator[Heard]:
    """A timber by a name that no row of the table stands for, so that nobody takes another for it."""
    from studio_lib.timber.called import NOT_ON_FILE

    at = next((at for at in NOT_ON_FILE.finditer(c.brief.asked) if not REFUSED.search(words_before(c.brief.asked, at.start()))), None)
    if at and not c.timber.species:
        yield Heard("", None, f"{at[0]} is not among the timbers on file: enter it under 'Timbers and prices of your own' on Timber, or ask which of those there will do", at[0])


def _local(c: Commission) -> Iterator[Heard]:
    """Timber from around where they are."""
    found = local_words(c.brief.asked)
    if found and not c.brief.wants.local:
        yield Heard("brief.wants.local", True, "timber from around here", found[0])


_ALLERGIC = re.compile(
    r"\b(?:allergic|allergy|allergies|react(?:s|ion)? badly|sensitive)\s+(?:to|against)\s+([^.;!?]{3,80}?)(?=\s+(?:and|but)\s+(?:[\w-]+\s+){0,3}(?:smells?|is|are|has|have|wants?)\b|[.;!?]|$)", re.IGNORECASE)
_ALLERGENS = {
    "nickel": r"\bnickel\b", "beeswax": r"\bbees?\W?wax\b|\bpropolis\b", "linseed oil": r"\b(?:linseed|flax)(?: oil)?\b",
    "nut or tung oil": r"\b(?:walnut|nut|tung)(?: oil)\b|\bnuts\b", "rosin or turpentine": r"\b(?:rosin|colophon(?:y|ium)|turpentine)\b",
    "preservatives (isothiazolinones)": r"\bisothiazol\w*|\bpreservatives?\b|\bbiocides?\b", "formaldehyde": r"\bformaldehyde\b",
}
"""By what words people call what they are allergic to, of ``finishing.allergens``."""
_NO_SUCH = re.compile(r"\b(?:no|without(?: any)?|free (?:of|from)|nothing with)\s+((?:(?:and|or|no|any|of)\s+|,\s*)*(?:nickel|bees?\W?wax|propolis|formaldehyde|rosin|turpentine|preservatives?|biocides?)(?:(?:,|\s+(?:and|or|nor))\s*(?:no\s+)?(?:nickel|bees?\W?wax|propolis|formaldehyde|rosin|turpentine|preservatives?|biocides?))*)\b", re.IGNORECASE)
"""What is to be kept away, without a word of why: 'no formaldehyde and no preservatives'."""
_OILS = re.compile(r"\b(?:linseed|walnut|nut|tung|teak|danish)(?: oil)?\b|\boils?\b", re.IGNORECASE)
_NO_OIL = re.compile(r"\b(?:linseed|tung|walnut|nut)(?: oil)?\b[^.;]{0,25}\bsmells?\b|\b(?:hates?|cannot stand|can't stand|dislikes?|no|without)\s+(?:[\w']+\s+){0,4}(?:linseed|tung|walnut|nut|oil)(?: oil)?\b", re.IGNORECASE)


def _harmful(c: Commission) -> Iterator[Heard]:
    """What someone is allergic to: timbers that are not to be used, what finishes, glues and metals hold, and a finish without oil."""
    from studio_lib.timber.called import timbers_of_word, words_for_timbers

    named = [at for at in _NO_SUCH.finditer(c.brief.asked)]
    told = [at for at in _ALLERGIC.finditer(c.brief.asked) if not REFUSED.search(words_before(c.brief.asked, at.start()))]
    for at in told:
        for word in words_for_timbers(at[1]):
            names = [n for n in timbers_of_word(word) if n not in c.brief.wants.unwanted]
            if names:
                yield Heard("brief.wants.unwanted", [*c.brief.wants.unwanted, *names], f"no {word}, for someone is allergic to it: ask how far", at[0])
    for at in [*told, *named]:
        names = [a for a, words in _ALLERGENS.items() if a not in c.brief.allergies and re.search(words, at[1], re.IGNORECASE)]
        if names:
            yield Heard("brief.allergies", [*c.brief.allergies, *names], f"someone is allergic to {' and '.join(names)}: finish, glue and metal are looked through for it", at[0])
    oily = next((at for at in told if _OILS.search(at[1])), None) or _NO_OIL.search(c.brief.asked)
    if oily and c.brief.finish == Brief().finish:
        yield Heard("brief.finish", "water-borne lacquer", "no oil on it: a water-borne lacquer", oily[0])


def _leave(c: Commission) -> Iterator[Heard]:
    """A fire or a gas appliance, which gives others a say."""
    if flame_beside(c.brief) and FLAME not in (c.brief.needs_leave or ()):
        yield Heard("brief.needs_leave", [*(c.brief.needs_leave or ()), FLAME], "it stands by a fire or a gas appliance", "fire")
