"""Sections of members against a finite-element library for cross sections (sectionproperties 3.10.2).

The library's answers stand here as figures: a package that it needs is not built for every Python of ours.
"""

import numpy as np
import pytest

from studio_lib.piece import Box, Member, Piece, Placement, Shape
from studio_lib.structure.slices import slice_at

HERE = Placement((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0))

THEIRS = (
    (5797.43369, 74.3746894, 22.495985, 979063.435, 9551955.95),
    (3153.22149, 47.290866, 18.5165253, 451094.104, 2660500.01),
    (3375.60512, 68.8729503, 14.5528296, 245390.585, 6186255.25),
    (2615.10938, 68.2692514, 10.4481628, 105331.68, 4396530.12),
    (6339.58359, 59.6608847, 29.5169044, 1884428.11, 8778172.92),
    (5851.5865, 59.2289286, 25.6503276, 1321754.84, 7243960.11),
    (3688.45828, 46.5947073, 20.0128788, 495265.056, 2677277.79),
    (6562.01419, 75.3059671, 22.0939626, 1082324.95, 12758011.3),
    (3065.26267, 58.3840694, 14.7639708, 295934.188, 4485283.46),
    (4440.51221, 45.3846072, 26.5752654, 1160473.08, 3253734.88),
    (6521.55503, 66.1135696, 30.1158205, 2083178.36, 10840598.8),
    (1269.61441, 27.9708127, 11.5470937, 56551.097, 336495.948),
    (2662.1011, 55.2557535, 14.5079039, 200433.66, 3115008.47),
    (7882.07963, 73.1903599, 27.0274177, 1927659.81, 14186922.3),
    (2781.66937, 28.8873356, 25.5267464, 666383.45, 841006.76),
    (6208.0953, 73.9514408, 24.4189286, 1250133.29, 13066019.2),
    (3888.4587, 54.0192631, 20.6804686, 590849.145, 3635794.95),
    (6285.665, 65.2488224, 26.6662946, 1580432.67, 9046963.65),
    (4234.27653, 73.5208162, 17.7676788, 453795.149, 8791952.31),
    (3346.91396, 53.5888955, 18.1943712, 377846.566, 3673607.22),
)
"""By seed: area, centroid across and through, second moments about it. [mm2, mm, mm4]"""


def section_of(seed: int):
    """A rail of random size, its under-edge bevelled and a slot through it; its section in the middle worked out by hand."""
    rng = np.random.default_rng(seed)
    width, thick = float(rng.integers(40, 160)), float(rng.integers(18, 60))
    low, high = sorted(float(v) for v in rng.uniform(8, width - 8, 2))
    mid, half = thick * float(rng.uniform(0.35, 0.65)), thick * float(rng.uniform(0.08, 0.2))
    plain = Piece("p", "f", (Member("A-R1", "rail", "rail", "oak", 600.0, width, thick, HERE, 0.0),)).shape("A-R1")
    slot = Box((280.0, low, mid - half), (320.0, high, mid + half))
    return Shape(plain.profile, 600.0, cuts=(slot,))


@pytest.mark.parametrize("seed", range(len(THEIRS)))
def test_a_section_with_a_mortise_is_the_librarys(seed):
    area, i_y, i_z, cy, cz, *_ = slice_at(section_of(seed), 300.0)
    their_area, their_y, their_z, ixx, iyy = THEIRS[seed]
    assert area == pytest.approx(their_area, rel=1e-6)
    assert (cy, cz) == pytest.approx((their_y, their_z), rel=1e-6)
    assert (i_y, i_z) == pytest.approx((ixx, iyy), rel=1e-5)


# The frame takes torsion by Saint-Venant's A^4 / (40 I_p), which is good to a tenth for rectangles up to one to four; the library
# solves for warping. On thin boards it errs to the stiff side by up to a third, hence the two bounds.
@pytest.mark.parametrize(("width", "thick", "within", "theirs"), [
    (40, 40, 0.1, 360424),
    (60, 40, 0.1, 752424),
    (90, 30, 0.1, 640041),
    (120, 30, 0.12, 909986),
    (120, 20, 0.2, 286423),
])
def test_torsion_by_saint_venant_against_the_library(width, thick, within, theirs):
    polar = (width * thick**3 + thick * width**3) / 12
    assert (width * thick) ** 4 / (40 * polar) == pytest.approx(theirs, rel=within)
