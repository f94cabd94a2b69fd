"""The workshop's screens as projected: 1280 × 720 at 125 %, nothing cut, nothing to scroll, readable, by keyboard."""

import re

import pytest
from playwright.sync_api import expect
from starting import Started

from kilnlib.bench.workshop import handout
from kilnlib.bench.workshop.screens import SCREENS, number, say, source
from kilnlib.words import text

SCREENS = SCREENS["through_the_stack"]
ZOOM = 1.25
WORDS_PX, SMALL_PX = 36, 24  # least type on the projector's own pixels
MEASURE = """() => {
  const seen = [...document.querySelectorAll(".fc-present svg text, .fc-words, .fc-number, .fc-number b, .fc-was,"
    + " .fc-tally, .fc-source, .fc-bets button, .fc-list p, .fc-shares p, .fc-own input, .fc-own label")]
    .filter(e => (e.textContent.trim() || e.value) && e.getClientRects().length);
  return seen.map(e => {
    const size = parseFloat(getComputedStyle(e).fontSize) * (e.getScreenCTM ? e.getScreenCTM().a : 1);
    const box = e.getBoundingClientRect();
    const small = e.matches(".fc-tally, .fc-source, .fc-key-undo, .fc-own *");
    return [e.textContent.trim(), small, size * devicePixelRatio, box.left, box.top, box.right, box.bottom];
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
    expect(visited.page.locator(".fc-present .fc-question")).to_be_visible()
    visited.page.wait_for_selector(".jp-Notebook-ExecutionIndicator[data-status=idle]", state="attached")
    visited.page.evaluate("() => document.activeElement.blur()")  # Home in a box stays in the box
    visited.page.keyboard.press("Home")
    at(visited, 1)
    visited.page.keyboard.press("r")
    expect(finding(visited)).to_have_text("")
    expect(visited.page.locator(".fc-list")).to_be_visible()
    return visited


def finding(visited):
    return visited.page.locator(".fc-finding")


def at(visited, place):
    expect(visited.page.locator(".fc-question")).to_contain_text(f"{place}/{len(SCREENS)} ")


def to(visited, name):
    """To a screen by its name, answer hidden, from the first: as a clicker does, reveal, then next."""
    for place, screen in enumerate(SCREENS, 1):
        at(visited, place)
        if screen.name == name:
            break
        for _ in range(2 if screen.asks else 1):
            visited.page.keyboard.press("PageDown")
    if screen.asks:
        expect(visited.page.locator(".fc-bets button:visible")).to_have_text([*screen.bets, text("present.undo")])


@pytest.mark.parametrize("name", [screen.name for screen in SCREENS if screen.asks])
def test_a_screen_is_whole_and_large(projected, name):
    page, screen = projected.page, next(screen for screen in SCREENS if screen.name == name)
    to(projected, name)
    for revealed in (False, True):
        if revealed:
            page.keyboard.press("ArrowDown")
            expect(finding(projected)).to_have_text(say(screen, "finding").replace("\u00a0", " "))
            # the finding and the number come in messages before the last, the source
            expect(page.locator(".fc-number b")).to_have_text(number(screen, screen.after))
            expect(page.locator(".fc-source")).to_have_text(source(screen))
            expect(page.locator(".fc-bets")).to_be_hidden()
        else:
            expect(page.locator(".fc-number")).to_have_text(text("present.hands_up"))
            expect(page.locator(".fc-bets button:visible")).to_have_text([*screen.bets, text("present.undo")])
            expect(page.locator(".fc-source")).to_have_text("")
        measured = check_whole(page)
        shown = {words for words, *_ in measured}
        assert (source(screen) in shown) == revealed
        projected.shot(f"present_{name}_{'after' if revealed else 'before'}")
    assert projected.interruptions() == []


@pytest.mark.parametrize("name", [screen.name for screen in SCREENS if screen.asks])
def test_a_screen_with_its_bets_is_whole(projected, name):
    """A dozen hands beside the answer: nothing of the stage ends below the window, and no line is cut."""
    page, screen = projected.page, next(screen for screen in SCREENS if screen.name == name)
    to(projected, name)
    hands = (2, 5, 4, 1)[: len(screen.bets)]
    for number_of_bet, count in enumerate(hands, 1):
        for _ in range(count):
            page.keyboard.press(str(number_of_bet))
    expect(page.locator(f".fc-key-bet-{len(hands)}")).to_have_text(f"{screen.bets[-1]}: {hands[-1]}")
    check_whole(page)
    page.keyboard.press("ArrowDown")
    expect(page.locator(".fc-source")).to_have_text(source(screen))
    expect(page.locator(".fc-tally")).to_contain_text("5")
    try:
        check_whole(page)
        lowest = page.evaluate("() => Math.max(...[...document.querySelectorAll('.fc-present, .fc-present > *')]"
                               ".map(e => e.getBoundingClientRect().bottom))")  # fmt: skip
        assert lowest <= 720 / ZOOM
    finally:
        page.keyboard.press("End")
        page.get_by_role("button", name=text("present.new_room")).click()
        page.keyboard.press("Home")
        at(projected, 1)


def settled(page):
    """What MEASURE gives once the screen stands still: boxes are laid out a moment after their words."""
    before, measured = None, page.evaluate(MEASURE)
    for _ in range(20):
        if measured == before:
            break
        page.wait_for_timeout(250)
        before, measured = measured, page.evaluate(MEASURE)
    return measured


def check_whole(page):
    """Nothing cut, nothing to scroll, nothing over another, nothing too small. Returns what was measured."""
    measured = settled(page)
    for words, small, size, left, top, right, bottom in measured:
        assert size >= (SMALL_PX if small else WORDS_PX), (words, size)
        assert left >= 0, words
        assert top >= 0, words
        assert right <= 1280 / ZOOM, words
        assert bottom <= 720 / ZOOM, words
    assert page.evaluate(CUT) == []
    assert page.evaluate(SCROLLS) == []
    assert page.evaluate(OVERLAPS) == []
    bars = ".jp-InputArea-editor:visible, .jp-Placeholder:visible, .jp-Toolbar:visible"
    expect(page.locator(bars)).to_have_count(0)
    return measured


@pytest.mark.parametrize("name", ["title", "check"])
def test_a_screen_of_words_is_whole_and_large(projected, name):
    page = projected.page
    to(projected, name)
    last = text(f"present.{name}.lines")[-1]
    expect(page.locator(".fc-list p").last).to_have_text(last)
    expect(page.locator(".fc-bets")).to_be_hidden()
    assert len(check_whole(page)) >= 3
    projected.shot(f"present_{name}")


def test_the_rooms_own_kiln_is_typed_in(projected):
    """Gaps in inches and what a day costs; the share moves, and Enter frees the keys that typing took."""
    page = projected.page
    to(projected, "own")
    shares = page.locator(".fc-shares")
    expect(finding(projected)).to_have_text(text("present.own.empty"))
    expect(shares).to_have_count(0)
    assert len(check_whole(page)) >= 3
    above, under, ends, plenum, cost = (
        page.get_by_label(text(f"present.own.{name}"))
        for name in ("above_m", "under_m", "end_m", "plenum_width_m", "dollars")
    )
    above.press_sequentially("12")
    under.press_sequentially("7")
    ends.press_sequentially("6")
    expect(shares).to_contain_text("61")
    cost.press_sequentially("250")
    expect(finding(projected)).to_contain_text("$")
    plenum.fill("12")
    expect(shares).to_contain_text(text("present.own.plenum_narrow"))
    expect(finding(projected)).to_contain_text("wider plenum")
    check_whole(page)
    projected.shot("present_own_narrow")
    plenum.fill("36")
    expect(shares).to_contain_text(text("present.own.plenum_wide"))
    above.fill("")
    above.press_sequentially("1 1/2")
    expect(shares).not_to_contain_text("61")
    assert above.input_value() == "1 1/2"
    check_whole(page)
    projected.shot("present_own")
    above.press("Home")
    expect(shares).to_be_visible()
    above.press("Enter")
    expect(above).not_to_be_focused()
    page.keyboard.press("b")
    expect(page.locator(".fc-dark")).to_have_count(1)
    page.keyboard.press("b")
    expect(page.locator(".fc-dark")).to_have_count(0)
    assert above.input_value() == "1 1/2"
    page.keyboard.press("Home")
    at(projected, 1)
    page.keyboard.press("End")
    expect(page.locator(".fc-question")).to_have_text(text("present.end"))
    page.locator(".fc-key-undo").click()
    page.keyboard.press("PageUp")
    page.keyboard.press("PageUp")
    page.keyboard.press("PageUp")
    expect(finding(projected)).to_have_text(text("present.own.empty"))
    expect(above).to_have_value("")
    cost.press("PageDown")
    expect(page.locator(".fc-list")).to_be_visible()


def test_all_screens_by_tab_and_enter(projected):
    """Reveal, Next, Back, Reset lie one Tab apart, and Reveal is there only where something is to be revealed."""
    page = projected.page
    reveal, onward = (page.get_by_role("button", name=name, exact=True) for name in ("Reveal", "Next"))
    onward.focus()
    for place, screen in enumerate(SCREENS, 1):
        at(projected, place)
        if screen.asks:
            expect(reveal).to_be_visible()
            page.keyboard.press("Shift+Tab")
            expect(reveal).to_be_focused()
            page.keyboard.press("Enter")
            expect(finding(projected)).to_contain_text(say(screen, "finding")[:12])
            page.keyboard.press("Tab")
        else:
            expect(reveal).to_be_hidden()
        expect(onward).to_be_focused()
        page.keyboard.press("Space")
    expect(page.locator(".fc-question")).to_have_text(text("present.end"))
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    at(projected, len(SCREENS))
    page.keyboard.press("Tab")
    expect(page.get_by_role("button", name="Reset")).to_be_focused()


def test_one_key_each_and_reset_is_exact(projected):
    page = projected.page
    to(projected, "above")
    place = [screen.name for screen in SCREENS].index("above") + 1
    whole = lambda: page.locator(".fc-present").inner_html().replace(' style=""', "")  # noqa: E731
    opened = whole()
    page.keyboard.press("ArrowDown")
    expect(finding(projected)).not_to_have_text("")
    page.keyboard.press("r")
    expect(finding(projected)).to_have_text("")
    assert whole() == opened
    page.keyboard.press("ArrowRight")
    expect(finding(projected)).not_to_have_text("")
    page.keyboard.press("ArrowRight")
    at(projected, place + 1)
    page.keyboard.press("PageUp")
    at(projected, place)
    page.keyboard.press("Home")
    at(projected, 1)
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("End")
    expect(page.locator(".fc-question")).to_have_text(text("present.end"))
    page.keyboard.press("ArrowLeft")
    at(projected, len(SCREENS))


def test_a_fast_clicker_ends_at_the_end(projected):
    page = projected.page
    for _ in range(2 * len(SCREENS) + 8):
        page.keyboard.press("PageDown")
    expect(page.locator(".fc-question")).to_have_text(text("present.end"))
    expect(page.locator(".fc-close")).to_have_text(text("present.end_words"))
    expect(page.locator(".fc-key-undo")).to_have_text(text("present.new_room"))
    assert page.evaluate(CUT) == []
    projected.shot("present_end")
    page.keyboard.press("PageUp")
    at(projected, len(SCREENS))


def test_one_button_prints_the_handout(projected):
    """No file to find and open: the page goes to the printer from a frame that nobody sees."""
    page = projected.page
    projected.watch_print()
    page.keyboard.press("End")
    page.get_by_role("button", name=text("present.print")).click()
    (printed,) = projected.printed()
    assert text("handout.bets") in printed
    assert text("handout.back") in printed
    assert printed.count("<svg") == handout.handout().count("<svg")
    assert projected.outside() == []


def test_no_key_reaches_jupyter(projected):
    """After a button was clicked its cell has the focus, and b, a, m, y, 0 0 … would be JupyterLab's."""
    page = projected.page
    to(projected, "above")
    cells = page.locator(".jp-Cell").count()
    page.get_by_role("button", name="Reset").click()
    for key in (*"aabcdmyxz0000iih", "Alt+Enter", "Control+m", "Control+s", "Control+Enter", "Shift+Enter", "Shift+M"):
        page.keyboard.press(key)
        if page.locator(".fc-dark").count():
            page.keyboard.press("b")
    page.keyboard.press("PageDown")
    expect(finding(projected)).not_to_have_text("")
    assert projected.interruptions() == []
    assert page.locator(".jp-Cell").count() == cells
    expect(page.locator(".fc-present")).to_be_visible()
    assert page.evaluate(CUT) == []


def test_b_makes_it_dark_and_any_key_light_again(projected):
    page = projected.page
    to(projected, "above")
    corner = {"x": 0, "y": 0, "width": 1024, "height": 576}
    light = page.screenshot(clip=corner)
    page.keyboard.press("b")
    expect(page.locator(".fc-dark")).to_have_count(1)
    dark = page.screenshot(clip=corner)
    assert len(dark) < 0.1 * len(light)  # one color
    page.keyboard.press("PageDown")
    expect(page.locator(".fc-dark")).to_have_count(0)
    expect(finding(projected)).to_have_text("")
    page.keyboard.press("PageDown")
    expect(finding(projected)).not_to_have_text("")


def test_hands_are_tapped_in_and_stand_beside_the_answer(projected):
    page, screen = projected.page, next(screen for screen in SCREENS if screen.name == "above")
    to(projected, "above")
    page.keyboard.press("1")
    page.keyboard.press("3")
    page.locator(".fc-key-bet-3").click()
    expect(page.locator(".fc-key-bet-3")).to_have_text(f"{screen.bets[2]}: 2")
    page.keyboard.press("2")
    expect(page.locator(".fc-key-bet-2")).to_have_text(f"{screen.bets[1]}: 1")
    page.keyboard.press("Backspace")
    expect(page.locator(".fc-key-bet-2")).to_have_text(screen.bets[1])
    page.keyboard.press("PageDown")
    expect(page.locator(".fc-tally")).to_have_text("10 %: 1 · 20 % · ✓ 40 %: 2 · 60 %")
    assert page.evaluate(CUT) == []
    page.keyboard.press("End")
    page.get_by_role("button", name=text("present.new_room")).click()  # which is there once the last screen is
    page.keyboard.press("Home")
    to(projected, "above")
    expect(page.locator(".fc-key-bet-3")).to_have_text(screen.bets[2])


def test_it_is_local_quiet_and_clean(projected):
    assert projected.outside() == []
    assert projected.interruptions() == []
    assert projected.axe() == ""
    to(projected, "above")
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
def test_the_handout_is_a_front_and_a_back(chromium, paper, font):
    page = chromium.new_page()
    page.goto(handout.PAGE.as_uri())
    if font:
        page.add_style_tag(content=f"body {{font-family: '{font}' !important}}")
    pages = re.findall(rb"/Type\s*/Page\b", page.pdf(format=paper))
    page.close()
    assert len(pages) == 2
