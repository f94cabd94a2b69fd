"""Lesson 00 in a real browser: the first slider, the entry steps answered wrongly then rightly, this kiln saved."""

import tomllib

import pytest
from playwright.sync_api import expect


@pytest.fixture
def opened(lessons, visit):
    return visit(lessons.url).wait_live().wait_idle()


def test_the_first_slider_changes_picture_and_sentence(opened):
    before = opened.picture()
    assert "Dry bulb 110 °F" in before
    opened.press(0, "ArrowRight", 5)
    expect(opened.page.locator(".jp-OutputArea img[alt^='Dry bulb 115 °F']")).to_be_visible()
    drawing = opened.page.locator("img[alt^='Cross-section of a kiln']")
    assert drawing.evaluate("image => image.complete && image.naturalWidth") >= 900


def test_entry_steps_answered_wrongly_then_rightly(opened):
    box = opened.page.get_by_label("Your order")
    area = opened.page.locator(".jp-OutputArea", has=box)
    box.fill("DCAFEB")
    box.press("Enter")
    expect(area).to_contain_text("Lock before you open up")
    box.fill("D A C F E B")
    box.press("Enter")
    expect(area).to_contain_text("A watcher and a clock, dead energy, good air")
    assert opened.axe() == ""
    box.scroll_into_view_if_needed()
    opened.shot("start_here_entry")


def test_this_kiln_is_refused_in_words_then_saved(opened, lessons):
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
    file = lessons.home / "this_kiln.toml"
    expect(form).to_contain_text(str(file))
    saved = tomllib.loads(file.read_text(encoding="utf-8"))
    assert saved["name"] == "Mühle Nord"
    assert saved["top_dry_bulb_f"] == pytest.approx(159.8)
    form.scroll_into_view_if_needed()
    opened.shot("start_here_this_kiln")
    box = form.bounding_box()
    assert box["width"] <= 940 and box["height"] <= 440
