"""Rows of typed boxes: taken when typing pauses, kept as typed while they cannot be taken.

A `Desk` (the panel) owns the open sheet. Each `Row` is a few boxes that are taken together and a place for sentences
about them.
"""

import ipywidgets as widgets
from ipywidgets.widgets.widget_string import HTMLStyle, TextStyle

from kilnlib.bench.kit.parts import on_enter
from kilnlib.bench.kit.screen import LOCK, Pause, View, by_hand, close_tree, line
from kilnlib.errors import Notice, sentence
from kilnlib.words import text

PAUSE_S = 0.4  # typing has paused


class Look:
    """Layout and styles that all rows of a desk share: a row is then a handful of widgets, and quick to show."""

    def __init__(self):
        self.layout, self.text, self.html = widgets.Layout(), TextStyle(), HTMLStyle()

    def close(self):
        """Close them, after the rows."""
        for part in (self.layout, self.text, self.html):
            part.close()


class Desk(View):
    """A view with rows of boxes: waits for pauses in typing, then has the row taken."""

    def __init__(self):
        super().__init__()
        self.unfinished = None  # where text is kept that could not be taken
        self.trouble = None  # why the last entry is not in the file
        self.troubled = None  # (row, what it stood for) whose entry that was
        self.active = None  # the row typed in last
        self.sources = set()  # rows whose text led to what is shown next
        self.waiting = []  # rows to take as well, now that what hindered them may be gone
        self.look = Look()
        self._pending = self._taking = None
        self._pause = Pause()

    @by_hand
    def typing(self, row):
        """A key was pressed in a row: it is taken at the next pause, the one typed in before at once.

        What that one says is shown at the pause as well: drawing now would hold up a fast typist.
        """
        self.active = row
        self._wait_for(row)
        self._pause.wait(self.flush, PAUSE_S)

    def entered(self, row, field):
        """Enter was pressed in a box: go on to the next one, and take the row at once.

        With our extension the browser itself goes on, and Enter comes here from the last box only.
        """
        with LOCK:
            if (target := row.following(field)) is not None:
                target.focus()
            self.active = None if row.tidies else row
            self._wait_for(row)
            if row.tidies:
                self._pause.wait(self.flush)
            else:
                self.flush()

    def flush(self):
        """Take now what was typed last."""
        with LOCK:
            row = self._pending
            self._forget()
            if row is not None:
                self.settle(row)

    def settle(self, row):
        """Take a row; what cannot be taken stays as it was typed, with the reason beside it."""
        self._take(row)
        refusal = self.last_error
        with self.guard():
            self.show()
        self.sources.clear()
        self.last_error = self.last_error or refusal

    @property
    def taking(self):
        """The row that is being taken, or None."""
        return self._taking

    def _take(self, row):
        self._taking = row
        with self.guard():
            row.taken(row.take(row) is not False)
        self._taking = None
        self.sources.add(row)
        if self.waiting:
            self._take(self.waiting.pop())

    def show_error(self, error):
        """A refusal goes beside the row that is being taken, anything else to the desk's own place."""
        if self._taking is None:
            self.complain(error)
        else:
            self._taking.refusal = error
            self.unfinished.keep(self._taking.key, self._taking.texts())

    def close(self):
        """Take what was typed last, then close."""
        self.flush()
        self.look.close()
        super().close()

    def show(self):
        """Bring the screen up to the sheet."""
        raise NotImplementedError

    def complain(self, error):
        """Say what went wrong with something else than a row."""
        raise NotImplementedError

    def _wait_for(self, row):
        before = self._pending
        self._forget()
        if before not in (row, None):
            self._take(before)
        self._pending = row

    def _forget(self):
        self._pause.cancel()
        self._pending = None


class Row:
    """Boxes that are taken together: `boxes` and `said` are widgets, `take(row)` gives their text to the sheet.

    `take` raises what hinders it, and returns False where the text is not complete yet. `about` is the board's name or
    place in the sheet. A row that `tidies` is written anew, as it was understood, when the person has left it.
    """

    def __init__(self, desk, key, fields, take, onward=None, about=None, tidies=False):
        self.desk, self.take, self.about, self.tidies = desk, take, about, tidies
        self._onward = onward  # widget to go to after the last box
        self.refusal = self.key = None
        self.boxes = {field: self._box(field, *words) for field, words in fields.items()}
        self.said = widgets.HTML(layout=desk.look.layout, style=desk.look.html)
        self.said.add_class("fc-row-said")
        self.view = widgets.HBox([*self.boxes.values(), self.said], layout=desk.look.layout)
        self.view.add_class("fc-row")
        self.offer = None  # a button under the boxes
        self.rekey(key)

    def suggest(self, button):
        """Put a button under the boxes in place of the one that was there; None: no button."""
        if self.offer is not None:
            close_tree(self.offer)
        self.offer = button
        self.view.children = [*self.boxes.values(), self.said, *([button] if button else [])]

    def close(self):
        """Close the row's own widgets."""
        self.suggest(None)
        for widget in (*self.boxes.values(), self.said, self.view):
            widget.close()

    def rekey(self, key):
        """Stand for something else from now on, with the text of it that is unfinished."""
        if key == self.key and key is not None:
            return
        self.key, self.refusal = key, None
        self._put = dict.fromkeys(self.boxes)  # what the sheet said last, as text
        self._meant = dict.fromkeys(self.boxes)  # text for what is in the sheet: put, or typed and taken
        if self.desk.active is self:
            self.desk.active = None
        if key and (texts := self.desk.unfinished.get(key)):
            self._write(texts)
            self.refusal = Notice("unfinished")

    def rename(self, key):
        """The same thing under another key: its unfinished text goes with it."""
        if key == self.key:
            return
        texts = self.desk.unfinished.get(self.key)
        self.desk.unfinished.keep(self.key, {})
        self.key = key
        self.desk.unfinished.keep(key, texts)

    def put(self, **texts):
        """Show the sheet's text in the boxes where it is new, and not what the person is typing or has typed here.

        A letter may be on its way while this runs, so text that a person typed is never written over with its own
        meaning.
        """
        new = {field: words for field, words in texts.items() if words != self._put[field]}
        self._put |= texts
        if self.tidies and self is not self.desk.active:
            new = texts
        elif self in self.desk.sources:
            return
        self._meant |= new
        if self.refusal is None and self is not self.desk.active:
            self._write(new)

    def taken(self, complete):
        """What stands here is in the sheet now, or waits until there is more."""
        self.refusal = None
        if complete:
            self._meant = self.texts()
        self.desk.unfinished.keep(self.key, {} if complete else self.texts())

    def texts(self):
        """What stands in the boxes."""
        return {field: box.value.strip() for field, box in self.boxes.items()}

    def changed(self, field):
        """Whether a box says something else than the sheet."""
        return self.boxes[field].value.strip() != self._meant[field]

    def say(self, *questions, plain=""):
        """What stands beside the boxes: a plain reading (HTML), then the refusal, or else some questions."""
        if self.refusal is not None:
            questions = ()
            plain += line(sentence(self.refusal, self.desk.system), "refusal")
        elif self.desk.trouble is not None and self.desk.troubled == (self, self.key):
            plain += line(text("sheet.not_saved"), "refusal")
        self.said.value = plain + "".join(line(f"? {words}", "question") for words in questions)

    def following(self, field):
        """The widget to go to after Enter, or None."""
        names = list(self.boxes)
        at = names.index(field) + 1
        if at < len(names):
            return self.boxes[names[at]]
        return self._onward(self) if self._onward else None

    def _write(self, texts):
        with self.desk.quietly():
            for field, typed in texts.items():
                if field in self.boxes:
                    self.boxes[field].value = typed

    def _box(self, field, label, tip, options=()):
        look = self.desk.look
        # A date comes whole, when the person leaves it: half of one is a date too, and would move the day's weights.
        whole = {"continuous_update": not self.tidies}
        kind = widgets.Combobox if options else widgets.Text
        whole |= {"options": tuple(options)} if options else {}
        box = kind(description=label, tooltip=tip, layout=look.layout, style=look.text, **whole)
        box.observe(lambda _: self.desk.typing(self), "value")
        on_enter(box, lambda: self.desk.entered(self, field))
        return box
