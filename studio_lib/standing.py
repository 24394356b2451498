"""Where a commission stands, stage by stage: what is done, what is open, and what comes next."""

from __future__ import annotations

from dataclasses import dataclass

from studio_lib.derive import Derived
from studio_lib.finding import WORST_FIRST, Finding, Verdict
from studio_lib.questions import open_questions

STAGES = ("brief", "timber", "sizes", "joints", "look", "boards", "price", "record", "workshop")
"""In the order a job goes through them."""
COUNTED = {Verdict.FAILS: "will not do", Verdict.OPEN: "not known yet", Verdict.LOOK_AGAIN: "to look at again"}


@dataclass(frozen=True)
class Stood:
    """How one stage stands: a verdict, or None where there is nothing to judge, and a few words on it."""

    stage: str
    verdict: Verdict | None
    says: str = ""


def stages(d: Derived) -> tuple[Stood, ...]:
    """Every stage of a commission, in order."""
    c = d.commission
    if not c.items:
        return (Stood("brief", Verdict.OPEN, "no piece yet"), *(Stood(s, None) for s in STAGES[1:]))
    asked = sum(q.page == "brief" for q in open_questions(c))
    found = {
        "brief": _brief(asked, d.as_answered(d.brief_findings)),
        "timber": _of(d.as_answered(d.timber_findings)) if c.timber.species else (Verdict.OPEN, "none chosen yet"),
        "sizes": _of(d.as_answered(d.size_findings)),
        "joints": _of(d.as_answered(d.joint_findings)),
        "boards": _of(d.as_answered(d.board_findings)),
        "price": _quoted(c),
        "workshop": _done(c),
    }
    return tuple(Stood(s, *found.get(s, (None, ""))) for s in STAGES)


def next_step(d: Derived, at: str) -> tuple[str, str]:
    """The page to go to from the stage ``at``, and why: the stage after, the client's page after the last, unless piece or timber is still to be chosen."""
    if not d.commission.items:
        return "brief", "say what the piece is"
    if not d.commission.timber.species and at != "timber":
        return "timber", "none chosen yet"
    return ([*STAGES[1:], "client"][STAGES.index(at)] if at in STAGES else STAGES[0]), ""


def left_open(d: Derived, at: str) -> tuple[Stood, ...]:
    """The stages, but for ``at`` and the one it leads to, where something is not known yet or will not do."""
    away = (at, next_step(d, at)[0])
    return tuple(s for s in stages(d) if s.verdict in (Verdict.OPEN, Verdict.FAILS) and s.stage not in away)


def _of(found: tuple[Finding, ...]) -> tuple[Verdict, str]:
    """The worst of some findings, and how many are like it."""
    unique = set(found)
    for verdict in WORST_FIRST[:-1]:
        count = sum(f.verdict is verdict for f in unique)
        if count:
            return verdict, f"{count} {COUNTED[verdict]}"
    return Verdict.STANDS, "all checks stand"


def _brief(asked: int, found: tuple[Finding, ...]) -> tuple[Verdict, str]:
    """What will not do goes before what is not asked yet."""
    worst, says = _of(found)
    if not asked or worst is Verdict.FAILS:
        return worst, says
    return Verdict.OPEN, f"{asked} {'question' if asked == 1 else 'questions'} open"


def _quoted(c) -> tuple[Verdict | None, str]:
    quotes = [i for i in c.issued if i.kind == "quote"]
    return (Verdict.STANDS, f"quote {quotes[-1].number} went out") if quotes else (None, "")


def _done(c) -> tuple[Verdict | None, str]:
    return (None, f"{len(c.shop.done)} {'step' if len(c.shop.done) == 1 else 'steps'} done") if c.shop.done else (None, "")
