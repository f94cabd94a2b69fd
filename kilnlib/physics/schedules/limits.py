"""A setting in your own kiln: what it cannot reach, and how it is dialed instead.

A kiln is anything with the fields altitude_m, top_dry_bulb_c, coil_wet_bulb_limit_c, driest_rh_pct and
sticker_speed_ms, such as kilnlib.store.kiln.ThisKiln.
"""

import math
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from kilnlib import units
from kilnlib.physics import air
from kilnlib.physics.air import emc
from kilnlib.tables import advice

DRIEST_SLACK_PCT = advice("driest_air_slack")
LIMIT_SLACK_C = advice("kiln_limit_slack")


class Kiln(Protocol):
    """What is asked of a kiln here."""

    @property
    def altitude_m(self) -> float: ...

    @property
    def top_dry_bulb_c(self) -> float: ...

    @property
    def coil_wet_bulb_limit_c(self) -> float: ...

    @property
    def driest_rh_pct(self) -> float: ...

    @property
    def sticker_speed_ms(self) -> float: ...


@dataclass(frozen=True)
class Air:
    """Air for the kiln, entering the stack."""

    dry_bulb_c: float
    wet_bulb_c: float
    rh_pct: float
    emc_pct: float


@dataclass(frozen=True)
class Reach:
    """The air that a setting calls for, which of the kiln's limits are in the way, and two ways to set it instead."""

    called_for: Air
    limits: tuple[str, ...]  # of "top_dry_bulb", "coil_wet_bulb", "driest_rh"
    same_rh: Air  # the default
    same_emc: Air  # drier air, nearer the schedule's pace


def reach(dry_bulb_c: float, wet_bulb_c: float, kiln: Kiln) -> Reach:
    """What a kiln can do of a setting.

    Parameters
    ----------
    dry_bulb_c : dry bulb wanted [°C], 0 to 100.
    wet_bulb_c : wet bulb wanted [°C]; one that no air has means as dry as it goes.
    kiln : see the top of this module.

    Returns
    -------
    Reach. Where no limit is in the way, all three airs are alike.

    Raises
    ------
    OutOfRange : a wet bulb above the dry bulb, a temperature out of range.

    Source
    ------
    Same RH at the lower temperature: practice for dehumidification kilns, *from memory* (AH-188 p. 145, GTR-118). A
    compressor's wet-bulb limit near 120 °F: Univ. of Kentucky FOR-128 p. 54, *retrieved*. The settings: *computed*.

    Accuracy
    --------
    Bulbs to 1e-6 °C. Which of the two dries your wood as the schedule means it, only sample boards can say.
    """
    pressure = air.pressure_pa(kiln.altitude_m)
    called_for = _air(dry_bulb_c, air.rh_called_for_pct(dry_bulb_c, wet_bulb_c, pressure), pressure)
    coil, top, driest = kiln.coil_wet_bulb_limit_c, kiln.top_dry_bulb_c, kiln.driest_rh_pct
    slack = 1e-6
    limits = (
        ("top_dry_bulb", called_for.dry_bulb_c > top + slack),
        ("coil_wet_bulb", called_for.wet_bulb_c > coil + slack),
        ("driest_rh", called_for.rh_pct < driest - slack),
    )
    hottest = min(called_for.dry_bulb_c, top)
    rh = max(called_for.rh_pct, driest)
    same_rh = _air(_hottest_for_coil(hottest, coil, rh, pressure), rh, pressure)
    dry = _hottest_for_coil(hottest, coil, called_for.emc_pct, pressure, emc.emc_pct)
    rh = max(emc.rh_pct_for_emc(dry, called_for.emc_pct), driest)
    same_emc = _air(_hottest_for_coil(dry, coil, rh, pressure), rh, pressure)
    return Reach(called_for, tuple(name for name, met in limits if met), same_rh, same_emc)


def widest_depression_c(dry_bulb_c: float, kiln: Kiln) -> float:
    """The depression of the driest air that a kiln can make.

    Parameters
    ----------
    dry_bulb_c : dry bulb [°C], 0 to 100.
    kiln : see the top of this module.

    Returns
    -------
    Depression [°C].

    Raises
    ------
    OutOfRange : a temperature out of range.

    Source
    ------
    `air.wet_bulb_c` at the driest RH of the kiln; *computed*.

    Accuracy
    --------
    That of the limit typed for the kiln.
    """
    return dry_bulb_c - air.wet_bulb_c(dry_bulb_c, kiln.driest_rh_pct, air.pressure_pa(kiln.altitude_m))


def met(proposed: Reach, kiln: Kiln) -> tuple[str, ...]:
    """The limits of a kiln that a setting runs into, as a person dials it.

    Parameters
    ----------
    proposed : Reach of the setting.
    kiln : see the top of this module.

    Returns
    -------
    Tuple of names, as in Reach.

    Raises
    ------
    Nothing.

    Source
    ------
    Half a percent of RH below the driest air and half a degree Fahrenheit above the other limits are let pass, as bulbs
    in whole degrees are no finer: our choice, *common practice*.

    Accuracy
    --------
    That of the kiln's limits.
    """
    called_for = proposed.called_for
    near = {
        "driest_rh": called_for.rh_pct >= kiln.driest_rh_pct - DRIEST_SLACK_PCT,
        "top_dry_bulb": called_for.dry_bulb_c <= kiln.top_dry_bulb_c + LIMIT_SLACK_C + 1e-6,
        "coil_wet_bulb": called_for.wet_bulb_c <= kiln.coil_wet_bulb_limit_c + LIMIT_SLACK_C + 1e-6,
    }
    return tuple(name for name in proposed.limits if not near[name])


def dialed(held: Air, kiln: Kiln) -> tuple[float, float]:
    """Air at the limits of a kiln as it is dialed: in whole degrees Fahrenheit, the wet bulb rounded up.

    Parameters
    ----------
    held : Air.
    kiln : see the top of this module.

    Returns
    -------
    Dry bulb and wet bulb [°C], not above the limits.

    Raises
    ------
    Nothing.

    Source
    ------
    A convenience of ours, *computed*.

    Accuracy
    --------
    Within 1 °F of the air.
    """
    dry = min(units.f_to_c(round(units.c_to_f(held.dry_bulb_c))), max(kiln.top_dry_bulb_c, held.dry_bulb_c))
    wet = units.f_to_c(math.ceil(units.c_to_f(held.wet_bulb_c) - 1e-6))
    return dry, min(wet, max(kiln.coil_wet_bulb_limit_c, held.wet_bulb_c), dry)


def _air(dry_bulb_c, rh_pct, pressure_pa):
    dry, rh = float(dry_bulb_c), float(np.clip(rh_pct, 0.0, 100.0))
    return Air(dry, air.wet_bulb_c(dry, rh, pressure_pa), rh, emc.emc_pct(dry, rh))


def _hottest_for_coil(hottest, coil, wanted, pressure_pa, measure=lambda dry, rh: rh):
    """The highest dry bulb, up to the hottest, at which air of the wanted RH (or EMC) keeps its wet bulb at or below
    the limit of the coil."""

    def fits(dry):
        return measure(dry, air.rh_called_for_pct(dry, coil, pressure_pa)) >= wanted

    if hottest <= coil or fits(hottest):
        return hottest
    low, high = coil, hottest
    for _ in range(40):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if fits(middle) else (low, middle)
    return low
