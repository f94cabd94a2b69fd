"""Kernels and servers ended with kill -9 while a person types on the open sheet: nothing that was said to be saved is
lost, and what was typed last is on disk or offered again.

`python tests/chaos.py --actions 0 --kills 60` does more of them.
"""

import datetime
import os
import random
import signal
import time
from pathlib import Path

import pytest
from chaos import SAVED, Other
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


class Mill:
    """One server and one open page, and the other program that reads the sheet."""

    def __init__(self, start, visit, path):
        self.path, self.other = path, Other()
        self.started = start("--port", own_port(), home=path.parent.parent)
        self.visited = visit(self.started.page("desk_sample_sheet.ipynb"))
        self.page = self.visited.page
        self.again = []

    def ready(self):
        expect(self.page.locator(".fc-sheet img[alt]")).to_be_visible()
        self.visited.wait_idle()
        return self

    def on_disk(self):
        """Pounds of each board's last weighing."""
        (rows,) = self.other.facts(self.path)
        return {board: round(kg / LB_KG, 4) for item, board, _, kg, _, _ in rows if item == "weight"}

    def boxes(self):
        return dict(zip(BOARDS, self.page.locator(BOX).evaluate_all(VALUES), strict=False))

    def kill(self, whom):
        for process in children(self.started.process) if whom == "kernel" else [self.started.process.pid]:
            os.kill(process, signal.SIGKILL)

    def start_again(self):
        port = self.started.url.split(":")[2].split("/")[0]
        self.started.process.wait(30)
        self.started = Started(self.started.home, "--port", port)
        self.again.append(self.started)

    def close(self):
        self.other.close()
        for one in self.again:
            one.stop()


@pytest.fixture
def mill(start, visit, tmp_path):
    made = Mill(start, visit, begin(tmp_path / "home")).ready()
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


@pytest.mark.skipif(not Path("/proc").is_dir(), reason="finds the kernel by /proc")
def test_random_kills_under_an_open_page_lose_nothing(mill):
    rng, counts = random.Random(SEED), {"kernel": 0, "server": 0, "sure": 0, "offered": 0, "standing": 0}
    for number in range(KILLS):
        whom = "server" if number % 4 == 3 else "kernel"
        typed, said, before, moment = type_until(mill, rng, whom)
        counts[whom] += 1
        disk = mill.on_disk()
        if SAVED in said:
            for board, text in before.items():
                if value(text) and moment - typed.get(board, 0) > SURE_S:
                    assert disk[board] == value(text), f"{whom} {number}: board {board} said to be saved"
                    counts["sure"] += 1
        expect(mill.page.locator(f"{BAR}:not(.first-charge-calm)")).to_be_visible()
        stood = mill.boxes()
        if whom == "server":
            mill.start_again()
        expect(mill.page.locator(BAR)).to_contain_text(PAGE["again"])
        mill.ready()
        mill.page.wait_for_timeout(300)
        offered = " ".join(mill.page.locator(f"{NOTE}, {BAR}").all_inner_texts())
        now, disk = mill.boxes(), mill.on_disk()
        for board in typed:
            if f"“{stood[board]}”" in offered:
                counts["offered"] += 1
            else:
                where = f"{whom} {number}: board {board}, {stood[board]!r} stood, {now[board]!r} stands, {offered!r}"
                assert value(now[board]) == value(stood[board]) == disk.get(board), where
                counts["standing"] += 1
        for words in (PAGE["leave_out"], PAGE["close"]):
            while (button := mill.page.get_by_role("button", name=words)).count():
                button.first.click()
    print(counts)
    assert counts["sure"] and counts["offered"] and counts["standing"], counts
