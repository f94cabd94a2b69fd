"""One narrow opening that kiln air squeezes through: entrance, friction along the boards, exit.

The two boards of a sticker space are taken as wide flat plates, so the hydraulic diameter is twice the gap. Left out:
the sides of the stickers, the roughness of sawn faces, cracks between boards, and the extra loss while the flow still
settles behind the entrance. All of them make the real pressure higher, by how much is not known here; they touch every
course alike.
"""

import math

import numpy as np

from kilnlib.physics.air import DRY_BULB_C, STANDARD_PA, WATER_TO_AIR, humidity_ratio
from kilnlib.physics.arrays import check_range, positive, result
from kilnlib.tables import numbers

COEFFICIENTS = numbers("airflow_coefficients")

_LAMINAR = COEFFICIENTS["laminar_friction"]
_TURBULENT = COEFFICIENTS["turbulent_friction"]
_LAMINAR_END = COEFFICIENTS["laminar_end"]
_TURBULENT_START = COEFFICIENTS["turbulent_start"]
_AT_LAMINAR_END = _LAMINAR / _LAMINAR_END
_RISE = (_TURBULENT * _TURBULENT_START**-0.25 - _AT_LAMINAR_END) / (_TURBULENT_START - _LAMINAR_END)

SPEED_MS = (0.0, 30.0)


def air_density_kgm3(
    dry_bulb_c: float | np.ndarray, rh_pct: float | np.ndarray, pressure_pa: float = STANDARD_PA
) -> float | np.ndarray:
    """Weight of a volume of moist air.

    Parameters
    ----------
    dry_bulb_c : dry bulb [°C], 0 to 120.
    rh_pct : relative humidity [%], 0 to 100.
    pressure_pa : air pressure [Pa].

    Returns
    -------
    Density [kg/m³], water vapor included.

    Raises
    ------
    OutOfRange : humidity or temperature out of range; vapor pressure at or above air pressure.

    Source
    ------
    ASHRAE Fundamentals (2017) ch. 1, ideal-gas volume of moist air, gas constant of dry air 287.042 J/(kg·K);
    *from memory*.

    Accuracy
    --------
    Within 0.1 % of a real-gas property library from 20 to 60 °C, 0.4 % at 80 °C
    (tests/physics/airflow/test_channel.py).
    """
    water = humidity_ratio(dry_bulb_c, rh_pct, pressure_pa)
    kelvin = np.asarray(dry_bulb_c, dtype=float) + 273.15
    return result(np.asarray(pressure_pa) * (1.0 + water) / (287.042 * kelvin * (1.0 + water / WATER_TO_AIR)))


def air_viscosity_pas(dry_bulb_c: float | np.ndarray) -> float | np.ndarray:
    """How hard air is to shear: its dynamic viscosity.

    Parameters
    ----------
    dry_bulb_c : dry bulb [°C], 0 to 120.

    Returns
    -------
    Dynamic viscosity [Pa·s] of dry air.

    Raises
    ------
    OutOfRange : temperature out of range.

    Source
    ------
    Sutherland's law, 1.716e-5 Pa·s at 273.15 K and 110.4 K; *from memory*.

    Accuracy
    --------
    Within 1 % of a property library for dry air. Vapor makes the real value lower: by 2 % at 43 °C and 85 % relative
    humidity, 8 % in soaked air at 60 °C, more when hotter (tests/physics/airflow/test_channel.py).
    """
    kelvin = check_range("Dry bulb", dry_bulb_c, *DRY_BULB_C, "temperature") + 273.15
    return result(1.716e-5 * (kelvin / 273.15) ** 1.5 * (273.15 + 110.4) / (kelvin + 110.4))


def friction_factor(reynolds: float | np.ndarray) -> float | np.ndarray:
    """Darcy friction factor between two flat boards.

    Parameters
    ----------
    reynolds : Reynolds number on twice the gap [-], above 0 to 10,000,000.

    Returns
    -------
    Friction factor [-]: 96/Re to 2300, 0.316 Re^-1/4 from 4000, a straight line between.

    Raises
    ------
    OutOfRange : Reynolds number out of range.

    Source
    ------
    Plane Poiseuille flow, *computed*; Blasius law and both limits, *from memory* (tables/airflow_coefficients.csv).

    Accuracy
    --------
    Exact for wide smooth plates in laminar flow; within 3 % of the full smooth-wall law from 4000 to 100,000
    (tests/physics/airflow/test_channel.py). In between nature jumps about, and rough sawn faces turn turbulent earlier.
    """
    number = check_range("Reynolds number", positive("Reynolds number", reynolds, "3000"), 0.0, 1e7, "count")
    line = _AT_LAMINAR_END + _RISE * (number - _LAMINAR_END)
    turbulent = np.where(number >= _TURBULENT_START, _TURBULENT * number**-0.25, line)
    return result(np.where(number <= _LAMINAR_END, _LAMINAR / number, turbulent))


def course_losses(
    gap_m: float | np.ndarray, board_m: float | np.ndarray
) -> tuple[float | np.ndarray, float | np.ndarray]:
    """Entrance and exit loss of a sticker space, in speed pressures.

    Parameters
    ----------
    gap_m : sticker thickness [m], above 0.
    board_m : thickness of the boards [m], above 0.

    Returns
    -------
    Pair (entrance, exit) of loss coefficients [-] on the speed between the stickers.

    Raises
    ------
    OutOfRange : a thickness out of range.

    Source
    ------
    Idelchik, Handbook of Hydraulic Resistance, 0.5 (1 - s)^0.75 with s the open share, *from memory*; Borda and Carnot,
    (1 - s)², *computed*.

    Accuracy
    --------
    The entrance loss is 18 % below that of another textbook formula at an open share of 0.4; both end losses together
    are about a fifth of the whole over 8 ft (tests/physics/airflow/test_channel.py).
    """
    sticker = check_range("Sticker thickness", gap_m, 1e-4, 1.0, "thickness")
    board = check_range("Board thickness", board_m, 1e-4, 1.0, "thickness")
    wood = board / (sticker + board)
    entrance = COEFFICIENTS["course_entrance"] * wood ** COEFFICIENTS["course_entrance_power"]
    return result(entrance), result(COEFFICIENTS["course_exit"] * wood**2)


def askew_losses(lean: float | np.ndarray) -> tuple[float | np.ndarray, float | np.ndarray]:
    """How many times larger the losses of a way between two stickers become when they lean apart.

    Parameters
    ----------
    lean : how much wider than its mean the way is at one edge of the stack, and narrower at the other [-], 0 to 0.8.

    Returns
    -------
    Pair (entrance and exit, friction) of factors [-], at least 1.

    Raises
    ------
    OutOfRange : lean out of range.

    Source
    ------
    The same air through every width of the way, its speed pressure taken along it: mean of 1/width², and of that at
    both ends for ways that narrow and ways that widen; *computed*.

    Accuracy
    --------
    Exact for losses that go with speed squared, but for one mean loss for both sorts of way: the flow is within 1 % up
    to a lean of 0.4, within 3 % up to 0.55 (tests/physics/airflow/test_askew.py). Friction that goes with a lower power
    of speed grows less. What bent boards do is left out.
    """
    squared = check_range("How far stickers lean apart", lean, 0.0, 0.8, "ratio") ** 2
    return result((1.0 + squared) / (1.0 - squared) ** 2), result(1.0 / (1.0 - squared))


def channel_pressure_pa(
    speed_ms: float | np.ndarray,
    gap_m: float | np.ndarray,
    board_m: float | np.ndarray,
    length_m: float | np.ndarray,
    density_kgm3: float = 1.06,
    viscosity_pas: float = 1.95e-5,
) -> float | np.ndarray:
    """Pressure that drives air at a given speed through one sticker space.

    Parameters
    ----------
    speed_ms : air speed between the stickers [m/s], 0 to 30.
    gap_m : sticker thickness [m], above 0.
    board_m : thickness of the boards [m], above 0.
    length_m : way through the stack [m], 0 to 20.
    density_kgm3 : air density [kg/m³], 0.3 to 1.5.
    viscosity_pas : dynamic viscosity [Pa·s], 1e-5 to 3e-5.

    Returns
    -------
    Pressure from plenum to plenum [Pa].

    Raises
    ------
    OutOfRange : a number out of range.

    Source
    ------
    Darcy friction and end losses, `friction_factor` and `course_losses`; *computed*.

    Accuracy
    --------
    Arithmetic exact; as a forecast for a real stack see the head of this module.
    """
    speed = check_range("Air speed", speed_ms, *SPEED_MS, "air_speed")
    length = check_range("Way through the stack", length_m, 0.0, 20.0, "length")
    density, viscosity = _check_air(density_kgm3, viscosity_pas)
    diameter = 2.0 * np.asarray(gap_m, dtype=float)
    ends = sum(course_losses(gap_m, board_m))
    reynolds = np.where(speed == 0, 1.0, density * speed * diameter / viscosity)  # no loss without speed
    return result((ends + friction_factor(reynolds) * length / diameter) * 0.5 * density * speed**2)


def _check_air(density_kgm3, viscosity_pas):
    density = check_range("Air density in kg/m³", density_kgm3, 0.3, 1.5, "ratio")
    micro = check_range("Air viscosity in millionths of Pa·s", np.asarray(viscosity_pas) * 1e6, 10.0, 30.0, "ratio")
    return density, micro * 1e-6


class Slot:
    """An opening of the network, number by number: the speed that a pressure drives through it.

    `loss` is entrance plus exit in speed pressures. With a fixed `friction` factor all losses go with speed squared.
    """

    def __init__(
        self,
        area_m2: float,
        gap_m: float,
        length_m: float,
        loss: float,
        density_kgm3: float,
        viscosity_pas: float,
        friction: float | None = None,
    ):
        half, diameter = 0.5 * density_kgm3, 2.0 * gap_m
        rub = half * length_m / diameter
        self.area_m2 = area_m2
        self._square, self._linear = half * loss, 0.0
        self._laminar_pa = math.inf
        if friction is not None:
            self._square += friction * rub
            return
        unit = viscosity_pas / (density_kgm3 * diameter)  # speed at a Reynolds number of 1
        self._linear = _LAMINAR * rub * unit
        self._power = _TURBULENT * rub * unit**0.25
        self._cubic = _RISE * rub / unit
        self._level = self._square + (_AT_LAMINAR_END - _RISE * _LAMINAR_END) * rub
        self._from_ms, self._to_ms = _LAMINAR_END * unit, _TURBULENT_START * unit
        self._laminar_pa = (self._square * self._from_ms + self._linear) * self._from_ms
        self._turbulent_pa = (self._level + self._cubic * self._to_ms) * self._to_ms**2

    def speed_ms(self, pressure_pa: float) -> float:
        """Air speed in the opening under a pressure of at least 0."""
        if pressure_pa <= self._laminar_pa:
            root = math.sqrt(self._linear**2 + 4.0 * self._square * pressure_pa)
            return 2.0 * pressure_pa / (self._linear + root) if pressure_pa > 0 else 0.0
        if pressure_pa < self._turbulent_pa:
            return self._transition(pressure_pa)
        return self._swirling(pressure_pa)

    def _swirling(self, pressure_pa):
        """Newton steps on a curve that bends upward: from below once over the root, then down to it."""
        square, power = self._square, self._power
        speed = self._to_ms * math.sqrt(pressure_pa / self._turbulent_pa)
        for _ in range(50):
            rubbed = power * speed / math.sqrt(math.sqrt(speed))
            step = ((square * speed + rubbed) * speed - pressure_pa) / (2.0 * square * speed + 1.75 * rubbed)
            speed -= step
            if abs(step) <= 1e-9 * speed:  # the next step would change nothing that a float can hold
                break
        return speed

    def _transition(self, pressure_pa):
        low, high = math.sqrt(self._laminar_pa), math.sqrt(self._turbulent_pa)
        share = (math.sqrt(pressure_pa) - low) / (high - low)
        speed = self._from_ms + share * (self._to_ms - self._from_ms)
        for _ in range(50):
            speed = min(max(speed, self._from_ms), self._to_ms)
            over = (self._level + self._cubic * speed) * speed**2 - pressure_pa
            step = over / ((2.0 * self._level + 3.0 * self._cubic * speed) * speed)
            speed -= step
            if abs(step) <= 1e-9 * speed:
                break
        return speed
