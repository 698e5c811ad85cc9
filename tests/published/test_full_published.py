"""What a full cylinder stands at, by the rule that its filling answers to."""

from tests.checks import COPIED, check

from steadycone.assembly.full import full_at
from steadycone.physics.gas import load
from steadycone.station.supply import Supply

ATMOSPHERE = 101325.0


def test_a_full_american_acetylene_cylinder_stands_at_the_rule_s_own_figure() -> None:
    check(
        "acetylene-full-70F",
        kind=COPIED,
        got=(full_at(Supply(), load("acetylene"), "us", ATMOSPHERE, 294.25) - ATMOSPHERE) / 6894.757,
        expected=250.0,
        abs=0.5,
        unit="psi",
        source="49 CFR 173.303(b)",
        why="the rule's own figure at its own temperature; half a psi for 70 °F written as 21.1 °C",
    )
