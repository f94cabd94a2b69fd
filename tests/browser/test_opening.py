"""What happens when a notebook opens through the start command: ours comes alive, a stranger's stays still."""

import hashlib
import os
import time

import pytest
from playwright.sync_api import expect
from starting import write_book
from test_stranger import EXPOSE

from kilnlib.lab import books, server

SLIDER = """# The slider: move it
import ipywidgets as w
s, h = w.FloatSlider(value=3, step=1, description="Dry bulb", readout=False), w.HTML()
show = lambda _: setattr(h, "value", f'<div aria-live="polite" style="width:940px;height:300px">At {s.value:.0f}</div>')
s.observe(show, "value"); show(None)
w.VBox([s, h])"""


CHANGE = """() => jupyterapp.shell.currentWidget.content.widgets.find(cell => cell.model.type === "code")
  .model.sharedModel.setSource("print('not ours')")"""


def note(name):
    """Code that leaves a line in ran.txt: who ran, in which process."""
    awkward = "½ “wet” \\\\ \U0001f525 \x7f"
    return f"# A number {awkward}\nimport os\nprint(f'{name} {{os.getpid()}}', file=open('ran.txt', 'a'))\nprint('ran')"


def ran(folder):
    file = folder / "ran.txt"
    return [line.split() for line in file.read_text().splitlines()] if file.exists() else []


@pytest.fixture(scope="module")
def mill(start, tmp_path_factory):
    """The start command on three small listed notebooks, and beside them notebooks that are not listed."""
    shipped = tmp_path_factory.mktemp("shipped")
    text = ("# Start\n\n[Next](01_next.ipynb)\n\n" + "words " * 150,)
    write_book(shipped / "00_start_here.ipynb", text, SLIDER, ("more " * 600,), note("start"), ("end " * 300,))
    write_book(shipped / "01_next.ipynb", ("# Next",), SLIDER, note("next"))
    write_book(shipped / "02_late.ipynb", ("# Late",), note("late"))
    started = start(workbooks=shipped)
    write_book(started.lessons / "nearly.ipynb", ("# Next",), SLIDER, note("next") + " ")
    write_book(started.lessons / "unzipped" / "01_next.ipynb", ("# Next",), SLIDER, note("next"))
    return started


def test_a_listed_notebook_is_alive_without_a_click(mill, keep, record_property):
    began = time.monotonic()
    visited = keep(mill.url, anew=True).wait_live()
    record_property("seconds_to_live_slider", round(time.monotonic() - began, 2))
    visited.press(0, "ArrowRight", 4)
    visited.expect_said("At 7")
    assert visited.slider().get_attribute("aria-label") == "Dry bulb"
    expect(visited.page.locator(".jp-Placeholder:visible")).to_have_count(0)
    expect(visited.page.get_by_role("heading", name="Start")).to_be_in_viewport()
    assert visited.axe() == ""
    visited.shot("opened")
    assert visited.interruptions() == []


def test_it_asks_nothing_when_it_is_closed(mill, keep):
    visited = keep(mill.url).wait_live()
    visited.wait_idle()
    before = int(visited.said().removeprefix("At "))
    visited.press(0, "ArrowRight")
    visited.expect_said(f"At {before + 1}")
    expect(visited.page.locator(".jp-mod-dirty")).to_have_count(0)
    with visited.page.expect_event("close"):
        visited.page.close(run_before_unload=True)
    assert visited.dialogs == []


def test_a_wide_panel_fits_a_small_screen_at_125_percent(mill, keep, visit):
    first = keep(mill.url).wait_live()
    first.page.get_by_role("button", name="Jupyter", exact=True).click()
    with first.page.expect_response("**/api/workspaces/*"):
        first.page.locator(".jp-SideBar.jp-mod-left li[data-id=filebrowser]").click()  # and left open
    visited = visit(mill.url, zoom=1.25).wait_live()
    box = visited.page.locator(".jp-OutputArea [aria-live]").bounding_box()
    assert box["width"] == 940
    assert box["x"] >= 0
    assert box["x"] + box["width"] <= 1024
    assert visited.page.locator(".jp-OutputArea-output").first.evaluate("e => e.scrollWidth - e.clientWidth") <= 0
    visited.shot("opened_125_percent")


@pytest.mark.parametrize("name", ["nearly.ipynb", "unzipped/01_next.ipynb"])
def test_a_notebook_that_is_not_ours_waits_for_run_all(mill, visit, name):
    folder = (mill.lessons / name).parent
    before = len(ran(folder))
    visited = visit(mill.page(name)).wait_idle()
    visited.page.wait_for_timeout(1500)
    assert len(ran(folder)) == before
    expect(visited.page.locator(".jp-Placeholder:visible").first).to_be_visible()
    visited.page.get_by_text("Run", exact=True).click()
    visited.page.get_by_text("Run All Cells", exact=True).click()
    expect(visited.page.get_by_text("ran", exact=True)).to_be_visible()
    assert len(ran(folder)) == before + 1


def test_code_that_changes_before_the_kernel_is_up_does_not_run(mill, visit):
    before, held = len(ran(mill.lessons)), []
    visited = visit("about:blank")
    visited.page.add_init_script(EXPOSE)
    hold = lambda route: held.append(route) if route.request.method == "POST" else route.continue_()  # noqa: E731
    visited.page.route("**/api/sessions*", hold)
    visited.page.goto(mill.page("02_late.ipynb"))
    expect(visited.page.locator(".first-charge")).to_be_visible()  # its code is known as ours
    visited.page.evaluate(CHANGE)
    for _ in range(300):
        if held:
            break
        visited.page.wait_for_timeout(100)
    assert held, "the page asked for its kernel"
    for route in held:
        route.continue_()
    visited.wait_idle()
    visited.page.wait_for_timeout(1500)
    assert len(ran(mill.lessons)) == before


def test_nothing_leaves_this_machine(mill, keep):
    visited = keep(mill.url).wait_live()
    visited.page.wait_for_timeout(3000)
    assert len(visited.addresses) > 50
    assert visited.outside() == []
    watched = mill.network_log.read_text(encoding="utf-8").splitlines()
    assert sum(line.startswith("process") for line in watched) >= 2
    here = {"127.0.0.1", "::1", "localhost", "None", "0.0.0.0"}
    assert {line for line in watched if line.split()[0] != "process" and line.split()[1] not in here} == set()


def test_a_link_opens_the_next_lesson_alive_in_the_same_page(mill, keep, kept):
    visited = keep(mill.url).wait_live()
    visited.page.get_by_role("link", name="Next", exact=True).click()
    expect(visited.page.get_by_role("heading", name="Next")).to_be_visible()
    expect(visited.page.locator(".jp-NotebookPanel:not(.lm-mod-hidden) [role=slider]")).to_be_visible()
    assert "01_next.ipynb" in visited.page.url
    assert len(visited.context.pages) == 1
    assert visited.interruptions() == []
    kept.close()  # it is another lesson's page now


def shipped_files():
    """Hash of everything that came with the workbook."""
    folders = (books.WORKBOOKS, books.ANSWERS, books.ROOT / "kilnlib")
    files = (path for folder in folders for path in folder.rglob("*") if path.is_file())
    return {
        str(path): hashlib.sha256(path.read_bytes()).hexdigest() for path in files if "__pycache__" not in path.parts
    }


def test_opening_saving_and_stopping_leaves_the_shipped_files_alone(start, visit):
    before = shipped_files()
    started = start()
    visited = visit("about:blank")
    visited.page.add_init_script(EXPOSE)
    visited.page.goto(started.page("00_start_here.ipynb"))
    visited.wait_live().wait_idle()
    visited.page.evaluate("jupyterapp.commands.execute('docmanager:save').then(() => null)")
    copy = started.lessons / "00_start_here.ipynb"
    original = (books.WORKBOOKS / copy.name).read_bytes()
    end = time.monotonic() + 20
    while copy.read_bytes() == original and time.monotonic() < end:
        visited.page.wait_for_timeout(200)
    assert copy.read_bytes() != original  # it was saved, but over there
    assert started.stop() == 0
    assert shipped_files() == before


def test_ctrl_c_ends_it_and_leaves_no_kernel(start, visit, tmp_path):
    write_book(tmp_path / "00_start_here.ipynb", ("# Start",), SLIDER, note("start"))
    started = start(workbooks=tmp_path)
    visit(started.page("00_start_here.ipynb")).wait_live().wait_idle().page.wait_for_timeout(
        2500
    )  # the spare is up too
    kernel = int(ran(started.lessons)[0][1])
    os.kill(kernel, 0)
    assert started.stop() == 0
    assert "Traceback" not in started.printed
    assert started.printed.endswith("First Charge has stopped.\n")
    assert (started.home / "settings" / server.LOG).read_text(encoding="utf-8") == ""
    with pytest.raises(ProcessLookupError):
        os.kill(kernel, 0)
