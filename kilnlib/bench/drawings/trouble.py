"""Ten days of a kiln's log as one chart, read like a mill's: bulbs, water, hours, electricity and boards, as SVG."""

from kilnlib import units
from kilnlib.bench.drawings.sketch import lettering, picture
from kilnlib.bench.kit.colors import BLUE, FAINT, INK, RUST, SOFT
from kilnlib.words import text

WIDTH, HEIGHT = 640, 346
LEFT_PX, DAY_PX = 112.0, 52.4  # where the columns begin, and how wide one is
NAME_PX = 11.0  # from the number of a board to the next
BULBS, WATER, BOARDS = (44.0, 92.0), (122.0, 164.0), (274.0, 340.0)  # top and foot of the three pictures
WOOD, TRACK = "#e3bd8a", "#dcdcd6"
DASHES = ("", "7 3", "2 3", "", "7 3", "2 3")
SHADES = (INK, INK, INK, BLUE, BLUE, BLUE)
PARTS = ("compressor", "strips", "vent")


def word(key, **fields):
    """A word of the logs."""
    return text(f"trouble.row.{key}", **fields)


def drawing(log, day, first, finding, system):
    """The chart of a log; `day` is the one that is marked, `first` that of the first sign once it may be seen."""
    parts = [
        *_columns(len(log.mornings), day, first),
        *_bulbs(log, system),
        *_water(log, system),
        *_hours(log),
        *_boards(log),
    ]
    return picture(parts, finding, WIDTH, HEIGHT)


def reading(code, value, system):
    """A reading of a sign as it stands in the log."""
    if "bulb" in code or code == "wet_over_dry":
        return units.show(value, "temperature", system)
    if code.startswith("drop"):
        return units.show(value, "temperature_difference", system)
    return f"{value:.2f}" if code.startswith("ratio") else f"{value:.1f}"


def _x(number):
    """Middle of a day's column, from 0."""
    return LEFT_PX + DAY_PX * (number + 0.5)


def _columns(days, day, first):
    """Stripes, the marked day, the day of the first sign, and the days' numbers."""
    for number in range(days):
        left = LEFT_PX + DAY_PX * number
        if number + 1 == day:
            yield f'<rect data-part="marked" x="{left:.1f}" y="0" width="{DAY_PX}" height="{HEIGHT}" fill="#dce9f7"/>'
        elif number % 2:
            yield f'<rect x="{left:.1f}" y="0" width="{DAY_PX}" height="{HEIGHT}" fill="#f6f6f3"/>'
        if number + 1 == first:
            yield (
                f'<rect data-part="first" x="{left + 1:.1f}" y="1" width="{DAY_PX - 2}" height="{HEIGHT - 2}" '
                f'fill="none" stroke="{RUST}" stroke-width="2"/>'
            )
        yield lettering(str(number + 1), _x(number), 17, weight="bold", anchor="middle")
    yield lettering(word("day"), 4, 17, weight="bold")


def _bulbs(log, system):
    """Both bulbs as numbers, and as curves with the dry bulb of the air that leaves."""
    unit = units.unit_of("temperature", system)
    curves = {
        "dry": [one.dry_bulb_c for one in log.mornings],
        "out": [one.dry_bulb_leaving_c for one in log.mornings],
        "wet": [one.wet_bulb_c for one in log.mornings],
    }
    low, high = min(map(min, curves.values())), max(map(max, curves.values()))
    low, high = low - 0.05 * (high - low), high + 0.05 * (high - low)
    for name, color, dashes in (("wet", BLUE, ""), ("dry", RUST, ""), ("out", RUST, "2 3")):
        yield _curve(curves[name], low, high, BULBS, color, dashes, name)
    for name, y, color in (("dry", 37, RUST), ("wet", 108, BLUE)):
        yield lettering(word(name), 4, y, color)
        for number, bulb in enumerate(curves[name]):
            yield lettering(f"{unit.from_si(bulb):.0f}", _x(number), y, color, "middle")
    yield lettering(word("bulbs", unit=unit.label), 4, 64, SOFT)
    yield f'<path d="M4 79h18" stroke="{RUST}" stroke-width="2.2" stroke-dasharray="2 3"/>'
    yield lettering(word("out"), 27, 84, RUST)


def _water(log, system):
    """What the bucket caught beside what the wood gave, and the one over the other."""
    unit = units.unit_of("volume", system)
    top, foot = WATER
    most = max(max(one.bucket_kg, one.load_loss_kg) for one in log.mornings)
    for number, one in enumerate(log.mornings):
        for name, value, left, color in (("wood", one.load_loss_kg, 2, WOOD), ("bucket", one.bucket_kg, -18, BLUE)):
            high = (foot - top) * max(value, 0.0) / most
            yield (
                f'<rect data-part="{name}" x="{_x(number) + left:.1f}" y="{foot - high:.1f}" width="16" '
                f'height="{high:.1f}" fill="{color}" stroke="{INK if name == "wood" else color}" stroke-width="0.7"/>'
            )
        ratio = f"{one.bucket_ratio:.2f}" if one.load_loss_kg > 0.0 else word("none")
        yield lettering(ratio, _x(number), 182, INK, "middle")
    yield f'<path d="M{LEFT_PX} {foot}H{WIDTH}" stroke="{FAINT}"/>'
    yield lettering(word("water", unit=unit.label), 4, 128, SOFT)
    for name, y, color in (("bucket", 145, BLUE), ("wood", 162, INK)):
        fill = WOOD if name == "wood" else BLUE
        yield f'<rect x="4" y="{y - 11}" width="11" height="11" fill="{fill}" stroke="{color}" stroke-width="0.7"/>'
        yield lettering(word(name), 20, y, color)
    yield lettering(word("ratio"), 4, 182)


def _hours(log):
    """Running hours as numbers over bars that are full at 24, and electricity for each unit of water."""
    for row, part in enumerate(PARTS):
        y = 201 + 20 * row
        yield lettering(word(part), 4, y)
        for number, one in enumerate(log.mornings):
            hours = getattr(one, f"{part}_hours")
            left, wide = LEFT_PX + DAY_PX * number + 3, (DAY_PX - 6) * min(hours / 24.0, 1.0)
            yield f'<rect x="{left:.1f}" y="{y + 3}" width="{DAY_PX - 6:.1f}" height="3" fill="{TRACK}"/>'
            yield f'<rect data-part="{part}" x="{left:.1f}" y="{y + 3}" width="{wide:.1f}" height="3" fill="{SOFT}"/>'
            yield lettering(f"{hours:.0f}", _x(number), y, INK, "middle")
    for number, spent in enumerate(log.kwh_a_gallon):
        yield lettering(word("none") if spent is None else f"{spent:.1f}", _x(number), 262, INK, "middle")
    yield lettering(word("per", unit=units.unit_of("volume", "trade").label), 4, 262)


def _boards(log):
    """Points that each sample board lost in each day."""
    values = log.points
    high = max(max(day) for day in values) * 1.05
    low = min(0.0, min(min(day) for day in values))
    for board in range(len(values[0])):
        curve = [day[board] for day in values]
        yield _curve(curve, low, high, BOARDS, SHADES[board % 6], DASHES[board % 6], f"board-{board}", 1.6)
    yield from _board_names(values[0], low, high)
    yield lettering(word("boards"), 4, 306, SOFT)
    yield lettering(word("boards_note"), 4, 323, SOFT)
    yield lettering(f"{high / 1.05:.1f}", LEFT_PX - 5, 283, SOFT, "end")
    yield lettering(f"{low:.1f}" if low else "0", LEFT_PX - 5, 341, SOFT, "end")


def _board_names(first, low, high):
    """The boards' numbers left of their lines, in the order of the first day, moved apart where lines lie close."""
    top, foot = BOARDS
    order = sorted(range(len(first)), key=lambda board: -first[board])
    y = top + 2.0
    for place, board in enumerate(order):
        wanted = foot - (foot - top) * (first[board] - low) / (high - low) + 4.0
        y = max(y + NAME_PX if place else y, min(wanted, foot - NAME_PX * (len(order) - 1 - place)))
        yield lettering(str(board + 1), LEFT_PX + 6, y, SHADES[board % 6], size=12)


def _curve(values, low, high, band, color, dashes, name, width=2.2):
    top, foot = band
    scale = (foot - top) / max(high - low, 1e-9)
    places = " ".join(f"{_x(number):.1f},{foot - scale * (value - low):.1f}" for number, value in enumerate(values))
    return (
        f'<polyline data-part="{name}" points="{places}" fill="none" stroke="{color}" stroke-width="{width}" '
        f'stroke-dasharray="{dashes}"/>'
    )
