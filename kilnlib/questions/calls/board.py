"""Calculator names for how a board dries: the board panel's runs, heat, thickness, and the exact solutions."""

import math

import numpy as np

from kilnlib.cases import board
from kilnlib.physics.drying import Board, Step, days_to, diffusion, diffusivity, dry
from kilnlib.physics.wood import SAWN
from kilnlib.questions import published
from kilnlib.units import FT_M, IN_M, f_to_c

FPM_MS = FT_M / 60


def board_average(day: float, *sliders: float | str, **named: float | str) -> float:
    """Average moisture content [%] on a day of the board panel."""
    return float(_run(*sliders, **named).average_pct[round(day)])


def board_face(day: float, *sliders: float | str, **named: float | str) -> float:
    """Moisture content of the face [%] on a day of the board panel."""
    return float(_run(*sliders, **named).face_pct[round(day)])


def board_middle(day: float, *sliders: float | str, **named: float | str) -> float:
    """Moisture content in the middle [%] on a day of the board panel."""
    return float(_run(*sliders, **named).middle_pct[round(day)])


def board_lost(day: float, *sliders: float | str, **named: float | str) -> float:
    """Points lost in the day that ends on a day of the board panel."""
    return float(_run(*sliders, **named).lost_points[round(day) - 1])


def _run(db_f=110, depression_f=4, thickness_in=1.125, fpm=350, species="red oak"):
    """The run of the board panel at what its sliders stand at."""
    state = board.State(species, f_to_c(db_f), depression_f / 1.8, thickness_in * IN_M, fpm * FPM_MS)
    return board.work_out(state).run


def board_limit(thickness_in: float, species: str = "red oak") -> float:
    """Safe limit [points a day] between the published ones for 4/4 and 8/4."""
    return board.limit_points(species, thickness_in * IN_M)


def days_between(mc_from: float, mc_to: float, db_f: float, depression_f: float, fpm: float = 350) -> float:
    """Days for 4/4 red oak from one average [%] to another in one setting, after coming down at 110 over 102 °F."""
    before = Step(f_to_c(110), f_to_c(102), None, 2400.0, 350 * FPM_MS, mc_from)
    then = Step(f_to_c(db_f), f_to_c(db_f - depression_f), None, 2400.0, fpm * FPM_MS, mc_to)
    ends = dry(Board(), [before, then], board.PRESSURE_PA).step_end_hours
    return float(ends[1] - ends[0]) / 24.0


def water_moves(t_c: float, mc: float) -> float:
    """Diffusivity of red oak [1e-10 m²/s] at a temperature [°C] and moisture content [%]."""
    return 1e10 * float(diffusivity.diffusivity_m2s(t_c, mc))


def heat_factor(from_f: float, to_f: float) -> float:
    """How many times more readily water moves in red oak at a higher temperature [°F]."""
    return float(diffusivity.warmth(f_to_c(to_f)) / diffusivity.warmth(f_to_c(from_f)))


def thickness_power(thicker: float, longer: float) -> float:
    """The power of thickness that makes so many times thicker take so many times longer."""
    return math.log(longer) / math.log(thicker)


def sawn_longer() -> float:
    """Quartersawn over flatsawn 4/4 red oak, 80 to 7 % on T4-D2, by the engine."""
    steps = published.schedule_steps("T4-D2", 7.0)
    flat, quarter = (days_to(Board(start_mc_pct=80.0, sawn=sawn), steps, 7.0) for sawn in SAWN)
    return float(quarter / flat)


def share_dried(time: float, biot: float = 0) -> float:
    """Share of the change [%] that our scheme has made at constant diffusivity; time in half thickness squared over
    diffusivity. The face is held at the end value, or gives off with a Biot number above 0."""
    grid, speed = diffusion.mesh(18), 0.01
    rate = speed / (grid.to_face + (1.0 / biot if biot else 0.0)) / grid.share[0]

    def face(level):
        return rate * level, np.full(len(level), rate), np.full(len(level), speed)

    start = np.full((1, len(grid.share)), 100.0)
    blocks = [diffusion.Block(time / speed, face)]
    record = diffusion.march(start, grid, lambda mc: (mc, np.ones_like(mc)), blocks, tolerance_pct=0.005)
    return float(record.lost_pct[-1, 0])
