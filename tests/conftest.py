"""What the tests of every folder share: a browser, and a job book that is nobody's."""

from __future__ import annotations

import os
import shutil

import pytest
from hypothesis import settings

settings.register_profile("any machine", deadline=None)  # how fast an example is says nothing of whether it holds
settings.load_profile("any machine")


@pytest.fixture(scope="session")
def chromium() -> str:
    """Path of a Chromium. Without one its tests are skipped here, and fail where CI is set."""
    found = os.environ.get("CHROMIUM") or shutil.which("chromium") or shutil.which("chromium-browser")
    if found:
        return found
    why = "There is no Chromium on this machine (on Debian: apt install chromium)."
    if os.environ.get("CI"):
        pytest.fail(why)
    pytest.skip(why)


@pytest.fixture
def scratch_book(tmp_path, monkeypatch):
    """Folder of a fresh job book that holds the demo commission; JOB_BOOK names it."""
    from studio_lib.demo import demo
    from studio_lib.jobbook import open_book

    folder = tmp_path / "job book"
    monkeypatch.setenv("JOB_BOOK", str(folder))
    book = open_book(folder)
    document = demo()
    book.add(document)
    book.take_up(document.ref)
    book.close()
    return folder
