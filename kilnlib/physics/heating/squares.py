"""Printed heating times of ponderosa pine squares, by the rule that runs through the table they are printed in.

Small squares take longer in print than conduction says (`minutes_to_core`), so for these a plan goes by the print.
"""

from dataclasses import dataclass

from kilnlib.physics.arrays import within
from kilnlib.physics.heating.material import COEFFICIENTS
from kilnlib.units import IN_M, c_to_f, f_to_c

SIDE_M = (4.0 * IN_M, 10.0 * IN_M)
START_C = (f_to_c(40.0), f_to_c(60.0))
DEPRESSION_K = (2.0 / 1.8, 12.0 / 1.8)


@dataclass(frozen=True)
class Printed:
    """Minutes to a core of 133 °F in print: the mean, and what 99 squares in 100 stay under."""

    mean_min: float
    slowest_min: float


def pine_square_minutes(side_m: float, start_c: float, depression_k: float) -> Printed:
    """What is printed for the core of a green ponderosa pine square to come to 133 °F in air of 160 °F.

    Parameters
    ----------
    side_m : side of the square [m], 0.1016 to 0.254, which is 4 to 10 in.
    start_c : wood at the start [°C], 40 to 60 °F.
    depression_k : dry bulb less wet bulb [K], 2 to 12 °F.

    Returns
    -------
    Printed [min].

    Raises
    ------
    OutOfRange : a number outside the table. In steam the rule would give no time at all.

    Source
    ------
    Wood Handbook, FPL-GTR-190 (2010) Table 20-8, *retrieved*. It is a regression: minutes are a product of powers of
    side, start and depression in °F. The powers were set here by its rows of 4 x 4 and 10 x 10 in (tables/heating.csv).

    Accuracy
    --------
    Within 1 % of the 22 rows of 6 x 6 and 8 x 8 in, which did not set it (tests/physics/heating/test_squares.py). The
    slowest is the printed bound or up to a twentieth more. It is the print over again and no check of conduction.
    """
    side = within("The side", side_m, *SIDE_M, "thickness") / IN_M
    start = c_to_f(within("Wood", start_c, *START_C, "temperature"))
    depression = 1.8 * within("Depression", depression_k, *DEPRESSION_K, "temperature_difference")
    mean = (
        COEFFICIENTS["square_minutes"]
        * side ** COEFFICIENTS["square_size_power"]
        * start ** COEFFICIENTS["square_start_power"]
        * depression ** COEFFICIENTS["square_depression_power"]
    )
    return Printed(mean, COEFFICIENTS["square_slowest"] * mean)
