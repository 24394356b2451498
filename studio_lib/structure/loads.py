"""Loads of use, each with the standard it is taken from; the maker may set his own."""

from __future__ import annotations

import csv
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path


@dataclass(frozen=True)
class Load:
    """A force put on a piece to see whether it holds."""

    what: str
    force_n: float
    source: str
    own: bool = False
    """The maker's own figure."""

    @property
    def kg(self) -> float:
        """The mass that weighs as much. [kg]"""
        return self.force_n / G

    @property
    def whose(self) -> str:
        """Whose figure it is, in words."""
        return "your own figure under Loads" if self.own else "a proposal of ours" if "a proposal of ours" in self.source else self.source


MEM = " (from memory)"
G = 9.81

TABLE = {
    "household": {
        "down": Load("someone sits or leans on the top", 1000.0, "EN 12521 vertical static load" + MEM),
        "push": Load("someone shoves the table", 400.0, "EN 12521 horizontal static load" + MEM),
        "edge": Load("someone leans on the edge", 400.0, "EN 12521 stability" + MEM),
        "spread": Load("a laid table, 50 kg/m2 over the top", 490.0, "a starting point of ours, N per m2"),
    },
    "public": {
        "down": Load("someone sits or stands on the top", 1250.0, "EN 15372 vertical static load, middle level" + MEM),
        "push": Load("someone shoves the table", 600.0, "EN 15372 horizontal static load" + MEM),
        "edge": Load("someone leans on the edge", 400.0, "EN 12521 stability" + MEM),
        "spread": Load("a laid table, 50 kg/m2 over the top", 490.0, "a starting point of ours, N per m2"),
    },
}
SQUEEZED_MM = 460.0
"""Each of a row that has squeezed onto a seat, hip to hip: the hips of 110 kg are 427 mm broad on a man and 510 on a woman of middle height
(our regression of ANSUR II on height and weight), and a row has both."""
PERSON = Load("people side by side, 110 kg each", 110 * G,
              f"EN 581-2: users up to 110 kg; as many as squeeze on, {SQUEEZED_MM:.0f} mm each, hips of ANSUR II (2012) and clothes")
SEAT = {
    "household": {
        "down": Load("a person drops onto the seat", 1600.0, "EN 581-2:2009 table 1, seat static, domestic"),
        "push": Load("a person rocks it", 300.0, "EN 12520 leg sideways" + MEM),
        "edge": Load("a person sits on the edge", 600.0, "EN 1022 forward stability"),
        "front": Load("a person drops onto the edge of the seat", 1300.0, "EN 581-2:2009 table 1, seat front edge static"),
        "back": Load("someone leans hard against the back", 560.0, "EN 16139 seat and back static, level 1" + MEM),
        "people": PERSON,
    },
    "public": {
        "down": Load("a person drops onto the seat", 2000.0, "EN 581-2:2009 table 1, seat static, contract"),
        "push": Load("a person rocks it", 400.0, "EN 16139 leg sideways, level 1" + MEM),
        "edge": Load("a person sits on the edge", 600.0, "EN 1022 forward stability"),
        "front": Load("a person drops onto the edge of the seat", 1300.0, "EN 581-2:2009 table 1, seat front edge static"),
        "back": Load("someone leans hard against the back", 700.0, "EN 16139 seat and back static, level 2" + MEM),
        "people": PERSON,
    },
}
SHELF = {
    "household": {
        "books": Load("things standing on it for good", 638.0, "EN 14749 shelf load, 0.65 kg/dm2" + MEM),
        "push": Load("someone leans against it", 200.0, "a starting point of ours"),
    },
    "public": {
        "books": Load("books standing on it for good", 981.0, "EN 16121 shelf load, 1.0 kg/dm2" + MEM),
        "push": Load("someone leans against it", 400.0, "a starting point of ours"),
    },
}
"""Shelf loads in N per m2."""
OURS = "a proposal of ours, as no figure for furniture was found"
SCREEN = {
    use: {"push": Load("someone leans against it at 1200 mm", n, OURS), "slat": Load("a hand or a shoulder pushes one slat in its middle", n, OURS)}
    for use, n in (("household", 150.0), ("public", 300.0))
}
"""A lean may fall on one slat alone: as much as on the whole."""
CHILD = Load("a child climbs on it", 267.0, "60 lb, the child of ASTM F2057-23; where it steps a judgement of ours")
"""Where children are: on each level rail within a child's step, and on the shelves of a case. What grown people do to a piece is not lowered
for children: EN 1729-2:2023 has chairs for kindergartens take users of up to 110 kg (abstract)."""
FOOTHOLD_MM = (150.0, 760.0)
"""Height above the floor of what a child steps on: building codes on guards, from memory."""
SEVERE = {
    "seat": {"down": 2000.0, "front": 1600.0, "push": 760.0, "back": 700.0}, "table": {"down": 1500.0}, "shelf": {"books": 1471.0}, "screen": {},
}
"""Figures of the hardest use: EN 16139 level 2 and ISO 7173 level 5 for seats, EN 15372 level 3, EN 16121 1.5 kg/dm2; from memory, the
legs' push with real doubt. For screens none was found."""
PERSON_KG = 110.0
"""The person that the loads of seats are made for: EN 581-2, users up to 110 kg."""
WEIGH_ON = ("down", "edge", "front", "back", "people")
"""Loads of a seat that grow with whoever sits on it."""
ROCKS = ("push", "back")
"""Loads of a seat that grow where someone leans back on two legs."""


@dataclass(frozen=True)
class Sitters:
    """What is known of those who sit on one piece, and whether it has a back to lean against."""

    heaviest_kg: float | None = None
    leans_back: bool = False
    back: bool = True

    def on(self, loads: dict[str, Load]) -> dict[str, Load]:
        """The loads of a seat as these people put them on it."""
        out = {n: load for n, load in loads.items() if n != "back" or self.back}
        if self.leans_back:
            for n in (n for n in ROCKS if n in out):
                if SEVERE["seat"][n] > out[n].force_n:
                    out[n] = replace(out[n], what=f"{out[n].what}, leaning back on two legs", force_n=SEVERE["seat"][n],
                                     source=f"severe use, ISO 7173 level 5 and EN 16139 level 2{MEM}, as someone leans back on two legs")
        times = (self.heaviest_kg or 0.0) / PERSON_KG
        if times > 1:
            for n in (n for n in WEIGH_ON if n in out):
                load = out[n]
                out[n] = replace(
                    load, what=load.what.replace(f"{PERSON_KG:.0f} kg", f"{self.heaviest_kg:g} kg"), force_n=round(load.force_n * times, 1),
                    source=f"{load.source}; {times:.2f} times its {load.force_n:.0f} N, as the heaviest weighs {self.heaviest_kg:g} kg and "
                    f"EN 581-2 is made for {PERSON_KG:.0f} kg",
                )
        return out


OF_KIND = {"table": TABLE, "seat": SEAT, "shelf": SHELF, "screen": SCREEN}
NAMES = {
    "down": "Down on one place, N", "push": "Sideways at the top, N", "edge": "At the edge, against tipping, N", "front": "Down on the edge of the seat, N", "back": "Against the back, N",
    "people": "One of a row of people, N", "spread": "Spread and lasting, N/m2", "books": "On shelves, lasting, N/m2", "child": "A child climbing on it, N",
    "slat": "Against one slat, N",
}
"""Every load by its name, with the words for it."""
LASTING = ("spread", "books")
LIMITS = {n: (0.0, 20_000.0) for n in NAMES}
"""Least and greatest figure a maker may set; over the greatest it is no furniture. [N], [N/m2]"""
CERTIFIES = {
    "table": "EN 12521 at home, EN 15372 in public, EN 581-3 outdoors", "seat": "EN 12520 at home, EN 16139 in public, EN 581-2 outdoors",
    "shelf": "EN 14749 at home, EN 16121 in public", "screen": "",
}
"""By what a test house certifies each kind of piece; empty where no standard was found."""
NOT_CHECKED = "dropping it, blows, years of rocking, faults in glue or grain, and anything hung, guarding or lifted"


def certified(kind: str) -> str:
    """By what a test house certifies a kind of piece, as a sentence."""
    standard = CERTIFIES[kind]
    return f"A test house certifies by {standard}." if standard else "No standard for it was found that a test house could certify by."


def serves(form: str) -> str:
    """What a piece of that form is for: 'table', 'seat', 'shelf', 'screen'; 'seat' where nothing says."""
    for word, use in (("table", "table"), ("bench", "seat"), ("stool", "seat"), ("shel", "shelf"), ("screen", "screen"),
                      ("cabinet", "shelf"), ("chest", "seat"), ("case", "shelf")):
        if word in form:
            return use
    return "seat"


def names_of(kind: str, use: str, children: bool = False, sitters: Sitters = Sitters()) -> dict[str, Load]:
    """Loads by name that a kind of piece has, as its use asks and those who sit on it put them there."""
    usual = OF_KIND[kind][use]
    return {**(sitters.on(usual) if kind == "seat" else usual), **({"child": CHILD} if children else {})}


ON = " on "


@cache
def goods() -> dict[str, Load]:
    """What a maker may say stands on one shelf, by name, as loads in N per m2."""
    with Path(__file__).with_name("on_shelves.csv").open(newline="", encoding="utf-8") as file:
        return {r["goods"]: Load(r["what"], round(G * float(r["kg_m2"]), 1), r["source"]) for r in csv.DictReader(file)}


def named_on(kept: str, ref: str) -> str:
    """Name of the load of such goods on the shelf ``ref``, among the loads of a piece."""
    return f"{kept}{ON}{ref}"


def said_of(loads: dict[str, Load], ref: str) -> tuple[str, Load] | None:
    """Which goods the maker said stand on the shelf ``ref``, and their load; None where nothing was said."""
    return next(((n.partition(ON)[0], load) for n, load in loads.items() if n.partition(ON)[2] == ref), None)


def on_shelf(loads: dict[str, Load], ref: str) -> Load | None:
    """What stands on the shelf ``ref`` for good: what was said of it, else what stands on every shelf. [N/m2]"""
    said = said_of(loads, ref)
    return said[1] if said else loads.get("books")


def loads_of(kind: str, use: str, own: dict[str, float] | None = None, children: bool = False, sitters: Sitters = Sitters()) -> dict[str, Load]:
    """Loads by name for a kind of piece, the maker's figures on top; with children near it, what a child does as well.

    ``own`` may also tell what stands on one shelf, by ``named_on``.

    Raises
    ------
    ValueError
        For a load that does not belong to the kind, or a figure out of bounds.
    """
    loads = names_of(kind, use, children, sitters)
    for name, value in (own or {}).items():
        kept, _, ref = name.partition(ON)
        if ref and kept in goods() and "books" in loads:
            loads[name] = replace(goods()[kept], force_n=value)
            continue
        if name not in loads:
            raise ValueError(f"A {kind} has no load {name!r}. It has: {', '.join(loads)}.")
        low, high = LIMITS[name]
        if not low <= value <= high:
            raise ValueError(f"{NAMES[name]}: {value:g}; give {low:g} to {high:g}.")
        usual = loads[name]
        loads[name] = replace(usual, force_n=value, own=True, source=f"the maker's own figure, for {usual.force_n:.0f} {NAMES[name].rpartition(', ')[2]} by {usual.source}")
    return loads
