"""Calculator names for the logs of lesson 14, in trade units: days, hours, gallons, kWh."""

from kilnlib.cases import trouble as case
from kilnlib.units import c_to_f, from_si


def first_wrong_day(number: float) -> int:
    """Day of the first wrong sign in a new log of the panel; 0 where nothing is wrong."""
    return case.log(f"new-{round(number)}").first_day or 0


def faulty(fault: str, reading: str) -> float:
    """A reading three days after a fault began in oak at 110 over 98 °F: a name of the log's lines, or "wood"."""
    line = case.third_morning(fault)
    if reading in ("bucket", "wood"):
        weight = line.bucket_kg if reading == "bucket" else line.load_loss_kg
        return from_si(weight * 1e-3, "volume")
    value = getattr(line, reading)
    return c_to_f(value) if reading.endswith("_c") else value
