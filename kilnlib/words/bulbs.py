"""The two thermometers of lesson 00."""

TEXT = {
    "bulbs.to_see": "Now drag the dry bulb up and leave the wet bulb alone: then you see whether you were right.",
    "bulbs.dry_bulb_c": "Dry bulb",
    "bulbs.wet_bulb_c": "Wet bulb",
    "bulbs.preset.opening": "Opening a load of red oak",
    "bulbs.preset.middle": "Halfway through the load",
    "bulbs.preset.late": "Last days, hot and dry",
    "bulbs.preset.fog": "Fog in the kiln",
    "bulbs.draw_dry": "dry bulb",
    "bulbs.draw_wet": "wet bulb",
    "bulbs.draw_wick": "wick",
    "bulbs.draw_number": "relative humidity",
    "bulbs.draw_meaning": "That is how full of water the air is.",
    "bulbs.draw_apart": "The bulbs stand {apart} apart.",
    "bulbs.rh": "Relative humidity",
    "bulbs.say": "Dry bulb {dry}, wet bulb {wet}, {apart} apart: the air is {rh} % full of water.",
}
