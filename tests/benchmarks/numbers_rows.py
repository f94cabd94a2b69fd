"""Speed of the moist-air functions against psychrolib compiled by numba, on the same numbers."""

import time

import numba
import numpy as np
import psychrolib
from numba.np.ufunc.dufunc import DUFunc

from kilnlib.physics import air

PRESSURE_PA = 101325.0
REPEATS = 7


def run(rows, remarks):
    """Add the rows about numbers."""
    psychrolib.SetUnitSystem(psychrolib.SI)
    assert isinstance(psychrolib.GetRelHumFromTWetBulb, DUFunc), "psychrolib does not use numba here"
    name = f"psychrolib + numba {numba.__version__}"
    dry, rh, wet = _air(1_000_000)
    ours, peer = _best(
        lambda: air.rh_pct(dry, wet, PRESSURE_PA),
        lambda: psychrolib.GetRelHumFromTWetBulb(dry, wet, PRESSURE_PA),
    )
    apart = np.abs(air.rh_pct(dry, wet, PRESSURE_PA) - 100 * psychrolib.GetRelHumFromTWetBulb(dry, wet, PRESSURE_PA))
    rows.append(row("RH from two bulbs, 1e6 points", ours, peer, 0.9))
    remarks.append(f"RH: peer is {name}; the two agree within {apart.max():.0e} point.")

    dry, rh, wet = dry[:200_000], rh[:200_000], _exact_wet_bulb(dry[:200_000], rh[:200_000])
    ours, peer = _best(
        lambda: air.wet_bulb_c(dry, rh, PRESSURE_PA),
        lambda: psychrolib.GetTWetBulbFromRelHum(dry, rh / 100, PRESSURE_PA),
    )
    our_miss = np.abs(air.wet_bulb_c(dry, rh, PRESSURE_PA) - wet).max()
    peer_miss = np.abs(psychrolib.GetTWetBulbFromRelHum(dry, rh / 100, PRESSURE_PA) - wet).max()
    assert our_miss < 1e-4
    rows.append(row("wet bulb from RH, 2e5 points", ours, peer, 3.0))
    remarks.append(
        f"Wet bulb: peer is {name} as it comes. Against 60 bisections of the same equation ours misses by at most "
        f"{our_miss:.0e} °C, the peer by {peer_miss:.0e} °C (it stops at 0.001 °C)."
    )
    refined = _refined(2e-4)
    ours, peer = _best(
        lambda: air.wet_bulb_c(dry, rh, PRESSURE_PA),
        lambda: refined(dry, rh / 100, PRESSURE_PA),
    )
    peer_miss = np.abs(refined(dry, rh / 100, PRESSURE_PA) - wet).max()
    rows.append(row("the same, peer refined to 1e-4 °C", ours, peer, None))
    remarks.append(f"Refined: the peer's stopping width set to 0.0002 °C; it then misses by {peer_miss:.0e} °C.")


def row(what, ours, peer, budget):
    """One line of the table, from seconds."""
    ratio = peer / ours
    met = "" if budget is None else "met" if ratio >= budget else "MISSED"
    wanted = "" if budget is None else f"at least {budget:g}"
    return what, f"{1e3 * ours:.1f} ms", f"{1e3 * peer:.1f} ms", f"{ratio:.2f}", wanted, met


def _air(count):
    """Kiln air, 70 to 200 °F and 5 to 100 % RH, with wet bulbs that stay above freezing (there the peer uses ice)."""
    random = np.random.default_rng(1)
    dry, rh = random.uniform(21.0, 93.0, 2 * count), random.uniform(5.0, 100.0, 2 * count)
    wet = np.minimum(air.wet_bulb_c(dry, rh, PRESSURE_PA), dry)
    kept = np.flatnonzero(wet > 0.1)[:count]
    return dry[kept], rh[kept], wet[kept]


def _exact_wet_bulb(dry, rh):
    """60 bisections of ASHRAE eq. 33, with the peer's own functions."""
    wanted = psychrolib.GetHumRatioFromRelHum(dry, rh / 100, PRESSURE_PA)
    low, high = np.zeros_like(dry), dry.copy()
    for _ in range(60):
        middle = 0.5 * (low + high)
        over = psychrolib.GetHumRatioFromTWetBulb(dry, middle, PRESSURE_PA) > wanted
        low, high = np.where(over, low, middle), np.where(over, middle, high)
    return 0.5 * (low + high)


def _refined(tolerance):
    """The peer's wet bulb, compiled again with another stopping width; everything else is put back."""
    kept = {name: getattr(psychrolib, name) for name, _ in psychrolib.func_list}
    before, psychrolib.PSYCHROLIB_TOLERANCE = psychrolib.PSYCHROLIB_TOLERANCE, tolerance
    for name, plain in psychrolib.func_list:
        setattr(psychrolib, name, numba.vectorize(plain))
    refined = psychrolib.GetTWetBulbFromRelHum
    refined(np.array([50.0]), np.array([0.5]), PRESSURE_PA)
    psychrolib.PSYCHROLIB_TOLERANCE = before
    for name, function in kept.items():
        setattr(psychrolib, name, function)
    return refined


def _best(*functions):
    """Best time of each, taken in turns after one warm run, so that a noisy moment meets both."""
    times = [[] for _ in functions]
    for function in functions:
        function()
    for _ in range(REPEATS):
        for function, kept in zip(functions, times, strict=True):
            start = time.perf_counter()
            function()
            kept.append(time.perf_counter() - start)
    return [min(kept) for kept in times]
