"""What every part of the bench shares on the screen: the guard, closing without leftovers, the look of its lines."""

import asyncio
import functools
import html
import re
import threading
from contextlib import contextmanager

import ipywidgets as widgets
from IPython import get_ipython

from kilnlib.errors import sentence
from kilnlib.units import UNIT_SPACE
from kilnlib.words import text

MARKUP = re.compile(r"&lt;(/?(?:b|i|sub|sup)|br)&gt;")
# Sizes follow the screen rule of 940 × 440 px: controls 290, picture 640. Labels wrap, so longer words still fit.
CSS = """<style>
.fc-view {max-width: 940px; overflow: hidden;} .fc-view .widget-html {max-width: 100%;}
.fc-controls {width: 290px; padding-right: 8px; overflow: hidden;}
.fc-stage {width: 640px; min-width: 640px; min-height: 400px; overflow: hidden;}
.fc-air {stroke-dasharray: 9 23; animation: fc-air linear infinite;}
.fc-fan {animation: fc-fan ease-in-out infinite; transform-box: fill-box; transform-origin: bottom;}
@keyframes fc-air {from {stroke-dashoffset: 32;} to {stroke-dashoffset: 0;}}
@keyframes fc-fan {50% {transform: scaleY(-1);}}
@media (prefers-reduced-motion: reduce) {.fc-air, .fc-fan {animation: none;}}
.fc-beside {display: flex;} .fc-beside > * {flex: 0 0 auto;}
.fc-view .widget-label {white-space: normal; overflow: visible; text-align: left; line-height: 1.15; height: auto;
  width: 84px; min-width: 84px; align-self: center;}
.fc-controls > .widget-dropdown {width: auto; margin: 2px 0;}
.fc-controls > .widget-dropdown:first-child {flex-wrap: wrap; height: auto; margin: 0 0 2px;}
.fc-controls > .widget-dropdown:first-child > .widget-label {width: 100%; text-align: left; line-height: 1;}
.fc-controls > .widget-dropdown:first-child > select {flex: 1 0 100%; height: 24px;}
.fc-controls .widget-hslider {flex: 1 1 auto; min-width: 0; width: auto; height: auto; margin: 0; flex-wrap: wrap;}
.fc-controls .widget-hslider > .widget-label {width: 100%; line-height: 1;}
.fc-controls .widget-hslider > .slider-container {flex: 1 1 100%; min-width: 180px; height: 20px; padding-top: 8px;
  box-sizing: border-box;}
.fc-controls .widget-text {width: 78px; flex: 0 0 78px; margin: 2px 0;}
.fc-controls .widget-toggle-button, .fc-controls .jupyter-button {flex: 0 0 auto; width: auto; min-width: 0;
  padding: 0 7px;}
.fc-controls .widget-toggle-buttons .widget-label {display: none;}
.fc-controls .widget-hbox {align-items: center;} .fc-controls .widget-toggle-buttons {margin: 0;}
.fc-controls .widget-toggle-buttons .jupyter-button {padding: 0 5px;}
.fc-controls .fc-switches .widget-checkbox {width: auto; flex: 1 1 auto; margin: 2px 4px 2px 0;}
.fc-controls .fc-switches label {width: auto; font-size: 14px; display: flex; align-items: center; gap: 4px;}
.fc-view .widget-html-content {line-height: 1.35;} .fc-stale {opacity: 0.35;}
.fc-said {font-size: 14px; color: var(--jp-ui-font-color1, #1b1b1b);}
.fc-refusal {font-size: 14px; font-weight: 600; border-left: 4px solid #a3330b; padding-left: 8px;
  color: var(--jp-ui-font-color1, #1b1b1b);}
.fc-numbers {font-size: 16px; border-collapse: collapse; color: var(--jp-ui-font-color1, #1b1b1b);}
.fc-numbers td {padding: 1px 10px 1px 0; border: 0;}
.fc-numbers td + td {font-weight: 700; white-space: nowrap; padding-right: 0;}
.fc-numbers tr:first-child td + td {font-size: 21px; line-height: 1.1;}
.fc-stage .fc-predict .fc-prompt {font-size: 20px; margin-top: 12px;}
.fc-stage .fc-predict .widget-radio-box label {font-size: 17px; padding-top: 6px; padding-bottom: 6px;}
.fc-stage .fc-predict .widget-radio-box input {top: 10px;}
</style>"""
_OPEN, _MOVED = {}, {}
# The notebook answers cells and controls in two threads: whatever moves widgets or draws holds this.
LOCK = threading.RLock()
LATE_S = 0.3  # the last letters of a box may come this much after the message that Enter was pressed in it


def after_pause(action, seconds=LATE_S):
    """Do something after a pause, and return what can cancel it; at once where nothing runs that could wait."""
    try:
        return asyncio.get_running_loop().call_later(seconds, action)
    except RuntimeError:
        return action()


def asking_page():
    """Which page of a browser asked for what the kernel does now; empty outside a notebook."""
    shell = get_ipython()
    parent = shell.get_parent() if hasattr(shell, "get_parent") else {}
    return parent.get("header", {}).get("session", "")


class Pause:
    """Something to be done after a pause; a new wait takes the place of the one before."""

    def __init__(self):
        self._timer = None

    def wait(self, action, seconds=LATE_S):
        """Do `action()` after the pause, unless something else is waited for by then."""
        self.cancel()
        self._timer = after_pause(action, seconds)

    @property
    def is_waiting(self):
        """Whether something is still to be done."""
        return self._timer is not None

    def cancel(self):
        """Wait for nothing any more."""
        if self._timer is not None:
            self._timer.cancel()
            self._timer = None


def by_hand(method):
    """A method that answers to what a person does with a widget: one at a time, and not to what we move quietly."""

    @functools.wraps(method)
    def answered(self, *given, **named):
        with LOCK:
            if not self._quiet:
                method(self, *given, **named)

    return answered


def rich(words):
    """Text as HTML: everything escaped but bold, italic, raised and lowered letters.

    A new line stays one, and a number is not torn from its unit.
    """
    allowed = MARKUP.sub(r"<\1>", html.escape(words, quote=False)).replace("\n", "<br>")
    return UNIT_SPACE.sub("&nbsp;", allowed)


def beside(thing, chart):
    """A drawing and the chart that stands right of it, as one picture."""
    return f'<div class="fc-beside">{thing}{chart}</div>' if thing else chart


def line(content, look="said"):
    """A finding ("said"), a refusal, or a table of (label, value) numbers, as HTML; the first two are read aloud."""
    if look == "numbers":
        rows = "".join(f"<tr><td>{html.escape(a)}</td><td>{html.escape(b)}</td></tr>" for a, b in content)
        return f'<table class="fc-numbers" role="presentation">{rows}</table>'
    mark = "⚠ " if look == "refusal" else ""
    return f'<div class="fc-{look}" role="status" aria-live="polite">{mark}{html.escape(content)}</div>'


class View:
    """Something on the screen that guards its work, can be shown by a cell, and closes without leaving anything."""

    name = ""  # its part of the words
    view = None
    system = "trade"
    on_left = None  # what hears that it is left another way than before; `kit.memory` puts it there

    def __init__(self):
        self.asked_by = asking_page()
        self.last_error = None
        self._quiet = 0

    def word(self, key, **fields):
        """A word of its own part."""
        return text(f"{self.name}.{key}", **fields)

    def framed(self, content):
        """`content` under the bench's look."""
        frame = widgets.VBox([widgets.HTML(CSS, layout={"display": "none"}), content])
        frame.add_class("fc-view")
        return frame

    @contextmanager
    def guard(self):
        """Turn any error into an operator's sentence and keep it in `last_error`; success clears it."""
        with LOCK:
            try:
                yield
            except Exception as error:
                self.last_error = error
                self.show_error(error)
            else:
                self.last_error = None

    @contextmanager
    def quietly(self):
        """Move widgets without answering to the moves."""
        self._quiet += 1
        try:
            yield
        finally:
            self._quiet -= 1

    def show_error(self, error):
        """Put the sentence where the operator looks."""
        self.view.children = [*self.view.children, widgets.HTML(line(sentence(error, self.system), "refusal"))]

    def _tell_left(self, last=False):
        """Let how it is left be written down, soon, or at once where this is the last moment for it."""
        if self.on_left is not None:
            self.on_left(last)

    def close(self):
        """Write down how it is left; then close every widget of this view, with its layouts and styles."""
        self._tell_left(last=True)
        if self.view is not None:
            close_tree(self.view)
            self.view = None
        for key in [key for key, open_view in _OPEN.items() if open_view is self]:
            del _OPEN[key]

    def kiln_saved(self):
        """Follow a save of this kiln's numbers; what shows none of them has nothing to do."""

    @staticmethod
    def tell_kiln_saved():
        """Let every open view follow a save of this kiln's numbers."""
        for view in list(_OPEN.values()):
            view.kiln_saved()

    def remember(self, key):
        """Keep this view as the one open under `key`."""
        _OPEN[key] = self
        return self

    @staticmethod
    def close_earlier(key):
        """Close the view that the same cell opened before."""
        if key in _OPEN:
            _OPEN[key].close()

    @staticmethod
    def move_here(key):
        """Close it likewise; where another page of the browser shows it, words stay there in its place.

        One kernel serves all pages that show a notebook: the cell run in a second one would leave a gap in the first.
        """
        if (left := _MOVED.pop(key, None)) is not None:
            close_tree(left)
        if (view := _OPEN.get(key)) is None:
            return
        frame = view.view
        if view.asked_by != asking_page():
            view.view = widgets.VBox(frame.children)
            frame.children = [widgets.HTML(line(text("panel.moved"), "refusal"))]
            _MOVED[key] = frame
        view.close()

    def _repr_mimebundle_(self, **kwargs):
        return self.view._repr_mimebundle_(**kwargs)


def close_tree(widget):
    """Close a widget, its children, layouts and styles."""
    for child in getattr(widget, "children", ()):
        close_tree(child)
    for part in (getattr(widget, "layout", None), getattr(widget, "style", None)):
        if part is not None:
            part.close()
    widget.close()


class PredictFirst(View):
    """A view whose stage asks for a guess first; the question then moves above it. Its `_wait(on)` hides the rest."""

    def _ask_first(self, predict):
        self.prediction = predict(self._committed)
        self._wait(True)
        self.stage.children = [self.prediction.view, *self.stage.children]

    def show_error(self, error):
        """The sentence goes where the feedback stands."""
        self.saying.value = line(sentence(error, self.system), "refusal")

    def _committed(self):
        self._wait(False)
        self.prediction.card.feedback.value += line(self.word("to_see"), "feedback")
        self.stage.children = self.stage.children[1:]
        first, *rest = self.view.children
        self.view.children = [first, self.prediction.view, *rest]


class Note(View):
    """A few lines of text."""

    def __init__(self, *lines):
        super().__init__()
        self.view = self.framed(widgets.HTML("".join(line(words) for words in lines)))

    @classmethod
    def open(cls, key, *lines):
        """A note in place of the one its cell opened before."""
        View.close_earlier(key)
        return cls(*lines).remember(key)
