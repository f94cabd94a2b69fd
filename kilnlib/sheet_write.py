"""Writing a sample sheet as CSV; the layout is described in `kilnlib.sheet`."""

import csv
import io
import re

from kilnlib import units
from kilnlib.physics.entries import when_text
from kilnlib.sheet_cells import guarded, shortest
from kilnlib.sheet_table import COLUMNS

HEAD = """\
# Sample sheet of First Charge. Lines that start with # are remarks. Add rows at the end, in order of time.
# item is one of: charge, species, thickness, target, units, scale step, board, section, weight, recut, recut section,
# air, note.
"""


def write_csv(sheet):
    """A sheet as CSV text that `kilnlib.sheet_csv.read_csv` turns back into the same sheet."""
    out = io.StringIO()
    out.write(HEAD)
    writer = csv.writer(out, lineterminator="\n")
    degrees = sheet.temperature_unit
    writer.writerow(f"{column} {degrees}" if column.endswith("bulb") else column for column in COLUMNS)
    for cells in (*_settings(sheet), *_boards(sheet), *_log(sheet)):
        writer.writerow(guarded(cells.get(column, "")) for column in COLUMNS)
    return out.getvalue()


def _settings(sheet):
    yield {"item": "charge", "note": sheet.charge}
    yield {"item": "species", "note": sheet.species}
    # a bare 4/4 would become a date in a spreadsheet
    yield {"item": "thickness", "note": re.sub(r"^(\d+/4)$", r"\1 inch", sheet.thickness)}
    if sheet.target_pct is not None:
        yield {"item": "target", "note": shortest(float(sheet.target_pct), units.PERCENT)}
    yield {"item": "units", "note": f"{sheet.sample_unit} {sheet.section_unit} {sheet.temperature_unit}"}
    if sheet.scale_step_kg is not None:
        step = _weights(sheet.sample_unit, weight=sheet.scale_step_kg)
        yield {"item": "scale step", "note": f"{step['weight']} {step['unit']}"}


def _boards(sheet):
    for board in sheet.boards:
        yield {"item": "board", "board": board.name, "note": board.note}
        for section in board.sections:
            yield {"item": "section", "board": board.name} | _section(section, sheet.section_unit)


def _log(sheet):
    """Everything with a time, in order of time: air, weights, recuts, notes."""
    rows = []
    for air in sheet.air:
        bulbs = {"dry bulb": air.dry_bulb_c, "wet bulb": air.wet_bulb_c}
        cells = {column: _degrees(value, sheet.temperature_unit) for column, value in bulbs.items()}
        rows.append((air.when, 0, {"item": "air"} | cells))
    for board in sheet.boards:
        for weighing in board.weighings:
            cells = {"item": "weight", "board": board.name, "note": weighing.note}
            rows.append((weighing.when, 1, cells | _weights(sheet.sample_unit, weight=weighing.weight_kg)))
    for board in sheet.boards:
        for recut in board.recuts:
            cells = {"item": "recut", "board": board.name, "note": recut.note}
            rows.append((recut.when, 2, cells | _weights(sheet.sample_unit, weight=recut.after_kg)))
            for section in recut.sections:
                cells = {"item": "recut section", "board": board.name}
                rows.append((recut.when, 2, cells | _section(section, sheet.section_unit)))
    rows += [(note.when, 3, {"item": "note", "note": note.text}) for note in sheet.notes]
    return [cells | {"date": when_text(when)} for when, _, cells in sorted(rows, key=lambda row: row[:2])]


def _section(section, unit):
    dry = {} if section.ovendry_kg is None else {"oven-dry": section.ovendry_kg}
    return _weights(unit, weight=section.green_kg, **dry)


def _weights(unit, **weights_kg):
    """Cells of weights in a unit; in kilograms where that unit has no number that reads back to exactly the same."""
    known = units.units_for("weight")
    cells = {column: shortest(value, known[unit]) for column, value in weights_kg.items()}
    if all(cells.values()):
        return cells | {"unit": unit}
    return {column: shortest(value, known["kg"]) for column, value in weights_kg.items()} | {"unit": "kg"}


def _degrees(value_c, unit):
    known = units.units_for("temperature")
    return shortest(value_c, known[f"°{unit}"]) or f"{shortest(value_c, known['°C'])} C"
