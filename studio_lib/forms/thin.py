"""What no timber can be made to, refused in words: arrises that leave no flat, tenons that are nothing to cut."""

from __future__ import annotations

from collections.abc import Callable

from studio_lib.forms.form import SizeRefused
from studio_lib.piece import Joint, Member
from studio_lib.piece.mortise_tenon import MortiseTenon

LEAST_TENON_MM = 3.0
"""Thickness, width and length under which a tenon is nothing to cut; common practice, no source."""
CHEEKS_MM = 2.0
"""What a rail must have over its tenon's thickness, both cheeks together; common practice, no source."""
FLAT_MM = 2.0
"""Flat left between two arrises; common practice, no source."""


def no_flat_refused(members: list[Member], joints: list[Joint], own: set[str]) -> None:
    """Raises SizeRefused where arrises leave no flat. ``own``: members that the maker changed."""
    for m in members:
        least = min(m.width_mm, m.thickness_mm)
        if m.arris_mm and 2 * m.arris_mm + FLAT_MM > least:
            raise SizeRefused(
                "adjustments" if m.ref in own else "arris_mm",
                f"An arris of {m.arris_mm:g} mm leaves no flat on {m.name}, {m.width_mm:g} x {m.thickness_mm:g} mm. "
                f"Give {max((least - FLAT_MM) / 2, 0):g} mm or less.",
            )


def thin_refused(made_by: dict[str, tuple[str, str]]) -> Callable[[list[Member], list[Joint], set[str]], None]:
    """A check for ``changes.assembled``, with the sizes that make a member's width and thickness, by its role."""

    def check(members: list[Member], joints: list[Joint], own: set[str]) -> None:
        no_flat_refused(members, joints, own)
        by_ref = {m.ref: m for m in members}
        for j in joints:
            if isinstance(j, MortiseTenon) and {j.first, j.second} <= set(by_ref):
                _thin_tenon(j, by_ref[j.first], by_ref[j.second], own, made_by)

    return check


def _thin_tenon(j: MortiseTenon, rail: Member, post: Member, own: set[str], made_by) -> None:
    def refuse(member, side, says):
        named = made_by.get(member.role) or made_by.get(rail.role) or made_by[post.role]
        raise SizeRefused("adjustments" if own & {rail.ref, post.ref} else named[side], says)

    sections = j.sections()
    cheeks = 0.0 if j.bare_faced else CHEEKS_MM
    if rail.thickness_mm < max(s[3] for s in sections) - min(s[2] for s in sections) + cheeks:
        refuse(rail, 1, f"{rail.name} is {rail.thickness_mm:g} mm thick and its tenon {j.thickness_mm:g} mm; "
               f"make it at least {j.thickness_mm + CHEEKS_MM:g} mm.")
    beside = rail.width_mm - rail.arris_mm - max(s[1] for s in sections)
    if j.haunch_mm and beside < LEAST_TENON_MM:
        refuse(rail, 0, f"{rail.name} is {rail.width_mm:g} mm wide; beside its tenon {max(beside, 0):.1f} mm are left for the "
               f"haunch, which needs {LEAST_TENON_MM:g} mm. A wider {rail.name}, or no haunch.")
    for value, way, member, side in (
        (j.thickness_mm, "thick", rail, 1), (j.width_mm, "wide", rail, 0), (j.length_mm, "long", post, 1),
    ):
        if value < LEAST_TENON_MM:
            mend = (
                f"A wider {rail.name}" if way == "wide" else f"A thicker {member.name}"
                + (f", or a thinner {rail.name} set back less" if way == "long" and post.role == "leg" else "")
            )
            refuse(member, side, f"The tenon of {rail.name} into {post.name} would be {max(value, 0):g} mm {way} and needs "
                   f"{LEAST_TENON_MM:g} mm. {mend}.")
