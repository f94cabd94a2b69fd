"""The trainer's half of the record: everybody in it, what each did at the kiln before a witness, and the file.

What is answered on the screen is practice. A sign-off is the trainer's word: a row that is only ever added; the last
one of a line counts, and one with 0 times takes the line back.
"""

import json
import os
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from typing import Any

from kilnlib.errors import BadInput, CannotSave, KilnError
from kilnlib.store import learning_csv
from kilnlib.store.csv_cells import read_moment
from kilnlib.store.files import read_file, write_file
from kilnlib.store.record import Learner, Record, clean, new_id, now, record_file, tidy_name
from kilnlib.store.record_file import check

HAND_IN = "FIRST_CHARGE_HAND_IN"  # the environment variable with which a server names the folder to hand in to
MOST_TIMES = 999
LONGEST = 80  # letters of a place, or of who saw it
SHARED = 0o640  # a file that is handed in may be read by the group of its folder: the trainers


@dataclass(frozen=True)
class Tried:
    """All tries of one learner at one question: how many, how many were right, and the last one."""

    learner: str
    question: str
    tries: int
    rights: int
    right: bool
    misconception: str | None
    at: datetime


@dataclass(frozen=True)
class Miss:
    """The last wrong answer of one learner to one question: what was typed, the numbers it was asked with."""

    learner: str
    question: str
    typed: str
    asked: dict[str, Any]
    right_since: bool


@dataclass(frozen=True)
class Slip:
    """A misconception a learner showed: how often, and when last."""

    learner: str
    misconception: str
    times: int
    at: datetime
    last_right: dict[str, int]  # question: number of the last right answer
    number: int  # of the event that showed it last

    def is_past(self, questions: set[str]) -> bool:
        """Whether one of the questions that can show it was answered rightly since."""
        return any(self.last_right.get(question, 0) > self.number for question in questions)


@dataclass(frozen=True)
class SignOff:
    """One criterion seen at the kiln: `times` so often, on a day, at a place, by whom, with the trainer's initials."""

    learner: str
    line: str
    day: date
    place: str
    seen_by: str
    times: int
    initials: str


class ClassBook(Record):
    """A record as the trainer reads and keeps it. Any method may raise CannotSave or BadInput with a sentence."""

    def tried(self) -> list[Tried]:
        """Every learner's tries, a row a question."""
        rows = self.read(
            lambda db: db.execute(
                "SELECT learner, about, count(*), sum(is_right = 1), max(number), is_right, misconception, at "
                "FROM events WHERE verb = 'answered' GROUP BY learner, about"  # the last three are of max(number)
            ).fetchall()
        )
        return [
            Tried(learner, about, tries, rights or 0, right == 1, slip, datetime.fromisoformat(at))
            for learner, about, tries, rights, _, right, slip, at in rows or ()
        ]

    def misses(self) -> list[Miss]:
        """Every learner's last wrong answer to each question they ever answered wrongly, the latest first."""
        rows = self.read(
            lambda db: db.execute(
                "SELECT learner, about, typed, asked, (SELECT is_right FROM events AS later WHERE "
                "later.learner = events.learner AND later.verb = 'answered' AND later.about = events.about "
                "ORDER BY later.number DESC LIMIT 1), max(number) FROM events WHERE verb = 'answered' "
                "AND is_right = 0 GROUP BY learner, about ORDER BY max(number) DESC"
            ).fetchall()
        )
        return [
            Miss(learner, about, typed or "", json.loads(asked or "{}"), right == 1)
            for learner, about, typed, asked, right, _ in rows or ()
        ]

    def slips(self) -> list[Slip]:
        """Every misconception that every learner showed in an answer, the latest first; a prediction is a bet."""

        def work(db):
            right: dict[str, dict[str, int]] = {}
            query = (
                "SELECT learner, about, max(number) FROM events WHERE verb = 'answered' AND is_right = 1 "
                "GROUP BY learner, about"
            )
            for learner, about, number in db.execute(query):
                right.setdefault(learner, {})[about] = number
            query = (
                "SELECT learner, misconception, count(*), at, max(number) FROM events WHERE verb = 'answered' "
                "AND misconception <> '' GROUP BY learner, misconception ORDER BY max(number) DESC"
            )
            return [
                Slip(learner, slip, times, datetime.fromisoformat(at), right.get(learner, {}), number)
                for learner, slip, times, at, number in db.execute(query)
            ]

        return self.read(work) or []

    # what was done at the kiln ------------------------------------------------------------------------------------

    def sign(self, who: Learner, line: str, day: str, place: str, seen_by: str, times: str, initials: str) -> SignOff:
        """Keep the trainer's word for a line, from what was typed. 0 times takes it back."""
        when = read_moment(day).date()
        if when > date.today():
            raise BadInput("sign_later", day=f"{when:%Y-%m-%d}")
        if not (times.strip().isdecimal() and int(times) <= MOST_TIMES):
            raise BadInput("sign_times", text=times[:40], most=MOST_TIMES)
        place, seen_by = (" ".join(clean(typed).split()) for typed in (place, seen_by))
        if not all(one and len(one) <= LONGEST and one.isprintable() for one in (place, seen_by)):
            raise BadInput("sign_words", longest=LONGEST)
        signed = SignOff(who.id, line, when, place, seen_by, int(times), tidy_name(initials))

        def work(db):
            if db.execute("SELECT 1 FROM learners WHERE id = ?", (who.id,)).fetchone() is None:
                raise BadInput("sign_nobody")
            values = (new_id(), who.id, line, when.isoformat(), place, seen_by, int(times), signed.initials, now())
            db.execute(
                "INSERT INTO sign_offs (id, learner, line, day, place, seen_by, times, initials, at) "
                f"VALUES ({', '.join('?' * len(values))})",
                values,
            )

        self.write(work)
        return signed

    def signed(self) -> dict[tuple[str, str], SignOff]:
        """What counts now: (learner, line) to the last sign-off, those taken back left out."""
        rows = self.read(
            lambda db: db.execute(
                "SELECT learner, line, day, place, seen_by, times, initials FROM sign_offs ORDER BY number"
            ).fetchall()
        )
        last = {
            (who, line): SignOff(who, line, date.fromisoformat(day), place, seen_by, times, initials)
            for who, line, day, place, seen_by, times, initials in rows or ()
        }
        return {key: one for key, one in last.items() if one.times}

    def enroll(self, name: str) -> Learner:
        """A new learner, also where another has the same initials; nobody sits down."""
        who = Learner(new_id(), tidy_name(name))
        self.take({"learners": [(who.id, who.name, now())]})
        return who

    def rename(self, who: Learner, name: str) -> None:
        """Another name for a learner; everything stays theirs by its id."""
        self.take({"learners": [(who.id, tidy_name(name), now())]})

    # the file -----------------------------------------------------------------------------------------------------

    def csv(self, who: Learner | None = None, with_sign_offs: bool = True) -> bytes:
        """What everybody did, or one learner, as CSV."""
        return (
            self.read(lambda db: learning_csv.written(db, who.id if who else None, with_sign_offs)) or learning_csv.HEAD
        )

    def take_csv(self, path: Path, with_sign_offs: bool = True) -> int:
        """Take in a CSV file; how many rows were new. Twice is once. Sign-offs only of a file the trainer wrote."""
        rows = learning_csv.read(read_file(path, learning_csv.check_size), path.name)
        if not with_sign_offs:
            rows["sign_offs"] = []
        return self.take(rows)

    def take_handed_in(self, folder: Path) -> Iterator[tuple[Path, int | KilnError]]:
        """Take in each CSV of a folder: (file, how many rows were new, or why it was refused). No sign-off is taken."""
        for path in sorted(folder.glob("*.csv")):
            try:
                yield path, self.take_csv(path, with_sign_offs=False)
            except KilnError as error:
                yield path, error

    def count_of(self, who: Learner) -> int:
        """How many rows are a learner's."""
        query = "SELECT count(*) FROM {} WHERE learner = ?"
        tables = ("events", "sign_offs")
        work = [lambda db, table=table: db.execute(query.format(table), (who.id,)).fetchone()[0] for table in tables]
        return sum(self.read(one) or 0 for one in work)

    def delete(self, who: Learner, kept: str | Path) -> None:
        """Delete a learner with all that is theirs, after a backup to `kept`. A merge does not bring them back."""
        self.backup(kept)

        def work(db):
            db.execute("PRAGMA secure_delete = ON")  # what is gone leaves no letters in the file
            db.execute("INSERT OR IGNORE INTO gone VALUES (?, ?)", (who.id, now()))
            for table in ("events", "left_as", "sign_offs"):
                db.execute(f"DELETE FROM {table} WHERE learner = ?", (who.id,))
            db.execute("DELETE FROM learners WHERE id = ?", (who.id,))
            db.execute("DELETE FROM machine WHERE key = 'learner' AND value = ?", (who.id,))

        self.write(work)


def open_class_book(path: str | Path | None = None) -> ClassBook:
    """The record of this user's folder as the trainer reads it. Raises CannotSave with a sentence."""
    book = ClassBook(Path(path) if path else record_file())
    book.read(check)
    return book


def backup_at(path: Path) -> Path:
    """The backup that a path names: the file itself, or the latest one in that folder. Raises BadInput."""
    if not path.is_dir():
        return path
    backup = latest_backup(path)
    if backup is None:
        raise BadInput("no_backup", path=path)
    return backup


def latest_backup(folder: Path) -> Path | None:
    """The latest backup in a folder, or None; the moment is in its name."""
    return max(folder.glob("record*.sqlite"), default=None)


def hand_in_folder() -> Path | None:
    """The folder that this server names for handing in, or None."""
    named = os.environ.get(HAND_IN)
    return Path(named) if named else None


def hand_in(record: Record | None = None) -> Path:
    """Write what the learner who sits here did into the folder this server names; returns the file.

    Its name holds the learner's id, so each time takes the place of the time before, and nobody meets another's.
    """
    folder = hand_in_folder()
    book = open_class_book(record.path if record else None)
    who = book.learner()
    if folder is None or who is None:
        raise BadInput("hand_in_nothing")
    if not folder.is_dir():
        raise CannotSave("hand_in_folder", path=folder)
    path = folder / f"{who.id}.csv"
    write_file(path, book.csv(who, with_sign_offs=False), mode=SHARED)
    return path
