"""Taken apart: every step of every form draws its joints the way they enter, through nothing."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest

from studio_lib.commission import Brief
from studio_lib.forms import FORMS, make
from studio_lib.piece.apart import steps_apart
from studio_lib.piece.order import order_of_work
from studio_lib.solids.mesh import placed

PIECES = {name: make(name, Brief(), timber="wood") for name in FORMS if name != "freehand"}


@pytest.fixture(params=PIECES)
def piece(request):
    return PIECES[request.param]


def test_each_joint_opens_along_its_own_way_and_never_closes_again(piece):
    steps = steps_apart(piece)
    for joint in piece.joints:
        way = joint.entry(piece)
        if way is None:
            continue
        parted = np.cumsum([np.subtract(step[joint.second], step[joint.first]) for step in steps], axis=0)
        opened = [v for v in parted if np.linalg.norm(v) > 1e-6]
        assert opened, joint.family
        # Within 10 degrees: the order of assembly takes joints of two slants as one direction up to there.
        assert np.dot(opened[0], way) / np.linalg.norm(opened[0]) > 0.984, joint.family
        assert all(np.dot(v, way) > 40 for v in opened), joint.family


def test_no_member_passes_through_another(piece):
    """Small moves and large ones along each step: no more timber meets than before the step."""
    at = {m.ref: np.zeros(3) for m in piece.members}
    for step in steps_apart(piece):
        movers = [m.ref for m in piece.members]
        for share in (0.02, 0.1, 0.3, 0.6, 1.0):
            solids = {r: placed(piece, r).translate(at[r] + share * np.array(step[r])) for r in movers}
            boxes = {r: np.array(s.bounding_box()).reshape(2, 3) for r, s in solids.items()}
            for a, b in combinations(movers, 2):
                if np.allclose(step[a], step[b]):
                    continue
                if (boxes[a][0] > boxes[b][1] - 1e-3).any() or (boxes[b][0] > boxes[a][1] - 1e-3).any():
                    continue
                assert (solids[a] ^ solids[b]).volume() < 30, (share, a, b, piece.member(a).name, piece.member(b).name)
        at = {r: v + step[r] for r, v in at.items()}


def test_nothing_holds_together_for_good(piece):
    assert order_of_work(piece).locked == ()
