"""A sample sheet on one printed page (A4 or Letter): as HTML and as a picture, from the same words."""

import base64
import datetime
import html
import io
import itertools
import math
import textwrap
from dataclasses import dataclass
from pathlib import Path

import matplotlib
from PIL import Image, ImageDraw, ImageFont, ImageOps

from kilnlib import units
from kilnlib.bench import sheet_findings
from kilnlib.bench.sheet_typed import shorter, shown_weight
from kilnlib.bench.words import text
from kilnlib.errors import OutOfRange

BOARDS_LIMIT = 40
WATCH_LINES, LINE_LETTERS = 8, 118
COLUMNS_MM = (16, 45, 21, 16, 20, 13, 19, 19, 21)
# Inside 10 mm margins A4 leaves 190 × 277 mm and Letter 196 × 259 mm: the page fits the smaller of each.
WIDTH_MM, HEIGHT_MM = 190, 257
TABLE_MM = 120
ROW_MM = 6.0
DOT_MM = 1240 / WIDTH_MM  # of the picture
MARGIN = 40


@dataclass(frozen=True)
class Page:
    """What stands on the page."""

    title: str
    facts: str
    numbers: list
    heads: tuple
    rows: list
    watch: list
    foot: str
    alt: str

    @property
    def row_mm(self):
        """Height of a row of boards, so that all of them fit."""
        return min(ROW_MM, TABLE_MM / (len(self.rows) + 1))


def page(sheet, path, system):
    """The page of a sheet as it stands after its last weighing. Raises OutOfRange where it has too many boards."""
    if len(sheet.boards) > BOARDS_LIMIT:
        shown = {"count": str(len(sheet.boards)), "limit": str(BOARDS_LIMIT)}
        raise OutOfRange("page_full", "boards", len(sheet.boards), None, BOARDS_LIMIT, **shown)
    found = sheet_findings.finding(sheet, datetime.datetime.max)
    watch = [("! " if urgent else "· ") + words for urgent, words in sheet_findings.watch(found, system)]
    target = "" if sheet.target_pct is None else text("sheet.page_target", target=f"{sheet.target_pct:g}")
    facts = [sheet.species, sheet.thickness, target, found.day and f"{found.day.when:%Y-%m-%d %H:%M}", path.name]
    heads = ("board", "note", "ovendry", "first", "weight", "mc", "points", "share", "next")
    return Page(
        title=sheet.charge or path.stem,
        facts=" · ".join(fact for fact in facts if fact),
        numbers=sheet_findings.numbers(found),
        heads=tuple(text(f"sheet.page_{head}", unit=sheet.sample_unit) for head in heads),
        rows=[_row(board, sheet, found) for board in sheet.boards],
        watch=_fitting(watch),
        foot=text("sheet.page_foot"),
        alt=sheet_findings.say(found),
    )


def _fitting(watch):
    """So many sentences, each in lines of words, as there is room for; the last line tells how many are left out."""
    lines = [textwrap.wrap(words, LINE_LETTERS, subsequent_indent="  ") for words in watch]
    kept = 0
    while kept < len(lines) and sum(map(len, lines[: kept + 1])) + (kept + 1 < len(lines)) <= WATCH_LINES:
        kept += 1
    more = [[text("sheet.page_more", count=len(lines) - kept)]] if kept < len(lines) else []
    return lines[:kept] + more


def _row(board, sheet, found):
    unit = sheet.sample_unit
    points = board.points_per_day()
    today = found.day is not None and board.name in found.day.rates
    share = found.share_of(board.name) if today and points > 0 else math.nan
    ovendry = board.ovendry_kg[-1] if board.ovendry_kg else math.nan
    return (
        board.name,
        board.note,
        "" if math.isnan(ovendry) else f"{units.units_for('weight')[unit].from_si(ovendry):.4g}",
        _number(board.mcs_pct[0] if board.mcs_pct else math.nan),
        shown_weight(board.weighings[-1].weight_kg, unit) if board.weighings else "",
        _number(board.mc_pct),
        _number(points),
        _number(share, 0) + (" ▲" if share > 100 else ""),
        "",
    )


def _number(value, places=1):
    return "" if math.isnan(value) else f"{value:.{places}f}"


def as_html(made, picture):
    """The page as HTML; `picture` is the chart as PNG."""
    data = base64.b64encode(picture).decode("ascii")
    head = "".join(f"<th>{html.escape(words)}</th>" for words in made.heads)
    rows = "\n".join("<tr>" + "".join(f"<td>{html.escape(c)}</td>" for c in row) + "</tr>" for row in made.rows)
    numbers = "".join(f"<dt>{html.escape(a)}</dt><dd>{html.escape(b)}</dd>" for a, b in made.numbers)
    watch = "".join(f"<li>{html.escape(words)}</li>" for lines in made.watch for words in lines)
    widths = " ".join(f"th:nth-child({n}) {{width: {mm}mm}}" for n, mm in enumerate(COLUMNS_MM, 1))
    return f"""<!DOCTYPE html>
<html lang="en"><head><meta charset="utf-8"><title>{html.escape(made.title)}</title><style>
@page {{size: portrait; margin: 10mm}}
* {{box-sizing: border-box; margin: 0; padding: 0}}
body {{font: 8.5pt/1.25 "DejaVu Sans", Arial, sans-serif; color: #111; width: {WIDTH_MM}mm; margin: 0 auto}}
main {{height: {HEIGHT_MM}mm; overflow: hidden; break-inside: avoid}}
h1 {{font-size: 13pt; height: 7mm; white-space: nowrap; overflow: hidden; text-overflow: ellipsis}}
.facts {{height: 5mm; white-space: nowrap; overflow: hidden; text-overflow: ellipsis}}
.top {{display: flex; gap: 4mm; height: 80mm}} .top img {{width: 126mm; height: 78.75mm}}
dl {{width: 60mm}} dt {{color: #444}} dd {{font-weight: bold; margin-bottom: 1mm}}
table {{border-collapse: collapse; table-layout: fixed; width: 100%}}
tr {{height: {made.row_mm:.2f}mm}}
th, td {{font-size: {min(8.5, made.row_mm * 1.9):.1f}pt; line-height: {made.row_mm * 0.86:.2f}mm; padding: 0 1mm;
  border: 0.2mm solid #999; white-space: nowrap; overflow: hidden; text-overflow: ellipsis; text-align: right}}
th:nth-child(-n+2), td:nth-child(-n+2) {{text-align: left}}
{widths} th {{font-size: {min(7.5, made.row_mm * 1.7):.1f}pt}}
ul {{list-style: none; margin-top: 2mm; height: 32mm; overflow: hidden}}
li {{height: 4mm; white-space: pre; overflow: hidden; text-overflow: ellipsis}}
.foot {{font-size: 7.5pt; color: #444; height: 8mm; overflow: hidden}}
</style></head><body><main>
<h1>{html.escape(made.title)}</h1>
<p class="facts">{html.escape(made.facts)}</p>
<div class="top"><img alt="{html.escape(made.alt, quote=True)}" src="data:image/png;base64,{data}">
<dl>{numbers}</dl></div>
<table><thead><tr>{head}</tr></thead><tbody>
{rows}
</tbody></table>
<ul>{watch}</ul>
<p class="foot">{html.escape(made.foot)}</p>
</main></body></html>
""".encode()


def as_png(made, picture):
    """The page as a picture, 1240 dots wide inside its margin."""
    sheet = Image.new("RGB", (1240, round(HEIGHT_MM * DOT_MM)), "white")
    draw = ImageDraw.Draw(sheet)
    draw.text((0, 0), shorter(made.title, 80), "black", _font(26, bold=True))
    draw.text((0, 44), shorter(made.facts, 120), "#333333", _font(17))
    chart = Image.open(io.BytesIO(picture))
    wide = round(126 * DOT_MM)
    sheet.paste(chart.resize((wide, wide * chart.height // chart.width)), (0, 78))
    y = 84
    for label, value in made.numbers:
        draw.text((wide + 26, y), shorter(label, 40), "#444444", _font(16))
        draw.text((wide + 26, y + 21), shorter(value, 40), "black", _font(17, bold=True))
        y += 50
    y = _table(draw, made, round(94 * DOT_MM)) + 14
    for words in (words for lines in made.watch for words in lines):
        draw.text((0, y), words, "black", _font(17))
        y += 26
    for number, words in enumerate(textwrap.wrap(made.foot, 140)):
        draw.text((0, sheet.height - 52 + 22 * number), words, "#444444", _font(15))
    stream = io.BytesIO()
    ImageOps.expand(sheet, MARGIN, "white").save(stream, "PNG")
    return stream.getvalue()


def _table(draw, made, top):
    """Draw the boards; returns the height where they end."""
    edges = [0, *itertools.accumulate(COLUMNS_MM)]
    high = made.row_mm * DOT_MM
    size = int(min(17, high * 0.62))
    y = float(top)
    for number, row in enumerate([made.heads, *made.rows]):
        font = _font(size - 2 if number == 0 else size, bold=number == 0)
        for column, words in enumerate(row):
            left, right = edges[column] * DOT_MM, edges[column + 1] * DOT_MM
            draw.rectangle((left, y, right, y + high), outline="#999999")
            while words and draw.textlength(words, font) > right - left - 10:
                words = f"{words.rstrip('…')[:-1]}…" if len(words) > 2 else ""
            x = left + 6 if column < 2 else right - 6 - draw.textlength(words, font)
            draw.text((x, y + high / 2), words, "black", font, anchor="lm")
        y += high
    return y


def _font(size, bold=False):
    name = "DejaVuSans-Bold.ttf" if bold else "DejaVuSans.ttf"
    return ImageFont.truetype(Path(matplotlib.get_data_path()) / "fonts" / "ttf" / name, size)
