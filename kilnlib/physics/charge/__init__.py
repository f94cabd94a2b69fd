"""A whole charge that can be run, kept, taken back and looked into: a kiln that answers."""

from kilnlib.physics.charge.card import card_bulbs_c, card_is_capped, limit_points
from kilnlib.physics.charge.examine import Observation, examine
from kilnlib.physics.charge.faults import Act, Effects, Fault, act_of, acts, fault_of, faults
from kilnlib.physics.charge.kiln import Kiln, Stretch, Truth, missing, next_day, replay, start
from kilnlib.physics.charge.outcome import (
    Faces,
    Loss,
    Outcome,
    even_day,
    faces,
    lifted,
    outcome,
    rewetted_points,
    sections,
)
from kilnlib.physics.charge.plan import Decision, Drawn, Plan, Weather, draw
from kilnlib.physics.charge.players import (
    EASE,
    LONGEST_DAYS,
    PLAYERS,
    Player,
    conditioning_wet_bulb_c,
    controlling,
    ends,
    equalizing_wet_bulb_c,
    gained_enough,
    in_small_steps_c,
    play,
    relieved,
)
from kilnlib.physics.charge.readings import Morning
from kilnlib.physics.charge.score import Score, score, wettest_that_counts_pct
from kilnlib.physics.charge.written import sample_sheet

__all__ = [
    "EASE",
    "LONGEST_DAYS",
    "PLAYERS",
    "Act",
    "Decision",
    "Drawn",
    "Effects",
    "Faces",
    "Fault",
    "Kiln",
    "Loss",
    "Morning",
    "Observation",
    "Outcome",
    "Plan",
    "Player",
    "Score",
    "Stretch",
    "Truth",
    "Weather",
    "act_of",
    "acts",
    "card_bulbs_c",
    "card_is_capped",
    "conditioning_wet_bulb_c",
    "controlling",
    "draw",
    "ends",
    "equalizing_wet_bulb_c",
    "even_day",
    "examine",
    "faces",
    "fault_of",
    "faults",
    "gained_enough",
    "in_small_steps_c",
    "lifted",
    "limit_points",
    "missing",
    "next_day",
    "outcome",
    "play",
    "relieved",
    "replay",
    "rewetted_points",
    "sample_sheet",
    "score",
    "sections",
    "start",
    "wettest_that_counts_pct",
]
