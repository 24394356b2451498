"""Joints that could not be worked out: said by name and size, so that they are not taken for plain members."""

from __future__ import annotations

from studio_lib.finding import Finding, Verdict
from studio_lib.piece.model import Joint, Member, Piece


def uncut_findings(piece: Piece) -> list[Finding]:
    """One finding for each joint that is not cut in the solids, the pictures and the drawings."""
    found = []
    for joint, why in piece.uncut.items():
        first, second = piece.member(joint.first), piece.member(joint.second)
        found.append(Finding(
            f"{first.name} to {second.name}", "joint cut", Verdict.FAILS,
            f"{joint_words(joint)} of {first.name} ({first.ref}, {_size(first)}) and {second.name} ({second.ref}, "
            f"{_size(second)}) could not be cut: {why.rstrip('.')}. Both are shown plain there",
            rule="every joint is really cut", source="geometry of the joint",
            mend="Change the joint's figures or the size of its members.", stage="joints", refs=(first.ref, second.ref),
        ))
    return found


def joint_words(joint: Joint) -> str:
    """A joint by kind and figures: 'The mortise and tenon (thickness 12, length 40)'."""
    figures = [
        f"{name.removesuffix('_mm').replace('_', ' ')} {getattr(joint, name):g}" for name in joint.changeable
        if isinstance(getattr(joint, name, None), int | float)
    ]
    return f"The {joint.kind}" + (f" ({', '.join(figures)})" if figures else "")


def _size(member: Member) -> str:
    return f"{member.length_mm:.0f} x {member.width_mm:.0f} x {member.thickness_mm:.0f} mm"
