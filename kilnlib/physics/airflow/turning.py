"""One course while the fans turn round every few hours, so that both edges of the stack get the good air in turn.

The course is cut across as in `course`. All its zones are worked out at once, again and again, each time with better
knowledge of the air that the zones upstream have left; where the fans have turned, upstream is the other side.
"""

import math
from collections.abc import Iterator

import numpy as np

from kilnlib.physics import air
from kilnlib.physics.airflow.course import SLOWEST_MS, ZONES, Course, air_side, dry_course
from kilnlib.physics.arrays import whole, within
from kilnlib.physics.drying import Board, Step, at_hours, dry
from kilnlib.physics.wood import ROUGH_4_4_M
from kilnlib.units import FT_M, IN_M, f_to_c

ROUNDS = 6  # beyond one for each zone
LONGEST_H = 6.0  # blocks in which the air is held
TURN_H = (1.0, 240.0)
LOOK_PCT = 30.0  # where one edge is compared with the other
EXAMPLES = {"eastern white pine": (120.0, 60.0, 12.0, 700.0), "northern red oak": (110.0, 87.0, 20.0, 1500.0)}
# dry bulb [°F] and relative humidity [%] of the air, moisture content at the end [%], hours that are enough
SOURCE = "Drying engine, the air followed across the course from both edges by turns: kilnlib.physics.airflow.turning"


def dry_turning_course(
    board: Board,
    dry_bulb_c: float,
    wet_bulb_c: float,
    air_speed_ms: float,
    sticker_thickness_m: float,
    width_m: float,
    hours: float,
    turn_h: float,
    pressure_pa: float = air.STANDARD_PA,
    zones: int = ZONES,
) -> Course:
    """Dry one course in air that goes in at one state, from one edge and from the other by turns.

    Parameters
    ----------
    board : Board all of it is made of.
    dry_bulb_c : dry bulb of the air that goes in [°C], 0 to 100.
    wet_bulb_c : its wet bulb [°C].
    air_speed_ms : air speed between the stickers [m/s], 0.02 to 8.
    sticker_thickness_m : thickness of the stickers [m], 0.002 to 0.3.
    width_m : width of the stack, along the air [m], 0.1 to 20.
    hours : how long [h], 2 to 20,000.
    turn_h : how long the fans blow one way [h], 1 to 240.
    pressure_pa : air pressure [Pa].
    zones : how many zones, 1 to 64.

    Returns
    -------
    Course; the first zone is at the edge where the air goes in first.

    Raises
    ------
    OutOfRange : a number out of range. Otherwise as `board.dry`.

    Source
    ------
    As `course.dry_course`; *computed*.

    Accuracy
    --------
    As a computation: without a turn it is `course.dry_course`, and sixteen zones change the days to 12 % by under 0.5 %
    (tests/physics/airflow/test_turning.py). The air is taken as turned at once. As a forecast it is as good as
    `board.dry`; no measured stack stands behind it.
    """
    dry_c = within("Dry bulb", dry_bulb_c, *air.DRY_BULB_C, "temperature")
    speed = within("Air speed", air_speed_ms, SLOWEST_MS, air.AIR_SPEED_MS[1], "air_speed")
    sticker = within("Sticker thickness", sticker_thickness_m, 0.002, 0.3, "thickness")
    width = within("Width of the stack", width_m, 0.1, 20.0, "length")
    length, turn = within("The time", hours, 2.0, 20_000.0, "hours"), within("A turn", turn_h, *TURN_H, "hours")
    whole("Zones", zones, 1, 64)
    one_course = np.array([speed]), np.array([sticker]), np.array([width])
    side = air_side(board, dry_c, wet_bulb_c, *one_course, pressure_pa, zones)
    edges, turned = _blocks(length, turn)
    blocks = np.diff(edges)
    ratio = side.gained_an_hour / blocks[:, None]
    boards = [board] * zones
    lost = np.zeros((len(blocks), zones))
    for _ in range(zones + ROUNDS):
        held = side.zone_c(_upstream(lost, turned) + side.own * lost)
        steps = [
            Step(tuple(row), wet_bulb_c, None, block, (speed,) * zones) for row, block in zip(held, blocks, strict=True)
        ]
        mc = at_hours(dry(boards, steps, pressure_pa), edges).average_pct
        given_off = -np.diff(mc, axis=0) * ratio
        lost = side.nearer(lost, given_off)
    gained = given_off.sum(axis=1)
    leaving = np.maximum(side.after_c(gained), wet_bulb_c)
    return Course(edges, mc, mc.mean(axis=1), leaving, gained)


def _blocks(length_h, turn_h):
    """Ends of the blocks [h] in which the air is held, as many in each turn; and which of them are turned."""
    parts = math.ceil(turn_h / LONGEST_H)
    edges = np.append(np.arange(0.0, length_h, turn_h / parts), length_h)
    return edges, np.arange(len(edges) - 1) // parts % 2 == 1


def _upstream(lost, turned):
    """What the zones before each have given off, as the air goes in each block."""
    sums = np.cumsum(lost, axis=1)
    return np.where(turned[:, None], sums[:, -1:] - sums, sums - lost)


def example(wood: str, air_speed_fpm: float, turn_h: float) -> tuple[float, np.ndarray]:
    """One row of the table, worked out; the wood starts at 80 % and its air is held.

    Parameters
    ----------
    wood : one of EXAMPLES.
    air_speed_fpm : air speed between 3/4 in stickers, over 8 ft of width [ft/min].
    turn_h : how long the fans blow one way [h]; 0 for always.

    Returns
    -------
    Days to the end, and the zones' moisture contents [%] when the course averages 30 %.

    Raises
    ------
    As `dry_turning_course`.

    Source
    ------
    `course.dry_course` and `dry_turning_course`; *computed*.

    Accuracy
    --------
    As those.
    """
    dry_f, rh_pct, end_pct, hours = EXAMPLES[wood]
    dry_c = f_to_c(dry_f)
    board, wet_c = Board(wood, ROUGH_4_4_M, 80.0), float(air.wet_bulb_c(dry_c, rh_pct))
    course = board, dry_c, wet_c, air_speed_fpm * FT_M / 60.0, 0.75 * IN_M, 8.0 * FT_M, hours
    found = dry_turning_course(*course, turn_h) if turn_h else dry_course(*course)
    days = float(np.interp(-end_pct, -found.average_pct, found.hours / 24.0))
    at_h = float(np.interp(-LOOK_PCT, -found.average_pct, found.hours))
    return days, np.array([np.interp(at_h, found.hours, zone) for zone in found.zone_mc_pct.T])


def table_rows() -> Iterator[list[str]]:
    """Rows of the table, its head first.

    Returns
    -------
    Lists of text.

    Raises
    ------
    Nothing.

    Source
    ------
    `example`; *computed*.

    Accuracy
    --------
    As `example`.
    """
    zones = [f"zone_{at}_pct" for at in range(1, ZONES + 1)]
    yield ["wood", "air_speed_fpm", "turn_h", "end_pct", "days", *zones, "source", "how"]
    for wood, turn in (("eastern white pine", 3), ("northern red oak", 6)):
        for fpm, turn_h in ((300, 0), (300, turn), (150, 0)):
            days, mcs = example(wood, fpm, turn_h)
            end = f"{EXAMPLES[wood][2]:g}"
            yield [
                wood,
                f"{fpm}",
                f"{turn_h or ''}",
                end,
                f"{days:.4g}",
                *(f"{mc:.4g}" for mc in mcs),
                SOURCE,
                "computed",
            ]


if __name__ == "__main__":
    import csv
    import sys

    csv.writer(sys.stdout, lineterminator="\n").writerows(table_rows())
