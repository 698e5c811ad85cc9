"""What happened in a round, from its answers' own words: triage is asked, and what holds a station holds the round."""

from dataclasses import dataclass
from functools import lru_cache

from steadycone.data.reader import toml
from steadycone.procedures.rounds.limits import TABLE
from steadycone.procedures.rounds.plan import PlanStep
from steadycone.procedures.rounds.state import Round
from steadycone.procedures.rounds.values import read_value
from steadycone.procedures.triage import Triage, triage


@dataclass(frozen=True, slots=True)
class Happening:
    """A fail whose words name an event that holds the station. `said`: as it was answered."""

    step: PlanStep
    said: str
    triage: Triage


def happened(now: Round) -> tuple[Happening, ...]:
    """Everything that holds the station, of all answers ever given: answered again or not, it happened.

    Source      round-happened-judged
    """
    phases = toml(TABLE)["happened"]["phases"]
    found = []
    for answer in now.log:
        step = now.plan.step(answer.step)
        if step.phase not in phases or step.kind not in ("tick", "wait"):
            continue
        value = read_value(step, answer, now.plan.judged.figures.atmosphere)
        if value.stops and (heard := _heard(_with_subject(value.said.partition(":")[2].strip(), step), step, now)):
            found.append(Happening(step, value.said, heard))
    return tuple(found)


def _with_subject(said: str, step: PlanStep) -> str:
    """A look's mark of a flame is said of the part that was looked at: "soot in it" names none."""
    table = toml(TABLE)["happened"]
    if not step.looks or not any(word.startswith(tuple(table["marks"])) for word in said.lower().split()):
        return said
    part = next((name for name in table["parts"] if any(look.id.startswith(name) for look in step.looks)), "")
    return f"{part} {said}" if part and part not in said.lower() else said


def _heard(said: str, step: PlanStep, now: Round) -> Triage | None:
    """The triage of what was seen; None for what does not hold a station, and for a fail without a sign."""
    region = now.plan.judged.figures.setup.station.station.region
    told = _triage(said, region) if any(letter.isalpha() for letter in said) else None
    worst = toml("triage/events.toml")[toml(TABLE)["happened"]["held_from"]]["danger"]
    if told is None or told.danger < worst:
        return None
    return told if step.phase != "inspect" or told.event in toml(TABLE)["happened"]["looks"] else None


@lru_cache(maxsize=256)
def _triage(said: str, region: str) -> Triage | None:
    from steadycone.errors import InputError

    try:
        return triage(said, None, region)
    except InputError:  # nothing that says anything: the fail itself stops
        return None
