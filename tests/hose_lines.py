"""The one-dimensional hose by a general integrator: the same balances on the same cells, time left to scipy.

State: moles of both gases in each cell, moles of the new one, mass flux on the faces, and the same for a closed far volume. Space is
cut as the program cuts it (upwind molar mass, van Leer's slope, Taylor's dispersion); time is not cut at all, so what differs is the
program's stepping: implicit pressure, friction at the end of the step, composition carried by the share of the cell crossed.
"""

import math
from collections.abc import Sequence
from typing import Any, NamedTuple

import numpy as np
from scipy.integrate import solve_ivp

from steadycone.physics.transient.feed import Feed
from steadycone.physics.transient.hose_1d import Bore, Pair, _friction_table

_R = 8.314462618


class Lines(NamedTuple):
    """At the times asked for: plug front [m], pressure at the torch and in the far volume [Pa]; how often the right-hand side was asked."""

    front: tuple[float, ...]
    torch: tuple[float, ...]
    far: tuple[float, ...]
    share: tuple[tuple[float, ...], ...]
    calls: int


class Rates:
    """The right-hand side, arrays in numpy."""

    def __init__(self, bore: Bore, pair: Pair, feed: Feed, start: float, open_end: float | None, cells: int) -> None:
        self.bore, self.pair, self.feed, self.cells, self.open_end = bore, pair, feed, cells, open_end
        self.heat = _R * bore.temperature
        self.area, self.dx = math.pi / 4 * bore.bore**2, bore.length / cells
        self.gap = np.full(cells, self.dx)
        self.gap[-1] = 0.5 * self.dx
        self.table = _friction_table(bore.roughness / bore.bore)
        self.start = start / self.heat

    def begin(self) -> np.ndarray[Any, Any]:
        n = self.cells
        # held, new, flux on the faces 1..n, far volume's pressure over R T and its new gas, and what came in [mol]
        return np.concatenate((np.full(n, self.start), np.zeros(n), np.zeros(n), [self.start, 0.0, 0.0]))

    def __call__(self, time: float, state: np.ndarray[Any, Any]) -> np.ndarray[Any, Any]:
        n, pair, bore, heat = self.cells, self.pair, self.bore, self.heat
        held, new, flux = state[:n], state[n : 2 * n], state[2 * n : 3 * n]
        far, far_new = state[3 * n], state[3 * n + 1]
        share = new / held
        pressure = held * heat
        beyond = self.open_end if self.open_end is not None else far * heat
        ahead = np.where(flux[:-1] >= 0.0, share[:-1], share[1:])
        ahead = np.append(ahead, share[-1])
        between = np.append(0.5 * (held[:-1] + held[1:]), held[-1])
        mass = pair.old_mass + ahead * (pair.new_mass - pair.old_mass)
        density = between * mass
        viscosity = pair.old_viscosity + ahead * (pair.new_viscosity - pair.old_viscosity)
        logs, f_re, _ = self.table
        reynolds = np.maximum(np.abs(flux) * bore.bore / viscosity, 1.0)
        rate = np.interp(np.log(reynolds), logs, f_re) * viscosity / (2 * bore.bore**2 * density)
        flux_rate = -np.diff(np.append(pressure, beyond)) / self.gap - rate * flux
        if self.open_end is None and bore.dead_volume <= 0.0:
            flux_rate[-1] = 0.0
        inflow = self.feed.flow(pressure[0])
        moles = np.concatenate(([inflow / self.area], flux / mass))
        rise = np.diff(share)
        behind = np.concatenate((share[:1] - 1.0, rise[:-1]))
        product = behind * rise
        slope = np.append(np.where(product > 0, 2 * product / np.where(product > 0, behind + rise, 1.0), 0.0), 0.0)
        carried = np.where(moles[1:-1] >= 0, share[:-1] + 0.5 * slope[:-1], share[1:] - 0.5 * slope[1:])
        speed = np.abs(flux[:-1]) / density[:-1]
        molecular = pair.diffusion / (between[:-1] * heat)
        laminar = molecular + (speed * bore.bore) ** 2 / (192 * molecular)
        turbulent = 5.05 * bore.bore * np.sqrt(np.maximum(0.25 * rate[:-1] * speed * bore.bore, 0.0))
        spread = np.where(np.abs(flux[:-1]) * bore.bore / viscosity[:-1] < 2300.0, laminar, turbulent)
        inner = moles[1:-1] * carried - spread * between[:-1] * rise / self.dx
        out = moles[-1] * (share[-1] if moles[-1] >= 0 or self.open_end is not None else far_new / max(far, 1e-300))
        new_flux = np.concatenate(([moles[0]], inner, [out]))
        far_rate = far_new_rate = 0.0
        if self.open_end is None and bore.dead_volume > 0.0:
            far_rate = moles[-1] * self.area / bore.dead_volume
            far_new_rate = out * self.area / bore.dead_volume
        held_rate = (moles[:-1] - moles[1:]) / self.dx
        new_rate = (new_flux[:-1] - new_flux[1:]) / self.dx
        return np.concatenate((held_rate, new_rate, flux_rate, [far_rate, far_new_rate, inflow]))


def push_lines(
    bore: Bore,
    pair: Pair,
    feed: Feed,
    start: float,
    times: Sequence[float],
    *,
    open_end: float | None = None,
    cells: int = 100,
    method: str = "Radau",
    rtol: float = 1e-6,
) -> Lines:
    """As hose_1d.push, by scipy."""
    rates = Rates(bore, pair, feed, start, open_end, cells)
    found = solve_ivp(rates, (0.0, times[-1]), rates.begin(), method=method, t_eval=times, rtol=rtol, atol=rtol * 1e-2 * rates.start)
    assert found.success, found.message
    n, fronts = cells, []
    for state in found.y.T:
        sums = np.concatenate(([0.0], np.cumsum(state[:n]) * rates.area * rates.dx))
        fronts.append(float(np.interp(state[3 * n + 2], sums, np.arange(n + 1) * rates.dx)))
    return Lines(
        tuple(fronts),
        tuple(float(x) for x in found.y[0] * rates.heat),
        tuple(float(x) for x in (found.y[3 * n] if open_end is None else found.y[n - 1]) * rates.heat),
        tuple(tuple(float(x) for x in state[n : 2 * n] / state[:n]) for state in found.y.T),
        int(found.nfev),
    )
