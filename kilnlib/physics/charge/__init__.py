"""A whole charge that can be run, kept, taken back and looked into: a kiln that answers."""

from kilnlib.physics.charge.card import card_bulbs_c, card_is_capped, limit_points
from kilnlib.physics.charge.examine import Observation, examine
from kilnlib.physics.charge.faults import Act, Effects, Fault, act_of, acts, fault_of, faults
from kilnlib.physics.charge.kiln import Kiln, Stretch, Truth, missing, next_day, replay, start
from kilnlib.physics.charge.outcome import Faces, Loss, Outcome, faces, outcome
from kilnlib.physics.charge.plan import Decision, Drawn, Plan, Weather, draw
from kilnlib.physics.charge.players import (
    EASE,
    LONGEST_DAYS,
    PLAYERS,
    Player,
    controlling,
    ends,
    equalizing_wet_bulb_c,
    in_small_steps_c,
    play,
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
    "controlling",
    "draw",
    "ends",
    "equalizing_wet_bulb_c",
    "examine",
    "faces",
    "fault_of",
    "faults",
    "in_small_steps_c",
    "limit_points",
    "missing",
    "next_day",
    "outcome",
    "play",
    "replay",
    "sample_sheet",
    "score",
    "start",
    "wettest_that_counts_pct",
]
