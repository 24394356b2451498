"""What mends a check is named beside it without being asked for, once the document rests."""

from __future__ import annotations

import asyncio
import re

import pytest
from test_panels import words

from studio_lib.commission import Brief, Commission, Item
from studio_lib.derive import derive
from studio_lib.finding import Verdict
from studio_lib.jobbook import open_book
from workbook import mending
from workbook.desk import Desk
from workbook.page import Page

SHELF_MM = "items.0.sizes.shelf_mm"


@pytest.fixture
def desk(tmp_path):
    book = open_book(tmp_path)
    sagging = Item(name="bookcase", form="bookcase", sizes={"width_mm": 1200.0, "uprights": 0, "shelf_mm": 15.0, "load_kg_m": 60.0})
    book.add(Commission(ref="2026-001", title="bookcase", brief=Brief(), items=(sagging,)).changed("timber.species", "European oak"))
    yield Desk(book)
    book.close()


def sag(desk):
    return next(f for f in desk.derived.size_findings if f.what == "sag" and f.verdict is Verdict.FAILS)


async def found(desk, of):
    for _ in range(600):
        said = mending.of(desk, 0)(of)
        if said[0] != mending.LOOKING:
            return said
        await asyncio.sleep(0.1)
    raise AssertionError("nothing was found in a minute")


def test_the_change_named_on_the_page_mends_the_check_when_made(desk):
    async def visit():
        panel = Page("sizes", desk).panel()
        assert mending.LOOKING in words(panel)
        await found(desk, sag(desk))
        await asyncio.sleep(0.2)
        desk.leave()
        return words(panel)

    text = asyncio.run(visit())
    shelf = float(re.search(r"Thickness of shelves (\d+) mm instead of 15 mm mends this", text)[1])
    after = derive(desk.commission.changed(SHELF_MM, shelf))
    assert not [f for f in after.size_findings if f.what == "sag" and f.verdict is Verdict.FAILS]


def test_a_changed_document_is_looked_at_anew_and_a_former_one_is_remembered(desk):
    async def visit():
        first = await found(desk, sag(desk))
        desk.change(SHELF_MM, 16.0)
        assert mending.of(desk, 0)(sag(desk)) == (mending.LOOKING, False)
        desk.change(SHELF_MM, 15.0)
        again = mending.of(desk, 0)(sag(desk))
        desk.leave()
        return first, again

    first, again = asyncio.run(visit())
    assert first == again and first[1]


def test_a_script_waits_for_nobody(desk):
    f = sag(desk)
    assert mending.of(desk, 0)(f) == ("", False)
