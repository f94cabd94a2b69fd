"""The room's own kiln on the screen: its gaps, load and fans go in, and where the air goes comes out, with the cost."""

import html

import ipywidgets as widgets

from kilnlib import units
from kilnlib.bench.kit import memory
from kilnlib.bench.kit.screen import LOCK, Pause, by_hand
from kilnlib.bench.workshop.parts import box, days
from kilnlib.cases import stack as case
from kilnlib.errors import KilnError, sentence
from kilnlib.typed import parse_quantity
from kilnlib.words import text

INCHES = ("above_m", "under_m", "end_m", "lane_m", "sticker_thickness_m", "plenum_width_m")
COUNTS = ("courses", "fans")
BOXES = ("above_m", "under_m", "end_m", "lane_m", "sticker_thickness_m", "courses", "plenum_width_m", "fans", "dollars")
KEPT_AS, PAUSE_S = "workshop/own", 0.4


class OwnKiln:
    """The boxes and what they come to. `changed()` is called when typing paused; public for tests: `fill`, `said`."""

    def __init__(self, changed):
        self._changed, self._pause, self._quiet = changed, Pause(), False
        opening = case.Own()
        shown = {name: f"{units.from_si(getattr(opening, name), 'thickness'):g}" for name in INCHES}
        shown |= {name: str(getattr(opening, name)) for name in COUNTS} | {"dollars": ""}
        shown |= {name: words for name, words in (memory.left(KEPT_AS) or {}).items() if name in BOXES}
        self.boxes = {
            name: widgets.Text(value=shown[name], description=text(f"present.own.{name}"), continuous_update=True)
            for name in BOXES
        }
        for made in self.boxes.values():
            made.observe(self._typed, "value")
        self.view = box(widgets.VBox, "fc-own", *self.boxes.values())

    def fill(self, **texts):
        """Put text into boxes and have it taken at once."""
        with LOCK:
            self._quiet = True
            for name, words in texts.items():
                self.boxes[name].value = words
            self._quiet = False
            self._take()

    def said(self):
        """What is shown large, as HTML, and the finding; a sentence to act on where a box cannot be read."""
        try:
            dollars = self._read("dollars", "ratio") if self.boxes["dollars"].value.strip() else None
            found = case.work_out_own(self._own())
        except KilnError as error:
            return "", sentence(error)
        return _shares(found), _finding(found, dollars)

    @by_hand
    def _typed(self, _):
        self._pause.wait(self._take, PAUSE_S)

    def _take(self):
        with LOCK:
            memory.leave(KEPT_AS, {name: made.value for name, made in self.boxes.items()})
            self._changed()

    def _own(self):
        sizes = {name: self._read(name, "thickness") for name in INCHES}
        return case.Own(**sizes, **{name: self._read(name, "count") for name in COUNTS})

    def _read(self, name, kind):
        return parse_quantity(self.boxes[name].value, kind)


def _shares(found):
    """Share, speed and drop, and how plenum and sticker spaces compare."""
    flow, stack = found.now.flow, found.now.stack
    rows = (
        ("miss", f"{flow.bypass_pct:.0f}\u00a0%"),
        ("speed", f"{units.from_si(flow.sticker_speed_ms, 'air_speed'):.0f}"),
        ("drop", f"{units.from_si(found.now.temperature_drop_c, 'temperature_difference'):.0f}\u00a0°F"),
        ("plenum", f"{units.from_si(stack.plenum_width_m, 'thickness'):.0f}\u00a0in"),
    )
    spaces = units.show(stack.total_opening_m, "thickness", decimals=0)
    said = (
        f"<p><b>{html.escape(large)}</b>{html.escape(text(f'present.own.said_{name}', spaces=spaces))}</p>"
        for name, large in rows
    )
    return f'<div class="fc-shares">{"".join(said)}</div>'


def _finding(found, dollars):
    """Which gap to stuff first, what that brings, and what all of them cost a load."""
    if found.worst is None:
        return text("present.own.nothing")
    fields = {
        "gap": text(f"present.own.gap_{found.worst}"),
        "share": f"{found.now.share_pct(found.worst):.0f}",
        "speed": f"{units.from_si(found.without_worst.flow.sticker_speed_ms, 'air_speed'):.0f}",
    }
    late = found.now.worst_days - found.shut.worst_days
    fields["days"] = days(late)
    if dollars is None:
        return text("present.own.first", **fields)
    return text("present.own.first_cost", **fields, dollars=f"{round(2 * late) / 2 * dollars:,.0f}")
