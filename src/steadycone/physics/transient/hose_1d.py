"""A hose of one gas that another is pushed into, along its length: pressure, flow and mixing, both gases counted in moles.

Isothermal. Cells of equal length from the torch (0) to the regulator; pressure in the cells, mass flux on the faces between. A
step solves the pressure of all cells at once (sound is damped, so it sets no limit), with friction taken implicitly, then carries
the two gases with the very fluxes of that solve, so that moles are kept to rounding:

    p' - p = R T dt/dx (J_in - J_out),   G' = G - dt dp/dx - dt R(G') G',   J = G / M

G mass flux, J mole flux, M the mean molar mass of the gas that crosses the face, R friction as a rate. Left out are the momentum
the gas carries (Mach numbers below 0.1), heat, and what a real gas differs by (2 % of oxygen at 5 bar).

The composition is carried by a limited second-order rule (van Leer's harmonic mean, with the share of the cell that is crossed)
and mixed by the dispersion of `purge.dispersion`. Its step is held below what empties a cell. Once the old gas has left the hose,
composition is carried implicitly and the step is free.

Source: derived here; van-leer-1974 for the limiter; taylor-dispersion; colebrook-1939 for friction.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise
from typing import TYPE_CHECKING, Any, NamedTuple

from steadycone.errors import OutOfRange, SolveError
from steadycone.physics.flow.friction import friction_factor
from steadycone.physics.transient.feed import Feed
from steadycone.units import GAS_CONSTANT

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Array = NDArray[Any]

CELLS = 100  # halving the cells moves front and pressure by under 1 per cent (bench/whatif_speed.py)
FIRST_STEP = 5e-4  # s
GROWTH = 2.0
COURANT = 0.95  # share of a cell that may leave it in a step
CLEARED = 1e-4  # share of old gas anywhere in the hose below which composition is carried implicitly
LEAST_DEAD = 1e-9  # m³, a cubic millimetre: less behind the far end is nothing
MOST_STEPS = 200_000
LAMINAR_BELOW = 2300.0


@dataclass(frozen=True, slots=True)
class Bore:
    """The hose: bore, length, roughness [m]; temperature [K]; dead_volume [m³] closed behind the far end."""

    bore: float
    length: float
    temperature: float
    roughness: float = 1e-5
    dead_volume: float = 0.0


@dataclass(frozen=True, slots=True)
class Pair:
    """The gas that comes in and the one that was there: molar masses [kg/mol], viscosities [Pa s]; diffusion x pressure [Pa m²/s]."""

    new_mass: float
    old_mass: float
    new_viscosity: float
    old_viscosity: float
    diffusion: float


class Profile(NamedTuple):
    """At one moment, torch first: share of the new gas in each cell [-], pressures [Pa]; far: those of the dead volume."""

    time: float
    share: tuple[float, ...]
    pressure: tuple[float, ...]
    far_share: float
    far_pressure: float
    flow: float  # mol/s coming in
    front: float  # m from the torch, of a plug of the new gas: mixing smears it, evenly to both sides
    burnable: float  # m of hose between the limits given


class Ledger(NamedTuple):
    """Moles of one gas: in the hose and dead volume before and after, come in and gone out."""

    before: float
    after: float
    came: float
    went: float

    @property
    def lost(self) -> float:
        """What the sum does not account for, as a share of all there was."""
        return abs(self.before + self.came - self.went - self.after) / max(self.before + self.came, 1e-300)


@dataclass(frozen=True, slots=True)
class Run:
    """profiles at the times asked for; filled [s]: the plug's front at the far end, or None; peak [Pa]: highest pressure of any cell; steps."""

    profiles: tuple[Profile, ...]
    filled: float | None
    peak: float
    new: Ledger
    old: Ledger
    steps: int
    lowest_share: float  # of either gas in any cell at any time: not below 0 but by rounding


def push(
    bore: Bore,
    pair: Pair,
    feed: Feed,
    start: float,
    times: Sequence[float],
    *,
    open_end: float | None = None,
    limits: tuple[float, float] = (1.0, 1.0),
    cells: int = CELLS,
) -> Run:
    """Push a gas into a hose.

    Parameters
    ----------
    bore : Bore
    pair : Pair
    feed : Feed   at the torch end
    start : float   [Pa absolute], of hose and dead volume before
    times : rising [s], at which profiles are kept; the last ends the run
    open_end : float or None   [Pa absolute] that the far end opens into (the dead volume then does not count); None: it is closed
    limits : least and largest share of the new gas [-] that burns with the old; (1, 1): nothing does
    cells : int

    Raises
    ------
    OutOfRange : a length, pressure or time that cannot be, or fewer than four cells.
    SolveError : the march did not come to its end.

    Holds for   Mach numbers below 0.3, pressures to 11 bar
    Source      derived here (see the file's head)
    """
    if not (bore.bore > 0.0 and bore.length > 0.0 and bore.temperature > 0.0 and start > 0.0 and cells >= 4 and bore.dead_volume >= 0.0):
        raise OutOfRange("bore, length, temperature and pressure must be above 0, cells 4 or more", where="hose")
    if not times or min(times) < 0.0 or (open_end is not None and open_end <= 0.0):
        raise OutOfRange("times must not be below 0, and an open end needs a pressure above 0", where="hose")
    march = _March(bore, pair, feed, start, open_end, limits, cells)
    profiles = []
    for time in times:
        march.to(time)
        profiles.append(march.profile())
    return march.finished(tuple(profiles))


@lru_cache(maxsize=64)
def _friction_table(relative_roughness: float) -> tuple["Array", "Array", "Array"]:
    """ln Re, f Re, and the exponent e of friction ~ G^e there (1 laminar, to 2): steps of 5 per cent in Re."""
    import numpy as np

    logs = np.arange(0.0, 14.0, 0.05)
    f_re = np.array([friction_factor(math.exp(x), relative_roughness) * math.exp(x) for x in logs])
    exponent = 1.0 + np.gradient(np.log(f_re), logs)
    return logs, f_re, np.clip(exponent, 1.0, 2.0)


class Links(NamedTuple):
    """On the faces: molar mass of what crosses, density, amount a volume, friction rate [1/s] and exponent, viscosity."""

    mass: "Array"
    density: "Array"
    held: "Array"
    rate: "Array"
    exponent: "Array"
    viscosity: "Array"


class _March:
    """The state of one march. Arrays run from the torch; faces[0] is the torch's, faces[n] the far end's."""

    def __init__(
        self, bore: Bore, pair: Pair, feed: Feed, start: float, open_end: float | None, limits: tuple[float, float], cells: int
    ) -> None:
        import numpy as np

        self.np, self.bore, self.pair, self.feed, self.limits, self.cells = np, bore, pair, feed, limits, cells
        self.open_end = open_end
        self.area = math.pi / 4.0 * bore.bore**2
        self.dx = bore.length / cells
        self.heat = GAS_CONSTANT * bore.temperature
        self.held = np.full(cells, start / self.heat)  # mol/m³ of both gases
        self.new = np.zeros(cells)  # mol/m³ of the one that comes in
        self.flux = np.zeros(cells + 1)  # kg/(m² s)
        self.far_volume = bore.dead_volume if bore.dead_volume > LEAST_DEAD else 0.0
        self.far_held = start / self.heat * self.far_volume  # mol
        self.far_new = 0.0
        self.closed = open_end is None and self.far_volume <= 0.0
        self.time, self.step, self.steps = 0.0, FIRST_STEP, 0
        self.inflow, self.flow_now = 0.0, 0.0  # mol/s: mean of the last step, and at its end
        self.came, self.went_new, self.went_old = 0.0, 0.0, 0.0
        self.before = float(self.held.sum()) * self.area * self.dx + (0.0 if open_end is not None else self.far_held)
        self.peak, self.filled, self.lowest = start, None if cells else 0.0, 0.0
        self.table = _friction_table(bore.roughness / bore.bore)
        gap = np.full(cells + 1, self.dx)
        gap[0] = gap[-1] = 0.5 * self.dx
        self.gap = gap
        self.ahead = -float(self.held.sum())

    # -- one step ---------------------------------------------------------------------------------------------------

    def to(self, end: float) -> None:
        """March to a time [s]."""
        while self.time < end:
            if self.steps > MOST_STEPS:
                raise SolveError(f"{self.steps} steps and {end - self.time:g} s still to go", where="hose")
            planned = self.step
            step = min(planned, end - self.time)
            crowding = self._try(step)
            if step < planned:  # cut short only to end here: the next goes on as long as it was to be
                self.step = max(self.step, min(planned, step * COURANT / crowding if crowding > 0.0 else planned))

    def _try(self, step: float) -> float:
        """One step, done again shorter where it would empty a cell; gives the largest share of a cell that left it."""
        np = self.np
        share = self.new / self.held
        stirred = float(share.min()) < 1.0 - CLEARED  # old gas is still there
        links = self._links(share)
        for _ in range(40):
            moles, flux, inflow, peak = self._pressures(step, links)
            free = not stirred and float(moles.min()) >= 0.0
            if free:
                break
            out = np.maximum(moles[1:], 0.0) - np.minimum(moles[:-1], 0.0) if moles.min() < 0.0 else moles[1:]
            crowding = step / self.dx * float((out / self.held).max())
            if crowding <= 1.0:
                break
            step *= 0.8 * COURANT / crowding
        else:
            raise SolveError("no step is short enough", where="hose")
        if free:
            crowding = 0.0
            self._carry_freely(step, moles)
            self.step = GROWTH * step
        else:
            self._carry(step, share, moles)
            self.step = min(GROWTH * step, step * COURANT / max(crowding, 1e-12))
        self._settle(step, moles, flux, inflow, peak)
        if not free:
            self._mix(step, flux, links)
        return crowding

    def _links(self, share: "Array") -> Links:
        """On the faces, from the state before."""
        np, pair, bore = self.np, self.pair, self.bore.bore
        ahead, held = np.empty(self.cells + 1), np.empty(self.cells + 1)
        ahead[1:-1] = np.where(self.flux[1:-1] >= 0.0, share[:-1], share[1:])
        ahead[0], ahead[-1] = 1.0, share[-1]
        held[1:-1] = 0.5 * (self.held[:-1] + self.held[1:])
        held[0], held[-1] = self.held[0], self.held[-1]
        mass = pair.old_mass + ahead * (pair.new_mass - pair.old_mass)
        # straight in the share: a few per cent of the viscosity of a mixture, and only friction leans on it
        viscosity = pair.old_viscosity + ahead * (pair.new_viscosity - pair.old_viscosity)
        reynolds = np.maximum(np.abs(self.flux) * (bore / viscosity), 1.0)
        logs, f_re, exponents = self.table
        place = np.log(reynolds)
        density = held * mass
        rate = np.interp(place, logs, f_re) * viscosity / ((2.0 * bore * bore) * density)
        return Links(mass, density, held, rate, np.interp(place, logs, exponents), viscosity)

    def _pressures(self, step: float, links: Links) -> tuple["Array", "Array", float, float]:
        """Mole flux on the faces [mol/(m² s)] and mass flux there at the end of a step, inflow over it [mol/s], highest pressure [Pa].

        The pressures hang together in a row; worked out from the far end, each is p_next + tied times the one nearer the torch.
        """
        np = self.np
        slowed = step * links.rate
        braked = slowed * links.exponent
        damping = 1.0 + braked
        drive = self.flux * (damping - slowed) / (damping * links.mass)
        pull = step / (self.gap * damping * links.mass)
        n, k = self.cells, self.heat * step / self.dx
        far, far_tied = self._far(step, drive, pull)
        tie = (k * pull).tolist()
        rest = (self.held * self.heat + k * (drive[:-1] - drive[1:])).tolist()
        first = rest[0] - k * float(drive[0])  # what comes through the torch is not driven but fed
        nexts, ties = [far], [far_tied]
        ahead, tied, further = far, far_tied, tie[n]
        for here, own in zip(tie[n - 1 : 0 : -1], rest[:0:-1], strict=True):
            whole = 1.0 / (1.0 + here + further * (1.0 - tied))
            ahead = (own + further * ahead) * whole
            tied = here * whole
            nexts.append(ahead)
            ties.append(tied)
            further = here
        slope = 1.0 + further * (1.0 - tied)
        pressure, inflow = self._meet(slope, first + further * ahead, k / self.area)
        found = [pressure]
        for ahead, tied in zip(reversed(nexts), reversed(ties), strict=True):
            pressure = ahead + tied * pressure
            found.append(pressure)
        along = np.array(found)
        moles = np.empty(n + 1)
        moles[0] = inflow / self.area
        moles[1:] = drive[1:] - pull[1:] * (along[1:] - along[:-1])
        return moles, moles * links.mass, inflow, max(found)

    def _far(self, step: float, drive: "Array", pull: "Array") -> tuple[float, float]:
        """The far end's pressure as a sum: so much, and so much times the last cell's."""
        if self.open_end is not None:
            return self.open_end, 0.0
        if self.closed:
            drive[-1] = pull[-1] = 0.0
            return 0.0, 0.0
        room = self.heat * step * self.area / self.far_volume
        whole = 1.0 + room * float(pull[-1])
        old = self.far_held * self.heat / self.far_volume
        return (old + room * float(drive[-1])) / whole, room * float(pull[-1]) / whole

    def _meet(self, slope: float, rest: float, share: float) -> tuple[float, float]:
        """Pressure of the first cell and inflow over the step: the mean of both ends of it where the flow changes little, which is of
        second order in time; else the flow at its end, which never swings."""
        pressure, inflow = self.feed.meet(slope, rest, share)
        if not self.steps or 2.0 * inflow <= self.flow_now:
            return pressure, inflow
        half = 0.5 * share
        pressure, there = self.feed.meet(slope, rest + half * self.flow_now, half)
        return pressure, 0.5 * (self.flow_now + there)

    def _dispersion(self, flux: "Array", links: Links) -> "Array":
        """Mixing across the inner faces [mol/(m² s)] for a share that falls from 1 to 0 over a cell."""
        np, bore = self.np, self.bore.bore
        density, held = links.density[1:-1], links.held[1:-1]
        wide = np.abs(flux[1:-1]) * bore / density
        molecular = self.pair.diffusion / (held * self.heat)
        laminar = molecular + wide * wide / (192.0 * molecular)
        # friction speed u* = u sqrt(f / 8), and f u / (2 d) is the rate: u*² = rate u d / 4
        turbulent = (5.05 * 0.5 * bore) * np.sqrt(links.rate[1:-1] * wide)
        slow = wide * density < LAMINAR_BELOW * links.viscosity[1:-1]
        found: Array = np.where(slow, laminar, turbulent) * held / self.dx
        return found

    def _mix(self, step: float, flux: "Array", links: Links) -> None:
        """Dispersion; what crosses a face leaves one cell for the next. Implicit where it is strong: no share then leaves 0 to 1."""
        tie = step / self.dx * self._dispersion(flux, links)
        share = self.new / self.held
        if 4.0 * float(tie.max()) > float(self.held.min()):
            share = self._mixed(tie)
        # else the shares before do: less than half a cell's gas changes place, so none is overdrawn
        crossing = tie * (share[:-1] - share[1:])
        self.new[:-1] -= crossing
        self.new[1:] += crossing

    def _mixed(self, tie: "Array") -> "Array":
        """Shares at the end of a step of mixing."""
        n, whole, rest = self.cells, self.held.tolist(), self.new.tolist()
        ahead, ratios = [], []
        tied, came = 0.0, 0.0
        for here, held, new in zip(tie.tolist(), whole, rest, strict=False):
            pivot = 1.0 / (held + here + tied)
            ratio = here * pivot
            came = (new + came) * pivot
            ahead.append(came)
            ratios.append(ratio)
            tied = here * (1.0 - ratio)
            came *= here
        share = (rest[n - 1] + came) / (whole[n - 1] + tied)
        found = [share]
        for first, ratio in zip(reversed(ahead), reversed(ratios), strict=True):
            share = first + ratio * share
            found.append(share)
        found.reverse()
        return self.np.array(found)

    def _carry(self, step: float, share: "Array", moles: "Array") -> None:
        """The new gas with the fluxes, limited to second order; explicit."""
        np = self.np
        rise = np.empty(self.cells)  # over the face before each cell; the first has pure new gas behind it
        rise[0] = share[0] - 1.0
        rise[1:] = share[1:] - share[:-1]
        product, both = rise[:-1] * rise[1:], rise[:-1] + rise[1:]
        slope = np.zeros(self.cells)  # van Leer's harmonic mean; none in the last cell
        slope[:-1] = np.where(product > 0.0, product / np.where(both == 0.0, 1.0, both), 0.0)
        crossed = step / self.dx * moles[1:-1]
        carried = share[:-1] + (1.0 - crossed / self.held[:-1]) * slope[:-1]
        if moles[1:-1].min() < 0.0:
            carried = np.where(crossed >= 0.0, carried, share[1:] - (1.0 + crossed / self.held[1:]) * slope[1:])
        flux = np.empty(self.cells + 1)
        flux[1:-1] = moles[1:-1] * carried
        flux[0] = moles[0]
        flux[-1] = moles[-1] * self._end_share(share, float(moles[-1]))
        self.new = self.new + step / self.dx * (flux[:-1] - flux[1:])
        self.end_flux = float(flux[-1])

    def _end_share(self, share: "Array", moles: float) -> float:
        """Of the gas that crosses the far end: out of the hose, or back out of the dead volume."""
        if moles >= 0.0 or self.far_held <= 0.0 or self.open_end is not None:
            return float(share[-1])
        return self.far_new / self.far_held

    def _carry_freely(self, step: float, moles: "Array") -> None:
        """What is left of the old gas, upwind and implicit: first order, for steps of any length. All flows run to the far end."""
        held = (self.held + step / self.dx * (moles[:-1] - moles[1:])).tolist()
        fluxes, new = moles.tolist(), self.new.tolist()
        k = step / self.dx
        came = fluxes[0]  # of the new gas, into the cell at hand
        for i in range(self.cells):
            out = fluxes[i + 1]
            new[i] = (new[i] + k * came) / (1.0 + k * out / held[i])
            came = out * new[i] / held[i]
        self.new = self.np.array(new)
        self.end_flux = came

    def _settle(self, step: float, moles: "Array", flux: "Array", inflow: float, peak: float) -> None:
        """Take the step over into the state, and the books."""
        self.held = self.held + step / self.dx * (moles[:-1] - moles[1:])
        self.flux, self.inflow = flux, inflow
        self.flow_now = self.feed.flow(float(self.held[0]) * self.heat)
        passed, all_passed = self.end_flux * self.area * step, float(moles[-1]) * self.area * step
        if self.open_end is not None:
            self.went_new += passed
            self.went_old += all_passed - passed
        elif not self.closed:
            self.far_held += all_passed
            self.far_new += passed
        self.came += inflow * step
        self.time += step
        self.steps += 1
        self.peak = max(self.peak, peak)
        self.lowest = min(self.lowest, float(self.new.min()), float((self.held - self.new).min()))
        if self.filled is None:
            ahead = self.came / (self.area * self.dx) - float(self.held.sum())  # of a plug, beyond the far end; mol/m³ of a cell
            if ahead >= 0.0:
                self.filled = self.time - step * ahead / (ahead - self.ahead) if ahead > self.ahead else self.time
            self.ahead = ahead

    # -- what is read off -------------------------------------------------------------------------------------------

    def profile(self) -> Profile:
        share = self.new / self.held
        told, far = share.tolist(), self.far_new / self.far_held if self.far_held > 0.0 else 0.0
        pressures = (self.held * self.heat).tolist()
        far_pressure = self.far_held * self.heat / self.far_volume if self.far_volume > 0.0 else pressures[-1]
        if self.open_end is not None:
            far_pressure, far = self.open_end, told[-1]
        return Profile(self.time, tuple(told), tuple(pressures), far, far_pressure, self.inflow, self._front(), self._burnable(told))

    def _front(self) -> float:
        """Where the front of a plug stands [m]: so much of the hose, as full as it is now, holds what has come in."""
        left, cell = self.came / (self.area * self.dx), 0
        contents: list[float] = self.held.tolist()
        for cell, held in enumerate(contents):
            if left <= held:
                return (cell + left / held) * self.dx
            left -= held
        return (cell + 1) * self.dx

    def _burnable(self, share: list[float]) -> float:
        """Length of the stretch whose share of new gas lies between the limits, cut finer than the cells by straight lines."""
        low, high = self.limits
        if low >= high:
            return 0.0
        return sum(end - start for start, end in stretches(share, self.dx, low, high))

    def finished(self, profiles: tuple[Profile, ...]) -> Run:
        cell = self.area * self.dx
        far = (self.far_held, self.far_new) if self.open_end is None else (0.0, 0.0)
        new = float(self.new.sum()) * cell + far[1]
        whole = float(self.held.sum()) * cell + far[0]
        return Run(
            profiles,
            self.filled,
            self.peak,
            Ledger(0.0, new, self.came, self.went_new),
            Ledger(self.before, whole - new, 0.0, self.went_old),
            self.steps,
            self.lowest / (self.peak / self.heat),
        )


def stretches(share: Sequence[float], dx: float, low: float, high: float) -> list[tuple[float, float]]:
    """Stretches (m from the torch) in which the share lies between low and high, the share taken straight between cell centres."""
    found: list[tuple[float, float]] = []
    points = [(0.0, share[0]), *(((i + 0.5) * dx, y) for i, y in enumerate(share)), (len(share) * dx, share[-1])]
    for (x0, y0), (x1, y1) in pairwise(points):
        start, end = _inside(x0, y0, x1, y1, low, high)
        if end <= start:
            continue
        if found and start - found[-1][1] < 1e-9 * dx:
            found[-1] = (found[-1][0], end)
        else:
            found.append((start, end))
    return found


def _inside(x0: float, y0: float, x1: float, y1: float, low: float, high: float) -> tuple[float, float]:
    """The part of a straight piece that lies between two heights."""
    if y0 == y1:
        return (x0, x1) if low <= y0 <= high else (x0, x0)
    places = sorted((x0 + (x1 - x0) * (level - y0) / (y1 - y0)) for level in (low, high))
    return max(x0, places[0]), min(x1, places[1])
