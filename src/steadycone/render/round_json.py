"""A round's report as JSON: every step with its answer, what the needles say, findings, and what the signature is worth."""

from typing import Any

from steadycone import __version__
from steadycone.card.card import Card
from steadycone.data import reader
from steadycone.practice.finding import Finding, worst
from steadycone.procedures.rounds import Given, LineDrop, PlanStep, Round, RoundFinding, drops, judged, next_step, sign_off
from steadycone.procedures.rounds.sign import ENDS, state, verdict
from steadycone.quantity import Quantity, exact
from steadycone.render import emergency, json_card
from steadycone.render.round_phone import limits
from steadycone.render.round_readings import division
from steadycone.render.round_words import RoundWords

FORMAT = "steadycone-round/1"
_ENDED = ("joint-broken", "cylinder-changed", "hose-changed", "tip-changed", "moved", "shift-ended", "break")


def round_dict(now: Round, card: Card, card_told: dict[str, Any]) -> dict[str, Any]:
    """The report, ready to be written as JSON. `card_told`: the card's own dictionary."""
    told = RoundWords(now.plan)
    found = judged(now)
    coming = next_step(now)
    report: dict[str, Any] = {
        "format": FORMAT,
        "station": card_told["station"] | {"hash": now.plan.station},
        "card": {key: card_told[key] for key in ("hash", "on", "verdict")},
        "plan": {"hash": now.plan.hash, "steps": len(now.plan.steps)},
        "who": now.given["who"].value.said if "who" in now.given else None,
        "started": now.log[0].at.isoformat() if now.log else None,
        "ended": now.log[-1].at.isoformat() if now.log else None,
        "state": state(now),
        "verdict": verdict(now),
        "next": coming.id if coming else None,
        "steps": [_step(step, now, told, found) for step in now.plan.steps],
        "gone": [{"value": f"{answer.step}: {answer.value}", "at": answer.at.isoformat()} for answer in now.gone],
        "drop": [_drop(drop, now, found) for drop in drops(now)],
        "findings": _findings(now, card_told, told, found),
        "blocks": _blocks(now, card, told, found),
        "sign_off": _sign_off(now, told),
        "advice": reader.toml("cautions.toml")["advice"].replace("this card", "this round"),
        "cautions": card_told["cautions"],
        "emergency": emergency.branches(card.figures.setup.station.station.region),
    }
    report["sources"] = json_card.used_sources(card, report)
    report["hash"] = json_card.card_hash(report)
    report["made_by"] = {"version": __version__, "data": reader.fingerprint()}
    return report


def plan_dict(now: Round) -> dict[str, Any]:
    """What a round will ask, for whoever writes an answers file."""
    told = RoundWords(now.plan)
    return {
        "format": "steadycone-round-plan/1",
        "station": now.plan.station,
        "plan": now.plan.hash,
        "steps": [_asked(step, told) | {"asked": limits(step, told)} for step in now.plan.steps],
    }


def _asked(step: PlanStep, told: RoundWords) -> dict[str, Any]:
    return {
        "id": step.id,
        "phase": step.phase,
        "kind": step.kind,
        "do": told.do(step),
        "why": told.why(step),
        "stop": told.fill(step.stop, step.numbers),
        "looks": [
            {
                "id": look.id,
                "look": told.fill(look.look, look.numbers),
                "passes": told.fill(look.passes, look.numbers),
                "fails": told.fill(look.fails, look.numbers),
                "action": told.fill(look.action, look.numbers),
                "stated": look.stated or None,
            }
            for look in step.looks
        ],
        "options": [option.value for option in step.options],
        "unit": told.unit(step) or None,
        "division": division(step, told),
        "seconds": step.seconds,
        "optional": step.optional,
        "variant": step.variant,
        "source": list(step.source),
    }


def _step(step: PlanStep, now: Round, told: RoundWords, found: tuple[RoundFinding, ...]) -> dict[str, Any]:
    given: Given | None = now.given.get(step.id) if now.is_asked(step) else None
    report = _asked(step, told) | {
        "state": "answered" if given else "missing" if now.is_asked(step) else "not asked",
        "value": given.value.said if given else None,
        "at": given.answer.at.isoformat() if given else None,
        "corrected": [{"value": str(answer.value), "at": answer.at.isoformat()} for answer in given.earlier] if given else [],
    }
    if given and given.value.number is not None:
        report["reading"] = _number(given.value.number)
    verdicts = [each.finding.verdict for each in found if each.step is step]
    return report | ({"verdict": worst(verdicts)} if verdicts else {})


def _number(number: Quantity | None) -> dict[str, Any] | None:
    return None if number is None else json_card.told_number(number, number.kind)


def _drop(drop: LineDrop, now: Round, found: tuple[RoundFinding, ...]) -> dict[str, Any]:
    finding = next(each.finding for each in found if each.drop is not None and each.drop.line == drop.line)
    air, test, read = now.plan.judged.figures.atmosphere, drop.test, drop.reading
    policy = now.plan.judged.figures.setup.policy.leak.reject
    report: dict[str, Any] = {
        "line": drop.line,
        "reading": read.reading if read else None,
        "also_possible": list(read.also_possible) if read else [],
        "because": list(read.because) if read else [drop.trouble or "a gauge was not read"],
        "verdict": finding.verdict,
        "minutes": round(test.time / 60, 4) if test else None,
        "high": None,
        "low": None,
        "low_leak_at_working": _number(read.low_leak_at_working) if read else None,
        "low_floor_at_working": _number(read.low_floor_at_working) if read else None,
        "rejects": _number(exact(policy.amount(now.plan.judged.figures.lines[drop.line].gas.molar_mass), "leak")),
    }
    if test and read:
        sides = ((test.high, read.high_leak, read.high_floor, read.high_wait), (test.low, read.low_leak, read.low_floor, read.low_wait))
        for side, leak, floor, wait in sides:
            start, end = (_number(exact(pressure - air, "gauge pressure")) for pressure in (side.start, side.end))
            report[side.name] = {"start": start, "end": end, "leak": _number(leak), "floor": _number(floor), "wait": _number(wait)}
    return report


def _findings(now: Round, card_told: dict[str, Any], told: RoundWords, found: tuple[RoundFinding, ...]) -> list[dict[str, Any]]:
    """The round's own and the card's, worst first; within one verdict the round's come first."""
    own = [json_card.told_finding(told.finding(each, now), told.words) | {"of": "round", "step": each.step.id} for each in found]
    cards = [finding | {"of": "card", "step": None} for finding in card_told["findings"]]
    order = {"stop": 0, "caution": 1, "go": 2}
    return sorted([*own, *cards], key=lambda finding: order[finding["verdict"]])


def _blocks(now: Round, card: Card, told: RoundWords, found: tuple[RoundFinding, ...]) -> list[dict[str, Any]]:
    """Every stop, and what would clear it."""
    own = [(told.finding(each, now), each.step.id) for each in found if each.finding.verdict == "stop"]
    blocks: list[tuple[Finding, str | None]] = [*own, *((finding, None) for finding in card.findings if finding.verdict == "stop")]
    after_card = " Then make a new card, and begin a new round."
    return [
        {
            "what": f"{told.words.subject(finding.subject)}: {told.words.says(finding)}",
            "clears": told.words.remedy(finding) + ("" if step else after_card),
            "step": step,
        }
        for finding, step in blocks
    ]


def _sign_off(now: Round, told: RoundWords) -> dict[str, Any] | None:
    signed = sign_off(now)
    if signed is None:
        return None
    longest = exact(signed.longest_break, "minutes")
    purges = [step for step in now.plan.steps if step.phase == "purge" and step.kind == "wait" and step.only is not None]
    return {
        "by": signed.by,
        "at": signed.at.isoformat(),
        "valid_until": signed.valid_until.isoformat(),
        "longest_break": _number(longest),
        "ends_with": [*ENDS, "break"],
        "says": ends_says(told, longest),
        "lit": signed.lit,
        "purge_first": [] if signed.lit else [{"do": told.do(step), "seconds": step.seconds} for step in purges],
    }


def ends_says(told: RoundWords, longest: Quantity) -> list[str]:
    """What ends a sign-off, in words."""
    table = reader.toml("rounds.toml")["ends"]
    return [told.words.fill(table[end], {"longest": longest}) for end in _ENDED]
