"""The phone alone never goes further than the yard's server would: its fold beside procedures/rounds, over many random lists of answers."""

import json
import random
from collections.abc import Iterator

import pytest
from playwright.sync_api import Page

from steadycone.procedures.rounds import fold, next_step, sign_off
from steadycone.render.round_phone import phone_plan
from steadycone.web.shell import asset
from tests.edge.round_samples import answers, plan
from tests.round_lists import mended, mutated, still
from tests.web.round_phone import phones

EXAMPLES = ("slip-2", "bay-4-us", "pontoon-lpg-au", "gantry-three-hose", "structural-eu")
LISTS = 60  # of each example; tests/edge/test_round_replay.py tries more of them under node
_RUN = """async ([url, plan, lists]) => {
  const { fold, nextStep, state } = await import(url);
  return lists.map((answers) => {
    const { round, problem } = fold(plan, answers);
    return { taken: round.log.length, next: nextStep(round)?.id ?? null, state: state(round), problem: problem ? problem.message : "" };
  });
}"""


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_phone_takes_nothing_that_the_server_would_refuse_or_stop(name: str, page: Page) -> None:
    found = plan(name)
    told = phone_plan(found)
    steps = {step["id"]: step for step in told["steps"]}
    good = [mended(found, each, steps[each.step]) for each in answers(found)]
    rng = random.Random(f"alone {name}")
    lists = [good, *(mutated(rng, good, steps) for _ in range(LISTS))]
    plain = json.loads(json.dumps(told))
    took = page.evaluate(_RUN, [asset("round_fold.js"), plain, [[each.out() for each in some] for some in lists]])
    as_far = 0
    for some, there in zip(lists, took, strict=True):
        here = fold(found, some[: there["taken"]])
        assert here.problem is None, (there, here.problem, some[there["taken"] - 1])
        assert not here.left, (there, here.left[0])
        coming = next_step(here.round)
        if there["next"] is not None:
            assert coming is not None, there
            assert coming.id == there["next"]
        if there["state"] == "signed":
            assert sign_off(here.round) is not None
        as_far += len(fold(found, some).round.log) == there["taken"]
    if not found.card_stops:
        assert (took[0]["taken"], took[0]["state"]) == (len(good), "signed")
    assert as_far > 0.4 * len(lists)  # it is no fold that simply refuses everything


@pytest.mark.parametrize("name", ["slip-2", "gantry-three-hose", "weld-bench-eu"])
def test_what_the_phone_takes_for_still_needles_the_server_never_takes_for_a_leak(name: str, page: Page) -> None:
    found = plan(name)
    told = phone_plan(found)
    steps = {step["id"]: step for step in told["steps"]}
    good = [mended(found, each, steps[each.step]) for each in answers(found)]
    rng = random.Random(f"still {name}")
    lists = [still(rng, good, steps) for _ in range(20)]
    took = page.evaluate(_RUN, [asset("round_fold.js"), told, [[each.out() for each in some] for some in lists]])
    through = 0
    for some, there in zip(lists, took, strict=True):
        here = fold(found, some[: there["taken"]])
        assert here.problem is None
        if there["next"] is not None:
            assert next_step(here.round) is not None, some
        through += there["taken"] == len(some) and there["next"] is not None
    assert 0 < through < len(lists)  # neither stops always nor never


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    with phones(tmp_path_factory.mktemp("alone")) as found:
        made = found.phone()
        made.goto("/emergency")
        yield made
