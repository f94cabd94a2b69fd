"""For every test, notebooks too: a user's folder that is new and empty, and tries that are the same every time."""

import os
import tempfile

from hypothesis import settings

settings.register_profile("steady", deadline=None, derandomize=True)
settings.load_profile("steady")


def pytest_configure(config):
    home = tempfile.TemporaryDirectory(prefix="first-charge-", ignore_cleanup_errors=True)
    os.environ["FIRST_CHARGE_HOME"] = home.name
    config.add_cleanup(home.cleanup)


def pytest_collection_modifyitems(items):
    """Browser tests last: their driver keeps an event loop running in this thread until the end."""
    items.sort(key=lambda item: "browser" in item.path.parts)
