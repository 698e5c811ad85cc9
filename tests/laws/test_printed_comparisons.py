"""No sentence prints a comparison that is not true: over all findings of every example and of random stations."""

import re
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from tests import random_stations, sentences
from tests.practice_cases import judged_everywhere

from steadycone.card.make import make_card
from steadycone.data import reader
from steadycone.files.read import read_setup
from steadycone.practice.finding import Finding
from steadycone.render.words import Words

EXAMPLES = sorted((Path(__file__).parents[2] / "examples").glob("*.toml"))
MANY = 5000
OTHERWISE = re.compile(
    r"needs \{limit\}|needs a|takes? \{limit\}|between \{limit\}|from \{value\} to \{limit\}|shows no leak (below|under)|the rows beside it|\{limit\} is needed|against \{limit\}"
)
REGIONS = ("uk", "us", "eu")  # a decimal comma, thirds of units, fractions


def faults(findings: Iterator[Finding] | tuple[Finding, ...], words: Words) -> list[str]:
    """Every printed comparison that is not true, in words."""
    found = []
    for finding in findings:
        for printed in (sentences.compared(finding, words), sentences.detail(finding, words)):
            if printed is not None and not printed.true:
                found.append(
                    f"{finding.code} {finding.verdict} [{finding.text}]: {printed.says} ({printed.first} {printed.how} {printed.second})"
                )
    return found


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_example_prints_true_comparisons(path: Path) -> None:
    card = make_card(read_setup(path), date(2026, 11, 25))
    assert not faults(card.findings, Words.of(card.figures.setup.station.station.region))


def test_random_stations_print_true_comparisons() -> None:
    count = 0
    for seed in range(random_stations.many(MANY)):
        card = random_stations.card(seed)
        if card is None:
            continue
        count += 1
        wrong = faults(card.findings, Words.of(card.figures.setup.station.station.region))
        assert not wrong, f"seed {seed}: {wrong}"
    assert count > 0.8 * MANY


@pytest.mark.parametrize("region", REGIONS)
def test_every_rule_prints_true_comparisons_on_both_sides_of_its_limit(region: str) -> None:
    assert not faults(judged_everywhere(), Words.of(region))


def test_each_wording_that_shows_value_and_limit_is_read() -> None:
    # A wording that nobody here can read would pass unseen. Say it with over, under, within, below, at least or more than; the few
    # that say it in another way are held by the pair of numbers that every page prints beside them.
    unread = [
        f"{code} {text}: {told['says']}"
        for code, entry in reader.toml("findings.toml").items()
        for text, told in entry.items()
        if not code.startswith("round-")  # a round's are held by the laws of rounds
        if isinstance(told, dict) and _shows_both(told.get("says", "")) and sentences.relation(told["says"]) is None
    ]
    assert not [told for told in unread if not OTHERWISE.search(told)]


def _shows_both(says: str) -> bool:
    return "{value}" in says and "{limit}" in says
