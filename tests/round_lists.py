"""Random lists of answers to a round: right ones, and the ways in which a round goes wrong or is gone again."""

import random
from dataclasses import replace
from datetime import timedelta
from typing import Any

from steadycone.procedures.rounds import Answer, Plan


def mended(found: Plan, answer: Answer, told: dict[str, Any]) -> Answer:
    """In the unit that the phone asks, where the sample wrote the gauge's own."""
    ask = told.get("asked")
    if not ask or not ask["unit"] or not isinstance(answer.value, str) or not found.step(answer.step).division:
        return answer
    number, unit = answer.value.split()
    sizes = {"bar": 1e5, "psi": 6894.757293168361, "kPa": 1e3}
    asked = float(number) * sizes[unit] / sizes[ask["unit"]]
    return replace(answer, value=f"{round(asked / ask['press']) * ask['press']:.{ask['decimals']}f} {ask['unit']}")


def value(rng: random.Random, told: dict[str, Any]) -> str:
    """Anything that could be answered here, the limits' own neighbours first."""
    if told["kind"] in ("tick", "wait"):
        return rng.choice(["done", "fail", "fail: it smells", "yes", "no", "Done", "fail:", ""])
    if told["kind"] == "choice":
        return rng.choice([option for option, _ in told["options"]] + ["neither"])
    ask = told.get("asked")
    if ask is None:
        return rng.choice(["M. Okoro", " two  spaces", "\u200b", "x" * 301, "Łukasz, 東"])
    if not ask["unit"]:
        return rng.choice(["16:30", "07:41", "23:59", "24:00", "6:5", "19:40", "19:41", "not read"])
    if told.get("reading") == "temperature":
        return f"{rng.choice([12, 12.3, 12.5, 12.6, 13, 16, 10, -80, 54, 54.1])} {ask['unit']}"
    if "press" not in ask:
        return "1 " + ask["unit"]
    near = [ask[name] for name in ("low", "high", "wanted", "start") if name in ask] or [0.0]
    number = round(rng.choice(near) / ask["press"]) * ask["press"] + rng.choice([-2, -1, 0, 0, 1, 2, 30]) * ask["press"]
    if rng.random() < 0.1:
        number += ask["press"] * rng.choice([0.5, 0.1])
    decimals = ask["decimals"] + (rng.random() < 0.15)
    return rng.choice([f"{number:.{decimals}f} {ask['unit']}"] * 8 + ["not read", "none", f"{number:g} MPa", f"{number:.3f} bar"])


def mutated(rng: random.Random, given: list[Answer], told: dict[str, dict[str, Any]]) -> list[Answer]:
    """Some of the ways a round goes wrong, or is gone again."""
    found = list(given)
    for _ in range(rng.choice([1, 1, 1, 2, 3])):
        place = rng.randrange(len(found))
        here = found[place]
        match rng.randrange(7):
            case 0 | 1:
                found[place] = replace(here, value=value(rng, told[here.step]))
            case 2:  # a step that physics judges
                judged = [place] + [i for i, each in enumerate(found) if each.step.startswith(("leak-", "set-", "test-", "shut-", "air-"))]
                place = rng.choice(judged)
                found[place] = replace(found[place], value=value(rng, told[found[place].step]))
            case 3:  # a break, or hurry
                by = timedelta(seconds=rng.choice([-1, -21, -60, 300, 1785, 1800, 1801, 3600, 40000]))
                found = [*found[:place], *(replace(each, at=each.at + by) for each in found[place:])]
            case 4:
                found.pop(place) if rng.random() < 0.5 else found.insert(place, here)
            case 5:  # mended later, or gone round again
                earlier = found[rng.randrange(place + 1)]
                again = rng.random() < 0.5
                mend = Answer(
                    earlier.step, rng.choice([earlier.value, value(rng, told[earlier.step])]), here.at + timedelta(seconds=5), again=again
                )
                rest = [replace(each, at=each.at + timedelta(hours=1)) for each in given] if again else found[place + 1 :]
                start = next((i for i, each in enumerate(given) if each.step == earlier.step), 0) + 1
                found = [*found[: place + 1], mend, *(rest[start:] if again else rest)]
            case _:
                found[place] = replace(here, since=here.at - timedelta(seconds=rng.choice([-5, 0, 30, 60, 200, 900])))
    return found


def still(rng: random.Random, good: list[Answer], told: dict[str, dict[str, Any]]) -> list[Answer]:
    """Needles that mostly stand still, at any height, while the thermometer does what it likes; up to the first step that gas is let in for again."""
    first, change = rng.choice([-15, 0.5, 12, 30]), rng.choice([0, 0.1, 0.3, 0.5, -0.5, -0.4, 0.6, -1, 2, 5])
    found, held = [], {}
    for each in good:
        ask = told[each.step].get("asked", {})
        if each.step.startswith("leak-start-") and told[each.step].get("line"):
            held[each.step] = max(0, round(ask["wanted"] / ask["press"]) + rng.choice([0, 0, 1, -2])) * ask["press"]
            each = replace(each, value=f"{held[each.step]:.{ask['decimals']}f} {ask['unit']}")
        elif each.step.startswith("leak-end-") and told[each.step].get("line"):
            by = ask["press"] * rng.choice([0, 0, 0, 0, 0, 0, 0, 1, -1])
            each = replace(each, value=f"{max(0, held[each.step.replace('end', 'start')] + by):.{ask['decimals']}f} {ask['unit']}")
        elif each.step.endswith("-temperature"):
            at = first + (change if "-end-" in each.step else 0)
            each = replace(each, value=f"{at:.1f} {ask['unit']}" if rng.random() < 0.9 else "not read")
        found.append(each)
        if each.step == "reopen":
            return found
    return found
