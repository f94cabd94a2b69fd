"""Stiffness and strength of wood across the grain, where drying stress pulls: by moisture, warmth and species."""

import numpy as np

from kilnlib import tables
from kilnlib.errors import OutOfRange
from kilnlib.physics.arrays import check_range, result
from kilnlib.physics.wood import OAK, SAWN
from kilnlib.physics.wood import species as species_row

COEFFICIENTS = tables.numbers("stress_coefficients")
MPA_PA, PSI_PA = 1e6, 6894.757


def stiffness_pa(
    mc_pct: float | np.ndarray, temperature_c: float | np.ndarray, species: str = OAK, sawn: str = "flatsawn"
) -> float | np.ndarray:
    """Stiffness (modulus of elasticity) across the grain, in the width of a board.

    Parameters
    ----------
    mc_pct : moisture content [%], 0 to 400.
    temperature_c : temperature of the wood [°C], 0 to 100.
    species : name of the species.
    sawn : "flatsawn" or "quartersawn".

    Returns
    -------
    Stiffness [Pa].

    Raises
    ------
    OutOfRange : a value out of range; another way of sawing. NotFound : a species the tables do not hold.

    Source
    ------
    Red oak: Wood Handbook ch. 5, *from memory* (tables/stress_coefficients.csv). Other species by specific gravity, a
    choice of ours. That it falls with temperature and with moisture: Youngs, FPL 2079 (1957), *retrieved*.

    Accuracy
    --------
    A quarter either way between boards of a species, from memory.
    """
    if sawn not in SAWN:
        raise OutOfRange("one_of", "sawn", sawn, what="The sawing", text=sawn, names=" or ".join(SAWN))
    radial = COEFFICIENTS["radial_stiffer"] if sawn == "quartersawn" else 1.0
    return result(
        MPA_PA * radial * _gravity(species) * _by_moisture_and_warmth(mc_pct, temperature_c, "stiffness", "stiffness")
    )


def strength_pa(
    mc_pct: float | np.ndarray, temperature_c: float | np.ndarray, species: str = OAK
) -> float | np.ndarray:
    """Strength against being pulled apart across the grain.

    Parameters
    ----------
    mc_pct : moisture content [%], 0 to 400.
    temperature_c : temperature of the wood [°C], 0 to 100.
    species : name of the species.

    Returns
    -------
    Strength [Pa].

    Raises
    ------
    OutOfRange : a value out of range. NotFound : a species the tables do not hold.

    Source
    ------
    Wood Handbook ch. 5: pines *retrieved*, red oak and the effect of temperature *from memory*
    (tables/stress_coefficients.csv). Other softwoods as those pines, other hardwoods by specific gravity, choices of
    ours.

    Accuracy
    --------
    A quarter either way between boards of a species, from memory; much less near a knot, shake or old check.
    """
    softwood = species_row(species).group == "softwood"
    kind, scale = ("softwood_strength", 1.0) if softwood else ("strength", _gravity(species))
    return result(PSI_PA * scale * _by_moisture_and_warmth(mc_pct, temperature_c, kind, "strength"))


def _by_moisture_and_warmth(mc_pct, temperature_c, kind, falling):
    """Through the green and the 12 % value by the handbook's exponential form, times what warmth leaves."""
    c = COEFFICIENTS
    mc = check_range("Moisture content", mc_pct, 0.0, 400.0, "percent")
    warm = check_range("The temperature", temperature_c, 0.0, 100.0, "temperature")
    limit, green, at_12 = c["moisture_limit"], c[f"{kind}_green"], c[f"{kind}_12"]
    cool = at_12 * (at_12 / green) ** ((12.0 - np.minimum(mc, limit)) / (limit - 12.0))
    wet = np.clip((mc - c["dry_mc"]) / (c["wet_mc"] - c["dry_mc"]), 0.0, 1.0)
    fall = np.log(c[f"{falling}_heat_dry"]) * (1.0 - wet) + np.log(c[f"{falling}_heat_wet"]) * wet
    return cool * np.exp(fall * (warm - 20.0) / 30.0)


def _gravity(species):
    """Specific gravity beside that of red oak."""
    return species_row(species).specific_gravity / species_row(OAK).specific_gravity
