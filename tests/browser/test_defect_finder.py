"""Lesson 10 in a real browser: a pinched saw brought to the finder by keyboard, and what it says of it."""

import re

import pytest
from conftest import in_lesson
from playwright.sync_api import expect

pytestmark = in_lesson("10_stress_and_defects")
SENTENCE = "prongs bend inward, board pinches the saw, target was 7 %"


@pytest.fixture
def finder(lesson):
    found = lesson.page.locator(".fc-find")
    found.scroll_into_view_if_needed()
    return found


def say(lesson, finder, words):
    """Type into the finder with keys alone."""
    box = finder.get_by_label("In your own words")
    box.focus()
    lesson.page.keyboard.press("Control+a")
    lesson.page.keyboard.type(words)
    lesson.page.keyboard.press("Enter")


def test_a_pinched_saw_leads_to_conditioning(lesson, finder):
    say(lesson, finder, SENTENCE)
    card = finder.locator(".fc-answer")
    expect(card.locator("h3")).to_contain_text("Casehardening")
    expect(card).to_contain_text("the skin set stretched")
    expect(card).to_contain_text("Can it be cured? Yes. Condition it at target + 4 (7 %: EMC 11")
    expect(card).to_contain_text("Lesson 11")
    expect(card.get_by_role("img")).to_have_attribute("aria-label", re.compile("^Drawing of Casehardening"))
    expect(finder.get_by_role("checkbox", name="Prongs bend in")).to_be_checked()
    expect(finder).to_contain_text("Yes: Lengthwise stress. No: Casehardening.")
    lesson.shot("defects_pinched_saw")
    box = lesson.page.locator(".fc-view:has(.fc-find)").bounding_box()
    assert box["width"] <= 940
    assert lesson.axe() == ""
    assert lesson.interruptions() == []
    assert lesson.outside() == []


def test_the_question_is_answered_by_keyboard(lesson, finder):
    say(lesson, finder, "dark streaks along the grain of hard maple")
    expect(finder).to_contain_text("Yes: Gray or interior stain. No: Mineral streak.")
    finder.get_by_role("button", name="No", exact=True).press("Enter")
    expect(finder.locator(".fc-answer h3")).to_contain_text("Mineral streak")
    expect(finder).to_contain_text("not: Gray, pink or brown inside")


def test_unknown_words_take_the_card_away(lesson, finder):
    say(lesson, finder, "cupped boards")
    expect(finder.locator(".fc-answer h3")).to_contain_text("Cup")
    say(lesson, finder, "hello there")
    expect(finder.locator(".fc-refusal")).to_contain_text("Nothing in “hello there” is a sign this finder knows")
    expect(finder.locator(".fc-answer")).to_be_hidden()
    finder.get_by_role("button", name="Start over").press("Enter")
    expect(finder.locator(".fc-refusal")).to_have_count(0)
    for name, words in (("Where", "anywhere, or not sure"), ("When", "not sure when it showed")):
        chosen = (
            finder.get_by_label(name, exact=True)
            .evaluate("box => box.options[box.selectedIndex].text")
            .replace("\xa0", " ")
        )
        assert chosen == words


def test_straight_prongs_are_good(lesson, finder):
    say(lesson, finder, "prongs stay straight")
    expect(finder).to_contain_text("Prongs that stay straight")
    expect(finder).to_contain_text("push stick, hands off the cut if it closes: rip a piece 8 by 24 in")
    expect(finder.locator(".fc-answer")).to_have_count(0)
    lesson.shot("defects_straight_prongs")
