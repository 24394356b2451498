"""A bookcase in an alcove is seen between its walls, which are on no list and in no weight, price or size."""

import io
from dataclasses import replace

import numpy as np
import pytest
import trimesh
from PIL import Image

from studio_lib.commission import Brief, Commission
from studio_lib.derive import derive
from studio_lib.forms import make
from studio_lib.look import scenes
from studio_lib.look.glb import linear
from studio_lib.look.still import still
from studio_lib.papers.words import drawn_plain
from studio_lib.piece.model import as_prism
from studio_lib.solids import meshes

OAK = "European oak"
SIZES = {"place": 1.0, "width_mm": 900.0, "depth_mm": 300.0, "height_mm": 1800.0, "width_front_bottom_mm": 950.0, "width_front_top_mm": 940.0,
         "width_back_bottom_mm": 940.0, "width_back_top_mm": 940.0, "skirting_high_mm": 100.0, "skirting_deep_mm": 15.0}
SEEN = ("plaster", "skirting board")


@pytest.fixture(scope="module")
def d():
    c = Commission(ref="W-2", title="shelves", client="a client").changed("timber.species", OAK)
    return derive(c.changed("items", [{"name": "shelves", "form": "bookcase", "sizes": SIZES}]))


@pytest.fixture(scope="module")
def shown(d):
    """The meshes that are walls, with their corners in piece axes."""
    return [(m, corners(m)) for m in meshes(d.piece) if m.timber in SEEN]


def bare(piece):
    return replace(piece, held_on=(), drawn_out_mm=0.0)


def corners(m):
    p = m.placement
    return m.vertices @ np.array([p.along, p.across, p.through]) + np.array(p.origin)


def drawn(d, piece, view, red=False):
    """A picture of it as light, its timber red if asked."""
    looks = scenes.appearances(d)
    if red:
        looks[OAK] = replace(looks[OAK], base_hex="#ff0000", late_hex="#ff0000", ring_mm=0.0)
    png = still([(piece.name, meshes(piece), (0.0, 0.0, 0.0))], looks, 400, 400, view, ground="", samples=4).png
    return (np.asarray(Image.open(io.BytesIO(png)).convert("RGB"), dtype=float) / 255) ** 2.2


def red(picture):
    return (picture[..., 0] > 0.02) & (picture[..., 0] > 4 * picture[..., 1])


def test_free_standing_it_has_no_walls():
    assert make("bookcase", Brief(), timber=OAK).held_on == ()


def test_its_side_is_behind_a_wall(d):
    assert red(drawn(d, bare(d.piece), "right", red=True)).sum() > 5_000 and red(drawn(d, d.piece, "right", red=True)).sum() == 0


def test_from_the_front_no_wall_hides_more_of_it_than_the_skirting_does(d, shown):
    first = min(corners(m)[:, 1].min() for m in meshes(d.piece) if m.timber == OAK)
    before = [(m, c) for m, c in shown if c[:, 1].min() < first]
    assert {m.timber for m, _ in before} == set(SEEN)
    for m, c in before:
        inner = np.abs(c[:, 0]).min()
        # A wall that leans narrows towards its top; the fillet is planed to it there.
        assert inner >= (475 - 15 if m.timber == "skirting board" else 940 / 2 - 0.4), m.name


def test_the_picture_shows_plaster_on_both_sides_of_the_front(d):
    plaster = np.array(linear(scenes.METALS["plaster"]))

    def like_plaster(picture):
        tone = picture / picture.max(axis=-1, keepdims=True)
        # Lit by a sun that is a little warm; the ground behind is cooler and brighter.
        return (np.abs(tone - plaster / plaster.max()).max(axis=-1) < 0.15) & (picture.max(axis=-1) < 0.75)

    seen, none = like_plaster(drawn(d, d.piece, "front"))[200], like_plaster(drawn(d, bare(d.piece), "front"))[200]
    assert seen[:200].sum() > 10 and seen[200:].sum() > 10 and none.sum() < 5


def test_walls_stand_as_far_apart_as_the_alcove_is_wide_and_reach_over_it(shown):
    right = next(c for m, c in shown if m.name == "wall of the alcove, right")
    assert right[:, 0].min() == pytest.approx(940 / 2 - 0.4, abs=0.5)
    assert right[right[:, 2] < 1][:, 0].min() == pytest.approx(950 / 2)
    assert 1800 < right[:, 2].max() < 2000 and right[:, 1].min() < -150 and right[:, 1].max() >= 150
    board = next(c for m, c in shown if m.name.startswith("skirting board in"))
    assert np.ptp(board[:, 2]) == pytest.approx(100) and np.ptp(board[:, 0]) == pytest.approx(15)


def test_under_a_ceiling_they_end_at_it():
    piece = make("bookcase", Brief(), timber=OAK, **SIZES | {"strip_mm": 25.0})
    assert max(as_prism(p.block).bounds.hi[2] for p in piece.held_on) == pytest.approx(1825.0)


def test_taken_apart_the_case_is_out_from_between_walls_that_stay(d, shown):
    assert all(m.pull == (0.0, 0.0, 0.0) for m, _ in shown)
    front = min(c[:, 1].min() for _, c in shown)
    for m in meshes(d.piece):
        if m.timber not in SEEN:
            assert corners(m)[:, 1].max() + m.pull[1] < front, m.name


def test_they_are_in_no_list_weight_size_price_or_drawing(d):
    from studio_lib.drawings.views import bodies

    plain = bare(d.piece)
    assert d.piece.overall_mm[0] == pytest.approx(950.0) and d.piece.overall_mm[2] == 1800.0
    assert d.piece.members == plain.members and len(bodies(d.piece)) == len(bodies(plain))
    # 800 kg/m3 is more than air-dry oak weighs.
    assert d.weights_kg[d.piece.name] < sum(m.length_mm * m.width_mm * m.thickness_mm for m in plain.members) * 1e-9 * 800
    assert not any(word in f"{line.what}".lower() for line in d.price.materials for word in ("plaster", "skirting"))


def test_they_do_not_age_and_the_quote_says_that_they_are_drawn_plain(d):
    new, old = scenes.appearances(d), scenes.appearances(d, 10)
    assert all(new[s] == old[s] for s in SEEN) and new[OAK] != old[OAK]
    assert drawn_plain(d) == " The walls of the alcove are drawn plain, not as they are."


def test_its_file_has_the_walls_in_it_and_the_members_at_their_size(d, tmp_path):
    path = tmp_path / "shelves.glb"
    path.write_bytes(scenes.glb_bytes(d))
    read = trimesh.load(path)
    assert {"wall of the alcove, left", "wall of the alcove, right"} <= {n.partition("held on ")[2].partition(" ")[2] for n in read.graph.nodes_geometry}
    assert np.ptp(read.bounds, axis=0)[0] * 1000 == pytest.approx(950 + 2 * 150, abs=1)


def test_under_paint_a_client_reads_of_the_colour_and_not_of_plaster(d):
    from studio_lib.look.client_page import _says

    painted = derive(d.commission.changed("brief.finish", "paint"))
    looks = scenes.appearances(painted)
    assert _says(looks, list(looks)) == [looks[OAK].says]
