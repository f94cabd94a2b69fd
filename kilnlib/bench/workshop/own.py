"""The room's own kiln on the screen: its gaps, load and fans go in, and where the air goes comes out, with the cost.

The boxes of its gaps open empty, so that no screen gives away the next; beside one that is filled an empty one is shut.
"""

import html

import ipywidgets as widgets

from kilnlib import units
from kilnlib.bench.kit import memory
from kilnlib.bench.kit.screen import LOCK, Pause, by_hand
from kilnlib.bench.workshop.parts import box, days
from kilnlib.cases import stack as case
from kilnlib.errors import BadInput, KilnError, sentence
from kilnlib.typed import parse_quantity
from kilnlib.words import text

INCHES = ("above_m", "under_m", "end_m", "lane_m", "sticker_thickness_m", "plenum_width_m")
HOLE = "lane_height_m"  # inches too; empty: as high as the load
COUNTS = ("courses", "fans")
BOXES = (
    "above_m",
    "under_m",
    "end_m",
    "lane_m",
    HOLE,
    "sticker_thickness_m",
    "courses",
    "plenum_width_m",
    "fans",
    "dollars",
)
KEPT_AS, PAUSE_S = "workshop/own", 0.4
GAPS = tuple(case.OWN_GAPS.values())
LIMITS = dict.fromkeys(GAPS, (0, 60)) | {HOLE: (1, 600), "sticker_thickness_m": ("1/4", 1), "plenum_width_m": (2, 120)}
LIMITS |= {"courses": (1, 200), "fans": (1, 100)}  # inches and counts, within what the physics takes


class OwnKiln:
    """The boxes and what they come to. `changed()` is called when typing paused; public for tests: `fill`, `said`."""

    def __init__(self, changed):
        self._changed, self._pause, self._quiet = changed, Pause(), False
        shown = _opening()
        shown |= {name: words for name, words in (memory.left(KEPT_AS) or {}).items() if name in BOXES}
        self.boxes = {
            name: widgets.Text(value=shown[name], description=text(f"present.own.{name}"), continuous_update=True)
            for name in BOXES
        }
        for made in self.boxes.values():
            made.observe(self._typed, "value")
        self.boxes[HOLE].placeholder = text("present.own.whole")
        self.view = box(widgets.VBox, "fc-own", *self.boxes.values())

    def fill(self, **texts):
        """Put text into boxes and have it taken at once."""
        with LOCK:
            self._quiet = True
            for name, words in texts.items():
                self.boxes[name].value = words
            self._quiet = False
            self._take()

    def clear(self):
        """The boxes as they opened, for the next room."""
        self.fill(**_opening())

    def result_in_words(self):
        """What is shown large, as HTML, and the finding; a sentence to act on where a box cannot be read."""
        try:
            dollars = self._read("dollars", "ratio") if self.boxes["dollars"].value.strip() else None
            own = self._own()
            if not any(self.boxes[name].value.strip() for name in GAPS):
                return "", text("present.own.empty")
            found = case.work_out_own(own)
        except KilnError as error:
            tight = error.code == "plenum_too_tight"  # whose own words are of feet and of courses
            return "", text("present.own.tight") if tight else sentence(error)
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
        sizes[HOLE] = self._read(HOLE, "thickness") if self.boxes[HOLE].value.strip() else None
        return case.Own(**sizes, **{name: self._read(name, "count") for name in COUNTS})

    def _read(self, name, kind):
        typed = self.boxes[name].value.strip()
        if name in GAPS and not typed:
            return 0.0
        si = parse_quantity(typed, kind)
        if name in LIMITS:
            low, high = LIMITS[name]
            outside = not parse_quantity(str(low), kind) - 1e-9 <= si <= parse_quantity(str(high), kind) + 1e-9
            if outside or (kind == "count" and si != round(si)):
                code = "own_count" if kind == "count" else "own_inches"
                label = text(f"present.own.{name}").removesuffix(", in")
                raise BadInput(code, box=label, typed=typed, low=low, high=high)
        return int(si) if kind == "count" else si


def _opening():
    """What stands in the boxes before anybody typed: no gap, and the load and fans of our invented kiln."""
    kiln = case.Own()
    shown = {name: "" if name in GAPS else f"{units.from_si(getattr(kiln, name), 'thickness'):g}" for name in INCHES}
    return shown | {name: str(getattr(kiln, name)) for name in COUNTS} | {"dollars": "", HOLE: ""}


def _shares(found):
    """Share, speed and drop, and how plenum and sticker spaces compare."""
    flow, stack = found.now.flow, found.now.stack
    rows = (
        ("miss", f"{flow.bypass_pct:.0f}\u00a0%"),
        ("speed", f"{units.from_si(flow.sticker_speed_ms, 'air_speed'):.0f}"),
        ("drop", f"{units.from_si(found.now.temperature_drop_c, 'temperature_difference'):.0f}\u00a0°F"),
        ("plenum", f"{units.from_si(stack.plenum_width_m, 'thickness'):.0f}\u00a0in"),
    )
    fields = {
        "spaces": units.show(stack.total_opening_m, "thickness", decimals=0),
        "verdict": text("present.own.plenum_narrow" if found.wide_plenum else "present.own.plenum_wide"),
    }
    said = (
        f"<p><b>{html.escape(large)}</b>{html.escape(text(f'present.own.said_{name}', **fields))}</p>"
        for name, large in rows
    )
    return f'<div class="fc-shares">{"".join(said)}</div>'


def _finding(found, dollars):
    """Which gap to stuff first, what all of them cost a load, and with a narrow plenum what they would with a wide one.

    Gaps are counted against the same kiln with its gaps shut and its plenum as typed. A narrow plenum has its own part
    in that, so its kiln is worked out with plenums as wide as the sticker spaces too.
    """
    wide = found.wide_plenum
    if found.worst is None and wide is None:
        return text("present.own.nothing")
    if found.worst is None:
        return text("present.own.only_plenum", days=_about(found.shut.worst_days - wide.shut.worst_days))
    late = found.now.worst_days - found.shut.worst_days
    fields = {
        "gap": text("present.own.gap_" + ("hole" if found.worst == "lane" and found.has_hole else found.worst)),
        "share": f"{found.now.share_pct(found.worst):.0f}",
        "speed": f"{units.from_si(found.without_worst.flow.sticker_speed_ms, 'air_speed'):.0f}",
        "days": _about(late),
    }
    if wide:
        gaps_alone = wide.now.worst_days - wide.shut.worst_days
        return text("present.own.first_narrow", **fields, alone=_about(gaps_alone), cost=_cost(gaps_alone, dollars))
    if dollars is None or round(2 * late) < 1:
        return text("present.own.first", **fields)
    return text("present.own.first_cost", **fields, cost=_cost(late, dollars))


def _about(late):
    """Days in words; what comes to less than the half is said so."""
    return text("present.own.about", days=days(late)) if round(2 * late) >= 1 else text("present.own.less_than_half")


def _cost(late, dollars):
    """Money a load, or nothing where no rate was typed or the days are too few to count."""
    if dollars is None or round(2 * late) < 1:
        return ""
    return text("present.own.cost", dollars=f"{round(2 * late) / 2 * dollars:,.0f}")
