"""A time bar for panels that run through days: a slider, and a button that lets the days go by.

The button is our own because those of the ready-made play control carry no name that could be read aloud.
"""

import ipywidgets as widgets

from kilnlib.bench.kit.app import App
from kilnlib.bench.kit.parts import button
from kilnlib.bench.kit.screen import LOCK, Pause, by_hand
from kilnlib.words import text

PAUSE_S = 0.2
SLOWER = 3  # times as long on each of the slow days


class TimeBar:
    """Whole days from 0 on; `owner.passed(day)` hears of each."""

    def __init__(self, owner, last_day):
        self.owner = owner
        self.playing, self._next = False, Pause()
        self.slider = widgets.IntSlider(min=0, max=last_day, description=owner.word("day"), readout=False)
        self.button = button("panel.play", lambda: self.stop() if self.playing else self.play())
        self.slider.observe(lambda change: owner.passed(change["new"]), "value")
        self.view = widgets.HBox([self.slider, self.button])

    def play(self):
        """Let the days go by: from the start where nothing was touched yet, and where they are over."""
        with LOCK:
            self.playing = True
            self.button.description = text("panel.stop")
            if self.slider.value == self.slider.max or self.owner.state == self.owner.opening:
                self.slider.value = 0
            self._wait()

    def stop(self):
        """Stand still."""
        with LOCK:
            self.playing = False
            self.button.description = text("panel.play")
            self._next.cancel()

    def _wait(self):
        self._next.wait(self._pass, PAUSE_S * (SLOWER if self.slider.value < self.owner.slow_days else 1))

    def _pass(self):
        with LOCK:
            if not self.playing:
                return
            self.slider.value += 1
            if self.slider.value < self.slider.max:
                self._wait()
            else:
                self.stop()

    def enable(self, on):
        """Let it be used, or not yet."""
        self.slider.disabled = self.button.disabled = not on


class TimedApp(App):
    """A panel whose state has a `day`, with a time bar under its controls."""

    last_day = 0
    slow_days = 0  # the first days, in which most happens, pass slower

    @by_hand
    def passed(self, day):
        """The time bar stands on another day; a situation keeps its name."""
        if day != self.requested.day:
            self.set(day=float(day))

    def reset(self):
        """Back to the exact opening state, standing still."""
        self.time.stop()
        super().reset()

    def close(self):
        """Stop the clock, then close."""
        self.time.stop()
        super().close()

    def extra_rows(self):
        """The time bar, at the state's day."""
        self.time = TimeBar(self, self.last_day)
        with self.quietly():
            self.time.slider.value = round(self.state.day)
        return (self.time.view,)

    def _sync_all(self):
        super()._sync_all()
        with self.quietly():
            self.time.slider.value = round(self.requested.day)

    def _enable(self, on):
        super()._enable(on)
        self.time.enable(on)
