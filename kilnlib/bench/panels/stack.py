"""Through the stack: which way the air takes, and what the wood pays for each gap left open."""

import functools
from dataclasses import replace

from kilnlib import units
from kilnlib.bench.drawings.stack import SPEED_TOP_MS, drawing
from kilnlib.bench.kit.app import App, Choice, Slider, Switch
from kilnlib.bench.kit.screen import by_hand
from kilnlib.cases import stack as case

LONGEST_DAYS = 60  # a longer time is not written as a number: it would only say that the air stands still


class Panel(App):
    """The kiln at Tamarack Ford in cross-section, with gaps to open and close."""

    name = "stack"
    State = case.State
    controls = (
        Choice("load", case.LOADS),
        Slider("sticker_thickness_m", "thickness", (0.5, 1, 0.0625)),
        Slider("fan_speed_pct", "share", (50, 150, 5)),
        *(Switch(gap) for gap in case.GAPS),
    )
    presets = {  # noqa: RUF012
        "baffled": {},
        "above": {"above": True},
        "ends": {"ends": True},
        "under": {"under": True},
        "short": {"load": "short", "above": True},
        "mixed": {"load": "mixed"},
        "half": {"fan_speed_pct": 50.0},
        "overfull": {"load": "overfull"},
    }

    def compute(self, state):
        """Where the air goes, temperature drop and days."""
        return case.work_out(state)

    def answers(self, state):
        """True while the gap above alone is open: any other picture would contradict the printed answer."""
        return state == replace(self.opening, above=True)

    @by_hand
    def chosen(self, field, value):
        """A gap opened or closed, or another load: what was before stays as a ghost."""
        self.leave_ghost(self.result)
        super().chosen(field, value)

    def prepare(self):
        """No chart: the picture is drawn by hand."""

    def show(self, result, ghost, system, finding):
        """The cross-section as SVG."""
        return drawing(result, self.labels(result, ghost, system), finding, self.word("title"), ghost)

    def labels(self, result, ghost, system):
        """The words of the drawing."""
        speed = functools.partial(units.show, kind="air_speed", system=system)
        labels = {
            gap: self.word(
                f"draw_{gap}.{'open' if getattr(result.state, gap) else 'shut'}", share=f"{result.share_pct(gap):.0f}"
            )
            for gap in case.GAPS
        }
        flow, slowest = result.flow, "thin" if result.state.load == "mixed" else "slow"
        labels |= {
            "fans": self.word("draw_fans", speed=units.show(result.state.fan_speed_pct, "share")),
            "plan": self.word("draw_plan"),
            "baffle": self.word("draw_baffle"),
            "mean": self.word("draw_mean", speed=speed(flow.sticker_speed_ms)),
            "fast": self.word("draw_fast", speed=speed(max(flow.course_speed_ms))),
            "slow": self.word(f"draw_{slowest}", speed=speed(min(flow.course_speed_ms))),
            "scale": self.word("draw_scale"),
            "slack": "0",
            "brisk": speed(SPEED_TOP_MS),
        }
        if ghost:
            before = {"miss": f"{ghost.flow.bypass_pct:.0f}", "speed": speed(ghost.flow.sticker_speed_ms)}
            labels["before"] = self.word("draw_before", **before)
        return labels

    def say(self, result, system):
        """What is open, what misses the wood, the speeds and the days."""
        speed = functools.partial(units.show, kind="air_speed", system=system)
        flow, state = result.flow, result.state
        gaps = [self.word(f"gap_{gap}") for gap in state.open_gaps]
        opened = self.word("say_open", gaps=", ".join(gaps)) if gaps else self.word("say_shut")
        if state.load != "full":
            sizes = {"opening": result.stack.total_opening_m, "plenum": result.stack.plenum_width_m}
            written = {name: units.show(size, "thickness", system, 0) for name, size in sizes.items()}
            opened = f"{self.word(f'say_{state.load}', **written)} {opened}"
        return self.word(
            "say",
            open=opened,
            miss=f"{flow.bypass_pct:.0f}",
            speed=speed(flow.sticker_speed_ms),
            slow=speed(min(flow.course_speed_ms)),
            fast=speed(max(flow.course_speed_ms)),
            days=self._days(result),
        )

    def _days(self, result):
        """First and last course done; the tenths are there to compare one gap with another, not to forecast."""
        if result.best_days >= LONGEST_DAYS:
            return self.word("long")
        worst = f"{result.worst_days:.1f}" if result.worst_days < LONGEST_DAYS else self.word("long")
        return self.word("range", best=f"{result.best_days:.1f}", worst=worst)

    def readout(self, result, system):
        """Share that misses the wood, speed, temperature drop, days."""
        cooler = units.show(result.temperature_drop_c, "temperature_difference", system)
        return (
            (self.word("misses"), f"{result.flow.bypass_pct:.0f} %"),
            (self.word("speed"), units.show(result.flow.sticker_speed_ms, "air_speed", system)),
            (self.word("drop"), cooler),
            (self.word("days"), self._days(result)),
        )
