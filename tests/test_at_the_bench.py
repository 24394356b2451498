"""What makers met at work: a leg taken out, a wall that may not be drilled, a timber of their own, a seat for one, a point that is only noted."""

from __future__ import annotations

import ipywidgets as w
import pytest

from studio_lib.commission import Brief, Commission, Item
from studio_lib.costing.plainer import giving_up
from studio_lib.demo import demo
from studio_lib.derive import derive
from studio_lib.finding import Verdict
from studio_lib.finishing import glues_for
from studio_lib.forms.changes import HANGS
from studio_lib.jobbook import open_book
from studio_lib.papers.words import paragraphs, points
from studio_lib.timber import all_species, own_species, stand_in, timber
from studio_lib.timber.species import with_movement
from workbook.desk import Desk
from workbook.panels import points as points_panel
from workbook.panels import stops as stops_panel


def job(form: str, species: str = "European oak", sizes=None, **brief) -> Commission:
    c = Commission(ref="B1", title=form, items=(Item(name=form, form=form, sizes=sizes or {}),), brief=Brief(**{"place": "indoors, heated", **brief}))
    return c.changed("timber.species", species)


def found(c: Commission, what: str) -> list:
    return [f for f in derive(c).findings if f.what == what]


@pytest.mark.parametrize(("form", "ref", "names"), [
    ("table", "A-L1", ("apron, front",)), ("bench", "A-L1", ("seat rail",)), ("cabinet", "A-L1", ("bottom rail", "plinth")), ("bookcase", "A-L1", ("shelf 1", "bottom")),
])
def test_a_leg_that_is_taken_out_stops_the_papers(form, ref, names):
    c = job(form)
    assert not found(c, HANGS)
    out = found(c.changed("items.0.adjustments", [{"kind": "remove", "member": ref}]), HANGS)
    assert len(out) == 1 and out[0].verdict is Verdict.FAILS and all(n in out[0].says for n in names) and f"Bring {ref} back" in out[0].mend
    assert any(s.holds and s.finding.what == HANGS for s in derive(c.changed("items.0.adjustments", [{"kind": "remove", "member": ref}])).stops)


def test_a_stretcher_that_is_taken_out_leaves_nothing_hanging():
    c = job("bench")
    rail = next(m.ref for m in derive(c).made[0].piece.members if m.role == "stretcher")
    assert not found(c.changed("items.0.adjustments", [{"kind": "remove", "member": rail}]), HANGS)


@pytest.mark.parametrize("form", ["cabinet", "bookcase"])
def test_nothing_is_fixed_to_a_wall_that_may_not_be_drilled(form):
    c = job(form, nothing_drilled=True, sizes={"height_mm": 910} if form == "cabinet" else {})
    assert derive(c).made[0].sizes["wall"] == 0 and not found(c, "holes where none may be")
    fixed = found(c.changed("items.0.sizes.wall", 1), "holes where none may be")
    assert len(fixed) == 1 and fixed[0].verdict is Verdict.FAILS and "nothing may be drilled" in fixed[0].says


OWN = {"name": "Swiss stone pine", "botanical_name": "Pinus cembra", "group": "softwood", "density_12pct_kg_m3": 420, "source": "my own boards", "like": "Eastern white pine"}


def of_own(**timber_fields):
    library = own_species([OWN])
    c = job("chest", wants={"no_tannin_run": 2, "keeps_colour": 1})
    from dataclasses import replace

    d = derive(c)
    return derive(Commission.model_validate(c.model_dump() | {"timber": {"species": OWN["name"], **timber_fields}}), replace(d.known, library=library))


def test_a_timber_of_the_makers_own_is_told_of_in_their_words_and_takes_a_cautious_movement():
    d = of_own()
    assert d.movement_unknown == (
        "Swiss stone pine has no movement across the grain on file. Take the cautious stand-in on the Timber page, enter a figure and its source under "
        "'Timbers and prices of your own' there, or choose another timber.")
    assert d.timber_findings is not None and d.stain_findings is not None  # nothing of it is a fault of the page
    taken = of_own(stand_ins=("movement_tangential_per_pct",))
    assert not taken.movement_unknown
    # No livelier than any softwood of its weight on file: FPL-GTR-190 table 13-5, the coefficients of change.
    alike = [s.movement_tangential_per_pct for s in all_species() if s.group == "softwood" and s.movement_tangential_per_pct and abs(s.density_12pct_kg_m3 - 420) <= 42]
    assert taken.species.movement_tangential_per_pct == max(alike)
    assert taken.movement_mm(100.0, taken.moisture.high_pct) > 0 and "stand-in" in taken.species.source_of("movement_tangential_per_pct")


def test_a_timber_with_its_movement_on_file_takes_none_from_another():
    oak = timber("European oak")
    assert with_movement(oak) is oak
    with pytest.raises(ValueError, match="has movement_tangential_per_pct on file"):
        stand_in(oak, "movement_tangential_per_pct")


def test_glues_are_looked_through_for_what_someone_is_allergic_to():
    judged = {g.adhesive.family: g for g in glues_for(timber("European oak"), "indoors, heated", 0.1, None, allergies=("formaldehyde", "preservatives (isothiazolinones)"))}
    assert judged["urea-formaldehyde"].verdict is Verdict.FAILS and "formaldehyde" in " ".join(judged["urea-formaldehyde"].reasons)
    assert judged["PVA, D3"].verdict is Verdict.LOOK_AGAIN and "dry gives next to none" in " ".join(judged["PVA, D3"].reasons)
    assert "allergic" not in " ".join(judged["epoxy, two-part"].reasons)


def test_no_doors_means_an_open_front_and_nothing_to_give_up():
    d = derive(job("cabinet", asked="A cabinet for records, no doors on it.", sizes={"width_mm": 1300}))
    assert (d.made[0].sizes["doors"], d.made[0].sizes["drawer_rows"]) == (0, 0)
    assert not [t for t in giving_up(d) if "doors" in t.says]


def test_a_short_bench_is_a_seat_for_one():
    c = job("bench", sizes={"length_mm": 700, "back": 2}, people=8)
    seats = found(c, "length for each sitter")
    assert len(seats) == 1 and "one of the adults" in seats[0].says and "like it" not in seats[0].says


@pytest.mark.parametrize("timber_name", ["Spotted gum", "European oak", "Robinia (European-grown)"])
@pytest.mark.parametrize("form", ["bench", "slatted table", "slatted stool"])
def test_gaps_as_proposed_catch_no_childs_finger(form, timber_name):
    # 8 to 25 mm: EN 1176, from memory; CFOC standard 6.2.1.9 gives 3/8 to 1 in.
    c = job(form, timber_name, place="outdoors, in the weather", children=True)
    assert all(f.stands for f in found(c, "fingers")) and all(wet >= 3.0 for wet, _, _ in derive(c).slat_gaps.values())


def test_a_point_can_be_noted_and_its_box_grows_with_the_words(tmp_path):
    c = demo().changed("brief.points", [{"words": "We only eat there at weekends.", "answer": "noted", "note": ""}])
    assert ("We only eat there at weekends.", "noted") in points(derive(c))
    book = open_book(tmp_path)
    book.add(c)
    row = points_panel.one(Desk(book), 0, lambda: None)
    note = [b for b in parts_of(row) if isinstance(b, w.Textarea)][1]
    before = note.rows
    note.value = "All of it goes through the gate, the table too, on its side and without its legs. " * 3
    assert note.rows > before
    book.close()


def parts_of(widget):
    yield widget
    for child in getattr(widget, "children", ()):
        yield from parts_of(child)


def test_a_stop_that_is_accepted_without_a_reason_says_so_beside_it(tmp_path):
    book = open_book(tmp_path)
    book.add(job("cabinet", nothing_drilled=True, sizes={"height_mm": 910, "wall": 1}))
    desk = Desk(book)
    panel = stops_panel.panel(desk)
    press = next(b for b in parts_of(panel) if isinstance(b, w.Button) and b.description == "Accept it knowingly")
    press.click()
    assert not desk.commission.accepted and not desk.refused
    assert any("say who answers for it, by role, and why" in b.value for b in parts_of(panel) if isinstance(b, w.HTML))
    book.close()


def test_names_go_into_sentences():
    c = job("bench").changed("items.0.name", "Mum's armchair")
    assert any("Mum's armchair is" in p and "the Mum's" not in p and "The Mum's" not in p for p in paragraphs(derive(c)))
    assert any(" The low shelf is" in p for p in paragraphs(derive(job("bookcase").changed("items.0.name", "Low shelf"))))


def test_arms_that_stop_at_the_apron_are_told_of():
    seat = {"name": "armchair", "form": "bench", "sizes": {"length_mm": 700, "back": 2}}
    c = job("table", sizes={"length_mm": 1800}).changed("items", [{"name": "table", "form": "table", "sizes": {"length_mm": 1800}}, seat])
    d = derive(c)
    told = [f for f in d.findings if f.what == "arms under the apron"]
    arms = max(m.piece_box.hi[2] for m in d.made[1].piece.members if m.role == "arm")
    apron = min(m.piece_box.lo[2] for m in d.made[0].piece.members if m.role == "apron")
    assert len(told) == 1 and told[0].stands is (arms <= apron - 10) and told[0].verdict is (Verdict.STANDS if arms <= apron - 10 else Verdict.LOOK_AGAIN)
    low = derive(c.changed("items.1.sizes.arm_height_mm", 182))
    assert [f.stands for f in low.findings if f.what == "arms under the apron"] == [True]
    plain = derive(c.changed("items.1.sizes.back", 0))
    assert not [f for f in plain.findings if f.what == "arms under the apron"]
