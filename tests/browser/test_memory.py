"""A lesson opened again in the browser stands as it was left, also after its kernel was killed."""

import os
import re
import signal
import subprocess

from playwright.sync_api import expect

from kilnlib.store.record import Record

NUMBERS = "the bulbs read 110 °F and 102 °F"


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


def test_what_was_answered_predicted_and_moved_is_there_again(visit, lessons):
    page = opened(visit, lessons)
    page.commit()
    page.press(0, "ArrowRight")
    expect(page.page.locator(".fc-predict")).to_contain_text("It came out otherwise")
    moved = page.slider(0).get_attribute("aria-valuetext")
    question = page.page.locator(".fc-card").filter(has_text=NUMBERS).first
    question.locator("input[type=text]").fill("8")
    question.get_by_role("button", name="Check").click()
    expect(question).to_contain_text("✗ Not yet.")
    page.page.wait_for_timeout(1500)  # a panel is written down a second after its last move
    page.page.close()
    assert kill_kernels(lessons) >= 1
    again = opened(visit, lessons)
    expect(again.page.locator(".fc-predict")).to_contain_text("You said")
    expect(again.page.locator(".fc-predict")).to_contain_text("It came out otherwise")
    expect(again.page.locator(".fc-controls").first).to_contain_text("This is as you left it on")
    assert again.slider(0).get_attribute("aria-valuetext") == moved
    question = again.page.locator(".fc-card").filter(has_text=NUMBERS).first
    expect(question).to_contain_text("You tried this on")
    assert question.locator("input[type=text]").input_value() == "8"
    again.drawing().scroll_into_view_if_needed()
    again.shot("as_left")
    assert again.axe() == ""
    record = Record(lessons.home / "record.sqlite")
    assert record.last_place() == "02_air" and len(record.answers("air-a")) == 1
    again.page.get_by_role("button", name="Reset").first.click()
    expect(again.page.locator(".fc-controls").first).not_to_contain_text("as you left it")


def test_what_was_typed_and_not_checked_is_there_after_a_reload_and_a_closed_tab(visit, start):
    lessons = start()
    page = opened(visit, lessons)
    page.page.locator(".fc-card").filter(has_text=NUMBERS).locator("input[type=text]").fill("29.5")
    page.page.get_by_text(re.compile(r"^B\. ")).first.click()
    page.page.reload()  # at once
    page.wait_live().wait_idle()
    box = page.page.locator(".fc-card").filter(has_text=NUMBERS).locator("input[type=text]")
    expect(box).to_have_value("29.5")
    expect(page.page.get_by_label(re.compile(r"^B\. ")).first).to_be_checked()
    box.fill("30.5")
    page.page.wait_for_timeout(2000)  # it is written down a second after the last letter
    page.page.close()
    assert kill_kernels(lessons) >= 1
    again = opened(visit, lessons)
    expect(again.page.locator(".fc-card").filter(has_text=NUMBERS).locator("input[type=text]")).to_have_value("30.5")
    assert again.interruptions() == []
