"""The first page: three doors, the lessons with what is done, your kiln, your name. Read from the folder each time."""

import html
import re
from pathlib import Path

import ipywidgets as widgets

from kilnlib import units
from kilnlib.bench.kit import memory, progress
from kilnlib.bench.kit.parts import button, on_enter, show
from kilnlib.bench.kit.screen import Pause, View, by_hand, line
from kilnlib.errors import BadInput, sentence
from kilnlib.physics.air import pressure_pa
from kilnlib.store import class_book
from kilnlib.store.kiln import load_with_problem
from kilnlib.words import text
from kilnlib.words.home import GROUPS

PICTURE = Path("img") / "kiln_cross_section.svg"
KILN_ALONE = "156 40 728 520"  # what home shows of it: without its words, which would be too small to read here
NOBODY = ""  # with None the list of names would show nothing at all
SIGNS = {"done": "●", "begun": "◐", "open": "○"}


class Home(View):
    """Public for tests: `doors`, `lessons`, `name`, `names`, `sit_down`, `choose`, `hand_in`, `view`.

    Where the record knows several people, they are in a list, which then is the first thing on the page.
    """

    def __init__(self):
        super().__init__()
        self.pages = {page.name: page for page in progress.pages()}
        self.top, self.list, self.saying = widgets.HTML(), widgets.HTML(), widgets.HTML()
        self.name = widgets.Text(description=text("home.name"), tooltip=text("home.name_tip"))
        self._soon = Pause()
        on_enter(self.name, self._sit_down_soon)
        self.names = widgets.Dropdown(description=text("home.who"), tooltip=text("home.who_tip"))
        self.names.observe(lambda change: self._choose(change["new"]), "value")
        row = widgets.HBox([self.names, self.name, button("home.name_ok", self._sit_down_soon), self.saying])
        row.add_class("fc-who")
        handing = widgets.HBox([button("trainer.hand_in", self.hand_in)] if class_book.hand_in_folder() else [])
        handing.add_class("fc-handing")
        self.show()
        in_order = [row, self.top, self.list] if self._are_several() else [self.top, self.list, row]
        self.view = widgets.VBox([*in_order, handing])
        self.view.add_class("fc-home")

    def show(self):
        """Write everything anew from the folder and the record."""
        done = memory.done()
        self.top.value = _top(_doors(self.pages, done), _picture())
        self.list.value = _groups(self.pages, done) + _tools(self.pages, done) + _kiln()
        self._say_who()

    def _say_who(self):
        who, people = memory.learner(), memory.people()
        name = who.name if who else ""
        options = ((text("home.who_none"), NOBODY), *((called, one.id) for called, one in people))
        with self.quietly():
            if self.names.options != options:  # written anew, the list would lose the focus
                self.names.options = options
            self.names.value = who.id if name else NOBODY
        several = self._are_several()
        show(self.names, several)
        self.name.placeholder = text("home.name_new") if several else ""
        if not several:
            self.name.value = name
        key = ("chosen" if name else "choose") if several else ("named" if name else "unnamed")
        self.saying.value = line(text(f"home.{key}", name=name))

    def _are_several(self):
        return len(self.names.options) > 2

    def sit_down(self, name):
        """What is answered from now on is kept for this name."""
        with self.guard():
            lost = memory.sit_down(name)
            if lost:
                raise lost
            self.name.value = ""  # it stands in the list now, or is put back into the box
            self.show()

    def choose(self, learner_id):
        """What is answered from now on is kept for this one of the list; what stands in the box stays."""
        with self.guard():
            who = next((one for _, one in memory.people() if one.id == learner_id), None)
            lost = memory.sit_down_as(who) if who else BadInput("learner_gone")
            self.show()  # the list says who sits here, also where the choice could not be kept
            if lost:
                raise lost

    @by_hand
    def _choose(self, learner_id):
        if learner_id == NOBODY:
            self._say_who()
        else:
            self.choose(learner_id)

    def hand_in(self):
        """Write what was done so far to the folder that this server names."""
        with self.guard():
            path = class_book.hand_in()
            self.saying.value = line(text("trainer.handed_in", path=path))

    @by_hand
    def _sit_down_soon(self):
        self._soon.wait(lambda: self.sit_down(self.name.value))

    def show_error(self, error):
        """The sentence goes beside the box."""
        self.saying.value = line(sentence(error), "refusal")


def where(page, done):
    """Whether a page is "done", "begun" or "open", and how many of its parts are done."""
    finished = sum(f"{page.name}#{part.name}" in done for part in page.parts)
    if page.name in done:
        return "done", finished
    return ("begun" if page.name in memory.touched() else "open"), finished


def next_part(page, done):
    """The title of the first part of a page that is not done, or None."""
    return next((part.title for part in page.parts if f"{page.name}#{part.name}" not in done), None)


def _doors(pages, done):
    """(page, heading, words) of each door that leads somewhere."""
    lessons = [page for page in pages.values() if page.kind == "lesson"]
    last = pages.get(memory.last_place())
    if last:
        title, part = _named(last), next_part(last, done)
        says = text("home.continue_says", title=title, part=part) if part else text("home.continue_done", title=title)
        yield last, text("home.continue"), says
    elif lessons:
        yield lessons[0], text("home.learn"), text("home.learn_says", title=_named(lessons[0]))
    for key, start in (("setpoint", "desk_setpoint"), ("workshop", "present_")):
        page = next((page for page in pages.values() if page.name.startswith(start)), None)
        if page:
            yield page, text(f"home.{key}"), text(f"home.{key}_says")


def _named(page):
    return f"{page.number} {page.title}".strip()


def _top(doors, picture):
    cards = "".join(
        f'<a class="fc-door" href="{html.escape(page.file)}"><b>{html.escape(heading)}</b>'
        f"<span>{html.escape(says)}</span></a>"
        for page, heading, says in doors
    )
    words = "".join(
        f"<p class='fc-{look}'>{html.escape(text(f'home.{key}'))}</p>"
        for look, key in (("kicker", "kicker"), ("head", "head"), ("sentence", "sentence"))
    )
    doors = f'<nav class="fc-doors" aria-label="{text("home.doors")}">{cards}</nav>'
    return f'<div class="fc-top"><div>{words}{doors}</div><div class="fc-kiln">{picture}</div></div>'


def _picture():
    """The drawing of the kiln as it lies beside the notebooks, its margins cut off, and where its parts are named."""
    try:
        drawn = PICTURE.read_text(encoding="utf-8")
    except OSError:
        return ""
    alone = re.sub(r'viewBox="[^"]*"', f'viewBox="{KILN_ALONE}"', drawn[drawn.find("<svg") :], count=1)
    return f'{alone}<a href="00_start_here.ipynb">{html.escape(text("home.picture"))}</a>'


def _groups(pages, done):
    lessons = [page for page in pages.values() if page.kind == "lesson"]
    known = {number for _, numbers in GROUPS for number in numbers}
    groups = [(title, [page for page in lessons if page.number in numbers]) for title, numbers in GROUPS]
    groups.append((text("home.more"), [page for page in lessons if page.number not in known]))
    columns = "".join(
        f"<section><h2>{html.escape(title)}</h2>{''.join(_row(page, done) for page in group)}</section>"
        for title, group in groups
        if group
    )
    return f'<div class="fc-groups">{columns}</div>'


def _row(page, done):
    state, finished = where(page, done)
    says = text(f"home.{state}", done=finished, total=len(page.parts)) if state == "begun" else text(f"home.{state}")
    after = "".join(f"<li>{html.escape(words)}</li>" for words in page.after)
    minutes = text("home.minutes", minutes=page.minutes) if page.minutes else text("home.no_minutes")
    tip = text("home.after", title=_named(page))
    fold = (
        f'<details><summary aria-label="{minutes}. {tip}" title="{tip}">{minutes}</summary><ul>{after}</ul></details>'
    )
    return (
        f'<div class="fc-row-of-home fc-is-{state}"><span class="fc-dot" role="img" aria-label="{says}" '
        f'title="{says}">{SIGNS[state]}</span><a href="{html.escape(page.file)}">{html.escape(_named(page))}</a>'
        f"{fold}</div>"
    )


def _tools(pages, done):
    lessons = [page for page in pages.values() if page.kind == "lesson"]
    count = text("home.count", done=sum(page.name in done for page in lessons), total=len(lessons))
    links = [
        f'<a href="{html.escape(page.file)}">{html.escape(page.title)}</a>'
        for page in pages.values()
        if page.kind in ("desk", "present", "aid", "words")
    ]
    return f'<p class="fc-tools">{html.escape(count)} {text("home.tools")} {" · ".join(links)}</p>'


def _kiln():
    kiln, problem = load_with_problem()
    if problem:
        return line(sentence(problem), "refusal")
    share = f"{100 * pressure_pa(kiln.altitude_m) / pressure_pa(0.0):.0f} %"
    words = text(
        "home.kiln",
        name=kiln.name,
        altitude=units.show(kiln.altitude_m, "altitude"),
        share=share,
        top=units.show(kiln.top_dry_bulb_c, "temperature"),
        courses=kiln.courses,
    )
    link = f'<a href="00_start_here.ipynb">{html.escape(text("home.kiln_change"))}</a>'
    return f'<p class="fc-your-kiln">{html.escape(words)} {link}</p>'
