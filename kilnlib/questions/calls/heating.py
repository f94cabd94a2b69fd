"""Calculator names for heat to the core, in trade units: inches, °F, minutes."""

import math

from kilnlib.cases import core
from kilnlib.physics import heating
from kilnlib.physics.wood import species as wood_row
from kilnlib.units import IN_M, c_to_f, f_to_c


def heat_minutes(
    thick_in: float, wide_in: float, start_f: float, surface_f: float, target_f: float = 133, species: str = "red oak"
) -> float:
    """Minutes until the core of a green piece reads a temperature, its faces hot at once."""
    row = wood_row(species)
    piece = heating.Piece(thick_in * IN_M, wide_in * IN_M, row.specific_gravity, row.green_average_pct)
    return heating.minutes_to_core(piece, f_to_c(target_f), f_to_c(start_f), f_to_c(surface_f))


def pine_square(side_in: float, start_f: float, depression_f: float) -> float:
    """Printed minutes until the core of a green pine square is at 133 °F in air of 160 °F."""
    return heating.pine_square_minutes(side_in * IN_M, f_to_c(start_f), depression_f / 1.8).mean_min


def pine_square_slowest(side_in: float, start_f: float, depression_f: float) -> float:
    """The same for the slowest of a hundred."""
    return heating.pine_square_minutes(side_in * IN_M, f_to_c(start_f), depression_f / 1.8).slowest_min


def heat_diffusivity(specific_gravity: float, mc: float) -> float:
    """How fast heat works its way into wood, in ten-thousandths of a square inch a second."""
    return float(heating.heat_diffusivity_m2s(specific_gravity, mc)) / IN_M**2 * 1e4


def core_done(thick_in: float, wide_in: float, db_f: float, depression_f: float, wood: str = "green") -> float:
    """Minute at which the core panel calls the half hour done; below 0 where it never is."""
    state = core.State(f"{thick_in:g}x{wide_in:g}", wood, "runs", f_to_c(db_f), depression_f / 1.8)
    done = core.work_out(state).heating.hold.done_min
    return done if math.isfinite(done) else -1.0


def core_hot(thick_in: float, wide_in: float, db_f: float, depression_f: float, wood: str = "green") -> float:
    """Minute from which the core panel calls the core hot."""
    return core_done(thick_in, wide_in, db_f, depression_f, wood) - core.HOLD_MIN


def treatment_f() -> float:
    """Core temperature of the common heat treatment [°F]."""
    return c_to_f(core.TARGET_C)
