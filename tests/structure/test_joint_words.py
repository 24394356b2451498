"""What the page says of a joint that does not hold: figures that differ, and remedies of its own kind."""

from types import SimpleNamespace

import pytest

from studio_lib.finding import Verdict, from_ratio
from studio_lib.structure.joint_checks import WAYS, mend_of


@pytest.mark.parametrize(("kind", "part"), [("mortise and tenon", "tenon"), ("dowels", "dowels"), ("screws", "screws"), ("halving", "tongue")])
def test_a_remedy_speaks_of_what_the_joint_has(kind, part):
    said = [mend_of(SimpleNamespace(kind=kind), way) for way in ("slide_wide", "slide_thin", "turn_thin", "twist")]
    assert all(part in words for words in said)
    assert part == "tongue" or not any("tongue" in mend_of(SimpleNamespace(kind=kind), way) for way in WAYS)


def test_what_just_fails_is_told_with_a_figure_more():
    found = from_ratio("shelf", "sag", 2.94, 2.91, "mm", rule="", source="", mend="", stage="sizes")
    assert found.verdict is Verdict.FAILS and found.says == "2.94 of 2.91 mm"
