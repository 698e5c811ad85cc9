"""A card's station as the what-ifs need it: openings, regulators with their droop and lock-up, hoses, and what stands beside them."""

from dataclasses import dataclass
from functools import cached_property

from steadycone.assembly.corner import Corner, corners
from steadycone.assembly.elements import element, flow_line, narrowest_bore, part_subject
from steadycone.assembly.figures import Figures, LineFigures
from steadycone.assembly.proving import hose_volume, small_volumes
from steadycone.assembly.station import Inlet, openings
from steadycone.card.card import Card
from steadycone.data.reader import toml
from steadycone.errors import InputError
from steadycone.physics.flow import Element, Openings, Resistance, Stream, stream_of
from steadycone.physics.flow import Line as FlowLine
from steadycone.physics.gas import Gas, load
from steadycone.physics.transient.hose_1d import Bore, Pair
from steadycone.physics.transient.purge import diffusivity
from steadycone.quantity import Quantity
from steadycone.station.parts import Arrestor, CheckValve, Hose, Part, Pipe


@dataclass(frozen=True, slots=True)
class Pressures:
    """A regulator as set: Pa gauge with their bands. `droop`: Pa of outlet per mol/s, from lock-up at no flow to the card's flow."""

    flowing: Quantity
    static: Quantity
    droop: float


@dataclass(frozen=True)
class Rig:
    """What the what-ifs ask of a card. Lines by name: oxygen, fuel, preheat_oxygen."""

    figures: Figures

    @property
    def atmosphere(self) -> float:
        return self.figures.atmosphere

    @property
    def temperature(self) -> float:
        return self.figures.ambient

    @cached_property
    def oxygen(self) -> Gas:
        return load("oxygen")

    @property
    def fuel(self) -> Gas:
        return self.figures.fuel

    @property
    def preheat(self) -> str:
        """Name of the line that the preheat oxygen comes through."""
        return "preheat_oxygen" if "preheat_oxygen" in self.figures.lines else "oxygen"

    @property
    def as_taken(self) -> Corner:
        return corners()[0]

    @property
    def mixing_shares(self) -> Quantity:
        low, middle, high = toml("defaults.toml")["chart"]["mixing_share"]
        return Quantity(middle, low, high, "share")

    def gas(self, name: str) -> Gas:
        return self.fuel if name == "fuel" else self.oxygen

    def stream(self, name: str) -> Stream:
        return stream_of(self.gas(name), self.temperature)

    def line(self, name: str) -> LineFigures:
        return self.figures.lines[name]

    def flow_line(self, name: str) -> FlowLine:
        return flow_line(self.line(name).line, name, self.stream(name), self.as_taken)

    def openings(self, mixing_share: float) -> Openings:
        """Of the torch, fitted to the chart row with the mixing point at a share of the fuel's gauge pressure.

        Raises  InputError: the card has no chart row that says enough.
        """
        oxygen, fuel, preheat = self.line("oxygen"), self.line("fuel"), self.line(self.preheat)
        pressures = [line.torch_inlet.value for line in (oxygen, fuel, preheat)]
        flows = [(preheat.preheat_flow or preheat.flow).value, fuel.flow.value]
        if None in pressures or None in flows:
            raise InputError(
                "the tip chart gives no row for this job, so the torch's openings are not known",
                where="tip.chart",
                try_="Settle what the chart lacks, then ask again.",
            )
        one, two, three = (float(p) + self.atmosphere for p in pressures if p is not None)
        preheat_flow, fuel_flow = (float(f) for f in flows if f is not None)
        cutting = oxygen.cutting_flow.value if oxygen.cutting_flow and oxygen.cutting_flow.value else 0.0
        row = Inlet(
            one, two, three, cutting * self.oxygen.molar_mass, preheat_flow * self.oxygen.molar_mass, fuel_flow * self.fuel.molar_mass
        )
        injector = self.figures.setup.station.torch.mixer == "injector"
        return openings(row, self.fuel, self.oxygen, self.temperature, self.atmosphere, mixing_share, injector)

    def regulator(self, name: str) -> Pressures:
        """As the gauges stand where the file says so, else as the card sets it.

        Raises  InputError: neither is known.
        """
        line = self.line(name)
        flowing, static, flow = line.flowing, line.static, line.flow.value
        if self.figures.as_set and name in self.figures.as_set.lines:
            found = self.figures.as_set.lines[name]
            flowing, static, flow = found.regulator, found.regulator_static, found.flow.value or flow
        if flowing.value is None or static.value is None:
            raise InputError(
                f"the pressure to set on the {name.replace('_', ' ')} regulator is not known",
                where="tip.chart",
                try_="Settle what the chart lacks, or give what the gauges show under [settings].",
            )
        return Pressures(flowing, static, (static.value - flowing.value) / flow if flow else 0.0)

    # -- one line's hose --------------------------------------------------------------------------------------------

    def bore(self, name: str, dead_volume: float) -> Bore:
        """All hoses and pipes of a line as one of their whole length and volume."""
        pieces = [part for part in self.line(name).line.part if isinstance(part, Hose | Pipe)]
        length = sum(piece.length.si for piece in pieces)
        square = sum(hose_volume(piece) for piece in pieces) / (0.7853981633974483 * length)
        roughness = pieces[0].roughness.si if pieces[0].roughness else self.as_taken.roughness
        return Bore(square**0.5, length, self.temperature, roughness, dead_volume)

    def volume(self, name: str) -> float:
        """m³ of those hoses."""
        return sum(hose_volume(part) for part in self.line(name).line.part if isinstance(part, Hose | Pipe))

    def dead_volume(self, name: str) -> Quantity:
        """Regulator body and small parts [m³]; where the file states none it may be nothing or twice as much (judged)."""
        line = self.line(name).line
        value = small_volumes(line)
        stated = line.regulator.low_volume is not None
        return Quantity(value, value if stated else 0.0, value if stated else 2.0 * value, "volume")

    def pair(self, new: str, old: str) -> Pair:
        """The gas of one line pushed into the gas of another."""
        gases = self.gas(new), self.gas(old)
        main = [max(gas.components, key=lambda part, gas=gas: gas.components[part]) for gas in gases]  # type: ignore[misc]
        streams = [stream_of(gas, self.temperature) for gas in gases]
        diffusion = diffusivity(1e5, self.temperature, main[0], main[1]) * 1e5
        return Pair(gases[0].molar_mass, gases[1].molar_mass, streams[0].viscosity, streams[1].viscosity, diffusion)

    def parts_at_torch(self, name: str) -> list[tuple[int, Part]]:
        """What lies between the last hose and the torch, numbered from 1."""
        numbered = list(enumerate(self.line(name).line.part, 1))
        last = max(number for number, part in numbered if isinstance(part, Hose | Pipe))
        return numbered[last:]

    def back_through(self, name: str, donor: Stream) -> list[Element]:
        """The parts between torch and hose for another gas running back, nearest the hose first; a check valve that has failed open and
        an arrestor let it through as they let their own gas through, without a cracking pressure."""
        line, found = self.line(name).line, []
        for _, part in self.parts_at_torch(name):
            made = element(part, donor, self.as_taken, narrowest_bore(line))
            if isinstance(made, Resistance) and made.cracking > 0.0:
                made = Resistance(made.stream, made.conductance, made.critical_ratio)
            found.append(made)
        return found

    def check_valve(self, name: str) -> str:
        """The subject of a line's check valve between hose and torch, or "". An arrestor's own non-return valve is not counted on."""
        return next((part_subject(name, n, part) for n, part in self.parts_at_torch(name) if isinstance(part, CheckValve)), "")

    def arrestor(self, name: str, *, at_torch: bool) -> str:
        """The subject of an arrestor at one end of the hose, or ""."""
        torch = {number for number, _ in self.parts_at_torch(name)}
        numbered = enumerate(self.line(name).line.part, 1)
        return next((part_subject(name, n, p) for n, p in numbered if isinstance(p, Arrestor) and (n in torch) == at_torch), "")


def rig_of(card: Card) -> Rig:
    return Rig(card.figures)
