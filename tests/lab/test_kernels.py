"""The spare kernel, and the end of the server."""

import json
import os
import subprocess
import sys
import textwrap
import time

import pytest
from starting import Started

FAILS = """
from kilnlib.lab.kernels import Kernels

async def fail(self, now=False):
    raise RuntimeError("invented")

Kernels.shutdown_all = fail
"""
# A manager that is thrown away with a socket in use waits for ever: each lives in a process of its own, cut off at the
# end. It loads nothing into its kernels.
ALONE = """
import asyncio, json, os, sys
from datetime import timedelta
from kilnlib.lab.kernels import Kernels

async def walk(manager):
{walk}

print("\\n" + json.dumps(asyncio.run(walk(Kernels(root_dir=sys.argv[1], loaded=[], warmed=[])))), flush=True)
os._exit(0)
"""


def told(folder, walk):
    """What a walk with a manager of kernels gives back."""
    script = ALONE.format(walk=textwrap.indent(textwrap.dedent(walk).strip(), "    "))
    environment = os.environ | {"JUPYTER_RUNTIME_DIR": str(folder)}
    command = [sys.executable, "-c", script, str(folder)]
    done = subprocess.run(
        command, capture_output=True, text=True, check=False, timeout=90, env=environment, cwd=folder
    )  # where its kernels write down their ports
    assert done.returncode == 0, done.stderr[-2000:]
    return json.loads(done.stdout.splitlines()[-1])


@pytest.mark.parametrize("after_s", [0.0, 0.02, 0.3], ids=["not begun", "being started", "ready"])
def test_all_kernels_end_while_a_spare_is_made(tmp_path, after_s):
    """Ctrl-C while the spare was being started cut it off there, and the server waited for ever."""
    walk = f"""
        manager._making = asyncio.ensure_future(manager._make_spare(rest_s={0 if after_s else 60}))
        await asyncio.sleep({after_s})
        await asyncio.wait_for(manager.shutdown_all(now=True), 20)
        return [manager.list_kernel_ids(), list(manager._pending_kernels)]
    """
    assert told(tmp_path, walk) == [[], []]


def test_all_kernels_end_while_one_is_started_for_a_page(tmp_path):
    walk = """
        page = asyncio.ensure_future(manager.start_kernel())
        await asyncio.sleep(0.02)
        await asyncio.wait_for(manager.shutdown_all(now=True), 20)
        await page
        return [manager.list_kernel_ids(), list(manager._pending_kernels)]
    """
    assert told(tmp_path, walk) == [[], []]


def test_a_spare_that_waited_long_is_there_when_its_page_connects(tmp_path):
    """Whoever looks for idle kernels between its start and the page's connection ended it."""
    walk = """
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
        return [spare, page, page in kept]
    """
    spare, page, is_kept = told(tmp_path, walk)
    assert page == spare
    assert is_kept


def test_ctrl_c_ends_the_server_even_when_its_kernels_cannot_be_ended(tmp_path):
    (tmp_path / "sitecustomize.py").write_text(FAILS)
    started = Started(tmp_path / "mill", PYTHONPATH=str(tmp_path))
    time.sleep(2)  # in its first moments the server ends in another way
    assert started.stop(seconds=20) == 0
    assert "invented" in (started.home / "settings" / "log.txt").read_text()
