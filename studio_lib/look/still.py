"""Still pictures of a scene for a quote or a page, drawn off-screen in a process of its own."""

from __future__ import annotations

import json
import os
import struct
import subprocess
import sys
from pathlib import Path
from typing import NamedTuple

from studio_lib.look.bundle import FOLDER
from studio_lib.look.glb import appearance_of, glb, linear

ROOT = Path(__file__).resolve().parents[2]
BACKDROP = "#eef0ef"
SAMPLES = 24
LIMIT_S = 90.0
VTK_ERROR = b"ERR|"
"""VTK reports a shader that does not compile in its log only, and draws nothing."""
PNG_MARK = b"\x89PNG\r\n\x1a\n"
DIRECTIONS = {
    "front": (0, 0, 1), "back": (0, 0, -1), "right": (1, 0, 0), "left": (-1, 0, 0),
    "above": (0, 1, 0), "below": (0, -1, 0),
}
SHARES = {"front": 1.0, "back": 1.0, "right": 0.62, "left": 0.62, "above": 0.5, "below": 0.5}
"""How far each word pulls the camera its way when several are given."""
LEAST_PX, MOST_PX = 64, 4096
WINDOWS_FAULT = 0xC0000000
"""Windows has no signals: a process that crashed ends with a code from here on."""


class Picture(NamedTuple):
    """A PNG, or None and the reason."""

    png: bytes | None
    why_not: str = ""


def direction(view: str) -> tuple[float, float, float]:
    """Where the camera stands, in glTF axes, for words such as 'front right above'."""
    words = view.split()
    unknown = [w for w in words if w not in DIRECTIONS]
    if unknown or not words:
        raise ValueError(f"view is {view!r}; give one or more of: {', '.join(DIRECTIONS)}.")
    out = [sum(DIRECTIONS[w][i] * SHARES[w] for w in words) for i in range(3)]
    if not any(out):
        raise ValueError(f"view is {view!r}; its directions cancel out.")
    if not out[0] and not out[2]:
        out[2] = 0.001  # straight down has no upright; the front stays at the foot of the picture
    return tuple(out)


def still(
    scene,
    appearances,
    width_px: int,
    height_px: int,
    view: str = "front right above",
    *,
    apart: float = 0.0,
    opened: float = 0.0,
    ground: str = "paving",
    samples: int = SAMPLES,
    near_mm=None,
) -> Picture:
    """A scene as PNG bytes, in the light and the grain of the 3D view.

    Parameters
    ----------
    scene : list of (piece name, meshes, offset in mm)
    appearances : dict from timber to Appearance
    width_px, height_px : int
        64 to 4096. [pixels]
    view : str
        One or more of front, back, left, right, above, below.
    apart : float
        0 assembled, 1 wholly taken apart.
    opened : float
        0 shut, 1 its doors, drawers and lids fully open.
    ground : 'paving', 'floor' or ''
    samples : int
        Renderings averaged; fewer is quicker and shows banded shadows.
    near_mm : (low corner, high corner) or None
        What the picture shows, in the axes of the piece; None for the whole scene. [mm]

    Returns
    -------
    Picture
        ``png`` is None, and ``why_not`` says why, where this machine cannot draw
        (no OpenGL library: VTK then ends its process, which is why it has its own).

    Raises
    ------
    ValueError
        For a size, view or share outside what is allowed.
    KeyError
        When a member's timber has no appearance.
    """
    return stills(
        scene, [appearances], width_px, height_px, view, apart=apart, opened=opened, ground=ground, samples=samples,
        near_mm=near_mm,
    )[0]


def stills(
    scene, looks_in_turn, width_px: int, height_px: int, view: str = "front right above", *, apart: float = 0.0,
    opened: float = 0.0, ground: str = "paving", samples: int = SAMPLES, near_mm=None,
) -> list[Picture]:
    """The same scene in one light with several sets of appearances, drawn by one process; else as ``still``."""
    looks_in_turn = list(looks_in_turn)
    for name, px in (("width_px", width_px), ("height_px", height_px)):
        if not LEAST_PX <= px <= MOST_PX:
            raise ValueError(f"{name} is {px}; give {LEAST_PX} to {MOST_PX} pixels.")
    if not 0 <= apart <= 1:
        raise ValueError(f"apart is {apart}; give 0 (assembled) to 1 (taken apart).")
    if not 0 <= opened <= 1:
        raise ValueError(f"opened is {opened}; give 0 (shut) to 1 (fully open).")
    timbers = sorted({m.timber for _, members, _ in scene for m in members})
    if not timbers:
        raise ValueError("The scene holds no member; there is nothing to draw.")
    looks = [{timber: _plain(appearance_of(one, timber)) for timber in timbers} for one in looks_in_turn]
    source = FOLDER / "src"
    request = {
        "width": width_px, "height": height_px, "direction": direction(view), "looks": looks,
        "apart": apart, "opened": opened, "ground": ground, "samples": samples, "near": near_mm, "backdrop": linear(BACKDROP),
        "grain": (source / "grain.glsl").read_text(encoding="utf-8"),
        "paving": (source / "paving.glsl").read_text(encoding="utf-8"),
    }
    return _draw(json.dumps(request).encode() + b"\n" + glb(scene), len(looks))


def _plain(a) -> dict:
    return {
        "base": linear(a.base_hex), "late": linear(a.late_hex), "ring_mm": float(a.ring_mm),
        "grey_fraction": float(a.grey_fraction),
    }


def _draw(request: bytes, count: int) -> list[Picture]:
    said = ""
    for window in _windows():
        env = {**os.environ, "PYTHONPATH": str(ROOT)}
        if window:
            env["VTK_DEFAULT_OPENGL_WINDOW"] = window
        try:
            done = subprocess.run(
                [sys.executable, "-m", "studio_lib.look.draw_still"],
                input=request, capture_output=True, env=env, timeout=LIMIT_S,
            )
        except subprocess.TimeoutExpired:
            return [Picture(None, f"The still picture was not ready within {LIMIT_S:.0f} s.")] * count
        drawn = _pictures(done.stdout)
        if done.returncode == 0 and len(drawn) == count and VTK_ERROR not in done.stderr:
            return [Picture(png) for png in drawn]
        said = said or _reason(done)
    return [Picture(None, said)] * count


def _pictures(stream: bytes) -> list[bytes]:
    """PNG files, each after its length; those that are whole."""
    found, at = [], 0
    while at + 4 <= len(stream):
        (length,) = struct.unpack_from("<I", stream, at)
        png = stream[at + 4 : at + 4 + length]
        if len(png) != length or not png.startswith(PNG_MARK):
            break
        found.append(png)
        at += 4 + length
    return found


def _windows() -> tuple[str, ...]:
    """Kinds of drawing window to try, in turn; '' leaves the choice to VTK."""
    if sys.platform != "linux" or os.environ.get("DISPLAY"):
        return ("",)
    return ("vtkOSOpenGLRenderWindow", "vtkEGLRenderWindow")


def _reason(done) -> str:
    if done.returncode < 0 or done.returncode >= WINDOWS_FAULT:
        return (
            "No still picture: this machine has no OpenGL library to draw with "
            "(on Debian, libosmesa6 or libegl1 is enough)."
        )
    said = done.stderr.decode(errors="replace").strip().splitlines()
    faults = [line for line in said if "ERR|" in line] or said[-1:]
    return f"No still picture: {faults[0].strip() if faults else 'the drawing process gave no reason'}."
