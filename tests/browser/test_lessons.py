"""A learner's first hour in a real browser: a live slider, a wrong and a right answer, words instead of tracebacks."""

import re

import pytest
from playwright.sync_api import expect

OUTPUT = ".jp-OutputArea"


@pytest.fixture
def lesson(lessons, visit):
    """lesson("02_air"): that lesson, alive."""

    def open_lesson(name, zoom=1.0):
        return visit(lessons.page(f"{name}.ipynb"), zoom).wait_live().wait_idle()

    return open_lesson


def panel(visit, number=0):
    """A panel's frame: the one that holds sliders."""
    return visit.page.locator(".fc-view:has(.fc-controls)").nth(number)


def commit(visit, letter):
    """Answer the prediction inside the panel."""
    box = visit.page.locator(".fc-predict")
    box.get_by_text(re.compile(rf"^{letter}\. ")).click()
    box.get_by_role("button", name="Commit").click()
    expect(panel(visit).locator("img")).to_be_visible()


def card(visit, words):
    """A question by the words of its prompt."""
    return visit.page.locator(".fc-card").filter(has_text=words).first


def test_keys_move_picture_and_words(lesson):
    visit = lesson("00_start_here")
    image = panel(visit).locator("img")
    before, seen = image.get_attribute("alt"), image.get_attribute("src")
    assert "Dry bulb 110 °F" in before
    visit.press(0, "ArrowRight", times=5)
    expect(image).to_have_attribute("alt", re.compile("Dry bulb 115 °F"))
    assert image.get_attribute("src") != seen
    expect(panel(visit).locator(".fc-said")).to_contain_text("Dry bulb 115 °F")
    visit.shot("air_moved")
    panel(visit).get_by_role("button", name="Reset").click()
    expect(image).to_have_attribute("alt", before)
    expect(image).to_have_attribute("src", seen)


def test_a_typed_value_out_of_range_is_refused_in_words(lesson):
    visit = lesson("00_start_here")
    image = panel(visit).locator("img")
    before = image.get_attribute("src")
    box = panel(visit).locator("input[type=text]").first
    box.fill("43")
    box.press("Enter")
    expect(panel(visit).locator(".fc-refusal")).to_contain_text("Is this Celsius?")
    assert box.input_value() == "43"
    assert image.get_attribute("src") == before
    visit.shot("air_refused")
    box.fill("43 C")
    box.press("Enter")
    expect(image).to_have_attribute("alt", re.compile("Dry bulb 109.4 °F"))
    expect(panel(visit).locator(".fc-refusal")).to_have_count(0)


def test_prediction_hides_the_result_until_it_is_made(lesson):
    visit = lesson("02_air")
    image = panel(visit).locator("img")
    expect(image).to_be_hidden()
    expect(panel(visit).locator(".fc-numbers")).to_be_hidden()
    commit(visit, "A")
    expect(visit.page.locator(".fc-predict")).to_contain_text("You said")
    expect(visit.page.locator(".fc-predict")).not_to_contain_text("Not yet")
    visit.press(0, "ArrowRight")
    expect(visit.page.locator(".fc-predict")).to_contain_text("Not yet")
    expect(visit.page.locator(".fc-predict")).to_contain_text("hotter air can hold more")
    visit.shot("predicted")


def test_a_wrong_answer_meets_its_misconception_and_a_right_one_is_taken(lesson):
    visit = lesson("02_air")
    question = card(visit, "the bulbs read 110 °F and 102 °F")
    box = question.locator("input[type=text]")
    box.fill("8")
    question.get_by_role("button", name="Check").click()
    feedback = question.locator(".fc-feedback")
    expect(feedback).to_contain_text("✗ Not yet.")
    expect(feedback).to_contain_text("is the depression")
    assert box.input_value() == "8"
    visit.shot("answered_wrong")
    box.fill("76 %")
    box.press("Enter")
    expect(feedback).to_contain_text("✓ Right.")
    visit.shot("answered_right")


def test_three_wrong_answers_bring_the_solution_and_new_numbers(lesson):
    visit = lesson("02_air")
    for wrong in ("8", "20"):
        question = card(visit, "the bulbs read 110 °F and 102 °F")
        question.locator("input[type=text]").fill(wrong)
        question.get_by_role("button", name="Check").click()
        expect(question.locator(".fc-feedback")).to_contain_text("Not yet")
        visit.wait_idle()
    question.locator("input[type=text]").fill("30")
    question.get_by_role("button", name="Check").click()
    again = card(visit, "the bulbs read 115 °F and 105 °F")  # the words that found the card are gone with its numbers
    expect(again.locator(".fc-feedback")).to_contain_text("Not yet")
    visit.shot("new_numbers")


def test_a_cell_run_again_leaves_one_panel(lesson):
    visit = lesson("00_start_here")
    expect(panel(visit)).to_have_count(1)
    for _ in range(2):
        visit.page.locator(".jp-CodeCell:has(.fc-controls)").first.click(position={"x": 4, "y": 40})
        visit.page.keyboard.press("Escape")
        visit.page.keyboard.press("Control+Enter")
        visit.wait_idle().wait_live()
    expect(visit.page.locator(".fc-view:has(.fc-controls)")).to_have_count(1)
    visit.press(0, "ArrowRight")
    expect(panel(visit).locator("img")).to_have_attribute("alt", re.compile("Dry bulb 111 °F"))


@pytest.mark.parametrize("name", ["00_start_here", "02_air", "03_emc", "04_sample_boards"])
def test_a_lesson_is_alive_quiet_local_and_clean(lesson, name):
    visit = lesson(name)
    assert visit.interruptions() == []
    assert visit.outside() == []
    assert visit.page.locator(f"{OUTPUT} [data-mime-type*=error]").count() == 0
    if visit.page.locator(".fc-predict").count():
        commit(visit, "A")
    assert visit.axe() == ""
    visit.shot(name)


@pytest.mark.parametrize("name", ["02_air", "03_emc", "04_sample_boards"])
@pytest.mark.parametrize("zoom", [1.0, 1.25])
def test_a_panel_fits_the_screen_with_nothing_cut(lesson, name, zoom):
    visit = lesson(name, zoom)
    commit(visit, "A")
    panel(visit).scroll_into_view_if_needed()
    whole = panel(visit).locator("> .widget-hbox").bounding_box()
    assert whole["width"] <= 940
    assert whole["height"] <= 440
    left = visit.page.evaluate("document.querySelector('.fc-stage img').getBoundingClientRect().right")
    assert left <= 1280 / zoom
    cut = visit.page.evaluate(
        """() => [...document.querySelectorAll(
            ".fc-controls .widget-label, .fc-controls button, .fc-said, .fc-numbers td")]
        .filter(e => e.offsetParent && (e.scrollWidth > e.clientWidth + 1 || e.scrollHeight > e.clientHeight + 2))
        .map(e => e.textContent)"""
    )
    assert cut == []
    visit.shot(f"{name}_{int(zoom * 100)}")


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
    image = panel(visit).locator("img")
    before, seen = image.get_attribute("alt"), image.get_attribute("src")
    panel(visit).get_by_role("button", name="°C").click()
    expect(image).to_have_attribute("alt", re.compile("Dry bulb 43.3 °C"))
    visit.shot("air_metric")
    panel(visit).get_by_role("button", name="°F").click()
    expect(image).to_have_attribute("alt", before)
    expect(image).to_have_attribute("src", seen)
