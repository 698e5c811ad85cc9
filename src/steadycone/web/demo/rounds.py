"""Rounds of the demo yard, really gone through: a plan from the station's files, answers to every step that comes to be asked, the fold."""

import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from functools import cached_property
from typing import Any

from steadycone.card.anew import anew, least_supply
from steadycone.card.card import Card
from steadycone.card.make import make_card
from steadycone.files.gather import Gathered
from steadycone.procedures import settings
from steadycone.procedures.rounds import Answer, Plan, PlanStep, Round, StopFirst, begin, make_plan, take, upcoming
from steadycone.render.json_card import card_bytes, card_dict
from steadycone.render.round_json import round_dict
from steadycone.web.demo.stations import Place

_PACE = (14, 22, 17, 31, 19, 26)  # s from one answer to the next, over and over
_SIZES = {"bar": 1e5}  # the demo's gauges are in bar


@dataclass(frozen=True, slots=True)
class Walk:
    """How somebody goes round: who, who signs, when they begin and until when the shift lasts.

    said : answers other than the ones in order, by step
    until : step before which it is left; empty = gone to its end
    """

    who: str
    signs: str
    begun: datetime
    shift_end: datetime
    said: Mapping[str, str] = field(default_factory=dict)
    until: str = ""


@dataclass(frozen=True)
class Gone:
    """A round as far as it was gone, and what it was made from."""

    place: Place
    files: Gathered
    card: Card
    told: dict[str, Any]
    round: Round

    @property
    def ended(self) -> datetime:
        return self.round.log[-1].at

    @property
    def answers(self) -> list[dict[str, Any]]:
        return [answer.out() for answer in self.round.log]

    @cached_property
    def report(self) -> dict[str, Any]:
        return round_dict(self.round, self.card, self.told)

    def papers(self) -> dict[str, bytes]:
        """What is kept with its record, as for any round."""
        plan = self.round.plan
        answers = {"station": plan.station, "plan": plan.hash, "answers": self.answers}
        kept = {
            "report": card_bytes(self.report),
            "card": card_bytes(self.told),
            "answers": json.dumps(answers, ensure_ascii=False).encode(),
        }
        return kept | self.files.papers


def go_round(place: Place, walk: Walk) -> Gone:
    """A round of this station's file on the day it is begun.

    Raises  InputError: an answer of `walk` that its step does not take.
    """
    files = place.files
    card = make_card(files.setup, walk.begun.date())
    told = card_dict(card)
    plan = make_plan(card, files.digest, also=(told["hash"],), anew=anew(files.setup), least=least_supply(card))
    return Gone(place, files, card, told, _gone(plan, walk))


def _gone(plan: Plan, walk: Walk) -> Round:
    now, at = begin(plan), walk.begun
    while (step := upcoming(now)) is not None and step.id != walk.until:
        at += timedelta(seconds=_PACE[len(now.log) % len(_PACE)] + (step.seconds or 0))
        try:
            now = take(now, Answer(step.id, _answer(plan, step, walk), at))
        except StopFirst:
            break
    return now


def _answer(plan: Plan, step: PlanStep, walk: Walk) -> str:
    """In order: done, the first choice, or what the card says, on the gauge's own mark."""
    if step.id in walk.said:
        return walk.said[step.id]
    if step.kind == "text":
        return walk.signs if step.id == "sign" else walk.who
    if step.kind == "choice":
        return step.options[0].value
    if step.kind != "reading":
        return "done"
    if step.reading == "temperature":
        return "12 °C"
    if step.reading == "time of day":
        return f"{walk.shift_end:%H:%M}"
    if step.reading == "share":
        return "0 %" if step.judge == "air-fuel" else "20.9 %"
    return _gauge(plan, step)


def _gauge(plan: Plan, step: PlanStep) -> str:
    """What the card has for this gauge, on its nearest mark."""
    assert step.division is not None
    figures = plan.judged.figures
    line = figures.lines[step.line]
    if step.judge == "zero":
        wanted = 0.0
    elif step.reading == "high":
        wanted = line.supply.pressure.value or 0.0
    else:
        planned = line.set_pressure if step.judge == "set" else settings.test_pressure(figures, line)
        wanted = planned.value or 0.0
    return on_mark(step.division.si, wanted, step.division.unit)


def on_mark(division: float, pressure: float, unit: str) -> str:
    """A pressure as a gauge of this division shows it, both in Pa."""
    return f"{round(pressure / division) * division / _SIZES[unit]:.6g} {unit}"
