"""From a triage to the event that holds a station, and back from it to the words of its gate."""

import json
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from steadycone.data.reader import toml
from steadycone.procedures.triage import Triage
from steadycone.procedures.triage.gate import GATES
from steadycone.records.events import GateCondition, Incident
from steadycone.records.policy import TABLE
from steadycone.records.rows import IncidentRow
from steadycone.render.emergency import words
from steadycone.render.triage import triage_dict

if TYPE_CHECKING:
    from steadycone.records.envelope import Recorded
    from steadycone.records.rows import Condition

DOCUMENT = "triage"


@dataclass(frozen=True, slots=True)
class Told:
    """One condition in words. `who` is the role as the log has it, `who_says` in the region's words."""

    id: str
    condition: str
    who: str
    who_says: str
    evidence: str
    why: str = ""

    @property
    def outside(self) -> bool:
        """Met by somebody who is not of this yard."""
        return self.who in toml(TABLE)["outside"]["roles"]


def incident_event(found: Triage, station: str, says: str, region: str) -> tuple[Incident, dict[str, bytes]]:
    """The event and its documents, for New(body, ..., documents=...). The gate's roles are kept as the gates' table has them."""
    gate = tuple(GateCondition(id=condition.id, who=condition.who) for condition in found.back_to_service)
    report = json.dumps(triage_dict(found, region), ensure_ascii=False, allow_nan=False, indent=1) + "\n"
    return Incident(station=station, event=found.event, gate=gate, says=says), {DOCUMENT: report.encode("utf-8", "replace")}


def gate_in_words(row: IncidentRow, event: "Recorded", document: Callable[[str], bytes], region: str) -> tuple[Told, ...]:
    """Every condition of an incident's gate: as its own report has it, else as the gates' table does without numbers.

    Raises  UnknownName, StoreBroken: the report is gone, or not what was recorded.
    """
    report = _report(event, document)
    return tuple(_told(condition, report.get(condition.id), region) for condition in row.gate)


def _report(event: "Recorded", document: Callable[[str], bytes]) -> dict[str, dict[str, Any]]:
    """Conditions by their id; nothing where no triage went along."""
    if DOCUMENT not in event.documents:
        return {}
    try:
        found = json.loads(document(event.documents[DOCUMENT]))
        return {entry["id"]: entry for entry in found["back_to_service"]}
    except (ValueError, TypeError, KeyError):
        return {}  # somebody kept another paper under this name: the table's own words stand


def _told(condition: "Condition", entry: dict[str, Any] | None, region: str) -> Told:
    who = _filled(condition.who, region)
    if entry is not None:
        return Told(condition.id, str(entry["condition"]), condition.who, who, str(entry.get("evidence", "")), str(entry.get("why", "")))
    plain = toml(GATES).get(condition.id)
    if plain is None:
        return Told(condition.id, condition.id, condition.who, who, "")
    said = str(plain.get("plain", plain["condition"])).replace(": {stops}", "")
    return Told(
        condition.id, _filled(said, region), condition.who, who, _filled(plain["evidence"], region), _filled(plain.get("why", ""), region)
    )


def _filled(text: str, region: str) -> str:
    from steadycone.render.words import Words

    return Words.of(region).fill(text, dict(words(region)))
