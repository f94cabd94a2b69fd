"""`python -m kilnlib`: open the workbook or the workshop's screens, or check whether this machine is ready for it."""

import argparse
import contextlib
import os
import sys
import traceback
from pathlib import Path

FIRST = "home.ipynb"
WITHOUT_HOME = "00_start_here.ipynb"  # where somebody tries out a few lessons of their own
SCREENS = "present_through_the_stack.ipynb"
TRAINER = "desk_trainer.ipynb"


def main(arguments=None):
    """Run one verb; returns the exit code."""
    for stream in (sys.stdout, sys.stderr):
        with contextlib.suppress(AttributeError):
            stream.reconfigure(errors="replace")  # a log file on Windows may not know “’”
    if sys.version_info < (3, 11):  # noqa: UP036  whoever starts it with an older one is told so
        print("First Charge needs Python 3.11 or newer. This is {}.{}.".format(*sys.version_info))
        return 1
    from kilnlib.words import text

    parser = argparse.ArgumentParser(prog="python -m kilnlib", description=text("start.about"))
    verbs = parser.add_subparsers(dest="verb", metavar="start | present | trainer | check | print")
    verb = verbs.add_parser("start", help=text("start.help"), description=text("start.help"))
    screens = verbs.add_parser("present", help=text("start.present_help"), description=text("start.present_help"))
    trainer = verbs.add_parser("trainer", help=text("trainer.help"), description=text("trainer.help"))
    for where in (parser, verb, screens, trainer):
        where.add_argument(
            "--no-browser", action="store_true", default=argparse.SUPPRESS, help=text("start.help_quiet")
        )
        where.add_argument("--port", type=_port, default=argparse.SUPPRESS, help=text("start.help_port"))
    verbs.add_parser("check", help=text("check.help"), description=text("check.help"))
    verbs.add_parser("print", help=text("print_set.help"), description=text("print_set.help"))
    chosen = parser.parse_args(arguments)
    if chosen.verb == "print":
        return print_pages()
    if chosen.verb == "check":
        return check()
    first = {"present": SCREENS, "trainer": TRAINER}.get(chosen.verb, FIRST)
    try:
        return start(getattr(chosen, "port", None), not getattr(chosen, "no_browser", False), first)
    except KeyboardInterrupt:
        return 0


def start(port=None, browser=True, first=FIRST):
    """Open JupyterLab on one notebook of the learner's copy of the workbooks, and stay until Ctrl-C."""
    from kilnlib.lab import books, readiness, server
    from kilnlib.words import text

    # For whoever works on the lessons: another folder of workbooks, all of them listed.
    other = os.environ.get("FIRST_CHARGE_WORKBOOKS")
    shipped = Path(other) if other else books.WORKBOOKS
    if first == FIRST and not (shipped / first).is_file():
        first = WITHOUT_HOME
    if not (shipped / first).is_file():
        return _refuse(text("start.no_workbooks", path=shipped))
    lacking = readiness.missing()
    if lacking:
        return _refuse(text("start.missing", names=", ".join(lacking), command=readiness.repair()))
    from kilnlib.lab import copies  # these need numpy
    from kilnlib.store import kiln

    home = kiln.user_folder().absolute()
    folder, settings = home / "workbooks", home / "settings"
    try:
        aside = copies.refresh(shipped, folder, settings)
    except OSError as error:
        return _refuse(text("start.read_only", path=home, reason=_reason(error)))
    for name, kept in aside:
        print(text("start.aside", name=name, kept=kept))
    wanted = port or server.PORT
    port = server.free_port(wanted)
    if port is None:
        return _refuse(text("start.no_port", wanted=wanted))
    if port != wanted:
        print(text("start.other_port", wanted=wanted, port=port))
    found = server.find_browser() if browser else None

    def opened(url, redirect):
        print(text("start.open" if found else "start.no_browser" if browser else "start.copy_address"))
        print(f"    {url}")
        print(text("start.folder", path=folder))
        print(text("start.stop"), flush=True)
        if found:
            server.open_browser(found, redirect)

    listed = books.make_list(shipped) if other else books.load_list()
    try:
        server.serve(folder, first, listed, settings, port, opened)
    except (Exception, SystemExit):
        traceback.print_exc()  # to the log
        print(text("start.failed", path=settings / server.LOG))
        return 1
    print(text("start.stopped"))
    return 0


def check():
    """Print whether this machine is ready, a line each."""
    from kilnlib.lab import readiness
    from kilnlib.words import text

    findings = readiness.check()
    right, wrong = _marks(sys.stdout.encoding)
    for good, words in findings:
        print({True: right, False: wrong, None: "-"}[good], words)
    ready = all(good is not False for good, _ in findings)
    print(text("check.ready") if ready else text("check.not_ready", mark=wrong))
    return 0 if ready else 1


def print_pages():
    """Write the pages to print and hang up, in a process of its own, as every kernel is: starting stays quick."""
    import subprocess

    return subprocess.call([sys.executable, "-m", "kilnlib.bench.desk.print_set"])


def _marks(encoding):
    """Signs for right and wrong that can be printed."""
    try:
        "✓✗".encode(encoding or "ascii")
    except UnicodeEncodeError:
        return "ok", "NO"
    return "✓", "✗"


def _refuse(words):
    print(words, file=sys.stderr)
    return 1


def _reason(error):
    """What the system says about a file, in its own words."""
    return getattr(error, "fields", {}).get("reason") or error.strerror or error


def _port(typed):
    from kilnlib.words import text

    if not (typed.isdecimal() and 0 < int(typed) < 65536):
        raise argparse.ArgumentTypeError(text("start.bad_port", typed=typed))
    return int(typed)


if __name__ == "__main__":
    sys.exit(main())
