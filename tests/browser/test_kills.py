"""Kernels and servers ended with kill -9 while a person works on the open sheet, and on a lesson: nothing that was said
to be saved is lost, and what was typed last is kept or offered again. Half of the kills are under each.

`python tests/chaos.py --actions 0 --kills 60` does more of them.
"""

import datetime
import os
import random
import signal
import time
from collections import Counter
from pathlib import Path

import pytest
from chaos import SAVED, Other
from conftest import wait_until
from playwright.sync_api import expect
from starting import Started
from test_connection import BAR, NOTE, children, own_port

from kilnlib.lab.server import PAGE
from kilnlib.units import LB_KG

KILLS = int(os.environ.get("FIRST_CHARGE_KILLS", "20"))
SEED = int(os.environ.get("FIRST_CHARGE_SEED", "1"))
BOARDS = ("1", "2", "3", "4")
BOX = ".fc-grid .fc-row input"
SURE_S = 1.5  # after the last key in a box: by then the screen has said what it makes of it
VALUES = "all => all.map(one => one.value)"
LESSON, CARDS = "01_water_in_wood", "[data-cell=your-turn-ask] .fc-card, [data-cell=check-ask] .fc-card"
SHOWN = """() => ({
  cards: [...document.querySelectorAll("CARDS")].map(card => ({
    said: card.querySelector(".fc-feedback")?.textContent ?? "",
    typed: card.querySelector("input[type=text], textarea")?.value ?? "",
    chosen: [...card.querySelectorAll("input[type=radio]")].findIndex(button => button.checked)})),
  predicted: document.querySelector(".fc-predict .fc-feedback")?.textContent ?? "",
  ticks: [...document.querySelectorAll(".fc-item > input")].map(box => box.checked),
  offered: [...document.querySelectorAll(".first-charge-typed, .first-charge-bar")].map(one => one.textContent).join(),
})""".replace("CARDS", CARDS)


def begin(home):
    """A sheet weighed first two days ago."""
    first = datetime.datetime.now() - datetime.timedelta(days=2)
    rows = ["item,board,date,weight,oven-dry,unit,note", "charge,,,,,,Kill"]
    for name in BOARDS:
        rows += [f"board,{name},,,,,", f"section,{name},,98.55,59.20,g,", f"weight,{name},{first:%Y-%m-%d},5.00,,lb,"]
    path = home / "sheets" / "Kill.csv"
    path.parent.mkdir(parents=True)
    path.write_text("\n".join(rows) + "\n", encoding="utf-8")
    return path


class Open:
    """One server and one open page that survive the kills."""

    def __init__(self, start, visit, home, name):
        self.started = start("--port", own_port(), home=home)
        self.visited = visit(self.started.page(name))
        self.page = self.visited.page
        self.again = []

    def kill(self, whom):
        for process in children(self.started.process) if whom == "kernel" else [self.started.process.pid]:
            os.kill(process, signal.SIGKILL)

    def wait_locked(self):
        expect(self.page.locator(f"{BAR}:not(.first-charge-calm)")).to_be_visible()

    def wait_back(self, whom):
        if whom == "server":
            port = self.started.url.split(":")[2].split("/")[0]
            self.started.process.wait(30)
            self.started = Started(self.started.home, "--port", port)
            self.again.append(self.started)
        expect(self.page.locator(BAR)).to_contain_text(PAGE["again"])
        self.ready()

    def leave_out_offers(self):
        for words in (PAGE["leave_out"], PAGE["close"]):
            while (button := self.page.get_by_role("button", name=words)).count():
                button.first.click()

    def close(self):
        for one in self.again:
            one.stop()


class Mill(Open):
    """The sample sheet, and the other program that reads its file."""

    def __init__(self, start, visit, path):
        self.path, self.other = path, Other()
        super().__init__(start, visit, path.parent.parent, "desk_sample_sheet.ipynb")

    def ready(self):
        expect(self.page.locator(".fc-sheet img[alt]")).to_be_visible()
        self.visited.wait_idle()
        return self

    def on_disk(self):
        """Pounds of each board's last weighing."""
        (rows,) = self.other.facts(self.path)
        return {board: round(kg / LB_KG, 4) for item, board, _, kg, _, _ in rows if item == "weight"}

    def offered(self):
        return " ".join(self.page.locator(f"{NOTE}, {BAR}").all_inner_texts())

    def boxes(self):
        return dict(zip(BOARDS, self.page.locator(BOX).evaluate_all(VALUES), strict=False))

    def close(self):
        self.other.close()
        super().close()


class Lesson(Open):
    """A lesson, and what a learner does on it; each act takes its random choices from `rng`."""

    def __init__(self, start, visit, home):
        super().__init__(start, visit, home, f"{LESSON}.ipynb")
        self.cards = self.page.locator(CARDS)
        self.chosen = {}  # card: moment of its last choice
        self.asked = {}  # card: what was said under it when Check was pressed

    def ready(self):
        self.visited.wait_live().wait_idle()
        return self

    def shown(self):
        return self.page.evaluate(SHOWN)

    def _one_with(self, rng, inside):
        """The number of a random card that shows such a part, and that part; a card answered rightly is shut."""
        shown = [number for number in range(self.cards.count()) if self.cards.nth(number).locator(inside).count()]
        number = rng.choice(shown) if shown else None
        return number, self.cards.nth(number or 0).locator(inside)

    def type(self, rng):
        number, box = self._one_with(rng, "input[type=text]:visible")
        if number is not None:
            box.fill("")
            box.press_sequentially(f"{rng.uniform(1, 99):.1f}", delay=rng.choice((5, 40, 120)))

    def choose(self, rng):
        number, buttons = self._one_with(rng, "input[type=radio]:visible")
        if number is not None:
            buttons.nth(rng.randrange(buttons.count())).check(force=True)
            self.chosen[number] = time.monotonic()

    def check(self, rng):
        filled = [n for n, one in enumerate(self.shown()["cards"]) if one["typed"].strip() or one["chosen"] >= 0]
        button = [self.cards.nth(n).get_by_role("button", name="Check") for n in filled]
        pressed = [(n, one) for n, one in zip(filled, button, strict=True) if one.is_visible()]
        if pressed:
            number, one = rng.choice(pressed)
            self.asked[number] = self.shown()["cards"][number]["said"]
            one.click()

    def tick(self, rng):
        boxes = self.page.locator(".fc-item > input")
        boxes.nth(rng.randrange(boxes.count())).click()

    def act(self, rng):
        rng.choice((self.type, self.type, self.choose, self.check, self.check, self.tick))(rng)


@pytest.fixture
def mill(start, visit, tmp_path):
    made = Mill(start, visit, begin(tmp_path / "home")).ready()
    yield made
    made.close()


@pytest.fixture
def lesson(start, visit, tmp_path):
    made = Lesson(start, visit, tmp_path / "home").ready()
    yield made
    made.close()


def type_until(mill, rng, whom):
    """Type weights from box to box, with a kill between two of the keys; {board: moment of its last key}."""
    keys, typed = rng.randrange(1, 24), {}
    after = rng.randrange(3)  # so many keys more, on a page that nobody answers
    mill.page.locator(BOX).first.click()
    mill.page.keyboard.press("Control+a")
    for board in BOARDS:
        for key in (*f"{rng.uniform(3.2, 4.9):.2f}", "Enter"):
            if keys == 0:
                mill.page.wait_for_timeout(rng.choice((0, 50, 200, 400, 700, 2000)))
                said, before = mill.page.locator(".fc-status").inner_text(), mill.boxes()
                moment = time.monotonic()
                mill.kill(whom)
            if keys <= -after:
                return typed, said, before, moment
            mill.page.keyboard.press(key)
            if key != "Enter":
                typed[board] = time.monotonic()
            keys -= 1
            mill.page.wait_for_timeout(rng.choice((5, 40, 120)) if rng.random() < 0.9 else 600)
    said, before, moment = mill.page.locator(".fc-status").inner_text(), mill.boxes(), time.monotonic()
    mill.kill(whom)
    return typed, said, before, moment


def value(text):
    """Pounds in a box, or None."""
    try:
        return round(float(text), 4)
    except ValueError:
        return None


def whom(number):
    return "server" if number % 4 == 3 else "kernel"


def kill_under_sheet(mill, rng, killed, counts):
    typed, said, before, moment = type_until(mill, rng, killed)
    disk = mill.on_disk()
    if SAVED in said:
        for board, text in before.items():
            if value(text) and moment - typed.get(board, 0) > SURE_S:
                assert disk[board] == value(text), f"board {board} said to be saved"
                counts["sure"] += 1
    mill.wait_locked()
    stood = mill.boxes()
    mill.wait_back(killed)

    def lost():
        """What stood in a box, and is neither there and on disk nor offered."""
        offered, now, disk = mill.offered(), mill.boxes(), mill.on_disk()
        kept = {one for one in typed if value(now[one]) == value(stood[one]) == disk.get(one)}
        offers = {one for one in typed if f"“{stood[one]}”" in offered}
        return {one: (stood[one], now[one], disk.get(one), offered) for one in set(typed) - kept - offers}

    assert wait_until(lambda: not lost()), lost()
    offers = sum(f"“{stood[one]}”" in mill.offered() for one in typed)
    counts["offered"] += offers
    counts["standing"] += len(typed) - offers


def kill_under_lesson(lesson, rng, killed, counts):
    lesson.asked = {}
    for _ in range(rng.randrange(2, 7)):
        lesson.act(rng)
    lesson.page.wait_for_timeout(rng.choice((0, 50, 200, 400, 700, 2000)))
    moment = time.monotonic()
    lesson.kill(killed)
    if rng.random() < 0.5:
        lesson.tick(rng)  # on a page that nobody answers
    lesson.wait_locked()
    before = lesson.shown()
    sure = {card for card, chosen in lesson.chosen.items() if moment - chosen > SURE_S}
    lesson.wait_back(killed)

    def lost():
        return lost_of_lesson(before, lesson.shown(), sure, lesson.asked)

    assert wait_until(lambda: not lost()), lost()
    counts["answered"] += sum(bool(card["said"]) for card in before["cards"])
    counts["unchecked"] += sum(bool(card["typed"]) and not card["said"] for card in before["cards"])
    counts["chosen"] += len(sure)
    counts["ticked"] += sum(before["ticks"])
    counts["predicted"] += bool(before["predicted"])


def lost_of_lesson(before, now, sure, asked):
    """What was shown before a kill and is not there, or offered, after it."""
    lost = []
    for number, (old, new) in enumerate(zip(before["cards"], now["cards"], strict=True)):
        answered = asked.get(number) == old["said"] != new["said"]  # taken, but the kill came before it was marked
        if old["said"] not in ("", new["said"]) and not answered:
            lost.append((number, "said", old, new))
        if old["typed"] != new["typed"] and f"“{old['typed']}”" not in now["offered"]:
            lost.append((number, "typed", old, new, now["offered"]))
        if old["chosen"] != new["chosen"] and number in sure:
            lost.append((number, "chosen", old, new))
    if before["ticks"] != now["ticks"]:
        lost.append(("ticks", before["ticks"], now["ticks"]))
    if before["predicted"] and not now["predicted"].startswith(before["predicted"]):
        lost.append(("predicted", before["predicted"], now["predicted"]))
    return lost


@pytest.mark.skipif(not Path("/proc").is_dir(), reason="finds the kernel by /proc")
def test_random_kills_under_an_open_sheet_lose_nothing(mill):
    rng, counts = random.Random(SEED), Counter()
    for number in range(KILLS - KILLS // 2):
        kill_under_sheet(mill, rng, whom(number), counts)
        mill.leave_out_offers()
    print(dict(counts))
    assert counts["sure"] and counts["offered"] and counts["standing"], counts


@pytest.mark.skipif(not Path("/proc").is_dir(), reason="finds the kernel by /proc")
def test_random_kills_under_a_lesson_lose_no_answer(lesson):
    rng, counts = random.Random(SEED), Counter()
    lesson.visited.commit()
    for number in range(KILLS // 2):
        kill_under_lesson(lesson, rng, whom(number), counts)
        lesson.leave_out_offers()
    print(dict(counts))
    assert all(counts[one] for one in ("answered", "unchecked", "chosen", "ticked", "predicted")), counts
