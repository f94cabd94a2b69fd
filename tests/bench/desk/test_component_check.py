"""The component check: the lesson's list and the page for the wall say the same, with lock-out first."""

import json
import re
from pathlib import Path

from kilnlib.bench.desk import component_check
from kilnlib.bench.panels import open_panel
from kilnlib.words import text

LESSON = Path(__file__).parents[3] / "workbooks" / "09_the_machine.ipynb"
PARTS = ("inside", "outside")


def test_the_page_goes_to_the_users_folder_and_a_second_press_writes_the_same():
    opened = open_panel("component_check")
    for _ in range(2):
        opened.print_page()
        assert opened.last_error is None
    (path,) = re.findall(r"to print: (.*?\.html)</div>", opened.told.value)
    assert Path(path).read_bytes() == component_check.page()
    assert [file.name for file in Path(path).parent.glob("Before every start*")] == ["Before every start.html"]
    opened.close()


def test_the_way_in_comes_first_then_behind_locks_then_from_outside():
    page = component_check.page().decode()
    parts = (text("entry.steps"), *(text(f"component_check.{part}") for part in PARTS), text("component_check.signed"))
    places = [page.index(words) for words in parts]
    assert places == sorted(places)
    assert page.count("<li>") == sum(len(text(f"component_check.{part}_items")) for part in PARTS) >= 12


def test_every_part_that_the_lesson_names_is_tried():
    said = " ".join(item for part in PARTS for item in text(f"component_check.{part}_items"))
    for part in ("fan", "compressor", "blower", "strips", "vent opens", "shuts again", "high limit", "cup of water",
                 "one pail", "check weight", "opens from inside", "floor is clear"):  # fmt: skip
        assert part in said, part


def test_the_lesson_ticks_the_same_list_word_for_word():
    cells = json.loads(LESSON.read_text(encoding="utf-8"))["cells"]
    listed = next("".join(cell["source"]) for cell in cells if cell["id"] == "component-check")
    ticked = re.findall(r"^- \[ \] (.*)$", listed, re.M)
    assert tuple(ticked) == (*text("component_check.inside_items"), *text("component_check.outside_items"))
    assert listed.index(text("component_check.inside")) < listed.index(text("component_check.outside"))
