"""A site's records for a period, gathered for an auditor: from the store to the words of render/audit.py."""

import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime
from typing import TYPE_CHECKING, Any

from steadycone.practice.finding import Verdict
from steadycone.records import events as e
from steadycone.records.envelope import Recorded
from steadycone.records.fitness import Fitness, fitness
from steadycone.records.gear_told import basis
from steadycone.records.names import key
from steadycone.records.rows import Item
from steadycone.records.telling import local, says
from steadycone.render.audit import Pack, Round, Row, Section
from steadycone.render.labels import kind_words

if TYPE_CHECKING:
    from steadycone.records.store import Site

_KINDS = (
    "round-done", "sign-off", "sign-off-ended", "test-result", "cylinder-moved", "correction", "quarantined", "released", "gear-retired",
    "policy-changed", "key-changed", "register-rebuilt", "account-changed", "station-filed", "paper-filed", "station-retired",
)  # fmt: skip
_LONGEST = 90  # letters of a step in the list of readings
MOST_ROWS, MOST_ROUNDS = 3000, 1000  # on paper: 0.13 MB of memory a row, and nobody reads more
CANNOT = (
    "That what was written is what happened. The log shows that nothing was changed, removed or put in between since it was written.",
    "That everything was written. A round or a test that nobody recorded is not here.",
    "Who sat at the keyboard. Names are given by whoever writes; the site's own log-in stands behind them.",
    "Hot-work permits and fire watches: they are the site's own papers.",
)


@dataclass(frozen=True, slots=True)
class Period:
    """First and last day, both in it."""

    since: date
    until: date

    def __str__(self) -> str:
        return f"{self.since.isoformat()} to {self.until.isoformat()}"

    def holds(self, event: Recorded) -> bool:
        return self.since <= datetime.fromisoformat(event.happened_at).astimezone().date() <= self.until


def audit_pack(site: "Site", period: Period, on: date, made: str, log: tuple[str, ...], paper: str) -> Pack:
    """Everything on the pages. The register, the due list and what is open stand as on the day it is made.

    Parameters
    ----------
    made : when and by which program, in words
    log : what verifying gave, in words
    """
    region = site.policy.region
    items = [(item, fitness(item, on)) for item in site.items()]
    recorded = [event for event in site.events(kinds=_KINDS) if period.holds(event)]
    signed = {event.body.round: event for event in recorded if isinstance(event.body, e.SignOff)}
    rounds = [event for event in recorded if isinstance(event.body, e.RoundDone)]
    head = site.head()
    return Pack(
        site=head.site,
        period=str(period),
        made=made,
        head=head.code,
        log=log,
        counts=_counts(items, site),
        before=(_short_of(_open(site, items, region)), _short_of(_due(items, on, region))),
        rounds=[_round(site, event, signed.get(event.id)) for event in rounds[-MOST_ROUNDS:]],
        rounds_note=_left("rounds", len(rounds), MOST_ROUNDS, "last", "Ask for a shorter period to see the others."),
        rounds_none="No round was recorded in this period.",
        after=tuple(
            _short_of(section)
            for section in (
                _tests(site, recorded),
                _defects(site, period),
                _incidents(site, period),
                _people(site, on),
                _training(recorded, site.corrections()),
                _cylinders(recorded),
                _filed(recorded),
                _corrections(recorded),
                _intervals(site),
                _register(items, region),
            )
        ),
        cannot=CANNOT,
        code=f"steadycone log\n{head.site}\n{head.code}",
        paper=paper,
    )


def _short_of(section: Section) -> Section:
    """As many rows as paper holds; what is left out is told, never silent."""
    if len(section.rows) <= MOST_ROWS:
        return section
    order = {"stop": 0, "caution": 1, "go": 2, "": 3}
    worst = sorted(section.rows, key=lambda row: order[row.verdict])[:MOST_ROWS]
    left = _left(
        "rows", len(section.rows), MOST_ROWS, "worst" if worst[0].verdict else "first", "All of them: log export --csv, gear list --csv."
    )
    return replace(section, rows=worst, note=f"{section.note} {left}".strip())


def _left(what: str, number: int, most: int, which: str, where: str) -> str:
    return f"{number:,} {what}; here are the {which} {most:,}. {where}" if number > most else ""


def _counts(items: list[tuple[Item, Fitness]], site: "Site") -> list[tuple[str, str, str]]:
    words = [now.word for _, now in items]
    due = sum(now.has("due-soon") and now.word == "in service" for _, now in items)
    defects = list(site.defects(open_only=True))
    worst = "stop" if any(defect.severity == "stop" for defect in defects) else "caution"
    held = len(list(site.incidents(open_only=True)))
    counts: list[tuple[Verdict | str, int, str]] = [
        ("stop", words.count("quarantined"), "quarantined"),
        ("stop", words.count("held"), "held by an incident or a defect"),
        ("stop", words.count("out of date"), "out of date"),
        ("stop", held, "incidents not cleared"),
        (worst, len(defects), "open defects"),
        ("caution", due, "due in 30 days"),
        ("go", sum(now.verdict == "go" for _, now in items), "in service, not due"),
    ]
    return [(verdict if number else "", f"{number:,}", what) for verdict, number, what in counts]


def _open(site: "Site", items: list[tuple[Item, Fitness]], region: str) -> Section:
    """Worst first: incidents and defects that stop a station, quarantine, then the rest."""
    rows = [
        Row(
            (incident.station, f"incident: {incident.event}\n{incident.says}".rstrip(), local(incident.happened_at), incident.told_by),
            "stop",
        )
        for incident in site.incidents(open_only=True)
    ]
    for item, now in items:
        if now.word == "quarantined":
            since, by = _since(site, item)
            what = f"{item.reason}\nquarantine; {kind_words(item.item, item.gas, region)}"
            rows.append(Row((item.mark, what, since, by), "stop"))
    defects = sorted(site.defects(open_only=True), key=lambda defect: (defect.severity != "stop", defect.found_at))
    rows += [
        Row(
            (defect.mark or defect.station, f"{defect.says}\ndefect{_at(defect.station if defect.mark else '')}", local(defect.found_at), defect.found_by),
            "stop" if defect.severity == "stop" else "caution",
        )
        for defect in defects
    ]  # fmt: skip
    columns = (("What", 2.2), ("Why", 4.0), ("Since", 1.6), ("By", 1.8))
    return Section("Open now: incidents, quarantine, defects", columns, rows, "Nothing is open.")


def _since(site: "Site", item: Item) -> tuple[str, str]:
    """When and by whom an item was last put in quarantine."""
    for event in site.history(mark=item.mark, limit=100):
        if isinstance(event.body, e.Quarantined) or (isinstance(event.body, e.TestResult) and not event.body.passed):
            return local(event.happened_at), event.author
    return "", ""


def _at(station: str) -> str:
    return f" at {station}" if station else ""


def _due(items: list[tuple[Item, Fitness]], on: date, region: str) -> Section:
    late = [
        (i, now) for i, now in items if i.state == "in service" and now.has("age-unknown", "overdue", "date-missing", "late", "due-soon")
    ]
    late.sort(key=lambda pair: (pair[1].days is not None, pair[1].days or 0, key(pair[0].mark)))
    rows = [
        Row(
            (item.mark, kind_words(item.item, item.gas, region), now.until or "age not known", now.says, basis(item), item.station),
            now.verdict,
        )
        for item, now in late
    ]
    columns = (("Mark", 1.7), ("What", 2.3), ("Until", 1.5), ("State", 2.3), ("Counted from", 1.9), ("Fitted at", 2.0))
    return Section(
        "Due list", columns, rows, "Nothing is out of date, or due within 30 days.", f"As of {on.isoformat()}: what is out of date, and what is due within 30 days."
    )  # fmt: skip


def _round(site: "Site", event: Recorded, signed: Recorded | None) -> Round:
    body = event.body
    assert isinstance(body, e.RoundDone)
    report = _report(site, event)
    if signed is not None and isinstance(signed.body, e.SignOff):
        told = f"Signed fit by {signed.author}, until {local(signed.body.valid_until)}."
    else:
        told = {
            "signed": "Signed in the round; no sign-off is in the log.",
            "stopped": "Not signed: a stop stands.",
            "unsigned": "Gone to its end; the sign-off was refused.",
        }.get(body.state, "Not finished.")
    about = f"{told} Led by {event.author}. Event {event.sequence}" + (f", card {body.card[:8]}." if body.card else ".")
    readings, ticks = _readings(report)
    if ticks:
        about += f" {ticks} looks and steps ticked."
    if not report:
        about += " No report was kept with it."
    verdict = "go" if signed is not None and body.verdict == "go" else body.verdict
    return Round(f"{local(event.happened_at)} · {body.station}", about, readings, verdict)


def _report(site: "Site", event: Recorded) -> Mapping[str, Any]:
    """The round's report where one was kept and can be read."""
    if "report" not in event.documents:
        return {}
    try:
        found = json.loads(site.document(event.documents["report"]))
    except ValueError:
        return {}
    return found if isinstance(found, dict) else {}


def _readings(report: Mapping[str, Any]) -> tuple[list[tuple[str, str]], int]:
    """Every answer that is more than a tick, stops first of the leak test; and how many ticks."""
    found: list[tuple[str, str]] = []
    for drop in report.get("drop", []):
        read = f"{drop.get('reading') or 'not read'}, {drop.get('verdict', '')}".strip(", ")
        minutes = drop.get("minutes")
        found.append(
            (f"Leak test, {drop.get('line', '')}", f"{read}" + (f" ({minutes:g} min)" if isinstance(minutes, int | float) else ""))
        )
    ticks = 0
    for step in report.get("steps", []):
        if step.get("state") != "answered" or step.get("value") is None:
            continue
        if step.get("kind") == "tick":
            ticks += 1
        else:
            found.append((_short(str(step.get("do", step.get("id", "")))), _value(step["value"])))
    return found, ticks


def _short(told: str) -> str:
    first = told.partition(". ")[0].rstrip(".")
    return first if len(first) <= _LONGEST else first[: _LONGEST - 1].rstrip() + "…"


def _value(value: Any) -> str:
    text = value if isinstance(value, str) else json.dumps(value, ensure_ascii=False)
    return text if len(text) <= 60 else text[:59] + "…"


def _tests(site: "Site", recorded: list[Recorded]) -> Section:
    roles = {key(person.name): person for person in site.people()}
    rows = []
    for event in recorded:
        if not isinstance(event.body, e.TestResult):
            continue
        body, day = event.body, datetime.fromisoformat(event.happened_at).astimezone().date()
        held = ", ".join(sorted(roles[key(event.author)].roles(day))) if key(event.author) in roles else "no authorisation in the log"
        limit = f"\nlimit {body.limit}" if body.limit else ""
        read = ", ".join(f"{name} {value}" for name, value in body.readings.items())
        outcome = "passed" if body.passed else "failed"
        rows.append(
            Row(
                (
                    local(event.happened_at)[:10],
                    body.mark,
                    body.test,
                    f"{body.value}{limit}",
                    f"{outcome}\n{read}".rstrip(),
                    f"{event.author}\n{held}",
                ),
                "go" if body.passed else "stop",
            )
        )
    columns = (("Day", 1.3), ("Mark", 1.8), ("Test", 1.5), ("Result", 1.8), ("Came to", 2.0), ("Answers for it, and as what", 2.6))
    return Section("Tests with their numbers", columns, rows, "No test was recorded in this period.")


def _defects(site: "Site", period: Period) -> Section:
    rows = [
        Row((defect.mark or defect.station, defect.says, f"{local(defect.found_at)[:10]}\n{defect.found_by}", f"{local(defect.closed_at)[:10]}\n{defect.closed_by}", defect.how))
        for defect in site.defects(open_only=False)
        if defect.closed_at and period.since.isoformat() <= local(defect.closed_at)[:10] <= period.until.isoformat()
    ]  # fmt: skip
    columns = (("What", 1.8), ("Defect", 2.8), ("Found", 1.5), ("Closed", 1.5), ("How", 2.6))
    return Section("Defects closed in the period", columns, rows, "None was closed in this period.")


def _incidents(site: "Site", period: Period) -> Section:
    rows = []
    for incident in site.incidents(open_only=False):
        day = local(incident.happened_at)[:10]
        if period.since.isoformat() <= day <= period.until.isoformat():
            cleared = f"{local(incident.cleared_at)}\n{incident.cleared_by}" if incident.cleared_at else "not cleared"
            what = f"{incident.event}\n{incident.says}".rstrip()
            rows.append(
                Row((local(incident.happened_at), incident.station, what, incident.told_by, cleared), "" if incident.cleared_at else "stop")
            )
    columns = (("When", 1.6), ("Station", 2.0), ("What", 3.2), ("Told by", 1.5), ("Cleared", 1.7))
    return Section("Incidents", columns, rows, "None was recorded in this period.")


def _people(site: "Site", on: date) -> Section:
    rows = [
        Row((person.name, grant.role, grant.since, grant.ended or grant.until or "open", f"{grant.basis or 'none given'}\nby {grant.by}" if grant.by else grant.basis))
        for person in site.people()
        for grant in person.grants
    ]  # fmt: skip
    columns = (("Name", 2.0), ("May act as", 2.0), ("Since", 1.2), ("Until", 1.2), ("On the grounds of", 3.0))
    return Section(
        "Authorisations", columns, rows, "Nobody is authorised in the log.", f"As of {on.isoformat()}, those that have ended included."
    )


def _training(recorded: list[Recorded], corrected: Mapping[str, str]) -> Section:
    """Marked drills of the period; one that was corrected says so."""
    rows = [
        Row(
            (
                local(event.happened_at)[:10],
                body.person,
                f"{body.drill}, sitting {body.sitting}",
                f"{body.points} of {body.of}\npass mark {body.pass_mark}",
                ("passed" if body.passed else "not passed") + ("\ncorrected since" if event.id in corrected else ""),
                event.author,
            )
        )
        for event in recorded
        if isinstance(body := event.body, e.Trained)
    ]
    columns = (("Day", 1.2), ("Name", 2.0), ("Drill", 1.8), ("Points", 1.4), ("Came to", 1.3), ("Marked by", 1.8))
    return Section("Training", columns, rows, "No drill was recorded in this period.")


def _cylinders(recorded: list[Recorded]) -> Section:
    rows = [
        Row(
            (
                local(event.happened_at),
                event.body.mark,
                event.body.gas,
                event.body.came_from,
                event.body.to,
                event.body.state,
                event.body.contents,
            )
        )
        for event in recorded
        if isinstance(event.body, e.CylinderMoved)
    ]
    columns = (("When", 1.6), ("Mark", 1.6), ("Gas", 1.2), ("From", 1.8), ("To", 1.8), ("State", 0.8), ("Contents", 1.2))
    return Section("Cylinders in and out", columns, rows, "No movement was recorded in this period.")


def _filed(recorded: list[Recorded]) -> Section:
    rows = [
        Row((str(event.sequence), local(event.happened_at), event.author, says(event.body)))
        for event in recorded
        if isinstance(event.body, e.StationFiled | e.PaperFiled | e.StationRetired)
    ]
    columns = (("Event", 0.7), ("When", 1.5), ("By", 1.6), ("What", 6.0))
    return Section("Files of stations, charts and policies", columns, rows, "None was filed in this period.")


def _corrections(recorded: list[Recorded]) -> Section:
    rows = [
        Row((str(event.sequence), local(event.happened_at), event.author, says(event.body)))
        for event in recorded
        if isinstance(event.body, e.Correction | e.PolicyChanged | e.KeyChanged | e.Rebuilt | e.AccountChanged)
    ]
    columns = (("Event", 0.7), ("When", 1.5), ("By", 1.6), ("What", 6.0))
    return Section("Corrections, and changes of policy, key, register or accounts", columns, rows, "None in this period.")


def _intervals(site: "Site") -> Section:
    rows = []
    for name, rule in site.policy.classes.items():
        asked = [
            f"replaced after {rule.replace}, counted from {_else(rule.replace_from)}" if rule.replace else "",
            f"tested after {rule.test}, counted from {_else(rule.test_from)}" if rule.test else "",
        ]
        rows.append(Row((name, "; ".join(part for part in asked if part) or "no set date: looked at before use", rule.release_by)))
    columns = (("Kind", 1.5), ("In service until", 5.0), ("Quarantine is cleared by", 2.5))
    note = "Intervals are the site's choice, from a regional template. The maker, the law and the insurer may ask for less."
    return Section("Rules in force", columns, rows, "No rule.", note)


def _else(names: tuple[str, ...]) -> str:
    return ", else ".join({"tested": "last test", "in_service": "in service"}.get(name, name) for name in names)


def _register(items: list[tuple[Item, Fitness]], region: str) -> Section:
    rows = []
    for item, now in sorted(items, key=lambda pair: key(pair[0].mark)):
        age = "\n".join(
            f"{name.replace('_', ' ')} {item.dates[name].date}" for name in ("made", "bought", "in_service") if name in item.dates
        )
        tested = f"{item.dates['tested'].date}\n{item.dates['tested'].basis}".rstrip() if "tested" in item.dates else ""
        what = f"{kind_words(item.item, item.gas, region)}\n{item.type}".rstrip()
        mark = "" if now.word == "retired" else now.verdict
        rows.append(Row((item.mark, what, age, tested, now.until, now.says, f"{item.station}\n{item.place}".rstrip()), mark))
    columns = (("Mark", 1.7), ("What", 2.2), ("Age", 1.7), ("Tested", 1.6), ("Until", 1.35), ("State", 1.8), ("Fitted at", 1.9))
    return Section("Register of gear", columns, rows, "No gear is in the register.", "Every item the site has or had.")
