"""What would mend a check that does not stand: single changes, each with what it does to the look and to the price.

Sections of the form are taken up, and what the joint itself may change, until the check stands; the rest of the piece is checked with it.
Worked out only when asked for: every answer is a piece laid out anew.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from decimal import Decimal
from math import ceil, log

from studio_lib.derive import Derived, derive
from studio_lib.derived.given import ruled_out, stays
from studio_lib.finding import WORST_FIRST, Finding, Verdict
from studio_lib.forms import form
from studio_lib.piece import dowel, screw
from studio_lib.piece.checks import piece_findings
from studio_lib.structure.loads import loads_of, serves
from studio_lib.structure.slender import STEP_MM, may_be_slimmed
from studio_lib.structure.trial import Asked, found_at, key_of, seen_m2

MOST = 4
"""So many mends are offered, the cheapest first."""
PROBE_MM = 4.0
"""How far a size is taken up to see what it does."""
HELPS = 0.99
"""A change that leaves more than this of the utilisation helps nothing."""
LOOK_AGAIN_FROM = 0.9
"""A check asks for another look from here on."""
TRIES = 3
WALL = "wall"
"""The size of a case that says whether it is fixed to the wall."""
STANDS = "stands"
"""The size of a chest that says whether its back stands against a wall."""
BACK = "back"
"""The size of a case that says whether it has a back."""
RACKING = ("count", "depth_mm")
"""Figures of joints that keep a case from racking: screws in a back board, depth of a shelf's housing."""


@dataclass(frozen=True)
class Mend:
    """One change that mends a check."""

    path: str
    """Where it is made in the document."""
    words: str
    """'Apron thickness 22 to 26 mm'."""
    value: float
    used: float | None
    """What the check uses of what it has then."""
    seen_m2: float
    """How much more there is to be seen: faces and edges that show. [m2]"""
    dearer: Decimal | None
    """What it adds to the price, tax included; None where the price is not known."""
    breaks: str = ""
    """A check that does not stand with it, though it did before; empty for none."""
    boards: bool = True
    """Whether the boards seen and sold do for it, as they did before."""

    @property
    def looks(self) -> str:
        """What it does to the look, in words."""
        if abs(self.seen_m2) < 5e-4:
            return "does not show"
        return f"{abs(1e4 * self.seen_m2):.0f} cm2 {'more' if self.seen_m2 > 0 else 'less'} to be seen"


@dataclass(frozen=True)
class _Knob:
    """A figure that may be turned: a size of the form or one of a joint's own."""

    path: str
    label: str
    unit: str
    name: str
    family: str
    now: float
    most: float
    step: float

    stock: tuple[float, ...] = ()
    """What it is sold in; empty where anything can be made."""

    def made(self, value: float) -> float:
        """The next value at or over one that can be made or bought, within what is possible."""
        return min(next((v for v in self.stock if v >= value), self.now) if self.stock else value, self.most)

    def turned(self, asked: Asked, value: float) -> tuple[Asked, dict[str, float]]:
        if self.name == WALL:
            return replace(asked, setting=replace(asked.setting, held=True)), {**asked.sizes, WALL: value}
        if self.name == STANDS:
            asked = replace(asked, setting=replace(asked.setting, backed=True))
        if not self.family:
            return asked, {**asked.sizes, self.name: value}
        own = {**asked.joints, self.family: {**asked.joints.get(self.family, {}), self.name: value}}
        return replace(asked, joints=own), asked.sizes


def mends(
    d: Derived, index: int, finding: Finding, progress: Callable[[float], None] | None = None, stopped: Callable[[], bool] = lambda: False,
) -> list[Mend]:
    """Single changes after which a check of strength, sag, sway or standing stands, the cheapest first; at most ``MOST``.

    ``index`` is the piece's place in the commission. Raises LookupError while no timber is chosen.
    """
    asked = d.to_be_slimmed(index)
    before = found_at(asked, asked.sizes)
    if before is None:
        return []
    piece, found = before
    stood = {key_of(f) for f in found if f.verdict is not Verdict.FAILS}
    target = key_of(finding)
    kept = _rules(asked, asked.sizes, piece)
    knobs = [k for k in _knobs(asked, piece, index, finding) if k.family or not _stays(d.made[index], k)]
    out = []
    for n, knob in enumerate(knobs):
        if stopped():
            break
        if progress:
            progress(n / (len(knobs) + 1))
        got = _until_it_stands(asked, knob, target, finding, stopped)
        if got is None:
            continue
        value, after, its = got
        broken = _worse(kept, _rules(*knob.turned(asked, value), after))
        if broken is None:
            broken = next((f for f in its if f.verdict is Verdict.FAILS and key_of(f) in stood), None)
        now = next(f for f in its if key_of(f) == target)
        out.append(Mend(
            knob.path, knob.label if knob.name in (WALL, BACK, STANDS) else f"{knob.label} {knob.now:g} to {value:g}{knob.unit and ' ' + knob.unit}", value, None if knob.name in (WALL, STANDS) else now.utilisation, seen_m2(after) - seen_m2(piece),
            None, "" if broken is None else f"{broken.subject}: {broken.what}",
        ))
    priced = [_priced(d, m) for m in out if not stopped()]
    if progress:
        progress(1.0)
    return sorted(priced, key=lambda m: (bool(m.breaks), not m.boards, m.dearer is None, m.dearer or 0, m.seen_m2))[:MOST]


def _knobs(asked: Asked, piece, index: int, finding: Finding) -> list[_Knob]:
    limits = {s.name: s for s in form(asked.form).sizes}
    out = [
        _Knob(f"items.{index}.sizes.{name}", label, "mm", name, "", asked.sizes[name], limits[name].high, STEP_MM)
        for name, label in may_be_slimmed(asked.form)
    ]
    if asked.sizes.get(WALL) == 0:
        out.append(_Knob(f"items.{index}.sizes.{WALL}", limits[WALL].label, "", WALL, "", 0.0, 1.0, 1.0))
    if asked.sizes.get(STANDS) == 0:
        label = f"{limits[STANDS].label}: {limits[STANDS].choices[1]}"
        out.append(_Knob(f"items.{index}.sizes.{STANDS}", label, "", STANDS, "", 0.0, 1.0, 1.0))
    if finding.what.startswith("sway") and asked.sizes.get(BACK) == 0 and BACK in limits:
        label = f"{limits[BACK].label}: {limits[BACK].choices[1]}"
        out.append(_Knob(f"items.{index}.sizes.{BACK}", label, "", BACK, "", 0.0, 1.0, 1.0))
    turned = [(j, name) for j in _concerned(piece, finding) for name in j.changeable
              if j.family == finding.subject or name in RACKING]
    for joint in dict.fromkeys(j for j, _ in turned):
        out += [_Knob(f"items.{index}.joints.{joint.family}.{f.name}", f.label, f.unit, f.name, joint.family, f.now, _most(piece, joint, f.name, f.now), f.step, f.stock)
                for f in figures(joint) if (joint, f.name) in turned]
    return out


def _stays(made, knob: _Knob) -> bool:
    """Whether a size is not to be changed that way."""
    size = next(s for s in form(made.item.form).sizes if s.name == knob.name)
    return knob.name in stays(made) or (bool(size.choices) and int(knob.most) in ruled_out(size, made.brief))


STOCK_MM = {("dowels", "diameter_mm"): dowel.DIAMETERS_MM, ("screws", "diameter_mm"): screw.DIAMETERS_MM}
"""What is sold, by kind of joint and figure. [mm]"""


@dataclass(frozen=True)
class Figure:
    """A figure of a joint that can be moved."""

    name: str
    label: str
    """'apron into leg: tenon width'."""
    unit: str
    now: float
    step: float
    stock: tuple[float, ...]
    """What it is sold in; empty where anything can be made."""


def figures(joint) -> list[Figure]:
    """What the maker may set of a joint and is there, by its size: no yes or no, and no peg of a joint without any."""
    out = []
    for name, label in joint.changeable.items():
        now = getattr(joint, name, None)
        if isinstance(now, bool) or not isinstance(now, int | float) or not now > 0 or label.endswith("1 or 0") or (name == "peg_mm" and not joint.pegs):
            continue
        label, unit = (label.removesuffix(", mm"), "mm") if label.endswith(", mm") else (label.partition(", ")[0], "")
        step = 1.0 if unit == "mm" or float(now).is_integer() else 0.5
        out.append(Figure(name, f"{joint.family}: {label[0].lower()}{label[1:]}", unit, float(now), step, STOCK_MM.get((joint.kind, name), ())))
    return out


def _most(piece, joint, name: str, now: float) -> float:
    """As far as a joint's figure may go: a dowel is half of what it is bored into at the most, nothing grows to more than four times."""
    if (joint.kind, name) == ("dowels", "diameter_mm"):
        first = piece.member(joint.first)
        return max(min(first.thickness_mm, first.width_mm) / 2, now)
    return 4 * now


def _concerned(piece, finding: Finding) -> list:
    """One joint of the family a check is about; of a case that sways, one of each family that keeps it from racking."""
    first = {j.family: j for j in reversed(piece.joints)}
    if finding.what.startswith("sway"):
        return [j for j in reversed(first.values()) if {"back board", "shelf"} & {piece.member(j.first).role}]
    return [first[finding.subject]] if finding.subject in first else []


def _rules(asked: Asked, sizes: dict[str, float], piece) -> dict[tuple[str, str], Finding]:
    """What joints, screws and the form say of the piece besides its strength, the worst of each, by what is checked."""
    found = [*piece_findings(piece), *form(asked.form).fit_under(
        piece, sizes, asked.brief, loads_of(serves(asked.form), asked.use, asked.loads, asked.setting.children, asked.setting.sitters))]
    out: dict[tuple[str, str], Finding] = {}
    for f in sorted(found, key=lambda f: WORST_FIRST.index(f.verdict)):
        out.setdefault((f.subject, f.what), f)
    return out


def _worse(before: dict[tuple[str, str], Finding], after: dict[tuple[str, str], Finding]) -> Finding | None:
    """What stood and does not any more, or asks for another look and fails now; what fails first."""
    def rank(f):
        return WORST_FIRST[::-1].index(f.verdict)

    worse = [f for k, f in after.items() if not f.stands and (k not in before or rank(f) > rank(before[k]))]
    return max(worse, key=rank, default=None)


def _until_it_stands(asked: Asked, knob: _Knob, target, finding: Finding, stopped):
    """The least value found at which the check stands, with the piece and its findings; None where this does not mend it.

    What only asked for another look must stand; what changes nothing of it mends nothing.
    """
    used, wanted = finding.utilisation, (Verdict.STANDS,) if finding.verdict is Verdict.LOOK_AGAIN else (Verdict.STANDS, Verdict.LOOK_AGAIN)

    def at(value):
        got = found_at(*knob.turned(asked, value))
        its = None if got is None else next((f for f in got[1] if key_of(f) == target), None)
        return None if its is None else (got, its)

    most = 1.0 if finding.verdict is Verdict.FAILS else LOOK_AGAIN_FROM
    value = knob.made(knob.now + max(knob.step, PROBE_MM if knob.step == STEP_MM else knob.step))
    for _ in range(TRIES):
        if stopped() or value <= knob.now:
            return None
        tried = at(value)
        if tried is None:
            return None
        got, its = tried
        # A wall takes nothing off what turns it: it holds it.
        helps = knob.name in (WALL, STANDS) or its.utilisation is None or used is None or its.utilisation <= HELPS * used
        if its.verdict in wanted and helps:
            return value, *got
        if knob.now <= 0 or its.utilisation is None or used is None or not helps:
            return None
        # Utilisation falls by a power of the size: how far up is it to stand, rounded up to a step?
        power = log(used / its.utilisation) / log(value / knob.now)
        least = knob.now * (used / most) ** (1 / power)
        value = knob.made(max(knob.now + ceil((least - knob.now) / knob.step - 1e-6) * knob.step, value + knob.step))
    return None


def _priced(d: Derived, mend: Mend) -> Mend:
    """The mend with what it adds to the price; boards laid out anew both times, so that like is held against like."""
    try:
        plain = d.commission.changed("boards.kept_layout", None)
        before, after = derive(plain, d.known), derive(plain.changed(mend.path, mend.value), d.known)
        if after.layout.missing and not before.layout.missing:
            return replace(mend, boards=False)
        if before.price.unpriced or after.price.unpriced:
            return mend
        return replace(mend, dearer=after.price.gross - before.price.gross)
    except (ValueError, LookupError, ArithmeticError):
        return mend
