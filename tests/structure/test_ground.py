"""Feet on gravel: what it bears, what is laid under them, and that it is told and priced once for all papers."""

from datetime import date

import pytest

from studio_lib.demo import demo
from studio_lib.derive import derive
from studio_lib.handover import care_sheet, delivery_note
from studio_lib.papers import words
from studio_lib.structure.ground import PLATE, SLAB, bears_kpa, feet_of, underlay

DAY = date(2026, 11, 25)


# TG20:13 design guide, appendix E, the two worked examples under table E.3 (EN 1997-1 Annex D.4 with a factor of 2): a sole board of
# 225 x 450 mm on loose fine sand, 30 degrees and 18.6 kN/m3, 18 kN/m2; on loose coarse sand, 35 degrees and 18.2 kN/m3, 39.3 kN/m2.
@pytest.mark.parametrize(("friction", "weight", "bears", "within"), [(30.0, 18_600.0, 18.0, 0.5), (35.0, 18_200.0, 39.3, 0.1)])
def test_what_loose_ground_bears_as_in_the_worked_examples(friction, weight, bears, within):
    assert bears_kpa(225, 450, friction, weight) == pytest.approx(bears, abs=within)


def test_a_broad_foot_bears_more_and_not_only_by_its_area():
    assert bears_kpa(300, 300) == pytest.approx(5 * bears_kpa(60, 60))
    assert bears_kpa(300, 60) == bears_kpa(60, 300) > bears_kpa(60, 60)


def on(ground, **more):
    c = demo().changed("brief.ground", ground)
    for name, value in more.items():
        c = c.changed(f"brief.{name}", value)
    return derive(c)


def test_a_table_touches_the_ground_with_its_four_legs():
    table = derive(demo()).pieces[0]
    feet = feet_of(table)
    assert len(feet) == 4 and {(f.wide, f.deep) for f in feet} == {(m.width_mm, m.thickness_mm) for m in table.members if m.role == "leg"}
    assert max(f.x for f in feet) - min(f.x for f in feet) > 1000


@pytest.mark.parametrize("kind", [SLAB, PLATE])
def test_what_is_laid_grows_with_what_it_carries(kind):
    table = derive(demo()).pieces[0]
    light, heavy = (underlay(table, kind, n) for n in (1_000.0, 12_000.0))
    assert light.holds and heavy.edge_mm > light.edge_mm and light.count == heavy.count == 4


def test_feet_that_stand_close_share_one_slab_and_slabs_never_lie_on_one_another():
    stool = derive(demo()).pieces[1]
    found = underlay(stool, SLAB, 1_500.0)
    assert found.count == 1 and found.edge_mm > max(stool.overall_mm[1], 300)


@pytest.mark.parametrize("ground", ["gravel", "grass"])
def test_slabs_are_proposed_priced_and_told_on_every_paper(ground):
    d, paved = on(ground), on("paving")
    assert not paved.under_feet and not paved.fitted_there
    assert d.price.gross > paved.price.gross and d.loaded_kg > paved.loaded_kg
    lines = {line.what: line for line in d.price.materials if line.what.startswith("slab ")}
    assert {n: int(line.quantity) for n, line in lines.items()} == {
        "slab 300 x 300 x 40 mm, concrete or stone": 4, "slab 500 x 500 x 50 mm, concrete or stone": 1}
    assert all(line.rate for line in lines.values())
    assert any("4 slabs of concrete or stone, 300 x 300 x 40 mm, bedded under the feet of the terrace table" in line for line in words.included(d))
    note = dict(delivery_note(d).fixing[:2])
    assert "bed each slab" in note["terrace table"] and "in the price" in note["terrace table"]
    assert any("under its feet still lies level" in line.text for line in care_sheet(d).year)
    assert not any("under its feet still lies level" in line.text for line in care_sheet(paved).year)


def test_left_to_the_client_it_costs_nothing_and_the_quote_says_who_sees_to_it():
    d = on("gravel", under_feet="left to the client")
    assert d.price.gross == on("paving").price.gross and not d.fitted_there
    assert any("you see to them" in line and "terrace table" in line for line in words.excluded(d)) and not any("slab" in line for line in words.included(d))
    assert any(line.startswith("On this condition: before it is delivered there lie, level with one another, 4 slabs") for line in words.terms(d, DAY))
    assert "the client has them laid" in dict(delivery_note(d).fixing[:2])["terrace table"]


def test_work_unticked_on_the_price_page_is_refused_as_well():
    from studio_lib.costing.operations import BED_SLABS

    d = derive(on("gravel").commission.changed("rates.extra_work", [{"operation": BED_SLABS, "count": 0}]))
    assert not d.maker_lays and not d.fitted_there and any("you see to them" in line for line in words.excluded(d))


def test_plates_are_broad_enough_too():
    d = on("gravel", under_feet="plates")
    found = [f for f in d.size_findings if f.what == "bearing on gravel"]
    assert len(found) == 2 and all(f.stands and f.utilisation <= 1 for f in found)
    assert {what[:23] for what, _ in d.fitted_there} == {"steel plate 200 x 200 x", "steel plate 150 x 150 x"}


def test_that_bare_feet_sink_is_said_with_both_figures():
    found = next(f for f in on("gravel").size_findings if f.what == "bearing on gravel" and f.subject == "terrace table")
    assert "loose gravel bears about 10: they sink" in found.says and found.stands
    assert not [f for f in on("paving").size_findings if f.what == "bearing on gravel"]
