"""What the client says of what hangs on a wall: that it does, how high, how many boards, whether it is shut by doors."""

from __future__ import annotations

import re
from dataclasses import dataclass

from studio_lib.brief.said import COUNTS, HUNG_AT, IN_MM, meant
from studio_lib.commission import Brief

_CASE = r"(?:shel(?:f|ves)|shelving|cabinets?|cupboards?|bookcases?|book ?shel(?:f|ves))"
_OVER = (
    r"(?:over|above) (?:the|our|my|his|her|a) (?:[\w-]+ )?(?:bath(?:tub)?|basin|washbasin|sink|bed|desk|sofa|settee|couch|radiator|toilet|loo|worktop|counter|hob|stove|door|fireplace|mantel\w*|"
    r"washing machine|(?:work ?)?bench|table|sideboard|chest|tv|television|piano)"
)
HUNG = re.compile(
    rf"\b(?:wall|floating|hanging|hung|wall[- ](?:hung|mounted))[- ]{_CASE}\b|\b(?:spice|plate|hat) (?:racks?|shel(?:f|ves))\b"
    rf"|\b{_CASE}\b[^.;]{{0,40}}\b(?:hung|hangs?|hanging|mounted|fixed|screwed|go(?:es)? up) (?:up )?(?:on|to) (?:the|a|that|our) (?:[\w-]+ )?wall\b|\b{_CASE}\b (?:for|on) the (?:[\w-]+ )?wall\b(?! (?:to|between|from)\b)"
    rf"|\b(?:over|above) (?:it|them)\b[^.;]{{0,25}}\bshel(?:f|ves)\b|\bshel(?:f|ves)\b[^.;]{{0,25}}\b(?:over|above) (?:it|them)\b"
    rf"|\b{_OVER}\b[^.;]{{0,30}}\b{_CASE}\b|\b{_CASE}\b[^.;]{{0,40}}\b{_OVER}\b|\b{_CASE}\b[^.;]{{0,40}}\b(?:off|clear of) the floor\b",
    re.IGNORECASE)
"""Shelves and cupboards said to hang, or over what stands at the wall."""
_STANDS = re.compile(r"\b(?:stands?|standing) on the (?:floor|ground)\b|\bfree[- ]?standing\b|\bfloor to ceiling\b|\balcoves?\b", re.IGNORECASE)
AT_MM = (200.0, 2400.0)
_BOARDS = re.compile(r"\b(a|an|one|single|two|three|four|five|six|pair of|couple of|[1-6])\s+(?:(?!and\b|or\b|wide\b|metres?\b)[\w-]+\s+){0,3}?(?:book ?)?shel(f|ves)\b", re.IGNORECASE)
_SHUT = re.compile(r"\b(?:cupboards?|cabinets?|doors?|behind doors)\b", re.IGNORECASE)
_NOT_SHUT = re.compile(r"\b(?:no|without|not any|open,? (?:no|without))\s+doors?\b|\bopen (?:shel(?:f|ves)|cabinets?|cupboards?)\b", re.IGNORECASE)
_OTHER_SHUT = re.compile(r"\b(?:front|back|side|kitchen|bathroom|bedroom|cellar|garden|terrace|french|balcony|room|our|the) doors?\b|\bdoor(?:way| is| opens|s are)\b|(?:over|above|under|below|beside|next to) (?:the|our|my) (?:[\w-]+ )?(?:cupboards?|cabinets?|doors?)\b",
                         re.IGNORECASE)
_WET = re.compile(r"\b(?:bath(?:tub|s)?|shower|basin|washbasin|sink)\b", re.IGNORECASE)


SHELF_WORDS = re.compile(r"shel(?:f|ves)|shelving|racks?", re.IGNORECASE)
"""In the words for what hangs: open, and no cupboard."""


def hung_asked(asked: str) -> re.Match | None:
    """Where the client says that shelves or a cupboard hang on a wall; None where they stand."""
    return None if _STANDS.search(asked) else meant(HUNG, asked)


def hung_at_asked(brief: Brief) -> float | None:
    """How high above the floor its lower edge is to hang, as the client says; None while nobody does. [mm]"""
    for at in HUNG_AT.finditer(brief.asked):
        figure, unit = (at[1], at[2]) if at[1] else (at[3], at[4])
        value = float(figure.replace(",", ".")) * IN_MM[unit.lower()]
        if AT_MM[0] <= value <= AT_MM[1]:
            return value
    return None


def boards_asked(brief: Brief) -> int | None:
    """How many boards the client asks for, 'two shelves over the bath'; None where it is not said."""
    found = [(at[1].lower(), at[2]) for at in _BOARDS.finditer(brief.asked)]
    words = [n for n, many in found if (many.lower() == "ves") == (n not in ("a", "an", "one", "single", "1"))]
    if not words:
        return None
    said = words[0].removesuffix(" of")
    return {"a": 1, "an": 1, "single": 1, "pair": 2, "couple": 2, **COUNTS}.get(said) or int(said)


def doors_asked(brief: Brief) -> bool:
    """Whether what hangs is a cupboard, shut by doors."""
    left = _OTHER_SHUT.sub(" ", brief.asked)
    return meant(_SHUT, left) is not None and not _NOT_SHUT.search(brief.asked)


_BELOW = re.compile(
    r"\b(?:over|above) (?:the|our|my|a) (?:[\w-]+ )?(?P<what>work ?top|counter(?:top)?|work ?surface|sink|basin|washbasin|bath(?:tub)?|washing machine|desk|sideboard|work ?bench)\b(?P<rest>[^.;]{0,70})", re.IGNORECASE)
_ITS_HEIGHT = re.compile(r"(\d{2,4}(?:[.,]\d+)?)\s*(mm|cm|m|in|inches)?\s*high\b|\bheight (?:of |is )?(\d{2,4})\s*(mm|cm|m)?", re.IGNORECASE)
_ITS_DEPTH = re.compile(r"(\d{2,3}(?:[.,]\d+)?)\s*(mm|cm|m|in|inches)?\s*deep\b", re.IGNORECASE)
USUAL_DEEP_MM = {"bath": 700.0, "bathtub": 700.0, "desk": 700.0, "basin": 450.0, "washbasin": 450.0, "sideboard": 450.0}
"""How far what stands under it comes off the wall where nobody says, in mm; 600 of the rest: common practice, no source."""
HIGH_MM, DEEP_MM = (500.0, 1200.0), (200.0, 1000.0)


@dataclass(frozen=True)
class Below:
    """What a piece that hangs is over. [mm]"""

    what: str
    deep_mm: float
    high_mm: float | None
    """Its height as the client gives it."""


def below_asked(brief: Brief) -> Below | None:
    """What it hangs over and one reaches across, by the client's words; None where nothing is said of it."""
    at = _BELOW.search(brief.asked)
    if at is None:
        return None

    def said(pattern: re.Pattern, low: float, high: float) -> float | None:
        for found in pattern.finditer(at["rest"]):
            figure, unit = next((figure, unit) for figure, unit in zip(found.groups()[::2], found.groups()[1::2]) if figure)
            value = float(figure.replace(",", ".")) * IN_MM[(unit or ("cm" if float(figure.replace(",", ".")) < 200 else "mm")).lower()]
            if low <= value <= high:
                return value
        return None

    what = at["what"].lower()
    return Below(what, said(_ITS_DEPTH, *DEEP_MM) or USUAL_DEEP_MM.get(what, 600.0), said(_ITS_HEIGHT, *HIGH_MM))


def wet_beside(brief: Brief) -> bool:
    """Whether water splashes beside it: it hangs by a bath, a shower or a basin."""
    return bool(_WET.search(brief.asked))
