"""The sources behind a setpoint check; what each is about has its words under "setpoint.about.…" in words.py."""

import math
from collections.abc import Iterable

from kilnlib import tables
from kilnlib.physics.setpoint.result import CheckResult, Reason, Source
from kilnlib.physics.softwoods import softwood_fact

SOURCES = {
    "air": ("ASHRAE Fundamentals (2017) ch. 1 eqs. 6, 22, 33", "retrieved"),
    "emc": ("Wood Handbook, FPL-GTR-190 (2010) eq. 4-5", "retrieved"),
    "pace": ("Diffusion through the thickness with Simpson's diffusivity of red oak; one number tuned on red oak",
             "computed"),
    "mold": ("Univ. of Kentucky FOR-128 p. 89; AH-188 p. 146 as found by Oregon State Univ. Extension", "retrieved"),
    "heat": ("Univ. of Kentucky FOR-128 p. 48; Wengert, Deep surface checking", "retrieved"),
    "early": ("Wengert, Critical drying time", "retrieved"),
    "checks": ("Wood Handbook, FPL-GTR-190 ch. 13 p. 13-10", "retrieved"),
    "bulb": ("Wengert (2012), Temperature and humidity measurement accuracy", "retrieved"),
    "pitch": ("Wengert, Perfect pitch; Setting the pitch", "retrieved"),
    "reach": ("Practice for dehumidification kilns: the same RH at the lower temperature (AH-188 p. 145, GTR-118)",
              "memory"),
}  # fmt: skip
ABOUT = {  # what a reason rests on
    "check_wick": "bulb", "mold_fans": "mold",
    "mold": "mold", "too_hot_wet": "heat", "early": "early", "check_prone": "checks", "wet_bulb_error": "bulb",
    "pitch": "pitch", "step_out_of_reach": "reach",
}  # fmt: skip


def sources_for(result: CheckResult, reasons: Iterable[Reason]) -> tuple[Source, ...]:
    """The sources behind what is shown.

    Parameters
    ----------
    result : result.CheckResult.
    reasons : the reasons shown.

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
