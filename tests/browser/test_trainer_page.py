"""The trainer's page in a real browser: with keys alone, on one sheet of paper, in a page that axe finds clean."""

import re
from datetime import date

import pytest
from playwright.sync_api import expect

from kilnlib.bench.desk.trainer.report import report
from kilnlib.questions import bank, class_tables
from kilnlib.store.class_book import ClassBook
from kilnlib.words.trainer import LINES

BOOK = "desk_trainer.ipynb"
SMALLEST = (
    """Math.min(...[...document.querySelectorAll("main *")].map(e => parseFloat(getComputedStyle(e).fontSize)))"""
)
PAST_THE_EDGE = """() => {const edge = document.querySelector(".fc-trainer").getBoundingClientRect().right + 1;
  return [...document.querySelectorAll(".fc-trainer :is(p, li, td)")]
    .filter(e => !e.closest(".fc-wide") && e.getBoundingClientRect().right > edge).map(e => e.textContent)}"""


@pytest.fixture(scope="module")
def mill(start, tmp_path_factory):
    """A folder in which two learners of the same initials have answered, and the trainer's command on it."""
    home = tmp_path_factory.mktemp("class") / "First Charge"
    book = ClassBook(home / "record.sqlite")
    book.sit_down("JT")
    book.answered("wood-a", "0.8", False, "MX01", page="01_water_in_wood", asked={})
    book.answered("air-a", "1", True, page="02_air", asked={})
    book.enroll("JT")
    started = start(home=home, verb="trainer")
    started.book = book
    return started


@pytest.fixture
def desk(mill, keep):
    visited = keep(mill.page(BOOK))
    expect(visited.page.locator(".fc-trainer").get_by_label("Place")).to_be_visible()
    return visited.wait_idle()


def said(desk, words):
    expect(desk.page.locator(".fc-trainer .fc-said, .fc-trainer .fc-refusal").filter(has_text=words)).to_be_visible()


def press(desk, name):
    """A button with the keyboard alone."""
    desk.page.locator(".fc-trainer").get_by_role("button", name=name, exact=True).focus()
    desk.page.keyboard.press("Enter")


def test_the_command_leads_there_and_the_page_is_clean(mill, desk):
    assert BOOK in mill.url or "desk_trainer" in desk.page.url
    expect(desk.page.locator(".fc-trainer table").first).to_contain_text("still wrong")
    with desk.page.expect_popup() as opened:
        desk.page.locator(".fc-trainer").get_by_role("link", name="first page in a new tab").click()
    assert "home.ipynb" in opened.value.url, "the trainer's page stays where it is"
    opened.value.close()
    expect(desk.page.locator(".fc-trainer")).to_contain_text("moisture content is a share of the whole wet board")
    desk.page.locator(".fc-trainer details").evaluate_all("all => all.forEach(one => one.open = true)")
    expect(desk.page.locator(".fc-trainer")).to_contain_text("Kiln off, locked out and cold")
    expect(desk.page.locator(".fc-trainer")).to_contain_text("○ 0/1")
    assert desk.axe() == ""
    assert desk.page.evaluate(PAST_THE_EDGE) == []
    expect(desk.page.get_by_label("Learner").locator("option:checked")).to_have_text("choose one")
    assert desk.page.get_by_role("button", name="Sign this line").bounding_box()["width"] < 300
    reach = "one => one.getBoundingClientRect().right"
    edge = desk.page.locator(".fc-trainer").evaluate(reach)
    rights = desk.page.locator(".fc-trainer > * p, .fc-trainer td, .fc-trainer > *").evaluate_all(
        "all => all.filter(one => !one.closest('.fc-wide')).map(one => one.getBoundingClientRect().right)"
    )
    assert max(rights) <= edge + 1, "sentences and questions are read without moving the page sideways"
    desk.shot("trainer_page")
    assert desk.page.locator(".fc-bar .fc-turn a").count() == 0, "no page before it and none after it"
    assert desk.interruptions() == [] and desk.outside() == []


def test_a_line_is_signed_with_keys_alone(mill, desk):
    page = desk.page
    form = page.locator(".fc-trainer")
    name = next(label for label in form.get_by_label("Learner").locator("option").all_inner_texts() if "JT" in label)
    form.get_by_label("Learner").focus()
    page.keyboard.type("JT")
    expect(form.get_by_label("Learner").locator("option:checked")).to_have_text(name)
    form.get_by_label("Line").focus()
    page.keyboard.type("Cut")
    expect(form).to_contain_text(f"sign it if you saw that {name}")
    page.keyboard.press("Tab")
    for label in ("Date", "Place", "Seen by", "How often", "Your initials"):
        expect(form.get_by_label(label, exact=True)).to_be_focused()
        if label != "Date":
            page.keyboard.type({"How often": "2"}.get(label, "MK"), delay=15)
        page.keyboard.press("Tab")
    expect(form.get_by_role("button", name="Sign this line")).to_be_focused()
    page.keyboard.press("Enter")
    said(desk, f"Signed: {LINES['section'][0]}")
    assert [one.times for one in mill.book.signed().values()] == [2]


def test_the_report_is_one_sheet_of_a4_and_of_letter(mill, desk, chromium):
    desk.page.locator(".fc-trainer").get_by_label("Learner").select_option(index=1)
    desk.watch_print()
    press(desk, f"Print the report of {name_of(desk)}")
    assert "Practice and sign-offs of" in desk.printed()[0], "it goes to the printer by itself"
    said(desk, "Your browser now asks")
    (path,) = (mill.home / "exported").glob("report*.html")
    one_sheet(chromium, path.read_text(encoding="utf-8"))


def test_the_pages_to_hang_up_are_printed_by_one_press(mill, desk):
    desk.watch_print()
    press(desk, "Print the pages to hang up")
    said(desk, "Your browser now asks")
    (page,) = desk.printed()
    assert page.count("<iframe") == len(list((mill.home / "print").glob("*.html"))) - 1 > 10, "a sheet each"


def test_a_backup_is_restored_in_another_folder_by_two_presses(mill, desk):
    press(desk, "Back up")
    said(desk, "Backed up to")
    press(desk, "Restore the last backup there")
    said(desk, "2 learners are in it")
    there = ClassBook(mill.home.with_name(f"{mill.home.name} restored") / "record.sqlite")
    assert there.learners() == mill.book.learners()
    press(desk, "Restore the last backup there")
    said(desk, "holds a record already")


def name_of(desk):
    """Who is chosen."""
    return desk.page.get_by_label("Learner", exact=True).locator("option:checked").inner_text()


def one_sheet(chromium, words):
    """A page of A4 and of Letter, nothing over the foot or past it, and type of 8 pt at least."""
    sheet = chromium.new_page()
    sheet.set_content(words)
    for paper in ("A4", "Letter"):
        printed = sheet.pdf(format=paper, margin=dict.fromkeys(("top", "bottom", "left", "right"), "10mm"))
        assert len(re.findall(rb"/Type\s*/Page[^s]", printed)) == 1
    sheet.emulate_media(media="print")
    frame, foot = sheet.locator("main").bounding_box(), sheet.locator("footer").bounding_box()
    last = sheet.locator("main > p").last.bounding_box()
    assert last["y"] + last["height"] <= foot["y"] and foot["y"] + foot["height"] <= frame["y"] + frame["height"] + 1
    assert sheet.evaluate(SMALLEST) >= 8 * 96 / 72 - 0.01  # px of 8 pt
    sheet.close()


def test_the_fullest_report_is_one_sheet_too(chromium, tmp_path):
    """All questions answered, every wrong idea alive, every line signed in long words."""
    book = ClassBook(tmp_path / "record.sqlite")
    who = book.sit_down("A name of forty letters, as some may typ")
    ideas = sorted(class_tables.ideas())
    rows = [
        (f"{n:032x}", who.id, "answered", question.id, "x", "1", n % 3 > 0, None if n % 3 else ideas[n % len(ideas)],
         "2026-03-12T11:00:00+00:00", None)
        for n, question in enumerate(bank.all_questions())
    ]  # fmt: skip
    book.take({"events": rows})
    for line in LINES:
        book.sign(who, line, "2026-03-12", "the long shed behind kiln 1, near the gate and the scale house",
                  "the trainer, and two others who stood by and watched", "12", "MKW")  # fmt: skip
    assert len(class_tables.alive(book, who)) > 6
    one_sheet(chromium, report(book, who, date(2026, 3, 12)).decode())


def test_a_busy_kernel_loses_no_letter_of_what_was_typed(mill, desk):
    """The page holds letters back while the kernel works, so a button must not be answered before the last of them."""
    page = desk.page
    press(desk, "Read their answers again")
    page.get_by_label("New name").focus()
    page.keyboard.type("Augustine")
    press(desk, "Add a learner")
    said(desk, "is in the record")
    assert "Augustine" in [one.name for one in mill.book.learners()]
    mill.book.delete(next(one for one in mill.book.learners() if one.name == "Augustine"), mill.home / "before.sqlite")


def test_deleting_asks_twice_and_backs_up(mill, desk):
    form = desk.page.locator(".fc-trainer")
    form.get_by_label("New name").fill("Gone")
    press(desk, "Add a learner")
    said(desk, "Gone is in the record")
    form.get_by_label("Learner", exact=True).select_option(label="Gone")
    expect(form.get_by_role("heading", name="Rename or delete Gone")).to_be_visible()
    press(desk, "Delete for good …")
    said(desk, "Delete Gone with 0")
    press(desk, "Yes, delete")
    said(desk, "Nothing was deleted")
    form.get_by_label("Type the name").fill("Gone")
    press(desk, "Yes, delete")
    said(desk, "Gone is deleted")
    assert [one.name for one in mill.book.learners()] == ["JT", "JT"]
    kept = max((mill.home / "exported").glob("record *.sqlite"))
    assert "Gone" in [one.name for one in ClassBook(kept).learners()]
