"""A sample sheet as facts, one a row, and as CSV; the layout is described in `kilnlib.store.sheet`."""

import csv
import datetime
import io
import re

from kilnlib import units
from kilnlib.physics.samples import Sheet, when_text
from kilnlib.store.csv_cells import guarded, shortest
from kilnlib.store.csv_table import COLUMNS, END, OF_MORNING, START, Fact

HEAD = f"""\
{START} Lines that start with # are remarks. Add rows at the end, in order of time.
# item is one of: charge, species, thickness, target, units, scale step, board, section, weight, recut, recut section,
# air, note.
"""
LOG_ORDER = {"air": 0, "weight": 1, "recut": 2, "recut section": 2, "note": 3}  # of facts of the same moment


def write_csv(sheet: Sheet) -> str:
    """A sheet as CSV text that `kilnlib.store.sheet_read.read_csv` turns back into the same sheet."""
    out = io.StringIO()
    out.write(HEAD)
    writer = csv.writer(out, lineterminator="\n")
    degrees = sheet.temperature_unit
    rows = [cells(fact, sheet) for fact in facts(sheet)]
    used = [column for column in COLUMNS if column not in OF_MORNING or any(row.get(column) for row in rows)]
    writer.writerow(f"{column} {degrees}" if "bulb" in column else column for column in used)
    for row in rows:
        writer.writerow(guarded(row.get(column, "")) for column in used)
    out.write(f"{END}\n")
    return out.getvalue()


def facts(sheet: Sheet) -> list[Fact]:
    """Every fact of a sheet, in the order in which a new file holds them."""
    return [*(Fact(row["item"], note=row["note"]) for row in _settings(sheet)), *_boards(sheet), *_log(sheet)]


def cells(fact: Fact, sheet: Sheet) -> dict[str, str]:
    """The words of a fact by column, in the units of its sheet."""
    row = {"item": fact.item, "board": fact.board, "note": fact.note}
    if fact.item == "thickness":  # a bare 4/4 would become a date in a spreadsheet
        row["note"] = re.sub(r"^(\d+/4)$", r"\1 inch", fact.note)
    if fact.when is not None:
        row["date"] = when_text(fact.when)
    if fact.weight_kg is not None:
        unit = sheet.section_unit if fact.item.endswith("section") else sheet.sample_unit
        dry = {} if fact.ovendry_kg is None else {"oven-dry": fact.ovendry_kg}
        row |= _weights(unit, weight=fact.weight_kg, **dry)
    if fact.dry_bulb_c is not None:
        bulbs = {"dry bulb": fact.dry_bulb_c, "wet bulb": fact.wet_bulb_c}
        bulbs |= {"dry bulb leaving": fact.leaving_dry_bulb_c, "wet bulb leaving": fact.leaving_wet_bulb_c}
        there = {column: value for column, value in bulbs.items() if value is not None}
        row |= {column: _degrees(value, sheet.temperature_unit) for column, value in there.items()}
    if fact.bucket_m3 is not None:
        row["bucket drained"] = _volume(fact.bucket_m3, sheet.temperature_unit)
    return row


def _settings(sheet):
    yield {"item": "charge", "note": sheet.charge}
    yield {"item": "species", "note": sheet.species}
    yield {"item": "thickness", "note": sheet.thickness}
    if sheet.target_pct is not None:
        yield {"item": "target", "note": shortest(float(sheet.target_pct), units.PERCENT)}
    yield {"item": "units", "note": f"{sheet.sample_unit} {sheet.section_unit} {sheet.temperature_unit}"}
    if sheet.scale_step_kg is not None:
        step = _weights(sheet.sample_unit, weight=sheet.scale_step_kg)
        yield {"item": "scale step", "note": f"{step['weight']} {step['unit']}"}


def _boards(sheet):
    for board in sheet.boards:
        yield Fact("board", board.name, note=board.note)
        for cut in board.sections:
            yield Fact("section", board.name, None, cut.green_kg, cut.ovendry_kg)


def _log(sheet):
    """Everything with a time, in order of time: air, weights, recuts, notes."""
    rows = [Fact("air", "", **vars(air)) for air in sheet.air]
    for board in sheet.boards:
        rows += [Fact("weight", board.name, w.when, w.weight_kg, note=w.note) for w in board.weighings]
    for board in sheet.boards:
        for recut in board.recuts:
            rows.append(Fact("recut", board.name, recut.when, recut.after_kg, note=recut.note))
            rows += [
                Fact("recut section", board.name, recut.when, cut.green_kg, cut.ovendry_kg) for cut in recut.sections
            ]
    rows += [Fact("note", "", note.when, note=note.text) for note in sheet.notes]
    return sorted(rows, key=log_place)


def log_place(fact: Fact) -> tuple[datetime.datetime | None, int]:
    """Where a fact with a time belongs among others."""
    return fact.when, LOG_ORDER[fact.item]


def _weights(unit, **weights_kg):
    """Cells of weights in a unit; in kilograms where that unit has no number that reads back to exactly the same."""
    known = units.units_for("weight")
    row = {column: shortest(value, known[unit]) for column, value in weights_kg.items()}
    if all(row.values()):
        return row | {"unit": unit}
    return {column: shortest(value, known["kg"]) for column, value in weights_kg.items()} | {"unit": "kg"}


def _volume(value_m3, unit):
    """Gallons beside Fahrenheit, else liters; to the last digit where no short number reads back to the same."""
    known = units.units_for("volume")
    for label in ("gal", "L") if unit == "F" else ("L", "gal"):
        if words := shortest(value_m3, known[label]):
            return f"{words} {label}"
    return f"{known['L'].from_si(value_m3)!r} L"


def _degrees(value_c, unit):
    known = units.units_for("temperature")
    return shortest(value_c, known[f"°{unit}"]) or f"{shortest(value_c, known['°C'])} C"
