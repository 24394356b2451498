"""Bridle joints: a tongue in an open fork, at a corner or where one member runs on."""

from __future__ import annotations

from dataclasses import dataclass

from studio_lib.finding import Finding, Verdict
from studio_lib.piece.holding import Holds, Strengths, Tongue, tongue_holds
from studio_lib.piece.lapping import Lap, Lapped, Layer, ending, lapped
from studio_lib.piece.model import Member, Operation, Piece, Vec
from studio_lib.piece.mortise_tenon import cross
from studio_lib.units import mm, tenths

THIRDS = "Fairham, Woodwork Joints, 1921: a bridle is divided in thirds"
LEAST_TONGUE_MM = 4.0
"""Of a tongue and of each cheek of the fork; common practice, no source."""


@dataclass(frozen=True)
class TeeBridle(Lapped):
    """The end of ``first`` is forked and straddles ``second``, which keeps a tongue in its middle."""

    kind = "tee bridle"
    changeable = {"tongue_mm": "Thickness of the tongue, mm"}
    corner = False

    tongue_mm: float = 0.0

    @classmethod
    def between(cls, first: Member, second: Member, family: str = "", own: dict[str, float] | None = None) -> TeeBridle:
        lap = ending(cls.kind, first, second, cls.corner)
        whole = lap.high - lap.low
        tongue = (own or {}).get("tongue_mm", round(whole / 3, 1))
        most = whole - 2 * LEAST_TONGUE_MM
        if most < LEAST_TONGUE_MM or not LEAST_TONGUE_MM <= tongue <= most:
            raise ValueError(
                f"{first.name} ({first.ref}) and {second.name} ({second.ref}): a tongue of {tongue:g} mm in "
                f"{whole:.1f} mm of "
                f"common thickness; " + (f"give {LEAST_TONGUE_MM:g} to {most:.1f} mm." if most >= LEAST_TONGUE_MM else
                                         f"a bridle needs {3 * LEAST_TONGUE_MM:g} mm or more.")
            )
        return cls(family or f"{first.role} onto {second.role}", first.ref, second.ref, tongue)

    @property
    def _tongue_of(self) -> int:
        """0 where the first member has the tongue, 1 where the second has."""
        return 1

    def layers(self, lap: Lap) -> tuple[Layer, ...]:
        cheek = (lap.high - lap.low - self.tongue_mm) / 2
        if cheek <= 0:
            raise ValueError(
                f"{self.family}: a tongue of {self.tongue_mm:g} mm does not fit {lap.high - lap.low:.1f} mm of common "
                "thickness; "
                f"give {(lap.high - lap.low) / 3:.1f} mm."
            )
        inner, outer = self._tongue_of, 1 - self._tongue_of
        return (
            (lap.low, lap.low + cheek, outer), (lap.low + cheek, lap.high - cheek, inner),
            (lap.high - cheek, lap.high, outer),
        )

    def entry(self, piece: Piece) -> Vec | None:
        lap = self.lap(piece)
        sign = -1.0 if (lap.stops_at(0) or lap.ends_there(0)) == "start" else 1.0
        return tuple(sign * c + 0.0 for c in lap.along[0])

    def stiff_shares(self, piece: Piece) -> tuple[float, float, float]:
        lap = self.lap(piece)
        slim = min((lap.high - lap.low) / max(lap.size_mm(1), 1.0), 1.0)
        return slim * slim, slim, 1.0

    def holds(self, piece: Piece, first: Strengths, second: Strengths) -> Holds | None:
        lap = self.lap(piece)
        sign = 1.0 if (lap.stops_at(0) or lap.ends_there(0)) == "start" else -1.0
        out = tuple(sign * c for c in lap.along[0])
        across = cross(lap.normal, lap.along[0])
        thick = lap.high - lap.low
        # A fork of two cheeks works as two tongues of half what is left; a tongue as itself.
        thin, count = (self.tongue_mm, 1.0) if self._tongue_of == 0 else ((thick - self.tongue_mm) / 2, 2.0)
        tongue = Tongue(lap.size_mm(1), thin, lap.size_mm(0), faces=2.0 / count, face=(lap.size_mm(1), thick), count=count)
        return tongue_holds(out, across, tongue, first, second)

    def glued_area_mm2(self, piece: Piece) -> float:
        lap = self.lap(piece)
        return 2 * lap.size_mm(0) * lap.size_mm(1)

    def findings(self, piece: Piece) -> list[Finding]:
        a, b = piece.member(self.first), piece.member(self.second)
        lap = self.lap(piece)
        third = (lap.high - lap.low) / 3
        stands = 0.75 * third <= self.tongue_mm <= 1.25 * third
        return [
            Finding(
                f"{a.name} onto {b.name}", "thickness of the tongue", Verdict.STANDS if stands else Verdict.LOOK_AGAIN,
                f"{self.tongue_mm:.1f} mm of {3 * third:.1f} mm, a third is {third:.1f} mm", self.tongue_mm, third, "mm",
                "thirds, within a quarter of one", THIRDS, "" if stands else f"Make the tongue {third:.1f} mm thick.",
                "joints", (a.ref, b.ref),
            )
        ]

    def operations(self, piece: Piece) -> list[Operation]:
        return [Operation("bridle joint", 1, "joint", f"{self.family}|{self.tongue_mm:g}")]

    def setting_out(self, piece: Piece) -> dict[str, str]:
        lap = self.lap(piece)
        a, b = piece.member(self.first), piece.member(self.second)
        tongue, fork = ((b, a), (a, b))[self._tongue_of == 0]
        cheek = (lap.high - lap.low - self.tongue_mm) / 2
        return {
            f"{tongue.role}: tongue": f"{tenths(self.tongue_mm)} thick, cheeks {tenths(cheek)} deep, "
            f"{tenths(lap.size_mm(1 if tongue is b else 0))} long",
            f"{fork.role}: slot": f"{tenths(self.tongue_mm)} wide x {tenths(lap.size_mm(0 if fork is a else 1))} deep",
        }

    def ends(self, piece: Piece) -> dict[str, dict[str, str]]:
        lap = self.lap(piece)
        end = lap.stops_at(0) or lap.ends_there(0)
        what = "tongue" if self._tongue_of == 0 else "fork"
        return {self.first: {end: f"{what} {mm(lap.size_mm(0))}"}} if end else {}


@dataclass(frozen=True)
class CornerBridle(TeeBridle):
    """A tongue on the end of ``first`` in an open fork at the end of ``second``."""

    kind = "corner bridle"
    corner = True

    @property
    def _tongue_of(self) -> int:
        return 0

    def ends(self, piece: Piece) -> dict[str, dict[str, str]]:
        lap = lapped(piece.member(self.first), piece.member(self.second))
        return super().ends(piece) | {self.second: {lap.ends_there(1) or "end": f"fork {mm(lap.size_mm(1))}"}}
