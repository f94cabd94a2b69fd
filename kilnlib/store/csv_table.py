"""The table in a file: characters, separator, headings, what a row says, and refusals that name row and column."""

import codecs
import csv
import datetime
import re
from dataclasses import dataclass

from kilnlib import units
from kilnlib.errors import BadInput, KilnError
from kilnlib.physics.samples import tidy
from kilnlib.store.csv_cells import unguarded
from kilnlib.words import text

LIMIT_BYTES = 2_000_000
LIMIT_ROWS, LIMIT_LINES = 20_000, 100_000
START = "# Sample sheet of First Charge."
END = "# End of this sheet."
REMARK = re.compile(r'\s*"?#')
REMARK_START, REMARK_END = (re.compile(rf'\s*"?{re.escape(words)}') for words in (START, END))
OF_MORNING = ("dry bulb leaving", "wet bulb leaving", "bucket drained")  # columns that older sheets lack
COLUMNS = ("item", "board", "date", "weight", "oven-dry", "unit", "dry bulb", "wet bulb", "note", *OF_MORNING)
NEEDED = ("item", "board", "date", "weight", "oven-dry")
OTHER_HEADINGS = {
    "when": "date", "time": "date", "day": "date", "green": "weight", "green weight": "weight", "wet weight": "weight",
    "dry": "oven-dry", "dry weight": "oven-dry", "oven dry": "oven-dry", "oven dry weight": "oven-dry",
    "units": "unit", "notes": "note", "text": "note", "kind": "item", "sample": "board", "db": "dry bulb",
    "wb": "wet bulb",
}  # fmt: skip


class BadRow(BadInput):
    """A row that cannot be read: carries its number, the column and the reason (itself an error with a sentence)."""

    def __init__(self, row: int, column: str, reason: KilnError) -> None:
        self.row, self.column, self.reason = row, column, reason
        super().__init__("sheet_row", row=str(row), column=column)

    def sentence(self, system: str = "trade") -> str:
        """The message with the reason in the same unit system."""
        reason = self.reason.sentence(system)
        return text(f"error.{self.code}", row=self.row, column=self.column, reason=reason)


@dataclass
class Row:
    """One row of the file by heading."""

    number: int
    cells: dict[str, str]

    def text(self, column: str) -> str:
        """Words of a cell, tidied."""
        return tidy(unguarded(self.cells.get(column, "")))

    def at(self, column: str) -> "_Place":
        """With this, any refusal inside becomes one that names this row and column."""
        return _Place(self.number, column)


@dataclass(frozen=True)
class Fact:
    """What one row of the file says; kilograms and Celsius inside."""

    item: str
    board: str = ""
    when: datetime.datetime | None = None
    weight_kg: float | None = None
    ovendry_kg: float | None = None
    dry_bulb_c: float | None = None
    wet_bulb_c: float | None = None
    note: str = ""
    leaving_dry_bulb_c: float | None = None
    leaving_wet_bulb_c: float | None = None
    bucket_m3: float | None = None


@dataclass(frozen=True)
class Piece:
    """A row, a remark or a blank line of the file: its text with the line end, and the cells of a row."""

    raw: str
    number: int
    cells: tuple[str, ...] | None = None


@dataclass(frozen=True)
class Table:
    """A file taken apart. `rows` are those with words in our columns; `pieces` hold everything."""

    text: str
    bom: bool
    delimiter: str
    newline: str
    pieces: tuple[Piece, ...]
    heading: tuple[str, ...]
    heading_number: int
    columns: dict[str, int]  # our columns: where they stand
    heading_units: dict[str, str]
    rows: list[Row]

    @property
    def cut_short(self) -> bool:
        """Whether a file that we have saved lacks its last line."""
        remarks = [piece.raw for piece in self.pieces if piece.cells is None]
        return any(map(REMARK_START.match, remarks)) and not any(map(REMARK_END.match, remarks))


class _Place:
    """A context manager by hand: thousands of them are needed to read a sheet."""

    def __init__(self, row, column):
        self.row, self.column = row, column

    def __enter__(self):
        return self

    def __exit__(self, kind, error, trace):
        if isinstance(error, KilnError) and not isinstance(error, BadRow):
            raise BadRow(self.row, self.column, error) from error


def check_size(size: int) -> None:
    """Refuse a file of so many bytes if no sample sheet can be that big."""
    if size > LIMIT_BYTES:
        raise BadInput("sheet_too_big", size=f"{size / 1e6:,.1f}", limit=f"{LIMIT_BYTES / 1e6:g}")


def read_table(data: str | bytes) -> Table:
    """The table in text or bytes. Raises BadInput or BadRow with a sentence."""
    text, bom = _decoded(data)
    if text.count("\n") + text.count("\r") > 2 * LIMIT_LINES:
        raise BadInput("sheet_too_many_rows", limit=f"{LIMIT_ROWS:,}")
    parts = re.split(r"(\r\n|\r|\n)", text)
    lines, ends = parts[::2], [*parts[1::2], ""]
    delimiter, pieces = _split(lines, ends)
    rows = [piece for piece in pieces if piece.cells is not None]
    if not rows:
        raise BadInput("sheet_empty")
    heading = rows[0]
    columns, stated = _columns(heading)
    table_rows = [
        Row(piece.number, {name: piece.cells[at] for name, at in columns.items() if at < len(piece.cells)})
        for piece in rows[1:]
    ]
    table_rows = [row for row in table_rows if any(cell.strip() for cell in row.cells.values())]
    newline = ends[0] or "\n"
    return Table(text, bom, delimiter, newline, pieces, heading.cells, heading.number, columns, stated, table_rows)


def _decoded(data):
    """(text, whether a mark stood in front) of a file: UTF-8, UTF-16 as spreadsheets write it, or the old code page."""
    check_size(len(data))
    if isinstance(data, str):
        return data.removeprefix("\ufeff"), data.startswith("\ufeff")
    try:
        if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
            return data.decode("utf-16"), True
        if b"\0" in data:
            raise BadInput("sheet_not_text")
        try:
            return data.decode("utf-8-sig"), data.startswith(codecs.BOM_UTF8)
        except UnicodeDecodeError:
            return data.decode("cp1252"), False
    except UnicodeDecodeError:
        raise BadInput("sheet_not_text") from None


def _split(lines, ends):
    """(delimiter, pieces): rows with cells; remarks, blank lines and the line that names the separator without."""
    raws, lines = lines, ["" if REMARK.match(line) else line for line in lines]
    first = next((number for number, line in enumerate(lines) if line.strip()), None)
    delimiter = None
    if first is not None and (stated := re.match(r'"?sep=(.)"?[,;\t]*\s*$', lines[first], re.I)):
        delimiter, lines[first] = stated[1], ""
    heading = re.sub(r'"[^"]*"', "", next((line for line in lines if line.strip()), ""))
    delimiter = delimiter or max(",;\t", key=heading.count)
    pieces, before, count = [], 0, 0
    try:
        reader = csv.reader(lines, delimiter=delimiter)
        for cells in reader:
            raw = "".join(
                map("".join, zip(raws[before : reader.line_num], ends[before : reader.line_num], strict=True))
            )
            row = any(cell.strip() for cell in cells)
            pieces.append(Piece(raw, before + 1, tuple(cells) if row else None))
            before, count = reader.line_num, count + row
            if count > LIMIT_ROWS:
                raise BadInput("sheet_too_many_rows", limit=f"{LIMIT_ROWS:,}")
    except (csv.Error, ValueError) as error:
        if isinstance(error, BadInput):
            raise
        raise BadInput("sheet_not_text") from None
    return delimiter, tuple(piece for piece in pieces if piece.raw)


def _columns(heading):
    """(our columns and where they stand, units named in the headings); other headings are left alone."""
    columns, stated = {}, {}
    for position, cell in enumerate(heading.cells):
        words = re.sub(r"[^\w°%]+|_", " ", cell.casefold()).split()
        unit = units.SPELLINGS.get(words[-1]) if len(words) > 1 else None
        name = " ".join(words[:-1] if unit else words)
        name = {column.replace("-", " "): column for column in COLUMNS}.get(name) or OTHER_HEADINGS.get(name)
        if name is None:
            continue
        if name in columns:
            raise BadRow(heading.number, name, BadInput("heading_twice"))
        columns[name] = position
        if unit:
            stated[name] = unit
    missing = [name for name in NEEDED if name not in columns]
    if missing:
        raise BadRow(heading.number, missing[0], BadInput("heading_missing", names=", ".join(NEEDED)))
    return columns, stated
