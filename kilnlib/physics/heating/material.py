"""How heat runs through wood: what it conducts, what it stores, and the one over the other."""

import numpy as np

from kilnlib import tables
from kilnlib.physics.air.moist import WATER_KJ_KGK
from kilnlib.physics.arrays import AsGiven, Values, check_range, result
from kilnlib.physics.wood import density_kg_m3, specific_gravity_at

COEFFICIENTS = tables.numbers("heating")
_MACLEAN_W_MK = 0.1441314  # 1 Btu·in/(h·ft²·°F), NIST SP 811 Appendix B; retrieved
_MEAN_K = 320.0  # between a cold start and the hot end: heat capacity is taken there
_DRY_PCT, _WET_PCT = 25.0, 40.0  # up to here the handbook's line for dry wood, from there MacLean's for wet


def _wet(mc):
    return np.clip((mc - _DRY_PCT) / (_WET_PCT - _DRY_PCT), 0.0, 1.0)


def conductivity_w_mk(basic_specific_gravity: Values, mc_pct: Values) -> AsGiven:
    """How readily wood conducts heat across the grain.

    Parameters
    ----------
    basic_specific_gravity : on green volume, 0.1 to 1.2.
    mc_pct : moisture content [%], 0 to 400.

    Returns
    -------
    Thermal conductivity [W/(m K)].

    Raises
    ------
    OutOfRange : specific gravity or moisture content out of range.

    Source
    ------
    Up to 25 % MC Wood Handbook, FPL-GTR-190 (2010) ch. 4: gravity x (0.1941 + 0.004064 MC) + 0.01864. From 40 % MC
    MacLean (1941): gravity x (1.39 + 0.038 MC) + 0.165 in Btu·in/(h·ft²·°F). Both *from memory*; joined between them.

    Accuracy
    --------
    One board may differ by a tenth. Both lines are for room temperature; at 47 °C wood conducts about 5 % better.
    """
    gravity = specific_gravity_at(basic_specific_gravity, mc_pct)
    mc = np.asarray(mc_pct, dtype=float)
    dry = gravity * (0.1941 + 0.004064 * mc) + 0.01864
    wet = _MACLEAN_W_MK * (gravity * (1.39 + 0.038 * mc) + 0.165)
    return result(dry + _wet(mc) * (wet - dry))


def wood_heat_capacity_j_kgk(mc_pct: Values) -> AsGiven:
    """Heat that a kilogram of wood with its water takes up for each degree.

    Parameters
    ----------
    mc_pct : moisture content [%], 0 to 400.

    Returns
    -------
    Heat capacity [J/(kg K)] at 47 °C.

    Raises
    ------
    OutOfRange : moisture content out of range.

    Source
    ------
    Wood Handbook, FPL-GTR-190 (2010) ch. 4: dry wood, its water, and up to 25 % MC the bond between them;
    *from memory*.

    Accuracy
    --------
    A few percent from 7 to 97 °C. In wet wood the bond, about 8 %, is left out, as is the better conduction of warm
    wood: over each other the two nearly cancel.
    """
    mc = check_range("Moisture content", mc_pct, 0.0, 400.0, "percent")
    dry = 0.1031 + 0.003867 * _MEAN_K
    bond = mc * (-0.06191 + 2.36e-4 * _MEAN_K - 1.33e-4 * mc) * (1.0 + mc / 100.0) * (1.0 - _wet(mc))
    return result(1e3 * (dry + WATER_KJ_KGK * mc / 100.0 + bond) / (1.0 + mc / 100.0))


def heat_diffusivity_m2s(basic_specific_gravity: Values, mc_pct: Values) -> AsGiven:
    """How fast a change of temperature works its way into wood, across the grain.

    Parameters
    ----------
    basic_specific_gravity : on green volume, 0.1 to 1.2.
    mc_pct : moisture content [%], 0 to 400.

    Returns
    -------
    Thermal diffusivity [m²/s].

    Raises
    ------
    OutOfRange : specific gravity or moisture content out of range.

    Source
    ------
    Conductivity over density and heat capacity; *computed*. Nothing in it is fitted to a heating time.

    Accuracy
    --------
    2.2e-4 to 2.3e-4 in²/s for the five green hardwoods of Wood Handbook Table 20-4, whose times ask for 2.2e-4 to
    2.5e-4 (tests/physics/heating/test_published.py).
    """
    store = density_kg_m3(basic_specific_gravity, mc_pct) * wood_heat_capacity_j_kgk(mc_pct)
    return result(conductivity_w_mk(basic_specific_gravity, mc_pct) / store)
