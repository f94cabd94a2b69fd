"""A real Chromium on the real start command, and what a learner does there as short helpers."""

import os
import shutil
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import expect, sync_playwright
from starting import Started

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
WAIT_MS = 120_000  # a ceiling for a slow machine, not a promise: the benchmark keeps the time
expect.set_options(timeout=WAIT_MS)


@pytest.fixture(scope="session")
def chromium():
    """One Chromium for all browser tests. Without one they are skipped, but never on the build machine."""
    path = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
    if path is None:
        words = "No Chromium was found, so nothing was tested in a browser. Install one (Debian: apt install chromium)."
        pytest.fail(words) if os.environ.get("CI") == "true" else pytest.skip(words)
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=FLAGS)
        yield browser
        browser.close()


@pytest.fixture(scope="module")
def start(tmp_path_factory):
    """start(workbooks=None, *arguments): the start command on a new folder whose name has spaces and accents."""
    running = []

    def run(*arguments, workbooks=None, home=None):
        home = home or tmp_path_factory.mktemp("mill") / "Größe d’été"
        log = home.parent / "network.log"
        watched = {"PYTHONPATH": str(WATCH), "FIRST_CHARGE_NETWORK_LOG": str(log)}
        started = Started(home, *arguments, workbooks=workbooks, **watched)
        started.network_log = log
        running.append(started)
        assert started.url, started.printed
        return started

    yield run
    for started in running:
        started.stop()


@pytest.fixture
def visit(chromium):
    """visit(url): a page in a fresh browser window of 1280 × 720; `zoom=1.25` as by Ctrl-plus."""
    visited = []

    def open_page(url, zoom=1.0):
        visited.append(Visit(chromium, url, zoom))
        return visited[-1]

    yield open_page
    for one in visited:
        one.context.close()


@pytest.fixture(scope="module")
def lessons(start):
    """The start command on the lessons that we ship."""
    return start()


class Visit:
    """A page of the workbook, and what a learner does and meets there."""

    def __init__(self, chromium, url, zoom=1.0):
        size = {"width": int(1280 / zoom), "height": int(720 / zoom)}
        self.context = chromium.new_context(viewport=size, device_scale_factor=zoom)
        self.page = self.context.new_page()
        self.page.set_default_timeout(WAIT_MS)
        self.addresses, self.dialogs = [], []
        self.page.on("request", lambda request: self.addresses.append(request.url))
        self.page.on("websocket", lambda socket: self.addresses.append(socket.url))
        self.page.on("dialog", self._dialog)
        self.page.goto(url)

    def _dialog(self, dialog):
        self.dialogs.append(dialog.message or dialog.type)
        dialog.dismiss()

    def wait_live(self):
        """Wait for the first slider that answers."""
        expect(self.page.locator(LIVE).first).to_be_visible()
        return self

    def wait_idle(self):
        """Wait until the kernel of the notebook is up and has nothing to do."""
        self.page.wait_for_selector(
            ".jp-NotebookPanel:not(.lm-mod-hidden) .jp-Notebook-ExecutionIndicator[data-status=idle]"
        )
        return self

    def slider(self, number=0):
        """A slider's handle by its place on the page."""
        return self.page.locator(LIVE).nth(number)

    def press(self, number, key, times=1):
        """Press a key on a slider's handle."""
        self.slider(number).focus()
        for _ in range(times):
            self.page.keyboard.press(key)

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

    def shot(self, name):
        """Keep a picture of the window as tests/browser/screenshots/NAME.png."""
        SCREENSHOTS.mkdir(exist_ok=True)
        self.page.screenshot(path=SCREENSHOTS / f"{name}.png")
