"""A workshop's screens, one idea each: question and picture first, the answer after Reveal.

Every size follows the width of the screen (cqw), so that type grows with the projector and nothing needs scrolling.
"""

import functools
import html
import re
from dataclasses import dataclass

import ipywidgets as widgets

from kilnlib import units
from kilnlib.bench.drawings.space import drawing as drawing_of_space
from kilnlib.bench.drawings.stack import MISSES, drawing
from kilnlib.bench.kit import memory
from kilnlib.bench.kit.colors import INK
from kilnlib.bench.kit.parts import button
from kilnlib.bench.kit.screen import LOCK, View
from kilnlib.bench.workshop.own import OwnKiln
from kilnlib.bench.workshop.parts import box, days, halves, line, page, print_button
from kilnlib.cases import stack as case
from kilnlib.errors import NotFound
from kilnlib.words import text

SHUT = case.State()
OPEN = case.State(above=True, ends=True, under=True)
DRAWING_PCT = 60  # of the width of the screen
LABEL_PX = 32  # of the drawing's 640
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
.fc-present .fc-source {{font-size: 2cqw; line-height: 1.2; height: 1.2em; padding: 0 1.8cqw; color: #595959;}}
.fc-present .fc-tally {{font-size: 2.4cqw; line-height: 1.2; margin-top: 0.6cqw;}}
.fc-present .fc-keys {{flex-wrap: nowrap; gap: 0.6cqw; padding: 0.4cqw;}}
.fc-present .fc-bets {{gap: 0.7cqw; padding: 0.4cqw;}} .fc-present .fc-beyond {{display: none;}}
.fc-present .jupyter-button {{font: 2.2cqw Helvetica, Arial, "DejaVu Sans", sans-serif; margin: 0; padding: 0;
  width: 8.6cqw; height: 4.4cqw;}}
.fc-present .fc-bets .jupyter-button {{font-size: 3cqw; width: 100%; height: 5cqw; text-align: left;
  padding: 0 1cqw; color: {INK};}}
.fc-present .fc-print, .fc-present .fc-bets .fc-key-undo {{font-size: 2.2cqw; width: 24cqw; height: 4.4cqw;
  text-align: center;}}
.fc-present .fc-wide {{flex-wrap: wrap;}} .fc-present .fc-wide .fc-picture {{flex-basis: 100cqw;}}
.fc-present .fc-list {{font-size: 3cqw; line-height: 1.2; padding: 0 1cqw; height: 43cqw;}}
.fc-present .fc-list p {{margin: 0 0 0.7cqw;}} .fc-present .fc-close p {{margin: 0;}}
.fc-present .fc-own .widget-text {{width: 37cqw; height: 3.5cqw; margin: 0;}}
.fc-present .fc-own .widget-text .widget-label {{font-size: 2.3cqw; width: 27cqw; text-align: left;
  height: 3.5cqw; line-height: 3.5cqw;}}
.fc-present .fc-own .widget-text input {{font-size: 2.3cqw; height: 3.3cqw;}}
.fc-present .fc-shares {{font-size: 3cqw; line-height: 1.2; padding: 0 1cqw;}}
.fc-present .fc-shares b {{font-size: 7cqw; line-height: 1.1; margin-right: 1cqw;}}
.fc-present .fc-shares p {{margin: 0 0 0.5cqw;}}
.fc-present .fc-close {{font-size: 4cqw; line-height: 1.25; padding: 4cqw; background: {INK}; color: #ffffff;
  height: {DRAWING_PCT * 0.625}cqw; box-sizing: border-box;}}
.fc-present .jupyter-button:focus {{outline: 0.4cqw solid #0b4580; outline-offset: 0;}}
</style>"""


@dataclass(frozen=True)
class Screen:
    """One idea: a situation before and after Reveal, which bet is right, which number is large. Its words: `words`.

    What is shown is the kiln, one sticker space ("space"), only words ("words"), or the room's own kiln ("own"); the
    last two ask nothing. `weighed` counts the weight of the cool air.
    """

    name: str
    before: case.State = SHUT
    after: case.State = SHUT
    right: int | None = None
    number: str = "miss"
    shows: str = "kiln"
    weighed: bool = False

    @property
    def asks(self):
        """Whether the room bets on something here."""
        return self.right is not None

    @property
    def bets(self):
        """What the room may bet on."""
        return text(f"present.{self.name}.bets") if self.asks else ()

    @property
    def ends_matter(self):
        """Whether the gaps at the ends of the stack have a part in it: only then are they drawn."""
        return self.before.ends or self.after.ends

    def result(self, state):
        """What a situation of this screen comes to."""
        return _result(state, self.weighed)


SCREENS = {
    "through_the_stack": (
        Screen("title", shows="words"),
        Screen("why", SHUT, SHUT, 1, "drop", "space"),
        Screen("above", SHUT, case.State(above=True), 2),
        Screen("low", SHUT, case.State(ends=True, under=True), 3),
        Screen("days", SHUT, OPEN, 1, "days"),
        Screen("foot", SHUT, OPEN, 2, "slow", weighed=True),
        Screen("stickers", SHUT, case.State(load="mixed"), 2, "slow"),
        Screen("plenum", SHUT, case.State(load="overfull"), 2, "slow"),
        Screen("own", shows="own"),
        Screen("check", shows="words"),
        Screen("first", OPEN, case.State(ends=True, under=True), 0),
    )
}
KEYS = ("reveal", "next", "back", "reset")
BEYOND = ("forward", "first", "last")  # what only keys and clickers press
NO_BREAK = "\u00a0"
UNIT_SPACE = re.compile(r"(?<=[\d½]) (?=%|°F|in\b|ft/min|days?\b)")  # a number is not torn from its unit
_result = functools.cache(case.work_out)


def say(screen, part):
    """Words of a screen ("question", "finding", "before", "after") with the numbers of its situations."""
    return UNIT_SPACE.sub(NO_BREAK, text(f"present.{screen.name}.{part}", **_numbers(screen)))


def source(screen):
    """Where the numbers of a screen come from, in a line."""
    return text(f"present.source.{screen.name}")


def number(screen, state):
    """The large number of a screen in one of its situations."""
    return text(f"present.number.{screen.number}", **_of(screen.result(state)))


def picture(screen, revealed, width_px=640):
    """The drawing of a screen as SVG: the situation before, or the one after with a ghost of the one before."""
    if screen.shows == "space":
        return _space(screen, revealed, width_px)
    result = screen.result(screen.after if revealed else screen.before)
    quantities = _of(result)
    shown = "draw" if revealed else "hidden"
    labels = {
        gap: text(f"present.{shown}.{gap}", share=f"{result.share_pct(gap):.0f}") if getattr(result.state, gap) else ""
        for gap in case.GAPS
    }
    labels |= {name: text(f"present.draw.{name}") for name in ("fans", "deck", "baffle", "plan")}
    if not revealed and result.state.open_gaps:
        labels |= {"mean": "", "fast": "", "slow": ""}
    elif screen.number == "slow" and not revealed:
        mean = "" if screen.weighed else text("present.draw.mean", **quantities)
        labels |= {"mean": mean, "fast": "", "slow": ""}
    elif screen.number == "slow":
        slow = "thin" if result.state.load == "mixed" else "slow"
        labels |= {"mean": "", "fast": text("present.draw.fast", **quantities)}
        labels["slow"] = text(f"present.draw.{slow}", **quantities)
    else:
        was = [text("present.draw.was", **_of(screen.result(screen.before)))] if revealed else []
        between = [text("present.draw.between"), *was]
        labels |= {"mean": text("present.draw.mean", **quantities), "under_mean": between, "fast": "", "slow": ""}
    labels["scale"] = ""  # its shades cannot be told apart from the back of a room
    told = "present.alt" if revealed or not result.state.open_gaps else "present.alt_hidden"
    alt = text(told, state=say(screen, "after" if revealed else "before"), **quantities)
    leaves_a_mark = screen.before.open_gaps or screen.before.load != screen.after.load
    ghost = screen.result(screen.before) if revealed and leaves_a_mark else None
    if ghost:
        labels["before"] = text("present.draw.before")
    still = not revealed and bool(result.state.open_gaps)  # the width of a stream would tell
    return drawing(result, labels, alt, text("present.title"), ghost, LABEL_PX, width_px, screen.ends_matter, still)


def _space(screen, revealed, width_px):
    """The drawing of one sticker space; how much cooler the air comes out only after Reveal."""
    quantities = _of(screen.result(screen.after))
    labels = {name: text(f"present.draw.{name}") for name in ("enters", "heat", "water")}
    labels["leaves"] = text("present.draw.leaves" if revealed else "present.draw.leaves_hidden", **quantities)
    alt = text("present.alt_space" if revealed else "present.alt_space_hidden", **quantities)
    return drawing_of_space(labels, alt, text("present.space_title"), LABEL_PX, width_px)


def _of(result):
    """Every number of a situation that the words may use, as text in trade units."""
    flow = result.flow
    speeds = {"mean": flow.sticker_speed_ms, "slow": min(flow.course_speed_ms), "fast": max(flow.course_speed_ms)}
    sizes = {"stickers": result.stack.total_opening_m, "plenum": result.stack.plenum_width_m}
    return {
        "miss": f"{flow.bypass_pct:.0f}",
        "drop": f"{units.from_si(result.temperature_drop_c, 'temperature_difference'):.0f}",
        "days": halves(result.worst_days),
        "spread": days(result.worst_days - result.best_days),
        **{name: f"{units.from_si(speed, 'air_speed'):.0f}" for name, speed in speeds.items()},
        **{name: units.show(size, "thickness", decimals=0) for name, size in sizes.items()},
    }


def _numbers(screen):
    """Those of the situation after, and with an ending those of before and of all shut; what changed between them."""
    after, before, shut = (screen.result(state) for state in (screen.after, screen.before, SHUT))
    opened = {name: _result(state) for name, state in (("above", case.State(above=True)), ("open", OPEN))}
    named = _of(after)
    for ending, result in (("before", before), ("shut", shut), *opened.items()):
        named |= {f"{name}_{ending}": words for name, words in _of(result).items()}
    lost = 100 * (1 - after.flow.sticker_speed_ms / before.flow.sticker_speed_ms)
    return named | {
        "less": f"{lost:.0f}",
        "wetter": f"{100 * (after.wet_days / before.wet_days - 1):.0f}",
        "wood": f"{100 * (after.stack.width_m / before.stack.width_m * before.worst_days / after.worst_days - 1):.0f}",
        "longer": days(after.worst_days - before.worst_days),
        "sooner": days(before.worst_days - after.worst_days),
        "sooner_shut": days(before.worst_days - shut.worst_days),
    }


class Presenter(View):
    """The screens in one cell. Public for tests: what each key does, `at`, `revealed`, `hands`.

    `hands` holds the bets of the room: for each screen by name, the bet that each tap was for. They are kept.
    """

    def __init__(self, name="through_the_stack"):
        super().__init__()
        if name not in SCREENS:
            raise NotFound("unknown_panel", name=name, names=", ".join(SCREENS))
        self.screens = SCREENS[name]
        self.at, self.revealed = 0, False
        self.kept_as = f"workshop/{name}"
        self.hands = self._no_hands() | (memory.left(self.kept_as) or {})
        self.question, self.drawn, self.side, self.finding, self.source = (widgets.HTML() for _ in range(5))
        self.buttons = {key: button(f"present.{key}", getattr(self, key)) for key in (*KEYS, *BEYOND, "undo")}
        for key, made in self.buttons.items():
            made.add_class(f"fc-key-{key}")
        self.bets = [self._bet_button(number) for number in range(max(len(one.bets) for one in self.screens))]
        self.betting = box(widgets.VBox, "fc-bets", *self.bets, self.buttons["undo"])
        keys = box(widgets.HBox, "fc-keys", *(self.buttons[key] for key in KEYS))
        beyond = box(widgets.HBox, "fc-beyond", *(self.buttons[key] for key in BEYOND))
        self.own = OwnKiln(self._own_changed)
        side = box(widgets.VBox, "fc-side", self.side, self.betting, self.own.view, keys)
        self.drawn.add_class("fc-picture")
        self.middle = widgets.HBox([self.drawn, side])
        style = widgets.HTML(CSS, layout={"display": "none"})
        lines = style, self.question, self.middle, self.finding, self.source
        self.view = box(widgets.VBox, "fc-present", *lines, beyond)
        with self.guard():
            self._paint()

    @property
    def screen(self):
        """The screen that is shown, or None at the end."""
        return self.screens[self.at] if self.at < len(self.screens) else None

    def forward(self):
        """What a clicker does: first reveal, then the next screen; after the last one, the end."""
        if self.screen and self.screen.asks and not self.revealed:
            self.reveal()
        else:
            self.next()

    def next(self):
        """The next screen, its answer hidden; after the last one, the end, and there it stays."""
        self._go(self.at + 1, False)

    def back(self):
        """The screen before, its answer hidden; the first one has none before it."""
        self._go(self.at - 1, False)

    def first(self):
        """The first screen."""
        self._go(0, False)

    def last(self):
        """The end."""
        self._go(len(self.screens), False)

    def reveal(self):
        """Show this screen's answer."""
        self._go(self.at, True)

    def reset(self):
        """This screen as it opened; the bets stay."""
        self._go(self.at, False)

    def bet(self, number):
        """One hand more for a bet of this screen, as long as its answer is hidden."""
        if self.screen and not self.revealed and number < len(self.screen.bets):
            self.hands[self.screen.name].append(number)
            self._keep()

    def undo(self):
        """Take back the last hand of this screen; at the end, all hands of the room, for the next one."""
        if self.screen is None:
            self.hands = self._no_hands()
        elif self.hands[self.screen.name] and not self.revealed:
            self.hands[self.screen.name].pop()
        self._keep()

    def _no_hands(self):
        return {screen.name: [] for screen in self.screens}

    def _own_changed(self):
        with self.guard():
            self._paint()

    def _keep(self):
        with self.guard():
            if error := memory.leave(self.kept_as, self.hands):
                raise error
            self._paint()

    def _bet_button(self, number):
        made = button("present.bet", lambda: self.bet(number), number=number + 1)
        made.add_class(f"fc-key-bet-{number + 1}")
        return made

    def _go(self, at, revealed):
        with self.guard():
            self.at = min(max(at, 0), len(self.screens))
            self.revealed = revealed and self.screen is not None and self.screen.asks
            self._paint()

    def _paint(self):
        """Question, picture, bets or number, finding, source: the one place where the screen changes."""
        screen, revealed = self.screen, self.revealed
        self._paint_bets()
        wide = screen is not None and screen.shows == "words"
        (self.middle.add_class if wide else self.middle.remove_class)("fc-wide")
        self.own.view.layout.display = None if screen and screen.shows == "own" else "none"
        if screen is None:
            from kilnlib.bench.workshop.handout import handout  # which is made of these screens

            head, drawn, found, told = text("present.end"), page("close", text("present.end_words")), "", ""
            side = print_button(text("present.print"), handout())
        else:
            head = text("present.head", at=self.at + 1, total=len(self.screens), question=say(screen, "question"))
            drawn, side, found, told = self._shown(screen, revealed)
        self.question.value = line("fc-words fc-question", head)
        self.drawn.value = drawn
        self.side.value = side
        self.finding.value = line("fc-words fc-finding", found)
        self.source.value = line("fc-source", told)

    def _shown(self, screen, revealed):
        """Picture, what stands beside it, finding and source of a screen."""
        if screen.shows == "words":
            lines = text(f"present.{screen.name}.lines")
            return page("list", *(words.format(entry=text("entry.steps")) for words in lines)), "", "", ""
        if screen.shows == "own":
            shown, said = self.own.said()
            return shown, "", said, source(screen)
        if not revealed:
            return picture(screen, False), f'<div class="fc-number">{text("present.hands_up")}</div>', "", ""
        return picture(screen, True), self._answer(), say(screen, "finding"), source(screen)

    def _paint_bets(self):
        """A button a bet with its hands, while the answer is hidden."""
        screen = self.screen
        offered = screen.bets if screen and not self.revealed else ()
        for number, made in enumerate(self.bets):
            if number < len(offered):
                made.description = self._counted(number)
            made.layout.display = None if number < len(offered) else "none"
        self.buttons["undo"].description = text("present.undo" if screen else "present.new_room")
        self.betting.layout.display = "none" if self.revealed or (screen and not screen.asks) else None

    def _counted(self, number):
        """A bet and how many hands it had."""
        hands = self.hands[self.screen.name].count(number)
        return text("present.counted" if hands else "present.uncounted", bet=self.screen.bets[number], hands=hands)

    def _answer(self):
        """The large number, what it was before, and the bets beside it, the right one marked."""
        screen = self.screen
        mark = "<i></i> " if screen.number == "miss" else ""
        was = text("present.was", number=number(screen, screen.before)) if screen.before != screen.after else ""
        bets = [self._counted(number) for number in range(len(screen.bets))]
        bets[screen.right] = text("present.right", bet=bets[screen.right])
        return (
            f'<div class="fc-number">{html.escape(say(screen, "after"))}'
            f"<b>{html.escape(number(screen, screen.after))}</b>"
            f"{mark}{html.escape(text(f'present.label.{screen.number}'))}"
            f'<div class="fc-was">{html.escape(was)}</div></div>'
            f'<div class="fc-tally">{html.escape(" · ".join(bets))}</div>'
        )


def open_presenter(name):
    """The presenter in place of the one its cell opened before."""
    with LOCK:
        View.close_earlier(("present", name))
        memory.open_page(f"present_{name}")
        return Presenter(name).remember(("present", name))
