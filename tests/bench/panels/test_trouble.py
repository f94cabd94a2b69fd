"""The panel of lesson 14: mark, look, name; what is said of each, and what is kept."""

import re
from itertools import pairwise

import ipywidgets
import pytest

from kilnlib.bench.kit import memory
from kilnlib.bench.panels import open_panel
from kilnlib.bench.panels.trouble import DIAL, NONE, OPEN, Panel, State
from kilnlib.cases import trouble as case
from kilnlib.errors import BadInput
from kilnlib.words import TEXT, text


@pytest.fixture
def panel():
    opened = open_panel("trouble")
    yield opened
    opened.close()


def said(widget):
    return re.sub(r"<[^>]+>", " ", widget.value).replace("&#x27;", "'").replace("&nbsp;", " ")


def parts(panel, name):
    return re.findall(rf'data-part="{name}"', panel.picture.value)


def test_every_log_opens_with_its_chart_and_its_words(panel):
    for name in ("quiet-1", "case-1", "case-9", "case-11"):
        panel.open(name)
        assert panel.last_error is None
        assert len(parts(panel, "bucket")) == len(parts(panel, "wood")) == case.DAYS
        assert not parts(panel, "first") and not parts(panel, "marked")
        finding = panel.say(panel.result, "trade")
        assert finding.count("Day ") == case.DAYS and f'aria-label="{finding}"' in panel.picture.value
        assert "nan" not in panel.picture.value.lower()


def test_the_chart_shows_what_the_log_says(panel):
    panel.open("case-4")
    lines = case.log("case-4").mornings
    heights = re.findall(r'data-part="bucket".*?height="([\d.]+)"', panel.picture.value)
    top = max(max(one.bucket_kg, one.load_loss_kg) for one in lines)
    for height, one in zip(heights, lines, strict=True):
        assert float(height) == pytest.approx(42.0 * one.bucket_kg / top, abs=0.06)


def test_marking_the_day_tells_what_stood_there_and_opens_the_looks(panel):
    panel.open("case-5")
    assert panel.commit_button.layout.display == "none"
    panel.mark(case.log("case-5").first_day)
    assert "✓" in said(panel.saying) and "instead of" in said(panel.saying)
    assert parts(panel, "first") and parts(panel, "marked")
    assert panel.commit_button.layout.display == ""
    panel.mark(1)
    assert panel.state.day == case.log("case-5").first_day, "the first mark stands"


def test_a_wrong_day_is_answered_by_a_hint_first_and_then_by_the_day(panel):
    for day, way in ((9, "Look earlier"), (2, "Look later"), (NONE, "Something is wrong")):
        panel.open("case-5")
        panel.reset()
        panel.mark(day)
        for _ in range(2):  # the same mark again is no second try
            assert "✗" in said(panel.saying) and way in said(panel.saying) and "“wet”" in said(panel.saying)
            assert "day 5" not in said(panel.saying) and not parts(panel, "first")
            assert not panel.days.disabled and panel.days.value is None and panel.commit_button.layout.display == "none"
            panel.mark(day)
        panel.mark(8)
        assert "✗" in said(panel.saying) and "day 5" in said(panel.saying) and panel.days.disabled
    panel.reset()
    panel.mark(9)
    panel.mark(5)
    assert "✓" in said(panel.saying) and panel.state.day == 5


def test_a_quiet_log_that_was_read_right_asks_for_no_look(panel):
    panel.open("quiet-1")
    panel.mark(NONE)
    assert "✓" in said(panel.saying) and said(panel.taken) == ""
    panel.open("case-5")
    panel.mark(5)
    assert "Choose what to look at" in said(panel.taken)


def test_the_old_chart_is_gone_while_a_new_log_is_worked_out(panel, monkeypatch):
    seen = []

    def compute(state):
        seen.append((panel.picture.value, said(panel.saying)))
        return Panel.compute(state)

    monkeypatch.setattr(panel, "compute", compute)
    panel.open("case-5")
    ((picture, words),) = seen
    assert "<svg" not in picture and "working out" in words


def test_the_verdict_counts_the_minutes_that_were_of_use(panel):
    panel.open("case-5")
    panel.mark(5)
    panel.name_it("blocked_drain", "clear_the_drain")
    assert "You took no look" in said(panel.saying)
    panel.look("look_at_coil")
    assert "You took one look, in 50 minutes with the way in." in said(panel.taken)
    panel.name_it("blocked_drain", "clear_the_drain")
    assert "ruling out others like it, in 50 of 50 minutes" in said(panel.saying), "no ice: a neighbor is out"
    panel.look("look_at_drain")
    panel.name_it("blocked_drain", "clear_the_drain")
    assert "All 53 minutes of your looks were of use." in said(panel.saying)
    panel.reset()
    panel.mark(5)
    panel.look("look_at_vent")
    panel.name_it("blocked_drain", "clear_the_drain")
    assert "none of your 3 minutes" in said(panel.saying) and "guessed" in said(panel.saying)
    panel.look("look_at_drain")
    panel.name_it("blocked_drain", "clear_the_drain")
    assert "Of the 6 minutes of your looks 3 were of use" in said(panel.saying)
    panel.reset()
    panel.mark(5)
    panel.look("look_at_drain")
    panel.name_it("blocked_drain", "clear_the_drain")
    assert "All 3 minutes of your looks were of use." in said(panel.saying)


def test_what_the_feedback_names_can_be_read_off_the_chart(panel):
    """Of all boards the day before, of one board its number and the others of its day."""
    panel.open("case-13")
    panel.mark(4)
    assert "lost 2.8 points on the mean, after 3.4 the day before" in said(panel.saying)
    panel.open("case-15")
    panel.mark(3)
    assert "Board 2 lost 2.2 points, and the others 4.0 on the mean." in said(panel.saying)
    panel.open("case-11")
    panel.mark(1)
    assert "Board 3 lost 2.2 points, and the others 5.8 on the mean." in said(panel.saying)


@pytest.mark.parametrize(
    ("name", "looks"), [("case-11", ["measure_boards"]), ("case-15", ["look_at_baffles", "fan_amps"])]
)
def test_a_cause_that_is_left_alone_is_not_called_a_guess(panel, name, looks):
    panel.open(name)
    panel.mark(case.log(name).first_day)
    for look in looks:
        panel.look(look)
    fault = case.trouble(name).fault
    panel.name_it(fault, case.mend_of(fault))
    assert "by ruling out others like it" in said(panel.saying) and "guess" not in said(panel.saying)


def test_the_list_of_looks_shows_the_way_in_and_what_was_looked_at(panel):
    labels = {code: label for label, code in panel.tests.options}
    assert labels["look_at_drain"] == "a cup under the drain, 3 min"
    assert labels["look_at_wick"] == f"the wick, 3 + {case.ENTRY_MIN:.0f} min, inside"
    panel.open("case-5")
    panel.mark(5)
    panel.look("look_at_drain")
    assert "You took one look, in 3 minutes." in said(panel.taken)
    panel.look("listen_to_compressor")
    assert re.findall("<li>(.*?)</li>", panel.looks.value) == [
        "The compressor, by ear: The compressor turns.",
        "A cup under the drain: Little water comes, and what is poured into the trap outside backs up.",
    ]


def test_the_way_in_is_said_before_a_look_inside_is_taken(panel):
    panel.open("case-5")
    panel.mark(5)
    panel.tests.value = "look_at_drain"
    assert panel.entry.value == ""
    panel.tests.value = "look_at_coil"
    assert text("entry.steps") in said(panel.entry) and panel.state.looks == ()


def test_the_prediction_is_answered_by_a_log_that_it_is_about():
    opened = open_panel("trouble", "trouble-predict")
    opened.prediction.answer("C")
    tells = "The air log tells of the air."
    opened.open("case-1")
    opened.mark(case.log("case-1").first_day)
    assert tells not in opened.prediction.card.feedback.value
    opened.open("case-9")
    opened.mark(case.log("case-9").first_day)
    assert tells in opened.prediction.card.feedback.value
    opened.close()


def test_each_board_has_its_number_on_the_chart(panel):
    panel.open("case-11")
    numbers = re.findall(r'y="([\d.]+)" font-size="12"[^>]*>(\d)<', panel.picture.value)
    assert sorted(number for _, number in numbers) == list("123456")
    heights = [float(height) for height, _ in numbers]
    assert min(low - high for high, low in pairwise(heights)) >= 10.9


def test_a_quiet_log_ends_with_the_mark(panel):
    panel.mark(NONE)
    assert "✓" in said(panel.saying) and panel.commit_button.layout.display == "none"
    panel.reset()
    assert panel.state == State()
    panel.mark(4)
    assert "✗" in said(panel.saying) and "Nothing is wrong" not in said(panel.saying)
    panel.mark(6)
    assert "✗" in said(panel.saying) and "Day 6 differs" in said(panel.saying)


def test_each_look_says_something_and_its_minutes_add_up(panel):
    panel.open("case-5")
    panel.mark(5)
    for test in case.tests():
        panel.look(test)
        assert panel.last_error is None, test
    panel.look("look_at_drain")
    minutes = sum(act.minutes for act in case.tests().values()) + case.ENTRY_MIN
    assert f"You took 15 looks, in {minutes:.0f} minutes with the way in." in said(panel.taken)
    assert text("entry.steps") in said(panel.entry), "a look inside comes with the way in"


def test_a_look_from_outside_asks_for_no_entry(panel):
    panel.open("case-5")
    panel.mark(5)
    panel.look("look_at_drain")
    assert panel.entry.value == "" and "backs up" in said(panel.looks)


@pytest.mark.parametrize("name", ["case-1", "case-5", "case-11"])
def test_the_right_cause_and_action_are_right_and_the_dial_never_is(panel, name):
    fault = case.trouble(name).fault
    panel.open(name)
    panel.mark(case.log(name).first_day)
    panel.name_it(fault, DIAL)
    assert "✗" in said(panel.saying) and "Turning the dial" in said(panel.saying)
    panel.name_it(fault, next(mend for mend in case.mends() if mend != case.mend_of(fault)))
    assert "✗" in said(panel.saying) and text(f"trouble.mend.{case.mend_of(fault)}") in said(panel.saying)
    panel.name_it(fault, case.mend_of(fault))
    assert "✓" in said(panel.saying) and text(f"trouble.danger.{case.danger_of(fault)}") in said(panel.saying)


def test_a_cause_without_an_action_is_refused_as_a_list_that_is_empty(panel):
    panel.name_it("blocked_drain", None)
    assert panel.last_error.code == "list_empty"
    assert "lists is still empty" in panel.saying.value


def test_a_wrong_cause_is_answered_by_what_was_overlooked(panel):
    panel.open("case-5")
    panel.mark(5)
    panel.look("look_at_coil")
    panel.name_it("iced_coil", "thaw_the_coil")
    assert "That is not the cause (an iced coil). You had a look" in said(panel.saying)
    panel.reset()
    panel.mark(5)
    panel.name_it("iced_coil", "thaw_the_coil")
    assert text("trouble.test.look_at_drain") in said(panel.saying)


def test_a_new_log_by_number_and_refusals_in_words(panel):
    panel.another("102")
    assert panel.state.log == "new-102" and panel.number.value == "103" and panel.logs.value == "new-102"
    for typed in ("", "twelve", "5", "100000"):
        panel.another(typed)
        assert isinstance(panel.last_error, BadInput) and "whole number from 101" in said(panel.saying)
        assert panel.state.log == "new-102"
    panel.look(None)
    assert isinstance(panel.last_error, BadInput)


def test_metric_moves_nothing_and_comes_back(panel):
    panel.open("case-5")
    before, state = panel.picture.value, panel.state
    panel.switch("metric")
    assert panel.state == state and panel.picture.value != before and "°F" not in panel.picture.value
    panel.switch("trade")
    assert panel.picture.value == before


def test_it_is_there_again_as_it_was_left(tmp_path, monkeypatch):
    monkeypatch.setenv("FIRST_CHARGE_HOME", str(tmp_path))
    memory.open_page("14_find_the_trouble")
    try:
        opened = open_panel("trouble")
        opened.open("case-5")
        opened.mark(5)
        opened.look("look_at_drain")
        opened.close()
        again = open_panel("trouble")
        assert (again.state.log, again.state.day, again.state.looks) == ("case-5", 5, ("look_at_drain",))
        assert "backs up" in said(again.looks)
        again.close()
    finally:
        memory.close_page()


def test_it_waits_for_its_prediction_and_leaves_no_widgets():
    registry = ipywidgets.widgets.widget._instances
    start = len(registry)
    opened = open_panel("trouble", "trouble-predict")
    assert all(part.layout.display == "none" for part in (opened.picture, opened.days, opened.controls))
    opened.prediction.answer("C")
    assert opened.picture.layout.display == opened.controls.layout.display == "" and opened.state.day == OPEN
    opened.close()
    assert len(registry) == start


def test_every_word_that_a_log_can_need_is_there():
    for fault in case.causes():
        assert {f"trouble.fault.{fault}", f"trouble.mend.{case.mend_of(fault)}"} <= TEXT.keys()
        assert f"trouble.danger.{case.danger_of(fault)}" in TEXT
    for name in case.names():
        for signs in case.log(name).signs:
            assert {f"trouble.sign.{sign.code}" for sign in signs} <= TEXT.keys()


def test_the_feedback_stays_short_enough_for_the_panel(panel):
    """Seven lines of about 35 letters stand under the controls and three lines of looks, within 440 px."""
    longest = 0
    for name in case.names()[3:]:
        real = case.trouble(name).fault
        panel.open(name)
        panel.mark(case.log(name).first_day)
        longest = max(longest, len(said(panel.saying)))
        for looks in ("", "look_at_vent hand_at_doors", "look_at_vent cut_sections measure_boards feel_the_air"):
            panel.state = State(name, case.log(name).first_day, looks)
            for mend in (DIAL, case.mend_of(real), "thaw_the_coil"):
                panel.name_it(real, mend)
                longest = max(longest, len(said(panel.saying)))
    assert longest <= 245
