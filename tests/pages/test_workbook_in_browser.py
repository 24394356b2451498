"""The pages as a maker meets them in a plain JupyterLab of their own: a real browser, cells run by hand."""

import pytest

pytest.importorskip("playwright")

from lab import FLAGS, Visit, at_rest, lab, seen  # noqa: E402
from playwright.sync_api import expect, sync_playwright  # noqa: E402

PATIENCE_MS = 60_000


@pytest.fixture(scope="module")
def address(tmp_path_factory):
    with lab(tmp_path_factory.mktemp("book")) as where:
        yield where


@pytest.fixture(scope="module")
def context(chromium):
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=str(chromium), args=list(FLAGS))
        yield browser.new_context(viewport={"width": 1280, "height": 900})
        browser.close()


def test_a_typed_size_moves_figures_and_picture_and_a_bad_one_is_refused(context, address):
    visit = Visit(context, address, "03_sizes")
    page = visit.page
    canvas = page.locator("canvas").first
    canvas.scroll_into_view_if_needed()
    before = seen(page)
    box = page.get_by_label("Height, mm").first
    box.fill("780")
    box.press("Enter")
    page.wait_for_function("document.body.textContent.includes('x 780 mm')", timeout=15_000)
    at_rest(page)
    assert (seen(page) != before).any()
    box.fill("20000")
    box.press("Enter")
    page.wait_for_function("document.body.textContent.includes('give 350 to 1150 mm')", timeout=15_000)
    assert "x 780 mm" in visit.shown()
    page.close()


def test_the_next_page_opens_on_what_this_one_changed(context, address):
    visit = Visit(context, address, "06_boards")
    assert "774 x 75 x 75" in visit.shown(), "legs of a table 780 high, sawn 20 mm over"
    visit.page.close()


def test_a_slider_drag_leaves_no_queue(context, address):
    visit = Visit(context, address, "03_sizes")
    page = visit.page
    handle = page.locator(".noUi-handle").first
    handle.scroll_into_view_if_needed()
    box = handle.bounding_box()
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    page.mouse.down()
    for step in range(30):
        page.mouse.move(box["x"] + box["width"] / 2 + step, box["y"] + box["height"] / 2)
    page.evaluate("""() => {
        const told = () => [...document.querySelectorAll('.dw h2')].map((e) => e.textContent).find((t) => / x .* mm/.test(t));
        window.told = [told()];
        new MutationObserver(() => { if (told() && told() !== window.told.at(-1)) window.told.push(told()); })
            .observe(document.body, { childList: true, subtree: true, characterData: true });
    }""")
    page.mouse.up()
    typed = page.get_by_label("Length of top, mm").first
    expect(typed).not_to_have_value("2000", timeout=PATIENCE_MS)
    at_rest(page)
    page.wait_for_function(
        "box => [...document.querySelectorAll('.dw h2')].some(e => e.textContent.includes(`${box.value} x`))",
        arg=typed.element_handle(), timeout=PATIENCE_MS,
    )
    assert float(typed.input_value()) > 2010
    assert len(told := page.evaluate("window.told")) < 10, f"the page follows long after the hand has let go: {told}"
    page.close()


def test_every_open_page_follows_the_commission_taken_up_and_what_is_saved(context, address):
    record, first = Visit(context, address, "08_record"), Visit(context, address, "00_book")
    first.page.get_by_placeholder("title of a new commission").fill("Hall bench")
    first.page.get_by_role("button", name="Begin a new commission").click()
    for visit in (first, record):
        visit.page.bring_to_front()
        visit.page.locator(".dw .head", has_text="Hall bench").wait_for(timeout=20_000)
    first.page.bring_to_front()
    first.page.get_by_role("button", name="Take it up").last.click()
    record.page.bring_to_front()
    record.page.locator(".dw .head", has_text="Terrace table and stool").wait_for(timeout=20_000)
    assert record.errors == [] and first.errors == []
    record.page.close()
    first.page.close()
