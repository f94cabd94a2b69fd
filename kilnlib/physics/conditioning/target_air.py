"""The air that ends a charge: what to set for a wanted EMC, and whether this kiln can hold it."""

from dataclasses import dataclass

import numpy as np

from kilnlib.errors import Notice, OutOfRange
from kilnlib.physics import air
from kilnlib.physics.air import emc
from kilnlib.physics.schedules import Kiln, reach


@dataclass(frozen=True)
class FinishAir:
    """Air of a wanted EMC: what to set."""

    dry_bulb_c: float
    wet_bulb_c: float
    rh_pct: float
    emc_pct: float

    @property
    def depression_c(self) -> float:
        """Dry bulb less wet bulb."""
        return self.dry_bulb_c - self.wet_bulb_c


@dataclass(frozen=True)
class Hold:
    """Whether a kiln can hold some air: with its coil running, with it resting, or not; and what to do."""

    coil_running: bool
    coil_resting: bool
    advice: tuple[Notice, ...]


def air_for(emc_pct: float, dry_bulb_c: float, pressure_pa: float = air.STANDARD_PA) -> FinishAir:
    """The wet bulb and RH that give a wanted EMC at a dry bulb.

    Parameters
    ----------
    emc_pct : wanted equilibrium moisture content [%].
    dry_bulb_c : dry bulb [°C], 0 to 100.
    pressure_pa : air pressure [Pa].

    Returns
    -------
    FinishAir.

    Raises
    ------
    OutOfRange : as `emc.rh_pct_for_emc` and `air.wet_bulb_c`.

    Source
    ------
    Wood Handbook (2010) eq. 4-5 and ASHRAE Fundamentals (2017) ch. 1 eq. 33, both solved backward; *computed*.

    Accuracy
    --------
    The older tables in the manuals give an EMC 0.2 to 0.5 lower for the same bulbs at 140 to 180 °F.
    """
    rh = emc.rh_pct_for_emc(dry_bulb_c, emc_pct)
    return FinishAir(dry_bulb_c, air.wet_bulb_c(dry_bulb_c, rh, pressure_pa), rh, emc_pct)


def hold(wanted: FinishAir, kiln: Kiln) -> Hold:
    """Whether a kiln can hold the air that is wanted, and the usual way round where it cannot.

    Parameters
    ----------
    wanted : FinishAir, plain numbers.
    kiln : anything with top_dry_bulb_c, coil_wet_bulb_limit_c, driest_rh_pct and altitude_m, such as kiln.ThisKiln.

    Returns
    -------
    Hold; `advice` holds sentences as Notices.

    Raises
    ------
    OutOfRange : air that is no ordinary number.

    Source
    ------
    Univ. of Kentucky FOR-128 p. 54, *retrieved*: a coil with a wet-bulb limit of about 120 °F cannot condition at
    160/149 °F; stop it, let the kiln cool for about an hour, then add mist or steam to the EMC and watch the time.

    Accuracy
    --------
    That of the limits typed for the kiln. It cannot know whether the kiln has a spray, or holds its vapor.
    """
    for what, number, example in (
        ("Dry bulb", wanted.dry_bulb_c, (70.0, "temperature")),
        ("Wet bulb", wanted.wet_bulb_c, (60.0, "temperature")),
    ):
        if not np.isfinite(number):
            raise OutOfRange("not_finite", what, number, what=what, example=example)
    shown = {
        "dry": (wanted.dry_bulb_c, "temperature"),
        "wet": (wanted.wet_bulb_c, "temperature"),
        "rh": (wanted.rh_pct, "share"),
        "emc": (wanted.emc_pct, "percent"),
    }
    top, driest, limit = kiln.top_dry_bulb_c, kiln.driest_rh_pct, kiln.coil_wet_bulb_limit_c
    limits = reach(wanted.dry_bulb_c, wanted.wet_bulb_c, kiln).limits
    hot, dry, wet = (name in limits for name in ("top_dry_bulb", "driest_rh", "coil_wet_bulb"))
    advice = []
    if hot:
        there = air_for(wanted.emc_pct, top, air.pressure_pa(kiln.altitude_m))
        at_top = {"top": (top, "temperature"), "there": (there.wet_bulb_c, "temperature")}
        advice.append(Notice("reach_hot", **shown, **at_top))
    if dry:
        lowest = emc.emc_pct(top, driest)
        code = "reach_dry_hotter" if lowest < wanted.emc_pct else "reach_dry"
        driest_air = {"driest": (driest, "share"), "top": (top, "temperature"), "lowest": (lowest, "percent")}
        advice.append(Notice(code, **shown, **driest_air))
    if wet:
        advice.append(Notice("reach_coil", **shown, limit=(limit, "temperature")))
    if not advice:
        advice.append(Notice("reach_yes", **shown, limit=(limit, "temperature")))
    return Hold(not (hot or dry or wet), not (hot or dry), tuple(advice))
