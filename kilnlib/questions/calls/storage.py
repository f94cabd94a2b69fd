"""Calculator names for lumber before and after the kiln, and for money: °F, inches, board feet, dollars."""

from kilnlib.cases import bill, shed
from kilnlib.physics import cost, storage
from kilnlib.units import FT_M, IN_M, LB_KG, f_to_c, to_si


def shed_rh(outdoor_f: float, outdoor_rh: float, warmer_f: float) -> float:
    """Relative humidity [%] of outdoor air warmed by so many °F."""
    return float(storage.warmed_rh_pct(f_to_c(outdoor_f), outdoor_rh, f_to_c(outdoor_f + warmer_f)))


def warmer_f(outdoor_f: float, outdoor_rh: float, target: float) -> float:
    """°F that a shed must be above outdoors to hold a moisture content [%]."""
    return 1.8 * storage.warmer_by_k(f_to_c(outdoor_f), outdoor_rh, target)


def place_warmer(place: str, month: str, target: float) -> float:
    """°F above outdoors that the shed panel names for the month in which lumber goes in."""
    return 1.8 * float(shed.work_out(shed.State(place=place, month=month, target_pct=target)).needed_k[0])


def place_mc(place: str, month: str, target: float = 7, pack: str = "stickers") -> float:
    """Moisture content [%] that the shed panel gives after three months in an unheated shed."""
    return shed.work_out(shed.State(place, month, pack, target)).after_three_months_pct


def recalled_emc(place: str, month: str) -> float:
    """Outdoor EMC [%] by the recalled table."""
    return storage.outdoor_emc_pct(place, month)


def means_emc(place: str, month: str) -> float:
    """Outdoor EMC [%] of the published means of a month."""
    return storage.means_emc_pct(place, month)


def fractional_change(thick_in: float, days: float, temperature_f: float, faces: float = 2) -> float:
    """Share [%] of the way to the EMC of the air that a dry board has gone."""
    return 100.0 * storage.fractional_change(thick_in * IN_M, days, f_to_c(temperature_f), open_faces=int(faces))


def outside_boards(wide: float, courses: float) -> float:
    """Share [%] of the boards of a solid pack that have a face outside."""
    return 100.0 * storage.outside_share(int(wide), int(courses))


def fog_lb(volume_ft3: float, db_f: float, wb_f: float) -> float:
    """Water in a kiln's air [lb], at sea level."""
    return float(storage.water_in_air_kg(volume_ft3 * FT_M**3, f_to_c(db_f), f_to_c(wb_f))) / LB_KG


def heat_left(board_feet: float, cfm: float, hours: float) -> float:
    """Share [%] of its heat that a dry oak load still has after so many hours of outdoor air."""
    weight = to_si(board_feet, "board_feet") * 0.56 * 1000.0
    hour = storage.cooling_hours(weight, 7.0, to_si(cfm, "air_flow"))
    return 100.0 * 2.718281828 ** (-hours / hour)


def load_usd(days: float = 30, degrade: float = 5, cents: float = 12, dry_usd: float = 900) -> float:
    """All of the bill panel's load [dollars]."""
    return _bill(days, degrade, cents, dry_usd).cost.total_usd


def electricity_usd(days: float = 30, cents: float = 12) -> float:
    """Its electricity [dollars]."""
    return _bill(days, 5, cents, 900).cost.energy_usd


def lost_usd(days: float = 30, cents: float = 12, dry_usd: float = 900) -> float:
    """What is gone with that load if it is lost [dollars]."""
    return _bill(days, 5, cents, dry_usd).loss.total_usd


def interest_usd_1000bf(days: float) -> float:
    """Interest on a thousand board feet worth 900 dollars, at 8 % [dollars]."""
    return 0.5 * _bill(days, 5, 12, 900).cost.interest_usd


def day_usd(cents: float = 12, dry_usd: float = 900) -> float:
    """What a day less saves on that load [dollars]."""
    return _bill(30, 5, cents, dry_usd).day_usd


def eaten_by_pct(saving_usd_1000bf: float) -> float:
    """Degrade [%] of lumber at 900 dollars a thousand board feet that eats a saving."""
    mill = bill.mill_of(bill.State())
    return cost.degrade_that_eats_pct(saving_usd_1000bf, to_si(1000.0, "board_feet"), mill)


def _bill(days, degrade, cents, dry_usd):
    return bill.work_out(bill.State("tamarack", days, degrade, cents / 100.0, to_si(dry_usd, "lumber_price")))
