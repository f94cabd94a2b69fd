"""The trainer's page without a browser: what it shows, what it keeps, and that it asks twice before it deletes."""

import html
import json
import re
from datetime import date
from pathlib import Path

import pytest

from kilnlib.__main__ import FIRST, TRAINER, main
from kilnlib.bench.desk.trainer import tables
from kilnlib.bench.desk.trainer.panel import Panel
from kilnlib.bench.desk.trainer.report import report
from kilnlib.lab import books
from kilnlib.questions import bank, class_tables
from kilnlib.questions.marking import answer_text
from kilnlib.store import class_book, pages
from kilnlib.store.class_book import ClassBook
from kilnlib.store.record import record_file
from kilnlib.tables import records
from kilnlib.words import text
from kilnlib.words.trainer import LINES


@pytest.fixture
def mill(tmp_path, monkeypatch):
    """An empty folder of the user's."""
    monkeypatch.setenv("FIRST_CHARGE_HOME", str(tmp_path / "mine"))
    monkeypatch.delenv(class_book.HAND_IN, raising=False)
    return tmp_path


@pytest.fixture
def book(mill):
    """Two learners of the same initials, one with a wrong idea alive, one with it past."""
    book = ClassBook(record_file())
    book.sit_down("JT")
    book.answered("wood-a", "0.8", False, "MX01", page="01_water_in_wood", asked={})
    book.answered("air-a", "1", True, page="02_air", asked={})
    twin = book.enroll("JT")
    book.take({"machine": []})
    for number, right in ((1, 0), (2, 1)):
        book.take({"events": [(f"{number:032x}", twin.id, "answered", "wood-a", "01_water_in_wood", "1", right,
                               None if right else "MX01", f"2026-03-12T11:00:0{number}.000+00:00", None)]})  # fmt: skip
    return book


@pytest.fixture
def page(book):
    page = Panel()
    yield page
    page.close()


def said(page):
    return re.sub(r"<[^>]+>", "", page.saying.value)


def ids(page):
    return [who for _, who in page.who.options if who]


def fill(page, **typed):
    for name, words in typed.items():
        page.boxes[name].value = words


SIGN = {"place": "kiln 1", "seen": "MK", "times": "2", "initials": "MK"}


def test_the_tables_say_who_can_do_what(page, book):
    glance = class_tables.glance(book)
    assert list(glance.index) == [name for name, who in page.who.options if who]
    assert all(re.fullmatch(r"JT \([0-9a-f]{4}\)", name) for name in glance.index) and len(set(glance.index)) == 2
    assert list(glance.columns) == [row["objective"] for row in class_tables.objectives()]
    heads = re.findall(r"<th>(\d+) ([^<]+)</th>", page.tables.value)
    assert [number for number, _ in heads] == ["1", "4"], "what somebody has tried, with a short word for each"
    unwritten = [row for row in records("objectives") if row["objective"] not in glance.columns]
    for row in unwritten:
        assert f"<li value='{row['objective']}'>{row['says']}: its lesson" in page.tables.value
    by_id = dict(zip(book.labels(), glance["1"], strict=True))
    first = book.learner().id
    assert by_id.pop(first) == "○ 0/1" and list(by_id.values()) == ["● 1/1"]
    assert book.labels()[first] in page.tables.value
    (row,) = class_tables.alive(book).itertuples(index=False)
    assert row[0] == book.labels()[first] and row[1] == "moisture content is a share of the whole wet board"
    assert len(class_tables.alive(book, book.learners()[0])) + len(class_tables.alive(book, book.learners()[1])) == 1
    for row in class_tables.objectives():
        assert row["says"].split("'")[0] in page.tables.value


def test_what_each_missed_says_the_answer_given_and_what_to_ask_tomorrow(book, page):
    """The question in full with the numbers it was asked with, the last wrong answer, whether right since."""
    asked = {**bank.load("wood-a").numbers[-1]}
    book.answered("wood-a", "0.8", False, page="01_water_in_wood", asked=asked)
    book.answered("start-drier", "A", False, page="00_start_here", asked={})
    missed = class_tables.missed(book, date.today())
    mine = missed[missed.iloc[:, 0] == book.labels()[book.learner().id]]
    (choice,) = mine[mine.iloc[:, 1] == "00"].itertuples(index=False)
    assert choice[3] == f"A. {dict(bank.load('start-drier').options)['A']}" and choice[5] == "still wrong"
    (number,) = mine[mine.iloc[:, 1] == "01"].itertuples(index=False)
    question = bank.load("wood-a")
    assert number[2] == " ".join(question.fill(question.prompt, question.values(asked)).split())
    assert number[3] == f"0.8 {question.unit}" and number[6] == "yes"
    assert number[4] == answer_text(question, asked)
    (twin,) = missed[missed.iloc[:, 0] != choice[0]].itertuples(index=False)
    assert twin[5] == "right since", "one that was put right is not lost from sight"
    page.show()
    assert "still wrong" in page.tables.value and html.escape(number[2]) in page.tables.value


def test_no_learner_fills_the_table_alone(book):
    """The latest few of each; those to ask tomorrow come first, those put right last."""
    for question in bank.all_questions()[:20]:
        book.answered(question.id, "0", False, page="x", asked={"unknown": 1})
    missed = class_tables.missed(book, date.today())
    mine = missed[missed.iloc[:, 0] == book.labels()[book.learner().id]]
    assert len(mine) == class_tables.LISTED and [bool(one) for one in mine.iloc[:, 6]] == [True, True, False, False]


def test_every_lessons_task_in_the_yard_is_listed(page):
    tasks = dict(pages.yard_tasks())
    lessons = [one.number for one in pages.read_pages(books.WORKBOOKS) if one.kind == "lesson"]
    assert list(tasks) == lessons
    for task in tasks.values():
        assert task.replace("'", "&#x27;").replace('"', "&quot;") in tables.of_the_kiln()


def test_how_to_use_it_is_folded(page):
    how = page.view.children[1].children[-1].value
    assert how.startswith("<details><summary>How to use it") and how.count("<p>") == 5
    assert "a 0 takes it back" in how and str(record_file()) in how


def test_a_line_is_signed_and_initials_are_typed_anew(page, book):
    fill(page, **SIGN)
    page.sign()
    assert "Choose a learner first" in said(page) and page.boxes["place"].value == "kiln 1"
    page.who.value = ids(page)[1]
    page.sign()
    assert "Choose a line first" in said(page) and page.boxes["initials"].value == "MK" and book.signed() == {}
    for name in LINES:
        page.line.value = name
        fill(page, initials="MK", times="2")
        page.sign()
        assert page.boxes["initials"].value == "" and said(page).startswith("Signed: " + LINES[name][0])
    assert len(book.signed()) == len(LINES) == 7
    page.sign()
    assert "Initials are enough" in said(page) and len(book.signed()) == 7
    fill(page, times="0", initials="MK")
    page.sign()
    assert "Taken back" in said(page) and len(book.signed()) == 6
    assert page.hands.value.count("2 × ") == 6


def test_a_box_left_empty_says_what_it_then_means(page, book):
    """The trainer saw it, and once more than was signed; the box shows that number before it is pressed."""
    page.who.value, page.line.value = ids(page)[0], "weigh"
    for times in (1, 2):
        assert page.boxes["times"].placeholder.startswith(f"{times},")
        fill(page, place="kiln 1", initials=" MK ")
        page.sign()
        (signed,) = book.signed().values()
        assert (signed.times, signed.seen_by, signed.initials) == (times, "MK", "MK")
    page.line.value = "prongs"
    assert page.boxes["times"].placeholder.startswith("1,")
    fill(page, seen="Ray", times="7", initials="")
    page.sign()
    assert "Initials are enough" in said(page) and page.boxes["times"].value == "7" and len(book.signed()) == 1


def test_the_form_says_for_whom_a_line_is_signed(page):
    assert "Choose who it was" in page.criterion.value and "chosen under 3" in page.person.value
    fill(page, new_name="<b>Jo</b>")
    page.enroll()
    assert page.who.value == "", "nobody is chosen for the trainer"
    page.who.value = next(one.id for one in page.book.learners() if one.name == "<b>Jo</b>")
    assert "delete &lt;b&gt;Jo" in page.person.value and page.report_button.description.endswith("<b>Jo</b>")
    for name, (_, what) in LINES.items():
        page.line.value = name
        assert f"that &lt;b&gt;Jo&lt;/b&gt; {html.escape(what)}" in page.criterion.value


def test_what_is_said_stands_beside_the_button_pressed(page):
    """In the part of the page where it was asked for; elsewhere stays what was done, and no refusal."""
    page.who.value = ids(page)[0]
    fill(page, **SIGN)
    acts = (("sign", page.sign), ("file", page.backup), ("delete", page.delete_yes), ("print", page.report))
    for part, act in acts:
        act()
        assert page.saying is page.sayings[part] and page.saying.value
        refused = [name for name, saying in page.sayings.items() if "fc-refusal" in saying.value]
        assert refused == ([part] if part in ("sign", "delete") else [])  # no line was chosen, nobody was named
    assert page.sayings["file"].value and page.sayings["print"].value


def test_learners_are_added_and_renamed(page, book):
    fill(page, new_name="JT")
    page.enroll()
    assert len(book.learners()) == 3 and page.boxes["new_name"].value == ""
    fill(page, other_name="<b>Jo</b>")
    page.rename()
    assert "Choose a learner first" in said(page) and page.boxes["other_name"].value == "<b>Jo</b>"
    page.who.value = ids(page)[0]
    page.rename()
    assert "<b>Jo" not in page.tables.value and "&lt;b&gt;Jo" in page.tables.value
    page.rename()
    assert "Initials are enough" in said(page)


def test_enter_in_the_box_adds_a_learner_too_and_once(page, book):
    fill(page, new_name="Ann")
    page._enroll_typed()
    page._enroll_typed()
    assert [one.name for one in book.learners()].count("Ann") == 1 and "Ann is in the record" in said(page)


def test_no_table_of_signed_lines_stands_before_the_first(page, book):
    assert page.hands.value == ""
    page.who.value, page.line.value = ids(page)[0], "weigh"
    fill(page, **SIGN)
    page.sign()
    assert all(title in page.hands.value for title, _ in LINES.values())


def test_the_report_is_a_page_with_practice_and_signed_lines(page, book, tmp_path):
    page.who.value = ids(page)[0]
    page.report()
    (path,) = (tmp_path / "mine" / "exported").glob("report JT *.html")
    words = path.read_text(encoding="utf-8")
    assert str(path) in said(page) and "gives no certificate" in words and "is practice" in words
    assert all(title in words for title, _ in LINES.values())


def test_the_pages_to_print_are_written_from_here_too(page, tmp_path):
    page.print_pages()
    folder = tmp_path / "mine" / "print"
    assert (folder / "entry.html").exists() and str(folder / "all_pages.html") in said(page)
    assert "all_pages.html</a>" in page.saying.value, "and taken from here where the folder is another machine's"
    (folder / "all_pages.html").unlink()
    (folder / "all_pages.html").mkdir()
    page.print_pages()
    assert str(folder) in said(page) and "cannot be written" in said(page)


def test_csv_backup_and_restore_on_another_folder(page, book, tmp_path, monkeypatch):
    page.csv()
    page.backup()
    (csv,) = (tmp_path / "mine" / "exported").glob("*.csv")
    (backup,) = (tmp_path / "mine" / "exported").glob("*.sqlite")
    monkeypatch.setenv("FIRST_CHARGE_HOME", str(tmp_path / "yours"))
    other = Panel()
    assert text("trainer.empty") in other.tables.value
    fill(other, path=str(csv))
    other.take()
    assert "6 new" not in said(other) and "4 new" in said(other)
    other.take()
    assert "0 new" in said(other)
    fill(other, path=f'"{backup}"')
    other.restore()
    assert "Restored from" in said(other)
    assert other.book.learners() == book.learners() and other.book.tried() == book.tried()
    newest = tmp_path / "mine" / "exported" / "record 2999-01-01 000000.000000.sqlite"
    ClassBook(newest).enroll("LAST")
    fill(other, path=str(newest.parent))
    other.restore()
    assert str(newest) in said(other), "a folder stands for the latest backup in it"
    assert [one.name for one in other.book.learners()] == ["LAST"]
    fill(other, path=str(tmp_path))
    other.restore()
    assert "no backup" in said(other) and [one.name for one in other.book.learners()] == ["LAST"]
    fill(other, path=str(tmp_path / "nowhere"))
    for act in (other.take, other.restore):
        act()
        assert "is no file and no folder" in said(other)
    other.close()


def test_the_last_backup_is_restored_in_another_folder_without_leaving_this_one(page, book, tmp_path):
    assert page.boxes["folder"].value == str(tmp_path / "mine restored"), "one that is free is proposed"
    page.restore_there()
    assert "no backup yet" in said(page) and not (tmp_path / "mine restored").exists()
    page.backup()
    book.enroll("LATER")
    page.restore_there()
    there = ClassBook(tmp_path / "mine restored" / "record.sqlite")
    assert (
        "Restored in" in said(page) and "2 learners are in it (" in said(page) and "with 0 signed lines" in said(page)
    )
    assert len(there.learners()) == 2 and there.tried() == book.tried() and len(book.learners()) == 3
    there.enroll("THEIRS")
    for taken in (str(there.path.parent), str(tmp_path / "mine")):
        before = {path: path.read_bytes() for path in Path(taken).rglob("*.sqlite")}
        fill(page, folder=taken)
        page.restore_there()
        assert "holds a record already" in said(page) and page.boxes["folder"].value == taken
        assert {path: path.read_bytes() for path in Path(taken).rglob("*.sqlite")} == before
    fill(page, folder='  "Second mill" ')
    page.restore_there()
    assert (tmp_path / "Second mill" / "record.sqlite").exists(), "a bare name lies beside the user's own folder"
    fill(page, folder=" ")
    page.restore_there()
    assert f"such as {tmp_path / 'mine restored 2'}" in said(page), "the next that is free"
    (tmp_path / "words").write_text("a file is no folder")
    fill(page, folder=str(tmp_path / "words"))
    page.restore_there()
    assert "could not be written" in said(page) and (tmp_path / "words").read_text() == "a file is no folder"


def test_nobody_is_deleted_without_being_asked_twice(page, book, tmp_path):
    page.delete_yes()
    assert "Choose a learner first" in said(page)
    page.who.value = victim = ids(page)[0]
    assert page.sure.layout.display == "none"
    page.delete()
    assert page.sure.layout.display is None and "for good?" in page.question.value and len(book.learners()) == 2
    fill(page, delete_name="JT")
    page.delete_yes()
    assert "Nothing was deleted" in said(page) and len(book.learners()) == 2
    page.delete_no()
    assert page.sure.layout.display == "none" and len(book.learners()) == 2
    page.delete()
    page.who.value = ids(page)[1]  # another learner: the question is about nobody now
    fill(page, delete_name="JT")
    page.delete_yes()
    assert len(book.learners()) == 2
    page.who.value = victim
    page.delete()
    label = next(name for name, who in page.who.options if who == victim)
    fill(page, delete_name=f" {label} ".replace(" ", "\u00a0"))  # as a browser copies it from the list
    page.delete_yes()
    assert [one.id for one in book.learners()] == ids(page) and victim not in ids(page)
    (kept,) = (tmp_path / "mine" / "exported").glob("record *.sqlite")
    assert len(ClassBook(kept).learners()) == 2 and str(kept) in said(page)


def test_what_was_handed_in_is_merged(book, tmp_path, monkeypatch):
    drop = tmp_path / "drop"
    drop.mkdir()
    monkeypatch.setenv(class_book.HAND_IN, str(drop))
    class_book.hand_in()
    monkeypatch.setenv("FIRST_CHARGE_HOME", str(tmp_path / "trainer"))
    page = Panel()
    page.handed()
    assert "2 new" in said(page) and [one.name for one in page.book.learners()] == ["JT"]
    drop.joinpath("x.csv").write_text("no")
    page.handed()
    assert "0 new" in said(page) and "not taken in" in said(page)
    page.close()


def test_a_damaged_record_is_said(mill):
    record_file().parent.mkdir(parents=True)
    record_file().write_bytes(b"not a record at all, but long enough to be one " * 40)
    page = Panel()
    assert "was damaged" in said(page)
    page.close()


def test_no_learners_door_leads_there(mill, monkeypatch):
    from kilnlib.bench.front.home import Home
    from kilnlib.bench.kit import memory, progress

    monkeypatch.chdir(books.WORKBOOKS)
    progress.pages.cache_clear()
    memory.open_page("desk_trainer")
    home = Home()
    assert "desk_setpoint_check" in home.list.value
    assert "desk_trainer" not in home.list.value + home.top.value
    home.close()
    memory.close_page()
    progress.pages.cache_clear()
    for path in books.WORKBOOKS.glob("*.ipynb"):
        words = "".join("".join(cell["source"]) for cell in json.loads(path.read_text("utf-8"))["cells"])
        assert "desk_trainer" not in words, path.name


def test_the_command_opens_it(monkeypatch):
    import kilnlib.__main__ as start

    opened = []
    monkeypatch.setattr(start, "start", lambda *given: opened.append(given) or 0)
    assert main(["trainer", "--no-browser"]) == 0 and main([]) == 0
    assert opened == [(None, False, TRAINER), (None, True, FIRST)]


def test_nothing_promises_more_than_it_is():
    from kilnlib.words import trainer

    words = " ".join([*trainer.TEXT.values(), (books.WORKBOOKS / TRAINER).read_text(encoding="utf-8")])
    assert "gives no certificate" in words and "proves nothing" in words
    assert not re.search(r"certif(?!icate)|qualified|competent", words, re.I)
    assert words.count("certificate") == len(re.findall("gives no certificate|no certificate", words))


def test_hostile_names_do_no_harm(mill):
    book = ClassBook(record_file())
    for name in ("<script>alert(1)</script>", "=1+1", "{name}", "&amp;"):
        who = book.enroll(name)
        assert html.escape(name) in tables.everything(book)
        page = Panel()
        page.who.value = who.id
        page.report()
        assert re.fullmatch(r"report [\w ]*[0-9a-f]{4}\.html", page.written.name) and page.written.exists()
        page.close()
        assert b"<script>" not in report(book, who, date(2026, 3, 12)) and "<script>" not in tables.everything(book)
