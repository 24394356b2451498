"""How hard a piece is used, and whether a timber's surface is hard enough for it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from studio_lib.timber.species import Species

SEATS = ("bench", "stool", "slatted stool")
TOPS = ("table", "slatted table", "cabinet", "chest")
DENTS_N, HARD_N = 3000.0, 5000.0
"""Side hardness (Janka) under which a seat or top soon shows every knock, and from which it hardly does; judgement of
ours, common practice, no source. [N]"""
TOO_SOFT_N = 4200.0
"""Under it a timber stands after the harder ones where a seat or top is used hard; judgement of ours. [N]"""
WEAR_WEIGHT = (0, 4, 6)
"""What hardness counts at the least in the ranking, by level of wear; judgement of ours."""


@dataclass(frozen=True)
class Wear:
    """What a surface has to bear: 0 nothing sits or stands on it, 1 it does, 2 it is used hard."""

    level: int = 0
    what: str = ""
    """'a seat that children climb on'."""
    whose: str = "this"
    """Which of several pieces bears it: 'the step stool'."""

    def mark(self, hardness_n: float | None) -> float:
        """0 at 3000 N or less, 1 from 5000 N; 0 while not known."""
        if hardness_n is None:
            return 0.0
        return min(max((hardness_n - DENTS_N) / (HARD_N - DENTS_N), 0.0), 1.0)

    def too_soft(self, species: Species) -> bool:
        """Whether it stands after the harder ones: used hard, and softer than 4200 N or nobody knows."""
        return self.level == 2 and (species.hardness_n or 0.0) < TOO_SOFT_N

    def says(self, species: Species) -> str:
        """Hardness in words for this use."""
        if species.hardness_n is None:
            return f"hardness not on file, and this is {self.what}"
        if self.too_soft(species):
            return (
                f"hardness {species.hardness_n:.0f} N (Janka): too soft for {self.what}, {TOO_SOFT_N:.0f} wanted; listed "
                "after the harder"
            )
        mark = self.mark(species.hardness_n)
        how = "hard enough" if mark >= 0.75 else "fair" if mark >= 0.4 else "soft"
        return f"hardness {species.hardness_n:.0f} N (Janka): {how} for {self.what}"


def wear_of_pieces(pieces: Iterable[tuple[str, str, bool]], public: bool, children: bool) -> Wear:
    """The hardest wear among pieces, and whose it is: (name, form, whether it is stood on) of each."""
    pieces = list(pieces)
    wear = wear_of({form for _, form, _ in pieces}, public, children)
    group = SEATS if any(form in SEATS for _, form, _ in pieces) else TOPS
    worn = [(name, step) for name, form, step in pieces if form in group]
    if worn and all(step for _, step in worn):
        wear = replace(wear, what=wear.what.replace("a seat", "a step").replace("climb on", "stand on"))
    return replace(wear, whose=f"the {', '.join(name for name, _ in worn)}") if worn and len(worn) < len(pieces) else wear


def wear_of(forms: Iterable[str], public: bool, children: bool) -> Wear:
    """The hardest wear among the pieces asked for."""
    seat, top = (any(f in group for f in forms) for group in (SEATS, TOPS))
    if not (seat or top):
        return Wear()
    what = "a seat" if seat else "a top"
    if public:
        return Wear(2, f"{what} in public use")
    if children:
        return Wear(2, f"{what} that children {'climb on' if seat else 'use'}")
    return Wear(1, what)
