"""Moisture through a thickness, step by step: finite volumes in space, a stable second-order rule in time.

Half a board is cut into thin layers that are closely spaced under the face. Water passes from layer to layer by
the difference of a potential; what leaves one arrives in the next, so none is lost. The time rule is the two-stage
Rosenbrock method of Verwer and others (1999) with a factor 1 + 1/sqrt(2): second order, and it damps what is too quick
for its step. Its first stage alone is first order, and the difference between the two sets the next step. Boards of a
batch share the steps; each has its own small matrix, and all of them are solved in one call.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

_FACTOR = 1.0 + np.sqrt(0.5)
TOLERANCE_PCT = 0.15
FIRST_H = 0.02
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
    face: Callable[[np.ndarray], tuple[np.ndarray, np.ndarray, np.ndarray]]
    until_pct: float | None = None  # ends sooner once the boards that control are down to this


@dataclass(frozen=True)
class Record:
    """Every step taken: its end, the moisture contents then (time, board, layer), and what has left each board."""

    hours: np.ndarray
    mc_pct: np.ndarray
    lost_pct: np.ndarray
    block_of: np.ndarray  # number of the block each step lies in
    block_ends_h: np.ndarray


def mesh(layers: int, crowding: float = 0.75) -> Mesh:
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
    Second order in the thickness of the layers (tests/physics/drying/test_diffusion.py).
    """
    even = np.linspace(0.0, 1.0, layers + 1)
    borders = (1.0 - crowding) * even + crowding * even**2
    share = np.diff(borders)
    depth = 0.5 * (borders[1:] + borders[:-1])
    links = np.diag(1.0 / np.diff(depth), 1)
    exchange = links + links.T
    exchange -= np.diag(exchange.sum(axis=1))
    return Mesh(depth, share, exchange / share[:, None], float(depth[0]))


class _Scheme:
    """One step of the time rule for a batch of boards."""

    def __init__(self, grid, potential):
        self.exchange = np.pad(grid.exchange, ((0, 1), (0, 1)))
        self.across, self.unit = self.exchange.T.copy(), np.eye(len(self.exchange))
        self.potential = potential

    def flow(self, state, face):
        """How fast every layer gains, the slope of its potential, the slope of the loss at the face, conduction."""
        level, rise = self.potential(state)
        loss, slope, speed = face(level[:, 0])
        change = (level @ self.across) * speed[:, None]
        change[:, 0] -= loss
        change[:, -1] = loss
        return change, rise, slope, speed

    def step(self, state, start_flow, face, step_h):
        """State after a step, and how far the second-order result lies from the first-order one in each layer."""
        part = _FACTOR * step_h
        change, rise, slope, speed = start_flow
        outward = part * slope * rise[:, 0]
        matrix = self.unit - self.exchange * (rise * (part * speed)[:, None])[:, None, :]
        matrix[:, 0, 0] += outward
        matrix[:, -1, 0] -= outward
        first = np.linalg.solve(matrix, change[:, :, None])[:, :, 0]
        rough = state + step_h * first
        then = self.flow(rough, face)[0] - 2.0 * first
        second = np.linalg.solve(matrix, then[:, :, None])[:, :, 0]
        correction = (0.5 * step_h) * (first + second)
        return rough + correction, correction


def march(
    start_pct: np.ndarray,
    grid: Mesh,
    potential: Callable[[np.ndarray], tuple[np.ndarray, np.ndarray]],
    blocks: Sequence[Block],
    tolerance_pct: float = TOLERANCE_PCT,
    fixed_h: float | None = None,
    controlling: Callable[[np.ndarray], float] = np.max,
    first_h: float = FIRST_H,
) -> Record:
    """Moisture contents of a batch of boards through a series of conditions.

    Parameters
    ----------
    start_pct : moisture content of each board in each layer [%], boards in rows.
    grid : Mesh.
    potential : function of such an array giving potential and its slope.
    blocks : sequence of Block.
    tolerance_pct : difference allowed between first- and second-order result of a step [%], root mean square of a
        board.
    fixed_h : length of every step [h] instead, without any check.
    controlling : function of the averages of the boards [%] that gives the moisture content a block ends by.
    first_h : length that is tried for the first step [h].

    Returns
    -------
    Record of every step.

    Raises
    ------
    Nothing; a step that will not settle is shortened.

    Source
    ------
    Verwer, Spee, Blom and Hundsdorfer, a second-order Rosenbrock method applied to photochemical dispersion problems,
    SIAM J. Sci. Comput. 20 (1999) 1456, *from memory*; its order is measured in tests/physics/drying/test_diffusion.py.

    Accuracy
    --------
    What leaves the faces equals what the boards lose to 1e-10 of it. With the usual tolerance the average is within
    0.05 point of steps a hundred times finer (tests/physics/drying/test_diffusion.py).
    """
    start = np.array(start_pct, dtype=float)
    state = np.append(start, np.zeros((len(start), 1)), axis=1)  # one more layer, the air outside, gathers what leaves
    weight = np.append(grid.share, 0.0)
    scheme = _Scheme(grid, potential)
    time, try_h = 0.0, first_h
    record, ends = [(time, state, 0)], []

    for number, block in enumerate(blocks):
        remaining_h, target, start_flow = block.hours, block.until_pct, None
        control = np.inf if target is None else controlling(state @ weight)
        while remaining_h > 0.0 and (target is None or control > target + _NEAR_PCT):
            step = min(try_h if fixed_h is None else fixed_h, remaining_h)
            if fixed_h is None and step < remaining_h < 1.5 * step:
                step = 0.5 * remaining_h
            start_flow = start_flow or scheme.flow(state, block.face)  # a step tried again starts from the same place
            new, correction = scheme.step(state, start_flow, block.face, step)
            reached = control if target is None else controlling(new @ weight)
            if fixed_h is None:
                wrong = math.sqrt((correction * correction @ weight).max())
                fits = 0.9 * step * math.sqrt(tolerance_pct / max(wrong, 1e-9))
                if wrong > tolerance_pct:
                    try_h = max(fits, 0.2 * step)
                    continue
                if target is not None and reached < target - _NEAR_PCT:
                    try_h = step * max(0.05, (control - target) / (control - reached))
                    continue
                longer = 3.0 * step if step >= try_h else max(3.0 * step, try_h)
                try_h = min(_LONGEST_H, longer, fits)
            state, control, start_flow = new, reached, None
            time, remaining_h = time + step, remaining_h - step
            record.append((time, state, number))
        ends.append(time)
    times, states, numbers = (np.array(column) for column in zip(*record, strict=True))
    return Record(times, states[:, :, :-1], states[:, :, -1] * grid.share[0], numbers, np.array(ends))
