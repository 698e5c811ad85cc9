"""What a triage takes and gives. Texts are templates: words and units are the renderer's."""

from dataclasses import dataclass, field
from typing import Literal

from steadycone.practice.finding import Finding
from steadycone.quantity import Quantity

Certainty = Literal["strong sign", "likely", "possible"]
NONE_FITS = "none fits"  # nothing that was said names a danger
UNCLEAR = "unclear"  # something is wrong, and nothing decides what


@dataclass(frozen=True, slots=True)
class Unknown:
    """Words that name no sign, and the sign they come nearest to, if any."""

    said: str
    nearest: str | None


@dataclass(frozen=True, slots=True)
class Heard:
    """What was read out of the words. Ids of data/triage/signs.toml, in that table's order."""

    signs: tuple[str, ...]
    absent: tuple[str, ...]  # denied: "no smoke"
    named: tuple[str, ...]  # words for an event, which decide nothing
    unknown: tuple[Unknown, ...]


@dataclass(frozen=True, slots=True)
class Action:
    id: str
    do: str
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Caution:
    id: str
    says: str
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Cause:
    """A likely cause. `findings`: what the station's card says for it; `signs`: what was named that speaks for it; `facts` likewise."""

    id: str
    says: str
    why: str
    sources: tuple[str, ...]
    findings: tuple[Finding, ...] = ()
    signs: tuple[str, ...] = ()
    facts: tuple[str, ...] = ()
    cleared: tuple[Finding, ...] = ()  # what the card says against it

    @property
    def raised(self) -> bool:
        return bool(self.findings or self.signs or self.facts)


@dataclass(frozen=True, slots=True)
class Condition:
    """One condition of the gate back to service: who may clear it, and on what evidence."""

    id: str
    condition: str
    why: str
    who: str
    evidence: str
    sources: tuple[str, ...]
    variant: str | None = None
    numbers: dict[str, Quantity] = field(default_factory=dict)
    stops: tuple[Finding, ...] = ()  # what the card stops for, where the condition is that it does so no more


@dataclass(frozen=True, slots=True)
class Ask:
    """A question. `event`: the one that a yes would make it; empty where it only clears up a word. `sign` fills {sign} by its wording."""

    ask: str
    event: str = ""
    said: str = ""
    sign: str = ""


@dataclass(frozen=True, slots=True)
class Triage:
    """`certainty`: strong sign = two signs or more, every one this event's, no other event that fits has them all, every word understood;
    likely = every sign is this event's and every word was understood; possible = anything less, and always when nothing decides.
    First actions, never and the gate are those of every event that fits.

    Source      triage-certainty, triage-danger-order
    """

    event: str
    certainty: Certainty
    danger: int  # higher is worse; 0 when none fits
    means: str
    heard: Heard
    decided_by: tuple[str, ...]
    supported_by: tuple[str, ...]
    unexplained: tuple[str, ...]  # signs named that this event does not explain
    also_fits: tuple[str, ...]  # less dangerous events that fit too, worst first
    confirmed: bool | None  # whether a flame in a hose is certain; None where that is not the question
    first_actions: tuple[Action, ...]
    causes: tuple[Cause, ...]
    never: tuple[Caution, ...]
    back_to_service: tuple[Condition, ...]
    asks: tuple[Ask, ...]
    urgent: bool  # something burns, bursts or chokes now, in any event that fits
    sources: tuple[str, ...]
