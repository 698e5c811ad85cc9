"""One row of a chart against what the trade uses: pressures, columns exchanged, speed, and oxygen for the kerf or the thickness."""

from steadycone.physics.cutting import TO_FEO, TO_MAGNETITE, kerf_oxygen
from steadycone.practice.chart_doubt import ends_of, gauges, is_cutting, suspect
from steadycone.practice.finding import Finding
from steadycone.practice.limits import limit
from steadycone.quantity import band, exact
from steadycone.station.chart import Chart, Row
from steadycone.units import ATMOSPHERE

_MM, _M3_PER_H = 1e-3, 1e-3 / (22.41397e-3 * 3.6)  # m; mol/s in a normal m³/h
_CUTTING_OXYGEN = ("cutting_oxygen",)


def doubts(chart: Chart, row: Row, atmosphere: float = ATMOSPHERE) -> list[Finding]:
    """Every figure of one row that no torch has. `atmosphere` [Pa absolute]."""
    checks = (_fuel_pressure(row, atmosphere), _oxygen_pressure(chart, row, atmosphere), _swapped(row, atmosphere), *_speed(row))
    return [found for found in (*checks, _oxygen_for_the_cut(row)) if found]


def _fuel_pressure(row: Row, atmosphere: float) -> Finding | None:
    if row.fuel_pressure is None:
        return None
    low, high = gauges(row.fuel_pressure, atmosphere)
    most = limit("chart-fuel-highest")
    if high <= most.si:
        return None
    value = band(high, low, high, "gauge pressure")
    return suspect(row, "fuel-high", ("fuel_pressure",), value, exact(most.si, "gauge pressure"), most.source)


def _oxygen_pressure(chart: Chart, row: Row, atmosphere: float) -> Finding | None:
    """Of heating and welding; cutting oxygen has limits of its own."""
    if row.oxygen_pressure is None or is_cutting(chart):
        return None
    low, high = gauges(row.oxygen_pressure, atmosphere)
    most = limit("chart-oxygen-highest")
    if high <= most.si:
        return None
    value = band(high, low, high, "gauge pressure")
    return suspect(row, "oxygen-high", ("oxygen_pressure",), value, exact(most.si, "gauge pressure"), most.source)


def _swapped(row: Row, atmosphere: float) -> Finding | None:
    if row.fuel_pressure is None or row.oxygen_pressure is None:
        return None
    fuel, oxygen = gauges(row.fuel_pressure, atmosphere), gauges(row.oxygen_pressure, atmosphere)
    times = limit("chart-swapped-times")
    if fuel[0] <= times.si * oxygen[1]:
        return None
    figures = ("oxygen_pressure", "fuel_pressure")
    value = band(fuel[0], *fuel, "gauge pressure")
    return suspect(row, "swapped", figures, value, exact(oxygen[1], "gauge pressure"), times.source)


def _speed(row: Row) -> list[Finding]:
    if row.speed is None:
        return []
    slow, fast = row.speed[0].si, row.speed[1].si
    least, most = limit("chart-speed-least"), limit("chart-speed-most")
    found = []
    if slow < least.si:
        found.append(suspect(row, "speed-low", ("speed",), exact(slow, "speed"), exact(least.si, "speed"), least.source))
    if fast > most.si:
        found.append(suspect(row, "speed-high", ("speed",), exact(fast, "speed"), exact(most.si, "speed"), most.source))
    return found


def _oxygen_for_the_cut(row: Row) -> Finding | None:
    """Against the iron of the kerf where the row gives speed and kerf (or bore), else against the thickness."""
    thickness = ends_of(row)
    if row.cutting_oxygen is None or thickness is None or thickness[1] <= 0:
        return None
    flows = row.cutting_oxygen[0].amount(_OXYGEN), row.cutting_oxygen[1].amount(_OXYGEN)
    kerf = row.kerf.si if row.kerf else limit("chart-kerf-over-bore").si * row.cutting_bore.si if row.cutting_bore else None
    if row.speed is not None and kerf is not None:
        return _for_the_kerf(row, flows, thickness, kerf)
    return _for_the_thickness(row, flows, thickness)


def _for_the_kerf(row: Row, flows: tuple[float, float], thickness: tuple[float, float], kerf: float) -> Finding | None:
    """The thin end goes with the fast speed and the low flow, the thick end with the slow speed and the high flow."""
    assert row.speed is not None
    pairs = [(flows[0], row.speed[1].si, thickness[0] or thickness[1]), (flows[1], row.speed[0].si, thickness[1])]
    burnt, times = limit("chart-kerf-least"), limit("chart-kerf-most")
    figures = ("cutting_oxygen", "speed")
    least = [burnt.si * kerf_oxygen(speed, thick, kerf, TO_FEO) for _, speed, thick in pairs]
    most = [times.si * kerf_oxygen(speed, thick, kerf, TO_MAGNETITE) for _, speed, thick in pairs]
    for (flow, _, _), needed in zip(pairs, least, strict=True):
        if flow < needed:
            return suspect(row, "kerf-short", figures, exact(flow, "flow"), exact(needed, "flow"), burnt.source)
    if all(flow > allowed for (flow, _, _), allowed in zip(pairs, most, strict=True)):
        return suspect(row, "kerf-over", figures, exact(flows[0], "flow"), exact(most[0], "flow"), times.source)
    return None


def _for_the_thickness(row: Row, flows: tuple[float, float], thickness: tuple[float, float]) -> Finding | None:
    a_millimetre, base = limit("chart-flow-most-a-millimetre"), limit("chart-flow-most")
    least_a_millimetre = limit("chart-flow-least-a-millimetre")
    most = (base.si + a_millimetre.si * thickness[1] / _MM) * _M3_PER_H
    least = least_a_millimetre.si * (thickness[0] or thickness[1]) / _MM * _M3_PER_H
    if flows[0] > most:
        return suspect(row, "flow-over", _CUTTING_OXYGEN, exact(flows[0], "flow"), exact(most, "flow"), base.source)
    if flows[1] < least:
        return suspect(row, "flow-short", _CUTTING_OXYGEN, exact(flows[1], "flow"), exact(least, "flow"), least_a_millimetre.source)
    return None


_OXYGEN = 31.9988e-3  # kg/mol, for a flow that is given by mass
