"""The papers: every file there, every figure the same as on the pages, nothing asked of a network."""

import io
import re
from datetime import date
from decimal import Decimal

import pytest
from pypdf import PdfReader

from studio_lib.commission import Commission
from studio_lib.demo import demo
from studio_lib.derive import derive
from studio_lib.papers import PAPERS, words, write


@pytest.fixture(scope="module")
def papers(tmp_path_factory):
    folder = tmp_path_factory.mktemp("papers")
    seen = []
    paths = write(
        demo(), folder, revision=4, maker="The maker\nLakeside workshop", today=date(2026, 11, 25),
        progress=lambda name, done, of: seen.append((done, of, name)),
    )
    return {p.name: p.read_bytes() for p in paths}, seen


def text(papers, name):
    reader = PdfReader(io.BytesIO(papers[0][name]))
    return "\n".join(page.extract_text() for page in reader.pages), len(reader.pages)


def test_every_paper_is_written_with_progress(papers):
    assert tuple(papers[0]) == PAPERS
    assert papers[1] == [(i + 1, len(PAPERS), n) for i, n in enumerate(PAPERS)]


def test_the_quote_adds_up_as_a_client_would_add_it(papers):
    said, pages = text(papers, "quote.pdf")
    p = derive(demo()).price
    amounts = [Decimal(a.replace(",", "")) for a in re.findall(r"€([\d,]+\.\d\d)", said)]
    lines = [a for _, a in p.quoted]
    assert amounts[: len(lines)] == lines
    assert amounts[len(lines) : len(lines) + 3] == [sum(lines), p.tax, sum(lines) + p.tax]
    deposit, rest = amounts[len(lines) + 3 : len(lines) + 5]
    assert deposit + rest == p.gross
    assert pages <= 2 and "revision 4" in said and "25 November 2026" in said


def test_the_quote_says_what_a_client_must_know(papers):
    said, _ = text(papers, "quote.pdf")
    flat = " ".join(said.split())
    for needed in ("the village library", "Black locust", "2010 mm long", "holds until 25 December 2026", "Not included",
                   "VAT 20 %", "gaps stand between", "goes silver grey within about a year", "not certification", "Lakeside workshop"):
        assert needed in flat, needed


def test_the_cutting_list_has_every_line_and_its_cautions(papers):
    said, _ = text(papers, "cutting list and boards.pdf")
    flat = " ".join(said.split())
    d = derive(demo())
    for row in d.cutting_list:
        assert row.ref in flat and f"{row.overall_length_mm:.0f}" in flat
    for ref, _ in d.layout.boards_used:
        assert ref in flat
    assert "riving knife" in flat and "Extraction" in flat and "Heavy" in flat


def test_the_drawings_are_a_set_on_a3(papers):
    said, pages = text(papers, "drawings.pdf")
    assert pages > 8
    page = PdfReader(io.BytesIO(papers[0]["drawings.pdf"])).pages[0]
    assert (float(page.mediabox.width), float(page.mediabox.height)) == pytest.approx((1190.55, 841.89), abs=0.1)
    for needed in ("1 : 10", "first angle", "2010", "general arrangement", "sections and joints", "members", "terrace stool", "C26-001-B",
                   "The maker", "not certification", "15 % moisture"):
        assert needed in said, needed


def test_sheet_projection_note_and_cut_to_fit_are_the_makers_choice():
    from studio_lib.papers.write import drawings

    asked = demo().changed("drawings.sheet", "A4").changed("drawings.projection", "third angle")
    asked = asked.changed("drawings.note", "Keep the knots out of the top.").changed("drawings.cut_to_fit", "A-M1; Z-9")
    made = drawings(derive(asked), revision=3, maker="The maker")
    assert {sheet.paper for sheet, _ in made.sheets} == {"A4"}
    assert all("Keep the knots" in svg and ">third angle<" in svg and ">3<" in svg for svg in made.svgs)
    assert sum("Cut to fit: measure its place" in svg for svg in made.svgs) == 1


def test_the_picture_is_a_picture(papers):
    from PIL import Image

    image = Image.open(io.BytesIO(papers[0]["picture.png"]))
    assert image.size == (1400, 875)
    assert len(image.resize((80, 50)).getcolors(4000)) > 500


def test_the_client_page_asks_for_nothing_and_can_be_mailed(papers):
    page = papers[0]["client page.html"].decode()
    assert len(page) < 3_000_000
    assert not re.search(r"""(src|href)\s*=\s*["']https?:""", page)
    assert "Terrace table and stool" in page


def test_the_document_beside_the_papers_is_the_commission(papers):
    assert Commission.model_validate_json(papers[0]["commission.json"]) == demo()


def test_the_workshop_paper_has_every_step_its_days_and_its_cautions(papers):
    said, pages = text(papers, "workshop.pdf")
    flat = " ".join(said.split())
    made = derive(demo()).plan(date(2026, 11, 25))
    for step in made.likely:
        assert step.step.words in flat
    for needed in (words.date_words(made.finish_likely), words.date_words(made.finish_safe), "Polyurethane, one-part: isocyanates", "riving knife", "training come first",
                   "paving beside the terrace door"):
        assert needed in flat, needed
    assert "Before going on: the test piece first" in flat and "Photograph: the whole piece dry" in flat
    assert pages == 3


def test_the_care_sheet_is_for_this_piece_in_this_place(papers):
    said, pages = text(papers, "care sheet.pdf")
    flat = " ".join(said.split())
    for needed in ("Black locust (Robinia pseudoacacia), left bare", "silver grey", "116 kg of carbon dioxide", "After 10 years",
                   "rights under the law", "Lakeside workshop"):
        assert needed in flat, needed
    assert pages == 2 and not re.search(r"\boil", flat)
    images = [i for page in PdfReader(io.BytesIO(papers[0]["care sheet.pdf"])).pages for i in page.images]
    assert len(images) == 4


def test_the_delivery_note_and_the_calendars(papers):
    from icalendar import Calendar

    flat = " ".join(text(papers, "delivery and installation.pdf")[0].split())
    for needed in ("62 kg", "2 or 3 people", "terrace door", "1210 x 2060", "asks for no fixing", "paving", "Received"):
        assert needed in flat, needed
    for name in ("workshop calendar.ics", "care reminders.ics"):
        assert Calendar.from_ical(papers[0][name]).walk("VEVENT")


def test_the_job_folder_holds_every_other_paper(papers):
    import zipfile

    with zipfile.ZipFile(io.BytesIO(papers[0]["job folder.zip"])) as box:
        inside = {name.removeprefix("C26-001/"): box.read(name) for name in box.namelist()}
    assert inside == {name: content for name, content in papers[0].items() if name != "job folder.zip"}


def test_the_same_commission_on_the_same_day_gives_the_same_bytes(tmp_path, monkeypatch):
    from studio_lib.look import scenes
    from studio_lib.look.still import Picture

    monkeypatch.setattr(scenes, "_still", lambda *_: Picture(None, "no OpenGL here"))
    # The solid kernel numbers its parts on and on within one process; two starts give the same file.
    monkeypatch.setattr("studio_lib.solids.step_bytes", lambda _: b"FILE_NAME('x','2026-11-25T11:07:14'")
    monkeypatch.setattr(scenes, "_aged", lambda *_: [Picture(None, "no OpenGL here")] * 4)
    photo = ("../glue-up.jpg", b"picture")
    folders = []
    for name in ("one", "two"):
        paths = write(demo(), tmp_path / name, today=date(2026, 11, 25), attachments=[photo])
        folders.append({p.name: p.read_bytes() for p in paths})
    assert folders[0] == folders[1]
    assert b"C26-001/kept/glue-up.jpg" in folders[0]["job folder.zip"]


def test_a_commission_without_a_piece_says_so(tmp_path):
    with pytest.raises(LookupError, match="no piece yet"):
        write(Commission(ref="C1", title="empty"), tmp_path)


def test_without_a_picture_the_quote_says_why(tmp_path, monkeypatch):
    from studio_lib.look import scenes
    from studio_lib.look.still import Picture

    monkeypatch.setattr(scenes, "_still", lambda *_: Picture(None, "no OpenGL here"))
    paths = write(demo(), tmp_path, today=date(2026, 11, 25))
    assert "picture.png" not in {p.name for p in paths}
    said = PdfReader(tmp_path / "quote.pdf").pages[0].extract_text()
    assert "No picture: no OpenGL here" in said


def test_a_brief_with_every_kind_of_wish_stays_on_one_page():
    from studio_lib.brief.wishes import KINDS
    from studio_lib.papers import brief_sheet

    document = demo().changed("brief.wishes", [{"kind": k, "name": f"the {k}"} for k in KINDS]).changed("brief.wind", "open")
    full = document.changed("brief.wishes.0.height_mm", 1800).changed("brief.climate", "mountain").changed(
        "brief.own_climate", {"summer": {"temperature_c": 18, "humidity_pct": 70}, "winter": {"temperature_c": -4, "humidity_pct": 80}})
    sheet = PdfReader(io.BytesIO(brief_sheet(full, today=date(2026, 11, 25))))
    said = " ".join(sheet.pages[0].extract_text().split())
    assert len(sheet.pages) == 1 and "own air: summer 18 °C 70 %" in said and "height 1800 mm" in said
    assert all(k in said for k in KINDS)


def test_one_paper_alone_is_written_without_the_work_of_the_others(tmp_path, monkeypatch):
    """Neither drawings nor solids nor pictures of later years are made for a quote, no picture at all for a cutting list."""
    from importlib import import_module

    from studio_lib.look import scenes

    module = import_module("studio_lib.papers.write")

    def never(*_args, **_more):
        raise AssertionError("this paper does not ask for it")

    monkeypatch.setattr(scenes, "aged_pictures", never)
    monkeypatch.setattr(scenes, "client_page_html", never)
    monkeypatch.setattr(module, "drawings_of", never)
    seen = []
    quote, = write(demo(), tmp_path, only=("quote.pdf",), today=date(2026, 11, 25), progress=lambda *told: seen.append(told))
    assert quote.name == "quote.pdf" and quote.read_bytes().startswith(b"%PDF") and seen == [("quote.pdf", 1, 1)]
    monkeypatch.setattr(scenes, "picture", never)
    monkeypatch.setattr(scenes, "opened_picture", never)
    paths = write(demo(), tmp_path, only=("commission.json", "cutting list and boards.pdf"), today=date(2026, 11, 25))
    assert [p.name for p in paths] == ["commission.json", "cutting list and boards.pdf"]
    assert sorted(p.name for p in tmp_path.iterdir()) == ["commission.json", "cutting list and boards.pdf", "quote.pdf"]


def test_one_paper_alone_is_the_same_as_among_all(papers, tmp_path):
    alone, = write(demo(), tmp_path, only=("cutting list and boards.pdf",), revision=4, today=date(2026, 11, 25))
    assert text(({alone.name: alone.read_bytes()}, []), alone.name) == text(papers, alone.name)


def test_a_paper_that_is_not_there_is_refused_with_those_that_are(tmp_path):
    with pytest.raises(LookupError, match="There is no paper 'qoute.pdf'. Papers: .*quote.pdf"):
        write(demo(), tmp_path, only=("qoute.pdf",))


def test_the_job_folder_asks_for_all_it_holds():
    from studio_lib.papers.write import wanted

    assert wanted(("job folder.zip",)) == wanted() == PAPERS and wanted(("quote.pdf", "brief.pdf")) == ("brief.pdf", "quote.pdf")
