"""Mortise and tenon: stopped or through, with a haunch where a rail meets the end of a leg."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from studio_lib.finding import Finding, Verdict
from studio_lib.piece.holding import TESTED, Holds, Strengths, Tongue, back, tongue_holds
from studio_lib.piece.model import (
    Block,
    Box,
    Hardware,
    Joint,
    Member,
    Operation,
    Part,
    Piece,
    Placement,
    Prism,
    Season,
    Vec,
    carried,
    hole,
)
from studio_lib.piece.outline import rectangle, slot
from studio_lib.timber.provisions import GLUE_SAFE_MM, cross_grain_glue, pegged_shoulder
from studio_lib.units import mm

ONE_THIRD = "Fairham, Woodwork Joints, 1921: a tenon is a third of the member's thickness"
FIVE_TIMES = "trade handbooks: a tenon wider than five times its thickness is divided in two"
DEPTH = "trade handbooks: a stopped tenon enters a half to two thirds of the mortised member"
WALL = "trade handbooks: 4.5 mm or more of timber left beyond a stopped mortise"
CHISELS_MM = (5, 6, 8, 10, 12, 14, 16, 18, 20, 22, 25)
MORTISE_DEEPER_MM = 2.0
"""A stopped mortise is cut this much deeper than its tenon is long (1.5 to 2 mm is usual)."""
LEAST_WALL_MM = 4.5
TWIST_SHARE = 0.25
"""A tongue twists over about four of its thicknesses before the glue takes hold; a judgement of ours."""
PRACTICE = "common practice, no source"
PEG_PAST_MM = 8.0
"""How far a peg goes on past the tenon; common practice, no source."""
MITRE_GAP_MM = 1.0
"""Between two mitred tenons, so that neither holds the other off; common practice, no source."""
WEDGE_DEG = 5.0
"""Slope of a wedge: joinery books, about 5 degrees."""
WEDGE_MOST_MM = 5.0
BREADTH_WALL_MM = 6.0
"""Timber left beside a mortise that lies across the post; common practice, no source."""
OUTSIDE_MM = 1.0
LOOSE_DEEPER_MM = 1.0
"""A slot for a loose tenon is cut this much deeper in each member; common practice, no source."""
SHOULDER_GAP_MM = 0.5
"""What may show at a pegged shoulder; common practice, no source."""
END_SHOULDER_MM = 8.0
"""Shoulder on the edge of a rail that does not reach the end of the leg; common practice, no source."""


FLAT_SHOULDER_MM = 3.0
"""Shoulder over and under the two tenons of a rail that lies flat; common practice, no source."""
HAUNCH, PEG_HOLE, MITRED_END, CUT_FLUSH, WEDGE_ROOM = "haunch", "peg hole", "tenon mitred", "tenon cut flush", "room for a wedge"
"""What they are called on a drawing."""
SMALL_MM = (10.0, 45.0)
"""Thickness and width to which a tenon is a slat's or a bar's, cut in a row at one setting; judgement of ours."""


@dataclass(frozen=True)
class MortiseTenon(Joint):
    """A tenon on one end of ``first`` enters a mortise in ``second``.

    The tenon stands on the member's end: ``width_mm`` along the member's width from
    ``shoulder_low_mm``, ``thickness_mm`` through its thickness from ``cheek_low_mm``. Where
    the member's end is cut aslant the tenon runs on straight and the shoulder lies aslant.
    """

    kind = "mortise and tenon"
    changeable = {
        "thickness_mm": "Tenon thickness, mm", "width_mm": "Tenon width, mm", "length_mm": "Tenon length, mm",
        "haunch_mm": "Haunch, 0 for none, mm", "bare_faced": "Bare-faced, 1 or 0",
        "mitre": "Mitred to its neighbour, 1 or 0", "pegs": "Pegs, 0 for none", "peg_mm": "Peg diameter, mm",
    }

    end: str = "start"
    """'start' or 'end' of the tenoned member."""
    thickness_mm: float = 0.0
    width_mm: float = 0.0
    length_mm: float = 0.0
    shoulder_low_mm: float = 0.0
    cheek_low_mm: float = 0.0
    haunch_mm: float = 0.0
    """Length of the stub left beside the tenon, on its high-width side; 0 for none."""
    through: bool = False
    at_leg_end: bool = False
    """The rail is flush with the end of the post, where a haunch belongs."""
    bare_faced: float = 0.0
    """1: the back of the tenon is the back of the member; the shoulder is on the face alone."""
    mitre: float = 0.0
    """1: its end is mitred where it meets a neighbour's tenon in the post."""
    pegs: float = 0.0
    peg_mm: float = 8.0

    @classmethod
    def between(cls, first: Member, second: Member, family: str = "",
            own: dict[str, float] | None = None) -> MortiseTenon:
        end = meeting_end(first, second)
        at_end = _at_leg_end(first, end, second)
        room = stopped_room_mm(first, end, second)
        family = family or f"{first.role} into {second.role}"
        made = proportioned(family, first, end, second, room_mm=room, at_leg_end=at_end, changed=own, kind=cls)
        most = _breadth_mm(first, end, second)
        if made.sections()[-1][1] - made.sections()[0][0] > most and "width_mm" not in (own or {}) and most >= 6:
            narrow = {**(own or {}), "width_mm": float(math.floor(most))}
            made = proportioned(family, first, end, second, room_mm=room, at_leg_end=at_end, changed=narrow, kind=cls)
        return made

    @property
    def mitred(self) -> bool:
        return bool(self.mitre)

    def shoulder(self, rail: Member) -> Vec:
        """The middle of the shoulder, in piece axes."""
        return end_middle(rail, self.end)

    def _reach(self, rail: Member, box: Box) -> Box:
        """A tenon lengthened back into the member as far as a slanted shoulder goes."""
        back = max((c.depth_mm(rail, y, z) for c in rail.shaping if getattr(c, "end", "") == self.end and hasattr(c,
                    "depth_mm")
                    for y in (box.lo[1], box.hi[1]) for z in (box.lo[2], box.hi[2])), default=0.0)
        return box.grown(0, 0.0, back) if self.end == "start" else box.grown(0, back, 0.0)

    def _stub(self, rail: Member, long: float, y0: float, y1: float, z0: float, z1: float) -> Box:
        x = (-long, 0.0) if self.end == "start" else (rail.length_mm, rail.length_mm + long)
        return self._reach(rail, Box((x[0], y0, z0), (x[1], y1, z1)))

    def sections(self) -> tuple[tuple[float, float, float, float], ...]:
        """Every tenon on this end: from and to across the width, from and to through the thickness. [mm]"""
        return ((self.shoulder_low_mm, self.shoulder_low_mm + self.width_mm,
                 self.cheek_low_mm, self.cheek_low_mm + self.thickness_mm),)

    def _tenons(self, rail: Member) -> tuple[Box, ...]:
        return tuple(self._stub(rail, self.length_mm, *section) for section in self.sections())

    def _haunches(self, rail: Member) -> tuple[Box, ...]:
        if self.haunch_mm <= 0:
            return ()
        top = max(s[1] for s in self.sections())
        return tuple(
            self._stub(rail, self.haunch_mm, top, rail.width_mm - rail.arris_mm, z0, z1)
            for z0, z1 in sorted({s[2:] for s in self.sections()})
        )

    def adds(self, piece: Piece) -> dict[str, tuple[Block, ...]]:
        m = piece.member(self.first)
        return {self.first: self._tenons(m) + self._haunches(m)}

    def _received(self, piece: Piece) -> list[tuple[str, Block]]:
        """What the mortised member loses, each block by name."""
        tenoned, mortised = piece.member(self.first), piece.member(self.second)
        deeper = 0.0 if self.through else MORTISE_DEEPER_MM
        # A mortise begins a little outside the face, so that no skin is left there by rounding.
        low, high = (deeper, OUTSIDE_MM) if self.end == "start" else (OUTSIDE_MM, deeper)
        holes: list[tuple[str, Block]] = [(self.kind, t.grown(0, low, high)) for t in self._tenons(tenoned)]
        aslant = 0.0 if mortised.placement.seen(tenoned.placement).square else OUTSIDE_MM
        low, high = (0.0, OUTSIDE_MM) if self.end == "start" else (OUTSIDE_MM, 0.0)
        above = tenoned.arris_mm + (aslant if self.at_leg_end else 0.0)
        holes += [(HAUNCH, h.grown(0, low, high).grown(1, aslant, above)) for h in self._haunches(tenoned)]
        received = []
        for name, hole_ in holes:
            local = carried(hole_, tenoned.placement, mortised.placement)
            met = local.meet(mortised.box) if isinstance(local, Box) else local
            if met:
                received.append((name, met))
        return received + [(PEG_HOLE, mortised.placement.to_member_block(peg)) for peg in self._peg_holes(piece)]

    def cuts(self, piece: Piece) -> dict[str, tuple[Block, ...]]:
        tenoned = piece.member(self.first)
        own = [*self._mitre_cut(piece), *(tenoned.placement.to_member_block(peg) for peg in self._peg_holes(piece))]
        cut = {self.second: tuple(block for _, block in self._received(piece))}
        if own:
            cut[self.first] = tuple(own)
        return cut

    def named_parts(self, piece: Piece, ref: str, adds: bool) -> tuple[str, ...]:
        if adds:
            haunches = len(self._haunches(piece.member(self.first)))
            return (self.kind,) * len(self.sections()) + (HAUNCH,) * haunches if ref == self.first else ()
        if ref == self.second:
            return tuple(name for name, _ in self._received(piece))
        return (MITRED_END,) * len(self._mitre_cut(piece)) + (PEG_HOLE,) * int(self.pegs)

    # ---- pegs

    def _peg_lines(self, piece: Piece) -> list[tuple[Vec, Vec, float]]:
        """Where each peg goes in: the point on the post's side, the way in, how deep. [mm]"""
        count = int(self.pegs)
        if not count:
            return []
        rail, post = piece.member(self.first), piece.member(self.second)
        out = []
        sections = self.sections()
        y0, y1 = min(s[0] for s in sections), max(s[1] for s in sections)
        z0, z1 = min(s[2] for s in sections), max(s[3] for s in sections)
        inward = self.peg_from_shoulder_mm
        x = -inward if self.end == "start" else rail.length_mm + inward
        rows = [(s[0] + s[1]) / 2 for s in sections] if len({s[:2] for s in sections}) == count > 1 else [
            y0 + (y1 - y0) * (k + 0.5) / count for k in range(count)
        ]
        for y in rows:
            middle = rail.placement.to_piece((x, y, (z0 + z1) / 2))
            ways = []
            for sign in (1.0, -1.0):
                way = tuple(sign * c for c in rail.placement.through)
                ways.append((leaves_mm(post, middle, way), way))
            near, way = min(ways, key=lambda w: w[0])
            far = max(w[0] for w in ways)
            start = tuple(m + near * w for m, w in zip(middle, way))
            beyond = (z1 - z0) / 2 + min(PEG_PAST_MM, max(far - (z1 - z0) / 2 - LEAST_WALL_MM, 0.0))
            out.append((start, tuple(-c for c in way), near + beyond))
        return out

    @property
    def peg_from_shoulder_mm(self) -> float:
        """Middle of a peg from the shoulder: one and a half diameters, no further than half the tenon. [mm]"""
        return min(max(1.5 * self.peg_mm, 10.0), self.length_mm / 2)

    def _peg_holes(self, piece: Piece) -> list[Prism]:
        out = []
        for start, way, deep in self._peg_lines(piece):
            outside = tuple(s - 2.0 * w for s, w in zip(start, way))
            out.append(hole(outside, way, self.peg_mm, deep + 2.0))
        return out

    def parts(self, piece: Piece) -> tuple[Part, ...]:
        timber = piece.member(self.first).timber
        return tuple(
            Part(f"peg, {self.family}", timber, hole(start, way, self.peg_mm, deep)) for start, way,
            deep in self._peg_lines(piece)
        )

    def hardware(self, piece: Piece) -> tuple[Hardware, ...]:
        if not self.pegs:
            return ()
        deep = max(d for *_, d in self._peg_lines(piece))
        return (Hardware(f"peg, {self.peg_mm:g} mm, of the same timber, {math.ceil(deep / 5) * 5 + 10:g} mm long",
                int(self.pegs)),)

    # ---- mitre

    def _way(self, piece: Piece) -> Vec:
        sign = -1.0 if self.end == "start" else 1.0
        return tuple(sign * c for c in piece.member(self.first).placement.along)

    def _core(self, piece: Piece) -> Vec:
        """The middle of the tenon at the shoulder plane, in piece axes."""
        m = piece.member(self.first)
        s = self.sections()
        y = (min(t[0] for t in s) + max(t[1] for t in s)) / 2
        z = (min(t[2] for t in s) + max(t[3] for t in s)) / 2
        return m.placement.to_piece((0.0 if self.end == "start" else m.length_mm, y, z))

    def _back_mm(self, piece: Piece) -> float:
        """How far a slanted shoulder lies behind the square end, at the tenon's middle. [mm]"""
        m, s = piece.member(self.first), self.sections()
        y = (min(t[0] for t in s) + max(t[1] for t in s)) / 2
        z = (min(t[2] for t in s) + max(t[3] for t in s)) / 2
        return sum(c.depth_mm(m, y, z) for c in m.shaping if getattr(c, "end", "") == self.end and hasattr(c,
                "depth_mm"))

    def _backs_mm(self, rail: Member) -> list[float]:
        """How far a slanted shoulder lies behind the square end, at the middle of each tenon. [mm]"""
        return [
            sum(c.depth_mm(rail, (y0 + y1) / 2, (z0 + z1) / 2) for c in rail.shaping if c.kind == "end cut" and c.end == self.end)
            for y0, y1, z0, z1 in self.sections()
        ]

    def middle_long_mm(self, rail: Member) -> list[float]:
        """Length of each tenon along its middle, from its own shoulder there. [mm]"""
        return [self.length_mm + back for back in self._backs_mm(rail)]

    def neighbour(self, piece: Piece) -> tuple[MortiseTenon, Vec] | None:
        """The tenon this one is mitred to, and where the two middles cross, in piece axes."""
        if not self.mitre:
            return None
        here, a = self._core(piece), self._way(piece)
        for other in piece.joints:
            if other is self or not isinstance(other, MortiseTenon) or other.second != self.second or not other.mitre:
                continue
            b = other._way(piece)
            turned = dot(a, b)
            if abs(turned) > 0.7:
                continue
            there = other._core(piece)
            gap = tuple(q - p for p, q in zip(here, there))
            # Closest points of the two middles: here + s a and there + t b.
            s = (dot(gap, a) - dot(gap, b) * turned) / (1 - turned * turned)
            t = (turned * dot(gap, a) - dot(gap, b)) / (1 - turned * turned)
            p, q = (tuple(c + k * w for c, w in zip(o, way)) for o, k, way in ((here, s, a), (there, t, b)))
            if math.dist(p, q) > (self.width_mm + other.width_mm) / 2 or min(s + self._back_mm(piece),
                t + other._back_mm(piece)) <= 0:
                continue
            return other, tuple((u + v) / 2 for u, v in zip(p, q))
        return None

    def _mitre_cut(self, piece: Piece) -> tuple[Prism, ...]:
        met = self.neighbour(piece)
        if met is None:
            return ()
        other, crossing = met
        a, b = self._way(piece), other._way(piece)
        normal = unit(tuple(p - q for p, q in zip(a, b)))
        along = unit(cross(a, b))
        across = cross(normal, along)
        here = self._core(piece)
        past = self.length_mm - dot(tuple(c - h for c, h in zip(crossing, here)), a)
        far = 1.5 * (max(past, 0.0) + self.thickness_mm / 2 + other.thickness_mm / 2) + 2.0
        tall = piece.member(self.first).width_mm + piece.member(other.first).width_mm
        origin = tuple(c - MITRE_GAP_MM / 2 * n for c, n in zip(crossing, normal))
        block = Prism(rectangle(-tall, -far, tall, far), Placement(origin, along, across), far)
        return (piece.member(self.first).placement.to_member_block(block),)

    # ---- what is said of it

    def ends(self, piece: Piece) -> dict[str, dict[str, str]]:
        rail = piece.member(self.first)
        return {self.first: {self.end: f"tenon {_each(self.middle_long_mm(rail))}{' at its middle' * bool(slant_deg(rail, self.end))}"}}

    def extra_length_mm(self, piece: Piece) -> dict[str, tuple[float, float]]:
        return {self.first: (self.length_mm, 0.0) if self.end == "start" else (0.0, self.length_mm)}

    def entry(self, piece: Piece) -> Vec | None:
        along = piece.member(self.first).placement.along
        sign = -1.0 if self.end == "start" else 1.0
        return tuple(sign * a + 0.0 for a in along)

    def depth_available_mm(self, piece: Piece) -> float:
        """Size of the mortised member in the direction the tenon enters. [mm]"""
        return _depth_mm(piece.member(self.first), piece.member(self.second))

    def stiff_shares(self, piece: Piece) -> tuple[float, float, float]:
        rail = piece.member(self.first)
        tongue, face = (min(t / max(w, 1.0), 1.0) for t, w in ((self.thickness_mm, self.width_mm), (rail.thickness_mm, rail.width_mm)))
        return TWIST_SHARE * tongue * tongue, face, 1.0

    def holds(self, piece: Piece, first: Strengths, second: Strengths) -> Holds | None:
        rail, sections = piece.member(self.first), self.sections()
        if not self.thickness_mm or not self.length_mm:
            return None
        out = rail.placement.along if self.end == "start" else back(rail.placement.along)
        y0, y1 = min(s[0] for s in sections), max(s[1] for s in sections)
        tongue = Tongue(
            self.width_mm, self.thickness_mm, self.length_mm, below=max(y0, rail.width_mm - y1 - self.haunch_mm, 0.0),
            face=(rail.width_mm, rail.thickness_mm), count=float(len(sections)), name="tenon",
        )
        return tongue_holds(out, rail.placement.across, tongue, first, second, evidence=TESTED)

    def glued_area_mm2(self, piece: Piece) -> float:
        return sum(2 * self.length_mm * (y1 - y0 + z1 - z0) for y0, y1, z0, z1 in self.sections())

    def _usual_thickness_mm(self, rail: Member) -> tuple[float, float, float, str, str]:
        """Least, best and greatest tenon thickness, the rule and its source."""
        third = rail.thickness_mm / 3
        if self.bare_faced:
            rule = "a third to a half, bare-faced"
            return 0.9 * third, rail.thickness_mm / 2, 0.65 * rail.thickness_mm, rule, PRACTICE
        return 0.9 * rail.thickness_mm / 4, third, 1.25 * third, "a third, down to a quarter for framing", ONE_THIRD

    def _opposed(self, piece: Piece) -> bool:
        """Whether another tenon enters the same member from the far side, in the same line."""
        rail = piece.member(self.first)
        here, way = end_middle(rail, self.end), self.entry(piece)
        for other in piece.joints:
            if other is self or not isinstance(other, MortiseTenon) or other.second != self.second:
                continue
            there, back = end_middle(piece.member(other.first), other.end), other.entry(piece)
            apart = tuple(b - a for a, b in zip(here, there))
            along = dot(apart, way)
            aside = tuple(a - along * w for a, w in zip(apart, way))
            if dot(way, back) < -0.9 and dot(aside, aside) < rail.width_mm**2 / 4:
                return True
        return False

    def findings(self, piece: Piece) -> list[Finding]:
        rail, post = piece.member(self.first), piece.member(self.second)
        where = f"{rail.name} into {post.name}"
        refs = (rail.ref, post.ref)
        least, best, most, rule, source = self._usual_thickness_mm(rail)
        depth = self.depth_available_mm(piece)
        left = depth - self.length_mm - MORTISE_DEEPER_MM
        part = {1 / 3: "a third"}.get(best / rail.thickness_mm, f"{best / rail.thickness_mm:.2f} of it")
        found = [
            _between(
                where, "tenon thickness", self.thickness_mm, least, most,
                f"{self.thickness_mm:.0f} mm on a {rail.thickness_mm:.0f} mm {rail.role}, {part} is {best:.1f} mm",
                rule, source,
                f"Make the tenon about {nearest_chisel(best):.0f} mm thick, or the {rail.role} "
                f"{self.thickness_mm * rail.thickness_mm / best:.0f} mm.", refs,
            ),
            _at_most(
                where, "tenon width", self.width_mm, 5 * self.thickness_mm,
                "at most five times its thickness", FIVE_TIMES,
                f"Divide the tenon in two, narrow it to {5 * self.thickness_mm:.0f} mm with a wider "
                "shoulder, or thicken it.", refs,
            ),
        ]
        if self.mitre:
            return found + self._mitre_findings(piece, where, refs) + self._peg_findings(piece, where, refs)
        if not self.through:
            opposed = self._opposed(piece)
            found.append(
                _between(
                    where, "tenon length", self.length_mm, (0.35 if opposed else 0.5) * depth, 2 / 3 * depth + 0.5,
                    f"{self.length_mm:.0f} mm into {depth:.0f} mm of {post.role}",
                    "two that meet end to end share the member between them" if opposed
                    else "a half to two thirds of the member it enters", "common practice, no source" if opposed else DEPTH,
                    f"Lengthen the tenon towards {depth / 2:.0f} mm, or make it a through tenon."
                    if self.length_mm < depth / 2
                    else f"Shorten the tenon to {2 / 3 * depth:.0f} mm.", refs,
                )
            )
            found.append(
                _at_least(
                    where, "timber left beyond the mortise", left, LEAST_WALL_MM,
                    "4.5 mm or more", WALL, "Shorten the tenon.", refs,
                )
            )
        return found + self._peg_findings(piece, where, refs)

    def _mitre_findings(self, piece: Piece, where: str, refs) -> list[Finding]:
        met = self.neighbour(piece)
        return [
            Finding(
                where, "mitred tenons", Verdict.STANDS if met else Verdict.LOOK_AGAIN,
                f"mitred to the tenon of {piece.member(met[0].first).name}, {MITRE_GAP_MM:g} mm between them" if met
                else "no mitred tenon meets it in the post",
                rule="tenons that meet in one post are cut at half the corner so that both keep their length",
                source=PRACTICE,
                mend="" if met else "Mitre the neighbour's tenon too, or make this one stopped.", stage="joints",
                refs=refs,
            )
        ]

    def _peg_findings(self, piece: Piece, where: str, refs) -> list[Finding]:
        if not self.pegs:
            return []
        low, high = self.thickness_mm / 2, self.width_mm / 3
        return [
            _between(
                where, "peg diameter", self.peg_mm, 5.0, max(high, 5.0),
                f"{self.peg_mm:g} mm in a tenon {self.width_mm:.0f} mm wide and {self.thickness_mm:.0f} mm thick",
                "5 mm or more, at most a third of the tenon's width", PRACTICE,
                f"A peg of {min(max(low, 5.0), max(high, 5.0)):.0f} mm.", refs,
            )
        ]

    def moves(self, piece: Piece, season: Season) -> list[Finding]:
        rail, post = piece.member(self.first), piece.member(self.second)
        refs = (rail.ref, post.ref)
        found = []
        sections = self.sections()
        span = max(s[1] for s in sections) - min(s[0] for s in sections)
        if span > GLUE_SAFE_MM:
            found += cross_grain_glue(season.swing(rail, span), f"{rail.name} into {post.name}, glued width").findings
        if self.pegs:
            size = "width" if abs(dot(rail.placement.along, post.placement.across)) > 0.7 else "thickness"
            found += pegged_shoulder(season.swing(post, self.peg_from_shoulder_mm, size), SHOULDER_GAP_MM).findings
        return [replace(f, refs=f.refs or refs) for f in found]

    def _named(self) -> str:
        if self.haunch_mm:
            return "haunched mortise and tenon"
        small = self.thickness_mm <= SMALL_MM[0] and self.width_mm <= SMALL_MM[1]
        return "small mortise and tenon" if small else "mortise and tenon"

    def operations(self, piece: Piece) -> list[Operation]:
        done = [Operation(self._named(), 1, "joint", f"{self.family}|{self.thickness_mm:g}")]
        if self.mitre:
            done.append(Operation("mitre a tenon's end", 1, "tenon", self.family))
        if self.pegs:
            done.append(Operation("bore and peg a tenon", int(self.pegs), "peg", f"{self.peg_mm:g}"))
        if any(getattr(s, "end", "") == self.end and s.kind == "end cut" for s in piece.member(self.first).shaping):
            done.append(Operation("angled shoulders", 1, "joint", self.family))
        return done

    def setting_out(self, piece: Piece) -> dict[str, str]:
        rail = piece.member(self.first)
        aslant = slant_deg(rail, self.end)
        long = _each(self.middle_long_mm(rail))
        deep = _each(v + MORTISE_DEEPER_MM for v in self.middle_long_mm(rail))
        out = {
            "tenon": f"{mm(self.thickness_mm)} thick x {mm(self.width_mm)} wide x {long} long",
            "shoulder at the lower edge": mm(self.shoulder_low_mm),
            "at the upper edge": mm(rail.width_mm - max(s[1] for s in self.sections())),
            "cheek in from the face": mm(rail.thickness_mm - max(s[3] for s in self.sections())),
            "mortise depth": "through" if self.through else deep,
        }
        if self.haunch_mm:
            out["haunch"] = self._haunch_words(piece)
        if self.bare_faced:
            out["bare-faced"] = "no shoulder at the back"
        if self.mitre:
            out["mitre"] = f"end cut at half the corner, {MITRE_GAP_MM:g} clear of its neighbour"
        if self.pegs:
            out["pegs"] = (
                f"{int(self.pegs)} of {self.peg_mm:g}, {mm(self.peg_from_shoulder_mm)} from the {'longest corner of the ' * bool(aslant)}shoulder; "
                "to draw it up, bore the tenon 1 nearer its shoulder"
            )
        if aslant:
            out["tenon"] += f" along its middle, from the shoulder there ({mm(self.length_mm)} past the longest corner of the shoulder)"
            if not self.through:
                out["mortise depth"] += " along the tenon, from the middle of its mouth"
            face, edge = (round(v, 1) + 0.0 for v in aslant)
            shorter = [("upper" if face > 0 else "lower") + " edge"] * (face != 0) + ["face" if edge > 0 else "back"] * (edge != 0)
            out["shoulder"] = (
                f"{abs(face):.1f} degrees on the face, {abs(edge):.1f} on the edge, shorter at the {' and the '.join(shorter)}; "
                "the tenon runs straight on"
            )
        return out

    def _haunch_words(self, piece: Piece) -> str:
        """A haunch's length, width and thickness, the depth of its mortise, and what is left at the end of that."""
        rail, post = piece.member(self.first), piece.member(self.second)
        block = self._haunches(rail)[0]
        y, z = (block.lo[1] + block.hi[1]) / 2, (block.lo[2] + block.hi[2]) / 2
        long = mm(self.haunch_mm + sum(c.depth_mm(rail, y, z) for c in rail.shaping if c.kind == "end cut" and c.end == self.end))
        words = f"{long} long x {mm(block.hi[1] - block.lo[1])} wide x {mm(self.thickness_mm)} thick, over the tenon; its mortise {long} deep"
        mortise = next((b for name, b in self._received(piece) if name == HAUNCH), None)
        if mortise is None:
            return words
        left = min(mortise.bounds.lo[0], post.length_mm - mortise.bounds.hi[0])
        return words + (f", {mm(left)} left to the end of the {post.role}" if left > 0.05 else f", open at the end of the {post.role}")


def _each(values) -> str:
    """'39', or '52.2 and 50.1' where the tenons of one end differ."""
    return " and ".join(dict.fromkeys(mm(v) for v in values))


def slant_deg(member: Member, end: str) -> tuple[float, float] | None:
    """How an end is cut out of square, seen on face and on edge, or None. [degrees]"""
    for s in member.shaping:
        if s.kind == "end cut" and s.end == end and (s.face_deg or s.edge_deg):
            return s.face_deg, s.edge_deg
    return None


LEAST_THROUGH_MM = 3.0
"""A tenon right through goes through more than this."""


@dataclass(frozen=True)
class ThroughTenon(MortiseTenon):
    """A tenon right through, flush beyond; wedged between tenon and mortise where asked."""

    kind = "through mortise and tenon"
    changeable = {
        "thickness_mm": "Tenon thickness, mm", "width_mm": "Tenon width, mm", "haunch_mm": "Haunch, 0 for none, mm",
        "wedges": "Wedged from outside, 1 or 0", "pegs": "Pegs, 0 for none", "peg_mm": "Peg diameter, mm",
    }

    through: bool = True
    wedges: float = 0.0

    @classmethod
    def between(cls, first: Member, second: Member, family: str = "",
            own: dict[str, float] | None = None) -> ThroughTenon:
        made = super().between(first, second, family, own)
        depths = [exit_mm(first, made.end, second, y, z) for y0, y1, z0,
            z1 in made.sections() for y in (y0, y1) for z in (z0, z1)]
        if max(depths) < LEAST_THROUGH_MM:
            raise ValueError(
                f"{first.name} ({first.ref}) ends on the far side of {second.name} ({second.ref}): nothing is left for its tenon to go "
                "through. Shorten or move it so that its shoulder meets the near face."
            )
        made = replace(made, length_mm=round(max(depths), 6))
        if made.wedges and not second.placement.seen(first.placement).square:
            raise ValueError(
                f"{first.name} ({first.ref}) enters {second.name} ({second.ref}) aslant: wedges need a tenon square to "
                "the face. Peg it, leave the wedges out, or let the two meet square, without splay or rake."
            )
        return made

    @property
    def wedge_mm(self) -> tuple[float, float]:
        """Length of a wedge and its thickness at the thick end. [mm]"""
        long = 2 / 3 * self.length_mm
        return long, min(long * math.tan(math.radians(WEDGE_DEG)), WEDGE_MOST_MM, max(self.shoulder_low_mm - 1.0, 1.5))

    def _wedges(self, rail: Member, past_mm: float) -> tuple[Prism, ...]:
        """Both wedges in the rail's axes, drawn on past the post's far face."""
        if not self.wedges:
            return ()
        long, thick = self.wedge_mm
        out = []
        for y0, y1, z0, z1 in self.sections():
            for y, way in ((y0, -1.0), (y1, 1.0)):
                tip = -self.length_mm if self.end == "start" else rail.length_mm + self.length_mm
                sign = -1.0 if self.end == "start" else 1.0
                more = thick * (1 + past_mm / long)
                outline = ((tip - sign * long, y), (tip + sign * past_mm, y + way * more), (tip + sign * past_mm, y))
                out.append(Prism(outline, Placement((0.0, 0.0, z0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0)), z1 - z0))
        return tuple(out)

    def cuts(self, piece: Piece) -> dict[str, tuple[Block, ...]]:
        cut = super().cuts(piece)
        rail, post = piece.member(self.first), piece.member(self.second)
        more = tuple(carried(w, rail.placement, post.placement) for w in self._wedges(rail, 2.0))
        cut[self.second] = cut[self.second] + more
        if not post.placement.seen(rail.placement).square:
            cut[self.first] = cut.get(self.first, ()) + (self._flush(rail, post),)
        return cut

    def named_parts(self, piece: Piece, ref: str, adds: bool) -> tuple[str, ...]:
        named = super().named_parts(piece, ref, adds)
        if adds:
            return named
        rail, post = piece.member(self.first), piece.member(self.second)
        if ref == self.second:
            return named + (WEDGE_ROOM,) * len(self._wedges(rail, 2.0))
        return named + (CUT_FLUSH,) * (not post.placement.seen(rail.placement).square)

    def _flush(self, rail: Member, post: Member) -> Block:
        """What of an angled tenon stands out beyond the post's far face, in the rail's axes."""
        way = post.placement.turn_back(tuple(c * (-1.0 if self.end == "start" else 1.0) for c in rail.placement.along))
        axis = max((1, 2, 0), key=lambda k: abs(way[k]))
        tips = [post.placement.box_to_member(rail.placement.box_to_piece(t)) for t in self._tenons(rail)]
        lo = [min(t.lo[k] for t in tips) - 5.0 for k in range(3)]
        hi = [max(t.hi[k] for t in tips) + 5.0 for k in range(3)]
        if way[axis] > 0:
            lo[axis] = post.box.hi[axis]
        else:
            hi[axis] = 0.0
        return carried(Box(tuple(lo), tuple(hi)), post.placement, rail.placement)

    def parts(self, piece: Piece) -> tuple[Part, ...]:
        rail = piece.member(self.first)
        wedges = tuple(
            Part(f"wedge, {self.family}", rail.timber, rail.placement.to_piece_block(w)) for w in self._wedges(rail,
                0.0)
        )
        return super().parts(piece) + wedges

    def findings(self, piece: Piece) -> list[Finding]:
        found = super().findings(piece)
        if self.wedges:
            rail, post = piece.member(self.first), piece.member(self.second)
            along = abs(dot(rail.placement.across, post.placement.along)) > 0.7
            found.append(
                Finding(
                    f"{rail.name} into {post.name}", "way the wedges press",
                    Verdict.STANDS if along else Verdict.LOOK_AGAIN,
                    "against end grain" if along else f"across the grain of {post.name}, which can split it",
                    rule="wedges press along the grain of the mortised member", source=PRACTICE,
                    mend="" if along else "Turn the tenon, or peg it instead.", stage="joints",
                    refs=(rail.ref, post.ref),
                )
            )
        return found

    def _named(self) -> str:
        return "through mortise and tenon"

    def operations(self, piece: Piece) -> list[Operation]:
        done = super().operations(piece)
        return [*done, Operation("fit and drive wedges", 2, "wedge", self.family)] if self.wedges else done

    def setting_out(self, piece: Piece) -> dict[str, str]:
        out = super().setting_out(piece)
        if self.wedges:
            long, thick = self.wedge_mm
            slope = math.degrees(math.atan2(thick, long))
            out["wedges"] = f"2, {mm(long)} long, {thick:.1f} at the thick end, {slope:.1f} degrees"
        return out


@dataclass(frozen=True)
class DoubleTenon(MortiseTenon):
    """Two tenons on one end: one above the other on a wide rail, or side by side on a thick one."""

    kind = "double mortise and tenon"
    changeable = {
        "thickness_mm": "Thickness of each tenon, mm", "width_mm": "Width of each tenon, mm",
        "length_mm": "Tenon length, mm",
        "haunch_mm": "Haunch, 0 for none, mm", "side_by_side": "Side by side, 1 or 0",
        "pegs": "Pegs, 0 for none", "peg_mm": "Peg diameter, mm",
    }

    side_by_side: float = 0.0
    spread_mm: float = 0.0
    """From the outer side of one tenon to the outer side of the other."""

    def sections(self) -> tuple[tuple[float, float, float, float], ...]:
        y, z, w, t = self.shoulder_low_mm, self.cheek_low_mm, self.width_mm, self.thickness_mm
        if self.side_by_side:
            return ((y, y + w, z, z + t), (y, y + w, z + self.spread_mm - t, z + self.spread_mm))
        return ((y, y + w, z, z + t), (y + self.spread_mm - w, y + self.spread_mm, z, z + t))

    def _flat(self, rail: Member) -> bool:
        """Whether it is a rail that lies flat, its two tenons beside each other and nearly as thick as it is."""
        return not self.side_by_side and rail.thickness_mm < rail.width_mm and self.thickness_mm > rail.thickness_mm / 2

    def _usual_thickness_mm(self, rail: Member) -> tuple[float, float, float, str, str]:
        if self._flat(rail):
            t = rail.thickness_mm
            return 0.6 * t, t - 2 * FLAT_SHOULDER_MM, t - FLAT_SHOULDER_MM, "beside each other in a rail that lies flat, all its thickness but a shoulder of 3 mm", PRACTICE
        if not self.side_by_side:
            return super()._usual_thickness_mm(rail)
        fifth = rail.thickness_mm / 5
        return 0.8 * fifth, fifth, 1.3 * fifth, "a fifth each, as much between them", PRACTICE

    def _named(self) -> str:
        return "double mortise and tenon"

    def setting_out(self, piece: Piece) -> dict[str, str]:
        out = super().setting_out(piece)
        lies = abs(piece.member(self.first).placement.across[2]) < 0.5
        way = "side by side" if self.side_by_side or lies else "one above the other"
        each = self.thickness_mm if self.side_by_side else self.width_mm
        return {"two tenons": f"{way}, {mm(self.spread_mm - 2 * each)} between them", **out}


@dataclass(frozen=True)
class LooseTenon(MortiseTenon):
    """A tongue of its own in a slot in each member: nothing is added to the member's length."""

    kind = "loose tenon"
    by_glue_alone = True
    changeable = {
        "thickness_mm": "Tenon thickness, mm", "width_mm": "Tenon width, mm",
        "length_mm": "Length into each member, mm",
    }

    def _tenons(self, rail: Member) -> tuple[Prism, ...]:
        return (self._tongue(rail, self.length_mm, self.length_mm),)

    def _tongue(self, rail: Member, back: float, out: float) -> Prism:
        """A tongue with rounded edges, ``back`` into the member and ``out`` of it."""
        y0, y1, z0, z1 = self.sections()[0]
        r = (z1 - z0) / 2
        x = -out if self.end == "start" else rail.length_mm - back
        return Prism(slot(y0 + r, z0 + r, y1 - r, z0 + r, 2 * r),
            Placement((x, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)), back + out)

    def adds(self, piece: Piece) -> dict[str, tuple[Block, ...]]:
        return {}

    def named_parts(self, piece: Piece, ref: str, adds: bool) -> tuple[str, ...]:
        return ()

    def cuts(self, piece: Piece) -> dict[str, tuple[Block, ...]]:
        rail, post = piece.member(self.first), piece.member(self.second)
        deep = self.length_mm + LOOSE_DEEPER_MM
        aslant = max((s.depth_mm(rail, y, z) for s in rail.shaping if getattr(s, "end", "") == self.end and hasattr(s,
                    "depth_mm")
                      for y in (0.0, rail.width_mm) for z in (0.0, rail.thickness_mm)), default=0.0)
        return {
            self.first: (self._tongue(rail, deep, 0.0),),
            self.second: (carried(self._tongue(rail, aslant + OUTSIDE_MM, deep), rail.placement, post.placement),),
        }

    def parts(self, piece: Piece) -> tuple[Part, ...]:
        rail = piece.member(self.first)
        block = self._tongue(rail, self.length_mm, self.length_mm)
        return (Part(f"loose tenon, {self.family}", rail.timber, rail.placement.to_piece_block(block), seen=False),)

    def hardware(self, piece: Piece) -> tuple[Hardware, ...]:
        return (Hardware(
            f"loose tenon, {self.thickness_mm:g} x {self.width_mm:g} x {2 * self.length_mm:g} mm, rounded edges, of "
            "the same timber", 1
        ),)

    def ends(self, piece: Piece) -> dict[str, dict[str, str]]:
        deep = self.length_mm + LOOSE_DEEPER_MM - self._backs_mm(piece.member(self.first))[0]
        return {self.first: {self.end: f"slot {mm(deep)} deep"}}

    def extra_length_mm(self, piece: Piece) -> dict[str, tuple[float, float]]:
        return {}

    def operations(self, piece: Piece) -> list[Operation]:
        return [Operation("loose tenon", 1, "joint", f"{self.thickness_mm:g}")]

    def setting_out(self, piece: Piece) -> dict[str, str]:
        out = super().setting_out(piece)
        size = f"{mm(self.thickness_mm)} thick x {mm(self.width_mm)} wide x {mm(2 * self.length_mm)} long"
        out["tenon"] = f"{size}, loose, rounded edges"
        rail, post = piece.member(self.first), piece.member(self.second)
        deep, back = self.length_mm + LOOSE_DEEPER_MM, self._backs_mm(rail)[0]
        out["mortise depth"] = (
            f"{mm(deep + back)} in the {post.role} and {mm(deep - back)} in the {rail.role}, each from the middle of its mouth along the tenon"
            if back else f"{mm(deep)} in both"
        )
        return out


def end_middle(member: Member, end: str) -> Vec:
    """The middle of a member's end, where it is cut aslant too, in piece axes."""
    y, z = member.width_mm / 2, member.thickness_mm / 2
    back = sum(c.depth_mm(member, y, z) for c in member.shaping if getattr(c, "end", "") == end and hasattr(c,
            "depth_mm"))
    return member.placement.to_piece((back if end == "start" else member.length_mm - back, y, z))


MEETS_MM = 1.0
"""How far an end may miss the face it is to be joined to and still be taken as meeting it."""


def meeting_end(first: Member, second: Member) -> str:
    """Which end of ``first`` stands on a face of ``second``: 'start' or 'end'.

    Raises ValueError, saying how far the nearer end is off, where neither does.
    """
    off = {}
    for end in ("start", "end"):
        off[end] = abs(outside_mm(second, end_middle(first, end)))
    end = min(off, key=off.get)
    shaped = any(s.kind in ("taper", "end cut") for s in (*first.shaping, *second.shaping))
    if off[end] > (MEETS_MM if not shaped else 3 * MEETS_MM):
        raise ValueError(
            f"{first.name} ({first.ref}) does not end on {second.name} ({second.ref}): its nearer end is "
            f"{off[end]:.0f} mm off. Move or lengthen it so that its shoulder meets the face."
        )
    return end


def _depth_mm(first: Member, second: Member) -> float:
    """Size of the second member in the direction of the first's length. [mm]"""
    way, p = first.placement.along, second.placement
    width = min([second.width_mm, *(s.worked_width_mm for s in second.shaping if hasattr(s, "worked_width_mm"))])
    return max(
        (abs(sum(w * a for w, a in zip(way, axis))), size)
        for axis, size in ((p.along, second.length_mm), (p.across, width), (p.through, second.thickness_mm))
    )[1]


def dot(a: Vec, b: Vec) -> float:
    """Scalar product."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def cross(a: Vec, b: Vec) -> Vec:
    """Vector product."""
    return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])


def unit(v: Vec) -> Vec:
    """The same direction, one long."""
    length = math.sqrt(dot(v, v))
    return tuple(c / length for c in v)


def leaves_mm(member: Member, point: Vec, way: Vec) -> float:
    """How far from a point inside a member, given in piece axes, until a line along ``way`` leaves it; 0 outside.
    [mm]"""
    p, w = member.placement.to_member(point), member.placement.turn_back(way)
    far = math.inf
    for c, d, size in zip(p, w, member.box.hi):
        if abs(d) > 1e-9:
            far = min(far, ((size if d > 0 else 0.0) - c) / d)
        elif not -1e-6 <= c <= size + 1e-6:
            return 0.0
    for s in member.shaping:
        if hasattr(s, "leaves_mm"):
            far = min(far, s.leaves_mm(p, w))
    return max(far, 0.0)


def outside_mm(member: Member, point: Vec) -> float:
    """How far a point given in piece axes lies outside a member; below 0 inside it. [mm]"""
    local = member.placement.to_member(point)
    out = max(max(-c, c - s) for c, s in zip(local, member.box.hi))
    return max(out, *(-s.inside_mm(local) for s in member.shaping if hasattr(s, "inside_mm")), -math.inf)


def exit_mm(first: Member, end: str, second: Member, y: float, z: float) -> float:
    """From the square end of the first, at a point of its section, straight on to the second's far face. [mm]"""
    sign, x = (-1.0, 0.0) if end == "start" else (1.0, first.length_mm)
    way = tuple(sign * c for c in first.placement.along)
    return leaves_mm(second, first.placement.to_piece((x, y, z)), way)


def stopped_room_mm(first: Member, end: str, second: Member) -> float:
    """How deep a stopped mortise may go: two thirds, and a wall left beyond it, aslant too. [mm]"""
    depth = _depth_mm(first, second)
    room = min(2 / 3 * depth + MORTISE_DEEPER_MM, depth - LEAST_WALL_MM)
    if second.placement.seen(first.placement).square:
        return room
    y, z = first.width_mm, first.thickness_mm
    exits = [exit_mm(first, end, second, b, c) for b in (0.15 * y, 0.85 * y) for c in (z / 3, 2 * z / 3)]
    inside = [e for e in exits if e > 0]
    return min(room, min(inside, default=depth) - LEAST_WALL_MM)


def _breadth_mm(first: Member, end: str, second: Member) -> float:
    """How wide a tenon the face it enters can take, its width lying across the grain there; no limit along it. [mm]"""
    if abs(dot(first.placement.across, second.placement.along)) > 0.7:
        return math.inf
    step = 0.5 if end == "end" else -0.5
    inside = tuple(m + step * a for m, a in zip(end_middle(first, end), first.placement.along))
    sides = [leaves_mm(second, inside, tuple(k * c for c in first.placement.across)) for k in (1.0, -1.0)]
    return 2 * min(sides) - 2 * max(BREADTH_WALL_MM, 0.2 * min(sides))


def _at_leg_end(rail: Member, end: str, post: Member) -> bool:
    """Whether the rail's upper edge is flush with an end of the post."""
    x = 0.0 if end == "start" else rail.length_mm
    edge = post.placement.to_member(rail.placement.to_piece((x, rail.width_mm, rail.thickness_mm / 2)))[0]
    return min(abs(edge), abs(edge - post.length_mm)) < rail.width_mm / 4


def nearest_chisel(thickness_mm: float) -> float:
    """The chisel (and cutter) width nearest to a wanted tenon thickness. [mm]"""
    return float(min(CHISELS_MM, key=lambda c: (abs(c - thickness_mm), c)))


def proportioned(
    family: str,
    tenoned: Member,
    end: str,
    mortised: Member,
    *,
    room_mm: float,
    at_leg_end: bool = False,
    changed: dict[str, float] | None = None,
    kind: type[MortiseTenon] = MortiseTenon,
) -> MortiseTenon:
    """A mortise and tenon by the rules of the trade, with the maker's own changes on top.

    Parameters
    ----------
    room_mm : float
        How deep a mortise may go before it meets another, or all but the wall left
        beyond it. [mm]
    at_leg_end : bool
        The rail is flush with the end of the leg: a third of its width is left as a
        haunched shoulder so that the mortise keeps timber above it.
    changed : dict
        Any of ``MortiseTenon.changeable`` that the maker set.

    Raises
    ------
    ValueError
        For a size that no timber could hold; says what is allowed.
    """
    changed = changed or {}
    _refuse_impossible(family, tenoned, mortised, changed, kind)
    side_by_side = bool(changed.get("side_by_side", 0.0)) and kind is DoubleTenon
    bare = bool(changed.get("bare_faced", 0.0))
    part = 5 if side_by_side else 2 if bare else 3
    thickness = changed.get("thickness_mm", nearest_chisel(tenoned.thickness_mm / part))
    if side_by_side and 2 * thickness > tenoned.thickness_mm - 5:
        raise ValueError(
            f"{family}: two tenons {thickness:g} mm thick side by side do not fit {tenoned.name}, "
            f"{tenoned.thickness_mm:g} mm "
            f"thick; {max((tenoned.thickness_mm - 5) / 2, 0):.0f} mm or less, or one above the other."
        )
    shoulder_low = min(END_SHOULDER_MM, tenoned.width_mm / 6)
    shoulder_high = tenoned.width_mm / 3 if at_leg_end else shoulder_low
    spread = tenoned.width_mm - shoulder_low - shoulder_high
    if kind is DoubleTenon and not side_by_side:
        width = changed.get("width_mm", float(math.floor(min(spread / 3, 5 * thickness))))
        if 2 * width > spread - 3.0:
            raise ValueError(
                f"{family}: two tenons {width:g} mm wide do not fit in {spread:.0f} mm between the shoulders of "
                f"{tenoned.name}; "
                f"give {max((spread - 3.0) / 2, 0):.0f} mm or less, or one tenon."
            )
    else:
        width = changed.get("width_mm", float(math.floor(min(spread, 5 * thickness))))
        if "width_mm" in changed or width < spread:
            spare = tenoned.width_mm - width
            shoulder_low = max(spare - shoulder_high, 0.0) if at_leg_end else spare / 2
    if changed.get("mitre"):
        room_mm = max(room_mm, _mitre_room_mm(tenoned, end, mortised, thickness))
    length = changed.get("length_mm", float(math.floor(room_mm - MORTISE_DEEPER_MM)))
    haunch = changed.get("haunch_mm", min(thickness, max(length, 0.0)) if at_leg_end else 0.0)
    more: dict[str, float] = {n: changed[n] for n in ("bare_faced", "mitre", "pegs", "wedges", "side_by_side")
        if n in changed}
    if "pegs" in kind.changeable:
        more["peg_mm"] = changed.get("peg_mm", float(max(5.0, min(nearest_chisel(width / 4), 10.0))))
    z = (tenoned.thickness_mm - thickness) / 2
    if side_by_side:
        more["spread_mm"] = min(3 * thickness, tenoned.thickness_mm - 2.0)
        z = (tenoned.thickness_mm - more["spread_mm"]) / 2
    elif kind is DoubleTenon:
        more["spread_mm"] = spread
    return kind(
        family=family,
        first=tenoned.ref,
        second=mortised.ref,
        end=end,
        thickness_mm=thickness,
        width_mm=width,
        length_mm=length,
        shoulder_low_mm=shoulder_low,
        cheek_low_mm=0.0 if bare else z,
        haunch_mm=0.0 if kind is LooseTenon else haunch,
        at_leg_end=at_leg_end,
        **more,
    )


def _mitre_room_mm(tenoned: Member, end: str, mortised: Member, thickness_mm: float) -> float:
    """Room for a tenon that runs to its neighbour's outer cheek, both rails set alike in the post. [mm]"""
    depth = _depth_mm(tenoned, mortised)
    x = 0.0 if end == "start" else tenoned.length_mm
    middle = tenoned.placement.to_piece((x, tenoned.width_mm / 2, tenoned.thickness_mm / 2))
    step = tuple(c * (-1e-3 if end == "start" else 1e-3) for c in tenoned.placement.along)
    inside = tuple(m + s for m, s in zip(middle, step))
    sides = [leaves_mm(mortised, inside, tuple(k * c for c in tenoned.placement.through)) for k in (1.0, -1.0)]
    return depth - max(min(sides) - thickness_mm / 2, LEAST_WALL_MM) + MORTISE_DEEPER_MM


def _refuse_impossible(family: str, tenoned: Member, mortised: Member, changed: dict[str, float], kind) -> None:
    most = {
        "thickness_mm": tenoned.thickness_mm - 2, "width_mm": tenoned.width_mm - 2,
        "length_mm": max(mortised.width_mm, mortised.thickness_mm), "haunch_mm": mortised.width_mm / 2,
        "bare_faced": 1.0, "mitre": 1.0, "wedges": 1.0, "side_by_side": 1.0, "pegs": 4.0, "peg_mm": 20.0,
    }
    for name, value in changed.items():
        if name not in kind.changeable:
            raise ValueError(
                f"{family}: a {kind.kind} has no {name!r}. It has: {', '.join(kind.changeable)}."
            )
        count = name in ("bare_faced", "mitre", "wedges", "side_by_side", "pegs")
        least = 0.0 if name == "haunch_mm" or count else 3.0
        if not least <= value <= most[name] or (count and value != int(value)):
            raise ValueError(
                f"{family}: {kind.changeable[name].partition(',')[0].lower()} is {value:g}{'' if count else ' mm'}; "
                f"give {least:g} to {most[name]:g}{', a whole number' if count else ' mm'}."
            )


def _between(where, what, value, low, high, says, rule, source, mend, refs) -> Finding:
    verdict = Verdict.STANDS if low - 1e-6 <= value <= high + 1e-6 else Verdict.LOOK_AGAIN
    return Finding(
        where, what, verdict, says, value, high if value > high else low if value < low else high,
        "mm", rule, source, "" if verdict is Verdict.STANDS else mend, "joints", refs,
    )


def _at_most(where, what, value, high, rule, source, mend, refs) -> Finding:
    verdict = Verdict.STANDS if value <= high + 1e-6 else Verdict.LOOK_AGAIN
    return Finding(
        where, what, verdict, f"{value:.0f} mm, at most {high:.0f} mm", value, high, "mm", rule,
        source, "" if verdict is Verdict.STANDS else mend, "joints", refs,
    )


def _at_least(where, what, value, low, rule, source, mend, refs) -> Finding:
    verdict = (
        Verdict.STANDS if value >= low - 1e-6
        else Verdict.LOOK_AGAIN if value > 0 else Verdict.FAILS
    )
    return Finding(
        where, what, verdict, f"{value:.1f} mm, at least {low:.1f} mm", low, max(value, 0.01), "mm",
        rule, source, "" if verdict is Verdict.STANDS else mend, "joints", refs,
    )
