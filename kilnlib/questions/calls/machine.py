"""Calculator names for the example kiln with its cold coil, in trade units: °F, gallons, cfm, feet."""

from dataclasses import replace

from kilnlib.cases import machine as case
from kilnlib.cases import warming
from kilnlib.physics import air, machine
from kilnlib.questions.calls.wood import GALLON_M3
from kilnlib.units import DAY_S, FT_M, IN_M, LB_KG, c_to_f, f_to_c, to_si

GALLON_KG = 1e3 * GALLON_M3
BTU_LB = 1055.05585 / LB_KG  # J/kg
BTU_W = 3.412142  # Btu/h
EXAMPLE_CFM = 300.0  # air over the example's coil


def settles_dry(*sliders: float | str, **named: float | str) -> float:
    """Dry bulb the panel's kiln settles at [°F], from dry and wet bulb set, outdoors [°F], load, fault."""
    return c_to_f(_settled(*sliders, **named).steady.state.dry_bulb_c)


def settles_wet(*sliders: float | str, **named: float | str) -> float:
    """Wet bulb the panel's kiln settles at [°F]."""
    return c_to_f(_settled(*sliders, **named).wet_bulb_c)


def settles_rh(*sliders: float | str, **named: float | str) -> float:
    """Relative humidity the panel's kiln settles at [%]."""
    return _settled(*sliders, **named).rh_pct


def running_hours(*sliders: float | str, **named: float | str) -> float:
    """Running hours of the compressor in a day."""
    return _settled(*sliders, **named).hours


def bucket_gal(*sliders: float | str, **named: float | str) -> float:
    """Gallons a day in the bucket."""
    return _settled(*sliders, **named).bucket_kg / GALLON_KG


def wood_gal(*sliders: float | str, **named: float | str) -> float:
    """Gallons a day that the wood gives."""
    return _settled(*sliders, **named).wood_kg / GALLON_KG


def day_kwh(*sliders: float | str, **named: float | str) -> float:
    """Electricity of a day [kWh]."""
    return _settled(*sliders, **named).kwh


def _settled(db_f=110, wb_f=98, outdoor_f=50, load="oak", fault="none"):
    return case.work_out(case.State(f_to_c(db_f), f_to_c(wb_f), f_to_c(outdoor_f), load, fault))


def coil_gal_h(db_f: float, wb_f: float, coil_f: float, bypass: float = 0.2, altitude_ft: float = 0) -> float:
    """Gallons an hour that a coil of one temperature takes from 1,000 cfm of kiln air."""
    pressure = air.pressure_pa(altitude_ft * FT_M)
    ratio = machine.State.at(f_to_c(db_f), f_to_c(wb_f), 0.0, None, pressure).humidity_ratio
    made = machine.coil(f_to_c(db_f), ratio, to_si(1000.0, "air_flow"), f_to_c(coil_f), bypass, pressure)
    return made.water_kgs * 3600 / GALLON_KG


def machine_coil_f(db_f: float, wb_f: float, coil_cfm: float = EXAMPLE_CFM) -> float:
    """Temperature of the example machine's coil [°F] with so much air over it."""
    return c_to_f(_work(db_f, wb_f, coil_cfm).coil_c)


def machine_gal_day(db_f: float, wb_f: float, coil_cfm: float = EXAMPLE_CFM) -> float:
    """Gallons a day that the example machine takes if it runs all day."""
    return _work(db_f, wb_f, coil_cfm).coil.water_kgs * DAY_S / GALLON_KG


def _work(db_f, wb_f, coil_cfm):
    chamber = machine.Chamber()
    ratio = machine.State.at(f_to_c(db_f), f_to_c(wb_f), 0.0).humidity_ratio
    blown = replace(chamber.machine, coil_air_m3s=to_si(coil_cfm, "air_flow"))
    return machine.machine_work(blown, f_to_c(db_f), ratio, chamber.pressure_pa)


def ideal_cop(evaporating_c: float, condensing_c: float) -> float:
    """Cooling for each unit of work of an ideal R134a cycle between two temperatures [°C]."""
    return machine.cycle(evaporating_c, condensing_c).ideal_cop


def walls_btu(walls: float, roof: float, floor: float) -> float:
    """Heat the example chamber lets out [Btu/h for each °F], from R-values."""
    return machine.walls_w_k((walls, roof, floor)) * BTU_W / 1.8


def wall_kw(over_f: float, walls: float, roof: float, floor: float) -> float:
    """Heat lost through walls, roof and floor [kW] so many °F above outdoors."""
    return machine.walls_w_k((walls, roof, floor)) * over_f / 1.8 / 1e3


def vent_btu_lb(db_f: float, wb_f: float, outdoor_f: float) -> float:
    """Heat that an open vent throws out with each pound of water [Btu/lb]."""
    return machine.thrown_out_j_kg(f_to_c(db_f), f_to_c(wb_f), machine.Outdoors(f_to_c(outdoor_f))) / BTU_LB


def crack_cfm(wide_in: float, high_ft: float, db_f: float, outdoor_f: float) -> float:
    """Air that warmth pushes through an upright crack, each way [cfm]."""
    return machine.crack_m3s(wide_in * IN_M, high_ft * FT_M, f_to_c(db_f), f_to_c(outdoor_f)) / to_si(1.0, "air_flow")


def warm_kwh(bf: float, sg: float, mc: float, from_f: float, to_f: float, frozen: bool = False) -> float:
    """Heat that a load and its water take up on the way to a temperature [kWh]."""
    load = machine.load_of(to_si(bf, "board_feet"), sg, 1.0, case.BULBS_C)
    return machine.warm_up_j(load, mc, f_to_c(from_f), f_to_c(to_f), bool(frozen)) / 3.6e6


def warming_rh(way: str) -> float:
    """Relative humidity half way through warming a cold load [%]: dials in "steps", or all at "once"."""
    result = warming.work_out(warming.State(way))
    return float(result.rh_pct[result.at])


def warming_wood(way: str) -> float:
    """Temperature of the wood at that time [°F]."""
    result = warming.work_out(warming.State(way))
    return c_to_f(float(result.wood_c[result.at]))


def warming_rest_h(way: str) -> float:
    """Hours from the start in which the compressor has not run yet."""
    result = warming.work_out(warming.State(way))
    return float(result.hours[result.compressor.argmax()])
