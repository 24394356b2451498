"""The yard's page on a narrow screen: tick off, enter what is found, see what is covered, bring it home."""

import pytest

pytest.importorskip("playwright")

from lab import FLAGS  # noqa: E402
from playwright.sync_api import sync_playwright  # noqa: E402

from studio_lib.demo import demo  # noqa: E402
from studio_lib.derive import derive  # noqa: E402
from studio_lib.papers.boards import yard_page_html  # noqa: E402
from studio_lib.stock.reading import read_boards  # noqa: E402


@pytest.fixture()
def job():
    return demo()


@pytest.fixture()
def page(chromium, tmp_path, job):
    file = tmp_path / "yard.html"
    file.write_text(yard_page_html(derive(job)), "utf-8")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=str(chromium), args=list(FLAGS))
        page = browser.new_page(viewport={"width": 420, "height": 900})
        page.faults = []
        page.on("pageerror", lambda e: page.faults.append(str(e)))
        page.on("request", lambda r: page.faults.append(r.url) if not r.url.startswith("file:") else None)
        page.goto(file.as_uri())
        yield page
        assert page.faults == []
        browser.close()


def tick(page, *refs):
    for ref in refs:
        page.get_by_label(f"{ref} taken", exact=True).check()


def state(page) -> str:
    return page.locator("#state").inner_text()


def test_boards_are_ticked_until_the_list_is_covered(page):
    used = [ref for ref, _ in derive(demo()).layout.boards_used]
    assert "Not covered yet" in state(page) and "4 of A-L1" in state(page)
    tick(page, *used)
    assert "The list is covered" in state(page) and "Put back" not in state(page)
    # One board more than is needed can be put back, and it is said which.
    tick(page, "Y14")
    assert "Put back: " in state(page)
    over = page.evaluate("document.documentElement.scrollWidth - window.innerWidth")
    assert over <= 0, f"{over} px off the side of a telephone"


def test_a_worse_board_uncovers_the_list_and_what_is_found_comes_home(page):
    used = [ref for ref, _ in derive(demo()).layout.boards_used]
    tick(page, *used)
    card = page.locator(".board", has=page.get_by_label("Y13 taken", exact=True))
    card.get_by_role("button", name="Found").click()
    faults = page.get_by_label("Faults, from-to along")
    faults.fill("shake 0-1400 x 0-180")
    faults.press("Tab")
    assert "Not covered yet" in state(page) and "A-L1" in state(page)
    faults = page.get_by_label("Faults, from-to along")
    faults.fill("a bad bit")
    faults.press("Tab")
    assert 'Cannot read "a bad bit"' in page.locator("#load").inner_text()
    faults = page.get_by_label("Faults, from-to along")
    faults.fill("end check 0-40 x 0-180")
    faults.press("Tab")
    assert "The list is covered" in state(page)
    found = {b["ref"]: b for b in read_boards(page.locator("#out").input_value())}
    assert found["Y13"]["faults"][0]["x1_mm"] == 40 and found["Y13"]["state"] == "taken"
    assert found["Y1"]["state"] == "put back"


@pytest.mark.parametrize("job", [demo().changed("showing.lengths", "in").changed("showing.finest", 16)], ids=["inches"])
def test_in_inches_what_is_typed_and_taken_home_is_in_inches(page, job):
    words = page.locator("body").inner_text()
    assert " in\n" in words and " mm" not in words
    tick(page, "Y13")
    card = page.locator(".board", has=page.get_by_label("Y13 taken", exact=True))
    card.get_by_role("button", name="Found").click()
    page.get_by_label("Length, in").fill("94 1/2")
    page.get_by_label("Length, in").press("Tab")
    faults = page.get_by_label("Faults, from-to along")
    faults.fill("end check 0-1 1/2 x 0-7")
    faults.press("Tab")
    assert "Cannot read" not in page.locator("#load").inner_text()
    found = {b["ref"]: b for b in read_boards(page.locator("#out").input_value(), job.shown)}
    assert found["Y13"]["length_mm"] == 2400.3 and found["Y13"]["faults"][0]["x1_mm"] == 38.1
    # Boards nobody touched come home as they went out, to the hundredth of a mm.
    boards = {b.ref: b for b in derive(job).offered}
    kept = boards["Y1"]
    assert [f["x0_mm"] for f in found["Y2"]["faults"]] == [f.x0_mm for f in boards["Y2"].faults] != []
    assert (found["Y1"]["length_mm"], found["Y1"]["width_mm"], found["Y1"]["thickness_mm"]) == (kept.length_mm, kept.width_mm, kept.thickness_mm)
