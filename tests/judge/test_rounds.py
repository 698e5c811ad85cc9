"""Random rounds before a judge who knows the plan alone: nothing is signed that he refuses, and little refused that he signs."""

import json
import random
from collections import Counter

import pytest

from steadycone.procedures.rounds import Answer, Plan, fold, sign_off
from steadycone.render.round_phone import phone_plan
from tests.edge.round_samples import answers, plan
from tests.judge.round_lists import tried
from tests.judge.rounds import judged
from tests.random_stations import many
from tests.round_lists import mended

EXAMPLES = ("slip-2", "pontoon-lpg-au", "gantry-three-hose", "structural-eu", "weld-bench-eu", "plate-shop-natural-gas-eu")
LISTS = 50  # of each example; `make soak` tries fifty times as many


def signed(found: Plan, some: list[Answer]) -> bool:
    """Whether the program takes the whole list and signs at its end."""
    folded = fold(found, some)
    return folded.problem is None and not folded.left and sign_off(folded.round) is not None


@pytest.mark.parametrize("name", EXAMPLES)
def test_no_signature_that_the_judge_refuses_and_few_refused_that_he_signs(name: str) -> None:
    found = plan(name)
    told = phone_plan(found)
    steps = {step["id"]: step for step in told["steps"]}
    good = [mended(found, each, steps[each.step]) for each in answers(found)]
    rng = random.Random(f"judge {name}")
    ruled: Counter[tuple[bool, str]] = Counter()
    apart: dict[tuple[bool, str], list[str]] = {(True, "no"): [], (False, "yes"): []}
    for some in [good, *(tried(rng, good, steps) for _ in range(many(LISTS) - 1))]:
        said = [each.out() for each in some]
        ruling, why = judged(told, said)
        key = signed(found, some), ruling
        ruled[key] += 1
        if key in apart:
            apart[key].append(_file(name, said, why, fold(found, some).problem))
    print(name, dict(ruled))
    assert not apart[True, "no"], f"{len(apart[True, 'no'])} signed that the judge refuses, first: {apart[True, 'no'][0]}"
    yes = ruled[True, "yes"] + ruled[False, "yes"]
    assert len(apart[False, "yes"]) <= 0.01 * yes, (
        f"{len(apart[False, 'yes'])} of {yes} refused that the judge signs: {apart[False, 'yes'][0]}"
    )
    assert yes > 0.25 * ruled.total()  # he is no judge who refuses everything, or leaves it open
    assert ruled[False, "no"] > 0.15 * ruled.total()
    assert ruled[True, "open"] + ruled[False, "open"] < 0.25 * ruled.total()


def test_the_judge_says_no_where_he_must() -> None:
    """He is tried himself: each of these lists has one thing wrong."""
    found = plan("slip-2")
    told = phone_plan(found)
    steps = {step["id"]: step for step in told["steps"]}
    good = [mended(found, each, steps[each.step]).out() for each in answers(found)]
    assert judged(told, good)[0] == "yes"
    for step, value in [
        ("leak-fluid", "fail: bubbles"),
        ("open-oxygen", "235 bar"),
        ("open-oxygen", "0 bar"),
        ("leak-start-low.oxygen", "4.9 bar"),
        ("leak-end-low.oxygen", "4.9 bar"),
        ("leak-valve-needle.fuel", "1 bar"),
        ("shut-fuel", "0.85 bar"),
        ("light", "fail: squeal"),
        ("blow-fuel-hose", "not done"),
        ("shift-end", "07:41"),
        ("sign", "X"),
    ]:
        wrong = [each | {"value": value} if each["step"] == step else each for each in good]
        assert judged(told, wrong)[0] == "no", step
    assert judged(told, good[:-1])[0] == "no"
    assert judged(told, [each for each in good if each["step"] != "leak-watch"])[0] == "no"


def _file(name: str, said: list[dict[str, object]], why: str, problem: object) -> str:
    """An answers file that anyone can run; its station is the hash that --plan prints."""
    run = f"steadycone round examples/{name}.toml --answers FILE --on 2026-11-25"
    return f"judge: {why}; program: {problem}\n{run}\n{json.dumps({'station': 'as --plan prints it', 'answers': said}, ensure_ascii=False)}"
