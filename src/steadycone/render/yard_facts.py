"""What the record says of a station, as the yard needs it. Whoever keeps the record fills these in."""

from dataclasses import dataclass
from datetime import date, datetime


@dataclass(frozen=True, slots=True)
class GearFact:
    """One dated item of the make-up. until : last day in date; None where its age is not known"""

    mark: str
    kind: str
    gas: str = ""
    until: date | None = None


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
    """What the record says of one station beside the findings on its card. `sign` None: never signed.

    gear : items of the make-up that some rule makes due
    held : by an incident
    """

    gear: tuple[GearFact, ...] = ()
    held: bool = False
    sign: SignFact | None = None
