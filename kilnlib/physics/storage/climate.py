"""The air outdoors by place and month, and the moisture content that wood under a roof comes to in it.

Two sources stand side by side: a table of 49 places recalled from the handbook, and for four places the published
monthly means of temperature and humidity, from which it is computed.
"""

import math
from dataclasses import dataclass

from kilnlib import tables
from kilnlib.errors import NotFound
from kilnlib.physics.air import emc_pct
from kilnlib.physics.air.emc import TEMPERATURE_C
from kilnlib.units import f_to_c

MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


@dataclass(frozen=True)
class Month:
    """Published means of a month, NaN where none was seen: the whole day, and the coolest hour."""

    mean_c: float
    rh_pct: float
    coolest_c: float
    coolest_rh_pct: float


def places(measured: bool = False) -> list[str]:
    """Names of the places; `measured`: only those whose monthly means are known."""
    rows = tables.records("city_means" if measured else "city_emc")
    return list(dict.fromkeys(row["place"] for row in rows))


def outdoor_emc_pct(place: str, month: str) -> float:
    """Moisture content that wood under a roof outdoors comes to, by place and month, as recalled from the handbook.

    Parameters
    ----------
    place : one of `places`, such as "Chicago, IL".
    month : "Jan" to "Dec".

    Returns
    -------
    EMC [%].

    Raises
    ------
    NotFound : a place or month that the table does not hold.

    Source
    ------
    Wood Handbook Table 13-1 and FPL-RN-0268 (1998), *from memory* (tables/city_emc.csv).

    Accuracy
    --------
    About 1 point: beside `means_emc_pct` the four places differ by 0.4 to 1.0 point (root mean square), and one
    month, Fresno in February, by 2.7.
    """
    return float(_row("city_emc", place, month)[month])


def monthly_means(place: str, month: str) -> Month:
    """Published mean air of a month.

    Parameters
    ----------
    place : one of `places(measured=True)`.
    month : "Jan" to "Dec".

    Returns
    -------
    Month [°C, %], NaN where a mean was not seen.

    Raises
    ------
    NotFound : a place or month that the table does not hold.

    Source
    ------
    NREL TMY2 statistics files, typical years of 1961 to 1990; *retrieved* (tables/city_means.csv).

    Accuracy
    --------
    Means as printed. One year's month is often 5 °F and 5 points of RH off (from memory).
    """
    row = _row("city_means", place, month)
    mean, rh, coolest, coolest_rh = (
        float(row[name] or math.nan) for name in ("mean_f", "rh_pct", "coolest_f", "coolest_rh_pct")
    )
    return Month(f_to_c(mean), rh, f_to_c(coolest), coolest_rh)


def means_emc_pct(place: str, month: str) -> float:
    """EMC of the two published means of a month.

    Parameters
    ----------
    place : one of `places(measured=True)`.
    month : "Jan" to "Dec".

    Returns
    -------
    EMC [%], NaN where a mean is missing.

    Raises
    ------
    NotFound : a place or month that the table does not hold.

    Source
    ------
    Wood Handbook eq. 4-5 on `monthly_means`; *computed*. Air below 30 °F counts as 30 °F, where its table begins.

    Accuracy
    --------
    A mean of hourly EMC would come out some tenths higher. Wood follows the weather by weeks.
    """
    month_air = monthly_means(place, month)
    if math.isnan(month_air.mean_c) or math.isnan(month_air.rh_pct):
        return math.nan
    return float(emc_pct(max(month_air.mean_c, TEMPERATURE_C[0]), month_air.rh_pct))


def _row(table, place, month):
    """The row of a place, and of a month where the table has one a month."""
    rows = [row for row in tables.records(table) if row["place"] == place and row.get("month", month) == month]
    if not rows or month not in MONTHS:
        known = [row["place"] for row in tables.records(table)]
        raise NotFound("unknown_place", place=place, month=month, names="; ".join(dict.fromkeys(known)))
    return rows[0]
