"""A sample sheet on one printed page (A4 or Letter): as HTML."""

import base64
import datetime
import html
import itertools
import math
import textwrap
from dataclasses import dataclass

from kilnlib import units
from kilnlib.bench.desk.sheet import findings
from kilnlib.bench.desk.sheet.overview import notes_in_words
from kilnlib.bench.desk.sheet.parsing import DECIMALS, shown_mc, shown_points, shown_weight
from kilnlib.bench.desk.sheet.rounds import rounds
from kilnlib.bench.kit.printed import HEIGHT_MM, WIDTH_MM, printed
from kilnlib.errors import OutOfRange
from kilnlib.physics.samples import when_text
from kilnlib.words import text

BOARDS_LIMIT = 40
WATCH_LINES, NOTE_LINES, LINE_LETTERS = 7, 5, 118
COLUMNS_MM = (12, 52, 20, 15, 17, 13, 20, 19, 22)
TABLE_MM = 120
ROW_MM, NOTE_MM, NOTE_LETTERS = 6.0, 3.7, 29  # a row; a line of its note, and how many letters fill it
TOP_MM, FOOT_MM = 86, 15
AROUND_MM, LINE_MM = 7 + 5 + TOP_MM + 2 + FOOT_MM, 4  # title, facts, picture, a gap and the foot; a line of words
EARLIER_MM, WHEN_MM = 4.2, 43  # height of a row of earlier weights, width of its date
BOTH_MM, WEIGHT_MM = 21, 10  # width of a cell with weight and moisture content, and with the weight alone


@dataclass(frozen=True)
class Page:
    """What stands on the page."""

    title: str
    facts: str
    numbers: list
    heads: tuple
    rows: list
    watch: list
    notes: list
    earlier: list
    foot: str
    alt: str
    unit: str

    @property
    def row_mm(self):
        """Height of a row of boards, so that all of them fit, and their notes where there is room."""
        return _row_mm([note for _, note, *_ in self.rows])

    @property
    def fitting(self):
        """Heads and rows of the earlier rounds, the last ones, for which there is room."""
        lines = sum(map(len, self.watch + self.notes)) + 1
        left = HEIGHT_MM - AROUND_MM - self.row_mm * (len(self.rows) + 1) - LINE_MM * lines
        room = int(left / EARLIER_MM) - 1
        return [self.earlier[0], *self.earlier[1:][-room:]] if room > 0 and len(self.earlier) > 1 else []

    @property
    def earlier_title(self):
        """What the earlier rounds show."""
        wide = self.widths_mm[-1] >= BOTH_MM
        return text("sheet.page_earlier_both" if wide else "sheet.page_earlier", unit=self.unit)

    @property
    def widths_mm(self):
        """Widths of the columns of the earlier rounds."""
        count = len(self.rows)
        return (WHEN_MM, *[min(BOTH_MM + 3, (WIDTH_MM - WHEN_MM) / max(count, 1))] * count)


def page(sheet, path, system):
    """The page of a sheet as it stands after its last weighing. Raises OutOfRange where it has too many boards."""
    if len(sheet.boards) > BOARDS_LIMIT:
        shown = {"count": str(len(sheet.boards)), "limit": str(BOARDS_LIMIT)}
        raise OutOfRange("page_full", "boards", len(sheet.boards), None, BOARDS_LIMIT, **shown)
    result = findings.finding(sheet, datetime.datetime.max)
    watch = [("! " if urgent else "· ") + words for urgent, words in findings.watch(result, system)]
    watch = [[text("sheet.watch" if watch else "sheet.watch_nothing")], *_fitting(watch)]
    target = "" if sheet.target_pct is None else text("sheet.page_target", target=f"{sheet.target_pct:g}")
    round_, bulbs = result.day and f"{result.day.when:%Y-%m-%d %H:%M}", _bulbs(sheet, result.day, system)
    facts = [sheet.species, sheet.thickness, target, round_, bulbs, path.name]
    heads = ("board", "note", "ovendry", "first", "weight", "mc", "points", "share", "next")
    return Page(
        title=sheet.charge or path.stem,
        facts=" · ".join(fact for fact in facts if fact),
        numbers=findings.numbers(result),
        heads=tuple(text(f"sheet.page_{head}", unit=sheet.sample_unit) for head in heads),
        rows=[_row(board, sheet, result) for board in sheet.boards],
        watch=watch,
        notes=_notes(sheet, sum(map(len, watch))),
        earlier=_earlier(sheet, system),
        foot=text("sheet.page_foot", entry=text("entry.steps")),
        alt=findings.say(result),
        unit=sheet.sample_unit,
    )


def _bulbs(sheet, day, system):
    """The two bulbs that were read on a day, or nothing where none were."""
    readings = [] if day is None else [row for row in sheet.air if row.when.date() == day.when.date()]
    if not readings:
        return ""
    dry, wet = (units.show(bulb, "temperature", system) for bulb in (readings[-1].dry_bulb_c, readings[-1].wet_bulb_c))
    return text("sheet.page_bulbs", dry=dry, wet=wet)


def _row_mm(notes):
    """Height of a row of boards, so that all with these notes fit."""
    lines = max((len(textwrap.wrap(note, NOTE_LETTERS)) for note in notes), default=1)
    return min(max(ROW_MM, NOTE_MM * lines + 1.0), TABLE_MM / (len(notes) + 1))


def _notes(sheet, above):
    """Heading and lines of the notes, the latest first, as many as there is room for below so many lines."""
    row_mm = _row_mm([board.note for board in sheet.boards])
    left = HEIGHT_MM - AROUND_MM - row_mm * (len(sheet.boards) + 1) - LINE_MM * (above + 1)
    room, sentences = min(NOTE_LINES, int(left / LINE_MM) - 1), [f"· {words}" for words in notes_in_words(sheet)]
    return [[text("sheet.page_notes")], *_fitting(sentences, room)] if sentences and room > 0 else []


def _fitting(sentences, limit=WATCH_LINES):
    """So many sentences, each in lines of words, as there is room for; the last line tells how many are left out."""
    lines = [textwrap.wrap(words, LINE_LETTERS, subsequent_indent="  ") for words in sentences]
    kept = 0
    while kept < len(lines) and sum(map(len, lines[: kept + 1])) + (kept + 1 < len(lines)) <= limit:
        kept += 1
    more = [[text("sheet.page_more", count=len(lines) - kept)]] if kept < len(lines) else []
    return lines[:kept] + more


def _earlier(sheet, system):
    """Heads, and a row for each round before the last one: its time and bulbs, what every board weighed and held."""
    wide = (WIDTH_MM - WHEN_MM) / max(len(sheet.boards), 1)
    if wide < WEIGHT_MM:
        return []
    unit = units.unit_of("temperature", system)
    head = text("sheet.page_bulbs_head", unit=unit.label) if sheet.air else ""
    rows, more = [(head, *(board.name for board in sheet.boards))], _finer(sheet)
    for shown in rounds(sheet)[:-1]:
        read = {row.when.date(): row for row in sheet.air}.get(shown.when.date())
        bulbs = "" if read is None else f" · {unit.from_si(read.dry_bulb_c):.0f}/{unit.from_si(read.wet_bulb_c):.0f}"
        cells = [_weighed(board, shown.times.get(board.name), sheet.sample_unit, more, wide) for board in sheet.boards]
        rows.append((when_text(shown.when) + bulbs, *cells))
    return rows


def _finer(sheet):
    """Whether the scale shows one decimal more than others of its unit: then every weight is written so."""
    shown = (shown_weight(w.weight_kg, sheet.sample_unit) for board in sheet.boards for w in board.weighings)
    return int(any(len(words.partition(".")[2]) > DECIMALS[sheet.sample_unit] for words in shown))


def _weighed(board, when, unit, more, wide):
    number = next((n for n, weighing in enumerate(board.weighings) if weighing.when == when), None)
    if number is None:
        return ""
    shown = [shown_weight(board.weighings[number].weight_kg, unit, more)]
    if wide >= BOTH_MM:
        shown.append(shown_mc(board.mcs_pct[number]))
    return " · ".join(shown) + ("" if board.stands[number] == number else " ?")


def _row(board, sheet, result):
    unit, last = sheet.sample_unit, len(board.weighings) - 1
    points = board.points_per_day_believed(last) if board.weighings else math.nan
    doubt = " ?" if board.weighings and board.stands[last] != last else ""
    today = result.day is not None and board.name in result.day.rates
    share = result.share_of(board.name) if today and points > 0 else math.nan
    ovendry = board.ovendry_kg[-1] if board.ovendry_kg else math.nan
    return (
        board.name,
        board.note,
        _number(units.units_for("weight")[unit].from_si(ovendry), DECIMALS[unit] + 1),
        shown_mc(board.mcs_pct[0] if board.mcs_pct else math.nan),
        shown_weight(board.weighings[-1].weight_kg, unit, _finer(sheet)) + doubt if board.weighings else "",
        shown_mc(board.mc_pct),
        shown_points(points),
        _number(share, 0) + (" ▲" if share > 100 else ""),
        "",
    )


def _number(value, places=1):
    return "" if math.isnan(value) else f"{value:.{places}f}"


def as_html(made, picture):
    """The page as HTML; `picture` is the chart as PNG."""
    data = base64.b64encode(picture).decode("ascii")
    numbers = "".join(f"<dt>{html.escape(a)}</dt><dd>{html.escape(b)}</dd>" for a, b in made.numbers)
    watch, notes = (
        "".join(f"<li>{html.escape(words)}</li>" for lines in sentences for words in lines)
        for sentences in (made.watch, made.notes)
    )
    earlier = made.fitting
    below = f'<p class="title">{html.escape(made.earlier_title)}</p>' if earlier else ""
    below += _as_table("earlier", earlier, made.widths_mm) if earlier else ""
    roomy = made.row_mm >= ROW_MM
    wraps = ".boards :is(th, td:nth-child(2)) {white-space: normal} .boards th {line-height: 2.9mm}" if roomy else ""
    head_pt, line_mm = (8.0 if roomy else min(7.5, made.row_mm * 1.7)), min(made.row_mm * 0.86, NOTE_MM)
    style = f"""
h1 {{font-size: 13pt; height: 7mm; white-space: nowrap; overflow: hidden; text-overflow: ellipsis}}
.facts {{height: 5mm; white-space: nowrap; overflow: hidden; text-overflow: ellipsis}}
.top {{display: flex; gap: 4mm; height: {TOP_MM}mm}} .top img {{width: 126mm; height: 78.75mm}}
dl {{width: 60mm; line-height: 1.17}} dt {{color: #444}} dd {{font-weight: bold; margin-bottom: 0.7mm}}
table {{border-collapse: collapse; table-layout: fixed; margin: 0 0.2mm}}
.boards tr {{height: {made.row_mm:.2f}mm}} .earlier tr {{height: {EARLIER_MM}mm}}
th, td {{font-size: {min(8.5, made.row_mm * 1.9):.1f}pt; line-height: {line_mm:.2f}mm; padding: 0 1mm;
  border: 0.2mm solid #999; white-space: nowrap; overflow: hidden; text-overflow: ellipsis; text-align: right}}
th:first-child, td:first-child, .boards :is(th, td):nth-child(2) {{text-align: left}}
th {{font-size: {head_pt:.1f}pt}}
{wraps}
.earlier :is(th, td) {{font-size: 8pt; line-height: {EARLIER_MM * 0.86:.2f}mm}}
ul {{list-style: none; margin-top: 1mm}} li:first-child, .title {{font-weight: bold}}
li, .title {{height: {LINE_MM}mm; white-space: pre; overflow: hidden; text-overflow: ellipsis}}
.foot {{font-size: 8pt; color: #333; height: {FOOT_MM}mm; overflow: hidden; position: absolute; bottom: 0}}
"""
    body = f"""
<h1>{html.escape(made.title)}</h1>
<p class="facts">{html.escape(made.facts)}</p>
<div class="top"><img alt="{html.escape(made.alt, quote=True)}" src="data:image/png;base64,{data}">
<dl>{numbers}</dl></div>
{_as_table("boards", [made.heads, *made.rows], COLUMNS_MM)}
<ul>{watch}</ul>
{f"<ul>{notes}</ul>" if notes else ""}
{below}
<p class="foot">{html.escape(made.foot)}</p>
"""
    return printed(made.title, "8.5pt/1.25", style, body)


def _as_table(name, rows, widths_mm):
    wide = sum(widths_mm)
    columns = "".join(f'<col style="width: {100 * mm / wide:.2f}%">' for mm in widths_mm)
    tagged = [zip(itertools.repeat("td" if number else "th"), row) for number, row in enumerate(rows)]
    lines = ("".join(f"<{tag}>{html.escape(words)}</{tag}>" for tag, words in row) for row in tagged)
    body = "\n".join(f"<tr>{cells}</tr>" for cells in lines)
    return f'<table class="{name}" style="width: {wide - 0.4:.2f}mm"><colgroup>{columns}</colgroup>\n{body}\n</table>'
