"""Drying stress: what must hold of any board, what was tuned on 4/4 red oak, what came out where nothing was tuned."""

import dataclasses

import numpy as np
import pytest

from kilnlib import tables, units
from kilnlib.cases import stress as case
from kilnlib.errors import BadInput, KilnError, NotFound, OutOfRange
from kilnlib.physics.drying import Board, Step, at_hours, dry
from kilnlib.physics.stress import across_grain, peak, prongs, stress_history
from kilnlib.physics.stress import model as stress
from kilnlib.physics.stress.across_grain import COEFFICIENTS, stiffness_pa, strength_pa

F = units.f_to_c
FOUR_QUARTER_M, EIGHT_QUARTER_M = 1.125 * units.IN_M, 2.25 * units.IN_M
PRESETS = {
    "mild": {"start_depression_c": 3 / 1.8, "end_dry_bulb_c": F(130.0)},
    "schedule": {},
    "too hard": {"start_depression_c": 12 / 1.8},
    "too hot late": {"heat_at_pct": 40.0, "end_dry_bulb_c": F(160.0)},
    "bad wick": {"wick_days": 2.0},
}


def run(steps, species="red oak", thickness_m=FOUR_QUARTER_M, start_pct=80.0):
    """Moisture history and stress history of a board in a series of settings."""
    history = dry(Board(species, thickness_m, start_pct), steps, case.PRESSURE_PA)
    return history, stress_history(history, species, dry_bulb_c=[step.dry_bulb_c for step in steps])


def situation(name, thickness_m=FOUR_QUARTER_M, schedule="T4-D2"):
    return run(case.settings(case.State(**PRESETS[name]), schedule), thickness_m=thickness_m)


@pytest.fixture(scope="module")
def scheduled():
    return situation("schedule")


def finished(condition_f=160.0, hours=96.0, thickness_m=FOUR_QUARTER_M):
    """Dried on schedule to 6.5 %, two days of equalizing at EMC 5, then conditioning at EMC 11: for a target of 7 %."""
    steps = case.settings(case.State(end_dry_bulb_c=F(160.0)))
    steps[-1] = dataclasses.replace(steps[-1], until_mc_pct=6.5)
    steps.append(Step(F(condition_f), None, 5.0, 48.0, case.KILN.sticker_speed_ms))
    steps.append(Step(F(condition_f), None, 11.0, hours, case.KILN.sticker_speed_ms))
    history, found = run(steps, thickness_m=thickness_m)
    return history.step_end_hours[-2], found


def average_at(history, hour):
    return float(np.interp(hour, history.hours, history.average_pct))


def made_up(profile_pct, hours, depth_m):
    """A history with only what stress needs."""
    average = profile_pct.mean(axis=-1)
    return dataclasses.replace(
        dry(Board(start_mc_pct=20.0), [Step(45.0, 40.0, hours=1.0)]),
        hours=hours,
        average_pct=average,
        profile_pct=profile_pct,
        depth_m=depth_m,
        step_end_hours=hours[-1:],
    )


def layers(count):
    """Depths of a face and of even layers down to 10 mm."""
    return np.append(0.0, (np.arange(count) + 0.5) * 0.010 / count)


# --- what must hold -------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", PRESETS)
def test_forces_cancel(name):
    _, found = situation(name)
    force = (found.stress_pa * found.share).sum(axis=-1)
    assert np.abs(found.stress_pa).max() > 3e6
    assert np.abs(force).max() <= 1e-10 * np.abs(found.stress_pa).max()
    assert found.share.sum() == pytest.approx(1.0, abs=1e-12) and found.share[0] == 0.0


def test_forces_cancel_while_conditioning_and_in_a_batch():
    _, found = finished()
    assert np.abs((found.stress_pa * found.share).sum(axis=-1)).max() <= 1e-10 * np.abs(found.stress_pa).max()
    steps = case.settings(case.State())
    history = dry([Board(start_mc_pct=start) for start in (70.0, 80.0, 95.0)], steps)
    batch = stress_history(history, dry_bulb_c=[step.dry_bulb_c for step in steps])
    assert np.abs((batch.stress_pa * batch.share).sum(axis=-1)).max() <= 1e-10 * np.abs(batch.stress_pa).max()


def test_no_stress_without_a_change_of_moisture():
    hours = np.linspace(0.0, 500.0, 40)
    for level in (12.0, 80.0):
        found = stress_history(made_up(np.full((40, 19), level), hours, layers(18)), dry_bulb_c=np.linspace(20, 90, 40))
        assert not found.stress_pa.any() and not found.set_strain.any() and not found.check_index.any()
        assert np.isnan(found.reversal_h) and prongs(found).word == "straight"


def test_no_stress_above_fiber_saturation():
    depth = layers(18)
    profile = 100.0 - np.linspace(0.0, 60.0, 30)[:, None] * (1.0 - depth / 0.010)
    found = stress_history(made_up(profile, np.linspace(0.0, 300.0, 30), depth))
    assert profile.min() == pytest.approx(40.0) and not found.stress_pa.any()


def test_no_stress_if_all_layers_dry_alike():
    profile = np.repeat(np.linspace(28.0, 8.0, 50)[:, None], 19, axis=1)
    found = stress_history(made_up(profile, np.linspace(0.0, 300.0, 50), layers(18)))
    assert np.abs(found.stress_pa).max() < 1.0
    assert np.abs(found.set_strain).max() < 1e-9


def test_elastic_limit_is_the_closed_form(monkeypatch):
    """Without set and with one stiffness: stress = stiffness x (mean shrinkage - own shrinkage), Timoshenko's strip."""
    for name, value in {"set_by_moisture": 0.0, "set_hours": 1e12, "stiffness_green": 1000.0, "stiffness_12": 1000.0,
                        "stiffness_heat_dry": 1.0, "stiffness_heat_wet": 1.0}.items():  # fmt: skip
        monkeypatch.setitem(COEFFICIENTS, name, value)
    depth = layers(200)
    shape = 1.0 - depth / 0.010
    profile = 25.0 - np.linspace(0.0, 12.0, 25)[:, None] * shape**2  # a parabola, deepest at the face
    found = stress_history(made_up(profile, np.linspace(0.0, 200.0, 25), depth), dry_bulb_c=60.0)
    per_point = 0.086 / 30.0  # tangential shrinkage of northern red oak, Wood Handbook Table 4-3
    drop = np.linspace(0.0, 12.0, 25)[:, None]
    closed = 1e9 * per_point * drop * (shape**2 - 1.0 / 3.0)
    assert found.stress_pa == pytest.approx(closed, abs=1e-4 * closed.max())
    assert found.stress_pa[-1, 0] == pytest.approx(1e9 * per_point * 8.0, rel=1e-4)  # 2/3 of all at the face
    assert np.abs(found.set_strain).max() < 1e-6


def naive(history, dry_bulb_c, parts):
    """The same equations for the whole thickness with tiny explicit steps, free to bend: stresses of both halves."""
    c, fsp, slope = COEFFICIENTS, 30.0, 0.086 / 30.0
    depth, share = history.depth_m[1:], np.diff(np.append(0.0, _borders(history.depth_m)))
    full = np.concatenate([depth, 2.0 * _borders(history.depth_m)[-1] - depth[::-1]])
    weight = np.concatenate([share, share[::-1]])
    arm = full - 0.5 * (full[0] + full[-1])
    bound = np.minimum(history.profile_pct[:, 1:], fsp)
    now, bends = np.zeros(len(full)), 0.0
    out = [now]
    for step in range(len(bound) - 1):
        hours = (history.hours[step + 1] - history.hours[step]) / parts
        change = (bound[step + 1] - bound[step]) / parts
        change = np.concatenate([change, change[::-1]])
        for part in range(parts):
            half = bound[step] + (part + 0.5) / parts * (bound[step + 1] - bound[step])
            mc = np.concatenate([half, half[::-1]])
            stiff = stiffness_pa(mc, dry_bulb_c)
            slow = c["set_hours"] * np.exp(
                c["set_hours_moisture"] * (fsp - mc) - c["set_hours_heat"] * (dry_bulb_c - 43.0)
            )
            loss = now * (hours / slow + c["set_by_moisture"] * c["stiffness_green"] * np.abs(change) / 100.0)
            free = -stiff * slope * change - loss
            grip = weight * stiff
            matrix = [[grip.sum(), (grip * arm).sum()], [(grip * arm).sum(), (grip * arm**2).sum()]]
            wide, bend = np.linalg.solve(matrix, [-(weight * free).sum(), -(weight * free * arm).sum()])
            now = now + free + stiff * (wide + bend * arm)
            bends = max(bends, abs(bend) * abs(arm).max())
        out.append(now)
    return np.array(out), bends


def _borders(depth_m):
    borders = [0.0]
    for depth in depth_m[1:]:
        borders.append(2.0 * depth - borders[-1])
    return np.array(borders[1:])


def test_symmetry_and_steps_against_a_plain_solution_of_the_whole_board():
    """Both halves alike, nothing bends, and our long steps are as good as thousands of short ones."""
    history = dry(Board(start_mc_pct=80.0), [Step(F(110), F(106), hours=400.0), Step(F(120), F(100), hours=200.0)])
    ours = stress_history(history, dry_bulb_c=50.0).stress_pa[:, 1:]
    whole, bends = naive(history, 50.0, 40)
    assert bends < 1e-12
    assert whole == pytest.approx(whole[:, ::-1], abs=1.0)
    assert np.abs(whole[:, : ours.shape[1]] - ours).max() < 0.2e6
    assert np.abs(whole).max() > 2e6


def test_finer_steps_change_little(scheduled):
    history, found = scheduled
    steps = case.settings(case.State())
    counts = np.linspace(0, len(history.hours) - 1, 20 * (len(history.hours) - 1) + 1)
    fine = np.interp(counts, np.arange(len(history.hours)), history.hours)
    warm = [
        steps[min(np.searchsorted(history.step_end_hours, hour - 1e-9), len(steps) - 1)].dry_bulb_c for hour in fine
    ]
    finer = stress_history(at_hours(history, fine), dry_bulb_c=warm)
    assert np.abs(finer.stress_pa[::20] - found.stress_pa).max() < 0.2e6
    assert finer.check_index.max() == pytest.approx(found.check_index.max(), rel=0.02)


def test_a_batch_is_its_boards():
    steps = case.settings(case.State())
    boards = [Board(start_mc_pct=80.0), Board(start_mc_pct=80.0, thickness_m=0.038)]
    history = dry(boards, steps)
    warm = [step.dry_bulb_c for step in steps]
    batch = stress_history(history, dry_bulb_c=warm)
    for number in range(2):
        names = ("average_pct", "profile_pct")
        alone = dataclasses.replace(history, depth_m=history.depth_m[number],
                                    **{name: getattr(history, name)[:, number] for name in names})  # fmt: skip
        single = stress_history(alone, dry_bulb_c=warm)
        for name in ("stress_pa", "surface_stress_pa", "core_stress_pa", "set_strain", "check_index", "index_depth_m"):
            assert getattr(batch, name)[:, number] == pytest.approx(getattr(single, name), rel=1e-9, abs=1e-9)
        assert batch.reversal_h[number] == pytest.approx(single.reversal_h)
        assert prongs(batch).word[number] == prongs(single).word
        assert prongs(batch).tip_m[number] == pytest.approx(prongs(single).tip_m)


def test_each_board_may_have_its_own_temperature():
    history = dry([Board(start_mc_pct=80.0)] * 2, [Step([F(110), F(120)], [F(106), F(116)], hours=200.0)])
    own = stress_history(history, dry_bulb_c=[[F(110), F(120)]])
    shared = stress_history(history, dry_bulb_c=F(110))
    assert np.array_equal(own.stress_pa[:, 0], shared.stress_pa[:, 0])
    assert not np.array_equal(own.stress_pa[:, 1], shared.stress_pa[:, 1])


def test_nan_stays_in_its_board():
    history = dry([Board(start_mc_pct=80.0)] * 2, [Step(F(110), F(106), hours=100.0)])
    found = stress_history(history, dry_bulb_c=[[F(110), np.nan]])
    assert np.isnan(found.check_index[1:, 1]).all() and np.isfinite(found.check_index[:, 0]).all()
    assert np.isnan(stiffness_pa(np.nan, 40.0)) and np.isnan(strength_pa([12.0, np.nan], 40.0)[1])


# --- prongs ---------------------------------------------------------------------------------------------------------


def with_set(found, left):
    return dataclasses.replace(found, set_strain=np.broadcast_to(left, found.set_strain.shape))


def test_prongs_bend_by_the_slope_of_their_set(scheduled):
    """A set that falls evenly bends a strip to exactly its slope; an even set not at all."""
    _, found = scheduled
    assert prongs(with_set(found, 0.01)).tip_m == pytest.approx(0.0, abs=1e-10)
    quarter = 0.25 * FOUR_QUARTER_M
    for slope, word in ((0.3, "in"), (-0.3, "out"), (0.1, "straight")):
        bent = prongs(with_set(found, -slope * found.depth_m))
        assert bent.tip_m == pytest.approx(0.5 * slope * (6 * units.IN_M) ** 2)
        assert bent.word == word
    deep = np.where(found.depth_m > quarter + 0.5e-3, 0.02, 0.0)
    assert prongs(with_set(found, deep)).tip_m == pytest.approx(0.0, abs=1e-10)  # no prong reaches there


def test_prongs_in_time(scheduled):
    history, found = scheduled
    assert prongs(found, 0.0).word == "straight"
    assert prongs(found, history.hours[-1]) == prongs(found)
    assert prongs(found).word == "in"
    early, late = prongs(found, 100.0).tip_m, prongs(found, 101.0).tip_m
    assert prongs(found, 100.5).tip_m == pytest.approx(0.5 * (early + late), rel=1e-3)


# --- what a drying board does ---------------------------------------------------------------------------------------


def test_surface_pulls_first_then_they_swap(scheduled):
    """Wood Handbook Fig. 13-4 and Yin & Liu (2021): tension outside, reversal in mid-drying, tension inside.

    Ours, 4/4 red oak on T4-D2: the faces leave fiber saturation on the fourth day, for warming up lasts one of them;
    the swap comes on day 24.2 of 33.4, at an average of 22 %, when the middle has come down to fiber saturation. Both
    sources draw it for thick stock without a figure we hold. A known miss: see tests/test_checks.py. No law of set that
    was tried moves it, for the moisture field alone decides it: creep of 22 to 72 h, set by moisture of 0.01 to
    0.06 for each MPa, three times as much in compression (Wu & Milota), and more with heat all swap at 21.6 to 22.5 %.
    """
    history, found = scheduled
    early = (found.hours > 90.0) & (found.hours < 24.0 * 15)
    assert (found.surface_stress_pa[early] > 0).all() and (found.core_stress_pa[early] < 0).all()
    late = found.hours > found.reversal_h + 24.0
    assert (found.surface_stress_pa[late] < 0).all() and (found.core_stress_pa[late] > 0).all()
    assert found.reversal_h / 24.0 == pytest.approx(24.2, abs=0.2)
    assert average_at(history, found.reversal_h) == pytest.approx(22.3, abs=0.3)
    assert np.interp(found.reversal_h, history.hours, history.profile_pct[:, -1]) == pytest.approx(30.0, abs=2.0)
    assert 0.25 < found.reversal_h / found.hours[-1] < 0.85
    assert prongs(found).word == "in"


def test_set_is_what_keeps_the_stress():
    """Evened out to one moisture content, the board is still under stress, by its set alone."""
    history, found = run([*case.settings(case.State()), Step(F(140.0), None, 7.0, 240.0)])
    spread = np.ptp(history.profile_pct[-1])
    assert spread < 0.2
    assert found.surface_stress_pa[-1] < -0.5e6 < 0.3e6 < found.core_stress_pa[-1]
    stiff = stiffness_pa(history.profile_pct[-1], F(140.0))
    fits = found.set_strain[-1] + found.stress_pa[-1] / stiff
    assert np.ptp(fits) < 0.086 / 30.0 * spread + 1e-9


def early_index(name, *wood):
    """Highest check index above 50 % average."""
    history, found = situation(name, *wood)
    return float(found.check_index[history.average_pct >= 50.0].max())


def test_order_of_severity_on_the_tuned_board():
    """Tuned, so no validation. Above 50 %: mild < schedule < too hard; of the whole run: schedule < 1 < the hard ones.

    Of the whole run mild and schedule are only 6 % apart: their highest comes with a change of step near 32 %.
    """
    early = {name: early_index(name) for name in PRESETS}
    assert early["schedule"] > 1.15 * early["mild"] and early["too hard"] > 1.15 * early["schedule"]
    assert early == pytest.approx(
        {"mild": 0.30, "schedule": 0.44, "too hard": 1.44, "too hot late": 0.44, "bad wick": 1.56}, abs=0.01
    )
    worst = {name: peak(situation(name)[1]).index for name in PRESETS}
    assert worst["mild"] < worst["schedule"] < 1.0 < min(worst["too hard"], worst["bad wick"], worst["too hot late"])
    shown = {"mild": 0.86, "schedule": 0.92, "too hard": 1.44, "too hot late": 1.19, "bad wick": 1.56}
    assert worst == pytest.approx(shown, abs=0.01)


def test_where_and_when_it_peaks():
    """Too hard and a bad wick: under the face on the fourth day. On schedule and too hot late: when the step changes.

    Afterwards the middle is nearest to checking. What this model cannot show is that heat makes honeycomb more likely:
    in it the core of the hot board comes out lower (0.24 beside 0.58), for heat also makes wood give way, and the
    collapse of hot wet cells and the deepening of old checks are not in it.
    """
    for name in ("too hard", "bad wick"):
        history, found = situation(name)
        highest = peak(found)
        assert highest.hour < 84.0 and highest.depth_m == 0.0 and average_at(history, highest.hour) > 60.0
    for name, at in (("schedule", 32.6), ("too hot late", 38.3)):
        history, found = situation(name)
        assert average_at(history, peak(found).hour) == pytest.approx(at, abs=1.0)
    after = found.hours > found.reversal_h + 48.0
    assert (found.index_depth_m[after] > 0.4 * FOUR_QUARTER_M).all()  # from there on the middle is nearest to checking
    cores = (found.core_index.max(), situation("schedule")[1].core_index.max())
    assert cores == pytest.approx((0.24, 0.58), abs=0.01)


def test_eight_quarter_is_what_comes_out():
    """Nothing was tuned on 8/4. Above 50 % it keeps the order, and on one schedule it is no milder than 4/4.

    Of the whole run mild and schedule are alike (0.89), their highest comes near 30 %. And its core comes out lower
    than that of 4/4 (0.28 beside 0.58), though thick oak honeycombs more: in 101 days creep has all the time it needs.
    """
    thick = (EIGHT_QUARTER_M, "T3-D1")
    early = {name: early_index(name, *thick) for name in ("mild", "schedule", "too hard")}
    assert early["schedule"] > 1.15 * early["mild"] and early["too hard"] > 1.15 * early["schedule"]
    own = {name: peak(situation(name, *thick)[1]).index for name in ("mild", "schedule", "too hard")}
    assert own == pytest.approx({"mild": 0.89, "schedule": 0.89, "too hard": 1.52}, abs=0.01)
    assert early_index("schedule", EIGHT_QUARTER_M) == pytest.approx(1.03 * early_index("schedule"), rel=0.02)
    cores = [situation("schedule", size)[1].core_index.max() for size in (EIGHT_QUARTER_M, FOUR_QUARTER_M)]
    assert cores == pytest.approx([0.28, 0.58], abs=0.01)


def test_a_fast_start_leaves_more_set_in_mid_drying_and_not_at_the_end():
    """RN-0310 and Tarvainen (2006): faster drying, more casehardening. Ours has it at 38 %; at the end it is gone."""
    ways = []
    for name in ("mild", "schedule", "too hard"):
        history, found = situation(name)
        hour = np.interp(-38.0, -history.average_pct, history.hours)
        ways.append((prongs(found, hour).tip_m, prongs(found).tip_m))
    middle, end = np.array(ways).T
    assert middle[1] > 1.1 * middle[0] and middle[2] > 1.3 * middle[1]
    assert end == pytest.approx(end.mean(), rel=0.15)


def test_conditioning_takes_the_set_away_and_too_long_turns_it():
    """4/4, hot: prongs in, straight after 20 hours (the hours are tuned), out after four days."""
    start, found = finished()
    tips = {hours: prongs(found, start + hours) for hours in (0, 8, 16, 20, 36, 72, 96)}
    assert [tip.word for tip in tips.values()] == ["in", "in", "in", "straight", "straight", "straight", "out"]
    way = [tip.tip_m for tip in tips.values()]
    assert way == sorted(way, reverse=True)


def test_conditioning_eight_quarter_is_what_comes_out():
    """Nothing was tuned on 8/4: straight from about 12 hours on, though the trade gives thick stock twice the hours.

    A known miss: see tests/test_checks.py. Its prongs have less to lose: drying so long, it comes out of equalizing
    with six tenths of the way of 4/4. A fit with three times as much set in compression took 26 hours, on an earlier
    state of the engine, but then no board turned within four days: that law was not kept.
    """
    start, found = finished(thickness_m=EIGHT_QUARTER_M)
    assert [prongs(found, start + hours).word for hours in (0, 8, 16, 36, 96)] == [
        "in",
        "in",
        "straight",
        "straight",
        "out",
    ]
    assert prongs(found, start).tip_m < 0.65 * prongs(finished()[1], finished()[0]).tip_m


def test_conditioning_works_sooner_hot_than_cool():
    """Tarvainen et al. (2006): conditioning works only hot. Ours says slower, not never."""
    tips = []
    for condition_f in (160.0, 110.0):
        start, found = finished(condition_f, 24.0)
        tips.append(prongs(found, start + 24.0).tip_m / prongs(found, start).tip_m)
    assert tips == pytest.approx([0.25, 0.71], abs=0.03)  # share of the way left


def test_storage_at_room_temperature_leaves_the_set():
    """Tarvainen et al. (2006): room storage hardly relaxes it. Ours: a twelfth in 20 days, moisture even."""
    even = [Step(F(140.0), None, 6.0, 240.0), Step(F(70.0), None, 6.0, 960.0)]
    _, found = run([*case.settings(case.State()), *even])
    before, after = (prongs(found, found.hours[-1] - hours) for hours in (480.0, 0.0))
    assert before.word == "in" and after.tip_m / before.tip_m == pytest.approx(0.914, abs=0.02)


def test_quartersawn_is_stressed_less():
    """It shrinks half as much in its width, and is stiffer there: less stress, the same prongs' way."""
    steps = case.settings(case.State())
    history = dry(Board(start_mc_pct=80.0, sawn="quartersawn"), steps)
    warm = [step.dry_bulb_c for step in steps]
    flat = stress_history(history, "red oak", "flatsawn", warm)
    quarter = stress_history(history, "red oak", "quartersawn", warm)
    assert quarter.check_index.max() < flat.check_index.max()
    assert np.ptp(quarter.set_strain[-1]) < np.ptp(flat.set_strain[-1])


# --- stiffness, strength, table -------------------------------------------------------------------------------------


def test_stiffness_and_strength_go_through_their_table():
    assert stiffness_pa(12.0, 20.0) == pytest.approx(1130e6)
    assert stiffness_pa([25.0, 80.0], 20.0) == pytest.approx([840e6, 840e6])
    assert strength_pa(12.0, 20.0) == pytest.approx(800 * across_grain.PSI_PA)
    assert strength_pa(80.0, 50.0) == pytest.approx(0.7 * 750 * across_grain.PSI_PA)
    assert strength_pa(6.0, 50.0) / strength_pa(6.0, 20.0) == pytest.approx(0.9)
    assert stiffness_pa(30.0, 50.0) / stiffness_pa(30.0, 20.0) == pytest.approx(0.62)
    assert strength_pa(12.0, 20.0, "red pine") == pytest.approx(450 * across_grain.PSI_PA)
    mc, warm = np.meshgrid(np.linspace(0.0, 60.0, 61), np.linspace(20.0, 100.0, 51))
    for value in (stiffness_pa(mc, warm), strength_pa(mc, warm)):
        assert (value > 0).all()
        assert (np.diff(value, axis=0) < 0).all()  # falls with warmth
        assert (np.diff(value, axis=1) <= 1e-6).all()  # and with moisture, as Youngs (1957) found


def test_tuned_values_say_so_and_every_coefficient_is_used():
    rows = tables.records("stress_coefficients")
    assert {row["name"] for row in rows if row["how"] == "tuned"} == {
        "set_by_moisture", "set_hours", "set_hours_moisture", "set_hours_heat", "index_one",
    }  # fmt: skip
    assert all(row["source"].startswith("Tuned here") for row in rows if row["how"] == "tuned")
    steps = case.settings(case.State())
    oak, pine = Board(start_mc_pct=80.0), Board("red pine", start_mc_pct=80.0)
    warm = [step.dry_bulb_c for step in steps]
    histories = {wood.species: dry(wood, steps) for wood in (oak, pine)}

    def everything():
        found = [stress_history(history, name, dry_bulb_c=warm) for name, history in histories.items()]
        quarter = stress_history(histories["red oak"], "red oak", "quartersawn", warm)
        return np.array([part.check_index.sum() for part in (*found, quarter)])

    before = everything()
    for row in rows:
        kept = COEFFICIENTS[row["name"]]
        COEFFICIENTS[row["name"]] = 1.05 * kept
        try:
            assert not np.allclose(everything(), before, rtol=1e-6), row["name"]
        finally:
            COEFFICIENTS[row["name"]] = kept


# --- refused in words -----------------------------------------------------------------------------------------------


def refusal(kind, call, *parts):
    with pytest.raises(kind) as caught:
        call()
    text = caught.value.sentence("trade")
    assert isinstance(caught.value, KilnError) and text.endswith(".")
    for part in parts:
        assert part in text, text


def test_bad_input(scheduled, monkeypatch):
    history, found = scheduled
    refusal(BadInput, lambda: stress_history(history, dry_bulb_c=[40.0, 50.0]), "2 temperatures", "one for each step")
    refusal(OutOfRange, lambda: stress_history(history, dry_bulb_c=150.0), "Dry bulb", "302 °F", "212 °F")
    refusal(OutOfRange, lambda: stress_history(history, sawn="rift"), "rift", "flatsawn")
    refusal(NotFound, lambda: stress_history(history, "unobtainium"), "species")
    refusal(OutOfRange, lambda: prongs(found, 1e5), "hour")
    refusal(OutOfRange, lambda: prongs(found, -1.0), "hour")
    refusal(OutOfRange, lambda: stiffness_pa(500.0, 40.0), "Moisture content")
    refusal(OutOfRange, lambda: strength_pa(12.0, -5.0), "temperature")
    batch = dry([Board(start_mc_pct=80.0)] * 3, [Step(45.0, 42.0, hours=50.0)])
    refusal(BadInput, lambda: stress_history(batch, dry_bulb_c=[[40.0, 41.0]]), "dry bulb", "3")
    refusal(BadInput, lambda: peak(stress_history(batch)), "one board at a time")
    bare = dataclasses.replace(stress.species_row("red oak"), tangential_pct=np.nan)
    monkeypatch.setattr(stress, "species_row", lambda name: bare)
    refusal(NotFound, lambda: stress_history(history), "no shrinkage", "oak")
