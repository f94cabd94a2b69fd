"""The order of the pages and what is said of each, read from the notebooks of a folder."""

import json

from starting import write_book

from kilnlib.lab import books
from kilnlib.store.pages import neighbors, read_pages

TITLE = ("# How *thirsty*?\n\nYou can\n\n1. read;\n2. say.\n\nAbout 35 minutes.",)


def folder(tmp_path):
    write_book(tmp_path / "02_air.ipynb", TITLE, ("## Warm-up",), 'warm_up("02_air", "a-1", "b-1")',
               ("## Why\n\n### More",),
               ("## Predict",), 'panel("air", predict="air-first")', ("## Look",),
               ("## Your turn",), 'ask("c-1", "c-2")', 'panel("air", predict="air-predict")',
               ("## Against the handbook",), "handbook(1)")  # fmt: skip
    for name in ("glossary", "first_aid", "home", "desk_sheet", "10_later", "present_it", "02_air (yours)", "own"):
        write_book(tmp_path / f"{name}.ipynb", (f"# {name}",))
    (tmp_path / "03_broken.ipynb").write_text("{", encoding="utf-8")
    return tmp_path


def test_pages_are_turned_in_the_order_of_their_names(tmp_path):
    pages = read_pages(folder(tmp_path))
    assert [page.name for page in pages] == [
        "home",
        "02_air",
        "10_later",
        "desk_sheet",
        "present_it",
        "first_aid",
        "glossary",
    ]
    before, after = neighbors(pages, "02_air")
    assert (before.name, after.name) == ("home", "10_later")
    assert neighbors(pages, "home")[0] is None
    assert neighbors(pages, "glossary")[1] is None
    assert neighbors(pages, "own") == (None, None)


def test_a_new_lesson_has_its_place_with_no_change_elsewhere(tmp_path):
    write_book(folder(tmp_path) / "09_machine.ipynb", ("# The machine\n\nTwo sittings of 25 minutes.",))
    pages = read_pages(tmp_path)
    assert [page.number for page in pages if page.kind == "lesson"] == ["02", "09", "10"]
    assert next(page for page in pages if page.number == "09").minutes == "2 × 25"


def test_a_page_says_what_it_is(tmp_path):
    page = next(page for page in read_pages(folder(tmp_path)) if page.name == "02_air")
    assert (page.title, page.minutes, page.after) == ("How thirsty?", "35", ("read", "say"))
    assert [(part.title, part.warm_ups, part.questions, part.predictions, part.looks_at) for part in page.parts] == [
        ("Warm-up", 2, (), (), ""),
        ("Why", 0, (), (), ""),
        ("Predict", 0, (), ("air-first",), ""),
        ("Look", 0, (), (), "air/air-first"),
        ("Your turn", 0, ("c-1", "c-2"), ("air-predict",), ""),
    ]


def test_every_lesson_that_we_ship_has_title_minutes_and_what_one_can_do():
    lessons = [page for page in read_pages(books.WORKBOOKS) if page.kind == "lesson"]
    assert len(lessons) == len(list(books.WORKBOOKS.glob("[0-9][0-9]_*.ipynb")))
    looks = {page.number: part.looks_at for page in lessons for part in page.parts if part.title == "Look"}
    assert set(looks) == {page.number for page in lessons} - {"00"} and all(looks.values())
    for page in lessons:
        assert page.minutes and len(page.after) >= 2 and len(page.parts) >= 5, page.name
        asked = [name for part in page.parts for name in part.questions]
        text = json.dumps(books.sources(books.read(books.WORKBOOKS / page.file), "code"))
        assert all(name in text for name in asked)
