"""How long a sheet of 24 boards and 60 days takes: python tests/benchmarks/sample_sheet.py

Twice: inside Python alone (read or saved, worked out and drawn), and in a real browser from the click to the painted
picture, with all that runs on this machine at the time. Budget: 200 ms to open and to redraw. Reads and writes only a
temporary folder.
"""

import datetime
import os
import shutil
import statistics
import sys
import tempfile
import time
from dataclasses import replace
from pathlib import Path

sys.path.append(str(Path(__file__).parents[1]))  # for `starting`, which the tests use too

from playwright.sync_api import sync_playwright
from starting import Started

from kilnlib.bench import panel
from kilnlib.physics.samples import SampleBoard, Section, Sheet, Weighing
from kilnlib.store.sheet import folder
from kilnlib.store.sheet_write import write_csv

TIMES = 9
BUDGET_MS = 200
BOOK = "desk_sample_sheet.ipynb"
# Presses a button and waits until another picture, decoded, and all rows have been painted.
MEASURE = """
([where, words]) => new Promise((done) => {
  const picture = () => document.querySelector(".fc-sheet img[alt]");
  const before = picture()?.src;
  const look = new MutationObserver(() => {
    const image = picture();
    if (!image || image.src === before || document.querySelectorAll(".fc-grid input").length !== 24) return;
    look.disconnect();
    image.decode().then(() => requestAnimationFrame(() => setTimeout(() => done(performance.now() - start))));
  });
  look.observe(document.body, {childList: true, subtree: true, attributes: true});
  const start = performance.now();
  [...document.querySelectorAll(where + " button")].find((one) => one.textContent.includes(words)).click();
})
"""


def big_sheet(name):
    """Twenty-four boards, weighed on sixty days."""
    boards = []
    for number in range(24):
        cut = Section((1.60 + number / 100) * 0.06, 0.06)
        days = [datetime.datetime(2026, 3, 1, 7, 30) + datetime.timedelta(days=day) for day in range(60)]
        weighings = tuple(Weighing(when, (3.0 - 0.02 * day + number / 50) * 0.4536) for day, when in enumerate(days))
        boards.append(SampleBoard(str(number + 1), (cut, cut), weighings))
    return replace(Sheet("", "red oak", "4/4", 7, tuple(boards)), charge=name)


def in_python():
    """Milliseconds to open, to take a weight, and to draw again."""
    desk = panel("sample_sheet")
    box = desk.weights.rows["7"].boxes["weight"]
    numbers = iter(range(TIMES))
    jobs = {
        "open": lambda: desk.open_path(folder() / "b.csv"),
        "a weight: taken, saved, drawn": lambda: setattr(box, "value", f"2.{10 + next(numbers)}"),
        "draw again": desk.show,
    }
    for what, job in jobs.items():
        times = []
        for _ in range(TIMES):
            start = time.perf_counter()
            job()
            times.append(1000 * (time.perf_counter() - start))
        yield f"in Python: {what}", times
    desk.close()


def in_a_browser(home):
    """Milliseconds from a click to the painted picture."""
    lab = Started(home)
    try:
        with sync_playwright() as playwright:
            browser = playwright.chromium.launch(executable_path=shutil.which("chromium"))
            page = browser.new_page(viewport={"width": 1280, "height": 800})
            page.goto(lab.page(BOOK))
            sheet = page.locator(".fc-sheet")
            sheet.locator("img[alt]").wait_for(timeout=60_000)
            page.wait_for_timeout(2000)
            opened, turned = [], []
            for number in range(TIMES):
                sheet.get_by_role("button", name="Open or start").click()
                sheet.get_by_label("Your sheets").select_option(label="ab"[number % 2])
                page.wait_for_timeout(700)
                opened.append(page.evaluate(MEASURE, [".fc-shelf", "Open"]))
                page.wait_for_timeout(700)
            for _ in range(TIMES):
                turned.append(page.evaluate(MEASURE, [".fc-weights", "Earlier"]))
                page.wait_for_timeout(700)
            browser.close()
    finally:
        lab.stop()
    yield "in a browser: open, to painted", opened
    yield "in a browser: another round, to painted", turned


def main():
    """Print a line for each; the exit code says whether every median is within the budget."""
    with tempfile.TemporaryDirectory() as place:
        os.environ["FIRST_CHARGE_HOME"] = place
        folder().mkdir()
        for name in ("a", "b"):
            (folder() / f"{name}.csv").write_text(write_csv(big_sheet(name)), encoding="utf-8")
        met = True
        for what, times in (*in_python(), *in_a_browser(Path(place))):
            median = statistics.median(times)
            met = met and median <= BUDGET_MS
            print(f"{what:<42} median {median:4.0f} ms, {min(times):4.0f} to {max(times):4.0f} ms")
    print(f"Budget: median at most {BUDGET_MS} ms. {'Met.' if met else 'MISSED.'}")
    return 0 if met else 1


if __name__ == "__main__":
    sys.exit(main())
