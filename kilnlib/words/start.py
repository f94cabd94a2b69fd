"""The start command. It must speak where packages are missing, so nothing here imports any."""

TEXT = {
    "start.about": "First Charge, a learning workbook for lumber dry-kiln operators.",
    "start.help": "open the workbook in your browser (the same as no word at all)",
    "start.present_help": "open the screens of the workshop, filling the window",
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
}
