"""Published numbers that only the tests use (tests/data), the calls that recompute them, and a real-gas library."""

import csv
from pathlib import Path

import numpy as np
import pytest

from kilnlib import units
from kilnlib.errors import OutOfRange
from kilnlib.physics import air, schedules
from kilnlib.physics.air import emc
from kilnlib.questions.calls import airflow

DATA = Path(__file__).parent / "data"
NAMES = {
    "air": air,
    "emc": emc,
    "schedules": schedules,
    "units": units,
    "f": units.f_to_c,
    "c": units.c_to_f,
    "PSI": 6894.757293168,
    "speed_gain": airflow.speed_gain,
}


def rows(name):
    """A file of tests/data as dictionaries of text."""
    with (DATA / f"{name}.csv").open(encoding="utf-8", newline="") as stream:
        return list(csv.DictReader(stream))


def evaluate(call):
    """Our number for the `call` of a row: SI, over the names above."""
    return float(eval(call, {"__builtins__": {}}, NAMES))


def moist_air(*what):
    """CoolProp's HAPropsSI. Loaded on the first call, since that takes two seconds and few tests need it."""
    from CoolProp.HumidAirProp import HAPropsSI

    return HAPropsSI(*what)


def kiln_grid(altitudes_ft=(0, 2500, 5000, 7500, 10000), step_f=5, humidities=(5, 10, 20, 40, 60, 80, 90, 95, 99)):
    """Dry bulb [°C], RH [%] and pressure [Pa] over the kiln range, 75 to 200 °F, leaving out what boils."""
    dry, rh, feet = np.meshgrid(
        np.arange(75.0, 201.0, step_f), np.array(humidities, float), np.array(altitudes_ft, float)
    )
    dry, rh, pressure = units.f_to_c(dry.ravel()), rh.ravel(), air.pressure_pa(feet.ravel() * units.FT_M)
    exists = rh / 100 * air.saturation_pressure_pa(dry) < 0.95 * pressure
    return dry[exists], rh[exists], pressure[exists]


def says(function, *arguments):
    """The sentence of a refusal: ends as one, in trade units alone, metric alone, or both."""
    with pytest.raises(OutOfRange) as caught:
        function(*arguments)
    error = caught.value
    assert str(error).endswith(".")
    assert error.sentence("trade").endswith(".") and "°C" not in error.sentence("trade")
    assert "°F" not in error.sentence("metric")
    return error
