"""Each page to print takes one sheet of A4 and of Letter, with nothing cut and type that can be read."""

import datetime
import html
import re

import pytest

from kilnlib.bench.desk import print_set
from kilnlib.store import kiln

PAGES = print_set.pages(kiln.ThisKiln(name="A long name of a kiln, as somebody may type it"), datetime.date(2026, 5, 4))
MARGIN = dict.fromkeys(("top", "bottom", "left", "right"), "10mm")
LAID = """() => {
  const main = document.querySelector("main");
  const rest = [...main.querySelectorAll(":scope > :not(footer), :scope > :not(footer) *")];
  const frame = main.getBoundingClientRect();
  const foot = main.querySelector("footer")?.getBoundingClientRect().top ?? frame.bottom;
  const sizes = rest.filter(e => e.textContent.trim()).map(e => parseFloat(getComputedStyle(e).fontSize) * 72 / 96);
  return {
    past: rest.filter(e => { const box = e.getBoundingClientRect(); return box.bottom > foot + 1
      || box.right > frame.right + 1; }).map(e => e.textContent),
    least: Math.min(...sizes),
    split: rest.filter(e => e.tagName === "P" && e.getClientRects().length > 1).map(e => e.textContent),
    cut: rest.filter(e => e.parentElement.tagName === "OL"  // its number stands left of it
      && e.getBoundingClientRect().left - frame.left < 1.5 * parseFloat(getComputedStyle(e).fontSize))
      .map(e => e.textContent),
  };
}"""


@pytest.fixture(scope="module")
def sheet(chromium):
    page = chromium.new_page()
    yield page
    page.close()


@pytest.mark.parametrize("name", PAGES)
def test_a_page_is_one_sheet(sheet, name):
    sheet.set_content(PAGES[name].decode())
    for paper in ("A4", "Letter"):
        printed = sheet.pdf(format=paper, margin=MARGIN)
        assert len(re.findall(rb"/Type\s*/Page[^s]", printed)) == 1
    sheet.emulate_media(media="print")
    laid = sheet.evaluate(LAID)
    assert laid["past"] == laid["split"] == laid["cut"] == []
    assert laid["least"] >= 8


def test_one_file_prints_them_all_a_sheet_each(sheet):
    """What stands on each sheet is what the page alone prints, in the order of the list."""
    sheet.set_content(print_set.in_one(PAGES).decode())
    frames = [frame for frame in sheet.frames if frame.parent_frame]
    assert [frame.locator("h1").inner_text() for frame in frames] == [
        html.unescape(re.search("<h1>(.*?)</h1>", page.decode())[1]) for page in PAGES.values()
    ]
    for paper in ("A4", "Letter"):
        printed = sheet.pdf(format=paper, margin=MARGIN)
        assert len(re.findall(rb"/Type\s*/Page[^s]", printed)) == len(PAGES)
    for frame in frames:
        assert frame.evaluate("document.documentElement.scrollHeight <= innerHeight + 1"), "nothing is cut off"
