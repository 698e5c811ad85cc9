"""A short run of the leak statistics; `bench/drop_leaks.py` does ten thousand."""

import statistics

from bench import drop_leaks


def test_hidden_leaks_are_held_by_the_band_and_never_called_still() -> None:
    tally = drop_leaks.run(400, seed=7)
    assert tally.held >= 0.95 * tally.sides
    assert statistics.median(tally.widths) < 4.0
    assert statistics.median(tally.floors) < 4.0
    assert tally.still_over_floor == 0
    assert tally.seats_over_floor > 10
    assert tally.seats_passed == 0
    assert tally.good


def test_a_tight_station_is_seldom_stopped() -> None:
    tally = drop_leaks.run(400, seed=8)
    for fault in ("tight", "screw in, tight"):
        verdicts = tally.verdicts[fault]
        assert verdicts["stop"] <= 0.2 * verdicts.total()
