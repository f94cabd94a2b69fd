"""A SQLite file of the user's that stays whole: made private, brought up to date in steps, set aside when damaged.

A connection lasts for one reading or one transaction, so nothing is held open while nothing is done, and several
kernels may write at once.
"""

import contextlib
import os
import sqlite3
from collections.abc import Callable
from datetime import datetime
from pathlib import Path
from typing import Any

from kilnlib.errors import CannotSave
from kilnlib.store.files import PRIVATE, make_folder, put_beside
from kilnlib.words import TEXT

WAIT_S = 5.0  # how long one kernel waits for another that is writing
OURS = 0x46434852  # SQLite's application id of our files: "FCHR"
DAMAGED = {sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB}

# Step n brings a file of version n to version n + 1. A step that was ever released is never changed: add one.
STEPS = (
    (
        f"PRAGMA application_id = {OURS}",
        "CREATE TABLE learners (id TEXT PRIMARY KEY, name TEXT NOT NULL, named_at TEXT NOT NULL)",
        "CREATE TABLE events (number INTEGER PRIMARY KEY AUTOINCREMENT, id TEXT NOT NULL UNIQUE, "
        "learner TEXT NOT NULL, verb TEXT NOT NULL, about TEXT NOT NULL, page TEXT NOT NULL, typed TEXT, "
        "is_right INTEGER, misconception TEXT, at TEXT NOT NULL)",
        "CREATE INDEX events_of_a_learner ON events (learner, verb, about)",
        "CREATE TABLE machine (key TEXT PRIMARY KEY, value TEXT NOT NULL)",
    ),
    (
        "ALTER TABLE events ADD COLUMN asked TEXT",
        "CREATE TABLE left_as (learner TEXT NOT NULL, what TEXT NOT NULL, value TEXT NOT NULL, at TEXT NOT NULL, "
        "PRIMARY KEY (learner, what))",
    ),
    (
        "CREATE TABLE sign_offs (number INTEGER PRIMARY KEY AUTOINCREMENT, id TEXT NOT NULL UNIQUE, "
        "learner TEXT NOT NULL, line TEXT NOT NULL, day TEXT NOT NULL, place TEXT NOT NULL, seen_by TEXT NOT NULL, "
        "times INTEGER NOT NULL, initials TEXT NOT NULL, at TEXT NOT NULL)",
        "CREATE TABLE gone (learner TEXT PRIMARY KEY, at TEXT NOT NULL)",  # who was deleted stays deleted in a merge
    ),
)


class Damaged(Exception):
    """The file is no record that can be read."""


class RecordFile:
    """The file under a record: `read` and `write` raise CannotSave with a sentence, or do the whole of their work."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.notice = None  # what has to be said about a file that was set aside

    def read(self, work: Callable[[sqlite3.Connection], Any]) -> Any:
        """What `work(connection)` reads; None where there is no record yet."""
        return self._do(work) if self.path.exists() else None

    def write(self, work: Callable[[sqlite3.Connection], Any]) -> Any:
        """Do `work(connection)` as one transaction: when this returns, it is on the disk."""

        def whole(db):
            db.execute("BEGIN IMMEDIATE")
            done = work(db)
            db.execute("COMMIT")
            return done

        _make(self.path)
        return self._do(whole)

    def _do(self, work):
        try:
            return self._try(work)
        except Damaged:
            self._set_aside()
        _make(self.path)
        try:
            return self._try(work)
        except Damaged as error:
            raise CannotSave("record_not_saved", path=self.path, reason=TEXT["record.why.11"]) from error

    def _try(self, work):
        try:
            with contextlib.closing(connect(self.path)) as db:
                bring_up_to_date(db, self.path)
                return work(db)
        except sqlite3.DatabaseError as error:
            if _code(error) in DAMAGED:
                raise Damaged from error
            raise CannotSave("record_not_saved", path=self.path, reason=_reason(error)) from error

    def _set_aside(self):
        """Give a damaged file another name, unless another kernel has already begun a new one."""
        if _is_whole(self.path):
            return
        stem = f"record_damaged_{datetime.now():%Y-%m-%d_%H%M%S}_{os.getpid()}"
        kept = self.path.with_name(f"{stem}.sqlite")
        try:
            for tail in ("-journal", ""):  # the journal first: beside a new record it would be taken for its own
                old = self.path.with_name(self.path.name + tail)
                if old.exists():
                    old.replace(kept.with_name(kept.name + tail))
        except OSError as error:
            raise CannotSave("record_not_saved", path=self.path, reason=_reason(error)) from error
        self.notice = CannotSave("record_set_aside", path=self.path, kept=kept.name)

    def backup(self, path: str | Path) -> None:
        """Write a whole copy to another file; what lies there stays until the copy is complete."""
        path = Path(path)
        if path.exists() and self.path.exists() and path.samefile(self.path):
            raise CannotSave("record_itself", path=path)
        self.read(check)  # brings a file of an older version up to date, and sets a damaged one aside
        waiting = path.with_name(f".{path.name}.{os.getpid()}.tmp")
        try:
            _make(self.path)
            _make(waiting)
            with contextlib.closing(connect(self.path)) as db, contextlib.closing(connect(waiting)) as copy:
                db.backup(copy)
            waiting.replace(path)
        except (OSError, sqlite3.Error) as error:
            raise CannotSave("record_copy", path=path, reason=_reason(error)) from error
        finally:
            with contextlib.suppress(OSError):
                waiting.unlink(missing_ok=True)

    def restore(self, path: str | Path, kept: str | Path) -> None:
        """Take all of a backup in place of what is here, which first goes to the copy `kept`; whole or not at all."""
        path = Path(path).absolute()
        if path.exists() and self.path.exists() and path.samefile(self.path):
            raise CannotSave("record_itself", path=path)
        with contextlib.closing(copy_of(path)) as copy:
            if self.path.exists():
                self.backup(kept)
            self.write(lambda db: None)  # a page that holds the file is waited for so long, and no longer
            try:
                with contextlib.closing(connect(self.path)) as db:
                    copy.backup(db)
            except sqlite3.Error as error:
                raise CannotSave("record_not_saved", path=self.path, reason=_reason(error)) from error


def restore_elsewhere(backup: Path, path: Path) -> None:
    """Make a backup the record at `path`, where none may lie; whole or not at all. The backup is only read.

    Raises CannotSave with a sentence.
    """
    waiting = path.with_name(f".{path.name}.{os.getpid()}.tmp")
    with contextlib.closing(copy_of(backup.absolute())) as copy:
        try:
            if path.with_name(f"{path.name}-journal").exists():  # what a program that was cut off has left of a record
                raise FileExistsError
            _make(waiting)
            with contextlib.closing(connect(waiting)) as db:
                copy.backup(db)
            put_beside(waiting, path)
        except FileExistsError as error:
            raise CannotSave("record_there", path=path.parent) from error
        except (OSError, sqlite3.Error) as error:
            raise CannotSave("record_copy", path=path, reason=_reason(error)) from error
        finally:
            with contextlib.suppress(OSError):
                waiting.unlink(missing_ok=True)


def copy_of(path: Path) -> sqlite3.Connection:
    """Another record as a copy in memory, checked and brought up to date; the file is only read. Raises CannotSave."""
    copy = sqlite3.connect(":memory:", isolation_level=None)
    try:
        with contextlib.closing(connect(path, "ro")) as other:
            other.backup(copy)
        if not version_of(copy, path):
            raise Damaged
        check(copy)
        bring_up_to_date(copy, path)
    except (sqlite3.Error, Damaged, OSError) as error:
        copy.close()
        if isinstance(error, CannotSave):
            raise
        raise CannotSave("record_other", path=path) from error
    return copy


def connect(path: Path, mode: str = "rw") -> sqlite3.Connection:
    """A connection that is sure of each transaction before it says so; to a file that is there."""
    db = sqlite3.connect(f"{path.absolute().as_uri()}?mode={mode}", uri=True, timeout=WAIT_S, isolation_level=None)
    try:
        db.execute("PRAGMA trusted_schema = OFF")
        db.execute("PRAGMA synchronous = FULL")
        if mode == "rw":
            # No write-ahead log: it fails on network drives, and one file must hold everything.
            db.execute("PRAGMA journal_mode = DELETE")
    except sqlite3.Error:
        db.close()
        raise
    return db


def _make(path):
    """An empty file that only its user may read, and its folder, where there is none; one that others may read, as a
    copy from a stick is, is closed to them."""
    try:
        make_folder(path.parent)
        try:
            os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, PRIVATE))
        except FileExistsError:
            if os.name == "posix" and path.stat().st_mode & 0o077:
                with contextlib.suppress(OSError):  # another user's, or a stick that knows no rights
                    path.chmod(PRIVATE)
    except OSError as error:
        raise CannotSave("record_not_saved", path=path, reason=_reason(error)) from error


def bring_up_to_date(db: sqlite3.Connection, path: Path) -> None:
    """Take a new or an old file through the steps it lacks, all at once or not at all."""
    if version_of(db, path) == len(STEPS):
        return
    db.execute("BEGIN IMMEDIATE")
    version = version_of(db, path)  # again: another kernel may have been quicker
    for step in STEPS[version:]:
        for statement in step:
            db.execute(statement)
    db.execute(f"PRAGMA user_version = {len(STEPS)}")
    db.execute("COMMIT")


def version_of(db: sqlite3.Connection, path: Path) -> int:
    """How many steps a file has taken; raises Damaged where it is none of ours, CannotSave where it is newer."""
    version = db.execute("PRAGMA user_version").fetchone()[0]
    mark = db.execute("PRAGMA application_id").fetchone()[0]
    if mark != OURS and (version or mark or db.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]):
        raise Damaged
    if version > len(STEPS):
        raise CannotSave("record_newer", path=path)
    return version


def check(db: sqlite3.Connection) -> None:
    """Read the file once through; raises Damaged."""
    if db.execute("PRAGMA quick_check(1)").fetchone()[0] != "ok":
        raise Damaged


def _is_whole(path):
    try:
        with contextlib.closing(connect(path)) as db:
            version_of(db, path)
            check(db)
    except CannotSave:
        return True
    except (Damaged, sqlite3.DatabaseError) as error:
        return not (isinstance(error, Damaged) or _code(error) in DAMAGED)
    return True


def _code(error):
    """The number of an error: the low byte of SQLite's, whose other bytes say where it was met."""
    return (getattr(error, "sqlite_errorcode", None) or 0) & 0xFF


def _reason(error):
    """Why something was not written, in a word or two."""
    if isinstance(error, CannotSave):
        return error.fields["reason"]
    if isinstance(error, OSError):
        return error.strerror or str(error)
    return TEXT.get(f"record.why.{_code(error)}", TEXT["record.why.other"])
