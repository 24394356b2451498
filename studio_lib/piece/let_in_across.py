"""Let in across: a thin bar across the backs of slats that run on whole, let in flush, bar and slat notched over each other."""

from __future__ import annotations

from dataclasses import dataclass, replace

from studio_lib.finding import Finding, Verdict
from studio_lib.piece.halving import Halving, crossing, reach_mm
from studio_lib.piece.lapping import Lap
from studio_lib.piece.model import Member, Operation, Piece
from studio_lib.units import tenths

USUAL_SHARE = 0.75
"""Part of the bar's thickness that the slat is notched by: the bar is the thinner of the two and keeps more of itself; a judgement of ours."""
MOST_OF_SLAT = 0.5
"""A slat is notched by no more than this part of its thickness."""
MOST = "a slat gives up half its thickness at the most, as in a halving: Fairham, Woodwork Joints, 1921"
LEAST_LEFT_MM = 3.0
"""Timber left in slat and bar where they cross; common practice, no source."""
FLUSH_MM = 0.05


@dataclass(frozen=True)
class LetInAcross(Halving):
    """``first``, a bar, lies in the back of ``second``, a slat; both run on. The bar keeps its back, the slat its front."""

    kind = "let in across"
    changeable = {"share": "Part of the crossing cut from the slat, 0 to 1"}

    share: float = USUAL_SHARE

    @classmethod
    def between(cls, first: Member, second: Member, family: str = "", own: dict[str, float] | None = None) -> LetInAcross:
        lap = _from_the_back(first, second)
        share = min(USUAL_SHARE, MOST_OF_SLAT * lap.sizes[1] / (lap.high - lap.low))
        made = cls(family or f"{first.role} into {second.role}", first.ref, second.ref, **{"share": round(max(share, 0.2), 4), **(own or {})})
        for member, size, cut in zip((first, second), lap.sizes, made._cut_mm(lap)):
            if size - cut < LEAST_LEFT_MM:
                raise ValueError(
                    f"{made.family}: {cut:.1f} mm cut out of {member.name} leave {max(size - cut, 0):.1f} mm of {size:g} mm; "
                    f"{LEAST_LEFT_MM:g} mm are needed. A thinner bar, thicker slats, or another part cut from the slat."
                )
        return made

    def lap(self, piece: Piece) -> Lap:
        return _from_the_back(piece.member(self.first), piece.member(self.second))

    def _cut_mm(self, lap: Lap) -> tuple[float, float]:
        whole = lap.high - lap.low
        return (1 - self.share) * whole, self.share * whole

    def findings(self, piece: Piece) -> list[Finding]:
        bar, slat = piece.member(self.first), piece.member(self.second)
        cut, thick = self.depths_mm(piece)[1], self.lap(piece).sizes[1]
        shallow = cut <= MOST_OF_SLAT * thick + 0.05
        return [Finding(
            f"{bar.name} across {slat.name}", "depth cut from the slat", Verdict.STANDS if shallow else Verdict.LOOK_AGAIN,
            f"{cut:.1f} mm of {thick:g} mm", cut, MOST_OF_SLAT * thick, "mm", "half of a slat at the most", MOST,
            "" if shallow else "A thinner bar, thicker slats, or more of the crossing cut from the bar.", "joints", (bar.ref, slat.ref),
        )]

    def operations(self, piece: Piece) -> list[Operation]:
        return [Operation(self.kind, 1, "crossing", self.family)]

    def setting_out(self, piece: Piece) -> dict[str, str]:
        lap, (bar, slat) = self.lap(piece), self.depths_mm(piece)
        return {
            "slat: notch": f"{tenths(lap.size_mm(1))} wide x {tenths(slat)} deep, across its back",
            "bar: notch": f"{tenths(lap.size_mm(0))} wide x {tenths(bar)} deep, in its front",
        }


def _from_the_back(bar: Member, slat: Member) -> Lap:
    """How a bar lies across a slat, the normal towards the side on which the bar comes up to the slat's surface or stands over it.

    Raises ValueError, in words, where it lies inside the slat or stands out on both sides.
    """
    lap = crossing(bar, slat)
    (b0, b1), (s0, s1) = (reach_mm(m, lap.normal) for m in (bar, slat))
    if b1 >= s1 - FLUSH_MM and b0 >= s0 - FLUSH_MM:
        return lap
    if b0 <= s0 + FLUSH_MM and b1 <= s1 + FLUSH_MM:
        return replace(lap, normal=tuple(-c + 0.0 for c in lap.normal), low=-lap.high, high=-lap.low)
    raise ValueError(
        f"{bar.name} ({bar.ref}) does not come up to the back of {slat.name} ({slat.ref}), or stands out on both its sides, so it cannot be let "
        "in across it. Bring the bar flush with the slat's back."
    )

