"""Numbers and arrays alike: range checks that end in a sentence, and results that come back as they went in."""

from collections.abc import Callable, Sequence
from typing import Any

import numpy as np

from kilnlib.errors import Fields, OutOfRange

Values = float | np.ndarray | Sequence[float]  # what most of the physics takes: one number, or many of them
AsGiven = Any  # and gives: a float where every one was a number, an array otherwise; no checker can know which
Example = str | tuple[float, str]  # as an error shows it: words, or an SI value and its kind

_BLOCK = 8192


def check_range(what: str, value: Values, low: float, high: float, kind: str, code: str = "range") -> np.ndarray:
    """`value` as float array if every number in it lies in low..high; NaN passes, infinity does not.

    A limit missed by rounding (212 °F turned to Celsius and back) counts as the limit. Raises OutOfRange with a
    sentence about the first offender.
    """
    array = np.asarray(value, dtype=float)
    if not ((array < low) | (array > high)).any():
        return array
    finite(what, array, (0.5 * (low + high), kind))
    slack = 1e-9 * (high - low)
    bad = (array < low - slack) | (array > high + slack)
    if np.any(bad):
        (first,) = first_where(bad, array)
        fields: Fields = {"value": (first, kind)}
        if code == "range":
            fields |= {"what": what, "low": (low, kind), "high": (high, kind)}
        raise OutOfRange(code, what, first, low, high, **fields)
    return np.clip(array, low, high)


def finite(what: str, value: Values, example: Example) -> np.ndarray:
    """`value` as float array, refused in a sentence with an `example` (SI value, kind) if it holds an infinity."""
    array = np.asarray(value, dtype=float)
    if np.any(np.isinf(array)):
        raise OutOfRange("not_finite", what, float("inf"), what=what, example=example)
    return array


def positive(what: str, value: Values, example: str = "4.46") -> np.ndarray:
    """`value` as float array, refused in a sentence if it holds a number at or below zero; NaN passes."""
    array = finite(what, value, example)
    bad = array <= 0
    if np.any(bad):
        (first,) = first_where(bad, array)
        raise OutOfRange("not_positive", what, first, 0.0, None, what=what, value=f"{first:g}", example=example)
    return array


def within(what: str, value: float, low: float, high: float, kind: str) -> float:
    """`value` as a float within limits; unlike elsewhere NaN is refused, for a kiln has no unreadable length."""
    if isinstance(value, int | float) and low <= value <= high:
        return float(value)
    number = float(check_range(what, value, low, high, kind))
    if number != number:
        raise OutOfRange("not_finite", what, number, low, high, what=what, example=(0.5 * (low + high), kind))
    return number


def whole(what: str, value: float, low: float, high: float) -> None:
    """Refuse a count that lies outside its limits or is not a whole number."""
    if within(what, value, low, high, "count") != int(value):
        raise OutOfRange("whole_number", what, value, low, high, what=what, value=f"{value:g}")


def first_where(mask: np.ndarray, *arrays: Values) -> list[float]:
    """The number each array holds where `mask` is true for the first time."""
    at = np.argmax(np.ravel(mask))
    return [float(np.broadcast_to(a, np.shape(mask)).flat[at]) for a in arrays]


def result(array: float | np.ndarray) -> AsGiven:
    """A float for a number, an array for an array."""
    return float(array) if np.ndim(array) == 0 else array


def _lowered(value, before):
    """By how much the end that stays is lowered, so that the next guess falls on its side of the crossing."""
    share = 1.0 - value / before
    return max(share, 0.1) if share > 0.0 else 0.5


def _about(falling, low, high, guess, step, close):
    """A narrower bracket that holds the crossing, and the function at its ends."""
    value = falling(guess)
    if abs(value) <= close:
        return guess, value, guess, value
    upward = value > 0
    while True:
        other = min(guess + step, high) if upward else max(guess - step, low)
        there = falling(other)
        if (there > 0) != upward or other in (low, high):
            return (guess, value, other, there) if upward else (other, there, guess, value)
        guess, value, step = other, there, 4.0 * step


def falling_root(
    falling: Callable[[float], float],
    low: float,
    high: float,
    scale: float,
    tolerance: float = 1e-14,
    narrow: float = 0.0,
    near: tuple[float, float] | None = None,
) -> float:
    """Where a falling function crosses zero in a bracket: false position, the idle end lowered (Anderson and Björck).

    It ends where the function is within `tolerance` times `scale` of zero, or its bracket is
    `narrow`, as at a jump. Without a crossing it gives the nearer end. `near` is a guess and a step: the crossing is
    then first looked for from the guess on, in ever longer steps.
    """
    last = 0
    if near is not None and low < near[0] < high:
        low, at_low, high, at_high = _about(falling, low, high, *near, tolerance * scale)
    else:
        at_low, at_high = falling(low), falling(high)
    if at_low <= 0 or at_high >= 0:
        return low if at_low <= 0 else high
    guess = low
    for _ in range(200):
        guess = low + at_low * (high - low) / (at_low - at_high)  # on a straight line from the low end
        value = falling(guess)
        if abs(value) <= tolerance * scale or not low < guess < high or high - low < narrow:
            break
        side = 1 if value > 0 else -1
        if side > 0:
            at_high *= _lowered(value, at_low) if last > 0 else 1.0
            low, at_low = guess, value
        else:
            at_low *= _lowered(value, at_high) if last < 0 else 1.0
            high, at_high = guess, value
        last = side
    return guess


def in_blocks(compute: Callable[..., np.ndarray], *arrays: np.ndarray) -> np.ndarray:
    """Run `compute` over blocks that stay in the processor's cache; numbers pass straight through."""
    shape = np.broadcast_shapes(*(np.shape(a) for a in arrays))
    size = int(np.prod(shape, dtype=int))
    if size <= _BLOCK:
        return compute(*arrays)
    flat = [a if np.ndim(a) == 0 else np.broadcast_to(a, shape).reshape(-1) for a in arrays]
    out = np.empty(size)
    for start in range(0, size, _BLOCK):
        part = slice(start, start + _BLOCK)
        out[part] = compute(*(a if np.ndim(a) == 0 else a[part] for a in flat))
    return out.reshape(shape)
