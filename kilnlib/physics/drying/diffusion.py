"""Moisture through a thickness, step by step: finite volumes in space, a stable second-order rule in time.

Half a board is cut into thin layers that are closely spaced under the face. Water passes from layer to layer by
the difference of a potential; what leaves one arrives in the next, so none is lost. The time rule is the two-stage
Rosenbrock method of Verwer and others (1999) with a factor 1 + 1/sqrt(2): second order, and it damps what is too quick
for its step. Its first stage alone is first order, and the gap between the two sets the next step. Boards of a batch
share the steps; each has its own small matrix, and all of them are solved in one call.
"""

import math
from dataclasses import dataclass

import numpy as np

from kilnlib.physics.samples import controlling_mc_pct

_FACTOR = 1.0 + np.sqrt(0.5)
TOLERANCE_PCT = 0.15
_FIRST_H = 0.02
_LONGEST_H = 24.0
_NEAR_PCT = 0.01  # how closely a step that ends at a moisture content meets it


@dataclass(frozen=True)
class Mesh:
    """Layers from the face (depth 0) to the middle (depth 1): where, how thick, and how they exchange water."""

    depth: np.ndarray  # of the middle of each layer
    share: np.ndarray  # of the wood that lies in it
    exchange: np.ndarray  # matrix that turns potentials into gains of the layers
    to_face: float  # depth of the middle of the outermost layer


@dataclass(frozen=True)
class Block:
    """A time of constant conditions.

    `face` turns the potential in the outermost layer of each board into three arrays: loss of that layer through the
    face [%/h], the slope of that loss against the potential, and how fast half the board conducts [1/h].
    """

    hours: float
    face: object
    until_pct: float | None = None  # ends sooner once the wettest half of the boards averages this


@dataclass(frozen=True)
class Record:
    """Every step taken: its end, the moisture contents then (time, board, layer), and what has left each board."""

    hours: np.ndarray
    mc_pct: np.ndarray
    lost_pct: np.ndarray
    block_of: np.ndarray  # number of the block each step lies in
    block_ends_h: np.ndarray


def mesh(layers, crowding=0.75):
    """Layers across half a thickness, thinner toward the face.

    Parameters
    ----------
    layers : how many, 2 or more.
    crowding : 0 for even layers, toward 1 for ever thinner ones under the face. At 0.75 and a multiple of 3 a border
        lies exactly halfway to the middle.

    Returns
    -------
    Mesh.

    Raises
    ------
    Nothing.

    Source
    ------
    Finite volumes on a smoothly stretched grid, textbook; *computed*.

    Accuracy
    --------
    Second order in the thickness of the layers (tests/test_diffusion.py).
    """
    even = np.linspace(0.0, 1.0, layers + 1)
    borders = (1.0 - crowding) * even + crowding * even**2
    share = np.diff(borders)
    depth = 0.5 * (borders[1:] + borders[:-1])
    links = np.diag(1.0 / np.diff(depth), 1)
    exchange = links + links.T
    exchange -= np.diag(exchange.sum(axis=1))
    return Mesh(depth, share, exchange / share[:, None], float(depth[0]))


def march(start_pct, grid, potential, blocks, tolerance_pct=TOLERANCE_PCT, fixed_h=None):
    """Moisture contents of a batch of boards through a series of conditions.

    Parameters
    ----------
    start_pct : moisture content of each board in each layer [%], boards in rows.
    grid : Mesh.
    potential : function of such an array giving potential and its slope.
    blocks : sequence of Block.
    tolerance_pct : gap allowed between first- and second-order result of a step [%], root mean square of a board.
    fixed_h : length of every step [h] instead, without any check.

    Returns
    -------
    Record of every step.

    Raises
    ------
    Nothing; a step that will not settle is shortened.

    Source
    ------
    Verwer, Spee, Blom and Hundsdorfer, a second-order Rosenbrock method applied to photochemical dispersion problems,
    SIAM J. Sci. Comput. 20 (1999) 1456, *from memory*; its order is measured in tests/test_diffusion.py.

    Accuracy
    --------
    What leaves the faces equals what the boards lose to 1e-10 of it. With the usual tolerance the average is within
    0.05 point of steps a hundred times finer (tests/test_diffusion.py).
    """
    start = np.array(start_pct, dtype=float)
    state = np.append(start, np.zeros((len(start), 1)), axis=1)  # the air outside is one more layer: it only receives
    weight = np.append(grid.share, 0.0)
    exchange = np.pad(grid.exchange, ((0, 1), (0, 1)))
    across, unit = exchange.T.copy(), np.eye(len(weight))
    time, wanted = 0.0, _FIRST_H
    record, ends = [(time, state, 0)], []

    def flow(state, face):
        level, rise = potential(state)
        loss, slope, speed = face(level[:, 0])
        change = (level @ across) * speed[:, None]
        change[:, 0] -= loss
        change[:, -1] = loss
        return change, rise, slope, speed

    for number, block in enumerate(blocks):
        left, target, here = block.hours, block.until_pct, None
        control = np.inf if target is None else controlling_mc_pct(state @ weight)
        while left > 0.0 and (target is None or control > target + _NEAR_PCT):
            step = min(wanted if fixed_h is None else fixed_h, left)
            if fixed_h is None and step < left < 1.5 * step:
                step = 0.5 * left
            part = _FACTOR * step
            here = here or flow(state, block.face)  # a step tried again starts from the same place
            change, rise, slope, speed = here
            outward = part * slope * rise[:, 0]
            matrix = unit - exchange * (rise * (part * speed)[:, None])[:, None, :]
            matrix[:, 0, 0] += outward
            matrix[:, -1, 0] -= outward
            first = np.linalg.solve(matrix, change[:, :, None])[:, :, 0]
            rough = state + step * first
            then = flow(rough, block.face)[0] - 2.0 * first
            second = np.linalg.solve(matrix, then[:, :, None])[:, :, 0]
            gap = (0.5 * step) * (first + second)
            new = rough + gap
            reached = control if target is None else controlling_mc_pct(new @ weight)
            if fixed_h is None:
                wrong = math.sqrt((gap * gap @ weight).max())
                fits = 0.9 * step * math.sqrt(tolerance_pct / max(wrong, 1e-9))
                if wrong > tolerance_pct:
                    wanted = max(fits, 0.2 * step)
                    continue
                if target is not None and reached < target - _NEAR_PCT:
                    wanted = step * max(0.05, (control - target) / (control - reached))
                    continue
                wanted = min(_LONGEST_H, max(3.0 * step, wanted) if step < wanted else 3.0 * step, fits)
            state, control, time, left, here = new, reached, time + step, left - step, None
            record.append((time, state, number))
        ends.append(time)
    times, states, numbers = (np.array(column) for column in zip(*record, strict=True))
    return Record(times, states[:, :, :-1], states[:, :, -1] * grid.share[0], numbers, np.array(ends))
