"""One piece at other sizes, judged: what it uses of its strength, stiffness and standing, and how heavy it looks."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from studio_lib.finding import Finding, Verdict
from studio_lib.forms import SizeRefused, form
from studio_lib.forms.form import Surroundings
from studio_lib.piece import Piece
from studio_lib.solids import volume_mm3
from studio_lib.structure.loads import Load, loads_of, serves
from studio_lib.structure.opened import Setting, binds
from studio_lib.structure.whole import whole_findings

@dataclass(frozen=True)
class Asked:
    """The piece to be made lighter, and where it is to stand."""

    form: str
    brief: object
    around: Surroundings
    sizes: dict[str, float]
    """Every size as it stands, settled."""
    joints: dict[str, dict[str, float]]
    adjustments: tuple
    woods: dict
    place: str
    use: str
    loads: dict[str, float] = field(default_factory=dict)
    """The maker's own loads, by name."""
    sawn_mm: tuple[float, ...] = ()
    """Thicknesses of sawn boards of its timber that were seen or that the yard sells; empty while none are known."""
    dressing_mm: float = 0.0
    """What both faces together lose at the planer."""
    setting: Setting = Setting()


@dataclass(frozen=True, eq=False)
class Judged:
    """A piece at some sizes and how hard it works."""

    piece: Piece
    worst: float
    """The greatest utilisation."""
    decides: str
    """The check it comes from, in words."""
    comfort: float
    """The greatest of what is only felt: bounce, the give of a screen."""
    used: dict[tuple[str, str], float]
    """Utilisation of each check but those only felt, by ``key_of``."""
    timber_m3: float


def key_of(finding: Finding) -> tuple[str, str]:
    """What stays the same of a check when sizes change: of joints the family, of members the role, which the check names."""
    return (finding.subject if finding.what.startswith("strength") else "", finding.what)


def laid_out(asked: Asked, sizes: dict[str, float]) -> Piece:
    """The piece at these sizes. Raises SizeRefused where it cannot be made."""
    return form(asked.form).lay_out("piece", "A", sizes, asked.around, asked.joints, asked.adjustments)


def found_at(asked: Asked, sizes: dict[str, float]) -> tuple[Piece, list[Finding]] | None:
    """The piece at these sizes and every check that has to do with strength; None where it cannot be made or does not stand up."""
    try:
        return _found(asked, sizes, laid_out(asked, sizes))
    except (SizeRefused, ValueError):
        return None


def _loads(asked: Asked) -> dict[str, Load]:
    return loads_of(serves(asked.form), asked.use, asked.loads, asked.setting.children, asked.setting.sitters)


def _found(asked: Asked, sizes: dict[str, float], piece: Piece) -> tuple[Piece, list[Finding]] | None:
    try:
        found = checks(piece, asked.woods, asked.place, asked.use, asked.loads, asked.setting)
        # A shelf that lies loose is no part of the frame; its form looks at its sag.
        found += [f for f in form(asked.form).fit_under(piece, sizes, asked.brief, _loads(asked)) if f.what.startswith("sag")]
    except (SizeRefused, ValueError):
        return None
    return piece, found


def judged(asked: Asked, sizes: dict[str, float], known: dict[Piece, Judged | None] | None = None) -> Judged | None:
    """How hard a piece works at these sizes; None where it cannot be made or a rule without a number fails.

    ``known`` keeps what was judged: a size that changes nothing of the piece is not worked out again.
    """
    try:
        piece = laid_out(asked, sizes)
    except (SizeRefused, ValueError):
        return None
    if known is None:
        return _judged(asked, sizes, piece)
    if piece not in known:
        known[piece] = _judged(asked, sizes, piece)
    return known[piece]


def _judged(asked: Asked, sizes: dict[str, float], piece: Piece) -> Judged | None:
    got = _found(asked, sizes, piece)
    if got is None or any(f.utilisation is None and f.verdict in (Verdict.FAILS, Verdict.OPEN) for f in got[1]):
        return None
    piece, found = got
    hard = [f for f in found if f.utilisation is not None and not felt(piece, f) and binds(f, asked.setting)]
    if not hard:
        return None
    most = max(hard, key=lambda f: f.utilisation)
    return Judged(
        piece, most.utilisation, f"{most.subject}: {most.what}", max((f.utilisation or 0.0 for f in found if felt(piece, f)), default=0.0),
        {key_of(f): f.utilisation for f in sorted(hard, key=lambda f: f.utilisation)}, timber_m3(piece),
    )


def felt(piece: Piece, finding: Finding) -> bool:
    """Whether a check is a matter of feel alone."""
    return finding.what.startswith("bounce") or (finding.what.startswith("sway") and serves(piece.form) == "screen")


def checks(
    piece: Piece, woods: dict, place: str, use: str, loads: dict[str, float] | None = None, setting: Setting = Setting(),
) -> list[Finding]:
    """Strength, sag, sway and tipping, and the rules of joints that have to do with strength."""
    found = whole_findings(piece, woods, place, use, loads, setting, judged_alone=True)
    for joint in piece.joints:
        for f in joint.findings(piece):
            if f.what in ("timber left beyond the mortise",) and not f.stands:
                found.append(replace(f, demand=None, capacity=None, verdict=Verdict.FAILS))
    return found


def timber_m3(piece: Piece) -> float:
    """Timber in the finished piece. [m3]"""
    return sum(volume_mm3(piece.shape(m.ref)) for m in piece.members) * 1e-9


def seen_m2(piece: Piece) -> float:
    """How heavy a piece looks: one face and one edge of every member that shows, a bevelled edge by its lip, a taper by its mean. [m2]"""
    return sum(m.length_mm * (_seen_mm(m, "width") + _seen_mm(m, "thickness")) for m in piece.members if m.rank == "show") * 1e-6


def _seen_mm(m, size: str) -> float:
    """Width or thickness of a member as it shows from its better side. [mm]"""
    whole, off = (m.width_mm, ("upper", "lower")) if size == "width" else (m.thickness_mm, ("face", "back"))
    for s in m.shaping:
        if s.kind == "chamfer" and size == "thickness":
            whole = min(whole, m.thickness_mm - s.through_mm)
        if s.kind == "taper" and s.side in off:
            run = s.from_mm if s.towards == "start" else m.length_mm - s.from_mm
            whole -= s.off_mm * run / m.length_mm / 2
    return whole
