"""What the page says of a joint that does not hold: figures that differ, and remedies of its own kind."""

from types import SimpleNamespace

import pytest

from studio_lib.finding import Verdict, from_ratio
from studio_lib.piece import Screws
from studio_lib.structure.joint_checks import WAYS, mend_of


@pytest.mark.parametrize(("kind", "part"), [("mortise and tenon", "tenon"), ("dowels", "dowels"), ("screws", "screws"), ("halving", "tongue")])
def test_a_remedy_speaks_of_what_the_joint_has(kind, part):
    said = [mend_of(SimpleNamespace(kind=kind), way) for way in ("slide_wide", "slide_thin", "turn_thin", "twist")]
    assert all(part in words for words in said)
    assert part == "tongue" or not any("tongue" in mend_of(SimpleNamespace(kind=kind), way) for way in WAYS)


def test_a_row_of_screws_that_the_form_puts_in_is_mended_with_screws():
    row = Screws("slat on rail", "A-A1", "A-S1", 4, 4.5, 45.0)
    said = [mend_of(row, way) for way in WAYS]
    assert "screws" in mend_of(row, "slide_wide") and not any("tongue" in words for words in said)


def test_what_just_fails_is_told_with_a_figure_more():
    found = from_ratio("shelf", "sag", 2.94, 2.91, "mm", rule="", source="", mend="", stage="sizes")
    assert found.verdict is Verdict.FAILS and found.says == "2.94 mm of 2.91 mm"
