"""What a setpoint check says, in words: the question as it was read, verdict, change, reasons, numbers, sources."""

import html
import math

from kilnlib import units
from kilnlib.errors import worded
from kilnlib.physics.setpoint import (
    BEYOND,
    BULB_C,
    IN_STEP,
    IN_STEP_NUMBERS,
    LIMIT_FROM_PCT,
    NUMBER_C,
    NUMBER_WET_C,
    OFF_SCHEDULE,
    OUTSIDE,
    TOO_HARD_NUMBERS,
    WET_PCT,
)
from kilnlib.words import TEXT, text

LEAST_POINTS = 0.05  # less is none
SAME_C = 0.05  # below this two settings are the same on the screen
LOOKS = {"gentler": "fc-mild", "in step": "fc-even", "harder": "fc-hard", "too hard": "fc-hard"}


def word(key, **fields):
    """A word of this tool."""
    return text(f"setpoint_check.{key}", **fields)


def verdict(check):
    """The verdict of the library, in words."""
    said = text(f"setpoint.verdict.{check.verdict}")
    if check.change.code.startswith("hold_") and check.stage in OFF_SCHEDULE and check.verdict == IN_STEP:
        said = text(f"setpoint.verdict.{check.stage}")
    elif check.change.code.startswith("set_") and check.verdict != BEYOND:
        said = text(f"setpoint.off.{check.verdict}")
    return text("setpoint.verdict_if", verdict=said) if check.change.code == "hold_check_wick" else said


def question(check, system):
    """The question as it was read."""
    found = check.numbers
    return word(
        "asked",
        species=found.species[0].upper() + found.species[1:],
        thickness=found.thickness,
        mc=_percent(found.mc_pct),
        dry=units.show_set(found.dry_bulb_c, "temperature", system),
        wet=units.show(found.wet_bulb_c, "temperature", system),
        depression=units.show(found.depression_c, "temperature_difference", system),
        rh=_percent(found.rh_pct, 0),
    )


def say(check, system):
    """Verdict, question and numbers in one line: the picture's text."""
    found = check.numbers
    said = verdict(check)
    shown = {"verdict": said[0].upper() + said[1:], "asked": question(check, system), "emc": _percent(found.emc_pct)}
    if found.step is None:
        return word("say_outside", **shown)
    return word(
        "say",
        code=found.schedule.code,
        dry=units.show(found.step.dry_bulb_c, "temperature", system),
        depression=units.show(found.step_depression_c, "temperature_difference", system),
        step_emc=_percent(found.step_emc_pct),
        **shown,
    )


def result_rows(check, system):
    """(label, value) pairs."""
    found = check.numbers
    rows = [(word("n_air"), word("v_air", rh=_percent(found.rh_pct, 0), emc=_percent(found.emc_pct)))]
    on_purpose = check.change.code == "hold_white"
    rows += [(word("n_no_step"), word("v_no_step"))] if found.step is None else _step_rows(found, on_purpose, system)
    rows += _pace_rows(found, check.verdict)
    rows.append(_bulb_row(found, system))
    return rows


def reasons(check, system):
    """Sentences, the weightiest first."""
    return [worded("setpoint.reason", reason, system) for reason in check.reasons]


def notes(check, system):
    """Sentences that travel with the numbers."""
    return [worded("setpoint.note", note, system) for note in check.notes]


def change(check, system):
    """The one thing to dial next."""
    return worded("setpoint.change", check.change, system)


def sources(check):
    """(what about, source with how it is known) pairs."""
    return [
        (text(f"setpoint.about.{one.about}"), word("source", source=one.source, how=how(one.how)))
        for one in check.sources
    ]


def how(key):
    """How something is known, in words."""
    return TEXT.get(f"how.{key}", key)


def question_html(check, system):
    """The question as it was read, and what travels with its numbers: beside the reasons there is room for it."""
    below = "".join(f'<div class="fc-said">{html.escape(one)}</div>' for one in notes(check, system))
    return f'<div class="fc-asked">{html.escape(question(check, system))}</div>{below}'


def verdict_html(check, system):
    """Verdict and change, read aloud together when they change."""
    doubted = check.change.code == "hold_check_wick"
    shown = OUTSIDE if doubted else check.verdict
    mark, said = word(f"mark.{shown}"), verdict(check)
    to_do = "ask" if check.verdict == OUTSIDE else "change"
    parts = [
        f'<p class="fc-verdict {LOOKS.get(shown, "fc-out")}"><span aria-hidden="true">{mark} </span>'
        f"{html.escape(said)}</p>",
        f"<p><b>{html.escape(word(to_do))}:</b> {html.escape(change(check, system))}</p>",
    ]
    return f'<div class="fc-answer" role="status" aria-live="polite">{"".join(parts)}</div>'


def reasons_html(check, system):
    """The reasons as a numbered list."""
    items = "".join(f"<li>{html.escape(one)}</li>" for one in reasons(check, system))
    return f'<div class="fc-answer"><b>{html.escape(word("why"))}</b><ol>{items}</ol></div>'


def key_html(check, system):
    """What the code and the numbers of a schedule are, below the table that shows them."""
    found = check.numbers
    if found.step is None:
        return ""
    hot, wet = (units.show(value, "temperature_difference", system) for value in (NUMBER_C, NUMBER_WET_C))
    said = word("key", code=found.schedule.code, hot=hot, wet=wet, above=_percent(WET_PCT))
    return f'<div class="fc-sources">{html.escape(said)}</div>'


def sources_html(check):
    """The sources as a list, each with how it is known."""
    items = "".join(f"<li>{html.escape(about)}: {html.escape(source)}</li>" for about, source in sources(check))
    return f'<div class="fc-sources"><b>{html.escape(word("sources"))}</b><ul>{items}</ul></div>'


def _step_rows(found, on_purpose, system):
    step, known = found.step, how(found.schedule.how)
    dry = units.show(step.dry_bulb_c, "temperature", system)
    if step.as_dry_as_it_goes:
        value = word("v_step_driest", dry=dry, how=known)
    else:
        value = word("v_step", dry=dry, wet=units.show(step.wet_bulb_c, "temperature", system), how=known)
    until = _percent(step.mc_above_pct, 0) if step.mc_above_pct else word("v_until_end")
    heat = _beside("heat", found.dry_bulb_c - step.dry_bulb_c, system)
    depression = _beside("depression", found.depression_c - found.step_depression_c, system)
    return [
        (word("n_step", step=int(step.step), steps=step.steps, code=found.schedule.code), value),
        (word("n_step_air"), word("v_air", rh=_percent(found.step_rh_pct, 0), emc=_percent(found.step_emc_pct))),
        (word("n_away"), word("v_away", heat=heat, depression=depression)),
        (word("n_numbers"), _in_numbers(found.away.numbers, on_purpose)),
        (word("n_until"), until),
    ]


def _pace_rows(found, verdict):
    rows = []
    if math.isnan(found.points_per_day):
        rows.append((word("n_pace"), word("v_no_pace")))
    elif found.points_per_day < LEAST_POINTS:
        wet = found.mc_pct > WET_PCT or found.points_per_day > -LEAST_POINTS
        none, gains = word("v_pace_none"), word("v_pace_gains", points=f"{-found.points_per_day:.1f}")
        rows.append((word("n_pace"), none if wet else gains))
    else:
        low, high = found.likely_points_per_day
        likely = _between(low, high, "points", 1)
        rows.append((word("n_pace"), word("v_pace", points=f"{found.points_per_day:.1f}", likely=likely)))
    if found.limit is None:
        rows.append((word("n_limit"), word("v_no_limit")))
    else:
        key = "v_limit" if found.mc_pct > LIMIT_FROM_PCT else "v_limit_fades"
        rows.append((word("n_limit"), word(key, limit=f"{found.limit_points_per_day:.1f}")))
    return rows


def _bulb_row(found, system):
    value = word(
        "v_bulb",
        rh=_between(found.rh_if_wet_bulb_lower_pct, found.rh_if_wet_bulb_higher_pct, "percent", 0),
        emc=_between(found.emc_if_wet_bulb_lower_pct, found.emc_if_wet_bulb_higher_pct, "percent", 1),
    )
    slow, fast = found.points_if_wet_bulb_higher, found.points_if_wet_bulb_lower
    if not math.isnan(slow):
        value += _pace_if(slow, fast)
    degree = units.show_set(BULB_C, "temperature_difference", system)
    return word("n_bulb", degree=degree), value


def _pace_if(slow, fast):
    """The pace with the wet bulb off, one way or the other: a board that gains is said to dry about not at all."""
    if fast < LEAST_POINTS:
        return word("v_bulb_none")
    if slow < LEAST_POINTS:
        return word("v_bulb_to", pace=units.show(fast, "points", decimals=1))
    return word("v_bulb_pace", pace=_between(slow, fast, "points", 1))


def _beside(what, difference_c, system):
    """Hotter or cooler, more or less depression, by how much."""
    if abs(difference_c) < SAME_C:
        return word(f"{what}_same")
    value = units.show_set(abs(difference_c), "temperature_difference", system)
    return word(f"{what}_{'more' if difference_c > 0 else 'less'}", value=value)


def _in_numbers(numbers, on_purpose):
    """How far apart, beside the bounds of the verdict."""
    value = f"{abs(numbers):.1f}"
    apart = word("v_even") if value == "0.0" else word("v_harsher" if numbers > 0 else "v_milder", value=value)
    if on_purpose:
        return word("v_numbers_white", apart=apart)
    return word("v_numbers", apart=apart, step=f"{IN_STEP_NUMBERS:g}", hard=f"{TOO_HARD_NUMBERS:g}")


def _between(low, high, kind, places):
    """A range with its unit written once, or one value where both are written alike."""
    first, last = (units.show(value, kind, decimals=places) for value in (low, high))
    return (
        last if first == last else word("between", low=first.removesuffix(f" {units.unit_of(kind).label}"), high=last)
    )


def _percent(value, places=None):
    """A percent with so many decimals, or with one where it is not whole."""
    if places is None:
        places = int(abs(value - round(value)) > 0.04)
    return units.show(value, "percent", decimals=places)
