"""The five boxes of a setpoint check, read: what was typed, or why it was not understood, box by box."""

import re
from dataclasses import dataclass

from kilnlib import units
from kilnlib.errors import BadInput, KilnError, OutOfRange
from kilnlib.physics import air
from kilnlib.physics.schedules import DRIEST_RH_PCT
from kilnlib.physics.setpoint import TARGET_PCT
from kilnlib.physics.wood import read_thickness, species_key
from kilnlib.tables import advice
from kilnlib.typed import parse_quantity, read_quantity
from kilnlib.words import text

BOXES = ("species", "thickness", "mc", "dry", "wet")
MC_PCT = (2.0, 300.0)
TARGET_RANGE_PCT = (4.0, 20.0)
DRY_C = (units.f_to_c(60.0), 100.0)
WET_C = (0.0, 100.0)
RH_PCT = (1.0, 100.0)
RH_SLACK_PCT = advice("driest_air_asked_about")
LIKELY_RH_PCT = (advice("may_be_rh_from"), advice("may_be_rh_to"))
COOL_C = advice("celsius_meant_below")
EXAMPLE = {
    "species": "hard maple",
    "thickness": "8/4",
    "mc": "38",
    "dry": units.f_to_c(120.0),
    "wet": units.f_to_c(112.0),
    "target": f"{TARGET_PCT:g}",
}
SAYS_RH = re.compile(r"(?i)\b(r\.?\s?h\b\.?|relative humidity)")
SAYS_WET = re.compile(r"(?i)\b(wb|wet(\s?bulb)?)\b")
PERCENT = re.compile(r"(?i)(%|\bpercent|\bpct)")
SIZE_IN_TEXT = re.compile(r"\d+\s*/\s*4\b|\b\d+\s*[x×]\s*\d+")
TWO_READINGS = re.compile(r"(?i)\d\s*(/|-|over|on|and|, |;)\s*\d")


@dataclass(frozen=True)
class Inputs:
    """What the boxes say, SI."""

    species: str
    thickness: str
    mc_pct: float
    dry_bulb_c: float
    wet_bulb_c: float


@dataclass(frozen=True)
class Reading:
    """Inputs, or None with what is still missing and what was refused, by box."""

    inputs: Inputs | None
    missing: tuple
    refused: dict
    values: dict  # of the boxes that could be read


def read(texts, system, pressure_pa, driest_rh_pct=DRIEST_RH_PCT):
    """Read all five boxes; a plain temperature is in the unit shown. Air too dry for the kiln is asked about."""
    missing, refused, values = [], {}, {}
    for name in BOXES:
        typed = texts.get(name, "").strip()
        if not typed:
            missing.append(name)
            continue
        try:
            values[name] = READERS[name](typed, system)
        except KilnError as error:
            refused[name] = error
    if "dry" in values and "wet" in values:
        try:
            values["wet_bulb_c"] = _wet_bulb_c(values["dry"], *values["wet"], pressure_pa, driest_rh_pct, system)
        except BadInput as error:
            refused["wet"] = _celsius_too(error, texts["dry"], values["dry"], values["wet"][2], system)
        except KilnError as error:
            refused["dry" if error.code == "boiling" else "wet"] = error
    if missing or refused:
        return Reading(None, tuple(missing), refused, values)
    inputs = Inputs(values["species"], values["thickness"], values["mc"], values["dry"], values["wet_bulb_c"])
    return Reading(inputs, (), {}, values)


def target(typed, system):
    """The moisture content a charge is dried to; the usual one where nothing is typed. Raises with a sentence."""
    if not typed.strip():
        return TARGET_PCT
    shown = {"example": EXAMPLE["target"], "what": text("setpoint_check.target")}
    return parse_quantity(typed, "percent", system, *TARGET_RANGE_PCT, **shown)


def example(name, system):
    """What may stand in a box, in the shown unit."""
    value = EXAMPLE[name]
    return value if isinstance(value, str) else f"{units.from_si(value, 'temperature', system):.0f}"


def placeholder(name, system):
    """The example, as it stands in an empty box."""
    shown = _wet_example(system) if name == "wet" else example(name, system)
    return text("setpoint_check.such_as", example=shown)


def with_unit(typed, system):
    """The text of a bulb with the unit it was read in, so that another unit on the screen does not change it."""
    try:
        plain = read_quantity(typed, "temperature")[1] is None
    except BadInput:
        return typed
    return f"{typed.strip()} {units.unit_of('temperature', system).label}" if plain else typed


def _species(typed, system):
    size = SIZE_IN_TEXT.search(typed)
    if size:
        raise BadInput("setpoint_size_here", text=size[0].strip(), example=EXAMPLE["species"])
    return species_key(typed)


def _thickness(typed, system):
    return read_thickness(typed).nominal


def _mc(typed, system):
    return parse_quantity(typed, "percent", system, *MC_PCT, example=EXAMPLE["mc"], what="MC")


def _dry(typed, system):
    _one_reading(typed)
    shown = {"example": example("dry", system), "what": text("setpoint_check.dry")}
    value = parse_quantity(typed, "temperature", system, *DRY_C, **shown)
    number, label = read_quantity(typed, "temperature")
    if label is None and system == "trade" and value < COOL_C:
        raise BadInput(
            "setpoint_celsius_meant",
            value=(value, "temperature"),
            suggestion=f"{number:g} C",
            converted=units.show(number, "temperature"),
            plain=f"{number:g} F",
        )
    return value


def _wet_example(system):
    return text("setpoint_check.wet_example", wet=example("wet", system))


def _one_reading(typed):
    if TWO_READINGS.search(typed):
        raise BadInput("setpoint_two_readings", text=typed[:40])


def _wet(typed, system):
    """("rh", %, None), or ("wet", °C, the number where it was typed without a unit)."""
    _one_reading(typed)
    said_rh = SAYS_RH.search(typed) is not None
    plain = SAYS_WET.sub("", SAYS_RH.sub("", typed))
    if said_rh or PERCENT.search(plain):
        return "rh", parse_quantity(plain, "percent", system, *RH_PCT, what="RH", example="60 %"), None
    shown = {"example": _wet_example(system), "what": text("setpoint_check.wet_bulb")}
    value = parse_quantity(plain, "temperature", system, *WET_C, **shown)
    number, label = read_quantity(plain, "temperature")
    return "wet", value, number if label is None else None


def _wet_bulb_c(dry_bulb_c, kind, value, plain, pressure_pa, driest_rh_pct, system):
    if kind == "rh":
        return float(air.wet_bulb_c(dry_bulb_c, value, pressure_pa))
    may_be_rh = plain is not None and LIKELY_RH_PCT[0] <= plain <= LIKELY_RH_PCT[1]
    try:
        rh = float(air.rh_pct(dry_bulb_c, value, pressure_pa))
    except OutOfRange as error:
        asked = {"wet_too_low": "setpoint_rh_meant", "wet_above_dry": "setpoint_percent_above"}.get(error.code)
        if asked and may_be_rh:
            raise BadInput(asked, rh=f"{plain:g} %", **error.fields) from None
        raise
    if may_be_rh and rh < driest_rh_pct - RH_SLACK_PCT:
        dry_rh = units.show(rh, "percent", decimals=0) if rh >= 0.5 else text("setpoint_check.rh_none")
        shown = {"dry_rh": dry_rh, "driest": f"{driest_rh_pct:g} %"}
        label = units.unit_of("temperature", system).label[-1]
        wet = units.show_set(value, "temperature", system)
        raise BadInput("setpoint_percent_meant", rh=f"{plain:g} %", wet=wet, plain=f"{plain:g} {label}", **shown)
    return value


def _celsius_too(error, typed, dry_bulb_c, plain, system):
    """Beside a dry bulb in Celsius a plain wet bulb may be Celsius too: ask for that as well."""
    label = read_quantity(typed, "temperature")[1]
    celsius = system == "trade" and label is not None and label.endswith("C") and plain is not None
    if error.code != "setpoint_rh_meant" or not celsius or plain > dry_bulb_c:
        return error
    shown = {key: error.fields[key] for key in ("dry", "wet", "rh")}
    return BadInput("setpoint_celsius_too", plain=f"{plain:g}", celsius=f"{plain:g} C", **shown)


READERS = {"species": _species, "thickness": _thickness, "mc": _mc, "dry": _dry, "wet": _wet}
