"""Every lesson in a real browser, opened once: alive, quiet, local, clean, nothing cut; and a learner at work in it.

The tests of one lesson share its page, with those of test_start_here, test_stack and test_defect_finder; the first here
begins with a new one, because its prediction is still to be made.
"""

import os
import re
import signal
from itertools import pairwise
from pathlib import Path

import pytest
from conftest import in_lesson, wait_until
from playwright.sync_api import expect
from test_connection import children

from kilnlib.words import text

OUTPUT = ".jp-OutputArea"
LESSONS = sorted(path.stem for path in (Path(__file__).parents[2] / "workbooks").glob("[0-9]*.ipynb"))
# Numbers that the end of a line may tear from their unit.
TORN = """() => [...document.querySelectorAll(".jp-MarkdownOutput :is(p, td), .widget-radio-box label")]
  .map(e => e.textContent).filter(words => /\\d [%°]/.test(words))"""
WATCH_SENT = """() => { const send = window.fcSend ??= WebSocket.prototype.send; window.fcSent = [];
  WebSocket.prototype.send = function (sent) {
    window.fcSent.push(typeof sent === "string" ? sent : new TextDecoder().decode(sent));
    return send.call(this, sent); } }"""
COMMITS = {"05_through_the_stack": "B"}  # the prediction to make in a lesson, if it is not A


def card(visit, words):
    """A question by the words of its prompt."""
    return visit.page.locator(".fc-card").filter(has_text=words).first


def as_it_opens(lesson):
    """The panel of a lesson as it opens, whatever the test before left in it."""
    lesson.commit()
    lesson.panel().get_by_role("button", name="Reset", exact=True).click()
    expect(lesson.drawing()).to_have_attribute("alt", re.compile("Dry bulb 110 °F"))


@in_lesson(*LESSONS)
def test_a_lesson_is_whole(new_lesson, name):
    assert new_lesson.interruptions() == []
    assert new_lesson.axe_of_page() == []
    assert new_lesson.page.locator(f"{OUTPUT} [data-mime-type*=error]").count() == 0
    prediction = new_lesson.page.locator(".fc-predict")
    if prediction.count():
        expect(new_lesson.drawing()).to_be_hidden()
        expect(new_lesson.panel().locator(".fc-numbers")).to_be_hidden()
        new_lesson.commit(COMMITS.get(name, "A"))
        for told in prediction.all():
            expect(told).to_contain_text("You said")
            expect(told).not_to_contain_text(re.compile("It came out"))
    assert wait_until(lambda: new_lesson.page.evaluate(TORN) == []), new_lesson.page.evaluate(TORN)
    new_lesson.assert_panels_fit(name)
    new_lesson.assert_tasks_beside_picture()
    assert new_lesson.axe() == ""
    assert new_lesson.interruptions() == []
    assert new_lesson.outside() == []


@in_lesson("02_air")
def test_the_first_move_tells_whether_the_prediction_was_right(lesson):
    lesson.commit()
    lesson.press(0, "ArrowRight")
    expect(lesson.page.locator(".fc-predict")).to_contain_text("It came out otherwise")
    expect(lesson.page.locator(".fc-predict")).to_contain_text("hotter air can hold more")
    lesson.shot("predicted")


@in_lesson("02_air")
def test_each_task_stands_in_one_view_with_the_picture(lesson):
    as_it_opens(lesson)
    bar, listed = lesson.page.locator(".fc-tasks"), lesson.page.locator('[data-cell="look"] ol > li')
    expect(bar).to_contain_text("Look, 1 of 3")
    for number in range(listed.count()):
        task = bar.locator(".fc-task")
        expect(task).to_have_text(re.sub(r"\s+", " ", listed.nth(number).inner_text()).strip())
        if number + 1 < listed.count():
            bar.get_by_role("button", name="Next").click()
    expect(bar.get_by_role("button", name="Next")).to_be_disabled()
    bar.get_by_role("button", name="Before").click()
    expect(bar).to_contain_text("Look, 2 of 3")
    assert lesson.axe() == ""


@in_lesson("02_air")
def test_wrong_answers_meet_their_misconception_and_three_bring_the_solution(lesson):
    question = card(lesson, "the bulbs read 110 °F and 102 °F")
    box, feedback = question.locator("input[type=text]"), question.locator(".fc-feedback")
    box.press_sequentially("8")
    box.press("Enter")
    expect(feedback).to_contain_text("✗ Not yet.")
    expect(feedback).to_contain_text("is the depression")
    assert box.input_value() == "8"
    lesson.shot("answered_wrong")
    box.fill("20")
    question.get_by_role("button", name="Check").click()
    expect(feedback).to_contain_text("Step 1")
    box.fill("30")
    question.get_by_role("button", name="Check").click()
    again = card(lesson, "the bulbs read 115 °F and 105 °F")  # the words that found the card went with its numbers
    expect(again.locator(".fc-feedback")).to_contain_text("the whole solution")
    again.locator("input[type=text]").fill("71 %")
    again.locator("input[type=text]").press("Enter")
    expect(again.locator(".fc-feedback")).to_contain_text("✓ Right.")
    lesson.shot("answered_right")


@pytest.mark.skipif(not Path("/proc").is_dir(), reason="finds the kernel by /proc")
@pytest.mark.parametrize("press", ["Check", "Enter"])
@in_lesson("02_air")
def test_a_button_waits_for_the_letters_typed_before_it(lesson, classroom, press):
    """A kernel at work: the box keeps its last letters back until it is done, and the answer must not overtake them."""
    lesson.page.evaluate(WATCH_SENT)
    question = lesson.page.locator(".fc-card:has(input[type=text]:visible)").first
    box = question.locator("input[type=text]")
    box.fill("")
    lesson.wait_idle()
    for kernel in children(classroom.process):
        os.kill(kernel, signal.SIGSTOP)
    try:
        box.press_sequentially("71.25")
        if press == "Enter":
            box.press("Enter")
        else:
            question.get_by_role("button", name="Check").click()
        lesson.page.wait_for_timeout(300)
    finally:
        for kernel in children(classroom.process):
            os.kill(kernel, signal.SIGCONT)
    lesson.page.wait_for_function('() => window.fcSent.some(one => /"event":"(click|submit)"/.test(one))')
    sent = lesson.page.evaluate("() => window.fcSent")
    letters = [number for number, one in enumerate(sent) if '"71.25"' in one]
    pressed = [number for number, one in enumerate(sent) if '"event":"click"' in one or '"event":"submit"' in one]
    assert letters and len(pressed) == 1 and pressed[0] > letters[-1], sent


@in_lesson("02_air")
def test_arrows_choose_a_situation(lesson):
    """The keys of a notebook stay out of a list of choices."""
    as_it_opens(lesson)
    chosen = lesson.panel().get_by_label("Situation")
    before = lesson.drawing().get_attribute("alt")
    chosen.focus()
    for _ in range(2):  # the first situation is the opening one
        lesson.page.keyboard.press("ArrowDown")
    expect(lesson.drawing()).not_to_have_attribute("alt", before)
    expect(chosen).to_be_focused()
    lesson.panel().get_by_role("button", name="Reset").click()


@in_lesson("02_air")
def test_keys_move_picture_and_words(lesson):
    as_it_opens(lesson)
    image = lesson.panel().locator("img")
    before, seen = image.get_attribute("alt"), image.get_attribute("src")
    assert "Dry bulb 110 °F" in before
    lesson.press(0, "ArrowRight", times=5)
    expect(image).to_have_attribute("alt", re.compile("Dry bulb 115 °F"))
    assert image.get_attribute("src") != seen
    expect(lesson.panel().locator(".fc-said")).to_contain_text("Dry bulb 115 °F")
    lesson.shot("air_moved")
    lesson.panel().get_by_role("button", name="Reset").click()
    expect(image).to_have_attribute("alt", before)
    expect(image).to_have_attribute("src", seen)


@in_lesson("02_air")
def test_a_typed_value_out_of_range_is_refused_in_words(lesson):
    as_it_opens(lesson)
    image = lesson.panel().locator("img")
    before = image.get_attribute("src")
    box = lesson.panel().locator("input[type=text]").first
    box.fill("43")
    box.press("Enter")
    expect(lesson.panel().locator(".fc-refusal")).to_contain_text("Is this Celsius?")
    assert box.input_value() == "43"
    assert image.get_attribute("src") == before
    lesson.shot("air_refused")
    box.fill("43 C")
    box.press("Enter")
    expect(image).to_have_attribute("alt", re.compile("Dry bulb 109.4 °F"))
    expect(lesson.panel().locator(".fc-refusal")).to_have_count(0)


@in_lesson("02_air")
def test_a_cell_run_again_leaves_one_panel(lesson):
    as_it_opens(lesson)
    lesson.press(0, "ArrowRight")
    expect(lesson.drawing()).to_have_attribute("alt", re.compile("Dry bulb 111 °F"))
    lesson.page.wait_for_timeout(1500)  # until it is written down how the panel is left
    cell = lesson.page.locator('[data-cell="predict-look"]')
    expect(cell.locator(".fc-view:has(.fc-controls)")).to_have_count(1)
    for _ in range(2):
        cell.click(position={"x": 4, "y": 40})
        lesson.page.keyboard.press("Escape")
        lesson.page.keyboard.press("Control+Enter")
        lesson.wait_idle().wait_live()
    expect(cell.locator(".fc-view:has(.fc-controls)")).to_have_count(1)
    expect(lesson.drawing()).to_have_attribute("alt", re.compile("Dry bulb 111 °F"))  # it comes back as it was left
    lesson.panel().get_by_role("button", name="Reset", exact=True).click()
    expect(lesson.drawing()).to_have_attribute("alt", re.compile("Dry bulb 110 °F"))
    lesson.press(0, "ArrowRight")
    expect(lesson.drawing()).to_have_attribute("alt", re.compile("Dry bulb 111 °F"))


@in_lesson("04_sample_boards")
def test_sample_boards_are_chosen_by_keyboard(lesson):
    stack = lesson.page.locator(".fc-choose")
    boxes = stack.get_by_role("checkbox")
    expect(boxes).to_have_count(12)
    words = [one.bounding_box() for one in stack.locator(".widget-label-basic").all()]
    for above, below in pairwise(words):
        assert below["x"] > above["x"] or below["y"] - above["y"] - above["height"] >= 6
    boxes.first.focus()
    for number in range(1, 13):
        if number in (1, 3, 4, 9):
            lesson.page.keyboard.press("Space")
        lesson.page.keyboard.press("Tab")
    lesson.page.keyboard.press("Enter")
    expect(stack.locator(".fc-feedback")).to_contain_text("✓ Right.")
    expect(stack.locator(".fc-feedback")).to_contain_text("✓ Board 9. One of the wettest")
    lesson.shot("boards_chosen")
    stack.get_by_label(re.compile(r"^12\. ")).check()
    stack.get_by_role("button", name="Check").click()
    expect(stack.locator(".fc-refusal")).to_contain_text("Tick 4 boards. 5 are ticked now.")


@in_lesson("02_air")
def test_switching_units_shows_the_same_air(lesson):
    as_it_opens(lesson)
    image = lesson.panel().locator("img")
    expect(image).to_have_attribute("alt", re.compile("Dry bulb 110 °F"))
    before, seen = image.get_attribute("alt"), image.get_attribute("src")
    lesson.panel().get_by_role("button", name="°C").click()
    expect(image).to_have_attribute("alt", re.compile("Dry bulb 43.3 °C"))
    lesson.shot("air_metric")
    lesson.panel().get_by_role("button", name="°F").click()
    expect(image).to_have_attribute("alt", before)
    expect(image).to_have_attribute("src", seen)


@in_lesson("02_air")
def test_the_handbook_is_folded_at_the_end_and_opens(lesson):
    tables = lesson.page.locator(f"{OUTPUT} pre", has_text="difference")
    heading = lesson.page.get_by_role("heading", name="Against the handbook")
    heading.scroll_into_view_if_needed()
    expect(tables.first).to_be_hidden()
    before, end = lesson.page.get_by_role("heading", name="Tomorrow at the kiln"), lesson.page.locator(".fc-end")
    for one in (before, heading, end):
        expect(one).to_be_visible()
    heights = [one.bounding_box()["y"] for one in (before, heading, end)]
    assert heights == sorted(heights)
    lesson.page.get_by_role("button", name=text("page.folded")).click()
    expect(tables.first).to_be_visible()
    lesson.shot("handbook_open")


LINES = """() => [...document.querySelectorAll(".fc-ask .fc-card")].filter(e => e.offsetParent).map(e => {
  const lines = getComputedStyle(e, "::after");
  return [lines.content !== "none", parseFloat(lines.borderTopWidth), parseFloat(lines.borderBottomWidth),
    parseFloat(lines.height), parseFloat(lines.width) / e.offsetWidth];
})"""


@in_lesson("02_air")
def test_each_printed_question_has_lines_to_write_on(lesson):
    """On paper alone, and so far apart that a hand fits between."""
    page = lesson.page
    assert not any(there for there, *_ in page.evaluate(LINES))
    page.emulate_media(media="print")
    lines = page.evaluate(LINES)
    page.emulate_media(media="null")
    assert len(lines) >= 3
    for there, upper, lower, apart, wide in lines:
        assert there
        assert min(upper, lower) >= 1
        assert apart * 0.72 * 25.4 / 96 >= 6, "millimeters on paper, where the page is shown at 0.72"
        assert wide > 0.9


@in_lesson("02_air")
def test_the_folded_handbook_is_printed_small_at_the_end(new_lesson):
    page, tables = new_lesson.page, new_lesson.page.locator(".jp-Cell.lm-mod-hidden pre")
    text_px = "e => parseFloat(getComputedStyle(e).fontSize)"
    assert tables.count() >= 2
    expect(tables.first).to_be_hidden()
    page.emulate_media(media="print")
    expect(tables.last).to_be_visible()
    sizes = tables.evaluate_all(f"all => all.map({text_px})")
    width = page.locator(".first-charge:not(.lm-mod-hidden)").first.evaluate("e => e.scrollWidth - e.clientWidth")
    button = page.locator(".jp-showHiddenCellsButton").first
    expect(button).to_be_hidden()
    plain = page.locator(".jp-MarkdownOutput p").first.evaluate(text_px)
    page.emulate_media(media="null")
    expect(tables.first).to_be_hidden()
    assert set(sizes) == {13}
    assert plain > 13
    assert width <= 0


@in_lesson("02_air")
def test_ctrl_p_is_the_browsers_own(lesson):
    """No page of another program's making comes between, and nothing is asked of the internet."""
    page = lesson.page
    page.evaluate(
        "() => { window.fcTaken = null; window.addEventListener('keydown', e => { if (e.key === 'p') "
        "setTimeout(() => { window.fcTaken = e.defaultPrevented; }) }, true) }"
    )
    page.locator(".jp-MarkdownOutput p").first.click()
    page.keyboard.press("Control+p")
    page.wait_for_function("() => window.fcTaken !== null")
    assert page.evaluate("window.fcTaken") is False
    assert page.locator("iframe").count() == 0
    assert lesson.outside() == []
