"""`python -m kilnlib.lab.normalise FILES…`: run notebooks and write them so that the same notebook is the same bytes.

Removed: the outputs of panels and questions (cells tagged `nbval-ignore-output`), widget state, times, and whatever
else an editor leaves in the metadata. Then the list of our notebooks is written anew. With `--check` nothing runs and
nothing is written: it says which files are not as this command would leave them, and whether the list is true.
"""

import argparse
import copy
import os
import sys
import tempfile
from pathlib import Path

import nbformat

from kilnlib.lab import books
from kilnlib.lab.contents import bare_metadata

QUIET = "nbval-ignore-output"
WIDGET = "application/vnd.jupyter.widget-view+json"


def execute(book, folder):
    """Run every cell in the notebook's folder, with a user's folder that is empty; raises if a cell fails."""
    from nbclient import NotebookClient

    client = NotebookClient(
        book,
        timeout=120,
        kernel_name="python3",
        store_widget_state=False,
        record_timing=False,
        resources={"metadata": {"path": str(folder)}},
    )
    with tempfile.TemporaryDirectory() as home:
        client.execute(env=os.environ | {"FIRST_CHARGE_HOME": home})


def tidy(book):
    """Leave only what belongs in the repository; changes the notebook in place."""
    bare_metadata(book)
    book.nbformat, book.nbformat_minor = 4, 5
    count = 0
    for cell in book.cells:
        cell.metadata |= {"editable": False, "deletable": False}  # a lesson cannot be typed over or lose a section
        cell.source = cell.source.strip("\n")
        if cell.cell_type != "code":
            continue
        count += 1
        cell.execution_count = count
        cell.outputs = [] if QUIET in cell.metadata.get("tags", ()) else _joined(cell.outputs)
        for output in cell.outputs:
            if output.output_type == "execute_result":
                output.execution_count = count
            if "metadata" in output:
                output.metadata = nbformat.from_dict({})
    return book


def _joined(outputs):
    """Neighboring pieces of the same stream as one: how a kernel cuts them is chance."""
    joined = []
    for output in outputs:
        last = joined[-1] if joined else None
        if last and output.output_type == last.output_type == "stream" and output.name == last.name:
            last.text += output.text
        else:
            joined.append(output)
    return joined


def written(book):
    """A notebook as it stands in its file."""
    nbformat.validate(book)
    return nbformat.writes(book, indent=1, ensure_ascii=False).rstrip("\n") + "\n"


def problems(path):
    """Sentences on what `--check` finds in a notebook."""
    text = path.read_text(encoding="utf-8")
    book = nbformat.reads(text, as_version=4)
    if written(tidy(copy.deepcopy(book))) != text:
        yield f"{path} is not as the normaliser leaves it. Run: python -m kilnlib.lab.normalise {path}"
    for cell in book.cells:
        if any(WIDGET in output.get("data", {}) for output in cell.get("outputs", ())):
            yield f"{path}: cell {cell.id} shows a widget, so it needs the tag {QUIET}."


def main(arguments=None):
    """Normalise or check; returns the exit code."""
    parser = argparse.ArgumentParser(
        prog="python -m kilnlib.lab.normalise", description="Run notebooks, tidy their files."
    )
    parser.add_argument("files", nargs="*", type=Path, metavar="FILE", help="notebooks; without any, all that we ship")
    parser.add_argument("--check", action="store_true", help="only say what is not as this command would leave it")
    chosen = parser.parse_args(arguments)
    files = chosen.files or sorted([*books.WORKBOOKS.glob("*.ipynb"), *books.ANSWERS.glob("*.ipynb")])
    if chosen.check:
        found = [problem for path in files for problem in problems(path)]
        if books.load_list() != books.make_list(books.WORKBOOKS, books.ANSWERS):
            found.append(
                "kilnlib/lab/books.json is not the list of these notebooks. Run: python -m kilnlib.lab.normalise"
            )
        print("\n".join(found) or "All as the normaliser leaves it.")
        return 1 if found else 0
    for path in files:
        book = nbformat.read(path, as_version=4)
        execute(book, path.resolve().parent)
        path.write_text(written(tidy(book)), encoding="utf-8", newline="\n")
        print(path)
    books.save_list()
    return 0


if __name__ == "__main__":
    sys.exit(main())
