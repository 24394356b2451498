"""Options side by side: the same questions of each, and a plain word where one cannot be made."""

import pytest

from studio_lib.brief.options import CANNOT, compare
from studio_lib.demo import demo
from studio_lib.derive import derive


@pytest.fixture(scope="module")
def table():
    base = demo()
    options = [
        ("as asked", base),
        ("wider", base.changed("items.0.sizes.width_mm", 1000)),
        ("oak", base.changed("timber.species", "European oak")),
        ("too many slats", base.changed("items.0.sizes.slat_count", 58)),
    ]
    rows = compare([(name, derive(c)) for name, c in options])
    return {row.label: row for row in rows}


def test_every_question_is_answered_for_every_option(table):
    assert {"option", "size", "weight", "timber", "look", "price", "movement", "life", "checks"} <= set(table)
    assert all(len(row.cells) == 4 and all(row.cells) for row in table.values())
    assert table["option"].cells == ("as asked", "wider", "oak", "too many slats")


def test_what_differs_shows_and_what_does_not_says_so(table):
    assert "2010 x 920" in table["size"].cells[0] and "2010 x 1000" in table["size"].cells[1]
    assert table["weight"].differs and not table["look"].differs
    assert "Black locust" in table["timber"].cells[0] and "European oak" in table["timber"].cells[2]
    assert table["life"].cells[2].startswith("will not do")


def test_an_option_whose_boards_are_of_another_timber_has_no_price(table):
    assert "likely" in table["price"].cells[0]
    assert table["price"].cells[2] == "the boards seen do not hold it"


def test_an_option_that_cannot_be_made_says_why_once(table):
    assert table["size"].cells[3].startswith(CANNOT) and "58 slats" in table["size"].cells[3]
    assert table["price"].cells[3] == CANNOT


def test_how_many_and_by_what_name():
    d = derive(demo())
    with pytest.raises(ValueError, match="5 options; give 1 to 4"):
        compare([(str(i), d) for i in range(5)])
    with pytest.raises(ValueError, match="0 options"):
        compare([])
    with pytest.raises(ValueError, match="called a"):
        compare([("a", d), ("a", d)])


def test_an_empty_commission_compares_without_a_price():
    bare = demo().model_copy(update={"items": ()}).changed("boards.offered", []).changed("timber.species", None)
    rows = {r.label: r.cells[0] for r in compare([("bare", derive(bare))])}
    assert rows["size"] == "no piece" and rows["price"] == "no boards seen yet" and rows["timber"] == "none chosen"
