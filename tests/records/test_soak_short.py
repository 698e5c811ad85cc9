"""The soak in short: `make soak` runs it at full length."""

from pathlib import Path

import pytest
from bench import records_kill, records_load, records_size

from tests.records.conftest import ENGINES


@pytest.mark.parametrize("engine", ENGINES)
def test_killed_while_writing_it_loses_nothing_it_acknowledged(engine: str) -> None:
    found = records_kill.measure(engine, 10)
    assert found.clean, (found.lost[:3], found.problems[:3], found.started)


@pytest.mark.parametrize("engine", ENGINES)
def test_fifty_writers_and_twenty_readers_get_along(engine: str) -> None:
    # The rate is only measured here: on a busy machine it says little. `make soak` holds it to its goal.
    found = records_load.measure(engine, 1.5, processes=2, bare_seconds=0.3)
    assert found.clean, (found.errors[:3], found.lost, found.doubled, found.stale[:3])
    assert found.rate > 0


@pytest.mark.parametrize("engine", ENGINES)
def test_what_is_asked_of_a_large_site_is_found_by_index(engine: str) -> None:
    found = records_size.measure(engine, 1000, 4000)
    assert found.sound
    assert found.due[2] > 0
    assert found.history[2] > 0


def test_make_soak_runs_all_three() -> None:
    makefile = (Path(__file__).parents[2] / "Makefile").read_text(encoding="utf-8")
    for name in ("records_kill", "records_load", "records_size"):
        assert f"bench/{name}.py" in makefile
