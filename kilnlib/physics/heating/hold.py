"""Whether a record of probes shows that the core stayed hot long enough, without a break.

It reads the coldest core, each trace less what its probe may be off. A stretch that is not recorded counts as a break.
A trace that is no core trace is not believed: one that goes with the air, one hotter than any air there was, and from
there on one that jumps.
"""

import math
from dataclasses import dataclass, field

import numpy as np

from kilnlib.errors import Fields, OutOfRange
from kilnlib.physics.arrays import within
from kilnlib.physics.heating.material import COEFFICIENTS
from kilnlib.physics.heating.series import SIZE_M
from kilnlib.physics.heating.warming import MELTS_C

KINDS = ("core", "air")
TARGET_C, HOLD_MIN, GAP_MIN = (COEFFICIENTS[name] for name in ("hold_temperature", "hold_minutes", "longest_gap"))
SENSOR_K = COEFFICIENTS["sensor_error"]
_WET_M2S = 1.5e-7  # diffusivity of green wood, rounded up
_CLOCK_MIN = 1.0 / 60.0  # a clock that is a second off makes no gap
_ALIKE_K = 1e-6
_SQUARE = 0.5 * math.pi**2  # a square core closes its gap to the faces at this rate for each fourier number, late
_THAWED_C = 35.0  # just after the last ice a core leaps; from here on it goes steadily again
_FAR = 5.0  # times what the probes may be off


@dataclass(frozen=True)
class Channel:
    """One probe of a record: what it measures, its readings [°C] (NaN where there is none), and what it may be off."""

    name: str
    kind: str
    readings_c: tuple[float, ...]
    error_c: float = SENSOR_K

    def __post_init__(self) -> None:
        if self.kind not in KINDS:
            raise OutOfRange(
                "one_of", "kind", self.kind, what="What a probe measures", text=self.kind, names=" or ".join(KINDS)
            )
        within("What a probe may be off", self.error_c, 0.0, 10.0, "temperature_difference")


@dataclass(frozen=True)
class Trace:
    """A record: minutes that rise, and its probes; the thickness [m] of the piece that holds the core probes."""

    minutes: tuple[float, ...]
    channels: tuple[Channel, ...]
    thickness_m: float = 0.0254

    def __post_init__(self) -> None:
        within("The thickness", self.thickness_m, *SIZE_M, "thickness")
        if len(self.minutes) < 2 or not np.all(np.diff(self.minutes) > 0.0):
            raise OutOfRange("trace_times", "minutes", math.nan)
        for channel in self.channels:
            if len(channel.readings_c) != len(self.minutes):
                counts = {"readings": str(len(channel.readings_c)), "times": str(len(self.minutes))}
                raise OutOfRange("trace_readings", "channels", math.nan, name=channel.name, **counts)


@dataclass(frozen=True)
class Remark:
    """Something a reader of the record must know: a code, and what its sentence is filled with."""

    code: str
    fields: Fields = field(default_factory=dict)


@dataclass(frozen=True)
class Hold:
    """When the hold began and was done [min], NaN where it was not; what was refused, and where it broke off."""

    needed_c: float
    start_min: float
    done_min: float
    longest_min: float
    remarks: tuple[Remark, ...]

    @property
    def held(self) -> bool:
        """Whether the record shows the whole hold."""
        return not math.isnan(self.done_min)


def unbroken_hold(trace: Trace, target_c: float = TARGET_C, hold_min: float = HOLD_MIN) -> Hold:
    """The first time that the coldest core of a record stayed hot for long enough, without a break.

    Parameters
    ----------
    trace : Trace.
    target_c : core temperature asked for [°C], 20 to 120; every probe must show it plus what it may be off.
    hold_min : minutes it is held [min], 1 to 1440.

    Returns
    -------
    Hold [min, °C]. Two short stretches are never added up.

    Raises
    ------
    OutOfRange : a number out of range. `Trace` refuses times that do not rise.

    Source
    ------
    56 °C for 30 min through the whole profile, the core included: ISPM 15 (FAO), Annex 1; a reading at least every
    5 min: copy of the federal protocol for T314, item 3; both *retrieved* (tables/heating.csv). What counts as a probe
    that jumped is our choice, *common practice*.

    Accuracy
    --------
    To one reading: it begins with the first reading that is hot enough and is done with the first one that lies the
    whole time later. It sees no probe that is merely shallow or near an end, and no colder place without a probe.
    """
    within("The temperature asked for", target_c, 20.0, 120.0, "temperature")
    within("The hold", hold_min, 1.0, 1440.0, "count")
    cores = [channel for channel in trace.channels if channel.kind == "core"]
    airs = [channel for channel in trace.channels if channel.kind == "air"]
    needed = target_c + max((channel.error_c for channel in cores), default=SENSOR_K)
    refused = [Remark("no_core")] if not cores else _refused(trace, cores, airs)
    if refused:
        return Hold(needed, math.nan, math.nan, 0.0, tuple(refused))
    jumps = [_jump(trace, channel, airs) for channel in cores]
    hot = np.all([np.array(channel.readings_c) >= target_c + channel.error_c - _ALIKE_K for channel in cores], axis=0)
    for at in jumps:
        hot[len(hot) if at is None else at :] = False
    remarks = [] if airs else [Remark("no_air")]
    remarks += [
        Remark("jump", {"name": channel.name, "minute": (trace.minutes[at], "minutes")})
        for channel, at in zip(cores, jumps, strict=True)
        if at is not None
    ]
    start, done, longest, gaps = _first_stretch(np.array(trace.minutes), hot, hold_min)
    remarks += [Remark("gap", {"minute": (minute, "minutes")}) for minute in gaps]
    return Hold(needed, start, done, longest, tuple(remarks))


def _first_stretch(minutes, hot, hold_min):
    """Start and end of the first stretch long enough (NaN without), the longest there was, and gaps that broke one."""
    begun, longest, gaps = math.nan, 0.0, []
    for number, minute in enumerate(minutes):
        gap = number > 0 and minute - minutes[number - 1] > GAP_MIN + _CLOCK_MIN
        if gap and not math.isnan(begun):
            gaps.append(float(minutes[number - 1]))
            begun = math.nan
        if not hot[number]:
            begun = math.nan
        elif math.isnan(begun):
            begun = float(minute)
        if not math.isnan(begun):
            longest = max(longest, float(minute) - begun)
            if minute - begun >= hold_min - _CLOCK_MIN:
                return begun, float(minute), longest, gaps
    return math.nan, math.nan, longest, gaps


def _refused(trace, cores, airs):
    """Traces called core that cannot be: hotter than any air had been, or always as hot as air that climbs."""
    out = []
    hottest = _so_far(airs) if airs else None
    for channel in cores if airs else ():
        reading = np.array(channel.readings_c)
        slack = channel.error_c + max(air.error_c for air in airs) + _ALIKE_K
        above = np.flatnonzero(reading > np.maximum(hottest, reading[0]) + slack)
        if len(above):
            out.append(
                Remark("hotter_than_air", {"name": channel.name, "minute": (trace.minutes[above[0]], "minutes")})
            )
        elif any(_goes_with(reading, np.array(air.readings_c), slack) for air in airs):
            out.append(Remark("goes_with_air", {"name": channel.name}))
    return out


def _goes_with(reading, air, slack):
    """Whether a trace never leaves that of the air while the air climbs far: then its probe hangs in the air."""
    apart = np.abs(reading - air)
    return bool(np.nanmax(apart) <= slack and np.nanmax(air) - np.nanmin(air) > _FAR * slack)


def _so_far(channels):
    """The hottest that any of the traces had been, at each reading."""
    return np.fmax.accumulate(np.fmax.reduce([np.array(channel.readings_c) for channel in channels]))


def _jump(trace, channel, airs):
    """Number of the first reading to which a probe came faster than the core of its piece can; None without one."""
    minutes, reading = np.array(trace.minutes), np.array(channel.readings_c)
    known = np.flatnonzero(~np.isnan(reading))
    minutes, reading = minutes[known], reading[known]
    around = [np.array(air.readings_c)[known] for air in airs] or [np.full(len(known), reading.max())]
    hottest = np.maximum.accumulate(np.fmax(np.fmax.reduce(around), reading[:1]))
    coldest = np.minimum.accumulate(np.fmin(np.fmin.reduce(around), reading[:1]))
    before, change = reading[:-1], np.diff(reading)
    most = np.where(change > 0.0, hottest[1:] - before, before - coldest[1:])
    fourier = _WET_M2S * 60.0 * np.diff(minutes) / (0.5 * trace.thickness_m) ** 2
    share = 1.0 - np.exp(-COEFFICIENTS["believed_rise"] * _SQUARE * fourier)
    thawing = (np.minimum.accumulate(reading)[:-1] <= MELTS_C + channel.error_c) & (reading[1:] < _THAWED_C)
    jumped = np.flatnonzero(
        (np.abs(change) > share * np.maximum(most, 0.0) + 2.0 * channel.error_c + _ALIKE_K) & ~thawing
    )
    return int(known[jumped[0] + 1]) if len(jumped) else None
