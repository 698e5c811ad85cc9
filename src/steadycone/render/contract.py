"""The card's JSON as types: what a reader of the file may rely on. The published schema is made from these."""

from typing import Literal

import msgspec
from msgspec import UNSET, UnsetType

VerdictWord = Literal["go", "caution", "stop"]
StateWord = Literal["ok", "choked", "blocked", "locked", "below atmosphere"]


class Number(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A value between low and high, in a fixed unit."""

    value: float | None
    low: float | None
    high: float | None
    unit: str


Given = Number | UnsetType | None  # null = applicable but unknown; left out = cannot apply


class MadeBy(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    version: str
    data: str


class Station(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    name: str
    region: Literal["uk", "eu", "us", "ca", "au", "nz"]
    fuel: str


class Job(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    kind: Literal["cut", "heat", "weld"]
    material: str | None
    thickness: Given = UNSET
    effective_thickness: Given = UNSET
    length: Given = UNSET
    speed: Given = UNSET
    time: Given = UNSET


class Place(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """Of a closed place only: what the front of the card says of it."""

    heading: str
    size: str
    note: str


class Tip(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    size: str | None
    chart: str | None
    basis: str | None
    estimate: bool


class DrawRule(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """A customary rule as it would judge this supply: a share an hour of contents full, left now, or left at the end of the job."""

    share: str
    of: str
    limit: Number | None
    cylinders: int | None
    source: str


class Line(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    torch_inlet_pressure: Given
    regulator_flowing_pressure: Given
    regulator_static_pressure: Given
    set_pressure: Given
    loss_hoses: Given
    loss_parts: Given
    flow: Given
    trapped_volume: Given
    test_pressure: Given  # what the leak test is set to
    test_reject: Given  # the leak to reject there: one that is the policy's at work
    leak_floor: Given  # at work, low side: a larger leak can't pass unseen in the watch
    leak_wait: Given
    purge_time: Given
    purge_released: Given
    cutting_flow: Given = UNSET
    preheat_flow: Given = UNSET
    contents: Given = UNSET  # a pipeline holds nothing that could run out
    duration: Given = UNSET
    high_leak_floor: Given = UNSET  # left out where liquid may keep the pressure up, or no gauge need be
    high_leak_wait: Given = UNSET
    draw_limit: Given = UNSET
    cylinders_needed: int | UnsetType | None = UNSET
    cylinders_needed_at_half: int | UnsetType | None = UNSET


class LeakTest(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """The watch for all gauges together, whole minutes, and the leak at work that it is for."""

    watch: Given
    reject: Given


class Flame(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    oxygen_to_fuel: Given


class AsSetLine(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    regulator_pressure: Given
    torch_inlet_pressure: Given
    flow: Given
    state: StateWord
    cutting_flow: Given = UNSET
    preheat_flow: Given = UNSET


class AsSet(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    oxygen: AsSetLine
    fuel: AsSetLine
    preheat_oxygen: AsSetLine | UnsetType = UNSET
    oxygen_to_fuel: Given = UNSET


class Finding(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    code: str
    verdict: VerdictWord
    subject: str
    says: str
    source: list[str]
    remedy: str
    value: Given = UNSET
    limit: Given = UNSET
    margin: Given = UNSET


class Step(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    id: str
    phase: str
    do: str
    why: str
    evidence: Literal["tick", "reading", "timed"]
    numbers: dict[str, Number | None]
    variant: str | None
    source: list[str]


class Assumed(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    field: str
    taken: str


class Caution(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    id: str
    says: str
    source: list[str]


class Emergency(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    id: str
    is_: str = msgspec.field(name="is")
    signs: str
    do: list[str]
    after: list[str]


class Source(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    title: str
    kind: str
    place: str
    note: str


class Card(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    format: Literal["steadycone-card/1"]
    reference_state: Literal["0 °C, 1.01325 bar"]
    on: str
    hash: str
    made_by: MadeBy
    station: Station
    job: Job
    verdict: VerdictWord
    tip: Tip
    oxygen: Line
    fuel: Line
    leak_test: LeakTest
    flame: Flame
    findings: list[Finding]
    steps: list[Step]
    assumed: list[Assumed]
    cautions: list[Caution]
    emergency: list[Emergency]
    sources: dict[str, Source]
    preheat_oxygen: Line | UnsetType = UNSET
    as_set: AsSet | UnsetType = UNSET
    place: Place | UnsetType = UNSET
    draw_rules: list[DrawRule] | UnsetType = UNSET  # side by side; acetylene from cylinders only
