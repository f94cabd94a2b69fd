"""What the tests say: each looks at the kiln itself, never at the name of its fault."""

from dataclasses import dataclass

from kilnlib.errors import BadInput
from kilnlib.physics.charge.faults import Effects, act_of
from kilnlib.physics.charge.kiln import Kiln

BULB_AGREES_K = 0.8


@dataclass(frozen=True)
class Observation:
    """What a test says: a code, the minutes it took, and whether one had to go into the kiln for it."""

    code: str
    test: str
    minutes: float
    inside: bool
    wrong: bool  # whether it says that something is wrong


def examine(kiln: Kiln, test: str) -> Observation:
    """Make one test this morning.

    Parameters
    ----------
    kiln : Kiln.
    test : code of an act of the kind "test".

    Returns
    -------
    Observation.

    Raises
    ------
    NotFound : no such act. BadInput : an act that is no test.

    Source
    ------
    What each test can see of `Effects`; minutes in tables/fault_acts.csv, *common practice*.

    Accuracy
    --------
    A test of ours never errs; in a kiln it may.
    """
    act = act_of(test)
    if act.kind != "test":
        raise BadInput("not_a_test", name=test)
    code, wrong = _SEES[test](kiln, kiln.effects)
    return Observation(code, test, act.minutes, act.inside, wrong)


def _either(wrong: bool, bad: str, good: str) -> tuple[str, bool]:
    return (bad, True) if wrong else (good, False)


def _second_thermometer(kiln, effects: Effects):
    if effects.swapped:
        return "bulbs_crossed", True
    if abs(effects.dry_offset_k) > BULB_AGREES_K:
        return "dry_reads_high", True
    last = kiln.truth.stretches[-1] if kiln.truth.stretches else None
    depression = last.dry_bulb_c - last.wet_bulb_c if last else 0.0
    off = effects.wet_offset_k + (1.0 - effects.wick) * depression
    if abs(off) <= BULB_AGREES_K:
        return "bulbs_agree", False
    return ("wet_reads_high" if off > 0.0 else "wet_reads_low"), True


def _coil(kiln, effects):
    last = kiln.truth.stretches[-1] if kiln.truth.stretches else None
    if effects.coil_air < 0.5 or kiln.truth.state.ice_kg > 0.2:
        return "coil_iced", True
    caught = last is not None and last.balance is not None and last.balance.drained_kgs > 1e-6
    return ("coil_wet" if caught else "coil_dry"), False


def _compressor(kiln, effects):
    if effects.compressor == 0.0:
        return "compressor_still", True
    last = kiln.truth.stretches[-1] if kiln.truth.stretches else None
    return ("compressor_turns" if last is not None and last.running.compressor > 0.0 else "compressor_rests"), False


def _vent(kiln, effects):
    if effects.vent is None or effects.swapped:
        return "vent_moves", False
    return ("vent_will_not_shut" if effects.vent else "vent_will_not_open"), True


def _strips(kiln, effects):
    if effects.strips is None:
        return "strips_right", False
    return ("strips_on_uncalled" if effects.strips else "strips_dead"), True


def _air(kiln, effects):
    if effects.third_speed < 1.0:
        return "air_backward_in_one_part", True
    if effects.fan_speed < 1.0:
        return "air_weak_everywhere", True
    return _either(effects.baffles < 1.0, "air_beside_the_stack", "air_even")


_SEES = {
    "look_at_wick": lambda kiln, effects: _either(effects.wick < 0.9, "wick_dry", "wick_wet"),
    "second_thermometer": _second_thermometer,
    "warm_a_bulb": lambda kiln, effects: _either(bool(effects.swapped), "leads_crossed", "leads_right"),
    "look_at_probe": lambda kiln, effects: _either(effects.dry_offset_k > 0.0, "probe_in_blast", "probe_in_stream"),
    "look_at_coil": _coil,
    "listen_to_compressor": _compressor,
    "look_at_drain": lambda kiln, effects: _either(effects.drained_back > 0.0, "drain_blocked", "drain_runs"),
    "look_at_vent": _vent,
    "hand_at_doors": lambda kiln, effects: _either(effects.leak_cfm > 0.0, "door_draft", "doors_tight"),
    "strips_amps": _strips,
    "fan_amps": lambda kiln, effects: _either(effects.fan_speed < 1.0, "amps_low", "amps_right"),
    "feel_the_air": _air,
    "look_at_baffles": lambda kiln, effects: _either(effects.baffles < 1.0, "baffle_open", "baffles_shut"),
    "cut_sections": lambda kiln, effects: _either(effects.pockets > 0.0, "cores_wet", "sections_alike"),
    "measure_boards": lambda kiln, effects: _either(effects.thick > 0.0, "boards_thick", "boards_alike"),
}
