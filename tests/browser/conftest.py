"""A real Chromium on the real start command, and what a learner does there as short helpers."""

import os
import re
import shutil
import time
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect, sync_playwright
from starting import Started

from kilnlib.store.record import FILE_NAME, Record

SCREENSHOTS = Path(__file__).parent / "screenshots"
WATCH = Path(__file__).parent / "watch"
FLAGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
LIVE = ".jp-OutputArea [role=slider]"
SCREENS = {100: (1280, 720), 125: (1024, 576)}  # zoom in percent: what is left of a screen of 1280 × 720
CUT = """() => [...document.querySelectorAll(
    ".fc-controls .widget-label, .fc-controls label, .fc-controls button, .fc-said, .fc-numbers td")]
  .filter(e => e.offsetParent && (e.scrollWidth > e.clientWidth + 1 || e.scrollHeight > e.clientHeight + 2))
  .map(e => e.textContent)"""
OUTSIDE = """() => [...document.querySelectorAll(".fc-stage svg[role=img]")].flatMap(svg => {
  const frame = svg.getBoundingClientRect();
  return [...svg.querySelectorAll("text")].map(e => [e.textContent, e.getBoundingClientRect()])
    .filter(([_, box]) => box.left < frame.left || box.right > frame.right || box.bottom > frame.bottom + 1)
    .map(([words]) => words)})"""
OVERLAPS = """() => [...document.querySelectorAll(".fc-stage svg[role=img]")].flatMap(svg => {
  const all = [...svg.querySelectorAll("text")].map(e => [e.textContent, e.getBoundingClientRect()]);
  return all.flatMap(([words, a], i) => all.slice(i + 1).filter(([_, b]) => a.left < b.right && b.left < a.right
    && a.top + 4 < b.bottom && b.top + 4 < a.bottom).map(([other]) => `${words} / ${other}`))})"""
SHORT = """() => [...document.querySelectorAll(".fc-controls .widget-hslider")]
  .filter(e => e.offsetParent && e.querySelector(".noUi-target").offsetWidth < 180)
  .map(e => `${e.textContent} ${e.querySelector(".noUi-target").offsetWidth}`)"""
LOW = """() => [...document.querySelectorAll(".fc-view select")]
  .filter(e => e.offsetParent && e.getBoundingClientRect().height < 24)
  .map(e => `${e.closest(".jupyter-widgets").textContent} ${e.getBoundingClientRect().height}`)"""
# JupyterLab draws these itself and breaks three rules with them; everything else on the page is ours to answer for.
EXCUSED = {
    "aria-allowed-attr": "#main, #jp-main-dock-panel, .lm-Widget",
    "aria-required-children": ".lm-TabBar, .lm-MenuBar, .jp-Toolbar, .jp-WindowedPanel-viewport",
    "region": "#jp-skiplink, .jp-skiplink-wrapper, .lm-Widget:not(.first-charge *)",
}
WAIT_MS = 120_000  # a ceiling for a slow machine, not a promise: the benchmark keeps the time
expect.set_options(timeout=WAIT_MS)


def check_whole_on_one_sheet(chromium, printed):
    """A page of HTML takes one sheet of A4 and of Letter, and nothing on it is cut."""
    page = chromium.new_page()
    page.set_content(printed)
    for paper in ("A4", "Letter"):
        assert len(re.findall(rb"/Type\s*/Page\b", page.pdf(format=paper))) == 1
    main = page.locator("main")
    assert main.evaluate("e => [e.scrollHeight - e.clientHeight, e.scrollWidth - e.clientWidth]") == [0, 0]
    spills = "all => all.filter(e => e.scrollHeight > e.clientHeight + 1).map(e => e.textContent)"
    assert page.locator(".top, .foot").evaluate_all(spills) == []
    least = "all => Math.min(...all.map(e => parseFloat(getComputedStyle(e).fontSize) * 72 / 96))"
    assert page.locator("main :is(p, li, td, th, dt, dd)").evaluate_all(least) >= 7.45
    cut = "all => all.filter(e => e.scrollWidth > e.clientWidth + 1).map(e => e.textContent)"
    assert page.locator("td, th").evaluate_all(cut) == []
    page.close()


def wait_until(check, seconds=5):
    """Ask until the answer is yes, or the time is over; returns the last answer. For what no page shows."""
    end = time.monotonic() + seconds
    while not (answer := check()) and time.monotonic() < end:
        time.sleep(0.1)
    return answer


@pytest.fixture(scope="session")
def chromium_path():
    """Where Chromium is. Without one the browser tests are skipped, but never on the build machine."""
    names = (os.environ.get("CHROMIUM", ""), "chromium", "chromium-browser", "google-chrome")
    path = next(filter(None, map(shutil.which, names)), None)
    if path is None:
        words = "No Chromium was found, so nothing was tested in a browser. Install one (Debian: apt install chromium)."
        pytest.fail(words) if os.environ.get("CI") == "true" else pytest.skip(words)
    return path


@pytest.fixture(scope="session")
def chromium(chromium_path):
    """One Chromium for all browser tests."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium_path, args=FLAGS)
        yield browser
        browser.close()


@contextmanager
def starting(tmp_path_factory):
    """run(workbooks=None, *arguments): the start command on a new folder whose name has spaces and accents."""
    running = []

    def run(*arguments, workbooks=None, home=None, verb="start"):
        home = home or tmp_path_factory.mktemp("mill") / "Größe d’été"
        log = home.parent / "network.log"
        paths = [str(WATCH), *filter(None, [os.environ.get("PYTHONPATH")])]
        watched = {"PYTHONPATH": os.pathsep.join(paths), "FIRST_CHARGE_NETWORK_LOG": str(log)}
        started = Started(home, *arguments, verb=verb, workbooks=workbooks, **watched)
        started.network_log = log
        running.append(started)
        assert started.url, started.printed
        return started

    yield run
    for started in running:
        started.stop()


@pytest.fixture(scope="module")
def start(tmp_path_factory):
    """start(workbooks=None, *arguments): a start command of this file's own."""
    with starting(tmp_path_factory) as run:
        yield run


@pytest.fixture(scope="module")
def lessons(start):
    """The start command on the lessons that we ship."""
    return start()


@pytest.fixture(scope="session")
def classroom(tmp_path_factory):
    """The same for all tests that work in a lesson and leave nothing in its folder."""
    with starting(tmp_path_factory) as run:
        yield run()


@pytest.fixture
def visit(chromium):
    """visit(url): a page in a fresh browser window of 1280 × 720; `zoom=1.25` as by Ctrl-plus; `script` runs first."""
    visited = []

    def open_page(url, zoom=1.0, script=""):
        visited.append(Visit(chromium, url, zoom, script))
        return visited[-1]

    yield open_page
    for one in visited:
        one.context.close()


class Kept:
    """A page that stays open from test to test, until one asks for another address."""

    def __init__(self, chromium):
        self.chromium, self.visit, self.opened = chromium, None, None

    def open(self, url, zoom=1.0, script="", anew=False):
        """The page of that address. Where it was left is for the test to bring back; `anew` opens it again."""
        if anew or self.opened != (url, zoom, script) or self.visit.page.is_closed():
            self.close()
            self.visit = Visit(self.chromium, url, zoom, script)
            self.opened = url, zoom, script
        return self.visit

    def close(self):
        """Close it, so that the next test starts with a new one."""
        if self.visit:
            self.visit.context.close()
        self.visit = self.opened = None


@pytest.fixture(scope="session")
def kept(chromium):
    page = Kept(chromium)
    yield page
    page.close()


@pytest.fixture
def keep(kept, request):
    """keep(url): the page of that address, opened by the first test that asks for it. One that fails leaves none."""
    failed = request.session.testsfailed
    yield kept.open
    if request.session.testsfailed > failed:
        kept.close()


def in_lesson(*names):
    """Mark of the tests in a lesson: they share its page, so one process runs them (../conftest.py sees to that)."""
    return pytest.mark.parametrize("name", names)


@pytest.fixture
def lesson(keep, classroom, name):
    """The lesson that the test is marked with, alive."""
    return keep(classroom.page(f"{name}.ipynb")).wait_live().wait_idle()


@pytest.fixture
def new_lesson(keep, kept, classroom, name):
    """The same, on a page that no test has touched, for a learner who has done nothing yet."""
    kept.close()
    record = Record(classroom.home / FILE_NAME)
    record.sit_down("Before")  # or else whoever sat there without a name would be given the new one
    record.sit_down(f"New {len(record.learners())}")
    return keep(classroom.page(f"{name}.ipynb"), anew=True).wait_live().wait_idle()


class Visit:
    """A page of the workbook, and what a learner does and meets there."""

    def __init__(self, chromium, url, zoom=1.0, script=""):
        size = {"width": int(1280 / zoom), "height": int(720 / zoom)}
        self.context = chromium.new_context(viewport=size, device_scale_factor=zoom)
        self.page = self.context.new_page()
        self.page.set_default_timeout(WAIT_MS)
        self.addresses, self.dialogs = [], []
        self.page.on("request", lambda request: self.addresses.append(request.url))
        self.page.on("websocket", lambda socket: self.addresses.append(socket.url))
        self.page.on("dialog", self._dialog)
        if script:
            self.page.add_init_script(script)
        self.page.goto(url)

    def _dialog(self, dialog):
        self.dialogs.append(dialog.message or dialog.type)
        dialog.dismiss()

    def wait_live(self):
        """Wait for the first slider that answers, or for the panel of a lesson that has none."""
        expect(self.page.locator(f"{LIVE}, .jp-OutputArea .fc-trouble, .jp-OutputArea .fc-game").first).to_be_visible()
        return self

    def wait_idle(self):
        """Wait until the kernel of the notebook is up and has nothing to do."""
        own, idle = ".first-charge[data-status=idle]", ".jp-Notebook-ExecutionIndicator[data-status=idle]"
        shown = f".jp-NotebookPanel:not(.lm-mod-hidden):is({own}, :not(.first-charge):has({idle}))"
        self.page.wait_for_selector(shown)
        return self

    def slider(self, number=0):
        """A slider's handle by its place on the page."""
        return self.page.locator(LIVE).nth(number)

    def press(self, number, key, times=1):
        """Press a key on a slider's handle."""
        self.slider(number).focus()
        for _ in range(times):
            self.page.keyboard.press(key)

    def panel(self, number=0):
        """A panel's frame: the one that holds sliders."""
        return self.page.locator(".fc-view:has(.fc-controls)").nth(number)

    def drawing(self, number=0):
        """What a panel shows: an image, or a drawing."""
        return self.panel(number).locator(".fc-stage :is(img, svg[role=img])").first

    def commit(self, letter="A"):
        """Answer the prediction inside each panel, if that is still to be done."""
        for number in range(self.page.locator(".fc-view:has(.fc-controls)").count()):
            box = self.panel(number).locator(".fc-predict")
            if box.get_by_role("button", name="Commit").is_visible():
                box.get_by_text(re.compile(rf"^{letter}\. ")).click()
                box.get_by_role("button", name="Commit").click()
                expect(self.drawing(number)).to_be_visible()

    def assert_panels_fit(self, name):
        """Every panel within 940 × 440 px, nothing cut, no words over others, no low list, at both zooms."""
        for zoom, (width, height) in SCREENS.items():
            self.page.set_viewport_size({"width": width, "height": height})
            for number in range(self.page.locator(".fc-view:has(.fc-controls)").count()):
                self.panel(number).scroll_into_view_if_needed()
                expect(self.drawing(number)).to_be_visible()
                whole = self.panel(number).locator("> .widget-hbox").bounding_box()
                assert whole["width"] <= 940
                assert whole["height"] <= 440
                shown = self.drawing(number).bounding_box()
                assert shown["x"] + shown["width"] <= width
                self.shot(f"{name}_{number}_{zoom}")
            for what in (CUT, OUTSIDE, OVERLAPS, SHORT, LOW):
                assert self.page.evaluate(what) == []
        self.page.set_viewport_size({"width": 1280, "height": 720})

    def assert_tasks_beside_picture(self):
        """The tasks of "Look", the longest too, in one window with controls and picture, at 100 % and 125 %."""
        bar = self.page.locator(".fc-tasks")
        if self.page.locator('[data-cell="look"] ol').count() == 0:
            return
        for width, height in SCREENS.values():
            self.page.set_viewport_size({"width": width, "height": height})
            while (following := bar.get_by_role("button", name="Next")).is_enabled():
                following.click()
                top = self.page.locator(".fc-bar").bounding_box()
                whole = self.panel().locator("> .widget-hbox").bounding_box()
                needed = whole["y"] + whole["height"] - bar.bounding_box()["y"]
                assert needed <= height - top["height"], bar.inner_text()
            while (before := bar.get_by_role("button", name="Before")).is_enabled():
                before.click()
        self.page.set_viewport_size({"width": 1280, "height": 720})

    def picture(self, number=0):
        """The text alternative of a picture that an output shows."""
        return self.page.locator(".jp-OutputArea img[alt]").nth(number).get_attribute("alt")

    def said(self, number=0):
        """A sentence that is read aloud when it changes."""
        return self.page.locator(".jp-OutputArea [aria-live]").nth(number).inner_text()

    def expect_said(self, words, number=0):
        """Wait until a sentence that is read aloud holds these words."""
        expect(self.page.locator(".jp-OutputArea [aria-live]").nth(number)).to_contain_text(words)

    def interruptions(self):
        """Everything that asks for attention: dialogs of the browser and of JupyterLab, notices, error boxes."""
        shown = self.page.locator(".jp-Dialog, .Toastify__toast, .jp-toast, .jp-RenderedText[data-mime-type$=stderr]")
        return [*self.dialogs, *shown.all_inner_texts()]

    def outside(self):
        """Addresses that the page asked for and that are not on this machine."""
        local = (url for url in self.addresses if not url.startswith(("data:", "blob:", "about:")))
        return [url for url in local if urlsplit(url).hostname != "127.0.0.1"]

    def axe(self):
        """What the accessibility checker finds inside the outputs, as text; empty is clean."""
        found = Axe().run(self.page, context={"include": [[".jp-OutputArea"]]})
        return found.generate_report() if found.violations_count else ""

    def axe_of_page(self):
        """What it finds on the whole page, but for what JupyterLab draws: rule and element."""
        return [
            (violation["id"], node["html"][:160])
            for violation in Axe().run(self.page).response["violations"]
            for node in violation["nodes"]
            if not self._is_excused(violation["id"], node["target"][0])
        ]

    def _is_excused(self, rule, target):
        matches = "([target, excused]) => document.querySelector(target)?.matches(excused)"
        return rule in EXCUSED and self.page.evaluate(matches, [target, EXCUSED[rule]])

    def watch_print(self):
        """From here on a page that goes to the printer is caught in place of the printer: see `printed`."""
        self.page.evaluate(
            "() => { window.fcPrinted = []; document.addEventListener('load', e => "
            "e.target.matches?.('iframe.fc-printed') && (e.target.contentWindow.print = () => "
            "window.fcPrinted.push('<!DOCTYPE html>' + e.target.contentDocument.documentElement.outerHTML)), true) }"
        )  # before the frame's own listener

    def printed(self, count=1):
        """The pages that went to the printer since `watch_print`, as HTML, once there are so many."""
        self.page.wait_for_function("count => window.fcPrinted.length >= count", arg=count)
        return self.page.evaluate("() => window.fcPrinted")

    def shot(self, name):
        """Keep a picture of the window as tests/browser/screenshots/NAME.png."""
        SCREENSHOTS.mkdir(exist_ok=True)
        self.page.screenshot(path=SCREENSHOTS / f"{name}.png")
