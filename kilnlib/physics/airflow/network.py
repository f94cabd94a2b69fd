"""Where the air goes in a package kiln: fans, two plenums, every course of the stack, and the gaps beside it.

All openings run side by side from the supply plenum to the return plenum, so one pressure drives them and each takes
the flow its own resistance allows. The fans' falling curve and two 180-degree turns close the loop.

Uneven pressure over the height has two causes here. One is the speed of the air in the plenums: the air slows down on
its way along the supply plenum and gets its speed pressure back; the return plenum spends two speed pressures to gather
it. With fans above the stack the two differ by one, so the foot of a stack has less pressure to drive air than its top,
and the more so the narrower the plenum. The other is weight: air that left wet wood is cooler, so the column in the
return plenum is heavier than that in the supply plenum and stands against the flow at the foot (`return_cooler_c`; none
unless asked for). Left out, because no simple rule holds for it: the dead zone that a sharp turn can leave beside the
topmost courses. The gaps at the ends, in short courses and of a lane are taken at half height. No flow of this model
has been held against a measured kiln.
"""

from dataclasses import dataclass

from kilnlib.errors import OutOfRange
from kilnlib.physics.air import STANDARD_PA, wet_bulb_c
from kilnlib.physics.air import rh_pct as rh_from_bulbs_pct
from kilnlib.physics.airflow.channel import (
    COEFFICIENTS,
    Slot,
    air_density_kgm3,
    air_viscosity_pas,
    askew_losses,
    course_losses,
)
from kilnlib.physics.airflow.paths import SHUT_M, Fan, Gaps, Stack, fan_pressure_pa
from kilnlib.physics.arrays import falling_root, within

__all__ = ["Airflow", "Fan", "Gaps", "Opening", "Stack", "fan_pressure_pa", "solve"]

GRAVITY_MS2 = 9.80665
_NAMES = ("stack", "above", "under", "ends", "short", "lane")
_PLENUM_HEADS = COEFFICIENTS["return_pull"] - COEFFICIENTS["supply_recovery"]


@dataclass(frozen=True)
class Opening:
    """One way for the air: its name, open area [m²], flow [m³/s] and speed [m/s] in what is open.

    Source
    ------
    A row of what `solve` found; *computed*.
    """

    name: str
    area_m2: float
    flow_m3s: float
    speed_ms: float


@dataclass(frozen=True)
class Airflow:
    """Where the air goes, as `solve` found it.

    `pressure_pa` is the mean pressure across the load, weighted by flow; `fan_pressure_pa` what the fans make.
    `openings` are "stack", "above", "under", "ends", "short" and "lane"; courses run from the bottom up.

    Source
    ------
    Result of `solve`; *computed*.
    """

    bypass_pct: float
    sticker_speed_ms: float
    pressure_pa: float
    fan_pressure_pa: float
    fan_power_w: float
    total_flow_m3s: float
    course_speed_ms: tuple[float, ...]
    course_pressure_pa: tuple[float, ...]
    openings: tuple[Opening, ...]

    def opening(self, name: str) -> Opening:
        """The opening of that name."""
        return next(opening for opening in self.openings if opening.name == name)

    @property
    def stack_flow_m3s(self) -> float:
        """Flow between the stickers."""
        return self.opening("stack").flow_m3s


def solve(
    stack: Stack,
    gaps: Gaps,
    fan: Fan,
    dry_bulb_c: float = 43.0,
    rh_pct: float = 85.0,
    pressure_pa: float = STANDARD_PA,
    friction: float | None = None,
    return_cooler_c: float = 0.0,
) -> Airflow:
    """Find the flow through every course and every gap.

    Parameters
    ----------
    stack, gaps, fan : Stack, Gaps, Fan.
    dry_bulb_c : dry bulb of the kiln air [°C], 0 to 120.
    rh_pct : its relative humidity [%], 0 to 100.
    pressure_pa : air pressure [Pa].
    friction : None for the full friction law; or one friction factor [-], 0 to 1, with which the fan laws hold exactly.
    return_cooler_c : how much cooler the air in the return plenum is [°C], 0 to 30, along its wet-bulb line; its weight
        is counted, its smaller volume is not.

    Returns
    -------
    Airflow.

    Raises
    ------
    OutOfRange : short courses or a lane that do not fit the stack; no opening at all; air out of range; fans too weak
        to push air through the foot against the weight of the cool air.

    Source
    ------
    Head-loss network (the general approach: Vaz et al. 2013, Adv. Mech. Eng. 538931, *retrieved*), plenums by Bernoulli
    and the momentum balance, weight of the air by hydrostatics, *computed*, with the loss coefficients of
    tables/airflow_coefficients.csv, mostly *from memory*.

    Accuracy
    --------
    Flows balance to one part in 1e9, and scipy finds the same (tests/physics/airflow/test_network.py, test_layers.py).
    Against a real kiln nothing is claimed
    beyond the order of the gaps and the rough size of their share: measure with an anemometer.
    """
    if friction is not None:
        friction = within("Friction factor", friction, 0.0, 1.0, "ratio")
    network = _Network(stack, gaps, dry_bulb_c, rh_pct, pressure_pa, friction, return_cooler_c)
    made = fan.curve(network.density)

    def excess(foot_pa):
        total, top_pa = network.march(foot_pa)[-2:]
        return made(total) - network.turns * total**2 - top_pa

    shutoff = float(made(0.0))
    if return_cooler_c and excess(0.0) <= 0.0:
        raise OutOfRange("fans_too_weak", "fan", shutoff)
    return network.airflow(falling_root(excess, 0.0, shutoff, shutoff), fan)


class _Network:
    """All openings from the foot of the stack to its top; `march` adds up their flows from an assumed foot pressure."""

    def __init__(self, stack, gaps, dry_bulb_c, rh_pct, pressure_pa, friction, return_cooler_c):
        self.stack, self.gaps = stack, gaps
        _check_fit(stack, gaps)
        density = air_density_kgm3(dry_bulb_c, rh_pct, pressure_pa)
        self.density = within("Air density in kg/m³", density, 0.3, 1.5, "ratio")
        self._air = (self.density, air_viscosity_pas(dry_bulb_c), friction)
        self._weight = _weight_pa_m(dry_bulb_c, rh_pct, pressure_pa, return_cooler_c)
        levels = [("under", self._gap("under", gaps.under_m, gaps.under_m * stack.length_m))]
        courses = [("stack", slot) for slot in self._courses()]
        middle = len(courses) // 2
        board = stack.board_thickness_m
        joined = board + 2.0 * (stack.total_opening_m / stack.courses if stack.courses else 0.0)
        beside = [
            ("ends", self._gap("end", gaps.end_m, 2.0 * gaps.end_m * stack.height_m)),
            ("short", self._gap("short", joined, gaps.short_courses * gaps.short_m * board)),
            ("lane", self._lane()),
        ]
        levels += courses[:middle] + beside + courses[middle:]
        levels += [("above", self._gap("above", gaps.above_m, gaps.above_m * stack.length_m))]
        self.levels = [(name, slot) for name, slot in levels if slot]
        self._heights_m = list(self._heights())
        self._top_m = stack.height_m + gaps.above_m
        if not self.levels:
            raise OutOfRange("no_way_for_air", "gaps", 0.0)
        plenum_area = stack.plenum_width_m * (stack.length_m + 2.0 * gaps.end_m)
        head = 0.5 * self.density / plenum_area**2
        self.turns, self._heads = 2.0 * COEFFICIENTS["turn_loss"] * head, _PLENUM_HEADS * head

    def _courses(self):
        stack, slots = self.stack, {}
        ends, way = askew_losses(stack.lean)
        for sticker in stack.stickers_m:
            if sticker not in slots:
                loss = ends * sum(course_losses(sticker, stack.board_thickness_m))
                slots[sticker] = Slot(sticker * stack.open_length_m, sticker, way * stack.width_m, loss, *self._air)
            yield slots[sticker]

    def _heights(self):
        """Height of each level above the foot of the stack: that of the middle of its opening."""
        at, board = 0.0, self.stack.board_thickness_m
        stickers = iter(self.stack.stickers_m)
        for name, _ in self.levels:
            if name == "stack":
                sticker = next(stickers)
                yield at + board + 0.5 * sticker
                at += board + sticker
            else:
                middle = {"under": 0.0, "above": self.stack.height_m + 0.5 * self.gaps.above_m}
                yield middle.get(name, 0.5 * self.stack.height_m)

    def _lane(self):
        """A duct through the load, or None; two plates as far apart as `gap` have the same hydraulic diameter."""
        wide, high = self.gaps.lane_m, self.gaps.lane_height_m
        if min(wide, high) < SHUT_M:
            return None
        loss = COEFFICIENTS["gap_entrance"] + COEFFICIENTS["gap_exit"]
        return Slot(wide * high, wide * high / (wide + high), self.stack.width_m, loss, *self._air)

    def _gap(self, where, gap_m, area_m2):
        """A wide gap whose open part is a narrower entrance and exit, or None where nothing is open."""
        share = self.gaps.open_share(where)
        if gap_m < SHUT_M or area_m2 * share <= 0.0:
            return None
        loss = (COEFFICIENTS["gap_entrance"] + COEFFICIENTS["gap_exit"]) / share**2
        return Slot(area_m2, gap_m, self.stack.width_m, loss, *self._air)

    def march(self, foot_pa: float) -> tuple[list[float], list[float], float, float]:
        """Speeds and pressures level by level, the total flow, and the pressure between the plenums' tops."""
        speeds, pressures, total = [], [], 0.0
        for (_, slot), height_m in zip(self.levels, self._heights_m, strict=True):
            pressure = foot_pa + self._heads * total * total + self._weight * height_m
            speed = slot.speed_ms(pressure)
            speeds.append(speed)
            pressures.append(pressure)
            total += speed * slot.area_m2
        return speeds, pressures, total, foot_pa + self._heads * total * total + self._weight * self._top_m

    def airflow(self, foot_pa: float, fan: Fan) -> Airflow:
        """What `solve` returns, at the foot pressure it found."""
        speeds, pressures, total, top_pa = self.march(foot_pa)
        flows = [speed * slot.area_m2 for speed, (_, slot) in zip(speeds, self.levels, strict=True)]
        rows = list(zip((name for name, _ in self.levels), speeds, pressures, flows, strict=True))
        courses = [row for row in rows if row[0] == "stack"]
        stack_flow = sum(row[3] for row in courses)
        made = top_pa + self.turns * total**2
        return Airflow(
            bypass_pct=100.0 * (1.0 - stack_flow / total),
            sticker_speed_ms=stack_flow / self.stack.open_area_m2 if courses else 0.0,
            pressure_pa=sum(row[2] * row[3] for row in rows) / total,
            fan_pressure_pa=made,
            fan_power_w=made * total / (0.01 * fan.efficiency_pct),
            total_flow_m3s=total,
            course_speed_ms=tuple(row[1] for row in courses),
            course_pressure_pa=tuple(row[2] for row in courses),
            openings=tuple(self._openings(rows)),
        )

    def _openings(self, rows):
        open_area = {"stack": self.stack.open_area_m2}
        for name, slot in self.levels:
            if name == "lane":
                open_area[name] = slot.area_m2
            elif name != "stack":
                open_area[name] = slot.area_m2 * self.gaps.open_share("end" if name == "ends" else name)
        for name in _NAMES:
            flow, area = sum(row[3] for row in rows if row[0] == name), open_area.get(name, 0.0)
            yield Opening(name, area, flow, flow / area if area else 0.0)


def _weight_pa_m(dry_bulb_c, rh_pct, pressure_pa, cooler_c):
    """How much a meter of air weighs more, cooler along its wet-bulb line [Pa/m]."""
    cooler = within("The drop across the load", cooler_c, 0.0, 30.0, "temperature_difference")
    if not cooler:
        return 0.0
    wet = wet_bulb_c(dry_bulb_c, rh_pct, pressure_pa)
    cool_c = within("The drop across the load", dry_bulb_c - cooler, wet, dry_bulb_c, "temperature")
    warm, cool = (
        air_density_kgm3(at_c, rh_from_bulbs_pct(at_c, wet, pressure_pa), pressure_pa) for at_c in (dry_bulb_c, cool_c)
    )
    return GRAVITY_MS2 * (cool - warm)


def _check_fit(stack, gaps):
    if min(gaps.lane_m, gaps.lane_height_m) > 0 and gaps.lane_height_m > stack.height_m:
        fields = {"lane": (gaps.lane_height_m, "length"), "height": (stack.height_m, "length")}
        raise OutOfRange("lane_height", "lane_height_m", gaps.lane_height_m, 0.0, stack.height_m, **fields)
    if gaps.short_courses > stack.courses:
        fields = {"short": f"{gaps.short_courses}", "courses": f"{stack.courses}"}
        raise OutOfRange("short_courses", "short_courses", gaps.short_courses, 0, stack.courses, **fields)
    if gaps.short_m > stack.length_m:
        fields = {"short": (gaps.short_m, "length"), "length": (stack.length_m, "length")}
        raise OutOfRange("short_length", "short_m", gaps.short_m, 0.0, stack.length_m, **fields)
