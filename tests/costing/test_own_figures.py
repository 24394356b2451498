"""The maker's own figures: an hour, a pace, what the quote is made at, no tax, words of one's own."""

from datetime import date
from decimal import Decimal

import pytest

from studio_lib.costing.billing import before_it_goes
from studio_lib.costing.records import PastRecord
from studio_lib.demo import demo
from studio_lib.derive import Known, derive
from studio_lib.finding import Finding, Verdict
from studio_lib.papers.words import not_firm, paragraphs, terms
from studio_lib.stock.buying import phone_list

DAY = date(2026, 11, 26)


def with_rates(**values):
    c = demo()
    for name, value in values.items():
        c = c.changed(f"rates.{name}", value)
    return derive(c)


def test_an_hour_that_the_maker_knows_needs_no_year():
    d = with_rates(own_hour="38")
    assert d.price.shop_rate == Decimal("38") and not d.commission.rates.are_a_start
    assert with_rates().commission.rates.own_hour is None


def test_a_quicker_maker_takes_that_share_of_the_starting_hours_and_of_no_drawing():
    as_it_begins, quick = with_rates().price, with_rates(pace=0.75).price
    for a, b in zip(as_it_begins.labour, quick.labour):
        assert b.hours.median == pytest.approx(0.75 * a.hours.median)
    assert quick.design_hours == as_it_begins.design_hours


def test_records_know_better_than_the_pace():
    known = Known((PastRecord("P1", DAY, {"sand": 1.0}, 90.0, None),))
    plain, quick = (derive(demo().changed("rates.pace", p), known).price for p in (1.0, 0.5))
    sand = {p: sum(r.hours.median for r in price.labour if r.work.time.operation == "sand") for p, price in ((1, plain), (2, quick))}
    docked = {p: sum(r.hours.median for r in price.labour if r.work.time.operation == "rough dock") for p, price in ((1, plain), (2, quick))}
    assert sand[2] == pytest.approx(sand[1]) and docked[2] == pytest.approx(docked[1] / 2)


def test_the_quote_may_be_made_at_the_likely_hours():
    safe, likely = with_rates(round_to="0.01").price, with_rates(quoted_at=50, round_to="0.01").price
    assert abs(likely.net - safe.net_at(50)) < Decimal("0.05") and likely.net < safe.net
    assert likely.contingency == 0 and all(name != "for what cannot be foreseen" for name, _ in likely.drivers)
    assert sum(amount for _, amount in likely.drivers) == likely.net


def test_who_charges_no_tax_prints_none():
    d = with_rates(tax_rate=0.0)
    assert d.price.gross == d.price.net and "No VAT is charged." in terms(d, DAY)
    assert "No VAT is charged." not in terms(with_rates(), DAY)


def test_a_price_over_what_was_named_is_explained_or_answered_in_the_makers_words():
    over = demo().changed("brief.budget", "1500")
    assert any("You spoke of \u20ac1,500.00" in p and "% of it is work." in p for p in paragraphs(derive(over)))
    own = over.changed("brief.answer", "I have kept the top as thin as it may be.")
    assert paragraphs(derive(own))[-1] == "I have kept the top as thin as it may be."
    assert not any("You spoke of" in p for p in paragraphs(derive(demo().changed("brief.budget", "60000"))))


def test_a_check_that_does_not_stand_is_named_before_the_quote_goes():
    d = derive(demo())
    d.__dict__["findings"] = (*d.findings, Finding("table", "sway", Verdict.FAILS, "too far", stage="sizes"))
    assert any("1 check does not stand: table, sway." in s for s in before_it_goes(d, "The maker", DAY))


def test_the_client_s_own_boards_cost_nothing_hold_the_price_firm_and_are_asked_for_nowhere():
    yards = demo().changed("boards.kept_layout", None)
    rows = [b.model_dump(mode="json") for b in yards.boards.offered]
    theirs = derive(yards.changed("boards.offered", [r | {"source": "client", "price": "0"} for r in rows]))
    assert theirs.price.materials_cost < derive(yards).price.materials_cost and not_firm(theirs) == ""
    assert {line.source for line in theirs.price.materials if line.kind == "timber"} == {"the client's own"}
    assert phone_list(theirs.purchases) == ()
    forgotten = derive(yards.changed("boards.offered", [r | {"price": "0"} for r in rows]))
    assert "has no price yet" in not_firm(forgotten) or "have no price yet" in not_firm(forgotten)
