"""The workshop on paper, from the presenter's own words and drawings: a page to fill in, a page of answers, the key.

`python -m kilnlib.bench.workshop.handout` writes both files anew: the two pages beside the notebooks, and the key as
pages to print beside the keys. What is drawn in color on the screen is drawn here so that it can be told in gray.
"""

import html
import json
import re
import textwrap
from pathlib import Path

from kilnlib.bench.drawings.stack import MISSES, THROUGH
from kilnlib.bench.workshop.screens import NO_BREAK, OPEN, SCREENS, Screen, number, picture, say, source
from kilnlib.units import UNIT_SPACE_IN_PRINT
from kilnlib.words import text

ROOT = Path(__file__).parents[3]
PAGE = ROOT / "workbooks" / "through_the_stack_handout.html"
KEY = ROOT / "answers" / "present_through_the_stack_key.ipynb"
KEY_PAGE = KEY.with_suffix(".html")
GRAY_THROUGH = 'stroke="#6b6b6b"'
GRAY_MISSES = 'stroke="#000000" stroke-dasharray="7 4"'
AIR = re.compile(r'<path class="fc-air"[^>]*/>')
STYLE = """@page {margin: 10mm;} * {box-sizing: border-box;}
body {font: 11pt/1.2 Helvetica, Arial, "DejaVu Sans", sans-serif; color: #111; max-width: 190mm; margin: 0 auto;}
h1 {font-size: 16pt; margin: 0 0 1mm;} h2 {font-size: 12pt; margin: 2.5mm 0 1mm;} p {margin: 1mm 0;}
table {border-collapse: collapse; width: 100%;} td, th {border: 0.3mm solid #444; padding: 0.8mm 1.5mm;
  text-align: left; vertical-align: top;} th {font-weight: 700;}
.small {font-size: 9pt;} .warning {border: 0.6mm solid #111; padding: 1.5mm 2mm;}
.print {font: inherit; padding: 2mm 6mm; margin: 3mm 0;} @media print {.print {display: none;}}"""
FRONT = """.back {break-before: page;} .fill td {height: 6.6mm;} .fill td + td {width: 34mm;} .bets td {height: 7mm;}
.bets td:nth-child(1) {width: 150mm;} .sketch {display: flex; gap: 4mm;} .sketch svg {flex: 0 0 84mm; width: 84mm;
  height: 52.5mm;} .answers td {padding: 0.7mm 1.5mm; font-size: 11pt; line-height: 1.15;}
.answers td:nth-child(1) {width: 6mm;} .answers td:nth-child(3) {width: 34mm; font-weight: 700;}"""

KEYS_OWN = """h2 {break-after: avoid;} tr {break-inside: avoid;} .anchor-link {display: none;}
pre {font: 9pt/1.2 monospace; white-space: pre-wrap;}"""


def handout(name="through_the_stack"):
    """Two pages as HTML: the front to fill in during the workshop, the back with the answers."""
    asked = asking(name)
    bets = "".join(_bet(at, screen) for at, screen in asked)
    heads = "".join(f"<th>{_safe(words)}</th>" for words in text("handout.bet_heads"))
    to_fill = "".join(f"<tr><td>{_safe(words)}</td><td></td></tr>" for words in text("handout.fill"))
    checks = "".join(f"<li>{_safe(words)}</li>" for words in text("present.check.lines"))
    body = f"""<h1>{_safe(text("handout.title"))}</h1>
<p class="warning">{_safe(text("handout.safety", entry=text("entry.steps")))}</p>
<h2>{_safe(text("handout.bets"))}</h2>
<table class="bets"><tr>{heads}</tr>{bets}</table>
<h2>{_safe(text("handout.own"))}</h2>
<div class="sketch">{_sketch()}<table class="fill">{to_fill}</table></div>
<h1 class="back">{_safe(text("handout.back"))}</h1>
<p>{_safe(text("handout.about"))}</p>
<table class="answers">{"".join(_answer(at, screen) for at, screen in asked)}</table>
<div class="sketch">{in_gray(picture(_named(name, "days"), True))}<div><p>{_safe(text("handout.streams"))}</p>
<p>{_safe(text("handout.sources"))}</p></div></div>
<h2>{_safe(text("handout.tomorrow"))}</h2>
<ol>{checks}</ol>"""
    return _document(text("handout.title"), STYLE + FRONT, body)


def key_page():
    """The presenter's key as pages to print: its text and what its cells print, without code."""
    from nbconvert.filters import markdown2html  # comes with JupyterLab; only whoever writes the page anew needs it

    parts = []
    for cell in json.loads(KEY.read_text(encoding="utf-8"))["cells"]:
        if cell["cell_type"] == "markdown":
            parts.append(markdown2html("".join(cell["source"]).removeprefix(text("handout.run_line")).strip()))
        else:
            printed = "".join("".join(output.get("text", "")) for output in cell["outputs"])
            parts.append(f"<pre>{_safe(printed.strip())}</pre>")
    return _document(text("handout.key_title"), STYLE + KEYS_OWN, "\n".join(parts))


def in_gray(drawn):
    """A drawing for an office printer: air through the wood as a gray line, air that misses it as black dashes."""
    drawn = AIR.sub("", drawn).replace(f'stroke="{THROUGH}"', GRAY_THROUGH)
    return drawn.replace(f'stroke="{MISSES}"', GRAY_MISSES)


def asking(name):
    """The screens that ask something, each with its place among all."""
    return [(at, screen) for at, screen in enumerate(SCREENS[name], 1) if screen.asks]


def script(name="through_the_stack"):
    """Print each screen's question, numbers and finding: plain text for the key, the same every time."""
    for at, screen in asking(name):
        lines = [f"{at}. {say(screen, 'question')}"]
        lines += [
            f"   {say(screen, part)}: {number(screen, state)} {text(f'present.label.{screen.number}')}"
            for part, state in (("before", screen.before), ("after", screen.after))
            if part == "after" or screen.before != screen.after
        ]
        lines += [f"   {say(screen, 'finding')}", f"   {source(screen)}"]
        for line in lines:
            print("\n".join(textwrap.wrap(line.replace("\u00a0", " "), 100, subsequent_indent="   ")))
        print()


def _named(name, screen_name):
    return next(screen for screen in SCREENS[name] if screen.name == screen_name)


def _sketch():
    """The kiln with its gaps open and its fans off, and lines to write their sizes on."""
    drawn = in_gray(picture(Screen("first", OPEN, OPEN, 0), False))
    for gap in ("above", "ends", "under"):
        drawn = drawn.replace(text(f"present.hidden.{gap}", end="6 in"), text(f"handout.gap_{gap}"))
    return drawn


def _bet(at, screen):
    choices = f"<i>{_safe(UNIT_SPACE_IN_PRINT.sub(NO_BREAK, ' · '.join(screen.bets)))}</i>"
    return f"<tr><td>{at}. {_safe(say(screen, 'question'))} {choices}</td><td></td><td></td></tr>"


def _answer(at, screen):
    right = f"✓ {screen.bets[screen.right]}"
    return f"<tr><td>{at}</td><td>{_safe(say(screen, 'finding'))}</td><td>{_safe(right)}</td></tr>"


def _document(title, style, body):
    return f"""<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width">
<title>{_safe(title)}</title>
<style>
{style}
</style>
</head>
<body>
<button class="print" onclick="print()">{_safe(text("handout.print"))}</button>
{body}
</body>
</html>
"""


def _safe(words):
    return html.escape(words, quote=False)


if __name__ == "__main__":
    PAGE.write_text(handout(), encoding="utf-8", newline="\n")
    KEY_PAGE.write_text(key_page(), encoding="utf-8", newline="\n")
