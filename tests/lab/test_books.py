"""Notebook files are as the normaliser leaves them, and the list of our notebooks is true."""

import copy

import nbformat
import pytest

from kilnlib.lab import books, normalise


def test_every_shipped_notebook_is_normalised_and_listed(capsys):
    assert normalise.main(["--check"]) == 0, capsys.readouterr().out


def book(*cells):
    """A notebook of code cells, (source, tags) each."""
    made = nbformat.v4.new_notebook()
    for number, (source, *tags) in enumerate(cells):
        cell = nbformat.v4.new_code_cell(source, metadata={"tags": tags} if tags else {})
        cell["id"] = f"cell-{number}"
        made.cells.append(cell)
    return made


def test_the_fingerprint_is_of_the_code_alone():
    plain = book(("print(1)",), ("print('é \\u2028')",))
    same = book(("print(1)",), ("",), ("print('é \\u2028')",), (" \n\t",))
    same.cells.insert(0, nbformat.v4.new_markdown_cell("# Text"))
    same.cells[1].outputs = [nbformat.v4.new_output("stream", text="1\n")]
    assert books.fingerprint(plain) == books.fingerprint(same)
    for other in (book(("print(1) ",), ("print('é \\u2028')",)), book(("print('é \\u2028')",), ("print(1)",))):
        assert books.fingerprint(other) != books.fingerprint(plain)


def test_a_known_fingerprint():
    """SHA-256 of the JSON text ["print(\\"é\\")"], as another program computes it."""
    assert (
        books.fingerprint(book(('print("é")',))) == "89f13f406175121834b1439796949cdb47c4cd9ccc875a23d126bf848bce4c4c"
    )


@pytest.fixture
def folder(tmp_path, monkeypatch):
    """A folder of its own for the notebooks and their list."""
    monkeypatch.setattr(books, "WORKBOOKS", tmp_path)
    monkeypatch.setattr(books, "ANSWERS", tmp_path / "answers")
    monkeypatch.setattr(books, "LIST", tmp_path / "books.json")
    return tmp_path


WIDGET = "import ipywidgets as w\nw.FloatSlider()"


@pytest.fixture
def lesson(folder):
    """A normalised notebook, and what the normaliser said about it."""
    made = book(
        ("import sys\nfor n in range(3):\n    print(n)\n    sys.stdout.flush()\n\n",),
        (WIDGET, "nbval-ignore-output"),
        ("6 * 7",),
    )
    made.metadata.widgets = {"application/vnd.jupyter.widget-state+json": {"state": {}}}
    made.cells[0].metadata = {"execution": {"iopub.status.busy": "2020-01-01"}, "collapsed": True}
    made.cells[2].metadata = {"jupyter": {"source_hidden": True}}
    nbformat.write(made, folder / "02_air.ipynb")
    assert normalise.main([str(folder / "02_air.ipynb")]) == 0
    return folder / "02_air.ipynb"


def test_normalising_runs_strips_and_lists(lesson):
    made = nbformat.read(lesson, as_version=4)
    assert [cell.execution_count for cell in made.cells] == [1, 2, 3]
    assert [cell.id for cell in made.cells] == ["cell-0", "cell-1", "cell-2"]
    assert [output.text for output in made.cells[0].outputs] == ["0\n1\n2\n"]
    assert made.cells[1].outputs == []
    assert made.cells[2].outputs[0].data == {"text/plain": "42"}
    assert "widgets" not in made.metadata
    assert made.metadata.kernelspec.name == "python3"
    locked = {"editable": False, "deletable": False}
    assert [dict(cell.metadata) for cell in made.cells] == [
        locked,
        locked | {"tags": ["nbval-ignore-output"]},
        locked | {"jupyter": {"source_hidden": True}},
    ]
    text = lesson.read_text(encoding="utf-8")
    assert text.startswith('{\n "cells"') and text.endswith("}\n")
    assert books.load_list() == {books.fingerprint(made): "02_air.ipynb"}


def test_normalising_twice_gives_the_same_bytes(lesson):
    once = lesson.read_bytes(), books.LIST.read_bytes()
    assert normalise.main([str(lesson)]) == 0
    assert (lesson.read_bytes(), books.LIST.read_bytes()) == once


def test_check_is_silent_on_what_is_normal(lesson, capsys):
    assert normalise.main(["--check", str(lesson)]) == 0


def test_check_finds_every_difference(lesson, capsys):
    good = nbformat.read(lesson, as_version=4)

    def spoiled(change):
        made = copy.deepcopy(good)
        change(made)
        nbformat.write(made, lesson)
        code = normalise.main(["--check", str(lesson)])
        return code, capsys.readouterr().out

    def clear(made):
        made.cells[0].execution_count = None

    def time(made):
        made.cells[0].metadata["execution"] = {}

    def state(made):
        made.metadata["widgets"] = {}

    def picture(made):
        made.cells[1].outputs = [nbformat.v4.new_output("display_data", data={"text/plain": "x"})]

    def code(made):
        made.cells[2].source = "6 * 8"

    for change in (clear, time, state, picture):
        found, printed = spoiled(change)
        assert found == 1 and "not as the normaliser leaves it" in printed
    found, printed = spoiled(code)
    assert found == 1 and "books.json is not the list" in printed


def test_check_finds_a_widget_without_the_tag(folder, capsys):
    made = book((WIDGET,))
    nbformat.write(made, folder / "02_air.ipynb")
    assert normalise.main([str(folder / "02_air.ipynb")]) == 0
    assert normalise.main(["--check", str(folder / "02_air.ipynb")]) == 1
    assert "cell cell-0 shows a widget, so it needs the tag nbval-ignore-output" in capsys.readouterr().out


def test_a_cell_that_fails_stops_it(folder):
    nbformat.write(book(("1 / 0",)), folder / "02_air.ipynb")
    before = (folder / "02_air.ipynb").read_bytes()
    with pytest.raises(Exception, match="ZeroDivisionError"):
        normalise.main([str(folder / "02_air.ipynb")])
    assert (folder / "02_air.ipynb").read_bytes() == before
