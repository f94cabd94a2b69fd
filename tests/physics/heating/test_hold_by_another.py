"""The hold finder on records made from the words of its issue alone, by someone who had not seen its source.

The words: the first 30 minutes without a break at or above 56 °C plus the probe's stated error in the coldest core
trace; air traces are refused, gaps in the record of more than 5 minutes, and probes that jump. 56 °C is 132.8 °F, and
a probe that may be 0.5 °C off must read 133.7 °F. Lines run straight between corners (minute, °F); each expected minute
was written down before the finder ran. A reading each minute, unless said.
"""

import math

import numpy as np
import pytest
from physics.heating.reference import F

from kilnlib.physics.heating import Channel, Trace, unbroken_hold
from kilnlib.units import IN_M

AIR = ((0, 70), (30, 158), (600, 158))
GOOD = ((0, 65), (199, 133), (200, 134), (400, 146), (600, 150))  # from 200
SLOW = ((0, 60), (249, 133), (250, 134), (600, 146))  # from 250
DIP = ((0, 65), (199, 133), (200, 134), (215, 135), (216, 133), (224, 133), (225, 134), (600, 150))
NONE = None

# name: channels as (kind, corners, error °C), minutes left out, minutes between readings, expected minute it is done
RECORDS = {
    "nothing wrong": ([("air", AIR), ("core", GOOD)], (), 1, 230),
    "the colder of two": ([("air", AIR), ("core", GOOD), ("core", SLOW)], (), 1, 280),
    "the colder of two, named first": ([("air", AIR), ("core", SLOW), ("core", GOOD)], (), 1, 280),
    "two cores change places": (
        [
            ("air", AIR),
            ("core", ((0, 70), (150, 134), (219, 135), (220, 133), (239, 133), (240, 134), (600, 140))),
            ("core", GOOD),
        ],
        (),
        1,
        270,
    ),  # one alone is done at 180, the other at 230: never both before 240
    "a dip after 15 minutes": ([("air", AIR), ("core", DIP)], (), 1, 255),
    "a dip of one reading": (
        [("air", AIR), ("core", ((0, 65), (199, 133), (200, 134), (220, 134), (221, 133.6), (222, 134), (600, 150)))],
        (),
        1,
        252,
    ),
    "a dip at minute 29": (
        [("air", AIR), ("core", ((0, 65), (199, 133), (200, 134), (228, 135), (229, 133), (230, 134), (600, 150)))],
        (),
        1,
        260,
    ),
    "a dip just after it was done": (
        [("air", AIR), ("core", ((0, 65), (199, 133), (200, 134), (230, 134), (231, 132), (300, 131)))],
        (),
        1,
        230,
    ),
    "three runs of 20 minutes": (
        [
            ("air", AIR),
            (
                "core",
                (
                    (0, 65),
                    (199, 133),
                    (200, 134),
                    (220, 134),
                    (221, 133),
                    (230, 134),
                    (250, 134),
                    (251, 133),
                    (260, 134),
                    (280, 134),
                    (281, 132),
                    (400, 130),
                ),
            ),
        ],
        (),
        1,
        NONE,
    ),
    "it just never comes": ([("air", AIR), ("core", ((0, 65), (200, 133.0), (600, 133.6)))], (), 1, NONE),
    "56 °C itself is not enough": ([("air", AIR), ("core", ((0, 65), (200, 132.8), (600, 132.9)))], (), 1, NONE),
    "a probe without error": (
        [("air", AIR), ("core", ((0, 65), (199, 132), (200, 132.9), (600, 133)), 0.0)],
        (),
        1,
        230,
    ),
    "a poorer probe": (  # 1.5 °C: 135.5 °F
        [("air", AIR), ("core", ((0, 65), (199, 133), (200, 134), (299, 135.0), (300, 136), (600, 140)), 1.5)],
        (),
        1,
        330,
    ),
    "the poorer probe decides": (  # the warmer of the two, but it may be 2 °C off: 136.4 °F
        [("air", AIR), ("core", GOOD), ("core", ((0, 66), (199, 135), (259, 136), (260, 137), (600, 150)), 2.0)],
        (),
        1,
        290,
    ),
    "the record ends one minute early": ([("air", (*AIR[:2], (229, 158))), ("core", GOOD)], (), 1, NONE),
    "a gap of ten minutes in the hold": ([("air", AIR), ("core", GOOD)], range(211, 220), 1, 250),
    "a gap of ten minutes before it": ([("air", AIR), ("core", GOOD)], range(101, 110), 1, 230),
    "a gap of five minutes is none": ([("air", AIR), ("core", GOOD)], range(211, 215), 1, 230),
    "a gap of six minutes is one": ([("air", AIR), ("core", GOOD)], range(211, 216), 1, 246),
    "two gaps, the second ends the record's use": (
        [("air", (*AIR[:2], (250, 158))), ("core", GOOD)],
        (*range(211, 218), *range(231, 240)),
        1,
        NONE,
    ),
    "a reading each five minutes": ([("air", AIR), ("core", GOOD)], (), 5, 230),
    "a reading each ten minutes proves nothing": ([("air", AIR), ("core", GOOD)], (), 10, NONE),
    "air alone": ([("air", AIR)], (), 1, NONE),
    "air called a core": ([("air", AIR), ("core", ((0, 71), (30, 157), (600, 157)))], (), 1, NONE),
    "air and core swapped": ([("air", GOOD), ("core", AIR)], (), 1, NONE),
    "a loose probe jumps to the air and stays": (
        [("air", AIR), ("core", ((0, 65), (99, 100), (100, 152), (600, 156)))],
        (),
        1,
        NONE,
    ),
    "a probe jumps up and down": (
        [("air", AIR), ("core", ((0, 65), (199, 133), (200, 134), (210, 135), (211, 157), (212, 135), (600, 150)))],
        (),
        1,
        NONE,
    ),
    "it stays cold, hot air or not": ([("air", AIR), ("core", ((0, 65), (600, 117)))], (), 1, NONE),
}


def record(channels, left_out, every):
    last = min(int(corners[-1][0]) for _, corners, *_ in channels)
    minutes = [minute for minute in range(0, last + 1, every) if minute not in set(left_out)]
    made = []
    for number, (kind, corners, *error) in enumerate(channels):
        reading = F(np.interp(minutes, *zip(*corners, strict=True)))
        made.append(Channel(f"{kind} {number}", kind, tuple(reading), *error))
    return Trace(tuple(float(minute) for minute in minutes), tuple(made), 2 * IN_M)


@pytest.mark.parametrize("name", RECORDS)
def test_the_minute_written_down_before(name):
    *given, done = RECORDS[name]
    hold = unbroken_hold(record(*given))
    if done is NONE:
        assert not hold.held and math.isnan(hold.done_min)
    else:
        assert hold.held and (hold.start_min, hold.done_min) == (done - 30, done)
