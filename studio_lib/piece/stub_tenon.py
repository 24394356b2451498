"""Stub tenon: a short tenon that only keeps a slat in its place; the frame does the work."""

from __future__ import annotations

from dataclasses import dataclass

from studio_lib.finding import Finding, Verdict
from studio_lib.piece.model import Member, Piece
from studio_lib.piece.mortise_tenon import (
    MORTISE_DEEPER_MM,
    MortiseTenon,
    meeting_end,
    proportioned,
    stopped_room_mm,
)

STUB_MM = 12.0
LEAST_MM = 8.0
PRACTICE = "common practice, no source"


@dataclass(frozen=True)
class StubTenon(MortiseTenon):
    """A mortise and tenon of 8 to 20 mm, wherever the rail is far deeper than a slat needs."""

    kind = "stub tenon"
    changeable = {n: w for n, w in MortiseTenon.changeable.items() if n in ("thickness_mm", "width_mm", "length_mm")}

    @classmethod
    def between(cls, first: Member, second: Member, family: str = "", own: dict[str, float] | None = None) -> StubTenon:
        end = meeting_end(first, second)
        room = min(STUB_MM + MORTISE_DEEPER_MM, stopped_room_mm(first, end, second))
        return proportioned(family or f"{first.role} into {second.role}", first, end, second, room_mm=room, changed=own, kind=cls)

    def findings(self, piece: Piece) -> list[Finding]:
        rail, post = piece.member(self.first), piece.member(self.second)
        short = self.length_mm < LEAST_MM
        # A screen has hundreds: what stands is said once, by its length.
        found = [f for f in super().findings(piece) if f.what != "tenon length" and not f.stands]
        return [*found, Finding(
            f"{rail.name} into {post.name}", "stub tenon length", Verdict.LOOK_AGAIN if short else Verdict.STANDS,
            f"{self.length_mm:.0f} mm, {LEAST_MM:.0f} mm or more so that it stays in as timber dries", LEAST_MM, max(self.length_mm, 0.01), "mm",
            f"a stub tenon goes in {LEAST_MM:.0f} mm or more", PRACTICE, "A deeper rail, or a longer tenon." if short else "",
            "joints", (rail.ref, post.ref),
        )]

    def _named(self) -> str:
        return "stub tenon"
