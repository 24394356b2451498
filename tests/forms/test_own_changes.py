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
from studio_lib.forms.changes import YES_OR_NO, figures_left_aside, in_words, left_aside, renamed, swapped, unmade
from studio_lib.piece.kinds import KINDS, can_become
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


@st.composite
def swapped_with_figures(draw):
    """A form, one family of its joints swapped for any kind, and figures for that kind, sensible or not."""
    name = draw(st.sampled_from(sorted(MADE)))
    family = draw(st.sampled_from(sorted({j.family for j in MADE[name].joints})))
    kind = draw(st.sampled_from(sorted(KINDS)))
    figure = st.sampled_from([0.0, 1.0, 2.0, 3.0, 6.0, 9.0, 14.0, 30.0, 75.0, 400.0])
    names = sorted(KINDS[kind].changeable)
    return name, family, kind, draw(st.dictionaries(st.sampled_from(names), figure, max_size=3)) if names else {}


@SAFE
@given(swapped_with_figures())
def test_a_swapped_joint_keeps_its_kind_whatever_figures_are_set_on_it(what):
    name, family, kind, figures = what
    swap = (Swapped(family=family, joint=kind),)

    def kinds(joints):
        piece = make(name, Brief(), timber="oak", swell_fraction=0.02, adjustments=swap, joints=joints)
        return piece, {j.kind for j in piece.joints if j.family in (family, renamed(family, was, kind))}

    was = next(j.kind for j in MADE[name].joints if j.family == family)
    by_rule, there = kinds({})
    if unmade(by_rule) or there != {kind}:
        return  # it cannot be made there at all, and that is said
    own, there = kinds({renamed(family, was, kind): figures})
    assert there == {kind} and not unmade(own)
    aside, made = figures_left_aside(own), [j for j in own.joints if j.family == renamed(family, was, kind)]
    for figure, value in figures.items():
        label = KINDS[kind].changeable[figure]
        if label.endswith(YES_OR_NO) and (made[0].family, left_aside(label.removesuffix(YES_OR_NO))) not in aside:
            assert all(bool(getattr(j, figure)) == bool(value) for j in made), figure


def test_a_swapped_joint_is_wedged_where_it_can_be_and_says_why_where_it_cannot():
    swap = (Swapped(family="lower rail into leg", joint="through mortise and tenon"),)
    wedged = {"lower rail into leg": {"wedges": 1.0}}
    upright = make("stool", Brief(), timber="oak", adjustments=swap, joints=wedged, splay_deg=0, rake_deg=0)
    made = [j for j in upright.joints if j.family == "lower rail into leg"]
    assert {j.kind for j in made} == {"through mortise and tenon"} and all(len(j.parts(upright)) == 2 for j in made)
    splayed = make("stool", Brief(), timber="oak", adjustments=swap, joints=wedged)
    assert {j.kind for j in splayed.joints if j.family == "lower rail into leg"} == {"through mortise and tenon"}
    assert "aslant: wedges need a tenon square to the face" in " ".join(figures_left_aside(splayed).values())


def test_a_family_is_called_by_the_kind_it_was_swapped_for():
    swap = (Swapped(family="seat on rails, slotted screws", joint="buttons"),)
    piece = make("stool", Brief(), timber="oak", adjustments=swap)
    assert {j.family for j in piece.joints if j.kind == "buttons"} == {"seat on rails, buttons"}
    again = make("stool", Brief(), timber="oak", adjustments=(*swap, Swapped(family="seat on rails, buttons", joint="slotted screws")))
    assert again.joints == make("stool", Brief(), timber="oak").joints


@pytest.mark.parametrize("form", sorted(MADE))
def test_a_kind_that_is_offered_is_made_and_the_form_s_own_comes_back(form):
    piece = MADE[form]
    families = {j.family: j.kind for j in piece.joints}
    for family, was in families.items():
        for kind in can_become(piece, family):
            changes = Item(name="x", form=form, adjustments=swapped((), family, was, kind)).adjustments
            other = make(form, Brief(), timber="oak", swell_fraction=0.02, adjustments=changes)
            assert not unmade(other), (family, kind)
            called = renamed(family, was, kind)
            assert {j.kind for j in other.joints if j.family == called} == {kind}
            third = swapped(changes, called, kind, "a third")
            assert [(c["family"], c["joint"]) for c in third] == [(family, "a third")], "one change a family, not one on another"
            assert swapped(changes, called, kind) == []
