"""pyproject.toml, environment.yml and the folders agree."""

import ast
import importlib.metadata
import re
import subprocess
import sys
import tomllib
from pathlib import Path

import hub
import pytest
import rattler
import yaml
from lowest import constraints
from packaging.requirements import Requirement
from packaging.specifiers import SpecifierSet
from setuptools import find_packages

ROOT = Path(__file__).parent.parent
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
ENVIRONMENT = yaml.safe_load((ROOT / "environment.yml").read_text(encoding="utf-8"))
WORKFLOW = ROOT / ".github" / "workflows" / "tests.yml"
# Packages that come with a named dependency, which needs them itself.
COMES_WITH = {
    "nbconvert": "jupyterlab",
    "PIL": "matplotlib",
    "IPython": "ipywidgets",
    "traitlets": "ipywidgets",
    "jupyter_server": "jupyterlab",
}
COMES_WITH |= {"nbformat": "jupyterlab", "nbclient": "jupyterlab", "tornado": "jupyterlab", "packaging": "matplotlib"}


def conda_lines():
    """The conda specs of environment.yml."""
    return [line for line in ENVIRONMENT["dependencies"] if isinstance(line, str)]


def conda_bounds():
    """Name to bounds of the conda specs."""
    specs = [rattler.MatchSpec(line, strict=True) for line in conda_lines()]
    return {spec.name.normalized: SpecifierSet(str(spec.version or "")) for spec in specs}


def test_environment_is_shaped_as_conda_wants_it():
    assert list(ENVIRONMENT) == ["name", "channels", "dependencies"]
    assert ENVIRONMENT["name"] == PROJECT["project"]["name"]
    assert ENVIRONMENT["channels"] == ["conda-forge"]
    assert ENVIRONMENT["dependencies"][-1] == {"pip": ["-e ."]}
    assert "pip" in conda_lines()


def test_the_address_for_binder_leads_to_a_page_that_is_there():
    address = re.search(r"\?urlpath=lab/tree/(\S+)`", (ROOT / "README.md").read_text(encoding="utf-8"))[1]
    assert (ROOT / address).is_file() and address == f"{hub.CLONE}/home.ipynb"  # the one that tests/hub.py opens


@pytest.mark.parametrize("line", conda_lines())
def test_conda_spec_is_valid(line):
    spec = rattler.MatchSpec(line, strict=True)
    assert spec.name.normalized == line.split()[0]


def test_a_bad_spec_would_be_refused():
    with pytest.raises(Exception, match=r"version"):
        rattler.MatchSpec("pandas >=>2.2", strict=True)


def test_same_names_and_bounds():
    wanted = {Requirement(line).name: Requirement(line).specifier for line in PROJECT["project"]["dependencies"]}
    wanted |= {"python": SpecifierSet(PROJECT["project"]["requires-python"]), "pip": SpecifierSet("")}
    assert conda_bounds() == wanted


@pytest.mark.parametrize(
    "line", PROJECT["project"]["dependencies"] + PROJECT["project"]["optional-dependencies"]["test"]
)
def test_requirement_is_valid_and_met_here(line):
    requirement = Requirement(line)
    assert any(clause.operator == ">=" for clause in requirement.specifier)
    assert requirement.specifier.contains(importlib.metadata.version(requirement.name), prereleases=True)


def test_dependencies_end_at_the_next_major_version():
    for line in PROJECT["project"]["dependencies"]:
        assert any(clause.operator == "<" for clause in Requirement(line).specifier), line


def test_every_lower_bound_becomes_a_constraint_that_its_requirement_allows():
    """What tests/lowest.py installs is the lowest version of each name, and no other."""
    pinned = constraints(PROJECT["project"])
    assert pinned["numpy"] == "numpy==2.0" and pinned["pytest"] == "pytest==8"
    for line in PROJECT["project"]["dependencies"] + PROJECT["project"]["optional-dependencies"]["test"]:
        requirement = Requirement(line)
        (clause,) = Requirement(pinned[requirement.name]).specifier
        assert clause.operator == "==" and f">={clause.version}" in map(str, requirement.specifier)


def test_every_package_is_installed():
    """What setuptools finds is every folder with Python in it, and the files that stand beside it."""
    folders = {path.parent for path in (ROOT / "kilnlib").rglob("*.py")}
    assert set(find_packages(ROOT, **PROJECT["tool"]["setuptools"]["packages"]["find"])) == {
        ".".join(folder.relative_to(ROOT).parts) for folder in folders
    }
    data = PROJECT["tool"]["setuptools"]["package-data"]
    for suffix, package in ((".csv", "kilnlib.tables"), (".csv", "kilnlib.cases"), (".toml", "kilnlib.questions")):
        assert f"*{suffix}" in data[package]


def test_only_declared_packages_are_imported():
    names = {"jupyterlab", "ipywidgets", "numpy", "matplotlib", "pandas", "nbval"}
    assert names == {Requirement(line).name for line in PROJECT["project"]["dependencies"]}
    for path in (ROOT / "kilnlib").rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            found = []
            if isinstance(node, ast.Import):
                found = [alias.name for alias in node.names]
            elif isinstance(node, ast.ImportFrom):
                found = [node.module]
            for module in {name.split(".")[0] for name in found} - set(sys.stdlib_module_names) - {"kilnlib"}:
                assert COMES_WITH.get(module, module) in names, f"{path.name} imports {module}"


def lint(workflow):
    """Run the checker of workflow files; its schema lies in its package, so it needs no internet."""
    words = ["-m", "check_jsonschema", "--builtin-schema", "vendor.github-workflows", workflow]
    return subprocess.run([sys.executable, *words], capture_output=True, text=True, check=False, timeout=60)


def test_the_hosted_workflow_is_shaped_as_its_host_wants_it(tmp_path):
    checked = lint(WORKFLOW)
    assert checked.returncode == 0, checked.stdout
    spoiled = tmp_path / "tests.yml"
    spoiled.write_text(WORKFLOW.read_text(encoding="utf-8").replace("runs-on:", "runs_on:"), encoding="utf-8")
    assert lint(spoiled).returncode == 1


def test_the_hosted_workflow_runs_the_test_command_of_the_readme():
    job = yaml.safe_load(WORKFLOW.read_text(encoding="utf-8"))["jobs"]["tests"]
    assert job["strategy"]["matrix"]["system"] == ["ubuntu-latest", "windows-latest", "macos-latest"]
    oldest, newest = job["strategy"]["matrix"]["python"]
    assert PROJECT["project"]["requires-python"] == f">={oldest}"
    assert tuple(map(int, newest.split("."))) > tuple(map(int, oldest.split(".")))
    commands = re.findall(r"```\n(.*test.*)\n```", (ROOT / "README.md").read_text(encoding="utf-8"))
    runs = [step["run"] for step in job["steps"] if "run" in step]
    assert runs == [commands[0], re.sub("^py ", "python ", commands[1])]
    assert {step["uses"].split("@")[0] for step in job["steps"] if "uses" in step} == {
        "actions/checkout",
        "actions/setup-python",
    }
