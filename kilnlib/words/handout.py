"""The printed page of the workshop."""

TEXT = {
    "handout.title": "Make the air go through the wood",
    "handout.about": "Fans push air down one side of the stack, between the boards, up the other side: heat in, water out. "
    "Air takes the easy way: a stream is drawn as wide as its flow, blue through the wood, orange past it. Shut baffles "
    "leak a little.",
    "handout.before": "Before the doors close, while the kiln is cold:",
    "handout.checks": (
        "Stuff the widest gap first: above the stack, then under it, then both ends, then holes where boards are missing. "
        "Ask insurer and maker first what heat foam stands; rigid offcuts, wedged tight, off heaters, out of fans.",
        "One sticker thickness to a load. Each sticker straight above the one below.",
        "Leave a shaft (plenum) beside the stack at least as wide as all sticker spaces added up: a rule of thumb.",
        "Baffles down; again as the stack shrinks, a hot-kiln entry. Mind falls, and baffles "
        "that drop. Uneven air? A gap before the fan speed. Green oak: more air can check it; watch points a day.",
    ),
    "handout.safety": "⚠ Gaps and fans are inside a kiln that may be hot. {entry} Fan blades coast and timers start them: lock "
    "first. Keep out of the lift truck’s way; doors pinned, wheels chocked, bundles plumb.",
    "handout.sources": "An invented kiln at Tamarack Ford. Shares and speeds: our arithmetic from textbook losses, most of "
    "them from memory; no measured kiln stands behind them. Trust the "
    "order (top worst, ends and bottom about the same) and measure your own. "
    "Days: computed with our drying model, the air followed through the stack; nobody measured them: inch-thick white pine, 80 "
    "to 12 %, air of 120 °F and 60 % relative humidity. They compare; they don’t forecast. Stain: common practice.",
}
