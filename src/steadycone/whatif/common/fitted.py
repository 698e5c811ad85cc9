"""The card's station as a flow network that can be changed part by part: openings fitted to the chart row, elements in order."""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace

from steadycone.assembly.corner import Corner, corners
from steadycone.assembly.figures import Figures
from steadycone.assembly.station import Inlet, network, openings
from steadycone.data.reader import toml
from steadycone.errors import InputError, OutOfRange
from steadycone.physics.flow import Line, Openings, Profile, Solution, Station, profiles, solve
from steadycone.physics.flow.line import Element
from steadycone.physics.gas import Gas, load

LINES = ("oxygen", "fuel", "preheat_oxygen")
Change = Callable[[int, Element], Element | None]  # number of a part from 0 and its element, to what stands in its place


@dataclass(frozen=True, slots=True)
class Flows:
    """What reaches the torch [mol/s], with the profiles it was marched by."""

    fuel: float
    preheat: float
    cutting: float
    solution: Solution
    profiles: Mapping[str, Profile]

    @property
    def ratio(self) -> float | None:
        """Preheat oxygen over fuel, or None without fuel."""
        return self.preheat / self.fuel if self.fuel > 0.0 else None


def at_torch(figures: Figures) -> Inlet:
    """The chart row at the torch inlet, as described.

    Raises  InputError: the chart does not tell all of it.
    """
    lines, air = figures.lines, figures.atmosphere
    oxygen, fuel = lines["oxygen"], lines["fuel"]
    preheat = lines.get("preheat_oxygen", oxygen)
    pressures = (oxygen.torch_inlet.value, fuel.torch_inlet.value, preheat.torch_inlet.value)
    cutting = oxygen.cutting_flow.value if oxygen.cutting_flow is not None else 0.0
    flows = (cutting, preheat.preheat_flow.value if preheat.preheat_flow else None, fuel.flow.value)
    if any(x is None for x in (*pressures, *flows)):
        raise InputError(
            "the chart does not tell what the torch takes", where="tip", try_="Give a chart with a row for this job, pressures and flows."
        )
    p_oxygen, p_fuel, p_preheat, q_cutting, q_preheat, q_fuel = (float(x) for x in (*pressures, *flows) if x is not None)
    gas = oxygen.gas.molar_mass
    return Inlet(p_oxygen + air, p_fuel + air, p_preheat + air, q_cutting * gas, q_preheat * gas, q_fuel * figures.fuel.molar_mass)


def fitted(figures: Figures, share: float) -> Openings:
    """The torch's openings with the mixing point at a share of the fuel's gauge pressure.

    Raises  InputError: the chart does not tell, or its pressures cannot drive its flows.
    """
    injector = figures.setup.station.torch.mixer == "injector"
    try:
        return openings(at_torch(figures), figures.fuel, oxygen_of(), figures.ambient, figures.atmosphere, share, injector)
    except OutOfRange as error:
        raise InputError(
            "the chart's pressures cannot drive its flows", where="tip", try_="See the findings of the card: the chart is suspect."
        ) from error


def oxygen_of() -> Gas:
    return load("oxygen")


def station_at(figures: Figures, corner: Corner, share: float) -> Station:
    """The whole station at one corner and one mixing share. Raises as `fitted`."""
    return network(figures.setup, figures.fuel, oxygen_of(), fitted(figures, share), corner, figures.ambient, figures.atmosphere)


def described(figures: Figures) -> Station:
    """As described. Raises as `fitted`."""
    return station_at(figures, corners()[0], shares()[1])


def looks(figures: Figures) -> Iterator[Station]:
    """As described, then every outer corner: kind and unkind parts, with the mixing point low and high."""
    low, middle, high = shares()
    first, *outer = corners()
    yield station_at(figures, first, middle)
    for corner in outer:
        yield from (station_at(figures, corner, share) for share in (low, high))


def shares() -> tuple[float, float, float]:
    """Mixing-point pressure as a share of the fuel's: low, taken, high."""
    low, middle, high = toml("defaults.toml")["chart"]["mixing_share"]
    return float(low), float(middle), float(high)


def changed(station: Station, name: str, change: Change) -> Station:
    """The station with one line's parts changed; a part that becomes None is left out."""
    line = {"oxygen": station.oxygen_line, "fuel": station.fuel_line, "preheat_oxygen": station.preheat_line}[name]
    assert line is not None
    elements = (change(number, element) for number, element in enumerate(line.elements))
    new = Line(tuple(element for element in elements if element is not None))
    if name == "oxygen":
        return replace(station, oxygen_line=new)
    return replace(station, fuel_line=new) if name == "fuel" else replace(station, preheat_line=new)


def flows_of(station: Station, figures: Figures, pressures: Mapping[str, float]) -> Flows:
    """What flows at regulator pressures [Pa gauge, flowing] by line name."""
    air = figures.atmosphere
    absolute = {name: max(pressure, 0.0) + air for name, pressure in pressures.items()}
    found = solve(station, absolute["oxygen"], absolute["fuel"], absolute.get("preheat_oxygen"))
    along = {name: profile for name, profile in zip(LINES, profiles(station, found), strict=True) if profile is not None}
    oxygen, fuel = oxygen_of().molar_mass, figures.fuel.molar_mass
    return Flows(found.fuel_flow / fuel, found.preheat_flow / oxygen, found.cutting_flow / oxygen, found, along)
