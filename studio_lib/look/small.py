"""A small picture of a commission for lists, drawn in the kernel itself in a fraction of a second."""

from __future__ import annotations

import io

import numpy as np

from studio_lib.look.scenes import appearances, scene

SIZE_PX = (168, 112)
FINER = 3
"""Drawn this much larger, then made smaller, so that edges are smooth."""
EYE = (0.62, -1.0, 0.55)
"""From the front, a little to the right and above, in the piece's axes."""
LIGHT = (0.25, -0.55, 0.8)
PAPER = (250, 247, 240)
SHADE = 0.52
"""Brightness of a face turned away from the light."""


def small_png(derived, size_px: tuple[int, int] = SIZE_PX) -> bytes:
    """PNG bytes of the pieces side by side, in the colour of their timber; empty where there is no piece."""
    from PIL import Image

    shown = scene(derived)
    if not shown:
        return b""
    looks = appearances(derived)
    faces, tones = [], []
    for _, members, offset in shown:
        for m in members:
            p = m.placement
            turn = np.array((p.along, p.across, p.through))
            corners = (np.asarray(m.vertices, float) @ turn + p.origin + offset)[np.asarray(m.triangles)]
            faces.append(corners)
            tones.append(np.tile(_rgb(looks[m.timber].base_hex if m.timber in looks else "#d8c7a6"), (len(corners), 1)))
    width, height = (FINER * n for n in size_px)
    picture = _drawn(np.concatenate(faces), np.concatenate(tones), width, height)
    small = Image.fromarray(picture).resize(size_px, Image.LANCZOS)
    out = io.BytesIO()
    small.save(out, "PNG", optimize=True)
    return out.getvalue()


def _rgb(colour: str) -> tuple[int, ...]:
    return tuple(int(colour[i : i + 2], 16) for i in (1, 3, 5))


def _drawn(faces: np.ndarray, tones: np.ndarray, width: int, height: int) -> np.ndarray:
    """Triangles (n, 3, 3) in mm and their colours (n, 3) as a picture (height, width, 3), nearest in front."""
    eye = np.array(EYE) / np.linalg.norm(EYE)
    right = np.cross((0, 0, 1), eye)
    right /= np.linalg.norm(right)
    up = np.cross(eye, right)
    flat = np.stack([faces @ right, -(faces @ up), faces @ eye], axis=-1)
    low, high = flat[..., :2].min((0, 1)), flat[..., :2].max((0, 1))
    scale = 0.92 * min(width / max(high[0] - low[0], 1), height / max(high[1] - low[1], 1))
    flat[..., :2] = (flat[..., :2] - (low + high) / 2) * scale + (width / 2, height / 2)
    normal = np.cross(faces[:, 1] - faces[:, 0], faces[:, 2] - faces[:, 0])
    normal /= np.maximum(np.linalg.norm(normal, axis=1, keepdims=True), 1e-9)
    toward = normal @ eye
    lit = SHADE + (1 - SHADE) * np.clip(normal @ (np.array(LIGHT) / np.linalg.norm(LIGHT)), 0, 1)
    colours = np.clip(tones * lit[:, None], 0, 255).astype(np.uint8)
    picture = np.full((height, width, 3), PAPER, np.uint8)
    depth = np.full((height, width), -np.inf)
    for k in np.flatnonzero(toward > 0):
        _fill(picture, depth, flat[k], colours[k])
    return picture


def _fill(picture, depth, t, colour) -> None:
    """One triangle into the picture where it lies nearest."""
    height, width = depth.shape
    x0, y0 = np.maximum(np.floor(t[:, :2].min(0)).astype(int), 0)
    x1, y1 = np.minimum(np.ceil(t[:, :2].max(0)).astype(int) + 1, (width, height))
    if x1 <= x0 or y1 <= y0:
        return
    (ax, ay, az), (bx, by, bz), (cx, cy, cz) = t
    area = (bx - ax) * (cy - ay) - (by - ay) * (cx - ax)
    if abs(area) < 1e-9:
        return
    x, y = np.arange(x0, x1) + 0.5, (np.arange(y0, y1) + 0.5)[:, None]
    u = ((bx - x) * (cy - y) - (by - y) * (cx - x)) / area
    v = ((cx - x) * (ay - y) - (cy - y) * (ax - x)) / area
    z = u * az + v * bz + (1 - u - v) * cz
    part = depth[y0:y1, x0:x1]
    here = (u >= 0) & (v >= 0) & (u + v <= 1) & (z > part)
    part[here] = z[here]
    picture[y0:y1, x0:x1][here] = colour
