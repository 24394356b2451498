"""The client page as text; tests/pages opens it in a browser."""

from __future__ import annotations

import base64
import json
import re
import zlib
from html.parser import HTMLParser

import pytest

from studio_lib.commission import Brief
from studio_lib.forms import make
from studio_lib.look import bundle, client_page as module
from studio_lib.look.client_page import client_page
from studio_lib.look.glb import glb
from studio_lib.solids import meshes

WORDS = ("2010 long\n\n920 wide", "European oak", "Every board differs.")


@pytest.fixture(autouse=True)
def small_script(monkeypatch):
    monkeypatch.setattr(bundle, "page_js", lambda: "/* viewer */")


def told(page):
    return json.loads(re.search(r'id="told">(.*?)</script>', page, re.S).group(1))


def test_holds_every_stage_and_option(scene, table_scene, looks):
    page = client_page("Terrace", "<p>Hello</p>", [("Both", scene), ("Table", table_scene)], looks, *WORDS)
    data = told(page)
    stages = data["ways"][0]["stages"]
    assert [s["name"] for s in stages] == ["new", "after 1 year", "after 3 years", "after 10 years"]
    assert stages[3]["says"] == [looks[10]["European oak"].says]
    assert len(data["options"]) == 2
    assert "<figcaption>Table</figcaption>" in page and "<p>920 wide</p>" in page


def test_text_is_escaped_and_intro_is_not(table_scene, looks):
    page = client_page(
        "A & <b>", "<p>in <em>oak</em></p>", [("Table", table_scene)], looks, "<script>x</script>", "oak", "may"
    )
    assert "<em>oak</em>" in page and "A &amp; &lt;b&gt;" in page
    assert "<script>x" not in page and "&lt;script&gt;x" in page


def test_a_name_cannot_close_the_data(table_scene, looks):
    spoilt = [("</script><b>", table_scene[0][1], (0, 0, 0))]
    page = client_page("T", "", [("Table", spoilt)], looks, *WORDS)
    assert told(page)["options"][0]["describe"].startswith("Table: </script><b>")
    assert page.count("</script>") == 2


def test_picture_or_a_sentence_where_nothing_can_be_drawn(table_scene, looks):
    with_picture = client_page("T", "", [("Table", table_scene)], looks, *WORDS, pictures=[b"\x89PNG"])
    assert 'src="data:image/png;base64,iVBORw=="' in with_picture
    assert "No picture can be shown" in client_page("T", "", [("Table", table_scene)], looks, *WORDS)


class Addresses(HTMLParser):
    def __init__(self):
        super().__init__()
        self.found = []

    def handle_starttag(self, tag, attrs):
        self.found += [v for k, v in attrs if k in ("src", "href", "srcset", "action", "data")]


def test_the_3d_is_packed_and_comes_out_as_the_file_that_is_saved(scene, looks):
    page = client_page("T", "", [("Both", scene)], looks, *WORDS)
    packed = base64.b64decode(re.search(r'"scene": ?"([^"]+)"', page)[1])
    assert zlib.decompress(packed) == glb(scene, looks[min(looks)])
    assert len(packed) < len(zlib.decompress(packed)) / 3


def test_two_options_of_a_cabinet_with_eighty_members_fit_one_page(looks):
    wood = next(iter(looks[min(looks)]))
    scenes = [
        (
            f"{w} mm",
            [("sideboard", meshes(make("cabinet", Brief(), timber=wood, drawer_rows=2, width_mm=w)), (0.0, 0.0, 0.0))],
        )
        for w in (1000, 1200)
    ]
    timbers = {m.timber for _, s in scenes for _, members, _ in s for m in members}
    every = {years: {t: by.get(t, by[wood]) for t in timbers} for years, by in looks.items()}
    page = client_page("T", "", scenes, every, *WORDS, pictures=[bytes(90_000)] * 2)
    assert len(page.encode()) < 2_000_000


def test_no_element_points_outside(scene, looks):
    page = client_page("T", "", [("Both", scene)], looks, *WORDS, pictures=[b"\x89PNG"])
    reader = Addresses()
    reader.feed(page)
    assert reader.found and all(address.startswith("data:") for address in reader.found)
    assert "url(" not in page and "@import" not in page


def test_refusals(table_scene, looks, monkeypatch):
    one = [("Table", table_scene)]
    with pytest.raises(ValueError, match="scenes is empty"):
        client_page("T", "", [], looks, *WORDS)
    with pytest.raises(ValueError, match="look when new"):
        client_page("T", "", one, {}, *WORDS)
    with pytest.raises(module.PageTooLarge, match="3.* MB"):
        client_page("T", "", one, looks, *WORDS, pictures=[bytes(2_500_000)])
    monkeypatch.setattr(bundle, "page_js", lambda: None)
    with pytest.raises(bundle.CannotBuildViewer, match="not been built"):
        client_page("T", "", one, looks, *WORDS)
