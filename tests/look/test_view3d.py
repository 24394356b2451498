"""The notebook view from Python's side: what is sent, what is refused, no bundle needed."""

from __future__ import annotations

import pytest
import traitlets

from studio_lib.look import bundle
from studio_lib.solids import meshes
from workbook import view3d


@pytest.fixture
def view(monkeypatch):
    monkeypatch.setattr(bundle, "viewer_js", lambda: None)
    return view3d.View3D()


def changes(view):
    seen = []
    view.observe(lambda change: seen.append(change["name"]))
    return seen


def test_without_a_bundle_it_says_so(view):
    assert "has not been built" in view._esm and "fallback" in view._esm


def test_with_a_bundle_it_carries_it(monkeypatch):
    monkeypatch.setattr(bundle, "viewer_js", lambda: "export default {}")
    assert view3d.View3D()._esm == "export default {}"


def test_a_piece_is_shown_with_its_timber(view, table, looks):
    view.show_piece(meshes(table), looks[0], name="table")
    assert view.scene.startswith(b"glTF")
    assert view.look["European oak"]["base_hex"] == looks[0]["European oak"].base_hex


def test_a_change_of_look_sends_no_shapes(view, scene, looks):
    view.show_scene(scene, looks[0])
    seen = changes(view)
    view.show_scene(scene, looks[3])
    view.show_look(looks[10])
    view.apart = 0.4
    view.lit = ["A-L1"]
    assert set(seen) == {"look", "apart", "lit"}


def test_show_keeps_what_is_not_named(view):
    view.show = {"person": True}
    assert view.show["person"] and view.show["edges"] and view.show["ground"] == "paving"


def test_refusals(view, table_scene):
    with pytest.raises(traitlets.TraitError, match="apart is 1.5"):
        view.apart = 1.5
    with pytest.raises(traitlets.TraitError, match="show has shadow"):
        view.show = {"shadow": True}
    with pytest.raises(KeyError, match="No appearance"):
        view.show_scene(table_scene, {})
    assert view.scene == b""


def test_a_picture_is_asked_for_by_counting(view):
    view.take_picture()
    view.take_picture()
    assert view.snapshot_asked == 2
