"""The seven things that once could spoil wood or hurt someone, each as a person meets it on the real pages."""

import re

import pytest
from conftest import in_lesson
from playwright.sync_api import expect

BOOK = "desk_setpoint_check.ipynb"
BOXES = ("Species", "Thickness", "MC now, %", "Dry bulb", "Wet bulb or RH")


@pytest.fixture
def tool(lessons, keep):
    """The setpoint check, on one page for all tests here."""
    opened = keep(lessons.page(BOOK))
    tool = opened.page.locator(".fc-setpoint")
    expect(tool.get_by_label("Species", exact=True)).to_be_visible()
    opened.wait_idle()
    return tool


def ask(tool, *typed):
    """Type the five boxes; the answer that stands beside them then."""
    for name, words in zip(BOXES, typed, strict=True):
        tool.get_by_label(name, exact=True).fill(words)
    expect(tool).to_contain_text(f"{typed[3]} °F over {typed[4]} °F")
    return tool.locator(".fc-answer").first


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        (("red oak", "4/4", "5.5", "150", "112"), "right for equalizing"),
        (("red oak", "4/4", "6.3", "160", "148"), "right for conditioning"),
        (("red oak", "4/4", "6.9", "140", "128"), "right for conditioning"),
        (("hard maple", "4/4", "5.1", "150", "112"), "right for equalizing"),
    ],
)
def test_the_airs_that_end_a_charge_are_held(tool, typed, says):
    answer = ask(tool, *typed)
    expect(answer).to_contain_text(says)
    expect(answer).to_contain_text(f"Hold {typed[3]} °F over {typed[4]} °F")
    expect(answer).to_contain_text(re.compile("Stop when the (wettest sample board|stress sections)"))


def test_too_hard_an_air_is_taken_back_in_steps(tool):
    answer = ask(tool, "red oak", "4/4", "65", "110", "90")
    expect(answer).to_contain_text("Look at faces and ends for checks first")
    expect(answer).to_contain_text("Do not go back to 106 °F in one move")
    expect(answer).to_contain_text(re.compile(r"raise the wet bulb to 9[0-9] °F"))


def test_whose_limit_that_of_red_oak_is_stands_beside_it(tool):
    ask(tool, "red oak", "4/4", "65", "110", "106")
    expect(tool).to_contain_text("slow-grown upland red oak")
    expect(tool).to_contain_text("Fast-grown, bottomland or sour-smelling oak")


def test_air_dried_stock_starts_mild(tool):
    answer = ask(tool, "red oak", "4/4", "20", "110", "100")
    expect(answer).to_contain_text("right for the first hours of air-dried stock")
    expect(answer).to_contain_text("Hold 110 °F over 100 °F for about twelve hours")


def test_a_big_opening_is_taken_in_parts(tool):
    answer = ask(tool, "red oak", "4/4", "28", "110", "106")
    expect(answer).to_contain_text("Lower the wet bulb to 103 °F")
    expect(answer).to_contain_text("It leads to a wet bulb of 82 °F")


def test_the_one_outside_never_goes_in(lessons, keep):
    opened = keep(lessons.page("00_start_here.ipynb"))
    expect(opened.page.locator("body")).to_contain_text(
        "this person calls for help, cuts the power and opens the big doors, and never goes in"
    )


@in_lesson("05_through_the_stack")
def test_top_weight_and_what_can_strike_or_crush_are_told(lesson):
    body = lesson.page.locator("body")
    expect(body).to_contain_text("30 to 60 lb a square foot")
    expect(body).to_contain_text("nobody lifts by hand")
    expect(body).to_contain_text("Stay out of the lift truck’s way")
    expect(body).to_contain_text("doors are held or pinned")
