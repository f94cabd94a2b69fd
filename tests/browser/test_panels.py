"""Every panel on one page, as it opens: no list of choices too low to read, and none higher than 440 px."""

import pytest
from conftest import LOW
from playwright.sync_api import expect
from starting import write_book

from kilnlib.bench.panels import DESK, panel_class, panel_names

NAMES = [name for name in panel_names() if name not in DESK and getattr(panel_class(name), "presets", None)]
TALL = """() => [...document.querySelectorAll(".fc-view > .widget-hbox")]
  .map(e => e.getBoundingClientRect().height).filter(height => height > 440)"""


@pytest.fixture(scope="module")
def panels(start, tmp_path_factory):
    """A page with all of them."""
    shipped = tmp_path_factory.mktemp("panels")
    cells = (f'from kilnlib.bench import panel\npanel("{name}")' for name in NAMES)
    write_book(shipped / "00_start_here.ipynb", ("# All",), *cells)
    return start(workbooks=shipped).page("00_start_here.ipynb")


def test_every_list_can_be_read_and_every_panel_fits_as_it_opens(panels, visit):
    assert len(NAMES) > 10
    page = visit(panels).wait_live().wait_idle().page
    lists = page.locator(".fc-controls").get_by_label("Situation", exact=True)
    expect(lists).to_have_count(len(NAMES))
    for number in range(len(NAMES)):
        lists.nth(number).scroll_into_view_if_needed()
    expect(page.locator(".fc-view .fc-stage :is(img, svg[role=img])")).not_to_have_count(0)
    assert page.evaluate(TALL) == []
    assert page.evaluate(LOW) == []
