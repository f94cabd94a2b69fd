"""Whether this machine is ready for the workbook, in words."""

import importlib.metadata
import os
import re
import shlex
import subprocess
import sys
import tempfile
import tomllib
from pathlib import Path

from kilnlib.errors import KilnError
from kilnlib.lab import books, server
from kilnlib.store import pages
from kilnlib.words import text

NAME = "first-charge"


def command(*words):
    """A command line to copy, quoted for this system's shell."""
    return subprocess.list2cmdline(words) if os.name == "nt" else shlex.join(words)


def repair():
    """The command that puts a missing package right: the workbook's own Python where there is one, else an install."""
    own = books.ROOT / ".venv" / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    if own.exists() and Path(sys.prefix).resolve() != (books.ROOT / ".venv").resolve():
        return command(str(own), "-m", "kilnlib")
    if pages.IN_PACKAGE:
        return command(sys.executable, "-m", "pip", "install", *list(needs().values())[1:])
    return command(sys.executable, "-m", "pip", "install", "-e", str(books.ROOT))


def needs():
    """{package: its requirement, such as "numpy>=2.0,<3"}: the workbook, and what pyproject.toml or the wheel names."""
    if pages.IN_PACKAGE:
        lines = [line for line in importlib.metadata.requires(NAME) if "extra ==" not in line]
    else:
        project = tomllib.loads((books.ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
        lines = project["dependencies"]
    return {NAME: NAME, **{re.match(r"[\w-]+", line)[0]: line for line in lines}}


def installed(package):
    """Version of a package of this Python, or None. What lies in the project's folder itself does not count: no kernel
    would find it."""
    places = [place for place in sys.path if place and (pages.IN_PACKAGE or Path(place).resolve() != books.ROOT)]
    found = next(iter(importlib.metadata.distributions(name=package, path=places)), None)
    return found and found.version


def missing():
    """Names of the packages that are not there."""
    return [package for package in needs() if installed(package) is None]


def check():
    """Every finding as (ready, sentence); ready is None for what hinders nothing."""
    parts = (_python, _packages, _library, _folder, _port, _browser, _workbooks)
    return [finding for part in parts for finding in part()]


def _python():
    yield True, text("check.python", version=".".join(map(str, sys.version_info[:3])), path=sys.executable)


def _packages():
    lacking = missing()
    if lacking:
        yield False, text("start.missing", names=", ".join(lacking), command=repair())
        return
    from packaging.requirements import Requirement

    for package, line in needs().items():
        version, wanted = installed(package), Requirement(line).specifier
        good = wanted.contains(version, prereleases=True)
        key = "check.package" if good else "check.package_bad"
        yield good, text(key, name=package, version=version, wanted=str(wanted) or "any", command=repair())


def _library():
    try:
        from kilnlib import tables, units
        from kilnlib.physics import air

        rows = sum(len(tables.load(name)) for name in tables.names())
        rh = air.rh_pct(units.f_to_c(110.0), units.f_to_c(100.0))
    except (ImportError, OSError, ValueError, KilnError) as error:
        yield False, text("check.library_bad", reason=error, command=repair())
        return
    yield bool(rows), text("check.tables", rows=rows)
    yield abs(rh - 70.4) < 0.1, text("check.number", rh=f"{rh:.1f}")


def _folder():
    from kilnlib.store.kiln import user_folder  # needs numpy

    folder = user_folder()
    there = next(place for place in (folder, *folder.absolute().parents) if place.exists())
    try:
        with tempfile.TemporaryFile(dir=there):
            pass
    except OSError as error:
        yield False, text("start.read_only", path=folder, reason=error.strerror or error)
        return
    yield True, text("check.folder", path=folder)


def _port():
    port = server.free_port()
    yield bool(port), text("check.port", port=port) if port else text("start.no_port", wanted=server.PORT)


def _browser():
    if server.find_browser() is not None:
        yield True, text("check.browser")
    else:
        yield None, text("check.no_browser")


def _workbooks():
    shipped = sorted(books.WORKBOOKS.glob("*.ipynb"))
    if not shipped:
        yield False, text("start.no_workbooks", path=books.WORKBOOKS)
        return
    listed = books.load_list()
    strange = [path.name for path in shipped if books.fingerprint(books.read(path)) not in listed]
    if strange:
        write_list = command(sys.executable, "-m", "kilnlib.lab.normalise")
        yield False, text("check.strange", names=", ".join(strange), command=write_list)
        return
    yield True, text("check.workbooks", count=len(shipped))
