"""Draws still pictures off-screen. Run as a program: without a GL library VTK ends the process.

Reads a request on standard input (a JSON line, then a binary glTF), writes to standard
output a PNG for each set of looks asked for, each after its length in four bytes. The
grain is the 3D view's own shader, so the boards are the same.
"""

from __future__ import annotations

import json
import struct
import sys

import numpy as np
import vtkmodules.vtkRenderingOpenGL2  # noqa: F401  (registers the drawing classes)
from vtkmodules.util.numpy_support import numpy_to_vtk, numpy_to_vtkIdTypeArray, vtk_to_numpy
from vtkmodules.vtkCommonCore import vtkFloatArray, vtkPoints, vtkUnsignedCharArray
from vtkmodules.vtkCommonDataModel import vtkCellArray, vtkImageData, vtkPolyData
from vtkmodules.vtkCommonMath import vtkMatrix4x4
from vtkmodules.vtkFiltersCore import vtkCleanPolyData, vtkFeatureEdges
from vtkmodules.vtkIOImage import vtkPNGWriter
from vtkmodules.vtkRenderingCore import (
    vtkActor,
    vtkPolyDataMapper,
    vtkRenderer,
    vtkRenderWindow,
    vtkTexture,
)

ARRAYS = {5123: np.uint16, 5125: np.uint32, 5126: np.float32}
VIEW_DEG = 28.0
MARGIN = 1.12
SHADOW_PX = 1024
SUN_SPREAD = 0.1
SUN_FROM = (-0.42, 0.78, 0.52)
# Light as in the 3D view's lights.js, its figures over pi; the even share stays unshadowed.
SUN = np.array((1.0, 0.9, 0.76)) * 0.83
SKY = np.array((0.89, 0.92, 0.97)) * 0.65
FLOOR_BOUNCE = np.array((0.62, 0.56, 0.48)) * 0.65
EVEN_SHARE = 0.34
FLOOR = (0.62, 0.60, 0.55)
EDGE, EDGE_OPACITY, GLUED_OPACITY = (0.13, 0.09, 0.05), 0.28, 0.05
HEADROOM = 0.6
"""Light is held back before it is stored in eight bits, so that no sample is cut off."""

VERTEX = {
    "//VTK::PositionVC::Dec": """//VTK::PositionVC::Dec
out vec3 vMember; out vec3 vFace; out vec3 vWorld; out vec3 vOut;
""",
    "//VTK::PositionVC::Impl": """//VTK::PositionVC::Impl
vMember = vertexMC.xyz;
vFace = normalMC;
vWorld = uAt + vertexMC.x * uAlong + vertexMC.y * uAcross + vertexMC.z * uThrough;
vOut = normalize(normalMC.x * uAlong + normalMC.y * uAcross + normalMC.z * uThrough);
""",
}
DECLARED = """//VTK::Color::Dec
in vec3 vMember; in vec3 vFace; in vec3 vWorld; in vec3 vOut;
"""
# Two shadow maps share one picture: distance from the sun in red, from the sky in green.
LIT = """
vec3 outward = normalize(vOut);
vec3 light = uEven * mix(uBounce, uSky, 0.5 + 0.5 * outward.y);
for (int k = 0; k < 2; k++) {
  vec3 way = k == 0 ? uSunWay : uDomeWay, right = k == 0 ? uSunRight : uDomeRight;
  vec3 from = vWorld + 0.003 * outward - uBall;
  vec3 at = vec3(dot(from, right), dot(from, cross(way, right)), 2.0 * uReachOfShadow - dot(from, way));
  at = vec3(0.5 + 0.5 * at.xy / uReachOfShadow, (at.z / uReachOfShadow - 1.0) / 2.0);
  float free = 0.0;
  for (int i = 0; i < 4; i++) {
    vec2 tap = at.xy + (vec2(i & 1, i >> 1) - 0.5) / uShadowPx;
    vec2 near = texture2D(shadowMap, tap).rg;
    bool inside = all(greaterThan(tap, vec2(0.0))) && all(lessThan(tap, vec2(1.0)));
    float nearest = k == 0 ? near.r : near.g;
    free += inside && nearest < min(at.z - 0.0004, 1.0) ? 0.0 : 0.25;
  }
  light += (k == 0 ? uSun : uDome) * max(dot(outward, way), 0.0) * free;
}
vec3 shone = diffuseColor * light;
"""
STORED = "fragOutput0 = vec4(pow(max(shone * uHeadroom, 0.0), vec3(1.0 / 2.2)), 1.0);\n"


def drawn(pulls, apart: float):
    """How far a member has moved when all is taken apart by a share of 0 to 1: one step after the other. [mm]"""
    shares = np.clip(apart * len(pulls) - np.arange(len(pulls)), 0, 1)
    return (shares * shares * (3 - 2 * shares)) @ np.asarray(pulls, float)


SHUT_BY = 0.15
"""What is taken apart is shut first: by this share of taking it apart, as in the 3D view."""


def opened_by(opened: float, apart: float) -> float:
    """How far doors and lids stand open in a piece that is being taken apart."""
    gone = min(apart / SHUT_BY, 1.0)
    return opened * (1 - gone * gone * (3 - 2 * gone))


def swung(leaf: dict, share: float):
    """The 4 x 4 motion of a leaf, as ``piece.leaves.Leaf.told`` tells it, in mm."""
    out = np.eye(4)
    if "mm" in leaf:
        out[:3, 3] = share * leaf["mm"] * np.array(leaf["way"])
        return out
    k, a = np.array(leaf["axis"]), np.radians(share * leaf["deg"])
    skew = np.array([[0, -k[2], k[1]], [k[2], 0, -k[0]], [-k[1], k[0], 0]])
    out[:3, :3] = np.eye(3) + np.sin(a) * skew + (1 - np.cos(a)) * skew @ skew
    out[:3, 3] = leaf["at_mm"] - out[:3, :3] @ leaf["at_mm"]
    return out


def held(stay: dict, motion):
    """Where one half of a stay lies, 4 x 4, in mm: from where it is fixed towards its other end."""
    foot, head = np.array(stay["foot_mm"]), (motion @ [*stay["head_mm"], 1.0])[:3]
    at, to = (foot, head) if stay["on_case"] else (head, foot)
    x = (to - at) / np.linalg.norm(to - at)
    y = np.cross((0.0, 0.0, 1.0) if abs(x[2]) < 0.9 else (0.0, 1.0, 0.0), x)
    y /= np.linalg.norm(y)
    out = np.eye(4)
    out[:3, :3], out[:3, 3] = np.column_stack([x, y, np.cross(x, y)]), at
    return out


def read_scene(data: bytes, apart: float, opened: float = 0.0):
    """Members of a binary glTF of our own: (extras, matrix, points, normals, triangles) each."""
    text_length = struct.unpack_from("<I", data, 12)[0]
    doc = json.loads(data[20:20 + text_length])
    start = 20 + text_length + 8

    def array(index, width):
        a = doc["accessors"][index]
        v = doc["bufferViews"][a["bufferView"]]
        return np.frombuffer(
            data, ARRAYS[a["componentType"]], a["count"] * width, start + v["byteOffset"]
        ).reshape(-1, width)

    def matrix(node):
        x, y, z, w = node.get("rotation", (0, 0, 0, 1))
        m = np.eye(4)
        m[:3, :3] = [
            [1 - 2 * (y * y + z * z), 2 * (x * y - z * w), 2 * (x * z + y * w)],
            [2 * (x * y + z * w), 1 - 2 * (x * x + z * z), 2 * (y * z - x * w)],
            [2 * (x * z - y * w), 2 * (y * z + x * w), 1 - 2 * (x * x + y * y)],
        ]
        m[:3, 3] = node.get("translation", (0, 0, 0))
        return m

    share = opened_by(opened, apart)

    def moved(node, leaves, m):
        """A member's matrix with its leaf swung and the piece taken apart."""
        told = node["extras"]
        leaf = leaves[told["leaf"]] if "leaf" in told else leaves[told["stay"]["leaf"]] if "stay" in told else None
        if leaf is not None:
            motion = swung(leaf, share)
            if "stay" in told:
                m = held(told["stay"], motion)
                m[:3, 3] *= 0.001
            else:
                motion[:3, 3] *= 0.001
                m = motion @ m
        m[:3, 3] += 0.001 * drawn(told["pulls_mm"], apart)
        return m

    found = []

    def walk(index, above, leaves=()):
        node = doc["nodes"][index]
        own = matrix(node)
        here = above @ (moved(node, leaves, own) if "mesh" in node else own)
        if "mesh" in node:
            p = doc["meshes"][node["mesh"]]["primitives"][0]
            found.append((
                node["extras"], here, array(p["attributes"]["POSITION"], 3),
                array(p["attributes"]["NORMAL"], 3), array(p["indices"], 1).reshape(-1, 3),
            ))
        for child in node.get("children", ()):
            walk(child, here, node.get("extras", {}).get("leaves", ()))

    walk(doc["scenes"][0]["nodes"][0], np.eye(4))
    return found


AS_IT_LIES = (-2.0, -2.0)
"""Takes back what the renderer sets all faces behind lines by: a steep edge would come through a seam between flat faces."""


def actor(points, normals, triangles, matrix, behind_lines=True):
    data = vtkPolyData()
    at = vtkPoints()
    at.SetData(numpy_to_vtk(np.ascontiguousarray(points, np.float32), deep=True))
    cells = vtkCellArray()
    cells.SetData(3, numpy_to_vtkIdTypeArray(np.ascontiguousarray(triangles, np.int64).ravel(), deep=True))
    data.SetPoints(at)
    data.SetPolys(cells)
    data.GetPointData().SetNormals(numpy_to_vtk(np.ascontiguousarray(normals, np.float32), deep=True))
    mapper = vtkPolyDataMapper()
    mapper.SetInputData(data)
    mapper.SetVBOShiftScaleMethod(0)
    mapper.SetResolveCoincidentTopologyToPolygonOffset()
    mapper.SetRelativeCoincidentTopologyPolygonOffsetParameters(*((1.0, 1.0) if behind_lines else AS_IT_LIES))
    out = vtkActor()
    out.SetMapper(mapper)
    place = vtkMatrix4x4()
    place.DeepCopy(matrix.ravel())
    out.SetUserMatrix(place)
    told = out.GetShaderProperty().GetVertexCustomUniforms()
    for name, column in zip(("uAlong", "uAcross", "uThrough", "uAt"), matrix[:3].T):
        told.SetUniform3f(name, column)
    return out


def shade(an_actor, functions: str, coloured: str, shadow_map, last: str = "") -> None:
    """Our colour and our light in place of VTK's own."""
    shader = an_actor.GetShaderProperty()
    for mark, code in VERTEX.items():
        shader.AddVertexShaderReplacement(mark, True, code, False)
    for mark, code in {
        "//VTK::Color::Dec": DECLARED + functions,
        "//VTK::Color::Impl": f"//VTK::Color::Impl\n{coloured}\n",
        "//VTK::TCoord::Impl": LIT + last + STORED,
    }.items():
        shader.AddFragmentShaderReplacement(mark, True, code, False)
    an_actor.GetProperty().SetTexture("shadowMap", shadow_map)
    told = shader.GetFragmentCustomUniforms()
    told.SetUniformf("uEven", EVEN_SHARE)
    told.SetUniform3f("uBounce", FLOOR_BOUNCE)
    told.SetUniform3f("uSky", SKY)
    told.SetUniform3f("uSun", SUN)
    told.SetUniform3f("uDome", 2 * (1 - EVEN_SHARE) * SKY)
    told.SetUniformf("uHeadroom", HEADROOM)
    told.SetUniformf("uShadowPx", SHADOW_PX)


class ShadowMaps:
    """How far each point of the scene lies from the sun and from one point of the sky."""

    def __init__(self, actors, middle, reach: float) -> None:
        self.middle, self.reach = middle, reach
        self.renderer = vtkRenderer()
        self.window = off_screen(SHADOW_PX, SHADOW_PX)
        self.window.AddRenderer(self.renderer)
        for a in actors:
            plain = vtkActor()
            mapper = vtkPolyDataMapper()
            mapper.SetInputData(a.GetMapper().GetInput())
            mapper.SetVBOShiftScaleMethod(0)
            plain.SetMapper(mapper)
            plain.SetUserMatrix(a.GetUserMatrix())
            self.renderer.AddActor(plain)
        self.pixels = np.zeros((SHADOW_PX * SHADOW_PX, 3), np.float32)
        self.image = vtkImageData()
        self.image.SetDimensions(SHADOW_PX, SHADOW_PX, 1)
        self.image.GetPointData().SetScalars(numpy_to_vtk(self.pixels))
        self.texture = vtkTexture()
        self.texture.SetInputData(self.image)
        self.texture.SetColorModeToDirectScalars()
        self.texture.InterpolateOff()
        self.depth = vtkFloatArray()

    def look(self, channel: int, way):
        """Fill one channel; returns the right-hand axis of the light's picture."""
        right = unit(np.cross((0.3, 1.0, 0.2), way))
        camera = self.renderer.GetActiveCamera()
        camera.ParallelProjectionOn()
        camera.SetParallelScale(self.reach)
        camera.SetPosition(*(self.middle + 2 * self.reach * way))
        camera.SetFocalPoint(*self.middle)
        camera.SetViewUp(*np.cross(way, right))
        camera.SetClippingRange(self.reach, 3 * self.reach)
        self.window.Render()
        last = SHADOW_PX - 1
        self.window.GetZbufferData(0, 0, last, last, self.depth)
        self.pixels[:, channel] = vtk_to_numpy(self.depth)
        return right

    def ready(self) -> None:
        self.image.GetPointData().GetScalars().Modified()
        self.image.Modified()


def off_screen(width: int, height: int):
    window = vtkRenderWindow()
    window.SetOffScreenRendering(1)
    window.SetMultiSamples(0)
    window.SetSize(width, height)
    return window


def spread(k: int) -> tuple[float, float]:
    """Points that fill the unit square evenly however many are taken."""
    return (0.5 + 0.7548776662 * k) % 1, (0.5 + 0.5698402910 * k) % 1


def edges_of(an_actor, opacity: float):
    """Thin lines along the arrises, as a maker would draw them."""
    joined = vtkCleanPolyData()
    joined.SetInputData(an_actor.GetMapper().GetInput())
    found = vtkFeatureEdges()
    found.SetInputConnection(joined.GetOutputPort())
    found.SetFeatureAngle(23.0)  # as SMOOTH_DEG of studio_lib.piece.outline
    found.BoundaryEdgesOff()
    found.ColoringOff()
    mapper = vtkPolyDataMapper()
    mapper.SetInputConnection(found.GetOutputPort())
    mapper.SetResolveCoincidentTopologyToOff()
    out = vtkActor()
    out.SetMapper(mapper)
    out.SetUserMatrix(an_actor.GetUserMatrix())
    look = out.GetProperty()
    look.SetColor(*EDGE)
    look.SetOpacity(opacity)
    look.LightingOff()
    return out


def unit(v):
    v = np.asarray(v, float)
    return v / np.linalg.norm(v)


def frame(camera, boxes, direction, aspect: float) -> None:
    """The view from one direction, as near as shows every box."""
    back = unit(direction)
    right = unit(np.cross((0, 1, 0), back))
    up = np.cross(back, right)
    corners = np.array([
        [[lo, hi][k][i] for i, k in enumerate((a, b, c))]
        for lo, hi in boxes for a in (0, 1) for b in (0, 1) for c in (0, 1)
    ])
    seen = corners @ np.column_stack([right, up, back])
    tall = np.tan(np.radians(VIEW_DEG / 2)) / MARGIN
    wide = tall * aspect
    sides = [
        (s * seen[:, i] / half + seen[:, 2]).max()
        for i, half in ((0, wide), (1, tall)) for s in (1, -1)
    ]
    out = max((sides[0] + sides[1]) / 2, (sides[2] + sides[3]) / 2)
    at = right * wide * (sides[0] - sides[1]) / 2 + up * tall * (sides[2] - sides[3]) / 2 + back * out
    camera.SetPosition(*at)
    camera.SetFocalPoint(*(at - back))
    camera.SetViewUp(0, 1, 0)
    camera.SetViewAngle(VIEW_DEG)


LAP_MM = 0.03
"""A board glued to others reaches so far into its neighbour in a picture, or its shaded edge would show through the seam."""


def lap(extras: dict) -> float:
    """How much wider a member is drawn than it is."""
    return 1.0 + LAP_MM / extras["size_mm"][1] if extras.get("glued") else 1.0


def draw(request: dict, data: bytes) -> list[bytes]:
    width, height = request["width"], request["height"]
    backdrop = np.array(request["backdrop"])
    renderer = vtkRenderer()
    renderer.SetBackground(*((backdrop * HEADROOM) ** (1 / 2.2)))
    window = off_screen(width, height)
    window.AddRenderer(renderer)

    members = read_scene(data, request["apart"], request["opened"])
    worlds = [points @ m[:3, :3].T + m[:3, 3] for _, m, points, _, _ in members]
    boxes = [(w.min(0), w.max(0)) for w in worlds]
    shown = boxes if request["near"] is None else [_in_metres(*request["near"])]
    lo = np.min([b[0] for b in boxes], axis=0)
    hi = np.max([b[1] for b in boxes], axis=0)
    middle, radius = (lo + hi) / 2, float(np.linalg.norm(hi - lo)) / 2

    millimetres = np.diag([0.001, 0.001, 0.001, 1.0])
    actors = [
        actor(points * 1000.0 * (1.0, lap(extras), 1.0), normals, triangles, matrix @ millimetres, not extras.get("glued"))
        for extras, matrix, points, normals, triangles in members
    ]
    shadows = ShadowMaps(actors, middle, radius * 1.02)
    timbers = [extras["timber"] for extras, *_ in members]
    for a, (extras, *_) in zip(actors, members):
        shade(
            a, request["grain"],
            "diffuseColor = timber(vMember, vFace, uSize, uSeed, uBase, uLate, uRing, uGrey);",
            shadows.texture,
        )
        told = a.GetShaderProperty().GetFragmentCustomUniforms()
        told.SetUniform3f("uSize", extras["size_mm"])
        told.SetUniformf("uSeed", extras["seed"])
    for a, (extras, *_) in zip(actors, members):
        renderer.AddActor(edges_of(a, GLUED_OPACITY if extras.get("glued") else EDGE_OPACITY))
    if request["ground"]:
        actors.append(_floor(request, middle, lo[1], radius, backdrop, shadows.texture))
    for a in actors:
        renderer.AddActor(a)

    camera = renderer.GetActiveCamera()
    frame(camera, shown, request["direction"], width / height)
    away = float(np.linalg.norm(np.subtract(camera.GetPosition(), middle)))
    camera.SetClippingRange(max(away - 2.2 * radius, 0.05), away + 4 * max(radius, 2.0))

    to_light = (np.arange(256) / 255.0) ** 2.2 / HEADROOM
    grabbed = vtkUnsignedCharArray()
    told = [a.GetShaderProperty().GetFragmentCustomUniforms() for a in actors]
    for t in told:
        t.SetUniform3f("uBall", middle)
        t.SetUniformf("uReachOfShadow", shadows.reach)
    totals = [np.zeros((height, width, 3)) for _ in request["looks"]]
    for k in range(request["samples"]):
        a, b = spread(k)
        turn, off = 2 * np.pi * a, SUN_SPREAD * np.sqrt(b)
        up = 0.06 + 0.94 * b
        out = np.sqrt(1 - up * up)
        ways = {
            "uSun": unit(np.add(unit(SUN_FROM), (off * np.cos(turn), 0, off * np.sin(turn)))),
            "uDome": np.array((out * np.cos(turn), up, out * np.sin(turn))),
        }
        for channel, (name, way) in enumerate(ways.items()):
            right = shadows.look(channel, way)
            for t in told:
                t.SetUniform3f(name + "Way", way)
                t.SetUniform3f(name + "Right", right)
        shadows.ready()
        camera.SetWindowCenter((2 * b - 1) / width, (2 * a - 1) / height)
        for looks, total in zip(request["looks"], totals):
            for t, timber in zip(told, timbers):
                _dress(t, looks[timber])
            window.Render()
            window.GetPixelData(0, 0, width - 1, height - 1, 0, grabbed, 0)
            total += to_light[vtk_to_numpy(grabbed).reshape(total.shape)]
    return [
        png((np.clip(total / request["samples"], 0, 1) ** (1 / 2.2) * 255 + 0.5).astype(np.uint8)) for total in totals
    ]


def _in_metres(lo, hi):
    """A box of the piece (mm, z up) as a box of the scene (m, y up)."""
    corners = np.array([lo, hi], float)[:, [0, 2, 1]] * (0.001, 0.001, -0.001)
    return corners.min(0), corners.max(0)


def _dress(told, look) -> None:
    told.SetUniform3f("uBase", look["base"])
    told.SetUniform3f("uLate", look["late"])
    told.SetUniformf("uRing", look["ring_mm"])
    told.SetUniformf("uGrey", look["grey_fraction"])


def _floor(request, middle, height: float, radius: float, backdrop, shadow_map):
    reach = max(3.2 * radius, 2.0)
    square = np.array([[-1, 0, 1], [1, 0, 1], [1, 0, -1], [-1, 0, -1]], float) * reach
    square += (middle[0], height - 0.0005, middle[2])
    floor = actor(square, [[0, 1, 0]] * 4, [[0, 1, 2], [0, 2, 3]], np.eye(4))
    shade(
        floor, request["paving"],
        f"diffuseColor = vec3{FLOOR} * mix(1.0, paving(vMember.xz), uSlabs);",
        shadow_map,
        "shone = mix(shone, uBackdrop, smoothstep(0.35 * uReach, uReach, length(vMember.xz - uMiddle.xz)));\n",
    )
    told = floor.GetShaderProperty().GetFragmentCustomUniforms()
    told.SetUniformf("uSlabs", 1.0 if request["ground"] == "paving" else 0.0)
    told.SetUniformf("uReach", reach)
    told.SetUniform3f("uMiddle", middle)
    told.SetUniform3f("uBackdrop", backdrop)
    return floor


def png(pixels) -> bytes:
    """Pixels (rows from the bottom, red green blue) as a PNG file."""
    image = vtkImageData()
    image.SetDimensions(pixels.shape[1], pixels.shape[0], 1)
    image.GetPointData().SetScalars(numpy_to_vtk(pixels.reshape(-1, 3), deep=True))
    writer = vtkPNGWriter()
    writer.SetInputData(image)
    writer.WriteToMemoryOn()
    writer.SetCompressionLevel(6)
    writer.Write()
    return vtk_to_numpy(writer.GetResult()).tobytes()


def main() -> None:
    whole = sys.stdin.buffer.read()
    line, _, data = whole.partition(b"\n")
    for picture in draw(json.loads(line), data):
        sys.stdout.buffer.write(struct.pack("<I", len(picture)) + picture)


if __name__ == "__main__":
    main()
