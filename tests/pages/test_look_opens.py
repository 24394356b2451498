"""The Look page of a chest as a maker uses it: one slider opens the lid, in the browser alone; a table has none."""

from __future__ import annotations

import numpy as np
import pytest

pytest.importorskip("playwright")

from lab import FLAGS, Visit, lab, seen  # noqa: E402
from playwright.sync_api import sync_playwright  # noqa: E402

from studio_lib.demo import demo  # noqa: E402
from studio_lib.jobbook import open_book  # noqa: E402


def of_one(form: str):
    """The demo's commission with one piece of that form in place of its own."""
    c = demo().changed("brief.place", "indoors, heated")
    return c.changed("items", [{"name": form, "form": form}])


def other(a, b) -> float:
    """Share of the picture that has become another colour."""
    return float((np.abs(a - b).max(axis=2) > 40).mean())


def test_one_slider_opens_what_opens_and_leaves_the_document_alone(tmp_path, chromium):
    book = open_book(tmp_path)
    book.add(of_one("chest"))
    ref = book.commissions()[0].ref
    with lab(tmp_path) as address, sync_playwright() as play:
        browser = play.chromium.launch(executable_path=str(chromium), args=list(FLAGS))
        context = browser.new_context(viewport={"width": 1280, "height": 1500})
        look = Visit(context, address, "05_look")
        page = look.page
        slider = page.locator(".widget-hslider").filter(has_text="Open")
        assert slider.count() == 1 and slider.is_visible()
        shut = seen(page)
        slider.locator(".noUi-handle, [role=slider]").first.focus()
        page.keyboard.press("End")
        opened = other(seen(page), shut)
        page.keyboard.press("Home")
        # The soft shadows of a picture at rest are drawn anew, which changes a few points of it.
        assert opened > 0.005 and other(seen(page), shut) < opened / 4
        document, number = open_book(tmp_path).open(ref)
        assert number == 1, "opening it changed the document"
        book.save(of_one("table").model_copy(update={"ref": document.ref}), number, "another piece")
        page.close()
        look = Visit(context, address, "05_look")
        assert look.page.locator(".widget-hslider").filter(has_text="Open").locator("visible=true").count() == 0
        browser.close()
