"""The frame against closed forms, against a general frame library, and against the laws it must keep."""

import numpy as np
import pytest

from studio_lib.structure.frame import Frame, Mechanism

E, NU = 12_000.0, 0.35
G = E / (2 * (1 + NU))


def axes_of(nodes, beams):
    """Beam axes as the library in the check takes them: y in the vertical plane."""
    out = []
    for i, j in beams:
        x = nodes[j] - nodes[i]
        x = x / np.linalg.norm(x)
        up = np.array([0.0, 1.0, 0.0])
        if abs(x @ up) > 0.99:
            y = np.cross([0.0, 0.0, 1.0], x)
            y /= np.linalg.norm(y)
            z = np.cross(x, y)
        else:
            z = np.cross(x, up)
            z /= np.linalg.norm(z)
            y = np.cross(z, x)
        out.append([x, y, z])
    return np.array(out)


def frame(nodes, beams, fixed, b=40.0, h=60.0, joints=(), at=None, stiffness=None):
    nodes, beams = np.array(nodes, float), np.array(beams)
    n = len(beams)
    held = np.zeros((len(nodes), 6), bool)
    for node, which in fixed.items():
        held[node, which] = True
    one = np.ones(n)
    joints = np.array(joints, int).reshape(-1, 2)
    return Frame(
        nodes, beams, axes_of(nodes, beams), E * one, G * one, b * h * one, h * b**3 / 12 * one, b * h**3 / 12 * one,
        (b * h) ** 4 / (40 * (b * h**3 + h * b**3) / 12) * one,
        joints, np.array(nodes[joints[:, 1]] if at is None else at, float).reshape(-1, 3),
        np.tile(np.eye(3), (len(joints), 1, 1)), np.array(stiffness if stiffness is not None else [], float).reshape(-1, 6), held,
    )


ALL = list(range(6))


# Timoshenko beam theory: cantilever tip under F: F L^3 / 3 E I + F L / (5/6 G A).
def test_a_cantilever_by_its_closed_form():
    f = frame([[0, 0, 0], [400, 0, 0]], [[0, 1]], {0: ALL})
    loads = np.zeros((2, 2, 6))
    loads[0, 1, 1] = loads[1, 1, 2] = -100.0
    s = f.solve(loads)
    area = 40 * 60
    assert s.moves[0, 1, 1] == pytest.approx(-100 * 400**3 / (3 * E * 40 * 60**3 / 12) - 100 * 400 / (5 / 6 * G * area))
    assert s.moves[1, 1, 2] == pytest.approx(-100 * 400**3 / (3 * E * 60 * 40**3 / 12) - 100 * 400 / (5 / 6 * G * area))
    assert s.reactions[0, 0, 1] == pytest.approx(100) and s.reactions[0, 0, 5] == pytest.approx(100 * 400)


# A cantilever on a spring of stiffness c: the root turns by M / c, the tip sinks by F L^2 / c more.
def test_a_turning_spring_by_its_closed_form():
    c = 5e6
    stiff = [1e9, 1e9, 1e9, 1e12, 1e12, c]
    f = frame([[0, 0, 0], [0, 0, 0], [400, 0, 0]], [[1, 2]], {0: ALL}, joints=[[0, 1]], stiffness=[stiff])
    loads = np.zeros((1, 3, 6))
    loads[0, 2, 1] = -100.0
    s = f.solve(loads)
    rigid = -100 * 400**3 / (3 * E * 40 * 60**3 / 12) - 100 * 400 / (5 / 6 * G * 2400)
    assert s.moves[0, 2, 1] - rigid == pytest.approx(-100 * 400**2 / c, rel=1e-4)
    assert abs(s.springs[0, 0, 5]) == pytest.approx(100 * 400) and abs(s.springs[0, 0, 1]) == pytest.approx(100)


def random_frame(seed):
    """A table-like frame of stiff corners: four legs, two rings of rails, a few odd members."""
    rng = np.random.default_rng(seed)
    w, d, h = rng.uniform(300, 1500, 3)
    nodes = [[x, z, y] for z in (0, h * rng.uniform(0.3, 0.6), h) for x, y in ((0, 0), (w, 0), (w, d), (0, d))]
    nodes = np.array(nodes) + rng.uniform(-20, 20, (12, 3))
    beams = [[k, k + 4] for k in range(8)] + [[4 + k, 4 + (k + 1) % 4] for k in range(4)] + [[8 + k, 8 + (k + 1) % 4] for k in range(4)]
    return nodes, beams, rng


def of_the_library(nodes, beams, torsion):
    """The frame as Pynite has it, unsupported and unloaded; torsion constant in mm4."""
    from Pynite import FEModel3D

    m = FEModel3D()
    m.add_material("wood", E, G, NU, 0.0)
    m.add_section("s", 2400.0, 60 * 40**3 / 12, 40 * 60**3 / 12, torsion)
    for k, (x, y, z) in enumerate(nodes):
        m.add_node(f"n{k}", float(x), float(y), float(z))
    for k, (i, j) in enumerate(beams):
        m.add_member(f"m{k}", f"n{i}", f"n{j}", "wood", "s")
    return m


# Pynite 3, a general 3D frame library, on 40 random frames under random loads. It has no shear
# deformation, so the shear modulus here is made very large for the comparison and torsion scaled back.
@pytest.mark.parametrize("seed", range(40))
def test_random_frames_move_as_the_library_says(seed):
    nodes, beams, rng = random_frame(seed)
    f = frame(nodes, beams, {k: ALL if k % 2 else [0, 1, 2] for k in range(4)})
    big = 1e7
    f = Frame(**{**vars(f), "g": f.g * big, "torsion": f.torsion / big})
    loads = np.zeros((1, 12, 6))
    loads[0, 4:] = rng.uniform(-200, 200, (8, 6)) * [1, 1, 1, 100, 100, 100]
    m = of_the_library(nodes, beams, float(f.torsion[0] * big))
    for k in range(4):
        turn = bool(k % 2)
        m.def_support(f"n{k}", True, True, True, turn, turn, turn)
    for k in range(4, 12):
        for way, value in zip(("FX", "FY", "FZ", "MX", "MY", "MZ"), loads[0, k]):
            m.add_node_load(f"n{k}", way, float(value))
    m.analyze_linear(check_stability=False)
    # Which way a square section is turned about its own length is the library's to say.
    turned = np.array([m.members[f"m{k}"].T()[:3, :3] for k in range(len(beams))])
    s = Frame(**{**vars(f), "axes": turned}).solve(loads)
    theirs = np.array([
        [getattr(m.nodes[f"n{k}"], d)["Combo 1"] for d in ("DX", "DY", "DZ", "RX", "RY", "RZ")] for k in range(12)
    ])
    assert s.moves[0] == pytest.approx(theirs, rel=1e-4, abs=1e-6 * np.abs(theirs).max())
    up = sum(float(m.nodes[f"n{k}"].RxnFY["Combo 1"]) for k in range(4))
    assert s.reactions[0, :, 1].sum() == pytest.approx(up, abs=1e-3)


# Semi-rigid: each foot on springs in all six directions, here joints to fixed points, there the library's support springs.
@pytest.mark.parametrize("seed", range(25))
def test_random_frames_on_springs_move_as_the_library_says(seed):
    nodes, beams, rng = random_frame(seed)
    springs = np.column_stack([10 ** rng.uniform(2.5, 4.5, (4, 3)), 10 ** rng.uniform(6, 8, (4, 3))])
    more = np.concatenate([nodes, nodes[:4]])
    f = frame(more, beams, {12 + k: ALL for k in range(4)}, joints=[[12 + k, k] for k in range(4)], stiffness=springs)
    big = 1e7
    f = Frame(**{**vars(f), "g": f.g * big, "torsion": f.torsion / big})
    loads = np.zeros((1, 16, 6))
    loads[0, 4:12] = rng.uniform(-200, 200, (8, 6)) * [1, 1, 1, 100, 100, 100]
    m = of_the_library(nodes, beams, float(f.torsion[0] * big))
    for k in range(4):
        for dof, stiff in zip(("DX", "DY", "DZ", "RX", "RY", "RZ"), springs[k]):
            m.def_support_spring(f"n{k}", dof, float(stiff))
    for k in range(4, 12):
        for way, value in zip(("FX", "FY", "FZ", "MX", "MY", "MZ"), loads[0, k]):
            m.add_node_load(f"n{k}", way, float(value))
    m.analyze_linear(check_stability=False)
    turned = np.array([m.members[f"m{k}"].T()[:3, :3] for k in range(len(beams))])
    s = Frame(**{**vars(f), "axes": turned}).solve(loads)
    theirs = np.array([
        [getattr(m.nodes[f"n{k}"], d)["Combo 1"] for d in ("DX", "DY", "DZ", "RX", "RY", "RZ")] for k in range(12)
    ])
    assert s.moves[0, :12] == pytest.approx(theirs, rel=1e-4, abs=1e-6 * np.abs(theirs).max())
    # What the springs pass is what they give: their stiffness times how far the foot moved.
    assert np.abs(s.springs[0]) == pytest.approx(np.abs(springs * theirs[:4]), rel=1e-3, abs=1e-4 * np.abs(s.springs[0]).max())


@pytest.mark.parametrize("seed", range(25))
def test_ground_and_loads_are_in_balance_and_answers_are_linear(seed):
    nodes, beams, rng = random_frame(seed)
    f = frame(nodes, beams, {k: [0, 1, 2] for k in range(4)})
    loads = np.zeros((2, 12, 6))
    loads[0] = rng.uniform(-200, 200, (12, 6))
    loads[1] = loads[0] / 2
    s = f.solve(loads)
    forces = loads[0, :, :3] + s.reactions[0, :, :3]
    assert forces.sum(axis=0) == pytest.approx(np.zeros(3), abs=1e-6)
    moments = np.cross(nodes, forces) + loads[0, :, 3:] + s.reactions[0, :, 3:]
    assert moments.sum(axis=0) == pytest.approx(np.zeros(3), abs=1e-3)
    assert s.moves[1] == pytest.approx(s.moves[0] / 2) and s.ends[1] == pytest.approx(s.ends[0] / 2)


def test_what_would_fold_is_named():
    """Four legs with rails that only hang on hinges: the upper ring sways."""
    nodes = [[0, 0, 0], [0, 500, 0], [400, 500, 0], [400, 0, 0], [0, 500, 0], [400, 500, 0]]
    free = [1e6, 1e6, 1e6, 1e9, 1e9, 0.0]
    f = frame(nodes, [[0, 1], [3, 2], [4, 5]], {0: [0, 1, 2, 3, 4], 3: [0, 1, 2, 3, 4]}, joints=[[1, 4], [2, 5]], stiffness=[free, free])
    with pytest.raises(Mechanism) as folded:
        f.solve(np.zeros((1, 6, 6)))
    assert {1, 2, 4, 5} <= set(folded.value.nodes)
