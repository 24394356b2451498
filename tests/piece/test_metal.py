"""Metal that a client does not want to see: found where it shows, let pass where it does not, mended in words and in the model."""

import pytest

from studio_lib.commission import Commission
from studio_lib.derive import derive
from studio_lib.finding import Verdict
from studio_lib.papers import words
from studio_lib.piece.kinds import KINDS, joined, of_metal
from studio_lib.piece.metal import kept, metal_findings, metal_of, other_kinds
from studio_lib.piece.placing import laid
from studio_lib.piece import Member, Piece
from tests.forms import invariants
from tests.piece.bored import Year, beside, block, pair

SEEN, NONE = "none to be seen", "none at all"


def asked(form, wish, sizes=None, timber="European oak"):
    return Commission(ref="M1", title="a piece", client="a client").changed("timber.species", timber).changed("brief.metal", wish).changed(
        "items", [{"name": form, "form": form, "sizes": sizes or {}}])


def upright(own=None, side="front"):
    """A board screwed to a post: its heads look to the front, or to the back."""
    post = Member("B", "post", "post", "European oak", 900, 90, 90, laid((0.0, 0.0, 0.0), "z", "x", 900, 90, 90))
    board = beside("A", post, side, 400, 90, 22, along="x", across="z")
    return pair(board, post, joined("screws", board, post, "board on post", own))


@pytest.mark.parametrize(("side", "from_where"), [("front", "front"), ("behind", "back"), ("left", "left"), ("right", "right")])
def test_screw_heads_show_from_the_side_they_face(side, from_where):
    post = Member("B", "post", "post", "European oak", 900, 90, 90, laid((0.0, 0.0, 0.0), "z", "x", 900, 90, 90))
    along = {"front": "x", "behind": "x", "left": "y", "right": "y"}[side]
    board = beside("A", post, side, 400, 90, 22, along=along, across="z")
    (shows,) = metal_of(pair(board, post, joined("screws", board, post)))
    assert from_where in shows.sides and shows.seen == shows.counts


def test_nobody_sees_heads_from_below_nor_those_at_a_wall_nor_those_behind_another_board():
    rail = block("B", 400, 60, 45, low=(0.0, 0.0, 700.0))
    under = beside("A", rail, "below", 400, 60, 22)
    below = pair(under, rail, joined("screws", under, rail))
    assert metal_of(below)[0].seen == () and metal_of(below)[0].counts[0][1] >= 2
    # Seen from below once it hangs higher than an eye: the same pair, its heads at 1900 mm.
    high = block("B", 400, 60, 45, low=(0.0, 0.0, 1922.0))
    over = beside("A", high, "below", 400, 60, 22)
    foot = block("F", 60, 60, 20)
    hung = Piece("hung", "freehand", (over, high, foot), (joined("screws", over, high),))
    assert metal_of(hung)[0].seen
    at_wall = upright(side="behind")
    assert metal_of(at_wall)[0].seen and not metal_of(at_wall, wall_behind=True)[0].seen
    bare = upright()
    front = beside("C", bare.member("A"), "front", 420, 110, 18, along="x", across="z")
    covered = Piece("covered", "freehand", (*bare.members, front), bare.joints)
    assert metal_of(bare)[0].seen and not metal_of(covered)[0].seen


def test_screws_that_show_are_named_with_how_many_and_what_to_do():
    (found,) = metal_findings(upright(), SEEN, Year())
    assert found.verdict is Verdict.FAILS and found.subject == "board on post" and found.refs == ("A", "B")
    count = int(upright().joints[0].count)
    assert f"{'a screw head' if count == 1 else 'two screw heads'} to be seen from the front" in found.says
    assert "plugs of the same timber" in found.mend and "tick" in found.mend
    assert metal_findings(upright(), "") == []
    with pytest.raises(ValueError, match="none to be seen, none at all"):
        metal_findings(upright(), "no screws")


def test_plugged_screws_are_out_of_sight_and_made_soundly():
    piece = upright({"plugged": 1.0})
    (found,) = metal_findings(piece, SEEN)
    assert found.stands and "none to be seen" in found.says
    assert invariants.all_of(piece, exact=True) == []
    joint = piece.joints[0]
    plugs = [p for p in joint.parts(piece) if p.name.startswith("plug")]
    assert len(plugs) == joint.count and all(p.material == "European oak" and p.seen for p in plugs)
    assert [h.name for h in joint.hardware(piece) if h.name.startswith("plug")] and any("plug" in o.name for o in joint.operations(piece))
    assert "plugs" in joint.setting_out(piece)
    assert not metal_findings(piece, NONE)[0].stands, "a plug hides a screw and takes none away"


def test_a_plug_is_refused_in_words_where_it_cannot_be():
    with pytest.raises(ValueError, match="slots to 0 mm"):
        upright({"plugged": 1.0, "slot_mm": 6.0})
    post = block("B", 900, 90, 90)
    thin = beside("A", post, "above", 400, 90, 10)
    with pytest.raises(ValueError, match="10 mm thick; .*13 mm"):
        joined("screws", thin, post, "skin on post", {"plugged": 1.0})
    with pytest.raises(ValueError, match="5 mm or more over them"):
        upright({"plugged": 1.0, "counterbore_mm": 2.0})


def test_capped_bolts_and_hidden_hinges_are_made_soundly_and_do_not_show():
    post = Member("B", "post", "post", "European oak", 900, 90, 90, laid((0.0, 0.0, 0.0), "z", "x", 900, 90, 90))
    rail = beside("A", post, "right", 800, 90, 45, along="x", across="z")
    bolted = {c: pair(rail, post, joined("bolt and barrel nut", rail, post, "rail to post", {"capped": c})) for c in (0.0, 1.0)}
    assert metal_of(bolted[0.0])[0].seen and not metal_of(bolted[1.0])[0].seen
    assert invariants.all_of(bolted[1.0], exact=True) == []
    side = block("S", 600, 200, 24, along="z", across="y")
    door = beside("D", side, "right", 600, 200, 24, along="z", across="x", align={"y": "low"})
    hung = {h: pair(door, side, joined("hinges", door, side, "door on side", {"hidden": h})) for h in (0.0, 1.0)}
    assert metal_of(hung[0.0])[0].seen and not metal_of(hung[1.0])[0].seen
    assert invariants.all_of(hung[1.0], exact=True) == []
    assert "hidden hinge" in hung[1.0].joints[0].hardware(hung[1.0])[0].name
    thin = beside("D", side, "right", 600, 200, 15, along="z", across="x", align={"y": "low"})
    with pytest.raises(ValueError, match="15 mm; a hidden hinge is 12 mm wide"):
        joined("hinges", thin, side, "door on side", {"hidden": 1.0})


def test_a_hidden_hinge_takes_its_mortise_out_of_both_edges():
    # By hand: two hinges of 50 mm, 12 wide and 20 deep, in either edge.
    from studio_lib.solids.mesh import placed

    side = block("S", 450, 200, 24, along="z", across="y")
    door = beside("D", side, "right", 450, 200, 24, along="z", across="x", align={"y": "low"})
    piece = pair(door, side, joined("hinges", door, side, "door on side", {"hidden": 1.0, "count": 2}))
    for m in (door, side):
        assert m.length_mm * m.width_mm * m.thickness_mm - placed(piece, m.ref).volume() == pytest.approx(2 * 50 * 12 * 20, rel=0.01)
    assert "50 long x 12 wide x 20 deep" in piece.joints[0].setting_out(piece)["mortise in each edge"]


def test_only_joints_of_timber_that_can_be_made_there_are_named():
    piece = upright()
    named = other_kinds(piece, "board on post", NONE, Year())
    assert named and not any(of_metal(k) for k in named) and set(named) <= set(KINDS)
    for kind in named:
        swapped = pair(*piece.members, joined(kind, *piece.members, "board on post"))
        assert not metal_of(swapped) and metal_findings(swapped, NONE)[0].stands
    assert other_kinds(piece, "board on post", "") == ()


def test_a_top_that_moves_is_not_offered_glue():
    d = derive(asked("table", NONE))
    for family in {j.family for j in d.piece.joints if j.kind in ("buttons", "slotted screws")}:
        assert "glued on" not in d.metal_kept(0, family).kinds


@pytest.mark.parametrize("form", ["table", "stool", "slatted table", "slatted stool", "bench"])
def test_what_is_screwed_from_below_keeps_the_wish_and_none_at_all_does_not(form):
    seen = derive(asked(form, SEEN))
    assert [f.verdict for f in seen.metal_findings] == [Verdict.STANDS] and "No metal is to be seen." in words.paragraphs(seen)[-1]
    none = derive(asked(form, NONE))
    assert any(f.verdict is Verdict.FAILS and "screw head" in f.says for f in none.metal_findings)
    assert none.metal_promise == "" and "metal" not in words.paragraphs(none)[-1]


def test_a_cabinet_shows_its_hinges_until_they_are_hidden_and_then_the_quote_says_so():
    before = derive(asked("cabinet", SEEN))
    found = [f for f in before.findings if f.what == "metal" and not f.stands]
    assert [f.subject for f in found] == ["door on side"] and "hinges to be seen" in found[0].says and "hidden hinges" in found[0].mend
    assert "metal" not in words.paragraphs(before)[-1]
    assert before.metal_kept(0, "door on side").closes == {"hidden": 1.0}
    after = derive(before.commission.changed("items.0.joints.door on side.hidden", 1.0))
    (stands,) = after.metal_findings
    assert stands.stands and "Assumed: its back stands against a wall" in stands.says
    assert "No metal is to be seen while it is shut." in words.paragraphs(after)[-1]
    assert after.held == before.held, "hiding the hinges breaks no other check"


def test_a_chest_free_in_the_room_shows_its_hinges_at_the_back():
    free = derive(asked("chest", SEEN, {"stands": 0}))
    assert any("hinges to be seen from the back" in f.says for f in free.metal_findings)
    assert all(f.stands for f in derive(asked("chest", SEEN, {"stands": 1})).metal_findings)


def test_a_screen_of_joints_alone_may_be_promised_without_metal_and_a_strung_one_not():
    framed = derive(asked("framed screen", NONE))
    assert framed.metal_promise == "There is no metal in it."
    strung = derive(asked("strung screen", SEEN))
    (found,) = strung.metal_findings
    assert "cables" in found.says and "framed screen" in found.mend


def test_ballast_and_a_wall_fixing_are_asked_about_before_no_metal_is_promised():
    weighted = derive(asked("framed screen", NONE, {"stands": 0, "ballast_kg": 40}))
    assert any(f.verdict is Verdict.OPEN and "ballast" in f.what for f in weighted.metal_findings) and not weighted.metal_promise
    fixed = derive(asked("framed screen", NONE).fixed_to_wall(True))
    assert any(f.verdict is Verdict.OPEN and "wall" in f.what for f in fixed.metal_findings) and not fixed.metal_promise


def test_nothing_is_found_or_promised_where_metal_may_be_seen():
    for answer in ("", "may be seen"):
        d = derive(asked("cabinet", answer))
        assert d.metal_findings == () and d.metal_promise == "" and d.metal_kept(0, "door on side") is None


def test_each_family_says_how_it_keeps_the_wish():
    d = derive(asked("cabinet", SEEN))
    piece = d.piece
    assert kept(piece, "door rail into stile", SEEN).says == "No metal in it, as wished."
    assert "out of sight" in kept(piece, "pull on a door", SEEN).says
    assert not kept(piece, "pull on a door", NONE).stands


def test_what_is_bought_in_is_asked_about_before_anything_is_promised():
    c = asked("framed screen", NONE).changed("rates.bought_in", [{"what": "turned feet", "price": "40"}])
    d = derive(c)
    assert any(f.verdict is Verdict.OPEN and "turned feet" in f.says for f in d.metal_findings) and d.metal_promise == ""
    assert derive(c.changed("brief.metal", "may be seen")).metal_findings == ()


def test_hinges_may_show_where_only_screws_are_not_to():
    d = derive(asked("cabinet", "no screws to be seen"))
    assert all("hinge" not in f.says or f.stands for f in d.metal_findings)
    assert any("hinge" in f.says and not f.stands for f in derive(asked("cabinet", SEEN)).metal_findings)
    bare = upright()
    (found,) = metal_findings(bare, "no screws to be seen", Year())
    assert found.verdict is Verdict.FAILS and "no screws are to be seen" in found.says
    assert "no screws to be seen" in kept(bare, "board on post", "no screws to be seen").says
