"""Meters and the balance: when to believe what they show."""

from dataclasses import dataclass

import numpy as np

from kilnlib import tables
from kilnlib.errors import OutOfRange
from kilnlib.physics.arrays import AsGiven, Values, check_range, first_where, positive, result

REFERENCE_C = (70.0 - 32.0) / 1.8
POINTS_PER_C = 0.5 / 10.0 * 1.8  # half a point for each 10 °F
WOOD_C = ((0.0 - 32.0) / 1.8, (200.0 - 32.0) / 1.8)


@dataclass(frozen=True)
class MeterRange:
    """Where one source believes a kind of meter [% MC]."""

    low_pct: float
    high_pct: float
    note: str
    source: str
    how: str

    def believes(self, reading_pct: float) -> bool:
        """Whether this source believes a reading; the ends count as inside."""
        return self.low_pct <= reading_pct <= self.high_pct


def meter_corrected_pct(reading_pct: Values, wood_c: Values) -> AsGiven:
    """Reading of a pin meter set for 70 °F, corrected for the temperature of the wood.

    Parameters
    ----------
    reading_pct : what the meter shows [%], 0 to 100.
    wood_c : temperature of the wood, not of the air [°C], -17.8 to 93.3 (0 to 200 °F).

    Returns
    -------
    Moisture content [%]: cold wood is wetter than it reads, hot wood is drier.

    Raises
    ------
    OutOfRange : reading or temperature out of range; wood so hot and dry that the rule would go below zero.

    Source
    ------
    Half a point for each 10 °F from 70 °F: Wood Handbook, FPL-GTR-190 (2010) p. 13-2; the same as 1 point for each
    20 °F in Univ. of Kentucky FOR-128 p. 31; both *retrieved*.

    Accuracy
    --------
    A rule for readings of 7 to 20 % (from memory); FOR-128 says "up to", so it may correct too much. The species
    correction of 1 to 2 points comes on top. Some meters correct for temperature themselves: then do not do it twice.
    """
    reading = check_range("The meter reading", reading_pct, 0.0, 100.0, "percent")
    wood = check_range("The wood's temperature", wood_c, *WOOD_C, "temperature")
    corrected = reading + (REFERENCE_C - wood) * POINTS_PER_C
    below = corrected < 0
    if np.any(below):
        reading_low, hot = first_where(below, reading, wood)
        fields = {"reading": (reading_low, "percent"), "wood": (hot, "temperature")}
        raise OutOfRange("meter_below_zero", "reading_pct", reading_low, 0.0, None, **fields)
    return result(corrected)


def meter_ranges(meter: str = "resistance") -> tuple[MeterRange, ...]:
    """Where a kind of meter may be believed, one row for each source, because the sources differ.

    Parameters
    ----------
    meter : "resistance" (two pins) or "dielectric" (a plate, no pins).

    Returns
    -------
    Tuple of MeterRange [% MC].

    Raises
    ------
    OutOfRange : another kind of meter.

    Source
    ------
    Univ. of Kentucky FOR-128 p. 31 (7 to 28 %); Wood Handbook, FPL-GTR-190 (2010) p. 13-2 (6 to 30 %, dielectric 4 to
    30 %); *retrieved*.

    Accuracy
    --------
    Outside a range the reading is only a hint; weigh sample boards instead.
    """
    rows = [row for row in tables.records("meter_ranges") if row["meter"] == meter]
    if not rows:
        known = dict.fromkeys(row["meter"] for row in tables.records("meter_ranges"))
        raise OutOfRange("one_of", "meter", meter, what="The meter", text=meter, names=" or ".join(known))
    return tuple(
        MeterRange(float(row["low_pct"]), float(row["high_pct"]), row["note"], row["source"], row["how"])
        for row in rows
    )


def scale_error(together: Values, parts: Values) -> AsGiven:
    """What a balance is out by: blocks weighed together against the same blocks weighed one by one.

    Parameters
    ----------
    together : weight of all blocks at once [any unit], above 0.
    parts : weights of the single blocks [the same unit], above 0.

    Returns
    -------
    Together less the sum of the parts [the same unit]; 0 for a good balance.

    Raises
    ------
    OutOfRange : a weight of zero or less.

    Source
    ------
    Wengert, column Different MC readings; *retrieved*.

    Accuracy
    --------
    Finds a balance that is not straight over its range. One that is wrong by the same share everywhere passes: check
    it with a known weight.
    """
    return result(positive("The weight together", together) - np.sum(positive("A part", parts)))
