"""Two revisions in words a maker reads."""

from studio_lib.compare import changes, outcome, reason_for
from studio_lib.demo import demo


def test_sizes_are_named_as_on_the_page_with_their_unit():
    before = demo().changed("items.1.sizes.height_mm", 430)
    after = before.changed("items.1.sizes.height_mm", 445)
    assert [str(c) for c in changes(before, after)] == ["terrace stool, height: 430 -> 445 mm"]


def test_what_it_does_to_price_and_weight_is_said():
    after = demo().changed("items.0.sizes.slat_thickness_mm", 27)
    said = " ".join(outcome(demo(), after))
    assert "weight +" in said and "price" in said


def test_reason_lists_the_first_changes_and_counts_the_rest():
    after = demo()
    for path, value in (("brief.people", 8), ("brief.years_wanted", 30), ("title", "Two tables"), ("notes", "x"), ("client", "y")):
        after = after.changed(path, value)
    assert reason_for(demo(), after).endswith("and 2 more")
    assert changes(demo(), demo()) == []


def test_a_quote_issued_is_told_as_one_line_and_its_range_as_another():
    from datetime import date

    from studio_lib.costing.billing import quote_issued, with_issued
    from studio_lib.costing.records import as_reckoned
    from studio_lib.derive import derive

    d, day = derive(demo()), date(2026, 11, 25)
    kept = as_reckoned(d, 1, day).model_dump(mode="json")
    after = demo().changed("issued", with_issued(demo(), quote_issued(demo(), d.price, 1, day))).changed("estimate", kept)
    found = changes(demo(), after)
    assert [(c.label, c.before) for c in found] == [("Estimate", "not set"), ("Paper C26-001-Q1", "not set")]
    assert str(d.price.gross) in found[1].after and "h likely" in found[0].after
