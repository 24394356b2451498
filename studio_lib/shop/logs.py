"""The logs kept at the bench: what is open, and what in them speaks against the table of a glue or a finish."""

from __future__ import annotations

from collections.abc import Iterable

from studio_lib.commission import LogEntry
from studio_lib.finding import Finding, Verdict
from studio_lib.finishing import adhesives, finishes

KINDS = ("glue-up", "finish", "sample", "inspection", "snag")
CLOSES = ("sample", "inspection", "snag")
"""Kinds that stay open until someone closes them."""
CLOSED_WORDS = {"sample": "signed off", "inspection": "passed", "snag": "put right"}


def still_open(log: Iterable[LogEntry]) -> tuple[LogEntry, ...]:
    """Samples not signed off, inspections not passed, snags not put right; the oldest first."""
    return tuple(sorted((e for e in log if e.kind in CLOSES and e.closed_on is None), key=lambda e: e.day))


def material(entry: LogEntry) -> str:
    """Glue or finish and its warmth: 'epoxy, two-part, 18 \u00b0C'; empty where neither was noted."""
    warmth = f"{entry.temperature_c:g} \u00b0C" if entry.temperature_c is not None else ""
    return ", ".join(filter(None, [entry.family, warmth]))


def says(entry: LogEntry) -> str:
    """One entry as a line of a list."""
    extra = material(entry)
    state = (
        "" if entry.kind not in CLOSES
        else f"; {CLOSED_WORDS[entry.kind]} {entry.closed_on.isoformat()}" if entry.closed_on else "; open"
    )
    return f"{entry.what}{f' ({extra})' if extra else ''}, {entry.who}{state}"


def log_findings(log: Iterable[LogEntry]) -> tuple[Finding, ...]:
    """What the logs say against the tables of glues and finishes. Nothing logged, nothing found.

    A glue-up colder than its family allows fails; a coat put on sooner than the family's least time, or before
    a sample was signed off where one was shown, is to be looked at again.
    """
    log = sorted(log, key=lambda e: e.day)
    glues, finish_on_file = {a.family: a for a in adhesives()}, {f.family: f for f in finishes()}
    found = []
    coats = [e for e in log if e.kind == "finish"]
    for e in log:
        glue = glues.get(e.family)
        if e.kind == "glue-up" and glue and e.temperature_c is not None:
            cold = e.temperature_c < glue.least_temperature_c
            found.append(Finding(
                f"glue-up of {e.day.isoformat()}", "warmth", Verdict.FAILS if cold else Verdict.STANDS,
                f"{e.temperature_c:g} \u00b0C; {e.family} wants {glue.least_temperature_c:g} \u00b0C or more",
                glue.least_temperature_c, e.temperature_c, "\u00b0C", "air, wood and glue as warm as the family asks", glue.source,
                "Do not trust the joint: test it, or take it apart and glue it warm." if cold else "", "workshop",
            ))
    for before, after in zip(coats, coats[1:]):
        family = finish_on_file.get(after.family)
        if family is None or family.recoat_h_low is None:
            continue
        gap_h = 24 * (after.day - before.day).days
        if gap_h < family.recoat_h_low and family.recoat_h_low >= 12:
            found.append(Finding(
                f"coat of {after.day.isoformat()}", "time between coats", Verdict.LOOK_AGAIN,
                f"{gap_h} h by the calendar after the coat before; {family.family} wants {family.recoat_h_low:g} h "
                "or more",
                family.recoat_h_low, float(gap_h), "h", "each coat dry before the next", family.source,
                "Let it harden longer before it is handled.", "workshop",
            ))
    unsigned = [e for e in log if e.kind == "sample" and e.closed_on is None]
    if coats and unsigned:
        found.append(Finding(
            "finish", "sample signed off", Verdict.LOOK_AGAIN, "a coat is on and the sample is not signed off",
            rule="the client signs the sample first", source="common practice, no source",
            mend="Have the sample signed off before the next coat.", stage="workshop",
        ))
    return tuple(found)
