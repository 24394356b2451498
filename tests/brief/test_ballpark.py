"""A range from the brief alone, what drives it, and what would make it cheaper."""

from decimal import Decimal

import pytest

from studio_lib.brief.ballpark import PastJob, Wanted, ballpark, kind_of, kinds, repeats
from studio_lib.commission import Brief, Commission, Rates
from studio_lib.demo import demo
from studio_lib.derive import Known, derive
from studio_lib.papers import words
from studio_lib.timber import own_species

RATES = Rates()
WEATHER, ROOM = "outdoors, in the weather", "indoors, heated"


def rough(*wanted, place=ROOM, use="household", **more):
    return ballpark(wanted, place, use, RATES, **more)


def test_the_range_holds_what_the_counted_job_comes_to():
    document = demo()
    b = ballpark(
        (Wanted("slatted table", 1, 6), Wanted("slatted stool")), document.brief.place, document.brief.use, document.rates
    )
    price = derive(document).price
    assert b.hours[0] < float(price.hours_at(50)) < b.hours[2]
    assert b.net[0] < price.net_at(50) < b.net[2]


# Published: an armoire guessed at 40 h by an expert and padded to 100 h by its maker took 237 h; a small
# table with a drawer took 20 h the first time, then 17 h. The starting ranges must hold them.
def test_published_hours_lie_in_the_starting_ranges():
    bench = Rates(design_counted=False, design_hours=0)
    low, _, high = ballpark((Wanted("wardrobe"),), ROOM, "household", bench).hours
    assert low <= 237 <= high
    low, _, high = ballpark((Wanted("side table"),), ROOM, "household", bench).hours
    assert low <= 17 and 20 <= high


def test_low_likely_high_in_order_for_every_kind():
    for kind in kinds():
        b = rough(Wanted(kind))
        assert b.hours[0] < b.hours[1] < b.hours[2] and b.net[0] < b.net[1] < b.net[2]
        assert b.gross[1] > b.net[1]


def test_what_drives_it_adds_up_to_the_likely_price():
    b = rough(Wanted("slatted table", 1, 8), place=WEATHER)
    assert sum(amount for _, amount in b.drivers) == b.net[1]
    assert b.drivers[0][0] == "work in the workshop"


def test_place_use_people_and_count_each_raise_it():
    plain = rough(Wanted("slatted table", 1, 6)).net[1]
    assert rough(Wanted("slatted table", 1, 6), place=WEATHER).net[1] > plain
    assert rough(Wanted("slatted table", 1, 6), use="public").net[1] > plain
    assert rough(Wanted("slatted table", 1, 10)).net[1] > plain
    two = rough(Wanted("slatted table", 2, 6)).net[1]
    assert plain < two < 2 * plain
    assert rough(Wanted("bookcase", 1, 9)).net == rough(Wanted("bookcase")).net


def counted(form, count=1, **brief):
    document = Commission(ref="B-1", title="a brief", brief=Brief(**brief)).changed("timber.species", "European oak")
    return document.changed("items", [{"name": form, "form": form, "count": count}])


FORMS_TRIED = ("bench", "table", "stool", "slatted table", "slatted stool", "bookcase", "cabinet", "chest",
               "framed screen", "strung screen")
BRIEFS = (
    {"people": 2},
    {"people": 6, "place": "indoors, unheated", "children": True},
    {"people": 8, "place": WEATHER, "use": "public"},
)


# A professional estimator in print takes 5 % less for each repetition down to 30 % less, 9.45 for twelve, every set-up
# done again; what is set up once for all makes it less than that.
def test_repeats_agree_with_counted_operations_and_stay_under_the_published_rule():
    assert repeats(1) == 1
    assert 0.7 * 9.45 < repeats(12) < 9.45
    for form in FORMS_TRIED:
        one = derive(counted(form)).rough_price
        for n in (2, 6):
            many = derive(counted(form, n)).rough_price
            work = [float(p.hours_at(50)) - float(p.design_hours) for p in (one, many)]
            assert repeats(n) == pytest.approx(work[1] / work[0], rel=0.22), (form, n)


def with_boards(document):
    """Boards enough, at the prices of the starting list, as a yard has them."""
    d = derive(document)
    rough = {t.timber: t.price.amount for t in d.rough_timber}
    rows = [
        {"ref": f"Y{i}-{t:g}-{w}", "timber": timber, "length_mm": 3000, "width_mm": w, "thickness_mm": t, "count": 40,
         "price": str(round(Decimal(3 * w * t) / Decimal(1_000_000) * price, 2))}
        for i, (timber, price) in enumerate(rough.items()) for t in (27, 34, 41, 54, 80) for w in (160, 240)
    ]
    d = derive(document.changed("boards.offered", rows))
    assert not d.layout.missing and not d.rough_timber
    return d


def test_the_first_range_holds_the_later_price():
    """Ten forms at their own proposals for three briefs: counted range and starting table against boards laid out."""
    held = table_held = 0
    told = []
    for form in FORMS_TRIED:
        for number, brief in enumerate(BRIEFS):
            document = counted(form, number + 1, **brief)
            d = with_boards(document)
            p10, p50, p80, p90 = (d.price.net_at(q) * (1 + d.price.tax_rate) for q in (10, 50, 80, 90))
            low, _, high = derive(document).ballpark.gross
            b = d.commission.brief
            table = ballpark(
                [Wanted(kind_of(form, b.place), number + 1, b.people)], b.place, b.use, d.commission.rates).gross
            held += low <= p10 and p90 <= high
            table_held += table[0] <= p50 and p80 <= table[2]
            told.append((form, number, low, high, table, [round(p) for p in (p10, p50, p80, p90)]))
    assert held >= 25 and table_held >= 25, (held, table_held, told)


def test_the_counted_range_moves_with_people_and_count_and_stays_near_the_table():
    of = {n: derive(counted("table", people=n)).ballpark for n in (2, 6, 10)}
    assert of[2].net[1] < of[6].net[1] < of[10].net[1]
    one, two = (derive(counted("chest", n)).ballpark for n in (1, 2))
    assert one.net[1] < two.net[1] < 2 * one.net[1]
    outside = derive(counted("bench", place=WEATHER)).ballpark
    assert outside.net[1] > derive(counted("bench")).ballpark.net[1]
    assert "Counted from the pieces" in one.basis and sum(a for _, a in one.drivers) == one.net[1]
    assert [c.way for c in one.cheaper] == ["size", "parts and joints", "timber"] and all(c.saves > 0 for c in one.cheaper)


def test_timber_stands_in_a_price_before_any_board_is_seen_and_is_no_firm_price():
    d = derive(counted("chest"))
    (line,) = [m for m in d.price.materials if m.kind == "timber"]
    (rough,) = d.rough_timber
    # Half of what is sawn ends in the piece, and a third of a board of each thickness is left over (2.5 m x 200);
    # 2800 a cubic metre is European oak of the starting list.
    assert rough.finished_m3 == pytest.approx(sum(r.volume_m3 for r in d.cutting_list))
    left = 0.15 * sum({r.thickness_mm for r in d.cutting_list}) / 1000
    assert line.rate == 2800 and float(line.amount) == pytest.approx(2800 * (2 * rough.finished_m3 + left), abs=2)
    assert d.price.net_at(50) == d.rough_price.net_at(50)
    assert "by volume" in words.not_firm(d)
    own = Known(library=own_species([{"name": "European oak", "price_per_m3": "1400", "price_on": "2026-11-20"}]))
    cheap = derive(d.commission, own)
    (theirs,) = [m for m in cheap.price.materials if m.kind == "timber"]
    assert theirs.rate == 1400 and "your own price" in theirs.source
    # That timber is brought says nothing yet of how much: until boards of it are entered, it is all reckoned as bought.
    brought = derive(d.commission.changed("brief.brings_timber", True))
    assert brought.price.net_at(50) == d.price.net_at(50) and "until their boards are entered" in brought.ballpark.basis
    plenty = derive(d.commission.changed("boards.offered", [
        {"ref": "C1", "timber": "European oak", "length_mm": 2500, "width_mm": 220, "thickness_mm": 52, "price": "0", "count": 20, "source": "client"}]))
    assert sum(m.amount for m in plenty.price.materials if m.kind == "timber") == 0


def test_three_ways_to_make_it_cheaper_in_order():
    b = rough(Wanted("dining table", 1, 8))
    assert [c.way for c in b.cheaper] == ["size", "parts and joints", "timber"]
    assert all(0 < c.saves < b.net[1] / 2 for c in b.cheaper)
    own = rough(Wanted("dining table", 1, 8), theirs=100_000.0)
    assert [c.way for c in own.cheaper] == ["size", "parts and joints", "finish"]
    some = rough(Wanted("dining table", 1, 8), theirs=100.0, theirs_words="part of it is theirs")
    assert own.net[1] < some.net[1] < b.net[1] and "part of it is theirs" in some.basis
    assert [c.way for c in some.cheaper] == ["size", "parts and joints", "timber"]


def test_past_jobs_pull_the_hours_to_the_makers_own():
    table = rough(Wanted("chair"))
    one = rough(Wanted("chair"), past=(PastJob("chair", 60, Decimal(3000)),))
    many = rough(Wanted("chair"), past=(PastJob("chair", 60, Decimal(3000)),) * 6)
    assert table.hours[1] < one.hours[1] < many.hours[1] < 60 + RATES.design_hours
    assert "6 past jobs" in many.says and "no past jobs" in table.says
    assert many.net[0] <= 3000 <= many.net[2]
    batch = rough(Wanted("chair"), past=(PastJob("chair", 60 * repeats(4), Decimal(9000), 4),))
    assert batch.hours[1] == pytest.approx(one.hours[1])
    assert rough(Wanted("chair"), past=(PastJob("bed", 60, Decimal(3000)),)).hours == table.hours


@pytest.mark.parametrize(
    ("given", "words"),
    [
        (lambda: rough(), "No piece is asked for"),
        (lambda: Wanted("spaceship"), "No starting price for 'spaceship'"),
        (lambda: Wanted("chair", 0), "0 of the chair"),
        (lambda: Wanted("bench", 1, -2), "-2 people at the bench"),
        (lambda: rough(Wanted("chair"), place="on the moon"), "no place or use on file"),
        (lambda: PastJob("chair", 0, Decimal(5)), "all three above 0"),
    ],
)
def test_nonsense_gets_a_sentence(given, words):
    with pytest.raises(ValueError, match=words):
        given()


def test_the_piece_that_is_reckoned_is_told_in_one_line():
    from studio_lib.commission import Item
    from studio_lib.demo import demo
    from studio_lib.derive import derive

    items = [Item(name=f, form=f).model_dump(mode="json") for f in ("cabinet", "bookcase", "freehand")]
    c = demo().changed("items", items).changed("items.0.sizes", {"width_mm": 1000, "doors": 2})
    cabinet, bookcase, freehand = derive(c).reckoned
    assert cabinet.startswith("cabinet 1000 x ") and ", two doors" in cabinet
    assert bookcase.startswith("bookcase ") and "shelves" in bookcase
    assert freehand == "freehand of the usual size"
