"""From quote to final invoice: numbers in sequence, differences, and a last invoice that closes the account."""

from datetime import date
from decimal import Decimal

import pytest

from studio_lib.costing import billing
from studio_lib.demo import demo
from studio_lib.derive import derive

DAY = date(2026, 11, 25)


def issued(document, paper, agreed=DAY):
    rows = billing.with_issued(document, paper.model_copy(update={"agreed": agreed}))
    return document.changed("issued", rows)


def quoted(document=None, agreed=DAY):
    document = document or demo()
    return issued(document, billing.quote_issued(document, derive(document).price, 1, DAY), agreed)


def test_a_job_from_quote_to_last_invoice_closes_to_the_cent():
    c = quoted().changed(
        "rates.stages",
        [
            {"share": 0.3333, "event": "with the order"},
            {"share": 0.3333, "event": "when the frame stands dry"},
            {"share": 0.3334, "event": "before delivery"},
        ],
    )
    first = billing.invoice_issued(c, 1, DAY)
    c = issued(c, first)
    longer = c.changed("items.0.sizes.length_mm", 2200)
    says = billing.changes_since(c, longer)
    assert says == ("terrace table, length of top: 2010 -> 2200 mm",)
    v = billing.variation_issued(longer, derive(longer).price, 2, DAY, says, 2)
    assert v.gross == derive(longer).price.gross - derive(demo()).price.gross > 0 and v.net + v.tax == v.gross
    longer = issued(longer, v)
    second = billing.invoice_issued(longer, 2, DAY)
    longer = issued(longer, second)
    last = billing.invoice_issued(longer, 2, DAY)
    done = issued(longer, last)
    assert [i.kind for i in done.issued] == ["quote", "deposit", "variation", "stage", "invoice"]
    assert [i.number for i in done.issued] == [f"C26-001-{n}" for n in ("Q1", "I1", "V1", "I2", "I3")]
    a = billing.account(done)
    assert a.agreed == derive(longer).price.gross == a.asked and a.rest == 0
    for part in ("net", "tax", "gross"):
        asked = sum((getattr(i, part) for i in a.invoices), Decimal(0))
        assert asked == getattr(derive(longer).price, part)
    with pytest.raises(ValueError, match="All that was agreed"):
        billing.invoice_issued(done, 2, DAY)


def test_a_change_taken_back_is_a_variation_in_the_clients_favour():
    c = quoted()
    shorter = c.changed("items.0.sizes.length_mm", 1600)
    v = billing.variation_issued(shorter, derive(shorter).price, 2, DAY, ("shorter",), 0)
    assert v.gross < 0 and v.net + v.tax == v.gross


@pytest.mark.parametrize(
    ("document", "act", "says"),
    [
        (demo(), lambda c: billing.invoice_issued(c, 1, DAY), "No quote has been accepted"),
        (quoted(agreed=None), lambda c: billing.invoice_issued(c, 1, DAY), "No quote has been accepted"),
        (demo(), lambda c: billing.variation_issued(c, derive(c).price, 1, DAY, ("x",), 0), "nothing to vary"),
        (
            quoted(),
            lambda c: billing.variation_issued(c, derive(c).price, 1, DAY, (), 0),
            "Nothing that the price counts",
        ),
        (
            quoted(),
            lambda c: billing.variation_issued(
                c.changed("rates.currency", "USD"), derive(c.changed("rates.currency", "USD")).price, 1, DAY, ("x",), 0
            ),
            "two currencies",
        ),
        (
            demo(),
            lambda c: billing.quote_issued(c, derive(c).price, 1, DAY, "This is not a firm price: no boards."),
            "not a firm price",
        ),
        (quoted(), lambda c: billing.with_answer(c, "C26-001-Q1", date(2026, 1, 1)), "cannot be answered"),
    ],
)
def test_what_cannot_be_issued_says_why(document, act, says):
    with pytest.raises(ValueError, match=says):
        act(document)


def test_a_variation_waits_until_the_one_before_is_answered():
    c = quoted().changed("items.0.sizes.length_mm", 2200)
    c = issued(c, billing.variation_issued(c, derive(c).price, 2, DAY, ("longer",), 0), agreed=None)
    c = c.changed("items.0.sizes.length_mm", 2300)
    with pytest.raises(ValueError, match="V1 is not answered yet"):
        billing.variation_issued(c, derive(c).price, 3, DAY, ("longer still",), 0)


def test_numbers_go_on_after_the_highest():
    c = demo()
    for n in (1, 2, 3):
        c = quoted(c, agreed=None)
        assert c.issued[-1].number == f"C26-001-Q{n}"
    assert billing.next_number(c, "deposit") == "C26-001-I1" and billing.next_number(c, "stage") == "C26-001-I1"


def test_the_papers_say_their_figures():
    import io

    from pypdf import PdfReader

    from studio_lib.papers.write import issue_account

    c = quoted().changed("rates.pay_to", "Bank of the Lake")
    deposit = billing.invoice_issued(c, 1, DAY)
    c = issued(c, deposit).changed("items.0.sizes.length_mm", 2200)
    v = billing.variation_issued(c, derive(c).price, 2, DAY, ("length of top 2010 to 2200 mm",), 3)
    for paper, needed in (
        (
            deposit,
            (
                "Deposit invoice",
                "C26-001-I1",
                "C26-001-Q1",
                "9 December 2026",
                "Bank of the Lake",
                f"{deposit.gross:,.2f}",
            ),
        ),
        (
            v,
            (
                "Variation",
                "C26-001-V1",
                "length of top 2010 to 2200 mm",
                "3 working days more",
                f"{v.gross:,.2f}",
                "signed",
            ),
        ),
    ):
        reader = PdfReader(io.BytesIO(issue_account(paper, c, maker="The maker")))
        said = " ".join(" ".join(p.extract_text() for p in reader.pages).split())
        assert len(reader.pages) == 1
        for words in needed:
            assert words in said, words
