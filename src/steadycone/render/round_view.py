"""A round's report as everything a page needs. Text, page and PDF start here."""

from dataclasses import dataclass, replace
from datetime import datetime
from itertools import groupby
from typing import Any

from steadycone.card.card import Card
from steadycone.practice.drop.pattern import VALVE
from steadycone.practice.finding import Verdict
from steadycone.procedures.rounds import PlanStep, Round, judged
from steadycone.quantity import KINDS, Quantity, exact
from steadycone.render.model import Side, SourceLine, View
from steadycone.render.round_words import RoundWords
from steadycone.render.view import view_of
from steadycone.render.view_findings import Letters, source_line
from steadycone.render.words import VERDICTS, capital, needle_words


@dataclass(frozen=True, slots=True)
class StepRow:
    """One step: its number, what was asked, the answer, when; `note` tells what was corrected."""

    number: int
    do: str
    answer: str
    time: str
    verdict: Verdict | None
    note: str


@dataclass(frozen=True, slots=True)
class Phase:
    name: str
    rows: tuple[StepRow, ...]


@dataclass(frozen=True, slots=True)
class DropBox:
    """One line's needle test: (gauge, from and to, what it means) for both gauges."""

    side: Side
    heading: str
    verdict: Verdict
    says: str
    rows: tuple[tuple[str, str, str], ...]
    note: str


@dataclass(frozen=True, slots=True)
class FindingRow:
    verdict: Verdict
    subject: str
    says: str
    remedy: str
    letters: str


@dataclass(frozen=True, slots=True)
class Signed:
    """What the signature says: by whom, until when, what ends it before, what comes before the flame."""

    by: str
    at: str
    until: str
    ends: str
    purge: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class RoundView:
    card: View  # of the card: colours, paper, words of the floor
    name: str
    made: str
    gone: str  # who went round, and when
    verdict: Verdict
    verdict_word: str
    verdict_says: str
    state: str
    signed: Signed | None
    stops: tuple[FindingRow, ...]  # with what would clear each
    drops: tuple[DropBox, ...]
    findings: tuple[FindingRow, ...]
    go_count: int
    phases: tuple[Phase, ...]
    void: tuple[str, ...]
    advice: str
    sources: tuple[SourceLine, ...]


def round_view(now: Round, card: Card, card_told: dict[str, Any], report: dict[str, Any]) -> RoundView:
    """`report` is the round's JSON dictionary: what it says is shown, not made twice."""
    told, letters = RoundWords(now.plan), Letters()
    rows = [_finding(found, told, letters) for found in report["findings"] if found["verdict"] != "go"]
    stops = [row for row in rows if row.verdict == "stop"]
    site = card.figures.setup.policy.site
    return RoundView(
        card=view_of(card, card_told),
        name=report["station"]["name"],
        made=f"Round {report['hash'][:4]} {report['hash'][4:8]} · card {report['card']['hash'][:4]} {report['card']['hash'][4:8]} of "
        f"{report['card']['on']}, {VERDICTS[report['card']['verdict']]} · station file {report['station']['hash'][:8]} · gauge pressures",
        gone=_gone(report),
        verdict=report["verdict"],
        verdict_word=VERDICTS[report["verdict"]],
        verdict_says=_says(report, now, told),
        state=report["state"],
        signed=_signed(report["sign_off"]),
        stops=tuple(replace(row, remedy=block["clears"]) for row, block in zip(stops, report["blocks"], strict=True)),
        drops=tuple(_drop(drop, now, told) for drop in report["drop"]),
        findings=tuple(row for row in rows if row.verdict != "stop"),
        go_count=sum(found["verdict"] == "go" for found in report["findings"]),
        phases=_phases(report, now, told),
        void=tuple(f"{clock(each['at'])} {each['value']}" for each in report["gone"]),
        advice=report["advice"],
        sources=tuple(source_line(letter, key, site) for key, letter in letters.given.items()),
    )


def clock(moment: str) -> str:
    """Hours and minutes in the zone that the answer was given in."""
    return datetime.fromisoformat(moment).strftime("%H:%M")


def _gone(report: dict[str, Any]) -> str:
    who = report["who"] or "Nobody yet"
    if report["started"] is None:
        return who
    first, last = datetime.fromisoformat(report["started"]), datetime.fromisoformat(report["ended"])
    end = f"{last:%H:%M}" if last.date() == first.date() else f"{last:%Y-%m-%d %H:%M}"
    zone = first.strftime("%z")
    return f"{who} · {first:%Y-%m-%d %H:%M} to {end} (UTC{zone[:3]}:{zone[3:5]})"


def _says(report: dict[str, Any], now: Round, told: RoundWords) -> str:
    if report["sign_off"]:
        return f"Signed fit until {clock(report['sign_off']['valid_until'])}."
    if report["state"] == "open":
        return f"Not finished. Step {told.number(now.plan.step(report['next']))} of {report['plan']['steps']} is next."
    count = len(report["blocks"])
    return f"Not signed. Clear {count} stop{'s' if count != 1 else ''}."


def _signed(sign: dict[str, Any] | None) -> Signed | None:
    if sign is None:
        return None
    at, until = datetime.fromisoformat(sign["at"]), datetime.fromisoformat(sign["valid_until"])
    return Signed(
        by=sign["by"],
        at=f"{at:%Y-%m-%d %H:%M}",
        until=f"{until:%Y-%m-%d %H:%M}",
        ends=capital(", ".join(sign["says"][:-1]) + f" or {sign['says'][-1]}."),
        purge=tuple(purge["do"] for purge in sign["purge_first"]),
    )


def _finding(found: dict[str, Any], told: RoundWords, letters: Letters) -> FindingRow:
    subject = told.words.subject(found["subject"])
    return FindingRow(found["verdict"], capital(subject), found["says"], found["remedy"], letters.of(tuple(found["source"])))


def _drop(drop: dict[str, Any], now: Round, told: RoundWords) -> DropBox:
    line = drop["line"]
    name = capital(told.words.gas(str(now.plan.step(f"leak-end-low.{line}").numbers["gas"])))
    found = judged(now)
    finding = next(told.finding(each, now) for each in found if each.drop is not None and each.drop.line == line)
    bled = [each.finding.verdict for each in found if each.finding.code == "round-valve" and each.step.line == line]
    shuts = bled == ["go"]
    also = ", ".join(needle_words(each) for each in drop["also_possible"] if not (shuts and each == VALVE))
    reading = "the high needle rose" if shuts and drop["reading"] == VALVE else needle_words(drop["reading"] or drop["because"][0])
    return DropBox(
        side="fu" if line == "fuel" else "ox",
        heading=name,
        verdict=drop["verdict"],
        says=capital(reading) + (f", {drop['minutes']:.0f} min" if drop["minutes"] else ""),
        rows=tuple(_side(drop, side, told) for side in ("high", "low") if drop[side]),
        note=" ".join(
            part
            for part in (
                f"Could also be: {also}." if also else "",
                "Bled afterwards, it stayed at zero: the supply valve shuts." if shuts else "",
                "" if drop["reading"] else told.words.says(finding),
            )
            if part
        ),
    )


def _side(drop: dict[str, Any], side: str, told: RoundWords) -> tuple[str, str, str]:
    read = drop[side]
    start, end = (told.words.numbers.show(exact(read[when]["value"] * 1e5, "gauge pressure")) for when in ("start", "end"))
    floor = told.words.numbers.show(_leak(read["floor"]), "up") if read["floor"] else ""
    if read["leak"] is None:
        return side, f"{start} to {end}", "can't show a leak"
    still = drop["reading"] == "no movement seen"
    means = f"loses less than {floor}" if still else f"{told.leak(_leak(read['leak']))}; sees {floor}"
    return side, f"{start} to {end}", means


def _leak(number: dict[str, Any]) -> Quantity:
    """From the report's litres an hour back to mol/s."""
    size = KINDS["leak"][1]
    return Quantity(number["value"] * size, number["low"] * size, number["high"] * size, "leak")


def _phases(report: dict[str, Any], now: Round, told: RoundWords) -> tuple[Phase, ...]:
    rows = [(step, _row(place, step, now.plan.steps[place - 1], told)) for place, step in enumerate(report["steps"], 1)]
    shown = [(step["phase"], row) for step, row in rows if step["state"] != "not asked"]
    return tuple(Phase(phase, tuple(row for _, row in found)) for phase, found in groupby(shown, key=lambda each: each[0]))


def _row(number: int, step: dict[str, Any], asked: PlanStep, told: RoundWords) -> StepRow:
    corrected = "; ".join(f"{clock(each['at'])} {each['value']}" for each in step["corrected"])
    return StepRow(
        number=number,
        do=capital(told.do(asked)),
        answer=_answer(step),
        time=clock(step["at"]) if step["at"] else "",
        verdict=step.get("verdict") or ("go" if step["value"] else None),
        note=f"corrected; was {corrected}" if corrected else "",
    )


def _answer(step: dict[str, Any]) -> str:
    if step["value"] is None:
        return ""
    return str(step["value"])
