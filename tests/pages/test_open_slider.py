"""The workbook opened as a maker opens it: one command, then pages that run by themselves."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from workbook.page import STAGES

ROOT = Path(__file__).resolve().parents[2]
FLAGS = [
    "--headless", "--no-sandbox", "--enable-unsafe-swiftshader", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
]
PATIENCE_MS = 120_000


def command(*words):
    return [sys.executable, "-m", "workbook.launch.inside", "--no-browser", *words]


@pytest.fixture(scope="module")
def opened(tmp_path_factory):
    """A workbook that is open on a new job book: its address, its folder, and how to open it again."""
    home = tmp_path_factory.mktemp("home")
    env = os.environ | {
        "JOB_BOOK": str(home / "book"), "XDG_STATE_HOME": str(home), "HOME": str(home), "PYTHONPATH": str(ROOT)
    }
    start = subprocess.Popen(command(), env=env, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
    try:
        address = next(m[0] for line in start.stdout if (m := re.search(r"http://\S+", line)))
        yield address, home / "book", env
    finally:
        start.terminate()
        try:
            said, _ = start.communicate(timeout=30)
        except subprocess.TimeoutExpired:
            start.kill()
            raise
        assert start.returncode == 0 and "Traceback" not in said, said


@pytest.fixture(scope="module")
def browser(chromium):
    sync_api = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
    with sync_api.sync_playwright() as play:
        started = play.chromium.launch(executable_path=chromium, args=FLAGS)
        yield started
        started.close()


@pytest.fixture
def window(browser, opened):
    page = browser.new_page(viewport={"width": 1280, "height": 900})
    page.set_default_timeout(PATIENCE_MS)
    page.asked, page.faults = [], []
    page.on("request", lambda r: page.asked.append(r.url))
    page.on("pageerror", lambda e: page.faults.append(str(e)))
    page.goto(opened[0])
    yield page
    page.close()


def brought_to_life(window, name):
    """Wait until that page's panel stands, with nobody having pressed anything in it."""
    window.wait_for_url(re.compile(re.escape(name)))
    window.locator(".jp-NotebookPanel:not(.lm-mod-hidden) .jupyter-widgets").first.wait_for()


def test_the_first_page_runs_by_itself_and_links_to_one_that_does(window):
    brought_to_life(window, "00_book.ipynb")
    assert window.locator(".jp-Dialog").count() == 0, "something is asked at the first start"
    assert window.get_by_text("Would you like to").count() == 0
    window.locator(".jp-NotebookPanel:not(.lm-mod-hidden) a", has_text="Timber").first.click()
    brought_to_life(window, "02_timber.ipynb")
    outside = [u for u in window.asked if not u.startswith(("http://127.0.0.1:", "ws://127.0.0.1:", "data:", "blob:"))]
    assert outside == [] and window.faults == []


def test_code_is_folded_away(window):
    brought_to_life(window, "00_book.ipynb")
    assert window.locator(".jp-CodeCell .jp-InputArea-editor:visible").count() == 0


def test_without_the_token_nothing_is_shown(browser, opened):
    with_token = opened[0]
    page = browser.new_page()
    page.goto(with_token.split("?")[0])
    assert "/login" in page.url
    page.close()


def test_a_second_start_leads_to_the_one_that_is_open(opened):
    address, _, env = opened
    again = subprocess.run(command(), env=env, capture_output=True, text=True, timeout=60)
    assert again.returncode == 0 and address in again.stdout


def test_the_job_book_holds_the_pages_and_the_demo(opened):
    book = opened[1]
    assert len(list((book / "pages").glob("[0-9][0-9]_*.ipynb"))) == len(STAGES)
    assert (book / "job book.sqlite").is_file()
