"""Two thermometers and one number: how full of water the air of a kiln is, by its dry and its wet bulb."""

from dataclasses import dataclass

from kilnlib import units
from kilnlib.bench.drawings.bulbs import drawing
from kilnlib.bench.kit.app import App, Slider
from kilnlib.cases.tamarack import PRESSURE_PA
from kilnlib.physics import air
from kilnlib.units import f_to_c


@dataclass(frozen=True)
class State:
    """What the sliders set."""

    dry_bulb_c: float = f_to_c(110.0)
    wet_bulb_c: float = f_to_c(106.0)


@dataclass(frozen=True)
class Result:
    """The two bulbs and the relative humidity that they mean at Tamarack Ford."""

    state: State
    rh_pct: float

    @property
    def depression_c(self):
        """Dry bulb less wet bulb."""
        return self.state.dry_bulb_c - self.state.wet_bulb_c


class Panel(App):
    """The first panel of all: nothing on it but what a new operator reads on the first day."""

    name = "bulbs"
    State = State
    controls = (Slider("dry_bulb_c", "temperature", (70, 160, 1)), Slider("wet_bulb_c", "temperature", (50, 160, 1)))
    presets = {  # noqa: RUF012
        "opening": {},
        "middle": {"dry_bulb_c": f_to_c(120.0)},
        "late": {"dry_bulb_c": f_to_c(140.0), "wet_bulb_c": f_to_c(110.0)},
        "fog": {"dry_bulb_c": f_to_c(100.0), "wet_bulb_c": f_to_c(100.0)},
    }

    def compute(self, state):
        """Relative humidity from the two bulbs."""
        return Result(state, air.rh_pct(state.dry_bulb_c, state.wet_bulb_c, PRESSURE_PA))

    def prepare(self):
        """No chart: the thermometers are drawn by hand."""

    def show(self, result, ghost, system, finding):
        """The thermometers and the number as SVG."""
        labels = {key: self.word(f"draw_{key}") for key in ("dry", "wet", "wick", "number", "meaning")}
        labels |= {f"{key}_reads": self._written(result, key, system) for key in ("dry", "wet")}
        labels["rh"] = f"{result.rh_pct:.0f} %"
        labels["apart"] = self.word("draw_apart", apart=self._apart(result, system))
        return drawing(result, labels, finding, units.unit_of("temperature", system), ghost)

    @staticmethod
    def _written(result, bulb, system):
        return units.show_set(getattr(result.state, f"{bulb}_bulb_c"), "temperature", system)

    @staticmethod
    def _apart(result, system):
        return units.show(result.depression_c, "temperature_difference", system)

    def say(self, result, system):
        """Both bulbs, and the number."""
        bulbs = {key: self._written(result, key, system) for key in ("dry", "wet")}
        return self.word("say", rh=f"{result.rh_pct:.0f}", apart=self._apart(result, system), **bulbs)

    def readout(self, result, system):
        """The one number."""
        return ((self.word("rh"), f"{result.rh_pct:.0f} %"),)
