"""The record: what each learner answered, predicted, ticked and finished, and how they left a page.

One SQLite file in the user's folder. What happened is a row that is only ever added, with an id that holds in the whole
world: so two kernels may write at once, and records of two machines merged twice are merged once. A connection lasts
for one reading or one transaction, so nothing is held open while nothing is done.
"""

import contextlib
import json
import os
import sqlite3
import unicodedata
import uuid
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from kilnlib.errors import BadInput, CannotSave
from kilnlib.store.kiln import user_folder
from kilnlib.words import TEXT

FILE_NAME = "record.sqlite"
WAIT_S = 5.0  # how long one kernel waits for another that is writing
OURS = 0x46434852  # SQLite's application id of our files: "FCHR"
DAMAGED = {sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB}

# Step n brings a file of version n to version n + 1. A step that was ever released is never changed: add one.
STEPS = (
    (
        f"PRAGMA application_id = {OURS}",
        "CREATE TABLE learners (id TEXT PRIMARY KEY, name TEXT NOT NULL, named_at TEXT NOT NULL)",
        "CREATE TABLE events (number INTEGER PRIMARY KEY AUTOINCREMENT, id TEXT NOT NULL UNIQUE, learner TEXT NOT NULL, "
        "verb TEXT NOT NULL, about TEXT NOT NULL, page TEXT NOT NULL, typed TEXT, is_right INTEGER, "
        "misconception TEXT, at TEXT NOT NULL)",
        "CREATE INDEX events_of_a_learner ON events (learner, verb, about)",
        "CREATE TABLE machine (key TEXT PRIMARY KEY, value TEXT NOT NULL)",
    ),
    (
        "ALTER TABLE events ADD COLUMN asked TEXT",
        "CREATE TABLE left_as (learner TEXT NOT NULL, what TEXT NOT NULL, value TEXT NOT NULL, at TEXT NOT NULL, "
        "PRIMARY KEY (learner, what))",
    ),
)
TABLES = {  # what a merge takes, and which rows of ours it leaves alone
    "learners": ("id, name, named_at", "(id) DO UPDATE SET name = excluded.name, named_at = excluded.named_at "
                 "WHERE excluded.named_at > named_at"),
    "events": ("id, learner, verb, about, page, typed, is_right, misconception, at, asked", "(id) DO NOTHING"),
    "left_as": ("learner, what, value, at", "(learner, what) DO NOTHING"),
}  # fmt: skip


@dataclass(frozen=True)
class Learner:
    """Who sits at this machine: an id for ever, and the name typed once ("" before that)."""

    id: str
    name: str


@dataclass(frozen=True)
class Event:
    """One thing a learner did: `verb` ("answered", "predicted", "ticked" …) and what it was about, on which page.

    `right` is None where nothing was judged; `asked` are the numbers a question had; `at` is a moment in UTC.
    """

    verb: str
    about: str
    page: str
    typed: str | None
    right: bool | None
    misconception: str | None
    asked: dict
    at: datetime


class _Damaged(Exception):
    """The file is no record that can be read."""


def record_file():
    """Where the record lies, or will lie."""
    return user_folder() / FILE_NAME


def open_record(path=None):
    """The record of this user's folder; a file that cannot be read is set aside, and `notice` says so.

    Nothing is made before something is written. Raises CannotSave with a sentence where the file was written by a newer
    workbook or cannot be reached.
    """
    record = Record(Path(path) if path else record_file())
    record._read(_check)
    return record


class Record:
    """A record; each method is one reading or one transaction. Any of them may raise CannotSave with a sentence."""

    def __init__(self, path):
        self.path = path
        self.notice = None  # what has to be said about a file that was set aside

    # who ----------------------------------------------------------------------------------------------------------

    def learner(self):
        """Who sits here, or None while nothing was ever written."""
        return self._read(_learner)

    def learners(self):
        """Everybody in this record, by name."""
        rows = self._read(lambda db: db.execute("SELECT id, name FROM learners ORDER BY name, id").fetchall())
        return [Learner(*row) for row in rows or ()]

    def sit_down(self, name):
        """From now on the learner of that name sits here; a name typed first belongs to what was done before it."""
        name = _clean(" ".join(unicodedata.normalize("NFC", name).split()))
        if not (name and len(name) <= 40 and name.isprintable()):
            raise BadInput("learner_name")

        def work(db):
            known = [who for who in db.execute("SELECT id, name FROM learners ORDER BY rowid").fetchall() if who[1]]
            found = next((who for who in known if who[1].casefold() == name.casefold()), None)
            now = _learner(db)
            if found is None and (now is None or now.name):
                found = _enroll(db, name)
            elif found is None:
                db.execute("UPDATE learners SET name = ?, named_at = ? WHERE id = ?", (name, _now(), now.id))
                found = now.id, name
            _put(db, "learner", found[0])
            return Learner(*found)

        return self._write(work)

    # what happened ------------------------------------------------------------------------------------------------

    def answered(self, question, typed, right, misconception=None, page="", asked=None):
        """Keep one try at a question."""
        self._add("answered", question, page, typed, right, misconception, asked)

    def predicted(self, question, typed, right, misconception=None, page="", asked=None):
        """Keep a prediction."""
        self._add("predicted", question, page, typed, right, misconception, asked)

    def ticked(self, item, on=True, page=""):
        """Keep a tick of a checklist, or that it was taken away."""
        self._add("ticked" if on else "unticked", item, page)

    def finished(self, part, page=""):
        """Keep that a lesson or a part of one is done; the first time counts."""
        if part not in self.done():
            self._add("finished", part, page)

    def events(self, *verbs, about=None, page=None):
        """Everything of some verbs that this learner did, in the order it was written down."""

        def work(db):
            who = _learner(db)
            if who is None:
                return []
            conditions = ["learner = ?", f"verb IN ({', '.join('?' * len(verbs))})"]
            values = [who.id, *verbs]
            for column, wanted in (("about", about), ("page", page)):
                if wanted is not None:
                    conditions.append(f"{column} = ?")
                    values.append(wanted)
            columns = "verb, about, page, typed, is_right, misconception, asked, at"
            return db.execute(f"SELECT {columns} FROM events WHERE {' AND '.join(conditions)} ORDER BY number", values)

        return self._read(lambda db: [_event(row) for row in work(db)]) or []

    def answers(self, question=None, page=None):
        """Every try at a question (or at all), oldest first."""
        return self.events("answered", about=question, page=page)

    def prediction(self, question, page=""):
        """The last prediction on a page, or None."""
        found = self.events("predicted", about=question, page=page)
        return found[-1] if found else None

    def ticks(self, page=""):
        """The items of a page's checklists that are ticked now."""
        last = {event.about: event.verb for event in self.events("ticked", "unticked", page=page)}
        return {item for item, verb in last.items() if verb == "ticked"}

    def done(self):
        """What is done, and when it first was."""
        done = {}
        for event in self.events("finished"):
            done.setdefault(event.about, event.at)
        return done

    # how things were left -----------------------------------------------------------------------------------------

    def leave(self, what, value):
        """Keep how something was left (any value that JSON can hold), in place of how it was left before."""
        words = json.dumps(value, ensure_ascii=True)

        def work(db):
            who = _learner(db) or Learner(*_enroll(db, ""))
            db.execute(
                "INSERT INTO left_as VALUES (?, ?, ?, ?) ON CONFLICT (learner, what) "
                "DO UPDATE SET value = excluded.value, at = excluded.at",
                (who.id, _clean(what), words, _now()),
            )

        self._write(work)

    def left(self, what):
        """How something was left, or None."""

        def work(db):
            who = _learner(db)
            query = "SELECT value FROM left_as WHERE learner = ? AND what = ?"
            return who and db.execute(query, (who.id, _clean(what))).fetchone()

        row = self._read(work)
        return json.loads(row[0]) if row else None

    def opened(self, page):
        """Keep that a page was opened: this is where one stopped last."""
        self.leave("place", page)

    def last_place(self):
        """The page that was opened last, or None."""
        return self.left("place")

    # the file -----------------------------------------------------------------------------------------------------

    def backup(self, path):
        """Write a whole copy to another file; what lies there stays until the copy is complete."""
        path = Path(path)
        if path.exists() and self.path.exists() and path.samefile(self.path):
            raise CannotSave("record_itself", path=path)
        self.learner()  # brings a file of an older version up to date, and sets a damaged one aside
        waiting = path.with_name(f".{path.name}.{os.getpid()}.tmp")
        try:
            _make(self.path)
            _make(waiting)
            with contextlib.closing(_connect(self.path)) as db, contextlib.closing(_connect(waiting)) as copy:
                db.backup(copy)
            waiting.replace(path)
        except (OSError, sqlite3.Error) as error:
            raise CannotSave("record_copy", path=path, reason=_reason(error)) from error
        finally:
            with contextlib.suppress(OSError):
                waiting.unlink(missing_ok=True)

    def merge(self, path):
        """Take in another record; returns how many events were new. The other file is only read."""
        path = Path(path).absolute()
        try:
            rows, theirs = _rows_of(path)
        except (sqlite3.Error, _Damaged, OSError) as error:
            if isinstance(error, CannotSave):
                raise
            raise CannotSave("record_other", path=path) from error

        def work(db):
            before = db.execute("SELECT count(*) FROM events").fetchone()[0]
            for table, (columns, known) in TABLES.items():
                places = ", ".join("?" * len(columns.split(", ")))
                db.executemany(f"INSERT INTO {table} ({columns}) VALUES ({places}) ON CONFLICT {known}", rows[table])
            if theirs and _learner(db) is None:
                _put(db, "learner", theirs.id)
            return db.execute("SELECT count(*) FROM events").fetchone()[0] - before

        return self._write(work)

    def _add(self, verb, about, page, typed=None, right=None, misconception=None, asked=None):
        row = [None if words is None else _clean(str(words)) for words in (about, page, typed, misconception)]
        right, asked = None if right is None else int(right), json.dumps(asked, default=str) if asked else None

        def work(db):
            who = _learner(db) or Learner(*_enroll(db, ""))
            about, page, typed, misconception = row
            values = (_new_id(), who.id, verb, about, page, typed, right, misconception, _now(), asked)
            db.execute(f"INSERT INTO events ({TABLES['events'][0]}) VALUES ({', '.join('?' * 10)})", values)

        self._write(work)

    def _read(self, work):
        """What `work(connection)` reads; None where there is no record yet."""
        return self._do(work) if self.path.exists() else None

    def _write(self, work):
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
        except _Damaged:
            self._set_aside()
        _make(self.path)
        try:
            return self._try(work)
        except _Damaged as error:
            raise CannotSave("record_not_saved", path=self.path, reason=TEXT["record.why.11"]) from error

    def _try(self, work):
        try:
            with contextlib.closing(_connect(self.path)) as db:
                _bring_up_to_date(db, self.path)
                return work(db)
        except sqlite3.DatabaseError as error:
            if _code(error) in DAMAGED:
                raise _Damaged from error
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


# SQLite ------------------------------------------------------------------------------------------------------------


def _connect(path, mode="rw"):
    db = sqlite3.connect(f"{path.absolute().as_uri()}?mode={mode}", uri=True, timeout=WAIT_S, isolation_level=None)
    try:
        db.execute("PRAGMA trusted_schema = OFF")
        db.execute("PRAGMA synchronous = FULL")
        if mode == "rw":
            db.execute("PRAGMA journal_mode = DELETE")  # no WAL: homes lie on networks, and one file must be the whole
    except sqlite3.Error:
        db.close()
        raise
    return db


def _make(path):
    """An empty file that only its user may read, and its folder, where there is none."""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with contextlib.suppress(FileExistsError):
            os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, 0o600))
    except OSError as error:
        raise CannotSave("record_not_saved", path=path, reason=_reason(error)) from error


def _bring_up_to_date(db, path):
    """Take a new or an old file through the steps it lacks, all at once or not at all."""
    if _version(db, path) == len(STEPS):
        return
    db.execute("BEGIN IMMEDIATE")
    version = _version(db, path)  # again: another kernel may have been quicker
    for step in STEPS[version:]:
        for statement in step:
            db.execute(statement)
    db.execute(f"PRAGMA user_version = {len(STEPS)}")
    db.execute("COMMIT")


def _version(db, path):
    version = db.execute("PRAGMA user_version").fetchone()[0]
    mark = db.execute("PRAGMA application_id").fetchone()[0]
    if mark != OURS and (version or mark or db.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]):
        raise _Damaged
    if version > len(STEPS):
        raise CannotSave("record_newer", path=path)
    return version


def _check(db):
    if db.execute("PRAGMA quick_check(1)").fetchone()[0] != "ok":
        raise _Damaged


def _is_whole(path):
    try:
        with contextlib.closing(_connect(path)) as db:
            _version(db, path)
            _check(db)
    except CannotSave:
        return True
    except (_Damaged, sqlite3.DatabaseError) as error:
        return not (isinstance(error, _Damaged) or _code(error) in DAMAGED)
    return True


def _rows_of(path):
    """The rows of another record by table, and who sits there; read from a copy in memory, brought up to date."""
    with contextlib.closing(_connect(path, "ro")) as other, contextlib.closing(sqlite3.connect(":memory:")) as copy:
        copy.isolation_level = None
        other.backup(copy)
        if not _version(copy, path):
            raise _Damaged
        _check(copy)
        _bring_up_to_date(copy, path)
        rows = {}
        for table, (columns, _) in TABLES.items():
            rows[table] = copy.execute(f"SELECT {columns} FROM {table} ORDER BY rowid").fetchall()
        return rows, _learner(copy)


def _code(error):
    return (getattr(error, "sqlite_errorcode", None) or 0) & 0xFF  # the low byte: the rest says where


def _reason(error):
    """Why something was not written, in a word or two."""
    if isinstance(error, CannotSave):
        return error.fields["reason"]
    if isinstance(error, OSError):
        return error.strerror or str(error)
    return TEXT.get(f"record.why.{_code(error)}", TEXT["record.why.other"])


def _learner(db):
    query = "SELECT id, name FROM learners JOIN machine ON value = id WHERE key = 'learner'"
    row = db.execute(query).fetchone()
    return Learner(*row) if row else None


def _enroll(db, name):
    who = _new_id(), name
    db.execute("INSERT INTO learners (id, name, named_at) VALUES (?, ?, ?)", (*who, _now()))
    _put(db, "learner", who[0])
    return who


def _put(db, key, value):
    db.execute("INSERT OR REPLACE INTO machine VALUES (?, ?)", (key, value))


def _event(row):
    *words, right, misconception, asked, at = row
    right = None if right is None else bool(right)
    return Event(*words, right, misconception, json.loads(asked or "{}"), datetime.fromisoformat(at))


def _new_id():
    return str(uuid.uuid4())


def _now():
    return datetime.now(UTC).isoformat(timespec="milliseconds")


def _clean(words):
    """Text that can be written as UTF-8: half a character, as a broken paste can leave, becomes a question mark."""
    return words.encode("utf-8", "replace").decode("utf-8")
