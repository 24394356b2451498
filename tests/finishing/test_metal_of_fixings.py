"""One metal of screws, bolts and hinges in a job: what is chosen, else what place and timber ask for, in every list and price."""

import pytest

from studio_lib.commission import Brief, Commission, Item
from studio_lib.derive import derive
from studio_lib.drawings.general import parts_table
from studio_lib.papers.write import _fixings, _screws

HEATED, WEATHER = "indoors, heated", "outdoors, in the weather"
STAINLESS, A4, ZINC, BRASS = "stainless steel", "stainless steel 316 (A4)", "zinc-plated steel", "brass or bronze"


def job(form="stool", species="European beech", place=HEATED, chosen="", **brief):
    c = Commission(ref="26-001", title="try", brief=Brief(place=place, **brief), items=(Item(name="piece", form=form),))
    return derive(c.changed("timber.species", species).changed("timber.fixings_metal", chosen))


@pytest.mark.parametrize(("species", "place", "sea", "metal"), [
    # Zinc and iron beside tannin, in weather and in salt air: finishing/not_together.csv, with its sources.
    ("European beech", HEATED, False, ZINC), ("European oak", HEATED, False, STAINLESS), ("European beech", WEATHER, False, STAINLESS),
    ("European oak", WEATHER, True, A4), ("", HEATED, False, STAINLESS),
])
def test_the_metal_proposed_is_one_that_nothing_on_file_speaks_against(species, place, sea, metal):
    d = job(species=species, place=place, by_the_sea=sea)
    assert d.metal == metal and d.piece.metal == metal and d.metal_words.startswith(metal)
    assert not [f for f in d.finish_findings if "fixings" in f.subject]


def test_a_metal_that_will_not_do_is_told_of():
    assert [f.subject for f in job(species="European oak", chosen=ZINC).finish_findings] == ["zinc-plated fixings with European oak"]


@pytest.mark.parametrize("form", ["stool", "table", "bench", "chest", "cabinet"])
@pytest.mark.parametrize("metal", [BRASS, ZINC])
def test_every_list_names_the_metal_chosen_and_no_other(form, metal):
    """Hinges are of brass where the screws are plated; common practice, no source."""
    d = job(form, chosen=metal)
    lines = [line.what for line in d.price.materials if line.kind == "hardware" and line.what.startswith(("screw", "wood screw", "butt hinge"))]
    drawn = " ".join(parts_table(d.piece, d.cutting_list, 1).notes)
    assert lines and all((BRASS if "hinge" in what else metal) in what for what in lines)
    rows = [row["metal"] for row in _screws(d)]
    for words in (*lines, *rows, drawn, _fixings(d)):
        assert "stainless" not in words
    assert (metal in drawn + _fixings(d)) and set(rows) <= {metal} and ("Brass shears off" in _fixings(d)) == (metal == BRASS)


def test_brass_costs_more_than_stainless_steel_and_plated_steel_less():
    def cost(metal):
        return sum(line.amount for line in job("chest", chosen=metal).price.materials if line.kind == "hardware" and "screw, " in line.what)

    assert cost(ZINC) < cost(STAINLESS) < cost(BRASS)


def test_a_piece_indoors_and_one_outdoors_have_each_their_own():
    d = job("stool")
    items = (*d.commission.items, Item(name="bench", form="bench", place=WEATHER))
    both = derive(d.commission.changed("items", items))
    assert [p.metal for p in both.pieces] == [ZINC, STAINLESS] and not [f for f in both.finish_findings if "fixings" in f.subject]
    assert f"{WEATHER}: {STAINLESS}" in both.metal_words and f"{HEATED}: {ZINC}" in both.metal_words


@pytest.mark.parametrize("form", ["chest", "cabinet", "framed screen"])
def test_every_part_of_metal_is_seen_in_the_colour_of_its_metal(form):
    from studio_lib.look.scenes import appearances
    from studio_lib.solids.mesh import meshes

    for metal in (BRASS, ZINC, ""):
        d = job(form, chosen=metal)
        assert {m.timber for m in meshes(d.piece)} <= set(appearances(d))
