"""A round's plan as a phone has it, so that it can lead the round alone and never go further than procedures/rounds would."""

from typing import Any

from steadycone.data.reader import toml
from steadycone.practice.finding import Finding
from steadycone.procedures.rounds import Plan, PlanStep, RoundFinding, again_from, begin
from steadycone.procedures.rounds.judge import GAS_FROM, from_phase
from steadycone.procedures.rounds.limits import limit
from steadycone.procedures.rounds.values import NAMED
from steadycone.procedures.triage.gate import first_actions
from steadycone.render.round_readings import asked_of
from steadycone.render.round_words import RoundWords
from steadycone.render.words import capital

FORMAT = "steadycone-phone-round/1"
SAID = "@said@"  # stands where the answer goes


def phone_plan(plan: Plan) -> dict[str, Any]:
    """Everything the phone's fold asks for, ready to be written as JSON. Pressures in the unit that is asked; `size` takes them to Pa."""
    told = RoundWords(plan)
    figures = plan.judged.figures
    return {
        "format": FORMAT,
        "plan": plan.hash,
        "digest": plan.station,
        "steps": [_step(step, told) for step in plan.steps],
        "lines": list(figures.lines),
        "cardStops": [_card_stop(finding, told) for finding in plan.card_stops],
        "reclose": figures.setup.policy.reclose.si,
        "longestShift": limit("longest-shift").si,
        "held": {
            "pop": toml("rounds.toml")["happened"]["pop"],
            "first": [told.actions(each.do) for each in first_actions(["sustained backfire"])],
        },
        "purgeGone": limit("purge-gone").si,
        "unjudged": toml("web_rounds.toml")["unjudged"],
        "decimal": told.words.numbers.decimal,
    }


def _step(step: PlanStep, told: RoundWords) -> dict[str, Any]:
    plan = told.plan
    found: dict[str, Any] = {
        "id": step.id,
        "number": told.number(step),
        "phase": toml("web_rounds.toml")["phase"][step.phase],
        "kind": step.kind,
        "group": step.group,
        "label": capital(told.label(step)),
        "gas": from_phase(plan, step, GAS_FROM),
        "fails": _fails(step, told),
        "again": again_from(step) or step.id,
    }
    extra: dict[str, Any] = {
        "only": list(step.only) if step.only else None,
        "seconds": step.seconds if step.kind == "wait" else None,
        "runsOn": step.runs_on,
        "lead": toml("web_rounds.toml")["purge"]["lead"] if step.kind == "wait" and step.phase == "purge" else 0,
        "optional": step.optional,
        "judged": bool(step.judge),
        "options": [[option.value, option.stop] for option in step.options],
        "reading": step.reading,
        "asked": limits(step, told),
        "from": step.id.replace("leak-end-", "leak-start-") if step.id.startswith("leak-end-") and step.line else "",
        "line": step.line,
        "beside": step.beside,
        "purges": step.phase == "purge" and step.kind == "wait",
        "lights": step.phase == "light",
        "letters": int(limit("name").si) if step.id in NAMED else 0,
    }
    return found | {name: value for name, value in extra.items() if value not in (None, False, [], "", 0)}


def limits(step: PlanStep, words: RoundWords) -> dict[str, Any] | None:
    """Unit, marks and the values that stop, as phone and plan both have them; None where no number is asked."""
    asked = asked_of(step, words)
    if asked is None:
        return None
    told = {
        "unit": asked.unit, "press": asked.press, "decimals": asked.decimals, "start": asked.start, "size": asked.size, "low": asked.low,
        "high": asked.high, "dead": asked.dead or None, "wanted": asked.wanted, "cap": asked.cap,
        "assumed": asked.assumed or None, "least": asked.least, "most": asked.most,
        "half": 0.5 * step.division.si if step.division else None,
    }  # fmt: skip
    return {name: value for name, value in told.items() if value is not None}


def _fails(step: PlanStep, told: RoundWords) -> list[str]:
    """What a stop here says and what mends it, in the words of the report; the answer's place is held."""
    finding = Finding("round-answer", "stop", step.id, sources=step.source, blanks={"said": SAID})
    filled = told.finding(RoundFinding(finding, step), begin(told.plan))
    return [told.words.says(filled), told.words.remedy(filled).strip()]


def _card_stop(finding: Finding, told: RoundWords) -> list[str]:
    return [
        f"{capital(told.words.subject(finding.subject))}: {told.words.says(finding)}",
        f"{told.words.remedy(finding)} Then make a new card and begin a new round.",
    ]
