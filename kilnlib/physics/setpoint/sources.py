"""The sources behind a setpoint check: tables/setpoint_sources.csv, and those of schedule, limit and stain.

What each is about has its words under "setpoint.about.…".
"""

import math
from collections.abc import Iterable

from kilnlib import tables
from kilnlib.physics.reason import Reason
from kilnlib.physics.setpoint.result import CheckResult, Source
from kilnlib.physics.softwoods import softwood_fact

SOURCES = {row["about"]: (row["source"], row["how"]) for row in tables.records("setpoint_sources")}
ABOUT = {code: row["about"] for row in tables.records("setpoint_sources") for code in row["reasons"].split()}


def sources_for(result: CheckResult, reasons: Iterable[Reason], stage: str = "") -> tuple[Source, ...]:
    """The sources behind what is shown.

    Parameters
    ----------
    result : result.CheckResult.
    reasons : the reasons shown.
    stage : where the charge is, one of stage.STAGES.

    Returns
    -------
    Tuple of Source, without repeats.

    Raises
    ------
    Nothing.

    Source
    ------
    As named in each; *retrieved*, *computed* or *from memory*.

    Accuracy
    --------
    Exact.
    """
    found = [Source(about, *SOURCES[about]) for about in ("air", "emc")]
    if stage in ABOUT:
        found.append(Source(ABOUT[stage], *SOURCES[ABOUT[stage]]))
    if result.schedule is not None:
        for one in (result.schedule, *result.schedule.also):
            found.append(Source("schedule", f"{one.source}: {one.code}" if one.source else one.code, one.how))
    if result.limit is not None:
        found.append(Source("limit", result.limit.source, result.limit.how))
    if not math.isnan(result.points_per_day):
        found.append(Source("pace", *SOURCES["pace"]))
    known = softwood_fact(result.species, result.mc_pct, result.dry_bulb_c, result.wet_bulb_c, result.rh_pct)
    for reason in reasons:
        if known and reason.code == known.code:
            found.append(Source("softwood", known.source, known.how))
        if reason.code in ABOUT:
            found.append(Source(ABOUT[reason.code], *SOURCES[ABOUT[reason.code]]))
        elif reason.code.startswith("stain_") or reason.code == "white_on_purpose":
            found += [
                Source("stain", row["source"], row["how"])
                for row in tables.records("stain_risks")
                if row["species"] == result.species and _of_stain(reason.code, row["risk"])
            ]
    return tuple(dict.fromkeys(found))


def _of_stain(code, risk):
    """Whether a reason is about this risk."""
    return code.startswith(f"stain_{risk}") or (code == "white_on_purpose" and risk == "gray")
