"""The component check before every start: the list that lesson 09 ticks and the page that hangs on the wall."""

TEXT = {
    "component_check.title": "Before every start: try each part",
    "component_check.file": "Before every start",
    "component_check.print": "Make the page",
    "component_check.print_tip": "Write the list as one page to print, with room for a date and a name",
    "component_check.about": "The list above as one page for the wall, with the way in on top and room for a date and a name.",
    "component_check.made": "The list, one page to print: {path}",
    "component_check.link": "Take it from here:",
    "component_check.entry": "First of all, also in a cold kiln",
    "component_check.inside": "Locked and tried, one of you outside",
    "component_check.outside": "Everybody out and counted, doors shut, locks off",
    "component_check.inside_items": (
        "The small door opens from inside.",
        "The floor is clear, baffles are down, nothing lies on the fan deck.",
        "Blades turn freely by hand, belts are tight.",
        "The coil’s filter is clean.",
        "A cup of water in the coil’s pan comes out at the bucket.",
        "Both bulbs in one pail of water agree within 1 °F. Then put a fresh wet wick on one of them, and see that its lead is the one marked wet.",
        "The scale shows its check weight.",
    ),
    "component_check.outside_items": (
        "Every fan turns, and blows the right way: a ribbon at each one shows it from outside.",
        "The coil’s blower runs.",
        "The compressor starts when it is called, after its delay, and it stops.",
        "The strips come on below the dry-bulb set point and go off at it.",
        "The vent opens when the set point is turned down, and shuts again.",
        "Press the test button of the high limit, the last switch against too much heat: it must trip, and a hand must reset it. If it has no button, a licensed person tries it.",
        "First line in the log: bulbs, hour meter, empty bucket, your name.",
    ),
    "component_check.signed": "Date ______________   Charge ______________   Name ______________",
    "component_check.defer": "Our list, by common practice. Your site’s procedure and the manuals of your machine stand above it. "
    "What fails stays off: refrigerant and wiring are for licensed people.",
}
