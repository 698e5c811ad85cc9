"""`steadycone gate`: what is still open after an incident, and clearing it one condition at a time."""

import sys
from typing import Any

import click

from steadycone.cli.desk import moment, open_site, reading, record, write_json, writing


@click.group("gate", help="The gate back to service after an incident: what is open, and clearing it one condition at a time.")
def gate() -> None: ...


@gate.command("show", help="Every open incident with its conditions: who may clear them, who has, what is open.", epilog="Example: steadycone gate show")  # fmt: skip
@reading
def show(store: str | None, site: str | None, as_json: bool) -> None:
    from steadycone.records.incident_record import gate_in_words

    told: list[dict[str, Any]] = []
    with open_site(store, site) as found:
        for row in found.incidents():
            words = {each.id: each for each in gate_in_words(row, found.event(row.key), found.document, found.policy.region)}
            gate_ = [
                {
                    "id": each.id, "condition": words[each.id].condition, "who": words[each.id].who_says, "evidence": words[each.id].evidence,
                    "open": not each.at, "by": each.by, "outside": each.outside, "on": each.evidence, "at": each.at,
                }
                for each in row.gate
            ]  # fmt: skip
            told.append({"incident": row.key, "station": row.station, "event": row.event, "open": len(row.open), "gate": gate_})
    if as_json:
        write_json({"format": "steadycone-gates/1", "incidents": told})
        return
    for one in told:
        sys.stdout.write(f"{one['station']}: {one['event']}, {one['open']} of {len(one['gate'])} open. Incident {one['incident']}\n")
        for each in one["gate"]:
            state = "[STOP] open   " if each["open"] else "[ok]   cleared"
            more = f"{each['who']} clears it; evidence: {each['evidence']}" if each["open"] else f"{each['by']}: {each['on']}"
            sys.stdout.write(f"  {state} {each['id']}: {each['condition']} ({more})\n")
    if not told:
        sys.stdout.write("No incident is open.\n")


@gate.command("clear", help="One condition, by a person of its role. Your password is asked.", epilog='Example: steadycone gate clear INCIDENT hose-confirmed --evidence "old pair cut through, H-41 and H-42 fitted" --by NAME')  # fmt: skip
@click.argument("incident")
@click.argument("condition")
@click.option("--evidence", required=True, metavar="TEXT", help="The number, the paper, the mark, what was seen.")
@click.option("--outside", default="", metavar="NAME", help="Who did it, where the gate names somebody from outside.")
@writing
def clear(
    store: str | None, site: str | None, by: str | None, at: str | None, as_json: bool, incident: str, condition: str, evidence: str,
    outside: str,
) -> None:  # fmt: skip
    from steadycone.records import events

    when = moment(at)
    with open_site(store, site, writes=True) as found:
        body = events.ConditionCleared(incident=incident, condition=condition, evidence=evidence, outside=outside)
        (receipt,) = record(found, by, when, body, as_json=as_json)
        left = [row for row in found.incidents() if row.key == getattr(receipt.event.body, "incident", "")]
    if not as_json:
        still = ", ".join(each.id for row in left for each in row.open)
        click.echo(f"Still open: {still}." if still else "The gate is open. Go round again before the next sign-off.")


@gate.command("reopen", help="A condition that was cleared counts no more. Your password is asked.", epilog='Example: steadycone gate reopen INCIDENT arrestors-tested --why "figures of another arrestor" --by NAME')  # fmt: skip
@click.argument("incident")
@click.argument("condition")
@click.option("--why", required=True, metavar="TEXT")
@writing
def reopen(
    store: str | None, site: str | None, by: str | None, at: str | None, as_json: bool, incident: str, condition: str, why: str
) -> None:  # fmt: skip
    from steadycone.records import events

    when = moment(at)
    with open_site(store, site, writes=True) as found:
        record(found, by, when, events.ConditionReopened(incident=incident, condition=condition, why=why), as_json=as_json)
