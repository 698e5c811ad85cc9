"""What the record says of a station, as the yard needs it. Whoever keeps the record fills these in."""

from dataclasses import dataclass
from datetime import date, datetime


@dataclass(frozen=True, slots=True)
class GearFact:
    """One item of the make-up.

    until : last day in date; None where its age is not known or no rule makes it due
    due_why : replace, test, unknown age, or "" where no rule applies
    held : by an incident on the station it was on then
    """

    mark: str
    kind: str
    gas: str = ""
    state: str = "in service"  # in service, quarantined, retired
    reason: str = ""
    until: date | None = None
    due_why: str = "unknown age"
    held: bool = False


@dataclass(frozen=True, slots=True)
class DefectFact:
    """An open defect of the station or of gear in its make-up. `severity`: stop or caution."""

    says: str
    severity: str


@dataclass(frozen=True, slots=True)
class IncidentFact:
    """An incident that holds the station: its gate is not cleared. `event` in words."""

    event: str
    says: str = ""


@dataclass(frozen=True, slots=True)
class SignFact:
    """The last sign-off; moments have their zone. `ended`: why before its time, one of the round's names or words; empty where it was not."""

    by: str
    at: datetime
    valid_until: datetime
    ended: str = ""
    ended_at: datetime | None = None

    def holds(self, now: datetime) -> bool:
        return not self.ended and self.at <= now < self.valid_until


@dataclass(frozen=True, slots=True)
class YardFacts:
    """All that the record says of one station. `sign` None: never signed."""

    gear: tuple[GearFact, ...] = ()
    defects: tuple[DefectFact, ...] = ()
    incidents: tuple[IncidentFact, ...] = ()
    sign: SignFact | None = None
