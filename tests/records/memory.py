"""A yard in memory: the same rules and the same fold as the store's, without a store. For tests of rules, a thousand a second."""

from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta
from typing import Any

from msgspec.structs import replace

from steadycone.records import events as e
from steadycone.records import rules
from steadycone.records.envelope import New, Recorded, document_hash
from steadycone.records.policy import template
from steadycone.records.times import told
from steadycone.records.world import World

NOW = datetime(2026, 11, 25, 9, 0, tzinfo=UTC)


@dataclass
class Desk:
    """Events go through form, rule and fold. `policy`: what the site has set otherwise than its region."""

    policy: dict[str, Any] = field(default_factory=dict)
    region: str = "uk"

    def __post_init__(self) -> None:
        self.world = World(replace(template(self.region), **self.policy), NOW)

    def says(self, body: e.Event, author: str = "M. Reyes", known_by: Any = "password", **more: Any) -> str:
        """Record one event; gives its id. Raises what the rule raises."""
        self.world.now += timedelta(minutes=1)
        new = New(body, author, more.pop("at", self.world.now), known_by=known_by, documents=more.pop("documents", {}))
        rules.check_form(new)
        with self.world.all_or_nothing():
            event = Recorded(
                author=new.author,
                body=rules.allowed(self.world, new, lambda id_: None),  # type: ignore[arg-type]
                data="",
                documents={name: document_hash(data) for name, data in new.documents.items()},
                happened_at=told(new.happened_at),
                id=new.id,
                program="",
                recorded_at=told(self.world.now),
                sequence=len(self.world.added) + 1,
                site="tern-quay",
            )
            rules.apply(self.world, event)
        return new.id

    def last(self) -> Any:
        """What the rule made of the last event."""
        return self.world.added[-1].body

    def may(self, person: str, *roles: str) -> None:
        for role in roles:
            self.says(e.Authorised(person=person, role=role), "The Manager")

    def gear(self, mark: str, item: Any = "regulator", gas: str = "oxygen", **dates: str) -> None:
        dates = dates or {"made": "2024-02", "tested": "2026-11"}
        self.says(e.GearAdded(mark=mark, item=item, gas=gas, dates={name: e.Dated(date=day) for name, day in dates.items()}))  # type: ignore[misc]

    def made_up(self) -> None:
        """Slip 2 with a regulator and a hose, in date."""
        self.gear("R-1")
        self.gear("H-1", "hose")
        self.says(e.StationMadeUp(station="Slip 2", makeup={"oxygen regulator": "R-1", "oxygen part 1": "H-1"}))

    def round(self, **more: Any) -> str:
        return self.says(e.RoundDone(**({"station": "Slip 2", "state": "signed", "verdict": "go", "card": "c" * 64} | more)))

    def sign(self, round_id: str, author: str = "M. Reyes", **more: Any) -> str:
        until = (self.world.now + timedelta(hours=8)).isoformat()
        body = {"station": "Slip 2", "round": round_id, "valid_until": until, "longest_break": 1800} | more
        return self.says(e.SignOff(**body), author)


__all__ = ["NOW", "Desk"]
