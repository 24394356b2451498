"""Where timbers are sold, and that one which no yard there holds stands after those they do."""

from studio_lib.costing.tax import taxes
from studio_lib.demo import demo
from studio_lib.derive import derive
from studio_lib.timber import all_species
from studio_lib.timber.sold import MARKETS, market_of, seldom_sold
from studio_lib.timber.tables import rows


def test_every_timber_on_file_is_sold_somewhere_and_every_country_is_in_one_market():
    assert {r["name"] for r in rows("sold")} == {s.name for s in all_species()}
    assert {m for r in rows("sold") for m in r["sold_in"].split("; ")} == set(MARKETS)
    assert all(sum(country in c for c in MARKETS.values()) == 1 for country in taxes() if country != "no tax")
    assert market_of("") == "" and seldom_sold("Eastern redcedar", "") == "" and seldom_sold("the maker's own pear", "Europe") == ""


def ranked(country):
    c = demo().changed("rates.country", country).changed("timber.species", None)
    return [x for x in derive(c).choices if not x.ruled_out]


def test_what_no_yard_there_holds_stands_after_what_they_do():
    nowhere, portugal, states = ranked(""), ranked("Portugal"), ranked("United States")
    assert not any(x.seldom for x in nowhere)
    for found, near, far in ((portugal, "Sweet chestnut", "Eastern redcedar"), (states, "Eastern redcedar", "Sweet chestnut")):
        names = [x.species for x in found]
        assert names.index(near) < names.index(far)
        assert next(x for x in found if x.species == far).seldom and not next(x for x in found if x.species == near).seldom
    assert any("seldom sold in Europe" in r for r in next(x for x in portugal if x.species == "Eastern redcedar").reasons)
