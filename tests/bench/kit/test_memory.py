"""A page opened again: questions, prediction and panels are as they were left; where none is open, nothing is kept."""

import asyncio
import json
import os
import re

import ipywidgets
import pytest

from kilnlib import bench
from kilnlib.bench.kit import memory, progress, screen
from kilnlib.bench.panels import DESK, open_panel, panel_class
from kilnlib.bench.quiz import open_quiz
from kilnlib.errors import CannotSave
from kilnlib.questions import bank
from kilnlib.questions.marking import answer_text
from kilnlib.store import record as record_module
from kilnlib.store.record import Record, open_record, record_file
from kilnlib.units import f_to_c

RIGHT = {name: answer_text(bank.load(name), bank.load(name).numbers[0], more=2) for name in ("wood-a", "wood-c")}


@pytest.fixture(autouse=True)
def home(monkeypatch, tmp_path):
    monkeypatch.setenv("FIRST_CHARGE_HOME", str(tmp_path / "home"))
    memory.close_page()
    yield tmp_path / "home"
    memory.close_page()
    for view in list(screen._OPEN.values()):
        view.close()


def said(view):
    """All text under a question, without its marks."""
    return " ".join(re.sub("<[^>]+>", " ", view.feedback.value).replace("\xa0", " ").split())


def reopened(*names):
    """The questions in a kernel that has only the record to go by."""
    return open_quiz(*names).cards[names[0]]


def test_where_no_page_was_opened_nothing_is_kept(home):
    open_quiz("wood-a").answer("wood-a", "0.8")
    open_panel("air", "air-predict").prediction.answer("A")
    panel = open_panel("emc")
    panel.set(dry_bulb_c=50.0)
    panel.close()
    assert not home.exists()


def test_a_right_answer_is_shown_as_such_and_can_be_tried_again():
    memory.open_page("01_water_in_wood")
    made = open_quiz("wood-a")
    made.answer("wood-a", RIGHT["wood-a"])
    before = said(made.cards["wood-a"])
    assert "✓ Right." in before
    card = reopened("wood-a")
    assert before in said(card) and re.search(r"You answered this on \w+ \d+\. You said: ", said(card))
    assert card.box.value == RIGHT["wood-a"] and card.input.layout.display == "none"
    again = card.view.children[-1]
    assert again.description == "Try again"
    card.ask_again()
    assert card.input.layout.display == "" and card.box.value == "" and said(card) == ""
    assert again not in card.view.children and again.comm is None
    screen._OPEN["ask", "wood-a"].answer("wood-a", "1")
    assert "✗ Not yet." in said(reopened("wood-a"))


def test_wrong_tries_are_counted_on():
    memory.open_page("01_water_in_wood")
    made = open_quiz("wood-a", "wood-c")
    made.answer("wood-a", "1")
    made.answer("wood-a", "2")
    card = reopened("wood-a", "wood-c")
    assert "You tried this on" in said(card) and "Step 1 of" in said(card)
    assert card.box.value == "2" and card.input.layout.display != "none" and len(card.view.children) == 3
    screen._OPEN["ask", "wood-a", "wood-c"].answer("wood-a", "3")
    again = reopened("wood-a", "wood-c")
    assert "Here is the whole solution" in said(again) and "New numbers." in again.prompt.value
    assert said(screen._OPEN["ask", "wood-a", "wood-c"].cards["wood-c"]) == ""
    tries = open_record().answers("wood-a", "01_water_in_wood")
    assert [one.typed for one in tries] == ["1", "2", "3"]
    assert all(one.asked == bank.load("wood-a").numbers[0] and one.right is False for one in tries)


def test_an_answer_that_cannot_be_read_is_no_try_and_the_misconception_is_kept():
    memory.open_page("01_water_in_wood")
    made = open_quiz("wood-predict")
    made.answer("wood-predict", None)
    assert open_record().answers() == []
    slip = next(one for one in bank.load("wood-predict").misconceptions if one.id)
    made.answer("wood-predict", slip.option)
    assert open_record().answers()[0].misconception == slip.id
    assert reopened("wood-predict").box.value == slip.option


def test_a_question_that_is_marked_otherwise_today_starts_anew():
    memory.open_page("01_water_in_wood")
    open_record().answered("wood-a", RIGHT["wood-a"], False, page="01_water_in_wood")
    open_record().answered("wood-c", "no number at all", False, page="01_water_in_wood")
    made = open_quiz("wood-a", "wood-c")
    assert [said(card) for card in made.cards.values()] == ["", ""]
    assert made.cards["wood-a"].input.layout.display != "none"


def test_pages_do_not_answer_for_each_other():
    memory.open_page("01_water_in_wood")
    open_quiz("wood-a").answer("wood-a", RIGHT["wood-a"])
    memory.open_page("02_air")
    assert said(reopened("wood-a")) == ""


def test_what_could_not_be_saved_is_said_beside_what_was_marked(monkeypatch):
    memory.open_page("01_water_in_wood")
    made = open_quiz("wood-a")
    panel = open_panel("air", "air-predict")

    def full(self, work):
        raise CannotSave("record_not_saved", path=self.path, reason="the disk is full")

    monkeypatch.setattr(Record, "write", full)
    made.answer("wood-a", RIGHT["wood-a"])
    assert "✓ Right." in said(made.cards["wood-a"]) and "(the disk is full)" in said(made.cards["wood-a"])
    panel.prediction.answer("A")
    assert "(the disk is full)" in said(panel.prediction.card)
    panel.set(dry_bulb_c=f_to_c(115))
    told = said(panel.prediction.card)
    assert "It came out otherwise" in told and "(the disk is full)" in told
    assert panel.last_error is None and made.last_error is None
    assert any("the disk is full" in error.sentence() for error in memory.open_page("02_air"))


def test_what_could_not_be_saved_is_not_shown_as_saved_later(monkeypatch):
    """An answer, a prediction and a tick while the disk is full; then there is room, and the page is opened anew."""
    memory.open_page("02_air")
    made, panel, tick = open_quiz("air-a"), open_panel("air", "air-predict"), {"item": "Read both bulbs.", "on": True}
    write = Record.write

    def full(self, work):
        raise CannotSave("record_not_saved", path=self.path, reason="the disk is full")

    monkeypatch.setattr(Record, "write", full)
    made.cards["air-a"].box.value = "8"
    made.answer("air-a", "8")
    panel.prediction.answer("A")
    answer = json.loads(progress.heard(json.dumps({"page": "02_air", "tick": tick})))
    assert "the disk is full" in answer["error"] and answer["ticks"] == []
    assert "was not saved" in said(made.cards["air-a"]) and "was not saved" in said(panel.prediction.card)
    monkeypatch.setattr(Record, "write", write)
    assert said(reopened("air-a")) == "" and open_panel("air", "air-predict").prediction.marked is None
    assert open_record().answers() == [] and open_record().ticks("02_air") == set()


def test_an_answer_that_was_not_saved_stays_as_something_typed(monkeypatch):
    memory.open_page("02_air")
    made = open_quiz("air-a")
    made.cards["air-a"].box.value = "8"
    lost = CannotSave("record_not_saved", path=record_file(), reason="another page was writing")
    monkeypatch.setattr(memory, "answered", lambda *_: lost)
    made.answer("air-a", "8")
    assert "was not saved" in said(made.cards["air-a"])
    assert reopened("air-a").box.value == "8" and said(reopened("air-a")) == ""


def test_a_damaged_record_is_said_under_the_title(home):
    home.mkdir()
    record_file().write_bytes(b"no record " * 2000)
    note = bench.lesson("02_air")
    assert "was damaged" in note.view.children[1].value
    assert open_record().last_place() == "02_air"


def test_a_prediction_and_its_panel_come_back_as_they_were_left():
    memory.open_page("02_air")
    panel = open_panel("air", "air-predict")
    panel.prediction.answer("A")
    panel = open_panel("air", "air-predict")
    assert "You said: A" in said(panel.prediction.card) and "It came out otherwise" not in said(panel.prediction.card)
    assert panel.picture.layout.display == "" and panel.note.layout.display == "none"
    panel.set(dry_bulb_c=f_to_c(115))
    panel.switch("metric")
    left = panel.state
    panel = open_panel("air", "air-predict")
    assert panel.state == left and panel.system == "metric" and panel.unit_switch.value == "metric"
    assert "It came out otherwise" in said(panel.prediction.card)
    assert re.search(r"as you left it on \w+ \d+\. Reset brings back", panel.note.value) and not panel.last_error
    assert panel.note.layout.display == ""
    panel.reset()
    assert panel.state == panel.opening and panel.note.layout.display == "none"
    assert len(open_record().events("predicted")) == 1
    assert open_panel("air").state == panel.opening  # the same panel elsewhere on the page is another one
    panel = open_panel("air", "air-predict")
    assert panel.state == panel.opening and panel.note.layout.display == "none"


def test_the_mornings_keep_their_prediction():
    memory.open_page("08_daily_decision")
    open_panel("morning", "daily-predict").prediction.answer("A")
    panel = open_panel("morning", "daily-predict")
    assert "You said: A" in said(panel.prediction.card) and not panel.choices.disabled


@pytest.mark.parametrize("name", ["air", "board", "emc", "finish", "ladder", "samples", "stack", "stress", "wood"])
def test_every_panel_comes_back_from_any_situation(name):
    memory.open_page("02_air")
    panel = open_panel(name)
    for situation in panel.presets:
        panel.pick(situation)
        left = panel.state
        panel = open_panel(name)
        assert panel.state == left and panel.last_error is None


@pytest.mark.parametrize(
    "state", [{"dry_bulb_c": 900.0}, {"dry_bulb_c": "hot"}, {"no_such_field": 1}, {"dry_bulb_c": None}]
)
def test_a_state_that_no_longer_fits_gives_the_opening_state(state):
    memory.open_page("03_emc")
    open_record().leave("03_emc/emc/", {"state": state, "system": "trade", "day": "2026-03-12"})
    panel = open_panel("emc")
    assert panel.state == panel.opening and panel.last_error is None and panel.note.layout.display == "none"


def test_a_panel_that_is_being_moved_is_written_once_a_second_at_most(monkeypatch):
    memory.open_page("03_emc")
    written = []
    leave = record_module.Record.leave
    monkeypatch.setattr(record_module.Record, "leave", lambda *args: (written.append(args), leave(*args)))
    monkeypatch.setattr(memory, "PAUSE_S", 0.2)

    async def move():
        panel = open_panel("emc")
        for degree in range(100, 130):
            panel.set(dry_bulb_c=f_to_c(degree))
        assert written == []
        await asyncio.sleep(0.5)
        assert len(written) == 1
        panel.set(dry_bulb_c=f_to_c(131))
        panel.close()  # what still waits is written now
        assert len(written) == 2

    asyncio.run(move())
    assert open_panel("emc").state.dry_bulb_c == f_to_c(131)


def test_warm_ups_are_chosen_stay_that_day_and_are_asked_anew_later(monkeypatch):
    memory.open_page("03_emc")
    fixed = ("air-predict", "start-entry")
    assert list(bench.warm_up("03_emc", *fixed).cards) == list(fixed)
    record = open_record()
    record.leave("warm-up/03_emc", None)
    record.answered("wood-a", "0.8", False, page="01_water_in_wood")
    made = bench.warm_up("03_emc", *fixed)
    assert list(made.cards) == ["air-predict", "wood-a"]
    made.answer("wood-a", RIGHT["wood-a"])
    made = bench.warm_up("03_emc", *fixed)
    assert list(made.cards) == ["air-predict", "wood-a"] and "✓ Right." in said(made.cards["wood-a"])
    kept = record.left("warm-up/03_emc")
    record.leave("warm-up/03_emc", kept | {"day": "2026-01-01"})  # one was never answered: it stays
    assert list(bench.warm_up("03_emc", *fixed).cards) == ["air-predict", "wood-a"]
    for name in ("wood-a", "air-predict"):
        record.answered(name, "1", False, page="03_emc/warm-up/2026-01-01")
    made = bench.warm_up("03_emc", *fixed)
    assert record.left("warm-up/03_emc")["day"] > "2026-01-01" and made.place.startswith("03_emc/warm-up/2")
    assert "You said: 1 %" not in said(made.cards["wood-a"])  # what was said in the earlier warm-up


def test_printed_cells_are_the_same_whatever_the_record_holds(capsys):
    def printed():
        bench.handbook("air-ashrae")
        bench.key("02_air")
        return capsys.readouterr().out

    before = printed()
    memory.open_page("02_air")
    open_quiz("air-a").answer("air-a", "1")
    assert printed() == before and len(before) > 1000


def test_five_openings_leave_no_widgets():
    memory.open_page("01_water_in_wood")
    open_quiz("wood-a").answer("wood-a", RIGHT["wood-a"])
    open_panel("emc").set(dry_bulb_c=50.0)
    reopened("wood-a")
    open_panel("emc")
    registry = ipywidgets.widgets.widget._instances
    start = len(registry)
    for _ in range(5):
        reopened("wood-a")
        open_panel("emc")
    assert len(registry) == start


def test_opening_a_page_is_where_one_stopped(home):
    bench.lesson("06_how_a_board_dries")
    assert open_record().last_place() == "06_how_a_board_dries" and os.listdir(home) == ["record.sqlite"]


@pytest.mark.parametrize("name", DESK)
def test_a_desk_tool_opens_again_on_a_page_that_is_known(home, name):
    """As in Run All Cells, and in a second tab that takes the page over."""
    bench.lesson("desk_sample_sheet")
    opened = bench.panel(name)
    assert type(opened) is panel_class(name)
    opened.close()


@pytest.mark.parametrize(
    ("kind", "typed"), [("number", "0.7"), ("choice", "B"), ("reason", "The wick"), ("order", "BA")]
)
def test_what_was_typed_and_not_checked_comes_back(kind, typed):
    name = next(question.id for question in bank.all_questions() if question.kind == kind)
    memory.open_page("01_water_in_wood")
    open_quiz(name).cards[name].box.value = typed
    card = reopened(name)
    assert card.box.value == typed and card.feedback.value == ""
    card.box.value = None if kind == "choice" else ""
    assert reopened(name).box.value == card.box.value


def test_what_was_typed_after_a_try_stands_beside_what_was_said_of_the_try():
    memory.open_page("01_water_in_wood")
    made = open_quiz("wood-a")
    made.cards["wood-a"].box.value = "7"
    made.answer("wood-a", "7")
    made.cards["wood-a"].box.value = "8"
    card = reopened("wood-a")
    assert card.box.value == "8" and "You said: 7" in said(card)
    made = open_quiz("wood-a")
    made.cards["wood-a"].box.value = RIGHT["wood-a"]
    made.answer("wood-a", RIGHT["wood-a"])
    assert reopened("wood-a").input.layout.display == "none"
    memory.open_page("02_air")
    assert reopened("wood-a").box.value == "", "another page has boxes of its own"


def test_what_was_chosen_and_not_committed_comes_back():
    memory.open_page("02_air")
    open_panel("air", "air-predict").prediction.card.box.value = "B"
    again = open_panel("air", "air-predict").prediction
    assert again.card.box.value == "B" and again.marked is None
    again.answer("B")
    assert memory.typed("air-predict") is None


def test_what_was_typed_just_before_the_page_closes_is_kept():
    memory.open_page("01_water_in_wood")

    async def type_and_close():
        made = open_quiz("wood-a")
        made.cards["wood-a"].box.value = "0.7"
        made.close()

    asyncio.run(type_and_close())
    assert reopened("wood-a").box.value == "0.7"


def test_a_choice_is_kept_at_once_and_letters_when_typing_pauses():
    names = {kind: next(one.id for one in bank.all_questions() if one.kind == kind) for kind in ("choice", "number")}
    memory.open_page("01_water_in_wood")

    async def work():
        made = open_quiz(*names.values())
        made.cards[names["choice"]].box.value = "B"
        assert memory.typed(names["choice"]) == "B"
        for typed in ("0", "0.", "0.7"):
            made.cards[names["number"]].box.value = typed
        assert memory.typed(names["number"]) is None
        await asyncio.sleep(memory.TYPED_PAUSE_S + 0.2)
        assert memory.typed(names["number"]) == "0.7"

    asyncio.run(work())
    assert memory.TYPED_PAUSE_S < 0.5


def test_questions_that_another_tab_takes_over_say_so_and_lose_nothing(monkeypatch):
    memory.open_page("01_water_in_wood")
    monkeypatch.setattr(screen, "asking_page", lambda: "first tab")
    first = open_quiz("wood-a")
    frame = first.view
    first.cards["wood-a"].box.value = "0.7"
    monkeypatch.setattr(screen, "asking_page", lambda: "second tab")
    assert reopened("wood-a").box.value == "0.7"
    (told,) = frame.children
    assert "now stands in another tab" in told.value and frame.comm is not None
    monkeypatch.setattr(screen, "asking_page", lambda: "first tab")
    assert reopened("wood-a").box.value == "0.7"


def test_a_look_at_a_tool_does_not_move_the_place_where_one_stopped():
    bench.lesson("06_how_a_board_dries")
    for name in ("desk_setpoint_check", "desk_sample_sheet", "present_through_the_stack"):
        bench.lesson(name)
    assert open_record().last_place() == "06_how_a_board_dries"
