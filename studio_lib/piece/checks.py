"""Checks on the piece as a whole: joints that break into each other, shoulders that miss."""

from __future__ import annotations

from itertools import islice

from studio_lib.finding import Finding, Verdict
from studio_lib.piece.bulk import gap_mm
from studio_lib.piece.fixing_checks import screw_findings
from studio_lib.piece.model import Piece
from studio_lib.piece.mortise_tenon import MortiseTenon, outside_mm

LEAST_BETWEEN_MM = 3.0
"""Timber wanted between two mortises in one member; common practice, no source."""
SHAPED_MM = 3.0
"""A tapered or bevelled post is met on its worked face, this far from its sawn one at most."""


def glue_alone_findings(piece: Piece, place: str) -> list[Finding]:
    """Families of joints that only glue keeps together, where the piece stands out of doors; one finding each."""
    if not place.startswith("outdoors"):
        return []
    by_family = {}
    for j in piece.joints:
        if j.by_glue_alone:
            by_family.setdefault(j.family, []).append(j)
    return [
        Finding(
            family, "glue alone out of doors", Verdict.LOOK_AGAIN,
            f"only glue keeps the {joints[0].kind} together, and out of doors timber swells and shrinks against it for years",
            rule="out of doors a joint holds by its shape, or is pegged, wedged, screwed or bolted as well", source="common practice, no source",
            mend="Make it mortise and tenon, and peg it; or a bridle or halving; or take a glue for wet places and tell the client.",
            stage="joints", refs=tuple(dict.fromkeys(r for j in joints for r in (j.first, j.second))),
        ) for family, joints in by_family.items()
    ]


def mortises_apart(piece: Piece) -> list[Finding]:
    """Mortises and notches from different joints must not break into each other."""
    by_member: dict[str, list] = {}
    for joint in piece.joints:
        for ref, boxes in piece.cuts_of(joint).items():
            by_member.setdefault(ref, []).extend((joint, box) for box in boxes)
    found, said = [], set()
    for ref, cuts in by_member.items():
        for (j1, a), (j2, b) in _neighbours(cuts):
            if j1 is j2 or j1.mitred and j2.mitred:
                continue
            between = gap_mm(a, b, LEAST_BETWEEN_MM)
            if between < LEAST_BETWEEN_MM - 1e-6:
                member = piece.member(ref)
                first, second = piece.member(j1.first), piece.member(j2.first)
                broken = between < 0
                if (ref, j1, j2, broken) in said:
                    continue
                said.add((ref, j1, j2, broken))
                names = (first.name, second.name) if first is not second else (f"{j1.kind}, {j1.family},", f"{j2.kind}, {j2.family},")
                found.append(
                    Finding(
                        member.name, "mortises in one member",
                        Verdict.FAILS if broken else Verdict.LOOK_AGAIN,
                        f"the mortises for {names[0]} and {names[1]} "
                        + (f"break into each other by {-between:.1f} mm" if broken and between != -1.0
                           else "break into each other" if broken else f"leave {between:.1f} mm between them"),
                        LEAST_BETWEEN_MM, max(between, 0.01), "mm",
                        f"{LEAST_BETWEEN_MM:.0f} mm of timber between mortises",
                        "common practice, no source",
                        "Shorten one tenon, move it outwards, or use a thicker member.",
                        "joints", (ref, first.ref, second.ref),
                    )
                )
    return found


def _neighbours(cuts):
    """Pairs of cuts no further apart along the member than matters, each in the order in which they were given."""
    spans = [(block.bounds.lo[0], block.bounds.hi[0] + LEAST_BETWEEN_MM, n) for n, (_, block) in enumerate(cuts)]
    near = []
    spans.sort()
    for k, (_, reach, n) in enumerate(spans):
        for low, _, other in islice(spans, k + 1, None):
            if low > reach:
                break
            near.append((min(n, other), max(n, other)))
    return [(cuts[n], cuts[other]) for n, other in sorted(near)]


def shoulders_meet(piece: Piece) -> list[Finding]:
    """Every tenoned member must end on the face of the member that receives it."""
    found = []
    for joint in piece.joints:
        if not isinstance(joint, MortiseTenon):
            continue
        rail, post = piece.member(joint.first), piece.member(joint.second)
        inside = -outside_mm(post, joint.shoulder(rail))
        if abs(inside) > (0.05 if not rail.shaping and not post.shaping else SHAPED_MM):
            found.append(
                Finding(
                    f"{rail.name} into {post.name}", "shoulder", Verdict.FAILS,
                    f"the shoulder stands {abs(inside):.1f} mm "
                    + ("inside" if inside > 0 else "short of") + " the face",
                    rule="a shoulder meets the face it closes on", source="geometry",
                    mend=f"Take {post.name}'s own size away on the Sizes page, or change every {post.role} there.",
                    stage="joints",
                    refs=(rail.ref, post.ref),
                )
            )
    return found


def piece_findings(piece: Piece) -> list[Finding]:
    """All that the piece itself can say about its joints."""
    found = list(piece.findings) + mortises_apart(piece) + shoulders_meet(piece)
    found += screw_findings(piece)
    for joint in piece.joints:
        found += joint.findings(piece)
    return found
