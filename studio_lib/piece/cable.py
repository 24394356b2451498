"""Cable with spacers: slats strung one after another on cables, spacers between them, a fitting at either end."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from functools import lru_cache

from studio_lib.finding import Finding, Verdict, from_ratio
from studio_lib.piece.facing import Facing, facing
from studio_lib.piece.holding import HARDWARE, Holds, Strengths, Way, back
from studio_lib.piece.model import Block, Hardware, Joint, Member, Metal, Operation, Part, Piece, Season, Vec, hole
from studio_lib.units import mm, tenths

PRACTICE = "common practice, no source"
BREAKING_KN = {2.0: 3.1, 3.0: 7.1, 4.0: 12.6, 5.0: 19.6, 6.0: 28.2}
"""Breaking load of 1 x 19 strand, stainless 316, by diameter; from memory: the supplier's figure decides. [kN]"""
STRAND_MPA = 112_700.0
"""E of 1 x 19 stainless strand on the GROSS area pi d^2 / 4, from a published stretch factor of 7.79e-6 % in^2/lbf."""
STRETCH_SOURCE = "stretch W L / E A on the gross area; E from a published stretch factor of 1 x 19 stainless strand"
SAFE_SHARE = 5.0
"""Breaking over safe load: TM 5-3810-305-10 and makers' sheets."""
HOLE_OVER_MM = 1.0
"""A hole over its cable: workshop practice, no source."""
WALL_MM = 4.0
MOST_GAP_MM = 400.0
TAIL_MM = 60.0
"""Cable beyond either end for its fitting; judgement of ours."""
CAUTION = (
    "A cable under tension can whip or shoot out a fitting: wear eye protection, stand aside of its line, tension all cables in "
    "turn a little at a time, never cut one that is tight. Nobody leans on or climbs it unless an engineer has sized it as a guard."
)


def safe_load_n(cable_mm: float) -> float:
    """A fifth of the breaking load; between sizes on file by the square of the diameter. [N]"""
    near = min(BREAKING_KN, key=lambda d: abs(d - cable_mm))
    return 1000 * BREAKING_KN[near] * (cable_mm / near) ** 2 / SAFE_SHARE


def side_load_n(tension_n: float, length_mm: float, aside_mm: float, cable_mm: float, e_mpa: float = STRAND_MPA) -> float:
    """Load at mid-span that pushes a taut cable aside, 4 T d / L + 8 E A d^3 / L^3. [N]"""
    area = math.pi * cable_mm**2 / 4
    return 4 * tension_n * aside_mm / length_mm + 8 * e_mpa * area * (aside_mm / length_mm) ** 3


def sag_mm(weight_n_mm: float, length_mm: float, tension_n: float) -> float:
    """Sag of a cable level between its ends under an even load, w L^2 / 8 T. [mm]"""
    return weight_n_mm * length_mm**2 / (8 * tension_n)


def stretch_mm(tension_n: float, length_mm: float, cable_mm: float, e_mpa: float = STRAND_MPA) -> float:
    """Elastic stretch of a cable, W L / E A on its gross area. [mm]"""
    return tension_n * length_mm / (e_mpa * math.pi * cable_mm**2 / 4)


@dataclass(frozen=True)
class StrungCable(Joint):
    """``first`` and ``second`` strung on the same cables, spacers filling the gap between them.

    Members strung one after another are one chain: its first joint draws and counts the cables.
    """

    kind = "cable and spacers"
    dry = True
    turns = True
    changeable = {
        "cables": "Cables", "from_end_mm": "Outer cables from the end of the slat, mm", "cable_mm": "Cable diameter, mm",
        "hole_mm": "Hole, mm", "spacers": "Spacers on each cable here", "spacer_wide_mm": "Spacer diameter, mm",
        "tension_n": "Tension in each cable, N", "spring_mm": "Springs give, mm",
    }

    cables: float = 2.0
    from_end_mm: float = 100.0
    cable_mm: float = 3.0
    hole_mm: float = 4.0
    spacers: float = 1.0
    spacer_wide_mm: float = 12.0
    tension_n: float = 300.0
    spring_mm: float = 6.0

    @property
    def mitred(self) -> bool:
        """One hole through a slat serves the joints on both its sides."""
        return True

    @classmethod
    def between(cls, first: Member, second: Member, family: str = "", own: dict[str, float] | None = None) -> StrungCable:
        family, own = family or "slats on cables", own or {}
        met = _met(first, second)
        long, short = (met.hi[k] - met.lo[k] for k in met.plane)
        cable = own.get("cable_mm", 3.0)
        _within(family, cls, "cable_mm", cable, min(BREAKING_KN), max(BREAKING_KN))
        size = own.get("hole_mm", cable + HOLE_OVER_MM)
        _within(family, cls, "hole_mm", size, cable + 0.5, max(short - 2 * WALL_MM, 0.0))
        count = own.get("cables", float(max(2, math.ceil(long / 700.0))) if long >= 6 * size else 1.0)
        _whole(family, cls, "cables", count, 1, max(int(long / (3 * size)), 1))
        end = own.get("from_end_mm", long / 2 if count == 1 else float(round(long / (2 * count))))
        _within(family, cls, "from_end_mm", end, min(1.5 * size, long / 2), long / 2 if count == 1 else (long - (count - 1) * 2 * size) / 2)
        spacers = own.get("spacers", 0.0 if met.gap_mm < 0.01 else float(max(1, round(met.gap_mm / 10))))
        _whole(family, cls, "spacers", spacers, 0 if met.gap_mm < 0.01 else 1, 200 if met.gap_mm >= 0.01 else 0)
        wide = own.get("spacer_wide_mm", float(min(max(4 * cable, 10.0), short)))
        _within(family, cls, "spacer_wide_mm", wide, min(size + 2.0, short), max(long / count, size + 2.0))
        tension = own.get("tension_n", round(0.25 * safe_load_n(cable), -1))
        _within(family, cls, "tension_n", tension, 10.0, 20_000.0)
        spring = own.get("spring_mm", 6.0)
        _within(family, cls, "spring_mm", spring, 0.0, 100.0)
        return cls(family, first.ref, second.ref, count, end, cable, size, spacers, wide, tension, spring)

    # ---- geometry, in the first member's axes

    def _facing(self, piece: Piece) -> Facing:
        return _met(piece.member(self.first), piece.member(self.second))

    def _points(self, met: Facing) -> list[Vec]:
        """Where each cable leaves the first member."""
        along, across = met.plane
        at = [0.0, 0.0, 0.0]
        at[met.axis] = met.hi[met.axis] if met.sign < 0 else met.lo[met.axis]
        at[across] = (met.lo[across] + met.hi[across]) / 2
        n, lo, hi = int(self.cables), met.lo[along] + self.from_end_mm, met.hi[along] - self.from_end_mm
        out = []
        for spot in [(lo + hi) / 2] if n == 1 else [lo + (hi - lo) * k / (n - 1) for k in range(n)]:
            at[along] = spot
            out.append(tuple(at))
        return out

    def cuts(self, piece: Piece) -> dict[str, tuple[Block, ...]]:
        first, second = piece.member(self.first), piece.member(self.second)
        met = self._facing(piece)
        through = met.through_mm(first)
        points = self._points(met)
        out = {self.first: tuple(
            hole(tuple(p - (through + 1.0) * w for p, w in zip(point, met.way)), met.way, self.hole_mm, through + 2.0) for point in points
        )}
        if self.second not in _chain(piece)[0]:
            bored = []
            for point in points:
                start = tuple(p + (met.gap_mm - 1.0) * w for p, w in zip(point, met.way))
                block = hole(start, met.way, self.hole_mm, met.far_mm + 2.0)
                bored.append(second.placement.to_member_block(first.placement.to_piece_block(block)))
            out[self.second] = tuple(bored)
        return out

    def chain(self, piece: Piece) -> tuple[StrungCable, ...]:
        """This joint and those that follow it down the cables."""
        by_first, _ = _chain(piece)
        out, seen = [self], {self.first}
        while out[-1].second in by_first and out[-1].second not in seen:
            seen.add(out[-1].second)
            out.append(by_first[out[-1].second])
        return tuple(out)

    def leads(self, piece: Piece) -> bool:
        """Whether this is the first joint of its chain."""
        return self.first not in _chain(piece)[1]

    def stack(self, piece: Piece) -> tuple[tuple[Member, float, str], ...]:
        """Members on the cables from the first on: (member, its size along the cables, that size's name). [mm]"""
        out = []
        joints = self.chain(piece)
        for joint in joints:
            met = joint._facing(piece)
            member = piece.member(joint.first)
            out.append((member, met.through_mm(member), ("length", "width", "thickness")[met.axis]))
        last, met = piece.member(joints[-1].second), joints[-1]._facing(piece)
        way = last.placement.turn_back(piece.member(joints[-1].first).placement.turn(met.way))
        axis = max(range(3), key=lambda k: abs(way[k]))
        return (*out, (last, met.far_mm, ("length", "width", "thickness")[axis]))

    def stack_mm(self, piece: Piece) -> float:
        """From the outer face of the first member to that of the last. [mm]"""
        return sum(size for _, size, _ in self.stack(piece)) + sum(j._facing(piece).gap_mm for j in self.chain(piece))

    def cable_length_mm(self, piece: Piece) -> float:
        """Of one cable, with what its fittings take. [mm]"""
        return self.stack_mm(piece) + 2 * TAIL_MM

    def parts(self, piece: Piece) -> tuple[Part, ...]:
        first = piece.member(self.first)
        met = self._facing(piece)
        found = []

        def part(name, material, block):
            found.append(Part(f"{name}, {self.family}", material, first.placement.to_piece_block(block)))

        points, n = self._points(met), int(self.spacers)
        each = met.gap_mm / n if n else 0.0
        for point in points:
            for k in range(n):
                # A hair of air between spacers, so that each is seen.
                start = tuple(p + (k * each + 0.1) * w for p, w in zip(point, met.way))
                part("spacer", "stainless steel", hole(start, met.way, self.spacer_wide_mm, each - 0.2))
        if self.leads(piece):
            through, whole = met.through_mm(first), self.stack_mm(piece)
            wide, high = 3 * self.cable_mm, 3 * self.cable_mm
            for point in points:
                top = tuple(p - through * w for p, w in zip(point, met.way))
                part("cable", "stainless steel", hole(tuple(p - high * w for p, w in zip(top, met.way)), met.way, self.cable_mm, whole + 2 * high))
                part("end fitting", "stainless steel", hole(tuple(p - high * w for p, w in zip(top, met.way)), met.way, wide, high))
                part("tensioner", "stainless steel", hole(tuple(p + whole * w for p, w in zip(top, met.way)), met.way, wide, high))
        return tuple(found)

    def hardware(self, piece: Piece) -> tuple[Hardware, ...]:
        met, n = self._facing(piece), int(self.cables)
        bought = []
        if self.spacers:
            each = met.gap_mm / self.spacers
            bought.append(Hardware(f"spacer, {self.spacer_wide_mm:g} x {round(each, 2):g} mm, bored {self.hole_mm:g} mm", n * int(self.spacers)))
        if self.leads(piece):
            bought += [
                Hardware(f"cable, stainless 316, 1 x 19, {self.cable_mm:g} mm", round(n * self.cable_length_mm(piece) / 1000, 2), "m"),
                Hardware(f"end fitting for {self.cable_mm:g} mm cable, fixed", n),
                Hardware(f"end fitting for {self.cable_mm:g} mm cable, with tensioner", n),
            ]
            if self.spring_mm:
                bought.append(Hardware(f"spring washers, a stack that gives {self.spring_mm:g} mm at {self.tension_n:.0f} N", n, "stack"))
        return tuple(bought)

    def metal(self, piece: Piece) -> tuple[Metal, ...]:
        """Cable and spacers where there is a gap, from either side of it; the end fittings of the whole chain at its first joint."""
        first, met = piece.member(self.first), self._facing(piece)
        side = tuple(float(k == met.plane[1]) for k in range(3))
        through, whole, out = met.through_mm(first), self.stack_mm(piece) if self.leads(piece) else 0.0, 2.0 + 3 * self.cable_mm
        found = []
        for point in self._points(met):
            for sign in (1.0, -1.0) if met.gap_mm > 0.01 or whole else ():
                at = tuple(p + met.gap_mm / 2 * w + sign * (self.spacer_wide_mm / 2 + 2.0) * s for p, w, s in zip(point, met.way, side))
                found.append(Metal("cable", at, tuple(sign * s for s in side), covered=met.gap_mm <= 0.01, count=int(bool(whole) and sign > 0)))
            if whole:
                for by, sign in ((-through - out, -1.0), (whole - through + out, 1.0)):
                    found.append(Metal("end fitting", tuple(p + by * w for p, w in zip(point, met.way)), tuple(sign * w for w in met.way)))
        return tuple(replace(m, at=first.placement.to_piece(m.at), way=first.placement.turn(m.way)) for m in found)

    def holds(self, piece: Piece, first: Strengths, second: Strengths) -> Holds | None:
        slat, met, n = piece.member(self.first), self._facing(piece), self.cables
        press = min(first.crushing, second.crushing)
        ring = 0.785 * (self.spacer_wide_mm**2 - self.hole_mm**2) if self.spacers else met.through_mm(slat) * self.spacer_wide_mm
        side = Way(n * self.cable_mm * met.through_mm(slat) * press, "the cable cutting into its hole")
        return Holds(
            slat.placement.turn(back(met.way)), slat.placement.turn(tuple(float(k == met.plane[0]) for k in range(3))),
            Way(n * max(safe_load_n(self.cable_mm) - self.tension_n, 0.0), "the cables beyond a fifth of their breaking load"),
            Way(n * ring * press, "the spacers sinking in"), side, side, evidence=HARDWARE,
        )

    def give_mm_n(self, piece: Piece) -> float:
        """How far the cables and their springs give for one newton more in each. [mm/N]"""
        return stretch_mm(1.0, self.stack_mm(piece), self.cable_mm) + self.spring_mm / self.tension_n

    def entry(self, piece: Piece) -> Vec | None:
        return piece.member(self.first).placement.turn(self._facing(piece).way)

    # ---- what is said of it

    def findings(self, piece: Piece) -> list[Finding]:
        first, second = piece.member(self.first), piece.member(self.second)
        met = self._facing(piece)
        short = met.hi[met.plane[1]] - met.lo[met.plane[1]]
        wall = (short - self.hole_mm) / 2
        thin = self.hole_mm > short / 3 + 1e-6
        found = [Finding(
            f"{first.name} and {second.name}", "hole for the cable", Verdict.LOOK_AGAIN if thin else Verdict.STANDS,
            f"{self.hole_mm:g} mm through {short:g} mm, {wall:.1f} mm of wood either side", self.hole_mm, short / 3, "mm",
            "a hole takes no more than a third of the slat", PRACTICE, "A thinner cable, or thicker slats." if thin else "", "joints",
            (first.ref, second.ref),
        )]
        if self.leads(piece):
            found += self._cable_findings(piece)
        return found

    def _cable_findings(self, piece: Piece) -> list[Finding]:
        safe = safe_load_n(self.cable_mm)
        long = self.stack_mm(piece)
        pulled = stretch_mm(self.tension_n, long, self.cable_mm)
        return [
            from_ratio(
                self.family, "tension", self.tension_n, safe, "N", rule="no more than a fifth of the breaking load",
                source=f"TM 5-3810-305-10 for the fifth; breaking loads of 1 x 19 strand from memory: the supplier's figure decides; {STRETCH_SOURCE}",
                mend="Less tension, or a thicker cable.", stage="joints",
                says=f"{self.tension_n:.0f} N stretches {long:.0f} mm of {self.cable_mm:g} mm cable by {pulled:.2f} mm; {safe:.0f} N is safe",
            ),
            Finding(
                self.family, "cable under tension", Verdict.LOOK_AGAIN, f"{int(self.cables)} cables at {self.tension_n:.0f} N pull the ends together "
                f"with {self.cables * self.tension_n:.0f} N, {self.tension_n:.0f} N at each anchor; pushed aside 20 mm at its middle one takes "
                f"{side_load_n(self.tension_n, long, min(20.0, long / 20), self.cable_mm):.0f} N", rule="what is strung tight is handled as a loaded spring", source=PRACTICE,
                mend=CAUTION, stage="joints",
            ),
        ]

    def moves(self, piece: Piece, season: Season) -> list[Finding]:
        from studio_lib.timber.provisions import strung_stack

        if not self.leads(piece):
            return []
        across = [(m, size, name) for m, size, name in self.stack(piece) if name != "length"]
        if len(across) < 2:
            return []
        mean = sum(size for _, size, _ in across) / len(across)
        gaps = [j._facing(piece).gap_mm for j in self.chain(piece)]
        long = self.stack_mm(piece)
        slack = self.spring_mm + stretch_mm(self.tension_n, long, self.cable_mm)
        give = self.spring_mm + max(stretch_mm(safe_load_n(self.cable_mm) - self.tension_n, long, self.cable_mm), 0.0)
        swing = season.swing(across[len(across) // 2][0], mean, across[len(across) // 2][2])
        found = strung_stack(swing, len(across), sum(gaps) / len(gaps), round(slack, 2), round(give, 2)).findings
        found = [*found, self._over_the_year(piece, swing.of(mean * len(across)))]
        return [replace(f, refs=f.refs or tuple(m.ref for m, *_ in across)) for f in found]

    def _over_the_year(self, piece: Piece, swing) -> Finding:
        """Tension at the driest and at the wettest, the stack's change over what cable and springs give."""
        give = self.give_mm_n(piece)
        least, most = max(self.tension_n - swing.shrinks_mm / give, 0.0), self.tension_n + swing.grows_mm / give
        found = from_ratio(
            self.family, "tension over the year", most, safe_load_n(self.cable_mm), "N",
            rule="its anchors hold it at the wettest, it is not slack at the driest", source=f"{STRETCH_SOURCE}; springs by their own give",
            mend="Springs that give more, soft spacers, or a thicker cable; less tension slackens sooner.", stage="joints",
            says=f"{least:.0f} N at the driest, {self.tension_n:.0f} N when strung, {most:.0f} N at the wettest in each cable and at each anchor",
        )
        if least <= 0 and found.stands:
            return replace(found, verdict=Verdict.LOOK_AGAIN, mend="Springs that give more, or take it up with the tensioner in the first dry season.")
        return found

    def operations(self, piece: Piece) -> list[Operation]:
        n = int(self.cables)
        done = [Operation("drill a hole for a cable", n, "hole", f"{self.hole_mm:g}"), Operation("thread a slat and its spacers", n, "crossing")]
        if self.leads(piece):
            done.append(Operation("fit and tension a cable", n, "cable", f"{self.cable_mm:g}"))
        return done

    def setting_out(self, piece: Piece) -> dict[str, str]:
        met = self._facing(piece)
        along, across = met.plane
        out = {
            "holes from the end": ", ".join(tenths(p[along] - met.lo[along]) for p in self._points(met)),
            "in from the face": f"{tenths((met.hi[across] - met.lo[across]) / 2)}", "hole": f"{self.hole_mm:g}, drilled on a jig from both edges",
            "spacers": f"{int(self.spacers)} of {tenths(met.gap_mm / self.spacers)} mm on each cable" if self.spacers else "none: the slats touch",
        }
        if self.leads(piece):
            out["stack"] = tenths(self.stack_mm(piece))
            out["cables"] = f"{int(self.cables)} of {self.cable_mm:g} x {mm(self.cable_length_mm(piece))}, {self.tension_n:.0f} N each"
        return out


@lru_cache(maxsize=64)
def _chain(piece: Piece) -> tuple[dict[str, StrungCable], frozenset[str]]:
    """Cable joints by the member they leave, and the members they reach."""
    strung = [j for j in piece.joints if isinstance(j, StrungCable)]
    return {j.first: j for j in reversed(strung)}, frozenset(j.second for j in strung)


def _met(first: Member, second: Member) -> Facing:
    met = facing(first, second, MOST_GAP_MM)
    if met is None:
        raise ValueError(
            f"{first.name} ({first.ref}) and {second.name} ({second.ref}) do not face each other within {MOST_GAP_MM:.0f} mm, so no "
            "cable can run from one to the other. Lay them square, one over the other."
        )
    return met


def _within(family: str, kind, name: str, value: float, low: float, high: float) -> None:
    if not low - 1e-9 <= value <= high + 1e-9:
        what, _, unit = kind.changeable[name].rpartition(",")
        if high < low:
            raise ValueError(f"{family}: {what.lower()} of {low:g}{unit} do not fit; give thicker slats or a thinner cable.")
        raise ValueError(f"{family}: {what.lower()} is {value:g}{unit}; give {low:g} to {high:g}{unit}.")


def _whole(family: str, kind, name: str, value: float, low: int, high: int) -> None:
    if value != int(value) or not low <= value <= high:
        raise ValueError(f"{family}: {kind.changeable[name].lower()}: {value:g}; give {low} to {high}, a whole number.")
