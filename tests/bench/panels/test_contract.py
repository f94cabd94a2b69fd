"""state → compute → draw → say: `compute` alone calls physics, what is drawn and said reads its result."""

import ast
import inspect
from pathlib import Path

import pytest

from kilnlib.bench import panels
from kilnlib.bench.kit.app import App
from kilnlib.bench.panels import panel_class, panel_names

FILES = sorted(Path(panels.__file__).parent.glob("[a-z]*.py"))


def physics_names(tree):
    """Names of a module that stand for physics: imported from it, or functions of the module that call it."""
    names = {
        alias.asname or alias.name
        for node in ast.walk(tree)
        if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("kilnlib.physics")
        for alias in node.names
    }
    functions = [node for node in tree.body if isinstance(node, ast.FunctionDef)]
    while True:
        more = {function.name for function in functions if calls(function, names)} - names
        if not more:
            return names
        names |= more


def calls(node, names):
    """Calls inside a node whose function is one of the names, or is found through one."""
    found = []
    for call in (one for one in ast.walk(node) if isinstance(one, ast.Call)):
        root = call.func
        while isinstance(root, ast.Attribute):
            root = root.value
        if isinstance(root, ast.Name) and root.id in names:
            found.append(ast.unparse(call.func))
    return found


def physics_outside_compute(source):
    """(method, call) for each call of physics in a class that has a `compute`, in any other of its methods."""
    tree = ast.parse(source)
    names = physics_names(tree)
    for panel in (node for node in tree.body if isinstance(node, ast.ClassDef)):
        methods = [node for node in panel.body if isinstance(node, ast.FunctionDef)]
        if any(method.name == "compute" for method in methods):
            for method in methods:
                if method.name != "compute":
                    yield from ((method.name, call) for call in calls(method, names))


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.stem)
def test_compute_alone_calls_physics(file):
    assert list(physics_outside_compute(file.read_text(encoding="utf-8"))) == []


@pytest.mark.parametrize("line", ["air.rh_pct(1, 2)", "emc.x.y(3)", "_behind(4)"])
def test_a_call_elsewhere_would_be_seen(line):
    source = f"""
from kilnlib.physics import air
from kilnlib.physics.air import emc
def _behind(x):
    return air.dew_point_c(x, 50)
class Panel:
    def compute(self, state):
        return _behind(state)
    def say(self, result, system):
        return {line}
"""
    assert [method for method, _ in physics_outside_compute(source)] == ["say"]


def chart_panels():
    """Panels with a chart of their own."""
    found = {name: panel_class(name) for name in panel_names()}
    return {name: one for name, one in found.items() if issubclass(one, App) and one.prepare is App.prepare}


def test_a_panel_gives_all_that_the_base_class_asks_for():
    assert len(chart_panels()) == 12
    for name, panel in chart_panels().items():
        for method in ("compute", "axes", "lines", "draw_ghost", "draw", "say"):
            own = getattr(panel, method)
            assert own is not getattr(App, method), f"{name} has no {method}"
            assert list(inspect.signature(own).parameters) == list(inspect.signature(getattr(App, method)).parameters)
