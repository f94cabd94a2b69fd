"""Through the stack in a real browser: a gap opened by key moves picture and words, and nothing is cut."""

import re

import pytest
from conftest import in_lesson
from playwright.sync_api import expect

pytestmark = in_lesson("05_through_the_stack")


@pytest.fixture
def stack(lesson):
    """The lesson with its prediction made."""
    lesson.commit("B")
    return lesson


def test_a_gap_opened_by_key_moves_picture_and_words(new_lesson):
    stack = new_lesson  # its prediction is still to be told of
    stack.commit("B")
    image, said = stack.drawing(), stack.panel().locator(".fc-said")
    expect(image).to_have_attribute("aria-label", re.compile("All baffles in place. 6 % of the air misses the wood"))
    expect(image.locator(".fc-baffle")).to_have_count(4)
    prediction = stack.page.locator(".fc-predict")
    expect(prediction).to_contain_text("Now turn on Open above, and nothing else")
    expect(prediction).not_to_contain_text("It came out otherwise")
    for name, words in (("Open above", "41 %"), ("ends", "52 %"), ("under", "61 %")):
        stack.panel().get_by_role("checkbox", name=name).focus()
        stack.page.keyboard.press("Space")
        expect(said).to_contain_text(f"{words} of the air misses the wood")
        expect(image).to_have_attribute("aria-label", re.compile(f"{words} of the air misses the wood"))
    expect(image.locator(".fc-baffle")).to_have_count(0)
    expect(image).to_contain_text("before: 52 % missed")
    expect(prediction).to_contain_text("The boards themselves let nothing through")
    expect(prediction).not_to_contain_text("Now turn on")
    stack.shot("stack_open")
    stack.panel().get_by_role("button", name="Reset").click()
    expect(said).to_contain_text("All baffles in place.")
    expect(stack.panel().get_by_role("checkbox", name="under")).not_to_be_checked()
    expect(image).not_to_contain_text("before")


@pytest.mark.parametrize(
    "situation", ["Short load, nothing above it", "Overfull kiln, tight plenum", "Mixed sticker thickness"]
)
def test_panel_and_drawing_fit_with_nothing_cut(stack, situation):
    stack.panel().get_by_label("Situation").select_option(situation)
    expect(stack.drawing()).to_contain_text("before")
    stack.assert_panels_fit(f"stack_{situation[:5].lower().strip()}")
