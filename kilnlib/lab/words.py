"""Every string of the start command, of the check, and of what the page itself says. They stand apart from the bench's
words, because this must still speak where the packages that the bench needs are missing."""

TEXT = {
    "start.about": "First Charge, a learning workbook for lumber dry-kiln operators.",
    "start.help": "open the workbook in your browser (the same as no word at all)",
    "present.help": "open the six screens of the workshop, filling the window",
    "start.help_quiet": "print the address instead of opening a browser",
    "start.help_port": "use this port of your machine, or the next one that is free",
    "start.bad_port": "“{typed}” is not a port. Type a whole number from 1 to 65535.",
    "start.open": "First Charge is ready and opens in your browser. If no page appears, copy this address into it:",
    "start.copy_address": "First Charge is ready. Copy this address into a browser on this machine:",
    "start.no_browser": "First Charge is ready, but no browser was found. Copy this address into one on this machine:",
    "start.folder": "Your own copy of the lessons is in {path}",
    "start.stop": "To stop, press Ctrl-C in this window.",
    "start.stopped": "First Charge has stopped.",
    "start.failed": "JupyterLab did not start. The reason is at the end of {path}. Show that file to whoever "
    "looks after this machine.",
    "start.aside": "{name} was changed, so a fresh one took its place. Your copy is kept beside it as “{kept}”.",
    "start.other_port": "Port {wanted} is in use, so this time it is port {port}.",
    "start.no_port": "No free port was found from {wanted} on. Close other programs that serve pages, or choose "
    "another one with --port.",
    "start.read_only": "{path} cannot be written ({reason}). Make that folder yours to write, or name another one in "
    "FIRST_CHARGE_HOME, and start again.",
    "start.missing": "This Python lacks {names}. To put that right, type: {command}",
    "start.no_workbooks": "No lessons were found in {path}. Get the whole First Charge folder again and start from "
    "there.",
    "check.help": "say in words whether this machine is ready",
    "check.python": "Python {version} ({path})",
    "check.package": "{name} {version}",
    "check.package_bad": "{name} is {version}, and {wanted} is needed. To put that right, type: {command}",
    "check.library_bad": "The workbook’s own library does not load ({reason}). To put that right, type: {command}",
    "check.tables": "The handbook tables load: {rows} rows.",
    "check.number": "Dry bulb 110 °F and wet bulb 100 °F give {rh} % RH; 70.4 % is right.",
    "check.folder": "Your folder can be written: {path}",
    "check.port": "Port {port} of this machine is free.",
    "check.browser": "A browser was found.",
    "check.no_browser": "No browser was found. Install one, or copy the address that the start prints into one on this "
    "machine.",
    "check.workbooks": "Lessons: {count}, and each comes alive when it opens.",
    "check.strange": "Not on the list of shipped lessons, so not alive when opened: {names}. Get the First Charge "
    "folder again, or, if you changed them yourself, type: {command}",
    "check.ready": "This machine is ready. To open the workbook, type: python -m kilnlib",
    "check.not_ready": "This machine is not ready. Each line marked {mark} says what to do.",
    # What the page itself says, where nothing else can answer; the server hands these to it.
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
}


def text(key, **fields):
    """The words under a key, with their fields filled in."""
    return TEXT[key].format(**fields)
