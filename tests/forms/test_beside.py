"""A bench or a stool at a table of the same commission takes its height and length from it."""

import pytest

from studio_lib.commission import Brief, Commission, Item
from studio_lib.derive import derive
from studio_lib.finding import Verdict


def at(height, *others, **table):
    items = (Item(name="dining table", form="table", sizes={"height_mm": height, **table}), *others)
    return derive(Commission(ref="2026-001", title="to eat at", brief=Brief(people=6), items=items).changed("timber.species", "European oak"))


BENCH, STOOL = Item(name="bench", form="bench"), Item(name="stool", form="stool")


def test_a_bench_goes_between_the_legs_of_its_table():
    d = at(755.0, BENCH)
    table, bench = d.pieces
    legs = sorted((m.piece_box.lo[0], m.piece_box.hi[0]) for m in table.members if m.role == "leg")
    between = legs[-1][0] - legs[0][1]
    assert between - 60 <= bench.overall_mm[0] <= between - 50
    # As many as sit on it are asked of it, the others at the ends or on another: 530 mm each.
    assert d.made[1].brief.people == int((between - 50) // 530) and d.commission.brief.people == 6
    assert [f for f in d.size_findings if f.piece == "bench" and f.verdict is Verdict.FAILS] == []
    assert d.made[1].sizes["back"] == 0 and "slides in under dining table" in d.made[1].proposals["back"].why
    why = d.made[1].proposals["length_mm"].why
    assert "between the legs of dining table" in why


# Furniture handbooks put 295 mm between seat and top: seats of 430 to 440 with a table of 735.
@pytest.mark.parametrize("seat", (BENCH, STOOL, Item(name="slatted stool", form="slatted stool")))
def test_a_higher_table_lifts_its_seats(seat):
    usual, high = at(735.0, seat).made[1].sizes["height_mm"], at(830.0, seat, apron_width_mm=60.0).made[1]
    assert 275 <= 735 - usual <= 320
    assert high.sizes["height_mm"] == 830 - 295 and "under the top of dining table, and of the same timber" in high.proposals["height_mm"].why


def test_thighs_pass_under_a_deep_apron():
    made = at(830.0, BENCH, apron_width_mm=180.0).made
    apron = min(m.piece_box.lo[2] for m in made[0].piece.members if m.role == "apron")
    assert made[1].sizes["height_mm"] < apron - 180 and "thighs" in made[1].proposals["height_mm"].why


def test_what_the_maker_sets_stays_and_a_bench_alone_is_as_before():
    own = at(830.0, Item(name="bench", form="bench", sizes={"height_mm": 420.0, "length_mm": 900.0}))
    assert own.made[1].sizes["height_mm"] == 420 and own.made[1].sizes["length_mm"] == 900
    alone = derive(Commission(ref="2026-001", title="x", brief=Brief(people=6), items=(BENCH,)))
    beside = at(735.0, BENCH)
    assert alone.made[0].sizes["length_mm"] != beside.made[1].sizes["length_mm"]
    wanted = derive(beside.commission.changed("brief.asked", "a table and a bench with a back"))
    assert alone.made[0].sizes["back"] == wanted.made[1].sizes["back"] == 1
    assert alone.made[0].sizes["length_mm"] == wanted.made[1].sizes["length_mm"] and wanted.made[1].brief.people == 6
    own = derive(beside.commission.changed("items.1.sizes", {"back": 1}))
    assert own.made[1].sizes["length_mm"] == alone.made[0].sizes["length_mm"]


def test_a_bookcase_asks_nothing_of_a_table():
    with_table = at(830.0, Item(name="bookcase", form="bookcase"))
    alone = derive(Commission(ref="2026-001", title="x", brief=Brief(people=6), items=(Item(name="bookcase", form="bookcase"),)).changed("timber.species", "European oak"))
    assert with_table.made[1].sizes == alone.made[0].sizes


def test_two_tables_share_four_benches():
    """'Eight guests at each table': four sit on each bench, and each table has two of them."""
    from studio_lib.look.arranged import arranged

    c = Commission(ref="C1", title="yard", brief=Brief(people=8, place="outdoors, in the weather"), items=(
        Item(name="table", form="slatted table", count=2), Item(name="bench", form="bench", count=4)))
    d = derive(c)
    assert [m.brief.people for m in d.made] == [8, 4]
    stood = arranged(d.made)
    tables, benches = [s for s in stood if s.piece is d.made[0].piece], [s for s in stood if s.piece is d.made[1].piece]
    assert (len(tables), len(benches)) == (2, 4)
    for table in tables:
        _, deep, _ = table.piece.overall_mm
        near = [b for b in benches if abs(b.offset_mm[1] - table.offset_mm[1]) < deep]
        assert len(near) == 2 and {b.from_mm for b in near} == {table.offset_mm[:2]}
        assert {b.offset_mm[1] > table.offset_mm[1] for b in near} == {True, False}, "one on each side"
