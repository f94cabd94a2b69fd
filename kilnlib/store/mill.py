"""What this mill pays and is paid: a table `[mill]` of this kiln's file, in trade units, to be changed by hand."""

import re
import tomllib
from dataclasses import fields
from pathlib import Path

from kilnlib import units
from kilnlib.errors import CannotSave, KilnError
from kilnlib.physics.cost import Mill
from kilnlib.store import kiln
from kilnlib.store.files import write_file

TABLE = "mill"
KEYS = {  # field of Mill: name in the file, and the kind of quantity whose trade unit it is in
    "electricity_usd_kwh": ("electricity_cents_kwh", "power_price"),
    "wage_usd_h": ("wage_usd_h", "money"),
    "hours_a_load": ("hours_a_load", "hours"),
    "hours_a_day": ("hours_a_day", "hours"),
    "kiln_usd": ("kiln_usd", "money"),
    "upkeep_pct": ("upkeep_pct", "percent"),
    "years": ("years", "ratio"),
    "interest_pct": ("interest_pct", "percent"),
    "busy_days": ("busy_days_a_year", "days"),
    "green_usd_m3": ("green_usd_1000bf", "lumber_price"),
    "dry_usd_m3": ("dry_usd_1000bf", "lumber_price"),
}


def load_mill() -> Mill:
    """This mill's prices; Tamarack Ford's where the file names none. Raises CannotSave with a sentence."""
    path = kiln.kiln_file()
    written = _table(path, _text(path))
    values = {}
    for field, (key, kind) in KEYS.items():
        if key in written:
            if isinstance(written[key], bool) or not isinstance(written[key], int | float):
                raise CannotSave("kiln_file", path=path, line=f"{key} = …", why="Write one plain number after the =.")
            values[field] = units.to_si(float(written[key]), kind)
    try:
        return Mill(**values)
    except KilnError as error:
        raise CannotSave("kiln_file", path=path, line=f"[{TABLE}]", why=error.sentence()) from error


def save_mill(mill: Mill) -> Path:
    """Write the prices into this kiln's file and return its path; every other line stays.

    Raises CannotSave with a sentence; what was there before then still is.
    """
    path = kiln.kiln_file()
    if not path.exists():
        kiln.save(kiln.ThisKiln())
    text = _text(path)
    _table(path, text)
    rows = text.splitlines()
    start = next((number for number, row in enumerate(rows) if row.strip() == f"[{TABLE}]"), None)
    if start is None:
        start = len(rows) + 1
        rows += ["", f"[{TABLE}]"]
    end = next((number for number in range(start + 1, len(rows)) if rows[number].lstrip().startswith("[")), len(rows))
    for field in fields(Mill):
        key, kind = KEYS[field.name]
        value = f"{units.from_si(getattr(mill, field.name), kind):.10g}"
        own = (number for number in range(start + 1, end) if re.match(rf"\s*{key}\s*=", rows[number]))
        if (number := next(own, None)) is None:
            rows.insert(end, f"{key} = {value}")
            end += 1
        else:
            rows[number] = re.sub(r"=\s*[^\s#]+", f"= {value}", rows[number], count=1)
    write_file(path, ("\n".join(rows) + "\n").encode())
    return path


def _text(path):
    try:
        return path.read_text(encoding="utf-8-sig")
    except FileNotFoundError:
        return ""
    except (OSError, UnicodeDecodeError) as error:
        raise CannotSave("cannot_open", path=path, reason=getattr(error, "strerror", None) or error) from error


def _table(path, text):
    try:
        table = tomllib.loads(text).get(TABLE, {})
    except tomllib.TOMLDecodeError as error:
        raise CannotSave("kiln_file", path=path, line=str(error), why="Write one plain number after each =.") from error
    return table if isinstance(table, dict) else {}
