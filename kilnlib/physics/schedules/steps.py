"""Drying schedules led by moisture content: a code such as T4-D2, put together into the steps of a schedule.

A code has three parts: temperature number (1 to 14), class of the wood's green moisture content (A to F), depression
number (1 to 8). Each has a column of its own in a table; the schedule has a step wherever either of them moves. Values
at a change point belong to the drier step. The lessons picture the steps as the rungs of a ladder, hence `ladder`. A
schedule led by the clock is another thing: its changes come at hours, set by how earlier loads of the same wood did in
the same kiln, so it is no use here and none is offered (common practice).

The three tables are from memory. What was retrieved and agrees with them is named in tests/physics/schedules.

"Red oak" is upland red oak, T4-D2, as in the index (from memory). Another source prints T3-D2 for red oak in general
(retrieved): the two differ in the last step alone, 180 against 160 °F. It stands beside the recommendation as `also`,
so that both are seen; the index leads because it alone has every thickness.
"""

import functools
import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, overload

import numpy as np

from kilnlib import tables, units
from kilnlib.errors import BadInput, NotFound, OutOfRange
from kilnlib.physics import air
from kilnlib.physics.arrays import check_range, result, within
from kilnlib.physics.wood import is_softwood, joined_name, read_thickness, species_key

if TYPE_CHECKING:
    import pandas as pd  # slow to load, and a panel does without

WRITTEN = re.compile(r"\s*T\s*(\d{1,2})\s*[-–—−, ]?\s*([A-F])\s*(\d)\s*", re.I)
MODIFIED_FLOOR_F = 90.0  # what "modified" (a small m behind a code) means for the wet bulb: Wengert, retrieved


def _temperatures() -> dict[int, list[tuple[float, float]]]:
    """Temperature number to its steps: moisture content each starts at [%], dry bulb [°F]."""
    steps: dict[int, list[tuple[float, float]]] = {}
    for row in tables.records("schedule_temperature"):
        start = float(row["from_mc_pct"] or "inf")
        steps.setdefault(int(row["schedule"][1:]), []).append((start, float(row["dry_bulb_f"])))
    return steps


def _classes() -> dict[str, list[float]]:
    """Class letter to the moisture contents its steps start at [%]."""
    starts: dict[str, list[float]] = {}
    for row in tables.records("schedule_mc_class"):
        starts.setdefault(row["mc_class"], []).append(float(row["from_mc_pct"] or "inf"))
    return starts


def _depressions() -> dict[int, list[float]]:
    """Depression number to its depressions [°F], one a step."""
    depressions: dict[int, list[float]] = {}
    for row in tables.records("schedule_depression"):
        depressions.setdefault(int(row["schedule"]), []).append(float(row["depression_f"]))
    return depressions


TEMPERATURES, CLASSES, DEPRESSIONS = _temperatures(), _classes(), _depressions()


@dataclass(frozen=True)
class Code:
    """A schedule code in its three parts."""

    temperature: int
    mc_class: str
    depression: int

    def __str__(self) -> str:
        return f"T{self.temperature}-{self.mc_class}{self.depression}"


@dataclass(frozen=True)
class Recommendation:
    """A code for a species and thickness, who says so, and how sure the table is of it."""

    code: str
    species: str
    thickness: str
    confidence: str  # "high" or "medium"
    how: str
    source: str
    note: str = ""
    also: "tuple[Recommendation, ...]" = ()  # Recommendations of other sources


def understand(code: str | Code) -> Code:
    """A code taken apart.

    Parameters
    ----------
    code : schedule code as it is written, such as "T4-D2", "t4 d2" or "T4D2"; or a Code.

    Returns
    -------
    Code.

    Raises
    ------
    BadInput : something that is no code of a hardwood schedule.

    Source
    ------
    Three parts: Dry Kiln Operator's Manual AH-188 (1991) ch. 7, *from memory*; FPL-GTR-57 (1988) p. 9 prints T3-B2 and
    T3-B3, *retrieved*.

    Accuracy
    --------
    Exact.
    """
    parts = WRITTEN.fullmatch(str(code))
    if parts:
        temperature, mc_class, depression = int(parts[1]), parts[2].upper(), int(parts[3])
        if temperature in TEMPERATURES and depression in DEPRESSIONS:
            return Code(temperature, mc_class, depression)
    raise BadInput("schedule_code", text=str(code).strip()[:40])


def shift(code: str | Code, temperature: int = 0, depression: int = 0) -> str:
    """A code some numbers milder or harder.

    Parameters
    ----------
    code : schedule code, such as "T4-D2".
    temperature : temperature numbers to add; below 0 is cooler. Handbook practice is one number for a charge.
    depression : depression numbers to add; below 0 is moister. One number for a charge, and not both at once.

    Returns
    -------
    Code as text. The class letter belongs to the wood and stays.

    Raises
    ------
    BadInput : no code. OutOfRange : a number outside 1 to 14 or 1 to 8.

    Source
    ------
    Dry Kiln Operator's Manual AH-188 (1991) ch. 7, *from memory*.

    Accuracy
    --------
    Exact. What a number harder does to your wood, only its sample boards can say.
    """
    old = understand(code)
    moved = (old.temperature + temperature, old.depression + depression)
    for what, number, known in (("temperature", moved[0], TEMPERATURES), ("depression", moved[1], DEPRESSIONS)):
        if number not in known:
            low, high = min(known), max(known)
            fields = {"what": what, "number": f"{number:g}", "low": str(low), "high": str(high), "name": str(old)}
            raise OutOfRange("schedule_shift", what, number, low, high, **fields)
    return str(Code(int(moved[0]), old.mc_class, int(moved[1])))


def code_for(species: str, thickness: str) -> Recommendation:
    """The schedule recommended for a species and thickness.

    Parameters
    ----------
    species : name of the species, such as "red oak"; other names in common use are understood.
    thickness : thickness as `size.read_thickness` takes it, such as "4/4"; "3x3" for squares.

    Returns
    -------
    Recommendation.

    Raises
    ------
    NotFound : a species that is not in the tables; a softwood; a hardwood or a thickness the index does not have;
    stock that the index wants air dried first. BadInput : a thickness that is not written so.

    Source
    ------
    Dry Kiln Operator's Manual AH-188 (1991) ch. 7, index, *from memory*; yellow birch 12/4 and 3 x 3 in, and squares
    one depression number above lumber of that thickness: FPL-GTR-57 (1988) p. 9, *retrieved*.

    Accuracy
    --------
    See `confidence` and `how` of what comes back. The schedules were made for steam kilns.
    """
    key, index_name = species_key(species), joined_name(species, "schedule")
    if index_name is None:
        raise NotFound("schedule_softwood" if is_softwood(key) else "schedule_none", species=key)
    size = read_thickness(thickness)
    nominal = size.nominal
    rows = [row for row in tables.records("species_schedules") if row["species"] == index_name]
    listed = {row["thickness"]: row for row in rows if row["role"] == "listed"}
    if nominal in listed:
        row = listed[nominal]
        note, code = row["note"], row["code"]
    else:
        row, note, code = _from_lumber(key, size, listed)
    if not code:
        raise NotFound("schedule_air_dry", species=key, thickness=nominal)
    also = tuple(
        Recommendation(other["code"], key, nominal, other["confidence"], other["how"], other["source"], other["note"])
        for other in rows
        if other["role"] == "also" and other["thickness"] == nominal
    )
    return Recommendation(code, key, nominal, row["confidence"], row["how"], row["source"], note, also)


def thicknesses_for(name: str) -> tuple[str, ...]:
    """The thicknesses the index has a schedule for.

    Parameters
    ----------
    name : name of the species; other names in common use are understood.

    Returns
    -------
    Tuple of thicknesses, thinnest first; empty for a species without a schedule here.

    Raises
    ------
    NotFound : a species that is not in the tables.

    Source
    ------
    As `code_for`: *from memory*.

    Accuracy
    --------
    Exact.
    """
    index_name = joined_name(name, "schedule")
    rows = tables.records("species_schedules")
    return tuple(
        row["thickness"]
        for row in rows
        if index_name and row["species"] == index_name and row["code"] and row["role"] == "listed"
    )


def _from_lumber(key, size, listed):
    """Row, note and code for squares, made from the row for lumber of that thickness."""
    row = listed.get(f"{size.quarters}/4") if size.square else None
    if row is None or not row["code"]:
        names = ", ".join(thickness for thickness, other in listed.items() if other["code"])
        raise NotFound("schedule_no_thickness", species=key, thickness=size.nominal, names=names)
    class_part, depression = row["code"][:-1], int(row["code"][-1])
    note = f"squares: one depression number above {row['code']}, for lumber of that thickness (FPL-GTR-57 p. 9)"
    return row, note, f"{class_part}{min(depression + 1, 8)}"


@dataclass(frozen=True)
class ScheduleStep:
    """One step of a schedule: its settings as printed, held until the wood is down to `mc_above_pct`.

    `mc_below_pct` is where the step before it ended, None on the wettest.
    """

    mc_above_pct: float
    mc_below_pct: float | None
    dry_bulb_f: float
    depression_f: float
    as_dry_as_it_goes: bool  # there is no such air: set the kiln as dry as it will go

    @property
    def wet_bulb_f(self) -> float:
        """Wet bulb as the tables would have it, also where no such air exists."""
        return self.dry_bulb_f - self.depression_f


@dataclass(frozen=True)
class Setpoint:
    """What a schedule sets at a moisture content; arrays for an array of them."""

    code: str
    step: float | np.ndarray  # number from 1, the wettest
    steps: int
    mc_above_pct: float | np.ndarray
    dry_bulb_c: float | np.ndarray
    depression_c: float | np.ndarray  # a difference
    wet_bulb_c: float | np.ndarray
    as_dry_as_it_goes: bool | np.ndarray


def ladder(code: str | Code, wet_bulb_floor_f: float | None = None) -> tuple[ScheduleStep, ...]:
    """The steps of a schedule.

    Parameters
    ----------
    code : schedule code, such as "T4-D2".
    wet_bulb_floor_f : lowest wet bulb to set [°F]; 90 is the "modified" rule. None: no floor.

    Returns
    -------
    Tuple of ScheduleStep, wettest first, the last above 0 %. Where the floor is met the depression is smaller than the
    table's.

    Raises
    ------
    BadInput : no code. OutOfRange : a floor that would leave no depression at the first step.

    Source
    ------
    Dry Kiln Operator's Manual AH-188 (1991) ch. 7, three tables, *from memory*; floor: Wengert, Hardwood Lumber Kiln
    Schedules, *retrieved*.

    Accuracy
    --------
    As good as that memory, which two retrieved codes and the published settings for Oregon white oak bear out.
    """
    return _schedule_steps(understand(code), _floor(wet_bulb_floor_f))


def assemble(code: str | Code, wet_bulb_floor_f: float | None = None) -> "pd.DataFrame":
    """The steps of a schedule as a table.

    Parameters
    ----------
    code : schedule code, such as "T4-D2".
    wet_bulb_floor_f : lowest wet bulb to set [°F]; 90 is the "modified" rule. None: no floor.

    Returns
    -------
    DataFrame with mc_above_pct, dry_bulb_f, depression_f, wet_bulb_f and as_dry_as_it_goes, a row for each step.

    Raises
    ------
    As `ladder`.

    Source
    ------
    As `ladder`: *from memory*.

    Accuracy
    --------
    As `ladder`.
    """
    import pandas as pd

    names = ("mc_above_pct", "dry_bulb_f", "depression_f", "wet_bulb_f", "as_dry_as_it_goes")
    steps = ladder(code, wet_bulb_floor_f)
    return pd.DataFrame({name: [getattr(step, name) for step in steps] for name in names})


@overload
def step_at(steps: Sequence[ScheduleStep], mc_pct: float) -> int: ...
@overload
def step_at(steps: Sequence[ScheduleStep], mc_pct: np.ndarray) -> np.ndarray: ...
def step_at(steps: Sequence[ScheduleStep], mc_pct: float | np.ndarray) -> int | float | np.ndarray:
    """Which step of a schedule holds at a moisture content, counted from 0.

    Parameters
    ----------
    steps : sequence of ScheduleStep.
    mc_pct : moisture content that leads [%], 0 to 400, any array; on a change point the drier step counts.

    Returns
    -------
    Number of the step, NaN for NaN.

    Raises
    ------
    OutOfRange : a moisture content out of range.

    Source
    ------
    Dry Kiln Operator's Manual AH-188 (1991) ch. 7, *from memory*.

    Accuracy
    --------
    Exact.
    """
    mc = check_range("Moisture content", mc_pct, 0.0, 400.0, "percent")
    changes = -np.array([step.mc_above_pct for step in steps[:-1]])
    at = np.searchsorted(changes, -mc, side="right")
    at = np.where(np.isnan(mc), np.nan, at)
    return int(at) if np.ndim(at) == 0 and at == at else result(at)


def setpoint(code: str | Code, mc_pct: float | np.ndarray, wet_bulb_floor_f: float | None = None) -> Setpoint:
    """The settings of a schedule at a moisture content.

    Parameters
    ----------
    code : schedule code, such as "T4-D2".
    mc_pct : moisture content that leads [%]: the wettest half of the sample boards. Any array.
    wet_bulb_floor_f : lowest wet bulb to set [°F]; 90 is the "modified" rule. None: no floor.

    Returns
    -------
    Setpoint.

    Raises
    ------
    BadInput : no code. OutOfRange : a moisture content outside 0 to 400 %; a floor too high.

    Source
    ------
    As `ladder`: *from memory*. Which boards lead: Wengert and Bois, *retrieved*.

    Accuracy
    --------
    As `ladder`. The settings are those of the air entering the stack.
    """
    steps = ladder(code, wet_bulb_floor_f)
    at = step_at(steps, mc_pct)
    known = np.where(np.isnan(at), 0, at).astype(int)

    def column(name, blank=np.nan):
        values = np.array([getattr(step, name) for step in steps])[known]
        return np.where(np.isnan(at), blank, values)

    dry, depression = units.f_to_c(column("dry_bulb_f")), column("depression_f") / 1.8
    driest = column("as_dry_as_it_goes", False).astype(bool)
    return Setpoint(
        code=str(understand(code)),
        step=at + 1,
        steps=len(steps),
        mc_above_pct=result(column("mc_above_pct")),
        dry_bulb_c=result(dry),
        depression_c=result(depression),
        wet_bulb_c=result(dry - depression),
        as_dry_as_it_goes=bool(driest) if driest.ndim == 0 else driest,
    )


def no_such_air(dry_bulb_f: float, depression_f: float) -> bool:
    """Whether even bone-dry air has a smaller depression, at sea level.

    Parameters
    ----------
    dry_bulb_f : dry bulb [°F].
    depression_f : depression [°F].

    Returns
    -------
    True or False.

    Raises
    ------
    OutOfRange : a negative depression, a temperature out of range.

    Source
    ------
    `air.rh_pct`; *computed*.

    Accuracy
    --------
    That of `air.rh_pct`. High up a depression of 50 °F becomes possible at 110 °F; below that it never does.
    """
    try:
        air.rh_pct(units.f_to_c(dry_bulb_f), units.f_to_c(dry_bulb_f - depression_f))
    except OutOfRange as error:
        if error.code != "wet_too_low":
            raise
        return True
    return False


@functools.lru_cache(512)
def _schedule_steps(code: Code, floor_f: float | None) -> tuple[ScheduleStep, ...]:
    """The steps of a code; where a change point changes nothing, because of the floor or the tables, two become one."""
    starts = [start for start, _ in TEMPERATURES[code.temperature]] + CLASSES[code.mc_class]
    settings = []
    for mc in sorted({0.0, *(start for start in starts if start < np.inf)}, reverse=True):
        dry, depression = _dry_bulb(code, mc), _depression(code, mc)
        if floor_f is not None:
            depression = min(depression, dry - floor_f)
            if depression <= 0.0:
                fields = {"floor": (units.f_to_c(floor_f), "temperature"), "dry": (units.f_to_c(dry), "temperature")}
                raise OutOfRange("schedule_floor", "wet_bulb_floor_f", floor_f, None, dry, **fields)
        settings.append((mc, dry, depression))
    kept = [
        setting
        for setting, after in zip(settings, [*settings[1:], None], strict=True)
        if after is None or setting[1:] != after[1:]
    ]
    below = [None, *(mc for mc, _, _ in kept[:-1])]
    return tuple(
        ScheduleStep(mc, top, dry, depression, no_such_air(dry, depression))
        for top, (mc, dry, depression) in zip(below, kept, strict=True)
    )


def _floor(wet_bulb_floor_f: float | None) -> float | None:
    return None if wet_bulb_floor_f is None else within("The wet-bulb floor", wet_bulb_floor_f, 32.0, 212.0, "ratio")


def _dry_bulb(code: Code, mc_above_pct: float) -> float:
    """Dry bulb just above a moisture content."""
    return [dry for start, dry in TEMPERATURES[code.temperature] if start > mc_above_pct][-1]


def _depression(code: Code, mc_above_pct: float) -> float:
    """Depression just above a moisture content."""
    step = sum(start > mc_above_pct for start in CLASSES[code.mc_class])
    return DEPRESSIONS[code.depression][step - 1]
