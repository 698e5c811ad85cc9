"""An arrestor's measured flow against its maker's curve."""

from typing import TYPE_CHECKING, ClassVar

from steadycone.practice.bench import Ends
from steadycone.units import GasFlow, Pressure, PressureDifference, Share, Temperature
from steadycone.worksheets.declare import GAS, Answer, AtPressure, WithVolumes, ask, banded, gas_of, shown, worksheet
from steadycone.worksheets.kinds import FlowPoints, Point

if TYPE_CHECKING:
    from steadycone.physics.flow.resistance import FlowPoint
    from steadycone.physics.gas import Gas

CURVE_TEMPERATURE = 293.15  # K of a curve's gas, as in worksheets/resistance


@worksheet
class Arrestor(AtPressure, WithVolumes):
    """Flow of a test gas through an arrestor or check valve, as a share of its maker's curve in whatever gas that is.

    The share's band holds the meter's error, the last digits of flow and drop, 2 % where the curve is in another gas,
    and what its points leave open. The verdict is
    at its low end: stop where the part may pass less than its curve less twice largest_loss, caution less once; caution too where it
    passes clearly more than its curve. `curve_flow` is what the curve asks of the test gas; the service flows are at the same pressures.
    """

    flow_points: tuple[Point, ...] = ask(FlowPoints, "inlet/drop/flow/gas of the maker's curve")
    test_gas: str = ask(GAS, "at the bench", "air")
    service_gas: str | None = ask(GAS, "in service; left out: the curve's first", optional=True)
    flow: GasFlow = ask(GasFlow, "measured, of the test gas")
    inlet: Pressure = ask(Pressure, "measured, before the part")
    drop: PressureDifference = ask(PressureDifference, "measured, across the part")
    readability: PressureDifference | None = ask(
        PressureDifference, "smallest change of drop one can read; left out: its last digit", optional=True
    )
    meter_error: Share | None = ask(Share, "of the flow meter, of its reading; left out: 5 %", optional=True)
    largest_loss: Share = ask(Share, "of the curve's flow that a used part may have lost", "10 %")
    cracking: PressureDifference = ask(PressureDifference, "pressure that a check valve holds shut against", "0 bar")
    temperature: Temperature = ask(Temperature, "at the bench", "20 °C")
    example: ClassVar = 'flow_points="1 bar/0.10 bar/6 m3/h/acetylene" test_gas=air flow="5.6 m3/h" inlet="1 bar" drop="0.100 bar"'

    def answer(self) -> Answer:
        from steadycone.practice import bench_curve as rule

        test = gas_of(self.test_gas, None, "test_gas")
        service = gas_of(self.service_gas or self.flow_points[0].gas, None, "service_gas")
        points = [self._point(point, number) for number, point in enumerate(self.flow_points, start=1)]
        asked, in_service = self._asked(points, test), self._asked(points, service)
        share = self._share(test, asked)
        verdict, says = rule.judge_share(share, self.largest_loss.si, rule.is_far(points, self.absolute(self.inlet), self.drop.si))
        found = banded("share_of_curve", *share)
        found |= banded("curve_flow_m3_per_h", *(shown("flow", x / test.molar_mass) for x in asked))
        found |= banded("curve_service_flow_m3_per_h", *(shown("flow", x / service.molar_mass) for x in in_service))
        found |= banded("service_flow_m3_per_h", *(shown("flow", x * in_service.value / service.molar_mass) for x in share))
        source = f"{1.0 - self.largest_loss.si:.0%} of the curve, stop under {max(0.0, 1.0 - 2.0 * self.largest_loss.si):.0%}; judged by us"
        return found | {"limit_share": 1.0 - self.largest_loss.si, "verdict": verdict, "limit_source": source, "says": says}

    def _asked(self, points: "list[FlowPoint]", gas: "Gas") -> Ends:
        """What the curve asks of a gas at the measured pressures [kg/s]."""
        from steadycone.physics.flow.stream import stream_of
        from steadycone.practice.bench_curve import curve_flow

        half = self.readability.si / 2.0 if self.readability else self.drop.half_digit
        drop = Ends(self.drop.si, self.drop.si - half, self.drop.si + half)
        return curve_flow(points, stream_of(gas, self.temperature.si), self.absolute(self.inlet), drop, self.cracking.si)

    def _share(self, test: "Gas", asked: Ends) -> Ends:
        from steadycone.practice.bench import meter_error
        from steadycone.practice.bench_curve import conversion_doubt

        flow = self.flow.amount(test.molar_mass) * test.molar_mass
        off = (
            flow * (meter_error() if self.meter_error is None else self.meter_error.si) + self.flow.half(test.molar_mass) * test.molar_mass
        )
        other = conversion_doubt(any(point.gas != test.name for point in self.flow_points))
        low, high = max(flow - off, 0.0) / asked.high * (1.0 - other), (flow + off) / asked.low * (1.0 + other)
        return Ends(flow / asked.value, low, high)

    def _point(self, point: Point, number: int) -> "FlowPoint":
        from steadycone.physics.flow.resistance import FlowPoint
        from steadycone.physics.flow.stream import stream_of

        tested = gas_of(point.gas, None, f"flow point {number}")
        mass_flow = point.flow.amount(tested.molar_mass) * tested.molar_mass
        return FlowPoint(self.absolute(point.inlet), point.drop.si, mass_flow, stream_of(tested, CURVE_TEMPERATURE))
