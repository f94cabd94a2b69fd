"""One course of a stack, from the edge where the air goes in to the edge where it comes out.

`board.dry` keeps the air of a board as it is given. In a stack the air gives up heat and takes on water at every board
on its way, so the boards at the far edge dry later, and the slower the air, the more so: a stream that carries half the
air is soaked in half the way. Here the course is cut across into zones. The first dries in the air that goes in, each
of the others in what the zones before it have left; within a zone the air nears the wood's own state as in any heat
exchanger, and the water found in the air is exactly what has left the wood.

Left out: a board whose two faces lie in unlike air (`course_days` takes the mean of both), heat kept in the wood, leaks
between the courses, fans that turn round (with reversal both edges share the good air, and the course as a whole dries
a little sooner: `turning`).
"""

from dataclasses import dataclass

import numpy as np

from kilnlib.errors import OutOfRange
from kilnlib.physics import air
from kilnlib.physics.airflow.channel import air_density_kgm3
from kilnlib.physics.airflow.stack_air import dry_bulb_after_c
from kilnlib.physics.arrays import check_range, whole
from kilnlib.physics.drying import Board, Step, at_hours, dry, face_curve, surface_of
from kilnlib.physics.wood import WATER_KG_M3, species

ZONES = 8
ROUNDS = 4  # times each zone is solved, each with better knowledge of its air than the last
SLOWEST_MS = 0.02
FIRST_H, LONGER, LONGEST_H, LONGEST_SHARE = 2.0, 1.15, 12.0, 0.03  # lengths of the blocks in which the air is held
ABOVE_WET_C = 0.001  # air that is soaked stands so little above its wet bulb


@dataclass(frozen=True)
class Course:
    """What became of a course. First axis: time; second, where there is one: zone, from the edge where the air goes in.

    The last axis numbers the courses if several were asked for. Air is held over each block of time: `leaving_c` and
    `gained` have one entry less than `hours`.

    Source
    ------
    Result of `dry_course`; *computed*.
    """

    hours: np.ndarray
    zone_mc_pct: np.ndarray
    average_pct: np.ndarray
    leaving_c: np.ndarray  # dry bulb of the air that comes out
    gained: np.ndarray  # kg of water taken up by a kg of dry air on its way


def dry_course(
    board: Board,
    dry_bulb_c: float,
    wet_bulb_c: float,
    air_speed_ms: float | np.ndarray,
    sticker_thickness_m: float | np.ndarray,
    width_m: float | np.ndarray,
    hours: float,
    pressure_pa: float = air.STANDARD_PA,
    zones: int = ZONES,
) -> Course:
    """Dry a course, or several at once, in air that goes in at one state and changes on its way.

    Parameters
    ----------
    board : Board all of it is made of.
    dry_bulb_c : dry bulb of the air that goes in [°C], 0 to 100.
    wet_bulb_c : its wet bulb [°C].
    air_speed_ms : air speed between the stickers [m/s], 0.02 to 8; one or many.
    sticker_thickness_m : thickness of the stickers [m], 0.002 to 0.3; one or many.
    width_m : width of the stack, along the air [m], 0.1 to 20; one or many.
    hours : how long [h], 2 to 20,000.
    pressure_pa : air pressure [Pa].
    zones : how many zones, 1 to 64.

    Returns
    -------
    Course.

    Raises
    ------
    OutOfRange : a number out of range. Otherwise as `board.dry`.

    Source
    ------
    `board.dry` for each zone; heat and water balance of the air along its wet-bulb line as in `stack_air.leaving_air`;
    mean air of a zone after the effectiveness of a heat exchanger with one side at one temperature, 1 - exp(-NTU),
    textbook, *from memory*; *computed*.

    Accuracy
    --------
    As a computation: eight zones beside sixteen, and four rounds beside six, change the days to 12 % by 0.1 %
    (0.5 % where the air all but stands still). As a forecast it is as good as `board.dry`; no measured stack stands
    behind it.
    """
    dry_c = float(check_range("Dry bulb", dry_bulb_c, *air.DRY_BULB_C, "temperature"))
    speed = check_range("Air speed", air_speed_ms, SLOWEST_MS, air.AIR_SPEED_MS[1], "air_speed")
    sticker = check_range("Sticker thickness", sticker_thickness_m, 0.002, 0.3, "thickness")
    width = check_range("Width of the stack", width_m, 0.1, 20.0, "length")
    length = float(check_range("The time", hours, FIRST_H, 20_000.0, "hours"))
    whole("Zones", zones, 1, 64)
    several = np.ndim(speed) or np.ndim(sticker) or np.ndim(width)
    speed, sticker, width = (np.atleast_1d(array) for array in np.broadcast_arrays(speed, sticker, width))
    for what, array in (("Air speed", speed), ("Sticker thickness", sticker), ("Width of the stack", width)):
        if np.isnan(array).any():
            raise OutOfRange("not_finite", what, np.nan, what=what, example="1")
    side = air_side(board, dry_c, wet_bulb_c, speed, sticker, width, pressure_pa, zones)
    edges = _edges(length)
    blocks = np.diff(edges)
    ratio = side.gained_an_hour / blocks[:, None]

    def zone(gained):
        temperature = side.zone_c(gained)
        steps = [
            Step(tuple(held), wet_bulb_c, None, block, tuple(speed))
            for held, block in zip(temperature, blocks, strict=True)
        ]
        return at_hours(dry([board] * len(speed), steps, pressure_pa), edges).average_pct

    carried = np.zeros((len(blocks), len(speed)))
    lost, mcs = carried, []
    for _ in range(zones):
        for _ in range(ROUNDS):
            mc = zone(carried + side.own * lost)
            given_off = -np.diff(mc, axis=0) * ratio
            lost = side.nearer(lost, given_off)
        carried = carried + given_off
        mcs.append(mc)
    zone_mc = np.stack(mcs, axis=1)
    leaving = np.maximum(side.after_c(carried), wet_bulb_c)
    arrays = (zone_mc, zone_mc.mean(axis=1), leaving, carried)
    return Course(edges, *(arrays if several else (array[..., 0] for array in arrays)))


@dataclass(frozen=True)
class AirSide:
    """What the air of a course brings with it: one number, or one for each course.

    Source
    ------
    Result of `air_side`; *computed*.
    """

    dry_c: float
    wet_c: float
    before: float  # kg of water in a kg of dry air that goes in
    units: np.ndarray  # transfer units (NTU) of a zone of wet boards
    own: np.ndarray  # share of what a zone gives off that is in its mean air
    gained_an_hour: np.ndarray  # kg of water in a kg of dry air for each point that a zone loses in an hour

    def after_c(self, gained: np.ndarray) -> np.ndarray:
        """Dry bulb of air that has taken up so much water; below its wet bulb if that is more than it can carry."""
        return np.asarray(dry_bulb_after_c(self.dry_c, self.wet_c, self.before, gained))

    def zone_c(self, gained: np.ndarray) -> np.ndarray:
        """Dry bulb that the boards of a zone are given: soaked air stands a little above its wet bulb."""
        return np.maximum(self.after_c(gained), self.wet_c + ABOVE_WET_C)

    def nearer(self, lost: np.ndarray, given_off: np.ndarray) -> np.ndarray:
        """A better guess of what zones lose than `lost`, which made them give off `given_off`.

        Newton's step for a wet face; shorter for a drier one.
        """
        return lost + (given_off - lost) / (1.0 + self.units * self.own)


def air_side(
    board: Board,
    dry_c: float,
    wet_c: float,
    speed_ms: np.ndarray,
    sticker_m: np.ndarray,
    width_m: np.ndarray,
    pressure_pa: float,
    zones: int,
) -> AirSide:
    """The air's side of a course cut across into zones.

    Parameters
    ----------
    board : Board.
    dry_c, wet_c : bulbs of the air that goes in [°C]; not checked, nor is what follows.
    speed_ms, sticker_m, width_m : of the course [m/s, m, m]; one or many.
    pressure_pa : air pressure [Pa].
    zones : how many zones.

    Returns
    -------
    AirSide.

    Raises
    ------
    OutOfRange : air out of range.

    Source
    ------
    As `dry_course`; *computed*.

    Accuracy
    --------
    As `dry_course`.
    """
    rh = air.rh_pct(dry_c, wet_c, pressure_pa)
    before = air.humidity_ratio(dry_c, rh, pressure_pa)
    # kg of dry air a second, for each meter of the kiln's length
    flow = speed_ms * sticker_m * air_density_kgm3(dry_c, rh, pressure_pa) / (1.0 + before)
    wood = board.thickness_m * width_m / zones * species(board.species).specific_gravity * WATER_KG_M3
    face = face_curve(dry_c, rh, speed_ms, pressure_pa, surface_of(board.species, board.sawn))
    # kg of water that a kg of dry air can take up
    room = np.maximum(air.humidity_ratio(wet_c, 100.0, pressure_pa) - before, 1e-9)
    units = np.maximum(2.0 * face.loss_kg_m2s.max(axis=1) * width_m / zones / (flow * room), 1e-4)
    own = -1.0 / np.expm1(-units) - 1.0 / units
    return AirSide(dry_c, wet_c, before, units, own, wood / 100.0 / (flow * 3600.0))


def _edges(length):
    """Ends of the blocks [h]: short at first, when much happens, then up to half a day or a share of the time gone."""
    edges, block = [0.0], FIRST_H
    while edges[-1] < length:
        edges.append(edges[-1] + block)
        block = min(block * LONGER, max(LONGEST_H, LONGEST_SHARE * edges[-1]))
    return np.array([*edges[:-1], length])
