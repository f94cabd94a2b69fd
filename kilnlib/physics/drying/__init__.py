"""How a board dries: its moisture across the thickness, hour by hour, under the settings of a kiln."""

from kilnlib.physics.drying.board import Board, History, at_hours, days_to, dry, points_per_day
from kilnlib.physics.drying.diffusivity import OAK, SAWN
from kilnlib.physics.drying.face import face_curve, surface_of
from kilnlib.physics.drying.steps import AIR_SPEED_MS, Step

__all__ = [
    "AIR_SPEED_MS",
    "OAK",
    "SAWN",
    "Board",
    "History",
    "Step",
    "at_hours",
    "days_to",
    "dry",
    "face_curve",
    "points_per_day",
    "surface_of",
]
