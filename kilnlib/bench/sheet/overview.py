"""Beside and below today's weights: the curves, the numbers to read, and what to watch."""

import html

import ipywidgets as widgets

from kilnlib.bench.screen import line
from kilnlib.bench.sheet import findings
from kilnlib.bench.sheet.chart import SheetChart
from kilnlib.bench.words import sentence, text
from kilnlib.errors import KilnError


class Overview:
    """The picture (`picture`) with its finding (`saying`), and below it numbers and things to watch."""

    def __init__(self):
        self.chart = SheetChart()
        self.picture, self.saying, self.numbers, self.watch, self.why = (widgets.HTML() for _ in range(5))
        self.stage = widgets.VBox([self.picture])
        self.stage.add_class("fc-stage")
        self.below = widgets.VBox([self.watch, self.saying, self.numbers, self.why])
        self.below.add_class("fc-below")

    def show(self, found, round_shown, system, asked):
        """Draw and say what was found; `asked` are notices that stand beside a box already.

        A part that cannot be worked out says so in its own place, and the others are shown; the first reason is raised
        at the end.
        """
        at = round_shown.when if round_shown.times else None

        def watched():
            older = findings.older_questions(found, system)
            return _listed(findings.watch(found, system, asked), older) + _folded("sheet.older", older)

        parts = {
            self.saying: lambda: line(findings.say(found)),
            self.numbers: lambda: line(findings.numbers(found), "numbers"),
            self.watch: watched,
            self.why: lambda: _folded("sheet.why", findings.reasons(found)),
            self.picture: lambda: self.chart.html(found.sheet, found.limit, at, findings.say(found)),
        }
        failed = []
        for place, make in parts.items():
            try:
                place.value = make()
            except Exception as error:
                failed.append(error)
                why = sentence(error, system) if isinstance(error, KilnError) else ""
                place.value = line(text("sheet.cannot_part", why=why).strip(), "refusal")
        if failed:
            raise failed[0]


def _listed(told, older):
    rows = "".join(f"<li>{'!' if urgent else '·'} {html.escape(words)}</li>" for urgent, words in told)
    heading = text("sheet.watch" if told or older else "sheet.watch_nothing")
    return f'<div class="fc-watch"><b>{html.escape(heading)}</b><ul>{rows}</ul></div>'


def _folded(key, told):
    if not told:
        return ""
    rows = "".join(f"<li>{html.escape(words)}</li>" for words in told)
    return f"<details><summary>{html.escape(text(key, count=len(told)))}</summary><ul>{rows}</ul></details>"
