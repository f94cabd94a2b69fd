"""The end of a charge: equalizing, conditioning, the prong test."""

from kilnlib.physics.conditioning.charge import Finish, ProngTest, Uneven, finish, prong_test, uneven
from kilnlib.physics.conditioning.target_air import FinishAir, Hold, air_for, hold
from kilnlib.physics.schedules import Condition, Equalize, condition, equalize, start_below_points

__all__ = [
    "Condition",
    "Equalize",
    "Finish",
    "FinishAir",
    "Hold",
    "ProngTest",
    "Uneven",
    "air_for",
    "condition",
    "equalize",
    "finish",
    "hold",
    "prong_test",
    "start_below_points",
    "uneven",
]
