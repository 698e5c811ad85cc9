"""Pressure lost in a hose."""

from typing import TYPE_CHECKING, ClassVar

from steadycone.errors import BadUnit
from steadycone.units import GasFlow, Length, Number, Pressure, Roughness, Temperature
from steadycone.worksheets.declare import (
    GAS,
    Answer,
    AtPressure,
    Composition,
    WithVolumes,
    ask,
    banded,
    gas_of,
    refuse_liquid,
    shown,
    worksheet,
)

if TYPE_CHECKING:
    from steadycone.physics.flow.hose import Hose as Pipe
    from steadycone.physics.flow.stream import Stream


@worksheet
class Hose(AtPressure, WithVolumes):
    """Pressure at the other end of a hose at a steady flow. A choked hose is a state, never a number."""

    gas: str = ask(GAS, "what flows")
    bore: Length = ask(Length, "inside diameter")
    length: Length = ask(Length, "from end to end")
    flow: GasFlow | None = ask(GasFlow, "of the gas itself", optional=True)
    mass_flow: GasFlow | None = ask(GasFlow, "the same by mass, kg/h", optional=True)
    inlet: Pressure | None = ask(Pressure, "at the supply end", optional=True)
    outlet: Pressure | None = ask(Pressure, "at the torch end", optional=True)
    temperature: Temperature = ask(Temperature, "of the gas", "20 °C")
    roughness: Roughness | None = ask(Roughness, "of the lining; left out: with its band, as of a station's hose", optional=True)
    fittings: Number | None = ask(
        Number, "K of both tails on the hose's bore; left out: with its band, as of a station's hose", optional=True
    )
    composition: dict[str, float] | None = ask(Composition, "of lpg or natural gas, by amount", optional=True)
    either: ClassVar = ((("flow",), ("mass_flow",)), (("inlet",), ("outlet",)))
    example: ClassVar = 'gas=oxygen bore="6.3 mm" length="15 m" flow="8 m3/h" inlet="4 bar"'

    def answer(self) -> Answer:
        from steadycone.assembly.corner import lining
        from steadycone.physics.flow.stream import stream_of

        gas = gas_of(self.gas, self.composition)
        flow = self._mass_flow(gas.molar_mass)
        stream = stream_of(gas, self.temperature.si)
        rough, tails = (_ends(given, usual) for given, usual in zip((self.roughness, self.fittings), lining(), strict=True))
        easy, usual, hard = (self._pipe(stream, rough[i], tails[i]) for i in range(3))
        found = self._march(usual, flow)
        highest = _number(found["inlet_bar_gauge"]) or 0.0
        refuse_liquid(gas, highest * 1e5 + self.atmosphere.si, self.temperature.si, "inlet" if self.inlet else "outlet")
        if self.roughness is None or self.fittings is None:
            found |= self._band(found, easy, hard, flow)
        found["reynolds"] = usual.reynolds(flow)
        if flow > 0.0:
            found["friction_factor"] = usual.friction_factor(flow)
        return found

    def _mass_flow(self, molar_mass: float) -> float:
        given = self.flow or self.mass_flow
        assert given is not None
        if self.mass_flow and not self.mass_flow.by_mass:
            raise BadUnit(f'"{given.text}" is not a mass flow', where="mass_flow", try_='Write for example "5 kg/h", or use flow.')
        return given.amount(molar_mass) * molar_mass

    def _pipe(self, stream: "Stream", roughness: float, fittings: float) -> "Pipe":
        from steadycone.physics.flow.hose import Hose as Pipe

        return Pipe(stream, self.bore.si, self.length.si, roughness, fittings)

    def _march(self, pipe: "Pipe", flow: float) -> Answer:
        """Both ends, the loss and the state."""
        state = "ok"
        end: float | None
        if self.outlet is not None:
            end = self.absolute(self.outlet)
            start = pipe.upstream(end, flow)
            state = "choked" if pipe.chokes(end, flow) else state
        else:
            assert self.inlet is not None
            start = self.absolute(self.inlet)
            end = pipe.downstream(start, flow)
            state = "choked" if end is None else state
        if end is not None and end < self.atmosphere.si and state == "ok":
            state = "below atmosphere"
        return {
            "inlet_bar_gauge": self.bar_gauge(start),
            "outlet_bar_gauge": self.bar_gauge(end),
            "loss_bar": None if end is None else shown("pressure difference", start - end),
            "state": state,
        }

    def _band(self, middle: Answer, easy: "Pipe", hard: "Pipe", flow: float) -> Answer:
        best, worst = self._march(easy, flow), self._march(hard, flow)
        far = "inlet_bar_gauge" if self.outlet else "outlet_bar_gauge"
        ends = (best, worst) if self.outlet else (worst, best)
        found = banded(far, *(_number(side[far]) for side in (middle, *ends)))
        found |= banded("loss_bar", *(_number(side["loss_bar"]) for side in (middle, best, worst)))
        if worst["state"] != middle["state"]:
            found["state_at_worst"] = worst["state"]
        return found


def _ends(given: Roughness | Number | None, default: tuple[float, float, float]) -> tuple[float, float, float]:
    return default if given is None else (given.si, given.si, given.si)


def _number(value: float | str | None) -> float | None:
    return value if isinstance(value, float) else None
