"""Where a timber is usually sold: one that no yard of the country holds is no choice, whatever its figures. And where it grows."""

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


REGIONS = {
    "northern Europe": ("Denmark", "Estonia", "Finland", "Latvia", "Lithuania", "Norway", "Sweden"),
    "western Europe": ("Belgium", "France", "Ireland", "Luxembourg", "Netherlands", "United Kingdom"),
    "central Europe": ("Austria", "Czechia", "Germany", "Poland", "Slovakia", "Slovenia", "Switzerland"),
    "southern Europe": ("Bulgaria", "Croatia", "Cyprus", "Greece", "Italy", "Malta", "Portugal", "Spain"),
    "eastern North America": ("Canada", "United States"),
    "western North America": ("Canada", "United States"),
    "Australia": ("Australia",),
    "New Zealand": ("New Zealand",),
}
"""Where timbers grow or are planted for timber, by ``grown.csv``, and the countries that lie there."""


def market_of(country: str) -> str:
    """The market that a country's yards are part of; '' where it is not known."""
    return next((market for market, countries in MARKETS.items() if country in countries), "")


def seldom_sold(name: str, market: str) -> str:
    """Why a timber on file is hard to buy in a market, in words; '' where it is sold there, or nothing is known."""
    held = next((row["sold_in"].split("; ") for row in rows("sold") if row["name"] == name), ())
    return f"seldom sold in {market}: ask your yard before you promise it" if market and held and market not in held else ""


def grows_in(name: str) -> tuple[str, ...]:
    """Regions where a timber on file grows or is planted; () for one that is not on file."""
    return next((tuple(row["grows_in"].split("; ")) for row in rows("grown") if row["name"] == name), ())


def grown_around(name: str, country: str) -> str:
    """The region of a country in which a timber grows: 'central Europe'; '' where it grows in none of them, or nothing is known."""
    return next((region for region in grows_in(name) if country in REGIONS.get(region, ())), "")
