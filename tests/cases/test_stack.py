"""The kiln that stack panel, presenter and questions share: its chamber stays, its numbers are the network’s.

And the stack panel where it differs from the others: when its prediction is told, and where its labels stand.
"""

import json
import re
from dataclasses import fields, replace
from pathlib import Path

import oracles
import pytest

from kilnlib.bench.drawings.stack_places import spaces
from kilnlib.bench.panels import open_panel
from kilnlib.cases import stack as case
from kilnlib.physics import air
from kilnlib.physics.airflow import Fan, Gaps, Stack, course_days, solve
from kilnlib.questions.calls import airflow as calculators
from kilnlib.units import FT_M, IN_M

FPM = FT_M / 60
BOOKS = Path(__file__).parents[2]
LESSON, KEY = "workbooks/05_through_the_stack.ipynb", "answers/05_through_the_stack_key.ipynb"
WORKSHOP = "answers/present_through_the_stack_key.ipynb"
STAGES = {"80 to 60 %": (None, 60), "60 to 40 %": (60, 40), "40 to 12 %": (40, 12), "all": (None, 12)}
ROWS = {
    "well baffled": {},
    "above open": {"above": True},
    "ends open": {"ends": True},
    "under open": {"under": True},
    "all three": {"above": True, "ends": True, "under": True},
    "short load, nothing above": {"load": "short", "above": True},
    "mixed stickers": {"load": "mixed"},
}


@pytest.fixture
def panel():
    opened = open_panel("stack")
    yield opened
    assert opened.last_error is None
    opened.close()


@pytest.mark.parametrize("load", case.LOADS)
@pytest.mark.parametrize("sticker_in", [0.5, 0.75, 1.0])
def test_the_chamber_stays_as_it_is(load, sticker_in):
    result = case.work_out(case.State(load, sticker_in * IN_M))
    height = result.gaps.under_m + result.stack.height_m + result.gaps.above_m
    assert height == pytest.approx(97.75 * IN_M, rel=1e-12)
    assert result.stack.width_m + 2 * result.stack.plenum_width_m == pytest.approx(14 * FT_M, rel=1e-12)
    assert result.gaps.above_m > 0


def test_the_full_baffled_load_is_tamarack_ford():
    result = case.work_out(case.State())
    for ours, default in ((result.stack, Stack()), (result.gaps, Gaps())):
        for field in fields(default):
            assert getattr(ours, field.name) == pytest.approx(getattr(default, field.name), rel=1e-12), field.name
    flow = solve(Stack(), Gaps(), Fan(), case.AIR_C, case.AIR_RH_PCT)
    assert result.flow.sticker_speed_ms == pytest.approx(flow.sticker_speed_ms, rel=1e-9)
    assert flow.sticker_speed_ms == pytest.approx(300 * FPM, rel=0.01)


@pytest.mark.parametrize("load", case.LOADS)
def test_each_gap_opened_takes_air_from_the_wood(load):
    shut = case.work_out(case.State(load))
    for gap in case.GAPS:
        opened = case.work_out(replace(shut.state, **{gap: True}))
        assert opened.state.open_gaps == (gap,)
        assert opened.flow.bypass_pct > shut.flow.bypass_pct
        assert opened.flow.sticker_speed_ms < shut.flow.sticker_speed_ms
        assert opened.share_pct(gap) > shut.share_pct(gap)
        assert opened.worst_days > shut.worst_days
        assert opened.temperature_drop_c > shut.temperature_drop_c
        shares = sum(opened.share_pct(name) for name in ("stack", "above", "under", "ends", "short"))
        assert shares == pytest.approx(100.0, rel=1e-9)


def test_the_worse_served_course_takes_longer_where_stickers_are_mixed():
    mixed, even = (case.work_out(case.State(load)) for load in ("mixed", "full"))
    assert mixed.worst_days - mixed.best_days > 3 * (even.worst_days - even.best_days)
    assert sorted(set(mixed.stack.stickers_m)) == pytest.approx([0.375 * IN_M, 0.75 * IN_M])


def test_days_and_drop_are_those_of_the_courses():
    """An even load: what the table of the example says at its mean speed."""
    result = case.work_out(case.State())
    place = (result.flow.sticker_speed_ms, 0.75 * IN_M, result.stack.width_m)
    assert result.best_days < course_days.drying_lag([place[0]], [place[1]], place[2]).worst_days < result.worst_days
    assert result.temperature_drop_c == pytest.approx(course_days.wet_drop_c(*place), rel=0.01)


def test_starved_courses_are_told_in_words(panel):
    """Every gap open at half fan speed under an overfull load: some courses all but stand still."""
    panel.set(load="overfull", sticker_thickness_m=0.5 * IN_M, fan_speed_pct=50.0, above=True, ends=True, under=True)
    assert panel.result.worst_days > 60.0
    assert panel.readout(panel.result, "trade")[-1][1] == "over 60"
    assert (
        panel.result.temperature_drop_c <= case.AIR_C - air.wet_bulb_c(case.AIR_C, case.AIR_RH_PCT) + 0.01
    )  # four digits in the table


def test_questions_ask_the_same_kiln():
    result = case.work_out(case.State("short", 0.875 * IN_M, above=True))
    assert calculators.kiln_misses(above=1, sticker_in=0.875, load="short") == result.flow.bypass_pct
    assert calculators.kiln_fpm(above=1, sticker_in=0.875, load="short") * FPM == pytest.approx(
        result.flow.sticker_speed_ms, rel=1e-12
    )


def test_the_prediction_is_told_when_the_gap_it_asks_about_is_open_and_no_other():
    panel = open_panel("stack", predict="stack-predict")
    told = lambda: panel.prediction.card.feedback.value  # noqa: E731
    panel.prediction.answer("B")
    assert "turn on Open above" in told()
    panel.set(ends=True)
    panel.set(above=True)
    panel.set(ends=False, above=False, fan_speed_pct=150.0)
    assert "turn on Open above" in told()
    assert "It came out otherwise" not in told()
    panel.reset()
    panel.panel_controls.switches["above"].value = True
    assert "It came out otherwise" in told()
    assert "turn on Open above" not in told()
    panel.set(under=True)
    assert "It came out otherwise" in told()
    panel.close()


def test_a_situation_tells_the_prediction_too():
    panel = open_panel("stack", predict="stack-predict")
    panel.prediction.answer("D")
    panel.pick("above")
    assert "One wide gap drags" in panel.prediction.card.feedback.value
    panel.close()


@pytest.mark.parametrize("changes", [{}, {"load": "mixed"}, {"load": "overfull"}, {"load": "short", "above": True}])
def test_slowest_and_fastest_stand_at_such_a_course(panel, changes):
    """A label's line lies within its own height of a course with that speed, or at the edge of the stack."""
    panel.set(**changes)
    result, size = panel.result, 16
    heights = [height for height, _, _ in spaces(result)]
    for word, extreme in (("fastest", max), (r"slowest|▸ each third", min)):
        y = float(re.search(rf'<text x="[\d.]+" y="([\d.]+)"[^>]*>(?:{word})', panel.picture.value)[1]) - 0.35 * size
        speeds = result.flow.course_speed_ms
        near = min(range(len(speeds)), key=lambda i: abs(speeds[i] - extreme(speeds)))
        assert abs(heights[near] - y) <= 1.3 * size


def test_each_course_on_thin_stickers_has_its_arrow(panel):
    arrows = lambda: panel.picture.value.count('<path d="M-4.0')  # noqa: E731
    assert arrows() == 0
    panel.pick("mixed")
    assert arrows() == 42 // 3
    assert "boards beside it get less air" in panel.saying.value


def test_days_keep_the_order_of_the_speeds(panel):
    """The tenths are shown so that no row looks worse than one that is slower."""
    shown = []
    for changes in list(ROWS.values())[:6]:
        panel.reset()
        panel.set(**changes)
        best, worst = (float(days) for days in panel._days(panel.result).split(" to "))
        assert best <= worst
        shown.append((panel.result.flow.sticker_speed_ms, best, worst))
    shown.sort(reverse=True)
    assert [best for _, best, _ in shown] == sorted(best for _, best, _ in shown)
    assert [worst for *_, worst in shown] == sorted(worst for *_, worst in shown)


def cell_text(book, name):
    cells = json.loads((BOOKS / book).read_text(encoding="utf-8"))["cells"]
    return "".join(next(cell for cell in cells if cell["id"] == name)["source"])


def entries(words, row):
    return [part.strip() for part in re.search(rf"^\| {row} \|(.*)\|$", words, re.M)[1].split("|")]


@pytest.mark.parametrize("row", ROWS)
def test_the_key_has_the_panels_numbers(panel, row):
    found = entries(cell_text(KEY, "look-answers"), row)
    panel.set(**ROWS[row])
    misses, speed, _, days = dict(panel.readout(panel.result, "trade")).values()
    assert found[0] == misses
    assert found[1].split(",")[0] == speed
    assert found[2] == days


@pytest.mark.parametrize("stage", STAGES)
def test_the_key_says_where_the_days_go(stage):
    shut, opened = (case.work_out(case.State(above=above)).load_days for above in (False, True))
    start, end = STAGES[stage]
    took = [days[end] - (days[start] if start else 0.0) for days in (shut, opened)]
    longer = 100 * (took[1] / took[0] - 1)
    found = entries(cell_text(KEY, "look-answers"), stage)
    assert found == [*(f"{days:.2f}" for days in took), f"{took[1] - took[0]:.2f}", f"{longer:.0f} %"]


@pytest.mark.parametrize(("book", "name"), [(LESSON, "explain"), (KEY, "look-answers"), (WORKSHOP, "screen-1")])
def test_lesson_and_keys_say_what_the_gap_above_costs(book, name):
    """The days of the last boards, how much longer the load takes down to 60 %, and that nobody measured it."""
    words = cell_text(book, name)
    shut, opened = (case.work_out(case.State(above=above)) for above in (False, True))
    assert opened.worst_days - shut.worst_days < 1 and "under a day" in words.lower()
    assert f"{opened.worst_days:.1f}" in words and f"{shut.worst_days:.1f}" in words
    assert f"{100 * (opened.load_days[60] / shut.load_days[60] - 1):.0f} % longer" in words
    assert "nobody measured" in words
    if book != WORKSHOP:
        drops = [f"{result.temperature_drop_c * 1.8:.1f}" for result in (shut, opened)]
        assert f"{drops[0]} °F" in words and drops[1] in words


@pytest.mark.parametrize("change", [{"load": "mixed"}, {"fan_speed_pct": 50.0}, {"fan_speed_pct": 150.0}])
def test_the_key_answers_the_rest_of_look(change):
    words, result = cell_text(KEY, "look-answers"), case.work_out(case.State(**change))
    if "load" in change:
        behind, lag = result.worst_mc_pct, result.worst_days - result.best_days
        assert f"it still stands at {behind:.1f} %, and takes {lag:.1f} days longer" in words
    else:
        assert f"{result.worst_days:.1f}" in words


@pytest.mark.parametrize(
    ("book", "name"), [(LESSON, "against-the-handbook"), (KEY, "handbook"), (WORKSHOP, "handbook")]
)
def test_the_rows_on_air_speed_that_differ_from_print_are_told(book, name):
    """They stand in tests/data/known_disagreements.csv, with the reason."""
    words = cell_text(book, name)
    differing = [row for row in oracles.rows("known_disagreements") if row["call"].startswith("speed_gain")]
    assert {row["id"] for row in differing} == {"AS-30", "AS-40"}
    assert all(row["ours"] in words for row in differing)
    assert f"{calculators.speed_gain(80, 600, 200):.2f}" in words


@pytest.mark.parametrize("change", [{}, {"above": True}, {"above": True, "ends": True, "under": True}])
def test_the_weight_of_cool_air_takes_from_the_foot(change):
    """It lowers the speed at the foot, raises it at the top, and one round more changes no speed by 0.1 %."""
    plain, weighed = (case.work_out(case.State(**change), counted) for counted in (False, True))
    assert weighed.flow.course_speed_ms[0] < plain.flow.course_speed_ms[0]
    assert weighed.flow.course_speed_ms[-1] > plain.flow.course_speed_ms[-1]
    stack, gaps, flow = weighed.stack, weighed.gaps, weighed.flow
    beside = flow.total_flow_m3s - flow.opening("above").flow_m3s
    cooler = weighed.temperature_drop_c * flow.stack_flow_m3s / beside
    again = solve(stack, gaps, Fan(), case.AIR_C, case.AIR_RH_PCT, return_cooler_c=cooler)
    assert again.course_speed_ms == pytest.approx(flow.course_speed_ms, rel=1e-3)
