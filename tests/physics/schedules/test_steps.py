"""Schedules: every code, every step, published settings, the index, kilns that cannot reach a step."""

import csv
import functools
import itertools
import math
from dataclasses import replace
from importlib import resources

import numpy as np
import pytest

from kilnlib import tables, units
from kilnlib.errors import BadInput, NotFound, OutOfRange
from kilnlib.physics import air, schedules
from kilnlib.physics.air import emc
from kilnlib.physics.schedules import changes as schedule_changes
from kilnlib.physics.schedules import limits
from kilnlib.physics.wood import species, species_names
from kilnlib.store.kiln import ThisKiln

F = units.f_to_c
CODES = [f"T{t}-{c}{d}" for t, c, d in itertools.product(range(1, 15), "ABCDEF", range(1, 9))]
TAMARACK = ThisKiln()


@functools.cache
def printed(name):
    """Rows of a table, read without the library's reader."""
    with resources.files(tables).joinpath(f"{name}.csv").open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


@functools.cache
def looked_up(code, mc):
    """Dry bulb and depression by hand: the last row of each column whose start has been reached."""
    t, c, d = code.split("-")[0], code[-2], code[-1]
    reached = lambda row: row["from_mc_pct"] == "" or mc <= float(row["from_mc_pct"])  # noqa: E731
    dry = [row["dry_bulb_f"] for row in printed("schedule_temperature") if row["schedule"] == t and reached(row)][-1]
    step = [row["step"] for row in printed("schedule_mc_class") if row["mc_class"] == c and reached(row)][-1]
    gap = next(r["depression_f"] for r in printed("schedule_depression") if r["schedule"] == d and r["step"] == step)
    return float(dry), float(gap)


# every code ---------------------------------------------------------------------------------------------------------


def test_all_672_codes_make_a_ladder():
    assert len(CODES) == 14 * 6 * 8
    as_dry_steps = 0
    for code, floor in itertools.product(CODES, (None, 90.0)):
        steps = schedules.ladder(code, floor)
        assert steps[0].mc_below_pct is None and steps[-1].mc_above_pct == 0.0
        for old, new in itertools.pairwise(steps):
            assert new.mc_above_pct < old.mc_above_pct == new.mc_below_pct
            assert new.dry_bulb_f >= old.dry_bulb_f and new.depression_f >= old.depression_f
            assert (new.dry_bulb_f, new.depression_f) != (old.dry_bulb_f, old.depression_f)
        for step in steps:
            assert step.wet_bulb_f == step.dry_bulb_f - step.depression_f
            assert floor is None or step.wet_bulb_f >= floor
            lowest = units.c_to_f(air.wet_bulb_c(F(step.dry_bulb_f), 0.0))
            assert step.as_dry_as_it_goes == (step.wet_bulb_f < lowest - 1e-6)
            as_dry_steps += step.as_dry_as_it_goes
    assert as_dry_steps > 50
    assert schedules.ladder("T1-B8")[2].as_dry_as_it_goes  # 105 less 50


def test_heat_never_comes_before_30_percent():
    """FOR-128 p. 48, retrieved: keep the temperature low until the wettest samples average 30 %."""
    for number in range(1, 15):
        steps = schedules.ladder(f"T{number}-F5")
        assert {step.dry_bulb_f for step in steps if step.mc_above_pct >= 30} == {steps[0].dry_bulb_f}
        assert next(step.dry_bulb_f for step in steps if step.mc_below_pct == 30) > steps[0].dry_bulb_f


@pytest.mark.parametrize("code", ["T4-D2", "T8-C3", "T6-D4", "T1-A1", "T14-F8", "T12-E7", "T2-C1"])
def test_every_half_percent_as_looked_up_by_hand(code):
    mcs = np.arange(0.0, 160.5, 0.5)
    found = schedules.setpoint(code, mcs)
    by_hand = np.array([looked_up(code, mc) for mc in mcs])
    assert units.c_to_f(found.dry_bulb_c) == pytest.approx(by_hand[:, 0])
    assert found.depression_c * 1.8 == pytest.approx(by_hand[:, 1])
    assert found.wet_bulb_c == pytest.approx(found.dry_bulb_c - found.depression_c)
    one = schedules.setpoint(code, 33.0)
    assert (one.step, one.dry_bulb_c) == (found.step[66], found.dry_bulb_c[66])
    assert isinstance(one.step, int) and isinstance(one.as_dry_as_it_goes, bool)


def test_on_a_change_point_the_drier_step_counts():
    assert [schedules.setpoint("T4-D2", mc).step for mc in (50.1, 50, 49.9, 15, 0)] == [1, 2, 2, 8, 8]


def test_table_of_a_ladder():
    table = schedules.assemble("T4-D2")
    assert list(table.columns) == ["mc_above_pct", "dry_bulb_f", "depression_f", "wet_bulb_f", "as_dry_as_it_goes"]
    assert table.to_numpy()[:, :4].tolist() == [
        [50, 110, 4, 106], [40, 110, 5, 105], [35, 110, 8, 102], [30, 110, 14, 96],
        [25, 120, 30, 90], [20, 130, 50, 80], [15, 140, 50, 90], [0, 180, 50, 130],
    ]  # fmt: skip
    modified = schedules.assemble("T4-D2", 90)
    assert modified["wet_bulb_f"].min() == 90 and modified["depression_f"][5] == 40


def test_unreadable_in_unreadable_out():
    found = schedules.setpoint("T4-D2", [60.0, np.nan])
    assert found.step[0] == 1 and np.isnan([found.step[1], found.dry_bulb_c[1], found.wet_bulb_c[1]]).all()
    alone = schedules.setpoint("T4-D2", math.nan)
    assert math.isnan(alone.step) and math.isnan(alone.dry_bulb_c) and alone.as_dry_as_it_goes is False


# published ----------------------------------------------------------------------------------------------------------


def test_oregon_white_oak():
    """Espenas & Kozlik (1975), OSU Research Paper 27, retrieved: 110/4 °F to 40 %, 110/6 to 30 %, 4/4."""
    code = schedules.code_for("white oak", "4/4").code
    for mc in (80, 60, 45, 40.1):
        step = schedules.ladder(code)[schedules.step_at(schedules.ladder(code), mc)]
        assert (step.dry_bulb_f, step.depression_f) == (110, 4)
    # below 40 % the two part by 1 and 2 °F: ours has 5, then 8 (tests/data/known_disagreements.csv)
    assert [schedules.setpoint(code, mc).depression_c * 1.8 for mc in (38, 35, 31)] == pytest.approx([5, 8, 8])
    assert schedules.setpoint(code, 31).dry_bulb_c == pytest.approx(F(110))


def test_yellow_birch_and_squares():
    """FPL-GTR-57 (1988) p. 9, retrieved: 12/4 lumber T3-B2, 3 x 3 in squares T3-B3 by the rule for squares."""
    lumber = schedules.code_for("yellow birch", "12/4")
    squares = schedules.code_for("yellow birch", "3 x 3 in. squares")
    assert (lumber.code, lumber.how) == ("T3-B2", "retrieved")
    assert (squares.code, squares.thickness) == ("T3-B3", "3x3") and "one depression number" in squares.note
    assert schedules.code_for("hard maple", "2x2").code == "T5-C3"


def test_codes_of_the_index_work_between_100_and_180():
    """FPL-GTR-57 p. 9, retrieved: hardwood kilns of that manual work at 100 to 180 °F."""
    codes = {row["code"] for row in printed("species_schedules")} - {""}
    temperatures = {step.dry_bulb_f for code in codes for step in schedules.ladder(code)}
    assert (min(temperatures), max(temperatures)) == (100, 180)


def test_red_oak_and_its_second_opinion():
    found = schedules.code_for("red oak", "4/4")
    assert (found.code, found.species, found.how, found.confidence) == ("T4-D2", "oak, red, upland", "memory", "high")
    (other,) = found.also
    assert (other.code, other.how, other.source) == ("T3-D2", "retrieved", "Wengert, Hardwood Lumber Kiln Schedules")
    assert schedules.code_for("Oak, red (general)", "4/4") == found
    ours, theirs = schedules.ladder(found.code), schedules.ladder(other.code)
    assert [a == b for a, b in zip(ours, theirs, strict=True)] == [True] * 7 + [False]
    assert (ours[-1].dry_bulb_f, theirs[-1].dry_bulb_f) == (180, 160)
    assert schedules.code_for("red oak", "8/4").also == ()


def test_another_assembly_by_hand_agrees():
    """tables/drying_time_settings.csv was put together apart from this: two memories, one result."""
    compared = 0
    for row in printed("drying_time_settings"):
        if row["settings"] in CODES:
            steps = schedules.ladder(row["settings"])
            above = float(row["until_pct"] or 0)
            step = steps[schedules.step_at(steps, above + 0.1)]
            assert (step.dry_bulb_f, step.depression_f) == (float(row["dry_bulb_f"]), float(row["depression_f"])), row
            compared += 1
    assert compared > 100


CLASS_TOP = dict(zip("ABCDEF", (40, 60, 80, 100, 120, math.inf), strict=True))


def test_class_letters_fit_green_moisture_contents():
    """Class by green MC: each letter's range meets heartwood to sapwood of Wood Handbook Table 4-1, *retrieved*.

    Two do not fit: sycamore, listed D at 114 to 130 %, and wet-streak cottonwood, a special stock, listed D beside
    cottonwood's 146 to 162 %.
    """
    apart, compared, seen = set(), 0, set()
    for key in [*species_names("schedule"), "cottonwood, wet streak"]:
        listed = schedules.code_for(key, "4/4").code
        try:
            wood = species("cottonwood" if key == "cottonwood, wet streak" else key)
        except NotFound:
            continue
        green = [mc for mc in (wood.green_heartwood_pct, wood.green_sapwood_pct) if mc == mc]
        if not green or key in seen:
            continue
        seen.add(key)
        compared += 1
        letter = listed[-2]
        low = 0 if letter == "A" else CLASS_TOP[chr(ord(letter) - 1)]
        if min(green) > CLASS_TOP[letter] or max(green) < low:
            apart.add(key)
    assert compared >= 21
    assert apart == {"sycamore", "cottonwood, wet streak"}


# the index ----------------------------------------------------------------------------------------------------------


def test_every_row_of_the_index_joins_and_is_a_code():
    joined = {}
    for key in species_names("schedule"):
        for size in schedules.thicknesses_for(key):
            found = schedules.code_for(key, size)
            assert schedules.shift(found.code) == found.code
            assert found.confidence in ("high", "medium") and found.how in ("memory", "retrieved") and found.source
            joined.setdefault(size, set()).add(key)
    rows = [row for row in printed("species_schedules") if row["code"] and row["role"] == "listed"]
    names = {row["schedule"]: row["key"] for row in printed("species_names")}
    assert {row["species"] for row in rows} <= set(names)
    assert {"4/4", "5/4", "6/4", "8/4", "12/4"} == set(joined)


def test_thick_stock_is_never_harder_than_thin():
    for key in species_names("schedule"):
        sizes = [size for size in ("4/4", "6/4", "8/4") if size in schedules.thicknesses_for(key)]
        codes = [schedules.understand(schedules.code_for(key, size).code) for size in sizes]
        for thin, thick in itertools.pairwise(codes):
            assert thick.temperature <= thin.temperature and thick.depression <= thin.depression, key


@pytest.mark.parametrize(
    ("name", "size", "says"),
    [
        ("white pine", "4/4", "There is no schedule here for pine, eastern white, a softwood"),
        ("loblolly pine", "8/4", "none is guessed"),
        ("sassafras", "4/4", "has no schedule for sassafras"),
        ("overcup oak", "8/4", "air dry it to 20 % first (from memory)"),
        ("red oak", "7/4", "at 7/4. It has 4/4, 5/4, 6/4, 8/4."),
        ("red oak", "3x3", "at 3x3. It has 4/4"),
        (
            "red oak",
            "thick",
            "“thick” is not a thickness the index knows. Write it in quarters of an inch, such as 4/4",
        ),
        ("teak", "4/4", "“teak” is not in the species table"),
    ],
)
def test_no_schedule_is_a_sentence(name, size, says):
    with pytest.raises((NotFound, BadInput)) as caught:
        schedules.code_for(name, size)
    assert says in caught.value.sentence()


# codes --------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("written", ["T4-D2", "t4-d2", "T4D2", " t4 d2 ", "T4–D2"])
def test_a_code_as_people_write_it(written):
    assert schedules.understand(written) == schedules.Code(4, "D", 2)
    assert schedules.setpoint(written, 33).code == "T4-D2"


@pytest.mark.parametrize("written", ["T15-D2", "T0-D2", "T4-G2", "T4-D9", "T4-D0", "T4-DS2", "D2", "", "T4", None, 42])
def test_no_code_is_a_sentence(written):
    for call in (schedules.ladder, schedules.understand, schedules.shift, lambda code: schedules.setpoint(code, 30)):
        with pytest.raises(BadInput) as caught:
            call(written)
        assert "Write T and 1 to 14, a letter A to F and a number 1 to 8" in caught.value.sentence()


def test_shifts():
    assert schedules.shift("T4-D2", depression=1) == "T4-D3"
    assert schedules.shift("T4-D2", temperature=-1) == "T3-D2"
    for changes, says in (
        ({"temperature": -4}, "from 1 to 14"),
        ({"depression": 7}, "depression number 9: those run from 1 to 8"),
    ):
        with pytest.raises(OutOfRange) as caught:
            schedules.shift("T4-D2", **changes)
        assert says in caught.value.sentence()
    for code in CODES[::7]:
        old = schedules.understand(code)
        if old.depression < 8:
            for mc in (90, 55, 42, 33, 27, 22, 17, 8):
                harder = schedules.setpoint(schedules.shift(code, depression=1), mc)
                assert harder.depression_c >= schedules.setpoint(code, mc).depression_c
        if old.temperature > 1:
            cooler = schedules.ladder(schedules.shift(code, temperature=-1))
            assert cooler[0].dry_bulb_f <= schedules.ladder(code)[0].dry_bulb_f


@pytest.mark.parametrize(
    ("call", "says"),
    [
        (lambda: schedules.setpoint("T4-D2", -1), "Moisture content -1.0 % is outside 0.0 % to 400.0 %"),
        (lambda: schedules.setpoint("T4-D2", [30, math.inf]), "must be an ordinary number"),
        (lambda: schedules.ladder("T1-A1", 100), "leaves no depression at a dry bulb of 100 °F"),
        (lambda: schedules.ladder("T1-A1", math.nan), "must be an ordinary number"),
        (lambda: limits.reach(F(110), F(112), TAMARACK), "is above dry bulb"),
        (lambda: schedule_changes.changes("T4-D2", None, 120.0), "outside 0.0 % to 100.0 %"),
    ],
)
def test_bad_input_is_a_sentence(call, says):
    with pytest.raises((BadInput, OutOfRange)) as caught:
        call()
    assert says in caught.value.sentence()


# starts, changes ---------------------------------------------------------------------------------------------


def dials_at(mc, *arguments):
    change = next(change for change in schedule_changes.changes(*arguments) if change.mc_pct == mc)
    return [(dial.dry_bulb_f, dial.depression_f, dial.stopped) for dial in change.dials]


def same_emc(dry_f, step):
    """The wet bulb [°C] at which a dry bulb has the EMC of a step; a step that no air has is left to the driest air."""
    rh = air.rh_called_for_pct(F(step[0]), F(step[0] - step[1]))
    return air.wet_bulb_c(F(dry_f), emc.rh_pct_for_emc(F(dry_f), emc.emc_pct(F(step[0]), rh)))


def test_two_changes_at_one_point_come_one_after_the_other():
    stopped = 0
    for code in CODES:
        for change in schedule_changes.changes(code):
            before = looked_up(code, change.mc_pct + 0.01)
            after = looked_up(code, change.mc_pct)
            *first, last = change.dials
            assert (last.dry_bulb_f, last.depression_f, last.stopped) == (*after, "")
            if not first:
                # one knob alone, or the gap cannot open at the old dry bulb: it is as dry as it goes, or as the step
                driest = max(air.wet_bulb_c(F(before[0]), 25.0), same_emc(before[0], after))
                assert before[0] == after[0] or before[1] == after[1] or F(before[0] - before[1] - 1) < driest
                continue
            (dial,) = first
            assert before[0] < after[0] and before[1] < after[1] and dial.dry_bulb_f == before[0]
            assert before[1] < dial.depression_f <= after[1]
            assert air.rh_pct(F(dial.dry_bulb_f), F(dial.wet_bulb_f)) >= 25.0
            assert F(dial.wet_bulb_f) >= same_emc(before[0], after) - 1.0 / 1.8  # no drier than the step it leads to
            assert (dial.depression_f < after[1]) == (dial.stopped in ("driest_rh", "emc"))
            stopped += dial.stopped != ""
    assert stopped > 20


def test_the_gap_alone_never_goes_below_the_floor_or_the_driest_air():
    """T4-D2 at 25 %: the whole gap before the heat would be 120 over 70 °F, near 6 % RH."""
    assert dials_at(30, "T4-D2") == [(110, 28, "emc"), (120, 30, "")]
    assert dials_at(25, "T4-D2") == [(120, 34, "driest_rh"), (130, 50, "")]
    assert dials_at(25, "T4-D2", None, 15.0) == [(120, 42, "driest_rh"), (130, 50, "")]
    assert dials_at(30, "T4-D2", 90) == [(110, 20, "floor"), (120, 30, "")]
    assert dials_at(25, "T4-D2", 90) == [(130, 40, "")]  # at the floor already: only the heat moves
    floors = [
        dial.wet_bulb_f for code in CODES for change in schedule_changes.changes(code, 90) for dial in change.dials
    ]
    assert min(floors) == 90


# what a kiln cannot reach -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    "kiln",
    [
        TAMARACK,
        replace(TAMARACK, altitude_m=0.0, coil_wet_bulb_limit_c=F(105), driest_rh_pct=40.0),
        replace(TAMARACK, top_dry_bulb_c=F(115), coil_wet_bulb_limit_c=F(110), altitude_m=2500.0),
        replace(TAMARACK, top_dry_bulb_c=F(212), coil_wet_bulb_limit_c=F(60), driest_rh_pct=5.0),
    ],
    ids=["Tamarack Ford", "weak coil", "cool", "odd"],
)
def test_what_is_set_instead_keeps_every_limit(kiln):
    pressure = air.pressure_pa(kiln.altitude_m)
    met = set()
    for code in CODES[::17]:
        for step in schedules.ladder(code):
            found = limits.reach(F(step.dry_bulb_f), F(step.wet_bulb_f), kiln)
            met |= set(found.limits)
            for one in (found.same_rh, found.same_emc):
                assert one.dry_bulb_c <= min(kiln.top_dry_bulb_c, found.called_for.dry_bulb_c) + 1e-6
                assert one.wet_bulb_c <= kiln.coil_wet_bulb_limit_c + 1e-4
                assert one.rh_pct >= kiln.driest_rh_pct - 1e-6
                assert air.wet_bulb_c(one.dry_bulb_c, one.rh_pct, pressure) == pytest.approx(one.wet_bulb_c)
                assert one.emc_pct == pytest.approx(emc.emc_pct(one.dry_bulb_c, one.rh_pct))
            if "driest_rh" not in found.limits:
                assert found.same_rh.rh_pct == pytest.approx(found.called_for.rh_pct)
                assert found.same_emc.emc_pct <= found.same_rh.emc_pct + 1e-6
                if found.same_emc.rh_pct > kiln.driest_rh_pct + 1e-6:
                    assert found.same_emc.emc_pct == pytest.approx(found.called_for.emc_pct, abs=1e-6)
            if not found.limits:
                assert (
                    found.same_rh.dry_bulb_c == pytest.approx(found.same_emc.dry_bulb_c) == found.called_for.dry_bulb_c
                )
                assert found.same_rh.wet_bulb_c == pytest.approx(F(step.wet_bulb_f), abs=1e-3)
    assert met


def test_hard_maple_in_the_kiln_at_tamarack_ford():
    found = limits.reach(F(130), F(125), TAMARACK)
    assert found.limits == ("coil_wet_bulb",)
    assert units.c_to_f(found.same_rh.dry_bulb_c) == pytest.approx(124.8, abs=0.1)
    assert units.c_to_f(found.same_rh.wet_bulb_c) == pytest.approx(120.0, abs=0.01)
    assert found.same_rh.emc_pct > found.called_for.emc_pct
    # one step warmer at that RH and the coil would see too much
    above = air.wet_bulb_c(found.same_rh.dry_bulb_c + 0.1, found.same_rh.rh_pct, air.pressure_pa(TAMARACK.altitude_m))
    assert above > TAMARACK.coil_wet_bulb_limit_c
    assert limits.reach(F(110), F(106), TAMARACK).limits == ()
    dry = limits.reach(F(100), F(50), TAMARACK)  # no such air
    assert (dry.called_for.rh_pct, dry.limits) == (0.0, ("driest_rh",)) and dry.same_rh.rh_pct == 25
