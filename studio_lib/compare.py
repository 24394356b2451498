"""Two states of a commission side by side, in words a maker reads."""

from __future__ import annotations

import csv
import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from pydantic import ValidationError

from studio_lib.brief.questions import MAY_BE_NONE
from studio_lib.commission import UNITS, Commission
from studio_lib.forms import FORMS
from studio_lib.forms.changes import in_words
from studio_lib.forms.form import SizeRefused


@dataclass(frozen=True)
class Change:
    """One field that differs: 'Length of top 1800 -> 1900 mm'; or a row of a list that came, went or is another now."""

    path: str
    label: str
    before: str
    """Empty for a row that came."""
    after: str

    @property
    def was(self) -> str:
        """What it was, to be read alone: with the unit that is said once where both stand side by side."""
        unit = next((u for u in (" mm", " %", " kg") if self.after.endswith(u)), "")
        return f"{self.before}{unit}" if unit and not self.before.endswith(unit) and re.fullmatch(r"[-\d., ]+", self.before) else self.before

    def __str__(self) -> str:
        if not self.before:
            return f"{self.label}{' ' if self.after in DONE else ': '}{self.after}"
        return f"{self.label} taken away" if not self.after else f"{self.label}: {self.before} -> {self.after}"


DONE = ("kept", "changed")
ITEM_WORDS = {"table": "whether people eat at it", "stands": "where it stands"}
"""What the page calls an answer about one piece."""


def changes(before: Commission, after: Commission) -> list[Change]:
    """Every input that differs, in the order of the document."""
    out = list(_differ(_plain(before), _plain(after), "", before, after))
    if before.boards.kept_layout != after.boards.kept_layout:
        out.append(
            Change("boards.kept_layout", "Layout kept", _cost(before), _cost(after))
        )
    return out


@dataclass(frozen=True)
class Clash:
    """One field that two people changed differently: what it was, and what each made of it."""

    path: str
    label: str
    before: str
    mine: str
    theirs: str
    value: object
    """Mine, as ``Commission.changed`` takes it."""

    def __str__(self) -> str:
        return f"{self.label}: it was {self.before}; theirs {self.theirs}, yours {self.mine}"


@dataclass(frozen=True)
class Merged:
    """Two people's changes to one document brought together, theirs kept where they clash."""

    document: Commission
    clashes: tuple[Clash, ...]


def merge(before: Commission, mine: Commission, theirs: Commission) -> Merged:
    """Bring together what two people made of one document, field by field.

    A field that only one of them changed is as that one has it; rows that both added at the end of
    a list are all kept, theirs first. Of a field that both changed, theirs stands and a clash is told.
    Changes that do not go together as a whole leave theirs, each of mine a clash.
    """
    found: list[tuple[str, object, object, object]] = []
    merged = _merged(*(c.model_dump(mode="json") for c in (before, mine, theirs)), "", found)
    try:
        document = Commission.model_validate(merged)
    except ValidationError:
        document, found = theirs, []
        _merged(before.model_dump(mode="json"), mine.model_dump(mode="json"), _NOTHING, "", found)
    return Merged(document, tuple(_clash(path, b, m, t, mine, theirs) for path, b, m, t in found))


_NOTHING = object()


def _merged(b, m, t, path: str, clashes: list):
    if m == t or t == b:
        return m
    if m == b:
        return t
    at = f"{path}." if path else ""
    if isinstance(b, dict) and isinstance(m, dict) and (isinstance(t, dict) or t is _NOTHING):
        rest = t if isinstance(t, dict) else {}
        keys = dict.fromkeys([*b, *m, *rest])
        out = {}
        for k in keys:
            value = _merged(b.get(k, _NOTHING), m.get(k, _NOTHING), rest.get(k, _NOTHING), f"{at}{k}", clashes)
            if value is not _NOTHING:
                out[k] = value
        return out
    if isinstance(b, list) and isinstance(m, list) and isinstance(t, list):
        if _rows(b) == _rows(m) == _rows(t):
            return [_merged(*rows, f"{at}{i}", clashes) for i, rows in enumerate(zip(b, m, t, strict=True))]
        if m[: len(b)] == b and t[: len(b)] == b:
            return [*t, *m[len(b) :]]
    clashes.append((path, b, m, t))
    return t


def _rows(rows: list) -> list:
    """By what the rows of a list are told apart."""
    return [row.get("name", row.get("ref")) if isinstance(row, dict) else None for row in rows]


def _clash(path, b, m, t, mine: Commission, theirs: Commission) -> Clash:
    label, unit = _words(path, theirs)
    before, my_words, their_words = (_told(v, unit) for v in (b, m, t))
    if isinstance(t, list) and isinstance(m, list):
        their_words = "rows were added or taken away" if _rows(t) != _rows(b) else "rows were changed"
        my_words = "rows were added or taken away" if _rows(m) != _rows(b) else "rows were changed"
        before = f"{len(b)} rows" if isinstance(b, list) else before
    return Clash(path, label, before, my_words, their_words, None if m is _NOTHING else m)


def _told(value, unit: str) -> str:
    if value is _NOTHING:
        return "not set"
    if isinstance(value, dict | list):
        return "other than before"
    return _shown(value, unit)


def outcome(before: Commission, after: Commission, known=None) -> list[str]:
    """What the difference does to price, hours and weight, in sentences."""
    from studio_lib.derive import derive

    said = []
    try:
        a, b = derive(before, known), derive(after, known)
        if not (a.made and b.made):
            return said
        price = b.price.net - a.price.net
        if price:
            said.append(f"price {price:+.0f} {after.rates.currency}")
        hours = b.price.hours_at(50) - a.price.hours_at(50)
        if abs(hours) >= 0.1:
            said.append(f"hours {hours:+.1f}")
        weight = sum(b.weights_kg.values()) - sum(a.weights_kg.values())
        if abs(weight) >= 0.1:
            said.append(f"weight {weight:+.1f} kg")
    except (SizeRefused, KeyError, ValueError):
        return said
    return said


def reason_for(before: Commission, after: Commission) -> str:
    """A revision's reason when the maker gave none: its first changes in words."""
    found = changes(before, after)
    if not found:
        return "saved again, nothing changed" if before == after else "a detail that no page names changed"
    text = "; ".join(str(c) for c in found[:3])
    return text + (f"; and {len(found) - 3} more" if len(found) > 3 else "")


def _plain(document: Commission) -> dict:
    """The document as plain values, each of the maker's own changes to a piece as one sentence."""
    plain = document.model_dump(mode="json")
    plain["views"] = {v["name"]: "kept" for v in plain["views"]}
    kept = document.estimate
    plain["estimate"] = f"{kept.hours[1]:.1f} h likely, {kept.hours[2]:.1f} safe" if kept else None
    plain["issued"] = {
        i.number: f"{i.gross} {i.currency}" + (f", answered {i.agreed.isoformat()}" if i.agreed else "") for i in document.issued
    }
    for rows, item in zip(plain["items"], document.items):
        rows["adjustments"] = [in_words(a) + (" (laid aside)" if a.off else "") for a in item.adjustments]
    return plain


SKIPPED = ("boards.kept_layout",)


def _differ(a, b, path: str, before: Commission, after: Commission):
    """What differs between two plain values at a path, in the order of the document."""
    if a == b or path in SKIPPED:
        return
    if isinstance(a, dict) or isinstance(b, dict):
        a, b = (x if isinstance(x, dict) else {} for x in (a, b))
        for key in dict.fromkeys([*a, *b]):
            yield from _differ(a.get(key), b.get(key), f"{path}.{key}" if path else str(key), before, after)
    elif isinstance(a, list) or isinstance(b, list):
        if path == "options":
            yield from _options(a, b)
        elif path.endswith(".adjustments"):
            yield from _differ(dict(enumerate(a or ())), dict(enumerate(b or ())), path, before, after)
        elif any(isinstance(row, dict) for row in (*(a or ()), *(b or ()))):
            yield from _listed(a or [], b or [], path, before, after)
        else:
            label, unit = _words(path, after)
            none = "none of these" if path in MAY_BE_NONE else "none"
            yield Change(path, label, _together(a, "", none), _together(b, unit, none))
    else:
        label, unit = _words(path, after)
        was, now = _shown(a, "", unit), _shown(b, unit, unit)
        if was != now:
            yield Change(path, label, was, now)


def _together(values, unit: str, none: str) -> str:
    if values is None:
        return "not asked yet"
    return " ".join(filter(None, [", ".join(_shown(v, "") for v in values), unit])) if values else none


def _options(a: list, b: list):
    """One line for each option: what is in it is a whole commission, and told by taking it in hand."""
    was, now = ({o["name"]: o for o in rows} for rows in (a, b))
    for name in dict.fromkeys([*was, *now]):
        if was.get(name) != now.get(name):
            before = "kept" if name in was and name not in now else ""
            yield Change(f"options.{name}", f"Option '{name}'", before, "" if before else "changed" if name in was else "kept")


def _listed(a: list, b: list, path: str, before: Commission, after: Commission):
    """Rows of a list: those of one name, or of one place in lists as long, are compared; others came or went."""
    named = _rows(a), _rows(b)
    by_name = all(None not in names and len(set(names)) == len(names) for names in named)
    if by_name and set(named[0]) != set(named[1]) and (len(a) != len(b) or path == "boards.offered"):
        was, now = (dict(zip(names, rows)) for names, rows in zip(named, (a, b)))
        pairs = [(was.get(n), now.get(n), named[1].index(n) if n in now else len(b)) for n in dict.fromkeys([*was, *now])]
    elif len(a) == len(b):
        pairs = [(*rows, i) for i, rows in enumerate(zip(a, b))]
    else:
        pairs = [(row, None, len(b)) for row in a if row not in b] + [(None, row, i) for i, row in enumerate(b) if row not in a]
    for one, other, i in pairs:
        if one is None or other is None:
            label, said = _row(path, one or other)
            yield Change(f"{path}.{i}", label, said if other is None else "", said if one is None else "")
        else:
            yield from _differ(one, other, f"{path}.{i}", before, after)


def _row(path: str, row: dict) -> tuple[str, str]:
    """What a row of a list is called, and what it is, in short."""
    if path == "boards.offered":
        sides = " x ".join(f"{row[k]:g}" for k in ("length_mm", "width_mm", "thickness_mm"))
        return f"Board {row['ref']}", f"{sides} mm, {row['count']} of them" if row["count"] != 1 else f"{sides} mm"
    if path == "items":
        return f"Piece '{row['name']}'", row["form"] + (f", {row['count']} of them" if row["count"] != 1 else "")
    page, words, _ = field_words().get(path, ("", path.replace(".", " ").replace("_", " "), ""))
    name = row.get("name") or row.get("ref") or ""
    label = f"{page}, {words[0].lower()}{words[1:]}" if page else words.capitalize()
    said = []
    for key, value in row.items():
        if key not in ("name", "ref") and value not in (None, "", "none") and not isinstance(value, dict | list | bool):
            suffix, unit = next(((s, u) for s, u in UNITS.items() if key.endswith(s)), ("", ""))
            said.append(_shown(value, unit) if isinstance(value, str) else f"{key.removesuffix(suffix).replace('_', ' ')} {_shown(value, unit)}")
    return label + (f" '{name}'" if name else ""), ", ".join(said[:5]) or "written down"


@cache
def field_words() -> dict[str, tuple[str, str, str]]:
    """Page, words and unit of a field as the pages call it, by its path; unit 'share' for one shown in percent."""
    with Path(__file__).with_name("field_words.csv").open(newline="", encoding="utf-8") as file:
        return {r["field"]: (r["page"], r["words"], r["unit"]) for r in csv.DictReader(file)}


def called(path: str, document: Commission) -> str:
    """A field as the pages call it: 'bookcase, lowest shelf above the floor'."""
    return _words(path, document)[0]


def _words(path: str, document: Commission) -> tuple[str, str]:
    steps = path.split(".")
    if path in field_words():
        page, words, unit = field_words()[path]
        return words if "." not in path else f"{page}, {words[0].lower()}{words[1:]}", unit
    suffix, unit = next(((s, u) for s, u in UNITS.items() if steps[-1].endswith(s)), ("", ""))
    if steps[0] == "items" and len(steps) > 2 and int(steps[1]) < len(document.items):
        item = document.items[int(steps[1])]
        if steps[2] == "sizes" and item.form in FORMS:
            for size in FORMS[item.form].sizes:
                if size.name == steps[3]:
                    return f"{item.name}, {size.label[0].lower()}{size.label[1:]}", size.unit
        if steps[2] == "adjustments":
            return f"{item.name}, change {int(steps[3]) + 1} of your own", ""
        if steps[2] in ITEM_WORDS:
            return f"{item.name}, {ITEM_WORDS[steps[2]]}", unit
        return f"{item.name}, " + " ".join(s.replace("_", " ") for s in steps[2:]), unit
    if steps[0] == "issued":
        return f"Paper {'.'.join(steps[1:])}", ""
    if steps[0] == "views":
        return f"View '{'.'.join(steps[1:])}'", ""
    if steps[:2] == ["boards", "offered"] and len(steps) > 3 and int(steps[2]) < len(document.boards.offered):
        rest = " ".join(str(int(s) + 1) if s.isdigit() else s.removesuffix("_mm").replace("_", " ") for s in steps[3:])
        return f"Board {document.boards.offered[int(steps[2])].ref}, {rest}", unit
    name = steps[-1].removesuffix(suffix)
    within = " ".join(s if not s.isdigit() else str(int(s) + 1) for s in steps[:-1])
    return f"{within} {name}".replace("_", " ").strip().capitalize(), unit


def _shown(value, unit: str, of: str = "") -> str:
    """A value with its unit; ``of``: the unit of its field, where a share is told in percent."""
    if "share" in (unit, of) and isinstance(value, int | float) and not isinstance(value, bool):
        return f"{100 * value:g} %"
    if value is None or value == "":
        return "not set"
    if isinstance(value, bool):
        return "yes" if value else "no"
    text = f"{value:g}" if isinstance(value, float) else str(value)
    return f"{text} {unit}".strip()


def _cost(document: Commission) -> str:
    kept = document.boards.kept_layout
    return f"at {kept['cost']} {document.rates.currency}" if kept else "none"
