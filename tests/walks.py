"""Three timed walks by script in a real browser: clicks, keys and seconds from the start command on.

    python tests/walks.py [hire] [slip] [workshop]

A script reads nothing and never hesitates: this shows how long the way is, not how long a person takes. It ends with an
error where a walk takes longer than its bound.
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

from kilnlib.questions import bank

KEY_MS = 250  # a slow typist: four keys a second
READ_S = 5.0  # pause before each click: a person looks first (our choice)
SLIP = ("hard maple", "8/4", "38 %", "120", "112")
BOUNDS_S = {"hire": 180, "slip": 120, "workshop": 60}
expect.set_options(timeout=170_000)


class Walk:
    """A page of its own, and what was clicked and typed there."""

    def __init__(self, browser, verb):
        self.began = time.monotonic()
        self.started = Started(Path(tempfile.mkdtemp()) / "home", verb=verb)
        self.page = browser.new_context(viewport={"width": 1280, "height": 720}).new_page()
        self.page.set_default_timeout(170_000)
        self.page.goto(self.started.url)
        self.clicks = self.keys = 0

    def click(self, target):
        """Look, then click."""
        expect(target).to_be_visible()
        time.sleep(READ_S)
        target.click()
        self.clicks += 1

    def type(self, words):
        """Type as a slow typist."""
        self.page.keyboard.type(words, delay=KEY_MS)
        self.keys += len(words)

    def press(self, key):
        """One key."""
        self.page.keyboard.press(key)
        self.keys += 1

    def stop(self):
        """Close everything."""
        self.page.context.close()
        self.started.stop()
        shutil.rmtree(self.started.home.parent, ignore_errors=True)

    def end(self, name):
        """Print what it took; returns whether it kept its bound."""
        seconds = time.monotonic() - self.began
        self.stop()
        kept = seconds <= BOUNDS_S[name]
        print(
            f"{name}: {self.clicks} clicks, {self.keys} keys, {seconds:.0f} s of at most {BOUNDS_S[name]} s", flush=True
        )
        return kept


def hire(browser):
    """A new hire's first right answer: the first door of the first page, and the question over the first slider."""
    walk, question = Walk(browser, "start"), bank.load("start-drier")
    walk.click(walk.page.locator(".fc-door").first)
    box = walk.page.locator(".fc-predict")
    walk.click(box.get_by_text(re.compile(rf"^{question.answer}\. ")))
    walk.click(box.get_by_role("button", name="Commit"))
    dry_bulb = walk.page.locator(".jp-OutputArea [role=slider]").first
    walk.click(dry_bulb)
    for _ in range(10):
        walk.press("ArrowRight")
    expect(box).to_contain_text("the drier the air")
    return walk.end("hire")


def slip(browser):
    """A slip of paper with a setpoint: five things typed, a verdict with its first reason and its source."""
    walk = Walk(browser, "start")
    walk.click(walk.page.locator('.fc-door[href^="desk_setpoint"]'))
    tool = walk.page.locator(".fc-setpoint")
    expect(tool.get_by_label("Species", exact=True)).to_be_focused()
    for number, words in enumerate(SLIP):
        if number:
            walk.press("Enter")
        walk.type(words)
    walk.press("Enter")
    expect(tool.locator(".fc-verdict")).to_contain_text("harder than the schedule")
    expect(tool.locator("ol li").first).to_be_visible()
    expect(tool.locator(".fc-sources li").first).to_be_visible()
    return walk.end("slip")


def workshop(browser):
    """Screen 1 of the workshop shown, answered and set back."""
    walk = Walk(browser, "present")
    expect(walk.page.locator(".fc-present .fc-question")).to_contain_text("1/")
    walk.click(walk.page.get_by_role("button", name="Next"))  # the page opens on the list of its screens
    expect(walk.page.locator(".fc-present .fc-question")).to_contain_text("2/")
    walk.click(walk.page.get_by_role("button", name="Reveal"))
    expect(walk.page.locator(".fc-finding")).not_to_have_text("")
    walk.click(walk.page.get_by_role("button", name="Reset"))
    expect(walk.page.locator(".fc-finding")).to_have_text("")
    return walk.end("workshop")


def main():
    """All three; the exit code says whether each kept its bound."""
    with sync_playwright() as playwright:
        program = os.environ.get("CHROMIUM") or shutil.which("chromium")
        browser = playwright.chromium.launch(executable_path=program, args=["--no-sandbox"])
        asked = [walk for walk in (hire, slip, workshop) if walk.__name__ in (sys.argv[1:] or BOUNDS_S)]
        kept = [walk(browser) for walk in asked]
        browser.close()
    return 0 if all(kept) else 1


if __name__ == "__main__":
    sys.exit(main())
