"""First aid for a charge: each trouble with the first safe action, what not to do, and what to look at next."""

import html

import ipywidgets as widgets

from kilnlib.bench.kit.screen import View
from kilnlib.words import text
from kilnlib.words.first_aid import TROUBLES


class FirstAid(View):
    """Public for tests: `list`, `view`. The entry steps stand above it, in the text of the notebook."""

    def __init__(self):
        super().__init__()
        self.list = widgets.HTML("".join(_trouble(*trouble) for trouble in TROUBLES) + _end())
        self.view = widgets.VBox([self.list])
        self.view.add_class("fc-words-page")


def _trouble(found, *says):
    _, *heads = text("first_aid.columns").split("|")
    lines = "".join(
        f"<dt>{html.escape(head)}</dt><dd>{html.escape(words)}</dd>" for head, words in zip(heads, says, strict=True)
    )
    return f"<section><h2>{html.escape(found)}</h2><dl>{lines}</dl></section>"


def _end():
    return f"<p><small>{html.escape(text('first_aid.source'))}</small></p>"
