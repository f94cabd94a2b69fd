"""Lesson 04: the filling sample sheet, choosing boards, and the numbers that stand in the text."""

import itertools
import json
import re
import xml.etree.ElementTree as ET
from pathlib import Path

import ipywidgets
import pytest

from kilnlib.bench.drawings import candidate
from kilnlib.bench.panels import choose_boards, open_panel, samples
from kilnlib.errors import BadInput
from kilnlib.questions import bank
from kilnlib.questions.marking import mark
from kilnlib.units import LB_KG

ROOT = Path(__file__).resolve().parents[2]
LESSON = json.loads((ROOT / "workbooks" / "04_sample_boards.ipynb").read_text(encoding="utf-8"))
TEXT = {cell["id"]: "".join(cell["source"]) for cell in LESSON["cells"]}


@pytest.fixture
def sheet():
    opened = open_panel("samples")
    yield opened
    opened.close()


@pytest.fixture
def stack():
    opened = open_panel("choose_boards")
    yield opened
    opened.close()


def said(view):
    return " ".join(re.sub(r"<[^>]+>", " ", view.saying.value).replace("&nbsp;", " ").split())


# the filling sheet -------------------------------------------------------------------------------------------------


def test_the_panel_has_the_whole_charge():
    assert len(samples.charge().days) == samples.LAST_DAY + 1
    assert len(samples.charge().air) == samples.LAST_DAY + 1


def test_the_slip_day_is_the_only_day_over_the_limit(sheet):
    over = {}
    for day in range(samples.LAST_DAY + 1):
        sheet.set(day=float(day))
        if sheet.result.over:
            over[day] = sheet.result.over
    assert over == {7: ("1", "3", "4", "5", "6")}
    sheet.pick("slip")
    assert "5 of 6 boards over the limit: 1, 3, 4, 5, 6." in said(sheet)
    assert "Vent flap found stuck open" in said(sheet)
    days, points = sheet.artists["now"]["too_fast"].get_data()
    assert set(days) == {7.0} and len(points) == 5 and min(points) > 3.8


@pytest.mark.parametrize(("rule", "reached"), [("wettest", 19), ("average", 18), ("driest", 15)])
def test_three_readings_reach_thirty_percent_on_three_days(sheet, rule, reached):
    sheet.set(day=float(reached - 1), rule=rule)
    assert sheet.result.reached is None
    assert "not yet" in sheet.numbers.value
    for day in (reached, samples.LAST_DAY):
        sheet.set(day=float(day))
        assert sheet.result.reached == reached
        assert f"day {reached}" in sheet.numbers.value


@pytest.mark.parametrize("day", [0, 3, 18, 22, 35])
def test_the_boards_that_count_are_the_wettest_three(sheet, day):
    sheet.set(day=float(day))
    mcs = sheet.result.days[-1].mcs_pct
    wettest = sorted(mcs, key=mcs.get)[:2:-1]
    assert list(sheet.result.counting) == wettest
    assert sheet.result.readings_pct[-1] == pytest.approx(sum(mcs[name] for name in wettest) / 3)
    marked = [line for line in sheet.artists["now"]["board"].get_text().split("\n") if "●" in line]
    assert [line.split()[1] for line in marked] == sorted(wettest)
    listed = [line.split()[-1] for line in sheet.artists["now"]["board"].get_text().split("\n")]
    assert listed == sorted(mcs)  # a board keeps its line from day to day


def test_a_recut_is_not_known_before_its_sections_are_dry(sheet):
    sheet.set(day=21.0)
    before = sheet.result.days[-1].mcs_pct["5"]
    assert before == pytest.approx(100 * (3.064 * (1 + (73.997 + 87.492) / 200) / 4.541 - 1), abs=0.05)
    assert "points too wet" not in said(sheet)
    sheet.set(day=22.0)
    assert "board 5 had read 3.1 points too wet" in said(sheet)
    sections = (59.67 / 50.50 + 69.54 / 58.21 - 2) * 50
    assert sheet.result.days[-2].mcs_pct["5"] == pytest.approx(sections, abs=0.01)
    assert before - sections == pytest.approx(3.1, abs=0.05)
    sheet.set(day=23.0)
    assert "points too wet" not in said(sheet)


def test_first_and_last_days_have_words_of_their_own(sheet):
    sheet.set(day=0.0)
    assert "First weighing" in said(sheet)
    sheet.set(day=35.0)
    assert "No board lost water" in said(sheet)


def test_weights_follow_the_unit_switch(sheet):
    sheet.set(day=9.0)
    names = [line.split()[-1] for line in sheet.artists["now"]["board"].get_text().split("\n")]
    for system, unit in (("trade", "lb"), ("metric", "kg")):
        sheet.switch(system)
        assert sheet.heads["weight"].get_text() == unit
        shown = dict(zip(names, sheet.artists["now"]["weight"].get_text().split("\n"), strict=True))
        weight = 4.074 * (1 if unit == "lb" else LB_KG)
        assert float(shown["3"]) == pytest.approx(weight, abs=0.0006)


# choosing boards ---------------------------------------------------------------------------------------------------


def test_every_four_of_twelve_is_judged_by_the_rule():
    boards = choose_boards.stack()
    assert len(boards) == 12
    right = 0
    for names in itertools.combinations(boards, 4):
        kinds = sorted(boards[name].kind for name in names)
        good = kinds in (["fast", "slow", "slow", "wet"], ["fast", "slow", "wet", "wet"])
        verdict = choose_boards.judge(set(names))
        assert verdict.right == good, names
        assert not good or all(earns for _, earns in verdict.picks), names
        assert not any(earns for board, earns in verdict.picks if board.kind in ("middling", "unfit")), names
        right += good
    assert right == 8
    assert choose_boards.judge(set(choose_boards.one_good_four())).right


@pytest.mark.parametrize(
    ("names", "says"),
    [
        (("1", "9", "3", "4"), "Right."),
        (("1", "3", "4", "5"), "Not every board can give a sample"),
        (("3", "6", "4", "2"), "wettest is missing"),
        (("1", "9", "4", "2"), "slowest is missing"),
        (("1", "9", "3", "6"), "laggards"),
        (("1", "3", "4", "12"), "middling board dries with the crowd"),
        (("1", "3", "4", "10"), "One fast board is enough"),
    ],
)
def test_words_on_the_four_and_on_each_pick(stack, names, says):
    stack.answer(*names)
    assert stack.last_error is None
    assert says in said(stack)
    for name in names:
        assert re.search(rf"[✓✗] Board {name}\. {re.escape(choose_boards.stack()[name].why[:20])}", said(stack))
    assert 'role="status" aria-live="polite"' in stack.saying.value


@pytest.mark.parametrize("names", [(), ("1",), ("1", "3", "4"), ("1", "3", "4", "6", "9")])
def test_another_number_of_boards_is_refused_and_is_no_attempt(stack, names):
    stack.answer(*names)
    assert isinstance(stack.last_error, BadInput)
    assert f"Tick 4 boards. {len(names)} are ticked now." in said(stack)
    assert stack.wrong == 0
    assert {name for name, box in stack.boxes.items() if box.value} == set(names)


def test_after_three_wrong_tries_one_good_four_is_shown_and_starting_over_clears(stack):
    for tries in (1, 2, 3):
        stack.answer("2", "5", "7", "8")
        assert stack.wrong == tries
        assert ("One good four" in said(stack)) == (tries == 3)
    stack.reset()
    assert not any(box.value for box in stack.boxes.values())
    assert said(stack) == ""
    assert stack.wrong == 0


def test_each_box_carries_its_board_and_nothing_is_left_behind():
    registry = ipywidgets.widgets.widget._instances
    start = len(registry)
    opened = open_panel("choose_boards")
    for name, box in opened.boxes.items():
        assert box.description == f"{name}. {choose_boards.stack()[name].looks}"
    opened.answer("1", "3", "4", "6")
    opened.close()
    assert len(registry) == start


def test_the_boards_read_well():
    for board in choose_boards.stack().values():
        for words in (board.looks, board.why):
            assert words.endswith(".")
            assert not re.search(r"\b(simply|just|obviously|certified|compliant|safe to enter)\b", words, re.I)


# numbers in the text -----------------------------------------------------------------------------------------------


def test_the_situation_is_the_sheet_of_day_18(sheet):
    mcs = sorted(sheet.result.days[-1].mcs_pct.values(), reverse=True)
    assert sheet.result.number == 18
    assert " · ".join(f"{mc:.1f}" for mc in mcs) + " %" in TEXT["at-the-kiln"]
    prompt = bank.load("samples-predict").prompt
    assert all(f"{mc:.1f}" in prompt for mc in (*mcs, sum(mcs) / 6))


def test_the_worked_example_and_question_a_are_boards_of_the_sheet():
    boards = {board.name: board for board in samples.charge().boards}
    one = boards["1"]
    for number in (one.sections[0].mc_pct, one.sections[1].mc_pct, one.mean_mc_pct, one.mcs_pct[6], one.mcs_pct[7]):
        assert f"{number:.1f}" in TEXT["worked-example"]
    for weight in (one.weighings[0].weight_kg, one.ovendry_kg[0], one.weighings[7].weight_kg):
        assert f"{weight / LB_KG:.3f} lb" in TEXT["worked-example"]
    assert f"so {one.points_per_day(6, 7):.1f}." in TEXT["worked-example"]
    question = bank.load("samples-a")
    for row, name in zip(question.numbers, ("3", "1", "4"), strict=True):
        answer = question.values(row)["answer"]
        assert answer == pytest.approx(boards[name].mcs_pct[int(row["day"])], abs=0.1)
        assert row["now"] == pytest.approx(boards[name].weighings[int(row["day"])].weight_kg / LB_KG)


def test_the_faulty_sheet_is_light_by_a_tenth_of_a_pound_on_thursday_only():
    rows = re.findall(r"^\| (Tue|Wed|Thu|Fri) \| (.*) \|$", TEXT["find-the-fault"], re.M)
    weights = {day: [float(cell) for cell in cells.split("|")[:4]] for day, cells in rows}
    days = list(weights.values())
    assert list(weights) == ["Tue", "Wed", "Thu", "Fri"]
    for tue, wed, thu, fri in zip(*days, strict=True):
        assert (wed + fri) / 2 - thu == pytest.approx(0.10, abs=0.01)
        assert (wed - fri) / 2 == pytest.approx(tue - wed, abs=0.012)


@pytest.mark.parametrize(
    ("written", "right"),
    [
        ("OD is wrong, wood can't go below the EMC. Lock out, let it cool, helper outside, then recut.", True),
        ("OD is wrong, wood can't go below the EMC. Lock out, let it cool, then recut.", False),
        (
            "The oven-dry weight was bad. Cut two new sections. Lock the kiln out first and follow the procedure.",
            True,
        ),
        ("Oven dry weight is off, so I cut fresh sections after the hot kiln entry steps", False),
        ("It is the driest board, so start equalizing.", False),
        ("The oven-dry weight is wrong, recut it.", False),
        ("Its oven-dry weight is wrong. Lock out, cool, and write 8 %.", False),
    ],
)
def test_reasons_in_other_words(written, right):
    question = bank.load("samples-check-3")
    assert mark(question, question.numbers[0], written).right is right


def pictured(stack):
    """The drawing of each board by its name, from the widgets on the screen."""
    from ipywidgets import HBox

    found, waiting = {}, [stack.view]
    while waiting:
        one = waiting.pop()
        waiting += getattr(one, "children", ())
        if isinstance(one, HBox) and one.children and "<svg" in getattr(one.children[0], "value", ""):
            found[one.children[1].description.split(".")[0]] = ET.fromstring(one.children[0].value)
    return found


def test_each_of_the_twelve_boards_is_drawn_as_it_is_described():
    opened = open_panel("choose_boards")
    drawings = pictured(opened)
    boards = choose_boards.stack()
    assert set(drawings) == set(boards) and len(boards) == 12

    def shapes(name, part):
        return [shape for shape in drawings[name].iter() if shape.get("data-part") == part]

    for name, board in boards.items():
        (face,), (end,) = shapes(name, "face"), shapes(name, "end")
        looks = board.picture
        assert float(face.get("width")) == pytest.approx(candidate.FOOT_PX * looks.length_ft, abs=0.1)
        assert float(face.get("height")) == pytest.approx(candidate.WIDE_PX * looks.width_in, abs=0.1)
        assert float(end.get("width")) == pytest.approx(candidate.THICK_PX * looks.thickness_in, abs=0.1)
        sap = sum(float(shape.get("height")) for shape in shapes(name, "sap"))
        assert sap == pytest.approx(looks.sap_share * float(face.get("height")), abs=0.1)
        assert bool(shapes(name, "ray")) == ("ray flecks" in board.looks)
        assert bool(shapes(name, "knot")) == ("knot" in board.looks)
        assert bool(shapes(name, "bark")) == ("bark along" in board.looks)
        assert (face.get("fill") == candidate.DRY) == ("air-dried" in board.looks)
        assert ("sap" in board.looks) == bool(sap)
        for shape in drawings[name].iter("rect"):
            assert float(shape.get("x")) >= 0 and float(shape.get("y")) >= 0
            assert float(shape.get("x")) + float(shape.get("width")) <= candidate.WIDTH
    assert {name for name in boards if len(shapes(name, "drop")) >= 2} == {"1", "9"}
    opened.close()
