"""From what was derived to what is shown: pieces side by side, new or aged."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING

from studio_lib.forms import form
from studio_lib.forms.beside import is_round
from studio_lib.look.arranged import BESIDE_MM, Stood, arranged, scene_of, seen_at
from studio_lib.piece import Joint, Piece
from studio_lib.piece.called import is_several
from studio_lib.piece.leaves import leaves
from studio_lib.structure.hung import hangs_at_mm
from studio_lib.timber.ageing import SHOWN_YEARS

if TYPE_CHECKING:
    from studio_lib.derive import Derived
    from studio_lib.look.still import Picture

STAGES = SHOWN_YEARS
"""Years that a client is shown."""
STILL_PX = (1400, 875)
OPEN_PX = (875, 875)
PAGE_STILL_PX = (1000, 625)
JOINT_PX = (1000, 700)
STILL_SAMPLES = 12
EXPOSURE = {
    "indoors, heated": "indoors", "indoors, unheated": "indoors",
    "outdoors, under cover": "under cover", "outdoors, in the weather": "weather",
}
LIGHTS = {"indoors": "indoors", "in the sun": "sun", "in damp shade": "shade", "under a roof outdoors": "eaves",
          "under a roof, rain blows in": "driven rain"}
"""Where a piece may stand, in a maker's words, as ``timber.ageing`` knows it."""
CARE = {
    "no finish": "bare", "oiled and kept oiled": "oiled", "oiled once, then left": "oiled once",
    "under a clear film, kept whole": "film", "painted, kept whole": "film",
}
"""How its surface may be kept, likewise."""
PAINTED = "painted, kept whole"
NO_TIMBER = "a timber still to be chosen"


def ground(d: Derived) -> str:
    """What the piece stands on in a picture; of pieces in several places the first one's."""
    b = d.made[0].brief if d.made else d.commission.brief
    return "paving" if b.place.startswith("outdoors") and b.ground in ("", "paving", "tiles over a membrane") else "floor"


def person(d: Derived) -> tuple[float, str]:
    """The figure beside the piece, as tall as the tallest who uses it where that was asked: height [m] and the same in words."""
    from studio_lib.look.client_page import PERSON
    from studio_lib.showing import stature

    b, shown = d.commission.brief, d.commission.shown
    tall = b.tallest_person_mm
    return (tall / 1000, stature(tall, shown)) if tall else (PERSON[0], stature(1000 * PERSON[0], shown))


def light_of(d: Derived) -> str:
    """Where the brief puts the pieces that stand as it says, in the words of ``LIGHTS``."""
    return _light(d.commission.brief)


def _light(brief) -> str:
    under = "driven rain" if brief.wetted else "eaves"
    exposure = {"weather": "sun", "under cover": under}.get(EXPOSURE[brief.place], "indoors")
    return next(words for words, known in LIGHTS.items() if known == exposure)


def care_of(d: Derived) -> str:
    """How the brief has it finished, in the words of ``CARE``."""
    from studio_lib.finishing.finish import seen_as

    if d.finish_family.kind == "paint":
        return PAINTED
    return next(words for words, seen in CARE.items() if seen == seen_as(d.finish_family))


def appearances(d: Derived, years: float = 0.0, light: str = "", care: str = "") -> dict:
    """How the commission's timber looks after so many years, and under ``arranged.seen_at`` that of pieces that stand elsewhere.

    ``light`` and ``care`` are words of ``LIGHTS`` and ``CARE``; empty ones take what the brief
    says. ``light`` is that of the brief's place alone. Raises ValueError for others.
    """
    from studio_lib.timber import appearance

    for name, words, known in (("light", light, LIGHTS), ("care", care, CARE)):
        if words and words not in known:
            raise ValueError(f"{name} is {words!r}; give one of {', '.join(known)}, or leave it empty.")
    finish, exposure = CARE[care or care_of(d)], LIGHTS[light or light_of(d)]
    covered = (care or care_of(d)) == PAINTED

    def timber_seen(name: str, exposure: str):
        return _painted(d.paint_colour) if covered else appearance(d.library.timber(name), years, exposure, finish)

    looks = {}
    for name in dict.fromkeys([d.commission.timber.species or "", *(m.timber for p in d.pieces for m in p.members)]):
        looks[name] = timber_seen(name, exposure) if name else _plain()
    parts = {
        part.material for p in d.pieces for j in p.joints if j not in p.uncut for part in j.parts(p)
    } | {part.material for p in d.pieces for part in p.held_on}
    parts -= set(looks)
    for name in sorted(parts):
        looks[name] = _metal(name) if name in METALS else timber_seen(name, exposure)
    timbers = [name for name in looks if name and name not in METALS]
    for there in d.standing:
        place = there.commission.brief.place
        if place != d.commission.brief.place:
            other = LIGHTS[_light(there.commission.brief)]
            looks |= {seen_at(name, place): timber_seen(name, other) for name in timbers}
            looks |= {seen_at(name, place): looks[name] for name in list(looks) if name in ("", *METALS)}
    return looks


def greying_words(d: Derived) -> str:
    """What becomes of the commission's colour outdoors, to follow 'it', as its pictures show it; '' indoors, and under paint."""
    from studio_lib.timber import greying

    if care_of(d) == PAINTED:
        return ""
    return greying(LIGHTS[_light(d.hardest)], CARE[care_of(d)])


def _painted(colour: str):
    """How paint of a colour in the maker's words looks: no rings show."""
    from studio_lib.look.paint import COLOURS, WHITE, shown_as, shown_words
    from studio_lib.timber import Appearance

    seen = COLOURS[shown_as(colour) or WHITE]
    return Appearance(seen, seen, 0.0, 0.0, 0.35, 0.0, f"Painted{f', {colour}' if colour else ''}. {shown_words(colour)}", "an illustration of ours")


METALS = {
    "steel": "#8f9397", "bare steel": "#8f9397", "zinc-plated steel": "#adb2b8", "stainless steel": "#c4c8cb", "stainless steel 316 (A4)": "#c4c8cb",
    "brass": "#b8975a", "brass or bronze": "#b8975a", "rubber": "#3a3a3a", "plaster": "#d6cfc1", "skirting board": "#e6e2d9",
}
"""What parts that are not timber are shown in; colours of ours. No rings: ``ring_mm`` 0 is drawn in one colour."""


def _metal(name: str):
    from studio_lib.look.client_page import DRAWN_PLAIN
    from studio_lib.timber import Appearance

    colour = METALS[name]
    return Appearance(colour, colour, 0.0, 0.0, 0.45, 0.0, f"{name}, {DRAWN_PLAIN}", "an illustration of ours")


def _plain():
    """A pale wood without a name, while no timber is chosen."""
    from studio_lib.timber import Appearance

    return Appearance("#d8c7a6", "#c3ae88", 4.0, 0.3, 0.7, 0.0, NO_TIMBER, "")


def side_by_side(d: Derived) -> list[tuple[Piece, tuple[float, float, float]]]:
    """One of every piece, the one beside the other along x, the first at the middle: for drawing in other programs. [mm]"""
    out, edge = [], 0.0
    for m in (m for m in d.made if m.piece.members):
        half = m.piece.overall_mm[0] / 2
        x = 0.0 if not out else edge + BESIDE_MM + half
        out.append((m.piece, (x, 0.0, 0.0)))
        edge = x + half
    return out


def scene(d: Derived) -> list:
    """The whole commission as a scene, as many of each as are ordered: [(piece name, meshes, offset)]."""
    return scene_of(arranged(d.made))


def glb_bytes(d: Derived) -> bytes:
    """A glTF file of the commission as new."""
    from studio_lib.look.glb import glb

    return glb(scene(d), appearances(d))


@lru_cache(maxsize=16)
def _still(pieces: tuple, look: tuple, floor: str, px: tuple[int, int], view: str, samples: int, opened: float = 0.0):
    from studio_lib.look.still import still

    return still(scene_of(pieces), dict(look), *px, view, ground=floor, samples=samples, opened=opened)


def picture(d: Derived, years: float = 0.0, px: tuple[int, int] = STILL_PX):
    """A still picture of the commission: PNG bytes or None, and why not."""
    return _still(
        tuple(arranged(d.made)), tuple(appearances(d, years).items()), ground(d), px,
        "front right above", STILL_SAMPLES,
    )


def opens(d: Derived) -> bool:
    """Whether any piece has doors, drawers or a lid to open."""
    return any(leaves(p) for p in d.pieces)


def opened_picture(d: Derived, px: tuple[int, int] = OPEN_PX):
    """The commission new, with its doors, drawers and lids open: PNG bytes or None, and why not; '' where nothing opens."""
    from studio_lib.look.still import Picture

    if not opens(d):
        return Picture(None)
    return _still(
        tuple(arranged(d.made)), tuple(appearances(d).items()), ground(d), px, "front right above", STILL_SAMPLES, 1.0,
    )


@lru_cache(maxsize=8)
def _aged(pieces: tuple, looks: tuple, floor: str, px: tuple[int, int], samples: int):
    from studio_lib.look.still import stills

    return stills(scene_of(pieces), [dict(one) for one in looks], *px, ground=floor, samples=samples)


def aged_pictures(d: Derived, years: tuple[float, ...], px: tuple[int, int] = (520, 330), samples: int = 6):
    """Still pictures of the commission after so many years each, drawn in one go; small ones unless asked otherwise."""
    return _aged(
        tuple(arranged(d.made)), tuple(tuple(appearances(d, y).items()) for y in years), ground(d), px, samples
    )


def piece_still(d: Derived, piece: Piece, px: tuple[int, int] = (600, 400)):
    """A still picture of one piece, seen from above, on a plain ground."""
    return _still(_alone(d, piece), tuple(appearances(d).items()), "", px, "front right above", 8)


def front_still(d: Derived, piece: Piece, px: tuple[int, int] = (600, 400)):
    """One piece from straight in front."""
    return _still(_alone(d, piece), tuple(appearances(d).items()), "", px, "front", 8)


def _alone(d: Derived, piece: Piece) -> tuple[Stood, ...]:
    return (Stood(piece, place=next((m.elsewhere for m in d.made if m.piece == piece), "")),)


@lru_cache(maxsize=32)
def _joint_still(piece: Piece, joint: Joint, look: tuple, px: tuple[int, int], apart: float):
    from studio_lib.look.still import still
    from studio_lib.solids import meshes

    pair = (joint.first, joint.second)
    way = joint.entry(piece) or (0.0, 0.0, 1.0)
    cuts, adds = joint.cuts(piece), joint.adds(piece)
    blocks = {r: [piece.member(r).placement.to_piece_block(b).bounds for b in (*cuts.get(r, ()), *adds.get(r, ()))] for r in pair}
    where = [b for r in pair for b in blocks[r]] or [piece.member(r).piece_box for r in pair]
    lo = [min(b.lo[k] for b in where) for k in range(3)]
    hi = [max(b.hi[k] for b in where) for k in range(3)]
    # Off far enough to see the whole of what goes in.
    deep = abs(sum(w * (h - l) for w, l, h in zip(way, lo, hi)))
    off = tuple(float(c) * (deep + 60.0) for c in way)
    shown = []
    for m in meshes(piece):
        if m.ref == joint.first or m.ref.startswith(f"{joint.first} part "):
            shown.append(replace(m, pulls=((0.0, 0.0, 0.0),)))
        elif m.ref == joint.second or m.ref.startswith(f"{joint.second} part "):
            shown.append(replace(m, pulls=(off,)))
    # The picture is about the joint: what lies far off runs out of it.
    ends = [tuple(v + apart * o for v, o in zip(corner, off)) for corner in (lo, hi)]
    lo = [min(v, *(e[k] for e in ends)) for k, v in enumerate(lo)]
    hi = [max(v, *(e[k] for e in ends)) for k, v in enumerate(hi)]
    margin = max(35.0, 0.25 * max(h - l for l, h in zip(lo, hi)))
    near = tuple(v - margin for v in lo), tuple(v + margin for v in hi)
    return still(
        [(piece.name, tuple(shown), (0.0, 0.0, 0.0))], dict(look), *px, seen_best(way), apart=apart, ground="", samples=8,
        near_mm=near,
    )


def seen_best(way) -> str:
    """From where a joint that opens along ``way`` shows both its halves: facing what the second member receives."""
    axis = max(range(3), key=lambda k: abs(way[k]))
    on = way[axis] > 0
    if axis == 0:
        return f"front {'left' if on else 'right'} above"
    if axis == 1:
        return f"{'front' if on else 'back'} right above"
    return f"front right {'below' if on else 'above'}"


def joint_still(d: Derived, piece: Piece, joint: Joint, px: tuple[int, int] = (600, 400), apart: float = 1.0):
    """One joint near by, its two members drawn apart the way they go together."""
    return _joint_still(piece, joint, tuple(appearances(d).items()), px, apart)


def still_pictures(d: Derived) -> dict[str, Callable[[], Picture]]:
    """Every still picture of the commission by file name, drawn when called: whole, aged, each piece in front, each joint."""
    def whole(years):
        return lambda: aged_pictures(d, STAGES, STILL_PX, STILL_SAMPLES)[STAGES.index(years)]

    out = {"picture.png" if y == 0 else f"picture after {y} {'year' if y == 1 else 'years'}.png": whole(y) for y in STAGES}
    if opens(d):
        out["picture, open.png"] = lambda: opened_picture(d, STILL_PX)
    for p in d.pieces:
        out[f"{p.name}, front.png"] = lambda p=p: front_still(d, p, STILL_PX)
        families = {j.family: j for j in reversed(p.joints) if j not in p.uncut and j.cuts(p)}
        for family, joint in sorted(families.items()):
            out[f"{p.name}, {family}.png"] = lambda p=p, joint=joint: joint_still(d, p, joint, JOINT_PX)
    return {name.replace("/", "-"): draw for name, draw in out.items()}


def faults(d: Derived) -> list[str]:
    """What could not be drawn as it will be made, a sentence each; empty as a rule."""
    from studio_lib.piece.uncut import uncut_findings
    from studio_lib.solids import meshes

    return [
        said for p in d.pieces
        for said in (*(f.says + "." for f in uncut_findings(p)), *(m.fault for m in meshes(p) if m.fault))
    ]


def options(d: Derived) -> list[tuple[str, Derived]]:
    """Every option that the client may see, by name, the one in hand as it stands; else the commission alone."""
    from studio_lib.derive import derive

    c = d.commission
    shown = [o for o in c.options if o.to_client or o.name == c.chosen]
    if len(shown) < 2:
        return [(c.title, d)]
    return [(o.name, d if o.name == c.chosen else derive(c.choosing(o.name), d.known)) for o in shown]


def sizes_words(d: Derived) -> list[str]:
    """Each piece with its overall sizes, weight and number, a sentence each, for a client."""
    return [
        f"{_capital(m.piece.name)}: "
        + (f"round, {m.piece.overall_mm[0]:.0f} mm across, " if is_round(m) else
           f"{m.piece.overall_mm[0]:.0f} mm {form(m.item.form).called[0]}, {m.piece.overall_mm[1]:.0f} mm {form(m.item.form).called[1]}, ")
        + f"{m.piece.overall_mm[2]:.0f} mm high"
        + (f", about {d.weights_kg[m.piece.name]:.0f} kg" if m.piece.name in d.weights_kg else "")
        + (f", hung {at:.0f} mm above the floor" if (at := hangs_at_mm(m.piece)) is not None else "")
        + (f"; {m.item.count} of them." if m.item.count > 1 else ".")
        for m in d.made if m.piece.members
    ]


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def _differing(said: list[tuple[str, list[str]]]) -> list[str]:
    """What holds for every option once; what holds for some with their names."""
    out = []
    for sentence in dict.fromkeys(s for _, all_of_it in said for s in all_of_it):
        names = [name for name, all_of_it in said if sentence in all_of_it]
        out.append(sentence if len(names) == len(said) else f"{_capital(', '.join(names))}: {sentence}")
    return out


def timber_words(d: Derived) -> str:
    """The timber and its finish, in a sentence for a client."""
    if d.species is None:
        return f"In {NO_TIMBER}."
    greys, beside = greying_words(d), shown_together(d)
    outdoors = "outdoors " if len(d.standing) > 1 else ""
    return (f"{d.species.name} ({d.species.botanical_name}), solid throughout; {d.finish_words}"
            + (f"; {outdoors}it {greys}." if greys else ".") + (f" {beside}" if beside else ""))


def shown_together(d: Derived) -> str:
    """That pieces which stand in different places are drawn side by side, a sentence; '' where all stand in one."""
    first = d.made[0] if d.made else None
    away = [(m.piece.name, m.brief.place) for m in d.made if first and m.brief.place != first.brief.place]
    if not away:
        return ""
    names, places = ", ".join(name for name, _ in away), " and ".join(dict.fromkeys(place for _, place in away))
    one = len(away) == 1 and not is_several(away[0][0])
    return f"The {names} stand{'s' * one} {places}: the picture puts {'it' if one else 'them'} beside the {first.piece.name}, on that one's ground."


def ways_to_keep(d: Derived) -> list[tuple[str, str]]:
    """Where and how a client may keep it: (light, care) in words, as the brief has it first."""
    light, care = light_of(d), care_of(d)
    lights = [light] if light == "indoors" else [light, *(w for w in ("in the sun", "in damp shade") if w != light)]
    cares = [care, *(w for w in ("no finish", "oiled and kept oiled") if w != care)]
    return [(one, other) for one in lights for other in cares]


def _small(png: bytes | None) -> bytes | None:
    """A picture as JPEG, a tenth of the size and near enough for a page."""
    import io

    from PIL import Image

    if png is None:
        return None
    out = io.BytesIO()
    Image.open(io.BytesIO(png)).convert("RGB").save(out, "JPEG", quality=86, optimize=True)
    return out.getvalue()


def client_page_html(d: Derived) -> str:
    """The page a client opens at home: each option kept with the commission, side by side."""
    from html import escape

    from studio_lib.look.client_page import client_page
    from studio_lib.papers.words import may_differ
    from studio_lib.showing import as_shown

    c = d.commission
    asked = c.shown.to_client
    shown = [(name, one) for name, one in options(d) if one.pieces]
    several = len(shown) > 1
    ways = [
        (f"{light}, {care}", {
            years: {k: v for _, one in shown for k, v in appearances(one, years, light, care).items()} for years in STAGES
        })
        for light, care in ways_to_keep(d)
    ]

    def each(words) -> str:
        if not several:
            return words(d)
        return "\n\n".join(f"{_capital(name)}:\n{words(one)}" for name, one in shown)

    return client_page(
        c.title,
        f"<p>For {escape(c.client or 'you')}. Turn it, take it apart, and see it grow old.</p>",
        [(name, scene(one)) for name, one in shown],
        ways[0][1],
        as_shown(each(lambda one: ("\n" if several else "\n\n").join(sizes_words(one))), asked),
        each(timber_words),
        as_shown("\n\n".join(_differing([(name, may_differ(one)) for name, one in shown])), asked),
        pictures=tuple(_small(picture(one, px=PAGE_STILL_PX)[0]) for _, one in shown),
        ground=ground(d),
        person=person(d),
        inch=asked.finest if asked.inches else 0,
        other_ways=ways[1:],
        way=ways[0][0],
    )
