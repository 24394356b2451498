"""A porch bench with a back and arms for two and a visitor, out of doors: what its maker is told of it."""

import re

import pytest

from studio_lib.commission import Brief, Commission
from studio_lib.derive import derive
from studio_lib.forms import make
from studio_lib.structure.strength import Wood
from studio_lib.structure.whole import whole_findings


def porch(brief=None, **sizes):
    c = Commission(ref="P-1", title="porch bench", brief=Brief(
        people=3, place="outdoors, under cover", frail=True, heft="chunky", metal="none to be seen", finish="left bare", **(brief or {})))
    return c.changed("timber.species", "Iroko").changed("items", [{
        "name": "Bench", "form": "bench", "sizes": {"depth_mm": 430, "length_mm": 1800, "middle_frames": 0, **sizes}}])


# ---------------------------------------------------------------- what decides


def test_the_share_of_a_joint_is_the_sum_of_the_shares_that_are_told():
    found = [f for f in derive(porch()).joint_findings if "; and " in f.says and "in all" in f.says]
    assert found
    for f in found:
        *parts, total = [int(p) for p in re.findall(r"(\d+) %", f.says)]
        assert sum(parts) == total
        used, most = map(float, re.search(r"([\d.]+) of ([\d.]+) N", f.says).groups())
        assert parts[0] == pytest.approx(100 * used / most, abs=1.5)  # both are printed in whole figures


@pytest.mark.parametrize("form", ["bench", "table"])
def test_a_shove_from_front_to_back_is_not_called_sideways_or_along(form):
    wood = Wood("made for this test", 700.0, 12_000.0, 105.0, 12.0)
    rules = {f"{f.what}: {f.rule}" for f in whole_findings(make(form, Brief(people=3), timber="oak"), {"oak": wood}, "outdoors, under cover", "household")}
    back = [r for r in rules if "from front to back" in r]
    assert back and not any("sideways" in r or "along" in r for r in back)
