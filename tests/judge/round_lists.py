"""Random rounds for the judge: the phone fold's own lists, and the ways round a rule that an auditor would try."""

import random
from dataclasses import replace
from datetime import timedelta
from typing import Any

from steadycone.procedures.rounds import Answer
from tests.round_lists import mutated

Told = dict[str, dict[str, Any]]
SAID = ("fail", "fail: pop", "fail: one pop", "fail: squeal", "fail: hot handle", "fail: soot in it", "fail: bent", "fail: not done")


def tried(rng: random.Random, good: list[Answer], told: Told) -> list[Answer]:
    """One round: in order, gone wrong, or gone round a rule."""
    if rng.random() < 0.4:
        return mutated(rng, good, told)
    found = list(good)
    for _ in range(rng.choice([0, 1, 1, 1, 2])):
        found = rng.choice([_beside_a_limit, _fails_and_mends, _hurries, _corrects, _takes_a_break, _gone_again])(rng, found, told)
    return found


def _number(ask: dict[str, Any], number: float) -> str:
    return f"{max(0.0, number):.{ask['decimals']}f} {ask['unit']}"


def _beside_a_limit(rng: random.Random, found: list[Answer], told: Told) -> list[Answer]:
    """A reading on, and a mark to each side of, one of its limits or the reading it is held beside."""
    places = [at for at, each in enumerate(found) if "press" in told[each.step].get("asked", {}) and told[each.step].get("line")]
    at = rng.choice(places)
    ask = told[found[at].step]["asked"]
    limits = [ask[name] for name in ("low", "high", "wanted") if name in ask]
    if "cap" in ask:
        limits.append(ask["cap"] / ask["size"])
    if "least" in ask:
        limits.append(ask["wanted"] - ask["least"])
    marks = round(rng.choice(limits) / ask["press"]) + rng.choice([-2, -1, 0, 0, 1, 2])
    return [*found[:at], replace(found[at], value=_number(ask, marks * ask["press"])), *found[at + 1 :]]


def _later(answers: list[Answer], by: timedelta) -> list[Answer]:
    return [replace(each, at=each.at + by) for each in answers]


def _fails_and_mends(rng: random.Random, found: list[Answer], told: Told) -> list[Answer]:
    """A fail; then said to be done after all, or gone round again from where the plan says, too late, or from far too far on."""
    at = rng.choice([i for i, each in enumerate(found) if told[each.step]["kind"] in ("tick", "wait", "choice")])
    here = found[at]
    stops = [option for option, stop in told[here.step].get("options", []) if stop]
    said = rng.choice(stops or ["neither"]) if told[here.step]["kind"] == "choice" else rng.choice(SAID)
    bad, mend = replace(here, value=said), here.at + timedelta(seconds=rng.choice([5, 60, 700]))
    by = mend - here.at
    if told[here.step].get("only") and rng.random() < 0.5:  # not lit after all
        step, _ = told[here.step]["only"]
        end = [replace(each, at=mend) for each in found if each.step in ("shift-end", "sign")]
        return [*found[:at], bad, Answer(step, told[step]["options"][-1][0], mend), *end]
    match rng.randrange(4):
        case 0:
            return [*found[:at], bad, replace(here, at=mend), *_later(found[at + 1 :], by)]
        case 1:
            return [*found[:at], bad, replace(here, at=mend, again=True), *_later(found[at + 1 :], by)]
        case 2:
            return [*found[:at], bad, *found[at + 1 :]]
        case _:
            back = next((i for i, each in enumerate(found) if each.step == told[here.step]["again"]), at) + rng.choice([-1, 0, 0, 0, 1, 2])
            back = min(max(back, 0), at)
            shifted = _later(found[back:], mend - found[back].at)
            return [*found[:at], bad, replace(shifted[0], again=True), *shifted[1:]]


def _hurries(rng: random.Random, found: list[Answer], told: Told) -> list[Answer]:
    """A wait cut short, by a second or by most of it."""
    at = rng.choice([i for i, each in enumerate(found) if told[each.step]["kind"] == "wait"])
    room = (found[at].at - found[at - 1].at).total_seconds()
    short = timedelta(seconds=-min(room, rng.choice([19, 20, 21, 25, 60])))
    return [*found[:at], *_later(found[at:], short)]


def _corrects(rng: random.Random, found: list[Answer], told: Told) -> list[Answer]:
    """A wrong value first and the right one at once, or a right one made wrong at the end, signed again or not."""
    at = rng.randrange(len(found))
    here = found[at]
    ask = told[here.step].get("asked", {})
    wrong = (
        _number(ask, ask["start"] + rng.choice([-3, -1, 1, 3]) * ask["press"])
        if ask.get("press") and told[here.step].get("line")
        else here.value
    )
    if rng.random() < 0.5:
        return [*found[:at], replace(here, value=wrong), replace(here, at=here.at + timedelta(seconds=1)), *found[at + 1 :]]
    end = found[-1].at + timedelta(seconds=9)
    signed = [replace(found[-1], at=end)] if rng.random() < 0.6 else []
    return [*found, replace(here, value=wrong, at=end), *signed]


def _takes_a_break(rng: random.Random, found: list[Answer], _: Told) -> list[Answer]:
    at = rng.randrange(1, len(found))
    by = timedelta(seconds=rng.choice([41, 240, 281, 301, 1700, 1779, 1781, 1900, 20_000, 44_000]))
    return [*found[:at], *_later(found[at:], by)]


def _gone_again(rng: random.Random, found: list[Answer], _: Told) -> list[Answer]:
    """Gone again for no reason, from any step, after any step: all of it, or with a step left out."""
    at = rng.randrange(2, len(found))
    back = rng.randrange(at)
    shifted = _later(found[back:], found[at].at - found[back].at + timedelta(seconds=rng.choice([1, 1000, 1801])))
    if rng.random() < 0.3 and len(shifted) > 3:
        shifted.pop(rng.randrange(1, len(shifted) - 1))
    return [*found[: at + 1], replace(shifted[0], again=True), *shifted[1:]]
