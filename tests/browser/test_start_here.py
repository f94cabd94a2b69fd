"""Lesson 00 in a real browser: the first slider, the entry steps answered wrongly then rightly, this kiln saved."""

import re
import tomllib

import pytest
from conftest import in_lesson
from playwright.sync_api import expect

pytestmark = in_lesson("00_start_here")


@pytest.fixture
def opened(lesson):
    """The lesson with its panel as it opens."""
    lesson.commit()
    lesson.panel().get_by_role("button", name="Reset", exact=True).click()
    expect(lesson.drawing()).to_have_attribute("aria-label", re.compile("Dry bulb 110 °F"))
    return lesson


@pytest.fixture
def home(opened, classroom, kept):
    """The user's folder, for a test that saves this kiln there: it goes again, and the page that knows of it."""
    yield classroom.home
    kept.close()
    (classroom.home / "this_kiln.toml").unlink(missing_ok=True)


def test_the_first_slider_changes_picture_and_sentence(opened):
    assert opened.drawing().locator("[data-part=rh]").text_content() == "87 %"
    opened.press(0, "ArrowRight", 10)
    expect(opened.drawing()).to_have_attribute("aria-label", re.compile("^Dry bulb 120 °F, wet bulb 106 °F"))
    expect(opened.drawing().locator("[data-part=rh]")).to_have_text("63 %")
    expect(opened.page.locator(".fc-predict")).to_contain_text("the drier the air")
    drawing = opened.page.locator("img[alt^='Cross-section of a kiln']")
    assert drawing.bounding_box()["y"] < opened.panel().bounding_box()["y"]  # the kiln comes first
    assert drawing.evaluate("image => image.complete && image.naturalWidth") >= 900


def test_the_drawing_of_the_kiln_and_its_list_are_in_one_view(opened):
    cell = opened.page.locator('[data-cell="the-kiln"]')
    cell.scroll_into_view_if_needed()
    picture = cell.locator("img").bounding_box()
    lines = [line.bounding_box() for line in cell.locator("ol > li").all()]
    assert len(lines) == 7 and all(line["x"] >= picture["x"] + picture["width"] for line in lines)
    bottom = max(picture["y"] + picture["height"], *(line["y"] + line["height"] for line in lines))
    room = opened.page.evaluate("innerHeight") - opened.page.locator(".fc-bar").first.bounding_box()["height"]
    assert bottom - min(picture["y"], lines[0]["y"]) <= room
    opened.shot("start_here_kiln")


def test_entry_steps_answered_wrongly_then_rightly(opened):
    box = opened.page.get_by_label("Your order")
    area = opened.page.locator(".jp-OutputArea", has=box)
    box.fill("DCAFEB")
    box.press("Enter")
    expect(area).to_contain_text("Lock before you open up")
    box.fill("E D A C F B")
    box.press("Enter")
    expect(area).to_contain_text("A watcher and a clock, dead energy, good air")
    assert opened.axe() == ""
    box.scroll_into_view_if_needed()
    opened.shot("start_here_entry")


def test_this_kiln_is_refused_in_words_then_saved(opened, home):
    form = opened.page.locator(".fc-form")
    top, name = form.get_by_label("Top dry bulb"), form.get_by_label("Name", exact=True)
    name.fill("Mühle Nord")
    top.fill("71")
    form.get_by_role("button", name="Save this kiln").click()
    expect(form).to_contain_text("Is this Celsius?")
    assert top.input_value() == "71"
    top.fill("71 C")
    form.get_by_role("button", name="Save this kiln").click()
    expect(form).to_contain_text("Saved.")
    file = home / "this_kiln.toml"
    expect(form).to_contain_text(str(file))
    saved = tomllib.loads(file.read_text(encoding="utf-8"))
    assert saved["name"] == "Mühle Nord"
    assert saved["top_dry_bulb_f"] == pytest.approx(159.8)
    form.scroll_into_view_if_needed()
    buttons = [form.get_by_role("button", name=name) for name in ("Save this kiln", "Undo", "°F", "°C")]
    assert len({round(one.bounding_box()["y"]) for one in buttons}) == 1
    opened.shot("start_here_this_kiln")
    box = form.bounding_box()
    assert box["width"] <= 940 and box["height"] <= 440
