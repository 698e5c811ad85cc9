"""Events as a person reads them on a page: when, who, what, and whether it was put right later."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from steadycone.records.telling import local, says
from steadycone.render.words import capital
from steadycone.web.desk import Desk

if TYPE_CHECKING:
    from steadycone.records import Recorded


@dataclass(frozen=True, slots=True)
class Told:
    """`written`: when it was put in, where that was another day than it happened. `right`: number of the event that corrects it; 0 for none."""

    sequence: int
    kind: str
    when: str
    written: str
    author: str
    says: str
    right: int
    papers: int

    @property
    def to(self) -> str:
        return f"/log/{self.sequence}"


def told(desk: Desk, events: "Iterable[Recorded]") -> list[Told]:
    """In the order given."""
    right = corrections(desk)
    return [_told(desk, event, right) for event in events]


def _told(desk: Desk, event: "Recorded", right: dict[str, int]) -> Told:
    happened, written = local(event.happened_at), local(event.recorded_at)
    late = written if written[:10] != happened[:10] else ""
    return Told(
        event.sequence,
        event.kind,
        happened,
        late,
        event.author,
        capital(_numbered(desk, event)),
        right.get(event.id, 0),
        len(event.documents),
    )


def _numbered(desk: Desk, event: "Recorded") -> str:
    """What it says, another event's id in it told by that event's number, which a person can look up."""
    text = says(event.body)
    for name, before in (("corrects", "event "), ("defect", "defect "), ("incident", "incident ")):
        id_ = getattr(event.body, name, "")
        if id_ and before + id_ in text:
            text = text.replace(before + id_, f"{before if name == 'corrects' else before + 'of event '}{desk.site.event(id_).sequence}")
    return text


def corrections(desk: Desk) -> dict[str, int]:
    """Ids of events that were corrected, each with the number of its newest correction; read on from where it was read last."""
    site, size = desk.site, desk.site.size
    with desk.yard.lock:
        upto, found = desk.yard.kept.get("corrections", (0, {}))
        if upto < size:
            found = dict(found)
            for event in site.events(first=upto + 1, last=size, kinds=["correction"]):
                found[str(getattr(event.body, "corrects", ""))] = event.sequence
            desk.yard.kept["corrections"] = (size, found)
    numbers: dict[str, int] = found
    return numbers
