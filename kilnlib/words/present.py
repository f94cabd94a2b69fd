"""The screens of the workshop."""

TEXT = {
    "present.title": "Cross-section of the kiln, drawn to scale",
    "present.reveal": "Reveal",
    "present.next": "Next",
    "present.back": "Back",
    "present.reset": "Reset",
    "present.reveal_tip": "Show the answer (key: down arrow)",
    "present.next_tip": "Next screen (keys: right arrow, Page Down)",
    "present.back_tip": "Screen before (keys: left arrow, Page Up)",
    "present.reset_tip": "Hide the answer again (key: R)",
    "present.head": "{at}/{total} {question}",
    "present.was": "before: {number}",
    "present.number.miss": "{miss} %",
    "present.number.days": "{days}",
    "present.number.slow": "{slow}",
    "present.label.miss": "of the air misses the wood",
    "present.label.days": "days until all is dry: computed, nobody measured it",
    "present.label.slow": "feet a minute in the slowest space",
    "present.draw.above": "{share} % over",
    "present.draw.ends": "ends {share} %",
    "present.draw.under": "{share} % under",
    "present.draw.fans": "fan",
    "present.draw.deck": "deck",
    "present.draw.baffle": "baffle",
    "present.draw.plan": "top view",
    "present.draw.scale": "ft/min",
    "present.draw.before": "before",
    "present.draw.mean": "{mean} ft/min",
    "present.draw.between": "between boards",
    "present.draw.was": "was {mean} ft/min",
    "present.draw.fast": "fast {fast} ft/min",
    "present.draw.slow": "slow {slow} ft/min",
    "present.draw.thin": "▸ slow {slow} ft/min",
    "present.half_day": "half a day",
    "present.one_day": "1 day",
    "present.some_days": "{number} days",
    "present.and_half": "{number}½ days",
    "present.alt": "{state}. {miss} % of the air misses the wood. Between the boards: {mean} ft/min, "
    "from {slow} to {fast}.",
    "present.above.question": "All gaps are shut: air dries the boards. Then someone leaves 12 in open above the "
    "stack. Where does the air go?",
    "present.above.before": "All shut, small leaks",
    "present.above.after": "Gap above open",
    "present.above.finding": "Between boards air is {less} % slower. Pine takes {wetter} % longer down to 60 % and may stain; "
    "it ends about {longer} late, as computed.",
    "present.low.question": "All gaps are shut. Then both ends and the space under the stack are left open. Does it "
    "matter?",
    "present.low.before": "All shut, small leaks",
    "present.low.after": "Ends, under open",
    "present.low.finding": "Out of sight, they steal {miss} %, as much as the gap above: pine waits about {longer} more, "
    "as computed. Walk all round.",
    "present.days.question": "All gaps shut, the last pine boards need {days_before} days. Then all three are left "
    "open. How many days now?",
    "present.days.before": "All gaps shut",
    "present.days.after": "All gaps open",
    "present.days.finding": "{miss} % misses the wood. Down to 60 % pine takes {wetter} % longer and may stain; later, wind "
    "helps little. It ends about {longer} late.",
    "present.stickers.question": "All gaps shut, even sticks. Then each third layer is laid on sticks half as thick. What "
    "happens there?",
    "present.stickers.before": "Even sticks",
    "present.stickers.after": "Mixed sticks",
    "present.stickers.finding": "Narrow spaces slow the air down. Boards beside them lag about {spread}, as computed: they "
    "come out wet, or the rest over-dry.",
    "present.plenum.question": "Two rows of packs dry well. Then a third leaves a shaft of {plenum} beside the stack. "
    "Which boards starve?",
    "present.plenum.before": "Two rows",
    "present.plenum.after": "Three rows",
    "present.plenum.finding": "The bottom starves: {stickers} of spaces, {plenum} of shaft. It lags about {spread}, as computed, "
    "and may stain. Take the third row out.",
    "present.first.question": "All gaps are open, and the doors close soon. You have one sheet of foam. What first?",
    "present.first.before": "All gaps open",
    "present.first.after": "Top stuffed",
    "present.first.finding": "The widest, above: {miss_before} % falls to {miss} % and saves about {sooner}. Then under, "
    "ends, holes: {miss_shut} %, {sooner_shut} in all, as computed.",
}
