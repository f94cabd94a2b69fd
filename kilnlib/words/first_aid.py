"""First aid for a charge that is found in trouble: the words of its page in the workbook and of its printed page."""

TITLE = "First aid for a charge"

TROUBLES = (  # what was found; the first safe action; what not to do; what to look at next
    (
        "Checks in the faces",
        "Ease today, in small steps: raise the wet bulb by 2 or 3 °F, never above what the faces hold.",
        "Do not spray or steam the wood. Damp air drives checks deeper. Do not stop the fans.",
        "Fastest board beside its limit; wick and bulbs; which side of the stack. Write down how deep and how many.",
    ),
    (
        "Mold on wet faces",
        "Move more air: close gaps, look for dead spots. In pine and white woods dry the faces as well.",
        "In oak do not dry the air for it, because its faces check first. Do not brush mold without a mask.",
        "RH above 70 % below 110 °F; leaving-air side; boards piled without stickers.",
    ),
    (
        "Stain in white wood or pine",
        "Get the faces dry soon: more air, then a wider depression as far as the wood bears it.",
        "Do not slow the charge down to be careful. Slow drying makes stain.",
        "How long the logs and the boards waited; sticker marks; RH in the first days.",
    ),
    (
        "A dead fan",
        "Heat off. Look from outside only. Keep the doors shut until it is clear who mends it.",
        "Do not reach in. Blades coast, and a timer can start them. Lock out before anybody goes near.",
        "Breaker and belt, by a licensed person. Then the air velocity at six spots.",
    ),
    (
        "A compressor that tripped",
        "Look from outside. Reset it once at most. Leave the fans on, and the heat as it is or lower.",
        "Do not open the unit. Do not reset it again. Never tie a limit open.",
        "Wet bulb (it climbs), ice on the coil, filter, drain. Call a licensed refrigeration person.",
    ),
    (
        "A power cut on day 4",
        "When the power is back: fans first, then heat, slowly. Watch the wet bulb. Green oak stays damp meanwhile.",
        "Do not go straight back to the old setting. Do not go in while a timer can start the fans.",
        "Weigh a sample board, look at the faces, and go on from what they say. Write down the hours lost.",
    ),
)

TEXT = {
    "first_aid.columns": "You found|Do this first|Do not|Look at next",
    "first_aid.source": "Common practice, and the sources of the lessons.",
}
