"""Drawers in the frame of a table: in place of its front apron a rail over them and a rail under them.

The rail under them is tenoned into the front legs; the rail over them, at the legs' very top, is dovetailed into them from
above and goes on last, with the kickers in it. Uprights stand between where there are several drawers. Guides fill out from
the end aprons to the faces of the legs, and the runners at the ends are screwed to them; the kickers over them are
glued to the end aprons: tenoned, both would twist the rails beside the legs. Runners between are tenoned from the rail
to the back apron. Stops at the back set the faces even with the rails. The boxes are those of ``forms.drawers``, their
faces set in.

Drawers narrower than the front stand in its middle: rails run through, an upright stands at either side, and the rest of
the front is apron between upright and leg, let into both and glued to the rails with its grain along theirs. All runners
are then those between drawers, and the end aprons hold the top as they do in a table without drawers.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from studio_lib.finding import Finding, Verdict
from studio_lib.forms import drawers as box
from studio_lib.forms.casework import Joints, Members
from studio_lib.forms.drawers import Drawer, above_mm, slot_mm
from studio_lib.forms.form import SizeRefused
from studio_lib.forms.framing import Frame, Joiner
from studio_lib.piece.checks import LEAST_BETWEEN_MM
from studio_lib.piece.mortise_tenon import CHISELS_MM, END_SHOULDER_MM, DoubleTenon, nearest_chisel

MOST = 3
OPENING_MM = 66.0
"""Height of the opening proposed: room for papers and pens, as ``INSIDE_MM`` says."""
INSIDE_MM = (45.0, 70.0)
"""Clear height inside a drawer for papers and pens; common practice, no source."""
LEAST_OPENING_MM = 55.0
"""A lower box leaves no room over its bottom for a hand; judgement of ours."""
RAILS_MM = ((1050.0, 18.0, 22.0), (1300.0, 18.0, 25.0), (1700.0, 22.0, 28.0), (math.inf, 26.0, 34.0))
"""By what they span: height of the rails over and under the drawers, thickness of the top; by the frame of whole tables."""
NARROW_RAILS_MM = ((640.0, 18.0), (0.0, 24.0))
"""By the density of the timber: height of the rails where apron beside narrow drawers stiffens them, and of the kickers between; by the frame."""
PAST_MM = 350.0
"""A top longer than its rails by more than this is reckoned by its own length, less so much; judgement of ours."""
RAIL_DEEP_MM = 50.0
"""The rails from front to back, where the legs leave so much: two tenons beside each other hold them; by the frame."""
SHOULDER_MM = 3.0
"""Shoulder over and under a rail's tenons; common practice, no source."""
FACE_MM = 20.0
BESIDE_FACE_MM, UNDER_FACE_MM = 1.5, 1.0
"""Round a face set in, at either end and under it; common practice, no source."""
RUNNER_MM, KICKER_MM = 24.0, 40.0
"""Width of a runner, and of a kicker that also holds the top; judgement of ours."""
UPRIGHT_MM = 24.0
BESIDE_UPRIGHT_MM = 16.0
"""Width of the two tenons of a runner between drawers, clear of the upright's mortise between them; geometry."""
STOP_HIGH_MM = box.BOTTOM_UP_MM - 1.0
"""Under the bottom of a drawer, which may swell past its sides: only these stop at it; judgement of ours."""
GUIDE_OVER_MM = 12.0
"""How far a guide stands over its runner; judgement of ours."""
LEAST_GUIDE_MM, SCREWED_FROM_MM = 6.0, 16.0
"""Width of a guide at the least, and of one that takes screws, so that a worn runner comes off; judgements of ours."""
STOP_MM = 20.0
"""Length of a stop behind a drawer; judgement of ours."""
DEEPEST_MM = 600.0
"""A drawer is made no deeper: nobody reaches its back; judgement of ours."""
KICKER_EVERY_MM = 700.0
"""Between kickers no top goes further unheld; judgement of ours."""
NARROW_KICKER_EVERY_MM = 450.0
"""The same over apron beside narrow drawers, where no end kicker is glued to the end apron; by the frame."""
WIDE_MM = 900.0
"""A shallow drawer wider than this is pulled askew from one side and jams; common practice, no source."""
USUAL_WIDE_MM, PAPERS_WIDE_MM = 480.0, 800.0
"""A drawer for cutlery in a front far wider than it, where 450 to 500 mm hold the usual tray, and one for papers; common practice, no source."""
LEAST_APRON_MM = 60.0
"""Apron beside a drawer, let into upright and leg; judgement of ours."""
OVER_TENON_MM = 4.0
"""Left between a rail's mortise and that of the end apron; geometry."""


@dataclass(frozen=True)
class Bay:
    """What drawers stand in: the room in the frame of a table, in mm and in piece axes, its middle at x = 0."""

    count: int
    rail_mm: float
    """Height of the rails over and under the drawers."""
    rail_deep_mm: float
    """From front to back."""
    half_mm: float
    """From the middle to the inner faces of the legs."""
    apron_mm: float
    """From the middle to the inner face of an end apron."""
    front_mm: float
    """y of the front of the rails."""
    legs_mm: tuple[float, float]
    """y of the back of the front legs, and of the front of the back legs."""
    back_mm: float
    """y of the front of the back apron."""
    top_mm: float
    """Top of the rails, over the floor."""
    deep_mm: float
    """Height of the aprons, which is that of rails and opening."""
    swell: float
    pulls: bool
    drawer_mm: float = 0.0
    """Width of a drawer's opening where the drawers are narrower than the front; 0: they fill it."""
    apron_thick_mm: float = 0.0

    @property
    def narrow(self) -> bool:
        """Whether there is apron beside the drawers."""
        return self.drawer_mm > 0

    @property
    def row_mm(self) -> float:
        """Width of the row of drawers with the uprights between them."""
        return self.count * self.wide_mm + (self.count - 1) * UPRIGHT_MM

    @property
    def apron_beside_thick_mm(self) -> float:
        """Thickness of the apron beside the drawers: the aprons' own, as far as the rails reach behind it."""
        return min(self.apron_thick_mm, self.rail_deep_mm)

    @property
    def beside_mm(self) -> float:
        """Length of the apron at either side of the drawers."""
        return self.half_mm - self.row_mm / 2 - UPRIGHT_MM

    @property
    def opening_mm(self) -> float:
        """Height of a drawer's opening."""
        return self.deep_mm - 2 * self.rail_mm

    @property
    def low_mm(self) -> float:
        """What the drawers run on, over the floor."""
        return self.top_mm - self.deep_mm + self.rail_mm

    @property
    def behind_mm(self) -> float:
        """y of the back of the rails."""
        return self.front_mm + self.rail_deep_mm

    @property
    def wide_mm(self) -> float:
        """Width of a drawer's opening."""
        return self.drawer_mm or (2 * self.half_mm - (self.count - 1) * UPRIGHT_MM) / self.count

    def left_mm(self, k: int) -> float:
        """Left edge of an opening, from 0 at the left."""
        return -self.row_mm / 2 + k * (self.wide_mm + UPRIGHT_MM)

    def uprights(self) -> list[int]:
        """Uprights by the drawer at their right, from 0: between the drawers, and at either side of them where they are narrow."""
        return list(range(self.count + 1)) if self.narrow else list(range(1, self.count))

    @property
    def guide_mm(self) -> float:
        """Width of the guides at the ends; 0 where the end aprons guide the drawers, or nearly."""
        wide = 0.0 if self.narrow else self.apron_mm - self.half_mm
        return wide if wide >= LEAST_GUIDE_MM else 0.0

    def kickers_mm(self) -> list[tuple[float, float]]:
        """Left and right edges of the kickers: one at either side of each drawer, more between where it is wide.

        Those at the ends are glued to the end aprons and reach over the drawer as far as a runner is wide. Where the
        drawers are narrow all are between rail and back apron, and one more holds the top over a long apron beside them.
        """
        out = []
        for k in range(self.count):
            left, right = self.left_mm(k), self.left_mm(k) + self.wide_mm
            n = max(math.ceil((right - left - KICKER_MM) / KICKER_EVERY_MM), 1)
            step = (right - left - KICKER_MM) / n
            out += [(left + i * step, left + i * step + KICKER_MM) for i in range(n + 1)]
        if self.narrow:
            n = max(math.ceil(self.beside_mm / NARROW_KICKER_EVERY_MM) - 1, 0)
            at = [-self.half_mm + self.beside_mm * (i + 1) / (n + 1) for i in range(n)]
            more = [(x - KICKER_MM / 2, x + KICKER_MM / 2) for x in at]
            return [*more, *out, *((-b, -a) for a, b in reversed(more))]
        return [(-self.apron_mm, -self.half_mm + RUNNER_MM), *out[1:-1], (self.half_mm - RUNNER_MM, self.apron_mm)]

    def drawers(self) -> list[Drawer]:
        """Every drawer, from the left."""
        above, out = above_mm(self.opening_mm, self.swell), []
        y = self.front_mm + FACE_MM
        deep = min(self.back_mm - y - (STOP_MM - box.BEHIND_MM), DEEPEST_MM + box.BEHIND_MM)
        for k in range(self.count):
            left = self.left_mm(k)
            out.append(Drawer(
                k + 1, "drawer" if self.count == 1 else f"drawer {k + 1}", (left, y, self.low_mm), self.wide_mm,
                self.opening_mm, deep, above, (left + BESIDE_FACE_MM, self.low_mm + UNDER_FACE_MM),
                (self.wide_mm - 2 * BESIDE_FACE_MM, self.opening_mm - UNDER_FACE_MM - above, FACE_MM),
                self.pulls, slot_mm(deep, self.swell), "D",
            ))
        return out


def rail_deep_mm(leg_mm: float, setback_mm: float, apron_thick_mm: float) -> float:
    """The rails from front to back: their tenons stay clear of the haunch of the end apron in the same leg. [mm]"""
    room = leg_mm - setback_mm - nearest_chisel(apron_thick_mm / 3) - LEAST_BETWEEN_MM
    clear = room / (1 - 1 / 6)
    return min(RAIL_DEEP_MM, leg_mm - setback_mm, clear if clear < 6 * END_SHOULDER_MM else room + END_SHOULDER_MM)


def rail_and_top_mm(between_mm: float) -> tuple[float, float]:
    """Height of the rails and thickness of the top proposed between legs so far apart. [mm]"""
    return next((high, thick) for span, high, thick in RAILS_MM if between_mm <= span)


def narrow_rail_mm(density_kg_m3: float) -> float:
    """Height of the rails proposed where there is apron beside the drawers. [mm]"""
    return next(high for least, high in NARROW_RAILS_MM if density_kg_m3 >= least)


def inside_mm(opening_mm: float, swell: float) -> float:
    """Clear height inside a drawer, from its bottom to the edge of its sides. [mm]"""
    return opening_mm - above_mm(opening_mm, swell) - box.BOTTOM_UP_MM - box.BOTTOM_MM


def refused(b: Bay) -> None:
    """Raises SizeRefused for drawers that cannot be."""
    if b.opening_mm < LEAST_OPENING_MM:
        raise SizeRefused(
            "apron_width_mm",
            f"Aprons {b.deep_mm:g} mm deep leave {max(b.opening_mm, 0):.0f} mm for a drawer between rails of "
            f"{b.rail_mm:g} mm; {LEAST_OPENING_MM:g} mm at least. Give {2 * b.rail_mm + LEAST_OPENING_MM:.0f} mm or more, "
            "thinner rails, or no drawers.",
        )
    wide, least = max(b.wide_mm, 0.0), box.LEAST_WIDE_MM
    if b.narrow and b.beside_mm < LEAST_APRON_MM:
        most = (2 * (b.half_mm - UPRIGHT_MM - LEAST_APRON_MM) - (b.count - 1) * UPRIGHT_MM) / b.count
        fill = "0, which fills the front"
        raise SizeRefused(
            "drawer_mm",
            f"{'A drawer' if b.count == 1 else f'{b.count} drawers'} {b.drawer_mm:g} mm wide {'leaves' if b.count == 1 else 'leave'} {max(b.beside_mm, 0):.0f} mm of "
            f"apron at either side; {LEAST_APRON_MM:g} mm at least. "
            + (f"Give {math.floor(most):.0f} mm or less, or {fill}." if most >= least else f"Give {fill}, fewer drawers, or a longer table."),
        )
    if b.narrow and wide < least:
        raise SizeRefused("drawer_mm", f"A drawer {wide:g} mm wide; {least:g} mm at least. Give that or more, or 0, which fills the front.")
    if wide < least:
        most = int((2 * b.half_mm + UPRIGHT_MM) // (least + UPRIGHT_MM))
        raise SizeRefused(
            "drawers",
            f"{b.count} drawers between the legs would be {wide:.0f} mm wide; {least:g} mm at least. Give {most}, or a "
            "longer table." if most else
            f"Between the legs are {2 * b.half_mm:.0f} mm; a drawer needs {least:g} mm. A longer table, or 0 drawers.",
        )
    deep, least = max(b.drawers()[0].deep_mm, 0.0), box.LEAST_DEEP_MM
    if deep < least:
        raise SizeRefused(
            "drawers",
            f"Drawers would be {deep:.0f} mm deep from front to back and need {least:g} mm. A wider table, or 0 drawers.",
        )


# ---------------------------------------------------------------- members


def members(f: Frame, b: Bay) -> None:
    """Rails, uprights, runners, kickers, guides, stops and the drawers themselves."""
    out = Members(f.letter, f.timber, f.arris_mm)
    long, low, top = 2 * b.half_mm, b.top_mm - b.deep_mm, b.top_mm
    deep, r, y0 = b.rail_deep_mm, b.rail_mm, b.behind_mm
    for code, name, z in (("N1", "rail over the drawers", top - r), ("N2", "rail under the drawers", low)):
        called = name if b.count > 1 else name[:-1]
        out.add(code, called, "drawer rail", (-b.half_mm, b.front_mm, z), "x", "y", long, deep, r)
    for k in b.uprights():
        at = (b.left_mm(k) - UPRIGHT_MM, b.front_mm, low + r)
        name = f"upright between drawers {k} and {k + 1}" if 0 < k < b.count else f"upright beside the drawer{'s' if b.count > 1 else ''}, {_side(b, k)}"
        out.add(_upright(b, k), name, "upright", at, "z", "y", b.opening_mm, deep, UPRIGHT_MM)
    for code, side, x in (("U1", "left", -b.half_mm), ("U2", "right", b.row_mm / 2 + UPRIGHT_MM)) if b.narrow else ():
        out.add(code, f"apron beside the drawer{'s' if b.count > 1 else ''}, {side}", "front apron", (x, b.front_mm, low + r), "x", "z",
                b.beside_mm, b.opening_mm, b.apron_beside_thick_mm, "show", side)
    reach = b.back_mm - y0
    for k in range(b.count + 1):
        end = not b.narrow and k in (0, b.count)
        x0 = b.left_mm(k) - UPRIGHT_MM - RUNNER_MM if not end else -b.half_mm if k == 0 else b.half_mm - RUNNER_MM
        side = _side(b, k)
        name = f"drawer runner, {side}{' end' if end else ''}" if side else f"drawer runner, drawers {k} and {k + 1}"
        wide = RUNNER_MM if end else UPRIGHT_MM + 2 * RUNNER_MM
        out.add(f"G{k + 1}", name, "drawer runner", (x0, y0, low), "y", "x", reach, wide, r, "hidden", side, arris=0.0)
    kickers = b.kickers_mm()
    for n, (x0, x1) in enumerate(kickers, 1):
        near, far = b.legs_mm if n in (1, len(kickers)) and not b.narrow else (y0, b.back_mm)
        out.add(f"K{n}", f"kicker {n}", "drawer kicker", (x0, near, top - r), "y", "x", far - near, x1 - x0, r,
                "hidden", arris=0.0)
    high = r + GUIDE_OVER_MM
    if b.guide_mm:
        for code, side, x in (("Q1", "left", -b.apron_mm), ("Q2", "right", b.half_mm)):
            out.add(code, f"drawer guide, {side} end", "drawer guide", (x, b.legs_mm[0], low), "y", "z",
                    b.legs_mm[1] - b.legs_mm[0], high, b.guide_mm, "hidden", side, arris=0.0)
    for k in b.uprights():
        at = (b.left_mm(k) - UPRIGHT_MM, y0 + 2.0, b.low_mm)
        name = f"drawer guide, {_side(b, k)}" if _side(b, k) else f"drawer guide, drawers {k} and {k + 1}"
        out.add(f"Q{k + 2}", name, "drawer guide", at, "y", "x", reach - 4.0, UPRIGHT_MM, GUIDE_OVER_MM, "hidden", arris=0.0)
    for k, d in enumerate(b.drawers()):
        behind = d.low[1] + d.box_mm[2]
        for n, (side, x) in enumerate((("left", d.low[0]), ("right", d.low[0] + d.wide_mm - RUNNER_MM))):
            name = f"drawer stop{_of(b, k)}, {side}"
            out.add(f"P{2 * k + n + 1}", name, "drawer stop", (x, behind, b.low_mm), "y", "x", b.back_mm - behind, RUNNER_MM,
                    STOP_HIGH_MM, "hidden", side, arris=0.0)
        box.members(out, d)
    f.members += out.all


def _upright(b: Bay, k: int) -> str:
    """The code of the upright at the left of a drawer, from 0: those between drawers are V1 on."""
    return {0: f"V{b.count}", b.count: f"V{b.count + 1}"}.get(k, f"V{k}")


def _side(b: Bay, k: int) -> str:
    return "left" if k == 0 else "right" if k == b.count else ""


def _of(b: Bay, k: int) -> str:
    return "" if b.count == 1 else f" {k + 1}"


# ---------------------------------------------------------------- joints


def apron_tenon_mm(b: Bay, apron_thick_mm: float) -> dict[str, float]:
    """Width of an apron's tenon, clear of the mortise of the rail under the drawers in the same leg. [mm]"""
    room = b.deep_mm - b.deep_mm / 3 - b.rail_mm - OVER_TENON_MM
    return {"width_mm": float(math.floor(min(room, 5 * nearest_chisel(apron_thick_mm / 3))))}


def joints(j: Joiner, b: Bay) -> None:
    """The joints of rails, uprights, runners, kickers, guides and stops, and those of the boxes."""
    for leg in ("L1", "L2"):
        j.join("dovetail from above", "rail over drawers into leg", "N1", leg, "drawer_rail_mm")
    usual = {"thickness_mm": b.rail_mm - 2 * SHOULDER_MM, "width_mm": _twin_mm(b.rail_deep_mm)}
    j.tenons("rail under drawers into leg", "N2", ("L1", "L2"), "drawer_rail_mm", kind=DoubleTenon, usual=usual)
    for k in b.uprights():
        for rail in ("N2", "N1"):
            j.join("stub tenon", "upright into rails", _upright(b, k), rail, "drawer_rail_mm")
    for code, leg, k in (("U1", "L1", 0), ("U2", "L2", b.count)) if b.narrow else ():
        for into in (leg, _upright(b, k)):
            j.join("stub tenon", "apron beside the drawer into leg and upright", code, into, "drawer_mm")
        for rail in ("N2", "N1"):
            j.join("glued on", "apron beside the drawer on rails", code, rail, "drawer_mm")
    for n in range(1, b.count + 2):
        if b.narrow or n not in (1, b.count + 1):
            for end, on, into in (("start", "N2", "rail"), ("end", "A2", "back apron")):
                j.tenon(f"drawer runner into {into}", f"G{n}", end, on, "drawer_rail_mm", kind=DoubleTenon,
                        usual={"width_mm": BESIDE_UPRIGHT_MM})
        elif b.guide_mm:
            kind = "screws" if b.guide_mm >= SCREWED_FROM_MM else "glued on"
            j.join(kind, "drawer runner on its guide", f"G{n}", "Q1" if n == 1 else "Q2", "drawer_rail_mm")
        else:
            j.join("stub tenon", "drawer runner into rail", f"G{n}", "N2", "drawer_rail_mm")
            j.join("stub tenon", "drawer runner into back apron", f"G{n}", "A2", "drawer_rail_mm")
    for n in range(1, 2 * b.count + 1):
        j.join("glued on", "stop on its runner", f"P{n}", f"G{n // 2 + 1}", "drawers")
    last = len(b.kickers_mm())
    for code, apron in (("K1", "A4"), (f"K{last}", "A3")) if not b.narrow else ():
        j.join("glued on", "kicker on end apron", code, apron, "drawer_rail_mm")
    for n in range(1, last + 1) if b.narrow else range(2, last):
        j.join("stub tenon", "kicker into rail", f"K{n}", "N1", "drawer_rail_mm")
        # Let down with the rail before it.
        j.join("dovetail from above", "kicker into back apron", f"K{n}", "A2", "drawer_rail_mm")
    if b.guide_mm:
        for code, apron in (("Q1", "A4"), ("Q2", "A3")):
            j.join("glued on", "guide on end apron", code, apron, "apron_thickness_mm")
    for k in b.uprights():
        j.join("glued on", "guide on its runner", f"Q{k + 2}", f"G{k + 1}", "drawer_rail_mm")
    made = _Boxes(j)
    for d in b.drawers():
        box.joints(made, d)


def _twin_mm(deep_mm: float) -> float:
    """Width of each of a rail's two tenons, 3.5 of them in its depth, their shoulders and 3 mm between them kept. [mm]"""
    most = min(deep_mm / 3.5, (deep_mm - 2 * min(END_SHOULDER_MM, deep_mm / 6) - 3.0) / 2)
    return float(max((c for c in CHISELS_MM if c <= most), default=math.floor(most)))


class _Boxes(Joints):
    """The joints of the boxes, made by the table's own joiner: what cannot be is told of the table's sizes."""

    SIZES = {"drawer_mm": "apron_width_mm", "depth_mm": "width_mm"}

    def __init__(self, j: Joiner):
        self.j = j

    def join(self, kind, first, second, family, size, own=None):
        self.j.join(kind, family, first, second, self.SIZES[size], own)


# ---------------------------------------------------------------- findings


def fit(name: str, b: Bay, refs: tuple[str, ...]) -> list[Finding]:
    """Whether a wide shallow drawer runs true."""
    d = b.drawers()[0]
    wide, deep = d.wide_mm, d.box_mm[2]
    askew = wide > WIDE_MM or wide > 2 * deep
    two = (2 * b.half_mm - UPRIGHT_MM) / 2
    return [Finding(
        name, "drawer pulled askew", Verdict.LOOK_AGAIN if askew else Verdict.STANDS,
        f"a drawer {wide:.0f} mm wide and {deep:.0f} mm deep"
        + (": pulled at one side it turns in its opening and jams" if askew else ""), wide, min(WIDE_MM, 2 * deep), "mm",
        f"no shallow drawer wider than {WIDE_MM:.0f} mm, nor than twice its depth", "common practice, no source",
        "" if not askew else "A narrower drawer, or one more." if b.narrow else "One drawer more, or a shorter table." if b.count > 1
        else f"A width of about {USUAL_WIDE_MM:.0f} mm for it, the rest of the front apron; or two drawers, {two:.0f} mm wide each; or close guides all its depth and one pull, at its middle.",
        "sizes", refs,
    )]
