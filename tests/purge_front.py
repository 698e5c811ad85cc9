"""A purge front by another method: one-dimensional advection and dispersion on a grid, marched in time.

Central differences in space and Crank-Nicolson in time on a hose 1.3 times as long as the real one, so that its far end does not
matter; what enters may first pass a mixed volume. Nothing here uses the closed form that the program solves.
"""

import math

import numpy as np
from scipy.linalg import solve_banded


def cleared_time(speed: float, length: float, dispersion: float, *, mixing: float = 0.0, share: float = 0.99) -> float:
    """Time [s] at which a share of new gas has reached `length` [m].

    speed [m/s], dispersion [m²/s]; `mixing` [s] is the time constant (volume over flow) of a mixed volume before the hose.
    """
    # Central differences stay free of wiggles below a cell Peclet number of two.
    cells = max(1500, math.ceil(1.3 * length * speed / dispersion / 1.5))
    step = 1.3 * length / cells
    centres = (np.arange(cells) + 0.5) * step
    plug = length / speed
    time_step = plug / 3000
    advection, spreading = speed / (2 * step), dispersion / step**2
    lower = np.full(cells, -(advection + spreading))
    upper = np.full(cells, advection - spreading)
    middle = np.full(cells, 2 * spreading)
    # First cell: its left face is the inlet, half a cell away. Last cell: nothing spreads out of it.
    middle[0], upper[0] = advection + 3 * spreading, advection - spreading
    middle[-1], lower[-1] = advection + spreading, -(advection + spreading)
    inflow = 2 * advection + 2 * spreading
    banded = np.zeros((3, cells))
    banded[0, 1:] = 0.5 * time_step * upper[:-1]
    banded[1] = 1 + 0.5 * time_step * middle
    banded[2, :-1] = 0.5 * time_step * lower[1:]

    def entering(time: float) -> float:
        return 1.0 - math.exp(-time / mixing) if mixing else 1.0

    held, time, before = np.zeros(cells), 0.0, 0.0
    while time < 40 * plug + 20 * mixing:
        right = held - 0.5 * time_step * (middle * held)
        right[1:] -= 0.5 * time_step * lower[1:] * held[:-1]
        right[:-1] -= 0.5 * time_step * upper[:-1] * held[1:]
        right[0] += 0.5 * time_step * inflow * (entering(time) + entering(time + time_step))
        held = solve_banded((1, 1), banded, right)
        time += time_step
        now = float(np.interp(length, centres, held))
        if now >= share:
            return time - time_step * (now - share) / (now - before)
        before = now
    raise AssertionError("never cleared")
