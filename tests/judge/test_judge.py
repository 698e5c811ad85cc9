"""The program's cards against an independent judge's: no verdict on the wrong side, figures alike.

`STEADYCONE_FUZZ=50` tries a hundred thousand (make soak). A disagreement is printed with the station file, which
`steadycone card FILE --on DATE` runs when its chart lies beside it.
"""

from functools import lru_cache

from steadycone.data.reader import toml
from tests.judge.codes import JUDGED, NOT_JUDGED, left_out
from tests.judge.compare import Tally, compare
from tests.judge.stations import put
from tests.random_stations import many

# Unlike figures, of all that are compared: what the judge's zone of one per cent leaves out. See docs/decisions/0103.
FEW = 0.01


@lru_cache(maxsize=1)
def _tally() -> Tally:
    tally = Tally()
    for seed in range(many(2000)):
        compare(put(seed), tally)
    return tally


def _shown(lines: list[str]) -> str:
    """The lines, and the first station of them as a file to run."""
    given = put(int(lines[0].split(":")[0]))
    return "\n".join([*lines[:40], "", f"# on {given.on}; chart {given.chart_name}; site.toml: {given.policy}", given.station])


def test_no_card_is_softer_than_the_judge() -> None:
    tally = _tally()
    assert tally.stations > many(2000) * 0.95
    assert not tally.softer, _shown(tally.softer)


def test_no_card_is_harder_than_the_judge() -> None:
    assert not _tally().harder, _shown(_tally().harder)


def test_pressures_are_the_judges() -> None:
    tally = _tally()
    assert len(tally.figures) <= FEW * tally.compared, _shown(tally.figures)


def test_every_code_is_judged_or_left_out_with_a_reason() -> None:
    codes = set(toml("findings.toml"))
    assert not set(JUDGED) & set(NOT_JUDGED)
    assert {code for code in codes if not left_out(code)} == set(JUDGED)
    assert set(_tally().by_code) <= set(JUDGED)


def test_the_judge_rules_and_seldom_calls_it_near() -> None:
    tally = _tally()
    assert tally.near < 0.05 * tally.rulings
    assert min(tally.by_code.values()) >= many(2000) / 200, tally.by_code
