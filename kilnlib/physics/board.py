"""The drying engine by its old address: it stands in `kilnlib.physics.drying`."""

from kilnlib.physics.drying import Board, days_to, dry

__all__ = ["Board", "days_to", "dry"]
