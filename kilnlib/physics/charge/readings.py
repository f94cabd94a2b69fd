"""What is written down on a morning, rounded as a person reads a thermometer, a bucket, a scale and a meter."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from kilnlib.physics.charge.plan import Drawn, Plan, sample_numbers
from kilnlib.units import LB_KG, f_to_c, to_si

if TYPE_CHECKING:
    from kilnlib.physics.charge.kiln import Stretch

GALLON_KG = 1e3 * to_si(1.0, "volume")
BULB_F, BUCKET_GAL, HOURS_H, SCALE_LB = 1.0, 0.1, 0.1, 0.01  # steps that a person writes down


@dataclass(frozen=True)
class Morning:
    """One line of the log. Bulbs are as they say on the morning, hours and water since the morning before.

    `samples` are the numbers of the boards that are weighed, in the order of the two tuples behind it.
    """

    day: int
    dry_bulb_c: float
    wet_bulb_c: float
    dry_bulb_leaving_c: float
    bucket_kg: float
    compressor_hours: float
    strips_hours: float
    vent_hours: float
    starts: int
    electricity_kwh: float
    samples: tuple[int, ...]
    sample_weights_kg: tuple[float, ...]
    sample_mc_pct: tuple[float, ...]  # by the calculated oven-dry weight
    outdoors_c: float
    load_loss_kg: float = 0.0  # what the sample boards say the whole load lost
    mist_kg: float = 0.0  # by the mist's own meter

    @property
    def bucket_ratio(self) -> float:
        """Bucket over what the sample boards say the load lost; NaN where they lost nothing."""
        return self.bucket_kg / self.load_loss_kg if self.load_loss_kg > 0.0 else math.nan


def morning(
    plan: Plan,
    day: int,
    boards: Sequence[Drawn],
    mc_pct: np.ndarray,
    stretches: "tuple[Stretch, ...]",
    bulb_readings_c: tuple[float, float],
    lost_kg: np.ndarray,
) -> Morning:
    """What is written down.

    Parameters
    ----------
    plan : Plan.
    day : of the charge, from 0.
    boards : Drawn, all of the load.
    mc_pct : true moisture content of each [%].
    stretches : the day that has passed, in parts; none at the start.
    bulb_readings_c : what the bulbs say [°C].
    lost_kg : water each part of the load gave since yesterday [kg].

    Returns
    -------
    Morning.

    Raises
    ------
    Nothing.

    Source
    ------
    Definition; steps of reading *common practice*.

    Accuracy
    --------
    Bulbs to 1 °F, bucket to a tenth of a gallon, hours to a tenth, scale to a hundredth of a pound.
    """
    numbers = sample_numbers(plan)
    weights = [
        _rounded(boards[n].sample_ovendry_kg * (1.0 + mc_pct[n] / 100.0) / LB_KG, SCALE_LB) * LB_KG for n in numbers
    ]
    believed = [boards[n].sample_ovendry_kg * (1.0 + boards[n].section_error) for n in numbers]
    said = [round(100.0 * (weight / dry - 1.0), 1) for weight, dry in zip(weights, believed, strict=True)]
    hours = sum(one.hours for one in stretches)
    dry, wet = (f_to_c(_rounded(bulb * 1.8 + 32.0, BULB_F)) for bulb in bulb_readings_c)
    parts = {
        part: _rounded(sum(getattr(one.running, part) * one.hours for one in stretches), HOURS_H)
        for part in ("compressor", "strips", "vent")
    }
    leaving = f_to_c(_rounded(stretches[-1].leaving_c * 1.8 + 32.0, BULB_F)) if stretches else dry
    wood = sum(one.ovendry_kg for one in boards)
    mine = [lost_kg[n] / boards[n].ovendry_kg for n in numbers]
    return Morning(
        day=day,
        dry_bulb_c=dry,
        wet_bulb_c=wet,
        dry_bulb_leaving_c=leaving,
        bucket_kg=max(_rounded(sum(one.bucket_kg for one in stretches) / GALLON_KG, BUCKET_GAL), 0.0) * GALLON_KG,
        compressor_hours=parts["compressor"],
        strips_hours=parts["strips"],
        vent_hours=parts["vent"],
        starts=sum(one.starts for one in stretches),
        electricity_kwh=_rounded(sum(one.electricity_kwh for one in stretches), 1.0),
        samples=numbers,
        sample_weights_kg=tuple(weights),
        sample_mc_pct=tuple(said),
        outdoors_c=f_to_c(_rounded(stretches[-1].outdoors.dry_bulb_c * 1.8 + 32.0, BULB_F)) if stretches else dry,
        load_loss_kg=wood * sum(mine) / len(mine) if hours else 0.0,
        mist_kg=_rounded(sum(one.mist_kg for one in stretches) / GALLON_KG, BUCKET_GAL) * GALLON_KG,
    )


def _rounded(value: float, step: float) -> float:
    """A number to the nearest step, a half upward, the same on every machine."""
    return round(math.floor(value / step + 0.5) * step, 6)
