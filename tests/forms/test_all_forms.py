"""Every form as proposed: solids, list, weight and centre of gravity are of one piece."""

import numpy as np
import pytest

from studio_lib.commission import Brief, Item
from studio_lib.demo import demo
from studio_lib.derive import derive
from studio_lib.forms import FORMS, Surroundings, make, settled
from studio_lib.solids import build
from studio_lib.solids.mesh import placed

NAMES = [n for n in FORMS if n != "freehand"]


@pytest.mark.parametrize("name", NAMES)
def test_weight_is_that_of_the_exact_solids(name):
    c = demo()
    d = derive(c.model_copy(update={"items": (Item(name="one", form=name),)}))
    exact = sum(s.val().Volume() for s in build(d.piece).values()) * 1e-9 * d.wood.density_kg_m3
    assert d.weights_kg["one"] == pytest.approx(exact, rel=1e-3)


@pytest.mark.parametrize("name", NAMES)
def test_centre_of_gravity_is_the_same_by_both_kernels(name):
    import trimesh

    piece = make(name, Brief(), timber="oak")
    solids = build(piece)
    by_volume, total = np.zeros(3), 0.0
    for s in solids.values():
        v, c = s.val().Volume(), s.val().Center()
        by_volume += v * np.array([c.x, c.y, c.z])
        total += v
    mesh, held = np.zeros(3), 0.0
    for m in piece.members:
        body = placed(piece, m.ref).to_mesh()
        body = trimesh.Trimesh(body.vert_properties[:, :3].astype(float), body.tri_verts.astype(int), process=True)
        mesh += body.volume * body.center_mass
        held += body.volume
    assert mesh / held == pytest.approx(by_volume / total, abs=0.1)


WISHES = [
    Brief(), demo().brief, Brief(heft="light"), Brief(children=True, use="public", frail=True),
    Brief(child_ages=(3,), people=2, heft="chunky"), Brief(wheelchair=True, space_length_mm=600, space_width_mm=400),
]


@pytest.mark.parametrize("name", NAMES)
def test_no_proposal_falls_outside_what_it_may_be_whatever_one_size_is_given(name):
    form = FORMS[name]
    for size in form.sizes:
        for part in (0.0, 0.15, 0.5, 0.85, 1.0):
            value = size.low + part * (size.high - size.low)
            for brief in WISHES:
                settled(form, brief, Surroundings("oak", 0.02), {size.name: round(value) if size.whole else value})
