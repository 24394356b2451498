"""What somebody there is allergic to, and in which finishes, glues, timbers and metals it is found."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from studio_lib.finding import Finding, Verdict
from studio_lib.finishing.tables import records

ASK = "A doctor knows how far it goes, and the data sheet of the very product says what is in it: ask for both before you buy"
PLATED = (
    "nickel plate gives off some 100 micrograms a square centimetre in a week, and 96 of 100 who bear nickel badly felt it: hinges, catches, locks and "
    "pulls of metal that are bright are often nickel plated"
)
PLATED_SOURCE = "nickel release from plated metals and stainless steels, Contact Dermatitis 1994 and 1998, abstracts"
VERDICTS = {"yes": Verdict.FAILS, "may": Verdict.LOOK_AGAIN, "bound": Verdict.STANDS, "no": Verdict.STANDS}


@dataclass(frozen=True)
class Held:
    """Where one allergen is found: a row of ``allergens.csv``."""

    allergen: str
    found: str
    """'yes'; 'may', as the product is made; 'bound', there and not given off; 'no'."""
    says: str
    instead: str
    source: str


@cache
def allergens() -> tuple[str, ...]:
    """What someone may be allergic to, as the brief names it, of those on file."""
    return tuple(dict.fromkeys(name for name, _ in _held()))


@cache
def _held() -> dict[tuple[str, str], Held]:
    from studio_lib.finishing.tables import rows

    return {(row["allergen"], row["in"]): held for row, held in zip(rows("allergens"), records("allergens", Held))}


def held_in(product: str, allergies: tuple[str, ...]) -> tuple[Held, ...]:
    """What of some allergens a finish, a glue, a metal or a genus of timber holds or may hold; () where nothing is on file."""
    return tuple(held for a in allergies if (held := _held().get((a, product))))


def against(product: str, allergies: tuple[str, ...]) -> tuple[list[str], list[str], list[str]]:
    """Of a finish or a glue: why it fails, why it is looked at again, and what to take instead."""
    fails, again, mends = [], [], []
    for held in held_in(product, allergies):
        (fails if held.found == "yes" else again).append(f"{held.allergen}, which someone is allergic to: {held.says}")
        mends.append(f"take {held.instead}")
    return fails, again, mends


def allergy_findings(allergies: tuple[str, ...], used: dict[str, str], bright: tuple[str, ...] = ()) -> tuple[Finding, ...]:
    """What is used and holds what someone is allergic to, the worst as a stop.

    Parameters
    ----------
    allergies : tuple of str
        Of ``allergens()``.
    used : {what is used: its name in the table}
        Finish, glue and metal by their own names; a timber's name with its genus.
    bright : tuple of str
        What is bought of metal and touched, such as 'hinges', in words.
    """
    found = []
    for name, product in used.items():
        for held in held_in(product, allergies):
            verdict = VERDICTS[held.found]
            found.append(Finding(
                f"{name} and {held.allergen}", "allergy", verdict, f"someone there is allergic to {held.allergen}: {held.says}",
                rule="nothing that is touched holds what someone there is allergic to", source=held.source, stage="timber",
                mend="" if verdict is Verdict.STANDS else f"Take {held.instead}. {ASK}.",
            ))
    if "nickel" in allergies and bright:
        found.append(Finding(
            f"{' and '.join(bright)} and nickel", "allergy", Verdict.LOOK_AGAIN, f"someone there is allergic to nickel: {PLATED}",
            rule="nothing that is touched holds what someone there is allergic to", source=PLATED_SOURCE, stage="timber",
            mend=f"Buy {' and '.join(bright)} of solid brass without plating, or of stainless steel 304 or 316, and ask the seller in writing. {ASK}.",
        ))
    return tuple(found)


def promised(allergies: tuple[str, ...]) -> str:
    """What the papers say of it to the client, a sentence; '' where nobody is allergic to anything on file."""
    if not allergies:
        return ""
    *first, last = allergies
    names = f"{', '.join(first)} and {last}" if first else last
    return (f"You told me of an allergy to {names}: I choose finish, glue and fittings by the data sheets of their makers with that in mind, and show you "
            "those sheets before I buy. What a body bears is for a doctor to say, and a sample to try tells more than a sheet.")
