"""What a round's pages show beside the step itself."""

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from steadycone.procedures.rounds import PlanStep, Round, again_from, stops
from steadycone.render.round_steps import Screen
from steadycone.web.rounds.made import MadeRound

if TYPE_CHECKING:
    from steadycone.records.drafts import Draft
    from steadycone.web.desk import Desk


@dataclass(frozen=True, slots=True)
class OpenRound:
    """A round that was begun and is not finished. mine : whoever looks may go on with it."""

    id: str
    by: str
    begun: datetime
    answers: int
    mine: bool


def own_rounds(desk: "Desk", station: str) -> list[OpenRound]:
    return [_open(desk, draft) for draft in desk.site.drafts.open_ones(station)]


def _open(desk: "Desk", draft: "Draft") -> OpenRound:
    begun = draft.created_at.astimezone(desk.now.tzinfo)
    return OpenRound(draft.id, draft.author, begun, len(draft.answers), draft.author == desk.person)


def of_phone(made: MadeRound) -> tuple[Screen, ...]:
    return made.screens


def ahead(made: MadeRound, now: Round | None = None) -> list[Screen]:
    """What is read before gas flows: the steps up to the flame, while the hands are still free."""
    place = next((index for index, step in enumerate(made.plan.steps) if step.group == "purge-ready" and step.phase == "purge"), None)
    if place is None:
        return []
    coming = [(step, screen) for step, screen in zip(made.plan.steps, made.screens, strict=True) if step.phase in ("purge", "light")]
    return [screen for step, screen in coming if made.plan.index(step.id) > place and _asked(step, now)]


def _asked(step: PlanStep, now: Round | None) -> bool:
    return now is None or now.is_asked(step)


def cautions(made: MadeRound) -> list[tuple[str, str]]:
    """What the card says that is not in order: the name stands under it."""
    words = made.words.words
    return [
        (finding.verdict, f"{words.subject(finding.subject)}: {words.says(finding)}")
        for finding in made.card.card.findings
        if finding.verdict != "go"
    ]


def told_stops(now: Round, made: MadeRound) -> list[tuple[str, str, str, str]]:
    """Every stop: what, what clears it, the step to answer again, and the step to go round again from (empty: that one alone)."""
    words = made.words
    found = [(each, words.finding(each, now)) for each in stops(now)]
    own = [
        (
            f"Step {words.number(each.step)}: {words.words.says(said)}",
            words.words.remedy(said),
            each.step.id,
            again_from(each.step),
        )
        for each, said in found
    ]
    card = [(what, clears, "", "") for what, clears in made.phone["cardStops"]]
    return [*own, *card]
