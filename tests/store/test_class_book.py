"""The trainer's half of the record: what is signed, taken in, backed up, restored and deleted stays right and whole."""

import contextlib
import csv
import io
import itertools
import json
import os
import random
import shutil
import signal
import sqlite3
import stat
import subprocess
import sys
import tempfile
import time
from datetime import UTC, date, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from old_records import VERSION_1, VERSION_2, may_mount

from kilnlib.errors import BadInput, CannotSave
from kilnlib.store import class_book as module
from kilnlib.store import learning_csv
from kilnlib.store import record as record_module
from kilnlib.store import record_file as files
from kilnlib.store.class_book import ClassBook, hand_in, open_class_book
from kilnlib.store.csv_cells import harmless, unharmed
from kilnlib.store.record import FILE_NAME, Learner

FORMULAS = ["=1+1", "+1", "-1", "@SUM(A1)", "\t=1", " =1", "'=1", "''", "'", "\r=1", "#", '=HYPERLINK("x","y")']
HOSTILE = [*FORMULAS, "Robert'); DROP TABLE learners;--", "<script>", 'a,b\n"c"', "ü 中 \U0001f600", "x" * 150_000]
RUN = set("=+-@＝＋－＠\t\r")  # what a spreadsheet may run
SIGN = {"line": "weigh", "day": "2026-03-12", "place": "kiln 1", "seen_by": "MK", "times": "2", "initials": "MK"}


@pytest.fixture
def book(tmp_path):
    return ClassBook(tmp_path / "mill" / FILE_NAME)


def other(tmp_path, name="other"):
    return ClassBook(tmp_path / name / FILE_NAME)


def whole(path):
    """Every row of every table that a merge moves, in an order that does not hang on the machine."""
    with contextlib.closing(sqlite3.connect(path)) as db:
        assert db.execute("PRAGMA integrity_check").fetchone()[0] == "ok"
        tables = {"learners": "id, name", "events": record_module.TABLES["events"][0],
                  "sign_offs": record_module.TABLES["sign_offs"][0]}  # fmt: skip
        return {table: sorted(db.execute(f"SELECT {columns} FROM {table}")) for table, columns in tables.items()}


def fill(book):
    jt = book.sit_down("JT")
    book.answered("wood-a", "0.8", False, "MX02", page="01_water_in_wood", asked={"wet": 9.0})
    book.answered("wood-a", "80 %", True, page="01_water_in_wood")
    book.predicted("air-predict", "A", False, "MX09", page="02_air")
    book.ticked("fan", page="02_air")
    book.finished("02_air")
    book.sign(jt, **SIGN)
    return jt


# sign-offs ---------------------------------------------------------------------------------------------------------


def test_a_line_is_signed_with_all_that_belongs_to_it_and_can_be_taken_back(book):
    jt = fill(book)
    (signed,) = book.signed().values()
    assert signed == module.SignOff(jt.id, "weigh", date(2026, 3, 12), "kiln 1", "MK", 2, "MK")
    book.sign(jt, **SIGN | {"times": "3", "day": "3/13/2026"})
    assert book.signed()[jt.id, "weigh"].times == 3 and book.signed()[jt.id, "weigh"].day == date(2026, 3, 13)
    book.sign(jt, **SIGN | {"times": "0"})
    assert book.signed() == {} and len(whole(book.path)["sign_offs"]) == 3


@pytest.mark.parametrize(
    ("field", "typed", "says"),
    [
        ("day", "soon", "date"),
        ("day", f"{date.today() + timedelta(days=2):%Y-%m-%d}", "has not come yet"),
        ("times", "often", "no number of times"),
        ("times", "-1", "no number of times"),
        ("times", "1000", "no number of times"),
        ("place", " ", "where it was done"),
        ("seen_by", "x" * 81, "1 to 80 letters"),
        ("place", "‮", "where it was done"),
        ("initials", "", "Initials are enough"),
    ],
)
def test_what_cannot_be_signed_is_said_and_nothing_is_kept(book, field, typed, says):
    jt = fill(book)
    with pytest.raises(BadInput, match=says):
        book.sign(jt, **SIGN | {field: typed})
    assert len(whole(book.path)["sign_offs"]) == 1


def test_nobody_can_be_signed_for_who_is_not_there(book):
    fill(book)
    with pytest.raises(BadInput, match="no longer in the record"):
        book.sign(Learner("9" * 32, "ZZ"), **SIGN)


def test_files_of_the_first_two_versions_keep_all_they_hold_and_can_be_signed(tmp_path):
    for number, version in enumerate((VERSION_1, VERSION_2)):
        path = tmp_path / str(number) / FILE_NAME
        path.parent.mkdir()
        with contextlib.closing(sqlite3.connect(path)) as db:
            db.executescript(version)
        book = open_class_book(path)
        (tried,) = book.tried()
        assert (tried.question, tried.tries, tried.right, tried.misconception) == ("wood-a", 1, False, "MX02")
        assert book.answers()[0].asked == ({"wet": 9} if number else {})
        assert book.last_place() == ("02_air" if number else None)
        book.sign(book.learner(), **SIGN)
        assert [one.line for one in open_class_book(path).signed().values()] == ["weigh"]
        with contextlib.closing(sqlite3.connect(path)) as db:
            assert db.execute("PRAGMA user_version").fetchone()[0] == len(files.STEPS) == 3


# what is read ------------------------------------------------------------------------------------------------------


def test_tries_and_what_is_past(book):
    jt = fill(book)
    book.answered("air-a", "1", False, "MX09")
    tried = {one.question: one for one in book.tried()}
    assert (tried["wood-a"].tries, tried["wood-a"].rights, tried["wood-a"].right) == (2, 1, True)
    assert (tried["air-a"].tries, tried["air-a"].rights, tried["air-a"].right) == (1, 0, False)
    slips = {one.misconception: one for one in book.slips()}
    assert slips["MX02"].is_past({"wood-a"}) and not slips["MX02"].is_past({"wood-b"})
    assert slips["MX09"].times == 1 and not slips["MX09"].is_past({"air-a", "air-predict", "wood-a"})
    assert {one.learner for one in book.tried()} == {jt.id}


def test_the_last_wrong_answer_stays_known_after_a_right_one(book):
    jt = fill(book)
    before = {one.question for one in book.misses()}
    for typed, right in (("1", False), ("2", False), ("3", True)):
        book.answered("air-b", typed, right, asked={"t": 110})
    book.predicted("air-predict", "B", False)
    miss, *rest = book.misses()
    assert (miss.learner, miss.question, miss.typed, miss.asked) == (jt.id, "air-b", "2", {"t": 110})
    assert miss.right_since and {one.question for one in rest} == before, "a bet is no wrong answer"
    book.answered("air-b", "4", False)
    assert [(one.typed, one.right_since) for one in book.misses()[:1]] == [("4", False)]


def test_a_prediction_is_a_bet_and_shows_no_wrong_idea(book):
    fill(book)
    assert "MX09" not in {one.misconception for one in book.slips()}
    book.answered("air-a", "1", False, "MX09")
    book.predicted("air-predict", "B", True, page="02_air")
    (slip,) = (one for one in book.slips() if one.misconception == "MX09")
    assert not slip.is_past({"air-predict"}), "a bet that came true is no answer either"


def test_a_page_of_100000_answers_takes_less_than_a_second_of_processor_time(book):
    from kilnlib.questions import bank, class_tables

    people = [book.enroll(f"L{number}") for number in range(10)]
    names = [question.id for question in bank.all_questions()]
    moment = datetime(2026, 3, 12, tzinfo=UTC)
    rows = [
        (f"{number:032x}", people[number % 10].id, "answered", names[number * 7 % len(names)], "x", "80 %",
         int(number % 3 == 0), "MX02" if number % 3 == 1 else None, (moment + timedelta(minutes=number)).isoformat(),
         "{}")
        for number in range(100_000)
    ]  # fmt: skip
    assert book.take({"events": rows}) == 100_000
    class_tables.ideas()  # reads the question files once, as any page does
    started = time.process_time()  # the work itself: a busy machine must not fail the test
    opened = open_class_book(book.path)
    assert class_tables.glance(opened).shape[0] == 10
    assert len(class_tables.alive(opened)) > 0
    assert len(class_tables.missed(opened, date.today())) > 0
    seconds = time.process_time() - started
    assert seconds < 1.0, f"{seconds:.2f} s"


# CSV ---------------------------------------------------------------------------------------------------------------


def test_a_csv_carries_everything_and_twice_is_once(book, tmp_path):
    fill(book)
    there, file = other(tmp_path), tmp_path / "out.csv"
    file.write_bytes(book.csv())
    head = file.read_text("utf-8-sig").splitlines()[0].split(",")
    assert {"actor", "verb", "object", "result", "timestamp", "id"} <= set(head)
    assert there.take_csv(file) == 6 and there.take_csv(file) == 0
    assert whole(there.path) == whole(book.path)
    there.answered("wood-b", "1", True)
    file.write_bytes(there.csv())
    assert there.learner() and book.take_csv(file) == 1
    assert whole(there.path)["events"] == whole(book.path)["events"]


def test_ids_survive_renaming_a_changed_clock_and_a_restore(book, tmp_path, monkeypatch):
    jt = fill(book)
    first = tmp_path / "first.csv"
    first.write_bytes(book.csv())
    ids = [row[0] for row in whole(book.path)["events"]]
    book.rename(jt, "Jo")
    monkeypatch.setattr(record_module, "now", lambda: "1999-01-01T00:00:00.000+00:00")
    book.answered("wood-c", "1", True)
    kept = tmp_path / "backup.sqlite"
    book.backup(kept)
    restored = other(tmp_path)
    restored.restore(kept, tmp_path / "none.sqlite")
    assert restored.take_csv(first) == 0 and restored.learners() == [Learner(jt.id, "Jo")]
    assert set(ids) < {row[0] for row in whole(restored.path)["events"]} and whole(restored.path) == whole(book.path)
    assert [one.about for one in restored.answers()] == ["wood-a", "wood-a", "wood-c"]


def test_two_learners_with_the_same_initials_stay_two(book, tmp_path):
    jt, there = fill(book), other(tmp_path)
    twin = fill(there)
    file = tmp_path / "their.csv"
    file.write_bytes(there.csv())
    assert book.take_csv(file) == 6
    assert [one.name for one in book.learners()] == ["JT", "JT"] and jt.id != twin.id
    assert book.enroll("JT").id not in (jt.id, twin.id) and len(book.learners()) == 3
    assert {one.learner for one in book.tried()} == {jt.id, twin.id} and len(book.signed()) == 2


def test_a_learner_sits_down_by_who_they_are_and_not_by_a_name_that_two_have(book):
    first, second = book.enroll("JT"), book.enroll("JT")
    for who in (second, first, second):
        book.sit_down_as(who)
        assert book.learner() == who
    labels = book.labels()
    assert labels == {one.id: f"JT ({one.id[:4]})" for one in (first, second)}
    book.rename(first, "Ann")
    assert book.labels() == {first.id: "Ann", second.id: "JT"}
    with pytest.raises(BadInput, match="no longer in the record"):
        book.sit_down_as(Learner("9" * 32, "ZZ"))
    assert book.learner() == second


@pytest.mark.parametrize("words", HOSTILE, ids=lambda words: repr(words[:12]))
def test_hostile_words_come_back_and_no_cell_is_a_formula(book, tmp_path, words):
    who = book.enroll(" ".join(words.split())[:40].strip() if " ".join(words.split())[:40].isprintable() else "x")
    book._add("answered", words, words, words, False, words, {words: words})
    book.sign(who, **SIGN | {"place": "=1+1", "seen_by": "@x", "initials": "-x"})
    data = book.csv()
    with learning_csv._long_cells():
        cells = [cell for row in csv.reader(io.StringIO(data.decode("utf-8-sig"), newline="")) for cell in row]
    assert not [cell for cell in cells if {cell[:1], cell.lstrip()[:1]} & RUN]
    there, file = other(tmp_path), tmp_path / "out.csv"
    file.write_bytes(data)
    there.take_csv(file)
    assert whole(there.path) == whole(book.path)


@given(st.text())
@settings(max_examples=300, deadline=None)
def test_any_cell_comes_back(text):
    assert unharmed(harmless(text)) == text
    assert not {harmless(text)[:1], harmless(text).lstrip()[:1]} & RUN


BAD = {
    "id": "1", "timestamp": "yesterday", "actor": "JT", "verb": "won", "right": "maybe", "asked": "[1]",
}  # fmt: skip


@pytest.mark.parametrize("column", BAD)
def test_a_row_that_is_wrong_is_named_and_nothing_is_taken(book, tmp_path, column):
    fill(book)
    rows = list(csv.DictReader(io.StringIO(book.csv().decode("utf-8-sig"), newline="")))
    rows[1][column] = BAD[column]
    out = io.StringIO(newline="")
    writer = csv.DictWriter(out, learning_csv.COLUMNS)
    writer.writeheader()
    writer.writerows(rows)
    file, there = tmp_path / "spoiled.csv", other(tmp_path)
    file.write_text(out.getvalue(), encoding="utf-8")
    with pytest.raises(BadInput, match=f"row 3 has .* under “{column}”"):
        there.take_csv(file)
    assert there.learners() == []


@pytest.mark.parametrize("data", [b"", b"a,b\n1,2\n", b"\xff\xfe\x00", learning_csv.HEAD[:-2] + b',"open'])
def test_what_is_no_csv_of_ours_is_refused(book, tmp_path, data):
    file = tmp_path / "x.csv"
    file.write_bytes(data)
    with pytest.raises(BadInput, match="not taken in"):
        book.take_csv(file)


def test_an_empty_record_writes_a_heading(book, tmp_path):
    file = tmp_path / "empty.csv"
    file.write_bytes(book.csv())
    assert book.take_csv(file) == 0


# handing in --------------------------------------------------------------------------------------------------------


def test_what_is_handed_in_is_taken_in_without_sign_offs(book, tmp_path, monkeypatch):
    mine, drop = other(tmp_path), tmp_path / "drop"
    jt = fill(mine)
    monkeypatch.setenv(module.HAND_IN, str(drop))
    with pytest.raises(CannotSave, match="is not there"):
        hand_in(mine)
    drop.mkdir()
    path = hand_in(mine)
    assert path == drop / f"{jt.id}.csv" and b"signed" not in path.read_bytes()
    if os.name != "nt":
        assert stat.S_IMODE(path.stat().st_mode) & 0o037 == 0
    forged = drop / "forged.csv"
    forged.write_bytes(mine.csv())
    (drop / "broken.csv").write_text("no")
    taken = {file.name: one for file, one in book.take_handed_in(drop)}
    assert taken[path.name] == 5 and taken["forged.csv"] == 0 and isinstance(taken["broken.csv"], BadInput)
    assert book.signed() == {} and [one.name for one in book.learners()] == ["JT"]
    mine.answered("wood-b", "1", True)
    assert hand_in(mine) == path and sum(one for _, one in book.take_handed_in(drop) if isinstance(one, int)) == 1


@pytest.mark.skipif(os.name == "nt", reason="Windows keeps the rights of files in another way")
@pytest.mark.parametrize("umask", [0o022, 0o077])
def test_a_learner_drops_into_a_folder_that_cannot_be_listed_and_reads_nobody(umask):
    """The folder of README.md. As root two learners and a trainer, each a user of the system; elsewhere one learner."""
    root = os.geteuid() == 0
    learners, trainer, trainers = ([54321, 54322], 54323, 54320) if root else ([os.geteuid()], os.geteuid(), -1)
    with tempfile.TemporaryDirectory(dir="/tmp") as place:  # where any user may come by
        os.chmod(place, 0o755)
        drop, homes = Path(place) / "drop", [Path(place) / f"home {user}" for user in learners]
        drop.mkdir()
        os.chown(drop, -1, trainers)
        os.chmod(drop, 0o3773 if root else 0o1333)
        for user, home in zip(learners, homes, strict=True):
            home.mkdir()
            os.chown(home, user, -1)
            assert as_user(user, umask, lambda home=home: drops(home, drop)) == ""
        if not root:
            os.chmod(drop, 0o700)
        files_there = {path.stat().st_uid: path for path in drop.iterdir()}
        assert files_there.keys() == set(learners)
        for user, other_user in itertools.permutations(learners, 2):
            record = homes[learners.index(user)] / "First Charge" / FILE_NAME
            for work in (files_there[user].read_bytes, files_there[user].unlink, record.read_bytes):
                assert "PermissionError" in as_user(other_user, umask, work)
        if root:
            home = Path(place) / "trainer"
            home.mkdir()
            os.chown(home, trainer, -1)
            assert as_user(trainer, umask, lambda: takes(home, drop, len(learners)), [trainers]) == ""


def takes(home, drop, count):
    """The trainer, who belongs to the folder's group and does not own it, takes in every file."""
    book = ClassBook(home / FILE_NAME)
    assert [one for _, one in book.take_handed_in(drop)] == [5] * count


def drops(home, drop):
    """A learner answers, and hands in twice; the folder does not say what else lies in it."""
    os.environ[module.HAND_IN] = str(drop)
    mine = ClassBook(home / "First Charge" / FILE_NAME)
    fill(mine)
    assert hand_in(mine) == hand_in(mine)
    with pytest.raises(PermissionError):
        list(os.scandir(drop))
    assert {stat.S_IMODE(path.stat().st_mode) for path in (mine.path, mine.path.parent)} == {0o600, 0o700}


def as_user(user, umask, work, groups=()):
    """Do some work in a child that is this user and in no other groups; what it raised, or nothing."""
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        said = b""
        try:
            if os.geteuid() == 0:
                os.setgroups(groups)
                os.setgid(user)
                os.setuid(user)
            os.umask(umask)
            work()
        except BaseException as error:
            said = repr(error).encode()
        os.write(writing, said)
        os._exit(0)
    os.close(writing)
    with open(reading, encoding="utf-8") as pipe:
        said = pipe.read()
    os.waitpid(child, 0)
    return said


def test_nothing_is_handed_in_where_no_folder_is_named_or_nobody_sits(tmp_path, monkeypatch):
    mine = other(tmp_path)
    monkeypatch.setenv(module.HAND_IN, str(tmp_path))
    with pytest.raises(BadInput, match="nothing to hand in"):
        hand_in(mine)
    fill(mine)
    monkeypatch.delenv(module.HAND_IN)
    with pytest.raises(BadInput, match="nothing to hand in"):
        hand_in(mine)


# backup, restore, delete -------------------------------------------------------------------------------------------


def test_a_restore_keeps_what_was_there_and_is_whole_or_not_at_all(book, tmp_path):
    fill(book)
    backup, kept = tmp_path / "backup.sqlite", tmp_path / "kept.sqlite"
    book.backup(backup)
    before = whole(book.path)
    book.answered("wood-z", "1", True)
    later = whole(book.path)
    book.restore(backup, kept)
    assert whole(book.path) == before and whole(kept) == later
    for bad in (tmp_path / "missing.sqlite", tmp_path / "words.sqlite"):
        (tmp_path / "words.sqlite").write_text("words, and not a record" * 90)
        with pytest.raises(CannotSave, match="Nothing was changed"):
            book.restore(bad, kept)
    with pytest.raises(CannotSave, match="record itself"):
        book.restore(book.path, kept)
    assert whole(book.path) == before and not (tmp_path / "missing.sqlite").exists()


def test_a_backup_of_the_first_version_can_be_restored(book, tmp_path):
    old = tmp_path / "old.sqlite"
    with contextlib.closing(sqlite3.connect(old)) as db:
        db.executescript(VERSION_1)
    book.restore(old, tmp_path / "kept.sqlite")
    assert book.learner().name == "JT" and len(book.tried()) == 1


def test_a_backup_becomes_the_record_of_another_folder_and_never_over_one(book, tmp_path):
    fill(book)
    backup, there = tmp_path / "backup.sqlite", tmp_path / "new" / "folder" / FILE_NAME
    book.backup(backup)
    files.restore_elsewhere(backup, there)
    assert whole(there) == whole(book.path) == whole(backup)
    assert open_class_book(there).learner() == book.learner() and [*there.parent.iterdir()] == [there]
    if os.name == "posix":
        assert stat.S_IMODE(there.stat().st_mode) == 0o600
    book.answered("wood-z", "1", True)
    book.backup(backup)
    damaged, cut_off = tmp_path / "damaged" / FILE_NAME, tmp_path / "cut" / f"{FILE_NAME}-journal"
    for path, words in ((damaged, "words, and not a record" * 90), (cut_off, "what was under way")):
        path.parent.mkdir()
        path.write_text(words)
    for taken in (there, book.path, damaged, cut_off.with_name(FILE_NAME)):
        before = {path: path.read_bytes() for path in taken.parent.iterdir()}
        with pytest.raises(CannotSave, match="holds a record already"):
            files.restore_elsewhere(backup, taken)
        assert {path: path.read_bytes() for path in taken.parent.iterdir()} == before
    with pytest.raises(CannotSave, match="Nothing was changed"):
        files.restore_elsewhere(tmp_path / "missing.sqlite", tmp_path / "elsewhere" / FILE_NAME)
    with pytest.raises(CannotSave, match="could not be written"):
        files.restore_elsewhere(backup, backup / FILE_NAME)
    assert not (tmp_path / "elsewhere").exists()


def test_a_stick_that_knows_no_links_gets_the_record_too(book, tmp_path, monkeypatch):
    fill(book)
    book.backup(tmp_path / "backup.sqlite")

    def no_links(*_):
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr(os, "link", no_links)
    there = tmp_path / "stick" / FILE_NAME
    files.restore_elsewhere(tmp_path / "backup.sqlite", there)
    assert whole(there) == whole(book.path) and [*there.parent.iterdir()] == [there]
    with pytest.raises(CannotSave, match="holds a record already"):
        files.restore_elsewhere(tmp_path / "backup.sqlite", there)


def test_a_restore_waits_for_a_page_that_writes_and_then_says_so(book, tmp_path, monkeypatch):
    fill(book)
    book.backup(tmp_path / "backup.sqlite")
    monkeypatch.setattr(files, "WAIT_S", 0.1)
    with contextlib.closing(sqlite3.connect(book.path, isolation_level=None)) as page:
        page.execute("BEGIN IMMEDIATE")
        with pytest.raises(CannotSave, match="writing for too long"):
            book.restore(tmp_path / "backup.sqlite", tmp_path / "kept.sqlite")


def test_who_is_deleted_is_gone_from_the_file_and_no_merge_brings_them_back(book, tmp_path):
    mk = book.sit_down("Marlene Kowalczyk")
    book.answered("wood-a", "a very particular answer", False, "MX02")
    book.leave("place", "a very particular place")
    book.sign(mk, **SIGN | {"place": "a very particular shed"})
    jt = book.sit_down("JT")
    book.answered("wood-a", "80", True)
    csv_before, sqlite_before = tmp_path / "before.csv", tmp_path / "before.sqlite"
    csv_before.write_bytes(book.csv())
    book.backup(sqlite_before)
    kept = tmp_path / "kept.sqlite"
    assert book.count_of(mk) == 2
    book.delete(mk, kept)
    assert book.learners() == [jt] and len(book.answers()) == 1 and book.signed() == {}
    assert b"particular" not in book.path.read_bytes() and b"Marlene" not in book.path.read_bytes()
    assert [one.name for one in ClassBook(kept).learners()] == ["JT", "Marlene Kowalczyk"]
    assert book.take_csv(csv_before) == 0 and book.merge(sqlite_before) == 0 and book.learners() == [jt]
    book.delete(jt, kept)
    assert book.learner() is None and book.learners() == []
    book.answered("wood-a", "1", True)
    assert book.learner().name == "" and book.learner().id not in (jt.id, mk.id)


def test_nobody_is_deleted_where_the_backup_fails(book, tmp_path):
    jt = fill(book)
    (tmp_path / "file").write_text("a file is no folder")
    with pytest.raises(CannotSave, match="as it was"):
        book.delete(jt, tmp_path / "file" / "kept.sqlite")
    assert book.learners() == [jt] and len(book.signed()) == 1


# the disk ----------------------------------------------------------------------------------------------------------

WORK = """
import os, sys
from pathlib import Path
from kilnlib.store.class_book import ClassBook, hand_in
from kilnlib.store.record_file import restore_elsewhere
book, what, folder = ClassBook(Path(sys.argv[1])), sys.argv[2], Path(sys.argv[3])
who = book.learner()
print("ready", flush=True)
for number in range(100000):
    if what == "sign":
        book.sign(who, "weigh", "2026-03-12", "kiln 1", "MK", "1", "MK")
    elif what == "take_csv":
        book.take_csv(folder / "in.csv")
        book.delete(next(one for one in book.learners() if one.name == "MK"), folder / "kept.sqlite")
    elif what == "restore":
        book.restore(folder / ("one.sqlite", "two.sqlite")[number % 2], folder / "kept.sqlite")
    elif what == "restore_elsewhere":
        restore_elsewhere(folder / "two.sqlite", folder / f"{os.getpid()} {number}" / "record.sqlite")
    elif what == "delete":
        other = book.enroll("other")
        book.rename(other, "another")
        book.leave("02_air/panel", number)
        book.delete(other, folder / "kept.sqlite")
    elif what == "copies":
        book.backup(folder / "copy.sqlite")
        hand_in(book)
    print(number, flush=True)
"""


@pytest.mark.skipif(os.name == "nt", reason="Windows has no kill -9")
@pytest.mark.parametrize("what", ["sign", "take_csv", "restore", "restore_elsewhere", "delete", "copies"])
def test_killed_while_the_trainer_works_the_record_stays_whole(book, tmp_path, what, monkeypatch):
    (tmp_path / "drop").mkdir()
    monkeypatch.setenv(module.HAND_IN, str(tmp_path / "drop"))
    fill(book)
    book.backup(tmp_path / "one.sqlite")
    one = whole(book.path)
    book.answered("wood-b", "2", True)
    book.backup(tmp_path / "two.sqlite")
    two = whole(book.path)
    there = other(tmp_path)
    there.sit_down("MK")
    for number in range(300):
        there._add("answered", f"wood-{number}", "", "80 " * 20, True)
    (tmp_path / "in.csv").write_bytes(there.csv())
    chance, said = random.Random(23), 0
    for _ in range(6):
        command = [sys.executable, "-c", WORK, str(book.path), what, str(tmp_path)]
        with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as worker:
            assert worker.stdout.readline() == "ready\n"
            time.sleep(chance.uniform(0.0, 0.15))
            worker.send_signal(signal.SIGKILL)
            said += sum(line.endswith("\n") for line in worker.stdout)
        opened = open_class_book(book.path)
        assert opened.notice is None
        now = whole(book.path)
        mine = {table: [row for row in rows if row in two[table]] for table, rows in now.items()}
        if what == "restore":
            assert now in (one, two)
        else:
            assert mine["events"] == two["events"] and mine["learners"] == two["learners"]
        if what == "sign":
            assert said <= len(now["sign_offs"]) - 1
        if what == "take_csv":  # all of it, or nothing
            assert len(now["events"]) - len(two["events"]) in (0, 300)
        if what == "restore_elsewhere":
            assert all(whole(path) == two for path in tmp_path.glob("* */record.sqlite"))
            made = len(list(tmp_path.glob("* */record.sqlite")))
            assert said <= made
        if what == "copies":  # each is there whole, or not yet
            for copy in tmp_path.glob("copy.sqlite"):
                assert whole(copy) == two
            for file in (tmp_path / "drop").glob("*.csv"):
                assert file.read_bytes() == book.csv(book.learner(), with_sign_offs=False)
    assert said or what not in ("sign", "restore_elsewhere")


def test_a_disk_that_is_full_refuses_each_in_words_and_loses_nothing(book, tmp_path, monkeypatch):
    jt = fill(book)
    before = whole(book.path)
    there = other(tmp_path)
    for number in range(50):
        there._add("answered", f"wood-{number}", "", "x" * 4000, True)
    (tmp_path / "in.csv").write_bytes(there.csv())
    there.backup(tmp_path / "big.sqlite")
    connect = files.connect

    def small(path, mode="rw"):
        db = connect(path, mode)
        if path == book.path:
            db.execute("PRAGMA max_page_count = 14")
        return db

    monkeypatch.setattr(files, "connect", small)
    for work in (
        lambda: book.take_csv(tmp_path / "in.csv"),
        lambda: book.merge(tmp_path / "big.sqlite"),
        lambda: [book.sign(jt, **SIGN | {"place": "x" * 80}) for _ in range(5000)],
        lambda: [book.enroll("x" * 40) for _ in range(5000)],
        lambda: [book.leave(f"02_air/{number}", "x" * 80) for number in range(5000)],
    ):
        with pytest.raises(CannotSave, match="the disk is full"):
            work()
        after = whole(book.path)
        assert all(set(before[table]) <= set(after[table]) for table in before)
        assert after["events"] == before["events"]


@pytest.mark.skipif(not may_mount(), reason="a small disk can be mounted by root only")
def test_a_disk_that_is_really_full_restores_nothing_by_halves(tmp_path, monkeypatch):
    disk = tmp_path / "disk"
    disk.mkdir()
    subprocess.run(["mount", "-t", "tmpfs", "-o", "size=200k", "none", disk], check=True)
    try:
        (disk / "drop").mkdir()
        monkeypatch.setenv(module.HAND_IN, str(disk / "drop"))
        book, big = ClassBook(disk / FILE_NAME), other(tmp_path)
        fill(book)
        before = whole(book.path)
        for number in range(60):
            big._add("answered", f"wood-{number}", "", "x" * 4000, True)
        big.backup(tmp_path / "big.sqlite")
        with pytest.raises(CannotSave, match="could not be written"):
            book.restore(tmp_path / "big.sqlite", tmp_path / "kept.sqlite")
        with pytest.raises(CannotSave, match="could not be written"):
            files.restore_elsewhere(tmp_path / "big.sqlite", disk / "new" / FILE_NAME)
        assert list((disk / "new").iterdir()) == []
        assert whole(book.path) == before and open_class_book(book.path).notice is None
        (disk / "filler").write_bytes(b"x" * (shutil.disk_usage(disk).free - 4096))
        with pytest.raises(CannotSave):
            book.delete(book.learner(), disk / "kept.sqlite")
        assert whole(book.path) == before
        (disk / "last").write_bytes(b"x" * shutil.disk_usage(disk).free)
        with pytest.raises(CannotSave, match="No space left"):
            hand_in(book)
        assert list((disk / "drop").iterdir()) == []
    finally:
        subprocess.run(["umount", disk], check=True)


def test_json_of_what_was_asked_is_read_back(book, tmp_path):
    fill(book)
    file, there = tmp_path / "x.csv", other(tmp_path)
    file.write_bytes(book.csv())
    there.take_csv(file)
    (row,) = [row for row in whole(there.path)["events"] if row[9]]
    assert json.loads(row[9]) == {"wet": 9.0}
