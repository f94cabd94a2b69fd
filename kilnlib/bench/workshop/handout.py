"""The workshop on one printed page, from the presenter's own words and drawings; and its screens as text for the key.

`python -m kilnlib.bench.workshop.handout` writes the page beside the notebooks.
"""

import html
import textwrap
from pathlib import Path

from kilnlib.bench.workshop.presenter import SCREENS, number, picture, say
from kilnlib.words import text

PAGE = Path(__file__).parents[3] / "workbooks" / "through_the_stack_handout.html"
STYLE = """@page {margin: 9mm;} * {box-sizing: border-box;}
body {font: 9pt/1.13 Helvetica, Arial, "DejaVu Sans", sans-serif; color: #1b1b1b; max-width: 190mm; margin: 0 auto;
  print-color-adjust: exact; -webkit-print-color-adjust: exact;}
h1 {font-size: 14pt; margin: 0;} p {margin: 1mm 0;} ul {margin: 1mm 0; padding-left: 5mm; list-style: "☐ ";}
.screens {display: grid; grid-template-columns: 1fr 1fr; gap: 2mm 4mm; margin: 2mm 0;}
section {border-top: 0.5mm solid #1b1b1b; padding-top: 1mm; break-inside: avoid;}
h2 {font-size: 9pt; margin: 0;} .row {display: flex; gap: 2mm; align-items: center;}
svg {flex: 0 0 54mm; width: 54mm; height: 33.75mm;} .row b {font-size: 20pt; line-height: 1.1; display: block;}
.small {font-size: 8pt;} .warning {border: 0.5mm solid #a3330b; padding: 1mm 2mm;}"""


def handout(name="through_the_stack"):
    """The page as HTML: every screen with its answer, what to check, the safety line, where the numbers come from."""
    sections = "\n".join(_section(at, screen) for at, screen in asking(name))
    checks = "".join(f"<li>{_safe(words)}</li>" for words in text("handout.checks"))
    return f"""<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width">
<title>{_safe(text("handout.title"))}</title>
<style>
{STYLE}
</style>
</head>
<body>
<h1>{_safe(text("handout.title"))}</h1>
<p>{_safe(text("handout.about"))}</p>
<div class="screens">
{sections}
</div>
<p><b>{_safe(text("handout.before"))}</b></p>
<ul>{checks}</ul>
<p class="warning">{_safe(text("handout.safety", entry=text("entry.steps")))}</p>
<p class="small">{_safe(text("handout.sources"))}</p>
</body>
</html>
"""


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
        lines.append(f"   {say(screen, 'finding')}")
        for line in lines:
            print("\n".join(textwrap.wrap(line.replace("\u00a0", " "), 100, subsequent_indent="   ")))
        print()


def _section(at, screen):
    before, after = (number(screen, state) for state in (screen.before, screen.after))
    return f"""<section>
<h2>{at}. {_safe(say(screen, "question"))}</h2>
<div class="row">{picture(screen, True)}
<div>{_safe(say(screen, "after"))}<b>{_safe(after)}</b>{_safe(text(f"present.label.{screen.number}"))}<br>
{_safe(text("present.was", number=before)) if screen.before != screen.after else ""}</div></div>
<p>{_safe(say(screen, "finding"))}</p>
</section>"""


def _safe(words):
    return html.escape(words, quote=False)


if __name__ == "__main__":
    PAGE.write_text(handout(), encoding="utf-8", newline="\n")
