"""Names other code relies on, imports that go down only and in no circle, functions one can take in."""

import ast
import importlib
import inspect
import pkgutil
import re
import subprocess
import sys
from graphlib import CycleError, TopologicalSorter
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
        "solve": "stack gaps fan dry_bulb_c=43.0 rh_pct=85.0 pressure_pa=101325.0 friction=None return_cooler_c=0.0",
    },
    "kilnlib.physics.drying.board": {
        "dry": "board steps pressure_pa=101325.0 tolerance_pct=0.15 controlling=None first_h=0.02",
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
        "code=None stage=None target_pct=7.0 share_pct=nan",
    },
    "kilnlib.physics.conditioning": {
        "equalize": "target_pct wood='hardwood'",
        "condition": "target_pct wood='hardwood'",
    },
    "kilnlib.physics.heating": {
        "core_temperature_c": "minutes piece start_c surface_c film_w_m2k=inf probe=Probe(depth_share=1.0, "
        "width_share=1.0, from_end_m=inf)",
        "minutes_to_core": "piece target_c start_c surface_c film_w_m2k=inf probe=Probe(depth_share=1.0, "
        "width_share=1.0, from_end_m=inf)",
        "unbroken_hold": "trace target_c=56.0 hold_min=30.0",
    },
}
# The floors of the house, from the ground up: a part imports from the floors below it, and from itself.
FLOORS = [
    {"units", "words"},
    {"errors"},
    {"typed", "tables"},
    {"physics"},
    {"store"},
    {"cases"},
    {"questions"},
    {"bench"},
    {"lab"},
    {"__main__"},
]
STARTING = {"lab", "__main__"}  # they open the bench in a kernel of its own, and import no part of it
SCREEN = {"ipywidgets", "IPython", "matplotlib"}
NETWORK = {"socket", "ssl", "http", "urllib", "urllib3", "requests", "httpx", "aiohttp", "ftplib", "smtplib", "asyncio"}


def modules():
    """Module name to file, of everything under kilnlib."""
    files = {}
    for path in sorted(ROOT.rglob("*.py")):
        parts = ("kilnlib", *path.relative_to(ROOT).with_suffix("").parts)
        files[".".join(parts).removesuffix(".__init__")] = path
    return files


def imported(name, path, for_types=True):
    """Every module a file imports, anywhere in it; `for_types` counts what only a type checker imports."""
    found = set()
    tree = ast.parse(path.read_text(encoding="utf-8"))
    if not for_types:
        tree.body = [
            node for node in tree.body if not (isinstance(node, ast.If) and "TYPE_CHECKING" in ast.dump(node.test))
        ]
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert not node.level, f"{name}: write the import in full"
            found |= {f"{node.module}.{alias.name}" for alias in node.names}
    return found


def part_of(module):
    """The part of the house in which a dotted name stands."""
    return module.split(".")[1]


def floor_of(module):
    """How many floors lie below a module of ours."""
    return next(number for number, parts in enumerate(FLOORS) if part_of(module) in parts)


def ours(name, path, for_types=True):
    """The modules of ours that a file imports, itself and the top left out."""
    known = modules()
    found = {module if module in known else module.rpartition(".")[0] for module in imported(name, path, for_types)}
    return {module for module in found if module.startswith("kilnlib.") and module != name}


def check_imports(name, path):
    """Fail where a module imports from a floor not below its own, draws outside the bench, or asks a network."""
    for module in ours(name, path):
        assert part_of(module) == part_of(name) or floor_of(module) < floor_of(name), f"{name} imports {module}"
        assert part_of(name) not in STARTING or part_of(module) != "bench", f"{name} imports {module}"
    outside = {module.split(".")[0] for module in imported(name, path)}
    if part_of(name) != "bench":
        assert not outside & SCREEN, name
    if part_of(name) not in STARTING | {"bench"}:
        assert not outside & NETWORK, name


@pytest.mark.parametrize(("module", "name"), [(m, n) for m, names in NAMES.items() for n in names])
def test_names_stay(module, name):
    signature = inspect.signature(getattr(importlib.import_module(module), name))
    named = [parameter.replace(annotation=inspect.Parameter.empty) for parameter in signature.parameters.values()]
    shown = " ".join(str(parameter) for parameter in named)
    assert shown == NAMES[module][name]


@pytest.mark.parametrize(("name", "path"), modules().items(), ids=lambda value: value if isinstance(value, str) else "")
def test_imports_go_down_only(name, path):
    if name != "kilnlib":
        check_imports(name, path)


def test_no_circle():
    """Every module can be put after all that it imports; a package's front comes after what stands in it."""
    graph = {name: ours(name, path, for_types=False) for name, path in modules().items() if name != "kilnlib"}
    tuple(TopologicalSorter(graph).static_order())


def package_of(module):
    """The package in which a module of ours stands, one floor deeper in physics and bench, which have one a subject."""
    parts = module.split(".")
    return ".".join(parts[: 3 if parts[1] in ("physics", "bench") else 2])


def packages(graph):
    """Package to the packages that its modules import, itself left out."""
    between = {}
    for name, imports in graph.items():
        between.setdefault(package_of(name), set()).update(package_of(module) for module in imports)
    return {package: others - {package} for package, others in between.items()}


def test_packages_make_no_circle():
    """A package comes after all that it imports, so `bench.desk` and `bench.panels` cannot need each other."""
    graph = {name: ours(name, path, for_types=False) for name, path in modules().items() if name != "kilnlib"}
    tuple(TopologicalSorter(packages(graph)).static_order())


def test_a_circle_of_packages_would_be_seen():
    """Two packages that need each other are found even where no two of their modules do."""
    here, there = "kilnlib.bench.desk", "kilnlib.bench.panels"
    graph = {f"{here}.a": {f"{there}.a"}, f"{there}.b": {f"{here}.b"}, f"{there}.a": set(), f"{here}.b": set()}
    tuple(TopologicalSorter(graph).static_order())
    with pytest.raises(CycleError):
        tuple(TopologicalSorter(packages(graph)).static_order())


def test_a_function_can_be_taken_in_at_a_glance():
    """Not too long and not too many ways through: ruff counts statements and branches."""
    rules = ["--select", "C901,PLR0915", "--config", "lint.mccabe.max-complexity=16", "--config"]
    rules += ["lint.pylint.max-statements=50"]
    command = [sys.executable, "-m", "ruff", "check", "--no-cache", *rules, str(ROOT)]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stdout


def test_physics_runs_without_a_screen():
    """Importing the physics loads neither widgets nor drawing."""
    code = (
        "import pkgutil, importlib, sys, kilnlib.physics\n"
        "for module in pkgutil.walk_packages(kilnlib.physics.__path__, 'kilnlib.physics.'):\n"
        "    importlib.import_module(module.name)\n"
        f"print(sorted(set(m.split('.')[0] for m in sys.modules) & {SCREEN | {'PIL', 'traitlets'}!r}))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_a_cell_can_be_run_again():
    """No module of the bench takes the place of the function a cell imports."""
    import kilnlib.bench

    for module in pkgutil.walk_packages(kilnlib.bench.__path__, "kilnlib.bench."):
        importlib.import_module(module.name)
    for name in ("ask", "first_aid", "glossary", "handbook", "home", "key", "lesson", "panel", "warm_up"):
        assert inspect.isfunction(getattr(kilnlib.bench, name)), name


@pytest.mark.parametrize(
    "line",
    [
        "from kilnlib.bench import quiz",
        "from kilnlib.questions import bank",
        "import matplotlib.figure",
        "from ipywidgets import HTML",
        "import urllib.request",
    ],
)
def test_a_wrong_import_would_be_seen(tmp_path, line):
    file = tmp_path / "wrong.py"
    file.write_text(f"def f():\n    {line}\n", encoding="utf-8")
    with pytest.raises(AssertionError):
        check_imports("kilnlib.physics.wrong", file)


@pytest.mark.parametrize(
    ("number", "home"),
    [
        (r"\b2501(\.0)?\b|\b2\.501e6\b", "physics/air/moist.py"),
        (r"\b2\.326\b|\b2326\.0\b", "physics/air/moist.py"),
        (r"\b1\.006\b|\b1006\.0\b", "physics/air/moist.py"),
        (r"\b4\.186\b", "physics/air/moist.py"),
        (r"\b86_?400(\.0)?\b", "units.py"),
        (r"3\.7854", "units.py"),
        (r"\) \(\?=", "units.py"),  # the space before a unit, at which no line ends
        (r"FT_M ?\*\* ?2 \* IN_M", "units.py"),
        (r"FSP_PCT = 30", "physics/wood/lumber.py"),
        (r"WATER_KG_M3 = 1000", "physics/wood/lumber.py"),
        (r"def _?is_softwood", "physics/wood/species_table.py"),
    ],
)
def test_a_constant_has_one_home(number, home):
    """The desk's sheet is still to follow for the seconds of a day."""
    files = [path for path in ROOT.rglob("*.py") if "desk/sheet" not in path.as_posix()]
    homes = {path.relative_to(ROOT).as_posix() for path in files if re.search(number, path.read_text("utf-8"))}
    assert homes == {home}
