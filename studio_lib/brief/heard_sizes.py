"""Sizes, the way in, the wind and the years that a client's words give."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence

from studio_lib.brief.heard_pieces import kind_of, named_in, words_for_form, words_of
from studio_lib.brief.reading import Heard, LEN, LIKE_ANOTHER, N, UNIT, in_mm, number_said
from studio_lib.brief.said import alcove_asked, ceiling_asked, in_inches, meant, sizes_asked, skirting_asked, round_across_asked, round_asked, stood_at_asked, tallest_book
from studio_lib.commission import Brief, Commission, Opening
from studio_lib.units import mm


def sizes_said(c: Commission, now: Sequence[dict[str, float]]) -> Iterator[Heard]:
    """Length, depth and height said of each piece there is, where its form has such a size and proposes another."""
    from studio_lib.forms import FORMS

    called = tuple((i.form, i.name) for i in c.items)
    for n, (item, sizes) in enumerate(zip(c.items, now)):
        # Of several only sentences that speak of this one: what is said of no piece by name may be of any.
        words = c.brief.asked if len(called) == 1 else words_of(c.brief.asked, called, n)
        if item.form in FORMS and words:
            yield from _sizes_of(c.brief.model_copy(update={"asked": words}), item, FORMS[item.form], sizes, n, len(called) > 1)


_NOT_ITS_OWN = re.compile(r"\b(?:door|ceiling|room|wall|window|away|from|gap|between|over|above|under|than|most|height|high|tall|deep|radiator|next|books?|records?|of \w+ (?:boards?|planks?))\b", re.IGNORECASE)
LEAST_ALONE_MM = 600.0
"""A shorter length with no word beside it may be any size; judgement of ours."""


def _said_alone(asked: str, form: str) -> float | None:
    """The length of a piece that is said with no word beside it: 'a sideboard 1.8 m, with three doors'. [mm]"""
    for words in words_for_form(form):
        for at in re.finditer(rf"(?:{words.pattern})([^.;\d]{{0,45}}?){LEN}(?=\s*(?:[.,;)](?!\d)|$|with\b|and\b|in (?!height|depth)))", in_inches(asked), re.IGNORECASE):
            between, value = at[at.lastindex - 2], in_mm(at[at.lastindex - 1], at[at.lastindex])
            if value >= LEAST_ALONE_MM and not _NOT_ITS_OWN.search(between):
                return value
    return None


A_BIT_MM = 30.0
"""'A bit' higher; judgement of ours."""
_WAYS = {"wide": 0, "width": 0, "long": 0, "length": 0, "deep": 1, "depth": 1, "high": 2, "tall": 2, "height": 2, "higher": 2, "taller": 2, "lower": 2}
"""Which of a form's sizes over all each word is for."""


def like_others_said(c: Commission, now: Sequence[dict[str, float]], offered: Sequence[Heard]) -> Iterator[Heard]:
    """Sizes that are to be those of another piece of the job: what that one measures now, or is heard to measure (``offered``)."""
    from studio_lib.forms import FORMS

    called, heard = tuple((i.form, i.name) for i in c.items), {h.path: h.value for h in offered}
    for n, (item, sizes) in enumerate(zip(c.items, now)):
        for at in LIKE_ANOTHER.finditer(words_of(c.brief.asked, called, n)):
            way = _WAYS[(at["as"] or at["same"] or at["more"]).lower()]
            other = named_in(at["what"], called, n)
            if other is None or item.form not in FORMS or called[other][0] not in FORMS:
                continue
            name, theirs = FORMS[item.form].overall[way], FORMS[called[other][0]].overall[way]
            path, size = f"items.{n}.sizes.{name}", next((s for s in FORMS[item.form].sizes if s.name == name), None)
            value = heard.get(f"items.{other}.sizes.{theirs}", now[other].get(theirs) if other < len(now) else None)
            if size is None or value is None or name in item.sizes or path in heard or name not in sizes:
                continue
            more = (-A_BIT_MM if at["more"].lower() == "lower" else A_BIT_MM) if at["more"] else A_BIT_MM if at["bit"] else 0.0
            if size.low <= value + more <= size.high and abs(sizes[name] - value - more) > 1.0:
                like = f"{'like' if not more else f'{mm(A_BIT_MM)} mm ' + ('more than' if more > 0 else 'less than')} the {called[other][1]}"
                yield Heard(path, round(value + more, 1), f"{item.name}, {size.label[0].lower()}{size.label[1:]}: {mm(round(value + more))} mm, {like}", at[0].strip())


def _sizes_of(brief: Brief, item, form, now: dict[str, float], index: int, several: bool) -> Iterator[Heard]:
    asked, sizes, things = sizes_asked(brief), {s.name: s for s in form.sizes}, tallest_book(brief)
    if several:  # of one piece it is a limit for the whole job
        for field, value, _ in _limits(brief.asked):
            way = {"most_length_mm": "long", "most_width_mm": "deep", "most_height_mm": "high"}[field]
            if way not in asked and now.get(form.overall["long deep high".split().index(way)], 0.0) > value:
                asked[way] = value
    if things and asked.get("high") == things[0]:
        del asked["high"]  # said of what stands on the shelves
    if kind_of(item.form) == "table" and stood_at_asked(brief):
        asked["high"] = stood_at_asked(brief)
    if item.form == "table" and round_asked(brief) and (across := round_across_asked(brief)):
        asked |= {"long": across, "deep": across}
    if "long" not in asked and (alone := _said_alone(brief.asked, item.form)):
        asked["long"] = alone
    if item.form == "framed screen" and _EACH_WIDE.search(in_inches(brief.asked)) and meant(_FOLDS, brief.asked):
        asked.pop("long", None)  # of each leaf
    if alcove_asked(brief):
        asked = {}  # said of the place: the form fits itself into it
    for way, name in zip(("long", "deep", "high"), form.overall):
        value, size = asked.get(way), sizes.get(name)
        if value is None or size is None or name in item.sizes or name not in now:
            continue
        if value < size.low:  # a figure without its unit, of what nobody measures in mm: cm, and '1.80 wide' m
            value *= next((way for way in (10, 1000) if size.low <= value * way <= size.high), 1)
        whose = f"{item.name}, " if several else ""
        if way == "long" and size.high < value <= MOST_SAID_MM:
            yield Heard("", None, f"{whose}{size.label[0].lower()}{size.label[1:]}: {mm(round(value))} mm are said, and one piece of this form is made up to {mm(size.high)} mm: order several beside each other, each of its share", way)
        if size.low <= value <= size.high and abs(now[name] - value) > 1.0:
            yield Heard(f"items.{index}.sizes.{name}", round(value, 1), f"{whose}{size.label[0].lower()}{size.label[1:]}: {mm(round(value))} mm", way)


MOST_SAID_MM = 12_000.0
"""A longer piece is none that anybody says; judgement of ours."""
_LEAVES = re.compile(rf"\b(?:(?:in|of|with|has)\s+)?{N}\s+(?:(?:hinged|folding|equal|narrow)\s+)*(?:leaves|wings|panels)\b", re.IGNORECASE)
_FOLDS = re.compile(r"\b(?:folding|hinged) (?:room )?(?:screens?|dividers?|partitions?)\b|\b(?:screens?|dividers?|partitions?)\b[^.;]{0,40}\b(?:folds?|folded|in \w+ leaves|hinged)\b", re.IGNORECASE)
_EACH_WIDE = re.compile(rf"\beach\s+(?:leaf\s+)?(?:is\s+)?(?:about\s+|some\s+)?{LEN}\s+wide\b", re.IGNORECASE)
IN_LEAVES = 2
"""Of how a framed screen stands: in folding leaves."""


def folds_said(c: Commission, now: Sequence[dict[str, float]]) -> Iterator[Heard]:
    """A framed screen in folding leaves, how many, and how wide in all where the width of each is said."""
    screens = [n for n, item in enumerate(c.items) if item.form == "framed screen"]
    if len(screens) != 1 or len(now) <= screens[0]:
        return
    n, text = screens[0], in_inches(c.brief.asked)
    item, at = c.items[n], meant(_FOLDS, text)
    if not at or "stands" in item.sizes or now[n].get("stands") == IN_LEAVES:
        return
    many = _LEAVES.search(text)
    leaves = min(max(number_said(many[1]), 2), 8) if many else 0
    each = _EACH_WIDE.search(text) if many else None
    first = ((f"items.{n}.sizes.leaves", float(leaves)),) if many else ()
    if each:
        first += ((f"items.{n}.sizes.length_mm", round(leaves * in_mm(each[1], each[2]), 1)),)
    yield Heard(f"items.{n}.sizes.stands", float(IN_LEAVES), f"{item.name}: in {f'{leaves} ' if leaves else ''}folding leaves{f', {mm(round(first[-1][1]))} mm wide in all' if each else ''}", at[0], first)


_A_SHELF_KG = re.compile(r"\b(\d{1,3})\s*(?:kg|kilos?|kilograms?)\s*(?:/|an?|per|each|to the|to a|on (?:an?|each|every)|for each)\s*shelf\b|\beach shelf\b[^.;\d]{0,25}(\d{1,3})\s*(?:kg|kilos?|kilograms?)\b", re.IGNORECASE)
_ON_SHELF = re.compile(r"\b(\d{1,3})\s*(?:kg|kilos?|kilograms?)\s*(?:/|an?|per|each|to the|to a|on (?:a|each|every))\s*(?:m\b|met(?:re|er))", re.IGNORECASE)


def _wide(form: str) -> str:
    """The name of a form's width."""
    from studio_lib.forms import FORMS

    return FORMS[form].overall[0]


def carried_said(c: Commission, now: Sequence[dict[str, float]]) -> Iterator[Heard]:
    """What a metre of shelf is to carry, of the one piece there is."""
    at, sizes = _ON_SHELF.search(c.brief.asked), now[0] if len(now) == 1 else {}
    whole = _A_SHELF_KG.search(c.brief.asked)
    if not at and whole and "load_kg_m" in sizes and "load_kg_m" not in c.items[0].sizes:
        said = int(whole[1] or whole[2])
        on_metre = math.ceil(said / (sizes[_wide(c.items[0].form)] / 1000))
        if 1 <= on_metre <= 150:
            yield Heard("items.0.sizes.load_kg_m", float(on_metre), f"{said} kg on a shelf: {on_metre} kg on each metre", whole[0])
    if at and "load_kg_m" in sizes and "load_kg_m" not in c.items[0].sizes and 1 <= int(at[1]) <= 150:
        yield Heard("items.0.sizes.load_kg_m", float(at[1]), f"{at[1]} kg on each metre of shelf", at[0])


_ROOM = re.compile(rf"\b(?:room|kitchen|studio|office|space)\b[^.;]{{0,20}}?\b(\d+(?:[.,]\d+)?)\s*(?:{UNIT})?\s*(?:x|by|\u00d7|on)\s*(\d+(?:[.,]\d+)?)\s*{UNIT}", re.IGNORECASE)
ROOM_MM = (1_500.0, 12_000.0)
"""What the sides of a room may measure; anything else is said of something else. Judgement of ours."""


def room_said(c: Commission) -> Iterator[Heard]:
    """The room that a table stands in, by its length and width."""
    b, at = c.brief, _ROOM.search(c.brief.asked)
    if not at or b.space_length_mm or b.space_width_mm or not any(kind_of(i.form) == "table" for i in c.items):
        return
    long, wide = sorted((round(in_mm(at[1], at[2] or at[4])), round(in_mm(at[3], at[4]))), reverse=True)
    if ROOM_MM[0] <= wide and long <= ROOM_MM[1]:
        yield Heard("brief.space_width_mm", wide, f"a room of {mm(long)} x {mm(wide)} mm", at[0], (("brief.space_length_mm", long),))


_DOORS = tuple(re.compile(words, re.IGNORECASE) for words in (
    rf"\b{LEN}\s+(?:wide\s+)?(?:front |back |garden |kitchen |room |narrow )?(?:door|doorway)\b",
    rf"\b(?:door|doorway)\s+(?:[a-z']+\s+){{0,5}}?(?:is|of|at|measures)\s+(?:only\s+|just\s+|about\s+)*{LEN}", rf"\bdoor(?:way)?,?:?\s+(?:only\s+|just\s+|about\s+)?{LEN}(?!\s*(?:high|tall|away|from|thick))",
))


def _length(text: str, patterns: tuple[re.Pattern, ...], low: float, high: float) -> tuple[float, str] | None:
    said = ((in_mm(at[1], at[2]), at[0]) for words in patterns for at in words.finditer(text))
    return min((s for s in said if low <= s[0] <= high), default=None)


def ways_said(c: Commission) -> Iterator[Heard]:
    """A door, a ceiling and a skirting board that are measured."""
    b = c.brief
    there = {o.kind for o in b.openings}
    openings = [o.model_dump(mode="json") for o in b.openings]
    door, ceiling, skirting = _length(in_inches(b.asked), _DOORS, 550, 2_000), ceiling_asked(b), skirting_asked(b)
    if door and "door" not in there:
        new = Opening(kind="door", name="door", width_mm=round(door[0]))
        yield Heard("brief.openings", [*openings, new.model_dump(mode="json")], f"a door {mm(round(door[0]))} mm wide", door[1])
    stair = _STAIR.search(in_inches(b.asked))
    if stair and "stair" not in there:
        wide = round(in_mm(*((stair[1], stair[2]) if stair[1] else (stair[3], stair[4]))))
        turn = next((how for how, words in _TURNS if words.search(b.asked)), None)
        if 500 <= wide <= 2_500:
            new = Opening(kind="stair", name="stair", width_mm=wide, turn=turn)
            yield Heard("brief.openings", [*openings, new.model_dump(mode="json")], f"a stair {mm(wide)} mm wide{f', with a {turn} turn' if turn else ''}", stair[0])
    if ceiling and "ceiling" not in there:
        new = Opening(kind="ceiling", name="ceiling", height_mm=round(ceiling))
        yield Heard("brief.openings", [*openings, new.model_dump(mode="json")], f"a ceiling of {mm(round(ceiling))} mm", "ceiling")
    if skirting and b.skirting_high_mm is None:
        yield Heard("brief.skirting_high_mm", round(skirting), f"a skirting board {mm(round(skirting))} mm high", "skirting")


_GUSTS = re.compile(r"\b(\d{2,3})\s*(km/h|kmh|kph|mph|m/s|knots?)(?!\w)", re.IGNORECASE)
IN_M_S = {"km/h": 1 / 3.6, "kmh": 1 / 3.6, "kph": 1 / 3.6, "mph": 0.44704, "m/s": 1.0, "knot": 1852 / 3600, "knots": 1852 / 3600}


def wind_said(c: Commission) -> Iterator[Heard]:
    """Gusts that the words give a speed of. [m/s]"""
    at = _GUSTS.search(c.brief.asked)
    if at and c.brief.wind_m_s is None:
        value = round(int(at[1]) * IN_M_S[at[2].lower()], 1)
        if 5 <= value <= 90:
            yield Heard("brief.wind_m_s", value, f"gusts of {at[0]}", at[0])


_YEARS = re.compile(rf"\blast(?:s|ing)?\s+(?:us\s+)?(?:for\s+|at least\s+|about\s+)*{N}\s+years\b|(?:^|[.;]\s+){N}\s+years\s+at\s+least\b", re.IGNORECASE)


_LIMITS = {"most_length_mm": "wider|longer", "most_width_mm": "deeper", "most_height_mm": "higher|taller"}
_NO_MORE = re.compile(
    rf"\b(?:not|no|nor|never)\s+(?:be\s+|more\s+)?(wider|longer|deeper|higher|taller)\s+than\s+(?:(?:the|our|my)\s+[a-z' ]{{3,30}},\s*)?(?:about\s+)?(\d+(?:[.,]\d+)?)"
    rf"(?!\s*(?:weeks?|days?|months?|hours?|minutes?|years?|people|kg|%))\s*(?:{UNIT})?", re.IGNORECASE)
IN_CM_TO = 400.0
"""A limit without a unit up to this is in cm, over it in mm; judgement of ours."""


_ALL_THERE_IS = re.compile(rf"{LEN}\s+(?:is|are)\s+(?:the most|all|as much as)\s+(?:there is|there's|we have|I have|fits|will fit|can be spared)\b(?!\s+(?:in|of)\s+(?:height|depth))", re.IGNORECASE)
"""'1.4 m is the most there is between door and window': along the wall."""


def _limits(asked: str) -> Iterator[tuple[str, int, re.Match]]:
    """(field, most in mm, its words); one without its unit has that of the figure before it."""
    unit = ""
    for at in _NO_MORE.finditer(in_inches(asked)):
        unit = at[3] or unit
        field = next(f for f, words in _LIMITS.items() if at[1].lower() in words.split("|"))
        value = round(in_mm(at[2], unit or ("cm" if float(at[2].replace(",", ".")) <= IN_CM_TO else "mm")))
        if 100 <= value <= 6_000:
            yield field, value, at


def limits_said(c: Commission) -> Iterator[Heard]:
    """No wider, deeper or higher than a figure; of several pieces it is a size of the one that it is said of."""
    if len(c.items) > 1:
        return
    for field, value, at in _limits(c.brief.asked):
        if getattr(c.brief, field) is None:
            yield Heard(f"brief.{field}", value, f"no {at[1].lower()} than {mm(value)} mm", at[0])
    at = _ALL_THERE_IS.search(in_inches(c.brief.asked))
    if at and c.brief.most_length_mm is None and 100 <= in_mm(at[1], at[2]) <= 6_000:
        yield Heard("brief.most_length_mm", round(in_mm(at[1], at[2])), f"no longer than {mm(round(in_mm(at[1], at[2])))} mm", at[0])


_WALL_OF = tuple((kind, re.compile(words, re.IGNORECASE)) for kind, words in (
    ("stud and board", r"\b(?:studs?|stud walls?|drywall|plaster ?board|partition wall)\b"), ("hollow block", r"\b(?:hollow|aerated|breeze)[- ]?(?:blocks?|bricks?|concrete)\b"),
    ("solid timber", r"\b(?:log|solid timber|timber-clad) walls?\b|\bwalls? (?:is|are) (?:of )?(?:logs|solid timber)\b"),
    ("brick or concrete", r"\bwalls?\b[^.;]{0,25}\b(?:brick|concrete|masonry|stone)\b|\b(?:brick|concrete|masonry|stone) walls?\b"),
))


def wall_said(c: Commission) -> Iterator[Heard]:
    """What the wall is made of, where a piece hangs on it."""
    from studio_lib.forms import FORMS

    if c.handover.wall or not any(i.form in FORMS and i.form.startswith("hung") for i in c.items):
        return
    found = next(((kind, at) for kind, words in _WALL_OF if (at := words.search(c.brief.asked))), None)
    if found:
        yield Heard("handover.wall", found[0], f"the wall: {found[0]}", found[1][0])


_FALLS = re.compile(rf"\bfalls?\b[^.;\d]{{0,15}}{LEN}\s+(?:over|in|on|across)\s+{LEN}", re.IGNORECASE)
_STAIR = re.compile(rf"\bstair(?:s|case|way)?\b[^.;\d]{{0,25}}{LEN}(?:\s+wide|(?=\s*(?:[,.;]|$|with\b|and\b)))|\b{LEN}\s+(?:wide\s+)?stair", re.IGNORECASE)
_TURNS = (("half", re.compile(r"\bhalf[- ]?(?:landing|turn)\b|\bturns? (?:back|round)\b", re.IGNORECASE)), ("quarter", re.compile(r"\bquarter[- ]?(?:landing|turn)\b|\bturns? once\b|\bwith a (?:bend|turn)\b", re.IGNORECASE)))


def floor_said(c: Commission) -> Iterator[Heard]:
    """How far the floor falls over two metres."""
    at = _FALLS.search(c.brief.asked)
    if at and c.brief.floor_falls_mm is None:
        value = round(in_mm(at[1], at[2]) * 2000 / max(in_mm(at[3], at[4]), 1.0), 1)
        if 1 <= value <= 100:
            yield Heard("brief.floor_falls_mm", value, f"the floor falls {mm(value)} mm over 2 m", at[0])


_KIND_EDGES = re.compile(
    r"\bedges?\b(?:(?!\b(?:not?|never|sharp)\b|n't\b)[^.;,]){0,25}\b(?:kind|soft(?:ened)?|gentle|rounded|eased)\b|\b(?:kind|soft(?:ened|er)?|gentle|rounded(?:[ -](?:off|over))?|round|eased) edges\b", re.IGNORECASE)
_NO_SHARP_EDGES = re.compile(r"\b(?:no|nothing with|without|not (?:have )?any)\s+(?:\w+\s+)?(?:sharp|hard) edges\b|\bedges?\b[^.;,]{0,20}\b(?:not|never|n't) (?:be )?(?:too )?sharp\b", re.IGNORECASE)
KIND_MM = 3.0
"""Taken off the arrises where edges are to be kind to whoever runs into them: common practice, no source; school furniture has 2 mm at the least: EN 1729-2, from memory."""


def edges_said(c: Commission, now: Sequence[dict[str, float]]) -> Iterator[Heard]:
    """Edges that are to be kind, of all the pieces, as far as their forms take off arrises."""
    from studio_lib.forms import FORMS

    at = _NO_SHARP_EDGES.search(c.brief.asked) or meant(_KIND_EDGES, c.brief.asked)
    if not at:
        return
    taken_off = [
        (f"items.{n}.sizes.arris_mm", off) for n, (item, sizes) in enumerate(zip(c.items, now)) if item.form in FORMS and "arris_mm" not in item.sizes
        for size in FORMS[item.form].sizes if size.name == "arris_mm" and (off := min(KIND_MM, size.high)) > sizes.get("arris_mm", off)
    ]
    if taken_off:
        *first, (path, value) = taken_off
        most = max(off for _, off in taken_off)
        yield Heard(path, value, f"edges kind to hands and heads: up to {mm(most)} mm taken off their arrises", at[0], tuple(first))


_FROM_THE_WORKSHOP = re.compile(
    r"(?<![\d.,])(\d{1,4}(?:[.,]\d)?)\s*(miles?|km|kilomet(?:re|er)s?)\s+(?:(?:away|north|south|east|west|drive)\s+)?from (?:you(?:r (?:workshop|shop|place))?|the workshop|your (?:workshop|shop|place))(?![\w'])"
    r"|\b(?:we|they|I|she|he|you|my (?:\w+ )?(?:mother|father|parents|daughter|son))(?:'re|'m|'s)?(?: (?:live|lives|are|is|am))? (?:about |some |around |only |just |roughly |nearly |over )?(\d{1,4})\s*(miles?|km|kilomet(?:re|er)s?) away\b(?! from)"
    r"|\byou(?:'re| are| live) (?:about |some |around |only |just |roughly |nearly |over )?(\d{1,4})\s*(miles?|km|kilomet(?:re|er)s?) (?:away )?from us\b", re.IGNORECASE)
MILE_KM = 1.609344


def distance_said(c: Commission) -> Iterator[Heard]:
    """How far it is from the workshop, for the way there and back. [km]"""
    at = _FROM_THE_WORKSHOP.search(c.brief.asked)
    if at and c.rates.delivery_km == 0:
        far, unit = float((at[1] or at[3] or at[5]).replace(",", ".")), at[2] or at[4] or at[6]
        value = round(2 * far * (MILE_KM if unit.lower().startswith("mile") else 1.0))
        if 1 <= value <= 5_000:
            yield Heard("rates.delivery_km", value, f"delivery of {value} km, there and back", at[0])


def years_said(c: Commission) -> Iterator[Heard]:
    """How many years it is to last."""
    at = _YEARS.search(c.brief.asked)
    many = number_said(at[1] or at[2]) if at else 0
    if many and c.brief.years_wanted == Brief().years_wanted != many:
        yield Heard("brief.years_wanted", many, f"to last {many} years", at[0].lstrip(".; "))
