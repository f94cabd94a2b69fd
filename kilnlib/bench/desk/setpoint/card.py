"""A wall card: the settings of every step of a schedule at this mill, on one page to print (A4 or Letter)."""

import html
import math
from dataclasses import dataclass

from kilnlib import units
from kilnlib.bench.desk.setpoint.wording import how
from kilnlib.bench.kit.printed import printed
from kilnlib.errors import NotFound, worded
from kilnlib.physics import air
from kilnlib.physics.air import emc
from kilnlib.physics.conditioning import air_for, condition, equalize
from kilnlib.physics.samples import UPLAND_OAK, safe_rate
from kilnlib.physics.schedules import (
    code_for,
    ladder,
    opened_at_once_c,
    reach,
    widest_depression_c,
)
from kilnlib.physics.setpoint import (
    CONDITIONING,
    EQUALIZING,
    LIMIT_FROM_PCT,
    TARGET_PCT,
    depression_on_the_way_c,
    upland_oak_note,
)
from kilnlib.tables import advice
from kilnlib.words import text

COLUMNS_MM = (12, 26, 16, 16, 22, 11, 12, 13, 43, 18)  # the last is empty, for date and initials
HEADS = ("step", "mc", "dry", "wet", "gap", "rh", "emc", "limit", "how")
TO_DO = ("do_1", "do_2", "do_3", "do_4", "do_5")
MOVED_C = advice("kiln_change_of_its_own")
ROUNDING_C = 1e-6
MOST_HEAT_C = advice("most_heat_at_once") + 0.5 / 1.8  # and half a degree, as bulbs are rounded


@dataclass(frozen=True)
class Card:
    """What stands on the card."""

    title: str
    facts: str
    warnings: list
    heads: tuple
    rows: list
    finish: list  # rows of equalizing and conditioning
    notes: list
    to_do: list
    sources: str


def card(species, thickness, kiln, system, day, mc_pct=None, own_kiln=True, target_pct=TARGET_PCT):
    """The card of a species and thickness in a kiln. Raises NotFound where there is no schedule for it."""
    chosen = code_for(species, thickness)
    limit = _limit(chosen.species, chosen.thickness)
    rungs = ladder(chosen.code)
    reaches = [reach(units.f_to_c(rung.dry_bulb_f), units.f_to_c(rung.wet_bulb_f), kiln) for rung in rungs]
    settings = [_rounded(found.same_rh, system) for found in reaches]
    pressure = air.pressure_pa(kiln.altitude_m)
    rows, before = [], None
    for alike in _alike(settings, [found.limits for found in reaches]):
        first, last = alike[0], alike[-1]
        now, rung = settings[first], rungs[first]
        rh = air.rh_pct(*now, pressure)
        star = " *" if any(reaches[number].limits for number in alike) else ""
        numbers = f"{first + 1}" if first == last else f"{first + 1}–{last + 1}"
        shown = limit is not None and (rung.mc_below_pct is None or rung.mc_below_pct > LIMIT_FROM_PCT)
        rows.append(
            (
                f"{numbers}{star}",
                _span(rung, rungs[last]),
                _number(now[0], "temperature", system),
                _number(now[1], "temperature", system),
                _number(now[0] - now[1], "temperature_difference", system),
                f"{rh:.0f}",
                f"{emc.emc_pct(now[0], rh):.1f}",
                f"{limit.points_per_day:.1f}" if shown else "–",
                _way(before, now, bool(star), kiln, system),
            )
        )
        before = now
    unit = units.unit_of("temperature", system).label
    return Card(
        title=_word("title", species=chosen.species[0].upper() + chosen.species[1:], thickness=chosen.thickness),
        facts=_facts(chosen, kiln, day, mc_pct, own_kiln, system),
        warnings=_warnings(chosen, own_kiln),
        heads=tuple(_word(f"head_{head}", unit=unit) for head in HEADS),
        rows=rows,
        finish=[_finish(stage, before[0], kiln, system, target_pct) for stage in (EQUALIZING, CONDITIONING)],
        notes=_notes(chosen, limit, rungs, reaches, kiln, system, target_pct),
        to_do=[_word(key) for key in TO_DO],
        sources=_sources(chosen, limit),
    )


def as_html(made):
    """The card as HTML."""
    head = "".join(f"<th>{html.escape(words)}</th>" for words in (*made.heads, _word("head_signed")))
    drawn = [*made.rows, *made.finish]
    rows = "\n".join(
        "<tr>" + "".join(f"<td>{html.escape(cell)}</td>" for cell in (*row, "")) + "</tr>" for row in drawn
    )
    notes = "".join(f"<li>{html.escape(words)}</li>" for words in made.notes)
    to_do = "".join(f"<li>{html.escape(words)}</li>" for words in made.to_do)
    widths = " ".join(f"th:nth-child({n}) {{width: {mm}mm}}" for n, mm in enumerate(COLUMNS_MM, 1))
    high = min(12.5, 80.0 / (len(drawn) + 1))
    wide = max(len(cell) for row in drawn for cell in row[2:4])
    bulbs_pt = min(20.0 if wide <= 3 else 15.0, 2.0 * high)
    style = f"""
h1 {{font-size: 17pt; line-height: 9mm; max-height: 18mm; overflow: hidden}}
h2 {{font-size: 11pt; margin-top: 2mm}}
.facts {{font-size: 10pt}} .warn {{margin-bottom: 2mm; font-weight: bold}}
table {{border-collapse: collapse; table-layout: fixed; width: 189mm}}
tbody tr {{height: {high:.2f}mm}}
th, td {{border: 0.2mm solid #777; padding: 0.5mm 1mm; text-align: center; font-size: 14pt; font-weight: bold}}
th {{font-size: 10pt; line-height: 1.15; font-weight: normal; color: #333}}
td:nth-child(1), td:nth-child(2), td:nth-child(n+5) {{font-weight: normal}}
td:nth-child(-n+2), td:nth-child(n+5) {{font-size: 11.5pt; line-height: 1.05}}
tbody td:nth-child(2) {{font-size: 10.5pt; white-space: nowrap}}
td:nth-child(3), td:nth-child(4) {{font-size: {bulbs_pt:.1f}pt; line-height: 1}}
td:nth-child(9) {{font-size: 9pt; line-height: 1.15; text-align: left}}
{widths}
ul {{list-style: none; margin-top: 1.5mm; font: 9pt/1.2 "DejaVu Sans", Arial, sans-serif}}
ol, .entry {{font-size: 9.5pt; line-height: 1.2}} ol {{padding-left: 6mm}} li {{margin-bottom: 0.5mm}}
.entry {{border: 0.6mm solid #111; padding: 1.5mm 2mm; margin-top: 2mm}}
.foot {{font-size: 8pt; line-height: 1.2; color: #333; margin-top: 2mm}}
"""
    body = f"""
<h1>{html.escape(made.title)}</h1>
<p class="facts">{html.escape(made.facts)}</p>
<p class="warn">{html.escape(" ".join(made.warnings))}</p>
<table><thead><tr>{head}</tr></thead><tbody>
{rows}
</tbody></table>
<ul>{notes}</ul>
<h2>{html.escape(_word("do_head"))}</h2>
<ol>{to_do}</ol>
<p class="entry"><b>{html.escape(_word("entry_head"))}.</b> {html.escape(text("entry.steps"))}</p>
<p class="foot"><b>{html.escape(text("setpoint_check.defer"))}</b> {html.escape(made.sources)}</p>
"""
    return printed(made.title, "9.5pt/1.2", style, body)


def _word(key, **fields):
    return text(f"wall_card.{key}", **fields)


def _limit(species, thickness):
    try:
        found = safe_rate(species, thickness)
    except NotFound:
        return None
    return found if found.points_per_day == found.points_per_day else None


def _rounded(one, system):
    """Bulbs as they will be dialed, so that RH and EMC on the card belong to them."""
    unit = units.unit_of("temperature", system)
    dry, wet = (unit.to_si(round(unit.from_si(value), unit.decimals)) for value in (one.dry_bulb_c, one.wet_bulb_c))
    return dry, min(wet, dry)


def _alike(settings, limits):
    """Steps in a row that are one setting in this kiln, or nearly so because of its limits: their places."""
    groups = [[0]]
    for number in range(1, len(settings)):
        first = groups[-1][0]
        apart = max(abs(one - other) for one, other in zip(settings[number], settings[first], strict=True))
        if apart < (MOVED_C if limits[first] and limits[number] else ROUNDING_C):
            groups[-1].append(number)
        else:
            groups.append([number])
    return groups


def _span(wettest, driest):
    first, last = wettest.mc_below_pct is None, driest.mc_above_pct == 0.0
    shown = {"since": f"{wettest.mc_below_pct or 0:.0f}", "to": f"{driest.mc_above_pct:.0f}"}
    return _word(("mc_only" if last else "mc_first") if first else "mc_last" if last else "mc", **shown)


def _number(value, kind, system):
    unit = units.unit_of(kind, system)
    return f"{unit.from_si(value):.{unit.decimals}f}"


def _way(before, now, limited, kiln, system):
    """One change at a time: drier air first, in parts, more heat after the next weighing, much heat in halves."""
    if before is None:
        return _word("how_first")
    stops = list(_openings(before, now, limited, kiln, system))
    last = stops[-1] if stops else before
    if now[0] - last[0] > MOST_HEAT_C:
        pair = tuple(0.5 * (one + other) for one, other in zip(last, now, strict=True))
        stops.append(_rounded(reach(*pair, kiln).same_rh, system))
    shown = [_word("stop", **dict(zip(("dry", "wet"), _dials(stop, system), strict=True))) for stop in stops]
    if stops:
        return _word("how_stops", stops=_word("then").join(shown))
    both = all(abs(new - old) >= MOVED_C for new, old in zip(now, before, strict=True))
    return _word("how_both" if both else "how_one")


def _openings(before, now, limited, kiln, system):
    """The settings between two rows at the old dry bulb, each as much drier as is opened at once."""
    dry, wet = before
    pressure, hotter = air.pressure_pa(kiln.altitude_m), now[0] - dry >= MOVED_C
    rh = air.rh_pct(*now, pressure)
    goal = depression_on_the_way_c(dry, now[0], now[0] - now[1], rh, pressure, limited) if hotter else now[0] - now[1]
    goal = min(goal, widest_depression_c(dry, kiln))
    while goal - (dry - wet) >= MOVED_C:
        wet = _up(dry - opened_at_once_c(dry, dry - wet, goal, pressure), system)
        if not hotter and wet - now[1] < MOVED_C:
            return
        yield dry, wet


def _up(wet_bulb_c, system):
    """A wet bulb as it is dialed, no drier than asked for."""
    unit = units.unit_of("temperature", system)
    scale = 10**unit.decimals
    return unit.to_si(math.ceil(unit.from_si(wet_bulb_c) * scale - ROUNDING_C) / scale)


def _finish(stage, dry_bulb_c, kiln, system, target_pct):
    """The row of a stage after drying, at the last step's heat."""
    pressure, rule = air.pressure_pa(kiln.altitude_m), equalize(target_pct)
    if stage == EQUALIZING:
        wanted = air_for(float(rule.emc_pct), dry_bulb_c, pressure)
        there = reach(wanted.dry_bulb_c, wanted.wet_bulb_c, kiln).same_emc
    else:  # the coil rests then
        there = air_for(float(condition(target_pct).emc_pct), dry_bulb_c, pressure)
    dry, wet = _rounded(there, system)
    rh = air.rh_pct(dry, wet, pressure)
    shown = {"start": f"{float(rule.start_driest_pct):g}", "target": f"{target_pct:g}"}
    return (
        _word(f"step_{stage}"),
        _word(f"mc_{stage}", **shown),
        _number(dry, "temperature", system),
        _number(wet, "temperature", system),
        _number(dry - wet, "temperature_difference", system),
        f"{rh:.0f}",
        f"{emc.emc_pct(dry, rh):.1f}",
        "–",
        _word(f"how_{stage}", **shown),
    )


def _dials(one, system):
    return [_number(value, "temperature", system) for value in one]


def _warnings(chosen, own_kiln):
    sentences = [_word("from_memory")] if chosen.how == "memory" else []
    return sentences if own_kiln else [*sentences, _word("not_yours")]


def _facts(chosen, kiln, day, mc_pct, own_kiln, system):
    altitude = units.show(kiln.altitude_m, "altitude", system)
    made = _word("made", day=f"{day:%Y-%m-%d}")
    if mc_pct is not None:
        made = _word("made_at", day=f"{day:%Y-%m-%d}", mc=f"{mc_pct:g} %")
    named = _word("kiln" if own_kiln else "kiln_example", name=kiln.name, altitude=altitude)
    return " · ".join([_word("schedule", code=chosen.code, how=how(chosen.how)), named, made])


def _notes(chosen, limit, rungs, reaches, kiln, system, target_pct):
    sentences = []
    limited = [number for number, found in enumerate(reaches) if found.limits]
    if limited:
        book = "; ".join(_book(number + 1, rungs[number], system) for number in limited)
        shown = {"top": kiln.top_dry_bulb_c, "coil": kiln.coil_wet_bulb_limit_c}
        shown = {name: units.show(value, "temperature", system) for name, value in shown.items()}
        sentences.append(
            _word("star", driest=units.show(kiln.driest_rh_pct, "percent", decimals=0), book=book, **shown)
        )
    sentences.append(_word("finish_note", target=f"{target_pct:g}"))
    sentences.append(_word("limit_note" if limit is not None else "no_limit_note"))
    if limit is not None and chosen.species == UPLAND_OAK:
        sentences.append(worded("setpoint.note", upland_oak_note(limit.points_per_day, chosen.thickness), system))
    for other in chosen.also:
        if other.code != chosen.code:
            shown = {"code": other.code, "source": other.source, "how": how(other.how)}
            sentences.append(_word("also", changes=_changes(rungs, ladder(other.code), system), **shown))
    if chosen.note:
        sentences.append(_word("note", note=chosen.note[0].upper() + chosen.note[1:]))
    return sentences


def _changes(ours, theirs, system):
    """What another source sets otherwise, step by step where the steps are the same ones."""
    if [rung.mc_above_pct for rung in ours] != [rung.mc_above_pct for rung in theirs]:
        return _word("other_steps", first=_book(1, theirs[0], system), last=_book(len(theirs), theirs[-1], system))
    other = [
        _book(number, rung, system)
        for number, (own, rung) in enumerate(zip(ours, theirs, strict=True), 1)
        if (own.dry_bulb_f, own.depression_f) != (rung.dry_bulb_f, rung.depression_f)
    ]
    return _word("other_settings", settings="; ".join(other)) if other else _word("other_none")


def _book(number, rung, system):
    dry = units.show(units.f_to_c(rung.dry_bulb_f), "temperature", system)
    if rung.as_dry_as_it_goes:
        return _word("book_driest", step=number, dry=dry)
    wet = units.show(units.f_to_c(rung.wet_bulb_f), "temperature", system)
    return _word("book", step=number, dry=dry, wet=wet)


def _sources(chosen, limit):
    named = [_word("source_schedule", source=f"{chosen.source} ({how(chosen.how)})")]
    if limit is not None:
        named.append(_word("source_limit", source=f"{limit.source} ({how(limit.how)})"))
    named += [_word("source_air"), _word("source_order")]
    return _word("sources", sources="; ".join(named))
