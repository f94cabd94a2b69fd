"""Numbers and arrays alike: range checks that end in a sentence, and results that come back as they went in."""

import numpy as np

from kilnlib.errors import OutOfRange


def check_range(what, value, low, high, kind, code="range"):
    """`value` as float array if every number in it lies in low..high; NaN passes, infinity does not.

    Raises OutOfRange with a sentence about the first offender.
    """
    array = np.asarray(value, dtype=float)
    with np.errstate(invalid="ignore"):
        bad = (array < low) | (array > high)
    if np.any(bad):
        first = float(np.ravel(array)[np.argmax(np.ravel(bad))])
        if np.isinf(first):
            raise OutOfRange("not_finite", what, first, low, high, what=what, example=(0.5 * (low + high), kind))
        fields = {"value": (first, kind)}
        if code == "range":
            fields |= {"what": what, "low": (low, kind), "high": (high, kind)}
        raise OutOfRange(code, what, first, low, high, **fields)
    return array


def result(array):
    """A float for a number, an array for an array."""
    return float(array) if np.ndim(array) == 0 else array
