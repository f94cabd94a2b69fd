"""The decision of a morning: hold, ease off or move on; and on one's own charge what follows from it."""

from kilnlib.physics.daily.decision import ADVANCE, HOLD, daily_decision, share_now_pct
from kilnlib.physics.daily.own import OwnMorning, own_morning

__all__ = ["ADVANCE", "HOLD", "OwnMorning", "daily_decision", "own_morning", "share_now_pct"]
