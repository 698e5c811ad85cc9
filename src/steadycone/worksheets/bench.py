"""Readings at the technician's bench turned into the service gas, and leaks held against their limit."""

import math
from typing import TYPE_CHECKING, ClassVar

from steadycone.errors import InputError, OutOfRange
from steadycone.kinds import Choice
from steadycone.practice.bench import Ends, parts
from steadycone.units import GAS_CONSTANT, GasFlow, Length, Pressure, PressureDifference, Share, Temperature, Volume
from steadycone.worksheets.declare import GAS, Answer, AtPressure, WithVolumes, ask, banded, gas_of, shown, worksheet
from steadycone.worksheets.kinds import Creep, Minutes, PerMinute

if TYPE_CHECKING:
    from steadycone.physics.gas import Gas

NEEDED = {"flow": ("flow",), "float": ("flow",), "meter": ("flow",), "bubbles": ("bubbles",), "creep": ("creep", "volume")}
ALSO = {
    "flow": {"inlet", "drop"},
    "float": {"inlet", "meter_error", "part", "limit"},
    "meter": {"meter_error", "part", "limit"},
    "bubbles": {"bubble_volume", "tube", "minutes", "part", "limit"},
    "creep": {"minutes", "readability", "start", "cap", "service_volume", "part", "limit"},
}
_OWN = ("bubbles", "creep", "flow", "volume", *sorted(set().union(*ALSO.values())))


@worksheet
class Bench(AtPressure, WithVolumes):
    """One reading with the test gas, as it would be with the service gas; a leak also against the limit of its part.

    flow: flow of test gas through a part at inlet and drop; the service gas's at the same. float: a float meter whose scale was made for
    test_gas at atmospheric pressure and 20 °C, with service gas in it at the inlet pressure; with part or limit what it shows is a leak.
    meter: a leak of test_gas on a meter made for it. bubbles: bubbles a minute from a tube under water. creep: pressure rise in a closed volume, in one minute unless it says otherwise, and
    with start the minutes until the cap. Leaks are bands: what kind of gap it is, the last digit, one bubble and the gas's temperature are
    not known. The verdict is at the high end; a part not named or without a known limit is never go.
    """

    mode: str = ask(Choice("flow", "float", "meter", "bubbles", "creep"), "what was read")
    test_gas: str = ask(GAS, "at the bench", "air")
    service_gas: str | None = ask(GAS, "in service; left out: the test gas", optional=True)
    flow: GasFlow | None = ask(GasFlow, "as read, of the test gas (float: as on the scale)", optional=True)
    inlet: Pressure | None = ask(Pressure, "before the part; float: in the meter", optional=True)
    drop: PressureDifference | None = ask(PressureDifference, "across the part", optional=True)
    meter_error: Share | None = ask(Share, "of the meter, of its reading; left out: 5 %", optional=True)
    bubbles: PerMinute | None = ask(PerMinute, "a minute", optional=True)
    bubble_volume: Volume | None = ask(Volume, "of one bubble; left out: by tube", optional=True)
    tube: Length | None = ask(
        Length, "outside diameter of the tube under water; left out: 0.15 mL a bubble, band 0.09 to 0.20", optional=True
    )
    creep: Creep | None = ask(Creep, "pressure rise", optional=True)
    volume: Volume | None = ask(Volume, "closed volume that creeps", optional=True)
    minutes: Minutes | None = ask(Minutes, "that the creep took; bubbles: that were watched, 1 if left out", optional=True)
    readability: PressureDifference | None = ask(
        PressureDifference, "smallest change one can read; left out: the last digit of creep", optional=True
    )
    start: Pressure | None = ask(Pressure, "creep: in the volume at the beginning", optional=True)
    cap: Pressure | None = ask(
        Pressure, "creep: never above, in service; left out: the strictest region's for acetylene, 15 psi", optional=True
    )
    service_volume: Volume | None = ask(Volume, "creep: of the line in service; left out: volume", optional=True)
    part: str | None = ask(Choice(*parts()), "what leaks, for its limit; creep: regulator seat if left out", optional=True)
    limit: GasFlow | None = ask(GasFlow, "most that may leak, by the maker's sheet", optional=True)
    temperature: Temperature = ask(Temperature, "at the bench", "20 °C")
    example: ClassVar = 'mode=flow test_gas=air service_gas=acetylene flow="16 m3/h" inlet="1 bar" drop="0.1 bar"'

    def answer(self) -> Answer:
        self._check_fields()
        test = gas_of(self.test_gas, None, "test_gas")
        service = gas_of(self.service_gas, None, "service_gas") if self.service_gas else test
        if self.mode == "flow":
            return {"flow_m3_per_h": shown("flow", self._through_part(test, service))}
        if self.mode == "float":
            return self._float(test, service)
        if self.mode == "meter":
            return self._metered(test, service)
        if self.mode == "bubbles":
            return self._bubbled(test, service)
        return self._crept(test, service)

    def _check_fields(self) -> None:
        missing = [name for name in NEEDED[self.mode] if getattr(self, name) is None]
        extra = [name for name in _OWN if getattr(self, name) is not None and name not in ALSO[self.mode] | set(NEEDED[self.mode])]
        if extra:
            raise InputError(f"mode {self.mode} takes no {' or '.join(extra)}", where=extra[0], try_="Leave it out, or take another mode.")
        if missing:
            raise InputError(f"mode {self.mode} needs {' and '.join(missing)}", where=missing[0], try_="Add it.")
        if (self.mode == "flow") and (self.inlet is None) != (self.drop is None):
            raise InputError("inlet and drop go together", where="inlet" if self.inlet is None else "drop", try_="Give both, or neither.")
        if self.bubble_volume is not None and self.tube is not None:
            raise InputError("give bubble_volume or tube, not both", where="tube", try_="Leave out tube.")
        if self.cap is not None and self.start is None:
            raise InputError("the time until the cap needs start", where="start", try_='Add start="0.5 bar".')

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

    def _float(self, test: "Gas", service: "Gas") -> Answer:
        """The float hangs where density times speed squared balances it, so molar flow goes with sqrt(p / (M T))."""
        from steadycone.practice.bench import meter_error

        assert self.flow is not None
        pressure = self.atmosphere.si if self.inlet is None else self.absolute(self.inlet)
        if not pressure > 0.0:
            raise OutOfRange("the meter is at no pressure", where="inlet")
        state = pressure / 101325.0 * 293.15 / self.temperature.si
        scale = math.sqrt(test.molar_mass / service.molar_mass * state)
        flow = self._read(test) * scale
        found: Answer = {"flow_m3_per_h": shown("flow", flow)}
        if self.part is None and self.limit is None:
            return found
        doubt = flow * (meter_error() if self.meter_error is None else self.meter_error.si) + self.flow.half(test.molar_mass) * scale
        floor = self.flow.half(test.molar_mass) * scale * 2.0  # the gas in the meter is the one that leaks: no conversion is left
        return found | self._leak(Ends(flow, max(flow - doubt, 0.0), flow + doubt), floor, service, service)

    def _metered(self, test: "Gas", service: "Gas") -> Answer:
        """A leak of the test gas, straight from its meter."""
        from steadycone.practice.bench import meter_error

        assert self.flow is not None
        flow, half = self._read(test), self.flow.half(test.molar_mass)
        doubt = flow * (meter_error() if self.meter_error is None else self.meter_error.si) + half
        return self._leak(Ends(flow, max(flow - doubt, 0.0), flow + doubt), 2.0 * half, test, service)

    def _bubbled(self, test: "Gas", service: "Gas") -> Answer:
        from steadycone.practice.bench import counted, one_bubble

        assert self.bubbles is not None
        time = self.minutes.si if self.minutes else 60.0
        if not time > 0.0:
            raise OutOfRange("the time watched must be above 0", where="minutes")
        volume = one_bubble(self.bubble_volume, self.tube.si if self.tube else None)
        density = self.atmosphere.si / (GAS_CONSTANT * self.temperature.si)
        leak = Ends(*(each * density for each in counted(self.bubbles.si, time, volume)))
        return self._leak(leak, volume.high / time * density, test, service)

    def _crept(self, test: "Gas", service: "Gas") -> Answer:
        from steadycone.assembly.needle import temperature_doubt
        from steadycone.practice.bench import said

        assert self.creep is not None
        assert self.volume is not None
        time = self._creep_time()
        each = self.volume.si / (GAS_CONSTANT * self.temperature.si * time)  # mol/s for every pascal
        step = self.readability.si if self.readability else 2.0 * self.creep.half_digit
        start = None if self.start is None else self.absolute(self.start)
        cooling = 0.0 if start is None else start * temperature_doubt(None, time) / self.temperature.si
        rise, doubt = self.creep.si, step + cooling
        leak = Ends(rise * each, max(rise - doubt, 0.0) * each, (rise + doubt) * each)
        found = self._leak(leak, doubt * each, test, service)
        if start is not None:
            return found | self._until_cap(found, start, self._in_service(leak, test, service), service)
        if found["verdict"] == "go":
            found |= {"verdict": "caution", "says": said("creep-no-start")}
        return found

    def _creep_time(self) -> float:
        assert self.creep is not None
        if self.creep.per and self.minutes:
            raise InputError(f'"{self.creep.text}" has its time already', where="minutes", try_="Leave minutes out.")
        time = self.minutes.si if self.minutes else self.creep.per or 60.0
        if not time > 0.0:
            raise OutOfRange("the creep's time must be above 0", where="minutes")
        return time

    def _cap(self, service: "Gas") -> float | None:
        """The pressure [Pa abs] that the service gas never passes in a hose: as given, acetylene's strictest, else only the gear says."""
        from steadycone.assembly.ceiling import strictest_cap

        if self.cap is not None:
            return self.absolute(self.cap)
        air = self.atmosphere.si
        return strictest_cap(air) + air if service.name == "acetylene" else None

    def _until_cap(self, found: Answer, start: float, leak: Ends, service: "Gas") -> Answer:
        """Minutes until the cap with the torch shut: the low end is the largest leak's; no end where the leak may be none."""
        from steadycone.practice.bench import said

        cap = self._cap(service)
        volume = self.service_volume or self.volume
        if cap is None or volume is None:
            return {}
        room = (cap - start) * volume.si / (GAS_CONSTANT * self.temperature.si)
        if room <= 0.0:
            told = {"verdict": "stop", "says": said("creep-over-cap")}
            return {"minutes_to_cap": 0.0, "minutes_to_cap_low": 0.0, "minutes_to_cap_high": 0.0, **told}
        value, low, high = (room / each / 60.0 if each > 0.0 else None for each in (leak.value, leak.high, leak.low))
        says = f"{found['says']} {said('creep-cap')}" if leak.value > 0.0 else found["says"]
        return {"minutes_to_cap": value, "minutes_to_cap_low": low, "minutes_to_cap_high": high, "says": says}

    def _leak(self, leak: Ends, floor: float, test: "Gas", service: "Gas") -> Answer:
        """A leak of the test gas [mol/s], and the least that would have been seen, told and judged as the service gas's."""
        from steadycone.practice.bench import judge_leak, leak_limit

        there = self._in_service(leak, test, service)
        part = self.part or ("regulator seat" if self.mode == "creep" and self.limit is None else None)
        limit = leak_limit(part, self.limit, test.molar_mass)
        judged = judge_leak(limit, leak.high, there.high, seen=leak.value > 0.0)
        found = banded("leak_l_per_h", *(shown("leak", x) for x in there))
        found |= banded("leak_cm3_per_h", *(1e3 * shown("leak", x) for x in there))
        found["leak_floor_l_per_h"] = shown("leak", floor * max(self._gaps(test, service)))
        found["limit_cm3_per_h"] = None if limit.amount is None else 1e3 * shown("leak", limit.amount)
        return found | {"verdict": judged.verdict, "limit_source": limit.told, "says": judged.says}

    def _in_service(self, leak: Ends, test: "Gas", service: "Gas") -> Ends:
        """The same leak of the service gas; the value is a pinhole's."""
        pinhole, crack = self._gaps(test, service)
        return Ends(leak.value * pinhole, leak.low * min(pinhole, crack), leak.high * max(pinhole, crack))

    def _gaps(self, test: "Gas", service: "Gas") -> tuple[float, float]:
        """How much more of the service gas passes a pinhole (by 1/sqrt(molar mass)), and a fine crack (by 1/viscosity)."""
        if test is service:
            return 1.0, 1.0
        from steadycone.physics.gas import viscosity

        crack = viscosity(test, self.temperature.si) / viscosity(service, self.temperature.si)
        return math.sqrt(test.molar_mass / service.molar_mass), crack
