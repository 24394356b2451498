"""Benches, stools and tables over their whole range of sizes: sound, or refused in words."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio_lib.commission import Adjustment, Brief, Copied, Removed
from studio_lib.forms import FORMS, SizeRefused, Surroundings, make, settled
from studio_lib.forms.changes import unmade
from studio_lib.people.users import Users
from studio_lib.piece.checks import mortises_apart, piece_findings, shoulders_meet
from tests.forms import invariants
from tests.forms.any_sizes import briefs, refused_or_sound, sizes_of

VARIANTS = {
    "bench": [{"back": b, "seat": s, "fill": f} for b in (0, 1, 2) for s in (0, 1) for f in (0, 1)],
    "stool": [{"seat": s, "splay_deg": a, "rake_deg": b} for s in (0, 1) for a, b in ((0, 0), (8, 6), (12, 12), (5, 15))] + [{"shape": 1}],
    "table": [{"base": b, "top": t, "held": h} for b in (0, 1) for t in (0, 1, 2) for h in (0, 1)] + [{"base": b, "outline": 1} for b in (0, 1)],
}
"""Every way a form can be made, by its choices."""


@pytest.mark.parametrize("name", [*VARIANTS, "slatted table", "slatted stool"])
@settings(max_examples=300, deadline=None)
@given(st.data(), briefs())
def test_any_sizes_are_sound_or_refused_in_words(name, data, brief):
    refused_or_sound(name, brief, data.draw(sizes_of(name)))


@pytest.mark.parametrize("name", VARIANTS)
@settings(max_examples=25, deadline=None)
@given(st.data(), briefs())
def test_both_kernels_build_it_alike(name, data, brief):
    refused_or_sound(name, brief, data.draw(sizes_of(name)), exact=True)


@pytest.mark.parametrize(("name", "sizes"), [(n, v) for n, rows in VARIANTS.items() for v in rows], ids=str)
@pytest.mark.parametrize("brief", [Brief(people=3), Brief(people=2, place="outdoors, in the weather", heft="light")],
    ids=["in", "out"])
def test_as_proposed_every_option_is_sound_and_every_joint_stands(name, sizes, brief):
    piece = make(name, brief, timber="oak", swell_fraction=0.02, **sizes)
    assert invariants.all_of(piece, exact=True) == []
    assert mortises_apart(piece) == [] and shoulders_meet(piece) == []
    assert [f"{f.subject}: {f.what} {f.says}" for f in piece_findings(piece) if not f.stands] == []


@pytest.mark.parametrize("name", VARIANTS)
@settings(max_examples=40, deadline=None)
@given(st.data())
def test_changes_of_a_drawn_member_are_made_or_said(name, data):
    sizes = data.draw(st.sampled_from(VARIANTS[name]))
    plain = make(name, Brief(people=3), timber="oak", **sizes)
    ref = data.draw(st.sampled_from([m.ref for m in plain.members]))
    field = data.draw(st.sampled_from(["width_mm", "thickness_mm"]))
    value = round(getattr(plain.member(ref), field) * data.draw(st.sampled_from([0.9, 1.1])), 1)
    for changes in (
        [Adjustment(member=ref, field=field, value=value)], [Removed(member=ref)],
        [Copied(member=ref, ref="X1", by_mm=(0.0, 0.0, 2000.0))],
    ):
        try:
            changed = make(name, Brief(people=3), timber="oak", adjustments=changes, **sizes)
        except SizeRefused as refused:
            assert refused.field in {"adjustments", *(s.name for s in FORMS[name].sizes)}
            continue
        assert unmade(changed) == ()
        for m in changed.members:
            assert changed.shape(m.ref)
        if changes[0].kind == "remove":
            assert ref not in changed.by_ref


@pytest.mark.parametrize("name", VARIANTS)
def test_every_option_says_what_to_do_when_it_is_out_of_range(name):
    for size in FORMS[name].sizes:
        with pytest.raises(SizeRefused, match="give ") as refused:
            make(name, Brief(), **{size.name: size.high + 1000})
        assert refused.value.field == size.name


@pytest.mark.parametrize("name", VARIANTS)
def test_every_proposal_says_why_and_on_whose_word(name):
    proposed = FORMS[name].propose(Brief(), Surroundings("oak"), {})
    assert set(proposed) == {s.name for s in FORMS[name].sizes}
    for size, p in proposed.items():
        assert p.why and p.source, size
    chosen = settled(FORMS[name], Brief(), Surroundings("oak"), {})
    piece = make(name, Brief())
    for f in FORMS[name].fit(piece, chosen, Brief()):
        assert f.rule and f.source and (f.stands or f.mend)
    for wanted in FORMS[name].suits(chosen, Users(6)).values():
        assert wanted.says
