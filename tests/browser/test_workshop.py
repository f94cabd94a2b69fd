"""The workshop's screens as projected: 1280 × 720 at 125 %, nothing cut, nothing to scroll, readable, by keyboard."""

import re

import pytest
from playwright.sync_api import expect
from starting import Started

from kilnlib.bench.workshop import handout
from kilnlib.bench.workshop.presenter import SCREENS, number, say

SCREENS = SCREENS["through_the_stack"]
ZOOM = 1.25
WORDS_PX, TICKS_PX = 36, 20  # least type on the projector's own pixels
MEASURE = """() => {
  const seen = [...document.querySelectorAll(".fc-present svg text, .fc-words, .fc-number, .fc-number b, .fc-was")]
    .filter(e => e.textContent.trim());
  return seen.map(e => {
    const size = parseFloat(getComputedStyle(e).fontSize) * (e.getScreenCTM ? e.getScreenCTM().a : 1);
    const box = e.getBoundingClientRect();
    return [e.textContent.trim(), size * devicePixelRatio, box.left, box.top, box.right, box.bottom];
  });
}"""
CUT = """() => [...document.querySelectorAll(".fc-present, .fc-present *")]
  .filter(e => !e.closest("svg") && !e.matches("style") && e.offsetParent
    && (e.scrollWidth > e.clientWidth + 1 || e.scrollHeight > e.clientHeight + 2) && e.clientWidth)
  .map(e => e.className + ": " + e.textContent)"""
SCROLLS = """() => [...document.querySelectorAll("*")]
  .filter(e => ["auto", "scroll"].includes(getComputedStyle(e).overflowY) && e.scrollHeight > e.clientHeight + 1
    && e.clientHeight > 0)
  .map(e => e.className)"""
OVERLAPS = """() => { const all = [...document.querySelectorAll(".fc-present svg text")].filter(e => e.textContent)
  .map(e => [e.textContent, e.getBoundingClientRect()]);
  return all.flatMap(([x, a], i) => all.slice(i + 1).filter(([, b]) => a.left < b.right && b.left < a.right
    && a.top + 8 < b.bottom && b.top + 8 < a.bottom).map(([y]) => [x, y])) }"""


@pytest.fixture(scope="module")
def workshop(tmp_path_factory):
    """The present command."""
    started = Started(tmp_path_factory.mktemp("hall") / "home", verb="present")
    assert started.url, started.printed
    yield started
    started.stop()


@pytest.fixture
def projected(workshop, keep):
    """The page at its first screen as it opens, live; one page for all tests here."""
    assert "present_through_the_stack.ipynb" in workshop.url
    visited = keep(workshop.url, ZOOM)
    expect(visited.page.locator(".fc-present svg")).to_be_visible()
    visited.page.wait_for_selector(".jp-Notebook-ExecutionIndicator[data-status=idle]", state="attached")
    for place in range(place_of(visited), 1, -1):
        visited.page.keyboard.press("PageUp")
        at(visited, place - 1)
    visited.page.keyboard.press("r")
    expect(finding(visited)).to_have_text("")
    return visited


def finding(visited):
    return visited.page.locator(".fc-finding")


def place_of(visited):
    return int(re.search(r"(\d)/6", visited.page.locator(".fc-question").inner_text())[1])


def at(visited, place):
    expect(visited.page.locator(".fc-question")).to_contain_text(f"{place}/6")


@pytest.mark.parametrize("place", range(1, 7))
def test_a_screen_is_whole_and_large(projected, place):
    page, screen = projected.page, SCREENS[place - 1]
    for _ in range(place - 1):
        page.keyboard.press("PageDown")
    at(projected, place)
    for revealed in (False, True):
        if revealed:
            page.keyboard.press("ArrowDown")
            expect(finding(projected)).to_have_text(say(screen, "finding").replace("\u00a0", " "))
        else:
            expect(finding(projected)).to_have_text("")
        large = number(screen, screen.after if revealed else screen.before)
        expect(page.locator(".fc-number b")).to_have_text(large)  # the question comes a message before it
        measured = page.evaluate(MEASURE)
        for words, size, left, top, right, bottom in measured:
            assert size >= (TICKS_PX if words in ("0", "400") else WORDS_PX), (words, size)
            assert left >= 0, words
            assert top >= 0, words
            assert right <= 1280 / ZOOM, words
            assert bottom <= 720 / ZOOM, words
        shown = {words for words, *_ in measured}
        assert large in shown
        assert page.evaluate(CUT) == []
        assert page.evaluate(SCROLLS) == []
        assert page.evaluate(OVERLAPS) == []
        expect(
            page.locator(".jp-InputArea-editor:visible, .jp-Placeholder:visible, .jp-Toolbar:visible")
        ).to_have_count(0)
    assert projected.interruptions() == []
    projected.shot(f"present_{place}")


def test_all_six_by_tab_and_enter(projected):
    """From the first button on: Reveal, Next, Back, Reset lie one Tab apart, and focus stays where it is."""
    page = projected.page
    page.get_by_role("button", name="Reveal").focus()
    for place, screen in enumerate(SCREENS, 1):
        at(projected, place)
        page.keyboard.press("Enter")
        expect(finding(projected)).to_contain_text(say(screen, "finding")[:12])
        page.keyboard.press("Tab")
        expect(page.get_by_role("button", name="Next")).to_be_focused()
        page.keyboard.press("Space")
        expect(finding(projected)).to_have_text("")
        page.keyboard.press("Shift+Tab")
        expect(page.get_by_role("button", name="Reveal")).to_be_focused()
    at(projected, 1)
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    at(projected, 6)
    page.keyboard.press("Tab")
    expect(page.get_by_role("button", name="Reset")).to_be_focused()


def test_one_key_each_and_reset_is_exact(projected):
    page = projected.page
    opened = page.locator(".fc-present").inner_html()
    page.keyboard.press("ArrowDown")
    expect(finding(projected)).not_to_have_text("")
    page.keyboard.press("r")
    expect(finding(projected)).to_have_text("")
    assert page.locator(".fc-present").inner_html() == opened
    page.keyboard.press("ArrowRight")
    at(projected, 2)
    page.keyboard.press("PageUp")
    at(projected, 1)
    page.keyboard.press("ArrowLeft")
    at(projected, 6)
    assert page.locator(".jp-Cell").count() == 5  # no key of the notebook's own came through


def test_it_is_local_quiet_and_clean(projected):
    assert projected.outside() == []
    assert projected.interruptions() == []
    assert projected.axe() == ""
    projected.page.keyboard.press("ArrowDown")
    expect(finding(projected)).not_to_have_text("")
    assert projected.axe() == ""


def test_another_notebook_gets_its_bars_back(workshop, visit):
    visited = visit(workshop.page("02_air.ipynb")).wait_live()
    visited.page.get_by_role("button", name="Jupyter", exact=True).click()
    expect(visited.page.locator(".jp-NotebookPanel-toolbar")).to_be_visible()
    expect(visited.page.locator(".jp-SideBar.jp-mod-left")).to_be_visible()


@pytest.mark.parametrize("paper", ["Letter", "A4"])
@pytest.mark.parametrize("font", ["", "DejaVu Sans"])
def test_the_printed_page_is_one_page(chromium, paper, font):
    page = chromium.new_page()
    page.goto(handout.PAGE.as_uri())
    if font:
        page.add_style_tag(content=f"body {{font-family: '{font}' !important}}")
    pages = re.findall(rb"/Type\s*/Page\b", page.pdf(format=paper))
    page.close()
    assert len(pages) == 1
