"""A triage as data and as text, in the region's words and units."""

import textwrap
from collections.abc import Mapping
from typing import Any

from steadycone.data import reader
from steadycone.practice.finding import Finding
from steadycone.procedures.triage import Ask, Cause, Condition, Triage
from steadycone.quantity import Quantity
from steadycone.render import emergency
from steadycone.render.words import VERDICTS, Words

FORMAT = "steadycone-triage/1"
_WIDTH = 80


class _Told:
    """Fills the texts of data/triage: the region's words, and the emergency list's service and number."""

    def __init__(self, region: str) -> None:
        self.region, self.words = region, Words.of(region)

    def fill(self, text: str, blanks: Mapping[str, Quantity | str] | None = None) -> str:
        return self.words.fill(text, {**emergency.words(self.region), **(blanks or {})})

    def sign(self, name: str) -> str:
        return self.fill(reader.toml("triage/signs.toml")[name]["says"])

    def signs(self, names: tuple[str, ...]) -> list[str]:
        return [self.sign(name) for name in names]

    def ask(self, ask: Ask) -> str:
        return self.fill(ask.ask, {"said": ask.said, "sign": self.sign(ask.sign) if ask.sign else ""})


def triage_dict(triage: Triage, region: str) -> dict[str, Any]:
    """A triage as JSON has it. First actions, never and asks are sentences; causes and conditions are objects with their sources.

    Raises  UnknownName: no such region.
    """
    told = _Told(region)
    return {
        "format": FORMAT,
        "event": triage.event,
        "certainty": triage.certainty,
        "means": told.fill(triage.means),
        "note": note(triage, region),
        "first_actions": [told.fill(action.do) for action in triage.first_actions],
        "causes": [_cause(cause, told) for cause in triage.causes],
        "never": [told.fill(caution.says) for caution in triage.never],
        "back_to_service": [_condition(condition, told) for condition in triage.back_to_service],
        "also_fits": list(triage.also_fits),
        "asks": [told.ask(ask) for ask in triage.asks],
        "heard": {
            "decided_by": told.signs(triage.decided_by),
            "supported_by": told.signs(triage.supported_by),
            "unexplained": told.signs(triage.unexplained),
            "denied": told.signs(triage.heard.absent),
            "words_for_events": list(triage.heard.named),
            "unknown": [{"said": item.said, "nearest": told.sign(item.nearest) if item.nearest else None} for item in triage.heard.unknown],
        },
        "confirmed": triage.confirmed,
        "source": list(triage.sources),
        "first_actions_source": [list(action.sources) for action in triage.first_actions],
        "never_source": [list(caution.sources) for caution in triage.never],
        "sources": {key: reader.sources()[key] for key in keys(triage)},
    }


def keys(triage: Triage) -> list[str]:
    """Every source key of a triage, in order of use."""
    used = [*triage.sources]
    used += [key for action in triage.first_actions for key in action.sources]
    used += [key for cause in triage.causes for key in cause.sources]
    used += [key for cause in triage.causes for finding in (*cause.findings, *cause.cleared) for key in finding.sources]
    used += [key for caution in triage.never for key in caution.sources]
    used += [key for condition in triage.back_to_service for key in condition.sources]
    return list(dict.fromkeys(used))


def note(triage: Triage, region: str) -> str:
    """What must be said about the answer itself: another event fits too, something was not understood, or a hose's fate is open."""
    said = []
    if triage.also_fits:
        said.append(f"Fits {' and '.join(triage.also_fits)} too. What to do is for all of them, the worst first.")
    if triage.heard.unknown:
        said.append("Not understood: " + ", ".join(f'"{item.said}"' for item in triage.heard.unknown) + ".")
    if triage.heard.named:
        said.append("A word for an event decides nothing: " + ", ".join(f'"{word}"' for word in triage.heard.named) + ".")
    if triage.unexplained:
        said.append(f"Not explained by it: {', '.join(_Told(region).signs(triage.unexplained))}.")
    if triage.confirmed is False:
        said.append("Not confirmed: no soot in a hose, no tripped or hot arrestor was named. Look, once all is cold.")
    return " ".join(said)


def _cause(cause: Cause, told: _Told) -> dict[str, Any]:
    return {
        "id": cause.id,
        "says": told.fill(cause.says),
        "why": told.fill(cause.why),
        "raised": cause.raised,
        "station": [_finding(finding, told.words) for finding in (*cause.findings, *cause.cleared)],
        "signs": told.signs(cause.signs),
        "source": list(cause.sources),
    }


def _finding(finding: Finding, words: Words) -> dict[str, Any]:
    found: dict[str, Any] = {"code": finding.code, "verdict": finding.verdict, "subject": words.subject(finding.subject)}
    found["says"] = words.says(finding)
    found |= {name: value.out() for name in ("value", "limit") if (value := getattr(finding, name)) is not None}
    return found | {"source": list(finding.sources)}


def _condition(condition: Condition, told: _Told) -> dict[str, Any]:
    stops = ", ".join(dict.fromkeys(f"{told.words.subject(stop.subject)} ({stop.code.replace('-', ' ')})" for stop in condition.stops))
    return {
        "id": condition.id,
        "condition": told.fill(condition.condition, condition.numbers | {"stops": stops}),
        "why": told.fill(condition.why),
        "who": told.fill(condition.who),
        "evidence": told.fill(condition.evidence),
        "variant": condition.variant,
        "numbers": {name: value.out() for name, value in condition.numbers.items()},
        "source": list(condition.sources),
    }


def triage_text(triage: Triage, region: str) -> str:
    """A triage for a terminal, 80 columns: what to do first stands first."""
    told = _Told(region)
    found = triage_dict(triage, region)
    lines = [f"{triage.event.upper()}   ({triage.certainty})", *_wrapped(found["means"])]
    lines += _wrapped(found["note"]) if found["note"] else []
    lines += ["", "FIRST, in this order"]
    for number, action in enumerate(found["first_actions"], 1):
        lines += _wrapped(action, f"  {number}. ")
    lines += ["", "NEVER", *(line for said in found["never"] for line in _wrapped(said, "  - "))]
    if triage.causes:
        lines += ["", "LIKELY CAUSES"]
        for number, cause in enumerate(triage.causes, 1):
            lines += _cause_lines(cause, number, told)
    lines += ["", "BACK TO SERVICE: every one of these"]
    for condition in found["back_to_service"]:
        lines += _wrapped(condition["condition"], "  [ ] ")
        lines += _wrapped(f"who: {condition['who']}; evidence: {condition['evidence']}", "      ")
    if found["asks"]:
        lines += ["", "ASK NEXT", *(line for ask in found["asks"] for line in _wrapped(ask, "  ? "))]
    return "\n".join([*lines, "", *_wrapped(reader.toml("cautions.toml")["advice"].replace("this card", "this"))]) + "\n"


def _cause_lines(cause: Cause, number: int, told: _Told) -> list[str]:
    lines = _wrapped(f"{told.fill(cause.says)} {told.fill(cause.why)}", f"  {number}. ")
    for finding in (*cause.findings, *cause.cleared):
        lines += _wrapped(f"this station, {VERDICTS[finding.verdict].lower()}: {told.words.says(finding)}", "     > ")
    if cause.signs:
        lines += _wrapped(f"named: {', '.join(told.signs(cause.signs))}", "     > ")
    return lines


def _wrapped(told: str, lead: str = "") -> list[str]:
    return textwrap.wrap(told, _WIDTH, initial_indent=lead, subsequent_indent=" " * len(lead))
