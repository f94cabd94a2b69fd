"""What is annotated is so, and what a person may call is annotated."""

import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parent.parent


def types_of(*words):
    """Run the type checker as pyproject.toml sets it up, with its cache off."""
    command = [sys.executable, "-m", "mypy", "--cache-dir", os.devnull, *words]
    return subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False, timeout=120)


def test_the_types_fit():
    done = types_of()
    assert done.returncode == 0, done.stdout


def test_a_wrong_type_would_be_seen(tmp_path):
    file = tmp_path / "wrong.py"
    file.write_text("from kilnlib.units import F\n\nlabel: int = F.label\n", encoding="utf-8")
    done = types_of(str(file))
    assert done.returncode == 1 and "Incompatible types" in done.stdout, done.stdout
