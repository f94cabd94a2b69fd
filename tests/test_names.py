"""Names other code relies on, imports that go down only, modules of one idea."""

import ast
import importlib
import inspect
import pkgutil
import re
import subprocess
import sys
from pathlib import Path

import pytest

import kilnlib

ROOT = Path(kilnlib.__file__).parent
NAMES = {
    "kilnlib.physics.air": {
        "saturation_pressure_pa": "temperature_c",
        "pressure_pa": "altitude_m",
        "rh_pct": "dry_bulb_c wet_bulb_c pressure_pa=101325.0",
        "wet_bulb_c": "dry_bulb_c rh_pct pressure_pa=101325.0",
        "dew_point_c": "dry_bulb_c rh_pct",
        "humidity_ratio": "dry_bulb_c rh_pct pressure_pa=101325.0",
    },
    "kilnlib.physics.air.emc": {
        "emc_pct": "dry_bulb_c rh_pct",
        "rh_pct_for_emc": "dry_bulb_c emc_pct",
        "emc_pct_from_bulbs": "dry_bulb_c wet_bulb_c pressure_pa=101325.0",
    },
    "kilnlib.physics.wood": {
        "mc_pct": "weight ovendry_weight",
        "wet_basis_pct": "mc_pct",
        "shrinkage_pct": "total_shrinkage_pct mc_pct fsp_pct=30.0",
        "species": "name",
    },
    "kilnlib.physics.samples": {
        "ovendry_weight": "weight mc_pct",
        "sample_mc_pct": "weight ovendry_weight",
        "controlling_mc_pct": "mcs",
        "meter_corrected_pct": "reading_pct wood_c",
        "safe_rate_pct_per_day": "species thickness",
    },
    "kilnlib.physics.airflow": {
        "solve": "stack gaps fan dry_bulb_c=43.0 rh_pct=85.0 pressure_pa=101325.0 friction=None",
    },
    "kilnlib.physics.drying.board": {
        "dry": "board steps pressure_pa=101325.0 tolerance_pct=0.15",
        "days_to": "board steps mc_pct pressure_pa=101325.0",
    },
    "kilnlib.physics.schedules": {
        "assemble": "code wet_bulb_floor_f=None",
        "setpoint": "code mc_pct wet_bulb_floor_f=None",
        "code_for": "species thickness",
        "shift": "code temperature=0 depression=0",
    },
    "kilnlib.physics.setpoint": {
        "check_setpoint": "species thickness mc_pct dry_bulb_c wet_bulb_c pressure_pa=None kiln=None history=None "
        "code=None",
    },
    "kilnlib.physics.conditioning": {
        "equalize": "target_pct wood='hardwood'",
        "condition": "target_pct wood='hardwood'",
    },
}
# What a part may import of kilnlib; the quiet parts import nothing that draws or reaches a network.
BELOW = {
    "kilnlib.errors": {"kilnlib.units"},  # to write a quantity, inside a function
    "kilnlib.units": {"kilnlib.errors"},
    "kilnlib.tables": {"kilnlib.errors"},
    "kilnlib.physics": {"kilnlib.physics", "kilnlib.tables", "kilnlib.units", "kilnlib.errors"},
}
FILES_OF_THE_USER = re.compile(r"kilnlib\.(kiln|record|sheet\w*|user_files)$")  # read and written without a screen too
SCREEN = {"ipywidgets", "IPython", "matplotlib", "jupyterlab", "PIL", "traitlets"}
NETWORK = {"socket", "ssl", "http", "urllib", "urllib3", "requests", "httpx", "aiohttp", "ftplib", "smtplib", "asyncio"}
QUIET = ("kilnlib.physics", "kilnlib.tables", "kilnlib.units", "kilnlib.errors")


def modules():
    """Module name to file, of everything under kilnlib."""
    files = {}
    for path in sorted(ROOT.rglob("*.py")):
        parts = ("kilnlib", *path.relative_to(ROOT).with_suffix("").parts)
        files[".".join(parts).removesuffix(".__init__")] = path
    return files


def imported(name, path):
    """Every module a file imports, anywhere in it."""
    found = set()
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert not node.level, f"{name}: write the import in full"
            found |= {f"{node.module}.{alias.name}" for alias in node.names}
    return found


def within(module, part):
    """Whether a dotted name is a part of the library or lies in it."""
    return module == part or module.startswith(f"{part}.")


@pytest.mark.parametrize(("module", "name"), [(m, n) for m, names in NAMES.items() for n in names])
def test_names_stay(module, name):
    signature = inspect.signature(getattr(importlib.import_module(module), name))
    shown = " ".join(str(parameter).replace(" ", "") for parameter in signature.parameters.values())
    assert shown == NAMES[module][name]


@pytest.mark.parametrize(("name", "path"), modules().items(), ids=lambda value: value if isinstance(value, str) else "")
def test_imports_go_down_only(name, path):
    found = imported(name, path)
    for part, allowed in BELOW.items():
        if within(name, part):
            ours = {module for module in found if within(module, "kilnlib")}
            assert not {module for module in ours if not any(within(module, below) for below in allowed)}
    if FILES_OF_THE_USER.match(name):
        assert not {module for module in found if within(module, "kilnlib.bench") or within(module, "kilnlib.lab")}
    if any(within(name, part) for part in QUIET) or FILES_OF_THE_USER.match(name):
        assert not {module.split(".")[0] for module in found} & (SCREEN | NETWORK)


def test_physics_runs_without_a_screen():
    """Importing the physics loads neither widgets nor drawing."""
    code = (
        "import pkgutil, importlib, sys, kilnlib.physics\n"
        "for module in pkgutil.walk_packages(kilnlib.physics.__path__, 'kilnlib.physics.'):\n"
        "    importlib.import_module(module.name)\n"
        f"print(sorted(set(m.split('.')[0] for m in sys.modules) & {SCREEN!r}))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_a_cell_can_be_run_again():
    """No module of the bench takes the place of the function a cell imports."""
    import kilnlib.bench

    for module in pkgutil.walk_packages(kilnlib.bench.__path__, "kilnlib.bench."):
        importlib.import_module(module.name)
    for name in ("ask", "handbook", "key", "lesson", "panel"):
        assert inspect.isfunction(getattr(kilnlib.bench, name)), name


def test_an_upward_import_would_be_seen(tmp_path):
    file = tmp_path / "wrong.py"
    file.write_text("def f():\n    from kilnlib.bench import words\n    import matplotlib.figure\n", encoding="utf-8")
    with pytest.raises(AssertionError):
        test_imports_go_down_only("kilnlib.physics.wrong", file)
    file.write_text("import matplotlib.figure\n", encoding="utf-8")
    with pytest.raises(AssertionError):
        test_imports_go_down_only("kilnlib.physics.wrong", file)
