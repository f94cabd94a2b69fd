"""First aid for a charge that is found in trouble: the words of its page in the workbook and of its printed page."""

TITLE = "First aid for a charge"

TROUBLES = (  # what was found; the first safe action, from outside; what not to do; what to look at next
    (
        "Smoke or fire",
        "Keep the doors shut and everybody out. Call the fire service. Shut off the power where you can do it from "
        "outside and away from the smoke.",
        "Do not open a door to look, because air feeds a fire. Nobody goes in.",
        "Count everybody. Your site’s fire plan decides. Licensed people look at kiln and wiring before anything is "
        "switched on again.",
    ),
    (
        "A kiln far over its set temperature",
        "Switch off heat and compressor, at the disconnect or breaker if the switch does not obey. Leave the fans on, unless "
        "there is smoke. Open the vent if that can be done from outside.",
        "Do not go in. Do not only turn the dial down: it does nothing where strips are stuck on, the vent is stuck "
        "shut or the bulbs’ leads are swapped.",
        "Does the wet bulb read above the dry bulb? Then the leads are swapped, and the kiln is as hot as the higher "
        "number. Strips and high limit are for a licensed electrician. Once it has cooled, look at the faces for checks.",
    ),
    (
        "Strips that do not go off",
        "Switch the heat off at its disconnect or breaker, because a welded contact does not obey the switch. Leave the fans on.",
        "Do not trust the dial or the control. Do not open the box.",
        "The dry bulb: does it sink now? Call a licensed electrician. The wet bulb was low meanwhile, so look at the "
        "faces for checks.",
    ),
    (
        "Refrigerant that leaks",
        "Everybody out. Leave the doors of that room open behind you, and shut off the machine from outside.",
        "Do not look for the place of the leak. The gas pushes the air out of a room. Do not open the unit.",
        "Let the room air. Call a licensed refrigeration person, and go by your site’s rules until then.",
    ),
    (
        "Water by the electrics",
        "Stay clear, and keep others clear. Shut off the power at a disconnect that you reach dry, on dry ground. If "
        "there is none, call for help.",
        "Do not touch, wipe or open anything. Do not reset a breaker.",
        "A licensed electrician looks first. Then ask where the water came from: the drain, the roof, a wet floor.",
    ),
    (
        "Checks in the faces",
        "Read the log first: do the bulbs tell the truth? They do not if the wet bulb stands near the dry bulb, or "
        "above it, while the boards lose weight fast. If they do, set the wet bulb 2 or 3 °F higher today. Put the new "
        "pair into the setpoint check first, and set it only if the check does not advise against it.",
        "Do not spray or steam the wood. Damp air drives checks deeper. Do not stop the fans. Do not turn a dial "
        "because of a bulb that does not tell the truth: in a kiln that runs too hot, switch off heat and compressor.",
        "Fastest board beside its limit; then, after the entry steps, wick, bulbs, and which side of the stack has "
        "checks. Write down how deep and how many.",
    ),
    (
        "Mold on wet faces",
        "Look from outside whether every fan turns, and the right way: a ribbon shows it, and a fan that turns backward "
        "turns too. Keep them on. In pine and white woods set a wider depression as well, if the setpoint check allows "
        "it.",
        "In oak do not dry the air for it, because its faces check first. Do not brush mold without a mask.",
        "RH above 70 % below 110 °F. Then, after the entry steps: a second pair of bulbs, because a wet bulb that reads "
        "low hides damp air; gaps that let air pass the stack, dead spots, the leaving-air side, boards piled without "
        "stickers.",
    ),
    (
        "Stain in white wood or pine",
        "Get the faces dry soon: see that every fan turns the right way, then set a wider depression by a lower wet "
        "bulb, as far as the setpoint check allows it.",
        "Do not slow the charge down to be careful. Slow drying makes stain. Against brown stain do not raise the dry "
        "bulb: more heat makes more of it.",
        "Blue stain: how long the logs and the boards waited. Sticker stain: marks under the stickers, and how dry "
        "these were. Brown stain lies at or just under the face, seldom under a sticker. RH in the first days.",
    ),
    (
        "A dead fan",
        "Heat off, and the compressor too if this fan blows through the machine. If it smells burned or smokes, power "
        "off. Look from outside only. Keep the doors shut until it is clear who mends it.",
        "Do not reach in. Blades coast, and a timer can start them. Lock out before anybody goes near.",
        "Breaker and wiring are for licensed people. A trained person may look at a belt and tighten it after full "
        "lock-out, as your site’s rules say. Then measure the air at six places.",
    ),
    (
        "A compressor that tripped",
        "Look from outside. Wait as long as the machine’s instructions say, then reset it once at most. Leave the fans "
        "on, and the heat as it is or lower. If the wet bulb climbs in white or green wood, open the vent from outside.",
        "Do not open the unit. Do not reset it again. Never tie a limit open.",
        "Call a licensed refrigeration person; with green oak inside, the same day. Is it iced, or does it run all day? "
        "Lesson 09 has a table of what you may do.",
    ),
    (
        "A power cut on day 4",
        "Keep the doors shut. Switch heat and compressor off before the power returns. When it is back: fans first. "
        "After a long, cold cut follow the machine’s own warm-up rule before the compressor starts. Then both dials go "
        "up together, a few degrees at a time, each time the wood has caught up.",
        "Do not go straight back to the old setting. Do not go in while a timer can start the fans.",
        "With green oak inside call for help the same day: warm and damp, it stains and molds within days. Weigh a "
        "sample board, look at the faces, and go on from what they say. Write down the hours lost.",
    ),
)

URGENT = 5  # so many of them cannot wait, and are printed on the first sheet

TEXT = {
    "first_aid.columns": "You found|Do this first|Do not|Look at next",
    "first_aid.source": "Common practice, and the sources of the lessons.",
}
