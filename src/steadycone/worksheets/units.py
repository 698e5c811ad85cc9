"""A value in another unit."""

from typing import ClassVar

from steadycone.errors import BadUnit, InputError, SteadyconeError
from steadycone.units import (
    MEASURES,
    US_70F,
    GasAmount,
    GasFlow,
    Mass,
    Measure,
    Number,
    Pressure,
    ReferenceState,
    Temperature,
    Volume,
    split,
)  # fmt: skip
from steadycone.worksheets.declare import GAS, TEXT, Answer, AtPressure, Composition, WithVolumes, ask, gas_of, worksheet

_KINDS: tuple[type[Measure], ...] = tuple(dict.fromkeys((*MEASURES, Mass, GasAmount)))


@worksheet
class Units(AtPressure, WithVolumes):
    """Any value the station file knows, in another unit: gauge and absolute, gas flows at other reference states, flow by mass with the gas named.

    m3/h is at 0 °C and 1.01325 bar, CFH at 70 °F and 14.696 psi. reference_state is the value's, to_reference_state the answer's. Volumes
    are geometric; where gas at those states would come out otherwise, the answer says both.
    """

    value: str = ask(TEXT, "number and unit")
    to: str = ask(TEXT, "the other unit")
    to_reference_state: ReferenceState | None = ask(
        WithVolumes.__dataclass_fields__["reference_state"].metadata["ask"].kind, "state of the answer's gas volume", optional=True
    )
    gas: str | None = ask(GAS, "for kg/h to m3/h and the like", optional=True)
    composition: dict[str, float] | None = ask(Composition, "of lpg or natural gas, by amount", optional=True)
    example: ClassVar = 'value="106 CFH" to="m3/h"'

    def answer(self) -> Answer:
        kind = self._kind()
        found: Answer = {"value": self._as(kind), "unit": self.to}
        if kind is Volume:
            found |= self._as_gas(found["value"])
        if kind in (GasFlow, GasAmount):
            found["reference_state"] = self.to_reference_state.text if self.to_reference_state else _usual(self.to)
        return found

    def _kind(self) -> type[Measure]:
        """The kind that knows both units; a stated reference state makes a volume gas."""
        unit = split(self.value)[1]
        kinds = [k for k in _KINDS if k is not Volume] if self.reference_state or self.to_reference_state or self.gas else list(_KINDS)
        reads = [k for k in kinds if _reads(k, f"1 {unit}")]
        if not reads:
            raise BadUnit(f'"{unit}" is not a unit known here', where="value", try_='Write for example "3.5 bar", "106 CFH" or "68 °F".')
        both = [k for k in reads if _reads(k, f"1 {self.to}")]
        if not both:
            raise BadUnit(
                f'{reads[0].kind} "{self.value}" has no "{self.to}"',
                where="to",
                try_=f"Units of {reads[0].kind}: {', '.join(list(reads[0].units)[:9])}.",
            )
        return both[0]

    def _as(self, kind: type[Measure]) -> float:
        value = self._read(kind, self.value, "value", self.reference_state)
        if isinstance(value, Pressure):
            other = Pressure.parse(f"1 {self.to}")
            return (value.abs(self.atmosphere.si) if other.absolute else value.gauge(self.atmosphere.si)) / other.si
        if isinstance(value, Temperature):
            cold, hot = (Temperature.parse(f"{number} {self.to}").si for number in (1000, 2000))
            return 1000.0 + 1000.0 * (value.si - cold) / (hot - cold)
        if isinstance(value, GasAmount | GasFlow):
            other_gas = kind.parse(f"1 {self.to}", self.to_reference_state)
            assert isinstance(other_gas, GasAmount | GasFlow)
            if value.by_mass == other_gas.by_mass:
                return value.si / other_gas.si
            molar_mass = self._molar_mass()
            return value.amount(molar_mass) / other_gas.amount(molar_mass)
        return value.si / kind.size_of(" ".join(self.to.replace("³", "3").replace("²", "2").split()), self.to)

    def _read(self, kind: type[Measure], text: str, where: str, state: ReferenceState | None) -> Measure:
        try:
            return kind.parse(text, state)
        except SteadyconeError as error:
            raise error.at(where) from None

    def _molar_mass(self) -> float:
        if self.gas is None:
            raise InputError("mass to volume needs the gas", where="gas", try_="Add gas=acetylene.")
        return gas_of(self.gas, self.composition).molar_mass

    def _as_gas(self, geometric: float | str | None) -> Answer:
        """The same as gas between the states usual for both units, where that differs."""
        if not (_reads(GasAmount, self.value) and _reads(GasAmount, f"1 {self.to}")):
            return {}
        gas = GasAmount.parse(self.value).si / GasAmount.parse(f"1 {self.to}").si
        if isinstance(geometric, float) and abs(gas - geometric) > 1e-9 * abs(geometric):
            return {"as_gas": gas, "as_gas_reference_state": _usual(self.to)}
        return {}


def _usual(unit: str) -> str:
    """The state that a gas unit refers to by itself, in words."""
    american = any(word in unit for word in ("ft", "CF", "cf", "cu"))
    return US_70F.text if american else "0 °C, 1.01325 bar"


def _reads(kind: type[Measure], text: str) -> bool:
    try:
        kind.parse(text)
    except BadUnit:
        return False
    except InputError:
        return True  # the unit is known; the number one is out of the kind's range
    return kind is not Number
