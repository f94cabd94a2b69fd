"""Calculator names for the charge of lesson 15, in trade units: points, gallons."""

from kilnlib.cases import charge_game as case
from kilnlib.physics import charge
from kilnlib.units import c_to_f, f_to_c, from_si


def fastest_points(number: float) -> float:
    """What the fastest board lost in the third day of the panel's own charge of that number, held as proposed."""
    game = case.Game(case.Setup(number=round(number)))
    dry, wet = (f_to_c(round(c_to_f(bulb))) for bulb in case.proposed_c(game, "hold"))
    for _ in range(3):
        (game,) = case.days_pass(game, dry, wet, "")
    before, now = case.kiln_of(game).log[-2:]
    return max(old - new for old, new in zip(before.sample_mc_pct, now.sample_mc_pct, strict=True))


def point_gallons(wood: str, load: str) -> float:
    """Gallons that a charge of the panel gave for each point of its mean moisture content, in ten days by the card."""
    game = case.Game(case.Setup(wood, load))
    for _ in range(10):
        (game,) = case.days_pass(game, *case.proposed_c(game, "card"), "")
    kiln = case.kiln_of(game)
    water_kg = sum(float(one.water_kg.sum()) for one in kiln.truth.stretches)
    return from_si(water_kg * 1e-3, "volume") / (charge.start(kiln.plan).mean_mc_pct - kiln.mean_mc_pct)


def water_lost_sight_of_gallons(wood: str, load: str) -> float:
    """Water of those ten days that is in no bucket, vent, leak, ice or air."""
    game = case.Game(case.Setup(wood, load))
    for _ in range(10):
        (game,) = case.days_pass(game, *case.proposed_c(game, "card"), "")
    return abs(from_si(charge.missing(case.kiln_of(game))[0] * 1e-3, "volume"))
