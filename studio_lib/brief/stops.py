"""Stops: findings that keep the papers from which someone could build, until answered or accepted."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from studio_lib.finding import Finding, Verdict

HELD = ("cutting list", "drawings", "firm price")
"""Papers marked 'not to be made' while a stop stands."""

STOPPING = (
    "drying", "wind", "allergy", "end held by nothing", "pulled over", "climbed on", "hung on a door", "leant on a flap", "climbable rails", "fingers", "heads", "slats pushed apart",
    "durability", "held rigidly", "shut in", "anchor", "leave of others", "way in", "bending",
    "holes in the floor", "holes where none may be", "strength,", "buckling", "tipping", "load on its fixing", "mortises in one member", "shoulder",
)
"""How the name of a check begins that stops the job when it fails: someone could be hurt, or the piece cannot work."""

FORCES = ("pulled over", "tipping backwards")
"""Checks that a maker knows by the force it takes."""


@dataclass(frozen=True)
class Accepted:
    """A stop that someone answers for, knowing what it says. By role, never by name."""

    key: str
    role: str
    on: date
    reason: str
    utilisation: float | None = None
    """How far over it was when it was accepted; worse than that, it holds again."""
    condition: str = ""
    """Told to the client; empty for nothing."""
    figure: str = ""
    """What the check came to when it was accepted, in words: '60 N'."""

    @property
    def says(self) -> str:
        """Who accepted it when, and at what."""
        at = f" at {self.figure}" if self.figure else ""
        return f"Accepted{at} by the {self.role.strip().removeprefix('the ').removeprefix('The ')} on {self.on.isoformat()}: {self.reason}"

    def covers(self, finding: Finding) -> bool:
        """Whether it still answers for what was found: no worse than when it was accepted."""
        return self.utilisation is None or finding.utilisation is None or finding.utilisation <= 1.001 * self.utilisation

    def __post_init__(self):
        for field, words in (("key", "which stop"), ("role", "the role of who accepts it"), ("reason", "why")):
            if not str(getattr(self, field)).strip():
                raise ValueError(f"To accept a stop, say {words}.")
        if not isinstance(self.on, date):
            raise ValueError(f"The day it was accepted is {self.on!r}; give a date.")


@dataclass(frozen=True)
class Stop:
    """A finding that stops the job, and who accepted it if anyone did."""

    key: str
    finding: Finding
    accepted: Accepted | None = None
    lapsed: Accepted | None = None
    """An acceptance that does not answer for it any more: it has grown worse."""

    @property
    def holds(self) -> bool:
        """Whether it still keeps the papers back."""
        return self.accepted is None

    @property
    def says(self) -> str:
        words = f"{self.finding.subject}, {self.finding.what}: {self.finding.says.rstrip('.')}"
        if self.accepted is not None:
            return f"{words}. {self.accepted.says}"
        if self.lapsed is not None:
            words += f". It was accepted{f' at {self.lapsed.figure}' if self.lapsed.figure else ''} and is worse now, so it must be answered again"
        return f"{words}. {self.finding.mend}".strip()


def key_of(finding: Finding) -> str:
    """The stable name of what was checked, by which an acceptance finds its finding."""
    return ": ".join(part for part in (finding.what, finding.piece, finding.subject) if part)


def figure_of(finding: Finding) -> str:
    """What a check came to, by which an acceptance is told apart later: '60 N'; empty where it has no number."""
    asked, has = finding.demand, finding.capacity
    if has is None:
        return ""
    digits = 0 if abs(has) >= 20 else 1
    over = "" if asked is None or finding.what.startswith(FORCES) else f"{asked:.{digits}f} of "
    return f"{over}{has:.{digits}f} {finding.unit}".strip()


def is_stop(finding: Finding) -> bool:
    """Whether a finding stops the job: it fails, and its kind is one that stops."""
    return finding.verdict is Verdict.FAILS and finding.what.startswith(STOPPING)


def stops(findings: Iterable[Finding], accepted: Iterable[Accepted] = ()) -> tuple[Stop, ...]:
    """Every stop among the findings, those not accepted first.

    An acceptance whose stop has gone is left out; a stop that grew worse holds again.
    """
    by_key: dict[str, list[Accepted]] = {}
    for a in accepted:
        by_key.setdefault(a.key, []).append(a)
    found = []
    for f in findings:
        if is_stop(f):
            own = by_key.get(key_of(f), [])
            a = next((a for a in reversed(own) if a.covers(f)), None)
            found.append(Stop(key_of(f), f, a, own[-1] if own and a is None else None))
    return tuple(sorted(found, key=lambda s: not s.holds))


def papers_held(found: Iterable[Stop]) -> tuple[str, ...]:
    """Papers to mark 'not to be made': all of ``HELD`` while any stop holds, else none."""
    return HELD if any(s.holds for s in found) else ()
