"""The mill's sample sheet on disk: a plain CSV that is saved as you type, can be undone, and survives a crash.

The layout (ours, documented here so that a spreadsheet or another program can write it)
-----------------------------------------------------------------------------------------
UTF-8 text. Lines that start with # are remarks. The first other line holds the headings, in any order; columns with
other headings are left alone. Remarks, other columns and the order of rows stay as they are when a sheet is saved
(`kilnlib.store.sheet_keep`). The last line of a saved sheet says that it ends there: without it the file was cut short.

    item,board,date,weight,oven-dry,unit,dry bulb F,wet bulb F,note

and, once they are used, also dry bulb leaving F, wet bulb leaving F and bucket drained: columns that the version before
leaves alone, on rows that it reads.

Every further row is one fact, named under `item`:

    item            what the row holds
    charge          note: what you call this charge
    species         note: such as red oak
    thickness       note: such as 4/4 inch (bare 4/4 becomes a date in spreadsheets)
    target          note: moisture content wanted, in percent
    units           note: units to write in, such as lb g F (sample boards, sections, temperature)
    scale step      note: smallest difference that the boards' scale shows, with its unit, such as 0.01 lb
    board           board: its name; note: where it lies, why it was chosen
    section         board; weight: green; oven-dry: from the oven, or empty while it is in there; unit
    weight          board; date; weight; unit; note. The first one is taken when the sections are cut
    recut           board; date; weight: of the board after the cut; unit; note. There is a weight of the same date too
    recut section   board; date of the recut; weight; oven-dry; unit
    air             date; dry bulb; wet bulb; where they were read: dry bulb leaving, wet bulb leaving (of the air that
                    leaves the stack), bucket drained (water since the time before, with its unit, such as 12.5 gal)
    note            date; note

Rows may stand in any order. Weights are in lb, oz, g or kg, as the column unit, the heading ("weight kg") or the cell
itself ("4.46 lb", "4 lb 7 oz") says. Words that a spreadsheet might run as a
formula are written with a ' in front, which is taken off again when they are read.

Reading forgives form: other separators (; or tab), a decimal comma, UTF-16, the year first or last, month names, hours
with AM or PM, blank lines, more columns. It refuses what has no clear meaning, with row, column and reason
(`kilnlib.store.csv_table.BadRow`). What is possible but odd is kept, with a question (`SampleSheet.questions`).
"""

import contextlib
import datetime
import hashlib
from collections.abc import Hashable
from pathlib import Path
from typing import BinaryIO

from kilnlib.errors import BadInput, CannotSave, Notice
from kilnlib.physics.samples import Sheet, when_text
from kilnlib.store import kiln
from kilnlib.store.csv_table import check_size
from kilnlib.store.files import alone, fcntl, read_file, write_file
from kilnlib.store.sheet_keep import Kept, keep, keep_sheet

UNDO_LIMIT = 100
RESERVED = {
    "CON",
    "PRN",
    "AUX",
    "NUL",
    *(f"{name}{n}" for name in ("COM", "LPT") for n in "0123456789¹²³"),
}  # on Windows


def folder() -> Path:
    """Where sheets of the user's are kept."""
    return kiln.user_folder() / "sheets"


def free_path(name: str, place: Path | None = None) -> Path:
    """Path for a new sheet of that name in the folder of sheets or another place, numbered where the name is taken."""
    place, stem = place or folder(), _stem(name)
    taken = 1
    path = place / f"{stem}.csv"
    while path.exists():
        taken += 1
        path = place / f"{stem} {taken}.csv"
    return path


def path_for(name: str) -> Path:
    """Path of the user's sheet of that name, whether there is one or not."""
    return folder() / f"{_stem(name)}.csv"


def name_taken(name: str) -> bool:
    """Whether the user has a sheet of that name already."""
    return path_for(name).exists()


def _stem(name):
    """A name as it may stand in a folder. Raises BadInput for one that Windows keeps for itself."""
    plain = "".join(c if c.isalnum() or c in " ._-" else "_" for c in Path(str(name)).name).strip(" .")
    stem = (plain[:-4] if plain.lower().endswith(".csv") else plain)[:60].strip(" .") or "sheet"
    if stem.partition(".")[0].strip().upper() in RESERVED:
        raise BadInput("name_reserved", name=stem)
    return stem


class SampleSheet:
    """One sheet on disk, open for entries. Every change is saved before it returns."""

    def __init__(self, path: str | Path, kept: Kept, stamp: bytes | None) -> None:
        self.path = Path(path)
        self._kept = kept  # the file as it was read or written last
        self.sheet = kept.sheet
        self.saved = stamp is not None
        self._stamp = stamp  # what this window last read or wrote, None before the first save
        self._notices = list(kept.notices)
        self._earlier: list[tuple[Sheet, Kept]] = []  # states that can be brought back, the last one last
        self._step: Hashable = None  # of the last change: another of the same step is taken back with it
        self._hold: BinaryIO | None = None  # the open file, by whose lock other windows see that it is open here
        self._claim()

    @classmethod
    def create(cls, path: str | Path, sheet: Sheet) -> "SampleSheet":
        """A new sheet on disk. Raises CannotSave if the file is already there or cannot be written."""
        if Path(path).exists():
            raise CannotSave("sheet_exists", path=path)
        made = cls(path, keep_sheet(sheet), None)
        made._make()
        return made

    @classmethod
    def take_in(cls, path: str | Path, data: str | bytes) -> "SampleSheet":
        """A new sheet on disk from the bytes of a CSV. Raises CannotSave, BadInput or BadRow."""
        made = cls.copy_of(path, data)
        made._make()
        return made

    @classmethod
    def copy_of(cls, path: str | Path, data: str | bytes) -> "SampleSheet":
        """A sheet from the bytes of a CSV that comes to stand on disk with the first entry."""
        return cls(path, keep(data), None)

    @classmethod
    def open(cls, path: str | Path) -> "SampleSheet":
        """The sheet of a file. Raises CannotSave if it cannot be opened, BadInput or BadRow if it cannot be read."""
        data = read_file(path, check_size)
        return cls(path, keep(data), _stamp(data))

    def change(self, sheet: Sheet, step: Hashable = None) -> None:
        """Take another state of the sheet and save it; the state before can be brought back by `undo`.

        Changes of the same `step` one after the other, as while a number is being typed, are taken back as one. Raises
        CannotSave where it could not be written: the entry is then still in `sheet`, and `saved` is False.
        """
        if sheet == self.sheet:
            return
        if step is None or step != self._step:
            self._earlier = [*self._earlier[1 - UNDO_LIMIT :], (self.sheet, self._kept)]
        self.sheet, self._step = sheet, step
        self.save()

    def weigh(self, board: str, when: datetime.datetime, weight_kg: float, note: str | None = None) -> None:
        """Enter one weight, or correct the one at that time; None leaves a note as it is."""
        self.change(self.sheet.with_board(self.sheet.board(board).weigh(when, weight_kg, note)))

    def load(self, data: str | bytes) -> None:
        """Replace everything by a CSV (text or bytes), as one change. Raises BadInput and leaves the sheet alone."""
        self._take(keep(data))

    def read_dates(self, day_comes_first: bool) -> None:
        """Read dates such as 3/4/2026 with the day first, or the month, as one change; from then on the year is first.

        Raises BadInput where they cannot all be read so, and leaves the sheet alone.
        """
        self._take(self._kept.with_sheet(self.sheet).with_dates(day_comes_first))

    def _take(self, kept):
        """Go on with another file in the place of this one, as one change."""
        self._earlier = [*self._earlier[1 - UNDO_LIMIT :], (self.sheet, self._kept)]
        self._kept, self.sheet, self._step, self._notices = kept, kept.sheet, None, list(kept.notices)
        self.save()

    @property
    def can_undo(self) -> bool:
        """Whether there is a change to take back."""
        return bool(self._earlier)

    def undo(self) -> None:
        """Take back the last change and save; does nothing where there is none."""
        if self._earlier:
            (self.sheet, self._kept), self._step = self._earlier.pop(), None
            self._notices = list(self._kept.notices)
            self.save()

    def save(self) -> None:
        """Write the file in one step. Raises CannotSave where another window changed it, or the disk refuses."""
        self.saved = False
        kept = self._kept.with_sheet(self.sheet)
        data = kept.encoded()
        check_size(len(data))
        with alone(self.path):
            if self.changed_elsewhere():
                raise CannotSave("sheet_changed", path=self.path)
            write_file(self.path, data)
        self._kept, self._stamp = kept, _stamp(data)
        self.saved = True
        self._claim()

    def _make(self):
        """Save a sheet that is new. Raises CannotSave in words for a sheet that is on no screen yet."""
        try:
            self.save()
        except CannotSave as error:
            if error.code != "cannot_save":
                raise
            raise CannotSave("sheet_not_made", **error.fields) from error

    def save_copy(self, path: str | Path) -> None:
        """Write what is on this screen to a new file and go on with that one."""
        copy = SampleSheet.take_in(path, self._kept.with_sheet(self.sheet).encoded())
        copy.close()
        self.path, self._kept, self._stamp, self.saved = copy.path, copy._kept, copy._stamp, True
        self._claim()

    def reload(self) -> None:
        """Read the file again, as one change that can be undone."""
        data = read_file(self.path, check_size)
        kept = keep(data)
        if kept.sheet != self.sheet:
            self._earlier.append((self.sheet, self._kept))
        self._kept, self._notices = kept, list(kept.notices)
        self.sheet, self._step, self._stamp, self.saved = kept.sheet, None, _stamp(data), True
        self._claim()

    def changed_elsewhere(self) -> bool:
        """Whether the file holds something this window has neither read nor written."""
        try:
            return _stamp(read_file(self.path, check_size)) != self._stamp
        except CannotSave:
            return False
        except BadInput:
            return True  # it has grown beyond any sheet

    def text(self) -> str:
        """The sheet as CSV text, for the file and for export."""
        return self._kept.with_sheet(self.sheet).text

    def questions(self) -> list[Notice]:
        """Notices: how doubtful dates were read, another window, and everything odd in the weights."""
        return [*self.notices(), *self.sheet.questions()]

    def notices(self) -> list[Notice]:
        """Notices about the whole file: how doubtful dates were read, another window, entries still to come."""
        open_elsewhere = [Notice("sheet_open_elsewhere")] if self.open_elsewhere else []
        return [*open_elsewhere, *self._notices, *self._to_come()]

    def _to_come(self):
        """A notice about entries that the clock says are still to come."""
        moments = [weighing.when for board in self.sheet.boards for weighing in board.weighings]
        moments += [row.when for row in (*self.sheet.air, *self.sheet.notes)]
        last, now = max(moments, default=datetime.datetime.min), datetime.datetime.now()
        if last.date() <= now.date():
            return []
        return [Notice("ask_future", last=when_text(last)[:10], now=f"{now:%Y-%m-%d}")]

    def close(self) -> None:
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


def _stamp(data):
    return hashlib.sha256(data).digest()
