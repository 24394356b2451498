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


# ---------------------------------------------------------------- notes beside the sizes


def test_what_legs_are_dressed_from_is_what_the_cutting_list_asks_for():
    for dressing in (5.0, 8.0):
        d = derive(porch().changed("boards.dressing_mm", dressing))
        row = next(r for r in d.cutting_list if r.role == "leg")
        assert f"{row.sawn_mm(d.allowances)[2]:.0f} mm sawn" in d.made[0].proposals["leg_mm"].why


def test_beside_a_size_of_the_makers_own_stands_what_is_proposed_for_the_piece_as_it_is():
    """1800 mm long on legs of 67 mm: one bay of 1666 mm is wider than 1250 mm, so a pair of legs between is proposed."""
    d = derive(porch())
    proposal, sizes = d.made[0].proposals["middle_frames"], d.made[0].sizes
    assert sizes["middle_frames"] == 0 and proposal.value == 1 and "no bay wider than 1250 mm" in proposal.why
    short = derive(porch(length_mm=1200)).made[0].proposals["middle_frames"]
    assert short.value == 0 and "no bay wider" not in short.why
    assert derive(porch(leg_mm=80)).made[0].proposals["leg_mm"].value == 67


# ---------------------------------------------------------------- a back of rails along


@pytest.mark.parametrize("more", [{}, {"middle_frames": 1}, {"back": 1}, {"back": 1, "length_mm": 2200}, {"length_mm": 1200}])
@pytest.mark.parametrize("use", ["household", "public"])
def test_a_back_of_rails_along_is_filled_as_its_note_says_and_holds(more, use):
    d = derive(porch({"use": use}, fill=1, **more))
    made, one = d.made[0], derive(porch({"use": use}, fill=1, **more)).pieces[0]
    rails = [m for m in one.members if m.role == "back rail" and "bay 2" not in m.name]
    lean = rails[0].placement.across
    lows = sorted(sum(a * b for a, b in zip(m.placement.origin, lean)) for m in rails)
    gaps = [b - a - rails[0].width_mm for a, b in zip(lows, lows[1:])]
    assert len(rails) >= 3 and 20 <= min(gaps) and max(gaps) <= 80
    assert abs(float(re.search(r"gaps of (\d+) mm", made.proposals["back_count"].why)[1]) - gaps[0]) < 1
    assert not [f.says for f in d.findings if f.subject.startswith("back rail") and f.verdict.value == "will not do"]


# ---------------------------------------------------------------- who sits on it

# ANSUR II, the broadest 5 of 100 rows of three: shoulders 522 mm each, hips 422 mm each, and 50 mm of clothes out of doors.
@pytest.mark.parametrize(("length", "sitting", "verdict"), [
    (1900, 0, "stands"), (1800, 0, "look again"), (1800, 1, "stands"), (1600, 0, "look again"), (1500, 0, "will not do"), (1500, 1, "will not do"),
])
def test_two_and_a_visitor_sit_close_by_agreement_and_are_never_squeezed_below_their_hips(length, sitting, verdict):
    d = derive(porch(length_mm=length, sitting=sitting))
    found = next(f for f in d.findings if f.what == "length for each sitter")
    assert found.verdict.value == verdict
    assert bool(found.mend) == (verdict != "stands")
    if verdict == "look again":
        assert "'close at times' under They sit" in found.mend
        beside = d.suits(0)["length_mm"].says.partition(";")[0]
        assert re.search(r"(\d+) in 100", found.says)[1] == re.search(r"(\d+) of 100", beside)[1]
        assert re.search(r"^(\d+) mm", found.says)[1] == re.search(r"^(\d+) mm", beside)[1]
