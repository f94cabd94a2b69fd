"""Boards between two unlike spaces, worked out with two different faces, beside the mean of the days of both spaces.

`course_days.drying_lag` gives a board the mean of what it takes in the space below and in the one above it. Here such
boards are dried from face to face in another way: plain forward steps, the air followed through both spaces. Every
third space is narrow, so two kinds of boards are there: between a narrow and a full space, and between two full ones.
"""

import numpy as np
import pytest

from kilnlib.physics import air
from kilnlib.physics.airflow import AIR_C, AIR_RH_PCT, course_days
from kilnlib.physics.airflow.channel import air_density_kgm3
from kilnlib.physics.airflow.course_days import FPM_MS
from kilnlib.physics.airflow.course_days_table import PINE
from kilnlib.physics.airflow.stack_air import dry_bulb_after_c
from kilnlib.physics.drying import face_curve, surface_of
from kilnlib.physics.drying.diffusivity import base_m2s, free_water, potential, warmth
from kilnlib.physics.wood import WATER_KG_M3, species
from kilnlib.units import FT_M, IN_M

LAYERS, ZONES, STEP_S, WIDTH_M = 14, 8, 450.0, 8 * FT_M
WET_C = float(air.wet_bulb_c(AIR_C, AIR_RH_PCT))
RATIO = float(air.humidity_ratio(AIR_C, AIR_RH_PCT))
GAINS = np.linspace(0.0, float(air.humidity_ratio(WET_C, 100.0)) - RATIO, 120)
DRY_BULBS_C = np.maximum(np.asarray(dry_bulb_after_c(AIR_C, WET_C, RATIO, GAINS)), WET_C + 0.002)
LAYER_M = PINE.thickness_m / LAYERS
DENSITY = WATER_KG_M3 * species(PINE.species).specific_gravity
FREE_WATER = free_water(PINE.species)
BASE_M2S = float(base_m2s(PINE.species, PINE.sawn))


class Space:
    """A space between boards: its air, and what a face in it gives off at the potential of the layer under it."""

    def __init__(self, fpm, sticker_in):
        speed = fpm * FPM_MS
        rhs = np.array([float(air.rh_pct(dry, WET_C)) for dry in DRY_BULBS_C])
        curve = face_curve(DRY_BULBS_C, rhs, np.full(len(rhs), speed), surface=surface_of(PINE.species))
        self.loss, self.warm = curve.loss_kg_m2s, curve.temperature_c
        half = LAYER_M / 2.0 / (warmth(self.warm) * BASE_M2S)
        self.level = potential(curve.mc_pct, FREE_WATER)[0] + self.loss * 100.0 / DENSITY * half
        flow = speed * sticker_in * IN_M * float(air_density_kgm3(AIR_C, AIR_RH_PCT)) / (1.0 + RATIO)
        self.taken = WIDTH_M / ZONES / flow  # gain of the air for each kg/(m² s)

    def face(self, gain, level):
        """Loss [kg/(m² s)] and temperature [°C] of a face in air that has gained so much."""
        at = min(int(np.searchsorted(GAINS, gain, side="right")) - 1, len(GAINS) - 2)
        share = (gain - GAINS[at]) / (GAINS[at + 1] - GAINS[at])
        ends = [
            np.array([np.interp(level, self.level[row], what[row]) for what in (self.loss, self.warm)])
            for row in (at, at + 1)
        ]
        return (1.0 - share) * ends[0] + share * ends[1]


def days_to_12(narrow, full):
    """Days of the boards between both spaces, and of those between two full ones."""
    mc = np.full((ZONES, 2, LAYERS), PINE.start_mc_pct)
    held = np.zeros((ZONES, 2))  # what each space gained in each zone, a step ago
    averages = [mc.mean(axis=(0, 2))]
    while averages[-1].max() > course_days.LEVELS_PCT[-1]:
        level = potential(mc, FREE_WATER)[0]
        loss, warm = np.zeros((ZONES, 2, 2)), np.zeros((ZONES, 2))
        before = np.zeros(2)
        for zone in range(ZONES):
            by_narrow, by_full = before + held[zone] / 2.0
            one = narrow.face(by_narrow, level[zone, 0, 0])
            other, even = full.face(by_full, level[zone, 0, -1]), full.face(by_full, level[zone, 1, 0])
            loss[zone] = [[one[0], other[0]], [even[0], even[0]]]
            warm[zone] = [(one[1] + other[1]) / 2.0, even[1]]
            gained = np.array([2.0 * one[0] * narrow.taken, (other[0] + even[0]) * full.taken])
            held[zone] = (held[zone] + gained) / 2.0
            before = before + gained
        passed = (warmth(warm) * BASE_M2S)[:, :, None] * (level[:, :, :-1] - level[:, :, 1:]) / LAYER_M
        change = np.zeros_like(mc)
        change[:, :, :-1] -= passed
        change[:, :, 1:] += passed
        change[:, :, 0] -= loss[:, :, 0] * 100.0 / DENSITY
        change[:, :, -1] -= loss[:, :, 1] * 100.0 / DENSITY
        mc = mc + STEP_S * change / LAYER_M
        averages.append(mc.mean(axis=(0, 2)))
    days = np.arange(len(averages)) * STEP_S / 86400.0
    return [float(np.interp(-course_days.LEVELS_PCT[-1], -np.array(averages)[:, kind], days)) for kind in (0, 1)]


@pytest.mark.parametrize(
    ("narrow", "full", "close"), [((171, 0.375), (362, 0.75), 0.02), ((60, 0.375), (150, 0.75), 0.06)]
)
def test_a_board_between_two_spaces_takes_the_mean_of_their_days(narrow, full, close):
    """In slow air the faster face helps the slower one: the mean of the days is up to 6 % too long, never too short."""
    worked = days_to_12(Space(*narrow), Space(*full))
    speeds, stickers = (np.array(pair) for pair in zip(full, full, narrow, strict=True))
    lag = course_days.drying_lag(speeds * FPM_MS, stickers * IN_M, WIDTH_M)  # the uppermost lies by the narrow one
    assert worked[1] == pytest.approx(lag.best_days, rel=0.01)
    assert worked[0] == pytest.approx(lag.worst_days, rel=close) and worked[0] <= lag.worst_days * 1.001
