"""What the tests of shelves, chests and cabinets share: any sizes, judged as a maker would."""

from hypothesis import strategies as st

from studio_lib.commission import Brief, Item
from studio_lib.forms import FORMS, SizeRefused, make
from studio_lib.piece.checks import mortises_apart, piece_findings, shoulders_meet
from tests.forms.invariants import all_of, there_and_back

BRIEFS = st.sampled_from((
    Brief(), Brief(children=True), Brief(people=2, frail=True, carries="books"), Brief(wheelchair=True, child_ages=(4.0,)),
    Brief(space_length_mm=640, space_width_mm=300), Brief(use="public"),
))


def sizes(form, near, free=()):
    """Any of a form's sizes, over their whole range: the usual in ``near``, extremes now and then."""
    every = {}
    for size in FORMS[form].sizes:
        if size.name in free:
            continue
        low, high = near.get(size.name, (size.low, size.high))
        usual = st.integers(int(low), int(high)) if size.whole else st.one_of(
            st.integers(int(low + 0.999), int(high)), st.floats(low, high).map(lambda v: round(v, 2)))
        every[size.name] = st.one_of(usual, usual, usual, st.sampled_from((size.low, size.high)).map(int if size.whole else float))
    return st.fixed_dictionaries({}, optional=every)


def judged(form, chosen, brief=None, exact=False, timber=""):
    """The piece, sound in every way, or None where it is refused in words that name a size."""
    try:
        piece = make(form, brief or Brief(), timber=timber, **chosen)
    except SizeRefused as refused:
        assert refused.field in {s.name for s in FORMS[form].sizes}, refused
        assert str(refused).endswith(".") and any(c.isdigit() for c in str(refused)), refused
        return None
    assert all_of(piece, exact) == []
    assert shoulders_meet(piece) == []
    assert there_and_back(Item(name="one", form=form, sizes=chosen))
    return piece


def clean(form, brief=None):
    """Nothing wrong with the joints at the proposed sizes."""
    piece = make(form, brief or Brief())
    assert mortises_apart(piece) == []
    return [f for f in piece_findings(piece) if not f.stands]
