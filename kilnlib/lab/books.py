"""The list of our notebooks: a hash of each one's code, for the extension to compare with the code it has loaded."""

import hashlib
import json
from pathlib import Path

from kilnlib.store.pages import ANSWERS, PACKAGE, WORKBOOKS

ROOT = PACKAGE.parent
LIST = Path(__file__).with_name("books.json")


def read(path):
    """A notebook file as a dictionary."""
    return json.loads(Path(path).read_text(encoding="utf-8"))


def sources(book, kind=None):
    """The text of every cell, or of the cells of one kind, in order."""
    cells = [cell for cell in book["cells"] if kind in (None, cell["cell_type"])]
    return ["".join(cell["source"]) for cell in cells]


def fingerprint(book):
    """SHA-256 of the code of a notebook. An empty cell, left by accident, does not count.

    The extension writes the same JSON in the browser: keep both alike.
    """
    code = [source for source in sources(book, "code") if source.strip(" \t\r\n")]
    written = json.dumps(code, ensure_ascii=False, separators=(",", ":"))
    return hashlib.sha256(written.encode("utf-8", "backslashreplace")).hexdigest()


def make_list(*folders):
    """{fingerprint: name} of the notebooks that lie in some folders."""
    paths = sorted((path for folder in folders for path in folder.glob("*.ipynb")), key=lambda path: path.name)
    return {fingerprint(read(path)): path.name for path in paths}


def load_list():
    """{fingerprint: name} of the notebooks that may run when they open; none if there is no list."""
    return json.loads(LIST.read_text(encoding="utf-8")) if LIST.is_file() else {}


def save_list():
    """Write the list of the notebooks that we ship."""
    text = json.dumps(make_list(WORKBOOKS, ANSWERS), indent=1, ensure_ascii=False) + "\n"
    LIST.write_text(text, encoding="utf-8", newline="\n")
