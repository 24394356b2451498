"""Still pictures: drawn in a process of their own, or a reason why not."""

from __future__ import annotations

import io
import struct
import subprocess

import numpy as np
import pytest
from PIL import Image

from studio_lib.look import still as module
from studio_lib.look.still import direction, still, stills

SIZE = (320, 200)


def pixels(png):
    image = Image.open(io.BytesIO(png))
    assert image.size == SIZE
    return np.asarray(image.convert("RGB")).astype(float)


@pytest.fixture(scope="module")
def new(table_scene, looks):
    picture = still(table_scene, looks[0], *SIZE, samples=4)
    if picture.png is None:
        pytest.skip(picture.why_not)
    return picture.png


def test_the_table_stands_out_from_a_light_background(new):
    seen = pixels(new)
    assert seen[:10].mean() > 220
    assert seen.std() > 25
    # Oak new from the plane: red over green over blue in the middle of the top.
    red, green, blue = seen[40:90, 120:200].reshape(-1, 3).mean(0)
    assert red > green + 10 > blue + 20


def test_the_same_scene_gives_the_same_picture(new, table_scene, looks):
    assert still(table_scene, looks[0], *SIZE, samples=4).png == new


def test_weathered_oak_is_greyer(new, table_scene, looks):
    old = still(table_scene, looks[10], *SIZE, samples=4).png

    def colourful(png):
        patch = pixels(png)[40:90, 120:200]
        return (patch.max(2) - patch.min(2)).mean()

    assert colourful(old) < 0.5 * colourful(new)


def test_several_looks_in_one_go_are_the_pictures_drawn_singly(new, table_scene, looks):
    together = stills(table_scene, [looks[0], looks[10]], *SIZE, samples=4)
    assert [p.png for p in together] == [new, still(table_scene, looks[10], *SIZE, samples=4).png]


def test_taken_apart_looks_different(new, table_scene, looks):
    apart = still(table_scene, looks[0], *SIZE, samples=4, apart=1.0).png
    assert np.abs(pixels(apart) - pixels(new)).mean() > 5


@pytest.mark.parametrize("code", [-11, 0xC0000005])
def test_a_process_that_dies_gives_a_reason(table_scene, looks, monkeypatch, code):
    dead = subprocess.CompletedProcess([], code, b"", b"")
    monkeypatch.setattr(module.subprocess, "run", lambda *a, **k: dead)
    picture = still(table_scene, looks[0], *SIZE)
    assert picture.png is None and "no OpenGL library" in picture.why_not


def test_a_shader_fault_is_not_taken_for_a_picture(table_scene, looks, monkeypatch):
    blank = subprocess.CompletedProcess([], 0, struct.pack("<I", 8) + module.PNG_MARK, b"( 0.1s) vtkShaderProgram.cxx:1 ERR| oops")
    monkeypatch.setattr(module.subprocess, "run", lambda *a, **k: blank)
    picture = still(table_scene, looks[0], *SIZE)
    assert picture.png is None and "vtkShaderProgram" in picture.why_not


def test_a_process_that_hangs_gives_a_reason(table_scene, looks, monkeypatch):
    def hangs(*args, **kwargs):
        raise subprocess.TimeoutExpired("draw", kwargs["timeout"])

    monkeypatch.setattr(module.subprocess, "run", hangs)
    assert "not ready within" in still(table_scene, looks[0], *SIZE).why_not


def test_views_by_words():
    x, y, z = direction("front right above")
    assert z > x > 0 and y > 0
    assert direction("left") == pytest.approx((-0.62, 0, 0))
    assert direction("above")[1] > 0
    for wrong in ("", "upstairs", "front back"):
        with pytest.raises(ValueError, match="view is"):
            direction(wrong)


def test_refusals(table_scene, looks):
    with pytest.raises(ValueError, match="width_px is 10"):
        still(table_scene, looks[0], 10, 200)
    with pytest.raises(ValueError, match="apart is 2"):
        still(table_scene, looks[0], *SIZE, apart=2)
    with pytest.raises(ValueError, match="no member"):
        still([], looks[0], *SIZE)
    with pytest.raises(KeyError, match="No appearance"):
        still(table_scene, {}, *SIZE)


def test_boards_glued_to_a_top_show_no_dark_line_where_they_meet():
    """From the back edge of a table of six boards to its front edge no pixel is darker than those a little before and behind it."""
    from studio_lib.commission import Brief, Item
    from studio_lib.demo import demo
    from studio_lib.derive import derive
    from studio_lib.look.scenes import appearances, scene

    table = Item(name="table", form="table", sizes={"length_mm": 1524.0, "width_mm": 762.0})
    d = derive(demo().model_copy(update={"items": (table,), "brief": Brief(), "options": (), "chosen": ""}).changed("timber.species", "Black walnut"))
    picture = still(scene(d), appearances(d), 1100, 700, "front right above", ground="floor", samples=8)
    grey = np.asarray(Image.open(io.BytesIO(picture.png)).convert("L"), float)
    across = grey[112:205, 640]
    about = (across[:-4] + across[4:]) / 2
    assert np.median(np.abs(across - np.median(across))) < 4, "it is the top that is looked at, and nothing else"
    assert (across[2:-2] / about).min() > 0.93
