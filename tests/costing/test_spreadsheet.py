"""The spreadsheet: figures that agree with the page, and words that never run as formulas."""

import io
from datetime import date

import openpyxl
import pytest

from studio_lib.costing.sheets import costing_xlsx
from studio_lib.demo import demo
from studio_lib.derive import derive

EVIL = '=HYPERLINK("x","y")'


@pytest.fixture(scope="module")
def book():
    document = (
        demo()
        .changed("rates.bought_in", [{"what": EVIL, "price": "12"}])
        .changed("hours", [{"day": "2026-11-20", "operation": "sand", "minutes": 30, "note": "+1+1\x07"}])
    )
    d = derive(document)
    raw = costing_xlsx(d, date(2026, 11, 25))
    return d, openpyxl.load_workbook(io.BytesIO(raw)), openpyxl.load_workbook(io.BytesIO(raw), data_only=True)


def test_what_a_client_or_supplier_wrote_is_text(book):
    _, sheets, _ = book
    texts = [c for s in sheets for row in s.iter_rows() for c in row if c.value in (EVIL, "+1+1")]
    assert len(texts) == 2 and all(c.data_type == "s" for c in texts)
    formulas = [c.value for s in sheets for row in s.iter_rows() for c in row if c.data_type == "f"]
    assert formulas and all(f.startswith("=SUM(") for f in formulas)


def test_its_figures_are_those_of_the_page(book):
    d, _, values = book
    p = d.price
    assert [row[1].value for row in values["Quote"].iter_rows(min_row=2)] == [
        *(float(a) for _, a in p.quoted),
        pytest.approx(float(sum(a for _, a in p.quoted))),
    ]
    hours = list(values["Hours"].iter_rows(min_row=2, values_only=True))
    assert len(hours) == len(p.labour) + 1 and hours[0][1] == p.labour[0].work.time.operation
    for name in ("By stage", "By decision", "By member", "By joint"):
        rows = [r for r in values[name].iter_rows(min_row=2, values_only=True)]
        assert rows[-1][1] == pytest.approx(float(p.net)) == pytest.approx(sum(r[1] for r in rows[:-1]))


def _both(sheet: str) -> list[list[tuple]]:
    """The rows of a sheet in a job in millimetres, and in one in inches."""
    made = (costing_xlsx(derive(demo().changed("showing.lengths", lengths)), date(2026, 11, 25)) for lengths in ("mm", "in"))
    return [list(openpyxl.load_workbook(io.BytesIO(raw), data_only=True)[sheet].iter_rows(min_row=2, values_only=True)) for raw in made]


def test_a_job_in_inches_is_counted_in_feet_and_pounds_at_the_same_sums():
    # NIST Special Publication 811 (2008), appendix B.8: 1 ft = 0.3048 m, 1 lb = 0.45359237 kg, 1 ft2 = 0.09290304 m2.
    there, here = _both("Bought")
    glue, theirs = (next(r for r in rows if r[1] == "glue") for rows in (there, here))
    assert (glue[3], theirs[3]) == ("kg", "lb") and theirs[2] == pytest.approx(glue[2] / 0.45359237, rel=1e-3)
    assert theirs[4] * theirs[2] == pytest.approx(glue[4] * glue[2], rel=1e-3) and theirs[5] == glue[5]
    assert any("94 1/2 x 8 7/8 x 1 1/4 in" in str(r[1]) for r in here) and not any(" mm" in str(r[1]) for r in here)
    planed, here = ([r for r in rows if r[1] == "face and edge"] for rows in _both("Hours"))
    assert {r[4] for r in here} == {"foot"} and here[0][3] == pytest.approx(planed[0][3] / 0.3048, abs=0.005 / 0.3048 + 0.005)  # both are rounded to 0.01
    sanded, here = ([r for r in rows if r[1] == "sand"] for rows in _both("Hours"))
    assert {r[4] for r in here} == {"sq ft a grit"} and here[0][3] == pytest.approx(sanded[0][3] / 0.09290304, rel=5e-3)
    assert [r[7:11] for r in here] == [r[7:11] for r in sanded]
