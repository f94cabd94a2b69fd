"""What nbval does not see: cleared cells, missing checks, tags, the template of a lesson, a check that cannot fail."""

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from kilnlib.store.pages import read_pages
from kilnlib.store.record import FILE_NAME, open_record

ROOT = Path(__file__).parents[1]
BOOKS = sorted((ROOT / "workbooks").glob("*.ipynb"))
KEYS = sorted((ROOT / "answers").glob("*.ipynb"))
LESSONS = [book for book in BOOKS if re.match(r"\d\d_", book.name) and not book.name.startswith("00_")]
QUIET = "nbval-ignore-output"
FOLDED = "<details><summary>If nothing moves below</summary>Choose Run ▸ Run All Cells in the menu.</details>"
SHOWS = re.compile(r"^(lesson|panel|ask|warm_up|present|home|first_aid|glossary)\(", re.M)
SECTIONS = [
    "Warm-up",
    "At the kiln",
    "Predict",
    "Look",
    "Why",
    "Your turn",
    "Find the fault",
    "Check",
    "Tomorrow at the kiln",
    "Against the handbook",
]


def read(path):
    return json.loads(path.read_text(encoding="utf-8"))


def source(cell):
    return "".join(cell["source"])


def code_cells(path):
    return [cell for cell in read(path)["cells"] if cell["cell_type"] == "code"]


def prose(path):
    return "\n\n".join(source(cell) for cell in read(path)["cells"] if cell["cell_type"] == "markdown")


def tags(cell):
    return cell["metadata"].get("tags", [])


def printed(cell):
    return "".join("".join(output.get("text", "")) for output in cell["outputs"])


def by_name(paths):
    return pytest.mark.parametrize("book", paths, ids=lambda path: path.stem)


def test_there_are_lessons_with_keys():
    assert {"00_start_here", "02_air", "03_emc"} <= {book.stem for book in BOOKS}
    lessons = {book.stem for book in BOOKS if re.match(r"\d\d_|present_", book.name)}
    assert {f"{name}_key" for name in lessons} == {key.stem for key in KEYS}


@by_name(BOOKS + KEYS)
def test_was_run_in_order_and_left_nothing_behind(book):
    notebook = read(book)
    cells = code_cells(book)
    assert [cell["execution_count"] for cell in cells] == list(range(1, len(cells) + 1))
    assert notebook["metadata"]["kernelspec"]["name"] == "python3"
    assert "widgets" not in notebook["metadata"]
    for cell in cells:
        assert "execution" not in cell["metadata"]
        assert not source(cell).rstrip().endswith(";")
        assert all(output["output_type"] == "stream" and output["name"] == "stdout" for output in cell["outputs"])
    ids = [cell["id"] for cell in notebook["cells"]]
    assert len(set(ids)) == len(ids)
    assert all(re.fullmatch(r"[a-z][a-z0-9-]*", name) for name in ids)


@by_name(BOOKS + KEYS)
def test_only_what_is_shown_is_ignored(book):
    """Panels and questions are run but not compared; everything else is compared, and nothing is skipped."""
    for cell in code_cells(book):
        assert tags(cell) == ([QUIET] if SHOWS.search(source(cell)) else [])
        if QUIET in tags(cell):
            assert cell["outputs"] == []
        else:
            assert re.search(r"\d", printed(cell)), source(cell)


@by_name(BOOKS + KEYS)
def test_cells_are_short_folded_and_stand_alone(book):
    cells = code_cells(book)
    assert len(cells) <= 12
    for cell in cells:
        lines = source(cell).splitlines()
        assert len(lines) <= 3
        assert lines[0].startswith("# ")
        assert "import" in source(cell)
        assert cell["metadata"].get("jupyter", {}).get("source_hidden")


@by_name(BOOKS)
def test_first_line_says_how_to_bring_it_to_life(book):
    """Folded, and hidden by our own start: only elsewhere does anybody need it."""
    assert source(read(book)["cells"][0]).splitlines()[:2] == [FOLDED, ""]
    assert prose(book).count("Run All Cells") == 1


def in_two_sittings(book):
    """Whether a lesson is meant for two days: it has a marked place to stop, and then room for a little more."""
    return "### Stop here for today" in prose(book)


@by_name(LESSONS)
def test_a_lesson_follows_the_template(book):
    headings = re.findall(r"^## (.*)$", prose(book), re.M)
    at = -1
    for wanted in SECTIONS:
        assert wanted in headings, f"{wanted} is missing: {headings}"
        assert headings.index(wanted) > at, f"{wanted} stands too early: {headings}"
        at = headings.index(wanted)
    calls = "\n".join(source(cell) for cell in code_cells(book))
    panels = [name for name in re.findall(r"^panel\(\"(\w+)\"", calls, re.M) if name != "component_check"]
    assert 1 <= len(panels) <= 2  # the component check is a page for the wall: one button, no panel
    assert re.search(r"^panel\(.*predict=", calls, re.M)
    assert len(re.findall(r"^handbook\(", calls, re.M)) >= 3
    asked = re.findall(
        r"\"([a-z]+-[a-z0-9-]+)\"", "\n".join(re.findall(r"^(?:ask|warm_up)\(.*|predict=\"[a-z0-9-]+\"", calls, re.M))
    )
    assert 8 <= len(asked) <= (14 if in_two_sittings(book) else 12)
    assert "⚠" in prose(book)


@by_name([book for book in BOOKS if re.match(r"\d\d_|present_", book.name)])
def test_handbook_tables_are_folded_at_the_end(book):
    """One heading, shut, holds all of them and nothing else; nbval runs them all the same, for no tag keeps it off."""
    cells = read(book)["cells"]
    at = next(number for number, cell in enumerate(cells) if source(cell).startswith("## Against the handbook"))
    assert cells[at]["metadata"]["jp-MarkdownHeadingCollapsed"] is True
    code = [cell for cell in cells if cell["cell_type"] == "code"]
    tables = [cell for cell in code if re.search(r"^(handbook|every_check)\(", source(cell), re.M)]
    assert tables and all(cell in cells[at:] and not tags(cell) for cell in tables)
    assert all(cell in tables for cell in cells[at:] if cell in code)
    assert not any(re.search(r"^##? ", source(cell), re.M) for cell in cells[at + 1 :] if cell not in code)


@by_name(LESSONS)
def test_a_lesson_has_the_length_of_half_an_hour(book):
    words = prose(book)
    assert 600 <= len(words.split()) <= (1700 if in_two_sittings(book) else 1400)
    why = re.search(r"^## Why$(.*?)^###? ", words, re.M | re.S)[1]
    assert len(re.sub(r"!\[.*?\]\(.*?\)", "", why).split()) <= 150


@by_name(LESSONS)
def test_warm_up_asks_about_lessons_before(book):
    from kilnlib.questions import bank

    cell = next(cell for cell in code_cells(book) if re.search(r"^(ask|warm_up)\(", source(cell), re.M))
    called = re.search(r"^warm_up\((.*)\)", source(cell), re.M)[1]
    assert called.startswith(f'"{book.stem}", ')
    asked = re.findall(r"\"([a-z0-9]+-[a-z0-9-]+)\"", called)
    assert len(asked) == 2
    own = {question.id for question in bank.questions(book.stem)}
    assert not own & set(asked)
    for name in asked:
        assert bank.load(name)


@by_name(BOOKS + KEYS)
def test_links_pictures_and_lessons_that_are_named_exist(book):
    words = prose(book)
    for alt, target in re.findall(r"!\[(.*?)\]\((.*?)\)", words):
        assert len(alt) > 20, target
        assert (book.parent / target).is_file(), target
    for target in re.findall(r"(?<!!)\[[^\]]+\]\(([^)#]+)\)", words):
        assert not target.startswith("http"), f"{target} needs the internet"
        assert (book.parent / target).is_file(), target
    assert not re.search(r"<img|<details|https?://", words.removeprefix(FOLDED))
    known = {path.stem[:2] for path in BOOKS}
    for number in re.findall(r"\blessons? (\d\d)\b", words, re.I):
        assert number in known, f"lesson {number} does not exist"


@by_name(BOOKS + KEYS)
def test_words_we_never_use(book):
    words = prose(book).lower()
    for word in ("simply", "obviously", "certified", "compliant", "safe to enter"):
        assert not re.search(rf"\b{word}\b", words), word


@by_name(BOOKS + KEYS)
def test_no_dollar_sign_in_the_text_for_two_of_them_are_set_as_mathematics(book):
    assert "$" not in prose(book)


@by_name(LESSONS)
def test_from_memory_stands_once_in_the_line_of_sources(book):
    words = prose(book)
    assert len(re.findall("from memory", words, re.I)) <= 1
    assert "from memory" not in words.split("**Sources.**")[0].lower()


@by_name([book for book in LESSONS if book.stem[:2] in ("04", "05", "07", "08", "09", "10", "11", "13", "14")])
def test_a_long_lesson_has_a_place_to_stop_after_a_question(book):
    cells = read(book)["cells"]
    (at,) = (at for at, cell in enumerate(cells) if "### Stop here for today" in source(cell))
    asked = ("ask(", "warm_up(", 'panel("choose_boards")')
    before = [cell for cell in cells[:at] if cell["cell_type"] == "code" and any(a in source(cell) for a in asked)]
    assert len(before) >= 2, "the warm-up, and a check of its own"
    assert "two sittings" in source(cells[0])


@by_name([key for key in KEYS if not key.name.startswith("present")])
def test_every_key_has_a_task_in_the_yard(book):
    assert len(re.findall(r"^\*\*In the yard\.\*\* ", prose(book), re.M)) == 1


def test_readme_lists_every_notebook():
    listed = set(re.findall(r"\(workbooks/([\w]+)\.ipynb\)", (ROOT / "README.md").read_text(encoding="utf-8")))
    assert listed == {book.stem for book in BOOKS}


def test_a_changed_digit_fails(tmp_path):
    """nbval compares what we print: the same notebook passes as it stands and fails with one stored digit changed.

    Both in one run: loading pytest and nbval takes longer than the notebooks.
    """
    notebook = read(ROOT / "workbooks" / "03_emc.ipynb")
    whole = tmp_path / "whole.ipynb"
    whole.write_text(json.dumps(notebook), encoding="utf-8")
    cell = next(cell for cell in notebook["cells"] if "handbook(" in source(cell))
    stored = "".join(cell["outputs"][0]["text"])
    digit = re.search(r"\d(?= %)|\d(?=  )", stored)
    changed = stored[: digit.start()] + str((int(digit[0]) + 1) % 10) + stored[digit.end() :]
    cell["outputs"][0]["text"] = changed
    spoiled = tmp_path / "spoiled.ipynb"
    spoiled.write_text(json.dumps(notebook), encoding="utf-8")
    command = [sys.executable, "-m", "pytest", "--nbval", "--nbval-current-env", "-q", "-p", "no:cacheprovider"]
    books = [str(whole), str(spoiled)]
    done = subprocess.run([*command, *books], capture_output=True, text=True, cwd=tmp_path, check=False)
    assert done.returncode == 1
    assert re.findall(r"^FAILED (\S+)::", done.stdout, re.M) == ["spoiled.ipynb"]
    assert f"1 failed, {2 * len(code_cells(whole)) - 1} passed" in done.stdout


@by_name(BOOKS)
def test_cells_run_in_any_order(book):
    """Backwards in one process: no cell needs another, and nothing ends in a traceback."""
    code = "\n".join(f"exec(compile({source(cell)!r}, 'cell', 'exec'), {{}})" for cell in reversed(code_cells(book)))
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, cwd=book.parent, check=False)
    assert done.returncode == 0, done.stderr[-2000:]


@pytest.fixture(scope="module")
def full_record(tmp_path_factory):
    """A user's folder in which every question was answered wrongly and then rightly on every page, and all is done."""
    home = tmp_path_factory.mktemp("full")
    record = open_record(home / FILE_NAME)
    record.sit_down("JT")
    for page in read_pages(ROOT / "workbooks"):
        record.opened(page.name)
        record.finished(page.name, page.name)
        for part in page.parts:
            record.finished(f"{page.name}#{part.name}", page.name)
            record.ticked(part.title, True, page.name)
            for question in part.questions:
                record.answered(question, "7", False, "first", page.name, {})
                record.answered(question, "8", True, None, page.name, {})
            for question in part.predictions:
                record.predicted(question, "A", False, None, page.name, {})
    return home


PRINTED = """import contextlib, io, json, os, sys
said = {}
for path, cells in json.load(sys.stdin).items():
    os.chdir(os.path.dirname(path))
    said[path] = []
    for code in cells:
        with contextlib.redirect_stdout(io.StringIO()) as out:
            exec(compile(code, "cell", "exec"), {})
        said[path].append(out.getvalue())
print(json.dumps(said))"""


@pytest.fixture(scope="module")
def said(full_record):
    """What every cell of every notebook prints with that record: {path: texts}, all in one process."""
    done = subprocess.run(
        [sys.executable, "-c", PRINTED],
        input=json.dumps({str(book): [source(cell) for cell in code_cells(book)] for book in BOOKS + KEYS}),
        capture_output=True,
        encoding="utf-8",
        check=False,
        timeout=300,
        env=os.environ | {"FIRST_CHARGE_HOME": str(full_record), "PYTHONIOENCODING": "utf-8"},
    )
    assert done.returncode == 0, done.stderr[-2000:]
    return json.loads(done.stdout)


@by_name(BOOKS + KEYS)
def test_what_nbval_compares_is_the_same_whatever_record_there_is(book, said):
    """The stored text, which nbval compares with an empty record, is printed with a full one too."""
    cells = zip(code_cells(book), said[str(book)], strict=True)
    compared = [(cell["id"], printed(cell), words) for cell, words in cells if QUIET not in tags(cell)]
    assert compared and [one for one in compared if one[1] != one[2]] == []
