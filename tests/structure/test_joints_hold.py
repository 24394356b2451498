"""What joints hold in the frame: every kind that carries is judged, and the answers keep the laws they must."""

from dataclasses import replace

import numpy as np
import pytest

from studio_lib.commission import Brief
from studio_lib.finding import Verdict
from studio_lib.forms import FORMS, SizeRefused, make
from studio_lib.piece.holding import Strengths, Way, least
from studio_lib.structure.as_frame import as_frame
from studio_lib.structure.bent import bent_svg, times_drawn
from studio_lib.structure.frame import Mechanism
from studio_lib.structure.joint_checks import WAYS
from studio_lib.structure.loads import loads_of
from studio_lib.structure.strength import Wood, strengths
from studio_lib.structure.whole import analysed, whole_findings, without_loose

OAK = {"oak": Wood("made for this test", 700.0, 12_000.0, 105.0, 12.0)}
STANDING = [f for f in FORMS if f != "freehand"]
HERE = ("indoors, heated", "household")


@pytest.mark.parametrize("form", STANDING)
def test_every_joint_of_every_form_is_judged(form):
    piece = make(form, Brief(), timber="oak")
    strong = strengths(OAK["oak"], 1)
    for joint in (*piece.joints, *piece.fixings):
        held = joint.holds(piece, strong, strong)
        assert held is not None and any(getattr(held, n) for n in WAYS), joint
        assert np.linalg.norm(held.out) == pytest.approx(1) and np.dot(held.out, held.wide) == pytest.approx(0, abs=1e-6)
    assert not any(f.verdict is Verdict.OPEN for f in whole_findings(piece, OAK, *HERE))


@pytest.mark.parametrize("form", STANDING)
def test_the_way_out_leads_away_from_the_other_member(form):
    piece = make(form, Brief(), timber="oak")
    strong = strengths(OAK["oak"], 1)
    for joint in piece.joints:
        if joint.kind in ("cross halving", "hinges", "groove and panel", "glued on", "through dovetail"):
            continue  # they lie in each other, or round a corner
        first, second = piece.member(joint.first), piece.member(joint.second)
        if joint.lies == "row" or "tenon" in joint.kind:
            out = joint.holds(piece, strong, strong).out
            a, b = first.piece_box, second.piece_box
            k = int(np.argmax(np.abs(out)))
            near = min(abs(a.lo[k] - b.hi[k]), abs(a.hi[k] - b.lo[k]))
            assert (a.centre[k] - b.centre[k]) * out[k] > 0 or near < 1.0, joint


def test_a_joint_is_no_stronger_than_half_of_what_tests_of_it_guarantee():
    # BioResources 11(3):7162: red oak, tenon 9.5 x 38 x 32 in a rail 22.2 x 63.5, 90|90 lower tolerance limit 286 N m; mean strengths
    # of red oak from Wood Handbook table 5-3: 98.6 and 12.3 MPa.
    from studio_lib.piece.holding import Tongue, tongue_holds

    s = strengths(Wood("red oak", 700.0, 12_500.0, 98.6, 12.3, 46.6, 7.0), 1)
    held = tongue_holds((1.0, 0, 0), (0, 0, 1.0), Tongue(38, 9.5, 32, face=(63.5, 22.2)), s, s)
    assert 0.2 * 286_000 < held.turn.most < 0.5 * 286_000


def test_doubling_the_timbers_strength_halves_what_is_used_of_every_joint_that_is_all_timber():
    piece = make("slatted table", Brief(), timber="oak")
    one = {f.subject: f.utilisation for f in whole_findings(piece, OAK, *HERE) if f.what.startswith("strength") and "tenon" not in f.source.lower()}
    more = {"oak": replace(OAK["oak"], bending_mean_mpa=210.0, shear_mean_mpa=24.0, end_mean_mpa=None)}
    two = {f.subject: f.utilisation for f in whole_findings(piece, more, *HERE) if f.what.startswith("strength")}
    for family, used in one.items():
        assert two[family] <= used * 1.0001, family


@pytest.mark.parametrize("form", ["slatted stool", "bench", "table", "framed screen", "bookcase", "cabinet", "chest"])
def test_a_stronger_timber_never_uses_more_of_any_joint_or_member(form):
    """Stiffness is left as it is, so nothing in the frame moves: no reserve may fall."""
    piece = make(form, Brief(), timber="oak")
    stronger = {"oak": replace(OAK["oak"], bending_mean_mpa=130.0, shear_mean_mpa=15.0)}

    def used(woods):
        out = {}
        for f in whole_findings(piece, woods, *HERE):
            if f.unit in ("MPa", "N", "N m") and "tipping" not in f.what:
                out[f.subject] = max(out.get(f.subject, 0.0), f.utilisation)
        return out

    weak, strong = used(OAK), used(stronger)
    for subject, value in strong.items():
        if subject in weak:
            assert value <= weak[subject] * 1.0001, subject


@pytest.mark.parametrize("form", ["slatted table", "slatted stool"])
def test_half_the_load_uses_half_but_for_the_weight_of_the_piece(form):
    piece = make(form, Brief(), timber="oak")
    light = {"oak": replace(OAK["oak"], density_kg_m3=1.0)}
    loads = {n: load.force_n for n, load in loads_of("table" if form.endswith("table") else "seat", "household").items()}

    def used(factor):
        found = whole_findings(piece, light, *HERE, {n: v * factor for n, v in loads.items()})
        out = {}
        for f in found:
            if f.what.startswith(("bending", "sag")):
                out[f.what] = f.utilisation
        return out

    whole, half = used(1.0), used(0.5)
    assert whole and half == pytest.approx({k: v / 2 for k, v in whole.items()}, rel=0.01)


def random_piece(form: str, rng):
    """A piece of random sizes inside a form's limits; None where it cannot be made."""
    sizes = {}
    for size in rng.choice(FORMS[form].sizes, size=min(3, len(FORMS[form].sizes)), replace=False):
        low, high = int(np.ceil(size.low)), int(np.floor(size.high))
        sizes[size.name] = int(rng.integers(low, high + 1))
    try:
        return make(form, Brief(), timber="oak", **sizes)
    except (SizeRefused, ValueError):
        return None


# The laws of statics for 500 random pieces: what the ground gives is what was put on, and half the load moves it half as far.
@pytest.mark.parametrize("form", STANDING)
def test_balance_holds_for_fifty_random_pieces_of_each_form(form):
    rng = np.random.default_rng(len(form))
    done = tries = 0
    while done < 50 and tries < 600:
        tries += 1
        piece = random_piece(form, rng)
        if piece is None:
            continue
        frame = as_frame(without_loose(piece), OAK).stiff
        loads = np.zeros((2, len(frame.nodes), 6))
        loads[0, rng.integers(0, len(frame.nodes), 4), :3] = rng.uniform(-400, 400, (4, 3))
        loads[1] = loads[0] / 2
        done += 1
        try:
            solved = frame.solve(loads)
        except Mechanism:
            continue  # said in words elsewhere
        size = np.abs(loads[0]).sum()
        forces = loads[0, :, :3] + solved.reactions[0, :, :3]
        assert forces.sum(axis=0) == pytest.approx(np.zeros(3), abs=1e-5 * size)
        moments = np.cross(frame.nodes, forces) + solved.reactions[0, :, 3:]
        assert moments.sum(axis=0) == pytest.approx(np.zeros(3), abs=1e-2 * size)
        assert solved.moves[1] == pytest.approx(solved.moves[0] / 2, abs=1e-9)
    assert done == 50


@pytest.mark.parametrize("form", ["slatted table", "slatted stool", "framed screen"])
def test_a_piece_alike_left_and_right_moves_alike(form):
    """A load at one place and its mirror image give mirrored moves."""
    piece = make(form, Brief(), timber="oak")
    frame = as_frame(piece, OAK).stiff
    mirror = frame.nodes * [-1, 1, 1]
    twin = np.array([int(np.argmin(np.linalg.norm(frame.nodes - m, axis=1))) for m in mirror])
    far = np.linalg.norm(frame.nodes[twin] - mirror, axis=1)
    node = int(np.argmax((frame.nodes[:, 2] > frame.nodes[:, 2].max() - 60) & (far < 1e-6) & (frame.nodes[:, 0] < -50)))
    loads = np.zeros((2, len(frame.nodes), 6))
    loads[0, node, 2] = loads[1, twin[node], 2] = -500.0
    moves = frame.solve(loads).moves
    exact = far < 1e-6
    assert exact.sum() > 0.7 * len(far)
    assert moves[0, exact, 2] == pytest.approx(moves[1, twin[exact], 2], abs=0.02 * np.abs(moves).max())


def test_what_only_dents_is_looked_at_again_and_what_breaks_is_not():
    dents = least((100.0, "the grain crushing under it"), (180.0, "the tongue shearing"))
    assert dents == Way(100.0, "the grain crushing under it", 180.0) and dents.dents
    assert not least((100.0, "the glued cheeks")).dents


def test_a_joint_without_an_answer_is_an_open_question(monkeypatch):
    from studio_lib.piece.mortise_tenon import MortiseTenon

    monkeypatch.setattr(MortiseTenon, "holds", lambda *_: None)
    found = whole_findings(make("slatted stool", Brief(), timber="oak"), OAK, *HERE)
    assert any(f.verdict is Verdict.OPEN and "nothing is on file" in f.says for f in found)


def test_the_worst_comes_first_and_is_drawn():
    a = analysed(make("bench", Brief(), timber="oak"), OAK, *HERE)
    orders = [list(Verdict).index(f.verdict) for f in a.findings]
    assert a.findings[0].verdict in (Verdict.FAILS, Verdict.LOOK_AGAIN) or max(orders) == 0
    bent = next(b for b in a.bent if b is not None)
    svg = bent_svg(bent, a.findings[0].refs)
    assert svg.startswith("<svg") and "to scale" in svg and f"{times_drawn(bent):g} times" in svg and "nan" not in svg


def test_loads_of_the_makers_own_are_taken_and_absurd_ones_refused():
    assert loads_of("seat", "household", {"down": 2500.0})["down"].force_n == 2500.0
    assert "maker's own" in loads_of("seat", "household", {"down": 2500.0})["down"].source
    with pytest.raises(ValueError, match="give 0 to 20000"):
        loads_of("seat", "household", {"down": 1e6})
    with pytest.raises(ValueError, match="has no load 'books'"):
        loads_of("seat", "household", {"books": 100.0})


def test_strengths_fall_with_damp_and_unpublished_ones_are_filled_in_low():
    wood = Wood("x", 650.0, 11_000.0, 90.0, 11.0)
    dry, wet = strengths(wood, 1), strengths(wood, 3)
    for name in ("bending", "shear", "crushing", "end", "splitting", "screw_factor"):
        assert getattr(wet, name) < getattr(dry, name)
    for made in (dry, wet):
        assert isinstance(made, Strengths) and made.splitting < made.shear < made.end and made.crushing < made.end


def test_a_tall_case_says_what_its_wall_fixing_must_hold():
    """By hand, moments about the front edge: 267 N hanging 100 mm before it and 200 N at the top, the case's weight against them."""
    piece = make("bookcase", Brief(), timber="oak")
    found = {f.what: f for f in whole_findings(piece, OAK, *HERE)}
    from studio_lib.structure.stability import standing

    s = standing(piece, OAK)
    tall = s.top_mm - s.floor_mm
    pull = max((200 * tall + 267 * 100 - s.weight_n * min(s.hi[1] - s.middle[1], s.middle[1] - s.lo[1])) / tall, 267)
    assert f"either alone {pull:.0f} N" in found["load on a wall fixing"].says
    assert "pushed at the top" in found and "tips first" in found["pushed at the top"].says


def test_a_case_is_pushed_no_harder_than_tips_it():
    piece = make("bookcase", Brief(), timber="oak")
    strong = {f.what: f for f in whole_findings(piece, OAK, *HERE, {"push": 5000.0})}
    usual = {f.what: f for f in whole_findings(piece, OAK, *HERE)}
    assert strong["bending, side"].demand == pytest.approx(usual["bending, side"].demand, rel=1e-6)


# Let go of one foot: the same frame with that foot's supports left out, factored anew.
def test_a_foot_let_go_sinks_as_a_frame_without_it():
    frame = as_frame(make("slatted stool", Brief(), timber="oak"), OAK).stiff
    loads = np.zeros((1, len(frame.nodes), 6))
    loads[0, :, 2] = -1.0
    for foot in np.flatnonzero(frame.fixed[:, 2]):
        moved = frame.let_go([foot], frame.solve(loads).reactions[0, [foot]])[0]
        fixed = frame.fixed.copy()
        fixed[foot] = False
        assert moved[:3] == pytest.approx(replace(frame, fixed=fixed).solve(loads).moves[0, foot, :3], rel=1e-6)


def test_a_lid_lies_on_its_box_and_is_no_cantilever_on_its_hinges():
    found = {f.what: f for f in whole_findings(make("chest", Brief(), timber="oak"), OAK, *HERE)}
    assert found["bending, lid"].utilisation < 0.5
