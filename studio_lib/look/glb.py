"""A scene as one binary glTF file: what the 3D view reads, and what a client can download."""

from __future__ import annotations

import struct
import zlib
from collections import OrderedDict
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from pydantic import TypeAdapter

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
_DOCUMENT = TypeAdapter(dict)


def seed(piece_name: str, ref: str) -> int:
    """A number, 0 to 65535, that stays with one member so that its grain does too."""
    return zlib.crc32(f"{piece_name}/{ref}".encode()) & 0xFFFF


def flat(vertices: np.ndarray, triangles: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Vertices split so that each face keeps its own normal.

    Returns positions and unit normals (float32, N x 3) and triangles (uint32, M x 3).
    Triangles without area are left out.
    """
    return _flats([(vertices, triangles)])[0]


def _flats(arrays: list[tuple[np.ndarray, np.ndarray]]) -> list[tuple[np.ndarray, np.ndarray, np.ndarray]]:
    """``flat`` of several at once, which takes hardly longer than one of them."""
    begins = np.cumsum([0, *(len(vertices) for vertices, _ in arrays)])
    vertices = np.concatenate([vertices for vertices, _ in arrays])
    triangles = np.concatenate([triangles.astype(np.int64) + begin for (_, triangles), begin in zip(arrays, begins)])
    corners = vertices.astype(np.float64)[triangles]
    across = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    twice_area = np.linalg.norm(across, axis=1)
    kept = twice_area > 1e-9
    # Whole numbers sort many times faster than rows of floats: a face's direction in steps of 1e-5, 18 bits each.
    steps = np.rint(across[kept] / twice_area[kept, None] * 1e5).astype(np.int64)
    packed = ((steps[:, 0] + 100_000 << 36) | (steps[:, 1] + 100_000 << 18)) | (steps[:, 2] + 100_000)
    _, first, direction = np.unique(packed, return_index=True, return_inverse=True)
    many = max(len(first), 1)
    split, back = np.unique((triangles[kept] * many + direction[:, None]).ravel(), return_inverse=True)
    points, normals = vertices[split // many].astype(np.float32), (steps[first[split % many]] / 1e5).astype(np.float32)
    # What is sorted by its vertex stays together, member by member.
    own = np.searchsorted(split, begins * many)
    rows = np.concatenate([[0], np.cumsum(kept)])[np.cumsum([0, *(len(faces) for _, faces in arrays)])]
    faces = back.reshape(-1, 3)
    return [
        (points[p:q], normals[p:q], (faces[f:g] - p).astype(np.uint32))
        for p, q, f, g in zip(own, own[1:], rows, rows[1:])
    ]


@dataclass(frozen=True, eq=False)
class _Ready:
    """One shape as the file takes it."""

    points: np.ndarray
    """float32, N x 3. [m]"""
    normals: np.ndarray
    triangles: np.ndarray
    """Three numbers for each, in one row, as short as they may be."""
    least: list[float]
    most: list[float]
    """The block that holds it. [m]"""


def _ready(points: np.ndarray, normals: np.ndarray, triangles: np.ndarray) -> _Ready:
    points = points * np.float32(METRES)
    return _Ready(
        points, normals, triangles.ravel().astype(np.uint16 if len(points) <= 0xFFFF else np.uint32),
        points.min(axis=0).tolist(), points.max(axis=0).tolist(),
    )


_KEPT: OrderedDict[int, tuple] = OrderedDict()
KEEP = 2048


def _kept_ready(scene) -> dict[int, _Ready]:
    """All shapes of a scene, by the identity of their vertices, kept for arrays that are shown again: most members stay as they are when one
    size moves."""
    shown = {id(m.vertices): (m.vertices, m.triangles) for _, members, _ in scene for m in members}
    new = {key: arrays for key, arrays in shown.items() if key not in _KEPT or _KEPT[key][0] is not arrays[0]}
    if new:
        # The arrays are kept too, so that their identity is not given to others.
        _KEPT.update((key, (arrays[0], _ready(*made))) for (key, arrays), made in zip(new.items(), _flats(list(new.values()))))
    out = {key: _KEPT[key][1] for key in shown}
    while len(_KEPT) > KEEP:
        _KEPT.popitem(last=False)
    return out


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
        self.chunks: list[bytes | memoryview] = []
        self.length = 0
        self.views: list[dict] = []
        self.accessors: list[dict] = []

    def add(self, array: np.ndarray, component: int, kind: str, target: int, bounds: dict | None = None) -> int:
        self.views.append({
            "buffer": 0, "byteOffset": self.length, "byteLength": array.nbytes, "target": target,
        })
        gap = -array.nbytes % 4
        self.chunks += [np.ascontiguousarray(array).data, b"\0" * gap]
        self.length += array.nbytes + gap
        self.accessors.append({
            "bufferView": len(self.views) - 1, "componentType": component,
            "count": len(array), "type": kind, **(bounds or {}),
        })
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
    ready = _kept_ready(scene)
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
                one = ready[key]
                drawn[key] = {
                    "attributes": {
                        "POSITION": binary.add(one.points, FLOAT, "VEC3", VERTEX_DATA, {"min": one.least, "max": one.most}),
                        "NORMAL": binary.add(one.normals, FLOAT, "VEC3", VERTEX_DATA),
                    },
                    "indices": binary.add(
                        one.triangles, UNSIGNED_SHORT if one.triangles.dtype == np.uint16 else UNSIGNED_INT, "SCALAR", INDEX_DATA,
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
                    "pulls_mm": m.pulls, "seed": own,
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
        "buffers": [{"byteLength": binary.length}],
    }
    if materials:
        document["materials"] = materials
    text = _DOCUMENT.dump_json(document)
    text += b" " * (-len(text) % 4)
    length = 12 + 8 + len(text) + 8 + binary.length
    return b"".join([
        struct.pack("<III", MAGIC, VERSION, length),
        struct.pack("<II", len(text), JSON_CHUNK), text,
        struct.pack("<II", binary.length, BINARY_CHUNK), *binary.chunks,
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
