"""A bookcase in an alcove: what the walls beside it settle, and what nobody carries up a stair by itself."""

import pytest

from studio_lib.demo import demo
from studio_lib.derive import derive
from studio_lib.finding import Verdict
from studio_lib.forms import form

WALLS = [s.name for s in form("bookcase").sizes if s.group == "alcove"]


def in_an_alcove(**sizes):
    c = demo().changed("brief.place", "indoors, heated").changed("brief.use", "household").changed("timber.species", "European oak")
    c = c.changed("brief.most_length_mm", 1171.0).changed("brief.openings", [{"kind": "door", "name": "door", "width_mm": 740, "height_mm": 1980}])
    sizes = {"place": 1, **dict(zip(WALLS, (1184, 1171, 1184, 1171))), "height_mm": 2300, "wall": 0} | sizes
    return derive(c.changed("items", [{"name": "bookcase", "form": "bookcase", "sizes": sizes}]))


@pytest.fixture(scope="module")
def found():
    d = in_an_alcove(cases=1)
    return d, {f.what: f for f in d.size_findings}


def test_its_fillets_reach_the_walls_and_its_case_is_what_may_be_too_wide(found):
    d, said = found
    assert d.pieces[0].overall_mm[0] == pytest.approx(1184) and said["width, at the most"].verdict is Verdict.STANDS
    assert said["width, at the most"].demand == d.made[0].sizes["width_mm"] < 1171


def test_the_walls_beside_it_keep_it_from_swaying_sideways_only(found):
    _, said = found
    assert said["sway sideways"].verdict is Verdict.STANDS and said["sway sideways"].says.startswith("the walls of the alcove hold it")
    assert "alcove" not in said["sway from front to back"].says


def test_nobody_measures_a_stair_for_a_fillet(found):
    d, _ = found
    asked = {f.subject for f in d.size_findings if f.what.startswith("way in")}
    assert len(asked) == 2 and not any("fillet" in name for name in asked)
