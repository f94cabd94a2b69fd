"""Lumber by the load: what it weighs green and dry, how much wood a tally really holds, how much water must go."""

import numpy as np

from kilnlib.physics.arrays import AsGiven, Values, check_range, positive, result

WATER_KG_M3 = 1000.0
FSP_PCT = 30.0


def specific_gravity_at(basic_specific_gravity: Values, mc_pct: Values) -> AsGiven:
    """Specific gravity on oven-dry weight and the volume at a moisture content: shrinking wood packs closer.

    Parameters
    ----------
    basic_specific_gravity : on green volume, 0.1 to 1.2.
    mc_pct : moisture content [%], 0 to 400.

    Returns
    -------
    Specific gravity at that moisture content.

    Raises
    ------
    OutOfRange : specific gravity or moisture content out of range.

    Source
    ------
    Wood Handbook, FPL-GTR-282 (2021) ch. 4: volume shrinks by 26.5 times the basic specific gravity, in a straight
    line below 30 % MC; *retrieved*.

    Accuracy
    --------
    Within 0.05 of the 12 % column of the species table for every species in it.
    """
    gravity = check_range("Specific gravity", basic_specific_gravity, 0.1, 1.2, "ratio")
    mc = check_range("Moisture content", mc_pct, 0.0, 400.0, "percent")
    dried = np.maximum(1.0 - mc / FSP_PCT, 0.0)
    return result(gravity / (1.0 - 0.265 * gravity * dried))


def density_kg_m3(basic_specific_gravity: Values, mc_pct: Values) -> AsGiven:
    """Weight of a cubic meter of wood with the water in it.

    Parameters
    ----------
    basic_specific_gravity : on green volume, 0.1 to 1.2.
    mc_pct : moisture content [%], 0 to 400.

    Returns
    -------
    Density [kg/m³].

    Raises
    ------
    OutOfRange : specific gravity or moisture content out of range.

    Source
    ------
    Wood Handbook, FPL-GTR-190 (2010) eq. 4-14, p. 4-12; *retrieved*.

    Accuracy
    --------
    That of the specific gravity: about a tenth either way for one board (from memory).
    """
    gravity = specific_gravity_at(basic_specific_gravity, mc_pct)
    return result(WATER_KG_M3 * gravity * (1.0 + np.asarray(mc_pct, dtype=float) / 100.0))


def tally_correction(
    actual_thickness: Values,
    nominal_thickness: Values,
    actual_width: Values = 1.0,
    nominal_width: Values = 1.0,
    actual_length: Values = 1.0,
    nominal_length: Values = 1.0,
) -> AsGiven:
    """How much wood a board foot of the tally really holds: actual size over the size it is counted at.

    Parameters
    ----------
    actual_thickness : thickness as cut [any unit], above 0.
    nominal_thickness : thickness it is tallied at [the same unit], above 0.
    actual_width : width [any unit], above 0; leave both widths out for random widths, which are tallied as they are.
    nominal_width : width it is tallied at [the same unit], above 0.
    actual_length : length with its trim allowance [any unit], above 0.
    nominal_length : length it is tallied at [the same unit], above 0.

    Returns
    -------
    Correction factor: multiply board feet of the tally by it.

    Raises
    ------
    OutOfRange : a size of zero or less.

    Source
    ------
    Wengert, Univ. of Wisconsin Forestry Facts No. 69 (1993), Calculating the Weight of Lumber; *retrieved*.

    Accuracy
    --------
    Exact for the sizes given.
    """
    factor = 1.0
    for actual, nominal in (
        (actual_thickness, nominal_thickness),
        (actual_width, nominal_width),
        (actual_length, nominal_length),
    ):
        factor = factor * positive("A size", actual, "1.125") / positive("A size", nominal, "1")
    return result(factor)


def wood_weight_kg(green_volume_m3: Values, basic_specific_gravity: Values, mc_pct: Values = 0.0) -> AsGiven:
    """Weight of a load at a moisture content; at 0 its oven-dry weight.

    Parameters
    ----------
    green_volume_m3 : volume measured green [m³], 0 to 10,000: board feet times `tally_correction`.
    basic_specific_gravity : on green volume, 0.1 to 1.2.
    mc_pct : moisture content [%], 0 to 400.

    Returns
    -------
    Weight [kg].

    Raises
    ------
    OutOfRange : a value out of range.

    Source
    ------
    Definition of basic specific gravity (Wood Handbook, FPL-GTR-190 (2010) ch. 4), with water at 1,000 kg/m³;
    *computed*.

    Accuracy
    --------
    That of the specific gravity and the tally. Handbook rules with 62.4 lb/ft³ read 0.05 % less.
    """
    volume = check_range("The volume", green_volume_m3, 0.0, 1e4, "board_feet")
    gravity = check_range("Specific gravity", basic_specific_gravity, 0.1, 1.2, "ratio")
    mc = check_range("Moisture content", mc_pct, 0.0, 400.0, "percent")
    return result(volume * WATER_KG_M3 * gravity * (1.0 + mc / 100.0))


def weight_at_mc(weight: Values, mc_from_pct: Values, mc_to_pct: Values) -> AsGiven:
    """What the same wood weighs at another moisture content.

    Parameters
    ----------
    weight : weight at `mc_from_pct` [any unit], above 0.
    mc_from_pct : moisture content at that weight [%], 0 to 400.
    mc_to_pct : moisture content asked for [%], 0 to 400.

    Returns
    -------
    Weight at `mc_to_pct` [the same unit].

    Raises
    ------
    OutOfRange : a weight of zero or less; moisture content out of range.

    Source
    ------
    Wengert, Univ. of Wisconsin Forestry Facts No. 69 (1993), eq. 5; *retrieved*.

    Accuracy
    --------
    Exact for true moisture contents.
    """
    start = check_range("Moisture content", mc_from_pct, 0.0, 400.0, "percent")
    end = check_range("Moisture content", mc_to_pct, 0.0, 400.0, "percent")
    return result(positive("The weight", weight) * (100.0 + end) / (100.0 + start))


def water_removed_kg(
    green_volume_m3: Values, basic_specific_gravity: Values, mc_from_pct: Values, mc_to_pct: Values
) -> AsGiven:
    """Water that leaves a load between two moisture contents; what a drain or a bucket should have caught.

    Parameters
    ----------
    green_volume_m3 : volume measured green [m³], 0 to 10,000: board feet times `tally_correction`.
    basic_specific_gravity : on green volume, 0.1 to 1.2.
    mc_from_pct : moisture content at the start [%], 0 to 400.
    mc_to_pct : moisture content at the end [%], 0 to 400.

    Returns
    -------
    Water [kg, which is liters]; negative where the wood takes water up.

    Raises
    ------
    OutOfRange : a value out of range.

    Source
    ------
    Oven-dry weight times the change of moisture content (Wood Handbook, FPL-GTR-190 (2010) ch. 4); *computed*.

    Accuracy
    --------
    That of `wood_weight_kg`. A drain catches less where doors and vents leak.
    """
    start = check_range("Moisture content", mc_from_pct, 0.0, 400.0, "percent")
    end = check_range("Moisture content", mc_to_pct, 0.0, 400.0, "percent")
    return result(wood_weight_kg(green_volume_m3, basic_specific_gravity) * (start - end) / 100.0)
