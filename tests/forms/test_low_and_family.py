"""A low table beside a bench: nobody sits at it, the bench stands by itself, the two look like one family, on ground that falls."""

import pytest

from studio_lib.commission import Brief, Commission, Item
from studio_lib.compare import changes
from studio_lib.derive import derive
from studio_lib.finding import Verdict
from studio_lib.forms import make
from studio_lib.forms.family import ALIKE, in_common, taken_over
from studio_lib.forms.sloping import LEGS, SLABS, WHAT
from studio_lib.handover import delivery_note
from studio_lib.look.arranged import _reach, arranged, scene_of

TABLES = ("slatted table", "table")


def job(form="slatted table", table="", table_sizes=None, bench=None, **brief):
    """A bench and a table, the bench first."""
    told = {"people": 4, "place": "outdoors, in the weather"} | brief
    c = Commission(ref="2026-001", title="beside the house", brief=Brief(**told), items=(
        Item(name="bench", form="bench", **(bench or {})), Item(name="tea table", form=form, table=table, sizes=table_sizes or {}),
    ))
    return derive(c.changed("timber.species", "European oak"))


def about(d, name):
    return [f for f in d.findings if f.piece == name or f.subject == name]


# ---------------------------------------------------------------- the table


@pytest.mark.parametrize("form", TABLES)
@pytest.mark.parametrize("how", ({"table": "low"}, {"table_sizes": {"height_mm": 450.0}}, {"most_height_mm": 450.0}))
def test_nobody_sits_at_a_low_table(form, how):
    d = job(form, **how)
    table = d.made[1]
    assert table.table == "low" and 420 <= table.piece.overall_mm[2] <= 450
    said = " ".join(f"{f.subject} {f.what} {f.says} {f.rule}" for f in d.findings if f.piece == "tea table")
    assert not any(word in said for word in ("diner", "knee", "chair", "wheelchair")), said
    assert d.suits(1) == {}
    assert [f for f in about(d, "tea table") if f.verdict is Verdict.FAILS] == []


# A furniture guide: low tables 36 to 48 in. long (915 to 1220 mm), 18 in. (455 mm) wide.
@pytest.mark.parametrize("form", TABLES)
@pytest.mark.parametrize(("people", "long"), ((2, 920), (8, 1220)))
def test_a_low_table_is_proposed_by_reach_and_not_by_diners(form, people, long):
    size = make(form, job(form, "low", people=people).made[1].brief).overall_mm
    assert size[:2] == (long, 460) and 420 <= size[2] <= 450


@pytest.mark.parametrize("form", TABLES)
@pytest.mark.parametrize("use", ("household", "public"))
@pytest.mark.parametrize("place", ("indoors, heated", "outdoors, in the weather"))
def test_a_low_table_holds_as_proposed(form, use, place):
    d = job(form, "low", use=use, place=place)
    assert [f.says for f in about(d, "tea table") if f.verdict is Verdict.FAILS] == []


@pytest.mark.parametrize("form", TABLES)
def test_a_table_said_to_be_eaten_at_is_asked_for_knees_however_low(form):
    d = job(form, "eaten at", {"height_mm": 450.0})
    assert [f.verdict for f in d.size_findings if f.subject == "knees"] == [Verdict.FAILS]
    assert job(form).made[1].table == "eaten at" and job(form).made[1].sizes["height_mm"] >= 735


def test_a_table_for_children_alone_is_sat_at_however_low():
    d = job("table", children_alone=True, child_ages=(4.0, 5.0), people=2)
    assert d.made[1].sizes["height_mm"] < 600 and d.made[1].table == "eaten at" and d.made[0].at_table


# ---------------------------------------------------------------- the bench


@pytest.mark.parametrize("form", TABLES)
@pytest.mark.parametrize("how", ({"table": "low"}, {"table_sizes": {"height_mm": 450.0}}, {"bench": {"stands": "by itself"}}, {"bench": {"stands": "at a wall"}}))
def test_a_bench_that_is_not_at_the_table_is_a_bench_on_its_own(form, how):
    d = job(form, **how)
    c = d.commission
    alone = derive(c.changed("items", [c.items[0].model_dump(mode="json")]))
    assert d.made[0].sizes == alone.made[0].sizes and d.made[0].brief.people == 4 and not d.made[0].at_table
    assert "between the legs" not in d.made[0].proposals["length_mm"].why
    said = [f for f in d.size_findings if f.piece == "bench"]
    assert not [f for f in said if f.what in ("thighs under the apron", "seat to table top")]


def test_at_the_table_is_as_nothing_said_and_its_price_follows():
    unsaid, at, free = job(), job(bench={"stands": "at the table"}), job(bench={"stands": "by itself"})
    assert unsaid.made[0].sizes == at.made[0].sizes and at.made[0].at_table
    assert "between the legs" in at.made[0].proposals["length_mm"].why
    assert free.made[0].sizes["length_mm"] != at.made[0].sizes["length_mm"]
    assert free.ballpark.net[1] > at.ballpark.net[1]


def test_a_seat_at_a_high_table_is_no_seat_of_a_low_one_before_it():
    low = Item(name="tea table", form="slatted table", table="low")
    high = Item(name="dining table", form="table")
    d = derive(Commission(ref="2026-001", title="x", brief=Brief(people=4), items=(low, Item(name="bench", form="bench"), high)))
    assert d.made[1].at_table and "dining table" in d.made[1].proposals["length_mm"].why


def test_the_record_tells_what_was_said_of_a_piece():
    before = job().commission
    said = [str(x) for x in changes(before, before.changed("items.1.table", "low").changed("items.0.stands", "at a wall"))]
    assert "tea table, whether people eat at it: not set -> low" in said and "bench, where it stands: not set -> at a wall" in said


# ---------------------------------------------------------------- pictures


def ends(stood):
    boxes = [m.piece_box for m in stood.piece.members]
    return [(min(b.lo[k] for b in boxes) + stood.offset_mm[k], max(b.hi[k] for b in boxes) + stood.offset_mm[k]) for k in (0, 1)]


@pytest.mark.parametrize("first", (0, 1))
def test_a_low_table_stands_before_its_bench(first):
    d = job(table="low", bench={"stands": "at a wall"})
    made = d.made if not first else d.made[::-1]
    stood = {s.piece.name: s for s in arranged(made)}
    (b_left, b_right), (b_front, b_back) = ends(stood["bench"])
    (t_left, t_right), (t_front, t_back) = ends(stood["tea table"])
    assert t_back == pytest.approx(b_front - 400) and (t_left + t_right) / 2 == pytest.approx((b_left + b_right) / 2)
    assert t_right - t_left > t_back - t_front and not stood["bench"].turned
    assert b_back == max(b_back, t_back)


def test_taken_apart_the_low_table_keeps_clear_of_its_bench():
    d = job(table="low")
    at = {name: (members, offset) for name, members, offset in scene_of(arranged(d.made))}

    def end(name, sign):
        """How far a piece taken apart reaches to the back (1) or the front (-1)."""
        members, offset = at[name]
        return offset[1] + sign * _reach(members, 1, sign)

    assert end("tea table", 1) < end("bench", -1)


def test_at_a_high_table_the_bench_stands_at_its_long_side_and_one_at_a_wall_does_not():
    at = {s.piece.name: s for s in arranged(job().made)}
    assert at["bench"].offset_mm[0] == 0 and at["bench"].offset_mm[1] != 0 and at["bench"].out is not None
    free = {s.piece.name: s for s in arranged(job(bench={"stands": "at a wall"}).made)}
    assert free["bench"].out is None and free["bench"].offset_mm[0] > 0
    assert ends(free["bench"])[1][1] == max(ends(s)[1][1] for s in free.values())


def test_what_stands_at_a_wall_ends_at_one_wall():
    items = (Item(name="bench", form="bench", stands="at a wall"), Item(name="cabinet", form="cabinet", stands="at a wall"))
    d = derive(Commission(ref="2026-001", title="hall", items=items))
    backs = [ends(s)[1][1] for s in arranged(d.made)]
    assert backs[0] == pytest.approx(backs[1])


# ---------------------------------------------------------------- one family


@pytest.mark.parametrize("form", TABLES)
def test_a_table_takes_the_sections_of_its_bench(form):
    d = job(form, "low", bench={"sizes": {"leg_mm": 58.0, "arris_mm": 3.0, "seat_thickness_mm": 30.0}})
    taken = d.sections_from(1, 0)
    after = derive(taken_over(d.commission, 1, taken))
    bench, table = after.made
    for mine, theirs in (("leg_mm", "leg_mm"), ("arris_mm", "arris_mm"), ("gap_mm", "gap_mm"), ("apron_width_mm", "apron_width_mm"),
                         ("apron_thickness_mm", "apron_thickness_mm"), ("apron_setback_mm", "apron_setback_mm")):
        assert table.sizes[mine] == bench.sizes[theirs], mine
    assert table.sizes["slat_thickness_mm" if form == "slatted table" else "top_thickness_mm"] == 30
    # The nearest to the bench's slats that a whole number of them gives.
    def wide(m):
        return max(x.width_mm for x in m.piece.members if x.role == "slat")

    count = "slat_count" if form == "slatted table" else "board_count"
    near = abs(wide(table) - wide(bench))
    for other in (-1, 1):
        less = derive(after.commission.changed(f"items.1.sizes.{count}", table.sizes[count] + other))
        assert abs(wide(less.made[1]) - wide(bench)) > near
    assert table.piece.overall_mm == d.made[1].piece.overall_mm and taken.refused == ()
    assert any(line.startswith("legs: ") and line.endswith("-> 58 mm") for line in taken.told)
    assert after.sections_from(1, 0).told == () and "legs" in after.sections_from(1, 0).already


def test_what_the_rules_refuse_is_said_and_the_rest_taken():
    d = job("slatted table", "low", bench={"sizes": {"leg_mm": 110.0}}, table_sizes={"width_mm": 350.0, "overhang_side_mm": 40.0})
    taken = d.sections_from(1, 0)
    assert "leg_mm" not in taken.sizes and taken.sizes
    assert len(taken.refused) == 1 and taken.refused[0].startswith("legs of 110 mm: ") and "Not taken: legs of 110 mm" in taken.says
    assert derive(taken_over(d.commission, 1, taken)).made[1].sizes["leg_mm"] == d.made[1].sizes["leg_mm"]


def test_tapers_of_the_legs_come_with_them_and_look_the_same_way():
    tapers = [{"kind": "shape", "member": f"A-L{k}", "shaping": "taper", "figures": {"side": "face", "towards": "start", "from_mm": 300.0, "off_mm": 12.0}} for k in (1, 3)]
    d = job(table="low", bench={"sizes": {"back": 0}, "adjustments": tapers})
    after = derive(taken_over(d.commission, 1, d.sections_from(1, 0)))

    def faces(piece):
        out = {}
        for m in piece.members:
            for x in m.shaping:
                p = m.placement
                ways = {"face": p.through, "back": tuple(-v for v in p.through), "upper": p.across, "lower": tuple(-v for v in p.across)}
                out[m.name] = tuple(round(v) for v in ways[x.side])
        return out

    assert faces(after.pieces[0]) and faces(after.pieces[1]) == faces(after.pieces[0])
    assert after.sections_from(1, 0).told == ()


def test_two_forms_share_what_they_have_by_name_and_meaning():
    assert {"legs", "slat or board thickness", "arrises"} <= set(in_common("bench", "table"))
    assert "legs" not in in_common("bookcase", "bench") and in_common("freehand", "bench") == ()
    from studio_lib.forms import FORMS

    for made in FORMS.values():
        names = [s.name for s in made.sizes]
        assert all(sum(n in names for n in alike) <= 1 for alike in ALIKE.values()), made.name


# ---------------------------------------------------------------- the ground


# By the level: 40 mm over 2 m is 20 mm in a metre.
def test_the_fall_under_a_free_piece_is_told_over_its_feet():
    d = job(table="low", bench={"sizes": {"length_mm": 2400.0, "overhang_end_mm": 50.0, "back": 0}}, ground="gravel", floor_falls_mm=40.0)
    f = next(f for f in d.size_findings if f.piece == "bench" and f.what == WHAT)
    assert f.verdict is Verdict.LOOK_AGAIN and f.demand == pytest.approx(46.0)
    assert "46 mm over its length, its feet 2300 mm apart" in f.says and "slab" in f.mend and "longer than drawn" in f.mend
    words = " ".join(w for _, w in delivery_note(d).fixing)
    assert "falls about 46 mm over its length" in words and "not settled" in words and "gravel" in delivery_note(d).level.lower()


@pytest.mark.parametrize(("way", "said", "other"), ((SLABS, "slab under each foot", "longer than drawn"), (LEGS, "longer than drawn", "slab under each foot")))
def test_what_the_maker_settled_is_said_and_nothing_else_and_the_piece_stays(way, said, other):
    before = job(table="low", ground="gravel", floor_falls_mm=40.0)
    d = derive(before.commission.changed("brief.fall_met", way))
    found = [f for f in d.size_findings if f.what == WHAT]
    assert len(found) == 2 and all(f.stands and said in f.says and other not in f.says for f in found)
    words = " ".join(w for _, w in delivery_note(d).fixing)
    assert said in words and other not in words
    assert d.pieces == before.pieces


def test_a_level_floor_a_small_fall_and_a_case_ask_nothing_of_it():
    assert not [f for f in job().size_findings if f.what == WHAT]
    assert all(f.stands for f in job(table="low", floor_falls_mm=2.0).size_findings if f.what == WHAT)
    case = derive(Commission(ref="2026-001", title="x", brief=Brief(floor_falls_mm=40.0), items=(Item(name="case", form="bookcase"),)))
    assert not [f for f in case.size_findings if f.what == WHAT]


def test_gravel_has_its_consequences():
    from studio_lib.look.scenes import ground

    gravel, paving = job(table="low", ground="gravel"), job(table="low", ground="paving")
    assert ground(paving) == "paving" and ground(gravel) == "floor"
    assert "do not rock" in delivery_note(paving).level and "do not rock" not in delivery_note(gravel).level
    pushed = [f.says for f in gravel.size_findings if f.what == "pushed at the top" and " slides first" in f.says]
    assert pushed and all("in gravel its feet catch" in says for says in pushed)


@pytest.mark.parametrize("brief", [{"frail": True}, {"tallest_person_mm": 1960}, {"tallest_person_mm": 1960, "people": 1}, {"tallest_person_mm": 1580, "people": 1, "frail": True}])
def test_a_stool_at_the_height_that_is_proposed_for_these_people_does_not_fail_for_their_heels(brief):
    from studio_lib.commission import Commission, Item

    c = Commission(ref="C9", title="Stool", items=(Item(name="stool", form="slatted stool"),)).changed("timber.species", "European ash")
    for name, value in brief.items():
        c = c.changed(f"brief.{name}", value)
    found = next(f for f in derive(c).size_findings if f.what == "heels on the floor")
    assert found.stands and ("1960 mm" in found.says or "1580 mm" in found.says or "which is meant" in found.says)
    higher = derive(c.changed("items.0.sizes.height_mm", derive(c).made[0].sizes["height_mm"] + 60))
    assert not next(f for f in higher.size_findings if f.what == "heels on the floor").stands
