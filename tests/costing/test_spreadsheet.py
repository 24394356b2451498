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
