"""Everything derived agrees with everything else, and only what depends on a change is worked out anew."""

from decimal import Decimal

import pytest

from studio_lib.demo import demo, without_layout
from studio_lib.derive import derive
from studio_lib.derived import arrows
from studio_lib.finding import Verdict
from studio_lib.stock import check_layout


@pytest.fixture(scope="module")
def derived():
    return derive(demo())


def test_the_demo_stands(derived):
    assert not [f for f in derived.findings if f.verdict in (Verdict.FAILS, Verdict.OPEN)]


def test_every_finding_names_rule_source_and_a_way_out(derived):
    tight = demo().changed("items.0.sizes.slat_thickness_mm", 12).changed("timber.species", "Norway spruce (whitewood)")
    for f in (*derived.findings, *derive(tight).findings):
        assert f.says and f.subject and f.what and f.stage in ("brief", "timber", "sizes", "joints", "boards")
        if f.verdict is not Verdict.OPEN:
            assert f.rule and f.source, f
        assert f.stands == (not f.mend), f


def test_the_quote_adds_up_to_the_cent(derived):
    p = derived.price
    assert sum(a for _, a in p.quoted) == p.net
    assert p.net + p.tax == p.gross
    assert sum(v for _, v in p.drivers) == p.net
    assert sum(line.amount for line in p.materials) == p.materials_cost
    assert all(a == a.quantize(Decimal("0.01")) for _, a in p.quoted)
    assert abs(p.net - p.net_at(80)) <= len(p.quoted)


def test_materials_are_the_boards_of_the_layout(derived):
    boards = [line for line in derived.materials if line.unit == "board"]
    assert sum(line.amount for line in boards) == derived.layout.cost
    assert sum(line.quantity for line in boards) == len(derived.layout.boards_used)


def test_every_member_is_cut_once(derived):
    from collections import Counter

    placed = Counter()
    for p in derived.layout.placements:
        placed[p.piece_ref] += p.layers
    for row in derived.cutting_list:
        assert placed[row.ref] >= row.count
    assert sum(r.count for r in derived.cutting_list) == sum(len(p.members) for p in derived.pieces)


def test_the_kept_layout_is_used_while_it_fits_and_said_when_it_does_not(derived):
    assert derived.layout_is_kept and all(f.stands for f in derived.board_findings)
    longer = derive(demo().changed("items.0.sizes.length_mm", 2100))
    assert not longer.layout_is_kept
    assert any("no longer fits" in f.says for f in longer.board_findings)
    boards = longer.commission.boards
    assert check_layout(
        longer.layout, longer.wanted, longer.offered, boards.kerf_mm, allowances=longer.allowances,
        end_trim_mm=boards.end_trim_mm, resaw_kerf_mm=boards.resaw_kerf_mm,
    ) == [] or longer.layout.missing


def test_missing_boards_are_named_not_hidden():
    few = without_layout()
    few = few.changed("boards.offered", [b.model_dump(mode="json") for b in few.boards.offered[:3]])
    d = derive(few)
    assert d.layout.missing
    finding = next(f for f in d.board_findings if f.what == "enough timber")
    assert finding.verdict is Verdict.FAILS and "A-L1" in finding.says


def test_no_timber_yet_still_draws_and_says_so():
    d = derive(demo().changed("timber.species", None))
    assert d.piece.members and d.weights_kg == {}
    assert any(f.verdict is Verdict.OPEN and f.subject == "timber" for f in d.findings)


def test_a_missing_figure_is_asked_for_and_a_stand_in_answers():
    bare = derive(demo().changed("timber.species", "Robinia (European-grown)"))
    asked = [f for f in bare.findings if f.verdict is Verdict.OPEN]
    assert asked and "shear strength" in asked[0].says
    answered = derive(bare.commission.changed("timber.stand_ins", ["shear_mpa"]))
    assert not [f for f in answered.findings if f.verdict is Verdict.OPEN]


def test_a_moved_rate_lays_out_nothing_anew():
    derive(demo()).price
    before = (arrows.piece_of.cache_info().misses, arrows.layout_of.cache_info().misses)
    derive(demo().changed("rates.profit_margin", 0.2)).price
    assert (arrows.piece_of.cache_info().misses, arrows.layout_of.cache_info().misses) == before


def test_a_moved_stool_leaves_the_table_alone():
    first = derive(demo())
    moved = derive(demo().changed("items.1.sizes.height_mm", 440))
    assert moved.pieces[0] is first.pieces[0]
    assert moved.pieces[1] is not first.pieces[1]


def test_more_of_a_piece_costs_more_and_less_each():
    one = derive(without_layout())
    plain = without_layout()
    plenty = [b.model_dump(mode="json") | {"count": None} for b in plain.boards.offered]
    six = derive(plain.changed("boards.offered", plenty).changed("items.1.count", 6))
    assert six.price.net > one.price.net
    hours = six.price.hours_at(50) - one.price.hours_at(50)
    assert 0 < hours < 5 * one.price.hours_at(50)


def _every_page(document):
    from studio_lib import summary
    from studio_lib.papers import words

    d = derive(document)
    for page in ("brief", "timber", "sizes", "joints", "boards", "price", "record"):
        assert all(isinstance(line, str) for line in getattr(summary, page)(d))
    assert words.may_differ(d) and words.cautions(d)


def test_every_timber_goes_all_the_way():
    from studio_lib.timber import all_species

    for species in all_species():
        _every_page(demo().changed("timber.species", species.name))


def test_every_place_and_climate_goes_all_the_way():
    from studio_lib.timber import PLACES, climates

    for place in PLACES:
        for climate in climates():
            document = demo().changed("brief.place", place).changed("brief.climate", climate.name)
            _every_page(document.changed("timber.making_moisture_pct", None))


@pytest.mark.parametrize("people", [1, 2, 3, 7, 12, 40])
def test_any_number_of_people_is_answered(people):
    document = demo().changed("items.0.sizes", {}).changed("brief.people", people)
    _every_page(document)
    if people == 40:
        assert any(f.what.startswith("width between the legs") and not f.stands for f in derive(document).findings)


def test_no_piece_yet_is_a_page_not_a_fault():
    _every_page(demo().changed("items", []))
