"""What is in the cylinders, at what pressure, and how long it lasts: one file's figures are for one cylinder, these for all.

Three kinds of store: compressed gas by pressure, acetylene in its solvent by weight (or, far worse, by pressure), liquefied gas
by weight. A pipeline, bulk or liquid supply states what it gives instead.
"""

from dataclasses import dataclass, replace

from steadycone.assembly.figures import SupplyFigures
from steadycone.assembly.fuels import LIQUEFIED
from steadycone.assembly.full import filling, full_at, label_share
from steadycone.assembly.gauges import Gauges
from steadycone.assembly.sharing import others
from steadycone.errors import SteadyconeError
from steadycone.physics.gas import Gas, amount_stored, pressure_of_amount
from steadycone.physics.supply import acetylene, lpg
from steadycone.quantity import Quantity, band, exact, unknown
from steadycone.station.setup import Line
from steadycone.station.supply import Supply
from steadycone.units import Mass


@dataclass(frozen=True, slots=True)
class Place:
    """Where the supply stands: K, Pa abs, and the region whose fillings are usual."""

    ambient: float
    atmosphere: float
    region: str
    reference_stated: bool = True  # whether the file says at which state its gas volumes hold


@dataclass(frozen=True, slots=True)
class _Store:
    """One cylinder now. Amounts mol, pressures Pa gauge."""

    now: Quantity
    usable: Quantity
    full: Quantity
    pressure: Quantity
    by: str


_NOTHING = (unknown("amount"), unknown("amount"), unknown("amount"))


def supply_figures(
    name: str,
    line: Line,
    gas: Gas,
    composition_known: bool,
    place: Place,
    flow: Quantity,
    job_time: Quantity | None,
    gauge: Gauges,
    duty: float = 1.0,
) -> SupplyFigures:
    """The figures of one line's supply at its own flow [mol/s] for a share `duty` of the job's time, and what is shared."""
    supply = line.supply
    try:
        store = _store(line, gas, composition_known, place, gauge)
        count = supply.cylinders if supply.has_cylinders else 1
        shared = exact(others(line, gas.molar_mass), "flow")
        drawn, average = _sum(flow, shared), _sum(flow.map(lambda f: f * duty), shared)
        contents, usable = store.now.map(lambda n: n * count), store.usable.map(lambda n: n * count)
        at_end = _left(contents, average, job_time)
        return SupplyFigures(
            contents=contents,
            contents_mass=contents.map(lambda n: n * gas.molar_mass, "mass"),
            usable=usable,
            full=store.full.map(lambda n: n * count),
            at_end=at_end,
            pressure=store.pressure,
            pressure_at_end=_pressure_at_end(line, gas, composition_known, place, at_end.map(lambda n: n / count), store),
            drawn=drawn,
            shared=shared,
            duration=_duration(usable, average),
            vaporisation=_vaporisation(gas, composition_known, place, store, count) if _liquefied(line, gas) else None,
            temperature=place.ambient,
            by=store.by,
            filled_to=_filled_to(line, gas, place),
            full_now=_full_now(line, gas, place),
            duty=duty,
        )
    except SteadyconeError as error:
        raise error.at(f"{name}.supply") from error


def _liquefied(line: Line, gas: Gas) -> bool:
    return line.supply.has_cylinders and gas.name in LIQUEFIED


def _store(line: Line, gas: Gas, known: bool, place: Place, gauge: Gauges) -> _Store:
    found = _stored(line, gas, known, place, gauge)
    share = label_share(line.supply, place.reference_stated)
    if share == 1.0 or found.by in ("weight", "stated flow"):
        return found
    return replace(found, now=_at_least(found.now, share), usable=_at_least(found.usable, share))


def _at_least(amount: Quantity, share: float) -> Quantity:
    """The same with its low end lowered to a share."""
    return amount if amount.low is None else Quantity(amount.value, amount.low * share, amount.high, amount.kind)


def _stored(line: Line, gas: Gas, known: bool, place: Place, gauge: Gauges) -> _Store:
    if not line.supply.has_cylinders:
        return _stated(line.supply, gas, place)
    if gas.name == "acetylene":
        return _dissolved(line.supply, gas, place, gauge)
    if _liquefied(line, gas):
        return _liquid(line.supply, gas, known, place)
    return _compressed(line.supply, gas, place, gauge)


def _weighed(gross: Mass, tare: Mass, *, rounded_down: float = 0.0) -> Quantity:
    """What is left [kg]; the tare may be up to `rounded_down` [kg] more than its stamp says."""
    left, off = gross.si - tare.si, gross.half_digit + tare.half_digit
    least = round(left - gross.half_digit - max(tare.half_digit, rounded_down), 9)  # a difference of nothing is nothing, not 1e-16
    return band(left, max(0.0, least), left + off, "mass")


def _tare_rounded_down(tare: Mass) -> float:
    """An acetylene tare of two figures in kg is rounded down by the UN rule, so the true one may lie a whole kilogram above it.

    Source      acetylene-tare-stamp
    """
    return 1.0 if tare.unit == "kg" and tare.half_digit >= 0.5 else 0.0


def _stated(supply: Supply, gas: Gas, place: Place) -> _Store:
    pressure = exact(supply.pressure.gauge(place.atmosphere), "gauge pressure") if supply.pressure else unknown("gauge pressure")
    given = supply.content or supply.capacity
    content = exact(given.amount(gas.molar_mass), "amount") if given else unknown("amount")
    return _Store(content, content, content, pressure, "stated flow")


# Compressed gas


def water_volume(supply: Supply, gas: Gas, region: str, atmosphere: float) -> float | None:
    """Of one cylinder [m³]: as stamped, or what holds its stated capacity at its filling pressure."""
    if supply.water_volume:
        return supply.water_volume.si
    given = supply.capacity or supply.content
    if given is None:
        return None
    pressure, temperature = filling(supply, gas, region, atmosphere)
    return given.amount(gas.molar_mass) / amount_stored(gas, 1.0, pressure, temperature)


def _compressed(supply: Supply, gas: Gas, place: Place, gauge: Gauges) -> _Store:
    volume = water_volume(supply, gas, place.region, place.atmosphere)
    pressure_full, temperature_full = filling(supply, gas, place.region, place.atmosphere)
    full_now = full_at(supply, gas, place.region, place.atmosphere, place.ambient)
    if supply.pressure:
        read = supply.pressure.abs(place.atmosphere)
        pressure = band(read, max(place.atmosphere, read - gauge.inlet_error), read + gauge.inlet_error, "gauge pressure")
    else:
        pressure = exact(full_now, "gauge pressure")
    by = "pressure" if supply.pressure else "full"
    gauge_pressure = pressure.map(lambda p: p - place.atmosphere)
    if volume is None:
        return _Store(*_NOTHING, gauge_pressure, by)
    size: float = volume

    def amount(p: float) -> float:
        # A reading that the error carries past the table's end is capped there: the middle is what was read.
        return amount_stored(gas, size, min(p, max(301e5, read_pressure)), place.ambient)

    assert pressure.value is not None
    read_pressure = pressure.value
    now = pressure.map(amount, "amount")
    # Without a stated reserve the gas at the air's own pressure stays behind: nothing drives it out.
    reserve = amount(supply.reserve.abs(place.atmosphere) if supply.reserve else place.atmosphere)
    full = exact(amount_stored(gas, size, pressure_full, temperature_full), "amount")
    return _Store(now, now.map(lambda n: max(0.0, n - reserve)), full, gauge_pressure, by)


def _filled_to(line: Line, gas: Gas, place: Place) -> Quantity | None:
    if not line.supply.has_cylinders or _liquefied(line, gas):
        return None
    return exact(filling(line.supply, gas, place.region, place.atmosphere)[0] - place.atmosphere, "gauge pressure")


def _full_now(line: Line, gas: Gas, place: Place) -> Quantity | None:
    if not line.supply.has_cylinders or _liquefied(line, gas):
        return None
    return exact(full_at(line.supply, gas, place.region, place.atmosphere, place.ambient) - place.atmosphere, "gauge pressure")


# Acetylene


def _dissolved(supply: Supply, gas: Gas, place: Place, gauge: Gauges) -> _Store:
    full_given = supply.content or supply.capacity
    full = full_given.amount(gas.molar_mass) * gas.molar_mass if full_given else None
    solvent = (supply.solvent.si,) * 3 if supply.solvent else acetylene.solvent_of(full) if full else None
    mass, by = _acetylene_mass(supply, full, solvent, place, gauge)
    amount = mass.map(lambda m: m / gas.molar_mass, "amount")
    stays = 0.0
    if solvent and supply.gross and supply.tare_basis == "without saturation gas":
        stays = acetylene.saturation_mass(solvent[2]) / gas.molar_mass
    reserve = 0.0
    if solvent and supply.reserve:
        reserve = acetylene.mass_from_pressure(supply.reserve.abs(place.atmosphere), solvent[1], place.ambient) / gas.molar_mass
    usable = amount.map(lambda n: max(0.0, n - reserve))
    if usable.low is not None:  # the gas that stays dissolved at no gauge pressure counts at the unsafe end only
        usable = Quantity(usable.value, max(0.0, usable.low - (0.0 if reserve else stays)), usable.high, usable.kind)
    pressure = _over_solution(mass, solvent, place, supply, gas)
    if supply.pressure:
        read = supply.pressure.gauge(place.atmosphere)
        pressure = band(read, max(0.0, read - gauge.inlet_error), read + gauge.inlet_error, "gauge pressure")
    return _Store(amount, usable, exact(full / gas.molar_mass, "amount") if full else unknown("amount"), pressure, by)


def _acetylene_mass(
    supply: Supply, full: float | None, solvent: tuple[float, ...] | None, place: Place, gauge: Gauges
) -> tuple[Quantity, str]:
    if supply.gross and supply.tare:
        return _weighed(supply.gross, supply.tare, rounded_down=_tare_rounded_down(supply.tare)), "weight"
    if supply.pressure and solvent:
        read = supply.pressure.abs(place.atmosphere)
        triple = (solvent[0], solvent[1], solvent[2])
        low = acetylene.mass_band(max(place.atmosphere, read - gauge.inlet_error), triple, place.ambient)
        high = acetylene.mass_band(read + gauge.inlet_error, triple, place.ambient)
        value = acetylene.mass_band(read, triple, place.ambient).value
        most = full if full else high.high  # a cylinder never holds more than its content
        return band(min(value, most), min(low.low, most), min(high.high, most), "mass"), "pressure"
    return (exact(full, "mass"), "full") if full else (unknown("mass"), "full")


def _over_solution(mass: Quantity, solvent: tuple[float, ...] | None, place: Place, supply: Supply, gas: Gas) -> Quantity:
    """By the solution, and never over what the filling rule leaves in a full cylinder at this temperature (acetylene-filling)."""
    if solvent is None or mass.value is None or mass.low is None or mass.high is None:
        return unknown("gauge pressure")
    doubt = acetylene.PRESSURE_DOUBT
    low = acetylene.pressure_over_solution(mass.low, solvent[2], place.ambient) * (1 - doubt)
    high = acetylene.pressure_over_solution(mass.high, solvent[0], place.ambient) * (1 + doubt)
    value = acetylene.pressure_over_solution(mass.value, solvent[1], place.ambient)
    most = full_at(supply, gas, place.region, place.atmosphere, place.ambient)
    return band(min(value, most), min(low, most), min(high, most), "gauge pressure").map(lambda p: p - place.atmosphere)


# Liquefied gas


def _liquid(supply: Supply, gas: Gas, known: bool, place: Place) -> _Store:
    given = supply.content or supply.capacity
    full = given.amount(gas.molar_mass) * gas.molar_mass if given else None
    if full is None and supply.water_volume:
        full = supply.water_volume.si * 1e3 * lpg.FILLING_RATIO
    if supply.gross and supply.tare:
        mass, by = _weighed(supply.gross, supply.tare), "weight"
    else:
        mass, by = (exact(full, "mass") if full else unknown("mass")), "full"
    amount = mass.map(lambda m: m / gas.molar_mass, "amount")
    full_amount = exact(full / gas.molar_mass, "amount") if full else unknown("amount")
    usable = amount if known else _of_unknown_mix(gas, amount, mass)
    return _Store(amount, usable, full_amount, _vapour(gas, known, place, _fill(amount, full_amount)), by)


def _of_unknown_mix(gas: Gas, amount: Quantity, mass: Quantity) -> Quantity:
    """The amount that a weight of it may be: the heaviest that is sold under the name gives the least gas, the lightest the most."""
    if amount.value is None or mass.low is None or mass.high is None:
        return amount
    masses = [gas.molar_mass, *(end.molar_mass for end in lpg.worst_of(gas.name))]
    return band(amount.value, mass.low / max(masses), mass.high / min(masses), "amount")


def _fill(amount: Quantity, full: Quantity) -> float:
    if not amount.value or not full.value:
        return 1.0
    return min(1.0, amount.value / full.value)


def _vapour(gas: Gas, known: bool, place: Place, fill: float) -> Quantity:
    found = lpg.vapour_pressure(gas, place.ambient, fill)
    low, high = found.low, found.high
    if not known:
        least, most = lpg.worst_of(gas.name)
        low = lpg.vapour_pressure(least, place.ambient).value
        high = lpg.vapour_pressure(most, place.ambient).high
    return band(found.value, low, high, "gauge pressure").map(lambda p: p - place.atmosphere)


def _vaporisation(gas: Gas, known: bool, place: Place, store: _Store, count: int) -> Quantity:
    if store.full.value is None or store.now.low is None or store.now.value is None:
        return unknown("flow")
    full, molar_mass = store.full.value, gas.molar_mass

    def evaporated(fuel: Gas, left: float) -> lpg.Band:
        share = min(1.0, max(0.0, left / full))
        return lpg.vaporisation(fuel, full * molar_mass, share, place.ambient, atmosphere=place.atmosphere)

    found = evaporated(gas, store.now.value)
    low = min(evaporated(gas, store.now.low).low, found.low) / molar_mass
    if not known:  # a kilogram of the heaviest is also the least gas
        heaviest = lpg.worst_of(gas.name)[0]
        low = min(low, evaporated(heaviest, store.now.low).low / heaviest.molar_mass)
    return band(found.value / molar_mass, low, found.high / molar_mass, "flow").map(lambda mol: mol * count)


# What is left


def _sum(flow: Quantity, other: Quantity) -> Quantity:
    more = other.value or 0.0
    return flow.map(lambda f: f + more)


def _left(contents: Quantity, drawn: Quantity, time: Quantity | None) -> Quantity:
    known = (contents.value, contents.low, contents.high, drawn.value, drawn.low, drawn.high)
    if time is None or time.value is None or None in known:
        return unknown("amount")
    assert contents.low is not None
    assert contents.high is not None
    low = contents.low - drawn.high * time.high  # type: ignore[operator]
    high = contents.high - drawn.low * time.low  # type: ignore[operator]
    value = contents.value - drawn.value * time.value  # type: ignore[operator]
    return band(max(0.0, value), max(0.0, low), max(0.0, high), "amount")


def _duration(usable: Quantity, drawn: Quantity) -> Quantity:
    if usable.value is None or usable.low is None or usable.high is None or not drawn.value or not drawn.low or not drawn.high:
        return unknown("minutes")
    return band(usable.value / drawn.value, usable.low / drawn.high, usable.high / drawn.low, "minutes")


def _pressure_at_end(line: Line, gas: Gas, known: bool, place: Place, left_in_one: Quantity, store: _Store) -> Quantity:
    """Pressure of one cylinder when the job ends; a stated supply stays as it is."""
    supply = line.supply
    if not supply.has_cylinders:
        return store.pressure
    if left_in_one.value is None or left_in_one.low is None or left_in_one.high is None:
        return unknown("gauge pressure")
    if gas.name == "acetylene":
        full = supply.content or supply.capacity
        solvent = (supply.solvent.si,) * 3 if supply.solvent else None
        if solvent is None and full:
            solvent = acetylene.solvent_of(full.amount(gas.molar_mass) * gas.molar_mass)
        found = _over_solution(left_in_one.map(lambda n: n * gas.molar_mass, "mass"), solvent, place, supply, gas)
        return found.map(lambda p: max(0.0, p))  # drawn down to the air's own pressure, no further
    if gas.name in LIQUEFIED:
        if left_in_one.low <= 0.0:
            return Quantity(0.0 if left_in_one.value <= 0 else store.pressure.value, 0.0, store.pressure.high, "gauge pressure")
        return _vapour(gas, known, place, _fill(left_in_one, store.full))
    volume = water_volume(supply, gas, place.region, place.atmosphere)
    if volume is None:
        return unknown("gauge pressure")
    size: float = volume
    at_end = left_in_one.map(lambda n: pressure_of_amount(gas, n, size, place.ambient) if n > 0 else 0.0, "gauge pressure")
    return at_end.map(lambda p: max(0.0, p - place.atmosphere))
