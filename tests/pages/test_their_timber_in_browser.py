"""The client's old boards in a real browser: entered on Brief, chosen on Timber, counted on Boards, told on Price."""

import pytest

pytest.importorskip("playwright")

from lab import FLAGS, Visit, at_rest, lab  # noqa: E402
from playwright.sync_api import sync_playwright  # noqa: E402

from studio_lib.commission import Commission  # noqa: E402
from studio_lib.jobbook import open_book  # noqa: E402


def holding(page, value: str):
    """The number box that holds a value; None where none does."""
    return next((box for box in page.locator("input[type=number]").all() if box.input_value() == value), None)


def test_fence_boards_entered_on_the_brief_go_with_the_job(tmp_path, chromium):
    book = open_book(tmp_path)
    book.add(Commission(ref="CHEST-1", title="a chest from our old fence", items=[{"name": "chest", "form": "chest"}]))
    book.take_up("CHEST-1")
    book.close()
    with lab(tmp_path) as address, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=str(chromium), args=list(FLAGS))
        context = browser.new_context(viewport={"width": 1280, "height": 1000})
        brief = Visit(context, address, "01_brief")
        page = brief.page
        page.get_by_text("Their own timber", exact=True).last.click()
        page.get_by_label("The client brings timber").check()
        at_rest(page)
        for label, value in (("Boards", "14"), ("Length, mm", "1800"), ("Width, mm", "140"), ("Thick, mm", "25")):
            box = page.get_by_label(label, exact=True).last
            box.fill(value)
            box.press("Tab")
        page.get_by_label("Timber", exact=True).last.select_option(label="European larch")
        page.get_by_role("button", name="Add boards of theirs").click()
        at_rest(page)
        page.get_by_label("What it was before").select_option(label="used outdoors: fence, deck, barn")
        at_rest(page)
        assert "nobody has looked for metal in it yet" in brief.shown() and "Local codes" in brief.shown()

        timber = Visit(context, address, "02_timber")
        first = timber.page.locator(".dw h2").first
        assert first.inner_text() == "The client's own timber"
        timber.page.get_by_role("button", name="Make it of the client's European larch").click()
        at_rest(timber.page)
        assert "It is chosen." in timber.words

        boards = Visit(context, address, "06_boards")
        assert "Of the client's 14 boards" in boards.words and "go back to the client" in boards.words
        many = holding(boards.page, "14")
        many.fill("6")
        many.press("Tab")
        at_rest(boards.page)
        at_rest(page)
        assert holding(page, "6") is not None, "the brief follows"

        price = Visit(context, address, "07_price")
        assert "Of the client's 6 boards" in price.words and "by volume" in price.words
        for visit in (brief, timber, boards, price):
            assert visit.errors == [] and visit.elsewhere == []
        browser.close()
