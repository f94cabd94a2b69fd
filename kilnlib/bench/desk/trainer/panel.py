"""The trainer's page in the order of the day: add learners, see what each missed, sign, print, back up."""

import datetime
import html
import os
import re
from contextlib import contextmanager
from pathlib import Path

import ipywidgets as widgets

from kilnlib.bench.desk.trainer import tables
from kilnlib.bench.desk.trainer.report import report
from kilnlib.bench.kit.parts import button, link, on_enter, printed_again
from kilnlib.bench.kit.screen import Pause, View, by_hand, line
from kilnlib.errors import BadInput, CannotSave, KilnError, sentence
from kilnlib.store.class_book import ClassBook, backup_at, hand_in_folder, latest_backup, open_class_book
from kilnlib.store.exports import out_folder, write_out
from kilnlib.store.record import FILE_NAME, record_file, tidy_name
from kilnlib.store.record_file import restore_elsewhere
from kilnlib.words import text
from kilnlib.words.trainer import LINES, TEXT

PARTS = ("learner", "class", "sign", "print", "file", "other", "delete")
BOXES = ("place", "seen", "times", "initials")
NOBODY = NO_LINE = ""  # with None the list would show nothing at all
CSS = """<style>
.fc-trainer .widget-html-content {white-space: normal; line-height: 1.45; font-size: 14.5px; min-width: 0;}
.fc-trainer > .widget-html, .fc-trainer > .widget-html > .widget-html-content {width: 100%; margin: 1px 0;}
.fc-trainer :is(p, details ul) {max-width: 900px;}
.fc-trainer h2 {font-size: 17px; margin: 16px 0 2px;} .fc-trainer h3 {font-size: 15px; margin: 12px 0 2px;}
.fc-trainer p {margin: 2px 0 6px;}
.fc-trainer .fc-wide {overflow-x: auto;}
.fc-trainer .fc-class {border-collapse: collapse; font-size: 13px; margin: 0;}
.fc-trainer .fc-class :is(td, th) {border: 1px solid #cfcabd; padding: 2px 5px; text-align: left; white-space: normal;}
.fc-trainer .fc-wide .fc-class td {white-space: nowrap;}
.fc-trainer summary {cursor: pointer;} .fc-trainer a {color: #1d5b99;}
.fc-trainer .widget-text, .fc-trainer .widget-dropdown {width: 300px; height: auto;}
.fc-trainer .widget-label {width: 96px; min-width: 96px; font-size: 14px;}
.fc-trainer .fc-long {width: 620px;} .fc-trainer .jupyter-button {width: auto; font-size: 14px;}
.fc-trainer .widget-hbox {flex-wrap: wrap; align-items: center; overflow: visible;}
.fc-trainer :is(.widget-dropdown > select, .widget-text > input) {height: 34px; padding: 4px 8px; font-size: 14px;}
.fc-trainer .fc-pairs {display: grid; grid-template-columns: repeat(2, 304px); gap: 0 16px;}
.fc-trainer :is(.fc-delete, .fc-delete_yes) {color: #8f1d10; background: #ffffff; border: 2px dashed #8f1d10;}
.fc-trainer .fc-said, .fc-trainer .fc-refusal {overflow-wrap: anywhere;}
</style>"""


class Panel(View):
    """The page. Public for tests: every button's method, `boxes`, `who`, `line`, `tables`, `hands`, `sure`.

    `criterion` says what must have been seen of whom; `person` whom the last part is about;
    `sayings` has a line for each part of the page; `saying` is the one in which something was said last.
    """

    name = "trainer"

    def __init__(self):
        super().__init__()
        self.book = ClassBook(record_file())
        self._signed = {}  # what was signed, as the tables say it
        self._asked = None  # whom the question before deleting is about
        self.written = None  # the report written last
        self.tables, self.hands, self.criterion, self.person, self.question = (widgets.HTML() for _ in range(5))
        self.sayings = {part: widgets.HTML() for part in PARTS}
        self.saying = self.sayings["learner"]
        self.who = widgets.Dropdown(description=_word("who"), tooltip=_word("who_tip"))
        self.line = widgets.Dropdown(
            description=_word("line"),
            tooltip=_word("line_tip"),
            options=[(_word("nobody"), NO_LINE), *((LINES[name][0], name) for name in LINES)],
        )
        names = ("new_name", "day", *BOXES, "folder", "path", "other_name", "delete_name")
        self.boxes = {name: _box(name) for name in names}
        self.boxes["day"].value = datetime.date.today().isoformat()
        self._soon = Pause()
        on_enter(self.boxes["new_name"], lambda: self._soon.wait(self._enroll_typed))
        self.boxes["folder"].value = str(_free_folder())
        self.boxes["folder"].add_class("fc-long")
        self.report_button = _prints("trainer.report", self.report)
        self.sure = widgets.VBox([self.question, self.boxes["delete_name"], self._row("delete_yes", "delete_no")])
        self.who.observe(lambda _: self._another(), "value")
        self.line.observe(lambda _: self._say_for_whom(), "value")
        content = widgets.VBox(
            [
                widgets.HTML(CSS, layout={"display": "none"}),
                *self._of_the_class(),
                *self._of_the_kiln(),
                *self._of_the_file(),
                *self._of_one(),
                widgets.HTML(tables.how()),
            ]
        )
        content.add_class("fc-trainer")
        self.view = self.framed(content)
        with self._in("class"):
            self._write()
            if self.book.notice:
                self._say("")

    def _of_the_class(self):
        handed = [button("trainer.handed", self.handed)] if hand_in_folder() else []
        return [
            _heading("learner_head"),
            widgets.HBox([self.boxes["new_name"], button("trainer.enroll", self.enroll)]),
            self.sayings["learner"],
            widgets.HTML(f"<p>{_to_first_page()}</p>"),
            _heading("class_head"),
            widgets.HBox([button("trainer.show", self.show), *handed]),
            self.sayings["class"],
            self.tables,
        ]

    def _of_the_kiln(self):
        boxes = (self.boxes[name] for name in ("day", *BOXES))
        return [
            _heading("sign_head"),
            self.hands,
            self._grid(self.who, self.line),
            self.criterion,
            self._grid(*boxes),
            self._row("sign"),
            self.sayings["sign"],
            widgets.HTML(tables.of_the_kiln()),
        ]

    def _of_the_file(self):
        pages = _prints("trainer.print_pages", self.print_pages)
        other = [button("trainer.take", self.take), button("trainer.restore", self.restore)]
        return [
            _heading("print_head"),
            widgets.HBox([pages, self.report_button]),
            self.sayings["print"],
            _heading("file_head"),
            self._row("backup"),
            widgets.HBox([self.boxes["folder"], button("trainer.restore_there", self.restore_there)]),
            self.sayings["file"],
            _heading("other_head"),
            widgets.HBox([self.boxes["path"], *other, button("trainer.csv", self.csv)]),
            self.sayings["other"],
        ]

    def _of_one(self):
        return [
            self.person,
            widgets.HBox([self.boxes["other_name"], button("trainer.rename", self.rename), self._row("delete")]),
            self.sayings["delete"],
            self.sure,
        ]

    def _grid(self, *boxes):
        """Boxes in two columns, so that each stands under another."""
        grid = widgets.Box(boxes)
        grid.add_class("fc-pairs")
        return grid

    def _row(self, *names):
        row = widgets.HBox([button(f"trainer.{name}", getattr(self, name)) for name in names])
        for name, made in zip(names, row.children, strict=True):
            made.add_class(f"fc-{name}")
        return row

    # what is shown ------------------------------------------------------------------------------------------------

    @contextmanager
    def _in(self, part):
        """Guarded work whose sentence goes beside the buttons of a part, in place of what was said there.

        A refusal elsewhere is taken away; what was done elsewhere stays.
        """
        self.saying = self.sayings[part]
        for saying in self.sayings.values():
            if saying is self.saying or "fc-refusal" in saying.value:
                saying.value = ""
        with self.guard():
            yield

    def show(self):
        """Read the record anew and write every table."""
        with self._in("class"):
            self._write()
            self._say(_word("showing", learners=_count("learners", self.book.learners())))

    def _write(self):
        self.book = open_class_book()
        self._signed = self.book.signed()
        self.tables.value, self.hands.value = tables.everything(self.book), tables.signed(self.book)
        called = self.book.labels()
        chosen = self.who.value
        with self.quietly():
            self.who.options = [(_word("nobody"), NOBODY), *((name, who) for who, name in called.items())]
            self.who.value = chosen if chosen in called else NOBODY
        self._say_for_whom()
        self._ask_nobody()

    @by_hand
    def _say_for_whom(self):
        """The learner and the line chosen: what must have been seen, how often by now, and whose the last part is."""
        name = next((name for name, who in self.who.options if who and who == self.who.value), None)
        self.criterion.value = f"<p>{html.escape(self._must_be_seen(name or _word('this_learner')))}</p>"
        self.boxes["times"].placeholder = _word("times_example", times=self._times_now())
        self.report_button.description = _word("report_of", name=name) if name else _word("report")
        self.person.value = f"<h2>{html.escape(_word('person_head', name=name) if name else _word('person_none'))}</h2>"

    def _must_be_seen(self, name):
        if self.line.value == NO_LINE:
            return _word("no_criterion")
        title, what = LINES[self.line.value]
        return _word("criterion", line=title, name=name, what=what)

    @by_hand
    def _another(self):
        self._say_for_whom()
        self._ask_nobody()

    def _times_now(self):
        """How often the line was done, if it was done once more than was signed."""
        one = self._signed.get((self.who.value, self.line.value))
        return 1 + (one.times if one else 0)

    def _say(self, words, below=""):
        notice = self.book.notice
        self.saying.value = line(f"{words} {sentence(notice)}" if notice else words) + below

    def show_error(self, error):
        """The sentence goes beside the buttons; every box keeps what was typed."""
        self.saying.value = line(sentence(error), "refusal")

    def _chosen(self):
        found = next((one for one in self.book.learners() if one.id == self.who.value), None)
        if found is None:
            raise BadInput("nobody_chosen")
        return found, self.book.labels()[found.id]

    # learners -----------------------------------------------------------------------------------------------------

    def enroll(self):
        """Add a learner by the name typed."""
        with self._in("learner"):
            who = self.book.enroll(self.boxes["new_name"].value)
            self.boxes["new_name"].value = ""
            self._write()
            self._say(_word("enrolled", name=self.book.labels()[who.id]))

    def _enroll_typed(self):
        if self.boxes["new_name"].value.strip():  # the button may have been pressed as well
            self.enroll()

    def sign(self):
        """Keep the trainer's word for the line chosen; initials are typed anew each time.

        Where it does not say who saw it, the trainer did; where it does not say how often, once more than was signed.
        """
        with self._in("sign"):
            who, name = self._chosen()
            if self.line.value == NO_LINE:
                raise BadInput("no_line")
            day, place, seen, times, initials = (self.boxes[box].value for box in ("day", *BOXES))
            seen, times = seen.strip() or tidy_name(initials), times.strip() or str(self._times_now())
            one = self.book.sign(who, self.line.value, day, place, seen, times, initials)
            self.boxes["initials"].value = self.boxes["times"].value = ""
            self._write()
            fields = {"line": LINES[one.line][0], "name": name, "day": one.day.isoformat(), "place": one.place}
            key = "signed_now" if one.times else "taken_back"
            self._say(_word(key, **fields, times=one.times, seen=one.seen_by, initials=one.initials))

    # paper --------------------------------------------------------------------------------------------------------

    def report(self):
        """Write the chosen learner's page, and print it."""
        with self._in("print"):
            who, _ = self._chosen()
            data = report(self.book, who, datetime.date.today())
            plain = " ".join(re.sub(r"\W+", " ", who.name).split())  # what any file system takes
            (self.written,) = write_out(f"report {plain} {who.id[:4]}".replace("  ", " "), html=data).values()
            self._say_printed(_word("reported", path=self.written), self.written, data)

    def print_pages(self):
        """Write the pages to hang up, as the command `print` does, and print them."""
        with self._in("print"):
            from kilnlib.bench.desk import print_set  # its drawings need not be there when the page opens

            path, count, why = print_set.write_today()
            card = f" {text('print_set.no_card', why=why)}" if why else ""
            self._say_printed(_word("printed", count=count, path=path) + card, path, path.read_bytes())

    def _say_printed(self, words, path, data):
        self.saying.value = printed_again(words, _word("link"), path, data)

    # the file -----------------------------------------------------------------------------------------------------

    def backup(self):
        """Write a whole copy of the record."""
        with self._in("file"):
            path = self._backup_path()
            self.book.backup(path)
            self._say(_word("backed_up", path=path))

    def restore_there(self):
        """Make the last backup the record of the folder named in the box, where none may lie."""
        with self._in("file"):
            typed = self.boxes["folder"].value.strip().strip("\"'")
            if not typed:
                raise BadInput("no_folder", folder=_free_folder())
            backup = latest_backup(out_folder())
            if backup is None:
                raise BadInput("no_backup_yet")
            folder = _own_folder().parent / Path(os.path.expandvars(typed)).expanduser()
            restore_elsewhere(backup, folder / FILE_NAME)
            there = open_class_book(folder / FILE_NAME)  # what is said is read back
            counts = {"learners": _count("learners", there.learners()), "lines": _count("lines", there.signed())}
            names = ", ".join(there.labels().values()) or _word("nobody_there")
            self._say(_word("restored_there", backup=backup.name, folder=folder, names=names, **counts))

    # other machines -----------------------------------------------------------------------------------------------

    def csv(self):
        """Write everything as CSV."""
        with self._in("other"):
            data = self.book.csv()
            (path,) = write_out(f"class {datetime.date.today():%Y-%m-%d}", csv=data).values()
            self._say(_word("csv_done", path=path), _link(path, data))

    def take(self):
        """Merge the file or folder named in the box."""
        with self._in("other"):
            path = self._path()
            if path.is_dir():
                self._take_folder(path)
                return
            count = self.book.merge(path) if path.suffix == ".sqlite" else self.book.take_csv(path)
            self._write()
            self._say(_word("took", file=path.name, count=count))

    def handed(self):
        """Merge what learners handed in on this server."""
        with self._in("class"):
            folder = hand_in_folder()
            if folder is None or not folder.is_dir():
                raise CannotSave("hand_in_folder", path=folder)
            self._take_folder(folder)

    def _take_folder(self, folder):
        taken = [
            sentence(one) if isinstance(one, KilnError) else _word("took", file=path.name, count=one)
            for path, one in self.book.take_handed_in(folder)
        ]
        self._write()
        self._say(" ".join([*taken, _word("took_drop")]) if taken else _word("took_none", path=folder))

    def _path(self):
        typed = self.boxes["path"].value.strip().strip("\"'")
        path = Path(typed).expanduser()
        if not (typed and path.exists()):
            raise BadInput("nothing_there", path=typed)
        return path

    def _backup_path(self):
        return out_folder() / f"record {datetime.datetime.now():%Y-%m-%d %H%M%S.%f}.sqlite"

    def restore(self):
        """Put the backup named in the box in place of the record."""
        with self._in("other"):
            path, kept = backup_at(self._path()), self._backup_path()
            self.book.restore(path, kept)
            self._write()
            self._say(_word("restored", path=path, kept=kept))

    # one learner --------------------------------------------------------------------------------------------------

    def rename(self):
        """Give the chosen learner the name typed."""
        with self._in("delete"):
            who, _ = self._chosen()
            self.book.rename(who, self.boxes["other_name"].value)
            self.boxes["other_name"].value = ""
            self._write()
            self._say(_word("renamed", name=self.book.labels()[who.id]))

    def delete(self):
        """Ask whether the chosen learner shall be deleted; nothing is deleted yet."""
        with self._in("delete"):
            self._asked, name = self._chosen()
            count = self.book.count_of(self._asked)
            self.question.value = line(_word("delete_ask", name=name, count=count), "refusal")
            self.sure.layout.display = None

    def delete_yes(self):
        """Delete whom the question is about, if the name was typed as it stands in the list."""
        with self._in("delete"):
            if self._asked is None:
                raise BadInput("nobody_chosen")
            name, typed = (
                self.book.labels().get(self._asked.id, ""),
                " ".join(self.boxes["delete_name"].value.split()),
            )
            if typed != name:
                raise BadInput("delete_name", typed=typed, name=name)
            kept = self._backup_path()
            self.book.delete(self._asked, kept)
            self._write()
            self._say(_word("deleted", name=name, path=kept))

    def delete_no(self):
        """Delete nobody."""
        with self._in("delete"):
            self._ask_nobody()
            self._say(_word("kept"))

    def _ask_nobody(self):
        self._asked, self.question.value, self.boxes["delete_name"].value = None, "", ""
        self.sure.layout.display = "none"


def _box(name):
    example = {"placeholder": _word(f"{name}_example")} if f"trainer.{name}_example" in TEXT else {}
    return widgets.Text(description=_word(name), tooltip=_word(f"{name}_tip"), **example)


def _prints(key, action):
    """A button whose page is printed as soon as it is made."""
    made = button(key, action)
    made.add_class("fc-prints")
    return made


def _to_first_page():
    """The way to the learners' page, in a tab of its own, so that this one is found again."""
    way = f'<a href="home.ipynb" target="_blank">{html.escape(_word("first_page"))}</a>'
    return html.escape(_word("then")).replace("FIRST_PAGE", way)


def _own_folder():
    return record_file().parent.absolute()


def _free_folder():
    """A folder beside the user's own that has no record yet."""
    own = _own_folder()
    names = (_word("restored_folder", name=own.name, number=number or "").strip() for number in (0, *range(2, 10_000)))
    return next(folder for folder in map(own.with_name, names) if not (folder / FILE_NAME).exists())


def _heading(key):
    return widgets.HTML(f"<h2>{html.escape(_word(key))}</h2>")


def _count(key, counted):
    return _word(f"{key}_1") if len(counted) == 1 else _word(key, count=len(counted))


def _link(path, data):
    return f"<div>{html.escape(_word('link'))} {link(path, data)}</div>"


def _word(key, **fields):
    return text(f"trainer.{key}", **fields)
