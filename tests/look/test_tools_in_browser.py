"""The view's tools in a real browser: section, measured distance, kept eye, rows that point, a kernel that fails."""

from __future__ import annotations

import io
import math
import os
import shutil

import numpy as np
import pytest
from PIL import Image

from studio_lib.look import bundle
from studio_lib.look.client_page import client_page
from workbook.pointing import Rows

sync_api = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")

FLAGS = [
    "--headless", "--no-sandbox", "--enable-unsafe-swiftshader", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
]


@pytest.fixture(scope="module")
def browser():
    bundle.build(progress=lambda text: None)
    chromium = os.environ.get("CHROMIUM") or shutil.which("chromium") or shutil.which("chromium-browser")
    if not chromium:
        pytest.skip("no Chromium on this machine")
    with sync_api.sync_playwright() as play:
        started = play.chromium.launch(executable_path=chromium, args=FLAGS)
        yield started
        started.close()


@pytest.fixture
def page(browser, table_scene, looks, tmp_path):
    """The table alone, 900 x 700, and a helper that finds a corner on the screen."""
    out = browser.new_page(viewport={"width": 900, "height": 700})
    out.faults = []
    out.on("pageerror", lambda e: out.faults.append(str(e)))
    file = tmp_path / "page.html"
    file.write_text(client_page("T", "", [("Table", table_scene)], looks, "", "", ""), encoding="utf-8")
    out.goto(file.as_uri())
    out.wait_for_function("window.studioViews?.every((v) => v.frames > 0)")
    out.evaluate(
        """() => {
          const view = window.view = studioViews[0];
          window.onScreen = (x, y, z) => {
            const p = view.person.position.clone().set(x, y, z).project(view.camera);
            const box = view.canvas.getBoundingClientRect();
            return [box.left + ((p.x + 1) / 2) * box.width, box.top + ((1 - p.y) / 2) * box.height];
          };
        }"""
    )
    settle(out)
    yield out
    assert out.faults == []
    out.close()


def settle(page):
    page.evaluate(
        """() => new Promise((done) => {
          let last = -1;
          const look = () => {
            if (view.frames === last && !view.refining) return done();
            last = view.frames;
            setTimeout(look, 300);
          };
          look();
        })"""
    )


def shot(page):
    return np.asarray(Image.open(io.BytesIO(page.locator("canvas").first.screenshot())).convert("RGB")).astype(float)


def test_the_distance_between_two_corners_is_the_size_of_the_piece(page, table):
    """Two corners of the top, clicked a few pixels off, lie the length of the top apart along it, to 0.1 mm."""
    length, width, height = table.overall_mm
    page.evaluate("view.ruler.onMeasured = (found) => { window.found = found; }; view.setMeasuring(true)")
    slat = next(m for m in table.members if m.role == "slat")
    a = slat.arris_mm  # the outermost points of an end lie below the arris
    y, z = -width / 2, height - a
    for x in (-length / 2, length / 2):
        at = page.evaluate("(p) => onScreen(...p)", [x / 1000, z / 1000, -y / 1000])
        page.mouse.click(at[0] + (3 if x < 0 else -3), at[1] + 3)
    settle(page)
    found = page.evaluate("found")
    assert found["mm"] == pytest.approx(math.dist(found["from"], found["to"]), abs=0.1)
    assert sorted(p[0] for p in (found["from"], found["to"])) == pytest.approx([-length / 2, length / 2], abs=0.11)
    assert page.get_by_text(f"{found['mm']:g} mm").is_visible(), page.evaluate("view.ruler.label.outerHTML")
    page.keyboard.press("Escape")
    settle(page)
    assert page.evaluate("found") is None


def test_a_section_takes_the_near_part_away_and_fills_what_it_cuts(page, table):
    whole = shot(page)
    page.evaluate("view.setShow({ cut: { axis: 'length', at: 0.5 } })")
    settle(page)
    half = shot(page)
    warm = [(p[:, :, 0] - p[:, :, 2] > 45).mean() for p in (whole, half)]
    assert 0.3 * warm[0] < warm[1] < 0.75 * warm[0]
    # The cut runs through the middle of every slat; its outlines lie on the plane, half way along.
    points = np.array(page.evaluate("[...view.section.lines.geometry.attributes.position.array]")).reshape(-1, 3)
    assert np.abs(points[:, 0]).max() < 0.001
    # Outline of each slat's cut end: as high as it is thick and as deep as all slats with their gaps.
    assert np.ptp(points[:, 2]) * 1000 == pytest.approx(table.overall_mm[1], abs=0.5)
    # Filled: looking straight at the cut, the pixel in the middle of a slat's end is timber, not what lies behind it.
    page.evaluate("view.setEye({ from: [1.6, 0.735, 0], at: [0, 0.735, 0] })")
    settle(page)
    slat = sorted((m for m in table.members if m.role == "slat"), key=lambda m: abs(m.piece_box.centre[1]))[0]
    _, y, z = slat.piece_box.centre
    x_px, y_px = page.evaluate("(p) => onScreen(...p)", [0.0, z / 1000, -y / 1000])
    box = page.locator("canvas").first.bounding_box()
    seen = shot(page)
    red, green, blue = seen[int(y_px - box["y"]), int(x_px - box["x"])]
    assert red > green > blue and red - blue > 30


def test_a_cut_face_may_be_clicked(page, table):
    page.evaluate("view.onSelect = (m) => { window.hit = m?.ref; }; view.setShow({ cut: { axis: 'length', at: 0.5 } })")
    page.evaluate("view.setEye({ from: [1.6, 0.735, 0], at: [0, 0.735, 0] })")
    settle(page)
    slat = sorted((m for m in table.members if m.role == "slat"), key=lambda m: abs(m.piece_box.centre[1]))[0]
    _, y, z = slat.piece_box.centre
    page.mouse.click(*page.evaluate("(p) => onScreen(...p)", [0.0, z / 1000, -y / 1000]))
    assert page.evaluate("hit") == slat.ref


def test_an_eye_that_was_kept_shows_the_same_picture_again(page):
    page.evaluate("view.setEye({ from: [-1.5, 1.2, 1.8], at: [0, 0.4, 0] })")
    settle(page)
    kept, eye = shot(page), page.evaluate("view.eye")
    page.evaluate("view.home()")
    settle(page)
    assert np.abs(shot(page) - kept).mean() > 5
    page.evaluate("(eye) => view.setEye(eye)", eye)
    settle(page)
    assert np.abs(shot(page) - kept).mean() < 0.5


def test_person_and_door_stand_to_scale(page):
    """A person of 1.70 m and a door of 2.03 m, by the boxes that are drawn."""
    page.evaluate("view.setShow({ person: true, door: true })")
    settle(page)
    heights = page.evaluate(
        """() => [view.person, view.wall.door].map((o) => {
          o.updateWorldMatrix(true, true);
          const box = view.box.clone().setFromObject(o);
          return [box.min.y, box.max.y];
        })"""
    )
    floor = page.evaluate("view.ground.position.y")
    assert heights[0] == pytest.approx([floor, 1.70], abs=0.005)
    assert heights[1] == pytest.approx([floor, 2.03 + 0.07], abs=0.006)
    page.evaluate("view.setShow({ person: 1.92 })")
    settle(page)
    assert page.evaluate("(() => { view.person.updateWorldMatrix(true, true); return view.box.clone().setFromObject(view.person).max.y })()") == (
        pytest.approx(1.92 + floor, abs=0.005))


def test_the_room_is_offered_only_where_the_phone_can(page, browser, tmp_path):
    assert not page.locator(".place").first.is_visible()
    able = browser.new_page()
    able.add_init_script(
        """Object.defineProperty(navigator, "xr", { value: {
          isSessionSupported: async (kind) => kind === "immersive-ar",
          requestSession: async (kind, options) => {
            window.asked = [kind, options.requiredFeatures];
            throw new Error("no camera here");
          },
        } });"""
    )
    able.goto(page.url)
    able.get_by_text("In your own room").click()
    able.get_by_text("could not be opened for this (no camera here)").wait_for()
    assert able.evaluate("asked") == ["immersive-ar", ["hit-test"]]
    able.close()


def test_the_3d_file_is_saved_from_the_page(page, table, tmp_path):
    import trimesh

    with page.expect_download() as got:
        page.get_by_text("Save as a 3D file").click()
    assert got.value.suggested_filename == "Table.glb"
    path = tmp_path / "table.glb"
    got.value.save_as(path)
    extents_mm = trimesh.load(path).extents * 1000
    assert sorted(extents_mm) == pytest.approx(sorted(table.overall_mm), abs=0.1)


ROWS_PAGE = """() => {
  window.model = {
    traits: { value: `<h3 data-refs="t/A|t/B">both</h3><table><tr data-refs="t/A"><td>first</td></tr>
      <tr data-refs="t/B"><td>second</td></tr></table>`, lit: [], touched: [] },
    heard: {},
    get(name) { return this.traits[name]; },
    set(name, value) { this.traits[name] = value; },
    save_changes() {},
    on(event, act) { this.heard[event] = act; }, off() {},
    put(name, value) { this.traits[name] = value; this.heard[`change:${name}`]?.(); },
  };
}"""


def test_rows_point_at_members_and_are_pointed_at(browser):
    page = browser.new_page()
    page.set_content('<div id="out"></div><p>elsewhere</p>')
    page.evaluate(ROWS_PAGE)
    page.evaluate(
        """async (code) => {
          const from = URL.createObjectURL(new Blob([code], { type: "text/javascript" }));
          (await import(from)).default.render({ model, el: document.querySelector("#out") });
        }""",
        Rows._esm,
    )
    touched = lambda: page.evaluate("model.traits.touched")  # noqa: E731
    page.get_by_text("first").hover()
    assert touched() == ["t/A"]
    page.get_by_text("both").hover()
    assert touched() == ["t/A", "t/B"]
    page.get_by_text("second").click()
    page.get_by_text("elsewhere").hover()
    assert touched() == ["t/B"], "a row clicked stays"
    page.get_by_text("second").click()
    page.get_by_text("elsewhere").hover()
    page.evaluate("document.activeElement.blur()")
    assert touched() == []
    page.keyboard.press("Tab")
    assert touched() == ["t/A", "t/B"], "rows take the keyboard"
    page.evaluate("model.put('lit', ['t/A'])")
    assert page.locator("tr.lit").all_inner_texts() == ["first"]
    page.close()
