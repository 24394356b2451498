"""Every kind of joint on file, by name. A new kind is one file and one line here."""

from __future__ import annotations

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
from studio_lib.piece.let_in import LetIn
from studio_lib.piece.model import Joint, Member
from studio_lib.piece.mortise_tenon import DoubleTenon, LooseTenon, MortiseTenon, ThroughTenon
from studio_lib.piece.order import ON_SITE
from studio_lib.piece.rebate import Rebate
from studio_lib.piece.screw import ScrewRow
from studio_lib.piece.stub_tenon import StubTenon
from studio_lib.piece.top_fixing import Buttons, SlottedScrews

KINDS: dict[str, type[Joint]] = {
    k.kind: k for k in (
        MortiseTenon, ThroughTenon, DoubleTenon, LooseTenon, CrossHalving, TeeHalving, CornerHalving,
        DovetailedHalving, TeeBridle, CornerBridle, EdgeJoint, BreadboardEnd, Buttons, SlottedScrews,
        GroovePanel, Housing, SlidingDovetail, TaperedHousing, Rebate, Dowelled, Dovetail, GluedOn, ScrewRow,
        KnockDownBolt, LetIn, StrungCable, Hinged, StubTenon,
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
