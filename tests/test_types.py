"""The types fit, and everything that others may call says which it takes and gives."""

import ast
import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
KILNLIB = ROOT / "kilnlib"
PARTS = ("units.py", "errors.py", "typed.py", "tables", "physics", "store", "cases", "questions")
VAGUE = {"object", "tuple", "list", "dict", "set", "frozenset"}  # a field of these does not say what is in it


def types_of(*words):
    """Run the type checker as pyproject.toml sets it up, with its cache off."""
    command = [sys.executable, "-m", "mypy", "--cache-dir", os.devnull, *words]
    return subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=False, timeout=120)


def files():
    """Every file whose public names say their types."""
    for part in PARTS:
        path = KILNLIB / part
        for file in [path] if path.is_file() else sorted(path.rglob("*.py")):
            yield pytest.param(file, id=file.relative_to(KILNLIB).as_posix())


def names(annotation):
    """The names in an annotation, but for those that say in brackets what is in them."""
    said = {part.value for part in ast.walk(annotation) if isinstance(part, ast.Subscript)}
    return {part.id for part in ast.walk(annotation) if isinstance(part, ast.Name) and part not in said}


def untyped(body, where=""):
    """Names in a module or a class that do not say their types: parameters, what is returned, and vague fields."""
    for node in body:
        if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
            yield from untyped(node.body, f"{node.name}.")
        elif isinstance(node, ast.AnnAssign) and where:
            if names(node.annotation) & VAGUE:
                yield f"{where}{node.target.id}"
        elif isinstance(node, ast.FunctionDef) and (node.name == "__init__" or not node.name.startswith("_")):
            taken = node.args
            every = [*taken.posonlyargs, *taken.args, taken.vararg, *taken.kwonlyargs, taken.kwarg]
            for one in every:
                if one is not None and one.annotation is None and one.arg not in ("self", "cls"):
                    yield f"{where}{node.name}({one.arg})"
            if node.returns is None and node.name != "__init__":
                yield f"{where}{node.name}()"


def test_the_types_fit():
    done = types_of()
    assert done.returncode == 0, done.stdout


def test_a_wrong_type_would_be_seen(tmp_path):
    file = tmp_path / "wrong.py"
    file.write_text("from kilnlib.units import F\n\nlabel: int = F.label\n", encoding="utf-8")
    done = types_of(str(file))
    assert done.returncode == 1 and "Incompatible types" in done.stdout, done.stdout


@pytest.mark.parametrize("file", [*files()])
def test_public_names_say_their_types(file):
    assert list(untyped(ast.parse(file.read_text(encoding="utf-8")).body)) == []


@pytest.mark.parametrize(
    ("code", "name"),
    [
        ("def dry(board: str): ...", "dry()"),
        ("def dry(board) -> str: ...", "dry(board)"),
        ("def dry(*, boards) -> str: ...", "dry(boards)"),
        ("class Kiln:\n    def fill(self, boards) -> None: ...", "Kiln.fill(boards)"),
        ("class Kiln:\n    boards: tuple", "Kiln.boards"),
        ("class Kiln:\n    boards: list | None", "Kiln.boards"),
        ("class Kiln:\n    boards: dict[str, tuple]", "Kiln.boards"),
    ],
)
def test_a_missing_type_would_be_seen(code, name):
    assert list(untyped(ast.parse(code).body)) == [name]
