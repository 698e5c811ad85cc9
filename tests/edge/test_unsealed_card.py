"""A card shown while somebody types: the same, without the seal that nobody will keep."""

import pytest
from tests.edge.render_samples import NAMES, card

from steadycone.assembly.resupply import with_cylinders
from steadycone.card.needs import MOST, needs, supply_findings
from steadycone.practice import draw, supply
from steadycone.render.json_card import card_dict
from steadycone.render.view import view_of
from steadycone.render.words import Words


@pytest.mark.parametrize("name", NAMES)
def test_only_the_seal_is_missing(name: str) -> None:
    whole, bare = card_dict(card(name)), card_dict(card(name), sealed=False)
    assert {key: value for key, value in whole.items() if key not in ("hash", "made_by")} == bare


def test_the_page_leaves_out_the_number_of_a_card_without_a_seal() -> None:
    made = card("slip-2")
    sealed, bare = view_of(made, card_dict(made)), view_of(made, card_dict(made, sealed=False))
    assert bare.hash == ""
    assert bare.made == "Made 2026-11-25 for 12\u00a0°C · gauge pressures · flows at 0 °C, 1.01325 bar"
    assert sealed.made == bare.made.replace(" · gauge", f" · card {sealed.hash[:4]} {sealed.hash[4:8]} · gauge")
    assert sealed.findings == bare.findings


@pytest.mark.parametrize("name", NAMES)
def test_the_page_says_of_a_finding_what_the_json_says(name: str) -> None:
    made = card(name)
    words = Words.of(made.figures.setup.station.station.region)
    view = view_of(made, card_dict(made))
    shown = [(line.code, line.says, line.remedy) for line in (*view.findings, *view.go_lines)]
    assert shown == [(found.code, words.says(found), words.remedy(found)) for found in made.findings]


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("count", [1, 2, 7, MOST])
def test_a_supplys_own_rules_say_what_all_rules_say_of_it(name: str, count: int) -> None:
    figures = card(name).figures
    for line, found in figures.lines.items():
        if found.line.supply.has_cylinders:
            supplied = with_cylinders(figures, line, count)
            judged = [*draw.judge(supplied), *supply.judge(supplied)]
            counted = [each for each in judged if each.code in supply.COUNTED and each.subject == supply.subject_of(line)]
            assert sorted(map(repr, supply_findings(supplied, line))) == sorted(map(repr, counted))


@pytest.mark.parametrize("name", NAMES)
def test_one_cylinder_less_than_the_fewest_would_not_do(name: str) -> None:
    figures = card(name).figures
    for line, need in needs(figures).items():
        fewest = need.cylinders_needed
        if fewest is None:
            continue
        verdicts = [[each.verdict for each in supply_findings(with_cylinders(figures, line, n), line)] for n in (fewest, MOST)]
        assert sorted(verdicts[0]) == sorted(verdicts[1])
        if fewest > 1:
            short = [each.verdict for each in supply_findings(with_cylinders(figures, line, fewest - 1), line)]
            assert sorted(short) != sorted(verdicts[1])
