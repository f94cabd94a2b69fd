"""Water in wood: moisture content on the oven-dry basis, fiber saturation, the most a wood can hold, shrinkage.

Moisture content (MC) is the weight of water beside the weight of the same wood bone dry, in percent, so it can pass
100 %. Weights may be in any unit, as long as both are in the same one. Species stand in `species`, weights of whole
loads in `lumber`; their public names are found here too.
"""

import numpy as np

from kilnlib.errors import OutOfRange
from kilnlib.physics.arrays import AsGiven, Values, check_range, first_where, positive, result
from kilnlib.physics.wood.lumber import (
    FSP_PCT,
    density_kg_m3,
    specific_gravity_at,
    tally_correction,
    water_removed_kg,
    weight_at_mc,
    wood_weight_kg,
)
from kilnlib.physics.wood.species_table import (
    Species,
    joined_name,
    nearest_species,
    species,
    species_key,
    species_names,
)

__all__ = [
    "FSP_PCT",
    "Species",
    "density_kg_m3",
    "highest_mc_pct",
    "joined_name",
    "mc_pct",
    "mc_pct_from_wet_basis",
    "nearest_species",
    "shrinkage_pct",
    "softwood_shrinkage_pct",
    "species",
    "species_key",
    "species_names",
    "specific_gravity_at",
    "tally_correction",
    "water_removed_kg",
    "weight_at_mc",
    "wet_basis_pct",
    "width_after",
    "width_change_by_points",
    "wood_weight_kg",
]

HIGHEST_MC_PCT = 400.0
CELL_WALL = 1.54
SOFTWOOD_FACES = {"width": (6.031, 0.215), "thickness": (5.062, 0.181)}


def mc_pct(weight: Values, ovendry_weight: Values) -> AsGiven:
    """Moisture content on the oven-dry basis: water beside bone-dry wood.

    Parameters
    ----------
    weight : weight now [any unit], at least the oven-dry weight.
    ovendry_weight : weight of the same piece bone dry [the same unit], above 0.

    Returns
    -------
    Moisture content [% of oven-dry weight].

    Raises
    ------
    OutOfRange : a weight of zero or less; an oven-dry weight above the weight now.

    Source
    ------
    Wood Handbook, FPL-GTR-190 (2010) eq. 4-1 (number *from memory*); Univ. of Kentucky FOR-128 p. 27, *retrieved*.

    Accuracy
    --------
    Exact for true weights. A section pulled from the oven too early reads too low: 5 points for 3 % of water left in
    at 60 % MC.
    """
    wet = positive("The weight", weight)
    dry = positive("The oven-dry weight", ovendry_weight)
    above = dry > wet
    if np.any(above):
        heavy, light = first_where(above, dry, wet)
        raise OutOfRange("ovendry_above_wet", "ovendry_weight", heavy, None, light, dry=f"{heavy:g}", wet=f"{light:g}")
    return result(100.0 * (wet - dry) / dry)


def wet_basis_pct(mc_pct: Values) -> AsGiven:
    """Share of water in the whole wet weight, the basis used for fuel and farm crops but not in a kiln.

    Parameters
    ----------
    mc_pct : moisture content [% of oven-dry weight], 0 to 400.

    Returns
    -------
    Water [% of the whole weight], below 100.

    Raises
    ------
    OutOfRange : moisture content outside 0 to 400.

    Source
    ------
    Definition; *computed*.

    Accuracy
    --------
    Exact.
    """
    mc = check_range("Moisture content", mc_pct, 0.0, HIGHEST_MC_PCT, "percent")
    return result(100.0 * mc / (100.0 + mc))


def mc_pct_from_wet_basis(wet_basis_pct: Values) -> AsGiven:
    """Moisture content on the oven-dry basis from a number on the wet basis.

    Parameters
    ----------
    wet_basis_pct : water [% of the whole weight], 0 to 80.

    Returns
    -------
    Moisture content [% of oven-dry weight].

    Raises
    ------
    OutOfRange : share outside 0 to 80.

    Source
    ------
    Definition; *computed*.

    Accuracy
    --------
    Exact.
    """
    share = check_range("Water on the wet basis", wet_basis_pct, 0.0, 80.0, "percent")
    return result(100.0 * share / (100.0 - share))


def highest_mc_pct(specific_gravity: Values) -> AsGiven:
    """Most water a wood can hold, every cavity full.

    Parameters
    ----------
    specific_gravity : basic specific gravity (oven-dry weight, green volume), 0.1 to 1.5.

    Returns
    -------
    Moisture content [%].

    Raises
    ------
    OutOfRange : specific gravity out of range.

    Source
    ------
    Wood Handbook, FPL-GTR-190 (2010) eq. 4-3, p. 4-3; *retrieved*.

    Accuracy
    --------
    The handbook's own text prints 267 and 44 % at 0.30 and 0.90, where its equation gives 268 and 46: it rounds the
    weight of cell wall differently. Living trees seldom reach the limit.
    """
    gravity = check_range("Specific gravity", specific_gravity, 0.1, 1.5, "ratio")
    return result(100.0 * (CELL_WALL - gravity) / (CELL_WALL * gravity))


def shrinkage_pct(total_shrinkage_pct: Values, mc_pct: Values, fsp_pct: Values = FSP_PCT) -> AsGiven:
    """Shrinkage from green down to a moisture content: none above fiber saturation, then a straight line.

    Parameters
    ----------
    total_shrinkage_pct : shrinkage from green to oven-dry in that direction [% of green size], 0 to 30.
    mc_pct : moisture content [%], 0 to 400.
    fsp_pct : fiber saturation point, where the cell walls are full and the cavities empty [%], 20 to 40.

    Returns
    -------
    Shrinkage so far [% of green size].

    Raises
    ------
    OutOfRange : a percent out of range.

    Source
    ------
    Wood Handbook, FPL-GTR-190 (2010) eq. 4-9, p. 4-10; *retrieved*.

    Accuracy
    --------
    Averages of a species. A real board starts to shrink while its middle is still wet, because its shell is already
    below fiber saturation, and fiber saturation differs by several points between pieces.
    """
    total = check_range("Total shrinkage", total_shrinkage_pct, 0.0, 30.0, "percent")
    mc = check_range("Moisture content", mc_pct, 0.0, HIGHEST_MC_PCT, "percent")
    fsp = check_range("Fiber saturation", fsp_pct, 20.0, 40.0, "percent")
    return result(total * np.maximum(fsp - mc, 0.0) / fsp)


def width_after(
    width: Values, total_shrinkage_pct: Values, mc_from_pct: Values, mc_to_pct: Values, fsp_pct: Values = FSP_PCT
) -> AsGiven:
    """Width of a board at another moisture content, from its width now.

    Parameters
    ----------
    width : width (or thickness) at `mc_from_pct` [any unit], above 0.
    total_shrinkage_pct : shrinkage from green to oven-dry in that direction [%], 0 to 30.
    mc_from_pct : moisture content at that width [%], 0 to 400.
    mc_to_pct : moisture content asked for [%], 0 to 400.
    fsp_pct : fiber saturation point [%], 20 to 40.

    Returns
    -------
    Width at `mc_to_pct` [the same unit].

    Raises
    ------
    OutOfRange : a width of zero or less; a percent out of range.

    Source
    ------
    Wood Handbook, FPL-GTR-190 (2010) eq. 4-9 taken at both ends; *computed*. The same as its eq. 13-3 (number
    *from memory*).

    Accuracy
    --------
    As `shrinkage_pct`. It moves a little more than `width_change_by_points` says, because the percents are of the
    green width, not of the width now.
    """
    size = positive("The width", width)
    start = shrinkage_pct(total_shrinkage_pct, mc_from_pct, fsp_pct)
    end = shrinkage_pct(total_shrinkage_pct, mc_to_pct, fsp_pct)
    return result(size * (100.0 - end) / (100.0 - start))


def width_change_by_points(width: Values, pct_per_point: Values, mc_from_pct: Values, mc_to_pct: Values) -> AsGiven:
    """Change of width by the shop rule: so many percent of the width for each point of moisture content.

    Parameters
    ----------
    width : width (or thickness) now [any unit], above 0.
    pct_per_point : change for each point of moisture content [%], 0 to 1; total shrinkage divided by 30.
    mc_from_pct : moisture content now [%], 0 to 30.
    mc_to_pct : moisture content asked for [%], 0 to 30.

    Returns
    -------
    Change of width [the same unit], negative where the board shrinks.

    Raises
    ------
    OutOfRange : a width of zero or less; a percent out of range, as any moisture content above fiber saturation.

    Source
    ------
    Wood Handbook, FPL-GTR-190 (2010) eq. 13-2 (number *from memory*); used in Missouri S&T course 5260 problem 4.34,
    *retrieved*.

    Accuracy
    --------
    About 5 % of the change below `width_after`, for a wide flatsawn board.
    """
    size = positive("The width", width)
    rate = check_range("Change for each point", pct_per_point, 0.0, 1.0, "percent")
    start = check_range("Moisture content", mc_from_pct, 0.0, FSP_PCT, "percent")
    end = check_range("Moisture content", mc_to_pct, 0.0, FSP_PCT, "percent")
    return result(size * rate / 100.0 * (end - start))


def softwood_shrinkage_pct(mc_pct: Values, face: str = "width") -> AsGiven:
    """Average shrinkage of softwood lumber, grain mixed as it comes, from green to a moisture content.

    Parameters
    ----------
    mc_pct : moisture content [%], 0 to 400.
    face : "width" or "thickness".

    Returns
    -------
    Shrinkage so far [% of green size].

    Raises
    ------
    OutOfRange : moisture content out of range; another face.

    Source
    ------
    Green, FPL-RP-489 (1989), abstract; *retrieved*.

    Accuracy
    --------
    Its two lines reach zero at 28 % MC. PS 20 prints 2.80 and 2.35 % at 15 % MC.
    """
    if face not in SOFTWOOD_FACES:
        raise OutOfRange("one_of", "face", face, what="The face", text=face, names=" or ".join(SOFTWOOD_FACES))
    mc = check_range("Moisture content", mc_pct, 0.0, HIGHEST_MC_PCT, "percent")
    start, slope = SOFTWOOD_FACES[face]
    return result(np.maximum(start - slope * mc, 0.0))
