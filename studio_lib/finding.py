"""The outcome of one check: what was asked, what the piece can give, and on whose word."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum


class Verdict(StrEnum):
    """How a check stands, in the order a maker would worry about it."""

    STANDS = "stands"
    LOOK_AGAIN = "look again"
    FAILS = "will not do"
    OPEN = "not known yet"


WORST_FIRST = (Verdict.FAILS, Verdict.OPEN, Verdict.LOOK_AGAIN, Verdict.STANDS)


@dataclass(frozen=True)
class Finding:
    """One thing checked.

    ``demand`` and ``capacity`` share ``unit``; utilisation is their ratio. A check
    that has no number (a rule kept or broken) leaves them ``None``.
    """

    subject: str
    """Member, joint or piece, by the name a maker would use."""
    what: str
    """What was checked: 'sag', 'tenon thickness', 'durability'."""
    verdict: Verdict
    says: str
    """One sentence for the maker."""
    demand: float | None = None
    capacity: float | None = None
    unit: str = ""
    rule: str = ""
    source: str = ""
    mend: str = ""
    """What to change if it does not stand; empty when it does."""
    stage: str = ""
    """timber, sizes, joints, boards or price: the page that shows it."""
    refs: tuple[str, ...] = field(default=())
    """Members concerned, by reference."""
    piece: str = ""
    """Name of the piece concerned; empty for the whole commission."""
    only_where: str = ""
    """Where alone it stands, as the client must be told; empty where it stands anywhere."""

    @property
    def utilisation(self) -> float | None:
        """Demand over capacity, or None where the check has no number."""
        if self.demand is None or not self.capacity:
            return None
        return self.demand / self.capacity

    @property
    def stands(self) -> bool:
        return self.verdict is Verdict.STANDS

    def of(self, piece: str) -> Finding:
        """The same as a finding of a piece; ``replace`` would go through every field anew, and there are hundreds of them."""
        marked = object.__new__(Finding)
        marked.__dict__.update(self.__dict__, piece=piece)
        return marked


def from_ratio(
    subject: str,
    what: str,
    demand: float,
    capacity: float,
    unit: str,
    *,
    rule: str,
    source: str,
    mend: str,
    stage: str,
    refs: tuple[str, ...] = (),
    look_again_from: float = 0.9,
    says: str = "",
) -> Finding:
    """A finding from a demand and a capacity: fails over 1, 'look again' when close to it."""
    ratio = demand / capacity if capacity else float("inf")
    if ratio > 1:
        verdict = Verdict.FAILS
    elif ratio > look_again_from:
        verdict = Verdict.LOOK_AGAIN
    else:
        verdict = Verdict.STANDS
    digits = 1 if max(abs(demand), abs(capacity)) < 100 else 0
    if ratio > 1 and f"{demand:.{digits}f}" == f"{capacity:.{digits}f}":
        digits += 1  # '2.9 of 2.9' would not do without saying why
    asked = f"{demand:.{digits}f} mm" if unit == "mm" else f"{demand:.{digits}f}"
    says = says or f"{asked} of {capacity:.{digits}f} {unit}"
    return Finding(
        subject, what, verdict, says, demand, capacity, unit, rule, source,
        "" if verdict is Verdict.STANDS else mend, stage, refs,
    )


def worst(findings) -> Verdict:
    """The verdict that decides; STANDS when there is nothing to decide."""
    found = {f.verdict for f in findings}
    return next((v for v in WORST_FIRST if v in found), Verdict.STANDS)


def worst_first(findings) -> list[Finding]:
    """Findings ordered by verdict, then by utilisation, so that the one that decides leads."""
    return sorted(
        findings, key=lambda f: (WORST_FIRST.index(f.verdict), -(f.utilisation or 0.0))
    )
