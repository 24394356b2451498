"""Two states of a commission side by side, in words a maker reads."""

from __future__ import annotations

from dataclasses import dataclass

from pydantic import ValidationError

from studio_lib.commission import UNITS, Commission
from studio_lib.forms import FORMS
from studio_lib.forms.changes import in_words
from studio_lib.forms.form import SizeRefused


@dataclass(frozen=True)
class Change:
    """One field that differs: 'Length of top 1800 -> 1900 mm'."""

    path: str
    label: str
    before: str
    after: str

    def __str__(self) -> str:
        return f"{self.label}: {self.before} -> {self.after}"


def changes(before: Commission, after: Commission) -> list[Change]:
    """Every input that differs, in the order of the document."""
    a, b = (_flat(_plain(c)) for c in (before, after))
    out = []
    for path in dict.fromkeys([*a, *b]):
        if a.get(path) != b.get(path) and not path.startswith("boards.kept_layout."):
            label, unit = _words(path, after)
            out.append(Change(path, label, _shown(a.get(path), ""), _shown(b.get(path), unit)))
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


def _flat(value, path: str = "") -> dict:
    if isinstance(value, dict):
        items = value.items()
    elif isinstance(value, list):
        items = enumerate(value)
    else:
        return {path: value}
    out = {}
    for key, inner in items:
        out |= _flat(inner, f"{path}.{key}" if path else str(key))
    return out


def _words(path: str, document: Commission) -> tuple[str, str]:
    steps = path.split(".")
    suffix, unit = next(((s, u) for s, u in UNITS.items() if steps[-1].endswith(s)), ("", ""))
    if steps[0] == "items" and len(steps) > 2 and int(steps[1]) < len(document.items):
        item = document.items[int(steps[1])]
        if steps[2] == "sizes" and item.form in FORMS:
            for size in FORMS[item.form].sizes:
                if size.name == steps[3]:
                    return f"{item.name}, {size.label[0].lower()}{size.label[1:]}", size.unit
        if steps[2] == "adjustments":
            return f"{item.name}, change {int(steps[3]) + 1} of your own", ""
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


def _shown(value, unit: str) -> str:
    if value is None or value == "":
        return "not set"
    if isinstance(value, bool):
        return "yes" if value else "no"
    text = f"{value:g}" if isinstance(value, float) else str(value)
    return f"{text} {unit}".strip()


def _cost(document: Commission) -> str:
    kept = document.boards.kept_layout
    return f"at {kept['cost']} {document.rates.currency}" if kept else "none"
