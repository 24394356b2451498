"""The maker's departures from a form: members altered, moved, copied, added, taken out; joints swapped.

``assembled`` makes the piece from what a form lays out and what the maker changed, in the
maker's order. A change that cannot be made, or no longer can, is said in ``piece.findings``
under ``UNMADE`` and left in the document, so that it comes back when it can.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace

from studio_lib.commission import (
    AnyChange,
    ByCorner,
    Spanning,
)
from studio_lib.finding import Finding, Verdict
from studio_lib.forms.form import SizeRefused
from studio_lib.piece import Joint, Member, Piece, Placement
from studio_lib.piece.kinds import KINDS, joined, lost_by_swap
from studio_lib.piece.placing import against, laid, spanning
from studio_lib.piece.shaping import checked, shaping

UNMADE = "change of your own"
"""What a finding is called that reports a change which could not be made."""
YES_OR_NO = ", 1 or 0"
"""How the label of a joint's figure ends that is only on or off."""
LEFT_ASIDE = "figure of your own"
"""How a finding is called that reports a joint's figure which could not be cut."""


class _CannotBe(ValueError):
    """A change that does not apply to the piece as it stands."""


def own_ref(ref: str, letter: str) -> str:
    """A reference with the piece's present letter, whatever letter it was written with."""
    return f"{letter}-{ref.rpartition('-')[2]}"


def assembled(
    *,
    name: str,
    form: str,
    letter: str,
    members: list[Member],
    lay_joints: Callable[[dict[str, Member], dict[str, dict[str, float]]], list[Joint]],
    changes: tuple[AnyChange, ...] = (),
    own: dict[str, dict[str, float]] | None = None,
    lay_fixings: Callable[[list[Member]], tuple] = lambda members: (),
    overall_mm=None,
    timber: str = "",
    check: Callable[[list[Member], list[Joint], set[str]], None] = lambda members, joints, own: None,
    found: tuple[Finding, ...] = (),
) -> Piece:
    """The piece a form lays out with the maker's changes made on it.

    Parameters
    ----------
    lay_joints : function of ({reference: Member}, {family: {figure: value}}) -> list of Joint
        Called with the members as altered, those taken out included, so that a form need
        not ask which are there; joints of members taken out are dropped. The figures are the
        maker's without those of a swapped family, which belong to the kind swapped in.
    own : {family: {figure: value}}
        Figures of joints that the maker set.
    check : function of (members, joints, references the maker changed)
        Raises SizeRefused for what no timber can be made to.

    Raises
    ------
    SizeRefused
        Where a size of the form cannot be built.
    """
    own = own or {}
    known = {m.ref: m for m in members}
    gone: set[str] = set()
    late: list[tuple[int, AnyChange]] = []
    unmade: list[Finding] = []
    touched: set[str] = set()
    copies: list[tuple[int, str, str]] = []
    for number, change in enumerate(changes, 1):
        if change.off:
            continue
        try:
            if change.kind in ("join", "unjoin", "swap"):
                late.append((number, change))
                continue
            _make(change, known, gone, letter, timber, touched)
            if change.kind == "copy" and change.with_joints:
                copies.append((number, own_ref(change.member, letter), own_ref(change.ref, letter)))
        except ValueError as error:
            unmade.append(_report(number, str(error)))
    present = [m for m in known.values() if m.ref not in gone]
    swapped = {change.family for _, change in late if change.kind == "swap"}
    while True:
        by_kind = {family: figures for family, figures in own.items() if family not in swapped}
        as_formed = lay_joints(known, by_kind)
        laid_joints = [j for j in as_formed if not {j.first, j.second} & gone]
        for number, source, copy in copies:
            for joint in [j for j in laid_joints if source in (j.first, j.second)]:
                first, second = (copy if r == source else r for r in (joint.first, joint.second))
                try:
                    figures = _figures(joint.kind, joint.family, by_kind)
                    laid_joints.append(joined(joint.kind, known[first], known[second], joint.family, figures))
                except ValueError:
                    pass  # the copy stands elsewhere: it has no such joint there, and the check on loose members says so
        said, aside, not_swapped = [], [], set()
        for place, (number, change) in enumerate(late):
            try:
                laid_joints = _rejoin(change, laid_joints, present, known, gone, letter, own, late[place + 1:], aside)
            except ValueError as error:
                said.append(_report(number, str(error)))
                if change.kind == "swap":
                    not_swapped.add(change.family)
        if not not_swapped & swapped:
            break
        swapped -= not_swapped  # what could not be swapped keeps the maker's figures on the kind it has
    unmade += [*said, *aside]
    families = {j.family for j in laid_joints}
    waiting = {c.family for _, c in late if c.kind in ("join", "swap")}
    for family in own:
        if family not in families | waiting and not changes:
            raise SizeRefused(
                f"joints.{family}",
                f"There is no joint family {family!r} in {name}. It has: {', '.join(sorted(families)) or 'none'}.",
            )
    check(present, laid_joints, touched)
    piece = Piece(
        name=name, form=form, members=tuple(present), joints=tuple(laid_joints),
        fixings=tuple(f for f in lay_fixings(present) if not {f.near, f.far} & gone),
        findings=(*found, *unmade, *(_hanging(as_formed, laid_joints, known, gone) if gone else ())),
        overall_mm=overall_mm or overall(present),
    )
    return _sound(piece, letter) if changes else piece


HANGS = "end held by nothing"
"""What a finding is called on a member whose end was joined to one that was taken out."""


def _hanging(as_formed: list[Joint], joints: list[Joint], known: dict[str, Member], gone: set[str]) -> list[Finding]:
    """Members whose end was held in one that was taken out, and is held in no other."""
    held = {(j.first, j.end) for j in joints if hasattr(j, "end")}
    lost: dict[str, list[Joint]] = {}
    for j in as_formed:
        if j.second in gone and j.first not in gone and hasattr(j, "end") and (j.first, j.end) not in held:
            lost.setdefault(j.second, []).append(j)
    out = []
    for ref, hanging in lost.items():
        names = [f"{known[j.first].name} ({j.first})" for j in {j.first: j for j in hanging}.values()]
        several = len(names) > 1
        out.append(Finding(
            known[ref].name, HANGS, Verdict.FAILS,
            f"{', '.join(names[:4])}{f' and {len(names) - 4} more' if len(names) > 4 else ''} {'were' if several else 'was'} held in it; it is taken out, and nothing holds {'those ends' if several else 'that end'}",
            rule="each end that a joint held is held", source="the joints of the form", stage="sizes", refs=tuple({j.first for j in hanging}),
            mend=f"Bring {ref} back, under 'Changes of your own', or join {'those ends' if several else 'that end'} to another member there.",
        ))
    return out


def any_made(changes: tuple[AnyChange, ...]) -> bool:
    """Whether any change of the maker's is not put by."""
    return any(not c.off for c in changes)


def overall(members) -> tuple[float, float, float]:
    """Size of the block that holds every member. [mm]"""
    boxes = [m.piece_box for m in members]
    if not boxes:
        return (0.0, 0.0, 0.0)
    return tuple(round(max(b.hi[k] for b in boxes) - min(b.lo[k] for b in boxes), 6) for k in range(3))


def unmade(piece: Piece) -> tuple[Finding, ...]:
    """Changes of the maker's that could not be made on this piece, each with its reason."""
    return tuple(f for f in piece.findings if f.what == UNMADE)


def _report(number: int, says: str) -> Finding:
    return Finding(
        f"change {number}", UNMADE, Verdict.LOOK_AGAIN, says, rule="every change of your own is made", source="the piece",
        mend="It is kept and comes back when it can be made; or take it away.", stage="sizes",
    )


def _sound(piece: Piece, letter: str) -> Piece:
    """The piece without the joints that changes have made impossible, each reported."""
    kept, lost = [], []
    for joint in piece.joints:
        try:
            joint.cuts(piece), joint.adds(piece)
            kept.append(joint)
        except ValueError as error:
            lost.append(
                Finding(
                    joint.family, "joint", Verdict.FAILS, f"it is left out: {error}", rule="joined members meet",
                    source="geometry", mend="Move the members back together, or take the joint out.", stage="joints",
                    refs=(joint.first, joint.second),
                )
            )
    if not lost:
        return piece
    return replace(piece, joints=tuple(kept), findings=(*piece.findings, *lost))


def _there(ref: str, letter: str, known: dict[str, Member], gone: set[str]) -> Member:
    full = own_ref(ref, letter)
    if full not in known or full in gone:
        raise _CannotBe(f"There is no member {full!r}. The piece has: {', '.join(r for r in known if r not in gone)}.")
    return known[full]


def _make(change, known: dict[str, Member], gone: set[str], letter: str, timber: str, touched: set[str]) -> None:
    """One change to the members, made in place. Raises ValueError where it does not apply."""
    if change.kind == "add":
        ref = own_ref(change.ref, letter)
        if ref in known and ref not in gone:
            raise _CannotBe(f"There is a member {ref} already; give the new one another reference.")
        known[ref] = _added(change, ref, known, gone, letter, timber)
        gone.discard(ref)
        touched.add(ref)
        return
    member = _there(change.member, letter, known, gone)
    if change.kind == "remove":
        gone.add(member.ref)
        return
    if change.kind == "copy":
        ref = own_ref(change.ref, letter)
        if ref in known and ref not in gone:
            raise _CannotBe(f"There is a member {ref} already; give the copy another reference.")
        known[ref] = _shifted(replace(member, ref=ref, name=change.name or f"{member.name}, copy"), change.by_mm)
        gone.discard(ref)
        touched.add(ref)
        return
    touched.add(member.ref)
    if change.kind == "alter":
        if change.field in ("width_mm", "thickness_mm", "length_mm"):
            member = checked(_resized(member, change.field, float(change.value)))
        else:
            member = replace(member, **{change.field: int(change.value) if change.field == "boards" else change.value})
    elif change.kind == "move":
        member = _shifted(_turned(member, change.turn_deg, change.about), change.by_mm)
    else:
        member = checked(replace(member, shaping=(*member.shaping, shaping(change.shaping, change.figures))))
    known[member.ref] = member


def _added(change, ref: str, known, gone, letter: str, timber: str) -> Member:
    length, place = change.length_mm, change.place
    sizes = (change.width_mm, change.thickness_mm)
    if isinstance(place, ByCorner):
        at = laid(place.at_mm, place.along, place.across, length, *sizes)
    elif isinstance(place, Spanning):
        one, two = (_there(r, letter, known, gone) for r in (place.one, place.two))
        at, length = spanning(one, two, *sizes, place.upright, place.align, place.shift_mm)
    else:
        other = _there(place.other, letter, known, gone)
        at = against(other, place.side, place.along, place.across, length, *sizes, place.align, place.shift_mm)
    return Member(
        ref, change.name, change.role, change.timber or timber, length, *sizes, at, change.arris_mm, change.rank
    )


def _rejoin(change, joints: list[Joint], present, known, gone, letter: str, own, later, aside: list[Finding]) -> list[Joint]:
    """The joints after one change to them; figures of the maker's that cannot be cut are told of in ``aside``."""
    if change.kind == "swap":
        there = [j for j in joints if j.family == change.family]
        if not there:
            raise _CannotBe(
                f"There is no joint family {change.family!r} to swap. "
                f"The piece has: {', '.join(sorted({j.family for j in joints})) or 'none'}."
            )
        lost = next(filter(None, (lost_by_swap(j, change.joint) for j in there)), "")
        if lost:
            can = ", ".join(k for k in KINDS if not lost_by_swap(there[0], k))
            raise _CannotBe(
                f"{change.family} is made to {lost}, and {change.joint} would hold it fast. What lets it {lost}: {can}. If it is "
                "meant to be fast, leave the joint out and join the members anew."
            )
        family = renamed(change.family, there[0].kind, change.joint)
        figures = _figures(change.joint, change.family, own) | _figures(change.joint, family, own)
        if any(c.kind == "swap" and c.family == family for _, c in later):
            figures = {}  # they belong to the kind that it becomes in the end
        pairs = [(known[j.first], known[j.second]) for j in there]
        made = iter(_made_with(change.joint, pairs, family, figures, present, aside))
        return [next(made) if j.family == change.family else j for j in joints]
    first, second = (_there(r, letter, known, gone) for r in (change.first, change.second))
    if change.kind == "unjoin":
        left = [j for j in joints if {j.first, j.second} != {first.ref, second.ref}]
        if len(left) == len(joints):
            raise _CannotBe(f"{first.ref} and {second.ref} have no joint to leave out.")
        return left
    family = change.family or f"{first.role} into {second.role}"
    figures = _figures(change.joint, family, own)
    return [*joints, *_made_with(change.joint, [(first, second)], family, figures, present, aside)]


def renamed(family: str, was: str, kind: str) -> str:
    """A family whose name ends with its kind, under the name of another: 'seat on rails, buttons'."""
    return family.removesuffix(f", {was}") + f", {kind}" if family.endswith(f", {was}") else family


def swap_of(changes: tuple[AnyChange, ...], family: str, kind: str) -> AnyChange | None:
    """The change that made a family of joints the kind it is; None where the form made it so."""
    bare = family.removesuffix(f", {kind}")
    made = (c for c in changes if c.kind == "swap" and not c.off and c.joint == kind)
    return next((c for c in made if c.family == family or bare != family and c.family.startswith(f"{bare}, ")), None)


def swapped(changes: tuple[AnyChange, ...], family: str, was: str, kind: str = "") -> list[dict]:
    """The changes with a family of joints, now ``was``, made another kind; without ``kind`` as the form makes it again."""
    made = swap_of(changes, family, was)
    rows = [c.model_dump(mode="json") for c in changes if c is not made]
    return rows + [{"kind": "swap", "family": made.family if made else family, "joint": kind}] if kind else rows


def _made_with(kind: str, pairs, family: str, figures: dict[str, float], present, aside: list[Finding]) -> list[Joint]:
    """Joints of one kind, of that kind whatever figures the maker set: those that cannot be cut are left aside and told of.

    Raises ValueError where the kind cannot be made by rule either.
    """

    def made(with_figures):
        joints = [joined(kind, first, second, family, with_figures) for first, second in pairs]
        if with_figures:
            alone = Piece("", "", tuple(present), tuple(joints))
            for joint in joints:
                joint.cuts(alone), joint.adds(alone)
        return joints

    try:
        return made(figures)
    except ValueError:
        if not figures:
            raise
    kept, joints = {}, made({})
    for name, value in figures.items():
        try:
            joints = made(kept | {name: value})
        except ValueError as error:
            said = KINDS[kind].changeable[name]
            label, unit = said.removesuffix(YES_OR_NO).removesuffix(", mm"), " mm" if said.endswith(", mm") else ""
            much = "" if said.endswith(YES_OR_NO) else f" {value:g}{unit}"
            aside.append(
                Finding(
                    family, left_aside(label), Verdict.LOOK_AGAIN, f"{label}{much} is left aside, the {kind} stays as it is by rule: {error}",
                    rule="a joint is cut with your own figures", source="geometry", mend="Take your figure away, or change what it does not go with.",
                    stage="joints",
                )
            )
        else:
            kept[name] = value
    return joints


def left_aside(label: str) -> str:
    """What a finding is called that reports a figure of a joint left aside."""
    return f"{LEFT_ASIDE}, {label[0].lower()}{label[1:]}"


def figures_left_aside(piece: Piece) -> dict[tuple[str, str], str]:
    """Why each figure of the maker's that could not be cut cannot be, by family and what it is called."""
    return {(f.subject, f.what): f.says.partition(" by rule: ")[2] for f in piece.findings if f.what.startswith(LEFT_ASIDE)}


def _figures(kind: str, family: str, own) -> dict[str, float]:
    """The maker's figures for a family that this kind of joint has."""
    known = KINDS[kind].changeable if kind in KINDS else {}
    return {n: v for n, v in (own or {}).get(family, {}).items() if n in known}


def _resized(member: Member, field: str, value: float) -> Member:
    """Another size, the middle of the member where it was."""
    grown = value - getattr(member, field)
    p = member.placement
    axis = {"width_mm": p.across, "thickness_mm": p.through, "length_mm": p.along}[field]
    origin = tuple(o - a * grown / 2 for o, a in zip(p.origin, axis))
    return replace(member, **{field: value}, placement=replace(p, origin=origin))


def _shifted(member: Member, by_mm) -> Member:
    p = member.placement
    return replace(member, placement=replace(p, origin=tuple(o + b for o, b in zip(p.origin, by_mm))))


def _turned(member: Member, degrees: float, about: str) -> Member:
    """Turned about its own middle, round its length, width or thickness."""
    if not degrees:
        return member
    p = member.placement
    axis = {"length": p.along, "width": p.across, "thickness": p.through}[about]
    c, s = math.cos(math.radians(degrees)), math.sin(math.radians(degrees))

    def turn(v):
        dot = sum(a * b for a, b in zip(axis, v))
        cross = (axis[1] * v[2] - axis[2] * v[1], axis[2] * v[0] - axis[0] * v[2], axis[0] * v[1] - axis[1] * v[0])
        return tuple(c * a + s * b + (1 - c) * dot * k for a, b, k in zip(v, cross, axis))

    along, across = turn(p.along), turn(p.across)
    half = (member.length_mm / 2, member.width_mm / 2, member.thickness_mm / 2)
    middle = p.to_piece(half)
    turned = Placement((0.0, 0.0, 0.0), along, across)
    origin = tuple(m - d for m, d in zip(middle, turned.to_piece(half)))
    return replace(member, placement=Placement(origin, along, across))


_FIELD_WORDS = {
    "width_mm": "width {} mm", "thickness_mm": "thickness {} mm", "length_mm": "length {} mm", "arris_mm": "arris {} mm",
    "name": "is called {}", "rank": "must be {}", "timber": "of {}", "boards": "glued up from {} boards",
}


def in_words(change: AnyChange) -> str:
    """A change as a maker would read it in a list: 'A-S3: width 60 mm'."""
    if change.kind == "alter":
        value = f"{change.value:g}" if isinstance(change.value, int | float) else change.value
        return f"{change.member}: {_FIELD_WORDS[change.field].format(value)}"
    if change.kind == "move":
        said = [f"{v:+g} mm {way}" for v, way in zip(change.by_mm, ("to the right", "to the back", "up")) if v]
        if change.turn_deg:
            said.append(f"turned {change.turn_deg:g} degrees about its {change.about}")
        return f"{change.member}: moved {', '.join(said) or 'nowhere'}"
    if change.kind == "copy":
        return f"{change.ref}: a copy of {change.member}, moved {', '.join(f'{v:g} mm' for v in change.by_mm)}"
    if change.kind == "remove":
        return f"{change.member}: taken out"
    if change.kind == "add":
        place = change.place
        where = (
            f"at {', '.join(f'{v:g} mm' for v in place.at_mm)}" if isinstance(place, ByCorner)
            else f"between {place.one} and {place.two}" if isinstance(place, Spanning)
            else f"{place.side} {place.other}"
        )
        long = "" if isinstance(place, Spanning) else f"{change.length_mm:g} x "
        return f"{change.ref}: {change.name} added, {long}{change.width_mm:g} x {change.thickness_mm:g} mm, {where}"
    if change.kind == "shape":
        said = ", ".join(f"{k.removesuffix('_mm').replace('_', ' ')} {v:g}{' mm' if k.endswith('_mm') else ''}" if isinstance(v, int | float) else f"{v}"
                         for k, v in change.figures.items())
        return f"{change.member}: {change.shaping} ({said})"
    if change.kind == "join":
        return f"{change.first} to {change.second}: {change.joint}"
    if change.kind == "unjoin":
        return f"{change.first} to {change.second}: joint left out"
    return f"{change.family}: {change.joint} instead"


def free_ref(piece: Piece, code: str = "X") -> str:
    """A reference that no member of the piece has: 'X1'."""
    taken = {m.ref.rpartition("-")[2] for m in piece.members}
    return next(f"{code}{n}" for n in range(1, 1000) if f"{code}{n}" not in taken)
