"""The words of the trade: all of them in a list, each in a sentence, and a box that leaves only those one looks for."""

import html

import ipywidgets as widgets

from kilnlib.bench.kit import progress
from kilnlib.bench.kit.screen import View, line
from kilnlib.words import text
from kilnlib.words.glossary import WORDS


class Glossary(View):
    """Public for tests: `find`, `list`, `view`."""

    def __init__(self):
        super().__init__()
        self.lessons = {page.number: page.file for page in progress.pages() if page.number}
        self.box = widgets.Text(description=text("glossary.find"), tooltip=text("glossary.find_tip"))
        self.saying, self.list = widgets.HTML(), widgets.HTML()
        self.box.observe(lambda change: self.find(change["new"]), "value")
        row = widgets.HBox([self.box, self.saying])
        row.add_class("fc-who")
        self.view = widgets.VBox([row, self.list])
        self.view.add_class("fc-words-page")
        self.find("")

    def find(self, typed):
        """Show the words that have these letters in their name or in another name for the same thing; all for none."""
        sought = " ".join(typed.casefold().split())
        found = [word for word in WORDS if any(sought in name.casefold() for name in word.names)]
        self.list.value = f"<dl>{''.join(self._entry(word) for word in found)}</dl>"
        said = text("glossary.count", count=len(found)) if found else text("glossary.none", typed=typed.strip())
        self.saying.value = line(said)

    def _entry(self, word):
        taught = html.escape(text("glossary.taught", lesson=word.lesson))
        if word.lesson in self.lessons:
            taught = f'<a href="{html.escape(self.lessons[word.lesson])}">{taught}</a>'
        also = html.escape(text("glossary.also", names=", ".join(word.also))) + "; " if word.also else ""
        return f"<dt>{html.escape(word.word)}</dt><dd>{html.escape(word.says)} <small>{also}{taught}</small></dd>"
