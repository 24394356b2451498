"""From quote to final invoice: numbers in sequence, differences, and a last invoice that closes the account."""

from datetime import date
from decimal import Decimal

import pytest

from studio_lib.costing import billing
from studio_lib.demo import demo
from studio_lib.derive import Known, derive

DAY = date(2026, 11, 25)


def issued(document, paper, agreed=DAY):
    rows = billing.with_issued(document, paper.model_copy(update={"agreed": agreed}))
    return document.changed("issued", rows)


def quoted(document=None, agreed=DAY):
    document = document or demo()
    return issued(document, billing.quote_issued(document, derive(document).price, 1, DAY), agreed)


def vary(now, agreed, revision=2, **known):
    before = derive(billing.at_todays_rates(agreed, now), **known)
    return billing.variation_issued(now, before, derive(now, **known), revision, DAY)


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
    v = vary(longer, c, 2)
    assert v.says == ("terrace table, length of top: 2010 -> 2200 mm",)
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
    v = vary(shorter, c)
    assert v.gross < 0 and v.net + v.tax == v.gross


@pytest.mark.parametrize(
    ("document", "act", "says"),
    [
        (demo(), lambda c: billing.invoice_issued(c, 1, DAY), "No quote has been accepted"),
        (quoted(agreed=None), lambda c: billing.invoice_issued(c, 1, DAY), "No quote has been accepted"),
        (demo(), lambda c: vary(c, c), "nothing to vary"),
        (quoted(), lambda c: vary(c, c), "Nothing that was ordered"),
        (quoted(), lambda c: vary(c.changed("rates.currency", "USD"), c), "two currencies"),
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
    c = issued(c, vary(c, demo()), agreed=None)
    c = c.changed("items.0.sizes.length_mm", 2300)
    with pytest.raises(ValueError, match="V1 is not answered yet"):
        vary(c, demo(), 3)


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
    v = vary(c, demo()).model_copy(update={"days": 3})
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
                "length of top: 2010 to 2200 mm",
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


def test_a_client_pays_for_the_change_and_not_for_what_the_maker_learnt_since():
    """Dearer hours and slower records after the quote move no variation; a second one tells only what is new."""
    from studio_lib.costing.records import PastRecord

    slow = Known((PastRecord("P1", DAY, {"sand": 3.0, "glue up": 3.0, "dry fit": 3.0}, 90.0, None),))
    c = quoted()
    dearer = c.changed("rates.overheads_per_year", "40000")
    with pytest.raises(ValueError, match="Nothing that was ordered"):
        vary(dearer, c, known=slow)
    first = dearer.changed("items.0.sizes.length_mm", 2100)
    v1 = vary(first, c, known=slow)
    assert v1.gross < derive(first, slow).price.gross - c.issued[0].gross
    first = issued(first, v1)
    second = first.changed("items.0.sizes.leg_mm", 80)
    v2 = vary(second, first, 3, known=slow)
    assert billing.last_agreed(second) == first.issued[-1]
    assert v2.says == ("terrace table, legs, square: 70 -> 80 mm",) and v2.number == "C26-001-V2"
