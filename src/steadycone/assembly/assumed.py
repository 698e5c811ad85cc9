"""Which optional fields were left out, and what was taken in their place: the card lists them."""

from steadycone.assembly.elements import flow_unknown, opening_pressure
from steadycone.data.reader import toml
from steadycone.station.parts import Hose, Pipe
from steadycone.station.setup import Line, Setup


def assumed(setup: Setup) -> tuple[tuple[str, str], ...]:
    """(dotted field, what was taken)."""
    defaults = toml("defaults.toml")
    found: list[tuple[str, str]] = []
    about = setup.station.station
    if about.ambient is None:
        found.append(("station.ambient", f"{defaults['ambient']['temperature_c']:g} °C"))
    if about.atmosphere is None and about.altitude is None:
        found.append(("station.atmosphere", "1.01325 bar abs"))
    for name, line in setup.lines.items():
        found += _of_line(name, line, defaults)
    return tuple(found)


def _of_line(name: str, line: Line, defaults: dict[str, dict[str, object]]) -> list[tuple[str, str]]:
    found: list[tuple[str, str]] = []
    supply, regulator = line.supply, line.regulator
    if supply.has_cylinders and supply.pressure is None and supply.gross is None:
        found.append((f"{name}.supply.pressure", "full"))
    if regulator.lockup is None:
        found.append((f"{name}.regulator.lockup", f"{100 * float(str(defaults['regulator']['lockup'])):g} %"))
    if regulator.gauge_class is None:
        found.append((f"{name}.regulator.gauge_class", f"{defaults['regulator']['gauge_class']}"))
    if regulator.outlet_division is None:
        found.append((f"{name}.regulator.outlet_division", "scale / 50"))
    if regulator.inlet_division is None:
        found.append((f"{name}.regulator.inlet_division", "scale / 50"))
    for number, part in enumerate(line.part, start=1):
        place = f"{name}.part {number} ({part.word})"
        if isinstance(part, Hose | Pipe):
            if part.roughness is None:
                found.append((f"{place}.roughness", "0.01 mm, 0 to 0.03"))
            if part.fittings is None:
                found.append((f"{place}.fittings", "K 6, 0 to 8"))
        elif not (part.flow_points or part.sonic_conductance or part.equivalent_bore):
            found.append((f"{place}.flow_points", "a sharp opening by the hose's bore"))
            if flow_unknown(part) and part.cracking is None:
                kind, taken, unkind = (pascals / 100.0 for pascals in opening_pressure(part))
                found.append((f"{place}.cracking", f"{taken:g} mbar, {kind:g} to {unkind:g}"))
    return found
