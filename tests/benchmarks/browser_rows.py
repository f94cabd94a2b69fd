"""What a learner waits for, in a real browser: key press to painted picture, start command to a live slider.

Each panel and its peer run in the same JupyterLab and the same browser, one after the other, on pictures of the same
pixels.
"""

import contextlib
import shutil
import signal
import statistics
import tempfile
import time
from pathlib import Path

from playwright.sync_api import sync_playwright
from starting import Started, write_book

PRESSES = 60
PICTURE = '.jp-OutputArea img[src^="data:image/png"], .jp-OutputArea .fc-stage svg[role=img]'
STARTS = 3
READ_S = 4  # on each lesson of the course before the next
SHOWN = ".jp-NotebookPanel:not(.lm-mod-hidden)"
OURS = """
from kilnlib.bench import panel
panel("air")
"""
BOARD = """
from kilnlib.bench import panel
from kilnlib.cases import board as board_case
board_case._run = board_case._run.__wrapped__  # nothing kept: each press solves
panel("board")
"""
# The plain way: a fresh figure drawn inline at every move. Same curves, lines and pixels (960 x 600) as our panel.
PEER = """
import matplotlib.pyplot as plt
import numpy as np
from ipywidgets import FloatSlider, interact
from kilnlib.physics import air
from kilnlib.units import f_to_c

def draw(dry, wet, feet):
    pressure = air.pressure_pa(feet * 0.3048)
    grid = np.linspace(66, 204, 70)
    kept = f_to_c(grid) < air.boiling_c(pressure) - 0.5
    figure, axes = plt.subplots(figsize=(640 / 96, 400 / 96), dpi=144)
    for share in (10, 20, 40, 60, 80, 100):
        axes.plot(grid[kept], np.sqrt(air.humidity_ratio(f_to_c(grid[kept]), share, pressure)), color="gray")
        axes.text(grid[kept][-1], 0.5, f"{share} % RH")
    rh = air.rh_pct(f_to_c(dry), f_to_c(wet), pressure)
    height = np.sqrt(air.humidity_ratio(f_to_c(dry), rh, pressure))
    dew = 32 + 1.8 * air.dew_point_c(f_to_c(dry), rh)
    axes.plot([wet, dry], [np.sqrt(air.humidity_ratio(f_to_c(wet), 100, pressure)), height], "--")
    axes.plot([dew, dry], [height, height], ":")
    axes.plot([dry], [height], "o")
    axes.text(72, 0.78, f"wet bulb {wet:.0f} °F, dew point {dew:.0f} °F, {rh:.0f} % RH")
    axes.set(xlim=(68, 202), ylim=(0, 0.84), xlabel="Dry bulb (°F)", ylabel="Water in the air")
    axes.grid(True)
    plt.show()

_ = interact(
    draw,
    dry=FloatSlider(value=110, min=70, max=200, step=1),
    wet=FloatSlider(value=100, min=50, max=195, step=1),
    feet=FloatSlider(value=900, min=0, max=10000, step=100),
)
"""
# The same for the board: the same engine solves forty days at every press, and the same curves are drawn.
BOARD_PEER = """
import matplotlib.pyplot as plt
import numpy as np
from ipywidgets import FloatSlider, interact
from kilnlib.cases import board as board_case
from kilnlib.units import FT_M, IN_M, f_to_c

board_case._run = board_case._run.__wrapped__

def draw(dry, depression, inches, fpm):
    state = board_case.State("red oak", f_to_c(dry), depression / 1.8, inches * IN_M, fpm * FT_M / 60)
    run, days, number = board_case.work_out(state).run, np.arange(41), 3
    figure, (across, average, points) = plt.subplots(1, 3, figsize=(640 / 96, 400 / 96), dpi=144)
    across.plot(run.place, run.profile_pct[1], color="gray")
    across.plot(run.place, run.profile_pct[number], lw=3)
    across.axhline(30, ls=":")
    across.axhline(run.emc_pct, ls="--")
    across.text(0.5, run.emc_pct, f"EMC {run.emc_pct:.1f} %")
    across.set(ylim=(0, 100), title="Across the board, %")
    average.plot(days, run.average_pct)
    average.plot(days[:number + 1], run.average_pct[:number + 1], lw=3)
    average.plot([number], [run.average_pct[number]], "o")
    average.set(ylim=(0, 100), title="Average, %")
    over = run.lost_points > run.limit_points
    points.plot(days[1:], run.lost_points, "o")
    points.plot(days[1:][over], run.lost_points[over], "D")
    points.axhline(run.limit_points, ls="--")
    points.set(ylim=(0, 16), xlabel="Day", title="Points lost in a day")
    average.grid(True)
    points.grid(True)
    plt.show()

_ = interact(
    draw,
    dry=FloatSlider(value=110, min=80, max=180, step=1),
    depression=FloatSlider(value=4, min=2, max=50, step=1),
    inches=FloatSlider(value=1.125, min=1.125, max=2.25, step=0.125),
    fpm=FloatSlider(value=350, min=50, max=800, step=25),
)
"""
STRESS = """
from kilnlib.bench import panel
from kilnlib.cases import stress as stress_case
stress_case._run = stress_case._run.__wrapped__
panel("stress")
"""
STRESS_PEER = """
import matplotlib.pyplot as plt
import numpy as np
from ipywidgets import FloatSlider, interact
from kilnlib.cases import stress as stress_case
from kilnlib.units import f_to_c

stress_case._run = stress_case._run.__wrapped__

def draw(depression, heat_at, end, wick):
    number = 2
    run = stress_case.work_out(stress_case.State(depression / 1.8, f_to_c(end), heat_at, wick)).run
    days, across = run.hours / 24, run.day_stress_pa[number] / 1e6
    figure, axes = plt.subplots(2, 2, figsize=(640 / 96, 400 / 96), dpi=144)
    (moisture, pull), (stress, index) = axes
    moisture.plot(run.place, run.day_profile_pct[number], lw=3)
    moisture.axhline(30, ls=":")
    moisture.text(0.5, 31, "fiber saturation")
    moisture.set(xlim=(0, 1), ylim=(0, 85), title=f"Day {number}, %")
    stress.fill_between(run.place, np.maximum(across, 0))
    stress.fill_between(run.place, np.minimum(across, 0))
    stress.plot(run.place, across, color="black")
    stress.set(xlim=(0, 1), ylim=(-19, 17), title="Stress")
    pull.plot(days, run.surface_pa / 1e6)
    pull.plot(days, run.core_pa / 1e6, "--")
    pull.plot([run.reversal_h / 24], [0], "o")
    pull.text(20, 6, f"swap on day {run.reversal_h / 24:.1f}")
    pull.set(xlim=(0, 35.5), ylim=(-10, 7), title="Surface and core")
    index.plot(days, run.index)
    index.plot(days, run.core_index, "--")
    index.plot([run.peak.hour / 24], [min(run.peak.index, 2.1)], "D")
    index.text(20, 1.9, f"highest {run.peak.index:.2f}")
    index.axhline(1, ls=":")
    index.set(xlim=(0, 35.5), ylim=(0, 2.1), xlabel="Day", title="Check index")
    for each in (pull, index):
        each.axvline(number, ls="--")
    plt.show()

_ = interact(
    draw,
    depression=FloatSlider(value=4, min=3, max=20, step=1),
    heat_at=FloatSlider(value=15, min=15, max=50, step=1),
    end=FloatSlider(value=140, min=130, max=160, step=1),
    wick=FloatSlider(value=0, min=0, max=4, step=0.5),
)
"""
FINISH = """
from kilnlib.bench import panel
from kilnlib.cases import finish as finish_case
finish_case.run_to_end = finish_case.run_to_end.__wrapped__
panel("finish")
"""
FINISH_PEER = """
import matplotlib.pyplot as plt
import numpy as np
from ipywidgets import FloatSlider, interact
from kilnlib.cases import finish as finish_case

finish_case.run_to_end = finish_case.run_to_end.__wrapped__

def draw(target, below, hours):
    result = finish_case.work_out(finish_case.State(target, below, "wettest", hours))
    run = result.run
    figure, (curves, prongs) = plt.subplots(1, 2, figsize=(640 / 96, 400 / 96), dpi=144)
    curves.axhspan(target - 1, target + 1, alpha=0.3)
    curves.axhline(target)
    curves.plot(run.days, run.mc_pct, color="gray", lw=1)
    curves.plot(run.days, run.mc_pct.min(axis=1), "--")
    curves.plot(run.days, run.mc_pct.max(axis=1))
    curves.step((*run.air_days, run.ends[2]), (*run.air_emc_pct, run.air_emc_pct[-1]), ":", where="post")
    for day in run.ends:
        curves.axvline(day)
    curves.axvline(result.at, color="black")
    curves.plot(np.full(12, result.at), result.mcs_pct, "o")
    curves.text(13.9, 4, f"driest {result.lowest_pct:.1f} %", ha="right")
    curves.set(xlim=(0, 14), ylim=(3, 20), xlabel="Day", title="Moisture content, %")
    curves.grid(True)
    for place, number in enumerate(finish_case.SHOWN):
        bend = result.tips_m[number] * 1000
        for side in (-1, 1):
            foot = 3 * place + side
            prongs.plot([foot, foot - side * bend / 20], [0, 1], lw=8)
        prongs.text(3 * place, -0.2, f"{result.mcs_pct[number]:.1f} % {result.words[number]}")
    prongs.set(xlim=(-2, 8), ylim=(-0.5, 1.5), title=f"Sections of day {result.at:.1f}")
    plt.show()

_ = interact(
    draw,
    target=FloatSlider(value=7, min=6.5, max=12, step=0.5),
    below=FloatSlider(value=2, min=0, max=2.6, step=0.2),
    hours=FloatSlider(value=24, min=0, max=72, step=4),
)
"""
ALONE = """
from kilnlib.bench import panel
{nothing_kept}
panel("{name}")
"""
# Panels of which no peer draws the like: what they are called, what must not be kept from press to press.
WITHOUT_PEER = {
    "bulbs": ("cup of air", "# nothing is kept"),
    "emc": ("boards that chase the EMC", "from kilnlib.cases import chase as c; c._mornings = c._mornings.__wrapped__"),
    "stack": ("stack panel", "# nothing is kept"),
    "machine": ("machine panel", "# nothing is kept"),
    "warming": ("warming panel, running", "from kilnlib.cases import warming as c; c._warmed = c._warmed.__wrapped__"),
    "core": ("core panel, heating", "from kilnlib.cases import core as c; c.heat = c.heat.__wrapped__"),
    "shed": ("shed panel, a year", "from kilnlib.cases import shed as c; c._closed = c._closed.__wrapped__"),
    "bill": ("bill panel", "# nothing is kept"),
}
# notebook: ours, the peer, what they are called in the table, median and 95th percentile allowed, times faster
PANELS = {
    "00_start_here": (OURS, PEER, "key press to painted picture", 50, 80, 2.3),
    "board": (BOARD, BOARD_PEER, "key press to picture, board panel, solving", 75, 120, 1.4),
    "stress": (STRESS, STRESS_PEER, "key press to picture, stress panel, solving", 75, 120, 1.4),
    "finish": (FINISH, FINISH_PEER, "key press to picture, charge panel, solving", 75, 120, 1.4),
}
# From the key going down to the frame after the one in which the new picture, decoded, stands in the page.
MEASURE = """
() => {
  const picture = () => document.querySelector('.jp-OutputArea img[src^="data:image/png"]')
    ?? document.querySelector(".jp-OutputArea .fc-stage svg[role=img]"); // a drawing is laid anew as a whole
  const shown = (image) => image && (image.src ?? image);
  window.painted = [];
  let pressed = null, before = shown(picture());
  document.addEventListener("keydown", (event) => { pressed = event.timeStamp; before = shown(picture()); }, true);
  const look = async () => {
    const image = picture();
    if (pressed === null || !image || shown(image) === before) return;
    const from = pressed;
    pressed = null;
    await image.decode?.().catch(() => {});
    requestAnimationFrame(() => {
      const after = new MessageChannel();
      after.port1.onmessage = () => window.painted.push(performance.now() - from);
      after.port2.postMessage(0);
    });
  };
  new MutationObserver(look).observe(document.body,
    {childList: true, subtree: true, attributes: true, attributeFilter: ["src"]});
}
"""


def run(rows, remarks):
    """Add the rows about what a learner waits for."""
    with sync_playwright() as playwright, tempfile.TemporaryDirectory() as folder:
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"))
        books = Path(folder) / "books"
        for name, (ours, peer, *_) in PANELS.items():
            write_book(books / f"{name}.ipynb", ours)
            write_book(books / f"{name}_peer.ipynb", peer)
        for name, (_, nothing_kept) in WITHOUT_PEER.items():
            write_book(books / f"{name}.ipynb", ALONE.format(name=name, nothing_kept=nothing_kept))
        with started(Path(folder) / "home", workbooks=books) as lab:
            for name, (_, _, what, median_ms, late_ms, ratio) in PANELS.items():
                ours, peer = (press(browser, lab.page(f"{book}.ipynb")) for book in (name, f"{name}_peer"))
                medians = [statistics.median(times) for times in (ours, peer)]
                rows.append(against(f"{what}, median", medians, median_ms, ratio))
                late = [percentile(times, 95) for times in (ours, peer)]
                rows.append(against("the same, 95 of 100 presses", late, late_ms, None))
            for name, (what, _) in WITHOUT_PEER.items():
                rows += alone(f"key press to picture, {what}", press(browser, lab.page(f"{name}.ipynb")))
        starts, halls = opened_in_turns(browser, Path(folder))
        with started(Path(folder) / "course") as lab:
            turns, megabytes = course(browser, lab)
        version = browser.version
        browser.close()
    remarks.append(
        f"Key press to painted picture: {PRESSES} presses on the first slider, Chromium {version} without a window; "
        "peer is ipywidgets interact with a fresh inline figure of the same pixels."
    )
    seconds = statistics.median(starts)
    rows.append(
        ("start command to a live page", f"{seconds:.1f} s", "needs a click", "", "at most 4 s", met(seconds, 4))
    )
    remarks.append(
        f"Start: median of {STARTS} first starts ({', '.join(f'{s:.1f}' for s in starts)} s), each with a new folder, "
        "from the command until the doors of the first page are there, which its kernel writes. The browser is already "
        "open."
    )
    rows.append(opening_of_a_workshop(starts, halls))
    seconds = statistics.median(turns)
    rows.append(("next lesson: click to a live slider", f"{seconds:.1f} s", "", "", "at most 1.5 s", met(seconds, 1.5)))
    rows.append(
        ("memory after the course", f"{megabytes:.0f} MB", "", "", "at most 600 MB", met(megabytes, 600))
        if megabytes
        else ("memory after the course", "", "", "", "at most 600 MB", "not measured on this system")
    )
    remarks.append(
        f"Next: {len(turns)} lessons in turn by Next, {READ_S} s on each ({', '.join(f'{s:.1f}' for s in turns)} s). "
        "Memory: then, of the server and all its kernels, without the browser; what processes share is counted once."
    )


def against(what, milliseconds, most, ratio):
    """A row of the table about waiting."""
    ours, peer = milliseconds
    wanted = f"at most {most} ms" + (f", {ratio} x" if ratio else "")
    fine = ours <= most and (ratio is None or peer / ours >= ratio)
    return what, f"{ours:.0f} ms", f"{peer:.0f} ms", f"{peer / ours:.2f}", wanted, "met" if fine else "MISSED"


def alone(what, times):
    """The two rows of a panel without a peer."""
    for name, milliseconds, most in (
        (f"{what}, median", statistics.median(times), 75),
        ("the same, 95 of 100 presses", percentile(times, 95), 120),
    ):
        yield name, f"{milliseconds:.0f} ms", "", "", f"at most {most} ms", met(milliseconds, most)


def met(value, most):
    """The last word of a row."""
    return "met" if value <= most else "MISSED"


def percentile(times, share):
    """The time that `share` of 100 presses stay under."""
    return sorted(times)[min(len(times) - 1, round(len(times) * share / 100) - 1)]


@contextlib.contextmanager
def started(*arguments, **options):
    """The start command, ended with Ctrl-C."""
    lab = Started(*arguments, **options)
    try:
        yield lab
    finally:
        lab.process.send_signal(signal.SIGINT)
        lab.process.wait(60)


def press(browser, url):
    """Milliseconds from key press to painted picture, for each press."""
    page = browser.new_page(viewport={"width": 1280, "height": 800})
    page.goto(url)
    page.get_by_role("slider").first.press("ArrowRight", timeout=60_000)  # the peer may lose its first picture
    page.locator(PICTURE).first.wait_for(timeout=60_000)
    page.wait_for_timeout(1500)
    page.evaluate(MEASURE)
    for number in range(PRESSES + 5):
        page.keyboard.press("ArrowRight" if number % 6 < 3 else "ArrowLeft")
        page.wait_for_function("count => window.painted.length > count", arg=number, timeout=10_000)
        page.wait_for_timeout(90)
    times = page.evaluate("window.painted")
    page.close()
    return times[5:]  # the first few warm up


def opened_in_turns(browser, folder):
    """Seconds of `start` to its doors and of `present` to its first screen, one after the other by turns."""
    starts, halls = [], []
    for number in range(STARTS):
        starts.append(start(browser, folder / f"home {number}"))
        halls.append(start(browser, folder / f"hall {number}", "present", ".fc-present .fc-list"))
    return starts, halls


def opening_of_a_workshop(starts, halls):
    """Its row: beside `start` in the same minutes, which is what carries from one machine and one load to another."""
    ours, peer = statistics.median(halls), statistics.median(starts)
    wanted = "at most 4 s"
    return (
        "present command to its first screen",
        f"{ours:.1f} s",
        f"{peer:.1f} s (start)",
        f"{peer / ours:.2f}",
        wanted,
        met(ours, 4),
    )


def start(browser, home, verb="start", live=".fc-door"):
    """Seconds from a command to a first page that is alive, in a folder that was not there before."""
    begun = time.perf_counter()
    with started(home, verb=verb) as lab:
        page = browser.new_page(viewport={"width": 1280, "height": 800})
        page.goto(lab.url)
        page.locator(live).first.wait_for(timeout=60_000)
        seconds = time.perf_counter() - begun
        page.close()
    return seconds


def course(browser, lab):
    """Seconds from a click on Next to the first slider, lesson by lesson, and the megabytes held after the last."""
    page = browser.new_page(viewport={"width": 1280, "height": 720})
    page.goto(lab.url)
    page.locator(".fc-door").first.wait_for(timeout=60_000)
    count, seconds = len(list(lab.lessons.glob("[0-9][0-9]_*.ipynb"))), []
    for number in range(count):
        page.wait_for_timeout(1000 * READ_S)
        begun = time.perf_counter()
        page.locator(f"{SHOWN} :is(.fc-bar .fc-next, .fc-row-of-home > a)").first.click()
        title = f'{SHOWN} .fc-bar .fc-title:text-matches("^{number:02} ")'  # not the page that one leaves
        page.wait_for_selector(title, timeout=60_000)
        alive = ":is([role=slider], .fc-trouble, .fc-game)"  # two lessons have a panel without a slider
        page.wait_for_selector(f"{SHOWN}.first-charge-lesson .jp-OutputArea {alive}", timeout=60_000)
        seconds.append(time.perf_counter() - begun)
    page.wait_for_timeout(1000 * READ_S)
    megabytes = held(lab.process.pid)
    page.close()
    return seconds, megabytes


def held(server):
    """Megabytes of a server and all its kernels, or None where the system does not say what processes share."""
    import psutil  # ipykernel brings it

    processes = [psutil.Process(server), *psutil.Process(server).children(recursive=True)]
    each = [getattr(process.memory_full_info(), "pss", None) for process in processes]
    return None if None in each else sum(each) / 1e6
