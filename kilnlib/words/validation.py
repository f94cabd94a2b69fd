"""Our drying times beside published ones."""

TEXT = {
    "validation.times_head": ("wood", "published days", "ours", "ratio", "what it is", "source"),
    "validation.role.validation": "check",
    "validation.role.tuning wood": "tuned on",
    "validation.role.not computed": "not computed",
    "validation.or_more": "{days} or more",
    "validation.span": "{low} to {high}",
    "validation.taken": "Taken where the source is silent:",
    "validation.far": "Why a ratio lies outside 2/3 to 3/2:",
    "validation.times_sum": "Checks: {count}. Median of ours over published: {median}. Between 2/3 and 3/2: {inside} of {count}. "
    "All: {low} to {high}. The wood the engine is tuned on is no check and not counted.",
    "validation.limits_head": ("wood", "schedule", "our day 1", "our fastest later day", "limit", "share of limit"),
    "validation.limits_miss": "More than 5 % over the published limit, so missed: {names}.",
    "validation.limits_rank": "Rank correlation of our fastest days with the limits: {rank} (1 would be the same order). Our "
    "day 1 lies over the limit for {over} of {count}.",
    "validation.limits_source": "Limits: Univ. of Kentucky FOR-128 Table 9, p. 91 (read in the source or in a faithful copy). "
    "Schedules: from memory, with no warming up.",
    "validation.air_head": ("average MC, %", "white pine", "yellow-poplar"),
    "validation.air_note": "Drying rate at 800 fpm over that at 400 fpm, same average MC, 130 over 115 °F, by the engine.",
    "validation.air_source": "Published: Simpson, FPL-RN-0266 (1997), white pine: speed changes the rate only above about 40 to "
    "50 % MC (read in the source or in a faithful copy).",
    "validation.air_plain": "What emerges: the gain fades as the wood dries, and below 50 % nothing is left. What does not: that "
    "speed counts down to 40 to 50 %. White pine has lost the gain at {pine} % already, yellow-poplar at {poplar} %.",
    "validation.rules_head": ("what", "ours", "published", "source"),
    "validation.rule.thick_oak": "8/4 over 4/4, red oak, same schedule: times as long",
    "validation.rule.thick_poplar": "8/4 over 4/4, yellow-poplar, same schedule",
    "validation.rule.ten": "10 % thicker red oak: times as long",
    "validation.rule.quartersawn": "quartersawn over flatsawn red oak (put in, so no check)",
    "validation.rule.rh": "3 points less RH at 110 over 106 °F, red oak, day 4: times as fast",
    "validation.rule.first": "points lost on day 1, red oak, setting held from the first minute",
    "validation.rule.first_warm": "the same after a day of warming up (the panel): day 1",
    "validation.rule.second_warm": "the same: day 2",
    "validation.rules_plain": "Too steep in thickness, too deaf to humidity, too fast on the first days: in the engine nearly all "
    "resistance lies inside the wood. Believe the published column.",
}
