"""The component check before every start as one page for the wall."""

import html

import ipywidgets as widgets

from kilnlib.bench.kit.parts import button, printed_again
from kilnlib.bench.kit.printed import printed
from kilnlib.bench.kit.screen import View, line
from kilnlib.errors import sentence
from kilnlib.store.exports import write_out
from kilnlib.words import text
from kilnlib.words.component_check import SPANISH
from kilnlib.words.print_set import SPANISH_ENTRY

STYLE = """
h1 {font-size: 20pt; margin-bottom: 3mm} h2 {font-size: 13pt; margin: 4mm 0 1mm}
ul {list-style: none} li {margin: 1.6mm 0 1.6mm 8mm; text-indent: -8mm}
li::before {content: "☐"; display: inline-block; width: 8mm; text-indent: 0}
.entry {border: 0.6mm solid #111; padding: 2mm} .signed {margin-top: 6mm; white-space: pre-wrap}
.foot {font-size: 8.5pt; color: #333; margin-top: 3mm}
"""
PARTS = ("inside", "outside")


class Panel(View):
    """One button. Public for tests: `print_page`, `told`."""

    name = "component_check"

    def __init__(self):
        super().__init__()
        self.told = widgets.HTML(line(_word("about")))
        pressed = button("component_check.print", self.print_page)
        pressed.add_class("fc-prints")
        self.view = self.framed(widgets.VBox([pressed, self.told]))

    def print_page(self):
        """Write the page to the user's folder and say where it is."""
        with self.guard():
            data = page()
            (path,) = write_out(_word("file"), html=data).values()
            self.told.value = ""  # the same page again is news to the script that prints it
            self.told.value = printed_again(_word("made", path=path), _word("link"), path, data)

    def show_error(self, error):
        """The sentence stands under the button, in place of what stood there."""
        self.told.value = line(sentence(error, self.system), "refusal")


def page():
    """The list as one page of HTML: the way in, what is tried behind locks, what is tried from outside."""
    return _page(_word, text("entry.steps"))


def spanish_page():
    """The same in Spanish, and who has not checked it."""
    return _page(SPANISH.__getitem__, SPANISH_ENTRY, language="es")


def _page(word, steps, language="en"):
    def safe(key):
        return html.escape(word(key))

    lists = "".join(f"<h2>{safe(part)}</h2><ul>{_items(word(f'{part}_items'))}</ul>" for part in PARTS)
    body = f"""
<h1>{safe("title")}</h1>
<p class="entry"><b>{safe("entry")}.</b> {html.escape(steps)}</p>
{lists}
<p class="signed">{safe("signed")}</p>
<p class="foot">{safe("defer")}</p>
"""
    return printed(word("title"), "12pt/1.3", STYLE, body, language)


def _items(items):
    return "".join(f"<li>{html.escape(item)}</li>" for item in items)


def _word(key, **fields):
    return text(f"component_check.{key}", **fields)
