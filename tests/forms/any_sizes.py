"""Sizes drawn over a form's whole range, and what must hold of each: refused in words, or sound."""

from __future__ import annotations

from hypothesis import strategies as st

from studio_lib.commission import Brief, Item
from studio_lib.forms import FORMS, SizeRefused, make
from studio_lib.piece.checks import shoulders_meet
from tests.forms import invariants


def sizes_of(name: str):
    """Some sizes of a form, each anywhere in its range, the ends included; the rest as proposed."""
    each = {
        s.name: st.integers(int(s.low), int(s.high)) if s.whole else st.one_of(
            st.sampled_from([s.low, s.high]), st.floats(s.low, s.high).map(lambda v: round(v, 1)))
        for s in FORMS[name].sizes
    }
    return st.fixed_dictionaries({}, optional=each).filter(lambda d: len(d) <= 10)


def briefs():
    return st.builds(
        Brief, people=st.integers(1, 12), wheelchair=st.booleans(), frail=st.booleans(), large=st.booleans(), children=st.booleans(),
        heft=st.sampled_from(["", "light", "chunky"]), use=st.sampled_from(["household", "public"]),
        place=st.sampled_from(["indoors, heated", "outdoors, in the weather"]),
    )


def refused_or_sound(name: str, brief: Brief, sizes: dict, exact: bool = False) -> bool:
    """True where it was built; asserts that it is sound, or that the refusal tells what to do."""
    try:
        piece = make(name, brief, timber="oak", swell_fraction=0.02, **sizes)
    except SizeRefused as refused:
        assert refused.field in {s.name for s in FORMS[name].sizes}, refused.field
        assert str(refused).endswith(".") and any(c.isdigit() for c in str(refused)), str(refused)
        return False
    assert invariants.all_of(piece, exact) == []
    assert shoulders_meet(piece) == []
    assert invariants.there_and_back(Item(name="x", form=name, sizes=sizes))
    return True
