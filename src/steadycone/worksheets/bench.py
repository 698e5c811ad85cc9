"""Readings at the technician's bench turned into the service gas."""

import math
from typing import TYPE_CHECKING, ClassVar

from steadycone.errors import InputError, OutOfRange
from steadycone.units import GAS_CONSTANT, GasFlow, Pressure, PressureDifference, Temperature, Volume
from steadycone.worksheets.declare import GAS, Answer, AtPressure, Choice, WithVolumes, ask, banded, gas_of, shown, worksheet
from steadycone.worksheets.kinds import Creep, Minutes, PerMinute

if TYPE_CHECKING:
    from steadycone.physics.gas import Gas

NEEDED = {"flow": ("flow",), "float": ("flow",), "bubbles": ("bubbles", "bubble_volume"), "creep": ("creep", "volume")}
ALSO = {"flow": {"inlet", "drop"}, "float": {"inlet"}, "bubbles": set(), "creep": {"minutes"}}


@worksheet
class Bench(AtPressure, WithVolumes):
    """One reading with the test gas, as it would be with the service gas.

    flow: flow of test gas through a part at inlet and drop; the service gas's at the same. float: a float meter whose scale was made for
    test_gas at atmospheric pressure and 20 °C, with service gas in it at the inlet pressure. bubbles: bubbles a minute of a size.
    creep: pressure rise in a closed volume, in one minute unless it says otherwise. Leaks are bands: what kind of gap it is is not known.
    """

    mode: str = ask(Choice("flow", "float", "bubbles", "creep"), "what was read")
    test_gas: str = ask(GAS, "at the bench", "air")
    service_gas: str | None = ask(GAS, "in service; left out: the test gas", optional=True)
    flow: GasFlow | None = ask(GasFlow, "as read, of the test gas (float: as on the scale)", optional=True)
    inlet: Pressure | None = ask(Pressure, "before the part; float: in the meter", optional=True)
    drop: PressureDifference | None = ask(PressureDifference, "across the part", optional=True)
    bubbles: PerMinute | None = ask(PerMinute, "a minute", optional=True)
    bubble_volume: Volume | None = ask(Volume, "of one bubble", optional=True)
    creep: Creep | None = ask(Creep, "pressure rise", optional=True)
    volume: Volume | None = ask(Volume, "closed volume that creeps", optional=True)
    minutes: Minutes | None = ask(Minutes, "that the creep took", optional=True)
    temperature: Temperature = ask(Temperature, "at the bench", "20 °C")
    example: ClassVar = 'mode=flow test_gas=air service_gas=acetylene flow="16 m3/h" inlet="1 bar" drop="0.1 bar"'

    def answer(self) -> Answer:
        self._check_fields()
        test = gas_of(self.test_gas, None, "test_gas")
        service = gas_of(self.service_gas, None, "service_gas") if self.service_gas else test
        if self.mode == "flow":
            return {"flow_m3_per_h": shown("flow", self._through_part(test, service))}
        if self.mode == "float":
            return {"flow_m3_per_h": shown("flow", self._float(test, service))}
        return self._leak(self._bubbled() if self.mode == "bubbles" else self._crept(), test, service)

    def _check_fields(self) -> None:
        own = ("flow", "inlet", "drop", "bubbles", "bubble_volume", "creep", "volume", "minutes")
        missing = [name for name in NEEDED[self.mode] if getattr(self, name) is None]
        extra = [name for name in own if getattr(self, name) is not None and name not in ALSO[self.mode] | set(NEEDED[self.mode])]
        if extra:
            raise InputError(f"mode {self.mode} takes no {' or '.join(extra)}", where=extra[0], try_="Leave it out, or take another mode.")
        if missing:
            raise InputError(f"mode {self.mode} needs {' and '.join(missing)}", where=missing[0], try_="Add it.")
        if (self.mode == "flow") and (self.inlet is None) != (self.drop is None):
            raise InputError("inlet and drop go together", where="inlet" if self.inlet is None else "drop", try_="Give both, or neither.")

    def _read(self, gas: "Gas") -> float:
        assert self.flow is not None
        return self.flow.amount(gas.molar_mass)

    def _through_part(self, test: "Gas", service: "Gas") -> float:
        """mol/s of service gas at the same pressures; without pressures, as for a small drop."""
        from steadycone.physics.flow.resistance import FlowPoint, Resistance, fit
        from steadycone.physics.flow.stream import stream_of

        flow = self._read(test)
        if self.inlet is None or self.drop is None or flow == 0.0:
            return flow * math.sqrt(test.molar_mass / service.molar_mass)
        inlet = self.absolute(self.inlet)
        part = fit([FlowPoint(inlet, self.drop.si, flow * test.molar_mass, stream_of(test, self.temperature.si))])
        through = Resistance(stream_of(service, self.temperature.si), part.conductance, part.critical_ratio)
        return through.mass_flow(inlet, inlet - self.drop.si) / service.molar_mass

    def _float(self, test: "Gas", service: "Gas") -> float:
        """mol/s: the float hangs where density times speed squared balances it, so molar flow goes with sqrt(p / (M T))."""
        pressure = self.atmosphere.si if self.inlet is None else self.absolute(self.inlet)
        if not pressure > 0.0:
            raise OutOfRange("the meter is at no pressure", where="inlet")
        state = pressure / 101325.0 * 293.15 / self.temperature.si
        return self._read(test) * math.sqrt(test.molar_mass / service.molar_mass * state)

    def _bubbled(self) -> float:
        assert self.bubbles is not None
        assert self.bubble_volume is not None
        return self.bubbles.si * self.bubble_volume.si * self.atmosphere.si / (GAS_CONSTANT * self.temperature.si)

    def _crept(self) -> float:
        assert self.creep is not None
        assert self.volume is not None
        if self.creep.per and self.minutes:
            raise InputError(f'"{self.creep.text}" has its time already', where="minutes", try_="Leave minutes out.")
        time = self.minutes.si if self.minutes else self.creep.per or 60.0
        if not time > 0.0:
            raise OutOfRange("the creep's time must be above 0", where="minutes")
        return self.creep.si * self.volume.si / (GAS_CONSTANT * self.temperature.si * time)

    def _leak(self, leak: float, test: "Gas", service: "Gas") -> Answer:
        """A pinhole passes gas by 1/sqrt(molar mass), a fine crack by 1/viscosity; the value is the pinhole's."""
        if test is service:
            return {"leak_l_per_h": shown("leak", leak)}
        from steadycone.physics.gas import viscosity

        pinhole = leak * math.sqrt(test.molar_mass / service.molar_mass)
        crack = leak * viscosity(test, self.temperature.si) / viscosity(service, self.temperature.si)
        return banded("leak_l_per_h", *(shown("leak", x) for x in (pinhole, pinhole, crack)))
