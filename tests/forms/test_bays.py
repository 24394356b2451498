"""A cabinet in bays: each with its own front, sound at any size, doors and drawers clear of everything as they open."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from studio_lib.commission import Brief
from studio_lib.forms import FORMS, SizeRefused, Surroundings, make, settled
from studio_lib.forms.bays import DRAWERS, FRONTS, HUNG_LEFT, HUNG_RIGHT, OPEN, PAIR, named
from studio_lib.look.draw_still import swung
from studio_lib.piece.checks import mortises_apart, piece_findings
from studio_lib.piece.leaves import leaves
from studio_lib.piece.order import order_of_work
from studio_lib.solids.mesh import placed
from tests.forms.cases import BRIEFS, judged

LOW = {"width_mm": 1700, "height_mm": 780}
RECORDS = {**LOW, "bays": 3, "bay_3_front": HUNG_RIGHT, "bay_3_drawers": 2, "bay_3_drawer_mm": 110}
"""Two open bays for records, two small drawers over a door."""


@st.composite
def divided(draw):
    """One to four bays of any fronts, widths and contents, in a case of any usual sections."""
    count = draw(st.integers(1, 4))
    chosen = {"bays": count, "width_mm": draw(st.integers(500, 1800)), "height_mm": draw(st.integers(550, 1300)), "depth_mm": draw(st.integers(330, 600)),
              "upper_mm": 0}
    some = {"stile_mm": (45, 90), "rail_mm": (70, 110), "frame_mm": (18, 36), "panel_mm": (6, 9), "door_gap_mm": (1, 6), "stands_on": (0, 1), "pulls": (0, 1),
            "back_gap_mm": (0, 8), "top_over_mm": (0, 40), "shelf_mm": (18, 30)}
    for name in draw(st.sets(st.sampled_from(sorted(some)), max_size=4)):
        chosen[name] = draw(st.integers(*some[name]))
    for n in range(1, count + 1):
        front = chosen[named(n, "front")] = draw(st.integers(0, len(FRONTS) - 1))
        if front != DRAWERS:
            if draw(st.booleans()):
                chosen[named(n, "drawers")] = draw(st.integers(0, 3))
                chosen[named(n, "drawer_mm")] = draw(st.integers(70, 180))
            chosen[named(n, "shelves")] = draw(st.integers(0, 2))
        elif draw(st.booleans()):
            chosen[named(n, "drawers")] = draw(st.integers(1, 5))
            if draw(st.booleans()):
                chosen[named(n, "drawer_mm")] = draw(st.integers(70, 140))
        if n < count and draw(st.booleans()):
            chosen[named(n, "mm")] = draw(st.integers(180, 700))
        if draw(st.booleans()):
            chosen[named(n, "air")] = 1
    return chosen


@settings(max_examples=400, deadline=None)
@given(divided(), BRIEFS)
def test_any_bays_are_sound_or_refused_in_words(chosen, brief):
    judged("cabinet", chosen, brief, timber="oak")


@settings(max_examples=15, deadline=None)
@given(divided())
def test_both_kernels_agree_on_any_bays(chosen):
    judged("cabinet", chosen, exact=True)


def meets_on_its_way(piece) -> list[str]:
    """What a door or a drawer runs into as it opens."""
    found = []
    for leaf in leaves(piece):
        rest = [placed(piece, m.ref) for m in piece.members if m.ref not in leaf.refs]
        for share in (0.05, 0.3, 0.6, 1.0):
            m = swung(leaf.told(), share)[:3]
            for ref in leaf.refs:
                into = sum((placed(piece, ref).transform(m) ^ other).volume() for other in rest)
                if into >= 1.0:
                    found.append(f"{leaf.name}: {ref} open by {share} stands in the rest by {into:.0f} mm3")
    return found


@settings(max_examples=40, deadline=None)
@given(divided())
def test_doors_and_drawers_open_clear_of_everything(chosen):
    try:
        piece = make("cabinet", Brief(), timber="oak", swell_fraction=0.012, **chosen)
    except SizeRefused:
        return
    assert meets_on_its_way(piece) == []
