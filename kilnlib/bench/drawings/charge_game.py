"""A charge on one of its mornings, as SVG: log, sample boards in the air, and their drying so far.

At the end it stands beside the reference run.
"""

import math

from kilnlib import units
from kilnlib.bench.drawings.chase import wetness
from kilnlib.bench.drawings.sketch import CRACK, EDGE, arrow, lettering, picture
from kilnlib.bench.kit.colors import BLUE, FAINT, GREEN, INK, RUST, SOFT
from kilnlib.words import text

WIDTH, HEIGHT, END_WIDTH = 640, 394, 470
LINES, LINE_PX, HEAD = 5, 18, 32  # of the log; its head holds names over units
COLUMNS = (  # of the log: name, right edge in px
    ("day", 30), ("set", 126), ("bulbs", 192), ("out", 248), ("bucket", 302), ("wood", 348), ("compressor", 434),
    ("strips", 480), ("vent", 518), ("kwh", 570), ("outdoors", 638),
)  # fmt: skip
UNITS = dict.fromkeys(("set", "bulbs", "out", "outdoors"), "temperature") | dict.fromkeys(
    ("bucket", "wood", "mist"), "volume"
)
TOP = 134  # of the boards and the chart
SLICE_WIDE, SLICE_HIGH, ACROSS, DOWN = 128, 34, 190, 80
LEFT = 44
FULL_PCT = 90.0  # as blue as a slice gets
CHART = (452.0, 628.0, 156.0, 348.0)  # left, right, top, foot
WAY = (44.0, 456.0, 40.0, 352.0)  # the same of the chart at the end
MOLD_PLACES = 14
NAMES = (("wettest", 424, BLUE, ""), ("driest", 501, RUST, "6 2"), ("target", 566, INK, "2 4"))  # under the chart


def word(key, **fields):
    """A word of this drawing."""
    return text(f"charge_game.{key}", **fields)


def drawing(kiln, faces, finding, system):
    """The kiln on this morning."""
    parts = [*_log(kiln, system), *_boards(kiln, faces, system), *_way(kiln)]
    return picture(parts, finding, WIDTH, HEIGHT)


def compared(kiln, reference, outcome, finding):
    """The mean of the samples by day beside that of the reference run, with a mark on each morning that cost value."""
    ways = {"yours": _means(kiln), "reference": _means(reference)}
    days, top = max(len(way) for way in ways.values()) - 1, max(max(way) for way in ways.values()) * 1.05
    place = _place(WAY, days, top)
    parts = [*_scales(WAY, days, top, place), _level(kiln.plan.target_pct, WAY, place)]
    parts.append(lettering(word("curve"), 44, 24, SOFT))
    for name, color, dashes, y in (("reference", GREEN, "7 4", 60), ("yours", BLUE, "", 82)):
        parts.append(_curve(ways[name], place, color, dashes, name))
        parts.append(f'<path d="M300 {y - 5}h40" stroke="{color}" stroke-width="3" stroke-dasharray="{dashes}"/>')
        parts.append(lettering(word(name), 346, y))
    for day in sorted({loss.day for loss in outcome.losses}):
        x, y = place(day, ways["yours"][min(day, len(ways["yours"]) - 1)])
        parts.append(f'<circle data-part="loss" cx="{x:.1f}" cy="{y:.1f}" r="7" fill="white" stroke="{RUST}" '
                     f'stroke-width="3"/>')  # fmt: skip
    if outcome.losses:
        parts.append(f'<circle cx="320" cy="99" r="7" fill="white" stroke="{RUST}" stroke-width="3"/>')
        parts.append(lettering(word("damage"), 346, 104))
    return picture(parts, finding, END_WIDTH, HEIGHT)


def dial(bulb_c, system):
    """A setting as it was dialed: in whole degrees, or to a tenth where it is not whole; without its unit."""
    return f"{units.unit_of('temperature', system).from_si(bulb_c):.1f}".removesuffix(".0")


def unit_word(name, system):
    """Unit of a column of the log; nothing for its day."""
    if name == "day":
        return ""
    if name in UNITS:
        return units.unit_of(UNITS[name], system).label
    return word("unit.kwh" if name == "kwh" else "unit.hours")


def _log(kiln, system):
    """The heads of the columns and the last lines."""
    yield f'<rect width="{WIDTH}" height="{HEAD + 4}" fill="#f0f0ec"/>'
    for name, right in COLUMNS:
        yield lettering(word(f"row.{name}"), right, 14, SOFT, "end", 14)
        yield lettering(unit_word(name, system), right, 29, SOFT, "end", 14)
    for row, morning in enumerate(kiln.log[-LINES:]):
        y = HEAD + 17 + LINE_PX * row
        cells = log_cells(kiln, morning, system)
        for name, right in COLUMNS:
            yield lettering(cells[name], right, y, INK, "end", weight="bold" if morning is kiln.log[-1] else "normal")


def log_cells(kiln, morning, system):
    """What stands in one line of the log, by the name of its column."""
    degrees, water = (units.unit_of(kind, system).from_si for kind in ("temperature", "volume"))
    first = morning.day == 0
    asked = None if first else kiln.decisions[morning.day - 1]
    none = word("none")
    cells = {
        "set": none if first else f"{dial(asked.dry_bulb_c, system)}/{dial(asked.wet_bulb_c, system)}",
        "out": none if first else f"{degrees(morning.dry_bulb_leaving_c):.0f}",
        "bucket": none if first else f"{water(morning.bucket_kg * 1e-3):.1f}",
        "wood": none if first else f"{water(morning.load_loss_kg * 1e-3):.1f}",
        "mist": none if first else f"{water(morning.mist_kg * 1e-3):.1f}",
        "kwh": none if first else f"{morning.electricity_kwh:.0f}",
    }
    cells |= {
        part: none if first else f"{getattr(morning, f'{part}_hours'):.0f}" for part in ("compressor", "strips", "vent")
    }
    return cells | {
        "day": str(morning.day),
        "bulbs": f"{degrees(morning.dry_bulb_c):.0f}/{degrees(morning.wet_bulb_c):.0f}",
        "outdoors": f"{degrees(morning.outdoors_c):.0f}",
    }


def _boards(kiln, faces, system):
    """The sample boards as they lie in the air, seen from their ends: blue where wet, cracked where checked."""
    last, before = kiln.log[-1], kiln.log[-2] if kiln.day else None
    unit = units.unit_of("weight", system)
    yield lettering(word("air_in", dry=units.show(last.dry_bulb_c, "temperature", system)), 4, TOP + 14, RUST)
    if kiln.day:
        out = word("air_out", dry=units.show(last.dry_bulb_leaving_c, "temperature", system))
        yield lettering(out, LEFT + ACROSS + SLICE_WIDE + 46, TOP + 14, RUST, "end")
    for place, number in enumerate(last.samples):
        row, column = divmod(place, 2)
        x, y = LEFT + column * ACROSS, TOP + 26 + (2 - row) * DOWN
        yield from _slice(_profile(kiln, number), x, y, number in faces.checked, faces.moldy)
        yield from _ways(kiln, number, x, y)
        yield lettering(word("board", number=number + 1, mc=f"{last.sample_mc_pct[place]:.1f}"), x, y + SLICE_HIGH + 16)
        weight = f"{unit.from_si(last.sample_weights_kg[place]):.2f} {unit.label}"
        if before is not None:
            points = f"{last.sample_mc_pct[place] - before.sample_mc_pct[place]:+.1f}".replace("-", "−")
            weight = word("weight", weight=weight, points=points)
        yield lettering(weight, x, y + SLICE_HIGH + 32, SOFT, size=14)


def _profile(kiln, number):
    """Moisture content from face to face of a board this morning."""
    if not kiln.truth.stretches:
        return [kiln.truth.boards[number].board.start_mc_pct]
    half = [float(value) for value in kiln.truth.stretches[-1].history.profile_pct[-1][number]]
    return [*half, *reversed(half)]


def _slice(profile, x, y, checked, moldy):
    high = SLICE_HIGH / len(profile)
    for layer, mc in enumerate(profile):
        yield (
            f'<rect data-part="layer" x="{x}" y="{y + layer * high:.2f}" width="{SLICE_WIDE}" '
            f'height="{high + 0.3:.2f}" fill="{wetness(mc, FULL_PCT)}"/>'
        )
    outline = f'width="{SLICE_WIDE}" height="{SLICE_HIGH}" fill="none" stroke="{EDGE}" stroke-width="2"'
    yield f'<rect x="{x}" y="{y}" {outline}/>'
    if checked:
        for share in (0.15, 0.38, 0.62, 0.85):
            at = x + share * SLICE_WIDE
            yield f'<path data-part="check" d="M{at - 3:.1f} {y}L{at:.1f} {y + 13}L{at + 3:.1f} {y}Z" fill="{CRACK}"/>'
    if moldy:
        for number in range(MOLD_PLACES):
            at = x + (number + 0.5) * SLICE_WIDE / MOLD_PLACES
            yield f'<circle data-part="mold" cx="{at:.1f}" cy="{y - 2}" r="{2 + number % 3}" fill="{GREEN}"/>'


def _ways(kiln, number, x, y):
    """An arrow before each board, longer where the air is faster."""
    speed = float(kiln.truth.stretches[-1].speed_ms[number]) if kiln.truth.stretches else 0.0
    if speed > 0.0:
        long = 10.0 + 22.0 * min(speed / 2.5, 1.0)
        yield arrow(x - 6 - long, y + SLICE_HIGH / 2, x - 6, y + SLICE_HIGH / 2, RUST)


def _means(kiln):
    return [sum(one.sample_mc_pct) / len(one.sample_mc_pct) for one in kiln.log]


def _way(kiln):
    """Driest and wettest sample by day, and the target."""
    days = max(kiln.day, 10)
    top = max(max(one.sample_mc_pct) for one in kiln.log) * 1.05
    place = _place(CHART, days, top)
    yield lettering(word("curve"), CHART[0] - 30, TOP + 14, SOFT, size=14)
    yield from _scales(CHART, days, top, place)
    yield _level(kiln.plan.target_pct, CHART, place)
    yield _curve([max(one.sample_mc_pct) for one in kiln.log], place, BLUE, "", "wettest")
    yield _curve([min(one.sample_mc_pct) for one in kiln.log], place, RUST, "6 3", "driest")
    for name, x, color, dashes in NAMES:
        yield f'<path d="M{x} {HEIGHT - 9}h14" stroke="{color}" stroke-width="2.6" stroke-dasharray="{dashes}"/>'
        yield lettering(word(name), x + 18, HEIGHT - 4, color, size=14)


def _place(area, days, top):
    left, right, high, foot = area
    return lambda day, mc: (left + (right - left) * day / days, foot - (foot - high) * mc / top)


def _scales(area, days, top, place):
    left, right, _, foot = area
    step = 20 if top > 45 else 10
    for mc in range(0, math.floor(top) + 1, step):
        y = place(0, mc)[1]
        yield f'<path d="M{left} {y:.1f}H{right}" stroke="{FAINT}"/>'
        yield lettering(str(mc), left - 6, y + 5, SOFT, "end", 14)
    step = 5 if days <= 25 else 10
    for day in range(0, days + 1, step):
        yield lettering(str(day), place(day, 0)[0], foot + 18, SOFT, "middle", 14)


def _level(target, area, place):
    y = place(0, target)[1]
    return f'<path data-part="target" d="M{area[0]} {y:.1f}H{area[1]}" stroke="{INK}" stroke-dasharray="2 4"/>'


def _curve(values, place, color, dashes, name):
    points = " ".join("{:.1f},{:.1f}".format(*place(day, value)) for day, value in enumerate(values))
    return (
        f'<polyline data-part="{name}" points="{points}" fill="none" stroke="{color}" stroke-width="2.6" '
        f'stroke-dasharray="{dashes}"/>'
    )
