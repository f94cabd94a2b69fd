"""What a page says where nothing else can answer; the server hands these to it."""

TEXT = {
    "page.server_gone": "Not connected: nothing is being saved. First Charge has stopped, or the window it was started from "
    "was closed. Start it again, and this page goes on by itself. If it does not, use the new page that opens and copy "
    "over what still stands in the boxes here.",
    "page.kernel_gone": "Not connected: nothing is being saved. The part that does the arithmetic has stopped and is being "
    "started again. Wait until this line has gone; what you typed is kept.",
    "page.changed": "This page cannot start again by itself, because its code was changed. What stands in the boxes is not "
    "being saved. Copy it, then choose Run, Run All Cells in the menu.",
    "page.again": "This page had to start again from its beginning. What was saved before is here.",
    "page.typed": "You had typed “{typed}” here, and it was not taken.",
    "page.typed_elsewhere": "You had typed “{typed}” in “{box}”, and it was not taken. That box is not on the page now; "
    "this line stays until it is.",
    "page.a_box": "a box",
    "page.put_back": "Put it back",
    "page.leave_out": "Leave it out",
    "page.close": "Close",
    "page.open_elsewhere": "This notebook is open in another tab or window of this browser, and can be used in one of them "
    "only.",
    "page.take_over": "Use it here",
    "page.name": "First Charge",
    "page.home": "First page",
    "page.previous": "Previous",
    "page.next": "Next",
    "page.contents": "Contents",
    "page.words": "Words",
    "page.words_tip": "The words of the trade",
    "page.jupyter": "Jupyter",
    "page.jupyter_tip": "Show Jupyter’s own menus, or hide them again",
    "page.turn": "Turn the page",
    "page.turn_end": "Turn the page from its end",
    "page.on_this_page": "On this page",
    "page.all_pages": "All pages",
    "page.parts": "{done} of {total} parts done",
    "page.part_done": "done",
    "page.part_open": "still to do",
    "page.finished": "{title} is done.",
    "page.not_finished": "Still to do here: {parts}.",
    "page.next_is": "Next: {title}",
    "page.folded": "Show the tables",
    "page.minutes": "about {minutes} minutes",
    "page.end": "This is the last lesson. Whoever has done them all can",
    "page.end_use": "Use it on your own wood:",
    "page.tasks": "What to look for",
    "page.task": "Look, {number} of {total}",
    "page.task_before": "◀ Before",
    "page.task_next": "Next ▶",
    "page.tick": "Tick: {item}",
    "page.find": "What does “{word}” mean?",
    "page.taught": "Lesson {lesson}",
}
