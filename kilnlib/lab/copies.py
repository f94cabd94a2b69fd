"""The learner's copy of the workbooks: brought up to date at each start, and nothing of the learner's is ever lost.

A lesson that the learner left alone is refreshed when the shipped one changes. Notes in the text stay where they are
until then. A copy whose code was changed, or whose shipped lesson has changed since, is kept beside under another name
and the shipped lesson takes its place, so that a lesson always opens alive.
"""

import hashlib
import json

from kilnlib.lab import books
from kilnlib.store.kiln import write_file

NOTES = "shipped.json"


def refresh(shipped, copy, settings):
    """Bring the folder `copy` up to the folder `shipped`; returns the (name, kept as) pairs of copies put aside.

    Raises CannotSave or OSError where the folder cannot be written.
    """
    notes_file = settings / NOTES
    before = _notes(notes_file)
    now, aside = {}, []
    for source in sorted(_files(shipped)):
        name = source.relative_to(shipped).as_posix()
        data, target = source.read_bytes(), copy / name
        now[name] = _meaning(name, data)
        if not target.exists():
            write_file(target, data)
            continue
        found = target.read_bytes()
        meaning = _meaning(name, found)
        if meaning == now[name] or (now[name] == before.get(name) and _same_code(name, found, data)):
            continue
        if meaning != before.get(name):
            aside.append((target.name, _put_aside(target, found).name))
        write_file(target, data)
    for name in before.keys() - now.keys():
        target = copy / name
        if target.is_file() and _meaning(name, target.read_bytes()) == before[name]:
            target.unlink()
    if now != before:
        write_file(notes_file, json.dumps(now, indent=1).encode())
    return aside


def _files(folder):
    for path in folder.iterdir():
        if path.is_dir() and not path.name.startswith((".", "__")):
            yield from _files(path)
        elif path.is_file() and not path.name.startswith("."):
            yield path


def _notes(path):
    try:
        notes = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return {}
    return notes if isinstance(notes, dict) else {}


def _meaning(name, data):
    """Hash of what a person changes in a file: of a notebook the text of its cells, never what a run leaves behind."""
    if name.endswith(".ipynb"):
        try:
            cells = json.loads(data)["cells"]
            data = json.dumps([(cell["cell_type"], "".join(cell["source"])) for cell in cells]).encode()
        except (ValueError, KeyError, TypeError):
            pass  # no notebook any more: then its bytes are what it means
    return hashlib.sha256(data).hexdigest()


def _same_code(name, one, other):
    try:
        return name.endswith(".ipynb") and books.fingerprint(json.loads(one)) == books.fingerprint(json.loads(other))
    except (ValueError, KeyError, TypeError):
        return False


def _put_aside(path, data):
    """Keep a copy beside the file, as "02_air (yours).ipynb" or with a number that is free; returns where."""
    number = 1
    while True:
        yours = path.with_name(f"{path.stem} (yours{f' {number}' if number > 1 else ''}){path.suffix}")
        if not yours.exists():
            write_file(yours, data)
            return yours
        if yours.read_bytes() == data:
            return yours
        number += 1
