"""What is said of a simulated charge at its end, and its log on as many sheets as it needs."""

import html

from kilnlib.bench.drawings.charge_game import COLUMNS, log_cells, unit_word
from kilnlib.bench.drawings.trouble import reading
from kilnlib.bench.kit.printed import printed
from kilnlib.physics import charge
from kilnlib.physics.charge.score import FAILED_BELOW, MOST, NOTHING_AT_PCT, UNDO_POINTS, end_between_pct
from kilnlib.physics.conditioning import condition
from kilnlib.physics.wood import species
from kilnlib.tables import advice
from kilnlib.words import text

STYLE = """main {height: auto; overflow: visible; break-inside: auto} tr, p {break-inside: avoid}
td.words {overflow-wrap: anywhere}
h1 {font-size: 13pt; margin-bottom: 2mm} table {border-collapse: collapse; width: 100%; margin: 2mm 0}
td, th {border: 0.2mm solid #999; padding: 0 1mm; text-align: right; font-weight: normal} td.words {text-align: left}"""
FONT = "7.2pt/1.2"
LEAST_TOLD_POINTS = 0.2  # a share of what the samples are off that is worth a sentence
LEAST_TOLD_POINTS_LOST = 1.0  # of the score
LEAST_TOLD_PCT = 0.05  # a loss under it would be told as 0.0 %


def word(key, **fields):
    """A word of the charge."""
    return text(f"charge_game.{key}", **fields)


def faces_words(faces):
    """How the faces look on a morning."""
    boards = ", ".join(str(number + 1) for number in faces.checked)
    checks = [word("checks" if len(faces.checked) > 1 else "checks_one", boards=boards)] if faces.checked else []
    mold = [word("mold")] if faces.moldy else []
    return " ".join(checks + mold) or word("clean")


def turned(prongs):
    """How many prongs turn each way, as the words of a charge name them."""
    return {"inward": prongs.count("in"), "straight": prongs.count("straight"), "out": prongs.count("out")}


def debriefed(debrief, system):
    """Points, what came out, where value went, what was wrong, how it is stored: one sentence or two each."""
    score, result = debrief.score, debrief.outcome
    parts = {name: f"{getattr(score, name):.1f}".removesuffix(".0") for name in ("wood", "log", "decisions")}
    parts["total"] = f"{score.total:.0f}"
    told = [] if score.gate else [word("gate")]
    parts |= {f"{name}_most": f"{MOST[name]:.0f}" for name in ("wood", "log", "decisions")}
    rest = f"{score.days_and_energy:.1f}".removesuffix(".0")
    rest_most = f"{MOST['days_and_energy']:.0f}"
    told.append(word("points", **parts, rest=rest, rest_most=rest_most, undone=score.undone, each=f"{UNDO_POINTS:g}"))
    if not score.failed and MOST["decisions"] - score.decisions >= LEAST_TOLD_POINTS_LOST:
        driest, wettest = (f"{pct:g}" for pct in end_between_pct(debrief.kiln.plan))
        told.append(word("decisions_for", driest=driest, wettest=wettest))
    if score.failed:
        told.append(word("failed", points=f"{FAILED_BELOW:.0f}"))
    told.append(" ".join(_fault(debrief, system)))
    losses = [loss for loss in result.losses if loss.share_pct >= LEAST_TOLD_PCT]
    told += [_loss(loss, result) for loss in losses] or [word("no_loss")]
    if losses or MOST["wood"] - score.wood >= LEAST_TOLD_POINTS_LOST:
        told.append(word("wood_points", half=f"{NOTHING_AT_PCT / 2:g}", nothing=f"{NOTHING_AT_PCT:g}"))
    told += _over_limit(debrief)
    told.append(" ".join(_came_out(debrief)))
    plan = debrief.kiln.plan
    emc = f"{condition(plan.target_pct, species(plan.wood).group).emc_pct:.0f}"
    bent = max(("in", "straight", "out"), key=result.prongs.count)
    water = "condition" if plan.has_mist else "no_water"
    more = [word(f"prongs.{water}", emc=emc)] if bent == "in" and not debrief.not_dry else []
    if plan.has_mist and len(set(result.prongs)) > 1:
        more.insert(0, word("prongs.counts", all=len(result.prongs), **turned(result.prongs)))
    told.append(" ".join([word(f"prongs.{bent}"), *more]))
    even = charge.even_day(debrief.kiln) if plan.has_mist else None
    if even is not None and even < debrief.kiln.day:
        told.append(word("conditioned_wet", most=f"{plan.target_pct + advice('conditioned_board_over'):g}"))
    if debrief.no_reason:
        told.append(word("silent", count=debrief.no_reason))
    if debrief.contradicted:
        told.append(word("contradicted", days=", ".join(str(day) for day in debrief.contradicted)))
    return [*told, word("stored", mc=f"{debrief.stored_pct:.1f}")]


def _came_out(debrief):
    """Moisture of the whole load beside the samples, then days and electricity beside the reference's."""
    result, theirs, samples = debrief.outcome, debrief.theirs, debrief.kiln.log[-1].sample_mc_pct
    driest, wettest = (f"{value:.1f}" for value in (min(result.final_mc_pct), max(result.final_mc_pct)))
    said = f"{sum(samples) / len(samples):.1f}"
    mean = f"{result.mean_mc_pct:.1f}"
    yield word("came_out", all=len(result.final_mc_pct), mc=mean, driest=driest, wettest=wettest, samples=said)
    yield from _samples_off(debrief.samples_off)
    kwh, their_kwh = (f"{one.electricity_kwh:.0f}" for one in (result, theirs))
    took, their_took = _days(result.days), _days(theirs.days)
    yield word("came_out_in", took=took, kwh=kwh, their_took=their_took, their_kwh=their_kwh)
    if debrief.not_dry:
        most = f"{charge.wettest_that_counts_pct(debrief.kiln.plan):.1f}"
        yield word("quick.wet", wettest=wettest, most=most)
    else:
        yield word("quick.part" if debrief.score.days_and_energy > 0.0 else "quick.lost")


def _samples_off(off):
    """How far the samples told another mean than the load's, where they did, and what made it."""
    if off is None:
        return
    mine, load = (f"{one:.0f}" for one in off.start_pct)
    why = word(f"samples_off.{off.why}", mine=mine, all=load) if off.why else ""
    points = {"weight": off.by_weight, "boards": off.by_boards}
    told = [name for name in points if abs(points[name]) >= LEAST_TOLD_POINTS]
    more = {"weight": {}, "boards": {"why": why}}
    parts = [word(f"samples_off.{name}", **_too(points[name]), **more[name]) for name in told]
    yield word("samples_off", **_too(off.points), parts=", ".join(parts))


def _too(points):
    return {"points": f"{abs(points):.1f}", "way": word("samples_off.low" if points < 0.0 else "samples_off.high")}


def _days(count):
    return word("took.one") if count == 1 else word("took.many", days=count)


def _over_limit(debrief):
    if debrief.over_limit:
        day, points = max(debrief.over_limit, key=lambda one: one[1])
        limit = f"{charge.limit_points(debrief.kiln.plan):.1f}"
        yield word("over_limit", limit=limit, count=len(debrief.over_limit), points=f"{points:.1f}", day=day - 1)


def _loss(loss, result):
    usd = result.lost_usd * loss.share_pct / sum(one.share_pct for one in result.losses)
    what = word(f"loss.{loss.kind}", count=len(loss.boards), all=len(result.final_mc_pct))
    return word("loss", what=what, share=f"{loss.share_pct:.1f}", usd=f"${usd:,.0f}", day=loss.day)


def _fault(debrief, system):
    fault, sign, seen = debrief.kiln.plan.fault, debrief.sign, debrief.seen_day
    if fault is None:
        return [word("fault.none")]
    told = [word("fault", fault=text(f"trouble.fault.{fault}")), word("fault.no_sign")]
    if sign is not None:
        value, usual = (reading(sign.code, one, system) for one in (sign.value, sign.usual))
        words = text(f"trouble.sign.{sign.code}", value=value, usual=usual)
        told[1] = word("fault.sign", day=debrief.sign_day, sign=words)
    told.append(word("fault.missed") if seen is None else word("fault.seen", day=seen))
    mended = debrief.kiln.mended_day
    mend = text(f"trouble.mend.{charge.fault_of(fault).mended_by}")
    return [*told, word("fault.unmended", mend=mend) if mended is None else word("fault.mended", day=mended)]


def log_page(debrief, title, system):
    """The log, day by day, with what was decided and why; then what became of it."""
    kiln = debrief.kiln
    columns = [name for name, _ in COLUMNS] + ["mist"] * kiln.plan.has_mist
    heads = [f"{word(f'row.{name}')} {unit_word(name, system)}".strip() for name in columns]
    heads += [word("page.samples"), word("page.acts"), word("page.reason")]
    head = "".join(f"<th>{html.escape(one)}</th>" for one in heads)
    rows = "".join(_row(kiln, columns, morning, system) for morning in kiln.log)
    table = f"<table><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>"
    told = "".join(f"<p>{html.escape(one)}</p>" for one in [*debriefed(debrief, system), word("page.note")])
    return printed(title, FONT, STYLE, f"<h1>{html.escape(title)}</h1>{table}{told}")


def _row(kiln, columns, morning, system):
    """One morning: its readings, and the decision that was made for the day before it."""
    cells = log_cells(kiln, morning, system)
    decision = kiln.decisions[morning.day - 1] if morning.day else None
    acts = ", ".join(text(f"trouble.{charge.act_of(code).kind}.{code}") for code in decision.acts) if decision else ""
    samples = " ".join(f"{mc:.0f}" for mc in morning.sample_mc_pct)
    readings = "".join(f"<td>{html.escape(cells[name])}</td>" for name in columns)
    words = "".join(
        f'<td class="words">{html.escape(one)}</td>' for one in (samples, acts, decision.reason if decision else "")
    )
    return f"<tr>{readings}{words}</tr>"
