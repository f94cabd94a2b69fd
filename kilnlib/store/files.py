"""Files of the user's: written in one step, by one program at a time, and for nobody else to read."""

import contextlib
import os
import re
import stat
import time
from collections.abc import Callable, Iterator
from pathlib import Path

from kilnlib.errors import CannotSave

try:
    import fcntl
except ImportError:  # Windows: without locks, another window is noticed when it has saved
    fcntl = None  # type: ignore[assignment]

PRIVATE = 0o600  # the rights of a file that only its user may read
LOCK_S = 0.7  # how long a save waits for another program that has the folder locked
LOOK_S = 0.05  # and how long it waits between two looks
LEFTOVER = re.compile(r"\..+\.(\d+)\.tmp")


def read_file(path: str | Path, check_size: Callable[[int], None]) -> bytes:
    """Bytes of a file; what is no file, or too big for `check_size`, is refused unread. Raises CannotSave, BadInput."""
    try:
        status = os.stat(path)
        if not stat.S_ISREG(status.st_mode):  # to open a pipe would wait for ever
            raise CannotSave("sheet_not_file", path=path)
        check_size(status.st_size)
        return Path(path).read_bytes()
    except CannotSave:
        raise
    except OSError as error:
        raise CannotSave("sheet_gone", path=path, reason=error.strerror or error) from error


def write_file(path: str | Path, data: bytes, mode: int = PRIVATE) -> None:
    """Write bytes to a file of the user's in one step: the whole new file stands there, or the old one still does.

    Only the user may read it, where the system knows such a thing and `mode` says nothing else.
    """
    path = Path(path)
    path = path.resolve() if path.is_symlink() else path
    waiting = path.with_name(f".{path.name}.{os.getpid()}.tmp")
    try:
        make_folder(path.parent)
        waiting.unlink(missing_ok=True)
        waiting.touch(mode=PRIVATE)
        if mode != PRIVATE:
            waiting.chmod(mode)  # whatever the system takes from new files: those it is for must be able to read it
        with waiting.open("wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        waiting.replace(path)
    except OSError as error:
        with contextlib.suppress(OSError):
            waiting.unlink(missing_ok=True)
        raise CannotSave("cannot_save", path=path, reason=error.strerror or error) from error


def put_beside(waiting: Path, path: Path) -> None:
    """Give a file that is written its name, and never the name of one that is there: FileExistsError."""
    try:
        os.link(waiting, path)
    except FileExistsError:
        raise
    except OSError:  # a stick that knows no links
        if path.exists():
            raise FileExistsError from None
        waiting.rename(path)


def make_folder(path: Path) -> None:
    """Make a folder of the user's, and those it lies in; only the user may look into what was made. Raises OSError."""
    for folder in reversed(path.parents):
        if not folder.exists():
            folder.mkdir(mode=0o700, exist_ok=True)
    path.mkdir(mode=0o700, exist_ok=True)


def clear_leftovers(folder: Path) -> None:
    """Remove what cut-off saves have left in the user's folder: temporary files of processes that are gone."""
    with contextlib.suppress(OSError):
        for path in (*folder.glob(".*.tmp"), *folder.glob("*/.*.tmp")):
            leftover = LEFTOVER.fullmatch(path.name)
            if leftover and _is_gone(int(leftover[1])):
                with contextlib.suppress(OSError):
                    path.unlink()


def _is_gone(process):
    """Whether no process of that number runs; where that cannot be asked without harm (Windows), it is taken to run."""
    if os.name != "posix":
        return False
    try:
        os.kill(process, 0)  # no signal: only asks
    except ProcessLookupError:
        return True
    except (OSError, OverflowError):
        return False
    return False


@contextlib.contextmanager
def alone(path: Path) -> Iterator[None]:
    """Keep other windows from saving into a folder between a look at a file and its replacement.

    Raises CannotSave where another program keeps the folder locked.
    """
    if fcntl is None:
        yield
        return
    with contextlib.suppress(OSError):
        make_folder(path.parent)
    try:
        hold = os.open(path.parent, os.O_RDONLY)
    except OSError:
        yield  # the save itself will say what is wrong with the folder
        return
    try:
        if not _locked(hold):
            raise CannotSave("folder_busy", path=path)
        yield
    finally:
        os.close(hold)


def _locked(hold):
    """Whether nobody else has it now; waits a moment for one who has. Where there are no locks, nobody has."""
    end = time.monotonic() + LOCK_S
    while True:
        try:
            fcntl.flock(hold, fcntl.LOCK_EX | fcntl.LOCK_NB)
            return True
        except BlockingIOError:
            if time.monotonic() >= end:
                return False
            time.sleep(LOOK_S)
        except OSError:
            return True
