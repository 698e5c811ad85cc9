"""The phone's own fold under node, over thousands of lists: it takes nothing that the server refuses, and signs nothing that it does not."""

import json
import random
import shutil
import subprocess
from pathlib import Path

import pytest
from tests.edge.round_samples import answers, plan
from tests.random_stations import many
from tests.round_lists import mended, mutated

from steadycone.procedures.rounds import fold, next_step, sign_off
from steadycone.render.round_phone import phone_plan

EXAMPLES = ("slip-2", "bay-4-us", "pontoon-lpg-au", "gantry-three-hose", "structural-eu")
LISTS = 200  # of each example; `make soak` tries five times as many
SCRIPT = Path(__file__).parents[2] / "src" / "steadycone" / "web" / "static" / "round_fold.js"
REPLAY = Path(__file__).parents[1] / "fold_replay.mjs"


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_phone_s_fold_goes_no_further_than_the_server_s(name: str, tmp_path: Path) -> None:
    found = plan(name)
    told = phone_plan(found)
    steps = {step["id"]: step for step in told["steps"]}
    good = [mended(found, each, steps[each.step]) for each in answers(found)]
    rng = random.Random(f"replay {name}")
    lists = [good, *(mutated(rng, good, steps) for _ in range(many(LISTS) - 1))]
    took = _under_node(json.dumps([{"plan": told, "lists": [[each.out() for each in some] for some in lists]}]), tmp_path)
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
    assert as_far > 0.4 * len(lists)  # it is no fold that simply refuses everything


def _under_node(cases: str, folder: Path) -> list[dict[str, object]]:
    """What the script makes of the lists. It is a module: node wants it under a name that says so."""
    node = shutil.which("node")
    assert node, "node is missing; it comes with npm, which the set-up installs"
    module = folder / "round_fold.mjs"
    module.write_bytes(SCRIPT.read_bytes())
    done = subprocess.run([node, str(REPLAY), str(module)], input=cases, capture_output=True, text=True, timeout=300, check=False)
    assert done.returncode == 0, done.stderr
    found: list[list[dict[str, object]]] = json.loads(done.stdout)
    return found[0]
