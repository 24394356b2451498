"""The end of a board under a real mouse: three clicks draw its rings, a drag moves them, and the board cups."""

import pytest

pytest.importorskip("playwright")

from lab import FLAGS, Visit, at_rest, lab  # noqa: E402
from playwright.sync_api import sync_playwright  # noqa: E402

from studio_lib.jobbook import open_book  # noqa: E402


def test_three_clicks_draw_the_rings_and_a_drag_moves_them(tmp_path, chromium):
    with lab(tmp_path) as address, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=str(chromium), args=list(FLAGS))
        visit = Visit(browser.new_context(viewport={"width": 1280, "height": 1000}), address, "02_timber")
        page = visit.page
        page.get_by_text("Growth rings, and what a board does as it dries").click()
        end = page.locator("svg[aria-label^='End of the board']")
        end.scroll_into_view_if_needed()
        at_rest(page)
        box = end.bounding_box()

        def at(along, down):
            return box["x"] + along * box["width"], box["y"] + down * box["height"]

        for along, down in ((0.15, 0.75), (0.5, 0.3), (0.85, 0.75)):
            page.mouse.click(*at(along, down))
        page.wait_for_function("document.body.textContent.includes('degrees to the face, as drawn')", timeout=15_000)
        assert end.locator("circle[fill='#a3231b']").count() == 3
        assert end.locator("g circle").count() > 5, "rings about the heart"

        def kept():
            book = open_book(tmp_path)
            try:
                return book.open(book.current)[0].timber.rings.points
            finally:
                book.close()

        before = kept()
        page.mouse.move(*at(0.5, 0.3))
        page.mouse.down()
        page.mouse.move(*at(0.5, 0.45), steps=4)
        page.mouse.up()
        at_rest(page, 1_500)
        after = kept()
        assert after[0] == before[0] and after[2] == before[2]
        assert after[1][1] < before[1][1] - 2
        assert visit.errors == [] and visit.elsewhere == []
        browser.close()
