"""Doors, drawers and lids opened: what moves, how far, and that nothing is in its way."""

from __future__ import annotations

import io
import json
import os
import shutil
import struct

import numpy as np
import pytest
from PIL import Image

from studio_lib.commission import Brief
from studio_lib.forms import FORMS, make
from studio_lib.look import bundle
from studio_lib.look.client_page import CUT_OFF_BYTES, client_page
from studio_lib.look.draw_still import held, read_scene, swung
from studio_lib.look.glb import glb
from studio_lib.look.still import still
from studio_lib.piece.leaves import DOOR_DEG, leaves
from studio_lib.solids import meshes
from studio_lib.solids.mesh import placed
from studio_lib.timber import appearance, timber
from workbook.view3d import View3D, opening_slider

OAK = "European oak"
MADE = {
    "chest": {}, "chest without a stay": {"stays": 0}, "low chest": {"height_mm": 240, "width_mm": 500},
    "cabinet": {"drawer_rows": 2, "drawers_fill": 0}, "cabinet in bays": {"width_mm": 1600, "drawer_rows": 4},
    "tall cabinet": {"height_mm": 1900, "drawer_rows": 1}, "drawers only": {"doors": 0, "drawers_fill": 1, "shelf_count": 0, "drawer_rows": 4},
}


def made(name):
    return make("chest" if "chest" in name else "cabinet", Brief(), timber=OAK, name=name, **MADE[name])


def looks(scene):
    steel = appearance(timber(OAK), 0, "indoors", "oiled")
    return {m.timber: steel for _, members, _ in scene for m in members}


def scene_of(piece):
    return [(piece.name, meshes(piece), (0.0, 0.0, 0.0))]


def motion(leaf, share):
    return swung(leaf.told(), share)


@pytest.mark.parametrize("name", MADE)
def test_what_belongs_to_a_leaf_moves_as_one_and_meets_nothing_on_its_way(name):
    piece = made(name)
    found = leaves(piece)
    assert found and len({r for leaf in found for r in leaf.refs}) == sum(len(leaf.refs) for leaf in found)
    for leaf in found:
        rest = [placed(piece, m.ref) for m in piece.members if m.ref not in leaf.refs]
        for share in (0.06, 0.5, 1.0):
            m = motion(leaf, share)[:3]
            # Own members keep to each other; the rest is nowhere cut into. Drawers may graze their runners.
            for ref in leaf.refs:
                moved = placed(piece, ref).transform(m)
                into = sum((moved ^ other).volume() for other in rest)
                assert into < 1.0, f"{leaf.name}: {ref} open by {share} stands in the rest by {into:.0f} mm3"


def test_a_door_takes_its_panel_and_its_pull_with_it_and_the_other_stays():
    doors = leaves(made("cabinet"))[:2]
    assert [d.kind for d in doors] == ["door", "door"] and all(d.deg == DOOR_DEG for d in doors)
    for d in doors:
        piece = made("cabinet")
        assert {piece.member(r).role for r in d.refs} >= {"panel", "stile", "rail", "pull"}
        # The pins stand beside the outer edge, so the free edge comes out to the front and past the side.
        pull = next(m for m in piece.members if m.ref in d.refs and m.role == "pull")
        shut, open_ = np.array(pull.piece_box.centre), d.moved(pull.piece_box.centre)
        assert open_[1] < shut[1] - 300 and abs(open_[0]) > abs(d.at[0]) and open_[2] == pytest.approx(shut[2])


def test_a_lid_opens_to_where_its_stay_stops_it_and_past_upright_without():
    # The chest's own setting out: 'set to stop the lid 10 degrees short of upright'.
    (stayed,), (free,) = leaves(made("chest")), leaves(made("chest without a stay"))
    assert stayed.kind == "lid" and stayed.deg == 80 and free.deg > 90
    hinge = next(j for j in made("chest").joints if j.kind == "hinges")
    assert "10 degrees short of upright" in hinge.setting_out(made("chest"))["lid stays"]
    assert not free.stays and len(stayed.stays) == 2


@pytest.mark.parametrize("share", [0.0, 0.3, 1.0])
def test_a_stay_reaches_from_the_box_to_the_lid_at_every_angle(share):
    piece = made("chest")
    (lid,) = leaves(piece)
    for stay in lid.stays:
        head = lid.moved(stay.head, share)
        far = np.linalg.norm(head - stay.foot)
        assert stay.half_mm < far < 2 * stay.half_mm
        for case in (True, False):
            m = held({"foot_mm": stay.foot, "head_mm": stay.head, "on_case": case}, motion(lid, share))
            end = m[:3, 3] + stay.half_mm * m[:3, 0]
            away = np.linalg.norm(np.cross(head - np.array(stay.foot), end - stay.foot)) / far
            assert away < 1e-6
            body = placed_bar(m, stay.half_mm)
            rest = [placed(piece, x.ref) for x in piece.members if x.ref not in lid.refs]
            assert sum((body ^ other).volume() for other in rest) < 1.0


def placed_bar(matrix, long_mm):
    import manifold3d

    bar = manifold3d.Manifold.cylinder(long_mm, 5.0)
    turned = np.column_stack([matrix[:3, 1], matrix[:3, 2], matrix[:3, 0], matrix[:3, 3]])
    return bar.transform(turned)


def test_a_drawer_keeps_a_third_of_its_depth_on_its_runners():
    piece = made("drawers only")
    for d in leaves(piece):
        sides = [piece.member(r) for r in d.refs if piece.member(r).role == "drawer side"]
        assert d.kind == "drawer" and d.way == (0.0, -1.0, 0.0)
        assert 0.5 * sides[0].length_mm < d.mm < 0.8 * sides[0].length_mm


@pytest.mark.parametrize("name", [n for n in sorted(FORMS) if n not in ("chest", "cabinet")])
def test_what_has_nothing_to_open_tells_of_nothing(name):
    piece = make(name, Brief(), timber=OAK)
    assert leaves(piece) == ()
    assert not any("leaves" in n.get("extras", {}) for n in document(glb(scene_of(piece)))["nodes"])


def document(data):
    return json.loads(data[20:20 + struct.unpack_from("<I", data, 12)[0]])


def test_the_file_tells_the_motion_of_every_member_of_a_leaf():
    piece = made("cabinet")
    nodes = document(glb(scene_of(piece)))["nodes"]
    told = nodes[1]["extras"]["leaves"]
    assert [t["kind"] for t in told].count("door") == 2 and all(("deg" in t) != ("mm" in t) for t in told)
    for leaf in leaves(piece):
        k = [t["name"] for t in told].index(leaf.name)
        has = {n["extras"]["ref"] for n in nodes if n.get("extras", {}).get("leaf") == k and n["extras"]["role"] != "part"}
        assert has == set(leaf.refs)
    # A leaf of a hinge goes with the member it is let into, so that each door takes half of them.
    hinges = [n["extras"] for n in nodes if "leaf of a hinge" in n["name"]]
    assert sum("leaf" in h for h in hinges) == len(hinges) / 2


def test_the_still_picture_moves_members_as_the_description_says_and_shuts_what_is_taken_apart():
    piece = made("chest")
    (lid,) = leaves(piece)
    data = glb(scene_of(piece))
    at = {}
    for apart, opened in ((0, 0), (0, 1), (1, 0), (1, 1)):
        at[apart, opened] = {e["ref"]: m[:3, 3] for e, m, *_ in read_scene(data, apart, opened)}
    for ref in lid.refs:
        x, y, z = lid.moved(piece.member(ref).placement.origin)
        assert at[0, 1][ref] == pytest.approx((x / 1000, z / 1000, -y / 1000), abs=1e-6)
    assert all(np.allclose(at[1, 1][r], at[1, 0][r]) for r in at[1, 0])


def test_a_picture_of_it_open_shows_more_of_it():
    scene = scene_of(made("chest"))
    shut, open_ = (still(scene, looks(scene), 200, 150, opened=o, ground="", samples=2).png for o in (0, 1))
    a, b = (np.asarray(Image.open(io.BytesIO(p)).convert("RGB")).astype(float) for p in (shut, open_))
    assert (np.abs(a - b).max(axis=2) > 30).mean() > 0.1
    with pytest.raises(ValueError, match="opened is 2; give 0"):
        still(scene, looks(scene), 200, 150, opened=2)


def test_the_slider_is_there_only_where_something_opens():
    import ipywidgets as w

    view = View3D()
    slider = opening_slider(view, w.Layout())
    assert slider.layout.display == "none"
    scene = scene_of(made("chest"))
    view.show_scene(scene, looks(scene))
    assert view.can_open and slider.layout.display is None
    table = scene_of(make("table", Brief(), timber=OAK))
    view.show_scene(table, looks(table))
    assert slider.layout.display == "none"


# ---------------------------------------------------------------- the client's page in a browser


def page_of(scene):
    return client_page("A piece", "<p>For you.</p>", [("It", scene)], {0: looks(scene)}, "sizes", "oak", "may differ", ground="floor")


def test_the_page_has_the_slider_only_for_what_opens_and_stays_small():
    bundle.build(progress=lambda text: None)
    table = page_of(scene_of(make("table", Brief(), timber=OAK)))
    cabinet = page_of(scene_of(made("cabinet in bays")))
    assert 'id="opened"' not in table and "doors and drawers" in cabinet
    assert len(cabinet.encode()) < CUT_OFF_BYTES


@pytest.mark.parametrize("name", ["chest", "cabinet"])
def test_the_slider_opens_it_in_the_browser_as_the_library_says(name, tmp_path):
    sync_api = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
    chromium = os.environ.get("CHROMIUM") or shutil.which("chromium") or shutil.which("chromium-browser")
    if not chromium:
        pytest.skip("no Chromium on this machine")
    bundle.build(progress=lambda text: None)
    piece = made(name)
    file = tmp_path / "page.html"
    file.write_text(page_of(scene_of(piece)), encoding="utf-8")
    where = "() => Object.fromEntries(window.studioViews[0].members.map(({mesh, member}) => [member.ref, mesh.position.toArray()]))"
    with sync_api.sync_playwright() as play:
        browser = play.chromium.launch(executable_path=chromium, args=["--headless", "--no-sandbox", "--enable-unsafe-swiftshader"])
        page = browser.new_page(viewport={"width": 390, "height": 844})
        faults = []
        page.on("pageerror", lambda e: faults.append(str(e)))
        page.goto(file.as_uri())
        page.wait_for_function("window.studioViews?.every((v) => v.frames > 0)")
        page.locator("#opened").focus()
        page.keyboard.press("End")
        at = page.evaluate(where)
        for leaf in leaves(piece):
            for ref in leaf.refs:
                assert at[ref] == pytest.approx([v / 1000 for v in leaf.moved(piece.member(ref).placement.origin)], abs=1e-5)
        page.locator("#opened").focus()
        page.keyboard.press("Home")
        at = page.evaluate(where)
        assert all(at[m.ref] == pytest.approx([v / 1000 for v in m.placement.origin], abs=1e-5) for m in piece.members)
        browser.close()
    assert faults == []


# By hand: a front that stands on its pin, hinged at its lower edge, lies level when it is let down: what stood 300 mm over the pin
# is 300 mm before it, at the pin's own height but for the thickness it turns over.
def test_a_flap_is_let_down_level_to_the_front():
    from studio_lib.piece import Member, Piece, Placement
    from studio_lib.piece.hinge import Hinged

    along = (1.0, 0.0, 0.0)
    case = Member("A-C1", "case", "bottom", OAK, 500.0, 400.0, 400.0, Placement((0.0, 0.0, 0.0), along, (0.0, 1.0, 0.0)))
    flap = Member("A-D1", "flap", "front", OAK, 500.0, 300.0, 20.0, Placement((0.0, 20.0, 401.0), along, (0.0, 0.0, 1.0)))
    piece = Piece("desk", "freehand", (case, flap), (Hinged.between(case, flap, "flap on case"),), overall_mm=(500.0, 400.0, 701.0))
    (found,) = leaves(piece)
    assert (found.kind, found.deg, found.name) == ("flap", 90.0, "flap")
    y, z = found.moved((250.0, 20.0, 701.0))[1:]
    assert y == pytest.approx(found.at[1] - 300.0, abs=25) and abs(z - found.at[2]) < 25
