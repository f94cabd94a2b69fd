"""The kernel or the server is gone: the page locks within two seconds, keeps what was typed, and comes back alone."""

import os
import signal
import time
from pathlib import Path

import pytest
from playwright.sync_api import expect
from starting import Started

from kilnlib.lab.server import PAGE

BAR, NOTE = ".first-charge-bar", ".first-charge-typed"
CASES = ("desk_sample_sheet.ipynb", "01_water_in_wood.ipynb")


def own_port():
    """A port that no test of another process takes while the server at it is gone."""
    return str(8900 + 100 * int(os.environ.get("PYTEST_XDIST_WORKER", "gw0").removeprefix("gw")))


def children(process):
    return [int(kernel) for kernel in Path(f"/proc/{process.pid}/task/{process.pid}/children").read_text().split()]


def type_in(visited):
    """Type in the first box of the page that can be reached; Enter is not pressed."""
    page = visited.wait_idle().page
    box = page.locator(".jp-OutputArea input[type=text]:enabled:visible").first
    expect(box).to_be_visible()
    expect(page.locator(".fc-end .fc-turn").first).to_be_attached()  # the page has asked what is done
    visited.wait_idle()  # a kernel that is interrupted in the middle of a cell says so in it
    box.fill("")
    box.press_sequentially("4.12")
    return box


def expect_locked(visited, box, sentence, began):
    expect(visited.page.locator(BAR)).to_contain_text(sentence)
    assert time.monotonic() - began < 2
    assert box.input_value() == "4.12"
    assert box.evaluate("box => !!box.closest('[inert]')")
    free = "all => all.filter(one => !one.closest('[inert]')).length"
    controls = ".first-charge .jp-OutputArea :is(input, button, select, textarea, [role=slider])"
    assert visited.page.locator(controls).evaluate_all(free) == 0


def expect_offered(visited):
    page = visited.page
    expect(page.locator(NOTE)).to_contain_text("You had typed “4.12” here")
    page.get_by_role("button", name=PAGE["put_back"]).click()
    expect(page.locator(NOTE)).to_have_count(0)
    assert "4.12" in page.locator(".jp-OutputArea input").evaluate_all("all => all.map(one => one.value)")
    assert visited.interruptions() == []


def _refuse(route):
    route.fulfill(status=403, json={"message": "Forbidden"})


def _say_unknown(visited):
    """Answer JupyterLab's next question after the kernel as a new server does: it does not know it."""
    visited.page.route(
        "**/api/kernels/*", lambda route: route.fulfill(status=404, json={"message": "Not found"}), times=1
    )


@pytest.mark.skipif(not Path("/proc").is_dir(), reason="finds the kernel by /proc")
@pytest.mark.parametrize("name", CASES)
def test_a_killed_kernel_locks_the_page_and_it_comes_back(start, visit, name):
    started = start("--port", own_port())
    visited = visit(started.page(name))
    box = type_in(visited)
    began = time.monotonic()
    for kernel in children(started.process):
        os.kill(kernel, signal.SIGKILL)
    expect_locked(visited, box, PAGE["kernel_gone"], began)
    expect(visited.page.locator(BAR)).to_contain_text(PAGE["again"])
    expect_offered(visited)


@pytest.mark.skipif(not Path("/proc").is_dir(), reason="finds the kernel by /proc")
def test_kernels_killed_while_the_page_runs_again(start, visit):
    started = start("--port", own_port())
    visited = visit(started.page(CASES[1])).wait_live().wait_idle()
    killed = set()

    def kill_next(after_s):
        end = time.monotonic() + 30
        while not (fresh := set(children(started.process)) - killed) and time.monotonic() < end:
            time.sleep(0.05)
        assert fresh
        time.sleep(after_s)
        killed.update(fresh)
        for kernel in fresh:
            os.kill(kernel, signal.SIGKILL)

    kill_next(0)  # with nothing typed: the page must not go on looking for where to offer it
    expect(visited.page.locator(BAR)).to_contain_text(PAGE["again"])
    visited.page.get_by_role("button", name=PAGE["close"]).click()
    type_in(visited)
    for after_s in (0, 0.7, 1.5, 2.5):
        kill_next(after_s)
    expect(visited.page.locator(BAR)).to_contain_text(PAGE["again"], timeout=60_000)
    expect_offered(visited)


@pytest.mark.parametrize("how", [signal.SIGKILL, signal.SIGINT])
@pytest.mark.parametrize("name", CASES)
def test_a_stopped_server_locks_the_page_and_it_goes_on_after_the_next_start(start, visit, name, how):
    started = start("--port", own_port())
    visited = visit(started.page(name))
    box = type_in(visited)
    began = time.monotonic()
    started.process.send_signal(how)
    if how == signal.SIGINT:
        started.process.wait(30)  # until it has ended its kernels, what is typed is still taken
        began = time.monotonic()
    expect_locked(visited, box, "Not connected: nothing is being saved.", began)
    started.process.wait(30)
    expect(visited.page.locator(BAR)).to_contain_text(PAGE["server_gone"])
    visited.page.route("**/api/kernels/*", _refuse)  # a stranger's server may take the place
    _say_unknown(visited)
    visited.page.wait_for_timeout(8000)  # JupyterLab's own dialog came after seven seconds
    assert visited.interruptions() == []
    expect(visited.page.locator(BAR)).to_contain_text(PAGE["server_gone"])
    visited.page.unroute("**/api/kernels/*", _refuse)
    assert box.input_value() == "4.12"
    again = Started(started.home, "--port", started.url.split(":")[2].split("/")[0])
    try:
        expect(visited.page.locator(BAR)).to_contain_text(PAGE["again"])
        expect_offered(visited)
    finally:
        again.stop()


def test_the_round_arrow_brings_the_page_back(start, visit):
    visited = visit(start().page("01_water_in_wood.ipynb")).wait_live().wait_idle()
    visited.page.get_by_role("button", name="Jupyter", exact=True).click()
    visited.page.locator("jp-button[title*='Restart the kernel']").first.click()
    visited.page.locator(".jp-Dialog .jp-mod-accept").click()
    expect(visited.page.locator(BAR)).to_contain_text(PAGE["again"])
    visited.wait_live()
    assert visited.interruptions() == []
