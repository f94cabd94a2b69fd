"""A picture of every page as it opens, at 1280 × 720 with 125 % zoom and at 1920 × 1080, to be looked at:
`python tests/page_pictures.py FOLDER [NAME …]`."""

import shutil
import sys
import tempfile
from pathlib import Path

from playwright.sync_api import sync_playwright
from starting import Started

from kilnlib.lab import books
from kilnlib.store.pages import read_pages

SIZES = {"1280_125": (1024, 576, 1.25), "1920": (1920, 1080, 1)}
ALIVE = ".jp-NotebookPanel:not(.lm-mod-hidden)[data-status=idle]"


def main(folder, *names):
    """Take them; without names, of all pages."""
    folder = Path(folder)
    folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as home, sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=shutil.which("chromium"))
        started = Started(Path(home) / "mill")
        try:
            for page in read_pages(books.WORKBOOKS):
                if names and page.name not in names:
                    continue
                for size, (width, height, zoom) in SIZES.items():
                    opened = browser.new_page(viewport={"width": width, "height": height}, device_scale_factor=zoom)
                    opened.goto(started.page(page.file))
                    opened.wait_for_selector(ALIVE, timeout=120_000)
                    opened.wait_for_timeout(1500)
                    opened.screenshot(path=folder / f"{page.name}_{size}.png")
                    opened.close()
        finally:
            started.stop()


if __name__ == "__main__":
    main(*sys.argv[1:])
