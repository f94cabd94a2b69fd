"""The real start command as a child process, for the tests."""

import os
import queue
import re
import signal
import subprocess
import sys
import threading
import time
from pathlib import Path

import nbformat

URL = re.compile(r"http://127\.0\.0\.1:\d+/\S+")


class Started:
    """`python -m kilnlib start --no-browser` (or another verb), up to its address; `stop` presses Ctrl-C."""

    def __init__(
        self, home, *arguments, verb="start", quiet=("--no-browser",), workbooks=None, cwd=None, **environment
    ):
        self.home = Path(home)
        self.lessons = self.home / "workbooks"
        environment = os.environ | {"FIRST_CHARGE_HOME": str(home), "PYTHONIOENCODING": "utf-8"} | environment
        if workbooks:
            environment["FIRST_CHARGE_WORKBOOKS"] = str(workbooks)
        if "--port" not in arguments and (worker := os.environ.get("PYTEST_XDIST_WORKER")):
            # Two that start at the same moment would find the same port free, and one of them would lose it.
            arguments = (*arguments, "--port", str(7500 + 60 * int(worker.removeprefix("gw"))))
        self.began = time.monotonic()
        self.process = subprocess.Popen(
            [sys.executable, "-m", "kilnlib", verb, *quiet, *arguments],
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            encoding="utf-8",
            env=environment,
            cwd=cwd or self.home.parent,
        )
        self.printed = ""
        self._lines = queue.Queue()
        threading.Thread(target=self._read, daemon=True).start()
        self.url = self._wait_for_url()

    def _read(self):
        for line in self.process.stdout:
            self._lines.put(line)
        self._lines.put(None)

    def _wait_for_url(self, seconds=60):
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            try:
                line = self._lines.get(timeout=1)
            except queue.Empty:
                continue
            if line is None:
                self._lines.put(None)
                return None
            self.printed += line
            if found := URL.search(line):
                return found[0]
        self.process.kill()
        raise AssertionError(f"No address within {seconds} s:\n{self.printed}")

    def page(self, name):
        """Address of another notebook on the same server."""
        return re.sub(r"/doc/tree/[^?]*", f"/doc/tree/{name}", self.url)

    def stop(self, seconds=30):
        """Press Ctrl-C; returns the exit code, and `printed` then holds all that was said."""
        if self.process.poll() is None:
            self.process.send_signal(signal.SIGINT)
        try:
            code = self.process.wait(seconds)
        except subprocess.TimeoutExpired:
            self.process.kill()
            raise
        while (line := self._lines.get(timeout=5)) is not None:
            self.printed += line
        self._lines.put(None)
        return code


def write_book(path, *cells, folded=True):
    """Write a notebook: a string is a cell of code, a tuple of one string is a cell of text."""
    book = nbformat.v4.new_notebook(
        metadata={"kernelspec": {"display_name": "Python 3", "language": "python", "name": "python3"}}
    )
    for number, cell in enumerate(cells):
        if isinstance(cell, tuple):
            made = nbformat.v4.new_markdown_cell(cell[0])
        else:
            made = nbformat.v4.new_code_cell(cell, metadata={"jupyter": {"source_hidden": True}} if folded else {})
        made["id"] = f"cell-{number}"
        book.cells.append(made)
    path.parent.mkdir(parents=True, exist_ok=True)
    nbformat.write(book, path)
    return path
