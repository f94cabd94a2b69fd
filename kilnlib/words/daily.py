"""The decision of a morning."""

TEXT = {
    "daily.reason.one_day": "One day of weights tells no pace. Weigh every board again tomorrow at the same hour.",
    "daily.reason.doubtful": "Today’s weight of {boards} is hardly true. Weigh again before you change anything.",
    "daily.reason.all_dry": "The wettest board, {wettest}, is at {high}: none is above the target of {target}.",
    "daily.reason.equalize": "The driest board, {board}, is at {low}; equalizing starts at {start}, with an EMC of {emc}, "
    "and ends when the wettest (now {high}) is at {target}.",
    "daily.reason.outside": "No schedule here covers this wood, so there is no step to move to. Go by your samples.",
    "daily.reason.over_limit": "Board {board} lost {points} in a day, {share} of the limit of {limit}.",
    "daily.reason.too_hard": "The settings are well beyond the schedule’s step, whatever today’s weights say.",
    "daily.reason.close_and_harder": "Board {board} lost {points} in a day, {share} of the limit, under settings harder than "
    "the step.",
    "daily.reason.harder_but_slow": "The settings are harder than the step, but board {board}, the fastest, uses {share} of "
    "its limit: make nothing harsher, and keep looking at the faces.",
    "daily.reason.harder": "The settings are harder than the step. Make nothing harsher.",
    "daily.reason.harder_ease": "The settings are harder than the step, and no published limit says that these boards bear it.",
    "daily.reason.due_but_close": "A step is due, but board {board} already uses {share} of its limit. Wait until it slows.",
    "daily.reason.behind_step": "The schedule is ahead of your settings: {code} has {step_dry} with a depression of "
    "{step_depression} here, you have {dry} with {depression}.",
    "daily.reason.in_step": "The settings are those of the step: {step_dry} with a depression of {step_depression} ({code}).",
    "daily.reason.hold_at_kiln": "The step of {code} asks for {step_dry} with a depression of {step_depression}; this kiln is "
    "at its end.",
    "daily.reason.hold_for_color": "The step of {code} is hotter, but this wood turns gray when it is warm and wet. Hold the "
    "heat back until it is drier.",
    "daily.reason.hold_check_wick": "A depression of {depression} is what a dry wick shows too. Wet it, read again, and decide "
    "then. A wick inside the kiln means a hot-kiln entry: your site’s procedure first.",
    "daily.reason.hold": "The schedule’s step asks for nothing more.",
    "daily.reason.look_first": "A step is due, but the wood and the bulbs disagree. Find out which is wrong before you change "
    "anything.",
    "daily.reason.faster_than_air": "The boards lost {points} a day where these bulbs explain {expected}. The air is drier "
    "than they say: look at the wick and its water first. That is a hot-kiln entry: your site’s procedure before it.",
    "daily.reason.slower_than_air": "The boards lost {points} a day where these bulbs explain {expected}. Check the wick, the "
    "bulbs, the fans and the baffles, and the weights. Inside the kiln that is a hot-kiln entry: your site’s procedure first.",
    "daily.reason.next_change": "The next change point is {change}; at this pace the controlling boards, at {mc}, are there in "
    "{days}.",
    "daily.reason.next_change_only": "The next change point is {change}; the controlling boards are at {mc}.",
    "daily.reason.pace_over": "The fastest board, {board}, lost {points} in a day: {share} of the limit of {limit}.",
    "daily.reason.pace_close": "The fastest board, {board}, lost {points} in a day: {share} of the limit of {limit}. Make "
    "nothing harsher today.",
    "daily.reason.pace_under": "The fastest board, {board}, lost {points} in a day: {share} of the limit of {limit}.",
    "daily.reason.pace_no_limit": "The fastest board, {board}, lost {points} in a day. No limit is published here for this "
    "wood and thickness.",
    "daily.reason.critical": "At {mc} the charge is above {critical}, where most checks are set up. Change little.",
    "daily.reason.carried": "Not weighed today: {boards}. Their last moisture content stands in.",
}
