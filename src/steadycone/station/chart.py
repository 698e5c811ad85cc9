"""A maker's tip chart as read: the truth about a tip, once it has been checked."""

from dataclasses import dataclass, field

from steadycone.units import GasFlow, Length, Pressure, Speed


@dataclass(frozen=True, slots=True)
class Row:
    """One row. A missing cell is None; a figure given alone has equal ends.

    `thickness_to` without `thickness_from` is a band that starts at nothing; equal ends are a single thickness.
    """

    size: str
    line: int  # of the file, for messages
    thickness_from: Length | None = None
    thickness_to: Length | None = None
    oxygen_pressure: tuple[Pressure, Pressure] | None = None
    preheat_oxygen_pressure: tuple[Pressure, Pressure] | None = None
    fuel_pressure: tuple[Pressure, Pressure] | None = None
    cutting_oxygen: tuple[GasFlow, GasFlow] | None = None
    preheat_oxygen: tuple[GasFlow, GasFlow] | None = None  # heating and welding: all the oxygen
    fuel_flow: tuple[GasFlow, GasFlow] | None = None
    cutting_bore: Length | None = None
    speed: tuple[Speed, Speed] | None = None
    kerf: Length | None = None
    pierce_limit: Length | None = None


@dataclass(frozen=True, slots=True)
class Chart:
    """`basis` None = the chart does not say. `basis_hose` is (length, bore), for a basis at the regulator; None = not stated."""

    name: str  # file name
    rows: tuple[Row, ...]
    title: str = ""
    fuel: str | None = None  # None = the chart does not say; several have commas between
    attachment: str | None = None
    basis: str | None = None  # "torch inlet" or "regulator"
    basis_hose: tuple[Length, Length] | None = None
    source: str = ""
    reference_state: str | None = None
    estimate: bool = False  # made from bore and published tables, not by the maker
    text_hash: str = ""
    written: dict[str, str] = field(default_factory=dict)  # about-lines as written
