"""Every lesson in a real browser, opened once: alive, quiet, local, clean, nothing cut; and a learner at work in it.

The tests of one lesson share its page, in this order: whole first (its prediction is still to be made), then the rest.
"""

import re
from pathlib import Path

import pytest
from playwright.sync_api import expect

OUTPUT = ".jp-OutputArea"
LESSONS = sorted(path.stem for path in (Path(__file__).parents[2] / "workbooks").glob("[0-9]*.ipynb"))


@pytest.fixture(scope="module")
def lesson(lessons, visits):
    """lesson("02_air"): that lesson, alive; the same page every time."""
    opened = {}

    def open_lesson(name):
        if name not in opened:
            opened[name] = visits(lessons.page(f"{name}.ipynb"))
        opened[name].page.bring_to_front()
        return opened[name].wait_live().wait_idle()

    return open_lesson


def card(visit, words):
    """A question by the words of its prompt."""
    return visit.page.locator(".fc-card").filter(has_text=words).first


@pytest.mark.parametrize("name", LESSONS)
def test_a_lesson_is_whole(lesson, name):
    visit = lesson(name)
    assert visit.interruptions() == []
    assert visit.page.locator(f"{OUTPUT} [data-mime-type*=error]").count() == 0
    prediction = visit.page.locator(".fc-predict")
    if prediction.count():
        expect(visit.drawing()).to_be_hidden()
        expect(visit.panel().locator(".fc-numbers")).to_be_hidden()
        visit.commit()
        expect(prediction).to_contain_text("You said")
        expect(prediction).not_to_contain_text(re.compile("Not yet|Right"))
    visit.assert_panels_fit(name)
    assert visit.axe() == ""
    assert visit.interruptions() == []
    assert visit.outside() == []


def test_the_first_move_tells_whether_the_prediction_was_right(lesson):
    visit = lesson("02_air")
    visit.commit()
    visit.press(0, "ArrowRight")
    expect(visit.page.locator(".fc-predict")).to_contain_text("Not yet")
    expect(visit.page.locator(".fc-predict")).to_contain_text("hotter air can hold more")
    visit.shot("predicted")


def test_wrong_answers_meet_their_misconception_and_three_bring_the_solution(lesson):
    visit = lesson("02_air")
    question = card(visit, "the bulbs read 110 °F and 102 °F")
    box, feedback = question.locator("input[type=text]"), question.locator(".fc-feedback")
    box.press_sequentially("8")
    box.press("Enter")
    expect(feedback).to_contain_text("✗ Not yet.")
    expect(feedback).to_contain_text("is the depression")
    assert box.input_value() == "8"
    visit.shot("answered_wrong")
    box.fill("20")
    question.get_by_role("button", name="Check").click()
    expect(feedback).to_contain_text("Step 1")
    box.fill("30")
    question.get_by_role("button", name="Check").click()
    again = card(visit, "the bulbs read 115 °F and 105 °F")  # the words that found the card went with its numbers
    expect(again.locator(".fc-feedback")).to_contain_text("the whole solution")
    again.locator("input[type=text]").fill("71 %")
    again.locator("input[type=text]").press("Enter")
    expect(again.locator(".fc-feedback")).to_contain_text("✓ Right.")
    visit.shot("answered_right")


def test_arrows_choose_a_situation(lesson):
    """The keys of a notebook stay out of a list of choices."""
    visit = lesson("02_air")
    visit.commit()
    chosen = visit.panel().get_by_label("Situation")
    before = visit.drawing().get_attribute("alt")
    chosen.focus()
    for _ in range(2):  # the first situation is the opening one
        visit.page.keyboard.press("ArrowDown")
    expect(visit.drawing()).not_to_have_attribute("alt", before)
    expect(chosen).to_be_focused()
    visit.panel().get_by_role("button", name="Reset").click()


def test_keys_move_picture_and_words(lesson):
    visit = lesson("00_start_here")
    image = visit.panel().locator("img")
    before, seen = image.get_attribute("alt"), image.get_attribute("src")
    assert "Dry bulb 110 °F" in before
    visit.press(0, "ArrowRight", times=5)
    expect(image).to_have_attribute("alt", re.compile("Dry bulb 115 °F"))
    assert image.get_attribute("src") != seen
    expect(visit.panel().locator(".fc-said")).to_contain_text("Dry bulb 115 °F")
    visit.shot("air_moved")
    visit.panel().get_by_role("button", name="Reset").click()
    expect(image).to_have_attribute("alt", before)
    expect(image).to_have_attribute("src", seen)


def test_a_typed_value_out_of_range_is_refused_in_words(lesson):
    visit = lesson("00_start_here")
    image = visit.panel().locator("img")
    before = image.get_attribute("src")
    box = visit.panel().locator("input[type=text]").first
    box.fill("43")
    box.press("Enter")
    expect(visit.panel().locator(".fc-refusal")).to_contain_text("Is this Celsius?")
    assert box.input_value() == "43"
    assert image.get_attribute("src") == before
    visit.shot("air_refused")
    box.fill("43 C")
    box.press("Enter")
    expect(image).to_have_attribute("alt", re.compile("Dry bulb 109.4 °F"))
    expect(visit.panel().locator(".fc-refusal")).to_have_count(0)


def test_a_cell_run_again_leaves_one_panel(lesson):
    visit = lesson("00_start_here")
    expect(visit.panel()).to_have_count(1)
    for _ in range(2):
        visit.page.locator(".jp-CodeCell:has(.fc-controls)").first.click(position={"x": 4, "y": 40})
        visit.page.keyboard.press("Escape")
        visit.page.keyboard.press("Control+Enter")
        visit.wait_idle().wait_live()
    expect(visit.page.locator(".fc-view:has(.fc-controls)")).to_have_count(1)
    visit.press(0, "ArrowRight")
    expect(visit.panel().locator("img")).to_have_attribute("alt", re.compile("Dry bulb 111 °F"))


def test_sample_boards_are_chosen_by_keyboard(lesson):
    visit = lesson("04_sample_boards")
    stack = visit.page.locator(".fc-choose")
    boxes = stack.get_by_role("checkbox")
    expect(boxes).to_have_count(12)
    boxes.first.focus()
    for number in range(1, 13):
        if number in (1, 3, 4, 9):
            visit.page.keyboard.press("Space")
        visit.page.keyboard.press("Tab")
    visit.page.keyboard.press("Enter")
    expect(stack.locator(".fc-feedback")).to_contain_text("✓ Right.")
    expect(stack.locator(".fc-feedback")).to_contain_text("✓ Board 9. One of the wettest")
    visit.shot("boards_chosen")
    stack.get_by_label(re.compile(r"^12\. ")).check()
    stack.get_by_role("button", name="Check").click()
    expect(stack.locator(".fc-refusal")).to_contain_text("Tick 4 boards. 5 are ticked now.")


def test_switching_units_shows_the_same_air(lesson):
    visit = lesson("00_start_here")
    visit.panel().get_by_role("button", name="Reset").click()
    image = visit.panel().locator("img")
    expect(image).to_have_attribute("alt", re.compile("Dry bulb 110 °F"))
    before, seen = image.get_attribute("alt"), image.get_attribute("src")
    visit.panel().get_by_role("button", name="°C").click()
    expect(image).to_have_attribute("alt", re.compile("Dry bulb 43.3 °C"))
    visit.shot("air_metric")
    visit.panel().get_by_role("button", name="°F").click()
    expect(image).to_have_attribute("alt", before)
    expect(image).to_have_attribute("src", seen)
