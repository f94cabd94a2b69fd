"""The first page, and the page of the trade’s words."""

GROUPS = (  # the subjects in the order of the numbers; a lesson of any other number stands under “More”
    ("Air and water", ("00", "01", "02", "03")),
    ("Load and watch", ("04", "05", "06")),
    ("Decide, and run the machine", ("07", "08", "09")),
    ("Finish, and find the trouble", ("10", "11", "12", "13", "14", "15")),
)

TEXT = {
    "home.kicker": "Kiln operator’s workbook",
    "home.head": "Dry lumber that stays flat, bright and whole.",
    "home.sentence": "Move a slider and see what the air does. You are asked first and told why afterwards, and every "
    "lesson sets its numbers beside printed ones.",
    "home.doors": "Where to go",
    "home.learn": "Learn",
    "home.learn_says": "Begin with “{title}”. You need shop arithmetic and nothing else.",
    "home.continue": "Continue where you stopped",
    "home.continue_says": "Go on with “{part}” in “{title}”.",
    "home.continue_done": "“{title}” is done. Look at it again, or go on from there.",
    "home.setpoint": "Check a setpoint",
    "home.setpoint_says": "Type wood, thickness, moisture and two bulbs. You get a verdict that you can explain.",
    "home.workshop": "Teach a workshop",
    "home.workshop_says": "Twelve screens on why air must go through the stack.",
    "home.picture": "A kiln, cut open: 00 names its parts.",
    "home.more": "More",
    "home.minutes": "{minutes} min",
    "home.no_minutes": "after it",
    "home.after": "What you can do after {title}",
    "home.done": "done",
    "home.begun": "{done} of {total} parts done",
    "home.open": "not begun",
    "home.count": "{done} of {total} lessons are done.",
    "home.tools": "The tools:",
    "home.kiln": "Your kiln is {name}, at {altitude}, where the air presses with {share} of what it has at sea level. "
    "It can hold air up to {top}, and its stack is {courses} courses high.",
    "home.kiln_change": "Change these numbers",
    "home.name": "Your name",
    "home.name_tip": "Initials will do. Type a name, then press Enter.",
    "home.name_ok": "Use this name",
    "home.name_ok_tip": "What you answer from now on is kept under this name",
    "home.named": "What you answer is kept for {name}, on this machine only. Somebody else? Type their name over it: "
    "{name}’s answers stay.",
    "home.unnamed": "Several people on this machine? Type your name, and what you answer is kept apart from theirs.",
    "glossary.find": "Find a word",
    "glossary.find_tip": "Type a few letters of the word",
    "glossary.none": "No word here has “{typed}” in it. Try fewer letters, or look in the list of all words.",
    "glossary.count": "{count} words",
    "glossary.also": "also called {names}",
    "glossary.taught": "taught in lesson {lesson}",
}
