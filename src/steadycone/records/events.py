"""The kinds of events. One struct a kind; its tag is the name in the log. Text and whole numbers only: a value is written with its unit.

Fields marked (filled) are put in by the store from what is true at that moment; leave them out.
"""

from typing import Literal

import msgspec

DateName = Literal["made", "bought", "in_service", "tested"]
ItemClass = Literal[
    "regulator", "arrestor", "check valve", "hose", "torch", "tip", "gauge", "coupling", "valve", "manifold", "trolley", "other",
    "master gauge", "flow meter",
]  # fmt: skip
Test = Literal["creep", "flow", "reverse flow", "tightness", "proof", "other", "lock-up", "gauge error", "cut-off"]


class _Part(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True, omit_defaults=True):
    """A part of an event."""


class Event(
    msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True, omit_defaults=True, tag_field="kind", tag=lambda name: name
):
    """What every kind has in common."""


class Dated(_Part, frozen=True, kw_only=True):
    """A date as written ("2023-02" or "2023-02-17"), and what it was read from: stamp, invoice, sheet, told."""

    date: str
    basis: str = ""


class ClassRule(_Part, frozen=True, kw_only=True):
    """When an item of a class is due. `replace` counts from the first date known of `replace_from`, `test` likewise. Empty = no such rule."""

    replace: str = ""
    replace_from: tuple[DateName, ...] = ("made",)
    test: str = ""
    test_from: tuple[DateName, ...] = ("tested", "made")
    release_by: str = "competent person"  # the role that may clear its quarantine
    test_by: str = ""  # the role that may complete its examination; empty = the table's own


class GateCondition(_Part, frozen=True, kw_only=True):
    """One condition of the gate back to service, as triage gives it: its id and the role that may clear it."""

    id: str
    who: str


class Cleared(_Part, frozen=True, kw_only=True):
    """A condition that was met: by whom, and on what evidence. `condition`: an id of the gate; free for an item's own quarantine."""

    condition: str
    by: str
    evidence: str


# --- the site ---------------------------------------------------------------------


class SiteOpened(Event, frozen=True, kw_only=True, tag="site-opened"):
    """(filled) The first event of every log. `log` names it, `key` is the public key that signs its heads, hex."""

    site: str
    region: str
    log: str
    key: str


class PolicyChanged(Event, frozen=True, kw_only=True, tag="policy-changed"):
    """Only what changes. `classes` lays rules over those in force, class by class."""

    classes: dict[ItemClass, ClassRule] = {}
    two_persons: bool | None = None  # nobody signs what that person cleared
    sign_off_by: tuple[str, ...] | None = None  # roles of which a signer needs one; empty = anybody named
    why: str = ""


class KeyChanged(Event, frozen=True, kw_only=True, tag="key-changed"):
    """Heads are signed with another key from this event on."""

    key: str
    why: str


class Rebuilt(Event, frozen=True, kw_only=True, tag="register-rebuilt"):
    """The register was derived again from the events, because it said something else. `differed`: the first of the places, in words."""

    why: str
    differed: tuple[str, ...] = ()
    places: int = 0


AccountChange = Literal["opened", "closed", "opened again", "starting password given", "own password changed"]


class AccountChanged(Event, frozen=True, kw_only=True, tag="account-changed"):
    """What the author did to an account: who may sign in. Never a password, nor its hash."""

    person: str
    what: AccountChange


# --- gear -------------------------------------------------------------------------


class GearAdded(Event, frozen=True, kw_only=True, tag="gear-added"):
    """`type` is the maker's, as free text. `ratings`: what is marked on it, such as {"outlet": "10 bar"}."""

    mark: str
    item: ItemClass
    gas: str = ""
    type: str = ""
    dates: dict[DateName, Dated] = {}
    ratings: dict[str, str] = {}
    note: str = ""


class GearDated(Event, frozen=True, kw_only=True, tag="gear-dated"):
    mark: str
    which: DateName
    date: str
    basis: str = ""


class GearFitted(Event, frozen=True, kw_only=True, tag="gear-fitted"):
    """`place` as the card names it: "oxygen regulator", "fuel part 1", "torch"."""

    mark: str
    station: str
    place: str


class GearRemoved(Event, frozen=True, kw_only=True, tag="gear-removed"):
    mark: str
    why: str = ""
    station: str = ""  # (filled)


class GearRetired(Event, frozen=True, kw_only=True, tag="gear-retired"):
    """Scrapped, sold, lost. Its mark is never given again."""

    mark: str
    why: str
    station: str = ""  # (filled)


class TestResult(Event, frozen=True, kw_only=True, tag="test-result"):
    """`value` with its unit. `readings`: what was read, each with its unit. A failed test quarantines the item.

    passed : what the tester says; a number outside its limit is recorded as failed whatever is said
    completes : this test ends the periodic examination, so the item counts as tested that day
    """

    mark: str
    test: Test
    value: str
    passed: bool
    limit: str = ""
    gas: str = ""
    readings: dict[str, str] = {}
    completes: bool = False
    station: str = ""  # (filled)
    held_to: str = ""  # (filled) the limit that the number was judged by; empty where none is known
    instrument: str = ""  # mark of the master gauge or flow meter it was read with
    instrument_until: str = ""  # (filled) the last day that instrument was in date; empty where no rule makes it due
    note: str = ""


class Quarantined(Event, frozen=True, kw_only=True, tag="quarantined"):
    mark: str
    reason: str
    defect: str = ""
    station: str = ""  # (filled)


class Repaired(Event, frozen=True, kw_only=True, tag="repaired"):
    """What was put right on an item, told by the author, who did it. Where the site asks for two persons, another one releases it."""

    mark: str
    did: str
    evidence: str = ""
    station: str = ""  # (filled)
    known_by: str = ""  # (filled) how the author was known


class Released(Event, frozen=True, kw_only=True, tag="released"):
    """An item back from quarantine, released by the author. `cleared`: what was put right, each by the author too (older logs name others)."""

    mark: str
    cleared: tuple[Cleared, ...]
    known_by: str = ""  # (filled) how the author was known


class DefectFound(Event, frozen=True, kw_only=True, tag="defect-found"):
    """About an item or a station, one of the two. `severity` stop ends a sign-off and keeps the next one from being given."""

    says: str
    severity: Literal["stop", "caution"]
    mark: str = ""
    station: str = ""  # (filled) for an item that is fitted


class DefectClosed(Event, frozen=True, kw_only=True, tag="defect-closed"):
    defect: str
    how: str
    mark: str = ""  # (filled)
    station: str = ""  # (filled)


# --- stations ---------------------------------------------------------------------


class StationMadeUp(Event, frozen=True, kw_only=True, tag="station-made-up"):
    """The whole make-up from now on, place by place. What is in it no more counts as removed; a change ends the sign-off at once."""

    station: str
    makeup: dict[str, str]
    why: str = ""
    removed: tuple[str, ...] = ()  # (filled)


class RoundDone(Event, frozen=True, kw_only=True, tag="round-done"):
    """A round's report; report, answers, card and station files go along as documents.

    state : signed, stopped or open, as the report has it; unsigned where it was gone to its end and the records refused the sign-off
    """

    station: str
    state: Literal["signed", "stopped", "open", "unsigned"]
    verdict: Literal["go", "caution", "stop"]
    card: str = ""  # the card's hash
    plan: str = ""


class SignOff(Event, frozen=True, kw_only=True, tag="sign-off"):
    """The author signs the station off. `round`: id of the round-done event it rests on; it may be recorded in the same call.

    valid_until : a time with its zone; longest_break : seconds
    """

    station: str
    round: str
    valid_until: str
    longest_break: int


class SignOffEnded(Event, frozen=True, kw_only=True, tag="sign-off-ended"):
    """`why`: joint-broken, cylinder-changed, hose-changed, tip-changed, part-changed, moved, shift-ended, event, break, or free text."""

    station: str
    why: str


class Incident(Event, frozen=True, kw_only=True, tag="incident"):
    """Holds the station until its gate is cleared. `event`, `gate` and the report (as a document) come from triage.

    gate : what it leaves out of the event's own gate is put in
    """

    station: str
    event: str
    gate: tuple[GateCondition, ...] = ()
    says: str = ""
    marks: tuple[str, ...] = ()  # (filled) what the station was made up of: held too, wherever it is taken
    cylinders: tuple[str, ...] = ()  # (filled) those that stood there


class ConditionCleared(Event, frozen=True, kw_only=True, tag="condition-cleared"):
    """One condition of a gate, cleared by the author on evidence. With the last one, what the incident held is free.

    outside : who did it, where the gate names somebody from outside; the author enters it
    """

    incident: str
    condition: str
    evidence: str
    outside: str = ""
    station: str = ""  # (filled)
    marks: tuple[str, ...] = ()  # (filled)
    known_by: str = ""  # (filled) how the author was known
    last: bool = False  # (filled) every condition is cleared with this one


class ConditionReopened(Event, frozen=True, kw_only=True, tag="condition-reopened"):
    """A condition that was cleared counts no more; while others are open."""

    incident: str
    condition: str
    why: str
    station: str = ""  # (filled)


class IncidentCleared(Event, frozen=True, kw_only=True, tag="incident-cleared"):
    """The whole gate at once, as older programs wrote it. Read, and written no more: each condition is its own event now."""

    incident: str
    cleared: tuple[Cleared, ...]
    station: str = ""  # (filled)
    marks: tuple[str, ...] = ()  # (filled)


# --- files of stations ---------------------------------------------------------------


class StationFiled(Event, frozen=True, kw_only=True, tag="station-filed"):
    """The station's file as it stands from now on; its text goes along as the document "station". Ends the sign-off at once.

    file : its name, such as "slip-2.toml". base : hash of the text the change began from; empty for the first. papers : the chart and
    the policy that the text names, as it names them
    """

    station: str
    file: str
    base: str = ""
    why: str = ""
    papers: tuple[str, ...] = ()
    dropped: tuple[str, ...] = ()  # (filled) papers it named before and names no more


class PaperFiled(Event, frozen=True, kw_only=True, tag="paper-filed"):
    """A chart or a policy as it stands from now on; its bytes go along as the document "paper". Ends the sign-offs that stood on it.

    name : as station files name it, folders with a forward slash. base : as for a station's file
    """

    name: str
    what: Literal["chart", "policy"]
    base: str = ""
    why: str = ""
    stations: tuple[str, ...] = ()  # (filled) those whose files name it


class StationRetired(Event, frozen=True, kw_only=True, tag="station-retired"):
    """Taken out of use. It is not signed off again until its file is filed again."""

    station: str
    why: str


# --- people and cylinders -----------------------------------------------------------


class Authorised(Event, frozen=True, kw_only=True, tag="authorised"):
    """A person may act in a role. `until`: the last day, empty = until ended. `basis`: certificate, course, letter."""

    person: str
    role: str
    until: str = ""
    basis: str = ""


class AuthorisationEnded(Event, frozen=True, kw_only=True, tag="authorisation-ended"):
    person: str
    role: str
    why: str = ""


class Trained(Event, frozen=True, kw_only=True, tag="trained"):
    """A trainee's marked drill. The author marked it, and is somebody else.

    points : of `of`, a whole or half number. pass_mark : a share, "80 %". sitting : 1, then 2 for a resit. sheet : which questions it was,
    so that they can be made again
    """

    person: str
    drill: str
    points: str
    of: int
    pass_mark: str
    passed: bool
    sitting: int = 1
    sheet: str = ""


class CylinderMoved(Event, frozen=True, kw_only=True, tag="cylinder-moved"):
    """In from the supplier, out again, or from place to place. `contents`: weight or pressure as read, with its unit."""

    mark: str
    gas: str
    to: str
    state: Literal["full", "part", "empty"]
    contents: str = ""
    came_from: str = ""  # (filled) where it stood before; give it for a cylinder not seen yet


# --- the log itself -----------------------------------------------------------------


class Noted(Event, frozen=True, kw_only=True, tag="noted"):
    """A remark, about an item or a station where one is named."""

    says: str
    mark: str = ""
    station: str = ""


Correctable = (
    GearAdded
    | GearDated
    | GearFitted
    | GearRemoved
    | GearRetired
    | TestResult
    | Quarantined
    | Repaired
    | Released
    | DefectFound
    | DefectClosed
    | StationMadeUp
    | RoundDone
    | SignOff
    | SignOffEnded
    | Incident
    | IncidentCleared
    | Authorised
    | AuthorisationEnded
    | Trained
    | CylinderMoved
    | Noted
)


class Correction(Event, frozen=True, kw_only=True, tag="correction"):
    """Names an event that was wrong. `replaces`: what it should have said, of the same kind and about the same things; None annuls it.

    The old event stays in the log; what is true now is derived as if the replacement had stood in its place.
    """

    corrects: str
    why: str
    replaces: Correctable | None = None
    about: tuple[tuple[str, str], ...] = ()  # (filled)


Body = (
    SiteOpened | PolicyChanged | KeyChanged | Rebuilt | AccountChanged | StationFiled | PaperFiled | StationRetired | ConditionCleared
    | ConditionReopened | Correctable | Correction
)  # fmt: skip
_KINDS: tuple[type[Event], ...] = Body.__args__
KINDS: dict[str, type[Event]] = {str(kind.__struct_config__.tag): kind for kind in _KINDS}


def kind_of(body: Event) -> str:
    """The event's name in the log."""
    return str(body.__struct_config__.tag)
