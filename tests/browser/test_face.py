"""The face of our pages: bar, way, locks, ticks, and that a notebook of somebody else's keeps Jupyter's own."""

import re

import nbformat
import pytest
from conftest import in_lesson, wait_until
from playwright.sync_api import expect
from starting import write_book
from test_stranger import EXPOSE

from kilnlib.lab import books
from kilnlib.store.pages import read_pages

SHOWN = ".jp-NotebookPanel:not(.lm-mod-hidden)"
PAGES = [page for page in read_pages(books.WORKBOOKS) if page.kind != "trainer"]  # no door leads to the trainer's
COURSE = [page for page in PAGES if page.kind == "lesson"]
CODE = ", ".join(
    f"{own}:visible"
    for own in (".jp-CodeMirrorEditor", ".jp-Placeholder", ".jp-InputPrompt", ".jp-Toolbar", ".lm-MenuBar")
)
KEYS = "Enter b a v y r m 1 2 3 4 5 6 x d d Shift+m Escape z c j k o l Control+Shift+Minus Control+b"
CELLS = """jupyterapp.shell.currentWidget.content.widgets.map(
  cell => [cell.model.id, cell.model.type, cell.model.sharedModel.getSource()])"""


def named(page):
    return f"{page.number} · {page.title}" if page.number else page.title


def at(visited, page):
    """Wait until a page is shown, by its bar."""
    bar = visited.page.locator(f"{SHOWN} .fc-bar")
    if page.kind == "home":
        expect(visited.page.locator(f"{SHOWN}.first-charge-home .fc-door").first).to_be_visible()
    else:
        expect(bar.locator(".fc-title")).to_have_text(named(page))
    return bar


def turn_on(visited):
    """To the next page; home has no Next, its list leads to each lesson."""
    visited.page.locator(f"{SHOWN} :is(.fc-bar .fc-next, .fc-row-of-home > a)").first.click()


def sessions(visited):
    listed = visited.page.evaluate("fetch('/api/sessions').then(answer => answer.json())")
    return [session["path"] for session in listed]


def cells(path):
    book = nbformat.read(path, as_version=4)
    return [(cell.id, cell.cell_type, cell.source) for cell in book.cells]


def open_lesson(visit, lessons, name="02_air"):
    return visit(lessons.page(f"{name}.ipynb"), script=EXPOSE).wait_live()


@pytest.fixture
def air(keep, lessons):
    """Lesson 02 on one page for the tests that leave it as it was; one that leads away from it closes it."""
    return keep(lessons.page("02_air.ipynb"), script=EXPOSE).wait_live().wait_idle()


def test_next_leads_through_every_page_and_back_leads_home(visit, lessons):
    """And what is to be seen on each page that is on the way: lessons alone have tests of their own."""
    visited = visit(lessons.url)
    for number, page in enumerate(PAGES):
        bar = at(visited, page)
        expect(visited.page).to_have_title(re.compile(re.escape("First Charge")))
        expect(visited.page.locator(f"{SHOWN} .jp-OutputArea .jupyter-widgets").first).to_be_visible()
        assert visited.page.locator(CODE).count() == 0, page.name
        expect(visited.page.locator(f"{SHOWN} summary", has_text="If nothing moves below")).to_be_hidden()
        previous, following = bar.locator(".fc-previous"), bar.locator(".fc-next")
        assert previous.count() == (number > 0)
        assert following.count() == (0 < number < len(PAGES) - 1), "home has doors"
        if page.kind != "present":
            expect(visited.page.locator(f"{SHOWN} .fc-end .fc-turn").first).to_be_attached()
        if page.kind == "home":
            check_words_at_the_kiln_in_a_small_window(visited)
        if page.kind != "lesson":  # of those, test_a_lesson_is_whole says it
            visited.page.wait_for_timeout(1500)
            assert visited.axe_of_page() == [], page.name
        if page == COURSE[-1]:
            check_end_of_the_last_lesson(visited)
        if number < len(PAGES) - 1:
            turn_on(visited)
    for page in reversed(PAGES[:-1]):
        visited.page.go_back()
        at(visited, page)
        assert visited.page.url.endswith(f"/{page.file}")
    visited.page.go_forward()
    at(visited, PAGES[1])
    visited.page.locator(f"{SHOWN} .fc-previous").first.click()
    at(visited, PAGES[0])
    assert visited.interruptions() == []
    assert visited.outside() == []


def test_a_kernel_ends_with_its_page(visit, start):
    visited = visit(start().url)
    for page in PAGES[:4]:
        at(visited, page)
        expect(visited.page.locator(f"{SHOWN} .jp-OutputArea .jupyter-widgets").first).to_be_visible()
        turn_on(visited)
    at(visited, PAGES[4])
    for _ in range(100):
        if sessions(visited) == [PAGES[4].file]:
            break
        visited.page.wait_for_timeout(200)
    assert sessions(visited) == [PAGES[4].file]
    running = visited.page.evaluate("fetch('/api/kernels').then(answer => answer.json())")
    assert len(running) <= 2, "the page's and one spare"


def test_an_unchecked_answer_is_there_after_next_and_back(visit, lessons):
    visited = open_lesson(visit, lessons, "03_emc").wait_idle()
    box = visited.page.locator(".fc-ask .fc-card input[type=text]").last
    box.fill("7.5")
    visited.page.locator(f"{SHOWN} .fc-bar .fc-next").click()
    at(visited, next(page for page in PAGES if page.name == "04_sample_boards"))
    visited.page.wait_for_timeout(4000)  # its kernel may end as soon as it has written that down
    visited.page.go_back()
    expect(visited.page.locator(f"{SHOWN} .fc-ask .fc-card input[type=text]").last).to_have_value("7.5")


def test_no_key_and_no_click_changes_a_page(air, lessons):
    page, file = air.page, lessons.lessons / "02_air.ipynb"
    before = cells(file)
    heading, question = page.get_by_role("heading", name="Why"), page.locator(".fc-prompt").first
    for place in (heading, question, page.locator(".jp-MarkdownOutput p").nth(3)):
        place.scroll_into_view_if_needed()
        place.click()
        for key in KEYS.split():
            page.keyboard.press(key)
        place.dblclick()
        page.keyboard.press("Enter")
        page.keyboard.type("x")
        assert page.locator(CODE).count() == 0
    page.evaluate("jupyterapp.commands.execute('docmanager:save').then(() => null)")
    page.wait_for_timeout(1000)
    assert cells(file) == before == cells(books.WORKBOOKS / "02_air.ipynb")
    shown = page.evaluate(CELLS)
    assert [tuple(cell) for cell in shown] == before
    assert air.interruptions() == []


def test_a_key_in_a_box_is_still_a_letter(air):
    box = air.page.locator(".fc-ask .fc-card input[type=text]").first
    box.fill("")
    box.click()
    air.page.keyboard.type("bax 12")
    expect(box).to_have_value("bax 12")
    box.fill("")


def test_a_notebook_of_somebody_else_keeps_everything(visit, lessons):
    write_book(lessons.lessons / "own.ipynb", "print('own')", folded=False)
    visited = open_lesson(visit, lessons, "03_emc")  # lesson 02 stands on the page of other tests
    page = visited.page
    expect(page.locator(".lm-MenuBar")).to_be_hidden()
    page.evaluate("jupyterapp.commands.execute('docmanager:open', {path: 'own.ipynb'}).then(() => null)")
    expect(page.locator(f"{SHOWN} .jp-Toolbar:visible").first).to_be_visible()
    expect(page.locator(".lm-MenuBar")).to_be_visible()
    expect(page.locator(".jp-SideBar.jp-mod-left")).to_be_visible()
    visited.wait_idle()
    code = page.locator(f"{SHOWN} .jp-CodeCell")
    code.first.locator(".jp-InputPrompt").click()
    page.keyboard.press("b")
    expect(code).to_have_count(2)
    page.keyboard.press("m")
    expect(page.locator(f"{SHOWN} .jp-MarkdownCell")).to_have_count(1)
    colors = page.locator(f"{SHOWN} .jp-Notebook").evaluate("e => getComputedStyle(e).backgroundColor")
    assert colors != "rgb(251, 250, 246)", "not our paper"
    page.evaluate("jupyterapp.commands.execute('docmanager:save').then(() => null)")


def test_the_way_back_to_jupyters_own_menus(air):
    page = air.page
    page.get_by_role("button", name="Jupyter", exact=True).click()
    expect(page.locator(".lm-MenuBar")).to_be_visible()
    page.get_by_role("button", name="Jupyter", exact=True).click()
    expect(page.locator(".lm-MenuBar")).to_be_hidden()


LEAST_TEXT = """all => Math.min(...all.filter(one => one.checkVisibility() && one.textContent.trim()).map(one =>
  parseFloat(getComputedStyle(one).fontSize) * (one.getScreenCTM ? one.getScreenCTM().a : 1)))"""


def check_words_at_the_kiln_in_a_small_window(visited):
    """Those of the first page, and they can be read."""
    visited.page.set_viewport_size({"width": 1024, "height": 576})  # 1280 × 720 at 125 %
    kiln = visited.page.locator(f"{SHOWN} .fc-kiln")
    expect(kiln.locator("a")).to_be_visible()
    assert 11.0 <= kiln.locator("text, a").evaluate_all(LEAST_TEXT) < 30.0
    groups = [one.bounding_box() for one in visited.page.locator(f"{SHOWN} .fc-groups > *").all()]
    assert len({group["x"] for group in groups}) == 3 and len(groups) == 4
    assert groups[-1]["y"] == groups[0]["y"], "no group stands alone below the others"
    visited.shot("home_small")
    visited.page.set_viewport_size({"width": 1280, "height": 720})


def test_what_one_jumps_over_is_not_done(visit, start):
    """By the contents to the check and back: nothing was read, moved or answered, and home says so."""
    visited = open_lesson(visit, start(), "02_air").wait_idle()
    page = visited.page
    page.locator(f"{SHOWN} .fc-contents li > button", has_text="Check").dispatch_event("click")
    page.wait_for_timeout(2500)
    expect(page.locator(".fc-parts")).to_have_text("0 of 9 parts done")
    page.locator(f"{SHOWN} .jp-MarkdownOutput h2", has_text=re.compile("^Look")).scroll_into_view_if_needed()
    page.wait_for_timeout(2500)
    expect(page.locator(".fc-unfinished")).to_contain_text("Look")
    page.locator(".fc-home-link").click()
    row = page.locator(".fc-row-of-home", has_text="02 How thirsty")
    expect(row.get_by_role("img", name="not begun")).to_be_visible()


def test_what_is_ticked_and_done_is_there_again(visit, start):
    lessons = start()
    visited = open_lesson(visit, lessons, "00_start_here").wait_idle()
    page = visited.page
    tick = page.get_by_role("checkbox", name=re.compile("Find both bulbs"))
    tick.check()
    expect(page.locator(".fc-parts")).to_contain_text("of 7 parts done")
    visited.commit()
    visited.press(0, "ArrowRight")  # to look at a panel is to move it
    for heading in page.locator(".jp-MarkdownOutput h2").all():
        heading.scroll_into_view_if_needed()
        page.wait_for_timeout(1800)  # a part counts after a second
    page.locator(".fc-end").scroll_into_view_if_needed()
    expect(page.locator(".fc-parts")).to_have_text("6 of 7 parts done")
    expect(page.locator(".fc-unfinished")).to_contain_text("Before you go in")
    steps, outside = page.locator(".fc-ask:not(.fc-predict) .fc-card").all()
    steps.locator("input[type=text]").fill("EDACFB")
    steps.get_by_role("button", name="Check").click()
    expect(steps.locator(".fc-feedback")).to_contain_text("A watcher and a clock")
    expect(page.locator(".fc-unfinished")).to_contain_text("Before you go in")
    outside.get_by_text(re.compile("^B. Call for help")).click()
    outside.get_by_role("button", name="Check").click()
    expect(page.locator(".fc-finished")).to_contain_text("00 Start here is done.")
    expect(page.locator(".fc-end")).to_contain_text("Next: 01 How wet is this board?")
    page.reload()
    visited.wait_live().wait_idle()
    expect(page.locator(".fc-parts")).to_have_text("7 of 7 parts done")
    expect(page.get_by_role("checkbox", name=re.compile("Find both bulbs"))).to_be_checked()
    page.get_by_role("checkbox", name=re.compile("Find both bulbs")).uncheck()
    page.locator(".fc-home-link").click()
    door = page.locator(".fc-door").first
    expect(door).to_contain_text("Continue where you stopped")
    expect(page.locator(".fc-row-of-home").first.get_by_role("img", name="done")).to_be_visible()
    page.get_by_label("Your name").fill("JT")
    page.get_by_role("button", name="Use this name").click()
    expect(page.locator(".fc-who")).to_contain_text("kept for JT")
    names = page.get_by_label("Who are you?")
    expect(names).to_be_hidden()
    page.get_by_label("Your name").fill("Ann")
    page.get_by_label("Your name").press("Enter")
    expect(names).to_be_visible()
    expect(names.locator("option:checked")).to_have_text("Ann")
    names.focus()
    page.keyboard.type("JT")
    expect(page.locator(".fc-who")).to_contain_text("kept for JT")
    expect(names).to_be_focused()
    assert visited.axe() == ""
    # Ann, who sits down while JT's page has not ended yet, is not shown it.
    lesson = page.locator(f"{SHOWN} .fc-row-of-home a").first
    lesson.click()
    tick = page.locator(SHOWN).get_by_role("checkbox", name=re.compile("Find both bulbs"))
    expect(tick).not_to_be_checked()
    tick.check()
    page.locator(f"{SHOWN} .fc-home-link").click()
    names.select_option(label="Ann")
    expect(page.locator(".fc-who")).to_contain_text("kept for Ann")
    lesson.click()
    expect(tick).not_to_be_checked()


def test_contents_lead_to_a_part_and_to_a_page(visit, lessons):
    visited = visit(lessons.page("03_emc.ipynb"), zoom=1.25).wait_live().wait_idle()
    page = visited.page
    page.get_by_role("button", name="Contents").click()
    page.locator(".fc-contents").get_by_role("button", name=re.compile("^Find the fault")).click()
    expect(page.get_by_role("heading", name="Find the fault")).to_be_in_viewport()
    page.get_by_role("button", name="Contents").click()
    page.locator(".fc-contents").get_by_role("link", name="00 Start here").click()
    at(visited, next(one for one in PAGES if one.number == "00"))


def test_the_keyboard_goes_from_the_bar_to_the_last_question(air):
    page = air.page
    page.locator(".fc-home-link").focus()
    where = """() => { const e = document.activeElement;
      if (!window.ids) { window.ids = new WeakMap(); window.last = 0; }
      if (!window.ids.has(e)) window.ids.set(e, ++window.last);
      return [window.ids.get(e), Boolean(e.closest(".fc-end")), e.closest("[data-cell]")?.dataset.cell || ""]; }"""
    seen, at_end, passed = [], False, set()
    for _ in range(250):
        page.keyboard.press("Tab")
        number, at_end, cell = page.evaluate(where)
        seen.append(number)
        passed.add(cell)
        assert seen[-4:] != [number] * 4, f"the keyboard is held in {cell}"
        if at_end:
            break
    assert at_end, "the end of the page is reached"
    assert {"warm-up-ask", "predict-look", "check-ask"} <= passed


def assert_text_in_the_middle_of_a_wide_window(page):
    """At 1920 the contents stand left of the text, and both the text and the two together are in the middle."""
    page.set_viewport_size({"width": 1920, "height": 1080})
    contents, text = page.locator(f"{SHOWN} .fc-contents"), page.locator(f"{SHOWN} .jp-MarkdownOutput > p")
    cards = page.locator(f"{SHOWN} .jp-OutputArea-output:has(> .fc-view > .fc-ask)")

    def off():
        """How far each is from where it should be; the page takes a moment to fit another window."""
        left, words, card = contents.bounding_box(), text.first.bounding_box(), cards.first.bounding_box()
        gap = words["x"] - (left["x"] + left["width"])
        middle = words["x"] + 728 / 2 - 960, (left["x"] + card["x"] + card["width"]) / 2 - 960
        return max(20 - gap, 0), words["x"] - card["x"], *(max(abs(one) - 12, 0) for one in middle)

    wait_until(lambda: not any(off()))
    assert not any(off()), off()
    page.set_viewport_size({"width": 1280, "height": 720})
    expect(contents).to_be_visible()
    assert wait_until(lambda: contents.bounding_box()["x"] > cards.first.bounding_box()["width"])


def test_a_word_opens_in_place(air):
    page = air.page
    word = page.get_by_role("button", name="depression").first
    word.click()
    expect(page.locator(".fc-says")).to_contain_text("the dry bulb minus the wet bulb")
    word.click()
    expect(page.locator(".fc-says")).to_have_count(0)
    assert_text_in_the_middle_of_a_wide_window(page)
    page.get_by_role("link", name="Words", exact=True).click()
    entry = page.locator(".fc-words-page dd").first
    expect(entry).to_be_visible()
    assert entry.bounding_box()["width"] > 700
    box = page.get_by_label("Find a word")
    box.fill("depr")
    expect(page.locator(".fc-words-page dt")).to_have_text(["depression"])
    page.close()


def check_end_of_the_last_lesson(visited):
    """It says what one can do now, and leads to the tools; from there one comes back."""
    visited.wait_live().wait_idle()
    end = visited.page.locator(f"{SHOWN} .fc-end")
    expect(end.get_by_role("heading")).to_have_text("This is the last lesson. Whoever has done them all can")
    said = end.locator("li").all_inner_texts()
    assert said == [f"{page.number} {'; '.join(page.after)}." for page in COURSE if page.after]
    assert len(said) >= 10
    expect(end).to_contain_text("Still to do here: ")
    tools = [page for page in PAGES if page.kind in ("desk", "present")]
    use = end.locator("p.fc-turn a")
    assert use.all_inner_texts() == [page.title.split(":")[0] for page in tools]
    use.first.click()
    at(visited, tools[0])
    visited.page.go_back()
    at(visited, COURSE[-1])


PRINTED = """() => [...document.querySelectorAll(".jp-MarkdownOutput img, .fc-stage > .widget-html, .fc-ask .fc-card")]
  .filter(e => e.offsetParent).map(e => e.getBoundingClientRect())
  .map(box => [Math.round(box.left), Math.round(box.right), Math.round(box.height)])"""
PAPER = {"A4": (794, 1123), "Letter": (816, 1056)}  # in pixels of 1/96 inch
SIDES = ("top", "bottom", "left", "right")
MARGIN = 38  # 1 cm on each side, as browsers leave it


@in_lesson("02_air")
@pytest.mark.parametrize("paper", PAPER)
def test_a_lesson_prints_on_readable_pages(lesson, paper):
    """From title to end, pictures whole, nothing cut at the edge, and nothing of the window around it."""
    page, (width, height) = lesson.page, PAPER[paper]
    lesson.commit()
    pages = len(
        re.findall(rb"/Type /Page\b", page.pdf(format=paper, print_background=True, margin=dict.fromkeys(SIDES, "1cm")))
    )
    page.emulate_media(media="print")
    page.set_viewport_size({"width": width - 2 * MARGIN, "height": height - 2 * MARGIN})
    boxes = page.evaluate(PRINTED)
    whole = page.evaluate("[document.documentElement.scrollWidth, document.documentElement.scrollHeight]")
    expect(page.locator(f"{SHOWN} .fc-bar")).to_be_hidden()
    expect(page.locator(f"{SHOWN} .fc-end .fc-turn")).to_be_hidden()
    small = page.locator(f"{SHOWN} .jp-MarkdownOutput p").first.evaluate(
        "e => parseFloat(getComputedStyle(e).fontSize) * e.getBoundingClientRect().width / e.offsetWidth"
    )
    page.emulate_media(media="null")
    page.set_viewport_size({"width": 1280, "height": 720})
    expect(page.locator(f"{SHOWN} .fc-bar")).to_be_visible()
    assert len(boxes) >= 10
    assert all(left >= 0 and right <= width - 2 * MARGIN and tall > 20 for left, right, tall in boxes), boxes
    assert whole[0] <= width - 2 * MARGIN
    assert whole[1] / (height - 2 * MARGIN) <= pages <= 2 * whole[1] / (height - 2 * MARGIN)
    assert 3 < pages < 15
    assert small >= 11 / 96 * 72, "8 points at least"


@in_lesson(*(page.name for page in PAGES if page.kind == "lesson"))
def test_every_lesson_prints_whole_with_its_pictures_and_without_code(lesson, name):
    """On A4: nothing beyond the sheet's edge, every picture of the lesson drawn, no code and no bar."""
    page, width = lesson.page, PAPER["A4"][0] - 2 * MARGIN
    lesson.commit()  # before it, a panel shows no picture
    page.emulate_media(media="print")
    page.set_viewport_size({"width": width, "height": PAPER["A4"][1] - 2 * MARGIN})
    boxes = page.evaluate(PRINTED)
    broken = page.locator(f"{SHOWN} .jp-MarkdownOutput img").evaluate_all(
        "all => all.filter(e => !e.naturalWidth).length"
    )
    code, whole = page.locator(CODE).count(), page.evaluate("document.documentElement.scrollWidth")
    bar = page.locator(f"{SHOWN} .fc-bar").is_visible()
    page.emulate_media(media="null")
    page.set_viewport_size({"width": 1280, "height": 720})
    assert (broken, code, bar) == (0, 0, False)
    assert whole <= width
    assert len(boxes) >= 5
    assert all(left >= 0 and right <= width and tall > 20 for left, right, tall in boxes), boxes


def test_a_page_opened_again_while_its_kernel_ends_is_not_given_that_kernel(visit, start):
    visited = visit("about:blank")
    visited.page.add_init_script(EXPOSE)
    held = []
    visited.page.route(
        "**/api/sessions/*", lambda route: held.append(route) if route.request.method == "DELETE" else route.continue_()
    )
    visited.page.goto(start().page("02_air.ipynb"))
    visited.wait_live().wait_idle()
    visited.page.locator(f"{SHOWN} .fc-bar .fc-next").click()
    at(visited, next(page for page in PAGES if page.name == "03_emc"))
    for _ in range(300):
        if held:
            break
        visited.page.wait_for_timeout(100)
    assert held, "the page that was left ends its kernel"
    visited.page.locator(f"{SHOWN} .fc-bar .fc-previous").click()
    visited.page.wait_for_timeout(500)
    held[0].continue_()
    at(visited, next(page for page in PAGES if page.name == "02_air"))
    visited.wait_live().wait_idle()
    visited.page.wait_for_timeout(1500)
    assert visited.page.locator(".first-charge-bar").all_inner_texts() == []


def test_a_page_that_is_being_opened_again_does_not_end_meanwhile(visit, start):
    visited = visit("about:blank")
    visited.page.add_init_script(EXPOSE)
    visited.page.goto(start().page("02_air.ipynb"))
    visited.wait_live().wait_idle()
    visited.page.locator(f"{SHOWN} .fc-bar .fc-next").click()
    at(visited, next(page for page in PAGES if page.name == "03_emc"))
    asked, ended = [], []
    visited.page.on("request", lambda request: ended.append(request.url) if request.method == "DELETE" else None)
    visited.page.route("**/api/contents/02_air.ipynb*", lambda route: asked.append(route))
    visited.page.locator(f"{SHOWN} .fc-bar .fc-previous").click()
    visited.page.wait_for_timeout(4000)  # a busy server takes its time to say that the file is there
    assert len(asked) == 1
    asked[0].continue_()
    visited.page.unroute("**/api/contents/02_air.ipynb*")
    at(visited, next(page for page in PAGES if page.name == "02_air"))
    visited.wait_idle()
    assert ended == [], "what was left is the page that comes back, with its kernel"
    assert visited.page.locator(".first-charge-bar").all_inner_texts() == []
