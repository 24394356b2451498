"""Metal in a finished piece: screws, bolts, hinges, stays, cables; whether it shows from where people stand or sit."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from studio_lib.finding import Finding, Verdict
from studio_lib.piece.kinds import can_become, joined
from studio_lib.piece.model import Joint, Metal, Piece, Screws
from studio_lib.piece.used import counted

WISHES = ("no screws to be seen", "none to be seen", "none at all")
SCREWS = ("screw head",)
EYES_MM = (1100.0, 1600.0)
"""Eyes of someone seated and of someone standing, above the floor; from memory, near the middle of grown people. [mm]"""
AWAY_MM = (500.0, 1500.0, 4000.0)
"""How far before the piece they are. [mm]"""
ROUND = 16
"""Directions from which it is looked at."""
GRAZING = math.sin(math.radians(10.0))
"""A face seen flatter than this is not noticed; judgement of ours."""
FACES_BACK = 0.7
STAGE = "joints"
WHAT = "metal"
RULE = "what the brief says of metal"
SOURCE = "the model's own joints and faces, seen past its members from where people stand or sit; eye heights from memory"


@dataclass(frozen=True)
class Shows:
    """The metal of one family of joints or screws in a piece."""

    family: str
    refs: tuple[str, ...]
    """Members whose metal shows; all that have some where none does."""
    counts: tuple[tuple[str, int], ...]
    """How many of each: (('screw head', 8),)."""
    seen: tuple[tuple[str, int], ...]
    """How many of each show while the piece is shut."""
    sides: tuple[str, ...]
    """From where: 'front', 'back', 'left', 'right'."""
    behind: int
    """How many face a back that is taken to stand against a wall."""
    assumed: tuple[str, ...]
    """What had to be assumed, in words."""
    joint: Joint | None
    """One of the family; None for screws that the form puts in."""
    driven: str = ""
    """From where all of it goes in: 'from below', 'from the front'; '' where it is closed with plugs or goes in from several sides."""

    @property
    def words(self) -> str:
        """'8 screw heads'."""
        return in_words(self.counts)


def in_words(counts) -> str:
    """'two screw heads and a hinge', of [(what, how many)]."""
    said = [counted(n, what).replace("a end", "an end") for what, n in counts if n]
    return " and ".join(filter(None, (", ".join(said[:-1]), said[-1]))) if said else ""


@lru_cache(maxsize=64)
def metal_of(piece: Piece, wall_behind: bool = False) -> tuple[Shows, ...]:
    """The metal of each family of joints and screws of a piece, and from where it shows.

    Parameters
    ----------
    piece : Piece
    wall_behind : bool
        Whether its back stands against a wall, so that nobody looks at it from there.

    Returns
    -------
    tuple of Shows

    Notes
    -----
    A spot of metal shows where an eye 1.1 m (seated) or 1.6 m (standing) above the floor, 0.5 to 4 m before the piece,
    sees it past all members. Doors and lids are shut. Members count as their uncut blocks, where they stand.
    """
    rows: dict[str, list[tuple[tuple[str, str], Joint | None, tuple[Metal, ...]]]] = {}
    for joint in piece.joints:
        found = joint.metal(piece)
        if found:
            rows.setdefault(joint.family, []).append(((joint.first, joint.second), joint, found))
    for row in piece.fixings:
        rows.setdefault(row.family, []).append(((row.near, row.far), None, _of_screws(piece, row)))
    spots = [m for there in rows.values() for _, _, found in there for m in found]
    sides = iter(_seen_from(piece, spots, wall_behind))
    out = []
    for family, there in rows.items():
        counts, seen, assumed = {}, {}, []
        refs, all_refs, where, behind = [], [], [], 0
        for pair, _, found in there:
            all_refs += pair
            for m in found:
                views = next(sides)
                counts[m.what] = counts.get(m.what, 0) + m.count
                if not m.known:
                    assumed.append(ASSUMED[m.what])
                behind += wall_behind and m.way[1] > FACES_BACK
                if views:
                    seen[m.what] = seen.get(m.what, 0) + m.count
                    where += views
                    refs += pair
        seen = {what: max(n, 1) for what, n in seen.items()}
        ways = {"" if m.covered else _driven(m.way) for _, _, found in there for m in found}
        order = [s for s in ("front", "back", "left", "right") if s in where]
        out.append(Shows(
            family, tuple(dict.fromkeys(refs or all_refs)), tuple(counts.items()), tuple(seen.items()), tuple(order),
            behind, tuple(dict.fromkeys(assumed)), next((j for _, j, _ in there), None), ways.pop() if len(ways) == 1 else "",
        ))
    return tuple(out)


def _driven(way) -> str:
    """From where a screw whose head faces this way goes in."""
    axis = max(range(3), key=lambda k: abs(way[k]))
    return f"from {(('the left', 'the right'), ('the front', 'the back'), ('below', 'above'))[axis][way[axis] > 0]}"


ASSUMED = {
    "lid stay": "lid stays sit inside, out of sight while the lid is shut",
    "screw head": "screws that are only counted are driven from the face away from what they hold",
}


def _of_screws(piece: Piece, row: Screws) -> tuple[Metal, ...]:
    """Heads of a row of screws; where only counted, on the near member's face away from the far one."""
    if row.row is not None:
        return row.row.metal(piece)
    a, b = piece.member(row.near).piece_box, piece.member(row.far).piece_box
    gaps = [max(a.lo[k], b.lo[k]) - min(a.hi[k], b.hi[k]) for k in range(3)]
    axis = max(range(3), key=lambda k: gaps[k])
    sign = 1.0 if a.centre[axis] > b.centre[axis] else -1.0
    at = [(max(x, y) + min(p, q)) / 2 for x, y, p, q in zip(a.lo, b.lo, a.hi, b.hi)]
    at[axis] = a.hi[axis] + 2.0 if sign > 0 else a.lo[axis] - 2.0
    return (Metal("screw head", tuple(at), tuple(sign * float(k == axis) for k in range(3)), known=False),) * row.count


def _eyes(piece: Piece, wall_behind: bool) -> tuple[np.ndarray, list[str]]:
    """Where people look from, round the piece and before the wall where one is at its back, and the side each is on."""
    boxes = [m.piece_box for m in piece.members]
    lo, hi = (np.array([f(c) for c in zip(*(getattr(b, end) for b in boxes))]) for f, end in ((min, "lo"), (max, "hi")))
    middle, half = (lo + hi) / 2, (hi - lo) / 2
    points, sides = [], []
    for k in range(ROUND):
        x, y = math.cos(2 * math.pi * k / ROUND), math.sin(2 * math.pi * k / ROUND)
        side = ("right" if x > 0 else "left") if abs(x) > abs(y) + 1e-9 else ("back" if y > 0 else "front")
        for away in AWAY_MM:
            stands = middle[0] + x * (half[0] + away), middle[1] + y * (half[1] + away)
            if wall_behind and stands[1] > hi[1]:
                continue
            for eye in EYES_MM:
                points.append((*stands, lo[2] + eye))
                sides.append(side)
    return np.array(points), sides


def _seen_from(piece: Piece, spots: Sequence[Metal], wall_behind: bool) -> list[tuple[str, ...]]:
    """From which sides each spot of metal shows; () where nobody sees it. What faces the back shows from the back."""
    if not spots:
        return []
    eyes, sides = _eyes(piece, wall_behind)
    at, way = np.array([m.at for m in spots]), np.array([m.way for m in spots])
    towards = eyes[None, :, :] - at[:, None, :]
    long = np.linalg.norm(towards, axis=2)
    free = np.einsum("sek,sk->se", towards, way) > GRAZING * long
    free[[m.covered for m in spots]] = False
    which, eye = np.nonzero(free)
    start, ray = at[which], towards[which, eye]
    open_ = np.ones(len(which), dtype=bool)
    for m in piece.members:
        p = m.placement
        axes = np.array([p.along, p.across, p.through])
        inside = (start - np.array(p.origin)) @ axes.T
        going = ray @ axes.T
        size = np.array(m.box.hi)
        with np.errstate(divide="ignore", invalid="ignore"):
            a, b = (0.0 - inside) / going, (size - inside) / going
        along = np.abs(going) > 1e-9
        within = (inside >= 0.0) & (inside <= size)
        enters = np.where(along, np.minimum(a, b), np.where(within, -np.inf, np.inf)).max(axis=1)
        leaves = np.where(along, np.maximum(a, b), np.where(within, np.inf, -np.inf)).min(axis=1)
        open_ &= ~((enters < leaves) & (leaves > 1e-6) & (enters < 1.0))
    out: list[dict[str, None]] = [{} for _ in spots]
    for s, e, yes in zip(which, eye, open_):
        if yes:
            out[s]["back" if spots[s].way[1] > FACES_BACK else sides[e]] = None
    return [tuple(o) for o in out]


def keeps(piece: Piece, family: str, wish: str, wall_behind: bool = False, painted: bool = False) -> bool:
    """Whether a family of joints keeps the wish; true for one without metal, and where nothing was wished.

    Raises ValueError for another wish.
    """
    _known(wish)
    there = next((s for s in metal_of(piece, wall_behind) if s.family == family), None)
    return not wish or there is None or (wish != "none at all" and not _against(there, wish, painted))


def _against(shows: Shows, wish: str, painted: bool = False) -> tuple[tuple[str, int], ...]:
    """What shows against a wish that no metal, or no screws, are to be seen."""
    under = _filled(shows) if painted else 0
    return tuple((what, n) for what, n in shows.seen if (wish != "no screws to be seen" or what in SCREWS) and not (under and what in SCREWS))


def _filled(shows: Shows) -> int:
    """Screw heads of a family that show, and can be sunk, filled and painted over; 0 where slots let them move, which would crack the filling."""
    return 0 if getattr(shows.joint, "slot_mm", 0.0) else sum(n for what, n in shows.seen if what in SCREWS)


def heads_filled(piece: Piece, wish: str, wall_behind: bool = False) -> int:
    """Screw heads of a painted piece that are sunk, filled and painted over so that the wish is kept; 0 where nothing was wished, or no metal at all.

    Raises ValueError for another wish.
    """
    _known(wish)
    return sum(map(_filled, metal_of(piece, wall_behind))) if wish and wish != "none at all" else 0


def _known(wish: str) -> None:
    if wish and wish not in WISHES:
        raise ValueError(f"the wish is {wish!r}; allowed: {', '.join(WISHES)}, or nothing.")


def other_kinds(piece: Piece, family: str, wish: str, season=None) -> tuple[str, ...]:
    """Kinds of joint without metal that this family can become, in the order on file; () where nothing was wished.

    See ``kinds.can_become``.
    """
    return tuple(kind for kind, bare in can_become(piece, family, season).items() if bare) if wish else ()


def closes(shows: Shows, piece: Piece) -> dict[str, float]:
    """The figure of the joint that hides its metal, {'plugged': 1.0}; {} where it has none or cannot be made so."""
    j = shows.joint
    if j is None:
        return {}
    figure = next((n for n in ("plugged", "capped", "hidden") if n in j.changeable and not getattr(j, n)), None)
    if figure is None:
        return {}
    try:
        for k in (k for k in piece.joints if k.family == j.family):
            joined(j.kind, piece.member(k.first), piece.member(k.second), k.family, {figure: 1.0})
    except ValueError:
        return {}
    return {figure: 1.0}


CLOSED_BY = {
    "plugged": "close them with plugs of the same timber",
    "capped": "close heads and nuts with caps of the same timber that come out",
    "hidden": "take hidden hinges, let into both edges",
}


def metal_findings(
    piece: Piece, wish: str, season=None, wall_behind: bool = False, fixed: bool = False,
    ballast_kg: float = 0.0, painted: bool = False,
) -> list[Finding]:
    """Whether a piece keeps the wish about metal: each family that breaks it, or one finding that it stands.

    Parameters
    ----------
    piece : Piece
    wish : str
        One of ``WISHES``; '' where nothing was said, which gives no finding.
    season : Season or None
        The year of the place, so that only joints that let the timber move are named.
    wall_behind : bool
        Whether its back stands against a wall.
    fixed : bool
        Whether it is fixed to the building, by what the model does not show.
    ballast_kg : float
        What is set low to steady it. [kg]
    painted : bool
        Whether it is painted, so that a screw head sunk and filled is not seen.

    Raises
    ------
    ValueError
        For another wish.
    """
    _known(wish)
    if not wish or not piece.members:
        return []
    found, there = [], metal_of(piece, wall_behind)
    for s in there:
        if keeps(piece, s.family, wish, wall_behind, painted):
            continue
        if wish == "none at all":
            says = f"{s.words}, and there is to be no metal at all"
        else:
            says = f"{in_words(_against(s, wish, painted))} to be seen {_from(s.sides)}, and no {'screws are' if wish == WISHES[0] else 'metal is'} to be seen"
        if s.assumed:
            says += f". Assumed: {'; '.join(s.assumed)}"
        found.append(Finding(
            s.family, WHAT, Verdict.FAILS, says, rule=RULE, source=SOURCE, mend=_mend(piece, s, wish, season),
            stage=STAGE, refs=s.refs,
        ))
    if fixed and wish == "none at all":
        found.append(Finding(
            piece.name, f"{WHAT} at the wall", Verdict.OPEN,
            "it is fixed to the building, and what holds it there is not in the model",
            rule=RULE, source="the brief", stage=STAGE,
            mend="Agree with the client on the wall fixing: it is of metal.",
        ))
    if ballast_kg and wish == "none at all":
        found.append(Finding(
            piece.name, f"{WHAT} as ballast", Verdict.OPEN,
            f"what its {ballast_kg:.0f} kg of ballast is made of is not in the model", rule=RULE,
            source="the sizes", stage=STAGE, mend="Take sand or stone for it, not steel, and tell the client.",
        ))
    if not found:
        says = _stands(piece, there, fixed, wish)
        filled = heads_filled(piece, wish, wall_behind) if painted else 0
        if filled:
            says = f"{in_words([(SCREWS[0], filled)])} sunk, filled and painted over. {says[0].upper()}{says[1:]}"
        found.append(Finding(piece.name, WHAT, Verdict.STANDS, says, rule=RULE, source=SOURCE, stage=STAGE))
    return found


def _from(sides: Sequence[str]) -> str:
    """'from all sides', 'from the front and left'."""
    if len(sides) == 4:
        return "from all sides"
    *first, last = sides
    return f"from the {', '.join(first)} and {last}" if first else f"from the {last}"


def _mend(piece: Piece, s: Shows, wish: str, season) -> str:
    ways = []
    close = closes(s, piece) if wish != "none at all" else {}
    if close:
        ways.append(f"{CLOSED_BY[next(iter(close))]} (tick it under this joint)")
    if s.joint is not None:
        kinds = other_kinds(piece, s.family, wish, season)
        if kinds:
            ways.append(f"a joint without metal that can be made here: {', '.join(kinds[:4])}")
        if s.joint.lets == "turn" and wish == "none at all":
            ways.append("leave the hinges out, so that it lifts off, or hang it on pins of timber")
        elif s.joint.lets == "come apart" and not kinds:
            ways.append("agree that it need not come apart, leave the joint out and join the members anew")
    elif wish == "none at all":
        ways.append("this form screws these from below; a form whose top or seat is joined, "
                    "or members of your own with joints of timber")
    else:
        ways.append("drive them from the side that does not show")
    if any(what == "cable" for what, _ in s.counts):
        ways.append("a framed screen in place of the strung one")
    if any(what == "lid stay" for what, _ in s.counts) and wish == "none at all":
        ways.append("set the lid stays to none on Sizes")
    said = "; or ".join(ways) or "no joint on file does this here without metal: tell the client before it is made"
    return f"{said[0].upper()}{said[1:]}."


def _stands(piece: Piece, there: Sequence[Shows], fixed: bool, wish: str) -> str:
    assumed = list(dict.fromkeys(a for s in there for a in s.assumed))
    if any(s.behind for s in there):
        assumed.append("its back stands against a wall")
    if fixed:
        assumed.append("what fixes it to the building, which is not in the model, is set where the piece covers it")
    opens = any(j.lets == "turn" for j in piece.joints)
    if opens and there:
        assumed.append("what shows while it stands open is let pass")
    total: dict[tuple[str, str], int] = {}
    for s in there:
        for what, n in s.counts:
            total[what, s.driven] = total.get((what, s.driven), 0) + n
    each = ", ".join(in_words([(what, n)]) + (f" {driven}" if driven else "") for (what, driven), n in total.items())
    said = "no metal in it at all" if not there else \
        f"{each}: {'no screws' if wish == WISHES[0] else 'none'} to be seen from where people stand or sit" + ", while it is shut" * opens
    return said + (f". Assumed: {'; '.join(assumed)}" if assumed else "")


@dataclass(frozen=True)
class Kept:
    """How one family of joints stands to the wish about metal, and what would mend it."""

    says: str
    stands: bool
    closes: dict[str, float]
    """A figure of the joint that hides its metal."""
    kinds: tuple[str, ...]
    """Kinds of joint without metal that it could become."""


def kept(piece: Piece, family: str, wish: str, season=None, wall_behind: bool = False, painted: bool = False) -> Kept | None:
    """How a family keeps the wish, in a piece that is ``painted`` or not; None where nothing was wished. Raises ValueError for another wish."""
    _known(wish)
    if not wish:
        return None
    there = next((s for s in metal_of(piece, wall_behind) if s.family == family), None)
    if there is None:
        return Kept("No metal in it, as wished.", True, {}, ())
    if keeps(piece, family, wish, wall_behind, painted):
        if there.seen and not (painted and _filled(there)):
            return Kept(f"No screws to be seen, as wished; {in_words(there.seen)} can be seen {_from(there.sides)}.", True, {}, ())
        where = ", sunk, filled and painted over" if painted and _filled(there) else f"{' ' * bool(there.driven)}{there.driven}, out of sight"
        return Kept(f"No {'screws' if wish == WISHES[0] else 'metal'} to be seen, as wished: {there.words}{where}.", True, {}, ())
    kinds = other_kinds(piece, family, wish, season)
    if wish == "none at all":
        return Kept(f"Does not keep the wish for no metal at all: {there.words}.", False, {}, kinds)
    shows = f"{in_words(_against(there, wish, painted))} can be seen {_from(there.sides)}"
    return Kept(f"Does not keep the wish for no {'screws' if wish == WISHES[0] else 'metal'} to be seen: {shows}.", False, closes(there, piece), kinds)
