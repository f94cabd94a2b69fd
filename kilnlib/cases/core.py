"""A piece in a hot kiln with two probes in it, for the panel: one in the core, one where the learner puts it.

The air climbs for half an hour and holds; the heater may trip. Pieces and records are computed, not measured.
"""

import functools
import math
from dataclasses import dataclass

import numpy as np

from kilnlib.cases.tamarack import PRESSURE_PA
from kilnlib.physics.heating import Channel, Face, Hold, Piece, Trace, Warming, face, share_left, unbroken_hold, warming
from kilnlib.physics.heating.material import COEFFICIENTS
from kilnlib.units import FT_M, IN_M, f_to_c

SIZES = {"1x6": (1, 6, 120), "2x6": (2, 6, 300), "4x4": (4, 4, 450), "6x6": (6, 6, 900)}  # inches, minutes of record
WOODS = {"green": (80.0, f_to_c(60.0)), "dry": (7.0, f_to_c(60.0)), "frozen": (80.0, f_to_c(0.0))}
HEATERS = ("runs", "trips")
SENSOR_K = COEFFICIENTS["sensor_error"]
TARGET_C = COEFFICIENTS["hold_temperature"]
NEEDED_C = TARGET_C + SENSOR_K
HOLD_MIN = COEFFICIENTS["hold_minutes"]
CLIMB_MIN, TRIP_MIN, TRIPPED_C, TRIP_AFTER_MIN = 30.0, 45.0, f_to_c(100.0), 5.0
LENGTH_M, OAK_GRAVITY, AIR_SPEED_MS = 8 * FT_M, 0.56, 1.5
RECORD_STEPS = 180


@dataclass(frozen=True)
class State:
    """What the controls set."""

    size: str = "2x6"
    wood: str = "green"
    heater: str = "runs"
    dry_bulb_c: float = f_to_c(160.0)
    depression_c: float = 5.0 / 1.8
    depth: float = 100.0  # how far in toward the middle the learner's probe sits [%]
    from_end_m: float = 24.0 * IN_M


@dataclass(frozen=True)
class Heating:
    """What happens in the piece, whatever probe is in it."""

    piece: Piece
    face: Face
    air_c: np.ndarray
    meets_c: np.ndarray
    section: Warming
    hold: Hold


@dataclass(frozen=True)
class Result:
    """That, with the learner's probe; the picture shows the minute at which this probe says hot enough."""

    state: State
    heating: Heating
    probe_c: np.ndarray
    probe_hold: Hold
    picture_index: int  # of that minute among `minutes`

    @property
    def minutes(self) -> np.ndarray:
        """Times of the record."""
        return self.heating.section.minutes

    @property
    def picture_min(self) -> float:
        """Minute of the picture."""
        return float(self.minutes[self.picture_index])

    @property
    def early_min(self) -> float:
        """How much too early the learner's probe calls it done; NaN where one of the two is never done."""
        return self.heating.hold.done_min - self.probe_hold.done_min


def work_out(state: State) -> Result:
    """Result of a state."""
    heating = heat(state.size, state.wood, state.heater, state.dry_bulb_c, state.depression_c)
    probe = _probe(heating, state)
    hot = np.flatnonzero(probe >= NEEDED_C)
    return Result(state, heating, probe, _hold(heating, probe), int(hot[0]) if len(hot) else len(probe) - 1)


@functools.lru_cache(maxsize=64)
def heat(size: str, wood: str, heater: str, dry_bulb_c: float, depression_c: float) -> Heating:
    """A piece in that air, from the door shut to the end of the record."""
    thick, wide, last = SIZES[size]
    mc, start = WOODS[wood]
    piece = Piece(thick * IN_M, wide * IN_M, OAK_GRAVITY, mc)
    meets = face(dry_bulb_c, dry_bulb_c - depression_c, mc, AIR_SPEED_MS, PRESSURE_PA)
    minutes = np.linspace(0.0, last, RECORD_STEPS + 1)
    trip = math.inf
    if heater == "trips":
        steady = heat(size, wood, "runs", dry_bulb_c, depression_c)
        trip = steady.hold.start_min + TRIP_AFTER_MIN if steady.hold.held else 0.4 * last
    share = np.clip(minutes / CLIMB_MIN, 0.0, 1.0)
    off = (minutes >= trip) & (minutes < trip + TRIP_MIN)
    cold = min(start, f_to_c(60.0))
    air = np.where(off, min(TRIPPED_C, dry_bulb_c), cold + share * (dry_bulb_c - cold))
    met = np.where(off, min(TRIPPED_C, meets.surface_c), start + share * (meets.surface_c - start))
    section = warming(piece, minutes, met, start, meets.film_w_m2k)
    bare = Heating(piece, meets, air, met, section, Hold(NEEDED_C, math.nan, math.nan, 0.0, ()))
    return Heating(piece, meets, air, met, section, _hold(bare, section.core_c))


def _probe(heating, state):
    """What the learner's probe reads: in the section as deep as it sits, and warmer where the end is near."""
    inside = heating.section.at(state.depth / 100.0)
    half, along = 0.5 * LENGTH_M, COEFFICIENTS["along_grain"]
    since = np.maximum(heating.section.minutes - 0.5 * CLIMB_MIN, 0.0)  # as if the air had been hot at once, halfway up
    fourier = along * heating.piece.diffusivity_m2s * 60.0 * since / half**2
    biot = heating.face.film_w_m2k * half / (along * heating.piece.conductivity_w_mk)
    left = share_left(fourier, min(state.from_end_m / half, 1.0), biot)
    return heating.meets_c + (inside - heating.meets_c) * left


def _hold(heating, reading_c):
    """The hold that a record of one probe and the air shows."""
    channels = (Channel("air", "air", tuple(heating.air_c)), Channel("core", "core", tuple(reading_c)))
    record = Trace(tuple(heating.section.minutes), channels, heating.piece.thickness_m)
    return unbroken_hold(record)
