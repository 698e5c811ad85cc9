"""The parts of a line between regulator and torch, in order. A kind of part is one class here."""

import msgspec

from steadycone.units import (
    Conductance,
    GasFlow,
    GivenDate,
    Length,
    Number,
    Pressure,
    PressureDifference,
    Roughness,
    Share,
    Volume,
)


class FlowPoint(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """One point of a maker's flow curve: inlet pressure, drop, and flow of the test gas."""

    inlet: Pressure
    drop: PressureDifference
    flow: GasFlow
    gas: str = "air"


class _Part(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True, tag_field="kind"):
    gas: str | None = None
    max_pressure: Pressure | None = None
    made: GivenDate | None = None
    tested: GivenDate | None = None
    volume: Volume | None = None

    @property
    def word(self) -> str:
        return str(self.__struct_config__.tag)


class _Restriction(_Part, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A part whose flow is given by points, by ISO 6358 figures or by an equivalent bore."""

    flow_points: tuple[FlowPoint, ...] = ()
    sonic_conductance: Conductance | None = None
    critical_ratio: Share | None = None
    equivalent_bore: Length | None = None
    coefficient: Number | None = None  # of the equivalent bore; 0.6 unless given
    cracking: PressureDifference | None = None


class Arrestor(_Restriction, frozen=True, forbid_unknown_fields=True, kw_only=True, tag="arrestor"):
    """Flashback arrestor: stops a flame."""


class CheckValve(_Restriction, frozen=True, forbid_unknown_fields=True, kw_only=True, tag="check valve"):
    """Non-return valve: holds gas back, never a flame."""


class Valve(_Restriction, frozen=True, forbid_unknown_fields=True, kw_only=True, tag="valve"):
    """A shut-off or outlet-point valve."""


class Coupling(_Restriction, frozen=True, forbid_unknown_fields=True, kw_only=True, tag="coupling"):
    """A quick coupling or a hose joiner."""

    material: str | None = None


class Hose(_Part, frozen=True, forbid_unknown_fields=True, kw_only=True, tag="hose"):
    grade: str
    bore: Length
    bore_tolerance: Length | None = None  # plus or minus, of a hose that was measured or whose standard is known
    length: Length
    roughness: Roughness | None = None
    fittings: Number | None = None  # K of both tails, on the hose's bore


class Pipe(_Part, frozen=True, forbid_unknown_fields=True, kw_only=True, tag="pipe"):
    bore: Length
    length: Length
    roughness: Roughness | None = None
    fittings: Number | None = None
    material: str | None = None


Part = Arrestor | CheckValve | Valve | Coupling | Hose | Pipe
Restriction = Arrestor | CheckValve | Valve | Coupling
