"""The decision of a morning: hold, ease off or move on."""

from kilnlib.physics.daily.decision import ADVANCE, HOLD, daily_decision

__all__ = ["ADVANCE", "HOLD", "daily_decision"]
