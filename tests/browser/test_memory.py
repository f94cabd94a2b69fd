"""A lesson opened again in the browser stands as it was left, also after its kernel was killed."""

import os
import re
import signal
import subprocess

from conftest import LIVE, WAIT_MS, wait_until
from playwright.sync_api import expect

from kilnlib.store.record import Record

NUMBERS, UNCHECKED = "the bulbs read 110 °F and 102 °F", "The air stood at"


def opened(visit, lessons):
    return visit(lessons.page("02_air.ipynb")).wait_live().wait_idle()


def kill_kernels(server):
    """kill -9 of every kernel of a server; returns how many there were."""
    listed = subprocess.run(
        ["pgrep", "-P", str(server.process.pid), "-f", "ipykernel"], capture_output=True, text=True, timeout=10
    )
    for number in listed.stdout.split():
        os.kill(int(number), signal.SIGKILL)
    return len(listed.stdout.split())


def card(page, words):
    return page.page.locator(".fc-card").filter(has_text=words).first


def test_what_was_answered_predicted_moved_and_typed_is_there_again(visit, lessons):
    """After a reload at once; then after the page was closed and its kernel killed."""
    record = Record(lessons.home / "record.sqlite")
    page = opened(visit, lessons)
    page.commit()
    page.press(0, "ArrowRight")
    expect(page.page.locator(".fc-predict")).to_contain_text("It came out otherwise")
    moved = page.slider(0).get_attribute("aria-valuetext")
    question, unchecked = card(page, NUMBERS), card(page, UNCHECKED)
    question.locator("input[type=text]").fill("8")
    question.get_by_role("button", name="Check").click()
    expect(question).to_contain_text("✗ Not yet.")
    unchecked.locator("input[type=text]").fill("29.5")
    page.page.get_by_text(re.compile(r"^B\. ")).first.click()
    page.page.reload()  # at once
    page.wait_live().wait_idle()
    expect(unchecked.locator("input[type=text]")).to_have_value("29.5")
    expect(page.page.get_by_label(re.compile(r"^B\. ")).first).to_be_checked()
    unchecked.locator("input[type=text]").fill("30.5")
    assert wait_until(lambda: record.left("02_air/typed/air-b") == "30.5", 30), "written when typing pauses"
    assert wait_until(lambda: record.left("02_air/air/air-predict"), 30), "written a second after the last move"
    page.page.close()
    assert kill_kernels(lessons) >= 1
    again = opened(visit, lessons)
    expect(again.page.locator(".fc-predict")).to_contain_text("You said")
    expect(again.page.locator(".fc-predict")).to_contain_text("It came out otherwise")
    expect(again.page.locator(".fc-controls").first).to_contain_text("This is as you left it on")
    expect(again.slider(0)).to_have_attribute("aria-valuetext", moved)
    question = card(again, NUMBERS)
    expect(question).to_contain_text("You tried this on")
    expect(question.locator("input[type=text]")).to_have_value("8")
    expect(card(again, UNCHECKED).locator("input[type=text]")).to_have_value("30.5")
    expect(again.page.get_by_label(re.compile(r"^B\. ")).first).to_be_checked()
    again.drawing().scroll_into_view_if_needed()
    again.shot("as_left")
    assert again.axe() == ""
    assert record.last_place() == "02_air" and len(record.answers("air-a")) == 1
    again.page.get_by_role("button", name="Reset").first.click()
    expect(again.page.locator(".fc-controls").first).not_to_contain_text("as you left it")
    answer_in_two_tabs(again, lessons)
    assert again.interruptions() == []


def answer_in_two_tabs(first, lessons):
    """A second tab takes the lesson over, and one answers there; then each is loaded again in turn."""
    second = first.context.new_page()
    second.set_default_timeout(WAIT_MS)
    second.goto(lessons.page("02_air.ipynb"))
    expect(second.locator(".jp-NotebookPanel.first-charge[data-status=opening]")).to_be_visible()
    take_over(second)
    expect(first.page.locator("[data-cell=your-turn-ask]")).to_contain_text("This now stands in another tab")
    question = second.locator(".fc-card").filter(has_text=UNCHECKED)
    question.locator("input[type=text]").fill("9")
    question.get_by_role("button", name="Check").click()
    expect(question).to_contain_text("✗ Not yet.")
    for tab in (first.page, second):
        tab.reload()
        take_over(tab)
        for words in (NUMBERS, UNCHECKED):
            expect(tab.locator(".fc-card").filter(has_text=words).first).to_contain_text("You tried this on")
        expect(tab.locator(LIVE).first).to_be_enabled()


def take_over(tab):
    tab.locator(".first-charge-elsewhere").get_by_role("button", name="Use it here").click()
    expect(tab.locator(".jp-NotebookPanel.first-charge[data-status=idle]")).to_be_visible()
