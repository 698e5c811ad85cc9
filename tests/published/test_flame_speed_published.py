"""Burning velocities and gradients against what is remembered of them: orders of magnitude, not digits."""

import pytest
from tests.checks import PRINTED, check

from steadycone.physics.flow.port import critical_gradient
from steadycone.physics.gas import load
from steadycone.physics.gas.speed import burning_velocity, unburnt

# fuel, largest burning velocity in oxygen low and high [m/s], from memory, and the flashback gradient's order in oxygen [1/s], from memory
MEMORY = [("acetylene", 2.5, 11.0, 1e5), ("propane", 5.0, 3.6, 7e3), ("methane", 2.0, 4.2, 7e3), ("hydrogen", 0.5, 14.0, 1e5)]


@pytest.mark.parametrize(("fuel", "ratio", "velocity", "gradient"), MEMORY)
def test_a_flame_runs_at_the_order_of_speed_that_is_remembered(fuel: str, ratio: float, velocity: float, gradient: float) -> None:
    found = burning_velocity(load(fuel), ratio)
    check(
        f"whatif-burning-velocity-{fuel}", kind=PRINTED, got=(found.low * found.high) ** 0.5, expected=velocity, rel=0.5, unit="m/s",
        source="burner measurements in oxygen, from memory", why="memory: burners and computations differ by up to two",
    )  # fmt: skip
    diffusivity = unburnt(load(fuel), ratio)[2]
    critical = critical_gradient((found.low * found.high) ** 0.5, diffusivity)
    assert 0.1 < critical / gradient < 10.0  # order of magnitude only: gradients in oxygen are a low-grade memory


def test_hydrogen_and_acetylene_run_back_up_far_steeper_gradients_than_methane_and_propane() -> None:
    # the order that is remembered is what this law is graded by
    found = {}
    for fuel, ratio, *_ in MEMORY:
        speed = burning_velocity(load(fuel), ratio)
        found[fuel] = critical_gradient(speed.high, unburnt(load(fuel), ratio)[2])
    assert min(found["hydrogen"], found["acetylene"]) > 1.5 * max(found["methane"], found["propane"])


def test_the_law_gives_the_flashback_gradients_of_flames_in_air() -> None:
    # methane in air: 0.38 m/s (a stretched-flame paper gives a maximum of 38.3 cm/s), diffusivity 2.2e-5 m²/s; peak gradient some 400 1/s,
    # from memory. The constant was fitted to it, so this only guards the arithmetic.
    assert critical_gradient(0.383, 2.2e-5) == pytest.approx(400.0, rel=0.2)
