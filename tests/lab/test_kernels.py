"""The spare kernel, and the end of the server."""

import asyncio
import time
from contextlib import contextmanager
from datetime import timedelta

import pytest
from starting import Started

from kilnlib.lab.kernels import Kernels

FAILS = """
from kilnlib.lab.kernels import Kernels

async def fail(self, now=False):
    raise RuntimeError("invented")

Kernels.shutdown_all = fail
"""


@contextmanager
def kernels(folder):
    """A manager of kernels that load nothing. Its sockets are closed: thrown away with one open, it waits for ever."""
    manager = Kernels(root_dir=str(folder), loaded=[], warmed=[])
    try:
        yield manager
    finally:
        manager.context.destroy(linger=0)


@pytest.mark.parametrize("after_s", [0.0, 0.02, 0.3], ids=["not begun", "being started", "ready"])
def test_all_kernels_end_while_a_spare_is_made(tmp_path, monkeypatch, after_s):
    """Ctrl-C while the spare was being started cut it off there, and the server waited for ever."""
    monkeypatch.setenv("JUPYTER_RUNTIME_DIR", str(tmp_path))

    async def press():
        with kernels(tmp_path) as manager:
            manager._making = asyncio.ensure_future(manager._make_spare(rest_s=0 if after_s else 60))
            await asyncio.sleep(after_s)
            await asyncio.wait_for(manager.shutdown_all(now=True), 20)
            return manager.list_kernel_ids(), manager._pending_kernels

    assert asyncio.run(press()) == ([], {})


def test_all_kernels_end_while_one_is_started_for_a_page(tmp_path, monkeypatch):
    monkeypatch.setenv("JUPYTER_RUNTIME_DIR", str(tmp_path))

    async def press():
        with kernels(tmp_path) as manager:
            page = asyncio.ensure_future(manager.start_kernel())
            await asyncio.sleep(0.02)
            await asyncio.wait_for(manager.shutdown_all(now=True), 20)
            await page
            return manager.list_kernel_ids(), manager._pending_kernels

    assert asyncio.run(press()) == ([], {})


def test_a_spare_that_waited_long_is_there_when_its_page_connects(tmp_path, monkeypatch):
    """Whoever looks for idle kernels between its start and the page's connection ended it."""
    monkeypatch.setenv("JUPYTER_RUNTIME_DIR", str(tmp_path))

    async def wait_and_open():
        with kernels(tmp_path) as manager:
            manager.cull_idle_timeout = 90
            manager._making = asyncio.ensure_future(manager._make_spare(rest_s=0))
            await manager._making
            spare = manager._spare
            manager.get_kernel(spare).last_activity -= timedelta(minutes=5)
            manager.get_kernel(spare).execution_state = "idle"
            await manager.cull_kernel_if_idle(spare)
            page = await manager.start_kernel()
            await manager.cull_kernel_if_idle(page)
            kept = manager.list_kernel_ids()
            await manager.shutdown_all(now=True)
        return spare, page, kept

    spare, page, kept = asyncio.run(wait_and_open())
    assert page == spare
    assert page in kept


def test_ctrl_c_ends_the_server_even_when_its_kernels_cannot_be_ended(tmp_path):
    (tmp_path / "sitecustomize.py").write_text(FAILS)
    started = Started(tmp_path / "mill", PYTHONPATH=str(tmp_path))
    time.sleep(2)  # in its first moments the server ends in another way
    assert started.stop(seconds=20) == 0
    assert "invented" in (started.home / "settings" / "log.txt").read_text()
