"""Where the heat and the water of a kiln go at one moment, every way named.

The compressor moves heat from coil to condenser and stays inside, so what enters is electricity. Enthalpy counts from
liquid water at 0 °C: water brings heat along from the wood and takes it along to the bucket.
"""

from typing import NamedTuple

from kilnlib.physics.air.scalars import (
    _AIR_J_KGK,
    _VAPOR_J_KGK,
    _WATER_J_KGK,
    ICE_J_KG,
    _dry_air_kgm3,
    _enthalpy_j_kg,
    _saturation_ratio,
    _vapor_enthalpy_j_kg,
    vapor_pa,
)
from kilnlib.physics.arrays import falling_root, within
from kilnlib.physics.machine.coil import HIGHEST_RATIO, Coil, _coil, _taken
from kilnlib.physics.machine.cycle import CONDENSING_RANGE_C, EVAPORATING_C, LEAST_LIFT_K, _cooling_j_m3, _cycle
from kilnlib.physics.machine.parts import DRY_WOOD_J_KGK, EXAMPLE, Chamber, Load, Machine, Outdoors, Running, State

FACE_HEAT = EXAMPLE["face_heat"]
AIR_C, WOOD_C, OUTDOOR_C = (0.0, 81.0), (-40.0, 100.0), (-45.0, 50.0)  # a hotter kiln is beyond the refrigerant's table


class Pull(NamedTuple):
    """What a running machine does to its kiln: the electricity it takes, and what its coil takes from the air.

    Source
    ------
    Part of `machine_work`; *computed*.
    """

    compressor_w: float
    heat_w: float
    latent_w: float
    water_kgs: float
    water_heat_j_kg: float
    ices: bool | float


class Work(NamedTuple):
    """The machine running in one air: its coil, its temperatures, its electricity.

    Source
    ------
    Result of `machine_work`; *computed*.
    """

    coil: Coil
    coil_c: float
    evaporating_c: float
    condensing_c: float
    discharge_c: float
    compressor_w: float
    condenser_rise_k: float

    @property
    def condenser_w(self) -> float:
        """Heat back to the kiln: what the coil took, and the electricity."""
        return self.coil.heat_w + self.compressor_w

    @property
    def ices(self) -> bool:
        """Whether water freezes on the coil."""
        return self.coil_c < 0.0 and self.coil.water_kgs > 0.0

    @property
    def pull(self) -> Pull:
        """What of it the kiln feels."""
        coil = self.coil
        return Pull(self.compressor_w, coil.heat_w, coil.latent_w, coil.water_kgs, coil.water_heat_j_kg, self.ices)

    @property
    def smer_kg_kwh(self) -> float:
        """Water for each unit of the compressor's electricity, without fans [kg/kWh]."""
        return self.coil.water_kgs / self.compressor_w * 3.6e6


def machine_work(
    machine: Machine, dry_bulb_c: float, humidity_ratio: float, pressure_pa: float, ice_kg: float = 0.0
) -> Work:
    """What the machine does in one air: the coil as cold as makes the compressor's pull and the air's heat alike.

    Parameters
    ----------
    machine : Machine.
    dry_bulb_c : kiln air [°C], 0 to 81.
    humidity_ratio : its water [kg/kg], 0 to 0.9.
    pressure_pa : air pressure [Pa].
    ice_kg : ice on the coil [kg]; it takes away the air's way in proportion, down to a fiftieth.

    Returns
    -------
    Work.

    Raises
    ------
    OutOfRange : air out of range, or condensing outside the refrigerant's table.

    Source
    ------
    Compressor by displacement and `cycle`, coil by `coil`, the example's sizes in tables/machine.csv; *computed*.

    Accuracy
    --------
    Coil and compressor agree to one part in 1e9. Shape and direction of a machine, not any maker's numbers: the coil's
    and the condenser's temperature differences are held, and no pressure is lost. A coil that would have to be colder
    than the refrigerant's table takes what it can at the table's end.
    """
    dry_bulb = within("Dry bulb", dry_bulb_c, *AIR_C, "temperature")
    ratio = within("Water in the air", humidity_ratio, 0.0, HIGHEST_RATIO, "ratio")
    return _work(machine, dry_bulb, ratio, pressure_pa, ice_kg)


def _work(machine, dry_bulb, ratio, pressure_pa, ice_kg):
    open_share = max(1.0 - ice_kg / machine.full_ice_kg, 0.02)
    air_kgs = machine.coil_air_m3s * open_share * _dry_air_kgm3(dry_bulb, ratio, pressure_pa)
    condensing = within(
        "Condensing temperature", dry_bulb + machine.condensing_over_k, *CONDENSING_RANGE_C, "temperature"
    )
    swept = machine.displacement_m3s * machine.filling

    def over(cold):
        pulled = swept * _cooling_j_m3(cold - machine.evaporating_below_k, condensing)
        return _taken(dry_bulb, ratio, air_kgs, cold, machine.bypass, pressure_pa)[-1] - pulled

    low = EVAPORATING_C[0] + machine.evaporating_below_k
    high = min(dry_bulb, min(condensing - LEAST_LIFT_K, EVAPORATING_C[-1]) + machine.evaporating_below_k)
    cold = falling_root(over, low, high, 1e4, 1e-11)
    behind = _coil(dry_bulb, ratio, air_kgs, cold, machine.bypass, pressure_pa)
    gas = _cycle(cold - machine.evaporating_below_k, condensing)
    power = max(behind.heat_w / gas.cop(machine.motor_efficiency), machine.idle_w)
    warmed = machine.condenser_air_m3s * _dry_air_kgm3(dry_bulb, ratio, pressure_pa)
    rise = (behind.heat_w + power) / (warmed * (_AIR_J_KGK + _VAPOR_J_KGK * ratio))
    return Work(behind, cold, cold - machine.evaporating_below_k, condensing, gas.discharge_c, power, rise)


class Balance(NamedTuple):
    """Heat [W] and water [kg/s] of a kiln, each way by its name; `work` is the machine where it runs.

    Source
    ------
    Result of `balance`; *computed*.
    """

    compressor_w: float
    strips_w: float
    fans_w: float
    brought_w: float  # with the water that leaves the wood
    walls_w: float
    leak_w: float
    vent_w: float
    drained_w: float  # with the water in the bucket
    ice_w: float  # with the water that freezes, less what melting takes
    wood_w: float  # warms the wood
    air_w: float  # warms and wets the air
    coil_sensible_w: float
    coil_latent_w: float
    condenser_w: float
    evaporation_w: float
    wood_kgs: float
    faces_kgs: float
    drained_kgs: float
    frozen_kgs: float
    melted_kgs: float
    leak_kgs: float
    vent_kgs: float
    air_kgs: float  # water that the air keeps
    work: Work | None

    @property
    def electricity_w(self) -> float:
        """What the meter counts."""
        return self.compressor_w + self.strips_w + self.fans_w

    @property
    def missing_w(self) -> float:
        """What comes in less what goes out or stays: zero but for rounding."""
        out = self.walls_w + self.leak_w + self.vent_w + self.drained_w + self.ice_w + self.wood_w + self.air_w
        return self.electricity_w + self.brought_w - out

    @property
    def missing_kgs(self) -> float:
        """Water that comes in less what goes out or stays: zero but for rounding."""
        out = self.drained_kgs - self.melted_kgs + self.frozen_kgs + self.leak_kgs + self.vent_kgs + self.air_kgs
        return self.wood_kgs + self.faces_kgs - out


def balance(chamber: Chamber, load: Load, state: State, outdoors: Outdoors, running: Running) -> Balance:
    """Every flow of heat and water at one moment.

    Parameters
    ----------
    chamber : Chamber.
    load : Load.
    state : State, air from 0 to 81 °C, wood from -40 to 100 °C.
    outdoors : Outdoors, -45 to 50 °C.
    running : Running.

    Returns
    -------
    Balance.

    Raises
    ------
    OutOfRange : air, wood or outdoors out of range.

    Source
    ------
    Conservation of heat and water with `machine_work`, walls by area over R-value, leaks and vent as air exchanged for
    outdoor air; *computed*. Heat from air to the boards' faces in tables/machine.csv, *from memory*.

    Accuracy
    --------
    Heat and water close to one part in 1e6 (tests/physics/machine/test_balance.py). One temperature stands for all
    the wood, one air for the whole chamber.
    """
    within("Dry bulb", state.dry_bulb_c, *AIR_C, "temperature")
    within("Wood", state.wood_c, *WOOD_C, "temperature")
    within("Outdoors", outdoors.dry_bulb_c, *OUTDOOR_C, "temperature")
    flows = _Flows.now(chamber, load, state, outdoors, running)
    return flows.balance(state.dry_bulb_c, state.humidity_ratio, state.wood_c)


RESTS = Pull(0.0, 0.0, 0.0, 0.0, 0.0, 0.0)


class _Flows:
    """What drives the flows at a state, or at many in columns; `balance` then takes them at an air that may be the end
    of a time step.
    """

    def __init__(self, chamber, load, state, outdoors, running, pull):
        self.chamber, self.load, self.state, self.outdoors, self.running = chamber, load, state, outdoors, running
        self.pull, self.work, pressure = pull, None, chamber.pressure_pa
        drained = chamber.machine.drained
        self.caught_kgs = pull.water_kgs * running.compressor * (drained + (1.0 - drained) * pull.ices)
        self.heat_w_k = FACE_HEAT * load.faces_m2 * running.fans
        self.outdoor_ratio = outdoors.ratio(pressure)
        self.outdoor_j_kg = _enthalpy_j_kg(outdoors.dry_bulb_c, self.outdoor_ratio)
        density = _dry_air_kgm3(state.dry_bulb_c, state.humidity_ratio, pressure)
        self.leak_kgs, self.vent_kgs = density * chamber.leak_m3s, density * chamber.vent_m3s * running.vent
        self.full_ratio = self.wet_kgs = self.wood_kgs = self.melted_kgs = 0.0

    @classmethod
    def now(cls, chamber, load, state, outdoors, running, step_s=60.0):
        """At one state: the machine in its air, and what wood, faces and ice give there."""
        air_c, ratio, wood_c, pressure = state.dry_bulb_c, state.humidity_ratio, state.wood_c, chamber.pressure_pa
        share = running.compressor
        work = _work(chamber.machine, air_c, ratio, pressure, state.ice_kg) if share > 0.0 else None
        flows = cls(chamber, load, state, outdoors, running, work.pull if work else RESTS)
        flows.work, flows.full_ratio = work, _saturation_ratio(wood_c, pressure)
        if state.face_water_kg > 0.0 or ratio > flows.full_ratio:
            flows.wet_kgs = flows.heat_w_k / _AIR_J_KGK
        else:
            flows.wood_kgs = load.water_kgs(state.mc_pct, wood_c, vapor_pa(ratio, pressure)) * running.fans
        flows.melted_kgs = _melted_kgs(air_c, state.ice_kg, share, step_s) if state.ice_kg > 0.0 else 0.0
        return flows

    def air_kgs(self, ratio, given_kgs):
        """Water that the air keeps of what it is given."""
        return given_kgs - self.caught_kgs - (self.leak_kgs + self.vent_kgs) * (ratio - self.outdoor_ratio)

    def balance(self, air_c, ratio, wood_c, faces_kgs=None):
        """All flows, with the linear ones at this air and this wood."""
        chamber, running, pull, start_c = self.chamber, self.running, self.pull, self.state.wood_c
        caught, share = self.caught_kgs, running.compressor
        compressor_w, coil_w, latent_w = share * pull.compressor_w, share * pull.heat_w, share * pull.latent_w
        sensible_w, condenser_w, water_w = coil_w - latent_w, compressor_w + coil_w, caught * pull.water_heat_j_kg
        faces = self.wet_kgs * (self.full_ratio - ratio) if faces_kgs is None else faces_kgs
        given = self.wood_kgs + faces
        vapor_w = given * _vapor_enthalpy_j_kg(start_c)
        brought_w = given * _WATER_J_KGK * start_c
        exchange = _enthalpy_j_kg(air_c, ratio) - self.outdoor_j_kg
        walls_w = chamber.walls_w_k * (air_c - self.outdoors.dry_bulb_c)
        leak_w, vent_w = self.leak_kgs * exchange, self.vent_kgs * exchange
        strips_w, fans_w = running.strips * chamber.strips_w, running.fans * chamber.fans_w
        convected_w = self.heat_w_k * (air_c - wood_c)
        taken_by_ice = self.melted_kgs * ICE_J_KG
        air_w = condenser_w - coil_w - water_w + strips_w + fans_w - walls_w - leak_w - vent_w
        air_w += vapor_w - convected_w - taken_by_ice
        drier = ratio - self.outdoor_ratio
        return Balance(
            compressor_w,
            strips_w,
            fans_w,
            brought_w,
            walls_w,
            leak_w,
            vent_w,
            (1.0 - pull.ices) * water_w,  # drained
            pull.ices * water_w + taken_by_ice,
            convected_w - vapor_w + brought_w,  # wood
            air_w,
            sensible_w,
            latent_w,
            condenser_w,
            vapor_w - brought_w,
            self.wood_kgs,
            faces,
            (1.0 - pull.ices) * caught + self.melted_kgs,
            pull.ices * caught,
            self.melted_kgs,
            self.leak_kgs * drier,
            self.vent_kgs * drier,
            self.air_kgs(ratio, given),
            self.work,
        )


def _melted_kgs(air_c, ice_kg, compressor, step_s):
    """Ice that melts while the compressor rests, at most what there is."""
    return min((1.0 - compressor) * max(air_c, 0.0) * EXAMPLE["ice_heat"] / ICE_J_KG, ice_kg / step_s)


def wood_heat_j_k(load: Load, state: State) -> float:
    """Heat that warms the wood and its water by a degree.

    Parameters
    ----------
    load : Load.
    state : State.

    Returns
    -------
    Heat [J/K].

    Raises
    ------
    Nothing.

    Source
    ------
    Bone-dry wood at 0.30 Btu/(lb·°F), *from memory*, and its water at 1; *computed*.

    Accuracy
    --------
    About a tenth: dry wood takes more heat the warmer it is, and bound water a little more than free water.
    """
    return load.ovendry_kg * DRY_WOOD_J_KGK + _WATER_J_KGK * (
        load.ovendry_kg * state.mc_pct / 100 + state.face_water_kg
    )
