"""Schedule codes: what one says, how to move it a number milder, and which one the handbook recommends for a wood.

A code has three parts: temperature number (1 to 14), class of the wood's green moisture content (A to F), depression
number (1 to 8). Each part names a column of steps in a table; the tables are from memory.

"Red oak" is upland red oak, T4-D2, as in the index (from memory). Another source prints T3-D2 for red oak in general
(retrieved): the two differ in the last step alone, 180 against 160 °F. It stands beside the recommendation as `also`,
so that both are seen; the index leads because it alone has every thickness.
"""

import re
from dataclasses import dataclass

from kilnlib import tables, units
from kilnlib.errors import BadInput, NotFound, OutOfRange
from kilnlib.physics import air
from kilnlib.physics.wood import is_softwood, joined_name, read_thickness, species_key

WRITTEN = re.compile(r"\s*T\s*(\d{1,2})\s*[-–—−, ]?\s*([A-F])\s*(\d)\s*", re.I)


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
