"""The four mornings: right is what the daily decision says, what would follow is computed, and the panel tells it."""

import html
import json
import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from pathlib import Path

import ipywidgets
import numpy as np
import pytest
from matplotlib import font_manager
from PIL import ImageFont

from kilnlib import units, words
from kilnlib.bench.kit import screen
from kilnlib.bench.panels import open_panel
from kilnlib.cases import morning as case
from kilnlib.errors import BadInput
from kilnlib.physics import daily, schedules
from kilnlib.physics.daily.forecast import bulb_steps, fit_rate
from kilnlib.physics.drying import Board, Step, at_hours, dry
from kilnlib.physics.samples import meter_corrected_pct
from kilnlib.physics.wood import rough_thickness_m
from kilnlib.questions import bank
from kilnlib.questions.marking import mark

ROOT = Path(__file__).parents[3]
RIGHT = {"maple": ("ease",), "poplar": ("drier",), "ash": ("hold", "look"), "oak": ("look",)}
EVERY = [(name, choice) for name in RIGHT for choice in case.CHOICES]
each = pytest.mark.parametrize("name", RIGHT)


@pytest.fixture
def panel():
    opened = open_panel("morning")
    yield opened
    opened.close()


def seen(panel):
    """Everything on the screen that can change."""
    return [box.value for box in (panel.page, panel.picture, panel.saying, panel.reason, panel.choices, panel.step)]


def drawn(panel):
    svg = ET.fromstring(panel.picture.value)
    return svg, [text for text in svg.iter("text") if "".join(text.itertext()).strip()]


def outcome(name, choice):
    return next(one for one in case.outcomes(name) if one.choice == choice)


# what is right --------------------------------------------------------------------------------------------------------


@each
def test_right_is_what_the_daily_decision_says(name):
    found, morning = case.decision(name), case.mornings()[name]
    assert case.right(name) == RIGHT[name]
    wanted = {"maple": "ease", "poplar": "advance", "ash": "hold", "oak": "hold"}
    assert found.action == wanted[name]
    dialed = morning.dials[RIGHT[name][0]]
    assert dialed == pytest.approx((found.dial.dry_bulb_c, found.dial.wet_bulb_c), abs=1 / 1.8)
    assert (
        morning.dials["hold"]
        == morning.dials["look"]
        == (found.check.numbers.dry_bulb_c, found.check.numbers.wet_bulb_c)
    )


@each
def test_the_key_gives_the_same(name):
    notebook = json.loads((ROOT / "answers" / "08_daily_decision_key.ipynb").read_text(encoding="utf-8"))
    text = "\n".join("".join(cell["source"]) for cell in notebook["cells"] if cell["cell_type"] == "markdown")
    number = list(case.mornings()).index(name) + 1
    row = re.search(rf"^\| {number}, [^|]*\| ([^|]*) \|", text, re.M)[1]
    dry, wet = (f"{units.c_to_f(bulb):.0f}" for bulb in case.mornings()[name].dials[RIGHT[name][0]])
    begins = {
        "ease": "Ease",
        "drier": "Advance the depression",
        "hold": "Hold:",
        "look": "Hold, and see to the wet bulb first",
    }
    assert row.startswith(begins[RIGHT[name][0]])
    assert RIGHT[name][0] == "look" or row.endswith(f"{dry} over {wet}")


def test_each_morning_has_its_own_reason():
    firsts = {name: case.decision(name).reasons[0].code for name in RIGHT}
    assert firsts == {
        "maple": "over_limit",
        "poplar": "behind_step",
        "ash": "in_step",
        "oak": "faster_than_air",
    }
    assert case.decision("maple").share_pct > 100 and case.decision("poplar").share_pct < 30


def test_one_knob_or_none_but_where_the_choice_says_otherwise():
    for morning in case.mornings().values():
        now = morning.dials["hold"]
        moved = {c: tuple(a - b for a, b in zip(morning.dials[c], now, strict=True)) for c in case.CHOICES}
        assert moved["ease"][0] == 0 < moved["ease"][1] or moved["ease"][0] < 0  # the cool way of white maple
        assert moved["drier"][0] == 0 > moved["drier"][1]
        assert moved["hotter"][0] > 0 and moved["both"][0] > 0
        gap = {choice: dry - wet for choice, (dry, wet) in morning.dials.items()}
        assert gap["both"] > gap["hold"] > gap["ease"]


# the witnesses --------------------------------------------------------------------------------------------------------


@each
def test_the_bucket_backs_the_weights(name):
    """Water by the scale and by the bucket, both days, within the tenth that leaks."""
    days, morning = case.mornings()[name].sheet.days, case.mornings()[name]
    for caught, before, after in zip(morning.bucket_m3, days[-3:-1], days[-2:], strict=True):
        lost = (before.average_pct - after.average_pct) * case.point_m3(name)
        assert 0.85 * lost < caught < 1.05 * lost


@each
def test_the_weights_are_what_the_engine_does_in_the_true_air(name):
    """Each board has its own rate; what is left is chance, and the rounding of a scale."""
    sheet = case.mornings()[name].true_sheet
    steps = bulb_steps(sheet.air, sheet.days[0].when, sheet.days[-1].when, case.KILN.sticker_speed_ms)
    hours = 24.0 * np.arange(len(sheet.days))
    for number, board in enumerate(sheet.boards):
        weighed = [day.mcs_pct[board.name] for day in sheet.days]
        wood = Board(sheet.species, rough_thickness_m(sheet.thickness), weighed[0])
        fit = fit_rate([wood], steps, hours, weighed, case.PRESSURE_PA)
        history = dry(replace(wood, rate_factor=fit.rate_factor), steps, case.PRESSURE_PA)
        ours = at_hours(history, np.minimum(hours, history.hours[-1])).average_pct
        assert weighed == pytest.approx(ours, abs=0.4), (name, number)


def test_the_wick_of_the_last_question_is_the_engines():
    """A day at 110 over 100 instead of 106 °F, at about 55 %, and its water in a load of 4,000 board feet."""
    prompt = bank.load("daily-check-3").prompt
    airs = [(106.0, 10 * 24.0), (100.0, 24.0)]
    speed = case.KILN.sticker_speed_ms
    steps = [Step(units.f_to_c(110.0), units.f_to_c(wet), None, hours, speed) for wet, hours in airs]
    history = dry(Board("red oak", rough_thickness_m("4/4"), 82.0), steps, case.PRESSURE_PA)
    average = at_hours(history, np.minimum(24.0 * np.arange(12), history.hours[-1])).average_pct
    before, now = -np.diff(average)[-2:]
    assert average[-2] == pytest.approx(55.0, abs=1.0)
    said, was = re.search(r"lost ([\d.]+) points instead of ([\d.]+)", prompt).groups()
    assert (f"{now:.1f}", f"{before:.1f}") == (said, was)
    gallons = [float(found) for found in re.search(r"from (\d+) to (\d+) gallons", prompt).groups()]
    lost = [points * units.from_si(case.point_m3("oak"), "volume") for points in (before, now)]
    assert gallons == pytest.approx(lost, rel=0.05)


def test_a_lying_wick_is_noticed_by_the_page_alone_and_only_there():
    for name, morning in case.mornings().items():
        doubted = {"faster_than_air", "slower_than_air"} & {reason.code for reason in case.decision(name).reasons}
        assert bool(doubted) == (morning.sheet != morning.true_sheet) == (name == "oak")
    oak = case.mornings()["oak"]
    assert oak.sheet.air[-1].wet_bulb_c - oak.true_sheet.air[-1].wet_bulb_c == pytest.approx(6 / 1.8)
    honest = daily.daily_decision(oak.true_sheet, pressure_pa=case.PRESSURE_PA, kiln=case.KILN)
    assert not {"faster_than_air", "slower_than_air"} & {reason.code for reason in honest.reasons}
    assert case.decision("oak").check.verdict == "in step" and honest.check.verdict == "too hard"


def test_only_the_wet_wick_brings_the_oak_back_in_step():
    verdicts = {one.choice: one.verdict for one in case.outcomes("oak")}
    assert verdicts.pop("look") == "in step" and set(verdicts.values()) == {"too hard"}
    look = outcome("oak", "look")
    assert look.true_wet_bulb_c == look.wet_bulb_c
    for choice in ("ease", "hold", "drier", "hotter", "both"):
        one = outcome("oak", choice)
        read, true = one.dry_bulb_c - one.wet_bulb_c, one.dry_bulb_c - one.true_wet_bulb_c
        assert true == pytest.approx(2.5 * read)
        assert one.fastest_points[0] > look.fastest_points[0]


def test_the_meter_is_believed_by_nothing_else_on_its_page():
    morning, found = case.mornings()["ash"], case.decision("ash")
    board, reading, wood = morning.meter
    today = morning.sheet.days[-1]
    steps = schedules.ladder("T8-B4")
    at_meter, at_boards = (schedules.step_at(steps, mc) for mc in (reading, found.controlling_pct))
    assert at_meter == at_boards + 2
    assert board == today.driest[0] and reading < today.driest[1]
    assert meter_corrected_pct(reading, wood) < reading
    assert "21" in morning.replies["hold"] and meter_corrected_pct(reading, wood) == pytest.approx(21, abs=0.5)


# what would follow ----------------------------------------------------------------------------------------------------


@each
def test_drier_air_dries_faster_and_the_limit_is_kept_in_sight(name):
    pace = {one.choice: one.fastest_points for one in case.outcomes(name)}
    assert pace["ease"][0] < pace["hold"][0] < pace["drier"][0] < pace["both"][0]
    limit = case.mornings()[name].sheet.limit_points_per_day
    for one in case.outcomes(name):
        assert one.over == (max(one.fastest_points) > limit)
    assert not any(outcome(name, choice).over for choice in case.right(name))
    assert any(one.over for one in case.outcomes(name)) == (name in ("maple", "oak"))


def test_on_the_ash_the_limit_alone_would_mislead():
    for choice in ("drier", "hotter", "both"):
        assert not outcome("ash", choice).over and outcome("ash", choice).verdict == "too hard"


# the panel ------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("name", "choice"), EVERY)
def test_every_morning_and_choice_says_what_was_computed(panel, name, choice):
    panel.pick(name)
    assert "✓" not in panel.picture.value and panel.reason.value == ""
    panel.choices.value = choice
    panel.commit_button.click()
    assert panel.last_error is None and panel.state.choice == choice
    said = panel.say(panel.compute(panel.state), panel.system)
    svg, found = drawn(panel)
    assert svg.get("aria-label") == said
    shown = " ".join("".join(text.itertext()) for text in found)
    for one in case.outcomes(name):
        assert f"fastest board {one.fastest_points[0]:.1f}, then {one.fastest_points[1]:.1f} points" in said
        assert all(f"{points:.1f}" in shown for points in one.fastest_points)
        assert f"{one.mc_pct[-1]:.1f} %" in said and f"{one.mc_pct[-1]:.1f} %" in shown
    right = choice in RIGHT[name]
    assert ("✓ Right." if right else "✗ Not yet.") in re.sub("<[^>]*>", "", panel.saying.value)
    assert shown.count("✓") == len(RIGHT[name])
    assert "By the book" in panel.reason.value and "nan" not in panel.reason.value + said


def test_numbers_in_the_words_are_those_of_the_page():
    share = {name: f"{case.decision(name).share_pct:.0f} % of its limit" for name in RIGHT}
    told = {name: " ".join(case.mornings()[name].replies.values()) for name in RIGHT}
    for name in ("poplar", "oak"):
        assert share[name] in told[name]
    now = {name: f"{case.decision(name).controlling_pct:.0f}" for name in RIGHT}
    assert all(f"at {now[name]}" in told[name] or f"At {now[name]}" in told[name] for name in ("maple", "ash"))
    assert f"at {now['oak']} %" in told["oak"]
    (_, dry, wet), _ = case.card("maple")
    now = case.mornings()["maple"].dials["hold"]
    assert (now[0] - now[1]) / (dry - wet) == pytest.approx(4, abs=0.3)  # "four times what the card says"


@each
def test_every_choice_has_words_of_its_own(name):
    told = case.mornings()[name].replies
    assert set(told) == set(case.CHOICES) and len(set(told.values())) == len(told)


def test_the_page_shows_weights_bulbs_bucket_meter_and_card(panel):
    page = html.unescape(re.sub("<[^>]*>", " ", panel.page.value)).replace("\u00a0", " ")
    for part in ("4.000", "4.375", "50.8", "Wettest half: 56.3 % yesterday, 50.1 % today", "125 over 105 °F", "96 gal"):
        assert part in page
    assert "above 40 % 125 over 120 °F" in page and "Meter" not in page
    panel.pick("ash")
    assert "Meter: 24 % in board 4" in html.unescape(panel.page.value).replace("\u00a0", " ")


def test_nothing_chosen_is_refused_in_words(panel):
    panel.commit_button.click()
    assert isinstance(panel.last_error, BadInput)
    assert "Nothing is chosen yet" in panel.saying.value
    panel.decide("ease")
    assert panel.last_error is None


def test_any_other_error_becomes_a_sentence(panel, monkeypatch):
    monkeypatch.setattr(case, "outcomes", lambda name: 1 / 0)
    panel.decide("ease")
    assert isinstance(panel.last_error, ZeroDivisionError) and "⚠" in panel.saying.value
    assert panel.state.choice is None
    monkeypatch.undo()
    panel.decide("ease")
    assert panel.last_error is None


def test_a_morning_is_found_as_it_was_left_and_reset_is_exact(panel):
    opening = seen(panel)
    panel.decide("hold")
    left = seen(panel)
    panel.turn(1)
    assert panel.state.morning == "poplar" and panel.state.choice is None
    panel.turn(-1)
    assert seen(panel) == left
    panel.pick("ash")
    panel.decide("look")
    panel.reset_button.click()
    assert panel.state == panel.opening and panel.decided == {}
    assert seen(panel) == opening


def shown(panel):
    """The buttons that can be pressed now."""
    buttons = (panel.back_button, panel.commit_button, panel.next_button, panel.reset_button)
    return [one.description for one in buttons if one.layout.display != "none"]


def test_four_mornings_are_four_steps_with_one_commit_each(panel):
    assert "Morning 1 of 4: Hard maple 4/4, day" in panel.step.value
    assert shown(panel) == ["Commit"]
    names = list(case.mornings())
    for number, name in enumerate(names, 1):
        assert panel.state.morning == name and f"Morning {number} of 4" in panel.step.value
        assert "Commit" in shown(panel) and not any("Next" in one for one in shown(panel))
        panel.choices.value = "hold"
        panel.decide(panel.choices.value)
        assert "Commit" not in shown(panel) and panel.choices.disabled
        assert ("◀ Before" in shown(panel)) == (number > 1)
        if number < 4:
            assert f"Next morning, {number + 1} of 4" in shown(panel)
            panel.turn(1)
    assert shown(panel) == ["◀ Before", "Start over"]
    panel.turn(1)
    assert panel.state.morning == names[-1]
    panel.reset()
    assert shown(panel) == ["Commit"] and panel.choices.value is None and not panel.choices.disabled


def test_units_move_nothing_and_come_back(panel):
    panel.decide("ease")
    before, state = seen(panel), panel.state
    panel.unit_switch.value = "metric"
    assert panel.state == state and seen(panel) != before
    assert "°C" in panel.page.value and "kg" in panel.page.value and "51.7 over" in panel.picture.value
    panel.unit_switch.value = "trade"
    assert seen(panel) == before


def test_words_fit_the_drawing_also_when_they_are_longer(monkeypatch):
    for key, value in words.TEXT.items():
        if key.startswith("morning.") and isinstance(value, str) and len(value) < 12:
            monkeypatch.setitem(words.TEXT, key, f"{value} dry")
    panel = open_panel("morning")
    for system in ("trade", "metric"):
        panel.switch(system)
        for name in RIGHT:
            panel.pick(name)
            panel.decide("both")
            svg, found = drawn(panel)
            assert len(found) > 30
            for text in found:
                font = ImageFont.truetype(font_manager.findfont("DejaVu Sans"), round(float(text.get("font-size"))))
                long, x = font.getlength("".join(text.itertext())), float(text.get("x"))
                left = x - long * {"start": 0.0, "middle": 0.5, "end": 1.0}[text.get("text-anchor")]
                assert left >= 0 and left + long <= float(svg.get("width")), "".join(text.itertext())
                assert float(text.get("font-size")) >= 16 and float(text.get("y")) <= float(svg.get("height"))
    panel.close()


def test_it_waits_for_the_prediction_and_reveals_it_with_the_first_decision():
    registry = ipywidgets.widgets.widget._instances
    start = len(registry)
    panel = open_panel("morning", "daily-predict")
    assert panel.picture.layout.display == "none" and shown(panel) == []  # the prediction's Commit is the only one
    panel.prediction.answer("A")
    assert panel.picture.layout.display == "" and shown(panel) == ["Commit"]
    assert "It came out otherwise" not in panel.prediction.card.feedback.value
    assert "decide and commit" in panel.prediction.card.feedback.value
    panel.decide("ease")
    assert "It came out otherwise" in panel.prediction.card.feedback.value
    panel.close()
    assert len(registry) == start


def test_five_rebuilds_leave_no_widgets():
    registry = ipywidgets.widgets.widget._instances
    open_panel("morning")
    count = len(registry)
    for _ in range(5):
        open_panel("morning").decide("ease")
    assert len(registry) == count
    screen.View.close_earlier(("morning", None))
    assert len(registry) < count


REASONS = [
    (
        "weights and bucket agree so the wick must be dry. leave it at 110 over 106. LOTO, cooled, helper outside.",
        True,
    ),
    ("I don't trust the wet bulb, no change until it is wetted, LOTO, cool, second person outside", True),
    ("the wick is dry. locked out, cooled, helper outside.", False),
    ("leave the settings. locked out, cooled, helper outside.", False),
    ("the wick is dry. leave the settings.", False),
    ("The wick is dry. I hold and do not widen the gap nor raise the heat. LOTO, cool, second person outside", True),
    ("wick. leave it, later I can widen the gap. LOTO, cool, second person outside", True),
    ("The wick is dry. Hold, then advance the gap until they agree. LOTO, cool, second person outside", False),
    ("The wick is dry, so I keep 110 and set a wider gap. LOTO, cool, second person outside", False),
    ("Doubt the bulb. Hold and raise the heat. LOTO, cool, second person outside", False),
]


@pytest.mark.parametrize(("written", "right"), REASONS)
def test_the_oak_in_a_learners_own_words(written, right):
    assert mark(bank.load("daily-check-3"), {}, written).right is right


@pytest.mark.parametrize(
    ("order", "right"),
    [("CEADB", True), ("CAEDB", False), ("ECADB", True), ("CADEB", False), ("CEDAB", False), ("ACEDB", False),
     ("EACDB", False), ("BCEAD", False)],
)  # fmt: skip
def test_the_second_person_may_come_first_but_never_after_going_in(order, right):
    assert mark(bank.load("daily-order"), {}, order).right is right
