"""Every public function of the physics says what goes in, what comes out, where it is from and how good it is."""

import importlib
import inspect
import pkgutil
import re

import pytest

import kilnlib.physics

SECTIONS = ("Parameters", "Returns", "Raises", "Source", "Accuracy")
KNOWN = re.compile(r"\*retrieved\*|\*computed\*|\*?from memory\*?|common practice", re.I)
UNIT = re.compile(r"_(c|f|pct|pa|m|ms|m2|m3|kg|w|kw|s|h|days|kg_?m3|pas|k|points|pct_per_day|m3_s|m3s)$")
PLUMBING = {"kilnlib.physics.arrays"}  # range checks and shapes: nothing that has a source


def public_functions():
    """Every public function under kilnlib.physics, where it is defined."""
    found = []
    for module in pkgutil.walk_packages(kilnlib.physics.__path__, "kilnlib.physics."):
        if module.name in PLUMBING:
            continue
        for name, function in inspect.getmembers(importlib.import_module(module.name), inspect.isfunction):
            if not name.startswith("_") and function.__module__ == module.name:
                found.append(function)
    return found


def sections(text):
    """Heading to text, of a cleaned docstring; the part before the first heading is under ""."""
    lines, parts, heading = text.splitlines(), {"": []}, ""
    for line, rule in zip(lines, [*lines[1:], ""], strict=True):
        if rule and set(rule) == {"-"} and len(rule) == len(line):
            heading = line
            assert heading not in parts, f"{heading} twice"
            parts[heading] = []
        elif not (line and set(line) == {"-"}):
            parts[heading].append(line)
    return {heading: "\n".join(body).strip() for heading, body in parts.items()}


def parameters(text):
    """Name to description."""
    found, name = {}, None
    for line in text.splitlines():
        head = re.match(r"(\w+(?:, \w+)*) : (.+)", line)
        if head:
            for name in head[1].split(", "):
                found[name] = head[2]
        else:
            found[name] += " " + line.strip()
    return found


def test_there_is_something_to_test():
    functions = public_functions()
    assert len(functions) >= 10
    assert {"rh_pct", "emc_pct", "saturation_pressure_pa"} <= {function.__name__ for function in functions}


@pytest.mark.parametrize("function", public_functions(), ids=lambda f: f"{f.__module__.split('.')[-1]}.{f.__name__}")
def test_docstring(function):
    assert function.__doc__, "no docstring"
    parts = sections(inspect.getdoc(function))
    arguments = list(inspect.signature(function).parameters)
    wanted = [name for name in SECTIONS if arguments or name != "Parameters"]
    assert [name for name in parts if name] == wanted
    assert all(parts[name] for name in wanted), "an empty section"
    assert parts[""].endswith(".") and parts[""][0].isupper()
    if arguments:
        described = parameters(parts["Parameters"])
        assert list(described) == arguments
        for name, words in described.items():
            assert words.strip().endswith("."), name
            if UNIT.search(name):
                assert re.search(r"\[[^\]]+\]", words), f"{name} has no [unit]"
    if UNIT.search(function.__name__):
        assert re.search(r"\[[^\]]+\]", parts["Returns"]), "no [unit] in Returns"
    assert KNOWN.search(parts["Source"]), "Source does not say how it is known"


def test_a_bad_docstring_fails():
    def poor_c(dry_bulb_c):
        """Nothing.

        Parameters
        ----------
        dry_bulb_c : dry bulb.
        """

    with pytest.raises(AssertionError):
        test_docstring(poor_c)
