"""Sizes a yard sells, as boards the layout can ask for."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal

from studio_lib.stock.boards import Board
from studio_lib.units import mm

BOARD_FOOT_M3 = Decimal("0.3048") ** 2 * Decimal("0.0254")
"""One square foot an inch thick. NIST Handbook 44, Appendix C: 144 cubic inches; the inch is 25.4 mm exactly. [m3]"""

GRADE_YIELD_PCT = {
    "FAS": 83.3,
    "select": 83.3,
    "No. 1 common": 66.7,
    "No. 2A common": 50.0,
    "No. 3A common": 33.3,
}
"""Least clear-face yield of the grades of North American hardwood. from memory: NHLA Rules; FAS about 83 % and No. 1 Common 67 % also in trade notes."""


def price_of(size, length_mm: float) -> Decimal:
    """Price of one length of a stock size, to the cent. Any object with the fields of ``commission.StockSize``."""
    metres, section = (
        Decimal(str(length_mm)) / 1000,
        Decimal(str(size.width_mm)) * Decimal(str(size.thickness_mm)) / 1_000_000,
    )
    amount = {"metre": metres, "cubic metre": metres * section, "board foot": metres * section / BOARD_FOOT_M3}[
        size.per
    ]
    return (size.price * amount).quantize(Decimal("0.01"), ROUND_HALF_UP)


def lengths_of(size) -> list[float]:
    """Lengths that can be asked for; of random lengths only the least can be counted on. [mm]"""
    if size.step_mm is None:
        return [size.least_length_mm]
    count = int((size.longest_mm - size.least_length_mm) / size.step_mm + 1e-9)
    return [size.least_length_mm + n * size.step_mm for n in range(count + 1)]


def asked_words(size) -> str:
    """The size as a yard calls it."""
    section = f"{mm(size.width_mm)} x {mm(size.thickness_mm)} mm sawn"
    return (
        section
        + (f", {size.grade}" if size.grade else "")
        + (f", {' and '.join(size.grain)} grain" if size.grain else "")
    )


def boards_of(size) -> list[Board]:
    """The boards that a stock size offers: one for each length, as many as wanted."""
    return [
        Board(
            ref=f"{size.name} {length / 1000:.2f}".rstrip("0").rstrip(".") + " m",
            timber=size.timber,
            length_mm=length,
            width_mm=size.width_mm,
            thickness_mm=size.thickness_mm,
            price=price_of(size, length),
            count=None,
            grain=size.grain,
            grade=size.grade,
            yard=size.yard,
            asked=asked_words(size),
        )
        for length in lengths_of(size)
    ]
