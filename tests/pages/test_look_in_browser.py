"""The Look page as a maker uses it, and the pages with a picture where the browser cannot draw."""

from __future__ import annotations

import numpy as np
import pytest

pytest.importorskip("playwright")

from lab import FLAGS, Visit, lab, seen  # noqa: E402
from playwright.sync_api import sync_playwright  # noqa: E402

from studio_lib.jobbook import open_book  # noqa: E402


@pytest.fixture(scope="module")
def book(tmp_path_factory):
    return tmp_path_factory.mktemp("book")


@pytest.fixture(scope="module")
def address(book):
    with lab(book) as where:
        yield where


@pytest.fixture(scope="module")
def play():
    with sync_playwright() as started:
        yield started


@pytest.fixture(scope="module")
def context(play, chromium):
    browser = play.chromium.launch(executable_path=str(chromium), args=list(FLAGS))
    yield browser.new_context(viewport={"width": 1280, "height": 1600})
    browser.close()


@pytest.fixture
def look(context, address):
    visit = Visit(context, address, "05_look")
    yield visit
    assert visit.errors == [] and visit.elsewhere == []
    visit.page.close()


def test_a_row_lights_its_members_and_a_member_its_row(look):
    page = look.page
    before = seen(page)
    page.get_by_text("terrace table: apron, front and back").hover()
    assert (np.abs(seen(page) - before).max(axis=2) > 40).mean() > 0.001
    box = page.locator("canvas").first.bounding_box()
    page.mouse.move(box["x"] + 0.35 * box["width"], box["y"] + 0.5 * box["height"])
    page.wait_for_selector("tr.lit")
    assert "slat" in page.locator("tr.lit").first.inner_text()


def come_to_rest(page):
    """The picture once it has been the same for two seconds: a busy machine begins to draw late."""
    last, same = seen(page), 0
    for _ in range(40):
        page.wait_for_timeout(500)
        now = seen(page)
        same = same + 1 if np.abs(now - last).mean() < 0.2 else 0
        last = now
        if same == 4:
            break
    return last


def test_a_view_is_kept_with_the_commission_and_shown_again(look, book):
    page = look.page
    page.locator("canvas").first.focus()
    for _ in range(6):
        page.keyboard.press("ArrowRight")
    page.get_by_label("Section", exact=True).select_option(label="cut across its width")
    page.get_by_label("Surface", exact=True).select_option(label="oiled once, then left")
    kept = come_to_rest(page)
    page.get_by_placeholder("a name, as: from the door").fill("from the side")
    page.keyboard.press("Tab")
    page.get_by_text("Keep this view").click()
    again = page.get_by_role("button", name="from the side").first
    again.wait_for()
    document, _ = open_book(book).open("C26-001")
    view = document.views[-1]
    assert (view.name, view.cut, view.care) == ("from the side", "width", "oiled once, then left") and view.eye_from
    page.get_by_role("button", name="First view", exact=True).click()
    assert np.abs(seen(page) - kept).mean() > 3
    again.click()
    for _ in range(20):  # a busy machine begins to draw it late
        if np.abs(seen(page) - kept).mean() < 1:
            break
        page.wait_for_timeout(500)
    assert np.abs(seen(page) - kept).mean() < 1


@pytest.mark.parametrize("name", ["03_sizes", "05_look"])
def test_without_webgl_a_still_picture_takes_its_place_and_follows(play, chromium, address, name):
    flags = [f for f in FLAGS if "swiftshader" not in f] + ["--disable-3d-apis"]
    browser = play.chromium.launch(executable_path=str(chromium), args=flags)
    visit = Visit(browser.new_context(viewport={"width": 1280, "height": 1400}), address, name)
    page = visit.page
    page.get_by_text("cannot draw in three dimensions").first.wait_for()
    picture = page.locator("img[alt='Still picture of the piece']").first
    page.wait_for_function("document.querySelector(\"img[alt='Still picture of the piece']\").naturalWidth > 600", timeout=30_000)
    assert picture.is_visible()
    if name == "03_sizes":
        was = picture.get_attribute("src")
        box = page.get_by_label("Height, mm").first
        box.fill("760")
        box.press("Enter")
        page.wait_for_function(
            "(was) => document.querySelector(\"img[alt='Still picture of the piece']\").src !== was", arg=was, timeout=30_000
        )
    assert visit.errors == []
    browser.close()
