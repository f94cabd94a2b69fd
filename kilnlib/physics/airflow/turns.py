"""What a course comes to whose fans turn round, read off a table, for pictures: `turning` itself takes too long."""

import functools
from dataclasses import dataclass

from kilnlib import tables


@dataclass(frozen=True)
class Turn:
    """A row of the table: how a course of a wood comes out whose fans turn every `turn_h`, or never (None).

    `days` to `end_pct`; `zone_mc_pct` from the edge where the air goes in first, when the course averages 30 %.

    Source
    ------
    Result of `turns`; *computed*.
    """

    wood: str
    air_speed_fpm: float
    turn_h: float | None
    end_pct: float
    days: float
    zone_mc_pct: tuple[float, ...]

    @property
    def apart_pct(self) -> float:
        """Points between the wettest and the driest zone."""
        return max(self.zone_mc_pct) - min(self.zone_mc_pct)


@functools.cache
def turns() -> dict[tuple[str, int, int], Turn]:
    """Rows of the table by wood, air speed [fpm] and turn [h]; 0 where the fans always blow one way.

    Returns
    -------
    Dictionary of Turn.

    Raises
    ------
    Nothing.

    Source
    ------
    tables/turning.csv, written by `turning`; *computed*.

    Accuracy
    --------
    As `turning.dry_turning_course` (tests/physics/airflow/test_turning.py works a row out anew).
    """
    made = {}
    for row in tables.records("turning"):
        turn, zones = row["turn_h"], tuple(float(value) for name, value in row.items() if name.startswith("zone_"))
        key = row["wood"], int(row["air_speed_fpm"]), int(turn or 0)
        made[key] = Turn(
            key[0], key[1], float(turn) if turn else None, float(row["end_pct"]), float(row["days"]), zones
        )
    return made
