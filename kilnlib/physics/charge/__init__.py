"""A whole charge that can be run, kept, taken back and looked into: a kiln that answers."""

from kilnlib.physics.charge.examine import Told, examine
from kilnlib.physics.charge.faults import Act, Effects, Fault, act_of, acts, fault_of, faults
from kilnlib.physics.charge.kiln import Kiln, Stretch, Truth, missing, next_day, start
from kilnlib.physics.charge.plan import Decision, Drawn, Plan, Weather, draw
from kilnlib.physics.charge.readings import Morning

__all__ = [
    "Act",
    "Decision",
    "Drawn",
    "Effects",
    "Fault",
    "Kiln",
    "Morning",
    "Plan",
    "Stretch",
    "Told",
    "Truth",
    "Weather",
    "act_of",
    "acts",
    "draw",
    "examine",
    "fault_of",
    "faults",
    "missing",
    "next_day",
    "start",
]
