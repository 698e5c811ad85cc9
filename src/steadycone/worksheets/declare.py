"""How a worksheet states what it takes: each field its kind, its help and its default; command line, form and docs read them."""

from collections.abc import Mapping
from dataclasses import MISSING, Field, dataclass, field, fields
from typing import TYPE_CHECKING, Any, ClassVar, TypeVar, dataclass_transform

from steadycone.errors import BadUnit, OutOfRange, UnknownName
from steadycone.kinds import Kind
from steadycone.quantity import KINDS
from steadycone.units import Pressure, ReferenceState, Share

if TYPE_CHECKING:
    from steadycone.physics.gas import Gas

Answer = dict[str, float | str | None]


@dataclass(frozen=True, slots=True)
class Ask:
    """What one field wants. `default` is as a person would write it; None with `optional` False means needed."""

    kind: Kind
    help: str
    default: str | None = None
    optional: bool = False


class _Words:
    kind, example = "text", "oxygen"

    def parse(self, given: object, reference: ReferenceState | None = None, /) -> str:
        if not isinstance(given, str) or not given.strip() or len(given) > 200:
            raise BadUnit(f"{str(given)[:60]!r} is not a text", try_=f'Write for example "{self.example}".')
        return " ".join(given.split())


class _GasName(_Words):
    kind, example = "gas", "oxygen"

    def parse(self, given: object, reference: ReferenceState | None = None, /) -> str:
        return super().parse(given).lower()


class _State:
    kind, example = "reference state", "15 °C, 1.01325 bar"

    def parse(self, given: object, reference: ReferenceState | None = None, /) -> ReferenceState:
        return ReferenceState.parse(given)


TEXT, GAS = _Words(), _GasName()


class Composition:
    """Parts of a mixture by amount: "propane 60 %, butane 40 %", or in JSON {"propane": "60 %", "butane": "40 %"}."""

    kind, example = "composition", "propane 60 %, butane 40 %"

    @classmethod
    def parse(cls, given: object, reference: ReferenceState | None = None, /) -> dict[str, float]:
        if isinstance(given, str) and len(given) <= 500:
            pieces = [piece.strip() for piece in given.split(",")]
            cut = [next((i for i, c in enumerate(piece) if c.isdigit()), 0) for piece in pieces]
            pairs: list[tuple[str, object]] = [(piece[:i].strip(" =:"), piece[i:]) for piece, i in zip(pieces, cut, strict=True)]
        elif isinstance(given, Mapping) and len(given) <= 20:
            pairs = [(str(name), value) for name, value in given.items()]
        else:
            raise BadUnit(f"{str(given)[:60]!r} is not a composition", try_=f'Write for example "{cls.example}".')
        found = {name.lower(): Share.parse(value).si for name, value in pairs}
        if "" in found or len(found) != len(pairs):
            raise BadUnit(f"{str(given)[:60]!r}: each part needs a name of its own", try_=f'Write for example "{cls.example}".')
        return found


class Atmosphere(Pressure):
    """The air around: absolute by its nature, whether or not it says so."""

    kind, example = "atmosphere", "1.013 bar abs"
    least, most = 3e4, 6e5

    def _check(self) -> None:
        if not self.least <= self.si <= self.most:
            raise OutOfRange(f'atmosphere "{self.text}" must be from 0.3 to 6 bar absolute', try_=f'Write for example "{self.example}".')


def ask(kind: Any, help: str, default: str | None = None, *, optional: bool = False) -> Any:
    """A field of a worksheet. With a default or optional it may be left out."""
    meta = {"ask": Ask(kind, help, default, optional or default is not None)}
    if default is not None:
        return field(default=kind.parse(default), metadata=meta)
    return field(default=None, metadata=meta) if optional else field(metadata=meta)


Alternatives = tuple[tuple[str, ...], ...]
_Class = TypeVar("_Class")


@dataclass_transform(frozen_default=True, kw_only_default=True, field_specifiers=(ask,))
def worksheet(kind: type[_Class]) -> type[_Class]:
    """A frozen dataclass whose fields are named when it is made."""
    return dataclass(frozen=True, kw_only=True)(kind)


@worksheet
class Worksheet:
    """One sum. `either`: of each group exactly one set of fields is given. `example`: a line that works."""

    either: ClassVar[tuple[Alternatives, ...]] = ()
    example: ClassVar[str] = ""

    def answer(self) -> Answer:
        """Numbers and words under fixed keys, the unit in the key. Raises an InputError where the sum has no answer."""
        raise NotImplementedError


@worksheet
class AtPressure(Worksheet):
    """A worksheet with gauge pressures."""

    atmosphere: Atmosphere = ask(Atmosphere, "absolute pressure of the air around", "1.01325 bar abs")

    def absolute(self, pressure: Pressure) -> float:
        """Pa absolute.

        Raises  OutOfRange: below vacuum in this atmosphere.
        """
        found = pressure.abs(self.atmosphere.si)
        if found < 0.0:
            raise OutOfRange(
                f'pressure "{pressure.text}" is below vacuum here', where="pressure", try_="Check the pressure and the atmosphere."
            )
        return found

    def bar_gauge(self, pressure: float | None) -> float | None:
        """bar above the atmosphere, from Pa absolute."""
        return None if pressure is None else (pressure - self.atmosphere.si) / 1e5


@worksheet
class WithVolumes(Worksheet):
    """A worksheet that takes volumes or flows of gas."""

    reference_state: ReferenceState | None = ask(
        _State(), "state that gas volumes refer to; left out: 0 °C and 1.01325 bar, ft3 and CFH 70 °F and 14.696 psi", optional=True
    )


def asks(sheet: type[Worksheet]) -> dict[str, Ask]:
    """The fields of a worksheet in order, its own before the common ones."""
    every: list[Field[Any]] = [f for f in fields(sheet) if "ask" in f.metadata]
    common = {f.name for base in (AtPressure, WithVolumes) for f in fields(base)}
    return {f.name: f.metadata["ask"] for f in sorted(every, key=lambda f: f.name in common)}


def is_needed(sheet: type[Worksheet], name: str) -> bool:
    """Whether a field without which nothing works: no default, not optional, in no group of alternatives."""
    own = next(f for f in fields(sheet) if f.name == name)
    return own.default is MISSING


def gas_of(name: str, composition: dict[str, float] | None, where: str = "gas") -> "Gas":
    """The gas of a name, or the mixture of a composition under that name.

    Raises  UnknownName; InputError when a single gas is given a composition.
    """
    from steadycone.physics.gas import load, mixture
    from steadycone.physics.gas.load import MIXED

    if composition is None:
        return load(name)
    if name not in MIXED:
        raise UnknownName(f"{name} is one gas and takes no composition", where=where, try_="Name the mixture lpg or natural gas.")
    return mixture(composition, name)


def refuse_liquid(gas: "Gas", pressure: float, temperature: float, where: str) -> None:
    """Raises  OutOfRange: the gas condenses at this pressure [Pa absolute] and temperature [K], so no gas formula holds."""
    from steadycone.physics.gas import dew_pressure

    if pressure > dew_pressure(gas, temperature) * (1.0 + 1e-6):
        raise OutOfRange(
            f"{gas.name} at {pressure / 1e5:.3g} bar abs and {temperature - 273.15:.0f} °C is partly liquid",
            where=where,
            try_="Give a lower pressure or a higher temperature.",
        )


def shown(kind: str, si: float) -> float:
    """An SI value in the fixed unit of its kind (see quantity.KINDS)."""
    return si / KINDS[kind][1]


def banded(key: str, value: float | None, one_end: float | None, other_end: float | None) -> Answer:
    """key, key_low, key_high, ends in order; an end that does not exist is null at the side it was given for."""
    if value is None or one_end is None or other_end is None:
        return {key: value, f"{key}_low": one_end, f"{key}_high": other_end}
    return {key: value, f"{key}_low": min(value, one_end, other_end), f"{key}_high": max(value, one_end, other_end)}
