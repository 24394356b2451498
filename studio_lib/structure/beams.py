"""Moment and sag of a simply supported member. Standard beam mechanics."""

from __future__ import annotations


def moment_centre_n_mm(load_n: float, span_mm: float) -> float:
    """Greatest moment under a load at mid-span, P L / 4. [N mm]"""
    return load_n * span_mm / 4


def moment_spread_n_mm(load_n: float, span_mm: float) -> float:
    """Greatest moment of a load spread evenly along the span, W L / 8. [N mm]"""
    return load_n * span_mm / 8


def sag_centre_mm(load_n: float, span_mm: float, e_mpa: float, i_mm4: float) -> float:
    """Sag at mid-span under a load there, P L^3 / 48 E I, bending only. [mm]"""
    return load_n * span_mm**3 / (48 * e_mpa * i_mm4)


def sag_spread_mm(load_n: float, span_mm: float, e_mpa: float, i_mm4: float) -> float:
    """Sag at mid-span under an even load, 5 W L^3 / 384 E I, bending only. [mm]"""
    return 5 * load_n * span_mm**3 / (384 * e_mpa * i_mm4)


def cantilever_moment_n_mm(load_n: float, reach_mm: float) -> float:
    """Moment at the root of an overhang loaded at its end. [N mm]"""
    return load_n * reach_mm
