"""For developers: run every page on a fresh demo book and store the closing summaries.

    python -m workbook.refresh

Only the summary cells keep output; cells that show widgets keep a word on how to run the page. Look at the
difference before committing it: a changed summary is a changed answer.
"""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

import nbformat
from nbclient import NotebookClient

PAGES = Path(__file__).resolve().parents[1] / "notebooks"


NOT_YET = "*This page fills by itself. If nothing shows here after some seconds, choose Run, then Run All Cells, from the menu above.*"
"""Stands where the panel will be, until the page has run."""


def refresh(path: Path) -> None:
    """Run one page and store what its summary printed."""
    page = nbformat.read(path, as_version=4)
    NotebookClient(page, timeout=180, kernel_name="python3").execute()
    for number, cell in enumerate(page.cells):
        cell.id = f"{path.stem}-{number}"
        if cell.cell_type != "code":
            continue
        cell.metadata.pop("execution", None)
        cell.execution_count = sum(c.cell_type == "code" for c in page.cells[: number + 1])
        if "nbval-ignore-output" in cell.metadata.get("tags", []):
            cell.outputs = [nbformat.v4.new_output("display_data", {"text/markdown": NOT_YET, "text/plain": NOT_YET})]
    page.metadata = nbformat.from_dict({
        "kernelspec": {"display_name": "Python 3", "language": "python", "name": "python3"},
        "language_info": {"name": "python"},
    })
    nbformat.write(page, path)


def main() -> None:
    with tempfile.TemporaryDirectory() as book:
        os.environ["JOB_BOOK"] = book
        for path in sorted(PAGES.glob("*.ipynb")):
            print(path.name, flush=True)
            refresh(path)


if __name__ == "__main__":
    main()
