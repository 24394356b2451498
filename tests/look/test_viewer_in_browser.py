"""The notebook view's script in a real browser, with a plain stand-in for the notebook."""

from __future__ import annotations

import base64
import io
import json
import os
import shutil

import numpy as np
import pytest
from PIL import Image

from studio_lib.commission import Brief
from studio_lib.forms import make
from studio_lib.look import bundle
from studio_lib.look.client_page import look_of
from studio_lib.look.glb import glb
from studio_lib.solids import meshes
from workbook.view3d import SHOWN_AT_FIRST

sync_api = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")

OAK = "European oak"
FLAGS = [
    "--headless", "--no-sandbox", "--enable-unsafe-swiftshader", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
]
# Keeps traits and tells of changes as a notebook's model does; counts what is drawn.
NOTEBOOK = """() => {
window.saved = [];
window.model = {
  traits: {}, heard: {},
  get(name) { return this.traits[name]; },
  set(name, value) { this.traits[name] = value; },
  save_changes() { window.saved.push({ ...this.traits }); },
  on(event, act) { (this.heard[event] ??= new Set()).add(act); },
  off(event, act) { this.heard[event]?.delete(act); },
  put(name, value) { this.traits[name] = value; this.heard[`change:${name}`]?.forEach((act) => act()); },
};
window.bytes = (text) => new DataView(Uint8Array.from(atob(text), (c) => c.charCodeAt(0)).buffer);
window.still = () => new Promise((done) => {
  let last = -1;
  const look = () => {
    if (window.loads === last) return done();
    last = window.loads;
    setTimeout(look, 320);
  };
  look();
});
// Every scene drawn starts with its text being read.
const read = TextDecoder.prototype.decode;
window.loads = 0;
TextDecoder.prototype.decode = function (...given) { window.loads += 1; return read.apply(this, given); };
const draw = WebGL2RenderingContext.prototype.drawElements;
window.draws = 0;
WebGL2RenderingContext.prototype.drawElements = function (...given) {
  window.draws += 1; window.gl = this; return draw.apply(this, given);
};
}"""


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
def page(browser, scene, looks):
    page = browser.new_page(viewport={"width": 460, "height": 320})
    page.faults = []
    page.on("pageerror", lambda e: page.faults.append(str(e)))
    page.set_content('<div id="out" style="width:420px"></div>')
    page.evaluate(NOTEBOOK)
    page.evaluate(
        """async ({ code, shapes, traits }) => {
          model.traits = { ...traits, scene: bytes(shapes), fallback: new DataView(new ArrayBuffer(0)) };
          const from = URL.createObjectURL(new Blob([code], { type: "text/javascript" }));
          window.view = (await import(from)).default;
          window.leave = view.render({ model, el: document.querySelector("#out") });
          await still();
        }""",
        {
            "code": bundle.viewer_js(),
            "shapes": base64.b64encode(glb(scene)).decode(),
            "traits": {
                "look": look_of(looks[0], [OAK]), "apart": 0, "lit": [], "selected": "",
                "selected_piece": "", "show": SHOWN_AT_FIRST, "years": 0, "height_px": 270,
                "snapshot_asked": 0,
            },
        },
    )
    yield page
    assert page.faults == []
    page.close()


def seen(page):
    png = page.locator("canvas").screenshot()
    return np.asarray(Image.open(io.BytesIO(png)).convert("RGB")).astype(float)


def put(page, name, value):
    page.evaluate("async ([name, value]) => { model.put(name, value); await still(); }", [name, value])


def test_draws_timber(page):
    picture = seen(page)
    assert picture.std() > 12
    assert (picture[:, :, 0] - picture[:, :, 2] > 45).mean() > 0.03


def test_only_the_last_of_many_scenes_is_drawn(page, scene):
    before = page.evaluate("loads")
    page.evaluate(
        "async (shapes) => { for (let k = 0; k < 60; k += 1) model.put('scene', bytes(shapes)); await still(); }",
        base64.b64encode(glb(scene)).decode(),
    )
    assert page.evaluate("loads") - before == 1


def test_does_not_draw_while_nothing_changes(page):
    before = page.evaluate("draws")
    page.wait_for_timeout(800)
    assert page.evaluate("draws") == before


def test_click_selects_and_click_beside_clears(page, scene):
    canvas = page.locator("canvas").bounding_box()
    page.mouse.click(canvas["x"] + canvas["width"] / 2, canvas["y"] + canvas["height"] * 0.25)
    told = page.evaluate("saved.at(-1)")
    refs = {m.ref for m in scene[0][1] if m.role == "slat"}
    assert told["selected"] in refs and told["selected_piece"] == "table"
    page.mouse.click(canvas["x"] + 4, canvas["y"] + 4)
    assert page.evaluate("saved.at(-1)")["selected"] == ""


def test_hover_names_the_member_and_its_sizes(page, scene):
    canvas = page.locator("canvas").bounding_box()
    page.mouse.move(canvas["x"] + canvas["width"] / 2, canvas["y"] + canvas["height"] * 0.25)
    label = page.locator("#out div div").first
    label.wait_for(state="visible")
    slat = next(m for m in scene[0][1] if m.role == "slat")
    length, _, thickness = (f"{v:g}" for v in slat.size_mm)
    assert label.inner_text().startswith("table: slat")
    assert f"{length} × " in label.inner_text() and f" × {thickness} mm" in label.inner_text()


def test_python_can_point_members_out(page):
    before = seen(page)
    put(page, "lit", ["table/A-S3", "B-L1"])
    changed = np.abs(seen(page) - before).max(axis=2) > 30
    assert 0.002 < changed.mean() < 0.2
    put(page, "lit", [])
    put(page, "selected", "A-S3")
    assert (np.abs(seen(page) - before).max(axis=2) > 30).mean() > 0.002


@pytest.mark.parametrize(("name", "value"), [
    ("apart", 1), ("show", {"dimensions": True}), ("show", {"person": True}),
    ("show", {"ground": ""}), ("show", {"edges": False}),
])
def test_what_is_asked_for_is_seen(page, name, value):
    before = seen(page)
    put(page, name, value)
    assert np.abs(seen(page) - before).mean() > 0.15


def test_age_is_named_in_the_corner(page):
    put(page, "years", 3)
    assert page.get_by_text("after 3 years").is_visible()


def test_snapshot_comes_back_as_png(page):
    put(page, "snapshot_asked", 1)
    page.wait_for_function("saved.at(-1)?.snapshot", timeout=60_000)
    data = page.evaluate("btoa(String.fromCharCode(...new Uint8Array(saved.at(-1).snapshot.buffer).subarray(0, 24)))")
    head = base64.b64decode(data)
    assert head.startswith(b"\x89PNG\r\n\x1a\n")
    assert (int.from_bytes(head[16:20]), int.from_bytes(head[20:24])) == (420, 270)


def test_keyboard_turns_and_comes_nearer(page):
    before = seen(page)
    page.locator("canvas").focus()
    page.keyboard.press("ArrowLeft")
    page.evaluate("still()")
    turned = seen(page)
    page.keyboard.press("+")
    page.evaluate("still()")
    assert np.abs(turned - before).mean() > 1 and np.abs(seen(page) - turned).mean() > 1


def test_frees_its_drawing_context_when_removed(page):
    page.evaluate("leave()")
    assert page.evaluate("gl.isContextLost()")
    assert page.locator("canvas").count() == 0
    assert page.evaluate("Object.values(model.heard).every((acts) => acts.size === 0)")


def test_many_views_in_turn_do_not_exhaust_the_browser(page):
    lost = page.evaluate(
        """async () => {
          for (let k = 0; k < 24; k += 1) {
            leave();
            window.leave = view.render({ model, el: document.querySelector("#out") });
          }
          await still();
          return gl.isContextLost();
        }"""
    )
    assert lost is False and seen(page).std() > 12


def test_without_webgl_the_picture_stands_in(browser):
    page = browser.new_page()
    image = io.BytesIO()
    Image.new("RGB", (90, 60), "#c2a074").save(image, "PNG")
    page.set_content('<div id="out"></div>')
    page.evaluate(NOTEBOOK)
    page.evaluate(
        """async ({ code, png }) => {
          HTMLCanvasElement.prototype.getContext = () => null;
          model.traits = { fallback: bytes(png) };
          const from = URL.createObjectURL(new Blob([code], { type: "text/javascript" }));
          (await import(from)).default.render({ model, el: document.querySelector("#out") });
        }""",
        {"code": bundle.viewer_js(), "png": base64.b64encode(image.getvalue()).decode()},
    )
    page.wait_for_function("document.querySelector('img').naturalWidth === 90")
    assert page.get_by_text("cannot draw in three dimensions").is_visible()
    page.close()


def test_traits_are_plain_data(looks):
    assert json.loads(json.dumps(look_of(looks[1], [OAK])))[OAK]["ring_mm"] > 0


def test_a_stool_with_leaning_legs_measures_in_the_view_what_it_measures(page):
    stool = make("stool", Brief(), timber=OAK, height_mm=650.0)
    words = page.evaluate(
        """async (shapes) => {
          const said = [], fill = CanvasRenderingContext2D.prototype.fillText;
          CanvasRenderingContext2D.prototype.fillText = function (text, ...rest) { said.push(text); return fill.call(this, text, ...rest); };
          model.put("scene", bytes(shapes));
          model.put("show", { ...model.get("show"), dimensions: true });
          await still();
          return said;
        }""",
        base64.b64encode(glb([("stool", meshes(stool), (0.0, 0.0, 0.0))])).decode(),
    )
    assert words[-3:] == [f"{x:.0f}" for x in stool.overall_mm] and words[-1] == "650"
