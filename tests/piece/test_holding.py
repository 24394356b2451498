"""Every kind of joint on file says what it holds, wherever two members can be joined by it."""

import numpy as np
import pytest

from studio_lib.piece import Member, Piece, Placement
from studio_lib.piece.holding import Strengths, notch_factor
from studio_lib.piece.kinds import KINDS, joined

OAK = Strengths(42.0, 6.4, 2.8, 21.0, 1.1, 700.0)
WEAK = Strengths(21.0, 3.2, 1.4, 10.5, 0.55, 700.0)
WAYS = ("pull", "push", "slide_wide", "slide_thin", "turn", "turn_thin", "twist")


def member(ref, size, origin, along, across, timber="White oak"):
    return Member(ref, ref, "rail", timber, *size, Placement(origin, along, across))


X, Y, Z = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0)
POST = member("P", (700, 60, 60), (0.0, 0.0, 0.0), Z, X)
PAIRS = {
    "a rail onto a post": (member("R", (500, 80, 24), (60.0, 42.0, 300.0), X, Z), POST),
    "a thick rail onto a post": (member("R", (500, 90, 40), (60.0, 50.0, 300.0), X, Z), POST),
    "a rail flush through a post": (member("R", (560, 60, 60), (0.0, 60.0, 300.0), X, Z), POST),
    "a flat rail into the top of a post": (member("R", (500, 48, 18), (60.0, 6.0, 682.0), X, Y), POST),
    "bars across": (member("R", (600, 40, 30), (-300.0, 280.0, 0.0), X, Y), member("P", (600, 40, 30), (-20.0, 0.0, 0.0), Y, (-1.0, 0.0, 0.0))),
    "a bar into a bar": (member("R", (300, 40, 30), (40.0, 280.0, 0.0), X, Y), member("P", (600, 40, 30), (0.0, 0.0, 0.0), Y, X)),
    "a corner of bars": (member("R", (300, 40, 30), (0.0, 560.0, 0.0), X, Y), member("P", (600, 40, 30), (0.0, 0.0, 0.0), Y, X)),
    "a shelf into a side": (member("R", (600, 250, 22), (22.0, 0.0, 500.0), X, Y), member("P", (900, 250, 22), (22.0, 0.0, 0.0), Z, Y)),
    "a board on a rail": (member("R", (800, 120, 22), (0.0, -20.0, 80.0), X, Y), member("P", (800, 80, 24), (0.0, 0.0, 0.0), X, Z)),
    "boards edge to edge": (member("R", (800, 100, 22), (0.0, 0.0, 0.0), X, Y), member("P", (800, 100, 22), (0.0, 100.0, 0.0), X, Y)),
    "a cleat on an end": (member("R", (800, 120, 24), (80.0, 0.0, 0.0), X, Y), member("P", (120, 80, 24), (80.0, 0.0, 0.0), Y, (-1.0, 0.0, 0.0))),
    "boards round a corner": (member("R", (400, 200, 18), (0.0, 18.0, 0.0), X, Z), member("P", (300, 200, 18), (0.0, 0.0, 0.0), Y, Z)),
    "a panel in a stile": (member("R", (500, 300, 10), (0.0, 92.0, 15.0), X, Y), member("P", (500, 100, 40), (0.0, 0.0, 0.0), X, Y)),
    "slats one over the other": (member("R", (900, 40, 20), (0.0, 0.0, 60.0), X, Z), member("P", (900, 40, 20), (0.0, 0.0, 0.0), X, Z)),
    "a door by its frame": (member("R", (700, 300, 22), (44.0, 0.0, 0.0), Z, X), member("P", (700, 40, 22), (0.0, 0.0, 0.0), Z, X)),
}


def made(kind):
    for name, (first, second) in PAIRS.items():
        try:
            joint = joined(kind, first, second)
            piece = Piece("p", "f", (first, second), (joint,))
            if joint.holds(piece, OAK, OAK) is not None:
                yield name, joint, piece
        except ValueError:
            continue


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_holds_something_somewhere_and_weaker_timber_holds_less(kind):
    found = list(made(kind))
    assert found, f"no pair here can be joined by {kind}"
    for name, joint, piece in found:
        strong, weak = joint.holds(piece, OAK, OAK), joint.holds(piece, WEAK, WEAK)
        assert np.linalg.norm(strong.out) == pytest.approx(1), (kind, name)
        assert abs(np.dot(strong.out, strong.wide)) < 1e-6, (kind, name)
        assert strong.evidence
        held = [n for n in WAYS if getattr(strong, n) is not None]
        assert held, (kind, name)
        for way in held:
            a, b = getattr(strong, way), getattr(weak, way)
            assert a.by and 0 <= b.most <= a.most + 1e-9 and a.breaks >= a.most - 1e-9, (kind, name, way)


@pytest.mark.parametrize("kind", ["mortise and tenon", "tee bridle", "tee halving", "housing", "dowels", "bolt and barrel nut"])
def test_the_first_leaves_away_from_the_second(kind):
    for name, joint, piece in made(kind):
        out = joint.holds(piece, OAK, OAK).out
        first, second = piece.members
        apart = np.array(first.piece_box.centre) - np.array(second.piece_box.centre)
        assert np.dot(apart, out) > 0, (kind, name)


def test_a_longer_tenon_a_wider_one_and_a_thicker_one_hold_no_less():
    first, second = PAIRS["a thick rail onto a post"]

    def held(**own):
        joint = joined("mortise and tenon", first, second, "", own)
        return joint.holds(Piece("p", "f", (first, second), (joint,)), OAK, OAK)

    plain = {"thickness_mm": 10, "width_mm": 40, "length_mm": 30}
    base = held(**plain)
    for name, more in (("thickness_mm", 14), ("width_mm", 55), ("length_mm", 38)):
        other = held(**{**plain, name: more})
        for way in ("pull", "slide_wide", "turn", "twist"):
            assert getattr(other, way).most >= getattr(base, way).most - 1e-9, (name, way)


def test_screws_in_end_grain_are_not_counted_on_to_pull():
    first = member("R", (400, 80, 20), (0.0, 0.0, 500.0), X, Y)
    second = member("P", (500, 80, 40), (40.0, 0.0, 0.0), Z, Y)
    joint = joined("screws", first, second)
    assert joint.holds(Piece("p", "f", (first, second), (joint,)), OAK, OAK).pull.most == 0


def test_a_notch_on_the_loaded_side_costs_more_than_its_depth():
    assert notch_factor(100, 60, 10) * 0.6 < 0.6
