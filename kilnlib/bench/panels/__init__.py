"""The panels: one file a panel, opened by its name."""

import importlib
import pkgutil

from kilnlib.bench.screen import LOCK, View
from kilnlib.errors import NotFound


def panel_names():
    """Names of the panels there are."""
    return sorted(module.name for module in pkgutil.iter_modules(__path__))


def open_panel(name, predict=None):
    """Open a panel by name; one already open from the same cell is closed first."""
    if name not in panel_names():
        raise NotFound("unknown_panel", name=name, names=", ".join(panel_names()))
    module = importlib.import_module(f"{__name__}.{name}")
    with LOCK:
        View.move_here((name, predict))
        made = module.Panel(predict) if predict else module.Panel()
        return made.remember((name, predict))
