"""Will a slatted table or stool hold: slats, bearers, rails, joints, balance.

Every member is taken as simply supported between those that carry it, which is the
safe side for a slat running on over several bearers. The load stands where it does
most harm. Strength is checked for a short load; sag at once and after years of
creep under what stays on.
"""

from __future__ import annotations

from studio_lib.finding import Finding, Verdict, from_ratio
from studio_lib.piece import Member, Piece
from studio_lib.piece.model import profile
from studio_lib.structure import beams
from studio_lib.structure.loads import G, SEAT, TABLE, Load
from studio_lib.structure.sections import Section, rectangle, section
from studio_lib.structure.strength import (
    K_DEF, SERVICE_CLASS, SOURCE, Wood, design_mpa, tenon_strength,
)

FORMS = ("slatted table", "slatted stool")
"""Forms that these checks know."""
SAG_LIMIT = 300
"""Span over this, under the full static load; a proposal of ours for table tops and seats."""
SAG_SEEN = 384
"""Span over this is where an eye notices sag: 1/32 in. a foot, shelf-building rule."""
SEAT_PAD_MM = 200.0
"""A seat load stands on a pad of this width; EN 1728, from memory."""
TABLE_PAD_MM = 100.0
"""A table load stands on a pad of this diameter, as a foot does; EN 1730, from memory."""


def weight_n(piece: Piece, wood: Wood) -> float:
    """Weight of the timber, joints and all. [N]"""
    from studio_lib.solids import volume_mm3

    return sum(volume_mm3(piece.shape(m.ref)) for m in piece.members) * 1e-9 * wood.density_kg_m3 * G


def structure_findings(piece: Piece, wood: Wood, place: str, use: str) -> list[Finding]:
    """Every strength, sag and balance check of a slatted piece."""
    missing = wood.missing()
    balance = _balance(piece, wood, use)
    if missing:
        return balance + [
            Finding(
                piece.name, "strength", Verdict.OPEN,
                f"{wood.name} has no published {' or '.join(missing)} on file",
                mend="Accept a conservative stand-in on the timber page, or choose another timber.",
                stage="sizes",
            )
        ]
    loads = (TABLE if _is_table(piece) else SEAT)[use]
    service = SERVICE_CLASS[place]
    check = _Checker(piece, wood, loads, service)
    found = check.slats() + check.bearers() + check.aprons() + check.tenons() + balance
    return found


def _is_table(piece: Piece) -> bool:
    return piece.form == "slatted table"


class _Checker:
    def __init__(self, piece: Piece, wood: Wood, loads: dict[str, Load], service: int):
        self.piece, self.wood, self.loads = piece, wood, loads
        self.bend = design_mpa(wood.bending_mean_mpa, "bending", service)
        self.shear = design_mpa(wood.shear_mean_mpa, "shear", service)
        self.creep = 1 + K_DEF[service]
        self.by_role: dict[str, list[Member]] = {}
        for m in piece.members:
            self.by_role.setdefault(m.role, []).append(m)

    def _strong(self, subject, what, moment, z_mm3, mend, load, refs) -> Finding:
        return from_ratio(
            subject, what, moment / z_mm3, self.bend, "MPa",
            rule=f"{load.what}: {load.force_n:.0f} N", source=f"{load.source}; {SOURCE}",
            mend=mend, stage="sizes", refs=refs,
        )

    def _bearer_gap_mm(self) -> float:
        at = sorted(b.piece_box.centre[0] for b in self.by_role["bearer"])
        return max(b - a for a, b in zip(at, at[1:]))

    def _on_one_slat(self, slat_width_mm: float) -> tuple[float, str]:
        """Part of a load that stands on one slat, and on whose word."""
        if _is_table(self.piece):
            # A foot, or the pad that stands for one, finds one slat; narrow ones help
            # each other only through bearers, which is left out.
            return 1.0, f"all of it, on a pad of {TABLE_PAD_MM:.0f} mm: EN 1730, from memory"
        share = min(1.0, slat_width_mm / SEAT_PAD_MM)
        return share, f"its share of a {SEAT_PAD_MM:.0f} mm pad: EN 1728, from memory"

    def slats(self) -> list[Finding]:
        slat = self.by_role["slat"][0]
        load, span = self.loads["down"], self._bearer_gap_mm()
        s = section(profile(slat))
        share, how = self._on_one_slat(slat.width_mm)
        force = load.force_n * share
        refs = tuple(m.ref for m in self.by_role["slat"])
        sag = beams.sag_centre_mm(force, span, self.wood.e_mpa, s.i_thickness_mm4)
        out = [
            self._strong("slats", "bending between bearers", beams.moment_centre_n_mm(force, span),
                         s.z_thickness_mm3, "Thicker slats, or one more bearer.", load, refs),
            from_ratio(
                "slats", "sag between bearers", sag, span / SAG_LIMIT, "mm",
                rule=f"span / {SAG_LIMIT} under {force:.0f} N on one slat ({how})",
                source="a proposal of ours; load " + load.source,
                mend="Thicker slats, or one more bearer.", stage="sizes", refs=refs,
                says=f"{sag:.2f} mm of {span / SAG_LIMIT:.2f} mm on {span:.0f} mm",
            ),
        ]
        reach = max(0.0, slat.length_mm / 2 - max(abs(b.piece_box.centre[0]) for b in self.by_role["bearer"]))
        if reach > 20:
            edge = self.loads["edge"]
            out.append(
                self._strong("slats", "bending over the end bearer",
                             beams.cantilever_moment_n_mm(edge.force_n * share, reach), s.z_thickness_mm3,
                             "Less overhang at the ends, or thicker slats.", edge, refs)
            )
        return out

    def bearers(self) -> list[Finding]:
        bearer = self.by_role["bearer"][0]
        load, span = self.loads["down"], bearer.length_mm
        refs = tuple(m.ref for m in self.by_role["bearer"])
        s = rectangle(bearer.width_mm, bearer.thickness_mm)
        halved = [j for j in self.piece.joints if j.kind == "cross halving" and j.first == bearer.ref]
        moment = beams.moment_centre_n_mm(load.force_n, span)
        rails = self.by_role.get("middle rail")
        if halved and rails:
            left, rail_left = halved[0].left_mm(self.piece)
            # Both members meet at the load and must sag alike, so they share it by
            # stiffness; each is taken with its full section for stiffness and with
            # what the halving leaves for strength.
            rail = rails[0]
            r = rectangle(rail.width_mm, rail.thickness_mm)
            stiff_b = s.i_width_mm4 / span**3
            stiff_r = r.i_width_mm4 / rail.length_mm**3
            part = stiff_b / (stiff_b + stiff_r)
            net_b = rectangle(left, bearer.thickness_mm).z_width_mm3
            net_r = rectangle(rail_left, rail.thickness_mm).z_width_mm3
            return [
                self._strong("bearers", "bending at the halving", part * moment, net_b,
                             "Deeper or thicker bearers, or cut less from them and more from the middle rail.",
                             load, refs),
                self._strong("middle rail", "bending at the halving",
                             (1 - part) * beams.moment_centre_n_mm(load.force_n, rail.length_mm), net_r,
                             "A deeper middle rail, or cut less from it.", load, (rail.ref,)),
                self._sag("bearers", part * load.force_n, span, s, load, refs),
            ]
        return [
            self._strong("bearers", "bending", moment, s.z_width_mm3, "Deeper or thicker bearers.", load, refs),
            self._sag("bearers", load.force_n, span, s, load, refs),
        ]

    def _sag(self, subject, force, span, s: Section, load, refs) -> Finding:
        sag = beams.sag_centre_mm(force, span, self.wood.e_mpa, s.i_width_mm4)
        return from_ratio(
            subject, "sag", sag, span / SAG_LIMIT, "mm", rule=f"span / {SAG_LIMIT} under {force:.0f} N",
            source="a proposal of ours; load " + load.source, mend="Deeper members.", stage="sizes",
            refs=refs, says=f"{sag:.2f} mm of {span / SAG_LIMIT:.2f} mm on {span:.0f} mm",
        )

    def aprons(self) -> list[Finding]:
        apron = max(self.by_role["apron"], key=lambda m: m.length_mm)
        load, span = self.loads["down"], apron.length_mm
        refs = tuple(m.ref for m in self.by_role["apron"])
        s = rectangle(apron.width_mm, apron.thickness_mm)
        half = load.force_n / 2
        found = [
            self._strong("long aprons", "bending", beams.moment_centre_n_mm(half, span), s.z_width_mm3,
                         "Deeper aprons.", load, refs),
        ]
        spread = self.loads.get("spread")
        if spread:
            area_m2 = self.piece.overall_mm[0] * self.piece.overall_mm[1] * 1e-6
            laid = spread.force_n * area_m2 / 2 + weight_n(self.piece, self.wood) / 4
            at_once = beams.sag_spread_mm(laid, span, self.wood.e_mpa, s.i_width_mm4)
            after = at_once * self.creep
            found.append(
                from_ratio(
                    "long aprons", "sag after years", after, span / SAG_SEEN, "mm",
                    rule=f"span / {SAG_SEEN}, where the eye begins to see it; left laid for good",
                    source="1/32 in. a foot, shelf-building rule; creep EN 1995-1-1 table 3.2",
                    mend="Deeper aprons.", stage="sizes", refs=refs,
                    says=f"{at_once:.2f} mm at once, {after:.2f} mm after years, seen from {span / SAG_SEEN:.1f} mm",
                )
            )
        return found

    def tenons(self) -> list[Finding]:
        """A push along the piece is carried by the joints between legs and rails."""
        load = self.loads["push"]
        leg = self.by_role["leg"][0]
        joint = next(j for j in self.piece.joints if j.family == "apron into leg")
        apron = self.piece.member(joint.first)
        lower = next((j for j in self.piece.joints if j.family == "lower rail into leg"), None)
        reach = leg.length_mm - apron.width_mm / 2
        moment = load.force_n / 4 * reach
        strength = tenon_strength(
            joint.thickness_mm, joint.width_mm, joint.length_mm, self.bend, self.shear
        )
        refs = tuple(sorted({j.first for j in self.piece.joints if j.family == joint.family}))
        mend = (
            "Widen or lengthen the tenon, deepen the apron, or thicken the leg."
            if strength.governed_by == "the glued cheeks"
            else "Thicken or widen the tenon, or deepen the apron."
        )
        note = "" if lower is None else "; the lower rails help and are left out"
        return [
            from_ratio(
                "apron into leg", "strength of the tenon", moment / 1000, strength.moment_n_mm / 1000,
                "N m",
                rule=f"{load.what}: {load.force_n:.0f} N shared by four legs, {reach:.0f} mm below the joint{note}",
                source=f"{load.source}; mechanics of the tenon, {strength.governed_by}; {SOURCE}",
                mend=mend, stage="joints", refs=refs,
                says=f"{moment / 1000:.0f} N m asked, {strength.moment_n_mm / 1000:.0f} N m held, "
                f"by {strength.governed_by}",
            )
        ]


def _balance(piece: Piece, wood: Wood, use: str) -> list[Finding]:
    """Tipping over the feet by a load at the edge, the piece standing empty."""
    weight = weight_n(piece, wood)
    feet = [m.piece_box for m in piece.members if m.role == "leg"]
    half_l, half_w = piece.overall_mm[0] / 2, piece.overall_mm[1] / 2
    foot_x = max(b.hi[0] for b in feet)
    foot_y = max(b.hi[1] for b in feet)
    if _is_table(piece):
        load, inside, outward = TABLE[use]["edge"], 50.0, 0.0
        source = "EN 581-3 stability, 50 mm from the edge; force " + load.source
    else:
        load, inside, outward = SEAT[use]["edge"], 60.0, 20.0
        source = "EN 1022 forward test: 600 N at 60 mm from the edge with 20 N outwards"
    found = []
    for way, half, foot in (("over its end", half_l, foot_x), ("over its side", half_w, foot_y)):
        tipping = load.force_n * max(0.0, half - inside - foot) + outward * piece.overall_mm[2]
        righting = weight * foot + load.force_n * max(0.0, foot - (half - inside))
        found.append(
            from_ratio(
                piece.name, f"tipping {way}", tipping / 1000, righting / 1000, "N m",
                rule=f"{load.what}: {load.force_n:.0f} N at {inside:.0f} mm from the edge",
                source=source, mend="Move the legs outwards, or make the piece heavier low down.",
                stage="sizes", look_again_from=0.9,
                says=f"{tipping / 1000:.0f} N m would tip it, {righting / 1000:.0f} N m hold it down",
            )
        )
    return found
