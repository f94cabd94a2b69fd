"""Beside and below today's weights: the curves, the numbers to read, and what to watch."""

import html

import ipywidgets as widgets

from kilnlib.bench.screen import line
from kilnlib.bench.sheet import findings
from kilnlib.bench.sheet.chart import SheetChart
from kilnlib.bench.words import text


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
        """Draw and say what was found; `asked` are notices that stand beside a box already."""
        said = findings.say(found)
        at = round_shown.when if round_shown.times else None
        self.picture.value = self.chart.html(found.sheet, found.limit, at, said)
        self.saying.value = line(said)
        self.numbers.value = line(findings.numbers(found), "numbers")
        older = findings.older_questions(found, system)
        self.watch.value = _listed(findings.watch(found, system, asked), older) + _folded("sheet.older", older)
        self.why.value = _folded("sheet.why", findings.reasons(found))


def _listed(told, older):
    rows = "".join(f"<li>{'!' if urgent else '·'} {html.escape(words)}</li>" for urgent, words in told)
    heading = text("sheet.watch" if told or older else "sheet.watch_nothing")
    return f'<div class="fc-watch"><b>{html.escape(heading)}</b><ul>{rows}</ul></div>'


def _folded(key, told):
    if not told:
        return ""
    rows = "".join(f"<li>{html.escape(words)}</li>" for words in told)
    return f"<details><summary>{html.escape(text(key, count=len(told)))}</summary><ul>{rows}</ul></details>"
