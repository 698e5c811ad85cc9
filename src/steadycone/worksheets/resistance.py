"""Pressure lost in an arrestor, a check valve or a valve known by its flow curve."""

from typing import TYPE_CHECKING, ClassVar

from steadycone.units import Conductance, GasFlow, Pressure, PressureDifference, Share, Temperature
from steadycone.worksheets.declare import GAS, Answer, AtPressure, Composition, WithVolumes, ask, banded, gas_of, refuse_liquid, worksheet
from steadycone.worksheets.kinds import FlowPoints, Point

if TYPE_CHECKING:
    from steadycone.physics.flow.resistance import Fit, FlowPoint
    from steadycone.physics.flow.resistance import Resistance as Part

TEST_TEMPERATURE = 293.15  # K of a flow point's gas, as in ISO 6358


@worksheet
class Resistance(AtPressure, WithVolumes):
    """Pressure on the other side of a part at a flow, from ISO 6358 figures or from points of the maker's curve."""

    gas: str = ask(GAS, "what flows")
    sonic_conductance: Conductance | None = ask(Conductance, "C of ISO 6358", optional=True)
    critical_ratio: Share | None = ask(Share, "b of ISO 6358; left out: 0.3, band 0.2 to 0.5", optional=True)
    flow_points: tuple[Point, ...] | None = ask(FlowPoints, "inlet/drop/flow/gas of the maker's curve", optional=True)
    inlet: Pressure | None = ask(Pressure, "before the part", optional=True)
    outlet: Pressure | None = ask(Pressure, "behind it", optional=True)
    flow: GasFlow = ask(GasFlow, "of the gas itself")
    cracking: PressureDifference = ask(PressureDifference, "pressure that a check valve holds shut against", "0 bar")
    temperature: Temperature = ask(Temperature, "of the gas", "20 °C")
    composition: dict[str, float] | None = ask(Composition, "of lpg or natural gas, by amount", optional=True)
    either: ClassVar = ((("sonic_conductance",), ("flow_points",)), (("inlet",), ("outlet",)))
    example: ClassVar = 'gas=acetylene flow_points="1 bar/0.1 bar/6 m3/h/air" outlet="0.5 bar" flow="1 m3/h"'

    def answer(self) -> Answer:
        from steadycone.physics.flow.resistance import Resistance as Part
        from steadycone.physics.flow.stream import stream_of

        gas = gas_of(self.gas, self.composition)
        stream = stream_of(gas, self.temperature.si)
        flow = self.flow.amount(gas.molar_mass) * gas.molar_mass
        fits = self._fits()
        parts = [Part(stream, f.conductance, f.critical_ratio, self.cracking.si) for f in fits]
        sides = [self._march(part, flow) for part in parts]
        start, end, state = sides[0]
        refuse_liquid(gas, start or 0.0, self.temperature.si, "inlet" if self.inlet else "outlet")
        found: Answer = {"inlet_bar_gauge": self.bar_gauge(start), "outlet_bar_gauge": self.bar_gauge(end), "state": state}
        if len(sides) > 1:
            key, far = ("inlet_bar_gauge", 0) if self.outlet else ("outlet_bar_gauge", 1)
            found |= banded(key, *(self.bar_gauge((side[0], side[1])[far]) for side in sides))
        found["loss_bar"] = None if start is None or end is None else (start - end) / 1e5
        return found

    def _fits(self) -> list["Fit"]:
        """The part's figures: usual, then both ends of their band where there is one."""
        from steadycone.physics.flow import resistance as curves

        if self.sonic_conductance is not None:
            size = self.sonic_conductance.si
            if self.critical_ratio is not None:
                return [curves.Fit(size, self.critical_ratio.si, 0.0)]
            return [curves.Fit(size, b, 0.0) for b in (curves.ASSUMED_CRITICAL_RATIO, *curves.ASSUMED_CRITICAL_BAND)]
        assert self.flow_points is not None
        points = [self._point(point, number) for number, point in enumerate(self.flow_points, start=1)]
        return [curves.fit(points, self.cracking.si), *curves.fit_band(points, self.cracking.si)]

    def _point(self, point: Point, number: int) -> "FlowPoint":
        from steadycone.physics.flow import resistance as curves
        from steadycone.physics.flow.stream import stream_of

        tested = gas_of(point.gas, None, f"flow point {number}")
        mass_flow = point.flow.amount(tested.molar_mass) * tested.molar_mass
        return curves.FlowPoint(self.absolute(point.inlet), point.drop.si, mass_flow, stream_of(tested, TEST_TEMPERATURE))

    def _march(self, part: "Part", flow: float) -> tuple[float | None, float | None, str]:
        """Inlet and outlet [Pa] and the state."""
        if self.outlet is not None:
            end: float | None = self.absolute(self.outlet)
            assert end is not None
            return part.upstream(end, flow), end, "choked" if part.chokes(end, flow) else "ok"
        assert self.inlet is not None
        start = self.absolute(self.inlet)
        if start <= self.cracking.si:
            return start, None, "blocked"
        end = part.downstream(start, flow)
        if end is None:
            return start, None, "choked"
        return start, end, "below atmosphere" if end < self.atmosphere.si else "ok"
