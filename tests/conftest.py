"""For every test, notebooks too: a user's folder that is new and empty, and tries that are the same every time."""

import os
import re
import sys
import tempfile

import pytest
from hypothesis import settings
from xdist.scheduler import LoadScopeScheduling

LESSON = re.compile(r"/browser/.*\[(?:.*-)?(\d\d_\w+)\]$")  # a test in a lesson's page, and which lesson

settings.register_profile("steady", deadline=None, derandomize=True)
settings.load_profile("steady")


def pytest_configure(config):
    home = tempfile.TemporaryDirectory(prefix="first-charge-", ignore_cleanup_errors=True)
    os.environ["FIRST_CHARGE_HOME"] = home.name
    config.add_cleanup(home.cleanup)


@pytest.fixture(autouse=True)
def nothing_remembered():
    """A page that a test has opened is closed after it: the next one begins with panels as they come."""
    yield
    memory = sys.modules.get("kilnlib.bench.kit.memory")
    if memory is not None:
        memory.close_page()


def pytest_collection_modifyitems(items):
    """Browser tests after plain ones: their driver keeps an event loop running in this thread until the end.

    Among them whole files first, then lesson by lesson. Notebooks end it: short pieces that leave no process idle long.
    """
    items.sort(key=place)


def place(item):
    lesson = LESSON.search(item.nodeid)
    part = 2 if item.path.suffix == ".ipynb" else "browser" in item.path.parts
    return part, lesson[1] if lesson else "", lesson is not None and item.path.name != "test_lessons.py"


class InOrder(LoadScopeScheduling):
    """A file, or the browser tests of one lesson, stays in one process; they are begun in the order above."""

    def _split_scope(self, nodeid):
        lesson = LESSON.search(nodeid)
        return lesson[1] if lesson else nodeid.split("::")[0]


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config, log):
    if config.option.dist == "loadfile":
        config.option.loadscopereorder = False
        return InOrder(config, log)
    return None
