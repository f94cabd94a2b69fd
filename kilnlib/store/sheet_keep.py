"""The file of a sample sheet as a person keeps it: its columns, remarks and order stay when facts change.

A file is held as pieces: one a row, remark or blank line, each with the text it had. To write another state of the
sheet, every row whose fact is the same goes back character for character; in a changed row only the cells that changed
are written anew; a fact that is gone takes its row with it; a new fact becomes a row where its like stand. What comes
out is read again before it is used, so that no file is ever written that says something else than the screen.
"""

import codecs
import csv
import io
from collections import defaultdict
from dataclasses import dataclass, replace

from kilnlib.errors import Notice
from kilnlib.physics.samples import Sheet
from kilnlib.store.csv_cells import guarded
from kilnlib.store.csv_table import END, REMARK_END, REMARK_START, START, Fact, Table
from kilnlib.store.sheet_read import SETTINGS, Reader
from kilnlib.store.sheet_write import cells, facts, log_place, write_csv

SECTIONS = ("section", "recut section")
DIFFERS = {  # fields of a fact, and the columns they stand in
    ("board",): ("board",),
    ("when",): ("date",),
    ("weight_kg", "ovendry_kg"): ("weight", "oven-dry", "unit"),
    ("dry_bulb_c", "wet_bulb_c"): ("dry bulb", "wet bulb"),
    ("leaving_dry_bulb_c",): ("dry bulb leaving",),
    ("leaving_wet_bulb_c",): ("wet bulb leaving",),
    ("bucket_m3",): ("bucket drained",),
    ("note",): ("note",),
}
OURS = tuple(column for columns in DIFFERS.values() for column in columns)


@dataclass(frozen=True)
class Kept:
    """A file as it stands, and the sheet it says."""

    text: str
    bom: bool
    sheet: Sheet
    notices: list[Notice]
    table: Table
    mark: str  # of decimals in this file, a point or a comma
    facts: dict[int, Fact]  # by the number of its row

    def encoded(self) -> bytes:
        """Bytes for the disk."""
        return (codecs.BOM_UTF8 if self.bom else b"") + self.text.encode("utf-8")

    def with_sheet(self, sheet: Sheet) -> "Kept":
        """The file that says another sheet, with everything of the person's own in it."""
        # The second time all of our cells are written anew: an old one might be read as something else now.
        for plain in (False, True):
            try:
                made = keep(_Edit(self, sheet, OURS if plain else ()).text(), self.bom)
            except ValueError:
                continue
            if made.sheet == sheet:
                return made
        return keep(write_csv(sheet), self.bom)

    def with_dates(self, day_comes_first: bool) -> "Kept":
        """The file with dates such as 3/4/2026 read one way, and written with the year first from now on."""
        read = keep(self.text, self.bom, day_comes_first)
        return keep(_Edit(read, read.sheet, ("date",)).text(), self.bom)


def keep(data: str | bytes, bom: bool | None = None, day_comes_first: bool | None = None) -> Kept:
    """Kept of a file's text or bytes; raises BadInput or BadRow with a sentence."""
    reader = Reader(data, day_comes_first)
    sheet, notices = reader.sheet()
    settings = {fact.item: fact for fact in facts(sheet) if fact.item in SETTINGS}
    facts_by_row = {number: settings[fact] if isinstance(fact, str) else fact for number, fact in reader.facts.items()}
    marked = reader.table.bom if bom is None else bom
    return Kept(reader.table.text, marked, sheet, notices, reader.table, reader.mark, facts_by_row)


def keep_sheet(sheet: Sheet) -> Kept:
    """Kept of a new file for a sheet."""
    return keep(write_csv(sheet))


class _Edit:
    """One rewriting of a file. `anew`: columns of ours that are written anew in every row."""

    def __init__(self, kept, sheet, anew):
        self.kept, self.sheet, self.anew = kept, sheet, anew
        self.columns = dict(kept.table.columns)
        self.heading = list(kept.table.heading)
        self.mark = "." if "weight" in anew else kept.mark

    def text(self):
        """The whole file."""
        table = self.kept.table
        partners, fresh = self._partners()
        ours = any(REMARK_START.match(piece.raw) for piece in table.pieces if piece.cells is None)
        out = []  # pairs of a row's fact (None for headings, remarks and blank lines) and its text
        for piece in table.pieces:
            fact = self.kept.facts.get(piece.number)
            if fact is not None:
                if (new := partners.get(piece.number)) is not None:
                    out.append((new, self._row(piece, fact, new)))
            elif piece.number == table.heading_number:
                if not ours:
                    out.append((None, START))
                top = len(out)
                out.append((None, piece.raw))
            elif piece.cells is not None or not REMARK_END.match(piece.raw):
                out.append((None, piece.raw))
        for fact in fresh:
            out.insert(_place(out, fact, top), (fact, self._new_row(fact)))
        if self.heading != list(table.heading):
            out[top] = (None, self._line(self.heading))
        rows = [text if text.endswith(("\n", "\r")) else text + table.newline for _, text in out]
        return "".join([*rows, END, table.newline])

    def _partners(self):
        """({row number: the fact it says from now on}, facts that have no row yet)."""
        names = _renamed(self.kept.sheet, self.sheet)
        groups = defaultdict(lambda: ([], []))
        for number, fact in self.kept.facts.items():
            name = names.get(fact.board, fact.board)
            groups[fact.item, name][0].append((number, replace(fact, board=name) if name != fact.board else fact))
        implied = {fact for fact in facts(self.kept.sheet) if fact.item in SETTINGS} - set(self.kept.facts.values())
        for fact in facts(self.sheet):
            if fact not in implied or "weight" in self.anew:
                groups[fact.item, fact.board][1].append(fact)
        partners, fresh = {}, []
        for (item, _), (old, new) in groups.items():
            matched, without_row = _matched(item, old, new, exact="weight" not in self.anew)
            partners |= matched
            fresh += without_row
        return partners, fresh

    def _row(self, piece, old, new):
        """A row that says `new` from now on."""
        columns = set(self.anew)
        for fields, named in DIFFERS.items():
            if any(getattr(old, field) != getattr(new, field) for field in fields):
                columns.update(named)
        return self._line(self._filled(list(piece.cells), new, columns)) if columns else piece.raw

    def _new_row(self, fact):
        return self._line(self._filled([], fact, ("item", *OURS)))

    def _filled(self, row, fact, columns):
        """Cells of a row, with those columns written anew."""
        words_by_column = cells(fact, self.sheet)
        unit = words_by_column.pop("unit", "")
        stated = self.kept.table.heading_units
        for column in sorted(set(columns) - {"unit"}):
            words = words_by_column.get(column, "")
            if words and column in ("weight", "oven-dry"):
                words = self._number(words)
                if "unit" not in self.columns and stated.get(column) != unit:
                    words = f"{words} {unit}"
            elif words and "bulb" in column:
                words = self._number(words)
                if words[-1].isdigit() and stated.get(column) != f"°{self.sheet.temperature_unit}":
                    words = f"{words} {self.sheet.temperature_unit}"
            elif words and column == "bucket drained":
                words = self._number(words)
            self._put(row, column, guarded(words))
        if "unit" in columns and "unit" in self.columns:
            self._put(row, "unit", unit)
        return row

    def _put(self, row, column, words):
        if column not in self.columns:
            if not words:
                return
            widest = max(len(piece.cells) for piece in self.kept.table.pieces if piece.cells is not None)
            at = self.columns[column] = max(len(self.heading), widest)
            self.heading += [""] * (at - len(self.heading)) + [column]
        at = self.columns[column]
        if at < len(row) or words:
            row += [""] * (at + 1 - len(row))
            row[at] = words

    def _number(self, words):
        return words.replace(".", ",") if self.mark == "," else words

    def _line(self, row):
        row = row + [""] * (len(self.heading) - len(row))
        out = io.StringIO()
        table = self.kept.table
        csv.writer(out, delimiter=table.delimiter, lineterminator=table.newline).writerow(row)
        return out.getvalue()


def _renamed(old, new):
    """Old name to new name of boards that are called otherwise now."""
    if len(old.boards) != len(new.boards):
        return {}
    pairs = [(a.name, b.name) for a, b in zip(old.boards, new.boards, strict=True)]
    kept = {a for a, _ in pairs} & {b for _, b in pairs}
    return {a: b for a, b in pairs if a != b and a not in kept and b not in kept}


def _matched(item, old, new, exact):
    """({row number: fact}, facts left over) of one kind of row of one board."""
    partners, old, new = {}, list(old), list(new)
    keys = [lambda fact: fact] if exact else []
    if item not in ("section", "board", *SETTINGS):
        keys.append(lambda fact: fact.when)
    for key in keys:
        old, new = _paired(old, new, key, partners)
    if item in (*SECTIONS, *SETTINGS) or len(old) == len(new):
        for (number, _), fact in zip(old, new, strict=False):
            partners[number] = fact
        new = new[len(old) :]
    return partners, new


def _paired(old, new, key, partners):
    """Pair what has the same key, in order; returns what is left of both."""
    waiting = defaultdict(list)
    for number, fact in reversed(old):
        waiting[key(fact)].append(number)
    unpaired = []
    for fact in new:
        if waiting[key(fact)]:
            partners[waiting[key(fact)].pop()] = fact
        else:
            unpaired.append(fact)
    return [(number, fact) for number, fact in old if number not in partners], unpaired


def _place(out, fact, top):
    """Where a new row goes: behind its like."""

    def behind(wanted, otherwise):
        return next((at + 1 for at in range(len(out) - 1, -1, -1) if out[at][0] and wanted(out[at][0])), otherwise)

    head = behind(lambda other: other.item in SETTINGS, top + 1)
    if fact.item in SETTINGS:
        return head
    boards = behind(lambda other: other.item in (*SETTINGS, "board", "section"), top + 1)
    if fact.item == "board":
        return boards
    if fact.item == "section":
        return behind(lambda other: other.board == fact.board and other.item in ("board", "section"), boards)
    first = next((at for at, (other, _) in enumerate(out) if other and other.when is not None), len(out))
    return behind(lambda other: other.when is not None and log_place(other) <= log_place(fact), first)
