"""What all views of the bench share: buttons, the unit switch, pauses, hands on widgets, colors."""

import asyncio
import subprocess
import sys

import ipywidgets as widgets
import pytest

from kilnlib.bench.kit.parts import button, on_enter, unit_switch
from kilnlib.bench.kit.screen import Pause, View, by_hand


def test_drawings_need_no_matplotlib():
    code = (
        "import importlib, pkgutil, sys; from kilnlib.bench import drawings;"
        "found = [one.name for one in pkgutil.iter_modules(drawings.__path__)];"
        "[importlib.import_module(f'kilnlib.bench.drawings.{name}') for name in found];"
        "print(len(found) > 5, 'matplotlib' in sys.modules)"
    )
    command = [sys.executable, "-c", code]
    done = subprocess.run(command, capture_output=True, text=True, check=True, timeout=60)
    assert done.stdout.split() == ["True", "False"]


def test_a_button_has_its_word_and_its_hint():
    made = button("panel.keep", lambda: None)
    assert made.description and made.tooltip and made.description != made.tooltip


def test_a_button_does_what_it_is_there_for():
    """Asked of the function behind it, whose errors `click` would swallow."""
    pressed = []
    (behind,) = button("panel.keep", lambda: pressed.append("keep"))._click_handlers.callbacks
    behind(None)
    assert pressed == ["keep"]


def test_the_unit_switch_hands_over_the_system():
    chosen = []
    unit_switch(chosen.append).value = "metric"
    assert chosen == ["metric"]


@pytest.mark.parametrize(("event", "heard"), [("submit", [True]), ("focus", [])])
def test_only_enter_is_enter(event, heard):
    entered = []
    box = widgets.Text()
    on_enter(box, lambda: entered.append(True))
    behind = box._msg_callbacks.callbacks[-1]  # the first is the box's own
    behind(box, {"event": event}, [])
    assert entered == heard


def test_a_pause_ends_in_the_last_thing_waited_for_once():
    done = []

    async def wait_twice():
        pause = Pause()
        pause.wait(lambda: done.append("first"), 0.01)
        pause.wait(lambda: done.append("second"), 0.01)
        await asyncio.sleep(0.1)
        pause.wait(lambda: done.append("third"), 0.01)
        pause.cancel()
        await asyncio.sleep(0.1)

    asyncio.run(wait_twice())
    assert done == ["second"]


def test_without_a_loop_nothing_waits():
    done = []
    Pause().wait(lambda: done.append("at once"), 60.0)
    assert done == ["at once"]


class Listener(View):
    """A view that answers to one widget."""

    def __init__(self):
        super().__init__()
        self.heard = []

    @by_hand
    def moved(self, value):
        """A person moved it."""
        self.heard.append(value)


def test_what_is_moved_quietly_is_not_answered():
    view = Listener()
    view.moved(1)
    with view.quietly():
        view.moved(2)
    view.moved(3)
    assert view.heard == [1, 3]
