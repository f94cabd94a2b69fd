"""The five errands of a newcomer, from the first page, with clicks and seconds: `python tests/tasks.py`.

Then lesson 00 to its end, everything closed, the next start; and the course walked by Next alone, an answer in every
lesson, each of which must be there again. Prints what it did; an errand that fails ends it. Seconds are this machine's,
and those of whoever else works on it. `tests/browser/test_tasks.py` does all but the walk.
"""

import os
import re
import shutil
import sys
import tempfile
import time
from pathlib import Path

from playwright.sync_api import expect, sync_playwright
from starting import Started

from kilnlib.lab import books
from kilnlib.store.pages import read_pages
from kilnlib.store.record import Record

SHOWN = ".jp-NotebookPanel:not(.lm-mod-hidden)"
CODE = ", ".join(
    f"{SHOWN} {own}:visible" for own in (".jp-CodeMirrorEditor", ".jp-Placeholder", ".jp-InputPrompt", ".jp-Toolbar")
)
SLIP = {"Species": "red oak", "Thickness": "4/4", "MC now, %": "45", "Dry bulb": "110", "Wet bulb or RH": "104"}
LESSONS = [page for page in read_pages(books.WORKBOOKS) if page.kind == "lesson"]
ENTRY, OUTSIDE = "EDACFB", re.compile("^B. Call for help")


class Errands:
    """A person at the mouse: every click counts, and every box that is typed into."""

    def __init__(self, page):
        self.page, self.clicks, self.boxes, self.log = page, 0, 0, []

    def click(self, place):
        """One click."""
        self.clicks += 1
        place.click()

    def type(self, place, words):
        """One box filled, and Enter."""
        self.boxes += 1
        place.fill(words)
        place.press("Enter")

    def home(self):
        """The first page, where every errand begins; the way there is not counted."""
        if self.page.locator(f"{SHOWN}.first-charge-home").count() == 0:
            self.page.locator(f"{SHOWN} .fc-home-link").click()
        expect(self.page.locator(f"{SHOWN} .fc-door").nth(2)).to_be_visible()
        return self.page.locator(f"{SHOWN} .fc-door")

    def do(self, name, errand):
        """Do an errand from the first page and note what it took."""
        self.home()
        self.clicks, self.boxes, began = 0, 0, time.monotonic()
        errand()
        self.log.append((name, self.clicks, self.boxes, time.monotonic() - began))
        assert self.page.locator(CODE).count() == 0, f"{name}: code is shown"
        said = self.page.locator(".first-charge-bar").all_inner_texts()
        assert said == [], f"{name}: {said}"

    # the five -----------------------------------------------------------------------------------------------------

    def start_learning(self):
        """To a question that can be answered, in the first lesson."""
        self.click(self.home().filter(has_text="Learn"))
        self.wait_for(LESSONS[0])
        expect(self.page.locator(f"{SHOWN} .fc-predict").get_by_role("button", name="Commit")).to_be_visible()

    def check_a_setpoint(self):
        """To the verdict on a red oak charge."""
        self.click(self.home().filter(has_text="Check a setpoint"))
        for name, words in SLIP.items():
            self.type(self.page.locator(f"{SHOWN} .fc-setpoint").get_by_label(name, exact=True), words)
        expect(self.page.locator(f"{SHOWN} .fc-setpoint .fc-verdict")).to_contain_text(
            re.compile("schedule|limit|kiln")
        )

    def open_the_workshop(self):
        """To the first question on the wall."""
        self.click(self.home().filter(has_text="Teach a workshop"))
        expect(self.page.locator(f"{SHOWN} .fc-present .fc-question")).to_be_visible()

    def find_a_word(self):
        """To the sentence that says what the depression is."""
        self.click(self.page.locator(f"{SHOWN} .fc-bar").get_by_role("link", name="Words", exact=True))
        self.type(self.page.locator(SHOWN).get_by_label("Find a word"), "depression")
        expect(self.page.locator(f"{SHOWN} .fc-words-page dt").first).to_have_text("depression")
        expect(self.page.locator(f"{SHOWN} .fc-words-page dd").first).to_contain_text("dry bulb minus the wet bulb")

    def go_on(self):
        """Back in the lesson where one stopped."""
        self.click(self.home().filter(has_text="Continue where you stopped"))
        self.wait_for(LESSONS[0])

    def five(self):
        """All of them, from the first start on."""
        self.do("start learning", self.start_learning)
        self.do("check a setpoint", self.check_a_setpoint)
        self.do("open the workshop", self.open_the_workshop)
        self.do("find the word depression", self.find_a_word)

    # lesson 00, and the next start ---------------------------------------------------------------------------------

    def wait_for(self, lesson):
        """Until a lesson is shown, alive and idle."""
        title = f"{lesson.number} · {lesson.title}"
        expect(self.page.locator(f"{SHOWN} .fc-bar .fc-title")).to_have_text(title)
        self.page.wait_for_selector(f"{SHOWN}[data-status=idle]")

    def finish_lesson_00(self):
        """Every question of it answered, every part read, on the page of lesson 00."""
        page = self.page
        box = page.locator(f"{SHOWN} .fc-predict")
        box.get_by_text(re.compile(r"^A\. ")).click()
        box.get_by_role("button", name="Commit").click()
        expect(box).to_contain_text("You said")
        page.locator(f"{SHOWN} .fc-controls [role=slider]").first.focus()
        page.keyboard.press("ArrowRight")  # to look at a panel is to move it
        for heading in page.locator(f"{SHOWN} .jp-MarkdownOutput h2").all():
            heading.scroll_into_view_if_needed()
            page.wait_for_timeout(1300)  # a part counts after a second
        page.locator(f"{SHOWN} .fc-end").scroll_into_view_if_needed()
        steps, outside = page.locator(f"{SHOWN} .fc-ask:not(.fc-predict) .fc-card").all()
        steps.locator("input[type=text]").fill(ENTRY)
        steps.get_by_role("button", name="Check").click()
        outside.get_by_text(OUTSIDE).click()
        outside.get_by_role("button", name="Check").click()
        expect(page.locator(f"{SHOWN} .fc-finished")).to_contain_text("00 Start here is done.")

    def stands_where_it_stopped(self):
        """What the next start shows of a lesson 00 that was finished."""
        door = self.home().first
        expect(door).to_contain_text("Continue where you stopped")
        expect(door).to_contain_text("“00 Start here” is done.")
        row = self.page.locator(f"{SHOWN} .fc-row-of-home").first
        expect(row.get_by_role("img", name="done")).to_be_visible()
        self.do("continue where one stopped", self.go_on)
        expect(self.page.locator(f"{SHOWN} .fc-parts")).to_have_text("7 of 7 parts done")
        expect(self.page.locator(f"{SHOWN} .fc-predict")).to_contain_text("You said")
        expect(self.page.locator(f"{SHOWN} .fc-finished")).to_contain_text("00 Start here is done.")

    # 00 to the last lesson, by Next alone ---------------------------------------------------------------------------

    def first_box(self):
        """The first question of a page that is answered by typing."""
        return self.page.locator(f"{SHOWN} .fc-card:has(input[type=text])").first

    def walk(self):
        """{lesson: what was typed there}, with an answer that is checked in each; every page has its way on."""
        typed, page = {}, self.page
        self.home()
        for number, lesson in enumerate(LESSONS):
            page.locator(f"{SHOWN} :is(.fc-bar .fc-next, .fc-row-of-home > a)").first.click()
            self.wait_for(lesson)
            assert page.locator(CODE).count() == 0, f"{lesson.name}: code is shown"
            assert page.locator(f"{SHOWN} [data-mime-type*=error]").count() == 0, lesson.name
            card = self.first_box()
            typed[lesson] = str(71 + number)
            if "order" in (card.locator("input").get_attribute("title") or ""):
                typed[lesson] = "BA"
            card.scroll_into_view_if_needed()
            card.locator("input[type=text]").fill(typed[lesson])
            card.get_by_role("button", name="Check").click()
            expect(card.locator(".fc-feedback, .fc-refusal").first).to_be_visible()
            print(f"  {lesson.number} {lesson.title}: alive, no code, answered {typed[lesson]}", flush=True)
        return typed

    def walk_back(self, typed):
        """Back again by the button of the bar: each answer stands in its box or beside it."""
        for lesson in reversed(LESSONS):
            self.wait_for(lesson)
            card = self.first_box()
            expect(card.locator("input[type=text]")).to_have_value(typed[lesson])
            if lesson is not LESSONS[0]:
                self.page.locator(f"{SHOWN} .fc-bar .fc-previous").click()


def rows(log):
    """The log as lines of text."""
    return [f"  {name}: {clicks} clicks, {boxes} boxes typed, {seconds:.1f} s" for name, clicks, boxes, seconds in log]


def open_first_page(browser, started):
    """A window of 1280 × 720 at the first page of a start."""
    context = browser.new_context(viewport={"width": 1280, "height": 720})
    page = context.new_page()
    page.set_default_timeout(120_000)
    page.goto(started.url)
    return Errands(page)


def errands_and_next_start(browser, start, home):
    """The five errands, the next start in between; returns the log."""
    first = start(home)
    one = open_first_page(browser, first)
    one.five()
    one.click(one.home().filter(has_text="Continue where you stopped"))
    one.wait_for(LESSONS[0])
    one.finish_lesson_00()
    one.page.context.close()
    assert first.stop() == 0
    again = open_first_page(browser, start(home))
    again.stands_where_it_stopped()
    again.page.context.close()
    return one.log + again.log


def main():
    """All of it."""
    expect.set_options(timeout=120_000)
    running = []

    def start(home):
        running.append(Started(home))
        return running[-1]

    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=shutil.which(os.environ.get("CHROMIUM", "chromium")))
        try:
            print("The five errands:")
            print("\n".join(rows(errands_and_next_start(browser, start, Path(folder) / "mill"))))
            print("Lesson 00 was finished, everything closed, and the next start stood where it had stopped.")
            print("By Next alone:")
            started = start(Path(folder) / "course")
            one = open_first_page(browser, started)
            typed = one.walk()
            one.walk_back(typed)
            kept = sum(event.verb == "answered" for event in Record(started.home / "record.sqlite").events("answered"))
            print(f"Every answer stood in its box again; {kept} tries are in the record.")
        finally:
            for each in running:
                if each.process.poll() is None:
                    each.stop()


if __name__ == "__main__":
    sys.exit(main())
