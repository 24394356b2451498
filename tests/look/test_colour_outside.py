"""Colours that are drawn, in CIELAB, against the anchors on file and against the eye's own limits."""

from __future__ import annotations

import io
import math

import numpy as np
import pytest
from PIL import Image

from studio_lib.commission import Brief
from studio_lib.forms import make
from studio_lib.look.glb import linear, mean_colour
from studio_lib.look.still import still
from studio_lib.solids import meshes
from studio_lib.timber import appearance, timber
from studio_lib.timber.colour import difference, lab_from_hex

# A difference of about 2.3 in CIELAB can just be seen (Mahy, Van Eycken, Oosterlinck 1994, Color Research & Application 19; from memory).
JUST_SEEN = 2.3
TIMBERS = ("European oak", "Black walnut", "European ash", "Iroko", "European larch")


def hex_of(light) -> str:
    screen = [12.92 * c if c <= 0.0031308 else 1.055 * c ** (1 / 2.4) - 0.055 for c in light]
    return "#" + "".join(f"{round(255 * min(max(c, 0), 1)):02x}" for c in screen)


def hue_deg(lab) -> float:
    return math.degrees(math.atan2(lab[2], lab[1]))


@pytest.mark.parametrize("name", TIMBERS)
def test_new_and_bare_is_the_anchor_and_weathered_comes_to_its_own(name):
    """Early wood is the new colour on file; ten years in the sun, bare, no difference from the weathered one can be seen."""
    wood = timber(name)
    assert difference(appearance(wood, 0, "sun", "bare").base_hex, wood.colour_new_hex) < JUST_SEEN
    assert difference(appearance(wood, 10, "sun", "bare").base_hex, wood.colour_weathered_hex) < JUST_SEEN


@pytest.mark.parametrize("name", TIMBERS)
def test_rings_are_darker_and_of_the_same_hue(name):
    """The tone from some way off lies between early and late wood, in lightness and within 10 degrees in hue."""
    look = appearance(timber(name), 0, "indoors", "bare")
    early, mean, late = (lab_from_hex(h) for h in (look.base_hex, hex_of(mean_colour(look)), look.late_hex))
    assert late[0] < mean[0] < early[0]
    assert abs(hue_deg(mean) - hue_deg(early)) < 10


@pytest.fixture(scope="module")
def top():
    """A table from straight above: nothing but its top and the ground."""
    return [("table", meshes(make("table", Brief(), timber="European oak")), (0.0, 0.0, 0.0))]


def drawn(top, look) -> tuple[float, float, float]:
    picture = still(top, {"European oak": look}, 300, 200, "above", ground="", samples=4)
    if picture.png is None:
        pytest.skip(picture.why_not)
    seen = np.asarray(Image.open(io.BytesIO(picture.png)).convert("RGB")).astype(float)
    middle = seen[70:130, 80:220].reshape(-1, 3).mean(0)
    return lab_from_hex("#" + "".join(f"{round(c):02x}" for c in middle))


@pytest.mark.parametrize("name", TIMBERS)
def test_a_picture_keeps_the_timber_s_hue_and_most_of_its_colour(top, name):
    """Light makes it lighter or darker; the hue stays within 8 degrees and the chroma within a third of what is on file."""
    look = appearance(timber(name), 0, "indoors", "bare")
    seen, meant = drawn(top, look), lab_from_hex(hex_of(mean_colour(look)))
    assert abs(hue_deg(seen) - hue_deg(meant)) < 8
    assert 0.67 < math.hypot(*seen[1:]) / math.hypot(*meant[1:]) < 1.5
    assert abs(seen[0] - meant[0]) < 15


def test_timbers_stand_in_the_picture_as_light_and_dark_as_on_file(top):
    looks = {name: appearance(timber(name), 0, "indoors", "bare") for name in TIMBERS}
    by_file = sorted(TIMBERS, key=lambda n: linear(looks[n].base_hex)[1])
    by_eye = sorted(TIMBERS, key=lambda n: drawn(top, looks[n])[0])
    assert by_file[0] == by_eye[0] and by_file[-1] == by_eye[-1]
