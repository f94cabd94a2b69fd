"""The page of a morning: weights as a table, and what else was written down, as HTML."""

import html

from kilnlib import units
from kilnlib.bench.drawings.morning import word
from kilnlib.bench.kit.screen import rich

SHOWN_DAYS = 3


def bulbs(dry, wet, system, label=True):
    """Two bulbs, "110 over 106 °F", or without their unit."""
    unit = units.unit_of("temperature", system)
    hot, damp = (f"{unit.from_si(bulb):.{unit.decimals}f}" for bulb in (dry, wet))
    return word("over", dry=hot, wet=f"{damp} {unit.label}" if label else damp)


def page(morning, card, point_m3, system):
    """Everything that is known on a morning; `card` and `point_m3` as `cases.morning` has them."""
    lines = [_wettest(morning), *_beside(morning, card, point_m3, system), morning.note]
    return f'<div class="fc-page">{_weights(morning, system)}{"".join(f"<p>{rich(one)}</p>" for one in lines)}</div>'


def _weights(morning, system):
    """The last weights of each board; those of the wettest half are marked."""
    mcs = morning.sheet.days[-1].mcs_pct
    counting = sorted(mcs, key=mcs.get, reverse=True)[: (len(mcs) + 1) // 2]
    unit = units.unit_of("weight", system)
    days = [word("day", day=day) for day in range(morning.day - SHOWN_DAYS + 1, morning.day)]
    heads = [word("board"), *days, word("today", unit=unit.label), word("mc")]
    rows = []
    for board in morning.sheet.boards:
        mark = word("mark") if board.name in counting else ""
        weights = [f"{unit.from_si(one.weight_kg):.3f}" for one in board.weighings[-SHOWN_DAYS:]]
        cells = "".join(f"<td>{cell}</td>" for cell in (*weights, f"{mcs[board.name]:.1f}"))
        rows.append(f'<tr><th scope="row">{mark} {html.escape(board.name)}</th>{cells}</tr>')
    head = "".join(f'<th scope="col">{html.escape(cell)}</th>' for cell in heads)
    return f"<table><thead><tr>{head}</tr></thead><tbody>{''.join(rows)}</tbody></table>"


def _wettest(morning):
    before, now = (f"{day.controlling_pct:.1f}" for day in morning.sheet.days[-2:])
    return word("wettest", before=before, now=now)


def _beside(morning, card, point_m3, system):
    """Card, bulbs, bucket and meter."""
    (until, *bulbs_now), (then, *bulbs_next) = card
    settings = {"here": bulbs(*bulbs_now, system), "there": bulbs(*bulbs_next, system)}
    yield word("card", until=f"{until:g}", then=f"{then:g}", **settings)
    air = morning.sheet.air[-1]
    yield word("bulbs", bulbs=bulbs(air.dry_bulb_c, air.wet_bulb_c, system))
    volumes = (*morning.bucket_m3, point_m3)
    before, now, point = (units.show(volume, "volume", system) for volume in volumes)
    yield word("bucket", before=before, now=now, point=point)
    if morning.meter:
        board, reading, wood = morning.meter
        yield word("meter", board=board, reading=f"{reading:g}", wood=units.show(wood, "temperature", system))
