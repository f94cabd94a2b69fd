"""Every panel on one page, in every situation: nothing cut or too low to read, and at most 440 px high."""

import pytest
from conftest import LOW
from playwright.sync_api import expect
from starting import write_book

from kilnlib.bench.panels import DESK, panel_class, panel_names

PANELS = [name for name in panel_names() if name not in DESK]
NAMES = [name for name in PANELS if getattr(panel_class(name), "presets", None)]
OTHERS = [name for name in PANELS if name not in NAMES]
PAST = """e => [...e.querySelectorAll(".fc-numbers, .fc-numbers td:first-child, .widget-toggle-buttons, select")]
  .filter(one => one.getBoundingClientRect().right > e.getBoundingClientRect().right - 4
    || (one.matches("td") && one.offsetHeight > 72)
    || (one.matches(".widget-toggle-buttons") && one.offsetHeight > 40)).map(one => one.textContent)"""


@pytest.fixture(scope="module")
def panels(start, tmp_path_factory):
    """A page with all of them."""
    shipped = tmp_path_factory.mktemp("panels")
    cells = (f'from kilnlib.bench import panel\npanel("{name}")' for name in (*NAMES, *OTHERS))
    write_book(shipped / "00_start_here.ipynb", ("# All",), *cells)
    return start(workbooks=shipped).page("00_start_here.ipynb")


def test_every_list_can_be_read_and_every_panel_fits_in_every_situation(panels, visit):
    assert len(NAMES) > 10
    visited = visit(panels).wait_live().wait_idle()
    page, tall, past = visited.page, [], []
    views = page.locator(".fc-view")
    expect(views).to_have_count(len(NAMES) + len(OTHERS))
    for number, name in enumerate(NAMES):
        view = views.nth(number)
        view.scroll_into_view_if_needed()
        expect(view.locator(".fc-stage :is(img, svg[role=img])").first).to_be_visible()
        choices = view.get_by_label("Situation", exact=True)
        for place in range(choices.locator("option").count()):
            choices.select_option(index=place)
            page.wait_for_timeout(100)
            visited.wait_idle()
            height = view.locator("> .widget-hbox").bounding_box()["height"]
            if height > 440:
                tall.append((name, place, height))
            past += [(name, place, words) for words in view.locator(".fc-controls").evaluate(PAST)]
    for number, name in enumerate(OTHERS, len(NAMES)):
        views.nth(number).scroll_into_view_if_needed()
        height = views.nth(number).locator("> :is(.widget-hbox, .widget-vbox)").last.bounding_box()["height"]
        if height > 440:
            tall.append((name, "opens", height))
        for controls in views.nth(number).locator(".fc-controls").all():
            past += [(name, "opens", words) for words in controls.evaluate(PAST)]
    assert past == []
    assert tall == []
    assert page.evaluate(LOW) == []
