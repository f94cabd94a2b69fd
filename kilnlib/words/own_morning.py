"""The morning on one's own charge, a page of the sample sheet."""

TEXT = {
    "own_morning.bulbs": "Air entering, {unit}",
    "own_morning.leaving": "Air leaving, {unit}",
    "own_morning.drained": "Bucket",
    "own_morning.dry": "Dry bulb",
    "own_morning.dry_tip": "Dry bulb where the air enters the stack, as it stood when you came",
    "own_morning.wet": "Wet bulb or RH",
    "own_morning.wet_tip": "Wet bulb there; a number with a percent sign is relative humidity",
    "own_morning.leaving_dry": "Dry bulb",
    "own_morning.leaving_dry_tip": "Dry bulb where the air leaves the stack",
    "own_morning.leaving_wet": "Wet bulb",
    "own_morning.leaving_wet_tip": "Wet bulb where the air leaves the stack",
    "own_morning.bucket": "Water, {unit}",
    "own_morning.bucket_tip": "Water drained since the bucket was emptied last",
    "own_morning.of_day": "Readings of {when}, before you change anything. The weights stand on the page before this one.",
    "own_morning.both": "Type both bulbs.",
    "own_morning.no_round": "No weights are on this sheet yet. Enter the boards and weigh them first.",
    "own_morning.working": "Working it out …",
    "own_morning.action.hold": "Hold",
    "own_morning.action.ease": "Ease off",
    "own_morning.action.advance": "Move on",
    "own_morning.action.equalize": "Equalize",
    "own_morning.action.stop": "Drying is over",
    "own_morning.action.weigh": "Weigh again first",
    "own_morning.do.stop": "No board is above the target. Stop, or condition first if the lumber is to be sawn or planed.",
    "own_morning.do.weigh": "Change nothing on the kiln until the weights are sure.",
    "own_morning.said_by": "Source: {source} ({how}).",
    "own_morning.practice": "Source: common practice.",
    "own_morning.misfits": "What does not fit",
    "own_morning.head_board": "Board",
    "own_morning.head_told": "Was to weigh",
    "own_morning.head_weighs": "Weighs",
    "own_morning.head_off": "Off by",
    "own_morning.head_tomorrow": "Tomorrow",
    "own_morning.head_error": "Likely error",
    "own_morning.beyond": "{off} !",
    "own_morning.boards": "Weights in {unit}. The forecast is the drying engine’s, set to these boards; an ! marks a weight off by more "
    "than the likely error. If you do not set what is advised here, it does not hold.",
    "own_morning.ready": "Ready about {likely}, between {early} and {late}: the wettest board at {target}.",
    "own_morning.ready_before": "The weighing before said {likely}.",
    "own_morning.ready_more": "Equalizing, conditioning and cooling may come on top. Promise the customer the later day.",
    "own_morning.ready_now": "The wettest board is at the target of {target} or below.",
    "own_morning.date": "{day} {date}",
    "own_morning.to_check": "The setpoint check takes wood, thickness, MC, target and bulbs from this sheet with one button.",
    "own_morning.degrade": "When it is graded",
    "own_morning.degraded": "Degrade",
    "own_morning.degraded_tip": "Boards lost by cause once the charge is graded, such as: surface checks 12, warp 3",
    "own_morning.review": "Review of this charge",
    "own_morning.review_boards": "{charge}: {days} days, to an average of {average}; the boards lie {spread} points apart.",
    "own_morning.review_board": "{board}: {first} to {last}",
    "own_morning.review_degrade": "Degrade: {causes}.",
    "own_morning.review_no_degrade": "No degrade is written down.",
    "own_morning.review_cause": "{cause} {count}",
    "own_morning.review_before": "The charge of this wood before it:",
    "own_morning.review_first": "No earlier charge of this wood and thickness has a sheet here.",
    "own_morning.day_names": "Mon Tue Wed Thu Fri Sat Sun",
    "own_morning.misfit.wet_bulbs_apart": "The wet bulb reads {wet} where the air enters the stack and {out} where it leaves. Drying "
    "does not change a wet bulb, so one of the two is {apart} wrong: look at wick, water and sensor. Inside the kiln that is a "
    "hot-kiln entry: your site’s procedure first.",
    "own_morning.misfit.no_drop": "The air leaves the stack at {out} and enters it at {dry}. Air that dries wood cools. See whether the "
    "readings were swapped, or the fans turn the other way.",
    "own_morning.misfit.scale_heavier": "The boards weigh more than was expected, on average by {points}, and {count} of them by more "
    "than the likely error. The bucket has gone on as before, so look at the scale first: its zero, and a known weight.",
    "own_morning.misfit.scale_lighter": "The boards weigh less than was expected, on average by {points}, and {count} of them by more "
    "than the likely error. The bucket has gone on as before, so look at the scale first: its zero, and a known weight.",
    "own_morning.misfit.all_off_heavier": "The boards weigh more than was expected, on average by {points}, and {count} of them by more "
    "than the likely error. Look at what they share: the bulbs, the fans, the heat, then the scale. Inside the kiln "
    "that is a hot-kiln entry: your site’s procedure first.",
    "own_morning.misfit.all_off_lighter": "The boards weigh less than was expected, on average by {points}, and {count} of them by more "
    "than the likely error. The air may be drier than the bulbs say: look at the wick and its water first, then the scale. "
    "Inside the kiln that is a hot-kiln entry: your site’s procedure first.",
    "own_morning.misfit.board_heavier": "Board {board} is {off} heavier than was expected; the likely error is {error}. Weigh it again, "
    "and see where it lies: air may not reach it. That is a hot-kiln entry: your site’s procedure first.",
    "own_morning.misfit.board_lighter": "Board {board} is {off} lighter than was expected; the likely error is {error}. Weigh it again, "
    "and look whether it lost a splinter or its end coat.",
}
