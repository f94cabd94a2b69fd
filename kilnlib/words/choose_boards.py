"""Choosing sample boards."""

TEXT = {
    "choose_boards.prompt": "4/4 red oak, to be loaded today; you have four seats on the sample sheet. Tick four "
    "boards, then press Check.",
    "choose_boards.again": "Start over",
    "choose_boards.again_tip": "Take all ticks away",
    "choose_boards.earns": "✓ Board {board}. {why}",
    "choose_boards.wastes": "✗ Board {board}. {why}",
    "choose_boards.right": "Wettest and slowest to hold you back, one fastest to warn you when the end is near.",
    "choose_boards.unfit": "Not every board can give a sample. Swap each one that cannot.",
    "choose_boards.no_wet": "One of the wettest is missing. Which boards hold the most water?",
    "choose_boards.no_slow": "One of the slowest is missing. Think of thickness, and of how a board is sawn.",
    "choose_boards.no_fast": "All of them are laggards. One fastest board has to tell you when the first boards get "
    "too dry.",
    "choose_boards.middling": "A middling board dries with the crowd and decides nothing. Give its seat to a wet or a "
    "slow one.",
    "choose_boards.two_fast": "One fast board is enough for the end of the run. With four seats, give the other to a "
    "wet or a slow one.",
    "choose_boards.solution": "One good four of several: boards {boards}. See why each is there, and tick them.",
}
