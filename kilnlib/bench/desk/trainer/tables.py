"""The tables of the trainer's page as HTML; pandas writes them, and escapes whatever could be read as HTML."""

import datetime
import html

import pandas as pd

from kilnlib import tables
from kilnlib.questions import class_tables
from kilnlib.store import pages
from kilnlib.store.exports import out_folder
from kilnlib.store.record import record_file
from kilnlib.words import text
from kilnlib.words.trainer import LINES, SHORT


def everything(book):
    """What the class did on the screen, as the record stands now: what each missed first, the rest below or folded."""
    if not book.learners():
        return f"<p>{_safe('empty')}</p>"
    missed = rows(class_tables.missed(book, datetime.date.today()), "missed_none")
    alive = class_tables.alive(book)
    living = f"<h3>{_safe('alive')}</h3><p>{_safe('alive_says')}</p>{rows(alive, 'alive_none')}" if len(alive) else ""
    glanced = f"<p>{_safe('glance_says')}</p>{named(glance(book))}<p>{_safe('objectives')}</p>{_objectives()}"
    return missed + living + _fold("glance", glanced)


def signed(book):
    """What was seen at the kiln so far, as a table with its sentence; nothing before the first signed line."""
    return f"<p>{_safe('hands_says')}</p>{named(hands(book))}" if book.signed() else ""


def of_the_kiln():
    """What must have been seen before a line is signed, and what to do in the yard: folded."""
    return _fold("criteria", _criteria()) + _fold("yard", _yard())


def how():
    """How the page is used, folded."""
    lies = text("trainer.file_says", path=record_file(), folder=out_folder())
    paragraphs = [*text("trainer.how_says").split("|"), lies]
    return _fold("how", "".join(f"<p>{html.escape(words)}</p>" for words in paragraphs))


def glance(book):
    """The class at a glance: only what somebody has tried, a short word beside the number of each column."""
    table = class_tables.glance(book)
    tried = (table != text("trainer.cell.none")).any()
    return table.loc[:, tried].rename(columns=lambda number: f"{number} {SHORT[number]}")


def hands(book):
    """What is signed: a row a learner, a column a line."""
    signed = book.signed()
    table = {label: [_signed(signed.get((who, name))) for name in LINES] for who, label in book.labels().items()}
    return pd.DataFrame.from_dict(table, orient="index", columns=[title for title, _ in LINES.values()])


def named(table):
    """A table whose rows are named, such as a row a learner."""
    written = table.rename_axis(columns=text("trainer.who")).to_html(border=0, classes="fc-class")
    return f'<div class="fc-wide" tabindex="0" role="group" aria-label="{_safe("wide")}">{written}</div>'


def rows(table, none):
    """A table of rows, or the words for none."""
    return table.to_html(border=0, index=False, classes="fc-class") if len(table) else f"<p>{_safe(none)}</p>"


def _signed(one):
    if one is None:
        return text("trainer.unsigned")
    return text("trainer.signed", times=one.times, day=one.day.isoformat(), initials=one.initials)


def _objectives():
    says = [
        (row["objective"], text("trainer.objective" if row["questions"] else "trainer.unwritten", **row))
        for row in tables.records("objectives")
    ]
    return "".join(f"<li value='{number}'>{html.escape(words)}</li>" for number, words in says).join(("<ol>", "</ol>"))


def _criteria():
    lines = (f"<li><b>{html.escape(title)}</b>: {html.escape(what)}.</li>" for title, what in LINES.values())
    return "".join(lines).join(("<ul>", "</ul>"))


def _yard():
    tasks = pages.yard_tasks()
    if not tasks:
        return f"<p>{_safe('yard_none')}</p>"
    lines = (f"<li><b>{html.escape(lesson)}</b> {html.escape(task)}</li>" for lesson, task in tasks)
    return "".join(lines).join(("<ul>", "</ul>"))


def _fold(key, content):
    return f"<details><summary>{_safe(key)}</summary>{content}</details>"


def _safe(key):
    return html.escape(text(f"trainer.{key}"))
