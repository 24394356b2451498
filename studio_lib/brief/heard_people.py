"""Who uses it, by a client's words: how many, how old, how tall, how heavy, and a wheelchair."""

from __future__ import annotations

import re
from collections.abc import Iterator

from studio_lib.brief.reading import Heard, LEN, N, NO_COUNT, NUMBERS, in_mm, number_said, words_before
from studio_lib.brief.said import REFUSED
from studio_lib.commission import Brief, Commission
from studio_lib.units import mm

_PEOPLE = tuple(re.compile(words, re.IGNORECASE) for words in (
    rf"\b{N}\s+(?:[a-z]+\s+)?(?:of us|people|persons|guests|grown-?ups|adults|diners)\b",
    rf"\bfamily of {N}\b", rf"\b(?:seats?|seating)\s+(?:for\s+|up to\s+)?{N}\b{NO_COUNT}",
    rf"\b(?:tables?|bench|benches|settle|seat)\s+(?:[\w-]+\s+){{0,3}}?for\s+(?:up to\s+)?{N}\b{NO_COUNT}",
    rf"\b(?:but|and|or|even|up to)\s+{N}\s+(?:at|on|over|for)\s+(?:christmas|easter|birthdays?|feasts?|holidays|weekends|sundays|thanksgiving|parties)\b",
    rf"\bfor\s+{N}\s+(?:[a-z]+\s+)?(?:teenagers|children|kids|students|pupils|girls|boys|sisters|brothers|men|women|adults)\b", rf"\b{N}\s+(?:[a-z]+\s+)?(?:teenagers|children|kids|students|pupils|girls|boys)\s+(?:in a row|side by side|at a time|at once|sit|sitting|next to each other)\b",
    rf"\b(?:sit|eat|dine)\s+(?:at\s+)?{N}\b{NO_COUNT}", rf"\bsometimes\s+{N}\b{NO_COUNT}",
    rf"\bfor\s+{N}\b(?=\s*(?:[.,;!?)](?!\d)|$)|\s+(?:to|in|at|who|with)\b){NO_COUNT}",
    rf"\b(?:we are|we're|there are)\s+{N}\b(?=\s*(?:[.,;:!?)](?!\d)|$|of us\b))",
))
_A_SIDE = re.compile(rf"\b{N}\s+(?:people |persons |guests |of us )?(?:a side\b|(?:on|at|along) (?:each|either) (?:long )?side\b)", re.IGNORECASE)
"""'Four a side': twice as many."""
_ONE_OF_US = re.compile(r"\bone of (?:us|them|you)\b", re.IGNORECASE)
_AND_THE_OTHER = re.compile(
    r"\bone of us\b[^\n]{0,160}?\b(?:the other|another)\b(?!\s+(?:day|days|side|end|hand|way|room|wall|piece|chair|stool|table|bench|one|foot|leg|time|matter|thing|wish|question)\b)", re.IGNORECASE)
"""Two are told of: 'one of us is tall, the other is not'."""
_FOR_PARENTS = re.compile(
    r"\b(?:for|give|giving)\s+(?:my|our|his|her|their)\s+(?:old |elderly |dear )?(?:grand)?parents\b(?!['\u2019])|\bparents\b(?=[^\n]{0,160}?\b(?:give|giving|for) them\b)[^\n]{0,160}?\b(?:give|giving|for) them\b", re.IGNORECASE)
"""'For my parents', 'I would like to give them a bench': two."""


def people_said(c: Commission) -> Iterator[Heard]:
    """How many sit on it or at it at once: the most that is said."""
    from studio_lib.questions import seats_someone

    if c.brief.people != Brief().people:
        return
    said = [(number_said(at[1]), at[0]) for words in _PEOPLE for at in words.finditer(c.brief.asked) if not _ONE_OF_US.match(at[0])]
    said += [(2 * number_said(at[1]), at[0]) for at in _A_SIDE.finditer(c.brief.asked)]
    said += [(2, at[0]) for words in (_AND_THE_OTHER, _FOR_PARENTS) for at in words.finditer(c.brief.asked) if not REFUSED.search(words_before(c.brief.asked, at.start()))]
    if c.items and not seats_someone(c):
        said = [s for s in said if s[0] == 1]
    most = max((s for s in said if 1 <= s[0] <= 40), default=None, key=lambda s: s[0])
    if most and most[0] != c.brief.people:
        yield Heard("brief.people", most[0], f"{most[0]} people at once" if most[0] > 1 else "one person", most[1])
    elif not most and (at := _the_one(c)):
        women = next((share for share, words in _SHE_OR_HE if words.search(_WHOSE.sub("", at[0]))), None)
        known = women is None or c.brief.share_women != Brief().share_women
        yield Heard("brief.people", 1, "one person" if known else f"one person, {'a woman or girl' if women else 'a man or boy'}", at[0],
                    () if known else (("brief.share_women", women),))


_KIN = r"(?:son|daughter|boy|girl|grandson|granddaughter|grandchild|niece|nephew|godson|goddaughter|godchild|stepson|stepdaughter|child|kid|toddler|baby|little (?:one|boy|girl))"
_KINS = r"(?:children|kids|boys|girls|sons|daughters|grandchildren|grandsons|granddaughters|nieces|nephews|twins|little ones|toddlers)"
_IS = r"(?:\(|,|(?:,? who )?(?:is|turns|has turned)(?: (?:only|just|now|about|nearly|almost|still))?|,? aged|of|'s)"
_NO_AGE = NO_COUNT + r"(?!\s*(?:-|'|’|\"|of\b|(?:minutes?|miles?|km|hours?|foot|feet|ft|stone|kilos?|lbs?|pounds?|or so (?:minutes|miles)|th|st|nd|rd|o'clock|at\b)))"
_AND_MORE = rf"((?:\s*(?:,|and|&)\s*{N}\b{_NO_AGE})*)"
_AGES = tuple(re.compile(words, re.IGNORECASE) for words in (
    rf"\b{N}-?(?:\s*(?:,|and|to|or|-|\u2013)\s*{N}-?)*[- ]years?[- ]olds?\b", rf"\baged?s?\s+{N}\b{_AND_MORE}{NO_COUNT}",
    rf"\b{_KIN}\s*{_IS}\s*{N}\b{_NO_AGE}", rf"\b(?:youngest|smallest|little one|eldest|oldest)\s+(?:of (?:them|us|the (?:children|kids|three|four|two))\s+)?(?:is|turns)\s+(?:only |just |now )?{N}\b{_NO_AGE}",
    rf"\b{_KINS}\s*(?:\(|,|(?:,? who )?are(?: (?:only|just|now|both))?|,? aged|of)\s*{N}\b{_AND_MORE}{_NO_AGE}",
))
GROWN_FROM = 18
GROWN_SAID = re.compile(
    r"['\u2019]s (?:wedding|husband|wife|partner|fianc|flat|house|car|children|firm|office)|\s*(?:,?\s*who\s+)?(?:is|are|,)?\s*(?:(?:about|nearly|over)\s+)?(?:weigh(?:s|ing)?\b|(?:twenty|thirty|forty|fifty|sixty|seventy|eighty)\b|(?:1[89]|[2-9]\d)\b(?!\s*(?:cm|mm|in\b|%))"
    r"|1[.,][6-9]\d?\b|2[.,][01]|1[6-9]\d\s*cm\b|(?:[56]|five|six)\s*(?:ft|foot|feet|')|grown|married|at university|(?:works?|drives?)\b)", re.IGNORECASE)
"""What follows words for a child, 'our son', where a grown one is meant."""


def ages_said(c: Commission) -> Iterator[Heard]:
    """How old the children are that the words speak of."""
    if c.brief.child_ages:
        return
    ages, words = [], []
    for pattern in _AGES:
        for at in pattern.finditer(c.brief.asked):
            if REFUSED.search(words_before(c.brief.asked, at.start())):
                continue
            found = [number_said(n) for n in re.findall(rf"\b{N}\b", at[0], re.IGNORECASE) if n.lower() != "one" or not re.search(r"little ones?\b", at[0], re.IGNORECASE)]
            ages += found
            words.append(at[0])
    ages = sorted({a for a in ages if a < GROWN_FROM})
    if ages:
        yield Heard("brief.child_ages", ages, f"children of {', '.join(map(str, ages))} years" if len(ages) > 1 else f"a child of {ages[0]}", "; ".join(words),
                    () if c.brief.children else (("brief.children", True),))


_FEET = re.compile(r"\b([4-6]|four|five|six)\s*(?:ft|feet|foot|')\s*(?:(\d{1,2}|" + "|".join(NUMBERS) + r")(?![\w.,]*\d)\b\s*(?:in\b|inch\w*|\"|''|”)?)?", re.IGNORECASE)
_SOMEONE = (r"\b(?:I am|I'm|he is|he's|she is|she's|(?:one of us|(?:and |but )?the (?:other|second|third)(?: one)?|another)(?: is|'s|,)?"
            r"|(?:husband|wife|partner|son|daughter|brother|sister|father|mother|dad|mum|mom|friend|uncle|aunt|nephew|niece|grandfather|grandmother)(?: who)?(?: is|'s|,)?|tallest(?: [\w-]+){0,3}?(?: is|,)?)")
_NEARLY = r"(?:about |over |nearly |almost |a good |some )?"
_AGE_AND = rf"(?:(?:only |just |now )?(?:{N[1:-1]})(?: years? old| years?)?(?:,| and|, and)\s+)?"
"""'Our daughter is 14 and 1.58 m tall'."""
_SUBJECT = rf"(?:\b(?:my|his|her) height is|{_SOMEONE})(?:\s+|\s*\(){_AGE_AND}{_NEARLY}"
_METRES = r"(?:(?<![\d.,])([12][.,]\d{1,2})(?![.,]?\d)(?!\s*(?:m\b|met(?:re|er)|k\b|million|%|kg|kilos?|euros?|times|wide|long|deep|cm|mm|in\b|inch|ft|feet|foot)))"
"""A stature in metres whose unit nobody says: '1.95'."""
_TALL = re.compile(rf"{_SUBJECT}(?:{LEN}|{_METRES}|(two) met(?:re|er)s)(?!\s*(?:long|wide|deep|high|thick|boards?|planks?|lengths?|slats?|shel(?:f|ves)|from|away|off|apart|up|of)\b)", re.IGNORECASE)
_TALL_FEET = re.compile(_SUBJECT + r"(?=(?:[4-6]|four|five|six)\s*(?:ft|feet|foot|'))", re.IGNORECASE)
_ONE_KIN = (r"(?:(?:older|elder|eldest|oldest|younger|youngest|little|big|only|teenage) )?(?:(?:grand|god|step)?(?:son|daughter|father|mother|child)|husband|wife|partner|brother|sister|dad|mum|mom|friend|uncle|aunt|"
            r"nephew|niece|grandpa|grandma|granny|boy|girl|boyfriend|girlfriend)")
_OF_ONE = rf"(?:(?:our|my|his|her|their|a)\s+{_ONE_KIN}(?!['\u2019]s|\w))"
_NO_OTHER = r"(?!\s*(?:\([^)]*\)\s*)?,?\s*(?:and|or|&)\s+(?:(?:my|our|his|her|their|the)\s+)?(?:me|myself|I|us|him|her|them|family|colleagues?|friends|parents|" + _KINS + "|" + _ONE_KIN + r")\b)"
_FOR_ONE = re.compile(
    rf"\bfor\s+(?:{_OF_ONE}{_NO_OTHER}|(?:me|myself|him|himself|herself|her)\b{_NO_OTHER}(?=\s*(?:[.,;:!?()]|$)|\s+(?:to|at|and|in|under|with|who|that|which|only|alone)\b))"
    rf"|\b(?:{_OF_ONE}(?:\s*\([^)]*\)|\s*,[^.;,]{{1,30}},|\s+(?:of|aged)\s+(?:{N[1:-1]}))?|she|he)\s+(?:wants|needs|would like|wishes for|has asked for|dreams of)\s+(?:to have\s+)?(?=(?:an?|his|her)\s)", re.IGNORECASE)
"""Whom a piece is for, where that is one person: 'for our daughter', 'my mother (84) wants a'."""
_SHE_OR_HE = ((1.0, re.compile(r"\b(?:she|her|herself|(?:grand|god|step)?(?:daughter|mother)|wife|sister|mum|mom|aunt|niece|grandma|granny|girl|girlfriend)\b", re.IGNORECASE)),
              (0.0, re.compile(r"\b(?:he|him|himself|(?:grand|god|step)?(?:son|father)|husband|brother|dad|uncle|nephew|grandpa|boy|boyfriend)\b", re.IGNORECASE)))
_WHOSE = re.compile(rf"\b(?:our|my|his|her|their)\s+(?={_ONE_KIN})", re.IGNORECASE)
_OF_ALL = re.compile(r"\b(?:both of|us both|them both|for both|for us|all of us|two of us|we both|the two of|each other|take it over|share it|shared|together|guests|visitors)\b", re.IGNORECASE)


def _the_one(c: Commission) -> re.Match | None:
    """The words that say for which one person it is, where the job has one desk or one stool to sit at or on; None where several are told of."""
    seats = [i for i in c.items if any(word in i.form for word in ("bench", "stool", "chest", "table", "freehand"))]
    text = c.brief.asked
    if len(seats) != 1 or seats[0].count != 1 or not _FOR_THE_ONE.search(seats[0].name) or _OF_ALL.search(text):
        return None
    statures = _statures_said(text)
    if len(statures) > 1:
        return None
    found = next((at for at in _FOR_ONE.finditer(text) if not REFUSED.search(words_before(text, at.start()))), None)
    return found or (_I_AM.search(statures[0][1]) if statures and not _WE.search(text) else None)


_I_AM = re.compile(r"^(?:I am|I'm|my height is)\b.*", re.IGNORECASE)
_WE = re.compile(r"\b(?:we|us|our|ours|both)\b", re.IGNORECASE)


_FOR_THE_ONE = re.compile(r"\b(?:desks?|stools?|writing tables?|work tables?|bureau)\b", re.IGNORECASE)
"""Pieces that one person uses at a time; at tables, on benches and on chests others sit too."""


VERY_TALL_MM = 1_850.0
"""From this stature on it matters to sizes; about 90 of 100 men are shorter: the people on file."""


def _statures_said(text: str) -> list[tuple[float, str]]:
    """How tall people are in the client's words, and these. [mm]"""
    said = [(2_000.0 if at[4] else in_mm(at[1], at[2]) if at[1] else in_mm(at[3], "m"), at[0]) for at in _TALL.finditer(text)]
    for at in _TALL_FEET.finditer(text):
        feet = _FEET.match(text, at.end())
        if feet:
            said.append((304.8 * number_said(feet[1]) + 25.4 * (number_said(feet[2]) if feet[2] else 0), at[0] + feet[0].rstrip()))
    return [s for s in said if OF_A_BODY_MM[0] <= s[0] <= OF_A_BODY_MM[1]]


OF_A_BODY_MM = (1_000.0, 2_100.0)
"""What is a stature; anything else is said of something else. Judgement of ours."""
OWN_FROM_MM = 1_480.0
"""From this stature on body sizes are on file by stature: 1 in 100 women of the survey is shorter; of shorter children by age."""


def tallest_said(c: Commission) -> Iterator[Heard]:
    """Someone so tall that sizes follow; of the one who uses it alone, how tall they are."""
    if c.brief.tallest_person_mm is not None:
        return
    said = _statures_said(c.brief.asked)
    if len(said) == 1 and c.brief.people == 1 and not c.brief.sized_to_children and OWN_FROM_MM <= said[0][0] and _of_the_same(_the_one(c), said[0][1]):
        yield Heard("brief.tallest_person_mm", round(said[0][0]), f"the one who uses it is {mm(round(said[0][0]))} mm tall", said[0][1])
        return
    tallest = max((s for s in said if VERY_TALL_MM <= s[0]), default=None)
    if tallest:
        yield Heard("brief.tallest_person_mm", round(tallest[0]), f"the tallest is {mm(round(tallest[0]))} mm", tallest[1])


def _of_the_same(one: re.Match | None, stature: str) -> bool:
    """Whether a stature is said of the one that it is for: 'for my aunt', 'she is 1.60 m', but not 'I am 1.80 m'."""
    if one is None:
        return True
    if (re.search(r"\b(?:me|myself|I|I'm)\b", one[0]) is not None) != (_I_AM.search(stature) is not None):
        return False
    kin = [at[0].lower() for at in (re.search(_ONE_KIN, words, re.IGNORECASE) for words in (one[0], stature)) if at]
    shares = {next((share for share, words in _SHE_OR_HE if words.search(_WHOSE.sub("", said))), None) for said in (one[0], stature)} - {None}
    return len(shares) < 2 and (len(kin) < 2 or kin[0].split()[-1] == kin[1].split()[-1])


def child_alone_said(c: Commission) -> Iterator[Heard]:
    """One child who uses it alone, whose stature nobody says or who is too short for grown people's sizes: sized by age."""
    b = c.brief
    if b.children_alone is not None or b.people != 1 or len(b.child_ages) != 1 or b.tallest_person_mm or any(s >= OWN_FROM_MM for s, _ in _statures_said(b.asked)):
        return
    at = _the_one(c)
    if at and b.child_ages[0] >= 2 and _a_child(b.asked, at):
        yield Heard("brief.children_alone", True, f"it is for the child of {b.child_ages[0]:g} alone, and sized to them", at[0])


def _a_child(text: str, at: re.Match) -> bool:
    """Whether the one it is for is the child whose age is told: no other child is spoken of, and 'for her' is of no grown one."""
    kin = {word.lower() for word in _CHILD.findall(text)}
    if GROWN_SAID.match(text, at.end()) or len(kin) != 1 or re.search(rf"\b{_KINS}\b", text, re.IGNORECASE):
        return False
    return _CHILD.search(at[0]) is not None or _PRONOUN.search(at[0]) is not None and not _GROWN_KIN.search(text)


_CHILD = re.compile(rf"\b({_KIN})\b", re.IGNORECASE)
_PRONOUN = re.compile(r"\b(?:for (?:him|her)|she|he)\b", re.IGNORECASE)
_GROWN_KIN = re.compile(r"\b(?:husband|wife|partner|mother|father|mum|mom|dad|aunt|uncle|sister|brother|friend|grand(?:mother|father|ma|pa)|granny|woman|man|lady)\b", re.IGNORECASE)


_CHAIR = re.compile(r"\bwheelchair\b", re.IGNORECASE)
_CHAIR_AT = (
    ("end", "the wheelchair pulls up at one end", re.compile(r"\bat (?:one|the|an|that|his|her) end\b|\bat the head of the table\b", re.IGNORECASE)),
    ("side", "the wheelchair pulls up at one side", re.compile(r"\bat (?:one|a|the) (?:long )?side\b", re.IGNORECASE)),
)
_KNEES = re.compile(rf"\b(?:knees|arm ?rests?|arms of (?:the|his|her) (?:wheel)?chair)\b(?:[^.;\d]|\.(?!\s)){{0,90}}?{LEN}|{LEN}\s*(?:high )?at the (?:knees|arm ?rests?|arms)\b", re.IGNORECASE)


def wheelchair_said(c: Commission) -> Iterator[Heard]:
    """Where a wheelchair pulls up and what height its arms ask for, where one is spoken of."""
    text = c.brief.asked
    if not _CHAIR.search(text):
        return
    if not c.brief.wheelchair_at:
        met = [(at.start(), value, says, at[0]) for value, says, words in _CHAIR_AT for at in words.finditer(text)]
        if met:
            _, value, says, words = min(met)
            yield Heard("brief.wheelchair_at", value, says, words)
    at = _KNEES.search(text)
    if at and c.brief.wheelchair_knees_mm is None and 500 <= (high := round(in_mm(at[1] or at[3], at[2] or at[4]))) <= 900:
        yield Heard("brief.wheelchair_knees_mm", high, f"knees and arms of the wheelchair ask for {mm(high)} mm", at[0])


IN_KG = {"k": 1.0, "s": 6.35029318, "l": 0.45359237, "p": 0.45359237}
"""Kilograms, stone of 14 lb, pounds, by their first letter: the international pound of 1959."""
_MASS = rf"(\d{{2,3}}|{'|'.join(NUMBERS)})\s*(kg|kilos?|kilograms?|stones?|(?<=\s)st|lbs?|pounds?)\b(?!\s*(?:tiles?|slabs?|steps?|floor|of\b|a\b|per\b))"
_TALL_AND = r"(?:(?:[12][.,]\d{1,2}|\d{3})\s*(?:m|cm|met(?:re|er)s)?\s*(?:tall\s*)?(?:and|,|with|&)\s*|(?:[4-6]|four|five|six)\s*(?:ft|feet|foot|')\s*(?:[\w\"”]+\s*){0,3}?(?:and|,|with|&)\s*|two met(?:re|er)s\s*(?:tall\s*)?(?:and|,)\s*)?"
_WEIGHS = re.compile(rf"\b(?:weigh(?:s|ing)?|carry me|hold me|carries me)\b[^.;\d]{{0,20}}?(?<![\d.,]){_MASS}", re.IGNORECASE)
_WEIGHT = re.compile(rf"{_SOMEONE}\s+{_NEARLY}{_TALL_AND}{_NEARLY}{_MASS}", re.IGNORECASE)
_HEAVY_AT = re.compile(rf"\b(?:is|am|are|very|quite|rather|and)\s+(?:a )?heavy(?: man| woman| person)?,?\s+{_NEARLY}{_MASS}", re.IGNORECASE)
"""'He is 84 and heavy, about 250 lb'."""
_NOBODY = re.compile(
    r"\b(?:it|that|which|each|table|top|slab|counter|chest|piece|stone|tree|door|stove|dog|bench|cabinet|books?|nobody|no one|none|not|no|never|to)(?:\s+(?:may|must|can|should|only|will|of us))*\s*$", re.IGNORECASE)
"""What stands before 'weighs' where no person is meant."""
HEAVY_KG = 100.0
"""From this weight on it is offered; loads of seats follow it over 110 kg."""


def weights_said(text: str) -> Iterator[tuple[int, re.Match]]:
    """What people weigh in the client's words. [kg]"""
    for at in (*_WEIGHS.finditer(text), *_WEIGHT.finditer(text), *_HEAVY_AT.finditer(text)):
        if not _NOBODY.search(words_before(text, at.start())):
            yield round(number_said(at[1]) * IN_KG[at[2][0].lower()]), at


def heaviest_said(c: Commission) -> Iterator[Heard]:
    """What the heaviest of them weighs, from where a seat is asked for it. [kg]"""
    said = [(kg, at[0]) for kg, at in weights_said(c.brief.asked)]
    most = max((s for s in said if HEAVY_KG <= s[0] <= 300), default=None)
    if most and c.brief.heaviest_kg is None:
        yield Heard("brief.heaviest_kg", most[0], f"the heaviest weighs {most[0]} kg", most[1])
