"""On PYTHONPATH in the browser tests: every Python process notes where its sockets go and which names it looks up."""

import os
import sys

LOG = os.environ.get("FIRST_CHARGE_NETWORK_LOG")


def _note(words):
    with open(LOG, "a", encoding="utf-8") as stream:
        stream.write(f"{words}\n")


def _watch(event, arguments):
    if event == "socket.connect" and isinstance(arguments[1], tuple):
        _note(f"connect {arguments[1][0]}")
    elif event == "socket.getaddrinfo":
        _note(f"look-up {arguments[0]}")


if LOG:
    _note(f"process {os.getpid()}")
    sys.addaudithook(_watch)
