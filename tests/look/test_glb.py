"""The binary glTF, read back by the specification and by VTK's own reader."""

from __future__ import annotations

import json
import struct
from dataclasses import replace

import numpy as np
import pytest

from studio_lib.look.glb import flat, glb, linear, seed
from studio_lib.solids import volume_mm3

COMPONENTS = {5123: np.uint16, 5125: np.uint32, 5126: np.float32}
WIDTHS = {"SCALAR": 1, "VEC3": 3}


def parts(data):
    """JSON and binary chunk, by Khronos glTF 2.0 specification, section 4.4."""
    magic, version, length = struct.unpack_from("<4sII", data)
    assert (magic, version, length) == (b"glTF", 2, len(data))
    json_length, json_type = struct.unpack_from("<I4s", data, 12)
    assert json_type == b"JSON" and json_length % 4 == 0
    start = 20 + json_length
    bin_length, bin_type = struct.unpack_from("<I4s", data, start)
    assert bin_type == b"BIN\0" and bin_length % 4 == 0
    assert start + 8 + bin_length == len(data)
    return json.loads(data[20:start]), data[start + 8:]


def array(doc, binary, index):
    accessor = doc["accessors"][index]
    view = doc["bufferViews"][accessor["bufferView"]]
    width = WIDTHS[accessor["type"]]
    kind = np.dtype(COMPONENTS[accessor["componentType"]])
    # Section 3.6.2.4: an accessor starts at a multiple of its component's size.
    assert view["byteOffset"] % kind.itemsize == 0
    assert view["byteLength"] == accessor["count"] * width * kind.itemsize
    assert view["byteOffset"] + view["byteLength"] <= doc["buffers"][0]["byteLength"] <= len(binary)
    out = np.frombuffer(binary, kind, accessor["count"] * width, view["byteOffset"])
    return out.reshape(-1, width)


def test_chunks_and_accessors_hold_together(scene):
    doc, binary = parts(glb(scene))
    assert doc["asset"]["version"] == "2.0"
    for mesh in doc["meshes"]:
        (primitive,) = mesh["primitives"]
        points = array(doc, binary, primitive["attributes"]["POSITION"])
        normals = array(doc, binary, primitive["attributes"]["NORMAL"])
        corners = array(doc, binary, primitive["indices"]).reshape(-1, 3)
        assert len(points) == len(normals) and corners.max() == len(points) - 1
        told = doc["accessors"][primitive["attributes"]["POSITION"]]
        assert np.array_equal(points.min(0), np.float32(told["min"]))
        assert np.array_equal(points.max(0), np.float32(told["max"]))
        # Section 3.7.2.1: normals have unit length; three corners of a face share one.
        assert np.allclose(np.linalg.norm(normals, axis=1), 1, atol=1e-4)
        a, b, c = (points[corners[:, k]].astype(float) for k in range(3))
        across = np.cross(b - a, c - a)
        across /= np.linalg.norm(across, axis=1, keepdims=True)
        for k in range(3):
            assert np.einsum("ij,ij->i", across, normals[corners[:, k]]).min() > 0.999


def test_nodes_tell_what_each_member_is(scene, table):
    doc, _ = parts(glb(scene))
    told = [n for n in doc["nodes"] if "mesh" in n]
    assert len(told) == sum(len(members) for _, members, _ in scene)
    first = told[0]["extras"]
    leg = table.members[0]
    assert (first["ref"], first["name"], first["role"]) == (leg.ref, leg.name, leg.role)
    assert first["size_mm"] == [leg.length_mm, leg.width_mm, leg.thickness_mm]
    assert first["piece"] == "table" and first["seed"] == seed("table", leg.ref)
    assert len({n["extras"]["seed"] for n in told}) == len(told)


def test_equal_shapes_are_stored_once(table_scene):
    doc, _ = parts(glb(table_scene))
    members = table_scene[0][1]
    assert len(doc["meshes"]) == len({m.shape for m in members}) < len(members)


def test_a_change_of_look_needs_no_new_shapes(scene, looks):
    plain = glb(scene)
    assert plain == glb(scene)
    assert "materials" not in parts(plain)[0]
    new, old = (parts(glb(scene, looks[y])) for y in (0, 10))
    assert new[1] == old[1] == parts(plain)[1]
    assert new[0]["materials"] != old[0]["materials"]


def read_by_vtk(data, tmp_path):
    reader_module = pytest.importorskip("vtkmodules.vtkIOGeometry", reason="VTK is not installed")
    path = tmp_path / "scene.glb"
    path.write_bytes(data)
    reader = reader_module.vtkGLTFReader()
    reader.SetFileName(str(path))
    reader.Update()
    found, walk = [], reader.GetOutput().NewIterator()
    walk.InitTraversal()
    while not walk.IsDoneWithTraversal():
        found.append(walk.GetCurrentDataObject())
        walk.GoToNextItem()
    return found


def test_vtk_reads_it_in_metres_with_y_up(table, table_scene, looks, tmp_path):
    blocks = read_by_vtk(glb(table_scene, looks[0]), tmp_path)
    assert len(blocks) == len(table.members)
    bounds = np.array([b.GetBounds() for b in blocks])
    lo, hi = bounds[:, ::2].min(0), bounds[:, 1::2].max(0)
    length, width, height = np.array(table.overall_mm) / 1000
    assert lo == pytest.approx([-length / 2, 0, -width / 2], abs=1e-6)
    assert hi == pytest.approx([length / 2, height, width / 2], abs=1e-6)


def test_vtk_finds_each_slat_where_the_piece_has_it(table, table_scene, tmp_path):
    blocks = read_by_vtk(glb(table_scene), tmp_path)
    for member, block in zip(table.members, blocks, strict=True):
        if member.role == "slat":
            x0, x1, y0, y1, z0, z1 = np.array(block.GetBounds()) * 1000
            box = member.piece_box
            assert (x0, -z1, y0) == pytest.approx(box.lo, abs=1e-3)
            assert (x1, -z0, y1) == pytest.approx(box.hi, abs=1e-3)


def test_vtk_measures_the_volume_of_the_solids(table, table_scene, tmp_path):
    from vtkmodules.vtkFiltersCore import vtkCleanPolyData, vtkMassProperties

    total = 0.0
    for block in read_by_vtk(glb(table_scene), tmp_path):
        joined, measure = vtkCleanPolyData(), vtkMassProperties()
        joined.SetInputData(block)
        measure.SetInputConnection(joined.GetOutputPort())
        total += measure.GetVolume()
    wanted = sum(volume_mm3(table.shape(m.ref)) for m in table.members)
    # Positions are stored as float32 metres: seven digits.
    assert total * 1e9 == pytest.approx(wanted, rel=1e-4)


def test_flat_drops_triangles_without_area():
    points = np.array([[0, 0, 0], [1, 0, 0], [0, 1, 0], [2, 0, 0]], np.float32)
    _, normals, triangles = flat(points, np.array([[0, 1, 2], [0, 1, 3]], np.uint32))
    assert triangles.shape == (1, 3) and np.array_equal(normals, [[0, 0, 1]] * 3)


# IEC 61966-2-1 (sRGB): below 0.04045 a straight line of slope 1/12.92, above it a power
# of 2.4. Mid grey 128/255 is 0.2158605 of full light (a value printed in many tables).
@pytest.mark.parametrize(("hexed", "light"), [("#000000", 0), ("#ffffff", 1), ("#808080", 0.2158605)])
def test_screen_colour_to_light(hexed, light):
    assert linear(hexed) == pytest.approx((light,) * 3, abs=1e-6)


def test_refusals_say_what_is_wanted(table_scene, looks):
    with pytest.raises(ValueError, match="six digits"):
        linear("#fff")
    with pytest.raises(KeyError, match="European oak.*On hand: none"):
        glb(table_scene, {})
    other = [("table", tuple(replace(m, timber="Teak") for m in table_scene[0][1]), (0, 0, 0))]
    with pytest.raises(KeyError, match="Teak.*European oak"):
        glb(other, looks[0])
