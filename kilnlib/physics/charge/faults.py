"""What can go wrong, as data: what each fault changes, how it shows, what finds it and what mends it.

The rows stand in tables/faults.csv and tables/fault_acts.csv. `Effects` is what the engine knows of a fault; the tests
an operator makes (`examine`) read the same effects, never the name of the fault.

A new row in faults.csv needs its words ("trouble.fault.…" in `words`) and changes which fault each number draws, of the
new logs and of the charges that are run. Which faults look like it, and in which wood it shows, stand in
`cases.trouble`. A new test or mend needs a row in fault_acts.csv and words of its own; a test also what it sees, in
`examine`.
"""

import functools
from dataclasses import dataclass, replace

from kilnlib.errors import NotFound
from kilnlib.tables import records

DANGERS = ("too_fast", "too_slow", "uneven", "costly")
THAWS = "thaw_the_coil"  # the mend that takes the ice off the coil, whatever let it freeze there


@dataclass(frozen=True)
class Effects:
    """What is wrong with kiln or wood; the default is nothing. `None` for a part that the control still switches."""

    wick: float = 1.0  # share of the true depression that the wet bulb shows
    dry_offset_k: float = 0.0  # what a sensor reads too high
    wet_offset_k: float = 0.0
    swapped: float = 0.0
    coil_air: float = 1.0  # share of the air that still gets through the cold coil
    drained_back: float = 0.0  # share of the caught water that goes back into the air
    fan_speed: float = 1.0
    third_speed: float = 1.0  # of the air in one third of the length
    baffles: float = 1.0  # share of the baffles that stand
    leak_cfm: float = 0.0
    compressor: float | None = None  # held by a fault: 0 never, 1 always
    strips: float | None = None
    vent: float | None = None
    pockets: float = 0.0  # share of the boards
    thick: float = 0.0


@dataclass(frozen=True)
class Fault:
    """One row of tables/faults.csv."""

    code: str
    name: str
    effects: Effects
    shows: str
    found_by: tuple[str, ...]  # tests that tell it, any of them
    mended_by: str
    danger: str  # one of DANGERS
    source: str
    how: str


@dataclass(frozen=True)
class Act:
    """One thing an operator can do beside the dials: a test or a mend; one row of tables/fault_acts.csv."""

    code: str
    kind: str  # "test" or "mend"
    minutes: float
    inside: bool  # whether it means going into the kiln
    what: str


@functools.cache
def faults() -> tuple[Fault, ...]:
    """Every fault that a charge can have, in the order of the table."""
    return tuple(
        Fault(
            row["code"],
            row["name"],
            Effects(**{name: float(value) for name, value in (pair.split("=") for pair in row["changes"].split())}),
            row["shows"],
            tuple(row["found_by"].split()),
            row["mended_by"],
            row["danger"],
            row["source"],
            row["how"],
        )
        for row in records("faults")
    )


@functools.cache
def acts() -> dict[str, Act]:
    """Every test and mend by its code."""
    return {
        row["code"]: Act(row["code"], row["kind"], float(row["minutes"]), row["inside"] == "yes", row["what"])
        for row in records("fault_acts")
    }


def fault_of(code: str) -> Fault:
    """The fault of that code; raises NotFound with the codes there are."""
    return _of(code, {fault.code: fault for fault in faults()})


def act_of(code: str) -> Act:
    """The test or mend of that code; raises NotFound with the codes there are."""
    return _of(code, acts())


def _of(code, known):
    if code not in known:
        raise NotFound("no_such_name", name=code, names=", ".join(known))
    return known[code]


def wood_only(effects: Effects) -> Effects:
    """The part of the effects that lies in the wood, and is there from the first day to the last."""
    return replace(Effects(), pockets=effects.pockets, thick=effects.thick)
