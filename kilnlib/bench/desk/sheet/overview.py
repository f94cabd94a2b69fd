"""Beside and below today's weights: the numbers to read, what to watch, the curves, and the notes of past rounds."""

import html

import ipywidgets as widgets

from kilnlib.bench.desk.sheet import findings
from kilnlib.bench.desk.sheet.chart import SheetChart
from kilnlib.bench.kit.screen import line
from kilnlib.errors import KilnError, sentence
from kilnlib.physics.samples import when_text
from kilnlib.words import text

PICTURE_PX = 320  # high: with the numbers and what to watch above it, one screen


class Overview:
    """`numbers`, things to `watch` and the `picture` beside the weights; past `notes`, questions and sources below."""

    def __init__(self):
        self.chart = SheetChart(height_px=PICTURE_PX)
        self.picture, self.numbers, self.watch, self.notes, self.why = (widgets.HTML() for _ in range(5))
        self.stage = widgets.VBox([self.numbers, self.watch, self.picture])
        self.stage.add_class("fc-stage")
        self.below = widgets.VBox([self.notes, self.why])
        self.below.add_class("fc-below")

    def show(self, found, round_shown, system, asked):
        """Draw and say what was found; `asked` are notices that stand beside a box already.

        A part that cannot be worked out says so in its own place, and the others are shown; the first reason is raised
        at the end.
        """
        at = round_shown.when if round_shown.times else None

        def older():
            return findings.older_questions(found, system)

        parts = {
            self.picture: lambda: self.chart.html(found.sheet, found.limit, at, findings.say(found)),
            self.numbers: lambda: line(findings.numbers(found), "numbers"),
            self.watch: lambda: _listed(findings.watch(found, system, asked), older()),
            self.notes: lambda: _folded("sheet.notes", notes_in_words(found.sheet)),
            self.why: lambda: _folded("sheet.older", older()) + _folded("sheet.why", findings.reasons(found)),
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


def notes_in_words(sheet):
    """The notes of a sheet with their times, the latest first."""
    notes = sorted((note for note in sheet.notes if note.text), key=lambda note: note.when, reverse=True)
    return [text("sheet.note_of", when=when_text(note.when), note=note.text) for note in notes]


def _listed(told, older):
    rows = "".join(f"<li>{'!' if urgent else '·'} {html.escape(words)}</li>" for urgent, words in told)
    heading = text("sheet.watch" if told or older else "sheet.watch_nothing")
    return f'<div class="fc-watch" role="status" aria-live="polite"><b>{html.escape(heading)}</b><ul>{rows}</ul></div>'


def _folded(key, told):
    if not told:
        return ""
    rows = "".join(f"<li>{html.escape(words)}</li>" for words in told)
    return f"<details><summary>{html.escape(text(key, count=len(told)))}</summary><ul>{rows}</ul></details>"
