"""Files of the user's: private, never half written, never waited for without a word."""

import itertools
import os
import signal
import stat
import subprocess
import sys
import time

import pytest

from kilnlib.bench.desk.sheet import files
from kilnlib.errors import BadInput, CannotSave
from kilnlib.physics.samples import Sheet
from kilnlib.store import exports, kiln, sheet
from kilnlib.store import files as user_files
from kilnlib.store.record import Record
from kilnlib.store.sheet import SampleSheet

pytestmark = pytest.mark.skipif(os.name != "posix", reason="owners, pipes and locks of POSIX")


@pytest.fixture(autouse=True)
def home(tmp_path, monkeypatch):
    folder = tmp_path / "deep" / "home"
    monkeypatch.setenv("FIRST_CHARGE_HOME", str(folder))
    before = os.umask(0o022)
    yield folder
    os.umask(before)


def mode(path):
    return stat.S_IMODE(os.stat(path).st_mode)


def test_only_the_user_may_read_what_the_user_wrote(home, tmp_path):
    one = SampleSheet.create(sheet.free_path("oak"), Sheet("oak"))
    kiln.save(kiln.ThisKiln())
    made = exports.write_out("oak", csv=b"x")["csv"]
    for path in (one.path, kiln.kiln_file(), made):
        assert mode(path) == 0o600, path
    for folder in (home.parent, home, sheet.folder(), exports.out_folder()):
        assert mode(folder) == 0o700, folder
    assert mode(tmp_path) != 0o777
    os.chmod(one.path, 0o644)  # as versions before left it
    one.change(Sheet("oak 2"))
    assert mode(one.path) == 0o600
    one.close()


def test_what_cut_off_saves_left_is_cleared_but_not_a_running_save(home):
    gone = subprocess.Popen([sys.executable, "-c", ""])
    gone.wait(timeout=30)
    sheet.folder().mkdir(parents=True)
    left = [sheet.folder() / f".oak.csv.{gone.pid}.tmp", home / f".this_kiln.toml.{gone.pid}.tmp"]
    kept = [sheet.folder() / f".oak.csv.{os.getpid()}.tmp", sheet.folder() / ".mine.tmp", sheet.folder() / "oak.tmp"]
    for path in (*left, *kept):
        path.write_text("half")
    opened = next(files.sheets_to_open())()
    assert not any(path.exists() for path in left) and all(path.exists() for path in kept)
    opened.close()


HOLD = "import fcntl, os, sys, time; d = os.open(sys.argv[1], os.O_RDONLY); fcntl.flock(d, fcntl.LOCK_EX)\n"
HOLD += "print('held', flush=True); time.sleep(30)"


def test_a_folder_that_another_program_holds_is_said_within_a_second(home):
    one = SampleSheet.create(sheet.free_path("oak"), Sheet("oak"))
    before = one.path.read_bytes()
    with subprocess.Popen([sys.executable, "-c", HOLD, str(one.path.parent)], stdout=subprocess.PIPE) as holder:
        try:
            assert holder.stdout.readline() == b"held\n"
            start = time.monotonic()
            with pytest.raises(CannotSave, match="another program holds the folder locked"):
                one.change(Sheet("oak 2"))
            assert time.monotonic() - start < 1.0
            assert one.sheet.charge == "oak 2" and not one.saved and one.path.read_bytes() == before
        finally:
            holder.kill()
    one.save()
    assert one.saved and SampleSheet.open(one.path).sheet.charge == "oak 2"
    one.close()


def test_a_short_hold_is_waited_for():
    one = SampleSheet.create(sheet.free_path("oak"), Sheet("oak"))
    short = HOLD.replace("30", "0.3")
    with subprocess.Popen([sys.executable, "-c", short, str(one.path.parent)], stdout=subprocess.PIPE) as holder:
        assert holder.stdout.readline() == b"held\n"
        one.change(Sheet("oak 2"))
    assert one.saved
    one.close()


def test_a_pipe_or_a_folder_is_refused_in_words_at_once():
    sheet.folder().mkdir(parents=True)
    pipe, place = sheet.folder() / "pipe.csv", sheet.folder() / "place.csv"
    os.mkfifo(pipe)
    place.mkdir()
    for path in (pipe, place):
        with pytest.raises(files.NotOpened, match="is a folder or a device"):
            files.open_own(path)
    first, second, example = itertools.islice(files.sheets_to_open(), 3)
    for way in (first, second):
        with pytest.raises(files.NotOpened) as caught:
            way()
        assert caught.value.reason.code == "sheet_not_file"
    opened = example()
    assert not opened.saved
    opened.close()


@pytest.mark.parametrize("name", ["CON", "nul", "Lpt1", "aux.csv", "com9", "con.oak", "PRN.csv"])
def test_a_name_that_windows_keeps_for_itself_is_refused_in_words(name):
    with pytest.raises(BadInput, match="Windows keeps the name"):
        sheet.free_path(name)
    with pytest.raises(BadInput, match="Choose another name"):
        files.take_in(name, b"item,board,date,weight,oven-dry\nspecies,,,,\n")


def test_ordinary_names_are_not_reserved():
    for name in ("Connie", "console", "oak CON", "com", "COM10", "lpt 1"):
        assert sheet.free_path(name).suffix == ".csv"


def test_a_new_sheet_that_cannot_be_written_is_told_as_that(monkeypatch):
    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(user_files.os, "fsync", full)
    for make in (lambda: SampleSheet.create(sheet.free_path("new"), Sheet("new")), lambda: files.take_in(
        "new.csv", b"item,board,date,weight,oven-dry\nspecies,,,,\n"
    )):  # fmt: skip
        with pytest.raises(CannotSave, match=r"new sheet .*new\.csv could not be written .*does not exist") as caught:
            make()
        assert "on this screen" not in caught.value.sentence()
    assert list(sheet.folder().iterdir()) == []


def test_twenty_thousand_boards_and_a_big_file_are_refused_in_words_within_two_seconds():
    rows = "".join(f"board,{n}\nsection,{n},,98,59,g\n" for n in range(20_000))
    for data, says in (
        (f"item,board,date,weight,oven-dry,unit\n{rows}".encode(), "more than 20,000 rows"),
        (
            f"item,board,date,weight,oven-dry,unit\n{rows[:99_999]}".encode(),
            "boards, and a sample sheet holds at most 200",
        ),
        (b"\n" * 1_999_999, "more than 20,000 rows"),
        (b"#\n" * 900_000, "more than 20,000 rows"),
        (b"," * 1_999_999, "holds no rows"),
        (b"x" * 120_000_000, "stays below 2 MB"),
    ):
        start = time.process_time()
        with pytest.raises(BadInput, match=says):
            files.take_in("big.csv", data)
        assert time.process_time() - start < 2.0, says


@pytest.fixture
def soon():
    """Ends a test that waits for ever."""

    def late(*_):
        raise AssertionError("it waits for somebody to write into the pipe")

    before = signal.signal(signal.SIGALRM, late)
    signal.alarm(10)
    yield
    signal.alarm(0)
    signal.signal(signal.SIGALRM, before)


def test_a_pipe_in_place_of_the_kiln_is_a_sentence(home, soon):
    home.mkdir(parents=True)
    os.mkfifo(kiln.kiln_file())
    found, problem = kiln.load_with_problem()
    assert found == kiln.ThisKiln() and problem.code == "cannot_open" and "not a file" in problem.sentence()
    with pytest.raises(CannotSave):
        kiln.save(found)
    assert stat.S_ISFIFO(os.stat(kiln.kiln_file()).st_mode)


def test_a_pipe_in_place_of_unfinished_typing_is_put_aside(home, soon):
    (home / "sheets").mkdir(parents=True)
    os.mkfifo(home / "sheets" / files.UNFINISHED)
    kept = files.Unfinished(home / "sheets" / "oak.csv")
    kept.keep("weight|1", {"weight": "4.x"})
    assert files.Unfinished(home / "sheets" / "oak.csv").get("weight|1") == {"weight": "4.x"}
    assert (home / "sheets" / files.DAMAGED).exists()


def test_folders_of_the_record_and_of_sheets_put_away_are_private_too(home):
    Record(home / "record.sqlite").sit_down("Ada")
    one = SampleSheet.create(sheet.free_path("oak"), Sheet("oak"))
    one.close()
    files.move(one.path, files.place(files.FILED))
    for folder in (home, files.place(files.FILED)):
        assert mode(folder) == 0o700, folder
