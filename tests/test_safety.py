"""Safety is said once: each page that speaks of going into a hot kiln shows the one text of the steps."""

import json
import re
from pathlib import Path

import pytest

from kilnlib.questions import bank
from kilnlib.words import TEXT, text

ROOT = Path(__file__).resolve().parents[1]
PAGES = [*sorted((ROOT / "workbooks").glob("*.*")), *sorted((ROOT / "answers").glob("*.ipynb")), ROOT / "README.md"]
ENTRY = re.compile(
    r"hot-kiln entry|(?:enter|entering|go into|into) a hot kiln|entry steps|inside release|locked out|second person",
    re.I,
)
FIRST_IN_00 = ["entry.steps", "entry.heat", "entry.space"]


def said(page):
    """All that a page says, in one line: text and, of a key, what it prints."""
    words = page.read_text(encoding="utf-8")
    if page.suffix == ".ipynb":
        cells = json.loads(words)["cells"]
        parts = ["".join(cell["source"]) for cell in cells if cell["cell_type"] == "markdown"]
        printed = [output for cell in cells for output in cell.get("outputs", ())]
        words = "\n".join([*parts, *("".join(output.get("text", "")) for output in printed)])
    return flat(words)


def flat(words):
    return re.sub(r"\s+", " ", words.replace("**", ""))


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.name)
def test_a_page_that_speaks_of_entry_shows_the_one_text(page):
    words = said(page)
    assert not ENTRY.search(words) or text("entry.steps") in words


def test_most_pages_speak_of_entry():
    assert sum(bool(ENTRY.search(said(page))) for page in PAGES) >= 24


def test_a_page_with_an_order_of_its_own_would_be_noticed(tmp_path):
    page = tmp_path / "page.md"
    page.write_text("Off, locked out; a second person outside.", encoding="utf-8")
    with pytest.raises(AssertionError):
        test_a_page_that_speaks_of_entry_shows_the_one_text(page)


def test_every_question_that_leads_into_a_hot_kiln_answers_with_the_one_text():
    asked = [question for question in bank.all_questions() if ENTRY.search(question.answer)]
    assert len(asked) >= 6
    for question in asked:
        assert text("entry.steps") in question.answer
        assert any(text("entry.steps") in step for step in question.steps), question.id


def test_the_second_person_comes_first_stays_outside_and_helps_from_there():
    steps = text("entry.steps")
    order = ["second person outside", "time limit", "calls for help", "cuts the power", "opens the big doors",
             "never goes in", "Switch off", "lock out every energy", "try to start it", "cool and air",
             "inside release", "go in", "site’s procedure decides"]  # fmt: skip
    places = [steps.index(words) for words in order]
    assert places == sorted(places)
    assert not re.search(r"\d", steps), "no temperature and no minutes: the site’s procedure decides"


@pytest.mark.parametrize("name", FIRST_IN_00)
def test_the_tour_and_the_readme_say_all_of_it(name):
    assert text(name) in said(ROOT / "workbooks" / "00_start_here.ipynb")
    assert text(name) in said(ROOT / "README.md")


@pytest.mark.parametrize("name", ["desk_sample_sheet", "desk_setpoint_check", "first_aid"])
def test_tools_name_the_signs_of_heat_illness(name):
    assert text("entry.steps") in said(ROOT / "workbooks" / f"{name}.ipynb")
    assert text("entry.heat") in said(ROOT / "workbooks" / f"{name}.ipynb")


def test_no_other_string_of_the_interface_has_steps_of_its_own():
    for key, words in TEXT.items():
        if not key.startswith("entry.") and isinstance(words, str):
            assert not re.search(r"second person|inside release|every energy", words), key
