"""The bench sheet on a telephone: a clock that survives the page, minutes at one touch, handed over to the workbook."""

import json

import pytest

pytest.importorskip("playwright")

from lab import FLAGS  # noqa: E402
from playwright.sync_api import sync_playwright  # noqa: E402

from studio_lib.costing.bench import bench_page_html  # noqa: E402
from studio_lib.costing.operations import standard_times  # noqa: E402
from studio_lib.costing.records import bench_entries  # noqa: E402
from studio_lib.demo import demo  # noqa: E402
from studio_lib.derive import derive  # noqa: E402


@pytest.fixture(scope="module")
def where(tmp_path_factory):
    path = tmp_path_factory.mktemp("bench") / "bench hours.html"
    path.write_text(bench_page_html(derive(demo())), "utf-8")
    return path.as_uri()


@pytest.fixture
def page(chromium, where):
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=str(chromium), args=list(FLAGS))
        page = browser.new_context(viewport={"width": 360, "height": 740}, has_touch=True).new_page()
        page.on("dialog", lambda d: d.accept())
        page.goto(where)
        yield page
        browser.close()


def handed_over(page):
    page.get_by_role("button", name="Copy as text").click()
    return page.locator("#text").input_value()


def test_minutes_at_two_touches_reach_the_document(page):
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    page.get_by_label("Operation").select_option("sand")
    page.get_by_role("button", name="45 minutes", exact=True).click()
    page.locator("#minutes").fill("12,5")
    page.get_by_label("spent on putting a mistake right").check()
    page.get_by_role("button", name="Write down").click()
    fresh, _ = bench_entries(handed_over(page), set(standard_times()), ())
    document = demo().changed("hours", fresh)
    written = sorted((h.operation, h.minutes, h.mistake) for h in document.hours)
    assert written == [("sand", 12.5, True), ("sand", 45, False)]


def test_a_clock_and_what_was_written_survive_the_page(page, where):
    page.get_by_label("Operation").select_option("glue up")
    page.get_by_role("button", name="20 minutes", exact=True).click()
    page.get_by_role("button", name="Start").click()
    stop = page.get_by_role("button", name="Stop: glue up")
    stop.wait_for()
    page.wait_for_timeout(500)  # a browser writes down what a page keeps a moment after it is asked to
    page.goto("about:blank")
    page.goto(where)
    stop.wait_for()
    assert stop.is_visible() and "glue up, 20 min" in page.locator("#list").inner_text()
    stop.click()
    assert page.locator("#list li").count() == 2 and page.get_by_role("button", name="Start").is_visible()


@pytest.mark.parametrize(
    ("typed", "says"), [("-5", "Give more than 0"), ("1800", "a day has 24"), ("ten", "Give more than 0")]
)
def test_bad_minutes_are_refused_beside_the_field(page, typed, says):
    page.locator("#minutes").fill(typed)
    page.get_by_role("button", name="Write down").click()
    assert says in page.locator("#said").inner_text()
    assert json.loads(handed_over(page))["hours"] == []
