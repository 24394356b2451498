"""Hardware that joints ask for reaches the price and the paper, and nothing bought goes unpriced."""

import pytest

from studio_lib.commission import Brief
from studio_lib.costing.operations import count_work, standard_times
from studio_lib.costing.price import consumable_lines, hardware_lines
from studio_lib.forms import FORMS, make

STANDING = [f for f in FORMS if f != "freehand"]


@pytest.mark.parametrize("form", STANDING)
def test_every_piece_of_hardware_is_counted_and_priced(form):
    piece = make(form, Brief(), timber="oak")
    lines = hardware_lines([(piece, 2)])
    asked = sum(h.count for j in piece.joints for h in j.hardware(piece))
    assert float(sum(line.quantity for line in lines)) == pytest.approx(2 * asked, abs=0.02)
    assert all(line.rate > 0 and "a guess" not in line.source for line in lines)
    assert {line.what for line in lines} <= {line.what for line in consumable_lines([(piece, 2)], "oil")}


@pytest.mark.parametrize("form", STANDING)
def test_every_operation_of_every_form_has_a_time(form):
    piece = make(form, Brief(), timber="oak")
    work = count_work([(piece, 1)], 3, "oil")
    assert {w.time.operation for w in work} <= set(standard_times()) and all(w.count > 0 for w in work)
