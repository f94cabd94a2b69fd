"""What every panel has."""

TEXT = {
    "panel.not_opened": "This could not be opened: something is wrong inside it. The rest of the page works. Run this cell "
    "again; if it happens again, tell your trainer.",
    "panel.situation": "Situation",
    "panel.trade": "°F",
    "panel.metric": "°C",
    "panel.trade_tip": "Trade units: °F, feet, inches",
    "panel.metric_tip": "Metric units: °C, meters",
    "panel.trade_plain": "lb, in",
    "panel.metric_plain": "kg, cm",
    "panel.opens": "As it opens",
    "panel.own": "Your own setting",
    "panel.more": "More",
    "panel.more_tip": "Show the other controls, or put them away",
    "panel.keep": "Leave a mark",
    "panel.keep_tip": "Leave a gray mark where you are now, to compare with; it stays until you leave another or press "
    "Reset",
    "panel.reset": "Reset",
    "panel.reset_tip": "Back to the opening state",
    "panel.play": "Play",
    "panel.play_tip": "Let the days go by, or stand still",
    "panel.stop": "Stop",
    "panel.moved": "This now stands in another tab or window, and only there can it be used. What you entered here is kept. "
    "To have it here again, load this page again.",
    "panel.type_here": "{what}: type a value",
}
