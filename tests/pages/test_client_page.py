"""The client page in a real browser: opened from a file, with nothing to reach and nothing asked for."""

from __future__ import annotations

import io
import os
import shutil

import numpy as np
import pytest
from PIL import Image

from studio_lib.commission import Brief
from studio_lib.forms import make
from studio_lib.look import bundle
from studio_lib.look.client_page import client_page
from studio_lib.solids import meshes
from studio_lib.timber import appearance, timber

sync_api = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")

OAK = "European oak"
SIZES = {"phone": (390, 844), "laptop": (1280, 800)}
FLAGS = [
    "--headless", "--no-sandbox", "--enable-unsafe-swiftshader", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
]
PICTURE = io.BytesIO()
Image.new("RGB", (90, 60), "#c2a074").save(PICTURE, "PNG")


@pytest.fixture(scope="module")
def page_file(tmp_path_factory):
    bundle.build(progress=lambda text: None)
    brief = Brief(place="outdoors, in the weather")
    table = make("slatted table", brief, timber=OAK, name="table")
    stool = make("slatted stool", brief, timber=OAK, name="stool", letter="B")
    seven = make("slatted table", brief, timber=OAK, name="table", slat_count=7)
    text = client_page(
        "Table and stool for the terrace", "<p>A table for six.</p>",
        [
            ("Nine slats, with stool", [("table", meshes(table), (0, 0, 0)), ("stool", meshes(stool), (450, -800, 0))]),
            ("Seven slats", [("table", meshes(seven), (0, 0, 0))]),
        ],
        {y: {OAK: appearance(timber(OAK), y, "weather", "bare")} for y in (0, 1, 3, 10)},
        "2010 long, 920 wide, 740 high", "European oak", "Every board differs.",
        pictures=[PICTURE.getvalue(), PICTURE.getvalue()],
    )
    path = tmp_path_factory.mktemp("page") / "terrace.html"
    path.write_text(text, encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def browsers():
    chromium = os.environ.get("CHROMIUM") or shutil.which("chromium") or shutil.which("chromium-browser")
    if not chromium:
        pytest.skip("no Chromium on this machine")
    with sync_api.sync_playwright() as play:
        started = []

        def start(*more):
            started.append(play.chromium.launch(executable_path=chromium, args=[*FLAGS, *more]))
            return started[-1]

        yield start
        for browser in started:
            browser.close()


@pytest.fixture(scope="module")
def browser(browsers):
    return browsers()


class Visit:
    """One page opened with every other address blocked, and what it tried and said."""

    def __init__(self, browser, path, size, **context):
        width, height = size
        self.context = browser.new_context(
            viewport={"width": width, "height": height}, offline=True, **context
        )
        self.page = self.context.new_page()
        self.asked, self.faults = [], []
        self.page.on("request", lambda r: self.asked.append(r.url))
        self.page.on("pageerror", lambda e: self.faults.append(str(e)))
        self.page.on("console", lambda m: m.type == "error" and self.faults.append(m.text))
        self.page.goto(path.as_uri())
        self.own = path.as_uri()

    def outside(self):
        return [u for u in self.asked if u != self.own and not u.startswith(("data:", "blob:"))]

    def wait_until_drawn(self):
        self.page.wait_for_function("window.studioViews?.every((v) => v.frames > 0 && !v.frame)")

    def shot(self, selector=".stage"):
        png = self.page.locator(selector).first.screenshot()
        return np.asarray(Image.open(io.BytesIO(png)).convert("RGB")).astype(float)


@pytest.fixture(params=SIZES)
def visit(request, browser, page_file):
    out = Visit(browser, page_file, SIZES[request.param])
    out.wait_until_drawn()
    yield out
    out.context.close()


def test_draws_and_asks_for_nothing(visit):
    seen = visit.shot()
    # Timber is warm; the backdrop and the paving are nearly grey.
    warm = seen[:, :, 0] - seen[:, :, 2] > 45
    assert seen.std() > 12 and 0.03 < warm.mean() < 0.7
    assert visit.outside() == [] and visit.faults == []
    width = visit.page.evaluate("document.documentElement.scrollWidth")
    assert width <= visit.page.viewport_size["width"], "the page scrolls sideways"


def test_age_slider_greys_the_timber_and_says_so(visit):
    def warmth():
        seen = visit.shot()
        return (seen[:, :, 0] - seen[:, :, 2] > 45).mean()

    before = warmth()
    visit.page.locator("#age").focus()
    visit.page.keyboard.press("End")
    visit.wait_until_drawn()
    assert warmth() < 0.3 * before
    assert visit.page.locator("#age-name").inner_text() == "after 10 years"
    assert "silver grey" in visit.page.locator("#age-says").inner_text().lower()


def test_taking_apart_and_turning_by_keyboard_change_the_picture(visit):
    start = visit.shot()
    visit.page.locator("#apart").focus()
    visit.page.keyboard.press("End")
    visit.wait_until_drawn()
    apart = visit.shot()
    assert np.abs(apart - start).mean() > 2
    visit.page.locator("canvas").first.focus()
    for _ in range(4):
        visit.page.keyboard.press("ArrowRight")
    visit.wait_until_drawn()
    assert np.abs(visit.shot() - apart).mean() > 2


def test_options_stand_side_by_side_only_where_there_is_room(browser, page_file):
    tops = {}
    for name, size in SIZES.items():
        visit = Visit(browser, page_file, size)
        visit.wait_until_drawn()
        tops[name] = [visit.page.locator(".option").nth(k).bounding_box()["y"] for k in (0, 1)]
        visit.context.close()
    assert tops["laptop"][0] == tops["laptop"][1]
    assert tops["phone"][1] > tops["phone"][0] + 200


def test_without_script_the_picture_and_every_fact_remain(browser, page_file):
    visit = Visit(browser, page_file, SIZES["phone"], java_script_enabled=False)
    assert visit.page.locator("img.still").first.is_visible()
    assert not visit.page.locator(".controls").is_visible()
    for words in ("runs no script", "2010 long", "European oak", "Every board differs"):
        assert visit.page.get_by_text(words).first.is_visible(), words
    assert visit.page.locator("dt", has_text="After 10 years").is_visible()
    visit.context.close()


def test_without_webgl_the_picture_and_a_sentence_remain(browsers, page_file):
    visit = Visit(browsers("--disable-3d-apis"), page_file, SIZES["laptop"])
    assert visit.page.locator("img.still").first.is_visible()
    assert visit.page.get_by_text("cannot draw in three dimensions").is_visible()
    assert not visit.page.locator(".controls").is_visible()
    assert visit.outside() == [] and visit.faults == []
    visit.context.close()


# WCAG 2.2, 1.4.3: text against its ground 4.5 : 1 at least; relative luminance as defined there.
CONTRAST = """() => {
  const lum = (c) => {
    const [r, g, b] = c.match(/[\\d.]+/g).map((v) => v / 255)
      .map((v) => (v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4));
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  const ground = (e) => {
    for (; e; e = e.parentElement) {
      const c = getComputedStyle(e).backgroundColor;
      if (c !== "rgba(0, 0, 0, 0)") return c;
    }
    return "rgb(255, 255, 255)";
  };
  const worst = [];
  for (const e of document.querySelectorAll("h1, h2, p, label, span, button, figcaption, footer")) {
    if (!e.offsetParent || !e.textContent.trim()) continue;
    const [a, b] = [lum(getComputedStyle(e).color), lum(ground(e))].sort((x, y) => y - x);
    worst.push([(a + 0.05) / (b + 0.05), e.textContent.trim().slice(0, 40)]);
  }
  return worst.sort((x, y) => x[0] - y[0])[0];
}"""


def test_text_can_be_read(visit):
    ratio, words = visit.page.evaluate(CONTRAST)
    assert ratio >= 4.5, words


def test_every_control_has_a_name_and_takes_the_keyboard(visit):
    for control in visit.page.locator("input, button, canvas").all():
        if not control.is_visible():
            continue
        name = control.evaluate(
            "e => e.getAttribute('aria-label') || e.labels?.[0]?.textContent || e.textContent"
        )
        assert name.strip()
        control.focus()
        assert control.evaluate("e => e === document.activeElement")
