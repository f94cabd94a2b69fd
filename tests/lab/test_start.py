"""The start command and the check, without a browser; the learner's copy of the lessons."""

import json
import os
import shutil
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
import webbrowser
from pathlib import Path
from types import SimpleNamespace
from urllib.parse import urlsplit
from urllib.request import url2pathname

import nbformat
import pytest
from jupyter_client import BlockingKernelClient
from jupyter_client.manager import start_new_kernel
from starting import Started, write_book

from kilnlib import __main__ as command
from kilnlib.lab import books, copies, readiness, server

FIRST = "00_start_here.ipynb"


@pytest.fixture
def mill(tmp_path):
    """Shipped lessons, and the folders of a learner."""
    shipped = tmp_path / "shipped"
    write_book(shipped / FIRST, ("# Start",), "print(1)")
    write_book(shipped / "02_air.ipynb", ("# Air",), "print(2)")
    (shipped / "data").mkdir()
    (shipped / "data" / "charge.csv").write_text("day,mc\n1,80\n", encoding="utf-8")
    (shipped / ".ipynb_checkpoints").mkdir()
    (shipped / ".ipynb_checkpoints" / "old.ipynb").write_text("{}", encoding="utf-8")
    return Mill(shipped, tmp_path / "Größe d’été" / "workbooks", tmp_path / "Größe d’été" / "settings")


class Mill:
    def __init__(self, shipped, copy, settings):
        self.shipped, self.copy, self.settings = shipped, copy, settings
        assert self.refresh() == []

    def refresh(self):
        return copies.refresh(self.shipped, self.copy, self.settings)

    def names(self):
        return sorted(path.relative_to(self.copy).as_posix() for path in self.copy.rglob("*") if path.is_file())

    def edit(self, name, cell, source=None, output=None, folder=None):
        """Change the text of a cell, or leave an output in it as a run does."""
        path = (folder or self.copy) / name
        book = nbformat.read(path, as_version=4)
        if source is not None:
            book.cells[cell].source = source
        if output is not None:
            book.cells[cell].outputs = [nbformat.v4.new_output("stream", text=output)]
            book.cells[cell].execution_count = 7
        nbformat.write(book, path)
        return path.read_bytes()

    def read(self, name):
        return (self.copy / name).read_bytes()

    def ship(self, name, source):
        return self.edit(name, 1, source, folder=self.shipped)


def test_the_copy_holds_what_is_shipped_and_nothing_hidden(mill):
    assert mill.names() == ["00_start_here.ipynb", "02_air.ipynb", "data/charge.csv"]
    assert mill.read("02_air.ipynb") == (mill.shipped / "02_air.ipynb").read_bytes()


def test_a_run_is_no_change(mill):
    ran = mill.edit("02_air.ipynb", 1, output="2\n")
    assert mill.refresh() == []
    assert mill.read("02_air.ipynb") == ran
    new = mill.ship("02_air.ipynb", "print(22)")
    assert mill.refresh() == []
    assert mill.read("02_air.ipynb") == new


def test_notes_stay_until_the_lesson_changes(mill):
    noted = mill.edit("02_air.ipynb", 0, "# Air\n\nAsk about the wick.")
    assert mill.refresh() == []
    assert mill.read("02_air.ipynb") == noted
    new = mill.ship("02_air.ipynb", "print(22)")
    assert mill.refresh() == [("02_air.ipynb", "02_air (yours).ipynb")]
    assert mill.read("02_air.ipynb") == new
    assert mill.read("02_air (yours).ipynb") == noted
    assert mill.refresh() == []


def test_changed_code_is_kept_beside_and_the_lesson_opens_alive_again(mill):
    first = mill.edit("02_air.ipynb", 1, "print('mine')")
    assert mill.refresh() == [("02_air.ipynb", "02_air (yours).ipynb")]
    assert mill.read("02_air (yours).ipynb") == first
    assert books.fingerprint(books.read(mill.copy / "02_air.ipynb")) in books.make_list(mill.shipped)
    mill.edit("02_air.ipynb", 1, "print('mine')")
    assert mill.refresh() == [("02_air.ipynb", "02_air (yours).ipynb")]  # the same again, kept once
    second = mill.edit("02_air.ipynb", 1, "print('mine too')")
    assert mill.refresh() == [("02_air.ipynb", "02_air (yours 2).ipynb")]
    assert mill.read("02_air (yours).ipynb") == first
    assert mill.read("02_air (yours 2).ipynb") == second


def test_a_changed_data_file_is_kept_beside(mill):
    (mill.copy / "data" / "charge.csv").write_text("day,mc\n1,99\n", encoding="utf-8")
    assert mill.refresh() == [("charge.csv", "charge (yours).csv")]
    assert b"1,80" in mill.read("data/charge.csv")
    assert b"1,99" in mill.read("data/charge (yours).csv")


def test_a_broken_copy_is_kept_beside(mill):
    (mill.copy / "02_air.ipynb").write_text("{", encoding="utf-8")
    assert mill.refresh() == [("02_air.ipynb", "02_air (yours).ipynb")]
    assert mill.read("02_air (yours).ipynb") == b"{"


def test_own_files_stay(mill):
    (mill.copy / "notes.txt").write_text("mine", encoding="utf-8")
    write_book(mill.copy / "own.ipynb", "print('own')")
    own = mill.read("own.ipynb")
    mill.ship("02_air.ipynb", "print(22)")
    mill.refresh()
    assert mill.read("notes.txt") == b"mine"
    assert mill.read("own.ipynb") == own


@pytest.mark.parametrize("changed", [False, True])
def test_a_lesson_that_is_no_longer_shipped_goes_unless_it_was_changed(mill, changed):
    if changed:
        mill.edit("02_air.ipynb", 0, "# Air, with notes")
    (mill.shipped / "02_air.ipynb").unlink()
    assert mill.refresh() == []
    assert (mill.copy / "02_air.ipynb").exists() == changed


@pytest.mark.parametrize("notes", ["", "[1, 2]", None])
def test_lost_notes_lose_nothing(mill, notes):
    mine = mill.edit("02_air.ipynb", 0, "# Air, with notes")
    file = mill.settings / copies.NOTES
    file.unlink() if notes is None else file.write_text(notes, encoding="utf-8")
    assert mill.refresh() == [("02_air.ipynb", "02_air (yours).ipynb")]
    assert mill.read("02_air (yours).ipynb") == mine


def run(capsys, *arguments):
    """Exit code and everything printed."""
    code = command.main(list(arguments))
    printed = capsys.readouterr()
    return code, printed.out + printed.err


@pytest.fixture
def served(monkeypatch):
    """Calls of the server, which here only says that it is up."""
    calls = []

    def serve(folder, first, listed, settings, port, opened):
        calls.append((folder, first, listed, port))
        opened(f"http://127.0.0.1:{port}/doc/tree/{first}?token=t", "file:///redirect.html")

    monkeypatch.setattr(server, "serve", serve)
    return calls


@pytest.fixture
def home(monkeypatch, tmp_path):
    monkeypatch.setenv("FIRST_CHARGE_HOME", str(tmp_path / "home"))
    return tmp_path / "home"


def test_no_word_starts_the_shipped_lessons(served, home, capsys, monkeypatch):
    monkeypatch.setattr(server, "find_browser", lambda: None)
    code, printed = run(capsys)
    folder, first, listed, port = served[0]
    assert (code, folder, first) == (0, home / "workbooks", "home.ipynb")
    assert listed == books.load_list()
    assert sorted(p.name for p in folder.glob("*.ipynb")) == sorted(p.name for p in books.WORKBOOKS.glob("*.ipynb"))
    assert f"http://127.0.0.1:{port}/doc/tree/home.ipynb?token=t" in printed
    assert "no browser was found. Copy this address" in printed
    assert str(folder) in printed


def test_a_browser_is_opened_by_way_of_the_redirect(served, home, capsys, monkeypatch):
    opened = []
    monkeypatch.setattr(server, "find_browser", lambda: "a browser")
    monkeypatch.setattr(server, "open_browser", lambda browser, url: opened.append((browser, url)))
    assert run(capsys, "start", "--port", "8899")[0] == 0
    assert opened == [("a browser", "file:///redirect.html")]


def test_a_text_browser_is_none(monkeypatch):
    monkeypatch.delenv("BROWSER", raising=False)
    monkeypatch.setattr(webbrowser, "get", lambda: webbrowser.GenericBrowser("lynx"))
    assert server.find_browser() is None
    window = webbrowser.BackgroundBrowser("firefox")
    monkeypatch.setattr(webbrowser, "get", lambda: window)
    assert server.find_browser() is window


def test_no_browser_at_all(monkeypatch):
    def none():
        raise webbrowser.Error("could not locate runnable browser")

    monkeypatch.setattr(webbrowser, "get", none)
    assert server.find_browser() is None


def test_a_changed_copy_is_named(served, home, capsys, mill, monkeypatch):
    monkeypatch.setenv("FIRST_CHARGE_WORKBOOKS", str(mill.shipped))
    run(capsys, "--no-browser")
    mill.copy = home / "workbooks"
    mill.edit("02_air.ipynb", 1, "print('mine')")
    code, printed = run(capsys, "--no-browser")
    assert code == 0
    assert "02_air.ipynb was changed" in printed
    assert "“02_air (yours).ipynb”" in printed


def test_a_folder_that_cannot_be_written_is_a_sentence(served, home, capsys):
    home.write_text("a file stands where the folder should be", encoding="utf-8")
    code, printed = run(capsys, "--no-browser")
    assert code == 1 and not served
    assert printed.startswith(f"{home} cannot be written (")
    assert "FIRST_CHARGE_HOME" in printed and len(printed.splitlines()) == 1


def test_a_copy_that_may_not_be_written_is_a_sentence(served, home, capsys, monkeypatch):
    def refuse(path, data):
        raise PermissionError(13, "Permission denied", str(path))

    monkeypatch.setattr(copies, "write_file", refuse)
    code, printed = run(capsys, "--no-browser")
    assert code == 1 and not served
    assert printed.startswith(f"{home} cannot be written (Permission denied)")


def test_no_lessons_is_a_sentence(served, home, capsys, monkeypatch, tmp_path):
    monkeypatch.setattr(books, "WORKBOOKS", tmp_path / "gone")
    code, printed = run(capsys, "--no-browser")
    assert code == 1 and not served
    assert printed.startswith(f"No lessons were found in {tmp_path / 'gone'}.")


def test_a_missing_package_is_a_sentence_with_the_command(served, home, capsys, monkeypatch):
    needs = readiness.needs()
    monkeypatch.setattr(readiness, "needs", lambda: needs | {"no-such-wood": "no-such-wood>=1"})
    code, printed = run(capsys, "--no-browser")
    assert code == 1 and not served
    assert printed.startswith("This Python lacks no-such-wood. To put that right, type: ")
    assert printed.strip().endswith(readiness.repair())


def test_a_python_without_any_package_is_told_so(tmp_path):
    done = subprocess.run(
        [sys.executable, "-S", "-m", "kilnlib"], cwd=books.ROOT, capture_output=True, encoding="utf-8", timeout=60
    )
    assert done.returncode == 1
    assert done.stdout == ""
    assert done.stderr.startswith("This Python lacks first-charge, jupyterlab, ")
    assert len(done.stderr.splitlines()) == 1


def test_the_command_uses_the_own_python_where_there_is_one(monkeypatch, tmp_path):
    monkeypatch.setattr(books, "ROOT", tmp_path)
    assert readiness.repair() == readiness.command(sys.executable, "-m", "pip", "install", "-e", str(tmp_path))
    own = tmp_path / ".venv" / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    own.parent.mkdir(parents=True)
    own.write_text("", encoding="utf-8")
    assert readiness.repair() == readiness.command(str(own), "-m", "kilnlib")


@pytest.mark.parametrize("typed", ["0", "65536", "-1", "abc", "80.5", ""])
def test_a_port_that_is_none_is_refused(capsys, typed):
    with pytest.raises(SystemExit, match="2"):
        command.main(["start", f"--port={typed}"])
    assert f"“{typed}” is not a port." in capsys.readouterr().err


def test_no_free_port_is_a_sentence(served, home, capsys, monkeypatch):
    monkeypatch.setattr(server, "TRIES", 1)
    with taken() as port:
        code, printed = run(capsys, "--no-browser", "--port", str(port))
    assert code == 1 and not served
    assert printed.startswith(f"No free port was found from {port} on.")


def taken():
    """A socket that holds a port; entering it gives the port."""

    class Held(socket.socket):
        def __enter__(self):
            self.bind((server.LOOPBACK, 0))
            self.listen()
            return self.getsockname()[1]

    return Held()


def get(url, token=None):
    request = urllib.request.Request(url, headers={"Authorization": f"token {token}"} if token else {})
    with urllib.request.urlopen(request, timeout=10) as answer:
        return json.load(answer)


def said_by_kernel(home, code):
    """What a kernel of a start prints when it runs this: the first page's, or the spare."""
    file = next((home / "settings" / "jupyter" / "runtime").glob("kernel-*.json"))
    client = BlockingKernelClient(connection_file=str(file))
    client.load_connection_file()
    client.start_channels()
    said = []
    client.execute_interactive(code, timeout=60, output_hook=lambda message: said.append(str(message["content"])))
    client.stop_channels()
    return " ".join(said)


def warm(url, token, home):
    """The one session that there is, once its kernel answers."""
    for _ in range(300):
        files = list((home / "settings" / "jupyter" / "runtime").glob("kernel-*.json"))
        sessions = get(url, token)
        if files and sessions:
            break
        time.sleep(0.1)
    (file,), (session,) = files, sessions
    client = BlockingKernelClient(connection_file=str(file))
    client.load_connection_file()
    client.start_channels()
    client.kernel_info(reply=True, timeout=60)  # wait_for_ready calls a kernel dead that is busy for a second
    client.stop_channels()
    return session


def test_the_real_start(mill, tmp_path):
    """A taken port, accents, a learner's own Jupyter that would break it; then token, loopback, a quick Ctrl-C."""
    other = tmp_path / "other"
    other.mkdir()
    (other / "jupyter_server_config.py").write_text("raise RuntimeError('never read')", encoding="utf-8")
    with taken() as port:
        started = Started(
            tmp_path / "Größe d’été", "--port", str(port), workbooks=mill.shipped, JUPYTER_CONFIG_DIR=str(other)
        )
        try:
            address = urlsplit(started.url)
            assert f"Port {port} is in use, so this time it is port {address.port}." in started.printed
            token, base = address.query.removeprefix("token="), f"http://127.0.0.1:{address.port}/api"
            assert len(token) >= 32
            names = [entry["name"] for entry in get(f"{base}/contents", token)["content"]]
            assert sorted(names) == [FIRST, "02_air.ipynb", "data"]
            with pytest.raises(urllib.error.HTTPError, match="403"):
                get(f"{base}/contents")
            if sys.platform == "linux":  # the whole of 127.0.0.0/8 is this machine
                with pytest.raises(ConnectionRefusedError):
                    socket.create_connection(("127.0.0.2", address.port), timeout=5)
            session = warm(f"{base}/sessions", token, started.home)
            assert session["path"] == FIRST, "its kernel is up before a page asks for it"
            get(f"{base}/contents/{FIRST}", token)  # a thread of the file service waits now
        finally:
            code = started.stop(seconds=15)
    assert code == 0
    assert started.printed.endswith("First Charge has stopped.\n")
    assert (started.home / "settings" / server.LOG).read_text(encoding="utf-8") == ""


@pytest.mark.skipif(os.name == "nt", reason="the stand-in for a browser is a shell script")
def test_the_token_stands_on_no_command_line(mill, tmp_path):
    """What a browser is given, and where that leads: a file that only its owner reads, and that goes at the end."""
    given, browser = tmp_path / "given.txt", tmp_path / "browser"
    browser.write_text(f'#!/bin/sh\nprintf "%s\\n" "$@" > "{given}"\n', encoding="utf-8")
    browser.chmod(0o755)
    started = Started(tmp_path / "home", workbooks=mill.shipped, quiet=(), BROWSER=str(browser))
    try:
        token = urlsplit(started.url).query.removeprefix("token=")
        assert len(token) >= 32
        for _ in range(100):
            if given.exists() and given.read_text(encoding="utf-8"):
                break
            time.sleep(0.1)
        (address,) = given.read_text(encoding="utf-8").splitlines()
        file = Path(url2pathname(urlsplit(address).path))
        assert token not in address
        assert file.parent == started.home / "settings"
        assert file.stat().st_mode & 0o777 == 0o600
        assert started.url in file.read_text(encoding="utf-8")
        commands = subprocess.run(
            ["ps", "-ww", "-eo", "args"], capture_output=True, encoding="utf-8", timeout=30
        ).stdout
        assert "kilnlib" in commands and token not in commands
    finally:
        assert started.stop() == 0
    assert not file.exists()


SHADOWS = ("kilnlib", "ipywidgets", "numpy", "matplotlib", "comm", "sitecustomize", "usercustomize", "ipython_config")
IMPORTS = "import kilnlib.bench.kit.app, ipywidgets, numpy, matplotlib, comm"


def shadows(folder):
    """Fill a folder with modules of these names; each leaves a file ran_NAME.txt when it runs."""
    folder.mkdir(parents=True, exist_ok=True)
    for name in SHADOWS:
        (folder / f"{name}.py").write_text(f"open('ran_{name}.txt', 'w').close()\n", encoding="utf-8")


def test_a_module_in_the_folder_never_stands_for_ours(mill, tmp_path):
    home = tmp_path / "home"
    shadows(home / "workbooks")
    started = Started(home, workbooks=mill.shipped)
    try:
        address = urlsplit(started.url)
        warm(f"http://127.0.0.1:{address.port}/api/sessions", address.query.removeprefix("token="), home)
        printed = said_by_kernel(home, f"{IMPORTS}; print(kilnlib.__file__, ipywidgets.__file__)")
    finally:
        assert started.stop() == 0
    assert str(books.ROOT / "kilnlib") in printed
    assert "site-packages" in printed and str(home) not in printed
    assert list((home / "workbooks").glob("ran_*")) == []


def test_such_a_module_does_run_in_a_plain_kernel(tmp_path):
    """The control of the test above."""
    shadows(tmp_path)
    manager, client = start_new_kernel(cwd=str(tmp_path), startup_timeout=60)
    client.execute_interactive("import kilnlib", timeout=60)
    client.stop_channels()
    manager.shutdown_kernel(now=True)
    assert (tmp_path / "ran_kilnlib.txt").exists()


def test_a_server_that_fails_is_a_sentence(mill, tmp_path):
    home = tmp_path / "home"
    (home / "settings" / "jupyter").mkdir(parents=True)
    (home / "settings" / "jupyter" / "runtime").write_text("a file in the way", encoding="utf-8")
    started = Started(home, workbooks=mill.shipped)
    assert started.url is None
    assert started.stop() == 1
    log = home / "settings" / server.LOG
    last = started.printed.splitlines()[-1]
    assert last.startswith(f"JupyterLab did not start. The reason is at the end of {log}.")
    assert "Traceback" not in started.printed
    assert "Traceback" in log.read_text(encoding="utf-8")


def test_check_says_that_this_machine_is_ready(home, capsys, monkeypatch):
    monkeypatch.setattr(server, "find_browser", lambda: "a browser")
    code, printed = run(capsys, "check")
    lines = printed.splitlines()
    assert code == 0, printed
    assert all(line.startswith("✓") for line in lines[:-1])
    assert lines[-1] == "This machine is ready. To open the workbook, type: python -m kilnlib"
    assert "✓ Dry bulb 110 °F and wet bulb 100 °F give 70.4 % RH; 70.4 % is right." in lines
    assert f"✓ Your folder can be written: {home}" in lines
    assert not home.exists()


def test_check_says_what_to_do(home, capsys, monkeypatch, mill):
    home.write_text("a file", encoding="utf-8")
    needs = readiness.needs()
    monkeypatch.setattr(readiness, "needs", lambda: needs | {"numpy": "numpy>=99"})
    monkeypatch.setattr(server, "find_browser", lambda: None)
    monkeypatch.setattr(server, "free_port", lambda: None)
    monkeypatch.setattr(books, "WORKBOOKS", mill.shipped)
    code, printed = run(capsys, "check")
    wrong = [line[2:] for line in printed.splitlines() if line.startswith("✗")]
    assert code == 1
    assert [sentence.split()[0] for sentence in wrong] == ["numpy", str(home), "No", "Not"]
    assert ">=99 is needed. To put that right, type: " in wrong[0]
    assert FIRST in wrong[-1] and "kilnlib.lab.normalise" in wrong[-1]
    assert printed.splitlines()[-1] == "This machine is not ready. Each line marked ✗ says what to do."


def test_a_machine_without_a_browser_of_its_own_can_be_ready(home, capsys, monkeypatch):
    monkeypatch.setattr(server, "find_browser", lambda: None)
    code, printed = run(capsys, "check")
    assert code == 0, printed
    assert "- No browser was found. Install one, or copy the address" in printed
    assert "This machine is ready." in printed


def test_check_names_a_wrong_number(home, capsys, monkeypatch):
    from kilnlib.physics import air

    monkeypatch.setattr(air, "rh_pct", lambda dry, wet: 71.0)
    code, printed = run(capsys, "check")
    assert code == 1
    assert "✗ Dry bulb 110 °F and wet bulb 100 °F give 71.0 % RH; 70.4 % is right." in printed


def test_check_on_a_screen_without_the_signs():
    done = subprocess.run(
        [sys.executable, "-m", "kilnlib", "check"],
        env=os.environ | {"PYTHONIOENCODING": "cp1252", "BROWSER": "true"},
        capture_output=True,
        timeout=60,
    )
    assert done.stderr == b""
    assert done.stdout.startswith(b"ok Python 3.")


def test_plain_help(capsys):
    with pytest.raises(SystemExit, match="0"):
        command.main(["--help"])
    printed = capsys.readouterr().out
    assert "python -m kilnlib" in printed and "start" in printed and "check" in printed


def test_the_repository_may_lie_anywhere(tmp_path, mill):
    """A copy of the library in a folder with spaces and accents starts as well."""
    root = tmp_path / "Sägewerk, été 2"
    shutil.copytree(books.ROOT / "kilnlib", root / "kilnlib", ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(books.ROOT / "pyproject.toml", root)
    shutil.copytree(mill.shipped, root / "workbooks")
    started = Started(tmp_path / "home", cwd=root)
    try:
        assert started.url, started.printed
        assert (started.lessons / "02_air.ipynb").exists()
    finally:
        assert started.stop() == 0


def test_a_folder_without_a_first_page_opens_at_its_first_lesson(served, home, capsys, monkeypatch, mill):
    monkeypatch.setenv("FIRST_CHARGE_WORKBOOKS", str(mill.shipped))
    code, _ = run(capsys)
    assert (code, served[0][1]) == (0, FIRST)


def test_one_kernel_stands_ready_and_only_one(tmp_path, mill):
    """A page takes the spare and another is begun; in a subfolder, or with an id of its own, none is taken."""
    import asyncio

    from kilnlib.lab.kernels import LOADED, WARMED, Kernels

    started, ended, given_to_load = [], [], []

    class Pretended(Kernels):
        async def _start_loaded(self, arguments):
            await asyncio.sleep(0.01)
            started.append(f"kernel {len(started)}")
            given_to_load.append(arguments)
            self._kernels[started[-1]] = SimpleNamespace()
            return started[-1]

        async def _make_spare(self, rest_s=0):
            await super()._make_spare(0)

    async def walk():
        kernels = Pretended(root_dir=str(tmp_path))
        first = await kernels.start_kernel(path="", kernel_name="python3")
        await kernels._making
        second = await kernels.start_kernel(path="", kernel_name="python3")
        await kernels._making
        assert kernels._spare == "kernel 2"
        asked = [kernels.start_kernel(path="", kernel_name="python3") for _ in range(4)]
        given = set(await asyncio.gather(*asked))
        await kernels._making
        await asyncio.sleep(0.1)
        assert given | {first, second, kernels._spare} == set(started)
        assert (len(given), len(started)) == (4, 7), "one spare for all of them"
        await kernels.cull_kernel_if_idle(kernels._spare)  # it is left alone: this one could not be asked anything
        kernels._kernels.clear()
        ended.append(kernels)
        return first, second

    assert asyncio.run(walk()) == ("kernel 0", "kernel 1")
    assert len(ended) == 1
    assert given_to_load[:2] == [[LOADED], [WARMED]], "the first is waited for; a spare has the time to load all"
