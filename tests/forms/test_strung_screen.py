"""Strung screen: the stack closes on the opening, the chance is kept, cables and spacers are counted, refusals in words."""

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from studio_lib.commission import Adjustment, Brief, Commission, Item, Removed, TimberChoice
from studio_lib.derive import derive
from studio_lib.finding import Verdict
from studio_lib.forms import FORMS, SizeRefused, Surroundings, make, settled
from studio_lib.forms.changes import unmade
from studio_lib.piece.cable import StrungCable
from studio_lib.piece.checks import mortises_apart, piece_findings, shoulders_meet
from tests.forms import invariants

NAME = "strung screen"
FORM = FORMS[NAME]

sizes = st.fixed_dictionaries({}, optional={
    "length_mm": st.one_of(st.integers(500, 1500), st.floats(300, 2600)), "height_mm": st.one_of(st.integers(800, 2000), st.floats(400, 2600)),
    "stands": st.sampled_from([0, 1]), "lie": st.sampled_from([0, 1]), "slat_a_mm": st.one_of(st.integers(20, 90), st.integers(12, 150)),
    "slat_b_mm": st.one_of(st.just(0), st.integers(15, 120)), "slat_c_mm": st.one_of(st.just(0), st.integers(0, 150)),
    "slat_thickness_mm": st.one_of(st.integers(16, 30), st.integers(12, 50)), "side_gap_mm": st.integers(2, 60),
    "spacer_mm": st.one_of(st.integers(6, 30), st.integers(3, 80)), "counts": st.sampled_from([0, 1]), "spacers_least": st.integers(0, 3),
    "spacers_most": st.integers(2, 6), "seed": st.integers(0, 999_999), "pattern": st.integers(1, 99_999), "cables": st.integers(1, 4),
    "cable_mm": st.sampled_from([2, 3, 4, 6]), "tension_n": st.integers(50, 1500), "spring_mm": st.integers(0, 40),
    "post_width_mm": st.integers(30, 120), "frame_thickness_mm": st.one_of(st.integers(32, 70), st.integers(24, 90)),
    "rail_width_mm": st.integers(40, 160), "below_mm": st.integers(24, 300), "foot_mm": st.integers(150, 1200),
    "foot_height_mm": st.integers(30, 100), "arris_mm": st.sampled_from([0, 1, 2, 3]),
})
REFUSED = []


def drawn(given_, brief=Brief(), **more):
    """The piece, or None where it is refused in words for a size of this form."""
    try:
        return make(NAME, brief, **given_, **more)
    except SizeRefused as refused:
        assert refused.field in {s.name for s in FORM.sizes}, refused.field
        assert str(refused).endswith(".") and any(c.isdigit() for c in str(refused))
        return None


def chosen(brief=Brief(), timber="", **more):
    return settled(FORM, brief, Surroundings(timber), more)


@settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(sizes, st.builds(Brief, children=st.booleans()), st.sampled_from(["", "European oak"]))
def test_any_sizes_make_a_sound_screen_or_are_refused_in_words(given_, brief, timber):
    piece = drawn(given_, brief, timber=timber)
    REFUSED.append(piece is None)
    if piece is None:
        return
    assert shoulders_meet(piece) == []
    if len(piece.members) <= 35:
        assert invariants.all_of(piece) == []
    else:
        assert invariants.hollow(piece) == [] and invariants.joints_without_sides(piece) == []
    assert all(f.verdict in Verdict for f in FORM.fit(piece, chosen(brief, timber, **given_), brief))


def test_not_more_than_half_the_draws_were_refused():
    assert REFUSED and sum(REFUSED) <= 0.55 * len(REFUSED)


@settings(max_examples=20, deadline=None)
@given(sizes)
def test_both_kernels_build_the_same(given_):
    piece = drawn(given_)
    if piece is not None and len(piece.members) <= 30:
        assert invariants.kernels_differ(piece) == []


@settings(max_examples=200, deadline=None)
@given(sizes)
def test_the_stack_closes_between_the_rails(given_):
    piece = drawn(given_)
    if piece is None:
        return
    boxes = {m.ref: m.piece_box for m in piece.members}
    slats = sorted((m.piece_box for m in piece.members if m.role == "slat"), key=lambda b: b.lo[2])
    bottom, top = boxes["A-R1"].hi[2], boxes["A-R2"].lo[2]
    edges = [bottom, *(z for b in slats for z in (b.lo[2], b.hi[2])), top]
    gaps = [hi - lo for lo, hi in zip(edges[::2], edges[1::2])]
    spacer = round(given_.get("spacer_mm", 12), 2)
    assert sum(gaps) + sum(b.size[2] for b in slats) == pytest.approx(top - bottom)
    counts = [g / spacer for g in gaps]
    assert all(c == pytest.approx(round(c), abs=1e-6) for c in counts)
    if not given_.get("counts"):
        low, high = given_.get("spacers_least", 1), given_.get("spacers_most", 3)
        assert all(low <= round(c) <= high for c in counts)
    else:
        figures = str(given_.get("pattern", 1213))
        assert [round(c) for c in counts] == [int(figures[k % len(figures)]) for k in range(len(counts))]
    bought = [h for j in piece.joints for h in j.hardware(piece)]
    cables = next(j.cables for j in piece.joints if isinstance(j, StrungCable))
    assert sum(h.count for h in bought if h.name.startswith("spacer")) == round(sum(counts)) * cables
    assert len([h for h in bought if h.unit == "m"]) == 1
    assert boxes["A-R1"].lo[2] >= round(given_.get("below_mm", 80), 2) - 1e-6


def test_the_same_number_makes_the_same_screen_and_another_another():
    one, same, other = (make(NAME, Brief(), seed=n) for n in (11, 11, 12))
    assert one.members == same.members and one.members != other.members


def test_at_the_proposed_sizes_nothing_fails_in_its_joints():
    for more in ({}, {"lie": 1}, {"stands": 0}, {"counts": 1}):
        piece = make(NAME, Brief(), timber="European oak", **more)
        assert [f for f in mortises_apart(piece) if f.verdict is Verdict.FAILS] == []
        assert {f.what for f in piece_findings(piece) if not f.stands} == {"cable under tension"}


def test_the_commission_knows_stack_weight_cables_and_the_year():
    c = Commission(ref="S-1", title="screen", brief=Brief(place="outdoors, under cover"), timber=TimberChoice(species="European oak"),
                   items=(Item(name="screen", form=NAME),))
    d = derive(c)
    stack = next(f for f in d.findings if f.what == "the stack")
    assert "kg" in stack.says and "cables of" in stack.says
    assert {"shortening", "lengthening"} <= {f.what for f in d.joint_findings}
    assert [f for f in d.joint_findings if f.what in ("shortening", "lengthening") and f.verdict is Verdict.FAILS] == []
    stiff = derive(c.changed("items.0.sizes.spring_mm", 0.0))
    assert any(f.what == "shortening" and f.verdict is Verdict.FAILS for f in stiff.joint_findings)
    assert d.cutting_list and d.weights_kg["screen"] > 5


def test_children_get_gaps_that_hold_neither_finger_nor_head():
    brief = Brief(children=True)
    piece = make(NAME, brief)
    found = FORM.fit(piece, chosen(brief), brief)
    assert [f.says for f in found if f.what == "fingers" and not f.stands] == []
    assert all(not 89 <= min(w, h) <= 229 for _, w, h in FORM.holes(chosen(brief)))
    assert any("eye protection" in f.mend for f in found)
    narrow = make(NAME, brief, spacer_mm=12)
    assert any(f.what == "fingers" and f.verdict is Verdict.FAILS for f in FORM.fit(narrow, chosen(brief, spacer_mm=12), brief))


def test_changes_of_the_makers_own_are_made_and_the_rest_is_strung_on():
    changes = (Removed(member="A-S4"), Adjustment(member="A-S6", field="width_mm", value=20))
    piece = make(NAME, Brief(), adjustments=changes)
    assert "A-S4" not in piece.by_ref and piece.member("A-S6").width_mm == 20 and unmade(piece) == ()
    assert invariants.all_of(piece) == []
    assert sum(j.leads(piece) for j in piece.joints if isinstance(j, StrungCable)) == 1
    assert invariants.there_and_back(Item(name="screen", form=NAME, sizes={"seed": 3, "pattern": 1213}, adjustments=changes))


@pytest.mark.parametrize(
    ("given_", "field", "words"),
    [
        ({"spacers_least": 5, "spacers_most": 2}, "spacers_least", "lower number first"), ({"slat_b_mm": 5}, "slat_b_mm", "0 for none"),
        ({"slat_thickness_mm": 12, "cable_mm": 6}, "slat_thickness_mm", "give 15 mm or more"),
        ({"from_end_mm": 700}, "from_end_mm", "fewer cables"), ({"spacer_mm": 80, "spacers_most": 9, "spacers_least": 9, "stands": 1}, "spacers_most", "390 mm"),
        ({"height_mm": 400, "rail_width_mm": 200}, "rail_width_mm", "60 mm are needed"), ({"counts": 3}, "counts", "1 for by hand"),
        ({"length_mm": 300, "post_width_mm": 120}, "post_width_mm", "100 mm are needed"),
    ],
)
def test_what_cannot_be_is_refused_with_the_way_out(given_, field, words):
    with pytest.raises(SizeRefused, match=words) as refused:
        make(NAME, Brief(), **given_)
    assert refused.value.field == field
