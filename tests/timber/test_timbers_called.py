"""A timber that the client names is carried over: it leads and is proposed where it suits, and else it is said why not."""

import pytest

from studio_lib.commission import Commission, Item
from studio_lib.derive import derive
from studio_lib.papers import words
from studio_lib.timber import all_species
from studio_lib.timber.called import timbers_called
from studio_lib.timber.choice import said_of_liked
from studio_lib.timber.sold import seldom_sold
from studio_lib.timber.tables import rows


@pytest.mark.parametrize(("said", "europe", "america"), [
    ("A bench in oak, please.", "European oak", "White oak (American)"),
    ("A red oak table", "Northern red oak", "Northern red oak"),
    ("We love sweet chestnut", "Sweet chestnut", "Sweet chestnut"),
    ("black locust would be lovely", "Robinia (European-grown)", "Black locust"),
])
def test_a_timber_is_the_one_that_yards_there_mean_by_the_word(said, europe, america):
    assert list(timbers_called(said, "Europe")) == [europe] and list(timbers_called(said, "North America")) == [america]


@pytest.mark.parametrize("said", [
    "no oak", "anything but dark oak", "to go with our oak floor", "beside the old pine dresser", "under the ash tree", "oak-coloured", "cash on delivery", "Not in pine.",
])
def test_what_is_refused_or_there_already_is_not_asked_for(said):
    assert timbers_called(said, "Europe") == {}


def test_every_word_names_timbers_on_file():
    names = {s.name for s in all_species()}
    assert all(r[market] in names for r in rows("called") for market in ("Europe", "North America", "Australasia"))
    # 'Oak' in a yard of a market means one that is sold there.
    for market in ("Europe", "North America"):
        for word in ("oak", "walnut", "ash", "larch", "pine", "spruce"):
            name = next(r[market] for r in rows("called") if r["word"] == word)
            assert not seldom_sold(name, market), (word, market)


def job(asked, **brief):
    c = Commission(ref="C9", title="Bench", items=(Item(name="bench", form="bench"),)).changed("brief.asked", asked).changed("rates.country", "Germany")
    for name, value in brief.items():
        c = c.changed(f"brief.{name}", value)
    return derive(c)


def test_a_timber_of_the_clients_words_leads_and_is_proposed_where_it_suits():
    d, plain = job("A bench in chestnut for the garden.", place="outdoors, in the weather"), job("A bench for the garden.", place="outdoors, in the weather")
    assert plain.choices[0].species != "Sweet chestnut" and not plain.choices[0].liked
    assert d.choices[0].species == "Sweet chestnut" and d.choices[0].liked
    name, why = d.timber_proposed
    assert name == "Sweet chestnut" and "who said 'chestnut'" in why
    assert plain.timber_proposed[0] == plain.choices[0].species and "liked" not in plain.timber_proposed[1]
    assert dict(words.heard(d))["Timber you like"] == "Sweet chestnut, as you said 'chestnut'"


def test_where_it_does_not_suit_it_says_why_and_another_is_proposed():
    d = job("A bench in beech for the garden.", place="outdoors, in the weather")
    told, can = said_of_liked(d.choices, d.liked)[0]
    assert not can and told.startswith("European beech, liked by the client, cannot be used here.") and len(told) > 60
    assert d.timber_proposed[0] not in ("", "European beech")


def test_what_the_brief_lists_goes_before_the_words_and_what_is_not_wanted_is_never_liked():
    d = job("In oak or ash.", wants={"liked": ["European walnut"], "unwanted": ["European ash"]})
    assert d.liked == ("European walnut", "European oak") and d.timber_proposed[0] == "European walnut"
