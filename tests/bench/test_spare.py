"""The spare kernel has loaded what the pages need before anybody opens one."""

import json
import os
import subprocess
import sys
from functools import partial
from types import SimpleNamespace

from kilnlib.bench import spare
from kilnlib.bench.kit import memory
from kilnlib.lab import books, kernels

LESSONS = sorted(path.stem for path in books.WORKBOOKS.glob("[0-9]*.ipynb"))
OPENS = """
import json, sys
from tornado.ioloop import IOLoop
exec(sys.argv[1])
IOLoop.current().start()
before = set(sys.modules)
for code in json.loads(sys.argv[2]):
    exec(code, {})
more = sorted(name for name in set(sys.modules) - before if not name.startswith(("_", "encodings")))
print(json.dumps([sorted(before), more]))
"""


def code(name):
    """The cells of a lesson up to its first panel."""
    book = json.loads((books.WORKBOOKS / f"{name}.ipynb").read_text("utf-8"))
    sources = ["".join(cell["source"]) for cell in book["cells"] if cell["cell_type"] == "code"]
    return sources[: 1 + next(number for number, source in enumerate(sources) if "panel(" in source)]


def loaded_by_opening(command, names, home):
    """What the command of a kernel loads, and what running all cells of these pages loads after it."""
    line = command.removeprefix("--IPKernelApp.exec_lines=")
    until_done = line.replace("warm_by_and_by()", "warm_by_and_by(IOLoop.current().stop)")
    assert line != until_done
    cells = json.dumps([cell for name in names for cell in code(name)])
    ran = subprocess.run(
        [sys.executable, "-c", OPENS, until_done, cells],
        capture_output=True, encoding="utf-8", timeout=300, cwd=home, check=True,
        env=os.environ | {"FIRST_CHARGE_HOME": str(home)},
    )  # fmt: skip
    return json.loads(ran.stdout.splitlines()[-1])


def test_a_page_that_takes_the_spare_loads_nothing_more(tmp_path):
    assert len(LESSONS) > 10
    before, more = loaded_by_opening(kernels.WARMED, LESSONS, tmp_path)
    assert more == []
    assert "kilnlib.bench.panels.air" in before
    assert "pandas" not in before, "the trainer's page alone needs it"


def test_a_page_that_comes_early_is_answered_before_the_rest_is_loaded(monkeypatch):
    waits, ended = [], []
    loop = SimpleNamespace(call_later=lambda _, action: waits.append(action))
    done = []
    pieces = (partial(done.append, number) for number in (1, 2, 3))
    spare._go_on(loop, pieces, lambda: ended.append(1))
    assert done == [1], "between two pieces the kernel can answer"
    waits.pop()()
    monkeypatch.setattr(memory, "_page", "02_air")
    waits.pop()()
    assert (done, ended, waits) == ([1, 2], [1], []), "and the rest is left out"
