"""The maker's own changes on every form: made or said, listed, kept through other sizes, and gone without a trace when put by."""

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from studio_lib.commission import (
    Added,
    Adjustment,
    Brief,
    ByCorner,
    Copied,
    Item,
    Moved,
    Removed,
    Shaped,
    Spanning,
    Swapped,
    Unjoined,
)
from studio_lib.forms import FORMS, SizeRefused, make
from studio_lib.forms.changes import in_words, unmade
from studio_lib.piece.kinds import KINDS
from studio_lib.stock.cutting_list import cutting_list
from tests.forms import invariants

MADE = {n: make(n, Brief(), timber="oak", swell_fraction=0.02) for n in FORMS if n != "freehand"}
SAFE = settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.too_slow])


@st.composite
def changed(draw):
    """A form and one to five changes that a maker might make on it, sensible or not."""
    name = draw(st.sampled_from(sorted(MADE)))
    piece = MADE[name]
    refs = st.sampled_from([m.ref for m in piece.members])
    families = st.sampled_from(sorted({j.family for j in piece.joints}))
    some = st.integers(-400, 400).map(float)
    shift = st.tuples(some, some, some)
    one = st.one_of(
        st.builds(Adjustment, member=refs, field=st.sampled_from(["width_mm", "thickness_mm"]), value=st.integers(8, 200).map(float)),
        st.builds(Adjustment, member=refs, field=st.just("boards"), value=st.integers(1, 4)),
        st.builds(Moved, member=refs, by_mm=shift, turn_deg=st.sampled_from([0.0, 0.0, 90.0, 15.0])),
        st.builds(Copied, member=refs, ref=st.just("A-Z1"), by_mm=shift, with_joints=st.booleans()),
        st.builds(Removed, member=refs),
        st.builds(Added, ref=st.just("A-Z2"), name=st.just("stretcher"), width_mm=st.just(40.0), thickness_mm=st.just(22.0),
                  place=st.one_of(st.builds(Spanning, one=refs, two=refs), st.builds(ByCorner, at_mm=shift))),
        st.builds(Shaped, member=refs, shaping=st.just("chamfer"), figures=st.fixed_dictionaries({"across_mm": st.sampled_from([2.0, 6.0])})),
        st.builds(Swapped, family=families, joint=st.sampled_from(sorted(KINDS))),
        st.builds(lambda j: Unjoined(first=j.first, second=j.second), st.sampled_from(list(piece.joints))),
    )
    return name, tuple(draw(st.lists(one, min_size=1, max_size=5)))


@SAFE
@given(changed())
def test_any_changes_are_made_or_said_and_leave_no_trace_when_put_by(what):
    name, changes = what
    item = Item(name="one", form=name, adjustments=changes)
    assert invariants.there_and_back(item)
    assert all(in_words(c) for c in changes)
    try:
        piece = make(name, Brief(), timber="oak", swell_fraction=0.02, adjustments=changes)
    except SizeRefused as refused:
        assert refused.field and str(refused).endswith("."), refused
    else:
        assert invariants.references_twice(piece) == [] and invariants.joints_without_sides(piece) == []
        assert {f.subject for f in unmade(piece)} <= {f"change {k}" for k in range(1, len(changes) + 1)}
        assert sum(r.count for r in cutting_list([(piece, 1)])) == len(piece.members)
        for m in piece.members:
            piece.shape(m.ref)
    put_by = tuple(c.model_copy(update={"off": True}) for c in changes)
    assert make(name, Brief(), timber="oak", swell_fraction=0.02, adjustments=put_by) == MADE[name]


OTHER = {
    "bench": ("length_mm", 1500), "table": ("length_mm", 1600), "stool": ("height_mm", 500), "slatted table": ("length_mm", 1600),
    "slatted stool": ("height_mm", 500), "bookcase": ("height_mm", 1700), "cabinet": ("width_mm", 900), "chest": ("width_mm", 900),
    "framed screen": ("height_mm", 1700), "strung screen": ("height_mm", 1500),
}


@pytest.mark.parametrize("name", sorted(OTHER))
def test_a_change_of_ones_own_outlives_a_change_of_the_forms_sizes(name):
    size, value = OTHER[name]
    target = next(m for m in MADE[name].members if m.role in ("slat", "shelf", "apron", "lid", "top", "seat", "stretcher", "lower rail", "seat rail"))
    wider = round(target.width_mm + 3.0, 1)
    own = (Adjustment(member=target.ref, field="width_mm", value=wider), Adjustment(member=target.ref, field="name", value="my own"))
    piece = make(name, Brief(), timber="oak", swell_fraction=0.02, adjustments=own, **{size: value})
    kept = piece.member(target.ref)
    assert kept.name == "my own" and (kept.width_mm == wider or unmade(piece))


def test_a_change_to_a_member_that_is_gone_is_reported_and_comes_back():
    own = (Adjustment(member="A-H3", field="name", value="for atlases"),)
    few = make("bookcase", Brief(), shelf_count=2, adjustments=own)
    assert [f.subject for f in unmade(few)] == ["change 1"] and "A-H3" in unmade(few)[0].says
    assert make("bookcase", Brief(), shelf_count=4, adjustments=own).member("A-H3").name == "for atlases"


def free_to_move():
    """Every family that hangs on hinges or is put together where the piece stands, in pieces that have them."""
    pieces = [
        make("chest", Brief(), timber="oak"), make("cabinet", Brief(), timber="oak", doors=2),
        make("framed screen", Brief(), timber="oak", stands=2), make("bookcase", Brief(), timber="oak", cases=1),
    ]
    return [(p, j) for p in pieces for j in {j.family: j for j in p.joints}.values()
            if j.kind == "hinges" or j.family in ("upper case on lower", "fillet on side")]


def test_what_turns_or_comes_apart_is_never_swapped_for_what_holds_it_fast():
    seen = free_to_move()
    assert {p.form for p, _ in seen} == {"chest", "cabinet", "framed screen", "bookcase"}
    again = {"chest": {}, "cabinet": {"doors": 2}, "framed screen": {"stands": 2}, "bookcase": {"cases": 1}}
    for piece, joint in seen:
        for kind in ("dowels", "glued on", "mortise and tenon") + (("screws",) if joint.kind == "hinges" else ()):
            swapped = make(piece.form, Brief(), timber="oak", adjustments=(Swapped(family=joint.family, joint=kind),), **again[piece.form])
            assert {j.kind for j in swapped.joints if j.family == joint.family} == {joint.kind}, (joint.family, kind)
            assert f"{kind} would hold it fast" in unmade(swapped)[0].says


def test_a_bolt_that_comes_apart_is_not_screwed_fast():
    def table(*changes):
        return make("table", Brief(), timber="oak", swell_fraction=0.02, adjustments=changes)

    family = next(j.family for j in table().joints if j.kind == "mortise and tenon" and "leg" in j.family)
    bolted = Swapped(family=family, joint="bolt and barrel nut")
    fast = table(bolted, Swapped(family=family, joint="loose tenon"))
    assert {j.kind for j in fast.joints if j.family == family} == {"bolt and barrel nut"}
    assert "made to come apart" in unmade(fast)[0].says and "bolt and barrel nut" in unmade(fast)[0].says
