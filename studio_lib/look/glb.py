"""A scene as one binary glTF file: what the 3D view reads, and what a client can download."""

from __future__ import annotations

import struct
import zlib
from collections import OrderedDict
from functools import lru_cache

import numpy as np
from pydantic_core import to_json

MAGIC, VERSION = 0x46546C67, 2
JSON_CHUNK, BINARY_CHUNK = 0x4E4F534A, 0x004E4942
FLOAT, UNSIGNED_SHORT, UNSIGNED_INT = 5126, 5123, 5125
VERTEX_DATA, INDEX_DATA = 34962, 34963
METRES = 0.001
Z_UP_TO_Y_UP = [-(0.5**0.5), 0.0, 0.0, 0.5**0.5]
"""A quarter turn about x, as the quaternion x, y, z, w: pieces have z up, glTF has y up."""
MEAN_LATE = 0.38
"""Share of late wood seen when the rings run together, as in the 3D view's grain."""
SHADES = (-1, 0, 1)
"""Boards of one timber differ: a plain file shows it with three tones of the base colour."""
SHADE_STEP = 0.06


def seed(piece_name: str, ref: str) -> int:
    """A number, 0 to 65535, that stays with one member so that its grain does too."""
    return zlib.crc32(f"{piece_name}/{ref}".encode()) & 0xFFFF


def flat(vertices: np.ndarray, triangles: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Vertices split so that each face keeps its own normal.

    Returns positions and unit normals (float32, N x 3) and triangles (uint32, M x 3).
    Triangles without area are left out.
    """
    corners = vertices.astype(np.float64)[triangles]
    across = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    twice_area = np.linalg.norm(across, axis=1)
    kept = twice_area > 1e-9
    # Whole numbers sort many times faster than rows of floats: a face's direction in steps of 1e-5, 18 bits each.
    steps = np.rint(across[kept] / twice_area[kept, None] * 1e5).astype(np.int64)
    packed = ((steps[:, 0] + 100_000 << 36) | (steps[:, 1] + 100_000 << 18)) | (steps[:, 2] + 100_000)
    _, first, direction = np.unique(packed, return_index=True, return_inverse=True)
    pairs = triangles[kept].astype(np.int64) * len(first) + direction[:, None]
    split, back = np.unique(pairs.ravel(), return_inverse=True)
    return (
        vertices[split // max(len(first), 1)].astype(np.float32),
        (steps[first[split % max(len(first), 1)]] / 1e5).astype(np.float32),
        back.reshape(-1, 3).astype(np.uint32),
    )


_KEPT: OrderedDict[int, tuple] = OrderedDict()
KEEP = 2048


def _flat_kept(vertices: np.ndarray, triangles: np.ndarray):
    """``flat``, kept for arrays that are shown again: most members stay as they are when one size moves."""
    found = _KEPT.get(id(vertices))
    if found is None or found[0] is not vertices:
        # The arrays are kept too, so that their identity is not given to others.
        found = _KEPT[id(vertices)] = (vertices, flat(vertices, triangles))
        while len(_KEPT) > KEEP:
            _KEPT.popitem(last=False)
    return found[1]


def linear(hex_colour: str) -> tuple[float, float, float]:
    """Red, green, blue, 0 to 1, of light rather than of the screen (IEC 61966-2-1, sRGB)."""
    text = hex_colour.lstrip("#")
    if len(text) != 6:
        raise ValueError(f"colour is {hex_colour!r}; six digits after # are wanted, as in #a07040.")
    parts = (int(text[k:k + 2], 16) / 255 for k in (0, 2, 4))
    return tuple(c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts)


def mean_colour(appearance) -> tuple[float, float, float]:
    """The tone a board shows from some way off, rings run together, as linear light."""
    base, late = linear(appearance.base_hex), linear(appearance.late_hex)
    return tuple(b + (l - b) * MEAN_LATE for b, l in zip(base, late))


@lru_cache(maxsize=1024)
def _quaternion(along, across) -> tuple[float, ...]:
    """Rotation from member axes to piece axes as x, y, z, w."""
    m = np.column_stack([along, across, np.cross(along, across)])
    four = np.array([
        [m[0, 0] - m[1, 1] - m[2, 2], 0, 0, 0],
        [m[0, 1] + m[1, 0], m[1, 1] - m[0, 0] - m[2, 2], 0, 0],
        [m[0, 2] + m[2, 0], m[1, 2] + m[2, 1], m[2, 2] - m[0, 0] - m[1, 1], 0],
        [m[2, 1] - m[1, 2], m[0, 2] - m[2, 0], m[1, 0] - m[0, 1], m[0, 0] + m[1, 1] + m[2, 2]],
    ]) / 3.0
    return tuple(float(v) for v in np.linalg.eigh(four)[1][:, -1])


class _Binary:
    """The binary chunk as it grows, with the views and accessors into it."""

    def __init__(self) -> None:
        self.data = bytearray()
        self.views: list[dict] = []
        self.accessors: list[dict] = []

    def add(self, array: np.ndarray, component: int, kind: str, target: int, bounds=False) -> int:
        self.data += b"\0" * (-len(self.data) % 4)
        self.views.append({
            "buffer": 0, "byteOffset": len(self.data), "byteLength": array.nbytes, "target": target,
        })
        self.data += array.tobytes()
        accessor = {
            "bufferView": len(self.views) - 1, "componentType": component,
            "count": len(array), "type": kind,
        }
        if bounds:
            accessor["min"] = [float(v) for v in array.min(axis=0)]
            accessor["max"] = [float(v) for v in array.max(axis=0)]
        self.accessors.append(accessor)
        return len(self.accessors) - 1


def _numbered(opening: list, leaf) -> int:
    """The place of a leaf among those met so far, itself added where it is new."""
    if leaf not in opening:
        opening.append(leaf)
    return opening.index(leaf)


def opens(scene) -> bool:
    """Whether anything in a scene opens."""
    return any(m.leaf is not None for _, members, _ in scene for m in members)


def glb(scene, appearances=None) -> bytes:
    """A scene as binary glTF 2.0: metres, y up, one node a member, equal shapes stored once.

    Parameters
    ----------
    scene : list of (piece name, meshes, offset in mm)
    appearances : dict from timber to Appearance, or None
        With them the file carries plain colours, three tones of each timber, for any
        reader of glTF; the grain of the 3D view is drawn there, not stored. Without
        them it carries shapes only, so that a change of colour sends no shapes again.

    Raises
    ------
    KeyError
        When a member's timber has no appearance.

    References
    ----------
    Khronos Group, glTF 2.0 Specification, 2021, section 4.4 (binary glTF layout).
    """
    binary = _Binary()
    nodes: list[dict] = [{"name": "scene", "rotation": Z_UP_TO_Y_UP, "children": []}]
    meshes: list[dict] = []
    materials: list[dict] = []
    drawn: dict = {}
    finished: dict = {}
    stored: dict = {}
    for piece_name, members, offset_mm in scene:
        group = {
            "name": piece_name, "children": [],
            "translation": [float(v) * METRES for v in offset_mm],
        }
        nodes[0]["children"].append(len(nodes))
        nodes.append(group)
        opening: list = []
        for m in members:
            key = id(m.vertices)  # equal shapes share their arrays, and hashing a shape costs more
            if key not in drawn:
                points, normals, triangles = _flat_kept(m.vertices, m.triangles)
                small = len(points) <= 0xFFFF
                drawn[key] = {
                    "attributes": {
                        "POSITION": binary.add(
                            points * np.float32(METRES), FLOAT, "VEC3", VERTEX_DATA, bounds=True
                        ),
                        "NORMAL": binary.add(normals, FLOAT, "VEC3", VERTEX_DATA),
                    },
                    "indices": binary.add(
                        triangles.ravel().astype(np.uint16 if small else np.uint32),
                        UNSIGNED_SHORT if small else UNSIGNED_INT, "SCALAR", INDEX_DATA,
                    ),
                }
            own = seed(piece_name, m.ref)
            material = None
            if appearances is not None:
                tone = (m.timber, SHADES[own % len(SHADES)])
                if tone not in finished:
                    finished[tone] = len(materials)
                    materials.append(_material(appearances, *tone))
                material = finished[tone]
            if (key, material) not in stored:
                stored[key, material] = len(meshes)
                primitive = dict(drawn[key])
                if material is not None:
                    primitive["material"] = material
                meshes.append({"primitives": [primitive]})
            moves = {} if m.leaf is None else {"leaf": _numbered(opening, m.leaf)}
            if m.held is not None:
                leaf, stay, case = m.held
                moves = {"stay": {
                    "leaf": _numbered(opening, leaf), "foot_mm": list(stay.foot), "head_mm": list(stay.head), "on_case": case,
                }}
            group["children"].append(len(nodes))
            nodes.append({
                "name": f"{m.ref} {m.name}",
                "mesh": stored[key, material],
                "translation": [float(v) * METRES for v in m.placement.origin],
                "rotation": _quaternion(m.placement.along, m.placement.across),
                "extras": {
                    "ref": m.ref, "name": m.name, "role": m.role, "piece": piece_name,
                    "timber": m.timber, "size_mm": [float(v) for v in m.size_mm],
                    "pulls_mm": [list(step) for step in m.pulls], "seed": own,
                    **({"glued": True} if m.glued else {}), **moves,
                },
            })
        if opening:
            group["extras"] = {"leaves": [leaf.told() for leaf in opening]}
    document = {
        "asset": {"version": "2.0"},
        "scene": 0,
        "scenes": [{"nodes": [0]}],
        "nodes": nodes,
        "meshes": meshes,
        "accessors": binary.accessors,
        "bufferViews": binary.views,
        "buffers": [{"byteLength": len(binary.data)}],
    }
    if materials:
        document["materials"] = materials
    text = to_json(document)
    text += b" " * (-len(text) % 4)
    data = bytes(binary.data) + b"\0" * (-len(binary.data) % 4)
    length = 12 + 8 + len(text) + 8 + len(data)
    return b"".join([
        struct.pack("<III", MAGIC, VERSION, length),
        struct.pack("<II", len(text), JSON_CHUNK), text,
        struct.pack("<II", len(data), BINARY_CHUNK), data,
    ])


def appearance_of(appearances, timber: str):
    """The appearance of one timber; KeyError naming those on hand when it is missing."""
    try:
        return appearances[timber]
    except KeyError:
        raise KeyError(
            f"No appearance for {timber!r}. On hand: {', '.join(sorted(appearances)) or 'none'}."
        ) from None


def _material(appearances, timber: str, shade: int) -> dict:
    look = appearance_of(appearances, timber)
    tone = 1 + SHADE_STEP * shade
    return {
        "name": timber,
        "pbrMetallicRoughness": {
            "baseColorFactor": [round(min(c * tone, 1.0), 5) for c in mean_colour(look)] + [1.0],
            "metallicFactor": 0.0,
            "roughnessFactor": float(look.roughness),
        },
    }
