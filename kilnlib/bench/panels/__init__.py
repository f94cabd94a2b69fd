"""The panels: one file a panel, opened by its name."""

import importlib
import pkgutil
from functools import partial

from kilnlib.bench.kit.memory import bring_back
from kilnlib.bench.kit.screen import LOCK, View
from kilnlib.bench.quiz import Prediction
from kilnlib.errors import NotFound

DESK = {
    "sample_sheet": "kilnlib.bench.desk.sheet.panel",
    "setpoint_check": "kilnlib.bench.desk.setpoint.panel",
    "kiln_form": "kilnlib.bench.desk.kiln_form",
    "component_check": "kilnlib.bench.desk.component_check",
    "trainer": "kilnlib.bench.desk.trainer.panel",
}


def panel_names():
    """Names of the panels there are."""
    return sorted([module.name for module in pkgutil.iter_modules(__path__)] + list(DESK))


def panel_class(name):
    """The class of a panel; raises NotFound with the names there are."""
    if name not in panel_names():
        raise NotFound("unknown_panel", name=name, names=", ".join(panel_names()))
    return importlib.import_module(DESK.get(name, f"{__name__}.{name}")).Panel


def open_panel(name, predict=None):
    """Open a panel by name; one already open from the same cell is closed first. `predict` names a question."""
    panel = panel_class(name)
    with LOCK:
        View.move_here((name, predict))
        made = panel(partial(Prediction, predict)) if predict else panel()
        return bring_back(made, name, predict).remember((name, predict))
