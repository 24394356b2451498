"""What stands on each shelf, said shelf by shelf: kept, reckoned with, and told by shelf."""

import re

import pytest

from studio_lib.commission import Commission, refusals
from studio_lib.compare import changes
from studio_lib.demo import demo
from studio_lib.derive import derive
from studio_lib.forms.casework import figures_of
from studio_lib.structure.loads import G, goods, loads_of, named_on, on_shelf


def job(form: str, **sizes) -> Commission:
    c = demo()
    c = c.changed("items", [c.items[0].model_dump(mode="json") | {"form": form, "sizes": sizes, "adjustments": [], "joints": {}, "name": form}])
    return c.changed("brief.place", "indoors, heated").changed("brief.use", "household")


BOOKCASE = job("bookcase", shelf_count=3, width_mm=900, shelf_mm=20)
HEAVY = "records and heavy books"


def sags(c: Commission) -> dict[str, object]:
    return {f.subject: f for f in derive(c).size_findings if f.what == "sag"}


def test_nothing_said_is_as_before_and_taking_it_back_restores_it():
    said = BOOKCASE.changed("items.0.on_shelves.A-H2", HEAVY)
    assert said.items[0].on_shelves == {"A-H2": HEAVY}
    assert Commission.model_validate_json(said.model_dump_json()) == said
    back = said.changed("items.0.on_shelves.A-H2", None)
    assert back == BOOKCASE and [f.says for f in derive(back).findings] == [f.says for f in derive(BOOKCASE).findings]


# By hand: 850 mm between the sides, 280 mm less 12 mm of back is 268 mm deep, so 244 kg/m2 (50 lb a square foot) on 0.2278 m2
# are 545 N; with the shelf's own weight 5 W L^3 / 384 E I times 1.6.
def test_the_sag_of_a_shelf_under_what_was_said_of_it_by_hand():
    c = BOOKCASE.changed("items.0.on_shelves.A-H2", HEAVY)
    d = derive(c)
    shelf = d.piece.member("A-H2")
    assert shelf.width_mm == 268 and shelf.length_mm == 850
    found = sags(c)[f"shelf 2, {HEAVY}"]
    # Density and stiffness of black locust as the form reads them.
    density, moe, _ = figures_of(d.piece)
    weight = 244 * G * 0.850 * 0.268 + 0.850 * 0.268 * 0.020 * density * G
    i = 268 * 20**3 / 12
    assert found.demand == pytest.approx(1.6 * 5 * weight * 850**3 / (384 * moe * i), rel=0.02)
    assert "244 kg a square metre" in found.says and found.refs == ("A-H2",) and "50 lb a square foot" in found.source
    # The other shelves are still told of under the common load.
    assert any(name.startswith("shelf of") for name in sags(c))


def test_shelves_of_one_kind_are_told_of_together_and_a_light_one_sags_less():
    c = BOOKCASE.changed("items.0.on_shelves", {"A-H1": HEAVY, "A-H3": HEAVY, "A-H2": "a few things to look at"})
    found = sags(c)
    heavy, light = found[f"shelf 1 and shelf 3, {HEAVY}"], found["shelf 2, a few things to look at"]
    assert heavy.refs == ("A-H1", "A-H3") and light.demand < 0.5 * heavy.demand


def test_the_frame_loads_each_shelf_by_what_stands_on_it():
    c = BOOKCASE.changed("items.0.on_shelves.A-H2", HEAVY)
    d = derive(c)
    cases = {b.case.ref: b.case for b in d.analysis(d.piece).bent if b is not None and b.case.lasting}
    # The worst sag of the shelves is now that of the heavy one, told by its own name.
    sag = next(f for f in d.analysis(d.piece).findings if f.what == "sag, shelf")
    assert sag.subject == "shelf 2" and "records and heavy books standing on it for good" in sag.rule
    assert cases["A-H2"].load.force_n == pytest.approx(244 * G, abs=1)


def test_a_case_full_of_heavy_things_leans_more():
    free = BOOKCASE.changed("items.0.sizes.wall", 0)
    full = free
    for ref, _ in derive(free).shelves(0):
        full = full.changed(f"items.0.on_shelves.{ref}", HEAVY)
    # 'so many mm with stiff joints, so many with soft ones'.
    a, b = ([float(n) for n in re.findall(r"([0-9.]+) mm with", next(f for f in derive(c).size_findings if f.what == "sway sideways").says)] for c in (free, full))
    assert len(a) == len(b) == 2 and b[0] > a[0] and b[1] > a[1]


def test_a_loose_shelf_of_a_cabinet_counts_too():
    c = job("cabinet", shelf_count=2, wall=0)
    shelves = derive(c).shelves(0)
    assert [name for _, name in shelves] == ["bottom", "shelf 1", "shelf 2"]
    heavy = c.changed(f"items.0.on_shelves.{shelves[2][0]}", "stores in jars and tins")
    assert "shelf 2, stores in jars and tins" in sags(heavy)
    a, b = (next(f for f in derive(x).size_findings if f.what == "sway sideways") for x in (c, heavy))
    assert a.says != b.says


# By hand: the bottom 932 x 416 mm under 244 kg a square metre (50 lb a square foot) carries 928 N; ends that only rest sag by
# 5 W L^3 / 384 E I, ends held fast by a fifth of it: what dowels and plinth hold lies between.
def test_the_bottom_of_a_cabinet_without_shelves_is_asked_and_judged():
    c = job("cabinet", shelf_count=0, wall=0)
    ((ref, name),) = derive(c).shelves(0)
    assert name == "bottom"
    heavy = c.changed(f"items.0.on_shelves.{ref}", HEAVY)
    d = derive(heavy)
    bottom, (density, moe, _) = d.piece.member(ref), figures_of(d.piece)
    found = next(f for f in d.size_findings if f.what == "sag, bottom")
    area = bottom.length_mm * bottom.width_mm * 1e-6
    weight = G * (244 * area + area * bottom.thickness_mm / 1000 * density)
    rests = 1.6 * 5 * weight * bottom.length_mm**3 / (384 * moe * bottom.width_mm * bottom.thickness_mm**3 / 12)
    assert rests / 5 < found.demand < rests and "records and heavy books standing on it for good" in found.rule
    plain = next((f for f in derive(c).size_findings if f.what == "sag, bottom"), None)
    assert plain is None or plain.demand < found.demand
    held = [next(f for f in derive(x).joint_findings if f.subject == "bottom into side" and f.what.startswith("strength")) for x in (c, heavy)]
    assert held[1].utilisation > held[0].utilisation


def test_unknown_goods_are_refused_in_words_and_the_change_is_told_in_words():
    with pytest.raises(ValueError) as caught:
        BOOKCASE.changed("items.0.on_shelves.A-H2", "anvils")
    assert any("'anvils'; give one of: books" in says for says in refusals(caught.value).values())
    after = BOOKCASE.changed("items.0.on_shelves.A-H2", "books")
    said = [str(c) for c in changes(BOOKCASE, after)]
    assert len(said) == 1 and "A-H2" in said[0] and "books" in said[0]


def test_pieces_without_shelves_have_none_and_what_no_longer_is_there_counts_for_nothing():
    assert derive(job("table")).shelves(0) == []
    fewer = BOOKCASE.changed("items.0.on_shelves.A-H3", HEAVY).changed("items.0.sizes.shelf_count", 1)
    assert derive(fewer).findings and HEAVY not in " ".join(f.subject for f in derive(fewer).findings)


def test_what_stands_on_one_shelf_goes_before_what_stands_on_all():
    loads = loads_of("shelf", "household", {named_on("books", "A-H1"): goods()["books"].force_n})
    # 40 lb a square foot is 1.92 kPa.
    assert on_shelf(loads, "A-H1").force_n == pytest.approx(1915, rel=0.005)
    assert on_shelf(loads, "A-H2") is loads["books"]
