"""What keeps a case from racking: a sheet on its fixings, a pair of corners that hold against turning.

Closed forms for one part at a time, to say what a change would do before it is drawn. The case itself is judged in the frame.
"""

from __future__ import annotations

import numpy as np

SHEET_G_MPA = 350.0
"""Shear modulus of plywood in its plane, a low value: EN 12369-2 gives 350 to 600, from memory."""
SHEET = "Källsner and Girhammar, Materials and Structures 42 (2009) 301, elastic model with a stiff frame, from memory, checked by least work; slip EN 1995-1-1 table 7.1"


def slip_n_mm(density_kg_m3: float, diameter_mm: float) -> float:
    """Slip modulus of one screw across it, rho^1.5 d / 23: EN 1995-1-1 table 7.1. [N/mm]"""
    return density_kg_m3**1.5 * diameter_mm / 23


def sheet_n_mm(points, slip: float, height_mm: float, width_mm: float = np.inf, thickness_mm: float = np.inf, g_mpa: float = SHEET_G_MPA) -> float:
    """Push at the top for each mm it moves aside, of a hinged frame with a stiff sheet held at points. [N/mm]

    u = H h^2 / k (1 / sum x^2 + 1 / sum y^2) + H h / (G b t), the distances from the middle of the points.

    Parameters
    ----------
    points : n x 2
        Where the sheet is fixed: across and up. [mm]
    slip : of one fixing. [N/mm]
    height_mm : of the push over the foot
    width_mm, thickness_mm, g_mpa : of the sheet, for its own shear; none counted without them

    A row of fixings one over the other gives nothing: the sheet turns about them.
    """
    p = np.asarray(points, float).reshape(-1, 2)
    x2, y2 = ((p - p.mean(axis=0)) ** 2).sum(axis=0) if len(p) else (0.0, 0.0)
    if min(x2, y2) < 1e-9 or slip <= 0:
        return 0.0
    return 1 / (height_mm**2 / slip * (1 / x2 + 1 / y2) + height_mm / (g_mpa * width_mm * thickness_mm))


def round_the_edge(width_mm: float, height_mm: float, apart_mm: float) -> np.ndarray:
    """Places round the edge of a sheet no further apart than that, one in each corner: n x 2. [mm]"""
    across, up = (max(int(np.ceil(v / apart_mm)), 1) for v in (width_mm, height_mm))
    xs, ys = np.linspace(0, width_mm, across + 1), np.linspace(0, height_mm, up + 1)
    return np.array([(x, y) for x in xs for y in (0.0, height_mm)] + [(x, y) for y in ys[1:-1] for x in (0.0, width_mm)])


def corners_n_mm(turning_n_mm: float, corners: int, height_mm: float) -> float:
    """Push at the top for each mm, of stiff bars whose corners hold against turning by so much a radian: sum c / h^2. [N/mm]"""
    return corners * turning_n_mm / height_mm**2


def leaning_n_mm(weights_n, heights_mm, height_mm: float) -> float:
    """What weight takes from that stiffness as the piece leans: sum N z / h^2, all of it swaying in one line. [N/mm]"""
    return float(np.dot(weights_n, heights_mm)) / height_mm**2
