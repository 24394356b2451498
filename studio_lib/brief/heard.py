"""What the client's own words say already: pieces, people, money, a date, a door, and wishes that have a field.

Nothing of it is taken by itself. Each reading is offered with the words that it rests on, while its field is still as a new
brief has it; the maker takes it or leaves it.
"""

from __future__ import annotations

import csv
import re
from calendar import monthrange
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cache, lru_cache
from pathlib import Path

from dateutil.easter import easter

from studio_lib.brief.hung_said import SHELF_WORDS, hung_asked
from studio_lib.brief.said import FLAME, IN_MM, REFUSED, alcove_asked, ceiling_asked, counter_asked, cupboard_below_asked, far_away, flame_beside, local_words, meant, sizes_asked, skirting_asked, tallest_book
from studio_lib.commission import Brief, Commission, Opening
from studio_lib.units import mm


@dataclass(frozen=True)
class Heard:
    """One thing that the client's words say."""

    path: str
    """Field of the commission that would hold it; '' where it cannot be taken as the job stands."""
    value: object
    """What the field would hold, as plain JSON."""
    says: str
    words: str
    """Of the client's, that it was read from."""
    first: tuple[tuple[str, object], ...] = ()
    """(path, value) of what it says besides, to be held before it."""


def heard(c: Commission, today: date, sizes: Sequence[dict[str, float]] = ()) -> tuple[Heard, ...]:
    """Everything that the words of the brief say and no field holds yet, pieces first; nothing once the maker has done with them.

    Parameters
    ----------
    sizes : {name: value}
        What the one piece there is measures now, given or proposed; None leaves sizes aside. [mm]
    """
    if not c.brief.asked.strip() or c.brief.asked == c.brief.weighed:
        return ()
    ages, plain = list(_ages(c)), list(_plain(c))
    wishes = [h for h in plain if not (ages and h.path == "brief.children")]
    outdoors = any(h.path == "brief.place" and str(h.value).startswith("outdoors") for h in plain) or c.brief.place.startswith("outdoors")
    return (*_pieces(c, outdoors), *_not_made(c), *_people(c), *ages, *_sizes(c, sizes), *_carries(c, sizes), *_room(c), *wishes, *_local(c), *_leave(c), *_tall(c), *_chair(c), *_heavy(c), *_ways(c), *_wind(c), *_limits(c), *_years(c), *_by(c, today), *_money(c))


NUMBERS = {w: n for n, w in enumerate((
    "one two three four five six seven eight nine ten eleven twelve "
    "thirteen fourteen fifteen sixteen seventeen eighteen nineteen twenty"
).split(), 1)}
_N = "(" + "|".join(NUMBERS) + r"|\d{1,2})"
_NO_COUNT = r"(?!\s*(?:[.,]\d|years?|weeks?|months?|days?|hours?|euros?|pounds?|dollars?|thousand|hundred|%|mm|cm|m\b|metres?|meters?|in\b|inch|ft|feet|foot|kg|children|kids|drawers?|doors?|shelves))"


def _rows(name: str) -> list[dict[str, str]]:
    with (Path(__file__).parent / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def _number(said: str) -> int:
    return NUMBERS.get(said.lower()) or int(said)


def _before(text: str, at: int) -> str:
    """The last words before a place in the text."""
    return text[max(at - 80, 0):at]


def _clause(text: str, at: int) -> str:
    """The words between two marks around a place in the text; a mark within a figure is none."""
    text, at = text[max(at - 200, 0):at + 200], min(at, 200)
    marks = [0, *(m.end() for m in re.finditer(r"(?<!\d)[.,;!?\n]|[.,;!?\n](?!\d)", text)), len(text)]
    start = max(m for m in marks if m <= at)
    return text[start:min(m for m in marks if m > start or m == len(text))]


# ---------------------------------------------------------------- the pieces


@cache
def _forms() -> tuple[tuple[str, re.Pattern], ...]:
    return tuple((r["form"], re.compile(rf"\b(?:{r['words']})\b", re.IGNORECASE)) for r in _rows("pieces_heard"))


_THERE_ALREADY = re.compile(r"\b(?:match|matching|beside|next to|by|near|behind|in front of|round|around|opposite|under|over|above|on|at|like|with|(?:side|end|head|foot) of) (?:the|our|my|his|her|existing|old)(?: (?!an?\b|one\b|two\b|three\b|some\b|open\b)[\w-]+){0,2} $", re.IGNORECASE)
"""What stands before a piece that is there already."""


def _pieces(c: Commission, outdoors: bool) -> Iterator[Heard]:
    """The pieces asked for, of which there is none yet."""
    from studio_lib.forms import begun

    there = {_sort(item.form, item.name) for item in c.items}
    text, met = c.brief.asked, []
    left, counter = text, counter_asked(c.brief)
    for form, words in _forms():
        for at in words.finditer(left):
            if not (REFUSED.search(_before(text, at.start())) or _THERE_ALREADY.search(_before(text, at.start()))):
                met.append((at.start(), _slatted(form) if outdoors and not (form == "stool" and counter) else form, at[0]))
        left = words.sub(lambda at: " " * len(at[0]), left)
    if cupboard_below_asked(c.brief):
        met = _over_a_cupboard(met)
    met = _hung(text, met)
    if any(form != "bookcase" for _, form, _ in met):
        met = [m for m in met if m[1] != "bookcase" or not _WITH.search(_before(text, m[0]))]
    for form, sort in dict.fromkeys((form, _sort(form, words)) for _, form, words in sorted(met)):
        if sort in there:
            continue
        mentions = [(_count(_before(text, at), words), _called(words)) for at, f, words in sorted(met) if (f, _sort(f, words)) == (form, sort)]
        count, words = max(mentions, key=lambda m: m[0])
        name = _one_of(words)
        item = begun(form, name).model_copy(update={"count": count})
        told = f"{count} {words}" if count > 1 else name if name.endswith(("s", "shelving")) else f"a {name}"
        yield Heard("items", [*(i.model_dump(mode="json") for i in c.items), item.model_dump(mode="json")], f"a piece: {told}", words)


_SLIDING = re.compile(r"\bslid(?:e|ing) doors?\b|\bdoors? (?:that|which|to) slide\b", re.IGNORECASE)


def _not_made(c: Commission) -> Iterator[Heard]:
    """What is asked for and no form makes, so that nobody takes what is offered for it."""
    found = meant(_SLIDING, c.brief.asked)
    if found:
        yield Heard("", None, "doors that slide are not among the forms: doors are hung on hinges; say so to the client", found[0])


_HUNG_BY_NAME = re.compile(r"shel(?:f|ves)|shelving|cabinets?|cupboards?", re.IGNORECASE)


def _hung(text: str, met: list[tuple[int, str, str]]) -> list[tuple[int, str, str]]:
    """Shelves and cupboards that are said to hang on a wall, as pieces that do; what else is said of the same shelves is of them too."""
    at = hung_asked(text)
    if at is None:
        return met
    inside = [m for m in met if m[1] in ("bookcase", "cabinet") and at.start() <= m[0] < at.end()]
    kinds = {m[1] for m in inside}
    plain = re.compile(r"shel(?:f|ves)|shelving", re.IGNORECASE)
    out = [(start, "hung case" if form in kinds or form == "bookcase" and plain.fullmatch(words) else form, words) for start, form, words in met]
    if not any(form == "hung case" for _, form, _ in out):
        word = _HUNG_BY_NAME.search(at[0])
        if word:
            out.append((at.start() + word.start(), "hung case", word[0]))
    return out


_WITH = re.compile(r"\b(?:with|has|having)\s+(?:[\w-]+\s+){0,3}$", re.IGNORECASE)
"""Before shelves that are a part of another piece: 'a dresser with three open shelves'."""


def _one_of(words: str) -> str:
    """One of what is said in the plural: 'bar stools' are of the piece 'bar stool'; shelves and steps are one piece together."""
    if re.search(r"(?:shelves|steps|drawers|press|trellis)$", words):
        return words
    return re.sub(r"(?<=ch)es$|(?<=sh)es$|(?<=x)es$|s$", "", words)


def _called(words: str) -> str:
    """Words for a piece in small letters, but for what is written in capitals: 'TV unit'."""
    return " ".join(word if word.isupper() else word.lower() for word in words.split(" "))


def _over_a_cupboard(met: list[tuple[int, str, str]]) -> list[tuple[int, str, str]]:
    """Shelves and the cupboard that they stand on are one piece, a bookcase: called by the words for the shelves where there are any."""
    cases = [m for m in met if m[1] in ("bookcase", "cabinet")]
    called = next((m for m in sorted(cases) if m[1] == "bookcase"), min(cases, default=None))
    return [m for m in met if m not in cases] + ([(called[0], "bookcase", called[2])] if called else [])


def _count(before: str, words: str) -> int:
    """How many of a piece, by the words before its own."""
    at = re.search(rf"\b(?:(pair|couple)(?: of)?|{_N})\s+(?:(?!with\b|and\b|or\b|at\b|on\b|for\b|to\b|in\b|who\b|people\b|persons?\b|guests\b|of us\b)[\w-]+\s+){{0,2}}$", before, re.IGNORECASE)
    if not at or not words.lower().endswith("s") or words.lower().endswith("shelves"):
        return 1  # two shelves are one piece together
    return 2 if at[1] else _number(at[2])


def _kind(form: str) -> str:
    """What a form is, however it is made: a slatted and a step stool are stools, a strung screen is a screen."""
    return form.split(" ")[-1]


def _sort(form: str, name: str) -> str:
    """What tells one piece from another in a client's words: its kind, and of what hangs whether it is open shelves or a cupboard."""
    return f"{_kind(form)}, {'open' if SHELF_WORDS.search(name) else 'shut'}" if form == "hung case" else _kind(form)


def _slatted(form: str) -> str:
    """What of a kind stands in the rain."""
    return {"table": "slatted table", "stool": "slatted stool"}.get(form, form)


_SENTENCE = re.compile(r"(?:[^.;!?\n]|[.](?=\d))+[.;!?\n]*")


@lru_cache(maxsize=64)
def words_for(asked: str, pieces: tuple[tuple[str, str], ...], index: int) -> str:
    """The client's words without the sentences that speak of other pieces of the job and not of this one.

    Parameters
    ----------
    pieces : ((form, name), ...)
        Of the whole job.
    """
    mine, others = _speaks_of(pieces, index)
    return "".join(s for s in _SENTENCE.findall(asked) if mine.search(s) or not any(other.search(s) for other in others))


@lru_cache(maxsize=64)
def words_of(asked: str, pieces: tuple[tuple[str, str], ...], index: int) -> str:
    """The client's words that speak of one piece of a job, by name, and of no other: clause by clause. ``pieces`` as for ``words_for``."""
    mine, others = _speaks_of(pieces, index)
    if any(_sort(*piece) == _sort(*pieces[index]) for k, piece in enumerate(pieces) if k != index):
        return ""  # of two alike nobody knows which is meant
    parts = [p for s in _SENTENCE.findall(asked) for p in (re.split(r"(?<=[,;])\s|\b(?=and (?:an?|the|two|three|four|six)\b)", s) if any(o.search(s) for o in others) else [s])]
    return " ".join(p.strip() for p in parts if mine.search(p) and not any(other.search(p) for other in others))


def _speaks_of(pieces: tuple[tuple[str, str], ...], index: int) -> tuple[re.Pattern, list[re.Pattern]]:
    """What speaks of one piece of a job, and what of each of a different sort."""
    def called(form: str, name: str) -> re.Pattern:
        if form == "hung case":
            kinds = [SHELF_WORDS.pattern if SHELF_WORDS.search(name) else r"cupboards?|cabinets?"]
        else:
            kinds = [words.pattern for other, words in _forms() if _kind(other) == _kind(form)]
        return re.compile("|".join([*kinds, rf"\b{re.escape(name)}\b"]), re.IGNORECASE)

    mine = _sort(*pieces[index])
    return called(*pieces[index]), [called(form, name) for form, name in pieces if _sort(form, name) != mine]


# ---------------------------------------------------------------- wishes with a field of their own


@cache
def _wishes() -> tuple[tuple[str, object, str, re.Pattern, bool], ...]:
    return tuple((r["path"], _plain_value(r["value"]), r["says"], re.compile(r["words"], re.IGNORECASE), bool(r["even_refused"]))
                 for r in _rows("heard"))


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
    return any(not REFUSED.search(_before(text, at.start())) for at in _MAY.finditer(text))


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
            if path == "brief.nothing_drilled" and _partly(c.brief.asked):
                continue
            if path == "brief.children" and _GROWN.match(c.brief.asked, at.end()):
                continue
            if _NO_AFTER.match(c.brief.asked, at.end()) or (path == "brief.heating_below" and far_away(c.brief.asked, at)):
                continue
            if path == "brief.wants.tone" and _THERE.search(_clause(c.brief.asked, at.start())):
                continue
            if even_refused or not REFUSED.search(_before(c.brief.asked, at.start())):
                taken.add(path)
                if value != now:
                    yield Heard(path, value, says, at[0])
                break


def _local(c: Commission) -> Iterator[Heard]:
    """Timber from around where they are."""
    found = local_words(c.brief.asked)
    if found and not c.brief.wants.local:
        yield Heard("brief.wants.local", True, "timber from around here", found[0])


def _leave(c: Commission) -> Iterator[Heard]:
    """A fire or a gas appliance, which gives others a say."""
    if flame_beside(c.brief) and FLAME not in (c.brief.needs_leave or ()):
        yield Heard("brief.needs_leave", [*(c.brief.needs_leave or ()), FLAME], "it stands by a fire or a gas appliance", "fire")


# ---------------------------------------------------------------- people

_PEOPLE = tuple(re.compile(words, re.IGNORECASE) for words in (
    rf"\b{_N}\s+(?:[a-z]+\s+)?(?:of us|people|persons|guests|grown-?ups|adults|diners)\b",
    rf"\bfamily of {_N}\b", rf"\b(?:seats?|seating)\s+(?:for\s+|up to\s+)?{_N}\b{_NO_COUNT}",
    rf"\b(?:tables?|bench|benches|settle|seat)\s+(?:[\w-]+\s+){{0,3}}?for\s+(?:up to\s+)?{_N}\b{_NO_COUNT}",
    rf"\b(?:sit|eat|dine)\s+(?:at\s+)?{_N}\b{_NO_COUNT}", rf"\bsometimes\s+{_N}\b{_NO_COUNT}",
    rf"\bfor\s+{_N}\b(?=\s*(?:[.,;!?)](?!\d)|$)|\s+(?:to|in|at|who|with)\b){_NO_COUNT}",
    rf"\b(?:we are|we're|there are)\s+{_N}\b(?=\s*(?:[.,;:!?)](?!\d)|$|of us\b))",
))
_ONE_OF_US = re.compile(r"\bone of (?:us|them|you)\b", re.IGNORECASE)
_AND_THE_OTHER = re.compile(
    r"\bone of us\b[^\n]{0,160}?\b(?:the other|another)\b(?!\s+(?:day|days|side|end|hand|way|room|wall|piece|chair|stool|table|bench|one|foot|leg|time|matter|thing|wish|question)\b)", re.IGNORECASE)
"""Two are told of: 'one of us is tall, the other is not'."""


def _people(c: Commission) -> Iterator[Heard]:
    """How many sit on it or at it at once: the most that is said."""
    from studio_lib.questions import seats_someone

    if c.brief.people != Brief().people or (c.items and not seats_someone(c)):
        return
    said = [(_number(at[1]), at[0]) for words in _PEOPLE for at in words.finditer(c.brief.asked) if not _ONE_OF_US.match(at[0])]
    said += [(2, at[0]) for at in _AND_THE_OTHER.finditer(c.brief.asked)]
    most = max((s for s in said if 1 <= s[0] <= 40), default=None, key=lambda s: s[0])
    if most and most[0] != c.brief.people:
        yield Heard("brief.people", most[0], f"{most[0]} people at once" if most[0] > 1 else "one person", most[1])


_KIN = r"(?:son|daughter|boy|girl|grandson|granddaughter|grandchild|niece|nephew|godson|goddaughter|godchild|stepson|stepdaughter|child|kid|toddler|baby|little (?:one|boy|girl))"
_KINS = r"(?:children|kids|boys|girls|sons|daughters|grandchildren|grandsons|granddaughters|nieces|nephews|twins|little ones|toddlers)"
_IS = r"(?:\(|,|(?:,? who )?(?:is|turns|has turned)(?: (?:only|just|now|about|nearly|almost|still))?|,? aged|of|'s)"
_NO_AGE = _NO_COUNT + r"(?!\s*(?:-|'|’|\"|of\b|(?:minutes?|miles?|km|hours?|foot|feet|ft|stone|kilos?|lbs?|pounds?|or so (?:minutes|miles)|th|st|nd|rd|o'clock|at\b)))"
_AND_MORE = rf"((?:\s*(?:,|and|&)\s*{_N}\b{_NO_AGE})*)"
_AGES = tuple(re.compile(words, re.IGNORECASE) for words in (
    rf"\b{_N}-?(?:\s*(?:,|and|to|or|-|\u2013)\s*{_N}-?)*[- ]years?[- ]olds?\b", rf"\baged?s?\s+{_N}\b{_AND_MORE}{_NO_COUNT}",
    rf"\b{_KIN}\s*{_IS}\s*{_N}\b{_NO_AGE}", rf"\b(?:youngest|smallest|little one|eldest|oldest)\s+(?:of (?:them|us|the (?:children|kids|three|four|two))\s+)?(?:is|turns)\s+(?:only |just |now )?{_N}\b{_NO_AGE}",
    rf"\b{_KINS}\s*(?:\(|,|(?:,? who )?are(?: (?:only|just|now|both))?|,? aged|of)\s*{_N}\b{_AND_MORE}{_NO_AGE}",
))
GROWN_FROM = 18
_GROWN = re.compile(
    r"\s*(?:,?\s*who\s+)?(?:is|are|,)?\s*(?:(?:about|nearly|over)\s+)?(?:weigh(?:s|ing)?\b|(?:twenty|thirty|forty|fifty|sixty|seventy|eighty)\b|(?:1[89]|[2-9]\d)\b(?!\s*(?:cm|mm|in\b|%))"
    r"|1[.,][6-9]\d?\b|2[.,][01]|1[6-9]\d\s*cm\b|(?:[56]|five|six)\s*(?:ft|foot|feet|')|grown|married|at university|(?:works?|drives?)\b)", re.IGNORECASE)
"""What follows words for a child, 'our son', where a grown one is meant."""


def _ages(c: Commission) -> Iterator[Heard]:
    if c.brief.child_ages:
        return
    ages, words = [], []
    for pattern in _AGES:
        for at in pattern.finditer(c.brief.asked):
            if REFUSED.search(_before(c.brief.asked, at.start())):
                continue
            found = [_number(n) for n in re.findall(rf"\b{_N}\b", at[0], re.IGNORECASE) if n.lower() != "one" or not re.search(r"little ones?\b", at[0], re.IGNORECASE)]
            ages += found
            words.append(at[0])
    ages = sorted({a for a in ages if a < GROWN_FROM})
    if ages:
        yield Heard("brief.child_ages", ages, f"children of {', '.join(map(str, ages))} years" if len(ages) > 1 else f"a child of {ages[0]}", "; ".join(words),
                    () if c.brief.children else (("brief.children", True),))


_UNIT = r"(mm|cm|m|metres?|meters?|inches|inch|in|feet|foot|ft)\b"
_LEN = rf"(\d+(?:[.,]\d+)?)\s*{_UNIT}"
_FEET = re.compile(r"\b([4-6]|four|five|six)\s*(?:ft|feet|foot|')\s*(?:(\d{1,2}|" + "|".join(NUMBERS) + r")(?![\w.,]*\d)\b\s*(?:in\b|inch\w*|\"|''|”)?)?", re.IGNORECASE)
_SOMEONE = (r"\b(?:I am|I'm|he is|he's|she is|she's|(?:one of us|(?:and |but )?the (?:other|second|third)(?: one)?|another)(?: is|'s|,)?"
            r"|(?:husband|wife|partner|son|daughter|brother|sister|father|mother|dad|mum|mom|friend|uncle|nephew|niece|grandfather)(?: who)?(?: is|'s|,)?|tallest(?: [\w-]+){0,3}?(?: is|,)?)")
_NEARLY = r"(?:about |over |nearly |almost |a good |some )?"
_SUBJECT = rf"(?:\b(?:my|his|her) height is|{_SOMEONE})\s+{_NEARLY}"
_METRES = r"(?:(?<![\d.,])([12][.,]\d{1,2})(?![.,]?\d)(?!\s*(?:m\b|met(?:re|er)|k\b|million|%|kg|kilos?|euros?|times|wide|long|deep|cm|mm|in\b|inch|ft|feet|foot)))"
"""A stature in metres whose unit nobody says: '1.95'."""
_TALL = re.compile(rf"{_SUBJECT}(?:{_LEN}|{_METRES}|(two) met(?:re|er)s)(?!\s*(?:long|wide|deep|high|thick|boards?|planks?|lengths?|slats?|shel(?:f|ves)|from|away|off|apart|up|of)\b)", re.IGNORECASE)
_TALL_FEET = re.compile(_SUBJECT + r"(?=(?:[4-6]|four|five|six)\s*(?:ft|feet|foot|'))", re.IGNORECASE)
VERY_TALL_MM = 1_850.0
"""From this stature on it matters to sizes; about 90 of 100 men are shorter: the people on file."""


def _in_mm(figure: str, unit: str) -> float:
    unit = unit.lower()
    return float(figure.replace(",", ".")) * IN_MM["m" if unit.startswith("met") else unit]


def _tall(c: Commission) -> Iterator[Heard]:
    """Someone so tall that sizes follow."""
    if c.brief.tallest_person_mm is not None:
        return
    said = [(2_000.0 if at[4] else _in_mm(at[1], at[2]) if at[1] else _in_mm(at[3], "m"), at[0]) for at in _TALL.finditer(c.brief.asked)]
    for at in _TALL_FEET.finditer(c.brief.asked):
        feet = _FEET.match(c.brief.asked, at.end())
        if feet:
            said.append((304.8 * _number(feet[1]) + 25.4 * (_number(feet[2]) if feet[2] else 0), at[0] + feet[0].rstrip()))
    tallest = max((s for s in said if VERY_TALL_MM <= s[0] <= 2_100), default=None)
    if tallest:
        yield Heard("brief.tallest_person_mm", round(tallest[0]), f"the tallest is {mm(round(tallest[0]))} mm", tallest[1])


_CHAIR = re.compile(r"\bwheelchair\b", re.IGNORECASE)
_CHAIR_AT = (
    ("end", "the wheelchair pulls up at one end", re.compile(r"\bat (?:one|the|an|that|his|her) end\b|\bat the head of the table\b", re.IGNORECASE)),
    ("side", "the wheelchair pulls up at one side", re.compile(r"\bat (?:one|a|the) (?:long )?side\b", re.IGNORECASE)),
)
_KNEES = re.compile(rf"\b(?:knees|arm ?rests?|arms of (?:the|his|her) (?:wheel)?chair)\b(?:[^.;\d]|\.(?!\s)){{0,90}}?{_LEN}", re.IGNORECASE)


def _chair(c: Commission) -> Iterator[Heard]:
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
    if at and c.brief.wheelchair_knees_mm is None and 500 <= (high := round(_in_mm(at[1], at[2]))) <= 900:
        yield Heard("brief.wheelchair_knees_mm", high, f"knees and arms of the wheelchair ask for {mm(high)} mm", at[0])


IN_KG = {"k": 1.0, "s": 6.35029318, "l": 0.45359237, "p": 0.45359237}
"""Kilograms, stone of 14 lb, pounds, by their first letter: the international pound of 1959."""
_MASS = rf"(\d{{2,3}}|{'|'.join(NUMBERS)})\s*(kg|kilos?|kilograms?|stones?|(?<=\s)st|lbs?|pounds?)\b(?!\s*(?:tiles?|slabs?|steps?|floor|of\b|a\b|per\b))"
_TALL_AND = r"(?:(?:[12][.,]\d{1,2}|\d{3})\s*(?:m|cm|met(?:re|er)s)?\s*(?:tall\s*)?(?:and|,|with|&)\s*|(?:[4-6]|four|five|six)\s*(?:ft|feet|foot|')\s*(?:[\w\"”]+\s*){0,3}?(?:and|,|with|&)\s*|two met(?:re|er)s\s*(?:tall\s*)?(?:and|,)\s*)?"
_WEIGHS = re.compile(rf"\b(?:weigh(?:s|ing)?|carry me|hold me|carries me)\b[^.;\d]{{0,20}}?(?<![\d.,]){_MASS}", re.IGNORECASE)
_WEIGHT = re.compile(rf"{_SOMEONE}\s+{_NEARLY}{_TALL_AND}{_NEARLY}{_MASS}", re.IGNORECASE)
_NOBODY = re.compile(
    r"\b(?:it|that|which|each|table|top|slab|counter|chest|piece|stone|tree|door|stove|dog|bench|cabinet|books?|nobody|no one|none|not|no|never|to)(?:\s+(?:may|must|can|should|only|will|of us))*\s*$", re.IGNORECASE)
"""What stands before 'weighs' where no person is meant."""
HEAVY_KG = 100.0
"""From this weight on it is offered; loads of seats follow it over 110 kg."""


def _weights(text: str) -> Iterator[tuple[int, re.Match]]:
    """What people weigh in the client's words. [kg]"""
    for at in (*_WEIGHS.finditer(text), *_WEIGHT.finditer(text)):
        if not _NOBODY.search(_before(text, at.start())):
            yield round(_number(at[1]) * IN_KG[at[2][0].lower()]), at


def _heavy(c: Commission) -> Iterator[Heard]:
    said = [(kg, at[0]) for kg, at in _weights(c.brief.asked)]
    most = max((s for s in said if HEAVY_KG <= s[0] <= 300), default=None)
    if most and c.brief.heaviest_kg is None:
        yield Heard("brief.heaviest_kg", most[0], f"the heaviest weighs {most[0]} kg", most[1])


# ---------------------------------------------------------------- sizes and the way in


def _sizes(c: Commission, now: Sequence[dict[str, float]]) -> Iterator[Heard]:
    """Length, depth and height said of each piece there is, where its form has such a size and proposes another."""
    from studio_lib.forms import FORMS

    called = tuple((i.form, i.name) for i in c.items)
    for n, (item, sizes) in enumerate(zip(c.items, now)):
        # Of several only sentences that speak of this one: what is said of no piece by name may be of any.
        words = c.brief.asked if len(called) == 1 else words_of(c.brief.asked, called, n)
        if item.form in FORMS and words:
            yield from _sizes_of(c.brief.model_copy(update={"asked": words}), item, FORMS[item.form], sizes, n, len(called) > 1)


def _sizes_of(brief: Brief, item, form, now: dict[str, float], index: int, several: bool) -> Iterator[Heard]:
    asked, sizes, things = sizes_asked(brief), {s.name: s for s in form.sizes}, tallest_book(brief)
    if things and asked.get("high") == things[0]:
        del asked["high"]  # said of what stands on the shelves
    if alcove_asked(brief):
        asked = {}  # said of the place: the form fits itself into it
    for way, name in zip(("long", "deep", "high"), form.overall):
        value, size = asked.get(way), sizes.get(name)
        if value is None or size is None or name in item.sizes or name not in now:
            continue
        if value * 10 <= size.high and value < size.low:
            value *= 10  # a figure without its unit, of what nobody measures in mm: cm
        if size.low <= value <= size.high and abs(now[name] - value) > 1.0:
            whose = f"{item.name}, " if several else ""
            yield Heard(f"items.{index}.sizes.{name}", round(value, 1), f"{whose}{size.label[0].lower()}{size.label[1:]}: {mm(round(value))} mm", way)


_ON_SHELF = re.compile(r"\b(\d{1,3})\s*(?:kg|kilos?|kilograms?)\s*(?:/|an?|per|each|to the|to a|on (?:a|each|every))\s*(?:m\b|met(?:re|er))", re.IGNORECASE)


def _carries(c: Commission, now: Sequence[dict[str, float]]) -> Iterator[Heard]:
    """What a metre of shelf is to carry, of the one piece there is."""
    at, sizes = _ON_SHELF.search(c.brief.asked), now[0] if len(now) == 1 else {}
    if at and "load_kg_m" in sizes and "load_kg_m" not in c.items[0].sizes and 1 <= int(at[1]) <= 150:
        yield Heard("items.0.sizes.load_kg_m", float(at[1]), f"{at[1]} kg on each metre of shelf", at[0])


_ROOM = re.compile(rf"\b(?:room|kitchen|studio|office|space)\b[^.;]{{0,20}}?\b(\d+(?:[.,]\d+)?)\s*(?:{_UNIT})?\s*(?:x|by|\u00d7|on)\s*(\d+(?:[.,]\d+)?)\s*{_UNIT}", re.IGNORECASE)
ROOM_MM = (1_500.0, 12_000.0)
"""What the sides of a room may measure; anything else is said of something else. Judgement of ours."""


def _room(c: Commission) -> Iterator[Heard]:
    """The room that a table stands in, by its length and width."""
    b, at = c.brief, _ROOM.search(c.brief.asked)
    if not at or b.space_length_mm or b.space_width_mm or not any(_kind(i.form) == "table" for i in c.items):
        return
    long, wide = sorted((round(_in_mm(at[1], at[2] or at[4])), round(_in_mm(at[3], at[4]))), reverse=True)
    if ROOM_MM[0] <= wide and long <= ROOM_MM[1]:
        yield Heard("brief.space_width_mm", wide, f"a room of {mm(long)} x {mm(wide)} mm", at[0], (("brief.space_length_mm", long),))


_DOORS = tuple(re.compile(words, re.IGNORECASE) for words in (
    rf"\b{_LEN}\s+(?:wide\s+)?(?:front |back |garden |kitchen |room |narrow )?(?:door|doorway)\b",
    rf"\b(?:door|doorway)\s+(?:[a-z']+\s+){{0,5}}?(?:is|of|at|measures)\s+(?:only\s+|just\s+|about\s+)*{_LEN}",
))


def _length(text: str, patterns: tuple[re.Pattern, ...], low: float, high: float) -> tuple[float, str] | None:
    said = ((_in_mm(at[1], at[2]), at[0]) for words in patterns for at in words.finditer(text))
    return min((s for s in said if low <= s[0] <= high), default=None)


def _ways(c: Commission) -> Iterator[Heard]:
    """A door, a ceiling and a skirting board that are measured."""
    b = c.brief
    there = {o.kind for o in b.openings}
    openings = [o.model_dump(mode="json") for o in b.openings]
    door, ceiling, skirting = _length(b.asked, _DOORS, 550, 2_000), ceiling_asked(b), skirting_asked(b)
    if door and "door" not in there:
        new = Opening(kind="door", name="door", width_mm=round(door[0]))
        yield Heard("brief.openings", [*openings, new.model_dump(mode="json")], f"a door {mm(round(door[0]))} mm wide", door[1])
    if ceiling and "ceiling" not in there:
        new = Opening(kind="ceiling", name="ceiling", height_mm=round(ceiling))
        yield Heard("brief.openings", [*openings, new.model_dump(mode="json")], f"a ceiling of {mm(round(ceiling))} mm", "ceiling")
    if skirting and b.skirting_high_mm is None:
        yield Heard("brief.skirting_high_mm", round(skirting), f"a skirting board {mm(round(skirting))} mm high", "skirting")


_GUSTS = re.compile(r"\b(\d{2,3})\s*(km/h|kmh|kph|mph|m/s|knots?)(?!\w)", re.IGNORECASE)
IN_M_S = {"km/h": 1 / 3.6, "kmh": 1 / 3.6, "kph": 1 / 3.6, "mph": 0.44704, "m/s": 1.0, "knot": 1852 / 3600, "knots": 1852 / 3600}


def _wind(c: Commission) -> Iterator[Heard]:
    at = _GUSTS.search(c.brief.asked)
    if at and c.brief.wind_m_s is None:
        value = round(int(at[1]) * IN_M_S[at[2].lower()], 1)
        if 5 <= value <= 90:
            yield Heard("brief.wind_m_s", value, f"gusts of {at[0]}", at[0])


_YEARS = re.compile(rf"\blast(?:s|ing)?\s+(?:us\s+)?(?:for\s+|at least\s+|about\s+)*{_N}\s+years\b|(?:^|[.;]\s+){_N}\s+years\s+at\s+least\b", re.IGNORECASE)


_LIMITS = {"most_length_mm": "wider|longer", "most_width_mm": "deeper", "most_height_mm": "higher|taller"}
_NO_MORE = re.compile(rf"\b(?:not|no|nor|never)\s+(?:be\s+|more\s+)?(wider|longer|deeper|higher|taller)\s+than\s+(?:(?:the|our|my)\s+[a-z' ]{{3,30}},\s*)?(?:about\s+)?(\d+(?:[.,]\d+)?)\s*(?:{_UNIT})?", re.IGNORECASE)


def _limits(c: Commission) -> Iterator[Heard]:
    """No wider, deeper or higher than a figure; one without its unit has that of the figure before it."""
    unit = ""
    for at in _NO_MORE.finditer(c.brief.asked):
        unit = at[3] or unit
        field = next(f for f, words in _LIMITS.items() if at[1].lower() in words.split("|"))
        value = round(_in_mm(at[2], unit or "mm"))
        if unit and getattr(c.brief, field) is None and 100 <= value <= 6_000:
            yield Heard(f"brief.{field}", value, f"no {at[1].lower()} than {mm(value)} mm", at[0])


def _years(c: Commission) -> Iterator[Heard]:
    at = _YEARS.search(c.brief.asked)
    many = _number(at[1] or at[2]) if at else 0
    if many and c.brief.years_wanted == Brief().years_wanted != many:
        yield Heard("brief.years_wanted", many, f"to last {many} years", at[0].lstrip(".; "))


# ---------------------------------------------------------------- when, and for how much

MONTHS = {w: n for n, w in enumerate("january february march april may june july august september october november december".split(), 1)}
_MONTH = "(" + "|".join(MONTHS) + ")"
_UNTIL = r"\b(by|before|until|till|for|in|on|at)\s+(?:the\s+)?"
_FEASTS = (
    (re.compile(_UNTIL + r"easter\b", re.IGNORECASE), timedelta(0)), (re.compile(_UNTIL + r"(?:whitsun(?:day|tide)?|pentecost)\b", re.IGNORECASE), timedelta(days=49)),
)
"""Movable ones, and how long after Easter Sunday they are."""
_CHRISTMAS = re.compile(_UNTIL + r"christmas\b", re.IGNORECASE)
_DAY = re.compile(rf"\b(\d{{1,2}})(?:st|nd|rd|th)?\s+(?:of\s+)?{_MONTH}(?:\s+(20\d\d))?\b|\b{_MONTH}\s+(\d{{1,2}})(?:st|nd|rd|th)?\b(?:,?\s+(20\d\d))?", re.IGNORECASE)
_IN_MONTH = re.compile(
    rf"(?:{_UNTIL})?\b(?:(beginning|start|middle|end) of\s+|(early|mid|late)[ -])?{_MONTH}(?:\s+(20\d\d))?\b", re.IGNORECASE)
_MONTH_SUITS = re.compile(rf"\b{_MONTH}(?=\s+would\s+(?:be|suit|do))", re.IGNORECASE)
_NEXT_MONTH = re.compile(r"\b(?:by|before|until|till|at)\s+the end of next month\b", re.IGNORECASE)
_WITHIN = re.compile(rf"\b(?:in|within)\s+(?:about\s+)?{_N}\s+(week|month)s?\b", re.IGNORECASE)
_ISO = re.compile(r"\b(20\d\d)-(\d\d)-(\d\d)\b")


def _coming(day: int, month: int, year: str | None, today: date) -> date | None:
    """The next such day, or the one of the year said; None for one that is on no calendar."""
    for y in (int(year),) if year else (today.year, today.year + 1):
        if day <= monthrange(y, month)[1] and (date(y, month, day) > today or year):
            return date(y, month, day)
    return None


_STARTS = re.compile(r"\b(?:before|until|till)\s+(?:(?!and\b|but\b)[\w']+\s+){0,5}$", re.IGNORECASE)
"""Before words for a month: 'before school starts again in September'."""
_NEXT_YEAR = re.compile(r"\s*,?\s*(?:of )?next year\b|\s+(20\d\d)\b", re.IGNORECASE)


def _year_after(text: str, at: re.Match, today: date) -> str | None:
    """The year that is said after a day: 'Christmas next year', 'Easter 2028'."""
    said = _NEXT_YEAR.match(text, at.end())
    return (said[1] or str(today.year + 1)) if said else None


def _days(text: str, today: date) -> Iterator[tuple[date | None, str]]:
    """Days that are said, and the words for each."""
    for words, after in _FEASTS:
        for at in words.finditer(text):
            year = _year_after(text, at, today)
            feasts = [easter(y) + after for y in ((int(year),) if year else (today.year, today.year + 1))]
            yield next((d - timedelta(days=1) for d in feasts if d > today), None), at[0]
    for at in _CHRISTMAS.finditer(text):
        yield _coming(23, 12, _year_after(text, at, today), today), at[0]
    for at in _ISO.finditer(text):
        if 1 <= int(at[2]) <= 12:
            yield _coming(int(at[3]), int(at[2]), at[1], today), at[0]
    for at in _DAY.finditer(text):
        day, month, year = (at[1], at[2], at[3]) if at[1] else (at[5], at[4], at[6])
        yield _coming(int(day), MONTHS[month.lower()], year or _year_after(text, at, today), today), at[0]
    for at in _IN_MONTH.finditer(_DAY.sub(lambda at: " " * len(at[0]), text)):
        if not any(at.groups()[:3]):
            continue  # a month's name alone, as 'may', is a word like others
        month = MONTHS[at[4].lower()]
        part = (at[2] or at[3] or "").lower()
        year = at[5] or _year_after(text, at, today)
        last = monthrange(int(year) if year else today.year + (month < today.month), month)[1]
        begins = (at[1] or "by").lower() in ("by", "before", "until", "till") or _STARTS.search(_before(text, at.start())) is not None
        day = {"beginning": 7, "start": 7, "early": 7, "middle": 15, "mid": 15, "end": last, "late": last}.get(part, 1 if begins else last)
        yield _coming(day, month, year, today), at[0]
    for at in _MONTH_SUITS.finditer(text):
        month = MONTHS[at[1].lower()]
        yield _coming(monthrange(today.year + (month < today.month), month)[1], month, None, today), at[0]
    for at in _NEXT_MONTH.finditer(text):
        year, month = divmod(12 * today.year + today.month, 12)
        yield date(year, month + 1, monthrange(year, month + 1)[1]), at[0]
    for at in _WITHIN.finditer(text):
        many = _number(at[1])
        yield today + timedelta(days=7 * many if at[2].lower() == "week" else 30 * many), at[0]


def _by(c: Commission, today: date) -> Iterator[Heard]:
    """The first day to come that is said."""
    if c.brief.wanted_by is not None:
        return
    first = min(((d, words) for d, words in _days(c.brief.asked, today) if d and d > today), default=None)
    if first:
        yield Heard("brief.wanted_by", first[0].isoformat(), f"wanted by {first[0].isoformat()}", first[1])


CALLED = {
    "£": ("GBP",), "pound": ("GBP",), "pounds": ("GBP",), "quid": ("GBP",), "gbp": ("GBP",), "€": ("EUR",), "euro": ("EUR",), "euros": ("EUR",), "eur": ("EUR",),
    "$": ("USD", "CAD", "AUD", "NZD", "SGD", "HKD"), "dollar": ("USD", "CAD", "AUD", "NZD", "SGD", "HKD"), "dollars": ("USD", "CAD", "AUD", "NZD", "SGD", "HKD"),
    "usd": ("USD",), "cad": ("CAD",), "aud": ("AUD",), "nzd": ("NZD",), "chf": ("CHF",), "franc": ("CHF",), "francs": ("CHF",), "kroner": ("DKK", "NOK"),
    "dkk": ("DKK",), "nok": ("NOK",), "kronor": ("SEK",), "sek": ("SEK",), "yen": ("JPY",), "jpy": ("JPY",), "rand": ("ZAR",), "zar": ("ZAR",), "zloty": ("PLN",), "pln": ("PLN",),
}
"""Money by the words for it: ISO 4217 codes."""
_MONEY_WORDS = "|".join(re.escape(w) for w in sorted(CALLED, key=len, reverse=True))
_MONEY = re.compile(
    rf"(?:(?P<before>{_MONEY_WORDS})\s*)?(?<![\d.,])(?P<n>\d{{1,3}}(?:[ ,.'\u00a0]\d{{3}})+(?!\d)|\d+)(?:[.,]\d\d(?!\d))?\s*(?P<k>k\b|thousand\b)?\s*(?P<after>{_MONEY_WORDS})?(?!\w)",
    re.IGNORECASE)
_IN_WORDS = re.compile(rf"\b{_N}(\s+and\s+a\s+half)?\s+(thousand|hundred)\s*(?P<after>{_MONEY_WORDS})\b", re.IGNORECASE)
"""'Seven and a half thousand euros'."""
_LIMIT = re.compile(r"\b(?:budget|limit|most|spend|up to|afford|max|maximum|about|around|under|below|within|more than)\b", re.IGNORECASE)
LEAST_BUDGET = 50
_OF_GOODS = re.compile(r"\s*of\s+(?!(?:our|my|the|savings|ours|mine)\b)", re.IGNORECASE)
"""'120 pounds of coal' are no money."""


_SUM = r"(?<![\d.,'])(\d{1,3}(?:[ ,.'\u00a0]\d{3})+|\d{2,6})(?:[.,]\d\d)?(?![\d.,']*\d)"
_MANY_SUMS = rf"{_SUM}(?:\s*(?:to|or|-|\u2013)\s*{_SUM})?"
_FOR_ALL = rf"for (?:the (?:{'|'.join(NUMBERS)}|pair|lot|set|whole(?: (?:thing|lot|job))?|job)\b|both(?: of them)?\b|all(?: (?:of (?:it|them)|{'|'.join(NUMBERS)}))?\b(?! of)|everything\b)"
_ABOUT = r"(?:(?:no|not|more|than|about|around|up|to|at|most|only|some|over|perhaps|maybe|under|below|us)\s+){0,4}"
_SPEND = rf"(?:spend(?:ing)?|afford|budget(?: (?:is|of|would be|for [\w ]{{1,20}}? is))?|(?:not |n't |never )cost|pay|limit(?: (?:is|would be))?|set aside|put (?:by|aside)|saved):?\s+{_ABOUT}"
_THOUGHT = rf"(?:(?:thought|thinking) of|(?:I|we)(?: had)? thought)\s+{_ABOUT}"
_ENDS = r"(?=\s*(?:[.;!?)]|,(?!\d)|$|(?:for|and|but|in all|all|on (?:it|this|them)|at (?:the )?most|or so|if)\b))"
_IS_LIMIT = r"\s+(?:is|would be|will be)\s+(?:our|my|the)\s+(?:limit|budget|most|maximum|top)\b"
_BARE_SUMS = tuple((sure, re.compile(words, re.IGNORECASE)) for sure, words in (
    ("always", rf"\b{_SPEND}{_MANY_SUMS}{_ENDS}"), ("always", rf"{_MANY_SUMS}{_IS_LIMIT}"), ("always", rf"{_SUM}\s+to spend\b"),
    ("always", rf"\b{_SPEND}(?<![\d.,])(\d{{1,3}})\s*k\b"), ("alone", rf"{_MANY_SUMS}\s+{_FOR_ALL}"), ("alone", rf"{_MANY_SUMS}\s+(?:all in\b(?! all)|all told\b|tops\b)"),
    ("in thousands", rf"{_MANY_SUMS}\s+(?:in all\b|altogether\b|in total\b|or so\b|at (?:the )?most\b|max(?:imum)?\b)(?!\s+(?:its|the|weight))"), ("in thousands", rf"\b{_THOUGHT}{_MANY_SUMS}{_ENDS}"),
    ("in thousands", rf"\b(?:we|I)(?:'ve| have)(?: got)?\s+{_ABOUT}{_SUM}(?=\s*(?:[.;!?)]|,(?!\d)|$|for (?:it|this|them|the)\b))"),
))
"""Money without a word for its currency: what shows that it can be nothing else, the words beside it, that it stands alone in its clause, or that it is written in thousands, '2,400'."""
_SUM_IN_WORDS = tuple(re.compile(words, re.IGNORECASE) for words in (
    rf"\b(?:{_SPEND}|{_THOUGHT}){_N}(\s+and\s+a\s+half)?\s+(thousand|hundred)\b{_ENDS}", rf"\b{_N}(\s+and\s+a\s+half)?\s+(thousand|hundred)\b{_IS_LIMIT}"))
_MEASURES = re.compile(
    r"\b(?:wide|width|high|height|tall|deep|depth|long|length|thick|room|space|gap|between|mm|cm|metres?|meters?|inch(?:es)?|feet|square|apart|across|kg|kilos?|weight|carr(?:y|ies)|seats?|guests|people|books|knees?)\b", re.IGNORECASE)
_SPENT = re.compile(r"\b(?:paid|old|existing|sold|was|were)\b|\b(?:it|they|one|that|which|and) cost\b", re.IGNORECASE)
_LEADS_IN = re.compile(r"[\s\"(]*(?:(?:and|so|but|we(?:'ve| have)(?: got)?|a total of|with|say|roughly|i think|it is|that is|is)\s+)*" + _ABOUT, re.IGNORECASE)
_IN_YEAR = re.compile(r"\b(?:in|since|from|of|by|until|till|before|after)\s+$", re.IGNORECASE)


def _bare_money(text: str) -> Iterator[tuple[int, str]]:
    """Sums whose currency nobody says, and the words for each; no size, count or year, nor what was paid for something else."""
    for sure, words in _BARE_SUMS:
        for at in words.finditer(text):
            clause, before = _clause(text, at.start(1)), re.split(r"[.!?]\s", _before(text, at.start(1)))[-1]
            if _SPENT.search(clause) or _MEASURES.search(clause):
                continue
            if sure != "always" and (_IN_YEAR.search(before) or (_MEASURES.search(before) and "for" not in at[0])):
                continue
            figures = [g for g in at.groups() if g]
            thousands = any(re.search(r"\D", g) for g in figures)
            if (sure == "in thousands" and not thousands) or (sure == "alone" and not thousands and not _LEADS_IN.fullmatch(clause[:clause.find(at[1])])):
                continue
            yield max(int(re.sub(r"\D", "", g)) for g in figures) * (1000 if at[0][-1] in "kK" else 1), at[0].strip()
    for words in _SUM_IN_WORDS:
        for at in words.finditer(text):
            if not _SPENT.search(_clause(text, at.start(1))):
                yield int((_number(at[1]) + (0.5 if at[2] else 0.0)) * (1000 if at[3].lower() == "thousand" else 100)), at[0].strip()


def _money(c: Commission) -> Iterator[Heard]:
    """What may be spent: the figure with a limit beside it, else the largest."""
    if c.brief.budget is not None:
        return
    text, said = c.brief.asked, []
    weighs = [(w.start(), w.end()) for _, w in _weights(text)]
    for at in _MONEY.finditer(text):
        called = (at["before"] or at["after"] or "").lower()
        if called and not any(start <= at.start("n") < end for start, end in weighs) and not _OF_GOODS.match(text, at.end()):
            value = int(re.sub(r"\D", "", at["n"])) * (1000 if at["k"] else 1)
            said.append((bool(_LIMIT.search(_clause(text, at.start()))), value, called, at[0].strip()))
    for at in _IN_WORDS.finditer(text):
        value = int((_number(at[1]) + (0.5 if at[2] else 0.0)) * (1000 if at[3].lower() == "thousand" else 100))
        said.append((bool(_LIMIT.search(_clause(text, at.start()))), value, at["after"].lower(), at[0]))
    if not said:
        bare = max(_bare_money(text), default=(0, ""))
        if bare[0] >= LEAST_BUDGET:
            yield Heard("brief.budget", str(bare[0]), f"a budget of {bare[0]} {c.rates.currency}", bare[1])
        return
    if max(said)[1] < LEAST_BUDGET:
        return
    _, value, called, words = max(said)
    if c.rates.currency in CALLED[called]:
        yield Heard("brief.budget", str(value), f"a budget of {value} {c.rates.currency}", words)
    else:
        yield Heard("", None, f"{words}: this job is in {c.rates.currency}; choose its country first, then it can be taken", words)
