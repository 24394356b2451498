"""From what was derived to what is shown: pieces side by side, new or aged."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from studio_lib.piece import Piece

if TYPE_CHECKING:
    from studio_lib.derive import Derived

BESIDE_MM = 450.0
"""Between two pieces shown together."""
STAGES = (0, 1, 3, 10)
"""Years that a client is shown."""
STILL_PX = (1400, 875)
EXPOSURE = {
    "indoors, heated": "indoors", "indoors, unheated": "indoors",
    "outdoors, under cover": "under cover", "outdoors, in the weather": "weather",
}
NO_TIMBER = "a timber still to be chosen"


def ground(d: Derived) -> str:
    """What the piece stands on in a picture."""
    return "paving" if d.commission.brief.place.startswith("outdoors") else "floor"


def appearances(d: Derived, years: float = 0.0) -> dict:
    """How the commission's timber looks after so many years in its place."""
    from studio_lib.timber import appearance

    finish = "bare" if d.commission.brief.finish == "left bare" else "oiled"
    exposure = EXPOSURE[d.commission.brief.place]
    looks = {}
    for name in dict.fromkeys([d.commission.timber.species or "", *(m.timber for p in d.pieces for m in p.members)]):
        looks[name] = appearance(d.library.timber(name), years, exposure, finish) if name else _plain()
    parts = {part.material for p in d.pieces for j in p.joints for part in j.parts(p)} - set(looks)
    for name in sorted(parts):
        looks[name] = _metal(name) if name in METALS else appearance(d.library.timber(name), years, exposure, finish)
    return looks


METALS = {"steel": "#8f9397", "stainless steel": "#c4c8cb", "brass": "#b8975a", "rubber": "#3a3a3a"}
"""What parts that are not timber are shown in; colours of ours."""


def _metal(name: str):
    from studio_lib.timber import Appearance

    colour = METALS[name]
    return Appearance(colour, colour, 50.0, 0.0, 0.45, 0.0, f"{name}, drawn plain", "an illustration of ours")


def _plain():
    """A pale wood without a name, while no timber is chosen."""
    from studio_lib.timber import Appearance

    return Appearance("#d8c7a6", "#c3ae88", 4.0, 0.3, 0.7, 0.0, NO_TIMBER, "")


def side_by_side(d: Derived) -> list[tuple[Piece, tuple[float, float, float]]]:
    """Every piece with where it stands: one beside the other along x, the first at the middle. [mm]"""
    out, edge = [], 0.0
    for m in (m for m in d.made if m.piece.members):
        half = m.piece.overall_mm[0] / 2
        x = 0.0 if not out else edge + BESIDE_MM + half
        out.append((m.piece, (x, 0.0, 0.0)))
        edge = x + half
    return out


def scene(d: Derived) -> list:
    """The whole commission as a scene: [(piece name, meshes, offset)]."""
    from studio_lib.solids import meshes

    return [(p.name, meshes(p), offset) for p, offset in side_by_side(d)]


def glb_bytes(d: Derived) -> bytes:
    """A glTF file of the commission as new."""
    from studio_lib.look.glb import glb

    return glb(scene(d), appearances(d))


@lru_cache(maxsize=16)
def _still(pieces: tuple, look: tuple, floor: str, px: tuple[int, int], view: str, samples: int):
    from studio_lib.look.still import still
    from studio_lib.solids import meshes

    return still(
        [(p.name, meshes(p), offset) for p, offset in pieces], dict(look), *px, view, ground=floor,
        samples=samples,
    )


def picture(d: Derived, years: float = 0.0, px: tuple[int, int] = STILL_PX):
    """A still picture of the commission: PNG bytes or None, and why not."""
    return _still(
        tuple(side_by_side(d)), tuple(appearances(d, years).items()), ground(d), px,
        "front right above", 16,
    )


@lru_cache(maxsize=8)
def _aged(pieces: tuple, looks: tuple, floor: str, px: tuple[int, int]):
    from studio_lib.look.still import stills
    from studio_lib.solids import meshes

    return stills(
        [(p.name, meshes(p), offset) for p, offset in pieces], [dict(one) for one in looks], *px, ground=floor, samples=6,
    )


def aged_pictures(d: Derived, years: tuple[float, ...], px: tuple[int, int] = (520, 330)):
    """Small still pictures of the commission after so many years each, drawn in one go."""
    return _aged(
        tuple(side_by_side(d)), tuple(tuple(appearances(d, y).items()) for y in years), ground(d), px
    )


def piece_still(d: Derived, piece: Piece, px: tuple[int, int] = (600, 400)):
    """A still picture of one piece, seen from above, on a plain ground."""
    return _still(
        ((piece, (0.0, 0.0, 0.0)),), tuple(appearances(d).items()), "", px, "front right above", 8
    )


def client_page_html(d: Derived) -> str:
    """The page a client opens at home."""
    from html import escape

    from studio_lib.look.client_page import client_page

    c = d.commission
    sizes = "\n\n".join(
        f"{m.piece.name[0].upper()}{m.piece.name[1:]}: {m.piece.overall_mm[0]:.0f} mm long, "
        f"{m.piece.overall_mm[1]:.0f} mm wide, {m.piece.overall_mm[2]:.0f} mm high"
        + (f", about {d.weights_kg[m.piece.name]:.0f} kg." if m.piece.name in d.weights_kg else ".")
        for m in d.made if m.piece.members
    )
    from studio_lib.papers.words import FINISH_WORDS, may_differ

    timber = (
        f"{d.species.name} ({d.species.botanical_name}), solid throughout; {FINISH_WORDS[c.brief.finish]}."
        if d.species else f"In {NO_TIMBER}."
    )
    still, _ = picture(d)
    return client_page(
        c.title,
        f"<p>For {escape(c.client or 'you')}. Turn it, take it apart, and see it grow old.</p>",
        [(c.title, scene(d))],
        {years: appearances(d, years) for years in STAGES},
        sizes,
        timber,
        "\n\n".join(may_differ(d)),
        pictures=(still,),
        ground=ground(d),
    )
