"""Calculator names for sample boards and meters, in trade units: weights in any one unit, points a day, °F."""

from kilnlib.physics import samples
from kilnlib.units import f_to_c


def section_mean(*mcs: float) -> float:
    """Mean moisture content of the sections of one board [%]."""
    return samples.section_mean_pct(mcs)


def ovendry(weight: float, mc: float) -> float:
    """Calculated oven-dry weight of a sample board [same unit]."""
    return samples.ovendry_weight(weight, mc)


def sample_mc(weight: float, ovendry: float) -> float:
    """Moisture content of a sample board today [%]."""
    return samples.sample_mc_pct(weight, ovendry)


def points_per_day(mc_before: float, mc_now: float, days: float) -> float:
    """Points of moisture content lost in a day."""
    return samples.points_per_day(mc_before, mc_now, days)


def controlling(*mcs: float) -> float:
    """Mean of the wettest half of the samples [%]."""
    return samples.controlling_mc_pct(mcs)


def safe_rate(species: str, thickness: str) -> float:
    """Most points a day for a species and thickness."""
    return samples.safe_rate_pct_per_day(species, thickness)


def limit_share(points: float, limit: float) -> float:
    """Share of the safe limit [%]."""
    return samples.limit_share_pct(points, limit)


def sampling_error(boards: float) -> float:
    """Error of the mean of so many sample boards [% of it]."""
    return samples.sampling_error_pct(boards)


def meter(reading: float, wood_f: float) -> float:
    """Pin-meter reading [%] corrected for the temperature of the wood [°F]."""
    return samples.meter_corrected_pct(reading, f_to_c(wood_f))


def believed(reading: float, meter: str = "resistance") -> int:
    """How many of our sources believe a reading [%] of that kind of meter."""
    return sum(source.believes(reading) for source in samples.meter_ranges(meter))


def scale_error(together: float, *parts: float) -> float:
    """What a balance is out by [same unit]: blocks together less the blocks one by one."""
    return samples.scale_error(together, parts)


def days_left_low(mc: float, target: float, slow: float, fast: float) -> float:
    """Fewest days left at these paces [points a day]."""
    return samples.days_left(mc, target, slow, fast).low_days


def days_left_high(mc: float, target: float, slow: float, fast: float) -> float:
    """Most days left at these paces [points a day]."""
    return samples.days_left(mc, target, slow, fast).high_days
