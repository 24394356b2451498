"""The pages as files: thin, in order, their closing summaries stored, few exemptions."""

import re
from pathlib import Path

import nbformat
import pytest

PAGES = sorted(Path(__file__).resolve().parents[1].joinpath("notebooks").glob("*.ipynb"))
EXEMPT_ON_A_PAGE = 1
"""Only the cell that shows the panel; everything else is compared strictly."""


def cells(path, kind):
    return [c for c in nbformat.read(path, as_version=4).cells if c.cell_type == kind]


def test_there_is_a_page_for_every_stage_in_order():
    from workbook.page import STAGES

    assert [p.stem for p in PAGES] == [f"{i:02d}_{s}" for i, s in enumerate(STAGES)]


def test_exemptions_are_counted():
    exempt = [
        (p.name, c.source) for p in PAGES for c in cells(p, "code")
        if "nbval-ignore-output" in c.metadata.get("tags", [])
    ]
    assert len(exempt) == EXEMPT_ON_A_PAGE * len(PAGES)
    assert {source for _, source in exempt} == {"page.panel()"}
    everything = " ".join(c.source for p in PAGES for c in cells(p, "code"))
    assert "NBVAL" not in everything


@pytest.mark.parametrize("path", PAGES, ids=lambda p: p.stem)
def test_the_closing_summary_is_stored(path):
    last = cells(path, "code")[-1]
    assert last.source == "page.summary()"
    assert len(last.outputs) == 1 and len(last.outputs[0].text.splitlines()) >= 3
    opening, panel = cells(path, "code")[:-1]
    assert opening.outputs == []
    assert "Run All Cells" in panel.outputs[0].data["text/markdown"], "what to do until the page has run"


@pytest.mark.parametrize("path", PAGES, ids=lambda p: p.stem)
def test_a_page_is_thin(path):
    for cell in cells(path, "code"):
        lines = [line for line in cell.source.splitlines() if line.strip()]
        assert len(lines) <= 3
        assert not re.search(r"\b(def|for|while|lambda|class)\b|[-+*/]\s*\d", cell.source)
        assert not re.search(r"^\s*(import|from)\s+(?!workbook\b)", cell.source, re.M)


@pytest.mark.parametrize("path", PAGES, ids=lambda p: p.stem)
def test_a_page_links_to_every_other_even_before_it_has_run(path):
    last = cells(path, "markdown")[-1].source
    for other in PAGES:
        assert (f"({other.name})" in last) == (other != path)


def test_pages_are_called_the_same_everywhere():
    from workbook.page import STAGES
    from workbook.parts import PAGES as NAMED

    assert list(NAMED) == list(STAGES)
    assert [f"{file}.ipynb" for file, _ in NAMED.values()] == [p.name for p in PAGES]
    road = cells(PAGES[0], "markdown")[-1].source
    for file, name in list(NAMED.values())[1:]:
        assert f"[{name}]({file}.ipynb)" in road
