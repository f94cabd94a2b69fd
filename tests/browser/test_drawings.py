"""The drawings of the panels in a real browser, at 100 % and 125 %: every word on an even ground, clear of the others.

The picture of each panel is shown alone, in each of its situations. What lies under a word is read from a screenshot
without words: where it is not of one color, a line, an edge or a mark runs through the word.
"""

import io

import numpy as np
import pytest
from PIL import Image

from kilnlib.bench.panels import open_panel
from kilnlib.cases import morning as case
from kilnlib.cases import trouble

PANELS = ("air", "board", "bulbs", "emc", "machine", "shed", "stack", "stress")
EVEN = 48  # of 255: what a color may differ from the rest of its ground; a thin gray line differs by more
WORDS = """() => [...document.querySelectorAll("svg")].flatMap(svg => {
  const frame = svg.getBoundingClientRect();
  return [...svg.querySelectorAll("text")].filter(e => e.textContent.trim()).map(e => {
    const box = e.getBoundingClientRect(), zoom = frame.width / svg.viewBox.baseVal.width;
    const size = parseFloat(getComputedStyle(e).fontSize) * zoom;
    const base = box.bottom - 0.22 * size;
    return {words: e.textContent, left: box.left + 1, right: box.right - 1, top: base - 0.72 * size, bottom: base,
            cut: box.left < frame.left - 1 || box.right > frame.right + 1 || box.bottom > frame.bottom + 2}})})"""
HIDE = "() => document.querySelectorAll('svg text').forEach(e => e.style.visibility = 'hidden')"


@pytest.fixture(scope="module", params=[1.0, 1.25], ids=["100 %", "125 %"])
def page(request, chromium):
    """An empty page at a zoom, on which nothing moves."""
    context = chromium.new_context(
        viewport={"width": 760, "height": 500}, device_scale_factor=request.param, reduced_motion="reduce"
    )
    yield context.new_page()
    context.close()


def uneven(page, picture):
    """What is wrong with the words of a drawing: cut, on each other, or on a line or a mark."""
    page.set_content(
        f'<body style="margin: 8px; width: 660px"><style>.fc-beside {{display: flex}}</style>{picture}</body>'
    )
    words = page.evaluate(WORDS)
    page.evaluate(HIDE)
    shot = np.asarray(Image.open(io.BytesIO(page.screenshot())).convert("RGB")).astype(int)
    scale = shot.shape[1] / page.viewport_size["width"]
    found = [f"{one['words']!r} is cut" for one in words if one["cut"]]
    for number, one in enumerate(words):
        for other in words[number + 1 :]:
            across = min(one["right"], other["right"]) - max(one["left"], other["left"])
            if across > 0 and min(one["bottom"], other["bottom"]) - max(one["top"], other["top"]) > 0:
                found.append(f"{one['words']!r} / {other['words']!r}")
        left, right, top, bottom = (int(scale * one[side]) for side in ("left", "right", "top", "bottom"))
        ground = shot[top:bottom, left:right].reshape(-1, 3)
        if len(ground) and (np.abs(ground - np.median(ground, axis=0)).max(axis=1) > EVEN).mean() > 0.01:
            found.append(f"{one['words']!r} lies on a line or a mark")
    return found


@pytest.mark.parametrize("name", PANELS)
def test_words_of_a_drawing_lie_on_even_ground(page, name):
    panel = open_panel(name)
    found = {}
    for situation in panel.presets:
        panel.reset()
        panel.pick(situation)
        found[situation, "with a mark"] = uneven(page, panel.picture.value)
        panel.ghost = None
        panel.set()
        found[situation] = uneven(page, panel.picture.value)
    panel.close()
    assert {at: what for at, what in found.items() if what} == {}


def test_words_of_a_morning_lie_on_even_ground(page):
    panel = open_panel("morning")
    found = {}
    for morning in case.mornings():
        panel.pick(morning)
        found[morning] = uneven(page, panel.picture.value)
        panel.decide("hold")
        found[morning, "decided"] = uneven(page, panel.picture.value)
    panel.close()
    assert {at: what for at, what in found.items() if what} == {}


def test_a_word_on_a_line_would_be_seen(page):
    panel = open_panel("emc")
    picture = panel.picture.value
    panel.close()
    assert uneven(page, picture) == []
    line = '<path d="M0 388H250" stroke="#1b1b1b"/></svg>'
    assert len(uneven(page, picture.replace("</svg>", line, 1))) >= 1
    word = '<text x="125" y="388" font-size="16">over</text></svg>'
    assert any(" / 'over'" in found for found in uneven(page, picture.replace("</svg>", word, 1)))


@pytest.mark.parametrize("system", ["trade", "metric"])
def test_words_of_a_log_lie_on_even_ground(page, system):
    panel = open_panel("trouble")
    panel.switch(system)
    found = {}
    for name in ("quiet-2", "case-1", "case-4", "case-11", "case-13"):
        panel.open(name)
        found[name] = uneven(page, panel.picture.value)
        panel.mark(trouble.log(name).first_day or 0)
        found[name, "marked"] = uneven(page, panel.picture.value)
    panel.close()
    assert {at: what for at, what in found.items() if what} == {}
