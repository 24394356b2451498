"""A chest of drawers in the client's words begins as one: one bay of drawers, as many and as graded as they say, and holds."""

from __future__ import annotations

import pytest

from studio_lib.commission import Brief, Commission, Item
from studio_lib.derive import derive
from studio_lib.finding import Verdict
from studio_lib.forms.bays import DRAWERS

WISH = "A chest of drawers for my bedroom, {}, not wider than 95 cm."


def chest(words, species="European oak", **sizes):
    b = Brief(asked=WISH.format(words), place="indoors, heated", most_length_mm=950)
    return derive(Commission(ref="2026-001", title="x", brief=b, items=(Item(name="chest", form="cabinet", sizes=sizes),)).changed("timber.species", species))


def faces(d):
    return sorted((m for m in d.piece.members if m.role == "drawer face"), key=lambda m: -m.piece_box.hi[2])


@pytest.mark.parametrize("words, many", [("five drawers", 5), ("four drawers", 4), ("three deep drawers", 3)])
def test_it_has_the_drawers_that_were_asked_for_and_no_doors(words, many):
    d = chest(words)
    assert len(faces(d)) == many and not [m for m in d.piece.members if "door" in m.name]
    assert d.made[0].proposals["bay_1_drawers"].why == "as many as the client says"


def test_shallow_above_and_deep_below_grow_downwards():
    alike, grown = faces(chest("five drawers")), faces(chest("five drawers, shallow above and deep ones below"))
    assert max(m.width_mm for m in alike) - min(m.width_mm for m in alike) < 1.0
    assert all(a.width_mm + 5 < b.width_mm for a, b in zip(grown, grown[1:]))


@pytest.mark.parametrize("species", ["European oak", "Scots pine (redwood)", "European ash"])
def test_as_proposed_it_holds(species):
    d = chest("five drawers, shallow above and deep below", species)
    assert [f for f in d.findings if f.verdict is Verdict.FAILS and f.stage in ("sizes", "joints")] == []


def test_what_the_maker_set_and_words_against_it_come_first():
    assert chest("five drawers", doors=2.0).made[0].sizes["bays"] == 0
    no = derive(Commission(ref="2026-001", title="x", brief=Brief(asked="A cupboard, not a chest of drawers."), items=(Item(name="c", form="cabinet"),)))
    assert no.made[0].sizes["bays"] == 0
    two = chest("five drawers", bays=2.0, bay_1_front=float(DRAWERS))
    assert two.made[0].proposals["bays"].source != "brief"


def test_fronts_without_a_pull_are_told_of():
    bare = chest("five drawers", pulls=0.0)
    assert [f.verdict for f in bare.size_findings if f.what == "something to open it by"] == [Verdict.LOOK_AGAIN]
    assert not [f for f in chest("five drawers").size_findings if f.what == "something to open it by"]
