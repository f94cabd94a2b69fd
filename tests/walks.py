"""Four timed walks by script in a real browser: clicks, keys and seconds from the start command on.

    python tests/walks.py [hire] [slip] [workshop] [trainer]

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
from kilnlib.store.class_book import ClassBook
from kilnlib.words.trainer import LINES

KEY_MS = 250  # a slow typist: four keys a second
READ_S = 5.0  # pause before each click: a person looks first (our choice)
SLIP = ("hard maple", "8/4", "38 %", "120", "112")
BOUNDS_S = {"hire": 180, "slip": 120, "workshop": 60, "trainer": 600}
MISSED = {  # learner: a lesson, words of a question there, what is typed, and the wrong idea that it shows
    "AB": ("01 How wet is this board?", "A slice of red oak", "44.4", "share of the whole wet board"),
    "CD": ("02 How thirsty is the air?", "Where air enters the stack", "8", "the depression is the wet bulb"),
}
SIGNED = {"Place": "kiln 1", "Your initials": "MK"}
expect.set_options(timeout=170_000)


class Walk:
    """A page of its own, and what was clicked and typed there."""

    def __init__(self, browser, verb):
        self.began = time.monotonic()
        self.folder = Path(tempfile.mkdtemp())
        self.running = []
        self.context = browser.new_context(viewport={"width": 1280, "height": 720})
        self.clicks = self.keys = self.commands = 0
        self.page = self.start(verb)

    def start(self, verb):
        """A start command on an empty folder; returns its page, in a tab of its own."""
        started = Started(self.folder / "home", verb=verb)
        self.running.append(started)
        page = self.context.new_page()
        page.set_default_timeout(170_000)
        page.goto(started.url)
        self.commands += 1
        return page

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

    def fill(self, box, words):
        """Click into a box and type, over what may stand there."""
        self.click(box)
        self.press("Control+A")
        self.type(words)

    def choose(self, box, label):
        """Open a list and choose in it."""
        self.click(box)
        time.sleep(READ_S)
        box.select_option(label=label)
        self.clicks += 1

    def press(self, key):
        """One key."""
        self.page.keyboard.press(key)
        self.keys += 1

    def say(self, what):
        """How far it is, for the log."""
        print(f"  {time.monotonic() - self.began:.0f} s, {self.clicks} clicks: {what}", flush=True)

    def miss(self, name):
        """A learner at the first page: a name of the list, a lesson, a wrong answer, and the way back."""
        lesson, words, typed, _ = MISSED[name]
        self.choose(self.page.get_by_label("Who are you?"), name)
        expect(self.page.locator(".fc-home")).to_contain_text(f"is kept for {name}")
        self.click(self.page.locator(".fc-row-of-home").get_by_role("link", name=lesson))
        card = self.page.locator(".fc-card").filter(has_text=words).first
        self.fill(card.locator("input[type=text]"), typed)
        self.click(card.get_by_role("button", name="Check"))
        expect(card.locator(".fc-feedback")).to_contain_text("Not yet")
        self.click(self.page.locator(".fc-home-link").locator("visible=true"))

    def sign(self, form, name):
        """The trainer's word for the first line, for a learner of the list."""
        self.choose(form.get_by_label("Learner", exact=True), name)
        self.choose(form.get_by_label("Line", exact=True), LINES["section"][0])
        for box, words in SIGNED.items():
            self.fill(form.get_by_label(box, exact=True), words)
        self.click(form.get_by_role("button", name="Sign this line"))
        expect(form.locator(".fc-said")).to_contain_text(f"Signed: {LINES['section'][0]}")

    def stop(self):
        """Close everything."""
        self.context.close()
        for started in self.running:
            started.stop()
        shutil.rmtree(self.folder, ignore_errors=True)

    def end(self, name):
        """Print what it took; returns whether it kept its bound."""
        seconds = time.monotonic() - self.began
        self.stop()
        kept = seconds <= BOUNDS_S[name]
        took = f"{self.commands} command{'s' * (self.commands > 1)}, {self.clicks} clicks, {self.keys} keys"
        print(f"{name}: {took}, {seconds:.0f} s of at most {BOUNDS_S[name]} s", flush=True)
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


def trainer(browser):
    """A trainer's first day, from an empty folder to a backup that is restored in another one."""
    walk = Walk(browser, "trainer")
    book, desk = ClassBook(walk.folder / "home" / "record.sqlite"), walk.page
    form = desk.locator(".fc-trainer")
    for name in MISSED:
        walk.fill(form.get_by_label("New name"), name)
        walk.click(form.get_by_role("button", name="Add a learner"))
        expect(form.locator(".fc-said")).to_contain_text(f"{name} is in the record")
    walk.say("two learners are enrolled")
    with desk.expect_popup() as opened:
        walk.click(form.get_by_role("link", name="first page"))
    walk.page = opened.value
    walk.page.set_default_timeout(170_000)
    for name in MISSED:
        walk.miss(name)
    walk.say("each has answered something wrong in a lesson")
    walk.page = desk
    desk.bring_to_front()
    walk.clicks += 1  # on its tab
    walk.click(form.get_by_role("button", name="Read their answers again"))
    for name, (*_, idea) in MISSED.items():
        expect(form.locator("tr").filter(has_text=name).filter(has_text=idea)).to_be_visible()
    walk.say("the page shows what each missed")
    walk.sign(form, next(iter(MISSED)))
    assert [one.times for one in book.signed().values()] == [1]
    walk.say("a line is signed")
    walk.click(form.get_by_role("button", name="Print the pages to hang up"))
    expect(form.locator(".fc-said")).to_contain_text("all_pages.html")
    assert (walk.folder / "home" / "print" / "all_pages.html").stat().st_size > 50_000
    walk.say("the pages to print are written")
    walk.click(form.get_by_role("button", name="Back up", exact=True))
    expect(form.locator(".fc-said")).to_contain_text("Backed up to")
    exported = walk.folder / "home" / "exported"
    assert len(list(exported.glob("record *.sqlite"))) == 1
    walk.say("backed up")
    folder = Path(form.get_by_label("Other folder").input_value())
    walk.click(form.get_by_role("button", name="Restore the last backup there"))
    expect(form.locator(".fc-said")).to_contain_text("2 learners are in it (")
    other = ClassBook(folder / "record.sqlite")
    assert folder.parent == walk.folder and (other.learners(), other.signed()) == (book.learners(), book.signed())
    slips = [[(one.learner, one.misconception) for one in each.slips()] for each in (book, other)]
    assert slips[0] == slips[1] and {who for who, _ in slips[1]} == {one.id for one in other.learners()}
    walk.say("restored in another folder, with both learners and the line")
    return walk.end("trainer")


def main():
    """All four; the exit code says whether each kept its bound."""
    with sync_playwright() as playwright:
        program = os.environ.get("CHROMIUM") or shutil.which("chromium")
        browser = playwright.chromium.launch(executable_path=program, args=["--no-sandbox"])
        asked = [walk for walk in (hire, slip, workshop, trainer) if walk.__name__ in (sys.argv[1:] or BOUNDS_S)]
        kept = [walk(browser) for walk in asked]
        browser.close()
    return 0 if all(kept) else 1


if __name__ == "__main__":
    sys.exit(main())
