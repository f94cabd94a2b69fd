"""The two places where our start overrides JupyterLab privately: a test each that says what broke."""

import subprocess
import sys

import pytest

from kilnlib.lab import server

CHECKER = """
import sys
from kilnlib.lab import server
{override}
from jupyterlab.labapp import LabApp
import jsonschema
print(sys.modules.get("rfc3987_syntax") is not None)
print(all(jsonschema.FormatChecker().conforms(words, "date") for words in ("2026-11-29",)))
"""


def started(override):
    """What a fresh Python says after loading JupyterLab's server: is the checker loaded, do other formats work."""
    command = [sys.executable, "-c", CHECKER.format(override=override)]
    done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=120)
    assert done.returncode == 0, f"JupyterLab does not load any more without rfc3987_syntax: {done.stderr[-1500:]}"
    return done.stdout.split()


def test_the_address_checker_is_still_loaded_without_us_and_not_with_us():
    """If the first line fails, JupyterLab loads no rfc3987_syntax any more: delete `load_no_address_checker`."""
    assert started("") == ["True", "True"], "rfc3987_syntax does not load by itself: nothing is to be kept out"
    assert started("server.load_no_address_checker()") == ["False", "True"], "rfc3987_syntax is loaded in spite of us"


@pytest.fixture
def commands(monkeypatch):
    from jupyterlab import commands

    assert hasattr(commands, "_yarn_config"), "jupyterlab has no _yarn_config any more: `ask_no_node` does nothing"
    monkeypatch.setattr(commands, "_yarn_config", commands._yarn_config)  # put back afterwards
    return commands


def test_node_is_asked_for_the_registry_only_without_us(commands, monkeypatch):
    """If the first part fails, JupyterLab asks no Node.js here any more: delete `ask_no_node`."""
    asked = []
    monkeypatch.setattr(commands, "which", lambda name: asked.append(name) or "/no/such/node")
    assert commands.AppOptions().registry == commands.YARN_DEFAULT_REGISTRY
    assert asked == ["node"], "JupyterLab finds its registry without asking Node.js: the override has nothing to spare"
    asked.clear()
    server.ask_no_node()
    assert commands.AppOptions().registry == commands.YARN_DEFAULT_REGISTRY, "what we answer is not understood any more"
    assert asked == [], "JupyterLab asks Node.js in spite of us, by another way than _yarn_config"
