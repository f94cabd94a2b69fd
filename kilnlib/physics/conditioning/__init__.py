"""The end of a charge: equalizing, conditioning, the prong test."""

from kilnlib.physics.conditioning.charge import Finish, ProngTest, Uneven, finish, prong_test, uneven
from kilnlib.physics.conditioning.rules import Condition, Duration, Equalize, condition, duration, equalize
from kilnlib.physics.conditioning.target_air import FinishAir, Reach, air_for, reach

__all__ = [
    "Condition",
    "Duration",
    "Equalize",
    "Finish",
    "FinishAir",
    "ProngTest",
    "Reach",
    "Uneven",
    "air_for",
    "condition",
    "duration",
    "equalize",
    "finish",
    "prong_test",
    "reach",
    "uneven",
]
