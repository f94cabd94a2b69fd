"""What the bench remembers of a page from one opening to the next: the one door from widgets to the record.

A page is opened by its set-up cell. Where none was opened (a test, a cell of its own) nothing is read and nothing is
written. Reading never raises: a record that cannot be read is as if it were empty. Writing returns None, or the error
whose sentence must be shown because something was not saved.
"""

from dataclasses import fields, is_dataclass, replace
from datetime import date

from kilnlib.bench.kit.screen import after_pause
from kilnlib.errors import CannotSave
from kilnlib.store.record import Record, open_record, record_file
from kilnlib.words import text

NO_PLACES = (
    "home",
    "first_aid",
    "glossary",
    "present_",
    "desk_",
)  # one stopped where one learned; tools have own doors
PAUSE_S = 1.0  # a panel that is being moved is written down once a second at most
TYPED_PAUSE_S = 0.4  # typing has paused; meanwhile the page itself keeps what was typed (page/typed.js)
LATELY = 3000  # tries that are looked back on: many times all questions
_page = None


def open_page(name):
    """From now on this kernel shows that page. Returns the errors that must be said of the record."""
    global _page
    _page = name
    try:
        record = open_record()
        if not name.startswith(NO_PLACES):
            record.opened(name)
    except CannotSave as error:
        return [error]
    return [record.notice] if record.notice else []


def is_open():
    """Whether this kernel shows a page."""
    return _page is not None


def close_page():
    """Remember nothing any more."""
    global _page
    _page = None


def answered(question, typed, right, misconception, row, place=None):
    """Keep one try at a question; `place` is the page, or a part of one that asks anew."""
    return _write(lambda record: record.answered(question, typed, right, misconception, place or _page, row))


def predicted(question, typed, right, misconception, row):
    """Keep a prediction."""
    return _write(lambda record: record.predicted(question, typed, right, misconception, _page, row))


def tries(question, place=None):
    """The tries at a question on this page, oldest first."""
    return _read(lambda record: record.answers(question, place or _page), [])


def prediction(question):
    """What was predicted on this page, or None."""
    return _read(lambda record: record.prediction(question, _page), None)


def finished(part, page):
    """Keep that a page or a part of one is done."""
    return _write(lambda record: record.finished(part, page))


def ticked(item, on, page):
    """Keep a tick of a checklist, or that it was taken away."""
    return _write(lambda record: record.ticked(item, on, page))


def ticks(page):
    """What is ticked on a page."""
    return _read(lambda record: record.ticks(page), set())


def done():
    """The pages and parts that are done, and since when."""
    return _read(lambda record: record.done(), {})


def touched():
    """The pages on which something was answered, ticked or moved."""
    return _read(lambda record: record.touched(), set())


def leave(what, value):
    """Keep how something on this page was left (any value that JSON can hold)."""
    return _write(lambda record: record.leave(what, value))


def left(what):
    """How it was left, or None."""
    return _read(lambda record: record.left(what), None)


def typed(question, place=None):
    """What stands in a question's box on this page and was not answered, or None."""
    return left(_box(question, place)) if _page else None


def keep_typed(question, value, place=None):
    """Keep what stands in a question's box, or None: nothing that was not answered."""
    return leave(_box(question, place), value or None)


def last_place():
    """The page on which one stopped last, or None."""
    return _read(lambda record: record.last_place(), None)


def learner():
    """Who sits here, or None while nothing was ever written."""
    return _read(lambda record: record.learner(), None)


def sit_down(name):
    """From now on the learner of that name sits here. Raises a sentence for what is no name."""
    return _write(lambda record: record.sit_down(name))


def people():
    """Everybody in the record who has a name: [(what they are called, who), …]."""

    def work(record):
        called = record.labels()
        return [(called[one.id], one) for one in record.learners() if one.name]

    return _read(work, [])


def sit_down_as(who):
    """From now on this learner sits here."""
    return _write(lambda record: record.sit_down_as(who))


def tried(page):
    """What was tried on a page: {(place, question): [right, …]}, and the set of what was predicted there."""
    events = _read(lambda record: record.events("answered", "predicted"), [])
    answers, predictions = {}, set()
    for event in events:
        if event.verb == "predicted" and event.page == page:
            predictions.add(event.about)
        elif event.verb == "answered" and (event.page == page or event.page.startswith(f"{page}/warm-up/")):
            place = "" if event.page == page else "warm-up"
            answers.setdefault((place, event.about), []).append(bool(event.right))
    return answers, predictions


def events(*verbs):
    """The latest events of these verbs, oldest first."""
    return _read(lambda record: record.events(*verbs, last=LATELY), [])


def place_of(part):
    """The place of a part of this page, under which its answers are kept."""
    return f"{_page}/{part}"


def bring_back(panel, name, predict):
    """Show a panel as it was left, and write down from now on how it is left; a prediction first, if there is one."""
    if _page is None:
        return panel
    prediction = getattr(panel, "prediction", None)
    if prediction is not None:
        prediction.recall()
    state = getattr(panel, "requested", None)
    if is_dataclass(state) and all(_is_plain(value) for value in _values(state).values()):
        key = f"{_page}/{name}/{predict or ''}"
        if prediction is None or prediction.marked is not None:
            _show_as_left(panel, _read(lambda record: record.left(key), None))
        panel.on_left = _Left(panel, key).later
    return panel


def day_in_words(day):
    """A day, or the day here of a moment, as people say it: "March 12"."""
    local = day.astimezone() if hasattr(day, "astimezone") else day
    return f"{local:%B} {local.day}"


class _Left:
    """Writes down how a panel is left, once a second at most while it is being moved."""

    def __init__(self, panel, key):
        self.panel, self.key, self.waiting = panel, key, None

    def later(self, last=False):
        """Write soon; at the last moment, what still waits to be written."""
        if last and self.waiting is not None:
            self.waiting.cancel()
            self._write()
        elif not last and self.waiting is None:
            self.waiting = after_pause(self._write, PAUSE_S)

    def _write(self):
        self.waiting = None
        state, day = _values(self.panel.requested), date.today().isoformat()
        kept = {"state": state, "system": self.panel.system, "day": day}
        _write(lambda record: record.leave(self.key, kept))


def _box(question, place):
    return f"{place or _page}/typed/{question}"


def _show_as_left(panel, kept):
    if not kept:
        return
    known = {name: value for name, value in kept["state"].items() if name in _values(panel.opening)}
    try:
        state = replace(panel.opening, **known)
        panel.compute(state)
    except Exception:  # a newer workbook may have other situations or limits; then the opening state stands
        return
    if kept["system"] != panel.system:
        panel.unit_switch.value = kept["system"]
    if state != panel.opening:
        panel.show_as_left(state, text("record.left", day=day_in_words(date.fromisoformat(kept["day"]))))


def _values(state):
    return {field.name: getattr(state, field.name) for field in fields(state)}


def _is_plain(value):
    return value is None or isinstance(value, str | bool | int | float)


def _read(work, otherwise):
    if _page is None or not record_file().exists():
        return otherwise
    try:
        return work(Record(record_file()))
    except CannotSave:
        return otherwise


def _write(work):
    if _page is None:
        return None
    try:
        record = Record(record_file())
        work(record)
    except CannotSave as error:
        return error
    return record.notice
