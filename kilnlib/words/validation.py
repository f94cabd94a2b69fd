"""Our drying times beside published ones."""

TEXT = {
    "validation.checks_head": ("what", "published", "to be met", "ours", "ours over published", "met?", "source"),
    "validation.checks_tunes": "Rows that tuned a number, so that they prove nothing: {met} of {count} are met.",
    "validation.checks_checks": "Rows that check, on which nothing was tuned: {met} of {count} are met.",
    "validation.checks_apart": "Ranges from memory, shown and not counted: {met} of {count} are met.",
    "validation.checks_missed": "What does not fit, and why as far as we know:",
    "validation.checks_miss": "{what}, {ratio} times",
    "validation.and_more": "{first}, and {more} rows of its kind",
    "validation.checks_notes": "Beside the other rows:",
    "validation.at_least": "{low} or more",
    "validation.met": "met",
    "validation.missed": "MISSED",
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
    "validation.limits_head": ("wood", "schedule", "our day 1", "our fastest day", "limit", "share of limit"),
    "validation.limits_tuned": "The faces of each wood are tuned on its limit for 4/4, so these rows check nothing. Those for "
    "8/4 do.",
    "validation.limits_miss": "More than 5 % over the published limit, so missed: {names}.",
    "validation.limits_rank": "Rank correlation of our fastest days with the limits: {rank} (1 would be the same order). Our "
    "day 1 lies over the limit for {over} of {count}.",
    "validation.limits_source": "Limits: Univ. of Kentucky FOR-128 Table 9, p. 91 (read in the source or in an exact copy). "
    "Schedules: from memory, with no warming up.",
    "validation.air_head": ("average MC, %", "white pine", "yellow-poplar"),
    "validation.air_note": "Drying rate at 800 fpm over that at 400 fpm, same average MC, 130 over 115 °F, by the engine.",
    "validation.air_source": "Published: Simpson, FPL-RN-0266 (1997), white pine: speed changes the rate only above about 40 to "
    "50 % MC (read in the source or in an exact copy).",
    "validation.air_plain": "White pine has lost its gain at {pine} %, where the print has 40 to 50 %, and one number is tuned "
    "on it. Yellow-poplar, whose gain was not tuned, has lost it at {poplar} % already: too early, if it is like pine.",
    "validation.rules_head": ("what", "ours", "published", "source"),
    "validation.rule.thick_oak": "8/4 over 4/4, red oak, same schedule: times as long",
    "validation.rule.thick_poplar": "8/4 over 4/4, yellow-poplar, same schedule",
    "validation.rule.ten": "10 % thicker red oak: times as long",
    "validation.rule.quartersawn": "quartersawn over flatsawn red oak (put in, so no check)",
    "validation.rule.rh": "3 points less RH at 110 over 106 °F, red oak, day 4: times as fast",
    "validation.rule.first": "points lost on day 1, red oak, setting held from the first minute",
    "validation.rule.first_warm": "the same after a day of warming up (the panel): day 1",
    "validation.rule.second_warm": "the same: day 2",
    "validation.rules_plain": "Thickness and the first day helped to tune the engine, so there the two columns must agree. It is "
    "still a little steep in thickness and a little deaf to humidity. Believe the published column.",
}
