"""Sticks out of line: the way between two that lie askew is narrow at one end, and the air has to pass it.

What is computed is the air's way between flat boards. That the weight above such sticks bends the boards, and that bent
boards close some spaces and open others, is not.
"""

import math
from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import root

from kilnlib.errors import OutOfRange
from kilnlib.physics.airflow import Fan, Gaps, Stack, channel, solve
from kilnlib.units import IN_M

SHUT = Gaps(above_m=0.0, under_m=0.0, end_m=0.0)
T_C, RH = 49.0, 60.0
OFFSETS_IN = (0.0, 2.0, 4.0, 6.0, 8.0)


def askew(inches, **more):
    return Stack(sticker_askew_m=inches * IN_M, **more)


# conservation -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("inches", OFFSETS_IN)
@pytest.mark.parametrize("gaps", [Gaps(), SHUT, replace(SHUT, lane_m=0.1, lane_height_m=1.0)])
def test_air_is_kept(inches, gaps):
    stack = askew(inches)
    flow = solve(stack, gaps, Fan(), T_C, RH)
    assert sum(opening.flow_m3s for opening in flow.openings) == pytest.approx(flow.total_flow_m3s, rel=1e-12)
    courses = np.array(flow.course_speed_ms) * np.array(stack.stickers_m) * stack.open_length_m
    assert courses.sum() == pytest.approx(flow.stack_flow_m3s, rel=1e-9)


# limits -----------------------------------------------------------------------------------------------------------


def test_sticks_in_line_cost_nothing():
    assert solve(askew(0.0), Gaps(), Fan(), T_C, RH) == solve(Stack(), Gaps(), Fan(), T_C, RH)
    nearly = solve(askew(0.01), Gaps(), Fan(), T_C, RH)
    assert nearly.sticker_speed_ms == pytest.approx(solve(Stack(), Gaps(), Fan(), T_C, RH).sticker_speed_ms, rel=1e-5)


def test_the_more_askew_the_less_air_and_the_more_of_it_misses_the_wood():
    flows = [solve(askew(inches), Gaps(), Fan(), T_C, RH) for inches in (*OFFSETS_IN, 10.0)]
    assert np.all(np.diff([flow.stack_flow_m3s for flow in flows]) < 0)
    assert np.all(np.diff([flow.bypass_pct for flow in flows]) > 0)


def test_sticks_that_all_but_meet_are_refused_in_words():
    for inches in (-1.0, 12.0, math.nan):
        with pytest.raises(OutOfRange) as caught:
            askew(inches)
        assert caught.value.sentence("trade").endswith(".")
    with pytest.raises(OutOfRange):
        askew(4.0, sticker_spacing_m=6 * IN_M)


# a second solution ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("inches", "within"), [(2.0, 0.001), (4.0, 0.003), (6.0, 0.01), (8.0, 0.03)])
def test_scipy_finds_the_same_flow_through_ways_that_narrow_and_ways_that_widen(inches, within):
    """Two sorts of way side by side, each with its own loss: friction by `quad` along it, all flows at once by `root`.

    The model has one loss for both, the mean; that is what `within` allows for, and it grows with the offset.
    """
    stack = askew(inches, courses=12)
    flow = solve(stack, SHUT, Fan(), T_C, RH, friction=0.03)
    density = channel.air_density_kgm3(T_C, RH)
    sticker, board, width = 0.75 * IN_M, stack.board_thickness_m, stack.width_m
    clear = stack.sticker_spacing_m - stack.sticker_width_m
    lean = inches * IN_M / clear
    wood = board / (board + sticker)
    entrance, leaving = 0.5 * wood**0.75, wood**2
    rub = 0.03 / (2 * sticker) * quad(lambda x: 1 / (1 + lean * (1 - 2 * x / width)) ** 2, 0, width)[0]
    narrows = entrance / (1 + lean) ** 2 + leaving / (1 - lean) ** 2 + rub
    widens = entrance / (1 - lean) ** 2 + leaving / (1 + lean) ** 2 + rub
    losses = np.repeat([narrows, widens], stack.courses)
    area = 0.5 * sticker * stack.open_length_m
    head = 0.5 * density / (stack.plenum_width_m * stack.length_m) ** 2
    curve = Fan().curve(density)

    def balance(unknown):
        speeds, foot = unknown[:-1], unknown[-1]
        courses = area * (speeds[: stack.courses] + speeds[stack.courses :])
        below = np.concatenate([[0.0], np.cumsum(courses)[:-1]])
        total = courses.sum()
        pressures = np.tile(foot + head * below**2, 2)
        drop = curve(total) - 3.5 * head * total**2 - foot - head * total**2
        return np.append(0.5 * density * losses * speeds**2 - pressures, drop)

    found = root(balance, np.append(np.full(2 * stack.courses, 1.5), 3.0), tol=1e-12)
    assert found.success
    total = area * found.x[:-1].sum()
    assert flow.total_flow_m3s == pytest.approx(total, rel=within)
