"""The round report's JSON as types; the published schema is made from these."""

from typing import Literal

import msgspec

from steadycone.render import contract
from steadycone.render.contract import Caution, Emergency, Given, MadeBy, Number, Source, Station, VerdictWord

DropWord = Literal[
    "no movement seen", "leak before regulator", "leak after regulator", "seat passing", "cylinder valve passing", "leak both sides",
    "leak, not located", "not clear",
]  # fmt: skip


class RoundStation(Station, frozen=True, forbid_unknown_fields=True, kw_only=True):
    hash: str  # of the station, policy and chart files as text


class RoundCard(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    hash: str
    on: str
    verdict: VerdictWord


class RoundPlan(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    hash: str
    steps: int


class Earlier(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    value: str
    at: str


class Look(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    id: str
    look: str
    passes: str
    fails: str
    action: str
    stated: str | None  # what the station file says of it


class RoundStep(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """One question and its answer. `state`: not asked where an earlier answer left it out; missing while it is still to come."""

    id: str
    phase: str
    kind: Literal["tick", "reading", "wait", "choice", "text"]
    do: str
    why: str
    stop: str
    looks: list[Look]
    options: list[str]
    unit: str | None
    division: str | None
    seconds: float | None
    optional: bool
    variant: str | None
    source: list[str]
    state: Literal["answered", "missing", "not asked"]
    value: str | None
    at: str | None
    corrected: list[Earlier]  # what was answered before, oldest first
    reading: Given = msgspec.UNSET
    verdict: VerdictWord | msgspec.UnsetType = msgspec.UNSET


class DropSide(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    start: Number
    end: Number
    leak: Number | None
    floor: Number | None
    wait: Number | None


class Drop(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """One line's needle test. Leaks are signed: positive out of the side. Below the floor a leak may be there unseen."""

    line: Literal["oxygen", "fuel", "preheat_oxygen"]
    reading: DropWord | None  # null: a gauge was not read, or no sum could be made
    also_possible: list[str]
    because: list[str]
    verdict: VerdictWord
    minutes: float | None
    high: DropSide | None
    low: DropSide | None
    low_leak_at_working: Number | None
    low_floor_at_working: Number | None
    rejects: Number


class RoundFinding(contract.Finding, frozen=True, forbid_unknown_fields=True, kw_only=True):
    of: Literal["card", "round"]
    step: str | None


class Block(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """What stands against a sign-off, and what would clear it."""

    what: str
    clears: str
    step: str | None


class Purge(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    do: str
    seconds: float | None


class SignOff(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    by: str
    at: str
    valid_until: str
    longest_break: Number
    ends_with: list[str]
    says: list[str]
    lit: bool
    purge_first: list[Purge]  # before it is lit, where it was not lit in the round


class Round(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    format: Literal["steadycone-round/1"]
    hash: str
    made_by: MadeBy
    station: RoundStation
    card: RoundCard
    plan: RoundPlan
    who: str | None
    started: str | None
    ended: str | None
    state: Literal["signed", "stopped", "open"]
    verdict: VerdictWord
    next: str | None
    steps: list[RoundStep]
    gone: list[Earlier]
    drop: list[Drop]
    findings: list[RoundFinding]
    blocks: list[Block]
    sign_off: SignOff | None
    advice: str
    cautions: list[Caution]
    emergency: list[Emergency]
    sources: dict[str, Source]
