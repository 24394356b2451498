"""Every formula, table, figure and default in use, with its source and how well it is known; read off the code itself."""

from __future__ import annotations

import ast
import csv
import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

HERE = Path(__file__).resolve().parent
PUBLISHED, NAMED, PRACTICE, MEMORY, JUDGEMENT, OURS = (
    "published", "a sheet, page or book named", "common practice, no source", "from memory", "judgement of ours",
    "ours to choose",
)
HOW_KNOWN = (PUBLISHED, NAMED, PRACTICE, MEMORY, JUDGEMENT, OURS)
"""From the best known to what is only a start. Where a thing has several sources the weakest counts."""
_NAMES_A_SOURCE = re.compile(
    r"\b(?:EN|ISO|BS|AS|NZS|DIN|NDS|ASTM|CEN/TR|PS|FPL|GTR|ANSUR|CITES|HSE|IEC|RFC|CIE|ICC|LOLER|AITC|TR)[\s-]?[\dA-Z]"
    r"|Wood Handbook|Eurocode|\bEq(?:s|n)?\.|\bTable[s]? \d|\bclause\b|\bSection \d|\bchapter \d|\bch\. \d|\bp\. ?\d|Handbook"
    r"|et al|\((?:19|20)\d\d\)|, (?:19|20)\d\d|Regulation \(EU\)|Research (?:Note|Paper)|Report|Standards\b"
)
_SAYS_HOW = re.compile(r"from memory|common practice|judgement", re.I)
_OURS = re.compile(r"\bours\b|\bown\b|^nothing|^brief$|geometry|the piece|table$|set your own|^[A-Z][^.;:]*\.$")
_FIGURE = re.compile(r"\d")
SPECIFIC = ("label_in_source",)
ONE_SURVEY = "ANSUR II (2012), percentiles of the public survey"
"""Of the one table that has no column for it."""


@dataclass(frozen=True)
class Entry:
    """One thing the workbook relies on."""

    part: str
    """Folder of the library: 'timber', 'structure'."""
    kind: str
    """'table', 'figure', 'formula', 'rule', 'proposal' or 'default'."""
    what: str
    value: str
    source: str
    known: str
    """One of ``HOW_KNOWN``."""


def how_known(words: str) -> str:
    """How well a thing is known, from what is said of its source: the weakest that is said counts."""
    low = words.lower()
    for known, mark in ((JUDGEMENT, "judgement"), (MEMORY, "from memory"), (PRACTICE, "common practice")):
        if mark in low:
            return known
    if _NAMES_A_SOURCE.search(words):
        return PUBLISHED
    return OURS if not words or _OURS.search(words) else NAMED


@lru_cache(maxsize=1)
def on_file() -> tuple[Entry, ...]:
    """Tables, figures, formulas and defaults, read off the files of the library."""
    out: list[Entry] = []
    for path in sorted(HERE.rglob("*.csv")):
        out += _of_table(path)
    for path in sorted(HERE.rglob("*.py")):
        if "migrations" not in path.parts:
            out += _of_module(path)
    return tuple(out + _defaults())


def of_commission(d) -> tuple[Entry, ...]:
    """Rules that judged this commission, and where its proposed sizes come from; ``d`` as ``derive`` gives it."""
    from studio_lib.forms import form

    rules = (
        Entry(f.stage or "piece", "rule", f"{f.what}: {f.rule}" if f.rule else f.what, "", f.source, how_known(f.source))
        for f in d.findings if f.source
    )
    sizes = (
        Entry("forms", "proposal", f"{m.item.form}: {size.label.lower()}", p.why, p.source, how_known(p.source))
        for m in d.made for size in form(m.item.form).sizes
        if (p := m.proposals.get(size.name)) is not None
    )
    return tuple(dict.fromkeys((*rules, *sizes)))


def found(entries: Iterable[Entry], words: str = "", kind: str = "", known: str = "") -> list[Entry]:
    """Entries that hold every one of some words; of one kind and known in one way where those are given."""
    wanted = words.lower().split()
    return [
        e for e in entries
        if kind in ("", e.kind) and known in ("", e.known)
        and all(word in f"{e.part} {e.what} {e.value} {e.source}".lower() for word in wanted)
    ]


def counted(entries: Iterable[Entry]) -> dict[str, int]:
    """How many are known how well, in the order of ``HOW_KNOWN``."""
    entries = list(entries)
    return {known: sum(e.known == known for e in entries) for known in HOW_KNOWN}


# ---------------------------------------------------------------- tables


def _of_table(path: Path) -> list[Entry]:
    """A table as one entry for each source that its rows name."""
    with path.open(newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    columns = list(rows[0])
    name = next(c for c in columns if c not in SPECIFIC)
    by_source: dict[str, list[str]] = {}
    for row in rows:
        by_source.setdefault(" ".join(row.get("source", ONE_SURVEY).split()), []).append(row[name])
    return [
        Entry(path.parent.name, "table", f"{path.stem.replace('_', ' ')}: {_listed(names)}",
              f"{len(names)} {'row' if len(names) == 1 else 'rows'}", source, how_known(source))
        for source, names in by_source.items()
    ]


def _listed(names: list[str], most: int = 4) -> str:
    unique = list(dict.fromkeys(names))
    more = f" and {len(unique) - most} more" if len(unique) > most else ""
    return ", ".join(unique[:most]) + more


# ---------------------------------------------------------------- code


def _of_module(path: Path) -> list[Entry]:
    """Named figures and formulas of a module whose words say where they come from."""
    tree = ast.parse(path.read_text("utf-8"))
    part = path.relative_to(HERE).parts[0].removesuffix(".py")
    out = []
    for node, after in zip(tree.body, [*tree.body[1:], None], strict=True):
        if isinstance(node, ast.Assign | ast.AnnAssign):
            out += _figure(node, after, part, path.stem)
        elif isinstance(node, ast.FunctionDef | ast.ClassDef):
            out += _formula(node, part, path.stem)
            if isinstance(node, ast.ClassDef):
                for inner in node.body:
                    if isinstance(inner, ast.FunctionDef):
                        out += _formula(inner, part, node.name)
    return out


def _words(node) -> str:
    is_words = isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant) and isinstance(node.value.value, str)
    return " ".join(node.value.value.split()) if is_words else ""


def _figure(node, after, part: str, module: str) -> list[Entry]:
    words = _words(after)
    target = node.targets[0] if isinstance(node, ast.Assign) else node.target
    if not words or not isinstance(target, ast.Name) or node.value is None or not _says_where(words):
        return []
    value = ast.unparse(node.value)
    if not _FIGURE.search(value):
        return []
    value = value if len(value) <= 60 else value[:57] + "..."
    return [Entry(part, "figure", f"{module}: {_spaced(target.id)}", value, words, how_known(words))]


def _formula(node, part: str, module: str) -> list[Entry]:
    words = ast.get_docstring(node) or ""
    said = [" ".join(s.split()) for s in re.split(r"(?<=[.;])\s+(?=[A-Z\"`(])", words) if _says_where(s)]
    if not said:
        return []
    first = " ".join(words.split("\n\n")[0].split())
    source = " ".join(said)
    return [Entry(part, "formula", f"{module}: {_spaced(node.name)}", "" if first in source else first, source, how_known(source))]


def _says_where(words: str) -> bool:
    return bool(_SAYS_HOW.search(words) or _NAMES_A_SOURCE.search(words))


def _spaced(name: str) -> str:
    return name.strip("_").replace("_", " ").lower()


# ---------------------------------------------------------------- defaults of the document


def _defaults() -> list[Entry]:
    """What a new commission begins with: ours to choose, the maker's to change."""
    from studio_lib.commission import BoardChoices, Brief, Rates, Shop

    out = []
    for part, model in (("costing", Rates), ("stock", BoardChoices), ("brief", Brief), ("shop", Shop)):
        notes = _field_words(model.__name__)
        for name, field in model.model_fields.items():
            value = field.default
            if isinstance(value, bool) or not isinstance(value, int | float | str) and not hasattr(value, "quantize"):
                continue
            if value in ("", 0) or not _FIGURE.search(str(value)):
                continue
            words = notes.get(name, "")
            out.append(Entry(part, "default", _spaced(name), str(value), words or "a start; set your own",
                             how_known(words) if _says_where(words) else OURS))
    return out


def _field_words(model: str) -> dict[str, str]:
    tree = ast.parse((HERE / "commission.py").read_text("utf-8"))
    body = next(n for n in tree.body if isinstance(n, ast.ClassDef) and n.name == model).body
    return {
        node.target.id: _words(after) for node, after in zip(body, [*body[1:], None], strict=True)
        if isinstance(node, ast.AnnAssign) and _words(after)
    }
