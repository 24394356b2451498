"""The questions of the trade: what to ask in the first hour, why, and what each holds up."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass

Answers = Mapping[str, object]
"""Field path of the document, 'brief.people', to what was answered."""


@dataclass(frozen=True)
class Question:
    """One question, the field that holds its answer, and when it is worth asking."""

    key: str
    group: str
    asks: str
    why: str
    blocks: str
    applies: Callable[[Answers], bool] = lambda _: True


def _outdoors(a: Answers) -> bool:
    return str(a.get("brief.place", "")).startswith("outdoors")


def _weather(a: Answers) -> bool:
    return a.get("brief.place") == "outdoors, in the weather"


def _kind(*words: str) -> Callable[[Answers], bool]:
    def applies(a: Answers) -> bool:
        kinds = " ".join(str(i.get("form", "")) for i in a.get("items") or () if isinstance(i, Mapping))
        return any(w in kinds for w in words)

    return applies


def _stands_tall(a: Answers) -> bool:
    """A form or a wish that wind can tip."""
    wishes = (str(w.get("kind", "")) for w in a.get("brief.wishes") or () if isinstance(w, Mapping))
    return _kind("screen", "bookcase", "cabinet")(a) or any(k in ("free-standing screen", "tall case") for k in wishes)


def _yes(key: str) -> Callable[[Answers], bool]:
    return lambda a: bool(a.get(key))


def _not_measured(a: Answers) -> bool:
    """The client brings timber, and no board of it is entered."""
    return bool(a.get("brief.brings_timber")) and not any(
        b.get("source") == "client" for b in a.get("boards.offered") or () if isinstance(b, Mapping)
    )


QUESTIONS: tuple[Question, ...] = (
    # what it is
    Question("brief.asked", "the piece", "What is wanted, in the client's own words?",
             "their words settle later disputes better than yours", "the brief sheet and the quote, which repeat them"),
    Question("items", "the piece", "What piece is it, and how many?",
             "everything follows from it", "sizes, price and drawing"),
    Question("brief.decides", "the piece", "Who decides, and who else must like it?",
             "a second opinion after the drawing costs a second drawing", "who signs the brief sheet"),
    # who uses it
    Question("brief.people", "who uses it", "How many people use it at once?",
             "sets length and places", "length, places and the ballpark"),
    Question("brief.children", "who uses it", "Do children use it, or visit?",
             "their fingers, heads and climbing rule out gaps and rails that suit grown people",
             "gaps, rails, lids and tipping"),
    Question("brief.child_ages", "who uses it", "How old are the children?",
             "a child of 4 sits 200 mm lower than you", "seat and table heights for them", _yes("brief.children")),
    Question("brief.children_alone", "who uses it", "Is it for children alone?",
             "only then is it sized to them; grown people outgrow no chair",
             "seat and table heights, and who must say yes", _yes("brief.child_ages")),
    Question("brief.wheelchair", "who uses it", "Does someone pull up in a wheelchair, and where: anywhere, at one end, at one side?",
             "it needs 685 mm clear, or what its owner says; one end can be opened and the table stays as low as the others sit", "height, aprons and legs"),
    Question("brief.frail", "who uses it", "Does anyone find it hard to rise or to reach?",
             "a higher seat with arms, a lower shelf", "seat height, arms and shelves"),
    Question("brief.large", "who uses it", "Is anyone very broad or heavy, or very tall?",
             "widths, loads and knee room are made for 95 of 100 people", "widths, knee room and loads"),
    Question("brief.use", "who uses it", "Private or public?",
             "public pieces are loaded harder and judged by strangers", "loads and who must say yes"),
    # where it stands
    Question("brief.place", "where it stands", "Where does it stand: heated, unheated, under cover, in the weather?",
             "decides which timbers last and how much they move", "timber, gaps and finish"),
    Question("brief.climate", "where it stands", "What is the air like, summer and winter?",
             "decides the moisture to make at and every gap", "moisture of the boards and movement"),
    Question("brief.by_the_sea", "where it stands", "Within a few kilometres of the sea?",
             "salt eats screws and hinges", "what the fixings are made of", _outdoors),
    Question("brief.sun_side", "where it stands", "Which way does it face, and what shades it?",
             "sun greys and checks; shade grows mould", "finish and how it ages", _outdoors),
    Question("brief.ground", "where it stands", "What does it stand on: paving, tiles over a membrane, gravel, grass, a deck?",
             "wet feet rot first, and soft ground tips", "feet, and whether it stays upright", _outdoors),
    Question("brief.wind", "where it stands", "How hard does the wind blow there?",
             "a screen is a sail", "feet, weight or anchors",
             lambda a: _outdoors(a) and a.get("brief.wind_m_s") is None and _stands_tall(a)),
    Question("brief.heating_below", "where it stands", "Is the floor heated, or a radiator or stove near?",
             "dry heat shrinks solid wood beyond the usual range", "panels, joints and humidity advice",
             lambda a: a.get("brief.place") == "indoors, heated"),
    # what it carries
    Question("brief.carries", "what it carries", "What does it carry: books, plants, people leaning, hot pans?",
             "books weigh 30 to 37 kg a metre; pots drip; pans mark", "thickness of shelves and the finish",
             lambda a: not a.get("items") or _kind("table", "bench", "bookcase", "cabinet", "chest", "freehand")(a)),
    Question("brief.beside_a_drop", "what it carries", "Does it stand by a drop, a stair or a window?",
             "a rail is a ladder to a child", "rails and where it stands"),
    Question("brief.wishes", "what it carries",
             "Is there a screen, a tall case, a lid, a wide board held fast or a long shelf in it?",
             "wind, a child or the wood's own movement decides those, not taste", "whether it can be made as wished",
             lambda a: not a.get("items")),
    Question("brief.needs_leave", "what it carries", "Is it fixed to the building, by a fire or a gas appliance, wired, hung, or on public ground?",
             "others have a say, and it is their licence at stake", "whether it may be made at all"),
    # looks and care
    Question("brief.wants.tone", "looks and care", "Light or dark, red, golden or brown, quiet grain or lively?",
             "points at timbers", "timber"),
    Question("brief.heft", "looks and care", "Light or chunky?",
             "thin is harder to make and to keep stiff", "thicknesses and joints"),
    Question("brief.metal", "looks and care", "May screws and hinges show, or is there to be no metal to be seen, or none at all?",
             "it decides joints and hinges, and is dear to change afterwards", "joints, hinges and what the quote may promise"),
    Question("brief.wants.may_go_grey", "looks and care", "May it go grey?",
             "kept brown outdoors means oiling every year", "finish and care", _weather),
    Question("brief.finish", "looks and care", "Which finish, and how is it to feel?",
             "decides what marks and what can be mended", "finish, price and date"),
    Question("brief.care_done", "looks and care", "What care will really be given: none, once a year, when it shows?",
             "a finish is only as good as its next coat", "finish and how long it lasts"),
    # getting it there
    Question("brief.space_length_mm", "room and way in", "How much room does it have, length by width?",
             "and how people get round it", "size, and walking room"),
    Question("brief.openings", "room and way in", "What is on the way in: doors, turns, stairs, lift, ceiling?",
             "the narrowest decides what must come apart", "whether it can be delivered whole"),
    # leave, time and money
    Question("brief.may_forbid", "leave, time and money", "Who could forbid it: landlord, neighbours, building rules?",
             "cheaper to ask now", "whether to start"),
    Question("brief.wanted_by", "leave, time and money", "When is it wanted, and why then?",
             "wood and glue do not hurry", "the last day to order"),
    Question("brief.budget", "leave, time and money", "What may it cost?",
             "half the price is a different piece, not the same one cheaper", "what to draw"),
    # the client's own timber
    Question("brief.brings_timber", "their own timber", "Does the client bring timber?",
             "it may be wet, short, full of nails or worth building round", "timber and price"),
    Question("brief.their_timber.moisture_pct", "their own timber", "What does the meter say in it, and when was that?",
             "above its making moisture it shrinks in the piece", "when it can be cut", _yes("brief.brings_timber")),
    Question("brief.their_timber.thickness_mm", "their own timber", "How many boards, how long, wide and thick?",
             "it decides how much of the piece they make, and thick boards dry for years", "what is bought, and when it can be cut", _not_measured),
    Question("brief.their_timber.been", "their own timber", "What was it before: never used, or old boards from where?",
             "old boards hold nails, and paint or preservative nobody remembers", "whether it may be sawn, and what for", _yes("brief.brings_timber")),
)


def is_open(value: object) -> bool:
    """Whether nothing has been answered; 'no' and 0 are answers."""
    return value is None or (isinstance(value, str | tuple | list | dict) and not value)


def answers_of(document: Mapping) -> dict[str, object]:
    """Answers by field path, from a document as plain data; lists stay whole."""
    out: dict[str, object] = {}
    for name, value in document.items():
        out[name] = value
        if isinstance(value, Mapping):
            out |= {f"{name}.{inner}": v for inner, v in answers_of(value).items()}
    return out


MAY_BE_NONE = ("brief.wishes", "brief.needs_leave")
"""Lists that are not there until asked: an empty one answers 'none of these'."""


def open_questions(answers: Answers) -> tuple[Question, ...]:
    """Questions that apply and have no answer yet, in the order to ask them."""
    return tuple(
        q for q in QUESTIONS
        if q.applies(answers) and is_open(answers.get(q.key))
        and not (q.key in MAY_BE_NONE and answers.get(q.key) is not None)
    )


def next_few(answers: Answers, most: int = 4) -> tuple[Question, ...]:
    """The next questions of one group, so that a client is not buried under a form.

    Raises ValueError for fewer than one.
    """
    if most < 1:
        raise ValueError(f"{most} questions at a time; give 1 or more.")
    still = open_questions(answers)
    return tuple(q for q in still if q.group == still[0].group)[:most] if still else ()
