"""The calculator: expressions over physics in trade units.

Question files and the handbook table say how a number is worked out by an expression such as
`rh(110, 102, 900) - 5`. `evaluate` works it out without running it as a program: it walks the parsed expression and
allows arithmetic, comparisons, lists of numbers, named numbers and calls of the names in `calculators/`, and nothing
else.
"""

import ast
import functools
import importlib
import inspect
import math
import operator
import pkgutil
from collections.abc import Callable
from statistics import fmean
from typing import Any

from kilnlib.errors import BadQuestion, KilnError
from kilnlib.questions import calls
from kilnlib.units import c_to_f, f_to_c

LONGEST = 400  # characters; keeps the walk shallow


def mean(*numbers: Any) -> float:
    """Average of a list, or of the numbers given."""
    return fmean(numbers[0] if len(numbers) == 1 else numbers)


def _of(module):
    """The public functions that a module of calculators defines."""
    functions = inspect.getmembers(module, inspect.isfunction)
    return {name: call for name, call in functions if call.__module__ == module.__name__ and not name.startswith("_")}


@functools.cache
def known() -> dict[str, Callable[..., Any]]:
    """Every name that an expression may call. Worked out when the first expression is: this loads all of physics, and
    the first slider need not wait for it."""
    calls_by_name = {call.__name__: call for call in (c_to_f, f_to_c, min, max, abs, round, sum, sorted, mean)}
    for file in pkgutil.iter_modules(calls.__path__):
        calls_by_name |= _of(importlib.import_module(f"{calls.__name__}.{file.name}"))
    return calls_by_name


def evaluate(expression: str, /, **numbers: Any) -> Any:
    """Number, truth or list of numbers that an expression gives; `numbers` are the names it may use.

    Raises BadQuestion with a sentence that quotes the expression.
    """
    if len(expression) > LONGEST:
        why = f"It is longer than {LONGEST} characters."
        raise BadQuestion("expression_failed", expression=expression[:60] + "…", why=why)
    try:
        tree = ast.parse(expression.strip(), mode="eval")
    except (SyntaxError, ValueError, RecursionError, MemoryError):
        raise BadQuestion("expression_part", expression=expression, part=expression) from None
    try:
        return _Walk(expression, numbers).work_out(tree.body)
    except BadQuestion:
        raise
    except KilnError as error:
        raise BadQuestion("expression_failed", expression=expression, why=error.sentence("trade")) from error
    except (ArithmeticError, TypeError, ValueError) as error:
        why = f"{str(error.args[-1]).capitalize()}."
        raise BadQuestion("expression_failed", expression=expression, why=why) from error


def value(expression: str, /, **numbers: Any) -> float:
    """The one ordinary number that an expression gives, as `evaluate`; BadQuestion if it gives anything else."""
    result = evaluate(expression, **numbers)
    if not _is_number(result) or not math.isfinite(result):
        raise BadQuestion("expression_value", expression=expression, value=result)
    return float(result)


def _is_number(thing):
    return isinstance(thing, int | float) and not isinstance(thing, bool)


def _power(base, exponent):
    return float(base) ** float(exponent)  # floats, because a huge power of whole numbers would be worked out for ever


OPERATORS = {
    ast.Add: operator.add,
    ast.Sub: operator.sub,
    ast.Mult: operator.mul,
    ast.Div: operator.truediv,
    ast.FloorDiv: operator.floordiv,
    ast.Mod: operator.mod,
    ast.Pow: _power,
    ast.UAdd: operator.pos,
    ast.USub: operator.neg,
    ast.Lt: operator.lt,
    ast.LtE: operator.le,
    ast.Gt: operator.gt,
    ast.GtE: operator.ge,
    ast.Eq: operator.eq,
    ast.NotEq: operator.ne,
}


class _Walk:
    """One walk over one expression."""

    def __init__(self, expression, numbers):
        self.expression, self.numbers = expression, numbers

    def work_out(self, node, argument=False):
        """What a node gives; text is allowed as the argument of a call only."""
        result = self._found(node)
        if isinstance(result, str) and not argument:
            raise self._refused(node)
        return result

    def _found(self, node):
        match node:
            case ast.Constant(value=constant) if _is_number(constant) or isinstance(constant, str):
                return constant
            case ast.Name(id=name) if name in self.numbers:
                return self.numbers[name]
            case ast.Name(id=name) if name not in known():
                names = ", ".join(known())
                raise BadQuestion("expression_name", expression=self.expression, name=name, names=names)
            case ast.Tuple(elts=parts) | ast.List(elts=parts):
                return [self._number(part) for part in parts]
            case ast.UnaryOp(op=op, operand=operand) if type(op) in OPERATORS:
                return OPERATORS[type(op)](self._number(operand))
            case ast.BinOp(left=left, op=op, right=right) if type(op) in OPERATORS:
                return OPERATORS[type(op)](self._number(left), self._number(right))
            case ast.Compare(left=left, ops=ops, comparators=others) if all(type(op) in OPERATORS for op in ops):
                terms = [self._number(term) for term in (left, *others)]
                pairs = zip(ops, terms[:-1], terms[1:], strict=True)
                return all(OPERATORS[type(op)](a, b) for op, a, b in pairs)
            case ast.Call(func=ast.Name(id=name), args=args, keywords=keywords) if name in known():
                named = {word.arg: self.work_out(word.value, argument=True) for word in keywords if word.arg}
                if len(named) < len(keywords):
                    raise self._refused(node)
                return known()[name](*(self.work_out(arg, argument=True) for arg in args), **named)
        raise self._refused(node)

    def _number(self, node):
        number = self.work_out(node)
        if not _is_number(number):
            raise self._refused(node)
        return number

    def _refused(self, node):
        part = ast.get_source_segment(self.expression.strip(), node) or self.expression
        return BadQuestion("expression_part", expression=self.expression, part=part)
