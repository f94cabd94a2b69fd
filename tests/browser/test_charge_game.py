"""Lesson 15 in a real browser: a charge by keyboard alone, the way in, a reload, and its end."""

import contextlib
import math
import re

from conftest import FLAGS, in_lesson, wait_until
from playwright.sync_api import expect

from kilnlib.bench.drawings.charge_page import debriefed, log_page
from kilnlib.bench.panels.charge_game import CSS
from kilnlib.cases import charge_game as case
from kilnlib.physics import charge
from kilnlib.words import text


def press(lesson, name):
    """Press a button of the panel by keyboard."""
    lesson.panel().get_by_role("button", name=name, exact=True).focus()
    lesson.page.keyboard.press("Enter")


def assert_buttons_whole(lesson):
    """No button of the controls is cut off at their edge."""
    edge = lesson.panel().locator(".fc-controls").bounding_box()
    for button in lesson.panel().locator(".fc-controls button:visible").all():
        box = button.bounding_box()
        assert box["x"] + box["width"] <= edge["x"] + edge["width"], button.inner_text()


def right_edge(part):
    """Where a part of the page ends on its right [px]."""
    box = part.bounding_box()
    return box["x"] + box["width"]


def assert_words_whole(lesson, box):
    """Nothing of what is said has to be scrolled for, and no list is under the picture."""
    words = lesson.panel().locator(box)
    assert wait_until(lambda: words.evaluate("e => e.scrollHeight - e.clientHeight") <= 0), words.inner_text()
    edge = lesson.panel().locator(".fc-controls").bounding_box()
    for box in lesson.panel().locator(".fc-controls :is(select, input):visible").all():
        whole = box.bounding_box()
        assert whole["x"] + whole["width"] <= edge["x"] + edge["width"]


def assert_a_long_log_is_printed_whole(chromium):
    """A charge of sixty days has every day and all that is said of it on its sheets of A4 and of Letter."""
    decisions = (charge.Decision(43.3, 41.1, (), "held: nothing is to be decided this morning"),) * charge.LONGEST_DAYS
    debrief = case.debrief(case.ended(case.Game(case.Setup(water="mist"), decisions), "cooled", "heated"))
    page = chromium.new_page()
    page.set_content(log_page(debrief, "A long charge", "trade").decode())
    page.emulate_media(media="print")
    days = page.locator("tbody td:first-child").all_inner_texts()
    assert days == [str(day) for day in range(charge.LONGEST_DAYS + 1)]
    assert set(debriefed(debrief, "trade")) <= set(page.locator("p").all_inner_texts())
    main = page.locator("main")
    assert main.evaluate("e => [e.scrollHeight - e.clientHeight, e.scrollWidth - e.clientWidth]") == [0, 0]
    assert page.locator("thead").evaluate("e => getComputedStyle(e).display") == "table-header-group"
    for paper, tall_mm in (("A4", 277), ("Letter", 259)):
        sheets = len(re.findall(rb"/Type\s*/Page\b", page.pdf(format=paper)))
        assert sheets >= math.ceil(main.evaluate("e => e.scrollHeight") * 25.4 / 96 / tall_mm) > 1
    page.close()


def assert_a_long_text_shows_its_bar(chromium, path):
    """Where a debrief is longer than its box, a scroll bar stands beside it, also where the system's own would hide."""
    with contextlib.closing(
        chromium.browser_type.launch(executable_path=path, args=FLAGS, ignore_default_args=["--hide-scrollbars"])
    ) as browser:
        page = browser.new_page()
        page.set_content(f'{CSS}<div class="fc-game"><div class="fc-after">{"<p>Oak.</p>" * 40}</div></div>')
        box = page.locator(".fc-after").evaluate(
            "e => [e.scrollHeight > e.clientHeight, e.offsetWidth - e.clientWidth]"
        )
        assert box == [True, 10]


@in_lesson("15_run_a_charge")
def test_a_charge_is_run_by_keyboard_and_is_there_again_after_a_reload(new_lesson, chromium, chromium_path):
    lesson = new_lesson
    lesson.commit("B")
    panel = lesson.panel()
    lesson.assert_panels_fit("charge_plan")
    assert_buttons_whole(lesson)
    panel.get_by_label("Wood", exact=True).select_option(label=text("charge_game.wood.maple"))
    panel.get_by_label("Water", exact=True).select_option(label=text("charge_game.water.mist"))
    press(lesson, "Fans on")
    expect(panel.locator(".fc-findings")).to_contain_text("Morning 0.")
    panel.get_by_label("Dry bulb", exact=True).fill("120")
    panel.get_by_label("Wet bulb", exact=True).fill("90")
    panel.get_by_label("Reason", exact=True).fill("to see it crack")
    panel.get_by_label("Days", exact=True).select_option("3")
    press(lesson, "Let it run")
    expect(panel.locator(".fc-findings")).to_contain_text("Open checks show in board")
    expect(panel.locator("svg[role=img]")).to_have_attribute("aria-label", re.compile("Morning 1. Set 120"))
    expect(panel.locator(".fc-findings")).to_contain_text("Stopped after 1 of 3 days")
    lesson.assert_panels_fit("charge_run")
    assert_buttons_whole(lesson)
    assert_words_whole(lesson, ".fc-findings")
    panel.get_by_label("Also", exact=True).select_option(
        label=text("charge_game.act_inside", what=text("trouble.test.look_at_wick"), minutes=3)
    )
    press(lesson, "Do it")
    steps = [step.removeprefix("First ").removeprefix("Then ")[1:] for step in text("entry.steps").split(". ")[:5]]
    expect(panel.get_by_role("button", name=steps[0])).to_be_visible()
    lesson.assert_panels_fit("charge_enter")
    assert_buttons_whole(lesson)
    for step in steps:
        panel.get_by_role("button", name=step).focus()
        lesson.page.keyboard.press("Enter")
    expect(panel.locator(".fc-findings")).to_contain_text(text("trouble.told.wick_wet"))
    lesson.assert_panels_fit("charge_looked")
    assert_words_whole(lesson, ".fc-findings")
    assert lesson.axe() == ""
    lesson.page.reload()
    lesson.wait_live().wait_idle()
    expect(panel.get_by_text("A charge is still in the kiln")).to_be_visible()
    lesson.assert_panels_fit("charge_kept")
    press(lesson, "Go on with it")
    expect(panel.locator(".fc-findings")).to_contain_text(text("trouble.told.wick_wet"))
    press(lesson, "Heat off")
    panel.get_by_label("Open it", exact=True).select_option(label=text("charge_game.cooling.cooled"))
    panel.get_by_label("Store it", exact=True).select_option(label=text("charge_game.store.heated"))
    press(lesson, "End the charge")
    expect(panel.locator(".fc-after")).to_contain_text("points of 100")
    expect(panel.locator(".fc-after")).to_contain_text("Surface checks in")
    lesson.assert_panels_fit("charge_after")
    assert_buttons_whole(lesson)
    assert_words_whole(lesson, ".fc-after")
    lesson.page.set_viewport_size({"width": 800, "height": 600})
    assert wait_until(lambda: right_edge(lesson.drawing()) <= 800), "no sideways scrolling in a narrow window"
    lesson.shot("charge_after_narrow")
    lesson.page.set_viewport_size({"width": 1280, "height": 720})
    press(lesson, "Print the log")
    expect(panel.locator(".fc-controls")).to_contain_text("Written:")
    lesson.assert_panels_fit("charge_printed")
    assert lesson.axe() == ""
    press(lesson, "New charge")
    panel.get_by_label("Wood", exact=True).select_option(label=text("charge_game.wood.poplar"))
    press(lesson, "Fans on")
    expect(panel.locator(".fc-schedule")).to_contain_text("this kiln stops at 140 °F and 25 % RH")
    lesson.assert_panels_fit("charge_card")
    assert_words_whole(lesson, ".fc-findings")
    assert_a_long_log_is_printed_whole(chromium)
    assert_a_long_text_shows_its_bar(chromium, chromium_path)
