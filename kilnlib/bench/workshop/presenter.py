"""A workshop's screens, one idea each: question and picture first, the answer after Reveal.

Every size follows the width of the screen (cqw), so that type grows with the projector and nothing needs scrolling.
"""

import functools
import html
import re
from dataclasses import dataclass

import ipywidgets as widgets

from kilnlib import units
from kilnlib.bench.drawings.stack import MISSES, SPEED_TOP_MS, drawing
from kilnlib.bench.kit.colors import INK
from kilnlib.bench.kit.parts import button
from kilnlib.bench.kit.screen import LOCK, View
from kilnlib.cases import stack as case
from kilnlib.errors import NotFound
from kilnlib.words import text

SHUT = case.State()
OPEN = case.State(above=True, ends=True, under=True)
DRAWING_PCT = 62  # of the width of the screen
LABEL_PX = 31  # of the drawing's 640
CSS = f"""<style>
.fc-present {{container-type: inline-size; width: min(100%, calc((100vh - var(--fc-bars, 110px)) * 1.78));
  margin: 0 auto; overflow: hidden; color: {INK}; background: #ffffff;}}
.fc-present, .fc-present .widget-html-content {{font-family: Helvetica, Arial, "DejaVu Sans", sans-serif;}}
.fc-present .jupyter-widgets {{margin: 0; overflow: hidden;}} .fc-present .widget-html-content {{line-height: 1.2;}}
.fc-present .fc-words {{font-size: 3cqw; line-height: 1.2; height: 2.4em; padding: 0 1cqw;}}
.fc-present .fc-question {{font-weight: 700;}} .fc-present .fc-finding {{border-left: 0.8cqw solid {MISSES};}}
.fc-present .fc-finding:empty {{border-color: transparent;}}
.fc-present .fc-picture {{flex: 0 0 {DRAWING_PCT}cqw;}}
.fc-present svg {{display: block; width: {DRAWING_PCT}cqw; height: {DRAWING_PCT * 0.625}cqw !important;}}
.fc-present .fc-side {{flex: 1 1 auto; padding: 0 1cqw; justify-content: space-between;}}
.fc-present .fc-number {{font-size: 3cqw; line-height: 1.15;}} .fc-present .fc-number b {{font-size: 10cqw;
  display: block; line-height: 1.1; white-space: nowrap;}}
.fc-present .fc-number i {{display: inline-block; width: 0.7em; height: 0.7em; background: {MISSES};}}
.fc-present .fc-number .fc-was {{color: #595959;}}
.fc-present .fc-keys {{flex-wrap: wrap; gap: 0.7cqw; padding: 0.4cqw;}}
.fc-present .jupyter-button {{font: 2.2cqw Helvetica, Arial, "DejaVu Sans", sans-serif; margin: 0; padding: 0;
  width: 16.4cqw; height: 4.4cqw;}}
.fc-present .jupyter-button:focus {{outline: 0.4cqw solid #0b4580; outline-offset: 0;}}
</style>"""


@dataclass(frozen=True)
class Screen:
    """One idea: a situation before and after Reveal, and which number is shown large. Its words are in `words`."""

    name: str
    before: case.State
    after: case.State
    number: str = "miss"

    @property
    def ends_matter(self):
        """Whether the gaps at the ends of the stack have a part in it: only then are they drawn."""
        return self.before.ends or self.after.ends


SCREENS = {
    "through_the_stack": (
        Screen("above", SHUT, case.State(above=True)),
        Screen("low", SHUT, case.State(ends=True, under=True)),
        Screen("days", SHUT, OPEN, "days"),
        Screen("stickers", SHUT, case.State(load="mixed"), "slow"),
        Screen("plenum", SHUT, case.State(load="overfull"), "slow"),
        Screen("first", OPEN, case.State(ends=True, under=True)),
    )
}
KEYS = ("reveal", "next", "back", "reset")
UNIT_SPACE = re.compile(r"(?<=[\d½]) (?=%|in\b|ft/min|days?\b)")  # a number is not torn from its unit
_result = functools.cache(case.work_out)


def say(screen, part):
    """Words of a screen ("question", "finding", "before", "after") with the numbers of its situations."""
    return UNIT_SPACE.sub("\u00a0", text(f"present.{screen.name}.{part}", **_numbers(screen)))


def number(screen, state):
    """The large number of a screen in one of its situations."""
    return text(f"present.number.{screen.number}", **_of(_result(state)))


def picture(screen, revealed, width_px=640):
    """The drawing of a screen as SVG: the situation before, or the one after with a ghost of the one before."""
    result = _result(screen.after if revealed else screen.before)
    quantities = _of(result)
    labels = {
        gap: text(f"present.draw.{gap}", share=f"{result.share_pct(gap):.0f}") if getattr(result.state, gap) else ""
        for gap in case.GAPS
    }
    labels |= {name: text(f"present.draw.{name}") for name in ("fans", "deck", "baffle", "plan", "scale")}
    if screen.number == "slow":
        slow = "thin" if result.state.load == "mixed" else "slow"
        labels |= {"mean": "", "fast": text("present.draw.fast", **quantities)}
        labels["slow"] = text(f"present.draw.{slow}", **quantities)
    else:
        was = [text("present.draw.was", **_of(_result(screen.before)))] if revealed else []
        between = [text("present.draw.between"), *was]
        labels |= {"mean": text("present.draw.mean", **quantities), "under_mean": between, "fast": "", "slow": ""}
    labels |= {"slack": "0", "brisk": f"{units.from_si(SPEED_TOP_MS, 'air_speed'):.0f}"}
    alt = text("present.alt", state=say(screen, "after" if revealed else "before"), **quantities)
    leaves_a_mark = screen.before.open_gaps or screen.before.load != screen.after.load
    ghost = _result(screen.before) if revealed and leaves_a_mark else None
    if ghost:
        labels["before"] = text("present.draw.before")
    return drawing(result, labels, alt, text("present.title"), ghost, LABEL_PX, width_px, screen.ends_matter)


def _of(result):
    """Every number of a situation that the words may use, as text in trade units."""
    flow = result.flow
    speeds = {"mean": flow.sticker_speed_ms, "slow": min(flow.course_speed_ms), "fast": max(flow.course_speed_ms)}
    sizes = {"stickers": result.stack.total_opening_m, "plenum": result.stack.plenum_width_m}
    return {
        "miss": f"{flow.bypass_pct:.0f}",
        "days": f"{result.worst_days:.1f}",
        "spread": _days(result.worst_days - result.best_days),
        **{name: f"{units.from_si(speed, 'air_speed'):.0f}" for name, speed in speeds.items()},
        **{name: units.show(size, "thickness", decimals=0) for name, size in sizes.items()},
    }


def _numbers(screen):
    """Those of the situation after, and with an ending those of before and of all shut; what changed between them."""
    after, before, shut = (_result(state) for state in (screen.after, screen.before, SHUT))
    named = _of(after)
    for ending, result in (("before", before), ("shut", shut)):
        named |= {f"{name}_{ending}": words for name, words in _of(result).items()}
    lost = 100 * (1 - after.flow.sticker_speed_ms / before.flow.sticker_speed_ms)
    return named | {
        "less": f"{lost:.0f}",
        "wetter": f"{100 * (after.wet_days / before.wet_days - 1):.0f}",
        "longer": _days(after.worst_days - before.worst_days),
        "sooner": _days(before.worst_days - after.worst_days),
        "sooner_shut": _days(before.worst_days - shut.worst_days),
    }


def _days(number):
    """Half days in words: a difference of the model is no better than that."""
    whole, half = divmod(round(2 * number), 2)
    if half:
        return text("present.and_half" if whole else "present.half_day", number=whole)
    return text("present.one_day" if whole == 1 else "present.some_days", number=whole)


class Presenter(View):
    """The screens in one cell. Public for tests: `next`, `back`, `reveal`, `reset`, `at`, `revealed`."""

    def __init__(self, name="through_the_stack"):
        super().__init__()
        if name not in SCREENS:
            raise NotFound("unknown_panel", name=name, names=", ".join(SCREENS))
        self.screens = SCREENS[name]
        self.at, self.revealed = 0, False
        self.question, self.drawn, self.side, self.finding = (widgets.HTML() for _ in range(4))
        self.buttons = {key: button(f"present.{key}", getattr(self, key)) for key in KEYS}
        for key, made in self.buttons.items():
            made.add_class(f"fc-key-{key}")
        keys = widgets.HBox(list(self.buttons.values()))
        keys.add_class("fc-keys")
        side = widgets.VBox([self.side, keys])
        side.add_class("fc-side")
        self.drawn.add_class("fc-picture")
        middle = widgets.HBox([self.drawn, side])
        self.view = widgets.VBox([widgets.HTML(CSS, layout={"display": "none"}), self.question, middle, self.finding])
        self.view.add_class("fc-present")
        with self.guard():
            self._paint()

    @property
    def screen(self):
        """The screen that is shown."""
        return self.screens[self.at]

    def next(self):
        """The next screen, its answer hidden; after the last one, the first."""
        self._go(self.at + 1, False)

    def back(self):
        """The screen before, its answer hidden."""
        self._go(self.at - 1, False)

    def reveal(self):
        """Show this screen's answer."""
        self._go(self.at, True)

    def reset(self):
        """This screen as it opened."""
        self._go(self.at, False)

    def _go(self, at, revealed):
        with self.guard():
            self.at, self.revealed = at % len(self.screens), revealed
            self._paint()

    def _paint(self):
        """Question, picture, number and finding: the one place where the screen changes."""
        screen, revealed = self.screen, self.revealed
        head = text("present.head", at=self.at + 1, total=len(self.screens), question=say(screen, "question"))
        self.question.value = _line("fc-words fc-question", head)
        self.drawn.value = picture(screen, revealed)
        mark = "<i></i> " if screen.number == "miss" else ""
        was = text("present.was", number=number(screen, screen.before)) if revealed else ""
        self.side.value = (
            f'<div class="fc-number">{html.escape(say(screen, "after" if revealed else "before"))}'
            f"<b>{html.escape(number(screen, screen.after if revealed else screen.before))}</b>"
            f"{mark}{html.escape(text(f'present.label.{screen.number}'))}"
            f'<div class="fc-was">{html.escape(was)}</div></div>'
        )
        self.finding.value = _line("fc-words fc-finding", say(screen, "finding") if revealed else "")


def _line(look, words):
    return f'<div class="{look}" role="status" aria-live="polite">{html.escape(words)}</div>'


def open_presenter(name):
    """The presenter in place of the one its cell opened before."""
    with LOCK:
        View.close_earlier(("present", name))
        return Presenter(name).remember(("present", name))
