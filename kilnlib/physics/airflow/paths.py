"""What kiln air meets: the stack with its plenums, the gaps beside it with their baffles, and the fans."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from kilnlib.errors import OutOfRange
from kilnlib.physics.arrays import check_range, result, whole, within
from kilnlib.physics.wood import ROUGH_4_4_M
from kilnlib.tables import numbers
from kilnlib.units import FT_M, IN_M

RATED_KGM3 = numbers("airflow_coefficients")["rated_density"]  # of the air a fan's plate speaks of
SHUT_M = 1e-5
MOST_ASKEW = 0.8  # of the clear way between two stickers
TIGHTEST = 10.0  # sticker openings over plenum width, beyond which the plenum model means nothing


@dataclass(frozen=True)
class Stack:
    """The lumber and the plenums beside it; the default is the stack at Tamarack Ford, an invented mill.

    Parameters
    ----------
    courses : layers of boards [-], 0 (no stack) to 200; each counts one sticker space.
    length_m : along the boards [m], 0.5 to 40.
    width_m : the way the air goes through [m], 0.3 to 15.
    sticker_thickness_m : [m], 0.003 to 0.1; one number, or one for each course from the bottom up.
    board_thickness_m : [m], 0.005 to 0.31.
    sticker_width_m, sticker_spacing_m : of the stickers, center to center [m]; 0.005 to 0.2, 0.1 to 3.
    plenum_width_m : clear space on each side of the stack [m], 0.05 to 10.
    sticker_askew_m : how far out of line a sticker is at one edge of the stack from where it is at the other [m], 0 to
        0.8 of the clear way between two; neighbors lean to opposite sides, which is the worst.

    Raises
    ------
    OutOfRange : a number out of range or not finite; stickers that fill their own spacing; a wrong count of them; all
        sticker spaces together more than ten times as wide as the plenum.

    Source
    ------
    Default sizes are invented. Stickers 3/4 in thick, 1-1/4 in wide and 16 in apart: common practice, *from memory*.

    Accuracy
    --------
    A course laid edge to edge; boards that leave cracks between them are not told apart. Boards stay flat: how the
    weight above bends them over stickers that are out of line, and what that does to the air, is not computed.
    """

    courses: int = 42
    length_m: float = 12 * FT_M
    width_m: float = 8 * FT_M
    sticker_thickness_m: float | tuple[float, ...] = 0.75 * IN_M
    board_thickness_m: float = ROUGH_4_4_M
    sticker_width_m: float = 1.25 * IN_M
    sticker_spacing_m: float = 16 * IN_M
    plenum_width_m: float = 36 * IN_M
    sticker_askew_m: float = 0.0

    def __post_init__(self):
        whole("The count of courses", self.courses, 0, 200)
        within("Stack length", self.length_m, 0.5, 40.0, "length")
        within("Stack width", self.width_m, 0.3, 15.0, "length")
        within("Board thickness", self.board_thickness_m, 0.005, 0.31, "thickness")
        within("Sticker width", self.sticker_width_m, 0.005, 0.2, "thickness")
        within("Sticker spacing", self.sticker_spacing_m, 0.1, 3.0, "thickness")
        within("Plenum width", self.plenum_width_m, 0.05, 10.0, "length")
        for sticker in self._given:
            within("Sticker thickness", sticker, 0.003, 0.1, "thickness")
        if self.sticker_width_m >= self.sticker_spacing_m:
            width, spacing = self.sticker_width_m, self.sticker_spacing_m
            fields = {"width": (width, "thickness"), "spacing": (spacing, "thickness")}
            raise OutOfRange("stickers_too_close", "sticker_width_m", width, None, spacing, **fields)
        most = MOST_ASKEW * (self.sticker_spacing_m - self.sticker_width_m)
        within("How far a sticker is out of line", self.sticker_askew_m, 0.0, most, "thickness")
        if isinstance(self.sticker_thickness_m, tuple) and len(self._given) != self.courses:
            fields = {"given": f"{len(self._given)}", "courses": f"{self.courses}"}
            raise OutOfRange("stickers_listed", "sticker_thickness_m", len(self._given), **fields)
        if self.total_opening_m > TIGHTEST * self.plenum_width_m:
            plenum, opening = self.plenum_width_m, self.total_opening_m
            fields = {"plenum": (plenum, "length"), "opening": (opening, "length")}
            raise OutOfRange("plenum_too_tight", "plenum_width_m", plenum, opening / TIGHTEST, None, **fields)

    @property
    def _given(self):
        given = self.sticker_thickness_m
        return given if isinstance(given, tuple) else (given,)

    @cached_property
    def stickers_m(self) -> tuple[float, ...]:
        """Sticker thickness of every course, from the bottom up."""
        return self._given if isinstance(self.sticker_thickness_m, tuple) else self._given * int(self.courses)

    @property
    def total_opening_m(self) -> float:
        """All sticker spaces added up over the height: what the plenum should be at least as wide as."""
        return sum(self.stickers_m)

    @property
    def height_m(self) -> float:
        """From the first board to the top of the last sticker space."""
        return self.total_opening_m + self.courses * self.board_thickness_m

    @property
    def open_length_m(self) -> float:
        """Length less the width of the stickers."""
        return self.length_m * (1.0 - self.sticker_width_m / self.sticker_spacing_m)

    @property
    def lean(self) -> float:
        """How much wider than its mean a way between stickers is at one edge, and narrower at the other."""
        return self.sticker_askew_m / (self.sticker_spacing_m - self.sticker_width_m)

    @property
    def open_area_m2(self) -> float:
        """Area between the stickers that air can pass through."""
        return self.total_opening_m * self.open_length_m


@dataclass(frozen=True)
class Gaps:
    """The ways round the wood, and how far a baffle closes each; by default Tamarack Ford, well baffled.

    A gap under a hundredth of a millimeter counts as shut.

    Parameters
    ----------
    above_m : from the top of the stack to the deck [m], 0 to 5; a course that is missing on top adds to it.
    under_m : open bolster space under the stack and between packs, added up [m], 0 to 2.
    end_m : from each end of the stack to the wall [m], 0 to 3.
    short_courses : courses shorter than the stack, or with boards missing at an end [-].
    short_m : how much of the length each of those lacks [m].
    lane_m, lane_height_m : width and height of a lane straight through the load [m], 0 to 3 and 0 to 30: between two
        packs end to end, or a hole where boards are missing from edge to edge. Nothing covers it.
    above_baffle_pct, under_baffle_pct, end_baffle_pct, short_baffle_pct : share of each way that is covered [%].
    leak_pct : share of a covered area that lets air past all the same [%], 0 to 100.

    Raises
    ------
    OutOfRange : a number out of range or not finite.

    Source
    ------
    Default sizes and the leak of 5 % are invented.

    Accuracy
    --------
    Gaps are measured; how much a baffle leaks is a guess until someone feels along it.
    """

    above_m: float = 12 * IN_M
    under_m: float = 7 * IN_M
    end_m: float = 6 * IN_M
    short_courses: int = 0
    short_m: float = 0.0
    above_baffle_pct: float = 100.0
    under_baffle_pct: float = 100.0
    end_baffle_pct: float = 100.0
    short_baffle_pct: float = 0.0
    leak_pct: float = 5.0
    lane_m: float = 0.0
    lane_height_m: float = 0.0

    def __post_init__(self):
        within("The gap above the stack", self.above_m, 0.0, 5.0, "length")
        within("The gap under the stack", self.under_m, 0.0, 2.0, "length")
        within("The gap at each end", self.end_m, 0.0, 3.0, "length")
        within("The missing length of a course", self.short_m, 0.0, 40.0, "length")
        within("The width of the lane", self.lane_m, 0.0, 3.0, "length")
        within("The height of the lane", self.lane_height_m, 0.0, 30.0, "length")
        whole("The count of short courses", self.short_courses, 0, 200)
        for where in ("above", "under", "end", "short"):
            within(f"Baffle cover ({where})", getattr(self, f"{where}_baffle_pct"), 0.0, 100.0, "percent")
        within("The leak of a baffle", self.leak_pct, 0.0, 100.0, "percent")

    def open_share(self, where: str) -> float:
        """Part of a way ("above", "under", "end", "short") that stays open, 0 to 1."""
        return 1.0 - 0.01 * getattr(self, f"{where}_baffle_pct") * (1.0 - 0.01 * self.leak_pct)


@dataclass(frozen=True)
class Fan:
    """The fans side by side, with a curve that falls as the flow grows: pressure = shutoff x (1 - (flow/free flow)²).

    Parameters
    ----------
    count : fans [-], 1 to 100.
    shutoff_pa : static pressure of a fan that moves no air [Pa], 1 to 5000, at full speed in air of 1.2 kg/m³; what
        coils and the fan wall take is counted as lost already.
    free_flow_m3s : flow of one fan against no pressure [m³/s], 0.05 to 100, at full speed.
    speed_pct : fan speed [%] of full speed, 5 to 150.
    efficiency_pct : air power over shaft power [%], 1 to 100, taken as the same all along the curve.

    Raises
    ------
    OutOfRange : a number out of range or not finite.

    Source
    ------
    A square-law curve and the fan (affinity) laws, *from memory*. The default is invented: it gives the default stack
    and gaps about 300 fpm. Efficiency 30 %, small propeller fans, *from memory*.

    Accuracy
    --------
    A real curve comes from the fan's maker, and may sag in the middle.
    """

    count: int = 3
    shutoff_pa: float = 20.0
    free_flow_m3s: float = 1.9
    speed_pct: float = 100.0
    efficiency_pct: float = 30.0

    def __post_init__(self):
        whole("The count of fans", self.count, 1, 100)
        within("Shutoff pressure", self.shutoff_pa, 1.0, 5000.0, "fan_pressure")
        within("Free flow of a fan", self.free_flow_m3s, 0.05, 100.0, "air_flow")
        within("Fan speed", self.speed_pct, 5.0, 150.0, "percent")
        within("Fan efficiency", self.efficiency_pct, 1.0, 100.0, "percent")

    def curve(self, density_kgm3: float | np.ndarray) -> Callable[[float | np.ndarray], float | np.ndarray]:
        """Pressure [Pa] of all fans together as a function of their total flow [m³/s], unchecked."""
        shutoff = self.shutoff_pa * density_kgm3 / RATED_KGM3
        free, speed = self.count * self.free_flow_m3s, 0.01 * self.speed_pct
        return lambda flow: shutoff * (speed**2 - (flow / free) ** 2)


def fan_pressure_pa(fan: Fan, flow_m3s: float | np.ndarray, density_kgm3: float = RATED_KGM3) -> float | np.ndarray:
    """Static pressure that all fans together make at a flow.

    Parameters
    ----------
    fan : Fan.
    flow_m3s : total flow [m³/s], 0 to 10,000.
    density_kgm3 : air density [kg/m³], 0.3 to 1.5.

    Returns
    -------
    Pressure [Pa]; below 0 where the flow is more than the fans can free.

    Raises
    ------
    OutOfRange : flow or density out of range.

    Source
    ------
    Fan (affinity) laws: flow with speed, pressure with speed squared and with density, power with speed cubed;
    *from memory*.

    Accuracy
    --------
    Exact for the curve given.
    """
    flow = check_range("Air flow", flow_m3s, 0.0, 10_000.0, "air_flow")
    density = check_range("Air density in kg/m³", density_kgm3, 0.3, 1.5, "ratio")
    return result(fan.curve(density)(flow))
