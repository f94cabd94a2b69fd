"""First aid for a charge that is found in trouble: the words of its page in the workbook and of its printed page."""

TITLE = "First aid for a charge"

TROUBLES = (  # what was found; the first safe action, from outside; what not to do; what to look at next
    (
        "Checks in the faces",
        "Set the wet bulb 2 or 3 °F higher today. Put the new pair into the setpoint check first, and set it only if "
        "the check does not advise against it.",
        "Do not spray or steam the wood. Damp air drives checks deeper. Do not stop the fans.",
        "Fastest board beside its limit; then, after the entry steps, wick, bulbs, and which side of the stack has "
        "checks. Write down how deep and how many.",
    ),
    (
        "Mold on wet faces",
        "Look from outside whether every fan turns, and keep them on. In pine and white woods set a wider depression "
        "as well, if the setpoint check allows it.",
        "In oak do not dry the air for it, because its faces check first. Do not brush mold without a mask.",
        "RH above 70 % below 110 °F. Then, after the entry steps: gaps that let air pass the stack, dead spots, the "
        "leaving-air side, boards piled without stickers.",
    ),
    (
        "Stain in white wood or pine",
        "Get the faces dry soon: see that every fan turns, then set a wider depression, as far as the setpoint check "
        "allows it.",
        "Do not slow the charge down to be careful. Slow drying makes stain.",
        "How long the logs and the boards waited; sticker marks; RH in the first days.",
    ),
    (
        "A dead fan",
        "Heat off. Look from outside only. Keep the doors shut until it is clear who mends it.",
        "Do not reach in. Blades coast, and a timer can start them. Lock out before anybody goes near.",
        "Breaker and wiring are for licensed people. A trained person may look at a belt and tighten it after full "
        "lock-out, as your site’s rules say. Then measure the air at six places.",
    ),
    (
        "A compressor that tripped",
        "Look from outside. Reset it once at most. Leave the fans on, and the heat as it is or lower.",
        "Do not open the unit. Do not reset it again. Never tie a limit open.",
        "Wet bulb (it climbs). Call a licensed refrigeration person; with green oak inside, the same day. Is it iced, or "
        "does it run all day? Lesson 09 has a table of what you may do.",
    ),
    (
        "A power cut on day 4",
        "Keep the doors shut. When the power is back: fans first. Then both dials go up together, a few degrees at a "
        "time, each time the wood has caught up.",
        "Do not go straight back to the old setting. Do not go in while a timer can start the fans.",
        "With green oak inside call for help the same day: warm and damp, it stains and molds within days. Weigh a "
        "sample board, look at the faces, and go on from what they say. Write down the hours lost.",
    ),
)

TEXT = {
    "first_aid.columns": "You found|Do this first|Do not|Look at next",
    "first_aid.source": "Common practice, and the sources of the lessons.",
}
