"""Two revisions in words a maker reads."""

from hypothesis import given, settings
from hypothesis import strategies as st

from studio_lib.compare import changes, merge, outcome, reason_for
from studio_lib.demo import demo


def test_sizes_are_named_as_on_the_page_with_their_unit():
    before = demo().changed("items.1.sizes.height_mm", 430)
    after = before.changed("items.1.sizes.height_mm", 445)
    assert [str(c) for c in changes(before, after)] == ["terrace stool, height: 430 -> 445 mm"]


def test_what_it_does_to_price_and_weight_is_said():
    after = demo().changed("items.0.sizes.slat_thickness_mm", 28)
    said = " ".join(outcome(demo(), after))
    assert "weight +" in said and "price" in said


def test_reason_lists_the_first_changes_and_counts_the_rest():
    after = demo()
    for path, value in (("brief.people", 8), ("brief.years_wanted", 30), ("title", "Two tables"), ("notes", "x"), ("client", "y")):
        after = after.changed(path, value)
    assert reason_for(demo(), after).endswith("and 2 more")
    assert changes(demo(), demo()) == []


def test_a_field_is_called_as_its_page_calls_it_and_a_share_is_told_in_percent():
    assert reason_for(demo(), demo().changed("brief.wants.may_go_grey", not demo().brief.wants.may_go_grey)).startswith("Brief, it may go grey: ")
    assert reason_for(demo(), demo().changed("brief.share_women", 0.4)) == "Brief, women among them: 60 % -> 40 %"


def test_an_option_is_one_line_however_much_is_in_it():
    kept = demo().with_option("within the budget")
    assert str(changes(demo(), kept)[0]) == "Option 'within the budget' kept"
    assert sum(c.path.startswith("options") for c in changes(demo(), kept)) == 1
    assert "Option 'within the budget' taken away" in reason_for(kept, kept.changed("options", []))


def test_a_board_added_or_taken_away_is_one_line():
    rows = [b.model_dump(mode="json") for b in demo().boards.offered]
    new = {**rows[0], "ref": "Z1", "length_mm": 2500, "width_mm": 160, "thickness_mm": 32, "count": 5, "faults": []}
    assert reason_for(demo(), demo().changed("boards.offered", [new, *rows])) == "Board Z1: 2500 x 160 x 32 mm, 5 of them"
    assert reason_for(demo(), demo().changed("boards.offered", rows[1:])) == f"Board {rows[0]['ref']} taken away"
    assert len(changes(demo(), demo().changed("boards.offered.0.count", 9))) == 1


def test_a_piece_given_another_name_is_told_as_that():
    assert reason_for(demo(), demo().changed("items.0.name", "long table")) == "long table, name: terrace table -> long table"


def test_every_revision_has_a_word():
    asked = demo().changed("brief.wishes", [])
    assert reason_for(demo(), asked) == "Brief, in the wish: not asked yet -> none of these"
    for path, value in (("brief.openings", []), ("brief.needs_leave", []), ("brief.child_ages", [4, 7.5]), ("hours", [hour("2026-11-01", 30)])):
        assert reason_for(demo(), demo().changed(path, value)), path
    assert reason_for(demo(), demo()) == "saved again, nothing changed"


# ---------------------------------------------------------------- two people's changes brought together


def hour(day, minutes):
    return {"day": day, "operation": "sand", "minutes": minutes}


def test_changes_to_different_fields_are_both_kept():
    mine = demo().changed("items.0.sizes.length_mm", 1850).changed("brief.people", 8)
    theirs = demo().changed("items.0.sizes.width_mm", 950).changed("notes", "theirs")
    both = merge(demo(), mine, theirs)
    assert both.clashes == ()
    assert both.document == mine.changed("items.0.sizes.width_mm", 950).changed("notes", "theirs")
    assert merge(demo(), theirs, mine).document == both.document, "in whichever order they save"


def test_a_field_both_changed_stays_theirs_and_is_told_with_its_unit():
    mine, theirs = (demo().changed("items.1.sizes.height_mm", v) for v in (445, 460))
    both = merge(demo(), mine, theirs)
    assert both.document == theirs
    (clash,) = both.clashes
    assert (clash.path, clash.mine, clash.theirs, clash.value) == ("items.1.sizes.height_mm", "445 mm", "460 mm", 445)
    assert demo().changed(clash.path, clash.value) == mine, "what is kept of mine can be set after all"


def test_rows_that_both_wrote_down_are_all_kept():
    base = demo().changed("hours", [hour("2026-11-01", 30)])
    mine = base.changed("hours", [hour("2026-11-01", 30), hour("2026-11-02", 45)])
    theirs = base.changed("hours", [hour("2026-11-01", 30), hour("2026-11-03", 60)])
    both = merge(base, mine, theirs)
    assert [h.minutes for h in both.document.hours] == [30, 60, 45] and both.clashes == ()


def test_the_same_change_by_both_is_no_clash():
    both = merge(demo(), demo().changed("brief.people", 8), demo().changed("brief.people", 8))
    assert both.clashes == () and both.document.brief.people == 8


def test_changes_that_cannot_stand_together_leave_theirs_and_say_so():
    base = demo().changed("brief.own_climate", {"summer": {"temperature_c": 20, "humidity_pct": 60}, "winter": {"temperature_c": 5, "humidity_pct": 80}})
    mine = base.changed("brief.own_climate.summer.temperature_c", 12)
    theirs = base.changed("brief.own_climate.winter.temperature_c", 15)
    both = merge(base, mine, theirs)
    assert both.document == theirs and [c.path for c in both.clashes] == ["brief.own_climate.summer.temperature_c"]


PATHS = {"brief.people": (7, 8), "notes": ("a", "b"), "items.0.sizes.length_mm": (1800.0, 1850.0), "items.1.count": (2, 3), "finished": (True, False)}
changed = st.dictionaries(st.sampled_from(list(PATHS)), st.integers(0, 1), max_size=4)


@settings(max_examples=40, deadline=None)
@given(changed, changed)
def test_every_change_is_in_the_outcome_or_told(mine, theirs):
    def made(which):
        document = demo()
        for path, i in which.items():
            document = document.changed(path, PATHS[path][i])
        return document

    def at(path):
        def read(document):
            value = document.model_dump()
            for step in path.split("."):
                value = value[int(step)] if step.isdigit() else value.get(step)
            return value
        return read

    both = merge(demo(), made(mine), made(theirs))
    told = {c.path for c in both.clashes}
    for path in theirs:
        if at(path)(made(theirs)) != at(path)(demo()):
            assert at(path)(both.document) == at(path)(made(theirs)), path
    for path in mine:
        wanted = at(path)(made(mine))
        assert at(path)(both.document) == wanted or path in told or wanted == at(path)(demo())


def test_a_quote_issued_is_told_as_one_line_and_its_range_as_another():
    from datetime import date

    from studio_lib.costing.billing import quote_issued, with_issued
    from studio_lib.costing.records import as_reckoned
    from studio_lib.derive import derive

    d, day = derive(demo()), date(2026, 11, 25)
    kept = as_reckoned(d, 1, day).model_dump(mode="json")
    after = demo().changed("issued", with_issued(demo(), quote_issued(demo(), d.price, 1, day))).changed("estimate", kept)
    found = changes(demo(), after)
    assert [(c.label, c.before) for c in found] == [("Estimate", "not set"), ("Paper C26-001-Q1", "not set")]
    assert str(d.price.gross) in found[1].after and "h likely" in found[0].after
