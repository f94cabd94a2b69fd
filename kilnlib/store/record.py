"""The record: what each learner answered, predicted, ticked and finished, and how they left a page.

One SQLite file in the user's folder. What happened is a row that is only ever added, with an id that holds in the whole
world: so two kernels may write at once, and records of two machines merged twice are merged once.
"""

import contextlib
import json
import unicodedata
import uuid
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from kilnlib.errors import BadInput
from kilnlib.store.kiln import user_folder
from kilnlib.store.record_file import RecordFile, check, copy_of
from kilnlib.words import text

FILE_NAME = "record.sqlite"
TABLES = {  # what a merge takes, and which rows of ours it leaves alone
    "learners": ("id, name, named_at", "(id) DO UPDATE SET name = excluded.name, named_at = excluded.named_at "
                 "WHERE excluded.named_at > named_at"),
    "events": ("id, learner, verb, about, page, typed, is_right, misconception, at, asked", "(id) DO NOTHING"),
    "left_as": ("learner, what, value, at", "(learner, what) DO NOTHING"),
    "sign_offs": ("id, learner, line, day, place, seen_by, times, initials, at", "(id) DO NOTHING"),
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
    asked: dict[str, Any]
    at: datetime


def record_file() -> Path:
    """Where the record lies, or will lie."""
    return user_folder() / FILE_NAME


def open_record(path: str | Path | None = None) -> "Record":
    """The record of this user's folder; a file that cannot be read is set aside, and `notice` says so.

    Nothing is made before something is written. Raises CannotSave with a sentence where the file was written by a newer
    workbook or cannot be reached.
    """
    record = Record(Path(path) if path else record_file())
    record.read(check)
    return record


class Record(RecordFile):
    """A record; each method is one reading or one transaction. Any of them may raise CannotSave with a sentence."""

    # who ----------------------------------------------------------------------------------------------------------

    def learner(self) -> Learner | None:
        """Who sits here, or None while nothing was ever written."""
        return self.read(_learner)

    def learners(self) -> list[Learner]:
        """Everybody in this record, by name."""
        rows = self.read(lambda db: db.execute("SELECT id, name FROM learners ORDER BY name, id").fetchall())
        return [Learner(*row) for row in rows or ()]

    def sit_down(self, name: str) -> Learner:
        """From now on the learner of that name sits here; a name typed first belongs to what was done before it."""
        name = tidy_name(name)

        def work(db):
            known = [who for who in db.execute("SELECT id, name FROM learners ORDER BY rowid").fetchall() if who[1]]
            sitting = next((who for who in known if who[1].casefold() == name.casefold()), None)
            here = _learner(db)
            if sitting is None and (here is None or here.name):
                sitting = _enroll(db, name)
            elif sitting is None:
                db.execute("UPDATE learners SET name = ?, named_at = ? WHERE id = ?", (name, now(), here.id))
                sitting = here.id, name
            _put(db, "learner", sitting[0])
            return Learner(*sitting)

        return self.write(work)

    def sit_down_as(self, who: Learner) -> None:
        """From now on this learner sits here, whoever else has the same name."""

        def work(db):
            if db.execute("SELECT 1 FROM learners WHERE id = ?", (who.id,)).fetchone() is None:
                raise BadInput("learner_gone")
            _put(db, "learner", who.id)

        self.write(work)

    def labels(self) -> dict[str, str]:
        """What each learner is called on a page: the name, and four letters of the id where that is not enough."""
        people = self.learners()
        names = [one.name.casefold() for one in people]
        return {
            one.id: one.name
            if one.name and names.count(one.name.casefold()) == 1
            else text("trainer.label", name=one.name or text("trainer.no_name"), id=one.id[:4])
            for one in people
        }

    # what happened ------------------------------------------------------------------------------------------------

    def answered(
        self,
        question: str,
        typed: Any,
        right: bool | None,
        misconception: str | None = None,
        page: str = "",
        asked: dict[str, Any] | None = None,
    ) -> None:
        """Keep one try at a question."""
        self._add("answered", question, page, typed, right, misconception, asked)

    def predicted(
        self,
        question: str,
        typed: Any,
        right: bool | None,
        misconception: str | None = None,
        page: str = "",
        asked: dict[str, Any] | None = None,
    ) -> None:
        """Keep a prediction."""
        self._add("predicted", question, page, typed, right, misconception, asked)

    def ticked(self, item: str, on: bool = True, page: str = "") -> None:
        """Keep a tick of a checklist, or that it was taken away."""
        self._add("ticked" if on else "unticked", item, page)

    def finished(self, part: str, page: str = "") -> None:
        """Keep that a lesson or a part of one is done; the first time counts."""
        if part not in self.done():
            self._add("finished", part, page)

    def events(
        self, *verbs: str, about: str | None = None, page: str | None = None, last: int = -1, of: Learner | None = None
    ) -> list[Event]:
        """What a learner did of some verbs, in the order it was written down; the `last` so many, or all.

        `of` is the learner; without it, who sits here.
        """

        def work(db):
            who = of or _learner(db)
            if who is None:
                return []
            conditions = ["learner = ?", f"verb IN ({', '.join('?' * len(verbs))})"]
            values = [who.id, *verbs]
            for column, only in (("about", about), ("page", page)):
                if only is not None:
                    conditions.append(f"{column} = ?")
                    values.append(only)
            columns = "verb, about, page, typed, is_right, misconception, asked, at"
            query = f"SELECT {columns} FROM events WHERE {' AND '.join(conditions)} ORDER BY number DESC LIMIT ?"
            return reversed(db.execute(query, [*values, last]).fetchall())

        return self.read(lambda db: [_event(row) for row in work(db)]) or []

    def answers(self, question: str | None = None, page: str | None = None) -> list[Event]:
        """Every try at a question (or at all), oldest first."""
        return self.events("answered", about=question, page=page)

    def prediction(self, question: str, page: str = "") -> Event | None:
        """The last prediction on a page, or None."""
        predictions = self.events("predicted", about=question, page=page)
        return predictions[-1] if predictions else None

    def ticks(self, page: str = "") -> set[str]:
        """The items of a page's checklists that are ticked now."""
        last = {event.about: event.verb for event in self.events("ticked", "unticked", page=page)}
        return {item for item, verb in last.items() if verb == "ticked"}

    def done(self) -> dict[str, datetime]:
        """What is done, and when it first was."""
        done: dict[str, datetime] = {}
        for event in self.events("finished"):
            done.setdefault(event.about, event.at)
        return done

    def touched(self) -> set[str]:
        """The pages on which something was answered, predicted, ticked, typed or moved: one has begun there."""

        def work(db):
            who = _learner(db)
            query = (
                "SELECT DISTINCT page FROM events WHERE learner = ? AND verb IN ('answered', 'predicted', 'ticked') "
                "UNION SELECT what FROM left_as WHERE learner = ? AND what LIKE '%/%'"  # as page/panel
            )
            return who and db.execute(query, (who.id, who.id)).fetchall()

        return {page.split("/")[0] for (page,) in self.read(work) or ()} - {"warm-up"}

    # how things were left -----------------------------------------------------------------------------------------

    def leave(self, what: str, value: Any) -> None:
        """Keep how something was left (any value that JSON can hold), in place of how it was left before."""
        words = json.dumps(value, ensure_ascii=True)

        def work(db):
            who = _learner(db) or Learner(*_enroll(db, ""))
            db.execute(
                "INSERT INTO left_as VALUES (?, ?, ?, ?) ON CONFLICT (learner, what) "
                "DO UPDATE SET value = excluded.value, at = excluded.at",
                (who.id, clean(what), words, now()),
            )

        self.write(work)

    def left(self, what: str) -> Any:
        """How something was left, or None."""

        def work(db):
            who = _learner(db)
            query = "SELECT value FROM left_as WHERE learner = ? AND what = ?"
            return who and db.execute(query, (who.id, clean(what))).fetchone()

        row = self.read(work)
        return json.loads(row[0]) if row else None

    def opened(self, page: str) -> None:
        """Keep that a page was opened: this is where one stopped last."""
        self.leave("place", page)

    def last_place(self) -> str | None:
        """The page that was opened last, or None."""
        return self.left("place")

    # the file -----------------------------------------------------------------------------------------------------

    def merge(self, path: str | Path) -> int:
        """Take in another record; returns how many events were new. The other file is only read."""
        with contextlib.closing(copy_of(Path(path).absolute())) as copy:
            rows = {
                table: copy.execute(f"SELECT {columns} FROM {table} ORDER BY rowid").fetchall()
                for table, (columns, _) in TABLES.items()
            }
            theirs = _learner(copy)
        return self.take(rows, theirs)

    def take(self, rows: dict[str, list[tuple[Any, ...]]], sitting: Learner | None = None) -> int:
        """Take in rows by table, each in the order of TABLES; returns how many events and sign-offs were new.

        What is known by its id is left alone, and who was deleted here stays so. `sitting` sits here where nobody does.
        """

        def work(db):
            gone = {row[0] for row in db.execute("SELECT learner FROM gone")}
            before = _count(db)
            for table, (columns, known) in TABLES.items():
                names = columns.split(", ")
                whose = names.index("id" if table == "learners" else "learner")
                wanted = [row for row in rows.get(table, ()) if row[whose] not in gone]
                places = ", ".join("?" * len(names))
                db.executemany(f"INSERT INTO {table} ({columns}) VALUES ({places}) ON CONFLICT {known}", wanted)
            if sitting and sitting.id not in gone and _learner(db) is None:
                _put(db, "learner", sitting.id)
            return _count(db) - before

        return self.write(work)

    def _add(self, verb, about, page, typed=None, right=None, misconception=None, asked=None):
        row = [None if words is None else clean(str(words)) for words in (about, page, typed, misconception)]
        right, asked = None if right is None else int(right), json.dumps(asked, default=str) if asked else None

        def work(db):
            who = _learner(db) or Learner(*_enroll(db, ""))
            about, page, typed, misconception = row
            values = (new_id(), who.id, verb, about, page, typed, right, misconception, now(), asked)
            db.execute(f"INSERT INTO events ({TABLES['events'][0]}) VALUES ({', '.join('?' * 10)})", values)

        self.write(work)


def _learner(db):
    query = "SELECT id, name FROM learners JOIN machine ON value = id WHERE key = 'learner'"
    row = db.execute(query).fetchone()
    return Learner(*row) if row else None


def _enroll(db, name):
    who = new_id(), name
    db.execute("INSERT INTO learners (id, name, named_at) VALUES (?, ?, ?)", (*who, now()))
    _put(db, "learner", who[0])
    return who


def _put(db, key, value):
    db.execute("INSERT OR REPLACE INTO machine VALUES (?, ?)", (key, value))


def _event(row):
    *words, right, misconception, asked, at = row
    right = None if right is None else bool(right)
    return Event(*words, right, misconception, json.loads(asked or "{}"), datetime.fromisoformat(at))


def new_id() -> str:
    """An id that holds in the whole world."""
    return str(uuid.uuid4())


def now() -> str:
    """This moment, as it is written down."""
    return datetime.now(UTC).isoformat(timespec="milliseconds")


def _count(db):
    return sum(db.execute(f"SELECT count(*) FROM {table}").fetchone()[0] for table in ("events", "sign_offs"))


def tidy_name(name: str) -> str:
    """A name as it is kept; raises BadInput for what is none."""
    name = clean(" ".join(unicodedata.normalize("NFC", name).split()))
    if not (name and len(name) <= 40 and name.isprintable()):
        raise BadInput("learner_name")
    return name


def clean(words: str) -> str:
    """Text that can be written as UTF-8: half a character, as a broken paste can leave, becomes a question mark."""
    return words.encode("utf-8", "replace").decode("utf-8")
