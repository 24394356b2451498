"""Members as triangles, every joint cut: quick enough to follow a moving slider."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

import manifold3d
import numpy as np

from studio_lib.piece import Piece, Placement, Prism, Shape
from studio_lib.piece.outline import flat
from studio_lib.piece.apart import steps_apart
from studio_lib.piece.bulk import DECIMALS, bulk, bulks, let_go
from studio_lib.piece.leaves import STAY_MM, Leaf, Stay, leaves
from studio_lib.piece.model import as_prism, hole
from studio_lib.piece.uncut import joint_words
from studio_lib.solids.drilled import drilled

# An extrusion runs along z with its profile in x, y; a member runs along x with its
# profile in y, z. Turning the axes round once keeps the handedness.
_ALONG_X = np.array([[0, 0, 1, 0], [1, 0, 0, 0], [0, 1, 0, 0]], dtype=float)


@dataclass(frozen=True, eq=False)
class MemberMesh:
    """One member as triangles in its own axes (mm, x along the grain), and where it stands.

    Members with equal ``shape`` share the same arrays.
    """

    ref: str
    name: str
    role: str
    timber: str
    size_mm: tuple[float, float, float]
    shape: Shape | Prism
    placement: Placement
    vertices: np.ndarray
    """float32, N x 3."""
    triangles: np.ndarray
    """uint32, M x 3, outward by the right hand."""
    pulls: tuple[tuple[float, float, float], ...]
    """How far it moves at each step of taking the piece apart, in piece axes and mm."""

    fault: str = ""
    """Why it is shown without its joints; empty as a rule."""
    glued: bool = False
    """A board glued edge to edge with others: where they meet there is hardly a line to be seen."""
    leaf: Leaf | None = None
    """The door, lid or drawer it opens with."""
    held: tuple[Leaf, Stay, bool] | None = None
    """One half of a stay that holds an open leaf: True for the tube on the case, False for the rod on the leaf."""

    @property
    def pull(self) -> tuple[float, float, float]:
        """How far it has moved once the piece is wholly taken apart. [mm]"""
        return tuple(sum(step) for step in zip(*self.pulls))


@let_go
@lru_cache(maxsize=512)
def _solid(shape: Shape) -> manifold3d.Manifold:
    body, cuts = drilled(shape) or (_plain(shape), shape.cuts)
    if not (shape.within or shape.shaped or shape.adds or cuts):
        return body
    for prism in shape.within:
        body = body ^ bulk(prism)
    for blocks, way in (
        (shape.shaped, manifold3d.OpType.Subtract),
        (shape.adds, manifold3d.OpType.Add),
        (cuts, manifold3d.OpType.Subtract),
    ):
        if blocks:
            body = manifold3d.Manifold.batch_boolean([body, *bulks(blocks)], way)
    if shape.shaped and len(shape.adds) > 1:
        # Where a haunch meets its tenon on a slanting shoulder, a skin without thickness may be left over.
        parts = [part for part in body.decompose() if part.volume() > SKIN_MM3]
        if parts:
            body = manifold3d.Manifold.compose(parts) if len(parts) > 1 else parts[0]
    # As one solid: else its triangles stand in the order in which its cuts were first made for whatever piece.
    return body.as_original()


def _plain(shape: Shape) -> manifold3d.Manifold:
    """The length of the member with its section and no more."""
    body = manifold3d.Manifold.extrude(manifold3d.CrossSection([list(flat(shape.profile))]), shape.length_mm).transform(_ALONG_X)
    # The section's corners come back off by up to 1e-8: a cut up to a face would leave a skin as thin.
    return body.warp_batch(lambda points: np.round(points, DECIMALS))


SKIN_MM3 = 1e-6


class CannotMesh(RuntimeError):
    """The mesh kernel could not make a member; says why in a sentence."""


@lru_cache(maxsize=512)
def _arrays(shape: Shape) -> tuple[np.ndarray, np.ndarray]:
    try:
        solid = _solid(shape)
        sound = solid.status() == manifold3d.Error.NoError and not solid.is_empty()
    except Exception as error:  # noqa: BLE001 - whatever the kernel says, the rest of the piece is still shown
        raise CannotMesh(f"the mesh kernel failed ({error}).") from None
    if not sound:
        raise CannotMesh("its joints leave no sound piece of timber.")
    mesh = solid.to_mesh()
    vertices = np.ascontiguousarray(mesh.vert_properties[:, :3], dtype=np.float32)
    return vertices, np.ascontiguousarray(mesh.tri_verts, dtype=np.uint32)


def solid_of(shape: Shape) -> manifold3d.Manifold:
    """The member as a solid of the mesh kernel, in its own axes."""
    return _solid(shape)


@lru_cache(maxsize=512)
def volume_mm3(shape: Shape) -> float:
    """Volume of timber left in a member once its joints are cut."""
    return _solid(shape).volume()


def placed(piece: Piece, ref: str) -> manifold3d.Manifold:
    """The member's solid where it stands in the piece."""
    p = piece.member(ref).placement
    matrix = np.column_stack([p.along, p.across, p.through, p.origin])
    return _solid(piece.shape(ref)).transform(matrix)


def overlap_mm3(piece: Piece, a: str, b: str) -> float:
    """Volume that two members both claim; 0 when every joint is properly cut.

    Where aslant faces only touch, the kernel may keep a part of a tenon that lies in its mortise, and does so for one order
    of the two alone: what both orders keep is shared.
    """
    one, other = placed(piece, a), placed(piece, b)
    shared = (one ^ other).volume()
    return shared if shared < SKIN_MM3 else min(shared, (other ^ one).volume())


def meshes(piece: Piece) -> tuple[MemberMesh, ...]:
    """Every member of the piece as triangles, in the order of the piece, then the parts that are seen."""
    steps = steps_apart(piece)
    if piece.drawn_out_mm:
        steps = [dict.fromkeys(piece.by_ref, (0.0, -piece.drawn_out_mm, 0.0)), *steps]
    pulls = {m.ref: tuple(step[m.ref] for step in steps) for m in piece.members}
    glued = {ref for j in piece.joints if j.kind == "edge joint" for ref in (j.first, j.second)}
    leaf_of = {ref: leaf for leaf in leaves(piece) for ref in leaf.refs}
    out = []
    for m in piece.members:
        shape, fault = piece.shape(m.ref), ""
        try:
            vertices, triangles = _arrays(shape)
        except CannotMesh as error:
            joints = "; ".join(dict.fromkeys(joint_words(j) for j in piece.joints if m.ref in (j.first, j.second)))
            fault = f"{m.name} ({m.ref}, {m.length_mm:.0f} x {m.width_mm:.0f} x {m.thickness_mm:.0f} mm) is shown plain: {error} Its joints: {joints}."
            shape = replace(shape, adds=(), cuts=(), within=(), shaped=())
            vertices, triangles = _arrays(shape)
        out.append(
            MemberMesh(
                m.ref, m.name, m.role, m.timber,
                (m.length_mm, m.width_mm, m.thickness_mm),
                shape, m.placement, vertices, triangles, pulls[m.ref], fault, m.ref in glued,
                leaf_of.get(m.ref),
            )
        )
    seen = ((j, p) for j in piece.joints if j not in piece.uncut for p in j.seen_parts(piece))
    for number, (joint, part) in enumerate(seen, 1):
        prism = as_prism(part.block)
        local = replace(prism, at=_HERE)
        vertices, triangles, size = _block_arrays(local)
        out.append(
            MemberMesh(
                f"{part.on or joint.first} part {number}", part.name, PART, part.material, size, local, prism.at, vertices, triangles,
                pulls[part.on or joint.first], leaf=leaf_of.get(part.on or joint.first),
            )
        )
    out += [_stood_on(f"{piece.members[0].ref} held on {n}", part, len(steps)) for n, part in enumerate(piece.held_on, 1)]
    for leaf in leaves(piece):
        for number, stay in enumerate(leaf.stays, 1):
            out += _halves(leaf, stay, number, pulls, piece.hinge_metal)
    return tuple(out)


def _stood_on(ref: str, part, steps: int) -> MemberMesh:
    """What a piece is clamped to or stands between: it stays where it is while the piece is taken apart."""
    prism = as_prism(part.block)
    local = replace(prism, at=_HERE)
    vertices, triangles, size = _block_arrays(local)
    return MemberMesh(ref, part.name, PART, part.material, size, local, prism.at, vertices, triangles, ((0.0, 0.0, 0.0),) * steps)


def _halves(leaf: Leaf, stay: Stay, number: int, pulls, metal: str) -> list[MemberMesh]:
    """The tube and the rod of a stay, each a round bar along x from where it is fixed."""
    out = []
    on_leaf = leaf.joint.first if leaf.joint.first in leaf.refs else leaf.joint.second
    on_case = leaf.joint.second if on_leaf == leaf.joint.first else leaf.joint.first
    for case, word, thick, (a, b), on in (
        (True, "tube", STAY_MM, (stay.foot, stay.head), on_case), (False, "rod", 0.6 * STAY_MM, (stay.head, stay.foot), on_leaf),
    ):
        block = hole((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), thick, stay.half_mm)
        vertices, triangles, _ = _block_arrays(block)
        along = np.subtract(b, a) / np.linalg.norm(np.subtract(b, a))
        across = np.cross(along, leaf.axis)
        way, side = (tuple(float(c) for c in v) for v in (along, across / np.linalg.norm(across)))
        out.append(MemberMesh(
            f"{on} stay {2 * number - case}", f"{word} of a stay, {leaf.name}", PART, metal, (stay.half_mm, thick, thick), block,
            Placement(a, way, side), vertices, triangles, pulls[on], leaf=None if case else leaf, held=(leaf, stay, case),
        ))
    return out


PART = "part"
"""Role of a dowel, a bolt or a cable in a scene: seen, and on no cutting list."""
_HERE = Placement((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0))


@lru_cache(maxsize=1024)
def _block_arrays(block: Prism) -> tuple[np.ndarray, np.ndarray, tuple[float, float, float]]:
    """Corners and triangles of a block, and its size along each axis. [mm]"""
    mesh = bulk(block).to_mesh()
    vertices = np.ascontiguousarray(mesh.vert_properties[:, :3], dtype=np.float32)
    return vertices, np.ascontiguousarray(mesh.tri_verts, dtype=np.uint32), tuple(np.ptp(vertices, axis=0).tolist())
