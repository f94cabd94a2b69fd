"""Small parts that every view of the bench is made of: a button, a link, the unit switch, what Enter does in a box."""

import base64
import html
import mimetypes

import ipywidgets as widgets

from kilnlib.bench.kit.screen import LOCK, line
from kilnlib.words import text


def button(key, action, **fields):
    """A button named by a word, with the word KEY_tip for its hint; pressed, it calls `action()`."""
    made = widgets.Button(description=text(key, **fields), tooltip=text(f"{key}_tip", **fields))

    def pressed(_):
        with LOCK:
            action()

    made.on_click(pressed)
    return made


def print_button(words, printed):
    """A button that prints a page of HTML, given as bytes, as HTML; the page's script does it (lab/labextensions).

    Where such a button comes up because one of the class `fc-prints` was pressed, its page is printed at once.
    """
    carried = base64.b64encode(printed).decode()
    return f'<button class="jupyter-button fc-print" data-fc-print="{carried}">{html.escape(words)}</button>'


def link(path, data):
    """A link that puts a file where the browser puts downloads, as HTML."""
    kind = mimetypes.guess_type(path.name)[0] or "text/csv"
    coded = base64.b64encode(data).decode("ascii")
    return f'<a download="{html.escape(path.name)}" href="data:{kind};base64,{coded}">{html.escape(path.name)}</a>'


def printed_again(words, link_words, path, page):
    """What is said of a printed page: `words`, a button that prints it again, and a link to the file it was kept in."""
    again = print_button(text("sheet.print_again"), page)
    return f"{line(words)}<div>{again} {html.escape(link_words)} {link(path, page)}</div>"


def unit_switch(switch, temperatures=True):
    """Trade or metric units, named by their temperatures or, where there are none, by weight and length."""
    names = ("panel.trade", "panel.metric") if temperatures else ("panel.trade_plain", "panel.metric_plain")
    made = widgets.ToggleButtons(
        options=[(text(name), system) for name, system in zip(names, ("trade", "metric"), strict=True)],
        tooltips=[text("panel.trade_tip"), text("panel.metric_tip")],
    )
    made.observe(lambda change: switch(change["new"]), "value")
    return made


def show(widget, on):
    """Let a widget be seen, or take it out of sight with its place."""
    widget.layout.display = "" if on else "none"


def on_enter(box, action):
    """Call `action()` when Enter is pressed in a box; its last letters may still be on their way then."""
    box.on_msg(lambda _, content, buffers: action() if content.get("event") == "submit" else None)
