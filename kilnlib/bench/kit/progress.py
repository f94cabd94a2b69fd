"""What the page of the browser and the record tell each other: which parts are done, and which ticks are set.

The page (lab/labextensions/first-charge/page) asks through the notebook's own kernel; nothing else is listening.
"""

import functools
import json
from pathlib import Path

from kilnlib.bench.kit import memory, screen
from kilnlib.errors import sentence
from kilnlib.store.pages import read_pages

TRIES_TO_THE_SOLUTION = 3  # then the whole solution was shown, and one may go on


class Reply(str):
    """Text that a kernel hands out as it stands."""

    __slots__ = ()

    def __repr__(self):
        return str(self)


def heard(words):
    """Answer the page: `words` is JSON of `page`, and where it has something to tell `read`, `tick`, `leave`.

    The answer is JSON of the page's parts with what is done, its ticks, and `error`, a sentence if something was lost.
    """
    said = json.loads(words)
    name, lost = said["page"], []
    if said.get("leave"):
        leave_all()
    for part in said.get("read", ()):
        lost.append(memory.finished(f"{name}#{part}", name))
    if tick := said.get("tick"):
        lost.append(memory.ticked(tick["item"], tick["on"], name))
    errors = [sentence(error) for error in lost if error]
    return Reply(json.dumps({**state(name), "error": errors[0] if errors else None}))


def state(name):
    """The parts of a page with what is done, whether the page is, and its ticks."""
    page = next((one for one in pages() if one.name == name), None)
    if page is None:
        return {"parts": [], "ticks": [], "done": False}
    before = memory.done()
    answers, predictions = memory.tried(name)
    parts = []
    for part in page.parts:
        key = f"{name}#{part.name}"
        is_done = key in before or (_asks(part) and _is_answered(part, answers, predictions) and _was_moved(name, part))
        if is_done and key not in before:
            memory.finished(key, name)
        parts.append({"name": part.name, "title": part.title, "done": is_done, "asks": _asks(part)})
    is_done = bool(parts) and all(part["done"] for part in parts)
    if is_done and name not in before:
        memory.finished(name, name)
    return {"parts": parts, "ticks": sorted(memory.ticks(name)), "done": is_done}


@functools.cache
def pages():
    """The pages beside this notebook."""
    return read_pages(Path.cwd())


def leave_all():
    """Write down how every panel is left that still waits to be."""
    for view in list(screen._OPEN.values()):
        if hasattr(view, "_leave"):
            view._leave(last=True)


def _asks(part):
    return bool(part.questions or part.predictions or part.warm_ups or part.looks_at)


def _was_moved(name, part):
    """Whether the panel that a part looks at was moved, if it looks at one."""
    return not part.looks_at or memory.left(f"{name}/{part.looks_at}") is not None


def _is_answered(part, answers, predictions):
    """Whether each question was answered rightly, or its solution was shown."""
    through = {name for name, tries in answers.items() if any(tries) or len(tries) >= TRIES_TO_THE_SOLUTION}
    warm = sum(1 for name in through if name[0] == "warm-up")
    return (
        all(("", name) in through for name in part.questions)
        and set(part.predictions) <= predictions
        and warm >= part.warm_ups
    )
