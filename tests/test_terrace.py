"""A table and its seats under a roof outdoors, left bare: what is said of it and shown of it is one thing."""

from studio_lib.brief.options import compare
from studio_lib.commission import Commission, Item
from studio_lib.derive import derive
from studio_lib.look.scenes import STAGES, appearances, timber_words
from studio_lib.papers import words


def job(*seats: Item, people: int = 8, place: str = "outdoors, under cover", finish: str = "left bare", table: dict | None = None) -> Commission:
    c = Commission(ref="2026-001", title="Table and seats", items=(Item(name="table", form="table", sizes=table or {}), *seats))
    for path, value in (("people", people), ("place", place), ("finish", finish)):
        c = c.changed(f"brief.{path}", value)
    return c.changed("timber.species", "European oak")


def benches(count: int = 2, **sizes: float) -> Item:
    return Item(name="bench", form="bench", count=count, sizes={"back": 0, **sizes})


# ---------------------------------------------------------------- ageing


def test_every_word_on_the_colour_under_a_roof_is_what_the_pictures_show():
    c = job(benches())
    d = derive(c)
    said = "goes grey slowly and in blotches: about a fifth grey after one year, about half grey after ten"
    look = next(row for row in compare([("a", d), ("b", d)]) if row.label == "look").cells[0]
    for sentence in (words.paragraphs(d)[-1], " ".join(words.may_differ(d)), timber_words(d), look):
        assert said in sentence and "silver" not in sentence
    assert 0.4 < appearances(d, 10)["European oak"].grey_fraction < 0.6
    assert "cared for" not in look


def test_in_the_weather_the_same_words_say_silver_and_within_a_year():
    d = derive(job(benches(), place="outdoors, in the weather"))
    for sentence in (words.paragraphs(d)[-1], " ".join(words.may_differ(d)), timber_words(d)):
        assert "goes silver grey within about a year" in sentence
    assert appearances(d, 1)["European oak"].grey_fraction > 0.9


def test_a_client_sees_five_years_too():
    assert STAGES == (0, 1, 3, 5, 10)
