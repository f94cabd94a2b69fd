"""The mill's sample sheet on disk: a plain CSV that is saved as you type, can be undone, and survives a crash.

The layout (ours, documented here so that a spreadsheet or another program can write it)
-----------------------------------------------------------------------------------------
UTF-8 text. Lines that start with # are remarks. The first other line holds the headings, in any order; columns with
other headings are left alone:

    item,board,date,weight,oven-dry,unit,dry bulb F,wet bulb F,note

Every further row is one fact, named under `item`:

    item            what the row holds
    charge          note: what you call this charge
    species         note: such as red oak
    thickness       note: such as 4/4 inch (bare 4/4 becomes a date in spreadsheets)
    target          note: moisture content wanted, in percent
    units           note: units to write in, such as lb g F (sample boards, sections, temperature)
    board           board: its name; note: where it lies, why it was chosen
    section         board; weight: green; oven-dry: from the oven, or empty while it is in there; unit
    weight          board; date; weight; unit; note. The first one is taken when the sections are cut
    recut           board; date; weight: of the board after the cut; unit; note. A weight of the same date comes before
    recut section   board; date of the recut; weight; oven-dry; unit
    air             date; dry bulb; wet bulb
    note            date; note

A board comes before its other rows; the rows of one board go forward in time. Weights are in lb, oz, g or kg, as the
column unit, the heading ("weight kg") or the cell itself ("4.46 lb") says. Words that a spreadsheet might run as a
formula are written with a ' in front, which is taken off again when they are read.

Reading forgives form: other separators (; or tab), a decimal comma, UTF-16, the year first or last, month names, hours
with AM or PM, blank lines, more columns. It refuses what has no clear meaning, with row, column and reason
(`kilnlib.sheet_table.BadRow`). What is possible but odd is kept, with a question (`SampleSheet.questions`).
"""

import contextlib
import hashlib
import os
from pathlib import Path

from kilnlib import kiln
from kilnlib.errors import CannotSave, Notice
from kilnlib.sheet_csv import read_csv
from kilnlib.sheet_table import check_size
from kilnlib.sheet_write import write_csv

try:
    import fcntl
except ImportError:  # Windows: without locks, another window is noticed when it has saved
    fcntl = None

UNDO_LIMIT = 100


def folder():
    """Where sheets of the user's are kept."""
    return kiln.user_folder() / "sheets"


def free_path(name, place=None):
    """Path for a new sheet of that name in the folder of sheets or another place, numbered where the name is taken."""
    place, stem = place or folder(), _stem(name)
    taken = 1
    path = place / f"{stem}.csv"
    while path.exists():
        taken += 1
        path = place / f"{stem} {taken}.csv"
    return path


def path_for(name):
    """Path of the user's sheet of that name, whether there is one or not."""
    return folder() / f"{_stem(name)}.csv"


def name_taken(name):
    """Whether the user has a sheet of that name already."""
    return path_for(name).exists()


def _stem(name):
    plain = "".join(c if c.isalnum() or c in " ._-" else "_" for c in Path(str(name)).name).strip(" .")
    return (plain[:-4] if plain.lower().endswith(".csv") else plain)[:60].strip(" .") or "sheet"


class SampleSheet:
    """One sheet on disk, open for entries. Every change is saved before it returns."""

    def __init__(self, path, sheet, stamp, notices=()):
        self.path = Path(path)
        self.sheet = sheet
        self.saved = stamp is not None
        self._stamp = stamp  # what this window last read or wrote, None before the first save
        self._notices = list(notices)
        self._earlier = []
        self._step = None
        self._hold = None
        self._claim()

    @classmethod
    def create(cls, path, sheet):
        """A new sheet on disk. Raises CannotSave if the file is already there or cannot be written."""
        if Path(path).exists():
            raise CannotSave("sheet_exists", path=path)
        made = cls(path, sheet, None)
        made.save()
        return made

    @classmethod
    def open(cls, path):
        """The sheet of a file. Raises CannotSave if it cannot be opened, BadInput or BadRow if it cannot be read."""
        data = _read(path)
        sheet, notices = read_csv(data)
        return cls(path, sheet, _stamp(data), notices)

    def change(self, sheet, step=None):
        """Take another state of the sheet and save it; the state before can be brought back by `undo`.

        Changes of the same `step` one after the other, as while a number is being typed, are taken back as one. Raises
        CannotSave where it could not be written: the entry is then still in `sheet`, and `saved` is False.
        """
        if sheet == self.sheet:
            return
        if step is None or step != self._step:
            self._earlier = [*self._earlier[1 - UNDO_LIMIT :], self.sheet]
        self.sheet, self._step = sheet, step
        self.save()

    def weigh(self, board, when, weight_kg, note=None):
        """Enter one weight, or correct the one at that time; None leaves a note as it is."""
        self.change(self.sheet.with_board(self.sheet.board(board).weigh(when, weight_kg, note)))

    def load(self, data):
        """Replace everything by a CSV (text or bytes), as one change. Raises BadInput and leaves the sheet alone."""
        sheet, notices = read_csv(data)
        self._notices = notices
        self.change(sheet)

    @property
    def can_undo(self):
        """Whether there is a change to take back."""
        return bool(self._earlier)

    def undo(self):
        """Take back the last change and save; does nothing where there is none."""
        if self._earlier:
            self.sheet, self._step = self._earlier.pop(), None
            self.save()

    def save(self):
        """Write the file in one step. Raises CannotSave where another window changed it, or the disk refuses."""
        self.saved = False
        data = self.text().encode("utf-8")
        check_size(len(data))
        with _alone(self.path.parent):
            if self.changed_elsewhere():
                raise CannotSave("sheet_changed", path=self.path)
            kiln.write_file(self.path, data)
        self._stamp = _stamp(data)
        self.saved = True
        self._claim()

    def save_copy(self, path):
        """Write what is on this screen to a new file and go on with that one."""
        copy = SampleSheet.create(path, self.sheet)
        copy.close()
        self.path, self._stamp, self.saved = copy.path, copy._stamp, True
        self._claim()

    def reload(self):
        """Read the file again, as one change that can be undone."""
        data = _read(self.path)
        sheet, self._notices = read_csv(data)
        if sheet != self.sheet:
            self._earlier.append(self.sheet)
        self.sheet, self._step, self._stamp, self.saved = sheet, None, _stamp(data), True
        self._claim()

    def changed_elsewhere(self):
        """Whether the file holds something this window has neither read nor written."""
        try:
            return _stamp(self.path.read_bytes()) != self._stamp
        except OSError:
            return False

    def text(self):
        """The sheet as CSV text, for the file and for export."""
        return write_csv(self.sheet)

    def questions(self):
        """Notices: how doubtful dates were read, another window, and everything odd in the weights."""
        open_elsewhere = [Notice("sheet_open_elsewhere")] if self.open_elsewhere else []
        return [*open_elsewhere, *self._notices, *self.sheet.questions()]

    def close(self):
        """Give up the claim on the file; entries are on disk already."""
        if self._hold is not None:
            self._hold.close()
            self._hold = None

    def _claim(self):
        """Mark the file as open here for as long as this object lives, and notice who else has."""
        self.close()
        self.open_elsewhere = False
        if fcntl is None or self._stamp is None:
            return
        with contextlib.suppress(OSError):
            self._hold = self.path.open("rb")
            try:
                fcntl.flock(self._hold, fcntl.LOCK_EX | fcntl.LOCK_NB)
            except BlockingIOError:
                self.open_elsewhere = True


def _read(path):
    """Bytes of a file, refused unread where it is too big."""
    try:
        check_size(os.stat(path).st_size)
        return Path(path).read_bytes()
    except OSError as error:
        raise CannotSave("sheet_gone", path=path, reason=error.strerror or error) from error


def _stamp(data):
    return hashlib.sha256(data).digest()


@contextlib.contextmanager
def _alone(place):
    """Keep other windows from saving into a folder between a look at a file and its replacement."""
    if fcntl is None:
        yield
        return
    with contextlib.suppress(OSError):
        place.mkdir(parents=True, exist_ok=True)
    try:
        hold = os.open(place, os.O_RDONLY)
    except OSError:
        yield  # the save itself will say what is wrong with the folder
        return
    try:
        with contextlib.suppress(OSError):
            fcntl.flock(hold, fcntl.LOCK_EX)
        yield
    finally:
        os.close(hold)
