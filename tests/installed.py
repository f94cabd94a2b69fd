"""The project installed for itself, as a wheel or as the folder it lies in, into a Python of its own."""

import os
import shutil
import subprocess
import sys
import sysconfig
import venv
from pathlib import Path

ROOT = Path(__file__).parent.parent
WHAT_WE_SHIP = ("kilnlib", "workbooks", "answers", "pyproject.toml", "setup.py", "README.md", "LICENSE")
LEFT = shutil.ignore_patterns("__pycache__", ".ipynb_checkpoints")
SECONDS = 120  # a ceiling for one step


def copy_project(folder):
    """The project's folder without what tests and tools left in it."""
    for name in WHAT_WE_SHIP:
        source = ROOT / name
        shutil.copytree(source, folder / name, ignore=LEFT) if source.is_dir() else shutil.copy2(source, folder / name)
    return folder


def pip(*words, python=None):
    """Run our pip, for another Python if need be, without asking any index; returns nothing, fails loudly."""
    other = ["--python", str(python)] if python else []
    quiet = ["--no-deps", "--no-build-isolation", "--no-index", "--quiet", "--disable-pip-version-check"]
    done = subprocess.run(
        [sys.executable, "-m", "pip", *other, *words[:1], *quiet, *words[1:]],
        capture_output=True, text=True, timeout=SECONDS, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout + done.stderr


def build_wheel(project, folder):
    """The wheel of a project's folder."""
    pip("wheel", "--wheel-dir", str(folder), str(project))
    (wheel,) = folder.glob("*.whl")
    return wheel


def make_python(folder):
    """A Python with a prefix of its own, which finds every package of ours but the workbook; returns its program."""
    venv.create(folder, with_pip=False)
    own = Path(sysconfig.get_path("purelib", vars={"base": str(folder), "platbase": str(folder)}))
    (own / "ours.pth").write_text(sysconfig.get_path("purelib") + "\n", encoding="utf-8")
    return folder / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


def environment(home):
    """What such a Python is told: where JupyterLab's own files lie, and nothing of our settings."""
    share = Path(sys.prefix, "share", "jupyter")
    kept = {key: value for key, value in os.environ.items() if not key.startswith(("JUPYTER", "PYTHON"))}
    return kept | {
        "FIRST_CHARGE_HOME": str(home),
        "JUPYTER_PATH": str(share),
        "JUPYTERLAB_DIR": str(share / "lab"),
        "JUPYTER_CONFIG_DIR": str(home / "jupyter"),
        "JUPYTER_DATA_DIR": str(home / "jupyter-data"),
        "IPYTHONDIR": str(home / "ipython"),
    }
