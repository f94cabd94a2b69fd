"""The record: nothing that was saved is lost, whatever happens to the disk, the kernel, the file or the clock."""

import contextlib
import json
import os
import random
import signal
import sqlite3
import stat
import subprocess
import sys
import time
from datetime import UTC, datetime, timedelta

import pytest
from old_records import VERSION_1, may_mount

from kilnlib.errors import BadInput, CannotSave
from kilnlib.store import record as module
from kilnlib.store import record_file as files
from kilnlib.store.record import FILE_NAME, Learner, Record, open_record, record_file

HOSTILE = [
    "Robert'); DROP TABLE learners;--",
    '<script>alert("x")</script>',
    "Größe d’été",
    "中村",
    "%s {name} \\",
    "‮JT",
]
WRITER = """
import sys
from pathlib import Path
from kilnlib.store.record import Record
record = Record(Path(sys.argv[1]))
for number in range(int(sys.argv[3])):
    record.answered(f"{sys.argv[2]}-{number}", str(number), number % 3 == 0)
    print(number, flush=True)
"""


@pytest.fixture
def path(tmp_path):
    return tmp_path / "Größe d’été #1?" / FILE_NAME


@pytest.fixture
def record(path):
    return Record(path)


def count(path):
    with contextlib.closing(sqlite3.connect(path)) as db:
        assert db.execute("PRAGMA integrity_check").fetchone()[0] == "ok"
        return db.execute("SELECT count(*) FROM events").fetchone()[0]


# what it remembers -------------------------------------------------------------------------------------------------


def test_it_lies_in_the_users_folder_and_is_made_when_something_is_written(monkeypatch, tmp_path):
    monkeypatch.setenv("FIRST_CHARGE_HOME", str(tmp_path / "home"))
    record = open_record()
    assert record.path == record_file() == tmp_path / "home" / "record.sqlite"
    assert record.learner() is None and record.learners() == [] and record.answers() == [] and record.ticks() == set()
    assert record.done() == {} and record.last_place() is None and record.prediction("air-predict") is None
    assert not (tmp_path / "home").exists()
    record.opened("02_air")
    assert os.listdir(tmp_path / "home") == ["record.sqlite"]
    assert open_record().last_place() == "02_air"


@pytest.mark.skipif(os.name == "nt", reason="Windows keeps the rights of files in another way")
def test_only_its_user_may_read_it_or_its_backup(record, tmp_path):
    record.answered("wood-a", "80", True)
    record.backup(tmp_path / "copy.sqlite")
    for file in (record.path, tmp_path / "copy.sqlite"):
        assert stat.S_IMODE(file.stat().st_mode) == 0o600
    record.path.chmod(0o644)  # as a copy from a stick may have it
    record.answered("wood-b", "80", True)
    assert stat.S_IMODE(record.path.stat().st_mode) == 0o600


def test_every_answer_with_its_tries(record):
    start = datetime.now(UTC) - timedelta(seconds=1)
    record.answered("wood-a", "0.8", False, "MX02", page="01_water_in_wood", asked={"wet": 9.0, "dry": 5.0})
    record.answered("wood-a", "80 %", True, page="01_water_in_wood")
    record.answered("wood-a", "44", False, page="02_air")
    record.answered("wood-b", "1", True)
    first, second = Record(record.path).answers("wood-a", "01_water_in_wood")
    assert (first.about, first.typed, first.right, first.misconception) == ("wood-a", "0.8", False, "MX02")
    assert first.asked == {"wet": 9.0, "dry": 5.0} and start <= first.at <= datetime.now(UTC)
    assert second.right is True and second.misconception is None and second.asked == {}
    assert [answer.typed for answer in record.answers("wood-a")] == ["0.8", "80 %", "44"]
    assert len(record.answers()) == 4


def test_predictions_ticks_and_what_is_done(record):
    record.predicted("air-predict", "A", False, "MX09", page="02_air")
    assert record.prediction("air-predict", "02_air").typed == "A"
    assert record.prediction("air-predict", "03_emc") is None and record.answers() == []
    for item, on in (("fan", True), ("wick", True), ("fan", False)):
        record.ticked(item, on, page="02_air")
    assert record.ticks("02_air") == {"wick"} and record.ticks("03_emc") == set()
    record.finished("02_air/check")
    first = record.done()["02_air/check"]
    record.finished("02_air/check")
    assert record.done() == {"02_air/check": first} and count(record.path) == 5


def test_how_something_was_left(record):
    record.leave("02_air/air", {"state": {"dry_bulb_c": 43.25}})
    record.leave("02_air/air", {"state": {"dry_bulb_c": 50.0, "what": "½ “°F”"}})
    assert record.left("02_air/air") == {"state": {"dry_bulb_c": 50.0, "what": "½ “°F”"}}
    assert record.left("03_emc/emc") is None


def test_learners_by_a_name_typed_once(record):
    record.answered("wood-a", "80", True)
    assert record.learner().name == ""
    jt = record.sit_down(" JT ")
    assert jt.name == "JT" and record.learner() == jt
    assert len(record.answers()) == 1  # what was done before the name was typed is this learner's
    mk = record.sit_down("MK")
    assert record.answers() == [] and mk.id != jt.id
    record.opened("03_emc")
    assert record.sit_down("jt") == jt
    assert len(record.answers()) == 1 and record.last_place() is None
    assert record.learners() == [jt, mk]
    for bad in ("", "  ", "x" * 41, "a\x00b"):
        with pytest.raises(BadInput, match="Initials are enough"):
            record.sit_down(bad)
    assert record.learner() == jt


@pytest.mark.parametrize("name", [*HOSTILE[:-1], "x" * 40])
def test_a_hostile_name_is_a_name(record, name):
    who = record.sit_down(name)
    record.answered(name, name, False, name, page=name, asked={name: name})
    record.leave(name, name)
    assert record.learner() == Learner(who.id, name)
    (answer,) = Record(record.path).answers(name, name)
    assert (answer.about, answer.typed, answer.misconception, answer.asked) == (name, name, name, {name: name})
    assert record.left(name) == name and count(record.path) == 1


def test_letters_that_cannot_be_written_are_refused_in_a_name_and_kept_in_an_answer(record):
    with pytest.raises(BadInput):
        record.sit_down(HOSTILE[-1])  # it would turn round the line it stands in
    record.answered("wood-a", "half a letter \ud83d and \x00", False)
    assert record.answers()[0].typed == "half a letter ? and \x00"


# the disk ----------------------------------------------------------------------------------------------------------


def test_sqlite_is_asked_for_what_keeps_it_whole(record):
    record.answered("wood-a", "80", True)
    with contextlib.closing(sqlite3.connect(record.path)) as db:
        db.execute("PRAGMA journal_mode = WAL")
    with contextlib.closing(files.connect(record.path)) as db:
        assert db.execute("PRAGMA journal_mode").fetchone()[0] == "delete"
        assert db.execute("PRAGMA synchronous").fetchone()[0] == 2
        assert db.execute("PRAGMA busy_timeout").fetchone()[0] == 5000
        assert db.execute("PRAGMA user_version").fetchone()[0] == len(files.STEPS)
    assert os.listdir(record.path.parent) == [FILE_NAME]


@pytest.mark.skipif(os.name == "nt", reason="Windows has no kill -9")
def test_killed_while_writing_20_times_nothing_said_is_lost(path):
    chance, said = random.Random(15), 0
    for round_ in range(20):
        command = [sys.executable, "-c", WRITER, str(path), f"round-{round_}", "100000"]
        with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as writer:
            lines = iter(writer.stdout.readline, "")
            if round_:  # the first is killed while it begins the file
                next(lines)
                said += 1
            time.sleep(chance.uniform(0.0, 0.12))
            writer.send_signal(signal.SIGKILL)
            said += sum(line.endswith("\n") for line in lines)
        record = open_record(path)
        assert record.notice is None
        kept = len(record.answers())
        assert said <= kept <= said + round_ + 1  # killed between saving and saying: one more each time
    assert said > 40 and count(path) == kept


def test_two_kernels_write_at_once(path):
    command = [sys.executable, "-c", WRITER, str(path)]
    both = [subprocess.Popen([*command, name, "150"], stdout=subprocess.DEVNULL) for name in ("one", "two")]
    assert [writer.wait(timeout=120) for writer in both] == [0, 0]
    record = open_record(path)
    assert count(path) == len(record.answers()) == 300 and len(record.learners()) == 1
    for name in ("one", "two"):
        mine = [answer.about for answer in record.answers() if answer.about.startswith(name)]
        assert mine == [f"{name}-{number}" for number in range(150)]


def fill(record):
    """Answers until one is refused; how many were kept, and the refusal."""
    for number in range(5000):
        try:
            record.answered(f"wood-{number}", "x" * 200, True)
        except CannotSave as error:
            return number, error
    raise AssertionError("the disk never filled")


def test_a_file_that_may_not_grow_refuses_in_words_and_loses_nothing(record, monkeypatch):
    record.answered("wood-first", "1", True)
    connect = files.connect

    def small(path, mode="rw"):
        db = connect(path, mode)
        db.execute("PRAGMA max_page_count = 30")
        return db

    monkeypatch.setattr(files, "connect", small)
    kept, refusal = fill(record)
    assert "(the disk is full)" in refusal.sentence() and "was not saved" in refusal.sentence()
    assert len(record.answers()) == kept + 1 == count(record.path)
    monkeypatch.setattr(files, "connect", connect)
    record.answered("wood-again", "1", True)
    assert len(record.answers()) == kept + 2


@pytest.mark.skipif(not may_mount(), reason="a small disk can be mounted by root only; the test above refuses room too")
def test_a_disk_that_is_really_full(tmp_path):
    disk = tmp_path / "disk"
    disk.mkdir()
    subprocess.run(["mount", "-t", "tmpfs", "-o", "size=200k", "none", disk], check=True)
    try:
        record = Record(disk / FILE_NAME)
        kept, refusal = fill(record)
        assert kept > 10 and "was not saved" in refusal.sentence()
        assert len(open_record(record.path).answers()) == kept == count(record.path)
        with pytest.raises(CannotSave, match="could not be written"):
            record.backup(disk / "copy.sqlite")
        assert sorted(os.listdir(disk)) == [FILE_NAME]
        record.backup(tmp_path / "copy.sqlite")
        assert count(tmp_path / "copy.sqlite") == kept
    finally:
        subprocess.run(["umount", disk], check=True)


def test_a_folder_that_cannot_be_made_is_a_sentence(tmp_path):
    (tmp_path / "home").write_text("a file is in the way")
    with pytest.raises(CannotSave, match="could not be written") as raised:
        Record(tmp_path / "home" / FILE_NAME).opened("02_air")
    assert raised.value.code == "record_not_saved"


def test_a_kernel_that_holds_the_file_too_long_is_a_sentence(record, monkeypatch):
    record.answered("wood-a", "80", True)
    monkeypatch.setattr(files, "WAIT_S", 0.1)
    with contextlib.closing(sqlite3.connect(record.path, isolation_level=None)) as other:
        other.execute("BEGIN EXCLUSIVE")
        with pytest.raises(CannotSave, match="another page was writing for too long"):
            record.answered("wood-b", "80", True)
    assert [answer.about for answer in record.answers()] == ["wood-a"]


# the file ----------------------------------------------------------------------------------------------------------


def break_head(path):
    path.write_bytes(b"not a record at all, but long enough to be one " * 40)


def break_middle(path):
    data = bytearray(path.read_bytes())
    data[4096:] = b"\xa5" * (len(data) - 4096)
    path.write_bytes(data)


def cut_off(path):
    path.write_bytes(path.read_bytes()[: path.stat().st_size // 2 // 4096 * 4096])


def of_something_else(path):
    path.unlink()
    with contextlib.closing(sqlite3.connect(path)) as db:
        db.execute("CREATE TABLE learners (id)")
        db.commit()


@pytest.mark.parametrize(
    ("damage", "at_once"),
    [(damage, at_once) for damage in (break_head, break_middle, of_something_else) for at_once in (True, False)]
    + [(cut_off, True)],  # a page that is open already notices a cut only when it reads behind it
)
def test_a_damaged_file_is_set_aside_with_a_sentence_and_a_new_one_begun(record, damage, at_once):
    for number in range(60):
        record.answered(f"wood-{number}", "80 " * 50, True)
    damage(record.path)
    damaged = record.path.read_bytes()
    if at_once:
        record = open_record(record.path)
        assert record.notice is not None
    record.answered("wood-new", "1", False)
    assert [answer.about for answer in record.answers()] == ["wood-new"]
    assert "was damaged" in record.notice.sentence() and "a new record was begun" in record.notice.sentence()
    (kept,) = [file for file in record.path.parent.iterdir() if file.name.startswith("record_damaged_")]
    assert kept.name in record.notice.sentence() and kept.read_bytes() == damaged
    assert open_record(record.path).notice is None


def test_two_kernels_that_find_it_damaged_set_it_aside_once(record):
    record.answered("wood-a", "80", True)
    break_head(record.path)
    one, two = Record(record.path), Record(record.path)
    one.answered("wood-b", "1", True)
    two._set_aside()  # it saw the damage before the other had mended it
    assert [answer.about for answer in two.answers()] == ["wood-b"] and two.notice is None


def test_an_empty_file_is_a_new_record(path):
    path.parent.mkdir(parents=True)
    path.touch()
    record = open_record(path)
    record.answered("wood-a", "80", True)
    assert record.notice is None and count(path) == 1


def test_a_file_of_version_1_keeps_all_it_holds(path):
    path.parent.mkdir(parents=True)
    with contextlib.closing(sqlite3.connect(path)) as db:
        db.executescript(VERSION_1)
    record = open_record(path)
    assert record.learner().name == "JT" and record.ticks("02_air") == {"item-1"}
    (answer,) = record.answers("wood-a")
    assert (answer.typed, answer.right, answer.misconception, answer.asked) == ("0.8", False, "MX02", {})
    record.answered("wood-a", "80", True, page="02_air", asked={"wet": 9})
    record.opened("03_emc")
    assert record.answers("wood-a")[1].asked == {"wet": 9} and record.last_place() == "03_emc"
    with contextlib.closing(sqlite3.connect(path)) as db:
        assert db.execute("PRAGMA user_version").fetchone()[0] == len(files.STEPS) > 1


def test_a_migration_that_fails_leaves_the_old_file(path, monkeypatch):
    path.parent.mkdir(parents=True)
    with contextlib.closing(sqlite3.connect(path)) as db:
        db.executescript(VERSION_1)
    steps = (*files.STEPS, ("CREATE TABLE more (id)", "CREATE TABLE learners (id)"))
    with monkeypatch.context() as patch:
        patch.setattr(files, "STEPS", steps)
        with pytest.raises(CannotSave):
            open_record(path)
    with contextlib.closing(sqlite3.connect(path)) as db:
        assert db.execute("PRAGMA user_version").fetchone()[0] == 1
    assert [answer.typed for answer in open_record(path).answers()] == ["0.8"]


def test_a_file_of_a_newer_version_is_left_alone(record):
    record.answered("wood-a", "80", True)
    with contextlib.closing(sqlite3.connect(record.path)) as db:
        db.execute(f"PRAGMA user_version = {len(files.STEPS) + 1}")
    before = record.path.read_bytes()
    for work in (lambda: open_record(record.path), lambda: record.answered("wood-b", "1", True), record.learner):
        with pytest.raises(CannotSave, match="Start the newer version"):
            work()
    assert record.path.read_bytes() == before and os.listdir(record.path.parent) == [FILE_NAME]


# two machines ------------------------------------------------------------------------------------------------------


def test_a_backup_is_a_whole_record_and_replaces_only_when_complete(record, tmp_path):
    record.sit_down("JT")
    record.answered("wood-a", "80", True)
    copy = tmp_path / "copy.sqlite"
    record.backup(copy)
    assert open_record(copy).answers() == record.answers() and open_record(copy).learner() == record.learner()
    old = copy.read_bytes()
    with pytest.raises(CannotSave, match="record itself"):
        record.backup(record.path)
    with pytest.raises(CannotSave, match="The record itself is as it was"):
        record.backup(copy / "a file is no folder.sqlite")
    break_head(record.path)
    record.answered("wood-b", "1", True)
    assert copy.read_bytes() == old
    restored = Record(tmp_path / "elsewhere" / FILE_NAME)
    assert restored.merge(copy) == 1
    assert restored.learner().name == "JT" and restored.answers("wood-a")[0].right


def test_merging_twice_is_merging_once_and_initials_that_are_alike_stay_two(tmp_path):
    here, there = Record(tmp_path / "here" / FILE_NAME), Record(tmp_path / "there" / FILE_NAME)
    for record, typed in ((here, "1"), (there, "2")):
        record.sit_down("JT")
        record.answered("wood-a", typed, False)
        record.leave("02_air/air", typed)
    assert here.merge(there.path) == 1 and here.merge(there.path) == 0
    assert [one.name for one in here.learners()] == ["JT", "JT"] and count(here.path) == 2
    assert [answer.typed for answer in here.answers()] == ["1"] and here.left("02_air/air") == "1"
    there.answered("wood-b", "3", True)
    with contextlib.closing(sqlite3.connect(there.path)) as db:  # the learner was renamed over there
        db.execute("UPDATE learners SET name = 'Jo', named_at = '2999-01-01T00:00:00.000+00:00'")
        db.commit()
    before = there.path.read_bytes()
    assert here.merge(there.path) == 1 and there.path.read_bytes() == before
    assert sorted(one.name for one in here.learners()) == ["JT", "Jo"] and count(here.path) == 3
    there.merge(here.path)
    assert there.merge(here.path) == 0 and count(there.path) == 3


def test_a_changed_clock_changes_no_order(record, monkeypatch):
    for year, typed in ((2031, "first"), (2026, "second"), (2040, "third")):
        monkeypatch.setattr(module, "now", lambda year=year: f"{year}-01-01T00:00:00.000+00:00")
        record.answered("wood-a", typed, False)
        record.leave("place", typed)
    assert [answer.typed for answer in record.answers()] == ["first", "second", "third"]
    assert record.last_place() == "third"


def test_what_is_no_record_is_not_merged(record, tmp_path):
    record.answered("wood-a", "80", True)
    other = tmp_path / "other.sqlite"
    for make in (break_head, lambda path: path.write_bytes(b""), of_something_else):
        make(other)
        was = other.read_bytes()
        with pytest.raises(CannotSave, match="Nothing was changed"):
            record.merge(other)
        assert other.read_bytes() == was
    with pytest.raises(CannotSave, match="Nothing was changed"):
        record.merge(tmp_path / "missing.sqlite")
    assert not (tmp_path / "missing.sqlite").exists() and count(record.path) == 1


def test_an_old_record_can_be_merged(record, tmp_path):
    old = tmp_path / "old.sqlite"
    with contextlib.closing(sqlite3.connect(old)) as db:
        db.executescript(VERSION_1)
    before = old.read_bytes()
    assert record.merge(old) == 2 and old.read_bytes() == before
    assert record.learner().name == "JT" and record.ticks("02_air") == {"item-1"}


# its pace ----------------------------------------------------------------------------------------------------------


def test_a_page_of_questions_to_100000_answers_takes_less_than_a_second_of_processor_time(record):
    record.sit_down("JT")
    learner = record.learner().id
    row = "INSERT INTO events (id, learner, verb, about, page, typed, is_right, at, asked) VALUES (?,?,?,?,?,?,?,?,?)"
    moment = datetime(2026, 3, 12, tzinfo=UTC)
    rows = (
        (f"{number:032x}", learner, "answered", f"wood-{number % 150}", "01_water_in_wood", "80 %", number % 3 == 0,
         (moment + timedelta(minutes=number)).isoformat(), json.dumps({"wet": 9.0, "dry": 5.0}))
        for number in range(100_000)
    )  # fmt: skip
    with contextlib.closing(sqlite3.connect(record.path)) as db:
        db.executemany(row, rows)
        db.commit()
    started = time.process_time()  # the work itself: a busy machine must not fail the test
    opened = open_record(record.path)
    for number in range(10):  # what a page with ten questions asks
        assert len(opened.answers(f"wood-{number}", "01_water_in_wood")) > 600
    opened.prediction("wood-predict", "01_water_in_wood")
    opened.ticks("01_water_in_wood")
    opened.done()
    opened.last_place()
    lately = opened.events("answered", "predicted", last=3000)  # what the choice of warm-ups looks back on
    assert len(lately) == 3000 and lately[-1].at > lately[0].at
    seconds = time.process_time() - started
    assert seconds < 1.0, f"{seconds:.2f} s"
