"""The client brings timber: one thing from the brief to the handover."""

import json
import re
from datetime import date
from decimal import Decimal

import pytest

from studio_lib.brief.reclaimed import reclaimed_findings
from studio_lib.commission import Brief, Commission
from studio_lib.derive import derive
from studio_lib.finding import Verdict
from studio_lib.forms import FORMS, Surroundings, settled
from studio_lib.forms.form import BoardsOfTheirs
from studio_lib.handover.delivery import delivery_note
from studio_lib.papers import words
from studio_lib.shop.cautions import cautions_for, of_reclaimed
from studio_lib.stock.rack import leftover_rows
from studio_lib.stock.theirs import Needed, covered
from studio_lib.stock.boards import Board

LARCH = "European larch"


def board(ref="C1", count=14, source="client", price="0", timber=LARCH, long=1800, wide=140, thick=25, **more):
    return {"ref": ref, "timber": timber, "length_mm": long, "width_mm": wide, "thickness_mm": thick, "price": price, "count": count,
            "source": source, **more}


THICK = {"board_mm": 28, "lid_mm": 25}
"""The maker's own figures, which stand though no board of theirs gives them."""
YARD = board("Y1", 12, "yard", "18", wide=200, thick=38, long=2400)


def chest(*boards, lot=None, species=LARCH, thin=False, sizes=None, **brief) -> Commission:
    sizes = {"board_mm": 19, "lid_mm": 19} if thin else THICK if sizes is None else sizes
    c = Commission(ref="CHEST-1", title="a chest", items=[{"name": "chest", "form": "chest", "sizes": sizes}],
                   brief={"place": "indoors, heated", **brief, "their_timber": lot or {}}, timber={"species": species})
    return c.changed("boards.offered", list(boards)) if boards else c


# ---------------------------------------------------------------- entered once


def test_boards_of_theirs_say_that_timber_is_brought_and_how_thick_it_is():
    c = chest(board(), lot={"thickness_mm": 27, "width_mm": 150, "moisture_pct": 14})
    assert c.brief.brings_timber and c.brief.their_timber.moisture_pct == 14
    assert c.brief.their_timber.thickness_mm is None and c.brief.their_timber.width_mm is None


def test_a_document_written_when_both_were_said_opens_and_says_it_once():
    old = json.loads(chest(board()).model_dump_json())
    old["brief"]["brings_timber"] = False
    old["brief"]["their_timber"] = {"moisture_pct": 18, "measured_on": "2026-11-20", "thickness_mm": 80, "width_mm": 200, "story": "in a barn"}
    c = Commission.model_validate_json(json.dumps(old))
    assert c.brief.brings_timber and c.brief.their_timber.thickness_mm is None and c.brief.their_timber.story == "in a barn"
    assert Commission.model_validate_json(c.model_dump_json()) == c
    # One that knows no board of theirs keeps what it knew.
    old["boards"]["offered"] = []
    assert Commission.model_validate_json(json.dumps(old)).brief.their_timber.thickness_mm == 80


def test_that_none_is_brought_cannot_be_said_while_boards_of_theirs_are_entered():
    c = chest(board())
    with pytest.raises(ValueError, match=r"C1\) are entered.*Take them away first"):
        c.changed("brief.brings_timber", False)
    assert not c.changed("boards.offered", []).changed("brief.brings_timber", False).brief.brings_timber


def test_boards_nobody_can_name_are_taken_as_the_timber_chosen_and_that_stays_open():
    d = derive(chest(board(timber=""), thin=True))
    assert d.their_share.used > 0
    (name,) = [f for f in d.their_findings if f.what == "which timber it is"]
    assert name.verdict is Verdict.OPEN and "taken as European larch" in name.says and "14 boards" in name.says


# ---------------------------------------------------------------- how much they make


def test_what_they_make_and_what_is_bought_is_counted_from_the_layout():
    d = derive(chest(board(), YARD))
    share, theirs = d.their_share, {p.board for p in d.layout.placements if p.board_ref == "C1"}
    assert (share.boards, share.used, share.back) == (14, len(theirs), 14 - len(theirs))
    bought = sum(d.layout.board(ref).volume_mm3 for ref, _ in d.layout.boards_used if ref == "Y1") * 1e-9
    assert share.bought_m3 == pytest.approx(bought) and not d.layout.missing
    # The chest's sides are 28 mm and more, so nothing of them comes out of boards 25 mm thick.
    said = d.share_words()
    assert f"Of the client's 14 boards {share.used} are used: they make the bottom" in said and "front" not in said
    assert f"{bought:.3f} m3 of timber is bought" in said and f"{share.back} boards that are not cut" in said and "go back to the client" in said


def test_thinner_sides_are_made_of_their_boards_and_more_of_them_is_used():
    thick, thin = derive(chest(board(), YARD, sizes={**THICK, "lid_boards": 4})), derive(chest(board(), YARD, thin=True))
    assert thin.their_share.used > thick.their_share.used and thin.their_share.bought_m3 < thick.their_share.bought_m3
    assert "the front" in thin.share_words()
    # 25 mm less what planing takes.
    assert "up to 1730 x 135 x 20 mm" in thick.reach_words and "front, back, end, lid. Keep them to 135 mm wide and 20 mm thick" in thick.reach_words
    two = derive(chest(board(), board("C2", 1, wide=60, thick=52, long=500)))
    assert "or 430 x 55 x 47 mm" in two.reach_words and "No board of theirs is large enough for: front" in two.reach_words


def test_theirs_are_cut_before_leftovers_of_what_is_bought_and_the_makers_own_choice_goes_before():
    # Twelve yard boards 38 mm thick have the bottom in their leftovers for nothing; the client wants their own in the chest.
    c = chest(board(), YARD, thin=True)
    d = derive(c)
    assert {p.board_ref for p in d.layout.placements if p.piece_ref == "A-B1"} == {"C1"}
    front = next(r for r in d.cutting_list if r.name.startswith("front"))
    chosen = derive(c.changed("boards.places", [{"piece": front.ref, "board": "Y1", "count": front.count}]))
    assert {p.board_ref for p in chosen.layout.placements if p.piece_ref == front.ref} == {"Y1"} and not chosen.layout.missing
    there = derive(c.changed("boards.places", [{"piece": front.ref, "board": "C1", "count": 1}]))
    assert "C1" in {p.board_ref for p in there.layout.placements if p.piece_ref == front.ref} and not there.layout.missing


def test_a_layout_the_maker_kept_stands_though_it_does_not_cut_theirs_first():
    from studio_lib.stock import lay_out

    c = chest(board(), YARD, thin=True)
    d = derive(c)
    asked = d.layout_asked | {"pins": ()}
    kept = lay_out(d.wanted, tuple(b for b in d.offered if b.ref == "Y1"), effort="quick", **asked)
    assert not kept.missing
    after = derive(c.changed("boards.kept_layout", json.loads(json.dumps(kept.to_plain()))))
    assert after.layout_is_kept and after.their_share.used == 0


def test_what_is_left_goes_back_and_not_on_the_makers_rack():
    d = derive(chest(board(), YARD, thin=True))
    on_theirs = [o for o in d.layout.offcuts if o.board_ref == "C1"]
    rows = leftover_rows(d.layout, ())
    assert on_theirs and len(rows) == len(d.layout.offcuts) - len(on_theirs)
    assert "go back to the client" in delivery_note(d).goes_back
    own = [line for line in words.included(d) if line.startswith("your own timber")]
    assert own and "of your 14 boards" in own[0] and "go back to you" in own[0]
    nothing = derive(chest(YARD))
    assert words.included(nothing)[0] == "drawing, timber and making" and not delivery_note(nothing).goes_back


def test_boards_of_theirs_that_do_not_hold_it_all_leave_a_question_and_a_price_by_volume():
    d = derive(chest(board()))
    (short,) = [f for f in d.board_findings if f.what == "enough timber"]
    assert short.verdict is Verdict.OPEN and "no board to buy" in short.says
    bought = [m for m in d.price.materials if m.kind == "timber" and m.amount]
    assert len(bought) == 1 and "by volume" in bought[0].what


def test_why_none_of_theirs_is_used_is_said():
    other = derive(chest(board(), YARD | {"timber": "European oak"}, species="European oak"))
    assert "They are of European larch, the piece is of European oak. 14 boards go back" in other.share_words()
    assert "your own timber: none of your 14 boards is used" in " ".join(words.included(other))
    assert "No timber is chosen yet, on the Timber page; their 0.088 m3 is likely" in derive(chest(board(), species=None)).share_words()


def test_the_quote_says_that_old_boards_keep_their_marks():
    assert any("nail holes" in line for line in words.may_differ(derive(chest(board(), lot={"been": "used outdoors"}))))
    assert not any("nail holes" in line for line in words.may_differ(derive(chest(board(), lot={"been": "never used"}))))


# ---------------------------------------------------------------- the first range


def test_before_a_timber_is_chosen_their_boards_count_as_what_it_may_become():
    brought, bare = derive(chest(board(), species=None)).ballpark, derive(chest(species=None)).ballpark
    assert brought.net[1] < bare.net[1] and "costs nothing, the rest is reckoned as bought" in brought.basis


def test_cover_goes_by_volume_and_by_what_a_board_can_hold():
    lines = [Needed("oak", 0.010, (900, 100, 20)), Needed("oak", 0.010, (900, 100, 40)), Needed("oak", 0.010, (900, 100, 22))]
    own = [Board("C1", "oak", 2000, 150, 25, Decimal(0), 4, source="client")]  # 0.03 m3, half of it in the piece
    made = covered(lines, own, lambda t: 0.5)
    assert made == pytest.approx((0.010, 0.0, 0.005))
    assert covered(lines, [Board("Y1", "oak", 2000, 150, 60, Decimal(9), 40)], lambda t: 0.5) == (0.0, 0.0, 0.0)
    assert covered(lines, [Board("C1", "ash", 2000, 150, 60, Decimal(0), 40, source="client")], lambda t: 0.5) == (0.0, 0.0, 0.0)


def test_the_ballpark_takes_off_only_the_part_their_boards_make():
    nothing, some, all_of_it = (
        derive(chest(*boards)).ballpark for boards in ((), (board(),), (board(count=60, thick=52, wide=220, long=2400),))
    )
    assert all_of_it.net[1] < some.net[1] < nothing.net[1]
    d = derive(chest(board()))
    share = sum(d.covered_m3) / sum(r.volume_m3 for r in d.cutting_list)
    assert f"{100 * share:.0f} % of the piece" in d.ballpark.basis and "the rest is reckoned as bought" in d.ballpark.basis
    assert "No timber is bought" in all_of_it.basis


# ---------------------------------------------------------------- drying


WET = {"moisture_pct": 40, "measured_on": "2026-11-20"}


def drying(d):
    return next(f for f in d.their_findings if f.what == "drying")


def test_wet_boards_stop_the_job_only_where_they_are_cut_or_needed():
    used = derive(chest(board(), YARD, lot=WET, wanted_by="2027-02-01"))
    assert drying(used).verdict is Verdict.FAILS and any(s.holds and s.finding.what == "drying" for s in used.stops)
    # Too thin for anything: the yard's make it all.
    idle = derive(chest(board(thick=8), board("Y1", 30, "yard", "18", wide=200, thick=38, long=2400), lot=WET, wanted_by="2027-02-01"))
    assert idle.their_share.used == 0 and not idle.layout.missing
    assert drying(idle).verdict is Verdict.STANDS and not any(s.finding.what == "drying" for s in idle.stops)
    # Too short for the lid as it is drawn, which has no board yet; a lid a little smaller would need them.
    needed = derive(chest(board(thick=52, long=800), lot=WET, wanted_by="2027-02-01"))
    assert "A-T1" in needed.layout.missing and drying(needed).verdict is Verdict.FAILS


def test_the_thickest_board_that_is_cut_decides_how_long_it_dries_not_one_lying_unused():
    lot = WET | {"moisture_pct": 16}
    d = derive(chest(board(), board("C2", 1, wide=60, thick=140, long=500), YARD, lot=lot, wanted_by="2027-02-01"))
    assert "C2" not in {ref for ref, _ in d.layout.boards_used} and drying(d).subject.startswith("25 mm")


def test_while_no_day_is_set_it_says_when_they_are_dry_at_the_quickest():
    # A university drying adviser, in print: 60 days for 25 mm in good weather.
    f = drying(derive(chest(board(), YARD, lot=WET)))
    assert f.verdict is Verdict.FAILS and "not dry before 2027-01-19, and no day is set to cut them" in f.says and "0 days" not in f.says
    begun = derive(chest(board(), YARD, lot=WET).changed("shop.start", "2028-06-01"))
    assert drying(begun).stands


def test_a_reading_of_their_board_goes_before_what_the_brief_says():
    c = chest(board(), lot=WET).changed("timber.readings", [
        {"day": "2026-12-10", "board": "C1", "depth_mm": 8, "percent": 14, "temperature_c": 20, "instrument_species": LARCH, "kind": "pin"}])
    assert derive(c).their_moisture == (14.0, date(2026, 12, 10))


# ---------------------------------------------------------------- whether it suits


def test_each_timber_they_bring_is_judged_with_what_may_be_done():
    (larch,) = derive(chest(board(), lot={"moisture_pct": 9})).brought
    by = {t.what: t for t in larch.topics}
    # EN 335: use class 1 is indoors and dry; there EN 460 asks no durability.
    assert "use class 1" in by["lasting"].says and by["lasting"].verdict is Verdict.STANDS
    assert by["moisture"].verdict is Verdict.STANDS and by["strength"].verdict is Verdict.OPEN  # no shear strength published
    taken = chest(board()).changed("timber.stand_ins", ["shear_mpa"])
    assert {t.what: t for t in derive(taken).brought[0].topics}["strength"].verdict is Verdict.STANDS
    (beech,) = derive(chest(board(timber="European beech"), place="outdoors, in the weather")).brought
    # EN 350: beech is class 5, not durable; EN 460 rules it out in use class 3.
    assert beech.verdict is Verdict.FAILS and "will not do here" in beech.headline("outdoors, in the weather")
    assert any("Indoors only" in x for x in beech.may_do) and any("not seen" in x for x in beech.may_do)


def test_preservative_speaks_against_it_on_the_timber_page_too():
    (larch,) = derive(chest(board(), lot={"coat": "preservative", "been": "used outdoors"}, children=True)).brought
    assert larch.verdict is Verdict.FAILS and "paint and preservative" in larch.headline("indoors, heated")
    assert any("never burn it" in x for x in larch.may_do)


def test_two_timbers_of_theirs_are_judged_apart():
    d = derive(chest(board(), board("C2", 3, timber="European oak")))
    assert [b.species for b in d.brought] == [LARCH, "European oak"]


# ---------------------------------------------------------------- old boards


def found(*args):
    return {f.what: f for f in reclaimed_findings(*args)}


def test_old_boards_are_looked_over_for_nails_and_what_was_put_on_them():
    assert found("never used", "", "", False, False) == {} == found("", "", "", True, True)
    fence = found("used outdoors", "", "", False, False)
    assert fence["nails and metal"].verdict is Verdict.OPEN and fence["paint and preservative"].verdict is Verdict.OPEN
    assert "burnt" in fence["paint and preservative"].mend and "Local codes" in fence["paint and preservative"].mend
    done = found("used outdoors", "none found", "bare", True, True)
    assert all(f.stands for f in done.values())
    assert "lead" in found("used indoors", "", "paint or varnish", False, False)["paint and preservative"].says


@pytest.mark.parametrize("eaten_at, children, verdict", [
    (True, False, Verdict.FAILS), (False, True, Verdict.FAILS), (False, False, Verdict.LOOK_AGAIN)])
def test_treated_boards_are_not_for_eating_at_or_for_children(eaten_at, children, verdict):
    f = found("used outdoors", "found", "preservative", eaten_at, children)["paint and preservative"]
    assert f.verdict is verdict and "never burn it" in f.mend


def test_cautions_with_old_boards_stand_at_the_saw_and_each_has_a_source():
    plain, old = (
        {c.key for c in cautions_for("face and edge", reclaimed=yes)} for yes in (False, True)
    )
    assert old - plain == {c.key for c in of_reclaimed()} and len(of_reclaimed()) == 3 and all(c.source for c in of_reclaimed())


# ---------------------------------------------------------------- sizes that follow them


def test_thicknesses_proposed_keep_to_what_their_boards_give_and_say_so():
    d = derive(chest(board(thick=31.75, wide=178, long=1980, count=12), sizes={}))
    made = d.made[0]
    # 31.75 mm less the 5 mm of planing; 28 mm is usual.
    assert made.sizes["board_mm"] == 26.75
    why = made.proposals["board_mm"].why
    assert "dressed from the client's own boards, 31.8 mm as they lie; otherwise 28 mm" in why
    assert d.their_share.bought_m3 == 0 and "the front" in d.share_words()
    # Thinner parts stay what they are.
    assert made.sizes["lid_mm"] == 25 and made.sizes["bottom_mm"] == 12


def test_the_makers_own_thickness_stands_and_beside_it_is_told_what_theirs_give():
    made = derive(chest(board(thick=31.75, count=12), sizes={"board_mm": 30})).made[0]
    assert made.sizes["board_mm"] == 30 and made.proposals["board_mm"].value == 26.75


def test_boards_across_a_lid_come_out_of_their_boards_and_leave_no_strips():
    sizes = {"width_mm": 1016, "depth_mm": 457, "height_mm": 457}
    wide = derive(chest(board(thick=31.75, wide=178, long=1980, count=12), sizes=sizes)).made[0]
    assert wide.sizes["lid_boards"] == 3 and not [f for f in wide.piece.findings if f.what == "width of one board" and not f.stands]
    narrow = derive(chest(board(thick=31.75, wide=120, long=1980, count=16), sizes=sizes)).made[0]
    assert 457 / narrow.sizes["lid_boards"] <= 115 and "gives 115 mm" in narrow.proposals["lid_boards"].why


def test_a_part_much_thicker_than_their_boards_keeps_its_thickness():
    made = derive(chest(board(thick=18, count=20), sizes={})).made[0]
    assert made.sizes["board_mm"] == 28 and made.sizes["lid_mm"] == 25


def test_of_boards_of_several_thicknesses_that_of_the_greater_part_counts():
    few = derive(chest(board(thick=31, count=10), board("C2", 1, thick=52), sizes={})).made[0]
    assert few.sizes["board_mm"] == 26
    other = derive(chest(board(thick=31, count=10, timber="Scots pine (redwood)"), sizes={})).made[0]
    assert other.sizes["board_mm"] == 28


def test_a_shelf_that_would_sag_with_their_thin_boards_stays_thick():
    def shelf(count, **sizes):
        c = Commission(ref="S-1", title="a bookcase", items=[{"name": "bookcase", "form": "bookcase", "sizes": {"width_mm": 1100, **sizes}}],
                       brief={"place": "indoors, heated"}, timber={"species": LARCH})
        return derive(c.changed("boards.offered", [board(thick=22, count=count)]) if count else c)

    theirs, bought = shelf(30, uprights=0), shelf(0, uprights=0)
    assert theirs.made[0].sizes["shelf_mm"] == bought.made[0].sizes["shelf_mm"]
    assert "does not hold with that" in theirs.made[0].proposals["shelf_mm"].why
    # A short one does.
    short = theirs.commission.changed("items.0.sizes.width_mm", 500)
    assert derive(short).made[0].sizes["shelf_mm"] == 17
    # So does a long one that an upright parts.
    parted = shelf(30)
    assert (parted.made[0].sizes["uprights"], parted.made[0].sizes["shelf_mm"]) == (1, 17)
    assert next(f for f in parted.size_findings if f.what == "sag").verdict is not Verdict.FAILS


def test_a_screens_thicknesses_are_what_holds_it():
    c = Commission(ref="S-1", title="a screen", items=[{"name": "screen", "form": "framed screen", "sizes": {}}], brief={"place": "indoors, heated"},
                   timber={"species": LARCH})
    assert derive(c.changed("boards.offered", [board(thick=30, count=30)])).made[0].sizes == derive(c).made[0].sizes


@pytest.mark.parametrize("name", [n for n in FORMS if n != "freehand"])
@pytest.mark.parametrize("thick", [18.0, 22.0, 27.0, 47.0])
def test_every_form_can_be_made_as_thick_as_their_boards_and_proposes_nothing_thicker_than_usual(name, thick):
    form, brief, usual = FORMS[name], Brief(), Surroundings("oak", 0.02)
    theirs = Surroundings("oak", 0.02, theirs=BoardsOfTheirs(thick + 5, thick, 135.0))
    before, after = settled(form, brief, usual, {}), settled(form, brief, theirs, {})
    form.lay_out("piece", "A", after, theirs)
    assert all(after[s.name] <= before[s.name] for s in form.sizes if "hickness" in s.label)


# ---------------------------------------------------------------- before it is laid out


def test_more_boards_that_do_not_make_more_say_why():
    def words(count, **more):
        return derive(chest(board(thick=31, count=count), sizes={"board_mm": 32, "lid_mm": 22}, **more)).cover_words

    seven, twelve = words(9), words(20)
    share = [re.search(r"make (\d+) %", w)[1] for w in (seven, twelve)]
    assert share[0] == share[1]
    for said in (seven, twelve):
        assert "too large for any board of theirs, however many there are: front, back" in said and "32 mm thick where they give 26 mm" in said
    # Where their volume is what ends it nothing more is said.
    assert "too large" not in derive(chest(board(thick=40, wide=200, count=2), sizes={"board_mm": 30, "lid_mm": 22, "lid_boards": 4})).cover_words


def test_while_no_timber_is_chosen_it_is_open_whether_their_boards_must_be_dry():
    (drying,) = [f for f in derive(chest(board(), species="")).drying_findings]
    assert drying.verdict is Verdict.OPEN and "no timber is chosen yet" in drying.says and "Timber page" in drying.mend
    assert not any("nothing waits" in f.says for f in derive(chest(board(), species="")).their_findings)
    other = derive(chest(board(timber="Scots pine (redwood)")))
    assert "nothing waits for them to dry" in other.drying_findings[0].says


# ---------------------------------------------------------------- work on old boards


OLD = "draw nails and brush old boards"


def counted(d):
    return {w.time.operation: w.count for w in d.work}.get(OLD)


@pytest.mark.parametrize(("lot", "is_counted"), [({"been": "used outdoors"}, True), ({"metal": "found"}, True), ({"been": "never used"}, False), ({}, False)])
def test_old_boards_are_drawn_of_nails_gone_over_and_brushed_a_board_at_a_time(lot, is_counted):
    d = derive(chest(board(), YARD, lot=lot, thin=True))
    assert counted(d) == (d.their_share.used if is_counted else None)
    if is_counted:
        # 10 minutes and 15 for each board at the starting table.
        (work,) = [w for w in d.work if w.time.operation == OLD]
        assert work.standard_hours == pytest.approx((10 + 15 * d.their_share.used) / 60)


def test_the_maker_says_how_many_or_leaves_it_out():
    c = chest(board(), YARD, lot={"metal": "found"}, thin=True)
    assert counted(derive(c.changed("rates.extra_work", [{"operation": OLD, "count": 3}]))) == 3
    assert counted(derive(c.changed("rates.extra_work", [{"operation": OLD, "count": 0}]))) is None


def test_nails_and_dust_are_minded_when_they_are_drawn():
    assert {c.key for c in of_reclaimed()} <= {c.key for c in cautions_for(OLD, reclaimed=True)}


# ---------------------------------------------------------------- nothing to buy


def test_no_days_are_waited_for_boards_where_none_are_bought():
    day = date(2026, 11, 26)
    theirs, bought = derive(chest(board(thick=31, count=20), sizes={})), derive(chest(board(thick=31, count=4), YARD, sizes={}))
    assert theirs.their_share.bought_m3 == 0 < bought.their_share.bought_m3
    assert "no boards to buy" in words.when(theirs, day) and "days to buy the boards" in words.when(bought, day)
    assert theirs.days_from_order(day)[0][2] < bought.days_from_order(day)[0][2]
