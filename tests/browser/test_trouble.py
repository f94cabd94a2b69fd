"""Lesson 14 and first aid in a real browser: by keyboard alone, and two clicks from the first page."""

import re

import pytest
from conftest import in_lesson
from playwright.sync_api import expect

from kilnlib.cases import trouble as case
from kilnlib.words import text


@in_lesson("14_find_the_trouble")
def test_a_log_is_searched_to_its_end_by_keyboard(new_lesson):
    lesson = new_lesson  # its guess is still to be made
    lesson.commit("C")
    panel = lesson.panel()
    expect(panel.get_by_label("Log", exact=True)).to_be_focused()
    page = lesson.page
    lesson.assert_panels_fit("trouble")
    panel.get_by_label("Log", exact=True).select_option("Case 5")
    expect(panel.locator(".fc-said").first).to_contain_text("Red oak")
    expect(panel.locator("svg[role=img]")).to_have_attribute("aria-label", re.compile("Day 5: .*compressor 22 h"))
    first = case.log("case-5").first_day
    panel.locator(".fc-mark").get_by_role("button", name=str(first), exact=True).focus()
    page.keyboard.press("Enter")
    expect(panel.locator(".fc-feedback").last).to_contain_text("Right.")
    expect(panel.get_by_label("Look at")).to_be_focused()
    frame = panel.locator(".fc-controls").bounding_box()
    look = panel.get_by_role("button", name="Look", exact=True).bounding_box()
    assert look["x"] + look["width"] <= frame["x"] + frame["width"]
    wider = "all => all.filter(e => e.scrollWidth > e.clientWidth + 1).map(e => e.className)"
    assert panel.locator(".fc-controls, .fc-controls .widget-hbox").evaluate_all(wider) == []
    panel.get_by_label("Look at").select_option(
        label=text("trouble.look_option", what="a cup under the drain", minutes=3)
    )
    panel.get_by_role("button", name="Look", exact=True).focus()
    page.keyboard.press("Enter")
    expect(panel.locator(".fc-looks")).to_contain_text("backs up")
    panel.get_by_label("Cause").select_option(label=text("trouble.fault.blocked_drain"))
    panel.get_by_label("Action").select_option(label=text("trouble.mend.clear_the_drain"))
    panel.get_by_role("button", name="Name it").focus()
    page.keyboard.press("Enter")
    expect(panel.locator(".fc-feedback").last).to_contain_text("that is the thing to do")
    lesson.shot("trouble_named")
    whole = panel.locator("> .widget-hbox").bounding_box()
    assert whole["width"] <= 940 and whole["height"] <= 440
    assert lesson.axe() == ""


@pytest.mark.parametrize("start_page", ["home"])
def test_first_aid_is_two_clicks_from_anywhere(visit, classroom, start_page):
    opened = visit(classroom.page(f"{start_page}.ipynb"))
    opened.page.get_by_role("link", name="First aid for a charge").first.click()
    expect(opened.page.get_by_role("heading", name="A power cut on day 4")).to_be_visible()
    expect(opened.page).to_have_title(re.compile("^First aid for a charge"))
    bar = opened.page.locator(".fc-bar:visible")
    expect(bar.locator(".fc-title")).to_have_text("First aid for a charge")
    bar.get_by_role("button", name="Contents").click()
    contents = opened.page.locator(".fc-contents.fc-open")
    expect(contents.get_by_role("link", name="First aid for a charge")).to_be_visible()
    contents.get_by_role("button", name="A power cut on day 4").click()
    expect(opened.page.get_by_role("heading", name="A power cut on day 4")).to_be_focused()
    opened.shot("first_aid")
    words = opened.page.locator(".jp-Notebook").last.inner_text()
    assert text("entry.steps") in " ".join(words.split())
    assert opened.interruptions() == []
