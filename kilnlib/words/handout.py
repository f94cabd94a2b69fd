"""The workshop on paper: the page to fill in, the page of answers, the key."""

TEXT = {
    "handout.title": "Make the air go through the wood: my page",
    "handout.back": "Make the air go through the wood: the answers",
    "handout.key_title": "Key to the workshop: through the stack",
    "handout.print": "Print",
    "handout.run_line": "If nothing shows below: Run ▸ Run All Cells.",
    "handout.bets": "What I bet, and what came out",
    "handout.bet_heads": ("Question", "My bet", "Answer"),
    "handout.own": "My kiln: write the gaps into the picture, and",
    "handout.gap_above": "____ in over",
    "handout.gap_ends": "ends ___ in",
    "handout.gap_under": "____ in under",
    "handout.fill": (
        "Open above, in",
        "Open under, in",
        "Open at each end, in",
        "Lanes through the load, in",
        "Stickers, in × layers = all spaces, in",
        "Plenum each side, in: as wide as that?",
        "Days all my gaps cost × $ a kiln day",
        "What I stuff first, tomorrow",
    ),
    "handout.about": "Fans push air down one side of the stack, between the boards, up the other side: heat in, water out. "
    "Air takes the easy way, and shut baffles leak a little.",
    "handout.streams": "All gaps open. A stream is drawn as wide as its flow: a gray line goes through the wood, black dashes "
    "miss it.",
    "handout.tomorrow": "How to check tomorrow",
    "handout.safety": "⚠ Gaps and fans are inside a kiln that may be hot. {entry} Fan blades coast and timers start them: lock "
    "first. Keep out of the lift truck’s way; doors pinned, wheels chocked, bundles plumb.",
    "handout.sources": "An invented kiln. Shares and speeds: our arithmetic from textbook losses, most of them from memory. Days: "
    "computed for white pine, 80 to 12 %, air of 120 °F and 60 % humidity. Nobody measured them. They compare; they "
    "don’t forecast. Stain: common practice. Ask your insurer and its maker what heat foam stands.",
}
