"""Calculator names for drying schedules, in trade units: °F, moisture content in %, codes as text."""

from kilnlib.cases import ladder
from kilnlib.physics import schedules


def schedule_dry(code: str, mc: float, floor: float | None = None) -> float:
    """Dry bulb of a schedule at a moisture content [°F]."""
    return _step(code, mc, floor).dry_bulb_f


def schedule_depression(code: str, mc: float, floor: float | None = None) -> float:
    """Depression of a schedule at a moisture content [°F]."""
    return _step(code, mc, floor).depression_f


def schedule_wet(code: str, mc: float, floor: float | None = None) -> float:
    """Wet bulb of a schedule at a moisture content [°F]."""
    return _step(code, mc, floor).wet_bulb_f


def times_in_our_kiln(wood: str) -> float:
    """Days of a wood of the ladder panel in the kiln at Tamarack Ford over those by the book, for the wood alone.

    NaN for thick stock, of which no days are told.
    """
    days = ladder.work_out(ladder.State(wood=wood, limits="kiln")).days
    return days.same_rh_days / days.book_days if days else float("nan")


def next_change(code: str, mc: float) -> float:
    """The next change point on the way down [%]; 0 on the last step."""
    return _step(code, mc).mc_above_pct


def first_heat(code: str) -> float:
    """The moisture content at which the dry bulb first rises [%]."""
    steps = schedules.ladder(code)
    return next(new.mc_below_pct for new in steps if new.mc_below_pct and new.dry_bulb_f > steps[0].dry_bulb_f)


def depression_number(species: str, thickness: str) -> int:
    """Depression number of the recommended schedule."""
    return schedules.understand(schedules.code_for(species, thickness).code).depression


def _step(code, mc, floor=None):
    steps = schedules.ladder(code, floor)
    return steps[schedules.step_at(steps, mc)]
