"""Every string of the interface, in one place: a translation replaces the values of `TEXT` (and the question files).

Keys are `part.name`; `{…}` fields are filled when shown. The library's error sentences stand here too, under "error.…".
"""

from kilnlib.errors import SENTENCES, KilnError

TEXT = {
    # panels
    "panel.situation": "Situation",
    "panel.trade": "°F",
    "panel.metric": "°C",
    "panel.trade_tip": "Trade units: °F, feet, inches",
    "panel.metric_tip": "Metric units: °C, meters",
    "panel.keep": "Keep ghost",
    "panel.keep_tip": "Leave a gray mark where you are now, to compare with",
    "panel.reset": "Reset",
    "panel.reset_tip": "Back to the opening state",
    "panel.working": "Working",
    "panel.type_here": "{what}: type a value",
    # air
    "air.dry_bulb_c": "Dry bulb",
    "air.wet_bulb_c": "Wet bulb",
    "air.altitude_m": "Altitude",
    "air.what_if": "What if",
    "air.what_if.nothing": "Leave the air alone",
    "air.what_if.heat": "Heat only, {step} more",
    "air.what_if.dry": "Take out water only, a fifth of it",
    "air.what_if.wick": "The wick has half dried out",
    "air.preset.opening": "Opening a load of red oak",
    "air.preset.middle": "Halfway, depression opened up",
    "air.preset.late": "Last days, hot and dry",
    "air.preset.fog": "Fog in the kiln",
    "air.preset.yard": "Summer morning in the yard",
    "air.x": "Dry bulb ({unit})",
    "air.y": "Water in the air, lb per lb of dry air",
    "air.curve": "{rh} % RH",
    "air.wet_label": "– – wet bulb {value}",
    "air.dew_label": "···· dew point {value}",
    "air.off_chart": "off the chart ↑",
    "air.rh": "Relative humidity",
    "air.emc": "EMC",
    "air.depression": "Depression",
    "air.dew": "Dew point",
    "air.beyond": "EMC above 95 % RH: no table covers it",
    "air.say": "Dry bulb {dry}, wet bulb {wet}: relative humidity {rh} %, EMC {emc} %, dew point {dew}.",
    "air.say_beyond": "Above 95 % RH no table covers the EMC.",
    "air.say_heat": "With {step} more heat and no water moved: {rh} % RH, EMC {emc} %.",
    "air.say_dry": "With a fifth of the water taken out and no heat: {rh} % RH, EMC {emc} %.",
    "air.say_wick": "With half the wick dry the bulb reads {wet} and claims {rh} % RH, EMC {emc} %. The air has not "
    "changed.",
    # EMC
    "emc.dry_bulb_c": "Dry bulb",
    "emc.depression_c": "Depression",
    "emc.preset.opening": "Opening a load of red oak",
    "emc.preset.poplar": "Yellow-poplar, brisk start",
    "emc.preset.late": "Last days, hot and dry",
    "emc.preset.shed": "Summer morning in the shed",
    "emc.preset.shop": "Heated shop in winter",
    "emc.x_rh": "Relative humidity (%)",
    "emc.y_emc": "EMC (%)",
    "emc.x_map": "Dry bulb ({unit})",
    "emc.y_map": "Depression ({unit})",
    "emc.title_curve": "EMC against RH",
    "emc.title_map": "EMC (%) at {altitude}",
    "emc.no_air": "no air\nis this dry",
    "emc.rh": "Relative humidity",
    "emc.emc": "EMC",
    "emc.wet": "Wet bulb",
    "emc.more_depression": "EMC, {step} more depression",
    "emc.warmer": "EMC, {step} warmer, same RH",
    "emc.say": "Dry bulb {dry}, depression {depression}: relative humidity {rh} %, EMC {emc} %.",
    "emc.say_depression": "Open the depression {step} more and EMC moves {change} points.",
    "emc.say_heat": "Warm this air {step} at the same RH and EMC moves {change} points.",
    "emc.say_beyond": "Above 95 % RH no table covers the EMC.",
    # this kiln
    "kiln.name": "Name",
    "kiln.name_tip": "What you call this kiln",
    "kiln.altitude_m": "Altitude",
    "kiln.altitude_m_tip": "Height of the mill above sea level",
    "kiln.top_dry_bulb_c": "Top dry bulb",
    "kiln.top_dry_bulb_c_tip": "The hottest air this kiln can hold",
    "kiln.coil_wet_bulb_limit_c": "Coil’s wet-bulb limit",
    "kiln.coil_wet_bulb_limit_c_tip": "The highest wet bulb the coil may run at; its manual says",
    "kiln.driest_rh_pct": "Driest air (relative humidity)",
    "kiln.driest_rh_pct_tip": "The lowest relative humidity this kiln can hold when warm",
    "kiln.fan_count": "Main fans",
    "kiln.fan_count_tip": "How many fans push air through the stack",
    "kiln.sticker_speed_ms": "Air speed between stickers",
    "kiln.sticker_speed_ms_tip": "Measured on the side where air leaves the stack, all baffles in place",
    "kiln.stack_length_m": "Stack length, along the boards",
    "kiln.stack_length_m_tip": "Length of the whole stack in the direction of the boards",
    "kiln.stack_width_m": "Stack width, the way air goes",
    "kiln.stack_width_m_tip": "From the side where air goes in to the side where it comes out",
    "kiln.courses": "Courses (layers of boards)",
    "kiln.courses_tip": "Layers of boards from the floor to the top, all packs together",
    "kiln.sticker_thickness_m": "Sticker thickness",
    "kiln.sticker_thickness_m_tip": "Height of the gap that a sticker holds open",
    "kiln.board_thickness_m": "Board thickness, as cut",
    "kiln.board_thickness_m_tip": "Thickness of the green boards off the saw",
    "kiln.save": "Save this kiln",
    "kiln.save_tip": "Write these numbers to your file",
    "kiln.undo": "Undo",
    "kiln.undo_tip": "Back to what your file holds",
    "kiln.at": "{what}: {why}",
    "kiln.example": "These are the numbers of the example kiln, {name}: {courses} courses hold about {tally}. Nothing "
    "is saved yet. Saving writes {path}",
    "kiln.opened": "{name}: {courses} courses hold about {tally}. Your file is {path}",
    "kiln.saved": "Saved. {name}: {courses} courses hold about {tally}. Your file is {path}",
    # lessons
    "lesson.ready": "Ready. Sliders answer the mouse, the arrow keys and typed numbers.",
    "lesson.defer": "This workbook teaches. It does not control a kiln, and it does not replace your site’s rules, "
    "local codes or licensed people.",
    # handbook
    "handbook.head": ("what", "ours", "published", "difference", "allowed", "source"),
    "handbook.out": "OUT",
    "handbook.inside": "Rows within the allowed difference: {total} of {total}.",
    "how.retrieved": "read in the source or in a faithful copy",
    "how.computed": "computed",
    "how.memory": "from memory",
    "how.common practice": "common practice",
} | {f"error.{code}": words for code, words in SENTENCES.items()}


def text(key, **fields):
    """The words under a key, with their fields filled in."""
    words = TEXT[key]
    return words.format(**fields) if fields else words


def sentence(error, system="trade"):
    """Any error as a sentence an operator can act on, in one unit system."""
    if isinstance(error, KilnError):
        sentences = {key.removeprefix("error."): words for key, words in TEXT.items() if key.startswith("error.")}
        return error.sentence(system, sentences)
    return text("error.inside")
