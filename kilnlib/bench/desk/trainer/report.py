"""One learner's report as a page of paper: practice, wrong ideas still alive, and what was signed at the kiln."""

import html

from kilnlib.bench.kit.printed import printed
from kilnlib.questions import class_tables
from kilnlib.words import text
from kilnlib.words.trainer import LINES

MOST_IDEAS = 6
STYLE = """
h1 {font-size: 15pt} h2 {font-size: 10.5pt; margin: 2mm 0 .6mm} p {margin: .6mm 0}
table {border-collapse: collapse; width: 100%} td, th {border: .25mm solid #555; padding: .35mm 1mm; text-align: left;
vertical-align: top; overflow-wrap: anywhere} th {font-size: 8pt} ul {margin-left: 5mm}
footer {position: absolute; bottom: 0; font-size: 8pt}
"""


def report(book, who, day):
    """The page, as bytes of HTML."""
    name = book.labels()[who.id]
    title = text("trainer.report.title", name=name)
    practice = class_tables.of_one(book, who).to_html(border=0, index=False)
    body = f"""
<h1>{html.escape(title)}</h1><p>{_safe("head", day=f"{day:%Y-%m-%d}")}</p>
<h2>{_safe("practice")}</h2>{practice}
<h2>{_safe("alive")}</h2>{_ideas(book, who)}
<h2>{_safe("hands")}</h2>{_hands(book, who)}
<p style="margin-top:4mm;white-space:pre-wrap">{_safe("signature")}</p>
<footer>{html.escape(text("trainer.practice"))}</footer>
"""
    return printed(title, "8pt/1.15", STYLE, body)


def _ideas(book, who):
    alive = class_tables.alive(book, who)
    if not len(alive):
        return f"<p>{html.escape(text('trainer.alive_none'))}</p>"
    lines = [*alive.iloc[:MOST_IDEAS, 1]]
    if len(alive) > MOST_IDEAS:
        lines.append(text("trainer.report.more", count=len(alive) - MOST_IDEAS))
    return "".join(f"<li>{html.escape(words)}</li>" for words in lines).join(("<ul>", "</ul>"))


def _hands(book, who):
    signed = book.signed()
    heads = "".join(f"<th>{html.escape(head)}</th>" for head in text("trainer.report.columns").split("|"))
    lines = []
    for key, (title, _) in LINES.items():
        one = signed.get((who.id, key))
        cells = (one.day.isoformat(), one.place, one.seen_by, str(one.times), one.initials) if one else ("",) * 5
        lines.append("".join(f"<td>{html.escape(cell)}</td>" for cell in (title, *cells)).join(("<tr>", "</tr>")))
    return f"<table><tr>{heads}</tr>{''.join(lines)}</table>"


def _safe(key, **fields):
    return html.escape(text(f"trainer.report.{key}", **fields))
