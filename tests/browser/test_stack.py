"""Through the stack in a real browser: a gap opened by key moves picture and words, and nothing is cut."""

import re

import pytest
from playwright.sync_api import expect


@pytest.fixture
def stack(lessons, visit):
    """stack(zoom): the lesson with its prediction made."""

    def open_lesson(zoom=1.0):
        page = visit(lessons.page("05_through_the_stack.ipynb"), zoom).wait_live().wait_idle()
        expect(drawing(page)).to_be_hidden()
        box = page.page.locator(".fc-predict")
        box.get_by_text(re.compile(r"^B\. ")).click()
        box.get_by_role("button", name="Commit").click()
        expect(drawing(page)).to_be_visible()
        return page

    return open_lesson


def panel(visit):
    return visit.page.locator(".fc-view:has(.fc-controls)").first


def drawing(visit):
    return panel(visit).locator(".fc-stage svg[role=img]")


def test_a_gap_opened_by_key_moves_picture_and_words(stack):
    visit = stack()
    image, said = drawing(visit), panel(visit).locator(".fc-said")
    expect(image).to_have_attribute("aria-label", re.compile("All baffles in place. 6 % of the air misses the wood"))
    expect(image.locator(".fc-baffle")).to_have_count(4)
    for name, words in (("Open above", "41 %"), ("ends", "52 %"), ("under", "61 %")):
        panel(visit).get_by_role("checkbox", name=name).focus()
        visit.page.keyboard.press("Space")
        expect(said).to_contain_text(f"{words} of the air misses the wood")
        expect(image).to_have_attribute("aria-label", re.compile(f"{words} of the air misses the wood"))
    expect(image.locator(".fc-baffle")).to_have_count(0)
    expect(image).to_contain_text("before: 52 % missed")
    expect(visit.page.locator(".fc-predict")).to_contain_text("The boards themselves let nothing through")
    visit.shot("stack_open")
    panel(visit).get_by_role("button", name="Reset").click()
    expect(said).to_contain_text("All baffles in place.")
    expect(panel(visit).get_by_role("checkbox", name="under")).not_to_be_checked()
    expect(image).not_to_contain_text("before")


def test_the_lesson_is_quiet_local_and_clean(stack):
    visit = stack()
    assert visit.interruptions() == []
    assert visit.outside() == []
    assert visit.page.locator(".jp-OutputArea [data-mime-type*=error]").count() == 0
    assert visit.axe() == ""


@pytest.mark.parametrize("zoom", [1.0, 1.25])
@pytest.mark.parametrize("situation", ["Short load, nothing above it", "Overfull kiln, tight plenum"])
def test_panel_and_drawing_fit_with_nothing_cut(stack, zoom, situation):
    visit = stack(zoom)
    panel(visit).get_by_label("Situation").select_option(situation)
    expect(drawing(visit)).to_contain_text("before")
    panel(visit).scroll_into_view_if_needed()
    whole = panel(visit).locator("> .widget-hbox").bounding_box()
    assert whole["width"] <= 940
    assert whole["height"] <= 440
    assert visit.page.evaluate("document.querySelector('.fc-stage svg').getBoundingClientRect().right") <= 1280 / zoom
    cut = visit.page.evaluate(
        """() => [...document.querySelectorAll(
            ".fc-controls .widget-label, .fc-controls label, .fc-controls button, .fc-said, .fc-numbers td")]
        .filter(e => e.offsetParent && (e.scrollWidth > e.clientWidth + 1 || e.scrollHeight > e.clientHeight + 2))
        .map(e => e.textContent)"""
    )
    assert cut == []
    outside = visit.page.evaluate(
        """() => { const frame = document.querySelector(".fc-stage svg").getBoundingClientRect();
        return [...document.querySelectorAll(".fc-stage svg text")].map(e => [e.textContent, e.getBoundingClientRect()])
        .filter(([_, box]) => box.left < frame.left || box.right > frame.right || box.bottom > frame.bottom + 1)
        .map(([words]) => words) }"""
    )
    assert outside == []
    overlaps = visit.page.evaluate(
        """() => { const all = [...document.querySelectorAll(".fc-stage svg text")].map(e => e.getBoundingClientRect());
        return all.flatMap((a, i) => all.slice(i + 1).filter(b => a.left < b.right && b.left < a.right
            && a.top + 4 < b.bottom && b.top + 4 < a.bottom)).length }"""
    )
    assert overlaps == 0
    visit.shot(f"stack_{situation[:5].lower().strip()}_{int(zoom * 100)}")
