"""Files around sample sheets: those of the user's, the invented charges, and unfinished typing."""

import contextlib
import datetime
import functools
import json
import os

from kilnlib.bench.desk.sheet.day import sound
from kilnlib.cases.tamarack import CHARGES
from kilnlib.errors import BadInput, CannotSave, KilnError
from kilnlib.physics.samples import Sheet
from kilnlib.physics.wood import species_key
from kilnlib.store.csv_table import check_size, read_table
from kilnlib.store.files import clear_leftovers, make_folder, read_file
from kilnlib.store.kiln import user_folder, write_file
from kilnlib.store.sheet import SampleSheet, folder, free_path
from kilnlib.store.sheet_keep import keep_sheet
from kilnlib.store.sheet_read import read_csv
from kilnlib.words import text

EXAMPLES = CHARGES
FIRST_EXAMPLE = "red_oak_4_4"
UNFINISHED = "unfinished.json"
DAMAGED = "unfinished damaged.json"
LOOKED_THROUGH = 40  # sheets
FILED, TRASH, RESCUE = "filed", "trash", "rescue"


class NotOpened(BadInput):
    """A sheet that could not be opened: carries its file and the reason, which names row and column."""

    def __init__(self, path, reason):
        self.reason = reason if isinstance(reason, KilnError) else BadInput("sheet_damaged")
        super().__init__("sheet_not_opened", file=path.name)

    def sentence(self, system="trade"):
        """The message with the reason in the same unit system."""
        return text(f"error.{self.code}", **self.fields, reason=self.reason.sentence(system))


def place(name):
    """A folder of the user's: for charges that are filed away, for those thrown away, or for entries to rescue."""
    return folder() / name if name == FILED else user_folder() / name


def own_sheets(where=None):
    """The user's sheets, or those in one of the other folders, the one used last first."""
    try:
        return sorted((where or folder()).glob("*.csv"), key=lambda path: (-path.stat().st_mtime, path.name))
    except OSError:
        return []


def last_sheet():
    """(file, sheet) of the sample sheet used last, read and not opened. Raises with a sentence."""
    paths = own_sheets()
    if not paths:
        raise BadInput("no_sheet_yet")
    return paths[0], sound(read_csv(read_file(paths[0], check_size))[0])[0]


def move(path, where, name=None):
    """Move a sheet to a folder, under a name that is free there, and return its path. Raises CannotSave."""
    to = free_path(name or path.stem, where)
    try:
        make_folder(where)
        path.rename(to)
    except OSError as error:
        raise CannotSave("cannot_move", path=path, to=to, reason=error.strerror or error) from error
    return to


def last_of_wood(sheet, but):
    """The latest other sheet of the user's with the same wood and thickness that ended before this one, or None.

    Only the sheets used last are looked through; one that cannot be read is passed over.
    """
    own = sheet.days[-1].when if sheet.days else datetime.datetime.max
    found = []
    for path in [path for where in (None, place(FILED)) for path in own_sheets(where)][:LOOKED_THROUGH]:
        if path == but:
            continue
        with contextlib.suppress(KilnError, OSError, RecursionError):
            other, _ = read_csv(read_file(path, check_size))
            alike = other.thickness == sheet.thickness and species_key(other.species) == species_key(sheet.species)
            if alike and other.days and other.days[-1].mcs_pct and other.days[-1].when < own:
                found.append(other)
    return max(found, key=lambda other: other.days[-1].when, default=None)


def examples():
    """The invented charges that come with the workbook."""
    return sorted(EXAMPLES.glob("*.csv"))


def open_own(path):
    """A sheet of the user's, which is then the one used last. Raises NotOpened with a sentence, whatever is wrong."""
    try:
        opened = SampleSheet.open(path)
    except Exception as error:
        raise NotOpened(path, error) from error
    with contextlib.suppress(OSError):
        os.utime(path)
    return opened


def open_example(path):
    """A copy of an invented charge; it becomes a file of the user's with the first entry."""
    return SampleSheet.copy_of(free_path(f"{path.stem} example"), path.read_bytes())


def sheets_to_open(but=None):
    """Ways to open a sheet, to try in turn: the user's, last used first, the red oak example, an empty one.

    What cut-off saves have left behind is cleared first. `but` is a sheet that is not meant.
    """
    clear_leftovers(user_folder())
    for path in own_sheets():
        if path != but:
            yield functools.partial(open_own, path)
    yield functools.partial(open_example, EXAMPLES / f"{FIRST_EXAMPLE}.csv")
    yield lambda: SampleSheet(free_path("sheet"), keep_sheet(Sheet()), None)


def row_of(opened, board):
    """Number of the row with which a board begins in the sheet's file; None where it cannot be told."""
    with contextlib.suppress(KilnError, OSError):
        rows = read_table(opened.path.read_bytes() if opened.saved else opened.text()).rows
        return next((row.number for row in rows if (row.text("item"), row.text("board")) == ("board", board)), None)


def take_in(name, data):
    """A new sheet of the user's from the bytes of a CSV. Raises a KilnError with a sentence."""
    return SampleSheet.take_in(free_path(name), data)


def take_rescued(path):
    """A new sheet of the user's from a rescue file, which then goes to the trash. Raises a KilnError."""
    taken = take_in(path.name, read_file(path, check_size))
    move(path, place(TRASH))
    return taken


def numbered(path):
    """Whether a file has a number behind its name because another one has that name."""
    name, space, number = path.stem.rpartition(" ")
    return bool(space) and number.isdecimal() and path.with_stem(name).exists()


class Unfinished:
    """Typed text that could not be taken into a sheet yet, kept on disk until it can: {row: {box: text}}."""

    def __init__(self, path):
        self._name = self._name_of(path)
        self._rows = self._all().get(self._name, {})
        self.unsaved = False  # whether the disk refused what is unfinished now

    def __iter__(self):
        return iter(self._rows)

    def get(self, row):
        """The texts of a row that is unfinished, by box; none for any other."""
        return self._rows.get(row, {})

    def keep(self, row, texts):
        """Keep the texts of a row, or drop them where there are none."""
        if texts == self.get(row):
            return
        self._rows = {key: kept for key, kept in self._rows.items() if key != row} | ({row: texts} if texts else {})
        self._write(self._name)

    def move(self, path):
        """Go along with the sheet to another place or name."""
        before, self._name = self._name, self._name_of(path)
        if self._rows:
            self._write(before)

    def lines(self):
        """What is unfinished, one line a row."""
        return [f"{key}: {', '.join(filter(None, texts.values()))}" for key, texts in self._rows.items()]

    def _write(self, before):
        everything = {name: rows for name, rows in self._all().items() if name not in (before, self._name)}
        if self._rows:
            everything[self._name] = self._rows
        self.unsaved = bool(self._rows)
        with contextlib.suppress(KilnError):  # the text still stands on the screen
            write_file(folder() / UNFINISHED, json.dumps(everything, indent=1).encode())
            self.unsaved = False

    @staticmethod
    def _name_of(path):
        return path.name if path.parent == folder() else f"{path.parent.name}/{path.name}"

    @staticmethod
    def _all():
        file = folder() / UNFINISHED
        try:
            if file.exists() and not file.is_file():
                raise OSError("a pipe would be waited for")
            found = json.loads(file.read_text(encoding="utf-8"))
            return {
                name: {row: {box: str(typed) for box, typed in texts.items()} for row, texts in rows.items()}
                for name, rows in found.items()
            }
        except FileNotFoundError:
            return {}
        except Exception:  # damaged in whatever way: put aside, so that what is kept next does not write over it
            with contextlib.suppress(OSError):
                file.replace(folder() / DAMAGED)
            return {}


class Rescue:
    """A copy of a sheet whose own file could not be written, in a folder of its own, until it can. `path` is where it
    lies, `problem` what hindered even that.
    """

    def __init__(self):
        self.path = self.problem = None

    def keep(self, opened, unfinished):
        """Write what is on the screen; typed text that no box could take stands in remarks at the end."""
        remarks = "".join(f"# {words}\n" for entry in unfinished.lines() for words in entry.splitlines())
        path = self.path or free_path(opened.path.stem, place(RESCUE))
        try:
            write_file(path, (opened.text() + remarks).encode())
        except KilnError as error:
            self.problem = error
        else:
            self.path, self.problem = path, None

    def done(self):
        """The sheet is in its own file: the copy goes."""
        if self.path is not None:
            with contextlib.suppress(OSError):
                self.path.unlink()
        self.path = self.problem = None
