"""Where a timber is usually sold: one that no yard of the country holds is no choice, whatever its figures."""

from __future__ import annotations

from studio_lib.timber.tables import rows

MARKETS = {
    "Europe": (
        "Austria", "Belgium", "Bulgaria", "Croatia", "Cyprus", "Czechia", "Denmark", "Estonia", "Finland", "France", "Germany", "Greece",
        "Ireland", "Italy", "Latvia", "Lithuania", "Luxembourg", "Malta", "Netherlands", "Norway", "Poland", "Portugal", "Slovakia",
        "Slovenia", "Spain", "Sweden", "Switzerland", "United Kingdom",
    ),
    "North America": ("Canada", "United States"),
    "Australasia": ("Australia", "New Zealand"),
}
"""Countries whose yards hold much the same."""


def market_of(country: str) -> str:
    """The market that a country's yards are part of; '' where it is not known."""
    return next((market for market, countries in MARKETS.items() if country in countries), "")


def seldom_sold(name: str, market: str) -> str:
    """Why a timber on file is hard to buy in a market, in words; '' where it is sold there, or nothing is known."""
    held = next((row["sold_in"].split("; ") for row in rows("sold") if row["name"] == name), ())
    return f"seldom sold in {market}: ask your yard before you promise it" if market and held and market not in held else ""
