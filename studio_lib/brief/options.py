"""Up to four options side by side: one row a question, one cell an option, in words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from studio_lib.finding import Verdict
from studio_lib.units import overall

MOST = 4
CANNOT = "cannot be made as it stands"


@dataclass(frozen=True)
class Row:
    """One thing compared."""

    label: str
    cells: tuple[str, ...]

    @property
    def differs(self) -> bool:
        return len(set(self.cells)) > 1


def compare(options: Sequence[tuple[str, object]]) -> tuple[Row, ...]:
    """Rows that compare options, each (name, what ``derive`` gave).

    An option that cannot be laid out says why in the row of sizes. Raises ValueError for none, for more than four, or for
    two of one name.
    """
    if not 1 <= len(options) <= MOST:
        raise ValueError(f"{len(options)} options; give 1 to {MOST}. Put the least likely aside first.")
    names = [name for name, _ in options]
    twice = sorted({n for n in names if names.count(n) > 1})
    if twice:
        raise ValueError(f"Two options are called {', '.join(twice)}; give each its own name.")
    rows = [Row("option", tuple(names))]
    for label, cell in CELLS:
        rows.append(Row(label, tuple(_said(cell, d) for _, d in options)))
    return tuple(rows)


def _said(cell, d) -> str:
    try:
        return cell(d)
    except (ValueError, LookupError):
        return CANNOT


def _size(d) -> str:
    try:
        pieces = d.pieces
    except (ValueError, LookupError) as refused:
        return f"{CANNOT}: {refused.args[0]}"
    return "; ".join(f"{p.name} {overall(*p.overall_mm)} mm" for p in pieces) or "no piece"


def _weight(d) -> str:
    weights = d.weights_kg
    return "; ".join(f"{name} {kg:.0f} kg" for name, kg in weights.items()) or "no timber chosen"


def _timber(d) -> str:
    s = d.species
    return f"{s.name}: {s.tone}, {s.figure}" if s else "none chosen"


def _look(d) -> str:
    from studio_lib.look.scenes import greying_words

    b = d.commission.brief
    indoors = "light turns it to its aged colour" if b.finish == "left bare" else "keeps near its colour while cared for"
    return f"{b.finish}; {greying_words(d) or indoors}"


def _joints(d) -> str:
    kinds: dict[str, int] = {}
    for p in d.pieces:
        for j in p.joints:
            kinds[j.kind] = kinds.get(j.kind, 0) + 1
    return ", ".join(f"{n} {kind}" for kind, n in kinds.items()) or "none"


def _no_boards(d) -> str:
    if not d.commission.boards.offered:
        return "no boards seen yet"
    return "the boards seen do not hold it" if d.layout.missing else ""


def _price(d) -> str:
    if why := _no_boards(d):
        return why
    p = d.price
    return f"{p.net_at(10):.0f} to {p.net_at(90):.0f} {p.currency} before tax, {p.net_at(50):.0f} likely"


def _hours(d) -> str:
    if why := _no_boards(d):
        return why
    p = d.price
    return f"{p.hours_at(50):.0f} likely, {p.hours_at(80):.0f} to be safe"


def _movement(d) -> str:
    if d.species is None:
        return "no timber chosen"
    return "; ".join(
        f"{name}: gaps {wet:.1f} to {dry:.1f} mm over the year" for name, (wet, _, dry) in d.slat_gaps.items()
    ) or "nothing that moves is laid out"


def _life(d) -> str:
    return f"{d.timber_findings[0].verdict.value}: {d.timber_findings[0].says.rstrip('.')}"


def _findings(d) -> str:
    found = d.findings
    counts = ((v, sum(f.verdict is v for f in found)) for v in Verdict)
    return ", ".join(f"{n} {v.value}" for v, n in counts if n)


def _worst(d) -> str:
    first = next((f for f in d.findings if not f.stands), None)
    return f"{first.subject}, {first.what}: {first.says}" if first else "nothing"


CELLS = (
    ("size", _size), ("weight", _weight), ("timber", _timber), ("look", _look), ("joints", _joints),
    ("price", _price), ("hours", _hours), ("movement", _movement), ("life", _life), ("checks", _findings),
    ("worst of them", _worst),
)
