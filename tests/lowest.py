"""All tests but the browser's, with the lowest versions that pyproject.toml allows: python tests/lowest.py.

It makes constraints of the lower bounds (`>=X` becomes `==X`), installs with them into a new environment outside this
folder, prints what it installed, and runs the tests there in one process. What you add to the command goes to pytest.
"""

import os
import subprocess
import sys
import tempfile
import tomllib
import venv
from pathlib import Path

from packaging.requirements import Requirement

ROOT = Path(__file__).parent.parent
INSTALL_S, TEST_S = 15 * 60, 45 * 60  # at most


def constraints(project):
    """Name to `name==lowest version` of each package that the project and its tests name."""
    requirements = [Requirement(line) for line in project["dependencies"] + project["optional-dependencies"]["test"]]
    return {one.name: f"{one.name}=={_lowest(one)}" for one in requirements}


def _lowest(requirement):
    return next(clause.version for clause in requirement.specifier if clause.operator == ">=")


def run(more=()):
    """Install and test; returns pytest's exit status."""
    pinned = constraints(tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"])
    with tempfile.TemporaryDirectory(prefix="first-charge-lowest-") as folder:
        listed = Path(folder, "constraints.txt")
        listed.write_text("\n".join(pinned.values()), encoding="utf-8")
        venv.create(Path(folder, "venv"), with_pip=True)
        python = Path(folder, "venv", "Scripts" if os.name == "nt" else "bin", "python")
        install = [python, "-m", "pip", "install", "--quiet", "--constraint", listed, "--editable", f"{ROOT}[test]"]
        subprocess.run(install, check=True, timeout=INSTALL_S)
        print("Python", sys.version.split()[0], *pinned.values(), flush=True)
        tests = [python, "-m", "pytest", "-n", "1", "--ignore", "tests/browser", *more]
        return subprocess.run(tests, cwd=ROOT, timeout=TEST_S, check=False).returncode


if __name__ == "__main__":
    sys.exit(run(sys.argv[1:]))
