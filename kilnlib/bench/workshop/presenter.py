"""A workshop's screens, one idea each: question and picture first, the answer after Reveal.

Every size follows the width of the screen (cqw), so that type grows with the projector and nothing needs scrolling.
"""

import html

import ipywidgets as widgets

from kilnlib.bench.drawings.stack import MISSES
from kilnlib.bench.kit import memory
from kilnlib.bench.kit.colors import INK
from kilnlib.bench.kit.parts import button, print_button
from kilnlib.bench.kit.screen import LOCK, View
from kilnlib.bench.workshop.handout import handout
from kilnlib.bench.workshop.own import OwnKiln
from kilnlib.bench.workshop.parts import box, line, page
from kilnlib.bench.workshop.screens import NO_BREAK, SCREENS, number, picture, say, source
from kilnlib.errors import NotFound
from kilnlib.words import text

DRAWING_PCT = 60  # of the width of the screen
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
.fc-present .fc-own .widget-text {{width: 37cqw; height: 3.1cqw; margin: 0;}}
.fc-present .fc-own .widget-text .widget-label {{font-size: 2.3cqw; width: 27cqw; text-align: left;
  height: 3.1cqw; line-height: 3.1cqw;}}
.fc-present .fc-own .widget-text input {{font-size: 2.3cqw; height: 2.9cqw;}}
.fc-present .fc-shares {{font-size: 3cqw; line-height: 1.2; padding: 0 1cqw;}}
.fc-present .fc-shares b {{font-size: 7cqw; line-height: 1.1; margin-right: 1cqw;}}
.fc-present .fc-shares p:nth-child(n+3) b {{font-size: 4cqw;}} .fc-present .fc-shares p {{margin: 0 0 0.5cqw;}}
.fc-present .fc-close {{font-size: 4cqw; line-height: 1.25; padding: 4cqw; background: {INK}; color: #ffffff;
  height: {DRAWING_PCT * 0.625}cqw; box-sizing: border-box;}}
.fc-present .jupyter-button:focus {{outline: 0.4cqw solid #0b4580; outline-offset: 0;}}
@media (max-aspect-ratio: 145/100) {{ /* an older projector, 4 : 3: its height is for larger words */
  .fc-present .fc-words {{font-size: 3.7cqw; height: 3.6em;}} .fc-present .fc-list {{height: 53cqw;}}
  .fc-present .fc-list p {{margin: 0 0 1.8cqw;}}
  .fc-present .fc-source {{font-size: 2.4cqw; height: 2.4em;}} .fc-present .fc-question {{padding-top: 1cqw;}}
}}
</style>"""
KEYS = ("reveal", "next", "back", "reset")
BEYOND = ("forward", "first", "last")  # what only keys and clickers press


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
        """Take back the last hand of this screen; at the end, all of the room: its hands and its own kiln."""
        if self.screen is None:
            self.hands = self._no_hands()
            self.own.clear()
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
        self.buttons["reveal"].layout.display = None if screen and screen.asks else "none"
        wide = screen is not None and screen.shows == "words"
        (self.middle.add_class if wide else self.middle.remove_class)("fc-wide")
        self.own.view.layout.display = None if screen and screen.shows == "own" else "none"
        if screen is None:
            head, drawn, found, told = text("present.end"), page("close", text("present.end_words")), "", ""
            side = print_button(text("present.print"), handout().encode())
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
            shares, finding = self.own.result_in_words()
            return shares, "", finding, source(screen)
        if not revealed:
            return picture(screen, False), f'<div class="fc-number">{text("present.hands_up")}</div>', "", ""
        return picture(screen, True), self._answer(), say(screen, "finding"), source(screen)

    def _paint_bets(self):
        """A button a bet with its hands, while the answer is hidden."""
        screen = self.screen
        offered = screen.bets if screen and not self.revealed else ()
        for place, made in enumerate(self.bets):
            if place < len(offered):
                made.description = self._counted(place)
            made.layout.display = None if place < len(offered) else "none"
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
        tally = " · ".join(bet.replace(" ", NO_BREAK) for bet in bets)
        return (
            f'<div class="fc-number">{html.escape(say(screen, "after"))}'
            f"<b>{html.escape(number(screen, screen.after))}</b>"
            f"{mark}{html.escape(text(f'present.label.{screen.number}'))}"
            f'<div class="fc-was">{html.escape(was)}</div></div>'
            f'<div class="fc-tally">{html.escape(tally)}</div>'
        )


def open_presenter(name):
    """The presenter in place of the one its cell opened before."""
    with LOCK:
        View.close_earlier(("present", name))
        memory.open_page(f"present_{name}")
        return Presenter(name).remember(("present", name))
