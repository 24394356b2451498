"""Through dovetail: tails on one board, pins on the other, laid out to close on the height of the side."""

from __future__ import annotations

from dataclasses import dataclass

from studio_lib.finding import Finding, Verdict
from studio_lib.piece.holding import TENSION_SHARE, Holds, Strengths, Way, glue_turn_n_mm, least
from studio_lib.piece.meeting import axis_of, given, named, seen_from
from studio_lib.piece.model import Block, Joint, Member, Operation, Piece, Placement, Prism, Season, Vec, carried
from studio_lib.units import tenths

SLOPE_SOURCE = "Fairham, Woodwork Joints, 1921: 1 in 8, never steeper than 1 in 6"
TAILS_SOURCE = "C. Noyes, Handwork in Wood, 1910: tails as wide as the spaces are strongest, up to four times"
SLOPE_IN = 8.0
LEAST_MM = 3.0
"""Narrowest pin, half pin and neck of a tail: a narrow chisel; common practice, no source."""
OVER_MM = 2.0
X, Y = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0)


@dataclass(frozen=True)
class Dovetail(Joint):
    """Tails on the end of ``first``, pins on the end of ``second``; both boards run out to the corner."""

    kind = "through dovetail"
    lies = "edge"
    changeable = {"tails": "Tails", "slope": "Slope, 1 in", "tail_to_pin": "Tail over pin, at half the depth"}

    tails: float = 4
    slope: float = SLOPE_IN
    tail_to_pin: float = 2.0

    @property
    def mitred(self) -> bool:
        """A groove may run into its sockets: the corner is hidden inside the box."""
        return True

    @classmethod
    def between(cls, first: Member, second: Member, family: str = "", own: dict[str, float] | None = None) -> Dovetail:
        family = family or f"{first.role} to {second.role}"
        _corner(first, second)
        figures = given(
            cls.kind, family, own, {"tails": (1, 60), "slope": (5.0, 10.0), "tail_to_pin": (0.5, 5.0)}, cls.changeable, ("tails",)
        )
        slope, ratio = figures.get("slope", SLOPE_IN), figures.get("tail_to_pin", 2.0)
        lost = second.thickness_mm / slope
        # Half pins at the outer face and necks at the shoulder, both at least a narrow chisel.
        least = max((1 + ratio) * (2 * LEAST_MM + lost), (1 + ratio) / ratio * (LEAST_MM + lost))
        fits = int(first.width_mm / least + 1e-9)
        if fits < 1:
            raise ValueError(
                f"{family}: {named(first)} is {first.width_mm:g} mm wide; one tail 1 in {slope:g} on boards "
                f"{second.thickness_mm:g} mm thick needs {least:.0f} mm. A wider board, thinner ones, or dowels."
            )
        wanted = (1 + ratio) * max(0.75 * second.thickness_mm, 2 * LEAST_MM + lost)
        tails = figures.get("tails", min(max(round(first.width_mm / wanted), 1), fits))
        if tails > fits:
            raise ValueError(f"{family}: {tails:g} tails do not fit in {first.width_mm:g} mm; give {fits} or fewer.")
        return cls(family, first.ref, second.ref, int(tails), slope, ratio)

    def pitch_mm(self, board: Member) -> float:
        """One tail and one pin together; the two half pins make up the last. [mm]"""
        return board.width_mm / self.tails

    def widths_mm(self, piece: Piece) -> dict[str, float]:
        """Widths at the outer end of the tails and at their shoulder. [mm]"""
        board, depth = piece.member(self.first), piece.member(self.second).thickness_mm
        pitch, lost = self.pitch_mm(board), depth / self.slope
        tail = pitch * self.tail_to_pin / (1 + self.tail_to_pin)
        pin = pitch - tail
        return {
            "tail": tail + lost, "neck": tail - lost, "pin": pin - lost, "pin at the shoulder": pin + lost,
            "half pin": (pin - lost) / 2,
        }

    def _outlines(self, piece: Piece):
        """Outlines cut for the tails and left as pins, in (x, y) of the tail board, run ``OVER_MM`` out into the air."""
        board, pins = piece.member(self.first), piece.member(self.second)
        base, tip, sign = _ends(board, pins)
        depth, out = abs(tip - base), OVER_MM * sign
        pitch = self.pitch_mm(board)
        tail = pitch * self.tail_to_pin / (1 + self.tail_to_pin)
        half, over = depth / 2 / self.slope, OVER_MM / self.slope

        def edges(k):
            mid = (k + 0.5) * pitch
            return (
                ((base, mid - tail / 2 + half), (tip + out, mid - tail / 2 - half - over)),
                ((base, mid + tail / 2 - half), (tip + out, mid + tail / 2 + half + over)),
            )

        n = int(self.tails)
        tails = [
            ((base - out, low[0][1] + over), low[1], high[1], (base - out, high[0][1] - over))
            for low, high in map(edges, range(n))
        ]
        lows = [((base, -OVER_MM), (tip + out, -OVER_MM)), *(edges(k)[1] for k in range(n))]
        highs = [*(edges(k)[0] for k in range(n)), ((base, board.width_mm + OVER_MM), (tip + out, board.width_mm + OVER_MM))]
        spaces = [(a[0], a[1], b[1], b[0]) for a, b in zip(lows, highs)]
        return tails, spaces

    def cuts(self, piece: Piece) -> dict[str, tuple[Block, ...]]:
        board, pins = piece.member(self.first), piece.member(self.second)
        _corner(board, pins)
        tails, spaces = self._outlines(piece)
        t = board.thickness_mm
        # Past the pin board's end there is air; on its other side its own timber goes on.
        low, high = (0.0, t + OVER_MM) if self._inward(piece) < 0 else (-OVER_MM, t)
        taken = [Prism(o, Placement((0.0, 0.0, low), X, Y), high - low) for o in tails]
        left = [Prism(o, Placement((0.0, 0.0, -OVER_MM), X, Y), t + 2 * OVER_MM) for o in spaces]
        return {
            self.first: tuple(left),
            self.second: tuple(carried(p, board.placement, pins.placement) for p in taken),
        }

    def _inward(self, piece: Piece) -> float:
        """Sign, along the tail board's thickness, of the way to the rest of the pin board."""
        board, pins = piece.member(self.first), piece.member(self.second)
        return 1.0 if seen_from(pins, board).centre[2] > board.thickness_mm / 2 else -1.0

    def entry(self, piece: Piece) -> Vec | None:
        sign = self._inward(piece)
        return tuple(sign * c + 0.0 for c in piece.member(self.first).placement.through)

    def holds(self, piece: Piece, first: Strengths, second: Strengths) -> Holds | None:
        board, pins = piece.member(self.first), piece.member(self.second)
        w, n, deep, t = self.widths_mm(piece), self.tails, pins.thickness_mm, board.thickness_mm
        glue = min(first.shear, second.shear)
        out = tuple(-_ends(board, pins)[2] * c for c in board.placement.along)
        flanks = 2 * n * glue_turn_n_mm(glue, deep, t, 1.0)
        return Holds(
            out, board.placement.across,
            least((n * w["neck"] * t * TENSION_SHARE * first.bending, "the tails tearing at their necks"),
                  (2 * n * deep * t * min(first.shear, second.shear), "the flanks shearing")),
            Way(board.width_mm * t * second.crushing / 2, "the grain crushing between the pins"),
            Way(n * deep * t * min(first.crushing, second.crushing), "the flanks crushing"),
            Way(2 * n * deep * t * glue, "the glued flanks"),
            Way(flanks * max(self.tails, 1.0), "the glued flanks"), Way(flanks, "the glued flanks"), Way(flanks, "the glued flanks"),
        )

    def glued_area_mm2(self, piece: Piece) -> float:
        board, pins = piece.member(self.first), piece.member(self.second)
        slant = (1 + 1 / self.slope**2) ** 0.5
        return 2 * self.tails * pins.thickness_mm * slant * board.thickness_mm

    def ends(self, piece: Piece) -> dict[str, dict[str, str]]:
        board, pin_board = piece.member(self.first), piece.member(self.second)
        at = "start" if _ends(board, pin_board)[1] == 0.0 else "end"
        pin_at = "start" if seen_from(board, pin_board).centre[0] < pin_board.length_mm / 2 else "end"
        tails, pins = int(self.tails), int(self.tails) - 1
        of_pins = f"{pins} {'pin' if pins == 1 else 'pins'}, 2 half pins" if pins else "2 half pins"
        return {self.first: {at: f"{tails} {'tail' if tails == 1 else 'tails'}"}, self.second: {pin_at: of_pins}}

    def findings(self, piece: Piece) -> list[Finding]:
        board, pins = piece.member(self.first), piece.member(self.second)
        where, refs = f"{board.name} to {pins.name}", (board.ref, pins.ref)
        slope_good = 6.0 - 1e-9 <= self.slope <= 8.0 + 1e-9
        tails_good = 1.0 - 1e-9 <= self.tail_to_pin <= 4.0 + 1e-9
        return [
            Finding(
                where, "slope of the dovetails", Verdict.STANDS if slope_good else Verdict.LOOK_AGAIN,
                f"1 in {self.slope:g}", 6.0, self.slope, "", "1 in 8, never steeper than 1 in 6", SLOPE_SOURCE,
                "" if slope_good else "1 in 6 for softwood, 1 in 8 for hardwood.", "joints", refs,
            ),
            Finding(
                where, "tails and pins", Verdict.STANDS if tails_good else Verdict.LOOK_AGAIN,
                f"tails {self.tail_to_pin:g} times the pins", self.tail_to_pin, 4.0, "", "one to four times", TAILS_SOURCE,
                "" if tails_good else "Tails one to four times as wide as the pins.", "joints", refs,
            ),
        ]

    def moves(self, piece: Piece, season: Season) -> list[Finding]:
        board, pins = piece.member(self.first), piece.member(self.second)
        return [
            Finding(
                f"{board.name} to {pins.name}", "movement", Verdict.STANDS, "both boards move together across their widths",
                rule="dovetailed boards have their grain round the corner", source="geometry", stage="joints",
                refs=(board.ref, pins.ref),
            )
        ]

    def operations(self, piece: Piece) -> list[Operation]:
        return [Operation("cut a dovetail", int(self.tails), "tail", f"1 in {self.slope:g}")]

    def setting_out(self, piece: Piece) -> dict[str, str]:
        w = self.widths_mm(piece)
        board = piece.member(self.first)
        pitch = self.pitch_mm(board)
        return {
            "tails": f"{int(self.tails)}, {tenths(w['tail'])} at the end, {tenths(w['neck'])} at the shoulder, 1 in {self.slope:g}",
            "pins": f"{tenths(w['pin'])} outside, {tenths(w['pin at the shoulder'])} inside; half pins {tenths(w['half pin'])} outside",
            "middles of the tails from the lower edge": ", ".join(tenths((k + 0.5) * pitch) for k in range(int(self.tails))),
            "shoulder": f"{piece.member(self.second).thickness_mm:g} from the end of the tail board, "
            f"{board.thickness_mm:g} from the end of the pin board",
        }


def _ends(board: Member, pins: Member) -> tuple[float, float, float]:
    """x of the shoulder and of the end on the tail board, and the way out. [mm]"""
    if seen_from(pins, board).centre[0] < board.length_mm / 2:
        return pins.thickness_mm, 0.0, -1.0
    return board.length_mm - pins.thickness_mm, board.length_mm, 1.0


def _corner(first: Member, second: Member) -> None:
    """ValueError, in words, where two boards do not make a corner that can be dovetailed."""
    who = f"{named(first)} and {named(second)}"
    if axis_of(second, first.placement.along) != 2 or axis_of(first, second.placement.along) != 2:
        raise ValueError(f"{who} do not stand as two boards round a corner, face to end, so they cannot be dovetailed.")
    seen = seen_from(second, first)
    off = max(
        min(abs(seen.lo[0]), abs(seen.hi[0] - first.length_mm)),
        min(abs(seen.lo[2]), abs(seen.hi[2] - first.thickness_mm)),
        abs(seen.lo[1]), abs(seen.hi[1] - first.width_mm),
    )
    if off > 0.05:
        raise ValueError(
            f"{who} must be of one width and both run out to the corner: they are {off:.1f} mm off. Make their widths alike "
            "and lengthen each by the other's thickness."
        )
