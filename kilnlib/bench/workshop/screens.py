"""The workshop's screens: what each shows and asks, its words, numbers and picture; nothing here draws on the page."""

import functools
from dataclasses import dataclass, replace

from kilnlib import units
from kilnlib.bench.drawings.edges import drawing as drawing_of_edges
from kilnlib.bench.drawings.faults import drawing as drawing_of_faults
from kilnlib.bench.drawings.space import drawing as drawing_of_space
from kilnlib.bench.drawings.stack import drawing
from kilnlib.bench.workshop.parts import days, halves
from kilnlib.cases import stack as case
from kilnlib.cases import turning as turns
from kilnlib.units import IN_M, UNIT_SPACE_IN_PRINT
from kilnlib.words import text

SHUT = case.State()
OPEN = case.State(above=True, ends=True, under=True)
WIDE_END_M = 12 * IN_M  # of the last screen, whose widest gap is another than that of the screens before
LAST = case.State(ends=True, under=True, end_m=WIDE_END_M)
LABEL_PX = 32  # of the drawing's 640


@dataclass(frozen=True)
class Screen:
    """One idea: a situation before and after Reveal, which bet is right, which number is large. Its words: `words`.

    What is shown is the kiln, one sticker space ("space"), four faulty loads ("faults"), fans that turn ("turn"), only
    words ("words"), or the room's own kiln ("own"); the last two ask nothing. `weighed` counts the weight of the cool
    air.
    """

    name: str
    before: case.State = SHUT
    after: case.State = SHUT
    right: int | None = None
    number: str = "miss"
    shows: str = "kiln"
    weighed: bool = False

    @property
    def asks(self):
        """Whether the room bets on something here."""
        return self.right is not None

    @property
    def bets(self):
        """What the room may bet on."""
        return text(f"present.{self.name}.bets") if self.asks else ()

    @property
    def ends_matter(self):
        """Whether the gaps at the ends of the stack have a part in it: only then are they drawn."""
        return self.before.ends or self.after.ends

    def result(self, state):
        """What a situation of this screen comes to."""
        return _result(state, self.weighed)


SCREENS = {
    "through_the_stack": (
        Screen("title", shows="words"),
        Screen("why", SHUT, SHUT, 1, "drop", "space"),
        Screen("above", SHUT, case.State(above=True), 2),
        Screen("low", SHUT, case.State(ends=True, under=True), 3),
        Screen("days", SHUT, OPEN, 1, "days"),
        Screen("foot", SHUT, OPEN, 2, "slow", weighed=True),
        Screen("stickers", SHUT, case.State(load="mixed"), 0, "wet", "faults"),
        Screen("plenum", SHUT, case.State(load="overfull"), 2, "slow"),
        Screen("turn", SHUT, SHUT, 2, "apart", "turn"),
        Screen("own", shows="own"),
        Screen("check", shows="words"),
        Screen("first", LAST, replace(LAST, ends=False), 2),
    )
}
NO_BREAK = "\u00a0"
_result = functools.cache(case.work_out)


def say(screen, part):
    """Words of a screen ("question", "finding", "before", "after") with the numbers of its situations."""
    return UNIT_SPACE_IN_PRINT.sub(NO_BREAK, text(f"present.{screen.name}.{part}", **_numbers(screen)))


def source(screen):
    """Where the numbers of a screen come from, in a line."""
    return text(f"present.source.{screen.name}")


def number(screen, state):
    """The large number of a screen in one of its situations."""
    quantities = _turning_numbers() if screen.number == "apart" else _of(screen.result(state))
    return text(f"present.number.{screen.number}", **quantities)


def picture(screen, revealed, width_px=640):
    """The drawing of a screen as SVG: the situation before, or the one after with a ghost of the one before."""
    if screen.shows in PICTURES:
        return PICTURES[screen.shows](screen, revealed, width_px)
    result = screen.result(screen.after if revealed else screen.before)
    quantities = _of(result)
    shown = "draw" if revealed else "hidden"
    end = units.show(result.gaps.end_m, "thickness", decimals=0)
    labels = {
        gap: text(f"present.{shown}.{gap}", share=f"{result.share_pct(gap):.0f}", end=end)
        if getattr(result.state, gap)
        else ""
        for gap in case.GAPS
    }
    labels |= {name: text(f"present.draw.{name}") for name in ("fans", "deck", "baffle", "plan")}
    if not revealed and result.state.open_gaps:
        labels |= {"mean": "", "fast": "", "slow": ""}
    elif screen.number == "slow" and not revealed:
        mean = "" if screen.weighed else text("present.draw.mean", **quantities)
        labels |= {"mean": mean, "fast": "", "slow": ""}
    elif screen.number == "slow":
        slow = "thin" if result.state.load == "mixed" else "slow"
        labels |= {"mean": "", "fast": text("present.draw.fast", **quantities)}
        labels["slow"] = text(f"present.draw.{slow}", **quantities)
    else:
        was = [text("present.draw.was", **_of(screen.result(screen.before)))] if revealed else []
        between = [text("present.draw.between"), *was]
        labels |= {"mean": text("present.draw.mean", **quantities), "under_mean": between, "fast": "", "slow": ""}
    labels["scale"] = ""  # its shades cannot be told apart from the back of a room
    told = "present.alt" if revealed or not result.state.open_gaps else "present.alt_hidden"
    alt = text(told, state=say(screen, "after" if revealed else "before"), **quantities)
    leaves_a_mark = screen.before.open_gaps or screen.before.load != screen.after.load
    ghost = screen.result(screen.before) if revealed and leaves_a_mark else None
    if ghost:
        labels["before"] = text("present.draw.before")
    still = not revealed and bool(result.state.open_gaps)  # the width of a stream would tell
    return drawing(result, labels, alt, text("present.title"), ghost, LABEL_PX, width_px, screen.ends_matter, still)


def _space(screen, revealed, width_px):
    """The drawing of one sticker space; how much cooler the air comes out only after Reveal."""
    quantities = _of(screen.result(screen.after))
    labels = {name: text(f"present.draw.{name}") for name in ("enters", "heat", "water")}
    labels["leaves"] = text("present.draw.leaves" if revealed else "present.draw.leaves_hidden", **quantities)
    alt = text("present.alt_space" if revealed else "present.alt_space_hidden", **quantities)
    return drawing_of_space(labels, alt, text("present.space_title"), LABEL_PX, width_px)


def _faults(screen, revealed, width_px):
    """The four loads; after Reveal what each costs."""
    names = {fault: text(f"present.fault.{fault}") for fault in case.FAULTS}
    quantities = _fault_numbers()
    results = {fault: text(f"present.fault_costs.{fault}", **quantities) for fault in case.FAULTS} if revealed else {}
    alt = say(screen, "finding") if revealed else text("present.alt_faults")
    return drawing_of_faults(names, results, alt, text("present.faults_title"), LABEL_PX, width_px)


def _turning(screen, revealed, width_px):
    """Pine and oak, fans one way and by turns; after Reveal how wet they are from edge to edge."""
    rows = [
        (
            text(f"present.turn.{row.wood}_{'turned' if row.turn_h else 'one_way'}"),
            bool(row.turn_h),
            row.zones(revealed),
            [f"{halves(zone)} %" for zone in (row.turn.zone_mc_pct[0], row.turn.zone_mc_pct[-1])] if revealed else "??",
        )
        for row in turns.rows()
    ]
    alt = say(screen, "finding") if revealed else text("present.alt_turn")
    return drawing_of_edges(rows, alt, text("present.turn_title"), LABEL_PX, width_px)


PICTURES = {"space": _space, "faults": _faults, "turn": _turning}


def _fault_numbers():
    """What each fault of a load costs, as text."""
    loads = {fault: _result(case.State(load=fault)) for fault in case.FAULTS}
    slower = 100 * (1 - loads["askew"].flow.sticker_speed_ms / _result(SHUT).flow.sticker_speed_ms)
    mixed = loads["mixed"]
    return {
        "lag": days(mixed.worst_days - mixed.best_days),
        "slower": f"{slower:.0f}",
        **{fault: f"{loads[fault].share_pct('lane'):.0f}" for fault in ("hole", "lane")},
    }


def _turning_numbers():
    """What turning the fans and more air do to pine and oak, as text."""
    found = turns.compared()
    return {
        "apart": halves(found.apart_pct),
        "pine": f"{found.pine_longer_pct:.0f}",
        "oak": f"{found.oak_longer_pct:.0f}",
    }


def _of(result):
    """Every number of a situation that the words may use, as text in trade units."""
    flow = result.flow
    speeds = {"mean": flow.sticker_speed_ms, "slow": min(flow.course_speed_ms), "fast": max(flow.course_speed_ms)}
    sizes = {"stickers": result.stack.total_opening_m, "plenum": result.stack.plenum_width_m}
    return {
        "miss": f"{flow.bypass_pct:.0f}",
        "drop": f"{units.from_si(result.temperature_drop_c, 'temperature_difference'):.0f}",
        "days": halves(result.worst_days),
        "wet": f"{result.worst_mc_pct:.0f}",
        "spread": days(result.worst_days - result.best_days),
        **{name: f"{units.from_si(speed, 'air_speed'):.0f}" for name, speed in speeds.items()},
        **{name: units.show(size, "thickness", decimals=0) for name, size in sizes.items()},
    }


def _numbers(screen):
    """Those of the situation after, and with an ending those of before and of all shut; what changed between them."""
    after, before, shut = (screen.result(state) for state in (screen.after, screen.before, SHUT))
    opened = {name: _result(state) for name, state in (("above", case.State(above=True)), ("open", OPEN))}
    named = _of(after) | _fault_numbers() | _turning_numbers()
    for ending, result in (("before", before), ("shut", shut), *opened.items()):
        named |= {f"{name}_{ending}": words for name, words in _of(result).items()}
    lost = 100 * (1 - after.flow.sticker_speed_ms / before.flow.sticker_speed_ms)
    return named | {
        "less": f"{lost:.0f}",
        "wetter": f"{100 * (after.wet_days / before.wet_days - 1):.0f}",
        "wood": f"{100 * (after.stack.width_m / before.stack.width_m * before.worst_days / after.worst_days - 1):.0f}",
        "longer": days(after.worst_days - before.worst_days),
        "sooner": days(before.worst_days - after.worst_days),
        "sooner_shut": days(before.worst_days - shut.worst_days),
    }
