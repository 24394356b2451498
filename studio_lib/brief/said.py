"""Sizes said in passing: how tall the books are, how high and wide the piece is to be, under which ceiling.

A field of the brief comes before a wish, and a wish before the client's own words, which are read for a figure with
'high', 'tall' or 'height' beside it.
"""

from __future__ import annotations

import re
from functools import lru_cache

from studio_lib.commission import Brief, CaseWish
from studio_lib.units import mm

IN_MM = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4, "inch": 25.4, "inches": 25.4, "ft": 304.8, "feet": 304.8, "foot": 304.8, "metre": 1000.0, "metres": 1000.0, "meter": 1000.0, "meters": 1000.0}
_FIGURE = r"(\d+(?:[.,]\d+)?)\s*(mm|cm|m|metres?|meters?|inches|inch|in|feet|foot|ft)?\b\.?"
FIGURES = (
    re.compile(_FIGURE + r"\s*(?:tall|high|in height)\b", re.IGNORECASE), re.compile(r"\bheight\s*(?:of|is|:)?\s*" + _FIGURE, re.IGNORECASE),
)
"""A figure without its unit is taken as mm."""
WIDE_FIGURES = (
    re.compile(_FIGURE + r"\s*(?:wide|long|in width|in length)\b", re.IGNORECASE),
    re.compile(r"\b(?:width|length)\s*(?:of|is|:)?\s*" + _FIGURE, re.IGNORECASE),
)
THREE_FIGURES = re.compile(r"(\d+(?:[.,]\d+)?)\s*(?:mm|cm|m)?\s*[x\u00d7]\s*\d+(?:[.,]\d+)?\s*(?:mm|cm|m)?\s*[x\u00d7]\s*\d+(?:[.,]\d+)?\s*(mm|cm|m)?\b", re.IGNORECASE)
"""Width x depth x height; the unit may stand after the last alone."""
BOOKS_MM = (150.0, 600.0)
"""What a book may measure; anything else is said of the piece."""
CASE_MM = (600.0, 3000.0)
WIDE_MM = (300.0, 4000.0)
TALL = ("tall", "full height", "floor to ceiling", "to the ceiling")


REFUSED = re.compile(r"\b(?:no|not|nothing|never|without|nor|neither|don't|do not|isn't|is not|rather than|instead of|allergic to|hates?|dislikes?|afraid of)\s+(?:[\w-]+\s+){0,2}$", re.IGNORECASE)
"""What ends before words that are refused."""


def meant(words: re.Pattern, text: str) -> re.Match | None:
    """The first place where such words are said and not refused."""
    return next((at for at in words.finditer(text) if not REFUSED.search(text[max(at.start() - 80, 0):at.start()])), None)


@lru_cache(maxsize=64)
def _not_of_place(text: str) -> str:
    """The words without what they say of the place, of the way in and of what stands in the piece."""
    return _OF_PLACE.sub("", text)


@lru_cache(maxsize=64)
def _of_case(asked: str) -> str:
    """The client's words with what they say of the height of a case, and of no counter beside it."""
    return _not_of_place(_without_counter(in_inches(asked)))


def _said(text: str, low: float, high: float, figures: tuple[re.Pattern, ...] = FIGURES) -> float | None:
    found = (v for figure in figures for n, unit in figure.findall(text) for v in _ways(n, unit) if low <= v <= high)
    return max(found, default=None)


def _ways(figure: str, unit: str) -> tuple[float, ...]:
    """What a figure may come to; one without its unit is mm, else cm, '84 wide', else m where it has a point, '1.80 high'. [mm]"""
    value = float(figure.replace(",", "."))
    if unit:
        return (value * IN_MM[unit.lower()],)
    return (value, 10 * value, 1000 * value) if re.search(r"[.,]", figure) else (value, 10 * value)


def tallest_book(brief: Brief) -> tuple[float, str] | None:
    """The tallest thing for the shelves and who says so: (mm, words); None while nobody does."""
    if brief.tallest_mm:
        return brief.tallest_mm, f"things of up to {mm(brief.tallest_mm)} mm, as the brief says"
    text = f"{brief.carries}. {brief.asked}"
    value = _said(text, *BOOKS_MM) if "book" in text.lower() else None
    return (value, f"books of {mm(value)} mm, as the brief says") if value else None


def height_asked(brief: Brief) -> tuple[float, str] | None:
    """How high a case is to be and who says so: (mm, words); None while nobody does."""
    wished = max((w.height_mm for w in brief.wishes or () if isinstance(w, CaseWish) and w.height_mm), default=None)
    if wished:
        return wished, f"{mm(wished)} mm, as the wish in the brief says"
    said = _said(_of_case(brief.asked), *CASE_MM)
    return (said, f"{mm(said)} mm, in the client's words") if said else None


def width_asked(brief: Brief) -> tuple[float, str] | None:
    """How wide a case is to be and who says so: (mm, words); None while nobody does."""
    wished = max((w.width_mm for w in brief.wishes or () if isinstance(w, CaseWish) and w.width_mm), default=None)
    if wished:
        return wished, f"{mm(wished)} mm, as the wish in the brief says"
    said = _said(_not_of_place(in_inches(brief.asked)), *WIDE_MM, (*WIDE_FIGURES, THREE_FIGURES))
    return (said, f"{mm(said)} mm, in the client's words") if said else None


_TOP_OF = r"(?:counter(?:[ -]?top)?|work ?top|work ?surface|bench ?top|island|bar|(?:standing|bar|counter)[- ]height)(?![ -]?(?:stools?|chairs?|seats?)\b)\b"
_HIGH_FIGURE = r"(?<![\d.,])(\d{1,4}(?:[.,]\d{1,2})?)(?![\d.,]*\d)[\s-]*((?:mm|cm|m|metres?|meters?|inches|inch|in|feet|foot|ft)\b|[\"\u201d])?(?!\w)\.?"
_NOT_UP = r"(?!\s*(?:wide|long|deep|thick|across|in (?:length|width|depth)|by\b|x\b|\u00d7|%|kg|kilos?|euros?|pounds?|dollars?|people|years?))"
_COUNTER = (
    re.compile(rf"\b{_TOP_OF}[^.;!?\d]{{0,40}}?(?:\bis|\bit's|\bat|\bof|\bstands|\bmeasures|\bheight|\(|,|:)\s*(?:(?:about|only|just|exactly)\s+)*{_HIGH_FIGURE}{_NOT_UP}(?:\s*(?:high|tall))?", re.IGNORECASE),
    re.compile(rf"{_HIGH_FIGURE}(?:[\s-]*(?:high|tall))?\s+(?:(?!(?:stools?|chairs?|seats?|for|at|to|under|and|the|our|a)\b)[\w-]+\s+){{0,2}}?{_TOP_OF}", re.IGNORECASE),
)
"""A figure without its unit beside a counter: 700 to 1200 are mm, 70 to 120 cm, 28 to 47 inches where 'high' stands by it."""
MOST_MM = 6_000.0
"""A piece of furniture is no longer; judgement of ours."""
COUNTER_MM = (700.0, 1200.0)
_STICKS_OUT = (
    re.compile(rf"\b(?:sticks?|stands?|juts?|comes?|reach(?:es)?) out\s+(?:by\s+|about\s+|only\s+|for\s+)*{_HIGH_FIGURE}", re.IGNORECASE),
    re.compile(rf"\b(?:overhangs?|overhanging|projects?|oversails?)\b\s*(?:(?:of|by|is|the|it|about|only|just|cupboards?|base|front)\s+)*:?{_HIGH_FIGURE}", re.IGNORECASE),
    re.compile(rf"{_HIGH_FIGURE}\s*(?:of\s+)?(?:overhang|knee ?(?:room|space))\b", re.IGNORECASE),
)
STICKS_OUT_MM = (100.0, 600.0)
_GOES_UNDER = re.compile(
    r"\b(?:go(?:es)?|slides?|push(?:ed|es)?|tuck(?:ed|s)?|stow(?:ed|s)?|fits?|disappears?|stand|put)\b[^.;]{0,25}?\b(?:under(?:neath)?|beneath|below|away)\b"
    r"|\b(?:slide|push|tuck)(?:ed|es|s)?\s+(?:right\s+|fully\s+)?in\b", re.IGNORECASE)


def _beside_a_counter(figure: str, unit: str | None, low: float, high: float) -> float | None:
    """A figure said of a counter; without its unit it is mm, else cm, where that lies within. [mm]"""
    value = float(figure.replace(",", "."))
    ways = [IN_MM.get(unit.lower(), IN_MM["in"])] if unit else [1.0, 10.0]
    if unit and unit.lower() == "in" and value > 60:
        ways = [1.0]  # '920 in stone': a word, no unit
    return next((round(value * way, 1) for way in ways if low <= value * way <= high), None)


def _of_counter(text: str, patterns: tuple[re.Pattern, ...], low: float, high: float) -> tuple[float, re.Match] | None:
    found = ((_beside_a_counter(at[1], at[2], low, high), at) for words in patterns for at in words.finditer(text))
    return next(((value, at) for value, at in found if value), None)


def counter_asked(brief: Brief) -> tuple[float, str] | None:
    """How high the counter, worktop, island or bar is in the client's words, and these: (mm, words); None while nobody says."""
    found = _of_counter(brief.asked, _COUNTER, *COUNTER_MM)
    return (found[0], found[1][0]) if found else None


_STOOD_AT = re.compile(rf"\b(?:standing|bar|counter)[- ]height\b[^.;!?\d]{{0,40}}?{_HIGH_FIGURE}|{_HIGH_FIGURE}(?:[\s-]*(?:high|tall))?,?\s+(?:\w+\s+)?(?:standing|bar|counter)[- ]height\b", re.IGNORECASE)


def stood_at_asked(brief: Brief) -> float | None:
    """How high a table at which people stand is in the client's words; None while nobody says. [mm]"""
    at = _STOOD_AT.search(brief.asked)
    return _beside_a_counter(at[1] or at[3], at[2] or at[4], *COUNTER_MM) if at else None


def sticks_out_asked(brief: Brief) -> float | None:
    """How far the counter's top stands out over the knees in the client's words; None while nobody says. [mm]"""
    found = _of_counter(brief.asked, _STICKS_OUT, *STICKS_OUT_MM) if re.search(rf"\b{_TOP_OF}", brief.asked, re.IGNORECASE) else None
    return found[0] if found else None


def goes_under_asked(brief: Brief) -> bool:
    """Whether the client wishes it to go under the counter when it is not sat on."""
    return meant(_GOES_UNDER, brief.asked) is not None


def _without_counter(text: str) -> str:
    """The words without what they say of a counter, which is no size of the piece."""
    found = [c for patterns, within in ((_COUNTER, COUNTER_MM), (_STICKS_OUT, STICKS_OUT_MM)) if (c := _of_counter(text, patterns, *within))]
    for _, at in found:
        if at.re is _COUNTER[0] and not re.search(r"\b(?:is|at|of|stands|measures|height)\b|\(", at[0], re.IGNORECASE):
            continue  # 'a cupboard beside the counter, 900 high': of which of the two nobody knows
        text = text[:at.start()] + " " * len(at[0]) + text[at.end():]
    return text


_MOPPED = re.compile(r"\b(?:mop(?:s|ped|ping)?|wet[- ]?clean(?:s|ed)?|wash(?:es|ed)? (?:the |our )?floors?|floors?\b[^.;]{0,15}\b(?:is|are|gets?) (?:washed|wiped|scrubbed))\b", re.IGNORECASE)


def mopped_asked(brief: Brief) -> bool:
    """Whether the client says that the floor is mopped."""
    return meant(_MOPPED, brief.asked) is not None


_N = r"(\d+\s+\d+/\d+|\d+/\d+|\d+(?:[.,]\d+)?)"
_UNIT = r"(mm|cm|m|metres?|meters?|inches|inch|in|feet|foot|ft)?\b\.?"
_THREE = re.compile(rf"{_N}\s*{_UNIT}\s*(?:x|\u00d7|by)\s*{_N}\s*{_UNIT}\s*(?:x|\u00d7|by)\s*{_N}\s*{_UNIT}", re.IGNORECASE)
_TWO = re.compile(rf"{_N}\s*{_UNIT}\s*(?:x|\u00d7|by)\s*{_N}\s*(mm|cm|m|metres?|meters?|inches|inch|in(?!\s+(?:an?|the|my|our|his|her|their|front|all|one|total|each|between)\b)|feet|foot|ft)\b", re.IGNORECASE)
_TWO_BARE = re.compile(r"(?<![\d.,])(\d{2,4}|\d[.,]\d{1,2}(?=\s*m)|\d[.,]\d{1,2}(?=\s*(?:x|\u00d7|by)\s*\d[.,]))\s*(mm|cm|m)?\s*(?:x|\u00d7|by)\s*(\d{2,4}|\d[.,]\d{1,2})(?![.,]?\d)(?!\s*(?:x\b|\u00d7|by\b|mm|cm|m\b|%|kg|in\b|inch|ft|feet|foot|[\"\u201d']|thick|boards?|planks?|posts?|books?|plates?|tiles?|people))", re.IGNORECASE)
"""'160 by 75', as people say it who measure in cm; of the first its unit may be said."""
_WAYS = {"long": "long|in length", "wide": "wide|in width", "deep": "deep|in depth", "high": "high|tall|in height"}
_ONE = {way: re.compile(rf"{_N}\s*{_UNIT}\s*(?:{words})\b", re.IGNORECASE) for way, words in _WAYS.items()}
_OF_BOARDS = re.compile(r"\b(?:from(?! (?:the |our |one |a )?(?:[\w-]+ )?(?:walls?|posts?|floor|doors?|windows?|corner|end|side|edge|ceiling|railing|top)\b)|out of|boards?|planks?|beams?)\b(?:[^;.]|\.(?=\d))*", re.IGNORECASE)
"""What is said of timber to hand is not said of the piece."""

_OF_PLACE = re.compile(
    r"(?<!hide the )(?<!hide our )(?<!hide two )(?<!behind the )\b(?:wheelie )?bins?\b(?! ?(?:store|screen|shed|box))(?:[^;.]|\.(?=\d))*|(?:\d+(?:[.,]\d+)?)\s*(?:mm|cm|m|in(?:ch(?:es)?)?)?\s*(?:high )?at the (?:arm ?rests?|arms|knees)\b|(?<!as the )(?<!as our )(?<!as his )(?<!as her )\b(?:washing machine|tumble dryer|dryer|fridge|freezer|dishwasher|oven|boiler|mattress|cushions?|aquarium|fish tank|tv|television|telly|printer|piano|fuse box|litter tray|crate|amplifier|turntable)s?(?:\s*\(|,?\s+(?:which |that |it )?(?:is|are|measures?)\b|\s+of\b)(?:[^;.)]|\.(?=\d))*|\broom,? (?:of )?(?=\d)(?:[^;.,:]|[.,](?=\d))*|\b(?:lift|elevator|room|hallway|landing|railing|van)\b(?:\s*\(|,?\s+(?:(?:which|that|it)\s+)?(?:is|takes|measures|holds|has)\b)(?:[^;.]|\.(?=\d))*", re.IGNORECASE)
"""What is said of the place or of the way in is not said of the piece."""


def _in_mm(figure: str, unit: str) -> float:
    whole, _, part = figure.replace(",", ".").rpartition(" ") if "/" in figure else (figure.replace(",", "."), "", "")
    top, _, under = part.partition("/")
    return (float(whole or 0) + (float(top) / float(under) if part and float(under) else 0.0)) * IN_MM[unit.lower() or "mm"]


_HANGING_FIGURE = r"(?<![\d.,])(\d{1,4}(?:[.,]\d{1,2})?)\s*(mm|cm|m|metres?|meters?|inches|inch|in|feet|foot|ft)\b"
HUNG_AT = re.compile(
    rf"{_HANGING_FIGURE}(?: or so)?(?: up)?(?: high)? (?:above|off|from|over) (?:the )?(?:floor|ground)\b|\b(?:hung|hangs?|hanging|hang it|underside|lower edge|bottom edge)\b (?:is |are |it |them |about |at |some )*{_HANGING_FIGURE}(?: up| high)?"
    rf"(?! (?:wide|deep|long|by|x)\b)", re.IGNORECASE)
"""How high something hangs."""


_FEET_AND_INCHES = re.compile(
    r"(?<![\d.,/])(\d{1,2})\s*(?:ft\b\.?|feet\b|foot\b|['\u2019\u2032])[\s,-]*(?:and\s+)?(\d{1,2})(?:[\s-]+(\d/\d{1,2}))?(?:\s*(?:in\b\.?|inch(?:es)?\b|[\"\u201d\u2033]|'')|(?=\s*(?:[.,;)]|$|long|wide|deep|high|tall|by\b|x\b)))",
    re.IGNORECASE)


_AS_HIGH = re.compile(r"\bas (?:high|tall) as (?:the|our|my|his|her|a)\b[^.;\d]{0,40}?(\d+(?:[.,]\d+)?)\s*(mm|cm|m|inches|inch|in)\b", re.IGNORECASE)
"""'As high as the mattress, which is 58 cm'."""
_LONG_BY_HIGH = re.compile(r"(?<![\d.,])(\d+(?:[.,]\d+)?)\s*(mm|cm|m)\s*(?:x|\u00d7|by)\s*(\d+(?:[.,]\d+)?)\s*(mm|cm|m)?\s+(?:high|tall)\b", re.IGNORECASE)
"""'2.4 m by 1.2 high'."""
_AS_LONG = re.compile(r"\bas (?:long|wide) as (?:the|our|my|his|her|a)\b[^.;\d]{0,70}?(\d+(?:[.,]\d+)?)\s*(mm|cm|m|inches|inch|in)\b", re.IGNORECASE)
"""'As long as the wall between the door and the corner, that is 2.34 m'."""


_IN_WORDS = {w: n for n, w in enumerate(
    "one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen twenty".split(), 1)
} | {w: 10 * n for n, w in enumerate("thirty forty fifty sixty seventy eighty ninety".split(), 3)}
_W = "(" + "|".join(sorted(_IN_WORDS, key=len, reverse=True)) + ")"
_LONG_UNIT = r"(feet|foot|ft|met(?:re|er)s?|m)"
_MEASURED = r"long|wide|deep|high|tall|thick|across|by|x"
_METRE_AND = (
    re.compile(rf"(?<![\w.,])(?:{_W}|(\d))[\s-]*(?:met(?:re|er)s?|m)[\s-]+(?:{_W}(?:[\s-]{_W})?|(\d\d))(?=\s*(?:[.,;)]|$|(?:{_MEASURED})\b))", re.IGNORECASE),
    re.compile(rf"\b{_W}((?:\s+and\s+a\s+(?:half|quarter))?)[\s-]+{_LONG_UNIT}\b(?:([\s-]+(?:and\s+)?){_W}(?=\s*(?:[.,;)]|$|inch|(?:{_MEASURED})\b)))?", re.IGNORECASE),
    re.compile(rf"\b{_W}[\s-]+(inch(?:es)?|centimet(?:re|er)s?|cm)\b", re.IGNORECASE),
    re.compile(rf"\b(half )?(?:an?) (met(?:re|er)|foot)((?:\s+and\s+a\s+(?:half|quarter))?)(?=\s+(?:{_MEASURED}|in (?:length|width|depth|height))\b)", re.IGNORECASE),
)
_SHARE = {"half": 0.5, "quarter": 0.25}


def _in_figures(text: str) -> str:
    """The words with the lengths that they spell out in figures: 'four foot six' as '4 foot 6', 'one metre twenty' as '1.20 m'."""
    def n(word: str | None) -> int:
        return _IN_WORDS[word.lower()] if word else 0

    def share(words: str | None) -> float:
        return _SHARE.get((words or "").split(" ")[-1].lower(), 0.0)

    def metre_and(at: re.Match) -> str:
        return f"{n(at[1]) or at[2]}.{n(at[3]) + n(at[4]) or int(at[5]):02d} m"

    def plain(at: re.Match) -> str:
        return f"{n(at[1]) + share(at[2]):g} {at[3]}" + (f" {n(at[5])}" if at[5] else "")

    def an(at: re.Match) -> str:
        return f"{(0.5 if at[1] else 1.0) + share(at[3]):g} {at[2]}"

    text = _METRE_AND[0].sub(metre_and, text)
    text = _METRE_AND[1].sub(plain, text)
    text = _METRE_AND[2].sub(lambda at: f"{n(at[1])} {'cm' if at[2][0] in 'cC' else at[2]}", text)
    return _METRE_AND[3].sub(an, text)


@lru_cache(maxsize=64)
def in_inches(text: str) -> str:
    """The words with feet and inches as inches, '5 feet 6 inches' as '66 inches', and lengths in figures: 'four foot six' as '54 inches'."""
    def one(at: re.Match) -> str:
        return f"{12 * int(at[1]) + int(at[2])}{' ' + at[3] if at[3] else ''} inches" if int(at[2]) < 12 else at[0]

    return _FEET_AND_INCHES.sub(one, _in_figures(text))


def sizes_asked(brief: Brief) -> dict[str, float]:
    """Length, depth and height that the client's own words give the piece, by 'long', 'deep', 'high'. [mm]

    Three figures, '40 x 18 x 18 in', are these in turn; else a figure with 'long' or 'wide', 'deep', 'high' beside it;
    two with their unit, '110 by 60 cm', are length and depth.
    """
    text = _OF_PLACE.sub("", _OF_BOARDS.sub("", HUNG_AT.sub("", _without_counter(in_inches(brief.asked)))))
    three = _THREE.search(text)
    if three:
        n, last = three.groups(), three[6] or three[4] or three[2] or ""
        sizes = {way: _in_mm(n[2 * k], n[2 * k + 1] or last) for k, way in enumerate(("long", "deep", "high"))}
        # '2 metres by 35 by 40': a figure that would be too long in the unit of another has none.
        return {way: v if v <= MOST_MM or n[2 * k + 1] else _in_mm(n[2 * k], "") for k, (way, v) in enumerate(sizes.items())}
    one = {way: _in_mm(*found.groups(default="")) for way, figures in _ONE.items() for found in [figures.search(text)] if found}
    if "wide" in one:
        # Of what is long, 'wide' is from front to back; of what is deep, it is the length.
        one.setdefault("deep" if "long" in one else "long", one["wide"])
        del one["wide"]
    long_high = _LONG_BY_HIGH.search(text)
    if long_high and "long" not in one:
        one |= {"long": _in_mm(long_high[1], long_high[2]), "high": _in_mm(long_high[3], long_high[4] or long_high[2])}
    as_long = _AS_LONG.search(text)
    if as_long and "long" not in one:
        one["long"] = _in_mm(as_long[1], as_long[2])
    as_high = _AS_HIGH.search(text)
    if as_high and "high" not in one:
        one["high"] = _in_mm(as_high[1], as_high[2])
    two = _TWO.search(text)
    if two and not {"long", "deep"} & one.keys():
        n = two.groups()
        one |= {way: _in_mm(n[2 * k], n[2 * k + 1] or n[3]) for k, way in enumerate(("long", "deep"))}
    bare = _TWO_BARE.search(text)
    if bare and not two and not {"long", "deep"} & one.keys():
        one |= {"long": _in_mm(bare[1], bare[2] or ""), "deep": _in_mm(bare[3], "")}
    return one


def figures_asked(brief: Brief) -> list[float]:
    """Every length, depth or height that the client's own words give, of whichever piece. [mm]"""
    text = _OF_PLACE.sub("", _OF_BOARDS.sub("", HUNG_AT.sub("", _without_counter(in_inches(brief.asked)))))
    return [_in_mm(*at.groups(default="")) for figures in _ONE.values() for at in figures.finditer(text)] + [*sizes_asked(brief).values()]


_LOCAL = re.compile(
    r"\b(?:local(?:ly)?|native|regional|domestic|home-?grown|home grown)[\s-]+(?:(?:grown|sourced|felled|sawn)\s+)?(?:[\w-]+\s+){0,2}?(?:timbers?|woods?|trees?|species|sawmills?|mills?)\b"
    r"|\b(?:timbers?|wood|trees?|oak|ash|beech|cherry|maple|walnut|something|anything)\b[^.;]{0,40}?"
    r"\b(?:from (?:around |near )?here|around here|grown (?:here|nearby|locally)|from (?:the|our|this) (?:region|area|country|valley|woods|forests?)|near here|from nearby)\b"
    r"|\b(?:grown|felled) (?:here|around here|near here|nearby|locally|in (?:this|our) (?:country|region|area|valley))\b"
    r"|\b(?:timbers?|wood|species|hardwoods?)\b[^.;]{0,40}?\bfrom europe\b|\beuropean (?:timbers?|woods?|species|hardwoods?)\b"
    r"|\b[a-z]{2,12}-grown\s+(?:[\w-]+\s+){0,2}?(?:timbers?|wood|oak|ash|beech|cherry|maple|walnut)\b", re.IGNORECASE)
_GROWN_SOMEHOW = re.compile(r"\b(?:slow|fast|old|well|open|plantation|forest|fully|full|over)-grown\b", re.IGNORECASE)
_NOT_NEEDED = re.compile(r"\s*(?:(?:is|are|need|does|do)\s*)?(?:not|n't)\b", re.IGNORECASE)


def local_asked(brief: Brief) -> bool:
    """Whether the client wishes timber from around where they are: as the brief ticks, or in their own words."""
    return brief.wants.local or local_words(brief.asked) is not None


def local_words(text: str) -> re.Match | None:
    """Where a client's words wish for timber from around where they are; not where they refuse it."""
    found = meant(_LOCAL, _GROWN_SOMEHOW.sub(lambda at: " " * len(at[0]), text))
    return None if found and _NOT_NEEDED.match(text, found.end()) else found


def timbers_asked(brief: Brief, market: str) -> dict[str, str]:
    """Timbers that the client's own words ask for, but those they do not want: {timber on file: the word said}. See ``timber.called``."""
    from studio_lib.timber.called import timbers_called

    text = _OF_BOARDS.sub("", brief.asked) if brief.brings_timber else brief.asked
    return {name: word for name, word in timbers_called(text, market).items() if name not in brief.wants.unwanted}


COUNTS = {"one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6}
_BETWEEN_WORDS = r"(?:(?!(?:of|with|and|for|in|no|without|a|an|" + "|".join(COUNTS) + r")\b)[a-z][\w-]*,?\s+){0,3}?"
_DRAWERS = re.compile(r"\b(" + "|".join(COUNTS) + r"|[1-6])\s+" + _BETWEEN_WORDS + r"drawers?\b", re.IGNORECASE)
_A_DRAWER = re.compile(r"\ban?\s+" + _BETWEEN_WORDS + r"drawer\b", re.IGNORECASE)
_SOME_DRAWERS = re.compile(r"(?<!chest of )\bdrawers\b", re.IGNORECASE)
_NO_DRAWERS = re.compile(r"\b(?:no|without|not)\s+(?:an?\s+|any\s+)?" + _BETWEEN_WORDS + r"drawers?\b", re.IGNORECASE)
_SIT = re.compile(r"\b(" + "|".join(COUNTS) + r"|[1-9])\s+(?:\w+\s+){0,4}?(?:sit|sits|sitting|seated)\b", re.IGNORECASE)
_SITS = re.compile(r"\b(?:sit|sits|seat|seats|seating)\s+(?:for\s+)?(" + "|".join(COUNTS) + r"|[1-9])\b", re.IGNORECASE)
_BETWEEN = re.compile(r"\bdrawers?\s+(?:\w+\s+){0,2}between\b", re.IGNORECASE)
_ON_FEET = re.compile(r"\b(?:on|with)\s+(?:\w+\s+)?(?:feet|legs)\b", re.IGNORECASE)


_CHEST_OF_DRAWERS = re.compile(r"\bchests? of drawers\b", re.IGNORECASE)
_GRADED = re.compile(
    r"\b(?:deep|deeper|big|bigger|large|larger)\b[^.;]{0,30}\b(?:below|at the bottom|underneath|low down)\b|\b(?:shallow|shallower|small|smaller)\b[^.;]{0,30}\b(?:above|on top|at the top)\b"
    r"|\bgraduated\b", re.IGNORECASE)


def chest_of_drawers_asked(brief: Brief) -> bool:
    """Whether the client asks for a chest of drawers."""
    return meant(_CHEST_OF_DRAWERS, brief.asked) is not None


def graded_asked(brief: Brief) -> bool:
    """Whether drawers are to grow downwards: shallow above, deep below."""
    return bool(_GRADED.search(brief.asked))


def drawers_asked(brief: Brief) -> int | None:
    """How many drawers the client asks for, of one to six; None while nobody says."""
    found = _DRAWERS.search(brief.asked)
    return None if found is None else COUNTS.get(found[1].lower()) or int(found[1])


MOST_IN_A_TABLE = 3


def table_drawers_asked(brief: Brief) -> int:
    """How many drawers the client asks for in the frame of a table: as said, one of 'a drawer', two of 'drawers'; 0 while nobody says."""
    if _NO_DRAWERS.search(brief.asked):
        return 0
    said = drawers_asked(brief) or (1 if _A_DRAWER.search(brief.asked) else 2 if _SOME_DRAWERS.search(brief.asked) else 0)
    return min(said, MOST_IN_A_TABLE)


def case_drawers_asked(brief: Brief) -> int:
    """How many drawers the client asks for over the doors or shelves of a case: as said, one of 'a drawer', two of 'drawers'; 0 while nobody says."""
    if _NO_DRAWERS.search(brief.asked) or chest_of_drawers_asked(brief):
        return 0
    return drawers_asked(brief) or (1 if _A_DRAWER.search(brief.asked) else 2 if _SOME_DRAWERS.search(brief.asked) else 0)


_WIDE_DRAWER = re.compile(r"\b(?:wide|broad|full[ -]width|whole width)\b[^.;]{0,40}\bdrawers?\b|\bdrawers?\b[^.;]{0,30}\b(?:full|whole) width\b", re.IGNORECASE)
_NO_SHARP = re.compile(
    r"\b(?:no|nothing|not|without)\s+(?:\w+\s+){0,2}?sharp\b[^.;]{0,40}\bcorners?\b|\b(?:no|nothing|not|without)\s+(?:\w+\s+){0,2}?sharp corners?\b"
    r"|\b(?:rounded|round(?:ed)?[ -]off|soft) corners?\b|\bcorners?\b[^.;]{0,30}\b(?:rounded|round|soft|not (?:be )?sharp)\b", re.IGNORECASE)


def wide_drawer_asked(brief: Brief) -> bool:
    """Whether the client asks for a drawer as wide as the table."""
    return bool(_WIDE_DRAWER.search(brief.asked))


def no_sharp_corners_asked(brief: Brief) -> bool:
    """Whether the client wants no sharp corners."""
    return bool(_NO_SHARP.search(brief.asked))


_GOODS = (
    ("records and heavy books", re.compile(r"\b(?:records|long-playing|vinyl|atlases|ring binders|files)\b", re.IGNORECASE)),
    ("books", re.compile(r"\b(?:books|paperbacks|magazines)\b", re.IGNORECASE)),
    ("stores in jars and tins", re.compile(r"\b(?:jars|tins|preserves|stores|bottles)\b", re.IGNORECASE)),
    ("glass and crockery", re.compile(r"\b(?:crockery|plates|glasses|china|dishes|pots)\b", re.IGNORECASE)),
)
"""Goods that weigh more than household things, the heaviest first, and the words for them."""


def goods_asked(brief: Brief) -> str:
    """The heaviest goods that the client says go in, by their name among ``structure.loads.goods``; '' while nobody says."""
    text = f"{brief.carries}. {brief.asked}"
    return next((name for name, words in _GOODS if words.search(text)), "")


_WRITES = re.compile(r"\b(?:writing[ -](?:table|desk)|desk|to (?:write|work|draw|study) at|writes? at it)\b", re.IGNORECASE)


def writes_asked(brief: Brief) -> bool:
    """Whether the client speaks of a table to write or work at."""
    return bool(_WRITES.search(brief.asked))


_SET_BESIDE = re.compile(r"\b(?:(?<!bed-)side|bed[ -]?side|night|end|lamp|occasional) tables?\b|\bnight ?stands?\b", re.IGNORECASE)
_LOW_TABLE = re.compile(rf"\b(?:coffee|low) tables?\b|{_SET_BESIDE.pattern}", re.IGNORECASE)
_SMALL_TABLE = re.compile(
    r"\b(?:small|little|tiny)\s+(?:(?!dining|kitchen|writing|work)[\w-]+\s+)?tables?\b(?=[^.;]{0,70}?\b(?:between|beside|next to|(?:for|to (?:put|set|stand|hold)) (?:an?|the|our|my|his|her|their|some) "
    r"(?:[\w-]+ ){0,2}?(?:glass(?:es)?|cups?|mugs?|lamp|drinks?|books?|tea|coffees?|wine|beer|tray|teapot|phone|radio|plants?)\b))", re.IGNORECASE)
"""'A small table to go between the bench and the door', 'for a glass'."""
_AT_A_TABLE = re.compile(r"\b(?:eat|eats|eating|dine|breakfast|lunch|dinner|meals?|write|work|play|sits?(?: (?:at|round|around))|desk|homework|with (?:its |two |2 )?(?:chairs?|stools?))\b", re.IGNORECASE)


_HALL_TABLE = re.compile(
    r"\b(?:console|hall(?:way)?|entrance|entry|landing|sofa)[ -]tables?\b|(?<!tv )(?<!media )(?<!games )\bconsoles?\b(?! tables?\b)"
    r"|\btables?,? (?:for|in) (?:the|our|my|a) (?:narrow |small |front |entrance )?(?:hall(?:way)?|entrance|landing|corridor|passage)\b", re.IGNORECASE)


def set_beside_asked(brief: Brief) -> str:
    """What a table at which nobody sits is for in the client's words, 'bedside', 'side' or 'hall'; '' while they ask for none."""
    found = meant(_SET_BESIDE, brief.asked) or _small_table(brief.asked)
    if not found and _hall_table(brief.asked):
        return "hall"
    return "" if not found else "bedside" if re.match(r"bed|night", found[0], re.IGNORECASE) else "side"


def _hall_table(text: str) -> re.Match | None:
    """A table in a hall or behind a seat, that things are set down on and nobody sits at."""
    for at in _HALL_TABLE.finditer(text):
        if not REFUSED.search(text[max(at.start() - 80, 0):at.start()]) and not _AT_A_TABLE.search(re.split(r"[.;!?]", text[at.end():])[0]):
            return at
    return None


def behind_a_seat_asked(brief: Brief) -> bool:
    """Whether a table that nobody sits at is to stand behind a sofa, so at no wall."""
    return re.search(r"\bsofa[ -]table\b|\b(?:behind|at the back of) (?:the|our|my|a) (?:[\w-]+ )?(?:sofa|couch|settee)\b", brief.asked, re.IGNORECASE) is not None


def _small_table(text: str) -> re.Match | None:
    """A small table that things are put down on, and nobody sits at."""
    for at in _SMALL_TABLE.finditer(text):
        if not REFUSED.search(text[max(at.start() - 80, 0):at.start()]) and not _AT_A_TABLE.search(re.split(r"[.;!?]", text[at.end():])[0]):
            return at
    return None


def low_table_asked(text: str, start: int) -> bool:
    """Whether the table that is spoken of at a place in the text is one that nobody sits at."""
    some = (*_LOW_TABLE.finditer(text), _small_table(text), _hall_table(text))
    return any(at.start() <= start < at.end() for at in some if at)


def sitters_asked(brief: Brief) -> int | None:
    """How many the client says sit on it at once, of one to nine; None while nobody says."""
    found = _SIT.search(brief.asked) or _SITS.search(brief.asked)
    return None if found is None else COUNTS.get(found[1].lower()) or int(found[1])


_DOORS = re.compile(r"\bdoors\b", re.IGNORECASE)
_TWO_DOORS = re.compile(r"\b(?:two|2|a pair of|double)\s+(?:[\w-]+\s+){0,2}doors\b", re.IGNORECASE)
_DRAWER = re.compile(r"\bdrawers?\b", re.IGNORECASE)


def doors_only_asked(brief: Brief) -> bool:
    """Whether the client speaks of doors before a case and of no drawers."""
    return meant(_DOORS, brief.asked) is not None and meant(_DRAWER, brief.asked) is None


def two_doors_asked(brief: Brief) -> bool:
    """Whether the client says that there are to be two doors."""
    return meant(_TWO_DOORS, brief.asked) is not None


_UPRIGHTS = re.compile(
    r"\b(?:(an?|one|two|2)\s+(?:[\w-]+\s+){0,2}?(?:uprights?|(?<!room )(?<!room-)dividers?|divisions?|partitions?(?!\s+walls?))|(?:in|into|of|with)\s+(two|three|2|3)\s+(?:[\w-]+\s+)?(?:bays|columns))\b", re.IGNORECASE)


def uprights_asked(brief: Brief) -> int | None:
    """How many uprights the client wants between the ends of shelves, one or two; None while nobody says."""
    found = meant(_UPRIGHTS, brief.asked)
    if found is None:
        return None
    return (2 if found[1].lower() in ("two", "2") else 1) if found[1] else 2 if found[2].lower() in ("three", "3") else 1


_CLAUSE = re.compile(r"[,;:]|\band\b|\bwith\b|\bbut\b|\bwhile\b", re.IGNORECASE)
_SIDES = (re.compile(r"\bleft\b|\bone (?:side|half|end|bay)\b", re.IGNORECASE), re.compile(r"\bright\b|\bthe other\b", re.IGNORECASE))
_FRONTS = {
    "drawers": re.compile(r"\bdrawers\b", re.IGNORECASE), "doors": re.compile(r"\bdoors\b", re.IGNORECASE), "door": re.compile(r"\bdoor\b", re.IGNORECASE),
    "open": re.compile(r"\bopen\b(?!\s+to)|\bshel(?:f|ves)\b", re.IGNORECASE),
}
_NO_FRONT = re.compile(r"\b(?:hinge[ds]?|hung|hang(?:s|ing)?|swings?|opens|opening|rooms?|walls?|windows?|front door|doorway|stairs?|radiator|hall|fireplace|next to|beside)\b", re.IGNORECASE)


def sides_asked(brief: Brief) -> tuple[str, str] | None:
    """What the client wants before the left half of a case and before the right, of 'open', 'door', 'doors' and 'drawers'; None unless both are
    said in one sentence and are not alike."""
    for sentence in re.split(r"[.!?\n](?!\d)", brief.asked):
        said: dict[int, str] = {}
        for clause in _CLAUSE.split(sentence):
            sides = [n for n, side in enumerate(_SIDES) if side.search(clause)]
            front = next((name for name, words in _FRONTS.items() if meant(words, clause)), None)
            if len(sides) == 1 and front and not _NO_FRONT.search(clause):
                said.setdefault(sides[0], front)
        if len(said) == 2 and said[0] != said[1]:
            return said[0], said[1]
    return None


_NOT_SHUT = re.compile(r"\b(?:no|without|not any|never any)\s+(?:any\s+)?doors\b|\bopen[- ]fronted\b", re.IGNORECASE)


_OPEN_BELOW = re.compile(r"\b(?:an?\s+)?open (?:space|compartment|niche|shelf|part)\b|\bopen (?:below|beneath|underneath)\b", re.IGNORECASE)


def no_doors_asked(brief: Brief) -> bool:
    """Whether the client wants no doors before a case, or speaks of an open part of it and of no door."""
    return _NOT_SHUT.search(brief.asked) is not None or _OPEN_BELOW.search(brief.asked) is not None and re.search(r"\bdoors?\b", brief.asked, re.IGNORECASE) is None


def drawers_between(brief: Brief) -> bool:
    """Whether the client asks for drawers between the doors."""
    return bool(_BETWEEN.search(brief.asked))


def on_feet_asked(brief: Brief) -> bool:
    """Whether the client asks for a case on feet."""
    return bool(_ON_FEET.search(brief.asked))


def tall_asked(brief: Brief) -> bool:
    """Whether the client asks for a tall piece without saying how tall."""
    return any(word in brief.asked.lower() for word in TALL)


CEILING_FIGURES = (
    re.compile(r"\bceiling\s*(?:height\s*)?(?:is|of|at|:)?\s*" + _FIGURE, re.IGNORECASE),
    re.compile(_FIGURE + r"\s*(?:to|up to|from floor to)\s+the\s+ceiling\b", re.IGNORECASE),
    re.compile(_FIGURE + r"\s*(?:high\s+)?ceiling\b", re.IGNORECASE),
)
CEILING_MM = (1800.0, 6000.0)


def ceiling_mm(brief: Brief) -> float | None:
    """The lowest ceiling it is stood up under, as measured, else in the client's words; None while nobody says. [mm]"""
    measured = min((o.height_mm for o in brief.openings if o.kind == "ceiling" and o.height_mm), default=None)
    return measured or ceiling_asked(brief)


_TO_CEILING = re.compile(
    r"(?<!fix to the )(?<!fixed to the )\b(?:floor to ceiling|(?<!n't fix )(?<!not fix )(?<!n't fix it )(?<!not fix it )(?<!nothing fixed )(?<!not be fixed )(?<!not fixed )(?<!n't go )(?<!not go )(?:up )?to the ceiling|from the ceiling|full height of the room)\b|\bceiling\b[^.;]{0,25}\b(?:may|can)\b(?! not)(?!not)|\b(?:may|can) (?!not)[^.;]{0,40}\bceiling\b",
    re.IGNORECASE)
_WALL_TOO = re.compile(
    r"\bwalls?\b[^.;]{0,40}\b(?:and|or)\b[^.;]{0,15}\bceiling\b|\bceiling\b[^.;]{0,15}\b(?:and|or)\b[^.;]{0,25}\bwalls?\b", re.IGNORECASE)
_FLOOR_SPARED = re.compile(
    r"\b(?:floor|tiles)\b[^.;]{0,40}?\b(?:nothing|not|no|never)\b[^.;]{0,30}\b(?:screwed|drilled|screws?|drill|holes?|bored?|fixed|touched)\b"
    r"|\b(?:nothing|not|no|never|without)\b[^.;]{0,30}\b(?:screwed|drilled|screws?|drill|drilling|holes?|bored?|fixed)\b[^.;]{0,20}\b(?:floor|tiles)\b"
    r"|\b(?:heated floor|floor heating|under ?floor heating|floor is heated|heating in the floor)\b", re.IGNORECASE)


_SHOES_HIDDEN = re.compile(
    r"\b(?:not|without seeing|hide|hides|hiding|nor|never)\b[^.;]{0,40}\b(?:shoes|boots|feet)\b|\b(?:shoes|boots|feet)\b[^.;]{0,30}\b(?:not (?:to )?be seen|hidden|out of sight)\b", re.IGNORECASE)


def shoes_hidden_asked(brief: Brief) -> bool:
    """Whether a screen is to hide what stands or walks on the floor behind it."""
    return bool(_SHOES_HIDDEN.search(brief.asked))


def by_ceiling_asked(brief: Brief, floor_spared: bool = False) -> str:
    """What a screen that goes up to the ceiling is fixed to, of ``structure.fixings.UNDER_CEILING``: as the client's words have it; '' while they name no ceiling.

    ``floor_spared``: the floor is not bored whatever the words say.
    """
    if not _TO_CEILING.search(brief.asked):
        return ""
    if _WALL_TOO.search(brief.asked):
        return "to the ceiling and a wall at one end"
    return "to the ceiling" if floor_spared or _FLOOR_SPARED.search(brief.asked) else "to the floor and the ceiling"


_SLATS = r"(?:slats|battens|louvres|laths)"
_CEILING_HIGH = r"(?:(?:from\s+)?floor[ -]to[ -]ceiling|from (?:the )?floor (?:up )?to (?:the )?ceiling|(?:to|from) the ceiling)"
_WHOLE = r"(?:whole|uncut|unbroken|undivided|uninterrupted|continuous|full[ -]length|in one (?:piece|length|run)|all in one|from end to end|from rail to rail)"
_FLOOR_TO_CEILING_SLATS = re.compile(
    rf"\b{_SLATS}\b(?:\s+(?!and\b|with\b)[\w-]+){{0,4}}?,?\s+{_CEILING_HIGH}\b|\b{_CEILING_HIGH}\s+(?:(?!with\b|screen)[\w-]+\s+){{0,2}}{_SLATS}\b", re.IGNORECASE)
_WHOLE_SLATS = re.compile(
    rf"\b{_WHOLE}[,\s]+(?:(?!of|and|screen)[\w-]+\s+){{0,2}}?{_SLATS}\b|\b{_SLATS}\b(?:(?!\b(?:not|never|no|without)\b|n't)[^.;]){{0,30}}?\b{_WHOLE}\b"
    rf"|\b{_SLATS}\b[^.;]{{0,40}}\b(?:not|never|no|nothing|without)\b[^.;]{{0,20}}\b(?:cut(?! (?:from|out)\b)|cuts|cutting|divided|dividing|interrupted|broken|breaks?|joins?)\b"
    rf"|\b(?:nothing|no (?:\w+ )?bars?|no rails?|not|never)\b[^.;]{{0,25}}\b(?:cuts?|cutting|divid(?:es?|ing)|interrupts?|interrupting|breaks?|breaking)\b[^.;]{{0,15}}\b{_SLATS}\b",
    re.IGNORECASE)


def whole_slats_asked(brief: Brief, upright: bool = True) -> str:
    """The client's own words where they ask for slats that no bar cuts; '' where they do not.

    ``upright``: the slats stand, so that 'slats from floor to ceiling' asks for it too.
    """
    found = meant(_WHOLE_SLATS, brief.asked) or (meant(_FLOOR_TO_CEILING_SLATS, brief.asked) if upright else None)
    return found[0] if found else ""


def ceiling_asked(brief: Brief) -> float | None:
    """How high the ceiling is in the client's words; None while nobody says. [mm]"""
    return _said(brief.asked, *CEILING_MM, CEILING_FIGURES)


_ROUND = re.compile(r"\b(?:round|circular|oval|elliptical)\b(?!-| (?:the|a|an|our|it|them|corners?|edges?|legs?|about|and about)\b)(?:,? (?!stools?\b|rug\b|carpet\b|room\b|window\b)[\w-]+){0,4}? (?:tables?|tops?)\b"
                    r"|\btables?\b[^.;]{0,25}\b(?:should|shall|must|to|be|is)(?: be)? (?:round|circular|oval)\b", re.IGNORECASE)


_ROUND_BY_SIZE = re.compile(r"\btables?,?\s+(?:of\s+)?(?:about\s+)?\d+(?:[.,]\d+)?\s*(?:mm|cm|m)?\s+(?:round|in diameter)\b(?! (?:the|it|a|an|and)\b)", re.IGNORECASE)


def round_asked(brief: Brief) -> str:
    """The client's own words where they ask for a round or an oval table; '' where they do not."""
    found = meant(_ROUND, brief.asked) or meant(_ROUND_BY_SIZE, brief.asked)
    return found[0] if found else ""


_ACROSS = re.compile(r"(?<![\d.,])(\d{2,4}|\d[.,]\d{1,2})\s*(mm|cm|m)?\s*(?:round\b(?! (?:the|it|a|an|and)\b)|in diameter|diameter|across)|\bdiameter\s*(?:of|is|:)?\s*(\d{2,4}|\d[.,]\d{1,2})\s*(mm|cm|m)?", re.IGNORECASE)
ROUND_MM = (300.0, 1800.0)


def round_across_asked(brief: Brief) -> float | None:
    """How far a round table measures across in the client's words, '70 round', '1.20 m in diameter'; None while nobody says. [mm]"""
    found = (v for at in _ACROSS.finditer(brief.asked) for v in _ways(at[1] or at[3], at[2] or at[4] or "") if ROUND_MM[0] <= v <= ROUND_MM[1])
    return next(found, None)


_ALCOVE = re.compile(r"\b(?:alcoves?|recess(?:es)?|niches?)\b", re.IGNORECASE)
_LOW = r"(?:at (?:the|its) (?:bottom|foot)|below|beneath|underneath|low down|at floor level)"
_CUPBOARD = r"(?:cupboards?|doors?)"
_CUPBOARD_BELOW = re.compile(
    rf"\b{_CUPBOARD}\s+(?:[\w-]+\s+){{0,3}}?{_LOW}|\b{_LOW},?\s+(?:with\s+)?(?:an?\s+)?(?:[\w-]+\s+){{0,2}}?{_CUPBOARD}\b"
    rf"|\b(?:shelves|shelving|bookcase|books)\s+(?:over|above|on top of)\s+(?:an?\s+|the\s+)?(?:[\w-]+\s+)?{_CUPBOARD}\b", re.IGNORECASE)
_NO_CUPBOARD = re.compile(rf"\b(?:no|without|not)\s+(?:an?\s+|any\s+)?(?:[\w-]+\s+)?{_CUPBOARD}\b", re.IGNORECASE)
_BIG_BELOW = re.compile(
    rf"\b(?:big|large|tall|heavy|art)\b[^.;]{{0,30}}\b(?:books|files|records|albums)\b[^.;]{{0,30}}\b{_LOW}"
    r"|\b(?:novels|paperbacks|small(?:er)? books)\b[^.;]{0,20}\b(?:above|over|higher up|at the top)\b", re.IGNORECASE)
_HEAVY_BOOKS = re.compile(r"\b(?:heavy|big|large|art)\b[^.;]{0,20}\bbooks\b|\bbooks\b[^.;]{0,40}\bheavy\b", re.IGNORECASE)
_PAINTED = re.compile(r"(?<!not )(?<!no )(?<!never )(?<!draw and )(?<!eat and )(?<!play and )(?<!write and )(?<!glue and )\bpaint(?:ed)?\b(?!\s+(?:free|less|at\b|there\b|on it|with\b|pictures|together))", re.IGNORECASE)
"""A finish; no painting that is done at a table."""
_PLAIN = re.compile(
    r"\b(?:need not|needn't|needs? not|doesn't (?:have|need) to|does not (?:have|need) to|don't need to|not)\s+be\s+(?:an?\s+)?(?:too\s+|very\s+)?"
    r"(?:expensive|costly|dear|fancy|posh|precious)\b|\b(?:cheap(?:er|est|ly)?|inexpensive|low budget)\b", re.IGNORECASE)
_CROOKED = re.compile(r"\bwalls?\b[^.;]{0,20}\b(?:not (?:straight|plumb|square|true|even)|crooked|lean|leans|uneven|bow(?:s|ed)?)\b|\bnothing is (?:straight|square)\b", re.IGNORECASE)
_SKIRTING = (
    re.compile(r"\b(?:skirting(?:\s+board)?|baseboard)s?\b[^.;]{0,30}?" + _FIGURE, re.IGNORECASE),
    re.compile(_FIGURE + r"\s*(?:high\s+|tall\s+)?(?:skirting|baseboard)", re.IGNORECASE),
)
SKIRTING_MM = (30.0, 400.0)


def alcove_asked(brief: Brief) -> bool:
    """Whether the client speaks of an alcove."""
    return bool(_ALCOVE.search(brief.asked))


def cupboard_below_asked(brief: Brief) -> bool:
    """Whether the client asks for shelves with a cupboard under them."""
    return bool(_CUPBOARD_BELOW.search(brief.asked)) and not _NO_CUPBOARD.search(brief.asked)


def big_below_asked(brief: Brief) -> bool:
    """Whether what is big goes at the bottom and what is smaller above it."""
    return bool(_BIG_BELOW.search(f"{brief.carries}. {brief.asked}"))


def heavy_books_asked(brief: Brief) -> bool:
    """Whether some of the books are big or heavy."""
    return bool(_HEAVY_BOOKS.search(f"{brief.carries}. {brief.asked}"))


def painted_asked(brief: Brief) -> bool:
    """Whether it is to be painted: the finish of the brief, else the client's words."""
    return brief.finish == "paint" or bool(_PAINTED.search(brief.asked))


def plain_asked(brief: Brief) -> bool:
    """Whether a plain construction serves: it is painted over, or need not be costly."""
    return painted_asked(brief) or bool(_PLAIN.search(brief.asked))


def crooked_asked(brief: Brief) -> bool:
    """Whether the client says that the walls are not straight."""
    return bool(_CROOKED.search(brief.asked))


_FLAME = re.compile(r"\b(?:gas (?:fires?|cookers?|hobs?)|fireplaces?|stoves?|wood[- ]?burners?|log[- ]?burners?|open fires?|hearths?)\b", re.IGNORECASE)
FLAME = "gas or flame"
"""Of ``refusals.triggers``."""


COUNTED = {"one": 1, "two": 2, "three": 3, "four": 4, "five": 5, "six": 6, "eight": 8, "ten": 10}
FAR_FROM_FIRE_MM = 1_500.0
"""So far from a stove its warmth and its sparks are no matter: NFPA 211 wants 36 in. (914 mm) of one that nobody has tested, from memory;
half as much again is a judgement of ours. The stove's own papers go before it."""
_AWAY = re.compile(rf"[^.;\d]{{0,15}}?\b(?:(\d+(?:[.,]\d+)?)|({'|'.join(COUNTED)}))\s*(mm|cm|m|met(?:re|er)s?|feet|foot|ft)\s+(?:away|off|from|further)\b", re.IGNORECASE)


def far_away(text: str, at: re.Match) -> bool:
    """Whether the words after such a place say that it is further off than ``FAR_FROM_FIRE_MM``: 'a stove two metres away'."""
    said = _AWAY.match(text, at.end())
    if not said:
        return False
    number = float(said[1].replace(",", ".")) if said[1] else float(COUNTED[said[2].lower()])
    return number * IN_MM[said[3].lower()] >= FAR_FROM_FIRE_MM


def flame_beside(brief: Brief) -> bool:
    """Whether it stands by a fire or a gas appliance: as the brief answers it, else in the client's words."""
    return FLAME in (brief.needs_leave or ()) or any(not far_away(brief.asked, at) for at in _FLAME.finditer(brief.asked))


def skirting_asked(brief: Brief) -> float | None:
    """How high the skirting board is in the client's words; None while nobody says. [mm]"""
    return _said(brief.asked, *SKIRTING_MM, _SKIRTING)
