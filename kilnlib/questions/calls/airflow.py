"""The air-flow rows of the handbook cells and questions, trade units in and out."""

from kilnlib.cases import stack as stack_case
from kilnlib.physics import air, airflow
from kilnlib.physics.airflow import AIR_C, AIR_RH_PCT, channel, stack_air
from kilnlib.questions import published
from kilnlib.units import FT_M, IN_M

FPM_MS = FT_M / 60
CFM_M3S = FT_M**3 / 60


def friction(reynolds: float) -> float:
    """Darcy friction factor between two flat boards, from the Reynolds number on twice the gap."""
    return float(channel.friction_factor(reynolds))


def sticker_pa(fpm: float, sticker_in: float = 0.75, board_in: float = 1.125, length_ft: float = 8) -> float:
    """Pressure [Pa] that drives air at a speed [fpm] through one sticker space, air of 1.06 kg/m³ (about 120 °F)."""
    return float(channel.channel_pressure_pa(fpm * FPM_MS, sticker_in * IN_M, board_in * IN_M, length_ft * FT_M))


def plenum_in(courses: int, sticker_in: float) -> float:
    """All sticker spaces of a stack added up [in]: what the plenum should be at least as wide as."""
    return airflow.Stack(courses=courses, sticker_thickness_m=sticker_in * IN_M).total_opening_m / IN_M


def open_ft2(courses: int, length_ft: float, sticker_in: float = 0.75) -> float:
    """Area [ft²] between stickers 1-1/4 in wide and 16 in apart that air can pass through."""
    stack = airflow.Stack(courses=courses, length_m=length_ft * FT_M, sticker_thickness_m=sticker_in * IN_M)
    return stack.open_area_m2 / FT_M**2


def bypass(cfm: float, courses: int, length_ft: float, above_in: float = 0, under_in: float = 0) -> float:
    """Share [%] of a given total flow [cfm] that misses a stack 8 ft through on 3/4 in stickers, by open gaps [in]."""
    return _shared(cfm, courses, length_ft, above_in, under_in).bypass_pct


def sticker_fpm(cfm: float, courses: int, length_ft: float, above_in: float = 0, under_in: float = 0) -> float:
    """Mean air speed between the stickers [fpm] of the same stack."""
    return _shared(cfm, courses, length_ft, above_in, under_in).sticker_speed_ms / FPM_MS


def _shared(cfm, courses, length_ft, above_in, under_in):
    stack = airflow.Stack(courses=courses, length_m=length_ft * FT_M, width_m=8 * FT_M, plenum_width_m=10.0)
    gaps = airflow.Gaps(above_in * IN_M, under_in * IN_M, 0.0, above_baffle_pct=0.0, under_baffle_pct=0.0)
    # A fan whose curve is so steep that the flow stays the same whatever the stack.
    steep = airflow.Fan(count=1, shutoff_pa=5000.0, free_flow_m3s=cfm * CFM_M3S)
    return airflow.solve(stack, gaps, steep)


def fan_law(what: str, speed_pct: float, constant: bool = True) -> float:
    """ "flow", "pressure", "power" or "speed" between the stickers at a fan speed [%], as % of full speed's, in the
    default kiln; `constant` keeps every loss coefficient constant, else the full friction law is used."""
    friction_factor = 0.03 if constant else None
    full, slow = (
        airflow.solve(airflow.Stack(), airflow.Gaps(), airflow.Fan(speed_pct=speed), friction=friction_factor)
        for speed in (100.0, speed_pct)
    )
    field = {"flow": "total_flow_m3s", "pressure": "pressure_pa", "power": "fan_power_w", "speed": "sticker_speed_ms"}
    return 100 * getattr(slow, field[what]) / getattr(full, field[what])


def temperature_drop_f(board_feet: float, gravity: float, loss: float, open_ft2: float, fpm: float) -> float:
    """Temperature drop across the load [°F]; daily loss [%], open area [ft²], speed [fpm]."""
    water = stack_air.evaporation_kgs(board_feet / 12 * FT_M**3, gravity, loss)
    return float(stack_air.temperature_drop_c(water, open_ft2 * FT_M**2 * fpm * FPM_MS)) * 1.8


def speed_gain(mc: float, fast_fpm: float, slow_fpm: float) -> float:
    """Drying rate of one white pine board in fast air [fpm] over that in slow, at a moisture content [%]."""
    wet = air.wet_bulb_c(AIR_C, AIR_RH_PCT)
    gains = published.compare_air_speed("eastern white pine", 150.0, AIR_C, wet, slow_fpm * FPM_MS, fast_fpm * FPM_MS)
    return gains[float(mc)]


def kiln_misses(above: int = 0, ends: int = 0, under: int = 0, sticker_in: float = 0.75, load: str = "full") -> float:
    """Share [%] of the air at Tamarack Ford that misses the wood, as the stack panel shows it; a gap of 1 is open."""
    return _kiln(above, ends, under, sticker_in, load).flow.bypass_pct


def kiln_fpm(above: int = 0, ends: int = 0, under: int = 0, sticker_in: float = 0.75, load: str = "full") -> float:
    """Mean air speed [fpm] between its stickers then."""
    return _kiln(above, ends, under, sticker_in, load).flow.sticker_speed_ms / FPM_MS


def _kiln(above, ends, under, sticker_in, load):
    gaps = {"above": bool(above), "ends": bool(ends), "under": bool(under)}
    return stack_case.work_out(stack_case.State(load, sticker_in * IN_M, **gaps))
