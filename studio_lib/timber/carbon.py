"""Carbon kept in the wood of a piece, by the European rule, and how to say it honestly."""

from __future__ import annotations

CARBON_SOURCE = "EN 16449:2014 (formula and carbon fraction from memory)"
CO2_PER_CARBON = 44 / 12
CARBON_OF_DRY_WOOD = 0.5
"""EN 16449 takes half of the dry mass where none is measured; from memory."""
CARBON_SAYS = (
    "{kg:.0f} kg of carbon dioxide, drawn from the air by the tree, stay bound in this wood while the piece lasts "
    "(EN 16449). Felling, drying, transport, workshop and offcuts are not counted, and it offsets nothing."
)


def stored_co2_kg(
    volume_m3: float, density_kg_m3: float, moisture_pct: float, carbon_fraction: float = CARBON_OF_DRY_WOOD
) -> float:
    """Carbon dioxide that the carbon in a volume of wood came from.

    Parameters
    ----------
    volume_m3 : float
        Finished wood only, at ``moisture_pct``. [m3]
    density_kg_m3 : float
        Mass over volume, both at ``moisture_pct``. [kg/m3]
    moisture_pct : float
        0 to 30. [%]
    carbon_fraction : float
        Carbon in dry mass; the standard's half unless measured.

    Returns
    -------
    float
        [kg]

    Raises
    ------
    ValueError
        For a volume below 0, a density, moisture or fraction outside wood's.

    Examples
    --------
    1 m3 of 460 kg/m3 at 12 %: 460 / 1.12 = 410.7 kg dry, 205.4 kg carbon:

    >>> round(stored_co2_kg(1, 460, 12))
    753

    References
    ----------
    .. [1] EN 16449:2014, Wood and wood-based products, biogenic carbon content and conversion
       to carbon dioxide.
    """
    if not volume_m3 >= 0:
        raise ValueError(f"volume_m3 is {volume_m3}; 0 or more.")
    if not 80 <= density_kg_m3 <= 1400:
        raise ValueError(f"density_kg_m3 is {density_kg_m3}; wood lies between 80 and 1400.")
    if not 0 <= moisture_pct <= 30:
        raise ValueError(f"moisture_pct is {moisture_pct}; 0 to 30 %. Weigh wetter wood after drying.")
    if not 0.4 <= carbon_fraction <= 0.6:
        raise ValueError(f"carbon_fraction is {carbon_fraction}; 0.5 unless measured, 0.4 to 0.6.")
    return CO2_PER_CARBON * carbon_fraction * density_kg_m3 * volume_m3 / (1 + moisture_pct / 100)


def carbon_says(kg: float) -> str:
    """The figure as a sentence for the client, with what it leaves out."""
    return CARBON_SAYS.format(kg=kg)
