"""Which optional fields were left out, and what was taken in their place, with its band: the card lists them.

Every number here is asked of whoever used it, so that what is printed is what was reckoned with.
"""

from collections.abc import Sequence

from steadycone.assembly.bores import bore_doubt
from steadycone.assembly.closing import closing_pressure
from steadycone.assembly.corner import lining
from steadycone.assembly.elements import coefficient_of, flow_unknown, opening_pressure, shares_of_bore
from steadycone.assembly.full import label_share
from steadycone.assembly.gauges import divisions, gauge_class, gauges
from steadycone.assembly.lines import lockup_of, supply_effect_of
from steadycone.assembly.proving import high_volume, trapped_body
from steadycone.station.parts import Hose, Part, Pipe
from steadycone.station.setup import Line, Setup
from steadycone.units import ATMOSPHERE, Pressure, unit_size

Field = tuple[str, str]  # dotted field, what was taken


def assumed(setup: Setup, ambient: float, atmosphere: float) -> tuple[Field, ...]:
    """Of every optional field left out. `ambient` [K] and `atmosphere` [Pa abs] as they were taken."""
    found: list[Field] = []
    about = setup.station.station
    if about.ambient is None:
        found.append(("station.ambient", f"{ambient - 273.15:g} °C"))
    if about.atmosphere is None and about.altitude is None:
        found.append(("station.atmosphere", f"{ATMOSPHERE / 1e5:g} bar abs"))
    for name, line in setup.lines.items():
        if line.supply.has_cylinders and line.supply.pressure is None and line.supply.gross is None:
            found.append((f"{name}.supply.pressure", "full"))
        share = label_share(line.supply, about.reference_state is not None)
        if line.supply.has_cylinders and share < 1.0:
            what = "capacity" if line.supply.capacity else "content"
            less = f"a label at 15 °C and 1 bar holds {100 * (1 - share):.2g} % less, which is the low end"
            found.append((f"{name}.supply.{what}", f"at 0 °C and 1.01325 bar; {less}"))
        found += _of_regulator(setup, name, line, atmosphere)
        for number, part in enumerate(line.part, start=1):
            found += _of_part(f"{name}.part {number} ({part.word})", part)
    return tuple(found)


def _four(number: float) -> str:
    """Four digits and no exponent: 40000 and not 4e+04."""
    return f"{float(f'{number:.4g}'):.15g}"


def _of_regulator(setup: Setup, name: str, line: Line, atmosphere: float) -> list[Field]:
    regulator, region = line.regulator, setup.station.station.region
    gauge = gauges(regulator, region)
    unit = regulator.outlet_rating.unit if regulator.outlet_rating.unit in ("psi", "kPa") else "bar"
    size = unit_size(Pressure, unit)
    high, low = high_volume(line), trapped_body(line.regulator)
    effect, closing = supply_effect_of(line, region), closing_pressure(setup, name, atmosphere)[0]
    taken = {
        "lockup": f"{100 * lockup_of(line):g} %",
        "closing_pressure": f"{_four(closing / size)} {unit}",
        "supply_effect": banded([100 * end for end in (effect[1], effect[0], effect[2])], "%"),
        "gauge_class": f"{gauge_class(region):g}",
        "outlet_scale": f"{_four(gauge.outlet_scale / size)} {unit}",
        "outlet_division": f"scale / {divisions():g}",
        "inlet_scale": f"{_four(gauge.inlet_scale / size)} {unit}",
        "inlet_division": f"scale / {divisions():g}",
        "high_volume": banded([1e3 * (end or 0.0) for end in (high.low, high.value, high.high)], "L"),
        "low_volume": banded([1e3 * end for end in low], "L"),
    }
    if regulator.stages == 2 or not line.supply.has_cylinders:
        del taken["supply_effect"]
    return [(f"{name}.regulator.{field}", text) for field, text in taken.items() if getattr(regulator, field) is None]


def _of_part(place: str, part: Part) -> list[Field]:
    found: list[Field] = []
    if isinstance(part, Hose | Pipe):
        roughness, fittings = lining()
        if part.roughness is None:
            found.append((f"{place}.roughness", banded([1e3 * end for end in roughness], "mm")))
        if isinstance(part, Hose) and part.bore_tolerance is None:
            found.append((f"{place}.bore_tolerance", f"{1e3 * bore_doubt(part):.4g} mm"))
        if part.fittings is None:
            found.append((f"{place}.fittings", f"K {banded(fittings)}"))
    elif not (part.flow_points or part.sonic_conductance):
        if not part.equivalent_bore:
            found.append((f"{place}.flow_points", f"a sharp opening, its bore {banded(shares_of_bore(part))} of the hose's"))
        if part.coefficient is None:
            found.append((f"{place}.coefficient", f"{coefficient_of(part):g}"))
        if flow_unknown(part) and part.cracking is None:
            found.append((f"{place}.cracking", banded([pascals / 100.0 for pascals in opening_pressure(part)], "mbar")))
    return found


def banded(ends: Sequence[float], unit: str = "") -> str:
    """From one end, as taken and the other end: what was taken and, where they differ, the ends, such as "0.01 mm, 0 to 0.03"."""
    one, taken, other = (f"{end:.4g}" for end in ends)
    told = f"{taken} {unit}".rstrip()
    return told if one == taken == other else f"{told}, {one} to {other}"
