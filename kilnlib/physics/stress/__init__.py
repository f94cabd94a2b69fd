"""Drying stress across a board, and the cracks and set that follow."""

from kilnlib.physics.stress.model import PRONG_M, STRAIGHT_M, Peak, StressHistory, peak, prongs, stress_history

__all__ = ["PRONG_M", "STRAIGHT_M", "Peak", "StressHistory", "peak", "prongs", "stress_history"]
