"""What learners did as CSV: fields named as in open learning records (actor, verb, object, result, timestamp).

Each row carries the id it has for ever and its learner's, so a file taken in twice is taken in once, and two learners
with the same initials stay two. A cell that a spreadsheet would run is made harmless, and comes back the same.
"""

import csv
import io
import json
import re
import sqlite3
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date, datetime
from typing import Any

from kilnlib.errors import BadInput
from kilnlib.store.csv_cells import harmless, unharmed

COLUMNS = ("id", "timestamp", "actor", "name", "verb", "object", "result", "right", "misconception", "page", "asked",
           "day", "place", "seen by", "initials")  # fmt: skip
HEAD = (",".join(COLUMNS) + "\r\n").encode("utf-8-sig")
NAMED, SIGNED = "named", "signed"
VERBS = {"answered", "predicted", "ticked", "unticked", "finished"}
ID = re.compile(r"[0-9a-f]{8}(-?[0-9a-f]{4}){3}-?[0-9a-f]{12}")
RIGHT = {None: "", 1: "yes", 0: "no"}
LIMIT_BYTES = 200_000_000
LONGEST = 40  # letters of a name
_LOCK = threading.Lock()  # the csv module has one limit of a cell's length for the whole program


def check_size(size: int) -> None:
    """Refuse a file of so many bytes if no record can be that big."""
    if size > LIMIT_BYTES:
        raise BadInput("learning_csv_big", limit=f"{LIMIT_BYTES / 1e6:g}")


def written(db: sqlite3.Connection, learner: str | None, with_sign_offs: bool) -> bytes:
    """All rows of a record, or those of one learner."""
    out = io.StringIO(newline="")
    rows = csv.DictWriter(out, COLUMNS, restval="")
    rows.writeheader()
    for row in _rows(db, learner, with_sign_offs):
        rows.writerow({key: harmless(str(value)) for key, value in row.items() if value is not None})
    return out.getvalue().encode("utf-8-sig")


def _rows(db, learner, with_sign_offs):
    whose, values = (" WHERE {} = ?", [learner]) if learner else ("", [])
    names = {}
    for who, name, at in db.execute(
        f"SELECT id, name, named_at FROM learners{whose.format('id')} ORDER BY rowid", values
    ):
        names[who] = name
        yield {"id": who, "actor": who, "verb": NAMED, "object": name, "timestamp": at, "name": name}
    query = "SELECT id, learner, verb, about, page, typed, is_right, misconception, at, asked FROM events"
    for row in db.execute(f"{query}{whose.format('learner')} ORDER BY number", values):
        yield {
            "id": row[0], "actor": row[1], "name": names.get(row[1]), "verb": row[2], "object": row[3], "page": row[4],
            "result": row[5], "right": RIGHT[row[6]], "misconception": row[7], "timestamp": row[8], "asked": row[9],
        }  # fmt: skip
    if not with_sign_offs:
        return
    query = "SELECT id, learner, line, day, place, seen_by, times, initials, at FROM sign_offs"
    for row in db.execute(f"{query}{whose.format('learner')} ORDER BY number", values):
        yield {
            "id": row[0], "actor": row[1], "name": names.get(row[1]), "verb": SIGNED, "object": row[2], "day": row[3],
            "place": row[4], "seen by": row[5], "result": row[6], "initials": row[7], "timestamp": row[8],
        }  # fmt: skip


def read(data: bytes, file: str) -> dict[str, list[tuple[Any, ...]]]:
    """The rows of a file by table, in the order of `record.TABLES`. Raises BadInput with file, row and column."""
    taken: dict[str, list[tuple[Any, ...]]] = {"learners": [], "events": [], "sign_offs": []}
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise BadInput("learning_csv_other", file=file) from error
    with _long_cells():
        rows = csv.DictReader(io.StringIO(text, newline=""), strict=True)
        try:
            if set(rows.fieldnames or ()) != set(COLUMNS):
                raise BadInput("learning_csv_other", file=file)
            for number, row in enumerate(rows, 2):
                table, values = _taken(_Row(row, number, file))
                taken[table].append(values)
        except csv.Error as error:
            raise BadInput("learning_csv_other", file=file) from error
    return taken


@contextmanager
def _long_cells() -> Iterator[None]:
    with _LOCK:
        before = csv.field_size_limit(LIMIT_BYTES)
        try:
            yield
        finally:
            csv.field_size_limit(before)


class _Row:
    """A row whose cells are read one by one, each refused with its name."""

    def __init__(self, cells, number, file):
        self.cells, self.number, self.file = cells, number, file

    def get(self, column: str, fits: Callable[[str], Any] = bool) -> str:
        """The text of a cell; refused where `fits(text)` is false or raises."""
        cell = self.cells.get(column)
        text = unharmed(cell) if isinstance(cell, str) else ""
        try:
            if isinstance(cell, str) and None not in self.cells and fits(text):
                return text
        except (ValueError, TypeError, RecursionError):
            pass
        raise BadInput("learning_csv", file=self.file, row=self.number, column=column, text=text[:40])

    def maybe(self, column: str) -> str | None:
        """The text of a cell, None where it is empty."""
        return self.get(column, lambda text: True) or None


def _taken(row):
    """(table, values) of a row."""
    verb = row.get("verb", lambda text: text in VERBS | {NAMED, SIGNED})
    name, whose = row.get("id", ID.fullmatch), row.get("actor", ID.fullmatch)
    at = row.get("timestamp", lambda text: datetime.fromisoformat(text).tzinfo)
    if verb == NAMED:
        return "learners", (whose, row.get("object", _is_name), at)
    about = row.get("object", lambda text: True)
    if verb == SIGNED:
        day, times = row.get("day", date.fromisoformat), row.get("result", lambda text: text.isdecimal())
        place, seen, initials = (row.get(column, _is_line) for column in ("place", "seen by", "initials"))
        return "sign_offs", (name, whose, about, day, place, seen, int(times), initials, at)
    right = {words: number for number, words in RIGHT.items()}[row.get("right", lambda text: text in RIGHT.values())]
    asked = row.get("asked", lambda text: not text or isinstance(json.loads(text), dict)) or None
    page, typed, slip = row.get("page", lambda text: True), row.maybe("result"), row.maybe("misconception")
    return "events", (name, whose, verb, about, page, typed, right, slip, at, asked)


def _is_name(text):
    return len(text) <= LONGEST and (text.isprintable() or not text)


def _is_line(text):
    return text and len(text) <= 2 * LONGEST and text.isprintable()
