"""Every panel on the demo: built, moved like a person would, and read back."""

import re
from html import unescape

import ipywidgets as w
import pytest

from studio_lib.demo import demo
from studio_lib.forms import FORMS
from studio_lib.jobbook import open_book
from workbook.desk import Desk
from workbook.page import STAGES, Page
from workbook.panels.timber import fit_table
from workbook.pointing import Rows


@pytest.fixture
def desk(tmp_path):
    book = open_book(tmp_path)
    book.add(demo())
    yield Desk(book)
    book.close()


def inside(widget):
    """The widget and all within it."""
    yield widget
    for child in getattr(widget, "children", ()):
        yield from inside(child)


def labelled(panel, label):
    """The input with that label."""
    for one in inside(panel):
        if getattr(one, "description", "") == label:
            return one
    raise AssertionError(f"no field {label!r}")


def words(panel):
    return unescape(" ".join(one.value for one in inside(panel) if isinstance(one, (w.HTML, Rows))))


@pytest.mark.parametrize("stage", STAGES)
def test_every_panel_builds_twice_without_a_notice(desk, stage):
    page = Page(stage, desk)
    for _ in range(2):
        page.panel()
    assert desk.notice == ""


@pytest.mark.parametrize("stage", STAGES)
def test_every_panel_lives_with_a_commission_just_begun(tmp_path, stage):
    from studio_lib.commission import Commission

    book = open_book(tmp_path)
    book.add(Commission(ref="C1", title="Just begun"))
    desk = Desk(book)
    Page(stage, desk).panel()
    Page(stage, desk).summary()
    assert desk.notice == ""


def test_a_moved_size_reaches_every_later_page(desk):
    sizes, boards, price = (Page(s, desk).panel() for s in ("sizes", "boards", "price"))
    before = words(price)
    labelled(sizes, "Length of top, mm").value = "1.9 m"
    assert desk.commission.items[0].sizes["length_mm"] == 1900
    assert "1900 x 920 x 740 mm" in words(sizes)
    assert "1900" in words(boards)
    assert words(price) != before


def test_a_moved_size_reaches_the_3d_view(desk):
    from workbook.view3d import View3D

    panel = Page("sizes", desk).panel()
    view = next(one for one in inside(panel) if isinstance(one, View3D))
    before = view.scene
    labelled(panel, "Height, mm").value = "760"
    assert view.scene != before


def test_a_bad_size_is_refused_beside_its_field_and_the_typed_value_stays(desk):
    panel = Page("sizes", desk).panel()
    box = labelled(panel, "Slats")
    box.value = 59
    assert "Fewer slats" in words(panel)
    assert box.value == 59 and desk.derived.made[0].sizes["slat_count"] == 9
    box.value = 8
    assert "Fewer slats" not in words(panel)
    assert desk.derived.made[0].sizes["slat_count"] == 8


def test_one_member_departs_from_the_form_and_comes_back(desk):
    panel = Page("sizes", desk).panel()
    labelled(panel, "Member").value = "A-M1"
    labelled(panel, "Its").value = "thickness_mm"
    labelled(panel, "Becomes").value = "40"
    labelled(panel, "Make this change").click()
    assert desk.derived.pieces[0].member("A-M1").thickness_mm == 40
    labelled(panel, "Becomes").value = "stout"
    labelled(panel, "Make this change").click()
    assert "'stout' is no length" in words(panel)
    labelled(panel, "Becomes").value = "0"
    labelled(panel, "Make this change").click()
    assert "5 to 600 mm" in words(panel) and desk.derived.pieces[0].member("A-M1").thickness_mm == 40
    labelled(panel, "Take away").click()
    assert desk.derived.pieces[0].member("A-M1").thickness_mm == 30


def test_a_stand_is_built_from_nothing(tmp_path):
    """Two legs, a rail between them with its joints, an arch; then a change laid aside and one refused."""
    from studio_lib.commission import Commission, Item

    book = open_book(tmp_path)
    book.add(Commission(ref="C1", title="A stand", items=(Item(name="stand", form="freehand"),)))
    desk = Desk(book)
    panel = Page("sizes", desk).panel()

    def change(what, does="Make this change", **values):
        labelled(panel, "Change").value = what
        for label, value in values.items():
            labelled(panel, label).value = value
        labelled(panel, does).click()

    leg = {"Name": "leg", "Kind of member": "leg", "Length, mm": "400", "Width, mm": "45", "Thickness, mm": "4.5 cm", "Its length runs": "z",
           "Its width runs": "x"}
    change("add", "Add it", **leg)
    change("copy", **{"Member": "A-X1", "To the right, mm": "400"})
    change("add", "Add it", **{"Name": "rail", "Placed": "between", "this member": "A-X1", "and this one": "A-X2"})
    change("shape", "Shape it", **{"Member": "A-X3", "Work on it a": "arched edge", "Rise, mm": "12"})
    piece = desk.derived.pieces[0]
    assert desk.refused == {} and [m.name for m in piece.members] == ["leg", "leg, copy", "rail"]
    assert piece.member("A-X3").length_mm == 355 and [j.kind for j in piece.joints] == ["mortise and tenon"] * 2
    assert piece.overall_mm == (445, 45, 400)
    change("shape", "Shape it", **{"Member": "A-X3", "Work on it a": "taper", "Taken off at the end, mm": "90"})
    assert "give 0.1 to 22 mm" in words(panel) and desk.derived.pieces[0] == piece
    labelled(panel, "Lay aside").click()
    assert "Not made" in words(panel) and desk.derived.made[0].piece.members == ()
    labelled(panel, "Bring back").click()
    assert desk.derived.pieces[0] == piece
    book.close()


def test_a_stool_made_as_slender_as_it_dares(desk):
    import time

    panel = Page("sizes", desk).panel()
    starts = [one for one in inside(panel) if getattr(one, "description", "") == "Look how slender"]
    starts[1].click()
    for _ in range(200):
        if not starts[1].disabled:
            break
        time.sleep(0.1)
    before = desk.derived.made[1].sizes["bearer_thickness_mm"]
    takes = [one for one in inside(panel) if getattr(one, "description", "") == "Take these"]
    assert "in reserve" in words(panel) and takes
    takes[-1].click()
    assert desk.refused == {} and desk.derived.made[1].sizes["bearer_thickness_mm"] < before


def test_a_slider_and_its_box_agree(desk):
    panel = Page("sizes", desk).panel()
    box = labelled(panel, "Length of top, mm")
    slider = next(one for one in inside(panel) if isinstance(one, w.FloatSlider))
    slider.value = 1850.0
    assert box.value == "1850"


def test_an_empty_optional_number_and_a_word_in_it(desk):
    panel = Page("brief", desk).panel()
    box = labelled(panel, "Room, length, mm")
    box.value = ""
    assert desk.commission.brief.space_length_mm is None
    assert "How much room does it have, length by width?" in words(panel)
    box.value = "wide enough"
    assert "is no length; give one such as 740, or with its unit" in words(panel)
    box.value = "4,2 m"
    assert desk.commission.brief.space_length_mm == 4200


@pytest.mark.parametrize(("typed", "value_mm"), [("3.10 m", 3100), ("29 1/8 in", 739.775), ("740 mm", 740), ("2 ft 5 in", 736.6), ("74 cm", 740)])
def test_a_length_is_typed_in_any_unit_on_every_page(desk, typed, value_mm):
    brief, sizes, boards = (Page(s, desk).panel() for s in ("brief", "sizes", "boards"))
    labelled(brief, "The piece no longer than, mm").value = typed
    assert desk.commission.brief.most_length_mm == pytest.approx(value_mm)
    labelled(sizes, "Length of top, mm").value = typed
    assert desk.commission.items[0].sizes["length_mm"] == pytest.approx(value_mm)
    labelled(boards, "Length, mm").value = typed
    labelled(boards, "Mark").value = "Y77"
    labelled(boards, "Price each").value = "40"
    labelled(boards, "Add this board").click()
    assert desk.commission.boards.offered[-1].length_mm == pytest.approx(value_mm)


def test_an_opening_is_added_with_what_is_known_of_it(desk):
    panel = Page("brief", desk).panel()
    labelled(panel, "Add a way in").value = "stair"
    add = [one for one in inside(panel) if getattr(one, "description", "") == "Add it"][-1]
    add.click()
    assert "stair, stair: " in words(panel)
    labelled(panel, "Turn").value = "quarter"
    labelled(panel, "Width, mm").value = "0.85 m"
    assert desk.refused == {}
    kept = desk.commission.brief.openings[-1]
    assert (kept.kind, kept.width_mm, kept.turn, kept.landing_depth_mm) == ("stair", 850, "quarter", None)
    assert "not known yet: headroom, landing depth" in words(panel)
    assert "What does the stair measure: headroom, landing depth?" in words(panel)


def test_a_short_tenon_says_what_to_do(desk):
    panel = Page("joints", desk).panel()
    labelled(panel, "Tenon length, mm").value = "15"
    assert "look again" in words(panel) and "through tenon" in words(panel)


def test_choosing_a_timber_that_rots_is_said(desk):
    panel = Page("timber", desk).panel()
    labelled(panel, "Timber").value = "European beech"
    assert "will not do" in words(panel)


def test_a_board_is_entered_as_written_at_the_yard(desk):
    panel = Page("boards", desk).panel()
    for label, value in (("Mark", "Y99"), ("Length, mm", "2.3 m"), ("Width, mm", "210"), ("Thick, mm", "32"), ("Price each", "41,50"),
                         ("Faults, mm", "knot 1200-1290 x 0-45; end split 0-60 x 0-210")):
        labelled(panel, label).value = value
    labelled(panel, "Add this board").click()
    board = desk.commission.boards.offered[-1]
    assert (board.ref, str(board.price), [f.severity for f in board.faults]) == ("Y99", "41.50", [2, 3])
    labelled(panel, "Mark").value = "Y98"
    labelled(panel, "Faults, mm").value = "a bad bit near the middle"
    labelled(panel, "Add this board").click()
    assert "Cannot read the fault" in words(panel)


def test_the_record_names_compares_and_goes_back(desk):
    desk.change("brief.people", 8)
    panel = Page("record", desk).panel()
    assert "Brief, people at once" in words(panel)
    labelled(panel, "Go back to 'From'").click()
    assert desk.commission == demo()


def test_hours_are_written_down(desk):
    panel = Page("record", desk).panel()
    labelled(panel, "Minutes").value = 45
    labelled(panel, "Write down").click()
    assert desk.commission.hours[0].minutes == 45


def test_a_new_commission_is_begun_and_taken_up(desk):
    panel = Page("book", desk).panel()
    labelled(panel, "Begin a new commission").click()
    assert desk.book.current == demo().ref and not desk.notice
    near = next(b for b in inside(panel) if getattr(b, "children", ()) and any(getattr(c, "placeholder", "") == "title of a new commission" for r in b.children for c in getattr(r, "children", ())))
    assert "the title is empty" in words(near) and f"Still in hand: {demo().ref} {demo().title}" in words(near)
    next(b for b in inside(panel) if getattr(b, "placeholder", "") == "title of a new commission").value = "Bench for the hall"
    assert "the title is empty" not in words(near)
    labelled(panel, "Begin a new commission").click()
    assert desk.book.current != demo().ref and desk.commission.title == "Bench for the hall"


def test_beside_the_country_stands_which_job_it_is_of(desk):
    panel = Page("book", desk).panel()
    assert f"For the job in hand: <b>{demo().title}</b>" in words(panel)


def test_the_country_is_told_and_changed_on_the_brief_too(desk):
    panel = Page("brief", desk).panel()
    assert "no country is chosen yet" in words(panel)
    labelled(panel, "Country").value = "Switzerland"
    assert (desk.commission.rates.country, desk.commission.showing.locale) == ("Switzerland", "en_CH")
    assert "as in Switzerland" in words(panel) and f"VAT of {100 * desk.commission.rates.tax_rate:g} %" in words(panel)
    labelled(Page("book", desk).panel(), "Country").value = "Ireland"
    assert labelled(panel, "Country").value == "Ireland" and "as in Ireland" in words(panel)
    assert desk.commission.showing.locale == "en_IE", "the writing follows a country that was chosen by mistake"


def test_a_fault_in_showing_is_told_not_lost(desk, monkeypatch):
    from workbook.panels import sizes

    panel = Page("sizes", desk).panel()
    monkeypatch.setattr(sizes, "figures", lambda *_: 1 / 0)
    labelled(panel, "Height, mm").value = "750"
    assert "Something went wrong" in words(panel) and desk.commission.items[0].sizes["height_mm"] == 750


@pytest.mark.parametrize("stage", STAGES)
def test_a_page_built_again_stops_listening_with_its_old_ears(desk, stage):
    def ears():
        return sum(len(found) for kinds in desk._trait_notifiers.values() for found in kinds.values())

    page = Page(stage, desk)
    page.panel()
    once = ears()
    for n in range(3):
        page.panel()
        desk.change("items.0.count", 2 + n % 2)
    assert ears() == once


def every(panel, label):
    """All inputs and buttons with that label."""
    return [one for one in inside(panel) if getattr(one, "description", "") == label]


def begun(tmp_path):
    from studio_lib.commission import Commission

    book = open_book(tmp_path)
    book.add(Commission(ref="C1", title="Just begun"))
    return Desk(book)


def test_the_air_of_a_place_is_entered_by_hand_and_moves_the_timber(desk):
    panel = Page("brief", desk).panel()
    humid = every(panel, "and humidity, %")
    labelled(panel, "Outdoors, summer, °C").value = "30"
    humid[0].value = "30"
    assert "Still wanted: winter temperature, winter humidity" in words(panel)
    labelled(panel, "Outdoors, winter, °C").value = "12"
    humid[1].value = "450"
    assert "Humidity, %, is 450; give 95 or less." in words(panel) and desk.commission.brief.own_climate.air("temperate inland") is None
    humid[1].value = "45"
    assert "your own figures" in words(panel) and "give 95" not in words(panel)
    assert desk.derived.moisture.high_pct < 12 or "Rain" in desk.derived.moisture.reason
    labelled(panel, "Outdoors, winter, °C").value = "35"
    assert "colder than winter at 35" in words(panel) and desk.commission.brief.own_climate.winter.temperature_c == 12
    labelled(panel, "Clear these figures").click()
    assert not desk.commission.brief.own_climate.begun and humid[0].value == ""


def test_a_refused_figure_put_back_is_refused_no_longer(desk):
    box = labelled(Page("brief", desk).panel(), "People at once")
    before = box.value
    box.value = -2
    assert desk.refused
    box.value = before
    assert not desk.refused


def test_a_wish_is_weighed_from_the_brief_alone_and_stops_it(tmp_path):
    desk = begun(tmp_path)
    panel = Page("brief", desk).panel()
    assert "Is there a screen, a tall case" in words(panel)
    assert labelled(panel, "In the wish there is").value == ""
    every(panel, "Add it")[1].click()
    assert "Choose first what there is in the wish" in words(panel) and desk.commission.brief.wishes is None
    labelled(panel, "In the wish there is").value = "lid, drawer or door"
    every(panel, "Add it")[1].click()
    assert "inside length, inside width, inside height not known yet" in words(panel)
    for label, value in (("Inside, length, mm", "1000"), ("Inside, width, mm", "450"), ("Inside, height, mm", "420")):
        labelled(panel, label).value = value
    assert "Stop: lid, drawer or door, shut in: 189 dm3 inside" in words(panel)
    labelled(panel, "None of these").click()
    labelled(panel, "Inside, length, mm").value = "-4"
    assert "Length, mm, is -4; give more than 0." in words(panel) and desk.commission.brief.wishes[0].length_mm == 1000
    every(panel, "Take away")[0].click()
    assert desk.commission.brief.wishes == () and "None of these is in the wish" in words(panel)
    assert "Stop:" not in words(panel)


def shown(panel, label):
    """Whether a field and all that holds it are on the page."""

    def seen(widget):
        if widget.layout.display == "none":
            return False
        return getattr(widget, "description", "") == label or any(seen(child) for child in getattr(widget, "children", ()))

    return seen(panel)


def test_wind_and_sea_are_asked_only_of_what_stands_outdoors(tmp_path):
    desk = begun(tmp_path)
    panel = Page("brief", desk).panel()
    desk.change("brief.wind_m_s", 30)
    outdoors = ("Wind there", "Gusts, where known, m/s", "Near the sea")
    assert not any(shown(panel, label) for label in outdoors) and shown(panel, "Rain or damp reaches it")
    desk.change("brief.place", "outdoors, in the weather")
    assert all(shown(panel, label) for label in outdoors) and not shown(panel, "Rain or damp reaches it")
    assert labelled(panel, "Gusts, where known, m/s").value == "30" and desk.commission.brief.wind_m_s == 30


def test_under_a_roof_it_is_asked_whether_rain_blows_in_and_the_timber_page_says_what_follows(tmp_path):
    desk = begun(tmp_path)
    panel = Page("brief", desk).panel()
    desk.change("brief.years_wanted", 30)
    desk.change("brief.place", "outdoors, under cover")
    assert shown(panel, "Rain or damp reaches it")
    head = re.compile(r"<h2>(\d+) timbers last outdoors, under cover(, where rain blows in)?(, \d+ of them only with treatment)?.*?; (\d+) do not")

    def told():
        return head.search(fit_table(desk))

    dry = told()
    assert dry[2] is None and dry[3] and dry[4] == "0"
    labelled(panel, "Rain or damp reaches it").value = True
    wet = told()
    assert desk.commission.brief.wetted and wet[2] and int(wet[4]) > 20 and "use class 3" in fit_table(desk)
    assert all("D2" not in g.adhesive.family for g in desk.derived.glues if g.verdict.value != "will not do")


def test_a_bench_says_that_its_number_of_people_is_only_where_a_brief_begins(tmp_path):
    desk = begun(tmp_path)
    desk.change("items", [{"name": "It", "form": "bench"}])
    assert "6 people (where every brief begins)" in words(Page("sizes", desk).panel())
    desk.change("brief.people", 3)
    assert "where every brief begins" not in words(Page("sizes", desk).panel())


@pytest.mark.parametrize(("form", "grow", "stay"), [
    ("bench", ("height_mm", "depth_mm", "back_height_mm"), "length_mm"), ("table", ("height_mm",), "length_mm"),
    ("slatted table", ("height_mm",), "length_mm"), ("slatted stool", ("height_mm",), "length_mm"),
])
def test_very_tall_and_very_broad_are_said_apart_and_the_sizes_follow(tmp_path, form, grow, stay):
    desk = begun(tmp_path)
    desk.change("items", [{"name": "It", "form": form}])
    panel = Page("brief", desk).panel()
    assert shown(panel, "Someone is very broad or heavy")

    def sizes():
        return dict(desk.derived.made[0].sizes)

    before = sizes()
    labelled(panel, "Tallest person, mm").value = "1920"
    assert desk.commission.brief.tallest_person_mm == 1920
    assert all(sizes()[name] > before[name] for name in grow) and sizes()[stay] == before[stay]
    labelled(panel, "Tallest person, mm").value = ""
    assert desk.commission.brief.tallest_person_mm is None and sizes() == before


def test_people_at_once_are_asked_only_of_what_is_sat_on_or_at(tmp_path):
    desk = begun(tmp_path)
    panel = Page("brief", desk).panel()
    desk.change("items", [{"name": "bookcase", "form": "bookcase"}])
    assert not shown(panel, "People at once") and "people at once" not in words(panel)
    desk.change("items", [{"name": "bookcase", "form": "bookcase"}, {"name": "bench", "form": "bench"}])
    assert shown(panel, "People at once")
    desk.change("items", [{"name": "stool", "form": "stool"}])
    assert not shown(panel, "People at once") and shown(panel, "Heaviest person, kg") and "people at once" not in words(panel)
    desk.change("items", [{"name": "bookcase", "form": "bookcase"}])
    assert not shown(panel, "Heaviest person, kg")


def test_fixed_to_the_wall_is_answered_once_wherever_it_is_asked(tmp_path):
    desk = begun(tmp_path)
    panel = Page("brief", desk).panel()
    desk.change("brief.wishes", [{"kind": "tall case", "name": "bookcase", "height_mm": 2300, "width_mm": 900, "depth_mm": 280, "weight_kg": 60}])
    in_wish = labelled(panel, "Fixed to the wall")
    in_wish.value = True
    in_leave = lambda: next(x for x in inside(panel) if getattr(x, "description", "").startswith("it is fixed to a building"))  # noqa: E731
    assert in_leave().value and desk.commission.brief.needs_leave == ("fixed to building",)
    assert [s.finding.what for s in desk.derived.stops] == ["leave of others"]
    desk.change("items", [{"name": "bookcase", "form": "bookcase"}])
    assert desk.derived.made[0].proposals["wall"].why == "fixed to the wall, as the brief says"
    assert "bookcase itself is judged" in words(panel)
    in_leave().value = False
    assert not in_wish.value and not desk.commission.brief.fixed_to_building and desk.derived.stops == ()


def test_the_brief_sheet_is_written_before_there_is_a_piece(tmp_path):
    from pypdf import PdfReader

    desk = begun(tmp_path)
    desk.change("brief.wishes", [{"kind": "long shelf", "name": "atlas shelf", "span_mm": 1600, "depth_mm": 300, "thickness_mm": 22, "load_kg_m": 60}])
    panel = Page("brief", desk).panel()
    labelled(panel, "Write the brief sheet").click()
    sheet = PdfReader(tmp_path / "papers" / "C1" / "brief.pdf")
    said = " ".join(sheet.pages[0].extract_text().split())
    assert len(sheet.pages) == 1 and "atlas shelf, sag" in said and "free span 1600 mm" in said
    assert desk.book.papers("C1")[0][0] == "brief.pdf"


def test_an_opening_on_the_way_in_is_changed_in_place(desk):
    desk.change("brief.openings", [{"kind": "door", "name": "front door", "width_mm": 800, "height_mm": 2000}])
    panel = Page("brief", desk).panel()
    labelled(panel, "Change").click()
    width = every(panel, "Width, mm")[0]
    width.value = "3"
    assert words(panel).count("give 300 to 10000 mm, measured clear.") == 1 and ".." not in words(panel) and desk.commission.brief.openings[0].width_mm == 800
    width.value = "850"
    assert desk.commission.brief.openings[0].width_mm == 850
    assert "front door, door: width 850 mm" in words(panel) and "give 300" not in words(panel)
    labelled(panel, "Its name").value = "side door"
    assert desk.commission.brief.openings[0].name == "side door" and width in every(panel, "Width, mm"), "still open to change"
    labelled(panel, "Change").click()
    assert width not in every(panel, "Width, mm")


def test_a_picture_is_small_on_the_page_full_when_opened_and_can_go(desk):
    import io

    from PIL import Image

    out = io.BytesIO()
    Image.effect_noise((2400, 1600), 90).convert("RGB").save(out, "JPEG", quality=90)
    desk.book.attach(desk.commission.ref, "terrace.jpg", "image/jpeg", out.getvalue(), "at noon")
    desk.book.attach(desk.commission.ref, "plan.pdf", "application/pdf", b"%PDF-1.4 plan")
    panel = Page("brief", desk).panel()
    assert "terrace.jpg" in words(panel) and len(words(panel)) < len(out.getvalue()) / 4
    small = Image.open(io.BytesIO(desk.book.thumbnail(desk.commission.ref, desk.book.attachments(desk.commission.ref)[0])))
    assert small.size == (320, 213) and small.format == "JPEG"
    every(panel, "Open")[0].click()
    assert next(one for one in inside(panel) if isinstance(one, w.Image)).value == out.getvalue()
    every(panel, "Open")[1].click()
    assert "Save plan.pdf" in words(panel)
    every(panel, "Take it away for good")[0].click()
    assert [a.name for a in desk.book.attachments(desk.commission.ref)] == ["plan.pdf"]
    assert "terrace.jpg" not in words(panel)


def test_an_hours_entry_is_taken_out_and_put_back(desk):
    panel = Page("record", desk).panel()
    for minutes in (45, 20):
        labelled(panel, "Minutes").value = minutes
        labelled(panel, "Write down").click()
    both = desk.commission.hours
    every(panel, "Take out")[0].click()
    assert [h.minutes for h in desk.commission.hours] == [20]
    back = next(one for one in inside(panel) if getattr(one, "description", "").startswith("Put back 20"))
    assert "45 minutes" in back.description
    back.click()
    assert desk.commission.hours == both and back.layout.display == "none"


def test_timbers_they_like_are_chosen_one_after_the_other_and_taken_away(desk):
    panel = Page("brief", desk).panel()
    for name in ("European oak", "European ash"):
        labelled(panel, "Timbers they like").value = name
    assert desk.commission.brief.wants.liked == ("European oak", "European ash")
    assert labelled(panel, "Timbers they like").value == "choose one" and "<b>European ash</b>" in words(panel)
    desk.change("brief.wants.liked", ["European ash"])
    row = next(x for x in inside(panel) if getattr(x, "value", None) == "<b>European ash</b>&nbsp;")
    box = next(x for x in inside(panel) if row in getattr(x, "children", ()))
    box.children[1].click()
    assert desk.commission.brief.wants.liked == ()


def test_the_record_calls_fields_as_the_pages_do(desk):
    """The words of the record's history, field by field, beside the labels of the pages themselves."""
    from studio_lib.compare import field_words
    from workbook import parts as page_parts

    units = {"mm", "%", "m/s", "°C", "N", "km", "km/h", "kg", "m3"}
    known, seen = field_words(), 0
    for stage in STAGES:
        for one in inside(Page(stage, desk).panel()):
            if not isinstance(one, page_parts.Field) or one.path.startswith("items.") or not one.widget.description:
                continue
            assert one.path in known, f"{one.path} has no words in field_words.csv"
            if ".own_climate." in one.path or ".their_timber." in one.path:
                continue
            page, words_, _ = known[one.path]
            label, _, unit = one.widget.description.rpartition(", ")
            assert words_ == (label if unit in units else one.widget.description), one.path
            assert page in {name for _, name in page_parts.PAGES.values()}, one.path
            seen += 1
    assert seen > 100


def test_money_is_read_as_people_write_it_and_another_currency_is_refused():
    from workbook.parts import as_money

    for typed, read in (("1250", "1250"), ("£2,500", "2500"), ("2.500 €", "2500"), ("EUR 1 250,50", "1250.50"), ("$ 12", "12")):
        assert as_money(typed) == read
    assert as_money("£2,500", "GBP") == "2500"
    with pytest.raises(ValueError, match="not in EUR, which this job is reckoned in"):
        as_money("£2,500", "EUR")
    with pytest.raises(ValueError, match="no amount"):
        as_money("a few")


def test_a_gate_open_above_asks_for_its_width_alone(desk):
    from workbook.panels import brief

    panel = brief.openings(desk)
    kind = labelled(panel, "Add a way in")
    kind.value = "gate, open above"
    assert not [one for one in inside(panel) if isinstance(one, w.Text) and one.placeholder == "not known yet"], "asked for once it is there"
    next(one for one in inside(panel) if isinstance(one, w.Button) and one.description == "Add it").click()
    asked = [one for one in inside(panel) if isinstance(one, w.Text) and one.placeholder == "not known yet"]
    assert [one.description for one in asked] == ["Width, mm"]
    asked[0].value = "900"
    assert desk.commission.brief.openings[-1].kind == "gate, open above" and desk.commission.brief.openings[-1].width_mm == 900


def test_the_timber_page_shows_what_the_look_shows(desk):
    from studio_lib.timber import appearance
    from workbook.panels import timber

    desk.change("brief.place", "outdoors, under cover")
    said = timber.fit_table(desk)
    own = desk.derived.species
    assert appearance(own, 10, "eaves", "bare").base_hex in said
    assert own.colour_weathered_hex not in said


def test_no_metal_to_be_seen_is_answered_on_the_brief_and_mended_on_the_joints_page(tmp_path):
    from studio_lib.commission import Commission, Item

    book = open_book(tmp_path)
    book.add(Commission(ref="C1", title="Cabinet", items=(Item(name="cabinet", form="cabinet"),)).changed("timber.species", "European oak"))
    desk = Desk(book)
    labelled(Page("brief", desk).panel(), "Screws, bolts and hinges").value = "none to be seen"
    assert desk.commission.brief.metal == "none to be seen"
    joints = Page("joints", desk).panel()
    said = words(joints)
    assert "Does not keep the wish for no metal to be seen: four hinges can be seen from the front" in said and "No metal in it, as wished." in said
    press(joints, "Take hidden hinges")
    assert "Does not keep the wish" not in words(joints) and desk.derived.metal_promise
    desk.change("brief.metal", "none at all")
    press(joints, "Make it glued on")
    assert [a.joint for a in desk.commission.items[0].adjustments] == ["glued on"]
    swap = Page("sizes", desk).panel()
    labelled(swap, "Change").value = "swap"
    kinds = [words_ for words_, _ in labelled(swap, "Become").options]
    without = [k.endswith(", no metal") for k in kinds]
    assert without == sorted(without, reverse=True) and "hinges" in kinds
    book.close()


def test_another_kind_of_joint_is_taken_on_the_joints_page_and_given_back(desk):
    joints, family = Page("joints", desk).panel(), desk.derived.piece.joints[0].family
    before = desk.derived.piece.joints[0].kind
    assert "As the form makes it" not in {b.description for b in inside(joints) if isinstance(b, w.Button)}
    press(joints, "Another kind of joint")
    kinds = next(b for b in inside(joints) if isinstance(b, w.Dropdown))
    kinds.value = "dowels"
    press(joints, "Make it so")
    assert {j.kind for j in desk.derived.piece.joints if j.family == family} == {"dowels"} and f"{family}: 8 x dowels" in words(joints)
    press(joints, "As the form makes it")
    assert desk.derived.piece.joints[0].kind == before and desk.commission.items[0].adjustments == ()


def test_the_client_s_words_are_taken_apart_and_answered_beside_the_quote(desk):
    desk.change("brief.points", [])
    desk.change("brief.asked", "A table. One drawer in it. It must come apart")
    price = Page("price", desk).panel()
    press(price, "Take the client's words apart")
    assert [p.words for p in desk.commission.brief.points] == ["A table", "One drawer in it", "It must come apart"]
    told = next(b for b in inside(price) if getattr(b, "tooltip", "") == "Answer to point 2")
    told.value = "not in it"
    assert desk.commission.brief.points[1].answer == "not in it" and "no answer yet" in dict((v, k) for k, v in told.options)[""]
    brief = Page("brief", desk).panel()
    assert next(b for b in inside(brief) if getattr(b, "tooltip", "") == "Answer to point 2").value == "not in it"
    press(price, "Take the client's words apart")
    assert desk.notice.startswith("Every part of the client's words is among the points already")


def press(panel, caption):
    """Press the first button of that caption."""
    next(b for b in inside(panel) if isinstance(b, w.Button) and b.description == caption).click()


def test_timbers_not_wanted_are_said_on_the_brief_and_told_of_on_the_timber_page(desk):
    brief = Page("brief", desk).panel()
    labelled(brief, "Timbers not wanted").value = "European oak"
    labelled(brief, "No tropical timber").value = True
    assert desk.commission.brief.wants.unwanted == ("European oak",) and desk.commission.brief.wants.no_tropical
    assert "European oak" in dict(desk.derived.barred) and "European oak" not in [x.species for x in desk.derived.weighing.ranked]
    said = words(Page("timber", desk).panel())
    assert "are not wanted" in said and "no tropical timber is wanted and it grows in tropical Africa" in said
    labelled(Page("timber", desk).panel(), "Timber").value = "European oak"
    assert desk.commission.timber.species == "European oak"
    assert any(f.what == "not wanted" and f.subject == "European oak" and not f.stands for f in desk.derived.findings)
    assert "The client does not want European oak" in words(Page("timber", desk).panel())
    labelled(brief, "Timbers they like").value = "European oak"
    assert "liked and not wanted at once" in desk.refused["brief.wants.liked"] and desk.commission.brief.wants.liked == ()


def test_sizes_of_a_screen_without_meaning_as_it_stands_are_hidden(desk):
    desk.change("items", [{"name": "screen", "form": "framed screen", "sizes": {"stands": 3}}])
    panel = Page("sizes", desk).panel()

    def offered(label):
        """Whether a field is there to be seen, by what holds it."""
        def open_to(widget):
            if getattr(widget, "description", "") == label:
                return True
            return widget.layout.display != "none" and any(open_to(c) for c in getattr(widget, "children", ()) if hasattr(c, "layout"))
        return open_to(panel)

    assert not offered("Length of each foot, mm") and not offered("Leaves, where it folds") and offered("Bottom rail above the foot or floor, mm")
    desk.change("items.0.sizes.stands", 0)
    assert offered("Length of each foot, mm") and not offered("Leaves, where it folds")
    assert "Fixed to the floor" not in words(panel)


def test_screws_that_the_form_puts_in_are_told_on_the_joints_page_with_where_they_go_in(tmp_path):
    from studio_lib.commission import Brief, Commission, Item

    book = open_book(tmp_path)
    c = Commission(ref="C1", title="Porch bench", items=(Item(name="Bench", form="bench"),),
                   brief=Brief(people=3, place="outdoors, under cover", frail=True, metal="none to be seen"))
    book.add(c.changed("timber.species", "Iroko"))
    desk = Desk(book)
    joints = Page("joints", desk).panel()
    said = words(joints)
    n = {f: sum(r.count for r in desk.derived.piece.fixings if r.family == f) for f in ("slat on bearer", "slat on rail along it")}
    for family, count in n.items():
        assert f"{family}: {count} x screws" in said
        assert f"No metal to be seen, as wished: {count if count > 10 else COUNT[count]} screw heads from below, out of sight." in said
    assert "screws bending and bedding in" in said and said.count("screws bending and bedding in; over that it dents") <= 2
    assert any(f"{sum(n.values())} screw heads from below: none to be seen" in f.says for f in desk.derived.metal_findings)
    assert desk.derived.metal_promise
    desk.change("brief.metal", "none at all")
    assert "Does not keep the wish for no metal at all" in words(joints)
    book.close()


COUNT = {4: "four", 6: "six", 8: "eight", 10: "ten"}


def beside_the_house(tmp_path):
    from studio_lib.commission import Brief, Commission, Item

    book = open_book(tmp_path / "low")
    book.add(Commission(ref="C9", title="Beside the house", brief=Brief(people=4, floor_falls_mm=40.0), items=(
        Item(name="Bench", form="bench", sizes={"leg_mm": 58.0}), Item(name="Tea table", form="slatted table"),
    )))
    return Desk(book)


def test_the_maker_says_that_a_table_is_low_and_where_the_bench_stands(tmp_path):
    from studio_lib.forms.sloping import SLABS

    desk = beside_the_house(tmp_path)
    panel = Page("brief", desk).panel()
    labelled(panel, "At it").value = "low"
    assert desk.derived.made[1].sizes["height_mm"] <= 450 and not desk.derived.made[0].at_table
    labelled(panel, "At it").value = ""
    assert desk.derived.made[0].at_table
    labelled(panel, "It stands").value = "at a wall"
    assert not desk.derived.made[0].at_table and desk.derived.made[0].at_wall
    labelled(panel, "A free piece is levelled by").value = SLABS
    assert desk.commission.brief.fall_met == SLABS
    labelled(panel, "Stands on").value = "gravel"
    assert desk.refused == {}
    desk.book.close()


def test_one_press_takes_the_sections_of_another_piece_and_undo_takes_them_back(tmp_path):
    desk = beside_the_house(tmp_path)
    panel = Page("sizes", desk).panel()
    which = [x for x in inside(panel) if getattr(x, "description", "") == "To look like"]
    assert [dict(x.options) for x in which] == [{"Tea table": 1}, {"Bench": 0}]
    before, revision = desk.commission, desk.revision
    press = [x for x in inside(panel) if getattr(x, "description", "") == "Take its sections"][1]
    press.click()
    assert desk.notice == "" and desk.revision == revision + 1
    assert desk.derived.made[1].sizes["leg_mm"] == 58 and "legs: 70 mm -> 58 mm" in words(panel)
    desk.undo()
    assert desk.commission == before
    desk.book.close()


def test_the_heaviest_person_and_leaning_back_are_said_and_the_loads_follow(tmp_path):
    desk = begun(tmp_path)
    desk.change("items", [{"name": "It", "form": "stool"}, {"name": "Other", "form": "stool"}])
    brief, sizes = Page("brief", desk).panel(), Page("sizes", desk).panel()
    before = desk.derived.loads(0)
    labelled(brief, "Heaviest person, kg").value = "115"
    assert desk.derived.loads(0)["down"].force_n > before["down"].force_n
    assert "made for 110 kg" in words(sizes) and not shown(sizes, "Against the back, N")
    labelled(sizes, "Someone leans back on two legs").value = True
    assert desk.derived.loads(0)["push"].force_n == 760 and desk.derived.loads(1)["push"].force_n == before["push"].force_n


def test_a_timber_of_the_clients_words_is_proposed_on_the_timber_page_and_taken_by_a_press(tmp_path):
    desk = begun(tmp_path)
    desk.change("rates.country", "Germany")
    desk.change("brief.asked", "A bench of walnut, or of beech.")
    desk.change("brief.place", "outdoors, under cover")
    brief, panel = Page("brief", desk).panel(), Page("timber", desk).panel()
    assert "'walnut', taken as European walnut" in words(brief)
    name = desk.derived.timber_proposed[0]
    assert f"Proposed: <b>{name}</b>, liked by the client, who said" in words(panel)
    assert next(label for label, value in labelled(panel, "Timber").options if value).endswith(", liked")
    labelled(panel, f"Take {name}").click()
    assert desk.commission.timber.species == name and f"<b>{name}</b> is what would be proposed" in words(panel)


def test_the_timber_page_says_where_timbers_grow_and_answers_the_wish_for_local_ones(tmp_path):
    desk = begun(tmp_path)
    desk.change("brief.asked", "A bench of local timber.")
    panel = Page("timber", desk).panel()
    assert "choose the country" in words(panel) and "Grows" in words(panel)
    desk.change("rates.country", "Austria")
    assert "in their own words (Austria):" in words(panel) and "<b>central Europe</b>" in words(panel)
    labelled(panel, "Timber from around here").value = True
    assert desk.commission.brief.wants.local


def test_a_proposed_size_is_kept_as_it_stands(desk):
    from workbook.panels.sizes import field

    size = next(s for s in FORMS[desk.commission.items[0].form].sizes if s.name == "bearer_count")
    panel = field(desk, 0, size)
    keep, back = (next(b for b in inside(panel) if getattr(b, "description", "") == words) for words in ("Keep", "As proposed"))
    assert (keep.layout.display, back.layout.display) == ("", "none")
    now = desk.derived.made[0].sizes["bearer_count"]
    keep.click()
    assert desk.commission.items[0].sizes["bearer_count"] == now and (keep.layout.display, back.layout.display) == ("none", "")
    assert desk.change("items.0.sizes.length_mm", 3000.0) and desk.derived.made[0].sizes["bearer_count"] == now
    back.click()
    assert desk.derived.made[0].sizes["bearer_count"] > now, "a longer top asks for more of them again"


def test_all_sizes_of_ones_own_go_back_to_what_is_proposed_at_one_press(desk):
    panel = Page("sizes", desk).panel()
    desk.change("items.0.sizes", {})
    captions = lambda: [b.description for b in inside(panel) if isinstance(b, w.Button) and "2 sizes of your own" in b.description]  # noqa: E731
    assert desk.change("items.0.sizes.length_mm", 1500) and not captions()
    assert desk.change("items.0.sizes.width_mm", 700)
    press(panel, "All 2 sizes of your own as proposed again")
    assert desk.commission.items[0].sizes == {} and not captions()
    desk.undo()
    assert desk.commission.items[0].sizes == {"length_mm": 1500, "width_mm": 700}


def test_over_the_budget_is_said_at_the_top_of_a_page(desk):
    desk.change("brief.budget", "100")
    assert "% over the budget" in words(Page("sizes", desk).panel())
    desk.change("brief.budget", "100000")
    assert "over the budget" not in words(Page("sizes", desk).panel())


def test_amounts_in_tables_are_written_as_the_place_writes_them(desk):
    price = Page("price", desk)
    assert desk.change("showing.locale", "de_DE")
    said = words(price.panel())
    gross = f"{desk.derived.price.gross:,.2f}".replace(",", " ").replace(".", ",").replace(" ", ".")
    assert said.count(gross) > 1 and f"{desk.derived.price.gross:.2f}" not in said


def test_every_thing_that_timbers_are_weighed_by_has_a_name_on_the_page(desk):
    from dataclasses import fields

    from studio_lib.timber.weighing import COLOUR, STAIN, Weights
    from workbook.panels.timber import CRITERIA, SAID_IN_BRIEF

    assert {*CRITERIA, *SAID_IN_BRIEF} == {STAIN, COLOUR, *(f.name for f in fields(Weights))}
    assert desk.change("brief.place", "indoors, heated") and desk.change("brief.wants.keeps_colour", True)
    panel = Page("timber", desk).panel()
    assert "Something went wrong" not in words(panel)
