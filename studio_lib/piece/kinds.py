"""Every kind of joint on file, by name. A new kind is one file and one line here."""

from __future__ import annotations

from dataclasses import replace

from studio_lib.finding import Verdict
from studio_lib.piece.bolt import KnockDownBolt
from studio_lib.piece.breadboard import BreadboardEnd
from studio_lib.piece.bridle import CornerBridle, TeeBridle
from studio_lib.piece.cable import StrungCable
from studio_lib.piece.dovetail import Dovetail
from studio_lib.piece.dowel import Dowelled
from studio_lib.piece.edge_joint import EdgeJoint
from studio_lib.piece.glued import GluedOn
from studio_lib.piece.groove_panel import GroovePanel
from studio_lib.piece.halving import CornerHalving, CrossHalving, DovetailedHalving, TeeHalving
from studio_lib.piece.hinge import Hinged
from studio_lib.piece.housing import Housing, SlidingDovetail, TaperedHousing
from studio_lib.piece.in_groove import InGroove
from studio_lib.piece.leaf_bolt import ConnectingBolts
from studio_lib.piece.let_in import LetIn
from studio_lib.piece.let_in_across import LetInAcross
from studio_lib.piece.model import Joint, Member, Piece
from studio_lib.piece.mortise_tenon import DoubleTenon, LooseTenon, MortiseTenon, ThroughTenon
from studio_lib.piece.order import ON_SITE
from studio_lib.piece.rebate import Rebate
from studio_lib.piece.screw import ScrewRow
from studio_lib.piece.stub_tenon import StubTenon
from studio_lib.piece.top_dovetail import TopDovetail
from studio_lib.piece.top_fixing import Buttons, SlottedScrews, TopFixing

KINDS: dict[str, type[Joint]] = {
    k.kind: k for k in (
        MortiseTenon, ThroughTenon, DoubleTenon, LooseTenon, CrossHalving, TeeHalving, CornerHalving,
        DovetailedHalving, TeeBridle, CornerBridle, EdgeJoint, BreadboardEnd, Buttons, SlottedScrews,
        GroovePanel, Housing, SlidingDovetail, TaperedHousing, Rebate, Dowelled, Dovetail, GluedOn, ScrewRow,
        KnockDownBolt, LetIn, StrungCable, Hinged, StubTenon, ConnectingBolts, InGroove, TopDovetail, LetInAcross,
    )
}


def of_metal(kind: str) -> bool:
    """Whether a kind of joint takes screws, bolts, hinges or cable."""
    return KINDS[kind].metal is not Joint.metal


def lost_by_swap(joint: Joint, kind: str) -> str:
    """What a joint is made to let its members do, 'turn' or 'come apart', that another kind would not; '' where nothing is lost.

    What is put together where the piece stands must come apart there too, by anything that is not glued.
    """
    other = KINDS.get(kind)
    if other is None or joint.lets:
        return joint.lets if other is not None and other.lets != joint.lets else ""
    return "come apart" if joint.dry and joint.family in ON_SITE and not other.dry else ""


def joined(kind: str, first: Member, second: Member, family: str = "", own: dict[str, float] | None = None) -> Joint:
    """A joint of a kind where two members meet. Raises ValueError, in words, where it cannot be."""
    if kind not in KINDS:
        raise ValueError(f"There is no joint {kind!r}. On file: {', '.join(KINDS)}.")
    own = own or {}
    known = KINDS[kind].changeable
    for name in own:
        if name not in known:
            raise ValueError(f"A {kind} has no {name!r}. It has: {', '.join(known)}.")
    return KINDS[kind].between(first, second, family, own)


OF_THEIR_OWN = (Hinged, StrungCable, ConnectingBolts, InGroove, LetInAcross)
"""Kinds that ask for a piece made for them: what hangs, what is strung from end to end, leaves that stand side by side, slats in a row, bars let
into their backs."""


def can_become(piece: Piece, family: str, season=None) -> dict[str, bool]:
    """Kinds of joint that a family of joints can become, in the order on file, and whether each is without metal.

    Each can be made between the very members, lets go what the present joint is made to let go, has no check of its
    own that fails, and lets the timber move where a ``season`` of the place is given. What holds is for the frame to say.
    """
    there = [j for j in piece.joints if j.family == family]
    slides = any(isinstance(j, TopFixing) or getattr(j, "slot_mm", 0.0) for j in there)
    out = {}
    for kind, made in KINDS.items() if there else ():
        fast = not (made.dry or made.unglued)  # glued, so that nothing slides in it
        if kind == there[0].kind or made in OF_THEIR_OWN or any(lost_by_swap(j, kind) for j in there) or (slides and fast):
            continue
        try:
            new = [joined(kind, piece.member(j.first), piece.member(j.second), family) for j in there]
            trial = replace(piece, joints=tuple(j for j in piece.joints if j.family != family) + tuple(new))
            found = [f for j in new for f in j.findings(trial)]
            found += [f for j in new for f in j.moves(trial, season)] if season is not None else []
            metal = any(j.metal(trial) for j in new)
        except ValueError:
            continue
        if all(f.verdict is not Verdict.FAILS for f in found):
            out[kind] = not metal
    return out
