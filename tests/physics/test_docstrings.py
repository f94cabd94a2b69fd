"""Every public function of the physics says what it does.

Where a quantity goes in or comes out it says in five parts what, in which unit, where it is from and how good it is.
For the rest a sentence is enough.
"""

import importlib
import inspect
import pkgutil
import re

import numpy as np
import pytest

import kilnlib.physics
from kilnlib.physics.arrays import AsGiven, Values

SECTIONS = ("Parameters", "Returns", "Raises", "Source", "Accuracy")
KNOWN = re.compile(r"\*retrieved\*|\*computed\*|\*?from memory\*?|common practice", re.I)
UNIT = re.compile(r"_(c|f|pct|pa|m|ms|m2|m3|kg|w|kw|s|h|days|kg_?m3|pas|k|points|pct_per_day|m3_s|m3s)$")
NUMBERS = {float, Values, AsGiven, np.ndarray}
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


def holds_a_quantity(function):
    """Whether a unit stands in the names or the text of a function, or a number that is no count goes in or out."""
    signature = inspect.signature(function)
    types = [signature.return_annotation, *(parameter.annotation for parameter in signature.parameters.values())]
    named = any(UNIT.search(name) for name in (function.__name__, *signature.parameters))
    return named or any(kind in NUMBERS for kind in types) or re.search(r"\[[^\]]+\]", inspect.getdoc(function))


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
    assert parts[""].endswith(".") and parts[""][0].isupper()
    if list(parts) == [""] and not holds_a_quantity(function):
        return
    assert [name for name in parts if name] == wanted
    assert all(parts[name] for name in wanted), "an empty section"
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


def poor_c(dry_bulb_c):
    """Nothing.

    Parameters
    ----------
    dry_bulb_c : dry bulb.
    """


def unit_in_a_name(dry_bulb_c):
    """What the air is like."""


def number_out(species: str) -> float:
    """How fast it may dry."""


def unit_in_the_text(wood):
    """How fast it may dry [points a day]."""


def no_sentence(species):
    """species"""


@pytest.mark.parametrize("function", [poor_c, unit_in_a_name, number_out, unit_in_the_text, no_sentence])
def test_a_bad_docstring_fails(function):
    with pytest.raises(AssertionError):
        test_docstring(function)


def test_a_sentence_is_enough_for_plumbing():
    def names(table: str) -> list[str]:
        """The names in a table."""

    test_docstring(names)
