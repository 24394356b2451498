"""Which pieces a client's words ask for, and which of the words speak of which piece."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache, lru_cache

from studio_lib.brief.hung_said import SHELF_WORDS, hung_asked
from studio_lib.brief.reading import Heard, N, clause_at, number_said, rows_of, without_comparisons, words_before
from studio_lib.brief.said import REFUSED, counter_asked, cupboard_below_asked, low_table_asked, meant, round_asked
from studio_lib.commission import Commission


@cache
def _forms() -> tuple[tuple[str, re.Pattern], ...]:
    return tuple((r["form"], re.compile(rf"\b(?:{r['words']})\b", re.IGNORECASE)) for r in rows_of("pieces_heard"))


_THERE_ALREADY = re.compile(r"\b(?:match|matching|beside|next to|by|near|behind|in front of|round|around|opposite|under|over|above|on|at|like|with|(?<!well )as|than|(?:side|end|head|foot) of) (?:the|our|my|his|her|existing|old)(?: (?!an?\b|one\b|two\b|three\b|some\b|open\b)[\w-]+){0,2} $", re.IGNORECASE)
"""What stands before a piece that is there already."""


_SERVES_AS = re.compile(r"\b(?:serves?|used?|doubles?|works?|sat on|acts?|taken) as (?:an?|our|the) (?:[\w-]+ ){0,2}$", re.IGNORECASE)
"""Before what another piece is to serve as: 'later the chest should serve as a bench'."""


def pieces_said(c: Commission, outdoors: bool) -> Iterator[Heard]:
    """The pieces asked for, of which there is none yet."""
    from studio_lib.forms import begun

    there = {_sort(item.form, item.name) for item in c.items}
    text, met = c.brief.asked, []
    left, counter = text, counter_asked(c.brief)
    for form, words in _forms():
        for at in words.finditer(left):
            if at[0].lower() in ("screen", "screens") and _WORKED_AT.search(text) and not _PARTS_ROOMS.search(clause_at(text, at.start())):
                continue
            if not (REFUSED.search(words_before(text, at.start())) or _SERVES_AS.search(words_before(text, at.start())) or _THERE_ALREADY.search(words_before(text, at.start()))):
                met.append((at.start(), _slatted(form) if outdoors and not (form == "stool" and counter) else form, at[0]))
        left = words.sub(lambda at: " " * len(at[0]), left)
    if cupboard_below_asked(c.brief):
        met = _over_a_cupboard(met)
    met = _hung(text, met)
    if any(form != "bookcase" for _, form, _ in met):
        met = [m for m in met if m[1] != "bookcase" or not _WITH.search(words_before(text, m[0]))]
    for form, sort in dict.fromkeys((form, _sort(form, words)) for _, form, words in sorted(met)):
        if sort in there:
            continue
        mentions = [(2 if _EITHER_SIDE.match(text, at + len(words)) else _count(words_before(text, at), words), _called(words)) for at, f, words in sorted(met) if (f, _sort(f, words)) == (form, sort)]
        count, words = max(mentions, key=lambda m: m[0])
        panels = _PANELS.search(text) if kind_of(form) == "screen" and count == 1 else None
        count = number_said(panels[1]) if panels else count
        if words.startswith("something"):
            words = "shoe cabinet" if "shoe" in words else "record cabinet"
        name = _one_of(words)
        tables = [(at, words) for at, f, words in met if (f, _sort(f, words)) == (form, sort) and kind_of(form) == "table"]
        low = any(low_table_asked(text, at) for at, _ in tables) and not any(_SAT_AT.search(words) for _, words in tables)
        item = begun(form, name).model_copy(update={"count": count} | ({"table": "low"} if low else {}))
        told = f"{count} {words if words.endswith('s') else several(words)}" if count > 1 else name if name.endswith(("s", "shelving")) else f"a {name}"
        told += ", at which nobody sits" if low else ""
        yield Heard("items", [*(i.model_dump(mode="json") for i in c.items), item.model_dump(mode="json")], f"a piece: {told}", words)


def words_for_form(form: str) -> list[re.Pattern]:
    """The words for pieces of that kind of form."""
    return [words for other, words in _forms() if kind_of(other) == kind_of(form)]


def names_a_piece(words: str) -> bool:
    """Whether such words name a piece of furniture."""
    return any(form.search(words) for _, form in _forms())


_PANELS = re.compile(rf"\b{N}\s+(?:(?:equal|separate|matching|single)\s+)?(?:panels|sections|fields|elements)\b,?\s+(?:of|each|side by side|both|all)\b", re.IGNORECASE)
"""'Two panels, each 1.80 wide': so many screens."""
_EITHER_SIDE = re.compile(r"\s+(?:(?:at|on|to)\s+)?(?:either side|each side|both sides)\s+of\b", re.IGNORECASE)
"""'A bench either side of the door': two."""
_SAT_AT = re.compile(r"\b(?:dining|kitchen|writing|work|desks?)\b", re.IGNORECASE)
"""Of a table that someone sits at, by its name."""


_WORKED_AT = re.compile(r"\b(?:desks?|writing tables?|work tables?|computer|laptop|keyboard|monitor)\b", re.IGNORECASE)
_PARTS_ROOMS = re.compile(r"\b(?:wood(?:en)?|timber|oak|ash|slats?|slatted|fold(?:s|ing)?|hid(?:e|es|ing)|privacy|between|divid\w*|separat\w*|room screen|neighbou?rs?|terrace|balcony|garden|high|tall)\b", re.IGNORECASE)
"""Said of a screen that parts a room; without any of it, beside a desk, the screens are a computer's."""


_CHAIR = re.compile(
    r"(?:^|[.;!?]\s+)an?\s+(?:[\w-]+\s+){0,2}(?:arm)?chairs?(?=\s+(?:for|in|of|to)\b|[.,])|(?:^|[.;!?]\s+)(?:two|three|four|five|six|eight|ten|some)\s+(?:[\w-]+\s+){0,2}chairs(?=,?\s+(?:and an?\b|please|in (?!the\b|our\b)|of (?!the\b|our\b)))|\b(?:want|need|like|make|build|order|buy)s?\s+(?:us\s+|me\s+)?(?:an?|one|two|three|four|five|six|eight|ten|some|new)\s+(?:(?!table|desk|with|for)[\w-]+\s+){0,2}(?:arm|rocking )?chairs?\b"
    r"|\band\s+(?:two|three|four|five|six|eight|ten)\s+(?:(?:matching|new|dining|kitchen)\s+)*chairs\b|\b(?:needs|wants)\s+an?\s+(?:\w+\s+)?seat with arms\b", re.IGNORECASE)
"""Chairs that are asked for; not those that are there."""
_SLIDING = re.compile(r"\bslid(?:e|ing) doors?\b|\bdoors? (?:that|which|to) slide\b", re.IGNORECASE)


_WISHED = r"(?:^|[.;:!?]\s+|\b(?:want|wants|need|needs|like|love|order|make|build)\s+(?:us\s+|me\s+|to have\s+|you to make\s+)?)(?:an?\s+|some\s+|two\s+)?(?:(?!(?:for|the|our|my|at|to|of|by|beside|with|under|over|and|or|in|on)\b)[\w-]+\s+){0,3}?"
_NOT_MADE = tuple((re.compile(words, re.IGNORECASE), says) for words, says in (
    (_WISHED + r"(?:beds?|bunk beds?|day ?beds?|cots?|cribs?|cradles?)(?![ -]?(?:side|room|time|head|linen|table|end|frame is)\b|'s)\b",
     "beds, cots and cradles are not among the forms, and those for small children have safety standards of their own; say so to the client"),
    (_WISHED + r"(?:changing tables?|high ?chairs?)\b", "changing tables and high chairs are not among the forms: they have safety standards of their own; say so to the client"),
    (_WISHED + r"(?:kitchen islands?|island units?|fitted kitchens?)\b", "kitchen islands are not among the forms: a cabinet with its back free, or a table of that height, is the nearest to one; say so to the client"),
    (r"\bsauna\b", "the heat of a sauna is beyond the air that timber, glue and finish are reckoned for here; say so to the client"),
    (r"\b(?:sit[ -]?(?:and[ -]|/)?stand(?:ing)?|height[ -]adjustable|standing)\s+desks?\b|\bdesks?\b[^.;]{0,30}\b(?:goes|go|moves|move) up and down\b",
     "no desk here moves up and down: one to stand at is a table of the height that is typed for it, to the elbow of whoever stands there; say so to the client"),
    (r"(?<!the )(?<!our )(?<!old )(?<!existing )\b(?:coat|hat) (?:racks?|stands?|hooks?)\b|\b(?:hooks|pegs) (?:for|to hang)\b", "pegs and hooks are not among the parts here: add them and their hours by hand; say so to the client"),
    (r"\b(?:steel|metal|iron|hairpin|brass) (?:legs|feet|frame|base|underframe)\b", "legs and frames of metal are not drawn here: leave the timber ones out under 'Changes of your own' and price the metal as bought in; say so to the client"),
    (r"\b(?:clothes|hanging) rails?\b|\b(?:hang|hanging) (?:clothes|coats|dresses|shirts|suits)\b", "a clothes rail is not among the parts here: it is bought in, and hangers need 560 mm or more from front to back inside (common practice, no source)"),
    (r"\bnest(?:s|ing)? (?:of )?tables\b", "tables that go one under another are given one by one, each with sizes of its own"),
    (r"\b(?:extend(?:s|ed|able|ing)?|extension|draw[ -]?leaf)\b[^.;]{0,25}\b(?:tables?|leaf|leaves)\b|\btables?\b[^.;]{0,40}\b(?:extend(?:s|able|ed)?|be made longer|pulls? out|with (?:an? )?(?:extra|spare|loose) lea(?:f|ves))\b|\b(?:leaf|leaves) to (?:add|put in|make it longer)\b",
     "tables that are made longer are not among the forms: size it for the most who sit at it, or say so to the client"),
))
"""What no form makes, and what is said of it."""


def not_made(c: Commission) -> Iterator[Heard]:
    """What is asked for and no form makes, so that nobody takes what is offered for it."""
    found = meant(_SLIDING, c.brief.asked)
    if found:
        yield Heard("", None, "doors that slide are not among the forms: doors are hung on hinges; say so to the client", found[0])
    chair = next((at for at in _CHAIR.finditer(c.brief.asked) if not REFUSED.search(words_before(c.brief.asked, at.start()))), None)
    if chair:
        yield Heard("", None, "chairs are not among the forms: a short bench with a back and arms is the nearest to one; say so to the client", chair[0])

    for words, says in _NOT_MADE:
        found = meant(words, c.brief.asked)
        if found:
            yield Heard("", None, says, found[0])

    called = tuple((i.form, i.name) for i in c.items)
    for n, (form, name) in enumerate(called):
        words = c.brief.asked if len(called) == 1 else words_of(c.brief.asked, called, n)
        lid, under = (meant(_LID, words), _KEPT_UNDER.search(words)) if form == "bench" else (None, None)
        if lid:
            yield Heard("", None, f"a {name} with room under its seat is a chest here, which a lid shuts and grown people may sit on: take the form 'chest' for it, or say to the client that this one is open", lid[0])
        elif form == "bench" and (drawers := meant(_DRAWERS, words)):
            yield Heard("", None, f"drawers under the seat of a {name} are not among its parts: a low cabinet has them; say so to the client", drawers[0])
        elif under:
            yield Heard("", None, f"a {name} here is open underneath: boots and boxes stand on the floor between its legs, and a shelf under the seat is not among its parts; say so to the client", under[0])
        if re.fullmatch(r"(?:work|potting)[ -]?bench", name, re.IGNORECASE):
            yield Heard("", None, f"a {name} is laid out as a table: give it the height of whoever stands at it, 850 to 950 mm for most (common practice, no source)", name)
        if form == "slatted table" and round_asked(c.brief):
            yield Heard("", None, f"a {name} of slats is never round here: take the form 'table' for a round top, under a roof, or say to the client that this one has corners", name)
        if kind_of(form) == "table" and (foot := _ON_ONE_FOOT.search(words)):
            yield Heard("", None, f"a {name} on one foot is not among the forms: four legs, or two trestles; say so to the client", foot[0])
        if kind_of(form) in ("bookcase", "case", "cabinet") and (slope := _UNDER_A_SLOPE.search(words)):
            yield Heard("", None, f"a {name} with a sloping top is not among the forms: make it as high as its lowest place allows, or say so to the client", slope[0])
        under = _SHELF_UNDER.search(words) if kind_of(form) == "table" else None
        if under and not REFUSED.search(words_before(words, under.start())):
            yield Heard("", None, f"a shelf under a {name} is not among the parts of tables here: a small cabinet without doors has one as its bottom, with a drawer over it where one is wanted; else say so to the client", under[0])


_ON_ONE_FOOT = re.compile(r"\bon (?:an?|one) (?:single |central |middle )?(?:foot|column|pedestal|leg)\b|\bpedestal (?:table|base|foot)\b|\bwith (?:an?|one) (?:single |central |middle )(?:foot|column|pedestal|leg)\b", re.IGNORECASE)
_UNDER_A_SLOPE = re.compile(r"\bslop(?:ing|ed) (?:roof|ceiling|wall)s?\b|\bunder the (?:eaves|slope)\b|\battic (?:slope|roof)\b", re.IGNORECASE)
_DRAWERS = re.compile(r"\bdrawers?\b", re.IGNORECASE)
_LID = re.compile(r"\b(?:an?|with|its|under the|so|the seat is an?|hinged|lift-up|lifting)\s+(?:hinged |lifting )?lids?\b|\bseat\b[^.;]{0,20}\b(?:lifts?|opens?|hinges?)(?: up)?\b|\b(?:live|lives|kept|stored|go|goes|storage|space|room)\s+(?:in(?:side)? it|inside|(?:in|under|inside) the seat)\b", re.IGNORECASE)
"""Of a bench: room in it, under a seat that opens."""
_KEPT_UNDER = re.compile(
    r"\b(?:shelf|rack|place|room|space|somewhere)\b[^.;]{0,60}?\b(?:boots|shoes|wellies|wellingtons|slippers|trainers|baskets|boxes)\b[^.;]{0,40}?\b(?:below|beneath|under(?:neath)?)\b"
    r"|\b(?:shelf|rack|slats?|grid)\s+(?:for (?:\w+ ){0,3})?(?:below|beneath|underneath|under (?:it|the seat))\b|\b(?:boots|shoes|wellies|wellingtons|slippers|trainers)\s+(?:\w+ ){0,3}(?:below|beneath|underneath|under (?:it|the seat))\b", re.IGNORECASE)
"""Of a bench: what stands under its seat."""
_SHELF_UNDER = re.compile(
    r"\b(?:an?|one|with|open|and)\s+(?:(?:open|low|lower|small|slatted)\s+)*shelf\s+(?:below|beneath|underneath|under(?:neath)? (?:it|the top|the drawer)|low down|near the floor)\b"
    r"|\btables?\s+with\s+(?:an?|one)\s+(?:(?:open|low|lower|small|slatted)\s+)*shelf\b(?!\s+(?:above|over|on top|at the back))", re.IGNORECASE)


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


def several(word: str) -> str:
    """More than one of a piece: 'benches' of 'bench'."""
    return word + ("es" if re.search(r"(?:ch|sh|x|s)$", word) else "s")


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
    at = re.search(rf"\b(?:(pair|couple)(?: of)?|{N})\s+(?:(?!with\b|and\b|or\b|at\b|on\b|for\b|to\b|in\b|who\b|people\b|persons?\b|guests\b|of us\b)[\w-]+\s+){{0,2}}$", before, re.IGNORECASE)
    if not at and words.lower().endswith("benches"):
        return 2  # several, and nobody says how many
    if not at or not words.lower().endswith("s") or words.lower().endswith("shelves"):
        return 1  # two shelves are one piece together
    return 2 if at[1] else number_said(at[2])


def kind_of(form: str) -> str:
    """What a form is, however it is made: a slatted and a step stool are stools, a strung screen is a screen."""
    return form.split(" ")[-1]


def _sort(form: str, name: str) -> str:
    """What tells one piece from another in a client's words: its kind, and of what hangs whether it is open shelves or a cupboard."""
    return f"{kind_of(form)}, {'open' if SHELF_WORDS.search(name) else 'shut'}" if form == "hung case" else kind_of(form)


def _slatted(form: str) -> str:
    """What of a kind stands in the rain."""
    return {"table": "slatted table", "stool": "slatted stool"}.get(form, form)


_SENTENCE = re.compile(r"(?:[^.;!?\n]|[.](?=\d)|[!?](?=[)\"\u201d]?\)))+[.;!?\n]*")


@lru_cache(maxsize=64)
def words_for(asked: str, pieces: tuple[tuple[str, str], ...], index: int) -> str:
    """The client's words without the sentences that speak of other pieces of the job and not of this one.

    Parameters
    ----------
    pieces : ((form, name), ...)
        Of the whole job.
    """
    mine, others = _speaks_of(pieces, index)
    return "".join(s for s in _SENTENCE.findall(asked) if mine.search(said := without_comparisons(s)) or not any(other.search(said) for other in others))


_GOES_ON = re.compile(r"\s*(?:(?:and|but) )?(?:it|its|they|their|this|these|\w+ (?:live|lives|go|goes|are kept|is kept|stand|stands) (?:in|on|under) (?:it|them))(?:'s|'ll)?\b", re.IGNORECASE)
"""Begins a sentence about what the one before it spoke of: 'It is 1.5 m long', 'Cushions live in it'."""


@lru_cache(maxsize=64)
def words_of(asked: str, pieces: tuple[tuple[str, str], ...], index: int) -> str:
    """The client's words that speak of one piece of a job, by name, and of no other: clause by clause. ``pieces`` as for ``words_for``."""
    mine, others = _speaks_of(pieces, index)
    if any(_sort(*piece) == _sort(*pieces[index]) for k, piece in enumerate(pieces) if k != index):
        return ""  # of two alike nobody knows which is meant
    said, own = [], False
    for sentence in _SENTENCE.findall(asked):
        own = own and _GOES_ON.match(sentence) is not None  # what names no piece goes on about the one before it
        for part in re.split(r"(?<=[,;])\s|\b(?=and (?:an?|the|two|three|four|six|beside|above|over|under)\b)", sentence):
            plain = without_comparisons(part)
            here, elsewhere = mine.search(plain) is not None, any(other.search(plain) for other in others)
            own = here and not elsewhere if here or elsewhere else own
            if own:
                said.append(part.strip())
    return " ".join(said)


def named_in(words: str, pieces: tuple[tuple[str, str], ...], index: int) -> int | None:
    """Which other piece of a job such words name, 'the desk', or by its seat; None for none or for several."""
    seat = re.search(r"\bseats?\b", words, re.IGNORECASE)
    mine, found = _speaks_of(pieces, index)[0], []
    for k, (form, _) in enumerate(pieces):
        if k != index and (_speaks_of(pieces, k)[0].search(words) or seat and kind_of(form) in ("bench", "stool")):
            found.append(k)
    return found[0] if len(found) == 1 and not mine.search(words) else None


def _speaks_of(pieces: tuple[tuple[str, str], ...], index: int) -> tuple[re.Pattern, list[re.Pattern]]:
    """What speaks of one piece of a job, and what of each of a different sort."""
    def called(form: str, name: str) -> re.Pattern:
        if form == "hung case":
            kinds = [SHELF_WORDS.pattern if SHELF_WORDS.search(name) else r"cupboards?|cabinets?"]
        else:
            kinds = [words.pattern for other, words in _forms() if kind_of(other) == kind_of(form)]
        return re.compile("|".join([*kinds, rf"\b{re.escape(name)}\b(?!\s*(?:lamp|cloth|linen|ware|mats?)\b)"]), re.IGNORECASE)

    mine = _sort(*pieces[index])
    return called(*pieces[index]), [called(form, name) for form, name in pieces if _sort(form, name) != mine]
