"""The spare kernel, and the end of the server."""

import asyncio
import time

import pytest
from starting import Started

from kilnlib.lab.kernels import Kernels

FAILS = """
from kilnlib.lab.kernels import Kernels

async def fail(self, now=False):
    raise RuntimeError("invented")

Kernels.shutdown_all = fail
"""


def kernels(folder):
    """A manager of kernels that load nothing."""
    return Kernels(root_dir=str(folder), loaded=[], warmed=[])


@pytest.mark.parametrize("after_s", [0.0, 0.02, 0.3], ids=["not begun", "being started", "ready"])
def test_all_kernels_end_while_a_spare_is_made(tmp_path, monkeypatch, after_s):
    """Ctrl-C while the spare was being started cut it off there, and the server waited for ever."""
    monkeypatch.setenv("JUPYTER_RUNTIME_DIR", str(tmp_path))

    async def press():
        manager = kernels(tmp_path)
        manager._making = asyncio.ensure_future(manager._make_spare(rest_s=0 if after_s else 60))
        await asyncio.sleep(after_s)
        await asyncio.wait_for(manager.shutdown_all(now=True), 20)
        return manager.list_kernel_ids(), manager._pending_kernels

    assert asyncio.run(press()) == ([], {})


def test_all_kernels_end_while_one_is_started_for_a_page(tmp_path, monkeypatch):
    monkeypatch.setenv("JUPYTER_RUNTIME_DIR", str(tmp_path))

    async def press():
        manager = kernels(tmp_path)
        page = asyncio.ensure_future(manager.start_kernel())
        await asyncio.sleep(0.02)
        await asyncio.wait_for(manager.shutdown_all(now=True), 20)
        await page
        return manager.list_kernel_ids(), manager._pending_kernels

    assert asyncio.run(press()) == ([], {})


def test_ctrl_c_ends_the_server_even_when_its_kernels_cannot_be_ended(tmp_path):
    (tmp_path / "sitecustomize.py").write_text(FAILS)
    started = Started(tmp_path / "mill", PYTHONPATH=str(tmp_path))
    time.sleep(2)  # in its first moments the server ends in another way
    assert started.stop(seconds=20) == 0
    assert "invented" in (started.home / "settings" / "log.txt").read_text()
