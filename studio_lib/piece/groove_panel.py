"""Groove and panel: the edge of a panel, never glued, free to move in a groove of its frame."""

from __future__ import annotations

from dataclasses import dataclass, replace

from studio_lib.finding import Finding, Verdict
from studio_lib.piece.holding import Holds, Strengths, back, least, shear_n
from studio_lib.piece.meeting import given, named, seen_from
from studio_lib.piece.model import Block, Box, Joint, Member, Operation, Piece, Season, Vec
from studio_lib.timber.provisions import panel_in_groove
from studio_lib.units import mm, tenths

NOYES = "C. Noyes, Handwork in Wood, 1910: about as deep as wide; a panel is never glued"
GAP_MM = 3.0
"""Left at the bottom of each groove; workshop books: about 3 mm a side, else the movement worked out."""
HOLD_MM = 3.0
"""What must stay in the groove at the driest; common practice, no source."""
WALL_MM = 3.0
PRACTICE = "common practice, no source"
OVER_MM = 1.0
"""How far a cut begins outside the timber, so that no skin is left."""


@dataclass(frozen=True)
class GroovePanel(Joint):
    """An edge of the panel ``first`` stands in a groove of ``second``; the two blocks overlap by the tongue."""

    kind = "groove and panel"
    turns = True
    lies = "edge"
    unglued = True
    changeable = {"past_mm": "Groove goes on past the panel's far edge, mm", "gap_mm": "Room at the bottom of the groove, mm", "held": "This edge held, so that the other moves, 1 or 0"}

    axis: int = 1
    """Axis of the panel along which it enters: 0 its end, 1 its edge."""
    high: bool = False
    gap_mm: float = GAP_MM
    past_mm: float = 0.0
    """So far a groove for the panel's end runs on beyond the panel's upper edge, for it to swell or be slid in."""
    held: float = 0.0
    """1 where this edge is glued or pinned all along, as the front edge of a drawer's bottom is."""

    @property
    def mitred(self) -> bool:
        """Grooves of one panel meet at its corners on purpose."""
        return True

    @classmethod
    def between(cls, first: Member, second: Member, family: str = "", own: dict[str, float] | None = None) -> GroovePanel:
        family = family or f"{first.role} into {second.role}"
        met = seen_from(second, first)
        shared = first.box.meet(met)
        if shared is None:
            raise ValueError(
                f"{named(first)} does not reach into {named(second)}, so there is nothing to hold in a groove. Lengthen or "
                "widen it by the depth it is to enter, 6 mm or more a side."
            )
        # The edge that enters: the frame member stands across it and reaches past it.
        found = []
        for axis in (0, 1):
            size = first.box.hi[axis]
            for high in (False, True):
                tongue = met.hi[axis] if not high else size - met.lo[axis]
                past = -met.lo[axis] if not high else met.hi[axis] - size
                if 0 < tongue < size / 2 and past > -1e-6:
                    across = 1 - axis
                    found.append((shared.size[across] / first.box.hi[across], -tongue, axis, high, past))
        if not found or met.lo[2] > -1e-6 or met.hi[2] < first.thickness_mm + 1e-6:
            raise ValueError(
                f"{named(first)} and {named(second)} do not stand so that an edge of the panel lies inside the frame: it "
                f"needs {WALL_MM:g} mm of timber either side of its thickness. Move it, or make it thinner."
            )
        _, _, axis, high, past = max(found)
        room = past - 0.5
        figures = given(cls.kind, family, own, {"gap_mm": (0.0, max(room, 0.0)), "held": (0, 1), "past_mm": (0.0, 500.0)}, cls.changeable, ("held",))
        return cls(family, first.ref, second.ref, axis, high, figures.get("gap_mm", min(GAP_MM, max(room, 0.0))), figures.get("past_mm", 0.0),
                   figures.get("held", 0.0))

    def _tongue_mm(self, panel: Member, frame: Member) -> float:
        met = seen_from(frame, panel)
        return panel.box.hi[self.axis] - met.lo[self.axis] if self.high else met.hi[self.axis]

    def _groove(self, piece: Piece) -> Box:
        """The groove in the panel's axes, ended with the panel and its room."""
        panel, frame = piece.member(self.first), piece.member(self.second)
        tongue, other = self._tongue_mm(panel, frame), 1 - self.axis
        lo, hi = [0.0, 0.0, 0.0], list(panel.box.hi)
        if self.high:
            lo[self.axis], hi[self.axis] = hi[self.axis] - tongue - OVER_MM, hi[self.axis] + self.gap_mm
        else:
            lo[self.axis], hi[self.axis] = -self.gap_mm, tongue + OVER_MM
        lo[other] -= self.gap_mm
        hi[other] += self.gap_mm + self.past_mm
        return Box(tuple(lo), tuple(hi))

    def cuts(self, piece: Piece) -> dict[str, tuple[Block, ...]]:
        panel, frame = piece.member(self.first), piece.member(self.second)
        local = frame.placement.box_to_member(panel.placement.box_to_piece(self._groove(piece))) \
            if panel.placement.square and frame.placement.square else frame.placement.to_member_block(
                panel.placement.to_piece_block(self._groove(piece)))
        if isinstance(local, Box):
            local = local.meet(frame.box)
            if local is None:
                raise ValueError(
                    f"{named(panel)} no longer reaches into {named(frame)}. Move them together, or take the joint out."
                )
        return {self.second: (local,)}

    def holds(self, piece: Piece, first: Strengths, second: Strengths) -> Holds | None:
        """A panel stands loose in its groove: it is held through its thickness alone, by the walls."""
        panel, frame = piece.member(self.first), piece.member(self.second)
        met, deep = seen_from(frame, panel), self._tongue_mm(panel, frame)
        wall = min(-met.lo[2], met.hi[2] - panel.thickness_mm)
        long = panel.box.hi[1 - self.axis]
        at = panel.placement
        inward = at.along if self.axis == 0 else at.across
        lips = least(
            (second.splitting * long * wall**2 / 3 / max(deep + self.gap_mm, 1.0) * 2, "the wall of the groove splitting off"),
            (shear_n(second.shear, long, wall), "the wall of the groove shearing"),
        )
        return Holds(back(inward) if self.high else inward, at.across if self.axis == 0 else at.along, slide_thin=lips)

    def entry(self, piece: Piece) -> Vec | None:
        at = piece.member(self.first).placement
        sign = 1.0 if self.high else -1.0
        return tuple(sign * c + 0.0 for c in (at.along if self.axis == 0 else at.across))

    def findings(self, piece: Piece) -> list[Finding]:
        panel, frame = piece.member(self.first), piece.member(self.second)
        tongue = self._tongue_mm(panel, frame)
        deep, wide = tongue + self.gap_mm, panel.thickness_mm
        good = 0.5 * wide <= deep <= 2.0 * wide
        seen = seen_from(frame, panel)
        walls = min(-seen.lo[2], seen.hi[2] - wide)
        refs = (panel.ref, frame.ref)
        return [
            Finding(
                f"{panel.name} in {frame.name}", "depth of the groove", Verdict.STANDS if good else Verdict.LOOK_AGAIN,
                f"{deep:.1f} mm deep, {wide:.1f} mm wide", deep, 2 * wide, "mm", "about as deep as wide, half to twice", NOYES,
                "" if good else f"A groove about {wide:.0f} mm deep: a tongue of {max(wide - self.gap_mm, 3):.0f} mm.", "joints", refs,
            ),
            Finding(
                f"{panel.name} in {frame.name}", "timber beside the groove",
                Verdict.STANDS if walls >= WALL_MM - 1e-6 else Verdict.LOOK_AGAIN,
                f"{walls:.1f} mm on the thinner side, at least {WALL_MM:g} mm", WALL_MM, max(walls, 0.01), "mm",
                f"{WALL_MM:g} mm or more either side", "common practice, no source",
                "" if walls >= WALL_MM - 1e-6 else "A thinner panel or a thicker frame.", "joints", refs,
            ),
        ]

    def moves(self, piece: Piece, season: Season) -> list[Finding]:
        if self.axis == 0:
            return []
        panel, frame = piece.member(self.first), piece.member(self.second)
        if self.held:
            return [Finding(
                f"{panel.name} in {frame.name}", "movement", Verdict.STANDS, "held at this edge, all its movement goes to the other",
                rule="a panel is held at one edge at most", source=PRACTICE, stage="joints", refs=(panel.ref, frame.ref),
            )]
        tongue = self._tongue_mm(panel, frame)
        found = panel_in_groove(
            season.swing(panel, panel.width_mm, "width"), tongue + self.gap_mm, tongue, min(HOLD_MM, tongue), True
        ).findings
        return [replace(f, subject=f"{panel.name} in {frame.name}", refs=(panel.ref, frame.ref)) for f in found]

    def operations(self, piece: Piece) -> list[Operation]:
        size = piece.member(self.first).box.hi[1 - self.axis]
        return [Operation("plough a groove", size / 1000, "m", f"{piece.member(self.first).thickness_mm:g}")]

    def setting_out(self, piece: Piece) -> dict[str, str]:
        panel, frame = piece.member(self.first), piece.member(self.second)
        tongue = self._tongue_mm(panel, frame)
        box = self.cuts(piece)[self.second][0].bounds
        return {
            "groove": f"{tenths(panel.thickness_mm)} wide x {tenths(tongue + self.gap_mm)} deep",
            "length of the groove": f"{mm(max(b - a for a, b in zip(box.lo, box.hi)))}, stopped",
            "panel in the groove": f"{tenths(tongue)}, " + ("glued along this edge alone" if self.held else f"{tenths(self.gap_mm)} of room, no glue" + ("" if self.past_mm else "; one pin at the middle of each end")),
        }
