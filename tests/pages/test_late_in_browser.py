"""A widget whose module is long in loading, as on a slow computer, still shows what the kernel says."""

from __future__ import annotations

import nbformat
import pytest

pytest.importorskip("playwright")

from lab import FLAGS, Visit, lab  # noqa: E402
from playwright.sync_api import sync_playwright  # noqa: E402

LOADS_S = 3
KIND = f"""
from workbook.pointing import Rows
class Slow(Rows):
    _esm = "await new Promise((done) => setTimeout(done, {LOADS_S}000));" + Rows._esm
rows = Slow(value="<div class='dw'><p class='head'>opened</p></div>")
rows
"""
WHILE_IT_LOADS = "import time; time.sleep(1); rows.value += '<p class=\"meanwhile\">while it loads</p>'"
AFTER = f"time.sleep({LOADS_S + 1}); rows.value += '<p class=\"after\">after</p>'"


def test_a_table_that_loads_late_shows_what_it_missed_and_follows(tmp_path, chromium):
    with lab(tmp_path) as address, sync_playwright() as play:
        page = nbformat.v4.new_notebook(cells=[nbformat.v4.new_code_cell(c) for c in (KIND, WHILE_IT_LOADS, AFTER)])
        page.metadata.kernelspec = {"name": "python3", "display_name": "Python 3", "language": "python"}
        nbformat.write(page, tmp_path / "pages" / "slow.ipynb")
        browser = play.chromium.launch(executable_path=str(chromium), args=list(FLAGS))
        visit = Visit(browser.new_context(viewport={"width": 1280, "height": 1000}), address, "slow")
        visit.page.wait_for_selector(".dw + .meanwhile", timeout=30_000)
        visit.page.wait_for_selector(".dw + .meanwhile + .after", timeout=30_000)
        assert visit.errors == []
        browser.close()
