"""How a board dries: its moisture across the thickness, hour by hour, under the settings of a kiln."""

from kilnlib.physics.drying.board import Board, History, at_hours, days_to, dry, points_per_day, surface_of
from kilnlib.physics.drying.face import face_curve
from kilnlib.physics.drying.steps import Step

__all__ = [
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
