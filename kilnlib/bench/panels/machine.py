"""The machine dries the air, the air dries the wood: where heat and water go once the kiln has settled."""

import functools
from dataclasses import replace

from kilnlib import units
from kilnlib.bench.drawings.machine import drawing
from kilnlib.bench.kit.app import App, Choice, Slider
from kilnlib.bench.kit.screen import by_hand
from kilnlib.cases import machine as case
from kilnlib.units import f_to_c

FULL_PCT = 90.0  # air that dries no board to speak of


class Panel(App):
    """Our example kiln of 2,000 board feet with its cold coil."""

    name = "machine"
    State = case.State
    controls = (
        Slider("dry_bulb_c", "temperature", (80, 160, 1)),
        Slider("wet_bulb_c", "temperature", (70, 130, 1)),
        Slider("outdoor_c", "temperature", (0, 100, 1)),
        Choice("load", case.LOADS),
        Choice("fault", case.FAULTS),
    )
    presets = {  # noqa: RUF012
        "oak": {},
        "pine": {"load": "pine", "dry_bulb_c": f_to_c(130.0), "wet_bulb_c": f_to_c(100.0)},
        "last": {"load": "last", "dry_bulb_c": f_to_c(150.0), "wet_bulb_c": f_to_c(110.0)},
        "iced": {"fault": "iced"},
        "vent": {"fault": "vent"},
        "summer": {"outdoor_c": f_to_c(90.0)},
        "bare": {"load": "last", "dry_bulb_c": f_to_c(150.0), "wet_bulb_c": f_to_c(110.0), "fault": "bare"},
        "cold": {"fault": "strips"},
    }
    quick = False

    def compute(self, state):
        """Where the kiln settles."""
        return case.work_out(state)

    def answers(self, state):
        """The prediction is about the wet bulb, alone: the hours that follow it bear out its verdict."""
        return state != self.opening and state == replace(self.opening, wet_bulb_c=state.wet_bulb_c)

    @by_hand
    def chosen(self, field, value):
        """Another load or fault: what was before stays as a ghost."""
        self.leave_ghost(self.result)
        super().chosen(field, value)

    def prepare(self):
        """No chart: the picture is drawn by hand."""

    def show(self, result, ghost, system, finding):
        """The loop as SVG."""
        return drawing(result, self.labels(result, system) | self.before(ghost, system), finding, self.word("title"))

    def before(self, ghost, system):
        """What stood there before: gallons and hours."""
        if ghost is None:
            return {}
        return {
            "before": self.word("draw_before", water=self._water(ghost.bucket_kg, system), hours=f"{ghost.hours:.1f}")
        }

    def labels(self, result, system):
        """The words of the drawing."""
        power = functools.partial(units.show, kind="power", system=system)
        bought = functools.partial(power, decimals=2)  # a day of it is shown in whole kWh
        flows, state = result.steady.flows, result.steady.state
        air = {
            "dry": units.show(state.dry_bulb_c, "temperature", system),
            "wet": units.show(result.wet_bulb_c, "temperature", system),
            "rh": f"{result.rh_pct:.0f}",
        }
        out, runs = flows.walls_w + flows.leak_w, flows.condenser_w > 0.0
        return {
            "coil": self.word("draw_iced" if result.kiln.fault == "iced" else "draw_coil"),
            "condenser": self.word("draw_condenser"),
            "compressor": self.word("draw_compressor", power=bought(flows.compressor_w)),
            "kiln": self.word("draw_kiln"),
            "air": self.word("draw_air", **air),
            "strips": self.word("draw_strips", power=bought(flows.strips_w)),
            "fans": self.word("draw_fans", power=bought(flows.fans_w)),
            "walls": self.word("draw_walls", power=power(out)),
            "vent": self.word("draw_vent", power=power(flows.vent_w)) if flows.vent_w > 1.0 else "",
            "taken": power(flows.coil_sensible_w + flows.coil_latent_w) if runs else "",
            "given": power(flows.condenser_w) if runs else "",
            "bucket": self.word("draw_bucket", water=self._water(result.bucket_kg, system)),
            "rests": self.word("draw_rests"),
        }

    def _water(self, mass_kg, system):
        return units.show(mass_kg / 1e3, "volume", system, 1)

    def say(self, result, system):
        """The air it settles at, bucket against wood, and hours."""
        state, kiln = result.steady.state, result.kiln
        temperature = functools.partial(units.show, kind="temperature", system=system)
        over = result.wet_bulb_c - min(kiln.wet_bulb_c, kiln.dry_bulb_c)
        which = "high" if over > 1.0 else "low" if over < -1.0 else "held"
        if which == "low" and result.rh_pct > FULL_PCT:
            which = "full"
        if which == "high" and kiln.fault == "iced":
            which = "iced"
        said = self.word(
            "say",
            dry=temperature(state.dry_bulb_c),
            wet=temperature(result.wet_bulb_c),
            rh=f"{result.rh_pct:.0f}",
            bucket=self._water(result.bucket_kg, system),
            wood=self._water(result.wood_kg, system),
            hours=f"{result.hours:.1f}",
        )
        return f"{said} {self.word(f'say_{which}', set=temperature(min(kiln.wet_bulb_c, kiln.dry_bulb_c)))}"

    def readout(self, result, system):
        """Gallons, hours, electricity; the air stands in the picture."""
        return (
            (self.word("bucket"), self._water(result.bucket_kg, system)),
            (self.word("hours"), f"{result.hours:.1f} h"),
            (self.word("kwh"), f"{result.kwh:.0f} kWh"),
        )
