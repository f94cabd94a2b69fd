"""The table in a file: its characters, its separator, its headings, and refusals that name row and column."""

import csv
import re
from dataclasses import dataclass

from kilnlib import units
from kilnlib.errors import SENTENCES, BadInput, KilnError
from kilnlib.physics.entries import tidy
from kilnlib.sheet_cells import unguarded

LIMIT_BYTES = 2_000_000
COLUMNS = ("item", "board", "date", "weight", "oven-dry", "unit", "dry bulb", "wet bulb", "note")
NEEDED = ("item", "board", "date", "weight", "oven-dry")
OTHER_HEADINGS = {
    "when": "date", "time": "date", "day": "date", "green": "weight", "green weight": "weight", "wet weight": "weight",
    "dry": "oven-dry", "dry weight": "oven-dry", "oven dry": "oven-dry", "oven dry weight": "oven-dry",
    "units": "unit", "notes": "note", "text": "note", "kind": "item", "sample": "board", "db": "dry bulb",
    "wb": "wet bulb",
}  # fmt: skip


class BadRow(BadInput):
    """A row that cannot be read: carries its number, the column and the reason (itself an error with a sentence)."""

    def __init__(self, row, column, reason):
        self.row, self.column, self.reason = row, column, reason
        super().__init__("sheet_row", row=str(row), column=column)

    def sentence(self, system="trade", sentences=SENTENCES):
        """The message with the reason in the same unit system."""
        reason = self.reason.sentence(system, sentences)
        return sentences[self.code].format(row=self.row, column=self.column, reason=reason)


@dataclass
class Row:
    """One row of the file by heading."""

    number: int
    cells: dict

    def text(self, column):
        """Words of a cell, tidied."""
        return tidy(unguarded(self.cells.get(column, "")))

    def at(self, column):
        """With this, any refusal inside becomes one that names this row and column."""
        return _Place(self.number, column)


class _Place:
    """A context manager by hand: thousands of them are needed to read a sheet."""

    def __init__(self, row, column):
        self.row, self.column = row, column

    def __enter__(self):
        return self

    def __exit__(self, kind, error, trace):
        if isinstance(error, KilnError) and not isinstance(error, BadRow):
            raise BadRow(self.row, self.column, error) from error


def check_size(size):
    """Refuse a file of so many bytes if no sample sheet can be that big."""
    if size > LIMIT_BYTES:
        raise BadInput("sheet_too_big", size=f"{size / 1e6:,.1f}", limit=f"{LIMIT_BYTES / 1e6:g}")


def read_table(data):
    """(separator, units named in the headings, rows) of text or bytes, without remarks, blank rows, other columns."""
    delimiter, rows = _split(_decoded(data))
    return (delimiter, *_by_heading(rows))


def _decoded(data):
    """Text of a file: UTF-8, UTF-16 as spreadsheets write it, or the old Windows code page."""
    check_size(len(data))
    if isinstance(data, str):
        return data.removeprefix("\ufeff")
    try:
        if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
            return data.decode("utf-16")
        if b"\0" in data:
            raise BadInput("sheet_not_text")
        try:
            return data.decode("utf-8-sig")
        except UnicodeDecodeError:
            return data.decode("cp1252")
    except UnicodeDecodeError:
        raise BadInput("sheet_not_text") from None


def _split(text):
    """(delimiter, [(row number, cells)]) without remarks and blank rows."""
    lines = [("" if re.match(r'\s*"?#', line) else line) for line in re.split(r"\r\n|\r|\n", text)]
    first = next((number for number, line in enumerate(lines) if line.strip()), None)
    delimiter = None
    if first is not None and (stated := re.match(r'"?sep=(.)"?[,;\t]*\s*$', lines[first], re.I)):
        delimiter, lines[first] = stated[1], ""
    heading = re.sub(r'"[^"]*"', "", next((line for line in lines if line.strip()), ""))
    delimiter = delimiter or max(",;\t", key=heading.count)
    reader = csv.reader(lines, delimiter=delimiter)
    rows, before = [], 0
    try:
        for cells in reader:
            if any(cell.strip() for cell in cells):
                rows.append((before + 1, cells))
            before = reader.line_num
    except csv.Error:
        raise BadInput("sheet_not_text") from None
    return delimiter, rows


def _by_heading(rows):
    """(units named in the headings, rows by heading); unknown headings are left out."""
    if not rows:
        raise BadInput("sheet_empty")
    number, heading = rows[0]
    columns, stated = {}, {}
    for position, cell in enumerate(heading):
        words = re.sub(r"[^\w°%]+|_", " ", cell.casefold()).split()
        unit = units.SPELLINGS.get(words[-1]) if len(words) > 1 else None
        name = " ".join(words[:-1] if unit else words)
        name = {column.replace("-", " "): column for column in COLUMNS}.get(name) or OTHER_HEADINGS.get(name)
        if name is None:
            continue
        if name in columns:
            raise BadRow(number, name, BadInput("heading_twice"))
        columns[name] = position
        if unit:
            stated[name] = unit
    missing = [name for name in NEEDED if name not in columns]
    if missing:
        raise BadRow(number, missing[0], BadInput("heading_missing", names=", ".join(NEEDED)))
    found = [
        Row(number, {name: cells[at] for name, at in columns.items() if at < len(cells)}) for number, cells in rows[1:]
    ]
    return stated, [row for row in found if any(cell.strip() for cell in row.cells.values())]
