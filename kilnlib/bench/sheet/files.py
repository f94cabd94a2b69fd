"""Files around sample sheets: those of the user's, the invented charges, what is exported, and unfinished typing."""

import base64
import contextlib
import html
import json
import mimetypes
import os
from pathlib import Path

from kilnlib.errors import KilnError
from kilnlib.kiln import user_folder, write_file
from kilnlib.sheet import SampleSheet, folder, free_path
from kilnlib.user_files import clear_leftovers

EXAMPLES = Path(__file__).parents[3] / "workbooks" / "data"
FIRST_EXAMPLE = "red_oak_4_4"
UNFINISHED = "unfinished.json"


def own_sheets():
    """The user's sheets, the one used last first."""
    try:
        return sorted(folder().glob("*.csv"), key=lambda path: (-path.stat().st_mtime, path.name))
    except OSError:
        return []


def examples():
    """The invented charges that come with the workbook."""
    return sorted(EXAMPLES.glob("*.csv"))


def open_own(path):
    """A sheet of the user's, which is then the one used last. Raises a KilnError with a sentence."""
    opened = SampleSheet.open(path)
    with contextlib.suppress(OSError):
        os.utime(path)
    return opened


def open_example(path):
    """A copy of an invented charge; it becomes a file of the user's with the first entry."""
    return SampleSheet.copy_of(free_path(f"{path.stem} example"), path.read_bytes())


def open_last():
    """(sheet, problem): the user's last sheet that can be read, else the red oak example; None or what hindered.

    What cut-off saves have left behind is cleared first.
    """
    problem = None
    clear_leftovers(user_folder())
    for path in own_sheets():
        try:
            return open_own(path), problem
        except KilnError as error:
            problem = problem or error
    return open_example(EXAMPLES / f"{FIRST_EXAMPLE}.csv"), problem


def take_in(name, data):
    """A new sheet of the user's from the bytes of a CSV. Raises a KilnError with a sentence."""
    return SampleSheet.take_in(free_path(name), data)


def numbered(path):
    """Whether a file has a number behind its name because another one has that name."""
    name, space, number = path.stem.rpartition(" ")
    return bool(space) and number.isdecimal() and path.with_stem(name).exists()


def out_folder():
    """Where exports and printed pages go."""
    return user_folder() / "exported"


def write_out(stem, **contents):
    """Write what was made of a sheet, one file for each suffix, beside older ones; returns their paths by suffix.

    Raises CannotSave with a sentence.
    """
    number = 1
    while True:
        name = stem if number == 1 else f"{stem} {number}"
        paths = {suffix: out_folder() / f"{name}.{suffix}" for suffix in contents}
        if all(not path.exists() or path.read_bytes() == contents[suffix] for suffix, path in paths.items()):
            break
        number += 1
    for suffix, path in paths.items():
        write_file(path, contents[suffix])
    return paths


def link(path, data):
    """A link that puts a file where the browser puts downloads, as HTML."""
    kind = mimetypes.guess_type(path.name)[0] or "text/csv"
    coded = base64.b64encode(data).decode("ascii")
    return f'<a download="{html.escape(path.name)}" href="data:{kind};base64,{coded}">{html.escape(path.name)}</a>'


class Unfinished:
    """Typed text that could not be taken into a sheet yet, kept on disk until it can: {row: {box: text}}."""

    def __init__(self, path):
        self._name = path.name
        self._rows = self._all().get(self._name, {})

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
        everything = {name: rows for name, rows in self._all().items() if name != self._name}
        if self._rows:
            everything[self._name] = self._rows
        with contextlib.suppress(KilnError):  # the text still stands on the screen
            write_file(folder() / UNFINISHED, json.dumps(everything, indent=1).encode())

    @staticmethod
    def _all():
        try:
            found = json.loads((folder() / UNFINISHED).read_text(encoding="utf-8"))
            return {
                name: {row: {box: str(typed) for box, typed in texts.items()} for row, texts in rows.items()}
                for name, rows in found.items()
            }
        except (OSError, ValueError, AttributeError):
            return {}
