"""The committed burning velocities are what the tool makes: one flame again here, all of them by `make tables` (about a minute)."""

import pytest
from tests.checks import FITTED, check
from tools.tables_flame_speed import PEAKS, TABLE, burning_velocity

from steadycone.data.reader import rows


@pytest.mark.slow
def test_a_flame_of_the_table_comes_out_again() -> None:
    committed = next(
        float(row["value"])
        for row in rows("gases/flame-speed.csv")
        if (row["fuel"], row["quantity"], row["ratio"]) == ("hydrogen", "computed", "0.50")
    )
    check(
        "flame-speed-table-hydrogen",
        kind=FITTED,
        got=committed,
        expected=burning_velocity("H2", 0.5),
        rel=0.015,
        unit="m/s",
        source="cantera 3.2.0 free flame, h2o2 mechanism, mixture-averaged",
        why="printed to two decimals, and the adaptive grid settles to better than one per cent",
    )


def test_the_peaks_by_hand_are_in_the_table() -> None:
    text = TABLE.read_text(encoding="utf-8")
    assert all(f"{fuel},peak_high,,{high},m/s,{source}" in text for fuel, _, high, source, _ in PEAKS)
