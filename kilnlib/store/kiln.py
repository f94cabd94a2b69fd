"""This kiln: what the workbook knows about the kiln its user runs, kept as one plain file in the user's folder.

The file is TOML in trade units with a remark on each line, so that it can be read and changed by hand. Remarks and
lines of the user's own are kept when the form saves.
"""

import errno
import json
import math
import os
import re
import tomllib
from dataclasses import astuple, dataclass
from pathlib import Path
from typing import Any

from kilnlib import units
from kilnlib.errors import BadInput, CannotSave, KilnError, OutOfRange
from kilnlib.physics.wood import ROUGH_4_4_M, SOLD_QUARTERS
from kilnlib.store.files import write_file
from kilnlib.typed import parse_quantity

FILE_NAME = "this_kiln.toml"
KEPT_NAME = "this_kiln_before.toml"
HEAD = """\
# This kiln: what First Charge knows about the kiln you run.
# Change what stands after an = sign and save, or use the form in lesson 00. A plain number is in the unit its name ends
# with; another unit goes in quotes, such as "1-1/8 in" or "275 m". Tamarack Ford and its numbers are invented.

"""
VALUE = r"(?:\"(?:[^\"\\]|\\.)*\"|'[^']*'|[^\s#]+)"


@dataclass(frozen=True)
class Line:
    """One line of the file: field of ThisKiln, name in the file, kind, limits in the trade unit, words for people."""

    field: str
    key: str
    kind: str
    low: float
    high: float
    what: str
    remark: str

    @property
    def limits(self) -> tuple[float, float]:
        """Lowest and highest value, SI."""
        return units.to_si(self.low, self.kind), units.to_si(self.high, self.kind)

    def check(self, value: Any, what: str | None = None) -> None:
        """Raise unless it is a name, or an ordinary SI number within the limits, and whole where it must be."""
        if self.kind == "name":
            if not (value.strip() and len(value) <= self.high and value.isprintable()):
                raise BadInput("kiln_name")
            return
        low, high = self.limits
        what = what or self.what
        if not math.isfinite(value):
            middle = (0.5 * (low + high), self.kind)
            raise OutOfRange("not_finite", self.field, value, low, high, what=what, example=middle)
        if not low - 1e-9 <= value <= high + 1e-9:
            fields = {"value": (value, self.kind), "low": (low, self.kind), "high": (high, self.kind)}
            raise OutOfRange("range", self.field, value, low, high, what=what, **fields)
        if self.kind == "count" and value != int(value):
            raise OutOfRange("whole_number", self.field, value, low, high, what=what, value=f"{value:g}")

    def read(self, typed: str, system: str = "trade", what: str | None = None) -> Any:
        """SI value of what a person typed; raises BadInput or OutOfRange with a sentence."""
        if self.kind == "name":
            self.check(str(typed).strip())
            return str(typed).strip()
        value = parse_quantity(typed, self.kind, system, *self.limits, what=what or self.what)
        self.check(value, what)
        return int(value) if self.kind == "count" else value

    def written(self, value: Any) -> str:
        """An SI value as it stands in the file."""
        if self.kind == "name":
            return json.dumps(value, ensure_ascii=False)
        return f"{units.from_si(value, self.kind):.10g}"


LINES = (
    Line("name", "name", "name", 1, 60, "Name", "what you call this kiln"),
    Line("altitude_m", "altitude_ft", "altitude", -1410, 10000, "Altitude", "height above sea level, feet"),
    Line("top_dry_bulb_c", "top_dry_bulb_f", "temperature", 80, 212, "Top dry bulb", "hottest air it can hold, °F"),
    Line(
        "coil_wet_bulb_limit_c",
        "coil_wet_bulb_limit_f",
        "temperature",
        60,
        200,
        "Coil's wet-bulb limit",
        "highest wet bulb the coil may run at, °F; its manual says",
    ),
    Line("driest_rh_pct", "driest_rh_pct", "percent", 5, 80, "Driest air", "lowest relative humidity it can hold, %"),
    Line("fan_count", "fan_count", "count", 1, 60, "Fans", "number of main fans"),
    Line(
        "sticker_speed_ms",
        "air_speed_fpm",
        "air_speed",
        20,
        2000,
        "Air speed",
        "air speed between the stickers, all baffles in place, feet per minute",
    ),
    Line("stack_length_m", "stack_length_ft", "length", 2, 120, "Stack length", "along the boards, feet"),
    Line("stack_width_m", "stack_width_ft", "length", 1, 40, "Stack width", "the way the air goes through, feet"),
    Line("courses", "courses", "count", 1, 200, "Courses", "layers of boards, all packs together"),
    Line("sticker_thickness_m", "sticker_in", "thickness", 0.25, 3, "Sticker thickness", "inches"),
    Line("board_thickness_m", "board_in", "thickness", 0.25, 12, "Board thickness", "as cut, inches"),
)


def check_coil(wet_bulb_limit_c: float, top_dry_bulb_c: float) -> None:
    """Raise OutOfRange where the coil's wet-bulb limit [°C] is above the top dry bulb [°C]."""
    if wet_bulb_limit_c > top_dry_bulb_c:
        fields = {"wet": (wet_bulb_limit_c, "temperature"), "dry": (top_dry_bulb_c, "temperature")}
        raise OutOfRange("kiln_coil", "coil_wet_bulb_limit_c", wet_bulb_limit_c, None, top_dry_bulb_c, **fields)


@dataclass(frozen=True)
class ThisKiln:
    """The kiln its user runs, SI inside; a value outside its range raises a sentence.

    The default is Tamarack Ford, an invented two-person mill with a small dehumidification kiln. Its stack is two packs
    of 21 courses, 8 ft through (the way the air goes) and 12 ft long, of 4/4 boards cut 1-1/8 in thick:
    42 courses x 8 ft x 12 ft x 1 in nominal = 4,032 board feet edge to edge, about 4,000 with ordinary gaps.
    """

    name: str = "Tamarack Ford"
    altitude_m: float = 900 * units.FT_M
    top_dry_bulb_c: float = units.f_to_c(160.0)
    coil_wet_bulb_limit_c: float = units.f_to_c(120.0)
    driest_rh_pct: float = 25.0
    fan_count: int = 3
    sticker_speed_ms: float = 300 * units.FT_M / 60
    stack_length_m: float = 12 * units.FT_M
    stack_width_m: float = 8 * units.FT_M
    courses: int = 42
    sticker_thickness_m: float = 0.75 * units.IN_M
    board_thickness_m: float = ROUGH_4_4_M

    def __post_init__(self):
        for line in LINES:
            line.check(getattr(self, line.field))
        check_coil(self.coil_wet_bulb_limit_c, self.top_dry_bulb_c)

    @property
    def board_feet(self) -> float:
        """Tally of a full stack laid edge to edge.

        Rough stock counts by the quarter inch, rounded down, and stock under an inch as an inch (common practice).
        """
        sold = [quarters for quarters in SOLD_QUARTERS if quarters / 4 <= self.board_thickness_m / units.IN_M + 1e-6]
        nominal_in = max(sold, default=4) / 4
        return self.courses * self.stack_length_m * self.stack_width_m / units.FT_M**2 * nominal_in


def user_folder() -> Path:
    """The one folder of the user's: "First Charge" in their home, or where FIRST_CHARGE_HOME points.

    It is made when something is first written to it.
    """
    chosen = os.environ.get("FIRST_CHARGE_HOME", "").strip()
    return Path(chosen).expanduser() if chosen else Path.home() / "First Charge"


def kiln_file() -> Path:
    """Where this kiln's file lies, or will lie."""
    return user_folder() / FILE_NAME


def load() -> ThisKiln:
    """This kiln; Tamarack Ford while there is no file that can be understood."""
    return load_with_problem()[0]


def load_with_problem() -> tuple[ThisKiln, KilnError | None]:
    """This kiln, and None or the error whose sentence says what is wrong with its file; the file is left alone."""
    path = kiln_file()
    try:
        kiln, unknown = _understand(_bytes(path), path)
    except FileNotFoundError:
        return ThisKiln(), None
    except KilnError as error:
        return ThisKiln(), error
    except OSError as error:
        return ThisKiln(), CannotSave("cannot_open", path=path, reason=error.strerror or error)
    if unknown:
        known = ", ".join(line.key for line in LINES)
        return kiln, CannotSave("kiln_unknown", path=path, keys=", ".join(unknown), known=known)
    return kiln, None


def save(kiln: ThisKiln) -> Path:
    """Write this kiln's file and return its path.

    Remarks and lines of the user's own stay. A file that cannot be understood is kept beside it under KEPT_NAME. Raises
    CannotSave with a sentence; what was there before then still is.
    """
    path = kiln_file()
    try:
        old = _bytes(path)
    except FileNotFoundError:
        old = None
    except OSError as error:
        raise CannotSave("cannot_save", path=path, reason=error.strerror or error) from error
    text = None if old is None else _edited(old, kiln, path)
    if old is not None and text is None:
        write_file(path.with_name(KEPT_NAME), old)
    write_file(path, (text or _with_values(HEAD, kiln)).encode())
    return path


def _bytes(path):
    """What stands in the file. Raises OSError, also for a pipe or a device, which would be waited for."""
    if path.exists() and not path.is_file():
        raise OSError(errno.EINVAL, "it is not a file")
    return path.read_bytes()


def _understand(data, path):
    """ThisKiln of a file's bytes, and the names it does not know (outside tables of the user's own).

    Raises CannotSave with the line that stopped it.
    """
    try:
        text = data.decode("utf-8-sig")
        written = tomllib.loads(text.replace("\r\n", "\n"))
    except UnicodeDecodeError as error:
        number = data[: error.start].count(b"\n")
        bad = data.split(b"\n")[number].decode("utf-8", "replace")
        raise _unreadable(path, bad, "Save the file as UTF-8 text.") from error
    except tomllib.TOMLDecodeError as error:
        lines = text.split("\n")
        where = re.search(r"at line (\d+)", str(error))
        bad = lines[int(where[1]) - 1] if where else next((line for line in reversed(lines) if line.strip()), "")
        twice = "overwrite" in str(error)
        why = "That name stands there twice." if twice else 'Write one plain number after the =, and words in "quotes".'
        raise _unreadable(path, bad, why) from error
    values = {}
    key = ""
    try:
        for line in LINES:
            key = line.key
            if key in written:
                values[line.field] = line.read(str(written.pop(key)))
        return ThisKiln(**values), sorted(name for name in written if not isinstance(written[name], dict))
    except KilnError as error:
        key = {"kiln_name": "name", "kiln_coil": "coil_wet_bulb_limit_f"}.get(error.code, key)
        bad = next((row for row in text.splitlines() if re.match(rf"\s*{key}\s*=", row)), key)
        raise _unreadable(path, bad, error.sentence()) from error


def _unreadable(path, line, why):
    without_remark = re.split(r"\s+#", line)[0].strip()
    return CannotSave("kiln_file", path=path, line=re.sub(r"[^\x20-\x7e\xa0-\uffff]", "", without_remark)[:80], why=why)


def _edited(old, kiln, path):
    """The old file with this kiln's values in it, or None where that cannot be done line by line."""
    try:
        _understand(old, path)
        text = _with_values(old.decode("utf-8-sig"), kiln)
        made = _understand(text.encode(), path)[0]
    except (UnicodeDecodeError, KilnError):
        return None
    numbers = zip(astuple(made)[1:], astuple(kiln)[1:], strict=True)
    same = made.name == kiln.name.strip() and all(math.isclose(a, b, rel_tol=1e-8) for a, b in numbers)
    return text if same else None


def _with_values(text, kiln):
    """`text` with the value of every line put in place; lines that are missing come before the first table."""
    rows = text.splitlines()
    top = next((number for number, row in enumerate(rows) if row.lstrip().startswith("[")), len(rows))
    for line in LINES:
        value = line.written(getattr(kiln, line.field))
        for number in range(top):
            parts = re.match(rf"(\s*{line.key}\s*=\s*){VALUE}\s*(#.*)?$", rows[number])
            if parts:
                remark = f"  {parts[2]}" if parts[2] else ""
                rows[number] = f"{parts[1]}{value}".ljust(parts.start(2) - 2) + remark
                break
        else:
            rows.insert(top, f"{f'{line.key} = {value}':<34}  # {line.remark}")
            top += 1
    return "\n".join(rows) + "\n"
