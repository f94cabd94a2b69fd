"""The pages to print and hang up: one HTML file a page, each on one sheet of A4 or Letter."""

import datetime
import html
import sys
from pathlib import Path

from kilnlib import units
from kilnlib.bench.desk import component_check
from kilnlib.bench.desk.setpoint import card
from kilnlib.bench.desk.sheet.files import last_sheet
from kilnlib.bench.drawings.defect_sections import prongs
from kilnlib.bench.kit.printed import HEIGHT_MM, WIDTH_MM, printed
from kilnlib.cases import core
from kilnlib.errors import CannotSave, KilnError, OutOfRange, sentence
from kilnlib.physics import air, storage
from kilnlib.physics.air import emc
from kilnlib.store import kiln as store
from kilnlib.store.files import make_folder, write_file
from kilnlib.words import first_aid, glossary, print_set, text

DRY_F = range(80, 170, 10)
DEPRESSIONS_F = (2, 4, 6, 8, 10, 12, 15, 20, 25, 30, 35, 40, 50)
LOWEST_RH_PCT = 5.0  # below it the table stays empty
WALL_CARD = "wall_card"
ALL = "all_pages"
LOG_ROWS, SHEET_ROWS = 24, 22
CORE_PROBES, CORE_ROWS = 4, 6
OUTDOOR_RH_PCT, STORE_PCT, STORE_C, STORE_ROWS = (60, 70, 80, 90), (6, 7, 8), units.f_to_c(60.0), 6
BENDS = {"in": 14, "straight": 0, "out": -14}  # px of the drawing
STYLE = """
h1 {font-size: 19pt; margin-bottom: 3mm} h2 {font-size: 12pt; margin: 4mm 0 1mm} p {margin: 1.5mm 0}
table {border-collapse: collapse; width: 100%} td, th {border: .25mm solid #555; padding: .6mm 1mm; vertical-align: top}
th {font-size: 8pt; text-align: left} li {margin: 1.2mm 0 1.2mm 1.7em} ul {margin-bottom: 3mm}
.tick {list-style: none; text-indent: -1.7em}
.tick::before {content: "☐"; display: inline-block; width: 1.7em; text-indent: 0}
.fill {white-space: pre-wrap; line-height: 1.8}
.words {columns: 2; column-gap: 6mm} .words p {margin: 0; padding: .75mm 0; break-inside: avoid}
footer {position: absolute; bottom: 0; font-size: 8pt}
"""


def pages(kiln, day):
    """Name and HTML of every page, for a kiln and with the day it is printed on."""
    half = (len(glossary.WORDS) + 1) // 2
    written = {
        "entry": (_entry(), "15pt/1.45"),
        "loading": (_checklist("loading"), "13pt/1.35"),
        "log": (_log(), "9pt/1.2"),
        "sheet": (_sheet(), "10.5pt/1.3"),
        "air": (_air(kiln), "12pt/1.4"),
        "prongs": (_prongs(), "13.5pt/1.4"),
        "core": (_checklist("core") + _core(), "10.5pt/1.25"),
        "storage": (_checklist("storage") + _store(), "12pt/1.3"),
        "first_aid": (_first_aid(first_aid.TROUBLES[: first_aid.URGENT]), "11pt/1.35"),
        "first_aid_2": (_first_aid(first_aid.TROUBLES[first_aid.URGENT :]), "9pt/1.25"),
        "glossary": (_glossary(glossary.WORDS[:half]), "9pt/1.25"),
        "glossary_2": (_glossary(glossary.WORDS[half:]), "9pt/1.25"),
    }
    foot = html.escape(text("print_set.foot", kiln=kiln.name, day=f"{day:%Y-%m-%d}"))
    made = {name: _page(name, body, font, foot, kiln) for name, (body, font) in written.items()}
    made["component_check"] = component_check.page()
    made["component_check_spanish"] = component_check.spanish_page()
    return {name: units.UNIT_SPACE_IN_PRINT.sub("\u00a0", page.decode()).encode() for name, page in made.items()}


def wall_card(kiln, day):
    """The wall card of the charge whose sample sheet was used last. Raises with a sentence where there is none."""
    _, sheet = last_sheet()
    own_kiln = store.kiln_file().exists()
    return card.as_html(card.card(sheet.species, sheet.thickness, kiln, "trade", day, own_kiln=own_kiln))


def write(folder, kiln, day, made_card=None):
    """Write every page into a folder, over those of an earlier day, and the wall card if any; gives how many."""
    folder = Path(folder)
    make_folder(folder)
    made = pages(kiln, day) | ({WALL_CARD: made_card} if made_card else {})
    if not made_card:
        (folder / f"{WALL_CARD}.html").unlink(missing_ok=True)  # of an earlier charge
    for name, page in made.items():
        write_file(folder / f"{name}.html", page)
    write_file(folder / f"{ALL}.html", in_one(made))
    return len(made)


def in_one(made):
    """All pages in one file, a sheet each, so that a browser prints them at once."""
    frames = "\n".join(
        f'<iframe srcdoc="{html.escape(page.decode())}" title="{html.escape(name)}" scrolling="no"></iframe>'
        for name, page in made.items()
    )
    title = html.escape(text("print_set.all_title"))
    return f"""<!DOCTYPE html>
<html lang="en"><head><meta charset="utf-8"><title>{title}</title><style>
@page {{size: portrait; margin: 10mm}}
body {{margin: 0}}
iframe {{display: block; width: {WIDTH_MM}mm; height: {HEIGHT_MM}mm; margin: 0 auto; border: 0; break-inside: avoid;
break-after: page}} iframe:last-child {{break-after: auto}}
</style></head><body>
{frames}
</body></html>
""".encode()


def _page(name, body, font, foot, kiln):
    altitude = units.show(kiln.altitude_m, "altitude", "trade")
    title = text(f"print_set.{name.removesuffix('_2')}.title", altitude=altitude)
    return printed(title, font, STYLE, f"<h1>{html.escape(title)}</h1>{body}<footer>{foot}</footer>")


def _said(key, **fields):
    return html.escape(text(f"print_set.{key}", **fields))


def _fill(key):
    """A line with blanks to fill in by hand."""
    return f'<p class="fill">{_said(key)}</p>'


def _paragraph(words):
    return f"<p>{html.escape(words)}</p>"


def _steps(words):
    """Sentences as numbered lines: one thing to do a line."""
    lines = "".join(f"<li>{html.escape(line.rstrip('.'))}.</li>" for line in words.split(". "))
    return f"<ol>{lines}</ol>"


def _table(heads, rows, widths=()):
    """Heads and rows; widths in percent."""
    columns = "".join(f'<col style="width:{width}%">' for width in widths)
    head = "".join(f"<th>{html.escape(one)}</th>" for one in heads)
    body = "".join("<tr>" + "".join(f"<td>{cell}</td>" for cell in row) + "</tr>" for row in rows)
    return f"<table>{columns}<tr>{head}</tr>{body}</table>"


def _blank(heads, count, height_mm, widths=()):
    """A table to write in."""
    return _table(heads, [[f'<div style="height:{height_mm}mm"></div>'] + [""] * (len(heads) - 1)] * count, widths)


def _entry():
    english = _steps(text("entry.steps")) + _paragraph(text("entry.heat")) + _paragraph(text("entry.space"))
    spanish = _steps(print_set.SPANISH_ENTRY) + _paragraph(print_set.SPANISH_HEAT)
    return f'{english}<h2>{_said("entry.spanish")}</h2><div lang="es" style="font-size:12pt">{spanish}</div>'


def _checklist(name):
    written = ""
    for title, lines in print_set.CHECKLISTS[name]:
        ticks = "".join(f'<li class="tick">{html.escape(line)}</li>' for line in lines)
        written += f"<h2>{html.escape(title)}</h2><ul>{ticks}</ul>"
    return written


def _log():
    heads = text("print_set.log.columns").split("|")
    return _fill("log.charge") + _blank(heads, LOG_ROWS, 7, (9, 5, 9, 9, 9, 6, 5, 7, 8, 10, 16, 7))


def _sheet():
    kinds = [[_said(f"sheet.{line}"), "", ""] for line in ("wet", "dry", "mc")]
    return (
        _fill("sheet.head")
        + _table(text("print_set.sheet.sections").split("|"), kinds, (66, 17, 17))
        + _fill("sheet.ovendry")
        + _blank(text("print_set.sheet.columns").split("|"), SHEET_ROWS, 6, (18, 16, 16, 14, 26, 10))
        + _fill("sheet.recut")
    )


def _air(kiln):
    pressure = air.pressure_pa(kiln.altitude_m)
    unit = units.unit_of("temperature", "trade").label
    heads = [text("print_set.air.corner", unit=unit), *map(str, DEPRESSIONS_F)]
    rows = [[str(dry), *(_cell(dry, gap, pressure) for gap in DEPRESSIONS_F)] for dry in DRY_F]
    return f"<p>{_said('air.says', kiln=kiln.name)}</p>" + _table(heads, rows)


def _cell(dry_f, depression_f, pressure_pa):
    """RH over EMC, or nothing where the air would be drier than any kiln's."""
    dry = units.f_to_c(dry_f)
    try:
        rh = air.rh_pct(dry, units.f_to_c(dry_f - depression_f), pressure_pa)
    except OutOfRange:
        return ""
    if not rh >= LOWEST_RH_PCT:
        return ""
    return f"<b>{rh:.0f}</b><br>{emc.emc_pct(dry, rh):.1f}"


def _prongs():
    drawn = "".join(
        f'<td style="border:0;width:33%"><svg viewBox="0 0 210 150" width="52mm">{prongs(bend)}</svg>'
        f"<p>{_said(f'prongs.{way}')}</p></td>"
        for way, bend in BENDS.items()
    )
    steps = "".join(f"<li>{html.escape(step)}</li>" for step in text("print_set.prongs.steps").split("|"))
    return f"<p>{_said('prongs.care')}</p><ol>{steps}</ol><table><tr>{drawn}</tr></table>"


def _core():
    """What a record of core probes holds, to fill in; a recorder's readings are kept beside it."""
    needed = units.show(core.NEEDED_C, "temperature", "trade", more=1)
    off = units.show(core.SENSOR_K, "temperature_difference", "trade", more=1)
    return (
        f"<p>{_said('core.needed', needed=needed, off=off, minutes=f'{core.HOLD_MIN:g}')}</p>"
        + _fill("core.head")
        + _blank(text("print_set.core.probes").split("|"), CORE_PROBES, 6, (8, 30, 14, 18, 16, 14))
        + '<div style="height:3mm"></div>'
        + _blank(text("print_set.core.log").split("|"), CORE_ROWS, 6, (11, 17, 12, 12, 12, 14, 12, 10))
        + _fill("core.end")
        + f"<h2>{_said('core.entry')}</h2>"
        + _paragraph(text("entry.steps"))
    )


def _store():
    """Degrees above outdoors, by outdoor humidity and the moisture to hold."""
    heads = text("print_set.storage.columns").split("|")
    rows = [[f"{rh} %", *(_warmer(rh, target) for target in STORE_PCT)] for rh in OUTDOOR_RH_PCT]
    air_says = _said("storage.says", outdoor=units.show(STORE_C, "temperature", "trade"))
    return (
        f"<p>{air_says}</p>"
        + _table(heads, rows, (25, 25, 25, 25))
        + f"<h2>{_said('storage.weekly')}</h2>"
        + _blank(text("print_set.storage.log").split("|"), STORE_ROWS, 6, (18, 14, 14, 18, 24, 12))
    )


def _warmer(rh_pct, target_pct):
    return units.show(storage.warmer_by_k(STORE_C, rh_pct, target_pct), "temperature_difference", "trade")


def _first_aid(troubles):
    rows = [[f"<b>{html.escape(found)}</b>", *map(html.escape, rest)] for found, *rest in troubles]
    heads = text("first_aid.columns").split("|")
    entry = f"<h2>{_said('entry.title')}</h2>" + _paragraph(text("entry.steps"))
    return entry + _table(heads, rows, (15, 29, 28, 28)) + _paragraph(text("first_aid.source"))


def _glossary(some):
    words = "".join(
        f"<p><b>{html.escape(one.word)}</b>{_spanish(one.word)}: {html.escape(one.says)}</p>" for one in some
    )
    return f"<p>{_said('glossary.note')}</p>" + f'<div class="words">{words}</div>'


def _spanish(word):
    known = print_set.SPANISH.get(word)
    return f' <i lang="es">({html.escape(known)})</i>' if known else ""


def write_today():
    """Write the pages into the user's folder: the file that holds all, how many, and why no wall card is among them.

    Raises CannotSave with a sentence.
    """
    folder = store.user_folder().absolute() / "print"
    kiln, day = store.load(), datetime.date.today()
    try:
        made, why = wall_card(kiln, day), None
    except KilnError as error:
        made, why = None, sentence(error)
    try:
        count = write(folder, kiln, day, made)
    except OSError as error:
        reason = error.fields["reason"] if isinstance(error, CannotSave) else error.strerror
        raise CannotSave("pages_refused", path=folder, reason=reason) from error
    return folder / f"{ALL}.html", count, why


def main():
    """Write the pages into the user's folder; returns the exit code."""
    try:
        path, count, why = write_today()
    except CannotSave as error:
        print(sentence(error), file=sys.stderr)
        return 1
    print(text("print_set.done", count=count, path=path))
    if why:
        print(text("print_set.no_card", why=why))
    return 0


if __name__ == "__main__":
    sys.exit(main())
