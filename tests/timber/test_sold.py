"""Where timbers are sold, and that one which no yard there holds stands after those they do."""

from studio_lib.costing.tax import taxes
from studio_lib.demo import demo
from studio_lib.derive import derive
from studio_lib.timber import all_species
from studio_lib.timber.sold import MARKETS, REGIONS, grown_around, grows_in, market_of, seldom_sold
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


def test_every_timber_on_file_grows_somewhere_and_every_country_lies_in_a_region_of_its_market():
    assert {r["name"] for r in rows("grown")} == {s.name for s in all_species()}
    assert {g for s in all_species() for g in grows_in(s.name)} - set(REGIONS) == {"tropical Africa", "tropical America", "tropical Asia"}
    for market, countries in MARKETS.items():
        for country in countries:
            regions = [r for r, there in REGIONS.items() if country in there]
            assert regions and all(market.split()[-1] in r or market == "Australasia" for r in regions), country
    # Tropical timbers of the table of origins grow in no market's region.
    assert not any(grown_around(r["name"], c) for r in rows("origins") if r["tropical"] == "yes" for there in REGIONS.values() for c in there)


# Wood Handbook FPL-GTR-190 ch. 2, from memory: white ash grows in the east of the continent, red alder on the Pacific coast.
# European larch is a timber of the Alps and is not native to Finland.
def test_regions_against_what_a_forester_knows():
    assert grows_in("White ash") == ("eastern North America",) and grows_in("Red alder") == ("western North America",)
    assert grown_around("European larch", "Austria") == "central Europe" and grown_around("European larch", "Finland") == ""
    assert grown_around("Teak", "Germany") == "" and grown_around("European oak", "") == "" and grows_in("the maker's own pear") == ()


def wishing(country, asked="", place="outdoors, in the weather", **wants):
    c = demo().changed("rates.country", country).changed("timber.species", None).changed("brief.asked", asked).changed("brief.place", place)
    for name, value in wants.items():
        c = c.changed(f"brief.wants.{name}", value)
    return derive(c)


def test_timber_from_around_there_leads_where_it_is_wished():
    plain, ticked = wishing("Germany"), wishing("Germany", local=True)
    wanted = [c for c in ticked.choices if not (c.ruled_out or c.treated or c.too_soft or c.seldom)]
    assert wanted[0].grows == "central Europe" and not any(c.far for c in plain.choices)
    under = [[bool(c.grows) for c in wishing("Germany", place="indoors, heated", local=local).choices if not (c.ruled_out or c.treated or c.too_soft or c.seldom)]
             for local in (False, True)]
    assert under[0] != sorted(under[0], reverse=True) and under[1] == sorted(under[1], reverse=True)
    far = [c.far for c in wanted]
    assert any(far) and far == sorted(far), "what grows there stands before what does not"
    assert any("grows around there: central Europe" in r for r in wanted[0].reasons)
    assert any("not from around there: it grows in tropical Africa" in r for c in wanted if c.species == "Iroko" for r in c.reasons)
    assert "what grows in central Europe" in ticked.timber_proposed[1]


def test_the_wish_is_read_from_the_clients_words():
    for asked in ("We want local timber.", "wood from around here if you can", "Native wood only", "home-grown timber", "timber that grew, if possible, from our region", "felled nearby"):
        assert wishing("Germany", asked).local_wished, asked
    for asked in ("A bench for the local library", "From here one sees the lake", "the wood should keep its colour"):
        assert not wishing("Germany", asked).local_wished, asked


def test_without_a_country_the_wish_moves_nothing():
    assert [c.species for c in wishing("", local=True).choices] == [c.species for c in wishing("").choices]
