"""The check of this machine. It must speak where packages are missing."""

TEXT = {
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
}
