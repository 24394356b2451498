"""What may be spent, in a client's words."""

from __future__ import annotations

import re
from collections.abc import Iterator

from studio_lib.brief.heard_people import weights_said
from studio_lib.brief.reading import Heard, N, NUMBERS, clause_at, number_said, words_before
from studio_lib.commission import Commission

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
_IN_WORDS = re.compile(rf"\b{N}(\s+and\s+a\s+half)?\s+(thousand|hundred)\s*(?P<after>{_MONEY_WORDS})\b", re.IGNORECASE)
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
    rf"\b(?:{_SPEND}|{_THOUGHT}){N}(\s+and\s+a\s+half)?\s+(thousand|hundred)\b{_ENDS}", rf"\b{N}(\s+and\s+a\s+half)?\s+(thousand|hundred)\b{_IS_LIMIT}"))
_MEASURES = re.compile(
    r"\b(?:wide|width|high|height|tall|deep|depth|long|length|thick|room|space|gap|between|mm|cm|metres?|meters?|inch(?:es)?|feet|square|apart|across|kg|kilos?|weight|carr(?:y|ies)|seats?|guests|people|books|knees?)\b", re.IGNORECASE)
_SPENT = re.compile(r"\b(?:paid|old|existing|sold|was|were)\b|\b(?:it|they|one|that|which|and) cost\b", re.IGNORECASE)
_LEADS_IN = re.compile(r"[\s\"(]*(?:(?:and|so|but|we(?:'ve| have)(?: got)?|a total of|with|say|roughly|i think|it is|that is|is)\s+)*" + _ABOUT, re.IGNORECASE)
_IN_YEAR = re.compile(r"\b(?:in|since|from|of|by|until|till|before|after)\s+$", re.IGNORECASE)


def _bare_money(text: str) -> Iterator[tuple[int, str]]:
    """Sums whose currency nobody says, and the words for each; no size, count or year, nor what was paid for something else."""
    for sure, words in _BARE_SUMS:
        for at in words.finditer(text):
            clause, before = clause_at(text, at.start(1)), re.split(r"[.!?]\s", words_before(text, at.start(1)))[-1]
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
            if not _SPENT.search(clause_at(text, at.start(1))):
                yield int((number_said(at[1]) + (0.5 if at[2] else 0.0)) * (1000 if at[3].lower() == "thousand" else 100)), at[0].strip()


def money_said(c: Commission) -> Iterator[Heard]:
    """What may be spent: the figure with a limit beside it, else the largest."""
    if c.brief.budget is not None:
        return
    text, said = c.brief.asked, []
    weighs = [(w.start(), w.end()) for _, w in weights_said(text)]
    for at in _MONEY.finditer(text):
        called = (at["before"] or at["after"] or "").lower()
        if called and not any(start <= at.start("n") < end for start, end in weighs) and not _OF_GOODS.match(text, at.end()):
            value = int(re.sub(r"\D", "", at["n"])) * (1000 if at["k"] else 1)
            said.append((bool(_LIMIT.search(clause_at(text, at.start()))), value, called, at[0].strip()))
    for at in _IN_WORDS.finditer(text):
        value = int((number_said(at[1]) + (0.5 if at[2] else 0.0)) * (1000 if at[3].lower() == "thousand" else 100))
        said.append((bool(_LIMIT.search(clause_at(text, at.start()))), value, at["after"].lower(), at[0]))
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
